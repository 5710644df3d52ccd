//! RB65x: hours that cannot be.

use super::{Finding, Rule, Verdict};
use crate::derive::{Input, food::When};
use crate::diagnostic::{Code, Severity};
use crate::model::{Job, Stay};
use crate::source::Span;
use crate::vocabulary::fold;

pub(super) static RULES: &[&Rule] = &[&BACKWARDS, &OVERLAP];

fn place(name: &str, (line, span): (u32, Span)) -> Input {
    Input {
        name: name.to_owned(),
        text: String::new(),
        line,
        span,
    }
}

/// Every stay with both times, and the visit it is of.
fn timed(job: &Job) -> Vec<(usize, Stay)> {
    let mut timed = Vec::new();
    for (visit, of) in job.visits.iter().enumerate() {
        let stays = of.stays().paired.into_iter();
        timed.extend(
            stays
                .filter(|s| s.from.is_some() && s.to.is_some())
                .map(|s| (visit, s)),
        );
    }
    timed
}

static BACKWARDS: Rule = Rule {
    code: Code {
        id: "RB651",
        name: "departs-before-arriving",
        severity: Severity::Warning,
        explanation: "A departure lies before its arrival. The time on site is then not recorded, never guessed. Correct the time; a night past midnight is understood when the clock goes back from the evening.",
    },
    needs: "an `arrive` and the `depart` after it, each with a time",
    plain: "The times of arrival and departure of a visit do not fit together.",
    caution: None,
    source: "arithmetic",
    check: |case| {
        let timed = timed(case.job);
        if timed.is_empty() {
            return Verdict::NotEvaluated;
        }
        let mut found: Vec<Finding> = Vec::new();
        for (_, stay) in timed.iter().filter(|(_, s)| s.is_backwards()) {
            let evidence = vec![
                place("departs here", stay.depart),
                place("arrives here", stay.arrive),
            ];
            let clock =
                |at: Option<crate::model::Minutes>| at.map_or(String::new(), |at| at.to_string());
            let text = format!(
                "the departure, {}, is before the arrival, {}: time on site is not recorded",
                clock(stay.to),
                clock(stay.from)
            );
            if !found.iter().any(|f| f.evidence == evidence) {
                found.push(BACKWARDS.finding(text, evidence)); // once, for all who came
            }
        }
        Verdict::Judged(found)
    },
};

static OVERLAP: Rule = Rule {
    code: Code {
        id: "RB652",
        name: "technician-in-two-places",
        severity: Severity::Warning,
        explanation: "One technician is on site in two visits of the note at the same time, so that hours would be counted twice. A date or a time is wrong, or the second visit belongs to somebody else.",
    },
    needs: "two visits with dates, `arrive` and `depart`, that name one technician",
    plain: "The hours of two visits overlap for one technician.",
    caution: None,
    source: "arithmetic",
    check: |case| {
        let job = case.job;
        let name = |visit: usize, stay: &Stay| {
            let who = job.visits[visit].technicians.get(stay.who?)?;
            Some(fold(&who.node))
        };
        let stays = timed(job);
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        for (i, (visit, stay)) in stays.iter().enumerate() {
            for (earlier_visit, earlier) in &stays[..i] {
                let who = name(*visit, stay);
                if visit == earlier_visit || who.is_none() || who != name(*earlier_visit, earlier) {
                    continue;
                }
                let at = |visit: usize, at| When { visit, at };
                let (Some(from), Some(to), Some(earlier_from), Some(earlier_to)) =
                    (stay.from, stay.to, earlier.from, earlier.to)
                else {
                    continue;
                };
                let gap = at(*earlier_visit, earlier_to).minutes_to(at(*visit, from), job);
                let back = at(*visit, to).minutes_to(at(*earlier_visit, earlier_from), job);
                let (Some(gap), Some(back)) = (gap, back) else {
                    continue; // a date is missing
                };
                judged = true;
                if gap < 0 && back < 0 {
                    let who = &job.visits[*visit].technicians[stay.who.unwrap_or(0)].node;
                    found.push(OVERLAP.finding(
                        format!(
                            "{who} arrives here before leaving the other visit: the stays overlap"
                        ),
                        vec![
                            place("arrives here", stay.arrive),
                            place("still on site until here", earlier.depart),
                        ],
                    ));
                }
            }
        }
        Verdict::of(judged, found)
    },
};
