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
    Capacitance, Current, Density, Duration, Length, MassFlow, Percent, Power, Resistance,
    SpecificEnthalpy, SpecificEntropy, Temperature, TemperatureDifference, Voltage, VolumeFlow,
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
    /// Air or gas passing in a time.
    VolumeFlow,
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
            Self::VolumeFlow => "volume flow",
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
    /// Volume flow.
    VolumeFlow(VolumeFlow),
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
            Self::VolumeFlow(_) => Dimension::VolumeFlow,
        }
    }

    /// The bare SI number: Pa (gauge or absolute as the variant says), K, V, A, W, ohm, F, kg, s,
    /// m, m³/s, or a plain percentage. For plausibility bounds and plotting, never for arithmetic that
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
            Self::VolumeFlow(v) => v.cubic_metre_per_second(),
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

    /// The bare degrees.
    pub fn degrees(self, value: Temperature) -> f64 {
        match self {
            Self::Us => value.fahrenheit(),
            Self::Si => value.celsius(),
        }
    }

    /// `°F` or `°C`.
    pub fn degree_sign(self) -> &'static str {
        match self {
            Self::Us => "°F",
            Self::Si => "°C",
        }
    }

    /// `8.5 F` or `4.7 K`.
    pub fn difference(self, value: TemperatureDifference) -> String {
        match self {
            Self::Us => format!("{} F", fixed(value.fahrenheit(), 1)),
            Self::Si => format!("{} K", fixed(value.kelvin(), 1)),
        }
    }

    /// `152 to 176 F` or `67 to 80 C`.
    pub fn temperature_band(self, low: Temperature, high: Temperature) -> String {
        match self {
            Self::Us => format!(
                "{} to {} F",
                fixed(low.fahrenheit(), 0),
                fixed(high.fahrenheit(), 0)
            ),
            Self::Si => format!(
                "{} to {} C",
                fixed(low.celsius(), 0),
                fixed(high.celsius(), 0)
            ),
        }
    }

    /// `51.3 psia` or `354 kPa abs`.
    pub fn absolute(self, value: AbsolutePressure) -> String {
        match self {
            Self::Us => format!("{} psia", fixed(value.psi(), 1)),
            Self::Si => format!("{} kPa abs", fixed(value.pascal() / 1e3, 0)),
        }
    }

    /// `1.06 lb/ft3` or `17.0 kg/m3`: three figures.
    pub fn density(self, value: Density) -> String {
        let (value, unit) = match self {
            Self::Us => (
                value.kilogram_per_cubic_metre() * CUBIC_METRE_PER_CUBIC_FOOT / 0.453_592_37,
                "lb/ft3",
            ),
            Self::Si => (value.kilogram_per_cubic_metre(), "kg/m3"),
        };
        let decimals = match value {
            v if v < 1.0 => 3,
            v if v < 10.0 => 2,
            v if v < 100.0 => 1,
            _ => 0,
        };
        format!("{} {unit}", fixed(value, decimals))
    }

    /// `61.4 Btu/lb` or `142.8 kJ/kg`.
    pub fn enthalpy(self, value: SpecificEnthalpy) -> String {
        let joule_per_kilogram = value.joule_per_kilogram();
        match self {
            Self::Us => format!(
                "{} Btu/lb",
                fixed(joule_per_kilogram / JOULE_PER_KILOGRAM_PER_BTU_PER_POUND, 1)
            ),
            Self::Si => format!("{} kJ/kg", fixed(joule_per_kilogram / 1e3, 1)),
        }
    }

    /// `412 lb/h` or `187 kg/h`.
    pub fn mass_flow(self, value: MassFlow) -> String {
        let kilogram_per_hour = value.kilogram_per_second() * 3600.0;
        match self {
            Self::Us => format!("{} lb/h", fixed(kilogram_per_hour / 0.453_592_37, 0)),
            Self::Si => format!("{} kg/h", fixed(kilogram_per_hour, 0)),
        }
    }

    /// `24100 Btu/h` or `7.06 kW`.
    pub fn heat(self, value: Power) -> String {
        match self {
            // To three figures: no field reading is finer.
            Self::Us => {
                let btu = value.watt() / WATT_PER_BTU_PER_HOUR;
                format!("{} Btu/h", fixed((btu / 100.0).round() * 100.0, 0))
            }
            Self::Si => format!("{} kW", fixed(value.watt() / 1e3, 2)),
        }
    }

    /// `286.7 psig` or `1977 kPa`.
    pub fn gauge(self, value: GaugePressure) -> String {
        match self {
            Self::Us => format!("{} psig", fixed(value.psi(), 1)),
            Self::Si => format!("{} kPa", fixed(value.pascal() / 1e3, 0)),
        }
    }

    /// The last digit that [`Display::mass`] shows: a tenth of an ounce, or a gram.
    pub fn mass_step(self) -> Mass {
        match self {
            Self::Us => Mass::from_number(Number::integer(1), Mass::PICOGRAM_PER_OUNCE / 10),
            Self::Si => Mass::from_number(Number::integer(1), Mass::PICOGRAM_PER_GRAM),
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

/// One cubic foot in cubic metre.
const CUBIC_METRE_PER_CUBIC_FOOT: f64 = 0.028_316_846_592;
/// One Btu per pound in joule per kilogram, by the definition of the international-table Btu.
pub const JOULE_PER_KILOGRAM_PER_BTU_PER_POUND: f64 = 2326.0;
/// One Btu an hour in watt, on the same Btu.
pub const WATT_PER_BTU_PER_HOUR: f64 = 2326.0 * 0.453_592_37 / 3600.0;

/// A number for a machine, to so many significant digits: more would only show in which order a
/// processor's mathematics library rounds.
pub fn significant(value: f64, digits: usize) -> f64 {
    format!("{value:.*e}", digits - 1).parse().unwrap_or(value)
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
