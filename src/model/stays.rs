//! Who was on site from when to when: every `arrive` with the `depart` that ends it.
//!
//! A line that names a technician of the visit (`arrive Wen`, `depart Wen`) is of that one alone;
//! any other is of everyone on the visit line.

use super::{Entry, EntryKind, Minutes, Visit};
use crate::source::Span;
use crate::vocabulary::fold;

/// One technician's time on site, from a line to a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stay {
    /// Index into the visit's technicians; `None` when the visit names nobody.
    pub who: Option<usize>,
    /// Arrival, if its line has a time.
    pub from: Option<Minutes>,
    /// Departure, likewise.
    pub to: Option<Minutes>,
    /// Line of the arrival, and its place.
    pub arrive: (u32, Span),
    /// Line of the departure, and its place.
    pub depart: (u32, Span),
}

impl Stay {
    /// Minutes on site; `None` without both times, or with the departure before the arrival.
    pub fn minutes(&self) -> Option<i32> {
        let minutes = self.to?.0 - self.from?.0;
        (minutes >= 0).then_some(minutes)
    }

    /// True when the departure lies before the arrival.
    pub fn is_backwards(&self) -> bool {
        self.minutes().is_none() && self.from.is_some() && self.to.is_some()
    }
}

/// The stays of a visit, and the lines that belong to none.
#[derive(Debug, Default)]
pub struct Stays {
    /// Arrival with departure, in order of departure.
    pub paired: Vec<Stay>,
    /// Lines without their other half, and what is wrong with each.
    pub alone: Vec<(Span, &'static str)>,
    /// Lines that name somebody who is not on the visit line, by a slip: whose they are is not known.
    pub strangers: Vec<Span>,
}

impl Visit {
    /// The stays of everyone on this visit.
    pub fn stays(&self) -> Stays {
        let people = self.technicians.len().max(1);
        let mut open: Vec<Option<&Entry>> = vec![None; people];
        let mut stays = Stays::default();
        for entry in &self.entries {
            match &entry.kind {
                EntryKind::Arrive(text) | EntryKind::Depart(text)
                    if !self.nearly_named(text).is_empty() =>
                {
                    stays.strangers.push(entry.span);
                    // Whoever is meant: their time is in doubt from here, and not recorded.
                    for i in self.nearly_named(text) {
                        open[i] = None;
                    }
                }
                EntryKind::Arrive(text) => {
                    let who = self.named(text);
                    if who.iter().all(|&i| open[i].is_some()) {
                        stays
                            .alone
                            .push((entry.span, "`arrive` comes again before a `depart`"));
                    }
                    for i in who {
                        open[i].get_or_insert(entry);
                    }
                }
                EntryKind::Depart(text) => {
                    let who = self.named(text);
                    if who.iter().all(|&i| open[i].is_none()) {
                        stays
                            .alone
                            .push((entry.span, "this `depart` has no `arrive` before it"));
                    }
                    for i in who {
                        if let Some(arrive) = open[i].take() {
                            stays.paired.push(Stay {
                                who: (!self.technicians.is_empty()).then_some(i),
                                from: arrive.at,
                                to: entry.at,
                                arrive: (arrive.line, arrive.span),
                                depart: (entry.line, entry.span),
                            });
                        }
                    }
                }
                _ => {}
            }
        }
        let mut left: Vec<Span> = open.into_iter().flatten().map(|e| e.span).collect();
        left.dedup();
        let without = left
            .into_iter()
            .map(|span| (span, "this `arrive` has no `depart` after it"));
        stays.alone.extend(without);
        stays
    }

    /// The technicians whose first name a text of one word is nearly, where it is nobody's.
    fn nearly_named(&self, text: &str) -> Vec<usize> {
        let folded = fold(text);
        if folded.is_empty() || folded.contains(' ') || !self.named_first(&folded).is_empty() {
            return Vec::new();
        }
        let is_near = |&i: &usize| {
            let name = fold(&self.technicians[i].node);
            let first = name.split(' ').next().unwrap_or("");
            let allowed = 1 + usize::from(first.len() > 5);
            first.chars().count() > 2 && strsim::osa_distance(first, &folded) <= allowed
        };
        (0..self.technicians.len()).filter(is_near).collect()
    }

    /// The technicians whose first name a text holds; everyone when it holds none.
    fn named(&self, text: &str) -> Vec<usize> {
        let named = self.named_first(&fold(text));
        if named.is_empty() {
            (0..self.technicians.len().max(1)).collect()
        } else {
            named
        }
    }

    /// The technicians whose first name a folded text holds.
    fn named_first(&self, folded: &str) -> Vec<usize> {
        let words: Vec<&str> = folded.split(' ').collect();
        let first = |name: &str| fold(name).split(' ').next().map(str::to_owned);
        (0..self.technicians.len())
            .filter(|&i| {
                let name = first(&self.technicians[i].node);
                name.is_some_and(|name| !name.is_empty() && words.contains(&name.as_str()))
            })
            .collect()
    }
}
