//! Files that are called or made in unusual ways: none is lost, hangs a command, or leads it elsewhere.
#![cfg(unix)]

use super::support::{Outcome, Run};
use std::ffi::OsStr;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const NOTE: &str = "job: 1001\nunit: WIC-1, cooler\nvisit 2026-01-02 Ana\n0900 arrive\n0905 box 44 F\n1000 depart\n";
const OTHER: &str = "job: 2002\nunit: WIF-1, freezer\nvisit 2026-01-03 Ana\n0900 arrive\n0905 box 4 F\n1000 depart\n";
/// Every command over a folder of notes.
const OVER_FOLDERS: [&[&str]; 9] = [
    &["check", "notes"],
    &["fmt", "notes"],
    &["fmt", "--check", "notes"],
    &["fix", "notes"],
    &["report", "notes", "-o", "out"],
    &["refrigerant", "notes"],
    &["open", "notes"],
    &["hours", "notes"],
    &["history", "WIC-1", "notes"],
];

fn put(folder: &Path, name: &[u8], text: &str) {
    let path = folder.join(OsStr::from_bytes(name));
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
    std::fs::write(path, text).expect("a note");
}

fn in_time(run: &Outcome, arguments: &[&str]) -> (Option<i32>, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_rimebook"))
        .args(arguments)
        .current_dir(run.path("."))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary runs");
    let started = Instant::now();
    while child.try_wait().expect("a status").is_none() {
        if started.elapsed() > Duration::from_secs(60) {
            child.kill().expect("killed");
            panic!("{arguments:?} hangs");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let done = child.wait_with_output().expect("it ended");
    (
        done.status.code(),
        String::from_utf8_lossy(&done.stderr).into_owned(),
    )
}

#[test]
fn notes_whose_names_differ_only_in_what_is_no_text_get_a_report_each() {
    for (one, other) in [
        (&b"notes/b\xfcro.job"[..], &b"notes/b\xf6ro.job"[..]),
        (b"notes/b\xfcro.job", b"notes/b%FCro.job"),
        (b"notes/a\\b.job", b"notes/a/b.job"),
        (b"notes/a\\b.job", b"notes/a%5Cb.job"),
        (b"notes/a\x1b[31m.job", b"notes/a[31m.job"),
    ] {
        for format in ["html", "md", "csv"] {
            let prepare = |folder: &Path| {
                put(folder, one, NOTE);
                put(folder, other, OTHER);
            };
            let report = ["report", "notes", "-o", "out", "--to", format];
            let run = Run::new().with(prepare).args(report).go().exits(0);
            assert!(run.stderr.starts_with("2 reports of 2 made"), "{run:?}");
            let index = run.holds("out/index.html");
            assert!(
                index.contains("Job 1001") && index.contains("Job 2002"),
                "{index}"
            );
            // Each entry leads to a file that is there.
            let mut led = 0;
            for address in index.split("href=\"").skip(1) {
                let address = address.split('"').next().expect("an address");
                if !address.ends_with(format) || address.starts_with("units/") {
                    continue;
                }
                let mut bytes = Vec::new();
                let mut rest = address.bytes();
                while let Some(byte) = rest.next() {
                    if byte == b'%' {
                        let code = [rest.next(), rest.next()].map(|b| b.expect("a code"));
                        let code = std::str::from_utf8(&code).expect("digits");
                        bytes.push(u8::from_str_radix(code, 16).expect("digits"));
                    } else {
                        bytes.push(byte);
                    }
                }
                let file = run.path("out").join(OsStr::from_bytes(&bytes));
                assert!(file.is_file(), "{address}");
                led += 1;
            }
            assert_eq!(led, 2, "{index}");
            let again = run.again(report).exits(0);
            assert!(again.stderr.starts_with("0 reports of 2 made"), "{again:?}");
        }
    }
}

#[test]
fn a_pipe_or_a_device_is_no_note_and_hangs_nothing() {
    let prepare = |folder: &Path| {
        put(folder, b"notes/1.job", NOTE);
        let made = Command::new("mkfifo")
            .arg(folder.join("notes/pipe.job"))
            .status();
        assert!(made.expect("mkfifo").success());
        symlink("/dev/zero", folder.join("notes/zero.job")).expect("a link");
        symlink("/proc/kmsg", folder.join("notes/kmsg.job")).expect("a link");
    };
    let run = Run::new().with(prepare).args(["explain"]).go();
    for arguments in OVER_FOLDERS {
        let (code, said) = in_time(&run, arguments);
        assert_eq!(code, Some(1), "{arguments:?}: {said}");
        if arguments[0] == "check" || arguments[0] == "report" {
            assert!(said.contains("pipe.job: it is no ordinary file"), "{said}");
            assert!(
                said.contains("zero.job: it is a link to a file that is no note"),
                "{said}"
            );
        }
    }
    let made = std::fs::read_to_string(run.path("out/index.html")).expect("an index");
    assert!(made.contains("Job 1001"), "{made}");
}

#[test]
fn settings_that_are_a_pipe_hang_nothing() {
    let prepare = |folder: &Path| {
        put(folder, b"notes/1.job", NOTE);
        let made = Command::new("mkfifo")
            .arg(folder.join("notes/rimebook.toml"))
            .status();
        assert!(made.expect("mkfifo").success());
    };
    let run = Run::new().with(prepare).args(["explain"]).go();
    for arguments in [
        &["refrigerant", "notes"][..],
        &["report", "notes", "-o", "out"],
        &["fmt", "notes"],
    ] {
        let (code, said) = in_time(&run, arguments);
        assert_eq!(code, Some(2), "{arguments:?}: {said}");
        assert!(
            said.contains("rimebook.toml: it is no ordinary file"),
            "{said}"
        );
    }
}

#[test]
fn a_link_is_followed_only_to_a_note() {
    let text = "9:12 suction 4,2 psi and my secret plans\n";
    let prepare = |folder: &Path| {
        put(folder, b"elsewhere/plans.txt", text);
        put(
            folder,
            b"elsewhere/real.job",
            "unit: X-1, cooler\nvisit 2026-01-02 Ana\n9:00 arrive\n1000 depart\n",
        );
        std::fs::create_dir(folder.join("notes")).expect("a folder");
        symlink("../elsewhere/plans.txt", folder.join("notes/l.job")).expect("a link");
        symlink("../elsewhere/real.job", folder.join("notes/r.job")).expect("a link");
    };
    let run = Run::new().with(prepare).args(["explain"]).go();
    for arguments in OVER_FOLDERS {
        in_time(&run, arguments);
    }
    for arguments in [
        ["fmt", "notes/l.job"],
        ["fix", "notes/l.job"],
        ["report", "notes/l.job"],
    ] {
        let (code, said) = in_time(&run, &arguments);
        assert_eq!(code, Some(2), "{arguments:?}: {said}");
        assert!(
            said.contains("it is a link to a file that is no note"),
            "{said}"
        );
    }
    assert_eq!(run.holds("elsewhere/plans.txt"), text);
    // The note that the other link leads to is one.
    assert!(run.holds("elsewhere/real.job").contains("0900 arrive"));
    for file in super::support::files(&run.path("out")) {
        let held = std::fs::read(&file).expect("a file");
        assert!(
            !String::from_utf8_lossy(&held).contains("secret plans"),
            "{file:?}"
        );
    }
}

#[test]
fn a_standard_error_that_nobody_reads_stops_nothing() {
    let run = Run::new().file("notes/1.job", NOTE).args(["explain"]).go();
    for (arguments, code) in [
        (&["report", "notes", "-o", "out"][..], 0),
        (&["report", "notes/1.job"], 0),
        (&["check", "nowhere.job"], 2),
        (&["no-such-command"], 2),
    ] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
        let status = Command::new(env!("CARGO_BIN_EXE_rimebook"))
            .args(arguments)
            .current_dir(run.path("."))
            .stdout(Stdio::null())
            .stderr(Stdio::from(full.expect("a device that is full")))
            .status()
            .expect("the binary runs");
        assert_eq!(status.code(), Some(code), "{arguments:?}");
    }
}

#[test]
fn a_terminal_obeys_nothing_that_a_file_is_called() {
    let prepare = |folder: &Path| {
        put(folder, b"notes/\x1b[2Jgone.job", "9:00 arrive\nnonsense\n");
        std::fs::create_dir(folder.join(OsStr::from_bytes(b"notes/\x1b[2Jfolder.job")))
            .expect("a folder");
        symlink(
            "nowhere",
            folder.join(OsStr::from_bytes(b"notes/\x1b[31mlink.job")),
        )
        .expect("a link");
    };
    let run = Run::new().with(prepare).args(["explain"]).go();
    for arguments in OVER_FOLDERS {
        let done = Command::new(env!("CARGO_BIN_EXE_rimebook"))
            .args(arguments)
            .current_dir(run.path("."))
            .output()
            .expect("the binary runs");
        for (what, text) in [("stdout", done.stdout), ("stderr", done.stderr)] {
            let text = String::from_utf8_lossy(&text).into_owned();
            assert!(!text.contains('\u{1b}'), "{arguments:?}, {what}: {text:?}");
        }
    }
}
