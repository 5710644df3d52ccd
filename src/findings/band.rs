//! What a unit should do: the bands that values are judged against, each with its basis.

use crate::derive::{Derived, current};
use crate::model::{Expansion, Job, Value};
use crate::quantity::TemperatureDifference;
use crate::vocabulary::{Point, State, fold};

use super::Case;

/// What kind of duty the unit has, read off the words of its `unit` line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Application {
    /// Freezers, ice cream.
    LowTemperature,
    /// Coolers, cases.
    MediumTemperature,
    /// Air conditioning.
    AirConditioning,
    /// Not told.
    Unknown,
}

/// The duty of the job's unit.
pub fn application(job: &Job) -> Application {
    let Some(tag) = &job.unit.tag else {
        return Application::Unknown;
    };
    let folded = fold(&tag.node);
    let has = |words: &[&str]| words.iter().any(|w| folded.contains(w));
    if has(&["freezer", "ice cream", "low temp", "frozen"]) {
        Application::LowTemperature
    } else if has(&[
        "cooler",
        "case",
        "refrigerator",
        "medium temp",
        "reach in",
        "walk in",
        "prep",
        "bottle",
        "merchandiser",
    ]) {
        Application::MediumTemperature
    } else if has(&[
        "rooftop",
        "roof top",
        "rtu",
        "air condition",
        "split",
        "heat pump",
        "chiller",
        "a c",
    ]) {
        Application::AirConditioning
    } else {
        Application::Unknown
    }
}

/// A range with where it comes from.
pub struct Band {
    /// Lowest and highest value that is not remarkable, Fahrenheit degrees of difference.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// Its basis, in words.
    pub basis: String,
}

impl Band {
    fn practice(low: f64, high: f64, what: &str) -> Self {
        Self {
            low,
            high,
            basis: format!("usual for {what}, common practice"),
        }
    }

    fn around(target: TemperatureDifference, allowance: f64) -> Self {
        let target = target.fahrenheit();
        Self {
            low: target - allowance,
            high: target + allowance,
            basis: format!("target {target:.0} F in the note, ± {allowance:.0} F"),
        }
    }
}

/// Superheat at the evaporator outlet.
pub fn superheat(job: &Job) -> Band {
    if let Some(target) = job.unit.target_superheat {
        return Band::around(target, 4.0);
    }
    match job.unit.metering.expansion {
        Some(Expansion::Orifice | Expansion::Capillary) => {
            Band::practice(2.0, 30.0, "a fixed restriction, by load")
        }
        Some(Expansion::Txv | Expansion::Eev) => Band::practice(3.0, 15.0, "an expansion valve"),
        None => Band::practice(2.0, 25.0, "any expansion device"),
    }
}

/// Subcooling at the liquid line.
pub fn subcooling(job: &Job) -> Band {
    if let Some(target) = job.unit.target_subcooling {
        return Band::around(target, 4.0);
    }
    match (job.unit.metering.receiver, job.unit.metering.expansion) {
        (Some(true), _) => Band::practice(0.5, 20.0, "a unit with a receiver"),
        (_, Some(Expansion::Txv | Expansion::Eev)) => {
            Band::practice(4.0, 20.0, "an expansion valve without a receiver")
        }
        _ => Band::practice(2.0, 22.0, "a unit whose liquid feed is not stated"),
    }
}

/// Evaporator TD.
pub fn td(job: &Job) -> Band {
    if let Some(design) = job.unit.design_td {
        return Band::around(design, 5.0);
    }
    match application(job) {
        Application::AirConditioning => Band::practice(25.0, 45.0, "air conditioning"),
        _ => Band::practice(4.0, 22.0, "refrigeration"),
    }
}

/// True when a value belongs to a moment at which the compressor was seen not to run: pressures at
/// rest say nothing of superheat or ratio.
pub fn at_rest(case: &Case<'_>, value: &Derived) -> bool {
    let same = |r: &&crate::model::Reading| r.visit == value.visit && r.phase == value.phase;
    let near = |r: &&crate::model::Reading| match (r.at, value.at) {
        (Some(a), Some(b)) => (a.0 - b.0).abs() <= crate::derive::WINDOW_MINUTES,
        _ => true,
    };
    let stopped = case
        .bench
        .at(Point::Compressor)
        .filter(same)
        .filter(near)
        .any(|r| matches!(r.value, Value::Seen(State::Off | State::Tripped)));
    let mut amps = case
        .bench
        .at(Point::CompressorCurrent)
        .filter(same)
        .filter(near)
        .filter_map(current)
        .peekable();
    stopped || (amps.peek().is_some() && amps.all(|a| a.ampere() < 0.2))
}
