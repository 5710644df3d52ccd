//! Time of food above the limit of a note: worked by hand by the FDA Food Code,
//! 3-501.16 and 3-501.19.

use super::support::{findings, note};
use rimebook::compile::Compiled;
use rimebook::derive::{FoodTime, Measured};
use rimebook::model::Minutes;
use rimebook::view::{customer, diagnosis, office};
use rimebook::words::Words;

const HEAD: &str = "unit: WIC-1, walk-in cooler\nrefrigerant: R-134a, 12 lb\n";

fn visit(head: &str, entries: &str) -> Compiled {
    note(&format!(
        "{HEAD}{head}\nvisit 2026-03-14 Dana R.\n{entries}\n"
    ))
}

#[track_caller]
fn food(compiled: &Compiled) -> &FoodTime {
    let mut of_food = compiled
        .derived
        .food
        .iter()
        .filter(|row| row.measured == Measured::Food);
    let row = of_food.next().expect("a row of food");
    assert!(of_food.next().is_none());
    row
}

#[test]
fn without_a_limit_nothing_is_computed() {
    let compiled = visit("", "0900 product 52 F\n0930 product 50 F");
    assert!(compiled.derived.food.is_empty());
    assert!(customer::view(&compiled, Words::english()).food.is_none());
    // The note's own limit takes the place of the general one.
    assert_eq!(findings(&compiled, "RB352").len(), 1);
    let own = visit("food limit: 41 F", "0900 product 52 F");
    assert!(findings(&own, "RB352").is_empty());
    assert_eq!(findings(&own, "RB951").len(), 1);
}

#[test]
fn spans_above_are_added_and_long_ones_are_not_measured() {
    // arithmetic: 08:00–08:40 and 08:40–09:10 are above, 70 min; 09:10–11:40 is 150 min, not
    // measured; 11:40–12:40 is 60 min, the longest span that counts: 130 min in all.
    let compiled = visit(
        "food limit: 41 F",
        "0800 product 44 F\n0840 product 46 F\n0910 product 47 F\n1140 product 48 F\n1240 product 43 F",
    );
    let row = food(&compiled);
    assert_eq!(row.above, 130.0);
    assert_eq!(row.interpolated, 0.0);
    assert_eq!(row.highest.input.text, "48 F");
    assert_eq!(
        row.sentence(&compiled.job, Words::english()),
        "time above 41 F as measured: at least 2 h 10 min; not measured 09:10–11:40; \
         highest 48 F at 11:40; before 08:00 not known; still above at the last reading, 12:40"
    );
}

#[test]
fn a_minute_more_than_the_longest_span_is_not_measured() {
    let span = |end: &str| {
        visit(
            "food limit: 41 F",
            &format!("0800 product 44 F\n{end} product 44 F"),
        )
    };
    assert_eq!(food(&span("0900")).above, 60.0);
    let longer = span("0901");
    assert_eq!(food(&longer).above, 0.0);
    assert_eq!(food(&longer).gaps.len(), 1);
    assert_eq!(
        food(&longer).above_text(Words::english()),
        "not known (no two readings close enough)"
    );
}

#[test]
fn a_crossing_is_a_straight_line() {
    // arithmetic: 39 F to 43 F in 40 min passes 41 F in the middle: 20 min; then 30 min above; then
    // 43 F to 40 F in 30 min is above 41 F for two thirds of it, 20 min: 70 min, 40 of it by line.
    let compiled = visit(
        "food limit: 41 F",
        "0800 product 39 F\n0840 product 43 F\n0910 product 43 F\n0940 product 40 F",
    );
    let row = food(&compiled);
    assert!((row.above - 70.0).abs() < 1e-6, "{}", row.above);
    assert!(
        (row.interpolated - 40.0).abs() < 1e-6,
        "{}",
        row.interpolated
    );
    let said = row.sentence(&compiled.job, Words::english());
    assert!(said.contains("40 min of it by a straight line"), "{said}");
    assert!(
        !said.contains("not known") && !said.contains("not measured"),
        "{said}"
    );
}

#[test]
fn the_limit_itself_is_not_above() {
    // 5 C is 41 F exactly.
    for text in ["41 F", "5 C", "5.0 C"] {
        let compiled = visit(
            "food limit: 41 F",
            &format!("0800 product {text}\n0830 product {text}"),
        );
        let row = food(&compiled);
        assert_eq!(row.passed, None, "{text}");
        assert_eq!(row.above_text(Words::english()), "none");
        assert!(findings(&compiled, "RB951").is_empty());
    }
    assert!(
        food(&visit("food limit: 41 F", "0800 product 41.1 F"))
            .passed
            .is_some()
    );
}

#[test]
fn between_visits_nothing_is_known() {
    let compiled = note(&format!(
        "{HEAD}food limit: 41 F\nvisit 2026-03-14 Dana R.\n2340 product 45 F\n0010 product 46 F\n\
         visit 2026-03-15 Dana R.\n0030 product 45 F\n0050 product 40 F\n"
    ));
    let row = food(&compiled);
    // 30 min over midnight, and 45 F to 40 F in 20 min is above 41 F for four fifths: 16 min.
    assert!((row.above - 46.0).abs() < 1e-6, "{}", row.above);
    assert_eq!(
        row.gaps_text(&compiled.job, Words::english()),
        ["14 March 2026, 00:10 (+1 d) to 15 March 2026, 00:30"]
    );
}

#[test]
fn several_foods_are_rows_of_their_own() {
    let compiled = visit(
        "food limit: 41 F",
        "0800 product 1 40 F, product 2 46 F\n0830 product 1 40 F, food 2 45 F",
    );
    let rows: Vec<(String, f64)> = compiled
        .derived
        .food
        .iter()
        .map(|row| (row.name(Words::english()), row.above))
        .collect();
    assert_eq!(
        rows,
        [
            ("Food (product 1)".to_owned(), 0.0),
            ("Food (product 2)".to_owned(), 30.0)
        ]
    );
    assert!(findings(&compiled, "RB951")[0].starts_with("product 2: time above 41 F"));
    // A number with no other behind it is the value.
    for text in [
        "product 3 C",
        "product 3 C, ambient 24 C",
        "product 3 ambient 24 C, box 5 C",
    ] {
        let compiled = visit("food limit: 5 C", &format!("0800 {text}"));
        assert_eq!(food(&compiled).which, None, "{text}");
    }
}

#[test]
fn air_is_a_row_of_its_own_and_no_food() {
    let compiled = visit(
        "food limit: 41 F",
        "0800 box 50 F, product 40 F\n0830 box 48 F, product 40 F",
    );
    assert_eq!(compiled.derived.food.len(), 2);
    let air = &compiled.derived.food[1];
    assert_eq!(air.measured, Measured::Air);
    assert_eq!(air.above, 30.0);
    assert_eq!(air.name(Words::english()), "Air in the box, not food");
    assert!(findings(&compiled, "RB951").is_empty());
    assert_eq!(findings(&compiled, "RB952").len(), 1);
}

#[test]
fn four_hours_from_the_cold() {
    // FDA Food Code 3-501.19: food 38 F at 08:00, reading 52 F at 11:30, 4-h limit 12:00: within at 11:30.
    let compiled = visit(
        "food limit: 41 F\ntime control: 4 h",
        "0800 product 38 F\n1130 product 52 F",
    );
    let end = food(&compiled).plan_end.expect("an end");
    assert_eq!(end.earliest.map(|w| w.at), Some(Minutes(12 * 60)));
    assert_eq!(end.latest.at, Minutes(15 * 60 + 30));
    let [said] = findings(&compiled, "RB954")[..] else {
        panic!("one finding")
    };
    assert!(
        said.contains("at the earliest 12:00 (from 08:00,"),
        "{said}"
    );
    assert!(said.contains("at the latest 15:30 (from 11:30,"), "{said}");
    assert!(
        said.ends_with("at the last reading, 11:30, they had not ended"),
        "{said}"
    );
    // The span itself is longer than an hour: no minute of it is counted as warm.
    assert_eq!(food(&compiled).above, 0.0);
    for (entries, stands) in [
        (
            "0800 product 38 F\n1130 product 52 F\n1200 product 52 F",
            "they may have ended",
        ),
        (
            "0800 product 38 F\n1130 product 52 F\n1530 product 40 F",
            "they had ended",
        ),
    ] {
        let compiled = visit("food limit: 41 F\ntime control: 4 h", entries);
        assert!(
            findings(&compiled, "RB954")[0].ends_with(stands),
            "{entries}"
        );
    }
}

#[test]
fn warm_at_the_first_reading_has_no_earliest_end() {
    let compiled = visit("food limit: 41 F\ntime control: 4 h", "0900 product 45 F");
    assert_eq!(food(&compiled).plan_end.expect("an end").earliest, None);
    let said = findings(&compiled, "RB954")[0];
    assert!(
        said.starts_with("since when it was above 41 F is not known; 4 h"),
        "{said}"
    );
    assert!(
        said.ends_with("whether they had ended is not known"),
        "{said}"
    );
}

#[test]
fn six_hours_end_where_the_food_passes_seventy() {
    // FDA Food Code 3-501.19: a 6-hour plan ends at 70 F; 71 F at any time.
    let six = "food limit: 41 F\ntime control: 6 h";
    let compiled = visit(
        six,
        "0800 product 38 F\n0950 product 60 F\n1020 product 71 F",
    );
    assert_eq!(
        findings(&compiled, "RB955"),
        ["70 F (21 C) passed at 10:20 (71 F) or earlier, after 09:50"]
    );
    assert_eq!(food(&compiled).plan_end.expect("an end").hours, 6);
    // 70 F itself is allowed, and a 4-hour plan has no such ceiling.
    assert!(findings(&visit(six, "0800 product 70 F"), "RB955").is_empty());
    let four = visit("food limit: 41 F\ntime control: 4 h", "0800 product 71 F");
    assert!(findings(&four, "RB955").is_empty());
    assert_eq!(food(&four).ceiling_passed, None);
}

#[test]
fn a_plan_without_a_limit_computes_nothing() {
    let compiled = visit("time control: 4 h", "0800 product 60 F");
    assert!(compiled.derived.food.is_empty() && findings(&compiled, "RB954").is_empty());
}

#[test]
fn of_two_readings_at_one_time_the_warmer_counts() {
    let compiled = visit(
        "food limit: 41 F",
        "0800 product 40 F\n0800 product 45 F\n0830 product 45 F",
    );
    assert_eq!(food(&compiled).above, 30.0);
    let untimed = visit("food limit: 41 F", "product 45 F\n0800 product 40 F");
    assert_eq!(food(&untimed).untimed, 1);
}

#[test]
fn food_still_warm_at_the_end_is_to_be_watched() {
    let outcome = |last: &str| {
        let entries = format!(
            "0800 product 45 F, box 45 F\n0810 did the fan belt\n0850 product {last}, box 37 F"
        );
        customer::view(
            &visit("food limit: 41 F\nsetpoint: 36 F", &entries),
            Words::english(),
        )
        .answers
        .outcome
    };
    assert_eq!(outcome("42 F").state, "watch");
    assert!(outcome("42 F").because[0].starts_with("Food was still above the limit"));
    assert_eq!(outcome("41 F").state, "repaired");
}

#[test]
fn every_reader_gets_the_table_and_none_a_verdict() {
    let compiled = visit(
        "food limit: 41 F\ntime control: 6 h",
        "0800 arrive\n0810 product 38 F\n0850 product 72 F, box 75 F\n0900 depart",
    );
    let tables = [
        customer::view(&compiled, Words::english()).food,
        diagnosis::view(&compiled, Words::english()).food,
        office::view(&compiled, Words::english()).food,
    ];
    for table in tables {
        let table = table.expect("a table");
        assert_eq!(table.rows.len(), 2);
        let text = serde_json::to_string(&table).expect("JSON").to_lowercase();
        for verdict in ["safe", "discard", "throw"] {
            assert!(!text.contains(verdict), "{text}");
        }
    }
}
