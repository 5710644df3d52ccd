//! What can be heard two ways: `fifteen` and `fifty`, a part's number and a value, a value and a time.

use super::clock;
use super::number::{Atom, atom, number};
use super::phrase::{Figures, Phrases};
use super::reading::{Group, is_usual, unit_text};
use super::usual::usual_value;
use crate::quantity::lookup_unit;
use crate::vocabulary::{Point, resolve};

/// A reading that can be heard in several ways.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Doubt {
    /// Start of the reading, by words.
    pub at: usize,
    /// What is doubtful, as a sentence.
    pub message: String,
    /// Name and value of each way it may be meant, the likeliest first.
    pub ways: Vec<(String, String)>,
    /// True when none of them is taken until somebody says which.
    pub open: bool,
}

/// What is doubtful of a reading.
pub(super) fn doubt(phrases: Phrases<'_, '_>, group: &Group) -> Option<Doubt> {
    let value = group.values.first()?;
    let said: Vec<&str> = group
        .range
        .clone()
        .map(|i| &*phrases.words[i].text)
        .collect();
    let said = said.join(" ");
    let name = &group.name_text;
    if let Some((short, joined)) = &group.otherwise {
        return Some(Doubt {
            at: group.range.start,
            message: format!(
                "`{said}` may be {} of `{name}` or {joined} of `{short}`",
                value.text
            ),
            ways: vec![
                (name.clone(), value.text.clone()),
                (short.clone(), joined.clone()),
            ],
            open: true,
        });
    }
    let point = measured(phrases, group)?;
    let two = group.values.len() == 2 && group.values.iter().all(|value| value.spoken);
    if two
        || group.values.len() > 1
            && !point.has_legs()
            && !(group.values.len() == 3 && matches!(point, Point::L1L2 | Point::T1T2))
    {
        let ways = group
            .values
            .iter()
            .map(|value| (name.clone(), value.text.clone()))
            .collect();
        return Some(Doubt {
            at: group.range.start,
            message: format!("`{said}` gives `{name}` {} numbers", group.values.len()),
            ways,
            open: true,
        });
    }
    // `evap in thirty eight`: of the air, or of the pipe?
    let words: Vec<&str> = group.name.clone().map(|i| phrases.folded(i)).collect();
    let pipe = match (words.as_slice(), name.as_str()) {
        (["evap" | "evaporator", "out"], "supply air") => Some("suction line"),
        (["evap" | "evaporator", "in"], _) => Some("liquid line"),
        _ => None,
    };
    if let Some(pipe) = pipe {
        return Some(Doubt {
            at: group.range.start,
            message: format!(
                "`{}` was taken for `{name}`; it may be the pipe",
                words.join(" ")
            ),
            ways: vec![
                (name.clone(), value.text.clone()),
                (pipe.to_owned(), value.text.clone()),
            ],
            open: false,
        });
    }
    // `two thirty at the disconnect`
    let at = phrases.folded(value.range.end) == "at";
    let turned = at && group.name.start > value.range.start && group.unit.is_none() && value.spoken;
    if turned
        && let Some(time) = clock::time(&phrases.run(value.range.start, 6))
        && time.words == value.range.len()
        && !time.bare
    {
        return Some(Doubt {
            at: group.range.start,
            message: format!(
                "`{said}` may be the time {} or {} of `{name}`",
                time.figures, value.text
            ),
            ways: vec![(name.clone(), value.text.clone())],
            open: true,
        });
    }
    if !value.spoken || is_usual(phrases, group)? {
        return None;
    }
    if value.joined {
        let time = clock::time(&phrases.run(value.range.start, 6)).map(|time| time.figures);
        let time = time.map_or(String::new(), |time| format!(", or the time {time}"));
        let first = first_of(phrases, value);
        let mut ways = vec![(name.clone(), value.text.clone())];
        ways.extend(first.map(|first| (name.clone(), first)));
        ways.reverse();
        return Some(Doubt {
            at: group.range.start,
            message: format!("`{said}` may be one number or two{time}"),
            ways,
            open: true,
        });
    }
    let twin = twin(phrases, value).filter(|twin| {
        let other = Figures {
            text: twin.clone(),
            ..value.clone()
        };
        usual_value(name, &unit_text(phrases, group), &other) == Some(true)
    });
    let mut ways = vec![(name.clone(), value.text.clone())];
    let message = match twin {
        Some(twin) => {
            let message = format!(
                "{} is unusual for `{name}`; `{said}` may be {twin} misheard",
                value.text
            );
            ways.insert(0, (name.clone(), twin));
            message
        }
        None => format!(
            "{} is unusual for `{name}`; was it heard right?",
            value.text
        ),
    };
    Some(Doubt {
        at: group.range.start,
        message,
        ways,
        open: false,
    })
}

/// What is doubtful of a reading beside the others of its line: `ambient nineteen` beside a liquid line of
/// 98 F is `ninety` misheard. The liquid stands a few degrees above the air it was cooled by; common
/// practice, no source.
pub(super) fn doubt_beside(
    phrases: Phrases<'_, '_>,
    group: &Group,
    all: &[&Group],
) -> Option<Doubt> {
    const FAR: f64 = 50.0;
    let value = group.values.first().filter(|value| value.spoken)?;
    let point = |group: &Group| resolve(&group.name_text)?.measured().next();
    let number = |group: &Group| group.values.first()?.text.parse::<f64>().ok();
    if point(group)? != Point::Ambient {
        return None;
    }
    let liquid = all
        .iter()
        .find(|other| point(other) == Some(Point::LiquidLine))
        .and_then(|other| number(other))?;
    let twin = twin(phrases, value)?;
    let near = |air: f64| (0.0..FAR).contains(&(liquid - air));
    if near(number(group)?) || !near(twin.parse().ok()?) {
        return None;
    }
    let name = &group.name_text;
    Some(Doubt {
        at: group.range.start,
        message: format!(
            "{} of `{name}` is far from a liquid line of {liquid}; it may be {twin} misheard",
            value.text
        ),
        ways: vec![(name.clone(), twin), (name.clone(), value.text.clone())],
        open: false,
    })
}

/// The point that a reading's unit measures, or its first.
fn measured(phrases: Phrases<'_, '_>, group: &Group) -> Option<Point> {
    let name = resolve(&group.name_text)?;
    let unit = unit_text(phrases, group);
    match name.measured_by(lookup_unit(&unit)) {
        Some((point, _)) => Some(point),
        None => name
            .measured()
            .find(|point| point.has_legs())
            .or(name.measured().next()),
    }
}

/// The number with its last `-teen` as a `-ty`, or the other way round.
fn twin(phrases: Phrases<'_, '_>, value: &Figures) -> Option<String> {
    let mut atoms: Vec<Option<Atom<'_>>> = value
        .range
        .clone()
        .map(|i| atom(phrases.folded(i)))
        .collect();
    let last = atoms.last_mut()?;
    *last = match *last {
        Some(Atom::Teen(t)) if t > 12 => Some(Atom::Ten((t - 10) * 10)),
        Some(Atom::Ten(t)) if t > 20 => Some(Atom::Teen(t / 10 + 10)),
        _ => return None,
    };
    let said = number(&atoms)?;
    (said.words == atoms.len()).then_some(said.figures)
}

/// The first of two numbers that were read as one.
fn first_of(phrases: Phrases<'_, '_>, value: &Figures) -> Option<String> {
    let atoms: Vec<Option<Atom<'_>>> = value
        .range
        .clone()
        .map(|i| atom(phrases.folded(i)))
        .collect();
    super::number::small(&atoms, 0).map(|(first, _)| first.to_string())
}
