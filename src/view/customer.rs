//! What the customer is told: what was wrong, whether it is put right, what to decide next.

use super::advice::{Advice, advice, of_declined};
use super::answers::{Answers, answers};
use super::chart::{self, Chart};
use super::plain::{self, PlainReading};
use super::{Heading, names, open_debts, repairs};
use crate::compile::Compiled;
use crate::derive::{HoldTest, VacuumShape, VacuumTest, hours_minutes};
use crate::findings::Rule;
use crate::model::{Entry, EntryKind, Flow, Job};
use crate::say;
use crate::vocabulary::{Point, is_retold, tells_a_colleague};
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// The customer report.
#[derive(Debug, JsonSchema, Serialize)]
pub struct CustomerView {
    /// Form and version.
    pub schema: String,
    /// Name and place.
    pub heading: Heading,
    /// What the caller said.
    pub complaint: Option<String>,
    /// The questions of the first screen, answered as far as the note does.
    pub answers: Answers,
    /// Recommendations, most urgent first.
    pub decide: Vec<Advice>,
    /// Recommendations that a later visit of this job took up.
    pub taken_up: Vec<Advice>,
    /// True when something was recommended and all of it was decided against.
    pub all_declined: bool,
    /// What was seen, heard, felt, smelled.
    pub found: Vec<String>,
    /// What was done, in order.
    pub done: Vec<String>,
    /// Values before and after.
    pub readings: Vec<PlainReading>,
    /// True when a repair divides before from after.
    pub repaired: bool,
    /// Box, product and room over the time of the job.
    pub charts: Vec<Chart>,
    /// Set point.
    pub set_point: Option<String>,
    /// Food against the limit of the site's plan.
    pub food: Option<super::food::FoodView>,
    /// What to be careful with.
    pub cautions: Vec<String>,
    /// What is still in a temporary state.
    pub left: Vec<LeftOpen>,
    /// Refrigerant, in a sentence a line.
    pub refrigerant: Vec<String>,
    /// What the customer was told on site.
    pub told: Vec<String>,
    /// What the customer agreed to.
    pub approved: Vec<String>,
    /// What the customer did not want.
    pub declined: Vec<String>,
    /// What was said to follow, of what was decided against.
    pub declined_risks: Vec<String>,
    /// Parts fitted.
    pub parts: Vec<String>,
    /// Photographs with a file name.
    pub pictures: Vec<super::pictures::Picture>,
    /// Materials used.
    pub materials: Vec<String>,
    /// Photographs.
    pub photos: Vec<String>,
    /// Visits: date, technicians, time on site.
    pub visits: Vec<VisitRow>,
    /// Whether the time on site is shown: a setting.
    pub show_time: bool,
    /// Whether parts and materials are shown: a setting.
    pub show_parts: bool,
}

/// Something left in a temporary state.
#[derive(Debug, JsonSchema, Serialize)]
pub struct LeftOpen {
    /// What, as a sentence: left for the time being, or locked out.
    pub text: String,
    /// Since when.
    pub since: String,
}

/// One visit.
#[derive(Debug, JsonSchema, Serialize)]
pub struct VisitRow {
    /// Date.
    pub date: String,
    /// Technicians.
    pub technicians: String,
    /// Time on site, or that it is not recorded.
    pub on_site: String,
}

/// Points a customer cares about whether or not they were read twice.
pub(super) const OF_INTEREST: &[Point] = &[
    Point::Box,
    Point::Product,
    Point::Room,
    Point::ReturnAir,
    Point::SupplyAir,
];

/// Points shown when they were read before and after, so that the change can be seen. Pressures are
/// left to the diagnosis note: a customer cannot tell a good one from a bad one.
const IF_COMPARED: &[Point] = &[
    Point::CompressorCurrent,
    Point::HeaterCurrent,
    Point::EvapFanCurrent,
    Point::CondenserFanCurrent,
    Point::RunCapacitor,
    Point::L1L2,
    Point::L2L3,
    Point::L1L3,
    Point::SupplyVoltage,
    Point::StaticPressure,
];

/// The chart of the customer report.
const TEMPERATURES: chart::Wanted = chart::Wanted {
    id: "temperatures",
    title: "chart-temperatures",
    points: &[Point::Box, Point::Product, Point::Room],
    temperature: true,
    levels: true,
    plain: true,
};

/// Builds the customer's view.
pub fn view(compiled: &Compiled, words: &Words) -> CustomerView {
    let job = &compiled.job;
    let (taken_up, decide): (Vec<Advice>, Vec<Advice>) = advice(job, words)
        .into_iter()
        .partition(|a| a.taken_up.is_some());
    let advised = |(_, e): (usize, &Entry)| matches!(e.kind, EntryKind::Advise { .. });
    let left = |d: super::OpenDebt| LeftOpen {
        text: match d.kind {
            "lock" => say!(words, "locked-out-of", what = d.text),
            _ => say!(words, "left-for-now", text = d.text),
        },
        since: d.since,
    };
    let mut readings = plain::readings(compiled, words, |r| OF_INTEREST.contains(&r.point), false);
    let compared = |r: &crate::model::Reading| IF_COMPARED.contains(&r.point);
    readings.extend(plain::readings(compiled, words, compared, true));
    let shown_after = readings.iter().any(|row| row.after.is_some());
    let mut view = CustomerView {
        schema: format!("rimebook/customer/{}", super::VIEW_VERSION),
        heading: Heading::of(job, words),
        complaint: super::text(&job.complaint),
        answers: answers(compiled, words, &decide, shown_after),
        all_declined: decide.is_empty() && taken_up.is_empty() && job.entries().any(advised),
        decide,
        taken_up,
        found: Vec::new(),
        done: Vec::new(),
        readings,
        repaired: repairs(job).is_some(),
        charts: chart::trend(compiled, words, &TEMPERATURES)
            .into_iter()
            .collect(),
        set_point: set_point(compiled),
        food: super::food::view(compiled, words),
        cautions: cautions(compiled, words),
        left: open_debts(job, &compiled.derived, words)
            .into_iter()
            .map(left)
            .collect(),
        refrigerant: refrigerant(compiled, words),
        told: Vec::new(),
        approved: Vec::new(),
        declined: Vec::new(),
        declined_risks: Vec::new(),
        parts: Vec::new(),
        pictures: Vec::new(),
        materials: Vec::new(),
        photos: Vec::new(),
        visits: visits(compiled, words),
        show_time: true,
        show_parts: true,
    };
    for (what, otherwise) in of_declined(job) {
        view.declined_risks
            .push(say!(words, "waiting-of", what = what, text = otherwise));
    }
    for (_, entry) in job.entries() {
        tell(&mut view, entry, compiled, words);
    }
    view
}

/// The set point, in the report's scale.
fn set_point(compiled: &Compiled) -> Option<String> {
    let set_point = compiled.job.unit.set_point.as_ref()?;
    Some(plain::temperature(set_point.node, compiled.job.display))
}

/// Puts an entry where the customer reads it. Every kind is named: a new kind is told to nobody
/// until someone decides that it may be.
fn tell(view: &mut CustomerView, entry: &Entry, compiled: &Compiled, words: &Words) {
    let derived = &compiled.derived;
    match &entry.kind {
        // `heard nothing` tells the next technician something, and a customer nothing.
        EntryKind::Observation { text, .. } if text.trim().eq_ignore_ascii_case("nothing") => {}
        // What somebody told us was neither found nor told by us.
        EntryKind::Observation { text, .. } if is_retold(text) => {}
        EntryKind::Observation { text, .. } => view.found.push(text.clone()),
        EntryKind::Did(text) | EntryKind::Handled { text, .. } => view.done.push(text.clone()),
        EntryKind::Fitted(text) => {
            view.done
                .push(say!(words, "done-fitted", what = text.clone()));
            view.parts.push(text.clone());
        }
        EntryKind::Removed(text) => {
            view.done
                .push(say!(words, "done-removed", what = text.clone()));
        }
        EntryKind::Refrigerant(transfer) => {
            let name = transfer.refrigerant.map(|r| r.name);
            let name = name.or(transfer.named.as_deref());
            let name = name.map_or_else(|| say!(words, "refrigerant"), str::to_owned);
            let amount = transfer.written.clone();
            view.done.push(match transfer.flow {
                Flow::Added => say!(words, "done-charged", amount = amount, what = name),
                Flow::Recovered => say!(words, "done-recovered", amount = amount, what = name),
            });
        }
        EntryKind::Hold { .. } => {
            let test = derived.holds.iter().find(|t| t.lines.0 == entry.line);
            view.done.extend(test.map(|test| hold(test, words)));
        }
        EntryKind::Vacuum { .. } => {
            let test = derived.vacuums.iter().find(|t| t.lines.0 == entry.line);
            view.done.extend(test.map(|test| vacuum(test, words)));
        }
        // What the office or a colleague was told is between them.
        EntryKind::Told(text) if tells_a_colleague(text, technicians(&compiled.job)) => {}
        EntryKind::Told(text) => view.told.push(say!(words, "told", what = text.clone())),
        EntryKind::Approved(text) => view.approved.push(by(text, "agreed-by", words)),
        EntryKind::Declined(text) => view.declined.push(by(text, "declined-by", words)),
        EntryKind::Photo(text) => view.photos.push(text.clone()),
        EntryKind::Advise { .. } => {} // under what to decide
        EntryKind::Cause { .. } | EntryKind::Watch(_) | EntryKind::Booked(_) => {} // in the answers
        EntryKind::Left(_) | EntryKind::Restored(_) => {} // what is still open is told, the rest is undone
        EntryKind::Readings(_) => {}                      // in the table of readings
        EntryKind::Material(text) => view.materials.push(text.clone()),
        EntryKind::Instrument(_) => {} // for the next technician and the office
        EntryKind::Private(_)
        | EntryKind::Travel { .. }
        | EntryKind::Waited { .. }
        | EntryKind::Arrive(_)
        | EntryKind::Depart(_)
        | EntryKind::LockedOut(_)
        | EntryKind::LockOff(_) => {}
    }
}

/// Everybody on a visit line.
fn technicians(job: &Job) -> impl Iterator<Item = &str> {
    let all = job.visits.iter().flat_map(|visit| &visit.technicians);
    all.map(|name| name.node.as_str())
}

/// `by the manager: the fan` is what somebody did; `the fan` stands under its heading.
fn by(text: &str, id: &str, words: &Words) -> String {
    match text.split_whitespace().next() {
        Some(first) if first.eq_ignore_ascii_case("by") => {
            words.say_with(id, &[("what", text.into())])
        }
        _ => text.to_owned(),
    }
}

/// A pressure test, told once, with its result.
fn hold(test: &HoldTest, words: &Words) -> String {
    let result = match (test.expected, test.leaks()) {
        (None, _) => say!(words, "test-not-recorded"),
        (Some(_), true) => say!(words, "test-failed"),
        (Some(_), false) => say!(words, "test-held"),
    };
    match test.minutes {
        Some(minutes) => say!(
            words,
            "hold-for",
            time = hours_minutes(minutes),
            result = result
        ),
        None => say!(words, "hold", result = result),
    }
}

/// An evacuation, told once, with its result.
fn vacuum(test: &VacuumTest, words: &Words) -> String {
    match test.shape {
        Some(VacuumShape::Tight) => say!(words, "vacuum-held"),
        Some(VacuumShape::Moisture | VacuumShape::Leak | VacuumShape::Undecided) => {
            say!(words, "vacuum-failed")
        }
        None => say!(words, "vacuum-not-recorded"),
    }
}

/// Rules whose finding people near the unit are told: food, open locks.
pub const TOLD_TO_CUSTOMERS: &[&str] = &[
    "RB351", "RB352", "RB602", "RB951", "RB952", "RB954", "RB955",
];

/// Cautions for people near the unit: food, open locks, flammable refrigerant.
fn cautions(compiled: &Compiled, words: &Words) -> Vec<String> {
    let mut cautions = Vec::new();
    for finding in &compiled.findings().found {
        let rule: &Rule = finding.rule;
        let id = rule.code.id;
        if TOLD_TO_CUSTOMERS.contains(&id) {
            let plain = words.declared(&format!("plain-{id}"), rule.plain);
            super::push_new(&mut cautions, plain);
            if let (Some(caution), true) = (rule.caution, id != "RB602") {
                let caution = words.declared(&format!("caution-{id}"), caution);
                super::push_new(&mut cautions, caution);
            }
        }
    }
    if let Some(refrigerant) = compiled.job.unit.refrigerant
        && refrigerant.is_flammable()
    {
        cautions.push(say!(
            words,
            "caution-flammable",
            name = refrigerant.name,
            class = refrigerant.class_name()
        ));
    }
    cautions
}

fn refrigerant(compiled: &Compiled, words: &Words) -> Vec<String> {
    let books = &compiled.derived.books;
    let display = compiled.job.display;
    let mut names: Vec<&str> = Vec::new();
    for movement in &books.movements {
        let name = movement.transfer.refrigerant_name();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let line = |name: &str| {
        let sum = |flow: Flow| -> crate::quantity::Mass {
            books
                .movements
                .iter()
                .filter(|m| m.transfer.flow == flow && m.transfer.refrigerant_name() == name)
                .map(|m| m.transfer.mass)
                .sum()
        };
        let zero = crate::quantity::Mass::ZERO;
        let mut parts = Vec::new();
        if sum(Flow::Recovered) != zero {
            let amount = display.mass(sum(Flow::Recovered));
            parts.push(say!(words, "amount-recovered", amount = amount));
        }
        if sum(Flow::Added) != zero {
            let amount = display.mass(sum(Flow::Added));
            parts.push(say!(words, "amount-charged", amount = amount));
        }
        let name = match name {
            "not known" => say!(words, "not-named"),
            name => name.to_owned(),
        };
        format!("{name}: {}", parts.join(", "))
    };
    names.into_iter().map(line).collect()
}

fn visits(compiled: &Compiled, words: &Words) -> Vec<VisitRow> {
    let job = &compiled.job;
    job.visits
        .iter()
        .zip(&compiled.derived.times)
        .enumerate()
        .map(|(i, (visit, time))| VisitRow {
            date: words.moment(job, i, None),
            technicians: names(visit),
            on_site: time
                .on_site
                .map_or_else(|| say!(words, "not-recorded"), hours_minutes),
        })
        .collect()
}
