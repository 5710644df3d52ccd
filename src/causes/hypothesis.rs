//! The causes a unit can have, as reviewed data: which way and how far each moves every symptom.
//!
//! Sizes are those of a plain, moderate case; severity scales them. Directions follow the published
//! rule set of Rossi and Braun (1997) where that has a row, and field practice tables by kind of
//! metering otherwise (common practice, no source); sizes are common practice.

use super::symptom::{Seen, Symptom};
use crate::vocabulary::faults::Fault;

/// How liquid is fed and stored, which decides what a fault looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feed {
    /// Expansion valve with a receiver, which hides charge.
    ValveReceiver,
    /// Expansion valve without one: charge shows in subcooling.
    Valve,
    /// Fixed orifice or capillary: nothing holds superheat.
    Fixed,
}

/// A shift of one symptom under a moderate case, for [`Feed::ValveReceiver`], [`Feed::Valve`] and
/// [`Feed::Fixed`].
type Shift = (Symptom, [f64; 3]);

/// One cause.
#[derive(Debug)]
pub struct Hypothesis {
    /// The fault; `None` for a healthy unit.
    pub fault: Option<Fault>,
    /// Name, as the trade says it.
    pub name: &'static str,
    /// How common it is before anything is measured, relative to the others. Common practice, no
    /// source: leaks, dirt and ice lead every list of service calls.
    pub prior: f64,
    /// How it moves each symptom; what is not listed it leaves alone.
    pub shifts: &'static [Shift],
    /// Chance of seeing each sign under it; what is not listed is as rare as [`STRAY`].
    pub signs: &'static [(Seen, f64)],
    /// Rules whose finding is this fault, nearly by itself.
    pub told_by: &'static [&'static str],
    /// Where direction and size come from.
    pub source: &'static str,
}

/// Chance of a sign that has nothing to do with the cause.
pub const STRAY: f64 = 0.05;

/// Chance that a fan stands still although it is not the fault: cycling on head pressure, or off
/// with the defrost.
const STOPPED: f64 = 0.04;

const RULES: &str =
    "directions: Rossi and Braun 1997 and field practice; sizes: common practice, no source";
const PRACTICE: &str = "common practice, no source";
const ELECTRICAL: &str = "electrical truth table (basic circuit logic)";

use Symptom::{
    AboveSetPoint, AirSplit, CondenserSplit, DrierDrop, EvaporatorTd, Subcooling, Superheat,
};

/// What a sound refrigerant side shows.
const SOUND_SIGNS: &[(Seen, f64)] = &[
    (Seen::ClearGlass, 0.95),
    (Seen::PartialFrost, 0.03),
    (Seen::HeavyIce, 0.02),
];

/// A cause of the refrigerant cycle or the air.
const fn cycle(
    fault: Fault,
    name: &'static str,
    prior: f64,
    shifts: &'static [Shift],
    signs: &'static [(Seen, f64)],
    source: &'static str,
) -> Hypothesis {
    Hypothesis {
        fault: Some(fault),
        name,
        prior,
        shifts,
        signs,
        told_by: &[],
        source,
    }
}

/// A cause that a finding tells; the cycle is as healthy as it would be without it.
const fn electrical(
    fault: Fault,
    name: &'static str,
    told_by: &'static [&'static str],
) -> Hypothesis {
    Hypothesis {
        fault: Some(fault),
        name,
        prior: 0.02,
        shifts: &[],
        signs: SOUND_SIGNS,
        told_by,
        source: ELECTRICAL,
    }
}

/// Every cause considered, the healthy unit first.
pub static HYPOTHESES: &[Hypothesis] = &[
    Hypothesis {
        fault: None,
        name: "no fault in the readings",
        prior: 0.5,
        shifts: &[],
        signs: SOUND_SIGNS,
        told_by: &[],
        source: "every expectation met",
    },
    cycle(
        Fault::Undercharge,
        "undercharge",
        0.06,
        &[
            (EvaporatorTd, [8.0, 8.0, 8.0]),
            (Superheat, [15.0, 15.0, 20.0]),
            (Subcooling, [-8.0, -8.0, -8.0]),
            (CondenserSplit, [-4.0, -4.0, -4.0]),
            (AirSplit, [-0.25, -0.25, -0.25]),
            (AboveSetPoint, [8.0, 8.0, 8.0]),
        ],
        &[
            (Seen::Bubbles, 0.8),
            (Seen::ClearGlass, 0.2),
            (Seen::PartialFrost, 0.6),
        ],
        RULES,
    ),
    cycle(
        Fault::Overcharge,
        "overcharge",
        0.04,
        &[
            (EvaporatorTd, [0.0, 0.0, -1.0]),
            (Superheat, [0.0, 0.0, -8.0]),
            (Subcooling, [10.0, 10.0, 10.0]),
            (CondenserSplit, [5.0, 5.0, 5.0]),
        ],
        &[(Seen::ClearGlass, 0.95), (Seen::FrostToCompressor, 0.15)],
        PRACTICE,
    ),
    cycle(
        Fault::CondenserAirflow,
        "condenser airflow",
        0.06,
        &[
            (EvaporatorTd, [-2.0, -2.0, -2.0]),
            (Superheat, [-1.0, -1.0, -8.0]),
            (Subcooling, [1.0, 1.0, -1.5]),
            (CondenserSplit, [18.0, 18.0, 18.0]),
            (AirSplit, [-0.1, -0.1, -0.1]),
            (AboveSetPoint, [3.0, 3.0, 3.0]),
        ],
        &[(Seen::ClearGlass, 0.9), (Seen::DirtyCondenser, 0.6)],
        RULES,
    ),
    cycle(
        Fault::FanFailed,
        "condenser fan stopped",
        0.02,
        &[
            (EvaporatorTd, [-3.0, -3.0, -3.0]),
            (Superheat, [-1.0, -1.0, -8.0]),
            (Subcooling, [1.0, 1.0, -1.5]),
            (CondenserSplit, [28.0, 28.0, 28.0]),
            (AirSplit, [-0.15, -0.15, -0.15]),
            (AboveSetPoint, [4.0, 4.0, 4.0]),
        ],
        &[
            (Seen::ClearGlass, 0.9),
            (Seen::CondenserFanStopped, 0.95),
            (Seen::EvaporatorFanTurning, 0.98),
        ],
        PRACTICE,
    ),
    cycle(
        Fault::FanFailed,
        "evaporator fan stopped",
        0.02,
        &[
            (EvaporatorTd, [14.0, 14.0, 10.0]),
            (Superheat, [-4.0, -4.0, -8.0]),
            (Subcooling, [0.0, 0.0, -1.5]),
            (CondenserSplit, [-4.0, -4.0, -4.0]),
            (AirSplit, [1.0, 1.0, 0.8]),
            (AboveSetPoint, [8.0, 8.0, 8.0]),
        ],
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::HeavyIce, 0.4),
            (Seen::PartialFrost, 0.3),
            (Seen::EvaporatorFanStopped, 0.95),
            (Seen::CondenserFanTurning, 0.98),
        ],
        PRACTICE,
    ),
    cycle(
        Fault::EvaporatorAirflow,
        "evaporator airflow",
        0.05,
        &[
            (EvaporatorTd, [10.0, 10.0, 7.0]),
            (Superheat, [-2.0, -2.0, -8.0]),
            (Subcooling, [0.0, 0.0, -1.5]),
            (CondenserSplit, [-3.0, -3.0, -3.0]),
            (AirSplit, [0.8, 0.8, 0.5]),
            (AboveSetPoint, [4.0, 4.0, 4.0]),
        ],
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::HeavyIce, 0.3),
            (Seen::PartialFrost, 0.3),
            (Seen::DirtyEvaporator, 0.5),
        ],
        RULES,
    ),
    cycle(
        Fault::IcedCoil,
        "iced coil, defrost not clearing it",
        0.06,
        &[
            (EvaporatorTd, [13.0, 13.0, 10.0]),
            (Superheat, [-2.0, -2.0, -8.0]),
            (Subcooling, [-0.5, -0.5, -1.0]),
            (CondenserSplit, [-4.0, -4.0, -4.0]),
            (AirSplit, [0.8, 0.8, 0.8]),
            (AboveSetPoint, [6.0, 6.0, 6.0]),
        ],
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::HeavyIce, 0.9),
            (Seen::PartialFrost, 0.08),
        ],
        PRACTICE,
    ),
    cycle(
        Fault::LiquidLineRestriction,
        "liquid-line restriction",
        0.04,
        &[
            (EvaporatorTd, [6.0, 6.0, 12.0]),
            (Superheat, [12.0, 12.0, 35.0]),
            (Subcooling, [1.0, 3.0, 1.0]),
            (CondenserSplit, [-3.0, -3.0, -3.0]),
            (AirSplit, [-0.3, -0.3, -0.3]),
            (DrierDrop, [7.0, 7.0, 9.0]),
            (AboveSetPoint, [8.0, 8.0, 8.0]),
        ],
        &[
            (Seen::Bubbles, 0.8),
            (Seen::ClearGlass, 0.2),
            (Seen::PartialFrost, 0.6),
        ],
        RULES,
    ),
    cycle(
        Fault::MeteringUnderfeed,
        "metering device feeding too little",
        0.04,
        &[
            (EvaporatorTd, [10.0, 10.0, 8.0]),
            (Superheat, [20.0, 20.0, 15.0]),
            (Subcooling, [0.0, 2.0, 2.0]),
            (CondenserSplit, [-3.0, -3.0, -3.0]),
            (AirSplit, [-0.3, -0.3, -0.3]),
            (AboveSetPoint, [8.0, 8.0, 8.0]),
        ],
        &[(Seen::ClearGlass, 0.95), (Seen::PartialFrost, 0.6)],
        PRACTICE,
    ),
    cycle(
        Fault::MeteringOverfeed,
        "metering device feeding too much",
        0.03,
        &[
            (EvaporatorTd, [-3.0, -3.0, -4.0]),
            (Superheat, [-8.0, -8.0, -15.0]),
            (Subcooling, [0.0, -6.0, -6.0]),
            (CondenserSplit, [0.0, -1.0, 0.0]),
            (AirSplit, [-0.1, -0.1, -0.1]),
            (AboveSetPoint, [1.0, 1.0, 1.0]),
        ],
        &[(Seen::ClearGlass, 0.95), (Seen::FrostToCompressor, 0.6)],
        PRACTICE,
    ),
    cycle(
        Fault::CompressorWeak,
        "compressor not pumping",
        0.03,
        &[
            (EvaporatorTd, [-5.0, -6.0, -6.0]),
            (Superheat, [-1.5, -1.5, -10.0]),
            (Subcooling, [-0.5, -2.0, -4.0]),
            (CondenserSplit, [-4.0, -4.0, -4.0]),
            (AirSplit, [-0.3, -0.3, -0.3]),
            (AboveSetPoint, [8.0, 8.0, 8.0]),
        ],
        &[(Seen::ClearGlass, 0.9)],
        RULES,
    ),
    cycle(
        Fault::NonCondensables,
        "non-condensables",
        0.03,
        &[
            (EvaporatorTd, [0.0, 0.0, -1.0]),
            (Superheat, [-0.5, -0.5, -8.0]),
            (Subcooling, [9.0, 9.0, 9.0]),
            (CondenserSplit, [10.0, 10.0, 10.0]),
        ],
        &[(Seen::ClearGlass, 0.9)],
        PRACTICE,
    ),
    cycle(
        Fault::DoorOrLoad,
        "high load",
        0.05,
        &[
            (EvaporatorTd, [5.0, 5.0, 9.0]),
            (Superheat, [3.0, 2.0, 18.0]),
            (Subcooling, [0.0, 0.0, 2.0]),
            (CondenserSplit, [3.0, 2.0, 2.0]),
            (AirSplit, [0.2, 0.1, 0.1]),
            (AboveSetPoint, [14.0, 8.0, 14.0]),
        ],
        &[(Seen::ClearGlass, 0.9), (Seen::PartialFrost, 0.3)],
        PRACTICE,
    ),
    electrical(Fault::ContactsClosed, "contacts held closed", &["RB401"]),
    electrical(
        Fault::ContactsOpen,
        "contact open or contactor not pulling in",
        &["RB402", "RB403"],
    ),
    electrical(Fault::OpenHeater, "open heater", &["RB408"]),
    electrical(Fault::SinglePhasing, "single phasing", &["RB412", "RB423"]),
    electrical(Fault::VoltageUnbalance, "voltage unbalance", &["RB413"]),
    electrical(Fault::WeakCapacitor, "weak capacitor", &["RB417"]),
];

impl Hypothesis {
    /// Its probability before anything is measured.
    pub fn before(&self) -> f64 {
        self.prior / HYPOTHESES.iter().map(|h| h.prior).sum::<f64>()
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
        match (listed, seen) {
            (Some((_, chance)), _) => *chance,
            // A fan that is not the fault turns.
            (None, Seen::CondenserFanTurning) => 1.0 - self.chance(Seen::CondenserFanStopped),
            (None, Seen::EvaporatorFanTurning) => 1.0 - self.chance(Seen::EvaporatorFanStopped),
            (None, Seen::CondenserFanStopped | Seen::EvaporatorFanStopped) => STOPPED,
            (None, _) => STRAY,
        }
    }
}
