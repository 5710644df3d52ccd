//! Numbers as they are said: `four point two`, `one twenty`, `two oh eight`, `minus twenty four`,
//! `five and a half`, `three eighths`, `a hundred and five`.
//!
//! By hand and not by a library for number words: those read the numbers of prose ("one hundred and
//! twenty"), and leave what is said at a gauge (`one twenty`, `two oh eight`, `three eighths`) as two
//! numbers or as words.

use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// What one word is in a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Atom<'s> {
    /// `one` … `nine`.
    Digit(u8),
    /// `oh`, `zero`, `nought`.
    Zero,
    /// `ten` … `nineteen`.
    Teen(u8),
    /// `twenty` … `ninety`.
    Ten(u8),
    Hundred,
    Thousand,
    /// `point`, `decimal`.
    Point,
    /// `minus`, `negative`.
    Minus,
    And,
    /// `a`, `an`.
    Article,
    Half,
    Quarter,
    /// `eighths`, `sixteenths`.
    Part(u8),
    /// Digits as written.
    Figures(&'s str),
}

/// A number said in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Said {
    /// In figures: `4.2`, `-24`, `5 1/2`.
    pub figures: String,
    /// Words it takes.
    pub words: usize,
    /// True when it was put together of two numbers that can stand alone: `twenty forty one`.
    pub joined: bool,
}

const WORDS: &[(&str, Atom<'static>)] = &[
    ("a", Atom::Article),
    ("an", Atom::Article),
    ("and", Atom::And),
    ("comma", Atom::Point),
    ("decimal", Atom::Point),
    ("dot", Atom::Point),
    ("eight", Atom::Digit(8)),
    ("eighteen", Atom::Teen(18)),
    ("eighth", Atom::Part(8)),
    ("eighths", Atom::Part(8)),
    ("eighty", Atom::Ten(80)),
    ("eleven", Atom::Teen(11)),
    ("fifteen", Atom::Teen(15)),
    ("fifty", Atom::Ten(50)),
    ("five", Atom::Digit(5)),
    ("forty", Atom::Ten(40)),
    ("four", Atom::Digit(4)),
    ("fourteen", Atom::Teen(14)),
    ("fourty", Atom::Ten(40)),
    ("half", Atom::Half),
    ("hundred", Atom::Hundred),
    ("minus", Atom::Minus),
    ("naught", Atom::Zero),
    ("negative", Atom::Minus),
    ("nine", Atom::Digit(9)),
    ("niner", Atom::Digit(9)),
    ("nineteen", Atom::Teen(19)),
    ("ninety", Atom::Ten(90)),
    ("nought", Atom::Zero),
    ("o", Atom::Zero),
    ("oh", Atom::Zero),
    ("one", Atom::Digit(1)),
    ("point", Atom::Point),
    ("quarter", Atom::Quarter),
    ("quarters", Atom::Quarter),
    ("seven", Atom::Digit(7)),
    ("seventeen", Atom::Teen(17)),
    ("seventy", Atom::Ten(70)),
    ("six", Atom::Digit(6)),
    ("sixteen", Atom::Teen(16)),
    ("sixteenth", Atom::Part(16)),
    ("sixteenths", Atom::Part(16)),
    ("sixty", Atom::Ten(60)),
    ("ten", Atom::Teen(10)),
    ("thirteen", Atom::Teen(13)),
    ("thirty", Atom::Ten(30)),
    ("thousand", Atom::Thousand),
    ("three", Atom::Digit(3)),
    ("twelve", Atom::Teen(12)),
    ("twenty", Atom::Ten(20)),
    ("two", Atom::Digit(2)),
    ("zero", Atom::Zero),
];

/// What a folded word is in a number, if anything.
pub(super) fn atom(word: &str) -> Option<Atom<'_>> {
    if word.starts_with(|c: char| c.is_ascii_alphabetic()) {
        return BY_WORD.get(word).copied();
    }
    let plain = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let figures = match word.split_once('.') {
        Some((whole, part)) => plain(part) && (whole.is_empty() || plain(whole)),
        None => plain(word),
    };
    if figures {
        return Some(Atom::Figures(word));
    }
    BY_WORD.get(word).copied()
}

static BY_WORD: LazyLock<FxHashMap<&'static str, Atom<'static>>> =
    LazyLock::new(|| WORDS.iter().copied().collect());

/// True for a word that names a number by itself: `a`, `and`, `point` do not.
pub(super) fn names_number(word: &str) -> bool {
    matches!(
        atom(word),
        Some(
            Atom::Digit(_)
                | Atom::Zero
                | Atom::Teen(_)
                | Atom::Ten(_)
                | Atom::Hundred
                | Atom::Thousand
        )
    ) && word != "o"
}

/// A number up to 99 at `at`, and the place after it.
pub(super) fn small(atoms: &[Option<Atom<'_>>], at: usize) -> Option<(u32, usize)> {
    match atoms.get(at).copied().flatten()? {
        Atom::Zero => Some((0, at + 1)),
        Atom::Digit(d) => Some((d.into(), at + 1)),
        Atom::Teen(t) => Some((t.into(), at + 1)),
        Atom::Ten(t) => match atoms.get(at + 1) {
            Some(&Some(Atom::Digit(d))) => Some((u32::from(t) + u32::from(d), at + 2)),
            _ => Some((t.into(), at + 1)),
        },
        Atom::Figures(text) if text.len() <= 2 => Some((text.parse().ok()?, at + 1)),
        _ => None,
    }
}

/// The number that starts at the first atom.
pub(super) fn number(atoms: &[Option<Atom<'_>>]) -> Option<Said> {
    let negative = atoms.first()? == &Some(Atom::Minus);
    let start = usize::from(negative);
    let (mut figures, end, joined) = magnitude(atoms, start)?;
    if negative {
        figures.insert(0, '-');
    }
    Some(Said {
        figures,
        words: end,
        joined,
    })
}

fn magnitude(atoms: &[Option<Atom<'_>>], at: usize) -> Option<(String, usize, bool)> {
    let get = |at: usize| atoms.get(at).copied().flatten();
    // `half a pound`, `a quarter`, `three eighths`
    if let Some((part, end)) = part(atoms, at) {
        return Some((part, end, false));
    }
    let (mut figures, mut end, joined) = match get(at)? {
        Atom::Point => ("0".to_owned(), at, false),
        _ => whole(atoms, at)?,
    };
    if get(end) == Some(Atom::Point)
        && let Some((decimals, after)) = decimals(atoms, end + 1)
    {
        figures.push('.');
        figures.push_str(&decimals);
        return Some((figures, after, joined));
    }
    if end == at {
        return None; // `point` and no number behind it
    }
    if get(end) == Some(Atom::And)
        && let Some((part, after)) = part(atoms, end + 1)
    {
        figures.push(' ');
        figures.push_str(&part);
        end = after;
    }
    Some((figures, end, joined))
}

/// `half`, `a half`, `three quarters`, `an eighth`, `five sixteenths`.
fn part(atoms: &[Option<Atom<'_>>], at: usize) -> Option<(String, usize)> {
    let get = |at: usize| atoms.get(at).copied().flatten();
    let (above, at) = match get(at)? {
        Atom::Article => (1, at + 1),
        Atom::Digit(d) => (d, at + 1),
        _ => (1, at),
    };
    let below = match get(at)? {
        Atom::Half => 2,
        Atom::Quarter => 4,
        Atom::Part(below) => below,
        _ => return None,
    };
    Some((format!("{above}/{below}"), at + 1))
}

/// Digits behind the point: one by one, or a number up to 99 as in `point twenty five`.
fn decimals(atoms: &[Option<Atom<'_>>], at: usize) -> Option<(String, usize)> {
    let get = |at: usize| atoms.get(at).copied().flatten();
    let mut digits = String::new();
    let mut end = at;
    while let Some(Atom::Digit(_) | Atom::Zero) = get(end) {
        let digit = if let Some(Atom::Digit(d)) = get(end) {
            d
        } else {
            0
        };
        digits.push(char::from(b'0' + digit));
        end += 1;
    }
    // `nine point one nine point three`: the last digit starts the next number.
    if digits.len() > 1 && get(end) == Some(Atom::Point) {
        digits.pop();
        end -= 1;
    }
    if !digits.is_empty() {
        return Some((digits, end));
    }
    match get(at)? {
        Atom::Figures(text) if !text.contains('.') => Some((text.to_owned(), at + 1)),
        Atom::Teen(_) | Atom::Ten(_) => {
            let (value, end) = small(atoms, at)?;
            Some((value.to_string(), end))
        }
        _ => None,
    }
}

fn whole(atoms: &[Option<Atom<'_>>], at: usize) -> Option<(String, usize, bool)> {
    let get = |at: usize| atoms.get(at).copied().flatten();
    if let Some(Atom::Figures(text)) = get(at) {
        let single = text.len() == 1;
        match get(at + 1) {
            Some(Atom::Hundred | Atom::Thousand) if text.len() <= 2 => {}
            // `2 thirty`
            Some(Atom::Ten(_) | Atom::Teen(_)) if single => {
                let (value, end) = small(atoms, at + 1)?;
                return Some((format!("{text}{value}"), end, false));
            }
            _ => {
                let text = if text.starts_with('.') {
                    format!("0{text}")
                } else {
                    text.to_owned()
                };
                return Some((text, at + 1, false));
            }
        }
    }
    if get(at) == Some(Atom::Article) || get(at) == Some(Atom::Hundred) {
        let hundred = at + usize::from(get(at) == Some(Atom::Article));
        return match get(hundred)? {
            Atom::Hundred => Some(from_hundreds(atoms, 1, hundred)),
            Atom::Thousand if hundred > at => Some(from_thousands(atoms, 1, hundred)),
            _ => None,
        };
    }
    let (first, end) = small(atoms, at)?;
    match get(end) {
        Some(Atom::Hundred) if first > 0 => return Some(from_hundreds(atoms, first, end)),
        Some(Atom::Thousand) if first > 0 => return Some(from_thousands(atoms, first, end)),
        _ => {}
    }
    let is_digit = |at: usize| matches!(get(at), Some(Atom::Digit(_) | Atom::Zero));
    let two = |at: usize| matches!(get(at), Some(Atom::Ten(_) | Atom::Teen(_)));
    if is_digit(at) {
        let run = (at..).take_while(|&i| is_digit(i)).count();
        let digits: String = (at..at + run)
            .filter_map(|i| small(atoms, i))
            .map(|(d, _)| d.to_string())
            .collect();
        let zero = digits.contains('0');
        let end = at + run;
        // `two oh eight two thirty`: two numbers
        if two(end) && run > 3 {
            return Some((digits[..run - 1].to_owned(), end - 1, false));
        }
        // `oh nine twelve`, `one twenty`
        if two(end) && (run == 1 || run == 2 && get(at) == Some(Atom::Zero)) {
            let (value, end) = small(atoms, end)?;
            return Some((format!("{digits}{value}"), end, false));
        }
        // `two 31`: the hundreds in words, the rest in figures
        if run == 1
            && let Some(Atom::Figures(rest)) = get(end)
            && rest.len() == 2
        {
            return Some((format!("{digits}{rest}"), end + 1, false));
        }
        // `two oh eight point five`: the run is cut before a decimal of its own, as in
        // `two oh eight nine point one`; `three nine point five` is one number.
        let point = get(end) == Some(Atom::Point);
        let cut = usize::from(point && run > 3);
        if run - cut >= 3 || run == 2 && (zero || point) {
            let kept = &digits[..run - cut];
            return Some((kept.to_owned(), end - cut, false));
        }
        return Some((digits[..1].to_owned(), at + 1, false));
    }
    // `twenty forty one`, `twelve oh five`: two numbers of two digits read as one.
    let second = match get(end) {
        Some(Atom::Zero) if matches!(get(end + 1), Some(Atom::Digit(_))) => small(atoms, end + 1),
        _ if two(end) => small(atoms, end),
        _ => None,
    };
    Some(match second {
        Some((second, after)) => (format!("{first}{second:02}"), after, true),
        None => (first.to_string(), end, false),
    })
}

/// `two hundred and thirty six`; `at` is the place of `hundred`.
fn from_hundreds(atoms: &[Option<Atom<'_>>], count: u32, at: usize) -> (String, usize, bool) {
    let (rest, end) = rest_of(atoms, at + 1, small);
    let value = count * 100 + rest;
    if atoms.get(end) == Some(&Some(Atom::Thousand)) {
        return from_thousands(atoms, value, end);
    }
    (value.to_string(), end, false)
}

/// `three thousand three hundred`; `at` is the place of `thousand`.
fn from_thousands(atoms: &[Option<Atom<'_>>], count: u32, at: usize) -> (String, usize, bool) {
    let below = |atoms: &[Option<Atom<'_>>], at: usize| {
        let (first, end) = small(atoms, at)?;
        if atoms.get(end) == Some(&Some(Atom::Hundred)) {
            let (rest, end) = rest_of(atoms, end + 1, small);
            return Some((first * 100 + rest, end));
        }
        Some((first, end))
    };
    let (rest, end) = rest_of(atoms, at + 1, below);
    ((count * 1000 + rest).to_string(), end, false)
}

/// What is added behind `hundred` or `thousand`, with or without `and`; zero and the same place when
/// nothing is.
fn rest_of(
    atoms: &[Option<Atom<'_>>],
    at: usize,
    read: impl Fn(&[Option<Atom<'_>>], usize) -> Option<(u32, usize)>,
) -> (u32, usize) {
    let get = |at: usize| atoms.get(at).copied().flatten();
    let from = at + usize::from(get(at) == Some(Atom::And));
    // `two hundred oh five`
    let from = from + usize::from(get(from) == Some(Atom::Zero));
    match read(atoms, from) {
        Some((rest, end))
            if rest >= 100 || !matches!(get(from), Some(Atom::Figures(_) | Atom::Zero)) =>
        {
            // `a hundred and three eighths` is no 103, `four hundred six hundred` two numbers.
            match get(end) {
                Some(Atom::Part(_) | Atom::Half | Atom::Quarter | Atom::Hundred) => (0, at),
                _ => (rest, end),
            }
        }
        _ => (0, at),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<(String, usize)> {
        let atoms: Vec<_> = text.split(' ').map(atom).collect();
        number(&atoms).map(|said| (said.figures, said.words))
    }

    #[test]
    fn words_are_sorted_for_the_search() {
        assert!(WORDS.is_sorted_by_key(|row| row.0));
    }

    #[test]
    fn numbers_of_the_trade() {
        for (said, figures) in [
            ("four point two", "4.2"),
            ("minus twenty four", "-24"),
            ("negative five", "-5"),
            ("two thirty", "230"),
            ("one twenty", "120"),
            ("a hundred and five", "105"),
            ("one hundred five", "105"),
            ("two hundred thirty six", "236"),
            ("three eighths", "3/8"),
            ("five and a half", "5 1/2"),
            ("two and three quarters", "2 3/4"),
            ("four hundred", "400"),
            ("point six", "0.6"),
            ("oh point six", "0.6"),
            ("two oh eight", "208"),
            ("two zero eight", "208"),
            ("four sixty", "460"),
            ("one oh five", "105"),
            ("oh nine twelve", "0912"),
            ("nine twelve", "912"),
            ("twenty forty one", "2041"),
            ("twelve oh five", "1205"),
            ("nineteen hundred", "1900"),
            ("three thousand three hundred", "3300"),
            ("thirty three hundred", "3300"),
            ("twelve thousand five hundred", "12500"),
            ("eighty four point five", "84.5"),
            ("point twenty five", "0.25"),
            ("two point oh five", "2.05"),
            ("half", "1/2"),
            ("an eighth", "1/8"),
            ("one nineteen", "119"),
            ("2 thirty", "230"),
            ("4 hundred", "400"),
            ("1.5", "1.5"),
            ("zero", "0"),
            ("nine one two", "912"),
            ("two 31", "231"),
            ("three nine point five", "39.5"),
            ("one niner zero", "190"),
            ("four dot two", "4.2"),
            ("1 thousand 2 hundred", "1200"),
        ] {
            let count = said.split(' ').count();
            assert_eq!(read(said), Some((figures.to_owned(), count)), "{said}");
        }
    }

    #[test]
    fn a_number_ends_where_the_next_begins() {
        for (said, figures, words) in [
            ("nine point one nine point three", "9.1", 3),
            ("thirty nine nine fifteen", "39", 2),
            ("two eight", "2", 1),
            ("forty two two oh eight", "42", 2),
            ("five and the fan", "5", 1),
            ("a fan", "", 0),
            ("four hundred six hundred", "400", 2),
            ("point", "", 0),
            ("minus", "", 0),
        ] {
            let expected = (words > 0).then(|| (figures.to_owned(), words));
            assert_eq!(read(said), expected, "{said}");
        }
    }
}
