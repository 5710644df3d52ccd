//! Finding a refrigerant by what a technician writes, and telling a slip from another refrigerant.

use super::{Refrigerant, all, data};

/// Longest spelling considered; no designation or name is longer.
const MAX_FOLDED: usize = 32;

/// Words that may stand before the number. Longest first where one begins another.
const PREFIXES: &[&str] = &["refrigerant", "hcfc", "hfc", "hfo", "cfc", "hc", "r"];

/// Blend numbers assigned under ASHRAE Standard 34 and their suffixes.
/// Source: the predefined mixtures of the reference library; R-477A to R-482A and R-513B to R-516A
/// from memory.
#[rustfmt::skip]
const BLENDS: &[(u16, &str)] = &[
    (401, "ABC"), (402, "AB"), (403, "AB"), (404, "A"), (405, "A"), (406, "A"),
    (407, "ABCDEFGHI"), (408, "A"), (409, "AB"), (410, "AB"), (411, "AB"), (412, "A"), (413, "A"),
    (414, "AB"), (415, "AB"), (416, "A"), (417, "ABC"), (418, "A"), (419, "AB"), (420, "A"),
    (421, "AB"), (422, "ABCDE"), (423, "A"), (424, "A"), (425, "A"), (426, "A"), (427, "AC"),
    (428, "A"), (429, "A"), (430, "A"), (431, "A"), (432, "A"), (433, "ABC"), (434, "A"),
    (435, "A"), (436, "ABC"), (437, "A"), (438, "A"), (439, "A"), (440, "A"), (441, "A"),
    (442, "A"), (443, "A"), (444, "AB"), (445, "A"), (446, "A"), (447, "AB"), (448, "AB"),
    (449, "ABC"), (450, "A"), (451, "AB"), (452, "ABC"), (453, "A"), (454, "ABC"), (455, "A"),
    (456, "A"), (457, "ABC"), (458, "A"), (459, "AB"), (460, "ABC"), (461, "A"), (462, "A"),
    (463, "A"), (464, "A"), (465, "A"), (466, "A"), (467, "A"), (468, "ABC"), (469, "A"),
    (470, "AB"), (471, "A"), (472, "AB"), (473, "A"), (474, "A"), (475, "A"), (476, "A"),
    (477, "A"), (478, "A"), (479, "A"), (480, "A"), (481, "A"), (482, "A"), (500, ""), (501, ""),
    (502, ""), (503, ""), (504, ""), (507, "A"), (508, "AB"), (509, "A"), (510, "A"), (511, "A"),
    (512, "A"), (513, "AB"), (514, "A"), (515, "AB"), (516, "A"),
];

/// Single fluids met in the trade, by folded number. Source: ASHRAE Standard 34, from memory.
///
/// R-134 and R-143 are left out on purpose: they exist, but nobody charges them, and whoever writes
/// one means R-134a or R-143a.
const SINGLES: &[&str] = &[
    "11", "12", "12b1", "13", "13b1", "13i1", "14", "21", "22", "23", "32", "40", "41", "50",
    "113", "114", "115", "116", "123", "124", "125", "134a", "141b", "142b", "143a", "152a", "161",
    "170", "218", "227ea", "236fa", "245fa", "290", "c318", "rc318", "600", "600a", "601", "601a",
    "610", "702", "704", "717", "718", "728", "729", "732", "740", "744", "744a", "764", "1150",
    "1224ydz", "1233zde", "1233zd", "1234yf", "1234ze", "1234zee", "1270", "1336mzze", "1336mzzz",
    "1132e", "1132a",
];

/// Refrigerants written by name. Source: common chemical names.
const NAMES: &[&str] = &[
    "ammonia",
    "butane",
    "isobutane",
    "propylene",
    "propene",
    "ethane",
    "ethylene",
    "methane",
    "carbondioxide",
    "co2",
    "propane",
    "difluoromethane",
    "nh3",
];

/// What a written refrigerant turned out to be.
#[derive(Debug, Clone, PartialEq)]
pub enum Recognition {
    /// One of the catalogue.
    Carried(&'static Refrigerant),
    /// A refrigerant, but none of the catalogue. Must not be read as a slip of a similar number:
    /// R-407F is not R-407A.
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
    /// dots, brackets and underscores are skipped; a subscript two counts as a two (`CO₂`).
    fn new(text: &str) -> Option<Self> {
        let mut bytes = [0; MAX_FOLDED];
        let mut end = 0;
        for c in text.chars() {
            let byte = match c {
                c if c.is_ascii_alphanumeric() => c.to_ascii_lowercase() as u8,
                '₂' => b'2',
                '-' | '‐' | '‑' | '–' | '—' | '−' | '.' | '_' | '(' | ')' => continue,
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

/// True when the text is a refrigerant, carried or not: "not carried yet" is then the thing to say.
pub fn is_known_designation(text: &str) -> bool {
    matches!(
        recognise(text),
        Recognition::Carried(_) | Recognition::NotCarried
    )
}

/// The carried refrigerant a slip most likely means: `R-448` gives `R-448A`, `R-407F` gives none.
///
/// Of several equally near the first by number is given; [`recognise`] gives them all.
pub fn nearest(text: &str) -> Option<&'static str> {
    match recognise(text) {
        Recognition::Misspelt(candidates) => candidates.first().map(|refrigerant| refrigerant.name),
        _ => None,
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
    if SINGLES.contains(&folded) || NAMES.contains(&folded) {
        return true;
    }
    let Some((number, suffix)) = blend(folded) else {
        return false;
    };
    BLENDS.iter().any(|&(assigned, suffixes)| {
        assigned == number
            && if suffix.is_empty() {
                suffixes.is_empty() // R-502 was assigned before azeotropes took letters
            } else {
                suffixes.to_ascii_lowercase().contains(suffix)
            }
    })
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
            let likely = spelling.starts_with(folded) || is_reordered(folded, spelling);
            // A letter left off or digits swapped are likelier than a wrong key: 484A is 448A
            // before it is 404A, 407 is 407A or 407C before it is 507.
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
            "water",
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
        for text in [
            "R-407F",
            "R-407B",
            "R-12",
            "R-502",
            "R-600a",
            "R-717",
            "ammonia",
            "R-143a",
            "R-401A",
            "R-402A",
            "R-23",
            "R-123",
            "R-448B",
            "R-407Z",
            "R-452A",
            "R-1234yf",
            "R-1234ze(E)",
        ] {
            assert_eq!(recognise(text), Recognition::NotCarried, "{text}");
            assert!(is_known_designation(text), "{text}");
            assert_eq!(nearest(text), None, "{text}");
        }
    }

    #[test]
    fn a_slip_is_suggested() {
        for (text, meant) in [
            ("R-448", "R-448A"),
            ("R-404", "R-404A"),
            ("R-484A", "R-448A"),
            ("R-134", "R-134a"),
            ("R-4O4A", "R-404A"),
            ("R-4404A", "R-404A"),
            ("propan", "R-290"),
            ("carbon dioxid", "R-744"),
        ] {
            assert_eq!(nearest(text), Some(meant), "{text}");
            assert!(!is_known_designation(text), "{text}");
        }
        let Recognition::Misspelt(both) = recognise("R-407") else {
            panic!("R-407 is two refrigerants")
        };
        assert_eq!(
            both.iter().map(|r| r.name).collect::<Vec<_>>(),
            ["R-407A", "R-407C"]
        );
        for text in ["water", "R-42x", "oil", "", "R", "nitrogen"] {
            assert_eq!(recognise(text), Recognition::Unknown, "{text}");
        }
    }
}
