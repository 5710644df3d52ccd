//! The canonical form of a note: what it says, said in one way, a line for a line.
//!
//! It is meaning-preserving: values are never converted, and no doubt is hidden. A line over which
//! anything is in doubt, a private one, a comment, a continuation: all stay byte for byte. What comes
//! out is read again before it is given back, and lines that would say something else stay as written.

mod action;
mod kept;
mod line;
mod reading;

use crate::diagnostic::{Diagnostic, Severity};
use crate::model::{self, Entry, EntryKind, Job, UnitHabits};
use crate::quantity::{Display, Unit};
use crate::source::{Source, Span};
use crate::spoken;
use crate::syntax::{self, Parse};
use std::borrow::Cow;
use std::cell::OnceCell;

/// What may be chosen of the canonical form.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Style {
    /// `°F`, `µF`, `Ω` instead of the plain `F`, `uF`, `ohm`.
    pub unit_signs: bool,
}

/// The note in canonical form; borrowed when it is that already.
pub fn canonical(source: &Source, style: Style) -> Cow<'_, str> {
    let mut text = match once(source, style) {
        Cow::Borrowed(text) => return Cow::Borrowed(text),
        Cow::Owned(text) => text,
    };
    // A key that got its colon has a value that is heard now.
    for _ in 0..ROUNDS {
        let next = match once(&Source::new(source.name(), text.as_str()), style) {
            Cow::Borrowed(_) => break,
            Cow::Owned(next) => next,
        };
        text = next;
    }
    Cow::Owned(text)
}

/// True for a note that is in canonical form.
pub fn is_canonical(source: &Source, style: Style) -> bool {
    matches!(once(source, style), Cow::Borrowed(_))
}

/// Most times that a note is gone over: one more than any note was seen to need.
const ROUNDS: usize = 3;

/// Spoken lines written out, then every line in its canonical form.
fn once(source: &Source, style: Style) -> Cow<'_, str> {
    let parse = syntax::parse(source);
    if let Some(written) = spoken::written_out(source, &parse) {
        let written = Source::new(source.name(), written);
        let parse = syntax::parse(&written);
        return Cow::Owned(of_parse(&written, &parse, style).into_owned());
    }
    of_parse(source, &parse, style)
}

fn of_parse<'s>(source: &'s Source, parse: &Parse<'_>, style: Style) -> Cow<'s, str> {
    let note = Note::of(source, parse, style);
    let edits = note.edits();
    if edits.is_empty() {
        return Cow::Borrowed(source.written());
    }
    let all: Vec<&Edit> = edits.iter().collect();
    let text = note.with(&all);
    if note.is_said_by(source.name(), &text) {
        return Cow::Owned(text);
    }
    match Settling::new(&note).settle(&all) {
        Some(kept) if !kept.is_empty() => Cow::Owned(note.with(&kept)),
        _ => Cow::Borrowed(source.written()),
    }
}

/// Codes of what is said of the lines that are heard in a note.
fn heard(source: &Source, parse: &Parse<'_>) -> Vec<&'static str> {
    let heard = spoken::understand(source, parse);
    heard.map_or_else(Vec::new, |(_, said)| {
        said.iter().map(|d| d.code.id).collect()
    })
}

/// A line written anew.
struct Edit {
    span: Span,
    text: String,
}

/// A note as it was read.
struct Note<'a> {
    source: &'a Source,
    parse: &'a Parse<'a>,
    job: Job,
    /// What was said about it, in order of code.
    said: Said,
    style: Style,
    habits: OnceCell<UnitHabits>,
    /// Codes of what is heard in it.
    heard: OnceCell<Vec<&'static str>>,
}

/// Codes of what is said about a note's writing, sorted.
struct Said {
    doubts: Vec<&'static str>,
    advice: Vec<&'static str>,
    /// Places that a doubt points at.
    places: Vec<Span>,
}

impl Said {
    fn of(parse: &Parse<'_>, built: &[Diagnostic]) -> Self {
        let mut said = Self {
            doubts: Vec::new(),
            advice: Vec::new(),
            places: Vec::new(),
        };
        for diagnostic in parse.diagnostics.iter().chain(built) {
            if diagnostic.severity == Severity::Advice {
                said.advice.push(diagnostic.code.id);
            } else {
                said.doubts.push(diagnostic.code.id);
                said.places
                    .extend(diagnostic.labels.iter().map(|label| label.span));
            }
        }
        said.doubts.sort_unstable();
        said.advice.sort_unstable();
        said
    }

    /// True when another says every doubt that this says, and no new advice.
    fn is_kept_by(&self, other: &Said) -> bool {
        let mut before = self.advice.iter();
        self.doubts == other.doubts && other.advice.iter().all(|code| before.any(|c| c == code))
    }
}

impl<'a> Note<'a> {
    fn of(source: &'a Source, parse: &'a Parse<'a>, style: Style) -> Self {
        let (job, built) = model::build(source, parse);
        Self {
            source,
            parse,
            job,
            said: Said::of(parse, &built),
            style,
            habits: OnceCell::new(),
            heard: OnceCell::new(),
        }
    }

    /// The lines that are not in canonical form, as they would be.
    fn edits(&self) -> Vec<Edit> {
        let doubted = self.doubted();
        let mut entries = self.job.entries().map(|(_, entry)| entry).peekable();
        let mut edits = Vec::new();
        let mut written = String::new();
        for (index, line) in self.parse.lines.iter().enumerate() {
            let number = index as u32 + 1;
            while entries.next_if(|e| e.line < number).is_some() {}
            let mut entry: Option<&Entry> = None;
            while let Some(of_line) = entries.next_if(|e| e.line == number) {
                // A line with private words in it stays as it is, whatever it books.
                if entry.is_none() || matches!(of_line.kind, EntryKind::Private(_)) {
                    entry = Some(of_line);
                }
            }
            if doubted[index] {
                continue;
            }
            written.clear();
            if line::write(self, line, entry, &mut written).is_some()
                && written != self.written(line.span)
            {
                edits.push(Edit {
                    span: line.span,
                    text: written.clone(),
                });
            }
        }
        edits
    }

    /// For every line, whether a warning or an error points into it.
    fn doubted(&self) -> Vec<bool> {
        let mut doubted = vec![false; self.parse.lines.len()];
        for place in &self.said.places {
            let first = self.source.line(place.start) as usize - 1;
            let last = self.source.line(place.end) as usize - 1;
            for line in doubted.iter_mut().take(last + 1).skip(first) {
                *line = true;
            }
        }
        doubted
    }

    fn habits(&self) -> &UnitHabits {
        self.habits.get_or_init(|| UnitHabits::of(self.parse))
    }

    /// What stands in the file at a place of the text: a tab is understood as a blank.
    fn written(&self, span: Span) -> &str {
        self.source.slice_written(self.source.written_span(span))
    }

    /// What stands in the file with some of its lines written anew; edits are in order of place.
    fn with(&self, edits: &[&Edit]) -> String {
        let text = self.source.written();
        let mut out = String::with_capacity(text.len() + 8 * edits.len());
        let mut at = 0;
        for edit in edits {
            let span = self.source.written_span(edit.span);
            out.push_str(&text[at..span.start as usize]);
            out.push_str(&edit.text);
            at = span.end as usize;
        }
        out.push_str(&text[at..]);
        out
    }

    /// True when a text says what this note says, and what was doubtful is so still.
    fn is_said_by(&self, name: &str, text: &str) -> bool {
        let source = Source::new(name, text);
        let parse = syntax::parse(&source);
        let (job, built) = model::build(&source, &parse);
        let heard_before = self.heard.get_or_init(|| heard(self.source, self.parse));
        self.job.says_the_same_as(&job)
            && self.said.is_kept_by(&Said::of(&parse, &built))
            && heard(&source, &parse) == *heard_before
    }

    /// What stands behind a number for a unit.
    fn symbol(&self, unit: Unit) -> &'static str {
        match unit {
            Unit::Fahrenheit if self.style.unit_signs => "°F",
            Unit::Celsius if self.style.unit_signs => "°C",
            Unit::Ohm if self.style.unit_signs => "Ω",
            Unit::Kiloohm if self.style.unit_signs => "kΩ",
            Unit::Megohm if self.style.unit_signs => "MΩ",
            Unit::Microfarad if self.style.unit_signs => "µF",
            // A lone `F` in a note that writes Celsius would put its scale in doubt.
            Unit::FahrenheitDifference if self.job.display == Display::Us => {
                self.symbol(Unit::Fahrenheit)
            }
            _ => unit.symbol(),
        }
    }
}

/// Bytes read again at most while the lines are looked for that would say something else.
const PATIENCE: usize = 16 << 20;
/// Times that a note is read again at most for that.
const ATTEMPTS: usize = 256;

/// The search for the edits that may stay where all together would change what the note says.
struct Settling<'n, 'a> {
    note: &'n Note<'a>,
    attempts: usize,
}

impl<'n, 'a> Settling<'n, 'a> {
    fn new(note: &'n Note<'a>) -> Self {
        let length = note.source.text().len().max(1);
        Self {
            note,
            attempts: (PATIENCE / length).clamp(8, ATTEMPTS),
        }
    }

    /// The edits that may stay; `None` when they were not found in time.
    fn settle<'e>(mut self, all: &[&'e Edit]) -> Option<Vec<&'e Edit>> {
        let mut kept = Vec::new();
        let mut rest = all.to_vec();
        // An edit may be possible only beside another, so what was refused is tried again.
        loop {
            let mut refused = Vec::new();
            self.divide(&rest, &mut kept, &mut refused)?;
            if refused.len() == rest.len() || refused.is_empty() {
                return Some(kept);
            }
            rest = refused;
        }
    }

    /// Keeps what can be kept of some edits: all, or of each half what can be.
    fn divide<'e>(
        &mut self,
        edits: &[&'e Edit],
        kept: &mut Vec<&'e Edit>,
        refused: &mut Vec<&'e Edit>,
    ) -> Option<()> {
        self.attempts = self.attempts.checked_sub(1)?;
        let mut together = [kept.as_slice(), edits].concat();
        together.sort_by_key(|edit| edit.span.start);
        let text = self.note.with(&together);
        if self.note.is_said_by(self.note.source.name(), &text) {
            *kept = together;
        } else if let [alone] = edits {
            refused.push(alone);
        } else {
            let (front, back) = edits.split_at(edits.len() / 2);
            self.divide(front, kept, refused)?;
            self.divide(back, kept, refused)?;
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether all lines of a note may be written anew at once.
    fn is_said_at_once(text: &str) -> bool {
        let source = Source::new("note.job", text);
        // Spoken lines are written out first, as they are when a note is formatted.
        let text = spoken::written_out(&source, &syntax::parse(&source));
        let source = text.map_or(source, |text| Source::new("note.job", text));
        let parse = syntax::parse(&source);
        let note = Note::of(&source, &parse, Style::default());
        let edits = note.edits();
        let all: Vec<&Edit> = edits.iter().collect();
        note.is_said_by("note.job", &note.with(&all))
    }

    #[test]
    fn a_line_seldom_has_to_be_taken_back() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        for folder in ["examples", "tests/cases/format", "tests/cases/errors"] {
            for entry in std::fs::read_dir(root.join(folder)).expect("a folder") {
                let path = entry.expect("an entry").path();
                if path.extension().is_some_and(|e| e == "job") {
                    let text = std::fs::read_to_string(&path).expect("a note");
                    assert!(is_said_at_once(&text), "{}", path.display());
                }
            }
        }
    }
}
