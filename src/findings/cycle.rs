//! RB30x: the refrigerant cycle.

use super::contradiction::below_condensing;
use super::moment::{at_rest, expected, reading_temperature, runs};
use super::{Case, Finding, Rule, Verdict, exceeds};
use crate::derive::{Derived, Input, WINDOW_MINUTES, same_circuit};
use crate::diagnostic::{Code, Severity};
use crate::expectation::Basis;
use crate::quantity::{Quantity, Temperature, TemperatureDifference};
use crate::vocabulary::{Point, Symptom};

pub(super) static RULES: &[&Rule] = &[
    &HIGH_SUPERHEAT,
    &LOW_SUPERHEAT,
    &NEGATIVE_SUPERHEAT,
    &LOW_SUBCOOLING,
    &HIGH_SUBCOOLING,
    &HIGH_TD,
    &DRIER_DROP,
    &HIGH_CONDENSER_SPLIT,
    &HIGH_RATIO,
    &LOW_RATIO,
    &HOT_DISCHARGE,
    &WET_DISCHARGE,
    &PRESSURES_CROSSED,
    &ABOVE_CRITICAL,
    &LIQUID_BELOW_AMBIENT,
    &STATED_SUPERHEAT,
];

const GAUGES: &str =
    "Wear goggles and gloves when connecting gauges: liquid refrigerant freezes skin and eyes.";
const PRACTICE: &str = "common practice, no source";

/// A value outside what is expected, further than the instruments' last digit.
fn outside(case: &Case<'_>, value: &Derived, symptom: Symptom, high: bool) -> Option<String> {
    if at_rest(case, value) {
        return None;
    }
    let band = expected(case, value, symptom)?;
    let measured = value.value.difference()?.fahrenheit();
    let margin = value.resolution.map_or(1.0, |step| {
        TemperatureDifference::from_kelvin(step).fahrenheit()
    });
    let past = if high {
        measured - band.high
    } else {
        band.low - measured
    };
    exceeds(past, margin).then(|| {
        let side = if high { "above" } else { "below" };
        let limit = if high { band.high } else { band.low };
        let display = case.job.display;
        let shown = |degrees| display.difference(TemperatureDifference::from_fahrenheit(degrees));
        let basis = match band.basis {
            Basis::Usual(_) => band.basis.text(),
            _ => format!("expected {}: {}", shown(band.value), band.basis.text()),
        };
        format!(
            "{} {} is {side} {} ({basis})",
            value.formula.name,
            value.text(display),
            shown(limit)
        )
    })
}

static HIGH_SUPERHEAT: Rule = Rule {
    code: Code {
        id: "RB301",
        name: "high-superheat",
        severity: Severity::Warning,
        explanation: "The vapor leaving the evaporator is warmer above saturation than it should be: the coil gets too little liquid. Too little charge, a restriction in the liquid line, an underfeeding expansion device or a heavy load all do this; subcooling and the temperature drop across the drier tell them apart.",
    },
    needs: "superheat (suction pressure, suction line temperature, refrigerant)",
    plain: "The cooling coil was not getting enough refrigerant.",
    caution: Some(GAUGES),
    source: PRACTICE,
    check: |case| {
        HIGH_SUPERHEAT.each_value(case, "superheat", |v| {
            outside(case, v, Symptom::Superheat, true)
        })
    },
};

static LOW_SUPERHEAT: Rule = Rule {
    code: Code {
        id: "RB302",
        name: "low-superheat",
        severity: Severity::Warning,
        explanation: "The vapor leaving the evaporator is hardly above saturation: liquid may reach the compressor. An overfeeding expansion device, a loose sensing bulb, too little air over the coil or too much charge on a fixed restriction do this.",
    },
    needs: "superheat (suction pressure, suction line temperature, refrigerant)",
    plain: "Liquid refrigerant may have been returning to the compressor.",
    caution: Some(GAUGES),
    source: PRACTICE,
    check: |case| {
        LOW_SUPERHEAT.each_value(case, "superheat", |v| {
            let measured = v.value.difference()?.kelvin();
            // Below saturation is another finding.
            if measured < -v.resolution.unwrap_or(0.5) {
                None
            } else {
                outside(case, v, Symptom::Superheat, false)
            }
        })
    },
};

static NEGATIVE_SUPERHEAT: Rule = Rule {
    code: Code {
        id: "RB303",
        name: "negative-superheat",
        severity: Severity::Warning,
        explanation: "A suction line cannot be colder than saturation at the pressure inside it. Either the probe or the gauge reads wrong, the two were not taken at one place and time, the refrigerant is not what the note says, or liquid is leaving the coil and the small difference is the pressure drop between the two places.",
    },
    needs: "superheat (suction pressure, suction line temperature, refrigerant)",
    plain: "Two readings contradicted each other and should be repeated.",
    caution: None,
    source: "second law: vapor in equilibrium is not below its saturation temperature",
    check: |case| {
        NEGATIVE_SUPERHEAT.each_value(case, "superheat", |v| {
            let measured = v.value.difference()?;
            let margin = v.resolution.unwrap_or(0.5);
            (measured.kelvin() < -margin && !at_rest(case, v)).then(|| {
                format!("superheat {} is below zero: check the probe, the gauge and the refrigerant, or expect liquid", v.text(case.job.display))
            })
        })
    },
};

static LOW_SUBCOOLING: Rule = Rule {
    code: Code {
        id: "RB304",
        name: "low-subcooling",
        severity: Severity::Warning,
        explanation: "The liquid leaving the condenser is hardly below its boiling point, so vapor bubbles may reach the expansion device. Too little charge or a weak compressor do this; with a receiver a low value near its outlet is normal.",
    },
    needs: "subcooling (liquid or discharge pressure, liquid line temperature, refrigerant)",
    plain: "The refrigerant charge looked low.",
    caution: Some(GAUGES),
    source: PRACTICE,
    check: |case| {
        LOW_SUBCOOLING.each_value(case, "subcooling", |v| {
            outside(case, v, Symptom::Subcooling, false)
        })
    },
};

static HIGH_SUBCOOLING: Rule = Rule {
    code: Code {
        id: "RB305",
        name: "high-subcooling",
        severity: Severity::Warning,
        explanation: "Liquid is stacking up in the condenser: too much charge, a restriction after it, or gases that do not condense. High superheat at the same time speaks for a restriction.",
    },
    needs: "subcooling (liquid or discharge pressure, liquid line temperature, refrigerant)",
    plain: "Refrigerant was backing up on the hot side of the system.",
    caution: Some(GAUGES),
    source: PRACTICE,
    check: |case| {
        HIGH_SUBCOOLING.each_value(case, "subcooling", |v| {
            outside(case, v, Symptom::Subcooling, true)
        })
    },
};

static HIGH_TD: Rule = Rule {
    code: Code {
        id: "RB306",
        name: "high-evaporator-td",
        severity: Severity::Warning,
        explanation: "The coil runs much colder than the air entering it: it takes up little heat. Ice, dirt or a stopped fan leave it without air; starving leaves most of it without refrigerant. Superheat tells the two apart.",
    },
    needs: "evaporator TD (suction pressure, air entering the coil, refrigerant)",
    plain: "The cooling coil was working much colder than the air around it.",
    caution: None,
    source: PRACTICE,
    check: |case| {
        HIGH_TD.each_value(case, "evaporator-td", |v| {
            outside(case, v, Symptom::EvaporatorTd, true)
        })
    },
};

static DRIER_DROP: Rule = Rule {
    code: Code {
        id: "RB307",
        name: "drier-temperature-drop",
        severity: Severity::Warning,
        explanation: "Liquid that gets colder across a filter-drier is flashing there: the drier is restricted. A clean one shows no drop that a clamp thermometer can see.",
    },
    needs: "liquid line and after-drier temperature",
    plain: "The filter in the refrigerant line was partly blocked.",
    caution: Some(
        "Recover and prove the pressure gone before opening the line; replace a drier by cutting or unflaring, never by heating a line under pressure.",
    ),
    source: "trade practice: more than 3 F across the drier",
    check: |case| {
        DRIER_DROP.each_value(case, "drier-drop", |v| {
            let drop = v.value.difference()?.fahrenheit();
            (exceeds(drop, 3.0) && !at_rest(case, v)).then(|| {
                format!(
                    "the drier takes {} off the liquid: it is restricted",
                    v.text(case.job.display)
                )
            })
        })
    },
};

static HIGH_CONDENSER_SPLIT: Rule = Rule {
    code: Code {
        id: "RB308",
        name: "high-condenser-split",
        severity: Severity::Warning,
        explanation: "The refrigerant condenses far above the air around the condenser: heat does not get out. A dirty condenser, a stopped fan, hot air drawn in again, too much charge or gases that do not condense do this.",
    },
    needs: "condenser split (discharge pressure, ambient, refrigerant)",
    plain: "The condenser could not get rid of its heat.",
    caution: Some("Lock out before cleaning near a fan that starts by itself."),
    source: PRACTICE,
    check: |case| {
        HIGH_CONDENSER_SPLIT.each_value(case, "condenser-split", |v| {
            outside(case, v, Symptom::CondenserSplit, true)
        })
    },
};

static HIGH_RATIO: Rule = Rule {
    code: Code {
        id: "RB309",
        name: "high-compression-ratio",
        severity: Severity::Warning,
        explanation: "One stage of compression lifts the gas further than it should: the discharge gets hot and the compressor pumps little. Low suction or high discharge pressure is behind it.",
    },
    needs: "suction and discharge pressure",
    plain: "The compressor was working harder than it should.",
    caution: None,
    source: "common practice: above 12 in one stage",
    check: |case| {
        HIGH_RATIO.each_value(case, "compression-ratio", |v| {
            let ratio = v.value.number();
            (exceeds(ratio, 12.0) && !at_rest(case, v)).then(|| {
                format!("compression ratio {ratio:.1} is above 12 (common practice, one stage)")
            })
        })
    },
};

static LOW_RATIO: Rule = Rule {
    code: Code {
        id: "RB310",
        name: "low-compression-ratio",
        severity: Severity::Warning,
        explanation: "The compressor runs but hardly lifts the pressure: it is not pumping, or something lets the gas back. Broken valves, an internal relief that leaks or a reversing valve stuck half way do this.",
    },
    needs: "suction and discharge pressure, and compressor current or state",
    plain: "The compressor was running without pumping.",
    caution: Some(GAUGES),
    source: PRACTICE,
    check: |case| {
        let mut judged = false;
        let verdict = LOW_RATIO.each_value(case, "compression-ratio", |v| {
            let ratio = v.value.number();
            (exceeds(1.6, ratio) && is_running(case, v)).then(|| {
                format!(
                    "compression ratio {ratio:.2} with the compressor running: it is not pumping"
                )
            })
        });
        for v in case
            .derived
            .values
            .iter()
            .filter(|d| d.formula.id == "compression-ratio")
        {
            judged |= is_running(case, v);
        }
        if judged {
            verdict
        } else {
            Verdict::NotEvaluated
        }
    },
};

fn is_running(case: &Case<'_>, value: &Derived) -> bool {
    runs(case, value) == Some(true)
}

static HOT_DISCHARGE: Rule = Rule {
    code: Code {
        id: "RB311",
        name: "hot-discharge-line",
        severity: Severity::Warning,
        explanation: "The discharge line is hotter than a compressor and its oil stand for long. The gas at the valves is hotter still. High ratio, high superheat at the compressor or poor cooling of the motor are behind it.",
    },
    needs: "discharge line temperature",
    plain: "The compressor was running too hot.",
    caution: Some("The line burns on touch."),
    source: "225 F on the line near the compressor: common practice, trade press",
    check: |case| {
        // R-744 runs hotter by nature; its limit is the maker's.
        if is_carbon_dioxide(case) {
            return Verdict::NotEvaluated;
        }
        HOT_DISCHARGE.each_reading(case.bench.at(Point::DischargeLine), |r| {
            let limit = Temperature::from_fahrenheit(225.0);
            let temperature = reading_temperature(r)?;
            Some(exceeds(temperature.kelvin(), limit.kelvin()).then(|| {
                (
                    format!(
                        "discharge line {} is above {}",
                        r.value_text(),
                        case.job.display.temperature(limit)
                    ),
                    vec![r],
                )
            }))
        })
    },
};

static WET_DISCHARGE: Rule = Rule {
    code: Code {
        id: "RB312",
        name: "low-discharge-superheat",
        severity: Severity::Warning,
        explanation: "The discharge line is hardly warmer than condensing: the compressor swallows liquid that boils inside it, or does not pump at all. A discharge line one can keep a hand on is a warning sign on a running compressor.",
    },
    needs: "discharge superheat (discharge pressure, discharge line temperature, refrigerant)",
    plain: "Liquid refrigerant was reaching the compressor.",
    caution: Some(GAUGES),
    source: PRACTICE,
    check: |case| {
        WET_DISCHARGE.each_value(case, "discharge-superheat", |v| {
            let superheat = v.value.difference()?.fahrenheit();
            // Below condensing it is another finding.
            let low = exceeds(15.0, superheat) && !below_condensing(v);
            (low && !at_rest(case, v)).then(|| {
                format!(
                    "discharge superheat {} is below {}: liquid at the compressor, or no pumping",
                    v.text(case.job.display),
                    case.job
                        .display
                        .difference(TemperatureDifference::from_fahrenheit(15.0))
                )
            })
        })
    },
};

static PRESSURES_CROSSED: Rule = Rule {
    code: Code {
        id: "RB313",
        name: "suction-above-discharge",
        severity: Severity::Warning,
        explanation: "Suction pressure is above discharge pressure at the same moment. The two were swapped, the hoses were, or the readings are not of one moment.",
    },
    needs: "suction and discharge pressure",
    plain: "Two readings contradicted each other and should be repeated.",
    caution: None,
    source: "contradiction between readings",
    check: |case| {
        PRESSURES_CROSSED.each_reading(case.bench.at(Point::Suction), |suction| {
            let discharge = case.bench.with(suction, Point::Discharge)?;
            let (low, high) = (
                case.bench.pressure(suction)?,
                case.bench.pressure(discharge)?,
            );
            // Equalised at rest is no contradiction: the digits of both gauges are allowed for.
            let margin = suction.written()?.resolution + discharge.written()?.resolution;
            Some((low.pascal() > high.pascal() + margin).then(|| {
                (
                    format!(
                        "suction {} is above discharge {}: swapped, or not of one moment",
                        suction.value_text(),
                        discharge.value_text()
                    ),
                    vec![suction, discharge],
                )
            }))
        })
    },
};

static ABOVE_CRITICAL: Rule = Rule {
    code: Code {
        id: "RB314",
        name: "above-critical-pressure",
        severity: Severity::Advice,
        explanation: "Above its critical pressure a refrigerant has no saturation temperature: condensing, subcooling and condenser split do not exist there. With R-744 this is ordinary transcritical running, judged by the gas cooler's outlet; with any other refrigerant the reading or the refrigerant is wrong.",
    },
    needs: "a pressure and the refrigerant",
    plain: "The system ran above the pressure at which its refrigerant can condense.",
    caution: Some("Very high pressure: check the rating of gauges and hoses before connecting."),
    source: "critical point from CoolProp 8.0.0",
    check: |case| {
        let Some(refrigerant) = case.job.unit.refrigerant else {
            return Verdict::NotEvaluated;
        };
        let high = case
            .bench
            .at(Point::Discharge)
            .chain(case.bench.at(Point::LiquidPressure));
        ABOVE_CRITICAL.each_reading(high, |r| {
            let pressure = case.bench.pressure(r)?;
            Some((pressure.pascal() >= refrigerant.critical_pressure.pascal()).then(|| {
                (format!("{} {} is above the critical pressure of {}: no condensing temperature and no subcooling exist", r.label(), r.value_text(), refrigerant.name), vec![r])
            }))
        })
    },
};

static LIQUID_BELOW_AMBIENT: Rule = Rule {
    code: Code {
        id: "RB315",
        name: "liquid-line-below-ambient",
        severity: Severity::Warning,
        explanation: "Air cannot cool liquid below its own temperature. A liquid line colder than the air around the condenser is flashing behind a restriction, runs through a cold space, or one of the two thermometers is wrong.",
    },
    needs: "liquid line and ambient temperature",
    plain: "A pipe was colder than it can be in normal running.",
    caution: None,
    source: "second law: air does not cool below its own temperature",
    check: |case| {
        // R-744 liquid comes from a flash tank, colder than any condenser could make it.
        if is_carbon_dioxide(case) {
            return Verdict::NotEvaluated;
        }
        LIQUID_BELOW_AMBIENT.each_reading(case.bench.at(Point::LiquidLine), |liquid| {
            let ambient = case.bench.with(liquid, Point::Ambient)?;
            let below =
                reading_temperature(ambient)?.kelvin() - reading_temperature(liquid)?.kelvin();
            let margin = TemperatureDifference::from_fahrenheit(3.0).kelvin();
            Some(exceeds(below, margin).then(|| {
                (
                    format!(
                        "liquid line {} is colder than ambient {}",
                        liquid.value_text(),
                        ambient.value_text()
                    ),
                    vec![liquid, ambient],
                )
            }))
        })
    },
};

static STATED_SUPERHEAT: Rule = Rule {
    code: Code {
        id: "RB316",
        name: "stated-value-disagrees",
        severity: Severity::Warning,
        explanation: "A superheat or subcooling written directly differs from the one computed from the pressure and the temperature of the same moment. The wrong column of a table (bubble for dew) gives an error as large as the blend's glide.",
    },
    needs: "a stated superheat or subcooling, and the readings it comes from",
    plain: "A value worked out on site differs from the one computed from its readings.",
    caution: None,
    source: "contradiction between readings",
    check: |case| {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        for (point, formula) in [
            (Point::Superheat, "superheat"),
            (Point::Subcooling, "subcooling"),
        ] {
            for stated in case.bench.at(point) {
                let Some(Quantity::TemperatureDifference(claimed)) =
                    stated.written().map(|w| w.quantity)
                else {
                    continue;
                };
                let computed = case
                    .derived
                    .of(formula)
                    .filter(|d| d.visit == stated.visit && d.phase == stated.phase)
                    .filter(|d| same_circuit(d.which.as_deref(), stated.which.as_deref()))
                    .find(|d| match (d.at, stated.at) {
                        (Some(a), Some(b)) => (a.0 - b.0).abs() <= WINDOW_MINUTES,
                        _ => true,
                    });
                let Some((derived, computed)) =
                    computed.and_then(|d| Some((d, d.value.difference()?)))
                else {
                    continue;
                };
                judged = true;
                if exceeds((claimed.fahrenheit() - computed.fahrenheit()).abs(), 3.0) {
                    let mut evidence = vec![Input::of(stated)];
                    evidence.extend(derived.inputs.iter().cloned());
                    let text = format!(
                        "{} is stated as {} and computes to {}",
                        point.name(),
                        stated.value_text(),
                        derived.text(case.job.display)
                    );
                    found.push(STATED_SUPERHEAT.finding(text, evidence));
                }
            }
        }
        Verdict::of(judged, found)
    },
};

fn is_carbon_dioxide(case: &Case<'_>) -> bool {
    case.job.unit.refrigerant.is_some_and(|r| r.name == "R-744")
}
