//! How long a note takes, stage by stage, and a folder of a thousand.
//!
//! `cargo bench --bench check` measures. To try the program itself on a folder, write one:
//! `RIMEBOOK_WRITE_NOTES=DIR cargo bench --bench check` puts 10,000 notes (`RIMEBOOK_NOTES=N` for
//! another number) into `DIR`, says their mean size, and stops.

#[path = "generate.rs"]
mod generate;

use divan::{Bencher, black_box};
use generate::generate;
use rimebook::causes::rank;
use rimebook::compile::{Compiled, compile};
use rimebook::derive::Bench;
use rimebook::diagnostic::{annotated, short};
use rimebook::findings::Case;
use rimebook::format::{Style, canonical};
use rimebook::source::Source;
use std::path::Path;

/// The folder measured; another seed gives other notes of the same mix.
const SEED: u64 = 2026;
/// Notes in turn, so that no single one is learnt by heart.
const NOTES: u64 = 64;

fn main() {
    match std::env::var_os("RIMEBOOK_WRITE_NOTES") {
        Some(folder) => write(Path::new(&folder)),
        None => divan::main(),
    }
}

/// Writes the folder, a thousand notes to a subfolder, as a company keeps them.
fn write(folder: &Path) {
    let count = std::env::var("RIMEBOOK_NOTES")
        .ok()
        .and_then(|n| n.parse().ok());
    let count: u64 = count.unwrap_or(10_000);
    let mut bytes = 0;
    for index in 0..count {
        let year = folder.join(format!("{:02}", index / 1000));
        std::fs::create_dir_all(&year).expect("the folder can be made");
        let text = generate(SEED, index);
        bytes += text.len();
        std::fs::write(year.join(format!("{index:05}.job")), text)
            .expect("the note can be written");
    }
    let mean = bytes as f64 / count.max(1) as f64;
    println!("{count} notes, mean {mean:.0} bytes, {bytes} bytes in all");
}

fn sources(count: u64) -> Vec<Source> {
    (0..count)
        .map(|i| Source::new(format!("{i:05}.job"), generate(SEED, i)))
        .collect()
}

fn compiled() -> Vec<Compiled> {
    sources(NOTES).into_iter().map(compile).collect()
}

/// Runs `work` on one note after another.
fn in_turn<T, R>(bencher: Bencher, inputs: &[T], mut work: impl FnMut(&T) -> R) {
    let mut next = 0;
    bencher.bench_local(|| {
        next = (next + 1) % inputs.len();
        work(black_box(&inputs[next]))
    });
}

#[divan::bench]
fn parse(bencher: Bencher) {
    in_turn(bencher, &sources(NOTES), |source| {
        rimebook::syntax::parse(source).lines.len()
    });
}

#[divan::bench]
fn build_model(bencher: Bencher) {
    let sources = sources(NOTES);
    let parsed: Vec<_> = sources
        .iter()
        .map(|s| (s, rimebook::syntax::parse(s)))
        .collect();
    in_turn(bencher, &parsed, |(source, parse)| {
        rimebook::model::build(source, parse)
    });
}

/// What `fmt --check` costs a note that needs no change, and one that does.
#[divan::bench(args = [true, false])]
fn fmt(bencher: Bencher, is_canonical: bool) {
    let form = |source: &Source| canonical(source, Style::default()).into_owned();
    let mut sources = sources(NOTES);
    if is_canonical {
        sources = sources
            .iter()
            .map(|s| Source::new(s.name(), form(s)))
            .collect();
    }
    in_turn(bencher, &sources, |source| {
        canonical(source, Style::default()).len()
    });
}

#[divan::bench]
fn derive(bencher: Bencher) {
    in_turn(bencher, &compiled(), |note| {
        rimebook::derive::derive(&note.job, &Bench::new(&note.job))
    });
}

#[divan::bench]
fn findings(bencher: Bencher) {
    in_turn(bencher, &compiled(), |note| {
        rimebook::findings::judge(&note.job, &note.derived, &Bench::new(&note.job))
    });
}

/// A freezer with every reading that a cause rests on: short of refrigerant.
const FULL: &str = "unit: U-1, low-temp walk-in freezer
refrigerant: R-404A, 3.77 lb
metering: txv, receiver
nameplate: 230 V 1 ph, rla 20.5 A, control 120 V, heaters 4900 W, capacitor 25 uF
setpoint: -8 F
design td: 10 F
target superheat: 7 F
target subcooling: 6 F
design split: 17 F
design ambient: 95 F
head pressure hold: 78 F
visit 2026-06-01 Ola
0905 suction 5.1 psig, discharge 215 psig, liquid pressure 214 psig, suction line -14 F
0905 compressor inlet 15 F, liquid line 92 F, after drier 91.7 F, discharge line 239 F
0905 ambient 84.7 F, condenser air out 95 F, return air -3 F, supply air -11 F, box -3.5 F
0905 L1-L2 231 V, T1-T2 231 V, contactor coil 120 V, run capacitor 25.5 uF, heater 0 V
0905 compressor running, compressor 11.3 A, sight glass bubbles, defrost off
0906 saw frost on part of the coil only
";

/// Ranking the causes of one full note, nothing else.
#[divan::bench]
fn causes(bencher: Bencher) {
    let note = compile(Source::new("note.job", FULL));
    let bench = Bench::new(&note.job);
    let case = Case {
        job: &note.job,
        derived: &note.derived,
        bench: &bench,
    };
    let found = rank(&case, note.energy(), note.findings())
        .found
        .expect("a ranking");
    assert!(found.observed.measured.len() >= 7 && found.observed.signs.len() == 2);
    bencher.bench_local(|| rank(black_box(&case), note.energy(), note.findings()));
}

/// All stages of one note.
#[divan::bench]
fn compile_note(bencher: Bencher) {
    let sources = sources(NOTES);
    let mut next = 0;
    bencher
        .with_inputs(|| {
            next = (next + 1) % sources.len();
            let source = &sources[next];
            Source::new(source.name(), source.text())
        })
        .bench_local_values(compile);
}

#[divan::bench]
fn render_line(bencher: Bencher) {
    in_turn(bencher, &compiled(), |note| {
        note.report()
            .iter()
            .map(|d| short(&note.source, d).len())
            .sum::<usize>()
    });
}

#[divan::bench]
fn render_excerpt(bencher: Bencher) {
    in_turn(bencher, &compiled(), |note| {
        note.report()
            .iter()
            .map(|d| annotated(&note.source, d, false).len())
            .sum::<usize>()
    });
}

/// A thousand notes on one core, all stages, nothing printed.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn compile_folder(bencher: Bencher) {
    let notes: Vec<String> = (0..1000).map(|i| generate(SEED, i)).collect();
    bencher.bench_local(|| {
        let found = |text: &String| {
            compile(Source::new("note.job", text.as_str()))
                .report()
                .len()
        };
        black_box(&notes).iter().map(found).sum::<usize>()
    });
}

/// The generator itself, to be taken off where it is part of a measurement.
#[divan::bench]
fn generate_note(bencher: Bencher) {
    let mut index = 0;
    bencher.bench_local(|| {
        index += 1;
        generate(SEED, black_box(index))
    });
}
