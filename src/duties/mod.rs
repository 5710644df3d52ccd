//! Leak rates and duties with due dates, from the refrigerant history of one unit.
//!
//! The rules are reviewed tables as of [`AS_OF`], a row each with its citation and how it is known
//! ([`RuleText`]). Nothing is guessed: what an answer would need and nobody stated is in
//! [`Assessment::unknown`], and then there is no duty. No clock is read: what is overdue is asked
//! with a date ([`Duty::is_overdue`]). Every text here is to be shown beside [`CAUTION`].
//!
//! ```
//! use jiff::civil::date;
//! use rimebook::duties::{self, Appliance, Event, EventKind, Jurisdiction, Plant};
//! use rimebook::quantity::{Mass, Number};
//! use rimebook::refrigerant::lookup;
//!
//! let pounds = |n| Mass::from_number(Number::integer(n), Mass::PICOGRAM_PER_POUND);
//! let plant = Plant {
//!     refrigerant: lookup("R-448A"),
//!     charge: Some(pounds(200)),
//!     appliance: Some(Appliance::CommercialRefrigeration),
//!     ..Plant::default()
//! };
//! let events = [
//!     Event { date: date(2025, 11, 10), kind: EventKind::InitialCharge },
//!     Event { date: date(2026, 3, 10), kind: EventKind::Added(pounds(50)) },
//! ];
//! let assessment = duties::evaluate(&plant, Jurisdiction::UnitedStates, &events);
//! let repair = &assessment.duties[0];
//! assert_eq!(repair.what, "repair the leaks");
//! assert_eq!(repair.due, Some(date(2026, 4, 9)));
//! assert!(repair.is_overdue(date(2026, 4, 10)));
//! ```

mod eu;
mod evacuation;
mod plant;
mod rate;
mod substance;
mod us;

pub use eu::{Co2Equivalent, co2_equivalent};
pub use evacuation::{Level, PressureClass, Vacuum, level, pressure_classes};
pub use plant::{Appliance, Event, EventKind, Jurisdiction, Method, Plant, Verification};
pub use rate::{Between, Rate, Share, annualizing, share};

use crate::quantity::{Mass, Number};
use jiff::civil::{Date, date};
use rate::History;

/// To be shown beside every text of this module.
pub const CAUTION: &str = "Check the current text and your local authority.";

/// Day at which the tables of this module were reviewed.
pub const AS_OF: Date = date(2026, 11, 25);

/// How a row of the tables is known. The official pages were read for none of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// Read in a public copy of the text, or in a public account of it.
    Read,
    /// The numbers were read so; the paragraph cited is from memory.
    ParagraphFromMemory,
    /// From memory.
    FromMemory,
}

/// One row of the tables: what a rule asks, in this project's words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleText {
    /// Where it stands: `40 CFR 82.157(c)(2)`.
    pub citation: &'static str,
    /// What it asks.
    pub text: &'static str,
    /// How it is known.
    pub known: Known,
    /// Day at which the row was reviewed.
    pub as_of: Date,
}

impl RuleText {
    const fn new(citation: &'static str, known: Known, text: &'static str) -> Self {
        Self {
            citation,
            text,
            known,
            as_of: AS_OF,
        }
    }
}

/// Something a rule asks of the owner or operator.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Duty {
    /// What is to be done.
    pub what: String,
    /// Last day for it; `None` where no day is known or none is set.
    pub due: Option<Date>,
    /// Day on which the events show it done.
    pub done: Option<Date>,
    /// The facts it rests on.
    pub because: String,
    /// True for what holds at all times, as how deep to evacuate before opening; false for what is to
    /// be done once.
    pub is_standing: bool,
    /// The rule.
    pub rule: &'static RuleText,
}

impl Duty {
    /// True when the due day lies before `on` and the events show nothing done.
    pub fn is_overdue(&self, on: Date) -> bool {
        self.done.is_none() && self.due.is_some_and(|due| due < on)
    }
}

/// Something that cannot be told, and what it would need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// What is missing: what is not known for it.
    pub text: String,
    /// The rule it bears on.
    pub rule: &'static RuleText,
}

/// A rule that was looked at, and applies or does not. One that nobody can tell of is in
/// [`Assessment::unknown`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scope {
    /// The rule.
    pub rule: &'static RuleText,
    /// Whether it applies.
    pub applies: bool,
    /// The facts that decided it.
    pub because: String,
}

/// All there is to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assessment {
    /// Whose rules.
    pub jurisdiction: Jurisdiction,
    /// Leak rates as 40 CFR 82.152 counts them, at every addition since the unit was charged or
    /// converted; the European Union sets no such rate.
    pub rates: Vec<Rate>,
    /// Which rules apply.
    pub scope: Vec<Scope>,
    /// Duties, open and done.
    pub duties: Vec<Duty>,
    /// What cannot be told.
    pub unknown: Vec<Unknown>,
    /// [`CAUTION`].
    pub caution: &'static str,
}

/// One condition of a rule, with the fact that decides it or what is missing.
enum Condition {
    Met(String),
    Unmet(String),
    NotKnown(String),
}

impl Assessment {
    /// Enters whether a rule applies. One condition unmet is enough for no, whatever else is not
    /// known.
    fn decide(&mut self, rule: &'static RuleText, conditions: &[Condition]) -> bool {
        let mut met: Vec<&str> = Vec::new();
        let mut missing: Vec<&str> = Vec::new();
        for condition in conditions {
            match condition {
                Condition::Met(fact) => met.push(fact),
                Condition::NotKnown(what) => missing.push(what),
                Condition::Unmet(fact) => {
                    self.scope.push(Scope {
                        rule,
                        applies: false,
                        because: fact.clone(),
                    });
                    return false;
                }
            }
        }
        for what in &missing {
            let text = format!("{what}: whether {} applies is not known", rule.citation);
            self.unknown.push(Unknown { text, rule });
        }
        if missing.is_empty() {
            self.scope.push(Scope {
                rule,
                applies: true,
                because: met.join("; "),
            });
        }
        missing.is_empty()
    }

    fn not_known(&mut self, rule: &'static RuleText, text: impl Into<String>) {
        let text = text.into();
        self.unknown.push(Unknown { text, rule });
    }
}

/// What the rules of `jurisdiction` ask of `plant` after `events`, in any order.
///
/// Only what happened since the unit was charged or last converted is counted.
pub fn evaluate(plant: &Plant, jurisdiction: Jurisdiction, events: &[Event]) -> Assessment {
    // A charge of nothing is a slip, and no charge.
    let plant = Plant {
        charge: plant.charge.filter(|&charge| charge > Mass::ZERO),
        ..*plant
    };
    let history = History::new(events);
    let mut assessment = Assessment {
        jurisdiction,
        rates: plant.charge.map_or(Vec::new(), |c| history.rates(c)),
        scope: Vec::new(),
        duties: Vec::new(),
        unknown: Vec::new(),
        caution: CAUTION,
    };
    match jurisdiction {
        Jurisdiction::UnitedStates => us::assess(&plant, &history, &mut assessment),
        Jurisdiction::EuropeanUnion => eu::assess(&plant, &history, &mut assessment),
    }
    assessment
}

/// So many pounds.
fn pounds(number: i64) -> Mass {
    Mass::from_number(Number::integer(number), Mass::PICOGRAM_PER_POUND)
}

/// A number of days after a day; `None` past the end of the calendar.
fn days_after(date: Date, days: i32) -> Option<Date> {
    date.checked_add(jiff::Span::new().try_days(days).ok()?)
        .ok()
}

/// A number of months after a day, on the last day of a month too short for it.
fn months_after(date: Date, months: i32) -> Option<Date> {
    date.checked_add(jiff::Span::new().try_months(months).ok()?)
        .ok()
}
