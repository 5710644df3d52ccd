//! A note from raw dictation: prose without lines, perhaps with times of the recording.
//!
//! Every statement stands under a comment with the words it was made of, and what was not understood
//! stands as a comment of its own, so every word of the dictation is in the note.

use super::clause::{Clause, Clock, Kind};
use super::compose::{Composer, Written};
use super::composed::{groups, strays};
use super::doubt::{doubt, doubt_beside};
use super::phrase::Phrases;
use super::reading::Group;
use super::words::{Pause, Word, is_stamp, put_right, words};
use crate::syntax::is_blank;
use crate::vocabulary::{privacy, verb};

/// Columns of a comment line.
const COMMENT: usize = 96;
/// Bytes of a statement beyond which its text goes on in indented lines.
const LONGEST: usize = 400;

/// The note that a dictation states, in the notation; `visit` is the text of its visit line, for a
/// dictation that opens none.
pub fn hear(dictation: &str, visit: Option<&str>) -> String {
    let mut note = Note::default();
    let mut open = 0;
    let mut at = 0;
    let sentences: Vec<&str> = privacy::sentences(dictation).collect();
    let private = privacy::private_sentences(&sentences);
    for (sentence, is_private) in sentences.into_iter().zip(private) {
        let end = at + sentence.len();
        let is_sentence = sentence.split_whitespace().count() <= LONGEST_PRIVATE;
        if is_sentence && is_private {
            note.prose(&dictation[open..at], visit);
            note.private(sentence, visit);
            open = end;
        }
        at = end;
    }
    if open < dictation.len() || dictation.is_empty() {
        note.prose(&dictation[open..], visit);
    }
    note.whole()
}

/// Dictations without stops are no single sentence: more words than these are not private as one.
const LONGEST_PRIVATE: usize = 60;

impl Note {
    /// What a stretch of the dictation states.
    fn prose(&mut self, dictation: &str, visit: Option<&str>) {
        let mut cut = words(dictation, 0);
        pause_at_stamps(dictation, &mut cut);
        let said = put_right(cut, false);
        let phrases = Phrases { words: &said };
        let clauses = phrases.clauses(true, true);
        let mut start = 0;
        for (i, clause) in clauses.iter().enumerate() {
            let next = clauses.get(i + 1).map_or(dictation.len(), |next| {
                starts_at(dictation, said[next.words.start].said.start as usize, start)
            });
            let spoken = &dictation[start..next];
            self.clause(dictation, phrases, clause, spoken, visit);
            start = next;
        }
        if clauses.is_empty() && (self.text.is_empty() || !dictation.trim().is_empty()) {
            self.comment("not understood", dictation);
        }
    }

    /// A sentence that says that it is private, whole, and what it does all the same.
    fn private(&mut self, sentence: &str, visit: Option<&str>) {
        if !self.visited {
            self.open_visit(visit);
        }
        self.line(&format!("private said: {}", without_stamps(sentence)));
        let open = privacy::without_markers(sentence);
        let mut heard = Note {
            visited: true,
            clock: self.clock,
            ..Note::default()
        };
        heard.prose(&open, None);
        for line in heard.text.lines() {
            let (time, said) = after_time(line);
            // The word makes sure that no more of it than the fact is shown.
            if may_state_a_fact(said) {
                self.line(&format!("{time}private {said}"));
            }
        }
        self.last = None;
    }
}

/// A line's time, with the blank behind it, and what it states.
fn after_time(line: &str) -> (&str, &str) {
    let time = line.split(' ').next().unwrap_or("");
    let is_time = time.len() == 4 && time.bytes().all(|b| b.is_ascii_digit());
    line.split_at(if is_time { line.len().min(5) } else { 0 })
}

/// True for a statement that may be booked whoever may read it.
fn may_state_a_fact(said: &str) -> bool {
    verb(said).is_some_and(|(verb, _)| verb.books())
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
    stamp.map_or(word, |raw| {
        raw.as_ptr() as usize - dictation.as_ptr() as usize
    })
}

/// An empty line or, in a dictation without stops, a time of the recording ends a sentence.
fn pause_at_stamps(dictation: &str, words: &mut [Word<'_>]) {
    let stops = words
        .iter()
        .filter(|word| word.after == Pause::Stop)
        .count();
    let few = stops * 60 < words.len();
    for at in 1..words.len() {
        let gap = &dictation[words[at - 1].said.end as usize..words[at].said.start as usize];
        let stamp = gap.split(is_blank).any(is_stamp);
        let paragraph = gap.matches('\n').count() > 1;
        if stamp && few || paragraph && !stamp {
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
    /// Its time.
    last_time: Option<Clock>,
    visited: bool,
    /// A time said alone, which is of the next statement.
    pending: Option<Clock>,
    /// The last time of the visit, in minutes.
    clock: Option<u32>,
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
            let kind = if self.scratch() {
                "said"
            } else {
                "not understood"
            };
            self.comment(kind, spoken);
            return;
        }
        let composer = Composer {
            phrases,
            source: dictation,
            instead: None,
        };
        let mut clause = clause.clone();
        let open = self.set_time(&mut clause);
        if clause.kind == Kind::Time {
            self.pending = clause.clock;
            self.comment("said", spoken);
            return;
        }
        if clause.clock.is_none() {
            clause.clock = self.pending.take();
        }
        let clause = &clause;
        let mut lines: Vec<Written> = composer.lines(clause, None);
        if let (true, Kind::Talk { text, .. }) = (lines.is_empty(), &clause.kind)
            && phrases.is_of_unit(text.clone())
        {
            // What is plainly of the unit is an observation; what may be of people is nobody's to read.
            let mut line = Written::default();
            if let Some(clock) = &clause.clock {
                line.text = format!("{} ", clock.figures);
            }
            line.text.push_str("saw ");
            composer.free(&mut line, text.clone());
            lines.push(line);
        }
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
            self.open_visit(visit);
        }
        self.comment("said", spoken);
        let from = self.text.len();
        let all: Vec<&Group> = groups(clause).iter().collect();
        let doubtful = open
            || all.iter().any(|group| {
                doubt(phrases, group)
                    .or_else(|| doubt_beside(phrases, group, &all))
                    .is_some()
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
        self.last_time.clone_from(&clause.clock);
    }

    /// Reads a time of the clock by those before it: after one in the afternoon said as such, `one
    /// fifteen` is no time of the night. True when nothing says which half of the day is meant.
    fn set_time(&mut self, clause: &mut Clause) -> bool {
        if matches!(clause.kind, Kind::Visit { .. }) {
            self.clock = None;
        }
        let Some(clock) = &mut clause.clock else {
            return false;
        };
        let (hour, minute, certain) = match clock.figures.split_once(':') {
            Some((hour, minute)) => (hour, minute, false),
            None => {
                let (hour, minute) = clock
                    .figures
                    .split_at(clock.figures.len().saturating_sub(2));
                (hour, minute, true)
            }
        };
        let (Ok(hour), Ok(minute)) = (hour.parse::<u32>(), minute.parse::<u32>()) else {
            return false;
        };
        let mut time = hour * 60 + minute;
        let before = self.clock.replace(time);
        if certain {
            return false;
        }
        match before {
            None if (1..=6).contains(&hour) => return true,
            Some(before) if time < before && time + 720 >= before && hour < 12 => time += 720,
            _ => {}
        }
        clock.figures = format!("{:02}{:02}", time / 60 % 24, time % 60);
        self.clock = Some(time);
        false
    }

    /// Starts the visit of a dictation that opened none.
    fn open_visit(&mut self, visit: Option<&str>) {
        self.open();
        match visit {
            Some(visit) => self.line(&format!("visit {visit}")),
            None => {
                self.comment("which day, and who? write `visit 2026-03-14 Name`", "");
                self.line("visit");
            }
        }
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
        let gap = if self.head.is_empty() || self.text.is_empty() || self.text.starts_with('\n') {
            ""
        } else {
            "\n"
        };
        format!("{}{gap}{}", self.head, self.text)
    }

    /// The last statement becomes a comment; false when none is left to take back.
    fn scratch(&mut self) -> bool {
        let Some(range) = self.last.take() else {
            return false;
        };
        // What is said instead happened when that did.
        self.pending = self.last_time.take();
        let lines: String = self.text[range.clone()]
            .lines()
            .map(|line| format!("# scratched: {line}\n"))
            .collect();
        self.text.replace_range(range, &lines);
        true
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
