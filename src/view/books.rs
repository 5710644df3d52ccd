//! The refrigerant books of a job, as the office keeps them.

use crate::compile::Compiled;
use crate::derive::charge::{self, NetLoss};
use crate::model::Flow;
use crate::quantity::{Display, Mass, fixed};
use crate::say;
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// A movement of refrigerant.
#[derive(Debug, JsonSchema, Serialize)]
pub struct MovementRow {
    /// When.
    pub when: String,
    /// `added` or `recovered`.
    pub flow: String,
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
#[derive(Debug, JsonSchema, Serialize)]
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
#[derive(Debug, JsonSchema, Serialize)]
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
#[derive(Debug, JsonSchema, Serialize)]
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

/// A row a movement, in order.
pub(super) fn movements(compiled: &Compiled, words: &Words) -> Vec<MovementRow> {
    let display = compiled.job.display;
    let movements = compiled.derived.books.movements.iter();
    movements
        .map(|movement| MovementRow {
            when: words.moment(&compiled.job, movement.visit, movement.at),
            flow: match movement.transfer.flow {
                Flow::Added => say!(words, "flow-added"),
                Flow::Recovered => say!(words, "flow-recovered"),
            },
            amount: movement.transfer.written.clone(),
            kg: format!("{:.3}", movement.transfer.mass.kilogram()),
            refrigerant: named(movement.transfer.refrigerant_name(), words),
            cylinder: movement
                .transfer
                .cylinder
                .clone()
                .unwrap_or_else(|| say!(words, "not-named-short")),
            circuit: movement.transfer.circuit.clone(),
            balance: display.mass(movement.balance),
            scale: movement
                .transfer
                .weighing
                .as_ref()
                .map(|w| w.written.clone()),
            line: movement.line,
        })
        .collect()
}

/// A row a cylinder and refrigerant.
pub(super) fn cylinders(compiled: &Compiled, words: &Words) -> Vec<CylinderRow> {
    let display = compiled.job.display;
    let books = &compiled.derived.books;
    books
        .cylinders()
        .into_iter()
        .map(|row| CylinderRow {
            cylinder: row
                .cylinder
                .map_or_else(|| say!(words, "not-named-short"), str::to_owned),
            refrigerant: named(row.refrigerant, words),
            taken: amount(row.taken, display),
            filled: amount(row.filled, display),
            holds: books
                .held_after(row.cylinder)
                .map_or_else(|| say!(words, "not-known"), |held| display.mass(held)),
        })
        .collect()
}

/// A row a circuit; none when no circuit is named.
pub(super) fn circuits(compiled: &Compiled, words: &Words) -> Vec<CircuitRow> {
    let display = compiled.job.display;
    let rows = compiled.derived.books.circuits();
    rows.into_iter()
        .map(|row| CircuitRow {
            circuit: row
                .circuit
                .map_or_else(|| say!(words, "not-named-short"), str::to_owned),
            added: amount(row.added, display),
            recovered: amount(row.recovered, display),
            net: display.mass(row.added - row.recovered),
        })
        .collect()
}

fn charge_now(compiled: &Compiled, words: &Words) -> String {
    let display = compiled.job.display;
    match charge::charge_now(&compiled.derived) {
        Err(why) => say!(words, "not-known-because", why = why),
        Ok(charge) => {
            let full = compiled.job.unit.charge.filter(|c| c.kilogram() > 0.0);
            let share = full.map_or_else(
                || say!(words, "share-not-known"),
                |full| {
                    let percent = 100.0 * charge.kilogram() / full.kilogram();
                    say!(words, "share-of-charge", percent = fixed(percent, 1))
                },
            );
            say!(
                words,
                "charge-weighed-in",
                amount = display.mass(charge),
                share = share
            )
        }
    }
}

fn net_loss(compiled: &Compiled, words: &Words) -> String {
    let display = compiled.job.display;
    match charge::net_loss(&compiled.job, &compiled.derived) {
        NetLoss::FirstCharge => say!(words, "loss-first-charge"),
        NetLoss::None => say!(words, "loss-none"),
        NetLoss::Lost(mass) => say!(words, "loss", amount = display.mass(mass)),
        NetLoss::PerhapsFirst(mass) => {
            say!(words, "loss-perhaps-first", amount = display.mass(mass))
        }
    }
}

fn named(name: &str, words: &Words) -> String {
    match name {
        "not known" => say!(words, "not-known"),
        name => name.to_owned(),
    }
}

fn amount(mass: Mass, display: Display) -> String {
    if mass == Mass::ZERO {
        "–".to_owned()
    } else {
        display.mass(mass)
    }
}

/// Sums of the movements; `None` without any.
pub(super) fn balance(compiled: &Compiled, words: &Words) -> Option<Balance> {
    let books = &compiled.derived.books;
    if books.movements.is_empty() {
        return None;
    }
    let display = compiled.job.display;
    let net = books.net();
    let share = compiled
        .job
        .unit
        .charge
        .filter(|c| c.kilogram() > 0.0)
        .map(|c| format!("{:.1} %", 100.0 * net.kilogram() / c.kilogram()));
    let co2e: Option<f64> = books
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
        added: display.mass(books.added),
        recovered: display.mass(books.recovered),
        net: display.mass(net),
        share,
        charge_now: charge_now(compiled, words),
        net_loss: net_loss(compiled, words),
        co2e: co2e.map(|t| format!("{} t CO2e", fixed(t, 2))),
        co2e_basis: crate::refrigerant::GWP_BASIS,
    })
}
