//! How long one saturation value takes; a folder of notes asks for thousands.

use divan::{Bencher, black_box};
use rimebook::quantity::{AbsolutePressure, Temperature};
use rimebook::refrigerant::{Refrigerant, lookup};

fn main() {
    divan::main();
}

fn carried(name: &str) -> &'static Refrigerant {
    lookup(name).expect("carried")
}

/// Pressures across the working range, so that no branch is learnt by heart.
fn pressures() -> [AbsolutePressure; 16] {
    std::array::from_fn(|i| AbsolutePressure::from_psi(12.0 * 1.25f64.powi(i as i32)))
}

/// Temperatures across the working range.
fn temperatures() -> [Temperature; 16] {
    std::array::from_fn(|i| Temperature::from_fahrenheit(-40.0 + 11.0 * i as f64))
}

#[divan::bench(args = ["R-134a", "R-448A", "R-407C"])]
fn dew_temperature_x16(bencher: Bencher, name: &str) {
    let refrigerant = carried(name);
    let pressures = pressures();
    bencher.bench_local(|| {
        for pressure in black_box(&pressures) {
            let _ = black_box(refrigerant.dew_temperature(*pressure));
        }
    });
}

#[divan::bench(args = ["R-134a", "R-448A", "R-407C"])]
fn bubble_pressure_x16(bencher: Bencher, name: &str) {
    let refrigerant = carried(name);
    let temperatures = temperatures();
    bencher.bench_local(|| {
        for temperature in black_box(&temperatures) {
            let _ = black_box(refrigerant.bubble_pressure(*temperature));
        }
    });
}

/// Vapour in the middle of a working cycle: density, enthalpy and entropy from pressure and
/// temperature.
#[divan::bench(args = ["R-134a", "R-448A", "R-744"])]
fn vapour_state(bencher: Bencher, name: &str) {
    let refrigerant = carried(name);
    let dew = refrigerant
        .dew_pressure(Temperature::from_fahrenheit(20.0))
        .expect("in range");
    let line = Temperature::from_fahrenheit(40.0);
    bencher.bench_local(|| refrigerant.vapour(black_box(dew), black_box(line)));
}

/// Where an ideal compressor would end.
#[divan::bench(args = ["R-134a", "R-448A", "R-744"])]
fn isentropic_discharge(bencher: Bencher, name: &str) {
    let refrigerant = carried(name);
    let dew = refrigerant
        .dew_pressure(Temperature::from_fahrenheit(20.0))
        .expect("in range");
    let high = AbsolutePressure::from_pascal(4.0 * dew.pascal());
    let inlet = refrigerant
        .vapour(dew, Temperature::from_fahrenheit(40.0))
        .expect("vapour");
    bencher.bench_local(|| refrigerant.at_entropy(black_box(high), black_box(inlet.entropy)));
}

#[divan::bench(args = ["R-448A", "r448a", "carbon dioxide", "R-407F"])]
fn designation(text: &str) -> Option<&'static Refrigerant> {
    lookup(black_box(text))
}
