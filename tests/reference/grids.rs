//! The library against grids of CoolProp's values: the committed ones and live ones.
//!
//! `accuracy.md` is the outcome per refrigerant. `RIMEBOOK_WRITE_ACCURACY=1 cargo test --test main
//! committed_grids` writes it; without that the test holds it to what it states.

use super::carried;
use rimebook::quantity::{AbsolutePressure, Temperature};
use rimebook::refrigerant::{Refrigerant, all};
use std::collections::BTreeMap;

/// What the product promises: kelvin, both ways.
const SATURATION: f64 = 0.02;
/// Density, relative, in percent. Liquid is not promised anything finer.
const DENSITY: f64 = 0.5;
/// Enthalpy and entropy differences, in percent of the difference or of a tenth of latent heat.
const ENTHALPY: f64 = 0.2;
const ACCURACY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/accuracy.md");

/// Worst distances of one refrigerant.
#[derive(Debug, Default, Clone)]
struct Worst {
    points: usize,
    /// Bubble temperature from pressure and back, dew likewise; K.
    saturation: [f64; 4],
    /// Density of vapour and liquid, differences of enthalpy and entropy; percent.
    states: [f64; 4],
}

impl Worst {
    fn check(&self, name: &str) {
        let saturated = self.saturation.iter().all(|&off| off <= SATURATION);
        assert!(
            saturated,
            "{name} is off by more than {SATURATION} K: {self:?}"
        );
        let [vapour, liquid, enthalpy, entropy] = self.states;
        assert!(vapour <= DENSITY && liquid <= DENSITY, "{name}: {self:?}");
        assert!(
            enthalpy <= ENTHALPY && entropy <= ENTHALPY,
            "{name}: {self:?}"
        );
    }

    /// A row of the table; errors rounded up, so that the table never says less than there is.
    fn row(&self, refrigerant: &Refrigerant) -> String {
        let up = |value: f64, step: f64| (value / step).ceil() * step;
        let (low, high) = refrigerant.temperature_range();
        let [a, b, c, d] = self.saturation;
        let [vapour, liquid, enthalpy, entropy] = self.states.map(|v| up(v, 1e-4));
        format!(
            "| {} | {:.1} | {:.1} | {:.4} | {:.4} | {vapour:.4} | {liquid:.4} | {enthalpy:.4} | {entropy:.4} | {} |",
            refrigerant.name,
            low.celsius(),
            high.celsius(),
            up(a.max(b), 1e-4),
            up(c.max(d), 1e-4),
            refrigerant.estimated.unwrap_or_default()
        )
    }
}

type Table = BTreeMap<&'static str, Worst>;

/// Splits a CSV after checking its heading.
fn rows<'a>(csv: &'a str, heading: &str) -> impl Iterator<Item = Vec<&'a str>> {
    let mut lines = csv.lines();
    assert_eq!(lines.next(), Some(heading));
    lines.map(|line| line.split(',').collect())
}

/// Compares every row of a saturation grid both ways.
fn saturation(csv: &str, table: &mut Table) {
    for fields in rows(csv, "refrigerant,temperature_K,bubble_Pa,dew_Pa") {
        let refrigerant = carried(fields[0]);
        let kelvin: f64 = fields[1].parse().expect("a number");
        let worst = table.entry(refrigerant.name).or_default();
        worst.points += 1;
        for (is_dew, pressure) in [false, true].into_iter().zip(&fields[2..]) {
            if pressure.is_empty() {
                continue;
            }
            let pressure = AbsolutePressure::from_pascal(pressure.parse().expect("a number"));
            let (there, back) = distances(refrigerant, is_dew, kelvin, pressure);
            let index = 2 * usize::from(is_dew);
            worst.saturation[index] = worst.saturation[index].max(there);
            worst.saturation[index + 1] = worst.saturation[index + 1].max(back);
        }
    }
}

/// Temperature from pressure, and pressure from temperature as the temperature it stands for; K.
fn distances(
    refrigerant: &Refrigerant,
    is_dew: bool,
    kelvin: f64,
    pressure: AbsolutePressure,
) -> (f64, f64) {
    let line = format!("{refrigerant} {kelvin} K");
    let there = match is_dew {
        false => refrigerant.bubble_temperature(pressure),
        true => refrigerant.dew_temperature(pressure),
    };
    let back = |kelvin: f64| {
        let temperature = Temperature::from_kelvin(kelvin);
        let pressure = match is_dew {
            false => refrigerant.bubble_pressure(temperature),
            true => refrigerant.dew_pressure(temperature),
        };
        let pressure = pressure.unwrap_or_else(|out| panic!("{line}: {out}"));
        pressure.pascal().ln()
    };
    let solved = there.unwrap_or_else(|out| panic!("{line}: {out}"));
    let step = 0.01;
    let below = (kelvin - step).max(refrigerant.temperature_range().0.kelvin());
    let slope = (back(below + step) - back(below)) / step;
    let off = (back(kelvin) - pressure.pascal().ln()) / slope;
    ((solved.kelvin() - kelvin).abs(), off.abs())
}

/// Compares every row of a grid of single-phase states. Enthalpy and entropy count from the first
/// row of each refrigerant, for their zeros are a matter of convention.
fn states(csv: &str, table: &mut Table) {
    let heading =
        "refrigerant,phase,temperature_K,pressure_Pa,density_kg_m3,enthalpy_J_kg,entropy_J_kg_K";
    let mut zero: Option<(&str, [f64; 2], f64)> = None;
    for fields in rows(csv, heading) {
        let refrigerant = carried(fields[0]);
        let values: Vec<f64> = fields[2..]
            .iter()
            .map(|f| f.parse().expect("a number"))
            .collect();
        let [kelvin, pascal, density, enthalpy, entropy] = values[..] else {
            panic!("{fields:?}")
        };
        let (pressure, temperature) = (
            AbsolutePressure::from_pascal(pascal),
            Temperature::from_kelvin(kelvin),
        );
        let is_liquid = fields[1] == "liquid";
        let state = match is_liquid {
            true => refrigerant.liquid(pressure, temperature),
            false => refrigerant.vapour(pressure, temperature),
        };
        let state = state.unwrap_or_else(|e| panic!("{fields:?}: {e}"));
        let off = [
            state.enthalpy.joule_per_kilogram() - enthalpy,
            state.entropy.joule_per_kilogram_kelvin() - entropy,
        ];
        if zero.is_none_or(|(name, ..)| name != refrigerant.name) {
            zero = Some((refrigerant.name, off, enthalpy));
        }
        let (_, start, first) = zero.expect("just set");
        let worst = table.entry(refrigerant.name).or_default();
        let mut note = |index: usize, percent: f64| {
            worst.states[index] = worst.states[index].max(percent.abs());
        };
        let found = state.density.kilogram_per_cubic_metre();
        note(usize::from(is_liquid), 100.0 * (found / density - 1.0));
        let scale = (enthalpy - first).abs().max(20e3);
        note(2, 100.0 * (off[0] - start[0]) / scale);
        note(3, 100.0 * (off[1] - start[1]) * kelvin / scale);
    }
}

fn check(table: &Table) {
    for (name, worst) in table {
        worst.check(name);
    }
    for refrigerant in all() {
        assert!(
            table.contains_key(refrigerant.name),
            "{refrigerant} has no grid"
        );
    }
}

fn text(table: &Table) -> String {
    let mut out = "# How far the library is from CoolProp 8.0.0\n\n\
         Worst over the committed grids, which `generate.py` makes: saturation both ways in K, density,\n\
         enthalpy and entropy differences in percent. Written by the test `committed_grids`.\n\n\
         | refrigerant | from, °C | to, °C | bubble, K | dew, K | vapour density, % | liquid density, % | enthalpy, % | entropy, % | estimated |\n\
         |---|---|---|---|---|---|---|---|---|---|\n"
        .to_owned();
    for refrigerant in all() {
        out.push_str(&table[refrigerant.name].row(refrigerant));
        out.push('\n');
    }
    out
}

#[test]
fn committed_grids() {
    let mut table = Table::new();
    saturation(include_str!("saturation_grid.csv"), &mut table);
    states(include_str!("properties_grid.csv"), &mut table);
    check(&table);
    let now = text(&table);
    if std::env::var_os("RIMEBOOK_WRITE_ACCURACY").is_some() {
        std::fs::write(ACCURACY, &now).expect("accuracy.md can be written");
    }
    let stated = std::fs::read_to_string(ACCURACY).expect("accuracy.md can be read");
    assert_eq!(
        stated.lines().count(),
        now.lines().count(),
        "{ACCURACY} is old"
    );
    for (stated, now) in stated.lines().zip(now.lines()) {
        let same = |index: usize| stated.split('|').nth(index) == now.split('|').nth(index);
        assert!(same(1) && same(2) && same(3) && same(10), "{stated}\n{now}");
        let numbers = |line: &str| -> Vec<f64> {
            line.split('|')
                .skip(4)
                .take(6)
                .filter_map(|f| f.trim().parse().ok())
                .collect()
        };
        // A last digit for another processor's mathematics library.
        let holds = numbers(now)
            .iter()
            .zip(numbers(stated))
            .all(|(now, stated)| *now <= stated + 1.5e-4);
        assert!(holds, "worse than stated:\n{stated}\n{now}");
    }
}

/// Grids made just now by live_grid.py, so that the committed ones cannot be fitted to.
#[test]
#[ignore = "needs files from live_grid.py, named in RIMEBOOK_LIVE_GRID and RIMEBOOK_LIVE_STATES"]
fn live_grids() {
    let read = |variable: &str| {
        let path = std::env::var_os(variable).unwrap_or_else(|| panic!("{variable} names no file"));
        std::fs::read_to_string(path).expect("the live grid can be read")
    };
    let mut table = Table::new();
    saturation(&read("RIMEBOOK_LIVE_GRID"), &mut table);
    states(&read("RIMEBOOK_LIVE_STATES"), &mut table);
    println!("{}", text(&table));
    let points: usize = table.values().map(|worst| worst.points).sum();
    println!("{points} saturation points of {} refrigerants", table.len());
    check(&table);
}
