//! RB40x: the electrical truth table and electrical limits.
//!
//! An unmeasured coil is unknown, never 0 V: every rule of the table needs both of its readings.

use super::{Case, Rule, exceeds};
use crate::derive::{current, voltage};
use crate::diagnostic::{Code, Severity};
use crate::model::{Reading, Value};
use crate::quantity::Quantity;
use crate::vocabulary::{Point, State};

pub(super) static RULES: &[&Rule] = &[
    &CONTACTS_HELD_CLOSED,
    &COIL_NOT_PULLING,
    &CONTACT_OPEN,
    &OPEN_DOWNSTREAM,
    &LOW_CONTROL_VOLTAGE,
    &SAFETY_OPEN,
    &SWITCH_OPEN,
    &HEATER_OPEN,
    &HEATER_WITHOUT_SUPPLY,
    &HEATER_WHILE_COOLING,
    &HEATER_LOW,
    &SINGLE_PHASING,
    &VOLTAGE_UNBALANCE,
    &CURRENT_UNBALANCE,
    &SUPPLY_OUT_OF_RANGE,
    &OVER_RLA,
    &CAPACITOR_OUT,
    &CONTACT_LOSS,
    &WINDING_MISMATCH,
    &LOW_INSULATION,
    &OFF_BUT_DRAWING,
    &FAN_DRAWS_NOTHING,
];

const LIVE: &str = "Live measurement: rated meter and gear. Before touching wiring lock out, tag, and prove it dead with a tested meter (OSHA 29 CFR 1910.147; your local code).";
const TABLE: &str = "basic circuit logic, from memory";

/// Below this a voltage reading means none: stray volts on an open wire.
const NO_VOLTS: f64 = 3.0;
/// Below this a clamp meter reads nothing.
const NO_AMPS: f64 = 0.15;

const LINE: [Point; 3] = [Point::L1L2, Point::L2L3, Point::L1L3];
const LOAD: [Point; 3] = [Point::T1T2, Point::T2T3, Point::T1T3];

fn volts(reading: &Reading) -> Option<f64> {
    voltage(reading).map(|v| v.volt())
}

fn amps(reading: &Reading) -> Option<f64> {
    current(reading).map(|a| a.ampere())
}

fn seen(reading: &Reading, state: State) -> bool {
    reading.value == Value::Seen(state)
}

/// The coil has voltage: more than an open wire picks up, less than the lowest usual control
/// voltage (24 V) leaves on a weak transformer. Whether it is enough is another rule's matter.
fn coil_live(reading: &Reading) -> Option<bool> {
    volts(reading).map(|v| v > 15.0)
}

/// Readings of compressor current at the moment of `anchor`, every leg.
fn compressor_legs<'a>(case: &Case<'a>, anchor: &Reading) -> Vec<&'a Reading> {
    let Some(first) = case.bench.with(anchor, Point::CompressorCurrent) else {
        return Vec::new();
    };
    case.bench
        .at(Point::CompressorCurrent)
        .filter(|r| r.line == first.line && r.which == first.which)
        .collect()
}

static CONTACTS_HELD_CLOSED: Rule = Rule {
    code: Code {
        id: "RB401",
        name: "contacts-held-closed",
        severity: Severity::Warning,
        explanation: "The contactor coil has no voltage and its load draws current: the contacts are held closed, or the load is fed another way. It stops only when the supply is removed. Prove the meter on a live leg before condemning the contactor.",
    },
    needs: "contactor coil voltage and compressor current, at one moment",
    plain: "A switch in the control panel was stuck on, so the compressor could not be stopped by its control.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        CONTACTS_HELD_CLOSED.each_reading(case.bench.at(Point::CoilVoltage), |coil| {
            let legs = compressor_legs(case, coil);
            if legs.is_empty() {
                return None;
            }
            let dead = volts(coil)? < NO_VOLTS;
            let running = legs.iter().all(|r| amps(r).is_some_and(|a| a > NO_AMPS));
            Some((dead && running).then(|| {
                let mut evidence = vec![coil];
                evidence.extend(&legs);
                (format!("coil at {} while the compressor draws {}: contacts held closed, or fed another way", coil.value_text(), legs[0].value_text()), evidence)
            }))
        })
    },
};

static COIL_NOT_PULLING: Rule = Rule {
    code: Code {
        id: "RB402",
        name: "coil-not-pulling-in",
        severity: Severity::Warning,
        explanation: "The contactor coil has its voltage but the contactor stays open: the coil is open, or the armature is stuck. The coil's resistance, measured dead and isolated, tells which.",
    },
    needs: "contactor coil voltage and the contactor's state",
    plain: "A switch in the control panel did not close when told to.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        COIL_NOT_PULLING.each_reading(case.bench.at(Point::CoilVoltage), |coil| {
            let contactor = case.bench.with(coil, Point::Contactor)?;
            let open = seen(contactor, State::Open) || seen(contactor, State::Off);
            Some((coil_live(coil)? && open).then(|| {
                (
                    format!(
                        "coil has {} and the contactor is {}: coil open or armature stuck",
                        coil.value_text(),
                        contactor.value_text()
                    ),
                    vec![coil, contactor],
                )
            }))
        })
    },
};

static CONTACT_OPEN: Rule = Rule {
    code: Code {
        id: "RB403",
        name: "contact-open",
        severity: Severity::Warning,
        explanation: "The coil is pulled in and line voltage stands before the contactor, but a pair of load terminals has none, or much less: a contact does not close.",
    },
    needs: "contactor coil voltage, line voltage and load voltage of the same pair",
    plain: "One contact in the control panel did not pass power.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        let loads = LOAD
            .iter()
            .zip(LINE)
            .flat_map(|(&load, line)| case.bench.at(load).map(move |r| (r, line)));
        let pairs: Vec<(&Reading, Point)> = loads.collect();
        CONTACT_OPEN.each_reading(pairs.iter().map(|p| p.0), |load| {
            let line = pairs.iter().find(|p| p.0.span == load.span)?.1;
            let line = case.bench.with_any(load, &[line, Point::SupplyVoltage])?;
            let coil = case.bench.with(load, Point::CoilVoltage)?;
            let (before, after) = (volts(line)?, volts(load)?);
            Some(
                (coil_live(coil)? && before > 50.0 && after < 0.5 * before).then(|| {
                    (
                        format!(
                            "{} on {} with the coil pulled in and {} before it: contact open",
                            load.value_text(),
                            load.label(),
                            line.value_text()
                        ),
                        vec![load, line, coil],
                    )
                }),
            )
        })
    },
};

static OPEN_DOWNSTREAM: Rule = Rule {
    code: Code {
        id: "RB404",
        name: "open-after-the-contactor",
        severity: Severity::Warning,
        explanation: "Voltage stands at the load terminals of the contactor and no current flows: the circuit is open after it. Overload, fuse, wire or winding. A hot compressor may only be resting on its internal overload: let it cool before condemning it.",
    },
    needs: "load voltage and compressor current, at one moment",
    plain: "Power reached the compressor, but it did not run.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        let loads = case
            .bench
            .at(Point::T1T2)
            .chain(case.bench.at(Point::CompressorVoltage));
        OPEN_DOWNSTREAM.each_reading(loads, |load| {
            let legs = compressor_legs(case, load);
            if legs.is_empty() {
                return None;
            }
            let live = LOAD
                .iter()
                .filter_map(|&p| case.bench.with(load, p))
                .chain([load])
                .all(|r| volts(r).is_some_and(|v| v > 50.0));
            let dead = legs.iter().all(|r| amps(r).is_some_and(|a| a < NO_AMPS));
            Some((live && dead).then(|| {
                (
                    format!(
                        "{} at the load and {}: open after the contactor",
                        load.value_text(),
                        legs[0].value_text()
                    ),
                    vec![load, legs[0]],
                )
            }))
        })
    },
};

static LOW_CONTROL_VOLTAGE: Rule = Rule {
    code: Code {
        id: "RB405",
        name: "low-control-voltage",
        severity: Severity::Warning,
        explanation: "The coil gets less than 80 % of its rated voltage: the contactor chatters and burns its contacts. A weak or wrongly tapped transformer, a long thin wire or a bad connection is behind it.",
    },
    needs: "contactor coil voltage and the rated control voltage",
    plain: "The control circuit did not get enough voltage.",
    caution: Some(LIVE),
    source: "80 % of rated: common practice, no source",
    check: |case| {
        LOW_CONTROL_VOLTAGE.each_value(case, "coil-share", |v| {
            let share = v.value.number();
            // A dead coil is another matter.
            (exceeds(80.0, share) && share > 20.0)
                .then(|| format!("coil voltage is {share:.0} % of rated"))
        })
    },
};

static SAFETY_OPEN: Rule = Rule {
    code: Code {
        id: "RB406",
        name: "safety-open",
        severity: Severity::Warning,
        explanation: "Control voltage stands before a safety and not after it: that safety is open. Find out why it opened before resetting it, and never bridge it.",
    },
    needs: "control voltage before and after the safety",
    plain: "A safety device had stopped the unit.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        SAFETY_OPEN.each_reading(case.bench.at(Point::SafetyIn), |before| {
            let after = case.bench.with(before, Point::SafetyOut)?;
            Some(
                (volts(before)? > 15.0 && volts(after)? < NO_VOLTS).then(|| {
                    (
                        format!(
                            "{} before the safety and {} after it: it is open",
                            before.value_text(),
                            after.value_text()
                        ),
                        vec![before, after],
                    )
                }),
            )
        })
    },
};

static SWITCH_OPEN: Rule = Rule {
    code: Code {
        id: "RB407",
        name: "switch-open",
        severity: Severity::Warning,
        explanation: "Line or control voltage stands across a switch: it is open. Across a closed one there is next to nothing. If it should be closed at this moment, it or what drives it is at fault.",
    },
    needs: "voltage across a switch",
    plain: "A switch in the control circuit was open.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        SWITCH_OPEN.each_reading(case.bench.at(Point::SwitchVoltage), |across| {
            Some((volts(across)? > 15.0).then(|| {
                (
                    format!(
                        "{} stands across the switch: it is open",
                        across.value_text()
                    ),
                    vec![across],
                )
            }))
        })
    },
};

static HEATER_OPEN: Rule = Rule {
    code: Code {
        id: "RB408",
        name: "heater-open",
        severity: Severity::Warning,
        explanation: "A heater has voltage and draws no current: the element, its lead or its limit is open. Its resistance, measured dead and isolated, confirms it.",
    },
    needs: "heater voltage and heater current",
    plain: "A defrost heater was broken.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        HEATER_OPEN.each_reading(case.bench.at(Point::HeaterCurrent), |heater| {
            let supply = case.bench.with(heater, Point::HeaterVoltage)?;
            Some((volts(supply)? > 50.0 && amps(heater)? < NO_AMPS).then(|| {
                (
                    format!(
                        "heater has {} and draws {}: element or lead open",
                        supply.value_text(),
                        heater.value_text()
                    ),
                    vec![heater, supply],
                )
            }))
        })
    },
};

static HEATER_WITHOUT_SUPPLY: Rule = Rule {
    code: Code {
        id: "RB409",
        name: "heater-without-supply",
        severity: Severity::Warning,
        explanation: "Defrost is called and the heater has no voltage: the timer, relay, termination thermostat or wiring does not pass it. Some coils defrost on fans alone; the wiring diagram decides.",
    },
    needs: "heater voltage and defrost called",
    plain: "The defrost heater did not get power when it should.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        HEATER_WITHOUT_SUPPLY.each_reading(case.bench.at(Point::HeaterVoltage), |supply| {
            let defrost = case.bench.with(supply, Point::Defrost)?;
            let called = seen(defrost, State::Called) || seen(defrost, State::On);
            Some((called && volts(supply)? < NO_VOLTS).then(|| {
                (
                    format!(
                        "defrost is called and the heater has {}",
                        supply.value_text()
                    ),
                    vec![supply, defrost],
                )
            }))
        })
    },
};

static HEATER_WHILE_COOLING: Rule = Rule {
    code: Code {
        id: "RB410",
        name: "heater-on-while-cooling",
        severity: Severity::Warning,
        explanation: "The defrost heater draws current while the unit is cooling: the defrost relay is stuck, or the heater is wired past it. The unit fights its own heater.",
    },
    needs: "heater current, and defrost not called or cooling called",
    plain: "The defrost heater was on while the unit was cooling.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        HEATER_WHILE_COOLING.each_reading(case.bench.at(Point::HeaterCurrent), |heater| {
            let defrost = case.bench.with(heater, Point::Defrost);
            let cooling = case.bench.with(heater, Point::Cooling);
            let state = defrost.or(cooling)?;
            let cools = defrost.is_some_and(|r| seen(r, State::NotCalled) || seen(r, State::Off))
                || defrost.is_none()
                    && cooling.is_some_and(|r| seen(r, State::Called) || seen(r, State::On));
            Some((cools && amps(heater)? > NO_AMPS).then(|| {
                (
                    format!("heater draws {} while the unit cools", heater.value_text()),
                    vec![heater, state],
                )
            }))
        })
    },
};

static HEATER_LOW: Rule = Rule {
    code: Code {
        id: "RB411",
        name: "heater-current-low",
        severity: Severity::Warning,
        explanation: "A heater draws clearly less than its rating gives at the voltage there: some of its elements are open. On three phases one open element of a delta leaves two legs at 58 %.",
    },
    needs: "heater current and heater rating",
    plain: "Part of the defrost heater was broken.",
    caution: Some(LIVE),
    source: "Ohm's law; 85 % of expected: common practice, no source",
    check: |case| {
        HEATER_LOW.each_value(case, "heater-share", |v| {
            let share = v.value.number();
            (exceeds(85.0, share) && share > 3.0)
                .then(|| format!("heater draws {share:.0} % of the current its rating gives"))
        })
    },
};

static SINGLE_PHASING: Rule = Rule {
    code: Code {
        id: "RB412",
        name: "single-phasing",
        severity: Severity::Warning,
        explanation: "One leg of a three-phase motor draws nothing while the others draw current: a phase is lost. Fuse, contact or wire. The motor overheats quickly; stop it.",
    },
    needs: "compressor current of three legs",
    plain: "One of the three power phases to the motor was missing.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        let firsts = case
            .bench
            .at(Point::CompressorCurrent)
            .filter(|r| r.leg.is_some_and(|l| l.0 == 1));
        SINGLE_PHASING.each_reading(firsts, |first| {
            let legs = compressor_legs(case, first);
            if legs.len() != 3 {
                return None;
            }
            let dead: Vec<&&Reading> = legs
                .iter()
                .filter(|r| amps(r).is_some_and(|a| a < NO_AMPS))
                .collect();
            let live = legs
                .iter()
                .filter(|r| amps(r).is_some_and(|a| a > 1.0))
                .count();
            Some((dead.len() == 1 && live == 2).then(|| {
                let name = dead[0].label();
                (
                    format!("{name} draws nothing and the others do: single phasing"),
                    legs.clone(),
                )
            }))
        })
    },
};

static VOLTAGE_UNBALANCE: Rule = Rule {
    code: Code {
        id: "RB413",
        name: "voltage-unbalance",
        severity: Severity::Warning,
        explanation: "The three line voltages differ. Above 1 % a motor must be derated; above 2 % many makers of compressors refuse warranty; above 5 % it should not run. The cause is in the supply or in a bad connection before the point measured.",
    },
    needs: "the three line-to-line voltages",
    plain: "The three power phases to the unit were uneven.",
    caution: Some(LIVE),
    source: "NEMA MG-1 formula and derating; 2 % limit from memory",
    check: |case| {
        VOLTAGE_UNBALANCE.each_value(case, "voltage-unbalance", |v| {
            let unbalance = v.value.number();
            exceeds(unbalance, 2.0)
                .then(|| format!("voltage unbalance is {unbalance:.1} % (2 % limit)"))
        })
    },
};

static CURRENT_UNBALANCE: Rule = Rule {
    code: Code {
        id: "RB414",
        name: "current-unbalance",
        severity: Severity::Warning,
        explanation: "The three leg currents differ by more than 10 %. A small voltage unbalance grows six- to tenfold in the currents; where the voltages are even, look at connections, contacts and windings. Currents of a lightly loaded motor are not meaningful.",
    },
    needs: "the three leg currents",
    plain: "The motor did not draw even current.",
    caution: Some(LIVE),
    source: "10 %: common practice, from memory",
    check: |case| {
        CURRENT_UNBALANCE.each_value(case, "current-unbalance", |v| {
            let unbalance = v.value.number();
            // A lost phase is its own finding.
            (exceeds(unbalance, 10.0) && unbalance < 90.0)
                .then(|| format!("current unbalance is {unbalance:.1} % (10 % limit)"))
        })
    },
};

static SUPPLY_OUT_OF_RANGE: Rule = Rule {
    code: Code {
        id: "RB415",
        name: "supply-out-of-range",
        severity: Severity::Warning,
        explanation: "The supply is more than 10 % away from the nameplate. Motors overheat on low voltage and heaters lose power with its square.",
    },
    needs: "supply voltage and the nameplate voltage",
    plain: "The voltage supplied to the unit was outside what it is built for.",
    caution: Some(LIVE),
    source: "NEMA MG-1, ±10 %, from memory",
    check: |case| {
        SUPPLY_OUT_OF_RANGE.each_value(case, "supply-deviation", |v| {
            let away = v.value.number();
            exceeds(away.abs(), 10.0).then(|| {
                let side = if away < 0.0 { "below" } else { "above" };
                format!(
                    "supply is {:.1} % {side} the nameplate (10 % limit)",
                    away.abs()
                )
            })
        })
    },
};

static OVER_RLA: Rule = Rule {
    code: Code {
        id: "RB416",
        name: "over-rated-current",
        severity: Severity::Warning,
        explanation: "The compressor draws more than its rated load current. High load or high discharge pressure, low voltage, or a motor or bearing that is failing.",
    },
    needs: "compressor current and RLA",
    plain: "The compressor drew more current than it should.",
    caution: Some(LIVE),
    source: "nameplate; 5 % allowed for the meter",
    check: |case| {
        OVER_RLA.each_value(case, "rla-share", |v| {
            let share = v.value.number();
            exceeds(share, 105.0).then(|| format!("compressor draws {share:.0} % of its RLA"))
        })
    },
};

static CAPACITOR_OUT: Rule = Rule {
    code: Code {
        id: "RB417",
        name: "capacitor-out-of-tolerance",
        severity: Severity::Warning,
        explanation: "A run capacitor is more than 6 % from its rating. The motor starts badly, runs hot and draws more. Check the tolerance printed on the part.",
    },
    needs: "run capacitor measured, and its rating on the nameplate line",
    plain: "A motor capacitor was weak.",
    caution: Some(
        "Discharge the capacitor through a resistor and confirm zero volts before touching it.",
    ),
    source: "±6 % usual tolerance, from memory",
    check: |case| {
        CAPACITOR_OUT.each_value(case, "capacitance-deviation", |v| {
            let away = v.value.number();
            exceeds(away.abs(), 6.0)
                .then(|| format!("run capacitor is {away:+.1} % from its rating (±6 %)"))
        })
    },
};

static CONTACT_LOSS: Rule = Rule {
    code: Code {
        id: "RB418",
        name: "contact-voltage-drop",
        severity: Severity::Warning,
        explanation: "A closed contact loses more than 1 % of the line voltage under load: it is burnt and heats up. Measured on an open contact the same reading is simply line voltage.",
    },
    needs: "contact drop and line voltage",
    plain: "A contact in the control panel was worn and heating up.",
    caution: Some(LIVE),
    source: "above 1 % of line: common practice, from memory",
    check: |case| {
        CONTACT_LOSS.each_value(case, "contact-loss", |v| {
            let share = v.value.number();
            (exceeds(share, 1.0) && share < 50.0)
                .then(|| format!("a closed contact loses {share:.1} % of the line voltage"))
        })
    },
};

static WINDING_MISMATCH: Rule = Rule {
    code: Code {
        id: "RB419",
        name: "winding-resistances-disagree",
        severity: Severity::Warning,
        explanation: "On a single-phase motor the resistance from run to start is that of both windings in series. Where it is not, a winding is shorted in part, a terminal is wrongly named, or a lead has resistance.",
    },
    needs: "C-R, C-S and R-S",
    plain: "The motor windings did not measure as they should.",
    caution: Some("Measure windings dead, isolated and discharged; never under vacuum."),
    source: "series circuit; 5 % for the meter: common practice",
    check: |case| {
        WINDING_MISMATCH.each_value(case, "winding-sum", |v| {
            let away = v.value.number();
            exceeds(away.abs(), 5.0).then(|| format!("R-S is {away:+.0} % from C-R plus C-S"))
        })
    },
};

static LOW_INSULATION: Rule = Rule {
    code: Code {
        id: "RB420",
        name: "low-insulation",
        severity: Severity::Warning,
        explanation: "Insulation to ground is below half a megohm. Hermetic motors with refrigerant and oil read lower than dry motors; the maker's own floor decides, and the trend over years says more than one reading.",
    },
    needs: "insulation resistance",
    plain: "The motor's electrical insulation was poor.",
    caution: Some("Never apply an insulation tester to a compressor under vacuum."),
    source: "0.5 megohm, the lowest of makers' floors, from memory",
    check: |case| {
        LOW_INSULATION.each_reading(case.bench.at(Point::Insulation), |r| {
            let Some(Quantity::Resistance(value)) = r.written().map(|w| w.quantity) else {
                return None;
            };
            Some(exceeds(0.5e6, value.ohm()).then(|| {
                (
                    format!("insulation {} is below 0.5 megohm", r.value_text()),
                    vec![r],
                )
            }))
        })
    },
};

static OFF_BUT_DRAWING: Rule = Rule {
    code: Code {
        id: "RB421",
        name: "off-but-drawing-current",
        severity: Severity::Warning,
        explanation: "The compressor is noted as off and as drawing current at the same moment. A stalled motor on its overload hums and draws locked-rotor current; otherwise one of the two entries is wrong.",
    },
    needs: "compressor state and compressor current",
    plain: "Two readings contradicted each other and should be repeated.",
    caution: Some(LIVE),
    source: "contradiction between readings",
    check: |case| {
        OFF_BUT_DRAWING.each_reading(case.bench.at(Point::Compressor), |state| {
            let drawn = case.bench.with(state, Point::CompressorCurrent)?;
            Some((seen(state, State::Off) && amps(drawn)? > 0.5).then(|| {
                (
                    format!(
                        "compressor is noted as off and draws {}",
                        drawn.value_text()
                    ),
                    vec![state, drawn],
                )
            }))
        })
    },
};

static FAN_DRAWS_NOTHING: Rule = Rule {
    code: Code {
        id: "RB422",
        name: "fan-draws-nothing",
        severity: Severity::Warning,
        explanation: "A fan motor has voltage and draws no current: its winding, its overload or its lead is open. A motor that is hot may be resting on its overload; let it cool before condemning it.",
    },
    needs: "fan voltage and fan current, at one moment",
    plain: "A fan had power and did not run.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        let fans = [
            (Point::EvapFanCurrent, Point::EvapFanVoltage),
            (Point::CondenserFanCurrent, Point::CondenserFanVoltage),
        ];
        let drawn = fans.iter().flat_map(|&(amps, _)| case.bench.at(amps));
        FAN_DRAWS_NOTHING.each_reading(drawn, |fan| {
            let (_, supply) = fans.iter().find(|(amps, _)| *amps == fan.point)?;
            let supply = case.bench.with(fan, *supply)?;
            Some((volts(supply)? > 50.0 && amps(fan)? < NO_AMPS).then(|| {
                (
                    format!(
                        "{} has {} and draws {}: winding, overload or lead open",
                        fan.label(),
                        supply.value_text(),
                        fan.value_text()
                    ),
                    vec![fan, supply],
                )
            }))
        })
    },
};
