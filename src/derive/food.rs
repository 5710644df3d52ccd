//! Time that food, and the air around it, was above the limit which the note's head gives.
//!
//! Only what was measured counts. Between two readings of one visit no more than
//! [`LONGEST_SPAN_MINUTES`] apart the temperature is taken to run straight from one to the other:
//! both above the limit, the whole span counts; one above, the part of the straight line that is
//! above. A longer span, and every span between visits, is not measured: it counts neither as warm
//! nor as cold, and is listed.

use super::Input;
use crate::model::{Job, Minutes, Reading};
use crate::quantity::{Quantity, Temperature};
use crate::vocabulary::Point;

/// Readings further apart than this say nothing of the time between. Common practice, no source.
pub const LONGEST_SPAN_MINUTES: i32 = 60;

/// The warmest that food under a 6-hour plan may get: 70 F (21 C), FDA Food Code 3-501.19.
pub fn ceiling() -> Temperature {
    Temperature::from_fahrenheit(70.0)
}

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measured {
    /// The food itself.
    Food,
    /// The air of the box, which is not the food.
    Air,
}

/// A moment of the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct When {
    /// Index of the visit.
    pub visit: usize,
    /// Time of its day.
    pub at: Minutes,
}

impl When {
    /// So many hours later.
    pub fn after_hours(self, hours: i32) -> Self {
        Self {
            at: Minutes(self.at.0 + 60 * hours),
            ..self
        }
    }

    /// Minutes from this moment to another; `None` where a date is missing between visits.
    pub fn minutes_to(self, other: When, job: &Job) -> Option<i64> {
        let minutes = i64::from(other.at.0 - self.at.0);
        if self.visit == other.visit {
            return Some(minutes);
        }
        let date = |visit: usize| job.visits.get(visit)?.date;
        let days = date(self.visit)?.until(date(other.visit)?).ok()?.get_days();
        Some(i64::from(days) * 1440 + minutes)
    }
}

/// A reading with its temperature and moment.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodReading {
    /// When.
    pub when: When,
    /// How warm.
    pub temperature: Temperature,
    /// The reading itself.
    pub input: Input,
}

/// The first reading above a limit, and the last one before it that was not.
#[derive(Debug, Clone, PartialEq)]
pub struct Passed {
    /// The first reading above.
    pub by: FoodReading,
    /// The last at or below; `None` when nothing was read before.
    pub last_below: Option<FoodReading>,
}

/// When a plan of time as control ends: its time runs from when the food left the cold, which lies
/// between two readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlanEnd {
    /// Hours of the plan: 4 or 6.
    pub hours: i32,
    /// Counted from the last reading at or below the limit; `None` when there was none.
    pub earliest: Option<When>,
    /// Counted from the first reading above it.
    pub latest: When,
}

/// One measuring point against the limit.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodTime {
    /// Food or air.
    pub measured: Measured,
    /// Which one of several.
    pub which: Option<String>,
    /// The limit of the head.
    pub limit: Temperature,
    /// Readings with a time, in order; of several at one time the warmest.
    pub readings: Vec<FoodReading>,
    /// Readings without a time: no span can be counted from them.
    pub untimed: usize,
    /// Minutes above the limit as measured.
    pub above: f64,
    /// Those of them that end or begin where a straight line crosses the limit.
    pub interpolated: f64,
    /// From and to of what was not measured.
    pub gaps: Vec<(When, When)>,
    /// The warmest reading.
    pub highest: FoodReading,
    /// The limit passed.
    pub passed: Option<Passed>,
    /// 70 F passed, under a 6-hour plan.
    pub ceiling_passed: Option<Passed>,
    /// When the plan ends, if there is one and the limit was passed.
    pub plan_end: Option<PlanEnd>,
}

impl FoodTime {
    /// The last reading, when it is above the limit.
    pub fn above_at_last(&self) -> Option<&FoodReading> {
        let last = self.readings.last()?;
        is_above(last.temperature, self.limit).then_some(last)
    }
}

/// True above a limit by more than binary arithmetic leaves: 5 C is 41 F, and not above it.
pub fn is_above(temperature: Temperature, limit: Temperature) -> bool {
    (temperature - limit).kelvin() > 1e-6
}

/// Every product and box point against the limit of the head; empty when the head gives none.
pub(super) fn times(job: &Job) -> Vec<FoodTime> {
    let Some(limit) = &job.food.limit else {
        return Vec::new();
    };
    let mut times = Vec::new();
    for (point, measured) in [
        (Point::Product, Measured::Food),
        (Point::Box, Measured::Air),
    ] {
        let mut names: Vec<Option<&str>> = Vec::new();
        for reading in job.readings().filter(|r| r.point == point) {
            if !names.contains(&reading.which.as_deref()) {
                names.push(reading.which.as_deref());
            }
        }
        for which in names {
            let of = job
                .readings()
                .filter(|r| r.point == point && r.which.as_deref() == which);
            times.extend(time(job, measured, limit.node, of));
        }
    }
    times
}

fn time<'a>(
    job: &Job,
    measured: Measured,
    limit: Temperature,
    of: impl Iterator<Item = &'a Reading>,
) -> Option<FoodTime> {
    let mut which = None;
    let mut untimed = 0;
    let mut readings: Vec<FoodReading> = Vec::new();
    for reading in of {
        let Some(Quantity::Temperature(temperature)) = reading.written().map(|w| w.quantity) else {
            continue;
        };
        which.clone_from(&reading.which);
        let Some(at) = reading.at else {
            untimed += 1;
            continue;
        };
        let when = When {
            visit: reading.visit,
            at,
        };
        let read = FoodReading {
            when,
            temperature,
            input: Input::of(reading),
        };
        match readings.last_mut() {
            Some(last) if last.when == when => {
                if is_above(temperature, last.temperature) {
                    *last = read;
                }
            }
            _ => readings.push(read),
        }
    }
    let highest = readings
        .iter()
        .reduce(|a, b| {
            if is_above(b.temperature, a.temperature) {
                b
            } else {
                a
            }
        })?
        .clone();
    let mut above = 0.0;
    let mut interpolated = 0.0;
    let mut gaps = Vec::new();
    for pair in readings.windows(2) {
        match minutes_above(&pair[0], &pair[1], limit) {
            None => gaps.push((pair[0].when, pair[1].when)),
            Some((minutes, crosses)) => {
                above += minutes;
                interpolated += if crosses { minutes } else { 0.0 };
            }
        }
    }
    let plan = job.food.hours.filter(|_| measured == Measured::Food);
    let passed = passed(&readings, limit);
    Some(FoodTime {
        measured,
        which,
        limit,
        untimed,
        above,
        interpolated,
        gaps,
        highest,
        ceiling_passed: plan
            .filter(|&h| h == 6)
            .and_then(|_| self::passed(&readings, ceiling())),
        plan_end: plan.and_then(|hours| {
            let passed = passed.as_ref()?;
            let end = |reading: &FoodReading| reading.when.after_hours(hours);
            Some(PlanEnd {
                hours,
                earliest: passed.last_below.as_ref().map(end),
                latest: end(&passed.by),
            })
        }),
        passed,
        readings,
    })
}

/// Minutes above the limit between two readings, and whether the line between them crosses it;
/// `None` where the time between them was not measured.
fn minutes_above(from: &FoodReading, to: &FoodReading, limit: Temperature) -> Option<(f64, bool)> {
    let minutes = to.when.at.0 - from.when.at.0;
    if from.when.visit != to.when.visit || !(0..=LONGEST_SPAN_MINUTES).contains(&minutes) {
        return None;
    }
    let minutes = f64::from(minutes);
    let over = |reading: &FoodReading| (reading.temperature - limit).kelvin();
    Some(
        match (
            is_above(from.temperature, limit),
            is_above(to.temperature, limit),
        ) {
            (true, true) => (minutes, false),
            (false, false) => (0.0, false),
            (false, true) => (minutes * over(to) / (over(to) - over(from)), true),
            (true, false) => (minutes * over(from) / (over(from) - over(to)), true),
        },
    )
}

fn passed(readings: &[FoodReading], limit: Temperature) -> Option<Passed> {
    let first = readings
        .iter()
        .position(|r| is_above(r.temperature, limit))?;
    Some(Passed {
        by: readings[first].clone(),
        last_below: first.checked_sub(1).map(|before| readings[before].clone()),
    })
}
