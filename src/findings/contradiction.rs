//! RB32x: temperatures that cannot be of one running unit: probes swapped, or a reading wrong.

use super::controls::may_heat;
use super::moment::{at_rest, in_defrost, ran, reading_temperature, runs};
use super::{Case, Rule, Verdict, exceeds};
use crate::derive::{Derived, Moment};
use crate::diagnostic::{Code, Severity};
use crate::model::{Expansion, Reading};
use crate::quantity::{Temperature, TemperatureDifference};
use crate::vocabulary::Point;

pub(super) static RULES: &[&Rule] = &[
    &RETURN_BELOW_SUPPLY,
    &CONDENSER_AIR_COLDER,
    &DISCHARGE_BELOW_CONDENSING,
    &LIQUID_ABOVE_DISCHARGE,
    &SUCTION_ABOVE_AMBIENT,
];

const REPEAT: &str = "Two readings contradicted each other and should be repeated.";
const BETWEEN: &str =
    "contradiction between readings; 3 F for the probes: common practice, no source";
/// What two clamps or probes in good order may differ by, F of difference.
const PROBES: f64 = 3.0;

fn defrosts(case: &Case<'_>, value: &Derived) -> bool {
    case.bench.in_defrost(&Moment {
        which: value.which.as_deref(),
        visit: value.visit,
        phase: value.phase,
        at: value.at,
        end: value.inputs.iter().map(|i| i.span.end).max().unwrap_or(0),
    })
}

/// A value whose two readings stand in the wrong order by more than the probes are off.
fn reversed(value: &Derived) -> bool {
    let below = value.value.difference().map(|d| -d.fahrenheit());
    below.is_some_and(|below| exceeds(below, PROBES))
}

fn both(value: &Derived, words: &str) -> String {
    let [first, second, ..] = value.inputs.as_slice() else {
        return words.to_owned();
    };
    format!(
        "{} {} {words} {} {}",
        first.name, first.text, second.name, second.text
    )
}

static RETURN_BELOW_SUPPLY: Rule = Rule {
    code: Code {
        id: "RB321",
        name: "return-air-below-supply-air",
        severity: Severity::Warning,
        explanation: "The air entering the coil is colder than the air leaving it while the compressor runs: a cooling coil does not warm air. The two probes are swapped, one of them reads wrong, or something heats the air behind the coil (a heater, a reheat coil).",
    },
    needs: "return and supply air, and the compressor running",
    plain: REPEAT,
    caution: None,
    source: BETWEEN,
    check: |case| {
        let judge = |v: &Derived| runs(case, v) == Some(true) && !defrosts(case, v);
        let mut splits = case.derived.of("air-split");
        if may_heat(case) || !splits.any(judge) {
            return Verdict::NotEvaluated;
        }
        RETURN_BELOW_SUPPLY.each_value(case, "air-split", |v| {
            (judge(v) && reversed(v)).then(|| both(v, "is colder than") + " while cooling")
        })
    },
};

static CONDENSER_AIR_COLDER: Rule = Rule {
    code: Code {
        id: "RB322",
        name: "condenser-air-below-ambient",
        severity: Severity::Warning,
        explanation: "The air leaving the condenser is colder than the air noted as entering it: a condenser does not cool air. The two probes are swapped, or one is in the sun, in rain or in another air stream. Where water is sprayed before the condenser, its air does leave colder.",
    },
    needs: "condenser air out and ambient",
    plain: REPEAT,
    caution: None,
    source: BETWEEN,
    check: |case| {
        let judge = |v: &Derived| !at_rest(case, v);
        let mut rises = case.derived.of("condenser-air-rise");
        if may_heat(case) || !rises.any(judge) {
            return Verdict::NotEvaluated;
        }
        CONDENSER_AIR_COLDER.each_value(case, "condenser-air-rise", |v| {
            (judge(v) && reversed(v)).then(|| both(v, "is colder than"))
        })
    },
};

static DISCHARGE_BELOW_CONDENSING: Rule = Rule {
    code: Code {
        id: "RB323",
        name: "discharge-line-below-condensing",
        severity: Severity::Warning,
        explanation: "The discharge line is colder than the refrigerant condenses at the pressure inside it: gas that hot cannot be in that pipe. The probe does not touch the pipe or is not covered, gauge or refrigerant is wrong, or the compressor swallows so much liquid that it pumps wet.",
    },
    needs: "discharge superheat (discharge pressure, discharge line temperature, refrigerant)",
    plain: REPEAT,
    caution: Some("The line burns on touch."),
    source: BETWEEN,
    check: |case| {
        DISCHARGE_BELOW_CONDENSING.each_value(case, "discharge-superheat", |v| {
            (below_condensing(v) && !at_rest(case, v)).then(|| {
                format!(
                    "discharge superheat {} is below zero: the probe, the gauge, or liquid",
                    v.text(case.job.display)
                )
            })
        })
    },
};

/// A discharge superheat that no gas can have.
pub(super) fn below_condensing(superheat: &Derived) -> bool {
    reversed(superheat)
}

/// Judges one line against a warmer one, unless the compressor stood or defrost was on.
fn running(case: &Case<'_>, reading: &Reading) -> bool {
    ran(case, reading) != Some(false) && !in_defrost(case, reading)
}

static LIQUID_ABOVE_DISCHARGE: Rule = Rule {
    code: Code {
        id: "RB324",
        name: "liquid-line-above-discharge-line",
        severity: Severity::Warning,
        explanation: "The liquid line is warmer than the discharge line: the refrigerant gives heat off between the two. The probes are swapped, one does not touch its pipe, or the names were.",
    },
    needs: "liquid line and discharge line temperature",
    plain: REPEAT,
    caution: None,
    source: BETWEEN,
    check: |case| {
        LIQUID_ABOVE_DISCHARGE.each_reading(case.bench.at(Point::LiquidLine), |liquid| {
            let discharge = case.bench.with(liquid, Point::DischargeLine)?;
            let above = reading_temperature(liquid)? - reading_temperature(discharge)?;
            if !running(case, liquid) {
                return None;
            }
            Some(exceeds(above.fahrenheit(), PROBES).then(|| {
                (
                    format!(
                        "liquid line {} is warmer than discharge line {}",
                        liquid.value_text(),
                        discharge.value_text()
                    ),
                    vec![liquid, discharge],
                )
            }))
        })
    },
};

static SUCTION_ABOVE_AMBIENT: Rule = Rule {
    code: Code {
        id: "RB325",
        name: "suction-line-above-ambient",
        severity: Severity::Warning,
        explanation: "The suction line is more than 10 F warmer than any air measured around the unit: nothing but hot gas or hot liquid warms it so far. The probe is on another line, hot gas gets in through a valve that does not close, or the compressor lets gas back. Not judged below 60 F outdoors, where the line may run through warmer rooms, nor with a capillary tube, which is bound to the suction line and warms it.",
    },
    needs: "suction line and ambient temperature",
    plain: REPEAT,
    caution: None,
    source: "second law: air does not warm above its own temperature; 10 F: common practice, no source",
    check: |case| {
        if may_heat(case) || case.job.unit.metering.expansion == Some(Expansion::Capillary) {
            return Verdict::NotEvaluated;
        }
        SUCTION_ABOVE_AMBIENT.each_reading(case.bench.at(Point::SuctionLine), |line| {
            let ambient = case.bench.with(line, Point::Ambient)?;
            let mild = Temperature::from_fahrenheit(60.0).kelvin();
            if !running(case, line) || reading_temperature(ambient)?.kelvin() < mild {
                return None;
            }
            let around = [Point::Box, Point::Room, Point::ReturnAir];
            let warmest = around
                .iter()
                .filter_map(|&point| case.bench.with(line, point))
                .chain([ambient])
                .filter_map(|r| Some((reading_temperature(r)?, r)))
                .max_by(|a, b| a.0.kelvin().total_cmp(&b.0.kelvin()))?;
            let above = reading_temperature(line)? - warmest.0;
            let limit = TemperatureDifference::from_fahrenheit(10.0);
            Some(exceeds(above.kelvin(), limit.kelvin()).then(|| {
                (
                    format!(
                        "suction line {} is {} warmer than {} {}",
                        line.value_text(),
                        case.job.display.difference(above),
                        warmest.1.label(),
                        warmest.1.value_text()
                    ),
                    vec![line, warmest.1],
                )
            }))
        })
    },
};
