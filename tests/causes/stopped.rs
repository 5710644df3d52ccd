//! A compressor that stands although it is called: what the meter shows ranks the electrical causes
//! (basic circuit logic), and the next reading is the one that halves what is left.

use super::support::note;
use rimebook::causes::{Fit, Ranking};
use rimebook::vocabulary::faults::Fault;

const SINGLE: &str = "unit: RI-1, reach-in cooler\nrefrigerant: R-134a\nmetering: cap tube, no receiver\nnameplate: 230 V 1 ph, rla 8 A, control 24 V, capacitor 35 uF\nsetpoint: 38 F\n";
const THREE: &str = "unit: WIF-1, walk-in freezer\nrefrigerant: R-448A\nmetering: txv, receiver\nnameplate: 208 V 3 ph, rla 14 A, control 24 V\nsetpoint: -5 F\n";

#[track_caller]
fn found(head: &str, lines: &str) -> Ranking {
    let text = format!("{head}visit 2026-03-14 Dana\n0900 arrive\n{lines}");
    let compiled = note(&text);
    let found = compiled.causes().found.clone();
    found.expect("enough was read to rank")
}

fn first(ranking: &Ranking) -> Option<Fault> {
    ranking.causes[0].hypothesis.fault
}

#[test]
fn dead_coil_speaks_for_the_control() {
    let ranking = found(
        THREE,
        "0905 compressor off, box 22 F, contactor coil 0 V, L1-L2 208 V, L2-L3 207 V, L1-L3 208 V\n",
    );
    assert_eq!(first(&ranking), Some(Fault::ControlFault));
    let contacts = ranking
        .causes
        .iter()
        .find(|c| c.hypothesis.fault == Some(Fault::ContactsOpen))
        .expect("contacts are considered");
    assert!(contacts.probability < 0.2, "{}", contacts.probability);
}

#[test]
fn live_coil_and_dead_legs_speak_for_the_contacts() {
    let ranking = found(
        THREE,
        "0905 compressor off, box 22 F, contactor coil 24 V, L1-L2 208 V, L2-L3 207 V, L1-L3 208 V, T1-T2 0 V, T2-T3 207 V, T1-T3 0 V\n",
    );
    assert_eq!(first(&ranking), Some(Fault::ContactsOpen));
}

#[test]
fn live_legs_and_a_hum_leave_capacitor_and_rotor() {
    let ranking = found(
        SINGLE,
        "0905 compressor humming, box 52 F, contactor coil 24 V, compressor 230 V\n",
    );
    let two: Vec<Option<Fault>> = ranking.causes[..2]
        .iter()
        .map(|c| c.hypothesis.fault)
        .collect();
    assert!(two.contains(&Some(Fault::WeakCapacitor)), "{two:?}");
    assert!(two.contains(&Some(Fault::StalledMotor)), "{two:?}");
    // The capacitor tells the two apart.
    let next = ranking.next.expect("something is left to read");
    assert_eq!(next.what, "the run capacitor, disconnected");
    assert!(next.caution.contains("zero volts"), "{}", next.caution);
}

#[test]
fn a_sound_capacitor_leaves_the_rotor() {
    let ranking = found(
        SINGLE,
        "0905 compressor humming, box 52 F, contactor coil 24 V, compressor 230 V, run capacitor 34.8 uF\n",
    );
    assert_eq!(first(&ranking), Some(Fault::StalledMotor));
}

#[test]
fn the_next_reading_of_a_dead_compressor_is_electrical_with_its_caution() {
    let ranking = found(SINGLE, "0905 compressor off, box 52 F\n0906 evap fan on\n");
    let next = ranking.next.expect("nothing was measured yet");
    assert!(
        next.what.contains("voltage") || next.what.contains("hums"),
        "{}",
        next.what
    );
    assert!(ranking.causes.iter().all(|c| c.fit != Fit::FitsWell));
}

/// Single phasing needs three phases, a run capacitor one.
#[test]
fn the_supply_decides_what_is_considered() {
    let of = |head| {
        let ranking = found(head, "0905 compressor off, box 60 F, contactor coil 24 V\n");
        let faults = ranking.causes.iter().filter_map(|c| c.hypothesis.fault);
        faults.collect::<Vec<_>>()
    };
    assert!(of(THREE).contains(&Fault::SinglePhasing));
    assert!(!of(THREE).contains(&Fault::WeakCapacitor));
    assert!(of(SINGLE).contains(&Fault::WeakCapacitor));
    assert!(!of(SINGLE).contains(&Fault::SinglePhasing));
}

/// A unit at its set point stands because it may.
#[test]
fn a_satisfied_unit_has_no_electrical_cause() {
    let text = format!(
        "{SINGLE}visit 2026-03-14 Dana\n0900 arrive\n0905 compressor off, box 37 F, evap fan on, condenser fan off\n"
    );
    let compiled = note(&text);
    let stopping = |fault| matches!(fault, Some(Fault::ContactsOpen | Fault::WeakCapacitor));
    if let Some(found) = &compiled.causes().found {
        assert!(
            found.causes.iter().all(|c| !stopping(c.hypothesis.fault)),
            "a unit that is satisfied is no fault"
        );
    }
}
