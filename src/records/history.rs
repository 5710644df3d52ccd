//! One unit over the years: jobs, causes, parts, refrigerant, readings against healthy ones, repeats.

use super::readings::{drift, readings};
use super::{
    Answer, Cell, NotedKind, Record, Table, UnitKey, by_unit, day_cell, days_between, in_order,
    not_counted, spelling_doubts,
};
use crate::model::Flow;
use crate::quantity::{Display, Mass};
use crate::settings::Settings;
use crate::vocabulary::faults::Fault;
use crate::vocabulary::{fold, nearest};
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
    let mut answer = of_unit(key, &notes, settings);
    // Doubts about this unit's spelling bear on it; those about others do not.
    let of_unit = |line: &String| {
        line.contains(&format!("`{}`", key.tag)) || line.contains(&format!("`{}`", key.site))
    };
    let doubts = spelling_doubts(&records);
    answer.remarks.extend(doubts.into_iter().filter(of_unit));
    Ok(answer)
}

/// The history of one unit from its notes alone, in order of their days.
pub fn of_unit(key: &UnitKey, notes: &[&Record], settings: &Settings) -> Answer {
    let display = settings.units;
    let mut answer = Answer::new("history", format!("History of {}", key.name()));
    answer.tables.push(jobs(notes, display));
    answer.tables.push(parts(notes));
    answer.tables.push(twelve_months(notes, display));
    answer.tables.push(readings(notes, display));
    answer
        .remarks
        .extend(repeats(notes, settings.repeat_months));
    answer.remarks.extend(drift(notes, display));
    answer.incomplete.extend(not_counted(notes.iter().copied()));
    answer
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
            day_cell(record, 0),
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
            let mut row = vec![day_cell(record, moved.visit)];
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
