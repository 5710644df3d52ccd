//! What a statement begins with, and the times in it.

use super::clock;
use super::families::is_timed;
use super::number::names_number;
use super::phrase::Phrases;
use super::reading::is_usual;
use super::speech::LEADS;
use super::words::Pause;
use crate::vocabulary::{HeadKey, Verb, head_key, state};
use std::ops::Range;

impl Phrases<'_, '_> {
    /// The place behind words that lead to something known; the same place where nothing known follows.
    pub fn lead(&self, at: usize, head: bool) -> usize {
        let mut start = at;
        while start < self.words.len() {
            if self.begins(start, head) {
                return start;
            }
            if !LEADS.contains(&self.folded(start)) || start - at >= 6 {
                return at;
            }
            start += 1;
        }
        at
    }

    /// True when something known starts here.
    pub fn begins(&self, at: usize, head: bool) -> bool {
        self.scratch(at).is_some()
            || self.time_cue(at, head).is_some()
            || self.act(at).is_some()
            || self.group(at).is_some()
            || self.folded(at) == "let" && (at + 2..at + 7).any(|i| self.folded(i) == "know")
            || head && self.head(at).is_some()
    }

    /// `scratch that`: the place behind it.
    pub fn scratch(&self, at: usize) -> Option<usize> {
        let run = self.run(at, 4);
        let count = match run.as_slice() {
            ["nvm" | "nevermind", ..] => 1,
            ["never", "mind", ..] => 2,
            ["no", "wait", "scratch", "that", ..] => 4,
            ["no", "scratch" | "strike", "that", ..] => 3,
            ["scratch" | "strike", "that" | "it", ..] => 2,
            ["scratch" | "strike", "the", "last"] => 3,
            _ => return None,
        };
        Some(at + count)
    }

    /// `at nine twelve`, `it's quarter past nine`, `oh nine twelve`, `nine twelve suction …`.
    pub fn time_cue(&self, at: usize, head: bool) -> Option<(clock::Said, Range<usize>)> {
        let led = match self.run(at, 3).as_slice() {
            ["the", "time", "is" | "was", ..] => 3,
            ["time", "is" | "was", ..] => 2,
            [
                "at" | "around" | "about" | "it's" | "its" | "time" | "by",
                ..,
            ] => 1,
            _ => 0,
        };
        let from = at + led;
        let said = self.time(from)?;
        let end = from + said.words;
        if self.unit(end).is_some() || self.folded(end) == "percent" {
            return None; // `at one twenty psi`
        }
        let more = (said.words > 1 || said.plain) && !said.bare;
        if said.bare && led > 0 {
            let next = self.lead_of_act(end);
            let follows =
                next < self.words.len() && (self.act(next).is_some() || self.named_group(next));
            return follows.then_some((said, at..end));
        }
        // `Nine twenty, condenser fan seized.`
        let first = at == 0 || self.words[at - 1].after == Pause::Stop;
        let apart = first && more && self.words[end - 1].after == Pause::Comma;
        if said.plain && (led > 0 || !head) || led > 0 && more || apart {
            return Some((said, at..end));
        }
        // `from c one twenty`, `into b twenty one`: a label.
        let before = at.checked_sub(1).map_or("", |i| self.folded(i));
        if led == 0
            && (before.len() == 1
                || matches!(before, "into" | "from" | "to" | "minus" | "see")
                || self.is_value(at))
        {
            return None;
        }
        // Without a word that says so, only before what can start a statement.
        let follows = more && end < self.words.len() && {
            let next = self.lead_of_act(end);
            let again = self.again(end, Verb::Vacuum).is_some();
            // `two oh six L2 to L3`: the value of what follows
            let value = self.value_first(from, true).is_some();
            !value && (again || self.act(next).is_some() || self.named_group(next))
        };
        follows.then_some((said, at..end))
    }

    /// True for a number that its point stands before, and usually reads: `discharge two twenty eight`.
    pub fn is_value(&self, at: usize) -> bool {
        (1..=at.min(3)).any(|count| {
            let named = self
                .name(at - count)
                .is_some_and(|(words, _, _)| words == count);
            let group = self.group(at - count).filter(|_| named);
            group.is_some_and(|group| {
                let value = group
                    .values
                    .first()
                    .is_some_and(|value| value.range.start == at);
                value && is_usual(*self, &group) == Some(true)
            })
        })
    }

    pub fn named_group(&self, at: usize) -> bool {
        self.group(at)
            .is_some_and(|group| group.name.start == group.range.start)
    }

    pub fn lead_of_act(&self, at: usize) -> usize {
        (at..self.words.len().min(at + 4))
            .find(|&i| !LEADS.contains(&self.folded(i)) || self.act(i).is_some())
            .unwrap_or(at)
    }

    /// A line kind that starts here.
    pub fn act(&self, at: usize) -> Option<(Verb, usize)> {
        let (verb, count) = self.verb(at)?;
        let run = self.run(at, 4);
        // A name that starts with the word of a line kind: `left leg`, `set point`, `vacuum pump`.
        if self
            .name(at)
            .is_some_and(|(words, _, _)| words > count.max(1))
        {
            return None;
        }
        if verb == Verb::Left && matches!(run.get(1), Some(&"leg" | &"side" | &"hand")) {
            return None;
        }
        // `left at ten fifteen`
        let away = verb == Verb::Left
            && run.get(1) == Some(&"at")
            && self
                .time(at + 2)
                .is_some_and(|said| !said.bare && self.unit(at + 2 + said.words).is_none());
        if away {
            return Some((Verb::Depart, count));
        }
        // `see what`, `on site` said of a place
        if run.first() == Some(&"off") && run.get(1) != Some(&"site") {
            return None;
        }
        Some((verb, count))
    }

    /// A head key that starts here, and its words.
    pub fn head(&self, at: usize) -> Option<(HeadKey, usize)> {
        let run = self.run(at, 3);
        (1..=run.len()).rev().find_map(|count| {
            let key = head_key(&run[..count].join(" "))?;
            let weak = count == 1
                && matches!(
                    run[0],
                    "call"
                        | "load"
                        | "problem"
                        | "ref"
                        | "meters"
                        | "phone"
                        | "reported"
                        | "holds"
                        | "keys"
                        | "location"
                        | "stock"
                        | "td"
                        | "bottle"
                        | "system"
                        | "rating"
                        | "atmosphere"
                );
            let behind = self.folded(at + count);
            let said = matches!(behind, "is" | "are" | "was" | "number");
            // `the unit is running`, `customer says the box is warm`: talk about it
            let value = self.folded(at + count + 1);
            let talk = matches!(
                behind,
                "says" | "said" | "wants" | "wanted" | "called" | "thinks"
            ) || said && self.is_condition(value, at + count + 2);
            ((!weak || said) && !talk).then_some((key, count))
        })
    }

    /// True when a word closes a sentence about how something is: `running`, `angry`.
    fn is_condition(&self, word: &str, next: usize) -> bool {
        let ends = next >= self.words.len()
            || self.words[next - 1].after != Pause::None
            || matches!(self.folded(next), "and" | "but" | "so" | "now" | "again");
        ends && (state(word).is_some()
            || matches!(
                word,
                "angry"
                    | "upset"
                    | "happy"
                    | "unhappy"
                    | "done"
                    | "closed"
                    | "locked"
                    | "down"
                    | "here"
                    | "there"
                    | "gone"
                    | "fine"
                    | "warm"
                    | "cold"
                    | "hot"
                    | "dead"
                    | "good"
                    | "busy"
                    | "finished"
                    | "loud"
                    | "noisy"
                    | "frozen"
                    | "iced"
                    | "empty"
                    | "full"
            ))
    }

    /// `it's at three forty` behind a test: the place of the number.
    pub fn again(&self, at: usize, verb: Verb) -> Option<usize> {
        if !matches!(verb, Verb::Hold | Verb::Vacuum)
            || !matches!(self.folded(at), "it" | "its" | "it's" | "still")
        {
            return None;
        }
        let idle = |i: &usize| {
            matches!(
                self.folded(*i),
                "it" | "its" | "it's" | "is" | "was" | "at" | "still" | "reads" | "holding" | "now"
            )
        };
        let number = at + (at..self.words.len()).take_while(idle).count();
        self.number(number).map(|_| number)
    }

    /// A time that closes a statement: `recovered nineteen pounds at nine forty`.
    pub fn trailing_time(
        &self,
        from: usize,
        end: usize,
        anywhere: bool,
    ) -> Option<(clock::Said, Range<usize>)> {
        (from..end).find_map(|at| {
            let is = self.folded(at) == "is" && at > from && self.folded(at - 1) == "time";
            let led = is
                || matches!(
                    self.folded(at),
                    "at" | "around" | "about" | "@" | "it's" | "its"
                );
            let said = self.time(at + usize::from(led))?;
            let stop = at + usize::from(led) + said.words;
            let fits = stop == end || anywhere && stop < end;
            let time =
                !said.bare && (said.plain || led && said.words > 1 || anywhere && said.words > 1);
            let whole = at == from || !names_number(self.folded(at - 1)) || led;
            let figures =
                said.plain && self.folded(at).bytes().all(|b| b.is_ascii_digit()) && at > from;
            if !(fits && time && whole && (led || anywhere || figures) && self.unit(stop).is_none())
            {
                return None;
            }
            // `that was at nine`, `taken at nine`, `time is nine`
            let mut start = at;
            while start > from
                && matches!(
                    self.folded(start - 1),
                    "that" | "was" | "taken" | "this" | "is" | "time" | "all"
                )
            {
                start -= 1;
            }
            Some((said, start..stop))
        })
    }

    /// An hour alone that closes what was done to a thing: `took the lock off at ten`. Behind a test or a
    /// setting it may be the reading.
    pub fn closing_hour(
        &self,
        verb: Verb,
        from: usize,
        end: usize,
    ) -> Option<(clock::Said, Range<usize>)> {
        let of_reading = matches!(
            verb,
            Verb::Hold | Verb::Vacuum | Verb::Did | Verb::Handled | Verb::Left
        );
        let joins = |i: &usize| matches!(self.folded(i - 1), "and" | "then" | "so" | "but");
        let end = (from + 1..=end).rev().find(|i| !joins(i))?;
        let at = end
            .checked_sub(2)
            .filter(|&at| is_timed(verb) && !of_reading && at >= from)?;
        let said = clock::time(&self.run(at + 1, 1)).filter(|said| said.bare)?;
        (self.folded(at) == "at").then_some((said, at..end))
    }

    /// A time in the midst of a statement, behind a word that leads to it.
    pub fn time_within(&self, from: usize, end: usize) -> Option<(clock::Said, Range<usize>)> {
        (from..end).find_map(|at| {
            let led = matches!(self.folded(at), "at" | "@");
            let said = self.time(at + 1).filter(|said| led && !said.bare)?;
            let stop = at + 1 + said.words;
            // `at four hundred` is a reading
            let hour = said.figures.ends_with("00") && !said.plain;
            let fits = stop < end && self.unit(stop).is_none() && !hour;
            (fits && (said.words > 1 || said.plain)).then_some((said, at..stop))
        })
    }
}
