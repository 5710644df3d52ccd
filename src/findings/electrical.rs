//! RB40x: electrical limits: unbalance, supply, rated current, capacitors, windings, insulation.

use super::truth_table::LIVE;
use super::{Rule, exceeds};
use crate::diagnostic::{Code, Severity};
use crate::quantity::Quantity;
use crate::vocabulary::Point;

/// How far the supply may be from the nameplate, as a share (RB415).
pub(crate) const SUPPLY_TOLERANCE: f64 = 0.10;
/// What an ammeter may be off by, as a share of the rated current (RB416).
pub(crate) const AMMETER_ALLOWANCE: f64 = 0.05;
/// How far a run capacitor may be from its rating, as a share (RB417).
pub(crate) const CAPACITOR_TOLERANCE: f64 = 0.06;

pub(super) static RULES: &[&Rule] = &[
    &LOW_CONTROL_VOLTAGE,
    &HEATER_LOW,
    &VOLTAGE_UNBALANCE,
    &CURRENT_UNBALANCE,
    &SUPPLY_OUT_OF_RANGE,
    &OVER_RLA,
    &CAPACITOR_OUT,
    &CONTACT_LOSS,
    &WINDING_MISMATCH,
    &LOW_INSULATION,
];

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
            // A lost line is its own finding.
            (exceeds(unbalance, 2.0) && unbalance < 30.0)
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
            exceeds(away.abs(), 100.0 * SUPPLY_TOLERANCE).then(|| {
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
            exceeds(share, 100.0 * (1.0 + AMMETER_ALLOWANCE))
                .then(|| format!("compressor draws {share:.0} % of its RLA"))
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
            exceeds(away.abs(), 100.0 * CAPACITOR_TOLERANCE)
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
