//! A note as tables for other programs: exact values, keys for columns, one table a file.

use super::Audience;
use super::advice::advice;
use super::plain::{self, name};
use crate::compile::Compiled;
use crate::model::{Flow, Minutes, Urgency};
use crate::quantity::significant;
use crate::records::{Cell, Table};
use crate::words::Words;
use serde_json::Value;

/// The tables of a report, the main one first.
pub fn tables(compiled: &Compiled, audience: Audience, words: &Words) -> Vec<Table> {
    match audience {
        Audience::Customer => vec![measured(compiled, words), recommended(compiled, words)],
        Audience::Diagnosis => vec![readings(compiled), values(compiled), causes(compiled)],
        Audience::Office => vec![
            hours(compiled),
            parts(compiled),
            refrigerant(compiled),
            recommended(compiled, words),
        ],
    }
}

fn table(name: &'static str, keys: &[&'static str], rows: Vec<Vec<Cell>>) -> Table {
    Table {
        name,
        title: name.to_owned(),
        columns: keys.iter().map(|key| (*key, *key)).collect(),
        rows,
        total: None,
    }
}

fn date(compiled: &Compiled, visit: usize) -> Cell {
    let date = compiled.job.visits.get(visit).and_then(|v| v.date);
    Cell::optional(date.map(|d| d.to_string()))
}

fn time(at: Option<Minutes>) -> Cell {
    Cell::optional(at.map(|at| at.to_string()))
}

fn line(line: u32) -> Cell {
    Cell::count(line as usize)
}

/// A number to seven figures: more would only show how a processor rounds.
fn number(value: f64) -> Cell {
    Cell {
        shown: value.to_string(),
        exact: Value::from(significant(value, 7)),
    }
}

/// Every reading, as written and in SI.
fn readings(compiled: &Compiled) -> Table {
    let rows = compiled.job.readings().map(|reading| {
        let written = reading.written();
        vec![
            date(compiled, reading.visit),
            time(reading.at),
            Cell::text(reading.point.name()),
            Cell::optional(reading.which.as_deref()),
            Cell::optional(reading.leg.map(|leg| leg.0.to_string())),
            Cell::text(reading.value_text()),
            written.map_or_else(Cell::empty, |w| number(w.quantity.si())),
            Cell::optional(written.map(|w| w.quantity.dimension().name())),
            line(reading.line),
        ]
    });
    let keys = [
        "date", "time", "point", "which", "leg", "written", "si", "quantity", "line",
    ];
    table("readings", &keys, rows.collect())
}

/// Every computed value, as shown and in SI.
fn values(compiled: &Compiled) -> Table {
    let display = compiled.job.display;
    let rows = compiled.values().into_iter().map(|derived| {
        vec![
            date(compiled, derived.visit),
            time(derived.at),
            Cell::text(derived.formula.id),
            Cell::optional(derived.which.as_deref()),
            Cell::text(derived.text(display)),
            number(derived.value.number()),
            Cell::text(derived.formula.expression),
        ]
    });
    let keys = ["date", "time", "value", "which", "shown", "si", "formula"];
    table("values", &keys, rows.collect())
}

fn causes(compiled: &Compiled) -> Table {
    let mut rows = Vec::new();
    for of_moment in super::causes::tables(compiled) {
        for cause in &of_moment.rows {
            rows.push(vec![
                Cell::text(of_moment.when),
                Cell::text(&of_moment.at),
                Cell::text(&cause.name),
                Cell::text(cause.fit),
                number(cause.probability),
            ]);
        }
    }
    let keys = ["moment", "time", "cause", "fit", "probability"];
    table("causes", &keys, rows)
}

/// What the customer is shown of the readings.
fn measured(compiled: &Compiled, words: &Words) -> Table {
    let shown = |r: &&crate::model::Reading| super::customer::OF_INTEREST.contains(&r.point);
    let rows = compiled.job.readings().filter(shown).map(|reading| {
        vec![
            date(compiled, reading.visit),
            time(reading.at),
            Cell::text(name(reading, words)),
            Cell::text(plain::value(reading, compiled.job.display)),
        ]
    });
    table(
        "readings",
        &["date", "time", "where", "value"],
        rows.collect(),
    )
}

fn recommended(compiled: &Compiled, words: &Words) -> Table {
    let rows = advice(&compiled.job, words).into_iter().map(|advice| {
        vec![
            Cell::text(match advice.urgency {
                Urgency::Now => "now",
                Urgency::Soon => "soon",
                Urgency::Later => "later",
                Urgency::Unstated => "",
            }),
            Cell::text(advice.text),
            Cell::optional(advice.otherwise),
            advice
                .taken_up_at
                .map_or_else(Cell::empty, |visit| date(compiled, visit)),
        ]
    });
    let keys = ["urgency", "what", "if_nothing_is_done", "worked_on"];
    table("recommended", &keys, rows.collect())
}

/// A row a visit and technician, times in minutes.
fn hours(compiled: &Compiled) -> Table {
    let mut told: Option<usize> = None;
    let people = compiled.derived.technicians.iter().map(|person| {
        // Travel and waiting are the visit's: once a visit, so that a column adds up.
        let visit = compiled.derived.times.get(person.visit);
        let visit = visit.filter(|_| told.replace(person.visit) != Some(person.visit));
        vec![
            date(compiled, person.visit),
            Cell::text(&person.name),
            Cell::minutes(person.on_site),
            visit.map_or_else(Cell::empty, |v| Cell::minutes(v.travel)),
            visit.map_or_else(Cell::empty, |v| Cell::minutes(v.waiting)),
        ]
    });
    let keys = [
        "date",
        "technician",
        "on_site_min",
        "visit_travel_min",
        "visit_waiting_min",
    ];
    table("hours", &keys, people.collect())
}

fn parts(compiled: &Compiled) -> Table {
    let rows = compiled.derived.parts.iter().map(|moved| {
        vec![
            date(compiled, moved.visit),
            time(moved.at),
            Cell::text(if moved.fitted { "fitted" } else { "removed" }),
            moved
                .part
                .count
                .map_or_else(Cell::empty, |count| Cell::count(count as usize)),
            Cell::text(&moved.part.name),
            Cell::optional(moved.part.number.as_deref()),
            line(moved.line),
        ]
    });
    let keys = ["date", "time", "way", "count", "part", "number", "line"];
    table("parts", &keys, rows.collect())
}

/// A row a movement, exact in kilograms.
fn refrigerant(compiled: &Compiled) -> Table {
    let display = compiled.job.display;
    let rows = compiled.derived.books.movements.iter().map(|movement| {
        let transfer = &movement.transfer;
        vec![
            date(compiled, movement.visit),
            time(movement.at),
            Cell::text(match transfer.flow {
                Flow::Added => "added",
                Flow::Recovered => "recovered",
            }),
            Cell::mass(transfer.mass, display),
            Cell::text(transfer.refrigerant_name()),
            Cell::optional(transfer.cylinder.as_deref()),
            Cell::optional(transfer.circuit.as_deref()),
            line(movement.line),
        ]
    });
    let keys = [
        "date",
        "time",
        "way",
        "kg",
        "refrigerant",
        "cylinder",
        "circuit",
        "line",
    ];
    table("refrigerant", &keys, rows.collect())
}
