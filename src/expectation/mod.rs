//! What a unit should do: the one table that findings and causes judge by.
//!
//! In this order: what the note states (design TD, target superheat, set point), the unit's own
//! earlier healthy readings, and what is usual for its kind. The usual values are common practice
//! without a source unless a row names one.

mod kind;

pub use kind::{Application, Feed, application, feed};

use crate::derive::{Derivation, Derived};
use crate::model::{EntryKind, Job, Reference, Unit};
use crate::quantity::{Temperature, TemperatureDifference};
use crate::vocabulary::{Sign, Symptom};
use jiff::civil::Date;
use kind::{Cabinet, Device, Kind};

/// What one symptom should be: in the unit of [`Symptom`].
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// The likeliest value of a healthy unit.
    pub value: f64,
    /// How far that may be off (one standard deviation), beyond the scatter of healthy units.
    pub doubt: f64,
    /// Lowest value that is not remarkable.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// Where it comes from.
    pub basis: Basis,
}

/// Where an expectation comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Basis {
    /// The note states it.
    Stated,
    /// The head's line of healthy readings.
    HealthyLine,
    /// An earlier visit at which the unit was noted to run normally.
    EarlierVisit(Option<Date>),
    /// Usual for a kind of unit.
    Usual(&'static str),
    /// Half of the comparison itself was not measured; what was taken for it.
    Assumed(&'static str),
}

impl Basis {
    /// In words.
    pub fn text(&self) -> String {
        match self {
            Self::Stated => "stated in the note".to_owned(),
            Self::HealthyLine => "the unit's healthy readings, stated in the note".to_owned(),
            Self::EarlierVisit(Some(date)) => {
                format!("the unit's own readings of {date}, noted as normal")
            }
            Self::EarlierVisit(None) => {
                "the unit's own readings of an earlier visit, noted as normal".to_owned()
            }
            Self::Assumed(what) => format!("not measured in full: {what}"),
            Self::Usual(what) => format!("usual for {what}, common practice, no source"),
        }
    }
}

/// Allowed about a stated or healthy value before it is remarkable, and the doubt of an own healthy
/// reading: another day, another load. F of difference, or shares.
fn allowance(symptom: Symptom) -> (f64, f64) {
    match symptom {
        Symptom::EvaporatorTd => (5.0, 1.5),
        Symptom::Superheat | Symptom::Subcooling => (4.0, 1.5),
        Symptom::CondenserSplit => (13.0, 2.0),
        Symptom::DrierDrop => (3.0, 0.5),
        Symptom::AboveSetPoint => (5.0, 0.0),
        Symptom::AirSplit | Symptom::RunningCurrent => (0.3, 0.08),
        Symptom::CondenserRise | Symptom::Efficiency => (0.25, 0.06),
    }
}

/// One usual value: what for, value, doubt, lowest and highest unremarkable.
struct Usual(&'static str, f64, f64, f64, f64);

/// The table. Common practice, no source.
fn usual(symptom: Symptom, kind: &Kind) -> Option<Usual> {
    use Application::{AirConditioning, LowTemperature};
    let cools_rooms = kind.application == Some(AirConditioning);
    Some(match symptom {
        Symptom::EvaporatorTd => match (kind.application, kind.cabinet) {
            (Some(AirConditioning), _) => Usual("air conditioning", 36.0, 4.0, 25.0, 45.0),
            (_, Cabinet::SelfContained) => Usual("a self-contained cabinet", 16.0, 4.0, 4.0, 26.0),
            (_, Cabinet::Case) => Usual("a display case", 12.0, 4.0, 4.0, 22.0),
            (Some(_), Cabinet::Room) => Usual("refrigeration", 10.0, 2.0, 4.0, 22.0),
            (None, Cabinet::Room) => Usual("a unit of unstated kind", 16.0, 10.0, 4.0, 45.0),
        },
        Symptom::Superheat => match (kind.device, kind.application) {
            (Device::Fixed, Some(AirConditioning)) => {
                Usual("a fixed restriction, by load", 14.0, 6.0, 2.0, 30.0)
            }
            (Device::Fixed, _) => Usual("a fixed restriction, by load", 8.0, 2.5, 2.0, 30.0),
            (Device::Valve, Some(AirConditioning)) => {
                Usual("an expansion valve", 10.0, 2.0, 3.0, 15.0)
            }
            (Device::Valve, Some(LowTemperature)) => {
                Usual("an expansion valve", 6.0, 2.0, 3.0, 15.0)
            }
            (Device::Valve, _) => Usual("an expansion valve", 8.0, 2.5, 3.0, 15.0),
            (Device::NotStated, _) => Usual("any expansion device", 9.0, 4.0, 2.0, 25.0),
        },
        Symptom::Subcooling => match (kind.receiver, kind.device) {
            (Some(true), _) if cools_rooms => Usual("a unit with a receiver", 8.0, 4.0, 0.5, 20.0),
            (Some(true), _) => Usual("a unit with a receiver", 6.0, 4.0, 0.5, 20.0),
            (_, Device::Valve) if cools_rooms => Usual(
                "an expansion valve without a receiver",
                11.0,
                3.0,
                4.0,
                20.0,
            ),
            (_, Device::Valve) => {
                Usual("an expansion valve without a receiver", 9.0, 4.0, 4.0, 20.0)
            }
            _ => Usual(
                "a unit whose liquid feed is not stated",
                9.0,
                4.0,
                2.0,
                22.0,
            ),
        },
        Symptom::CondenserSplit => match kind.application {
            Some(AirConditioning) => Usual("air conditioning", 20.0, 5.0, 5.0, 35.0),
            Some(LowTemperature) => Usual("low temperature", 16.0, 5.0, 5.0, 35.0),
            Some(Application::MediumTemperature) => {
                Usual("medium temperature", 22.0, 6.0, 5.0, 35.0)
            }
            None => Usual("an air-cooled condenser", 20.0, 7.0, 5.0, 35.0),
        },
        Symptom::AirSplit if cools_rooms => Usual("air conditioning", 20.0, 2.0, 14.0, 26.0),
        // The rest follows from the TD (`Sheet::air_split`).
        Symptom::AirSplit => return None,
        Symptom::DrierDrop => Usual("a clean drier", 0.0, 0.0, -1.0, 3.0),
        Symptom::AboveSetPoint => Usual("a unit at its set point", 0.0, 0.0, -3.0, 5.0),
        Symptom::CondenserRise => Usual("an air-cooled condenser", 0.75, 0.13, 0.4, 1.1),
        Symptom::Efficiency => Usual(
            "a reciprocating or scroll compressor",
            0.70,
            0.08,
            0.5,
            0.95,
        ),
        Symptom::RunningCurrent => Usual("a compressor at its usual load", 0.70, 0.10, 0.3, 1.0),
    })
}

/// What a fixed orifice's superheat gains for each degree the ambient lies below design: less head,
/// less feed. Common practice (charging by superheat against outdoor temperature), no source.
const FIXED_SUPERHEAT_SLOPE: f64 = 0.8;
const FIXED_TD_SLOPE: f64 = 0.35;
/// What that leaves in doubt: with the ambient read, and without.
const FIXED_DOUBT: (f64, f64) = (4.5, 11.0);
const FIXED_TD_DOUBT: (f64, f64) = (2.0, 5.0);
/// Air off a refrigeration coil is that near to its temperature.
const SPLIT_OF_TD: f64 = 0.8;

/// What one unit should do, at one visit.
pub struct Sheet<'a> {
    unit: &'a Unit,
    kind: Kind,
    ambient: Option<Temperature>,
    earlier: Option<Earlier<'a>>,
}

/// An earlier moment at which the unit ran as it should.
struct Earlier<'a> {
    derived: &'a Derivation,
    visit: usize,
    phase: u32,
    date: Option<Date>,
}

impl<'a> Sheet<'a> {
    /// Of a job's unit, for judging a visit at this ambient.
    pub fn new(
        job: &'a Job,
        derived: &'a Derivation,
        visit: usize,
        ambient: Option<Temperature>,
    ) -> Self {
        Self {
            unit: &job.unit,
            kind: Kind::of(&job.unit),
            ambient,
            earlier: earlier(job, derived, visit),
        }
    }

    /// What a symptom should be; `None` when the note gives nothing to expect.
    pub fn expected(&self, symptom: Symptom) -> Option<Expected> {
        let mut expected = self.stated(symptom).or_else(|| self.usual(symptom))?;
        if self.kind.device == Device::Fixed && !matches!(expected.basis, Basis::EarlierVisit(_)) {
            match symptom {
                Symptom::Superheat => {
                    self.follow_ambient(&mut expected, FIXED_SUPERHEAT_SLOPE, FIXED_DOUBT);
                }
                Symptom::EvaporatorTd => {
                    self.follow_ambient(&mut expected, FIXED_TD_SLOPE, FIXED_TD_DOUBT);
                }
                _ => {}
            }
        }
        if symptom == Symptom::CondenserSplit
            && let (Some(held), Some(ambient)) = (self.unit.head_pressure_hold, self.ambient)
        {
            // Head-pressure control keeps condensing up in cold air: the split then is what is left.
            let held = (held - ambient).fahrenheit();
            let raised = (held - expected.value).max(0.0);
            expected.value += raised;
            expected.high += raised;
        }
        Some(expected)
    }

    /// A design value of the note, else the unit's own healthy one.
    fn stated(&self, symptom: Symptom) -> Option<Expected> {
        let design = match symptom {
            Symptom::EvaporatorTd => self.unit.design_td,
            Symptom::Superheat => self.unit.target_superheat,
            Symptom::Subcooling => self.unit.target_subcooling,
            Symptom::CondenserSplit => self.unit.design_split,
            _ => None,
        };
        let (allowed, own_doubt) = allowance(symptom);
        let around = |value: f64, doubt: f64, basis| Expected {
            value,
            doubt,
            low: value - allowed,
            high: value + allowed,
            basis,
        };
        if let Some(design) = design {
            return Some(around(design.fahrenheit(), 0.0, Basis::Stated));
        }
        if let Some(value) = self.reference(symptom) {
            return Some(around(value, own_doubt, Basis::HealthyLine));
        }
        let earlier = self.earlier.as_ref()?;
        let value = earlier.value(symptom)?;
        Some(around(value, own_doubt, Basis::EarlierVisit(earlier.date)))
    }

    /// The head's healthy value, in the unit of the symptom.
    fn reference(&self, symptom: Symptom) -> Option<f64> {
        let of = |symptom| self.unit.healthy.iter().find(|h| h.symptom == symptom);
        match of(symptom)?.value {
            Reference::Current(amps) => {
                let rla = self.unit.nameplate.rla.filter(|rla| rla.ampere() > 0.0)?;
                Some(amps.ampere() / rla.ampere())
            }
            Reference::Difference(degrees) => match symptom {
                Symptom::CondenserRise => {
                    let split = self.stated(Symptom::CondenserSplit)?.value;
                    (split > 0.0).then(|| degrees.fahrenheit() / split)
                }
                _ => Some(degrees.fahrenheit()),
            },
        }
    }

    fn usual(&self, symptom: Symptom) -> Option<Expected> {
        if symptom == Symptom::AirSplit
            && self.kind.application != Some(Application::AirConditioning)
        {
            return self.air_split();
        }
        let Usual(what, value, doubt, low, high) = usual(symptom, &self.kind)?;
        let basis = match symptom {
            Symptom::AboveSetPoint => Basis::Stated,
            _ => Basis::Usual(what),
        };
        Some(Expected {
            value,
            doubt,
            low,
            high,
            basis,
        })
    }

    fn air_split(&self) -> Option<Expected> {
        let td = self
            .stated(Symptom::EvaporatorTd)
            .or_else(|| self.usual(Symptom::EvaporatorTd))?;
        let value = SPLIT_OF_TD * td.value;
        Some(Expected {
            value,
            doubt: 1.0_f64.max(SPLIT_OF_TD * td.doubt / 2.0),
            low: 0.5 * value,
            high: 1.6 * value,
            basis: Basis::Usual("a refrigeration coil, by its TD"),
        })
    }

    fn follow_ambient(&self, expected: &mut Expected, slope: f64, doubt: (f64, f64)) {
        let more = match (self.ambient, self.unit.design_ambient) {
            (Some(ambient), Some(design)) => {
                expected.value += slope * (design - ambient).fahrenheit();
                doubt.0
            }
            _ => doubt.1,
        };
        expected.doubt = expected.doubt.hypot(more);
        // A stated value holds at one ambient; the usual band already spans them.
        if !matches!(expected.basis, Basis::Usual(_)) {
            let room = (expected.high - expected.low) / 2.0 + more;
            expected.low = expected.value - room;
            expected.high = expected.value + room;
        }
    }
}

impl Earlier<'_> {
    fn value(&self, symptom: Symptom) -> Option<f64> {
        let found = |id: &str| {
            self.derived
                .values
                .iter()
                .rfind(|d| d.formula.id == id && d.visit == self.visit && d.phase == self.phase)
        };
        let degrees = |id| found(id).map(|d| d.value.number()).map(fahrenheit);
        match symptom {
            Symptom::CondenserRise => {
                let split = degrees("condenser-split").filter(|split| *split > 0.0)?;
                Some(degrees("condenser-air-rise")? / split)
            }
            Symptom::RunningCurrent => Some(found("rla-share")?.value.number() / 100.0),
            Symptom::AboveSetPoint | Symptom::Efficiency | Symptom::DrierDrop => None,
            _ => degrees(formula(symptom)?),
        }
    }
}

/// The formula that measures a symptom in degrees, where one does.
pub fn formula(symptom: Symptom) -> Option<&'static str> {
    Some(match symptom {
        Symptom::EvaporatorTd => "evaporator-td",
        Symptom::Superheat => "superheat",
        Symptom::Subcooling => "subcooling",
        Symptom::CondenserSplit => "condenser-split",
        Symptom::AirSplit => "air-split",
        Symptom::DrierDrop => "drier-drop",
        _ => return None,
    })
}

fn fahrenheit(kelvin: f64) -> f64 {
    TemperatureDifference::from_kelvin(kelvin).fahrenheit()
}

/// The last moment before a visit at which somebody noted that the unit runs as it should, if any
/// value of its cycle was read then.
fn earlier<'a>(job: &Job, derived: &'a Derivation, visit: usize) -> Option<Earlier<'a>> {
    if visit == 0 {
        return None;
    }
    job.entries()
        .filter(|(i, entry)| {
            *i < visit
                && matches!(&entry.kind, EntryKind::Observation { signs, .. } if signs.contains(&Sign::RunsNormally))
        })
        .filter(|(i, entry)| {
            let of_then = |d: &Derived| d.visit == *i && d.phase == entry.phase;
            derived.values.iter().any(of_then)
        })
        .last()
        .map(|(i, entry)| Earlier {
            derived,
            visit: i,
            phase: entry.phase,
            date: job.visits[i].date,
        })
}
