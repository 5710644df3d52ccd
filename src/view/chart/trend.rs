//! Readings over the time of a job, visits side by side, with what happened.

use super::axis::{clock_marks, clock_step, ends, linear};
use super::{Axis, Chart, LEAST_POINTS, Level, Mark, Role, Series, Tick};
use crate::compile::Compiled;
use crate::model::{EntryKind, Job, Minutes, Reading};
use crate::quantity::{Display, Quantity, Temperature};
use crate::say;
use crate::vocabulary::{Point, State};
use crate::words::Words;

/// Share of the axis between two visits.
const GAP: f64 = 0.06;
/// Curves that a chart can tell apart.
const MOST_CURVES: usize = 8;
/// Marks on the clock, over all visits.
const CLOCK_MARKS: i32 = 5;

/// What a chart is to show.
pub struct Wanted {
    /// Name of its element.
    pub id: &'static str,
    /// Message of its title.
    pub title: &'static str,
    /// Points to draw.
    pub points: &'static [Point],
    /// True for temperatures, false for pressures.
    pub temperature: bool,
    /// Whether set point and limits belong to it.
    pub levels: bool,
    /// True when names are those a customer reads.
    pub plain: bool,
}

/// The chart, if any of its points was read often enough with a time.
pub fn trend(compiled: &Compiled, words: &Words, wanted: &Wanted) -> Option<Chart> {
    let job = &compiled.job;
    let drawn = drawn(job, wanted);
    let of_interest: Vec<&Reading> = drawn.iter().flat_map(|(_, r)| r).copied().collect();
    let clock = Clock::over(job, &of_interest)?;
    let series: Vec<Series> = drawn
        .iter()
        .map(|(name, readings)| Series {
            name: match wanted.plain {
                true => super::super::plain::name(readings[0], words),
                false => super::super::capitalised(name),
            },
            role: Role::Measured,
            runs: runs(readings, &clock, job.display),
        })
        .collect();
    let levels = match wanted.levels {
        true => levels(job, words),
        false => Vec::new(),
    };
    let values = series.iter().flat_map(Series::points).map(|p| p[1]);
    let all = values.chain(levels.iter().map(|l| l.value));
    let label = unit_label(job.display, wanted.temperature, words);
    let alternative = drawn
        .iter()
        .zip(&series)
        .map(|((_, readings), series)| spoken(&series.name, readings, job, words))
        .collect();
    let chart = Chart {
        id: wanted.id.to_owned(),
        title: words.say(wanted.title),
        alternative,
        y: linear(label, all, least(job.display, wanted.temperature), 5.0),
        x: clock.axis(job, words),
        series,
        levels,
        marks: marks(job, words, &clock, &of_interest),
        notes: match clock.visits.len() {
            1 => Vec::new(),
            _ => vec![say!(words, "note-gap")],
        },
    };
    Some(chart.rounded())
}

/// The shortest vertical axis: 10 F or 10 psi, and their like.
fn least(display: Display, temperature: bool) -> f64 {
    match (temperature, display) {
        (_, Display::Us) => 10.0,
        (true, Display::Si) => 5.0,
        (false, Display::Si) => 70.0,
    }
}

/// Each place with enough timed readings, in order of first reading.
fn drawn<'a>(job: &'a Job, wanted: &Wanted) -> Vec<(String, Vec<&'a Reading>)> {
    let mut places: Vec<(String, Vec<&Reading>)> = Vec::new();
    let timed = job.readings().filter(|r| {
        wanted.points.contains(&r.point) && r.at.is_some() && shown(r, job.display).is_some()
    });
    for reading in timed {
        let label = reading.label();
        match places.iter_mut().find(|(name, _)| *name == label) {
            Some((_, readings)) => readings.push(reading),
            None => places.push((label, vec![reading])),
        }
    }
    places.retain(|(_, readings)| readings.len() >= LEAST_POINTS);
    // More curves than there are marks to tell them apart: the most read ones are drawn.
    if places.len() > MOST_CURVES {
        let mut counts: Vec<usize> = places.iter().map(|(_, r)| r.len()).collect();
        counts.sort_unstable_by(|a, b| b.cmp(a));
        let least = counts[MOST_CURVES - 1];
        places.retain(|(_, readings)| readings.len() >= least);
        places.truncate(MOST_CURVES);
    }
    places
}

/// A reading's value on the axis.
fn shown(reading: &Reading, display: Display) -> Option<f64> {
    match (reading.written()?.quantity, display) {
        (Quantity::Temperature(t), display) => Some(display.degrees(t)),
        (Quantity::Gauge(p), Display::Us) => Some(p.psi()),
        (Quantity::Gauge(p), Display::Si) => Some(p.pascal() / 1e3),
        _ => None,
    }
}

fn unit_label(display: Display, temperature: bool, words: &Words) -> String {
    match (temperature, display) {
        (true, display) => display.degree_sign().to_owned(),
        (false, Display::Us) => "psig".to_owned(),
        (false, Display::Si) => say!(words, "axis-gauge", unit = "kPa"),
    }
}

/// The readings of each visit, in order of time.
fn runs(readings: &[&Reading], clock: &Clock, display: Display) -> Vec<Vec<[f64; 2]>> {
    let mut runs: Vec<Vec<[f64; 2]>> = Vec::new();
    let mut visit = None;
    for reading in readings {
        let Some(point) = reading
            .at
            .zip(shown(reading, display))
            .and_then(|(at, value)| Some([clock.place(reading.visit, at)?, value]))
        else {
            continue;
        };
        if visit != Some(reading.visit) {
            runs.push(Vec::new());
            visit = Some(reading.visit);
        }
        if let Some(run) = runs.last_mut() {
            run.push(point);
        }
    }
    for run in &mut runs {
        run.sort_by(|a, b| a[0].total_cmp(&b[0]));
    }
    runs
}

/// Set point and the limit of the plan.
fn levels(job: &Job, words: &Words) -> Vec<Level> {
    let display = job.display;
    let level = |id: &str, t: Temperature| Level {
        name: words.say_with(
            id,
            &[("value", super::super::plain::temperature(t, display).into())],
        ),
        value: display.degrees(t),
    };
    let set_point = job.unit.set_point.as_ref().map(|s| s.node);
    let limit = job.food.limit.as_ref().map(|l| l.node);
    let set_point = set_point.map(|t| level("level-set-point", t));
    set_point
        .into_iter()
        .chain(limit.map(|t| level("level-food-limit", t)))
        .collect()
}

/// `Box temperature: 14 °F at 18:12, -7 °F at 13:30 on 4 September 2026; between -7 °F and 14 °F`.
fn spoken(name: &str, readings: &[&Reading], job: &Job, words: &Words) -> String {
    let value = |r: &Reading| super::super::plain::value(r, job.display);
    let said = |r: &Reading| {
        let at = match job.visits.len() {
            1 => r.at.map_or_else(String::new, |at| at.to_string()),
            _ => words.moment(job, r.visit, r.at),
        };
        say!(words, "value-at", value = value(r), at = at)
    };
    let order = |a: &&&Reading, b: &&&Reading| {
        let of = |r: &Reading| shown(r, job.display).unwrap_or(0.0);
        of(a).total_cmp(&of(b))
    };
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return name.to_owned();
    };
    let (low, high) = (
        readings.iter().min_by(order).unwrap_or(first),
        readings.iter().max_by(order).unwrap_or(last),
    );
    say!(
        words,
        "alternative-series",
        name = name,
        first = said(first),
        last = said(last),
        low = value(low),
        high = value(high),
        count = readings.len()
    )
}

/// Time along the axis: visits side by side, what lies between them left out.
struct Clock {
    /// Of each visit that is shown: its index, its start and end, where it starts on the axis.
    visits: Vec<(usize, i32, i32, f64)>,
}

impl Clock {
    fn over(job: &Job, readings: &[&Reading]) -> Option<Self> {
        let mut spans: Vec<(usize, i32, i32)> = Vec::new();
        for visit in 0..job.visits.len() {
            let of_visit = readings.iter().filter(|r| r.visit == visit);
            let times = of_visit.filter_map(|r| r.at).map(|at| f64::from(at.0));
            let (from, to) = ends(times.clone());
            if times.count() > 0 {
                spans.push((visit, from as i32, to as i32));
            }
        }
        let whole: i32 = spans.iter().map(|(_, from, to)| to - from).sum();
        if spans.is_empty() || whole == 0 {
            return None;
        }
        let gap = GAP * f64::from(whole);
        let mut at = 0.0;
        let visits = spans
            .into_iter()
            .map(|(visit, from, to)| {
                let start = at;
                at += f64::from(to - from) + gap;
                (visit, from, to, start)
            })
            .collect();
        Some(Self { visits })
    }

    /// Where a time of a visit lies; `None` outside what is shown.
    fn place(&self, visit: usize, at: Minutes) -> Option<f64> {
        let &(_, from, to, start) = self.visits.iter().find(|(v, ..)| *v == visit)?;
        (from..=to)
            .contains(&at.0)
            .then(|| start + f64::from(at.0 - from))
    }

    fn axis(&self, job: &Job, words: &Words) -> Axis {
        let whole: i32 = self.visits.iter().map(|(_, from, to, _)| to - from).sum();
        let marks = CLOCK_MARKS.max(self.visits.len() as i32);
        let step = clock_step(whole, marks);
        let mut ticks = Vec::new();
        let mut breaks = Vec::new();
        let mut days = Vec::new();
        let mut end = 0.0;
        for (i, &(visit, from, to, start)) in self.visits.iter().enumerate() {
            if i > 0 {
                breaks.push([end, start]);
            }
            end = start + f64::from(to - from);
            let before = ticks.len();
            for at in clock_marks(from, to, step) {
                ticks.push(Tick {
                    at: start + f64::from(at - from),
                    text: clock_text(at),
                });
            }
            // A short visit still says when it was.
            if ticks.len() == before {
                ticks.push(Tick {
                    at: start,
                    text: clock_text(from),
                });
            }
            days.extend(job.visits[visit].date.map(|d| words.day(d)));
        }
        days.dedup();
        Axis {
            label: days.join(" · "),
            ends: [0.0, end],
            ticks,
            logarithmic: false,
            breaks,
        }
    }
}

fn clock_text(minutes: i32) -> String {
    let of_day = minutes.rem_euclid(1440);
    format!("{:02}:{:02}", of_day / 60, of_day % 60)
}

/// Repairs, defrosts, doors and alarms within what is shown. Repairs with no reading between them are
/// one.
fn marks(job: &Job, words: &Words, clock: &Clock, readings: &[&Reading]) -> Vec<Mark> {
    let mut marks: Vec<(usize, Minutes, Minutes, String)> = Vec::new();
    let mut repair: Option<(usize, Minutes, Minutes)> = None;
    let mut defrost: Option<(usize, Minutes)> = None;
    let read = |line: u32| readings.iter().any(|r| r.line == line);
    for (visit, entry) in job.entries() {
        let Some(at) = entry.at else { continue };
        let parted = repair.is_some_and(|(of, ..)| of != visit) || read(entry.line);
        if parted && let Some((of, from, to)) = repair.take() {
            marks.push((of, from, to, say!(words, "event-repair")));
        }
        match &entry.kind {
            kind if kind.is_repair() => {
                repair = Some(repair.map_or((visit, at, at), |(of, from, _)| (of, from, at)));
            }
            EntryKind::Readings(seen) => {
                for reading in seen {
                    match (reading.point, reading.seen()) {
                        (Point::Defrost, Some(State::On | State::Called)) => {
                            defrost = defrost.or(Some((visit, at)));
                        }
                        (Point::Defrost, Some(State::Off | State::NotCalled)) => {
                            let from = defrost.take().filter(|(of, _)| *of == visit);
                            let from = from.map_or(at, |(_, from)| from);
                            marks.push((visit, from, at, say!(words, "event-defrost")));
                        }
                        (Point::Door, Some(State::Open)) => {
                            marks.push((visit, at, at, say!(words, "event-door-open")));
                        }
                        (Point::Door, Some(State::Closed)) => {
                            marks.push((visit, at, at, say!(words, "event-door-closed")));
                        }
                        (Point::Alarm, Some(State::Alarm)) => {
                            marks.push((visit, at, at, say!(words, "event-alarm")));
                        }
                        (Point::Alarm, Some(State::Silenced)) => {
                            marks.push((visit, at, at, say!(words, "event-alarm-silenced")));
                        }
                        _ => {}
                    }
                }
            }
            _ => {}
        }
    }
    let open = repair.map(|(of, from, to)| (of, from, to, say!(words, "event-repair")));
    marks.extend(open);
    marks.extend(defrost.map(|(of, at)| (of, at, at, say!(words, "event-defrost"))));
    marks.sort_by_key(|(visit, from, ..)| (*visit, *from));
    marks
        .into_iter()
        .filter_map(|(visit, from, to, text)| {
            let span = [clock.clamped(visit, from)?, clock.clamped(visit, to)?];
            let outside = span[0] == span[1] && clock.place(visit, from).is_none();
            let start = match job.visits.len() {
                1 => from.to_string(),
                _ => words.moment(job, visit, Some(from)),
            };
            let times = match from == to {
                true => start,
                false => format!("{start}–{to}"),
            };
            (!outside).then(|| Mark {
                span,
                text: format!("{text}, {times}"),
            })
        })
        .collect()
}

impl Clock {
    /// Where a time of a visit lies, at the nearer end when it is outside.
    fn clamped(&self, visit: usize, at: Minutes) -> Option<f64> {
        let &(_, from, to, start) = self.visits.iter().find(|(v, ..)| *v == visit)?;
        Some(start + f64::from(at.0.clamp(from, to) - from))
    }
}
