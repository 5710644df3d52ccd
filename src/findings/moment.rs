//! What else was seen or measured at the moment of a reading.

use super::Case;
use crate::derive::{Derived, Moment, WINDOW_MINUTES, current, same_circuit, temperature};
use crate::expectation::{Expected, Sheet};
use crate::model::{Entry, EntryKind, Reading};
use crate::quantity::Temperature;
use crate::vocabulary::{Point, Sign, State, Symptom, fold};

/// Below this a clamp meter reads nothing.
pub(super) const NO_AMPS: f64 = 0.15;

/// Whether the compressor ran at the moment of a reading; `None` when not known.
pub(super) fn ran(case: &Case<'_>, reading: &Reading) -> Option<bool> {
    case.bench.ran(&Moment::of(reading))
}

/// Whether the compressor ran at the moment of a value: by the last state seen before it in the
/// visit, on the same circuit, or else by its current at that moment. `None` when neither is known.
pub(super) fn runs(case: &Case<'_>, value: &Derived) -> Option<bool> {
    case.bench.ran(&Moment::of_value(value))
}

/// True when the compressor is known not to have run: pressures at rest say nothing of superheat or
/// ratio.
pub(super) fn at_rest(case: &Case<'_>, value: &Derived) -> bool {
    runs(case, value) == Some(false)
}

/// What the unit should do at the moment of a value.
pub(super) fn expected(case: &Case<'_>, value: &Derived, symptom: Symptom) -> Option<Expected> {
    let ambient = case
        .bench
        .at(Point::Ambient)
        .filter(|r| r.visit == value.visit && r.phase == value.phase)
        .filter_map(|r| temperature(r).map(|(t, _)| t))
        .last();
    Sheet::new(case.job, case.derived, value.visit, ambient).expected(symptom)
}

/// The temperature of a reading.
pub(super) fn reading_temperature(reading: &Reading) -> Option<Temperature> {
    temperature(reading).map(|(temperature, _)| temperature)
}

/// True when a defrost was called or on by the last state seen before.
pub(super) fn in_defrost(case: &Case<'_>, reading: &Reading) -> bool {
    case.bench.in_defrost(&Moment::of(reading))
}

/// The last reading of `point` up to the moment of `anchor`, and of that moment. What comes after
/// does not count: a switch seen later says nothing of now.
pub(super) fn before<'a>(case: &Case<'a>, anchor: &Reading, point: Point) -> Option<&'a Reading> {
    case.bench
        .at(point)
        .filter(|r| case.bench.together(anchor, r))
        .filter(|r| same_circuit(r.which.as_deref(), anchor.which.as_deref()))
        .filter(|r| not_after(r, anchor))
        .last()
}

/// True when a reading was taken before another, at the same minute or on the same line.
pub(super) fn not_after(reading: &Reading, other: &Reading) -> bool {
    match (reading.at, other.at) {
        (Some(a), Some(b)) => a <= b,
        _ => reading.line <= other.line,
    }
}

/// Minutes from one reading to a later one, by the clock.
pub(super) fn minutes(from: &Reading, to: &Reading) -> Option<i32> {
    Some(to.at?.0 - from.at?.0)
}

/// True when a part draws current, or was seen running; `None` when the reading tells neither.
pub(super) fn draws(reading: &Reading) -> Option<bool> {
    match reading.seen() {
        Some(State::On) => Some(true),
        Some(State::Off) => Some(false),
        Some(_) => None,
        None => current(reading).map(|a| a.ampere() > NO_AMPS),
    }
}

/// True when a cycle was called for or is on.
pub(super) fn called(reading: &Reading) -> bool {
    matches!(reading.seen(), Some(State::Called | State::On))
}

/// True when a cycle was not called for or is off.
pub(super) fn not_called(reading: &Reading) -> bool {
    matches!(reading.seen(), Some(State::NotCalled | State::Off))
}

/// An observation with one of these signs, of the moment of a reading. One that names no circuit
/// may be of another circuit than the reading's, and does not count then.
pub(super) fn observed<'a>(
    case: &Case<'a>,
    anchor: &Reading,
    wanted: &[Sign],
) -> Option<&'a Entry> {
    case.job
        .entries()
        .filter(|(visit, e)| *visit == anchor.visit && e.phase == anchor.phase)
        .map(|(_, entry)| entry)
        .filter(|entry| match (entry.at, anchor.at) {
            (Some(a), Some(b)) => (a.0 - b.0).abs() <= WINDOW_MINUTES,
            _ => true,
        })
        .find(|entry| match &entry.kind {
            EntryKind::Observation { text, signs, .. } => {
                signs.iter().any(|sign| wanted.contains(sign))
                    && anchor
                        .which
                        .as_deref()
                        .is_none_or(|which| fold(text).contains(&fold(which)))
            }
            _ => false,
        })
}
