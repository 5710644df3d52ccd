//! Numbers as typed, units, and the conversions between them.

use rimebook::quantity::{
    AbsolutePressure, Atmosphere, AtmosphereBasis, Dimension, GaugePressure, Length, Mass, Number,
    Quantity, Temperature, TemperatureDifference, UNITS, Unit, fixed, lookup_unit,
    sealed_gas_pressure,
};

/// Asserts closeness in the digits that a table prints.
#[track_caller]
fn near(value: f64, expected: f64, within: f64) {
    assert!(
        (value - expected).abs() <= within,
        "{value} is not {expected} ± {within}"
    );
}

fn number(text: &str) -> Number {
    Number::parse(text).unwrap_or_else(|| panic!("`{text}` is a number"))
}

/// The quantity of `12.5 psig`: the first unit of that spelling and dimension.
fn quantity(value: &str, unit: &str, dimension: Dimension) -> Quantity {
    let unit = lookup_unit(unit)
        .iter()
        .copied()
        .find(|u| u.dimension() == dimension)
        .unwrap_or_else(|| panic!("`{unit}` is a unit of {}", dimension.name()));
    unit.quantity(number(value))
}

fn pressure(value: &str, unit: &str) -> AbsolutePressure {
    match quantity(value, unit, Dimension::Pressure) {
        Quantity::Gauge(p) => p.absolute(Atmosphere::SEA_LEVEL),
        Quantity::Absolute(p) => p,
        other => panic!("{other:?}"),
    }
}

fn temperature(value: &str, unit: &str) -> Temperature {
    match quantity(value, unit, Dimension::Temperature) {
        Quantity::Temperature(t) => t,
        other => panic!("{other:?}"),
    }
}

fn difference(value: &str, unit: &str) -> TemperatureDifference {
    match quantity(value, unit, Dimension::TemperatureDifference) {
        Quantity::TemperatureDifference(d) => d,
        other => panic!("{other:?}"),
    }
}

fn micron(value: &str, unit: &str) -> f64 {
    match quantity(value, unit, Dimension::Vacuum) {
        Quantity::Vacuum(v) => v.micron(),
        other => panic!("{other:?}"),
    }
}

fn mass(parts: &[(&str, &str)]) -> Mass {
    parts
        .iter()
        .map(
            |(value, unit)| match quantity(value, unit, Dimension::Mass) {
                Quantity::Mass(m) => m,
                other => panic!("{other:?}"),
            },
        )
        .sum()
}

#[test]
fn numbers_are_exact() {
    for (text, ratio) in [
        ("4.2", (42, 10)),
        ("-5", (-5, 1)),
        ("−5", (-5, 1)),
        ("–5", (-5, 1)),
        ("+5", (5, 1)),
        (".5", (5, 10)),
        ("0.05", (5, 100)),
        ("1,200", (1200, 1)),
        ("12,345.5", (123_455, 10)),
        ("3/8", (3, 8)),
        ("5 1/2", (11, 2)),
        ("5-1/2", (11, 2)),
        ("-5 1/2", (-11, 2)),
        ("000", (0, 1)),
        ("999999999999999", (999_999_999_999_999, 1)),
    ] {
        assert_eq!(number(text).ratio(), ratio, "{text}");
    }
}

#[test]
fn what_is_no_number_is_refused() {
    for text in [
        "",
        "-",
        ".",
        "+",
        "1/0",
        "/",
        "3/",
        "/8",
        "1.5/2",
        "1/2.5",
        "4.2.1",
        "4e3",
        "0x1F",
        "NaN",
        "inf",
        "1,20",
        "1,2000",
        "1234567890123456",
        "４",
        "½",
        "- ",
        "1//2",
        "--5",
    ] {
        assert_eq!(Number::parse(text), None, "{text}");
    }
}

#[test]
fn the_last_digit_typed_is_the_resolution() {
    for (text, step) in [
        ("4.2", 0.1),
        ("4.20", 0.01),
        ("31", 1.0),
        ("3/8", 0.125),
        ("5 1/2", 0.5),
    ] {
        near(number(text).resolution(), step, 1e-12);
    }
}

#[test]
fn pressures_convert() {
    // By definition: psi = 6894.757 Pa, atmosphere 14.696 psia.
    near(pressure("0", "psig").psi(), 14.696, 5e-4);
    near(pressure("40", "psig").psi(), 54.696, 5e-4);
    near(pressure("14.696", "psia").pascal(), 101_325.0, 5.0);
    near(pressure("1", "bar").pascal(), 201_325.0, 1e-6);
    near(pressure("1", "bara").pascal(), 100_000.0, 1e-6);
    near(pressure("100", "kPa").pascal(), 201_325.0, 1e-6);
    near(pressure("0.7044", "MPa").pascal(), 805_725.0, 1e-6);
    // 10 inHg of vacuum is 19.9 inHg absolute, 9.77 psia; 15 inHg is 7.32 psia (by 40 CFR
    // 82.156, Table 1, which takes 29.9 inHg for the atmosphere: hence the second decimal).
    near(pressure("10", "inHg").psi(), 9.77, 0.02);
    near(pressure("15", "\"Hg").psi(), 7.32, 0.02);
    // Typed with or without its sign, a compound gauge's vacuum is one thing.
    assert_eq!(
        pressure("-10", "inHg").pascal(),
        pressure("10", "in. Hg").pascal()
    );
    near(pressure("29.92", "inHga").psi(), 14.696, 2e-3);
}

#[test]
fn vacuum_gauges_convert() {
    // 500 micron = 66.66 Pa = 0.009669 psia; 25 mmHg = 0.4834 psia (arithmetic).
    near(micron("66.66", "Pa"), 500.0, 0.02);
    let Quantity::Vacuum(depth) = quantity("500", "micron", Dimension::Vacuum) else {
        panic!("a vacuum");
    };
    near(depth.pascal(), 66.66, 0.005);
    let psia = AbsolutePressure::from_pascal(depth.pascal()).psi();
    near(psia, 0.009_669, 1e-6);
    // 0.01969 inHg absolute (arithmetic).
    near(depth.pascal() / 3386.389, 0.01969, 5e-6);
    let Quantity::Vacuum(depth) = quantity("25000", "microns", Dimension::Vacuum) else {
        panic!("a vacuum");
    };
    near(
        AbsolutePressure::from_pascal(depth.pascal()).psi(),
        0.4834,
        5e-5,
    );
    near(micron("1", "mbar"), 750.06, 0.01);
}

#[test]
fn temperatures_and_differences_are_not_one_thing() {
    near(temperature("32", "F").celsius(), 0.0, 1e-9);
    near(temperature("-40", "F").celsius(), -40.0, 1e-9);
    near(temperature("212", "°F").celsius(), 100.0, 1e-9);
    near(temperature("5", "C").fahrenheit(), 41.0, 1e-9);
    near(temperature("-18", "°C").fahrenheit(), -0.4, 1e-9);
    // 10 K of difference are 18 F of difference, though 10 C are 50 F.
    near(difference("10", "K").fahrenheit(), 18.0, 1e-9);
    near(difference("10", "C").fahrenheit(), 18.0, 1e-9);
    near(temperature("10", "C").fahrenheit(), 50.0, 1e-9);
    near(difference("9", "F").kelvin(), 5.0, 1e-9);
    near(
        (temperature("85", "F") - temperature("62", "F")).kelvin(),
        23.0 / 1.8,
        1e-9,
    );
}

#[test]
fn ounces_add_without_drift() {
    // design.md §3: what came out and what went in.
    let out = mass(&[("19", "lb"), ("6", "oz")]);
    let top = mass(&[("1", "lb"), ("10", "oz")]);
    assert_eq!(out + top, mass(&[("21", "lb")]));
    assert_eq!((out + top).pounds_ounces(), "21 lb");
    // A thousand ounces are exactly 62 lb 8 oz; 453.59237 g are exactly a pound.
    let ounce = mass(&[("1", "oz")]);
    let many: Mass = std::iter::repeat_n(ounce, 1000).sum();
    assert_eq!(many, mass(&[("62", "lb"), ("8", "oz")]));
    assert_eq!(mass(&[("453.59237", "g")]), mass(&[("1", "lb")]));
    assert_eq!(mass(&[("0.45359237", "kg")]), mass(&[("16", "oz")]));
    assert_eq!(mass(&[("5 1/2", "oz")]), mass(&[("5.5", "oz")]));
    // arithmetic: 25 lb = 11.340 kg.
    near(mass(&[("25", "lb")]).kilogram(), 11.340, 5e-4);
}

#[test]
fn masses_are_shown_to_the_ounce() {
    for (value, unit, shown) in [
        ("19.375", "lb", "19 lb 6 oz"),
        ("3.5", "oz", "3.5 oz"),
        ("-1.625", "lb", "-1 lb 10 oz"),
        // Rounded up, the sixteenth ounce is a pound.
        ("15.96", "oz", "1 lb"),
        ("0", "lb", "0 oz"),
        ("-0.001", "oz", "0 oz"),
    ] {
        assert_eq!(
            mass(&[(value, unit)]).pounds_ounces(),
            shown,
            "{value} {unit}"
        );
    }
}

#[test]
fn the_atmosphere_thins_with_altitude() {
    // ASHRAE Fundamentals, psychrometrics: 14.696 (1 − 6.8754e-6 Z)^5.2559 (formula from memory).
    for (feet, psia) in [
        (0.0, 14.696),
        (1000.0, 14.173),
        (2500.0, 13.416),
        (5000.0, 12.228),
        (7500.0, 11.126),
        (10000.0, 10.107),
    ] {
        let atmosphere = Atmosphere::at_altitude(Length::from_metre(feet * 0.3048));
        near(atmosphere.pressure.psi(), psia, 1e-3);
        assert!(matches!(atmosphere.basis, AtmosphereBasis::Altitude(_)));
    }
}

#[test]
fn gauge_and_absolute_go_round() {
    let thin = Atmosphere::at_altitude(Length::from_metre(1524.0));
    let gauge = GaugePressure::from_psi(30.0);
    near(gauge.absolute(thin).psi(), 42.228, 1e-3);
    near(gauge.absolute(thin).gauge(thin).psi(), 30.0, 1e-9);
}

#[test]
fn sealed_gas_follows_its_temperature() {
    // Ideal gas in a fixed volume: 300 psig at 85 F gives 286.71 at 62 F, 150 psig gives 143.05.
    let (warm, cool) = (
        Temperature::from_fahrenheit(85.0),
        Temperature::from_fahrenheit(62.0),
    );
    for (start, end) in [(300.0, 286.71), (150.0, 143.05)] {
        let start = GaugePressure::from_psi(start).absolute(Atmosphere::SEA_LEVEL);
        let cooled = sealed_gas_pressure(start, warm, cool);
        near(cooled.gauge(Atmosphere::SEA_LEVEL).psi(), end, 0.005);
        let back = sealed_gas_pressure(cooled, cool, warm);
        near(back.psi(), start.psi(), 1e-9);
    }
}

#[test]
fn every_spelling_of_a_unit_is_found_however_it_is_typed() {
    for info in UNITS {
        for spelling in info.spellings {
            for typed in [
                (*spelling).to_owned(),
                spelling.to_uppercase(),
                format!(" {spelling}. "),
            ] {
                assert!(
                    lookup_unit(&typed).contains(&info.unit),
                    "`{typed}` is not {}",
                    info.symbol
                );
            }
        }
        assert!(
            lookup_unit(info.symbol).contains(&info.unit),
            "the symbol {} is not read back",
            info.symbol
        );
    }
}

#[test]
fn one_spelling_is_never_two_units_of_one_dimension() {
    for info in UNITS {
        for spelling in info.spellings {
            let found: Vec<Unit> = lookup_unit(spelling)
                .iter()
                .copied()
                .filter(|u| u.dimension() == info.dimension)
                .collect();
            assert_eq!(found, [info.unit], "{spelling}");
        }
    }
}

#[test]
fn zero_has_no_sign() {
    assert_eq!(fixed(-0.04, 1), "0.0");
    assert_eq!(fixed(-0.06, 1), "-0.1");
    assert_eq!(fixed(0.0, 0), "0");
}

#[test]
fn volume_flows() {
    // A foot is 0.3048 m: 1200 cfm = 1200 × 0.3048³ ÷ 60 = 0.566337 m³/s.
    for (value, unit) in [
        ("1200", "cfm"),
        ("72000", "ft3/h"),
        ("566.337", "L/s"),
        ("2038.813", "m³/h"),
        ("0.566337", "m3/s"),
    ] {
        let flow = quantity(value, unit, Dimension::VolumeFlow).si();
        near(flow, 0.566_337, 5e-7);
    }
}
