//! RB60x: what was left open.

use super::{Case, Finding, Rule, Verdict};
use crate::derive::{Debt, DebtKind, Input, Orphan};
use crate::diagnostic::{Code, Severity};

pub(super) static RULES: &[&Rule] = &[
    &LEFT_OPEN,
    &LOCK_LEFT_ON,
    &RESTORED_NOTHING,
    &UNLOCKED_NOTHING,
];

fn open(
    rule: &'static Rule,
    case: &Case<'_>,
    kind: DebtKind,
    sentence: impl Fn(&Debt) -> String,
) -> Verdict {
    let of_kind: Vec<&Debt> = case
        .derived
        .debts
        .iter()
        .filter(|d| d.kind == kind)
        .collect();
    if of_kind.is_empty() {
        return Verdict::NotEvaluated;
    }
    let found: Vec<Finding> = of_kind
        .into_iter()
        .filter(|d| d.closed.is_none())
        .map(|d| {
            let evidence = Input {
                name: "left here".to_owned(),
                text: String::new(),
                line: d.line,
                span: d.span,
            };
            rule.finding(sentence(d), vec![evidence])
        })
        .collect();
    Verdict::Judged(found)
}

fn orphan(
    rule: &'static Rule,
    case: &Case<'_>,
    kind: DebtKind,
    sentence: impl Fn(&Orphan) -> String,
) -> Verdict {
    let found = case
        .derived
        .orphans
        .iter()
        .filter(|o| o.kind == kind)
        .map(|o| {
            let evidence = Input {
                name: String::new(),
                text: String::new(),
                line: o.line,
                span: o.span,
            };
            rule.finding(sentence(o), vec![evidence])
        })
        .collect();
    Verdict::Judged(found)
}

static LEFT_OPEN: Rule = Rule {
    code: Code {
        id: "RB601",
        name: "left-open",
        severity: Severity::Warning,
        explanation: "A temporary condition was opened with `left` and never closed with `restored`. These open one: `left …`, `jumpered …`, `bypassed …`, `silenced …`, `muted …`, `disabled …`, `fitted jumper …`; these close it: `restored …`, `put … back`, `turned … back on`, `plugged … back in`, `reconnected …`, `enabled …`, `removed jumper …`, in any words that name the same thing and no other. It is what gets forgotten when the next call comes. If it was undone, write `restored` and what; if it stays, tell the customer and book the return.",
    },
    needs: "a `left` line",
    plain: "Something was left in a temporary state and must be put back.",
    caution: None,
    source: "every `left` needs its `restored`",
    check: |case| {
        open(&LEFT_OPEN, case, DebtKind::Condition, |d| {
            format!("`{}` was left and not restored", first_line(&d.text))
        })
    },
};

static LOCK_LEFT_ON: Rule = Rule {
    code: Code {
        id: "RB602",
        name: "lock-left-on",
        severity: Severity::Warning,
        explanation: "Energy was locked out and no line takes the lock off. Either the unit is still locked, or the line is missing.",
    },
    needs: "a `locked out` line",
    plain: "A power lock is recorded as still in place.",
    caution: Some(
        "Only the person who put a lock on takes it off, after everyone is clear (OSHA 29 CFR 1910.147; your local code).",
    ),
    source: "every `locked out` needs its `lock off`",
    check: |case| {
        open(&LOCK_LEFT_ON, case, DebtKind::Lock, |d| {
            format!("lock-out of `{}` was not taken off", first_line(&d.text))
        })
    },
};

static RESTORED_NOTHING: Rule = Rule {
    code: Code {
        id: "RB603",
        name: "restored-nothing-left",
        severity: Severity::Advice,
        explanation: "A `restored` line matches no open `left` line of this note. It may close something left on an earlier job; otherwise its words differ too much, or the `left` line is missing.",
    },
    needs: "nothing",
    plain: "Something was put back that is not recorded as left.",
    caution: None,
    source: "every `left` needs its `restored`",
    check: |case| {
        orphan(&RESTORED_NOTHING, case, DebtKind::Condition, |o| {
            format!(
                "`{}` was restored, but nothing like it was left in this note{}",
                first_line(&o.text),
                still_open(o)
            )
        })
    },
};

static UNLOCKED_NOTHING: Rule = Rule {
    code: Code {
        id: "RB604",
        name: "lock-off-without-lock",
        severity: Severity::Advice,
        explanation: "A lock is taken off that no line of this note put on.",
    },
    needs: "nothing",
    plain: "A lock was taken off that is not recorded as put on.",
    caution: None,
    source: "every `locked out` needs its `lock off`",
    check: |case| {
        orphan(&UNLOCKED_NOTHING, case, DebtKind::Lock, |o| {
            format!(
                "lock off `{}`, but no such lock was put on in this note{}",
                first_line(&o.text),
                still_open(o)
            )
        })
    },
};

pub(super) fn first_line(text: &str) -> &str {
    text.lines().next().unwrap_or("")
}

/// Names what is open, so that the words can be made to match.
fn still_open(orphan: &Orphan) -> String {
    if orphan.open.is_empty() {
        return String::new();
    }
    // Several that fit alike are named, and none is closed.
    let open: Vec<String> = orphan
        .open
        .iter()
        .map(|text| format!("`{}`", first_line(text)))
        .collect();
    format!("; open at that time: {}", open.join(", "))
}
