//! The binary as it is run: exit codes, streams, and files that are no notes.

use super::support::Run;
use rimebook::diagnostic::code::CODES;
use rimebook::findings::registry;

/// A note with nothing wrong in its writing, and nothing found.
const CLEAN: &str = "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\n\
    visit 2026-03-14 Dana R.\n0905 arrive\n0912 box -5 F\n0930 depart\n";
/// A note with one error: a misspelt point.
const WRONG: &str = "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\n\
    visit 2026-03-14 Dana R.\n0912 sucktoin 4.2 psig\n";
/// A note with one warning: something left open.
const DOUBTFUL: &str = "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\n\
    visit 2026-03-14 Dana R.\n0912 left alarm silenced\n";

#[test]
fn a_clean_note_exits_0() {
    let run = Run::new()
        .file("a.job", CLEAN)
        .args(["check", "a.job"])
        .go();
    let run = run.exits(0).says("1 note: 0 errors, 0 warnings, 0 advice");
    assert_eq!(run.stderr, "");
}

#[test]
fn a_warning_exits_0_and_an_error_1() {
    let run = Run::new()
        .file("a.job", DOUBTFUL)
        .args(["check", "a.job"])
        .go();
    run.exits(0).says("warning[RB601]").says("1 warning,");
    let run = Run::new()
        .file("a.job", WRONG)
        .args(["check", "a.job"])
        .go();
    run.exits(1).says("error[RB104]").says("1 error,");
}

#[test]
fn a_folder_is_checked_whole() {
    let run = Run::new()
        .file("jobs/a.job", CLEAN)
        .file("jobs/deep/b.job", WRONG)
        .file("jobs/notes.txt", "not a job note")
        .args(["check", "jobs"])
        .go();
    run.exits(1).says("2 notes: 1 error").says("deep/b.job:4:6");
}

#[test]
fn one_bad_file_does_not_hide_the_others() {
    let run = Run::new()
        .file("jobs/a.job", [0xFF, 0xFE, b'u', 0])
        .file("jobs/b.job", DOUBTFUL)
        .args(["check", "jobs"])
        .go();
    run.exits(1)
        .says("RB601")
        .says("1 unreadable")
        .complains("UTF-16");
}

#[test]
fn files_that_are_no_notes_are_refused_in_words() {
    let long = vec![b'a'; 50_000_000];
    let cases: [(&str, &[u8], &str); 4] = [
        (
            "utf16.job",
            &[0xFF, 0xFE, b'u', 0, b'n', 0],
            "save it as UTF-8",
        ),
        ("utf16be.job", &[0xFE, 0xFF, 0, b'u'], "save it as UTF-8"),
        (
            "latin.job",
            b"unit: WIF-2\nsite: Stra\xDFe 7\n",
            "line 2, column 11: byte 0xDF",
        ),
        ("long.job", &long, "too long for a job note"),
    ];
    for (name, bytes, sentence) in cases {
        let run = Run::new().file(name, bytes).args(["check", name]).go();
        let run = run.exits(2).complains(sentence).complains(name);
        assert!(!run.stderr.contains("os error"), "{}", run.stderr);
    }
}

#[test]
fn a_folder_of_nothing_and_a_missing_file_are_refused_in_words() {
    let run = Run::new()
        .file("jobs/notes.txt", "")
        .args(["check", "jobs"])
        .go();
    run.exits(2)
        .complains("jobs: no note (*.job) in this folder");
    let run = Run::new().args(["check", "none.job"]).go();
    run.exits(2).complains("none.job: there is no such file");
}

#[test]
fn an_empty_file_is_an_error_of_its_own() {
    for text in ["", "\n\n", "# to do\n", "\u{feff}"] {
        let run = Run::new().file("a.job", text).args(["check", "a.job"]).go();
        run.exits(1).says("RB002").says("unit: …");
    }
}

#[test]
fn nul_bytes_and_long_lines_cost_their_line() {
    let nul = format!("{CLEAN}0913 box\0 17 F\n");
    let run = Run::new().file("a.job", nul).args(["check", "a.job"]).go();
    run.exits(1).says("error[RB003]").says("1 error,");
    let long = format!(
        "{CLEAN}0913 saw {}\n0914 left alarm silenced\n",
        "frost ".repeat(175_000)
    );
    let run = Run::new().file("a.job", long).args(["check", "a.job"]).go();
    let run = run.exits(1).says("error[RB004]").says("warning[RB601]");
    // A megabyte of line is not printed back.
    assert!(
        run.stdout.len() < 5_000,
        "{} bytes printed",
        run.stdout.len()
    );
}

#[test]
fn standard_input_is_a_note() {
    let run = Run::new().stdin(WRONG).args(["check", "-"]).go();
    run.exits(1).says("standard input:4:6");
    let run = Run::new().stdin([0xFF, 0xFE]).args(["check", "-"]).go();
    run.exits(2).complains("standard input: the file is UTF-16");
}

#[test]
fn one_line_a_problem() {
    let run = Run::new()
        .file("a.job", WRONG)
        .args(["check", "--to", "line", "a.job"])
        .go()
        .exits(1);
    assert_eq!(
        run.stdout,
        "a.job:4:6: error[RB104] `sucktoin` is no measuring point (is `suction` meant?)\n"
    );
}

#[test]
fn json_is_one_object_a_line() {
    let note = format!("{WRONG}0913 box 17\n0914 left the “alarm” silenced\n");
    let run = Run::new()
        .file("a.job", note.as_str())
        .args(["check", "--to", "json", "a.job"])
        .go()
        .exits(1);
    let mut codes = Vec::new();
    for line in run.stdout.lines() {
        let object: serde_json::Value = serde_json::from_str(line).expect("one object a line");
        assert_eq!(object["file"], "a.job");
        for label in object["labels"].as_array().expect("labels") {
            let (start, end) = (label["start"].as_u64(), label["end"].as_u64());
            let range = start.expect("a start") as usize..end.expect("an end") as usize;
            assert!(note.get(range).is_some(), "{label}");
        }
        codes.push(object["code"].as_str().expect("a code").to_owned());
    }
    assert_eq!(codes, ["RB104", "RB202", "RB601"]);
    let first: serde_json::Value =
        serde_json::from_str(run.stdout.lines().next().expect("a line")).expect("an object");
    assert_eq!(first["fixes"][0]["replacement"], "suction");
    assert_eq!(first["fixes"][0]["safe"], false);
    assert_eq!(first["severity"], "error");
    assert_eq!(
        (&first["labels"][0]["line"], &first["labels"][0]["column"]),
        (&4.into(), &6.into())
    );
}

#[test]
fn advice_can_be_left_out() {
    let note = format!("{CLEAN}0931 box 17\n");
    let run = Run::new()
        .file("a.job", note.as_str())
        .args(["check", "a.job"])
        .go();
    run.exits(0).says("advice[RB202]");
    let run = Run::new()
        .file("a.job", note)
        .args(["check", "--no-advice", "a.job"])
        .go();
    let run = run.exits(0);
    assert!(!run.stdout.contains("RB202"), "{}", run.stdout);
}

#[test]
fn colour_only_where_it_is_wanted() {
    let coloured = |arguments: [&str; 4], variable: Option<&'static str>| {
        let mut run = Run::new().file("a.job", WRONG).args(arguments);
        if let Some(value) = variable {
            run = run.env("NO_COLOR", value);
        }
        run.go().exits(1).stdout.contains('\u{1b}')
    };
    // What is piped is no terminal.
    assert!(!coloured(["check", "--color", "auto", "a.job"], None));
    assert!(!coloured(["check", "--color", "auto", "a.job"], Some("1")));
    assert!(!coloured(["check", "--color", "never", "a.job"], None));
    assert!(coloured(["check", "--color", "always", "a.job"], None));
    // What is asked for on the command line is nearer than the environment.
    assert!(coloured(["check", "--color", "always", "a.job"], Some("1")));
}

#[test]
fn every_code_is_explained_by_id_and_by_name() {
    let codes = CODES.iter().copied().chain(registry().map(|r| &r.code));
    let list = Run::new().args(["explain"]).go().exits(0);
    for code in codes {
        let title = format!("{} {} ({})", code.id, code.name, code.severity.name());
        let lower = code.id.to_lowercase();
        for wanted in [code.id, lower.as_str(), code.name] {
            let run = Run::new().args(["explain", wanted]).go();
            let run = run.exits(0).says(&title);
            let first: String = code
                .explanation
                .split(' ')
                .take(4)
                .collect::<Vec<_>>()
                .join(" ");
            let unwrapped = run.stdout.replace('\n', " ");
            assert!(unwrapped.contains(&first), "{}", run.stdout);
            let widest = run.stdout.lines().map(|l| l.chars().count()).max();
            assert!(
                code.id.starts_with("RB3") || widest <= Some(100),
                "{}",
                run.stdout
            );
        }
        assert!(
            list.stdout
                .lines()
                .any(|l| l.starts_with(code.id) && l.ends_with(code.name)),
            "{} is not listed",
            code.id
        );
    }
}

#[test]
fn an_unknown_code_is_answered_with_the_nearest() {
    let run = Run::new().args(["explain", "RB3011"]).go();
    run.exits(2)
        .complains("there is no code `RB3011`; is RB301 meant?");
    let run = Run::new().args(["explain", "high-superheet"]).go();
    run.exits(2).complains("is high-superheat meant?");
    let run = Run::new().args(["explain", "xyzzy"]).go();
    run.exits(2)
        .complains("run `rimebook explain` for the list");
}

#[test]
fn misuse_exits_2() {
    for arguments in [
        ["check", "--to", "xml", "a.job"],
        ["chekc", "a.job", "", ""],
    ] {
        let run = Run::new().file("a.job", CLEAN).args(arguments).go();
        run.exits(2).complains("error");
    }
    let run = Run::new().args(["check"]).go();
    run.exits(2).complains("PATHS");
}

#[test]
fn help_and_version_exit_0() {
    let run = Run::new().args(["--help"]).go();
    run.exits(0).says("check").says("explain");
    let run = Run::new().args(["--version"]).go();
    run.exits(0).says(env!("CARGO_PKG_VERSION"));
}
