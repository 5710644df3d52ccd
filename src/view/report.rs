//! One report: the view of one reader.

use super::customer::CustomerView;
use super::diagnosis::DiagnosisView;
use super::history::History;
use super::office::OfficeView;
use super::{Audience, Issuer, customer, diagnosis, office, pictures, rules};
use crate::compile::Compiled;
use crate::picture::Photographs;
use crate::settings::Settings;
use crate::words::Words;

/// What one reader is told of one note.
#[derive(Debug)]
pub enum Report {
    /// In plain words.
    Customer(Box<CustomerView>),
    /// Everything.
    Diagnosis(Box<DiagnosisView>),
    /// Hours, parts, refrigerant.
    Office(Box<OfficeView>),
}

/// What a report takes from beside its note.
#[derive(Debug, Clone, Default)]
pub struct Beside {
    /// The photographs that were found.
    pub photographs: Photographs,
    /// The way from the report to the note's folder, for photographs too large to be put into the report:
    /// empty, or ending in a stroke.
    pub way: String,
    /// The history of its unit, for a diagnosis note.
    pub history: Option<History>,
}

impl Report {
    /// The report of a note for one reader, from a company.
    pub fn of(
        compiled: &Compiled,
        audience: Audience,
        beside: Beside,
        settings: &Settings,
        issuer: &Issuer,
        words: &Words,
    ) -> Self {
        let pictures = || pictures::view(&compiled.job, &beside.photographs, &beside.way);
        match audience {
            Audience::Customer => {
                let mut view = customer::view(compiled, words);
                view.heading.company = issuer.clone();
                view.pictures = pictures();
                view.show_time = settings.report.time;
                view.show_parts = settings.report.parts;
                Self::Customer(Box::new(view))
            }
            Audience::Diagnosis => {
                let mut view = diagnosis::view(compiled, words);
                view.heading.company = issuer.clone();
                view.history = beside.history;
                Self::Diagnosis(Box::new(view))
            }
            Audience::Office => {
                let mut view = office::view(compiled, words);
                view.heading.company = issuer.clone();
                view.pictures = pictures();
                view.rules = rules::view(compiled, settings, words);
                Self::Office(Box::new(view))
            }
        }
    }

    /// Who it is for.
    pub fn audience(&self) -> Audience {
        match self {
            Self::Customer(_) => Audience::Customer,
            Self::Diagnosis(_) => Audience::Diagnosis,
            Self::Office(_) => Audience::Office,
        }
    }
}
