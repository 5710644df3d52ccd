//! Moist air: what a dry bulb and one reading of its moisture say of the air over a coil.
//!
//! The formulas are those of the ASHRAE Handbook of Fundamentals (2017), ch. 1: saturation pressure
//! over ice and over water by Hyland and Wexler, the rest as mixtures of perfect gases. Against
//! tables of real air the humidity ratio is then up to about 0.5 % low (no enhancement factor).
//!
//! They are written out here because no crate was found that does the work: the one looked at,
//! `psychrometry` 0.3.0, has neither wet bulb nor dew point. `tests/psychrometrics.rs` holds every
//! function to psychrolib 2.5.0.
//!
//! ```
//! use rimebook::psychrometrics::MoistAir;
//! use rimebook::quantity::{Atmosphere, Temperature};
//!
//! let air = MoistAir::from_wet_bulb(
//!     Temperature::from_fahrenheit(76.0),
//!     Temperature::from_fahrenheit(64.0),
//!     Atmosphere::SEA_LEVEL.pressure,
//! )?;
//! assert!((air.dew_point().fahrenheit() - 57.2).abs() < 0.1);
//! # Ok::<(), rimebook::psychrometrics::NotAir>(())
//! ```

use crate::quantity::{
    AbsolutePressure, Display, JOULE_PER_KILOGRAM_PER_BTU_PER_POUND, MassFlow, Percent,
    SpecificEnthalpy, Temperature, VolumeFlow, fixed,
};

/// Where the formulas of saturation hold, in °C (ch. 1, eq. 5 and 6).
const RANGE: std::ops::RangeInclusive<f64> = -100.0..=200.0;
/// The formulas over ice and over water meet at the triple point, in °C.
const TRIPLE_POINT: f64 = 0.01;
/// Mass of water in a volume against that of dry air, both as perfect gases (eq. 20).
const WATER_TO_AIR: f64 = 0.621_945;
/// Gas constant of dry air, J/(kg K) (eq. 1).
const GAS_CONSTANT: f64 = 287.042;
/// Specific heat of dry air and of vapour, and heat of evaporation at 0 °C, J/kg (eq. 30).
const AIR_HEAT: f64 = 1006.0;
const VAPOUR_HEAT: f64 = 1860.0;
const EVAPORATION: f64 = 2_501_000.0;

/// Air and the water vapour in it, at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistAir {
    dry_bulb: Temperature,
    humidity_ratio: f64,
    pressure: AbsolutePressure,
}

/// Readings that no air can have; reads as a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotAir {
    /// A wet bulb cannot be warmer than the air.
    WetBulbAboveDryBulb {
        /// Wet bulb.
        wet: Temperature,
        /// Dry bulb.
        dry: Temperature,
    },
    /// Even dry air would not cool the bulb so far.
    WetBulbTooLow {
        /// Wet bulb.
        wet: Temperature,
        /// Dry bulb.
        dry: Temperature,
    },
    /// Moisture would have fallen out before.
    DewPointAboveDryBulb {
        /// Dew point.
        dew: Temperature,
        /// Dry bulb.
        dry: Temperature,
    },
    /// Relative humidity must be above 0 and at most 100 %.
    Humidity(Percent),
    /// Outside −100 to 200 °C, or not a number.
    Temperature(Temperature),
    /// Not above the pressure of the vapour alone, or not a number.
    Pressure(AbsolutePressure),
}

impl NotAir {
    /// The sentence, in the units of the note, without a full stop.
    pub fn sentence(self, display: Display) -> String {
        let shown = |t| display.temperature(t);
        match self {
            Self::WetBulbAboveDryBulb { wet, dry } => format!(
                "a wet bulb of {} is above the dry bulb of {}",
                shown(wet),
                shown(dry)
            ),
            Self::WetBulbTooLow { wet, dry } => format!(
                "a wet bulb of {} is lower than even dry air of {} would have",
                shown(wet),
                shown(dry)
            ),
            Self::DewPointAboveDryBulb { dew, dry } => format!(
                "a dew point of {} is above the dry bulb of {}",
                shown(dew),
                shown(dry)
            ),
            Self::Humidity(humidity) => format!(
                "a relative humidity of {} % is not between 0 and 100 %",
                fixed(humidity.percent(), 1)
            ),
            Self::Temperature(temperature) => format!(
                "{} is outside the range of the formulas for moist air",
                shown(temperature)
            ),
            Self::Pressure(pressure) => format!(
                "a pressure of {} psia is less than the water vapor alone would have",
                fixed(pressure.psi(), 3)
            ),
        }
    }
}

impl std::fmt::Display for NotAir {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.sentence(Display::Us))
    }
}

impl std::error::Error for NotAir {}

impl MoistAir {
    /// From a dry and a wet bulb. A wet bulb below 0 °C is taken as iced.
    ///
    /// # Errors
    /// [`NotAir`] for a wet bulb above the dry bulb or too low for it, and outside the range.
    pub fn from_wet_bulb(
        dry: Temperature,
        wet: Temperature,
        pressure: AbsolutePressure,
    ) -> Result<Self, NotAir> {
        let wet_celsius = in_range(wet)?;
        let dry_celsius = in_range(dry)?;
        if wet.kelvin() > dry.kelvin() {
            return Err(NotAir::WetBulbAboveDryBulb { wet, dry });
        }
        saturated(wet_celsius, pressure)?;
        // 32 F is 0 °C but for the last bit.
        let iced = wet_celsius < -1e-9;
        let ratio = at_wet_bulb(dry_celsius, wet_celsius, iced, pressure);
        Self::of(dry, ratio, pressure).ok_or(NotAir::WetBulbTooLow { wet, dry })
    }

    /// From a dry bulb and the relative humidity; below 0 °C that is against saturation over ice.
    ///
    /// # Errors
    /// [`NotAir`] for a humidity of nothing or above 100 %, and outside the range.
    pub fn from_relative_humidity(
        dry: Temperature,
        humidity: Percent,
        pressure: AbsolutePressure,
    ) -> Result<Self, NotAir> {
        let celsius = in_range(dry)?;
        let share = humidity.percent() / 100.0;
        if !(share > 0.0 && share <= 1.0) {
            return Err(NotAir::Humidity(humidity));
        }
        let ratio = ratio_of(share * saturation_pressure(celsius), pressure)?;
        Self::of(dry, ratio, pressure).ok_or(NotAir::Humidity(humidity))
    }

    /// From a dry bulb and the dew point (below 0 °C the frost point).
    ///
    /// # Errors
    /// [`NotAir`] for a dew point above the dry bulb, and outside the range.
    pub fn from_dew_point(
        dry: Temperature,
        dew: Temperature,
        pressure: AbsolutePressure,
    ) -> Result<Self, NotAir> {
        let celsius = in_range(dew)?;
        in_range(dry)?;
        if dew.kelvin() > dry.kelvin() {
            return Err(NotAir::DewPointAboveDryBulb { dew, dry });
        }
        let ratio = saturated(celsius, pressure)?;
        Self::of(dry, ratio, pressure).ok_or(NotAir::Temperature(dew))
    }

    /// `None` when there is less vapour than the formulas reach down to.
    fn of(dry_bulb: Temperature, humidity_ratio: f64, pressure: AbsolutePressure) -> Option<Self> {
        let driest = ratio_of(saturation_pressure(*RANGE.start()), pressure).ok()?;
        (humidity_ratio >= driest).then_some(Self {
            dry_bulb,
            humidity_ratio,
            pressure,
        })
    }

    /// Dry bulb.
    pub fn dry_bulb(&self) -> Temperature {
        self.dry_bulb
    }

    /// Kilogram of water vapour to a kilogram of dry air.
    pub fn humidity_ratio(&self) -> f64 {
        self.humidity_ratio
    }

    /// Pressure of the vapour against that of saturation at the dry bulb.
    pub fn relative_humidity(&self) -> Percent {
        let share = self.vapour_pressure() / saturation_pressure(self.dry_bulb.celsius());
        Percent::from_percent((100.0 * share).min(100.0))
    }

    /// Temperature at which moisture begins to fall out; below 0 °C that of frost.
    pub fn dew_point(&self) -> Temperature {
        let vapour = self.vapour_pressure();
        solve(*RANGE.start(), self.dry_bulb.celsius(), |t| {
            saturation_pressure(t) - vapour
        })
    }

    /// The thermodynamic wet bulb. In dry air of 0 to 10 °C both an iced bulb a little below 0 °C
    /// and a wet one a little above it fit; the wet one is given.
    pub fn wet_bulb(&self) -> Temperature {
        let dry = self.dry_bulb.celsius();
        let away = |wet, iced| at_wet_bulb(dry, wet, iced, self.pressure) - self.humidity_ratio;
        if dry >= 0.0 && away(0.0, false) <= 0.0 {
            solve(0.0, dry, |wet| away(wet, false))
        } else {
            solve(*RANGE.start(), dry.min(0.0), |wet| away(wet, true))
        }
    }

    /// Joule in the air that has one kilogram of dry air in it, counted from dry air and liquid
    /// water at 0 °C.
    pub fn enthalpy(&self) -> SpecificEnthalpy {
        SpecificEnthalpy::from_joule_per_kilogram(enthalpy(
            self.dry_bulb.celsius(),
            self.humidity_ratio,
        ))
    }

    /// Cubic metre that one kilogram of dry air takes up, with its moisture.
    pub fn specific_volume(&self) -> f64 {
        GAS_CONSTANT * self.dry_bulb.kelvin() * (1.0 + self.humidity_ratio / WATER_TO_AIR)
            / self.pressure.pascal()
    }

    /// Dry air that passes with a flow of this air.
    pub fn dry_air_flow(&self, flow: VolumeFlow) -> MassFlow {
        MassFlow::from_kilogram_per_second(flow.cubic_metre_per_second() / self.specific_volume())
    }

    /// What was taken out of this air when it has become `leaving`; negative where heat was added.
    pub fn heat_removed(&self, leaving: &MoistAir) -> HeatRemoved {
        let entering = self.enthalpy().joule_per_kilogram();
        let dried = enthalpy(self.dry_bulb.celsius(), leaving.humidity_ratio);
        let left = leaving.enthalpy().joule_per_kilogram();
        let of = SpecificEnthalpy::from_joule_per_kilogram;
        HeatRemoved {
            total: of(entering - left),
            sensible: of(dried - left),
            latent: of(entering - dried),
        }
    }

    fn vapour_pressure(&self) -> f64 {
        self.pressure.pascal() * self.humidity_ratio / (WATER_TO_AIR + self.humidity_ratio)
    }
}

/// Heat taken from air over a coil, per kilogram of dry air.
///
/// The air is thought dried at its entering temperature, then cooled. What the drained water takes
/// along, less than 2 % of the latent part, is left in it. Times a [`MassFlow`] of dry air each part is
/// a capacity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatRemoved {
    /// All of it.
    pub total: SpecificEnthalpy,
    /// By cooling.
    pub sensible: SpecificEnthalpy,
    /// By drying.
    pub latent: SpecificEnthalpy,
}

impl HeatRemoved {
    /// Sensible against total heat; `None` unless heat was removed on the whole.
    pub fn sensible_heat_ratio(&self) -> Option<f64> {
        let total = self.total.joule_per_kilogram();
        (total > 0.0).then(|| self.sensible.joule_per_kilogram() / total)
    }
}

/// Enthalpy of moist air as charts in Btu and pounds give it: they count dry air from 0 °F, where
/// metric ones count it from 0 °C. Not for differences.
pub fn btu_per_pound(enthalpy: SpecificEnthalpy) -> f64 {
    let from_zero_fahrenheit = AIR_HEAT * 32.0 * 5.0 / 9.0;
    (enthalpy.joule_per_kilogram() + from_zero_fahrenheit) / JOULE_PER_KILOGRAM_PER_BTU_PER_POUND
}

fn in_range(temperature: Temperature) -> Result<f64, NotAir> {
    let celsius = temperature.celsius();
    if RANGE.contains(&celsius) {
        Ok(celsius)
    } else {
        Err(NotAir::Temperature(temperature))
    }
}

/// Pressure of saturated vapour, over ice up to the triple point and over water above it, in Pa.
fn saturation_pressure(celsius: f64) -> f64 {
    let t = celsius + 273.15;
    let logarithm = if celsius <= TRIPLE_POINT {
        // eq. 5
        -5.674_535_9e3 / t + 6.392_524_7 - 9.677_843e-3 * t
            + 6.221_570_1e-7 * t.powi(2)
            + 2.074_782_5e-9 * t.powi(3)
            - 9.484_024e-13 * t.powi(4)
            + 4.163_501_9 * t.ln()
    } else {
        // eq. 6
        -5.800_220_6e3 / t + 1.391_499_3 - 4.864_023_9e-2 * t + 4.176_476_8e-5 * t.powi(2)
            - 1.445_209_3e-8 * t.powi(3)
            + 6.545_967_3 * t.ln()
    };
    logarithm.exp()
}

/// Humidity ratio of a vapour pressure (eq. 20).
fn ratio_of(vapour: f64, pressure: AbsolutePressure) -> Result<f64, NotAir> {
    let air = pressure.pascal() - vapour;
    if air > 0.0 && air.is_finite() {
        Ok(WATER_TO_AIR * vapour / air)
    } else {
        Err(NotAir::Pressure(pressure))
    }
}

/// Humidity ratio of saturated air.
fn saturated(celsius: f64, pressure: AbsolutePressure) -> Result<f64, NotAir> {
    ratio_of(saturation_pressure(celsius), pressure)
}

/// Humidity ratio from a wet bulb (eq. 33, and 35 for an iced one); negative where none fits.
fn at_wet_bulb(dry: f64, wet: f64, iced: bool, pressure: AbsolutePressure) -> f64 {
    // Near boiling a search may pass where no air is left; more moisture than any is right there.
    let Ok(saturated) = saturated(wet, pressure) else {
        return f64::INFINITY;
    };
    let (evaporation, slope, water) = if iced {
        (2830.0, 0.24, 2.1)
    } else {
        (2501.0, 2.326, 4.186)
    };
    ((evaporation - slope * wet) * saturated - 1.006 * (dry - wet))
        / (evaporation + 1.86 * dry - water * wet)
}

/// Enthalpy of air with one kilogram of dry air in it, J (eq. 30).
fn enthalpy(celsius: f64, ratio: f64) -> f64 {
    AIR_HEAT * celsius + ratio * (EVAPORATION + VAPOUR_HEAT * celsius)
}

/// The temperature between two, in °C, at which a rising function is zero.
fn solve(mut low: f64, mut high: f64, function: impl Fn(f64) -> f64) -> Temperature {
    // 300 K halved 40 times is less than a nanokelvin.
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if function(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Temperature::from_celsius(high)
}
