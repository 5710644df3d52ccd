//! What of a unit's behavior tells its faults apart: graded deviations from what it should do, and
//! signs that are seen or not.

use crate::derive::Input;
use crate::expectation::Basis;
use crate::refrigerant::Refrigerant;
pub use crate::vocabulary::Symptom;

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
            Self::CondenserRise => (0.08, 0.05),
            Self::Efficiency => (0.06, 0.05),
            Self::RunningCurrent => (0.06, 0.05),
        };
        Scatter { healthy, faulty }
    }

    /// How far one case of a fault may lie from another of the same severity, as a share of the
    /// shift. A box drifts on for as long as nobody comes, so its distance says little of the fault.
    pub fn shape(self) -> f64 {
        match self {
            Self::AboveSetPoint => 1.0,
            // Gas that leaks back is compressed again and gets hotter, or cools the suction and does
            // not: published and field tables give it both ways.
            Self::Efficiency => 0.9,
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
    pub basis: Basis,
    /// What it rests on.
    pub inputs: Vec<Input>,
}

impl Measured {
    /// True when half of it was taken for granted: it speaks, softly, and proves nothing.
    pub fn is_assumed(&self) -> bool {
        matches!(self.basis, Basis::Assumed(_))
    }

    /// Measured less expected.
    pub fn deviation(&self) -> f64 {
        self.value - self.expected
    }
}

/// The readings seen as those of another refrigerant.
#[derive(Debug, Clone)]
pub struct Other {
    /// Which.
    pub refrigerant: &'static Refrigerant,
    /// The deviations it gives.
    pub measured: Vec<Measured>,
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
    /// The compressor stands although it is called, or the box is warm.
    StoppedWhileCalled,
    /// A motor hums and does not turn.
    MotorHums,
    /// The contactor is pulled in, the compressor standing.
    PulledIn,
    /// It is dropped out.
    DroppedOut,
    /// The contactor's coil has voltage, the compressor standing.
    CoilLive,
    /// It has none.
    CoilDead,
    /// Every leg behind the contactor has voltage, the compressor standing.
    LegsLive,
    /// One at least has none.
    LegDead,
    /// Every leg of the supply has voltage.
    LineComplete,
    /// One has none.
    LineLegDead,
    /// The run capacitor is far below its rating.
    CapacitorLow,
    /// It has what is printed on it.
    CapacitorSound,
    /// At rest and settled, the pressure lies above saturation at ambient.
    StandingHigh,
    /// It lies at it.
    StandingLevel,
}

impl Seen {
    /// Chance of seeing it for a reason that is no cause listed here. Common practice, no source.
    pub fn stray(self) -> f64 {
        match self {
            // A fan cycling on head pressure, or off with the defrost.
            Self::CondenserFanStopped | Self::EvaporatorFanStopped => 0.04,
            // A safety that tripped on what is wrong with the cycle.
            Self::StoppedWhileCalled => 0.06,
            Self::MotorHums => 0.03,
            // Whatever the cause, as likely as not.
            Self::CoilLive | Self::LegsLive | Self::PulledIn => 0.5,
            Self::LineComplete => 0.97,
            Self::CapacitorLow | Self::StandingHigh => 0.04,
            _ => 0.05,
        }
    }

    /// The sign that is there exactly when this one is not.
    pub fn opposite(self) -> Option<Self> {
        Some(match self {
            Self::CondenserFanTurning => Self::CondenserFanStopped,
            Self::EvaporatorFanTurning => Self::EvaporatorFanStopped,
            Self::CoilDead => Self::CoilLive,
            Self::DroppedOut => Self::PulledIn,
            Self::LegDead => Self::LegsLive,
            Self::LineLegDead => Self::LineComplete,
            Self::CapacitorSound => Self::CapacitorLow,
            Self::StandingLevel => Self::StandingHigh,
            _ => return None,
        })
    }

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
            Self::StoppedWhileCalled => "compressor standing while called or the box warm",
            Self::MotorHums => "motor humming",
            Self::PulledIn => "contactor pulled in",
            Self::DroppedOut => "contactor dropped out",
            Self::CoilLive => "voltage at the contactor coil",
            Self::CoilDead => "no voltage at the contactor coil",
            Self::LegsLive => "voltage on every leg behind the contactor",
            Self::LegDead => "no voltage on a leg behind the contactor",
            Self::LineComplete => "voltage on every leg of the supply",
            Self::LineLegDead => "a leg of the supply without voltage",
            Self::CapacitorLow => "run capacitor below its rating",
            Self::CapacitorSound => "run capacitor at its rating",
            Self::StandingHigh => "standing pressure above saturation at ambient",
            Self::StandingLevel => "standing pressure at saturation at ambient",
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

/// A finding that tells a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Telling {
    /// The rule's code.
    pub code: &'static str,
    /// Its sentence.
    pub text: String,
    /// What it rests on.
    pub inputs: Vec<Input>,
}
