//! What the rules on refrigerant make of one unit's notes.

use super::{NotedKind, Record};
use crate::duties::{Assessment, Event, EventKind, Plant, Verification, evaluate};
use crate::model::Flow;
use crate::settings::Settings;
use crate::vocabulary::{faults::Fault, fold};
use jiff::civil::Date;

/// What was done to a unit's refrigerant circuit, in the terms of the rules, from its notes.
///
/// - A movement of the unit's refrigerant is an addition or a recovery of its day. A first charge
///   or a conversion is one when the visit says so (`first charge`, `new installation`,
///   `retrofit` with the refrigerant it goes to).
/// - A leak repair is finished on the last day of a job that names a leak (as cause, or as seen),
///   did work, and put the unit under nitrogen without losing any.
/// - A verification test passed is a line that says `verification` and that nothing was found, or
///   that it held.
/// - A line that says so checks the whole unit: `leak check of the whole unit, no leaks found`.
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
    if !matches!(kind, NotedKind::Did | NotedKind::Handled) {
        return Vec::new();
    }
    let folded = format!(" {} ", fold(text));
    let has = |words: &[&str]| words.iter().any(|w| folded.contains(&format!(" {w} ")));
    let mut out = Vec::new();
    if has(&["first charge", "initial charge", "new installation"]) {
        out.push(EventKind::InitialCharge);
    }
    // A retrofit of lights is none of the circuit's: the refrigerant that it goes to is named.
    if has(&["retrofit", "retrofitted", "converted"]) && names_refrigerant(text) {
        out.push(EventKind::Retrofit);
    }
    let is_denied = has(&["not", "failed", "fails", "fail", "still", "bubbles"]);
    let is_clean = has(&[
        "nothing found",
        "no leak",
        "no leaks",
        "none found",
        "held",
        "passed",
        "tight",
    ]);
    if is_clean && !is_denied {
        if has(&[
            "follow up verification",
            "followup verification",
            "second verification",
        ]) {
            out.push(EventKind::VerificationPassed(Verification::FollowUp));
        } else if has(&["verification"]) {
            out.push(EventKind::VerificationPassed(Verification::Initial));
        }
        if has(&["leak inspection", "leak check", "leak search"]) && has(&["whole", "all", "every"])
        {
            out.push(EventKind::LeakInspection);
        }
    }
    out
}

fn names_refrigerant(text: &str) -> bool {
    text.split_whitespace()
        .map(|word| word.trim_matches([',', ';', '.', '(', ')']))
        .any(|word| {
            let is_designation = word
                .chars()
                .next()
                .is_some_and(|c| c.eq_ignore_ascii_case(&'r'))
                && word.chars().any(|c| c.is_ascii_digit());
            is_designation && crate::refrigerant::lookup(word).is_some()
        })
}

/// Day on which a note's leak repair was finished.
fn repaired(record: &Record) -> Option<Date> {
    let names_leak = record.events.iter().any(|noted| match noted.kind {
        NotedKind::LeakSeen => is_of_refrigerant(&noted.text),
        NotedKind::Cause(Some(Fault::Undercharge)) => {
            fold(&noted.text)
                .split(' ')
                .any(|word| word.starts_with("leak"))
                && is_of_refrigerant(&noted.text)
        }
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

/// False for a leak of water, air or oil, which is none of refrigerant.
fn is_of_refrigerant(text: &str) -> bool {
    const OTHER: &[&str] = &[
        "water",
        "air",
        "door",
        "gasket",
        "drain",
        "roof",
        "condensate",
        "oil",
    ];
    !fold(text).split(' ').any(|word| OTHER.contains(&word))
}

/// What the rules make of one unit's notes; `None` where no jurisdiction is named. What a note says
/// comes before what the settings say for all.
pub fn assess(notes: &[&Record], settings: &Settings) -> Option<Assessment> {
    fn last<T>(notes: &[&Record], of: impl Fn(&Record) -> Option<T>) -> Option<T> {
        notes.iter().rev().find_map(|record| of(record))
    }
    let jurisdiction = last(notes, |r| r.jurisdiction).or(settings.jurisdiction)?;
    let plant = Plant {
        refrigerant: last(notes, |r| r.plant.refrigerant),
        charge: last(notes, |r| r.plant.charge),
        appliance: last(notes, |r| r.plant.appliance).or(settings.appliance),
        leak_detection: last(notes, |r| r.plant.leak_detection),
        sealed: last(notes, |r| r.plant.sealed),
        method: settings.method,
    };
    Some(evaluate(&plant, jurisdiction, &events(notes)))
}
