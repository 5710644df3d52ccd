//! The lines that a line becomes.

use super::clause::{Clause, Kind};
use super::compose::{Composer, Written};
use super::number::atom;
use super::phrase::Phrases;
use super::reading::Group;
use crate::source::Span;

/// The lines of a line.
#[derive(Default)]
pub(super) struct Composed {
    pub lines: Vec<Written>,
    pub used: std::collections::BTreeSet<usize>,
    /// Statements of earlier lines that are taken back.
    pub scratches: usize,
    /// True when every clause was understood.
    pub complete: bool,
}

impl Composed {
    pub fn clauses(
        &mut self,
        composer: &Composer<'_, '_, '_>,
        clauses: &[Clause],
        clock: Option<Span>,
    ) {
        let mut unread = Vec::new();
        let written = clock;
        let mut clock = clock;
        for clause in clauses {
            if clause.kind == Kind::Scratch {
                // What was not understood is taken back as well.
                if unread.pop().is_some_and(|lines| lines == self.lines.len()) {
                    continue;
                }
                match self
                    .lines
                    .iter()
                    .rposition(|line| !line.text.starts_with('#'))
                {
                    // The words stay in the comment that says what was said.
                    Some(at) => {
                        let gone = self.lines.remove(at);
                        for word in gone.used {
                            self.used.remove(&word);
                        }
                        // The time of the line goes to what takes the place of its first statement.
                        if self.lines.iter().all(|line| line.text.starts_with('#')) {
                            clock = written;
                        }
                    }
                    None => self.scratches += 1,
                }
                continue;
            }
            if clause.kind == Kind::Nothing {
                continue;
            }
            let lines = composer.lines(clause, clock);
            if lines.is_empty() {
                unread.push(self.lines.len());
                continue;
            }
            clock = None;
            for line in &lines {
                self.used.extend(line.used.iter().copied());
            }
            self.lines.extend(lines);
        }
        self.complete = unread.is_empty();
    }
}

/// The readings of a clause.
pub(super) fn groups(clause: &Clause) -> &[Group] {
    match &clause.kind {
        Kind::Readings(groups) | Kind::Talk { groups, .. } | Kind::Act { groups, .. } => groups,
        _ => &[],
    }
}

/// Numbers of talk without a line kind that are in none of its readings.
pub(super) fn strays(phrases: Phrases<'_, '_>, clause: &Clause) -> Vec<Span> {
    let Kind::Talk { text, groups } = &clause.kind else {
        return Vec::new();
    };
    let mut strays = Vec::new();
    let mut end = 0;
    for at in phrases.leftover(text.clone(), groups) {
        let Some(number) = phrases.number(at).filter(|_| at >= end) else {
            continue;
        };
        end = number.range.end;
        // `two of them`, `the other one`
        let count = number.range.len() == 1
            && atom(phrases.folded(at)).is_some()
            && phrases.unit(end).is_none();
        if !count {
            let from = at.saturating_sub(1).max(text.start);
            strays.push(phrases.words[from].said.to(phrases.words[end - 1].said));
        }
    }
    strays
}
