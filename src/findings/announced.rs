//! RB605, RB606: a visit that ends with something open tells somebody, and says until when.

use super::debts::first_line;
use super::{Case, Finding, Rule, Verdict};
use crate::derive::{Debt, DebtKind, Input};
use crate::diagnostic::{Code, Severity};
use crate::model::{EntryKind, Visit};
use crate::vocabulary::{plain_words, same_word, says_when};

pub(super) static RULES: &[&Rule] = &[&LOCK_NOT_ANNOUNCED, &CONDITION_NOT_ANNOUNCED];

static LOCK_NOT_ANNOUNCED: Rule = Rule {
    code: Code {
        id: "RB605",
        name: "lock-not-announced",
        severity: Severity::Warning,
        explanation: "The visit ended (`depart`) with a lock still on, and the note does not say who was told of it, or by when it comes off. Somebody will stand before a dead unit. Write for example `told manager that the freezer stays locked off until tomorrow at eight`.",
    },
    needs: "a `locked out` line, and the `depart` of its visit with the lock still on",
    plain: "A power lock stayed on after a visit; it is not recorded who was told and until when.",
    caution: None,
    source: "common practice, no source",
    check: |case| unannounced(&LOCK_NOT_ANNOUNCED, case, DebtKind::Lock),
};

static CONDITION_NOT_ANNOUNCED: Rule = Rule {
    code: Code {
        id: "RB606",
        name: "left-open-not-announced",
        severity: Severity::Advice,
        explanation: "The visit ended (`depart`) with a temporary condition open, and the note does not say who was told of it, or by when it is undone. Write for example `told manager that the alarm is silenced until tomorrow`. A `told` line of the same visit that names the condition, or that comes after it and says `this` or `it`, is enough; the time may stand in it, in the `left` line, or in an `advise` or `approved` line after it.",
    },
    needs: "a `left` line, and the `depart` of its visit with the condition still open",
    plain: "Something stayed in a temporary state after a visit; it is not recorded who was told and until when.",
    caution: None,
    source: "common practice, no source",
    check: |case| unannounced(&CONDITION_NOT_ANNOUNCED, case, DebtKind::Condition),
};

fn unannounced(rule: &'static Rule, case: &Case<'_>, kind: DebtKind) -> Verdict {
    let mut judged = false;
    let mut found: Vec<Finding> = Vec::new();
    for debt in case.derived.debts.iter().filter(|d| d.kind == kind) {
        let Some(visit) = case.job.visits.get(debt.visit) else {
            continue;
        };
        let depart = visit
            .entries
            .iter()
            .rev()
            .find(|e| matches!(e.kind, EntryKind::Depart(_)) && e.span.start > debt.span.start);
        let Some(depart) = depart else { continue };
        if debt
            .closed
            .is_some_and(|(line, visit)| visit == debt.visit && line <= depart.line)
        {
            continue;
        }
        judged = true;
        let lacks = match announced(visit, debt) {
            (false, _) => "the note does not say who was told",
            (true, false) => "the note does not say by when it is undone",
            (true, true) => continue,
        };
        let what = first_line(&debt.text);
        let text = match kind {
            DebtKind::Lock => format!("lock-out of `{what}` was on at departure, and {lacks}"),
            DebtKind::Condition => format!("`{what}` was open at departure, and {lacks}"),
        };
        let place = |name: &str, line, span| Input {
            name: name.to_owned(),
            text: String::new(),
            line,
            span,
        };
        found.push(rule.finding(
            text,
            vec![
                place("left here", debt.line, debt.span),
                place("departed here", depart.line, depart.span),
            ],
        ));
    }
    Verdict::of(judged, found)
}

/// Whether somebody was told of a debt on its visit, and whether a time is given for its end.
fn announced(visit: &Visit, debt: &Debt) -> (bool, bool) {
    let subject = plain_words(&debt.text);
    let after = |place: u32| place > debt.span.start;
    let mut told = false;
    let mut when = says_when(&debt.text);
    for entry in &visit.entries {
        match &entry.kind {
            EntryKind::Told(text) => {
                let words = plain_words(text);
                let named = words
                    .iter()
                    .any(|w| subject.iter().any(|s| same_word(w, s)));
                let meant = after(entry.span.start) && points_back(text);
                if named || meant {
                    told = true;
                    when |= says_when(text);
                }
            }
            EntryKind::Advise { text, .. } | EntryKind::Approved(text)
                if after(entry.span.start) =>
            {
                when |= says_when(text);
            }
            _ => {}
        }
    }
    (told, when)
}

/// `that this holds overnight only`: what was just left is meant.
fn points_back(text: &str) -> bool {
    let folded = crate::vocabulary::fold(text);
    folded.split(' ').any(|w| {
        matches!(
            w,
            "this" | "it" | "these" | "both" | "everything" | "temporary"
        )
    })
}
