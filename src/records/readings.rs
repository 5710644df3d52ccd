//! A unit's readings over the years, against those it had when it was healthy.

use super::{Cell, NotedKind, Record, Table, ValueRecord, day_cell};
use crate::quantity::{Display, TemperatureDifference};
use crate::vocabulary::Symptom;

/// Symptoms shown, and how far one may differ from the unit's own healthy reading before it is said:
/// F of difference, or a share. Common practice, no source.
const COMPARED: [(Symptom, &str, f64); 6] = [
    (Symptom::Superheat, "superheat", 5.0),
    (Symptom::Subcooling, "subcooling", 5.0),
    (Symptom::EvaporatorTd, "evaporator TD", 5.0),
    (Symptom::CondenserSplit, "condenser split", 8.0),
    (Symptom::AirSplit, "air split", 5.0),
    (Symptom::RunningCurrent, "current", 0.15),
];

/// A value in words: degrees of difference, or a share of rated current.
fn shown(symptom: Symptom, value: f64, display: Display) -> String {
    match symptom {
        Symptom::RunningCurrent => format!("{:.0} %", 100.0 * value),
        _ => display.difference(TemperatureDifference::from_kelvin(value)),
    }
}

/// A moment of a note: its values, and whether they were noted as healthy.
struct Moment<'a> {
    record: &'a Record,
    visit: usize,
    phase: u32,
    is_healthy: bool,
}

/// The first and the last moment of each note with values, and those noted as healthy.
fn moments<'a>(notes: &[&'a Record]) -> Vec<Moment<'a>> {
    let mut out: Vec<Moment<'_>> = Vec::new();
    for record in notes {
        let mut phases: Vec<(usize, u32)> =
            record.values.iter().map(|v| (v.visit, v.phase)).collect();
        phases.sort_unstable();
        phases.dedup();
        let healthy_visit = |visit: usize| {
            record
                .events
                .iter()
                .any(|e| e.kind == NotedKind::RunsNormally && e.visit == visit)
        };
        let last = phases.len().saturating_sub(1);
        for (i, &(visit, phase)) in phases.iter().enumerate() {
            let is_last_of_visit = phases.get(i + 1).is_none_or(|next| next.0 != visit);
            let is_healthy = healthy_visit(visit) && is_last_of_visit;
            if i == 0 || i == last || is_healthy {
                out.push(Moment {
                    record,
                    visit,
                    phase,
                    is_healthy,
                });
            }
        }
    }
    out
}

fn value(moment: &Moment<'_>, symptom: Symptom) -> Option<f64> {
    let own = |v: &&ValueRecord| v.symptom == symptom && v.phase == moment.phase;
    moment.record.values.iter().find(own).map(|v| v.value)
}

/// The table of readings: the first and the last moment of each note.
pub(super) fn readings(notes: &[&Record], display: Display) -> Table {
    let rows = moments(notes).into_iter().map(|moment| {
        let mut row = vec![
            day_cell(moment.record, moment.visit),
            match moment.is_healthy {
                true => Cell::text("healthy"),
                false => Cell::empty(),
            },
        ];
        row.extend(
            COMPARED
                .iter()
                .map(|(symptom, ..)| match value(&moment, *symptom) {
                    Some(value) => Cell {
                        shown: shown(*symptom, value, display),
                        exact: crate::quantity::significant(value, 5).into(),
                    },
                    None => Cell::unknown("–"),
                }),
        );
        row.push(Cell::text(&moment.record.file));
        row
    });
    let keys = [
        "superheat_K",
        "subcooling_K",
        "evaporator_td_K",
        "condenser_split_K",
        "air_split_K",
        "current_share",
    ];
    let mut columns = vec![("date", "date"), ("noted", "noted as")];
    columns.extend(
        keys.into_iter()
            .zip(COMPARED.iter().map(|(_, label, _)| *label)),
    );
    columns.push(("file", "file"));
    Table {
        name: "readings",
        title: "Readings, first and last of each job".to_owned(),
        columns,
        rows: rows.collect(),
        total: None,
    }
}

/// What the last readings differ in from the last ones noted as healthy before them.
pub(super) fn drift(notes: &[&Record], display: Display) -> Vec<String> {
    let moments = moments(notes);
    let Some((last, earlier)) = moments.split_last() else {
        return Vec::new();
    };
    let Some(healthy) = earlier.iter().rev().find(|m| m.is_healthy) else {
        let stated = match last.record.has_healthy_line {
            true => "; the healthy values of its head are compared in its own diagnosis note",
            false => "",
        };
        return vec![format!(
            "no earlier reading is noted as healthy (`noted all normal`), so the readings are compared with none{stated}"
        )];
    };
    let day = |m: &Moment<'_>| {
        m.record
            .date(m.visit)
            .map_or_else(|| "a day not recorded".to_owned(), |d| d.to_string())
    };
    COMPARED
        .iter()
        .filter_map(|(symptom, label, allowed)| {
            let (now, then) = (value(last, *symptom)?, value(healthy, *symptom)?);
            let by = match symptom {
                Symptom::RunningCurrent => now - then,
                _ => TemperatureDifference::from_kelvin(now - then).fahrenheit(),
            };
            (by.abs() > *allowed).then(|| {
                format!(
                    "{label} {} on {}, {} when healthy on {}",
                    shown(*symptom, now, display),
                    day(last),
                    shown(*symptom, then, display),
                    day(healthy)
                )
            })
        })
        .collect()
}
