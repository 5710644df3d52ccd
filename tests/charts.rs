//! Charts: what is drawn and what is not, and that the drawing says what the data says.

use super::support::{case, note};
use rimebook::binder::{Beside, text as report};
use rimebook::compile::Compiled;
use rimebook::render::Format;
use rimebook::view::chart::{Chart, Role};
use rimebook::view::{Audience, customer, diagnosis};
use rimebook::words::Words;
use rimebook::world::MemoryWorld;
use std::path::Path;

const HEAD: &str = "unit: WIC-1, walk-in cooler\nrefrigerant: R-448A, 14 lb\nsetpoint: 36 F\nfood limit: 41 F\n\
    visit 2026-01-02 Ana\n";

fn cooler(lines: &str) -> Compiled {
    note(&format!("{HEAD}{lines}"))
}

fn customers(compiled: &Compiled) -> Vec<Chart> {
    customer::view(compiled, Words::english()).charts
}

fn technicians(compiled: &Compiled) -> Vec<Chart> {
    diagnosis::view(compiled, Words::english()).charts
}

fn example(name: &str) -> Compiled {
    case(
        &Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("examples")
            .join(name),
    )
}

/// The drawings of a report, as XML.
fn drawings(compiled: &Compiled, audience: Audience) -> Vec<String> {
    let html = report(
        compiled,
        audience,
        Format::Html,
        &MemoryWorld::default(),
        &Beside::default(),
    )
    .expect("renders");
    let starts = html.match_indices("<svg aria-labelledby").map(|(at, _)| at);
    starts
        .map(|at| {
            let end = html[at..].find("</svg>").expect("an end") + at + 6;
            html[at..end].to_owned()
        })
        .collect()
}

#[test]
fn two_readings_are_no_chart_and_three_are() {
    assert!(customers(&cooler("0900 box 44 F\n1000 box 40 F\n")).is_empty());
    let charts = customers(&cooler("0900 box 44 F\n1000 box 40 F\n1100 box 38 F\n"));
    let [chart] = charts.as_slice() else {
        panic!("{charts:?}")
    };
    assert_eq!(chart.series.len(), 1);
    assert_eq!(
        chart.series[0].runs,
        [[[0.0, 44.0], [60.0, 40.0], [120.0, 38.0]]]
    );
    let levels: Vec<(&str, f64)> = chart
        .levels
        .iter()
        .map(|l| (l.name.as_str(), l.value))
        .collect();
    assert_eq!(levels.len(), 2, "{levels:?}");
    assert!((levels[0].1 - 36.0).abs() < 1e-9 && (levels[1].1 - 41.0).abs() < 1e-9);
    assert_eq!(
        chart.alternative,
        ["Box temperature: 44 °F at 09:00, 38 °F at 11:00; between 38 °F and 44 °F in 3 readings"]
    );
}

#[test]
fn a_reading_without_a_time_is_on_no_axis_of_time() {
    assert!(customers(&cooler("box 44 F\nbox 40 F\nbox 38 F\n")).is_empty());
}

#[test]
fn what_happened_is_marked_where_it_lies() {
    let charts = customers(&cooler(
        "0900 box 44 F\n0910 door open\n0920 did fan belt\n0925 fitted 1 fan motor\n0930 box 42 F\n\
         0940 defrost on\n0955 defrost off\n1000 alarm in alarm\n1030 box 38 F\n1100 did door gasket\n",
    ));
    let marks: Vec<(&str, [f64; 2])> = charts[0]
        .marks
        .iter()
        .map(|m| (m.text.as_str(), m.span))
        .collect();
    assert_eq!(
        marks,
        [
            ("door open, 09:10", [10.0, 10.0]),
            ("repair, 09:20–09:25", [20.0, 25.0]),
            ("defrost, 09:40–09:55", [40.0, 55.0]),
            ("alarm, 10:00", [60.0, 60.0]),
        ],
        "what lies after the last reading is not drawn"
    );
}

#[test]
fn visits_stand_side_by_side_and_no_line_joins_them() {
    let charts = customers(&example("freezer-two-visits.job"));
    let chart = &charts[0];
    assert_eq!(chart.series[0].runs.len(), 2);
    let [[from, to]] = chart.x.breaks.as_slice() else {
        panic!("{:?}", chart.x.breaks)
    };
    let last = chart.series[0].runs[0].last().expect("a reading")[0];
    let first = chart.series[0].runs[1][0][0];
    assert!(last <= *from && from < to && *to <= first);
}

#[test]
fn the_units_are_those_of_the_report() {
    let compiled = cooler("0900 box 44 F\n1000 box 40 F\n1100 box 38 F\n");
    let compiled = compiled.shown_in(Some(rimebook::quantity::Display::Si));
    let charts = customers(&compiled);
    assert_eq!(charts[0].y.label, "°C");
    assert!((charts[0].series[0].runs[0][0][1] - 6.666_666).abs() < 1e-4);
}

/// At one temperature a blend's liquid boils at a higher pressure than its vapour condenses at, so its
/// isotherm falls on its way across the dome; a pure refrigerant's runs level.
#[test]
fn isotherms_cross_the_dome_by_the_glide() {
    let across = |name: &str| {
        let charts = technicians(&example(name));
        let chart = charts
            .into_iter()
            .find(|c| c.id == "pressure-enthalpy")
            .expect("a diagram");
        let dome = chart.series.iter().find(|s| s.role == Role::Dome);
        let bubble = dome.expect("a dome").runs[0].clone();
        let widest = chart
            .series
            .iter()
            .filter(|s| s.role == Role::Isotherm)
            .flat_map(|s| {
                s.runs[0]
                    .windows(2)
                    .map(|w| (w[0], w[1]))
                    .collect::<Vec<_>>()
            })
            // The step across the dome is by far the longest in enthalpy.
            .max_by(|a, b| (a.1[0] - a.0[0]).total_cmp(&(b.1[0] - b.0[0])))
            .expect("an isotherm");
        assert!(bubble.len() > 20);
        widest.0[1] / widest.1[1]
    };
    let blend = across("freezer-two-visits.job");
    let pure = across("merchandiser-propane.job");
    assert!(blend > 1.1, "R-448A: {blend}");
    assert!((pure - 1.0).abs() < 1e-3, "propane: {pure}");
}

#[test]
fn before_and_after_are_on_one_diagram() {
    let charts = technicians(&example("cooler-food-plan.job"));
    let chart = charts.iter().find(|c| c.id == "pressure-enthalpy");
    let cycles: Vec<&str> = chart
        .expect("a diagram")
        .series
        .iter()
        .filter(|s| s.role == Role::Measured)
        .map(|s| s.name.as_str())
        .collect();
    assert_eq!(cycles, ["Before repair, 09:20", "After repair, 12:55"]);
}

#[test]
fn drawings_are_sound_xml_with_their_words_as_text() {
    let mut seen = 0;
    for name in [
        "freezer-two-visits.job",
        "cooler-food-plan.job",
        "rack-gas-cooler-altitude.job",
        "merchandiser-propane.job",
    ] {
        let compiled = example(name);
        for audience in Audience::ALL {
            for svg in drawings(&compiled, audience) {
                let document = roxmltree::Document::parse(&svg)
                    .unwrap_or_else(|e| panic!("{name}: {e}\n{svg}"));
                let root = document.root_element();
                assert_eq!(root.attribute("role"), Some("img"));
                let child = |tag: &str| {
                    root.children()
                        .find(|n| n.has_tag_name((root.tag_name().namespace().unwrap_or(""), tag)))
                };
                for tag in ["title", "desc"] {
                    let text = child(tag).and_then(|n| n.children().find_map(|c| c.text()));
                    assert!(
                        text.is_some_and(|t| !t.trim().is_empty()),
                        "{name}: no {tag}"
                    );
                }
                assert!(svg.contains("<text"), "words are text, not outlines");
                assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
                seen += 1;
            }
        }
    }
    assert!(seen > 12, "only {seen} drawings");
}

#[test]
fn a_hostile_name_stays_text_in_a_drawing() {
    let compiled = cooler(
        "0900 box <b>&\"'</b> 44 F\n0900 product </svg><script> 44 F\n1000 product </svg><script> 40 F\n1100 product </svg><script> 38 F\n\
         0900 box 44 F\n1000 box 43 F\n1100 box 38 F\n",
    );
    for audience in Audience::ALL {
        for svg in drawings(&compiled, audience) {
            assert!(!svg.contains("<script"), "{svg}");
        }
    }
}
