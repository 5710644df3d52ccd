//! The command line: one file per command, each thin over the library.

mod check;
mod diff;
mod explain;
mod fix;
mod fmt;
mod folder;
mod hear;
mod history;
mod hours;
mod open;
mod output;
mod refrigerant;
mod report;
mod saturation;
mod templates;

use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Exit code when a note has errors.
const NOTE_ERRORS: u8 = 1;
/// Exit code when the command could not do its work.
const COULD_NOT_RUN: u8 = 2;

/// Compiles plain-text job notes of refrigeration service into checked reports.
#[derive(Parser)]
#[command(name = "rimebook", version, about, max_term_width = 96)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Check notes: what is doubtful in the writing, and what the readings show
    Check(check::Check),
    /// Put in the fixes that are certain, and list those to choose
    Fix(fix::Fix),
    /// Put notes into canonical form: one way of writing what they say
    Fmt(fmt::Fmt),
    /// Make a note of raw dictation
    Hear(hear::Hear),
    /// Write a report of each note
    Report(report::Report),
    /// Jobs, causes, parts, refrigerant and readings of one unit over a folder of notes
    History(history::History),
    /// Refrigerant of a folder of notes: by unit, refrigerant and cylinder, leak rates, duties
    Refrigerant(refrigerant::Refrigerant),
    /// What is still open over a folder of notes, by risk and age
    Open(open::Open),
    /// Hours and parts of a folder of notes
    Hours(hours::Hours),
    /// The templates of the reports, to be changed
    Templates(templates::Templates),
    /// Say what a code means, or list all codes
    Explain(explain::Explain),
    /// Bubble and dew of a refrigerant at a pressure or a temperature, and what is known of it
    Saturation(saturation::Saturation),
}

/// Says something beside the answer. Whether anybody reads standard error is no reason to stop.
macro_rules! aside {
    ($($words:tt)*) => {{
        use std::io::Write as _;
        let _ = writeln!(std::io::stderr(), "{}", $crate::source::visible(&format!($($words)*)));
    }};
}
use aside;

/// Why a command could not run: one sentence, already complete.
struct Failure(String);

impl<E: std::fmt::Display> From<E> for Failure {
    fn from(error: E) -> Self {
        Self(error.to_string())
    }
}

/// Runs the command line. Exit code 0: clean or warnings; 1: a note has errors or is not as asked for,
/// or a value asked is refused; 2: could not run.
pub fn run() -> ExitCode {
    let arguments = saturation::with_negative_values(std::env::args_os());
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            let code = if error.use_stderr() { COULD_NOT_RUN } else { 0 };
            let _ = error.print();
            return ExitCode::from(code);
        }
    };
    let result = match arguments.command {
        Command::Check(check) => check.run(),
        Command::Fix(fix) => fix.run(),
        Command::Fmt(fmt) => fmt.run(),
        Command::Hear(hear) => hear.run(),
        Command::Report(report) => report.run(),
        Command::History(history) => history.run(),
        Command::Refrigerant(refrigerant) => refrigerant.run(),
        Command::Open(open) => open.run(),
        Command::Hours(hours) => hours.run(),
        Command::Templates(templates) => templates.run(),
        Command::Explain(explain) => explain.run(),
        Command::Saturation(saturation) => saturation.run(),
    };
    match result {
        Ok(code) => ExitCode::from(code),
        Err(Failure(sentence)) => {
            aside!("rimebook: {sentence}");
            ExitCode::from(COULD_NOT_RUN)
        }
    }
}
