//! What must hold of the ranking for any readings.

use super::support::note;
use super::{FEEDS, observed, off, place, ranked, shown};
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use proptest::test_runner::RngSeed;
use rimebook::causes::Fit;
use rimebook::causes::hypothesis::{Feed, HYPOTHESES, Hypothesis};
use rimebook::causes::score::{is_considered, posterior};
use rimebook::causes::symptom::{Measured, Seen, Symptom};
use rimebook::vocabulary::faults::Fault;

const SIGNS: [Seen; 4] = [
    Seen::Bubbles,
    Seen::ClearGlass,
    Seen::HeavyIce,
    Seen::PartialFrost,
];

/// Causes that do the same to a unit: which of them leads is for the eyes, not for the gauges.
const SAME: [&[Fault]; 3] = [
    &[Fault::EvaporatorAirflow, Fault::IcedCoil, Fault::FanFailed],
    &[Fault::CondenserAirflow, Fault::FanFailed],
    &[Fault::Overcharge, Fault::NonCondensables],
];

fn do_the_same(one: &Hypothesis, other: &Hypothesis) -> bool {
    let both = |faults: &&[Fault]| {
        let has = |h: &Hypothesis| h.fault.is_some_and(|fault| faults.contains(&fault));
        has(one) && has(other)
    };
    SAME.iter().any(both)
}

fn feeds() -> impl Strategy<Value = Feed> {
    select(FEEDS.to_vec())
}

/// Some of the symptoms, each off by something.
fn some(deviation: impl Strategy<Value = f64>) -> impl Strategy<Value = Vec<Measured>> {
    let symptoms = subsequence(Symptom::ALL.to_vec(), 0..=Symptom::ALL.len());
    let deviations = prop::collection::vec(deviation, Symptom::ALL.len());
    (symptoms, deviations).prop_map(|(symptoms, deviations)| {
        let pairs = symptoms.into_iter().zip(deviations);
        pairs.map(|(symptom, by)| off(symptom, by)).collect()
    })
}

fn signs() -> impl Strategy<Value = Vec<Seen>> {
    subsequence(SIGNS.to_vec(), 0..=SIGNS.len())
}

/// Deviations of any size a gauge can show, and far beyond. Squares overflow from 1e154 on, where no
/// reading gets: points have bounds.
fn any_size() -> impl Strategy<Value = f64> {
    let power = (-12.0..100.0f64, any::<bool>());
    let of_power = |(power, up): (f64, bool)| 10f64.powf(power) * if up { 1.0 } else { -1.0 };
    prop_oneof![-100.0..100.0, power.prop_map(of_power)]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_126), ..ProptestConfig::default() })]

    #[test]
    fn probabilities_sum_to_one(
        measured in some(any_size()),
        signs in signs(),
        feed in feeds(),
    ) {
        let probabilities = posterior(&observed(measured, &signs), feed);
        prop_assert_eq!(probabilities.len(), HYPOTHESES.len());
        prop_assert!(probabilities.iter().all(|p| (0.0..=1.0).contains(p)), "{:?}", probabilities);
        let sum: f64 = probabilities.iter().sum();
        prop_assert!((sum - 1.0).abs() < 1e-9, "{}", sum);
    }

    /// Every symptom is moved by some cause, so none is without a word when it is read. One whose
    /// expectation nobody knows is: it must not move a ranking, whatever it reads. Hardly, that is:
    /// the tails of the scatter depend on how many symptoms were read.
    #[test]
    fn a_symptom_without_expectation_is_neutral(
        measured in some(-2.5..2.5),
        last in select(Symptom::ALL.to_vec()),
        reads in -30.0..30.0,
        feed in feeds(),
    ) {
        let mut without = measured;
        without.retain(|m| m.symptom != last);
        for m in &mut without {
            m.value *= m.symptom.scatter().healthy;
        }
        let mut with = without.clone();
        with.push(Measured { doubt: 1e6, ..off(last, reads) });
        let before = posterior(&observed(without, &[]), feed);
        let after = posterior(&observed(with, &[]), feed);
        for (before, after) in before.iter().zip(&after) {
            prop_assert!((before - after).abs() < 0.1, "{} {}", before, after);
        }
    }

    #[test]
    fn order_of_symptoms_does_not_matter(measured in some(-30.0..30.0), feed in feeds()) {
        let mut turned = measured.clone();
        turned.reverse();
        let (one, other) = (
            posterior(&observed(measured, &[]), feed),
            posterior(&observed(turned, &[]), feed),
        );
        for (one, other) in one.iter().zip(&other) {
            prop_assert!((one - other).abs() < 1e-9, "{} {}", one, other);
        }
    }
}

/// What only a finding tells is not considered without one.
#[test]
fn nothing_observed_leaves_the_priors() {
    let nothing = observed([], &[]);
    let considered = |h: &&Hypothesis| is_considered(h, &nothing);
    let total: f64 = HYPOTHESES.iter().filter(considered).map(|h| h.prior).sum();
    for feed in FEEDS {
        let probabilities = posterior(&nothing, feed);
        for (cause, p) in HYPOTHESES.iter().zip(probabilities) {
            let prior = if considered(&cause) {
                cause.prior / total
            } else {
                0.0
            };
            assert!((p - prior).abs() < 1e-12, "{}: {p}, {prior}", cause.name);
        }
    }
}

#[test]
fn a_unit_that_meets_its_expectations_is_healthy() {
    for feed in FEEDS {
        let ranking = ranked(&observed(Symptom::ALL.map(|s| off(s, 0.0)), &[]), feed);
        assert_eq!(place(&ranking, None), 1, "{feed:?}: {}", shown(&ranking));
        // Also where only two symptoms were read.
        for (i, a) in Symptom::ALL.into_iter().enumerate() {
            for b in Symptom::ALL.into_iter().skip(i + 1) {
                let ranking = ranked(&observed([off(a, 0.0), off(b, 0.0)], &[]), feed);
                assert_eq!(place(&ranking, None), 1, "{a:?} {b:?}: {}", shown(&ranking));
            }
        }
    }
}

/// Further along its own shifts, a fault never loses places, [`SAME`] counted as one.
#[test]
fn severity_never_lowers_a_rank() {
    let mut wrong = Vec::new();
    for cause in HYPOTHESES.iter().filter(|h| !h.shifts.is_empty()) {
        for feed in FEEDS {
            let places = [0.25, 0.5, 1.0, 1.5, 2.0].map(|severity| {
                let own = cause.shifts.iter();
                let own = own.map(|&(s, _)| off(s, severity * cause.shift(s, feed)));
                let mut ranking = ranked(&observed(own, &[]), feed);
                ranking.retain(|(h, _)| h.name == cause.name || !do_the_same(h, cause));
                place(&ranking, cause.fault)
            });
            if places.windows(2).any(|pair| pair[0] < pair[1]) {
                wrong.push(format!("{} {feed:?}: {places:?}", cause.name));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A reading within the scatter of healthy units takes no cause out: it lowers no cause's odds
/// against the healthy unit more than fifty-fold.
#[test]
fn a_healthy_reading_rules_nothing_out() {
    let mut wrong = Vec::new();
    for feed in FEEDS {
        let before = posterior(&observed([], &[]), feed);
        for (symptom, scatters) in Symptom::ALL
            .iter()
            .flat_map(|s| [(s, -1.0), (s, 0.0), (s, 1.0)])
        {
            let healthy = off(*symptom, scatters * symptom.scatter().healthy);
            let after = posterior(&observed([healthy], &[]), feed);
            for (i, cause) in HYPOTHESES.iter().enumerate() {
                let change = (after[i] / after[0]) / (before[i] / before[0]);
                if change < 0.02 {
                    wrong.push(format!(
                        "{feed:?} {symptom:?} {scatters}: {} {change:.4}",
                        cause.name
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// What goes plainly against a cause's own direction never makes it so much as possible.
///
/// Not so beyond six scatters: the spread of a cause's shift is as wide on the wrong side, and far
/// out the widest takes all. There the reading itself is in doubt.
#[test]
fn the_wrong_way_never_speaks_for_a_cause() {
    let mut wrong = Vec::new();
    for (feed, symptom) in FEEDS.into_iter().flat_map(|f| Symptom::ALL.map(|s| (f, s))) {
        let healthy = symptom.scatter().healthy;
        for (i, cause) in HYPOTHESES.iter().enumerate() {
            let shift = cause.shift(symptom, feed);
            // Less than that is hardly a direction.
            if shift.abs() <= healthy {
                continue;
            }
            for scatters in [2.5, 4.0, 6.0] {
                let by = -shift.signum() * scatters * healthy;
                let after = posterior(&observed([off(symptom, by)], &[]), feed)[i];
                // `POSSIBLE` of the ranking.
                if after >= 0.12 {
                    let name = cause.name;
                    wrong.push(format!("{feed:?} {symptom:?} {by:.1}: {name} {after:.3}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A cooler, without set point: return air would otherwise speak for TD and box alike.
const HEAD: &str = "unit: WIC-1, walk-in cooler
refrigerant: R-134a, 8 lb
metering: txv, receiver
nameplate: 230 V 1 ph, heaters 3600 W, control 24 V, capacitor 45 uF
design td: 10 F
target superheat: 8 F
target subcooling: 8 F
design split: 22 F
";
const VISIT: &str = "visit 2026-03-14 Dana R.\n0920 ";

/// The likeliest cause of a note, when it is a fault that fits well.
fn sure(text: &str) -> Option<String> {
    let compiled = note(text);
    let first = &compiled.causes().found.as_ref()?.causes[0];
    let is_sure = first.fit == Fit::FitsWell && first.hypothesis.fault.is_some();
    is_sure.then(|| format!("{} {:.2}", first.hypothesis.name, first.probability))
}

/// Notes in which one thing was observed, however far off it is. A capacitor held against its
/// nameplate, or three legs at once, are more than one reading: findings tell those.
#[test]
fn a_single_reading_makes_nothing_fit_well() {
    let mut single: Vec<String> = Vec::new();
    for f in [0, 20, 36, 50, 90, 140] {
        single.push(format!("suction 20 psig, suction line {f} F"));
        single.push(format!("suction 20 psig, return air {f} F"));
        single.push(format!("discharge 150 psig, liquid line {f} F"));
        single.push(format!("discharge 150 psig, ambient {f} F"));
        single.push(format!("return air 36 F, supply air {f} F"));
        single.push(format!("liquid line 100 F, after drier {f} F"));
        single.push(format!("box {f} F"));
    }
    for state in [
        "sight glass bubbles",
        "sight glass clear",
        "coil iced",
        "compressor off",
    ] {
        single.push(state.to_owned());
    }
    for volts in [0, 24, 240] {
        single.push(format!("contactor coil {volts} V"));
        single.push(format!("heater {volts} V"));
    }
    for ampere in [0, 12, 80] {
        single.push(format!("compressor {ampere} A"));
        single.push(format!("heater {ampere} A"));
    }
    let wrong: Vec<String> = single
        .iter()
        .filter_map(|reading| {
            Some(reading.clone() + ": " + &sure(&format!("{HEAD}{VISIT}{reading}\n"))?)
        })
        .collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A healthy cooler of [`HEAD`], point by point: R-134a, evaporating at 25 F, condensing at 107 F.
const HEALTHY: [(&str, f64, &str); 9] = [
    ("suction", 21.6, "psig"),
    ("suction line", 33.0, "F"),
    ("discharge", 141.0, "psig"),
    ("liquid line", 99.0, "F"),
    ("after drier", 98.8, "F"),
    ("ambient", 85.0, "F"),
    ("return air", 35.5, "F"),
    ("supply air", 27.5, "F"),
    ("box", 36.0, "F"),
];

/// The healthy cooler with one reading off by so much.
fn cooler(reading: usize, by: f64) -> String {
    let readings: Vec<String> = HEALTHY
        .iter()
        .enumerate()
        .map(|(i, (point, value, is_in))| {
            let value = if i == reading { value + by } else { *value };
            format!("{point} {value:.1} {is_in}")
        })
        .collect();
    format!("{HEAD}setpoint: 36 F\n{VISIT}{}\n", readings.join(", "))
}

/// Among a full set of healthy readings, one that is off by a slip of the clamp or a gauge never
/// rested makes nothing certain.
#[test]
fn one_reading_off_among_healthy_ones_makes_nothing_fit_well() {
    assert_eq!(sure(&cooler(0, 0.0)), None);
    let mut wrong = Vec::new();
    for (i, (point, _, is_in)) in HEALTHY.iter().enumerate() {
        for by in [3.0, 5.0, 8.0, 12.0, 20.0]
            .into_iter()
            .flat_map(|by| [by, -by])
        {
            if let Some(cause) = sure(&cooler(i, by)) {
                wrong.push(format!("{point} off by {by} {is_in}: {cause}"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Two healthy readings do not rule out what they say nothing about.
#[test]
fn what_nothing_speaks_about_is_not_ruled_out() {
    let compiled = note(&format!(
        "{HEAD}{VISIT}suction 21.6 psig, suction line 33 F, return air 35.5 F\n"
    ));
    let ranking = compiled.causes().found.as_ref().expect("a ranking");
    let read: Vec<Symptom> = ranking
        .observed
        .measured
        .iter()
        .map(|m| m.symptom)
        .collect();
    assert_eq!(read, [Symptom::EvaporatorTd, Symptom::Superheat]);
    let wrong: Vec<String> = ranking
        .causes
        .iter()
        .filter(|c| {
            read.iter()
                .all(|s| c.hypothesis.shift(*s, Feed::ValveReceiver) == 0.0)
        })
        .filter(|c| c.fit == Fit::RuledOut)
        .map(|c| format!("{} {:.4}", c.hypothesis.name, c.probability))
        .collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Names are said in reports, and rankings are read by them.
#[test]
fn causes_are_told_apart_by_name() {
    for (i, one) in HYPOTHESES.iter().enumerate() {
        assert_eq!(one.fault.is_none(), i == 0, "{}", one.name);
        for other in &HYPOTHESES[i + 1..] {
            assert_ne!(one.name, other.name);
        }
    }
}
