//! The job's refrigerant books: in, out, by refrigerant, circuit and cylinder. Exact sums.

use crate::model::{EntryKind, Flow, Job, Minutes};
use crate::quantity::Mass;
use crate::refrigerant::Refrigerant;
use crate::source::Span;

/// One movement of refrigerant.
#[derive(Debug, Clone)]
pub struct Movement {
    /// Which way.
    pub flow: Flow,
    /// How much.
    pub mass: Mass,
    /// As written.
    pub written: String,
    /// Which refrigerant, if known.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Cylinder as written.
    pub cylinder: Option<String>,
    /// Circuit as written.
    pub circuit: Option<String>,
    /// Index of the visit.
    pub visit: usize,
    /// When.
    pub at: Option<Minutes>,
    /// Line.
    pub line: u32,
    /// Place.
    pub span: Span,
}

/// Movements and their sums.
#[derive(Debug, Default)]
pub struct Ledger {
    /// Every movement, in order.
    pub movements: Vec<Movement>,
    /// All put into the unit.
    pub added: Mass,
    /// All taken out of it.
    pub recovered: Mass,
}

impl Ledger {
    /// Added less recovered: what the unit holds more than before.
    pub fn net(&self) -> Mass {
        self.added - self.recovered
    }

    /// Per cylinder (`None`: not said): out of it into the unit, and out of the unit into it.
    pub fn cylinders(&self) -> Vec<(Option<&str>, Option<&'static Refrigerant>, Mass, Mass)> {
        let mut rows: Vec<(Option<&str>, Option<&'static Refrigerant>, Mass, Mass)> = Vec::new();
        for movement in &self.movements {
            let cylinder = movement.cylinder.as_deref();
            let same = |row: &(Option<&str>, Option<&'static Refrigerant>, Mass, Mass)| {
                same_cylinder(row.0, cylinder)
                    && row.1.map(|r| r.name) == movement.refrigerant.map(|r| r.name)
            };
            let at = rows.iter().position(same).unwrap_or_else(|| {
                rows.push((cylinder, movement.refrigerant, Mass::ZERO, Mass::ZERO));
                rows.len() - 1
            });
            match movement.flow {
                Flow::Added => rows[at].2 += movement.mass,
                Flow::Recovered => rows[at].3 += movement.mass,
            }
        }
        rows
    }
}

/// True when two cylinder labels are one cylinder: case aside.
pub fn same_cylinder(a: Option<&str>, b: Option<&str>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => a.eq_ignore_ascii_case(b),
        (None, None) => true,
        _ => false,
    }
}

/// The books of a job.
pub(super) fn books(job: &Job) -> Ledger {
    let mut ledger = Ledger::default();
    for (visit, entry) in job.entries() {
        let EntryKind::Refrigerant(transfer) = &entry.kind else {
            continue;
        };
        match transfer.flow {
            Flow::Added => ledger.added += transfer.mass,
            Flow::Recovered => ledger.recovered += transfer.mass,
        }
        ledger.movements.push(Movement {
            flow: transfer.flow,
            mass: transfer.mass,
            written: transfer.written.clone(),
            refrigerant: transfer.refrigerant,
            cylinder: transfer.cylinder.clone(),
            circuit: transfer.circuit.clone(),
            visit,
            at: entry.at,
            line: entry.line,
            span: entry.span,
        });
    }
    ledger
}
