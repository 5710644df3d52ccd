//! United States: scope, limits, repair, tests, plan.

use super::{
    added, applies, charged, day, duties_of, duty, event, lb, passed, plant, repaired,
    says_unknown, us,
};
use rimebook::duties::{Appliance, Assessment, Event, EventKind, Method, Plant, Verification};

const RACK: Appliance = Appliance::CommercialRefrigeration;

fn scope(refrigerant: &str, pounds: &str, appliance: Appliance) -> (Option<bool>, Option<bool>) {
    let assessment = us(&plant(refrigerant, lb(pounds), appliance), &[]);
    (
        applies(&assessment, "40 CFR 82.157(a)"),
        applies(&assessment, "40 CFR 84 subpart C"),
    )
}

/// 40 CFR 82.157(a) and 84.100: both sides of what they cover, as Part 82 and Part 84.
#[test]
fn which_rules_apply() {
    const YES: Option<bool> = Some(true);
    const NO: Option<bool> = Some(false);
    for (refrigerant, pounds, by_82, by_84) in [
        ("R-448A", "15.0", NO, YES),
        ("R-448A", "14.9", NO, NO),
        ("R-744", "40", NO, NO),
        ("R-22", "60", YES, NO),
        ("R-22", "50", YES, NO),
        ("R-22", "49.9", NO, NO),
        ("R-22", "30", NO, NO),
        // Pure class I, and a blend of class I and II without a hydrofluorocarbon.
        ("R-12", "60", YES, NO),
        ("R-502", "60", YES, NO),
        ("R-409A", "60", YES, NO),
        // Both, perhaps.
        ("R-401A", "60", YES, None),
        ("R-408A", "60", YES, None),
        ("R-401A", "30", NO, None),
        ("R-401A", "14.9", NO, NO),
        // With a perfluorocarbon, whose GWP is above 53.
        ("R-403A", "60", YES, None),
        ("R-454C", "20", NO, YES),
        ("R-1234yf", "20", NO, NO),
        ("R-1234ze(E)", "200", NO, NO),
        ("R-717", "2000", NO, NO),
        // 4.3 % of R-227ea is enough to contain a hydrofluorocarbon.
        ("R-471A", "20", NO, YES),
        // No regulated hydrofluorocarbon, but a GWP above 53.
        ("R-218", "20", NO, YES),
        ("R-1132(E)", "20", NO, None),
    ] {
        assert_eq!(
            scope(refrigerant, pounds, RACK),
            (by_82, by_84),
            "{pounds} lb {refrigerant}"
        );
    }
    assert_eq!(
        scope("R-410A", "25", Appliance::LightCommercialComfort),
        (NO, NO)
    );
    assert_eq!(scope("R-410A", "25", Appliance::ComfortCooling), (NO, YES));
    let blend = us(&plant("R-401A", lb("60"), RACK), &[]);
    says_unknown(&blend, "both 40 CFR 82 subpart F and 40 CFR 84 subpart C");
}

#[test]
fn what_is_not_stated_is_not_guessed() {
    let events = [added("2026-02-10", "5"), added("2026-03-10", "50")];
    let known = plant("R-448A", lb("200"), RACK);
    assert_eq!(duties_of(&us(&known, &events), "repair the leaks").len(), 1);

    let assessment = us(
        &Plant {
            charge: None,
            ..known
        },
        &events,
    );
    says_unknown(
        &assessment,
        "the full charge is not stated: whether 40 CFR 84 subpart C applies is not known",
    );
    assert!(assessment.duties.is_empty() && assessment.rates.is_empty());
    assert_eq!(applies(&assessment, "40 CFR 84 subpart C"), None);
    // The refrigerant settles Part 82 by itself.
    assert_eq!(applies(&assessment, "40 CFR 82.157(a)"), Some(false));

    let assessment = us(
        &Plant {
            refrigerant: None,
            ..known
        },
        &events,
    );
    says_unknown(
        &assessment,
        "the refrigerant is not known: whether 40 CFR 82.157(a) applies is not known",
    );
    assert!(assessment.duties.is_empty());
    assert_eq!(assessment.rates.len(), 2);

    let assessment = us(
        &Plant {
            appliance: None,
            ..known
        },
        &events,
    );
    assert_eq!(applies(&assessment, "40 CFR 84 subpart C"), None);
    assert!(duties_of(&assessment, "repair the leaks").is_empty());

    // Part 82 applies to every kind of unit, but the limit differs.
    let old = plant("R-22", lb("200"), RACK);
    let assessment = us(
        &Plant {
            appliance: None,
            ..old
        },
        &events,
    );
    assert_eq!(applies(&assessment, "40 CFR 82.157(a)"), Some(true));
    says_unknown(&assessment, "10, 20 or 30 %");
    assert!(duties_of(&assessment, "repair the leaks").is_empty());

    // A charge of nothing is a slip.
    let empty = us(&plant("R-22", lb("0"), RACK), &events);
    assert!(empty.duties.is_empty());
    says_unknown(&empty, "the full charge is not stated");

    let nothing = us(&Plant::default(), &[]);
    assert!(nothing.duties.is_empty() && nothing.scope.is_empty());
    assert!(!nothing.unknown.is_empty());
}

/// 40 CFR 82.157(c)(2) and 84.106: 30 % industrial process, 20 % commercial, 10 % the others. At the limit
/// is not above it.
#[test]
fn limits_by_kind_of_unit() {
    for refrigerant in ["R-22", "R-448A"] {
        for (appliance, at, above) in [
            (Appliance::IndustrialProcess, "30", "30.001"),
            (RACK, "20", "20.001"),
            (Appliance::ComfortCooling, "10", "10.001"),
            (Appliance::RefrigeratedTransport, "10", "10.001"),
            (Appliance::Other, "10", "10.001"),
        ] {
            let plant = plant(refrigerant, lb("100"), appliance);
            // 400 days after the charge: both methods give the bare share.
            let events = |pounds| [charged("2025-02-03"), added("2026-03-10", pounds)];
            let name = format!("{refrigerant} {}", appliance.name());
            let at = us(&plant, &events(at));
            assert!(duties_of(&at, "repair the leaks").is_empty(), "{name}");
            assert!(at.unknown.is_empty(), "{name}: {:?}", at.unknown);
            let above = us(&plant, &events(above));
            assert_eq!(duties_of(&above, "repair the leaks").len(), 1, "{name}");
        }
    }
}

fn leaking(refrigerant: &str, appliance: Appliance, more: &[Event]) -> Assessment {
    let mut events = vec![charged("2025-11-10"), added("2026-03-10", "50")];
    events.extend(more);
    us(&plant(refrigerant, lb("200"), appliance), &events)
}

/// 40 CFR 82.157, and 84.106 alike: addition 2026-03-10, repair by 2026-04-09; initial test 2026-04-02, follow-up by
/// 2026-04-12. The plan: 30 days after the 30 (from memory).
#[test]
fn dates_of_repair_tests_and_plan() {
    for (refrigerant, part) in [("R-22", "40 CFR 82.157"), ("R-448A", "40 CFR 84.106")] {
        let open = leaking(refrigerant, RACK, &[]);
        let repair = duty(&open, "repair the leaks");
        assert_eq!((repair.due, repair.done), (Some(day("2026-04-09")), None));
        assert!(repair.rule.citation.starts_with(part));
        assert!(repair.because.contains("76.04 %"), "{}", repair.because);
        assert!(repair.because.contains("25.00 %"), "{}", repair.because);
        assert!(!repair.because.contains("120 days"));
        assert!(repair.rule.text.contains("30 days") && repair.rule.text.contains("120 days"));
        assert!(!repair.is_overdue(day("2026-04-09")));
        assert!(repair.is_overdue(day("2026-04-10")));
        let initial = duty(&open, "initial verification");
        assert_eq!((initial.due, initial.done), (Some(day("2026-04-09")), None));
        assert_eq!(duty(&open, "follow-up").due, None);
        let plan = duty(&open, "plan to retrofit or retire");
        assert_eq!(plan.due, Some(day("2026-05-09")));
        assert!(plan.what.contains("1 year"));

        let tested = leaking(
            refrigerant,
            RACK,
            &[
                repaired("2026-04-01"),
                passed("2026-04-02", Verification::Initial),
            ],
        );
        let repair = duty(&tested, "repair the leaks");
        assert_eq!(repair.done, Some(day("2026-04-01")));
        assert!(!repair.is_overdue(day("2027-01-01")));
        assert_eq!(
            duty(&tested, "initial verification").done,
            Some(day("2026-04-02"))
        );
        let follow_up = duty(&tested, "follow-up");
        assert_eq!(follow_up.due, Some(day("2026-04-12")));
        assert!(!follow_up.is_overdue(day("2026-04-12")));
        assert!(follow_up.is_overdue(day("2026-04-13")));
        assert!(follow_up.rule.text.contains("10 days"));
        assert!(duties_of(&tested, "plan").is_empty());

        let closed = leaking(
            refrigerant,
            RACK,
            &[
                repaired("2026-04-01"),
                passed("2026-04-02", Verification::Initial),
                passed("2026-04-12", Verification::FollowUp),
            ],
        );
        assert_eq!(duty(&closed, "follow-up").done, Some(day("2026-04-12")));
    }
}

#[test]
fn a_test_before_the_repair_or_of_the_other_kind_closes_nothing() {
    let early = leaking(
        "R-448A",
        RACK,
        &[
            passed("2026-03-20", Verification::Initial),
            repaired("2026-04-01"),
            passed("2026-04-03", Verification::FollowUp),
        ],
    );
    assert_eq!(duty(&early, "initial verification").done, None);
    assert_eq!(duty(&early, "follow-up").due, None);
    // A repair before the addition is not the repair of what it showed.
    let before = leaking("R-448A", RACK, &[repaired("2026-03-09")]);
    assert_eq!(duty(&before, "repair the leaks").done, None);
    // One on its day is.
    let same_day = leaking("R-448A", RACK, &[repaired("2026-03-10")]);
    assert_eq!(
        duty(&same_day, "repair the leaks").done,
        Some(day("2026-03-10"))
    );
}

#[test]
fn a_late_repair_leaves_the_plan() {
    let late = |date| {
        leaking(
            "R-448A",
            RACK,
            &[repaired(date), passed(date, Verification::Initial)],
        )
    };
    assert!(duties_of(&late("2026-04-09"), "plan").is_empty());
    assert_eq!(duties_of(&late("2026-04-10"), "plan").len(), 1);
}

#[test]
fn industrial_processes_may_have_120_days() {
    let assessment = leaking(
        "R-448A",
        Appliance::IndustrialProcess,
        &[added("2026-03-20", "20")],
    );
    let repair = duty(&assessment, "repair the leaks");
    assert!(repair.because.contains("120 days"), "{}", repair.because);
}

#[test]
fn one_exceedance_until_the_repair_and_another_after_it() {
    let again = leaking("R-448A", RACK, &[added("2026-03-20", "20")]);
    assert_eq!(
        duty(&again, "repair the leaks").due,
        Some(day("2026-04-09"))
    );
    let refilled = leaking(
        "R-448A",
        RACK,
        &[repaired("2026-04-01"), added("2026-04-01", "20")],
    );
    assert_eq!(duties_of(&refilled, "repair the leaks").len(), 1);
    let broken_again = leaking(
        "R-448A",
        RACK,
        &[
            repaired("2026-04-01"),
            passed("2026-04-01", Verification::Initial),
            added("2026-07-01", "45"),
        ],
    );
    let repairs = duties_of(&broken_again, "repair the leaks");
    assert_eq!(repairs.len(), 2);
    assert_eq!(repairs[1].due, Some(day("2026-07-31")));
    assert_eq!(repairs[1].done, None);
    // After a conversion nothing of the old charge is left to repair.
    let converted = leaking("R-448A", RACK, &[event("2026-04-20", EventKind::Retrofit)]);
    assert!(duties_of(&converted, "repair the leaks").is_empty());
    assert!(duties_of(&converted, "verification").is_empty());
}

/// A unit under each rule only from the day its text here is in force.
#[test]
fn additions_before_the_rule_are_not_judged() {
    for (refrigerant, charged_on, before, from) in [
        ("R-448A", "2025-06-01", "2025-12-31", "2026-01-01"),
        ("R-22", "2019-06-01", "2020-04-09", "2020-04-10"),
    ] {
        let plant = plant(refrigerant, lb("100"), RACK);
        let on = |date| us(&plant, &[charged(charged_on), added(date, "50")]);
        assert!(duties_of(&on(before), "repair the leaks").is_empty());
        assert_eq!(duties_of(&on(from), "repair the leaks").len(), 1);
        let scope = on(from).scope;
        assert!(
            scope
                .iter()
                .any(|scope| scope.because.contains(&format!("from {from} on"))),
            "{scope:?}"
        );
    }
}

/// Where the methods disagree, the one in use decides; not knowing it is said.
#[test]
fn the_method_in_use_decides() {
    let with = |method| {
        let plant = Plant {
            method,
            ..plant("R-448A", lb("200"), RACK)
        };
        // 120 days: 45.6 % by annualizing, 15 % by the rolling average.
        us(&plant, &[charged("2025-11-10"), added("2026-03-10", "30")])
    };
    assert_eq!(
        duties_of(&with(Some(Method::Annualizing)), "repair the leaks").len(),
        1
    );
    let rolling = with(Some(Method::Rolling));
    assert!(duties_of(&rolling, "repair the leaks").is_empty());
    assert!(rolling.unknown.is_empty());
    let either = with(None);
    assert!(duties_of(&either, "repair the leaks").is_empty());
    says_unknown(&either, "45.63 %");
    says_unknown(&either, "which method the facility uses is not stated");
}
