//! `rimebook report DIR -o OUT`: what is made, what is left alone, what is made anew.

use super::support::{Outcome, Run, files};
use std::path::Path;

const COOLER: &str = "job: 1\ncustomer: Harbour Grill\nsite: 3 Quay\nunit: WIC-1, cooler\n\
    refrigerant: R-134a, 12 lb\nvisit 2026-01-02 Ana\n0900 arrive\n0905 box 44 F\n\
    0910 cause condenser dirty\n0915 cleaned condenser\n0950 box 38 F\n1000 depart\n";
const COOLER_LATER: &str = "job: 2\ncustomer: Harbour Grill\nsite: 3 Quay\nunit: WIC-1, cooler\n\
    refrigerant: R-134a, 12 lb\nvisit 2026-02-02 Ana\n0900 arrive\n0905 box 44 F\n\
    0910 cause condenser dirty\n0915 cleaned condenser\n0950 left alarm silenced\n1000 depart\n";
const FREEZER: &str = "job: 3\nsite: 3 Quay\nunit: WIF-1, freezer\nrefrigerant: R-448A, 22 lb\n\
    visit 2026-01-05 Ana\n0900 arrive\n0905 photo coil.png frosted coil\n0910 did fan belt\n1000 depart\n";

const REPORT: [&str; 4] = ["report", "notes", "-o", "out"];

fn folder() -> Run {
    Run::new()
        .file("notes/1.job", COOLER)
        .file("notes/sub/2.job", COOLER_LATER)
        .file("notes/3.job", FREEZER)
}

/// Asserts how many reports were made.
#[track_caller]
fn makes(run: Outcome, said: &str) -> Outcome {
    let line = run.stderr.lines().find(|line| line.contains(" made"));
    assert!(line.is_some_and(|line| line.starts_with(said)), "{run:#?}");
    run
}

/// Every file of the output and when it was last written.
fn written(out: &Path) -> Vec<(String, std::time::SystemTime)> {
    let all = files(out).into_iter();
    all.map(|path| {
        let at = path.metadata().and_then(|m| m.modified()).expect("a time");
        (path.display().to_string(), at)
    })
    .collect()
}

#[test]
fn all_reports_an_index_and_a_page_a_unit_are_made() {
    let run = folder().args(REPORT).go().exits(0);
    let run = makes(run, "3 reports of 3 made");
    for name in ["1-customer.html", "sub/2-customer.html", "3-customer.html"] {
        assert!(run.path("out").join(name).is_file(), "{name}");
    }
    let index = run.holds("out/index.html");
    assert!(
        index.contains("<a href=\"sub/2-customer.html\">2 February 2026, Job 2</a>"),
        "{index}"
    );
    assert!(index.contains("1 thing still open"), "{index}");
    let pages = files(&run.path("out/units"));
    assert_eq!(pages.len(), 2, "{pages:?}");
    let of_cooler = pages
        .iter()
        .find(|p| p.display().to_string().contains("wic-1"));
    let page = std::fs::read_to_string(of_cooler.expect("a page")).expect("a page");
    assert!(page.contains("href=\"../1-customer.html\""), "{page}");
    assert!(page.contains("Repeat: cause condenser airflow"), "{page}");
}

#[test]
fn nothing_is_made_twice() {
    let run = folder().args(REPORT).go().exits(0);
    let before = written(&run.path("out"));
    let run = run.again(REPORT).exits(0);
    let run = makes(run, "0 reports of 3 made");
    assert_eq!(written(&run.path("out")), before, "no file is touched");
}

#[test]
fn what_changed_is_made_anew_and_nothing_else() {
    let run = folder().args(REPORT).go().exits(0);
    let kept = std::fs::metadata(run.path("out/3-customer.html")).and_then(|m| m.modified());
    let changed = COOLER.replace("box 38 F", "box 37 F");
    std::fs::write(run.path("notes/1.job"), changed).expect("a note");
    let run = run.again(REPORT).exits(0);
    let run = makes(run, "1 report of 3 made");
    assert!(run.holds("out/1-customer.html").contains("37 °F"));
    let now = std::fs::metadata(run.path("out/3-customer.html")).and_then(|m| m.modified());
    assert_eq!(kept.expect("a time"), now.expect("a time"));
}

#[test]
fn a_photograph_that_arrives_late_is_put_in() {
    const PIXEL: &[u8] =
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x06\0\0\0\x1f\x15\xc4\x89";
    let run = folder().args(REPORT).go().exits(0);
    std::fs::write(run.path("notes/coil.png"), PIXEL).expect("a photograph");
    let run = run.again(REPORT).exits(0);
    let run = makes(run, "1 report of 3 made");
    assert!(
        run.holds("out/3-customer.html")
            .contains("src=\"data:image")
    );
}

#[test]
fn a_changed_setting_or_template_makes_all_anew() {
    let run = folder().args(REPORT).go().exits(0);
    std::fs::write(run.path("notes/rimebook.toml"), "company = \"Cold Works\"").expect("settings");
    let run = run.again(REPORT).exits(0);
    let run = makes(run, "3 reports of 3 made");
    assert!(run.holds("out/1-customer.html").contains("Cold Works"));
    std::fs::create_dir(run.path("set")).expect("a folder");
    std::fs::write(run.path("set/style.css"), "body { color: black }").expect("a template");
    let run = run
        .again(["report", "notes", "-o", "out", "--templates", "set"])
        .exits(0);
    let run = makes(run, "3 reports of 3 made");
    std::fs::write(run.path("set/style.css"), "body { color: navy }").expect("a template");
    let run = run
        .again(["report", "notes", "-o", "out", "--templates", "set"])
        .exits(0);
    let run = makes(run, "3 reports of 3 made");
    let run = run
        .again(["report", "notes", "-o", "out", "--templates", "set"])
        .exits(0);
    makes(run, "0 reports of 3 made");
}

#[test]
fn a_report_that_was_lost_or_cut_is_made_again() {
    let run = folder().args(REPORT).go().exits(0);
    std::fs::remove_file(run.path("out/1-customer.html")).expect("removed");
    std::fs::write(run.path("out/3-customer.html"), "").expect("cut");
    let run = run.again(REPORT).exits(0);
    let run = makes(run, "2 reports of 3 made");
    std::fs::write(run.path("out/.rimebook-customer-html.json"), "{ nonsense").expect("spoilt");
    let run = run.again(REPORT).exits(0);
    makes(run, "3 reports of 3 made");
}

#[test]
fn the_report_of_a_note_that_is_gone_goes_unless_somebody_changed_it() {
    let run = folder().args(REPORT).go().exits(0);
    std::fs::remove_file(run.path("notes/1.job")).expect("removed");
    std::fs::remove_file(run.path("notes/3.job")).expect("removed");
    std::fs::write(run.path("out/3-customer.html"), "somebody's own words").expect("changed");
    let run = run.again(REPORT).exits(0);
    assert!(!run.path("out/1-customer.html").exists());
    assert_eq!(run.holds("out/3-customer.html"), "somebody's own words");
    assert!(!run.holds("out/index.html").contains("Job 1<"));
}

#[test]
fn a_diagnosis_note_tells_its_unit_and_follows_the_other_notes_of_it() {
    let diagnosis = ["report", "notes", "-o", "out", "--for", "diagnosis"];
    let run = folder().args(diagnosis).go().exits(0);
    let first = run.holds("out/1-diagnosis.html");
    assert!(first.contains("History of the unit"), "{first}");
    let later = COOLER_LATER.replace("job: 2", "job: 22");
    std::fs::write(run.path("notes/sub/2.job"), later).expect("a note");
    let run = run.again(diagnosis).exits(0);
    // The other note of the unit tells of it, the freezer's does not.
    let run = makes(run, "2 reports of 3 made");
    assert!(run.holds("out/1-diagnosis.html").contains("<td>22</td>"));
    let run = run.again(diagnosis).exits(0);
    makes(run, "0 reports of 3 made");
}

#[test]
fn one_bad_note_does_not_keep_the_others_from_their_reports() {
    let run = folder()
        .file("notes/bad.job", [0xFF, 0xFE, b'u', 0])
        .args(REPORT)
        .go();
    let run = run.exits(1).complains("UTF-16");
    let run = makes(run, "3 reports of 3 made");
    assert!(run.holds("out/index.html").contains("bad.job"));
}

#[test]
fn reports_of_several_kinds_stand_side_by_side() {
    let run = folder().args(REPORT).go().exits(0);
    let office = ["report", "notes", "-o", "out", "--for", "office"];
    let run = run.again(office).exits(0);
    let run = makes(run, "3 reports of 3 made");
    assert!(!run.stderr.contains("removed"), "{}", run.stderr);
    assert!(run.path("out/1-customer.html").is_file());
    let index = run.holds("out/index.html");
    assert!(
        index.contains("href=\"1-office.html\"") && index.contains("href=\"1-customer.html\""),
        "{index}"
    );
    let run = run.again(REPORT).exits(0);
    makes(run, "0 reports of 3 made");
}

#[test]
fn a_note_that_cannot_be_read_this_time_keeps_its_last_report() {
    let run = folder().args(REPORT).go().exits(0);
    let before = run.holds("out/1-customer.html");
    std::fs::write(run.path("notes/1.job"), [0xFF, 0xFE, b'u', 0]).expect("spoilt");
    let run = run.again(REPORT).exits(1);
    assert!(!run.stderr.contains("removed"), "{}", run.stderr);
    assert_eq!(run.holds("out/1-customer.html"), before);
    // A template that fails costs no report either.
    std::fs::write(run.path("notes/1.job"), COOLER).expect("mended");
    std::fs::create_dir(run.path("set")).expect("a folder");
    std::fs::write(run.path("set/customer.html"), "{{ headin.unit }}").expect("a template");
    let run = run
        .again(["report", "notes", "-o", "out", "--templates", "set"])
        .exits(1);
    let run = run.complains("is `heading` meant?");
    assert_eq!(run.holds("out/1-customer.html"), before);
}

#[test]
fn files_of_somebody_else_are_neither_written_over_nor_removed() {
    let run = folder()
        .file("out/index.html", "my own index")
        .file("out/1-customer.html", "my own words")
        .file("precious.txt", "precious!")
        .args(REPORT)
        .go();
    let run = run.complains("was not made by rimebook");
    assert_eq!(run.holds("out/index.html"), "my own index");
    assert_eq!(run.holds("out/1-customer.html"), "my own words");
    // A state file that leads out of the folder of reports removes nothing there.
    std::fs::remove_file(run.path("out/index.html")).expect("removed");
    std::fs::remove_file(run.path("out/1-customer.html")).expect("removed");
    let run = run.again(REPORT).exits(0);
    let state = run.path("out/.rimebook-customer-html.json");
    let text = std::fs::read_to_string(&state).expect("a state");
    let length = std::fs::metadata(run.path("out/1-customer.html"))
        .expect("a report")
        .len();
    let text = text.replace("\"1-customer.html\"", "\"../precious.txt\"");
    let text = text.replace(&format!("\"length\":{length}"), "\"length\":9");
    std::fs::write(&state, text).expect("a state");
    std::fs::remove_file(run.path("notes/1.job")).expect("removed");
    let run = run.again(REPORT).exits(0);
    assert_eq!(run.holds("precious.txt"), "precious!");
}

#[cfg(unix)]
#[test]
fn notes_whose_reports_would_have_one_name_get_two() {
    let run = folder()
        .file("notes/1.JOB", FREEZER)
        .args(REPORT)
        .go()
        .exits(0);
    let index = run.holds("out/index.html");
    assert!(
        index.contains("Job 1<") && index.contains("Job 3<"),
        "{index}"
    );
    let reports = files(&run.path("out"));
    let of_one = reports.iter().filter(|p| {
        let name = p
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        name.starts_with("1-") && name.ends_with("customer.html")
    });
    assert_eq!(of_one.count(), 2, "{reports:?}");
}

#[test]
fn when_the_last_note_is_gone_so_is_what_was_made_of_it() {
    let run = Run::new()
        .file("notes/1.job", COOLER)
        .args(REPORT)
        .go()
        .exits(0);
    std::fs::remove_file(run.path("notes/1.job")).expect("removed");
    let run = run.again(REPORT).exits(0);
    assert!(!run.path("out/1-customer.html").exists());
    assert!(files(&run.path("out/units")).is_empty());
}

#[test]
fn a_large_photograph_is_led_to_where_it_lies() {
    let mut large = b"\x89PNG\r\n\x1a\n".to_vec();
    large.resize(3 * 1024 * 1024, 0);
    let run = folder()
        .file("notes/coil.png", large)
        .args(REPORT)
        .go()
        .exits(0);
    let report = run.holds("out/3-customer.html");
    assert!(report.contains("src=\"../notes/coil.png\""), "{report}");
}

#[test]
fn where_the_reports_go_must_be_said() {
    let run = folder().args(["report", "notes"]).go();
    run.exits(2).complains("with --output");
    let run = folder()
        .args(["report", "notes", "notes/1.job", "-o", "out"])
        .go();
    run.exits(2).complains("one folder at a time");
}

#[test]
fn a_single_diagnosis_note_tells_the_history_of_a_folder_it_is_given() {
    let history = [
        "report",
        "notes/1.job",
        "--for",
        "diagnosis",
        "--history",
        "notes",
        "--to",
        "md",
        "-o",
        "-",
    ];
    let run = folder().args(history).go().exits(0);
    let run = run
        .says("## History of the unit")
        .says("| 2026-02-02 | 2 |");
    let run = run.again(["report", "notes/1.job", "--history", "notes", "-o", "-"]);
    run.exits(2)
        .complains("`--history` is for `--for diagnosis`");
}
