//! Ranked causes as the next technician reads them.

use super::clock;
use crate::causes::{Evidence, Fit, NextReading, Ranked, Ranking};
use crate::compile::Compiled;
use crate::derive::Input;
use crate::model::{Entry, EntryKind};
use crate::quantity::significant;
use crate::vocabulary::list;
use schemars::JsonSchema;
use serde::Serialize;

/// The causes of one moment.
#[derive(Debug, JsonSchema, Serialize)]
pub struct CauseTable {
    /// `as found` or `after the last repair`.
    pub when: &'static str,
    /// Time of its first reading.
    pub at: String,
    /// What was compared: symptom, value, expected, and where the expectation comes from.
    pub expected: Vec<Comparison>,
    /// Causes that are not ruled out, the likeliest first.
    pub rows: Vec<CauseRow>,
    /// Causes that are, each with what rules it out most.
    pub ruled_out: Vec<RuledOut>,
    /// The reading that would tell most.
    pub next: Option<NextRow>,
    /// What the readings say of each cause the technician states, in words; as found only.
    pub stated: Vec<String>,
    /// Two causes that together fit better than any one, in words.
    pub together: Option<String>,
    /// What was off as found and what the repair did to it, in words; after a repair only.
    pub progress: Vec<String>,
}

/// One symptom against its expectation.
#[derive(Debug, JsonSchema, Serialize)]
pub struct Comparison {
    /// Symptom with value and expectation, in words.
    pub text: String,
    /// Where the expectation comes from.
    pub basis: String,
    /// Lines it rests on.
    pub lines: Vec<u32>,
}

/// One cause.
#[derive(Debug, JsonSchema, Serialize)]
pub struct CauseRow {
    /// Its name, with the refrigerant that the pressures fit where it says that it is another.
    pub name: String,
    /// `fits well`, `possible` or `unlikely`.
    pub fit: &'static str,
    /// Probability among the causes considered, 0 to 1.
    pub probability: f64,
    /// The same, in whole percent.
    pub percent: u32,
    /// The one reading it rests on, with its line: to be read again.
    pub rests_on: Option<String>,
    /// What speaks for it.
    pub for_it: Vec<EvidenceRow>,
    /// What speaks against it.
    pub against: Vec<EvidenceRow>,
    /// What would speak and was not measured.
    pub missing: Vec<&'static str>,
    /// Where its pattern comes from.
    pub source: &'static str,
}

/// A cause that is ruled out.
#[derive(Debug, JsonSchema, Serialize)]
pub struct RuledOut {
    /// Its name.
    pub name: &'static str,
    /// What speaks against it most; nothing where only the rest fits better.
    pub by: Option<EvidenceRow>,
    /// Probability among the causes considered, 0 to 1.
    pub probability: f64,
}

/// One piece of evidence.
#[derive(Debug, JsonSchema, Serialize)]
pub struct EvidenceRow {
    /// In words.
    pub text: String,
    /// Lines it rests on.
    pub lines: Vec<u32>,
    /// Natural log of its likelihood under the cause over that under the others.
    pub weight: f64,
}

/// The next reading worth taking.
#[derive(Debug, JsonSchema, Serialize)]
pub struct NextRow {
    /// What to read.
    pub what: &'static str,
    /// Minutes it takes.
    pub minutes: f64,
    /// What high and low values would speak for, in words.
    pub outcomes: Vec<String>,
    /// The caution that belongs to it.
    pub caution: &'static str,
}

const AFTER: &str = "after the last repair";

/// The tables of a note: as found, and after repair.
pub fn tables(compiled: &Compiled) -> Vec<CauseTable> {
    let causes = compiled.causes();
    [("as found", &causes.found), (AFTER, &causes.after)]
        .into_iter()
        .filter_map(|(when, ranking)| Some(table(compiled, when, ranking.as_ref()?)))
        .collect()
}

fn table(compiled: &Compiled, when: &'static str, ranking: &Ranking) -> CauseTable {
    let first = compiled
        .job
        .readings()
        .find(|r| r.visit == ranking.visit && r.phase == ranking.phase);
    CauseTable {
        when,
        at: clock(first.and_then(|r| r.at)),
        expected: ranking
            .observed
            .measured
            .iter()
            .map(|m| Comparison {
                text: crate::causes::words(m, compiled.job.display),
                basis: m.basis.text(),
                lines: Input::lines(&m.inputs),
            })
            .collect(),
        rows: ranking.causes.iter().filter(is_open).map(row).collect(),
        ruled_out: ranking
            .causes
            .iter()
            .filter(|cause| !is_open(cause))
            .map(|cause| RuledOut {
                name: cause.hypothesis.name,
                by: cause.against.first().map(evidence),
                probability: significant(cause.probability, 4),
            })
            .collect(),
        stated: match when {
            AFTER => Vec::new(),
            _ => stated(compiled, ranking),
        },
        next: ranking.next.as_ref().map(next),
        together: ranking.together.as_ref().map(|t| {
            let [a, b] = t.causes;
            format!(
                "{} and {} together fit {:.0} times better than any one cause",
                a.name, b.name, t.odds
            )
        }),
        progress: match when {
            AFTER => progress(compiled),
            _ => Vec::new(),
        },
    }
}

/// `superheat 31.0 F, expected 8.0 F: proven, now 9.1 F`.
fn progress(compiled: &Compiled) -> Vec<String> {
    let display = compiled.job.display;
    compiled
        .causes()
        .progress()
        .into_iter()
        .map(|(before, after, progress)| {
            let now = after.map_or_else(String::new, |m| {
                format!(", now {}", crate::causes::value_words(m, display))
            });
            let was = crate::causes::words(before, display);
            format!("{was}: {}{now}", progress.words())
        })
        .collect()
}

/// `line 25, cause liquid line filter drier restricted: the readings fit it well`.
fn stated(compiled: &Compiled, ranking: &Ranking) -> Vec<String> {
    let said = |entry: &Entry| {
        let EntryKind::Cause {
            text,
            fault: Some(known),
        } = &entry.kind
        else {
            return None;
        };
        let ranked = ranking
            .causes
            .iter()
            .find(|cause| cause.hypothesis.fault == Some(known.fault));
        let text = text.lines().next().unwrap_or("");
        let verdict = match ranked {
            None => "the readings of this moment speak neither for nor against it".to_owned(),
            Some(cause) => verdict(cause, &ranking.causes[0]),
        };
        Some(format!("line {}, cause {text}: {verdict}", entry.line))
    };
    compiled
        .job
        .entries()
        .filter_map(|(_, entry)| said(entry))
        .collect()
}

fn verdict(cause: &Ranked, first: &Ranked) -> String {
    let against = match cause.against.first() {
        Some(strongest) => format!("; against it: {}", strongest.text),
        None => String::new(),
    };
    match cause.fit {
        Fit::FitsWell => "the readings fit it well".to_owned(),
        Fit::Possible => format!("the readings leave it possible{against}"),
        Fit::Unlikely | Fit::RuledOut => format!(
            "the readings do not bear it out; they fit `{}` better{against}",
            first.hypothesis.name
        ),
    }
}

fn is_open(cause: &&Ranked) -> bool {
    cause.fit != Fit::RuledOut
}

fn row(cause: &Ranked) -> CauseRow {
    CauseRow {
        name: match cause.fits.as_slice() {
            [] => cause.hypothesis.name.to_owned(),
            others => format!(
                "{} (they fit {})",
                cause.hypothesis.name,
                list(others, "or")
            ),
        },
        fit: cause.fit.words(),
        probability: significant(cause.probability, 4),
        percent: (100.0 * cause.probability).round() as u32,
        rests_on: cause
            .rests_on
            .as_ref()
            .map(|i| format!("{} {}, line {}", i.name, i.text, i.line)),
        for_it: cause.for_it.iter().map(evidence).collect(),
        against: cause.against.iter().map(evidence).collect(),
        missing: cause.missing.clone(),
        source: cause.hypothesis.source,
    }
}

fn evidence(evidence: &Evidence) -> EvidenceRow {
    EvidenceRow {
        text: evidence.text.clone(),
        lines: Input::lines(&evidence.inputs),
        weight: significant(evidence.weight, 4),
    }
}

fn next(next: &NextReading) -> NextRow {
    let speaks = |which: &str, cause: Option<&str>| {
        cause.map(|cause| format!("{which}{} speaks for {cause}", next.gives))
    };
    NextRow {
        what: next.what,
        minutes: next.minutes,
        outcomes: match next.is_look {
            true => [
                speaks("", next.high.filter(|cause| *cause != next.gives)),
                next.low
                    .map(|cause| format!("otherwise {cause} is likelier")),
            ],
            false => [speaks("a high ", next.high), speaks("a low ", next.low)],
        }
        .into_iter()
        .flatten()
        .collect(),
        caution: next.caution,
    }
}

/// The ranking in a terminal: the causes that are not ruled out, with what speaks most, and the next
/// reading.
pub fn text(compiled: &Compiled) -> String {
    let mut out = String::new();
    for table in tables(compiled) {
        out.push_str(&format!("causes, {}", table.when));
        if !table.at.is_empty() {
            out.push_str(&format!(" ({})", table.at));
        }
        out.push('\n');
        let open = &table.rows[..table.rows.len().min(SHOWN)];
        let width = open
            .iter()
            .map(|r| r.name.chars().count())
            .max()
            .unwrap_or(0);
        for row in open {
            out.push_str(&format!(
                "  {:width$}  {}, {} %\n",
                row.name, row.fit, row.percent
            ));
            if let Some(reading) = &row.rests_on {
                out.push_str(&format!("    rests on {reading}, alone: read it again\n"));
            }
            for (word, list) in [("for", &row.for_it), ("against", &row.against)] {
                if let Some(strongest) = list.first() {
                    let lines: Vec<String> = strongest.lines.iter().map(u32::to_string).collect();
                    out.push_str(&format!(
                        "    {word}: {} (line {})\n",
                        strongest.text,
                        lines.join(", ")
                    ));
                }
            }
        }
        for line in &table.stated {
            out.push_str(&format!("  {line}\n"));
        }
        if let Some(together) = &table.together {
            out.push_str(&format!("  {together}\n"));
        }
        for line in &table.progress {
            out.push_str(&format!("  {line}\n"));
        }
        if let Some(next) = &table.next {
            out.push_str(&format!(
                "  next: {} ({:.0} min){}. {}\n",
                next.what,
                next.minutes,
                next.outcomes
                    .iter()
                    .map(|o| format!("; {o}"))
                    .collect::<String>(),
                next.caution
            ));
        }
        out.push('\n');
    }
    out
}

/// Causes shown in a terminal.
const SHOWN: usize = 4;
