//! Refrigerant in and out, beside the full charge.

use super::{Bar, BarRow};
use crate::compile::Compiled;
use crate::quantity::Mass;
use crate::say;
use crate::words::Words;

/// The bar of a job's refrigerant; `None` when none was moved.
pub fn balance(compiled: &Compiled, words: &Words) -> Option<Bar> {
    let books = &compiled.derived.books;
    if books.movements.is_empty() {
        return None;
    }
    let display = compiled.job.display;
    let row = |id: &str, mass: Mass, kind| BarRow {
        name: words.say(id),
        text: display.mass(mass),
        value: mass.kilogram().abs(),
        kind,
    };
    let full = compiled.job.unit.charge.as_ref().map(|c| c.node);
    let mut rows = Vec::new();
    rows.extend(full.map(|mass| row("bar-full", mass, "full")));
    rows.push(row("bar-recovered", books.recovered, "out"));
    rows.push(row("bar-added", books.added, "in"));
    let net = books.net();
    let kind = if net < Mass::ZERO { "out" } else { "in" };
    rows.push(row("bar-net", net, kind));
    let whole = rows.iter().map(|r| r.value).fold(0.0, f64::max);
    Some(Bar {
        id: "refrigerant-balance".to_owned(),
        title: say!(words, "chart-balance"),
        alternative: rows
            .iter()
            .map(|r| format!("{}: {}", r.name, r.text))
            .collect(),
        rows,
        whole,
    })
}
