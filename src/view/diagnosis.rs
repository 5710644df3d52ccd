//! What the next technician needs: every reading, derivation and finding with its evidence, and
//! what is not known.

use super::advice::{Advice, advice};
use super::causes::CauseTable;
use super::chart::{self, Bar, Chart};
use super::cycle::{CycleRow, cycle_row};
use super::derived::{DerivedRow, Evidence, FormulaRow, derived_row, formulas};
use super::history::History;
use super::log::{VisitLog, log_row};
use super::pressure_tests::{TestRow, hold, vacuum};
use super::{BeforeAfter, Heading, OpenDebt, before_after, names, open_debts};
use crate::compile::Compiled;
use crate::findings::Finding;
use crate::model::EntryKind;
use crate::say;
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// The diagnosis note.
#[derive(Debug, JsonSchema, Serialize)]
pub struct DiagnosisView {
    /// Form and version.
    pub schema: String,
    /// Name and place.
    pub heading: Heading,
    /// What the caller said.
    pub complaint: Option<String>,
    /// What the unit holds.
    pub contents: Option<String>,
    /// How to get in.
    pub access: Option<String>,
    /// What is known of the unit: name and value, as written.
    pub unit: Vec<(String, String)>,
    /// Instruments used.
    pub instruments: Vec<String>,
    /// The technician's conclusion, with its line.
    pub cause: Vec<Stated>,
    /// What was found, in order of the note.
    pub findings: Vec<FindingRow>,
    /// Findings that readings contradict one another.
    pub contradictions: Vec<FindingRow>,
    /// Values computed.
    pub derived: Vec<DerivedRow>,
    /// Causes ranked on the readings, a table as found and one after repair.
    pub causes: Vec<CauseTable>,
    /// State points of the refrigerant cycle, a table a moment.
    pub cycles: Vec<CycleRow>,
    /// The formulas of these values, numbered from 1.
    pub formulas: Vec<FormulaRow>,
    /// Values that could not be computed, and why.
    pub not_derived: Vec<(String, String)>,
    /// Pressure tests, in words.
    pub holds: Vec<TestRow>,
    /// Evacuations, in words.
    pub vacuums: Vec<TestRow>,
    /// Food against the limit of the head.
    pub food: Option<super::food::FoodView>,
    /// Every reading before and after.
    pub readings: Vec<BeforeAfter>,
    /// True when a repair divides before from after.
    pub repaired: bool,
    /// The visits, entry by entry.
    pub visits: Vec<VisitLog>,
    /// Rules that could not be judged: fault and what it needs.
    pub not_evaluated: Vec<NotEvaluated>,
    /// Readings over time, the cycle on its diagram, evacuations.
    pub charts: Vec<Chart>,
    /// Refrigerant moved, as a bar.
    pub balance: Option<Bar>,
    /// The unit over the years, where the notes of a folder were read beside this one.
    pub history: Option<History>,
    /// What is still open.
    pub open: Vec<OpenDebt>,
    /// Recommendations.
    pub advice: Vec<Advice>,
    /// Cautions for the work, each once.
    pub cautions: Vec<String>,
    /// Head lines with unknown keys, as written.
    pub other: Vec<(String, String)>,
    /// Lines that could not be used, as written.
    pub unused: Vec<UnusedLine>,
    /// Doubts about the writing: line and sentence.
    pub doubts: Vec<(u32, String)>,
}

/// A conclusion.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Stated {
    /// As written.
    pub text: String,
    /// The fault of the trade recognised in it.
    pub fault: Option<&'static str>,
    /// Its line.
    pub line: u32,
}

/// A finding.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FindingRow {
    /// Its code.
    pub code: &'static str,
    /// The fault's name.
    pub name: &'static str,
    /// `error`, `warning` or `advice`.
    pub severity: &'static str,
    /// The sentence.
    pub text: String,
    /// What it rests on: point, value, line.
    pub evidence: Vec<Evidence>,
    /// Where the rule comes from.
    pub source: &'static str,
}

/// A rule that could not be judged.
#[derive(Debug, JsonSchema, Serialize)]
pub struct NotEvaluated {
    /// Its code.
    pub code: &'static str,
    /// The fault's name.
    pub name: &'static str,
    /// What it needs.
    pub needs: &'static str,
}

/// A line that could not be used.
#[derive(Debug, JsonSchema, Serialize)]
pub struct UnusedLine {
    /// Its line.
    pub line: u32,
    /// As written.
    pub text: String,
}

/// Builds the diagnosis view.
pub fn view(compiled: &Compiled, words: &Words) -> DiagnosisView {
    let job = &compiled.job;
    let derived = &compiled.derived;
    let display = job.display;
    let line = |span: crate::source::Span| compiled.source.line(span.start);
    let mut cautions = Vec::new();
    for finding in &compiled.findings().found {
        if let Some(caution) = finding.rule.caution {
            super::push_new(&mut cautions, caution.to_owned());
        }
    }
    if let Some(refrigerant) = job.unit.refrigerant
        && refrigerant.is_flammable()
    {
        super::push_new(
            &mut cautions,
            format!(
                "{} is flammable ({}): remove ignition sources, ventilate, use a detector rated for it, recover and purge before any flame.",
                refrigerant.name,
                refrigerant.class_name()
            ),
        );
    }
    DiagnosisView {
        schema: format!("rimebook/diagnosis/{}", super::VIEW_VERSION),
        heading: Heading::of(job, words),
        complaint: super::text(&job.complaint),
        contents: super::text(&job.contents),
        access: super::text(&job.access),
        unit: unit(compiled, words),
        instruments: super::instruments(job),
        cause: job
            .entries()
            .filter_map(|(_, e)| match &e.kind {
                EntryKind::Cause { text, fault } => Some(Stated {
                    text: text.clone(),
                    fault: fault.map(|f| f.name),
                    line: e.line,
                }),
                _ => None,
            })
            .collect(),
        findings: findings(compiled, |f| !is_contradiction(f)),
        contradictions: findings(compiled, is_contradiction),
        derived: derived
            .values
            .iter()
            .map(|d| derived_row(compiled, d))
            .collect(),
        causes: super::causes::tables(compiled),
        cycles: compiled
            .energy()
            .cycles
            .iter()
            .filter(|c| !(c.points.is_empty() && c.refused.is_empty()))
            .map(|c| cycle_row(compiled, c, words))
            .collect(),
        formulas: formulas(compiled),
        not_derived: derived
            .missing
            .iter()
            .chain(&compiled.energy().missing)
            .map(|m| (m.formula.name.to_owned(), m.because.clone()))
            .collect(),
        holds: derived.holds.iter().map(|h| hold(h, display)).collect(),
        vacuums: derived.vacuums.iter().map(vacuum).collect(),
        food: super::food::view(compiled, words),
        readings: before_after(job),
        repaired: super::repairs(job).is_some(),
        visits: job
            .visits
            .iter()
            .map(|visit| VisitLog {
                date: visit
                    .date
                    .map_or_else(|| say!(words, "date-not-recorded"), |d| words.day(d)),
                technicians: names(visit),
                entries: visit.entries.iter().map(|e| log_row(e, display)).collect(),
            })
            .collect(),
        not_evaluated: compiled
            .findings()
            .not_evaluated
            .iter()
            .map(|r| NotEvaluated {
                code: r.code.id,
                name: r.code.name,
                needs: r.needs,
            })
            .collect(),
        charts: chart::for_technicians(compiled, words),
        balance: chart::balance(compiled, words),
        history: None,
        open: open_debts(job, derived, words),
        advice: advice(job, words),
        cautions,
        other: job
            .other
            .iter()
            .map(|(key, value)| (key.node.clone(), value.node.clone()))
            .collect(),
        unused: job
            .unused
            .iter()
            .map(|u| UnusedLine {
                line: line(u.span),
                text: u.node.clone(),
            })
            .collect(),
        doubts: compiled
            .diagnostics
            .iter()
            .map(|d| (line(d.span()), d.message.clone()))
            .collect(),
    }
}

fn is_contradiction(finding: &Finding) -> bool {
    let family = finding.rule.family();
    family.is_some_and(|family| family.name == "contradictions between readings")
}

fn findings(compiled: &Compiled, wanted: impl Fn(&Finding) -> bool) -> Vec<FindingRow> {
    let found = compiled.findings().found.iter().filter(|f| wanted(f));
    found
        .map(|f| FindingRow {
            code: f.rule.code.id,
            name: f.rule.code.name,
            severity: f.rule.code.severity.name(),
            text: f.text.clone(),
            evidence: f.evidence.iter().map(Evidence::from).collect(),
            source: f.rule.source,
        })
        .collect()
}

fn unit(compiled: &Compiled, words: &Words) -> Vec<(String, String)> {
    let unit = &compiled.job.unit;
    let display = compiled.job.display;
    let mut rows = Vec::new();
    let mut row = |id: &str, value: Option<String>| {
        if let Some(value) = value {
            rows.push((words.say(id), value));
        }
    };
    row("unit-refrigerant", super::text(&unit.refrigerant_written));
    row(
        "unit-refrigerant-data",
        unit.refrigerant.and_then(|r| {
            Some(say!(
                words,
                "unit-refrigerant-estimated",
                text = r.estimated?
            ))
        }),
    );
    row(
        "unit-safety",
        unit.refrigerant.map(|r| match r.gwp.ar4 {
            Some(gwp) => {
                let gwp = format!("{gwp:.0}");
                say!(words, "unit-gwp", class = r.class_name(), gwp = gwp)
            }
            None => say!(words, "unit-gwp-unknown", class = r.class_name()),
        }),
    );
    row("unit-charge", unit.charge.map(|c| display.mass(c.node)));
    row("unit-metering", super::text(&unit.metering.written));
    row("unit-nameplate", super::text(&unit.nameplate.written));
    row("unit-set-point", unit.set_point_written.clone());
    row(
        "unit-design-td",
        unit.design_td.map(|d| display.difference(d)),
    );
    row(
        "unit-target-superheat",
        unit.target_superheat.map(|d| display.difference(d)),
    );
    row(
        "unit-target-subcooling",
        unit.target_subcooling.map(|d| display.difference(d)),
    );
    row("unit-atmosphere", Some(unit.atmosphere().assumption()));
    rows
}
