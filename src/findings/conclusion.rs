//! RB70x: the technician's own conclusion beside the readings.

use super::{Finding, Rule, Verdict, entry_input};
use crate::diagnostic::{Code, Severity};
use crate::model::EntryKind;
use crate::vocabulary::list;

pub(super) static RULES: &[&Rule] = &[&CAUSE_WITHOUT_READING, &NO_CAUSE];

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
                found.push(CAUSE_WITHOUT_READING.finding(
                    sentence,
                    vec![entry_input("cause", "", entry)],
                    entry.phase,
                ));
            }
        }
        if judged {
            Verdict::Judged(found)
        } else {
            Verdict::NotEvaluated
        }
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
                repair.phase,
            ));
        }
        Verdict::Judged(found)
    },
};
