//! What the time above a food limit is called: the sentences of findings and reports.

use super::food::{FoodReading, FoodTime, Measured, Passed, PlanEnd, When};
use super::time::hours_minutes;
use crate::model::Job;
use crate::quantity::{Display, Temperature};
use crate::say;
use crate::words::Words;

impl FoodTime {
    /// `Food`, `Food (product 2)`, `Air in the box, not food`.
    pub fn name(&self, words: &Words) -> String {
        let name = match self.measured {
            Measured::Food => say!(words, "food-measured"),
            Measured::Air => say!(words, "food-air"),
        };
        match &self.which {
            Some(which) => format!("{name} ({which})"),
            None => name,
        }
    }

    /// `at least 2 h 10 min`, whole minutes; `none` when no reading was above.
    pub fn above_text(&self, words: &Words) -> String {
        match (&self.passed, whole(self.above)) {
            (None, _) if self.readings.len() == 1 => say!(words, "food-above-one"),
            (None, _) => say!(words, "food-above-none"),
            // One warm reading alone, or spans that were not measured.
            (Some(_), 0) => say!(words, "food-above-unknown"),
            (Some(_), minutes) => say!(words, "food-above-least", time = hours_minutes(minutes)),
        }
    }

    /// What was not measured: `09:10-11:40`, each span.
    pub fn gaps_text(&self, job: &Job, words: &Words) -> Vec<String> {
        self.gaps
            .iter()
            .map(|&(from, to)| {
                if from.visit == to.visit {
                    format!("{}–{}", moment(job, from, words), to.at)
                } else {
                    let (from, to) = (moment(job, from, words), moment(job, to, words));
                    say!(words, "food-gap", from = from, to = to)
                }
            })
            .collect()
    }

    /// `52 F at 11:30`.
    pub fn highest_text(&self, job: &Job, words: &Words) -> String {
        reading(job, &self.highest, words)
    }

    /// What else belongs to the number: straight lines, before and after the readings, missing times.
    pub fn remarks(&self, job: &Job, words: &Words) -> Vec<String> {
        let mut remarks = Vec::new();
        let straight = whole(self.interpolated);
        if straight > 0 {
            remarks.push(say!(words, "food-straight", time = hours_minutes(straight)));
        }
        if let Some(passed) = &self.passed {
            if passed.last_below.is_none() {
                let at = moment(job, passed.by.when, words);
                remarks.push(say!(words, "food-before-unknown", at = at));
            }
            if let Some(last) = self.above_at_last() {
                let at = moment(job, last.when, words);
                remarks.push(say!(words, "food-still-above", at = at));
            }
        }
        if self.untimed > 0 {
            remarks.push(say!(words, "food-untimed", count = self.untimed));
        }
        remarks
    }

    /// `time above 41 F as measured: at least 2 h 10 min; not measured 09:10-11:40; …`
    pub fn sentence(&self, job: &Job, words: &Words) -> String {
        let mut parts = vec![say!(
            words,
            "food-time-above",
            limit = limit_text(job),
            time = self.above_text(words)
        )];
        let gaps = self.gaps_text(job, words);
        if !gaps.is_empty() {
            parts.push(say!(words, "food-gaps", spans = gaps.join(", ")));
        }
        let highest = self.highest_text(job, words);
        parts.push(say!(words, "food-highest", reading = highest));
        parts.extend(self.remarks(job, words));
        parts.join("; ")
    }

    /// When the plan's hours end, and whether they had at the last reading.
    pub fn plan_sentence(&self, job: &Job, words: &Words) -> Option<String> {
        let end = self.plan_end?;
        let passed = self.passed.as_ref()?;
        let limit = limit_text(job);
        let latest = moment(job, end.latest, words);
        let first = moment(job, passed.by.when, words);
        let span = match (end.earliest, &passed.last_below) {
            (Some(earliest), Some(below)) => say!(
                words,
                "food-plan-between",
                hours = end.hours,
                earliest = moment(job, earliest, words),
                below = moment(job, below.when, words),
                latest = latest,
                first = first,
                limit = limit
            ),
            _ => say!(
                words,
                "food-plan-latest",
                hours = end.hours,
                latest = latest,
                first = first,
                limit = limit
            ),
        };
        let last = self.readings.last()?;
        Some(say!(
            words,
            "food-plan-stands",
            span = span,
            at = moment(job, last.when, words),
            stands = words.say(stands(job, end, last.when))
        ))
    }

    /// That food under a 6-hour plan got too warm for it.
    pub fn ceiling_sentence(&self, job: &Job, words: &Words) -> Option<String> {
        let Passed { by, last_below } = self.ceiling_passed.as_ref()?;
        let at = moment(job, by.when, words);
        let text = in_scale(&by.input.text, by.temperature, job.display);
        Some(match last_below {
            Some(below) => say!(
                words,
                "food-ceiling-after",
                at = at,
                value = text,
                below = moment(job, below.when, words)
            ),
            None => say!(words, "food-ceiling-first", at = at, value = text),
        })
    }
}

/// The message that says whether the plan's hours had ended.
fn stands(job: &Job, end: PlanEnd, last: When) -> &'static str {
    let past = |moment: When| moment.minutes_to(last, job).map(|minutes| minutes >= 0);
    match (end.earliest.map(past), past(end.latest)) {
        (_, Some(true)) => "food-plan-ended",
        (Some(Some(true)), Some(false)) => "food-plan-perhaps",
        (Some(Some(false)), Some(false)) => "food-plan-not-ended",
        _ => "food-plan-unknown",
    }
}

/// The limit: as the head writes it, or in the scale of the report where that is another.
pub fn limit_text(job: &Job) -> String {
    let written = job.food.limit_written.clone().unwrap_or_default();
    match &job.food.limit {
        Some(limit) => in_scale(&written, limit.node, job.display),
        None => written,
    }
}

/// A temperature as written, or in the scale of the report where it was written in another.
fn in_scale(written: &str, temperature: Temperature, display: Display) -> String {
    let digits: String = written
        .chars()
        .take_while(|c| c.is_ascii_digit() || matches!(c, '-' | '+' | '.'))
        .collect();
    let typed = digits.parse::<f64>();
    match typed.is_ok_and(|typed| (typed - display.degrees(temperature)).abs() < 1e-6) {
        true => written.to_owned(),
        false => display.temperature(temperature),
    }
}

fn reading(job: &Job, reading: &FoodReading, words: &Words) -> String {
    let value = reading.input.text.clone();
    say!(
        words,
        "value-at",
        value = value,
        at = moment(job, reading.when, words)
    )
}

/// `11:40`, with the date where the job has several visits.
fn moment(job: &Job, when: When, words: &Words) -> String {
    match job.visits.len() {
        0 | 1 => when.at.to_string(),
        _ => words.moment(job, when.visit, Some(when.at)),
    }
}

/// Whole minutes that have passed; what binary arithmetic leaves of a minute is one.
fn whole(minutes: f64) -> i32 {
    (minutes + 1e-6).floor() as i32
}
