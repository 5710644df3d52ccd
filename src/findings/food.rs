//! RB95x: food against the limits that the note's own head gives.

use super::{Case, Finding, Rule, Verdict};
use crate::derive::food::FoodReading;
use crate::derive::{FoodTime, Measured};
use crate::diagnostic::{Code, Severity};
use crate::model::Job;
use crate::words::Words;

pub(super) static RULES: &[&Rule] = &[
    &FOOD_ABOVE_LIMIT,
    &AIR_ABOVE_LIMIT,
    &FOOD_NOT_MEASURED,
    &PLAN_RUNS,
    &PLAN_TOO_WARM,
];

const WHO_DECIDES: &str = "What is done with the food is for the site's written plan and the person in charge to decide; check the current text of the food code and your local authority.";

/// Judges every row of food or air; `condition` gives the sentence and what it rests on when the
/// rule fires.
fn each_row<'a>(
    rule: &'static Rule,
    case: &Case<'a>,
    measured: Measured,
    condition: impl Fn(&'a FoodTime, &Job) -> Option<(String, Vec<&'a FoodReading>)>,
) -> Verdict {
    let rows: Vec<&FoodTime> = case
        .derived
        .food
        .iter()
        .filter(|row| row.measured == measured)
        .collect();
    if rows.is_empty() {
        return Verdict::NotEvaluated;
    }
    let found: Vec<Finding> = rows
        .into_iter()
        .filter_map(|row| {
            let (text, mut readings) = condition(row, case.job)?;
            readings.dedup();
            let text = match &row.which {
                Some(which) => format!("{which}: {text}"),
                None => text,
            };
            let evidence = readings.into_iter().map(|r| r.input.clone()).collect();
            Some(rule.finding(text, evidence))
        })
        .collect();
    Verdict::Judged(found)
}

static FOOD_ABOVE_LIMIT: Rule = Rule {
    code: Code {
        id: "RB951",
        name: "food-above-limit",
        severity: Severity::Warning,
        explanation: "Food was measured above the `food limit` of the head. The time above is counted between two readings of one visit at most 60 minutes apart, by a straight line where one of them is not above the limit; longer spans, and those between visits, are listed as not measured and count neither as warm nor as cold. So it is at least that long. rimebook never says that food is safe or unsafe.",
    },
    needs: "a `food limit` in the head, and a product temperature with a time",
    plain: "Food was measured above the limit of your plan. Please have the person in charge decide by that plan what to do with it.",
    caution: Some(WHO_DECIDES),
    source: "the note's own limit; FDA Food Code 3-501.16: 41 F (5 C); counting: common practice",
    check: |case| {
        each_row(&FOOD_ABOVE_LIMIT, case, Measured::Food, |row, job| {
            let passed = row.passed.as_ref()?;
            Some((
                row.sentence(job, Words::english()),
                vec![&passed.by, &row.highest],
            ))
        })
    },
};

static AIR_ABOVE_LIMIT: Rule = Rule {
    code: Code {
        id: "RB952",
        name: "box-air-above-food-limit",
        severity: Severity::Advice,
        explanation: "The air of the box was measured above the `food limit` of the head. Air warms and cools faster than food: how warm the food got is known only from its own readings (`product 40 F`).",
    },
    needs: "a `food limit` in the head, and a box temperature with a time",
    plain: "The air around the food was measured above the limit of your plan; that is not the temperature of the food.",
    caution: Some(WHO_DECIDES),
    source: "the limit is the note's own; counting: common practice, no source",
    check: |case| {
        each_row(&AIR_ABOVE_LIMIT, case, Measured::Air, |row, job| {
            let passed = row.passed.as_ref()?;
            let text = format!("box air, not food: {}", row.sentence(job, Words::english()));
            Some((text, vec![&passed.by, &row.highest]))
        })
    },
};

static FOOD_NOT_MEASURED: Rule = Rule {
    code: Code {
        id: "RB953",
        name: "food-not-measured-between",
        severity: Severity::Advice,
        explanation: "Between two product readings lies more than 60 minutes, or the end of a visit. How warm the food was in between is not known: neither cold nor warm is assumed. Where food was also measured above the limit, RB951 lists these spans instead. A logger's values may be written as readings of their own, each with its time.",
    },
    needs: "a `food limit` in the head, and a product temperature with a time",
    plain: "For part of the time the temperature of the food was not measured.",
    caution: None,
    source: "common practice, no source: 60 minutes",
    check: |case| {
        each_row(&FOOD_NOT_MEASURED, case, Measured::Food, |row, job| {
            let (from, _) = row.gaps.first().filter(|_| row.passed.is_none())?;
            let before = row.readings.iter().position(|r| r.when == *from)?;
            let text = format!(
                "food was not measured {}",
                row.gaps_text(job, Words::english()).join(", ")
            );
            Some((text, row.readings.iter().skip(before).take(2).collect()))
        })
    },
};

static PLAN_RUNS: Rule = Rule {
    code: Code {
        id: "RB954",
        name: "time-control-runs",
        severity: Severity::Warning,
        explanation: "The head gives a plan of time as control (`time control: 4 h` or `6 h`) and food was measured above the limit. The hours run from when the food left the cold, which lies between the last reading not above the limit and the first above it; both ends are given, the earlier one is the careful one. Cooling down again does not stop the hours. The plan must have been written beforehand, and the food must have been at or below the limit when its time began; the note cannot show either.",
    },
    needs: "`food limit` and `time control` in the head, and a product temperature with a time",
    plain: "The hours of your time plan for food are running or have run. The written plan and the person in charge decide what follows.",
    caution: Some(WHO_DECIDES),
    source: "FDA Food Code 3-501.19 (4 h, or 6 h at 70 F or below), with a written procedure",
    check: |case| {
        if case.job.food.hours.is_none() {
            return Verdict::NotEvaluated;
        }
        each_row(&PLAN_RUNS, case, Measured::Food, |row, job| {
            let passed = row.passed.as_ref()?;
            let readings = std::iter::once(&passed.by).chain(&passed.last_below);
            Some((
                row.plan_sentence(job, Words::english())?,
                readings.collect(),
            ))
        })
    },
};

static PLAN_TOO_WARM: Rule = Rule {
    code: Code {
        id: "RB955",
        name: "time-control-ceiling-passed",
        severity: Severity::Warning,
        explanation: "Food under a 6-hour plan was measured above 70 F (21 C), the most that plan allows in the warmest part. What the plan says for that case applies from then on, not its six hours.",
    },
    needs: "`food limit` and `time control: 6 h` in the head, and a product temperature with a time",
    plain: "Food was measured above 70 F (21 C), the most that a six-hour plan allows. The written plan and the person in charge decide what follows.",
    caution: Some(WHO_DECIDES),
    source: "FDA Food Code 3-501.19 (6 h only at 70 F, 21 C, or below)",
    check: |case| {
        if case.job.food.hours != Some(6) {
            return Verdict::NotEvaluated;
        }
        each_row(&PLAN_TOO_WARM, case, Measured::Food, |row, job| {
            let by = &row.ceiling_passed.as_ref()?.by;
            Some((row.ceiling_sentence(job, Words::english())?, vec![by]))
        })
    },
};
