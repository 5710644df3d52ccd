//! Ranked causes: against simulated units, published and field tables, and what must hold always.

use super::support;
use rimebook::causes::hypothesis::{Feed, HYPOTHESES, Hypothesis};
use rimebook::causes::score::{Observed, posterior};
use rimebook::causes::symptom::{Measured, Seen, SeenSign, Symptom};
use rimebook::derive::Input;
use rimebook::expectation::Basis;
use rimebook::source::Span;
use rimebook::vocabulary::faults::Fault;

mod electrical;
mod field;
mod other_refrigerant;
mod properties;
mod published;
mod simulated;
mod stated;
mod stopped;
mod together;

const FEEDS: [Feed; 3] = [Feed::ValveReceiver, Feed::Valve, Feed::Fixed];

/// A symptom off by `deviation` from an expectation without doubt.
fn off(symptom: Symptom, deviation: f64) -> Measured {
    Measured {
        symptom,
        value: deviation,
        expected: 0.0,
        doubt: 0.0,
        basis: Basis::Usual("the test"),
        inputs: Vec::new(),
    }
}

fn sign(seen: Seen) -> SeenSign {
    let input = Input {
        name: "seen:".to_owned(),
        text: String::new(),
        line: 1,
        span: Span::new(0, 0),
    };
    SeenSign { seen, input }
}

fn observed(measured: impl IntoIterator<Item = Measured>, signs: &[Seen]) -> Observed {
    Observed {
        measured: measured.into_iter().collect(),
        signs: signs.iter().copied().map(sign).collect(),
        ..Observed::default()
    }
}

/// A cause and its probability.
type Weighed = (&'static Hypothesis, f64);

/// Causes, the likeliest first.
fn ranked(observed: &Observed, feed: Feed) -> Vec<Weighed> {
    let probabilities = posterior(observed, feed);
    let mut all: Vec<Weighed> = HYPOTHESES.iter().zip(probabilities).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all
}

/// Place of a fault in a ranking, the first being 1.
fn place(ranking: &[Weighed], fault: Option<Fault>) -> usize {
    1 + ranking
        .iter()
        .position(|(cause, _)| cause.fault == fault)
        .unwrap_or_else(|| panic!("{fault:?} is not ranked"))
}

/// `undercharge 81 %, liquid-line restriction 9 %, ...`, the first four.
fn shown(ranking: &[Weighed]) -> String {
    let four: Vec<String> = ranking
        .iter()
        .take(4)
        .map(|(cause, p)| format!("{} {:.0} %", cause.name, 100.0 * p))
        .collect();
    four.join(", ")
}
