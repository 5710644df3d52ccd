//! The charts of the diagnosis note.

use super::{Chart, Wanted, cycle, trend, vacuums};
use crate::compile::Compiled;
use crate::vocabulary::Point;
use crate::words::Words;

/// Air and food, pipes, pressures, the cycle, evacuations: those with enough readings.
pub fn for_technicians(compiled: &Compiled, words: &Words) -> Vec<Chart> {
    let trends = [
        Wanted {
            id: "temperatures",
            title: "chart-temperatures",
            points: &[
                Point::Box,
                Point::Product,
                Point::Display,
                Point::Room,
                Point::ReturnAir,
                Point::SupplyAir,
            ],
            temperature: true,
            levels: true,
            plain: false,
        },
        Wanted {
            id: "pipes",
            title: "chart-pipes",
            points: &[
                Point::SuctionLine,
                Point::CompressorInlet,
                Point::LiquidLine,
                Point::AfterDrier,
                Point::DischargeLine,
                Point::CondenserOutlet,
            ],
            temperature: true,
            levels: false,
            plain: false,
        },
        Wanted {
            id: "suction",
            title: "chart-suction",
            points: &[Point::Suction],
            temperature: false,
            levels: false,
            plain: false,
        },
        Wanted {
            id: "discharge",
            title: "chart-discharge",
            points: &[Point::Discharge, Point::LiquidPressure],
            temperature: false,
            levels: false,
            plain: false,
        },
    ];
    let mut charts: Vec<Chart> = trends
        .iter()
        .filter_map(|wanted| trend(compiled, words, wanted))
        .collect();
    charts.extend(cycle(compiled, words));
    charts.extend(vacuums(compiled, words));
    charts
}
