//! Why a saturation value is not given, in sentences.

use crate::quantity::{AbsolutePressure, Temperature};

/// Whose line is asked, and where it ends for good; builds the refusals.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    pub(super) refrigerant: &'static str,
    pub(super) critical_temperature: Temperature,
    pub(super) critical_pressure: AbsolutePressure,
}

/// Ends of a line are given as lowest and highest.
impl Limits {
    pub(super) fn refuse_pressure(self, pascal: f64, (lowest, highest): (f64, f64)) -> OutOfRange {
        let pressure = AbsolutePressure::from_pascal(pascal);
        let Self {
            refrigerant,
            critical_pressure: critical,
            ..
        } = self;
        if !pascal.is_finite() || pascal <= 0.0 {
            OutOfRange::NoPressure {
                refrigerant,
                pressure,
            }
        } else if pressure >= critical {
            OutOfRange::PressureAboveCritical {
                refrigerant,
                pressure,
                critical,
            }
        } else if pascal > highest {
            OutOfRange::PressureNearCritical {
                refrigerant,
                pressure,
                critical,
            }
        } else {
            OutOfRange::PressureBelowTable {
                refrigerant,
                pressure,
                lowest: AbsolutePressure::from_pascal(lowest),
            }
        }
    }

    pub(super) fn refuse_temperature(
        self,
        kelvin: f64,
        (lowest, highest): (f64, f64),
    ) -> OutOfRange {
        let temperature = Temperature::from_kelvin(kelvin);
        let Self {
            refrigerant,
            critical_temperature: critical,
            ..
        } = self;
        if !kelvin.is_finite() || kelvin <= 0.0 {
            OutOfRange::NoTemperature {
                refrigerant,
                temperature,
            }
        } else if temperature >= critical {
            OutOfRange::TemperatureAboveCritical {
                refrigerant,
                temperature,
                critical,
            }
        } else if kelvin > highest {
            OutOfRange::TemperatureNearCritical {
                refrigerant,
                temperature,
                critical,
            }
        } else {
            OutOfRange::TemperatureBelowTable {
                refrigerant,
                temperature,
                lowest: Temperature::from_kelvin(lowest),
            }
        }
    }
}

/// Why no saturation value is given. Displays as a full sentence without a final stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutOfRange {
    /// The pressure is zero, negative or not a number.
    NoPressure {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        pressure: AbsolutePressure,
    },
    /// At or above the critical pressure there is one fluid, neither liquid nor vapour.
    PressureAboveCritical {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        pressure: AbsolutePressure,
        /// Its critical pressure.
        critical: AbsolutePressure,
    },
    /// Below the critical pressure, but where the line is not known well enough.
    PressureNearCritical {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        pressure: AbsolutePressure,
        /// Its critical pressure.
        critical: AbsolutePressure,
    },
    /// Lower than the line begins.
    PressureBelowTable {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        pressure: AbsolutePressure,
        /// Where the line begins.
        lowest: AbsolutePressure,
    },
    /// The temperature is at or below absolute zero or not a number.
    NoTemperature {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        temperature: Temperature,
    },
    /// At or above the critical temperature no pressure makes liquid.
    TemperatureAboveCritical {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        temperature: Temperature,
        /// Its critical temperature.
        critical: Temperature,
    },
    /// Below the critical temperature, but where the line is not known well enough.
    TemperatureNearCritical {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        temperature: Temperature,
        /// Its critical temperature.
        critical: Temperature,
    },
    /// Colder than the line begins.
    TemperatureBelowTable {
        /// Whose line was asked.
        refrigerant: &'static str,
        /// The value asked for.
        temperature: Temperature,
        /// Where the line begins.
        lowest: Temperature,
    },
}

impl std::fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match *self {
            Self::NoPressure {
                refrigerant,
                pressure,
            } => {
                let psia = pressure.psi();
                if psia.is_finite() {
                    write!(
                        f,
                        "{refrigerant} at {psia:.1} psia is at or below a perfect vacuum: \
                         there is no saturation temperature"
                    )
                } else {
                    write!(
                        f,
                        "{refrigerant} has no saturation temperature without a pressure"
                    )
                }
            }
            Self::PressureAboveCritical {
                refrigerant,
                pressure,
                critical,
            } => {
                let (at, limit) = distinct(pressure.psi(), critical.psi());
                write!(
                    f,
                    "{refrigerant} at {at} psia is above its critical pressure ({limit} psia): \
                     there is no saturation temperature"
                )
            }
            Self::PressureNearCritical {
                refrigerant,
                pressure,
                critical,
            } => {
                let (at, limit) = distinct(pressure.psi(), critical.psi());
                write!(
                    f,
                    "{refrigerant} at {at} psia is too near its critical pressure ({limit} psia): \
                     no saturation temperature is given there"
                )
            }
            Self::PressureBelowTable {
                refrigerant,
                pressure,
                lowest,
            } => {
                let (at, limit) = distinct(pressure.psi(), lowest.psi());
                write!(
                    f,
                    "{refrigerant} at {at} psia is below the lowest pressure of its saturation \
                     line ({limit} psia): no saturation temperature is given there"
                )
            }
            Self::NoTemperature {
                refrigerant,
                temperature,
            } => {
                let fahrenheit = temperature.fahrenheit();
                if fahrenheit.is_finite() {
                    write!(
                        f,
                        "{refrigerant} at {fahrenheit:.0} °F is at or below absolute zero: \
                         there is no saturation pressure"
                    )
                } else {
                    write!(
                        f,
                        "{refrigerant} has no saturation pressure without a temperature"
                    )
                }
            }
            Self::TemperatureAboveCritical {
                refrigerant,
                temperature,
                critical,
            } => {
                let (at, limit) = distinct(temperature.fahrenheit(), critical.fahrenheit());
                write!(
                    f,
                    "{refrigerant} at {at} °F is above its critical temperature ({limit} °F): \
                     there is no saturation pressure"
                )
            }
            Self::TemperatureNearCritical {
                refrigerant,
                temperature,
                critical,
            } => {
                let (at, limit) = distinct(temperature.fahrenheit(), critical.fahrenheit());
                write!(
                    f,
                    "{refrigerant} at {at} °F is too near its critical temperature ({limit} °F): \
                     no saturation pressure is given there"
                )
            }
            Self::TemperatureBelowTable {
                refrigerant,
                temperature,
                lowest,
            } => {
                let (at, limit) = distinct(temperature.fahrenheit(), lowest.fahrenheit());
                write!(
                    f,
                    "{refrigerant} at {at} °F is colder than its saturation line begins \
                     ({limit} °F): no saturation pressure is given there"
                )
            }
        }
    }
}

impl std::error::Error for OutOfRange {}

/// Two numbers in as few decimals as tell them apart (three at most): a sentence must not say that
/// 1070 is above 1070. Numbers below 100 keep one decimal at least.
fn distinct(value: f64, limit: f64) -> (String, String) {
    let fewest = usize::from(limit.abs() < 100.0);
    (fewest..=3)
        .map(|decimals| (format!("{value:.decimals$}"), format!("{limit:.decimals$}")))
        .find(|(value, limit)| value != limit)
        .unwrap_or_else(|| (format!("{value:.3}"), format!("{limit:.3}")))
}
