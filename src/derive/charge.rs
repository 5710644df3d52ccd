//! What the unit holds after the last movement, and what it had lost: only where the note allows it.

use super::{Books, Derivation};
use crate::model::{Flow, Job};
use crate::quantity::Mass;

/// What the unit had lost before the job, by the books alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NetLoss {
    /// A line calls it a first charge: nothing was lost.
    FirstCharge,
    /// Nothing was taken out, and the unit was evacuated before anything was put in: whether it was
    /// a first charge or all was lost the books alone cannot tell. Added in all.
    PerhapsFirst(Mass),
    /// Added less recovered: what the unit had lost, if it is charged now as it was before.
    Lost(Mass),
    /// Not more went in than came out.
    None,
}

/// Charge weighed in since the last evacuation: added less recovered after it.
///
/// # Errors
/// Why it is not known: no evacuation to count from, nothing weighed in after it, several circuits,
/// or more taken out than was weighed in.
pub fn charge_now(derived: &Derivation) -> Result<Mass, &'static str> {
    let books = &derived.books;
    let Some(emptied) = derived.vacuums.last().map(|v| v.span.start) else {
        return Err("no evacuation to count from");
    };
    if books.movements.iter().any(|m| m.transfer.circuit.is_some()) {
        return Err("movements name circuits, the evacuation does not");
    }
    let mut charge = Mass::ZERO;
    let mut added = false;
    for movement in books.movements.iter().filter(|m| m.span.start > emptied) {
        match movement.transfer.flow {
            Flow::Added => {
                added = true;
                charge += movement.transfer.mass;
            }
            Flow::Recovered => charge = charge - movement.transfer.mass,
        }
    }
    match (added, charge.is_negative()) {
        (false, _) => Err("nothing weighed in after the evacuation"),
        (true, true) => Err("more was taken out than was weighed in"),
        (true, false) => Ok(charge),
    }
}

/// Added less recovered, where it was no first charge.
pub fn net_loss(job: &Job, derived: &Derivation) -> NetLoss {
    let books: &Books = &derived.books;
    let complaint = job.complaint.as_ref().map(|c| c.node.to_lowercase());
    let new = complaint.is_some_and(|c| c.contains("commissioning") || c.contains("first charge"));
    if new || books.movements.iter().any(|m| m.transfer.first) {
        return NetLoss::FirstCharge;
    }
    let net = books.net();
    if net <= Mass::ZERO {
        return NetLoss::None;
    }
    let first = books.movements.first().map(|m| m.span.start);
    let evacuated = derived
        .vacuums
        .iter()
        .any(|v| first.is_some_and(|first| v.span.start < first));
    if books.recovered == Mass::ZERO && evacuated {
        NetLoss::PerhapsFirst(net)
    } else {
        NetLoss::Lost(net)
    }
}
