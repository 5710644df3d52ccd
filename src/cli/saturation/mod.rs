//! `rimebook saturation`: bubble and dew of a refrigerant on site, without a note.
//!
//! [`question`] reads what was typed, [`answer`] asks the saturation lines, [`text`] writes it for a
//! phone terminal of 40 columns in the units of [`scale`], [`json`] for a program.

mod answer;
mod json;
mod question;
mod scale;
mod text;

use super::output::print;
use super::{Failure, NOTE_ERRORS, aside};
use answer::Answer;
use clap::{Args, ValueEnum};
use question::Question;
use scale::Scale;
use std::ffi::OsString;

#[derive(Args)]
#[command(after_help = "\
Examples:
  rimebook saturation R-448A 40psig
  rimebook saturation R-448A -20F
  rimebook saturation propane 10 inHg vacuum --altitude 5000ft
  rimebook saturation R-448A -40..120F --step 10

psig, psi, inHg, bar, kPa and MPa are gauge pressures; psia, bara and kPaa absolute.")]
pub(super) struct Saturation {
    /// A refrigerant, then a pressure or a temperature with its unit, or a range of them; without
    /// one, only what is known of the refrigerant
    #[arg(required = true, value_name = "REFRIGERANT [VALUE]")]
    words: Vec<String>,
    /// Step of a range, in its unit
    #[arg(long, value_name = "NUMBER")]
    step: Option<String>,
    /// Altitude of the gauges: 5000ft, 1500m
    #[arg(long, value_name = "LENGTH", conflicts_with = "barometer")]
    altitude: Option<String>,
    /// Station pressure where the gauges are: 24.9inHg, 843hPa
    #[arg(long, value_name = "PRESSURE")]
    barometer: Option<String>,
    /// Units of the answer; without it, those of the value asked
    #[arg(long, value_enum)]
    units: Option<Units>,
    /// How the answer is written
    #[arg(long = "to", value_enum, default_value_t = Form::Text)]
    form: Form,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For reading, in 40 columns
    Text,
    /// One JSON object, in SI units
    Json,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Units {
    /// °F, psi
    Us,
    /// °C, kPa, or bar where bar was asked
    Si,
}

impl Saturation {
    pub fn run(&self) -> Result<u8, Failure> {
        let question = question::atmosphere(self.altitude.as_deref(), self.barometer.as_deref())
            .and_then(|atmosphere| {
                Question::read(&self.words.join(" "), self.step.as_deref(), atmosphere)
            });
        let question = match question {
            Ok(question) => question,
            Err(sentence) => {
                aside!("rimebook: {sentence}");
                return Ok(NOTE_ERRORS);
            }
        };
        let answers: Vec<Answer> = question.values().iter().map(Answer::of).collect();
        print(&if self.form == Form::Json {
            json::object(&question, &answers)
        } else {
            text::page(&question, &answers, Scale::choose(self.units, &question))
        })?;
        // A table that has some rows has answered; one value has to be there whole.
        let refused = match &answers[..] {
            [] => false,
            [one] => one.refused().is_some(),
            rows => rows.iter().all(|row| row.refused().is_some()),
        };
        Ok(if refused { NOTE_ERRORS } else { 0 })
    }
}

/// The arguments as clap has to see them: behind `saturation`, `-20F` is a value and no option, so
/// its hyphen becomes a minus sign, which [`crate::quantity::Number`] reads as well. (clap's own
/// leave for hyphens would take the options that follow a value for values too.)
pub(super) fn with_negative_values(arguments: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let mut arguments: Vec<OsString> = arguments.into_iter().collect();
    if arguments
        .get(1)
        .is_some_and(|command| command == "saturation")
    {
        for argument in &mut arguments[2..] {
            let value = argument.to_str().and_then(|text| text.strip_prefix('-'));
            if let Some(value) =
                value.filter(|v| v.starts_with(|c: char| c == '.' || c.is_ascii_digit()))
            {
                *argument = format!("−{value}").into();
            }
        }
    }
    arguments
}
