//! What the time above a food limit is called: the sentences of findings and reports.

use super::food::{FoodReading, FoodTime, Measured, Passed, PlanEnd, When};
use super::time::hours_minutes;
use crate::model::Job;

impl FoodTime {
    /// How a value was counted, in one sentence.
    pub const BASIS: &'static str = "between two readings of a visit at most 60 min apart the temperature is taken to run straight from one to the other; longer spans and those between visits are not measured (60 min: common practice, no source)";

    /// `Food`, `Food (product 2)`, `Air in the box, not food`.
    pub fn name(&self) -> String {
        let name = match self.measured {
            Measured::Food => "Food",
            Measured::Air => "Air in the box, not food",
        };
        match &self.which {
            Some(which) => format!("{name} ({which})"),
            None => name.to_owned(),
        }
    }

    /// `at least 2 h 10 min`, whole minutes; `none` when no reading was above.
    pub fn above_text(&self) -> String {
        match (&self.passed, whole(self.above)) {
            (None, _) => "none".to_owned(),
            // One warm reading alone, or spans that were not measured.
            (Some(_), 0) => "not known (no two readings close enough)".to_owned(),
            (Some(_), minutes) => format!("at least {}", hours_minutes(minutes)),
        }
    }

    /// What was not measured: `09:10-11:40`, each span.
    pub fn gaps_text(&self, job: &Job) -> Vec<String> {
        self.gaps
            .iter()
            .map(|&(from, to)| {
                if from.visit == to.visit {
                    format!("{}-{}", moment(job, from), to.at)
                } else {
                    format!("{} to {}", moment(job, from), moment(job, to))
                }
            })
            .collect()
    }

    /// `52 F at 11:30`.
    pub fn highest_text(&self, job: &Job) -> String {
        reading(job, &self.highest)
    }

    /// What else belongs to the number: straight lines, before and after the readings, missing times.
    pub fn remarks(&self, job: &Job) -> Vec<String> {
        let mut remarks = Vec::new();
        let straight = whole(self.interpolated);
        if straight > 0 {
            remarks.push(format!(
                "{} of it by a straight line between a reading above the limit and one not above it",
                hours_minutes(straight)
            ));
        }
        if let Some(passed) = &self.passed {
            if passed.last_below.is_none() {
                remarks.push(format!("before {} not known", moment(job, passed.by.when)));
            }
            if let Some(last) = self.above_at_last() {
                remarks.push(format!(
                    "still above at the last reading, {}",
                    moment(job, last.when)
                ));
            }
        }
        if self.untimed > 0 {
            let readings = crate::vocabulary::plural(self.untimed, "reading");
            remarks.push(format!("{readings} without a time not counted"));
        }
        remarks
    }

    /// `time above 41 F as measured: at least 2 h 10 min; not measured 09:10-11:40; …`
    pub fn sentence(&self, job: &Job) -> String {
        let mut parts = vec![format!(
            "time above {} as measured: {}",
            limit_text(job),
            self.above_text()
        )];
        let gaps = self.gaps_text(job);
        if !gaps.is_empty() {
            parts.push(format!("not measured {}", gaps.join(", ")));
        }
        parts.push(format!("highest {}", self.highest_text(job)));
        parts.extend(self.remarks(job));
        parts.join("; ")
    }

    /// When the plan's hours end, and whether they had at the last reading.
    pub fn plan_sentence(&self, job: &Job) -> Option<String> {
        let end = self.plan_end?;
        let passed = self.passed.as_ref()?;
        let limit = limit_text(job);
        let hours = end.hours;
        let by = format!(
            "{} (from {}, the first reading above {limit})",
            moment(job, end.latest),
            moment(job, passed.by.when)
        );
        let span = match (end.earliest, &passed.last_below) {
            (Some(earliest), Some(below)) => format!(
                "{hours} h of time control end at the earliest {} (from {}, the last reading not above {limit}), at the latest {by}",
                moment(job, earliest),
                moment(job, below.when)
            ),
            _ => format!(
                "since when it was above {limit} is not known; {hours} h of time control end at the latest {by}"
            ),
        };
        let last = self.readings.last()?;
        Some(format!(
            "{span}; at the last reading, {}, {}",
            moment(job, last.when),
            stands(job, end, last.when)
        ))
    }

    /// That food under a 6-hour plan got too warm for it.
    pub fn ceiling_sentence(&self, job: &Job) -> Option<String> {
        let Passed { by, last_below } = self.ceiling_passed.as_ref()?;
        let since = match last_below {
            Some(below) => format!(" or earlier, after {}", moment(job, below.when)),
            None => ", the first reading, or earlier".to_owned(),
        };
        Some(format!(
            "70 F (21 C) passed at {} ({}){since}",
            moment(job, by.when),
            by.input.text
        ))
    }
}

fn stands(job: &Job, end: PlanEnd, last: When) -> &'static str {
    let past = |moment: When| moment.minutes_to(last, job).map(|minutes| minutes >= 0);
    match (end.earliest.map(past), past(end.latest)) {
        (_, Some(true)) => "they had ended",
        (Some(Some(true)), Some(false)) => "they may have ended",
        (Some(Some(false)), Some(false)) => "they had not ended",
        _ => "whether they had ended is not known",
    }
}

/// The limit as the head writes it.
pub fn limit_text(job: &Job) -> String {
    job.food.limit_written.clone().unwrap_or_default()
}

fn reading(job: &Job, reading: &FoodReading) -> String {
    format!("{} at {}", reading.input.text, moment(job, reading.when))
}

/// `11:40`, with the date where the job has several visits.
fn moment(job: &Job, when: When) -> String {
    let date = job.visits.get(when.visit).and_then(|v| v.date);
    match date.filter(|_| job.visits.len() > 1) {
        Some(date) => format!("{date} {}", when.at),
        None => when.at.to_string(),
    }
}

/// Whole minutes that have passed; what binary arithmetic leaves of a minute is one.
fn whole(minutes: f64) -> i32 {
    (minutes + 1e-6).floor() as i32
}
