//! Private words through every output there is. A new reader, format or command does not pass until it
//! stands in a list here.

use super::support::{Run, files};
use rimebook::binder::{Beside, text};
use rimebook::compile::compile;
use rimebook::render::Format;
use rimebook::source::Source;
use rimebook::view::Audience;
use rimebook::view::tables::tables;
use rimebook::words::Words;
use rimebook::world::MemoryWorld;

/// What must not be seen: in every private place another number follows it.
const CANARY: &str = "CANARY";

/// Private words in every place that can hold any.
fn note(job: u32, unit: &str) -> String {
    let private = [
        "private CANARY1",
        "pvt CANARY2",
        "prvt: CANARY3",
        "internal CANARY4",
        "office only CANARY5",
        "did cleaning / pvt: CANARY6",
        "saw dirt, pvt CANARY7",
        "advise soon: clean / prvt CANARY8",
        "fitted 1 fan, pvt CANARY9",
        "told manager all done (private: CANARY10)",
        "cause dirt; internal CANARY11",
        "note a \u{2014} private CANARY12",
        "photo coil.png, pvt CANARY13",
        "removed 1 fan [internal CANARY14]",
        "watch frost, private CANARY15",
        "booked 2026-09-11, pvt CANARY16",
        "approved by manager, pvt CANARY17",
        "declined new door, pvt CANARY18",
        "material 1 rod, pvt CANARY19",
        "waited 10 min, pvt CANARY20",
        "saw CANARY21, keep that off the report",
        "between us, CANARY22",
        "CANARY23, that's just for us",
        "did wash, CANARY24, off the record",
        "don't tell the customer, CANARY25",
        "heard CANARY26, that stays private",
        "saw frost\n  pvt CANARY27",
        "did wash\n  CANARY28, between us",
        "told manager done\n  private CANARY29",
        // Facts are booked, the words about them are not shown.
        "private added 2 lb R-134a from C-118 CANARY30",
        "added 3 lb R-134a from C-118 CANARY31, keep that off the report",
        "private locked out main disconnect CANARY32",
        "private fitted 1 contactor CANARY33",
        "private left alarm silenced CANARY34",
        "private travel 20 min CANARY35",
    ];
    let mut text = format!(
        "job: {job}\ncustomer: Mill Hall\nsite: 3 Quay\nunit: {unit}, cooler\nrefrigerant: R-134a, 12 lb\n\
         complaint: warm / pvt: CANARY40\n  private CANARY41\naccess: key under CANARY42\n# CANARY43\n\n\
         visit 2026-01-02 Ana\n0900 arrive # CANARY44\n0901 box 44 F\n"
    );
    for line in private {
        text.push_str("0905 ");
        text.push_str(line);
        text.push('\n');
    }
    text.push_str("0930 told Ana CANARY45\n0931 told my manager CANARY46\n1000 depart\n");
    text
}

/// What of the canary a reader may find in a text.
fn seen(text: &str) -> Vec<String> {
    let after = text.split(CANARY).skip(1);
    let digits = |rest: &str| rest.chars().take_while(char::is_ascii_digit).collect();
    after.map(digits).collect()
}

/// True for a reader who sees everything. Whoever is added is decided upon here.
fn sees_all(audience: Audience) -> bool {
    match audience {
        Audience::Diagnosis => true,
        Audience::Customer | Audience::Office => false,
    }
}

/// True for a format whose content can be looked at as text.
fn is_text(format: Format) -> bool {
    match format {
        Format::Html | Format::Markdown | Format::Json | Format::Csv => true,
        // Read back with poppler's tools in `pdf.rs`; its template prints the same views.
        Format::Pdf => false,
    }
}

/// The office may read what a colleague was told; nothing else.
fn is_of_office(audience: Audience, canary: &str) -> bool {
    audience == Audience::Office && matches!(canary, "45" | "46")
}

#[test]
fn no_report_shows_what_is_private() {
    let compiled = compile(Source::new("note.job", note(1, "WIC-1")));
    let world = MemoryWorld::default();
    for audience in Audience::ALL {
        for format in Format::ALL.into_iter().filter(|format| is_text(*format)) {
            let made = text(&compiled, audience, format, &world, &Beside::default());
            let mut seen = seen(&made.expect("a report"));
            seen.retain(|canary| !is_of_office(audience, canary));
            if sees_all(audience) && format == Format::Markdown {
                for number in (1..=35).chain([41, 42]) {
                    let number = number.to_string();
                    assert!(seen.contains(&number), "{CANARY}{number} is lost");
                }
            } else if !sees_all(audience) {
                assert_eq!(seen, [""; 0], "{audience:?}, {format:?}");
            }
        }
        if !sees_all(audience) {
            for table in tables(&compiled, audience, Words::english()) {
                let mut seen = seen(&table.to_csv());
                seen.retain(|canary| !is_of_office(audience, canary));
                assert_eq!(seen, [""; 0], "{audience:?}, table {}", table.name);
            }
        }
    }
}

#[test]
fn what_a_private_sentence_does_is_booked() {
    let compiled = compile(Source::new("note.job", note(1, "WIC-1")));
    let office = text(
        &compiled,
        Audience::Office,
        Format::Markdown,
        &MemoryWorld::default(),
        &Beside::default(),
    )
    .expect("a report");
    for fact in [
        "2 lb",
        "3 lb",
        "main disconnect",
        "| contactor |",
        "alarm silenced",
        "20 min",
    ] {
        assert!(office.contains(fact), "{fact} is lost: {office}");
    }
    assert_eq!(compiled.derived.books.added.pounds_ounces(), "5 lb");
}

/// What each command shows, and to whom. Compared with the program's own list.
const COMMANDS: [(&str, &[&str]); 11] = [
    // For the technician at the note itself: shows what the note holds.
    ("check", &[]),
    ("fix", &[]),
    ("fmt", &[]),
    ("hear", &[]),
    // By readers and formats, above and below.
    ("report", &[]),
    ("history", &["history", "WIC-1", "notes"]),
    ("refrigerant", &["refrigerant", "notes"]),
    ("open", &["open", "notes"]),
    ("hours", &["hours", "notes"]),
    // Of no note.
    ("templates", &[]),
    ("explain", &[]),
];

fn folder() -> Run {
    let run = Run::new()
        .file("notes/1.job", note(1, "WIC-1"))
        .file("notes/2.job", note(2, "WIC-1"));
    run.file("notes/rimebook.toml", "jurisdiction = \"US\"\n")
}

#[test]
fn every_command_is_in_the_list() {
    let help = Run::new().args(["--help"]).go();
    let commands = help
        .stdout
        .split("Commands:")
        .nth(1)
        .expect("a list of commands");
    let commands = commands.split("Options:").next().expect("its end");
    for line in commands
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
    {
        let command = line.split_whitespace().next().expect("a command");
        // A value of a refrigerant, and the help itself, are of no note.
        let known = COMMANDS.iter().any(|(name, _)| *name == command);
        assert!(
            known || matches!(command, "saturation" | "help"),
            "{command}: does what it shows hold anything private?"
        );
    }
}

#[test]
fn no_answer_over_a_folder_shows_what_is_private() {
    for (name, arguments) in COMMANDS
        .iter()
        .filter(|(_, arguments)| !arguments.is_empty())
    {
        for form in ["text", "csv", "json"] {
            let run = folder().with(|_| {}).args(["explain"]).go();
            let done = std::process::Command::new(env!("CARGO_BIN_EXE_rimebook"))
                .args(*arguments)
                .args(["--to", form])
                .current_dir(run.path("."))
                .output()
                .expect("the binary runs");
            for text in [done.stdout, done.stderr] {
                let text = String::from_utf8_lossy(&text).into_owned();
                assert_eq!(seen(&text), [""; 0], "{name}, {form}: {text}");
            }
        }
    }
}

#[test]
fn no_page_of_a_folder_shows_what_is_private() {
    for audience in Audience::ALL {
        for format in Format::ALL.into_iter().filter(|format| is_text(*format)) {
            let report = [
                "report",
                "notes",
                "-o",
                "out",
                "--for",
                audience.name(),
                "--to",
                format.extension(),
            ];
            let run = folder().args(report).go();
            for file in files(&run.path("out")) {
                let name = file
                    .file_name()
                    .expect("a name")
                    .to_string_lossy()
                    .into_owned();
                if sees_all(audience) && name.contains("-diagnosis.") && !name.starts_with('.') {
                    continue;
                }
                let text = std::fs::read(&file).expect("a file");
                let mut seen = seen(&String::from_utf8_lossy(&text));
                seen.retain(|canary| !is_of_office(audience, canary));
                assert_eq!(seen, [""; 0], "{audience:?}, {format:?}, {name}");
            }
        }
    }
}
