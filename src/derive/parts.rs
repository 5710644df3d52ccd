//! Parts in and out: how many, what, and the part number, where the line says so plainly. What is
//! not said is not stated: never one.

use crate::model::{EntryKind, Job, Minutes};
use crate::quantity::lookup_unit;

/// A part as a line names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// How many; `None` when not stated.
    pub count: Option<u32>,
    /// What it is, without count and part number.
    pub name: String,
    /// Part number; `None` when not stated.
    pub number: Option<String>,
}

/// A part with its place in the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartMoved {
    /// The part.
    pub part: Part,
    /// The line, as written.
    pub text: String,
    /// True for a part put in, false for one taken out.
    pub fitted: bool,
    /// Index of the visit.
    pub visit: usize,
    /// When.
    pub at: Option<Minutes>,
    /// Line.
    pub line: u32,
}

/// Every part of the job, in order.
pub(super) fn moved(job: &Job) -> Vec<PartMoved> {
    let mut moved = Vec::new();
    for (visit, entry) in job.entries() {
        let (text, fitted) = match &entry.kind {
            EntryKind::Fitted(text) => (text, true),
            EntryKind::Removed(text) => (text, false),
            _ => continue,
        };
        moved.extend(parts(text).into_iter().map(|part| PartMoved {
            part,
            text: text.clone(),
            fitted,
            visit,
            at: entry.at,
            line: entry.line,
        }));
    }
    moved
}

/// Words behind a number that make it a size and no count.
const SIZES: &[&str] = &[
    "awg", "blade", "ga", "gauge", "hp", "in", "inch", "leg", "ph", "phase", "pin", "pole",
    "poles", "port", "row", "rpm", "size", "speed", "stage", "step", "ton", "tons", "vac", "vdc",
    "way", "wire",
];
const COUNTS: &[&str] = &[
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
];

/// The parts that a line names: several where each has its own count (`1 fuse link and 1 heater`).
pub fn parts(text: &str) -> Vec<Part> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut starts = vec![0];
    for at in 1..words.len() {
        let after_joint = matches!(
            words[at - 1].to_ascii_lowercase().as_str(),
            "and" | "with" | "+" | "&"
        ) || words[at - 1].ends_with([',', ';']);
        // Only behind a first part that is counted too: a lone number is a size more often.
        if after_joint && count(&words).is_some() && count(&words[at..]).is_some() {
            starts.push(at);
        }
    }
    starts.push(words.len());
    starts
        .windows(2)
        .map(|range| part(&words[range[0]..range[1]]))
        .collect()
}

/// A count that words start with, and how many words it takes: `2`, `2x`, `2 pcs`, `two`.
fn count(words: &[&str]) -> Option<(u32, usize)> {
    let first = words.first()?.to_ascii_lowercase();
    let plain = |word: &&str| word.trim_end_matches([',', ';', '.']).to_ascii_lowercase();
    let next = words.get(1).map(plain)?;
    if let Some(number) = first.strip_suffix('x').and_then(small) {
        return Some((number, 1));
    }
    let spelt = COUNTS.iter().position(|word| *word == first);
    let number = spelt.map(|at| at as u32 + 1).or_else(|| small(&first))?;
    if matches!(next.as_str(), "x" | "pc" | "pcs" | "pieces" | "ea" | "each") {
        return (words.len() > 2).then_some((number, 2));
    }
    let size = SIZES.contains(&next.split('-').next().unwrap_or(""))
        || !lookup_unit(&next).is_empty()
        || !next.starts_with(char::is_alphabetic);
    (!size).then_some((number, 1))
}

/// A number of one or two digits: more is a size or a part number.
fn small(digits: &str) -> Option<u32> {
    let short = (1..=2).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    digits.parse().ok().filter(|&number| short && number > 0)
}

fn part(words: &[&str]) -> Part {
    let (mut counted, skip) = count(words).map_or((None, 0), |(count, words)| (Some(count), words));
    let mut number = None;
    let mut name: Vec<&str> = Vec::new();
    let mut at = skip;
    while let Some(&word) = words.get(at) {
        if let Some((found, taken)) = part_number(&words[at..]).filter(|_| number.is_none()) {
            number = Some(found);
            at += taken;
        } else if let Some((found, taken)) = quantity(&words[at..]).filter(|_| counted.is_none()) {
            counted = Some(found);
            at += taken;
        } else {
            name.push(word);
            at += 1;
        }
    }
    if let [.., last] = name.as_slice()
        && matches!(
            last.to_ascii_lowercase().as_str(),
            "and" | "with" | "+" | "&"
        )
    {
        name.pop();
    }
    let name = name.join(" ");
    Part {
        count: counted,
        name: name.trim_matches([',', ';', ' ']).to_owned(),
        number,
    }
}

/// `part 1234-56`, `part no. 1234-56`, `P/N 1234-56`, and how many words that takes.
fn part_number(words: &[&str]) -> Option<(String, usize)> {
    let plain = |word: &str| {
        word.trim_matches(|c: char| matches!(c, '.' | ':' | ',' | '#' | '('))
            .to_ascii_lowercase()
    };
    let skip = match plain(words.first()?).as_str() {
        "p/n" | "pn" | "partno" => 1,
        "part" => match words.get(1).map(|w| plain(w)).as_deref() {
            Some("no" | "number" | "nr" | "num" | "") => 2,
            _ => 1,
        },
        _ => return None,
    };
    let number = words
        .get(skip)?
        .trim_matches(|c: char| matches!(c, ',' | ';' | '.' | ':' | '#' | ')'));
    number
        .contains(|c: char| c.is_ascii_digit())
        .then(|| (number.to_owned(), skip + 1))
}

/// `qty 2`, `x2`.
fn quantity(words: &[&str]) -> Option<(u32, usize)> {
    let plain = |word: &str| word.trim_matches([':', '.', ',', ';']).to_ascii_lowercase();
    let first = plain(words.first()?);
    let (digits, taken) = match first.as_str() {
        "qty" | "quantity" => (plain(words.get(1)?), 2),
        word => (word.strip_prefix('x')?.to_owned(), 1),
    };
    Some((small(&digits)?, taken))
}
