//! The folder that reports stand in: what in it was made here, and what is somebody else's.
//!
//! A state file tells what a run made, once it ended. Until then a journal does: each file is named in
//! it, with the digest of what it will hold, before it is written. So a run that was killed is taken up
//! by the next, and what was not made here is never written over.

use super::report::Kind;
use super::state::{State, digest};
use crate::world::{Claim, World, Writing, folder_of, reason};
use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Component, Path, PathBuf};

/// The folder of reports, during one run of one kind.
pub(super) struct Shelf<'a> {
    world: &'a dyn World,
    out: &'a Path,
    kind: Kind,
    /// What the last run of this kind made.
    pub before: State,
    /// What stands there of other kinds.
    pub others: Vec<(Kind, State)>,
    /// Files named in state files.
    own: BTreeSet<String>,
    /// Files that runs named which did not end: name, and digests of what they were to hold.
    unfinished: BTreeMap<String, BTreeSet<String>>,
    _claim: Claim,
}

impl<'a> Shelf<'a> {
    /// Claims a folder for a run. Another run that writes to it is waited for.
    pub fn claim(world: &'a dyn World, out: &'a Path, kind: Kind) -> Result<Self, String> {
        let said = |e: &io::Error| format!("{}: {}", out.display(), reason(e));
        let claim = world.claim(out).map_err(|e| said(&e))?;
        let read = |name: String| world.read(&out.join(name));
        let (mut before, mut others) = (State::default(), Vec::new());
        let mut own = BTreeSet::new();
        for of in Kind::all() {
            let Ok(text) = read(state_file(of)) else {
                continue;
            };
            let state = State::parse(&text);
            own.extend(state.notes.values().map(|kept| kept.report.clone()));
            own.extend(state.pages.keys().cloned());
            if of == kind {
                before = state;
            } else if !state.notes.is_empty() {
                others.push((of, state));
            }
        }
        let mut unfinished: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for journal in Kind::all().filter_map(|kind| read(journal_file(kind)).ok()) {
            for line in String::from_utf8_lossy(&journal).lines() {
                if let Some((digest, name)) = line.split_once(' ') {
                    let held = unfinished.entry(name.to_owned()).or_default();
                    held.insert(digest.to_owned());
                }
            }
        }
        let shelf = Self {
            world,
            out,
            kind,
            before,
            others,
            own,
            unfinished,
            _claim: claim,
        };
        shelf.tidy();
        Ok(shelf)
    }

    /// Removes the half-written files of runs that were killed, wherever reports lie.
    fn tidy(&self) {
        let known = self.own.iter().chain(self.unfinished.keys());
        let mut folders: BTreeSet<&Path> = known.map(|name| folder_of(Path::new(name))).collect();
        folders.insert(Path::new("."));
        for folder in folders {
            self.world.tidy(&self.out.join(folder));
        }
    }

    /// True where no run of any kind made anything.
    pub fn is_empty(&self) -> bool {
        self.own.is_empty()
    }

    /// Writes a file: a new one, or one that was made here before.
    pub fn put(&self, name: &str, content: &[u8]) -> Result<(), String> {
        let path = self.out.join(name);
        if self.world.is_taken(&path) && !self.is_own(name, &path) {
            return Err(format!(
                "{} is there already and was not made by rimebook; move it, or choose another folder for the reports",
                path.display()
            ));
        }
        let said = |e: io::Error| format!("{}: {}", path.display(), reason(&e));
        let line = format!("{} {name}", digest(content));
        let journal = self.out.join(journal_file(self.kind));
        self.world.append(&journal, &line).map_err(said)?;
        self.world
            .write(&path, content, Writing::Again)
            .map_err(said)
    }

    fn is_own(&self, name: &str, path: &Path) -> bool {
        if self.own.contains(name) {
            return true;
        }
        let held = self.world.read(path).unwrap_or_default();
        let is_named = self.unfinished.get(name);
        is_named.is_some_and(|digests| digests.contains(&digest(&held))) || says_itself(&held)
    }

    /// True when a file is there as it was written, as far as its length tells.
    pub fn is_whole(&self, name: &str, length: u64) -> bool {
        is_inside(name) && self.world.length(&self.out.join(name)) == Some(length)
    }

    /// Removes what runs made of notes and units that are gone, where it is still what they wrote; how
    /// many reports.
    pub fn drop_stale(&self, now: &State) -> usize {
        let drop = |name: &str| self.world.remove(&self.out.join(name)).is_ok();
        let others = || self.others.iter();
        let is_page = |name: &String| {
            now.pages.contains_key(name) || others().any(|(_, o)| o.pages.contains_key(name))
        };
        for (name, page) in self.before.pages.iter().filter(|(name, _)| !is_page(name)) {
            if self.is_whole(name, page.length) {
                drop(name);
            }
        }
        let reports: BTreeSet<&String> = now.notes.values().map(|kept| &kept.report).collect();
        // Of a run that was killed, what no state file knows.
        for (name, digests) in &self.unfinished {
            let is_known = reports.contains(name) || is_page(name) || self.own.contains(name);
            let held = || self.world.read(&self.out.join(name)).unwrap_or_default();
            if !is_known && is_inside(name) && digests.contains(&digest(&held())) {
                drop(name);
            }
        }
        let gone = self.before.notes.iter();
        let gone = gone.filter(|(note, _)| !now.notes.contains_key(*note));
        gone.filter(|(_, kept)| self.is_whole(&kept.report, kept.length) && drop(&kept.report))
            .count()
    }

    /// Ends the run: what it made is told by its state file from now on.
    pub fn end(self, state: &State) -> Result<(), String> {
        let file = self.out.join(state_file(self.kind));
        let text = state.text();
        let said = |e: io::Error| format!("{}: {}", file.display(), reason(&e));
        if self.world.read(&file).ok().as_deref() != Some(text.as_bytes()) {
            self.world
                .write(&file, text.as_bytes(), Writing::Again)
                .map_err(said)?;
        }
        // Only one that was killed leaves a journal. Those of other kinds are theirs to take up.
        let journal: PathBuf = self.out.join(journal_file(self.kind));
        match self.world.remove(&journal) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(said(error)),
            _ => Ok(()),
        }
    }
}

/// A state file or a journal that somebody changed must not lead out of the folder.
fn is_inside(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    parts.all(|part| matches!(part, Component::Normal(_)))
}

/// True for a file that says that it was made here: what a lost state file would have told.
fn says_itself(content: &[u8]) -> bool {
    let start = String::from_utf8_lossy(&content[..content.len().min(4096)]);
    start.contains("<meta name=\"generator\" content=\"rimebook\">")
        || start.contains("\"schema\": \"rimebook/")
}

/// File that remembers the reports of one kind.
fn state_file(kind: Kind) -> String {
    hidden(kind, "json")
}

/// File that names what a run of one kind is about to write.
fn journal_file(kind: Kind) -> String {
    hidden(kind, "journal")
}

fn hidden(kind: Kind, ending: &str) -> String {
    let audience = kind.audience.name();
    format!(".rimebook-{audience}-{}.{ending}", kind.format.extension())
}
