//! What of a unit's behavior tells its faults apart: graded deviations from what it should do, and
//! signs that are seen or not.

use crate::derive::Input;
use crate::vocabulary::faults::Fault;

/// A deviation that is measured. Differences are in Fahrenheit degrees, the air split as a share of
/// what is expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Symptom {
    /// Evaporator TD.
    EvaporatorTd,
    /// Superheat at the evaporator.
    Superheat,
    /// Subcooling.
    Subcooling,
    /// Condenser split.
    CondenserSplit,
    /// Air split over the evaporator.
    AirSplit,
    /// Temperature drop across the drier.
    DrierDrop,
    /// Box, room or return air above the set point.
    AboveSetPoint,
}

/// How a symptom scatters.
#[derive(Debug)]
pub struct Scatter {
    /// Over healthy units that are described by their own design values: control bands, other
    /// loads, clamps an inch apart.
    pub healthy: f64,
    /// More of it under any fault: no fault moves only what it is known for.
    pub faulty: f64,
}

impl Symptom {
    /// All, in the order of the tables.
    pub const ALL: [Symptom; 7] = [
        Symptom::EvaporatorTd,
        Symptom::Superheat,
        Symptom::Subcooling,
        Symptom::CondenserSplit,
        Symptom::AirSplit,
        Symptom::DrierDrop,
        Symptom::AboveSetPoint,
    ];

    /// Name in the trade.
    pub fn name(self) -> &'static str {
        match self {
            Self::EvaporatorTd => "evaporator TD",
            Self::Superheat => "superheat",
            Self::Subcooling => "subcooling",
            Self::CondenserSplit => "condenser split",
            Self::AirSplit => "air split",
            Self::DrierDrop => "drop across the drier",
            Self::AboveSetPoint => "box against set point",
        }
    }

    /// Common practice, no source: what a careful technician would shrug at.
    pub fn scatter(self) -> Scatter {
        let (healthy, faulty) = match self {
            Self::EvaporatorTd => (2.0, 1.0),
            Self::Superheat => (2.0, 1.5),
            Self::Subcooling => (1.5, 1.0),
            Self::CondenserSplit => (2.5, 1.5),
            Self::AirSplit => (0.15, 0.1),
            Self::DrierDrop => (0.8, 0.5),
            Self::AboveSetPoint => (2.0, 2.0),
        };
        Scatter { healthy, faulty }
    }

    /// How far one case of a fault may lie from another of the same severity, as a share of the
    /// shift. A box drifts on for as long as nobody comes, so its distance says little of the fault.
    pub fn shape(self) -> f64 {
        match self {
            Self::AboveSetPoint => 1.0,
            _ => 0.45,
        }
    }

    /// How a saturation temperature that is off by one degree moves it: +1, −1 or not at all, for
    /// the suction and for the high-side pressure. Two symptoms of one gauge err together.
    pub fn of_gauges(self) -> (f64, f64) {
        match self {
            Self::EvaporatorTd | Self::Superheat => (-1.0, 0.0),
            Self::Subcooling | Self::CondenserSplit => (0.0, 1.0),
            _ => (0.0, 0.0),
        }
    }
}

/// A deviation found in a note.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Of what.
    pub symptom: Symptom,
    /// As measured, in the unit of [`Symptom`].
    pub value: f64,
    /// What was expected.
    pub expected: f64,
    /// How far off the expectation itself may be (one standard deviation), beyond
    /// [`Symptom::scatter`].
    pub doubt: f64,
    /// Where the expectation comes from.
    pub basis: &'static str,
    /// What it rests on.
    pub inputs: Vec<Input>,
}

impl Measured {
    /// Measured less expected.
    pub fn deviation(&self) -> f64 {
        self.value - self.expected
    }
}

/// Something seen or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Seen {
    /// Bubbles in the sight glass of a running unit.
    Bubbles,
    /// A clear sight glass.
    ClearGlass,
    /// The coil iced all over.
    HeavyIce,
    /// Frost on part of the coil only.
    PartialFrost,
    /// Frost or sweat back to the compressor.
    FrostToCompressor,
    /// The condenser's face is dirty.
    DirtyCondenser,
    /// The evaporator or its filter is dirty.
    DirtyEvaporator,
    /// The condenser fan stands while the compressor runs.
    CondenserFanStopped,
    /// The condenser fan turns.
    CondenserFanTurning,
    /// The evaporator fan stands while the unit cools.
    EvaporatorFanStopped,
    /// The evaporator fan turns.
    EvaporatorFanTurning,
}

impl Seen {
    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bubbles => "bubbles in the sight glass",
            Self::ClearGlass => "clear sight glass",
            Self::HeavyIce => "coil iced all over",
            Self::PartialFrost => "frost on part of the coil",
            Self::FrostToCompressor => "frost back to the compressor",
            Self::DirtyCondenser => "dirty condenser",
            Self::DirtyEvaporator => "dirty evaporator or filter",
            Self::CondenserFanStopped => "condenser fan stopped",
            Self::CondenserFanTurning => "condenser fan turning",
            Self::EvaporatorFanStopped => "evaporator fan stopped",
            Self::EvaporatorFanTurning => "evaporator fan turning",
        }
    }
}

/// A sign found in a note.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenSign {
    /// What.
    pub seen: Seen,
    /// Where.
    pub input: Input,
}

/// A finding that settles a fault nearly by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Telling {
    /// The rule's code.
    pub code: &'static str,
    /// The fault it speaks for.
    pub fault: Fault,
    /// What it rests on.
    pub inputs: Vec<Input>,
}
