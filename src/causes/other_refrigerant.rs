//! Whether the pressures fit another refrigerant than the note says: the same readings, with another
//! saturation curve.

use super::symptom::{Measured, Other, Symptom};
use crate::quantity::AbsolutePressure;
use crate::refrigerant::{self, Refrigerant};

/// What a service cylinder is likely to hold. Common practice, no source.
const IN_USE: &[&str] = &[
    "R-22", "R-134a", "R-290", "R-32", "R-404A", "R-407A", "R-407C", "R-410A", "R-448A", "R-449A",
    "R-450A", "R-452A", "R-454A", "R-454B", "R-454C", "R-507A", "R-513A", "R-600a",
];
/// Curves nearer than this at both pressures cannot be told apart, F: R-448A and R-449A.
const APART: f64 = 4.0;

/// What the deviations would be with each other refrigerant; empty where fewer than two symptoms of
/// each side were read, which any refrigerant could be made to fit.
pub(super) fn fits(
    own: Option<&'static Refrigerant>,
    suction: Option<AbsolutePressure>,
    discharge: Option<AbsolutePressure>,
    measured: &[Measured],
) -> Vec<Other> {
    let low = [Symptom::EvaporatorTd, Symptom::Superheat];
    let high = [Symptom::Subcooling, Symptom::CondenserSplit];
    let all = |wanted: &[Symptom]| {
        let has = |s: &Symptom| measured.iter().any(|m| m.symptom == *s);
        wanted.iter().all(has)
    };
    let (Some(own), Some(suction), Some(discharge), true, true) =
        (own, suction, discharge, all(&low), all(&high))
    else {
        return Vec::new();
    };
    let gauges = |r: &Refrigerant| {
        let low = r.dew_temperature(suction).ok()?;
        let high = r.mid_point_temperature(discharge).ok()?;
        Some((low.fahrenheit(), high.fahrenheit()))
    };
    let Some((own_low, own_high)) = gauges(own) else {
        return Vec::new();
    };
    let other = |name: &&str| {
        let refrigerant = refrigerant::lookup(name)?;
        let (low, high) = gauges(refrigerant)?;
        let (low, high) = (low - own_low, high - own_high);
        let is_apart = low.abs() > APART || high.abs() > APART;
        let moved = |m: &Measured| {
            let (by_low, by_high) = m.symptom.of_gauges();
            Measured {
                value: m.value + by_low * low + by_high * high,
                ..m.clone()
            }
        };
        (refrigerant.name != own.name && is_apart).then(|| Other {
            refrigerant,
            measured: measured.iter().map(moved).collect(),
        })
    };
    IN_USE.iter().filter_map(other).collect()
}
