//! What the readings mean: derived values, each with its formula, inputs and assumptions.
//!
//! A value that cannot be derived is never zero: it is listed in [`Derivation::missing`] with what
//! it needs.

mod air;
mod balance;
pub mod books;
pub mod charge;
mod cycle;
pub mod cylinders;
pub mod debts;
mod electrical;
mod energy;
mod flow;
pub mod food;
mod food_words;
mod pairing;
pub mod parts;
mod pressure_tests;
pub mod state_points;
pub mod time;

pub use books::Books;
pub use debts::{Debt, DebtKind, Orphan};
pub use energy::Energy;
pub use food::{FoodTime, Measured};
pub use food_words::limit_text as food_limit;
pub use pairing::{Bench, Moment, WINDOW_MINUTES};
pub(crate) use pairing::{current, same_circuit, temperature, voltage};
pub use pressure_tests::{HoldTest, VacuumShape, VacuumTest};
pub use time::{TechnicianTime, VisitTime, hours_minutes};

use crate::model::{Job, Minutes, Reading};
use crate::psychrometrics::btu_per_pound;
use crate::quantity::{
    AbsolutePressure, Current, Display, MassFlow, Percent, Power, SpecificEnthalpy, Temperature,
    TemperatureDifference, Voltage, fixed,
};
use crate::source::Span;

/// How a derived value is computed.
#[derive(Debug, PartialEq, Eq)]
pub struct Formula {
    /// Stable name, kebab case.
    pub id: &'static str,
    /// What the trade calls the value.
    pub name: &'static str,
    /// The formula in words and symbols.
    pub expression: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// What it needs, for the list of what could not be derived.
    pub needs: &'static str,
}

/// A derived value; SI inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A temperature.
    Temperature(Temperature),
    /// A temperature difference.
    Difference(TemperatureDifference),
    /// A pure number.
    Ratio(f64),
    /// Parts per hundred.
    Percent(Percent),
    /// A pressure change.
    PressureChange(AbsolutePressure),
    /// A current.
    Current(Current),
    /// A power.
    Power(Power),
    /// A voltage.
    Voltage(Voltage),
    /// Between two temperatures: a band that something sound stays in.
    TemperatureBand(Temperature, Temperature),
    /// Enthalpy gained or given off by a mass of refrigerant or of dry air.
    EnthalpyDifference(SpecificEnthalpy),
    /// Mass of refrigerant moved in a time.
    MassFlow(MassFlow),
    /// Heat moved in a time: capacity, heat rejected.
    Heat(Power),
    /// Enthalpy of moist air, for a kilogram of its dry air.
    AirEnthalpy(SpecificEnthalpy),
}

impl Value {
    /// As shown: one decimal for temperatures, two for ratios.
    pub fn text(self, display: Display) -> String {
        match self {
            Self::Temperature(v) => display.temperature(v),
            Self::Difference(v) => display.difference(v),
            Self::Ratio(v) => fixed(v, 2),
            Self::Percent(v) => format!("{} %", fixed(v.percent(), 1)),
            Self::PressureChange(v) => match display {
                Display::Us => format!("{} psi", fixed(v.psi(), 1)),
                Display::Si => format!("{} kPa", fixed(v.pascal() / 1e3, 1)),
            },
            Self::Current(v) => format!("{} A", fixed(v.ampere(), 1)),
            Self::Power(v) => format!("{} W", fixed(v.watt(), 0)),
            Self::Voltage(v) => format!("{} V", fixed(v.volt(), 1)),
            Self::TemperatureBand(low, high) => display.temperature_band(low, high),
            Self::EnthalpyDifference(v) => display.enthalpy(v),
            Self::MassFlow(v) => display.mass_flow(v),
            Self::Heat(v) => display.heat(v),
            Self::AirEnthalpy(v) => match display {
                Display::Us => format!("{} Btu/lb", fixed(btu_per_pound(v), 1)),
                Display::Si => display.enthalpy(v),
            },
        }
    }

    /// The difference, when it is one.
    pub fn difference(self) -> Option<TemperatureDifference> {
        match self {
            Self::Difference(v) => Some(v),
            _ => None,
        }
    }

    /// The bare number: K, a ratio, percent, Pa, A, W, V, J/kg or kg/s; of a band, its middle.
    pub fn number(self) -> f64 {
        match self {
            Self::Temperature(v) => v.kelvin(),
            Self::Difference(v) => v.kelvin(),
            Self::Ratio(v) => v,
            Self::Percent(v) => v.percent(),
            Self::PressureChange(v) => v.pascal(),
            Self::Current(v) => v.ampere(),
            Self::Power(v) => v.watt(),
            Self::Voltage(v) => v.volt(),
            Self::TemperatureBand(low, high) => 0.5 * (low.kelvin() + high.kelvin()),
            Self::EnthalpyDifference(v) | Self::AirEnthalpy(v) => v.joule_per_kilogram(),
            Self::MassFlow(v) => v.kilogram_per_second(),
            Self::Heat(v) => v.watt(),
        }
    }
}

/// A reading that a derived value rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Its point.
    pub name: String,
    /// Its value as written.
    pub text: String,
    /// Its line.
    pub line: u32,
    /// Its place.
    pub span: Span,
}

impl Input {
    /// The lines of several, each once, in order.
    pub fn lines(inputs: &[Input]) -> Vec<u32> {
        let mut lines: Vec<u32> = inputs.iter().map(|i| i.line).collect();
        lines.sort_unstable();
        lines.dedup();
        lines
    }

    /// A reading as input.
    pub fn of(reading: &Reading) -> Self {
        Self {
            name: reading.label(),
            text: reading.value_text().to_owned(),
            line: reading.line,
            span: reading.span,
        }
    }
}

/// A value computed from readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Derived {
    /// How.
    pub formula: &'static Formula,
    /// Which circuit, evaporator … it is of.
    pub which: Option<String>,
    /// The value.
    pub value: Value,
    /// What it rests on.
    pub inputs: Vec<Input>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
    /// One step of the instruments' last digits, carried through, in the unit of the value's number.
    pub resolution: Option<f64>,
    /// When.
    pub at: Option<Minutes>,
    /// Index of the visit.
    pub visit: usize,
    /// Phase of the job.
    pub phase: u32,
}

impl Derived {
    /// Its name with the circuit or evaporator it is of: `superheat (circuit B)`.
    pub fn label(&self) -> String {
        match &self.which {
            Some(which) => format!("{} ({which})", self.formula.name),
            None => self.formula.name.to_owned(),
        }
    }

    /// The value as shown, with the instrument resolution where it is known.
    pub fn text(&self, display: Display) -> String {
        self.value.text(display)
    }

    /// `± 0.4 F` from the last digits of the readings, where they are carried through.
    pub fn resolution_text(&self, display: Display) -> Option<String> {
        let step = self.resolution?;
        match self.value {
            Value::Temperature(_) | Value::Difference(_) => Some(format!(
                "± {}",
                display.difference(TemperatureDifference::from_kelvin(step))
            )),
            Value::EnthalpyDifference(_) | Value::AirEnthalpy(_) => Some(format!(
                "± {}",
                // Never `± 0.0`: what is shown is one digit of a tenth, in either unit.
                display.enthalpy(SpecificEnthalpy::from_joule_per_kilogram(step.max(120.0)))
            )),
            Value::Heat(_) => Some(format!("± {}", display.heat(Power::from_watt(step)))),
            Value::Ratio(_) => Some(format!("± {}", fixed(step, 2))),
            _ => None,
        }
    }

    /// The place of its first input.
    pub fn span(&self) -> Span {
        self.inputs.first().map_or(Span::default(), |i| i.span)
    }
}

/// A formula that nothing in the note could feed, though part of its inputs is there.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// Which formula.
    pub formula: &'static Formula,
    /// Why, or what it needs.
    pub because: String,
}

/// Everything derived from a job.
#[derive(Debug, Default)]
pub struct Derivation {
    /// Values, in order of their first input.
    pub values: Vec<Derived>,
    /// What could not be derived.
    pub missing: Vec<Missing>,
    /// Standing pressure tests.
    pub holds: Vec<HoldTest>,
    /// Evacuations.
    pub vacuums: Vec<VacuumTest>,
    /// Refrigerant books of the job.
    pub books: Books,
    /// Hours, a row a visit.
    pub times: Vec<VisitTime>,
    /// Hours, a row a visit and technician.
    pub technicians: Vec<time::TechnicianTime>,
    /// Parts in and out.
    pub parts: Vec<parts::PartMoved>,
    /// Temporary conditions and locks, open or undone.
    pub debts: Vec<Debt>,
    /// Food and box air against the limit of the head.
    pub food: Vec<food::FoodTime>,
    /// Lines that undo what nothing had opened.
    pub orphans: Vec<Orphan>,
}

impl Derivation {
    /// The values of one formula.
    pub fn of<'a>(&'a self, id: &'a str) -> impl Iterator<Item = &'a Derived> + 'a {
        self.values.iter().filter(move |d| d.formula.id == id)
    }
}

/// Derives all that the job's readings allow.
pub fn derive(job: &Job, bench: &Bench<'_>) -> Derivation {
    let mut out = Derivation::default();
    cycle::derive(job, bench, &mut out);
    air::derive(job, bench, &mut out);
    electrical::derive(job, bench, &mut out);
    out.holds = pressure_tests::holds(job);
    out.vacuums = pressure_tests::vacuums(job);
    out.books = books::books(job);
    out.times = time::times(job);
    out.technicians = time::technicians(job);
    out.parts = parts::moved(job);
    (out.debts, out.orphans) = debts::settle(job);
    out.food = food::times(job);
    out.values.sort_by_key(|d| d.span().start);
    out
}
