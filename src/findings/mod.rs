//! Findings: facts that follow from readings by a stated rule.
//!
//! One rule is one declaration: code, name of the fault, what it needs, the condition, the sentence
//! for the customer, the caution, the source. A rule fires only on what was measured; what could
//! not be judged says what it needs.

mod air;
mod announced;
mod compressor;
mod conclusion;
mod contradiction;
mod controls;
mod cycle;
mod cylinders;
mod debts;
mod defrost;
pub(crate) mod electrical;
mod food;
mod hours;
mod moment;
mod proof;
mod records;
mod stalled;
pub mod standing;
mod temperature;
mod truth_table;
mod venting;

pub(crate) use truth_table::{COIL_LIVE, NO_VOLTS};

use crate::derive::{Bench, Derivation, Derived, Input};
use crate::diagnostic::{Code, Diagnostic};
use crate::model::{Entry, Job, Reading};
use crate::source::Span;

/// One rule.
#[derive(Debug)]
pub struct Rule {
    /// Code, name, severity and explanation.
    pub code: Code,
    /// What must be in the note for the rule to judge.
    pub needs: &'static str,
    /// The finding in words for a customer.
    pub plain: &'static str,
    /// The usual caution of the work that follows.
    pub caution: Option<&'static str>,
    /// Where the rule and its limit come from.
    pub source: &'static str,
    /// The condition.
    pub check: fn(&Case<'_>) -> Verdict,
}

/// What a rule looks at.
pub struct Case<'a> {
    /// The job.
    pub job: &'a Job,
    /// What was derived from it.
    pub derived: &'a Derivation,
    /// Its readings.
    pub bench: &'a Bench<'a>,
}

/// What a rule says.
#[derive(Debug)]
pub enum Verdict {
    /// What it needs is not in the note.
    NotEvaluated,
    /// Judged, with what was found: nothing, or one finding an occurrence.
    Judged(Vec<Finding>),
}

impl Verdict {
    /// What was found, where anything could be judged.
    fn of(judged: bool, found: Vec<Finding>) -> Self {
        match judged {
            true => Self::Judged(found),
            false => Self::NotEvaluated,
        }
    }
}

/// A rule that fired.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Which rule.
    pub rule: &'static Rule,
    /// The sentence for a technician, without a full stop.
    pub text: String,
    /// What it rests on.
    pub evidence: Vec<Input>,
}

impl Finding {
    /// Its main place.
    pub fn span(&self) -> Span {
        self.evidence.first().map_or(Span::default(), |e| e.span)
    }

    /// As a diagnostic of the note.
    pub fn diagnostic(&self) -> Diagnostic {
        let mut diagnostic = Diagnostic::new(&self.rule.code, self.span(), self.text.clone());
        for (i, evidence) in self.evidence.iter().enumerate() {
            // A reading speaks for itself under the mark; an action's part in it is named.
            let label = if evidence.text.is_empty() {
                evidence.name.as_str()
            } else {
                ""
            };
            if i == 0 {
                diagnostic = diagnostic.here(label);
            } else {
                diagnostic = diagnostic.also(evidence.span, label);
            }
        }
        if let Some(caution) = self.rule.caution {
            diagnostic = diagnostic.help(caution);
        }
        diagnostic
    }
}

/// All findings, and the rules that could not be judged.
#[derive(Debug, Default)]
pub struct Findings {
    /// What was found, in order of its place in the note.
    pub found: Vec<Finding>,
    /// Rules whose needs are not in the note.
    pub not_evaluated: Vec<&'static Rule>,
}

/// Rules of one kind.
pub struct Family {
    /// What they judge.
    pub name: &'static str,
    /// True when one of them, firing on readings taken after a repair, says that something is still
    /// not as it should be.
    pub of_running: bool,
    /// The rules.
    pub rules: &'static [&'static Rule],
}

const fn family(name: &'static str, of_running: bool, rules: &'static [&'static Rule]) -> Family {
    Family {
        name,
        of_running,
        rules,
    }
}

/// Every family.
pub static FAMILIES: &[Family] = &[
    family("refrigerant cycle", true, cycle::RULES),
    family("pressure at rest", true, standing::RULES),
    family(
        "contradictions between readings",
        false,
        contradiction::RULES,
    ),
    family("box and product temperature", false, temperature::RULES),
    family("air", false, air::RULES),
    family("food", false, food::RULES),
    family("defrost", true, defrost::RULES),
    family("compressor", true, compressor::RULES),
    family("controls", true, controls::RULES),
    family("electrical truth table", true, truth_table::RULES),
    family("electrical limits", true, electrical::RULES),
    family("motors and breakers", true, stalled::RULES),
    family("proofs", false, proof::RULES),
    family("records", false, records::RULES),
    family("cylinders", false, cylinders::RULES),
    family("venting", false, venting::RULES),
    family("debts", false, debts::RULES),
    family("announced debts", false, announced::RULES),
    family("hours", false, hours::RULES),
    family("conclusion", false, conclusion::RULES),
];

/// Every rule, by family.
pub fn registry() -> impl Iterator<Item = &'static Rule> {
    FAMILIES.iter().flat_map(|family| family.rules).copied()
}

/// Judges a job by every rule.
pub fn judge(job: &Job, derived: &Derivation, bench: &Bench<'_>) -> Findings {
    let case = Case {
        job,
        derived,
        bench,
    };
    let mut findings = Findings::default();
    for rule in registry() {
        match (rule.check)(&case) {
            Verdict::NotEvaluated => findings.not_evaluated.push(rule),
            Verdict::Judged(mut found) => findings.found.append(&mut found),
        }
    }
    findings
        .found
        .sort_by_key(|f| (f.span().start, f.rule.code.id));
    findings
}

impl Rule {
    /// The family it belongs to.
    pub fn family(&self) -> Option<&'static Family> {
        let is_mine = |rule: &&Rule| rule.code.id == self.code.id;
        FAMILIES
            .iter()
            .find(|family| family.rules.iter().copied().any(|rule| is_mine(&rule)))
    }

    fn finding(&'static self, text: String, evidence: Vec<Input>) -> Finding {
        Finding {
            rule: self,
            text,
            evidence,
        }
    }

    /// Judges every value of a formula; `condition` gives the sentence when it fires. Repeated
    /// readings of one phase give one finding, the first.
    fn each_value<'a>(
        &'static self,
        case: &Case<'a>,
        formula: &'static str,
        condition: impl Fn(&'a Derived) -> Option<String>,
    ) -> Verdict {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        let mut seen = Vec::new();
        for value in case
            .derived
            .values
            .iter()
            .filter(|d| d.formula.id == formula)
        {
            judged = true;
            let key = (value.phase, value.which.as_deref());
            if let Some(text) = condition(value)
                && !seen.contains(&key)
            {
                seen.push(key);
                found.push(self.finding(text, value.inputs.clone()));
            }
        }
        Verdict::of(judged, found)
    }

    /// Judges readings in hand: `Some(None)` is quiet, `None` could not be judged.
    fn each_reading<'a>(
        &'static self,
        readings: impl Iterator<Item = &'a Reading>,
        condition: impl Fn(&'a Reading) -> Option<Option<(String, Vec<&'a Reading>)>>,
    ) -> Verdict {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        let mut seen = Vec::new();
        for reading in readings {
            let Some(verdict) = condition(reading) else {
                continue;
            };
            judged = true;
            let key = (reading.phase, reading.which.as_deref());
            if let Some((text, evidence)) = verdict
                && !seen.contains(&key)
            {
                seen.push(key);
                let evidence = evidence.into_iter().map(Input::of).collect();
                found.push(self.finding(text, evidence));
            }
        }
        Verdict::of(judged, found)
    }
}

/// True when a value is above its limit by more than binary arithmetic leaves: 84 F less 81 F is
/// 3 F exactly, and not more than 3 F.
fn exceeds(value: f64, limit: f64) -> bool {
    value - limit > 1e-9 * value.abs().max(limit.abs()).max(1.0)
}

/// An entry as evidence.
fn entry_input(name: &str, text: &str, entry: &Entry) -> Input {
    Input {
        name: name.to_owned(),
        text: text.to_owned(),
        line: entry.line,
        span: entry.span,
    }
}
