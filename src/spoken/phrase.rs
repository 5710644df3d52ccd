//! What stands at a word: a measuring point, a number, a unit, a state, a line kind, a whole reading.

use super::clock;
use super::number::{self, Atom, atom};
use super::words::{Pause, Word};
use crate::quantity::lookup_unit;
use crate::refrigerant;
use crate::vocabulary::{PointName, Verb, candidates, resolve, state, verb};
use std::ops::Range;

/// Most words of a point's name: `line one to line two`.
const LONGEST_NAME: usize = 6;
/// Most words of a unit.
const LONGEST_UNIT: usize = 4;

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
        let before = at.checked_sub(1).map_or("", |i| self.folded(i));
        if atoms[0] == Some(Atom::Point) && matches!(before, "set" | "dew" | "mid" | "melting") {
            return None;
        }
        let mut said = number::number(&atoms)?;
        // `two oh eight three phase`
        let phase = matches!(run.get(said.words), Some(&"phase" | &"pole" | &"ph"));
        if phase
            && said.words > 1
            && let Some(shorter) =
                number::number(&atoms[..said.words - 1]).filter(|s| s.words == said.words - 1)
        {
            said = shorter;
        }
        // `a`, `half`, `quarter`: a number only before a unit
        if matches!(atoms[0], Some(Atom::Article | Atom::Half | Atom::Quarter)) {
            let unit =
                at + said.words + usize::from(matches!(run.get(said.words), Some(&"a" | &"an")));
            let hundred = matches!(atoms.get(1), Some(Some(Atom::Hundred | Atom::Thousand)));
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
        // `fan two's howling`: whose, and no value
        if self.words[at..at + said.words]
            .iter()
            .any(|w| w.text.ends_with("'s"))
        {
            return None;
        }
        let figures = said.words == 1 && plain;
        Some(Figures {
            text: if figures {
                self.words[at].text.to_string()
            } else {
                said.figures
            },
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
            let doubtful = count == 1
                && (matches!(run[0], "a" | "in" | "m" | "s" | "h" | "k" | "g" | "o")
                    || matches!(run[0], "c" | "f") && run.get(1) == Some(&"to"));
            let ends = self.words.get(at).is_some_and(|w| w.after != Pause::None)
                || self.words.len() == at + 1;
            let degrees = matches!(spelt.as_str(), "degrees" | "degree" | "deg");
            // `four psi a bit low`
            let article = run[count - 1] == "a"
                && matches!(
                    run.get(count).or(self.run(at, LONGEST_UNIT + 1).get(count)),
                    Some(&"bit" | &"little" | &"lot" | &"touch" | &"tad" | &"hair" | &"few")
                );
            if count > 1 && article {
                return None;
            }
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
            // `lock's off the disconnect`
            text.push_str(word.text.strip_suffix("'s").unwrap_or(&word.text));
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

    /// `evap in`, and `evap out` beside it: air on and off the coil.
    fn of_the_air(&self, words: &[&str]) -> Option<&'static str> {
        let side = |word: &str| matches!(word, "evap" | "evaporator");
        match words {
            [evap, "in"] if side(evap) => Some("return air"),
            [evap, "out"] if side(evap) => {
                let both = self
                    .words
                    .windows(2)
                    .any(|pair| side(&pair[0].folded) && pair[1].folded == "in");
                both.then_some("supply air")
            }
            _ => None,
        }
    }

    /// The name of a measuring point: words, text in the notation, and whether its last word is a
    /// number that could be part of the value.
    pub fn name(&self, at: usize) -> Option<(usize, String, bool)> {
        let run = self.run(at, LONGEST_NAME);
        let first = *run.first()?;
        if !first.starts_with(char::is_alphabetic) || first == "the" {
            return None;
        }
        let letter = atom(first).is_some(); // `a to b`, `a one a two`
        let least = if letter { 3 } else { 1 };
        (least..=run.len()).rev().find_map(|count| {
            let last = run[count - 1];
            let text = name_text(&run[..count])?;
            let text = self.of_the_air(&run[..count]).map_or(text, str::to_owned);
            let link = matches!(
                last,
                "the"
                    | "at"
                    | "of"
                    | "on"
                    | "reads"
                    | "reading"
                    | "is"
                    | "was"
                    | "now"
                    | "still"
                    | "to"
            );
            if link && candidates(&text).is_empty() {
                return None;
            }
            let name = resolve(&text).or_else(|| letters_joined(&text))?;
            let numbered =
                count > 1 && matches!(atom(last), Some(Atom::Digit(_) | Atom::Figures(_)));
            // A name with numbers of its own is written in its plain form.
            let own = name.which.is_none()
                && name.leg.is_none()
                && text.contains(|c: char| c.is_ascii_digit());
            let text = if own || letter {
                name.points[0].name().to_owned()
            } else {
                text
            };
            Some((count, text, numbered))
        })
    }
}

/// A name from its folded words, small numbers in figures and `the` left out.
pub(super) fn name_text(words: &[&str]) -> Option<String> {
    // `between L1 and L2`, `line one and line two`
    let phase = |word: &str| word.len() == 2 && word.starts_with(['l', 't']) || word == "line";
    let pair = matches!(words, [a, "and", b] if phase(a) && phase(b))
        || matches!(words, ["line", _, "and", "line", _]);
    let mut text = String::new();
    for word in words.iter().filter(|word| **word != "the") {
        if !text.is_empty() {
            text.push(' ');
        }
        match atom(word) {
            Some(Atom::Digit(d)) => text.push(char::from(b'0' + d)),
            Some(Atom::And) => text.push_str(if pair { "to" } else { return None }),
            // `box -5 F`: a value and no name.
            None if word.starts_with(['-', '−', '+', '.']) => return None,
            Some(Atom::Figures(_) | Atom::Article | Atom::Point) | None => text.push_str(word),
            Some(_) => return None,
        }
    }
    Some(text)
}

/// `a 1 a 2` as `a1 a2`.
fn letters_joined(text: &str) -> Option<PointName> {
    let mut joined = String::new();
    for word in text.split(' ') {
        let figure = word.len() == 1 && word.bytes().all(|b| b.is_ascii_digit());
        let letter = joined
            .rsplit(' ')
            .next()
            .is_some_and(|w| w.len() == 1 && w.bytes().all(|b| b.is_ascii_alphabetic()));
        let stuck = figure && letter;
        if !joined.is_empty() && !stuck {
            joined.push(' ');
        }
        joined.push_str(word);
    }
    (joined != text).then(|| resolve(&joined)).flatten()
}
