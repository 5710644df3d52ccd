//! Readings: the point's own name, the number in plain form, the unit's symbol.

use super::{Note, kept};
use crate::model::measured;
use crate::quantity::{Dimension, lookup_unit};
use crate::source::{Span, Spanned};
use crate::syntax::{Item, ValueItem, is_blank};
use crate::vocabulary::{Leg, Point, PointName, candidates, resolve};
use std::fmt::Write as _;
use std::ops::Range;

/// Writes the readings of a line that stand in `place`; `None` when anything between them is not
/// understood, and so would be lost.
pub(super) fn write(
    note: &Note<'_>,
    items: &[Item<'_>],
    place: Range<u32>,
    out: &mut String,
) -> Option<()> {
    let mut at = place.start;
    for (i, item) in items.iter().enumerate() {
        if i > 0 {
            out.push_str(", ");
        }
        let (Item::State { name, .. } | Item::Value(ValueItem { name, .. })) = item;
        // `heater 208 V, 15.9 A`: a name that was said before holds on.
        if name.span.start >= at {
            passed_over(note, &mut at, name.span)?;
        }
        match item {
            Item::State { point, state, .. } => {
                passed_over(note, &mut at, state.span)?;
                let seen = point.seen()?;
                write_name(*name, point, seen, |found| found.seen() == Some(seen), out);
                write_state(note.source.slice(state.span), out);
            }
            Item::Value(value) => write_value(note, value, &mut at, out)?,
        }
    }
    let rest = Span::new(place.end as usize, place.end as usize);
    passed_over(note, &mut at, rest)
}

fn write_state(written: &str, out: &mut String) {
    for word in written.split_whitespace() {
        out.push(' ');
        if word == "OL" {
            out.push_str(word); // as the meter shows it
        } else {
            out.extend(word.chars().flat_map(char::to_lowercase));
        }
    }
}

fn write_value(
    note: &Note<'_>,
    item: &ValueItem<'_>,
    at: &mut u32,
    out: &mut String,
) -> Option<()> {
    let (point, unit) = measured(item, note.habits())?;
    let symbol = note.symbol(unit);
    // A unit that custom alone says is for the writer to confirm.
    let with_unit = item.unit.is_some() || note.habits().bear_out(point);
    let fits = |found: &PointName| match with_unit {
        true => found.measured_by(lookup_unit(symbol)) == Some((point, unit)),
        false => found.measured().eq([point]),
    };
    write_name(item.name, &item.point, point, fits, out);
    for (i, number) in item.values.iter().enumerate() {
        passed_over(note, at, number.span)?;
        out.push_str(if i == 0 { " " } else { " / " });
        let written = note.source.slice(number.span);
        // `5-1/2` and `11/2` are both fractions as one may say them.
        if written.contains('/') && written.starts_with(|c: char| c.is_ascii_digit()) {
            out.push_str(written);
        } else {
            let _ = write!(out, "{}", number.node);
        }
    }
    let place = item.unit.map(|unit| unit.span).or(item.degree);
    if let Some(place) = place {
        passed_over(note, at, place)?;
    }
    if with_unit {
        out.push(' ');
        out.push_str(symbol);
    } else if item.degree.is_some() {
        return None;
    }
    if let Some(remark) = item.remark {
        let before = Span::new(*at as usize, remark.span.start.max(*at) as usize);
        let between = note.source.slice(before);
        out.push_str(match between.trim_matches(is_blank) {
            "" => " ",
            "and" => " and ",
            marks if marks.chars().all(|c| is_blank(c) || is_separator(c)) => ", ",
            _ => return None,
        });
        out.push_str(remark.node);
        *at = remark.span.end;
    }
    Some(())
}

/// Writes a point by its own name, with which one and which leg, where that means the very same;
/// else as written.
fn write_name(
    written: Spanned<&str>,
    wanted: &PointName,
    point: Point,
    fits: impl Fn(&PointName) -> bool,
    out: &mut String,
) {
    if written.node == point.name() {
        out.push_str(written.node);
        return;
    }
    let start = out.len();
    if let Some(bare) = kept::bare_name(written.node) {
        for name in names(&bare, point) {
            out.truncate(start);
            put_name(name, wanted, out);
            let is_same = |found: PointName| {
                found.which == wanted.which && found.leg == wanted.leg && fits(&found)
            };
            if resolve(&out[start..]).is_some_and(is_same) {
                return;
            }
        }
    }
    out.truncate(start);
    out.push_str(written.node);
}

/// Names that a point may go by, the shortest first: `heater 208 V` is as plain as `heater voltage`,
/// since the unit says what was measured of the part. Not so of air: `supply` is a voltage's own name.
fn names(bare: &str, point: Point) -> Vec<&'static str> {
    let mut names = vec![point.name()];
    if point.info().dimension != Some(Dimension::Temperature) {
        names.extend(candidates(bare).iter().map(|other| other.name()));
        names.sort_by_key(|name| name.len());
    }
    names
}

fn put_name(name: &str, wanted: &PointName, out: &mut String) {
    let which = wanted.which.as_deref().unwrap_or("");
    // `evap 2 fan` of `evap 2`; `suction line` of `evap 2` keeps both words.
    let own_word = which.rsplit_once(' ').and_then(|(kind, label)| {
        let word = name.split(' ').find(|word| word.starts_with(kind))?;
        let end = word.as_ptr() as usize - name.as_ptr() as usize + word.len();
        Some((&name[..end], label, &name[end..]))
    });
    let _ = match own_word {
        Some((before, label, after)) => write!(out, "{before} {label}{after}"),
        None if which.is_empty() => write!(out, "{name}"),
        None => write!(out, "{which} {name}"),
    };
    if let Some(Leg(leg)) = wanted.leg {
        let _ = write!(out, " leg {leg}");
    }
}

/// Goes on from `at` to the end of `next`; `None` when what stands between is more than the marks
/// and words that only part readings.
fn passed_over(note: &Note<'_>, at: &mut u32, next: Span) -> Option<()> {
    if next.start < *at {
        return None;
    }
    let between = note
        .source
        .slice(Span::new(*at as usize, next.start as usize));
    *at = next.end;
    let parts = |c: char| {
        is_blank(c)
            || is_separator(c)
            || matches!(c, ':' | '=' | '-' | '–' | '—' | '/' | '.' | '°' | 'º' | '˚')
    };
    between
        .split(parts)
        .all(|word| word.is_empty() || word.eq_ignore_ascii_case("and"))
        .then_some(())
}

fn is_separator(c: char) -> bool {
    matches!(c, ',' | ';' | '|' | '•')
}
