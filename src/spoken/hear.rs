//! A note from raw dictation: prose without lines, perhaps with times of the recording.
//!
//! Every statement stands under a comment with the words it was made of, and what was not understood
//! stands as a comment of its own, so every word of the dictation is in the note.

use super::clause::{Clause, Kind};
use super::compose::{Composer, Written};
use super::doubt::{doubt, doubt_beside};
use super::phrase::{Group, Phrases};
use super::rewrite::{groups, strays};
use super::words::{Pause, Word, is_stamp, put_right, words};
use crate::syntax::is_blank;

/// Columns of a comment line.
const COMMENT: usize = 96;
/// Bytes of a statement beyond which its text goes on in indented lines.
const LONGEST: usize = 400;

/// The note that a dictation states, in the notation; `visit` is the text of its visit line, for a
/// dictation that opens none.
pub fn hear(dictation: &str, visit: Option<&str>) -> String {
    let mut cut = words(dictation, 0);
    pause_at_stamps(dictation, &mut cut);
    let said = put_right(cut, false);
    let phrases = Phrases { words: &said };
    let clauses = phrases.clauses(true, true);
    let mut note = Note::default();
    let mut start = 0;
    for (i, clause) in clauses.iter().enumerate() {
        let next = clauses.get(i + 1).map_or(dictation.len(), |next| {
            starts_at(dictation, said[next.words.start].said.start as usize, start)
        });
        let spoken = &dictation[start..next];
        note.clause(dictation, phrases, clause, spoken, visit);
        start = next;
    }
    if clauses.is_empty() {
        note.comment("not understood", dictation);
    }
    note.whole()
}

/// Where the words of a clause start, the time of the recording before them included.
fn starts_at(dictation: &str, word: usize, least: usize) -> usize {
    let before = &dictation[least..word];
    let stamp = before
        .split(is_blank)
        .rev()
        .take_while(|raw| raw.is_empty() || is_stamp(raw) || !raw.contains(char::is_alphanumeric))
        .filter(|raw| !raw.is_empty())
        .last();
    stamp.map_or(word, |raw| raw.as_ptr() as usize - dictation.as_ptr() as usize)
}

/// An empty line or, in a dictation without stops, a time of the recording ends a sentence.
fn pause_at_stamps(dictation: &str, words: &mut [Word<'_>]) {
    let stops = words.iter().filter(|word| word.after == Pause::Stop).count();
    let few = stops * 30 < words.len();
    for at in 1..words.len() {
        let gap = &dictation[words[at - 1].said.end as usize..words[at].said.start as usize];
        let stamp = few && gap.split(is_blank).any(is_stamp);
        if stamp || gap.matches('\n').count() > 1 {
            words[at - 1].after = Pause::Stop;
        }
    }
}

/// The note in the making.
#[derive(Default)]
struct Note {
    head: String,
    text: String,
    /// Where the lines of the last statement start and end.
    last: Option<std::ops::Range<usize>>,
    visited: bool,
}

impl Note {
    fn clause(
        &mut self,
        dictation: &str,
        phrases: Phrases<'_, '_>,
        clause: &Clause,
        spoken: &str,
        visit: Option<&str>,
    ) {
        if matches!(clause.kind, Kind::Scratch) {
            self.scratch();
            self.comment("said", spoken);
            return;
        }
        let composer = Composer {
            phrases,
            source: dictation,
            instead: None,
        };
        let lines: Vec<Written> = composer.lines(clause, None);
        if lines.is_empty() {
            self.comment("not understood", spoken);
            return;
        }
        if matches!(clause.kind, Kind::Head { .. }) {
            let body = std::mem::take(&mut self.text);
            self.comment("said", spoken);
            for line in &lines {
                self.line(&line.text);
            }
            self.head.push_str(&self.text);
            self.text = body;
            return;
        }
        if matches!(clause.kind, Kind::Visit { .. }) {
            self.open();
        } else if !self.visited {
            self.open();
            match visit {
                Some(visit) => self.line(&format!("visit {visit}")),
                None => {
                    self.comment("which day, and who? write `visit 2026-03-14 Name`", "");
                    self.line("visit");
                }
            }
        }
        self.comment("said", spoken);
        let from = self.text.len();
        let all: Vec<&Group> = groups(clause).iter().collect();
        let doubtful = all.iter().any(|group| {
            doubt(phrases, group).or_else(|| doubt_beside(phrases, group, &all)).is_some()
        });
        if doubtful || !strays(phrases, clause).is_empty() {
            // Left as it was said, so that the check asks.
            self.line(&without_stamps(spoken));
        } else {
            for line in &lines {
                self.line(&line.text);
            }
        }
        self.last = Some(from..self.text.len());
    }

    /// Starts the part under a visit line.
    fn open(&mut self) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.visited = true;
        self.last = None;
    }

    /// Head and visits, with an empty line between them.
    fn whole(self) -> String {
        let gap = if self.head.is_empty() || self.text.is_empty() || self.text.starts_with('\n') { "" } else { "\n" };
        format!("{}{gap}{}", self.head, self.text)
    }

    /// The last statement becomes a comment.
    fn scratch(&mut self) {
        let Some(range) = self.last.take() else { return };
        let lines: String = self.text[range.clone()]
            .lines()
            .map(|line| format!("# scratched: {line}\n"))
            .collect();
        self.text.replace_range(range, &lines);
    }

    /// A line, its text going on in indented lines where it is long.
    fn line(&mut self, line: &str) {
        let mut width = 0;
        for (i, word) in line.split(' ').enumerate() {
            if width + word.len() > LONGEST {
                self.text.push_str("\n  ");
                width = 2;
            } else if i > 0 {
                self.text.push(' ');
                width += 1;
            }
            self.text.push_str(word);
            width += word.len();
        }
        self.text.push('\n');
    }

    fn comment(&mut self, what: &str, words: &str) {
        let words: Vec<&str> = words.split_whitespace().collect();
        let mut line = format!("# {what}");
        if !words.is_empty() {
            line.push(':');
        }
        for word in words {
            if line.len() + 1 + word.len() > COMMENT && line.len() > 4 {
                self.text.push_str(&line);
                self.text.push('\n');
                line = "#  ".to_owned();
            }
            line.push(' ');
            line.push_str(word);
        }
        self.text.push_str(&line);
        self.text.push('\n');
    }
}

fn without_stamps(spoken: &str) -> String {
    let words = spoken.split_whitespace().filter(|raw| !is_stamp(raw));
    let line: Vec<&str> = words.collect();
    line.join(" ")
}
