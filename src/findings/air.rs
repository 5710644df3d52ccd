//! RB36x: moist air.

use super::moment::{at_rest, reading_temperature};
use super::{Case, Rule, exceeds};
use crate::derive::Value;
use crate::diagnostic::{Code, Severity};
use crate::model::Reading;
use crate::psychrometrics::MoistAir;
use crate::quantity::Temperature;
use crate::vocabulary::Point;

pub(super) static RULES: &[&Rule] = &[&WET_BULB_IMPOSSIBLE, &MOISTURE_ADDED];

/// A wet bulb and the point whose dry bulb it goes with.
const WET_BULBS: [(Point, Point); 3] = [
    (Point::ReturnWetBulb, Point::ReturnAir),
    (Point::SupplyWetBulb, Point::SupplyAir),
    (Point::AmbientWetBulb, Point::Ambient),
];

static WET_BULB_IMPOSSIBLE: Rule = Rule {
    code: Code {
        id: "RB361",
        name: "wet-bulb-impossible",
        severity: Severity::Warning,
        explanation: "No air has this wet bulb with this dry bulb, even if both readings are one step of their last digit off: it is above the dry bulb, or lower than dry air would have. One of the two is wrong, or they were changed round; nothing is computed from them.",
    },
    needs: "a wet bulb and the dry bulb of the same air",
    plain: "Two readings of the air contradict each other and should be taken again.",
    caution: None,
    source: "definition of the wet bulb; ASHRAE Handbook Fundamentals (2017), ch. 1",
    check: |case| {
        let wet_bulbs = WET_BULBS.iter().flat_map(|&(wet, _)| case.bench.at(wet));
        WET_BULB_IMPOSSIBLE.each_reading(wet_bulbs, |wet| {
            let (_, dry) = WET_BULBS.iter().find(|(point, _)| *point == wet.point)?;
            let dry = case.bench.with(wet, *dry)?;
            Some(impossible(case, wet, dry)?.map(|text| (text, vec![wet, dry])))
        })
    },
};

/// Why no air has these two, unless one step of their last digits makes it air.
fn impossible(case: &Case<'_>, wet: &Reading, dry: &Reading) -> Option<Option<String>> {
    let pressure = case.bench.atmosphere.pressure;
    let (t_wet, t_dry) = (reading_temperature(wet)?, reading_temperature(dry)?);
    let (step_wet, step_dry) = (wet.written()?.resolution, dry.written()?.resolution);
    // A hair more than one step, which binary arithmetic may leave a hair short.
    let moved =
        |t: Temperature, step: f64| Temperature::from_kelvin(t.kelvin() + step * (1.0 + 1e-9));
    let is_air = |sign: f64| {
        let dry = moved(t_dry, -sign * step_dry);
        MoistAir::from_wet_bulb(dry, moved(t_wet, sign * step_wet), pressure).is_ok()
    };
    let error = MoistAir::from_wet_bulb(t_dry, t_wet, pressure).err();
    let error = error.filter(|_| !is_air(1.0) && !is_air(-1.0));
    Some(error.map(|e| e.sentence(case.job.display)))
}

static MOISTURE_ADDED: Rule = Rule {
    code: Code {
        id: "RB362",
        name: "moisture-added-over-coil",
        severity: Severity::Advice,
        explanation: "The supply air carries more moisture than the return air, by more than the last digits of the readings leave open, while nothing says that the compressor stood. A cooling coil only takes moisture out. Either a reading is wrong or of another place (a duct that draws in outdoor air, a wick that is dry), or water evaporates from the coil or is blown off it.",
    },
    needs: "return and supply air, each with its wet bulb or humidity",
    plain: "The air leaving the unit was measured as moister than the air entering it; the readings should be repeated.",
    caution: None,
    source: "conservation of mass; ASHRAE Handbook Fundamentals (2017), ch. 1",
    check: |case| {
        MOISTURE_ADDED.each_value(case, "coil-latent-heat", |latent| {
            let added = -latent.value.number();
            let fires = exceeds(added, latent.resolution?) && !at_rest(case, latent);
            let Value::EnthalpyDifference(heat) = latent.value else {
                return None;
            };
            fires.then(|| {
                format!(
                    "the supply air carries more moisture than the return air: {} by drying",
                    case.job.display.enthalpy(heat)
                )
            })
        })
    },
};
