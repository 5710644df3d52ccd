//! The cycles of a job and what they say.

use super::balance::{Balance, EFFECT};
use super::flow::SWEPT_CAPACITY;
use super::pairing::Bench;
use super::state_points::{MeasuredCycle, cycles};
use super::{Derived, Missing};
use crate::model::{Job, Unit};
use crate::vocabulary::Point;

/// The cycles of a job and what they say. Worked out only where it is shown: a cycle takes a
/// hundred times as long as a superheat.
#[derive(Debug, Default)]
pub struct Energy {
    /// State points and values, a cycle a suction reading.
    pub cycles: Vec<MeasuredCycle>,
    /// What could not be derived.
    pub missing: Vec<Missing>,
}

impl Energy {
    /// All that the job's readings allow.
    pub fn of(job: &Job, bench: &Bench<'_>) -> Self {
        let mut cycles = cycles(job.unit.refrigerant.map(|r| r.node), bench);
        for cycle in &mut cycles {
            let mut balance = Balance::new(cycle, &job.unit);
            balance.liquid_line();
            balance.evaporator();
            balance.compressor();
            balance.condenser();
            balance.flow();
            let Balance { out, withheld, .. } = balance;
            cycle.values = out;
            cycle.refused.extend(withheld);
        }
        let missing = missing(&job.unit, &cycles, bench);
        Self { cycles, missing }
    }

    /// Every value, in order of the note.
    pub fn values(&self) -> impl Iterator<Item = &Derived> {
        self.cycles.iter().flat_map(|cycle| &cycle.values)
    }
}

/// One line for what the energy values lack, where a cycle was begun: each of a dozen formulas
/// would say the same.
fn missing(unit: &Unit, cycles: &[MeasuredCycle], bench: &Bench<'_>) -> Vec<Missing> {
    let mut values = cycles.iter().flat_map(|cycle| &cycle.values);
    if cycles.is_empty() || values.any(|d| d.formula.id == EFFECT.id) {
        return Vec::new();
    }
    let wanted: [&[Point]; 3] = [
        &[Point::Discharge, Point::LiquidPressure],
        &[Point::SuctionLine, Point::CompressorInlet],
        &[Point::LiquidLine, Point::CondenserOutlet],
    ];
    let lacking: Vec<&str> = wanted
        .into_iter()
        .filter(|any| !any.iter().any(|&point| bench.has(point)))
        .map(|any| any[0].name())
        .collect();
    let because = if !lacking.is_empty() {
        format!("not measured: {}", lacking.join(", "))
    } else if cycles.iter().any(|cycle| !cycle.refused.is_empty()) {
        "some of its states were refused; see the cycle".to_owned()
    } else {
        "the readings are not of one moment".to_owned()
    };
    let mut missing = vec![Missing {
        formula: &EFFECT,
        because,
    }];
    if unit.swept().is_some() || unit.mass_flow_rating.is_some() {
        missing.push(Missing {
            formula: &SWEPT_CAPACITY,
            because: format!("needs the {}", EFFECT.name),
        });
    }
    missing
}
