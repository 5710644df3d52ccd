//! One saturation line: pressure from temperature by a short series, and back on the same series.

use super::out_of_range::{Limits, OutOfRange};
use crate::quantity::{AbsolutePressure, Temperature};

/// ln p along a saturation line as a Chebyshev series in x = √(Tc − T).
///
/// x takes the critical-point singularity out of the line, so that eleven terms stay within a
/// millikelvin of the reference from −70 °C to 1 K below the critical point.
#[derive(Debug)]
pub(super) struct Curve {
    /// Where x is zero, K: Tc, or a little above it for a blend.
    pub(super) critical: f64,
    /// Lowest temperature covered, K.
    pub(super) lowest: f64,
    /// Highest temperature covered, K.
    pub(super) highest: f64,
    /// Pressure at `lowest`, less half a thousandth, Pa: the end of the line must answer for itself.
    pub(super) lowest_pressure: f64,
    /// Pressure at `highest`, and half a thousandth more, Pa.
    pub(super) highest_pressure: f64,
    /// x where u = 0, √K; u = (middle − x) / half runs from −1 (cold) to 1.
    pub(super) middle: f64,
    /// Half the width of the range of x, √K.
    pub(super) half: f64,
    /// ln(p / Pa) as a series in u.
    pub(super) series: [f64; 11],
    /// ln(p / Pa) at the middle of the start series.
    pub(super) log_middle: f64,
    /// Half its width.
    pub(super) log_half: f64,
    /// T in K as a series in (ln p − log_middle) / log_half, good to a kelvin: where solving starts.
    pub(super) start: [f64; 13],
}

/// A step, in K, leaves an error near its square; one below this leaves a few microkelvin where the
/// line bends most, near a wide glide's critical point, and far less elsewhere.
const LAST_STEP: f64 = 0.005;
/// One or two steps do; the bound only says that the loop ends.
const MAX_STEPS: u32 = 8;

impl Curve {
    /// Saturation pressure.
    ///
    /// # Errors
    /// When the temperature is not finite or outside the series; see [`OutOfRange`].
    pub(super) fn pressure(
        &self,
        temperature: Temperature,
        limits: impl FnOnce() -> Limits,
    ) -> Result<AbsolutePressure, OutOfRange> {
        let kelvin = temperature.kelvin();
        // Written so that a NaN is refused too.
        if !(kelvin >= self.lowest && kelvin <= self.highest) {
            return Err(limits().refuse_temperature(kelvin, (self.lowest, self.highest)));
        }
        let (log, _) = self.log_pressure_and_slope(kelvin);
        Ok(AbsolutePressure::from_pascal(log.exp()))
    }

    /// Saturation temperature: the one whose [`Curve::pressure`] this is, to some microkelvin.
    ///
    /// # Errors
    /// When the pressure is not finite or outside the series; see [`OutOfRange`].
    pub(super) fn temperature(
        &self,
        pressure: AbsolutePressure,
        limits: impl FnOnce() -> Limits,
    ) -> Result<Temperature, OutOfRange> {
        let pascal = pressure.pascal();
        if !(pascal >= self.lowest_pressure && pascal <= self.highest_pressure) {
            return Err(
                limits().refuse_pressure(pascal, (self.lowest_pressure, self.highest_pressure))
            );
        }
        let log = pascal.ln();
        let start = (log - self.log_middle) / self.log_half;
        let mut kelvin = self.clamp(chebyshev(&self.start, start));
        for _ in 0..MAX_STEPS {
            let (at, slope) = self.log_pressure_and_slope(kelvin);
            // ln p is all but straight in 1/T, so Newton's step is taken there.
            let next = self.clamp(1.0 / (1.0 / kelvin - (log - at) / (slope * kelvin * kelvin)));
            let step = (next - kelvin).abs();
            kelvin = next;
            if step < LAST_STEP {
                break;
            }
        }
        Ok(Temperature::from_kelvin(kelvin))
    }

    fn clamp(&self, kelvin: f64) -> f64 {
        kelvin.clamp(self.lowest, self.highest)
    }

    /// ln(p / Pa) and its slope per kelvin.
    fn log_pressure_and_slope(&self, kelvin: f64) -> (f64, f64) {
        let x = (self.critical - kelvin).sqrt();
        let u = (self.middle - x) / self.half;
        let (value, slope) = chebyshev_and_slope(&self.series, u);
        (value, slope / (2.0 * x * self.half))
    }
}

/// The series at u by Clenshaw's recurrence.
fn chebyshev<const N: usize>(series: &[f64; N], u: f64) -> f64 {
    let (mut b1, mut b2) = (0.0, 0.0);
    let twice = 2.0 * u;
    for c in series[1..].iter().rev() {
        // Bracketed so that only one product and one sum wait for the term before.
        (b1, b2) = (twice * b1 + (c - b2), b1);
    }
    u * b1 - b2 + series[0]
}

/// The series and its derivative at u; the second recurrence is the first one differentiated.
fn chebyshev_and_slope<const N: usize>(series: &[f64; N], u: f64) -> (f64, f64) {
    let (mut b1, mut b2, mut d1, mut d2) = (0.0, 0.0, 0.0, 0.0);
    let twice = 2.0 * u;
    for c in series[1..].iter().rev() {
        (d1, d2) = (twice * d1 + (2.0 * b1 - d2), d1);
        (b1, b2) = (twice * b1 + (c - b2), b1);
    }
    (u * b1 - b2 + series[0], b1 + u * d1 - d2)
}
