//! RB317: the pressure of a unit at rest, against saturation at ambient.

use super::{Case, Rule};
use crate::derive::{Moment, temperature};
use crate::diagnostic::{Code, Severity};
use crate::model::Reading;
use crate::quantity::TemperatureDifference;
use crate::vocabulary::Point;

pub(super) static RULES: &[&Rule] = &[&STANDING_HIGH];

/// Above ambient by more than this the pressure is not that of the refrigerant alone, F of
/// difference. Common practice, no source: a thermometer in the sun, and a condenser still warm.
pub const HIGH: f64 = 5.0;
/// Pressures on both sides nearer than this ratio have equalised.
const EQUAL: f64 = 1.05;

/// How far the saturation temperature of a discharge reading lies above ambient; `None` unless the
/// compressor is at rest and both sides have equalised.
pub fn above_ambient(case: &Case<'_>, high: &Reading) -> Option<TemperatureDifference> {
    if case.bench.ran(&Moment::of(high)) != Some(false) {
        return None;
    }
    let pressure = case.bench.pressure(high)?;
    let low = case
        .bench
        .pressure(case.bench.with(high, Point::Suction)?)?;
    let ratio = pressure.pascal() / low.pascal();
    let (ambient, _) = temperature(case.bench.with(high, Point::Ambient)?)?;
    // A blend at rest boils at its bubble point where liquid stands.
    let refrigerant = case.job.unit.refrigerant.as_ref()?.node;
    let saturated = refrigerant.bubble_temperature(pressure).ok()?;
    (ratio < EQUAL && ratio > 1.0 / EQUAL).then(|| saturated - ambient)
}

static STANDING_HIGH: Rule = Rule {
    code: Code {
        id: "RB317",
        name: "standing-pressure-high",
        severity: Severity::Warning,
        explanation: "At rest, with both sides equalised, the pressure lies above what the refrigerant has at ambient temperature. Air or another gas that does not condense is in the system, or the refrigerant is not what the note says. It counts only once the condenser has come to ambient: fan on, compressor off, until the pressure stands still.",
    },
    needs: "suction and discharge pressure with the compressor off, ambient, refrigerant",
    plain: "Gas that does not belong in the system was holding its pressure up.",
    caution: Some(
        "Wear goggles and gloves when connecting gauges. Recover, do not vent: the gas on top is mixed with refrigerant.",
    ),
    source: "Gibbs-Dalton: the partial pressures add; margin of 5 F: common practice, no source",
    check: |case| {
        STANDING_HIGH.each_reading(case.bench.at(Point::Discharge), |high| {
            let above = above_ambient(case, high)?;
            Some((above.fahrenheit() > HIGH).then(|| {
                let ambient = case.bench.with(high, Point::Ambient);
                let display = case.job.display;
                (
                    format!(
                        "{} {} at rest is saturation {} above ambient: a gas that does not condense, or another refrigerant",
                        high.label(),
                        high.value_text(),
                        display.difference(above)
                    ),
                    std::iter::once(high).chain(ambient).collect(),
                )
            }))
        })
    },
};
