//! `rimebook saturation` as it is run on site.

use super::support::Outcome;
use proptest::prelude::*;
use proptest::sample::select;
use rimebook::refrigerant;
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// Columns of a phone held upright.
const PHONE: usize = 40;
/// Worked values carry two decimals.
const HUNDREDTH: f64 = 0.006;

fn run<S: AsRef<std::ffi::OsStr>>(arguments: impl IntoIterator<Item = S>) -> Outcome {
    let output = Command::new(env!("CARGO_BIN_EXE_rimebook"))
        .arg("saturation")
        .args(arguments)
        .output()
        .expect("the binary runs");
    Outcome {
        folder: None,
        code: output.status.code(),
        stdout: String::from_utf8(output.stdout).expect("standard output is UTF-8"),
        stderr: String::from_utf8(output.stderr).expect("standard error is UTF-8"),
    }
}

fn json<'a>(arguments: impl IntoIterator<Item = &'a str>) -> Value {
    let run = run(arguments.into_iter().chain(["--to", "json"]));
    serde_json::from_str(&run.stdout).unwrap_or_else(|e| panic!("{e}: {run:#?}"))
}

/// A temperature of the first value of an answer, °F.
fn fahrenheit(answer: &Value, field: &str) -> f64 {
    let kelvin = answer["values"][0][field].as_f64();
    kelvin.unwrap_or_else(|| panic!("no {field} in {answer:#}")) * 1.8 - 459.67
}

#[track_caller]
fn near(value: f64, expected: f64, within: f64) {
    assert!(
        (value - expected).abs() <= within,
        "{value}, not {expected}"
    );
}

#[track_caller]
fn fits_a_phone(run: &Outcome) {
    for line in run.stdout.lines() {
        assert!(line.chars().count() <= PHONE, "{line}");
    }
}

/// Source: computed with CoolProp 8.0.0; the atmosphere by the formula of `Atmosphere::at_altitude`.
#[test]
fn worked_values() {
    let suction = json(["R-448A", "40psig"]);
    near(fahrenheit(&suction, "dew_temperature_k"), 16.55, HUNDREDTH);
    near(
        fahrenheit(&suction, "bubble_temperature_k"),
        5.38,
        HUNDREDTH,
    );
    let high = json(["R-448A", "220psig"]);
    near(fahrenheit(&high, "bubble_temperature_k"), 92.85, HUNDREDTH);
    near(fahrenheit(&high, "dew_temperature_k"), 102.22, HUNDREDTH);

    let sea = json(["R-404A", "30.0psig"]);
    near(fahrenheit(&sea, "dew_temperature_k"), -2.74, HUNDREDTH);
    assert_eq!(sea["atmosphere"]["basis"], "sea-level");
    let mountain = json(["R-404A", "30.0psig", "--altitude", "5000 ft"]);
    near(fahrenheit(&mountain, "dew_temperature_k"), -5.45, HUNDREDTH);
    assert_eq!(mountain["atmosphere"]["altitude_m"], 1524.0);
    let barometer = json(["R-404A", "30.0psig", "--barometer", "12.228 psia"]);
    near(
        fahrenheit(&barometer, "dew_temperature_k"),
        -5.45,
        HUNDREDTH,
    );
    assert_eq!(barometer["atmosphere"]["basis"], "barometer");
}

#[test]
fn one_question_in_many_spellings() {
    let expected = json(["R-448A", "40psig"]);
    for words in [
        "r448a 40 psig",
        "448A 40psi",
        "R 448 A 40 psig",
        "R-448A at 40 psig",
        "R-448A @40psig",
        "R-448A 40#",
        "R-448A 40 lb",
        "hfc-448a 40 pounds",
    ] {
        for answer in [json([words]), json(words.split(' '))] {
            for field in ["bubble_temperature_k", "dew_temperature_k", "glide_k"] {
                let value = &answer["values"][0][field];
                assert_eq!(value, &expected["values"][0][field], "{words}");
            }
        }
    }
    // Several words of a name, and a number of it that is a refrigerant by itself.
    for (words, name) in [
        ("carbon dioxide 0F", "R-744"),
        ("R-1234ze (E) 40 F", "R-1234ze(E)"),
        ("R-507 A", "R-507A"),
        ("R-600 a 20 psig", "R-600a"),
        ("R-12 3 psig", "R-12"),
    ] {
        assert_eq!(json([words])["request"]["refrigerant"], name, "{words}");
        assert_eq!(
            json(words.split(' '))["request"]["refrigerant"],
            name,
            "{words}"
        );
    }
}

#[test]
fn every_unit_of_pressure_and_temperature() {
    let sea = 101_325.0;
    for (value, pascal) in [
        ("40psig", sea + 275_790.29),
        ("14.7 psia", 101_352.93),
        ("2.1 bar", sea + 210_000.0),
        ("2,1 bar", sea + 210_000.0),
        ("300 kPaa", 300_000.0),
        ("300 kPa abs", 300_000.0),
        ("300kPa", sea + 300_000.0),
        ("0.3MPa", sea + 300_000.0),
        ("3 bara", 300_000.0),
        ("10 inHg vacuum", sea - 33_863.89),
        ("10\"Hg", sea - 33_863.89),
        ("10″ vac", sea - 33_863.89),
        ("10\"", sea - 33_863.89),
        ("-10 inHg", sea - 33_863.89),
        ("29.92 inHg abs", 101_320.76),
        ("-5 psig", sea - 34_473.79),
        ("500 micron", 66.66),
        ("1000 hPa", 100_000.0),
        ("10 inwc", sea + 2_490.89),
    ] {
        let answer = json(["R-290", value]);
        let read = answer["values"][0]["pressure_pa"].as_f64();
        near(read.unwrap_or_else(|| panic!("{value}")), pascal, 0.02);
    }
    for (value, kelvin) in [
        ("-20F", 244.2611),
        ("-20 °F", 244.2611),
        ("−20F", 244.2611),
        ("-.5F", 255.0944),
        ("32 deg F", 273.15),
        ("0C", 273.15),
        ("-5 °C", 268.15),
        ("273.15 K", 273.15),
    ] {
        let answer = json(["R-290", value]);
        let read = answer["values"][0]["temperature_k"].as_f64();
        near(read.unwrap_or_else(|| panic!("{value}")), kelvin, 1e-4);
    }
}

#[test]
fn a_negative_value_is_no_option_and_options_may_follow_it() {
    let run = run(["R-448A", "-20F", "--units", "si"]).exits(0);
    assert!(run.stdout.starts_with("R-448A at -20 F (-28.9 C)\n"));
    let answer = json(["R-448A", "-20", "F"]);
    assert_eq!(answer["values"][0]["typed"], "-20 F");
    let answer = json(["R-448A", "--altitude", "-100ft", "-20F"]);
    assert_eq!(answer["atmosphere"]["altitude_m"], -30.48);
}

#[test]
fn pressures_of_a_temperature_go_back_to_it() {
    for name in ["R-448A", "R-410A", "R-134a", "R-455A"] {
        let there = json([name, "14F"]);
        let there = &there["values"][0];
        for (pressure, temperature) in [
            ("bubble_pressure_pa", "bubble_temperature_k"),
            ("dew_pressure_pa", "dew_temperature_k"),
            ("mid_point_pressure_pa", "mid_point_temperature_k"),
        ] {
            let kilopascal = there[pressure].as_f64().expect("a pressure") / 1e3;
            let back = json([name, &format!("{kilopascal:.9}kPaa")]);
            near(fahrenheit(&back, temperature), 14.0, 1e-4);
        }
        let gauge = |field: &str| there[field].as_f64().expect("a pressure");
        near(
            gauge("dew_pressure_pa") - gauge("dew_gauge_pressure_pa"),
            101_325.0,
            1e-6,
        );
    }
}

#[test]
fn superheat_and_subcooling_are_told_apart_where_there_is_glide() {
    let glide = run(["R-448A", "40psig"]).exits(0);
    let glide = glide.says("dew        16.5 F").says("bubble     5.4 F");
    assert!(glide.says("Superheat counts from dew").stderr.is_empty());
    for name in ["R-134a", "R-410A"] {
        let run = run([name, "40psig"]).exits(0).says("saturation ");
        assert!(!run.stdout.contains("bubble"), "{}", run.stdout);
        assert!(!run.stdout.contains("Superheat"), "{}", run.stdout);
    }
    // No glide is known at one atmosphere, below its line; but there is where this is read.
    let wide = run(["R-472A", "30F"]).exits(0);
    wide.says("bubble ").says("dew ").says("Superheat");
}

#[test]
fn ranges() {
    let typed = |arguments: &[&str]| -> Vec<String> {
        let answer = json(arguments.iter().copied());
        let values = answer["values"].as_array().expect("values");
        let typed = |value: &Value| value["typed"].as_str().expect("typed").to_owned();
        values.iter().map(typed).collect()
    };
    let usual = typed(&["R-448A", "-40F..120F"]);
    assert_eq!(usual.len(), 33);
    assert_eq!((&*usual[0], &*usual[32]), ("-40 F", "120 F"));
    assert_eq!(usual, typed(&["R-448A", "-40..120", "F"]));
    assert_eq!(usual, typed(&["R-448A", "-40", "F", "to", "120", "F"]));
    assert_eq!(usual, typed(&["R-448A", "-40F…120F"]));

    let tens = typed(&["R-448A", "-40F..120F/10"]);
    assert_eq!(tens.len(), 17);
    assert_eq!(tens, typed(&["R-448A", "-40F..120F", "--step", "10"]));
    assert_eq!(tens, typed(&["R-448A", "-40..120/10 F"]));
    assert_eq!(tens, typed(&["R-448A", "-40..120F/-10"]));
    assert_eq!(typed(&["R-22", "0psig..100psig"]).len(), 21);
    assert_eq!(
        typed(&["R-22", "0..0.3bar/0.1"]),
        ["0.0 bar", "0.1 bar", "0.2 bar", "0.3 bar"]
    );
    assert_eq!(
        typed(&["R-22", "20..0 inHg/10"]),
        ["20 inHg vacuum", "10 inHg vacuum", "0 inHg vacuum"]
    );
    assert_eq!(typed(&["R-22", "5F..5F"]), ["5 F"]);

    // A row of a table is the answer to its value.
    let row = json(["R-448A", "0psig..100psig/40"])["values"][1].clone();
    assert_eq!(row, json(["R-448A", "40psig"])["values"][0]);
}

#[test]
fn a_table_past_its_line_says_why_and_one_without_a_row_is_refused() {
    let part = run(["R-744", "60..100F/20"]).exits(0);
    part.says("none")
        .says("above its critical")
        .says("gas cooler");
    run(["R-744", "100..120F"]).exits(1).says("gas cooler");
}

#[test]
fn what_is_not_understood_is_refused_in_words() {
    for (arguments, sentence) in [
        (
            "R-448A 40",
            "`rimebook saturation R-448A 40psig` or `rimebook saturation R-448A 40F`",
        ),
        ("R-448A -40..120", "R-448A -40..120psig` or"),
        ("R-448A -20°", "may be a pressure or a temperature"),
        (
            "R-448A 40 psgi",
            "`psgi` is no unit of pressure or temperature; is `psig` meant?",
        ),
        ("R-448A 40 kg", "`kg` is no unit of pressure or temperature"),
        ("R-448A 12 A", "`A` is no unit"),
        ("R-448A cold", "`cold` is no value"),
        ("R-448A ..", "is no value"),
        ("R-448A 0F..10C", "two units"),
        ("R-448A 0F..10psig", "two units"),
        ("R-448A 0F..10F/0", "a step of nothing"),
        ("R-448A 0F..10F/0.001", "table of 10001 rows"),
        ("R-448A 0F..10F/1 --step 2", "twice"),
        ("R-448A 0F --step 2", "a step goes with a range"),
        ("R-448A 0F --altitude 5000", "`--altitude 5000ft`"),
        ("R-448A 0F --altitude 99999m", "is no altitude"),
        ("R-448A 0F --barometer 3psig", "is no atmospheric pressure"),
        ("40psig", "write it first"),
        ("xyzzy 40psig", "there is no refrigerant `xyzzy`"),
        (
            "R-4O4A 40psig",
            "there is no refrigerant `R-4O4A`; is R-404A meant?",
        ),
        ("R-484A 40 psig", "R-448A"),
        ("R-407 40psig", "R-407A, R-407B"),
        ("R-448Z 40psig", "`R-448Z` is not carried"),
    ] {
        let run = run(arguments.split(' ')).exits(1).complains(sentence);
        assert_eq!(run.stdout, "", "{arguments}");
    }
    run([""]).exits(1).complains("no refrigerant is named");
    run([] as [&str; 0]).exits(2).complains("REFRIGERANT");
    let both = ["R-22", "0F", "--altitude", "1m", "--barometer", "30inHg"];
    run(both).exits(2).complains("cannot be used with");
}

#[test]
fn above_the_critical_point_the_card_still_prints() {
    for value in ["1200psig", "100F"] {
        let run = run(["CO2", value]).exits(1);
        let run = run
            .says("above its critical")
            .says("gas cooler")
            .says("GWP");
        fits_a_phone(&run);
    }
    let answer = json(["CO2", "100F"]);
    assert_eq!(answer["values"][0]["dew_pressure_pa"], Value::Null);
    assert!(answer["values"][0]["refused"].is_string());
}

#[test]
fn a_line_that_ends_first_leaves_the_other() {
    let run = run(["R-448A", "3psia"]).exits(1);
    run.says("dew        -89.5 F")
        .says("bubble     not given")
        .says("below the lowest");
}

#[test]
fn every_refrigerant_has_its_card() {
    for refrigerant in refrigerant::all() {
        let name = refrigerant.name;
        let card = run([name]).exits(0).says(name).says("critical");
        fits_a_phone(&card);
        let unwrapped = card.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        let says = |text: &str| assert!(unwrapped.contains(text), "{name}: {text}");
        says(refrigerant.class_name());
        assert_eq!(
            unwrapped.contains("Remove ignition sources"),
            refrigerant.is_flammable(),
            "{name}"
        );
        if let Some(how) = refrigerant.estimated {
            says("are estimated");
            says(how);
        }
        for (basis, value) in [
            ("(AR4)", refrigerant.gwp.ar4),
            ("(US, 40 CFR 84)", refrigerant.gwp.us),
            ("(EU, 2024/573)", refrigerant.gwp.eu),
        ] {
            match value {
                Some(value) => says(&format!("{value} {basis}")),
                None => says(&format!("not known {basis}")),
            }
        }
        fits_a_phone(&run([name, "30F"]));
    }
}

#[test]
fn json_names_every_value_and_says_null_for_what_is_not_known() {
    for refrigerant in refrigerant::all() {
        let answer = json([refrigerant.name]);
        assert_eq!(answer["schema"], "rimebook/saturation/1");
        assert_eq!(answer["request"]["asked"], "card");
        assert_eq!(answer["values"], Value::Array(Vec::new()));
        let card = &answer["refrigerant"];
        assert_eq!(card["name"], refrigerant.name);
        assert_eq!(card["gwp"]["eu"].as_f64(), refrigerant.gwp.eu);
        assert_eq!(
            card["lower_flammability_limit_kg_per_m3"].as_f64(),
            refrigerant.lower_flammability_limit
        );
        let kelvin = card["critical_temperature_k"].as_f64().expect("a number");
        near(kelvin, refrigerant.critical_temperature.kelvin(), 1e-9);
        assert_eq!(card["estimated"].as_str(), refrigerant.estimated);
    }
}

#[test]
fn whole_answers() {
    for (name, arguments) in [
        ("pressure_of_a_blend", "R-448A 40psig"),
        ("temperature_in_si", "R-448A -20F --units si"),
        ("flammable_card", "R-454B"),
        ("above_critical", "R-744 1200psig"),
        ("range", "R-448A -60..0F/10 --altitude 5000ft"),
        ("range_of_pressures_in_bar", "R-290 0..4bar/1"),
        ("json", "R-134a 2.1bar --to json"),
    ] {
        let run = run(arguments.split(' '));
        insta::with_settings!({ omit_expression => true, description => arguments }, {
            insta::assert_snapshot!(name, run.stdout);
        });
    }
}

#[test]
fn the_read_me_shows_what_is_printed() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(readme).expect("the read-me");
    let (_, shown) = readme
        .split_once("```console\n$ rimebook saturation ")
        .expect("the example");
    let (command, shown) = shown.split_once('\n').expect("its output");
    let shown = shown.split("```").next().unwrap_or(shown);
    // A last line of dots stands for what is left out.
    let shown = shown.trim_end().trim_end_matches('…');
    let printed = run(command.split(' ')).exits(0).stdout;
    assert!(printed.starts_with(shown), "{printed}");
}

/// What a thumb may type, and what it may not.
const PIECES: &[&str] = &[
    "R-448A",
    "R-744",
    "r22",
    "propane",
    "water",
    "R-",
    "R",
    "448",
    "-",
    "--",
    "..",
    "…",
    "/",
    "@",
    "at",
    "to",
    "40",
    "-20",
    "−20",
    "1/2",
    "1/0",
    "5 1/2",
    "1,200",
    "2,1",
    ".5",
    "1e9",
    "nan",
    "inf",
    "999999999999999",
    "0.000000000000001",
    "9999999999999999",
    "psig",
    "psia",
    "inHg",
    "\"",
    "\"Hg",
    "lb",
    "#",
    "bar",
    "kPaa",
    "micron",
    "F",
    "°F",
    "°",
    "C",
    "K",
    "kg",
    "V",
    "%",
    "..120F",
    "-40..",
    "0..100psig",
    "-40F..120F/10",
    "0F..1F/0.001",
    "é",
    "₂",
    "\u{a0}",
    "",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_words_make_it_panic(
        words in proptest::collection::vec(select(PIECES), 0..6),
        loose in "[^\\x00-\\x1f]{0,12}",
        apart: bool,
        option in select(&["--to=json", "--units=si", "--step", "--altitude", "--barometer"][..]),
    ) {
        let mut arguments = if apart {
            words.iter().map(|word| (*word).to_owned()).collect()
        } else {
            vec![words.concat()]
        };
        arguments.extend([loose, option.to_owned()]);
        if !option.contains("json") && !option.contains("units") {
            arguments.push(words.concat());
        }
        let run = run(&arguments);
        prop_assert!(matches!(run.code, Some(0..=2)), "{arguments:?}: {run:#?}");
        prop_assert!(!run.stderr.contains("panicked"), "{arguments:?}: {run:#?}");
        prop_assert!(run.code != Some(0) || !run.stdout.is_empty(), "{arguments:?}");
    }
}
