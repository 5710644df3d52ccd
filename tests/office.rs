//! Hours by technician, parts, materials and instruments: what the office keeps.

use super::support::note;
use rimebook::compile::Compiled;
use rimebook::derive::parts::parts;
use rimebook::view::{customer, diagnosis, office};
use rimebook::words::Words;

const HEAD: &str = "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\n";

fn visit(entries: &str) -> Compiled {
    note(&format!("{HEAD}visit 2026-03-14 Dana R., Wen\n{entries}\n"))
}

fn hours(compiled: &Compiled) -> Vec<(&str, Option<i32>)> {
    let rows = compiled.derived.technicians.iter();
    rows.map(|row| (row.name.as_str(), row.on_site)).collect()
}

fn codes(compiled: &Compiled) -> Vec<&str> {
    compiled.diagnostics.iter().map(|d| d.code.id).collect()
}

#[test]
fn everyone_of_the_visit_line_was_there() {
    // arithmetic: 08:00 to 10:30 is 150 min.
    let compiled = visit("0800 arrive\n1030 depart");
    assert_eq!(
        hours(&compiled),
        [("Dana R.", Some(150)), ("Wen", Some(150))]
    );
    assert_eq!(compiled.derived.times[0].on_site, Some(150));
}

#[test]
fn a_named_line_is_of_that_one_alone() {
    // arithmetic: Dana 08:00-12:00 is 240 min; Wen 09:00-10:15 is 75 min and 11:00-12:00 is 60 min;
    // someone was there from 08:00 to 12:00.
    let compiled =
        visit("0800 arrive Dana\n0900 arrive Wen\n1015 depart Wen\n1100 arrive Wen\n1200 depart");
    assert_eq!(
        hours(&compiled),
        [("Dana R.", Some(240)), ("Wen", Some(135))]
    );
    assert_eq!(compiled.derived.times[0].on_site, Some(240));
    assert!(codes(&compiled).is_empty(), "{:?}", codes(&compiled));
    // What one leaves out is asked about, and not recorded for that one.
    let open = visit("0800 arrive\n1015 depart Wen");
    assert_eq!(hours(&open), [("Dana R.", None), ("Wen", Some(135))]);
    assert_eq!(codes(&open), ["RB217"]);
    let twice = visit("0800 arrive\n0900 arrive\n1015 depart");
    assert_eq!(codes(&twice), ["RB217"]);
    assert_eq!(twice.derived.times[0].on_site, Some(135));
}

#[test]
fn a_departure_before_the_arrival_is_no_time_at_all() {
    let compiled = visit("1200 arrive\n1130 depart");
    assert_eq!(hours(&compiled), [("Dana R.", None), ("Wen", None)]);
    assert_eq!(compiled.derived.times[0].on_site, None);
    let view = office::view(&compiled, Words::english());
    assert_eq!(view.visits[0].on_site, "not recorded");
    assert!(view.total.incomplete);
}

#[test]
fn the_sheet_sums_by_technician() {
    let compiled = note(&format!(
        "{HEAD}visit 2026-03-14 Dana R., Wen\n0800 arrive\n1000 depart\nvisit 2026-03-15 Dana R.\n0900 arrive\n"
    ));
    let view = office::view(&compiled, Words::english());
    assert_eq!(view.technicians.len(), 3);
    let people: Vec<(&str, &str, &str, bool)> = view
        .people
        .iter()
        .map(|row| {
            (
                row.name.as_str(),
                row.of.as_str(),
                row.on_site.as_str(),
                row.incomplete,
            )
        })
        .collect();
    assert_eq!(
        people,
        [
            ("Dana R.", "2 visits", "2 h 00 min", true),
            ("Wen", "1 visit", "2 h 00 min", false)
        ]
    );
    // One technician a visit: the table of visits says it all.
    let alone = note(&format!(
        "{HEAD}visit 2026-03-14 Dana R.\n0800 arrive\n1000 depart\n"
    ));
    let view = office::view(&alone, Words::english());
    assert!(view.technicians.is_empty() && view.people.is_empty());
}

#[test]
fn parts_are_read_where_they_are_plain() {
    let read = |text: &str| -> Vec<(Option<u32>, String, Option<String>)> {
        parts(text)
            .into_iter()
            .map(|p| (p.count, p.name, p.number))
            .collect()
    };
    let part = |count: Option<u32>, name: &str, number: Option<&str>| {
        (count, name.to_owned(), number.map(str::to_owned))
    };
    for (text, wanted) in [
        (
            "2 contactor 40 A 3 pole, part 1234-56",
            part(Some(2), "contactor 40 A 3 pole", Some("1234-56")),
        ),
        (
            "1 solenoid valve 3/8 flare",
            part(Some(1), "solenoid valve 3/8 flare", None),
        ),
        (
            "two evap fan motors, P/N AB-77",
            part(Some(2), "evap fan motors", Some("AB-77")),
        ),
        ("2x belt A42", part(Some(2), "belt A42", None)),
        ("2 pcs belt A42", part(Some(2), "belt A42", None)),
        ("belt A42 x2", part(Some(2), "belt A42", None)),
        (
            "qty 3 filters, part no. 55",
            part(Some(3), "filters", Some("55")),
        ),
        (
            "part number 889-2 thermostat",
            part(None, "thermostat", Some("889-2")),
        ),
        // A size is no count, and what is not stated is not one.
        ("contactor", part(None, "contactor", None)),
        ("a contactor", part(None, "a contactor", None)),
        ("40 A contactor", part(None, "40 A contactor", None)),
        ("24 V transformer", part(None, "24 V transformer", None)),
        ("3 phase motor", part(None, "3 phase motor", None)),
        ("2-pole contactor", part(None, "2-pole contactor", None)),
        ("3/8 filter-drier", part(None, "3/8 filter-drier", None)),
        ("1056 relay", part(None, "1056 relay", None)),
        ("0 relays", part(None, "0 relays", None)),
        (
            "1 filter, 20x25x2 in",
            part(Some(1), "filter, 20x25x2 in", None),
        ),
        (
            "1 contactor, 3 pole 40 A, 24 V coil",
            part(Some(1), "contactor, 3 pole 40 A, 24 V coil", None),
        ),
        (
            "part of the door gasket",
            part(None, "part of the door gasket", None),
        ),
    ] {
        assert_eq!(read(text), [wanted], "{text}");
    }
    assert_eq!(
        read("1 fuse holder 30 A with 3 fuses 15 A, part 77-3"),
        [
            part(Some(1), "fuse holder 30 A", None),
            part(Some(3), "fuses 15 A", Some("77-3"))
        ]
    );
    assert_eq!(read(""), [part(None, "", None)]);
}

#[test]
fn parts_materials_and_instruments_reach_their_readers() {
    let compiled = note(&format!(
        "{HEAD}instruments: digital gauges G-2, clamp meter M-4\ninstruments: scale S-1\n\
         visit 2026-03-14 Dana R.\n0800 arrive\n0810 instrument thermometer T-9\n\
         0900 fitted contactor 40 A\n0910 removed 1 contactor\n0920 materials 1 can coil cleaner\n1000 depart\n"
    ));
    assert!(codes(&compiled).is_empty(), "{:?}", codes(&compiled));
    let office = office::view(&compiled, Words::english());
    let named = [
        "digital gauges G-2, clamp meter M-4",
        "scale S-1",
        "thermometer T-9",
    ];
    assert_eq!(office.instruments, named);
    assert_eq!(
        diagnosis::view(&compiled, Words::english()).instruments,
        named
    );
    assert_eq!(
        (
            office.fitted[0].count.as_str(),
            office.fitted[0].number.as_str()
        ),
        ("not stated", "not stated")
    );
    assert_eq!(
        (
            office.removed[0].count.as_str(),
            office.removed[0].name.as_str()
        ),
        ("1", "contactor")
    );
    assert_eq!(office.materials[0].text, "1 can coil cleaner");
    let customer = customer::view(&compiled, Words::english());
    assert_eq!(customer.materials, ["1 can coil cleaner"]);
    assert!(
        !serde_json::to_string(&customer)
            .expect("JSON")
            .contains("G-2")
    );
}
