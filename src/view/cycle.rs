//! The refrigerant cycle of a moment as the next technician reads it.

use super::clock;
use super::derived::{DerivedRow, derived_row, side};
use crate::compile::Compiled;
use crate::derive::Input;
use crate::derive::state_points::{MeasuredCycle, StatePoint, Station};
use crate::quantity::{Display, significant};
use crate::refrigerant::Region;
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// The refrigerant cycle of one moment.
#[derive(Debug, JsonSchema, Serialize)]
pub struct CycleRow {
    /// Time, with the date where there were several visits, and the circuit if it has a name.
    pub moment: String,
    /// `before` or `after` the last repair, `during` between, empty without one.
    pub side: &'static str,
    /// Its states, in the order of flow.
    pub points: Vec<StateRow>,
    /// What follows from them.
    pub values: Vec<DerivedRow>,
    /// What its readings should have given and do not, each with the reason.
    pub refused: Vec<(&'static str, String)>,
    /// What was taken for granted, each once.
    pub assumptions: Vec<String>,
}

/// One state of the refrigerant: as shown, and as numbers for plotting.
#[derive(Debug, JsonSchema, Serialize)]
pub struct StateRow {
    /// Where.
    pub station: &'static str,
    /// Absolute pressure.
    pub pressure: String,
    /// Temperature.
    pub temperature: String,
    /// Enthalpy.
    pub enthalpy: String,
    /// Density.
    pub density: String,
    /// Liquid, vapour, or how much of both.
    pub region: String,
    /// Pa absolute, K, J/kg, J/(kg K), kg/m³.
    pub si: [f64; 5],
    /// Lines it rests on.
    pub lines: Vec<u32>,
}

pub(super) fn cycle_row(compiled: &Compiled, cycle: &MeasuredCycle, words: &Words) -> CycleRow {
    let display = compiled.job.display;
    let which = cycle.which.as_ref().map(|w| format!(" ({w})"));
    let visits = &compiled.job.visits;
    let date = match visits.get(cycle.visit).and_then(|v| v.date) {
        Some(date) if visits.len() > 1 => format!("{}, ", words.day(date)),
        _ => String::new(),
    };
    let mut assumptions = Vec::new();
    let of_points = cycle.points.iter().flat_map(|p| &p.assumptions);
    let of_values = cycle.values.iter().flat_map(|v| &v.assumptions);
    for assumption in of_points.chain(of_values) {
        super::push_new(&mut assumptions, assumption.clone());
    }
    CycleRow {
        moment: format!("{date}{}{}", clock(cycle.at), which.unwrap_or_default()),
        side: side(compiled, cycle.suction.span.start),
        points: cycle.points.iter().map(|p| state_row(p, display)).collect(),
        values: cycle
            .values
            .iter()
            .map(|v| derived_row(compiled, v))
            .collect(),
        refused: cycle.refused.clone(),
        assumptions,
    }
}

fn state_row(point: &StatePoint, display: Display) -> StateRow {
    let state = &point.state;
    StateRow {
        station: match (point.station, state.region) {
            (Station::CondenserOut, Region::Supercritical) => "gas cooler out",
            (station, _) => station.name(),
        },
        pressure: display.absolute(state.pressure),
        temperature: display.temperature(state.temperature),
        enthalpy: display.enthalpy(state.enthalpy),
        density: display.density(state.density),
        region: match state.region {
            Region::Liquid => "liquid".to_owned(),
            Region::Vapour => "vapor".to_owned(),
            Region::TwoPhase(share) => format!("{:.0} % vapor", 100.0 * share),
            Region::Supercritical => "above critical pressure".to_owned(),
        },
        si: [
            state.pressure.pascal(),
            state.temperature.kelvin(),
            state.enthalpy.joule_per_kilogram(),
            state.entropy.joule_per_kilogram_kelvin(),
            state.density.kilogram_per_cubic_metre(),
        ]
        .map(|value| significant(value, 7)),
        lines: Input::lines(&point.inputs),
    }
}
