//! What is checked once the whole note is read: the head, arrivals, conflicts, missing times.

use super::draft::Draft;
use super::{EntryKind, Flow, Reading, Value, same_label};
use crate::diagnostic::{Diagnostic, code};
use crate::quantity::Quantity;
use crate::source::{Source, Span};
use crate::vocabulary::{Point, State};

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
        let readings = self.job.entries().flat_map(|(_, entry)| {
            let readings: &[Reading] = match &entry.kind {
                EntryKind::Readings(readings) => readings,
                _ => &[],
            };
            readings.iter().map(move |reading| (entry, reading))
        });
        for (entry, reading) in readings {
            // Without a time, what is stated together is of one moment.
            let together = reading.at.is_none().then_some(entry.span.start);
            let key = (
                together,
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

    /// Questions readings of one line that stand the wrong way round: the suction line is not warmer than
    /// the liquid line, nor, with the compressor running, the air off the coil than the air on it.
    pub fn swapped(&mut self) {
        const PAIRS: &[(Point, Point)] = &[
            (Point::SuctionLine, Point::LiquidLine),
            (Point::CompressorInlet, Point::LiquidLine),
            (Point::SupplyAir, Point::ReturnAir),
        ];
        let mut found = Vec::new();
        for (_, entry) in self.job.entries() {
            let EntryKind::Readings(readings) = &entry.kind else {
                continue;
            };
            let state = |point, states: &[State]| {
                let mut seen = readings.iter().filter(|r| r.point == point);
                seen.any(|r| r.seen().is_some_and(|state| states.contains(&state)))
            };
            let running = state(Point::Compressor, &[State::On]);
            let idle = state(Point::Compressor, &[State::Off, State::Tripped])
                || state(Point::Defrost, &[State::On, State::Called]);
            for &(low, high) in PAIRS {
                let air = low == Point::SupplyAir;
                let value = |point| {
                    let reading = readings.iter().find(|r| r.point == point)?;
                    let Quantity::Temperature(temperature) = reading.written()?.quantity else {
                        return None;
                    };
                    Some((reading, temperature.kelvin()))
                };
                let (Some((a, below)), Some((b, above))) = (value(low), value(high)) else {
                    continue;
                };
                if idle || air && !running || a.which != b.which || below < above + 1.0 {
                    continue;
                }
                found.push(swap(self.source, a, b));
            }
        }
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

/// The question whether the values of two readings changed places, with the answer as a fix.
fn swap(source: &Source, a: &Reading, b: &Reading) -> Diagnostic {
    let diagnostic = Diagnostic::new(
        &code::PERHAPS_SWAPPED,
        a.span,
        format!(
            "{} is {} and {} is {}: did the two change places?",
            a.label(),
            a.value_text(),
            b.label(),
            b.value_text()
        ),
    )
    .also(b.span, "colder than the other")
    .help("measure again, or correct the line");
    let (first, second) = if a.span.start < b.span.start {
        (a, b)
    } else {
        (b, a)
    };
    if first.span.end > second.span.start {
        return diagnostic;
    }
    let between = source.slice(Span {
        start: first.span.end,
        end: second.span.start,
    });
    let swapped = format!(
        "{} {}{between}{} {}",
        first.label(),
        second.value_text(),
        second.label(),
        first.value_text()
    );
    diagnostic.likely_fix("change them over", first.span.to(second.span), swapped)
}

fn same_value(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Measured(a), Value::Measured(b)) => a.quantity == b.quantity,
        (Value::Seen(a), Value::Seen(b)) => a == b,
        _ => false,
    }
}
