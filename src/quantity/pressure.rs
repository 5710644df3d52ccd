//! Gauge, absolute and vacuum pressure, and the atmosphere that joins them.

use super::scalar::scalar;
use super::{Length, Temperature};

/// Pascal in one pound-force per square inch (exact: 0.45359237 kg × 9.80665 m/s² over a square inch).
pub const PASCAL_PER_PSI: f64 = 6_894.757_293_168;
/// Pascal in one conventional inch of mercury.
pub const PASCAL_PER_INCH_MERCURY: f64 = 3_386.389;
/// Pascal in one conventional inch of water.
pub const PASCAL_PER_INCH_WATER: f64 = 249.088_9;
/// Pascal in one micron (0.001 mmHg).
pub const PASCAL_PER_MICRON: f64 = 0.133_322_387_415;

scalar!(
    /// Pressure above (or, negative, below) the local atmosphere, in pascal.
    GaugePressure, from_pascal, pascal
);
scalar!(
    /// Pressure above nothing, in pascal.
    AbsolutePressure, from_pascal, pascal
);
scalar!(
    /// A vacuum gauge's reading, absolute, in pascal. Not a gauge pressure: it needs no atmosphere.
    VacuumDepth, from_pascal, pascal
);

impl GaugePressure {
    /// From psig.
    pub fn from_psi(value: f64) -> Self {
        Self(value * PASCAL_PER_PSI)
    }

    /// In psig.
    pub fn psi(self) -> f64 {
        self.0 / PASCAL_PER_PSI
    }

    /// Against the given atmosphere. Negative when the reading is below a perfect vacuum.
    pub fn absolute(self, atmosphere: Atmosphere) -> AbsolutePressure {
        AbsolutePressure(self.0 + atmosphere.pressure.0)
    }
}

impl AbsolutePressure {
    /// From psia.
    pub fn from_psi(value: f64) -> Self {
        Self(value * PASCAL_PER_PSI)
    }

    /// In psia.
    pub fn psi(self) -> f64 {
        self.0 / PASCAL_PER_PSI
    }

    /// Against the given atmosphere.
    pub fn gauge(self, atmosphere: Atmosphere) -> GaugePressure {
        GaugePressure(self.0 - atmosphere.pressure.0)
    }
}

impl VacuumDepth {
    /// In micron of mercury.
    pub fn micron(self) -> f64 {
        self.0 / PASCAL_PER_MICRON
    }
}

/// The atmosphere gauges read against, and how it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Atmosphere {
    /// Its pressure.
    pub pressure: AbsolutePressure,
    /// Where that comes from.
    pub basis: AtmosphereBasis,
}

/// How the local atmosphere is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AtmosphereBasis {
    /// Nothing said: sea level is assumed.
    SeaLevel,
    /// From the altitude.
    Altitude(Length),
    /// A barometer was read.
    Barometer,
}

impl Atmosphere {
    /// 14.696 psia.
    pub const SEA_LEVEL: Atmosphere = Atmosphere {
        pressure: AbsolutePressure(101_325.0),
        basis: AtmosphereBasis::SeaLevel,
    };

    /// The standard atmosphere at an altitude.
    ///
    /// Source: ASHRAE Handbook Fundamentals, ch. 1 (psychrometrics), eq. for standard atmospheric
    /// pressure: p = 101.325 (1 − 2.25577e-5 Z)^5.2559 kPa, Z in metres.
    pub fn at_altitude(altitude: Length) -> Self {
        let share = (1.0 - 2.25577e-5 * altitude.metre()).max(0.0).powf(5.2559);
        Self {
            pressure: AbsolutePressure(101_325.0 * share),
            basis: AtmosphereBasis::Altitude(altitude),
        }
    }

    /// A stated station pressure.
    pub fn from_barometer(pressure: AbsolutePressure) -> Self {
        Self {
            pressure,
            basis: AtmosphereBasis::Barometer,
        }
    }

    /// The sentence that goes with a value that rests on this atmosphere.
    pub fn assumption(self) -> String {
        let psia = self.pressure.psi();
        match self.basis {
            AtmosphereBasis::SeaLevel => {
                format!("sea-level atmosphere {psia:.3} psia (no altitude in the note)")
            }
            AtmosphereBasis::Altitude(altitude) => format!(
                "atmosphere {psia:.3} psia at {:.0} ft",
                altitude.metre() / 0.3048
            ),
            AtmosphereBasis::Barometer => format!("atmosphere {psia:.3} psia as stated"),
        }
    }
}

/// The pressure a sealed dry gas has after its temperature changed, volume constant: p₂ = p₁ T₂/T₁.
///
/// Source: ideal-gas law; by arithmetic 300 psig at 85 °F → 286.71 psig at 62 °F.
pub fn sealed_gas_pressure(
    start: AbsolutePressure,
    from: Temperature,
    to: Temperature,
) -> AbsolutePressure {
    AbsolutePressure(start.0 * to.kelvin() / from.kelvin())
}
