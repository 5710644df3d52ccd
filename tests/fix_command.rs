//! `rimebook fix` as it is run: which files are written, and how.

use super::support::{Outcome, Run};

const HEAD: &str =
    "unit: WIF-2, walk-in freezer\nrefrigerant: R-448A, 22 lb\nvisit 2026-03-14 Dana R.\n";

/// A note with two certain fixes and nothing else.
fn plain() -> String {
    format!("{HEAD}0912 box -5 F, ambient 82\n0913 box -5,5 F\n0930 depart\n")
}

/// The same, fixed.
fn plain_fixed() -> String {
    format!("{HEAD}0912 box -5 F, ambient 82 F\n0913 box -5.5 F\n0930 depart\n")
}

/// A note with something to choose.
fn open() -> String {
    format!("{HEAD}0912 box -5 F, sucktoin 4.2 psig\n")
}

fn fix(name: &str) -> Run {
    Run::new().file(name, plain()).args(["fix", name])
}

/// Asserts that the note is as it was and that nothing else was left in its folder.
#[track_caller]
fn untouched(run: &Outcome) {
    assert_eq!(run.holds("a.job"), plain());
    let left: Vec<_> = std::fs::read_dir(run.path("a.job").parent().expect("a folder"))
        .expect("the folder")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.starts_with(".rimebook-"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_note_is_fixed_and_the_change_shown() {
    let run = fix("a.job").go().exits(0);
    assert_eq!(run.holds("a.job"), plain_fixed());
    assert_eq!(
        run.stdout,
        "--- a.job\n+++ a.job\n@@ -1,6 +1,6 @@\n unit: WIF-2, walk-in freezer\n \
         refrigerant: R-448A, 22 lb\n visit 2026-03-14 Dana R.\n\
         -0912 box -5 F, ambient 82\n-0913 box -5,5 F\n\
         +0912 box -5 F, ambient 82 F\n+0913 box -5.5 F\n 0930 depart\n\
         a.job: 2 fixes applied\n"
    );
    assert_eq!(run.stderr, "");
}

#[test]
fn a_dry_run_writes_nothing() {
    let run = fix("a.job").args(["fix", "--dry-run", "a.job"]).go();
    // What is only shown is still to be done.
    let run = run
        .exits(1)
        .says("+0913 box -5.5 F")
        .says("2 fixes to apply");
    untouched(&run);
}

#[test]
fn what_is_left_is_listed_and_chosen_by_line_and_letter() {
    let run = Run::new()
        .file("a.job", open())
        .args(["fix", "a.job"])
        .go()
        .exits(1)
        .says("a.job: 0 fixes applied, 1 left to choose\n")
        .says("4a: write `suction`\n      0912 box -5 F, suction 4.2 psig\n")
        .says("to choose: rimebook fix a.job --choose 4a\n");
    assert_eq!(run.holds("a.job"), open());
    let run = Run::new()
        .file("a.job", open())
        .args(["fix", "a.job", "--choose", "4a"])
        .go()
        .exits(0)
        .says("1 fix applied");
    assert_eq!(run.holds("a.job"), open().replace("sucktoin", "suction"));
}

#[test]
fn a_choice_that_is_not_offered_writes_nothing() {
    for choice in ["4b", "5a"] {
        let run = fix("a.job").args(["fix", "a.job", "--choose", choice]).go();
        untouched(
            &run.exits(2)
                .complains(&format!("there is no choice {choice}")),
        );
    }
    let run = fix("a.job")
        .args(["fix", "a.job", "--choose", "RB104"])
        .go();
    untouched(&run.exits(2).complains("write the line and its letter: 12a"));
    let run = fix("a.job")
        .file("b.job", plain())
        .args(["fix", ".", "--choose", "4a"])
        .go();
    untouched(&run.exits(2).complains("name it alone"));
}

#[test]
fn a_folder_is_fixed_whole_and_counted() {
    let run = Run::new()
        .file("jobs/a.job", plain())
        .file("jobs/deep/b.job", open())
        .file("jobs/c.job", plain_fixed())
        .file("jobs/d.job", [0xFF, 0xFE, b'u', 0])
        .args(["fix", "jobs"])
        .go()
        .exits(1)
        .says("jobs/a.job: 2 fixes applied\n")
        .says("4 notes (1 not worked on): 2 fixes applied, 1 left to choose\n")
        .says("rimebook fix jobs/deep/b.job --choose 4a")
        .complains("UTF-16");
    assert_eq!(run.holds("jobs/a.job"), plain_fixed());
    // Of a note with nothing to do nothing is said.
    assert!(!run.stdout.contains("c.job"), "{}", run.stdout);
}

#[test]
fn standard_input_is_fixed_to_standard_output() {
    let run = Run::new().stdin(plain()).args(["fix", "-"]).go().exits(0);
    assert_eq!(run.stdout, plain_fixed());
    let run = run
        .complains("+0913 box -5.5 F")
        .complains("standard input: 2 fixes applied");
    assert!(!run.stderr.contains('\u{1b}'));
    let run = Run::new().stdin("zzyzx\r\n").args(["fix", "-"]).go();
    assert_eq!(run.exits(1).stdout, "zzyzx\r\n");
    let run = fix("a.job").args(["fix", "-", "a.job"]).go();
    untouched(
        &run.exits(2)
            .complains("standard input is a note of its own"),
    );
}

#[test]
fn a_change_is_coloured_where_it_is_wanted_and_harmless() {
    let text = format!("{}# \u{1b}[2J\n0931 box 4\r\n0932 box 5", plain());
    let run = Run::new()
        .file("a.job", text.as_str())
        .args(["fix", "--color", "never", "a.job"])
        .go();
    assert!(!run.stdout.contains('\u{1b}'), "{}", run.stdout);
    let run = run
        .says(" # ␛[2J\n")
        .says("-0931 box 4\r\n")
        .says("+0932 box 5 F\n\\ No newline at end of file\n");
    // On disk, every byte that no fix is for is what it was.
    assert!(
        run.holds("a.job")
            .ends_with("# \u{1b}[2J\n0931 box 4 F\r\n0932 box 5 F")
    );
    let run = fix("a.job")
        .args(["fix", "--color", "always", "a.job"])
        .go();
    run.says("\u{1b}[32m+0913 box -5.5 F\u{1b}[0m\n");
}

#[test]
fn a_file_that_is_no_note_is_not_rewritten() {
    let run = fix("a.job")
        .file("a.txt", plain())
        .args(["fix", "a.txt", "b.txt"])
        .file("b.txt", plain())
        .go()
        .exits(2)
        .complains("a.txt: only notes (*.job) are rewritten; nothing was written");
    assert_eq!(run.holds("a.txt"), plain());
    // Where no note could be worked on, none is said to need nothing.
    assert_eq!(run.stdout, "");
}

#[cfg(unix)]
mod unix {
    use super::{fix, plain, plain_fixed, untouched};
    use std::fs::{self, Permissions};
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    use std::path::Path;

    fn set(path: &Path, mode: u32) {
        fs::set_permissions(path, Permissions::from_mode(mode)).expect("a mode");
    }

    #[test]
    fn the_mode_is_kept() {
        for mode in [0o600, 0o640, 0o666, 0o755] {
            let run = fix("a.job")
                .with(|folder| set(&folder.join("a.job"), mode))
                .go();
            let run = run.exits(0);
            assert_eq!(run.holds("a.job"), plain_fixed());
            let now = fs::metadata(run.path("a.job")).expect("the note");
            assert_eq!(now.mode() & 0o7777, mode);
        }
    }

    #[test]
    fn a_note_without_a_change_is_not_written() {
        let before = std::cell::Cell::new((0, 0, 0));
        let state = |path: &Path| {
            let held = fs::metadata(path).expect("the note");
            (held.ino(), held.mtime(), held.mtime_nsec())
        };
        let run = fix("a.job")
            .file("a.job", plain_fixed())
            .with(|folder| before.set(state(&folder.join("a.job"))))
            .go();
        let run = run.exits(0).says("a.job: nothing to fix\n");
        assert_eq!(state(&run.path("a.job")), before.get());
    }

    #[test]
    fn a_link_stays_a_link() {
        let run = fix("kept/a.job")
            .with(|folder| {
                symlink("kept/a.job", folder.join("b.job")).expect("a link");
                symlink("b.job", folder.join("c.job")).expect("a link to a link");
            })
            .args(["fix", "c.job"])
            .go()
            .exits(0);
        for link in ["b.job", "c.job"] {
            assert!(run.path(link).is_symlink(), "{link}");
            assert_eq!(run.holds(link), plain_fixed());
        }
        assert!(!run.path("kept/a.job").is_symlink());
        // A note that is reached by several names is fixed once.
        let run = fix("a.job")
            .with(|folder| symlink("a.job", folder.join("b.job")).expect("a link"))
            .args(["fix", "."])
            .go();
        run.exits(0).says("a.job: 2 fixes applied\n");
    }

    #[test]
    fn a_link_that_leads_nowhere_or_round_is_said_to() {
        for target in ["none.job", "b.job"] {
            let run = fix("a.job")
                .with(|folder| symlink(target, folder.join("b.job")).expect("a link"))
                .args(["fix", "b.job"])
                .go();
            let run = run
                .exits(2)
                .complains("b.job: it is a link that leads to no file");
            untouched(&run);
            assert!(run.path("b.job").is_symlink());
        }
    }

    #[test]
    fn what_was_made_read_only_stays() {
        let run = fix("a.job")
            .with(|folder| set(&folder.join("a.job"), 0o444))
            .go();
        let run = run
            .exits(2)
            .complains("a.job: the note is read-only; nothing was written");
        untouched(&run);
        let run = fix("jobs/a.job")
            .with(|folder| set(&folder.join("jobs"), 0o555))
            .go();
        // So that the folder can be taken away after the test.
        set(&run.path("jobs"), 0o755);
        let run = run
            .exits(2)
            .complains("jobs/a.job: its folder is read-only; nothing was written");
        assert_eq!(run.holds("jobs/a.job"), plain());
    }

    #[test]
    fn another_name_of_the_note_keeps_what_it_was() {
        let run = fix("a.job")
            .with(|folder| {
                fs::hard_link(folder.join("a.job"), folder.join("copy.txt")).expect("a link");
            })
            .go();
        let run = run
            .exits(0)
            .complains("a.job: kept as it was under 1 other name (hard link)");
        assert_eq!(run.holds("a.job"), plain_fixed());
        assert_eq!(run.holds("copy.txt"), plain());
    }
}
