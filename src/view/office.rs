//! What the office needs: hours, parts, refrigerant by cylinder, what is open.

use super::advice::{Advice, advice};
use super::answers::booked;
use super::books::{self, Balance, CircuitRow, CylinderRow, MovementRow};
use super::{Heading, OpenDebt, clock, names, open_debts};
use crate::compile::Compiled;
use crate::derive::hours_minutes;
use crate::model::EntryKind;
use crate::say;
use crate::vocabulary::fold;
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// The office sheet.
#[derive(Debug, JsonSchema, Serialize)]
pub struct OfficeView {
    /// Form and version.
    pub schema: String,
    /// Name and place.
    pub heading: Heading,
    /// Hours, a row a visit.
    pub visits: Vec<HoursRow>,
    /// Sum of the hours recorded, and whether any is missing.
    pub total: TotalRow,
    /// Hours, a row a visit and technician; empty when one row would repeat the visit.
    pub technicians: Vec<TechnicianRow>,
    /// Sums, a row a technician.
    pub people: Vec<TechnicianRow>,
    /// Parts in.
    pub fitted: Vec<PartRow>,
    /// Parts out.
    pub removed: Vec<PartRow>,
    /// Materials used, as written.
    pub materials: Vec<PartRow>,
    /// Instruments used.
    pub instruments: Vec<String>,
    /// Refrigerant, a row a movement.
    pub movements: Vec<MovementRow>,
    /// Refrigerant, a row a cylinder.
    pub cylinders: Vec<CylinderRow>,
    /// Refrigerant, a row a circuit; empty when none is named.
    pub circuits: Vec<CircuitRow>,
    /// Refrigerant moved, as a bar.
    pub bar: Option<super::chart::Bar>,
    /// Sums of the movements shown.
    pub balance: Option<Balance>,
    /// Food against the limit of the head.
    pub food: Option<super::food::FoodView>,
    /// What is still open.
    pub open: Vec<OpenDebt>,
    /// Recommendations to follow up.
    pub advice: Vec<Advice>,
    /// True when anything was recommended, whatever became of it.
    pub advised: bool,
    /// Visits arranged.
    pub booked: Vec<String>,
    /// What the customer agreed to.
    pub approved: Vec<String>,
    /// What the customer did not want.
    pub declined: Vec<String>,
    /// Duties on refrigerant, where a jurisdiction is named.
    pub rules: Option<super::rules::RulesView>,
    /// Photographs with a file name.
    pub pictures: Vec<super::pictures::Picture>,
    /// Photographs to file.
    pub photos: Vec<String>,
    /// Lines that were not counted: the books are incomplete.
    pub not_counted: Vec<String>,
}

/// Hours of one visit.
#[derive(Debug, JsonSchema, Serialize)]
pub struct HoursRow {
    /// Date.
    pub date: String,
    /// Technicians.
    pub technicians: String,
    /// Arrival.
    pub arrive: String,
    /// Departure.
    pub depart: String,
    /// Time on site.
    pub on_site: String,
    /// Travel.
    pub travel: String,
    /// Waiting, within the time on site.
    pub waiting: String,
}

/// Sums of the hours.
#[derive(Debug, JsonSchema, Serialize)]
pub struct TotalRow {
    /// On site.
    pub on_site: String,
    /// Travel.
    pub travel: String,
    /// Waiting.
    pub waiting: String,
    /// True when a visit lacks its arrival or departure.
    pub incomplete: bool,
}

/// Hours of one technician.
#[derive(Debug, JsonSchema, Serialize)]
pub struct TechnicianRow {
    /// Name.
    pub name: String,
    /// Date of the visit, or how many visits.
    pub of: String,
    /// Time on site, or that it is not recorded.
    pub on_site: String,
    /// True when the time of some visit is not recorded.
    pub incomplete: bool,
}

/// A part or a material.
#[derive(Debug, JsonSchema, Serialize)]
pub struct PartRow {
    /// The line, as written.
    pub text: String,
    /// What, without count and part number.
    pub name: String,
    /// How many, or that it is not stated.
    pub count: String,
    /// Part number, or that it is not stated.
    pub number: String,
    /// When.
    pub when: String,
    /// Line.
    pub line: u32,
}

/// Builds the office view.
pub fn view(compiled: &Compiled, words: &Words) -> OfficeView {
    let job = &compiled.job;
    let derived = &compiled.derived;
    let mut view = OfficeView {
        schema: format!("rimebook/office/{}", super::VIEW_VERSION),
        heading: Heading::of(job, words),
        visits: hours(compiled, words),
        total: total(compiled, words),
        technicians: technicians(compiled, words),
        people: people(compiled, words),
        fitted: parts(compiled, true, words),
        removed: parts(compiled, false, words),
        materials: Vec::new(),
        instruments: super::instruments(job),
        movements: books::movements(compiled, words),
        cylinders: books::cylinders(compiled, words),
        circuits: books::circuits(compiled, words),
        bar: super::chart::balance(compiled, words),
        balance: books::balance(compiled, words),
        food: super::food::view(compiled, words),
        open: open_debts(job, derived, words),
        advice: advice(job, words),
        advised: false,
        booked: booked(compiled, words),
        approved: Vec::new(),
        declined: Vec::new(),
        rules: None,
        pictures: Vec::new(),
        photos: Vec::new(),
        not_counted: compiled.not_counted(),
    };
    for (visit, entry) in job.entries() {
        match &entry.kind {
            EntryKind::Material(text) => view.materials.push(PartRow {
                text: text.clone(),
                name: text.clone(),
                count: say!(words, "not-stated-short"),
                number: say!(words, "not-stated-short"),
                when: words.moment(job, visit, entry.at),
                line: entry.line,
            }),
            EntryKind::Advise { .. } => view.advised = true,
            EntryKind::Approved(text) => view.approved.push(text.clone()),
            EntryKind::Declined(text) => view.declined.push(text.clone()),
            EntryKind::Photo(text) => view.photos.push(text.clone()),
            _ => {}
        }
    }
    view
}

fn parts(compiled: &Compiled, fitted: bool, words: &Words) -> Vec<PartRow> {
    let moved = compiled.derived.parts.iter().filter(|p| p.fitted == fitted);
    moved
        .map(|moved| PartRow {
            text: moved.text.clone(),
            name: moved.part.name.clone(),
            count: moved.part.count.map_or_else(
                || say!(words, "not-stated-short"),
                |count| count.to_string(),
            ),
            number: moved
                .part
                .number
                .clone()
                .unwrap_or_else(|| say!(words, "not-stated-short")),
            when: words.moment(&compiled.job, moved.visit, moved.at),
            line: moved.line,
        })
        .collect()
}

fn technicians(compiled: &Compiled, words: &Words) -> Vec<TechnicianRow> {
    let rows = &compiled.derived.technicians;
    if rows.len() <= compiled.job.visits.len() {
        return Vec::new(); // one a visit at most: the table of visits says it
    }
    rows.iter()
        .map(|row| TechnicianRow {
            name: row.name.clone(),
            of: words.moment(&compiled.job, row.visit, None),
            on_site: recorded(row.on_site, words),
            incomplete: row.on_site.is_none(),
        })
        .collect()
}

fn people(compiled: &Compiled, words: &Words) -> Vec<TechnicianRow> {
    let rows = &compiled.derived.technicians;
    let mut names: Vec<&str> = Vec::new();
    for row in rows {
        if !names.iter().any(|n| fold(n) == fold(&row.name)) {
            names.push(&row.name);
        }
    }
    // One technician: the sum of the visits says it; one visit: its own rows do.
    if names.len() < 2 || compiled.job.visits.len() < 2 {
        return Vec::new();
    }
    names
        .into_iter()
        .map(|name| {
            let own: Vec<_> = rows
                .iter()
                .filter(|r| fold(&r.name) == fold(name))
                .collect();
            let known: Vec<i32> = own.iter().filter_map(|r| r.on_site).collect();
            TechnicianRow {
                name: name.to_owned(),
                of: say!(words, "count-visits", count = own.len()),
                on_site: recorded((!known.is_empty()).then(|| known.iter().sum()), words),
                incomplete: known.len() < own.len(),
            }
        })
        .collect()
}

fn hours(compiled: &Compiled, words: &Words) -> Vec<HoursRow> {
    let job = &compiled.job;
    job.visits
        .iter()
        .zip(&compiled.derived.times)
        .enumerate()
        .map(|(i, (visit, time))| {
            let at = |arriving: bool| {
                let times: Vec<String> = visit
                    .entries
                    .iter()
                    .filter(|e| match e.kind {
                        EntryKind::Arrive(_) => arriving,
                        EntryKind::Depart(_) => !arriving,
                        _ => false,
                    })
                    .map(|e| clock(e.at))
                    .collect();
                if times.is_empty() {
                    say!(words, "not-recorded")
                } else {
                    times.join(", ")
                }
            };
            HoursRow {
                date: words.moment(job, i, None),
                technicians: names(visit),
                arrive: at(true),
                depart: at(false),
                on_site: recorded(time.on_site, words),
                travel: recorded(time.travel, words),
                waiting: time.waiting.map_or_else(|| "–".to_owned(), hours_minutes),
            }
        })
        .collect()
}

fn recorded(minutes: Option<i32>, words: &Words) -> String {
    minutes.map_or_else(|| say!(words, "not-recorded"), hours_minutes)
}

fn total(compiled: &Compiled, words: &Words) -> TotalRow {
    let times = &compiled.derived.times;
    let sum = |part: fn(&crate::derive::VisitTime) -> Option<i32>| {
        let known: Vec<i32> = times.iter().filter_map(part).collect();
        (!known.is_empty()).then(|| known.iter().sum::<i32>())
    };
    TotalRow {
        on_site: recorded(sum(|t| t.on_site), words),
        travel: recorded(sum(|t| t.travel), words),
        waiting: sum(|t| t.waiting).map_or_else(|| "–".to_owned(), hours_minutes),
        incomplete: times.iter().any(|t| t.on_site.is_none()),
    }
}
