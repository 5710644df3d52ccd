//! Refrigerant books: balances, circuits, cylinders on the scale, charge and loss. Every number is
//! worked in the comment beside it.

use super::support::{findings, note};
use rimebook::compile::Compiled;
use rimebook::derive::charge::{NetLoss, charge_now, net_loss};
use rimebook::diagnostic::Severity;
use rimebook::quantity::Mass;

const HEAD: &str = "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\n";

fn visit(head: &str, entries: &str) -> Compiled {
    note(&format!(
        "{HEAD}{head}\nvisit 2026-03-14 Dana R.\n{entries}\n"
    ))
}

fn errors(compiled: &Compiled) -> Vec<&str> {
    let errors = compiled
        .diagnostics
        .iter()
        .filter(|d| d.severity == Severity::Error);
    errors.map(|d| d.code.id).collect()
}

fn shown(mass: Option<Mass>) -> Option<String> {
    mass.map(Mass::pounds_ounces)
}

#[test]
fn the_balance_runs_and_circuits_add_up() {
    // arithmetic: +1 lb 8 oz, -8 oz, +2 lb: 1 lb 8 oz, 1 lb, 3 lb.
    let compiled = visit(
        "",
        "0900 added 1 lb 8 oz from C-1 circuit A\n0910 recovered 8 oz into C-2 circuit B\n0920 added 2 lb from C-1 circuit A",
    );
    let books = &compiled.derived.books;
    let balances: Vec<String> = books
        .movements
        .iter()
        .map(|m| m.balance.pounds_ounces())
        .collect();
    assert_eq!(balances, ["1 lb 8 oz", "1 lb", "3 lb"]);
    let rows: Vec<(Option<&str>, String, String)> = books
        .circuits()
        .into_iter()
        .map(|row| {
            (
                row.circuit,
                row.added.pounds_ounces(),
                row.recovered.pounds_ounces(),
            )
        })
        .collect();
    assert_eq!(
        rows,
        [
            (Some("circuit A"), "3 lb 8 oz".to_owned(), "0 oz".to_owned()),
            (Some("circuit B"), "0 oz".to_owned(), "8 oz".to_owned()),
        ]
    );
    assert!(
        visit("", "0900 added 1 lb from C-1")
            .derived
            .books
            .circuits()
            .is_empty()
    );
}

#[test]
fn a_weighing_is_read_however_it_is_written() {
    for line in [
        "added 3 lb from C-118, cylinder 31.2 lb to 28.2 lb",
        "added 3 lb from C-118, scale 31.2 before 28.2 after",
        "added 3 lb from C-118, scale before 31.2, after 28.2",
        "added 3 lb from C-118, scale after 28.2, before 31.2",
        "added 3 lb R-448A from C-118, 31.2 lb -> 28.2 lb",
        "added 3 lb from C-118, scale was 31.2 lb, now 28.2 lb",
        "added 3 lb from C-118 scale 31.2 lb to 28.2 lb",
        "added 3 lb from C-118 cylinder 31.2 to 28.2",
        "added 3 lb from C-118 31.2 lb to 28.2 lb blue",
    ] {
        let compiled = visit("", &format!("0900 {line}"));
        assert_eq!(errors(&compiled), [""; 0], "{line}");
        let transfer = &compiled.derived.books.movements[0].transfer;
        assert_eq!(transfer.cylinder.as_deref(), Some("C-118"), "{line}");
        assert_eq!(transfer.mass.pounds_ounces(), "3 lb", "{line}");
        let weighing = transfer
            .weighing
            .as_ref()
            .unwrap_or_else(|| panic!("{line}"));
        // 31.2 lb is 31 lb 3.2 oz, a tenth of a pound 1.6 oz.
        assert_eq!(weighing.before.pounds_ounces(), "31 lb 3.2 oz", "{line}");
        assert_eq!(weighing.after.pounds_ounces(), "28 lb 3.2 oz", "{line}");
        assert_eq!(weighing.step.pounds_ounces(), "1.6 oz", "{line}");
    }
}

#[test]
fn what_is_no_weighing_stays_what_it_was() {
    for (line, cylinder) in [
        ("added 3 lb from C-118", Some("C-118")),
        ("added 3 lb 4 oz R-448A from cylinder B-21", Some("B-21")),
        ("added 840 g from C-120 for circuit B", Some("C-120")),
        ("added 3 lb", None),
    ] {
        let compiled = visit("", &format!("0900 {line}"));
        let transfer = &compiled.derived.books.movements[0].transfer;
        assert_eq!(transfer.weighing, None, "{line}");
        assert_eq!(transfer.cylinder.as_deref(), cylinder, "{line}");
    }
    // The scale alone is no amount: nothing is booked, least of all 31.2 lb.
    let scale_only = visit(
        "",
        "0900 added R-448A from C-118, cylinder 31.2 lb to 28.2 lb",
    );
    assert_eq!(errors(&scale_only), ["RB222"]);
    assert!(scale_only.derived.books.movements.is_empty());
    // `cylinder 31.2 lb to …` names no cylinder.
    let unnamed = visit("", "0900 added 3 lb, cylinder 31.2 lb to 28.2 lb");
    assert_eq!(unnamed.derived.books.movements[0].transfer.cylinder, None);
}

#[test]
fn the_scale_may_differ_by_its_last_digit() {
    // 31.2 - 28.3 lb is 2.9 lb, one tenth less than 3 lb; 28.4 lb leaves two tenths.
    let fires = |after: &str| {
        let line = format!("0900 added 3 lb from C-1, cylinder 31.2 lb to {after} lb");
        findings(&visit("", &line), "RB557").len()
    };
    assert_eq!((fires("28.2"), fires("28.3"), fires("28.1")), (0, 0, 0));
    assert_eq!((fires("28.4"), fires("28.0")), (1, 1));
    // Recovered: heavier. Two ounces on a scale that shows whole ounces.
    let wrong = visit(
        "",
        "0900 recovered 3 lb into R-1, cylinder 30 lb 2 oz to 33 lb 4 oz",
    );
    assert_eq!(
        findings(&wrong, "RB557"),
        [
            "recovered 3 lb, but by the scale (30 lb 2 oz to 33 lb 4 oz) the cylinder got 3 lb 2 oz heavier"
        ]
    );
    let turned = visit("", "0900 added 3 lb from C-1, cylinder 28.2 lb to 31.2 lb");
    assert!(findings(&turned, "RB557")[0].ends_with("3 lb heavier"));
}

#[test]
fn a_cylinder_holds_its_weight_less_its_tare() {
    let head = "cylinder: C-118, R-448A, water capacity 47.7 lb, tare 28.5 lb\ncylinder: R-40, WC 26.2 lb, tare 14 lb";
    let compiled = visit(
        head,
        "0900 added 3 lb from c118, cylinder 41.5 lb to 38.5 lb\n0910 added 4 lb from C-118\n0920 added 7 lb from C-118",
    );
    assert_eq!(errors(&compiled), [""; 0]);
    assert_eq!(compiled.job.cylinders.len(), 2);
    // 41.5 - 28.5 is 13 lb; less 3 is 10; less 4 is 6; 7 lb is more than that.
    let held: Vec<_> = compiled
        .derived
        .books
        .movements
        .iter()
        .map(|m| (shown(m.content.before), shown(m.content.after)))
        .collect();
    let pounds = |text: &str| Some(format!("{text} lb"));
    assert_eq!(
        held,
        [
            (pounds("13"), pounds("10")),
            (pounds("10"), pounds("6")),
            (pounds("6"), None)
        ]
    );
    assert_eq!(
        findings(&compiled, "RB559"),
        ["7 lb was taken from cylinder C-118, which held 6 lb"]
    );
}

#[test]
fn eighty_percent_of_the_water_capacity_is_the_most() {
    // 80 % of 26.25 lb is exactly 21 lb.
    let head = "cylinder: R-40, water capacity 26.25 lb, tare 14 lb";
    let fires = |entries: &str| findings(&visit(head, entries), "RB558").len();
    assert_eq!(
        fires("0900 recovered 9 lb into R-40, cylinder 26 lb to 35 lb"),
        0
    );
    assert_eq!(
        fires("0900 recovered 9 lb into R-40, cylinder 26.1 lb to 35.1 lb"),
        1
    );
    // Without a scale, at least what was put into it.
    assert_eq!(fires("0900 recovered 21 lb into R-40"), 0);
    assert_eq!(fires("0900 recovered 21 lb 1 oz into R-40"), 1);
    assert_eq!(
        fires("0900 recovered 12 lb into R-40\n0910 recovered 10 lb into R-40"),
        1
    );
    assert_eq!(
        fires(
            "0900 recovered 12 lb into R-40\n0905 added 2 lb from R-40\n0910 recovered 10 lb into R-40"
        ),
        0
    );
    let least = visit(head, "0900 recovered 22 lb into R-40");
    assert!(
        findings(&least, "RB558")[0].starts_with("cylinder R-40 holds at least 22 lb, above 80 %")
    );
}

#[test]
fn a_label_is_no_refrigerant_and_a_cylinder_has_its_own() {
    let of = |head: &str, line: &str| {
        let compiled = visit(head, &format!("0900 {line}"));
        compiled.derived.books.movements[0]
            .transfer
            .refrigerant_name()
            .to_owned()
    };
    // R-40 is a refrigerant too, and here a cylinder.
    assert_eq!(of("", "recovered 12 lb into R-40"), "R-448A");
    assert_eq!(of("", "recovered 12 lb R-404A into R-40"), "R-404A");
    assert_eq!(
        of("", "recovered 12 lb into my recovery cylinder R-40"),
        "R-448A"
    );
    assert_eq!(of("", "recovered 12 lb into R-404A cylinder"), "R-404A");
    assert_eq!(
        of("cylinder: R-40, tare 14 lb", "added 12 lb from R-40"),
        "R-448A"
    );
    let back = visit(
        "",
        "0900 recovered 12 lb into R-40\n0910 added 12 lb from R-40",
    );
    let moved = &back.derived.books.movements[1].transfer;
    assert_eq!(moved.refrigerant_name(), "R-448A");
    // What the head says of a cylinder is what comes out of it.
    let other = "cylinder: C-9, R-404A, tare 28 lb";
    assert_eq!(of(other, "added 12 lb from C-9"), "R-404A");
    let compiled = visit(
        other,
        "0900 added 12 lb from C-9\n0910 recovered 2 lb into C-9",
    );
    assert_eq!(findings(&compiled, "RB551").len(), 1);
    assert_eq!(
        findings(&compiled, "RB552"),
        ["cylinder C-9 is for R-404A by the head, and the movement is of R-448A"]
    );
}

#[test]
fn a_cylinder_line_that_is_not_understood_says_so() {
    for (line, wanted) in [
        ("cylinder: 47.7 lb", "RB219"),
        ("cylinder: C-1, tear 28 lb", "RB219"),
        ("cylinder: C-1, tare heavy", "RB219"),
        ("cylinder: C-1, R-999", "RB219"),
    ] {
        assert_eq!(errors(&visit(line, "0900 box 3 F")), [wanted], "{line}");
    }
    let twice = visit(
        "cylinder: C-1, tare 28 lb\ncylinder: c1, tare 29 lb",
        "0900 box 3 F",
    );
    assert!(twice.diagnostics.iter().any(|d| d.code.id == "RB208"));
    assert_eq!(twice.job.cylinders.len(), 1);
}

#[test]
fn the_charge_is_known_after_an_evacuation_only() {
    let vacuum = "0930 vacuum 400 micron\n0945 vacuum 420 micron, isolated\n";
    let charge = |entries: &str| charge_now(&visit("", entries).derived).map(Mass::pounds_ounces);
    assert_eq!(
        charge("0900 added 3 lb from C-1"),
        Err("no evacuation to count from")
    );
    assert_eq!(
        charge(vacuum),
        Err("nothing weighed in after the evacuation")
    );
    let full = format!(
        "0900 recovered 9 lb into R-1\n{vacuum}1000 added 9 lb from R-1\n1010 added 13 lb from C-1\n1020 recovered 1 lb into R-1"
    );
    assert_eq!(charge(&full), Ok("21 lb".to_owned()));
    let circuits = format!("{vacuum}1000 added 9 lb from R-1 circuit A");
    assert!(charge(&circuits).is_err());
}

#[test]
fn what_was_lost_is_what_went_in_beyond_what_came_out() {
    let loss = |entries: &str| {
        let compiled = visit("", entries);
        net_loss(&compiled.job, &compiled.derived)
    };
    let pounds = |text: &str| {
        let compiled = visit("", &format!("0900 added {text} from C-1"));
        compiled.derived.books.added
    };
    assert_eq!(
        loss("0900 recovered 9 lb into R-1\n1000 added 12 lb from C-1"),
        NetLoss::Lost(pounds("3 lb"))
    );
    assert_eq!(loss("0900 recovered 9 lb into R-1"), NetLoss::None);
    assert_eq!(
        loss("0900 added 22 lb from C-1, first charge"),
        NetLoss::FirstCharge
    );
    assert_eq!(
        loss("0800 vacuum 400 micron\n0900 added 22 lb from C-1"),
        NetLoss::PerhapsFirst(pounds("22 lb"))
    );
}
