//! Serialisable views: the only thing templates see. What is private ends here: the customer's
//! view is built from an explicit list of what may be told, never by removing things.

mod advice;
mod answers;
pub mod books;
pub mod causes;
pub mod chart;
pub mod customer;
pub mod cycle;
mod declared;
pub mod derived;
pub mod diagnosis;
pub mod food;
pub mod history;
pub mod log;
pub mod office;
pub mod pictures;
pub mod plain;
pub mod pressure_tests;
mod report;
pub mod rules;
pub mod tables;

use crate::derive::{DebtKind, Derivation};
use crate::model::{Job, Minutes, Reading, Visit};
use crate::source::Spanned;
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// Who a report is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Audience {
    /// The customer: plain words.
    Customer,
    /// The next technician: everything.
    Diagnosis,
    /// The office: hours, parts, refrigerant.
    Office,
}

impl Audience {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Customer, Self::Diagnosis, Self::Office];

    /// The word used on the command line and in template names.
    pub fn name(self) -> &'static str {
        match self {
            Self::Customer => "customer",
            Self::Diagnosis => "diagnosis",
            Self::Office => "office",
        }
    }
}

pub use advice::Advice;
pub use answers::{Answer, Answers, Outcome, standing};
pub use declared::declared;
pub use plain::PlainReading;
pub use report::{Beside, Report};

/// Version of the JSON form of the views; raised when a field changes meaning or goes.
pub const VIEW_VERSION: u32 = 2;

/// Name and place of a job: the top of every report.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Heading {
    /// The company, from the folder's settings.
    pub company: Issuer,
    /// Job number.
    pub job: Option<String>,
    /// Customer.
    pub customer: Option<String>,
    /// Site.
    pub site: Option<String>,
    /// Contact.
    pub contact: Option<String>,
    /// Customer's order number.
    pub order: Option<String>,
    /// Unit.
    pub unit: Option<String>,
    /// Model designation.
    pub model: Option<String>,
    /// Serial number.
    pub serial: Option<String>,
    /// Dates of the visits, first to last, without repeats.
    pub dates: Vec<String>,
    /// Technicians, without repeats.
    pub technicians: Vec<String>,
}

/// The company that reports.
#[derive(Debug, Clone, Default, JsonSchema, Serialize)]
pub struct Issuer {
    /// Its name.
    pub name: Option<String>,
    /// Telephone.
    pub phone: Option<String>,
    /// E-mail address.
    pub email: Option<String>,
    /// Web address.
    pub web: Option<String>,
    /// Postal address.
    pub address: Option<String>,
    /// Number of its licence.
    pub licence: Option<String>,
    /// Its logo, as a `data:` address.
    pub logo: Option<String>,
}

impl Heading {
    /// Of no single job.
    pub(crate) fn bare(company: Issuer) -> Self {
        Self {
            company,
            job: None,
            customer: None,
            site: None,
            contact: None,
            order: None,
            unit: None,
            model: None,
            serial: None,
            dates: Vec::new(),
            technicians: Vec::new(),
        }
    }

    fn of(job: &Job, words: &Words) -> Self {
        let mut dates: Vec<String> = Vec::new();
        let mut technicians: Vec<String> = Vec::new();
        for visit in &job.visits {
            if let Some(date) = visit.date {
                push_new(&mut dates, words.day(date));
            }
            for name in &visit.technicians {
                push_new(&mut technicians, name.node.clone());
            }
        }
        Self {
            company: Issuer::default(),
            job: text(&job.number),
            customer: text(&job.customer),
            site: text(&job.site),
            contact: text(&job.contact),
            order: text(&job.order),
            unit: text(&job.unit.tag),
            model: text(&job.unit.model),
            serial: text(&job.unit.serial),
            dates,
            technicians,
        }
    }
}

/// Something that is still open.
#[derive(Debug, JsonSchema, Serialize)]
pub struct OpenDebt {
    /// What was left or locked, as written.
    pub text: String,
    /// `temporary` or `lock`.
    pub kind: &'static str,
    /// When it was opened.
    pub since: String,
    /// Its line.
    pub line: u32,
}

fn open_debts(job: &Job, derived: &Derivation, words: &Words) -> Vec<OpenDebt> {
    derived
        .debts
        .iter()
        .filter(|d| d.closed.is_none())
        .map(|d| OpenDebt {
            text: d.text.clone(),
            kind: match d.kind {
                DebtKind::Condition => "temporary",
                DebtKind::Lock => "lock",
            },
            since: words.moment(job, d.visit, d.at),
            line: d.line,
        })
        .collect()
}

/// Instruments that the head or an entry names, each once.
fn instruments(job: &Job) -> Vec<String> {
    use crate::model::EntryKind;
    let mut named: Vec<String> = Vec::new();
    let entries = job.entries().filter_map(|(_, entry)| match &entry.kind {
        EntryKind::Instrument(text) => Some(text),
        _ => None,
    });
    for text in job.instruments.iter().map(|line| &line.node).chain(entries) {
        if !text.trim().is_empty() {
            push_new(&mut named, text.trim().to_owned());
        }
    }
    named
}

fn text(value: &Option<Spanned<String>>) -> Option<String> {
    value.as_ref().map(|v| v.node.trim().to_owned())
}

fn push_new(list: &mut Vec<String>, value: String) {
    if !list.contains(&value) {
        list.push(value);
    }
}

/// The technicians of a visit in one line; empty when none is named.
fn names(visit: &Visit) -> String {
    let names: Vec<&str> = visit.technicians.iter().map(|t| t.node.as_str()).collect();
    names.join(", ")
}

fn clock(at: Option<Minutes>) -> String {
    at.map_or_else(String::new, |at| at.to_string())
}

/// First phase of repair work and the start of the last repair, if there was any.
fn repairs(job: &Job) -> Option<(u32, u32)> {
    let mut starts = job
        .entries()
        .filter(|(_, e)| e.kind.is_repair())
        .map(|(_, e)| e.span.start);
    let first = starts.next()?;
    Some((first, starts.last().unwrap_or(first)))
}

/// One point before and after the repair, as written; `None` is not measured.
#[derive(Debug, JsonSchema, Serialize)]
pub struct BeforeAfter {
    /// The point's name.
    pub name: String,
    /// The first value before the first repair.
    pub before: Option<String>,
    /// The last value after the last repair.
    pub after: Option<String>,
}

/// Values before and after, a row a point, in order of first reading.
fn before_after(job: &Job) -> Vec<BeforeAfter> {
    let shown = |reading: Option<&Reading>| reading.map(|r| r.value_text().to_owned());
    plain::rows(job, |_| true)
        .into_iter()
        .map(|row| BeforeAfter {
            name: row
                .before
                .or(row.after)
                .map_or_else(String::new, Reading::label),
            before: shown(row.before),
            after: shown(row.after),
        })
        .collect()
}

fn is_line_voltage(reading: &Reading) -> bool {
    reading.point.name().contains('-')
}

/// First letter in upper case.
pub fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}
