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
        // What goes on below a fact, or speaks of the line above, is private too.
        "private fitted 1 relay\n  CANARY50",
        "private locked out rooftop breaker\n  CANARY51",
        "private left defrost timer bypassed\n  CANARY52",
        "saw CANARY53\n  keep that off the report",
        "told manager CANARY54\n  who is rude, between us",
        "saw CANARY55. That stays private.",
        // Words that a fact is read from.
        "private added 1 lb R-134a from the CANARY56 bottle",
        "added 1 lb R-134a from CANARY57, keep that off the report",
        "private fitted 1 valve 2CANARY58",
        "between us, I added 1 lb R-134a from C-118 for CANARY59",
        "private CANARY60 pays late, removed 1 pump",
        "suction 20 psig, CANARY61, between us",
        "told by Ana CANARY62, off the record",
    ];
    let mut text = format!(
        "job: {job}\ncustomer: Mill Hall\nsite: 3 Quay\nunit: {unit}, cooler\nrefrigerant: R-134a, 12 lb\n\
         complaint: warm / pvt: CANARY40\n  private CANARY41\naccess: key under CANARY42\n# CANARY43\n\n\
         contact: Kim, CANARY47, off the record\nmodel: M-1 / pvt CANARY48\n\
         order: 7\n  CANARY49, between us\nvisit 2026-01-02 Ana / private: CANARY63\n0900 arrive # CANARY44\n0901 box 44 F\n"
    );
    for line in private {
        text.push_str("0905 ");
        text.push_str(line);
        text.push('\n');
    }
    text.push_str("0930 told Ana CANARY45\n0931 told my manager CANARY46\n1000 depart\n");
    text
}

/// A note's report as Markdown.
fn markdown(note: &str, audience: Audience) -> String {
    text(
        &compile(Source::new("note.job", note)),
        audience,
        Format::Markdown,
        &MemoryWorld::default(),
        &Beside::default(),
    )
    .expect("a report")
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
                for number in (1..=35).chain([41, 42]).chain(47..=63) {
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
        "1 lb",
        "main disconnect",
        "Locked out: breaker",
        "| contactor |",
        "| relay |",
        "| valve |",
        "| pump |",
        "defrost timer bypassed",
        "alarm silenced",
        "20 min",
    ] {
        assert!(office.contains(fact), "{fact} is lost: {office}");
    }
    assert_eq!(compiled.derived.books.added.pounds_ounces(), "8 lb");
    assert_eq!(compiled.job.visits[0].technicians[0].node, "Ana");
}

/// Talk that only sounds like a deed books nothing: a false entry is worse than a lost one.
#[test]
fn private_talk_books_nothing() {
    for line in [
        "private fitted for the dump, that unit",
        "private left the owner a note",
        "private leave the owner alone",
        "private locked out of the office again",
        "private add 3 lb R-134a next time",
        "private not added 3 lb R-134a",
        "private the other tech added 3 lb R-134a from C-118",
        "private the last guy was lazy and added 3 lb R-134a from C-118",
        "private arrived to a lot of shouting",
        "private removed from their list",
        "private drove them mad",
    ] {
        let note = format!(
            "unit: X-1, cooler\nrefrigerant: R-134a, 12 lb\nvisit 2026-01-02 Ana\n0900 arrive\n0905 {line}\n1000 depart\n"
        );
        let compiled = compile(Source::new("note.job", note));
        let entries = &compiled.job.visits[0].entries;
        assert_eq!(entries.len(), 3, "{line}: {entries:?}");
    }
}

#[test]
fn what_is_dictated_in_private_is_booked_and_not_shown() {
    for (said, fact) in [
        (
            "Between us, I added two pounds of R-134a from C-118 because of CANARY1.",
            "2 lb",
        ),
        (
            "Added two pounds of R-134a from C-118, off the record, CANARY2.",
            "2 lb",
        ),
        (
            "Locked out the main disconnect at nine for CANARY3, keep that off the report.",
            "main disconnect",
        ),
        (
            "Cleaned the coil. The compressor was fitted by CANARY4. Keep that off the report.",
            "",
        ),
        (
            "Between us. The fan was wired by CANARY5. Cleaned the coil.",
            "",
        ),
    ] {
        let heard = rimebook::spoken::hear(said, Some("2026-01-02 Ana"));
        let note = format!("unit: X-1, cooler\nrefrigerant: R-134a, 12 lb\n{heard}");
        let text_of = |audience| markdown(&note, audience);
        assert!(!text_of(Audience::Customer).contains(CANARY), "{heard}");
        let office = text_of(Audience::Office);
        assert!(
            !office.contains(CANARY) && office.contains(fact),
            "{heard}{office}"
        );
        assert!(text_of(Audience::Diagnosis).contains(CANARY), "{heard}");
    }
}

/// Whoever was told by somebody: it is in the log, and no report to the customer has it.
#[test]
fn what_the_writer_was_told_is_not_told_to_the_customer() {
    for line in [
        "told by manager CANARY1",
        "told by Ana CANARY2",
        "told me CANARY3",
    ] {
        let note = format!("unit: X-1, cooler\nvisit 2026-01-02 Ana\n0900 {line}\n");
        let text_of = |audience| markdown(&note, audience);
        assert!(!text_of(Audience::Customer).contains(CANARY), "{line}");
        assert!(text_of(Audience::Diagnosis).contains(CANARY), "{line}");
    }
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
        let run = folder().args(["explain"]).go();
        let answer = |more: &[&str]| {
            let done = std::process::Command::new(env!("CARGO_BIN_EXE_rimebook"))
                .args(*arguments)
                .args(more)
                .current_dir(run.path("."))
                .output()
                .expect("the binary runs");
            let text = [done.stdout, done.stderr].concat();
            let text = String::from_utf8(text).expect("text");
            assert_eq!(seen(&text), [""; 0], "{name}, {more:?}: {text}");
            text
        };
        for form in ["text", "json"] {
            answer(&["--to", form]);
        }
        // A CSV file holds one table; the refusal of a wrong name lists them all.
        let refusal = answer(&["--to", "csv", "--table", "none"]);
        let names = refusal
            .trim_end()
            .split(" has: ")
            .nth(1)
            .expect("the tables");
        for table in names.split(", ") {
            answer(&["--to", "csv", "--table", table]);
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
