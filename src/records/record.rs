//! What the books keep of one note.

use super::UnitKey;
use crate::compile::Compiled;
use crate::derive::parts::PartMoved;
use crate::derive::{DebtKind, VisitTime};
use crate::duties::{Jurisdiction, Plant};
use crate::model::{EntryKind, Flow, Urgency};
use crate::quantity::Mass;
use crate::refrigerant::Refrigerant;
use crate::settings::Settings;
use crate::vocabulary::faults::Fault;
use crate::vocabulary::{Sign, Symptom};
use jiff::civil::Date;
use std::hash::{Hash, Hasher};

/// What the books keep of one note.
#[derive(Debug, Clone)]
pub struct Record {
    /// The file.
    pub file: String,
    /// Job number, as written.
    pub job: Option<String>,
    /// The unit.
    pub unit: UnitKey,
    /// The complaint, its first line.
    pub complaint: Option<String>,
    /// What the rules on refrigerant ask about the unit.
    pub plant: Plant,
    /// Whose rules the note names.
    pub jurisdiction: Option<Jurisdiction>,
    /// Visits, in order.
    pub visits: Vec<VisitRecord>,
    /// What was noted for the books, in order of writing.
    pub events: Vec<Noted>,
    /// Refrigerant moved, in order of writing.
    pub movements: Vec<MovementRecord>,
    /// Parts put in and taken out.
    pub parts: Vec<PartMoved>,
    /// What was opened and closed.
    pub debts: Vec<DebtRecord>,
    /// Closing lines that closed nothing in their own note.
    pub orphans: Vec<Closing>,
    /// True when the head states healthy readings of the unit.
    pub has_healthy_line: bool,
    /// What the unit did when it last ran, by symptom and moment.
    pub values: Vec<ValueRecord>,
    /// Lines that may hold amounts, hours or parts and could not be used.
    pub not_counted: Vec<String>,
    /// The whole text as one number: two notes with one number are one note twice.
    pub text: u64,
}

/// One visit.
#[derive(Debug, Clone)]
pub struct VisitRecord {
    /// Its day.
    pub date: Option<Date>,
    /// Who came, each with the hours of their own; empty when the visit names nobody.
    pub people: Vec<Person>,
    /// Hours of the visit.
    pub time: VisitTime,
}

/// One technician on a visit.
#[derive(Debug, Clone)]
pub struct Person {
    /// Name.
    pub name: String,
    /// Minutes on site; `None` when not recorded.
    pub on_site: Option<i32>,
    /// Minutes of waiting while there; `None` when none was written.
    pub waiting: Option<i32>,
    /// Arrivals and departures, minutes after midnight.
    pub stays: Vec<(i32, i32)>,
}

/// A statement the books keep.
#[derive(Debug, Clone)]
pub struct Noted {
    /// What.
    pub kind: NotedKind,
    /// Its text.
    pub text: String,
    /// Index of the visit.
    pub visit: usize,
    /// Line.
    pub line: u32,
}

/// Kinds of statements kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotedKind {
    /// Part put in.
    Fitted,
    /// Part taken out.
    Removed,
    /// Work done.
    Did,
    /// Looked at, tested, set.
    Handled,
    /// Stated cause, with the fault it names.
    Cause(Option<Fault>),
    /// A leak was seen.
    LeakSeen,
    /// The unit was noted to run as it should.
    RunsNormally,
    /// A nitrogen hold that lost nothing.
    HoldPassed,
    /// Told to somebody.
    Told,
    /// Advised.
    Advised(Urgency),
    /// A visit arranged.
    Booked,
    /// Material used.
    Material,
    /// Agreed to.
    Approved,
    /// Not wanted.
    Declined,
}

/// Refrigerant moved.
#[derive(Debug, Clone)]
pub struct MovementRecord {
    /// Day.
    pub date: Option<Date>,
    /// Index of the visit.
    pub visit: usize,
    /// Which way.
    pub flow: Flow,
    /// How much, exact.
    pub mass: Mass,
    /// Which refrigerant, or the words that named it.
    pub name: String,
    /// Its data, where known.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Cylinder.
    pub cylinder: Option<String>,
    /// Circuit.
    pub circuit: Option<String>,
    /// Line.
    pub line: u32,
}

/// Something left or locked.
#[derive(Debug, Clone)]
pub struct DebtRecord {
    /// Which kind.
    pub kind: DebtKind,
    /// As written.
    pub text: String,
    /// Day it was opened.
    pub opened: Option<Date>,
    /// True when the note closes it.
    pub is_closed: bool,
    /// Line.
    pub line: u32,
}

/// A closing line without its opening one.
#[derive(Debug, Clone)]
pub struct Closing {
    /// Which kind.
    pub kind: DebtKind,
    /// As written.
    pub text: String,
    /// Day.
    pub date: Option<Date>,
}

/// A value of the running unit.
#[derive(Debug, Clone)]
pub struct ValueRecord {
    /// Of what.
    pub symptom: Symptom,
    /// In kelvin of difference, or a share for the compressor's current.
    pub value: f64,
    /// Index of the visit.
    pub visit: usize,
    /// Phase of the job.
    pub phase: u32,
}

impl Record {
    /// What the books keep of a note.
    pub fn of(compiled: &Compiled, settings: &Settings) -> Self {
        let job = &compiled.job;
        let derived = &compiled.derived;
        let first_line = |text: &Option<crate::source::Spanned<String>>| {
            let text = text.as_ref()?.node.lines().next()?.trim().to_owned();
            (!text.is_empty()).then_some(text)
        };
        let date_of = |visit: usize| job.visits.get(visit).and_then(|v| v.date);
        // Without a site the customer's name keeps units of different people apart.
        let site = first_line(&job.site).or_else(|| first_line(&job.customer));
        let tag = first_line(&job.unit.tag);
        Self {
            file: compiled.source.name().to_owned(),
            job: first_line(&job.number),
            unit: UnitKey::new(site.as_deref(), tag.as_deref(), settings),
            complaint: first_line(&job.complaint),
            plant: Plant {
                refrigerant: job.unit.refrigerant.as_ref().map(|r| r.node),
                charge: job.unit.charge.as_ref().map(|c| c.node),
                appliance: job.unit.appliance,
                leak_detection: job.unit.leak_detection,
                sealed: job.unit.sealed,
                method: None,
            },
            jurisdiction: job.unit.jurisdiction,
            visits: job
                .visits
                .iter()
                .zip(&derived.times)
                .enumerate()
                .map(|(i, (visit, time))| VisitRecord {
                    date: visit.date,
                    people: people(compiled, i, visit),
                    time: *time,
                })
                .collect(),
            events: noted(compiled),
            movements: derived
                .books
                .movements
                .iter()
                .map(|m| MovementRecord {
                    date: date_of(m.visit).map(|date| after_midnight(date, m.at)),
                    visit: m.visit,
                    flow: m.transfer.flow,
                    mass: m.transfer.mass,
                    name: m.transfer.refrigerant_name().to_owned(),
                    refrigerant: m.transfer.refrigerant,
                    cylinder: m.transfer.cylinder.clone(),
                    circuit: m.transfer.circuit.clone(),
                    line: m.line,
                })
                .collect(),
            parts: derived.parts.clone(),
            debts: derived
                .debts
                .iter()
                .map(|d| DebtRecord {
                    kind: d.kind,
                    text: d.text.clone(),
                    opened: date_of(d.visit),
                    is_closed: d.closed.is_some(),
                    line: d.line,
                })
                .collect(),
            orphans: derived
                .orphans
                .iter()
                .map(|o| Closing {
                    kind: o.kind,
                    text: o.text.clone(),
                    date: entry_date(compiled, o.line),
                })
                .collect(),
            has_healthy_line: !job.unit.healthy.is_empty(),
            values: values(compiled),
            not_counted: compiled.not_counted(),
            text: {
                let mut hasher = rustc_hash::FxHasher::default();
                compiled.source.text().hash(&mut hasher);
                hasher.finish()
            },
        }
    }

    /// Day of a visit.
    pub fn date(&self, visit: usize) -> Option<Date> {
        self.visits.get(visit).and_then(|v| v.date)
    }

    /// Day of the first visit.
    pub fn first_date(&self) -> Option<Date> {
        self.visits.iter().find_map(|v| v.date)
    }

    /// `job 2041` or the file.
    pub fn name(&self) -> String {
        match &self.job {
            Some(job) => format!("job {job}"),
            None => self.file.clone(),
        }
    }
}

/// Which answer a record is kept for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Refrigerant.
    Refrigerant,
    /// The open list.
    Open,
    /// Hours and parts.
    Hours,
    /// A unit's history.
    History,
}

impl Record {
    /// Lets go of what an answer does not need: over years of notes that is most of it.
    pub fn for_purpose(mut self, purpose: Purpose) -> Self {
        use Purpose::{History, Hours, Open, Refrigerant};
        let keeps = |purposes: &[Purpose]| purposes.contains(&purpose);
        if !keeps(&[History]) {
            self.values = Vec::new();
        }
        if !keeps(&[History, Open]) {
            self.complaint = None;
        }
        if !keeps(&[History, Hours]) {
            self.parts = Vec::new();
        }
        if !keeps(&[Open]) {
            self.debts = Vec::new();
            self.orphans = Vec::new();
        }
        if !keeps(&[History, Open, Refrigerant]) {
            self.movements = Vec::new();
        }
        if keeps(&[Hours]) {
            self.events.retain(|e| e.kind == NotedKind::Material);
        }
        if !keeps(&[Hours, History]) {
            self.visits.iter_mut().for_each(|v| v.people = Vec::new());
        }
        self.events.shrink_to_fit();
        self.movements.shrink_to_fit();
        self
    }
}

/// The day itself: what is done past midnight is of the next one.
fn after_midnight(date: Date, at: Option<crate::model::Minutes>) -> Date {
    let days = at.map_or(0, |at| i64::from(at.0.div_euclid(1440)));
    date.checked_add(jiff::Span::new().days(days))
        .unwrap_or(date)
}

fn entry_date(compiled: &Compiled, line: u32) -> Option<Date> {
    let (visit, _) = compiled.job.entries().find(|(_, e)| e.line == line)?;
    compiled.job.visits.get(visit)?.date
}

fn people(compiled: &Compiled, index: usize, visit: &crate::model::Visit) -> Vec<Person> {
    let stays = visit.stays().paired;
    let times = compiled
        .derived
        .technicians
        .iter()
        .filter(|t| t.visit == index);
    times
        .enumerate()
        .map(|(who, time)| {
            let stays: Vec<(i32, i32)> = stays
                .iter()
                .filter(|stay| stay.who == Some(who))
                .filter_map(|stay| Some((stay.from?.0, stay.to?.0)))
                .filter(|(from, to)| from <= to)
                .collect();
            // Who has left does not wait.
            let is_there = |at: Option<crate::model::Minutes>| match at {
                Some(at) if !stays.is_empty() => {
                    stays.iter().any(|(from, to)| (*from..=*to).contains(&at.0))
                }
                _ => true,
            };
            let waits = visit.entries.iter().filter_map(|entry| match &entry.kind {
                EntryKind::Waited {
                    duration: Some(duration),
                    ..
                } if is_there(entry.at) => Some((duration.second() / 60.0).round() as i32),
                _ => None,
            });
            Person {
                name: time.name.clone(),
                on_site: time.on_site,
                waiting: waits.reduce(|a, b| a + b),
                stays,
            }
        })
        .collect()
}

fn noted(compiled: &Compiled) -> Vec<Noted> {
    let mut out = Vec::new();
    for (visit, entry) in compiled.job.entries() {
        let mut push = |kind, text: &str| {
            out.push(Noted {
                kind,
                text: text.lines().next().unwrap_or("").trim().to_owned(),
                visit,
                line: entry.line,
            });
        };
        match &entry.kind {
            EntryKind::Fitted(text) => push(NotedKind::Fitted, text),
            EntryKind::Removed(text) => push(NotedKind::Removed, text),
            EntryKind::Did(text) => push(NotedKind::Did, text),
            EntryKind::Handled { text, .. } => push(NotedKind::Handled, text),
            EntryKind::Cause { text, fault } => {
                push(NotedKind::Cause(fault.map(|f| f.fault)), text);
            }
            EntryKind::Observation { text, signs, .. } => {
                if signs.contains(&Sign::Leak) {
                    push(NotedKind::LeakSeen, text);
                }
                if signs.contains(&Sign::RunsNormally) {
                    push(NotedKind::RunsNormally, text);
                }
            }
            EntryKind::Material(text) => push(NotedKind::Material, text),
            EntryKind::Told(text) => push(NotedKind::Told, text),
            EntryKind::Booked(text) => push(NotedKind::Booked, text),
            EntryKind::Advise { urgency, text } => push(NotedKind::Advised(*urgency), text),
            EntryKind::Approved(text) => push(NotedKind::Approved, text),
            EntryKind::Declined(text) => push(NotedKind::Declined, text),
            EntryKind::Hold { .. } => {
                let passed =
                    compiled.derived.holds.iter().any(|test| {
                        test.lines.1 == entry.line && test.lost.is_some() && !test.leaks()
                    });
                if passed {
                    push(NotedKind::HoldPassed, "");
                }
            }
            _ => {}
        }
    }
    out
}

/// The symptoms a history compares: those of one formula, and the compressor's current.
fn values(compiled: &Compiled) -> Vec<ValueRecord> {
    let mut out: Vec<ValueRecord> = Vec::new();
    for derived in &compiled.derived.values {
        let symptom = match derived.formula.id {
            "rla-share" => Some(Symptom::RunningCurrent),
            id => Symptom::ALL
                .into_iter()
                .find(|s| crate::expectation::formula(*s) == Some(id)),
        };
        let Some(symptom) = symptom else { continue };
        let number = derived.value.number();
        let value = match symptom {
            Symptom::RunningCurrent => number / 100.0,
            _ => number,
        };
        // The last of a phase is what the unit came to.
        let same = |v: &ValueRecord| v.symptom == symptom && v.phase == derived.phase;
        match out.iter_mut().find(|v| same(v)) {
            Some(known) => known.value = value,
            None => out.push(ValueRecord {
                symptom,
                value,
                visit: derived.visit,
                phase: derived.phase,
            }),
        }
    }
    out
}
