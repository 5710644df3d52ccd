//! Reports of all notes of a folder: those that changed are made anew, with an index and a page a unit.

use super::Report;
use crate::binder::{
    Kept, PageKept, State, Summary, digest, digest_of, index, page_name, unit_page,
};
use crate::cli::folder::progress;
use crate::cli::output::{notes_in, read_note, way};
use crate::cli::rewrite::replace_quickly;
use crate::cli::{Failure, NOTE_ERRORS};
use crate::compile::{Compiled, compile};
use crate::records::{Record, UnitKey};
use crate::render::{Around, Format, Renderer};
use crate::settings::Settings;
use crate::view::history::{self, History};
use crate::view::{Audience, VIEW_VERSION, pictures};
use crate::vocabulary::plural;
use crate::world::{DiskWorld, World};
use indicatif::{ProgressBar, ProgressDrawTarget};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

/// What the reports of one folder are made with.
struct Press<'a> {
    folder: &'a Path,
    out: &'a Path,
    audience: Audience,
    format: Format,
    settings: Settings,
    world: DiskWorld,
    renderer: Renderer,
    bar: ProgressBar,
    /// Notes whose reports would have one name, on some disks: `a.job` and `A.JOB`.
    alike: BTreeSet<String>,
    /// Files in the folder of reports that earlier runs made.
    own: BTreeSet<String>,
}

/// A note whose report is made, or is to be made with the history of its unit.
struct Made {
    path: String,
    kept: Kept,
    record: Record,
}

impl Report {
    pub(super) fn write_folder(&self, folder: &Path) -> Result<u8, Failure> {
        let Some(out) = &self.output else {
            return Err(Failure(format!(
                "{} is a folder: name the folder that its reports go to, with --output",
                folder.display()
            )));
        };
        let (settings, world) = self.beside(folder)?;
        // The last note may be gone: what was made of it goes then too.
        let files = match notes_in(&world, folder) {
            Err(_) if folder.is_dir() && !own(out).is_empty() => Vec::new(),
            files => files?,
        };
        let renderer = Renderer::new(&world, &settings)?;
        let press = Press {
            folder,
            out,
            audience: self.audience(),
            format: self.format()?,
            bar: shown(progress(files.len())),
            alike: alike(&files, folder),
            own: own(out),
            settings,
            world,
            renderer,
        };
        press.run(&files)
    }
}

impl Press<'_> {
    fn run(&self, files: &[PathBuf]) -> Result<u8, Failure> {
        std::fs::create_dir_all(self.out)
            .map_err(|e| Failure(format!("{}: {e}", self.out.display())))?;
        let state_file = self.out.join(state_file(self.audience, self.format));
        let before = read_state(&state_file);
        let made_with = self.made_with()?;
        let is_same = before.made_with == made_with;
        let mut state = State {
            made_with,
            ..State::default()
        };
        let known = |path: &str| before.notes.get(path).filter(|_| is_same);
        let looked: Vec<Result<Looked, Failure>> = files
            .par_iter()
            .map(|file| {
                let looked = self.look(file, known);
                self.bar.inc(1);
                looked
            })
            .collect();
        let mut unreadable = Vec::new();
        let mut records: BTreeMap<String, Record> = BTreeMap::new();
        let mut made: BTreeSet<String> = BTreeSet::new();
        for (file, looked) in files.iter().zip(looked) {
            match looked {
                Ok(Looked::Same(path, kept)) => {
                    state.notes.insert(path, *kept);
                }
                Ok(Looked::Made(new)) => {
                    made.insert(new.path.clone());
                    records.insert(new.path.clone(), new.record);
                    state.notes.insert(new.path, new.kept);
                }
                Err(Failure(sentence)) => {
                    unreadable.push(sentence);
                    // Its last report is not touched, and not taken for one of a note that is gone.
                    let path = self.inside(file);
                    if let Some(kept) = before.notes.get(&path) {
                        let kept = Kept {
                            note: String::new(),
                            ..kept.clone()
                        };
                        state.notes.insert(path, kept);
                    }
                }
            }
        }
        let others = self.others();
        let units = state.units();
        let done: Vec<UnitDone> = units
            .par_iter()
            .map(|(_, (key, notes))| {
                self.unit(&state, &before, is_same, &others, key, notes, &records)
            })
            .collect::<Result<_, Failure>>()?;
        for unit in done {
            for (path, length, from) in unit.reports {
                if let Some(kept) = state.notes.get_mut(&path) {
                    kept.length = length;
                    kept.others = from;
                }
                made.insert(path);
            }
            state.pages.insert(unit.page.0, unit.page.1);
        }
        let mut remarks = unreadable.clone();
        let keys: Vec<UnitKey> = units.into_values().map(|(key, _)| key).collect();
        remarks.extend(crate::records::spelling_doubts_of(&keys));
        let view = index(
            &state,
            &others,
            remarks,
            self.renderer.issuer(),
            self.renderer.words(),
        );
        let page = self.renderer.page("index.html", &view, None)?;
        let kept = self.write_page(&before, "index.html", digest(page.as_bytes()), &page)?;
        state.pages.insert("index.html".to_owned(), kept);
        let dropped = self.drop_stale(&before, &state, &others);
        self.bar.finish_and_clear();
        let text = state.text();
        if std::fs::read(&state_file).ok().as_deref() != Some(text.as_bytes()) {
            write(&state_file, text.as_bytes())?;
        }
        eprintln!(
            "{} of {} made, the others were up to date{}; see {}",
            plural(made.len(), "report"),
            state.notes.len(),
            match dropped {
                0 => String::new(),
                n => format!("; {} removed, whose notes are gone", plural(n, "report")),
            },
            self.out.join("index.html").display()
        );
        for sentence in &unreadable {
            eprintln!("rimebook: {sentence}");
        }
        let has_errors = state.notes.values().any(|kept| kept.summary.has_errors);
        Ok(match unreadable.is_empty() && !has_errors {
            true => 0,
            false => NOTE_ERRORS,
        })
    }

    /// What is kept of reports of other kinds in the same folder: index and pages lead to them too.
    fn others(&self) -> Vec<State> {
        let own = state_file(self.audience, self.format);
        let names = state_files().filter(|name| *name != own);
        names
            .map(|name| read_state(&self.out.join(name)))
            .filter(|state| !state.notes.is_empty())
            .collect()
    }

    /// The path of a note in its folder.
    fn inside(&self, file: &Path) -> String {
        let inside = file.strip_prefix(self.folder).unwrap_or(file);
        inside.to_string_lossy().replace('\\', "/")
    }

    /// Digest of everything that all reports share.
    fn made_with(&self) -> Result<String, Failure> {
        let program = std::env::current_exe().and_then(|path| path.metadata());
        let program = program.map_or_else(
            |_| env!("CARGO_PKG_VERSION").to_owned(),
            |m| format!("{} {:?}", m.len(), m.modified().ok()),
        );
        let templates = self.world.templates()?;
        let words = format!(
            "{program} {VIEW_VERSION} {:?} {:?} {:?} {:?}",
            self.audience,
            self.format,
            self.settings,
            self.renderer.issuer()
        );
        let templates = templates.iter().flat_map(|(name, text)| [name, text]);
        let pieces = [&words].into_iter().chain(templates);
        Ok(digest_of(pieces.map(|piece| piece.as_bytes())))
    }

    /// True for reports that tell of other notes than their own.
    fn tells_history(&self) -> bool {
        self.audience == Audience::Diagnosis && self.format != Format::Csv
    }

    /// Looks whether a note's report is up to date, and makes it where that rests on the note alone.
    fn look<'k>(
        &self,
        file: &Path,
        known: impl Fn(&str) -> Option<&'k Kept>,
    ) -> Result<Looked, Failure> {
        let path = self.inside(file);
        let source = read_note(&self.world, file)?;
        let note = digest(source.written().as_bytes());
        if let Some(kept) = known(&path).filter(|kept| kept.note == note)
            && self.is_whole(&kept.report, kept.length)
            && kept.photos == self.photos(file, kept.photos.keys())
        {
            return Ok(Looked::Same(path, Box::new(kept.clone())));
        }
        let compiled = self.compiled(source);
        let record = self.record(&compiled, &path);
        let photos = match self.audience {
            Audience::Diagnosis => BTreeMap::new(),
            _ => {
                let names = pictures::names(&compiled);
                self.photos(file, names.iter())
            }
        };
        let report = self.report_of(&path);
        let length = match self.tells_history() {
            true => 0,
            false => self.make(&compiled, file, &report, None)?,
        };
        let summary = Summary::of(&compiled, &record);
        Ok(Looked::Made(Box::new(Made {
            path,
            kept: Kept {
                note,
                photos,
                others: String::new(),
                report,
                length,
                summary,
            },
            record,
        })))
    }

    fn compiled(&self, source: crate::source::Source) -> Compiled {
        compile(source).shown_in(self.settings.units_of_reports())
    }

    fn record(&self, compiled: &Compiled, path: &str) -> Record {
        let mut record = Record::of(compiled, &self.settings);
        record.file = path.to_owned();
        record
    }

    /// The page of a unit, and the reports that tell its history, where something of it changed.
    #[allow(
        clippy::too_many_arguments,
        reason = "the one step that needs all that is known"
    )]
    fn unit(
        &self,
        state: &State,
        before: &State,
        is_same: bool,
        others: &[State],
        key: &UnitKey,
        notes: &[String],
        records: &BTreeMap<String, Record>,
    ) -> Result<UnitDone, Failure> {
        let name = page_name(key);
        let from = state.digest_of_unit(notes);
        let reports = others
            .iter()
            .flat_map(|other| notes.iter().filter_map(|n| other.notes.get(n)));
        let reports: Vec<&[u8]> = reports.map(|kept| kept.report.as_bytes()).collect();
        let page_from = digest_of([from.as_bytes()].into_iter().chain(reports));
        let page = before
            .pages
            .get(&name)
            .filter(|page| is_same && page.from == page_from && self.is_whole(&name, page.length));
        let told: Vec<&String> = notes
            .iter()
            .filter(|path| self.tells_history() && state.notes[*path].others != from)
            .collect();
        if let (Some(page), true) = (page, told.is_empty()) {
            return Ok(UnitDone {
                page: (name, page.clone()),
                reports: Vec::new(),
            });
        }
        let lacking = |path: &&String| !records.contains_key(*path);
        let read: BTreeMap<&String, Record> = notes
            .iter()
            .filter(lacking)
            .filter_map(|path| {
                let source = read_note(&self.world, &self.folder.join(path)).ok()?;
                Some((path, self.record(&self.compiled(source), path)))
            })
            .collect();
        let record = |path: &String| records.get(path).or_else(|| read.get(path));
        let mut of_unit: Vec<&Record> = notes.iter().filter_map(record).collect();
        let words = self.renderer.words();
        let history = history::of(key, &mut of_unit, &self.settings, words);
        let reports = told
            .into_iter()
            .map(|path| {
                let file = self.folder.join(path);
                let compiled = self.compiled(read_note(&self.world, &file)?);
                let report = self.report_of(path);
                let length = self.make(&compiled, &file, &report, Some(history.clone()))?;
                Ok((path.clone(), length, from.clone()))
            })
            .collect::<Result<_, Failure>>()?;
        let issuer = self.renderer.issuer();
        let strip = history.strip.clone();
        let view = unit_page(state, others, key, notes, history, issuer, words);
        let text = self.renderer.page("unit.html", &view, strip.as_ref())?;
        let kept = self.write_page(before, &name, page_from, &text)?;
        Ok(UnitDone {
            page: (name, kept),
            reports,
        })
    }

    /// Writes a page unless it is there as it should be.
    fn write_page(
        &self,
        before: &State,
        name: &str,
        from: String,
        page: &str,
    ) -> Result<PageKept, Failure> {
        let length = page.len() as u64;
        let kept = PageKept { from, length };
        if before.pages.get(name) != Some(&kept) || !self.is_whole(name, length) {
            self.put(name, page.as_bytes())?;
        }
        Ok(kept)
    }

    /// Writes a file of the folder of reports: a new one, or one that was made here before.
    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        let path = self.out.join(name);
        if !self.own.contains(name) && path.exists() && !is_ours(&path) {
            return Err(Failure(format!(
                "{} is there already and was not made by rimebook; move it, or choose another folder for the reports",
                path.display()
            )));
        }
        write(&path, bytes)
    }

    /// Makes one report; its length.
    fn make(
        &self,
        compiled: &Compiled,
        file: &Path,
        report: &str,
        history: Option<History>,
    ) -> Result<u64, Failure> {
        let target = self.out.join(report);
        let around = Around {
            folder: folder_of(file),
            photos_at: &way(&target, folder_of(file)),
            history,
        };
        let bytes =
            self.renderer
                .report(compiled, self.audience, self.format, &self.world, around)?;
        self.put(report, &bytes)?;
        Ok(bytes.len() as u64)
    }

    /// `wexholm/3162.job` to `wexholm/3162-customer.html`.
    fn report_of(&self, path: &str) -> String {
        let stem = Path::new(path).with_extension("");
        let digest = match self.alike.contains(path) {
            true => format!("-{}", &digest(path.as_bytes())[..6]),
            false => String::new(),
        };
        format!(
            "{}{digest}-{}.{}",
            stem.to_string_lossy().replace('\\', "/"),
            self.audience.name(),
            self.format.extension()
        )
    }

    /// Digests of the photographs of a note; empty where there is no such file.
    fn photos<'p>(
        &self,
        file: &Path,
        names: impl Iterator<Item = &'p String>,
    ) -> BTreeMap<String, String> {
        let of = |name: &String| {
            let bytes = self.world.read_in(folder_of(file), Path::new(name));
            (
                name.clone(),
                bytes.map_or_else(|_| String::new(), |b| digest(&b)),
            )
        };
        names.map(of).collect()
    }

    /// True when a file is there as it was written, as far as its length tells.
    fn is_whole(&self, name: &str, length: u64) -> bool {
        // A state file that somebody changed must not lead out of the folder.
        let mut parts = Path::new(name).components();
        if !parts.all(|part| matches!(part, std::path::Component::Normal(_))) {
            return false;
        }
        let metadata = std::fs::metadata(self.out.join(name));
        metadata.is_ok_and(|m| m.is_file() && m.len() == length)
    }

    /// Removes reports of notes that are gone, and pages of units that are, where they are still what was
    /// written; how many reports.
    fn drop_stale(&self, before: &State, state: &State, others: &[State]) -> usize {
        let gone = |name: &str, length: u64| {
            self.is_whole(name, length) && std::fs::remove_file(self.out.join(name)).is_ok()
        };
        let is_page = |name: &String| {
            state.pages.contains_key(name) || others.iter().any(|o| o.pages.contains_key(name))
        };
        for (name, page) in before.pages.iter().filter(|(name, _)| !is_page(name)) {
            gone(name, page.length);
        }
        let of_gone = before
            .notes
            .iter()
            .filter(|(path, _)| !state.notes.contains_key(*path));
        of_gone
            .filter(|(_, kept)| gone(&kept.report, kept.length))
            .count()
    }
}

/// Notes whose names differ only in their ending or in small and capital letters.
fn alike(files: &[PathBuf], folder: &Path) -> BTreeSet<String> {
    let mut by_name: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for file in files {
        let path = file.strip_prefix(folder).unwrap_or(file);
        let name = path.with_extension("").to_string_lossy().to_lowercase();
        let path = path.to_string_lossy().replace('\\', "/");
        by_name.entry(name).or_default().push(path);
    }
    let several = by_name.into_values().filter(|paths| paths.len() > 1);
    several.flatten().collect()
}

/// Files that earlier runs of any kind made in a folder of reports.
fn own(out: &Path) -> BTreeSet<String> {
    let states = state_files().map(|name| read_state(&out.join(name)));
    states
        .flat_map(|state| {
            let reports = state.notes.into_values().map(|kept| kept.report);
            reports.chain(state.pages.into_keys()).collect::<Vec<_>>()
        })
        .collect()
}

/// True for a file that says itself that it was made here: what a lost state file would have told.
fn is_ours(path: &Path) -> bool {
    use std::io::Read;
    let mut start = Vec::new();
    let read = std::fs::File::open(path).and_then(|file| file.take(4096).read_to_end(&mut start));
    let start = String::from_utf8_lossy(&start);
    read.is_ok()
        && (start.is_empty()
            || start.contains("<meta name=\"generator\" content=\"rimebook\">")
            || start.contains("\"schema\": \"rimebook/"))
}

/// What was made of one unit.
struct UnitDone {
    /// Its page: file name, and what is kept of it.
    page: (String, PageKept),
    /// Reports made because they tell of the unit: note, length, digest of the unit.
    reports: Vec<(String, u64, String)>,
}

/// File that remembers the reports of one kind.
fn state_file(audience: Audience, format: Format) -> String {
    format!(".rimebook-{}-{}.json", audience.name(), format.extension())
}

/// Those of every kind.
fn state_files() -> impl Iterator<Item = String> {
    let kinds = Audience::ALL.into_iter();
    kinds.flat_map(|audience| {
        let endings = ["html", "md", "json", "csv", "pdf"];
        endings.map(|ending| format!(".rimebook-{}-{ending}.json", audience.name()))
    })
}

fn read_state(file: &Path) -> State {
    std::fs::read(file).map_or_else(|_| State::default(), |text| State::parse(&text))
}

/// What was found of a note.
enum Looked {
    /// Its report is up to date.
    Same(String, Box<Kept>),
    /// It was compiled, and its report made where that rests on it alone.
    Made(Box<Made>),
}

fn folder_of(file: &Path) -> &Path {
    file.parent().unwrap_or(Path::new(""))
}

/// Writes a file whole or not at all, with the folders above it.
fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let said = |e: std::io::Error| Failure(format!("{}: {e}", path.display()));
    match replace_quickly(path, bytes) {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
            std::fs::create_dir_all(folder_of(path)).map_err(said)?;
            replace_quickly(path, bytes).map_err(said)
        }
        done => done.map_err(said),
    }
}

/// The bar is for people who wait, not for files.
fn shown(bar: ProgressBar) -> ProgressBar {
    if std::io::stderr().is_terminal() {
        bar.set_draw_target(ProgressDrawTarget::stderr());
    }
    bar
}
