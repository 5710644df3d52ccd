//! One unit over the years: jobs, causes, parts, refrigerant, readings against healthy ones, repeats.

use super::ledger::by_unit;
use super::{
    Answer, Cell, NotedKind, Record, Table, UnitKey, days_between, in_order, not_counted,
    spelling_doubts,
};
use crate::model::Flow;
use crate::quantity::{Display, Mass, TemperatureDifference};
use crate::settings::Settings;
use crate::vocabulary::faults::Fault;
use crate::vocabulary::{Symptom, fold, nearest};
use jiff::civil::Date;

/// Parts that are changed by the calendar, or whenever a circuit is opened: no failure. Common
/// practice, no source.
const CONSUMABLES: &[&str] = &[
    "filter",
    "drier",
    "belt",
    "cap",
    "core",
    "gasket kit",
    "oil",
];

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

/// The unit that a text names, with its notes.
///
/// # Errors
/// A sentence that lists what it may be.
pub fn find<'a>(
    records: &'a [Record],
    asked: &str,
) -> Result<(&'a UnitKey, Vec<&'a Record>), String> {
    let units = by_unit(records);
    let wanted = fold(asked);
    let plain = asked.trim().to_lowercase();
    let whole = |key: &UnitKey| key.name().to_lowercase() == plain;
    let tag = |key: &UnitKey| key.tag.to_lowercase() == plain;
    let loose = |key: &UnitKey| [fold(&key.tag), fold(&key.name())].contains(&wanted);
    // As written first: `WIF-2` and `WIF 2` are two until somebody says that they are one.
    let ways: [&dyn Fn(&UnitKey) -> bool; 3] = [&whole, &tag, &loose];
    let fits = ways
        .into_iter()
        .filter(|_| !wanted.is_empty())
        .map(|fits| {
            units
                .iter()
                .filter(|(key, _)| fits(key))
                .collect::<Vec<_>>()
        })
        .find(|fits| !fits.is_empty())
        .unwrap_or_default();
    match fits.as_slice() {
        [(key, notes)] => Ok((key, notes.clone())),
        [] => {
            let tags: Vec<&str> = units.iter().map(|(key, _)| key.tag.as_str()).collect();
            let near = nearest(asked, tags.iter().copied());
            let hint = match near {
                Some(tag) => format!("is `{tag}` meant?"),
                None => format!("units: {}", some(&tags)),
            };
            Err(format!("no note is of a unit `{asked}`; {hint}"))
        }
        several => {
            let all: Vec<String> = several
                .iter()
                .map(|(key, _)| format!("`{}`", key.name()))
                .collect();
            Err(format!(
                "`{asked}` is several units; name one: {}",
                all.join(", ")
            ))
        }
    }
}

fn some(tags: &[&str]) -> String {
    let mut tags: Vec<&str> = tags.iter().copied().filter(|t| !t.is_empty()).collect();
    tags.sort_unstable();
    tags.dedup();
    let more = if tags.len() > 12 { " …" } else { "" };
    tags.truncate(12);
    format!("{}{more}", tags.join(", "))
}

/// Builds the history of a unit.
///
/// # Errors
/// As [`find`].
pub fn history(
    mut records: Vec<Record>,
    settings: &Settings,
    asked: &str,
) -> Result<Answer, String> {
    in_order(&mut records);
    let (key, notes) = find(&records, asked)?;
    let display = settings.units;
    let mut answer = Answer::new("history", format!("History of {}", key.name()));
    answer.tables.push(jobs(&notes, display));
    answer.tables.push(parts(&notes));
    answer.tables.push(twelve_months(&notes, display));
    answer.tables.push(readings(&notes, display));
    answer
        .remarks
        .extend(repeats(&notes, settings.repeat_months));
    answer.remarks.extend(drift(&notes, display));
    // Doubts about this unit's spelling bear on it; those about others do not.
    let of_unit = |line: &String| {
        line.contains(&format!("`{}`", key.tag)) || line.contains(&format!("`{}`", key.site))
    };
    let doubts = spelling_doubts(&records);
    answer.remarks.extend(doubts.into_iter().filter(of_unit));
    answer.incomplete.extend(not_counted(notes.iter().copied()));
    Ok(answer)
}

fn date(record: &Record, visit: usize) -> Cell {
    Cell::optional(record.date(visit).map(|d| d.to_string()))
}

fn texts(record: &Record, wanted: impl Fn(NotedKind) -> bool) -> String {
    let all: Vec<&str> = record
        .events
        .iter()
        .filter(|e| wanted(e.kind))
        .map(|e| e.text.as_str())
        .collect();
    all.join("; ")
}

fn net(record: &Record) -> Mass {
    let of = |flow| -> Mass {
        let movements = record.movements.iter().filter(|m| m.flow == flow);
        movements.map(|m| m.mass).sum()
    };
    of(Flow::Added) - of(Flow::Recovered)
}

fn jobs(notes: &[&Record], display: Display) -> Table {
    let rows = notes.iter().map(|record| {
        let who: Vec<&str> = {
            let mut names: Vec<&str> = Vec::new();
            for person in record.visits.iter().flat_map(|v| &v.people) {
                if !names.contains(&person.name.as_str()) {
                    names.push(&person.name);
                }
            }
            names
        };
        vec![
            date(record, 0),
            Cell::optional(record.job.as_deref()),
            Cell::text(who.join(", ")),
            Cell::optional(record.complaint.as_deref()),
            Cell::text(texts(record, |k| matches!(k, NotedKind::Cause(_)))),
            match record.movements.is_empty() {
                true => Cell::empty(),
                false => Cell::mass(net(record), display),
            },
            Cell::text(&record.file),
        ]
    });
    let nets: Vec<Mass> = notes.iter().map(|r| net(r)).collect();
    Table {
        name: "jobs",
        title: "Jobs".to_owned(),
        columns: vec![
            ("date", "date"),
            ("job", "job"),
            ("technicians", "technicians"),
            ("complaint", "complaint"),
            ("cause", "cause stated"),
            ("net_kg", "refrigerant net"),
            ("file", "file"),
        ],
        rows: rows.collect(),
        total: Some(vec![
            Cell::text("total"),
            Cell::empty(),
            Cell::empty(),
            Cell::empty(),
            Cell::empty(),
            Cell::sum(&nets, display),
            Cell::empty(),
        ]),
    }
}

fn parts(notes: &[&Record]) -> Table {
    let mut rows = Vec::new();
    for record in notes {
        for moved in &record.parts {
            let mut row = vec![date(record, moved.visit)];
            row.extend(super::part_cells(moved));
            row.push(Cell::text(format!("{}:{}", record.file, moved.line)));
            rows.push(row);
        }
    }
    Table {
        name: "parts",
        title: "Parts".to_owned(),
        columns: vec![
            ("date", "date"),
            ("way", ""),
            ("count", "count"),
            ("part", "part"),
            ("number", "number"),
            ("line", "line"),
        ],
        rows,
        total: None,
    }
}

/// Stretches of twelve months back from the unit's last note.
fn twelve_months(notes: &[&Record], display: Display) -> Table {
    let movements = || notes.iter().flat_map(|r| &r.movements);
    let dates = || {
        notes
            .iter()
            .flat_map(|r| r.visits.iter().filter_map(|v| v.date))
    };
    let mut rows = Vec::new();
    let mut sums: [Vec<Mass>; 3] = Default::default();
    let (Some(first), Some(last)) = (dates().min(), dates().max()) else {
        return twelve_month_table(rows, None);
    };
    let mut to = last;
    while to >= first {
        let year = jiff::Span::new().months(12);
        let Ok(before) = to.checked_sub(year) else {
            break;
        };
        let within = |date: Option<Date>| date.is_some_and(|d| d > before && d <= to);
        let sum = |flow| -> Mass {
            let own = movements().filter(|m| m.flow == flow && within(m.date));
            own.map(|m| m.mass).sum()
        };
        let (added, recovered) = (sum(Flow::Added), sum(Flow::Recovered));
        let from = before.tomorrow().unwrap_or(before);
        rows.push(vec![
            Cell::text(from.to_string()),
            Cell::text(to.to_string()),
            Cell::mass(added, display),
            Cell::mass(recovered, display),
            Cell::mass(added - recovered, display),
        ]);
        for (column, mass) in sums.iter_mut().zip([added, recovered, added - recovered]) {
            column.push(mass);
        }
        to = before;
    }
    let total = vec![
        Cell::text("total"),
        Cell::empty(),
        Cell::sum(&sums[0], display),
        Cell::sum(&sums[1], display),
        Cell::sum(&sums[2], display),
    ];
    twelve_month_table(rows, Some(total))
}

fn twelve_month_table(rows: Vec<Vec<Cell>>, total: Option<Vec<Cell>>) -> Table {
    Table {
        name: "refrigerant",
        title: "Refrigerant in twelve months".to_owned(),
        columns: vec![
            ("from", "from"),
            ("to", "to"),
            ("added_kg", "added"),
            ("recovered_kg", "recovered"),
            ("net_kg", "net"),
        ],
        rows,
        total,
    }
}

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
    let own = |v: &&super::ValueRecord| v.symptom == symptom && v.phase == moment.phase;
    moment.record.values.iter().find(own).map(|v| v.value)
}

fn readings(notes: &[&Record], display: Display) -> Table {
    let rows = moments(notes).into_iter().map(|moment| {
        let mut row = vec![
            date(moment.record, moment.visit),
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
fn drift(notes: &[&Record], display: Display) -> Vec<String> {
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

/// The same cause, or the same part, again within so many months.
fn repeats(notes: &[&Record], months: u32) -> Vec<String> {
    let mut seen: Vec<(String, Date, &Record)> = Vec::new();
    for record in notes {
        let causes = record.events.iter().filter_map(|noted| match noted.kind {
            NotedKind::Cause(Some(fault)) => {
                Some((noted.visit, format!("cause {}", fault_name(fault))))
            }
            _ => None,
        });
        let parts = record.parts.iter().filter(|moved| moved.fitted);
        let parts = parts
            .filter_map(|moved| Some((moved.visit, format!("part {}", part(&moved.part.name)?))));
        for (visit, what) in causes.chain(parts) {
            if let Some(date) = record.date(visit) {
                seen.push((what, date, record));
            }
        }
    }
    let mut said = Vec::new();
    for (i, (what, date, record)) in seen.iter().enumerate() {
        let before = seen[..i]
            .iter()
            .rev()
            .find(|(other, _, earlier)| other == what && earlier.file != record.file);
        let Some((_, first, earlier)) = before else {
            continue;
        };
        let span = jiff::Span::new().months(i64::from(months.min(1200)));
        let is_soon = first.checked_add(span).is_ok_and(|end| *date <= end);
        let sentence = format!(
            "repeat: {what} on {first} ({}) and again {} later, on {date} ({})",
            earlier.name(),
            crate::vocabulary::plural(days_between(*first, *date), "day"),
            record.name()
        );
        if is_soon && !said.contains(&sentence) {
            said.push(sentence);
        }
    }
    said
}

fn fault_name(fault: Fault) -> &'static str {
    crate::vocabulary::faults::FAULTS
        .iter()
        .find(|row| row.fault == fault)
        .map_or("not named", |row| row.name)
}

/// What a part is called, without its count, size and number; `None` for what is changed anyway.
fn part(text: &str) -> Option<String> {
    let first = text.split([',', ';']).next().unwrap_or("");
    let words: Vec<String> = fold(first)
        .split(' ')
        .filter(|w| w.chars().count() > 1 && !w.chars().any(|c| c.is_ascii_digit()))
        .map(|w| w.strip_suffix('s').unwrap_or(w).to_owned())
        .collect();
    let name = words.join(" ");
    let is_consumable = CONSUMABLES
        .iter()
        .any(|c| format!(" {name} ").contains(&format!(" {c} ")));
    (!name.is_empty() && !is_consumable).then_some(name)
}
