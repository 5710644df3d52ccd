//! An evacuation: how deep, and how the vacuum rose after it was valved off.

use super::axis::{clock_marks, clock_step, logarithmic};
use super::{Axis, Chart, LEAST_POINTS, Level, Mark, Role, Series, Tick};
use crate::compile::Compiled;
use crate::derive::VacuumTest;
use crate::model::Minutes;
use crate::say;
use crate::words::Words;

/// A chart an evacuation with enough timed readings.
pub fn vacuums(compiled: &Compiled, words: &Words) -> Vec<Chart> {
    let tests = compiled.derived.vacuums.iter().enumerate();
    tests
        .filter_map(|(i, test)| vacuum(test, i, words))
        .collect()
}

fn vacuum(test: &VacuumTest, index: usize, words: &Words) -> Option<Chart> {
    let timed: Vec<(Minutes, f64, bool)> = test
        .readings
        .iter()
        .filter_map(|(at, depth, _, isolated)| Some(((*at)?, depth.micron(), *isolated)))
        .filter(|(_, micron, _)| *micron > 0.0)
        .collect();
    let first = timed.first()?.0.0;
    let last = timed.last()?.0.0;
    if timed.len() < LEAST_POINTS || last <= first {
        return None;
    }
    let points = timed
        .iter()
        .map(|(at, micron, _)| [f64::from(at.0 - first), *micron])
        .collect();
    let limit = VacuumTest::LIMIT_MICRON;
    let values = || timed.iter().map(|(_, micron, _)| *micron);
    let (low, high) = super::axis::ends(values().chain([limit]));
    let isolated = timed.iter().find(|(.., isolated)| *isolated);
    let said = |(at, micron, _): &(Minutes, f64, bool)| {
        let value = format!("{micron:.0} micron");
        say!(words, "value-at", value = value, at = at.to_string())
    };
    let alternative = say!(
        words,
        "alternative-vacuum",
        readings = timed.iter().map(said).collect::<Vec<_>>().join(", ")
    );
    let step = clock_step(last - first, 6);
    let ticks = clock_marks(first, last, step)
        .map(|at| Tick {
            at: f64::from(at - first),
            text: Minutes(at).to_string(),
        })
        .collect();
    let chart = Chart {
        id: format!("vacuum-{}", index + 1),
        title: say!(words, "chart-vacuum"),
        alternative: vec![alternative],
        x: Axis {
            label: String::new(),
            ends: [0.0, f64::from(last - first)],
            ticks,
            logarithmic: false,
            breaks: Vec::new(),
        },
        y: logarithmic("micron".to_owned(), low * 0.7, high * 1.4),
        series: vec![Series {
            name: say!(words, "series-vacuum"),
            role: Role::Measured,
            runs: vec![points],
        }],
        levels: vec![Level {
            name: say!(words, "level-vacuum", value = format!("{limit:.0} micron")),
            value: limit,
        }],
        marks: isolated
            .map(|(at, ..)| Mark {
                span: [f64::from(at.0 - first), f64::from(last - first)],
                text: say!(words, "event-isolated", at = at.to_string()),
            })
            .into_iter()
            .collect(),
        notes: Vec::new(),
    };
    Some(chart.rounded())
}
