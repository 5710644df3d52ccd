//! What a customer asks first, and what the note answers: nothing is answered that it does not state.

use super::advice::{Advice, of_declined};
use super::plain::temperature;
use super::repairs;
use crate::compile::Compiled;
use crate::derive::{DebtKind, HoldTest, Measured, VacuumShape};
use crate::diagnostic::Severity;
use crate::expectation::{Application, application};
use crate::model::{Entry, EntryKind};
use crate::quantity::Quantity;
use crate::say;
use crate::vocabulary::Point;
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// The questions of the first screen.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Answers {
    /// What was wrong: the technician's conclusion.
    pub wrong: Answer,
    /// Whether it is put right, as far as the note says.
    pub outcome: Outcome,
    /// What was measured of food; `None` for a unit that cools rooms.
    pub food: Option<Answer>,
    /// Whether it may happen again: what the technician noted to watch.
    pub again: Answer,
    /// What waiting costs: what was noted beside a recommendation.
    pub waiting: Answer,
    /// The most urgent thing to decide, and how many more there are.
    pub decide: Answer,
    /// Who comes next, and when.
    pub next: Answer,
}

/// One answer.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Answer {
    /// False when the note says nothing of it: `lines` then say so.
    pub stated: bool,
    /// In words.
    pub lines: Vec<String>,
}

impl Answer {
    fn of(lines: Vec<String>, otherwise: impl FnOnce() -> String) -> Self {
        match lines.is_empty() {
            true => Self {
                stated: false,
                lines: vec![otherwise()],
            },
            false => Self {
                stated: true,
                lines,
            },
        }
    }
}

/// How the job stands.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Outcome {
    /// `repaired`, `watch`, `unproved`, `not-repaired`.
    pub state: &'static str,
    /// One short sentence.
    pub summary: String,
    /// What speaks for or against it, a sentence each.
    pub because: Vec<String>,
}

/// Answers what the note states.
///
/// `shown_after`: whether readings after the repair are shown beside the answers.
pub(super) fn answers(
    compiled: &Compiled,
    words: &Words,
    decide: &[Advice],
    shown_after: bool,
) -> Answers {
    let texts = |wanted: fn(&EntryKind) -> Option<&String>| -> Vec<String> {
        let kinds = compiled.job.entries().map(|(_, e)| &e.kind);
        kinds.filter_map(wanted).cloned().collect()
    };
    let not_stated = || say!(words, "not-stated");
    let causes = texts(|kind| match kind {
        EntryKind::Cause { text, .. } => Some(text),
        _ => None,
    });
    let watch = texts(|kind| match kind {
        EntryKind::Watch(text) => Some(text),
        _ => None,
    });
    // What was decided against has its consequence all the same.
    let refused = of_declined(&compiled.job);
    let several = decide.len() + refused.len() > 1;
    let told = |what: &str, otherwise: &str| match several {
        true => say!(words, "waiting-of", what = what, text = otherwise),
        false => otherwise.to_owned(),
    };
    let mut waiting: Vec<String> = decide
        .iter()
        .filter_map(|a| Some(told(&a.text, a.otherwise.as_ref()?)))
        .collect();
    waiting.extend(
        refused
            .iter()
            .map(|(what, otherwise)| told(what, otherwise)),
    );
    Answers {
        wrong: Answer::of(causes, || say!(words, "cause-not-stated")),
        outcome: outcome(compiled, words, shown_after),
        food: food(compiled, words),
        again: Answer::of(watch, not_stated),
        waiting: Answer::of(waiting, || match decide.is_empty() {
            true => say!(words, "nothing-open"),
            false => say!(words, "not-stated"),
        }),
        decide: Answer::of(first_decisions(decide, words), || {
            say!(words, "nothing-to-decide")
        }),
        next: Answer::of(booked(compiled, words), not_stated),
    }
}

/// The cause stated, if any, and how the job stands, for a list of jobs.
pub fn standing(compiled: &Compiled, words: &Words) -> (Option<String>, Outcome) {
    let mut entries = compiled.job.entries();
    let cause = entries.find_map(|(_, entry)| match &entry.kind {
        EntryKind::Cause { text, .. } => text.lines().next().map(str::to_owned),
        _ => None,
    });
    (cause, outcome(compiled, words, false))
}

fn first_decisions(decide: &[Advice], words: &Words) -> Vec<String> {
    let Some(first) = decide.first() else {
        return Vec::new();
    };
    let mut lines = vec![format!("{}: {}", first.when, first.text)];
    if decide.len() > 1 {
        lines.push(say!(words, "more-to-decide", count = decide.len() - 1));
    }
    lines
}

/// Visits arranged on the last visit: those arranged before it have been. A day that leads is said in
/// words.
pub(super) fn booked(compiled: &Compiled, words: &Words) -> Vec<String> {
    let last = compiled.job.visits.len().saturating_sub(1);
    let arranged = |(visit, entry): (usize, &Entry)| match &entry.kind {
        EntryKind::Booked(text) if visit == last => {
            let (first, rest) = text.split_once([' ', ',']).unwrap_or((text, ""));
            Some(match first.parse() {
                Ok(date) => format!("{} {}", words.day(date), rest.trim_start())
                    .trim_end()
                    .to_owned(),
                Err(_) => text.clone(),
            })
        }
        _ => None,
    };
    compiled.job.entries().filter_map(arranged).collect()
}

/// The last reading of each product, or that there is none.
fn food(compiled: &Compiled, words: &Words) -> Option<Answer> {
    let job = &compiled.job;
    if application(&job.unit) == Some(Application::AirConditioning) {
        return None;
    }
    let mut last: Vec<&crate::model::Reading> = Vec::new();
    let measured = |r: &&crate::model::Reading| r.point == Point::Product && r.written().is_some();
    for reading in job.readings().filter(measured) {
        match last.iter_mut().find(|seen| seen.which == reading.which) {
            Some(seen) => *seen = reading,
            None => last.push(reading),
        }
    }
    let mut lines: Vec<String> = last
        .iter()
        .map(|reading| {
            let value = super::plain::value(reading, job.display);
            let which = reading.which.as_deref().unwrap_or("");
            let at = match (job.visits.len(), reading.at) {
                (0 | 1, at) => at.map(|at| at.to_string()),
                (_, at) => Some(words.moment(job, reading.visit, at)),
            };
            match (which, at) {
                ("", None) => say!(words, "food-last", value = value),
                ("", Some(at)) => say!(words, "food-last-at", value = value, at = at),
                (which, None) => say!(words, "food-last-of", value = value, which = which),
                (which, Some(at)) => say!(
                    words,
                    "food-last-of-at",
                    value = value,
                    which = which,
                    at = at
                ),
            }
        })
        .collect();
    if let (false, Some(limit)) = (lines.is_empty(), &job.food.limit) {
        let limit = temperature(limit.node, job.display);
        lines.push(say!(words, "food-limit", limit = limit));
    }
    Some(Answer::of(lines, || {
        let of_box = |r: &&crate::model::Reading| r.point == Point::Box;
        match job.readings().filter(of_box).last() {
            Some(reading)
                if matches!(
                    reading.written().map(|w| w.quantity),
                    Some(Quantity::Temperature(_))
                ) =>
            {
                say!(
                    words,
                    "food-not-measured-box",
                    value = super::plain::value(reading, job.display)
                )
            }
            _ => say!(words, "food-not-measured"),
        }
    }))
}

/// Whether the last hold or the last evacuation failed: one that failed before it was repaired and tested
/// again is history.
fn last_test_failed(compiled: &Compiled) -> bool {
    let derived = &compiled.derived;
    let failed = |shape| {
        matches!(
            shape,
            Some(VacuumShape::Moisture | VacuumShape::Leak | VacuumShape::Undecided)
        )
    };
    derived.holds.last().is_some_and(HoldTest::leaks)
        || derived
            .vacuums
            .last()
            .is_some_and(|test| failed(test.shape))
}

fn outcome(compiled: &Compiled, words: &Words, shown_after: bool) -> Outcome {
    let findings = &compiled.findings().found;
    let fired = |id: &str| findings.iter().any(|f| f.rule.code.id == id);
    let mut because = Vec::new();
    let said = |state, id: &str, because| Outcome {
        state,
        summary: words.say(id),
        because,
    };
    let open = |kind: DebtKind| {
        let mut debts = compiled.derived.debts.iter();
        debts.any(|d| d.closed.is_none() && d.kind == kind)
    };
    let Some((_, repaired_at)) = repairs(&compiled.job) else {
        if open(DebtKind::Condition) {
            because.push(say!(words, "because-temporary"));
        }
        return match open(DebtKind::Lock) {
            true => said("not-repaired", "outcome-locked", because),
            false => said("not-repaired", "outcome-not-repaired", because),
        };
    };
    if fired("RB510") {
        because.push(say!(words, "because-not-measured"));
    }
    if fired("RB351") {
        because.push(say!(words, "because-above-setting"));
    }
    let mut food = compiled.derived.food.iter();
    if food.any(|row| row.measured == Measured::Food && row.above_at_last().is_some()) {
        because.push(say!(words, "because-food-above"));
    }
    let still_off = findings.iter().any(|f| {
        let of_running = f.rule.family().is_some_and(|family| family.of_running);
        of_running && f.rule.code.severity >= Severity::Warning && f.span().start > repaired_at
    });
    if still_off {
        because.push(say!(words, "because-still-off"));
    }
    if last_test_failed(compiled) {
        because.push(say!(words, "because-test-failed"));
    }
    if open(DebtKind::Lock) {
        because.push(say!(words, "because-locked"));
    }
    if open(DebtKind::Condition) {
        because.push(say!(words, "because-temporary"));
    }
    if fired("RB510") {
        said("unproved", "outcome-unproved", because)
    } else if because.is_empty() {
        if shown_after {
            because.push(say!(words, "because-readings"));
        }
        said("repaired", "outcome-repaired", because)
    } else {
        said("watch", "outcome-watch", because)
    }
}
