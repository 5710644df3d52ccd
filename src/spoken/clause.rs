//! Clauses: where one statement ends and the next begins, in a line said in one breath or in prose
//! without lines.

use super::clock;
use super::doubt::is_usual;
use super::number::names_number;
use super::phrase::{Group, Phrases};
use super::words::{Pause, Word};
use crate::quantity::{Dimension, lookup_unit};
use crate::vocabulary::{HeadKey, Point, Verb, head_key, recognise, resolve};
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

/// Words that lead to a statement and say nothing.
const LEADS: &[&str] = &[
    "and", "then", "so", "okay", "ok", "um", "uh", "er", "erm", "alright", "right", "well", "now",
    "also", "next", "i", "we", "i've", "ive", "we've", "just", "have", "had", "let's", "lets",
    "see", "anyway", "after", "that", "got", "a", "the", "please", "gonna", "went", "ahead",
    "finally", "first", "again", "but", "all", "im", "i'm", "am", "say", "yeah", "hey", "here",
    "go", "we're", "has", "you", "can", "looking", "i'd",
];

/// Words before a line kind that make it part of what is being said.
const BINDING: &[&str] = &[
    "to", "the", "a", "an", "was", "were", "is", "are", "be", "been", "being", "that", "which",
    "who", "he", "she", "they", "it", "not", "never", "had", "has", "have", "should", "would",
    "could", "will", "can", "must", "because", "if", "when", "as", "since", "before", "until",
    "where", "while", "you", "into", "of", "with", "for", "from", "no", "got", "somebody",
    "someone", "in", "on", "at", "by", "or", "wouldnt", "dont", "didnt", "cant", "wont", "couldnt",
    "doesnt",
];

/// Words of line kinds that stand in the midst of talk as often, and start a statement there only
/// before a number.
const WEAK: &[&str] = &[
    "see",
    "seen",
    "feel",
    "hear",
    "fit",
    "hold",
    "held",
    "set",
    "done",
    "drive",
    "moved",
    "opened",
    "closed",
    "wait",
    "waiting",
    "advice",
    "note",
    "noted",
    "remark",
    "remarks",
    "internal",
    "vac",
    "vacuum",
    "recovery",
    "picture",
    "pic",
    "photo",
    "photos",
    "agreed",
    "refused",
    "suggest",
    "leave",
    "leaving",
    "add",
    "material",
    "materials",
    "instrument",
    "instruments",
    "looked",
    "touched",
    "smell",
    "silenced",
    "muted",
    "disabled",
    "enabled",
    "jumpered",
    "bypassed",
    "conclusion",
    "diagnosis",
    "approval",
    "visit",
    "reset",
    "sealed",
    "changed",
    "charged",
    "released",
    "bled",
    "dumped",
    "off",
    "on",
    "did",
    "tested",
    "consumables",
    "pressure",
];

/// Those of them that are nouns as often: `with brush and vacuum`.
const NOUNS: &[&str] = &[
    "vac",
    "vacuum",
    "hold",
    "held",
    "recovery",
    "picture",
    "pic",
    "photo",
    "photos",
    "note",
    "remark",
    "remarks",
    "material",
    "materials",
    "instrument",
    "instruments",
    "wait",
    "visit",
    "drive",
    "advice",
    "seal",
    "sealed",
    "conclusion",
    "diagnosis",
    "approval",
    "set",
    "off",
    "on",
    "internal",
    "charged",
    "consumables",
    "pressure",
    "silenced",
    "muted",
    "disabled",
    "enabled",
    "jumpered",
    "bypassed",
    "feel",
    "smell",
    "see",
];

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

    /// The place behind words that lead to something known; the same place where nothing known follows.
    fn lead(&self, at: usize, head: bool) -> usize {
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
    fn begins(&self, at: usize, head: bool) -> bool {
        self.scratch(at).is_some()
            || self.time_cue(at, head).is_some()
            || self.act(at).is_some()
            || self.group(at).is_some()
            || self.folded(at) == "let" && (at + 2..at + 7).any(|i| self.folded(i) == "know")
            || head && self.head(at).is_some()
    }

    /// `scratch that`: the place behind it.
    fn scratch(&self, at: usize) -> Option<usize> {
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
    fn time_cue(&self, at: usize, head: bool) -> Option<(clock::Said, Range<usize>)> {
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
    fn is_value(&self, at: usize) -> bool {
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

    fn named_group(&self, at: usize) -> bool {
        self.group(at)
            .is_some_and(|group| group.name.start == group.range.start)
    }

    fn lead_of_act(&self, at: usize) -> usize {
        (at..self.words.len().min(at + 4))
            .find(|&i| !LEADS.contains(&self.folded(i)) || self.act(i).is_some())
            .unwrap_or(at)
    }

    /// A line kind that starts here.
    fn act(&self, at: usize) -> Option<(Verb, usize)> {
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
        // `see what`, `on site` said of a place
        if run.first() == Some(&"off") && run.get(1) != Some(&"site") {
            return None;
        }
        Some((verb, count))
    }

    /// A head key that starts here, and its words.
    fn head(&self, at: usize) -> Option<(HeadKey, usize)> {
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
            let said = matches!(self.folded(at + count), "is" | "are" | "was" | "number");
            (!weak || said).then_some((key, count))
        })
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

    /// `it's at three forty` behind a test: the place of the number.
    fn again(&self, at: usize, verb: Verb) -> Option<usize> {
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
        if is_timed(verb)
            && !mode.timed
            && let Some((clock, range)) =
                self.trailing_time(text, end, matches!(verb, Verb::Arrive | Verb::Depart))
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

    fn talk(&self, at: usize, mode: Mode) -> (Kind, usize, Option<Clock>) {
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
            && groups.last().is_none_or(|g| g.range.end <= range.start)
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
    fn tail(&self, at: usize, end: usize, groups: &[Group]) -> Option<usize> {
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

    /// True when the words speak of another time, of what should be, or of what somebody said.
    fn is_hearsay(&self, range: Range<usize>, groups: &[Group]) -> bool {
        const ELSEWHEN: &[&str] = &[
            "yesterday",
            "last",
            "said",
            "says",
            "should",
            "supposed",
            "limit",
            "design",
            "normal",
            "normally",
            "usually",
            "than",
            "colder",
            "warmer",
            "if",
            "until",
            "would",
            "want",
            "wants",
            "between",
            "from",
            "claims",
            "claimed",
            "reported",
            "overnight",
            "over",
            "above",
            "under",
            "within",
            "rated",
            "before",
            "ago",
            "tomorrow",
            "keeps",
            "wrote",
            "originally",
        ];
        let inside = |i: &usize| groups.iter().any(|group| group.range.contains(i));
        range
            .filter(|i| !inside(i))
            .any(|i| ELSEWHEN.contains(&self.folded(i)))
    }

    /// True when a statement starts at word `at` within the one that began at `start`.
    fn is_cut(&self, at: usize, start: usize, verb: Option<Verb>, mode: Mode) -> bool {
        if at == 0 {
            return false;
        }
        let before = self.words[at - 1].after;
        if self.scratch(at).is_some() {
            return true;
        }
        // What is private ends with the sentence, a time or a departure; in a line only with those two.
        if verb == Some(Verb::Private) {
            let timed = self.time_cue(at, false).is_some_and(|(said, _)| said.plain);
            let told = matches!(
                self.run(at, 3).as_slice(),
                ["tell" | "told", "the" | "customer" | "manager", ..]
                    | ["end", "private" | "note", ..]
            );
            let leaves =
                matches!(self.act(at), Some((Verb::Depart | Verb::Arrive, count)) if count > 1);
            return leaves || mode.prose && (before == Pause::Stop || timed || told);
        }
        if before == Pause::Stop {
            return mode.prose || self.begins(self.lead(at, false), false);
        }
        if mode.typed {
            return false;
        }
        let next = self.lead(at, false);
        let opens = |at: usize| {
            let again = verb.is_some_and(|verb| self.again(at, verb).is_some());
            let at = self.lead_of_act(at);
            at < self.words.len() && (again || self.act(at).is_some() || self.named_group(at))
        };
        // An arrival or departure has its time behind it.
        let of_time = matches!(verb, Some(Verb::Arrive | Verb::Depart)) && !mode.timed;
        if mode.trailing || of_time {
            let ends = |from: usize| {
                self.time_cue(from, false)
                    .is_some_and(|(_, range)| range.end == at)
            };
            let after_time = (start.saturating_add(1).min(at)..at)
                .rev()
                .take(7)
                .any(ends);
            let again = of_time && self.time_cue(self.lead(at, false), false).is_some();
            if after_time && (again || opens(at)) {
                return true;
            }
        }
        if !of_time && let Some((said, time)) = self.time_cue(next, false) {
            let lead = |at: usize| {
                matches!(
                    self.folded(at),
                    "at" | "it's" | "its" | "time" | "by" | "around"
                )
            };
            let led = lead(time.start) || lead(time.start - 1);
            if opens(time.end) && (!mode.trailing || !led) && (led || said.plain || said.words > 1)
            {
                return true;
            }
        }
        let joined =
            (at..next).any(|i| matches!(self.folded(i), "and" | "then" | "also" | "so" | "but"));
        let connected = joined || before == Pause::Comma;
        if let Some((found, count)) = self.act(next) {
            let after = next + count.max(1);
            let word = self.folded(next);
            let number = names_number(self.folded(after)) || self.number(after).is_some();
            let list = matches!(verb, Some(Verb::Material | Verb::Instrument))
                && matches!(found, Verb::Material | Verb::Instrument);
            let gas = matches!(self.folded(after), "nitrogen" | "oxygen" | "n2");
            let answer = matches!(found, Verb::Approved | Verb::Declined);
            let object = after < self.words.len()
                && !matches!(
                    self.folded(after),
                    "and" | "or" | "but" | "again" | "ok" | "okay" | "today" | "yet"
                )
                && (answer || self.folded(after) != "by");
            let alone = matches!(found, Verb::Arrive | Verb::Depart);
            let on_site = found == Verb::Arrive
                && word == "on"
                && mode.prose
                && self.time_cue(after, false).is_some();
            let joined = connected && next > at && !NOUNS.contains(&word);
            // `silenced the alarm`, not `the alarm silenced`
            let active = (found == Verb::Left || before == Pause::Comma && mode.prose)
                && matches!(self.folded(after), "the" | "my" | "a");
            let strong = !WEAK.contains(&word)
                || number
                || gas
                || list
                || active
                || joined
                || on_site
                || count > 1 && word != "on";
            let bound = self.is_bound(at);
            // A line kind may itself be followed by one: `left removed panel off`.
            let first = Some(at) == start.checked_add(1) && verb.is_some();
            let same = verb == Some(found) && is_observation(found) && !connected;
            let reported = verb.is_some_and(is_reported);
            let clear = connected || is_deed(found) || found == Verb::Private;
            if strong && !bound && !first && !same && (object || alone) && (!reported || clear) {
                return true;
            }
        }
        let free = verb.is_some_and(|verb| {
            is_observation(verb) || matches!(verb, Verb::Told | Verb::Advise | Verb::Cause)
        });
        let handled = verb == Some(Verb::Handled) && !connected;
        if verb.is_some() && !free && !handled {
            let place = self.lead_of_act(at);
            return self.group(place).is_some_and(|group| {
                group.name.start == place && !group.values.is_empty() && self.is_of_circuit(&group)
            }) && !self.is_bound(at);
        }
        false
    }

    /// True when the word before a place makes what stands there part of what is being said.
    fn is_bound(&self, at: usize) -> bool {
        let before = self.folded(at - 1);
        // `put the alarm back on told …`
        let back = at > 1 && self.folded(at - 2) == "back";
        BINDING.contains(&before) && !back && self.words[at - 1].after == Pause::None
    }

    fn is_of_circuit(&self, group: &Group) -> bool {
        resolve(&group.name_text).is_some_and(|name| {
            name.points.iter().any(|point| {
                point.is_of_circuit()
                    && !matches!(
                        point,
                        Point::Compressor | Point::CompressorCurrent | Point::SightGlass
                    )
                    || matches!(
                        point,
                        Point::Box
                            | Point::Product
                            | Point::ReturnAir
                            | Point::SupplyAir
                            | Point::Ambient
                            | Point::L1L2
                            | Point::L2L3
                            | Point::L1L3
                    )
            })
        })
    }

    /// True when no word was said as only speech has it, and commas or stops divide the text.
    fn is_typed(&self) -> bool {
        let paused = self
            .words
            .iter()
            .rev()
            .skip(1)
            .any(|w| w.after != Pause::None);
        paused && !self.is_spoken()
    }

    /// True when a slip of the ear was put right, or an amount or a reading was said in words; `within ten
    /// days` is written as well.
    pub fn is_spoken(&self) -> bool {
        let slip = self.words.iter().any(|w| w.corrected && w.thumb.is_none());
        let amount = |at: usize| {
            let Some(figures) = self.number(at).filter(|figures| figures.spoken) else {
                return false;
            };
            let unit = self
                .unit(figures.range.end)
                .map(|unit| self.run(unit.start, unit.len()).join(" "));
            let plain = |unit: &crate::quantity::Unit| {
                matches!(unit.dimension(), Dimension::Duration | Dimension::Length)
            };
            unit.is_some_and(|unit| !lookup_unit(&unit).iter().all(plain))
        };
        let reading = |at: usize| {
            self.group(at)
                .is_some_and(|group| group.values.iter().any(|value| value.spoken))
        };
        slip || (0..self.words.len()).any(|at| amount(at) || reading(at))
    }

    /// True when the text of a line kind holds more than its own statement: another line kind, a time.
    pub fn goes_on(&self, verb: Verb) -> bool {
        let mode = Mode {
            before: None,
            prose: false,
            typed: self.is_typed(),
            timed: false,
            trailing: true,
        };
        let cut = (1..self.words.len()).any(|at| self.is_cut(at, usize::MAX, Some(verb), mode));
        cut || is_timed(verb) && self.trailing_time(0, self.words.len(), false).is_some()
    }

    /// A time that closes a statement: `recovered nineteen pounds at nine forty`.
    fn trailing_time(
        &self,
        from: usize,
        end: usize,
        anywhere: bool,
    ) -> Option<(clock::Said, Range<usize>)> {
        (from..end).find_map(|at| {
            let led = matches!(
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

    /// True when talk is of the unit and of nobody: of a part, and no person in it.
    pub fn is_of_unit(&self, range: Range<usize>) -> bool {
        let words = || range.clone().map(|i| self.folded(i));
        range.len() > 2
            && words().any(|word| PARTS.contains(&word))
            && !self.is_of_people(range.clone())
    }

    fn is_of_people(&self, mut range: Range<usize>) -> bool {
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

/// Words that a sentence about a unit begins with.
const OPENERS: &[&str] = &[
    "the", "a", "an", "there", "there's", "theres", "it", "it's", "its", "this", "that", "some",
    "all", "both", "no", "heavy", "light", "solid", "lots", "lot", "loose", "burnt", "broken",
    "dirty", "plugged", "frozen", "iced", "water", "bubbles", "hissing", "bearing", "one", "two",
    "every", "somebody", "nothing", "only", "still", "looks", "got", "has", "frost", "ice", "oil",
    "puddle", "rust", "grease", "lint", "screw", "screws", "while", "half", "top", "bottom",
    "inside", "outside",
];

/// Parts of a unit.
const PARTS: &[&str] = &[
    "compressor",
    "condenser",
    "evaporator",
    "evap",
    "coil",
    "coils",
    "fan",
    "fans",
    "contactor",
    "relay",
    "capacitor",
    "valve",
    "txv",
    "drier",
    "receiver",
    "heater",
    "heaters",
    "gasket",
    "drain",
    "thermostat",
    "suction",
    "discharge",
    "liquid",
    "glass",
    "defrost",
    "motor",
    "pump",
    "filter",
    "filters",
    "belt",
    "blower",
    "duct",
    "refrigerant",
    "charge",
    "leak",
    "oil",
    "frost",
    "ice",
    "pressure",
    "superheat",
    "subcooling",
    "wire",
    "wires",
    "terminal",
    "terminals",
    "breaker",
    "fuse",
    "disconnect",
    "panel",
    "crankcase",
    "solenoid",
    "schrader",
    "flare",
    "pipe",
    "insulation",
    "circuit",
    "box",
    "unit",
    "rack",
    "cabinet",
    "controller",
    "sensor",
    "probe",
    "hinge",
    "door",
    "doors",
];

/// Words that speak of people: talk with one of them may be nobody's to read.
const PEOPLE: &[&str] = &[
    "he",
    "she",
    "they",
    "him",
    "her",
    "them",
    "his",
    "their",
    "theirs",
    "owner",
    "manager",
    "guy",
    "guys",
    "boss",
    "cook",
    "chef",
    "staff",
    "customer",
    "tenant",
    "landlord",
    "somebody",
    "someone",
    "anybody",
    "nobody",
    "who",
    "whoever",
    "people",
    "you",
    "your",
    "kid",
    "kids",
    "lady",
    "man",
    "woman",
    "contractor",
    "idiot",
    "office",
    "money",
    "paid",
    "pay",
    "owe",
    "owes",
    "bill",
    "private",
    "secret",
];

/// True for a word of a line kind that starts a statement in the midst of others only before a number or
/// behind a word that joins them.
pub(super) fn is_weak(word: &str) -> bool {
    WEAK.contains(&word)
}

/// True for a word that makes a line kind behind it part of what is being said.
pub(super) fn may_be_bound(word: &str) -> bool {
    BINDING.iter().any(|bound| word.eq_ignore_ascii_case(bound))
}

/// Line kinds that state what was perceived.
pub(super) fn is_observation(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Saw | Verb::Heard | Verb::Felt | Verb::Smelled | Verb::Noted
    )
}

/// Line kinds whose text is what somebody is told or thinks: a line kind in it is part of that.
pub(super) fn is_reported(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Told
            | Verb::Advise
            | Verb::Approved
            | Verb::Declined
            | Verb::Cause
            | Verb::Left
            | Verb::Photo
            | Verb::Private
    )
}

/// Line kinds that say plainly that something else is spoken of now.
fn is_deed(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Told
            | Verb::Advise
            | Verb::LockedOut
            | Verb::LockOff
            | Verb::Recovered
            | Verb::Added
            | Verb::Arrive
            | Verb::Depart
            | Verb::Restored
            | Verb::Declined
            | Verb::Approved
            | Verb::Photo
            | Verb::Fitted
            | Verb::Removed
            | Verb::Left
            | Verb::Visit
    )
}

/// Line kinds in whose text numbers are amounts, so that words for them become figures.
pub(super) fn is_measured(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Recovered
            | Verb::Added
            | Verb::Hold
            | Verb::Vacuum
            | Verb::Travel
            | Verb::Waited
            | Verb::Fitted
            | Verb::Removed
            | Verb::Material
            | Verb::Arrive
            | Verb::Depart
    )
}

/// Line kinds that a time at the end of their text is the time of.
fn is_timed(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Recovered
            | Verb::Hold
            | Verb::Vacuum
            | Verb::Added
            | Verb::Fitted
            | Verb::Removed
            | Verb::Arrive
            | Verb::Depart
            | Verb::LockedOut
            | Verb::LockOff
            | Verb::Did
            | Verb::Handled
            | Verb::Restored
            | Verb::Left
    )
}
