//! What the customer is told: what was wrong, whether it is put right, what to decide next.

use super::{
    Advice, BeforeAfter, Heading, advice, before_after, moment, names, open_debts, repairs,
};
use crate::compile::Compiled;
use crate::derive::{Derivation, HoldTest, Measured, VacuumShape, VacuumTest, hours_minutes};
use crate::diagnostic::Severity;
use crate::model::{Entry, EntryKind, Flow};
use crate::vocabulary::Point;
use serde::Serialize;

/// The customer report.
#[derive(Debug, Serialize)]
pub struct CustomerView {
    /// Form and version.
    pub schema: String,
    /// Name and place.
    pub heading: Heading,
    /// What the caller said.
    pub complaint: Option<String>,
    /// The technician's conclusion; empty when none is stated.
    pub cause: Vec<String>,
    /// Whether it is put right, as far as the note says.
    pub outcome: Outcome,
    /// Recommendations, most urgent first.
    pub decide: Vec<Advice>,
    /// What was seen, heard, felt, smelled.
    pub found: Vec<String>,
    /// What was done, in order.
    pub done: Vec<String>,
    /// Values before and after.
    pub readings: Vec<BeforeAfter>,
    /// True when a repair divides before from after.
    pub repaired: bool,
    /// Set point, as written.
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
}

/// Something left in a temporary state.
#[derive(Debug, Serialize)]
pub struct LeftOpen {
    /// What.
    pub text: String,
    /// Since when.
    pub since: String,
}

/// One visit.
#[derive(Debug, Serialize)]
pub struct VisitRow {
    /// Date.
    pub date: String,
    /// Technicians.
    pub technicians: String,
    /// Time on site, or that it is not recorded.
    pub on_site: String,
}

/// How the job stands.
#[derive(Debug, Serialize)]
pub struct Outcome {
    /// `repaired`, `watch`, `unproved`, `not-repaired`.
    pub state: &'static str,
    /// One short sentence.
    pub summary: &'static str,
    /// What speaks for or against it, a sentence each.
    pub because: Vec<String>,
}

/// Points a customer cares about whether or not they were read twice.
const OF_INTEREST: &[Point] = &[
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

/// Builds the customer's view.
pub fn view(compiled: &Compiled) -> CustomerView {
    let job = &compiled.job;
    let mut view = CustomerView {
        schema: format!("rimebook/customer/{}", super::VIEW_VERSION),
        heading: Heading::of(job),
        complaint: super::text(&job.complaint),
        cause: Vec::new(),
        outcome: outcome(compiled),
        decide: advice(job),
        found: Vec::new(),
        done: Vec::new(),
        readings: before_after(job, |r| OF_INTEREST.contains(&r.point)),
        repaired: repairs(job).is_some(),
        set_point: job.unit.set_point_written.clone(),
        food: super::food::view(compiled),
        cautions: cautions(compiled),
        left: open_debts(job, &compiled.derived)
            .into_iter()
            .map(|d| LeftOpen {
                text: if d.kind == "lock" {
                    format!("Locked out: {}", d.text)
                } else {
                    d.text
                },
                since: d.since,
            })
            .collect(),
        refrigerant: refrigerant(compiled),
        told: Vec::new(),
        approved: Vec::new(),
        declined: Vec::new(),
        parts: Vec::new(),
        pictures: Vec::new(),
        materials: Vec::new(),
        photos: Vec::new(),
        visits: visits(compiled),
    };
    let compared = before_after(job, |r| IF_COMPARED.contains(&r.point));
    view.readings.extend(
        compared
            .into_iter()
            .filter(|row| row.before.is_some() && row.after.is_some()),
    );
    for (_, entry) in job.entries() {
        tell(&mut view, entry, &compiled.derived);
    }
    view
}

/// Puts an entry where the customer reads it. Every kind is named: a new kind is told to nobody
/// until someone decides that it may be.
fn tell(view: &mut CustomerView, entry: &Entry, derived: &Derivation) {
    match &entry.kind {
        // `heard nothing` tells the next technician something, and a customer nothing.
        EntryKind::Observation { text, .. } if text.trim().eq_ignore_ascii_case("nothing") => {}
        EntryKind::Observation { text, .. } => view.found.push(text.clone()),
        EntryKind::Cause { text, .. } => view.cause.push(text.clone()),
        EntryKind::Did(text) | EntryKind::Handled { text, .. } => view.done.push(text.clone()),
        EntryKind::Fitted(text) => {
            view.done.push(format!("fitted {text}"));
            view.parts.push(text.clone());
        }
        EntryKind::Removed(text) => view.done.push(format!("removed {text}")),
        EntryKind::Refrigerant(transfer) => {
            let name = transfer.refrigerant.map(|r| r.name);
            let name = name.or(transfer.named.as_deref()).unwrap_or("refrigerant");
            let verb = match transfer.flow {
                Flow::Added => "charged",
                Flow::Recovered => "recovered",
            };
            view.done
                .push(format!("{verb} {} of {name}", transfer.written));
        }
        EntryKind::Hold { .. } => {
            let test = derived.holds.iter().find(|t| t.lines.0 == entry.line);
            view.done.extend(test.map(hold));
        }
        EntryKind::Vacuum { .. } => {
            let test = derived.vacuums.iter().find(|t| t.lines.0 == entry.line);
            view.done.extend(test.map(vacuum));
        }
        // What the office or a colleague was told is between them.
        EntryKind::Told(text) if is_internal(text) => {}
        EntryKind::Told(text) => view.told.push(text.clone()),
        EntryKind::Approved(text) => view.approved.push(text.clone()),
        EntryKind::Declined(text) => view.declined.push(text.clone()),
        EntryKind::Photo(text) => view.photos.push(text.clone()),
        EntryKind::Advise { .. } => {} // under what to decide
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

fn is_internal(text: &str) -> bool {
    const COLLEAGUES: &[&str] = &[
        "office",
        "dispatch",
        "dispatcher",
        "boss",
        "foreman",
        "supervisor",
        "helper",
        "apprentice",
        "parts",
    ];
    let folded = crate::vocabulary::fold(text);
    let who = folded
        .split(' ')
        .find(|word| !matches!(*word, "the" | "our" | "my"));
    who.is_some_and(|word| COLLEAGUES.contains(&word))
}

/// A pressure test, told once, with its result.
fn hold(test: &HoldTest) -> String {
    let result = match (test.expected, test.leaks()) {
        (None, _) => "its result is not recorded",
        (Some(_), true) => "it did not hold",
        (Some(_), false) => "it held",
    };
    let time = test
        .minutes
        .map_or(String::new(), |m| format!(" for {}", hours_minutes(m)));
    format!("pressure test of the pipework{time}: {result}")
}

/// An evacuation, told once, with its result.
fn vacuum(test: &VacuumTest) -> String {
    let result = match test.shape {
        Some(VacuumShape::Tight) => "the vacuum held",
        Some(VacuumShape::Moisture | VacuumShape::Leak | VacuumShape::Undecided) => {
            "the vacuum did not hold"
        }
        None => "whether the vacuum held is not recorded",
    };
    format!("evacuated the system before charging: {result}")
}

fn outcome(compiled: &Compiled) -> Outcome {
    let fired = |id: &str| {
        compiled
            .findings()
            .found
            .iter()
            .any(|f| f.rule.code.id == id)
    };
    let open = compiled
        .derived
        .debts
        .iter()
        .filter(|d| d.closed.is_none())
        .count();
    let mut because = Vec::new();
    if repairs(&compiled.job).is_none() {
        return Outcome {
            state: "not-repaired",
            summary: "Examined; no repair is recorded.",
            because,
        };
    }
    if fired("RB510") {
        because.push("The effect of the repair was not measured before we left.".to_owned());
    }
    if fired("RB351") {
        because.push("The temperature was still above its setting at the last reading.".to_owned());
    }
    let mut food = compiled.derived.food.iter();
    if food.any(|row| row.measured == Measured::Food && row.above_at_last().is_some()) {
        because.push(
            "Food was still above the limit of your plan when it was last measured.".to_owned(),
        );
    }
    let repaired_at = repairs(&compiled.job).map_or(0, |r| r.1);
    let still_off = compiled.findings().found.iter().any(|f| {
        let of_running = f.rule.family().is_some_and(|family| family.of_running);
        of_running && f.rule.code.severity >= Severity::Warning && f.span().start > repaired_at
    });
    if still_off {
        because.push("A reading after the repair was still outside its usual range.".to_owned());
    }
    if fired("RB501") || fired("RB505") {
        because.push("A test of the pipework did not hold.".to_owned());
    }
    if open > 0 {
        because.push("Something is still in a temporary state, see below.".to_owned());
    }
    let (state, summary) = if fired("RB510") {
        ("unproved", "Repaired; not yet proved by readings.")
    } else if because.is_empty() {
        because.push("Readings after the repair are in the table below.".to_owned());
        (
            "repaired",
            "Repaired, with readings taken after the repair.",
        )
    } else {
        ("watch", "Repaired; still to be watched.")
    };
    Outcome {
        state,
        summary,
        because,
    }
}

/// Cautions for people near the unit: food, open locks, flammable refrigerant.
fn cautions(compiled: &Compiled) -> Vec<String> {
    let mut cautions = Vec::new();
    for finding in &compiled.findings().found {
        let rule = finding.rule;
        if matches!(
            rule.code.id,
            "RB351" | "RB352" | "RB602" | "RB951" | "RB952" | "RB954" | "RB955"
        ) {
            super::push_new(&mut cautions, rule.plain.to_owned());
            if let (Some(caution), true) = (rule.caution, rule.code.id != "RB602") {
                super::push_new(&mut cautions, caution.to_owned());
            }
        }
    }
    if let Some(refrigerant) = compiled.job.unit.refrigerant
        && refrigerant.is_flammable()
    {
        cautions.push(format!(
            "This unit holds a flammable refrigerant ({}, class {}). Keep flames and sparks away from it, keep its air openings free, and have it opened only by people trained and licensed for it as local rules require.",
            refrigerant.name,
            refrigerant.class_name()
        ));
    }
    cautions
}

fn refrigerant(compiled: &Compiled) -> Vec<String> {
    let ledger = &compiled.derived.ledger;
    if ledger.movements.is_empty() {
        return Vec::new();
    }
    let display = compiled.job.display;
    let mut names: Vec<&str> = Vec::new();
    for movement in &ledger.movements {
        let name = movement.transfer.refrigerant_name();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let line = |name: &str| {
        let sum = |flow: Flow| -> crate::quantity::Mass {
            ledger
                .movements
                .iter()
                .filter(|m| m.transfer.flow == flow && m.transfer.refrigerant_name() == name)
                .map(|m| m.transfer.mass)
                .sum()
        };
        let parts: Vec<String> = [(Flow::Recovered, "recovered"), (Flow::Added, "charged")]
            .into_iter()
            .map(|(flow, word)| (sum(flow), word))
            .filter(|(mass, _)| *mass != crate::quantity::Mass::ZERO)
            .map(|(mass, word)| format!("{} {word}", display.mass(mass)))
            .collect();
        let name = if name == "not known" {
            "Not named"
        } else {
            name
        };
        format!("{name}: {}", parts.join(", "))
    };
    names.into_iter().map(line).collect()
}

fn visits(compiled: &Compiled) -> Vec<VisitRow> {
    let job = &compiled.job;
    job.visits
        .iter()
        .zip(&compiled.derived.times)
        .enumerate()
        .map(|(i, (visit, time))| VisitRow {
            date: moment(job, i, None),
            technicians: names(visit),
            on_site: time
                .on_site
                .map_or_else(|| "not recorded".to_owned(), hours_minutes),
        })
        .collect()
}
