//! How far a unit is evacuated before it is opened: 40 CFR 82.156, Table 1.

use super::plant::{EventKind, Plant};
use super::rate::History;
use super::{Assessment, Condition, Duty, Known, RuleText, pounds};
use crate::quantity::{AbsolutePressure, Mass, Temperature, Unit};
use crate::refrigerant::{OutOfRange, Refrigerant};

static TABLE: RuleText = RuleText::new(
    "40 CFR 82.156, Table 1",
    Known::Read,
    "Evacuation before opening, by pressure class and charge, with recovery gear made before 1993-11-15 or since; vacuum counted from 29.9 inHg. For a repair that is not major and is not followed by evacuation to atmosphere, down to 0 psig. From memory: where a leak makes the level unreachable, as low as goes without contaminating the refrigerant, and not above 0 psig.",
);

static CLASSES: RuleText = RuleText::new(
    "40 CFR 82.152, pressure classes",
    Known::FromMemory,
    "By the saturation pressure at 104 F, of the liquid as remembered: low up to 45 psia, medium up to 170 psia, high up to 355 psia; very high above that, or with a critical temperature below 104 F.",
);

/// Medium pressure, 200 lb or more, newer gear: the sources disagree, and the deeper is given.
const CONFLICT: &str = "10 inHg in the EPA page of 2017, 15 inHg in the table of the rule as remembered: the deeper is given, check 40 CFR 82.156";

/// Refrigerants that may be vented, so that no level is set. From memory: 40 CFR 82.154(a)(1).
static EXEMPT: &[&str] = &["R-718", "R-744"];

/// Refrigerants that may be vented from some kinds of unit. From memory: 40 CFR 82.154(a)(1).
static EXEMPT_BY_USE: &[&str] = &["R-170", "R-290", "R-441A", "R-600a", "R-717"];

/// Largest charge of a small appliance, in pounds, which has levels of its own (from memory: 40
/// CFR 82.152).
const SMALL_POUNDS: i64 = 5;

/// Charge at which deeper levels begin, in pounds.
const LARGE_POUNDS: i64 = 200;

/// Pressure class of an appliance, by its refrigerant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PressureClass {
    /// Up to 45 psia at 104 °F.
    Low,
    /// Up to 170 psia.
    Medium,
    /// Up to 355 psia.
    High,
    /// Above 355 psia, or critical below 104 °F.
    VeryHigh,
}

impl PressureClass {
    /// `medium pressure`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Low => "low pressure",
            Self::Medium => "medium pressure",
            Self::High => "high pressure",
            Self::VeryHigh => "very high pressure",
        }
    }
}

/// The pressure class of a refrigerant by its bubble and by its dew line at 104 °F. They differ for
/// a few blends (R-401A, R-409A): the rule as remembered means the liquid, but the lists made from
/// it, also as remembered, follow the vapour.
///
/// Source: 40 CFR 82.152, from memory. R-32, at about 360 psia, is very high by this wording.
///
/// # Errors
/// [`OutOfRange`] where the lines do not reach 104 °F.
pub fn pressure_classes(refrigerant: &Refrigerant) -> Result<[PressureClass; 2], OutOfRange> {
    let at = Temperature::from_fahrenheit(104.0);
    if refrigerant.critical_temperature < at {
        return Ok([PressureClass::VeryHigh; 2]);
    }
    let lines = [
        refrigerant.bubble_pressure(at)?,
        refrigerant.dew_pressure(at)?,
    ];
    Ok(lines.map(|pressure| match pressure.psi() {
        psia if psia <= 45.0 => PressureClass::Low,
        psia if psia <= 170.0 => PressureClass::Medium,
        psia if psia <= 355.0 => PressureClass::High,
        _ => PressureClass::VeryHigh,
    }))
}

/// How deep to evacuate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Vacuum {
    /// So many inches of mercury of vacuum, counted from 29.9 inHg; 0 is atmospheric pressure.
    InchMercury(u8),
    /// So many millimetres of mercury, absolute.
    MillimetreMercuryAbsolute(u8),
}

impl Vacuum {
    /// As an absolute pressure, against the table's own atmosphere of 29.9 inHg.
    pub fn absolute(self) -> AbsolutePressure {
        let pascal = match self {
            Self::InchMercury(depth) => {
                (29.9 - f64::from(depth)) * Unit::InchMercuryAbsolute.info().factor
            }
            Self::MillimetreMercuryAbsolute(rest) => f64::from(rest) * Unit::Torr.info().factor,
        };
        AbsolutePressure::from_pascal(pascal)
    }
}

/// `10 inHg of vacuum`.
impl std::fmt::Display for Vacuum {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::InchMercury(0) => f.write_str("0 psig"),
            Self::InchMercury(depth) => write!(f, "{depth} inHg of vacuum"),
            Self::MillimetreMercuryAbsolute(rest) => write!(f, "{rest} mmHg absolute"),
        }
    }
}

/// The levels of one row of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Level {
    /// With recovery gear made before 1993-11-15.
    pub older_gear: Vacuum,
    /// With recovery gear made on or after that day.
    pub newer_gear: Vacuum,
    /// Where the sources disagree, how.
    pub conflict: Option<&'static str>,
}

/// The row of 40 CFR 82.156, Table 1, for a class and a full charge.
pub fn level(class: PressureClass, charge: Mass) -> Level {
    let is_large = charge >= pounds(LARGE_POUNDS);
    let inches = Vacuum::InchMercury;
    let (older_gear, newer_gear) = match (class, is_large) {
        (PressureClass::VeryHigh, _) | (PressureClass::High, false) => (inches(0), inches(0)),
        (PressureClass::High, true) | (PressureClass::Medium, false) => (inches(4), inches(10)),
        (PressureClass::Medium, true) => (inches(4), inches(15)),
        (PressureClass::Low, _) => {
            let rest = Vacuum::MillimetreMercuryAbsolute(25);
            (rest, rest)
        }
    };
    Level {
        older_gear,
        newer_gear,
        conflict: (class == PressureClass::Medium && is_large).then_some(CONFLICT),
    }
}

impl std::fmt::Display for Level {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.newer_gear)?;
        if self.older_gear != self.newer_gear {
            write!(
                f,
                " ({} with recovery gear made before 1993-11-15)",
                self.older_gear
            )?;
        }
        Ok(())
    }
}

/// The standing duty to evacuate before opening.
pub(super) fn assess(plant: &Plant, history: &History, to: &mut Assessment) {
    const END: &str = "how far to evacuate before opening is not known";
    let Some(refrigerant) = plant.refrigerant else {
        to.not_known(&TABLE, format!("the refrigerant is not known: {END}"));
        return;
    };
    if EXEMPT.contains(&refrigerant.name) {
        let fact = format!("{refrigerant} may be vented (from memory: 40 CFR 82.154(a)(1))");
        to.decide(&TABLE, &[Condition::Unmet(fact)]);
        return;
    }
    if EXEMPT_BY_USE.contains(&refrigerant.name) {
        let text = format!("{refrigerant} is exempt in some kinds of unit: {END}");
        to.not_known(&TABLE, text);
        return;
    }
    let Ok([class, by_dew]) = pressure_classes(refrigerant) else {
        let text = format!("{refrigerant} has no saturation pressure at 104 F here: {END}");
        to.not_known(&CLASSES, text);
        return;
    };
    let Some(charge) = plant.charge else {
        to.not_known(&TABLE, format!("the full charge is not stated: {END}"));
        return;
    };
    if charge <= pounds(SMALL_POUNDS) && plant.sealed != Some(false) {
        let text = format!(
            "a sealed unit of 5 lb or less has levels of its own, which are not tabled here: {END}"
        );
        to.not_known(&TABLE, text);
        return;
    }
    let row = level(class, charge);
    let other = level(by_dew, charge);
    if other != row {
        let text = format!(
            "{refrigerant} is {} by its bubble pressure at 104 F, {} by its dew pressure: whether to evacuate to {row} or to {other} before opening is not known",
            class.name(),
            by_dew.name()
        );
        to.not_known(&CLASSES, text);
        return;
    }
    let mut because = format!("{refrigerant} is {}", class.name());
    if let Some(how) = refrigerant.estimated {
        because += &format!(" (its saturation is estimated: {how})");
    }
    because += &format!(", the full charge {}", charge.pounds_ounces());
    if let Some(conflict) = row.conflict {
        because += &format!("; {conflict}");
    }
    let opened: Vec<String> = history
        .days(|kind| kind == EventKind::Opened)
        .map(|day| day.to_string())
        .collect();
    if !opened.is_empty() {
        because += &format!("; opened on {}", opened.join(", "));
    }
    to.duties.push(Duty {
        is_standing: true,
        what: format!("before opening the circuit, evacuate it to {row}"),
        due: None,
        done: None,
        because,
        rule: &TABLE,
    });
}
