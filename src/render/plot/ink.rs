//! What drawings are drawn with: sizes, colours, dashes, marks, letters.

use svg::node::element::{Circle, Group, Line, Path, Polygon, Text};

/// Size of the drawing, in its own units; text of 11.5 is then right from a phone to a desk.
pub(super) const WIDTH: f64 = 440.0;
pub(super) const PLOT_HEIGHT: f64 = 210.0;
pub(super) const LEFT: f64 = 40.0;
pub(super) const RIGHT: f64 = 12.0;
pub(super) const BOTTOM: f64 = 36.0;
pub(super) const LEGEND_ROW: f64 = 17.0;
pub(super) const TEXT: f64 = 11.5;
pub(super) const SMALL: f64 = 10.0;
/// Width of a letter, as a share of its size, on average.
pub(super) const LETTER: f64 = 0.56;

/// Ink, and the colours of curves: told apart by lightness as well, for print without colour.
pub(super) const INK: &str = "#1b2530";
pub(super) const SOFT: &str = "#515d69";
pub(super) const GRID: &str = "#d5dde0";
pub(super) const PAPER: &str = "#ffffff";
pub(super) const STRETCH: &str = "#e3e8ea";
pub(super) const COLOURS: [&str; 4] = ["#17495a", "#b3541e", "#6a4c93", "#5b6f0f"];
/// A dash a curve: the second four have the colours and shapes of the first, filled the other way.
pub(super) const DASHES: [&str; 8] = [
    "none",
    "6 3",
    "2 3",
    "9 3 2 3",
    "12 3",
    "4 2",
    "1 2",
    "9 2 2 2 2 2",
];

pub(super) fn stroke(path: Path, which: usize) -> Path {
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
pub(super) fn sign(x: f64, y: f64, which: usize) -> Group {
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

pub(super) fn rule(from: [f64; 2], to: [f64; 2]) -> Line {
    Line::new()
        .set("x1", shown(from[0]))
        .set("y1", shown(from[1]))
        .set("x2", shown(to[0]))
        .set("y2", shown(to[1]))
        .set("class", "grid")
        .set("stroke", GRID)
        .set("stroke-width", 0.8)
}

pub(super) fn text(x: f64, y: f64, content: &str, size: f64) -> Text {
    Text::new(content)
        .set("x", shown(x))
        .set("y", shown(y))
        .set("font-size", size)
        .set("class", "ink")
        .set("fill", INK)
}

pub(super) fn soft(x: f64, y: f64, content: &str) -> Text {
    text(x, y, content, SMALL)
        .set("class", "soft-ink")
        .set("fill", SOFT)
}

/// Paper around letters that stand on lines.
pub(super) fn halo(text: Text) -> Text {
    text.set("stroke", PAPER)
        .set("stroke-width", 3)
        .set("style", "paint-order:stroke")
        .set("stroke-linejoin", "round")
}

/// A length to a tenth: finer is not seen, and would differ between processors.
pub(super) fn shown(value: f64) -> f64 {
    let tenth = (value * 10.0).round() / 10.0;
    if tenth == 0.0 { 0.0 } else { tenth }
}
