//! United States: which of the two sets of leak rules applies, and what it asks after the events.

mod rules;
mod scope;

use super::rate::History;
use super::{
    Appliance, Assessment, Between, Condition, Duty, EventKind, Plant, Rate, Verification,
    days_after, evacuation, months_after, pounds,
};
use jiff::civil::Date;
use rules::{
    CHRONIC_PERCENT, DETECTION_DAYS, DETECTION_DUE, DETECTION_NEW, DETECTION_OLDEST,
    DETECTION_POUNDS, FOLLOW_UP_DAYS, LEAK_DETECTION, LEAK_RATE, PART_82, PART_84, PLAN_DAYS, Part,
    REPAIR_DAYS, inspection_months, threshold,
};
use scope::{charge, hydrofluorocarbon, judged, ozone_depleting, subsector};

pub(super) fn assess(plant: &Plant, history: &History, to: &mut Assessment) {
    if plant.charge.is_none() {
        let text = "the full charge is not stated: the leak rate is not known";
        to.not_known(&LEAK_RATE, text);
    }
    let by_82 = [
        charge(plant, PART_82.pounds),
        ozone_depleting(plant),
        judged(&PART_82),
    ];
    if to.decide(PART_82.scope, &by_82) {
        leaks(&PART_82, plant, history, to);
    }
    let by_84 = [
        subsector(plant),
        charge(plant, PART_84.pounds),
        hydrofluorocarbon(plant),
        judged(&PART_84),
    ];
    if to.decide(PART_84.scope, &by_84) {
        leaks(&PART_84, plant, history, to);
    }
    leak_detection(plant, history, to);
    evacuation::assess(plant, history, to);
}

/// Duties from leak rates, from what was added in a calendar year, and to keep records.
fn leaks(part: &'static Part, plant: &Plant, history: &History, to: &mut Assessment) {
    exceedances(part, plant, history, to);
    chronic(part, plant, history, to);
    to.duties.push(Duty {
        is_standing: true,
        what: "keep the records of additions, repairs and tests for 3 years".to_owned(),
        due: None,
        done: None,
        because: format!("{} applies", part.scope.citation),
        rule: part.records,
    });
}

fn exceedances(part: &'static Part, plant: &Plant, history: &History, to: &mut Assessment) {
    let Some(appliance) = plant.appliance else {
        to.not_known(
            part.threshold,
            "the kind of unit is not stated: which leak rate is too high (10, 20 or 30 %) is not known",
        );
        return;
    };
    let limit = threshold(appliance);
    let mut exceedances: Vec<Rate> = Vec::new();
    for rate in to.rates.clone() {
        // Until a repair, one exceedance covers what is added after it, on the day of the repair too.
        let is_covered = exceedances.last().is_some_and(|open| {
            let repaired = repair_after(history, open.date);
            repaired.is_none_or(|repaired| repaired >= rate.date)
        });
        if rate.date < part.from || is_covered {
            continue;
        }
        match rate.exceeds(limit, plant.method) {
            Some(true) => exceedances.push(rate),
            Some(false) => {}
            None => to.not_known(part.threshold, undecided(&rate, limit, plant)),
        }
    }
    for exceedance in &exceedances {
        let because = format!(
            "the addition of {} shows a leak rate of {}, above {limit} % for {}",
            exceedance.date,
            exceedance.text(),
            appliance.name()
        );
        repair(part, appliance, exceedance.date, &because, history, to);
    }
    if let Some(last) = exceedances.last() {
        inspections(part, plant, appliance, last.date, history, to);
    }
}

/// Why it cannot be told whether a leak rate exceeds its limit.
fn undecided(rate: &Rate, limit: i128, plant: &Plant) -> String {
    let is_open = |between: Between| between.least != between.most;
    let mut why = rate.text();
    if is_open(rate.rolling) || rate.annualizing.is_some_and(is_open) {
        why += "; refrigerant recovered before may have been put back, or a repair before was not verified";
    }
    if plant.method.is_none() {
        why += "; which method the facility uses is not stated";
    }
    format!(
        "addition of {}: {why}: whether the leak rate exceeds {limit} % is not known",
        rate.date
    )
}

fn repair_after(history: &History, date: Date) -> Option<Date> {
    history.first(date, |kind| kind == EventKind::Repair)
}

/// Repair, its tests, and the plan when it is late.
fn repair(
    part: &'static Part,
    appliance: Appliance,
    shown: Date,
    because: &str,
    history: &History,
    to: &mut Assessment,
) {
    let due = days_after(shown, REPAIR_DAYS);
    let repaired = repair_after(history, shown);
    let test = |from: Option<Date>, which| {
        history.first(from?, |kind| kind == EventKind::VerificationPassed(which))
    };
    let initial = test(repaired, Verification::Initial);
    let follow_up = test(initial, Verification::FollowUp);
    let mut push = |what: &str, due, done, because, rule| {
        to.duties.push(Duty {
            is_standing: false,
            what: what.to_owned(),
            due,
            done,
            because,
            rule,
        });
    };

    let shutdown = if appliance == Appliance::IndustrialProcess {
        "; 120 days in place of 30 if an industrial process must be shut down for it"
    } else {
        ""
    };
    let stated = format!("{because}{shutdown}");
    push("repair the leaks", due, repaired, stated, part.repair);
    push(
        "pass an initial verification test after the repair, before refrigerant is put back",
        due,
        initial,
        format!("{because}{shutdown}"),
        part.verification,
    );
    push(
        "pass a follow-up verification test",
        initial.and_then(|initial| days_after(initial, FOLLOW_UP_DAYS)),
        follow_up,
        match initial {
            Some(initial) => format!(
                "initial test passed on {initial}; if the unit was opened for the repair, the 10 days count from its return to normal operation, which is not known"
            ),
            None => "10 days from the initial test, which is not on record".to_owned(),
        },
        part.verification,
    );
    let in_time = |done: Option<Date>| done.is_some_and(|done| due.is_some_and(|due| done <= due));
    if !(in_time(repaired) && in_time(initial)) {
        push(
            "without a verified repair in time, draw up a plan to retrofit or retire the unit, carried out within 1 year",
            due.and_then(|due| days_after(due, PLAN_DAYS)),
            None,
            format!("{because}; no repair verified within 30 days is on record"),
            part.plan,
        );
    }
}

fn inspections(
    part: &'static Part,
    plant: &Plant,
    appliance: Appliance,
    shown: Date,
    history: &History,
    to: &mut Assessment,
) {
    let is_500_pounds = plant.charge.is_some_and(|charge| charge >= pounds(500));
    let months = inspection_months(appliance, is_500_pounds);
    match plant.leak_detection {
        Some(true) => return,
        None => {
            let text = format!(
                "whether automatic leak detection covers the unit is not stated: whether leak inspections every {months} months are due after the exceedance of {shown} is not known"
            );
            to.not_known(part.inspection, text);
            return;
        }
        Some(false) => {}
    }
    let is_inspection = |kind| kind == EventKind::LeakInspection;
    let last = history
        .days(is_inspection)
        .filter(|&day| day > shown)
        .last();
    // A year under the limit is what ends them: four quarters, or one year.
    let limit = threshold(appliance);
    let mut rates = to.rates.iter().rev();
    let not_under = rates.find(|rate| rate.exceeds(limit, plant.method) != Some(false));
    let end = not_under.and_then(|rate| months_after(rate.date, 12));
    to.duties.push(Duty {
        is_standing: false,
        what: format!("inspect the unit for leaks every {months} months"),
        due: months_after(last.unwrap_or(shown), months),
        done: end.and_then(|end| history.first(end, is_inspection)),
        because: format!(
            "leak rate exceeded on {shown}; counted from {}, though the text may count from the follow-up test",
            last.map_or("that day".to_owned(), |last| format!("the inspection of {last}"))
        ),
        rule: part.inspection,
    });
}

/// Calendar years in which 125 % of the charge or more was lost.
fn chronic(part: &'static Part, plant: &Plant, history: &History, to: &mut Assessment) {
    let Some(charge) = plant.charge else {
        return;
    };
    let mut years: Vec<i16> = history.additions.iter().map(|a| a.date.year()).collect();
    years.dedup();
    for year in years.into_iter().filter(|&year| year >= part.from.year()) {
        let Some(lost) = history.sum(charge, |date| date.year() == year) else {
            continue;
        };
        match lost.reaches(CHRONIC_PERCENT) {
            Some(true) => to.duties.push(Duty {
                is_standing: false,
                what: format!("report the losses of {year} to EPA"),
                due: Date::new(year.saturating_add(1), 3, 1).ok(),
                done: None,
                because: format!("{lost} of the full charge was added in {year}, 125 % or more"),
                rule: part.chronic,
            }),
            Some(false) => {}
            None => {
                let text = format!(
                    "{lost} of the full charge was lost in {year}, as refrigerant recovered before may have been put back: whether it is 125 % or more is not known"
                );
                to.not_known(part.chronic, text);
            }
        }
    }
}

/// Automatic leak detection of large units under 40 CFR 84.
fn leak_detection(plant: &Plant, history: &History, to: &mut Assessment) {
    let kind = match plant.appliance {
        None => Condition::NotKnown("the kind of unit is not stated".to_owned()),
        Some(kind @ (Appliance::CommercialRefrigeration | Appliance::IndustrialProcess)) => {
            Condition::Met(kind.name().to_owned())
        }
        Some(kind) => Condition::Unmet(format!(
            "{} is neither commercial nor industrial process refrigeration",
            kind.name()
        )),
    };
    let age = match history.installed {
        None => Condition::NotKnown("the day of installation is not stated".to_owned()),
        Some(day) if day < DETECTION_OLDEST => {
            Condition::Unmet(format!("installed on {day}, before {DETECTION_OLDEST}"))
        }
        Some(day) => Condition::Met(format!("installed on {day}")),
    };
    let conditions = [
        kind,
        charge(plant, DETECTION_POUNDS),
        hydrofluorocarbon(plant),
        age,
    ];
    let (true, Some(installed)) = (to.decide(&LEAK_DETECTION, &conditions), history.installed)
    else {
        return;
    };
    match plant.leak_detection {
        Some(true) => {}
        Some(false) => to.duties.push(Duty {
            is_standing: false,
            what: "install automatic leak detection".to_owned(),
            due: if installed >= DETECTION_NEW {
                days_after(installed, DETECTION_DAYS)
            } else {
                Some(DETECTION_DUE)
            },
            done: None,
            because: format!("a charge of 1500 lb or more, installed on {installed}, without it"),
            rule: &LEAK_DETECTION,
        }),
        None => to.not_known(
            &LEAK_DETECTION,
            "whether automatic leak detection watches the unit is not stated: whether it must be installed is not known",
        ),
    }
}
