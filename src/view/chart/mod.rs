//! Charts as data: what a plot shows, in the units of the report, with the sentence that says it
//! without the picture. [`crate::render`] draws them.

mod axis;
mod balance;
mod cycle;
mod for_technicians;
mod trend;
mod vacuum;

pub(super) use balance::balance;
pub(super) use for_technicians::for_technicians;
pub(super) use trend::{Wanted, trend};

use crate::quantity::significant;
use cycle::cycle;
use schemars::JsonSchema;
use serde::Serialize;
use vacuum::vacuums;

/// Fewer points make no chart: two readings are a sentence.
pub const LEAST_POINTS: usize = 3;

/// One chart.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Chart {
    /// Name of its element, unique in a report.
    pub id: String,
    /// What it shows, a few words.
    pub title: String,
    /// The same without the picture: a sentence a series.
    pub alternative: Vec<String>,
    /// Across.
    pub x: Axis,
    /// Up.
    pub y: Axis,
    /// Curves, in order of drawing.
    pub series: Vec<Series>,
    /// Lines of one value across the chart: set point, limit.
    pub levels: Vec<Level>,
    /// What happened, numbered from 1.
    pub marks: Vec<Mark>,
    /// What must be known to read it: stretches left out, lines not drawn.
    pub notes: Vec<String>,
}

/// One axis.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Axis {
    /// What is shown along it, with its unit.
    pub label: String,
    /// Values at its ends.
    pub ends: [f64; 2],
    /// Where it is marked, and with what.
    pub ticks: Vec<Tick>,
    /// True when equal lengths are equal ratios.
    pub logarithmic: bool,
    /// Stretches that are left out, from and to.
    pub breaks: Vec<[f64; 2]>,
}

/// A marked value.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Tick {
    /// Value.
    pub at: f64,
    /// In words.
    pub text: String,
}

/// What a curve is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Measured: a line with a mark a reading.
    Measured,
    /// Edge of the saturation dome.
    Dome,
    /// A line of one temperature.
    Isotherm,
}

/// One curve.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Series {
    /// Its name.
    pub name: String,
    /// What it is.
    pub role: Role,
    /// Points that belong together; between two runs nothing is known.
    pub runs: Vec<Vec<[f64; 2]>>,
}

/// A line of one value.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Level {
    /// Its name with its value.
    pub name: String,
    /// Value.
    pub value: f64,
}

/// Something that happened.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Mark {
    /// From where to where on the horizontal axis; the same twice for a moment.
    pub span: [f64; 2],
    /// In words, with its time.
    pub text: String,
}

/// Parts of a whole, as one bar.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Bar {
    /// Name of its element, unique in a report.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// The same without the picture.
    pub alternative: Vec<String>,
    /// Rows, each of its own length.
    pub rows: Vec<BarRow>,
    /// Length of the longest thing shown.
    pub whole: f64,
}

/// One row of a bar chart.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct BarRow {
    /// Its name.
    pub name: String,
    /// Its value in words.
    pub text: String,
    /// Its length.
    pub value: f64,
    /// `in`, `out`, `full`: how it is drawn.
    pub kind: &'static str,
}

impl Chart {
    /// With seven figures of each value: more would only show how a processor rounds.
    fn rounded(mut self) -> Self {
        let round = |value: &mut f64| *value = significant(*value, 7);
        for series in &mut self.series {
            series.runs.iter_mut().flatten().flatten().for_each(round);
        }
        for axis in [&mut self.x, &mut self.y] {
            axis.ends.iter_mut().for_each(round);
            axis.ticks.iter_mut().for_each(|tick| round(&mut tick.at));
            axis.breaks.iter_mut().flatten().for_each(round);
        }
        self.levels.iter_mut().for_each(|l| round(&mut l.value));
        self.marks
            .iter_mut()
            .for_each(|m| m.span.iter_mut().for_each(round));
        self
    }
}

impl Series {
    /// Points in all its runs.
    fn points(&self) -> impl Iterator<Item = &[f64; 2]> {
        self.runs.iter().flatten()
    }
}
