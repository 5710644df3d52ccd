//! What a unit should do: from the note's own design values, else from what kind of unit it is.

use super::hypothesis::Feed;
use super::symptom::{Measured, Symptom};
use crate::derive::{Derivation, Derived, Input, temperature};
use crate::findings::Case;
use crate::model::{Expansion, Reading, Unit};
use crate::vocabulary::{Point, fold};

/// What a unit is for; decides its usual temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Duty {
    AirConditioning,
    MediumTemperature,
    LowTemperature,
}

/// An expectation: value and how far it may be off, beyond the scatter of healthy units.
#[derive(Debug, Clone, Copy)]
struct Expected {
    value: f64,
    doubt: f64,
    basis: &'static str,
}

const STATED: &str = "stated in the note";
const USUAL: &str = "usual for such a unit (common practice, no source)";
/// What a fixed orifice's superheat gains for each degree the ambient lies below design: less head,
/// less feed. Common practice (charging by superheat against outdoor temperature), no source.
const FIXED_SUPERHEAT_SLOPE: f64 = 0.8;
const FIXED_TD_SLOPE: f64 = 0.35;
/// What that leaves in doubt: with the ambient read, and without.
const FIXED_DOUBT: (f64, f64) = (4.5, 11.0);
const FIXED_TD_DOUBT: (f64, f64) = (2.0, 5.0);

/// How the unit is fed, as far as the note says; a valve without receiver where it does not.
pub(super) fn feed(unit: &Unit) -> Feed {
    match (unit.metering.expansion, unit.metering.receiver) {
        (Some(Expansion::Orifice | Expansion::Capillary), _) => Feed::Fixed,
        (_, Some(true)) => Feed::ValveReceiver,
        _ => Feed::Valve,
    }
}

/// The deviations of one moment, symptom by symptom; what was not read is not there.
pub(super) fn measure(case: &Case<'_>, visit: usize, phase: u32) -> Vec<Measured> {
    let unit = &case.job.unit;
    let of = |id: &'static str| last(case.derived, id, visit, phase);
    let ambient = reading(case, Point::Ambient, visit, phase).and_then(temperature);
    let sheet = Sheet {
        unit,
        duty: duty(unit),
        feed: feed(unit),
        ambient: ambient.map(|(t, _)| t.kelvin()),
    };
    let mut out = Vec::new();
    let derived = [
        (Symptom::EvaporatorTd, "evaporator-td"),
        (Symptom::Superheat, "superheat"),
        (Symptom::Subcooling, "subcooling"),
        (Symptom::CondenserSplit, "condenser-split"),
        (Symptom::AirSplit, "air-split"),
        (Symptom::DrierDrop, "drier-drop"),
    ];
    for (symptom, id) in derived {
        let (Some(found), Some(expected)) = (of(id), sheet.expected(symptom)) else {
            continue;
        };
        let degrees = found.value.number() * 1.8;
        let is_share = symptom == Symptom::AirSplit;
        let scale = if is_share { expected.value } else { 1.0 };
        out.push(Measured {
            symptom,
            value: degrees / scale,
            expected: expected.value / scale,
            doubt: expected.doubt / scale,
            basis: expected.basis,
            inputs: found.inputs.clone(),
        });
    }
    out.extend(above_set_point(case, visit, phase));
    out
}

/// The unit, as far as expectations need it.
struct Sheet<'a> {
    unit: &'a Unit,
    duty: Option<Duty>,
    feed: Feed,
    ambient: Option<f64>,
}

impl Sheet<'_> {
    /// Fahrenheit degrees.
    fn expected(&self, symptom: Symptom) -> Option<Expected> {
        let unit = self.unit;
        let stated = match symptom {
            Symptom::EvaporatorTd => unit.design_td,
            Symptom::Superheat => unit.target_superheat,
            Symptom::Subcooling => unit.target_subcooling,
            Symptom::CondenserSplit => unit.design_split,
            _ => None,
        }
        .map(|d| Expected {
            value: d.fahrenheit(),
            doubt: 0.0,
            basis: STATED,
        });
        let mut expected = stated.or_else(|| self.usual(symptom))?;
        if self.feed == Feed::Fixed {
            match symptom {
                Symptom::Superheat => {
                    self.follow_ambient(&mut expected, FIXED_SUPERHEAT_SLOPE, FIXED_DOUBT);
                }
                Symptom::EvaporatorTd => {
                    self.follow_ambient(&mut expected, FIXED_TD_SLOPE, FIXED_TD_DOUBT);
                }
                _ => {}
            }
        }
        if symptom == Symptom::CondenserSplit
            && let (Some(held), Some(ambient)) = (unit.head_pressure_hold, self.ambient)
        {
            // Head-pressure control keeps condensing up in cold air: the split then is what is left.
            let held = (held.kelvin() - ambient) * 1.8;
            expected.value = expected.value.max(held);
        }
        Some(expected)
    }

    fn follow_ambient(&self, expected: &mut Expected, slope: f64, doubt: (f64, f64)) {
        match (self.ambient, self.unit.design_ambient) {
            (Some(ambient), Some(design)) => {
                expected.value += slope * (design.kelvin() - ambient) * 1.8;
                expected.doubt = expected.doubt.hypot(doubt.0);
            }
            _ => expected.doubt = expected.doubt.hypot(doubt.1),
        }
    }

    /// By duty: value and doubt, F. Common practice, no source.
    fn usual(&self, symptom: Symptom) -> Option<Expected> {
        use Duty::{AirConditioning, LowTemperature, MediumTemperature};
        let is_fixed = self.feed == Feed::Fixed;
        let (value, doubt) = match (symptom, self.duty?) {
            (Symptom::EvaporatorTd, AirConditioning) => (36.0, 4.0),
            (Symptom::EvaporatorTd, _) if self.is_reach_in() => (16.0, 4.0),
            (Symptom::EvaporatorTd, _) => (10.0, 2.0),
            (Symptom::Superheat, AirConditioning) if is_fixed => (14.0, 6.0),
            (Symptom::Superheat, AirConditioning) => (10.0, 2.0),
            (Symptom::Superheat, MediumTemperature) => (8.0, 2.5),
            (Symptom::Superheat, LowTemperature) => (6.0, 2.0),
            (Symptom::Subcooling, AirConditioning) => (11.0, 3.0),
            (Symptom::Subcooling, _) if self.feed == Feed::ValveReceiver => (6.0, 4.0),
            (Symptom::Subcooling, _) => (9.0, 4.0),
            (Symptom::CondenserSplit, AirConditioning) => (20.0, 5.0),
            (Symptom::CondenserSplit, MediumTemperature) => (22.0, 6.0),
            (Symptom::CondenserSplit, LowTemperature) => (16.0, 5.0),
            (Symptom::AirSplit, AirConditioning) => (20.0, 2.0),
            // Four fifths of the TD: the air leaves a refrigeration coil that near to it.
            (Symptom::AirSplit, _) => {
                let td = self.unit.design_td.map(|d| d.fahrenheit());
                (
                    0.8 * td.unwrap_or(if self.is_reach_in() { 14.0 } else { 10.0 }),
                    1.0,
                )
            }
            (Symptom::DrierDrop, _) => (0.0, 0.0),
            (Symptom::AboveSetPoint, _) => return None,
        };
        Some(Expected {
            value,
            doubt,
            basis: USUAL,
        })
    }

    fn is_reach_in(&self) -> bool {
        has_word(
            self.unit,
            &["reach", "merchandiser", "cabinet", "case", "cases", "self"],
        )
    }
}

fn has_word(unit: &Unit, wanted: &[&str]) -> bool {
    let text = unit.tag.as_ref().map_or("", |tag| tag.node.as_str());
    fold(text).split(' ').any(|word| wanted.contains(&word))
}

/// From the unit's description; else from the set point.
fn duty(unit: &Unit) -> Option<Duty> {
    if has_word(unit, &["freezer", "frozen", "low", "wif", "ice"]) {
        return Some(Duty::LowTemperature);
    }
    if has_word(
        unit,
        &[
            "cooler",
            "medium",
            "dairy",
            "reach",
            "wic",
            "merchandiser",
            "refrigerator",
        ],
    ) {
        return Some(Duty::MediumTemperature);
    }
    if has_word(
        unit,
        &[
            "rooftop",
            "split",
            "rtu",
            "conditioner",
            "conditioning",
            "ac",
            "heat",
        ],
    ) {
        return Some(Duty::AirConditioning);
    }
    let set = unit.set_point.as_ref()?.node.fahrenheit();
    Some(match set {
        t if t < 20.0 => Duty::LowTemperature,
        t if t < 55.0 => Duty::MediumTemperature,
        _ => Duty::AirConditioning,
    })
}

/// The last value of a formula in a visit and phase.
fn last<'a>(derived: &'a Derivation, id: &str, visit: usize, phase: u32) -> Option<&'a Derived> {
    derived
        .values
        .iter()
        .rfind(|d| d.formula.id == id && d.visit == visit && d.phase == phase)
}

/// The last reading of a point in a visit and phase.
fn reading<'a>(case: &Case<'a>, point: Point, visit: usize, phase: u32) -> Option<&'a Reading> {
    case.bench
        .at(point)
        .filter(|r| r.visit == visit && r.phase == phase)
        .last()
}

fn above_set_point(case: &Case<'_>, visit: usize, phase: u32) -> Option<Measured> {
    let set = case.job.unit.set_point.as_ref().map(|s| s.node);
    let air = [Point::Box, Point::Room, Point::ReturnAir]
        .into_iter()
        .find_map(|point| reading(case, point, visit, phase))?;
    let (inside, _) = temperature(air)?;
    Some(Measured {
        symptom: Symptom::AboveSetPoint,
        value: (inside - set?).fahrenheit(),
        expected: 0.0,
        doubt: 0.0,
        basis: STATED,
        inputs: vec![Input::of(air)],
    })
}
