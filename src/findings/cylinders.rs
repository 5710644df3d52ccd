//! RB557 to RB559: cylinders on the scale, what they hold and what they may hold.

use super::records::{LAW, movement_input};
use super::{Case, Finding, Rule, Verdict};
use crate::derive::books::Movement;
use crate::derive::cylinders::FULL_PERCENT;
use crate::diagnostic::{Code, Severity};
use crate::model::Flow;
use crate::quantity::Mass;

pub(super) static RULES: &[&Rule] = &[&SCALE_DISAGREES, &OVERFILLED, &MORE_THAN_HELD];

/// Judges every movement; `Some(None)` is quiet, `None` could not be judged.
fn each_movement(
    rule: &'static Rule,
    case: &Case<'_>,
    condition: impl Fn(&Movement) -> Option<Option<String>>,
) -> Verdict {
    let mut judged = false;
    let mut found: Vec<Finding> = Vec::new();
    for movement in &case.derived.books.movements {
        let Some(verdict) = condition(movement) else {
            continue;
        };
        judged = true;
        found.extend(verdict.map(|text| rule.finding(text, vec![movement_input(movement)])));
    }
    Verdict::of(judged, found)
}

fn label(movement: &Movement) -> &str {
    movement.transfer.cylinder.as_deref().unwrap_or("")
}

static SCALE_DISAGREES: Rule = Rule {
    code: Code {
        id: "RB557",
        name: "scale-disagrees-with-amount",
        severity: Severity::Warning,
        explanation: "The cylinder was weighed before and after, and the difference is not the amount written (`added 3 lb from C-118, cylinder 31.2 lb to 28.2 lb`). They must agree within one of the scale's last digit. One of the three numbers is a slip, or something hung on the cylinder in between.",
    },
    needs: "an amount with the cylinder's weight before and after",
    plain: "The weight of a refrigerant cylinder does not agree with the amount recorded.",
    caution: None,
    source: "arithmetic; one of the scale's last digit allowed",
    check: |case| {
        let display = case.job.display;
        each_movement(&SCALE_DISAGREES, case, |movement| {
            let transfer = &movement.transfer;
            let weighing = transfer.weighing.as_ref()?;
            let (moved, way) = match transfer.flow {
                Flow::Added => (weighing.before - weighing.after, "lighter"),
                Flow::Recovered => (weighing.after - weighing.before, "heavier"),
            };
            if (moved - transfer.mass).abs() <= weighing.step {
                return Some(None);
            }
            let way = match (moved.is_negative(), way) {
                (false, way) => way,
                (true, "lighter") => "heavier",
                (true, _) => "lighter",
            };
            Some(Some(format!(
                "{} {}, but by the scale ({}) the cylinder got {} {way}",
                movement_input(movement).name,
                transfer.written,
                weighing.written,
                display.mass(moved.abs())
            )))
        })
    },
};

static OVERFILLED: Rule = Rule {
    code: Code {
        id: "RB558",
        name: "cylinder-overfilled",
        severity: Severity::Warning,
        explanation: "A cylinder holds more than 80 % of its water capacity by mass. A cylinder full of liquid bursts when it warms. Its content is its weight on the scale less its tare, or what the head says it holds with what was moved since; where neither is known, at least what was put into it during the note. 80 % is a usual maximum; the filling density that transport law sets differs by refrigerant and may be lower.",
    },
    needs: "a `cylinder` line with its water capacity in the head, and a movement that names it",
    plain: "A refrigerant cylinder is recorded as filled beyond its usual limit.",
    caution: Some(
        "Do not heat or move an overfilled cylinder; take the excess into another with room for it, wearing gloves and goggles.",
    ),
    source: "maximum of 80 % by water capacity: common practice; DOT: by refrigerant, from memory",
    check: |case| {
        let display = case.job.display;
        each_movement(&OVERFILLED, case, |movement| {
            let cylinder = case.job.cylinder(movement.transfer.cylinder.as_deref()?)?;
            let capacity = cylinder.water_capacity?;
            let content = movement.content.most();
            // Nothing put in, nothing weighed: it may hold anything.
            if content == Mass::ZERO && movement.content.after.is_none() {
                return None;
            }
            if content * 100 <= capacity * FULL_PERCENT {
                return Some(None);
            }
            let known = movement.content.before.or(movement.content.after);
            Some(Some(format!(
                "cylinder {} holds {}{}, above {FULL_PERCENT} % of its water capacity of {}",
                label(movement),
                if known.is_some() { "" } else { "at least " },
                display.mass(content),
                display.mass(capacity)
            )))
        })
    },
};

static MORE_THAN_HELD: Rule = Rule {
    code: Code {
        id: "RB559",
        name: "more-than-cylinder-held",
        severity: Severity::Warning,
        explanation: "More refrigerant is written as taken from a cylinder than it held. The label, the amount, the tare or the content in the head is wrong.",
    },
    needs: "refrigerant added from a cylinder whose content is known (`holds …`, or tare and weight)",
    plain: "More refrigerant is recorded as taken from a cylinder than it held.",
    caution: Some(LAW),
    source: "arithmetic; one of the scale's last digit allowed",
    check: |case| {
        let display = case.job.display;
        each_movement(&MORE_THAN_HELD, case, |movement| {
            let transfer = &movement.transfer;
            if transfer.flow != Flow::Added {
                return None;
            }
            let held = movement.content.before?;
            let step = transfer.weighing.as_ref().map_or(Mass::ZERO, |w| w.step);
            Some((transfer.mass > held + step).then(|| {
                format!(
                    "{} was taken from cylinder {}, which held {}",
                    transfer.written,
                    label(movement),
                    display.mass(held)
                )
            }))
        })
    },
};
