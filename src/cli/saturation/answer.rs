//! What the saturation lines say of one value.

use super::question::{At, Value};
use crate::quantity::{AbsolutePressure, Temperature, TemperatureDifference};
use crate::refrigerant::{OutOfRange, Refrigerant};

/// The answer to one value.
pub(super) struct Answer<'q> {
    pub value: &'q Value,
    pub found: Found,
}

/// What was looked for. A line may end before the other does, so each answers for itself.
pub(super) enum Found {
    /// Temperatures of a pressure.
    Temperatures {
        pressure: AbsolutePressure,
        bubble: Result<Temperature, OutOfRange>,
        dew: Result<Temperature, OutOfRange>,
    },
    /// Pressures of a temperature.
    Pressures {
        temperature: Temperature,
        bubble: Result<AbsolutePressure, OutOfRange>,
        dew: Result<AbsolutePressure, OutOfRange>,
        /// Where the mean of bubble and dew is the temperature.
        middle: Option<AbsolutePressure>,
    },
}

impl<'q> Answer<'q> {
    pub fn of(value: &'q Value) -> Self {
        let refrigerant = value.refrigerant;
        let found = match value.at {
            At::Pressure(pressure) => Found::Temperatures {
                pressure,
                bubble: refrigerant.bubble_temperature(pressure),
                dew: refrigerant.dew_temperature(pressure),
            },
            At::Temperature(temperature) => {
                let bubble = refrigerant.bubble_pressure(temperature);
                let dew = refrigerant.dew_pressure(temperature);
                let middle = match (bubble, dew) {
                    (Ok(bubble), Ok(dew)) => middle(refrigerant, temperature, bubble, dew),
                    _ => None,
                };
                Found::Pressures {
                    temperature,
                    bubble,
                    dew,
                    middle,
                }
            }
        };
        Self { value, found }
    }

    /// Why a line gives no value; the dew line's reason where both have one.
    pub fn refused(&self) -> Option<OutOfRange> {
        match self.found {
            Found::Temperatures { bubble, dew, .. } => dew.err().or(bubble.err()),
            Found::Pressures { bubble, dew, .. } => dew.err().or(bubble.err()),
        }
    }

    /// Glide at the pressure asked, or at that of the mid-point.
    pub fn glide(&self) -> Option<TemperatureDifference> {
        let pressure = match self.found {
            Found::Temperatures { pressure, .. } => pressure,
            Found::Pressures { middle, .. } => middle?,
        };
        self.value.refrigerant.glide(pressure).ok()
    }
}

/// The mean of two temperatures.
pub(super) fn mean(a: Temperature, b: Temperature) -> Temperature {
    Temperature::from_kelvin((a.kelvin() + b.kelvin()) / 2.0)
}

/// The pressure whose bubble and dew temperature have this mean; it lies between the dew and the
/// bubble pressure of it, so halving finds it.
fn middle(
    refrigerant: &Refrigerant,
    temperature: Temperature,
    bubble: AbsolutePressure,
    dew: AbsolutePressure,
) -> Option<AbsolutePressure> {
    let (mut low, mut high) = (dew.pascal(), bubble.pascal());
    // A hundredth of a pascal is far below what any gauge or the lines themselves resolve.
    while high - low > 0.01 {
        let between = AbsolutePressure::from_pascal((low + high) / 2.0);
        let at = mean(
            refrigerant.bubble_temperature(between).ok()?,
            refrigerant.dew_temperature(between).ok()?,
        );
        if at < temperature {
            low = between.pascal();
        } else {
            high = between.pascal();
        }
    }
    Some(AbsolutePressure::from_pascal((low + high) / 2.0))
}
