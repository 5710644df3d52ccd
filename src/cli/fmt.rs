//! `rimebook fmt`: notes in their canonical form.

use super::folder::settings;
use super::output::{print, read_note, tidy};
use super::{COULD_NOT_RUN, Failure, NOTE_ERRORS, aside};
use crate::format::{Style, canonical, is_canonical};
use crate::source::Source;
use crate::vocabulary::plural;
use crate::world::{DiskWorld, Rewritten, World, notes_in};
use clap::Args;
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// Notes held in memory at a time.
const BATCH: usize = 1024;

#[derive(Args)]
pub(super) struct Fmt {
    /// Notes or folders of notes; `-` reads standard input and prints
    #[arg(required = true)]
    paths: Vec<PathBuf>,
    /// Write nothing: name the notes that are not in canonical form
    #[arg(long, conflicts_with = "stdout")]
    check: bool,
    /// Write nothing: print the canonical form
    #[arg(long)]
    stdout: bool,
}

/// A note that is not in canonical form, or that is to be printed.
struct Formatted {
    source: Source,
    /// Its canonical form, where that is another.
    text: Option<String>,
}

impl Fmt {
    pub fn run(&self) -> Result<u8, Failure> {
        let world = DiskWorld::default();
        let notes = self.notes(&world)?;
        if !self.check && !self.stdout {
            tidy(&world, notes.iter().map(|(note, _)| note));
        }
        let mut rewritten = HashSet::new();
        let (mut failed, mut not_canonical) = (0, 0);
        for batch in notes.chunks(BATCH) {
            let formatted: Vec<_> = batch
                .par_iter()
                .map(|(path, style)| self.one(&world, path, *style))
                .collect();
            for ((path, _), formatted) in batch.iter().zip(formatted) {
                let done = formatted.and_then(|formatted| match formatted {
                    Some(note) => self.hand_over(&world, path, &note, &mut rewritten),
                    None => Ok(true),
                });
                match done {
                    Ok(true) => {}
                    Ok(false) => not_canonical += 1,
                    Err(Failure(sentence)) => {
                        failed += 1;
                        aside!("rimebook: {sentence}");
                    }
                }
            }
        }
        Ok(if failed == notes.len() {
            COULD_NOT_RUN
        } else if failed + not_canonical > 0 {
            NOTE_ERRORS
        } else {
            0
        })
    }

    /// The notes to format, each once, with the style of the folder that they were asked for in.
    fn notes(&self, world: &dyn World) -> Result<Vec<(PathBuf, Style)>, Failure> {
        let mut notes = Vec::new();
        let mut known = HashSet::new();
        for path in &self.paths {
            let is_input = path == Path::new("-");
            let place = if is_input { Path::new(".") } else { path };
            let style = settings(world, place)?.style;
            let found = if is_input {
                vec![path.clone()]
            } else {
                notes_in(world, path)?
            };
            let new = found.into_iter().filter(|note| known.insert(note.clone()));
            notes.extend(new.map(|note| (note, style)));
        }
        Ok(notes)
    }

    fn one(
        &self,
        world: &dyn World,
        path: &Path,
        style: Style,
    ) -> Result<Option<Formatted>, Failure> {
        let source = read_note(world, path)?;
        // Whether it would change is half the work of how.
        if self.check {
            let named = !is_canonical(&source, style);
            return Ok(named.then_some(Formatted { source, text: None }));
        }
        let text = match canonical(&source, style) {
            Cow::Owned(text) => Some(text),
            Cow::Borrowed(_) => None,
        };
        let is_shown = text.is_some() || self.prints(path);
        Ok(is_shown.then_some(Formatted { source, text }))
    }

    fn prints(&self, path: &Path) -> bool {
        self.stdout || (!self.check && path == Path::new("-"))
    }

    /// Prints, names or rewrites a note; false when it was to be in canonical form and is not.
    fn hand_over(
        &self,
        world: &dyn World,
        path: &Path,
        note: &Formatted,
        rewritten: &mut HashSet<PathBuf>,
    ) -> Result<bool, Failure> {
        let (name, old) = (note.source.name(), note.source.written());
        let new = note.text.as_deref().unwrap_or(old);
        if self.prints(path) {
            print(new)?;
            return Ok(true);
        }
        if self.check {
            print(&format!("{name}: not in canonical form\n"))?;
            return Ok(false);
        }
        // A link to a note that was rewritten a moment ago leads to what is canonical now.
        if !rewritten.insert(path.canonicalize().unwrap_or_else(|_| path.to_owned())) {
            return Ok(true);
        }
        let done = world.rewrite(path, old.as_bytes(), new.as_bytes())?;
        if let Rewritten::Replaced { other_names } = done {
            print(&format!("{name}: rewritten\n"))?;
            if other_names > 0 {
                let names = plural(other_names as usize, "other name");
                aside!("rimebook: {name}: {names} of this note (hard links) kept the old text");
            }
        }
        Ok(true)
    }
}
