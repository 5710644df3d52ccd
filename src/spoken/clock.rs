//! Times of day as they are said: `nine twelve`, `oh nine twelve`, `quarter past nine`, `nine fifteen
//! a m`, `fourteen hundred`, `half past two in the afternoon`.

use super::number::{Atom, atom, small};
use crate::syntax::MONTHS;

/// A time of day said in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Said {
    /// In the notation: `0912` where it can only mean this, `9:12` where morning or afternoon is
    /// left open.
    pub figures: String,
    /// Words it takes.
    pub words: usize,
    /// True when something said that it is a time: `o'clock`, `a m`, a leading `oh`.
    pub plain: bool,
    /// True for an hour alone: `at nine`.
    pub bare: bool,
}

/// The time that starts at the first word; words are folded.
pub(super) fn time(words: &[&str]) -> Option<Said> {
    let atoms: Vec<Option<Atom<'_>>> = words.iter().map(|w| atom(w)).collect();
    match words.first()? {
        &"noon" | &"midday" => return Some(certain(12, 0, 1)),
        &"midnight" => return Some(certain(0, 0, 1)),
        _ => {}
    }
    let (hour, minute, at, mut plain, mut full) = past(words, &atoms)
        .or_else(|| colon(words))
        .or_else(|| run(&atoms))?;
    let mut end = at;
    let half = half_of_day(&words[at..]);
    if let Some((_, count)) = half {
        end += count;
        plain = true;
    } else if words.get(at) == Some(&"hours") {
        end += 1;
        plain = true;
        full = true;
    }
    let hour = match half.map(|(afternoon, _)| afternoon) {
        Some(true) if hour < 12 => hour + 12,
        Some(false) if hour == 12 => 0,
        _ => hour,
    };
    if hour > 23 || minute > 59 {
        return None;
    }
    let figures = if half.is_some() || full || hour > 12 {
        format!("{hour:02}{minute:02}")
    } else {
        format!("{hour}:{minute:02}")
    };
    let bare = !plain && minute == 0 && small(&atoms, 0).is_some_and(|(_, after)| after == end);
    Some(Said {
        figures,
        words: end,
        plain,
        bare,
    })
}

fn certain(hour: u32, minute: u32, words: usize) -> Said {
    Said {
        figures: format!("{hour:02}{minute:02}"),
        words,
        plain: true,
        bare: false,
    }
}

/// Hour, minute, words, whether it is plainly a time, whether the hour is one of twenty-four.
type Read = (u32, u32, usize, bool, bool);

/// `quarter past nine`, `twenty to ten`, `nine o'clock`.
fn past(words: &[&str], atoms: &[Option<Atom<'_>>]) -> Option<Read> {
    if let Some((hour, end)) = small(atoms, 0)
        && matches!(words.get(end), Some(&"o'clock" | &"oclock"))
    {
        return Some((hour, 0, end + 1, true, false));
    }
    // `half nine`, as said in Britain
    if let (Some(&Some(Atom::Half)), Some((hour, 2))) = (atoms.first(), small(atoms, 1))
        && (1..=12).contains(&hour)
    {
        return Some((hour, 30, 2, true, false));
    }
    let article = usize::from(words[0] == "a");
    let (minute, end) = match atoms.get(article)? {
        Some(Atom::Quarter) => (15, article + 1),
        Some(Atom::Half) => (30, article + 1),
        _ => small(atoms, 0)?,
    };
    let end = end + usize::from(words.get(end) == Some(&"minutes"));
    let before = match *words.get(end)? {
        "past" | "after" => false,
        "to" | "till" | "before" | "of" => true,
        _ => return None,
    };
    let (hour, end) = small(atoms, end + 1)?;
    if !(1..=23).contains(&hour) || !(1..=59).contains(&minute) {
        return None;
    }
    if before {
        let hour = if hour == 1 { 12 } else { hour - 1 };
        return Some((hour, 60 - minute, end, true, false));
    }
    Some((hour, minute, end, true, false))
}

/// `9:12`, `0912` in figures.
fn colon(words: &[&str]) -> Option<Read> {
    let first = words[0];
    let (hour, minute) = match first.split_once([':', '.']) {
        Some(parts) => parts,
        None if first.len() == 4 => first.split_at_checked(2)?,
        None if first.len() == 3 => first.split_at_checked(1)?,
        None => return None,
    };
    let figures = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if !figures(hour) || !figures(minute) || minute.len() != 2 {
        return None;
    }
    let full = hour.starts_with('0') || first.len() == 4 && !first.contains(':');
    let plain =
        first.contains(':') || full || first.contains('.') && matches!(hour.parse(), Ok(13..=23));
    Some((hour.parse().ok()?, minute.parse().ok()?, 1, plain, full))
}

/// `nine twelve`, `oh nine twelve`, `twelve oh five`, `fourteen hundred`, `nine one two` never.
fn run(atoms: &[Option<Atom<'_>>]) -> Option<Read> {
    let get = |at: usize| atoms.get(at).copied().flatten();
    let leading = matches!(get(0), Some(Atom::Zero)) && matches!(get(1), Some(Atom::Digit(_)));
    let (hour, end) = small(atoms, usize::from(leading))?;
    if hour > 24 {
        // `twenty two thirty` as 22 and 30, not 20 and 230
        return None;
    }
    match get(end) {
        Some(Atom::Hundred) => Some((hour, 0, end + 1, leading || hour > 12, true)),
        Some(Atom::Zero) => {
            let (minute, end) = match get(end + 1) {
                Some(Atom::Digit(d)) => (d.into(), end + 2),
                Some(Atom::Zero) => (0, end + 2),
                _ => return None,
            };
            Some((hour, minute, end, leading, leading))
        }
        Some(Atom::Teen(_) | Atom::Ten(_)) | Some(Atom::Figures(_)) => {
            if matches!(get(end), Some(Atom::Figures(figures)) if figures.len() != 2) {
                return None;
            }
            // `seven fifty seven fifty five`: two times, not 7:57 and 55
            let next = matches!(get(end), Some(Atom::Ten(_)))
                && matches!(get(end + 1), Some(Atom::Digit(_)))
                && matches!(
                    get(end + 2),
                    Some(Atom::Ten(_) | Atom::Teen(_) | Atom::Zero)
                );
            let (minute, end) = match get(end) {
                Some(Atom::Ten(tens)) if next => (tens.into(), end + 1),
                _ => small(atoms, end)?,
            };
            Some((hour, minute, end, leading, leading))
        }
        // `nine a m`: the caller looks for the half of the day
        None if hour >= 1 => Some((hour, 0, end, leading, leading)),
        _ => None,
    }
}

/// `a m`, `p m`, `am`, `in the afternoon`: true for the afternoon, and the words it takes.
fn half_of_day(words: &[&str]) -> Option<(bool, usize)> {
    match words {
        ["am", ..] => Some((false, 1)),
        ["pm", ..] => Some((true, 1)),
        ["a", "m", ..] => Some((false, 2)),
        ["p", "m", ..] => Some((true, 2)),
        ["in", "the", "morning", ..] => Some((false, 3)),
        ["in", "the", "afternoon" | "evening", ..] => Some((true, 3)),
        ["at", "night", ..] => Some((true, 2)),
        _ => None,
    }
}

const ORDINALS: &[(&str, u32)] = &[
    ("first", 1),
    ("second", 2),
    ("third", 3),
    ("fourth", 4),
    ("fifth", 5),
    ("sixth", 6),
    ("seventh", 7),
    ("eighth", 8),
    ("ninth", 9),
    ("tenth", 10),
    ("eleventh", 11),
    ("twelfth", 12),
    ("thirteenth", 13),
    ("fourteenth", 14),
    ("fifteenth", 15),
    ("sixteenth", 16),
    ("seventeenth", 17),
    ("eighteenth", 18),
    ("nineteenth", 19),
    ("twentieth", 20),
    ("thirtieth", 30),
];

/// A date said in words, in the notation, and the words it takes: `march fourteenth`, `the fourteenth
/// of march twenty twenty six`.
pub(super) fn date(words: &[&str]) -> Option<(String, usize)> {
    let month = |word: &str| {
        MONTHS
            .iter()
            .position(|m| *m == word || word.len() >= 3 && word.len() <= 4 && m.starts_with(word))
            .map(|m| m + 1)
    };
    let (month, day, mut end) = match month(words.first()?) {
        Some(found) => {
            let the = 1 + usize::from(words.get(1) == Some(&"the"));
            let (day, end) = day(words, the)?;
            (found, day, end)
        }
        None => {
            let the = usize::from(words[0] == "the");
            let (day, end) = day(words, the)?;
            let of = end + usize::from(words.get(end) == Some(&"of"));
            (month(words.get(of)?)?, day, of + 1)
        }
    };
    let atoms: Vec<Option<Atom<'_>>> = words.iter().map(|w| atom(w)).collect();
    let year = year(&atoms[end..]);
    Some(match year {
        Some((year, count)) => {
            end += count;
            (format!("{year}-{month:02}-{day:02}"), end)
        }
        None => (format!("{} {day}", MONTHS[month - 1]), end),
    })
}

/// `fourteenth`, `twenty first`, `fourteen`, `14th`.
fn day(words: &[&str], at: usize) -> Option<(u32, usize)> {
    let ordinal = |word: &str| ORDINALS.iter().find(|o| o.0 == word).map(|o| o.1);
    let word = words.get(at)?;
    if let Some(day) = ordinal(word) {
        return Some((day, at + 1));
    }
    let tens = match *word {
        "twenty" => 20,
        "thirty" => 30,
        _ => 0,
    };
    if tens > 0
        && let Some(day) = words
            .get(at + 1)
            .and_then(|w| ordinal(w))
            .filter(|d| *d < 10)
    {
        return Some((tens + day, at + 2));
    }
    let figures = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    if let Ok(day) = figures.parse::<u32>() {
        return (1..=31).contains(&day).then_some((day, at + 1));
    }
    let atoms: Vec<Option<Atom<'_>>> = words.iter().map(|w| atom(w)).collect();
    let (day, end) = small(&atoms, at)?;
    (1..=31).contains(&day).then_some((day, end))
}

/// `twenty twenty six`, `two thousand twenty six`, `2026`.
fn year(atoms: &[Option<Atom<'_>>]) -> Option<(u32, usize)> {
    let said = super::number::number(atoms)?;
    let year = said.figures.parse().ok()?;
    (2000..2100).contains(&year).then_some((year, said.words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_as_said() {
        for (said, figures) in [
            ("nine twelve", "9:12"),
            ("oh nine twelve", "0912"),
            ("quarter past nine", "9:15"),
            ("half past two", "2:30"),
            ("twenty to ten", "9:40"),
            ("nine fifteen a m", "0915"),
            ("nine fifteen pm", "2115"),
            ("twelve oh five", "12:05"),
            ("fourteen hundred hours", "1400"),
            ("twenty one oh five", "2105"),
            ("ten o'clock", "10:00"),
            ("oh eight hundred", "0800"),
            ("seven fifty seven", "7:57"),
            ("9:12", "9:12"),
            ("noon", "1200"),
            ("half past two in the afternoon", "1430"),
            ("fourteen thirty five", "1435"),
        ] {
            let words: Vec<&str> = said.split(' ').collect();
            let read = time(&words).expect(said);
            assert_eq!(
                (read.figures.as_str(), read.words),
                (figures, words.len()),
                "{said}"
            );
        }
        for said in ["thirty nine", "two hundred thirty", "fan", ""] {
            let words: Vec<&str> = said.split(' ').collect();
            let read = time(&words);
            assert!(
                read.as_ref().is_none_or(|r| r.words < words.len()),
                "{said}: {read:?}"
            );
        }
    }

    #[test]
    fn dates_as_said() {
        for (said, written) in [
            ("march fourteenth", "march 14"),
            ("the fourteenth of march", "march 14"),
            ("march the twenty first", "march 21"),
            ("march fourteenth twenty twenty six", "2026-03-14"),
            ("3rd of june 2026", "2026-06-03"),
            ("may five", "may 5"),
        ] {
            let words: Vec<&str> = said.split(' ').collect();
            assert_eq!(
                date(&words),
                Some((written.to_owned(), words.len())),
                "{said}"
            );
        }
    }
}
