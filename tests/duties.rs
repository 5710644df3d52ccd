//! Leak rates and duties against worked numbers, both sides of every limit.
//!
//! "Arithmetic" is worked from the formula or the table cited beside it. What a rule says from
//! memory is marked so in its own row of `rimebook::duties`.

mod eu;
mod evacuation;
mod rates;
mod us;
mod us_recurring;

use jiff::civil::{Date, date};
use rimebook::duties::{
    self, Appliance, Assessment, Duty, Event, EventKind, Jurisdiction, Known, Plant, Verification,
};
use rimebook::quantity::{Mass, Number};
use rimebook::refrigerant::lookup;

fn mass(text: &str, picogram_per_unit: i128) -> Mass {
    let number = Number::parse(text).unwrap_or_else(|| panic!("`{text}` is a number"));
    Mass::from_number(number, picogram_per_unit)
}

fn lb(text: &str) -> Mass {
    mass(text, Mass::PICOGRAM_PER_POUND)
}

fn kg(text: &str) -> Mass {
    mass(text, 1000 * Mass::PICOGRAM_PER_GRAM)
}

fn day(text: &str) -> Date {
    text.parse()
        .unwrap_or_else(|_| panic!("`{text}` is a date"))
}

/// A plant of which everything asked is known: no leak detection, not sealed.
fn plant(refrigerant: &str, charge: Mass, appliance: Appliance) -> Plant {
    Plant {
        refrigerant: Some(
            lookup(refrigerant).unwrap_or_else(|| panic!("{refrigerant} is carried")),
        ),
        charge: Some(charge),
        appliance: Some(appliance),
        leak_detection: Some(false),
        sealed: Some(false),
        method: None,
    }
}

fn event(date: &str, kind: EventKind) -> Event {
    Event {
        date: day(date),
        kind,
    }
}

fn added(date: &str, pounds: &str) -> Event {
    event(date, EventKind::Added(lb(pounds)))
}

fn charged(date: &str) -> Event {
    event(date, EventKind::InitialCharge)
}

fn repaired(date: &str) -> Event {
    event(date, EventKind::Repair)
}

fn passed(date: &str, which: Verification) -> Event {
    event(date, EventKind::VerificationPassed(which))
}

fn us(plant: &Plant, events: &[Event]) -> Assessment {
    duties::evaluate(plant, Jurisdiction::UnitedStates, events)
}

fn eu(plant: &Plant, events: &[Event]) -> Assessment {
    duties::evaluate(plant, Jurisdiction::EuropeanUnion, events)
}

/// The duties of which `what` holds the words.
fn duties_of<'a>(assessment: &'a Assessment, words: &str) -> Vec<&'a Duty> {
    let duties = assessment.duties.iter();
    duties.filter(|duty| duty.what.contains(words)).collect()
}

#[track_caller]
fn duty<'a>(assessment: &'a Assessment, words: &str) -> &'a Duty {
    match duties_of(assessment, words).as_slice() {
        [only] => only,
        several => panic!("{} duties to {words}: {assessment:#?}", several.len()),
    }
}

/// Whether a rule applies; `None` where that is not known, and then it is said why.
#[track_caller]
fn applies(assessment: &Assessment, citation: &str) -> Option<bool> {
    let mut scope = assessment.scope.iter();
    let decided = scope.find(|scope| scope.rule.citation.starts_with(citation));
    if decided.is_none() {
        assert!(
            assessment
                .unknown
                .iter()
                .any(|unknown| unknown.rule.citation.starts_with(citation)),
            "{citation}: neither decided nor said to be unknown"
        );
    }
    decided.map(|scope| scope.applies)
}

#[track_caller]
fn says_unknown(assessment: &Assessment, words: &str) {
    let mut unknown = assessment.unknown.iter();
    assert!(
        unknown.any(|unknown| unknown.text.contains(words)),
        "`{words}` is not in {:#?}",
        assessment.unknown
    );
}

#[test]
fn names_are_recognised() {
    for (text, meant) in [
        ("US", Some(Jurisdiction::UnitedStates)),
        ("U.S.A.", Some(Jurisdiction::UnitedStates)),
        (" united  States ", Some(Jurisdiction::UnitedStates)),
        ("eu", Some(Jurisdiction::EuropeanUnion)),
        ("European Union", Some(Jurisdiction::EuropeanUnion)),
        ("EPA", None),
        ("Europe", None),
        ("", None),
    ] {
        assert_eq!(Jurisdiction::recognise(text), meant, "{text}");
    }
    for (text, meant) in [
        (
            "Commercial refrigeration",
            Some(Appliance::CommercialRefrigeration),
        ),
        (
            "cold-storage warehouse",
            Some(Appliance::CommercialRefrigeration),
        ),
        (
            "industrial process refrigeration",
            Some(Appliance::IndustrialProcess),
        ),
        ("comfort cooling", Some(Appliance::ComfortCooling)),
        (
            "light commercial comfort cooling",
            Some(Appliance::LightCommercialComfort),
        ),
        (
            "refrigerated transport",
            Some(Appliance::RefrigeratedTransport),
        ),
        ("other", Some(Appliance::Other)),
        // Cools a process or people: which of the two the word does not say.
        ("chiller", None),
    ] {
        assert_eq!(Appliance::recognise(text), meant, "{text}");
    }
    for spelling in Jurisdiction::spellings() {
        assert!(Jurisdiction::recognise(spelling).is_some(), "{spelling}");
    }
    for spelling in Appliance::spellings() {
        let appliance = Appliance::recognise(spelling).expect("accepted");
        assert_eq!(
            Appliance::recognise(appliance.name()),
            Some(appliance),
            "{spelling}"
        );
    }
}

/// Everything said about many plants: no claim that a duty is met, a source beside each.
#[test]
fn nothing_is_said_to_comply() {
    let refrigerants = [
        None,
        lookup("R-22"),
        lookup("R-401A"),
        lookup("R-448A"),
        lookup("R-454C"),
        lookup("R-744"),
        lookup("R-1234yf"),
        lookup("R-290"),
        lookup("R-466A"),
    ];
    let events = [
        charged("2019-05-01"),
        event("2026-01-05", EventKind::Recovered(lb("5"))),
        added("2026-03-10", "30"),
        event("2026-04-01", EventKind::Opened),
        repaired("2026-04-01"),
        added("2026-06-01", "700"),
    ];
    let mut said = 0;
    for refrigerant in refrigerants {
        for charge in [None, Some(lb("3")), Some(lb("40")), Some(lb("2000"))] {
            for appliance in [None, Some(Appliance::CommercialRefrigeration)] {
                for known in [None, Some(true), Some(false)] {
                    for jurisdiction in [Jurisdiction::UnitedStates, Jurisdiction::EuropeanUnion] {
                        let plant = Plant {
                            refrigerant,
                            charge,
                            appliance,
                            leak_detection: known,
                            sealed: known,
                            method: None,
                        };
                        let assessment = duties::evaluate(&plant, jurisdiction, &events);
                        assert_eq!(assessment.caution, duties::CAUTION);
                        said += check_texts(&assessment);
                    }
                }
            }
        }
    }
    assert!(said > 1000, "{said} texts");
    assert!(duties::CAUTION.contains("current text") && duties::CAUTION.contains("authority"));
}

fn check_texts(assessment: &Assessment) -> usize {
    let duties = assessment.duties.iter();
    let mut texts: Vec<(&str, &duties::RuleText)> = duties
        .flat_map(|duty| [(duty.what.as_str(), duty.rule), (&duty.because, duty.rule)])
        .collect();
    texts.extend(assessment.unknown.iter().map(|u| (u.text.as_str(), u.rule)));
    texts.extend(
        assessment
            .scope
            .iter()
            .map(|s| (s.because.as_str(), s.rule)),
    );
    for (text, rule) in &texts {
        for said in [*text, rule.text] {
            for word in ["compl", "certif", "legal", "lawful", "allowed", "safe"] {
                assert!(!said.to_lowercase().contains(word), "`{word}` in: {said}");
            }
            assert!(!said.is_empty());
        }
        assert!(
            rule.citation.contains("CFR") || rule.citation.contains("2024/573"),
            "{rule:?}"
        );
        assert_eq!(rule.as_of, date(2026, 11, 25));
        assert!(matches!(
            rule.known,
            Known::Read | Known::ParagraphFromMemory | Known::FromMemory
        ));
    }
    texts.len()
}
