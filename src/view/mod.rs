//! Serialisable views: the only thing templates see. What is private ends here: the customer's
//! view is built from an explicit list of what may be told, never by removing things.

pub mod books;
pub mod causes;
pub mod customer;
pub mod cycle;
pub mod derived;
pub mod diagnosis;
pub mod food;
pub mod office;
pub mod pictures;
pub mod rules;

use crate::derive::{DebtKind, Derivation};
use crate::model::{Job, Minutes, Reading, Visit};
use crate::source::Spanned;
use crate::vocabulary::{Leg, Point, Topic, Topics, what_was_declined};
use jiff::civil::Date;
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
    /// The word used on the command line and in template names.
    pub fn name(self) -> &'static str {
        match self {
            Self::Customer => "customer",
            Self::Diagnosis => "diagnosis",
            Self::Office => "office",
        }
    }
}

/// Version of the JSON form of the views; raised when a field changes meaning or goes.
pub const VIEW_VERSION: u32 = 1;

/// Name and place of a job: the top of every report.
#[derive(Debug, Serialize)]
pub struct Heading {
    /// The company's name, from the folder's settings.
    pub company: Option<String>,
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

impl Heading {
    fn of(job: &Job) -> Self {
        let mut dates: Vec<String> = Vec::new();
        let mut technicians: Vec<String> = Vec::new();
        for visit in &job.visits {
            if let Some(date) = visit.date {
                push_new(&mut dates, long_date(date));
            }
            for name in &visit.technicians {
                push_new(&mut technicians, name.node.clone());
            }
        }
        Self {
            company: None,
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
#[derive(Debug, Serialize)]
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

/// A recommendation.
#[derive(Debug, Clone, Serialize)]
pub struct Advice {
    /// How soon, in words.
    pub when: &'static str,
    /// For ordering and styling: `now`, `soon`, `later`, `unstated`.
    pub urgency: crate::model::Urgency,
    /// What.
    pub text: String,
    /// The visit it was given on, where the job has several: a later visit may have done it.
    pub given: Option<String>,
}

fn open_debts(job: &Job, derived: &Derivation) -> Vec<OpenDebt> {
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
            since: moment(job, d.visit, d.at),
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

fn advice(job: &Job) -> Vec<Advice> {
    use crate::model::{EntryKind, Urgency};
    let mut topics = Topics::default();
    // What the customer has decided against is told as that, and not asked again.
    let declined: Vec<(u32, Topic)> = job
        .entries()
        .filter_map(|(_, entry)| match &entry.kind {
            EntryKind::Declined(text) => Some((entry.line, topics.of(what_was_declined(text)))),
            _ => None,
        })
        .collect();
    let mut is_open = |line: u32, text: &str| {
        let topic = topics.of(text);
        let is_declined = |(at, other): &(u32, Topic)| *at > line && topic.is_taken_up_by(other);
        !declined.iter().any(is_declined)
    };
    let mut all: Vec<Advice> = job
        .entries()
        .filter_map(|(visit, entry)| match &entry.kind {
            EntryKind::Advise { urgency, text } if is_open(entry.line, text) => Some(Advice {
                given: (job.visits.len() > 1).then(|| moment(job, visit, None)),
                when: match urgency {
                    Urgency::Now => "Now",
                    Urgency::Soon => "Soon",
                    Urgency::Later => "Later",
                    Urgency::Unstated => "No date given",
                },
                urgency: *urgency,
                text: text.clone(),
            }),
            _ => None,
        })
        .collect();
    all.sort_by_key(|a| a.urgency);
    all
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

/// `14 March 2026`: no reader can take month for day.
fn long_date(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// `14 March 2026, 09:12`, as far as it is known.
fn moment(job: &Job, visit: usize, at: Option<Minutes>) -> String {
    let date = job.visits.get(visit).and_then(|v| v.date).map(long_date);
    match (date, at) {
        (Some(date), Some(at)) => format!("{date}, {at}"),
        (Some(date), None) => date,
        (None, Some(at)) => at.to_string(),
        (None, None) => "not recorded".to_owned(),
    }
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
#[derive(Debug, Serialize)]
pub struct BeforeAfter {
    /// The point's name.
    pub name: String,
    /// In plain words.
    pub plain: String,
    /// The first value before the first repair.
    pub before: Option<String>,
    /// The last value after the last repair.
    pub after: Option<String>,
}

/// Values before and after, a row a point, in order of first reading.
fn before_after(job: &Job, wanted: impl Fn(&Reading) -> bool) -> Vec<BeforeAfter> {
    let repairs = repairs(job);
    let mut rows: Vec<(Place<'_>, BeforeAfter)> = Vec::new();
    for reading in job.readings().filter(|r| wanted(r)) {
        let place = (reading.point, reading.which.as_deref(), reading.leg);
        let at = rows
            .iter()
            .position(|(p, _)| *p == place)
            .unwrap_or_else(|| {
                rows.push((place, empty_row(reading)));
                rows.len() - 1
            });
        let row = &mut rows[at].1;
        let value = Some(reading.value_text().to_owned());
        match repairs {
            Some((first, _)) if reading.span.start < first => {
                if row.before.is_none() {
                    row.before = value;
                }
            }
            Some((_, last)) if reading.span.start > last => row.after = value,
            Some(_) => {}
            None => row.before = value,
        }
    }
    rows.into_iter()
        .map(|(_, row)| row)
        .filter(|row| row.before.is_some() || row.after.is_some())
        .collect()
}

/// What makes two readings the same row.
type Place<'a> = (Point, Option<&'a str>, Option<Leg>);

fn empty_row(reading: &Reading) -> BeforeAfter {
    let plain = reading.point.info().plain;
    let plain = match (&reading.which, reading.leg) {
        (Some(which), _) => format!("{plain} ({which})"),
        (None, Some(Leg(leg))) => format!("{plain} (leg {leg})"),
        (None, None) if is_line_voltage(reading) => format!("{plain} ({})", reading.point.name()),
        (None, None) => plain.to_owned(),
    };
    BeforeAfter {
        name: reading.label(),
        plain: capitalised(&plain),
        before: None,
        after: None,
    }
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
