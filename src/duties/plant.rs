//! What is asked about: the place, the unit, and what was done to its refrigerant.

use crate::quantity::Mass;
use crate::refrigerant::Refrigerant;
use jiff::civil::Date;

/// Whose rules are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Jurisdiction {
    /// 40 CFR 82 subpart F and 40 CFR 84 subpart C. A state may ask for more.
    UnitedStates,
    /// Regulation (EU) 2024/573. A member state may ask for more.
    EuropeanUnion,
}

/// Accepted spellings, folded; the first of each jurisdiction is its name in messages.
static JURISDICTIONS: &[(&str, Jurisdiction)] = &[
    ("united states", Jurisdiction::UnitedStates),
    ("united states of america", Jurisdiction::UnitedStates),
    ("us", Jurisdiction::UnitedStates),
    ("usa", Jurisdiction::UnitedStates),
    ("european union", Jurisdiction::EuropeanUnion),
    ("eu", Jurisdiction::EuropeanUnion),
];

impl Jurisdiction {
    /// The jurisdiction a text names; case, dots and blanks aside. An agency is not one.
    pub fn recognise(text: &str) -> Option<Self> {
        find(JURISDICTIONS, text)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::UnitedStates => "United States",
            Self::EuropeanUnion => "European Union",
        }
    }

    /// Every accepted spelling, for messages.
    pub fn spellings() -> impl Iterator<Item = &'static str> {
        JURISDICTIONS.iter().map(|&(spelling, _)| spelling)
    }
}

/// What kind of unit it is, as the rules divide them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Appliance {
    /// Retail food refrigeration and cold storage warehouses. Source: 40 CFR 84.102.
    CommercialRefrigeration,
    /// Industrial process refrigeration.
    IndustrialProcess,
    /// Comfort cooling; chillers, splits and roof-top units are examples. Source: 40 CFR 84.102.
    ComfortCooling,
    /// Residential and light commercial air conditioning and heat pumps: out of 40 CFR 84
    /// subpart C, and comfort cooling to 40 CFR 82.
    LightCommercialComfort,
    /// Refrigeration that travels.
    RefrigeratedTransport,
    /// Anything else.
    Other,
}

/// Accepted spellings, folded; the first of each kind is its name in messages.
static APPLIANCES: &[(&str, Appliance)] = &[
    (
        "commercial refrigeration",
        Appliance::CommercialRefrigeration,
    ),
    (
        "retail food refrigeration",
        Appliance::CommercialRefrigeration,
    ),
    ("cold storage warehouse", Appliance::CommercialRefrigeration),
    (
        "industrial process refrigeration",
        Appliance::IndustrialProcess,
    ),
    ("industrial process", Appliance::IndustrialProcess),
    ("comfort cooling", Appliance::ComfortCooling),
    (
        "residential or light commercial comfort cooling",
        Appliance::LightCommercialComfort,
    ),
    (
        "light commercial comfort cooling",
        Appliance::LightCommercialComfort,
    ),
    (
        "residential comfort cooling",
        Appliance::LightCommercialComfort,
    ),
    (
        "light commercial heat pump",
        Appliance::LightCommercialComfort,
    ),
    ("residential heat pump", Appliance::LightCommercialComfort),
    ("refrigerated transport", Appliance::RefrigeratedTransport),
    ("transport refrigeration", Appliance::RefrigeratedTransport),
    ("other", Appliance::Other),
];

impl Appliance {
    /// The kind of unit a text names; case, dashes and blanks aside.
    pub fn recognise(text: &str) -> Option<Self> {
        find(APPLIANCES, text)
    }

    /// Every accepted spelling, for messages.
    pub fn spellings() -> impl Iterator<Item = &'static str> {
        APPLIANCES.iter().map(|&(spelling, _)| spelling)
    }

    /// `commercial refrigeration`.
    pub fn name(self) -> &'static str {
        // Every kind has a spelling; a test holds that.
        APPLIANCES
            .iter()
            .find(|row| row.1 == self)
            .map_or("", |row| row.0)
    }
}

fn find<T: Copy>(rows: &[(&str, T)], text: &str) -> Option<T> {
    let plain: String = text
        .chars()
        .filter(|c| *c != '.')
        .map(|c| if c == '-' { ' ' } else { c })
        .flat_map(char::to_lowercase)
        .collect();
    let folded = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    rows.iter()
        .find(|(spelling, _)| *spelling == folded)
        .map(|&(_, meant)| meant)
}

/// How the owner counts leak rates; one method for all appliances of a facility (40 CFR 82.152).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// One addition, scaled to a year.
    Annualizing,
    /// All additions of the year before.
    Rolling,
}

/// What is known of the unit. `None` is not known, and is never read as no.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Plant {
    /// Its refrigerant.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Its full charge, of one circuit.
    pub charge: Option<Mass>,
    /// Its kind.
    pub appliance: Option<Appliance>,
    /// Whether an automatic leak detection system watches the whole of it.
    pub leak_detection: Option<bool>,
    /// Whether it is hermetically sealed and labelled so.
    pub sealed: Option<bool>,
    /// Which method of leak rate the owner uses.
    pub method: Option<Method>,
}

/// Something done to the refrigerant circuit on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Event {
    /// The day.
    pub date: Date,
    /// What was done.
    pub kind: EventKind,
}

/// What was done. Masses are above zero; any other is passed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// Refrigerant put in to make up the full charge.
    Added(Mass),
    /// Refrigerant taken out into a cylinder.
    Recovered(Mass),
    /// The new unit was charged; what went in that day is no leak.
    InitialCharge,
    /// The unit was converted to the refrigerant it has now; what went in that day is no leak.
    Retrofit,
    /// A leak repair was finished.
    Repair,
    /// A verification test after a repair was passed.
    VerificationPassed(Verification),
    /// The whole unit was checked for leaks.
    LeakInspection,
    /// The circuit was opened.
    Opened,
}

/// Which verification test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verification {
    /// Right after the repair, before refrigerant is put back.
    Initial,
    /// Once the unit runs as it should again.
    FollowUp,
}
