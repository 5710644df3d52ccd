//! Every formula against at least one worked number, from the text of a note to the value.
//!
//! The source stands beside each number; "arithmetic" is worked in the comment itself.

mod air;

use super::support::note;
use rimebook::compile::Compiled;
use rimebook::derive::{DebtKind, Derived, VacuumShape};
use rimebook::quantity::{Display, TemperatureDifference};

const R448A: &str = "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\n";
const R404A: &str = "unit: WIF-3, walk-in freezer\nrefrigerant: R-404A, 22 lb\n";

/// A note of one visit.
fn visit(head: &str, entries: &str) -> Compiled {
    let compiled = note(&format!("{head}visit 2026-03-14 Dana R.\n{entries}\n"));
    let slips: Vec<&str> = compiled
        .diagnostics
        .iter()
        .filter(|d| d.severity == rimebook::diagnostic::Severity::Error)
        .map(|d| d.message.as_str())
        .collect();
    assert!(slips.is_empty(), "{slips:?}");
    compiled
}

/// All values of a formula, in order.
fn all<'a>(compiled: &'a Compiled, formula: &'a str) -> Vec<&'a Derived> {
    compiled.derived.of(formula).collect()
}

/// The one value of a formula.
#[track_caller]
fn one<'a>(compiled: &'a Compiled, formula: &'a str) -> &'a Derived {
    match all(compiled, formula).as_slice() {
        [only] => only,
        several => panic!("{} values of {formula}", several.len()),
    }
}

#[track_caller]
fn near(value: f64, expected: f64, within: f64) {
    assert!(
        (value - expected).abs() <= within,
        "{value} is not {expected} ± {within}"
    );
}

/// A temperature difference, in Fahrenheit degrees.
#[track_caller]
fn fahrenheit_difference(compiled: &Compiled, formula: &str) -> f64 {
    one(compiled, formula)
        .value
        .difference()
        .expect("a difference")
        .fahrenheit()
}

/// A temperature, in °F.
#[track_caller]
fn fahrenheit(compiled: &Compiled, formula: &str) -> f64 {
    one(compiled, formula).value.number() * 1.8 - 459.67
}

#[track_caller]
fn number(compiled: &Compiled, formula: &str) -> f64 {
    one(compiled, formula).value.number()
}

#[test]
fn every_formula_is_worked_below() {
    let compiled = visit(
        &format!(
            "{R448A}nameplate: 208 V 3 ph, rla 14.2 A, heaters 3300 W, control 24 V, capacitor 45 uF\n"
        ),
        "0912 suction 40 psig, suction line 25 F, compressor inlet 45 F, return air 28 F, supply air 18 F\n\
         0913 discharge 220 psig, discharge line 180 F, liquid line 86 F, after drier 85 F, ambient 74 F, condenser air out 92 F\n\
         0914 L1-L2 207 V, L2-L3 209 V, L1-L3 206 V, compressor 9.1 / 9.3 / 9.0 A, contactor coil 24 V, contact drop 0.2 V\n\
         0915 heater 15.0 A, run capacitor 44 uF, C-R 1.2 ohm, C-S 4.0 ohm, R-S 5.2 ohm\n\
         0916 return wet bulb 26 F, supply wet bulb 17.6 F, airflow 1200 cfm, ambient rh 40 %, room 70 F, room rh 50 %",
    );
    let mut found: Vec<&str> = compiled
        .derived
        .values
        .iter()
        .map(|d| d.formula.id)
        .collect();
    found.sort_unstable();
    found.dedup();
    // A formula added to the program is added here, and worked below.
    assert_eq!(
        found,
        [
            "air-capacity",
            "air-latent-capacity",
            "air-sensible-capacity",
            "air-split",
            "ambient-dew-point",
            "ambient-enthalpy",
            "capacitance-deviation",
            "coil-latent-heat",
            "coil-sensible-heat",
            "coil-share",
            "coil-total-heat",
            "compression-ratio",
            "condenser-air-rise",
            "condenser-split",
            "condensing-temperature",
            "contact-loss",
            "current-unbalance",
            "discharge-superheat",
            "drier-drop",
            "evaporating-temperature",
            "evaporator-td",
            "heater-current-expected",
            "heater-share",
            "return-dew-point",
            "return-enthalpy",
            "rla-share",
            "room-dew-point",
            "sensible-heat-ratio",
            "subcooling",
            "superheat",
            "supply-deviation",
            "supply-dew-point",
            "supply-enthalpy",
            "total-superheat",
            "voltage-unbalance",
            "winding-sum",
        ]
    );
    assert!(
        compiled.derived.missing.is_empty(),
        "{:?}",
        compiled.derived.missing
    );
}

#[test]
fn low_side() {
    // CoolProp 8.0.0: R-448A at 40.0 psig: dew 16.55 F; vapour line 25.0 F gives 8.45 F of superheat
    // (19.62 were bubble used for dew).
    let compiled = visit(
        R448A,
        "0912 suction 40.0 psig, suction line 25.0 F, compressor inlet 45.0 F, return air 28.0 F",
    );
    near(
        fahrenheit(&compiled, "evaporating-temperature"),
        16.55,
        0.02,
    );
    near(fahrenheit_difference(&compiled, "superheat"), 8.45, 0.02);
    // arithmetic: 45.0 − 16.55 and 28.0 − 16.55.
    near(
        fahrenheit_difference(&compiled, "total-superheat"),
        28.45,
        0.02,
    );
    near(
        fahrenheit_difference(&compiled, "evaporator-td"),
        11.45,
        0.02,
    );
    assert_eq!(one(&compiled, "superheat").text(Display::Us), "8.5 F");
    assert_eq!(one(&compiled, "superheat").text(Display::Si), "4.7 K");
}

#[test]
fn high_side() {
    // CoolProp 8.0.0: R-448A at 220 psig: bubble 92.85 F, dew 102.22 F; liquid at 86.0 F is 6.85 F
    // subcooled (16.22 were dew used for bubble).
    let compiled = visit(
        R448A,
        "0914 discharge 220 psig, liquid line 86.0 F, discharge line 180 F, ambient 74 F, condenser air out 92 F",
    );
    near(fahrenheit_difference(&compiled, "subcooling"), 6.85, 0.02);
    // arithmetic: (92.85 + 102.22) ÷ 2 = 97.535; − 74 = 23.535; 180 − 102.22 = 77.78; 92 − 74 = 18.
    near(
        fahrenheit(&compiled, "condensing-temperature"),
        97.535,
        0.02,
    );
    near(
        fahrenheit_difference(&compiled, "condenser-split"),
        23.535,
        0.02,
    );
    near(
        fahrenheit_difference(&compiled, "discharge-superheat"),
        77.78,
        0.02,
    );
    near(
        fahrenheit_difference(&compiled, "condenser-air-rise"),
        18.0,
        1e-9,
    );
}

#[test]
fn subcooling_takes_the_liquid_pressure_where_it_was_read() {
    let entries = "0914 discharge 232 psig, liquid pressure 220 psig, liquid line 86.0 F";
    let compiled = visit(R448A, entries);
    // As above: 6.85 F on the 220 psig, not on the 232.
    near(fahrenheit_difference(&compiled, "subcooling"), 6.85, 0.02);
}

#[test]
fn ratio() {
    // arithmetic: (220 + 14.696) ÷ (40 + 14.696) = 4.291.
    let compiled = visit(R448A, "0912 suction 40 psig, discharge 220 psig");
    near(number(&compiled, "compression-ratio"), 4.291, 5e-4);
}

#[test]
fn pure_temperature_differences() {
    // arithmetic: 28 − 18 and 84 − 71.
    let compiled = visit(
        R448A,
        "0912 return air 28 F, supply air 18 F\n0913 liquid line 84 F, after drier 71 F",
    );
    near(fahrenheit_difference(&compiled, "air-split"), 10.0, 1e-9);
    near(fahrenheit_difference(&compiled, "drier-drop"), 13.0, 1e-9);
}

#[test]
fn altitude_moves_saturation() {
    // CoolProp 8.0.0: 30.0 psig of R-404A: dew −2.74 F at sea level, −5.45 F at 5000 ft, whose
    // atmosphere is by ASHRAE Fundamentals, psychrometrics (formula from memory).
    for (altitude, dew) in [("0 ft", -2.74), ("5000 ft", -5.45), ("1524 m", -5.45)] {
        let compiled = visit(
            &format!("{R404A}altitude: {altitude}\n"),
            "0912 suction 30.0 psig",
        );
        near(fahrenheit(&compiled, "evaporating-temperature"), dew, 0.02);
    }
    // A stated barometer says the same: 12.228 psia is that of 5000 ft.
    let compiled = visit(
        &format!("{R404A}barometer: 12.228 psia\n"),
        "0912 suction 30.0 psig",
    );
    near(
        fahrenheit(&compiled, "evaporating-temperature"),
        -5.45,
        0.02,
    );
}

#[test]
fn the_atmosphere_assumed_is_said() {
    let sea = visit(R448A, "0912 suction 40 psig, suction line 25 F");
    assert!(one(&sea, "superheat").assumptions[0].contains("no altitude in the note"));
    let absolute = visit(R448A, "0912 suction 54.696 psia, suction line 25.0 F");
    // An absolute reading needs no atmosphere; the superheat is that of `low_side`.
    assert!(one(&absolute, "superheat").assumptions.is_empty());
    near(fahrenheit_difference(&absolute, "superheat"), 8.45, 0.02);
}

#[test]
fn saturation_in_metric_units_is_the_same() {
    // arithmetic: 40 psig = 275.79 kPa; 25 F = −3.889 C; 8.45 F of difference = 4.69 K.
    let compiled = visit(R448A, "0912 suction 275.79 kPa, suction line -3.889 C");
    near(fahrenheit_difference(&compiled, "superheat"), 8.45, 0.02);
    assert_eq!(compiled.job.display, Display::Si);
    assert_eq!(
        one(&compiled, "superheat").text(compiled.job.display),
        "4.7 K"
    );
}

#[test]
fn the_last_digits_carry_through() {
    // arithmetic: a gauge of 1 psi and a clamp of 1 F: √(1² + (dT/dp · 1)²); between 40 and 41 psig
    // the dew of R-448A moves 0.77 F (CoolProp 8.0.0: 47.4 psi from 0 to 40 F, steeper lower down).
    let compiled = visit(R448A, "0912 suction 40 psig, suction line 25 F");
    let step = one(&compiled, "superheat")
        .resolution
        .expect("a resolution");
    near(
        TemperatureDifference::from_kelvin(step).fahrenheit(),
        1.3,
        0.1,
    );
}

#[test]
fn only_one_moment_is_combined() {
    for (later, count) in [("0927", 1), ("0928", 0)] {
        let compiled = visit(
            R448A,
            &format!("0912 suction 40 psig\n{later} suction line 25 F"),
        );
        assert_eq!(all(&compiled, "superheat").len(), count, "{later}");
    }
    let repaired = visit(
        R448A,
        "0912 suction 40 psig\n0913 did open the valve\n0914 suction line 25 F",
    );
    assert!(all(&repaired, "superheat").is_empty());
    let missing = &repaired.derived.missing;
    assert!(
        missing
            .iter()
            .any(|m| m.formula.id == "superheat" && m.because.contains("not of one moment")),
        "{missing:?}"
    );
}

#[test]
fn circuits_are_not_mixed() {
    let compiled = visit(
        R448A,
        "0912 circuit A suction 40.0 psig, circuit B suction 20.0 psig\n\
         0913 circuit A suction line 25.0 F, circuit B suction line 25.0 F",
    );
    let found: Vec<(Option<&str>, f64)> = all(&compiled, "superheat")
        .iter()
        .map(|d| {
            let value = d.value.difference().expect("a difference");
            (d.which.as_deref(), value.fahrenheit())
        })
        .collect();
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].0, Some("circuit A"));
    near(found[0].1, 8.45, 0.02);
    assert_eq!(found[1].0, Some("circuit B"));
    assert!(
        found[1].1 > 25.0,
        "the lower pressure has the higher superheat"
    );
}

#[test]
fn voltage_unbalance() {
    // NEMA MG-1; the percents are arithmetic.
    for (legs, expected) in [
        ([462, 463, 455], 1.087),
        ([203, 210, 212], 2.560),
        ([460, 467, 450], 1.961),
        ([480, 476, 472], 0.840),
        ([400, 395, 388], 1.606),
    ] {
        let [a, b, c] = legs;
        for entries in [
            format!("0920 L1-L2 {a} V, L2-L3 {b} V, L1-L3 {c} V"),
            format!("0920 supply {a} / {b} / {c} V"),
        ] {
            let compiled = visit(R448A, &entries);
            near(number(&compiled, "voltage-unbalance"), expected, 5e-4);
        }
    }
}

#[test]
fn currents_against_each_other_and_the_rating() {
    let head = format!("{R448A}nameplate: 208 V 3 ph, rla 14.2 A\n");
    let compiled = visit(&head, "0920 compressor 9.1 / 9.3 / 9.0 A");
    // arithmetic: mean 9.1333, worst 0.1667 = 1.825 %; 9.3 ÷ 14.2 = 65.49 %.
    near(number(&compiled, "current-unbalance"), 1.825, 5e-4);
    near(number(&compiled, "rla-share"), 65.49, 5e-3);
}

#[test]
fn supply_against_the_nameplate() {
    for (plate, supply, deviation) in [
        // NEMA MG-1, ±10 %, from memory: a 208/230 V rating runs from 187 to 253 V, a 460 V one
        // from 414 to 506.
        ("208-230 V 3 ph", "253", 10.0),
        ("208/230 V 3 ph", "187.2", -10.0),
        ("208/230 V 3 ph", "220", 0.0),
        ("460 V 3 ph", "414", -10.0),
        ("460 V 3 ph", "506", 10.0),
    ] {
        let compiled = visit(
            &format!("{R448A}nameplate: {plate}\n"),
            &format!("0920 supply {supply} V"),
        );
        near(number(&compiled, "supply-deviation"), deviation, 1e-9);
    }
}

#[test]
fn heaters() {
    // Ohm's law: 3600 W at 240 V is 15.00 A; on 208 V it is 2704 W and 13.0 A.
    let head = format!("{R448A}nameplate: 240 V 1 ph, heaters 3600 W\n");
    for (volts, amps) in [("240", 15.0), ("208", 13.0)] {
        let compiled = visit(&head, &format!("0920 heater {volts} V, heater 6.5 A"));
        near(number(&compiled, "heater-current-expected"), amps, 1e-9);
        near(number(&compiled, "heater-share"), 650.0 / amps, 1e-9);
    }
    // Ohm's law: 6000 W, 208 V, three-phase: 16.65 A; with one element of a delta open one line
    // keeps its current and two fall to 57.7 %.
    let head = format!("{R448A}nameplate: 208 V 3 ph, heaters 6000 W\n");
    let compiled = visit(&head, "0920 heater 16.65 / 9.61 / 9.61 A");
    let expected = all(&compiled, "heater-current-expected");
    assert_eq!(expected.len(), 3);
    near(expected[0].value.number(), 16.65, 5e-3);
    let shares: Vec<f64> = all(&compiled, "heater-share")
        .iter()
        .map(|d| d.value.number())
        .collect();
    near(shares[0], 100.0, 0.05);
    near(shares[1], 57.7, 0.05);
    near(shares[2], 57.7, 0.05);
}

#[test]
fn parts() {
    let head = format!("{R448A}nameplate: 208 V 1 ph, control 24 V, capacitor 45 uF\n");
    let compiled = visit(
        &head,
        "0920 run capacitor 40.19 uF, supply 208 V, contact drop 5 V, contactor coil 18 V",
    );
    // arithmetic: 40.19 of 45 uF is −10.7 %, out of the usual ±6 % (from memory).
    near(number(&compiled, "capacitance-deviation"), -10.7, 0.05);
    // arithmetic: 5 ÷ 208 = 2.404 %; 18 ÷ 24 = 75 %.
    near(number(&compiled, "contact-loss"), 2.404, 5e-4);
    near(number(&compiled, "coil-share"), 75.0, 1e-9);
}

#[test]
fn windings() {
    // Series circuit: C-R 1.2 and C-S 4.0 give R-S 5.2; an R-S of 4.4 fails (arithmetic: −15.38 %).
    for (rs, away) in [("5.2", 0.0), ("4.4", -15.385)] {
        let compiled = visit(
            R448A,
            &format!("0920 C-R 1.2 ohm, C-S 4.0 ohm, R-S {rs} ohm"),
        );
        near(number(&compiled, "winding-sum"), away, 5e-4);
    }
}

#[test]
fn hold_is_corrected_for_temperature() {
    // Ideal gas in a fixed volume: 300 psig at 85 F is 286.71 psig at 62 F; 286.5 is tight
    // (0.2 psi), 281 lost 5.7; 150 psig gives 143.05.
    for (start, end, expected, lost, leaks) in [
        ("300", "286.5", 286.71, 0.21, false),
        ("300", "281", 286.71, 5.71, true),
        ("150", "143", 143.05, 0.05, false),
    ] {
        let compiled = visit(
            R448A,
            &format!(
                "1020 hold nitrogen {start} psig at 85 F\n1420 hold nitrogen {end} psig at 62 F"
            ),
        );
        let [hold] = compiled.derived.holds.as_slice() else {
            panic!("one hold");
        };
        near(hold.expected.expect("an end").psi(), expected, 0.005);
        near(hold.lost.expect("an end") / 6894.757, lost, 0.005);
        assert_eq!(hold.leaks(), leaks, "{start} to {end}");
        assert_eq!(hold.minutes, Some(240));
        assert!(hold.compensated);
    }
}

#[test]
fn hold_without_temperatures_is_not_corrected() {
    let compiled = visit(
        R448A,
        "1020 hold nitrogen 150 psig\n1050 hold nitrogen 148 psig",
    );
    let [hold] = compiled.derived.holds.as_slice() else {
        panic!("one hold");
    };
    assert!(!hold.compensated);
    near(hold.lost.expect("an end") / 6894.757, 2.0, 1e-6);
}

#[test]
fn vacuum_shapes() {
    // Common practice, from memory: up to 500 micron holds; a steady climb past 1000 is a leak; a
    // climb that flattens is moisture. 500 micron = 66.66 Pa.
    for (entries, shape) in [
        (
            "1055 vacuum 380 micron\n1110 vacuum 430 micron, isolated",
            Some(VacuumShape::Tight),
        ),
        (
            "1055 vacuum 380 micron\n1110 vacuum 66.66 Pa, isolated",
            Some(VacuumShape::Tight),
        ),
        (
            "1055 vacuum 300 micron\n1100 vacuum 700 micron, isolated\n1105 vacuum 1100 micron, isolated",
            Some(VacuumShape::Leak),
        ),
        (
            "1055 vacuum 300 micron\n1100 vacuum 1500 micron, isolated\n1110 vacuum 1900 micron, isolated",
            Some(VacuumShape::Moisture),
        ),
        (
            "1055 vacuum 300 micron\n1110 vacuum 900 micron, isolated",
            Some(VacuumShape::Undecided),
        ),
        ("1055 vacuum 300 micron", None),
    ] {
        let compiled = visit(R448A, entries);
        let [test] = compiled.derived.vacuums.as_slice() else {
            panic!("one evacuation");
        };
        assert_eq!(test.shape, shape, "{entries}");
    }
}

#[test]
fn refrigerant_books_balance() {
    // design: 19 lb 6 oz out, the same and 1 lb 10 oz in: 21 lb in, exactly, and 1 lb 10 oz net.
    let compiled = visit(
        R448A,
        "0940 recovered 19 lb 6 oz R-448A into C-118\n\
         1115 added 19 lb 6 oz R-448A from C-118\n\
         1116 added 1 lb 10 oz R-448A from c-120",
    );
    let books = &compiled.derived.books;
    assert_eq!(books.recovered.pounds_ounces(), "19 lb 6 oz");
    assert_eq!(books.added.pounds_ounces(), "21 lb");
    assert_eq!(books.net().pounds_ounces(), "1 lb 10 oz");
    let cylinders: Vec<(Option<&str>, String, String)> = books
        .cylinders()
        .into_iter()
        .map(|row| {
            (
                row.cylinder,
                row.taken.pounds_ounces(),
                row.filled.pounds_ounces(),
            )
        })
        .collect();
    assert_eq!(
        cylinders,
        [
            (
                Some("C-118"),
                "19 lb 6 oz".to_owned(),
                "19 lb 6 oz".to_owned()
            ),
            (Some("c-120"), "1 lb 10 oz".to_owned(), "0 oz".to_owned()),
        ]
    );
}

#[test]
fn hours() {
    // arithmetic: 09:05 to 12:32 is 207 min; 08:20 to 09:05 is 45 min; 25 min more stated.
    let compiled = visit(
        R448A,
        "0820 travel\n0905 arrive\n0930 waited 1 h 10 min for the key\n1232 depart\n1233 travel 25 min",
    );
    let time = compiled.derived.times[0];
    assert_eq!(time.on_site, Some(207));
    assert_eq!(time.travel, Some(70));
    assert_eq!(time.waiting, Some(70));
    // Past midnight: 23:10 to 01:05 is 115 min.
    let night = visit(R448A, "2310 arrive\n0105 depart");
    assert_eq!(night.derived.times[0].on_site, Some(115));
    // One end only is not recorded, never guessed.
    let open = visit(R448A, "0905 arrive");
    assert_eq!(open.derived.times[0].on_site, None);
}

#[test]
fn debts_open_and_close() {
    let compiled = visit(
        R448A,
        "0930 locked out main disconnect\n1120 lock off main disconnect\n\
         1130 left high-temperature alarm silenced\n1131 left evap fan 2 jumpered\n\
         1220 restored high-temperature alarm",
    );
    let debts: Vec<(DebtKind, &str, Option<u32>)> = compiled
        .derived
        .debts
        .iter()
        .map(|d| (d.kind, d.text.as_str(), d.closed.map(|c| c.0)))
        .collect();
    assert_eq!(
        debts,
        [
            (DebtKind::Lock, "main disconnect", Some(5)),
            (
                DebtKind::Condition,
                "high-temperature alarm silenced",
                Some(8)
            ),
            (DebtKind::Condition, "evap fan 2 jumpered", None),
        ]
    );
}

#[test]
fn what_cannot_be_derived_says_what_it_lacks() {
    let compiled = visit(R448A, "0912 suction 40 psig, liquid line 86 F");
    let because = |id: &str| {
        compiled
            .derived
            .missing
            .iter()
            .find(|m| m.formula.id == id)
            .map(|m| m.because.as_str())
    };
    assert_eq!(because("superheat"), Some("not measured: suction line"));
    assert_eq!(because("subcooling"), Some("not measured: liquid pressure"));
    assert_eq!(
        because("compression-ratio"),
        Some("not measured: discharge")
    );
    // Nothing of it was read: nobody asked for it.
    assert_eq!(because("air-split"), None);
    let unknown =
        note("unit: WIF-2\nvisit 2026-03-14 Dana R.\n0912 suction 40 psig, suction line 25 F\n");
    assert!(unknown.derived.of("superheat").next().is_none());
    assert!(
        unknown
            .derived
            .missing
            .iter()
            .any(|m| m.formula.id == "superheat" && m.because == "the refrigerant is not known")
    );
}

#[test]
fn above_the_critical_point_there_is_no_subcooling() {
    // CoolProp 8.0.0: the critical point of R-744 is 87.8 F and 1070 psia.
    let head = "unit: RK-1, supermarket case\nrefrigerant: R-744, 40 lb\n";
    let compiled = visit(head, "0914 discharge 1200 psig, liquid line 86 F");
    assert!(compiled.derived.of("subcooling").next().is_none());
    let said = compiled
        .derived
        .missing
        .iter()
        .find(|m| m.formula.id == "subcooling")
        .map(|m| m.because.as_str());
    assert!(said.is_some_and(|s| s.contains("critical")), "{said:?}");
}
