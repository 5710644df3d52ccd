//! Hours: on site, travelling, waiting, a row a visit. What was not written is not guessed.

use crate::model::{EntryKind, Job};
use crate::quantity::Duration;

/// The hours of one visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VisitTime {
    /// Minutes from arrive to depart; `None` without both.
    pub on_site: Option<i32>,
    /// Minutes of travel; `None` when no travel was written, or its time cannot be told.
    pub travel: Option<i32>,
    /// Minutes of waiting within the time on site; `None` when none was written.
    pub waiting: Option<i32>,
}

/// `1 h 05 min`, `45 min`.
pub fn hours_minutes(minutes: i32) -> String {
    let (hours, rest) = (minutes / 60, minutes % 60);
    if hours == 0 {
        format!("{rest} min")
    } else {
        format!("{hours} h {rest:02} min")
    }
}

/// The hours of every visit.
pub(super) fn times(job: &Job) -> Vec<VisitTime> {
    job.visits
        .iter()
        .map(|visit| {
            let mut arrived = None;
            let mut on_site = None;
            let mut travel = None;
            let mut waiting = None;
            let mut setting_out = None;
            for entry in &visit.entries {
                match &entry.kind {
                    EntryKind::Arrive(_) => {
                        // `0820 travel` … `0905 arrive`: the trip is the time between them.
                        if let (Some(start), Some(end)) = (setting_out.take(), entry.at) {
                            add(&mut travel, minutes_between(start, end));
                        }
                        arrived = arrived.or(entry.at);
                    }
                    EntryKind::Depart(_) => {
                        if let (Some(start), Some(end)) = (arrived.take(), entry.at) {
                            add(&mut on_site, minutes_between(start, end));
                        }
                    }
                    EntryKind::Travel { duration, .. } => match duration {
                        Some(duration) => add(&mut travel, minutes(*duration)),
                        None => setting_out = entry.at,
                    },
                    EntryKind::Waited {
                        duration: Some(duration),
                        ..
                    } => {
                        add(&mut waiting, minutes(*duration));
                    }
                    _ => {}
                }
            }
            VisitTime {
                on_site,
                travel,
                waiting,
            }
        })
        .collect()
}

fn add(total: &mut Option<i32>, minutes: i32) {
    *total = Some(total.unwrap_or(0) + minutes);
}

fn minutes(duration: Duration) -> i32 {
    (duration.second() / 60.0).round() as i32
}

fn minutes_between(start: crate::model::Minutes, end: crate::model::Minutes) -> i32 {
    (end.0 - start.0).max(0)
}
