//! Charts to SVG: text stays text, every curve has its own dash and mark besides its colour, and
//! colours stand as attributes, so that a page's sheet may change them (a dark screen) and a file
//! without a sheet is still right.

mod frame;
mod ink;
mod legend;

use crate::view::chart::{Bar, Chart, Role};
use crate::view::history::Strip;
use frame::Frame;
use ink::*;
use legend::Legend;
use svg::Document;
use svg::node::element::{Circle, Description, Group, Path, Rectangle, Title};

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
        inside = inside.add(frame.level_line(level));
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
        .set("font-family", "'Rime Sans', system-ui, sans-serif")
        .add(Title::new(title).set("id", format!("{id}-title")))
        .add(
            Description::new()
                .set("id", format!("{id}-desc"))
                .add(svg::node::Text::new(alternative.join(". "))),
        )
}
