//! `rimebook fix`: puts replacements into notes.

use super::diff::unified;
use super::output::{Colour, print, read_note, tidy};
use super::{COULD_NOT_RUN, Failure, NOTE_ERRORS, aside};
use crate::fixes::{Choice, Fixed, counted, fixed};
use crate::vocabulary::plural;
use crate::world::{DiskWorld, Rewritten, World, notes_in};
use clap::Args;
use rayon::prelude::*;
use std::collections::HashSet;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// Notes worked on before any is written; bounds memory over large folders.
const BATCH: usize = 256;

#[derive(Args)]
pub(super) struct Fix {
    /// Notes or folders of notes; `-` reads standard input and writes the note to standard output
    #[arg(required = true)]
    paths: Vec<PathBuf>,
    /// Show what would change, and write nothing
    #[arg(long)]
    dry_run: bool,
    /// Put in what was left to choose: the line and the letter listed with it, as in 12a,15b
    #[arg(long, value_name = "CHOICE", value_delimiter = ',')]
    choose: Vec<Choice>,
    /// When to use color
    #[arg(long = "color", value_name = "WHEN", value_enum, default_value_t = Colour::Auto)]
    colour: Colour,
}

/// What all notes together gave.
#[derive(Default)]
struct Total {
    failed: usize,
    unsettled: usize,
    applied: usize,
    left: usize,
    errors: usize,
    example: Option<(String, Choice)>,
}

impl Fix {
    pub fn run(&self) -> Result<u8, Failure> {
        let world = DiskWorld::default();
        if self.paths.iter().any(|path| path == Path::new("-")) {
            return self.standard_input(&world);
        }
        let notes = self.notes(&world)?;
        if notes.len() > 1 && !self.choose.is_empty() {
            return Err(Failure(
                "choices are those of one note; name it alone".to_owned(),
            ));
        }
        let colour = self.colour.on(std::io::stdout().is_terminal());
        if !self.dry_run {
            tidy(&world, &notes);
        }
        let mut total = Total::default();
        for batch in notes.chunks(BATCH) {
            let worked: Vec<Result<Fixed, Failure>> = batch
                .par_iter()
                .map(|note| self.work_out(&world, note))
                .collect();
            for (note, fixed) in batch.iter().zip(worked) {
                match fixed.and_then(|fixed| self.write(&world, note, fixed)) {
                    Ok(fixed) => {
                        if notes.len() == 1 || !fixed.is_clean() {
                            print(&self.told(&fixed, colour))?;
                        }
                        total.unsettled += usize::from(!self.settled(&fixed));
                        total.count(&fixed);
                    }
                    Err(Failure(sentence)) => {
                        total.failed += 1;
                        aside!("rimebook: {sentence}");
                    }
                }
            }
        }
        if notes.len() > 1 && total.failed < notes.len() {
            let unwritten = match total.failed {
                0 => String::new(),
                failed => format!(" ({failed} not worked on)"),
            };
            print(&format!(
                "{}{unwritten}: {}\n",
                plural(notes.len(), "note"),
                counted(total.applied, total.left, total.errors, !self.dry_run),
            ))?;
        }
        if let Some((name, choice)) = &total.example {
            let name = match name.contains(char::is_whitespace) {
                true => format!("\"{name}\""),
                false => name.clone(),
            };
            print(&format!(
                "to choose: rimebook fix {name} --choose {choice}\n"
            ))?;
        }
        Ok(if total.failed == notes.len() {
            COULD_NOT_RUN
        } else if total.failed > 0 || total.unsettled > 0 {
            NOTE_ERRORS
        } else {
            0
        })
    }

    fn standard_input(&self, world: &dyn World) -> Result<u8, Failure> {
        let [path] = self.paths.as_slice() else {
            return Err(Failure(
                "standard input is a note of its own; leave out the others".to_owned(),
            ));
        };
        let fixed = self.work_out(world, path)?;
        if !self.dry_run {
            print(&fixed.after)?;
        }
        let colour = self.colour.on(std::io::stderr().is_terminal());
        let _ = io::stderr().write_all(self.told(&fixed, colour).as_bytes());
        Ok(if self.settled(&fixed) { 0 } else { NOTE_ERRORS })
    }

    /// The notes, each once, however many names lead to it.
    fn notes(&self, world: &dyn World) -> Result<Vec<PathBuf>, Failure> {
        let mut notes = Vec::new();
        for path in &self.paths {
            notes.extend(notes_in(world, path)?);
        }
        let mut seen = HashSet::new();
        notes.retain(|note| seen.insert(note.canonicalize().unwrap_or_else(|_| note.clone())));
        Ok(notes)
    }

    fn work_out(&self, world: &dyn World, note: &Path) -> Result<Fixed, Failure> {
        let source = read_note(world, note)?;
        let name = source.name().to_owned();
        fixed(source, &self.choose).map_err(|why| Failure(format!("{name}: {why}")))
    }

    fn write(&self, world: &dyn World, note: &Path, fixed: Fixed) -> Result<Fixed, Failure> {
        if self.dry_run {
            return Ok(fixed);
        }
        let done = world.rewrite(note, fixed.before.as_bytes(), fixed.after.as_bytes())?;
        if let Rewritten::Replaced {
            other_names: others @ 1..,
        } = done
        {
            aside!(
                "rimebook: {}: kept as it was under {} (hard link)",
                fixed.name,
                plural(others as usize, "other name"),
            );
        }
        Ok(fixed)
    }

    /// True when nothing is left to do; what was only shown is.
    fn settled(&self, fixed: &Fixed) -> bool {
        fixed.is_settled() && (fixed.applied == 0 || !self.dry_run)
    }

    /// The change and what is left.
    fn told(&self, fixed: &Fixed, colour: bool) -> String {
        let diff = unified(&fixed.name, &fixed.before, &fixed.after, colour);
        diff + &fixed.summary(!self.dry_run)
    }
}

impl Total {
    fn count(&mut self, fixed: &Fixed) {
        self.applied += fixed.applied;
        self.left += fixed.left.len();
        self.errors += fixed.errors;
        if self.example.is_none() {
            let mut offers = fixed.left.iter().flat_map(|left| &left.offers);
            self.example = offers.next().map(|o| (fixed.name.clone(), o.choice));
        }
    }
}
