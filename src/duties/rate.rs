//! Leak rates, exact. Source: 40 CFR 82.152, leak rate.
//!
//! What the rule leaves open is kept as two bounds ([`Between`]) instead of being settled here:
//!
//! - Refrigerant recovered on an earlier day and not yet put back may be part of an addition. On
//!   one day, what was recovered is taken off what was added: a leak is what went missing.
//!   (Common practice, no source.)
//! - The rolling average counts from the last successful repair (from memory); a repair without a
//!   passed verification test may not have been one.

use super::plant::{Event, EventKind, Method};
use crate::quantity::{Mass, fixed};
use jiff::civil::Date;

/// Days that a leak rate looks back at most.
const YEAR: i32 = 365;

/// A share of the full charge, as an exact fraction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    part: i128,
    whole: i128,
}

impl Share {
    /// Percent, for display.
    pub fn percent(self) -> f64 {
        100.0 * self.part as f64 / self.whole as f64
    }

    /// True above so many whole percent; 20 % does not exceed 20 %.
    pub fn exceeds(self, percent: i128) -> bool {
        self.part * 100 > percent * self.whole
    }

    /// True at so many whole percent, or above.
    pub fn reaches(self, percent: i128) -> bool {
        self.part * 100 >= percent * self.whole
    }
}

/// `added` as a share of `charge`; the rolling average when `added` is its sum. `None` without a
/// charge above zero.
pub fn share(added: Mass, charge: Mass) -> Option<Share> {
    (charge > Mass::ZERO).then_some(Share {
        part: added.picogram(),
        whole: charge.picogram(),
    })
}

/// `added` as a share of `charge`, scaled from `days` since the last addition (365 at most) to a
/// year. `None` without days or a charge above zero: additions of one day are one addition.
pub fn annualizing(added: Mass, charge: Mass, days: i32) -> Option<Share> {
    let share = share(added, charge).filter(|_| days > 0)?;
    Some(Share {
        part: share.part * i128::from(YEAR),
        whole: share.whole * i128::from(days.min(YEAR)),
    })
}

/// The least and the most a share may be; equal where nothing is left open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Between {
    /// No less than this.
    pub least: Share,
    /// No more than this.
    pub most: Share,
}

impl Between {
    fn new(least: Option<Share>, most: Option<Share>) -> Option<Self> {
        Some(Self {
            least: least?,
            most: most?,
        })
    }

    /// Whether it is above so many percent; `None` where that is left open.
    pub fn exceeds(self, percent: i128) -> Option<bool> {
        agree(self.least.exceeds(percent), self.most.exceeds(percent))
    }

    /// Whether it is at so many percent or above; `None` where that is left open.
    pub fn reaches(self, percent: i128) -> Option<bool> {
        agree(self.least.reaches(percent), self.most.reaches(percent))
    }
}

fn agree(a: bool, b: bool) -> Option<bool> {
    (a == b).then_some(a)
}

/// `45.63 %`, `12.00 to 45.63 %`.
impl std::fmt::Display for Between {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.least != self.most {
            write!(f, "{} to ", fixed(self.least.percent(), 2))?;
        }
        write!(f, "{} %", fixed(self.most.percent(), 2))
    }
}

/// The leak rate at one addition, by both methods.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate {
    /// Day of the addition.
    pub date: Date,
    /// What was added that day, less what was recovered that day.
    pub added: Mass,
    /// Days since refrigerant was last added; `None` where no earlier day is on record.
    pub days: Option<i32>,
    /// By the annualizing method; `None` without `days`: what period to use is not known.
    pub annualizing: Option<Between>,
    /// By the rolling average.
    pub rolling: Between,
}

impl Rate {
    /// Whether it exceeds so many percent, by the method in use or, where that is not known, by
    /// both. `None` where that cannot be told.
    pub fn exceeds(&self, percent: i128, method: Option<Method>) -> Option<bool> {
        let rolling = self.rolling.exceeds(percent);
        let annualizing = match self.annualizing {
            Some(rate) => rate.exceeds(percent),
            // Over any period of a year or less, one addition comes to no less than itself.
            None => rolling.filter(|&exceeds| exceeds),
        };
        match method {
            Some(Method::Annualizing) => annualizing,
            Some(Method::Rolling) => rolling,
            None => agree(annualizing?, rolling?),
        }
    }

    /// Both figures in words.
    pub fn text(&self) -> String {
        match self.annualizing {
            Some(rate) => format!(
                "{rate} by the annualizing method, {} by the rolling average",
                self.rolling
            ),
            None => format!(
                "{} by the rolling average; by the annualizing method not known, since no earlier addition is on record to count its period from",
                self.rolling
            ),
        }
    }
}

/// Refrigerant put in on one day beyond what was taken out that day.
#[derive(Debug, Clone, Copy)]
pub(super) struct Addition {
    pub(super) date: Date,
    least: Mass,
    most: Mass,
}

/// What is on record since the unit was charged or converted, by day: what went into another
/// charge before says nothing of this one.
pub(super) struct History {
    pub(super) events: Vec<Event>,
    pub(super) additions: Vec<Addition>,
    /// Day of the initial charge or, if later, the retrofit.
    pub(super) start: Option<Date>,
    /// Day of the initial charge.
    pub(super) installed: Option<Date>,
}

impl History {
    pub(super) fn new(events: &[Event]) -> Self {
        let latest = |kinds: &[EventKind]| {
            let of_kind = events.iter().filter(|event| kinds.contains(&event.kind));
            of_kind.map(|event| event.date).max()
        };
        let start = latest(&[EventKind::InitialCharge, EventKind::Retrofit]);
        let mut since: Vec<Event> = events
            .iter()
            .filter(|event| start.is_none_or(|start| event.date >= start))
            .copied()
            .collect();
        since.sort_by_key(|event| event.date);
        Self {
            additions: additions(&since, start),
            events: since,
            start,
            installed: latest(&[EventKind::InitialCharge]),
        }
    }

    /// First day, from `from` on, of an event that `is` so.
    pub(super) fn first(&self, from: Date, is: impl Fn(EventKind) -> bool) -> Option<Date> {
        let mut days = self.days(is);
        days.find(|&date| date >= from)
    }

    /// Days of the events that are so, in order.
    pub(super) fn days(&self, is: impl Fn(EventKind) -> bool) -> impl Iterator<Item = Date> {
        let events = self.events.iter();
        events
            .filter(move |event| is(event.kind))
            .map(|event| event.date)
    }

    /// The last repair before a day; of the verified ones only, if so asked.
    fn last_repair(&self, before: Date, verified: bool) -> Option<Date> {
        let is_repair = |kind| kind == EventKind::Repair;
        self.days(is_repair)
            .filter(|&date| date < before)
            .filter(|&date| {
                let next = self.days(is_repair).find(|&next| next > date);
                let passed = self.first(date, |kind| {
                    matches!(kind, EventKind::VerificationPassed(_))
                });
                !verified || passed.is_some_and(|passed| next.is_none_or(|next| passed < next))
            })
            .last()
    }

    /// Share of the charge added in the additions that are so.
    pub(super) fn sum(&self, charge: Mass, is: impl Fn(Date) -> bool) -> Option<Between> {
        let so = || self.additions.iter().filter(|a| is(a.date));
        Between::new(
            share(so().map(|a| a.least).sum(), charge),
            share(so().map(|a| a.most).sum(), charge),
        )
    }

    /// Leak rates at every addition, in order. Empty without a charge above zero.
    pub(super) fn rates(&self, charge: Mass) -> Vec<Rate> {
        let mut last = self.start;
        self.additions
            .iter()
            .filter_map(|addition| {
                let date = addition.date;
                let days = last.replace(date).map(|last| (date - last).get_days());
                let scaled = |mass| days.and_then(|days| annualizing(mass, charge, days));
                // Refrigerant put in on the day of a repair makes up for the leak before it.
                let window = |verified| {
                    let repair = self.last_repair(date, verified);
                    move |day: Date| {
                        day <= date
                            && (date - day).get_days() <= YEAR
                            && repair.is_none_or(|repair| day > repair)
                    }
                };
                Some(Rate {
                    date,
                    added: addition.most,
                    days,
                    annualizing: Between::new(scaled(addition.least), scaled(addition.most)),
                    rolling: Between {
                        least: self.sum(charge, window(false))?.least,
                        most: self.sum(charge, window(true))?.most,
                    },
                })
            })
            .collect()
    }
}

/// Additions by day. On the day the history starts, all that goes in is the charge.
fn additions(events: &[Event], start: Option<Date>) -> Vec<Addition> {
    let mut additions = Vec::new();
    // Recovered on earlier days and not put back since.
    let mut outside = Mass::ZERO;
    for day in events.chunk_by(|a, b| a.date == b.date) {
        let date = day[0].date;
        if Some(date) == start {
            continue;
        }
        let (mut added, mut recovered) = (Mass::ZERO, Mass::ZERO);
        for event in day {
            match event.kind {
                EventKind::Added(mass) => added += mass.max(Mass::ZERO),
                EventKind::Recovered(mass) => recovered += mass.max(Mass::ZERO),
                _ => {}
            }
        }
        if added <= recovered {
            outside += recovered - added;
            continue;
        }
        let most = added - recovered;
        let least = (most - outside).max(Mass::ZERO);
        outside = (outside - most).max(Mass::ZERO);
        additions.push(Addition { date, least, most });
    }
    additions
}
