//! Where axes end and are marked.

use super::{Axis, Tick};
use crate::quantity::fixed;

/// A linear axis over values, with about `count` marks at round numbers; at least so long, so that the
/// last digit of an instrument does not look like a mountain.
pub fn linear(label: String, values: impl Iterator<Item = f64>, least: f64, count: f64) -> Axis {
    let (mut low, mut high) = ends(values);
    if high - low < least {
        let room = (least - (high - low)) / 2.0;
        (low, high) = (low - room, high + room);
    }
    let step = round_step((high - low) / count);
    let first = (low / step).floor();
    let last = (high / step).ceil();
    let decimals = (-step.log10().floor()).max(0.0) as usize;
    let ticks = (first as i64..=last as i64)
        .map(|i| i as f64 * step)
        .map(|at| Tick {
            at,
            text: fixed(at, decimals),
        })
        .collect();
    Axis {
        label,
        ends: [first * step, last * step],
        ticks,
        logarithmic: false,
        breaks: Vec::new(),
    }
}

/// A logarithmic axis between two values, marked at 1, 2 and 5 of each decade.
pub fn logarithmic(label: String, low: f64, high: f64) -> Axis {
    let decades = low.log10().floor() as i32..=high.log10().ceil() as i32;
    let ticks = decades
        .flat_map(|decade| [1.0, 2.0, 5.0].map(|digit| digit * 10f64.powi(decade)))
        .filter(|at| (low..=high).contains(at))
        .map(|at| Tick {
            at,
            text: fixed(at, if at < 1.0 { 1 } else { 0 }),
        })
        .collect();
    Axis {
        label,
        ends: [low, high],
        ticks,
        logarithmic: true,
        breaks: Vec::new(),
    }
}

/// Smallest and largest of values; 0 and 0 of none.
pub fn ends(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
        (low.min(v), high.max(v))
    });
    if low > high { (0.0, 0.0) } else { (low, high) }
}

/// 1, 2 or 5 times a power of ten, at least as large.
fn round_step(least: f64) -> f64 {
    let decade = 10f64.powf(least.log10().floor());
    let digit = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|digit| digit * decade >= least * (1.0 - 1e-9));
    digit.unwrap_or(10.0) * decade
}

/// Steps of a clock, in minutes.
const CLOCK_STEPS: &[i32] = &[
    1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360, 480, 720, 1440, 2880, 10080,
];

/// The step of a clock that marks a span so many times at most.
pub fn clock_step(minutes: i32, count: i32) -> i32 {
    let fits = |step: &&i32| minutes / **step < count;
    *CLOCK_STEPS.iter().find(fits).unwrap_or(&40320)
}

/// The marks of a clock between two times, in minutes.
pub fn clock_marks(from: i32, to: i32, step: i32) -> impl Iterator<Item = i32> {
    let first = from.div_euclid(step) + i32::from(from.rem_euclid(step) > 0);
    (first..)
        .map(move |n| n * step)
        .take_while(move |at| *at <= to)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_are_marked_at_round_numbers() {
        let axis = linear(String::new(), [-7.0, 14.0].into_iter(), 5.0, 5.0);
        let texts: Vec<&str> = axis.ticks.iter().map(|t| t.text.as_str()).collect();
        assert_eq!(texts, ["-10", "-5", "0", "5", "10", "15"]);
        assert_eq!(axis.ends, [-10.0, 15.0]);
        let flat = linear(String::new(), [3.0, 3.0].into_iter(), 1.0, 5.0);
        assert!(flat.ends[0] < 3.0 && flat.ends[1] > 3.0);
        let pressures = logarithmic(String::new(), 15.0, 320.0);
        let texts: Vec<&str> = pressures.ticks.iter().map(|t| t.text.as_str()).collect();
        assert_eq!(texts, ["20", "50", "100", "200"]);
        assert_eq!(clock_step(200, 5), 60);
    }
}
