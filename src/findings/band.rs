//! What a unit should do: the bands that values are judged against, each with its basis.

use crate::derive::{Derived, Moment};
use crate::model::{Expansion, Job};
use crate::quantity::TemperatureDifference;
use crate::vocabulary::fold;

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
    let folded = format!(" {} ", fold(&tag.node));
    let has = |words: &[&str]| words.iter().any(|w| folded.contains(&format!(" {w} ")));
    if has(&["freezer", "freezers", "ice cream", "low temp", "frozen"]) {
        Application::LowTemperature
    } else if has(&[
        "cooler",
        "coolers",
        "case",
        "cases",
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
        "air conditioner",
        "air conditioning",
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

/// Whether the compressor ran at the moment of a value: by the last state seen before it in the
/// visit, on the same circuit, or else by its current at that moment. `None` when neither is known.
pub fn runs(case: &Case<'_>, value: &Derived) -> Option<bool> {
    case.bench.ran(&Moment {
        which: value.which.as_deref(),
        visit: value.visit,
        phase: value.phase,
        at: value.at,
        end: value.inputs.iter().map(|i| i.span.end).max().unwrap_or(0),
    })
}

/// True when the compressor is known not to have run: pressures at rest say nothing of superheat or
/// ratio.
pub fn at_rest(case: &Case<'_>, value: &Derived) -> bool {
    runs(case, value) == Some(false)
}
