//! Clauses in the notation: each as a line of its own, with the words that every part of it stands for.

use super::clause::{Clause, Kind};
use super::families::is_measured;
use super::phrase::Phrases;
use super::reading::Group;
use super::words::Word;
use crate::quantity::{Dimension, lookup_unit};
use crate::source::Span;
use crate::vocabulary::{Verb, resolve};
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
    pub fn put(&mut self, text: &str, said: Span) {
        let start = self.text.len();
        self.text.push_str(text);
        self.parts.push((Span::new(start, self.text.len()), said));
    }

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
    pub fn word(&self, at: usize) -> &Word<'_> {
        &self.phrases.words[at]
    }

    pub fn said(&self, range: &Range<usize>) -> Span {
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
        let readings = |groups: &[Group]| {
            (!groups.is_empty()).then(|| {
                let mut line = stamped();
                self.groups(&mut line, groups);
                line
            })
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
            Kind::Readings(groups) => lines.extend(readings(groups)),
            Kind::Act {
                verb,
                name,
                text,
                groups,
            } => {
                let mut line = stamped();
                self.act(&mut line, *verb, name.clone(), text.clone());
                lines.push(line);
                lines.extend(readings(groups));
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
                lines.extend(readings(groups));
            }
        }
        lines
    }

    fn act(&self, line: &mut Written, verb: Verb, name: Range<usize>, text: Range<usize>) {
        if !name.is_empty() {
            // `put in a new contactor` is a part; refrigerant has a weight.
            let part = verb == Verb::Added
                && self.phrases.folded(name.start) == "put"
                && !self.has_mass(&text);
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
        if name.is_empty() && verb == Verb::Vacuum {
            line.text.push_str("vacuum ");
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
        } else if name.is_empty() && self.word(text.start).thumb.is_some() {
            // The word of the line kind is mended, whatever free text keeps.
            line.put(&self.word(text.start).text, self.word(text.start).said);
            line.used.push(text.start);
            if text.len() > 1 {
                line.text.push(' ');
                self.free(line, text.start + 1..text.end);
            }
        } else if is_measured(verb) || self.is_moved(verb, &text) {
            self.measured(line, text);
        } else {
            self.free(line, text);
        }
    }

    /// `moved two pounds of R-448A`: a weight that no book has.
    fn is_moved(&self, verb: Verb, text: &Range<usize>) -> bool {
        verb == Verb::Handled && self.phrases.folded(text.start) == "moved" && self.has_mass(text)
    }

    /// True when a unit of mass stands among some words.
    fn has_mass(&self, text: &Range<usize>) -> bool {
        let mut units = text.clone().filter_map(|i| self.phrases.unit(i));
        units.any(|unit| {
            lookup_unit(&self.words_of(&unit))
                .iter()
                .any(|u| u.dimension() == Dimension::Mass)
        })
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
    pub fn measured(&self, line: &mut Written, range: Range<usize>) {
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
                // `down to ten inches`: of vacuum, on a compound gauge
                let inches = matches!(self.phrases.folded(at), "inches" | "inch")
                    && self.phrases.folded(at + 1) != "of"
                    && (range.start..at)
                        .rev()
                        .take(4)
                        .any(|i| self.phrases.folded(i) == "down");
                let text = if inches { "inHg" } else { self.text_of(at, 3) };
                line.put(text, self.word(at).said);
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
