//! What must never be read by luck: ranges, halves of a weight, signs, circuits, locks, private words.
//!
//! Each of these was once read as something else without a word.

use crate::support::note;
use rimebook::binder::{Beside, text as report};
use rimebook::compile::Compiled;
use rimebook::render::Format;
use rimebook::view::Audience;
use rimebook::world::MemoryWorld;

fn visit(lines: &str) -> Compiled {
    note(&format!(
        "unit: X-1, walk-in cooler\nrefrigerant: R-410A, 12 lb\nvisit 2026-05-01 Ana\n{lines}\n"
    ))
}

fn codes(compiled: &Compiled) -> Vec<&'static str> {
    compiled.report().iter().map(|d| d.code.id).collect()
}

fn customer(compiled: &Compiled) -> String {
    report(
        compiled,
        Audience::Customer,
        Format::Markdown,
        &MemoryWorld::default(),
        &Beside::default(),
    )
    .expect("an embedded template renders")
}

#[test]
fn a_range_a_loose_sign_or_half_a_weight_is_asked_about() {
    for (line, code) in [
        ("0900 box 12-14 F", "RB109"),
        ("0900 box 38 42 F", "RB109"),
        ("0900 box - 4 C", "RB114"),
        ("0900 recovered 19 lb 6 R-410A into C-1", "RB222"),
        ("0900 added 2 of 3 kg from C-1", "RB222"),
        ("0900 added 3-4 lb from C-1", "RB222"),
        ("0900 hold nitrogen from 20 to 19 bar", "RB220"),
        ("0900 vacuum 900 down to 350 micron", "RB220"),
    ] {
        let compiled = visit(line);
        assert!(
            codes(&compiled).contains(&code),
            "{line}: {:?}",
            codes(&compiled)
        );
        assert_eq!(compiled.job.readings().count(), 0, "{line}");
        assert!(compiled.derived.books.movements.is_empty(), "{line}");
    }
}

#[test]
fn oil_and_nitrogen_are_not_booked_as_refrigerant() {
    for line in [
        "0900 added 8 oz. oil",
        "0900 recovered 2 kg oil into C-1",
        "0900 added 2 lb nitrogen",
    ] {
        assert!(visit(line).derived.books.movements.is_empty(), "{line}");
    }
}

#[test]
fn a_cylinder_is_found_behind_a_circuit_and_is_one_however_it_is_written() {
    let compiled = visit(
        "0900 added 1 lb to circuit B from C-120\n0901 added 1 lb from c 120\n0902 added 1 lb from C120",
    );
    let cylinders = compiled.derived.books.cylinders();
    assert_eq!(cylinders.len(), 1);
    assert_eq!(cylinders[0].taken.pounds_ounces(), "3 lb");
}

#[test]
fn a_lock_or_a_part_with_another_number_stays_open() {
    let locks = visit("0900 locked out disconnect 1\n0910 lock off disconnect 2");
    assert!(locks.derived.debts[0].closed.is_none());
    let fans = visit("0900 left evap fan 1 off\n0901 left evap fan 2 off\n0910 restored evap fan");
    assert!(fans.derived.debts.iter().all(|d| d.closed.is_none()));
    let loto = visit("0900 locked out main\n0910 removed LOTO");
    assert!(loto.derived.debts[0].closed.is_some());
}

#[test]
fn a_private_word_makes_private_wherever_it_stands() {
    let compiled = visit(
        "0900 saw drain blocked\n   private SECRET one\n0901 left private: SECRET two\n0902 note private SECRET three\n\
         0903 told manager all done / note private: SECRET four\n0904 told office SECRET five",
    );
    assert!(
        !customer(&compiled).contains("SECRET"),
        "{}",
        customer(&compiled)
    );
    assert!(customer(&compiled).contains("Drain blocked"));
}

#[test]
fn every_gas_of_a_hold_is_seen_and_every_fall_counts() {
    let gas = visit("0900 hold nitrogen 150 psig at 70 F\n0910 hold air 150 psig at 70 F");
    assert!(codes(&gas).contains(&"RB504"));
    let fall = visit(
        "0800 hold 150 psig at 72 F\n0810 hold 100 psig at 72 F\n0812 hold 150 psig at 72 F\n0830 hold 150 psig at 72 F",
    );
    assert_eq!(fall.derived.holds.len(), 2);
    assert!(fall.derived.holds[0].leaks() && !fall.derived.holds[1].leaks());
}

#[test]
fn circuits_and_stops_are_kept_apart() {
    let two = visit(
        "0900 circuit A suction 118 psig, suction line 50 F, circuit B suction 60 psig, suction line 70 F",
    );
    let superheats: Vec<(Option<&str>, String)> = two
        .derived
        .of("superheat")
        .map(|d| (d.which.as_deref(), d.text(two.job.display)))
        .collect();
    // CoolProp 8.0.0, R-410A dew: 39.8 F at 118 psig, 8.5 F at 60 psig
    assert_eq!(
        superheats,
        [
            (Some("circuit A"), "10.2 F".to_owned()),
            (Some("circuit B"), "61.5 F".to_owned())
        ]
    );
    let stopped = visit(
        "0801 compressor running\n0900 compressor off\n0930 suction 200 psig, discharge 205 psig",
    );
    assert!(!codes(&stopped).contains(&"RB310"));
    let before_stop = visit("0801 suction 60 psig, suction line 60 F\n0810 compressor off");
    assert!(codes(&before_stop).contains(&"RB301"));
}

#[test]
fn news_is_not_work_and_the_weather_proves_no_repair() {
    let unfixed = visit("0900 did not fix, part on order");
    assert!(customer(&unfixed).contains("no repair is recorded"));
    let unproved = visit("0900 fitted 1 contactor\n0910 ambient 95 F");
    assert!(codes(&unproved).contains(&"RB510"));
}

#[test]
fn times_are_read_as_they_are_said() {
    let compiled = visit("arrive 0800\n9am saw frost\ndepart 0915");
    assert_eq!(compiled.derived.times[0].on_site, Some(75));
    assert!(!codes(&compiled).contains(&"RB101"));
}

/// A line of talk above the head is not a visit, and changes no head line below it.
#[test]
fn a_line_of_talk_above_the_head_begins_no_visit() {
    let head = "unit: X-1, freezer\nrefrigerant: R-404A\n0setpoint: -5 F\nvisit 2026-01-02 Ana\n0900 box 3 F\n";
    let plain = note(head);
    let under = note(&format!("gibberish line here\n{head}"));
    assert_eq!(plain.job.visits.len(), 1);
    assert_eq!(under.job.visits.len(), 1);
    let set = |compiled: &Compiled| compiled.job.unit.set_point.as_ref().map(|s| s.node);
    assert_eq!(set(&plain), set(&under));
    assert!(set(&plain).is_some());
    assert_eq!(under.job.unused.len(), plain.job.unused.len() + 1);
}
