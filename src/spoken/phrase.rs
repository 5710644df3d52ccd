//! What stands at a word: a measuring point, a number, a unit, a state, a line kind, a whole reading.

use super::clock;
use super::number::{self, Atom, atom};
use super::words::{Pause, Word};
use crate::quantity::{Dimension, lookup_unit};
use crate::refrigerant;
use crate::vocabulary::{PointName, Verb, candidates, is_numbered, resolve, state, verb};
use std::ops::Range;

/// Most words of a point's name: `line one to line two`.
const LONGEST_NAME: usize = 6;
/// Most words of a unit.
const LONGEST_UNIT: usize = 4;

/// Words that lead from a point to its value and say nothing.
const LINKS: &[&str] = &[
    "is",
    "was",
    "were",
    "are",
    "at",
    "reads",
    "reading",
    "read",
    "of",
    "now",
    "still",
    "equals",
    "showing",
    "shows",
    "showed",
    "says",
    "sitting",
    "sits",
    "up",
    "down",
    "currently",
    "just",
    "only",
    "right",
    "holding",
    "comes",
    "came",
    "in",
    "it's",
    "its",
    "got",
    "to",
    "the",
    "a",
    "that's",
    "thats",
    "=",
    "steady",
    "there",
    "drawing",
    "pulling",
    "draws",
    "pulls",
    "measured",
    "measures",
    "gives",
    "getting",
    "i'm",
    "im",
    "have",
    "i",
    "we",
    "back",
    "temp",
    "temperature",
    "value",
    "runs",
    "uh",
    "um",
    "er",
    "way",
    "out",
    "set",
    "reads",
    "vacuum",
    "running",
    "for",
    "sat",
];

/// Words that soften a value; they stay with the reading as a remark.
const ABOUT: &[&str] = &[
    "about",
    "around",
    "roughly",
    "approximately",
    "approx",
    "maybe",
    "nearly",
    "almost",
];

/// Parts whose number always tells which one.
const ALWAYS_NUMBERED: &[&str] = &[
    "leg", "phase", "line", "circuit", "ckt", "stage", "l", "number",
];

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
    /// A unit that was not said and that a word before the value tells: `drawing nine point four`.
    pub assumed: Option<&'static str>,
    /// A word that softens the value.
    pub about: Option<usize>,
    /// `five below`: the number is below zero.
    pub below: bool,
    /// Another way to divide a name's number from the value: the name and the value.
    pub otherwise: Option<(String, String)>,
}

impl Group {
    /// A point without a value.
    pub fn bare(name: Range<usize>, name_text: String) -> Self {
        Self {
            range: name.clone(),
            name,
            name_text,
            state: None,
            values: Vec::new(),
            unit: None,
            assumed: None,
            about: None,
            below: false,
            otherwise: None,
        }
    }
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

    /// A reading: a point with its value or state, or the value before its point.
    pub fn group(&self, at: usize) -> Option<Group> {
        self.named(at)
            .or_else(|| self.value_first(at, false))
            .or_else(|| self.state_first(at))
    }

    /// A reading behind another one; `before` was said with its value first.
    pub fn group_after(&self, at: usize, before: Option<&Group>) -> Option<Group> {
        let turned = before.is_some_and(|group| group.name.start > group.range.start);
        if turned && let Some(group) = self.value_first(at, true) {
            return Some(group);
        }
        self.group(at)
    }

    fn named(&self, at: usize) -> Option<Group> {
        let (count, text, numbered) = self.name(at)?;
        if !numbered {
            return self.valued(at, count, text);
        }
        // `evap 2 coil`, `leg one nine point one`: or is the number the start of the value?
        let before = self.folded(at + count - 2);
        let with = self.valued(at, count, text).filter(|group| {
            // `phase two oh eight`: no value starts with a nought.
            let value = group.values.first().map_or("", |value| value.text.as_str());
            value.len() < 2 || !value.starts_with('0') || value.starts_with("0.")
        });
        if ALWAYS_NUMBERED.contains(&before) {
            return with;
        }
        let short = self.name_of(at, count - 1);
        let without = short.and_then(|text| self.valued(at, count - 1, text));
        let (Some(mut with), Some(without)) = (with.clone(), without.clone()) else {
            return with.or(without);
        };
        if with.values.is_empty() || without.values.len() > with.values.len() {
            return Some(with);
        }
        // `nine point four`, `four hundred`, `two oh seven`: one number.
        let label = at + count - 1;
        let whole = match atom(self.folded(label + 1)) {
            Some(Atom::Hundred | Atom::Thousand | Atom::And) => true,
            Some(Atom::Zero) if self.folded(label + 2) == "point" => return Some(with),
            Some(Atom::Zero) => {
                self.folded(label + 2) != "point" && without.values[0].range.len() > 2
            }
            Some(Atom::Point) => !matches!(before, "fan" | "fans"),
            _ => false,
        };
        if whole || !is_numbered(before) {
            return Some(without);
        }
        if without.range.end < with.range.end {
            return Some(with);
        }
        let fits = |group: &Group| super::doubt::is_usual(*self, group);
        match (fits(&with), fits(&without)) {
            (Some(true), Some(false)) => Some(with),
            (Some(false), Some(true)) => Some(without),
            _ => {
                let value = without.values[0].text.clone();
                with.otherwise = Some((without.name_text, value));
                Some(with)
            }
        }
    }

    /// The name made of exactly so many words.
    fn name_of(&self, at: usize, count: usize) -> Option<String> {
        let text = name_text(&self.run(at, count))?;
        resolve(&text).map(|_| text)
    }

    fn valued(&self, at: usize, count: usize, name_text: String) -> Option<Group> {
        let name = at..at + count;
        let mut next = at + count;
        let mut about = None;
        let mut state = None;
        let mut amps = false;
        if self.words[next - 1].after == Pause::Stop {
            return None;
        }
        let comma = self.words[next - 1].after == Pause::Comma;
        for _ in 0..6 {
            let word = self.folded(next);
            if self.number(next).is_some() {
                break;
            }
            if let Some(found) = self.state(next)
                && resolve(&name_text).is_some_and(|name| name.seen().is_some())
                && self.folded(next - 1) != "only"
                && !self.is_place(&found)
            {
                state = Some(found.clone());
                next = found.end;
                break;
            }
            if ABOUT.contains(&word) {
                about = Some(next);
            } else if LINKS.contains(&word) {
                amps |= matches!(word, "drawing" | "draws" | "pulling" | "pulls");
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
        let runs = |end: usize| self.words[end - 1].after != Pause::Stop;
        let mut values = Vec::new();
        if state.is_none() || runs(next) {
            self.values(&mut next, &mut values, &name_text);
        }
        if values.is_empty() {
            next = state.as_ref()?.end;
        }
        let mut unit = None;
        let mut below = false;
        if !values.is_empty() && runs(next) {
            if let Some(found) = self.unit(next) {
                next = found.end;
                unit = Some(found);
            }
            let zero = |at: usize| self.number(at).is_some_and(|n| n.text == "0");
            if self.folded(next) == "above" && (zero(next + 1) || self.number(next + 1).is_none()) {
                next += 1 + usize::from(zero(next + 1));
            }
            if self.folded(next) == "below" && (zero(next + 1) || self.number(next + 1).is_none()) {
                below = true;
                next += 1 + usize::from(zero(next + 1));
            }
            // `fourteen to sixteen`, `four or five`: no value
            if matches!(self.folded(next), "to" | "through" | "or" | "by" | "and")
                && self.number(next + 1).is_some()
                && self.time(next + 1).is_none_or(|time| !time.plain)
                && self.value_first(next + 1, true).is_none()
            {
                return None;
            }
        }
        let current = amps
            && unit.is_none()
            && resolve(&name_text).is_some_and(|n| n.measured_in(Dimension::Current).is_some());
        Some(Group {
            range: at..next,
            state,
            values,
            unit,
            assumed: current.then_some("A"),
            about,
            below,
            ..Group::bare(name, name_text)
        })
    }

    /// `the fan on the left`: where it is, and no state of it.
    fn is_place(&self, state: &Range<usize>) -> bool {
        state.len() == 1
            && matches!(self.folded(state.start), "on" | "off")
            && self.words[state.start].after == Pause::None
            && matches!(
                self.folded(state.end),
                "the" | "a" | "my" | "its" | "that" | "this" | "top" | "one"
            )
    }

    /// The values of a reading from word `next` on: one, or one a leg.
    fn values(&self, next: &mut usize, values: &mut Vec<Figures>, name: &str) {
        while let Some(mut value) = self.number(*next) {
            // `box minus one twelve twenty box …`: the value, then the time of what follows.
            if let Some(short) = self.before_time(&value, name) {
                value = short;
                *next = value.range.end;
                values.push(value);
                return;
            }
            *next = value.range.end;
            values.push(value);
            // `thirty one, no, make that thirty three`
            if let Some(meant) = self.corrected(*next) {
                *next = meant.range.end;
                *values = vec![meant];
                return;
            }
            // `nine point one, nine point three and nine`
            let link = matches!(self.folded(*next), "and" | "/");
            let again = *next + usize::from(link);
            let stopped = self.words[*next - 1].after == Pause::Stop;
            let time = self.time(again).is_some_and(|time| {
                (time.words > 1 || time.plain)
                    && (self.opens(again + time.words) || again + time.words == self.words.len())
            });
            let more = self.number(again).is_some() && self.value_first(again, true).is_none();
            if stopped || time || !more || values.len() == 3 || self.unit(*next).is_some() {
                return;
            }
            *next = again;
        }
    }

    /// The number that takes the place of the one before it: `no make that thirty three`.
    fn corrected(&self, at: usize) -> Option<Figures> {
        let words: Vec<&str> = (at..self.words.len().min(at + 6))
            .map(|i| self.folded(i))
            .collect();
        let idle = |word: &&&str| {
            matches!(
                **word,
                "no" | "wait"
                    | "sorry"
                    | "i"
                    | "mean"
                    | "make"
                    | "that"
                    | "it"
                    | "its"
                    | "it's"
                    | "correction"
                    | "rather"
            )
        };
        let count = words.iter().take_while(idle).count();
        let said = &words[..count];
        let plain = said.contains(&"correction")
            || said.contains(&"sorry")
            || said.windows(2).any(|pair| pair == ["no", "wait"])
            || said
                .windows(2)
                .any(|pair| matches!(pair, ["make", "that" | "it"] | ["i", "mean"]));
        if !plain {
            return None;
        }
        self.number(at + count)
    }

    /// The number without its last words, where those are the time of what follows and the number with
    /// them is none that the point reads.
    fn before_time(&self, value: &Figures, name: &str) -> Option<Figures> {
        if !value.spoken || super::doubt::usual_value(name, "", value)? {
            return None;
        }
        (value.range.start + 1..value.range.end).find_map(|cut| {
            let time = self.time(cut).filter(|time| time.words > 1)?;
            if !self.opens(cut + time.words) {
                return None;
            }
            let atoms: Vec<Option<Atom<'_>>> = (value.range.start..cut)
                .map(|i| atom(self.folded(i)))
                .collect();
            let said = number::number(&atoms).filter(|said| said.words == atoms.len())?;
            Some(Figures {
                text: said.figures,
                range: value.range.start..cut,
                joined: false,
                spoken: true,
            })
        })
    }

    /// True when a reading or a line kind starts here.
    fn opens(&self, at: usize) -> bool {
        at < self.words.len() && (self.name(at).is_some() || self.verb(at).is_some())
    }

    /// `thirty nine degrees in the box`, `two oh eight volts across line one and line two`; `loose` lets
    /// the unit and the word between be left out.
    pub fn value_first(&self, at: usize, loose: bool) -> Option<Group> {
        let value = self.number(at)?;
        let unit = self.unit(value.range.end);
        let mut next = unit.as_ref().map_or(value.range.end, |unit| unit.end);
        let stopped = self.words[next - 1].after == Pause::Stop;
        let between = matches!(
            self.folded(next),
            "on" | "in" | "at" | "across" | "of" | "for" | "between" | "from"
        ) && !stopped;
        let before = at.checked_sub(1).map_or("", |i| self.folded(i));
        let led = matches!(before, "it's" | "its");
        if between {
            next += 1;
        } else if !(loose || led || unit.is_some()) || stopped || self.name(next).is_none() {
            return None;
        }
        while matches!(self.folded(next), "the" | "my" | "that" | "both" | "right") {
            next += 1;
        }
        let (count, name_text, _) = self.name(next)?;
        // A number of parts is no value: `two of the fans`.
        let counted = unit.is_none()
            && value.range.len() == 1
            && matches!(self.folded(next - 1), "the")
            && self.folded(value.range.end) == "of";
        // `… on the suction thirty one`: a value behind the name is its own, unless it stands before the
        // next name in turn.
        let own = self.valued(next, count, name_text.clone());
        let own = own.is_some_and(|own| match own.values.first() {
            Some(value) => self.value_first(value.range.start, true).is_none(),
            None => !between,
        });
        (!own && !counted).then(|| Group {
            range: at..next + count,
            values: vec![value],
            unit,
            ..Group::bare(next..next + count, name_text)
        })
    }

    /// `bubbles in the sight glass`
    fn state_first(&self, at: usize) -> Option<Group> {
        let state = self.state(at)?;
        let mut next = state.end;
        if !matches!(self.folded(next), "in" | "at") {
            return None;
        }
        next += 1 + usize::from(self.folded(next + 1) == "the");
        let (count, name_text, _) = self.name(next)?;
        resolve(&name_text)?.seen()?;
        (self.folded(at) == "bubbles" || self.folded(at) == "flashing").then(|| Group {
            range: at..next + count,
            state: Some(state),
            ..Group::bare(next..next + count, name_text)
        })
    }
}

/// A name from its folded words, small numbers in figures and `the` left out.
fn name_text(words: &[&str]) -> Option<String> {
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
            Some(Atom::Figures(_) | Atom::Article) | None => text.push_str(word),
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
        if !(joined.is_empty() || figure && letter) {
            joined.push(' ');
        }
        joined.push_str(word);
    }
    (joined != text).then(|| resolve(&joined)).flatten()
}
