//! Quantities of the trade as distinct types, SI inside, converted only at the edge.
//!
//! Gauge and absolute pressure are different types, as are a temperature and a temperature
//! difference, so that mixing them up does not compile. What the technician wrote is kept beside
//! the value by [`Number`] and [`Written`]; nothing is shown back in other digits than were typed.

mod mass;
mod number;
mod pressure;
mod scalar;
mod unit;

pub use mass::Mass;
pub use number::Number;
pub use pressure::{
    AbsolutePressure, Atmosphere, AtmosphereBasis, GaugePressure, VacuumDepth, sealed_gas_pressure,
};
pub use scalar::{
    Capacitance, Current, Duration, Length, Percent, Power, Resistance, Temperature,
    TemperatureDifference, Voltage,
};
pub use unit::{
    UNITS, Unit, UnitInfo, fold as fold_unit, lookup as lookup_unit, spellings as unit_spellings,
};

use serde::Serialize;

/// What kind of thing is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Dimension {
    /// Refrigerant or oil pressure, gauge or absolute.
    Pressure,
    /// Deep vacuum read on a vacuum gauge.
    Vacuum,
    /// Air pressure of a duct or fan, inches of water or pascal.
    AirPressure,
    /// A temperature.
    Temperature,
    /// A difference of two temperatures.
    TemperatureDifference,
    /// Electric potential.
    Voltage,
    /// Electric current.
    Current,
    /// Electric power.
    Power,
    /// Electric resistance, insulation included.
    Resistance,
    /// Capacitance.
    Capacitance,
    /// Mass of refrigerant.
    Mass,
    /// A span of time.
    Duration,
    /// A length or altitude.
    Length,
    /// Parts per hundred.
    Percent,
}

impl Dimension {
    /// The word a technician would use.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pressure => "pressure",
            Self::Vacuum => "vacuum",
            Self::AirPressure => "air pressure",
            Self::Temperature => "temperature",
            Self::TemperatureDifference => "temperature difference",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Power => "power",
            Self::Resistance => "resistance",
            Self::Capacitance => "capacitance",
            Self::Mass => "mass",
            Self::Duration => "time",
            Self::Length => "length",
            Self::Percent => "percentage",
        }
    }
}

/// A measured value of any dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quantity {
    /// Pressure against the local atmosphere; negative in vacuum.
    Gauge(GaugePressure),
    /// Pressure against nothing.
    Absolute(AbsolutePressure),
    /// Vacuum-gauge reading.
    Vacuum(VacuumDepth),
    /// Air pressure difference, in pascal.
    AirPressure(GaugePressure),
    /// Temperature.
    Temperature(Temperature),
    /// Temperature difference.
    TemperatureDifference(TemperatureDifference),
    /// Voltage.
    Voltage(Voltage),
    /// Current.
    Current(Current),
    /// Power.
    Power(Power),
    /// Resistance.
    Resistance(Resistance),
    /// Capacitance.
    Capacitance(Capacitance),
    /// Mass.
    Mass(Mass),
    /// Duration.
    Duration(Duration),
    /// Length.
    Length(Length),
    /// Percentage.
    Percent(Percent),
}

impl Quantity {
    /// Its dimension.
    pub fn dimension(self) -> Dimension {
        match self {
            Self::Gauge(_) | Self::Absolute(_) => Dimension::Pressure,
            Self::Vacuum(_) => Dimension::Vacuum,
            Self::AirPressure(_) => Dimension::AirPressure,
            Self::Temperature(_) => Dimension::Temperature,
            Self::TemperatureDifference(_) => Dimension::TemperatureDifference,
            Self::Voltage(_) => Dimension::Voltage,
            Self::Current(_) => Dimension::Current,
            Self::Power(_) => Dimension::Power,
            Self::Resistance(_) => Dimension::Resistance,
            Self::Capacitance(_) => Dimension::Capacitance,
            Self::Mass(_) => Dimension::Mass,
            Self::Duration(_) => Dimension::Duration,
            Self::Length(_) => Dimension::Length,
            Self::Percent(_) => Dimension::Percent,
        }
    }

    /// The bare SI number: Pa (gauge or absolute as the variant says), K, V, A, W, ohm, F, kg, s,
    /// m, or a plain percentage. For plausibility bounds and plotting, never for arithmetic that
    /// mixes variants.
    pub fn si(self) -> f64 {
        match self {
            Self::Gauge(v) | Self::AirPressure(v) => v.pascal(),
            Self::Absolute(v) => v.pascal(),
            Self::Vacuum(v) => v.pascal(),
            Self::Temperature(v) => v.kelvin(),
            Self::TemperatureDifference(v) => v.kelvin(),
            Self::Voltage(v) => v.volt(),
            Self::Current(v) => v.ampere(),
            Self::Power(v) => v.watt(),
            Self::Resistance(v) => v.ohm(),
            Self::Capacitance(v) => v.farad(),
            Self::Mass(v) => v.kilogram(),
            Self::Duration(v) => v.second(),
            Self::Length(v) => v.metre(),
            Self::Percent(v) => v.percent(),
        }
    }
}

/// Which units computed values are shown in; what was written is always shown as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Display {
    /// °F, psi, lb and oz.
    #[default]
    Us,
    /// °C, kPa, kg.
    Si,
}

impl Display {
    /// `31.9 F` or `-0.1 C`.
    pub fn temperature(self, value: Temperature) -> String {
        match self {
            Self::Us => format!("{} F", fixed(value.fahrenheit(), 1)),
            Self::Si => format!("{} C", fixed(value.celsius(), 1)),
        }
    }

    /// `8.5 F` or `4.7 K`.
    pub fn difference(self, value: TemperatureDifference) -> String {
        match self {
            Self::Us => format!("{} F", fixed(value.fahrenheit(), 1)),
            Self::Si => format!("{} K", fixed(value.kelvin(), 1)),
        }
    }

    /// `286.7 psig` or `1977 kPa`.
    pub fn gauge(self, value: GaugePressure) -> String {
        match self {
            Self::Us => format!("{} psig", fixed(value.psi(), 1)),
            Self::Si => format!("{} kPa", fixed(value.pascal() / 1e3, 0)),
        }
    }

    /// `19 lb 6 oz` or `8.788 kg`.
    pub fn mass(self, value: Mass) -> String {
        match self {
            Self::Us => value.pounds_ounces(),
            Self::Si => format!("{} kg", fixed(value.kilogram(), 3)),
        }
    }
}

/// A number with so many decimals, never `-0`.
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| matches!(b, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

/// A quantity as it was written: the value, the text, and the instrument's last digit.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// The value, SI inside.
    pub quantity: Quantity,
    /// The digits and the unit, as typed (a unit that was assumed is added).
    pub text: String,
    /// One step of the last digit typed, in the SI unit of the quantity.
    pub resolution: f64,
}
