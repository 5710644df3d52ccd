//! The causes a unit can have, as reviewed data: which way and how far each moves every symptom.
//!
//! Sizes are those of a plain, moderate case; severity scales them. Directions follow the published
//! rule set of Rossi and Braun (1997) where that has a row, and field practice tables by kind of
//! metering otherwise (common practice, no source); sizes and chances are common practice.

use super::hypothesis::{Considered, Hypothesis, Kind, Shift};
use super::symptom::{Seen, Symptom};
use crate::vocabulary::faults::Fault;

const RULES: &str = "directions: A Statistical, Rule-Based Fault Detection and Diagnostic Method for Vapor Compression Air Conditioners (1997), and field practice; sizes: common practice, no source";
const PRACTICE: &str = "common practice, no source";
const ELECTRICAL: &str = "electrical truth table (basic circuit logic)";

use Symptom::{
    AboveSetPoint, AirSplit, CondenserRise, CondenserSplit, DrierDrop, Efficiency, EvaporatorTd,
    RunningCurrent, Subcooling, Superheat,
};

/// What a sound refrigerant side shows.
const SOUND_SIGNS: &[(Seen, f64)] = &[
    (Seen::ClearGlass, 0.95),
    (Seen::PartialFrost, 0.03),
    (Seen::HeavyIce, 0.02),
    (Seen::StoppedWhileCalled, 0.02),
];

/// Findings of liquid at the compressor, as a cause that brings it tells them, and as one that may.
const FLOODS: &[(&str, f64)] = &[("RB381", 3.0), ("RB382", 3.0), ("RB312", 2.0)];
const MAY_FLOOD: &[(&str, f64)] = &[("RB381", 1.5), ("RB382", 1.5), ("RB312", 1.0)];

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
        kind: Kind::Cycle,
        considered: Considered::Always,
        prior,
        shifts,
        signs,
        told_by: &[],
        source,
    }
}

/// A cause that a finding tells; the cycle is as healthy as it would be without it.
const fn told(
    fault: Fault,
    name: &'static str,
    signs: &'static [(Seen, f64)],
    told_by: &'static [(&'static str, f64)],
) -> Hypothesis {
    Hypothesis {
        fault: Some(fault),
        name,
        kind: Kind::Beside,
        considered: Considered::WhenTold,
        prior: 0.02,
        shifts: &[],
        signs,
        told_by,
        source: ELECTRICAL,
    }
}

/// A cause for which a compressor stands although it is called.
const fn stops(
    fault: Fault,
    name: &'static str,
    phases: Option<u8>,
    signs: &'static [(Seen, f64)],
    told_by: &'static [(&'static str, f64)],
) -> Hypothesis {
    Hypothesis {
        considered: Considered::WhenStopped(phases),
        ..told(fault, name, signs, told_by)
    }
}

/// Every cause considered, the healthy unit first.
pub static HYPOTHESES: &[Hypothesis] = &[
    Hypothesis {
        fault: None,
        name: "no fault in the readings",
        kind: Kind::Sound,
        considered: Considered::Always,
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
            (RunningCurrent, [-0.15, -0.15, -0.15]),
        ],
        &[
            (Seen::Bubbles, 0.8),
            (Seen::ClearGlass, 0.2),
            (Seen::PartialFrost, 0.6),
        ],
        RULES,
    ),
    Hypothesis {
        told_by: MAY_FLOOD,
        ..cycle(
            Fault::Overcharge,
            "overcharge",
            0.04,
            &[
                (EvaporatorTd, [0.0, 0.0, -1.0]),
                (Superheat, [0.0, 0.0, -8.0]),
                (Subcooling, [10.0, 10.0, 10.0]),
                (CondenserSplit, [5.0, 5.0, 5.0]),
                (CondenserRise, [-0.12, -0.12, -0.12]),
                (RunningCurrent, [0.1, 0.1, 0.1]),
            ],
            &[(Seen::ClearGlass, 0.95), (Seen::FrostToCompressor, 0.15)],
            PRACTICE,
        )
    },
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
            (CondenserRise, [0.05, 0.05, 0.05]),
            (RunningCurrent, [0.2, 0.2, 0.2]),
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
            (RunningCurrent, [0.3, 0.3, 0.3]),
        ],
        &[
            (Seen::ClearGlass, 0.9),
            (Seen::CondenserFanStopped, 0.95),
            (Seen::EvaporatorFanTurning, 0.98),
        ],
        PRACTICE,
    ),
    Hypothesis {
        told_by: MAY_FLOOD,
        ..cycle(
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
                (RunningCurrent, [-0.12, -0.12, -0.12]),
            ],
            &[
                (Seen::ClearGlass, 0.95),
                (Seen::HeavyIce, 0.4),
                (Seen::PartialFrost, 0.3),
                (Seen::EvaporatorFanStopped, 0.95),
                (Seen::CondenserFanTurning, 0.98),
            ],
            PRACTICE,
        )
    },
    Hypothesis {
        told_by: MAY_FLOOD,
        ..cycle(
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
                (RunningCurrent, [-0.1, -0.1, -0.1]),
            ],
            &[
                (Seen::ClearGlass, 0.95),
                (Seen::HeavyIce, 0.3),
                (Seen::PartialFrost, 0.3),
                (Seen::DirtyEvaporator, 0.5),
            ],
            RULES,
        )
    },
    Hypothesis {
        told_by: MAY_FLOOD,
        ..cycle(
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
                (RunningCurrent, [-0.1, -0.1, -0.1]),
            ],
            &[
                (Seen::ClearGlass, 0.95),
                (Seen::HeavyIce, 0.9),
                (Seen::PartialFrost, 0.08),
            ],
            PRACTICE,
        )
    },
    cycle(
        Fault::LiquidLineRestriction,
        "liquid-line restriction",
        0.04,
        &[
            (EvaporatorTd, [6.0, 6.0, 12.0]),
            (Superheat, [12.0, 12.0, 35.0]),
            (Subcooling, [1.0, 3.0, 3.0]),
            (CondenserSplit, [-3.0, -3.0, -3.0]),
            (AirSplit, [-0.3, -0.3, -0.3]),
            (DrierDrop, [7.0, 7.0, 9.0]),
            (AboveSetPoint, [8.0, 8.0, 8.0]),
            (RunningCurrent, [-0.15, -0.15, -0.15]),
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
            (RunningCurrent, [-0.12, -0.12, -0.12]),
        ],
        &[(Seen::ClearGlass, 0.95), (Seen::PartialFrost, 0.6)],
        PRACTICE,
    ),
    Hypothesis {
        told_by: FLOODS,
        ..cycle(
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
                (Efficiency, [0.1, 0.1, 0.1]),
                (RunningCurrent, [0.05, 0.05, 0.05]),
            ],
            &[(Seen::ClearGlass, 0.95), (Seen::FrostToCompressor, 0.6)],
            PRACTICE,
        )
    },
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
            (Efficiency, [-0.18, -0.18, -0.18]),
            (RunningCurrent, [-0.15, -0.15, -0.15]),
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
            (CondenserRise, [-0.22, -0.22, -0.22]),
            (RunningCurrent, [0.1, 0.1, 0.1]),
        ],
        &[(Seen::ClearGlass, 0.9), (Seen::StandingHigh, 0.9)],
        PRACTICE,
    ),
    cycle(
        Fault::DoorOrLoad,
        "high load",
        0.05,
        &[
            (EvaporatorTd, [5.0, 5.0, 9.0]),
            (Superheat, [3.0, 2.0, 18.0]),
            (Subcooling, [0.0, 0.0, 0.0]),
            (CondenserSplit, [3.0, 2.0, 2.0]),
            (AirSplit, [0.2, 0.1, 0.1]),
            (AboveSetPoint, [14.0, 8.0, 14.0]),
            (RunningCurrent, [0.1, 0.1, 0.1]),
        ],
        &[(Seen::ClearGlass, 0.9), (Seen::PartialFrost, 0.3)],
        PRACTICE,
    ),
    cycle(
        Fault::LowLoad,
        "low load, little heat to take up",
        0.015,
        &[
            (EvaporatorTd, [-4.0, -4.0, -4.0]),
            (Superheat, [-1.0, -1.0, -6.0]),
            (Subcooling, [0.0, 0.0, 1.0]),
            (CondenserSplit, [-5.0, -5.0, -5.0]),
            (AirSplit, [-0.35, -0.35, -0.35]),
            (AboveSetPoint, [-4.0, -4.0, -4.0]),
            (RunningCurrent, [-0.12, -0.12, -0.12]),
        ],
        &[(Seen::ClearGlass, 0.95)],
        PRACTICE,
    ),
    Hypothesis {
        considered: Considered::WhenTold,
        told_by: FLOODS,
        ..cycle(
            Fault::Floodback,
            "liquid returning to the compressor",
            0.01,
            &[
                (EvaporatorTd, [0.0, 0.0, -1.0]),
                (Superheat, [-7.0, -7.0, -9.0]),
                (Efficiency, [0.2, 0.2, 0.2]),
            ],
            &[(Seen::ClearGlass, 0.95), (Seen::FrostToCompressor, 0.7)],
            PRACTICE,
        )
    },
    Hypothesis {
        fault: Some(Fault::OtherRefrigerant),
        name: "another refrigerant than the note says",
        kind: Kind::OtherRefrigerant,
        considered: Considered::Always,
        prior: 0.008,
        shifts: &[],
        signs: &[(Seen::ClearGlass, 0.9), (Seen::StandingHigh, 0.5)],
        told_by: &[],
        source: "saturation of the refrigerants in common use; prior: common practice, no source",
    },
    told(
        Fault::DefrostNotStarting,
        "defrost not starting or not heating",
        &[(Seen::HeavyIce, 0.7), (Seen::ClearGlass, 0.95)],
        &[("RB371", 4.0), ("RB409", 4.0), ("RB375", 2.0)],
    ),
    told(
        Fault::DefrostNotEnding,
        "defrost not ending, or heat while cooling",
        SOUND_SIGNS,
        &[("RB372", 5.0), ("RB373", 4.0), ("RB410", 5.0)],
    ),
    told(
        Fault::ContactsClosed,
        "contacts held closed",
        SOUND_SIGNS,
        &[("RB401", 7.0)],
    ),
    stops(
        Fault::ContactsOpen,
        "contact open or contactor not pulling in",
        None,
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::StoppedWhileCalled, 0.95),
            (Seen::PulledIn, 0.4),
            (Seen::CoilLive, 0.9),
            (Seen::LegsLive, 0.05),
        ],
        &[("RB402", 7.0), ("RB403", 7.0)],
    ),
    told(
        Fault::OpenHeater,
        "open heater",
        SOUND_SIGNS,
        &[("RB408", 7.0)],
    ),
    stops(
        Fault::SinglePhasing,
        "single phasing",
        Some(3),
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::StoppedWhileCalled, 0.8),
            (Seen::MotorHums, 0.6),
            (Seen::PulledIn, 0.9),
            (Seen::CoilLive, 0.9),
            (Seen::LegsLive, 0.05),
            (Seen::LineComplete, 0.35),
        ],
        &[("RB412", 7.0), ("RB423", 7.0)],
    ),
    told(
        Fault::VoltageUnbalance,
        "voltage unbalance",
        SOUND_SIGNS,
        &[("RB413", 7.0)],
    ),
    stops(
        Fault::WeakCapacitor,
        "weak capacitor",
        Some(1),
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::StoppedWhileCalled, 0.7),
            (Seen::MotorHums, 0.6),
            (Seen::PulledIn, 0.95),
            (Seen::CoilLive, 0.9),
            (Seen::LegsLive, 0.95),
            (Seen::CapacitorLow, 0.9),
        ],
        &[("RB417", 7.0), ("RB386", 1.0)],
    ),
    stops(
        Fault::OpenWinding,
        "motor winding or its overload open",
        None,
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::StoppedWhileCalled, 0.98),
            (Seen::PulledIn, 0.95),
            (Seen::CoilLive, 0.9),
            (Seen::LegsLive, 0.93),
        ],
        &[("RB404", 6.0), ("RB385", 6.0)],
    ),
    stops(
        Fault::StalledMotor,
        "compressor motor stalled",
        None,
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::StoppedWhileCalled, 0.95),
            (Seen::MotorHums, 0.7),
            (Seen::PulledIn, 0.95),
            (Seen::CoilLive, 0.9),
            (Seen::LegsLive, 0.95),
        ],
        &[("RB386", 4.0)],
    ),
    stops(
        Fault::ControlFault,
        "control, safety or sensor",
        None,
        &[
            (Seen::ClearGlass, 0.95),
            (Seen::StoppedWhileCalled, 0.8),
            (Seen::PulledIn, 0.05),
            (Seen::CoilLive, 0.06),
            (Seen::LegsLive, 0.04),
        ],
        &[
            ("RB391", 3.0),
            ("RB392", 4.0),
            ("RB393", 4.0),
            ("RB405", 5.0),
            ("RB406", 7.0),
            ("RB407", 6.0),
        ],
    ),
];
