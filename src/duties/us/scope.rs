//! Conditions of the two sets of leak rules: size, substance, kind of unit.

use super::rules::Part;
use crate::duties::{Appliance, Condition, Plant, pounds, substance};
use crate::refrigerant::Refrigerant;

/// GWP above which a substitute for a hydrofluorocarbon is under 40 CFR 84 subpart C.
const SUBSTITUTE_GWP: f64 = 53.0;

pub(super) fn charge(plant: &Plant, least: i64) -> Condition {
    match plant.charge {
        None => Condition::NotKnown("the full charge is not stated".to_owned()),
        Some(charge) if charge >= pounds(least) => Condition::Met(format!(
            "a full charge of {}, {least} lb or more",
            charge.pounds_ounces()
        )),
        Some(charge) => Condition::Unmet(format!(
            "a full charge of {}, less than {least} lb",
            charge.pounds_ounces()
        )),
    }
}

/// Not a condition of the rule, but of what is said under it.
pub(super) fn judged(part: &Part) -> Condition {
    Condition::Met(format!("additions from {} on are judged", part.from))
}

fn no_refrigerant() -> Condition {
    Condition::NotKnown("the refrigerant is not known".to_owned())
}

pub(super) fn ozone_depleting(plant: &Plant) -> Condition {
    let Some(refrigerant) = plant.refrigerant else {
        return no_refrigerant();
    };
    match refrigerant.ozone {
        Some(class) => Condition::Met(format!(
            "{refrigerant} {} a {} substance",
            substance::is_or_contains(refrigerant),
            class.name()
        )),
        None => Condition::Unmet(format!(
            "{refrigerant} holds no class I or class II substance"
        )),
    }
}

pub(super) fn hydrofluorocarbon(plant: &Plant) -> Condition {
    let Some(refrigerant) = plant.refrigerant else {
        return no_refrigerant();
    };
    let hfc = substance::regulated_hfc(refrigerant);
    if let Some(class) = refrigerant.ozone {
        // Which of its components counts is a question of law that no table settles.
        let mixed = hfc.or_else(|| substitute_in_blend(refrigerant));
        return match mixed {
            Some(other) => Condition::NotKnown(format!(
                "{refrigerant} contains a {} substance and {other}, so that it may be under both 40 CFR 82 subpart F and 40 CFR 84 subpart C",
                class.name()
            )),
            None => Condition::Unmet(format!(
                "{refrigerant} is a {} substance, with no hydrofluorocarbon in it",
                class.name()
            )),
        };
    }
    if let Some(hfc) = hfc {
        return Condition::Met(format!(
            "{refrigerant} {} {hfc}, a regulated hydrofluorocarbon",
            substance::is_or_contains(refrigerant)
        ));
    }
    // By 84.64(b) and (c), components without a listed value left out.
    match refrigerant.gwp.us {
        Some(gwp) if gwp > SUBSTITUTE_GWP => Condition::Met(format!(
            "the GWP of {refrigerant} is {gwp}, above 53 (as 40 CFR 84.64 counts it)"
        )),
        Some(gwp) => Condition::Unmet(format!(
            "{refrigerant} contains no regulated hydrofluorocarbon, and its GWP is {gwp}, not above 53 (as 40 CFR 84.64 counts it)"
        )),
        None => Condition::NotKnown(format!(
            "the GWP of {refrigerant} as 40 CFR 84.64 counts it is not known"
        )),
    }
}

/// A component that depletes no ozone and has, or may have, a GWP above 53.
fn substitute_in_blend(blend: &Refrigerant) -> Option<&'static str> {
    let mut components = blend.composition.iter().map(|&(name, _)| name);
    components.find(|name| {
        let component = crate::refrigerant::lookup(name);
        component.is_none_or(|component| {
            component.ozone.is_none() && component.gwp.us.is_none_or(|gwp| gwp > SUBSTITUTE_GWP)
        })
    })
}

pub(super) fn subsector(plant: &Plant) -> Condition {
    match plant.appliance {
        None => Condition::NotKnown(
            "the kind of unit is not stated, and residential and light commercial comfort cooling is out"
                .to_owned(),
        ),
        Some(kind @ Appliance::LightCommercialComfort) => {
            Condition::Unmet(format!("{} is out of it", kind.name()))
        }
        Some(kind) => Condition::Met(kind.name().to_owned()),
    }
}
