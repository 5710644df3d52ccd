//! What stands at a word: a measuring point, a number, a unit, a state, a line kind, a whole reading.

use super::clock;
use super::number::{self, Atom, atom};
use super::words::{Pause, Word};
use crate::quantity::lookup_unit;
use crate::refrigerant;
use crate::vocabulary::{Verb, is_numbered, resolve, state, verb};
use std::ops::Range;

/// Most words of a point's name: `line one to line two`.
const LONGEST_NAME: usize = 6;
/// Most words of a unit.
const LONGEST_UNIT: usize = 4;

/// Words that lead from a point to its value and say nothing.
const LINKS: &[&str] = &[
    "is", "was", "were", "are", "at", "reads", "reading", "read", "of", "now", "still", "equals",
    "showing", "shows", "showed", "says", "sitting", "sits", "up", "down", "currently", "just",
    "only", "right", "holding", "comes", "came", "in", "it's", "its", "got", "to", "the", "a",
    "that's", "thats", "=", "steady", "there", "drawing", "pulling", "draws", "pulls", "measured",
    "measures", "gives", "getting", "i'm", "im", "have", "i", "we", "going", "back", "temp",
    "temperature", "value", "looks", "like", "running", "runs",
];

/// Words that soften a value; they stay with the reading as a remark.
const ABOUT: &[&str] = &["about", "around", "roughly", "approximately", "approx", "maybe", "nearly", "almost"];

/// Parts whose number always tells which one.
const ALWAYS_NUMBERED: &[&str] = &["leg", "phase", "line", "circuit", "ckt", "stage", "l", "number"];

/// The words under consideration.
#[derive(Clone, Copy)]
pub(super) struct Phrases<'w, 's> {
    pub words: &'w [Word<'s>],
}

/// A number at a place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figures {
    pub text: String,
    pub range: Range<usize>,
    /// Put together of two numbers that can stand alone.
    pub joined: bool,
    /// Said in words.
    pub spoken: bool,
}

/// A reading at a place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    pub range: Range<usize>,
    pub name: Range<usize>,
    pub name_text: String,
    /// A state before the value or in its place.
    pub state: Option<Range<usize>>,
    pub values: Vec<Figures>,
    pub unit: Option<Range<usize>>,
    /// A word that softens the value.
    pub about: Option<usize>,
    /// `five below`: the number is below zero.
    pub below: bool,
    /// Another way to divide a name's number from the value: the name and the value.
    pub otherwise: Option<(String, String)>,
    /// Words in it that carry nothing and are not written.
    pub idle: bool,
}

impl<'w, 's> Phrases<'w, 's> {
    pub fn folded(&self, at: usize) -> &'w str {
        self.words.get(at).map_or("", |w| w.folded.as_str())
    }

    /// True when nothing stands between word `at` and the next.
    fn runs_on(&self, at: usize) -> bool {
        self.words.get(at).is_some_and(|w| w.after == Pause::None)
    }

    /// Folded words from `at` to the next pause, at most so many.
    pub fn run(&self, at: usize, most: usize) -> Vec<&'w str> {
        let mut run = Vec::new();
        for i in at..self.words.len().min(at + most) {
            run.push(self.folded(i));
            if !self.runs_on(i) {
                break;
            }
        }
        run
    }

    /// A number, in words or in figures.
    pub fn number(&self, at: usize) -> Option<Figures> {
        let run = self.run(at, 16);
        let first = *run.first()?;
        let bare = first.trim_start_matches(['-', '−', '+', '.']);
        let written = bare.starts_with(|c: char| c.is_ascii_digit());
        let plain = matches!(atom(first), Some(Atom::Figures(_)));
        if written && !plain {
            // `9.1/9.3/9.0`, `-5`, `4.2psig`; not a time, not a refrigerant
            let other = first.contains(':') || refrigerant::lookup(first).is_some();
            return (!other).then(|| Figures {
                text: self.words[at].text.to_string(),
                range: at..at + 1,
                joined: false,
                spoken: false,
            });
        }
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|w| atom(w)).collect();
        let said = number::number(&atoms)?;
        // `a`, `half`, `quarter`: a number only before a unit
        if matches!(atoms[0], Some(Atom::Article | Atom::Half | Atom::Quarter)) {
            let unit = at + said.words + usize::from(matches!(run.get(said.words), Some(&"a" | &"an")));
            let hundred = atoms.get(1) == Some(&Some(Atom::Hundred));
            if !hundred && self.unit(unit).is_none() && self.folded(unit) != "inch" {
                return None;
            }
            return Some(Figures {
                text: said.figures,
                range: at..unit.max(at + said.words),
                joined: false,
                spoken: true,
            });
        }
        let figures = said.words == 1 && plain;
        Some(Figures {
            text: if figures { self.words[at].text.to_string() } else { said.figures },
            range: at..at + said.words,
            joined: said.joined,
            spoken: !figures,
        })
    }

    /// A unit, or degrees of a scale that is left open.
    pub fn unit(&self, at: usize) -> Option<Range<usize>> {
        let run = self.run(at, LONGEST_UNIT);
        (1..=run.len()).rev().find_map(|count| {
            let spelt = run[..count].join(" ");
            // A letter or `in` is more often another word, in speech.
            let doubtful = count == 1 && matches!(run[0], "a" | "in" | "m" | "s" | "h" | "k" | "g" | "o");
            let ends = self.words.get(at).is_some_and(|w| w.after != Pause::None)
                || self.words.len() == at + 1;
            let degrees = matches!(spelt.as_str(), "degrees" | "degree" | "deg");
            let known = degrees || !lookup_unit(&spelt).is_empty();
            (known && (!doubtful || ends && run[0] != "in")).then_some(at..at + count)
        })
    }

    /// A state of a part.
    pub fn state(&self, at: usize) -> Option<Range<usize>> {
        let run = self.run(at, 3);
        (1..=run.len())
            .rev()
            .find(|&count| state(&run[..count].join(" ")).is_some())
            .map(|count| at..at + count)
    }

    /// A line kind, and the words that name it (none where they are part of what is said).
    pub fn verb(&self, at: usize) -> Option<(Verb, usize)> {
        let first = self.words.get(at)?;
        let rest = &self.words[at..self.words.len().min(at + 12)];
        let mut text = String::new();
        let mut ends = Vec::new();
        for word in rest {
            if !text.is_empty() {
                text.push(' ');
            }
            text.push_str(&word.text);
            ends.push(text.len());
            if word.after == Pause::Stop {
                break;
            }
        }
        if !first.folded.starts_with(|c: char| c.is_ascii_lowercase()) {
            return None;
        }
        let (verb, words) = verb(&text)?;
        let count = ends.iter().take_while(|end| **end <= words.end).count();
        Some((verb, if words.is_empty() { 0 } else { count.max(1) }))
    }

    /// A time of day.
    pub fn time(&self, at: usize) -> Option<clock::Said> {
        clock::time(&self.run(at, 8))
    }

    /// The name of a measuring point: words, text in the notation, and whether its last word is a
    /// number that could be part of the value.
    pub fn name(&self, at: usize) -> Option<(usize, String, bool)> {
        let run = self.run(at, LONGEST_NAME);
        let first = *run.first()?;
        if !first.starts_with(char::is_alphabetic) || atom(first).is_some() && first != "o" {
            return None;
        }
        (1..=run.len()).rev().find_map(|count| {
            let last = run[count - 1];
            if matches!(last, "the" | "at" | "of" | "on" | "reads" | "reading" | "is" | "was" | "now" | "still" | "to") {
                return None;
            }
            let mut text = String::new();
            let mut numbers = 0;
            for (i, word) in run[..count].iter().enumerate() {
                if i > 0 {
                    text.push(' ');
                }
                match atom(word) {
                    Some(Atom::Digit(d)) => {
                        numbers += 1;
                        text.push(char::from(b'0' + d));
                    }
                    Some(Atom::Figures(figures)) => {
                        numbers += 1;
                        text.push_str(figures);
                    }
                    Some(_) => return None,
                    None => text.push_str(&self.words[at + i].text),
                }
            }
            if numbers > 2 {
                return None;
            }
            resolve(&text)?;
            let numbered = count > 1 && atom(last).is_some();
            Some((count, text, numbered))
        })
    }

    /// A reading: a point with its value or state, or the value before its point.
    pub fn group(&self, at: usize) -> Option<Group> {
        self.named(at).or_else(|| self.value_first(at))
    }

    fn named(&self, at: usize) -> Option<Group> {
        let (count, text, numbered) = self.name(at)?;
        if !numbered {
            return self.valued(at, count, text);
        }
        // `evap 2 coil`, `leg one nine point one`: or is the number the start of the value?
        let before = self.folded(at + count - 2);
        let always = ALWAYS_NUMBERED.contains(&before);
        let with = self.valued(at, count, text);
        if always {
            return with;
        }
        let short = self.name_of(at, count - 1);
        let without = short.and_then(|text| self.valued(at, count - 1, text));
        match (with, without) {
            (Some(mut with), Some(without)) if !with.values.is_empty() => {
                if without.range.end >= with.range.end && is_numbered(before) {
                    let value = without.values.first().map(|v| v.text.clone());
                    with.otherwise = value.map(|value| (without.name_text, value));
                    return Some(with);
                }
                Some(if is_numbered(before) { with } else { without })
            }
            (Some(with), _) => Some(with),
            (None, without) => without,
        }
    }

    /// The name made of exactly so many words.
    fn name_of(&self, at: usize, count: usize) -> Option<String> {
        let text: Vec<&str> = self.words[at..at + count].iter().map(|w| &*w.text).collect();
        let text = text.join(" ");
        resolve(&text).map(|_| text)
    }

    fn valued(&self, at: usize, count: usize, name_text: String) -> Option<Group> {
        let name = at..at + count;
        let mut next = at + count;
        let mut idle = false;
        let mut about = None;
        let mut state = None;
        if self.words[next - 1].after == Pause::Stop {
            return None;
        }
        let comma = self.words[next - 1].after == Pause::Comma;
        for _ in 0..5 {
            let word = self.folded(next);
            if self.number(next).is_some() {
                break;
            }
            if let Some(found) = self.state(next)
                && !(word == "on" && self.name(next + 1).is_some())
            {
                state = Some(found.clone());
                next = found.end;
                break;
            }
            if ABOUT.contains(&word) {
                about = Some(next);
            } else if LINKS.contains(&word) {
                idle = true;
            } else {
                break;
            }
            if self.words[next].after == Pause::Stop {
                return None;
            }
            next += 1;
        }
        if comma && state.is_none() && self.number(next).is_none() {
            return None;
        }
        let mut values = Vec::new();
        let runs = |end: usize| self.words[end - 1].after != Pause::Stop;
        if state.is_none() || runs(next) {
            while let Some(value) = self.number(next) {
                next = value.range.end;
                values.push(value);
                // `nine point one, nine point three and nine`
                let link = matches!(self.folded(next), "and" | "/");
                let again = next + usize::from(link);
                if !runs(next) || self.number(again).is_none() || values.len() == 3 {
                    break;
                }
                let unit = self.unit(next).is_some();
                if unit {
                    break;
                }
                idle |= link;
                next = again;
            }
        }
        if values.is_empty() && state.is_none() {
            return None;
        }
        if values.is_empty()
            && let Some(state) = &state
        {
            next = state.end;
        }
        let mut unit = None;
        let mut below = false;
        if !values.is_empty() && runs(next) {
            if let Some(found) = self.unit(next) {
                next = found.end;
                unit = Some(found);
            }
            if self.folded(next) == "below" && runs(next) && self.number(next + 1).is_none_or(|n| n.text == "0") {
                below = true;
                next += 1;
                if self.number(next).is_some() {
                    next += 1;
                }
            } else if self.folded(next) == "below" {
                below = true;
                next += 1;
            }
            // `fourteen to sixteen`, `ten by twelve`: no value
            if matches!(self.folded(next), "to" | "through" | "or" | "by" | "and")
                && self.number(next + 1).is_some()
                && self.time(next + 1).is_none_or(|t| !t.plain)
            {
                return None;
            }
        }
        Some(Group {
            range: at..next,
            name,
            name_text,
            state,
            values,
            unit,
            about,
            below,
            otherwise: None,
            idle,
        })
    }

    /// `thirty nine degrees in the box`, `two oh eight volts across line one and line two`.
    fn value_first(&self, at: usize) -> Option<Group> {
        let value = self.number(at)?;
        let unit = self.unit(value.range.end)?;
        let mut next = unit.end;
        if !matches!(self.folded(next), "on" | "in" | "at" | "across" | "of" | "for") {
            return None;
        }
        next += 1;
        if matches!(self.folded(next), "the" | "my" | "that" | "both") {
            next += 1;
        }
        let (count, name_text, _) = self.name(next)?;
        let name = next..next + count;
        // `… on the suction thirty one on the line`: the name has a value of its own behind it.
        let own = self.named(next).is_some_and(|group| !group.values.is_empty());
        (!own).then(|| Group {
            range: at..name.end,
            name,
            name_text,
            state: None,
            values: vec![value],
            unit: Some(unit),
            about: None,
            below: false,
            otherwise: None,
            idle: true,
        })
    }
}
