//! The measured cycle on the pressure–enthalpy diagram of its refrigerant, before and after repair.

use super::super::derived::side;
use super::axis::{linear, logarithmic};
use super::{Chart, Role, Series};
use crate::compile::Compiled;
use crate::derive::state_points::{MeasuredCycle, Station};
use crate::quantity::{
    AbsolutePressure, Display, JOULE_PER_KILOGRAM_PER_BTU_PER_POUND, Temperature, fixed,
};
use crate::refrigerant::State;
use crate::say;
use crate::words::Words;

/// Stations of a cycle worth drawing: with fewer it is no cycle.
const LEAST_STATIONS: usize = 4;
/// Room around the cycle, as factors of pressure.
const BELOW: f64 = 0.6;
const ABOVE: f64 = 1.7;

/// The chart, if readings gave a cycle.
pub fn cycle(compiled: &Compiled, words: &Words) -> Option<Chart> {
    let display = compiled.job.display;
    let whole = |c: &&MeasuredCycle| c.points.len() >= LEAST_STATIONS && c.high.is_some();
    let cycles: Vec<&MeasuredCycle> = compiled.energy().cycles.iter().filter(whole).collect();
    let of_side = |c: &MeasuredCycle| side(compiled, c.suction.span.start);
    let before = cycles
        .iter()
        .find(|c| matches!(of_side(c), "before" | ""))
        .copied();
    // One circuit before and another after would show no repair.
    let after = cycles.iter().rfind(|c| {
        let is_same = before.is_none_or(|b| b.which == c.which);
        of_side(c) == "after" && is_same
    });
    let after = after.copied();
    let several = compiled.job.visits.len() > 1;
    let name = |id: &str, c: &MeasuredCycle| {
        let which = c.which.as_ref().map(|which| format!(" ({which})"));
        let at = match (several, c.at) {
            (true, at) => format!(", {}", words.moment(&compiled.job, c.visit, at)),
            (false, Some(at)) => format!(", {at}"),
            (false, None) => String::new(),
        };
        format!("{}{}{at}", words.say(id), which.unwrap_or_default())
    };
    let of_before = before.map(|c| {
        let id = match after {
            Some(_) => "cycle-before",
            None => "cycle-measured",
        };
        (c, name(id, c))
    });
    let of_after = after.map(|c| (c, name("cycle-after", c)));
    let shown: Vec<(&MeasuredCycle, String)> = of_before.into_iter().chain(of_after).collect();
    let refrigerant = shown.first()?.0.refrigerant;
    let pressures = shown.iter().flat_map(|(c, _)| {
        let of_points = c.points.iter().map(|p| p.state.pressure.pascal());
        of_points.collect::<Vec<_>>()
    });
    let (low, high) = super::axis::ends(pressures);
    let (low, high) = (low * BELOW, high * ABOVE);
    let temperatures = isotherms(&shown, display);
    let diagram = refrigerant.pressure_enthalpy(
        AbsolutePressure::from_pascal(low),
        AbsolutePressure::from_pascal(high),
        &temperatures,
        &[],
    );
    let at = |&(enthalpy, pressure): &(f64, f64)| {
        [
            self::enthalpy(enthalpy, display),
            self::pressure(pressure, display),
        ]
    };
    let mut series: Vec<Series> = diagram
        .isotherms
        .iter()
        .map(|line| Series {
            name: fixed(display.degrees(Temperature::from_kelvin(line.value)), 0),
            role: Role::Isotherm,
            runs: vec![line.curve.iter().map(at).collect()],
        })
        .collect();
    let mut bubble: Vec<[f64; 2]> = diagram.bubble.iter().map(at).collect();
    let dew: Vec<[f64; 2]> = diagram.dew.iter().map(at).collect();
    // The lines end a hair under the critical pressure, where they meet.
    if high > refrigerant.highest_saturation().pascal() {
        bubble.extend(dew.last());
    }
    series.push(Series {
        name: say!(words, "series-dome"),
        role: Role::Dome,
        runs: vec![bubble, dew],
    });
    let mut alternative = Vec::new();
    for (cycle, name) in &shown {
        let points = ring(cycle).into_iter();
        let points = points.map(|p| at(&(p.enthalpy.joule_per_kilogram(), p.pressure.pascal())));
        let stations = cycle.points.iter().map(|p| {
            format!(
                "{} {}, {}",
                p.station.name(),
                display.absolute(p.state.pressure),
                display.enthalpy(p.state.enthalpy)
            )
        });
        alternative.push(format!(
            "{name}: {}",
            stations.collect::<Vec<_>>().join("; ")
        ));
        series.push(Series {
            name: name.clone(),
            role: Role::Measured,
            runs: vec![points.collect()],
        });
    }
    let mut notes = vec![say!(words, "isotherm-legend", unit = display.degree_sign())];
    let is_open = |(c, _): &(&MeasuredCycle, String)| c.at(Station::Discharge).is_none();
    if shown.iter().any(is_open) {
        notes.push(say!(words, "note-open-cycle"));
    }
    if before.is_none() {
        notes.push(say!(words, "note-no-before"));
    }
    // The width is that of the dome and the cycles; isotherms are cut at it.
    let across = series
        .iter()
        .filter(|s| s.role != Role::Isotherm)
        .flat_map(Series::points)
        .map(|p| p[0]);
    let (from, to) = super::axis::ends(across);
    let room = 0.06 * (to - from);
    let (enthalpy_unit, pressure_unit) = match display {
        Display::Us => ("Btu/lb", "psia"),
        Display::Si => ("kJ/kg", "kPa abs"),
    };
    let chart = Chart {
        id: "pressure-enthalpy".to_owned(),
        title: say!(words, "chart-cycle", refrigerant = refrigerant.name),
        alternative,
        x: linear(
            say!(words, "axis-enthalpy", unit = enthalpy_unit),
            [from, to + room].into_iter(),
            1.0,
            6.0,
        ),
        y: logarithmic(
            say!(words, "axis-pressure", unit = pressure_unit),
            pressure(low, display),
            pressure(high, display),
        ),
        series,
        levels: Vec::new(),
        marks: Vec::new(),
        notes,
    };
    Some(chart.rounded())
}

/// The states in the order of flow, back to the first; without a discharge temperature the line of
/// compression is not known, and the ring stays open there.
fn ring(cycle: &MeasuredCycle) -> Vec<&State> {
    let of = |station| cycle.at(station).map(|p| &p.state);
    let high = [
        Station::CondenserOut,
        Station::BeforeExpansion,
        Station::AfterExpansion,
        Station::EvaporatorOut,
        Station::CompressorIn,
    ];
    let mut ring: Vec<&State> = high.into_iter().filter_map(of).collect();
    if let (Some(discharge), Some(&first)) = (of(Station::Discharge), ring.first()) {
        ring.push(discharge);
        ring.push(first);
    }
    ring
}

/// Round temperatures from below the coldest state to above the hottest.
fn isotherms(shown: &[(&MeasuredCycle, String)], display: Display) -> Vec<Temperature> {
    let kelvins = shown
        .iter()
        .flat_map(|(c, _)| c.points.iter().map(|p| p.state.temperature));
    let (low, high) = super::axis::ends(kelvins.map(|t| display.degrees(t)));
    let step = match display {
        Display::Us => 40.0,
        Display::Si => 20.0,
    };
    let first = (low / step).floor() as i32;
    let last = (high / step).ceil() as i32;
    (first..=last)
        .map(|n| f64::from(n) * step)
        .map(|degrees| match display {
            Display::Us => Temperature::from_fahrenheit(degrees),
            Display::Si => Temperature::from_celsius(degrees),
        })
        .collect()
}

fn enthalpy(joule_per_kilogram: f64, display: Display) -> f64 {
    match display {
        Display::Us => joule_per_kilogram / JOULE_PER_KILOGRAM_PER_BTU_PER_POUND,
        Display::Si => joule_per_kilogram / 1e3,
    }
}

fn pressure(pascal: f64, display: Display) -> f64 {
    let pressure = AbsolutePressure::from_pascal(pascal);
    match display {
        Display::Us => pressure.psi(),
        Display::Si => pascal / 1e3,
    }
}
