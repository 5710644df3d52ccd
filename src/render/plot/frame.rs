//! Where values lie on a chart, and what stands there.

use super::ink::*;
use crate::view::chart::{Axis, Chart, Level, Role, Series};
use svg::node::element::{Circle, ClipPath, Definitions, Group, Line, Path, Rectangle, Text};

/// Where values lie on the drawing.
pub(super) struct Frame<'a> {
    x: &'a Axis,
    y: &'a Axis,
    left: f64,
    right: f64,
    top: f64,
    pub(super) bottom: f64,
}

impl<'a> Frame<'a> {
    pub(super) fn new(chart: &'a Chart, legend: f64) -> Self {
        let signs = if chart.marks.is_empty() { 16.0 } else { 26.0 };
        let top = legend + signs;
        Self {
            x: &chart.x,
            y: &chart.y,
            left: LEFT,
            right: WIDTH - RIGHT,
            top,
            bottom: top + PLOT_HEIGHT,
        }
    }

    fn x(&self, value: f64) -> f64 {
        self.left + share(self.x, value) * (self.right - self.left)
    }

    fn y(&self, value: f64) -> f64 {
        self.bottom - share(self.y, value) * (self.bottom - self.top)
    }

    pub(super) fn clip(&self, id: &str) -> Definitions {
        let area = Rectangle::new()
            .set("x", shown(self.left))
            .set("y", shown(self.top))
            .set("width", shown(self.right - self.left))
            .set("height", shown(self.bottom - self.top));
        let clip = ClipPath::new().set("id", format!("{id}-clip")).add(area);
        Definitions::new().add(clip)
    }

    /// Grid, numbers and names.
    pub(super) fn axes(&self, chart: &Chart) -> Group {
        let mut group = Group::new();
        let within = |axis: &Axis, at: f64| {
            let share = share(axis, at);
            (-1e-9..=1.0 + 1e-9).contains(&share)
        };
        for tick in self.y.ticks.iter().filter(|t| within(self.y, t.at)) {
            let y = self.y(tick.at);
            group = group
                .add(rule([self.left, y], [self.right, y]))
                .add(soft(self.left - 5.0, y + 4.0, &tick.text).set("text-anchor", "end"));
        }
        for tick in self.x.ticks.iter().filter(|t| within(self.x, t.at)) {
            let x = self.x(tick.at);
            // Near an end a centred number would be cut.
            let anchor = match x {
                x if x > self.right - 14.0 => "end",
                _ => "middle",
            };
            group = group
                .add(rule([x, self.top], [x, self.bottom]))
                .add(soft(x, self.bottom + 14.0, &tick.text).set("text-anchor", anchor));
        }
        group = group.add(
            soft(
                (self.left + self.right) / 2.0,
                self.bottom + 30.0,
                &chart.x.label,
            )
            .set("text-anchor", "middle"),
        );
        // A short unit ends at the axis, clear of the first mark; a long one starts at the edge.
        let short = chart.y.label.chars().count() <= 4;
        let (x, anchor) = match short {
            true => (self.left - 12.0, "end"),
            false => (2.0, "start"),
        };
        let y = if short {
            self.top - 10.0
        } else {
            self.top - 8.0
        };
        group.add(soft(x, y, &chart.y.label).set("text-anchor", anchor))
    }

    /// Stretches of the axis that are left out.
    pub(super) fn gaps(&self, mut group: Group) -> Group {
        for &[from, to] in &self.x.breaks {
            let (from, to) = (self.x(from), self.x(to));
            group = group.add(
                Rectangle::new()
                    .set("x", shown(from))
                    .set("y", shown(self.top))
                    .set("width", shown(to - from))
                    .set("height", shown(self.bottom - self.top))
                    .set("class", "gap")
                    .set("fill", GRID),
            );
        }
        group
    }

    /// A stretch as a ground of its own, a moment as a line.
    pub(super) fn mark_ground(&self, [from, to]: [f64; 2]) -> Group {
        let (from, to) = (self.x(from), self.x(to));
        let group = Group::new();
        match to > from {
            true => group.add(
                Rectangle::new()
                    .set("x", shown(from))
                    .set("y", shown(self.top))
                    .set("width", shown(to - from))
                    .set("height", shown(self.bottom - self.top))
                    .set("class", "stretch")
                    .set("fill", STRETCH),
            ),
            false => group.add(
                Line::new()
                    .set("x1", shown(from))
                    .set("x2", shown(from))
                    .set("y1", shown(self.top))
                    .set("y2", shown(self.bottom))
                    .set("class", "moment")
                    .set("stroke", SOFT)
                    .set("stroke-width", 1.2),
            ),
        }
    }

    pub(super) fn mark_sign(&self, [from, to]: [f64; 2], number: usize) -> Group {
        let x = (self.x(from) + self.x(to)) / 2.0;
        let y = self.top - 14.0;
        Group::new()
            .add(
                Circle::new()
                    .set("cx", shown(x))
                    .set("cy", shown(y))
                    .set("r", 7)
                    .set("class", "sign")
                    .set("fill", PAPER)
                    .set("stroke", SOFT),
            )
            .add(text(x, y + 3.6, &number.to_string(), SMALL).set("text-anchor", "middle"))
    }

    fn line(&self, run: &[[f64; 2]]) -> Path {
        let mut data = String::new();
        for (i, &[x, y]) in run.iter().enumerate() {
            let letter = if i == 0 { 'M' } else { 'L' };
            data.push_str(&format!(
                "{letter}{} {}",
                shown(self.x(x)),
                shown(self.y(y))
            ));
        }
        Path::new().set("d", data).set("fill", "none")
    }

    pub(super) fn guide(
        &self,
        mut group: Group,
        series: &Series,
        class: &'static str,
        colour: &'static str,
        width: f64,
    ) -> Group {
        for run in series.runs.iter().filter(|run| run.len() > 1) {
            let line = self.line(run);
            group = group.add(
                line.set("class", class)
                    .set("stroke", colour)
                    .set("stroke-width", width),
            );
        }
        group
    }

    pub(super) fn curve(&self, mut group: Group, series: &Series, number: usize) -> Group {
        let which = number % DASHES.len();
        for run in &series.runs {
            if run.len() > 1 {
                group = group.add(stroke(self.line(run), which));
            }
            for &[x, y] in run {
                group = group.add(sign(self.x(x), self.y(y), which));
            }
        }
        group
    }

    /// A level across the chart.
    pub(super) fn level_line(&self, level: &Level) -> Line {
        let y = self.y(level.value);
        Line::new()
            .set("x1", shown(self.left))
            .set("x2", shown(self.right))
            .set("y1", shown(y))
            .set("y2", shown(y))
            .set("class", "level")
            .set("stroke", SOFT)
            .set("stroke-width", 1.2)
            .set("stroke-dasharray", "1.5 2.5")
    }

    /// The name of a level, at the end of it where the curves leave it more room.
    pub(super) fn level_label(&self, chart: &Chart, level: &Level) -> Text {
        let y = self.y(level.value) - 4.0;
        let width = LETTER * SMALL * level.name.chars().count() as f64;
        let ends = [
            (self.right - 3.0, self.right - width, self.right, "end"),
            (self.left + 4.0, self.left, self.left + width, "start"),
        ];
        let room = |from: f64, to: f64| {
            let at = |n: i32| from + (to - from) * f64::from(n) / 8.0;
            let near = (0..=8).flat_map(|n| self.heights(chart, at(n)));
            near.map(|height| (height - (y - 3.0)).abs())
                .fold(f64::INFINITY, f64::min)
        };
        let [right, left] = ends;
        let (x, _, _, anchor) = match room(left.1, left.2) > room(right.1, right.2) {
            true => left,
            false => right,
        };
        halo(text(x, y, &level.name, SMALL).set("text-anchor", anchor))
    }

    /// Where the measured curves are at one place across.
    fn heights(&self, chart: &Chart, x: f64) -> Vec<f64> {
        let measured = chart.series.iter().filter(|s| s.role == Role::Measured);
        let steps = measured.flat_map(|s| s.runs.iter().flat_map(|run| run.windows(2)));
        steps
            .filter_map(|step| {
                let (a, b) = (step[0], step[1]);
                let (from, to) = (self.x(a[0]), self.x(b[0]));
                let share = (x - from) / (to - from);
                let (low, high) = (self.y(a[1]), self.y(b[1]));
                (from <= x && x <= to && to > from).then_some(low + share * (high - low))
            })
            .collect()
    }

    /// Where an isotherm leaves the chart at the bottom.
    pub(super) fn isotherm_end(&self, series: &Series) -> Option<f64> {
        let &[x, _] = series.runs.first()?.last()?;
        let at = self.x(x);
        (at > self.left + 8.0 && at < self.right - 8.0).then_some(at)
    }
}

fn share(axis: &Axis, value: f64) -> f64 {
    let [low, high] = axis.ends;
    match axis.logarithmic {
        true => (value / low).ln() / (high / low).ln(),
        false => (value - low) / (high - low),
    }
}
