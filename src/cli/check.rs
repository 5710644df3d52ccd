//! `rimebook check`: diagnostics of notes and folders.

use super::output::{Colour, print, read_note};
use super::{COULD_NOT_RUN, Failure, NOTE_ERRORS, aside};
use crate::compile::{Compiled, compile};
use crate::derive::{Derived, Input};
use crate::diagnostic::{Diagnostic, Severity, annotated, short, to_json};
use crate::quantity::Display;
use crate::view::causes;
use crate::vocabulary::plural;
use crate::world::{DiskWorld, World, notes_in};
use clap::{Args, ValueEnum};
use rayon::prelude::*;
use serde::Serialize;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

/// Notes compiled before any of their output is printed; bounds memory over large folders.
const BATCH: usize = 1024;

#[derive(Args)]
pub(super) struct Check {
    /// Notes or folders of notes; `-` reads standard input
    #[arg(required = true)]
    paths: Vec<PathBuf>,
    /// How problems are printed
    #[arg(long = "to", value_enum, default_value_t = Form::Excerpt)]
    form: Form,
    /// When to use color
    #[arg(long = "color", value_name = "WHEN", value_enum, default_value_t = Colour::Auto)]
    colour: Colour,
    /// Leave out advice
    #[arg(long)]
    no_advice: bool,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// With the lines of the note
    Excerpt,
    /// One line a problem
    Line,
    /// One JSON object a line
    Json,
}

/// What one note gave.
#[derive(Default)]
struct Outcome {
    text: String,
    counts: [usize; 3],
    not_evaluated: usize,
    unreadable: Option<String>,
}

impl Check {
    pub fn run(&self) -> Result<u8, Failure> {
        let world = DiskWorld::default();
        let colour = self.colour.on(std::io::stdout().is_terminal());
        let notes = self.notes(&world)?;
        let mut total = Outcome::default();
        let mut unreadable = 0;
        for batch in notes.chunks(BATCH) {
            let outcomes: Vec<Outcome> = batch
                .par_iter()
                .map(|path| self.one(&world, path, colour, notes.len() == 1))
                .collect();
            for outcome in outcomes {
                if let Some(sentence) = outcome.unreadable {
                    unreadable += 1;
                    aside!("rimebook: {sentence}");
                }
                print(&outcome.text)?;
                for (sum, count) in total.counts.iter_mut().zip(outcome.counts) {
                    *sum += count;
                }
                total.not_evaluated += outcome.not_evaluated;
            }
        }
        let [advice, warnings, errors] = total.counts;
        if self.form == Form::Excerpt {
            let judged = match notes.len() {
                1 if unreadable == 0 => format!(
                    "; {} not evaluated (see the diagnosis report)",
                    plural(total.not_evaluated, "rule")
                ),
                _ => String::new(),
            };
            let unread = if unreadable > 0 {
                format!(", {unreadable} unreadable")
            } else {
                String::new()
            };
            print(&format!(
                "{}{unread}: {}, {}, {advice} advice{judged}\n",
                plural(notes.len(), "note"),
                plural(errors, "error"),
                plural(warnings, "warning"),
            ))?;
        }
        Ok(if unreadable == notes.len() {
            COULD_NOT_RUN
        } else if errors > 0 || unreadable > 0 {
            NOTE_ERRORS
        } else {
            0
        })
    }

    fn notes(&self, world: &dyn World) -> Result<Vec<PathBuf>, Failure> {
        let mut notes = Vec::new();
        for path in &self.paths {
            if path == Path::new("-") {
                notes.push(path.clone());
                continue;
            }
            notes.extend(notes_in(world, path)?);
        }
        Ok(notes)
    }

    fn one(&self, world: &dyn World, path: &Path, colour: bool, alone: bool) -> Outcome {
        let source = match read_note(world, path) {
            Ok(source) => source,
            Err(Failure(sentence)) => {
                return Outcome {
                    unreadable: Some(sentence),
                    ..Outcome::default()
                };
            }
        };
        let compiled = compile(source);
        let mut outcome = Outcome {
            not_evaluated: compiled.findings().not_evaluated.len(),
            ..Outcome::default()
        };
        for diagnostic in compiled.report() {
            if self.no_advice && diagnostic.severity == Severity::Advice {
                continue;
            }
            outcome.counts[diagnostic.severity as usize] += 1;
            self.render(&compiled, &diagnostic, colour, &mut outcome.text);
        }
        if self.form == Form::Json {
            let causes = NoteCauses {
                file: compiled.source.name(),
                causes: causes::tables(&compiled),
            };
            if !causes.causes.is_empty() {
                push_json(&mut outcome.text, &causes);
            }
        }
        if self.form == Form::Excerpt && alone {
            outcome.text.push_str(&computed(&compiled));
            outcome.text.push_str(&causes::text(&compiled));
        }
        outcome
    }

    fn render(
        &self,
        compiled: &Compiled,
        diagnostic: &Diagnostic,
        colour: bool,
        text: &mut String,
    ) {
        match self.form {
            Form::Excerpt => {
                text.push_str(&annotated(&compiled.source, diagnostic, colour));
                text.push_str("\n\n");
            }
            Form::Line => {
                text.push_str(&short(&compiled.source, diagnostic));
                text.push('\n');
            }
            Form::Json => push_json(text, &to_json(&compiled.source, diagnostic)),
        }
    }
}

/// What a note's readings fit, as a line of its own after its diagnostics.
#[derive(Serialize)]
struct NoteCauses<'a> {
    file: &'a str,
    causes: Vec<causes::CauseTable>,
}

fn push_json(text: &mut String, value: &impl Serialize) {
    text.push_str(&serde_json::to_string(value).unwrap_or_default());
    text.push('\n');
}

/// The computed values of a note, for the technician who asks for one note: time, name, value, lines.
fn computed(compiled: &Compiled) -> String {
    let readings: Vec<&Derived> = compiled.derived.values.iter().collect();
    let cycle: Vec<&Derived> = compiled.energy().values().collect();
    let estimated = match compiled.job.unit.refrigerant.map(|r| r.node) {
        Some(r) if r.estimated.is_some() => format!(" (the data of {r} is estimated)"),
        _ => String::new(),
    };
    let mut text = String::new();
    for (heading, values) in [("computed", readings), ("cycle", cycle)] {
        let Some(width) = values.iter().map(|d| d.label().chars().count()).max() else {
            continue;
        };
        text.push_str(&format!("{heading}{estimated}\n"));
        for value in values {
            text.push_str(&row(value, compiled.job.display, width));
        }
        text.push('\n');
    }
    let refused = compiled.energy().cycles.iter().flat_map(|c| &c.refused);
    let lines: Vec<String> = refused
        .map(|(what, why)| format!("  {what}: {why}\n"))
        .collect();
    if !lines.is_empty() {
        text.push_str(&format!("not computed\n{}\n", lines.concat()));
    }
    text
}

fn row(value: &Derived, display: Display, width: usize) -> String {
    let at = value
        .at
        .map_or_else(|| "     ".to_owned(), |at| at.to_string());
    let resolution = value
        .resolution_text(display)
        .map_or(String::new(), |r| format!(" {r}"));
    let lines = Input::lines(&value.inputs);
    let lines: Vec<String> = lines.iter().map(u32::to_string).collect();
    format!(
        "  {at}  {:width$}  {}{resolution}  (line {})\n",
        value.label(),
        value.text(display),
        lines.join(", "),
    )
}
