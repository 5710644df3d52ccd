//! Runs that were killed or that run at the same time: the next one takes up what is there, nothing of
//! somebody else's is touched, and nothing half-written stays.

use super::support::{Run, files};
use jiff::civil::Date;
use rimebook::binder::{Bound, Kind, Order, bind};
use rimebook::render::Format;
use rimebook::settings::Settings;
use rimebook::view::Audience;
use rimebook::world::{Claim, MemoryWorld, Rewritten, World, Writing};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A world in which a run is killed after so many changes of files.
struct Dying {
    world: MemoryWorld,
    changes_left: AtomicUsize,
}

impl Dying {
    fn change(&self) -> io::Result<()> {
        let spend = |left: usize| left.checked_sub(1);
        let spent = self
            .changes_left
            .fetch_update(Ordering::SeqCst, Ordering::SeqCst, spend);
        spent.map(drop).map_err(|_| io::Error::other("killed"))
    }
}

impl Dying {
    /// Of notes without reports yet.
    fn after(changes: usize) -> Self {
        Self {
            world: notes(),
            changes_left: AtomicUsize::new(changes),
        }
    }
}

impl World for Dying {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.world.read(path)
    }
    fn notes(&self, path: &Path) -> io::Result<Vec<PathBuf>> {
        self.world.notes(path)
    }
    fn templates(&self) -> io::Result<BTreeMap<String, String>> {
        self.world.templates()
    }
    fn length(&self, path: &Path) -> Option<u64> {
        self.world.length(path)
    }
    fn is_taken(&self, path: &Path) -> bool {
        self.world.is_taken(path)
    }
    fn write(&self, path: &Path, content: &[u8], how: Writing) -> io::Result<()> {
        self.change()?;
        self.world.write(path, content, how)
    }
    fn rewrite(&self, note: &Path, as_read: &[u8], content: &[u8]) -> Result<Rewritten, String> {
        self.world.rewrite(note, as_read, content)
    }
    fn append(&self, path: &Path, line: &str) -> io::Result<()> {
        self.change()?;
        self.world.append(path, line)
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        self.change()?;
        self.world.remove(path)
    }
    fn tidy(&self, folder: &Path) {
        self.world.tidy(folder);
    }
    fn claim(&self, folder: &Path) -> io::Result<Claim> {
        self.world.claim(folder)
    }
    fn today(&self) -> Date {
        self.world.today()
    }
}

fn note(job: u32, unit: &str) -> String {
    format!(
        "job: {job}\nsite: 3 Quay\nunit: {unit}, cooler\nrefrigerant: R-134a, 12 lb\nvisit 2026-01-02 Ana\n\
         0900 arrive\n0905 box 44 F\n0915 cleaned condenser\n0950 box 38 F\n1000 depart\n"
    )
}

fn notes() -> MemoryWorld {
    MemoryWorld::default()
        .with("notes/1.job", note(1, "WIC-1"))
        .with("notes/2.job", note(2, "WIC-1"))
        .with("notes/sub/3.job", note(3, "WIF-1"))
}

fn run(world: &dyn World, kind: Kind) -> Result<Bound, String> {
    let order = Order {
        folder: Path::new("notes"),
        out: Path::new("out"),
        kind,
        settings: &Settings::default(),
        program: "test".to_owned(),
        progress: &|_| {},
    };
    bind(world, &order)
}

fn files_made(world: &MemoryWorld) -> BTreeMap<PathBuf, Vec<u8>> {
    let files = world.files();
    let made = files.iter().filter(|(path, _)| path.starts_with("out"));
    made.map(|(path, content)| (path.clone(), content.clone()))
        .collect()
}

const CUSTOMER_MARKDOWN: Kind = Kind {
    audience: Audience::Customer,
    format: Format::Markdown,
};

/// Every kind of report that this program can make.
fn kinds() -> impl Iterator<Item = Kind> {
    Kind::all().filter(|kind| kind.format != Format::Pdf)
}

#[test]
fn a_run_killed_at_any_point_is_taken_up_by_the_next() {
    for kind in kinds() {
        let whole = notes();
        run(&whole, kind).expect("a whole run");
        let expected = files_made(&whole);
        let journals = |files: &BTreeMap<PathBuf, Vec<u8>>| {
            let is_journal = |path: &&PathBuf| path.to_string_lossy().ends_with(".journal");
            files.keys().filter(is_journal).count()
        };
        assert_eq!(journals(&expected), 0);
        let mut killed = 0;
        for changes in 0.. {
            let dying = Dying::after(changes);
            if run(&dying, kind).is_ok() {
                break;
            }
            killed += 1;
            let healed = run(&dying.world, kind)
                .unwrap_or_else(|why| panic!("{kind:?}, after {changes} changes: {why}"));
            assert_eq!(healed.notes, 3, "{kind:?}, after {changes} changes");
            assert!(
                files_made(&dying.world) == expected,
                "{kind:?}, after {changes} changes: other files"
            );
        }
        // Three reports, two pages and an index, each named before it is written.
        assert!(killed > 10, "{kind:?}: only {killed}");
    }
}

#[test]
fn what_a_killed_run_made_of_a_note_that_is_gone_goes_too() {
    let kind = CUSTOMER_MARKDOWN;
    let dying = Dying::after(6);
    run(&dying, kind).expect_err("killed");
    let world = dying.world;
    world.files().remove(Path::new("notes/1.job"));
    run(&world, kind).expect("a whole run");
    let files = files_made(&world);
    assert!(
        !files.contains_key(Path::new("out/1-customer.md")),
        "{:?}",
        files.keys()
    );
    assert!(files.contains_key(Path::new("out/2-customer.md")));
}

#[test]
fn a_file_of_somebody_else_is_not_taken_for_one_of_a_killed_run() {
    let kind = CUSTOMER_MARKDOWN;
    let dying = Dying::after(6);
    run(&dying, kind).expect_err("killed");
    // Written since, under a name that the run had for one of its own.
    for name in ["1-customer.md", "2-customer.md", "sub/3-customer.md"] {
        let path = Path::new("out").join(name);
        dying.world.files().insert(path, b"my own words".to_vec());
    }
    let why = run(&dying.world, kind)
        .expect("the other pages are made")
        .failed;
    assert_eq!(why.len(), 3, "{why:?}");
    assert!(why[0].contains("was not made by rimebook"), "{why:?}");
    let files = files_made(&dying.world);
    assert_eq!(files[Path::new("out/1-customer.md")], b"my own words");
    // So is an empty one.
    let world = notes().with("out/1-customer.html", "");
    let kind = Kind {
        format: Format::Html,
        ..kind
    };
    let bound = run(&world, kind).expect("the others are made");
    assert!(bound.failed[0].contains("was not made by rimebook"));
    assert!(files_made(&world)[Path::new("out/1-customer.html")].is_empty());
}

#[test]
fn runs_at_the_same_time_wait_for_each_other() {
    for format in ["html", "md", "csv", "json"] {
        let mut folder = Run::new();
        for job in 0..40 {
            folder = folder.file(
                &format!("notes/{job}.job"),
                note(job, &format!("WIC-{job}")),
            );
        }
        let run = folder.args(["check", "notes"]).go();
        let start = |audience: &str| {
            std::process::Command::new(env!("CARGO_BIN_EXE_rimebook"))
                .args([
                    "report", "notes", "-o", "out", "--to", format, "--for", audience,
                ])
                .current_dir(run.path("."))
                .stderr(std::process::Stdio::piped())
                .spawn()
                .expect("the binary runs")
        };
        let running = [start("customer"), start("customer"), start("office")];
        for child in running {
            let done = child.wait_with_output().expect("it ends");
            let said = String::from_utf8_lossy(&done.stderr);
            assert_eq!(done.status.code(), Some(0), "{format}: {said}");
        }
        let all = files(&run.path("out"));
        let ending = format!("-customer.{format}");
        let of_customer = all
            .iter()
            .filter(|p| p.to_string_lossy().ends_with(&ending));
        assert_eq!(of_customer.count(), 40, "{format}");
        let left = |p: &&PathBuf| {
            let name = p.to_string_lossy();
            name.ends_with(".tmp") || name.ends_with(".journal")
        };
        assert_eq!(all.iter().find(left), None, "{format}");
    }
}

#[test]
fn half_written_files_of_killed_runs_go_and_those_of_live_ones_stay() {
    let spoken = "unit: X-1, cooler\nvisit 2026-01-02 Ana\n9:00 arrive\n";
    for arguments in [
        ["fmt", "notes", "notes"],
        ["fix", "notes", "notes"],
        ["report", "notes/1.job", "-onotes/1.html"],
        ["report", "notes", "-onotes"],
    ] {
        let run = Run::new()
            .file("notes/1.job", spoken)
            .file("notes/.rimebook-dead01.tmp", "half")
            .file("notes/.rimebook-live01.tmp", "half")
            .file("notes/.rimebook-own.txt", "mine");
        let run = run.args(["explain"]).go();
        let live = std::fs::File::open(run.path("notes/.rimebook-live01.tmp")).expect("a file");
        live.lock().expect("a lock");
        let done = std::process::Command::new(env!("CARGO_BIN_EXE_rimebook"))
            .args(arguments)
            .current_dir(run.path("."))
            .output()
            .expect("the binary runs");
        assert!(done.status.code().is_some(), "{done:?}");
        assert!(
            !run.path("notes/.rimebook-dead01.tmp").exists(),
            "{arguments:?}"
        );
        assert!(
            run.path("notes/.rimebook-live01.tmp").exists(),
            "{arguments:?}"
        );
        assert!(
            run.path("notes/.rimebook-own.txt").exists(),
            "{arguments:?}"
        );
    }
}
