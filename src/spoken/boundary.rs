//! Where one statement ends and the next begins.

use super::clause::Mode;
use super::families::*;
use super::number::names_number;
use super::phrase::Phrases;
use super::reading::Group;
use super::speech::{BINDING, NOUNS, WEAK};
use super::words::Pause;
use crate::quantity::{Dimension, lookup_unit};
use crate::vocabulary::{Point, Verb, resolve};

impl Phrases<'_, '_> {
    /// True when a statement starts at word `at` within the one that began at `start`.
    pub fn is_cut(&self, at: usize, start: usize, verb: Option<Verb>, mode: Mode) -> bool {
        if at == 0 {
            return false;
        }
        let before = self.words[at - 1].after;
        if self.scratch(at).is_some() {
            return true;
        }
        let next = self.lead(at, false);
        // What is private ends where a sentence plainly is of something else, with a time or a departure;
        // in a line only with those two. Too much kept private can be told later.
        if verb == Some(Verb::Private) {
            let other = || {
                self.act(next)
                    .is_some_and(|(found, _)| !is_observation(found))
                    || self.time_cue(next, false).is_some()
                    || self.named_group(next)
                    || self.scratch(next).is_some()
            };
            let timed = self.time_cue(at, false).is_some_and(|(said, _)| said.plain);
            let told = matches!(
                self.run(at, 3).as_slice(),
                ["tell" | "told", "the" | "customer" | "manager", ..]
                    | ["end", "private" | "note", ..]
            );
            let leaves =
                matches!(self.act(at), Some((Verb::Depart | Verb::Arrive, count)) if count > 1);
            return leaves || mode.prose && (before == Pause::Stop && other() || timed || told);
        }
        // A lock is no part of a sentence about something else, whichever way it is meant.
        if matches!(self.run(next, 2).as_slice(), ["locked", "off"]) && !self.is_bound(next) {
            return true;
        }
        if before == Pause::Stop {
            return mode.prose || self.begins(next, false);
        }
        if mode.typed {
            return false;
        }
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
            let again = of_time && self.time_cue(next, false).is_some();
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
            let told = if start == usize::MAX {
                at
            } else {
                at - start - 1
            };
            // `told Lee lock off …`, `cause door left open`: what was told is still to come
            let brief = matches!(verb, Some(Verb::Told | Verb::Advise)) && !connected && told < 3;
            let left =
                found == Verb::Left && word == "left" && !self.is_leaving(after, verb, connected);
            if brief || left || self.is_unreal(start, at) && is_accounted(found) {
                return false;
            }
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
    pub fn is_bound(&self, at: usize) -> bool {
        let before = self.folded(at - 1);
        // `put the alarm back on told …`
        let back = at > 1 && self.folded(at - 2) == "back";
        BINDING.contains(&before) && !back && self.words[at - 1].after == Pause::None
    }

    pub fn is_of_circuit(&self, group: &Group) -> bool {
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
    pub fn is_typed(&self) -> bool {
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
        cut || is_timed(verb)
            && (self.trailing_time(0, self.words.len(), false).is_some()
                || self.closing_hour(verb, 0, self.words.len()).is_some())
    }
}
