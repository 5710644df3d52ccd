//! Clauses in the notation: each as a line of its own, with the words that every part of it stands for.

use super::clause::{Clause, Kind, is_measured};
use super::number::{Atom, Said, atom, number};
use super::phrase::{Group, Phrases};
use super::words::Word;
use crate::quantity::{Dimension, lookup_unit};
use crate::refrigerant;
use crate::source::Span;
use crate::vocabulary::{HeadKey, Verb, resolve};
use std::ops::Range;

/// A line in the notation.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Written {
    pub text: String,
    /// Parts of the text with the words they stand for.
    pub parts: Vec<(Span, Span)>,
    /// Indices of the words that are in it.
    pub used: Vec<usize>,
}

impl Written {
    fn put(&mut self, text: &str, said: Span) {
        let start = self.text.len();
        self.text.push_str(text);
        self.parts.push((Span::new(start, self.text.len()), said));
    }
}

impl Written {
    /// Starts with a text that holds a part at byte `at`.
    pub fn put_start(&mut self, text: &str, said: Span, at: u32) {
        self.text.push_str(text);
        self.parts.push((Span::new(at as usize, text.len()), said));
    }
}

/// What is written of a reading in place of what was said: its name and its value.
pub(super) struct Instead<'a> {
    /// Start of the reading.
    pub at: usize,
    pub name: &'a str,
    pub value: &'a str,
}

pub(super) struct Composer<'a, 'w, 's> {
    pub phrases: Phrases<'w, 's>,
    /// The text that the words' places count in.
    pub source: &'a str,
    pub instead: Option<Instead<'a>>,
}

impl Composer<'_, '_, '_> {
    fn word(&self, at: usize) -> &Word<'_> {
        &self.phrases.words[at]
    }

    fn said(&self, range: &Range<usize>) -> Span {
        self.word(range.start)
            .said
            .to(self.word(range.end - 1).said)
    }

    /// The lines of a clause; none for a scratch, which the caller sees to. `clock` is the time written
    /// at the start of the line, as it is.
    pub fn lines(&self, clause: &Clause, clock: Option<Span>) -> Vec<Written> {
        let stamped = || {
            let mut line = Written::default();
            match (&clause.clock, clock) {
                (Some(clock), _) => {
                    line.put(&clock.figures, self.said(&clock.range));
                    line.used.extend(clock.range.clone());
                }
                (None, Some(span)) => {
                    line.put(&self.source[span.start as usize..span.end as usize], span);
                }
                (None, None) => return line,
            }
            line.text.push(' ');
            line
        };
        let mut lines = Vec::new();
        match &clause.kind {
            Kind::Scratch | Kind::Nothing => {}
            Kind::Time => {
                let mut line = stamped();
                line.text.truncate(line.text.trim_end().len());
                lines.push(line);
            }
            Kind::Head { key, name, value } => {
                let mut line = Written::default();
                line.put(key.name(), self.said(name));
                line.used.extend(name.clone());
                line.text.push_str(": ");
                self.head_value(&mut line, *key, value.clone());
                lines.push(line);
            }
            Kind::Visit { date, names } => {
                let mut line = Written::default();
                line.put("visit", self.word(clause.words.start).said);
                if let Some((date, range)) = date {
                    line.text.push(' ');
                    line.put(date, self.said(range));
                    line.used.extend(range.clone());
                }
                if !names.is_empty() {
                    line.text.push(' ');
                    self.free(&mut line, names.clone());
                }
                let before = date.as_ref().map_or(names.start, |(_, range)| range.start);
                // A time has no place in a visit line.
                let timed = |at: &usize| {
                    clause
                        .clock
                        .as_ref()
                        .is_some_and(|clock| clock.range.contains(at))
                };
                line.used
                    .extend((clause.words.start..before).filter(|at| !timed(at)));
                lines.push(line);
            }
            Kind::Let { who, what } => {
                let mut line = stamped();
                line.put("told", self.word(who.start - 1).said);
                line.text.push(' ');
                self.free(&mut line, who.clone());
                if !what.is_empty() {
                    line.text.push(' ');
                    self.free(&mut line, what.clone());
                }
                line.used.extend([who.start - 1, who.end]);
                lines.push(line);
            }
            Kind::Readings(groups) => {
                let mut line = stamped();
                self.groups(&mut line, groups);
                lines.push(line);
            }
            Kind::Act {
                verb,
                name,
                text,
                groups,
            } => {
                let mut line = stamped();
                self.act(&mut line, *verb, name.clone(), text.clone());
                lines.push(line);
                if !groups.is_empty() {
                    let mut line = stamped();
                    self.groups(&mut line, groups);
                    lines.push(line);
                }
            }
            Kind::Talk { text, groups } => {
                let sign = self.phrases.is_sign(text.clone());
                if groups.is_empty() && !sign {
                    return lines;
                }
                let mut line = stamped();
                line.text.push_str("saw ");
                self.free(&mut line, text.clone());
                lines.push(line);
                if !groups.is_empty() {
                    let mut line = stamped();
                    self.groups(&mut line, groups);
                    lines.push(line);
                }
            }
        }
        lines
    }

    fn act(&self, line: &mut Written, verb: Verb, name: Range<usize>, text: Range<usize>) {
        if !name.is_empty() {
            // `put in a new contactor` is a part; refrigerant has a weight.
            let part = verb == Verb::Added
                && self.phrases.folded(name.start) == "put"
                && !text.clone().any(|i| {
                    let unit = self.phrases.unit(i).map(|unit| self.words_of(&unit));
                    unit.is_some_and(|unit| {
                        lookup_unit(&unit)
                            .iter()
                            .any(|u| u.dimension() == Dimension::Mass)
                    })
                });
            let again = matches!(verb, Verb::Hold | Verb::Vacuum)
                && matches!(
                    self.phrases.folded(name.start),
                    "it" | "its" | "it's" | "still"
                );
            let words = if part {
                "fitted".to_owned()
            } else if again {
                verb.name().to_owned()
            } else {
                let words: Vec<String> = name
                    .clone()
                    .map(|i| self.word(i).text.to_lowercase())
                    .collect();
                words.join(" ").replace("'s", "")
            };
            line.put(&words, self.said(&name));
            line.used.extend(name.clone());
            if !text.is_empty() {
                line.text.push(' ');
            }
        }
        // `lockout on the main disconnect`, `took my lock off the main disconnect`
        let mut text = text;
        if matches!(verb, Verb::LockedOut | Verb::LockOff) {
            while text.len() > 1
                && matches!(
                    self.phrases.folded(text.start),
                    "on" | "off" | "from" | "of"
                )
            {
                text.start += 1;
            }
        }
        let place = matches!(verb, Verb::Arrive | Verb::Depart)
            && text.clone().all(|i| {
                matches!(
                    self.phrases.folded(i),
                    "at" | "on"
                        | "the"
                        | "site"
                        | "here"
                        | "job"
                        | "store"
                        | "place"
                        | "now"
                        | "from"
                        | "there"
                        | "to"
                )
            });
        if place {
            line.text.truncate(line.text.trim_end().len());
        } else if verb == Verb::Private {
            self.verbatim(line, text);
        } else if is_measured(verb) || self.is_moved(verb, &text) {
            self.measured(line, text);
        } else {
            self.free(line, text);
        }
    }

    /// `moved two pounds of R-448A`: a weight that no book has.
    fn is_moved(&self, verb: Verb, text: &Range<usize>) -> bool {
        verb == Verb::Handled
            && self.phrases.folded(text.start) == "moved"
            && text.clone().any(|i| {
                let unit = self.phrases.unit(i).map(|unit| self.words_of(&unit));
                unit.is_some_and(|unit| {
                    lookup_unit(&unit)
                        .iter()
                        .any(|u| u.dimension() == Dimension::Mass)
                })
            })
    }

    /// The value of a head line.
    pub fn head_value(&self, line: &mut Written, key: HeadKey, value: Range<usize>) {
        use HeadKey as K;
        let free = matches!(
            key,
            K::Customer | K::Site | K::Contact | K::Complaint | K::Contents | K::Access
        );
        if key == K::Refrigerant
            && let Some((count, name)) = self.refrigerant(value.start, true)
        {
            // The charge stands behind it, with or without a comma.
            line.put(&name, self.said(&(value.start..value.start + count)));
            line.used.extend(value.start..value.start + count);
            let rest = value.start + count..value.end;
            if !rest.is_empty() {
                line.text.push_str(", ");
                self.measured(line, rest);
            }
        } else if free {
            self.free(line, value);
        } else if key == K::Unit
            && let Some((count, tag)) = self.tag(value.start, value.end)
        {
            line.put(&tag, self.said(&(value.start..value.start + count)));
            line.used.extend(value.start..value.start + count);
            let rest = value.start + count..value.end;
            if !rest.is_empty() {
                line.text.push(' ');
                self.measured(line, rest);
            }
        } else if key == K::Cylinder {
            self.cylinder(line, value);
        } else if matches!(
            key,
            K::SetPoint
                | K::DesignTd
                | K::DesignSplit
                | K::DesignAmbient
                | K::TargetSuperheat
                | K::TargetSubcooling
                | K::FoodLimit
                | K::Barometer
                | K::HeadPressureHold
        ) {
            self.setting(line, key, value);
        } else if key == K::Nameplate {
            let mut written = Written::default();
            self.measured(&mut written, value);
            line.used.append(&mut written.used);
            let said = written.parts.iter().map(|(_, said)| *said).reduce(Span::to);
            line.put(&ratings(&written.text), said.unwrap_or_default());
        } else {
            self.measured(line, value);
        }
    }

    /// A value of the head: `ten below`, `eight degrees`, `twenty nine point four inches`.
    fn setting(&self, line: &mut Written, key: HeadKey, value: Range<usize>) {
        let Some(figures) = self
            .phrases
            .number(value.start)
            .filter(|f| f.range.end <= value.end)
        else {
            return self.measured(line, value);
        };
        let rest: Vec<&str> = (figures.range.end..value.end)
            .map(|i| self.phrases.folded(i))
            .collect();
        let (sign, unit) = match rest.as_slice() {
            ["degrees" | "degree"] => ("", ""),
            ["below"] | ["below", "zero"] | ["degrees", "below"] | ["degrees", "below", "zero"] => {
                ("-", "")
            }
            ["inches" | "inch"] if key == HeadKey::Barometer => ("", " inHg"),
            _ => return self.measured(line, value),
        };
        line.put(&format!("{sign}{}{unit}", figures.text), self.said(&value));
        line.used.extend(value);
    }

    /// A cylinder's line: label, refrigerant and weights, with the commas that tell them apart.
    fn cylinder(&self, line: &mut Written, value: Range<usize>) {
        let mut at = value.start;
        let run = self.phrases.run(at, 8);
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        if let Some((letters, count)) = letters(&run)
            && let Some(said) = atoms.get(count..).and_then(number)
        {
            let end = at + count + said.words;
            line.put(
                &format!("{letters}-{}", said.figures),
                self.said(&(at..end)),
            );
            line.used.extend(at..end);
            at = end;
        }
        if let Some((count, name)) = self
            .refrigerant(at, true)
            .filter(|(count, _)| at > value.start && at + count <= value.end)
        {
            line.text.push_str(", ");
            line.put(&name, self.said(&(at..at + count)));
            line.used.extend(at..at + count);
            at += count;
        }
        while at < value.end {
            let starts = |i: &usize| {
                matches!(
                    self.phrases.folded(*i),
                    "water" | "tare" | "holds" | "contents" | "capacity"
                )
            };
            let next = (at + 2..value.end).find(starts).unwrap_or(value.end);
            if !line.text.ends_with(": ") {
                line.text.push_str(", ");
            }
            self.measured(line, at..next);
            at = next;
        }
    }

    /// Words exactly as said.
    fn verbatim(&self, line: &mut Written, range: Range<usize>) {
        if range.is_empty() {
            return;
        }
        let said = self.said(&range);
        let text = &self.source[said.start as usize..said.end as usize];
        line.put(text, said);
        line.used.extend(range);
    }

    /// Words as said, slips put right.
    pub fn free(&self, line: &mut Written, range: Range<usize>) {
        let mut at = range.start;
        let mut first = true;
        while at < range.end {
            // A filler is no word of the text; it stays in the comment with what was said.
            if matches!(self.phrases.folded(at), "um" | "uh" | "erm") {
                at += 1;
                continue;
            }
            if !first {
                line.text.push_str(self.gap(at));
            }
            first = false;
            if let Some((count, name)) = self
                .refrigerant(at, false)
                .filter(|(count, _)| at + count <= range.end)
            {
                line.put(&name, self.said(&(at..at + count)));
                line.used.extend(at..at + count);
                at += count;
            } else {
                line.put(self.text_of(at, 0), self.word(at).said);
                line.used.push(at);
                at += 1;
            }
        }
        self.close(line, range);
    }

    /// A word's text: a slip of the thumb stays as it is where free text is not for us to mend.
    fn text_of(&self, at: usize, mended: u8) -> &str {
        let word = self.word(at);
        if word.thumb.is_some_and(|slip| slip >= mended) {
            return &self.source[word.said.start as usize..word.said.end as usize];
        }
        &self.phrases.words[at].text
    }

    /// Words with numbers in figures.
    fn measured(&self, line: &mut Written, range: Range<usize>) {
        let inside = Composer {
            phrases: Phrases {
                words: &self.phrases.words[..range.end],
            },
            source: self.source,
            instead: None,
        };
        inside.measured_words(line, range);
    }

    fn measured_words(&self, line: &mut Written, range: Range<usize>) {
        let mut at = range.start;
        while at < range.end {
            if at > range.start {
                line.text.push_str(self.gap(at));
            }
            let end = if let Some((count, name)) = self
                .refrigerant(at, false)
                .filter(|(count, _)| at + count <= range.end)
            {
                line.put(&name, self.said(&(at..at + count)));
                at + count
            } else if let Some((count, amount)) = self
                .article(at)
                .filter(|(count, _)| at + count <= range.end)
            {
                line.put(&amount, self.said(&(at..at + count)));
                at + count
            } else if let Some((count, label)) =
                self.label(at).filter(|(count, _)| at + count <= range.end)
            {
                line.put(&label, self.said(&(at..at + count)));
                at + count
            } else if let Some(figures) = self
                .phrases
                .number(at)
                .filter(|f| f.range.end <= range.end && f.spoken)
            {
                // `twelve thirty four dash fifty six`
                let dash = matches!(self.phrases.folded(figures.range.end), "dash" | "hyphen");
                let second = self
                    .phrases
                    .number(figures.range.end + 1)
                    .filter(|f| dash && f.range.end <= range.end);
                match second {
                    Some(second) => {
                        let said = self.said(&(at..second.range.end));
                        line.put(&format!("{}-{}", figures.text, second.text), said);
                        second.range.end
                    }
                    None => {
                        line.put(&figures.text, self.said(&figures.range));
                        // `three quarters of a pound`
                        let of = self.phrases.folded(figures.range.end) == "of"
                            && matches!(self.phrases.folded(figures.range.end + 1), "a" | "an")
                            && self.phrases.unit(figures.range.end + 2).is_some();
                        figures.range.end + if of { 2 } else { 0 }
                    }
                }
            } else {
                line.put(self.text_of(at, 3), self.word(at).said);
                at + 1
            };
            line.used.extend(at..end);
            at = end;
        }
        self.close(line, range);
    }

    /// What stands between a word and the one before it.
    fn gap(&self, at: usize) -> &str {
        let (before, now) = (self.word(at - 1).said, self.word(at).said);
        if before == now || now.start <= before.end {
            return " ";
        }
        let gap = &self.source[before.end as usize..now.start as usize];
        if gap.contains(['\n', '\r', '#']) || gap.contains(char::is_alphanumeric) {
            " "
        } else {
            gap
        }
    }

    /// Closing quotes and brackets behind the last word.
    fn close(&self, line: &mut Written, range: Range<usize>) {
        let Some(last) = range.end.checked_sub(1).filter(|_| !range.is_empty()) else {
            return;
        };
        let from = self.word(last).said.end as usize;
        let tail: String = self.source[from..]
            .chars()
            .take_while(|c| !c.is_whitespace())
            .filter(|c| matches!(c, ')' | '”' | '"' | ']' | '?' | '!'))
            .collect();
        line.text.push_str(&tail);
    }

    fn groups(&self, line: &mut Written, groups: &[Group]) {
        for (i, group) in groups.iter().enumerate() {
            if i > 0 {
                line.text.push_str(", ");
            }
            self.group(line, group);
        }
    }

    fn group(&self, line: &mut Written, group: &Group) {
        let instead = self
            .instead
            .as_ref()
            .filter(|instead| instead.at == group.range.start);
        let name = instead.map_or(group.name_text.as_str(), |instead| instead.name);
        // 208 is no air, 57 no mains
        let air = name == "supply"
            && group.unit.is_none()
            && only_unit(group).is_empty()
            && !group.values.is_empty();
        let name = if air { "supply air" } else { name };
        line.put(name, self.said(&group.name));
        line.used.extend(group.name.clone());
        if let Some(state) = &group.state {
            line.text.push(' ');
            let short = |i: usize| self.word(i).text.contains(['\'', '’']);
            let words: Vec<&str> = state
                .clone()
                .map(|i| {
                    if short(i) {
                        self.phrases.folded(i)
                    } else {
                        &*self.word(i).text
                    }
                })
                .collect();
            line.put(&words.join(" "), self.said(state));
            line.used.extend(state.clone());
        }
        for (i, value) in group.values.iter().enumerate() {
            line.text.push_str(if i > 0 { " / " } else { " " });
            let figures = instead.map_or(value.text.as_str(), |instead| instead.value);
            let below = group.below && !figures.starts_with(['-', '−']);
            let figures = if below {
                format!("-{figures}")
            } else {
                figures.to_owned()
            };
            line.put(&figures, self.said(&value.range));
            line.used.extend(value.range.clone());
            if instead.is_some() {
                break;
            }
        }
        if let Some(unit) = &group.unit {
            line.text.push(' ');
            line.put(&self.unit(&group.name_text, unit), self.said(unit));
            line.used.extend(unit.clone());
        }
        if let Some(assumed) = group.assumed {
            line.text.push(' ');
            line.text.push_str(assumed);
        } else if group.unit.is_none() && instead.is_none() {
            line.text.push_str(only_unit(group));
        }
        if let Some(about) = group.about {
            line.text.push(' ');
            line.put(&self.word(about).text, self.word(about).said);
            line.used.push(about);
        }
        if group.below {
            line.used.extend(
                group
                    .range
                    .clone()
                    .filter(|i| self.phrases.folded(*i) == "below"),
            );
        }
    }

    /// A unit as said; bare inches at a pressure are of vacuum or of water.
    fn unit(&self, name: &str, unit: &Range<usize>) -> String {
        let words: Vec<&str> = unit.clone().map(|i| &*self.word(i).text).collect();
        let words = words.join(" ");
        if !matches!(words.as_str(), "inches" | "inch") {
            return words;
        }
        let measures =
            |dimension| resolve(name).is_some_and(|name| name.measured_in(dimension).is_some());
        if measures(Dimension::Pressure) {
            "inHg".to_owned()
        } else if measures(Dimension::AirPressure) {
            "inWC".to_owned()
        } else {
            words
        }
    }

    /// `four oh four a`, `r four ten a`, `r two ninety`: the words, and the designation.
    fn refrigerant(&self, at: usize, alone: bool) -> Option<(usize, String)> {
        let run = self.phrases.run(at, 8);
        let lettered = matches!(*run.first()?, "r" | "are" | "our");
        let from = usize::from(lettered);
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        let longest = number(atoms.get(from..)?)?.words;
        // `r two ninety one hundred fifteen grams`: the designation ends where one is known.
        (1..=longest).rev().find_map(|words| {
            let said = number(&atoms[from..from + words]).filter(|said| said.words == words)?;
            self.designation(at, &run, lettered, &said, alone)
        })
    }

    /// A number said as a refrigerant's designation, perhaps with its letter.
    fn designation(
        &self,
        at: usize,
        run: &[&str],
        lettered: bool,
        said: &Said,
        alone: bool,
    ) -> Option<(usize, String)> {
        let plain = said.figures.bytes().all(|b| b.is_ascii_digit());
        let spoken = said.words > 1 || lettered;
        if !plain || !spoken {
            return None;
        }
        let count = usize::from(lettered) + said.words;
        let letter = run.get(count).and_then(|word| match *word {
            "a" | "hey" | "eh" | "ay" => Some('A'),
            "b" | "bee" => Some('B'),
            "c" | "see" | "sea" => Some('C'),
            "d" | "dee" => Some('D'),
            "e" => Some('E'),
            "f" => Some('F'),
            _ => None,
        });
        let designation = |letter: Option<char>| {
            let name = format!(
                "R-{}{}",
                said.figures,
                letter.map_or(String::new(), String::from)
            );
            refrigerant::lookup(&name).map(|found| found.name.to_owned())
        };
        if let Some(letter) = letter
            && let Some(name) = designation(Some(letter))
        {
            // `four oh four a little high`: only where a refrigerant is spoken of.
            let before = at.checked_sub(1).map_or("", |i| self.phrases.folded(i));
            let spoken_of = !lookup_unit(before).is_empty()
                || matches!(
                    before,
                    "" | "refrigerant"
                        | "of"
                        | "gas"
                        | "with"
                        | "the"
                        | "fresh"
                        | "virgin"
                        | "new"
                        | "recovered"
                        | "added"
                        | "charged"
                        | "on"
                        | "into"
                        | "some"
                        | "in"
                        | "is"
                        | "an"
                        | "a"
                        | "for"
                );
            return (alone || lettered || spoken_of).then_some((count + 1, name));
        }
        let least = if lettered { 2 } else { 3 };
        if (lettered || alone) && said.figures.len() >= least {
            return designation(None).map(|name| (count, name));
        }
        None
    }

    /// `c one eighteen` behind `into` or `from`: a cylinder's label, `C-118`.
    fn label(&self, at: usize) -> Option<(usize, String)> {
        let before = at.checked_sub(1).map(|i| self.phrases.folded(i))?;
        if self.phrases.folded(at) == "a" && matches!(before, "to" | "in") {
            return None; // `to a hundred and fifty`
        }
        let out_of = before == "of" && at > 1 && self.phrases.folded(at - 2) == "out";
        if !out_of
            && !matches!(
                before,
                "into"
                    | "from"
                    | "in"
                    | "to"
                    | "cylinder"
                    | "bottle"
                    | "tank"
                    | "drum"
                    | "recovery"
            )
        {
            return None;
        }
        let run = self.phrases.run(at, 8);
        let (letters, count) = letters(&run)?;
        let dash = usize::from(matches!(
            run.get(count),
            Some(&"dash" | &"hyphen" | &"minus" | &"-")
        ));
        let from = count + dash;
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        let said = number(atoms.get(from..)?)?;
        let plain = said.figures.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| (from + said.words, format!("{letters}-{}", said.figures)))
    }

    /// `an hour`, `a pound and a half`: the words before the unit's name, and the amount.
    fn article(&self, at: usize) -> Option<(usize, String)> {
        if !matches!(self.phrases.folded(at), "a" | "an") {
            return None;
        }
        let unit = self.phrases.unit(at + 1)?;
        let words = self.words_of(&unit);
        let amount = |unit: &crate::quantity::Unit| {
            matches!(unit.dimension(), Dimension::Mass | Dimension::Duration)
        };
        if !lookup_unit(&words).iter().any(amount) {
            return None;
        }
        let half = match self.phrases.run(unit.end, 3).as_slice() {
            ["and", "a", "half"] => " 1/2",
            ["and", "a", "quarter"] => " 1/4",
            _ => return Some((1, "1".to_owned())),
        };
        Some((unit.end + 3 - at, format!("1{half} {words}")))
    }

    fn words_of(&self, range: &Range<usize>) -> String {
        let words: Vec<&str> = range.clone().map(|i| &*self.word(i).text).collect();
        words.join(" ")
    }

    /// A unit's tag at the start of its head line: `W I F four` is `WIF-4`.
    fn tag(&self, at: usize, end: usize) -> Option<(usize, String)> {
        if at >= end {
            return None;
        }
        let run = self.phrases.run(at, 8);
        let (letters, count) = match letters(&run) {
            Some((letters, count)) if count > 1 => (letters, count),
            _ => {
                let word = &self.word(at).text;
                let capitals = word.len() <= 4 && word.chars().all(|c| c.is_ascii_uppercase());
                (capitals.then(|| word.to_string())?, 1)
            }
        };
        let atoms: Vec<Option<Atom<'_>>> = run.iter().map(|word| atom(word)).collect();
        let said = atoms.get(count..).and_then(number);
        match said.filter(|said| {
            said.figures.bytes().all(|b| b.is_ascii_digit()) && at + count + said.words <= end
        }) {
            Some(said) => Some((count + said.words, format!("{letters}-{}", said.figures))),
            None => (count > 1).then_some((count, letters)),
        }
    }
}

/// The unit of a supply, with a blank before it, where the value leaves one: 208 is no air, 57 no mains.
fn only_unit(group: &Group) -> &'static str {
    let [value] = group.values.as_slice() else {
        return "";
    };
    if group.name_text != "supply" {
        return "";
    }
    match value.text.parse::<f64>() {
        Ok(volt) if volt >= 110.0 => " V",
        _ => "",
    }
}

/// Letters said one by one, in capitals, and the words they take: `w i f`, `see`.
fn letters(run: &[&str]) -> Option<(String, usize)> {
    let letter = |word: &str| match word {
        "see" | "sea" => Some('C'),
        "bee" => Some('B'),
        "are" => Some('R'),
        one if one.len() == 1 && one.is_ascii() => {
            one.chars().next().map(|c| c.to_ascii_uppercase())
        }
        _ => None,
    };
    let letters: String = run
        .iter()
        .map_while(|word| letter(word))
        .filter(char::is_ascii_alphabetic)
        .take(4)
        .collect();
    let count = letters.len();
    (count > 0).then_some((letters, count))
}

/// Ratings with commas between them, where they were said in one breath.
fn ratings(text: &str) -> String {
    const NAMES: &[&str] = &[
        "rla",
        "fla",
        "heaters",
        "heater",
        "capacitor",
        "run capacitor",
        "control",
        "defrost",
    ];
    let mut out = text
        .replace("single phase", "1 phase")
        .replace("rated load amps", "rla");
    // `208 230 volts`: a dual rating
    if let Some((volt, rest)) = out.split_once(' ')
        && volt.bytes().all(|b| b.is_ascii_digit())
        && (rest.starts_with("3 phase") || rest.starts_with("1 phase"))
    {
        out = format!("{volt} volts {rest}");
    }
    let words: Vec<&str> = out.split(' ').collect();
    let volts = |word: &str| word.parse::<u32>().is_ok_and(|v| (100..700).contains(&v));
    if let Some(at) = words
        .windows(2)
        .position(|pair| volts(pair[0]) && volts(pair[1]))
    {
        out = format!("{}/{}", words[..=at].join(" "), words[at + 1..].join(" "));
    }
    for name in NAMES {
        let found = format!(" {name} ");
        if let Some(at) = out.find(&found)
            && !out[..at].ends_with(',')
            && !(*name == "capacitor" && out[..at].ends_with("run"))
        {
            out.insert(at, ',');
        }
    }
    out
}
