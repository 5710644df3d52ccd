//! European Union: leak checks under Regulation (EU) 2024/573, Articles 4 to 6.

use super::plant::{Appliance, EventKind, Plant};
use super::rate::History;
use super::{Assessment, Condition, Duty, Known, RuleText, months_after, substance};
use crate::quantity::{Display, Mass, fixed};

static SCOPE: RuleText = RuleText::new(
    "Regulation (EU) 2024/573 Article 5(1)",
    Known::FromMemory,
    "Leak checks of stationary refrigeration, air conditioning and heat pumps, and of some refrigerated transport, with 5 t CO2e or more of gases of Annex I or 1 kg or more of gases of Annex II section 1; hermetically sealed and labelled equipment is exempt below 10 t CO2e or 2 kg.",
);

static INTERVAL: RuleText = RuleText::new(
    "Regulation (EU) 2024/573 Article 5(6)",
    Known::FromMemory,
    "From 5 t CO2e (or 1 kg of Annex II section 1) at least every 12 months, from 50 t (10 kg) every 6, from 500 t (100 kg) every 3; with a leak detection system every 24, 12 and 6.",
);

static RECHECK: RuleText = RuleText::new(
    "Regulation (EU) 2024/573 Article 4(5)",
    Known::ParagraphFromMemory,
    "After the repair of a leak, a check within 1 month that it holds; from memory, not before 24 hours of operation.",
);

static DETECTION: RuleText = RuleText::new(
    "Regulation (EU) 2024/573 Article 6",
    Known::ParagraphFromMemory,
    "A leak detection system from 500 t CO2e or, from memory, 100 kg of Annex II section 1, itself checked every 12 months.",
);

/// Least t CO2e, least kilograms of Annex II section 1, months between checks. Largest first.
static TIERS: [(i128, i128, i32); 3] = [(500, 100, 3), (50, 10, 6), (5, 1, 12)];

/// Sealed equipment is exempt below so many t CO2e, or kilograms of Annex II section 1.
const SEALED: (i128, i128) = (10, 2);

const PICOGRAM_PER_KILOGRAM: i128 = 1000 * Mass::PICOGRAM_PER_GRAM;

/// A charge as the carbon dioxide that warms as much, exact: in thousandths of a picogram.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Co2Equivalent(i128);

impl Co2Equivalent {
    /// Tonnes, for display.
    pub fn tonne(self) -> f64 {
        self.0 as f64 / (1_000_000 * PICOGRAM_PER_KILOGRAM) as f64
    }

    /// True at so many whole tonnes, or above.
    pub fn reaches(self, tonnes: i128) -> bool {
        self.0 >= tonnes * 1_000_000 * PICOGRAM_PER_KILOGRAM
    }
}

/// Mass times GWP. The GWP is taken to thousandths, which every tabled value has at most.
pub fn co2_equivalent(charge: Mass, gwp: f64) -> Co2Equivalent {
    Co2Equivalent(charge.picogram() * (gwp * 1000.0).round() as i128)
}

/// What the tiers are counted in.
#[derive(Clone, Copy)]
enum Amount {
    /// Gases of Annex I.
    Co2(Co2Equivalent),
    /// Gases of Annex II section 1, in hundred-thousandths of a picogram.
    Kilograms(i128),
}

impl Amount {
    /// True at so many tonnes, or so many kilograms, as the case may be.
    fn reaches(self, (tonnes, kilograms): (i128, i128)) -> bool {
        match self {
            Self::Co2(equivalent) => equivalent.reaches(tonnes),
            Self::Kilograms(amount) => amount >= kilograms * 100_000 * PICOGRAM_PER_KILOGRAM,
        }
    }

    /// Months between checks without a leak detection system; `None` below the smallest tier.
    fn months(self) -> Option<i32> {
        let mut tiers = TIERS.iter();
        tiers
            .find(|tier| self.reaches((tier.0, tier.1)))
            .map(|tier| tier.2)
    }
}

impl std::fmt::Display for Amount {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Co2(equivalent) => {
                write!(f, "{} t CO2e", fixed(equivalent.tonne(), 3))
            }
            Self::Kilograms(amount) => {
                let kilograms = *amount as f64 / (100_000 * PICOGRAM_PER_KILOGRAM) as f64;
                write!(f, "{} kg of Annex II section 1", fixed(kilograms, 3))
            }
        }
    }
}

pub(super) fn assess(plant: &Plant, history: &History, to: &mut Assessment) {
    let (gas, amount) = gas(plant);
    let mut conditions = vec![kind(plant), gas];
    conditions.extend(amount.and_then(|amount| size(plant, amount)));
    let applies = to.decide(&SCOPE, &conditions);
    let (true, Some(amount)) = (applies, amount) else {
        return;
    };
    let Some(months) = amount.months() else {
        return;
    };
    leak_checks(plant, amount, months, history, to);
    by_kilograms_too(plant, months, to);
    rechecks(history, to);
    detection(plant, amount, to);
}

fn kind(plant: &Plant) -> Condition {
    match plant.appliance {
        None => Condition::NotKnown("the kind of unit is not stated".to_owned()),
        Some(kind @ (Appliance::RefrigeratedTransport | Appliance::Other)) => {
            Condition::NotKnown(format!("only some of “{}” is named there", kind.name()))
        }
        Some(kind) => Condition::Met(kind.name().to_owned()),
    }
}

/// Whether the refrigerant is of Annex I or Annex II section 1, and how much of it there is.
fn gas(plant: &Plant) -> (Condition, Option<Amount>) {
    let not_known = |what: String| (Condition::NotKnown(what), None);
    let Some(refrigerant) = plant.refrigerant else {
        return not_known("the refrigerant is not known".to_owned());
    };
    if let Some(class) = refrigerant.ozone {
        let fact = format!(
            "{refrigerant} {} a {} substance, which depletes ozone: Regulation (EU) 2024/590 is about it, and is not tabled here",
            substance::is_or_contains(refrigerant),
            class.name()
        );
        return (Condition::NotKnown(fact), None);
    }
    let share = substance::of_annex_ii(refrigerant);
    let by_co2 = substance::is_of_annex_i(refrigerant);
    if !by_co2 && share == 0 {
        let fact = format!("{refrigerant} holds no gas of Annex I or of Annex II section 1");
        return (Condition::Unmet(fact), None);
    }
    let Some(charge) = plant.charge else {
        return not_known("the full charge is not stated".to_owned());
    };
    let amount = if by_co2 {
        let Some(gwp) = refrigerant.gwp.eu else {
            return not_known(format!(
                "the GWP of {refrigerant} as the regulation counts it is not known"
            ));
        };
        Amount::Co2(co2_equivalent(charge, gwp))
    } else {
        Amount::Kilograms(charge.picogram() * share)
    };
    let mut fact = format!("{} of {refrigerant}", Display::Si.mass(charge));
    match refrigerant.gwp.eu {
        Some(gwp) if by_co2 => {
            fact += &format!(", GWP {gwp} (Annexes I, II, III and VI), are {amount}");
        }
        _ => fact += &format!(", {amount}"),
    }
    (Condition::Met(fact), Some(amount))
}

/// Whether there is enough of it, sealed equipment aside.
fn size(plant: &Plant, amount: Amount) -> Option<Condition> {
    let (tonnes, kilograms, _) = TIERS[2];
    if amount.months().is_none() {
        let too_little = format!(
            "{amount}, below the smallest amount of {tonnes} t CO2e, or {kilograms} kg of Annex II section 1"
        );
        let part = unsaturated_part(plant).filter(|part| part.months().is_some());
        return Some(match part {
            Some(part) => Condition::NotKnown(format!(
                "{too_little}, but {part} among them, which may or may not count by themselves in a blend"
            )),
            None => Condition::Unmet(too_little),
        });
    }
    if amount.reaches(SEALED) {
        return None;
    }
    let exempt = format!("exempt below {} t CO2e or {} kg", SEALED.0, SEALED.1);
    Some(match plant.sealed {
        None => Condition::NotKnown(format!(
            "{amount}, and whether the unit is hermetically sealed and labelled so, and then {exempt}, is not stated"
        )),
        Some(true) if unsaturated_part(plant).is_some_and(|part| part.reaches(SEALED)) => {
            Condition::NotKnown(format!(
                "{amount}, hermetically sealed and {exempt}, but more of Annex II section 1 in the blend"
            ))
        }
        Some(true) => Condition::Unmet(format!("{amount}, and hermetically sealed, {exempt}")),
        Some(false) => Condition::Met("not hermetically sealed".to_owned()),
    })
}

fn leak_checks(plant: &Plant, amount: Amount, months: i32, history: &History, to: &mut Assessment) {
    let Some(detected) = plant.leak_detection else {
        let text = format!(
            "whether a leak detection system is installed is not stated: whether {amount} are to be checked for leaks every {months} or every {} months is not known",
            2 * months
        );
        to.not_known(&INTERVAL, text);
        return;
    };
    let (months, with) = if detected {
        (2 * months, "with")
    } else {
        (months, "without")
    };
    let last = history
        .days(|kind| kind == EventKind::LeakInspection)
        .last();
    let from = match (last, history.start) {
        (Some(last), _) => format!("last checked on {last}"),
        (None, Some(start)) => format!("charged on {start}, no leak check on record since"),
        (None, None) => "no leak check is on record".to_owned(),
    };
    to.duties.push(Duty {
        is_standing: false,
        what: format!("check the unit for leaks at least every {months} months"),
        due: last
            .or(history.start)
            .and_then(|day| months_after(day, months)),
        done: None,
        because: format!("{amount}, {with} a leak detection system; {from}"),
        rule: &INTERVAL,
    });
}

/// The gases of Annex II section 1 in the charge, by mass.
fn unsaturated_part(plant: &Plant) -> Option<Amount> {
    let share = substance::of_annex_ii(plant.refrigerant?);
    Some(Amount::Kilograms(plant.charge?.picogram() * share))
}

/// A blend of both annexes is counted in t CO2e; by the kilograms of its unsaturated part it may be
/// due more often.
fn by_kilograms_too(plant: &Plant, months: i32, to: &mut Assessment) {
    let Some(part) = unsaturated_part(plant) else {
        return;
    };
    if let Some(sooner) = part.months().filter(|&sooner| sooner < months) {
        let text = format!(
            "{part} are in the blend, which alone would be checked every {sooner} months in place of {months} without a leak detection system: whether they count by themselves in a blend is not known"
        );
        to.not_known(&INTERVAL, text);
    }
}

/// After every repair, a check that it holds; on a later day, as the unit must have run.
fn rechecks(history: &History, to: &mut Assessment) {
    for repaired in history.days(|kind| kind == EventKind::Repair) {
        let is_check = |kind| {
            matches!(
                kind,
                EventKind::VerificationPassed(_) | EventKind::LeakInspection
            )
        };
        to.duties.push(Duty {
            is_standing: false,
            what: "check that the repaired leak is closed, after 24 hours of operation".to_owned(),
            due: months_after(repaired, 1),
            done: repaired
                .tomorrow()
                .ok()
                .and_then(|next| history.first(next, is_check)),
            because: format!("a leak was repaired on {repaired}"),
            rule: &RECHECK,
        });
    }
}

/// The detection system of the largest units, and its own check.
fn detection(plant: &Plant, amount: Amount, to: &mut Assessment) {
    let largest = (TIERS[0].0, TIERS[0].1);
    if !amount.reaches(largest) {
        if let Some(part) = unsaturated_part(plant).filter(|part| part.reaches(largest)) {
            let text = format!(
                "{part} are in the blend: whether they ask for a leak detection system is not known"
            );
            to.not_known(&DETECTION, text);
        }
        return;
    }
    let (what, because) = match plant.leak_detection {
        Some(true) => (
            "check the leak detection system every 12 months",
            format!("{amount}; no check of the system is on record"),
        ),
        Some(false) => (
            "install a leak detection system",
            format!("{amount}, without one"),
        ),
        None => {
            let text = format!(
                "{amount}, and whether a leak detection system is installed is not stated: whether one must be installed is not known"
            );
            to.not_known(&DETECTION, text);
            return;
        }
    };
    to.duties.push(Duty {
        is_standing: false,
        what: what.to_owned(),
        due: None,
        done: None,
        because,
        rule: &DETECTION,
    });
}
