//! Reports of all notes of a folder: those that changed are made anew, with an index and a page a unit.

use super::Report;
use crate::binder::{
    FILE, Kept, PageKept, State, Summary, digest, digest_of, index, page_name, unit_page,
};
use crate::cli::folder::progress;
use crate::cli::output::{notes_in, read_note};
use crate::cli::rewrite::replace_quickly;
use crate::cli::{Failure, NOTE_ERRORS};
use crate::compile::{Compiled, compile};
use crate::records::{Record, UnitKey, history};
use crate::render::{Format, Renderer};
use crate::settings::Settings;
use crate::view::history::{self as history_view, History};
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
}

/// A note whose report is to be made, or that could not be read.
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
        let files = notes_in(&world, folder)?;
        let renderer = Renderer::new(&world, &settings)?;
        let press = Press {
            folder,
            out,
            audience: self.audience(),
            format: self.format()?,
            bar: shown(progress(files.len())),
            settings,
            world,
            renderer,
        };
        press.run(&files)
    }
}

impl Press<'_> {
    fn run(&self, files: &[PathBuf]) -> Result<u8, Failure> {
        let state_file = self.out.join(FILE);
        let before =
            std::fs::read(&state_file).map_or_else(|_| State::default(), |t| State::parse(&t));
        let made_with = self.made_with()?;
        let is_same = before.made_with == made_with;
        let mut state = State {
            made_with,
            ..State::default()
        };
        std::fs::create_dir_all(self.out)
            .map_err(|e| Failure(format!("{}: {e}", self.out.display())))?;
        let mut unreadable = Vec::new();
        let mut records: BTreeMap<String, Record> = BTreeMap::new();
        let looked: Vec<Result<Looked, Failure>> = files
            .par_iter()
            .map(|file| {
                let known = |path: &str| before.notes.get(path).filter(|_| is_same);
                let looked = self.look(file, known);
                self.bar.inc(1);
                looked
            })
            .collect();
        let mut stale = Vec::new();
        for looked in looked {
            match looked {
                Ok(Looked::Same(path, kept)) => {
                    state.notes.insert(path, *kept);
                }
                Ok(Looked::Made(made)) => {
                    stale.push(made.path.clone());
                    records.insert(made.path.clone(), made.record);
                    state.notes.insert(made.path, made.kept);
                }
                Err(Failure(sentence)) => unreadable.push(sentence),
            }
        }
        let mut made = stale.len();
        let units = state.units();
        let mut remarks = unreadable.clone();
        let keys: Vec<UnitKey> = units.values().map(|(key, _)| key.clone()).collect();
        remarks.extend(crate::records::spelling_doubts_of(&keys));
        for (key, notes) in units.values() {
            made += self.unit(&mut state, &before, is_same, key, notes, &mut records)?;
        }
        let view = index(
            &state,
            remarks,
            self.renderer.issuer(),
            self.renderer.words(),
        );
        let page = self.renderer.page("index.html", &view, None)?;
        self.page(
            &mut state,
            &before,
            "index.html",
            digest(page.as_bytes()),
            || Ok(page),
        )?;
        let dropped = self.drop_stale(&before, &state);
        self.bar.finish_and_clear();
        let text = state.text();
        if std::fs::read(&state_file).ok().as_deref() != Some(text.as_bytes()) {
            write(&state_file, text.as_bytes())?;
        }
        eprintln!(
            "{} of {} made, the others were up to date{}; see {}",
            plural(made, "report"),
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
        let inside = file.strip_prefix(self.folder).unwrap_or(file);
        let path = inside.to_string_lossy().replace('\\', "/");
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
                let names = pictures::of(&compiled, &self.world, folder_of(file));
                self.photos(file, names.iter().map(|p| &p.file))
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
        let units = self.settings.units_named.then_some(self.settings.units);
        compile(source).shown_in(units)
    }

    fn record(&self, compiled: &Compiled, path: &str) -> Record {
        let mut record = Record::of(compiled, &self.settings);
        record.file = path.to_owned();
        record
    }

    /// The page of a unit, and the reports that tell its history, where something of it changed.
    /// Returns how many reports were made that were not made yet.
    fn unit(
        &self,
        state: &mut State,
        before: &State,
        is_same: bool,
        key: &UnitKey,
        notes: &[String],
        records: &mut BTreeMap<String, Record>,
    ) -> Result<usize, Failure> {
        let name = page_name(key);
        let from = state.digest_of_unit(notes);
        let page_is_there = is_same
            && before
                .pages
                .get(&name)
                .is_some_and(|page| page.from == from && self.is_whole(&name, page.length));
        let told: Vec<&String> = notes
            .iter()
            .filter(|path| self.tells_history() && state.notes[*path].others != from)
            .collect();
        if page_is_there && told.is_empty() {
            state
                .pages
                .insert(name.clone(), before.pages[&name].clone());
            return Ok(0);
        }
        let lacking: Vec<&String> = notes.iter().filter(|p| !records.contains_key(*p)).collect();
        for path in lacking {
            let compiled = self.compiled(read_note(&self.world, &self.folder.join(path))?);
            records.insert(path.clone(), self.record(&compiled, path));
        }
        let mut of_unit: Vec<&Record> = notes.iter().filter_map(|path| records.get(path)).collect();
        of_unit.sort_by(|a, b| (a.first_date(), &a.file).cmp(&(b.first_date(), &b.file)));
        let answer = history::of_unit(key, &of_unit, &self.settings);
        let words = self.renderer.words();
        let history = history_view::view(&answer, &of_unit, self.settings.units, words);
        let again = told
            .iter()
            .filter(|path| {
                is_same
                    && before
                        .notes
                        .get(**path)
                        .is_some_and(|k| k.note == state.notes[**path].note)
            })
            .count();
        let lengths: Vec<(String, u64)> = told
            .par_iter()
            .map(|path| {
                let file = self.folder.join(path);
                let compiled = self.compiled(read_note(&self.world, &file)?);
                let report = self.report_of(path);
                let length = self.make(&compiled, &file, &report, Some(history.clone()))?;
                Ok(((*path).clone(), length))
            })
            .collect::<Result<_, Failure>>()?;
        for (path, length) in lengths {
            if let Some(kept) = state.notes.get_mut(&path) {
                kept.length = length;
                kept.others = from.clone();
            }
        }
        let issuer = self.renderer.issuer();
        let strip = history.strip.clone();
        let view = unit_page(state, key, notes, history, issuer, words);
        let page = self.renderer.page("unit.html", &view, strip.as_ref())?;
        write(&self.out.join(&name), page.as_bytes())?;
        let length = page.len() as u64;
        state.pages.insert(name, PageKept { from, length });
        Ok(again)
    }

    /// Writes a page unless what it was made from is the same.
    fn page(
        &self,
        state: &mut State,
        before: &State,
        name: &str,
        from: String,
        page: impl FnOnce() -> Result<String, Failure>,
    ) -> Result<(), Failure> {
        let kept = before
            .pages
            .get(name)
            .filter(|kept| kept.from == from && self.is_whole(name, kept.length));
        let kept = match kept {
            Some(kept) => kept.clone(),
            None => {
                let page = page()?;
                write(&self.out.join(name), page.as_bytes())?;
                PageKept {
                    from,
                    length: page.len() as u64,
                }
            }
        };
        state.pages.insert(name.to_owned(), kept);
        Ok(())
    }

    /// Makes one report; its length.
    fn make(
        &self,
        compiled: &Compiled,
        file: &Path,
        report: &str,
        history: Option<History>,
    ) -> Result<u64, Failure> {
        let bytes = self.renderer.report(
            compiled,
            self.audience,
            self.format,
            &self.world,
            folder_of(file),
            history,
        )?;
        write(&self.out.join(report), &bytes)?;
        Ok(bytes.len() as u64)
    }

    /// `wexholm/3162.job` to `wexholm/3162-customer.html`.
    fn report_of(&self, path: &str) -> String {
        let stem = Path::new(path).with_extension("");
        format!(
            "{}-{}.{}",
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
            let bytes = self.world.read(&folder_of(file).join(name));
            (
                name.clone(),
                bytes.map_or_else(|_| String::new(), |b| digest(&b)),
            )
        };
        names.map(of).collect()
    }

    /// True when a file is there as it was written, as far as its length tells.
    fn is_whole(&self, name: &str, length: u64) -> bool {
        let metadata = std::fs::metadata(self.out.join(name));
        metadata.is_ok_and(|m| m.is_file() && m.len() == length)
    }

    /// Removes reports of notes that are gone, where they are still what was written; how many.
    fn drop_stale(&self, before: &State, state: &State) -> usize {
        let written = |state: &State| -> BTreeSet<(String, u64)> {
            let reports = state.notes.values().map(|k| (k.report.clone(), k.length));
            let pages = state.pages.iter().map(|(name, p)| (name.clone(), p.length));
            reports.chain(pages).collect()
        };
        let now: BTreeSet<String> = written(state).into_iter().map(|(name, _)| name).collect();
        let gone = written(before)
            .into_iter()
            .filter(|(name, length)| !now.contains(name) && self.is_whole(name, *length));
        gone.filter(|(name, _)| std::fs::remove_file(self.out.join(name)).is_ok())
            .filter(|(name, _)| !name.starts_with("units/"))
            .count()
    }
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
