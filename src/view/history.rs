//! One unit over the years, as a page shows it: the tables of `rimebook history`, and a strip of time.

use super::chart::Tick;
use crate::model::Flow;
use crate::quantity::Display;
use crate::records::history::of_unit;
use crate::records::{NotedKind, Record, Table, UnitKey};
use crate::say;
use crate::settings::Settings;
use crate::words::Words;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

/// The history of a unit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct History {
    /// Jobs, parts, refrigerant, readings.
    pub tables: Vec<HistoryTable>,
    /// Repeats, drift, doubts about spellings.
    pub remarks: Vec<String>,
    /// Notes and lines that are not in the tables.
    pub incomplete: Vec<String>,
    /// The same along a line of time; with three jobs or more.
    pub strip: Option<Strip>,
}

/// One table.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct HistoryTable {
    /// Its heading.
    pub title: String,
    /// Names of its columns.
    pub columns: Vec<String>,
    /// Rows of cells, as shown.
    pub rows: Vec<Vec<String>>,
    /// Sums, as shown; empty without any.
    pub total: Vec<String>,
}

/// Events along a line of time.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Strip {
    /// Name of its element, unique in a report.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// The same without the picture.
    pub alternative: Vec<String>,
    /// First and last day, counted from the first.
    pub ends: [f64; 2],
    /// Marked days.
    pub ticks: Vec<Tick>,
    /// Rows of events.
    pub rows: Vec<StripRow>,
}

/// Events of one kind.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct StripRow {
    /// What they are.
    pub name: String,
    /// Each: the day, counted from the first, and what is written at it.
    pub events: Vec<(f64, String)>,
}

/// Fewer jobs make no strip.
const LEAST_JOBS: usize = 3;

/// Titles and columns of the tables, in English: a message file may have others by these names.
pub const LABELS: &[(&str, &str)] = &[
    ("history-jobs", "Jobs"),
    ("history-parts", "Parts"),
    ("history-refrigerant", "Refrigerant in twelve months"),
    ("history-readings", "Readings, first and last of each job"),
    ("history-date", "date"),
    ("history-job", "job"),
    ("history-technicians", "technicians"),
    ("history-complaint", "complaint"),
    ("history-cause", "cause stated"),
    ("history-net_kg", "refrigerant net"),
    ("history-refrigerant-net_kg", "net"),
    ("history-file", "file"),
    ("history-way", "in or out"),
    ("history-count", "count"),
    ("history-part", "part"),
    ("history-number", "number"),
    ("history-line", "line"),
    ("history-from", "from"),
    ("history-to", "to"),
    ("history-added_kg", "added"),
    ("history-recovered_kg", "recovered"),
];

/// The history of one unit from what is kept of its notes, in any order.
pub fn of(key: &UnitKey, notes: &mut [&Record], settings: &Settings, words: &Words) -> History {
    notes.sort_by(|a, b| (a.first_date(), &a.file).cmp(&(b.first_date(), &b.file)));
    let answer = of_unit(key, notes, settings);
    History {
        tables: answer
            .tables
            .iter()
            .filter(|table| !table.rows.is_empty())
            .map(|table| shown(table, words))
            .collect(),
        remarks: answer.remarks,
        incomplete: answer.incomplete,
        strip: strip(notes, settings.units, words),
    }
}

fn shown(table: &Table, words: &Words) -> HistoryTable {
    // A column that is called otherwise in one table has a name of that table.
    let name = |key: &str| {
        let own = format!("history-{}-{key}", table.name);
        let is_own = LABELS.iter().any(|(known, _)| *known == own);
        if is_own {
            own
        } else {
            format!("history-{key}")
        }
    };
    let label = |key: &str, english: &str| {
        let id = name(key);
        // A column that needs no name in a terminal has one on a page.
        let declared = LABELS.iter().find(|(known, _)| *known == id);
        let english = match (english, declared) {
            ("", Some((_, declared))) => declared,
            (english, _) => english,
        };
        words.declared(&id, english)
    };
    let cells = |row: &Vec<crate::records::Cell>| row.iter().map(|c| c.shown.clone()).collect();
    HistoryTable {
        title: label(table.name, &table.title),
        columns: table
            .columns
            .iter()
            .map(|(key, english)| label(key, english))
            .collect(),
        rows: table.rows.iter().map(cells).collect(),
        total: table.total.as_ref().map_or_else(Vec::new, cells),
    }
}

fn strip(notes: &[&Record], display: Display, words: &Words) -> Option<Strip> {
    let dated: Vec<(Date, &Record)> = notes
        .iter()
        .filter_map(|record| Some((record.first_date()?, *record)))
        .collect();
    let (first, last) = (dated.first()?.0, dated.last()?.0);
    if dated.len() < LEAST_JOBS || first == last {
        return None;
    }
    let day = |date: Date| f64::from(first.until(date).map_or(0, |span| span.get_days()));
    let jobs = dated
        .iter()
        .map(|(date, record)| (day(*date), record.job.clone().unwrap_or_default()))
        .collect();
    let mut repairs = Vec::new();
    let mut added = Vec::new();
    for (date, record) in &dated {
        let kinds = record.events.iter().map(|e| e.kind);
        if kinds.clone().any(|k| matches!(k, NotedKind::Fitted)) {
            repairs.push((day(*date), String::new()));
        }
        let mass = record.movements.iter().filter(|m| m.flow == Flow::Added);
        let sum: crate::quantity::Mass = mass.clone().map(|m| m.mass).sum();
        if mass.count() > 0 {
            added.push((day(*date), display.mass(sum)));
        }
    }
    let rows: Vec<StripRow> = [
        ("strip-jobs", jobs),
        ("strip-parts", repairs),
        ("strip-added", added),
    ]
    .into_iter()
    .filter(|(_, events): &(&str, Vec<(f64, String)>)| !events.is_empty())
    .map(|(id, events)| StripRow {
        name: words.say(id),
        events,
    })
    .collect();
    let alternative = rows.iter().map(|row| {
        let texts = row.events.iter().map(|(at, text)| {
            let span = jiff::Span::new().days(*at as i64);
            let date = first.checked_add(span).unwrap_or(first);
            match text.is_empty() {
                true => date.to_string(),
                false => format!("{date} {text}"),
            }
        });
        format!("{}: {}", row.name, texts.collect::<Vec<_>>().join(", "))
    });
    Some(Strip {
        id: "history-strip".to_owned(),
        title: say!(words, "chart-history"),
        alternative: alternative.collect(),
        ends: [0.0, day(last)],
        ticks: ticks(first, last, day),
        rows,
    })
}

/// First days of years, or of months where the strip is short.
fn ticks(first: Date, last: Date, day: impl Fn(Date) -> f64) -> Vec<Tick> {
    let months = (i32::from(last.year()) - i32::from(first.year())) * 12 + i32::from(last.month())
        - i32::from(first.month());
    let step = match months {
        0..=5 => 1,
        6..=17 => 3,
        18..=59 => 6,
        _ => 12,
    };
    let start = Date::new(first.year(), 1, 1).unwrap_or(first);
    (0..)
        .map_while(|n| start.checked_add(jiff::Span::new().months(n * step)).ok())
        .take_while(|date| *date <= last)
        .filter(|date| *date >= first)
        .map(|date| Tick {
            at: day(date),
            text: match step {
                12 => date.year().to_string(),
                _ => date.strftime("%Y-%m").to_string(),
            },
        })
        .collect()
}
