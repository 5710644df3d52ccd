//! Duties on refrigerant that follow from one note, where its head or the folder's settings name a
//! jurisdiction. Over several notes the books has them.

use crate::compile::Compiled;
use crate::duties::{Assessment, Jurisdiction, level, pressure_classes};
use crate::model::Flow;
use crate::records::{Record, assess};
use crate::say;
use crate::settings::Settings;
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// What the rules make of one note.
#[derive(Debug, JsonSchema, Serialize)]
pub struct RulesView {
    /// Whose rules.
    pub jurisdiction: &'static str,
    /// Day at which the tables were reviewed.
    pub as_of: String,
    /// Leak rates, a sentence each.
    pub rates: Vec<String>,
    /// Duties.
    pub duties: Vec<DutyRow>,
    /// How far each recovery was taken down, against the level before opening.
    pub recovered: Vec<String>,
    /// What cannot be told, and why.
    pub unknown: Vec<String>,
    /// That the current text is to be checked.
    pub caution: &'static str,
}

/// A duty.
#[derive(Debug, JsonSchema, Serialize)]
pub struct DutyRow {
    /// What is to be done.
    pub what: String,
    /// Last day for it, or that none is set.
    pub due: String,
    /// Day on which the note shows it done, or that it shows none.
    pub done: String,
    /// What it rests on.
    pub because: String,
    /// Where it stands.
    pub rule: &'static str,
}

/// The rules of one note; `None` where no jurisdiction is named.
pub fn view(compiled: &Compiled, settings: &Settings, words: &Words) -> Option<RulesView> {
    let record = Record::of(compiled, settings);
    let assessment = assess(&[&record], settings)?;
    let mut view = shown(&assessment, words);
    // The table of levels is an American one.
    if assessment.jurisdiction == Jurisdiction::UnitedStates {
        view.recovered = recovered(compiled, words);
    }
    Some(view)
}

/// Each recovery against the level of 40 CFR 82.156, Table 1, for gear made since 1993-11-15. Opening
/// is not the only reason to recover: a level that was not noted is only said to be so.
fn recovered(compiled: &Compiled, words: &Words) -> Vec<String> {
    let unit = &compiled.job.unit;
    let wanted = unit.refrigerant.as_ref().zip(unit.charge.as_ref());
    let wanted = wanted.and_then(|(refrigerant, charge)| {
        let [class, by_dew] = pressure_classes(refrigerant.node).ok()?;
        let row = level(class, charge.node);
        (row == level(by_dew, charge.node)).then_some(row)
    });
    let movements = &compiled.derived.books.movements;
    let recoveries = movements
        .iter()
        .filter(|m| m.transfer.flow == Flow::Recovered);
    recoveries
        .map(|movement| {
            let line = movement.line;
            let Some(reached) = &movement.transfer.reached else {
                return say!(words, "recovered-not-noted", line = line);
            };
            let down_to = reached.written.clone();
            let Some(row) = wanted else {
                return say!(
                    words,
                    "recovered-level-unknown",
                    line = line,
                    level = down_to
                );
            };
            // The table counts from 29.9 inHg and the gauge from the day's air: within one part in a
            // hundred, less than its needle shows, they are one.
            let asked = row.newer_gear.absolute().pascal() * 1.01;
            let row = row.to_string();
            match reached.pressure.pascal() <= asked {
                true => say!(
                    words,
                    "recovered-reaches",
                    line = line,
                    level = down_to,
                    asked = row
                ),
                false => say!(
                    words,
                    "recovered-short",
                    line = line,
                    level = down_to,
                    asked = row
                ),
            }
        })
        .collect()
}

fn shown(assessment: &Assessment, words: &Words) -> RulesView {
    RulesView {
        jurisdiction: assessment.jurisdiction.name(),
        as_of: crate::duties::AS_OF.to_string(),
        rates: assessment
            .rates
            .iter()
            .map(|rate| {
                let annualizing = rate
                    .annualizing
                    .map_or_else(|| say!(words, "rate-not-known"), |r| r.to_string());
                say!(
                    words,
                    "rate-on",
                    day = words.day(rate.date),
                    annualizing = annualizing,
                    rolling = rate.rolling.to_string()
                )
            })
            .collect(),
        duties: assessment
            .duties
            .iter()
            .map(|duty| DutyRow {
                what: duty.what.clone(),
                due: duty
                    .due
                    .map_or_else(|| say!(words, "no-day-set"), |d| d.to_string()),
                done: duty
                    .done
                    .map_or_else(|| say!(words, "not-shown-done"), |d| d.to_string()),
                because: duty.because.clone(),
                rule: duty.rule.citation,
            })
            .collect(),
        recovered: Vec::new(),
        unknown: assessment.unknown.iter().map(|u| u.text.clone()).collect(),
        caution: assessment.caution,
    }
}
