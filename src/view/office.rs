//! What the office needs: hours, parts, refrigerant by cylinder, what is open.

use super::{Advice, Heading, OpenDebt, advice, clock, moment, names, open_debts};
use crate::compile::Compiled;
use crate::derive::{self, hours_minutes};
use crate::model::{EntryKind, Flow};
use crate::quantity::Mass;
use crate::vocabulary::{fold, plural};
use serde::Serialize;

/// The office sheet.
#[derive(Debug, Serialize)]
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
    /// Sums of the movements shown.
    pub balance: Option<Balance>,
    /// Food against the limit of the head.
    pub food: Option<super::food::FoodView>,
    /// What is still open.
    pub open: Vec<OpenDebt>,
    /// Recommendations to follow up.
    pub advice: Vec<Advice>,
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
#[derive(Debug, Serialize)]
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
#[derive(Debug, Serialize)]
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
#[derive(Debug, Serialize)]
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
#[derive(Debug, Serialize)]
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

/// A movement of refrigerant.
#[derive(Debug, Serialize)]
pub struct MovementRow {
    /// When.
    pub when: String,
    /// `added` or `recovered`.
    pub flow: &'static str,
    /// As written.
    pub amount: String,
    /// Kilograms, exact to the milligram.
    pub kg: String,
    /// Refrigerant, or that it is not known.
    pub refrigerant: String,
    /// Cylinder, or that it is not named.
    pub cylinder: String,
    /// Circuit.
    pub circuit: Option<String>,
    /// Added less recovered up to and with this one.
    pub balance: String,
    /// What the scale showed, as written.
    pub scale: Option<String>,
    /// Line.
    pub line: u32,
}

/// A cylinder's share.
#[derive(Debug, Serialize)]
pub struct CylinderRow {
    /// Cylinder, or that it is not named.
    pub cylinder: String,
    /// Refrigerant.
    pub refrigerant: String,
    /// Out of the cylinder, into the unit.
    pub taken: String,
    /// Into the cylinder, out of the unit.
    pub filled: String,
    /// What it holds after the last movement, or that it is not known.
    pub holds: String,
}

/// A circuit's share.
#[derive(Debug, Serialize)]
pub struct CircuitRow {
    /// Circuit, or that it is not named.
    pub circuit: String,
    /// Into it.
    pub added: String,
    /// Out of it.
    pub recovered: String,
    /// Added less recovered.
    pub net: String,
}

/// Sums.
#[derive(Debug, Serialize)]
pub struct Balance {
    /// All added.
    pub added: String,
    /// All recovered.
    pub recovered: String,
    /// Added less recovered.
    pub net: String,
    /// Net as a share of the full charge, where that is known.
    pub share: Option<String>,
    /// Charge after the last movement, or why it is not known.
    pub charge_now: String,
    /// What the unit had lost, by the books.
    pub net_loss: String,
    /// CO2-equivalent of the net addition, where every refrigerant is known.
    pub co2e: Option<String>,
    /// What the CO2-equivalent is counted on.
    pub co2e_basis: &'static str,
}

/// Builds the office view.
pub fn view(compiled: &Compiled) -> OfficeView {
    let job = &compiled.job;
    let derived = &compiled.derived;
    let display = job.display;
    let mut view = OfficeView {
        schema: format!("rimebook/office/{}", super::VIEW_VERSION),
        heading: Heading::of(job),
        visits: hours(compiled),
        total: total(compiled),
        technicians: technicians(compiled),
        people: people(compiled),
        fitted: parts(compiled, true),
        removed: parts(compiled, false),
        materials: Vec::new(),
        instruments: super::instruments(job),
        movements: Vec::new(),
        cylinders: Vec::new(),
        circuits: circuits(compiled),
        balance: balance(compiled),
        food: super::food::view(compiled),
        open: open_debts(job, derived),
        advice: advice(job),
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
                count: NOT_STATED.to_owned(),
                number: NOT_STATED.to_owned(),
                when: moment(job, visit, entry.at),
                line: entry.line,
            }),
            EntryKind::Approved(text) => view.approved.push(text.clone()),
            EntryKind::Declined(text) => view.declined.push(text.clone()),
            EntryKind::Photo(text) => view.photos.push(text.clone()),
            _ => {}
        }
    }
    for movement in &derived.ledger.movements {
        view.movements.push(MovementRow {
            when: moment(job, movement.visit, movement.at),
            flow: match movement.transfer.flow {
                Flow::Added => "added",
                Flow::Recovered => "recovered",
            },
            amount: movement.transfer.written.clone(),
            kg: format!("{:.3}", movement.transfer.mass.kilogram()),
            refrigerant: movement.transfer.refrigerant_name().to_owned(),
            cylinder: movement
                .transfer
                .cylinder
                .clone()
                .unwrap_or_else(|| "not named".to_owned()),
            circuit: movement.transfer.circuit.clone(),
            balance: display.mass(movement.balance),
            scale: movement
                .transfer
                .weighing
                .as_ref()
                .map(|w| w.written.clone()),
            line: movement.line,
        });
    }
    view.cylinders = derived
        .ledger
        .cylinders()
        .into_iter()
        .map(|row| CylinderRow {
            cylinder: row.cylinder.unwrap_or("not named").to_owned(),
            refrigerant: row.refrigerant.to_owned(),
            taken: amount(row.taken, display),
            filled: amount(row.filled, display),
            holds: derived
                .ledger
                .held_after(row.cylinder)
                .map_or_else(|| "not known".to_owned(), |held| display.mass(held)),
        })
        .collect();
    view
}

const NOT_STATED: &str = "not stated";

fn parts(compiled: &Compiled, fitted: bool) -> Vec<PartRow> {
    let moved = compiled.derived.parts.iter().filter(|p| p.fitted == fitted);
    moved
        .map(|moved| PartRow {
            text: moved.text.clone(),
            name: moved.part.name.clone(),
            count: moved
                .part
                .count
                .map_or_else(|| NOT_STATED.to_owned(), |count| count.to_string()),
            number: moved
                .part
                .number
                .clone()
                .unwrap_or_else(|| NOT_STATED.to_owned()),
            when: moment(&compiled.job, moved.visit, moved.at),
            line: moved.line,
        })
        .collect()
}

fn technicians(compiled: &Compiled) -> Vec<TechnicianRow> {
    let rows = &compiled.derived.technicians;
    if rows.len() <= compiled.job.visits.len() {
        return Vec::new(); // one a visit at most: the table of visits says it
    }
    rows.iter()
        .map(|row| TechnicianRow {
            name: row.name.clone(),
            of: moment(&compiled.job, row.visit, None),
            on_site: recorded(row.on_site),
            incomplete: row.on_site.is_none(),
        })
        .collect()
}

fn people(compiled: &Compiled) -> Vec<TechnicianRow> {
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
                of: plural(own.len(), "visit"),
                on_site: recorded((!known.is_empty()).then(|| known.iter().sum())),
                incomplete: known.len() < own.len(),
            }
        })
        .collect()
}

fn circuits(compiled: &Compiled) -> Vec<CircuitRow> {
    let display = compiled.job.display;
    let rows = compiled.derived.ledger.circuits();
    rows.into_iter()
        .map(|row| CircuitRow {
            circuit: row.circuit.unwrap_or("not named").to_owned(),
            added: amount(row.added, display),
            recovered: amount(row.recovered, display),
            net: display.mass(row.added - row.recovered),
        })
        .collect()
}

fn charge_now(compiled: &Compiled) -> String {
    let display = compiled.job.display;
    match derive::charge::charge_now(&compiled.derived) {
        Err(why) => format!("not known: {why}"),
        Ok(charge) => {
            let full = compiled.job.unit.charge.filter(|c| c.kilogram() > 0.0);
            let share = full.map_or_else(
                || "share not known: no full charge in the head".to_owned(),
                |full| {
                    let percent = 100.0 * charge.kilogram() / full.kilogram();
                    format!("{} % of full charge", crate::quantity::fixed(percent, 1))
                },
            );
            format!(
                "{}, {share}, weighed in since the evacuation",
                display.mass(charge)
            )
        }
    }
}

fn net_loss(compiled: &Compiled) -> String {
    use derive::charge::NetLoss;
    let display = compiled.job.display;
    match derive::charge::net_loss(&compiled.job, &compiled.derived) {
        NetLoss::FirstCharge => "none: a first charge".to_owned(),
        NetLoss::None => "none by these movements".to_owned(),
        NetLoss::Lost(mass) => format!("{} (added less recovered)", display.mass(mass)),
        NetLoss::PerhapsFirst(mass) => format!(
            "{} (added less recovered), unless this was a first charge",
            display.mass(mass)
        ),
    }
}

fn amount(mass: Mass, display: crate::quantity::Display) -> String {
    if mass == Mass::ZERO {
        "–".to_owned()
    } else {
        display.mass(mass)
    }
}

fn hours(compiled: &Compiled) -> Vec<HoursRow> {
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
                    "not recorded".to_owned()
                } else {
                    times.join(", ")
                }
            };
            HoursRow {
                date: moment(job, i, None),
                technicians: names(visit),
                arrive: at(true),
                depart: at(false),
                on_site: recorded(time.on_site),
                travel: recorded(time.travel),
                waiting: time.waiting.map_or_else(|| "–".to_owned(), hours_minutes),
            }
        })
        .collect()
}

fn recorded(minutes: Option<i32>) -> String {
    minutes.map_or_else(|| "not recorded".to_owned(), hours_minutes)
}

fn total(compiled: &Compiled) -> TotalRow {
    let times = &compiled.derived.times;
    let sum = |part: fn(&crate::derive::VisitTime) -> Option<i32>| {
        let known: Vec<i32> = times.iter().filter_map(part).collect();
        (!known.is_empty()).then(|| known.iter().sum::<i32>())
    };
    TotalRow {
        on_site: recorded(sum(|t| t.on_site)),
        travel: recorded(sum(|t| t.travel)),
        waiting: sum(|t| t.waiting).map_or_else(|| "–".to_owned(), hours_minutes),
        incomplete: times.iter().any(|t| t.on_site.is_none()),
    }
}

fn balance(compiled: &Compiled) -> Option<Balance> {
    let ledger = &compiled.derived.ledger;
    if ledger.movements.is_empty() {
        return None;
    }
    let display = compiled.job.display;
    let net = ledger.net();
    let share = compiled
        .job
        .unit
        .charge
        .filter(|c| c.kilogram() > 0.0)
        .map(|c| format!("{:.1} %", 100.0 * net.kilogram() / c.kilogram()));
    let co2e: Option<f64> = ledger
        .movements
        .iter()
        .map(|m| {
            let sign = if m.transfer.flow == Flow::Added {
                1.0
            } else {
                -1.0
            };
            let gwp = m.transfer.refrigerant.and_then(|r| r.gwp.ar4)?;
            Some(sign * m.transfer.mass.kilogram() * gwp / 1000.0)
        })
        .sum();
    Some(Balance {
        added: display.mass(ledger.added),
        recovered: display.mass(ledger.recovered),
        net: display.mass(net),
        share,
        charge_now: charge_now(compiled),
        net_loss: net_loss(compiled),
        co2e: co2e.map(|t| format!("{} t CO2e", crate::quantity::fixed(t, 2))),
        co2e_basis: crate::refrigerant::GWP_BASIS,
    })
}
