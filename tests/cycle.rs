//! States of a refrigerant and the cycle they make: worked examples of published books, balances
//! that must close, and what a note says of its cycle.

use super::support::note;
use rimebook::compile::Compiled;
use rimebook::derive::Value;
use rimebook::derive::state_points::{MeasuredCycle, Station};
use rimebook::quantity::{
    AbsolutePressure, SpecificEnthalpy, SpecificEntropy, Temperature, TemperatureDifference,
};
use rimebook::refrigerant::{NoState, Refrigerant, Region, State, all, lookup};

fn carried(name: &str) -> &'static Refrigerant {
    lookup(name).unwrap_or_else(|| panic!("{name} is not carried"))
}

fn kilopascal(value: f64) -> AbsolutePressure {
    AbsolutePressure::from_pascal(value * 1e3)
}

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value)
}

#[track_caller]
fn near(value: f64, expected: f64, within: f64) {
    assert!(
        (value - expected).abs() <= within,
        "{value} is not {expected} ± {within}"
    );
}

/// h of the second less h of the first, kJ/kg.
fn rise(from: &State, to: &State) -> f64 {
    (to.enthalpy.joule_per_kilogram() - from.enthalpy.joule_per_kilogram()) / 1e3
}

/// The ideal cycle between two pressures: effect, work (kJ/kg) and discharge temperature.
fn ideal(
    refrigerant: &Refrigerant,
    low: AbsolutePressure,
    high: AbsolutePressure,
) -> (f64, f64, f64) {
    let vapour = refrigerant.saturated_vapour(low).expect("in range");
    let liquid = refrigerant.saturated_liquid(high).expect("in range");
    let hot = refrigerant
        .at_entropy(high, vapour.entropy)
        .expect("in range");
    (
        rise(&liquid, &vapour),
        rise(&vapour, &hot),
        hot.temperature.celsius(),
    )
}

/// ASHRAE Handbook Fundamentals, chapter 2 (thermodynamics and refrigeration cycles), the example of
/// a theoretical single-stage R-134a cycle between −20 and 30 °C for 50 kW: h 386.55, 423.07 and
/// 241.72 kJ/kg, 37.8 °C, COP 3.97, 0.345 kg/s (figures from memory).
#[test]
fn handbook_single_stage_cycle() {
    let r134a = carried("R-134a");
    let low = r134a.dew_pressure(celsius(-20.0)).expect("in range");
    let high = r134a.bubble_pressure(celsius(30.0)).expect("in range");
    near(low.pascal() / 1e3, 132.73, 0.1);
    near(high.pascal() / 1e3, 770.20, 0.3);
    let vapour = r134a.saturated_vapour(low).expect("in range");
    near(vapour.enthalpy.joule_per_kilogram() / 1e3, 386.55, 0.05);
    near(
        vapour.entropy.joule_per_kilogram_kelvin() / 1e3,
        1.7413,
        2e-4,
    );
    near(
        1.0 / vapour.density.kilogram_per_cubic_metre(),
        0.14739,
        1e-4,
    );
    let (effect, work, hot) = ideal(r134a, low, high);
    near(effect, 386.55 - 241.72, 0.1);
    near(work, 423.07 - 386.55, 0.1);
    near(hot, 37.8, 0.1);
    near(effect / work, 3.97, 0.01);
    near(50.0 / effect, 0.345, 0.001);
}

/// Çengel and Boles, Thermodynamics: An Engineering Approach, example 11–1: ideal R-134a cycle
/// between 0.14 and 0.8 MPa, h 239.16, 275.39 and 95.47 kJ/kg, COP 3.97 (figures from memory).
/// Moran and Shapiro, Fundamentals of Engineering Thermodynamics, example 10.1: between 0 and 26 °C,
/// h 247.23, 264.7 and 85.75 kJ/kg, COP 9.24 (figures from memory); that book's tables rest on an
/// older equation and run 0.7 % lower, so only the hundredth is held.
#[test]
fn textbook_cycles() {
    let r134a = carried("R-134a");
    let (effect, work, _) = ideal(r134a, kilopascal(140.0), kilopascal(800.0));
    near(effect, 239.16 - 95.47, 0.3);
    near(work, 275.39 - 239.16, 0.3);
    near(effect / work, 3.97, 0.03);
    let low = r134a.dew_pressure(celsius(0.0)).expect("in range");
    let high = r134a.bubble_pressure(celsius(26.0)).expect("in range");
    let (effect, work, _) = ideal(r134a, low, high);
    near(effect, 247.23 - 85.75, 1.7);
    near(work, 264.7 - 247.23, 0.2);
    near(effect / work, 9.24, 0.15);
}

/// Latent heats at 0 °C, kJ/kg: ASHRAE Handbook Fundamentals, thermophysical properties of
/// refrigerants, tables of and R-744 (figures from memory).
#[test]
fn handbook_latent_heats() {
    for (name, latent) in [("R-22", 205.05), ("R-134a", 198.60), ("R-744", 230.89)] {
        let refrigerant = carried(name);
        let pressure = refrigerant.dew_pressure(celsius(0.0)).expect("in range");
        let vapour = refrigerant.saturated_vapour(pressure).expect("in range");
        let liquid = refrigerant.saturated_liquid(pressure).expect("in range");
        near(rise(&liquid, &vapour), latent, 0.15);
    }
}

/// Every refrigerant: the zeros of enthalpy and entropy, the order of the phases, and that what goes
/// in by pressure and enthalpy or entropy comes out again.
#[test]
fn states_are_consistent() {
    for refrigerant in all() {
        let (low, high) = refrigerant.temperature_range();
        for share in [0.05, 0.3, 0.6, 0.9] {
            let kelvin = low.kelvin() + share * (high.kelvin() - low.kelvin());
            let temperature = Temperature::from_kelvin(kelvin);
            let pressure = refrigerant.dew_pressure(temperature).expect("in range");
            // A wide glide's bubble line begins at a higher pressure than its dew line.
            let Ok(liquid) = refrigerant.saturated_liquid(pressure) else {
                assert!(share < 0.1, "{refrigerant} {kelvin}");
                continue;
            };
            let vapour = refrigerant.saturated_vapour(pressure).expect("vapour");
            assert!(vapour.density < liquid.density, "{refrigerant} {kelvin}");
            assert!(vapour.enthalpy > liquid.enthalpy, "{refrigerant} {kelvin}");
            // Clapeyron: at a pure fluid's saturation, latent heat is temperature times entropy.
            if refrigerant.composition.len() == 1 {
                let heat = rise(&liquid, &vapour) * 1e3;
                let by_entropy = kelvin
                    * (vapour.entropy.joule_per_kilogram_kelvin()
                        - liquid.entropy.joule_per_kilogram_kelvin());
                near(heat, by_entropy, 1e-4 * heat + 1.0);
            }
            let warm = Temperature::from_kelvin(vapour.temperature.kelvin() + 30.0);
            let Ok(state) = refrigerant.vapour(pressure, warm) else {
                continue; // above the range of the equation
            };
            for again in [
                refrigerant.at_enthalpy(pressure, state.enthalpy),
                refrigerant.at_entropy(pressure, state.entropy),
            ] {
                let again = again.unwrap_or_else(|e| panic!("{refrigerant} {kelvin}: {e}"));
                near(again.temperature.kelvin(), warm.kelvin(), 1e-4);
            }
            let half = SpecificEnthalpy::from_joule_per_kilogram(
                (vapour.enthalpy.joule_per_kilogram() + liquid.enthalpy.joule_per_kilogram()) / 2.0,
            );
            let wet = refrigerant.at_enthalpy(pressure, half).expect("wet");
            let Region::TwoPhase(quality) = wet.region else {
                panic!("{refrigerant} {kelvin}: not wet")
            };
            near(quality, 0.5, 1e-9);
        }
    }
    let reference = carried("R-134a")
        .bubble_pressure(celsius(0.0))
        .expect("in range");
    let liquid = carried("R-134a")
        .saturated_liquid(reference)
        .expect("in range");
    near(liquid.enthalpy.joule_per_kilogram(), 200e3, 5.0);
    near(liquid.entropy.joule_per_kilogram_kelvin(), 1e3, 0.02);
}

/// What a throttle leaves of a blend: share of vapour by mass and temperature at an enthalpy above the
/// bubble point's, 3.77 bar (CoolProp 8.0.0, PQ flashes of R448A.mix, R455A.mix and R407A.mix). The
/// straight line between the phases is held to what `state.rs` says of it.
#[test]
fn wet_blends_bow_no_more_than_stated() {
    for (name, rise, share, kelvin, within) in [
        ("R-448A", 42_703.0, 0.1829, 259.273, (0.025, 0.55)),
        ("R-448A", 107_497.0, 0.4718, 260.985, (0.025, 0.55)),
        ("R-455A", 44_247.0, 0.1639, 257.311, (0.06, 1.7)),
        ("R-455A", 109_682.0, 0.4463, 261.427, (0.06, 1.7)),
        ("R-407A", 62_124.0, 0.2871, 260.982, (0.01, 0.4)),
    ] {
        let refrigerant = carried(name);
        let pressure = kilopascal(377.0);
        let liquid = refrigerant.saturated_liquid(pressure).expect("in range");
        let enthalpy =
            SpecificEnthalpy::from_joule_per_kilogram(liquid.enthalpy.joule_per_kilogram() + rise);
        let wet = refrigerant.at_enthalpy(pressure, enthalpy).expect("wet");
        let Region::TwoPhase(found) = wet.region else {
            panic!("{name}: not wet")
        };
        near(found, share, within.0);
        near(wet.temperature.kelvin(), kelvin, within.1);
    }
}

#[test]
fn what_is_no_single_phase_is_refused() {
    let r448a = carried("R-448A");
    let pressure = kilopascal(400.0);
    let dew = r448a.dew_temperature(pressure).expect("in range");
    let cold = Temperature::from_kelvin(dew.kelvin() - 3.0);
    let refused = r448a.vapour(pressure, cold).expect_err("wet");
    assert!(matches!(refused, NoState::Wet { .. }));
    assert_eq!(
        refused.to_string(),
        "R-448A is 5.4 F colder there than its dew point: it is not all vapor, and how much \
         liquid it carries cannot be told from pressure and temperature"
    );
    let bubble = r448a.bubble_temperature(pressure).expect("in range");
    let warm = Temperature::from_kelvin(bubble.kelvin() + 1.0);
    assert!(matches!(
        r448a.liquid(pressure, warm),
        Err(NoState::Flashing { above_bubble, .. })
            if (above_bubble.kelvin() - 1.0).abs() < 1e-6
    ));
    for pascal in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let pressure = AbsolutePressure::from_pascal(pascal);
        assert!(r448a.vapour(pressure, warm).is_err(), "{pascal}");
        let entropy = SpecificEntropy::from_joule_per_kilogram_kelvin(1e3);
        assert!(r448a.at_entropy(pressure, entropy).is_err(), "{pascal}");
    }
    for joule in [-1e7, 1e7, f64::NAN] {
        let enthalpy = SpecificEnthalpy::from_joule_per_kilogram(joule);
        assert!(r448a.at_enthalpy(pressure, enthalpy).is_err(), "{joule}");
    }
    for kelvin in [f64::NAN, 0.0, 2000.0] {
        let temperature = Temperature::from_kelvin(kelvin);
        assert!(r448a.vapour(pressure, temperature).is_err(), "{kelvin}");
    }
}

/// A note of one moment.
fn cycle_note(head: &str, readings: &str) -> Compiled {
    note(&format!(
        "{head}visit 2026-03-14 Dana R.\n0900 arrive\n0912 {readings}\n0930 depart\n"
    ))
}

#[track_caller]
fn value(compiled: &Compiled, id: &str) -> Value {
    let found: Vec<_> = compiled
        .values()
        .into_iter()
        .filter(|d| d.formula.id == id)
        .collect();
    match found[..] {
        [one] => one.value,
        _ => panic!("{} values of {id}", found.len()),
    }
}

fn has(compiled: &Compiled, id: &str) -> bool {
    compiled.values().iter().any(|d| d.formula.id == id)
}

fn only_cycle(compiled: &Compiled) -> &MeasuredCycle {
    match &compiled.energy().cycles[..] {
        [one] => one,
        several => panic!("{} cycles", several.len()),
    }
}

const FREEZER: &str = "unit: WIF-2, walk-in freezer\nrefrigerant: R-134a, 22 lb\n";
const FREEZER_READINGS: &str = "suction 132.73 kPaa, suction line -10 C, discharge 770.2 kPaa, \
     liquid line 25 C, discharge line 60 C, ambient 20 C";

/// The energy balance closes, and every value is the one its definition gives.
#[test]
fn a_note_gives_its_cycle() {
    let compiled = cycle_note(FREEZER, FREEZER_READINGS);
    let cycle = only_cycle(&compiled);
    let state = |station| cycle.at(station).expect("measured").state;
    let (inlet, hot) = (state(Station::CompressorIn), state(Station::Discharge));
    let (before, after) = (
        state(Station::BeforeExpansion),
        state(Station::AfterExpansion),
    );
    near(inlet.temperature.celsius(), -10.0, 1e-9);
    near(rise(&before, &after), 0.0, 1e-6);
    near(after.temperature.celsius(), -20.0, 0.01);
    // R-134a, superheated 10 K at −20 °C: 395.0 kJ/kg within 0.5 (ASHRAE Fundamentals tables of
    // superheated vapour, from memory).
    near(inlet.enthalpy.joule_per_kilogram() / 1e3, 394.8, 0.6);
    let effect = value(&compiled, "refrigerating-effect").number();
    let work = value(&compiled, "compression-work").number();
    let rejected = value(&compiled, "heat-rejected").number();
    near(effect + work, rejected, 1e-6);
    near(value(&compiled, "cop").number(), effect / work, 1e-12);
    near(effect / 1e3, rise(&after, &inlet), 1e-9);
    near(work / 1e3, rise(&inlet, &hot), 1e-9);
    // Ideal work over measured work.
    let ideal = carried("R-134a")
        .at_entropy(hot.pressure, inlet.entropy)
        .expect("in range");
    near(
        value(&compiled, "isentropic-efficiency").number(),
        100.0 * rise(&inlet, &ideal) / rise(&inlet, &hot),
        1e-9,
    );
    let Value::Temperature(without_losses) = value(&compiled, "ideal-discharge-temperature") else {
        panic!("a temperature")
    };
    near(without_losses.kelvin(), ideal.temperature.kelvin(), 1e-9);
    let Value::TemperatureBand(low, high) = value(&compiled, "expected-discharge-temperature")
    else {
        panic!("a band")
    };
    assert!(without_losses < low && low < high);
    let Region::TwoPhase(share) = after.region else {
        panic!("flash gas expected")
    };
    near(value(&compiled, "flash-gas").number(), 100.0 * share, 1e-9);
    // The liquid flashes where its line ends: subcooling, in pressure and in temperature.
    near(
        value(&compiled, "liquid-flash-temperature").number(),
        303.15,
        0.02,
    );
    let drop = value(&compiled, "liquid-flash-drop").number();
    let at_25 = carried("R-134a")
        .bubble_pressure(celsius(25.0))
        .expect("in range");
    near(drop, 770.2e3 - at_25.pascal(), 1.0);
}

#[test]
fn displacement_and_ratings_give_flow_and_capacity() {
    assert!(!has(
        &cycle_note(FREEZER, FREEZER_READINGS),
        "capacity-swept"
    ));
    let swept = cycle_note(
        &format!("{FREEZER}displacement: 29.7 m3/h\n"),
        FREEZER_READINGS,
    );
    let flow = value(&swept, "mass-flow-swept").number();
    let density = only_cycle(&swept)
        .at(Station::CompressorIn)
        .expect("measured")
        .state
        .density
        .kilogram_per_cubic_metre();
    // 1 − 0.05 ((770.2/132.73)^(1/1.1) − 1) = 1 − 0.05 × 3.945 = 0.803
    near(flow, 29.7 / 3600.0 * density * 0.803, 1e-3 * flow);
    let effect = value(&swept, "refrigerating-effect").number();
    near(
        value(&swept, "capacity-swept").number(),
        flow * effect,
        1e-6,
    );
    assert!(has(&swept, "heat-rejection-swept"));
    // The same on the nameplate line.
    let plate = cycle_note(
        &format!("{FREEZER}nameplate: 208 V 3 ph, displacement 29.7 m3/h\n"),
        FREEZER_READINGS,
    );
    near(value(&plate, "mass-flow-swept").number(), flow, 1e-12);

    // A made-up polynomial whose every term can be told: S = −20 °C, D = 30 °C.
    let rated = cycle_note(
        &format!(
            "{FREEZER}mass flow coefficients: 100 2 -1 0.1 0.01 0.001 1e-3 1e-4 1E-5 1e-6, kg/h, C, 10 K superheat\n\
             power coefficients: 1.5 0 0 0 0 0 0 0 0 0 kW C\n"
        ),
        FREEZER_READINGS,
    );
    assert!(rated.diagnostics.is_empty(), "{:?}", rated.diagnostics);
    // 100 − 40 − 30 + 40 − 6 + 0.9 − 8 + 1.2 − 0.18 + 0.027 = 57.947 kg/h; rated at the superheat
    // measured, so nothing is corrected.
    near(
        value(&rated, "mass-flow-rated").number() * 3600.0,
        57.947,
        0.02,
    );
    near(value(&rated, "power-rated").number(), 1500.0, 1e-9);
    let joined = cycle_note(
        &format!("{FREEZER}mass flow coefficients: 100 0 0 0 0 0 0 0 0 0 lb/h F 65F return gas\n"),
        FREEZER_READINGS,
    );
    assert!(has(&joined, "mass-flow-rated"));
    // Rated at 20 °F where nothing is said: the measured 10 K (18 °F) is a little denser.
    let silent = cycle_note(
        &format!("{FREEZER}mass flow coefficients: 100 0 0 0 0 0 0 0 0 0 kg/h C\n"),
        FREEZER_READINGS,
    );
    let flow = value(&silent, "mass-flow-rated").number() * 3600.0;
    assert!((100.0..101.0).contains(&flow), "{flow}");
}

#[test]
fn a_bad_rating_costs_only_its_line() {
    for (line, what) in [
        (
            "mass flow coefficients: 1 2 3 lb/h F",
            "has 3 numbers in a row, not ten",
        ),
        (
            "mass flow coefficients: 1 2 3 4 5 6 7 8 9 10",
            "unit of the result",
        ),
        (
            "mass flow coefficients: 1 2 3 4 5 6 7 8 9 10 lb/h",
            "in F or C",
        ),
        (
            "power coefficients: 1 2 3 4 5 6 7 8 9 10 lb/h F",
            "unit of the result",
        ),
        (
            "mass flow coefficients: 1 2 3 4 5 6 7 8 9 10 lb/h F warm",
            "neither `20 F superheat` nor `65 F return gas`",
        ),
        (
            "mass flow coefficients: 1,234.5 3 0 0 0 0 0 0 0 lb/h F",
            "comma between two digits",
        ),
        ("displacement: 12 lb", "is no swept volume in a time"),
    ] {
        let compiled = cycle_note(&format!("{FREEZER}{line}\n"), FREEZER_READINGS);
        let said = compiled
            .diagnostics
            .iter()
            .any(|d| d.message.contains(what));
        assert!(said, "{line}: {:?}", compiled.diagnostics);
        assert!(has(&compiled, "refrigerating-effect"), "{line}");
    }
}

/// Above the critical pressure there is a gas cooler: cycle and approach, but no condensing.
#[test]
fn transcritical_carbon_dioxide() {
    let compiled = cycle_note(
        "unit: rack A\nrefrigerant: R-744\n",
        "suction 28 bar, suction line 0 C, discharge 90 bar, gas cooler outlet 35 C, \
         discharge line 105 C, ambient 31 C",
    );
    for absent in [
        "condensing-temperature",
        "subcooling",
        "condenser-split",
        "liquid-flash-temperature",
    ] {
        assert!(!has(&compiled, absent), "{absent}");
    }
    let approach = value(&compiled, "gas-cooler-approach")
        .difference()
        .expect("a difference");
    near(approach.kelvin(), 4.0, 1e-9);
    let cycle = only_cycle(&compiled);
    let outlet = cycle.at(Station::CondenserOut).expect("measured");
    assert_eq!(outlet.state.region, Region::Supercritical);
    let Region::TwoPhase(share) = cycle
        .at(Station::AfterExpansion)
        .expect("derived")
        .state
        .region
    else {
        panic!("flash gas expected")
    };
    // About 43 % vapour: h 295.6 kJ/kg at 91 bar and 35 °C between 185.6 and 435.1 at 29 bar
    // (CoolProp 8.0.0, PropsSI).
    near(share, 0.44, 0.02);
    assert!(has(&compiled, "refrigerating-effect"));
    assert!(has(&compiled, "expected-discharge-temperature"));
    let why = compiled
        .derived
        .missing
        .iter()
        .find(|m| m.formula.id == "condenser-split")
        .expect("said");
    assert!(
        why.because.contains("above its critical pressure"),
        "{}",
        why.because
    );
}

/// Missing and impossible readings say so and leave the rest.
#[test]
fn what_is_not_measured_is_said() {
    let compiled = cycle_note(
        FREEZER,
        "suction 132.73 kPaa, suction line -10 C, discharge 770.2 kPaa",
    );
    assert!(has(&compiled, "expected-discharge-temperature"));
    assert!(!has(&compiled, "refrigerating-effect"));
    let why = &compiled.energy().missing[0].because;
    assert_eq!(why, "not measured: liquid line");
    // Warmer than its bubble point: it flashes, and its enthalpy is not known.
    let flashing = cycle_note(
        FREEZER,
        "suction 132.73 kPaa, suction line -10 C, discharge 770.2 kPaa, liquid line 35 C",
    );
    assert!(!has(&flashing, "flash-gas"));
    let why = refused(&flashing, "before expansion");
    assert!(why.contains("warmer there than its bubble point"), "{why}");
    // Half a kelvin is within what a clamp shows: taken on the line, and said.
    let close = cycle_note(
        FREEZER,
        "suction 132.73 kPaa, suction line -10 C, discharge 770.2 kPaa, liquid line 30.4 C",
    );
    let before = only_cycle(&close)
        .at(Station::BeforeExpansion)
        .expect("taken");
    assert!(
        before
            .assumptions
            .iter()
            .any(|a| a.contains("taken on the line"))
    );
    // Equal pressures are no cycle.
    let standing = cycle_note(
        FREEZER,
        "suction 500 kPaa, discharge 500 kPaa, suction line 20 C",
    );
    assert!(standing.energy().cycles.is_empty());
    assert!(standing.energy().missing.is_empty());
}

/// Two circuits are two cycles, each with its own readings.
#[test]
fn circuits_keep_apart() {
    let compiled = cycle_note(
        "unit: RTU-1, rooftop\nrefrigerant: R-410A\n",
        "circuit A suction 118 psig, circuit A suction line 55 F, circuit A discharge 370 psig, circuit A liquid line 100 F\n\
         0914 circuit B suction 90 psig, circuit B suction line 60 F, circuit B discharge 330 psig, circuit B liquid line 90 F",
    );
    let effects: Vec<_> = compiled
        .values()
        .into_iter()
        .filter(|d| d.formula.id == "refrigerating-effect")
        .map(|d| d.which.clone())
        .collect();
    assert_eq!(effects.len(), 2, "{effects:?}");
    assert!(effects[0] != effects[1]);
    // Lines without a label are lent to neither of two circuits.
    let lent = cycle_note(
        "unit: RTU-1, rooftop\nrefrigerant: R-410A\n",
        "circuit A suction 118 psig, circuit B suction 90 psig, circuit A discharge 370 psig, \
         circuit B discharge 330 psig\n0913 suction line 55 F, liquid line 100 F",
    );
    assert!(!has(&lent, "refrigerating-effect") && !has(&lent, "superheat"));
}

/// Why something of the only cycle is not given.
#[track_caller]
fn refused<'a>(compiled: &'a Compiled, what: &str) -> &'a str {
    let refused = &only_cycle(compiled).refused;
    match refused.iter().find(|(name, _)| *name == what) {
        Some((_, why)) => why,
        None => panic!("{what} is not among {refused:?}"),
    }
}

/// A gas cooler's outlet is at discharge pressure; behind a receiver a kilogram compressed is not a
/// kilogram evaporated, so neither COP nor capacity is given.
#[test]
fn transcritical_with_a_receiver() {
    let compiled = cycle_note(
        "unit: rack A\nrefrigerant: R-744\n",
        "suction 28 bar, suction line -1 C, discharge 97 bar, discharge line 112 C, \
         gas cooler outlet 38 C, liquid pressure 35 bar, liquid line 0 C",
    );
    let outlet = only_cycle(&compiled)
        .at(Station::CondenserOut)
        .expect("measured");
    near(outlet.state.pressure.pascal(), 97e5 + 101_325.0, 1.0);
    // h(98 bar, 112 C) − h(98 bar, 38 C), CoolProp 8.0.0 by an independent run: 218.2 kJ/kg.
    near(value(&compiled, "heat-rejected").number() / 1e3, 218.2, 0.3);
    assert!(!has(&compiled, "cop"));
    assert!(refused(&compiled, "cycle COP").contains("does not pass the evaporator"));
    // Without the receiver's pressure the liquid line says nothing.
    let unread = cycle_note(
        "unit: rack A\nrefrigerant: R-744\n",
        "suction 28 bar, suction line -1 C, discharge 97 bar, liquid line 15 C",
    );
    assert!(!has(&unread, "refrigerating-effect"));
    assert!(refused(&unread, "before expansion").contains("its own was not measured"));
}

/// What is at rest or in defrost is no cycle, whatever its gauges read.
#[test]
fn no_cycle_at_rest() {
    for state in ["compressor off", "defrost called", "compressor 0 A"] {
        let compiled = cycle_note(FREEZER, &format!("{state}, {FREEZER_READINGS}"));
        assert!(compiled.energy().cycles.is_empty(), "{state}");
    }
    let running = cycle_note(FREEZER, &format!("compressor running, {FREEZER_READINGS}"));
    assert!(has(&running, "cop"));
}

/// Pressure and temperature of one state are read together, or the state is refused.
#[test]
fn a_state_is_of_one_moment() {
    let compiled = note(&format!(
        "{FREEZER}visit 2026-03-14 Dana R.\n0846 discharge 770.2 kPaa\n\
         0900 suction 132.73 kPaa, suction line -10 C\n0914 liquid line 25 C, discharge line 60 C\n"
    ));
    assert!(refused(&compiled, "compressor out").contains("not read within 15 minutes"));
    for absent in ["cop", "refrigerating-effect", "compression-work"] {
        assert!(!has(&compiled, absent), "{absent}");
    }
}

/// A discharge line colder than compression without loss could leave it belongs to something else.
#[test]
fn an_impossible_compression_is_withheld() {
    let compiled = cycle_note(
        FREEZER,
        "suction 132.73 kPaa, suction line -10 C, discharge 770.2 kPaa, liquid line 25 C, \
         discharge line 40 C",
    );
    for absent in [
        "cop",
        "compression-work",
        "isentropic-efficiency",
        "heat-rejected",
    ] {
        assert!(!has(&compiled, absent), "{absent}");
    }
    assert!(refused(&compiled, "compression efficiency").contains("colder than compression"));
    assert!(has(&compiled, "refrigerating-effect"));
}

#[test]
fn a_refused_reading_is_not_replaced_by_another() {
    // The evaporator's outlet is wet: the compressor's inlet does not stand in for it.
    let wet = cycle_note(
        FREEZER,
        "suction 132.73 kPaa, suction line -25 C, compressor inlet 5 C, discharge 770.2 kPaa, \
         liquid line 25 C",
    );
    assert!(refused(&wet, "evaporator out").contains("colder there than its dew point"));
    assert!(!has(&wet, "refrigerating-effect"));
    // A liquid pressure under suction is not passed over for the discharge gauge.
    let crossed = cycle_note(
        FREEZER,
        "suction 132.73 kPaa, suction line -10 C, discharge 770.2 kPaa, liquid pressure 120 kPaa, \
         liquid line 25 C",
    );
    assert!(refused(&crossed, "before expansion").contains("is not above suction"));
    assert!(!has(&crossed, "flash-gas"));
}

/// The liquid side needs no discharge gauge.
#[test]
fn liquid_pressure_serves_without_discharge() {
    let compiled = cycle_note(
        FREEZER,
        "suction 132.73 kPaa, suction line -10 C, liquid pressure 770.2 kPaa, liquid line 25 C",
    );
    assert!(has(&compiled, "refrigerating-effect"));
    assert!(has(&compiled, "liquid-flash-drop"));
    assert!(!has(&compiled, "ideal-discharge-temperature"));
}

#[test]
fn flows_outside_what_is_known_are_withheld() {
    let zero = "mass flow coefficients: 0 0 0 0 0 0 0 0 0 0 kg/h C\n\
                power coefficients: -5 0 0 0 0 0 0 0 0 0 W C\n";
    let compiled = cycle_note(&format!("{FREEZER}{zero}"), FREEZER_READINGS);
    for what in ["mass flow, rated", "power, rated"] {
        assert!(
            refused(&compiled, what).contains("outside the range"),
            "{what}"
        );
    }
    let steep = cycle_note(
        &format!("{FREEZER}displacement: 29.7 m3/h\n"),
        "suction 20 kPaa, suction line -10 C, discharge 770.2 kPaa, liquid line 25 C",
    );
    assert!(refused(&steep, "mass flow, swept").contains("compression ratio of 39"));
    let none = cycle_note(
        &format!("{FREEZER}nameplate: 208 V 3 ph, displacement 0 cfh\n"),
        FREEZER_READINGS,
    );
    assert!(!has(&none, "mass-flow-swept"));
}

/// Both sides of what is believed of a compressor: the ratio at which its volumetric efficiency is
/// still 0.3, 15^1.1 = 19.67; 30 kg/s; 2 MW.
#[test]
fn flows_are_given_up_to_what_a_compressor_does() {
    let swept = |suction: &str| {
        cycle_note(
            &format!("{FREEZER}displacement: 29.7 m3/h\n"),
            &format!(
                "suction {suction} kPaa, suction line -10 C, discharge 770.2 kPaa, liquid line 25 C"
            ),
        )
    };
    // 770.2 ÷ 39.3 = 19.60, ÷ 39.0 = 19.75.
    assert!(has(&swept("39.3"), "mass-flow-swept"));
    assert!(refused(&swept("39.0"), "mass flow, swept").contains("compression ratio of 20"));

    let rated = |line: &str| cycle_note(&format!("{FREEZER}{line}\n"), FREEZER_READINGS);
    let flow = |kilogram: &str| {
        rated(&format!(
            "mass flow coefficients: {kilogram} 0 0 0 0 0 0 0 0 0 kg/h C"
        ))
    };
    assert!(has(&flow("107990"), "mass-flow-rated"));
    assert!(refused(&flow("108010"), "mass flow, rated").contains("outside the range"));
    let power = |watt: &str| rated(&format!("power coefficients: {watt} 0 0 0 0 0 0 0 0 0 W C"));
    assert!(has(&power("1999000"), "power-rated"));
    assert!(refused(&power("2001000"), "power, rated").contains("outside the range"));
}

/// Estimated data says so with every value that rests on it.
#[test]
fn estimates_are_marked() {
    let compiled = cycle_note(
        "unit: WIC-1, walk-in cooler\nrefrigerant: R-401A\n",
        "suction 20 psig, suction line 35 F",
    );
    let marked = |id: &str| {
        compiled
            .values()
            .iter()
            .any(|d| d.formula.id == id && d.assumptions.iter().any(|a| a.contains("is estimated")))
    };
    assert!(marked("superheat") && marked("evaporating-temperature"));
    let exact = cycle_note(FREEZER, FREEZER_READINGS);
    let unmarked =
        |d: &&rimebook::derive::Derived| d.assumptions.iter().all(|a| !a.contains("is estimated"));
    assert!(exact.values().iter().all(unmarked));
}

/// The diagram's curves: a closed dome, isotherms that are straight in pressure under it, isentropes
/// that rise with pressure.
#[test]
fn diagram_is_ready_for_plotting() {
    for name in ["R-448A", "R-290", "R-744"] {
        let refrigerant = carried(name);
        let (low, high) = (kilopascal(200.0), kilopascal(12_000.0));
        let low = match name {
            "R-744" => kilopascal(1_000.0),
            _ => low,
        };
        let vapour = refrigerant.saturated_vapour(low).expect("in range");
        let diagram = refrigerant.pressure_enthalpy(
            low,
            high,
            &[celsius(-10.0), celsius(20.0), celsius(120.0)],
            &[vapour.entropy],
        );
        assert_eq!(diagram.bubble.len(), 60, "{name}");
        assert_eq!(diagram.dew.len(), 60, "{name}");
        assert!(
            diagram.bubble.is_sorted_by(|a, b| a.0 < b.0 && a.1 < b.1),
            "{name}"
        );
        let (bubble, dew) = (diagram.bubble[59], diagram.dew[59]);
        let width = diagram.dew[0].0 - diagram.bubble[0].0;
        assert!((dew.0 - bubble.0) < 0.5 * width, "{name}: closes upwards");
        assert_eq!(diagram.isotherms.len(), 3, "{name}");
        for isotherm in &diagram.isotherms {
            let falls = isotherm
                .curve
                .windows(2)
                .all(|w| w[1].1 <= w[0].1 * (1.0 + 1e-9));
            assert!(falls, "{name} {}", isotherm.value);
        }
        let [isentrope] = &diagram.isentropes[..] else {
            panic!("{name}: one isentrope")
        };
        assert!(
            isentrope.curve.is_sorted_by(|a, b| a.0 > b.0 && a.1 > b.1),
            "{name}"
        );
    }
}

#[test]
fn bands_widen_with_the_ratio() {
    let band = |discharge: &str| {
        let readings =
            format!("suction 132.73 kPaa, suction line -10 C, discharge {discharge} kPaa");
        match value(
            &cycle_note(FREEZER, &readings),
            "expected-discharge-temperature",
        ) {
            Value::TemperatureBand(low, high) => high - low,
            other => panic!("{other:?}"),
        }
    };
    assert!(band("600") < band("1200"));
    assert!(band("600") > TemperatureDifference::from_kelvin(3.0));
}
