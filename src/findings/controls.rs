//! RB39x: what the control does, against what it should.

use super::moment::{in_defrost, not_called, ran, reading_temperature};
use super::truth_table::LIVE;
use super::{Case, Rule, exceeds};
use crate::diagnostic::{Code, Severity};
use crate::expectation::{Application, application};
use crate::model::{EntryKind, Reading};
use crate::quantity::{Temperature, TemperatureDifference};
use crate::vocabulary::{Point, fold};

pub(super) static RULES: &[&Rule] = &[&BELOW_SET_POINT, &NOT_CALLING, &DISPLAY_OFF];

/// How far from its set point a control may let the space swing, F of difference.
const SWING: f64 = 5.0;

/// Temperatures of the space that the control holds. The room around a cooler is not held by it.
fn spaces<'a>(case: &Case<'a>) -> impl Iterator<Item = &'a Reading> {
    let cools_rooms = application(&case.job.unit) == Some(Application::AirConditioning);
    let rooms = case.bench.at(Point::Room).filter(move |_| cools_rooms);
    case.bench.at(Point::Box).chain(rooms)
}

/// The set point in force at a reading: the last one read before it, or else the head's, unless the
/// control was set to something else meanwhile.
fn set_point(case: &Case<'_>, reading: &Reading) -> Option<Temperature> {
    let read = case
        .bench
        .at(Point::SetPoint)
        .filter(|r| r.span.start <= reading.span.start || r.line == reading.line)
        .last();
    if let Some(read) = read {
        return reading_temperature(read);
    }
    let moved = case
        .job
        .entries()
        .filter(|(_, entry)| entry.span.start < reading.span.start)
        .any(|(_, entry)| match &entry.kind {
            EntryKind::Handled { text, .. } | EntryKind::Did(text) | EntryKind::Left(text) => {
                let text = fold(text);
                ["thermostat", "set point", "setpoint", "control"]
                    .iter()
                    .any(|word| text.contains(word))
            }
            _ => false,
        });
    case.job.unit.set_point.map(|s| s.node).filter(|_| !moved)
}

/// A heat pump turns its coils round to heat: what is warm and what cold says nothing then.
pub(super) fn may_heat(case: &Case<'_>) -> bool {
    let tag = case.job.unit.tag.as_ref();
    tag.is_some_and(|tag| fold(&tag.node).contains("heat pump"))
}

static BELOW_SET_POINT: Rule = Rule {
    code: Code {
        id: "RB391",
        name: "runs-below-set-point",
        severity: Severity::Warning,
        explanation: "The compressor runs although the space is far below its set point: something holds it on. A control that does not open, its sensor reading warm or lying in the wrong place, contacts of the contactor held closed, or a set point other than the one noted. The voltage on the contactor's coil tells a control that calls from a contact that sticks.",
    },
    needs: "a box or room temperature, the set point, and the compressor running",
    plain: "The unit kept cooling although it was already much colder than its setting.",
    caution: Some(LIVE),
    source: "more than 5 F below: common practice, no source",
    check: |case| {
        BELOW_SET_POINT.each_reading(spaces(case), |space| {
            if may_heat(case) || ran(case, space) != Some(true) {
                return None;
            }
            let below = set_point(case, space)? - reading_temperature(space)?;
            Some(exceeds(below.fahrenheit(), SWING).then(|| {
                (
                    format!(
                        "{} {} is {} below the set point and the compressor runs",
                        space.label(),
                        space.value_text(),
                        case.job.display.difference(below)
                    ),
                    vec![space],
                )
            }))
        })
    },
};

static NOT_CALLING: Rule = Rule {
    code: Code {
        id: "RB392",
        name: "warm-and-not-called",
        severity: Severity::Warning,
        explanation: "The space is far above its set point and the control does not call for cooling: the control, its sensor or the sensor's place is at fault, the set point is other than the one noted, or somebody switched it off. In defrost this is normal and not judged.",
    },
    needs: "a box or room temperature, the set point, and whether cooling is called",
    plain: "The control did not ask for cooling although it was too warm.",
    caution: Some(LIVE),
    source: "more than 5 F above: common practice, no source",
    check: |case| {
        NOT_CALLING.each_reading(spaces(case), |space| {
            if in_defrost(case, space) {
                return None;
            }
            let cooling = case.bench.with(space, Point::Cooling)?;
            let above = reading_temperature(space)? - set_point(case, space)?;
            Some(
                (exceeds(above.fahrenheit(), SWING) && not_called(cooling)).then(|| {
                    (
                        format!(
                            "{} {} is {} above the set point and cooling is {}",
                            space.label(),
                            space.value_text(),
                            case.job.display.difference(above),
                            cooling.value_text()
                        ),
                        vec![space, cooling],
                    )
                }),
            )
        })
    },
};

static DISPLAY_OFF: Rule = Rule {
    code: Code {
        id: "RB393",
        name: "display-disagrees",
        severity: Severity::Warning,
        explanation: "The display and a thermometer in the same space differ by more than 3 F at one moment. The control acts on its own sensor: where that reads cold, the space is warmer than anybody sees. Which of the two is wrong a third thermometer or ice water tells; a display may also be set to an average, or to lag.",
    },
    needs: "the display's temperature and a box or room temperature",
    plain: "The display and the thermometer did not agree, so the display cannot be relied on.",
    caution: Some(
        "Whether food can still be used is for the person responsible for it to decide, by the local food code.",
    ),
    source: "more than 3 F: common practice, no source",
    check: |case| {
        let rooms = application(&case.job.unit) == Some(Application::AirConditioning);
        let points: &[Point] = if rooms {
            &[Point::Room, Point::Box]
        } else {
            &[Point::Box]
        };
        DISPLAY_OFF.each_reading(case.bench.at(Point::Display), |display| {
            let space = case.bench.with_any(display, points)?;
            let apart = reading_temperature(display)? - reading_temperature(space)?;
            Some(exceeds(apart.fahrenheit().abs(), 3.0).then(|| {
                let apart = TemperatureDifference::from_kelvin(apart.kelvin().abs());
                (
                    format!(
                        "display {} and {} {} are {} apart",
                        display.value_text(),
                        space.label(),
                        space.value_text(),
                        case.job.display.difference(apart)
                    ),
                    vec![display, space],
                )
            }))
        })
    },
};
