//! The electrical truth table (basic circuit logic): which rows a rule judges, and which of those a
//! cause of the ranking stands for.

use super::support::{cases, files, note};
use rimebook::vocabulary::faults::Fault;

/// Row, what is seen, rules that judge it.
const ROWS: [(u32, &str, &[&str]); 16] = [
    (1, "coil dead, load runs", &["RB401"]),
    (2, "coil at rated volts, not pulled in", &["RB402"]),
    (3, "pulled in, a pole does not pass", &["RB403"]),
    (4, "volts on all legs, no current", &["RB404"]),
    (5, "coil below 80 % of rated, chatter", &["RB405"]),
    (6, "control volts stop at a safety", &["RB406"]),
    (7, "heater with volts, no current", &["RB408"]),
    (8, "heater with volts and its current", &["RB408"]),
    (9, "no volts at the heater in defrost", &["RB409"]),
    (10, "heater on while cooling is called", &["RB410"]),
    (11, "fan with volts stalled, current high", &["RB424"]),
    (12, "fan with volts, no current", &["RB422"]),
    (13, "breaker trips at once", &["RB425"]),
    (
        14,
        "one phase without current, two high",
        &["RB412", "RB423"],
    ),
    (15, "compressor hot, common to windings open", &["RB385"]),
    (16, "line volts across a switch", &["RB407"]),
];

#[test]
fn truth_table_rows_have_rule_cases() {
    let texts: Vec<(String, String)> = files(&cases().join("rules"))
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("a rule case");
            (path.to_string_lossy().into_owned(), text)
        })
        .collect();
    for (row, seen, rules) in ROWS {
        assert!(!rules.is_empty(), "row {row}: {seen}");
        for rule in rules {
            // Row 8 is the good heater: its rule keeps quiet.
            let wanted = if row == 8 { "quiet" } else { "fires" };
            let wanted = format!("# expect: {wanted} {rule}");
            assert!(
                texts
                    .iter()
                    .any(|(path, text)| path.contains(rule) && text.contains(&wanted)),
                "row {row}: {seen}: {rule}"
            );
        }
    }
}

const HEAD: &str = "unit: WIC-1, walk-in cooler
refrigerant: R-134a, 8 lb
nameplate: 230 V 3 ph, rla 14.2 A, heaters 3600 W, control 24 V, capacitor 45 uF
setpoint: 36 F
visit 2026-03-14 Dana R.
";

/// Readings of a row, and the cause that must be first.
const RANKED: &[(&str, &str, Fault)] = &[
    (
        "row 1",
        "contactor coil 0 V, compressor 9.1 / 9.3 / 9.0 A",
        Fault::ContactsClosed,
    ),
    (
        "row 2",
        "contactor coil 24 V, contactor open, compressor off",
        Fault::ContactsOpen,
    ),
    (
        "row 3",
        "contactor coil 24 V, L1-L2 230 V, T1-T2 0 V, compressor off",
        Fault::ContactsOpen,
    ),
    (
        "row 7",
        "defrost called, heater 230 V, heater 0 A",
        Fault::OpenHeater,
    ),
    (
        "row 14, by the clamp",
        "compressor 0 / 24 / 24 A",
        Fault::SinglePhasing,
    ),
    (
        "row 14, by the voltmeter",
        "L1-L2 2 V, L2-L3 229 V, L1-L3 6 V",
        Fault::SinglePhasing,
    ),
    (
        "unbalance",
        "L1-L2 209 V, L2-L3 232 V, L1-L3 232 V",
        Fault::VoltageUnbalance,
    ),
    ("capacitor", "run capacitor 30 uF", Fault::WeakCapacitor),
];

#[test]
fn truth_table_rows_rank_their_cause_first() {
    let mut wrong = Vec::new();
    for (row, readings, fault) in RANKED {
        let compiled = note(&format!("{HEAD}0920 {readings}\n"));
        let found = compiled.causes().found.as_ref().map(|r| &r.causes[0]);
        let named = found.and_then(|first| first.hypothesis.fault);
        if named != Some(*fault) {
            wrong.push(format!("{row}: {named:?}, expected {fault:?}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A meter not put on a part says nothing about it: unknown is not 0 V and not 0 A.
#[test]
fn what_was_not_measured_names_no_electrical_cause() {
    for readings in [
        "compressor 9.1 / 9.3 / 9.0 A, box 36 F",
        "heater 230 V, box 36 F",
        "contactor coil 24 V, box 36 F",
        "L1-L2 230 V, L2-L3 231 V, box 36 F",
    ] {
        let compiled = note(&format!("{HEAD}0920 {readings}\n"));
        let found = compiled.causes().found.as_ref().map(|r| &r.causes[0]);
        assert_eq!(
            found.and_then(|first| first.hypothesis.fault),
            None,
            "{readings}"
        );
    }
}
