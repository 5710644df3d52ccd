//! The visits, entry by entry.

use super::clock;
use crate::model::{Entry, EntryKind, Flow, Sense};
use crate::quantity::Display;
use schemars::JsonSchema;
use serde::Serialize;

/// A visit's log.
#[derive(Debug, JsonSchema, Serialize)]
pub struct VisitLog {
    /// Date.
    pub date: String,
    /// Technicians.
    pub technicians: String,
    /// Entries.
    pub entries: Vec<LogRow>,
}

/// One entry.
#[derive(Debug, JsonSchema, Serialize)]
pub struct LogRow {
    /// Time.
    pub at: String,
    /// Kind, one word or two.
    pub kind: &'static str,
    /// What was stated.
    pub text: String,
    /// Signs recognised in it.
    pub signs: Vec<&'static str>,
    /// True for lines that never reach the customer.
    pub private: bool,
    /// Line.
    pub line: u32,
}

pub(super) fn log_row(entry: &Entry, display: Display) -> LogRow {
    let mut signs = Vec::new();
    let (kind, text) = match &entry.kind {
        EntryKind::Readings(readings) => {
            let parts: Vec<String> = readings
                .iter()
                .map(|r| {
                    let remark = r
                        .remark
                        .as_ref()
                        .map_or(String::new(), |t| format!(" ({t})"));
                    format!("{} {}{remark}", r.label(), r.value_text())
                })
                .collect();
            ("read", parts.join(", "))
        }
        EntryKind::Observation {
            sense,
            text,
            signs: found,
        } => {
            signs = found.iter().map(|s| s.name()).collect();
            let kind = match sense {
                Sense::Seen => "saw",
                Sense::Heard => "heard",
                Sense::Felt => "felt",
                Sense::Smelled => "smelled",
                Sense::Noted => "note",
            };
            (kind, text.clone())
        }
        EntryKind::Cause { text, .. } => ("cause", text.clone()),
        EntryKind::Did(text) | EntryKind::Handled { text, .. } => ("did", text.clone()),
        EntryKind::Fitted(text) => ("fitted", text.clone()),
        EntryKind::Removed(text) => ("removed", text.clone()),
        EntryKind::Refrigerant(t) => {
            let name = match (t.refrigerant, &t.named) {
                (Some(refrigerant), _) => refrigerant.name.to_owned(),
                (None, Some(words)) => format!("{words} (no data)"),
                (None, None) => "refrigerant not known".to_owned(),
            };
            let (kind, way) = match t.flow {
                Flow::Added => ("added", "from"),
                Flow::Recovered => ("recovered", "into"),
            };
            let cylinder = t
                .cylinder
                .as_ref()
                .map_or(String::new(), |c| format!(" {way} {c}"));
            let circuit = t
                .circuit
                .as_ref()
                .map_or(String::new(), |c| format!(", {c}"));
            (kind, format!("{} of {name}{cylinder}{circuit}", t.written))
        }
        EntryKind::Hold {
            gas,
            written,
            temperature,
            ..
        } => {
            let at =
                temperature.map_or(String::new(), |t| format!(" at {}", display.temperature(t)));
            ("hold", format!("{gas} {written}{at}"))
        }
        EntryKind::Vacuum {
            written, isolated, ..
        } => (
            "vacuum",
            format!("{written}{}", if *isolated { ", isolated" } else { "" }),
        ),
        EntryKind::Told(text) => ("told", text.clone()),
        EntryKind::Advise { text, .. } => ("advise", text.clone()),
        EntryKind::Watch(text) => ("watch", text.clone()),
        EntryKind::Booked(text) => ("booked", text.clone()),
        EntryKind::Approved(text) => ("approved", text.clone()),
        EntryKind::Declined(text) => ("declined", text.clone()),
        EntryKind::Photo(text) => ("photo", text.clone()),
        EntryKind::Private(text) => ("private", text.clone()),
        EntryKind::Travel { text, .. } => ("travel", text.clone()),
        EntryKind::Waited { text, .. } => ("waited", text.clone()),
        EntryKind::Arrive(text) => ("arrive", text.clone()),
        EntryKind::Depart(text) => ("depart", text.clone()),
        EntryKind::Material(text) => ("material", text.clone()),
        EntryKind::Instrument(text) => ("instrument", text.clone()),
        EntryKind::LockedOut(text) => ("locked out", text.clone()),
        EntryKind::LockOff(text) => ("lock off", text.clone()),
        EntryKind::Left(text) => ("left", text.clone()),
        EntryKind::Restored(text) => ("restored", text.clone()),
    };
    LogRow {
        at: clock(entry.at),
        kind,
        text,
        signs,
        private: matches!(entry.kind, EntryKind::Private(_)),
        line: entry.line,
    }
}
