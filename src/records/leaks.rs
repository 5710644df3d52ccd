//! What the rules on refrigerant make of one unit's notes.

use super::{NotedKind, Record};
use crate::duties::{Assessment, Event, EventKind, Verification, evaluate};
use crate::model::Flow;
use crate::vocabulary::{faults::Fault, fold};
use jiff::civil::Date;

/// What was done to a unit's refrigerant circuit, in the terms of the rules, from its notes.
///
/// - A movement of the unit's refrigerant is an addition or a recovery of its day. A first charge
///   or a conversion is one when the visit says so (`start-up`, `new installation`, `retrofit`).
/// - A leak repair is finished on the last day of a job that names a leak (as cause, or as seen),
///   did work, and put the unit under nitrogen without losing any.
/// - A verification test passed is a line that says `verification` and that nothing was found, or
///   that it held.
/// - A line that says so checks the whole unit: `leak inspection`, nothing found.
pub fn events(notes: &[&Record]) -> Vec<Event> {
    let mut out = Vec::new();
    for record in notes {
        let mut push = |date: Option<Date>, kind| {
            if let Some(date) = date {
                out.push(Event { date, kind });
            }
        };
        for movement in &record.movements {
            push(
                movement.date,
                match movement.flow {
                    Flow::Added => EventKind::Added(movement.mass),
                    Flow::Recovered => EventKind::Recovered(movement.mass),
                },
            );
        }
        for noted in &record.events {
            let date = record.date(noted.visit);
            for kind in told(noted.kind, &noted.text) {
                push(date, kind);
            }
        }
        push(repaired(record), EventKind::Repair);
    }
    out
}

/// What a line of work says in the terms of the rules.
fn told(kind: NotedKind, text: &str) -> Vec<EventKind> {
    if !matches!(kind, NotedKind::Did | NotedKind::Handled | NotedKind::Told) {
        return Vec::new();
    }
    let folded = format!(" {} ", fold(text));
    let has = |words: &str| folded.contains(&format!(" {words} "));
    let mut out = Vec::new();
    if kind != NotedKind::Told {
        if has("start up") || has("new installation") || has("first charge") {
            out.push(EventKind::InitialCharge);
        }
        if has("retrofit") || has("retrofitted") || has("converted") {
            out.push(EventKind::Retrofit);
        }
    }
    let is_clean = [
        "nothing found",
        "no leak",
        "no leaks",
        "none found",
        "held",
        "passed",
    ]
    .iter()
    .any(|words| has(words));
    if kind != NotedKind::Told && is_clean {
        if has("verification") {
            let is_second = has("follow up") || has("followup") || has("second");
            out.push(EventKind::VerificationPassed(match is_second {
                true => Verification::FollowUp,
                false => Verification::Initial,
            }));
        }
        if has("leak inspection") || has("whole unit checked for leaks") {
            out.push(EventKind::LeakInspection);
        }
    }
    out
}

/// Day on which a note's leak repair was finished.
fn repaired(record: &Record) -> Option<Date> {
    let is_leak = |text: &str| fold(text).split(' ').any(|word| word.starts_with("leak"));
    let names_leak = record.events.iter().any(|noted| match noted.kind {
        NotedKind::LeakSeen => true,
        NotedKind::Cause(fault) => fault == Some(Fault::Undercharge) && is_leak(&noted.text),
        _ => false,
    });
    let worked = record
        .events
        .iter()
        .any(|noted| matches!(noted.kind, NotedKind::Did | NotedKind::Fitted));
    let held = record
        .events
        .iter()
        .rfind(|noted| noted.kind == NotedKind::HoldPassed)?;
    (names_leak && worked)
        .then(|| record.date(held.visit))
        .flatten()
}

/// What the rules make of one unit's notes; `None` where no jurisdiction is named, or the unit held
/// several refrigerants.
pub fn assess(notes: &[&Record]) -> Option<Assessment> {
    let last = notes.last()?;
    let jurisdiction = notes.iter().rev().find_map(|r| r.jurisdiction)?;
    let mut plant = last.plant;
    // What a later note leaves out an earlier one may have said.
    for record in notes.iter().rev() {
        plant.refrigerant = plant.refrigerant.or(record.plant.refrigerant);
        plant.charge = plant.charge.or(record.plant.charge);
        plant.appliance = plant.appliance.or(record.plant.appliance);
        plant.leak_detection = plant.leak_detection.or(record.plant.leak_detection);
        plant.sealed = plant.sealed.or(record.plant.sealed);
    }
    Some(evaluate(&plant, jurisdiction, &events(notes)))
}
