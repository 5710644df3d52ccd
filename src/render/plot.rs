//! Charts to SVG: text stays text, every curve has its own dash and mark besides its colour, and
//! colours stand as attributes, so that a page's sheet may change them (a dark screen) and a file
//! without a sheet is still right.

use crate::view::chart::{Axis, Bar, Chart, Level, Role, Series};
use crate::view::history::Strip;
use svg::Document;
use svg::node::element::{
    Circle, ClipPath, Definitions, Description, Group, Line, Path, Polygon, Rectangle, Text, Title,
};

/// Size of the drawing, in its own units; text of 11.5 is then right from a phone to a desk.
const WIDTH: f64 = 440.0;
const PLOT_HEIGHT: f64 = 210.0;
const LEFT: f64 = 40.0;
const RIGHT: f64 = 12.0;
const BOTTOM: f64 = 36.0;
const LEGEND_ROW: f64 = 17.0;
const TEXT: f64 = 11.5;
const SMALL: f64 = 10.0;
/// Width of a letter, as a share of its size, on average.
const LETTER: f64 = 0.56;

/// Ink, and the colours of curves: told apart by lightness as well, for print without colour.
const INK: &str = "#1b2530";
const SOFT: &str = "#515d69";
const GRID: &str = "#d5dde0";
const PAPER: &str = "#ffffff";
const STRETCH: &str = "#e3e8ea";
const COLOURS: [&str; 4] = ["#17495a", "#b3541e", "#6a4c93", "#5b6f0f"];
/// A dash a curve: the second four have the colours and shapes of the first, filled the other way.
const DASHES: [&str; 8] = [
    "none",
    "6 3",
    "2 3",
    "9 3 2 3",
    "12 3",
    "4 2",
    "1 2",
    "9 2 2 2 2 2",
];

/// Draws a chart.
pub(super) fn chart(chart: &Chart) -> String {
    let legend = Legend::of(chart);
    let frame = Frame::new(chart, legend.height());
    let height = frame.bottom + BOTTOM;
    // Under the grid: what happened, and what is left out.
    let mut ground = frame.gaps(Group::new());
    for mark in &chart.marks {
        ground = ground.add(frame.mark_ground(mark.span));
    }
    let mut inside = Group::new();
    for level in &chart.levels {
        let y = frame.y(level.value);
        let line = Line::new()
            .set("x1", shown(frame.left))
            .set("x2", shown(frame.right))
            .set("y1", shown(y))
            .set("y2", shown(y))
            .set("class", "level")
            .set("stroke", SOFT)
            .set("stroke-width", 1.2)
            .set("stroke-dasharray", "1.5 2.5");
        inside = inside.add(line);
    }
    // Isotherms run on past the chart; a reading at its edge is drawn whole.
    let mut guides = Group::new().set("clip-path", format!("url(#{}-clip)", chart.id));
    let mut measured = 0;
    for series in &chart.series {
        match series.role {
            Role::Measured => {
                inside = frame.curve(inside, series, measured);
                measured += 1;
            }
            Role::Dome => guides = frame.guide(guides, series, "dome", INK, 1.6),
            Role::Isotherm => guides = frame.guide(guides, series, "isotherm", SOFT, 0.7),
        }
    }
    let mut drawing = document(&chart.id, &chart.title, &chart.alternative, height)
        .add(frame.clip(&chart.id))
        .add(ground)
        .add(frame.axes(chart))
        .add(guides)
        .add(inside)
        .add(legend.drawn());
    let mut labelled = f64::NEG_INFINITY;
    for series in chart.series.iter().filter(|s| s.role == Role::Isotherm) {
        let Some(at) = frame.isotherm_end(series) else {
            continue;
        };
        // Numbers that would touch are left out: the lines are evenly spaced.
        if at > labelled + LETTER * SMALL * 4.2 {
            let label = soft(at, frame.bottom - 4.0, &series.name).set("text-anchor", "middle");
            drawing = drawing.add(halo(label));
            labelled = at;
        }
    }
    for level in &chart.levels {
        drawing = drawing.add(frame.level_label(chart, level));
    }
    for (i, mark) in chart.marks.iter().enumerate() {
        drawing = drawing.add(frame.mark_sign(mark.span, i + 1));
    }
    drawing.to_string()
}

/// Draws a bar chart.
pub(super) fn bar(bar: &Bar) -> String {
    const ROW: f64 = 26.0;
    const NAMES: f64 = 132.0;
    const VALUES: f64 = 92.0;
    let height = ROW * bar.rows.len() as f64 + 4.0;
    let room = WIDTH - NAMES - VALUES;
    let mut drawing = document(&bar.id, &bar.title, &bar.alternative, height);
    for (i, row) in bar.rows.iter().enumerate() {
        let middle = ROW * i as f64 + ROW / 2.0 + 2.0;
        let length = match bar.whole > 0.0 {
            true => room * row.value / bar.whole,
            false => 0.0,
        };
        let (fill, stroke) = match row.kind {
            "in" => (COLOURS[0], COLOURS[0]),
            "out" => (PAPER, COLOURS[1]),
            _ => (GRID, SOFT),
        };
        let rectangle = Rectangle::new()
            .set("x", shown(NAMES))
            .set("y", shown(middle - 7.0))
            .set("width", shown(length.max(0.8)))
            .set("height", 14)
            .set("class", format!("bar-{}", row.kind))
            .set("fill", fill)
            .set("stroke", stroke)
            .set("stroke-width", 1.2);
        drawing = drawing
            .add(text(NAMES - 8.0, middle + 4.0, &row.name, TEXT).set("text-anchor", "end"))
            .add(rectangle)
            .add(text(NAMES + length + 7.0, middle + 4.0, &row.text, TEXT));
    }
    drawing.to_string()
}

/// Draws events along a line of time.
pub(super) fn strip(strip: &Strip) -> String {
    const WIDE: f64 = 720.0;
    const NAMES: f64 = 110.0;
    const ROW: f64 = 34.0;
    let top = 8.0;
    let bottom = top + ROW * strip.rows.len() as f64;
    let [from, to] = strip.ends;
    let x = |at: f64| NAMES + 16.0 + (at - from) / (to - from) * (WIDE - NAMES - 50.0);
    let mut drawing = sized(
        &strip.id,
        &strip.title,
        &strip.alternative,
        WIDE,
        bottom + 22.0,
    );
    for tick in &strip.ticks {
        drawing = drawing
            .add(rule([x(tick.at), top], [x(tick.at), bottom]))
            .add(soft(x(tick.at), bottom + 14.0, &tick.text).set("text-anchor", "middle"));
    }
    for (i, row) in strip.rows.iter().enumerate() {
        let y = top + ROW * (i as f64 + 0.5);
        drawing = drawing
            .add(text(NAMES, y + 4.0, &row.name, TEXT).set("text-anchor", "end"))
            .add(rule([x(from), y], [x(to), y]));
        let mut written = f64::NEG_INFINITY;
        for (at, label) in &row.events {
            drawing = drawing.add(sign(x(*at), y, i % COLOURS.len()));
            // Words that would run into the ones before them are left to the table.
            let width = LETTER * SMALL * label.chars().count() as f64;
            if !label.is_empty() && x(*at) - width / 2.0 > written + 4.0 {
                let label = soft(x(*at), y - 7.0, label).set("text-anchor", "middle");
                drawing = drawing.add(label);
                written = x(*at) + width / 2.0;
            }
        }
    }
    drawing.to_string()
}

/// How a job stands, as a shape: filled, half filled, open. The words beside it say the same.
pub(super) fn standing(state: &str) -> String {
    let ring = Circle::new()
        .set("cx", 20)
        .set("cy", 20)
        .set("r", 17)
        .set("fill", "none")
        .set("stroke", COLOURS[0])
        .set("stroke-width", 3);
    let filled = |path: &str| {
        Path::new()
            .set("d", path)
            .set("class", "full")
            .set("fill", COLOURS[0])
    };
    let drawing = Document::new()
        .set("class", "shape")
        .set("viewBox", "0 0 40 40")
        .set("width", 40)
        .set("height", 40)
        .set("aria-hidden", "true");
    let drawing = match state {
        "repaired" => drawing
            .add(ring.set("class", "full").set("fill", COLOURS[0]))
            .add(
                Path::new()
                    .set("d", "M12 20.5l5.5 5.5L28.5 14.5")
                    .set("class", "check")
                    .set("fill", "none")
                    .set("stroke", PAPER)
                    .set("stroke-width", 4),
            ),
        "not-repaired" => drawing.add(ring.set("class", "open").set("stroke-dasharray", "6 4")),
        _ => drawing
            .add(ring.set("class", "open"))
            .add(filled("M20 3a17 17 0 0 1 0 34z")),
    };
    drawing.to_string()
}

fn document(id: &str, title: &str, alternative: &[String], height: f64) -> Document {
    sized(id, title, alternative, WIDTH, height)
}

fn sized(id: &str, title: &str, alternative: &[String], width: f64, height: f64) -> Document {
    Document::new()
        .set("class", "plot")
        .set("viewBox", format!("0 0 {} {}", shown(width), shown(height)))
        .set("width", shown(width))
        .set("height", shown(height))
        .set("role", "img")
        .set("aria-labelledby", format!("{id}-title {id}-desc"))
        .set(
            "font-family",
            "'Rime Sans', system-ui, 'Liberation Sans', 'DejaVu Sans', sans-serif",
        )
        .add(Title::new(title).set("id", format!("{id}-title")))
        .add(
            Description::new()
                .set("id", format!("{id}-desc"))
                .add(svg::node::Text::new(alternative.join(". "))),
        )
}

/// Where values lie on the drawing.
struct Frame<'a> {
    x: &'a Axis,
    y: &'a Axis,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl<'a> Frame<'a> {
    fn new(chart: &'a Chart, legend: f64) -> Self {
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

    fn clip(&self, id: &str) -> Definitions {
        let area = Rectangle::new()
            .set("x", shown(self.left))
            .set("y", shown(self.top))
            .set("width", shown(self.right - self.left))
            .set("height", shown(self.bottom - self.top));
        let clip = ClipPath::new().set("id", format!("{id}-clip")).add(area);
        Definitions::new().add(clip)
    }

    /// Grid, numbers and names.
    fn axes(&self, chart: &Chart) -> Group {
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
    fn gaps(&self, mut group: Group) -> Group {
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
    fn mark_ground(&self, [from, to]: [f64; 2]) -> Group {
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

    fn mark_sign(&self, [from, to]: [f64; 2], number: usize) -> Group {
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

    fn guide(
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

    fn curve(&self, mut group: Group, series: &Series, number: usize) -> Group {
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

    /// The name of a level, at the end of it where the curves leave it more room.
    fn level_label(&self, chart: &Chart, level: &Level) -> Text {
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
    fn isotherm_end(&self, series: &Series) -> Option<f64> {
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

/// The names of the curves, above them.
struct Legend {
    /// Row, start and name of each.
    items: Vec<(usize, f64, String)>,
}

impl Legend {
    fn of(chart: &Chart) -> Self {
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

    fn height(&self) -> f64 {
        let rows = self.items.last().map_or(0, |(row, ..)| row + 1);
        LEGEND_ROW * rows as f64 + 4.0
    }

    fn drawn(&self) -> Group {
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

fn stroke(path: Path, which: usize) -> Path {
    let path = path
        .set("class", format!("curve c{}", which % COLOURS.len()))
        .set("stroke", COLOURS[which % COLOURS.len()])
        .set("stroke-width", 1.9)
        .set("stroke-linejoin", "round");
    match DASHES[which] {
        "none" => path,
        dash => path.set("stroke-dasharray", dash),
    }
}

/// The mark of a reading: a shape of its own for every curve.
fn sign(x: f64, y: f64, which: usize) -> Group {
    let shape = which % COLOURS.len();
    let is_filled = (shape == 0) == (which < COLOURS.len());
    let (class, fill) = match is_filled {
        true => (format!("solid c{shape}"), COLOURS[shape]),
        false => (format!("point c{shape}"), PAPER),
    };
    let corners = |offsets: &[(f64, f64)]| {
        let corner = |(dx, dy): &(f64, f64)| format!("{},{}", shown(x + dx), shown(y + dy));
        let points: Vec<String> = offsets.iter().map(corner).collect();
        Polygon::new()
            .set("points", points.join(" "))
            .set("class", class.clone())
            .set("fill", fill)
            .set("stroke", COLOURS[shape])
            .set("stroke-width", 1.6)
    };
    let group = Group::new();
    match shape {
        0 => group.add(
            Circle::new()
                .set("cx", shown(x))
                .set("cy", shown(y))
                .set("r", 3.2)
                .set("class", class)
                .set("fill", fill)
                .set("stroke", COLOURS[shape])
                .set("stroke-width", 1.6),
        ),
        1 => group.add(corners(&[
            (-3.0, -3.0),
            (3.0, -3.0),
            (3.0, 3.0),
            (-3.0, 3.0),
        ])),
        2 => group.add(corners(&[(0.0, -4.0), (3.8, 3.0), (-3.8, 3.0)])),
        _ => group.add(corners(&[(0.0, -4.4), (4.0, 0.0), (0.0, 4.4), (-4.0, 0.0)])),
    }
}

fn rule(from: [f64; 2], to: [f64; 2]) -> Line {
    Line::new()
        .set("x1", shown(from[0]))
        .set("y1", shown(from[1]))
        .set("x2", shown(to[0]))
        .set("y2", shown(to[1]))
        .set("class", "grid")
        .set("stroke", GRID)
        .set("stroke-width", 0.8)
}

fn text(x: f64, y: f64, content: &str, size: f64) -> Text {
    Text::new(content)
        .set("x", shown(x))
        .set("y", shown(y))
        .set("font-size", size)
        .set("class", "ink")
        .set("fill", INK)
}

fn soft(x: f64, y: f64, content: &str) -> Text {
    text(x, y, content, SMALL)
        .set("class", "soft-ink")
        .set("fill", SOFT)
}

/// Paper around letters that stand on lines.
fn halo(text: Text) -> Text {
    text.set("stroke", PAPER)
        .set("stroke-width", 3)
        .set("style", "paint-order:stroke")
        .set("stroke-linejoin", "round")
}

/// A length to a tenth: finer is not seen, and would differ between processors.
fn shown(value: f64) -> f64 {
    let tenth = (value * 10.0).round() / 10.0;
    if tenth == 0.0 { 0.0 } else { tenth }
}
