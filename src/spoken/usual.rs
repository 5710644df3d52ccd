//! What a measuring point usually reads.

use super::phrase::Figures;
use crate::quantity::{Dimension, Unit, lookup_unit};
use crate::vocabulary::{Point, resolve};

/// Whether a number is what a point usually reads, in the unit said or usually taken; `None` where that
/// is not known. Wide, and common practice without a source: it only decides what is asked.
pub(super) fn usual_value(name: &str, unit: &str, value: &Figures) -> Option<bool> {
    let value: f64 = value.text.parse().ok()?;
    let units = lookup_unit(unit);
    let name = resolve(name)?;
    let point = match name.measured_by(units) {
        Some((point, _)) => point,
        None => name.measured().next()?,
    };
    let celsius = units.contains(&Unit::Celsius) && !units.contains(&Unit::Fahrenheit);
    let metric = units
        .iter()
        .any(|u| matches!(u, Unit::Bar | Unit::Kilopascal | Unit::Megapascal));
    let scale = |low: f64, high: f64| {
        if celsius {
            ((low - 32.0) / 1.8, (high - 32.0) / 1.8)
        } else {
            (low, high)
        }
    };
    let (low, high) = match point {
        Point::Subcooling => (0.0, 35.0),
        Point::Superheat => (0.0, 55.0),
        Point::Box | Point::SetPoint | Point::Display | Point::Product => scale(-45.0, 95.0),
        Point::SuctionLine | Point::CompressorInlet | Point::CoilTemperature => scale(-60.0, 100.0),
        Point::LiquidLine | Point::AfterDrier | Point::CondenserOutlet => scale(-10.0, 150.0),
        Point::Ambient | Point::Room => scale(-30.0, 125.0),
        Point::ReturnAir | Point::SupplyAir => scale(-45.0, 110.0),
        Point::DischargeLine => scale(70.0, 300.0),
        Point::CondenserAirOut => scale(0.0, 160.0),
        _ if metric => return None,
        Point::Suction => (-30.0, 250.0),
        Point::Discharge | Point::LiquidPressure => (30.0, 700.0),
        Point::L1L2 | Point::L2L3 | Point::L1L3 | Point::SupplyVoltage => {
            return Some(nominal(value) && !(10.0..90.0).contains(&value));
        }
        point if point.info().dimension == Some(Dimension::Voltage) => return Some(nominal(value)),
        point if point.info().dimension == Some(Dimension::Current) => (0.0, 150.0),
        Point::RunCapacitor => (1.0, 120.0),
        _ => return None,
    };
    Some((low..=high).contains(&value))
}

/// True near a voltage that is supplied somewhere, near none at all, or below what supplies are.
fn nominal(volt: f64) -> bool {
    const NOMINAL: &[f64] = &[
        12.0, 24.0, 115.0, 120.0, 208.0, 230.0, 240.0, 277.0, 400.0, 460.0, 480.0, 575.0, 600.0,
    ];
    volt < 35.0 || NOMINAL.iter().any(|n| (volt / n - 1.0).abs() <= 0.13)
}
