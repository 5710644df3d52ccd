//! Derived values and what they rest on, as the next technician reads them.

use super::{clock, repairs};
use crate::compile::Compiled;
use crate::derive::{Derived, Input};
use schemars::JsonSchema;
use serde::Serialize;

/// A reading that something rests on.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Evidence {
    /// Point or action.
    pub name: String,
    /// Value as written.
    pub text: String,
    /// Line.
    pub line: u32,
}

impl From<&Input> for Evidence {
    fn from(input: &Input) -> Self {
        Self {
            name: input.name.clone(),
            text: input.text.clone(),
            line: input.line,
        }
    }
}

/// A computed value.
#[derive(Debug, JsonSchema, Serialize)]
pub struct DerivedRow {
    /// What the trade calls it.
    pub name: String,
    /// The value.
    pub value: String,
    /// What the instruments' last digits leave open.
    pub resolution: Option<String>,
    /// When.
    pub at: String,
    /// `before` or `after` the last repair, `during` between, empty without one.
    pub side: &'static str,
    /// The formula.
    pub formula: &'static str,
    /// Where the formula comes from.
    pub source: &'static str,
    /// Its inputs.
    pub inputs: Vec<Evidence>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// Where a place in the note lies against its repairs: `before`, `during`, `after`, or nothing.
pub(super) fn side(compiled: &Compiled, at: u32) -> &'static str {
    match repairs(&compiled.job) {
        None => "",
        Some((first, _)) if at < first => "before",
        Some((_, last)) if at > last => "after",
        Some(_) => "during",
    }
}

pub(super) fn derived_row(compiled: &Compiled, derived: &Derived) -> DerivedRow {
    let display = compiled.job.display;
    DerivedRow {
        name: derived.label(),
        value: derived.text(display),
        resolution: derived.resolution_text(display),
        at: clock(derived.at),
        side: side(compiled, derived.span().start),
        formula: derived.formula.expression,
        source: derived.formula.source,
        inputs: derived.inputs.iter().map(Evidence::from).collect(),
        assumptions: derived.assumptions.clone(),
    }
}

/// How a value is computed.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FormulaRow {
    /// Its number in this note.
    pub number: usize,
    /// What the trade calls the value.
    pub name: &'static str,
    /// The formula.
    pub expression: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// What was taken for granted, each once.
    pub assumptions: Vec<String>,
}

/// Each formula of the values shown once, with what was taken for granted in any of them.
pub(super) fn formulas(compiled: &Compiled) -> Vec<FormulaRow> {
    let mut rows: Vec<FormulaRow> = Vec::new();
    let values = compiled.derived.values.iter();
    for derived in values.chain(compiled.energy().values()) {
        let expression = derived.formula.expression;
        let at = rows.iter().position(|row| row.expression == expression);
        let at = at.unwrap_or_else(|| {
            rows.push(FormulaRow {
                number: rows.len() + 1,
                name: derived.formula.name,
                expression,
                source: derived.formula.source,
                assumptions: Vec::new(),
            });
            rows.len() - 1
        });
        for assumption in &derived.assumptions {
            super::push_new(&mut rows[at].assumptions, assumption.clone());
        }
    }
    rows
}
