//! Hours: on site, travelling, waiting, a row a visit, and on site a row a technician. What was not
//! written is not guessed.

use crate::model::{EntryKind, Job, Visit};
use crate::quantity::Duration;

/// The hours of one visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VisitTime {
    /// Minutes from arrive to depart, of whoever was there; `None` without both, or when a
    /// departure lies before its arrival.
    pub on_site: Option<i32>,
    /// Minutes of travel; `None` when no travel was written, or its time cannot be told.
    pub travel: Option<i32>,
    /// Minutes of waiting within the time on site; `None` when none was written.
    pub waiting: Option<i32>,
}

/// The hours of one technician on one visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TechnicianTime {
    /// Index of the visit.
    pub visit: usize,
    /// Name, as on the visit line.
    pub name: String,
    /// Minutes on site; `None` when not recorded.
    pub on_site: Option<i32>,
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
                on_site: on_site(visit),
                travel,
                waiting,
            }
        })
        .collect()
}

/// Minutes during which anyone was there.
fn on_site(visit: &Visit) -> Option<i32> {
    let mut spans = Vec::new();
    for stay in visit.stays().paired {
        let (Some(from), Some(to)) = (stay.from, stay.to) else {
            continue;
        };
        stay.minutes()?;
        spans.push((from.0, to.0));
    }
    spans.sort_unstable();
    let (mut total, mut covered) = (None, i32::MIN);
    for (from, to) in spans {
        add(&mut total, (to - from.max(covered)).max(0));
        covered = covered.max(to);
    }
    total
}

/// Every technician of every visit.
pub(super) fn technicians(job: &Job) -> Vec<TechnicianTime> {
    let mut rows = Vec::new();
    for (index, visit) in job.visits.iter().enumerate() {
        let stays = visit.stays().paired;
        for (who, name) in visit.technicians.iter().enumerate() {
            let mut on_site = None;
            let own = stays.iter().filter(|s| s.who == Some(who));
            let known = own.clone().all(|s| !s.is_backwards());
            own.filter_map(crate::model::Stay::minutes)
                .for_each(|minutes| add(&mut on_site, minutes));
            rows.push(TechnicianTime {
                visit: index,
                name: name.node.clone(),
                on_site: on_site.filter(|_| known),
            });
        }
    }
    rows
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
