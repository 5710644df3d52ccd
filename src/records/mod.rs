//! The books over many notes: refrigerant, hours, what is open, a unit's history.
//!
//! Each note gives a [`Record`], which keeps only what the books need; the note itself is let go. The
//! answers are built from records alone, in any order of the files they came from.

pub mod answer;
pub mod history;
pub mod hours;
mod identity;
mod leaks;
pub mod open;
mod period;
mod readings;
mod record;
pub mod refrigerant;

pub use answer::{Answer, Cell, Table};
pub use identity::UnitKey;
pub use leaks::{assess, events};
pub use period::Period;
pub use record::{
    Closing, DebtRecord, MovementRecord, Noted, NotedKind, Person, Purpose, Record, ValueRecord,
    VisitRecord,
};

use crate::derive::parts::PartMoved;
use jiff::civil::Date;

/// Records in order of their days, then of their files: any order of reading gives this one.
pub fn in_order(records: &mut [Record]) {
    records.sort_by(|a, b| (a.first_date(), &a.file).cmp(&(b.first_date(), &b.file)));
}

/// Leaves of notes with one and the same text only the first, and names the others: a copy or a link
/// is no second job.
pub fn without_copies(records: &mut Vec<Record>) -> Vec<String> {
    let mut first: rustc_hash::FxHashMap<u64, String> = rustc_hash::FxHashMap::default();
    let mut said = Vec::new();
    records.retain(|record| match first.get(&record.text) {
        Some(file) => {
            said.push(format!(
                "{} is the same note as {file}: counted once",
                record.file
            ));
            false
        }
        None => {
            first.insert(record.text, record.file.clone());
            true
        }
    });
    said
}

/// What an answer must say of the records it was built from: doubtful spellings, lines not counted.
pub fn say_doubts(answer: &mut Answer, records: &[Record]) {
    answer.remarks.extend(spelling_doubts(records));
    let nameless = records.iter().filter(|r| r.unit.site.is_empty()).count();
    if nameless > 1 {
        let notes = crate::vocabulary::plural(nameless, "note");
        answer.remarks.push(format!(
            "{notes} name neither site nor customer: units of one tag among them are counted as one"
        ));
    }
    answer.incomplete.extend(not_counted(records));
}

/// Spellings of units and sites that may mean one, a sentence each.
pub fn spelling_doubts_of(keys: &[UnitKey]) -> Vec<String> {
    identity::doubts(keys)
}

/// Spellings that may mean one unit or one site.
fn spelling_doubts(records: &[Record]) -> Vec<String> {
    let mut keys: Vec<UnitKey> = records.iter().map(|r| r.unit.clone()).collect();
    keys.sort();
    keys.dedup();
    identity::doubts(&keys)
}

/// The lines that were not counted, each with its file.
fn not_counted<'a>(records: impl IntoIterator<Item = &'a Record>) -> Vec<String> {
    let lines = |record: &'a Record| {
        let said = |line: &String| format!("{}: {line}", record.file);
        record.not_counted.iter().map(said)
    };
    records.into_iter().flat_map(lines).collect()
}

/// The notes of each unit, units in order of site and tag.
fn by_unit(records: &[Record]) -> Vec<(&UnitKey, Vec<&Record>)> {
    let mut units: std::collections::BTreeMap<(String, String), (&UnitKey, Vec<&Record>)> =
        std::collections::BTreeMap::new();
    for record in records {
        let entry = units
            .entry(record.unit.folded())
            .or_insert_with(|| (&record.unit, Vec::new()));
        entry.1.push(record);
    }
    units.into_values().collect()
}

/// Whole days from one to a later day; none before it.
fn days_between(from: Date, to: Date) -> usize {
    let days = from.until(to).map_or(0, |span| span.get_days());
    usize::try_from(days).unwrap_or(0)
}

/// The day of a visit.
fn day_cell(record: &Record, visit: usize) -> Cell {
    Cell::optional(record.date(visit).map(|d| d.to_string()))
}

/// A part as every table has it: which way, how many, what, its number.
fn part_cells(moved: &PartMoved) -> [Cell; 4] {
    let part = &moved.part;
    [
        Cell::text(if moved.fitted { "fitted" } else { "removed" }),
        match part.count {
            Some(count) => Cell::count(count as usize),
            None => Cell::unknown("not stated"),
        },
        Cell::text(&part.name),
        Cell::optional(part.number.as_deref()),
    ]
}
