//! The units of the answer.

use super::Units;
use super::question::{Question, unit_name};
use crate::quantity::{
    AbsolutePressure, Atmosphere, AtmosphereBasis, Display, GaugePressure, Temperature, Unit, fixed,
};

/// What values are shown in.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// °F and psi.
    Us,
    /// °C and kPa.
    Kilopascal,
    /// °C and bar.
    Bar,
}

impl Scale {
    /// The system asked for, or else that of the value asked.
    pub fn choose(units: Option<Units>, question: &Question) -> Self {
        let unit = question.values().first().map(|value| value.unit);
        let own = match unit {
            Some(Unit::Bar | Unit::BarAbsolute) => Self::Bar,
            Some(
                Unit::Kilopascal
                | Unit::KilopascalAbsolute
                | Unit::Megapascal
                | Unit::Hectopascal
                | Unit::PascalVacuum
                | Unit::MillibarVacuum
                | Unit::Torr
                | Unit::Celsius
                | Unit::KelvinDifference,
            ) => Self::Kilopascal,
            _ => Self::Us,
        };
        match units {
            None => own,
            Some(Units::Us) => Self::Us,
            Some(Units::Si) if own == Self::Bar => Self::Bar,
            Some(Units::Si) => Self::Kilopascal,
        }
    }

    /// The system of temperatures, and the other one.
    pub fn displays(self) -> (Display, Display) {
        match self {
            Self::Us => (Display::Us, Display::Si),
            _ => (Display::Si, Display::Us),
        }
    }

    /// `16.5 F`
    pub fn temperature(self, value: Temperature) -> String {
        self.displays().0.temperature(value)
    }

    /// `16.5 F (-8.6 C)`
    pub fn both(self, value: Temperature) -> String {
        let (own, other) = self.displays();
        format!("{} ({})", own.temperature(value), other.temperature(value))
    }

    /// Digits of a pressure: a tenth of a psi, and about as fine in the other units.
    fn digits(self, pascal: f64) -> String {
        match self {
            Self::Us => fixed(AbsolutePressure::from_pascal(pascal).psi(), 1),
            Self::Kilopascal if pascal.abs() < 100e3 => fixed(pascal / 1e3, 1),
            Self::Kilopascal => fixed(pascal / 1e3, 0),
            Self::Bar => fixed(pascal / 1e5, 2),
        }
    }

    /// The unit of gauge pressures in a table.
    pub fn gauge_unit(self) -> &'static str {
        match self {
            Self::Us => "psig",
            Self::Kilopascal => "kPa",
            Self::Bar => "bar",
        }
    }

    /// `40.0 psig`; below the atmosphere `9.5 inHg vacuum`, as a compound gauge shows it.
    pub fn gauge(self, value: GaugePressure) -> String {
        let pascal = value.pascal();
        if self == Self::Us && pascal < 0.0 {
            let unit = Unit::InchMercuryVacuum;
            let inches = fixed(-pascal / unit.info().factor, 1);
            return format!("{inches} {}", unit_name(unit));
        }
        format!("{} {}", self.digits(pascal), self.gauge_unit())
    }

    /// `54.7 psia`
    pub fn absolute(self, value: AbsolutePressure) -> String {
        let unit = match self {
            Self::Us => "psia",
            Self::Kilopascal => "kPa abs",
            Self::Bar => "bar abs",
        };
        format!("{} {unit}", self.digits(value.pascal()))
    }

    pub fn gauge_and_absolute(self, value: AbsolutePressure, atmosphere: Atmosphere) -> String {
        let gauge = self.gauge(value.gauge(atmosphere));
        format!("{gauge} ({})", self.absolute(value))
    }

    pub fn atmosphere(self, atmosphere: Atmosphere) -> String {
        let pressure = match self {
            Self::Us => format!("{} psia", fixed(atmosphere.pressure.psi(), 3)),
            Self::Kilopascal => {
                format!("{} kPa", fixed(atmosphere.pressure.pascal() / 1e3, 2))
            }
            Self::Bar => format!("{} bar", fixed(atmosphere.pressure.pascal() / 1e5, 4)),
        };
        match (atmosphere.basis, self) {
            (AtmosphereBasis::SeaLevel, _) => {
                format!("{pressure}, sea level assumed")
            }
            (AtmosphereBasis::Altitude(altitude), Self::Us) => {
                format!("{pressure} at {} ft", fixed(altitude.metre() / 0.3048, 0))
            }
            (AtmosphereBasis::Altitude(altitude), _) => {
                format!("{pressure} at {} m", fixed(altitude.metre(), 0))
            }
            (AtmosphereBasis::Barometer, _) => format!("{pressure} as stated"),
        }
    }
}
