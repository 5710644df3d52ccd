//! States of a refrigerant: pressure, temperature, density, enthalpy and entropy together.
//!
//! Single phases come from the equation of state. Under the dome a state lies between the saturated
//! liquid and the saturated vapour of its pressure; for a blend with glide its temperature and its
//! share of vapour are then taken as straight in enthalpy between the two. The true lines bow: at
//! 1.5 to 6 bar by up to 2.5 points of share and 0.5 K for R-448A, 6 points and 1.7 K for R-455A
//! (CoolProp 8.0.0; some of it in the tests). Enthalpy itself is exact.

use super::equation::{Isotherm, Side};
use super::{OutOfRange, Refrigerant};
use crate::quantity::{
    AbsolutePressure, Density, SpecificEnthalpy, SpecificEntropy, Temperature,
    TemperatureDifference,
};

/// Nothing is computed hotter than this, in K: no sound compressor's gas is; nor more than so many
/// kelvin above the highest saturation temperature, where that is higher.
const HIGHEST: f64 = 523.15;
const ABOVE_SATURATION: f64 = 80.0;
/// How far a measured state may lie on the wrong side of its saturation line and still be put on
/// it: ten times what the fitted line may be off by.
const ON_THE_LINE: f64 = 0.01;
/// Where the search for a temperature ends, K.
const LAST_STEP: f64 = 1e-6;

/// Which kind of fluid a state is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Region {
    /// Liquid below its bubble point, or on it.
    Liquid,
    /// Liquid and vapour together; the share of vapour by mass.
    TwoPhase(f64),
    /// Vapour above its dew point, or on it.
    Vapour,
    /// Above the critical pressure: one fluid, that neither boils nor condenses.
    Supercritical,
}

/// One state of a refrigerant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Absolute pressure.
    pub pressure: AbsolutePressure,
    /// Temperature.
    pub temperature: Temperature,
    /// Density.
    pub density: Density,
    /// Enthalpy; 200 kJ/kg for saturated liquid at 0 °C (IIR convention).
    pub enthalpy: SpecificEnthalpy,
    /// Entropy; 1 kJ/(kg K) there.
    pub entropy: SpecificEntropy,
    /// What the fluid is.
    pub region: Region,
}

/// Why no state is given. Displays as a sentence without a final stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoState {
    /// The pressure or temperature is outside what is known of the saturation line.
    Saturation(OutOfRange),
    /// Vapour was asked for, but the fluid is colder than its dew point: partly liquid.
    Wet {
        /// Whose.
        refrigerant: &'static str,
        /// How far below.
        below_dew: TemperatureDifference,
    },
    /// Liquid was asked for, but the fluid is warmer than its bubble point: partly vapour.
    Flashing {
        /// Whose.
        refrigerant: &'static str,
        /// How far above.
        above_bubble: TemperatureDifference,
    },
    /// Hotter, colder, or under more pressure than the equation is used for.
    Beyond {
        /// Whose.
        refrigerant: &'static str,
        /// How hot it may be.
        highest: Temperature,
    },
}

impl From<OutOfRange> for NoState {
    fn from(error: OutOfRange) -> Self {
        Self::Saturation(error)
    }
}

impl std::fmt::Display for NoState {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Saturation(error) => error.fmt(f),
            Self::Wet {
                refrigerant,
                below_dew,
            } => write!(
                f,
                "{refrigerant} is {:.1} F colder there than its dew point: it is not all vapor, \
                 and how much liquid it carries cannot be told from pressure and temperature",
                below_dew.fahrenheit()
            ),
            Self::Flashing {
                refrigerant,
                above_bubble,
            } => write!(
                f,
                "{refrigerant} is {:.1} F warmer there than its bubble point: it is not all \
                 liquid, and how much vapor it carries cannot be told from pressure and \
                 temperature",
                above_bubble.fahrenheit()
            ),
            Self::Beyond {
                refrigerant,
                highest,
            } => write!(
                f,
                "{refrigerant} is outside the range its equation of state is used in (up to {:.0} F)",
                highest.fahrenheit()
            ),
        }
    }
}

impl std::error::Error for NoState {}

impl Refrigerant {
    /// Vapour on its dew line.
    ///
    /// # Errors
    /// [`NoState::Saturation`] where the line does not reach.
    pub fn saturated_vapour(&self, pressure: AbsolutePressure) -> Result<State, NoState> {
        let dew = self.dew_temperature(pressure)?;
        self.single_phase(pressure, dew, Region::Vapour)
    }

    /// Liquid on its bubble line.
    ///
    /// # Errors
    /// As for [`Refrigerant::saturated_vapour`].
    pub fn saturated_liquid(&self, pressure: AbsolutePressure) -> Result<State, NoState> {
        let bubble = self.bubble_temperature(pressure)?;
        self.single_phase(pressure, bubble, Region::Liquid)
    }

    /// Vapour at a measured pressure and temperature: at the dew point or above.
    ///
    /// # Errors
    /// [`NoState::Wet`] below the dew point.
    pub fn vapour(
        &self,
        pressure: AbsolutePressure,
        temperature: Temperature,
    ) -> Result<State, NoState> {
        if self.is_supercritical(pressure) {
            return self.single_phase(pressure, temperature, Region::Supercritical);
        }
        let dew = self.dew_temperature(pressure)?;
        let below_dew = dew - temperature;
        if below_dew.kelvin() > ON_THE_LINE {
            return Err(NoState::Wet {
                refrigerant: self.name,
                below_dew,
            });
        }
        let temperature = if temperature < dew { dew } else { temperature };
        self.single_phase(pressure, temperature, Region::Vapour)
    }

    /// Liquid at a measured pressure and temperature: at the bubble point or below. Above the
    /// critical pressure, the dense fluid leaving a gas cooler.
    ///
    /// # Errors
    /// [`NoState::Flashing`] above the bubble point.
    pub fn liquid(
        &self,
        pressure: AbsolutePressure,
        temperature: Temperature,
    ) -> Result<State, NoState> {
        if self.is_supercritical(pressure) {
            return self.single_phase(pressure, temperature, Region::Supercritical);
        }
        let bubble = self.bubble_temperature(pressure)?;
        let above_bubble = temperature - bubble;
        if above_bubble.kelvin() > ON_THE_LINE {
            return Err(NoState::Flashing {
                refrigerant: self.name,
                above_bubble,
            });
        }
        let temperature = if temperature > bubble {
            bubble
        } else {
            temperature
        };
        self.single_phase(pressure, temperature, Region::Liquid)
    }

    /// The state of this enthalpy: what a throttle leaves behind it, two phases together as a rule.
    ///
    /// # Errors
    /// [`NoState`] where the fluid of that enthalpy is out of range.
    pub fn at_enthalpy(
        &self,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<State, NoState> {
        self.where_equal(pressure, enthalpy.joule_per_kilogram(), |state| {
            state.enthalpy.joule_per_kilogram()
        })
    }

    /// The state of this entropy: where a compressor without losses and without cooling would end.
    ///
    /// # Errors
    /// As for [`Refrigerant::at_enthalpy`].
    pub fn at_entropy(
        &self,
        pressure: AbsolutePressure,
        entropy: SpecificEntropy,
    ) -> Result<State, NoState> {
        self.where_equal(pressure, entropy.joule_per_kilogram_kelvin(), |state| {
            state.entropy.joule_per_kilogram_kelvin()
        })
    }

    /// True at or above the critical pressure, where nothing condenses.
    pub fn is_supercritical(&self, pressure: AbsolutePressure) -> bool {
        pressure >= self.critical_pressure
    }

    /// The state where `property`, which rises with temperature, has this value.
    fn where_equal(
        &self,
        pressure: AbsolutePressure,
        value: f64,
        property: fn(&State) -> f64,
    ) -> Result<State, NoState> {
        if !value.is_finite() {
            return Err(self.beyond());
        }
        let lowest = self.temperature_range().0.kelvin();
        if self.is_supercritical(pressure) {
            return self.search(
                pressure,
                value,
                property,
                Region::Supercritical,
                lowest,
                self.highest(),
            );
        }
        let (liquid, vapour) = (
            self.saturated_liquid(pressure)?,
            self.saturated_vapour(pressure)?,
        );
        let (low, high) = (property(&liquid), property(&vapour));
        if value < low {
            let bubble = liquid.temperature.kelvin();
            return self.search(pressure, value, property, Region::Liquid, lowest, bubble);
        }
        if value > high {
            let dew = vapour.temperature.kelvin();
            return self.search(
                pressure,
                value,
                property,
                Region::Vapour,
                dew,
                self.highest(),
            );
        }
        Ok(mixed(&liquid, &vapour, (value - low) / (high - low)))
    }

    /// Finds the temperature between two bounds by chords; a bound that stays put twice counts
    /// half (the Illinois rule), so that both ends close in.
    fn search(
        &self,
        pressure: AbsolutePressure,
        value: f64,
        property: fn(&State) -> f64,
        region: Region,
        mut low: f64,
        mut high: f64,
    ) -> Result<State, NoState> {
        let at =
            |kelvin: f64| self.single_phase(pressure, Temperature::from_kelvin(kelvin), region);
        let mut low_off = property(&at(low)?) - value;
        let mut high_off = property(&at(high)?) - value;
        if low_off > 0.0 || high_off < 0.0 {
            return Err(self.beyond());
        }
        let mut last_was_low = None;
        loop {
            let kelvin = (low * high_off - high * low_off) / (high_off - low_off);
            let state = at(kelvin)?;
            let off = property(&state) - value;
            let is_low = off < 0.0;
            let moved = if is_low { kelvin - low } else { high - kelvin };
            if moved < LAST_STEP || off == 0.0 {
                return Ok(state);
            }
            let stays = last_was_low == Some(is_low);
            if is_low {
                (low, low_off) = (kelvin, off);
                high_off *= if stays { 0.5 } else { 1.0 };
            } else {
                (high, high_off) = (kelvin, off);
                low_off *= if stays { 0.5 } else { 1.0 };
            }
            last_was_low = Some(is_low);
        }
    }

    fn beyond(&self) -> NoState {
        NoState::Beyond {
            refrigerant: self.name,
            highest: Temperature::from_kelvin(self.highest()),
        }
    }

    fn highest(&self) -> f64 {
        HIGHEST.max(self.temperature_range().1.kelvin() + ABOVE_SATURATION)
    }

    /// A single phase at pressure and temperature, on the side the region says.
    fn single_phase(
        &self,
        pressure: AbsolutePressure,
        temperature: Temperature,
        region: Region,
    ) -> Result<State, NoState> {
        let (kelvin, pascal) = (temperature.kelvin(), pressure.pascal());
        let lowest = self.temperature_range().0.kelvin();
        // Written so that a NaN is refused too.
        if !(kelvin >= lowest && kelvin <= self.highest() && pascal > 0.0) {
            return Err(self.beyond());
        }
        let side = match region {
            Region::Liquid => Side::Liquid,
            Region::Supercritical if kelvin < self.critical_temperature.kelvin() => Side::Liquid,
            _ => Side::Vapour,
        };
        let isotherm = Isotherm::new(self.equation, kelvin);
        let density = isotherm
            .density(pascal, side)
            .ok_or_else(|| self.beyond())?;
        let (enthalpy, entropy) = isotherm.enthalpy_and_entropy(density);
        Ok(State {
            pressure,
            temperature,
            density: Density::from_kilogram_per_cubic_metre(density * self.equation.molar_mass),
            enthalpy: SpecificEnthalpy::from_joule_per_kilogram(enthalpy),
            entropy: SpecificEntropy::from_joule_per_kilogram_kelvin(entropy),
            region,
        })
    }
}

/// A state between saturated liquid and vapour of one pressure.
fn mixed(liquid: &State, vapour: &State, share: f64) -> State {
    let between = |a: f64, b: f64| a + share * (b - a);
    let volume = between(
        1.0 / liquid.density.kilogram_per_cubic_metre(),
        1.0 / vapour.density.kilogram_per_cubic_metre(),
    );
    State {
        pressure: liquid.pressure,
        temperature: Temperature::from_kelvin(between(
            liquid.temperature.kelvin(),
            vapour.temperature.kelvin(),
        )),
        density: Density::from_kilogram_per_cubic_metre(1.0 / volume),
        enthalpy: SpecificEnthalpy::from_joule_per_kilogram(between(
            liquid.enthalpy.joule_per_kilogram(),
            vapour.enthalpy.joule_per_kilogram(),
        )),
        entropy: SpecificEntropy::from_joule_per_kilogram_kelvin(between(
            liquid.entropy.joule_per_kilogram_kelvin(),
            vapour.entropy.joule_per_kilogram_kelvin(),
        )),
        region: Region::TwoPhase(share),
    }
}
