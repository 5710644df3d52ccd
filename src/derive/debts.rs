//! Temporary conditions and locks: what was opened, and what closed it.
//!
//! A debt is opened by `left …` and by the verbs that say the same in one word (`jumpered`,
//! `bypassed`, `silenced`, `muted`, `disabled`, `fitted jumper …`), a lock by `locked out …`. It is
//! closed by `restored …`, `put … back`, `turned … back on` and the like, by taking a jumper off
//! (`removed jumper …`), a lock by `lock off …`. What closes need not repeat the words that opened,
//! only name the same thing and no other.

use crate::model::{EntryKind, Job, Minutes};
use crate::source::Span;
use crate::vocabulary::{fold, plain_words, same_word, tell_apart};

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
            // A jumper taken off undoes what a jumper was left for; another's jumper is only work.
            EntryKind::Handled { text, .. } if takes_off_jumper(text) => {
                if let Some(debt) = best_match(&debts, DebtKind::Condition, text) {
                    debts[debt].closed = Some((entry.line, visit));
                }
                continue;
            }
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
        let closed = closed_by(&debts, kind, text);
        for &debt in &closed {
            debts[debt].closed = Some((entry.line, visit));
        }
        if closed.is_empty() && !is_the_whole_unit(text) {
            orphans.push(Orphan {
                kind,
                text: text.clone(),
                line: entry.line,
                span: entry.span,
                open: debts
                    .iter()
                    .filter(|d| d.kind == kind && d.closed.is_none())
                    .map(|d| d.text.clone())
                    .collect(),
            });
        }
    }
    (debts, orphans)
}

/// Which of some open debts of a kind, by their texts, a closing line undoes; none when two fit
/// equally well.
pub fn closes(open: &[&str], kind: DebtKind, closing: &str) -> Vec<usize> {
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
    closed_by(&debts, kind, closing)
}

/// `restored everything`, `locks all off`: whatever is open.
fn names_all(text: &str) -> bool {
    let folded = fold(text);
    let plain = plain_words(text);
    plain == ["everything"] || plain.is_empty() && folded.split(' ').any(|w| w == "all")
}

/// `turned the unit back on`: it need not have been left off for that.
fn is_the_whole_unit(text: &str) -> bool {
    let plain = plain_words(text);
    let first = plain.first().map(String::as_str);
    matches!(first, Some("unit" | "system" | "everything"))
}

fn takes_off_jumper(text: &str) -> bool {
    let plain = plain_words(text);
    let off = plain.first().is_some_and(|w| w == "removed" || w == "took");
    off && plain.iter().any(|w| w == "jumper" || w == "bypass")
}

/// The debts that a closing line closes: the one that its first part names, and any other that a
/// later part names whole (`restored high temp alarm and defrost timer`); else the one that the
/// whole line names.
fn closed_by(debts: &[Debt], kind: DebtKind, text: &str) -> Vec<usize> {
    let parts = text
        .split([',', ';', '+', '&'])
        .flat_map(|part| part.split(" and "));
    let mut closed: Vec<usize> = Vec::new();
    if names_all(text) {
        let open = |&i: &usize| debts[i].kind == kind && debts[i].closed.is_none();
        return (0..debts.len()).filter(open).collect();
    }
    for (i, part) in parts.enumerate() {
        let words = plain_words(part);
        let named = best_match(debts, kind, part).filter(|&debt| {
            let whole = || shared(&words, &plain_words(&debts[debt].text)) == words.len();
            i == 0 || !words.is_empty() && whole()
        });
        closed.extend(named.filter(|debt| !closed.contains(debt)));
    }
    if closed.is_empty() {
        closed.extend(best_match(debts, kind, text));
    }
    closed
}

/// The open debt that shares most of the closing line's words; none when two share equally many.
///
/// One may be closed without its name when it is the only one: nothing else can be meant.
fn best_match(debts: &[Debt], kind: DebtKind, text: &str) -> Option<usize> {
    let closing = plain_words(text);
    let open: Vec<usize> = (0..debts.len())
        .filter(|&i| debts[i].kind == kind && debts[i].closed.is_none())
        .collect();
    if closing.is_empty() {
        return match open.as_slice() {
            [only] => Some(*only),
            _ => None,
        };
    }
    let fits: Vec<(usize, usize)> = open
        .into_iter()
        .filter_map(|i| {
            let opening = plain_words(&debts[i].text);
            let shared = shared(&closing, &opening);
            let fits = shared > 0 && 2 * shared >= closing.len() && !tell_apart(&opening, &closing);
            fits.then_some((shared, i))
        })
        .collect();
    let best = fits.iter().map(|f| f.0).max()?;
    let mut equals = fits.iter().filter(|f| f.0 == best);
    let first = equals.next()?;
    // Two that fit equally well: which one was undone is not for luck to say.
    equals.next().is_none().then_some(first.1)
}

/// How many words of a closing line its opening line has too.
fn shared(closing: &[String], opening: &[String]) -> usize {
    closing
        .iter()
        .filter(|word| opening.iter().any(|other| same_word(word, other)))
        .count()
}
