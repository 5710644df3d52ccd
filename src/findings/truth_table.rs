//! RB40x: the electrical truth table: voltage here, current there, and what that leaves as cause.
//! The electrical limits that share this band of codes are in `electrical.rs`.
//!
//! An unmeasured coil is unknown, never 0 V: every rule of the table needs both of its readings.

use super::moment::{NO_AMPS, observed};
use super::{Case, Rule};
use crate::derive::{current, voltage};
use crate::diagnostic::{Code, Severity};
use crate::model::{Reading, Value};
use crate::vocabulary::{Point, Sign, State};

pub(super) static RULES: &[&Rule] = &[
    &CONTACTS_HELD_CLOSED,
    &COIL_NOT_PULLING,
    &CONTACT_OPEN,
    &OPEN_DOWNSTREAM,
    &SAFETY_OPEN,
    &SWITCH_OPEN,
    &HEATER_OPEN,
    &HEATER_WITHOUT_SUPPLY,
    &HEATER_WHILE_COOLING,
    &SINGLE_PHASING,
    &PHASE_MISSING,
    &OFF_BUT_DRAWING,
    &FAN_DRAWS_NOTHING,
];

pub(super) const LIVE: &str = "Live measurement: rated meter and gear. Before touching wiring lock out, tag, and prove it dead with a tested meter (OSHA 29 CFR 1910.147; your local code).";
const TABLE: &str = "basic circuit logic, from memory";

/// Below this a voltage reading means none: stray volts on an open wire.
pub(crate) const NO_VOLTS: f64 = 3.0;
/// Above this a contactor coil has voltage: more than an open wire picks up, less than the lowest
/// usual control voltage (24 V) leaves on a weak transformer.
pub(crate) const COIL_LIVE: f64 = 15.0;

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

/// The coil has voltage; whether it is enough is another rule's matter.
fn coil_live(reading: &Reading) -> Option<bool> {
    volts(reading).map(|v| v > COIL_LIVE)
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

/// Of three line-to-line voltages a lost line leaves one whole; the two it was part of read what
/// leaks through coils and windings. Basic circuit logic.
const LOST_LINE: f64 = 0.6;

static PHASE_MISSING: Rule = Rule {
    code: Code {
        id: "RB423",
        name: "phase-missing",
        severity: Severity::Warning,
        explanation: "Of the three line-to-line voltages one reads supply and the two others far less: the line they share is lost, at a fuse, a contact or a wire before the point measured. A three-phase motor hums on what is left and does not start; keep it off.",
    },
    needs: "the three line-to-line voltages, at the supply or at the load",
    plain: "One of the three power phases to the unit was missing.",
    caution: Some(LIVE),
    source: TABLE,
    check: |case| {
        let groups = [LINE, [Point::T1T2, Point::T2T3, Point::T1T3]];
        let firsts = groups.iter().flat_map(|group| case.bench.at(group[0]));
        PHASE_MISSING.each_reading(firsts, |first| {
            let group = groups.iter().find(|group| group[0] == first.point)?;
            let (second, third) = (
                case.bench.with(first, group[1])?,
                case.bench.with(first, group[2])?,
            );
            let mut pairs: Vec<(f64, &Reading)> = Vec::new();
            for reading in [first, second, third] {
                pairs.push((voltage(reading)?.volt(), reading));
            }
            pairs.sort_by(|a, b| b.0.total_cmp(&a.0));
            let (whole, most_left) = (pairs[0].0, pairs[1].0);
            Some((whole > 50.0 && most_left < LOST_LINE * whole).then(|| {
                let name = pairs[0].1.label();
                (
                    format!("only {name} reads supply: the third line is lost"),
                    vec![pairs[0].1, pairs[1].1, pairs[2].1],
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
            // A motor heard humming is off and draws its locked-rotor current: no contradiction.
            let hums = observed(case, state, &[Sign::NotStarting]).is_some();
            Some(
                (seen(state, State::Off) && !hums && amps(drawn)? > 0.5).then(|| {
                    (
                        format!(
                            "compressor is noted as off and draws {}",
                            drawn.value_text()
                        ),
                        vec![state, drawn],
                    )
                }),
            )
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
