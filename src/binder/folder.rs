//! The reports of all notes of a folder: those that changed are made anew, with an index and a page a
//! unit.

use super::names::Names;
use super::pages::{Binding, page_name};
use super::report::{Around, Kind, report};
use super::shelf::Shelf;
use super::state::{Kept, PageKept, State, Summary, digest, digest_of};
use crate::address::way;
use crate::compile::{Compiled, compile};
use crate::picture::photograph;
use crate::records::{Record, UnitKey, spelling_doubts_of};
use crate::render::{Format, RenderError, Renderer};
use crate::settings::Settings;
use crate::source::Source;
use crate::view::history::{self, History};
use crate::view::{Audience, VIEW_VERSION, pictures};
use crate::world::{World, folder_of, notes_in, read_note};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Which reports of which folder go where.
pub struct Order<'a> {
    /// The folder of notes.
    pub folder: &'a Path,
    /// The folder of reports.
    pub out: &'a Path,
    /// Which report of each note.
    pub kind: Kind,
    /// The settings of the folder.
    pub settings: &'a Settings,
    /// What tells this program from another: reports that another one made are made anew.
    pub program: String,
    /// Told how far the run is.
    pub progress: &'a (dyn Fn(Progress) + Sync),
}

/// How far a run is.
#[derive(Debug, Clone, Copy)]
pub enum Progress {
    /// So many notes were found.
    Found(usize),
    /// One more was looked at.
    Looked,
}

/// What a run did.
#[derive(Debug)]
pub struct Bound {
    /// Notes with a report.
    pub notes: usize,
    /// Reports that were made; the others were up to date.
    pub made: usize,
    /// Reports that were removed, because their notes are gone.
    pub removed: usize,
    /// Why notes could not be read or rendered; their last reports stand.
    pub failed: Vec<String>,
    /// True when any note has errors.
    pub has_errors: bool,
}

/// Makes the reports of a folder that are not up to date.
///
/// # Errors
/// A sentence: there are no notes, a template does not parse, or a file cannot be written. Files that
/// were written before that are whole, and the next run takes them up.
pub fn bind(world: &dyn World, order: &Order<'_>) -> Result<Bound, String> {
    let renderer = Renderer::new(world, order.settings).map_err(|e| e.to_string())?;
    let shelf = Shelf::claim(world, order.out, order.kind)?;
    let files = match notes_in(world, order.folder) {
        // The last note may be gone: what was made of it goes then too.
        Err(_) if !shelf.is_empty() && world.notes(order.folder).is_ok() => Vec::new(),
        files => files?,
    };
    (order.progress)(Progress::Found(files.len()));
    let made_with = made_with(world, order, &renderer)?;
    let press = Press {
        order,
        world,
        names: Names::of(files, order.folder),
        is_same: shelf.before.made_with == made_with,
        shelf,
        renderer,
    };
    press.run(made_with)
}

/// Digest of everything that all reports share.
fn made_with(world: &dyn World, order: &Order<'_>, renderer: &Renderer) -> Result<String, String> {
    let templates = world.templates().map_err(|e| format!("templates: {e}"))?;
    let words = format!(
        "{} {VIEW_VERSION} {:?} {:?} {:?}",
        order.program,
        order.kind,
        order.settings,
        renderer.issuer()
    );
    let templates = templates.iter().flat_map(|(name, text)| [name, text]);
    let pieces = [&words].into_iter().chain(templates);
    Ok(digest_of(pieces.map(|piece| piece.as_bytes())))
}

/// What the reports of one folder are made with.
struct Press<'a> {
    order: &'a Order<'a>,
    world: &'a dyn World,
    names: Names,
    shelf: Shelf<'a>,
    renderer: Renderer,
    /// True when what the last run made was made with the same program, settings and templates.
    is_same: bool,
}

/// What was found of a note.
enum Looked {
    /// Its report is up to date.
    Same(Box<Kept>),
    /// It was compiled, and its report made where that rests on it alone.
    Made(Box<Kept>, Box<Record>),
}

/// Everything known of the notes of a run.
#[derive(Default)]
struct Gathered {
    state: State,
    /// Of notes that were compiled.
    records: BTreeMap<String, Record>,
    /// Notes whose reports were made.
    made: BTreeSet<String>,
    failed: Vec<String>,
}

/// What was made of one unit.
struct UnitDone {
    /// Its page: file name, and what is kept of it.
    page: (String, PageKept),
    /// Reports made because they tell of the unit: note, length, digest of the unit.
    reports: Vec<(String, u64, String)>,
}

impl Press<'_> {
    fn run(self, made_with: String) -> Result<Bound, String> {
        let mut gathered = self.gather();
        gathered.state.made_with = made_with;
        self.units(&mut gathered)?;
        self.index(&mut gathered)?;
        let Gathered {
            state,
            made,
            failed,
            ..
        } = gathered;
        let removed = self.shelf.drop_stale(&state);
        self.shelf.end(&state)?;
        Ok(Bound {
            notes: state.notes.len(),
            made: made.len(),
            removed,
            failed,
            has_errors: state.notes.values().any(|kept| kept.summary.has_errors),
        })
    }

    /// Looks at every note.
    fn gather(&self) -> Gathered {
        let notes = self.names.all();
        let looked: Vec<Result<Looked, String>> = notes
            .par_iter()
            .map(|(name, file)| {
                let looked = self.look(name, file);
                (self.order.progress)(Progress::Looked);
                looked
            })
            .collect();
        let mut gathered = Gathered::default();
        for ((name, _), looked) in notes.into_iter().zip(looked) {
            let kept = match looked {
                Ok(Looked::Same(kept)) => *kept,
                Ok(Looked::Made(kept, record)) => {
                    gathered.made.insert(name.clone());
                    gathered.records.insert(name.clone(), *record);
                    *kept
                }
                Err(sentence) => {
                    gathered.failed.push(sentence);
                    // Its last report is not touched, and not taken for one of a note that is gone.
                    match self.shelf.before.notes.get(name) {
                        Some(kept) => Kept {
                            note: String::new(),
                            ..kept.clone()
                        },
                        None => continue,
                    }
                }
            };
            gathered.state.notes.insert(name.clone(), kept);
        }
        gathered
    }

    /// Looks whether a note's report is up to date, and makes it where that rests on the note alone.
    fn look(&self, name: &str, file: &Path) -> Result<Looked, String> {
        let source = read_note(self.world, file)?;
        let note = digest(source.written().as_bytes());
        let known = self.shelf.before.notes.get(name).filter(|_| self.is_same);
        if let Some(kept) = known.filter(|kept| kept.note == note)
            && self.shelf.is_whole(&kept.report, kept.length)
            && kept.photos == self.photos(file, kept.photos.keys())
        {
            return Ok(Looked::Same(Box::new(kept.clone())));
        }
        let compiled = self.compiled(source);
        let record = self.record(&compiled, name);
        let photos = match self.order.kind.audience {
            Audience::Diagnosis => BTreeMap::new(),
            _ => self.photos(file, pictures::names(&compiled.job).iter()),
        };
        let report = self.names.report(name, self.order.kind);
        let length = if self.tells_history() {
            0
        } else {
            self.make(&compiled, file, &report, None)?
        };
        let kept = Kept {
            note,
            photos,
            others: String::new(),
            report,
            length,
            summary: Summary::of(&compiled, &record),
        };
        Ok(Looked::Made(Box::new(kept), Box::new(record)))
    }

    /// The pages of all units, and the reports that tell their history.
    fn units(&self, gathered: &mut Gathered) -> Result<(), String> {
        let units = gathered.state.units();
        let done: Vec<UnitDone> = units
            .par_iter()
            .map(|(_, (key, notes))| self.unit(gathered, key, notes))
            .collect::<Result<_, String>>()?;
        for unit in done {
            for (note, length, from) in unit.reports {
                if let Some(kept) = gathered.state.notes.get_mut(&note) {
                    kept.length = length;
                    kept.others = from;
                }
                gathered.made.insert(note);
            }
            gathered.state.pages.insert(unit.page.0, unit.page.1);
        }
        Ok(())
    }

    /// The page of a unit, and the reports that tell its history, where something of it changed.
    fn unit(
        &self,
        gathered: &Gathered,
        key: &UnitKey,
        notes: &[String],
    ) -> Result<UnitDone, String> {
        let name = page_name(key);
        let from = gathered.state.digest_of_unit(notes);
        let page_from = self.digest_of_page(&from, notes);
        let page = self.shelf.before.pages.get(&name).filter(|page| {
            self.is_same && page.from == page_from && self.shelf.is_whole(&name, page.length)
        });
        let is_told = |note: &&String| {
            let kept = gathered.state.notes.get(*note);
            self.tells_history() && kept.is_some_and(|kept| kept.others != from)
        };
        let told: Vec<&String> = notes.iter().filter(is_told).collect();
        if let (Some(page), true) = (page, told.is_empty()) {
            return Ok(UnitDone {
                page: (name, page.clone()),
                reports: Vec::new(),
            });
        }
        let history = self.history(gathered, key, notes);
        let mut reports = Vec::new();
        for note in told {
            // Its last report stands where a note could not be read just now.
            let Some(file) = self.names.file(note) else {
                continue;
            };
            let compiled = self.compiled(read_note(self.world, file)?);
            let report = self.names.report(note, self.order.kind);
            let length = self.make(&compiled, file, &report, Some(history.clone()))?;
            reports.push((note.clone(), length, from.clone()));
        }
        let strip = history.strip.clone();
        let view = self.binding(&gathered.state).unit_page(key, notes, history);
        let page = self.page("unit.html", &view, strip.as_ref())?;
        let kept = self.put_page(&name, page_from, &page)?;
        Ok(UnitDone {
            page: (name, kept),
            reports,
        })
    }

    /// Digest of what a unit's page rests on: its notes, and what other kinds of reports it leads to.
    fn digest_of_page(&self, from: &str, notes: &[String]) -> String {
        let others = self.shelf.others.iter();
        let reports = others.flat_map(|(_, other)| notes.iter().filter_map(|n| other.notes.get(n)));
        let reports = reports.map(|kept| kept.report.as_bytes());
        digest_of([from.as_bytes()].into_iter().chain(reports))
    }

    /// The history of a unit; notes that were up to date are compiled for it.
    fn history(&self, gathered: &Gathered, key: &UnitKey, notes: &[String]) -> History {
        let read: BTreeMap<&String, Record> = notes
            .iter()
            .filter(|note| !gathered.records.contains_key(*note))
            .filter_map(|note| {
                let source = read_note(self.world, self.names.file(note)?).ok()?;
                Some((note, self.record(&self.compiled(source), note)))
            })
            .collect();
        let record = |note: &String| gathered.records.get(note).or_else(|| read.get(note));
        let mut of_unit: Vec<&Record> = notes.iter().filter_map(record).collect();
        let words = self.renderer.words();
        history::of(key, &mut of_unit, self.order.settings, words)
    }

    fn index(&self, gathered: &mut Gathered) -> Result<(), String> {
        let units = gathered.state.units().into_values();
        let keys: Vec<UnitKey> = units.map(|(key, _)| key).collect();
        let mut remarks = gathered.failed.clone();
        remarks.extend(spelling_doubts_of(&keys));
        let view = self.binding(&gathered.state).index(remarks);
        let page = self.page("index.html", &view, None)?;
        let kept = self.put_page("index.html", digest(page.as_bytes()), &page)?;
        gathered.state.pages.insert("index.html".to_owned(), kept);
        Ok(())
    }

    fn binding<'s>(&'s self, state: &'s State) -> Binding<'s> {
        Binding {
            state,
            others: &self.shelf.others,
            issuer: self.renderer.issuer(),
            words: self.renderer.words(),
        }
    }

    fn page<V: serde::Serialize>(
        &self,
        template: &str,
        view: &V,
        strip: Option<&history::Strip>,
    ) -> Result<String, String> {
        let page = self.renderer.page(template, view, strip);
        page.map_err(|e| e.to_string())
    }

    /// Writes a page unless it is there as it should be.
    fn put_page(&self, name: &str, from: String, page: &str) -> Result<PageKept, String> {
        let length = page.len() as u64;
        let kept = PageKept { from, length };
        if self.shelf.before.pages.get(name) != Some(&kept) || !self.shelf.is_whole(name, length) {
            self.shelf.put(name, page.as_bytes())?;
        }
        Ok(kept)
    }

    /// True for reports that tell of other notes than their own.
    fn tells_history(&self) -> bool {
        let kind = self.order.kind;
        kind.audience == Audience::Diagnosis && kind.format != Format::Csv
    }

    fn compiled(&self, source: Source) -> Compiled {
        compile(source).shown_in(self.order.settings.units_of_reports())
    }

    fn record(&self, compiled: &Compiled, name: &str) -> Record {
        let mut record = Record::of(compiled, self.order.settings);
        name.clone_into(&mut record.file);
        record
    }

    /// Makes one report; its length.
    fn make(
        &self,
        compiled: &Compiled,
        file: &Path,
        name: &str,
        history: Option<History>,
    ) -> Result<u64, String> {
        let folder = folder_of(file);
        let around = Around {
            folder,
            way: way(&self.order.out.join(name), folder),
            history,
        };
        let made = report(
            &self.renderer,
            compiled,
            self.order.kind,
            self.world,
            around,
        );
        let bytes = made.map_err(|e: RenderError| e.to_string())?;
        self.shelf.put(name, &bytes)?;
        Ok(bytes.len() as u64)
    }

    /// Digests of the photographs of a note; empty where there is no such file.
    fn photos<'p>(
        &self,
        file: &Path,
        names: impl Iterator<Item = &'p String>,
    ) -> BTreeMap<String, String> {
        let of = |name: &String| {
            let bytes = photograph(self.world, folder_of(file), name);
            (name.clone(), bytes.map_or_else(String::new, |b| digest(&b)))
        };
        names.map(of).collect()
    }
}
