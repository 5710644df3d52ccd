//! Talk: sentences without a line kind, the readings in them, and whose business they are.

use super::clause::{Clock, Kind, Mode};
use super::phrase::Phrases;
use super::reading::Group;
use super::speech::{BINDING, OPENERS, PARTS, PEOPLE};
use super::words::Word;
use crate::vocabulary::recognise;
use std::ops::Range;

impl Phrases<'_, '_> {
    pub fn talk(&self, at: usize, mode: Mode) -> (Kind, usize, Option<Clock>) {
        let mut end = at;
        let mut groups: Vec<Group> = Vec::new();
        while end < self.words.len() {
            if end > at && self.is_cut(end, at, None, mode) {
                break;
            }
            match self.group_after(end, groups.last()) {
                Some(group) => {
                    end = group.range.end;
                    groups.push(group);
                }
                None => end += 1,
            }
        }
        let mut later = None;
        let mut stop = end;
        if !mode.timed
            && let Some((clock, range)) = self.trailing_time(at, end, false)
            && range.end == end
            && groups.last().is_none_or(|g| {
                g.range.end <= range.start
                    && self.leftover(g.range.end..range.start, &[]).is_empty()
            })
        {
            later = Some(Clock {
                figures: clock.figures,
                range: range.clone(),
            });
            stop = range.start;
        }
        let mut left = self.leftover(at..stop, &groups);
        // A point without a value among readings: its value is missing, and that is to be said.
        while let Some(&first) = left.first()
            && let Some((count, name_text, _)) = self.name(first)
            && !groups.is_empty()
            && left.iter().take(count).copied().eq(first..first + count)
        {
            left.drain(..count);
            let place = groups.partition_point(|group| group.range.start < first);
            groups.insert(place, Group::bare(first..first + count, name_text));
        }
        if left.is_empty() && !groups.is_empty() {
            return (Kind::Readings(groups), end, later);
        }
        groups.retain(|group| !group.values.is_empty() || group.state.is_some());
        // Two times in one sentence: which reading is of which is not for luck to say.
        let times = (at..end)
            .filter(|&i| {
                matches!(self.folded(i), "at" | "@") && self.time(i + 1).is_some_and(|t| !t.bare)
            })
            .count();
        if self.is_hearsay(at..stop, &groups) || times > 1 {
            return (
                Kind::Talk {
                    text: at..stop,
                    groups: Vec::new(),
                },
                end,
                later,
            );
        }
        if let Some(tail) = self.tail(at, stop, &groups)
            && tail > at
        {
            return (
                Kind::Talk {
                    text: at..tail,
                    groups: Vec::new(),
                },
                tail,
                None,
            );
        }
        (
            Kind::Talk {
                text: at..stop,
                groups,
            },
            end,
            later,
        )
    }

    /// Where readings start that run on to the end and are no part of the sentence before them.
    pub fn tail(&self, at: usize, end: usize, groups: &[Group]) -> Option<usize> {
        let mut start = end;
        for group in groups.iter().rev() {
            let between = self.leftover(group.range.end..start, &[]);
            if !between.is_empty() {
                break;
            }
            start = group.range.start;
        }
        if start == end || start == at {
            return None;
        }
        let before = self.folded(start - 1);
        let bound = BINDING.contains(&before)
            || matches!(
                before,
                "my" | "its"
                    | "and"
                    | "but"
                    | "so"
                    | "while"
                    | "only"
                    | "just"
                    | "about"
                    | "then"
                    | "left"
            );
        let of_tail = groups.iter().filter(|group| group.range.start >= start);
        let value = of_tail.clone().any(|group| !group.values.is_empty());
        let enough = value || of_tail.count() > 1 || start - at > 2;
        (enough && !bound).then_some(start)
    }

    /// Every reading in some words.
    pub fn groups_in(&self, range: Range<usize>) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        let mut at = range.start;
        while at < range.end {
            match self
                .group_after(at, groups.last())
                .filter(|group| group.range.end <= range.end)
            {
                Some(group) => {
                    at = group.range.end;
                    groups.push(group);
                }
                None => at += 1,
            }
        }
        groups
    }

    /// Words of a range outside its readings that say something.
    pub fn leftover(&self, range: Range<usize>, groups: &[Group]) -> Vec<usize> {
        let said = |at: &usize| {
            let word = self.folded(*at);
            !groups.iter().any(|g| g.range.contains(at))
                && !matches!(
                    word,
                    "and"
                        | "the"
                        | "with"
                        | "then"
                        | "also"
                        | "is"
                        | "was"
                        | "at"
                        | "on"
                        | "a"
                        | "now"
                        | "so"
                        | "um"
                        | "uh"
                        | "er"
                        | "okay"
                        | "ok"
                        | "i"
                        | "i've"
                        | "got"
                        | "have"
                        | "reading"
                        | "it"
                        | "its"
                        | "it's"
                        | "we"
                        | "right"
                        | "of"
                        | "my"
                        | "in"
                        | "this"
                        | "getting"
                        | "that's"
                        | "looking"
                        | "can"
                        | "you"
                        | "we've"
                        | "weve"
                        | "seeing"
                        | "inside"
                        | "both"
                        | "are"
                        | "comma"
                        | "period"
                        | "erm"
                        | "well"
                        | "alright"
                        | "here"
                        | "there's"
                        | "i'm"
                        | "im"
                        | "showing"
                        | "next"
                        | "let's"
                        | "see"
                        | "were"
                        | "ive"
                        | "all"
                )
        };
        range.filter(said).collect()
    }

    /// True when talk is of the unit and of nobody: of a part, and no person in it.
    pub fn is_of_unit(&self, range: Range<usize>) -> bool {
        let words = || range.clone().map(|i| self.folded(i));
        range.len() > 2
            && words().any(|word| PARTS.contains(&word))
            && !self.is_of_people(range.clone())
    }

    pub fn is_of_people(&self, mut range: Range<usize>) -> bool {
        range.any(|i| PEOPLE.contains(&self.folded(i)))
    }

    /// True when talk says something that is a known sign of trouble or of health.
    pub fn is_sign(&self, range: Range<usize>) -> bool {
        let text: Vec<&str> = self.words[range.clone()]
            .iter()
            .map(|w: &Word<'_>| &*w.text)
            .collect();
        // A sentence, and no line whose first word is a line kind that was not understood.
        let first = self.folded(range.start);
        let opens =
            OPENERS.contains(&first) || PARTS.contains(&first) || self.name(range.start).is_some();
        opens && !recognise(&text.join(" ")).is_empty() && !self.is_of_people(range)
    }
}
