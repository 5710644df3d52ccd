//! The technician's own cause beside what the readings bear out.

use super::support::note;
use rimebook::view::causes::tables;

const FLAT: &str = "unit: WIC-1, walk-in cooler\nrefrigerant: R-134a, 12 lb\nmetering: txv, receiver\nsetpoint: 36 F\n\
visit 2026-03-14 Dana\n0900 arrive\n\
0905 suction 5 psig, suction line 40 F, box 48 F, return air 48 F, supply air 44 F\n\
0906 discharge 110 psig, liquid line 93 F, ambient 76 F, sight glass bubbles\n";

fn verdict(cause: &str) -> String {
    let compiled = note(&format!("{FLAT}0920 cause {cause}\n1000 depart\n"));
    let table = tables(&compiled).into_iter().next().expect("a ranking");
    assert_eq!(table.stated.len(), 1, "{:?}", table.stated);
    table.stated.into_iter().next().unwrap_or_default()
}

#[test]
fn a_cause_that_the_readings_show_is_borne_out() {
    let said = verdict("leak, unit undercharged");
    assert!(
        said.starts_with("line 9, cause leak, unit undercharged: "),
        "{said}"
    );
    assert!(said.ends_with("the readings fit it well"), "{said}");
}

#[test]
fn a_cause_against_the_readings_is_told_with_what_speaks_against_it() {
    let said = verdict("condenser dirty");
    assert!(said.contains("do not bear it out"), "{said}");
    assert!(
        said.contains("`undercharge`") && said.contains("against it: "),
        "{said}"
    );
}

/// What a shifted symptom says of several causes at once is listed for each of them.
#[test]
fn what_rivals_share_is_listed_for_each() {
    let compiled = note(&format!("{FLAT}1000 depart\n"));
    let table = tables(&compiled).into_iter().next().expect("a ranking");
    let first = &table.rows[0];
    assert_eq!(first.name, "undercharge");
    let said: Vec<&str> = first.for_it.iter().map(|e| e.text.as_str()).collect();
    assert!(said.iter().any(|t| t.starts_with("superheat")), "{said:?}");
    assert!(said.iter().any(|t| t.starts_with("subcooling")), "{said:?}");
}

/// Twice its rated current and more is a motor that does not start, and no load to compare.
#[test]
fn a_starting_current_is_no_running_current() {
    let compares_current = |ampere: &str| {
        let rated = FLAT.replace("setpoint:", "nameplate: 230 V 1 ph, rla 10 A\nsetpoint:");
        let compiled = note(&format!("{rated}0907 compressor {ampere} A\n1000 depart\n"));
        let table = tables(&compiled).into_iter().next().expect("a ranking");
        table
            .expected
            .iter()
            .any(|e| e.text.starts_with("compressor current"))
    };
    assert!(compares_current("19.9"));
    assert!(!compares_current("20"));
    assert!(!compares_current("30"));
}
