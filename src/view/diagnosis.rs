//! What the next technician needs: every reading, derivation and finding with its evidence, and
//! what is not known.

use super::causes::CauseTable;
use super::cycle::{CycleRow, cycle_row};
use super::derived::{DerivedRow, Evidence, derived_row};
use super::{
    Advice, BeforeAfter, Heading, OpenDebt, advice, before_after, clock, long_date, names,
    open_debts,
};
use crate::compile::Compiled;
use crate::derive::{HoldTest, VacuumShape, VacuumTest, hours_minutes};
use crate::model::{Entry, EntryKind, Flow, Sense};
use crate::quantity::Display;
use serde::Serialize;

/// The diagnosis note.
#[derive(Debug, Serialize)]
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
    /// Values computed.
    pub derived: Vec<DerivedRow>,
    /// Causes ranked on the readings, a table as found and one after repair.
    pub causes: Vec<CauseTable>,
    /// State points of the refrigerant cycle, a table a moment.
    pub cycles: Vec<CycleRow>,
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
#[derive(Debug, Serialize)]
pub struct Stated {
    /// As written.
    pub text: String,
    /// The fault of the trade recognised in it.
    pub fault: Option<&'static str>,
    /// Its line.
    pub line: u32,
}

/// A finding.
#[derive(Debug, Serialize)]
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

/// A test in words.
#[derive(Debug, Serialize)]
pub struct TestRow {
    /// One sentence.
    pub text: String,
    /// The formula or limit it is judged by.
    pub basis: String,
    /// First and last line.
    pub lines: (u32, u32),
}

/// A visit's log.
#[derive(Debug, Serialize)]
pub struct VisitLog {
    /// Date.
    pub date: String,
    /// Technicians.
    pub technicians: String,
    /// Entries.
    pub entries: Vec<LogRow>,
}

/// One entry.
#[derive(Debug, Serialize)]
pub struct LogRow {
    /// Time.
    pub at: String,
    /// Kind, one word or two.
    pub kind: &'static str,
    /// What was stated.
    pub text: String,
    /// Signs recognised in it.
    pub signs: Vec<&'static str>,
    /// True for lines that never reach the customer.
    pub private: bool,
    /// Line.
    pub line: u32,
}

/// A rule that could not be judged.
#[derive(Debug, Serialize)]
pub struct NotEvaluated {
    /// Its code.
    pub code: &'static str,
    /// The fault's name.
    pub name: &'static str,
    /// What it needs.
    pub needs: &'static str,
}

/// A line that could not be used.
#[derive(Debug, Serialize)]
pub struct UnusedLine {
    /// Its line.
    pub line: u32,
    /// As written.
    pub text: String,
}

/// Builds the diagnosis view.
pub fn view(compiled: &Compiled) -> DiagnosisView {
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
        heading: Heading::of(job),
        complaint: super::text(&job.complaint),
        contents: super::text(&job.contents),
        access: super::text(&job.access),
        unit: unit(compiled),
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
        findings: compiled
            .findings()
            .found
            .iter()
            .map(|f| FindingRow {
                code: f.rule.code.id,
                name: f.rule.code.name,
                severity: f.rule.code.severity.name(),
                text: f.text.clone(),
                evidence: f.evidence.iter().map(Evidence::from).collect(),
                source: f.rule.source,
            })
            .collect(),
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
            .map(|c| cycle_row(compiled, c))
            .collect(),
        not_derived: derived
            .missing
            .iter()
            .chain(&compiled.energy().missing)
            .map(|m| (m.formula.name.to_owned(), m.because.clone()))
            .collect(),
        holds: derived.holds.iter().map(|h| hold(h, display)).collect(),
        vacuums: derived.vacuums.iter().map(vacuum).collect(),
        food: super::food::view(compiled),
        readings: before_after(job, |_| true),
        repaired: super::repairs(job).is_some(),
        visits: job
            .visits
            .iter()
            .map(|visit| VisitLog {
                date: visit
                    .date
                    .map_or_else(|| "date not recorded".to_owned(), long_date),
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
        open: open_debts(job, derived),
        advice: advice(job),
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

fn unit(compiled: &Compiled) -> Vec<(String, String)> {
    let unit = &compiled.job.unit;
    let display = compiled.job.display;
    let mut rows = Vec::new();
    let mut row = |name: &str, value: Option<String>| {
        if let Some(value) = value {
            rows.push((name.to_owned(), value));
        }
    };
    row("Refrigerant", super::text(&unit.refrigerant_written));
    row(
        "Refrigerant data",
        unit.refrigerant
            .and_then(|r| Some(format!("estimated: {}", r.estimated?))),
    );
    row(
        "Safety class, GWP",
        unit.refrigerant.map(|r| match r.gwp.ar4 {
            Some(gwp) => format!("{}, {gwp:.0} (AR4)", r.class_name()),
            None => format!("{}, GWP not known", r.class_name()),
        }),
    );
    row("Full charge", unit.charge.map(|c| display.mass(c.node)));
    row("Metering", super::text(&unit.metering.written));
    row("Nameplate", super::text(&unit.nameplate.written));
    row("Set point", unit.set_point_written.clone());
    row("Design TD", unit.design_td.map(|d| display.difference(d)));
    row(
        "Target superheat",
        unit.target_superheat.map(|d| display.difference(d)),
    );
    row(
        "Target subcooling",
        unit.target_subcooling.map(|d| display.difference(d)),
    );
    row("Atmosphere", Some(unit.atmosphere().assumption()));
    rows
}

fn hold(test: &HoldTest, display: Display) -> TestRow {
    let time = test
        .minutes
        .map_or_else(|| "time not recorded".to_owned(), hours_minutes);
    let text = match (test.expected, test.lost) {
        (Some(expected), Some(lost)) => {
            let change = crate::derive::Value::PressureChange(
                crate::quantity::AbsolutePressure::from_pascal(lost.abs()),
            );
            let judged = if test.leaks() {
                format!("{} lost", change.text(display))
            } else if lost < 0.0 {
                format!(
                    "{} above, within what the instruments leave in doubt",
                    change.text(display)
                )
            } else {
                format!(
                    "{} below, within what the instruments leave in doubt",
                    change.text(display)
                )
            };
            format!(
                "{}: {} → {} in {time}; expected {}: {judged}",
                test.gas,
                test.start,
                test.end,
                display.gauge(expected)
            )
        }
        _ => format!("{}: {}, not read again", test.gas, test.start),
    };
    let compensated = if test.compensated || test.expected.is_none() {
        ""
    } else {
        "; not compensated, a temperature is missing"
    };
    TestRow {
        text,
        basis: format!("{}{compensated}", HoldTest::EXPRESSION),
        lines: test.lines,
    }
}

fn vacuum(test: &VacuumTest) -> TestRow {
    let deepest = test.deepest.micron();
    let last = test.last().micron();
    let text = match test.rise {
        None if test.readings.iter().any(|r| r.3) => {
            format!("{last:.0} micron isolated; read only once, no rise can be told")
        }
        None => format!("deepest {deepest:.0} micron; no rise read with the pump valved off"),
        Some((rise, minutes)) => {
            let time = minutes.map_or_else(|| "an unrecorded time".to_owned(), hours_minutes);
            let judged = match test.shape {
                Some(VacuumShape::Tight) => "held",
                Some(VacuumShape::Moisture) => "climbed and flattened: moisture",
                Some(VacuumShape::Leak) => "climbed steadily: leak",
                Some(VacuumShape::Undecided) | None => {
                    "too few readings to tell leak from moisture"
                }
            };
            format!(
                "deepest {deepest:.0} micron; isolated, {rise:+.0} micron in {time}, to {last:.0} micron: {judged}"
            )
        }
    };
    TestRow {
        text,
        basis: format!(
            "{:.0} micron limit, common practice",
            VacuumTest::LIMIT_MICRON
        ),
        lines: test.lines,
    }
}

fn log_row(entry: &Entry, display: Display) -> LogRow {
    let mut signs = Vec::new();
    let (kind, text) = match &entry.kind {
        EntryKind::Readings(readings) => {
            let parts: Vec<String> = readings
                .iter()
                .map(|r| {
                    let remark = r
                        .remark
                        .as_ref()
                        .map_or(String::new(), |t| format!(" ({t})"));
                    format!("{} {}{remark}", r.label(), r.value_text())
                })
                .collect();
            ("read", parts.join(", "))
        }
        EntryKind::Observation {
            sense,
            text,
            signs: found,
        } => {
            signs = found.iter().map(|s| s.name()).collect();
            let kind = match sense {
                Sense::Seen => "saw",
                Sense::Heard => "heard",
                Sense::Felt => "felt",
                Sense::Smelled => "smelled",
                Sense::Noted => "note",
            };
            (kind, text.clone())
        }
        EntryKind::Cause { text, .. } => ("cause", text.clone()),
        EntryKind::Did(text) | EntryKind::Handled { text, .. } => ("did", text.clone()),
        EntryKind::Fitted(text) => ("fitted", text.clone()),
        EntryKind::Removed(text) => ("removed", text.clone()),
        EntryKind::Refrigerant(t) => {
            let name = match (t.refrigerant, &t.named) {
                (Some(refrigerant), _) => refrigerant.name.to_owned(),
                (None, Some(words)) => format!("{words} (no data)"),
                (None, None) => "refrigerant not known".to_owned(),
            };
            let (kind, way) = match t.flow {
                Flow::Added => ("added", "from"),
                Flow::Recovered => ("recovered", "into"),
            };
            let cylinder = t
                .cylinder
                .as_ref()
                .map_or(String::new(), |c| format!(" {way} {c}"));
            let circuit = t
                .circuit
                .as_ref()
                .map_or(String::new(), |c| format!(", {c}"));
            (kind, format!("{} of {name}{cylinder}{circuit}", t.written))
        }
        EntryKind::Hold {
            gas,
            written,
            temperature,
            ..
        } => {
            let at =
                temperature.map_or(String::new(), |t| format!(" at {}", display.temperature(t)));
            ("hold", format!("{gas} {written}{at}"))
        }
        EntryKind::Vacuum {
            written, isolated, ..
        } => (
            "vacuum",
            format!("{written}{}", if *isolated { ", isolated" } else { "" }),
        ),
        EntryKind::Told(text) => ("told", text.clone()),
        EntryKind::Advise { text, .. } => ("advise", text.clone()),
        EntryKind::Approved(text) => ("approved", text.clone()),
        EntryKind::Declined(text) => ("declined", text.clone()),
        EntryKind::Photo(text) => ("photo", text.clone()),
        EntryKind::Private(text) => ("private", text.clone()),
        EntryKind::Travel { text, .. } => ("travel", text.clone()),
        EntryKind::Waited { text, .. } => ("waited", text.clone()),
        EntryKind::Arrive(text) => ("arrive", text.clone()),
        EntryKind::Depart(text) => ("depart", text.clone()),
        EntryKind::Material(text) => ("material", text.clone()),
        EntryKind::Instrument(text) => ("instrument", text.clone()),
        EntryKind::LockedOut(text) => ("locked out", text.clone()),
        EntryKind::LockOff(text) => ("lock off", text.clone()),
        EntryKind::Left(text) => ("left", text.clone()),
        EntryKind::Restored(text) => ("restored", text.clone()),
    };
    LogRow {
        at: clock(entry.at),
        kind,
        text,
        signs,
        private: matches!(entry.kind, EntryKind::Private(_)),
        line: entry.line,
    }
}
