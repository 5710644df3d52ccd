//! RB35x: box, product and control temperatures.

use super::moment::reading_temperature;
use super::{Case, Rule, Verdict, exceeds};
use crate::derive::Input;
use crate::diagnostic::{Code, Severity};
use crate::expectation::{Application, application};
use crate::quantity::{Temperature, TemperatureDifference};
use crate::vocabulary::Point;

pub(super) static RULES: &[&Rule] = &[&BOX_ABOVE_SETPOINT, &PRODUCT_WARM, &ALARM_TOO_FAR];

/// The set point of the head, or else the last one read.
fn set_point(case: &Case<'_>) -> Option<Temperature> {
    let read = || {
        case.bench
            .at(Point::SetPoint)
            .last()
            .and_then(reading_temperature)
    };
    case.job.unit.set_point.map(|s| s.node).or_else(read)
}

static BOX_ABOVE_SETPOINT: Rule = Rule {
    code: Code {
        id: "RB351",
        name: "box-above-set-point",
        severity: Severity::Warning,
        explanation: "The last box temperature of the note is still well above the set point. Either the pull-down was not waited for, or the unit does not hold.",
    },
    needs: "a box temperature and the set point",
    plain: "When we left, the temperature had not yet come down to its setting.",
    caution: Some(
        "Whether food can still be used is for the person responsible for it to decide, by the local food code.",
    ),
    source: "common practice: more than 5 F above the set point",
    check: |case| {
        let set = set_point(case);
        let (Some(set), Some(last)) = (set, case.bench.at(Point::Box).last()) else {
            return Verdict::NotEvaluated;
        };
        // A reading from before the repair says nothing of how the box was left.
        let repaired = case
            .job
            .entries()
            .filter(|(_, e)| e.kind.is_repair())
            .last();
        if repaired.is_some_and(|(_, repair)| last.span.start < repair.span.start) {
            return Verdict::NotEvaluated;
        }
        let Some(temperature) = reading_temperature(last) else {
            return Verdict::NotEvaluated;
        };
        let above = temperature - set;
        let mut found = Vec::new();
        if exceeds(above.fahrenheit(), 5.0) {
            let text = format!(
                "the last box reading, {}, is {} above the set point",
                last.value_text(),
                case.job.display.difference(above)
            );
            found.push(BOX_ABOVE_SETPOINT.finding(text, vec![Input::of(last)]));
        }
        Verdict::Judged(found)
    },
};

static PRODUCT_WARM: Rule = Rule {
    code: Code {
        id: "RB352",
        name: "product-above-cold-holding",
        severity: Severity::Warning,
        explanation: "A product was measured above 41 F (5 C), the cold-holding limit of the FDA Food Code for food that needs temperature control. How long it was above is not known from one reading; where the head gives a `food limit`, RB951 judges by that instead. rimebook never says that food is safe or unsafe.",
    },
    needs: "a product temperature in a cooler, and no food limit in the head (RB951 judges by that)",
    plain: "Product was measured above 41 F (5 C). Please have the person responsible for food decide what to do with it.",
    caution: Some(
        "Whether food can still be used is for the person responsible for it to decide, by the local food code.",
    ),
    source: "FDA Food Code 3-501.16, 41 F (5 C) or below",
    check: |case| {
        if application(&case.job.unit) == Some(Application::AirConditioning)
            || case.job.food.limit.is_some()
        {
            return Verdict::NotEvaluated;
        }
        PRODUCT_WARM.each_reading(case.bench.at(Point::Product), |r| {
            let temperature = reading_temperature(r)?;
            let limit = Temperature::from_fahrenheit(41.0);
            Some(exceeds(temperature.kelvin(), limit.kelvin()).then(|| {
                (
                    format!(
                        "product {} is above {}",
                        r.value_text(),
                        case.job.display.temperature(limit)
                    ),
                    vec![r],
                )
            }))
        })
    },
};

static ALARM_TOO_FAR: Rule = Rule {
    code: Code {
        id: "RB353",
        name: "alarm-limit-far-from-set-point",
        severity: Severity::Advice,
        explanation: "The high-temperature alarm is set so far above the set point that it cannot warn in time.",
    },
    needs: "the alarm limit and the set point",
    plain: "The temperature alarm is set too high to warn in time.",
    caution: None,
    source: "common practice, no source: more than 20 F above the set point",
    check: |case| {
        let set = set_point(case);
        let Some(set) = set else {
            return Verdict::NotEvaluated;
        };
        ALARM_TOO_FAR.each_reading(case.bench.at(Point::HighAlarm), |r| {
            let above = reading_temperature(r)? - set;
            let limit = TemperatureDifference::from_fahrenheit(20.0);
            Some(exceeds(above.kelvin(), limit.kelvin()).then(|| {
                (
                    format!(
                        "alarm limit {} is {} above the set point",
                        r.value_text(),
                        case.job.display.difference(above)
                    ),
                    vec![r],
                )
            }))
        })
    },
};
