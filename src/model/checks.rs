//! What is checked once the whole note is read: the head, arrivals, conflicts, missing times.

use super::draft::Draft;
use super::{EntryKind, Flow, Reading, Value, same_label};
use crate::diagnostic::{Diagnostic, code};
use crate::source::Span;

impl Draft<'_> {
    pub fn missing_head(&mut self, first: Span) {
        let mut missing = Vec::new();
        if self.job.unit.tag.is_none() {
            missing.push("unit");
        }
        if self.job.unit.refrigerant_written.is_none() {
            missing.push("refrigerant");
        }
        if !missing.is_empty() {
            let missing = missing.join(" or ");
            self.diagnostics.push(
                Diagnostic::new(&code::HEAD_INCOMPLETE, first, format!("the head gives no {missing}"))
                    .help("add lines such as `unit: WIF-2, walk-in freezer` and `refrigerant: R-448A, 22 lb` at the top"),
            );
        }
    }

    /// A transfer that names no refrigerant moved what the head says its cylinder is for, when it
    /// went in, or else the unit's own.
    pub fn default_refrigerant(&mut self) {
        let own = self.job.unit.refrigerant.map(|r| r.node);
        let cylinders = &self.job.cylinders;
        for entry in self.job.visits.iter_mut().flat_map(|v| &mut v.entries) {
            if let EntryKind::Refrigerant(transfer) = &mut entry.kind
                && transfer.refrigerant.is_none()
                && transfer.named.is_none()
            {
                let label = transfer
                    .cylinder
                    .as_deref()
                    .filter(|_| transfer.flow == Flow::Added);
                let cylinder = label.and_then(|label| {
                    let of = cylinders.iter().find(|c| same_label(&c.label.node, label));
                    of?.refrigerant
                });
                transfer.refrigerant = cylinder.or(own);
            }
        }
    }

    pub fn pair_arrivals(&mut self) {
        for visit in &self.job.visits {
            for span in visit.stays().strangers {
                self.diagnostics.push(
                    Diagnostic::new(
                        &code::NOT_ON_VISIT,
                        span,
                        "this line names nobody who is on the visit line",
                    )
                    .help("write the name as on the visit line; without a name it is of everyone"),
                );
            }
            for (span, message) in visit.stays().alone {
                self.diagnostics.push(
                    Diagnostic::new(&code::DEPART_WITHOUT_ARRIVE, span, message).help(
                        "time on site is counted from an `arrive` to the `depart` after it; without both it stays unrecorded",
                    ),
                );
            }
        }
    }

    pub fn same_moment(&mut self) {
        let mut found = Vec::new();
        let mut seen: rustc_hash::FxHashMap<_, &Reading> = rustc_hash::FxHashMap::default();
        for reading in self.job.readings().filter(|r| r.at.is_some()) {
            let key = (
                reading.point,
                reading.which.as_deref(),
                reading.leg,
                reading.visit,
                reading.at,
                reading.phase,
            );
            if let Some(earlier) = seen.insert(key, reading)
                && !same_value(&earlier.value, &reading.value)
            {
                found.push(
                    Diagnostic::new(
                        &code::SAME_MOMENT,
                        reading.span,
                        format!(
                            "{} is {} here and {} on line {}, at the same time",
                            reading.label(),
                            reading.value_text(),
                            earlier.value_text(),
                            earlier.line
                        ),
                    )
                    .also(earlier.span, "first given here")
                    .help("give the later one its own time, or delete the wrong one"),
                );
            }
        }
        drop(seen);
        self.diagnostics.append(&mut found);
    }

    pub fn untimed(&mut self) {
        for visit in &self.job.visits {
            let untimed = visit
                .entries
                .iter()
                .find(|e| e.at.is_none() && matches!(e.kind, EntryKind::Readings(_)));
            if let Some(entry) = untimed {
                self.diagnostics.push(
                    Diagnostic::new(&code::NO_TIME, entry.span, "these readings have no time")
                        .help("start the line with the clock time, as `0912 suction 4.2 psig`"),
                );
            }
        }
    }
}

fn same_value(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Measured(a), Value::Measured(b)) => a.quantity == b.quantity,
        (Value::Seen(a), Value::Seen(b)) => a == b,
        _ => false,
    }
}
