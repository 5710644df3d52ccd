//! What a unit should do: the note's design values first, then its own healthy readings, then what
//! is usual for its kind.

use super::support::note;
use rimebook::compile::Compiled;
use rimebook::expectation::{Basis, Sheet};
use rimebook::quantity::Temperature;
use rimebook::vocabulary::Symptom;

fn value(compiled: &Compiled, symptom: Symptom) -> (f64, Basis) {
    let last = compiled.job.visits.len().saturating_sub(1);
    let sheet = Sheet::new(&compiled.job, &compiled.derived, last, None);
    let expected = sheet.expected(symptom).expect("something is expected");
    (expected.value, expected.basis)
}

const UNIT: &str = "unit: WIC-3, walk-in cooler\nrefrigerant: R-134a\nmetering: txv, receiver\nsetpoint: 36 F\nnameplate: 208 V 3 ph, rla 10 A\n";
const VISIT: &str = "visit 2026-03-14 Dana\n0900 arrive\n0930 depart\n";

#[test]
fn design_values_come_before_healthy_ones_and_those_before_usual_ones() {
    let usual = note(&format!("{UNIT}{VISIT}"));
    let (td, basis) = value(&usual, Symptom::EvaporatorTd);
    assert!(matches!(basis, Basis::Usual(_)), "{basis:?}");
    assert!((td - 10.0).abs() < 1e-9);

    let healthy = note(&format!(
        "{UNIT}healthy: td 13 F, superheat 7 F, amps 8.2 A\n{VISIT}"
    ));
    assert!(healthy.diagnostics.is_empty(), "{:?}", healthy.diagnostics);
    let (td, basis) = value(&healthy, Symptom::EvaporatorTd);
    assert_eq!(basis, Basis::HealthyLine);
    assert!((td - 13.0).abs() < 1e-9);
    let (share, _) = value(&healthy, Symptom::RunningCurrent);
    assert!((share - 0.82).abs() < 1e-9);

    let stated = note(&format!("{UNIT}healthy: td 13 F\ndesign td: 12 F\n{VISIT}"));
    let (td, basis) = value(&stated, Symptom::EvaporatorTd);
    assert_eq!(basis, Basis::Stated);
    assert!((td - 12.0).abs() < 1e-9);
}

/// 18.4 psig of R-134a is 20 F (AHRI-traceable table, within 0.1 F): TD 14 F at a 34 F box.
#[test]
fn an_earlier_visit_noted_as_normal_is_the_measure_of_a_later_one() {
    let earlier =
        "visit 2025-05-02 Dana\n0900 arrive\n0905 suction 18.4 psig, suction line 29 F, box 34 F\n";
    let later =
        "visit 2026-03-14 Ivo\n0900 arrive\n0905 suction 10 psig, suction line 30 F, box 48 F\n";
    let silent = note(&format!("{UNIT}{earlier}{later}"));
    assert!(matches!(
        value(&silent, Symptom::EvaporatorTd).1,
        Basis::Usual(_)
    ));
    let noted = note(&format!("{UNIT}{earlier}0910 noted all normal\n{later}"));
    let (td, basis) = value(&noted, Symptom::EvaporatorTd);
    assert!(matches!(basis, Basis::EarlierVisit(Some(_))), "{basis:?}");
    assert!((td - 14.0).abs() < 0.2, "{td}");
    assert!(basis.text().contains("2025-05-02"), "{}", basis.text());
    // A visit is never its own measure.
    let own = note(&format!("{UNIT}{later}0910 noted all normal\n"));
    assert!(matches!(
        value(&own, Symptom::EvaporatorTd).1,
        Basis::Usual(_)
    ));
}

#[test]
fn a_part_of_the_healthy_line_that_is_no_value_is_named() {
    let compiled = note(&format!(
        "{UNIT}healthy: 2025-05-02, td 13 F, frostiness 3 F\n{VISIT}"
    ));
    let said: Vec<&str> = compiled
        .diagnostics
        .iter()
        .map(|d| d.message.as_str())
        .collect();
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(said[0].contains("frostiness 3 F"), "{said:?}");
    assert_eq!(compiled.job.unit.healthy.len(), 1);
}

/// Less head, less feed: a fixed orifice runs more superheat on a cool day.
#[test]
fn a_fixed_orifice_follows_the_ambient() {
    let text = "unit: AC-1, rooftop\nrefrigerant: R-410A\nmetering: orifice\ntarget superheat: 12 F\ndesign ambient: 95 F\nvisit 2026-06-01 Dana\n";
    let compiled = note(text);
    let at = |fahrenheit: f64| {
        let ambient = Some(Temperature::from_fahrenheit(fahrenheit));
        let sheet = Sheet::new(&compiled.job, &compiled.derived, 0, ambient);
        sheet.expected(Symptom::Superheat).expect("a target")
    };
    assert!((at(95.0).value - 12.0).abs() < 1e-9);
    assert!(at(75.0).value > at(95.0).value);
    // Not knowing the day leaves more room, on both sides.
    let sheet = Sheet::new(&compiled.job, &compiled.derived, 0, None);
    let unknown = sheet.expected(Symptom::Superheat).expect("a target");
    assert!(unknown.high - unknown.low > at(95.0).high - at(95.0).low);
}

/// Head-pressure control keeps condensing up: on a cold day the split is what is left.
#[test]
fn head_pressure_control_raises_the_split_of_a_cold_day() {
    let text = format!("{UNIT}design split: 20 F\nhead pressure hold: 80 F\n{VISIT}");
    let compiled = note(&text);
    let at = |fahrenheit: f64| {
        let ambient = Some(Temperature::from_fahrenheit(fahrenheit));
        let sheet = Sheet::new(&compiled.job, &compiled.derived, 0, ambient);
        sheet
            .expected(Symptom::CondenserSplit)
            .expect("a split")
            .value
    };
    assert!((at(75.0) - 20.0).abs() < 1e-9);
    assert!((at(40.0) - 40.0).abs() < 1e-9);
}
