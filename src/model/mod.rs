//! What a note says, owned and spanned: job, unit, visits, entries, readings.

mod action;
mod build;
mod checks;
mod compressor;
mod cylinder;
mod draft;
mod entry;
mod habits;
mod head;
mod healthy;
mod nameplate;
mod pressure_tests;
mod private;
mod reading;
mod same;
mod stays;
mod transfer;
mod weighing;
mod written;

pub use build::build;
pub use compressor::{Rated, RatedSuction, RatingPolynomial};
pub use cylinder::same_label;
pub use entry::{
    Entry, EntryKind, Flow, Reached, Reading, Sense, Transfer, Urgency, Value, Weighing,
};
pub(crate) use habits::UnitHabits;
pub use healthy::{Healthy, Reference};
pub(crate) use reading::measured;
pub use stays::{Stay, Stays};
pub use written::mass;
pub(crate) use written::{has_mass, unit_at};

use crate::duties::{Appliance, Jurisdiction};
use crate::quantity::{
    Atmosphere, Capacitance, Current, Display, Mass, Power, Temperature, TemperatureDifference,
    Voltage, VolumeFlow,
};
use crate::refrigerant::Refrigerant;
use crate::source::{Span, Spanned};
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
