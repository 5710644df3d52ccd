//! Two causes at once: named only where no single one explains what was read.

use super::{observed, off};
use rimebook::causes::hypothesis::{Feed, HYPOTHESES};
use rimebook::causes::score::together;
use rimebook::causes::symptom::Symptom;
use rimebook::causes::symptom::Symptom::{
    AboveSetPoint, AirSplit, CondenserSplit, DrierDrop, EvaporatorTd, Subcooling, Superheat,
};
use rimebook::vocabulary::faults::Fault;

fn faults(measured: &[(Symptom, f64)]) -> Option<[Option<Fault>; 2]> {
    let observed = observed(measured.iter().map(|&(s, by)| off(s, by)), &[]);
    let (a, b, gain) = together(&observed, Feed::Valve)?;
    assert!(gain > 0.0);
    Some([HYPOTHESES[a].fault, HYPOTHESES[b].fault])
}

/// A leaking unit behind a dirty condenser: starved low side, no subcooling, and a split that
/// undercharge would lower.
#[test]
fn undercharge_behind_a_dirty_condenser() {
    let found = faults(&[
        (EvaporatorTd, 9.0),
        (Superheat, 16.0),
        (Subcooling, -8.0),
        (CondenserSplit, 22.0),
        (AirSplit, -0.3),
        (DrierDrop, 0.0),
        (AboveSetPoint, 8.0),
    ]);
    let pair = found.expect("two causes");
    assert!(pair.contains(&Some(Fault::Undercharge)), "{pair:?}");
    let is_condenser =
        |f: &Option<Fault>| matches!(f, Some(Fault::CondenserAirflow | Fault::FanFailed));
    assert!(pair.iter().any(is_condenser), "{pair:?}");
}

/// One cause that explains everything is not joined by another.
#[test]
fn one_cause_is_enough_where_it_explains_all() {
    for one in HYPOTHESES.iter().filter(|h| !h.shifts.is_empty()) {
        for severity in [0.7, 1.0, 1.5] {
            let row: Vec<_> = Symptom::ALL
                .iter()
                .map(|&s| (s, severity * one.shift(s, Feed::Valve)))
                .collect();
            assert_eq!(faults(&row), None, "{} {severity}", one.name);
        }
    }
    assert_eq!(faults(&[(Superheat, 40.0), (Subcooling, -20.0)]), None);
}
