//! What a note says, owned and spanned: job, unit, visits, entries, readings.

mod action;
mod build;
mod checks;
mod compressor;
mod cylinder;
mod draft;
mod habits;
mod head;
mod healthy;
mod nameplate;
mod reading;
mod stays;
mod transfer;
mod weighing;
mod written;

pub use build::build;
pub use compressor::{Rated, RatedSuction, RatingPolynomial};
pub use cylinder::same_label;
pub use healthy::{Healthy, Reference};
pub use stays::{Stay, Stays};
pub(crate) use written::has_mass;
pub use written::mass;

use crate::duties::{Appliance, Jurisdiction};
use crate::quantity::{
    AbsolutePressure, Atmosphere, Capacitance, Current, Display, Duration, GaugePressure, Mass,
    Power, Temperature, TemperatureDifference, VacuumDepth, Voltage, VolumeFlow, Written,
};
use crate::refrigerant::Refrigerant;
use crate::source::{Span, Spanned};
use crate::vocabulary::faults::FaultInfo;
use crate::vocabulary::{Leg, Point, Sign, State};
use jiff::civil::Date;
use serde::Serialize;

/// One job: a unit, a complaint, and the visits made for it.
#[derive(Debug, Default)]
pub struct Job {
    /// Job number.
    pub number: Option<Spanned<String>>,
    /// Customer.
    pub customer: Option<Spanned<String>>,
    /// Site.
    pub site: Option<Spanned<String>>,
    /// Contact.
    pub contact: Option<Spanned<String>>,
    /// Customer's order number.
    pub order: Option<Spanned<String>>,
    /// What the caller said.
    pub complaint: Option<Spanned<String>>,
    /// What the unit holds.
    pub contents: Option<Spanned<String>>,
    /// How to get in.
    pub access: Option<Spanned<String>>,
    /// The unit.
    pub unit: Unit,
    /// What the site's plan asks of its food.
    pub food: FoodPlan,
    /// Head lines with a key that is not known, as written.
    pub other: Vec<(Spanned<String>, Spanned<String>)>,
    /// Instruments that the head names, a line each.
    pub instruments: Vec<Spanned<String>>,
    /// Cylinders that the head describes.
    pub cylinders: Vec<Cylinder>,
    /// Visits, in order of writing.
    pub visits: Vec<Visit>,
    /// Lines that could not be used, as written.
    pub unused: Vec<Spanned<String>>,
    /// Units to show computed values in: the note's own habit.
    pub display: Display,
}

/// Limits for food, as the head gives them: the tool has none of its own.
#[derive(Debug, Default)]
pub struct FoodPlan {
    /// The warmest that food may be held.
    pub limit: Option<Spanned<Temperature>>,
    /// That limit, as written.
    pub limit_written: Option<String>,
    /// Hours of a written plan of time as control: 4 or 6.
    pub hours: Option<i32>,
}

/// The unit and what it is meant to do.
#[derive(Debug, Default)]
pub struct Unit {
    /// Tag and description, as written.
    pub tag: Option<Spanned<String>>,
    /// Model designation.
    pub model: Option<Spanned<String>>,
    /// Serial number.
    pub serial: Option<Spanned<String>>,
    /// Refrigerant, if data for it is carried.
    pub refrigerant: Option<Spanned<&'static Refrigerant>>,
    /// Refrigerant line, as written.
    pub refrigerant_written: Option<Spanned<String>>,
    /// Full charge.
    pub charge: Option<Spanned<Mass>>,
    /// Expansion device and receiver.
    pub metering: Metering,
    /// Electrical ratings.
    pub nameplate: Nameplate,
    /// Volume the compressor sweeps in a time.
    pub displacement: Option<VolumeFlow>,
    /// Published mass flow of the compressor.
    pub mass_flow_rating: Option<RatingPolynomial>,
    /// Published power of the compressor.
    pub power_rating: Option<RatingPolynomial>,
    /// Set point.
    pub set_point: Option<Spanned<Temperature>>,
    /// Set point, as written.
    pub set_point_written: Option<String>,
    /// The atmosphere gauges read against.
    pub atmosphere: Option<Atmosphere>,
    /// Design evaporator TD.
    pub design_td: Option<TemperatureDifference>,
    /// Design condenser split.
    pub design_split: Option<TemperatureDifference>,
    /// Ambient the design holds at.
    pub design_ambient: Option<Temperature>,
    /// Condensing temperature head-pressure control holds at least.
    pub head_pressure_hold: Option<Temperature>,
    /// Superheat to run at.
    pub target_superheat: Option<TemperatureDifference>,
    /// Subcooling to run at.
    pub target_subcooling: Option<TemperatureDifference>,
    /// Whose rules on refrigerant the note asks for.
    pub jurisdiction: Option<Jurisdiction>,
    /// What it is to those rules.
    pub appliance: Option<Appliance>,
    /// Whether an automatic leak detection system watches it.
    pub leak_detection: Option<bool>,
    /// Whether it is hermetically sealed and labelled so.
    pub sealed: Option<bool>,
    /// What its values were when it was healthy.
    pub healthy: Vec<Healthy>,
}

impl Unit {
    /// What the compressor sweeps, from a line of its own or from the nameplate.
    pub fn swept(&self) -> Option<VolumeFlow> {
        self.displacement.or(self.nameplate.displacement)
    }

    /// The atmosphere stated, or sea level.
    pub fn atmosphere(&self) -> Atmosphere {
        self.atmosphere.unwrap_or(Atmosphere::SEA_LEVEL)
    }
}

/// Expansion device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Expansion {
    /// Thermostatic expansion valve.
    Txv,
    /// Electronic expansion valve.
    Eev,
    /// Fixed orifice.
    Orifice,
    /// Capillary tube.
    Capillary,
}

/// How liquid is fed, and whether a receiver hides charge.
#[derive(Debug, Default)]
pub struct Metering {
    /// As written.
    pub written: Option<Spanned<String>>,
    /// The device.
    pub expansion: Option<Expansion>,
    /// True with a receiver, false without one, `None` when not said.
    pub receiver: Option<bool>,
}

/// Electrical ratings read off the nameplate line.
#[derive(Debug, Default)]
pub struct Nameplate {
    /// As written.
    pub written: Option<Spanned<String>>,
    /// Rated supply voltage; a dual rating (208-230) keeps both ends.
    pub volts: Option<(Voltage, Voltage)>,
    /// 1 or 3.
    pub phases: Option<u8>,
    /// Rated load current of the compressor.
    pub rla: Option<Current>,
    /// Rated power of the defrost heaters.
    pub heaters: Option<Power>,
    /// Voltage the heater rating holds at, where it differs from the supply.
    pub heater_volts: Option<Voltage>,
    /// Rated run capacitance.
    pub capacitor: Option<Capacitance>,
    /// Control (coil) voltage.
    pub control_volts: Option<Voltage>,
    /// Volume the compressor sweeps in a time.
    pub displacement: Option<VolumeFlow>,
}

/// One visit.
#[derive(Debug)]
pub struct Visit {
    /// The line that opened it; the first entry's line when the note forgot one.
    pub span: Span,
    /// Its date, if it could be read.
    pub date: Option<Date>,
    /// Who came.
    pub technicians: Vec<Spanned<String>>,
    /// What was noted, in order of writing.
    pub entries: Vec<Entry>,
}

/// Minutes after midnight of the visit's date; past 1440 the night went on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Minutes(pub i32);

impl std::fmt::Display for Minutes {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let of_day = self.0.rem_euclid(1440);
        write!(f, "{:02}:{:02}", of_day / 60, of_day % 60)?;
        match self.0.div_euclid(1440) {
            0 => Ok(()),
            days => write!(f, " (+{days} d)"),
        }
    }
}

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

/// A cylinder that the head describes.
#[derive(Debug, Clone)]
pub struct Cylinder {
    /// Its label.
    pub label: Spanned<String>,
    /// What it is for.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Mass of water that it holds when full, as stamped on it.
    pub water_capacity: Option<Mass>,
    /// Its own mass, as stamped on it.
    pub tare: Option<Mass>,
    /// Refrigerant in it at the start of the note.
    pub holds: Option<Mass>,
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
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

    /// The free text, where the kind has one that a following indented line continues.
    pub fn text_mut(&mut self) -> Option<&mut String> {
        match self {
            Self::Observation { text, .. }
            | Self::Cause { text, .. }
            | Self::Did(text)
            | Self::Handled { text, .. }
            | Self::Fitted(text)
            | Self::Removed(text)
            | Self::Told(text)
            | Self::Advise { text, .. }
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

impl Job {
    /// Every entry with its visit's index, in order of writing.
    pub fn entries(&self) -> impl Iterator<Item = (usize, &Entry)> {
        self.visits
            .iter()
            .enumerate()
            .flat_map(|(i, visit)| visit.entries.iter().map(move |entry| (i, entry)))
    }

    /// Every reading, in order of writing.
    pub fn readings(&self) -> impl Iterator<Item = &Reading> {
        self.entries().flat_map(|(_, entry)| match &entry.kind {
            EntryKind::Readings(readings) => readings.as_slice(),
            _ => &[],
        })
    }
}
