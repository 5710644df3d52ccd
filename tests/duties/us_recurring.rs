//! United States: inspections, report, records, leak detection.

use super::{
    added, charged, day, duties_of, duty, event, lb, passed, plant, repaired, says_unknown, us,
};
use rimebook::duties::{Appliance, Event, EventKind, Known, Plant, Verification};
use rimebook::refrigerant::lookup;

const RACK: Appliance = Appliance::CommercialRefrigeration;

/// 500 lb: every 3 months; below, and comfort cooling, every year; not under leak detection. From
/// memory.
#[test]
fn leak_inspections_after_an_exceedance() {
    for refrigerant in ["R-22", "R-448A"] {
        for (pounds, appliance, due, every) in [
            ("500", RACK, "2026-06-10", "every 3 months"),
            (
                "500",
                Appliance::IndustrialProcess,
                "2026-06-10",
                "every 3 months",
            ),
            ("499.9", RACK, "2027-03-10", "every 12 months"),
            (
                "500",
                Appliance::ComfortCooling,
                "2027-03-10",
                "every 12 months",
            ),
        ] {
            let plant = plant(refrigerant, lb(pounds), appliance);
            let events = [charged("2026-01-02"), added("2026-03-10", "200")];
            let assessment = us(&plant, &events);
            let inspection = duty(&assessment, "inspect the unit");
            assert_eq!(inspection.due, Some(day(due)), "{pounds} {appliance:?}");
            assert!(inspection.what.ends_with(every), "{}", inspection.what);
            assert_eq!(inspection.rule.known, Known::FromMemory);

            let watched = Plant {
                leak_detection: Some(true),
                ..plant
            };
            assert!(duties_of(&us(&watched, &events), "inspect").is_empty());
            let unstated = Plant {
                leak_detection: None,
                ..plant
            };
            let assessment = us(&unstated, &events);
            assert!(duties_of(&assessment, "inspect").is_empty());
            says_unknown(&assessment, "automatic leak detection covers the unit");
        }
    }
    let large = plant("R-448A", lb("500"), RACK);
    let with = |more: &[Event]| {
        let mut events = vec![charged("2026-01-02"), added("2026-03-10", "200")];
        events.extend(more);
        let assessment = us(&large, &events);
        let inspection = duty(&assessment, "inspect the unit");
        (inspection.due, inspection.done)
    };
    let inspected = |date| event(date, EventKind::LeakInspection);
    assert_eq!(
        with(&[inspected("2026-06-01")]),
        (Some(day("2026-09-01")), None)
    );
    // A year without another addition above the limit ends them.
    assert_eq!(
        with(&[inspected("2026-06-01"), inspected("2027-03-10")]).1,
        Some(day("2027-03-10"))
    );
    let leak = added("2026-09-01", "150");
    assert_eq!(with(&[inspected("2027-03-10"), leak]).1, None);
    // Nor does one of which it cannot be told: 5 lb in 5 days after a repair.
    let again = [
        repaired("2026-03-11"),
        passed("2026-03-11", Verification::Initial),
        added("2026-03-15", "5"),
    ];
    let with_again = |date| {
        let mut more = again.to_vec();
        more.push(inspected(date));
        with(&more).1
    };
    assert_eq!(with_again("2027-03-14"), None);
    assert_eq!(with_again("2027-03-15"), Some(day("2027-03-15")));
    // No exceedance, no inspections.
    let tight = us(&large, &[charged("2026-01-02"), added("2026-03-10", "1")]);
    assert!(duties_of(&tight, "inspect").is_empty());
}

/// 40 CFR 82.157: 80 lb with 101 lb added are 126.25 %, with 100 lb 125.0 %: reported, by 1 March.
#[test]
fn losses_of_125_percent_in_a_calendar_year_are_reported() {
    for refrigerant in ["R-22", "R-448A"] {
        let plant = plant(refrigerant, lb("80"), RACK);
        let year = |last| {
            us(
                &plant,
                &[
                    added("2025-12-31", "20"),
                    added("2026-01-01", "50"),
                    added("2026-12-31", last),
                ],
            )
        };
        for (last, percent) in [("51", "126.25 %"), ("50", "125.00 %")] {
            let assessment = year(last);
            let report = duty(&assessment, "report the losses of 2026");
            assert_eq!(report.due, Some(day("2027-03-01")));
            assert!(report.because.contains(percent), "{}", report.because);
            assert!(report.rule.text.contains("125 %"));
        }
        assert!(duties_of(&year("49.999"), "report").is_empty());
    }
    // Recovered the day before: it may have been the same refrigerant.
    let assessment = us(
        &plant("R-448A", lb("80"), RACK),
        &[
            event("2026-05-01", EventKind::Recovered(lb("60"))),
            added("2026-05-02", "101"),
        ],
    );
    assert!(duties_of(&assessment, "report").is_empty());
    says_unknown(&assessment, "whether it is 125 % or more is not known");
}

#[test]
fn records_are_kept_three_years() {
    for refrigerant in ["R-22", "R-448A"] {
        let assessment = us(&plant(refrigerant, lb("60"), RACK), &[]);
        let records = duty(&assessment, "records");
        assert!(records.what.contains("3 years") && records.rule.text.contains("3 years"));
        assert_eq!(records.due, None);
    }
    let small = us(&plant("R-448A", lb("14.9"), RACK), &[]);
    assert!(duties_of(&small, "records").is_empty());
}

/// 40 CFR 84.108, from memory: 1500 lb, by the day of installation.
#[test]
fn large_racks_have_automatic_leak_detection() {
    let due = |pounds: &str, appliance, installed: &str| {
        let assessment = us(
            &plant("R-448A", lb(pounds), appliance),
            &[charged(installed)],
        );
        let duties = duties_of(&assessment, "install automatic leak detection");
        duties.first().map(|duty| duty.due.expect("a day"))
    };
    for appliance in [RACK, Appliance::IndustrialProcess] {
        assert_eq!(
            due("1500", appliance, "2026-01-01"),
            Some(day("2026-01-31"))
        );
        assert_eq!(
            due("1500", appliance, "2025-12-31"),
            Some(day("2027-01-01"))
        );
        assert_eq!(
            due("1500", appliance, "2017-01-01"),
            Some(day("2027-01-01"))
        );
        assert_eq!(due("1500", appliance, "2016-12-31"), None);
        assert_eq!(due("1499.9", appliance, "2026-01-01"), None);
    }
    assert_eq!(due("1500", Appliance::ComfortCooling, "2026-01-01"), None);

    let large = plant("R-448A", lb("1500"), RACK);
    let ammonia = Plant {
        refrigerant: lookup("R-717"),
        ..large
    };
    assert!(duties_of(&us(&ammonia, &[charged("2026-01-01")]), "install").is_empty());
    says_unknown(
        &us(&large, &[]),
        "the day of installation is not stated: whether 40 CFR 84.108 applies is not known",
    );
    let unstated = Plant {
        leak_detection: None,
        ..large
    };
    let assessment = us(&unstated, &[charged("2026-01-01")]);
    assert!(duties_of(&assessment, "install").is_empty());
    says_unknown(&assessment, "whether it must be installed is not known");
    let detected = Plant {
        leak_detection: Some(true),
        ..large
    };
    let assessment = us(&detected, &[charged("2026-01-01")]);
    assert!(duties_of(&assessment, "install").is_empty());
    let mut scope = assessment.scope.iter();
    let rule = scope
        .find(|scope| scope.rule.citation == "40 CFR 84.108")
        .expect("decided")
        .rule;
    for words in ["1500 lb", "100 ppm", "50 lb or 10 %"] {
        assert!(rule.text.contains(words), "{words}");
    }
}
