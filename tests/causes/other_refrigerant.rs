//! A unit that holds another refrigerant than its note says: a healthy cycle of the one, read with
//! the saturation of the other.

use super::support::note;
use rimebook::quantity::{AbsolutePressure, Temperature};
use rimebook::refrigerant::{Refrigerant, lookup};
use rimebook::vocabulary::faults::Fault;

fn psig(refrigerant: &Refrigerant, fahrenheit: f64, bubble: bool) -> f64 {
    let at = Temperature::from_fahrenheit(fahrenheit);
    let pressure: AbsolutePressure = match bubble {
        true => refrigerant.bubble_pressure(at).expect("in range"),
        false => refrigerant.dew_pressure(at).expect("in range"),
    };
    pressure.pascal() / 6894.757 - 14.696
}

/// A walk-in cooler at 36 F that runs well on `held`: 25 F evaporating, 8 F superheat, condensing
/// 22 F above 75 F, 8 F subcooling; its note says `stated`.
fn of(stated: &str, held: &str) -> String {
    let held = lookup(held).expect("a refrigerant");
    let (suction, discharge) = (psig(held, 25.0, false), psig(held, 97.0, true));
    format!(
        "unit: WIC-1, walk-in cooler\nrefrigerant: {stated}, 10 lb\nmetering: txv, receiver\n\
         setpoint: 36 F\ndesign td: 11 F\ntarget superheat: 8 F\ntarget subcooling: 6 F\ndesign split: 20 F\n\
         visit 2026-03-14 Dana\n0900 arrive\n\
         0905 suction {suction:.1} psig, suction line 33 F, discharge {discharge:.1} psig\n\
         0906 liquid line 89 F, ambient 75 F, box 36.5 F, return air 36.5 F, supply air 28 F\n"
    )
}

#[test]
fn pressures_of_another_refrigerant_are_told() {
    for (stated, held) in [
        ("R-404A", "R-134a"),
        ("R-134a", "R-22"),
        ("R-22", "R-404A"),
        ("R-404A", "R-22"),
        ("R-448A", "R-134a"),
        ("R-134a", "R-290"),
    ] {
        let compiled = note(&of(stated, held));
        let found = compiled.causes().found.as_ref().expect("a ranking");
        let first = &found.causes[0];
        assert_eq!(
            first.hypothesis.fault,
            Some(Fault::OtherRefrigerant),
            "{held} in a unit of {stated}: {} first",
            first.hypothesis.name
        );
        // The one it holds, or one whose curve is within a few degrees of it.
        let fits =
            lookup(first.fits.first().copied().expect("one fits best")).expect("a refrigerant");
        let held = lookup(held).expect("a refrigerant");
        let apart = psig(fits, 25.0, false) - psig(held, 25.0, false);
        assert!(apart.abs() < 5.0, "{} for {}", fits.name, held.name);
    }
}

#[test]
fn the_refrigerant_of_the_note_is_not_doubted_when_it_fits() {
    for stated in ["R-404A", "R-134a", "R-22", "R-448A", "R-290"] {
        let compiled = note(&of(stated, stated));
        let found = compiled.causes().found.as_ref().expect("a ranking");
        assert_eq!(found.causes[0].hypothesis.fault, None, "{stated}");
    }
}
