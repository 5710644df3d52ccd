//! The names of curves, above them.

use super::ink::*;
use crate::view::chart::{Chart, Role};
use svg::node::element::{Group, Path};

/// The names of the curves, above them.
pub(super) struct Legend {
    /// Row, start and name of each.
    items: Vec<(usize, f64, String)>,
}

impl Legend {
    pub(super) fn of(chart: &Chart) -> Self {
        let mut items = Vec::new();
        let (mut row, mut x) = (0, 2.0);
        for series in chart.series.iter().filter(|s| s.role == Role::Measured) {
            let width = 30.0 + LETTER * TEXT * series.name.chars().count() as f64 + 14.0;
            if x > 2.0 && x + width > WIDTH {
                (row, x) = (row + 1, 2.0);
            }
            items.push((row, x, series.name.clone()));
            x += width;
        }
        Self { items }
    }

    pub(super) fn height(&self) -> f64 {
        let rows = self.items.last().map_or(0, |(row, ..)| row + 1);
        LEGEND_ROW * rows as f64 + 4.0
    }

    pub(super) fn drawn(&self) -> Group {
        let mut group = Group::new();
        for (i, (row, x, name)) in self.items.iter().enumerate() {
            let which = i % DASHES.len();
            let y = LEGEND_ROW * *row as f64 + 11.0;
            let line = Path::new()
                .set(
                    "d",
                    format!("M{} {}H{}", shown(*x), shown(y), shown(x + 24.0)),
                )
                .set("fill", "none");
            group = group
                .add(stroke(line, which))
                .add(sign(x + 12.0, y, which))
                .add(text(x + 30.0, y + 4.0, name, TEXT));
        }
        group
    }
}
