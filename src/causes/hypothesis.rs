//! What a cause is: when it is considered, how it moves the symptoms, what shows it.

pub use super::catalogue::HYPOTHESES;
use super::symptom::{Seen, Symptom};
use crate::vocabulary::faults::Fault;
use std::sync::LazyLock;

pub use crate::expectation::Feed;

/// A shift of one symptom under a moderate case, for [`Feed::ValveReceiver`], [`Feed::Valve`] and
/// [`Feed::Fixed`].
pub(super) type Shift = (Symptom, [f64; 3]);

/// What a cause does to the refrigerant side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Nothing is wrong.
    Sound,
    /// It moves the cycle by its shifts.
    Cycle,
    /// It leaves the cycle as it is: sound, or with a fault of its own.
    Beside,
    /// The pressures belong to another refrigerant.
    OtherRefrigerant,
}

/// When a cause is considered at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Considered {
    /// Whatever was measured.
    Always,
    /// When a finding tells it.
    WhenTold,
    /// When a finding tells it, or the compressor stands although it is called; on so many phases,
    /// where it needs a certain supply.
    WhenStopped(Option<u8>),
}

/// One cause.
#[derive(Debug)]
pub struct Hypothesis {
    /// The fault; `None` for a healthy unit.
    pub fault: Option<Fault>,
    /// Name, as the trade says it.
    pub name: &'static str,
    /// What it does to the refrigerant side.
    pub kind: Kind,
    /// When it is considered.
    pub considered: Considered,
    /// How common it is before anything is measured, relative to the others. Common practice, no
    /// source: leaks, dirt and ice lead every list of service calls.
    pub prior: f64,
    /// How it moves each symptom; what is not listed it leaves alone.
    pub shifts: &'static [Shift],
    /// Chance of seeing each sign under it; what is not listed has [`Seen::stray`].
    pub signs: &'static [(Seen, f64)],
    /// Rules whose finding tells this fault, each with the log of the odds it gives: 7 where the
    /// finding is the fault, 2 to 4 where it is what the fault brings about.
    pub told_by: &'static [(&'static str, f64)],
    /// Where direction and size come from.
    pub source: &'static str,
}

impl Hypothesis {
    /// Its probability before anything is measured.
    pub fn before(&self) -> f64 {
        static ALL: LazyLock<f64> = LazyLock::new(|| HYPOTHESES.iter().map(|h| h.prior).sum());
        self.prior / *ALL
    }

    /// How a moderate case moves a symptom.
    pub fn shift(&self, symptom: Symptom, feed: Feed) -> f64 {
        let column = match feed {
            Feed::ValveReceiver => 0,
            Feed::Valve => 1,
            Feed::Fixed => 2,
        };
        self.shifts
            .iter()
            .find(|(listed, _)| *listed == symptom)
            .map_or(0.0, |(_, shifts)| shifts[column])
    }

    /// The chance of seeing a sign under it.
    pub fn chance(&self, seen: Seen) -> f64 {
        let listed = self.signs.iter().find(|(listed, _)| *listed == seen);
        match (listed, seen.opposite()) {
            (Some((_, chance)), _) => *chance,
            (None, Some(other)) => 1.0 - self.chance(other),
            (None, None) => seen.stray(),
        }
    }

    /// The log of the odds a rule's finding gives it; `None` when the rule does not tell it.
    pub fn told(&self, code: &str) -> Option<f64> {
        let row = self.told_by.iter().find(|(rule, _)| *rule == code);
        row.map(|(_, odds)| *odds)
    }
}
