//! Which readings belong together: the same visit, no change to the unit between them, close in
//! time, the same circuit or evaporator.

use super::Derived;
use crate::model::{Job, Minutes, Reading};
use crate::quantity::{
    AbsolutePressure, Atmosphere, Current, Quantity, Temperature, Voltage, Written,
};
use crate::refrigerant::Refrigerant;
use crate::vocabulary::{Point, State};
use rustc_hash::FxHashMap;

/// Readings further apart than this are not combined. Common practice, no source: a refrigeration
/// system at steady load moves little in a quarter of an hour.
pub const WINDOW_MINUTES: i32 = 15;

/// Below this a compressor's clamp shows a crankcase heater or nothing. Common practice, no source.
const LEAST_RUNNING_AMPERE: f64 = 0.2;

/// All readings of a job, laid out for pairing.
pub struct Bench<'a> {
    /// By point, so that a point nobody read costs nothing to ask for.
    readings: FxHashMap<Point, Vec<&'a Reading>>,
    /// The atmosphere of the site.
    pub atmosphere: Atmosphere,
    /// The sentence that goes with every value that rests on it.
    pub assumption: String,
}

impl<'a> Bench<'a> {
    /// The readings of a job.
    pub fn new(job: &'a Job) -> Self {
        let mut readings: FxHashMap<Point, Vec<&Reading>> = FxHashMap::default();
        for reading in job.readings() {
            readings.entry(reading.point).or_default().push(reading);
        }
        Self {
            readings,
            atmosphere: job.unit.atmosphere(),
            assumption: job.unit.atmosphere().assumption(),
        }
    }

    /// Every reading at a point, in order of writing.
    pub fn at(&self, point: Point) -> impl Iterator<Item = &'a Reading> + '_ {
        let of_point = self.readings.get(&point).map_or(&[][..], Vec::as_slice);
        of_point.iter().copied()
    }

    /// True when the point was read anywhere in the note.
    pub fn has(&self, point: Point) -> bool {
        self.at(point).next().is_some()
    }

    /// The reading at `point` that belongs to the moment of `anchor`, nearest in time.
    ///
    /// A reading of another circuit never does; one without a circuit does not either, where that
    /// point was read on several circuits at that moment.
    pub fn with(&self, anchor: &Reading, point: Point) -> Option<&'a Reading> {
        let near = || {
            self.at(point)
                .filter(|r| r.visit == anchor.visit && r.phase == anchor.phase)
                .filter_map(|r| Some((distance(anchor, r)?, r)))
        };
        let several = anchor.which.is_none() && {
            let mut labels = near().filter_map(|(_, r)| r.which.as_deref());
            let first = labels.next();
            labels.any(|label| Some(label) != first)
        };
        near()
            .filter(|(_, r)| match (&anchor.which, &r.which) {
                (None, Some(_)) => !several,
                (Some(a), Some(b)) => a == b,
                (Some(_), None) => is_shared(point) || !self.has_other_circuit(anchor),
                (None, None) => true,
            })
            .min_by_key(|(apart, r)| (r.which != anchor.which, *apart))
            .map(|(_, r)| r)
    }

    /// True when another circuit was read at the anchor's point at that moment: a reading without a
    /// label may then be of either.
    fn has_other_circuit(&self, anchor: &Reading) -> bool {
        self.at(anchor.point).any(|r| {
            r.visit == anchor.visit
                && r.phase == anchor.phase
                && r.which != anchor.which
                && distance(anchor, r).is_some()
        })
    }

    /// True when two readings are of one moment by the clock.
    pub fn together(&self, a: &Reading, b: &Reading) -> bool {
        a.visit == b.visit && a.phase == b.phase && distance(a, b).is_some()
    }

    /// Whether the compressor ran at a moment: by the last state seen before it in the visit, on the
    /// same circuit, or else by its current at that moment. `None` when neither is known.
    pub fn ran(&self, moment: &Moment<'_>) -> Option<bool> {
        match self.last_seen(Point::Compressor, moment) {
            Some(State::Off | State::Tripped | State::Humming) => return Some(false),
            Some(State::On) => return Some(true),
            _ => {}
        }
        let near = |r: &&Reading| match (r.at, moment.at) {
            (Some(a), Some(b)) => (a.0 - b.0).abs() <= WINDOW_MINUTES,
            _ => true,
        };
        let mut drawn = self
            .at(Point::CompressorCurrent)
            .filter(|r| moment.may_be_of(r) && r.phase == moment.phase)
            .filter(near)
            .filter_map(current)
            .peekable();
        drawn.peek()?;
        Some(drawn.any(|a| a.ampere() >= LEAST_RUNNING_AMPERE))
    }

    /// True when a defrost was called or on, by the last state seen before.
    pub fn in_defrost(&self, moment: &Moment<'_>) -> bool {
        matches!(
            self.last_seen(Point::Defrost, moment),
            Some(State::On | State::Called)
        )
    }

    /// The last state of a part seen up to a moment, in its visit; a state on the same line or at
    /// the same minute counts as before.
    fn last_seen(&self, part: Point, moment: &Moment<'_>) -> Option<State> {
        self.at(part)
            .filter(|r| moment.may_be_of(r))
            .filter(|r| match (r.at, moment.at) {
                (Some(seen), Some(at)) => seen <= at,
                _ => r.span.start < moment.end,
            })
            .last()?
            .seen()
    }

    /// The first of several points that was read at that moment.
    pub fn with_any(&self, anchor: &Reading, points: &[Point]) -> Option<&'a Reading> {
        points.iter().find_map(|&point| self.with(anchor, point))
    }

    /// What a value from this pressure takes for granted: the atmosphere under a gauge, and that the
    /// refrigerant's data is an estimate, where it is.
    pub fn basis(&self, pressure: &Reading, refrigerant: Option<&Refrigerant>) -> Vec<String> {
        let is_gauge = pressure
            .written()
            .is_some_and(|w| matches!(w.quantity, Quantity::Gauge(_)));
        let atmosphere = is_gauge.then(|| self.assumption.clone());
        let estimate = refrigerant
            .and_then(|r| Some(format!("the data of {r} is estimated: {}", r.estimated?)));
        atmosphere.into_iter().chain(estimate).collect()
    }

    /// The absolute pressure of a reading, on the site's atmosphere.
    pub fn pressure(&self, reading: &Reading) -> Option<AbsolutePressure> {
        match reading.written()?.quantity {
            Quantity::Gauge(p) => Some(p.absolute(self.atmosphere)),
            Quantity::Absolute(p) => Some(p),
            _ => None,
        }
    }
}

/// When and of which circuit something is.
#[derive(Debug, Clone, Copy)]
pub struct Moment<'a> {
    /// The circuit, when it has a name.
    pub which: Option<&'a str>,
    /// Index of the visit.
    pub visit: usize,
    /// Phase of the job.
    pub phase: u32,
    /// By the clock.
    pub at: Option<Minutes>,
    /// Byte at which its text ends.
    pub end: u32,
}

impl<'a> Moment<'a> {
    /// The moment of a reading.
    pub fn of(reading: &'a Reading) -> Self {
        Self {
            which: reading.which.as_deref(),
            visit: reading.visit,
            phase: reading.phase,
            at: reading.at,
            end: reading.span.end,
        }
    }

    /// The moment of a value.
    pub fn of_value(value: &'a Derived) -> Self {
        Self {
            which: value.which.as_deref(),
            visit: value.visit,
            phase: value.phase,
            at: value.at,
            end: value.inputs.iter().map(|i| i.span.end).max().unwrap_or(0),
        }
    }

    fn may_be_of(&self, reading: &Reading) -> bool {
        reading.visit == self.visit && same_circuit(reading.which.as_deref(), self.which)
    }
}

/// Points of the room, the outdoors and the supply, that several circuits have in common.
fn is_shared(point: Point) -> bool {
    use Point::{
        Ambient, Box, CondenserAirOut, L1L2, L1L3, L2L3, Product, ReturnAir, Room, SetPoint,
        SupplyAir, SupplyVoltage,
    };
    matches!(
        point,
        Ambient
            | Box
            | CondenserAirOut
            | L1L2
            | L1L3
            | L2L3
            | Product
            | ReturnAir
            | Room
            | SetPoint
            | SupplyAir
            | SupplyVoltage
    )
}

/// Minutes between two readings, or `None` when too far apart. Without times they are one moment.
fn distance(a: &Reading, b: &Reading) -> Option<i32> {
    match (a.at, b.at) {
        (Some(a), Some(b)) => {
            let apart = (a.0 - b.0).abs();
            (apart <= WINDOW_MINUTES).then_some(apart)
        }
        _ => Some(0),
    }
}

/// The temperature of a reading.
pub(crate) fn temperature(reading: &Reading) -> Option<(Temperature, &Written)> {
    let written = reading.written()?;
    match written.quantity {
        Quantity::Temperature(t) => Some((t, written)),
        _ => None,
    }
}

/// The voltage of a reading.
pub(crate) fn voltage(reading: &Reading) -> Option<Voltage> {
    match reading.written()?.quantity {
        Quantity::Voltage(v) => Some(v),
        _ => None,
    }
}

/// The current of a reading.
pub(crate) fn current(reading: &Reading) -> Option<Current> {
    match reading.written()?.quantity {
        Quantity::Current(a) => Some(a),
        _ => None,
    }
}

/// True when two readings, or a reading and a value, can be of one circuit.
pub(crate) fn same_circuit(a: Option<&str>, b: Option<&str>) -> bool {
    a.is_none() || b.is_none() || a == b
}
