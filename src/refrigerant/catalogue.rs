//! Finding a refrigerant by what a technician writes, and telling a slip from another refrigerant.

use super::{Refrigerant, all, data};

/// Longest spelling considered; no designation or name is longer.
const MAX_FOLDED: usize = 48;

/// Words that may stand before the number. Longest first where one begins another.
const PREFIXES: &[&str] = &["refrigerant", "hcfc", "hfc", "hfo", "cfc", "hc", "r"];

/// Designations assigned under ASHRAE Standard 34 that the catalogue has no row for, folded: blends
/// newer than the reference library, and fluids too cold for the trade. From memory.
///
/// R-134 and R-143 are left out on purpose: they exist, but nobody charges them, and whoever writes
/// one means R-134a or R-143a.
const OTHERS: &[&str] = &[
    "12b1", "13b1", "400", "474b", "477a", "477b", "478a", "479a", "480a", "481a", "482a", "610",
    "702", "704", "720", "728", "729", "732", "740", "1132a",
];

/// Letters that are typed, or read by a camera, for a digit.
const LOOKALIKES: &[(u8, u8)] = &[
    (b'o', b'0'),
    (b'l', b'1'),
    (b'i', b'1'),
    (b's', b'5'),
    (b'b', b'8'),
];

/// What a written refrigerant turned out to be.
#[derive(Debug, Clone, PartialEq)]
pub enum Recognition {
    /// One of the catalogue.
    Carried(&'static Refrigerant),
    /// A refrigerant, but none of the catalogue. Must not be read as a slip of a similar number.
    NotCarried,
    /// Most likely a slip of one of these, best first; never empty. `R-407` may mean either of two.
    Misspelt(Vec<&'static Refrigerant>),
    /// Nothing like a refrigerant.
    Unknown,
}

/// A spelling in folded form: lower-case letters and digits, prefix taken off.
struct Folded {
    bytes: [u8; MAX_FOLDED],
    start: usize,
    end: usize,
}

impl Folded {
    /// `None` when the text holds something no designation does, or is too long. Blanks, dashes,
    /// dots, commas, brackets and underscores are skipped; a subscript two counts as a two (`CO₂`).
    fn new(text: &str) -> Option<Self> {
        let mut bytes = [0; MAX_FOLDED];
        let mut end = 0;
        for c in text.chars() {
            let byte = match c {
                c if c.is_ascii_alphanumeric() => c.to_ascii_lowercase() as u8,
                '₂' => b'2',
                '-' | '‐' | '‑' | '–' | '—' | '−' | '.' | ',' | '_' | '(' | ')' => {
                    continue;
                }
                c if c.is_whitespace() => continue,
                _ => return None,
            };
            *bytes.get_mut(end)? = byte;
            end += 1;
        }
        let mut folded = Self {
            bytes,
            start: 0,
            end,
        };
        // Twice at most: "refrigerant R-22".
        for _ in 0..2 {
            folded.skip_prefix();
        }
        Some(folded)
    }

    /// Takes off one prefix, if a digit or another prefix with a digit follows.
    fn skip_prefix(&mut self) {
        let text = self.as_str();
        let shorter = PREFIXES.iter().find_map(|prefix| {
            let rest = text.strip_prefix(prefix)?;
            let number = rest.strip_prefix('r').unwrap_or(rest);
            number
                .starts_with(|c: char| c.is_ascii_digit())
                .then_some(prefix.len())
        });
        self.start += shorter.unwrap_or(0);
    }

    fn as_str(&self) -> &str {
        // Only ASCII was put in.
        std::str::from_utf8(&self.bytes[self.start..self.end]).unwrap_or("")
    }
}

/// The refrigerant a text names: `R-448A`, `r448a`, `448 A`, `HFC-134a`, `propane`, `CO2`.
///
/// Exact up to case, blanks, dashes and prefix; a slip finds nothing (see [`recognise`]). Does not
/// allocate.
pub fn lookup(text: &str) -> Option<&'static Refrigerant> {
    find(Folded::new(text)?.as_str())
}

fn find(folded: &str) -> Option<&'static Refrigerant> {
    let at = data::SPELLINGS
        .binary_search_by_key(&folded, |&(spelling, _)| spelling)
        .ok()?;
    all().get(data::SPELLINGS[at].1)
}

/// What a written refrigerant is: carried, another refrigerant, a slip, or nothing of the kind.
///
/// A number that is in use for another refrigerant is never called a slip, nor is a blend with
/// another suffix letter. A number that fits the numbering scheme but is neither in use nor one
/// slip away from a carried one counts as [`Recognition::NotCarried`]: it may be newer than this
/// catalogue.
pub fn recognise(text: &str) -> Recognition {
    let Some(folded) = Folded::new(text) else {
        return Recognition::Unknown;
    };
    let folded = folded.as_str();
    if let Some(refrigerant) = find(folded) {
        return Recognition::Carried(refrigerant);
    }
    if is_assigned(folded) {
        return Recognition::NotCarried;
    }
    let candidates = slips_of(folded);
    if !candidates.is_empty() {
        Recognition::Misspelt(candidates)
    } else if fits_the_scheme(folded) {
        Recognition::NotCarried
    } else {
        Recognition::Unknown
    }
}

/// Number and suffix of a blend designation: `448a` is 448 and `a`.
fn blend(folded: &str) -> Option<(u16, &str)> {
    let (number, suffix) = folded.split_at_checked(3)?;
    let number: u16 = number.parse().ok()?;
    let is_suffix =
        suffix.len() == 1 && suffix.bytes().all(|b| b.is_ascii_lowercase()) || suffix.is_empty();
    ((400..600).contains(&number) && is_suffix).then_some((number, suffix))
}

fn is_assigned(folded: &str) -> bool {
    OTHERS.contains(&folded) || refusal(folded).is_some()
}

/// Why a refrigerant is not carried, where that is known: a clause that follows a colon.
pub fn why_not_carried(text: &str) -> Option<&'static str> {
    refusal(Folded::new(text)?.as_str())
}

fn refusal(folded: &str) -> Option<&'static str> {
    let at = data::REFUSED
        .binary_search_by_key(&folded, |&(spelling, _)| spelling)
        .ok()?;
    Some(data::REFUSED[at].1)
}

/// True for a number that ASHRAE's scheme could assign: a blend with its letter, or a single fluid
/// of 2 to 4 digits and the letters that go with it.
fn fits_the_scheme(folded: &str) -> bool {
    if let Some((_, suffix)) = blend(folded) {
        return !suffix.is_empty();
    }
    let digits = folded.bytes().take_while(u8::is_ascii_digit).count();
    let letters = &folded[digits..];
    let only_letters = letters.bytes().all(|b| b.is_ascii_lowercase());
    match digits {
        2 => letters.is_empty(),
        3 if folded.starts_with(['1', '2', '3']) => letters.len() <= 2 && only_letters,
        3 if folded.starts_with(['6', '7']) => letters.len() <= 1 && only_letters,
        4 if folded.starts_with('1') => letters.len() <= 4 && only_letters,
        _ => false,
    }
}

/// Carried refrigerants one slip away (two for a name of eight letters or more), best first.
fn slips_of(folded: &str) -> Vec<&'static Refrigerant> {
    let mut found: Vec<((usize, bool), &'static Refrigerant)> = Vec::new();
    for &(spelling, row) in data::SPELLINGS {
        // One slip in a two-digit number leaves nothing to go by: R-42 may be anything.
        if spelling.len() < 3 || folded.len() < 3 {
            continue;
        }
        let allowed = if spelling.len() >= 8 { 2 } else { 1 };
        if spelling.len().abs_diff(folded.len()) > allowed || is_other_suffix(folded, spelling) {
            continue;
        }
        let slips = strsim::osa_distance(folded, spelling);
        let refrigerant = &all()[row];
        if slips <= allowed && !found.iter().any(|(_, known)| *known == refrigerant) {
            let likely = spelling.starts_with(folded)
                || is_reordered(folded, spelling)
                || is_lookalike(folded, spelling);
            // A letter left off, digits swapped, or a letter for a digit are likelier than a wrong
            // key: 484A is 448A before it is 404A, 407 is 407A or 407C before it is 507.
            found.push(((slips, !likely), refrigerant));
        }
    }
    // The sort is stable, and spellings come in the order of their numbers.
    found.sort_by_key(|&(likeness, _)| likeness);
    let best = found.first().map(|&(likeness, _)| likeness);
    found
        .into_iter()
        .take_while(|&(likeness, _)| Some(likeness) == best)
        .map(|(_, refrigerant)| refrigerant)
        .collect()
}

/// True when they differ only by letters that look like digits: `4O4A`.
fn is_lookalike(folded: &str, spelling: &str) -> bool {
    folded.len() == spelling.len()
        && folded
            .bytes()
            .zip(spelling.bytes())
            .all(|(a, b)| a == b || LOOKALIKES.contains(&(a, b)))
}

/// True when both hold the same characters.
fn is_reordered(a: &str, b: &str) -> bool {
    let count = |text: &str, byte| text.bytes().filter(|&b| b == byte).count();
    a.len() == b.len() && a.bytes().all(|byte| count(a, byte) == count(b, byte))
}

/// True for the same blend number with another letter: another blend, not a slip.
fn is_other_suffix(folded: &str, spelling: &str) -> bool {
    match (blend(folded), blend(spelling)) {
        (Some((number, suffix)), Some((carried, carried_suffix))) => {
            number == carried && !suffix.is_empty() && suffix != carried_suffix
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is_known_designation(text: &str) -> bool {
        matches!(
            recognise(text),
            Recognition::Carried(_) | Recognition::NotCarried
        )
    }

    fn nearest(text: &str) -> Option<&'static str> {
        match recognise(text) {
            Recognition::Misspelt(candidates) => {
                candidates.first().map(|refrigerant| refrigerant.name)
            }
            _ => None,
        }
    }

    fn name(text: &str) -> Option<&'static str> {
        lookup(text).map(|refrigerant| refrigerant.name)
    }

    #[test]
    fn spellings_are_sorted_and_every_name_finds_itself() {
        assert!(data::SPELLINGS.is_sorted_by(|a, b| a.0 < b.0));
        for refrigerant in all() {
            for spelling in refrigerant.aliases.iter().chain([&refrigerant.name]) {
                assert_eq!(name(spelling), Some(refrigerant.name), "{spelling}");
                assert!(is_known_designation(spelling), "{spelling}");
            }
            let total: f64 = refrigerant.composition.iter().map(|(_, share)| share).sum();
            assert!((total - 100.0).abs() < 1e-9, "{refrigerant}");
        }
    }

    #[test]
    fn forgiving_of_case_blanks_dashes_and_prefix() {
        for text in [
            "r448a",
            "R-448 A",
            "448a",
            "R 448A",
            " R‑448A ",
            "hfc-448a",
            "Refrigerant R448A",
        ] {
            assert_eq!(name(text), Some("R-448A"), "{text}");
        }
        for text in ["CO2", "co₂", "carbon dioxide", "R744", "r-744"] {
            assert_eq!(name(text), Some("R-744"), "{text}");
        }
        assert_eq!(name("Propane"), Some("R-290"));
        assert_eq!(name("HCFC-22"), Some("R-22"));
        assert_eq!(name("22"), Some("R-22"));
        for text in [
            "",
            "R",
            "R-",
            "brine",
            "R-404A/R-507A",
            "448",
            "é",
            &"4".repeat(200),
        ] {
            assert_eq!(name(text), None, "{text}");
        }
    }

    #[test]
    fn another_refrigerant_is_not_a_slip() {
        for text in ["R-468A", "R-477A", "R-12B1", "R-448Z"] {
            assert_eq!(recognise(text), Recognition::NotCarried, "{text}");
            assert!(is_known_designation(text), "{text}");
            assert_eq!(nearest(text), None, "{text}");
        }
        assert_eq!(
            why_not_carried("r468a"),
            Some("no equation of state for R-1132a in the reference library")
        );
        assert_eq!(why_not_carried("R-448A"), None);
        assert_eq!(why_not_carried("R-477A"), None);
    }

    #[test]
    fn every_blend_is_itself() {
        for (text, meant) in [
            ("R-407F", "R-407F"),
            ("R-401A", "R-401A"),
            ("402a", "R-402A"),
            ("R 438 A", "R-438A"),
            ("R-515B", "R-515B"),
            ("ammonia", "R-717"),
            ("isobutane", "R-600a"),
            ("R-1234ze(E)", "R-1234ze(E)"),
            ("hfo-1234yf", "R-1234yf"),
            ("R-507", "R-507A"),
            ("1,1,1,2-tetrafluoroethane", "R-134a"),
        ] {
            assert_eq!(name(text), Some(meant), "{text}");
        }
    }

    #[test]
    fn a_slip_is_suggested() {
        for (text, meant) in [
            ("R-484A", "R-448A"),
            ("R-134", "R-134a"),
            ("R-4O4A", "R-404A"),
            ("R-4l0A", "R-410A"),
            ("propan", "R-290"),
            ("carbon dioxid", "R-744"),
        ] {
            assert_eq!(nearest(text), Some(meant), "{text}");
            assert!(!is_known_designation(text), "{text}");
        }
        let several = |text: &str| -> Vec<&'static str> {
            match recognise(text) {
                Recognition::Misspelt(found) => found.iter().map(|r| r.name).collect(),
                other => panic!("{text}: {other:?}"),
            }
        };
        assert_eq!(several("R-448"), ["R-448A", "R-448B"]);
        assert_eq!(several("R-404"), ["R-404A"]);
        assert_eq!(several("R-407").len(), 9);
        for text in ["brine", "R-42x", "oil", "", "R", "nitrogen"] {
            assert_eq!(recognise(text), Recognition::Unknown, "{text}");
        }
    }
}
