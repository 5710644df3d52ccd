//! How long reports take: one note to each format, and a folder of a thousand with the program itself.
//!
//! `cargo bench --bench report`; with `--features pdf` also PDF.

#[path = "generate.rs"]
mod generate;

use divan::{Bencher, black_box};
use generate::generate;
use rimebook::binder::{Around, Kind, report};
use rimebook::compile::{Compiled, compile};
use rimebook::render::{Format, Renderer};
use rimebook::settings::Settings;
use rimebook::source::Source;
use rimebook::view::Audience;
use rimebook::world::MemoryWorld;
use std::path::Path;
use std::process::Command;

/// Another seed gives other notes of the same mix.
const SEED: u64 = 2026;
/// Notes in turn, so that no single one is learnt by heart.
const NOTES: u64 = 32;
/// Notes of the folder.
const THOUSAND: u64 = 1000;

fn main() {
    divan::main();
}

fn compiled() -> Vec<Compiled> {
    (0..NOTES)
        .map(|i| compile(Source::new(format!("{i:05}.job"), generate(SEED, i))))
        .collect()
}

/// Renders one note after another; what was worked out of it before stays worked out.
fn render(bencher: Bencher, audience: Audience, format: Format) {
    let world = MemoryWorld::default();
    let renderer = Renderer::new(&world, &Settings::default()).expect("a renderer");
    let notes = compiled();
    let mut next = 0;
    bencher.bench_local(|| {
        next = (next + 1) % notes.len();
        let note = black_box(&notes[next]);
        let kind = Kind { audience, format };
        let around = Around::beside(Path::new(""));
        let made = report(&renderer, note, kind, &world, around);
        made.expect("renders").len()
    });
}

#[divan::bench]
fn customer_html(bencher: Bencher) {
    render(bencher, Audience::Customer, Format::Html);
}

#[divan::bench]
fn diagnosis_html(bencher: Bencher) {
    render(bencher, Audience::Diagnosis, Format::Html);
}

#[divan::bench]
fn office_html(bencher: Bencher) {
    render(bencher, Audience::Office, Format::Html);
}

#[divan::bench]
fn customer_markdown(bencher: Bencher) {
    render(bencher, Audience::Customer, Format::Markdown);
}

#[divan::bench]
fn diagnosis_json(bencher: Bencher) {
    render(bencher, Audience::Diagnosis, Format::Json);
}

#[cfg(feature = "pdf")]
#[divan::bench]
fn customer_pdf(bencher: Bencher) {
    render(bencher, Audience::Customer, Format::Pdf);
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for i in 0..THOUSAND {
        let path = folder.path().join(format!("{i:05}.job"));
        std::fs::write(path, generate(SEED, i)).expect("a note");
    }
    folder
}

fn run(folder: &Path, out: &Path, audience: &str) {
    let status = Command::new(env!("CARGO_BIN_EXE_rimebook"))
        .args(["report", "--for", audience, "-o"])
        .args([out, folder])
        .output()
        .expect("the program runs")
        .status;
    // Some generated notes have errors, which is exit code 1.
    assert!(matches!(status.code(), Some(0 | 1)), "{status}");
}

#[divan::bench(args = ["customer", "diagnosis"], sample_count = 10)]
fn thousand_from_nothing(bencher: Bencher, audience: &str) {
    let folder = folder();
    bencher
        .with_inputs(|| tempfile::tempdir().expect("a folder"))
        .bench_local_refs(|out| run(folder.path(), out.path(), audience));
}

#[divan::bench(args = ["customer", "diagnosis"], sample_count = 20)]
fn thousand_with_one_changed(bencher: Bencher, audience: &str) {
    let folder = folder();
    let out = tempfile::tempdir().expect("a folder");
    run(folder.path(), out.path(), audience);
    let changed = folder.path().join("00500.job");
    let text = generate(SEED, 500);
    let mut n = 0;
    bencher
        .with_inputs(|| {
            n += 1;
            std::fs::write(&changed, format!("{text}# change {n}\n")).expect("a note");
        })
        .bench_local_values(|()| run(folder.path(), out.path(), audience));
}
