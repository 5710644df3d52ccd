//! A reading as it is said: a point with its value or state, or the value before its point.

use super::number::{self, Atom, atom};
use super::phrase::{Figures, Phrases, name_text};
use super::speech::{ALWAYS_NUMBERED, LINKS};
use super::usual::usual_value;
use super::words::Pause;
use crate::quantity::{Dimension, lookup_unit};
use crate::vocabulary::{ABOUT, Point, is_numbered, resolve};
use std::ops::Range;

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

impl Phrases<'_, '_> {
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
            .or_else(|| before.and_then(|before| self.again_of(at, before)))
    }

    /// `heater fifteen point eight amps, two oh seven volts`: another value of the same part.
    fn again_of(&self, at: usize, before: &Group) -> Option<Group> {
        let value = self.number(at)?;
        let unit = self.unit(value.range.end)?;
        let text = |unit: &Range<usize>| self.run(unit.start, unit.len()).join(" ");
        let name = resolve(&before.name_text)?;
        let (now, _) = name.measured_by(lookup_unit(&text(&unit)))?;
        let (then, _) = name.measured_by(lookup_unit(&text(before.unit.as_ref()?)))?;
        (now != then).then(|| Group {
            range: at..unit.end,
            values: vec![value],
            unit: Some(unit),
            ..Group::bare(before.name.clone(), before.name_text.clone())
        })
    }

    pub fn named(&self, at: usize) -> Option<Group> {
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
        let fits = |group: &Group| is_usual(*self, group);
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
    pub fn name_of(&self, at: usize, count: usize) -> Option<String> {
        let text = name_text(&self.run(at, count))?;
        resolve(&text).map(|_| text)
    }

    pub fn valued(&self, at: usize, count: usize, name_text: String) -> Option<Group> {
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
        // `box up four degrees`: by how much; `box set to five`: what it is to be
        let moved = matches!(self.folded(next - 1), "up" | "down") && next > at + count;
        let aimed = (at + count..next).any(|i| self.folded(i) == "set")
            && resolve(&name_text).is_some_and(|name| !name.points.contains(&Point::SetPoint));
        if (moved || aimed) && state.is_none() && self.number(next).is_some() {
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
            if self.is_relative(next) {
                return None;
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

    /// True where the words behind a value make it a difference, or take it back: `four below set point`,
    /// `five too warm`, `four make that six`.
    fn is_relative(&self, at: usize) -> bool {
        let next = self.folded(at + 1);
        match self.folded(at) {
            "above" | "below" | "over" | "under" | "off" => matches!(
                next,
                "set"
                    | "setpoint"
                    | "the"
                    | "where"
                    | "what"
                    | "normal"
                    | "design"
                    | "spec"
                    | "target"
            ),
            "too" => matches!(next, "warm" | "cold" | "high" | "low" | "hot" | "much"),
            "high" | "low" if self.name(at).is_some() => false,
            "high" | "low" | "warmer" | "colder" | "higher" | "lower" | "wrong" | "more"
            | "less" => true,
            "make" => matches!(next, "that" | "it"),
            "no" => self.number(at + 1).is_some(),
            _ => false,
        }
    }

    /// `the fan on the left`: where it is, and no state of it.
    pub fn is_place(&self, state: &Range<usize>) -> bool {
        state.len() == 1
            && matches!(self.folded(state.start), "on" | "off")
            && self.words[state.start].after == Pause::None
            && matches!(
                self.folded(state.end),
                "the" | "a" | "my" | "its" | "that" | "this" | "top" | "one"
            )
    }

    /// The values of a reading from word `next` on: one, or one a leg.
    pub fn values(&self, next: &mut usize, values: &mut Vec<Figures>, name: &str) {
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
    pub fn corrected(&self, at: usize) -> Option<Figures> {
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
    pub fn before_time(&self, value: &Figures, name: &str) -> Option<Figures> {
        if !value.spoken || usual_value(name, "", value)? {
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
    pub fn opens(&self, at: usize) -> bool {
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
    pub fn state_first(&self, at: usize) -> Option<Group> {
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

/// Whether the value of a reading is what its point usually reads; `None` where that is not known.
pub(super) fn is_usual(phrases: Phrases<'_, '_>, group: &Group) -> Option<bool> {
    let value = group.values.first()?;
    let below = group.below && !value.text.starts_with('-');
    let text = if below {
        format!("-{}", value.text)
    } else {
        value.text.clone()
    };
    let value = Figures {
        text,
        ..value.clone()
    };
    usual_value(&group.name_text, &unit_text(phrases, group), &value)
}

pub(super) fn unit_text(phrases: Phrases<'_, '_>, group: &Group) -> String {
    let unit: Vec<&str> = group
        .unit
        .iter()
        .flat_map(|unit| unit.clone().map(|i| phrases.folded(i)))
        .collect();
    unit.join(" ")
}
