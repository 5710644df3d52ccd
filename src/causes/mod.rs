//! What may be wrong: causes ranked on everything measured at one moment, with what speaks for and
//! against each, and the next reading worth taking.
//!
//! The causes and what they do to a unit are data ([`hypothesis`]); expectations come from the note
//! or from the kind of unit ([`crate::expectation`]); [`score`] puts them together. One reading never makes a
//! cause certain, and what was not measured speaks for nothing. The technician's own conclusion
//! stands above all this: the ranking is for the diagnosis note, not for the customer.

mod catalogue;
pub mod hypothesis;
mod next;
mod observe;
mod other_refrigerant;
pub mod score;
pub mod symptom;

pub use next::NextReading;

use crate::derive::{Energy, Input};
use crate::expectation::feed;
use crate::findings::{Case, Findings};
use crate::model::{Job, Reading};
use crate::quantity::{Display, TemperatureDifference};
use hypothesis::{Feed, HYPOTHESES, Hypothesis, Kind};
use observe::At;
use score::Observed;
use symptom::{Measured, Symptom};

/// Probabilities from which on a cause is called so. Common practice, no source.
const FITS_WELL: f64 = 0.6;
const POSSIBLE: f64 = 0.12;
const UNLIKELY: f64 = 0.02;
/// A cause is ruled out where the evidence left it less than this share of its prior probability.
const RULED_OUT: f64 = 0.1;
/// Pieces of evidence without which no cause fits well.
const WELL_MEASURED: usize = 3;
/// Deviations up to this many spreads of a healthy unit are as expected.
const AS_EXPECTED: f64 = 2.0;
/// Odds from which on two causes together are named.
const WORTH_SAYING: f64 = 2.0;
/// How much one piece of evidence must speak (natural log of a likelihood ratio) to be listed.
const AUDIBLE: f64 = 0.4;
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
    /// From the probability after and before the evidence, and how much evidence there was: little
    /// of it makes nothing fit well, and nothing is ruled out that the evidence does not speak
    /// against.
    fn of(probability: f64, before: f64, pieces: usize) -> Self {
        match probability {
            p if p >= FITS_WELL && pieces >= WELL_MEASURED => Self::FitsWell,
            p if p >= POSSIBLE => Self::Possible,
            p if p < UNLIKELY && p < RULED_OUT * before => Self::RuledOut,
            _ => Self::Unlikely,
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
    /// How strongly it speaks: natural log of its likelihood under the cause over that under the
    /// others, each half as likely as before the evidence and half as after it.
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
    /// The one reading without which nothing would be wrong, where there is one: no cause fits well
    /// on a single reading.
    pub rests_on: Option<Input>,
    /// What speaks for it, strongest first.
    pub for_it: Vec<Evidence>,
    /// What speaks against it, strongest first.
    pub against: Vec<Evidence>,
    /// Symptoms that would speak and were not measured.
    pub missing: Vec<&'static str>,
    /// Which refrigerants the pressures fit, the best first, for a cause that says it is another.
    pub fits: Vec<&'static str>,
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
    /// Two causes that together fit better than any one, and the odds.
    pub together: Option<Together>,
}

/// Two causes at once.
#[derive(Debug, Clone)]
pub struct Together {
    /// The two.
    pub causes: [&'static Hypothesis; 2],
    /// How many times likelier they are together than the best single cause.
    pub odds: f64,
}

/// What a repair did to a symptom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// It was off and is where it should be.
    Proven,
    /// It is nearer to where it should be.
    Improved,
    /// It has not moved.
    Unchanged,
    /// It is further off.
    Worse,
    /// It was not measured again.
    NotMeasuredAgain,
}

impl Progress {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Proven => "proven",
            Self::Improved => "improved",
            Self::Unchanged => "unchanged",
            Self::Worse => "worse",
            Self::NotMeasuredAgain => "not measured again",
        }
    }

    /// Of a symptom that was off before; in spreads of a healthy unit.
    fn of(before: &Measured, after: Option<&Measured>) -> Self {
        let Some(after) = after else {
            return Self::NotMeasuredAgain;
        };
        let was = before.deviation().abs() / spread(before);
        let is = after.deviation().abs() / spread(after);
        match was - is {
            _ if is <= AS_EXPECTED => Self::Proven,
            gain if gain > 1.0 => Self::Improved,
            gain if gain < -1.0 => Self::Worse,
            _ => Self::Unchanged,
        }
    }
}

/// Causes as the unit was found, and after the last repair.
#[derive(Debug, Clone, Default)]
pub struct Causes {
    /// Before any repair; `None` where too little was measured.
    pub found: Option<Ranking>,
    /// After the last repair; `None` without one, or where too little was measured again.
    pub after: Option<Ranking>,
}

impl Causes {
    /// What was off as found, and what became of it; empty without a repair.
    pub fn progress(&self) -> Vec<(&Measured, Option<&Measured>, Progress)> {
        let (Some(found), Some(after)) = (&self.found, &self.after) else {
            return Vec::new();
        };
        let again = |symptom| {
            after
                .observed
                .measured
                .iter()
                .find(|m| m.symptom == symptom && !m.is_assumed())
        };
        found
            .observed
            .measured
            .iter()
            .filter(|m| !m.is_assumed() && m.deviation().abs() > AS_EXPECTED * spread(m))
            .map(|m| {
                let again = again(m.symptom);
                (m, again, Progress::of(m, again))
            })
            .collect()
    }
}

/// Ranks the causes of a job.
pub fn rank(case: &Case<'_>, energy: &Energy, findings: &Findings) -> Causes {
    let repairs: Vec<u32> = case
        .job
        .entries()
        .filter(|(_, entry)| entry.kind.is_repair())
        .map(|(_, entry)| entry.span.start)
        .collect();
    let (first, last) = (repairs.first().copied(), repairs.last().copied());
    Causes {
        found: best(case, energy, findings, |r| {
            first.is_none_or(|at| r.span.start < at)
        }),
        after: last.and_then(|last| best(case, energy, findings, |r| r.span.start > last)),
    }
}

/// The ranking of the moment that tells most, the later of equals.
fn best(
    case: &Case<'_>,
    energy: &Energy,
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
    let observed = |&(visit, phase): &(usize, u32)| {
        let at = At {
            case,
            energy,
            visit,
            phase,
        };
        at.observe(findings)
    };
    let ((visit, phase), observed) = moments
        .iter()
        .map(|moment| (*moment, observed(moment)))
        .max_by_key(|(_, observed)| observed.pieces())?;
    (observed.pieces() >= LEAST_EVIDENCE).then(|| ranking(case.job, visit, phase, observed))
}

fn ranking(job: &Job, visit: usize, phase: u32, observed: Observed) -> Ranking {
    let feed = feed(&job.unit);
    let posterior = score::posterior(&observed, feed);
    let evidence = evidence(&observed, &posterior, feed, job.display);
    let mut causes: Vec<Ranked> = (0..HYPOTHESES.len())
        .filter(|&index| score::is_considered(&HYPOTHESES[index], &observed))
        .map(|index| ranked(index, posterior[index], &observed, &evidence, feed))
        .collect();
    causes.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let next = next::reading(&observed, &posterior, feed);
    let together = score::together(&observed, feed)
        .map(|(a, b, gain)| Together {
            causes: [&HYPOTHESES[a], &HYPOTHESES[b]],
            odds: gain.exp(),
        })
        .filter(|together| together.odds > WORTH_SAYING);
    Ranking {
        visit,
        phase,
        observed,
        causes,
        next,
        together,
    }
}

/// Every piece of evidence, with its weight for each hypothesis.
fn evidence(
    observed: &Observed,
    posterior: &[f64],
    feed: Feed,
    display: Display,
) -> Vec<(Evidence, Vec<f64>)> {
    // Rivals count half as they stand before the evidence and half as after it: against those left
    // alone, what they share would speak for none of them, and a superheat of 31 F would be listed
    // nowhere.
    let considered = |h: &Hypothesis| score::is_considered(h, observed);
    let before: f64 = HYPOTHESES
        .iter()
        .filter(|h| considered(h))
        .map(|h| h.prior)
        .sum();
    let rivals: Vec<f64> = HYPOTHESES
        .iter()
        .zip(posterior)
        .map(|(h, after)| match considered(h) {
            true => 0.5 * (after + h.prior / before),
            false => 0.0,
        })
        .collect();
    let piece = |text: String, inputs: &[Input], logs: Vec<f64>| {
        let evidence = Evidence {
            text,
            weight: 0.0,
            inputs: inputs.to_vec(),
        };
        (evidence, score::weights(&logs, &rivals))
    };
    let measured = observed.measured.iter().enumerate().map(|(i, measured)| {
        let logs = score::of_measured(observed, i, feed);
        piece(words(measured, display), &measured.inputs, logs)
    });
    let signs = observed.signs.iter().map(|sign| {
        let text = format!("{} {}", sign.input.name, sign.input.text);
        let inputs = std::slice::from_ref(&sign.input);
        piece(text, inputs, score::of_sign(sign))
    });
    let telling = observed.telling.iter().map(|telling| {
        let text = format!("{} ({})", telling.text, telling.code);
        piece(text, &telling.inputs, score::of_telling(telling))
    });
    measured.chain(signs).chain(telling).collect()
}

fn ranked(
    index: usize,
    probability: f64,
    observed: &Observed,
    evidence: &[(Evidence, Vec<f64>)],
    feed: Feed,
) -> Ranked {
    let hypothesis = &HYPOTHESES[index];
    let mut own: Vec<Evidence> = evidence
        .iter()
        .filter(|(_, weights)| weights[index].abs() > AUDIBLE)
        .map(|(evidence, weights)| Evidence {
            weight: weights[index],
            ..evidence.clone()
        })
        .collect();
    own.sort_by(|a, b| b.weight.abs().total_cmp(&a.weight.abs()));
    let (for_it, against) = own.into_iter().partition(|e| e.weight > 0.0);
    let missing = hypothesis
        .shifts
        .iter()
        .filter(|(symptom, _)| !observed.measured.iter().any(|m| m.symptom == *symptom))
        .map(|(symptom, _)| symptom.name())
        .collect();
    let mut fit = Fit::of(probability, hypothesis.before(), observed.pieces());
    let rests_on = (fit == Fit::FitsWell && hypothesis.fault.is_some())
        .then(|| score::rests_on(index, observed, feed))
        .flatten();
    if rests_on.is_some() {
        fit = Fit::Possible;
    }
    Ranked {
        hypothesis,
        probability,
        fit,
        rests_on,
        for_it,
        against,
        missing,
        fits: match hypothesis.kind {
            Kind::OtherRefrigerant => score::fitting_others(observed, feed),
            _ => Vec::new(),
        },
    }
}

fn spread(measured: &Measured) -> f64 {
    measured.symptom.scatter().healthy.hypot(measured.doubt)
}

/// `superheat 31.0 F, expected 8.0 F`, or in kelvin.
pub fn words(measured: &Measured, display: Display) -> String {
    let value = value_words(measured, display);
    let name = measured.symptom.name();
    let expected = match measured.symptom {
        Symptom::AirSplit => return format!("{name} {value}"),
        share if share.is_share() => format!("{:.0} %", 100.0 * measured.expected),
        _ => display.difference(TemperatureDifference::from_fahrenheit(measured.expected)),
    };
    format!("{name} {value}, expected {expected}")
}

/// `31.0 F`, or the share of what it is counted against.
pub fn value_words(measured: &Measured, display: Display) -> String {
    let percent = 100.0 * measured.value;
    match measured.symptom {
        Symptom::AirSplit => format!("{percent:.0} % of expected"),
        Symptom::CondenserRise => format!("{percent:.0} % of the split"),
        Symptom::Efficiency => format!("{percent:.0} %"),
        Symptom::RunningCurrent => format!("{percent:.0} % of rated"),
        _ => display.difference(TemperatureDifference::from_fahrenheit(measured.value)),
    }
}
