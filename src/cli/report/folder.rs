//! `rimebook report FOLDER`: the reports of all notes of a folder.

use super::Report;
use crate::binder::{Order, Progress, bind};
use crate::cli::folder::progress;
use crate::cli::{Failure, NOTE_ERRORS, aside};
use crate::vocabulary::plural;
use indicatif::ProgressDrawTarget;
use std::io::IsTerminal;
use std::path::Path;

impl Report {
    pub(super) fn write_folder(&self, folder: &Path) -> Result<u8, Failure> {
        let Some(out) = &self.output else {
            return Err(Failure(format!(
                "{} is a folder: name the folder that its reports go to, with --output",
                folder.display()
            )));
        };
        let (settings, world) = self.beside(folder)?;
        let bar = progress(0);
        if std::io::stderr().is_terminal() {
            bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        let order = Order {
            folder,
            out,
            kind: self.kind(),
            settings: &settings,
            program: program(),
            progress: &|progress| match progress {
                Progress::Found(notes) => bar.set_length(notes as u64),
                Progress::Looked => bar.inc(1),
            },
        };
        let bound = bind(&world, &order).map_err(Failure)?;
        bar.finish_and_clear();
        let removed = match bound.removed {
            0 => String::new(),
            n => format!("; {} removed, whose notes are gone", plural(n, "report")),
        };
        aside!(
            "{} of {} made, the others were up to date{removed}; see {}",
            plural(bound.made, "report"),
            bound.notes,
            out.join("index.html").display()
        );
        for sentence in &bound.failed {
            aside!("rimebook: {sentence}");
        }
        let is_clean = bound.failed.is_empty() && !bound.has_errors;
        Ok(if is_clean { 0 } else { NOTE_ERRORS })
    }
}

/// What tells this program from another one.
fn program() -> String {
    let program = std::env::current_exe().and_then(|path| path.metadata());
    program.map_or_else(
        |_| env!("CARGO_PKG_VERSION").to_owned(),
        |m| format!("{} {:?}", m.len(), m.modified().ok()),
    )
}
