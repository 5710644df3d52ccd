//! What a visit's lines state: readings, observations, actions.

use super::Minutes;
use crate::quantity::{
    AbsolutePressure, Duration, GaugePressure, Mass, Temperature, VacuumDepth, Written,
};
use crate::refrigerant::Refrigerant;
use crate::source::Span;
use crate::vocabulary::faults::FaultInfo;
use crate::vocabulary::{Leg, Point, Sign, State};
use serde::Serialize;

/// One statement of a visit.
#[derive(Debug)]
pub struct Entry {
    /// Line number, from 1.
    pub line: u32,
    /// The statement's place.
    pub span: Span,
    /// When, if any time was given yet.
    pub at: Option<Minutes>,
    /// Counts stretches between actions that change the unit, over the whole job.
    pub phase: u32,
    /// What was stated.
    pub kind: EntryKind,
}

/// The sense an observation was made with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names say it")]
pub enum Sense {
    Seen,
    Heard,
    Felt,
    Smelled,
    Noted,
}

/// Which way refrigerant went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Flow {
    /// Into the unit.
    Added,
    /// Out of the unit.
    Recovered,
}

/// Refrigerant moved.
#[derive(Debug, Clone)]
pub struct Transfer {
    /// Which way.
    pub flow: Flow,
    /// How much.
    pub mass: Mass,
    /// The amount as written.
    pub written: String,
    /// Which refrigerant; the unit's when not said, `None` when neither is known.
    pub refrigerant: Option<&'static Refrigerant>,
    /// The words that named it on the line, known or not.
    pub named: Option<String>,
    /// Cylinder as written.
    pub cylinder: Option<String>,
    /// Circuit as written.
    pub circuit: Option<String>,
    /// The cylinder on the scale, before and after.
    pub weighing: Option<Weighing>,
    /// True when the line calls it a first charge.
    pub first: bool,
    /// Pressure that a recovery was taken down to.
    pub reached: Option<Reached>,
}

/// The pressure that a recovery ended at.
#[derive(Debug, Clone, PartialEq)]
pub struct Reached {
    /// Absolute, on the site's atmosphere.
    pub pressure: AbsolutePressure,
    /// As written.
    pub written: String,
}

/// A cylinder weighed before and after a movement, gross.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weighing {
    /// Before.
    pub before: Mass,
    /// After.
    pub after: Mass,
    /// One of the scale's last digit.
    pub step: Mass,
    /// As written.
    pub written: String,
}

impl Transfer {
    /// The refrigerant's name: its designation, the words that named it, or that it is not known.
    pub fn refrigerant_name(&self) -> &str {
        match (self.refrigerant, &self.named) {
            (Some(refrigerant), _) => refrigerant.name,
            (None, Some(words)) => words,
            (None, None) => "not known",
        }
    }
}

/// How soon a recommendation should be acted on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, schemars::JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Urgency {
    /// At once.
    Now,
    /// Before long.
    Soon,
    /// When convenient.
    Later,
    /// Not said.
    Unstated,
}

/// What an entry states.
#[derive(Debug)]
pub enum EntryKind {
    /// Measured or seen at points.
    Readings(Vec<Reading>),
    /// Free observation with the signs recognised in it.
    Observation {
        /// With which sense.
        sense: Sense,
        /// As written.
        text: String,
        /// What was recognised.
        signs: Vec<Sign>,
    },
    /// The technician's conclusion and the fault recognised in it.
    Cause {
        /// As written.
        text: String,
        /// The fault of the trade it names, if recognised.
        fault: Option<&'static FaultInfo>,
    },
    /// Work done.
    Did(String),
    /// Something set, moved, opened or checked: told, but no repair.
    Handled {
        /// As written.
        text: String,
        /// False for looking only (`checked`, `tested`): that changes nothing.
        changes: bool,
    },
    /// Part put in.
    Fitted(String),
    /// Part taken out.
    Removed(String),
    /// Refrigerant moved.
    Refrigerant(Transfer),
    /// A standing pressure test reading.
    Hold {
        /// The gas as written, `nitrogen` when not said.
        gas: String,
        /// The pressure.
        pressure: GaugePressure,
        /// As written.
        written: String,
        /// One step of the gauge's last digit, Pa.
        resolution: f64,
        /// Temperature of the gas, if noted.
        temperature: Option<Temperature>,
    },
    /// An evacuation reading.
    Vacuum {
        /// The reading.
        depth: VacuumDepth,
        /// As written.
        written: String,
        /// True when the pump was valved off.
        isolated: bool,
    },
    /// Somebody was told.
    Told(String),
    /// A recommendation.
    Advise {
        /// How soon.
        urgency: Urgency,
        /// As written, without the word for how soon.
        text: String,
    },
    /// What is to be watched from now on.
    Watch(String),
    /// A visit that is arranged: when, who, what for, as written.
    Booked(String),
    /// Agreed by the customer.
    Approved(String),
    /// Not wanted by the customer.
    Declined(String),
    /// A photograph, by file name or caption.
    Photo(String),
    /// Never leaves the diagnosis note.
    Private(String),
    /// Travel.
    Travel {
        /// Time stated, if any.
        duration: Option<Duration>,
        /// As written.
        text: String,
    },
    /// Waiting.
    Waited {
        /// Time stated, if any.
        duration: Option<Duration>,
        /// As written.
        text: String,
    },
    /// On site.
    Arrive(String),
    /// Off site.
    Depart(String),
    /// Energy locked out.
    LockedOut(String),
    /// Lock taken off.
    LockOff(String),
    /// What was used up.
    Material(String),
    /// What was measured with.
    Instrument(String),
    /// Temporary condition opened.
    Left(String),
    /// Temporary condition closed.
    Restored(String),
}

/// The free text of a kind, borrowed as the kind is.
macro_rules! free_text {
    ($kind:expr) => {
        match $kind {
            Self::Observation { text, .. }
            | Self::Cause { text, .. }
            | Self::Did(text)
            | Self::Handled { text, .. }
            | Self::Fitted(text)
            | Self::Removed(text)
            | Self::Told(text)
            | Self::Advise { text, .. }
            | Self::Watch(text)
            | Self::Booked(text)
            | Self::Approved(text)
            | Self::Declined(text)
            | Self::Photo(text)
            | Self::Private(text)
            | Self::Travel { text, .. }
            | Self::Waited { text, .. }
            | Self::Arrive(text)
            | Self::Depart(text)
            | Self::Material(text)
            | Self::Instrument(text)
            | Self::LockedOut(text)
            | Self::LockOff(text)
            | Self::Left(text)
            | Self::Restored(text) => Some(text),
            Self::Readings(_) | Self::Refrigerant(_) | Self::Hold { .. } | Self::Vacuum { .. } => {
                None
            }
        }
    };
}

impl EntryKind {
    /// True for actions after which earlier readings no longer describe the unit.
    pub fn changes_unit(&self) -> bool {
        self.is_repair()
            || matches!(
                self,
                Self::Hold { .. } | Self::Vacuum { .. } | Self::LockedOut(_) | Self::LockOff(_)
            )
            || matches!(self, Self::Refrigerant(t) if t.flow == Flow::Recovered)
            || matches!(self, Self::Handled { changes: true, .. })
    }

    /// True for actions that may have put something right.
    pub fn is_repair(&self) -> bool {
        matches!(self, Self::Did(_) | Self::Fitted(_) | Self::Removed(_))
            || matches!(self, Self::Refrigerant(t) if t.flow == Flow::Added)
    }

    /// The free text, where the kind has one.
    pub fn text(&self) -> Option<&str> {
        free_text!(self).map(String::as_str)
    }

    /// The free text, for a following indented line to continue.
    pub fn text_mut(&mut self) -> Option<&mut String> {
        free_text!(self)
    }
}

/// A value or a state at a point.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Measured.
    Measured(Written),
    /// Seen.
    Seen(State),
}

/// One reading.
#[derive(Debug, Clone)]
pub struct Reading {
    /// Where.
    pub point: Point,
    /// Which one of several.
    pub which: Option<String>,
    /// Which conductor.
    pub leg: Option<Leg>,
    /// What.
    pub value: Value,
    /// The state in the technician's own word, for a state.
    pub seen_as: Option<String>,
    /// Words that followed it.
    pub remark: Option<String>,
    /// The point's words to the unit.
    pub span: Span,
    /// Line number, from 1.
    pub line: u32,
    /// Index of the visit.
    pub visit: usize,
    /// When.
    pub at: Option<Minutes>,
    /// Phase of its entry.
    pub phase: u32,
}

impl Reading {
    /// The measured value, if it is one.
    pub fn written(&self) -> Option<&Written> {
        match &self.value {
            Value::Measured(written) => Some(written),
            Value::Seen(_) => None,
        }
    }

    /// The state, if it is one.
    pub fn seen(&self) -> Option<State> {
        match &self.value {
            Value::Seen(state) => Some(*state),
            Value::Measured(_) => None,
        }
    }

    /// Point name with which one and which leg: `evap 2 suction line`, `compressor leg 1`.
    pub fn label(&self) -> String {
        let name = self.point.name();
        let mut label = match &self.which {
            None => name.to_owned(),
            Some(which) => match which.rsplit_once(' ') {
                // `evap fan` of `fan 2` is `evap fan 2`; `suction line` of `evap 2` keeps both.
                Some((kind, number)) if name.split(' ').any(|word| word.starts_with(kind)) => {
                    format!("{name} {number}")
                }
                _ => format!("{which} {name}"),
            },
        };
        if let Some(Leg(leg)) = self.leg {
            label.push_str(&format!(" leg {leg}"));
        }
        label
    }

    /// The value as written.
    pub fn value_text(&self) -> &str {
        match &self.value {
            Value::Measured(written) => &written.text,
            Value::Seen(state) => self.seen_as.as_deref().unwrap_or(state.name()),
        }
    }
}
