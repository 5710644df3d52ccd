//! What may be wrong: causes ranked on everything measured at one moment, with what speaks for and
//! against each, and the next reading worth taking.
//!
//! The causes and what they do to a unit are data ([`hypothesis`]); expectations come from the note
//! or from the kind of unit ([`expected`]); [`score`] puts them together. One reading never makes a
//! cause certain, and what was not measured speaks for nothing. The technician's own conclusion
//! stands above all this: the ranking is for the diagnosis note, not for the customer.

mod expected;
pub mod hypothesis;
mod next;
pub mod score;
pub mod symptom;

pub use next::NextReading;

use crate::derive::Input;
use crate::findings::{Case, Findings};
use crate::model::{EntryKind, Job, Reading};
use crate::vocabulary::{Point, Sign, State};
use hypothesis::{Feed, HYPOTHESES, Hypothesis};
use score::Observed;
use symptom::{Seen, SeenSign, Telling};

/// Probabilities from which on a cause is called so. Common practice, no source.
const FITS_WELL: f64 = 0.6;
const POSSIBLE: f64 = 0.12;
const UNLIKELY: f64 = 0.02;
/// How much one symptom must speak (natural log of a likelihood ratio) to be listed for or against.
const AUDIBLE: f64 = 0.5;
/// Fewer pieces of evidence than this rank nothing.
const LEAST_EVIDENCE: usize = 2;

/// How well a cause fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// Hardly.
    RuledOut,
    /// Not much.
    Unlikely,
    /// It may be.
    Possible,
    /// Better than all others together.
    FitsWell,
}

impl Fit {
    fn of(probability: f64) -> Self {
        match probability {
            p if p >= FITS_WELL => Self::FitsWell,
            p if p >= POSSIBLE => Self::Possible,
            p if p >= UNLIKELY => Self::Unlikely,
            _ => Self::RuledOut,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::FitsWell => "fits well",
            Self::Possible => "possible",
            Self::Unlikely => "unlikely",
            Self::RuledOut => "ruled out",
        }
    }
}

/// A piece of evidence in words, with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// `superheat 31.0 F, expected 8.0 F`.
    pub text: String,
    /// How strongly it speaks: natural log of a likelihood ratio against a healthy unit.
    pub weight: f64,
    /// The readings.
    pub inputs: Vec<Input>,
}

/// One cause with its evidence.
#[derive(Debug, Clone)]
pub struct Ranked {
    /// The cause.
    pub hypothesis: &'static Hypothesis,
    /// Its probability among those considered.
    pub probability: f64,
    /// In words.
    pub fit: Fit,
    /// What speaks for it, strongest first.
    pub for_it: Vec<Evidence>,
    /// What speaks against it, strongest first.
    pub against: Vec<Evidence>,
    /// Symptoms that would speak and were not measured.
    pub missing: Vec<&'static str>,
}

/// The causes at one moment.
#[derive(Debug, Clone)]
pub struct Ranking {
    /// Index of the visit.
    pub visit: usize,
    /// Phase of the job.
    pub phase: u32,
    /// What was observed.
    pub observed: Observed,
    /// All causes, the likeliest first.
    pub causes: Vec<Ranked>,
    /// The reading that would tell most, when causes are left to be told apart.
    pub next: Option<NextReading>,
}

/// Causes as the unit was found, and after the last repair.
#[derive(Debug, Clone, Default)]
pub struct Causes {
    /// Before any repair; `None` where too little was measured.
    pub found: Option<Ranking>,
    /// After the last repair; `None` without one, or where too little was measured again.
    pub after: Option<Ranking>,
}

/// Ranks the causes of a job.
pub fn rank(case: &Case<'_>, findings: &Findings) -> Causes {
    let repairs: Vec<u32> = case
        .job
        .entries()
        .filter(|(_, entry)| entry.kind.is_repair())
        .map(|(_, entry)| entry.span.start)
        .collect();
    let (first, last) = (repairs.first().copied(), repairs.last().copied());
    Causes {
        found: best(case, findings, |r| first.is_none_or(|at| r.span.start < at)),
        after: last.and_then(|last| best(case, findings, |r| r.span.start > last)),
    }
}

/// The ranking of the moment that tells most, the later of equals.
fn best(
    case: &Case<'_>,
    findings: &Findings,
    wanted: impl Fn(&Reading) -> bool,
) -> Option<Ranking> {
    let mut moments: Vec<(usize, u32)> = Vec::new();
    for reading in case.job.readings().filter(|r| wanted(r)) {
        let moment = (reading.visit, reading.phase);
        if moments.last() != Some(&moment) {
            moments.push(moment);
        }
    }
    let observed = |&(visit, phase): &(usize, u32)| observe(case, findings, visit, phase);
    let weight = |o: &Observed| o.measured.len() + o.signs.len() + 2 * o.telling.len();
    let ((visit, phase), observed) = moments
        .iter()
        .map(|moment| (*moment, observed(moment)))
        .max_by_key(|(_, observed)| weight(observed))?;
    (weight(&observed) >= LEAST_EVIDENCE).then(|| ranking(case.job, visit, phase, observed))
}

fn ranking(job: &Job, visit: usize, phase: u32, observed: Observed) -> Ranking {
    let feed = expected::feed(&job.unit);
    let posterior = score::posterior(&observed, feed);
    let mut causes: Vec<Ranked> = HYPOTHESES
        .iter()
        .zip(&posterior)
        .map(|(hypothesis, &probability)| ranked(hypothesis, probability, &observed, feed))
        .collect();
    causes.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let next = next::reading(&observed, &posterior, feed);
    Ranking {
        visit,
        phase,
        observed,
        causes,
        next,
    }
}

fn ranked(
    hypothesis: &'static Hypothesis,
    probability: f64,
    observed: &Observed,
    feed: Feed,
) -> Ranked {
    let mut evidence: Vec<Evidence> = Vec::new();
    for measured in &observed.measured {
        let weight = match hypothesis.fault {
            // A healthy unit is spoken against by how far off a symptom is.
            None => 0.5 - 0.5 * (measured.deviation() / spread(measured)).powi(2),
            Some(_) => score::speaks(hypothesis, measured, feed),
        };
        evidence.push(Evidence {
            text: words(measured),
            weight,
            inputs: measured.inputs.clone(),
        });
    }
    for sign in &observed.signs {
        evidence.push(Evidence {
            text: sign.input.name.clone() + " " + &sign.input.text,
            weight: (hypothesis.chance(sign.seen) / HYPOTHESES[0].chance(sign.seen)).ln(),
            inputs: vec![sign.input.clone()],
        });
    }
    for telling in &observed.telling {
        let is_told = hypothesis.told_by.contains(&telling.code);
        evidence.push(Evidence {
            text: format!("finding {}", telling.code),
            weight: if is_told { 1.0 } else { -1.0 } * 7.0,
            inputs: telling.inputs.clone(),
        });
    }
    evidence.sort_by(|a, b| b.weight.abs().total_cmp(&a.weight.abs()));
    let (for_it, rest): (Vec<_>, Vec<_>) = evidence.into_iter().partition(|e| e.weight > AUDIBLE);
    let against = rest.into_iter().filter(|e| e.weight < -AUDIBLE).collect();
    let missing = hypothesis
        .shifts
        .iter()
        .filter(|(symptom, _)| !observed.measured.iter().any(|m| m.symptom == *symptom))
        .map(|(symptom, _)| symptom.name())
        .collect();
    Ranked {
        hypothesis,
        probability,
        fit: Fit::of(probability),
        for_it,
        against,
        missing,
    }
}

fn spread(measured: &symptom::Measured) -> f64 {
    measured.symptom.scatter().healthy.hypot(measured.doubt)
}

fn words(measured: &symptom::Measured) -> String {
    let name = measured.symptom.name();
    if measured.symptom == symptom::Symptom::AirSplit {
        format!("{name} {:.0} % of expected", 100.0 * measured.value)
    } else {
        format!(
            "{name} {:.1} F, expected {:.1} F",
            measured.value, measured.expected
        )
    }
}

fn observe(case: &Case<'_>, findings: &Findings, visit: usize, phase: u32) -> Observed {
    let mut signs = Vec::new();
    let states = [
        (Point::SightGlass, State::Bubbles, Seen::Bubbles),
        (Point::SightGlass, State::Clear, Seen::ClearGlass),
        (Point::Coil, State::Iced, Seen::HeavyIce),
    ];
    for (point, state, seen) in states {
        let is_here = |r: &&Reading| r.visit == visit && r.phase == phase;
        if let Some(reading) = case.bench.at(point).filter(is_here).last()
            && reading.seen() == Some(state)
        {
            signs.push(SeenSign {
                seen,
                input: Input::of(reading),
            });
        }
    }
    for (visited, entry) in case.job.entries() {
        if visited != visit || entry.phase != phase {
            continue;
        }
        for (sign, seen) in [
            (Sign::HeavyIce, Seen::HeavyIce),
            (Sign::PartialFrost, Seen::PartialFrost),
            (Sign::Bubbles, Seen::Bubbles),
        ] {
            let is_new = !signs.iter().any(|s: &SeenSign| s.seen == seen);
            let seen_here = matches!(&entry.kind, EntryKind::Observation { signs, .. } if signs.contains(&sign));
            if is_new && seen_here {
                signs.push(SeenSign {
                    seen,
                    input: Input {
                        name: "seen:".to_owned(),
                        text: sign.name().to_owned(),
                        line: entry.line,
                        span: entry.span,
                    },
                });
            }
        }
    }
    let is_running = !case
        .bench
        .at(Point::Compressor)
        .any(|r| r.visit == visit && r.phase == phase && r.seen() == Some(State::Off));
    Observed {
        measured: match is_running {
            true => expected::measure(case, visit, phase),
            false => Vec::new(),
        },
        signs,
        telling: telling(case, findings, visit, phase),
    }
}

/// Findings of that moment that tell a fault.
fn telling(case: &Case<'_>, findings: &Findings, visit: usize, phase: u32) -> Vec<Telling> {
    let is_of_the_moment = |input: &Input| {
        case.job
            .readings()
            .any(|r| r.span == input.span && r.visit == visit && r.phase == phase)
    };
    let mut out: Vec<Telling> = Vec::new();
    for finding in &findings.found {
        let code = finding.rule.code.id;
        let told = HYPOTHESES.iter().find(|h| h.told_by.contains(&code));
        let Some(fault) = told.and_then(|h| h.fault) else {
            continue;
        };
        let is_new = !out.iter().any(|t| t.fault == fault);
        if is_new && finding.evidence.iter().any(is_of_the_moment) {
            out.push(Telling {
                code,
                fault,
                inputs: finding.evidence.clone(),
            });
        }
    }
    out
}
