//! Duties on refrigerant that follow from one note, where its head or the folder's settings name a
//! jurisdiction. Over several notes the ledger has them.

use crate::compile::Compiled;
use crate::duties::Assessment;
use crate::records::{Record, assess};
use crate::settings::Settings;
use serde::Serialize;

/// What the rules make of one note.
#[derive(Debug, Serialize)]
pub struct RulesView {
    /// Whose rules.
    pub jurisdiction: &'static str,
    /// Day at which the tables were reviewed.
    pub as_of: String,
    /// Leak rates, a sentence each.
    pub rates: Vec<String>,
    /// Duties.
    pub duties: Vec<DutyRow>,
    /// What cannot be told, and why.
    pub unknown: Vec<String>,
    /// That the current text is to be checked.
    pub caution: &'static str,
}

/// A duty.
#[derive(Debug, Serialize)]
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
pub fn view(compiled: &Compiled, settings: &Settings) -> Option<RulesView> {
    let record = Record::of(compiled, settings);
    let assessment = assess(&[&record], settings)?;
    Some(shown(&assessment))
}

fn shown(assessment: &Assessment) -> RulesView {
    RulesView {
        jurisdiction: assessment.jurisdiction.name(),
        as_of: crate::duties::AS_OF.to_string(),
        rates: assessment
            .rates
            .iter()
            .map(|rate| {
                let annualizing = rate.annualizing.map_or_else(
                    || "not known, the day of the addition before is not in this note".to_owned(),
                    |r| r.to_string(),
                );
                format!(
                    "{}: annualizing {annualizing}; rolling {}",
                    rate.date, rate.rolling
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
                    .map_or_else(|| "no day set".to_owned(), |d| d.to_string()),
                done: duty
                    .done
                    .map_or_else(|| "not shown done".to_owned(), |d| d.to_string()),
                because: duty.because.clone(),
                rule: duty.rule.citation,
            })
            .collect(),
        unknown: assessment.unknown.iter().map(|u| u.text.clone()).collect(),
        caution: assessment.caution,
    }
}
