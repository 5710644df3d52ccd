//! The job's refrigerant books: in, out, by refrigerant, circuit and cylinder. Exact sums.

use super::cylinders::{Content, contents};
use crate::model::{EntryKind, Flow, Job, Minutes, Transfer, same_label};
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
    /// Added less recovered up to and with this one.
    pub balance: Mass,
    /// What its cylinder held before and after, as far as the note tells.
    pub content: Content,
}

/// Movements and their sums.
#[derive(Debug, Default)]
pub struct Books {
    /// Every movement, in order.
    pub movements: Vec<Movement>,
    /// All put into the unit.
    pub added: Mass,
    /// All taken out of it.
    pub recovered: Mass,
}

impl Books {
    /// Added less recovered: what the unit holds more than before.
    pub fn net(&self) -> Mass {
        self.added - self.recovered
    }

    /// Added and recovered of each circuit, in order of first use; empty when no circuit is named.
    pub fn circuits(&self) -> Vec<CircuitShare<'_>> {
        let mut rows: Vec<CircuitShare<'_>> = Vec::new();
        for movement in &self.movements {
            let circuit = movement.transfer.circuit.as_deref();
            let at = rows.iter().position(|row| row.circuit == circuit);
            let at = at.unwrap_or_else(|| {
                rows.push(CircuitShare {
                    circuit,
                    added: Mass::ZERO,
                    recovered: Mass::ZERO,
                });
                rows.len() - 1
            });
            match movement.transfer.flow {
                Flow::Added => rows[at].added += movement.transfer.mass,
                Flow::Recovered => rows[at].recovered += movement.transfer.mass,
            }
        }
        rows.retain(|_| self.movements.iter().any(|m| m.transfer.circuit.is_some()));
        rows
    }

    /// What a cylinder held after its last movement; `None` when the note does not tell.
    pub fn held_after(&self, cylinder: Option<&str>) -> Option<Mass> {
        let last = self
            .movements
            .iter()
            .rev()
            .find(|m| same_cylinder(m.transfer.cylinder.as_deref(), cylinder))?;
        last.content.after
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

/// What one circuit was given and gave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CircuitShare<'a> {
    /// The circuit; `None` for movements that name none.
    pub circuit: Option<&'a str>,
    /// Into it.
    pub added: Mass,
    /// Out of it.
    pub recovered: Mass,
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

/// True when two movements name one cylinder, or both none.
pub fn same_cylinder(a: Option<&str>, b: Option<&str>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => same_label(a, b),
        (a, b) => a.is_none() && b.is_none(),
    }
}

/// The books of a job.
pub(super) fn books(job: &Job) -> Books {
    let mut books = Books::default();
    for (visit, entry) in job.entries() {
        let EntryKind::Refrigerant(transfer) = &entry.kind else {
            continue;
        };
        match transfer.flow {
            Flow::Added => books.added += transfer.mass,
            Flow::Recovered => books.recovered += transfer.mass,
        }
        books.movements.push(Movement {
            transfer: transfer.clone(),
            visit,
            at: entry.at,
            line: entry.line,
            span: entry.span,
            balance: books.net(),
            content: Content::default(),
        });
    }
    let transfers: Vec<&Transfer> = books.movements.iter().map(|m| &m.transfer).collect();
    let contents = contents(job, &transfers);
    for (movement, content) in books.movements.iter_mut().zip(contents) {
        movement.content = content;
    }
    books
}
