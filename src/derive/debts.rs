//! Temporary conditions and locks: what was opened, and what closed it.

use crate::model::{EntryKind, Job, Minutes};
use crate::source::Span;
use crate::vocabulary::fold;

/// What kind of debt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DebtKind {
    /// `left …`, undone by `restored …`.
    Condition,
    /// `locked out …`, undone by `lock off …`.
    Lock,
}

/// Something that must be undone.
#[derive(Debug, Clone, PartialEq)]
pub struct Debt {
    /// Which kind.
    pub kind: DebtKind,
    /// What was left or locked, as written.
    pub text: String,
    /// Line that opened it.
    pub line: u32,
    /// Its place.
    pub span: Span,
    /// Visit that opened it.
    pub visit: usize,
    /// When it was opened.
    pub at: Option<Minutes>,
    /// Line and visit that closed it; `None` while open.
    pub closed: Option<(u32, usize)>,
}

/// A closing line that nothing had opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Orphan {
    /// Which kind.
    pub kind: DebtKind,
    /// What was said to be undone.
    pub text: String,
    /// Its line.
    pub line: u32,
    /// Its place.
    pub span: Span,
    /// What was open at that moment, for the message.
    pub open: Vec<String>,
}

/// Every debt of the job, and every closing line that closed none.
pub(super) fn settle(job: &Job) -> (Vec<Debt>, Vec<Orphan>) {
    let mut debts: Vec<Debt> = Vec::new();
    let mut orphans = Vec::new();
    for (visit, entry) in job.entries() {
        let (kind, text, opens) = match &entry.kind {
            EntryKind::Left(text) => (DebtKind::Condition, text, true),
            EntryKind::Restored(text) => (DebtKind::Condition, text, false),
            EntryKind::LockedOut(text) => (DebtKind::Lock, text, true),
            EntryKind::LockOff(text) => (DebtKind::Lock, text, false),
            _ => continue,
        };
        if opens {
            debts.push(Debt {
                kind,
                text: text.clone(),
                line: entry.line,
                span: entry.span,
                visit,
                at: entry.at,
                closed: None,
            });
            continue;
        }
        match best_match(&debts, kind, text) {
            Some(debt) => debts[debt].closed = Some((entry.line, visit)),
            None => orphans.push(Orphan {
                kind,
                text: text.clone(),
                line: entry.line,
                span: entry.span,
                open: debts
                    .iter()
                    .filter(|d| d.kind == kind && d.closed.is_none())
                    .map(|d| d.text.clone())
                    .collect(),
            }),
        }
    }
    (debts, orphans)
}

/// Which of some open debts of a kind, by their texts, a closing line undoes; none when two fit
/// equally well.
pub fn closes(open: &[&str], kind: DebtKind, closing: &str) -> Option<usize> {
    let debts: Vec<Debt> = open
        .iter()
        .map(|text| Debt {
            kind,
            text: (*text).to_owned(),
            line: 0,
            span: Span::default(),
            visit: 0,
            at: None,
            closed: None,
        })
        .collect();
    best_match(&debts, kind, closing)
}

/// The open debt that shares most of the closing line's words; none when two share equally many.
///
/// A lock may be closed without its name when only one is on: nothing else can be meant.
fn best_match(debts: &[Debt], kind: DebtKind, text: &str) -> Option<usize> {
    let closing = significant(text);
    let open: Vec<usize> = (0..debts.len())
        .filter(|&i| debts[i].kind == kind && debts[i].closed.is_none())
        .collect();
    if kind == DebtKind::Lock && closing.is_empty() {
        return match open.as_slice() {
            [only] => Some(*only),
            _ => None,
        };
    }
    let fits: Vec<(usize, usize)> = open
        .into_iter()
        .filter_map(|i| {
            let opening = significant(&debts[i].text);
            let shared = closing.iter().filter(|w| opening.contains(w)).count();
            // `disconnect 2` does not close `disconnect 1`.
            let labels = |words: &[String]| -> Vec<String> {
                words.iter().filter(|w| is_label(w)).cloned().collect()
            };
            let (a, b) = (labels(&opening), labels(&closing));
            let clash = !a.is_empty() && !b.is_empty() && a != b;
            (shared > 0 && 2 * shared >= closing.len() && !clash).then_some((shared, i))
        })
        .collect();
    let best = fits.iter().map(|f| f.0).max()?;
    let mut equals = fits.iter().filter(|f| f.0 == best);
    let first = equals.next()?;
    // Two that fit equally well: which one was undone is not for luck to say.
    equals.next().is_none().then_some(first.1)
}

/// A number or a single letter: which one of several.
fn is_label(word: &str) -> bool {
    word.len() == 1 || word.bytes().all(|b| b.is_ascii_digit())
}

/// Words that tell one condition from another.
fn significant(text: &str) -> Vec<String> {
    const EMPTY: &[&str] = &[
        "the", "a", "an", "on", "off", "to", "of", "and", "in", "at", "is", "was", "it", "back",
        "again", "normal", "for", "now", "with", "all",
    ];
    fold(text)
        .split(' ')
        .filter(|w| !w.is_empty() && !EMPTY.contains(w))
        .map(str::to_owned)
        .collect()
}
