//! The next reading worth taking: the one expected to tell the remaining causes apart best, for the
//! time and risk it costs.

use super::hypothesis::{Feed, HYPOTHESES, Hypothesis};
use super::score::Observed;
use super::symptom::{Measured, Seen, SeenSign, Symptom};

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
    /// Minutes of other work that its risk is worth.
    pub risk: f64,
    /// The caution that belongs to it.
    pub caution: &'static str,
    /// What a high and a low value would speak for.
    pub high: Option<&'static str>,
    /// As `high`.
    pub low: Option<&'static str>,
    /// True for something seen or not seen.
    pub is_look: bool,
}

/// Something to read: what, minutes it takes, minutes of other work that its risk is worth, caution.
/// Common practice, no source.
struct Effort {
    what: &'static str,
    minutes: f64,
    risk: f64,
    caution: &'static str,
}

const fn effort(what: &'static str, minutes: f64, risk: f64, caution: &'static str) -> Effort {
    Effort {
        what,
        minutes,
        risk,
        caution,
    }
}

const USUAL: &str = "None beyond the usual.";
const CLAMP: &str = "Keep leads and sleeves clear of moving fans.";
const GAUGES: &str = "Gloves and goggles at the ports: liquid refrigerant freezes skin and eyes.";
const HOT: &str = "A discharge line burns skin: clamp it with the unit off, or with gloves.";
const FANS: &str = "Look only: a fan may start by itself.";
const PANEL: &str = "Live panel: rated meter and gear, one hand, and your local code; the clamp goes round one conductor only.";
const CAPACITOR: &str = "Lock out and prove dead first, short the capacitor through a resistor and confirm zero volts before a lead comes off.";

const EFFORTS: &[(Symptom, Effort)] = &[
    (
        Symptom::AirSplit,
        effort("return and supply air temperature", 2.0, 0.0, CLAMP),
    ),
    (
        Symptom::DrierDrop,
        effort(
            "liquid line temperature before and after the drier",
            2.0,
            0.0,
            CLAMP,
        ),
    ),
    (
        Symptom::AboveSetPoint,
        effort("box temperature", 1.0, 0.0, USUAL),
    ),
    (
        Symptom::CondenserRise,
        effort("air onto and off the condenser", 2.0, 0.0, CLAMP),
    ),
    (
        Symptom::CondenserSplit,
        effort(
            "discharge pressure and air onto the condenser",
            4.0,
            1.0,
            GAUGES,
        ),
    ),
    (
        Symptom::Subcooling,
        effort(
            "liquid pressure and liquid line temperature",
            4.0,
            1.0,
            GAUGES,
        ),
    ),
    (
        Symptom::Superheat,
        effort(
            "suction pressure and suction line temperature at the coil",
            5.0,
            1.0,
            GAUGES,
        ),
    ),
    (
        Symptom::EvaporatorTd,
        effort("suction pressure and air onto the coil", 4.0, 1.0, GAUGES),
    ),
    (
        Symptom::Efficiency,
        effort(
            "discharge line and compressor inlet temperature",
            3.0,
            1.0,
            HOT,
        ),
    ),
    (
        Symptom::RunningCurrent,
        effort("compressor current, every leg", 3.0, 3.0, PANEL),
    ),
];

/// Sign, its opposite, what to look at. Common practice, no source.
type Look = (Seen, Seen, Effort);

const LOOKS: &[Look] = &[
    (
        Seen::CondenserFanStopped,
        Seen::CondenserFanTurning,
        effort("whether the condenser fan turns", 1.0, 0.0, FANS),
    ),
    (
        Seen::EvaporatorFanStopped,
        Seen::EvaporatorFanTurning,
        effort("whether the evaporator fan turns", 1.0, 0.0, FANS),
    ),
    (
        Seen::Bubbles,
        Seen::ClearGlass,
        effort("the sight glass", 1.0, 0.0, USUAL),
    ),
    (
        Seen::HeavyIce,
        Seen::PartialFrost,
        effort("how the coil is frosted", 3.0, 0.0, FANS),
    ),
    (
        Seen::MotorHums,
        Seen::MotorHums,
        effort(
            "whether the compressor hums when it is called",
            1.0,
            0.0,
            USUAL,
        ),
    ),
    (
        Seen::PulledIn,
        Seen::DroppedOut,
        effort(
            "whether the contactor is pulled in while called",
            1.0,
            2.0,
            PANEL,
        ),
    ),
    (
        Seen::CoilLive,
        Seen::CoilDead,
        effort(
            "voltage at the contactor coil while called",
            3.0,
            4.0,
            PANEL,
        ),
    ),
    (
        Seen::LegsLive,
        Seen::LegDead,
        effort("voltage behind the contactor, every leg", 3.0, 4.0, PANEL),
    ),
    (
        Seen::LineComplete,
        Seen::LineLegDead,
        effort("voltage of the supply, every leg", 3.0, 4.0, PANEL),
    ),
    (
        Seen::CapacitorLow,
        Seen::CapacitorSound,
        effort("the run capacitor, disconnected", 6.0, 4.0, CAPACITOR),
    ),
    (
        Seen::StandingHigh,
        Seen::StandingLevel,
        effort(
            "standing pressure against ambient: compressor off, condenser fan on, until it settles",
            20.0,
            1.0,
            GAUGES,
        ),
    ),
];

/// Steps of the integral over what a reading may show.
const STEPS: usize = 40;
/// A reading that tells less than this is not worth proposing, in nats.
const LEAST: f64 = 0.05;
/// Causes below this are settled.
const OPEN: f64 = 0.02;

/// The best of the readings not yet taken; `None` when nothing would tell much.
pub(super) fn reading(observed: &Observed, posterior: &[f64], feed: Feed) -> Option<NextReading> {
    // A compressor that stands has no cycle to read.
    let readings = EFFORTS
        .iter()
        .filter(|_| !observed.is_stopped())
        .filter(|(symptom, _)| {
            let known = |m: &Measured| m.symptom == *symptom && !m.is_assumed();
            !observed.measured.iter().any(known)
        })
        .map(|(symptom, effort)| {
            let (high, low) = speakers(*symptom, posterior, feed);
            NextReading {
                what: effort.what,
                gives: symptom.name(),
                information: information(*symptom, posterior, feed),
                minutes: effort.minutes,
                risk: effort.risk,
                caution: effort.caution,
                high,
                low,
                is_look: false,
            }
        });
    let looks = LOOKS
        .iter()
        .filter(|(seen, ..)| is_open_to(*seen, observed))
        .filter(|(seen, other, _)| {
            let known = |s: &SeenSign| s.seen == *seen || s.seen == *other;
            !observed.signs.iter().any(known)
        })
        .map(|(seen, other, effort)| {
            let (high, low) = tellers(*seen, posterior);
            NextReading {
                what: effort.what,
                gives: seen.name(),
                information: of_a_look(*seen, posterior),
                minutes: effort.minutes,
                risk: effort.risk,
                caution: effort.caution,
                high,
                // Only what has a name of its own when it is not there is said both ways.
                low: low.filter(|_| other.opposite() == Some(*seen)),
                is_look: true,
            }
        });
    readings
        .chain(looks)
        .filter(|next| next.information > LEAST)
        .max_by(|a, b| worth(a).total_cmp(&worth(b)))
}

/// Whether looking makes sense: the meter's signs are of a compressor that stands, the rest of one
/// that runs.
fn is_open_to(seen: Seen, observed: &Observed) -> bool {
    let of_the_meter = matches!(
        seen,
        Seen::MotorHums
            | Seen::PulledIn
            | Seen::CoilLive
            | Seen::LegsLive
            | Seen::LineComplete
            | Seen::CapacitorLow
    );
    of_the_meter == observed.is_stopped()
}

/// The open cause that a sign speaks for most, and the one its absence does; none where both are one.
fn tellers(seen: Seen, posterior: &[f64]) -> (Option<&'static str>, Option<&'static str>) {
    let most = |weight: fn(f64) -> f64| {
        let total: f64 = open(posterior).map(|(_, p)| p).sum();
        let mean: f64 = open(posterior)
            .map(|(h, p)| p / total * weight(h.chance(seen)))
            .sum();
        open(posterior)
            .filter(|(h, _)| weight(h.chance(seen)) > mean)
            .max_by(|a, b| {
                let of = |(h, p): &(&Hypothesis, f64)| p * weight(h.chance(seen));
                of(a).total_cmp(&of(b))
            })
            .map(|(h, _)| h.name)
    };
    match (most(|c| c), most(|c| 1.0 - c)) {
        (with, without) if with == without => (with, None),
        both => both,
    }
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

/// Information for the time and the risk; the first minutes of any reading go into getting there.
fn worth(next: &NextReading) -> f64 {
    next.information / (3.0 + next.minutes + next.risk)
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
