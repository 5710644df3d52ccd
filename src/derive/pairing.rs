//! Which readings belong together: the same visit, no change to the unit between them, close in
//! time, the same circuit or evaporator.

use crate::model::{Job, Reading};
use crate::quantity::{
    AbsolutePressure, Atmosphere, Current, Quantity, Temperature, Voltage, Written,
};
use crate::vocabulary::Point;
use rustc_hash::FxHashMap;

/// Readings further apart than this are not combined. Common practice, no source: a refrigeration
/// system at steady load moves little in a quarter of an hour.
pub const WINDOW_MINUTES: i32 = 15;

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
                (_, None) => true,
            })
            .min_by_key(|(apart, r)| (r.which != anchor.which, *apart))
            .map(|(_, r)| r)
    }

    /// The first of several points that was read at that moment.
    pub fn with_any(&self, anchor: &Reading, points: &[Point]) -> Option<&'a Reading> {
        points.iter().find_map(|&point| self.with(anchor, point))
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
