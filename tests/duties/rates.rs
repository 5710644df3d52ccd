//! Leak rates. Source of the formulas: 40 CFR 82.152, leak rate.

use super::{added, charged, day, event, kg, lb, passed, plant, repaired, us};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rimebook::duties::{self, Jurisdiction, Plant};
use rimebook::duties::{
    Appliance, Event, EventKind, Method, Rate, Verification, annualizing, share,
};
use rimebook::quantity::Mass;
use rimebook::refrigerant;

#[track_caller]
fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 5e-4, "{value} is not {expected}");
}

fn rates(charge: &str, events: &[Event]) -> Vec<Rate> {
    let plant = plant("R-448A", lb(charge), Appliance::CommercialRefrigeration);
    us(&plant, events).rates
}

#[track_caller]
fn last(charge: &str, events: &[Event]) -> Rate {
    *rates(charge, events).last().expect("a rate")
}

/// 40 CFR 82.152, the percents by arithmetic: charge, addition, days, percent.
#[test]
fn annualizing_scales_to_a_year_of_365_days_at_most() {
    for (charge, pounds, days, percent) in [
        ("200", "30", 120, 45.625),
        ("200", "30", 365, 15.000),
        ("200", "30", 400, 15.000),
        ("100", "5", 30, 60.833),
    ] {
        let rate = annualizing(lb(pounds), lb(charge), days).expect("defined");
        near(rate.percent(), percent);
    }
    // From a history: 2025-11-10 to 2026-03-10 are 120 days, 2025-02-03 to 2026-03-10 400.
    for (from, days, percent) in [("2025-11-10", 120, 45.625), ("2025-02-03", 400, 15.0)] {
        let rate = last("200", &[added(from, "1"), added("2026-03-10", "30")]);
        assert_eq!(rate.days, Some(days));
        near(rate.annualizing.expect("defined").most.percent(), percent);
    }
}

#[test]
fn no_days_and_no_charge_have_no_rate() {
    assert_eq!(annualizing(lb("5"), lb("100"), 0), None);
    assert_eq!(annualizing(lb("5"), lb("100"), -3), None);
    assert_eq!(annualizing(lb("5"), Mass::ZERO, 30), None);
    assert_eq!(share(lb("5"), Mass::ZERO), None);
    assert!(rates("0", &[added("2026-03-10", "5")]).is_empty());
}

#[test]
fn additions_of_one_day_are_one_event() {
    let events = [
        added("2026-02-08", "1"),
        added("2026-03-10", "2"),
        added("2026-03-10", "3"),
    ];
    let rates = rates("100", &events);
    assert_eq!(rates.len(), 2);
    assert_eq!(rates[1].added, lb("5"));
    // 30 days: as 5 lb at once.
    near(
        rates[1].annualizing.expect("defined").most.percent(),
        60.833,
    );
}

#[test]
fn the_first_addition_has_no_period_but_a_rolling_average() {
    let rate = last("200", &[added("2026-03-10", "30")]);
    assert_eq!((rate.days, rate.annualizing), (None, None));
    near(rate.rolling.most.percent(), 15.0);
    assert!(rate.text().contains("not known"), "{}", rate.text());
    // 15 % at once may be more than 20 % a year, but whatever the period it is more than 10 %.
    assert_eq!(rate.exceeds(20, None), None);
    assert_eq!(rate.exceeds(20, Some(Method::Rolling)), Some(false));
    assert_eq!(rate.exceeds(20, Some(Method::Annualizing)), None);
    assert_eq!(rate.exceeds(10, None), Some(true));
    assert_eq!(rate.exceeds(10, Some(Method::Annualizing)), Some(true));
}

/// 40 CFR 82.152 and 82.157: 40.0 lb of 200 lb are 20 %, which does not exceed 20 %; 40.1 lb do.
#[test]
fn twenty_percent_does_not_exceed_twenty() {
    let three = |third| {
        [
            added("2025-06-01", "12"),
            added("2025-10-01", "10"),
            added("2026-03-10", third),
        ]
    };
    let rolling = |third| last("200", &three(third)).rolling;
    near(rolling("18").most.percent(), 20.0);
    assert_eq!(rolling("18").exceeds(20), Some(false));
    assert_eq!(rolling("18").reaches(20), Some(true));
    near(rolling("18.1").most.percent(), 20.05);
    assert_eq!(rolling("18.1").exceeds(20), Some(true));
    // One part in 10^15 decides, which no floating-point percentage would show.
    assert_eq!(rolling("18.000000000001").exceeds(20), Some(true));
    // Kilograms and pounds are compared as they are: 9.0718474 kg are 20 lb.
    let share = share(kg("9.0718474"), lb("100")).expect("defined");
    assert!(share.reaches(20) && !share.exceeds(20));
}

#[test]
fn the_rolling_average_looks_back_365_days() {
    // 2025-03-10 lies 365 days before 2026-03-10, 2025-03-09 366.
    for (first, percent) in [("2025-03-10", 30.0), ("2025-03-09", 20.0)] {
        let rate = last("100", &[added(first, "10"), added("2026-03-10", "20")]);
        near(rate.rolling.most.percent(), percent);
    }
}

/// From memory: the rolling average starts anew at the last successful repair.
#[test]
fn the_rolling_average_starts_anew_at_a_verified_repair() {
    let with = |more: &[Event]| {
        let mut events = vec![added("2026-01-10", "10"), added("2026-03-10", "5")];
        events.extend(more);
        last("100", &events).rolling
    };
    near(with(&[]).most.percent(), 15.0);
    let verified = with(&[
        repaired("2026-01-20"),
        passed("2026-01-21", Verification::Initial),
    ]);
    assert_eq!(verified.least, verified.most);
    near(verified.most.percent(), 5.0);
    // Not verified: it may have failed.
    let unverified = with(&[repaired("2026-01-20")]);
    near(unverified.least.percent(), 5.0);
    near(unverified.most.percent(), 15.0);
    assert_eq!(unverified.exceeds(10), None);
    assert_eq!(unverified.exceeds(20), Some(false));
    assert_eq!(unverified.to_string(), "5.00 to 15.00 %");
    // Refrigerant put in on the day of the repair replaces what leaked before it.
    let same_day = with(&[
        repaired("2026-03-10"),
        passed("2026-03-10", Verification::Initial),
    ]);
    near(same_day.most.percent(), 15.0);
    // And so it is not counted after the repair.
    let refilled = [
        repaired("2026-01-20"),
        passed("2026-01-20", Verification::Initial),
        added("2026-01-20", "10"),
        added("2026-03-10", "5"),
    ];
    near(last("100", &refilled).rolling.most.percent(), 5.0);
    // A test after a second repair says nothing of the first.
    let twice = [
        added("2026-01-10", "10"),
        repaired("2026-01-20"),
        repaired("2026-03-10"),
        passed("2026-03-10", Verification::Initial),
        added("2026-03-10", "5"),
    ];
    let rolling = last("100", &twice).rolling;
    near(rolling.least.percent(), 5.0);
    near(rolling.most.percent(), 15.0);
}

#[test]
fn what_was_recovered_and_put_back_is_no_leak() {
    // On one day: 80 lb out, 100 lb in, 20 lb were missing.
    let day_of = [
        charged("2025-01-10"),
        event("2026-03-10", EventKind::Recovered(lb("80"))),
        added("2026-03-10", "100"),
    ];
    let rate = last("100", &day_of);
    assert_eq!(rate.added, lb("20"));
    near(rate.rolling.least.percent(), 20.0);
    near(rate.rolling.most.percent(), 20.0);
    // Over two days it may be the same refrigerant, or not.
    let two_days = [
        charged("2025-01-10"),
        event("2026-03-09", EventKind::Recovered(lb("80"))),
        added("2026-03-10", "100"),
    ];
    let rate = last("100", &two_days);
    near(rate.rolling.least.percent(), 20.0);
    near(rate.rolling.most.percent(), 100.0);
    // All put back, none added.
    let none = [
        event("2026-03-10", EventKind::Recovered(lb("80"))),
        added("2026-03-10", "80"),
    ];
    assert!(rates("100", &none).is_empty());
}

/// 40 CFR 82.157(b): no leak rate right after a new installation or a retrofit.
#[test]
fn the_charge_of_a_new_or_converted_unit_is_no_leak() {
    for start in [EventKind::InitialCharge, EventKind::Retrofit] {
        let events = [
            added("2025-12-01", "40"),
            event("2026-01-10", start),
            added("2026-01-10", "100"),
            added("2026-03-10", "5"),
        ];
        let rates = rates("100", &events);
        assert_eq!(rates.len(), 1, "{start:?}");
        assert_eq!(rates[0].date, day("2026-03-10"));
        assert_eq!(rates[0].days, Some(59));
        near(rates[0].rolling.most.percent(), 5.0);
    }
}

#[test]
fn the_order_of_events_does_not_matter() {
    let mut events = vec![
        charged("2025-01-10"),
        added("2025-06-01", "12"),
        repaired("2025-06-03"),
        passed("2025-06-03", Verification::Initial),
        added("2026-03-10", "18"),
    ];
    let forward = rates("200", &events);
    events.reverse();
    assert_eq!(rates("200", &events), forward);
    assert_eq!(forward.len(), 2);
}

fn any_event() -> impl Strategy<Value = Event> {
    let kind = prop_oneof![
        4 => (-5i32..2000).prop_map(|pounds| EventKind::Added(lb(&pounds.to_string()))),
        2 => (-5i32..2000).prop_map(|pounds| EventKind::Recovered(lb(&pounds.to_string()))),
        2 => Just(EventKind::Repair),
        2 => Just(EventKind::VerificationPassed(Verification::Initial)),
        1 => Just(EventKind::VerificationPassed(Verification::FollowUp)),
        1 => Just(EventKind::LeakInspection),
        1 => Just(EventKind::Opened),
        1 => Just(EventKind::InitialCharge),
        1 => Just(EventKind::Retrofit),
    ];
    let year = prop_oneof![8 => 2025i16..2028, 1 => Just(-9999i16), 1 => Just(9999i16)];
    let date = (year, 1i8..=12, 1i8..=28)
        .prop_map(|(year, month, day)| jiff::civil::date(year, month, day));
    (date, kind).prop_map(|(date, kind)| Event { date, kind })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_125), ..ProptestConfig::default() })]

    /// Any history of any unit, the ends of the calendar included.
    #[test]
    fn any_history_is_assessed(
        events in proptest::collection::vec(any_event(), 0..24),
        at in any::<prop::sample::Index>(),
        pounds in prop::option::of(-5i32..3000),
        states in (any::<Option<bool>>(), any::<Option<bool>>()),
    ) {
        let plant = Plant {
            refrigerant: Some(at.get(refrigerant::all())),
            charge: pounds.map(|pounds| lb(&pounds.to_string())),
            appliance: Some(Appliance::CommercialRefrigeration),
            leak_detection: states.0,
            sealed: states.1,
            method: None,
        };
        for jurisdiction in [Jurisdiction::UnitedStates, Jurisdiction::EuropeanUnion] {
            let assessment = duties::evaluate(&plant, jurisdiction, &events);
            let mut days = assessment.rates.iter().map(|rate| rate.date);
            prop_assert!(days.by_ref().is_sorted());
            for rate in &assessment.rates {
                prop_assert!(rate.added > Mass::ZERO);
                for between in [Some(rate.rolling), rate.annualizing].into_iter().flatten() {
                    prop_assert!(between.least.percent() <= between.most.percent());
                    prop_assert!(between.least.percent() >= 0.0);
                }
                // A limit not above another is exceeded where the other is.
                if rate.exceeds(30, None) == Some(true) {
                    prop_assert_eq!(rate.exceeds(10, None), Some(true));
                }
            }
            let mut turned = events.clone();
            turned.sort_by_key(|event| std::cmp::Reverse(event.date));
            prop_assert_eq!(duties::evaluate(&plant, jurisdiction, &turned), assessment);
        }
    }
}
