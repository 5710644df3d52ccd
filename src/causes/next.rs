//! The next reading worth taking: the one expected to tell the remaining causes apart best, for the
//! time and risk it costs.

use super::hypothesis::{Feed, HYPOTHESES, Hypothesis};
use super::score::Observed;
use super::symptom::{Seen, Symptom};

/// A reading proposed.
#[derive(Debug, Clone, PartialEq)]
pub struct NextReading {
    /// What to read, in words.
    pub what: &'static str,
    /// What it would give, in words.
    pub gives: &'static str,
    /// Expected information, in nats.
    pub information: f64,
    /// Minutes it takes.
    pub minutes: f64,
    /// The caution that belongs to it.
    pub caution: &'static str,
    /// What a high and a low value would speak for.
    pub high: Option<&'static str>,
    /// As `high`.
    pub low: Option<&'static str>,
    /// True for something seen or not seen.
    pub is_look: bool,
}

/// Symptom, what to read, minutes, caution. Common practice, no source.
type Effort = (Symptom, &'static str, f64, &'static str);

const CLAMP: &str = "Keep leads and sleeves clear of moving fans.";
const GAUGES: &str = "Gloves and goggles at the ports: liquid refrigerant freezes skin and eyes.";

const EFFORTS: &[Effort] = &[
    (
        Symptom::AirSplit,
        "return and supply air temperature",
        2.0,
        CLAMP,
    ),
    (
        Symptom::DrierDrop,
        "liquid line temperature before and after the drier",
        2.0,
        CLAMP,
    ),
    (
        Symptom::AboveSetPoint,
        "box temperature",
        1.0,
        "None beyond the usual.",
    ),
    (
        Symptom::CondenserSplit,
        "discharge pressure and air onto the condenser",
        4.0,
        GAUGES,
    ),
    (
        Symptom::Subcooling,
        "liquid pressure and liquid line temperature",
        4.0,
        GAUGES,
    ),
    (
        Symptom::Superheat,
        "suction pressure and suction line temperature at the coil",
        5.0,
        GAUGES,
    ),
    (
        Symptom::EvaporatorTd,
        "suction pressure and air onto the coil",
        4.0,
        GAUGES,
    ),
];

/// Sign, its opposite, what to look at, minutes, caution. Common practice, no source.
type Look = (Seen, Seen, &'static str, f64, &'static str);

const FANS: &str = "Look only: a fan may start by itself.";

const LOOKS: &[Look] = &[
    (
        Seen::CondenserFanStopped,
        Seen::CondenserFanTurning,
        "whether the condenser fan turns",
        1.0,
        FANS,
    ),
    (
        Seen::EvaporatorFanStopped,
        Seen::EvaporatorFanTurning,
        "whether the evaporator fan turns",
        1.0,
        FANS,
    ),
    (
        Seen::Bubbles,
        Seen::ClearGlass,
        "the sight glass",
        1.0,
        "None beyond the usual.",
    ),
    (
        Seen::HeavyIce,
        Seen::PartialFrost,
        "how the coil is frosted",
        3.0,
        FANS,
    ),
];

/// Steps of the integral over what a reading may show.
const STEPS: usize = 60;
/// A reading that tells less than this is not worth proposing, in nats.
const LEAST: f64 = 0.05;
/// Causes below this are settled.
const OPEN: f64 = 0.02;

/// The best of the readings not yet taken; `None` when nothing would tell much.
pub(super) fn reading(observed: &Observed, posterior: &[f64], feed: Feed) -> Option<NextReading> {
    let readings = EFFORTS
        .iter()
        .filter(|(symptom, ..)| !observed.measured.iter().any(|m| m.symptom == *symptom))
        .map(|&(symptom, what, minutes, caution)| {
            let (high, low) = speakers(symptom, posterior, feed);
            NextReading {
                what,
                gives: symptom.name(),
                information: information(symptom, posterior, feed),
                minutes,
                caution,
                high,
                low,
                is_look: false,
            }
        });
    let looks = LOOKS
        .iter()
        .filter(|(seen, other, ..)| {
            !observed
                .signs
                .iter()
                .any(|s| s.seen == *seen || s.seen == *other)
        })
        .map(|&(seen, _, what, minutes, caution)| NextReading {
            what,
            gives: seen.name(),
            information: of_a_look(seen, posterior),
            minutes,
            caution,
            high: open(posterior)
                .max_by(|a, b| (a.1 * a.0.chance(seen)).total_cmp(&(b.1 * b.0.chance(seen))))
                .map(|(h, _)| h.name),
            low: None,
            is_look: true,
        });
    readings
        .chain(looks)
        .filter(|next| next.information > LEAST)
        .max_by(|a, b| worth(a).total_cmp(&worth(b)))
}

/// Mutual information between the cause and a sign that is seen or not.
fn of_a_look(seen: Seen, posterior: &[f64]) -> f64 {
    let open: Vec<(&Hypothesis, f64)> = open(posterior).collect();
    let total: f64 = open.iter().map(|(_, p)| p).sum();
    let mean: f64 = open.iter().map(|(h, p)| p / total * h.chance(seen)).sum();
    let part = |chance: f64, mean: f64| {
        if chance > 0.0 {
            chance * (chance / mean).ln()
        } else {
            0.0
        }
    };
    open.iter()
        .map(|(h, p)| {
            let chance = h.chance(seen);
            p / total * (part(chance, mean) + part(1.0 - chance, 1.0 - mean))
        })
        .sum()
}

/// Information for the time; the first minutes of any reading go into getting there.
fn worth(next: &NextReading) -> f64 {
    next.information / (3.0 + next.minutes)
}

/// Mutual information between the cause and the symptom: Σ P(h) ∫ p(x|h) ln(p(x|h)/p(x)) dx.
fn information(symptom: Symptom, posterior: &[f64], feed: Feed) -> f64 {
    let open: Vec<(&Hypothesis, f64)> = open(posterior).collect();
    let total: f64 = open.iter().map(|(_, p)| p).sum();
    let reach = open
        .iter()
        .map(|(h, _)| h.shift(symptom, feed).abs())
        .fold(0.0, f64::max);
    let healthy = symptom.scatter().healthy;
    let end = 1.6 * reach + 4.0 * healthy;
    let step = 2.0 * end / STEPS as f64;
    (0..STEPS)
        .map(|i| {
            let x = -end + (i as f64 + 0.5) * step;
            let densities: Vec<f64> = open
                .iter()
                .map(|(h, _)| density(x, h.shift(symptom, feed), healthy))
                .collect();
            let mean: f64 = open
                .iter()
                .zip(&densities)
                .map(|((_, p), d)| p / total * d)
                .sum();
            open.iter()
                .zip(&densities)
                .filter(|(_, d)| **d > 0.0)
                .map(|((_, p), d)| p / total * d * (d / mean).ln() * step)
                .sum::<f64>()
        })
        .sum()
}

fn open(posterior: &[f64]) -> impl Iterator<Item = (&'static Hypothesis, f64)> {
    HYPOTHESES
        .iter()
        .zip(posterior)
        .filter(|(_, p)| **p > OPEN)
        .map(|(h, p)| (h, *p))
}

/// Normal about the shift, wider the larger the shift.
fn density(x: f64, shift: f64, healthy: f64) -> f64 {
    let spread = healthy.hypot(0.6 * shift);
    let z = (x - shift) / spread;
    (-0.5 * z * z).exp() / (spread * (2.0 * std::f64::consts::PI).sqrt())
}

/// The open causes that would make the symptom highest and lowest.
fn speakers(
    symptom: Symptom,
    posterior: &[f64],
    feed: Feed,
) -> (Option<&'static str>, Option<&'static str>) {
    let shifted = |sign: f64| {
        open(posterior)
            .filter(|(h, _)| sign * h.shift(symptom, feed) > symptom.scatter().healthy)
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(h, _)| h.name)
    };
    (shifted(1.0), shifted(-1.0))
}
