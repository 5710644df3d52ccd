//! Refrigerants: designation, composition, safety class, GWP, saturation, and states off it.
//!
//! The saturation lines are fitted ahead of time (see `data/`) and never extrapolated: a pressure
//! or temperature outside a line gives [`OutOfRange`], which reads as a sentence. Superheat is
//! taken from the dew line and subcooling from the bubble line; for a pure fluid they are one.
//! Density, enthalpy and entropy come from the equation of state ([`State`]).
//!
//! ```
//! use rimebook::quantity::{Atmosphere, GaugePressure};
//! use rimebook::refrigerant::lookup;
//!
//! let blend = lookup("r448a").expect("carried");
//! let suction = GaugePressure::from_psi(40.0).absolute(Atmosphere::SEA_LEVEL);
//! let dew = blend.dew_temperature(suction)?;
//! assert!((dew.fahrenheit() - 16.55).abs() < 0.05);
//! # Ok::<(), rimebook::refrigerant::OutOfRange>(())
//! ```

mod catalogue;
// Generated; some published coefficients look like π.
#[allow(clippy::approx_constant)]
#[rustfmt::skip]
mod data;
mod diagram;
mod equation;
mod out_of_range;
mod saturation;
mod state;

pub use catalogue::{Recognition, lookup, recognise, why_not_carried};
pub use diagram::{Curve as DiagramCurve, Line as DiagramLine, PressureEnthalpy};
pub use out_of_range::OutOfRange;
pub use state::{NoState, Region, State};

use crate::quantity::{AbsolutePressure, Temperature, TemperatureDifference};
use equation::Equation;
use out_of_range::Limits;
use saturation::Curve;
use serde::Serialize;

/// What [`Refrigerant::gwp`] is counted on, for the foot of a report.
pub const GWP_BASIS: &str = "100-year GWP from IPCC AR4 component values \
     (HFO components 4 for R-1234yf and 7 for R-1234ze), mass-weighted and rounded";

/// Smallest glide that matters on site: half a degree Fahrenheit, which is as fine as a clamp
/// thermometer is read.
const GLIDE_THAT_MATTERS: TemperatureDifference = TemperatureDifference::from_kelvin(5.0 / 18.0);

/// Safety group: toxicity (A lower, B higher) and flammability (1, 2L, 2, 3). Source: ASHRAE
/// Standard 34.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub enum SafetyClass {
    /// Lower toxicity, no flame propagation.
    A1,
    /// Lower toxicity, lower flammability, slow burning.
    A2L,
    /// Lower toxicity, lower flammability.
    A2,
    /// Lower toxicity, higher flammability.
    A3,
    /// Higher toxicity, no flame propagation.
    B1,
    /// Higher toxicity, lower flammability, slow burning.
    B2L,
    /// Higher toxicity, lower flammability.
    B2,
    /// Higher toxicity, higher flammability.
    B3,
}

impl SafetyClass {
    /// As printed on a cylinder: `A2L`.
    pub fn name(self) -> &'static str {
        match self {
            Self::A1 => "A1",
            Self::A2L => "A2L",
            Self::A2 => "A2",
            Self::A3 => "A3",
            Self::B1 => "B1",
            Self::B2L => "B2L",
            Self::B2 => "B2",
            Self::B3 => "B3",
        }
    }

    /// Anything but class 1; "mildly flammable" 2L burns too.
    pub fn is_flammable(self) -> bool {
        !matches!(self, Self::A1 | Self::B1)
    }
}

impl std::fmt::Display for SafetyClass {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// Which list of ozone-depleting substances a refrigerant, or a component of it, stands on. Source:
/// Clean Air Act title VI, 40 CFR 82 subpart A, appendices A and B.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub enum OzoneClass {
    /// CFCs and halons.
    ClassI,
    /// HCFCs.
    ClassII,
}

impl OzoneClass {
    /// `class I`.
    pub fn name(self) -> &'static str {
        match self {
            Self::ClassI => "class I",
            Self::ClassII => "class II",
        }
    }
}

/// Global warming potential over 100 years, mass-weighted for a blend and rounded to a whole number
/// above ten; `None` where a component's value is not known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Gwp {
    /// On [`GWP_BASIS`].
    pub ar4: Option<f64>,
    /// As 40 CFR 84 counts it: a component without a listed value is left out.
    pub us: Option<f64>,
    /// As Regulation (EU) 2024/573 counts it.
    pub eu: Option<f64>,
}

/// One refrigerant of the catalogue.
pub struct Refrigerant {
    /// Designation as printed: `R-448A`.
    pub name: &'static str,
    /// Other names it goes by: `propane`.
    pub aliases: &'static [&'static str],
    /// Components and their shares in mass percent; a pure fluid lists itself.
    pub composition: &'static [(&'static str, f64)],
    /// Safety group; `None` where the standard has assigned none.
    pub class: Option<SafetyClass>,
    /// Class of ozone-depleting substance it is or contains; `None` for neither.
    pub ozone: Option<OzoneClass>,
    /// Least share in air at which it burns, kg/m³; `None` where it does not, or is not known.
    pub lower_flammability_limit: Option<f64>,
    /// Global warming potential, by three bases.
    pub gwp: Gwp,
    /// How the blend was estimated, and how far off that may be, where the reference library lacks
    /// a pair of its components.
    pub estimated: Option<&'static str>,
    /// Critical temperature; of a blend, of the mixture at its composition.
    pub critical_temperature: Temperature,
    /// Critical pressure.
    pub critical_pressure: AbsolutePressure,
    bubble: &'static Curve,
    dew: &'static Curve,
    equation: &'static Equation,
}

/// Its name: the whole of an equation of state tells a reader nothing.
impl std::fmt::Debug for Refrigerant {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

/// Two entries are equal when they are the same entry.
impl PartialEq for Refrigerant {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

impl Eq for Refrigerant {}

/// Every refrigerant carried, in the order of their numbers.
pub fn all() -> &'static [Refrigerant] {
    data::REFRIGERANTS
}

impl Refrigerant {
    /// Temperature at which the liquid begins to boil: the one subcooling is counted from.
    ///
    /// # Errors
    /// [`OutOfRange`] outside the saturation line, near or above the critical pressure included.
    pub fn bubble_temperature(
        &self,
        pressure: AbsolutePressure,
    ) -> Result<Temperature, OutOfRange> {
        self.bubble.temperature(pressure, || self.limits())
    }

    /// Half-way between bubble and dew: the one a condenser is judged by.
    ///
    /// # Errors
    /// [`OutOfRange`] where either line has none.
    pub fn mid_point_temperature(
        &self,
        pressure: AbsolutePressure,
    ) -> Result<Temperature, OutOfRange> {
        let bubble = self.bubble_temperature(pressure)?;
        let dew = self.dew_temperature(pressure)?;
        Ok(Temperature::from_kelvin(
            (bubble.kelvin() + dew.kelvin()) / 2.0,
        ))
    }

    /// Temperature at which the last liquid is gone: the one superheat is counted from.
    ///
    /// # Errors
    /// As for [`Refrigerant::bubble_temperature`].
    pub fn dew_temperature(&self, pressure: AbsolutePressure) -> Result<Temperature, OutOfRange> {
        self.dew.temperature(pressure, || self.limits())
    }

    /// Pressure at which liquid of this temperature begins to boil.
    ///
    /// # Errors
    /// [`OutOfRange`] outside the saturation line, near or above the critical temperature included.
    pub fn bubble_pressure(
        &self,
        temperature: Temperature,
    ) -> Result<AbsolutePressure, OutOfRange> {
        self.bubble.pressure(temperature, || self.limits())
    }

    /// Pressure at which vapour of this temperature begins to condense.
    ///
    /// # Errors
    /// As for [`Refrigerant::bubble_pressure`].
    pub fn dew_pressure(&self, temperature: Temperature) -> Result<AbsolutePressure, OutOfRange> {
        self.dew.pressure(temperature, || self.limits())
    }

    /// Glide: dew minus bubble temperature at one pressure. Zero for a pure fluid, never negative.
    ///
    /// # Errors
    /// As for [`Refrigerant::bubble_temperature`], for either line.
    pub fn glide(&self, pressure: AbsolutePressure) -> Result<TemperatureDifference, OutOfRange> {
        if self.is_one_line() {
            self.bubble_temperature(pressure)?;
            return Ok(TemperatureDifference::from_kelvin(0.0));
        }
        let glide = self.dew_temperature(pressure)? - self.bubble_temperature(pressure)?;
        // At an azeotrope the two fitted lines may cross by a fraction of a millikelvin.
        Ok(TemperatureDifference::from_kelvin(glide.kelvin().max(0.0)))
    }

    /// True when bubble and dew differ enough to matter on site (0.5 °F), at one atmosphere or at
    /// the lowest pressure both lines reach: such a blend must be charged as liquid, and using the
    /// wrong line falsifies superheat.
    pub fn has_glide(&self) -> bool {
        let lowest = self.bubble.lowest_pressure.max(self.dew.lowest_pressure);
        let pressure = AbsolutePressure::from_pascal(lowest.max(101_325.0));
        !self.is_one_line()
            && self
                .glide(pressure)
                .is_ok_and(|glide| glide >= GLIDE_THAT_MATTERS)
    }

    /// True for every class but A1 and B1, and where no class is assigned: what is not known to be
    /// safe from fire is handled as if it burnt.
    pub fn is_flammable(&self) -> bool {
        self.class.is_none_or(SafetyClass::is_flammable)
    }

    /// Its safety class as printed, or that there is none.
    pub fn class_name(&self) -> &'static str {
        self.class.map_or("no class assigned", SafetyClass::name)
    }

    /// True when more than one component is mixed.
    pub fn is_blend(&self) -> bool {
        self.composition.len() > 1
    }

    /// Lowest and highest temperature at which saturation is given.
    pub fn temperature_range(&self) -> (Temperature, Temperature) {
        (
            Temperature::from_kelvin(self.bubble.lowest),
            Temperature::from_kelvin(self.bubble.highest),
        )
    }

    /// The highest pressure both saturation lines reach, just under the critical.
    pub fn highest_saturation(&self) -> AbsolutePressure {
        let highest = self.bubble.highest_pressure.min(self.dew.highest_pressure);
        AbsolutePressure::from_pascal(highest)
    }

    fn is_one_line(&self) -> bool {
        std::ptr::eq(self.bubble, self.dew)
    }

    fn limits(&self) -> Limits {
        Limits {
            refrigerant: self.name,
            critical_temperature: self.critical_temperature,
            critical_pressure: self.critical_pressure,
        }
    }
}

impl std::fmt::Display for Refrigerant {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}
