//! The job's refrigerant books: in, out, by refrigerant, circuit and cylinder. Exact sums.

use crate::model::{EntryKind, Flow, Job, Minutes, Transfer};
use crate::quantity::Mass;
use crate::source::Span;

/// One movement of refrigerant, with its place in the job.
#[derive(Debug, Clone)]
pub struct Movement {
    /// What was moved.
    pub transfer: Transfer,
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

    /// Per cylinder and refrigerant, in order of first use.
    pub fn cylinders(&self) -> Vec<CylinderShare<'_>> {
        let mut rows: Vec<CylinderShare<'_>> = Vec::new();
        for movement in &self.movements {
            let cylinder = movement.transfer.cylinder.as_deref();
            let refrigerant = movement.transfer.refrigerant_name();
            let same = |row: &CylinderShare<'_>| {
                same_cylinder(row.cylinder, cylinder) && row.refrigerant == refrigerant
            };
            let at = rows.iter().position(same).unwrap_or_else(|| {
                rows.push(CylinderShare {
                    cylinder,
                    refrigerant,
                    taken: Mass::ZERO,
                    filled: Mass::ZERO,
                });
                rows.len() - 1
            });
            match movement.transfer.flow {
                Flow::Added => rows[at].taken += movement.transfer.mass,
                Flow::Recovered => rows[at].filled += movement.transfer.mass,
            }
        }
        rows
    }
}

/// What went out of a cylinder and into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CylinderShare<'a> {
    /// Its label; `None` when not said.
    pub cylinder: Option<&'a str>,
    /// The refrigerant's name.
    pub refrigerant: &'a str,
    /// Out of the cylinder, into the unit.
    pub taken: Mass,
    /// Out of the unit, into the cylinder.
    pub filled: Mass,
}

/// True when two cylinder labels are one cylinder: case, blanks and strokes aside.
pub fn same_cylinder(a: Option<&str>, b: Option<&str>) -> bool {
    let folded = |label: &str| -> String {
        label
            .chars()
            .filter(|c| c.is_alphanumeric())
            .flat_map(char::to_lowercase)
            .collect()
    };
    a.map(folded) == b.map(folded)
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
            transfer: transfer.clone(),
            visit,
            at: entry.at,
            line: entry.line,
            span: entry.span,
        });
    }
    ledger
}
