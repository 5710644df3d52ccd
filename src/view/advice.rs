//! Recommendations: how soon, what, and what happens if nothing is done.

use crate::model::{EntryKind, Job, Urgency};
use crate::say;
use crate::vocabulary::{Topic, Topics, what_was_declined};
use crate::words::Words;
use schemars::JsonSchema;
use serde::Serialize;

/// A recommendation.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Advice {
    /// How soon, in words.
    pub when: String,
    /// For ordering and styling: `now`, `soon`, `later`, `unstated`.
    pub urgency: Urgency,
    /// What.
    pub text: String,
    /// What happens if nothing is done, where the technician said it.
    pub otherwise: Option<String>,
    /// The visit it was given on, where the job has several.
    pub given: Option<String>,
    /// A later visit that worked on the same thing: perhaps it is done.
    pub taken_up: Option<String>,
    /// A later visit that worked on the unit at all: it may have changed what was recommended.
    pub since: Option<String>,
    /// Index of that visit which took it up.
    #[serde(skip)]
    pub(super) taken_up_at: Option<usize>,
}

/// What is recommended and not decided against, most urgent first; what later work took up comes last.
pub(super) fn advice(job: &Job, words: &Words) -> Vec<Advice> {
    let mut topics = Topics::default();
    // What the customer has decided against is told as that, and not asked again; what was worked on at
    // a later visit is no decision any more.
    let declined = declined_topics(job, &mut topics);
    let mut worked: Vec<(usize, Topic)> = Vec::new();
    let mut repaired: Vec<usize> = Vec::new();
    for (visit, entry) in job.entries() {
        match &entry.kind {
            kind if kind.is_repair() => {
                repaired.push(visit);
                worked.extend(kind.text().map(|text| (visit, topics.of(text))));
            }
            EntryKind::Cause { text, .. } | EntryKind::Told(text) => {
                worked.push((visit, topics.of(text)));
            }
            _ => {}
        }
    }
    let several = job.visits.len() > 1;
    let mut all = Vec::new();
    for (visit, entry) in job.entries() {
        let EntryKind::Advise { urgency, text } = &entry.kind else {
            continue;
        };
        let topic = topics.of(text);
        let is_declined =
            |(at, other): &(u32, Topic)| *at > entry.line && topic.is_taken_up_by(other);
        if declined.iter().any(is_declined) {
            continue;
        }
        let later = |(at, other): &&(usize, Topic)| *at > visit && topic.is_taken_up_by(other);
        let taken_up = worked.iter().find(later);
        let since = repaired.iter().find(|at| **at > visit);
        let (text, otherwise) = split(text);
        all.push(Advice {
            given: several.then(|| words.moment(job, visit, None)),
            when: match urgency {
                Urgency::Now => say!(words, "urgency-now"),
                Urgency::Soon => say!(words, "urgency-soon"),
                Urgency::Later => say!(words, "urgency-later"),
                Urgency::Unstated => say!(words, "urgency-unstated"),
            },
            urgency: *urgency,
            text: text.to_owned(),
            otherwise: otherwise.map(str::to_owned),
            taken_up: taken_up.map(|(visit, _)| words.moment(job, *visit, None)),
            since: since.map(|visit| words.moment(job, *visit, None)),
            taken_up_at: taken_up.map(|(visit, _)| *visit),
        });
    }
    // What was said before later work comes after what was said since.
    all.sort_by_key(|a: &Advice| (a.taken_up.is_some(), a.since.is_some(), a.urgency));
    all
}

/// What the customer decided against: line, and what it speaks of.
fn declined_topics(job: &Job, topics: &mut Topics) -> Vec<(u32, Topic)> {
    job.entries()
        .filter_map(|(_, entry)| match &entry.kind {
            EntryKind::Declined(text) => Some((entry.line, topics.of(what_was_declined(text)))),
            _ => None,
        })
        .collect()
}

/// What was said to follow if nothing is done, of recommendations that were decided against.
pub(super) fn of_declined(job: &Job) -> Vec<(String, String)> {
    let mut topics = Topics::default();
    let declined = declined_topics(job, &mut topics);
    let mut out = Vec::new();
    for (_, entry) in job.entries() {
        if let EntryKind::Advise { text, .. } = &entry.kind
            && let (what, Some(otherwise)) = split(text)
        {
            let topic = topics.of(text);
            let is_declined =
                |(at, other): &(u32, Topic)| *at > entry.line && topic.is_taken_up_by(other);
            if declined.iter().any(is_declined) {
                out.push((what.to_owned(), otherwise.to_owned()));
            }
        }
    }
    out
}

/// `replace the fan motor, if not: the box warms by noon`: what, and what happens otherwise.
fn split(text: &str) -> (&str, Option<&str>) {
    const LEADS: &[&str] = &["if not", "or else", "otherwise", "else"];
    let is_mark = |c: char| matches!(c, ',' | ';' | '.' | '\n');
    for (at, mark) in text.match_indices(is_mark) {
        let rest = text[at + mark.len()..].trim_start();
        for lead in LEADS {
            let Some(after) = rest
                .get(..lead.len())
                .filter(|start| start.eq_ignore_ascii_case(lead))
                .map(|_| &rest[lead.len()..])
            else {
                continue;
            };
            // `if nothing` and `elsewhere` begin like a lead and are none.
            let after = match after.strip_prefix([':', ',', ' ']) {
                Some(after) => after.trim_start_matches([':', ',', ' ']),
                None => continue,
            };
            if !after.is_empty() {
                return (text[..at].trim_end(), Some(after.trim_end()));
            }
        }
    }
    (text, None)
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn what_happens_otherwise_is_told_apart() {
        assert_eq!(
            split("replace the fan motor, if not: the box warms"),
            ("replace the fan motor", Some("the box warms"))
        );
        assert_eq!(
            split("seal the door. Otherwise it ices"),
            ("seal the door", Some("it ices"))
        );
        assert_eq!(
            split("look elsewhere, elsewhere too"),
            ("look elsewhere, elsewhere too", None)
        );
        assert_eq!(split("clean it, if not today"), ("clean it", Some("today")));
    }
}
