//! Food against the limit of the head, as every reader gets it.

use crate::compile::Compiled;
use crate::derive::{FoodTime, food_limit};
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// The table of food temperatures.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FoodView {
    /// The limit, as the head writes it.
    pub limit: String,
    /// Hours of the plan of time as control, if the head gives one.
    pub plan: Option<String>,
    /// A row a measuring point; empty when nothing was measured.
    pub rows: Vec<FoodRow>,
    /// How the time was counted.
    pub basis: String,
}

/// One measuring point.
#[derive(Debug, JsonSchema, Serialize)]
pub struct FoodRow {
    /// Food or air, and which.
    pub what: String,
    /// Time above the limit as measured: `at least 2 h 10 min`.
    pub above: String,
    /// Spans not measured.
    pub not_measured: Vec<String>,
    /// The warmest reading, with its time.
    pub highest: String,
    /// Straight lines, what lies before and after, the plan's hours, 70 F.
    pub remarks: Vec<String>,
    /// Lines of the readings.
    pub lines: Vec<u32>,
}

/// The table; `None` when the head gives no limit.
pub(super) fn view(compiled: &Compiled, words: &Words) -> Option<FoodView> {
    let job = &compiled.job;
    job.food.limit.as_ref()?;
    let row = |row: &FoodTime| {
        let mut remarks = row.remarks(job, words);
        remarks.extend(row.ceiling_sentence(job, words));
        remarks.extend(row.plan_sentence(job, words));
        FoodRow {
            what: row.name(words),
            above: row.above_text(words),
            not_measured: row.gaps_text(job, words),
            highest: row.highest_text(job, words),
            remarks,
            lines: row.readings.iter().map(|r| r.input.line).collect(),
        }
    };
    Some(FoodView {
        limit: food_limit(job),
        plan: job.food.hours.map(|hours| format!("{hours} h")),
        rows: compiled.derived.food.iter().map(row).collect(),
        basis: words.say("food-basis"),
    })
}
