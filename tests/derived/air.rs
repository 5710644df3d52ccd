//! The values of moist air, worked with psychrolib 2.5.0.

use super::{R448A, fahrenheit, near, number, one, visit};
use rimebook::compile::Compiled;

const RTU: &str = "unit: RTU-4, rooftop air conditioner\nrefrigerant: R-410A, 9 lb\n";

#[test]
fn air_over_a_coil() {
    // psychrolib 2.5.0: 76 F with a wet bulb of 64 F to 57 F with one of 55 F, 1200 cfm of return air,
    // at sea level and at 5000 ft. J/kg, W and °F; the sensible part at the moisture of the supply air.
    for (altitude, [total, sensible, ratio, power, dew_in, dew_out, h_in, h_out]) in [
        (
            "0 ft",
            [
                13_944.80, 10_790.39, 0.773_793, 9219.86, 57.2106, 53.6159, 49_989.61, 36_044.80,
            ],
        ),
        (
            "5000 ft",
            [
                15_858.01, 10_827.45, 0.682_775, 8687.78, 58.4779, 53.8557, 56_672.29, 40_814.27,
            ],
        ),
    ] {
        let compiled = visit(
            &format!("{RTU}altitude: {altitude}\n"),
            "1130 return air 76 F, return wet bulb 64 F, supply air 57 F, supply wet bulb 55 F, airflow 1200 cfm",
        );
        near(number(&compiled, "coil-total-heat"), total, 0.1);
        near(number(&compiled, "coil-sensible-heat"), sensible, 0.1);
        near(number(&compiled, "coil-latent-heat"), total - sensible, 0.1);
        near(number(&compiled, "sensible-heat-ratio"), ratio, 1e-5);
        near(number(&compiled, "air-capacity"), power, 0.1);
        near(
            number(&compiled, "air-sensible-capacity"),
            power * ratio,
            0.2,
        );
        near(
            number(&compiled, "air-latent-capacity"),
            power * (1.0 - ratio),
            0.2,
        );
        near(fahrenheit(&compiled, "return-dew-point"), dew_in, 1e-3);
        near(fahrenheit(&compiled, "supply-dew-point"), dew_out, 1e-3);
        near(number(&compiled, "return-enthalpy"), h_in, 0.1);
        near(number(&compiled, "supply-enthalpy"), h_out, 0.1);
        let assumed = &one(&compiled, "coil-total-heat").assumptions;
        assert!(assumed[0].contains("atmosphere"), "{assumed:?}");
        assert!(
            compiled
                .derived
                .missing
                .iter()
                .all(|m| !m.formula.id.starts_with("coil"))
        );
    }
}

#[test]
fn air_shown() {
    // The same, in both systems; 9219.86 W is 31459 Btu/h. Whole degrees leave a capacity open by
    // about a seventh: the wet bulbs are what counts.
    let us = visit(
        RTU,
        "1130 return air 76 F, return wet bulb 64 F, supply air 57 F, supply wet bulb 55 F, airflow 1200 cfm",
    );
    let shown = |compiled: &Compiled, id: &str| {
        let value = one(compiled, id);
        let display = compiled.job.display;
        (
            value.text(display),
            value.resolution_text(display).unwrap_or_default(),
        )
    };
    assert_eq!(shown(&us, "return-enthalpy").0, "29.2 Btu/lb");
    assert_eq!(shown(&us, "coil-total-heat").0, "6.0 Btu/lb");
    assert_eq!(shown(&us, "air-capacity").0, "31500 Btu/h");
    let (ratio, open) = shown(&us, "sensible-heat-ratio");
    assert_eq!(ratio, "0.77");
    assert!(open.starts_with("± 0.1"), "{open}");
    // psychrolib 2.5.0: 24 °C and 50 %: dew point 12.9464 °C, h 47.815 kJ/kg.
    let metric = visit(
        RTU,
        "1130 return air 24.0 C, return rh 50.0 %, airflow 566 L/s",
    );
    assert_eq!(shown(&metric, "return-dew-point").0, "12.9 C");
    assert_eq!(shown(&metric, "return-enthalpy").0, "47.8 kJ/kg");
    // A dew point of a humidity needs no atmosphere, an enthalpy does.
    assert!(one(&metric, "return-dew-point").assumptions.is_empty());
    assert_eq!(one(&metric, "return-enthalpy").assumptions.len(), 1);
    // The last digits: 0.1 K of dry bulb and 0.1 % of humidity are 0.10 and 0.03 K of dew point.
    near(
        one(&metric, "return-dew-point").resolution.expect("steps"),
        0.10,
        0.01,
    );
}

#[test]
fn air_that_was_not_measured_or_cannot_be() {
    let because = |compiled: &Compiled, id: &str| {
        let missing = compiled.derived.missing.iter();
        missing
            .filter(|m| m.formula.id == id)
            .map(|m| m.because.clone())
            .next()
    };
    let dry = visit(RTU, "1130 return air 76 F, supply air 57 F");
    assert_eq!(
        because(&dry, "coil-total-heat").as_deref(),
        Some("not measured: return wet bulb, supply wet bulb")
    );
    // Nobody asked for it: no moisture and no airflow.
    assert_eq!(because(&dry, "air-capacity"), None);
    let half = visit(
        RTU,
        "1130 return air 76 F, return wb 64 F, supply air 57 F, supply rh 88 %",
    );
    assert_eq!(
        because(&half, "air-capacity").as_deref(),
        Some("not measured: airflow")
    );
    // Nobody wets a bulb in a freezer.
    let freezer = visit(R448A, "0912 return air 2 F, supply air -8 F");
    assert_eq!(because(&freezer, "coil-total-heat"), None);
    let crossed = visit(
        RTU,
        "1130 return air 64 F, return wb 76 F, supply air 57 F, supply wb 55 F",
    );
    assert!(crossed.derived.of("return-enthalpy").next().is_none());
    assert_eq!(
        because(&crossed, "coil-total-heat").as_deref(),
        Some("line 4: a wet bulb of 76.0 F is above the dry bulb of 64.0 F")
    );
    let late = visit(
        RTU,
        "1130 return air 76 F, return wb 64 F\n1146 supply air 57 F, supply wb 55 F",
    );
    assert!(because(&late, "coil-total-heat").is_some_and(|b| b.contains("not of one moment")));
    let iced = visit(R448A, "0912 return air 28.0 F, return wb 26.0 F");
    let assumed = &one(&iced, "return-dew-point").assumptions;
    assert_eq!(
        assumed[1],
        "return wet bulb below freezing taken as of an iced bulb"
    );
    let winter = visit(RTU, "0912 ambient 14 F, ambient rh 80 %");
    assert_eq!(
        one(&winter, "ambient-dew-point").assumptions,
        ["ambient humidity below freezing taken against saturation over ice"]
    );
}
