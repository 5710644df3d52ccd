//! RB55x: refrigerant records of the job.

use super::{Finding, Rule, Verdict, exceeds};
use crate::derive::Input;
use crate::derive::books::Movement;
use crate::diagnostic::{Code, Severity};
use crate::model::{EntryKind, Flow};
use crate::quantity::Mass;
use crate::vocabulary::fold;

pub(super) static RULES: &[&Rule] = &[
    &OTHER_REFRIGERANT,
    &MIXED_CYLINDER,
    &OVER_CHARGE,
    &RECOVERED_MORE,
    &NO_CYLINDER,
    &FLAMMABLE,
];

pub(super) const LAW: &str = "Venting refrigerant on purpose is an offence in many countries; recover it, and keep the records your law asks for.";

pub(super) fn movement_input(movement: &Movement) -> Input {
    Input {
        name: match movement.transfer.flow {
            Flow::Added => "added",
            Flow::Recovered => "recovered",
        }
        .to_owned(),
        text: movement.transfer.written.clone(),
        line: movement.line,
        span: movement.span,
    }
}

static OTHER_REFRIGERANT: Rule = Rule {
    code: Code {
        id: "RB551",
        name: "other-refrigerant-added",
        severity: Severity::Warning,
        explanation: "Another refrigerant than the unit's own went in. Mixed refrigerants have pressures that fit no table, and must be recovered for disposal. If the unit was converted, the head is out of date.",
    },
    needs: "the unit's refrigerant, and an addition that names its refrigerant",
    plain: "A different refrigerant than the unit's own is recorded as added.",
    caution: Some(LAW),
    source: "common practice, no source",
    check: |case| {
        let Some(own) = case.job.unit.refrigerant else {
            return Verdict::NotEvaluated;
        };
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        for movement in case
            .derived
            .books
            .movements
            .iter()
            .filter(|m| m.transfer.flow == Flow::Added)
        {
            let Some(other) = movement.transfer.refrigerant else {
                continue;
            };
            judged = true;
            if other.name != own.name {
                let text = format!(
                    "{} of {} was added to a unit of {}",
                    movement.transfer.written, other.name, own.name
                );
                found.push(OTHER_REFRIGERANT.finding(text, vec![movement_input(movement)]));
            }
        }
        Verdict::of(judged, found)
    },
};

static MIXED_CYLINDER: Rule = Rule {
    code: Code {
        id: "RB552",
        name: "cylinder-mixed",
        severity: Severity::Warning,
        explanation: "Two refrigerants went into or came out of one cylinder. A mixed cylinder cannot be reused; it goes for reclaim or destruction.",
    },
    needs: "two movements with a named cylinder, or one whose cylinder the head gives a refrigerant",
    plain: "Two different refrigerants are recorded for one cylinder.",
    caution: Some(LAW),
    source: "common practice, no source",
    check: |case| {
        let of_head = |movement: &Movement| {
            let cylinder = case.job.cylinder(movement.transfer.cylinder.as_deref()?)?;
            cylinder.refrigerant
        };
        let named: Vec<&Movement> = case
            .derived
            .books
            .movements
            .iter()
            .filter(|m| m.transfer.cylinder.is_some() && m.transfer.refrigerant.is_some())
            .collect();
        if named.len() < 2 && !named.iter().any(|m| of_head(m).is_some()) {
            return Verdict::NotEvaluated;
        }
        let mut found: Vec<Finding> = Vec::new();
        for (i, movement) in named.iter().enumerate() {
            let clash = named[..i].iter().find(|m| {
                crate::derive::books::same_cylinder(
                    m.transfer.cylinder.as_deref(),
                    movement.transfer.cylinder.as_deref(),
                ) && m.transfer.refrigerant.map(|r| r.name)
                    != movement.transfer.refrigerant.map(|r| r.name)
            });
            let other = of_head(movement)
                .filter(|of| Some(of.name) != movement.transfer.refrigerant.map(|r| r.name));
            if let Some(other) = other {
                let text = format!(
                    "cylinder {} is for {} by the head, and the movement is of {}",
                    movement.transfer.cylinder.as_deref().unwrap_or(""),
                    other.name,
                    movement.transfer.refrigerant_name()
                );
                found.push(MIXED_CYLINDER.finding(text, vec![movement_input(movement)]));
            } else if let Some(clash) = clash {
                let text = format!(
                    "cylinder {} holds two refrigerants",
                    movement.transfer.cylinder.as_deref().unwrap_or("")
                );
                found.push(
                    MIXED_CYLINDER
                        .finding(text, vec![movement_input(movement), movement_input(clash)]),
                );
            }
        }
        Verdict::Judged(found)
    },
};

static OVER_CHARGE: Rule = Rule {
    code: Code {
        id: "RB553",
        name: "more-than-full-charge",
        severity: Severity::Warning,
        explanation: "After a full recovery more was weighed in than the full charge of the head. Either the charge in the head is wrong, or the unit is overcharged.",
    },
    needs: "full charge, and refrigerant added after the system was emptied (held or evacuated)",
    plain: "More refrigerant was added than the unit's full charge.",
    caution: None,
    source: "nameplate charge; 2 % allowed for the scale",
    check: |case| {
        let Some(charge) = case.job.unit.charge else {
            return Verdict::NotEvaluated;
        };
        // What came before the last evacuation is out again.
        let emptied = case.derived.vacuums.last().map(|v| v.span.start);
        let Some(emptied) = emptied else {
            return Verdict::NotEvaluated;
        };
        let after: Vec<&Movement> = case
            .derived
            .books
            .movements
            .iter()
            .filter(|m| m.span.start > emptied && m.transfer.flow == Flow::Added)
            .collect();
        if after.is_empty() {
            return Verdict::NotEvaluated;
        }
        let total: Mass = after.iter().map(|m| m.transfer.mass).sum();
        let mut found = Vec::new();
        if exceeds(total.kilogram(), 1.02 * charge.kilogram()) {
            let display = case.job.display;
            let text = format!(
                "{} went in after the evacuation, above the full charge of {}",
                display.mass(total),
                display.mass(charge.node)
            );
            found.push(OVER_CHARGE.finding(
                text,
                after.iter().rev().map(|m| movement_input(m)).collect(),
            ));
        }
        Verdict::Judged(found)
    },
};

static RECOVERED_MORE: Rule = Rule {
    code: Code {
        id: "RB554",
        name: "recovered-more-than-charge",
        severity: Severity::Advice,
        explanation: "More was recovered than the full charge of the head: the unit was overcharged, the charge in the head is wrong, or a weight is.",
    },
    needs: "full charge and refrigerant recovered",
    plain: "More refrigerant came out than the unit should hold.",
    caution: None,
    source: "nameplate charge; 2 % allowed for the scale",
    check: |case| {
        let books = &case.derived.books;
        let (Some(charge), false) = (case.job.unit.charge, books.recovered == Mass::ZERO) else {
            return Verdict::NotEvaluated;
        };
        let mut found = Vec::new();
        if exceeds(books.recovered.kilogram(), 1.02 * charge.kilogram()) {
            let display = case.job.display;
            let text = format!(
                "{} was recovered, above the full charge of {}",
                display.mass(books.recovered),
                display.mass(charge.node)
            );
            let evidence = books
                .movements
                .iter()
                .filter(|m| m.transfer.flow == Flow::Recovered)
                .map(movement_input)
                .collect();
            found.push(RECOVERED_MORE.finding(text, evidence));
        }
        Verdict::Judged(found)
    },
};

static NO_CYLINDER: Rule = Rule {
    code: Code {
        id: "RB555",
        name: "cylinder-not-named",
        severity: Severity::Advice,
        explanation: "A movement of refrigerant names no cylinder, so the cylinder's own balance cannot be kept.",
    },
    needs: "refrigerant moved",
    plain: "A refrigerant cylinder is not named in the record.",
    caution: None,
    source: "common practice, no source",
    check: |case| {
        let books = &case.derived.books;
        if books.movements.is_empty() {
            return Verdict::NotEvaluated;
        }
        let found = books
            .movements
            .iter()
            .filter(|m| m.transfer.cylinder.is_none())
            .map(|m| {
                NO_CYLINDER.finding(
                    format!(
                        "{} {} names no cylinder",
                        movement_input(m).name,
                        m.transfer.written
                    ),
                    vec![movement_input(m)],
                )
            })
            .collect();
        Verdict::Judged(found)
    },
};

static FLAMMABLE: Rule = Rule {
    code: Code {
        id: "RB556",
        name: "flame-near-flammable-refrigerant",
        severity: Severity::Warning,
        explanation: "The unit holds a flammable refrigerant and the work used a flame. Recover, purge with nitrogen, and test the air with a detector rated for the gas before lighting a torch; where the design allows, join without a flame.",
    },
    needs: "the unit's refrigerant, and brazing or soldering in the work",
    plain: "Work with a flame was done on a unit with flammable refrigerant.",
    caution: Some(
        "Remove ignition sources, ventilate, use a detector rated for the refrigerant, and recover and purge before any flame. Only with the training and licence your local law asks for.",
    ),
    source: "usual caution for A2L and A3 refrigerants; common practice",
    check: |case| {
        let Some(own) = case.job.unit.refrigerant else {
            return Verdict::NotEvaluated;
        };
        let flame = case.job.entries().filter(|(_, e)| match &e.kind {
            EntryKind::Did(text) | EntryKind::Fitted(text) | EntryKind::Removed(text) => {
                fold(text).split(' ').any(|w| {
                    matches!(
                        w,
                        "brazed"
                            | "braze"
                            | "soldered"
                            | "brazing"
                            | "torch"
                            | "unsweat"
                            | "sweated"
                    )
                })
            }
            _ => false,
        });
        let found: Vec<Finding> = flame
            .filter(|_| own.is_flammable())
            .map(|(_, entry)| {
                let text = format!(
                    "a flame was used on a unit of {} ({})",
                    own.name,
                    own.class_name()
                );
                FLAMMABLE.finding(text, vec![super::entry_input("work", "", entry)])
            })
            .collect();
        Verdict::Judged(found)
    },
};
