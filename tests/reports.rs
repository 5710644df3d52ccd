//! Every report of every example, as its reader gets it.
//!
//! What each must state is in `cases/reports/NAME.facts`, in the form `facts.rs` describes. A few
//! are held as snapshots too, to show a change of layout or wording as a reader would see it. The HTML
//! snapshots leave out the style sheet, which every page shares and which is a file of its own; in
//! the JSON ones what fits on a line stands on one.

use super::facts::Reports;
use super::support::{cases, examples, files};
use rimebook::binder::{Beside, text as report};
use rimebook::compile::{Compiled, compile};
use rimebook::render::Format;
use rimebook::source::Source;
use rimebook::view::Audience;
use rimebook::world::MemoryWorld;
use std::path::Path;

const AUDIENCES: [Audience; 3] = [Audience::Customer, Audience::Diagnosis, Audience::Office];
const FORMATS: [Format; 3] = [Format::Html, Format::Markdown, Format::Json];

/// Shown in every format: a repair with readings on both sides of it, and a job of two visits.
const IN_FULL: [&str; 2] = ["cooler-dirty-condenser", "freezer-two-visits"];
/// Shown as Markdown: metric and flammable, and one full of slips and doubts.
const AS_MARKDOWN: [&str; 2] = ["merchandiser-propane", "phone-typed"];

fn compiled(path: &Path) -> Compiled {
    let text = std::fs::read(path).expect("an example can be read");
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    compile(Source::from_bytes(format!("examples/{name}"), text).expect("an example is text"))
}

fn rendered(compiled: &Compiled, audience: Audience, format: Format) -> String {
    report(
        compiled,
        audience,
        format,
        &MemoryWorld::default(),
        &Beside::default(),
    )
    .expect("an embedded template renders")
}

fn without_style(html: &str) -> String {
    let (before, rest) = html
        .split_once("<style>")
        .expect("a page has a style sheet");
    let (_, after) = rest.split_once("</style>").expect("a style sheet ends");
    format!("{before}<style>…</style>{after}")
}

/// Indented JSON with every list and object that fits on a line put on one, and numbers side by side.
fn condensed(json: &str) -> String {
    const WIDTH: usize = 160;
    let indent = |line: &str| line.len() - line.trim_start().len();
    let mut out: Vec<String> = Vec::new();
    for line in json.lines() {
        out.push(line.to_owned());
        if line.trim_start().starts_with(['}', ']']) {
            let opens = |l: &String| indent(l) == indent(line) && l.ends_with(['{', '[']);
            let from = out.iter().rposition(opens).expect("what closes was opened");
            let inside: Vec<&str> = out[from + 1..out.len() - 1]
                .iter()
                .map(|l| l.trim())
                .collect();
            let whole = format!("{}{}{}", out[from], inside.join(" "), line.trim());
            if whole.chars().count() <= WIDTH {
                out.truncate(from);
                out.push(whole);
            }
        }
        if let [.., before, last] = &mut out[..]
            && are_numbers(before)
            && are_numbers(last)
            && before.len() + last.trim_start().len() < WIDTH
        {
            before.push(' ');
            before.push_str(last.trim_start());
            out.pop();
        }
    }
    out.join("\n")
}

/// Numbers or pairs of them, as they stand in a list.
fn are_numbers(line: &str) -> bool {
    line.contains(|c: char| c.is_ascii_digit())
        && line.chars().all(|c| "0123456789.-e[], ".contains(c))
}

#[test]
fn the_reports_of_a_few_examples_look_as_they_did() {
    for stem in IN_FULL.iter().chain(&AS_MARKDOWN) {
        let compiled = compiled(&examples().join(format!("{stem}.job")));
        for audience in AUDIENCES {
            for format in FORMATS {
                if format != Format::Markdown && !IN_FULL.contains(stem) {
                    continue;
                }
                let text = rendered(&compiled, audience, format);
                let shown = match format {
                    Format::Html => without_style(&text),
                    Format::Json => condensed(&text),
                    _ => text,
                };
                let name = format!("{stem}-{}.{}", audience.name(), format.extension());
                insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
                    insta::assert_snapshot!(name, shown);
                });
            }
        }
    }
}

#[test]
fn every_example_states_its_facts_to_each_reader() {
    let notes: Vec<_> = std::fs::read_dir(examples())
        .expect("the examples")
        .map(|entry| entry.expect("an example").path())
        .filter(|path| path.extension().is_some_and(|e| e == "job"))
        .collect();
    assert!(notes.len() >= 8);
    let failures: Vec<String> = notes
        .iter()
        .flat_map(|note| {
            let compiled = compiled(note);
            let reports = Reports::of(|audience, format| rendered(&compiled, audience, format));
            reports.failures(&note.file_stem().unwrap_or_default().to_string_lossy())
        })
        .collect();
    assert!(failures.is_empty(), "\n{}", failures.join("\n"));
}

#[test]
fn every_file_of_facts_is_held_against_a_report() {
    let stems = |folder: &Path, ending: &str| -> Vec<String> {
        files(folder)
            .iter()
            .filter(|path| path.parent() == Some(folder))
            .filter(|path| path.extension().is_some_and(|e| e == ending))
            .map(|path| {
                path.file_stem()
                    .unwrap_or_default()
                    .to_string_lossy()
                    .into()
            })
            .collect()
    };
    let heard = stems(&cases().join("heard"), "txt");
    let mut held = stems(&examples(), "job");
    held.extend(heard.iter().map(|name| format!("heard-{name}")));
    held.push("rebranded".to_owned());
    held.sort();
    assert_eq!(stems(&cases().join("reports"), "facts"), held);
}

#[test]
fn private_lines_and_comments_never_reach_the_customer_or_the_office() {
    let note = "unit: X-1, cooler\nrefrigerant: R-134a\naccess: key under SECRETMAT\n# SECRETCOMMENT\n\
        visit 2026-01-02 Ana\n0900 arrive\n0901 private SECRETLINE one\n  SECRETLINE two\n\
        0902 saw frost # SECRETTAIL\n0903 gibberish SECRETGIBBERISH\n0904 did fan belt\n0910 depart\n";
    let compiled = compile(Source::new("note.job", note));
    for audience in [Audience::Customer, Audience::Office] {
        for format in FORMATS {
            let text = rendered(&compiled, audience, format);
            assert!(
                !text.contains("SECRET"),
                "{} {format:?}: {text}",
                audience.name()
            );
        }
    }
    let diagnosis = rendered(&compiled, Audience::Diagnosis, Format::Markdown);
    for kept in [
        "SECRETLINE one",
        "SECRETLINE two",
        "SECRETMAT",
        "SECRETGIBBERISH",
    ] {
        assert!(
            diagnosis.contains(kept),
            "{kept} is lost from the diagnosis note"
        );
    }
}

#[test]
fn what_is_private_within_a_line_reaches_nobody_else() {
    for line in [
        "did belt (private: SECRET)",
        "note a \u{2014} private SECRET",
        "note a - private SECRET",
        "note a, note to self SECRET",
        "note (office only) SECRET",
        "note a [internal SECRET]",
    ] {
        let note = format!(
            "unit: X-1, cooler\nvisit 2026-01-02 Ana\n0900 arrive\n0901 {line}\n0910 depart\n"
        );
        let compiled = compile(Source::new("note.job", note));
        for audience in [Audience::Customer, Audience::Office] {
            for format in FORMATS {
                let text = rendered(&compiled, audience, format);
                assert!(
                    !text.contains("SECRET"),
                    "{line}, {}: {text}",
                    audience.name()
                );
            }
        }
        let kept = rendered(&compiled, Audience::Diagnosis, Format::Markdown);
        assert!(kept.contains("SECRET"), "{line}");
    }
}

#[test]
fn markup_in_any_field_is_inert() {
    let hostile = "<script>alert(1)</script>";
    let note = format!(
        "job: {hostile}\ncustomer: {hostile}\nsite: {hostile}\nunit: {hostile}\nrefrigerant: R-134a {hostile}\n\
        cylinder: {hostile}\ninstruments: {hostile}\nfood limit: 41 F\nnameplate: {hostile}\ncomplaint: {hostile}\nwrong key: {hostile}\nvisit 2026-01-02 {hostile}\n0900 arrive\n\
        0901 saw {hostile}\n0902 cause {hostile}\n0903 did {hostile}\n0904 fitted {hostile}\n0905 left {hostile}\n\
        0906 told {hostile}\n0907 advise now {hostile}\n0908 photo {hostile}\n0909 private {hostile}\n0909 materials {hostile}\n0909 instrument {hostile}\n0909 product 50 F\n0909 removed 1 {hostile}, part 1{hostile}\n\
        0910 added 1 lb R-134a from {hostile}\n0911 box 39 F {hostile}\n0912 {hostile}\n0920 depart\n"
    );
    let compiled = compile(Source::new("note.job", note));
    for audience in AUDIENCES {
        for format in [Format::Html, Format::Markdown] {
            let text = rendered(&compiled, audience, format);
            assert!(!text.contains("<script"), "{} {format:?}", audience.name());
        }
    }
}

#[test]
fn a_replaced_template_is_used_and_a_wrong_one_names_its_line() {
    let compiled = compile(Source::new(
        "note.job",
        "unit: X-1\nvisit 2026-01-02 Ana\n0900 box 39 F\n",
    ));
    let with = |text: &str| {
        let mut world = MemoryWorld::default();
        world
            .templates
            .insert("customer.md".to_owned(), text.to_owned());
        report(
            &compiled,
            Audience::Customer,
            Format::Markdown,
            &world,
            &Beside::default(),
        )
    };
    assert_eq!(
        with("Unit {{ heading.unit }}").expect("renders"),
        "Unit X-1\n"
    );
    let wrong = with("one\n{{ headin.unit }}\n")
        .expect_err("a misspelt value is an error")
        .to_string();
    assert!(wrong.contains("customer.md, line 2"), "{wrong}");
    let endless = "{% for a in range(9999) %}{% for b in range(9999) %}x{% endfor %}{% endfor %}";
    assert!(with(endless).is_err(), "a template cannot run for ever");
}

#[test]
fn nothing_measured_is_said_and_never_zero() {
    let compiled = compile(Source::new(
        "note.job",
        "unit: X-1\nvisit 2026-01-02 Ana\n0900 did belt\n0930 box 39 F\n",
    ));
    let text = rendered(&compiled, Audience::Customer, Format::Markdown);
    assert!(
        text.contains("| Box temperature | not measured | 39 °F |"),
        "{text}"
    );
    let office = rendered(&compiled, Audience::Office, Format::Markdown);
    assert!(office.contains("not recorded"), "{office}");
}
