//! How likely each cause is, given what was measured: Bayes' rule over deviations that scatter by a
//! multivariate t-distribution, which near its middle is the normal one.
//!
//! A cause of severity s moves the symptoms by s times its shifts. Severity is not known, so it is
//! averaged over. Deviations of one moment share gauges: a gauge that reads high makes superheat and
//! TD err together, and the covariance says so. A symptom that was not measured is not in the sum
//! and speaks neither way.

use super::hypothesis::{Considered, Feed, HYPOTHESES, Hypothesis, Kind};
use super::symptom::{Measured, Other, Seen, SeenSign, Telling};
use crate::derive::Input;

/// Severities and their weights: slight cases are as common as plain ones.
const SEVERITIES: [(f64, f64); 6] = [
    (0.2, 0.15),
    (0.4, 0.2),
    (0.7, 0.2),
    (1.0, 0.2),
    (1.5, 0.15),
    (2.2, 0.1),
];
/// What a gauge is off in saturation temperature, F: its accuracy, not its last digit.
const GAUGE: f64 = 0.6;
/// Chance that a unit with an electrical fault has another one on its refrigerant side. Common
/// practice, no source.
const ANOTHER: f64 = 0.15;
/// Degrees of freedom of the scatter: few enough that one wild reading does not settle everything.
/// Common practice in robust estimation.
const TAIL: f64 = 8.0;
/// Squared distances beyond this are as far as any.
const FARTHEST: f64 = 1e12;
/// Fewer symptoms than this cannot tell two causes from one.
const LEAST_FOR_TWO: usize = 4;
/// Mean square of what is left, in spreads, up to which a single cause explains the readings.
const EXPLAINED: f64 = 1.5;
/// How much likelier two faults stand together than chance would have it: neglect comes in pairs.
/// Common practice, no source.
const TWO: f64 = 1.5;
/// Log of the odds below which one refrigerant fits as well as another.
const HARDLY_WORSE: f64 = 3.0;

/// What was observed at one moment.
#[derive(Debug, Clone, Default)]
pub struct Observed {
    /// Graded deviations.
    pub measured: Vec<Measured>,
    /// Signs.
    pub signs: Vec<SeenSign>,
    /// Findings that tell a fault.
    pub telling: Vec<Telling>,
    /// The deviations as they would be with other refrigerants.
    pub others: Vec<Other>,
    /// Phases of the supply, where known.
    pub phases: Option<u8>,
}

impl Observed {
    /// How much was observed: a finding that tells a fault rests on two readings and counts for the
    /// three that make a cause fit well.
    pub fn pieces(&self) -> usize {
        let measured = self.measured.iter().filter(|m| !m.is_assumed()).count();
        // A compressor that stands is two: that it stands, and that it should not.
        let stopped = usize::from(self.is_stopped());
        measured + self.signs.len() + stopped + 3 * self.telling.len()
    }

    /// True when a finding of the moment tells a cause.
    fn tells(&self, hypothesis: &Hypothesis) -> bool {
        let told = |t: &Telling| hypothesis.told(t.code).is_some();
        self.telling.iter().any(told)
    }

    /// True when the compressor stands although it is called.
    pub fn is_stopped(&self) -> bool {
        self.signs
            .iter()
            .any(|s| s.seen == Seen::StoppedWhileCalled)
    }
}

/// Posterior probability of every hypothesis, in the order of [`HYPOTHESES`]; they sum to one.
pub fn posterior(observed: &Observed, feed: Feed) -> Vec<f64> {
    let densities = log_densities(observed, feed);
    let logs: Vec<f64> = HYPOTHESES
        .iter()
        .zip(densities)
        .map(
            |(hypothesis, density)| match is_considered(hypothesis, observed) {
                true => joint(hypothesis, density, observed),
                false => f64::NEG_INFINITY,
            },
        )
        .collect();
    let all = log_sum(&logs);
    logs.iter().map(|log| (log - all).exp()).collect()
}

/// The reading without which a healthy unit would be likelier than this cause.
pub fn rests_on(index: usize, observed: &Observed, feed: Feed) -> Option<Input> {
    let mut readings: Vec<&Input> = Vec::new();
    let of_measured = observed.measured.iter().flat_map(|m| &m.inputs);
    for input in of_measured.chain(observed.signs.iter().map(|s| &s.input)) {
        if !readings.contains(&input) {
            readings.push(input);
        }
    }
    let without = |input: &Input| Observed {
        measured: observed
            .measured
            .iter()
            .filter(|m| !m.inputs.contains(input))
            .cloned()
            .collect(),
        signs: observed
            .signs
            .iter()
            .filter(|s| s.input != *input)
            .cloned()
            .collect(),
        telling: observed.telling.clone(),
        others: Vec::new(),
        phases: observed.phases,
    };
    let (cause, healthy) = (&HYPOTHESES[index], &HYPOTHESES[0]);
    // A cause that a finding tells stands on two readings at least, and on more than these; so does
    // another refrigerant.
    if cause.kind != Kind::Cycle || observed.tells(cause) {
        return None;
    }
    readings
        .into_iter()
        .find(|input| {
            let left = without(input);
            let log = |h: &Hypothesis| joint(h, log_density(h, &left.measured, feed), &left);
            log(cause) < log(healthy)
        })
        .cloned()
}

/// Two causes of the refrigerant side at once, and how much likelier they are together than the best
/// single cause; `None` where nothing is gained.
///
/// Their shifts add; so do the odds against two faults at one time, which a single cause that leaves
/// strong evidence unexplained must outweigh.
pub fn together(observed: &Observed, feed: Feed) -> Option<(usize, usize, f64)> {
    let measured = &observed.measured;
    if measured.len() < LEAST_FOR_TWO || is_explained(measured, feed) {
        return None;
    }
    let single = HYPOTHESES
        .iter()
        .zip(log_densities(observed, feed))
        .filter(|(h, _)| is_considered(h, observed))
        .map(|(h, density)| joint(h, density, observed))
        .fold(f64::NEG_INFINITY, f64::max);
    let cycle: Vec<usize> = (0..HYPOTHESES.len())
        .filter(|&i| HYPOTHESES[i].kind == Kind::Cycle)
        .filter(|&i| is_considered(&HYPOTHESES[i], observed))
        .collect();
    let shifts: Vec<Vec<f64>> = cycle
        .iter()
        .map(|&i| {
            let of = |m: &Measured| HYPOTHESES[i].shift(m.symptom, feed);
            measured.iter().map(of).collect()
        })
        .collect();
    let mut best: Option<(usize, usize, f64)> = None;
    for (place, &a) in cycle.iter().enumerate() {
        for (next, &b) in cycle[place + 1..].iter().enumerate() {
            let (first, second) = (&HYPOTHESES[a], &HYPOTHESES[b]);
            let prior = (TWO * first.before() * second.before()).ln();
            let log = prior
                + pair_density(&shifts[place], &shifts[place + 1 + next], measured)
                + told_either(first, second, observed);
            if best.is_none_or(|(_, _, most)| log > most) {
                best = Some((a, b, log));
            }
        }
    }
    best.map(|(a, b, log)| (a, b, log - single))
        .filter(|(_, _, gain)| *gain > 0.0)
}

/// True when some single cause, or none, brings every symptom to where it was read.
fn is_explained(measured: &[Measured], feed: Feed) -> bool {
    let enough = EXPLAINED * measured.len() as f64;
    HYPOTHESES.iter().any(|hypothesis| {
        let severities = SEVERITIES.map(|(severity, _)| severity);
        [0.0].into_iter().chain(severities).any(|severity| {
            let square: f64 = measured
                .iter()
                .map(|m| {
                    let shift = severity * hypothesis.shift(m.symptom, feed);
                    (m.deviation() - shift).powi(2) / own_variance(m, shift, severity > 0.0)
                })
                .sum();
            square < enough
        })
    })
}

/// Severities of each of two causes: three of them, since there are nine pairs of those.
const PAIRED: [(f64, f64); 3] = [(0.4, 0.35), (1.0, 0.4), (1.8, 0.25)];

fn pair_density(a: &[f64], b: &[f64], measured: &[Measured]) -> f64 {
    let mut logs = [0.0; PAIRED.len() * PAIRED.len()];
    for (i, (s, p)) in PAIRED.into_iter().enumerate() {
        for (j, (t, q)) in PAIRED.into_iter().enumerate() {
            let shift = |at: usize| s * a[at] + t * b[at];
            logs[PAIRED.len() * i + j] = (p * q).ln() + with_shifts(measured, true, shift);
        }
    }
    log_sum(&logs)
}

/// A sign is seen if either cause shows it.
fn told_either(a: &Hypothesis, b: &Hypothesis, observed: &Observed) -> f64 {
    observed
        .signs
        .iter()
        .map(|sign| a.chance(sign.seen).max(b.chance(sign.seen)).ln())
        .sum()
}

/// Whether a cause is considered: what only a finding tells, when one does; what stops a compressor,
/// when it stands. Nothing else that is measured speaks for or against those.
pub fn is_considered(hypothesis: &Hypothesis, observed: &Observed) -> bool {
    let fits_supply = |wanted: Option<u8>| match (wanted, observed.phases) {
        (Some(wanted), Some(phases)) => wanted == phases,
        _ => true,
    };
    match (hypothesis.kind, hypothesis.considered) {
        (Kind::OtherRefrigerant, _) => !observed.others.is_empty(),
        (_, Considered::Always) => true,
        (_, Considered::WhenTold) => observed.tells(hypothesis),
        (_, Considered::WhenStopped(supply)) => {
            observed.tells(hypothesis) || observed.is_stopped() && fits_supply(supply)
        }
    }
}

/// ln of prior, density of the deviations, signs and findings together.
fn joint(hypothesis: &Hypothesis, density: f64, observed: &Observed) -> f64 {
    hypothesis.before().ln() + density + told(hypothesis, observed)
}

/// ln of the chance of the signs and of the odds of the findings.
fn told(hypothesis: &Hypothesis, observed: &Observed) -> f64 {
    let signs: f64 = observed
        .signs
        .iter()
        .map(|sign| hypothesis.chance(sign.seen).ln())
        .sum();
    let telling: f64 = observed
        .telling
        .iter()
        .filter_map(|telling| hypothesis.told(telling.code))
        .sum();
    signs + telling
}

/// ln of the density of the deviations under each hypothesis.
///
/// A contact that sticks or a phase that is out leaves the refrigerant side as it is: healthy, or
/// with a fault of its own. So such a cause takes the mean over both.
fn log_densities(observed: &Observed, feed: Feed) -> Vec<f64> {
    let measured = &observed.measured;
    let mut densities: Vec<f64> = HYPOTHESES
        .iter()
        .map(|hypothesis| match hypothesis.kind {
            Kind::OtherRefrigerant => of_others(&observed.others, feed),
            _ => log_density(hypothesis, measured, feed),
        })
        .collect();
    let is_common = |h: &Hypothesis| h.kind == Kind::Cycle && h.considered == Considered::Always;
    let total: f64 = HYPOTHESES
        .iter()
        .filter(|h| is_common(h))
        .map(|h| h.prior)
        .sum();
    let mut logs: Vec<f64> = HYPOTHESES
        .iter()
        .zip(&densities)
        .filter(|(h, _)| is_common(h))
        .map(|(h, density)| (ANOTHER * h.prior / total).ln() + density)
        .collect();
    logs.push((1.0 - ANOTHER).ln() + densities[0]);
    let beside = log_sum(&logs);
    for (hypothesis, density) in HYPOTHESES.iter().zip(&mut densities) {
        if hypothesis.kind == Kind::Beside {
            *density = beside;
        }
    }
    densities
}

/// ln of the density of a sound unit that holds another refrigerant.
fn sound(other: &Other, feed: Feed) -> f64 {
    log_density(&HYPOTHESES[0], &other.measured, feed)
}

/// ln of the mean density of a sound unit over the other refrigerants, each as likely as the next.
fn of_others(others: &[Other], feed: Feed) -> f64 {
    let logs: Vec<f64> = others.iter().map(|other| sound(other, feed)).collect();
    match logs.len() {
        0 => f64::NEG_INFINITY,
        n => log_sum(&logs) - (n as f64).ln(),
    }
}

/// The refrigerants that the pressures fit, the best first: those hardly worse than it.
pub fn fitting_others(observed: &Observed, feed: Feed) -> Vec<&'static str> {
    let mut fits: Vec<(f64, &'static str)> = observed
        .others
        .iter()
        .map(|other| (sound(other, feed), other.refrigerant.name))
        .collect();
    fits.sort_by(|a, b| b.0.total_cmp(&a.0));
    let best = fits.first().map_or(0.0, |f| f.0);
    fits.retain(|f| f.0 > best - HARDLY_WORSE);
    fits.into_iter().take(4).map(|f| f.1).collect()
}

/// ln of the density of the deviations under one hypothesis, averaged over severity.
fn log_density(hypothesis: &Hypothesis, measured: &[Measured], feed: Feed) -> f64 {
    if hypothesis.shifts.is_empty() {
        return at_severity(hypothesis, measured, feed, 0.0);
    }
    let logs = SEVERITIES
        .map(|(severity, weight)| weight.ln() + at_severity(hypothesis, measured, feed, severity));
    log_sum(&logs)
}

/// ln Σ exp, without overflow.
fn log_sum(logs: &[f64]) -> f64 {
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    most + logs.iter().map(|log| (log - most).exp()).sum::<f64>().ln()
}

/// ln of the density at one severity, up to a constant that all hypotheses share.
fn at_severity(hypothesis: &Hypothesis, measured: &[Measured], feed: Feed, severity: f64) -> f64 {
    let shift = |at: usize| severity * hypothesis.shift(measured[at].symptom, feed);
    with_shifts(measured, severity > 0.0, shift)
}

/// ln of the density where each symptom is moved by so much.
///
/// The covariance is a diagonal D, each symptom's own variance, and what two gauges share:
/// D + g²(l lᵀ + h hᵀ), with l and h the signs of
/// [`Symptom::of_gauges`](super::symptom::Symptom::of_gauges). Its inverse and determinant follow in
/// closed form (Woodbury's identity, matrix determinant lemma), and are positive.
fn with_shifts(measured: &[Measured], is_faulty: bool, by: impl Fn(usize) -> f64) -> f64 {
    let gauge = GAUGE * GAUGE;
    let (mut square, mut determinant) = (0.0, 1.0);
    let (mut low, mut high, mut both) = (1.0, 1.0, 0.0);
    let (mut low_off, mut high_off) = (0.0, 0.0);
    for (at, one) in measured.iter().enumerate() {
        let shift = by(at);
        let off = one.deviation() - shift;
        let variance = own_variance(one, shift, is_faulty);
        let (l, h) = one.symptom.of_gauges();
        square += off * off / variance;
        determinant *= variance;
        low += gauge * l * l / variance;
        high += gauge * h * h / variance;
        both += gauge * l * h / variance;
        low_off += l * off / variance;
        high_off += h * off / variance;
    }
    let shared = low * high - both * both;
    let explained =
        low_off * low_off * high - 2.0 * low_off * high_off * both + high_off * high_off * low;
    let square = (square - gauge * explained / shared).max(0.0);
    let tail = 0.5 * (TAIL + measured.len() as f64);
    -tail * (square.min(FARTHEST) / TAIL).ln_1p() - 0.5 * (determinant * shared).ln()
}

fn own_variance(measured: &Measured, shift: f64, is_faulty: bool) -> f64 {
    let scatter = measured.symptom.scatter();
    let faulty = if is_faulty { scatter.faulty } else { 0.0 };
    // Cases differ in how far they go, not in which way: on the wrong side of what is expected the
    // shift lends no width, softly over five scatters of a healthy unit.
    let wrong_way = (-measured.deviation() * shift.signum()).max(0.0);
    let healthy = scatter.healthy.powi(2) + measured.doubt.powi(2);
    let room = (1.0 - wrong_way / (5.0 * healthy.sqrt())).max(0.0);
    healthy + faulty.powi(2) + (measured.symptom.shape() * shift * room).powi(2)
}

/// How each piece of evidence alone speaks: for every hypothesis the ln of its density under it,
/// over the mean density under all the others as likely as they are now. Above zero it speaks for
/// the hypothesis, below against.
pub(super) fn weights(logs: &[f64], posterior: &[f64]) -> Vec<f64> {
    (0..logs.len())
        .map(|own| {
            if posterior[own] == 0.0 {
                return 0.0;
            }
            let others = logs.iter().zip(posterior).enumerate();
            let (sum, total) = others
                .filter(|(i, _)| *i != own)
                .fold((0.0, 0.0), |(sum, total), (_, (log, p))| {
                    (sum + p * (log - logs[own]).exp(), total + p)
                });
            // Without a rival nothing is said either way.
            if total > 1e-12 && sum > 0.0 {
                -(sum / total).ln()
            } else {
                0.0
            }
        })
        .collect()
}

/// ln of the density of one deviation under each hypothesis.
pub(super) fn of_measured(observed: &Observed, index: usize, feed: Feed) -> Vec<f64> {
    let alone = |measured: &[Measured]| vec![measured[index].clone()];
    let one = Observed {
        measured: alone(&observed.measured),
        others: observed
            .others
            .iter()
            .map(|other| Other {
                measured: alone(&other.measured),
                ..other.clone()
            })
            .collect(),
        ..Observed::default()
    };
    log_densities(&one, feed)
}

/// ln of the chance of one sign under each hypothesis.
pub(super) fn of_sign(sign: &SeenSign) -> Vec<f64> {
    HYPOTHESES
        .iter()
        .map(|h| h.chance(sign.seen).ln())
        .collect()
}

/// ln of the odds of one finding under each hypothesis.
pub(super) fn of_telling(telling: &Telling) -> Vec<f64> {
    HYPOTHESES
        .iter()
        .map(|h| h.told(telling.code).unwrap_or(0.0))
        .collect()
}
