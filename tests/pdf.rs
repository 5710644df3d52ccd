//! Reports as PDF, read back with poppler's tools: text, pages, tags, bookmarks, and the same bytes again.
//!
//! These need `pdftotext`, `pdfinfo` and `pdftoppm` (Debian's poppler-utils), as `.ci/run` installs them.

use super::support::{Run, case};
use rimebook::binder::{Around, Kind, report};
use rimebook::compile::{Compiled, compile};
use rimebook::render::{Format, Renderer};
use rimebook::settings::Settings;
use rimebook::source::Source;
use rimebook::view::Audience;
use rimebook::world::MemoryWorld;
use std::path::Path;
use std::process::Command;

fn example(name: &str) -> Compiled {
    case(
        &Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("examples")
            .join(name),
    )
}

fn pdf(compiled: &Compiled, audience: Audience, settings: &str, world: &MemoryWorld) -> Vec<u8> {
    let settings = Settings::parse(settings, Path::new("")).expect("settings");
    let renderer = Renderer::new(world, &settings).expect("a renderer");
    let kind = Kind {
        audience,
        format: Format::Pdf,
    };
    let around = Around::beside(Path::new(""));
    let made = report(&renderer, compiled, kind, world, around);
    made.unwrap_or_else(|e| panic!("{e}"))
}

/// What a tool says of a PDF.
fn tool(name: &str, arguments: &[&str], pdf: &[u8]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("report.pdf");
    std::fs::write(&file, pdf).expect("a PDF");
    let (before, after): (Vec<&str>, Vec<&str>) = arguments
        .iter()
        .partition(|a| a.len() > 1 && a.starts_with('-'));
    let output = Command::new(name)
        .args(before)
        .arg(&file)
        .args(after)
        .current_dir(folder.path())
        .output()
        .unwrap_or_else(|e| panic!("{name} (Debian's poppler-utils): {e}"));
    assert!(output.status.success(), "{name}: {output:?}");
    if name == "pdftoppm" {
        let pages = std::fs::read_dir(folder.path()).expect("pages");
        let names = pages.map(|p| {
            p.expect("a page")
                .file_name()
                .to_string_lossy()
                .into_owned()
        });
        return names.filter(|n| n.ends_with(".pgm")).count().to_string();
    }
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[test]
fn the_customer_report_says_what_the_page_says_on_two_pages() {
    let compiled = example("freezer-two-visits.job");
    let made = pdf(&compiled, Audience::Customer, "", &MemoryWorld::default());
    let text = tool("pdftotext", &["-layout", "-"], &made);
    for said in [
        "WIF-4, walk-in freezer, meals for delivery",
        "Repaired, with readings taken after the repair.",
        "What to decide",
        "What happens if nothing is done is not stated.",
        "209 / 207 / 210 V",
        "setting -10 °F",
        "Page 1 of 2",
        "Page 2 of 2",
    ] {
        assert!(text.contains(said), "{said} is not in:\n{text}");
    }
    let info = tool("pdfinfo", &[], &made);
    for said in [
        "Title:           Service report: WIF-4",
        "Tagged:          yes",
        "Pages:           2",
        "612 x 792 pts (letter)",
    ] {
        assert!(info.contains(said), "{said} is not in:\n{info}");
    }
    assert_eq!(tool("pdftoppm", &["-gray", "page"], &made), "2");
}

#[test]
fn headings_are_tags_and_bookmarks_and_drawings_are_described() {
    let compiled = example("freezer-two-visits.job");
    for audience in Audience::ALL {
        let made = pdf(&compiled, audience, "", &MemoryWorld::default());
        let tags = tool("pdfinfo", &["-struct-text"], &made);
        for tag in ["H1", "H2", "Table", "TH", "TD", "Figure"] {
            let is_there = tags.lines().any(|l| l.trim_start().starts_with(tag));
            assert!(
                is_there,
                "no {tag} in the {} report:\n{tags}",
                audience.name()
            );
        }
        let raw = String::from_utf8_lossy(&made);
        assert!(raw.contains("/Outlines"), "no bookmarks");
        assert!(raw.contains("/Lang"), "no language");
        assert!(raw.contains("pdfuaid"), "not marked as PDF/UA");
    }
}

#[test]
fn the_same_note_gives_the_same_bytes() {
    let compiled = example("cooler-food-plan.job");
    for audience in Audience::ALL {
        let world = MemoryWorld::default();
        let first = pdf(&compiled, audience, "", &world);
        assert!(
            first == pdf(&compiled, audience, "", &world),
            "{}",
            audience.name()
        );
    }
    // And in another process.
    let note = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/cooler-food-plan.job"),
    )
    .expect("an example");
    let run = Run::new()
        .file("a.job", &note)
        .args(["report", "a.job", "--to", "pdf", "-o", "one.pdf"])
        .go()
        .exits(0);
    let run = run
        .again(["report", "a.job", "--to", "pdf", "-o", "two.pdf"])
        .exits(0);
    let read = |name: &str| std::fs::read(run.path(name)).expect("a PDF");
    assert!(read("one.pdf") == read("two.pdf"));
}

#[test]
fn language_paper_and_company_are_those_of_the_settings() {
    let compiled = example("freezer-two-visits.job");
    let settings = "language = \"es\"\n[company]\nname = \"Taller del Muelle\"\nphone = \"000\"\n[report]\npaper = \"a4\"\naccent = \"#7a2048\"\n";
    let made = pdf(
        &compiled,
        Audience::Customer,
        settings,
        &MemoryWorld::default(),
    );
    let text = tool("pdftotext", &["-layout", "-"], &made);
    for said in [
        "Reporte de servicio",
        "Taller del Muelle",
        "Página 1 de",
        "¿Volverá a pasar?",
    ] {
        assert!(text.contains(said), "{said} is not in:\n{text}");
    }
    assert!(tool("pdfinfo", &[], &made).contains("(A4)"));
}

#[test]
fn nothing_in_a_note_is_read_as_markup() {
    let hostile =
        "#panic(\"x\") #read(\"/etc/hostname\") $x$ [a] *b* _c_ `d` \\ \"q\" <e> @f ]] ) // g /* h";
    let note = format!(
        "job: {hostile}\ncustomer: {hostile}\nsite: {hostile}\nunit: {hostile}\nrefrigerant: R-134a\ncomplaint: {hostile}\n\
        visit 2026-01-02 {hostile}\n0900 arrive\n0901 saw {hostile}\n0902 cause {hostile}\n0903 did {hostile}\n\
        0904 fitted {hostile}\n0905 left {hostile}\n0906 told {hostile}\n0907 advise now {hostile}, if not: {hostile}\n\
        0908 watch {hostile}\n0909 private {hostile}\n0910 {hostile}\n0920 depart\n"
    );
    let compiled = compile(Source::new("note.job", note));
    for audience in Audience::ALL {
        let made = pdf(&compiled, audience, "", &MemoryWorld::default());
        let text = tool("pdftotext", &["-"], &made);
        let plain: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            plain.contains("#panic(\"x\") #read(\"/etc/hostname\") $x$ [a]"),
            "{plain}"
        );
    }
}

#[test]
fn a_letter_that_no_font_has_and_a_broken_photograph_cost_only_themselves() {
    let broken = b"\x89PNG\r\n\x1a\nand no more".to_vec();
    let world = MemoryWorld::default().with("coil.png", broken);
    let note = "unit: \u{1F9CA} 冷凍, X-1\nvisit 2026-01-02 Ana\n0900 arrive\n0901 photo coil.png iced coil\n0902 did fan belt\n0920 depart\n";
    let compiled = compile(Source::new("note.job", note));
    let made = pdf(&compiled, Audience::Customer, "", &world);
    assert!(tool("pdftotext", &["-"], &made).contains("Fan belt"));
}
