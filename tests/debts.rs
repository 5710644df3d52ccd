//! What closes a temporary condition or a lock: the same thing in other words, and never another.

use super::support::note;
use rimebook::compile::Compiled;

fn compiled(opened: &[&str], closing: &str) -> Compiled {
    let lines: String = opened.iter().map(|line| format!("0900 {line}\n")).collect();
    note(&format!(
        "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\nvisit 2026-03-14 Dana R.\n{lines}1000 {closing}\n"
    ))
}

/// Which of the lines that opened something are closed.
fn closed(opened: &[&str], closing: &str) -> Vec<usize> {
    let compiled = compiled(opened, closing);
    assert_eq!(compiled.derived.debts.len(), opened.len(), "{opened:?}");
    let debts = compiled.derived.debts.iter().enumerate();
    debts
        .filter(|(_, d)| d.closed.is_some())
        .map(|(i, _)| i)
        .collect()
}

#[test]
fn one_thing_in_other_words() {
    for (opened, closing) in [
        (
            "left high-temperature alarm silenced",
            "restored the high temp alarm",
        ),
        (
            "left high-temperature alarm silenced",
            "restored hi temp alarm",
        ),
        (
            "left high-temperature alarm silenced",
            "put the alarm back on",
        ),
        ("left high-temperature alarm silenced", "unmuted alarm"),
        (
            "left hi-temp alarm muted",
            "restored high temperature alarm, rings again at 10 F",
        ),
        ("silenced the alarm", "restored alarms"),
        (
            "left thermostat set down to -20 F",
            "restored t-stat to -5 F",
        ),
        ("left thermostat at 30 F", "restored stat"),
        ("left evap fan 2 jumpered", "restored evaporator fans 2"),
        ("left evap fan 2 jumpered", "removed jumper from evap fan 2"),
        ("jumpered evap fan 2", "turned fan 2 back to normal"),
        (
            "fitted jumper across the high pressure switch",
            "removed jumper on HP switch",
        ),
        ("bypassed hps", "put the high pressure switch back"),
        ("disabled defrost", "enabled defrost"),
        ("left defrost timer pinned out", "restored dfst tmr"),
        ("left door heater unplugged", "plugged the door htr back in"),
        ("left cond fan on one leg", "restored condensor fan"),
        ("left circuit a off", "restored ckt A"),
        ("locked out main disconnect", "lock off main disc"),
        (
            "locked out main disconnect, verified not live",
            "lock off main disconnect, fan not turning yet",
        ),
        (
            "locked out main disconnect on the roof, tested dead",
            "removed lock from the disconnect",
        ),
        ("locked out breaker 7", "lock off"),
    ] {
        assert_eq!(closed(&[opened], closing), [0], "{opened} / {closing}");
    }
}

#[test]
fn another_thing_stays_open() {
    for (opened, closing) in [
        (
            "left high-temperature alarm silenced",
            "restored low temp alarm",
        ),
        (
            "left high-temperature alarm silenced",
            "restored high temp thermostat",
        ),
        ("left defrost timer pinned out", "restored defrost heater"),
        ("left evap fan 2 jumpered", "restored evap fan 1"),
        ("left evap fan jumpered", "restored condenser fan"),
        ("left circuit b off", "restored circuit a"),
        (
            "jumpered the high pressure switch",
            "removed jumper from the low pressure switch",
        ),
        ("jumpered the high pressure switch", "removed fan guard"),
        ("left supply fan off", "restored return fan"),
        ("locked out breaker 7", "lock off breaker 9"),
        ("locked out main disconnect", "lock off breaker"),
        (
            "locked out main disconnect",
            "lock off main disconnect not yet",
        ),
        ("left alarm silenced", "restored alarm tomorrow"),
        ("left high-temperature alarm silenced", "lock off alarm"),
        ("left fan jumpered", "restored door gasket"),
    ] {
        assert!(
            closed(&[opened], closing).is_empty(),
            "{opened} / {closing}"
        );
    }
}

#[test]
fn of_several_the_one_that_is_named() {
    let alarms = [
        "left high temp alarm silenced",
        "left low temp alarm silenced",
    ];
    assert_eq!(closed(&alarms, "restored low temperature alarm"), [1]);
    assert_eq!(
        closed(&alarms, "restored high temp alarm and low temp alarm"),
        [0, 1]
    );
    // Which of the two is not for luck to say, and both are named.
    let doubt = compiled(&alarms, "put the alarm back on");
    assert!(doubt.derived.debts.iter().all(|d| d.closed.is_none()));
    let said = doubt
        .findings()
        .found
        .iter()
        .find(|f| f.rule.code.id == "RB603")
        .map(|f| f.text.as_str());
    assert!(
        said.is_some_and(|s| s.contains("`high temp alarm silenced`, `low temp alarm silenced`")),
        "{said:?}"
    );
    let mixed = [
        "left high temp alarm silenced",
        "jumpered fan 2",
        "left defrost timer pinned out",
    ];
    assert_eq!(closed(&mixed, "restored defrost timer, fan running"), [2]);
    assert_eq!(closed(&mixed, "restored alarm, fan 2 and timer"), [0, 1, 2]);
    assert_eq!(closed(&mixed, "restored everything"), [0, 1, 2]);
    assert_eq!(closed(&mixed, "put it all back"), [0, 1, 2]);
    assert!(closed(&mixed, "restored").is_empty());
    assert_eq!(closed(&mixed[..1], "restored"), [0]);
    let locks = ["locked out disconnect", "locked out breaker 7"];
    assert_eq!(closed(&locks, "lock off all"), [0, 1]);
    assert!(closed(&locks, "lock off").is_empty());
    // What is closed cannot be closed again for another.
    assert!(closed(&["left fan 1 off"], "restored fan 2").is_empty());
}

#[test]
fn the_whole_unit_need_not_have_been_left_off() {
    let on = compiled(&[], "turned the unit back on");
    assert!(
        on.findings()
            .found
            .iter()
            .all(|f| f.rule.code.id != "RB603")
    );
    assert!(on.diagnostics.iter().all(|d| d.code.id != "RB101"));
    assert_eq!(closed(&["left the unit off"], "turned unit back on"), [0]);
}
