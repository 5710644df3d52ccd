//! RB70x: the technician's own conclusion beside the readings.

use super::{Finding, Rule, Verdict, entry_input};
use crate::diagnostic::{Code, Severity};
use crate::model::EntryKind;
use crate::vocabulary::{fold, list};

pub(super) static RULES: &[&Rule] = &[&CAUSE_WITHOUT_READING, &NO_CAUSE, &SAFETY_STATED];

static CAUSE_WITHOUT_READING: Rule = Rule {
    code: Code {
        id: "RB701",
        name: "cause-without-reading",
        severity: Severity::Warning,
        explanation: "A cause is stated and nothing that was measured or seen before it in the note bears on it. It may well be right; the next technician cannot know. Add the reading that showed it.",
    },
    needs: "a `cause` line that names a known fault",
    plain: "The cause is the technician's judgement; the reading behind it is not recorded.",
    caution: None,
    source: "a conclusion rests on evidence",
    check: |case| {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        for (_, entry) in case.job.entries() {
            let EntryKind::Cause {
                text,
                fault: Some(fault),
            } = &entry.kind
            else {
                continue;
            };
            judged = true;
            let shown = case
                .job
                .readings()
                .any(|r| fault.shown_by.contains(&r.point) && r.span.start < entry.span.start);
            let seen = case.job.entries().any(|(_, e)| {
                e.span.start < entry.span.start
                    && matches!(&e.kind, EntryKind::Observation { signs, .. } if !signs.is_empty())
            });
            if !shown && !seen {
                let wanted: Vec<&str> = fault.shown_by.iter().take(4).map(|p| p.name()).collect();
                let sentence = format!(
                    "`{}` is stated with no reading behind it: {} would show it",
                    text.lines().next().unwrap_or(""),
                    list(&wanted, "or")
                );
                found.push(
                    CAUSE_WITHOUT_READING.finding(sentence, vec![entry_input("cause", "", entry)]),
                );
            }
        }
        Verdict::of(judged, found)
    },
};

static NO_CAUSE: Rule = Rule {
    code: Code {
        id: "RB702",
        name: "no-cause-stated",
        severity: Severity::Advice,
        explanation: "Work was done on a complaint and no `cause` line says what was wrong. The customer report then has to say that the cause is not stated.",
    },
    needs: "a repair (did, fitted, added)",
    plain: "The cause of the problem is not stated.",
    caution: None,
    source: "a report answers what was wrong",
    check: |case| {
        let Some((_, repair)) = case.job.entries().find(|(_, e)| e.kind.is_repair()) else {
            return Verdict::NotEvaluated;
        };
        let stated = case
            .job
            .entries()
            .any(|(_, e)| matches!(e.kind, EntryKind::Cause { .. }));
        let mut found = Vec::new();
        if !stated {
            found.push(NO_CAUSE.finding(
                "work was done and no cause is stated".to_owned(),
                vec![entry_input("work", "", repair)],
            ));
        }
        Verdict::Judged(found)
    },
};

static SAFETY_STATED: Rule = Rule {
    code: Code {
        id: "RB703",
        name: "safety-stated",
        severity: Severity::Advice,
        explanation: "A line that the customer reads says that something is safe. Whether food, a room or a system is safe is for local codes and the people responsible on site; a report gives what was measured. Write the reading and who decides instead.",
    },
    needs: "a line that the customer reads",
    plain: "What is safe is for the people responsible on site to decide.",
    caution: None,
    source: "the report advises; it does not certify",
    check: |case| {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        for (_, entry) in case.job.entries() {
            let text = match &entry.kind {
                EntryKind::Told(text)
                | EntryKind::Did(text)
                | EntryKind::Cause { text, .. }
                | EntryKind::Advise { text, .. }
                | EntryKind::Observation { text, .. } => text,
                _ => continue,
            };
            judged = true;
            let mentions = text
                .as_bytes()
                .windows(4)
                .any(|word| word.eq_ignore_ascii_case(b"safe"));
            if !mentions {
                continue;
            }
            let folded = fold(text);
            let words: Vec<&str> = folded.split(' ').collect();
            let denied = words
                .iter()
                .any(|w| matches!(*w, "not" | "no" | "if" | "whether"));
            if words.contains(&"safe") && !denied {
                let sentence =
                    "this line says that something is safe: give the reading, and who decides"
                        .to_owned();
                found.push(SAFETY_STATED.finding(sentence, vec![entry_input("line", "", entry)]));
            }
        }
        Verdict::of(judged, found)
    },
};
