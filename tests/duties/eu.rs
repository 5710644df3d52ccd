//! European Union: Regulation (EU) 2024/573, from memory where its rows say so.

use super::{
    applies, charged, day, duties_of, duty, eu, event, kg, lb, passed, plant, repaired,
    says_unknown,
};
use rimebook::duties::{Appliance, Assessment, EventKind, Plant, Verification, co2_equivalent};
use rimebook::quantity::Mass;
use rimebook::refrigerant::lookup;

const RACK: Appliance = Appliance::CommercialRefrigeration;
const SCOPE: &str = "Regulation (EU) 2024/573 Article 5(1)";

/// Months between leak checks; `None` where none are due.
#[track_caller]
fn months(plant: &Plant) -> Option<i32> {
    let assessment = eu(plant, &[charged("2026-01-31")]);
    let checks = duties_of(&assessment, "for leaks at least every");
    let applies = applies(&assessment, SCOPE).expect("decided");
    assert_eq!(applies, !checks.is_empty());
    checks.first().map(|duty| {
        let text = duty.what.rsplit("every ").next().expect("an interval");
        let number = text.split(' ').next().expect("a number");
        number.parse().expect("a number")
    })
}

fn interval(refrigerant: &str, charge: Mass) -> Option<i32> {
    months(&plant(refrigerant, charge, RACK))
}

/// Kilograms times GWP (IPCC AR4), and the interval of (EU) 2024/573, Article 5, from memory.
#[test]
fn tonnes_of_carbon_dioxide() {
    for (refrigerant, charge, tonnes, every) in [
        ("R-404A", kg("12.0"), 47.064, Some(12)),
        ("R-404A", kg("13.0"), 50.986, Some(6)),
        ("R-404A", kg("128"), 502.016, Some(3)),
        ("R-32", kg("3.0"), 2.025, None),
    ] {
        let gwp = lookup(refrigerant).and_then(|r| r.gwp.eu).expect("known");
        let found = co2_equivalent(charge, gwp).tonne();
        assert!((found - tonnes).abs() < 5e-4, "{refrigerant}: {found}");
        assert_eq!(
            interval(refrigerant, charge),
            every,
            "{refrigerant} {tonnes} t"
        );
    }
    // 25 lb are 11.340 kg: 15.73 t on GWP 1387 of IPCC AR4; the regulation's own comes to 1386.
    assert!((co2_equivalent(lb("25"), 1387.0).tonne() - 15.73).abs() < 5e-3);
    assert_eq!(interval("R-448A", lb("25")), Some(12));
    let large = eu(&plant("R-404A", kg("128"), RACK), &[]);
    assert_eq!(duty(&large, "install a leak detection system").due, None);
}

/// Arithmetic: kilograms for 5, 50 and 500 t CO2e, with HFO components at 4 and 7 (IPCC AR4).
#[test]
fn kilograms_for_5_50_and_500_tonnes() {
    let table: &[(&str, f64, f64, f64)] = &[
        ("R-22", 2.76, 27.6, 276.0),
        ("R-134a", 3.5, 35.0, 350.0),
        ("R-404A", 1.27, 12.7, 127.0),
        ("R-407A", 2.37, 23.7, 237.0),
        ("R-407C", 2.82, 28.2, 282.0),
        ("R-407F", 2.74, 27.4, 274.0),
        ("R-407H", 3.34, 33.4, 334.0),
        ("R-410A", 2.4, 24.0, 240.0),
        ("R-448A", 3.6, 36.0, 360.0),
        ("R-449A", 3.58, 35.8, 358.0),
        ("R-450A", 8.27, 82.7, 827.0),
        ("R-452A", 2.34, 23.4, 234.0),
        ("R-452B", 7.16, 71.6, 716.0),
        ("R-454A", 20.9, 209.0, 2090.0),
        ("R-454B", 10.7, 107.0, 1070.0),
        ("R-454C", 33.7, 337.0, 3370.0),
        ("R-455A", 33.7, 337.0, 3370.0),
        ("R-507A", 1.25, 12.5, 125.0),
        ("R-513A", 7.92, 79.2, 792.0),
        ("R-515B", 17.1, 171.0, 1710.0),
        ("R-32", 7.41, 74.1, 741.0),
        ("R-23", 0.338, 3.38, 33.8),
        ("R-508B", 0.373, 3.73, 37.3),
        ("R-123", 64.9, 649.0, 6490.0),
        ("R-11", 1.05, 10.5, 105.0),
        ("R-12", 0.459, 4.59, 45.9),
        ("R-502", 1.07, 10.7, 107.0),
        ("R-401A", 4.23, 42.3, 423.0),
        ("R-402A", 1.79, 17.9, 179.0),
        ("R-408A", 1.59, 15.9, 159.0),
        ("R-409A", 3.16, 31.6, 316.0),
        ("R-417A", 2.13, 21.3, 213.0),
        ("R-422A", 1.59, 15.9, 159.0),
        ("R-422D", 1.83, 18.3, 183.0),
        ("R-427A", 2.34, 23.4, 234.0),
        ("R-438A", 2.21, 22.1, 221.0),
        ("R-466A", 6.82, 68.2, 682.0),
        ("R-471A", 34.0, 340.0, 3400.0),
    ];
    for &(refrigerant, five, fifty, five_hundred) in table {
        let gwp = lookup(refrigerant).and_then(|r| r.gwp.ar4).expect("known");
        for (kilograms, tonnes) in [(five, 5), (fifty, 50), (five_hundred, 500)] {
            // The table prints three figures, and is worked with a GWP not rounded to whole ones.
            let digit = 10f64.powi(kilograms.log10().floor() as i32 - 2);
            let within = 0.501 * digit + kilograms * 0.5 / gwp;
            let mass = |value: f64| kg(&format!("{value:.6}"));
            let (below, above) = (kilograms - within, kilograms + within);
            assert!(
                !co2_equivalent(mass(below), gwp).reaches(tonnes),
                "{below} kg {refrigerant}, {tonnes} t"
            );
            assert!(
                co2_equivalent(mass(above), gwp).reaches(tonnes),
                "{above} kg {refrigerant}, {tonnes} t"
            );
        }
    }
}

/// (EU) 2024/573, Article 5, from memory: at a limit the shorter interval holds. R-134a, GWP 1430: 5, 50 and 500 t are
/// 3.496503..., 34.96503... and 349.6503... kg.
#[test]
fn intervals_on_both_sides_of_every_limit() {
    for (charge, without) in [
        ("3.496503", None),
        ("3.496504", Some(12)),
        ("34.965034", Some(12)),
        ("34.965035", Some(6)),
        ("349.650349", Some(6)),
        ("349.650350", Some(3)),
    ] {
        let open = plant("R-134a", kg(charge), RACK);
        assert_eq!(months(&open), without, "{charge} kg");
        let watched = Plant {
            leak_detection: Some(true),
            ..open
        };
        assert_eq!(months(&watched), without.map(|m| 2 * m), "{charge} kg");
    }
    // Exactly 5 t, which floats would miss: 4 kg of GWP 1250.
    assert!(co2_equivalent(kg("4"), 1250.0).reaches(5));
    assert!(!co2_equivalent(kg("3.999999999999"), 1250.0).reaches(5));
    // Annex II section 1 by mass.
    for (charge, without) in [
        ("0.999", None),
        ("1", Some(12)),
        ("9.999", Some(12)),
        ("10", Some(6)),
        ("99.999", Some(6)),
        ("100", Some(3)),
    ] {
        for refrigerant in ["R-1234yf", "R-1234ze(E)", "R-1336mzz(Z)"] {
            assert_eq!(
                interval(refrigerant, kg(charge)),
                without,
                "{charge} kg {refrigerant}"
            );
        }
    }
}

/// Sealed and labelled: exempt below 10 t, or 2 kg of Annex II section 1. From memory.
#[test]
fn sealed_equipment() {
    for (refrigerant, charge, exempt) in [
        ("R-134a", "6.993006", true),
        ("R-134a", "6.993007", false),
        ("R-1234yf", "1.999", true),
        ("R-1234yf", "2", false),
    ] {
        let with = |sealed| Plant {
            sealed,
            ..plant(refrigerant, kg(charge), RACK)
        };
        assert_eq!(months(&with(Some(true))).is_none(), exempt, "{charge} kg");
        assert_eq!(months(&with(Some(false))), Some(12));
        let unstated = eu(&with(None), &[]);
        assert_eq!(applies(&unstated, SCOPE), (!exempt).then_some(true));
        if exempt {
            assert!(unstated.duties.is_empty());
            says_unknown(&unstated, "hermetically sealed");
        }
    }
}

#[test]
fn the_next_leak_check() {
    // 13 kg R-404A: every 6 months.
    let plant = plant("R-404A", kg("13"), RACK);
    let check = |events: &[_]| -> Assessment { eu(&plant, events) };
    let due = |assessment: &Assessment| duty(assessment, "at least every 6 months").due;
    let inspected = |date| event(date, EventKind::LeakInspection);
    let last = check(&[
        charged("2026-01-10"),
        inspected("2026-08-31"),
        inspected("2026-03-01"),
    ]);
    // Six months after 31 August: the last day of February.
    assert_eq!(due(&last), Some(day("2027-02-28")));
    assert!(duty(&last, "at least every 6 months").is_overdue(day("2027-03-01")));
    assert_eq!(
        due(&check(&[charged("2026-01-10")])),
        Some(day("2026-07-10"))
    );
    // Nothing to count from: the interval is known, the day is not.
    let bare = check(&[]);
    assert_eq!(due(&bare), None);
    assert!(
        duty(&bare, "at least every 6 months")
            .because
            .contains("no leak check is on record")
    );

    let unstated = Plant {
        leak_detection: None,
        ..plant
    };
    let assessment = eu(&unstated, &[charged("2026-01-10")]);
    assert!(duties_of(&assessment, "at least every").is_empty());
    says_unknown(&assessment, "every 6 or every 12 months");
}

/// (EU) 2024/573, from memory: within a month of a repair, after 24 hours of operation.
#[test]
fn a_repair_is_checked_within_a_month() {
    let with = |more: &[_]| {
        let mut events = vec![repaired("2026-01-31")];
        events.extend(more);
        let assessment = eu(&plant("R-404A", kg("13"), RACK), &events);
        let recheck = duty(&assessment, "repaired leak").clone();
        assert!(recheck.what.contains("24 hours"));
        (recheck.due, recheck.done)
    };
    let due = Some(day("2026-02-28"));
    assert_eq!(with(&[]), (due, None));
    // The unit cannot have run 24 hours since.
    assert_eq!(
        with(&[passed("2026-01-31", Verification::Initial)]),
        (due, None)
    );
    for check in [
        passed("2026-02-02", Verification::FollowUp),
        event("2026-02-02", EventKind::LeakInspection),
    ] {
        assert_eq!(with(&[check]), (due, Some(day("2026-02-02"))));
    }
    // No leak checks, no re-check.
    let small = eu(&plant("R-32", kg("3"), RACK), &[repaired("2026-01-31")]);
    assert!(small.duties.is_empty());
}

/// From 500 t, or 100 kg of Annex II section 1 (from memory): a detection system, checked yearly.
#[test]
fn detection_systems() {
    let with = |refrigerant: &str, charge: &str, leak_detection| {
        let plant = Plant {
            leak_detection,
            ..plant(refrigerant, kg(charge), RACK)
        };
        let assessment = eu(&plant, &[]);
        let duties = duties_of(&assessment, "leak detection system");
        duties.first().map(|duty| duty.what.clone())
    };
    for (refrigerant, under, at) in [("R-404A", "127.4", "127.5"), ("R-1234yf", "99.9", "100")] {
        assert_eq!(with(refrigerant, under, Some(false)), None);
        let install = with(refrigerant, at, Some(false)).expect("a duty");
        assert!(install.starts_with("install"), "{install}");
        let yearly = with(refrigerant, at, Some(true)).expect("a duty");
        assert!(yearly.ends_with("every 12 months"), "{yearly}");
        assert_eq!(with(refrigerant, at, None), None);
    }
    let unstated = Plant {
        leak_detection: None,
        ..plant("R-404A", kg("128"), RACK)
    };
    says_unknown(
        &eu(&unstated, &[]),
        "whether one must be installed is not known",
    );
}

#[test]
fn other_gases_and_what_is_not_known() {
    let decided = |plant: &Plant| applies(&eu(plant, &[]), SCOPE);
    for refrigerant in ["R-290", "R-744", "R-717"] {
        let large = plant(refrigerant, kg("5000"), RACK);
        assert_eq!(decided(&large), Some(false), "{refrigerant}");
    }
    let ozone = eu(&plant("R-22", kg("30"), RACK), &[]);
    assert_eq!(applies(&ozone, SCOPE), None);
    says_unknown(&ozone, "2024/590");
    assert!(ozone.duties.is_empty());
    says_unknown(&eu(&plant("R-466A", kg("30"), RACK), &[]), "GWP of R-466A");

    let known = plant("R-404A", kg("13"), RACK);
    for missing in [
        Plant {
            refrigerant: None,
            ..known
        },
        Plant {
            charge: None,
            ..known
        },
        Plant {
            appliance: None,
            ..known
        },
        Plant {
            appliance: Some(Appliance::RefrigeratedTransport),
            ..known
        },
        Plant {
            appliance: Some(Appliance::Other),
            ..known
        },
    ] {
        let assessment = eu(&missing, &[repaired("2026-01-31")]);
        assert_eq!(applies(&assessment, SCOPE), None, "{missing:?}");
        assert!(assessment.duties.is_empty(), "{missing:?}");
    }
    assert!(duties_of(&eu(&known, &[]), "report").is_empty());
}

/// A blend of both annexes: by t CO2e; what its unsaturated part asks by mass is left open.
#[test]
fn blends_of_both_annexes() {
    // 20 kg R-454C: 2.920 t, and 15.7 kg of R-1234yf.
    let small = eu(&plant("R-454C", kg("20"), RACK), &[]);
    assert_eq!(applies(&small, SCOPE), None);
    says_unknown(&small, "15.700 kg of Annex II section 1");
    // 40 kg R-454C: 5.840 t, every 12 months; 31.4 kg by mass would be every 6.
    let larger = eu(&plant("R-454C", kg("40"), RACK), &[]);
    assert_eq!(applies(&larger, SCOPE), Some(true));
    duty(&larger, "at least every 12 months");
    says_unknown(&larger, "every 6 months in place of 12");
    // Sealed, and under 10 t, but not under 2 kg.
    let sealed = Plant {
        sealed: Some(true),
        ..plant("R-454C", kg("40"), RACK)
    };
    let sealed = eu(&sealed, &[]);
    assert_eq!(applies(&sealed, SCOPE), None);
    says_unknown(&sealed, "hermetically sealed");
    // 128 kg: 18.7 t, and 100.5 kg.
    let large = eu(&plant("R-454C", kg("128"), RACK), &[]);
    assert!(duties_of(&large, "leak detection system").is_empty());
    says_unknown(&large, "whether they ask for a leak detection system");
    // 12 kg R-448A: 16.6 t; 3.24 kg by mass would be no sooner.
    assert!(eu(&plant("R-448A", kg("12"), RACK), &[]).unknown.is_empty());
}
