//! Pressure and vacuum tests: what the readings of a hold or an evacuation say together.

use crate::model::{EntryKind, Job, Minutes};
use crate::quantity::{
    GaugePressure, Temperature, TemperatureDifference, VacuumDepth, sealed_gas_pressure,
};
use crate::source::Span;

/// A standing pressure test from its first to its last reading.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldTest {
    /// Test gas.
    pub gas: String,
    /// First reading, as written.
    pub start: String,
    /// Last reading, as written; the same as the first when there is only one.
    pub end: String,
    /// Line of the first and of the last reading.
    pub lines: (u32, u32),
    /// Place of the last reading.
    pub span: Span,
    /// Index of the visit.
    pub visit: usize,
    /// Minutes between them; `None` without times or with one reading.
    pub minutes: Option<i32>,
    /// Pressure expected at the end for a tight system; `None` with one reading.
    pub expected: Option<GaugePressure>,
    /// Expected minus measured, Pa: positive is lost.
    pub lost: Option<f64>,
    /// What could not be told from a loss, Pa: one gauge digit and 1 °F of gas temperature.
    pub tolerance: f64,
    /// True when both temperatures were noted.
    pub compensated: bool,
}

impl HoldTest {
    /// Formula shown with every hold.
    pub const EXPRESSION: &'static str = "p₂ = p₁ × T₂ ÷ T₁, absolute (ideal gas, fixed volume)";

    /// True when more was lost than the instruments leave in doubt.
    pub fn leaks(&self) -> bool {
        self.lost.is_some_and(|lost| lost > self.tolerance)
    }
}

/// What the rise of an isolated vacuum says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VacuumShape {
    /// Held within the limit.
    Tight,
    /// Climbs and flattens: water boiling off.
    Moisture,
    /// Climbs steadily: leak.
    Leak,
    /// Rose past the limit, but too few readings to tell why.
    Undecided,
}

/// One evacuation.
#[derive(Debug, Clone, PartialEq)]
pub struct VacuumTest {
    /// Each reading: time, depth, as written, isolated.
    pub readings: Vec<(Option<Minutes>, VacuumDepth, String, bool)>,
    /// Lines of the first and last reading.
    pub lines: (u32, u32),
    /// Place of the last reading.
    pub span: Span,
    /// Index of the visit.
    pub visit: usize,
    /// Deepest reading while pumping.
    pub deepest: VacuumDepth,
    /// Rise and its minutes after isolation; `None` when never isolated.
    pub rise: Option<(f64, Option<i32>)>,
    /// What the rise says.
    pub shape: Option<VacuumShape>,
}

impl VacuumTest {
    /// Micron an isolated vacuum may reach. Common practice; 500 is not stated by a standard that
    /// was seen.
    pub const LIMIT_MICRON: f64 = 500.0;
    /// Micron past which a steady climb is called a leak (common practice).
    pub const LEAK_MICRON: f64 = 1000.0;

    /// Last reading.
    pub fn last(&self) -> VacuumDepth {
        self.readings.last().map_or(self.deepest, |r| r.1)
    }
}

/// Every hold of the job: consecutive hold readings with no work on the unit between them.
pub(super) fn holds(job: &Job) -> Vec<HoldTest> {
    struct Point {
        gas: String,
        pressure: GaugePressure,
        written: String,
        resolution: f64,
        temperature: Option<Temperature>,
        line: u32,
        span: Span,
        at: Option<Minutes>,
        visit: usize,
    }
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut open = false;
    for (visit, entry) in job.entries() {
        if let EntryKind::Hold {
            gas,
            pressure,
            written,
            resolution,
            temperature,
        } = &entry.kind
        {
            let point = Point {
                gas: gas.clone(),
                pressure: *pressure,
                written: match temperature {
                    Some(t) => format!("{written} at {}", job.display.temperature(*t)),
                    None => written.clone(),
                },
                resolution: *resolution,
                temperature: *temperature,
                line: entry.line,
                span: entry.span,
                at: entry.at,
                visit,
            };
            // Another gas, or a pressure put up again, is another test.
            let goes_on = runs.last().and_then(|run| run.last()).is_some_and(|last| {
                let allowed = last.resolution.max(point.resolution)
                    + 0.01 * (last.pressure.pascal() + 101_325.0);
                let warmer = match (last.temperature, point.temperature) {
                    (Some(from), Some(to)) => (to - from).kelvin().max(0.0),
                    _ => 0.0,
                };
                let by_warmth = (last.pressure.pascal() + 101_325.0) * warmer / 280.0;
                last.gas == point.gas
                    && point.pressure.pascal() - last.pressure.pascal() <= allowed + by_warmth
            });
            match runs.last_mut() {
                Some(run) if open && goes_on => run.push(point),
                _ => runs.push(vec![point]),
            }
            open = true;
        } else if entry.kind.is_repair()
            || matches!(
                entry.kind,
                EntryKind::Refrigerant(_) | EntryKind::Vacuum { .. }
            )
        {
            open = false;
        }
    }
    let atmosphere = job.unit.atmosphere();
    runs.iter()
        .filter_map(|run| {
            let (first, last) = (run.first()?, run.last()?);
            let several = run.len() > 1;
            let start = first.pressure.absolute(atmosphere);
            let compensated = several && first.temperature.is_some() && last.temperature.is_some();
            let expected = several.then(|| match (first.temperature, last.temperature) {
                (Some(from), Some(to)) => sealed_gas_pressure(start, from, to).gauge(atmosphere),
                _ => first.pressure,
            });
            let one_degree = TemperatureDifference::from_fahrenheit(1.0).kelvin();
            let warmth = first.temperature.map_or(295.0, Temperature::kelvin);
            Some(HoldTest {
                gas: first.gas.clone(),
                start: first.written.clone(),
                end: last.written.clone(),
                lines: (first.line, last.line),
                span: last.span,
                visit: last.visit,
                minutes: match (first.at, last.at) {
                    (Some(a), Some(b)) if several && first.visit == last.visit => Some(b.0 - a.0),
                    _ => None,
                },
                lost: expected.map(|e| e.pascal() - last.pressure.pascal()),
                expected,
                tolerance: first.resolution.max(last.resolution)
                    + start.pascal() * one_degree / warmth,
                compensated,
            })
        })
        .collect()
}

/// Every evacuation: consecutive vacuum readings with no work on the unit between them.
pub(super) fn vacuums(job: &Job) -> Vec<VacuumTest> {
    let mut tests: Vec<VacuumTest> = Vec::new();
    let mut open = false;
    for (visit, entry) in job.entries() {
        if let EntryKind::Vacuum {
            depth,
            written,
            isolated,
        } = &entry.kind
        {
            let reading = (entry.at, *depth, written.clone(), *isolated);
            match tests.last_mut() {
                // Pumping again after the pump was valved off is another evacuation.
                Some(test) if open && (*isolated || !test.readings.iter().any(|r| r.3)) => {
                    test.readings.push(reading);
                    test.lines.1 = entry.line;
                    test.span = entry.span;
                }
                _ => tests.push(VacuumTest {
                    readings: vec![reading],
                    lines: (entry.line, entry.line),
                    span: entry.span,
                    visit,
                    deepest: *depth,
                    rise: None,
                    shape: None,
                }),
            }
            open = true;
        } else if entry.kind.is_repair()
            || matches!(
                entry.kind,
                EntryKind::Refrigerant(_) | EntryKind::Hold { .. }
            )
        {
            open = false;
        }
    }
    for test in &mut tests {
        judge(test);
    }
    tests
}

fn judge(test: &mut VacuumTest) {
    let first_isolated = test.readings.iter().position(|r| r.3);
    let pumping_until = first_isolated.map_or(test.readings.len(), |i| i.max(1));
    test.deepest =
        test.readings[..pumping_until]
            .iter()
            .map(|r| r.1)
            .fold(test.readings[0].1, |a, b| {
                if b.pascal() < a.pascal() { b } else { a }
            });
    let Some(isolated) = first_isolated else {
        return;
    };
    // The reading before the first isolated one is where the pump was valved off.
    let from = isolated.saturating_sub(1);
    let rising = &test.readings[from..];
    let (Some(start), Some(end)) = (rising.first(), rising.last()) else {
        return;
    };
    if rising.len() < 2 {
        return; // one isolated reading and nothing before it: no rise to speak of
    }
    let minutes = match (start.0, end.0) {
        (Some(a), Some(b)) => Some(b.0 - a.0),
        _ => None,
    };
    test.rise = Some((end.1.micron() - start.1.micron(), minutes));
    test.shape = Some(if end.1.micron() <= VacuumTest::LIMIT_MICRON {
        VacuumShape::Tight
    } else {
        shape(rising)
    });
}

/// Leak or moisture, from the first and the last rate of rise.
fn shape(rising: &[(Option<Minutes>, VacuumDepth, String, bool)]) -> VacuumShape {
    let rates: Vec<f64> = rising
        .windows(2)
        .filter_map(|pair| {
            let minutes = f64::from(pair[1].0?.0 - pair[0].0?.0);
            (minutes > 0.0).then(|| (pair[1].1.micron() - pair[0].1.micron()) / minutes)
        })
        .collect();
    let (Some(&first), Some(&last)) = (rates.first(), rates.last()) else {
        return VacuumShape::Undecided;
    };
    let end = rising[rising.len() - 1].1.micron();
    if rates.len() < 2 || first <= 0.0 {
        VacuumShape::Undecided
    } else if last < first / 3.0 {
        VacuumShape::Moisture
    } else if end > VacuumTest::LEAK_MICRON {
        VacuumShape::Leak
    } else {
        VacuumShape::Undecided
    }
}
