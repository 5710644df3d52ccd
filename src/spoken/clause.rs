//! Clauses: where one statement ends and the next begins, in a line said in one breath or in prose
//! without lines.

use super::clock;
use super::families::{is_observation, is_timed};
use super::phrase::Phrases;
use super::reading::Group;
use super::speech::BINDING;
use super::words::Pause;
use crate::vocabulary::{HeadKey, Verb};
use std::ops::Range;

/// A statement as said.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Clause {
    /// All its words, those that say nothing too.
    pub words: Range<usize>,
    /// The time it was said to happen.
    pub clock: Option<Clock>,
    pub kind: Kind,
}

/// A time within a clause.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Clock {
    pub figures: String,
    pub range: Range<usize>,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    /// A line of the head.
    Head {
        key: HeadKey,
        name: Range<usize>,
        value: Range<usize>,
    },
    /// A visit is opened.
    Visit {
        date: Option<(String, Range<usize>)>,
        names: Range<usize>,
    },
    /// A line kind with its text, and the readings that a sentence of observation holds.
    Act {
        verb: Verb,
        name: Range<usize>,
        text: Range<usize>,
        groups: Vec<Group>,
    },
    /// Readings and nothing else.
    Readings(Vec<Group>),
    /// Talk, with the readings in it.
    Talk {
        text: Range<usize>,
        groups: Vec<Group>,
    },
    /// The statement before it is taken back.
    Scratch,
    /// `let the manager know …`
    Let {
        who: Range<usize>,
        what: Range<usize>,
    },
    /// A time alone.
    Time,
    /// Words that only took back a part of what was said before.
    Nothing,
}

/// How a text is to be divided.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mode {
    /// Prose without lines; otherwise one line of a note.
    pub prose: bool,
    /// Typed with punctuation: a line is one statement, unless a sentence ends in it.
    pub typed: bool,
    /// The statement has its time already.
    pub timed: bool,
    /// The line kind before, which `it's at three forty` goes on with.
    pub before: Option<Verb>,
    /// Times stand behind what they are of: `suction four at nine twelve, discharge …`.
    pub trailing: bool,
}

impl Phrases<'_, '_> {
    /// The clauses of all the words. `head` says that lines of the head may stand here.
    pub fn clauses(&self, mut head: bool, prose: bool) -> Vec<Clause> {
        let mut clauses: Vec<Clause> = Vec::new();
        let mut at = 0;
        let trailing = !prose && !head && self.time_cue(self.lead(0, false), false).is_none();
        let mut before = None;
        while at < self.words.len() {
            let mode = Mode {
                before,
                prose,
                typed: !prose && self.is_typed(),
                timed: false,
                trailing,
            };
            let mut clause = self.clause(at, head, mode);
            // What is taken back is the last thing said: of several readings the last one.
            if clause.kind == Kind::Scratch
                && let Some(Clause {
                    kind: Kind::Readings(groups),
                    ..
                }) = clauses.last_mut()
                && groups.len() > 1
            {
                groups.pop();
                clause.kind = Kind::Nothing;
            }
            at = clause.words.end.max(at + 1);
            let of_head = matches!(
                clause.kind,
                Kind::Head { .. } | Kind::Talk { .. } | Kind::Scratch
            );
            // In prose the unit is often told after the day.
            head &= of_head || prose && matches!(clause.kind, Kind::Visit { .. });
            before = match &clause.kind {
                Kind::Act { verb, .. } => Some(*verb),
                Kind::Scratch | Kind::Nothing | Kind::Time => before,
                _ => None,
            };
            clauses.push(clause);
        }
        clauses
    }

    fn clause(&self, at: usize, head: bool, mode: Mode) -> Clause {
        let mut start = self.lead(at, head);
        if let Some(end) = self.scratch(start) {
            return Clause {
                words: at..end,
                clock: None,
                kind: Kind::Scratch,
            };
        }
        let mut clock = None;
        if let Some((said, range)) = self.time_cue(start, head) {
            let stops = self.words[range.end - 1].after == Pause::Stop;
            clock = Some(Clock {
                figures: said.figures,
                range: range.clone(),
            });
            start = self.lead(range.end, head);
            if stops || start >= self.words.len() {
                return Clause {
                    words: at..range.end,
                    clock,
                    kind: Kind::Time,
                };
            }
            if let Some(end) = self.scratch(start) {
                return Clause {
                    words: at..end,
                    clock: None,
                    kind: Kind::Scratch,
                };
            }
        }
        let spoken = clock.as_ref().map_or(at, |clock| clock.range.end);
        let mode = Mode {
            timed: clock.is_some(),
            ..mode
        };
        let (mut kind, end, later) = self.kind(start, head, mode);
        // Talk is kept with the words that lead to it, but for those that are none.
        if let Kind::Talk { text, .. } = &mut kind {
            let idle = |i: &usize| {
                matches!(
                    self.folded(*i),
                    "um" | "uh"
                        | "er"
                        | "okay"
                        | "ok"
                        | "so"
                        | "and"
                        | "well"
                        | "alright"
                        | "now"
                        | "then"
                )
            };
            text.start = (spoken..text.end).find(|i| !idle(i)).unwrap_or(text.start);
        }
        Clause {
            words: at..end,
            clock: clock.or(later),
            kind,
        }
    }

    /// What the clause is, where it ends, and a time said at its end.
    fn kind(&self, at: usize, head: bool, mode: Mode) -> (Kind, usize, Option<Clock>) {
        if head && let Some((key, count)) = self.head(at) {
            let end = self.head_end(key, at + count);
            let mut value = at + count;
            let numbered = matches!(
                key,
                HeadKey::Job | HeadKey::Order | HeadKey::Serial | HeadKey::Model
            );
            while value + 1 < end
                && (matches!(self.folded(value), "is" | "are" | "was" | "name" | "called")
                    || numbered && matches!(self.folded(value), "number" | "no"))
            {
                value += 1;
            }
            return (
                Kind::Head {
                    key,
                    name: at..at + count,
                    value: value..end,
                },
                end,
                None,
            );
        }
        if let Some((verb, count)) = self.act(at) {
            return self.action(at, verb, count, mode);
        }
        // `four hundred microns, isolated`: what is measured in microns is a vacuum
        if let Some(value) = self.number(at)
            && let Some(unit) = self.unit(value.range.end)
            && self
                .run(unit.start, unit.len())
                .join(" ")
                .starts_with("micron")
        {
            return self.action(at, Verb::Vacuum, 0, mode);
        }
        if let Some(verb) = mode.before
            && let Some(from) = self.again(at, verb)
        {
            let (kind, end, later) = self.action(at, verb, 0, mode);
            if let Kind::Act { text, groups, .. } = kind {
                let text = from..text.end.max(from);
                return (
                    Kind::Act {
                        verb,
                        name: at..from,
                        text,
                        groups,
                    },
                    end,
                    later,
                );
            }
        }
        if self.folded(at) == "let"
            && let Some(know) = (at + 2..at + 7).find(|&i| self.folded(i) == "know")
        {
            let mut end = know + 1;
            while end < self.words.len() && !self.is_cut(end, at, Some(Verb::Told), mode) {
                end += 1;
            }
            return (
                Kind::Let {
                    who: at + 1..know,
                    what: know + 1..end,
                },
                end,
                None,
            );
        }
        // `Lee departed at ten thirty`
        let capital =
            self.words[at].text.starts_with(char::is_uppercase) && self.words[at].text.len() > 1;
        if let Some((verb @ (Verb::Arrive | Verb::Depart), count)) =
            self.act(at + 1).filter(|_| capital)
            && self.name(at).is_none()
        {
            let (_, end, later) = self.action(at + 1, verb, count, mode);
            let name = at + 1..at + 1 + count;
            return (
                Kind::Act {
                    verb,
                    name,
                    text: at..at + 1,
                    groups: Vec::new(),
                },
                end,
                later,
            );
        }
        self.talk(at, mode)
    }

    /// Where the value of a head line ends.
    fn head_end(&self, key: HeadKey, from: usize) -> usize {
        let mut at = from;
        while at < self.words.len() {
            if at > from {
                let stopped = self.words[at - 1].after == Pause::Stop;
                let next = self.lead(at, true);
                let opens = self
                    .head(next)
                    .is_some_and(|(found, count)| found != key && next + count < self.words.len())
                    && !BINDING.contains(&self.folded(next.max(1) - 1));
                let visit = self.act(next).is_some_and(|(verb, count)| {
                    matches!(verb, Verb::Visit | Verb::Arrive)
                        || matches!(verb, Verb::Travel) && self.number(next + count).is_some()
                });
                let timed = self
                    .time_cue(next, true)
                    .is_some_and(|(said, _)| said.plain);
                if stopped || opens || visit || timed {
                    break;
                }
            }
            at += 1;
        }
        at
    }

    fn action(
        &self,
        at: usize,
        verb: Verb,
        count: usize,
        mode: Mode,
    ) -> (Kind, usize, Option<Clock>) {
        let text = at + count;
        if verb == Verb::Visit {
            return self.visit(at, text);
        }
        let mut end = text.max(at + 1);
        while end < self.words.len() && !self.is_cut(end, at, Some(verb), mode) {
            end += 1;
        }
        let mut later = None;
        let mut stop = end;
        // `vacuum down to 380 microns at eleven forty and valved off`
        if matches!(verb, Verb::Vacuum | Verb::Recovered | Verb::Added)
            && !mode.timed
            && let Some((said, range)) = self.time_within(text, end)
        {
            let clock = Clock {
                figures: said.figures,
                range,
            };
            let kind = Kind::Act {
                verb,
                name: at..text,
                text: text..end,
                groups: Vec::new(),
            };
            return (kind, end, Some(clock));
        }
        if is_timed(verb)
            && !mode.timed
            && let Some((clock, range)) = self
                .trailing_time(text, end, matches!(verb, Verb::Arrive | Verb::Depart))
                .or_else(|| self.closing_hour(verb, text, end))
        {
            later = Some(Clock {
                figures: clock.figures,
                range: range.clone(),
            });
            if range.end == end {
                stop = range.start;
            } else {
                // a time in the middle stays where it is; the clock is taken all the same
                stop = end;
            }
            if verb == Verb::Arrive && range.start == text && range.end < end {
                let kind = Kind::Act {
                    verb,
                    name: at..text,
                    text: range.end..end,
                    groups: Vec::new(),
                };
                return (kind, end, later);
            }
        }
        if !is_observation(verb) {
            return (
                Kind::Act {
                    verb,
                    name: at..text,
                    text: text..stop,
                    groups: Vec::new(),
                },
                end,
                later,
            );
        }
        let all = self.groups_in(text..stop);
        let hearsay = self.is_hearsay(text..stop, &all);
        let valued: Vec<Group> = all
            .iter()
            .filter(|group| !group.values.is_empty())
            .cloned()
            .collect();
        let tail = self
            .tail(text, stop, &all)
            .or_else(|| self.tail(text, stop, &valued));
        if let Some(tail) = tail.filter(|_| !hearsay) {
            let kind = Kind::Act {
                verb,
                name: at..text,
                text: text..tail,
                groups: Vec::new(),
            };
            return (kind, tail, None);
        }
        let groups = if hearsay { Vec::new() } else { valued };
        if !groups.is_empty() && self.leftover(text..stop, &groups).is_empty() {
            return (Kind::Readings(groups), end, later);
        }
        (
            Kind::Act {
                verb,
                name: at..text,
                text: text..stop,
                groups,
            },
            end,
            later,
        )
    }

    /// `new visit march fourteenth with Dana and Lee`
    fn visit(&self, at: usize, text: usize) -> (Kind, usize, Option<Clock>) {
        let mut from = text;
        while matches!(self.folded(from), "on" | "is" | "to" | "today" | "for") {
            from += 1;
        }
        let run: Vec<&str> = (from..self.words.len().min(from + 10))
            .map(|i| self.folded(i))
            .collect();
        let date = clock::date(&run).map(|(date, count)| (date, from..from + count));
        let names = date.as_ref().map_or(from, |(_, range)| range.end);
        let mut end = names.max(at + 1);
        let stopped = end > 0 && self.words[end - 1].after == Pause::Stop;
        if !stopped {
            let keyed = |at: usize| {
                let at = self.lead(at, true);
                self.head(at)
                    .is_some_and(|(_, count)| at + count < self.words.len())
            };
            while end < self.words.len()
                && self.words[end - 1].after != Pause::Stop
                && !keyed(end)
                && !self.is_cut(
                    end,
                    at,
                    Some(Verb::Visit),
                    Mode {
                        before: None,
                        prose: true,
                        typed: false,
                        timed: false,
                        trailing: false,
                    },
                )
            {
                end += 1;
            }
        }
        let mut names = names;
        while names < end
            && matches!(
                self.folded(names),
                "with" | "by" | "tech" | "technician" | "me" | "it's" | "this" | "is" | "i'm"
            )
        {
            names += 1;
        }
        (
            Kind::Visit {
                date,
                names: names..end,
            },
            end,
            None,
        )
    }
}
