//! One spelling for the words a technician varies, so that `hi temp alarm` is the
//! `high-temperature alarm`; and which words name a part or tell one part from its twin.

use super::{POINTS, fold};
use crate::quantity::{Dimension, lookup_unit};
use rustc_hash::FxHashSet;
use std::sync::LazyLock;

/// Abbreviations and forms of a word, and what is meant.
const MEANT: &[(&str, &str)] = &[
    ("bypassed", "bypass"),
    ("ckt", "circuit"),
    ("comp", "compressor"),
    ("cond", "condenser"),
    ("ctrl", "controller"),
    ("def", "defrost"),
    ("dfst", "defrost"),
    ("disc", "disconnect"),
    ("disch", "discharge"),
    ("dr", "door"),
    ("econ", "economizer"),
    ("evap", "evaporator"),
    ("hi", "high"),
    ("hp", "high pressure"),
    ("hps", "high pressure switch"),
    ("htr", "heater"),
    ("jumped", "jumper"),
    ("jumpered", "jumper"),
    ("liq", "liquid"),
    ("lo", "low"),
    ("lp", "low pressure"),
    ("lps", "low pressure switch"),
    ("muted", "silence"),
    ("press", "pressure"),
    ("recv", "receiver"),
    ("silenced", "silence"),
    ("stat", "thermostat"),
    ("suct", "suction"),
    ("sw", "switch"),
    ("temp", "temperature"),
    ("tmr", "timer"),
    ("tstat", "thermostat"),
    ("vlv", "valve"),
];

/// Words that tell nothing apart; those that undo are among them.
const EMPTY: &[&str] = &[
    "again",
    "all",
    "an",
    "and",
    "at",
    "back",
    "enabled",
    "for",
    "in",
    "is",
    "it",
    "normal",
    "now",
    "of",
    "off",
    "on",
    "re",
    "reconnected",
    "reenabled",
    "the",
    "to",
    "unmuted",
    "unsilenced",
    "was",
    "with",
];

/// What a part is, whichever of several it may be.
const PARTS: &[&str] = &[
    "alarm",
    "breaker",
    "compressor",
    "contactor",
    "controller",
    "damper",
    "disconnect",
    "door",
    "drain",
    "economizer",
    "fan",
    "heater",
    "light",
    "probe",
    "pump",
    "relay",
    "sensor",
    "switch",
    "thermostat",
    "timer",
    "valve",
];

/// Words that exclude each other: what is high is not low.
const OPPOSED: &[&[&str]] = &[
    &["high", "low"],
    &["upper", "lower"],
    &["top", "bottom"],
    &["left", "right", "middle"],
    &["front", "rear"],
    &["supply", "return"],
    &["inlet", "outlet"],
    &["suction", "discharge", "liquid", "oil"],
    &["evaporator", "condenser"],
    &["east", "west", "north", "south"],
];

/// Words after which a letter is a name: `circuit a`.
const LETTERED: &[&str] = &[
    "circuit",
    "system",
    "rack",
    "evaporator",
    "compressor",
    "unit",
];

/// The words of a text that tell one thing from another, each in one spelling.
///
/// Articles and the like are left out, and so is a measured value: `36 F` names no thermostat.
pub fn plain_words(text: &str) -> Vec<String> {
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').filter(|w| !w.is_empty()).collect();
    let mut plain: Vec<String> = Vec::with_capacity(words.len());
    let mut at = 0;
    while let Some(&word) = words.get(at) {
        at += 1;
        let number = word.bytes().all(|b| b.is_ascii_digit());
        if number && words.get(at).is_some_and(|unit| measures(unit)) {
            at += 1;
            continue;
        }
        if word == "t" && words.get(at) == Some(&"stat") {
            continue; // `t-stat`
        }
        let article = word == "a" && !plain.last().is_some_and(|w| LETTERED.contains(&w.as_str()));
        if article || EMPTY.contains(&word) {
            continue;
        }
        plain.extend(meant(word).split(' ').map(str::to_owned));
    }
    plain
}

fn measures(word: &str) -> bool {
    use Dimension::{Duration, Percent, Pressure, Temperature, TemperatureDifference};
    lookup_unit(word).iter().any(|unit| {
        matches!(
            unit.dimension(),
            Temperature | TemperatureDifference | Duration | Pressure | Percent
        )
    })
}

fn meant(word: &str) -> &str {
    let known = |word: &str| MEANT.iter().find(|row| row.0 == word).map(|row| row.1);
    if let Some(meant) = known(word) {
        return meant;
    }
    let one = match word.strip_suffix('s') {
        Some(one) if one.len() >= 3 && !one.ends_with(['s', 'u']) => one,
        _ => word,
    };
    let one = match word.strip_suffix("es") {
        Some(short) if short.ends_with("ch") || short.ends_with("sh") => short, // switches
        _ => one,
    };
    known(one).unwrap_or(one)
}

/// True for a word, folded, that is a part by itself: `breaker`.
pub fn names_a_part(word: &str) -> bool {
    PARTS.contains(&meant(word))
}

/// True for a word, folded, of a part or a place of a unit: `contactor`, `main`, `disconnect`.
pub fn names_a_thing(word: &str) -> bool {
    static OF_POINTS: LazyLock<FxHashSet<String>> = LazyLock::new(|| {
        let names = POINTS
            .iter()
            .flat_map(|info| info.aliases.iter().chain([&info.name]));
        let words =
            names.flat_map(|name| fold(name).split(' ').map(str::to_owned).collect::<Vec<_>>());
        words.collect()
    });
    meant(word).split(' ').all(|word| {
        PARTS.contains(&word)
            || LETTERED.contains(&word)
            || OPPOSED.iter().any(|words| words.contains(&word))
            || OF_POINTS.contains(word)
    })
}

/// True when two plain words are one word, a slip of the thumb aside; two known parts never are.
pub fn same_word(a: &str, b: &str) -> bool {
    if a == b {
        return true;
    }
    let shorter = a.len().min(b.len());
    let slip = match shorter {
        0..=4 => 0,
        5..=7 => 1,
        _ => 2,
    };
    let parts = PARTS.contains(&a) && PARTS.contains(&b);
    let digits = a.bytes().chain(b.bytes()).any(|b| b.is_ascii_digit());
    slip > 0
        && !parts
        && !digits
        && a.chars().next() == b.chars().next()
        && strsim::osa_distance(a, b) <= slip
}

/// True when two texts name two different things: other numbers or letters (`fan 1`, `fan 2`),
/// opposites (`high`, `low`), or other parts (`defrost timer`, `defrost heater`).
pub fn tell_apart(a: &[String], b: &[String]) -> bool {
    let pick = |words: &[String], wanted: &dyn Fn(&str) -> bool| -> Vec<String> {
        words.iter().filter(|w| wanted(w)).cloned().collect()
    };
    let label = |word: &str| word.len() == 1 || word.bytes().all(|b| b.is_ascii_digit());
    let (of_a, of_b) = (pick(a, &label), pick(b, &label));
    if !of_a.is_empty() && !of_b.is_empty() && of_a != of_b {
        return true;
    }
    let opposed = OPPOSED.iter().any(|group| {
        let of = |words| pick(words, &|w| group.contains(&w));
        apart(&of(a), &of(b))
    });
    let part = |word: &str| PARTS.iter().any(|part| same_word(word, part));
    opposed || apart(&pick(a, &part), &pick(b, &part))
}

/// Both name something and nothing in common.
fn apart(a: &[String], b: &[String]) -> bool {
    !a.is_empty() && !b.is_empty() && !a.iter().any(|x| b.iter().any(|y| same_word(x, y)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_spelling_for_many() {
        assert_eq!(
            plain_words("the Hi-Temp alarms"),
            plain_words("high temperature alarm")
        );
        assert_eq!(plain_words("T-stat at 36 F"), ["thermostat"]);
        assert_eq!(
            plain_words("circuit A evap fan 2"),
            ["circuit", "a", "evaporator", "fan", "2"]
        );
        assert_eq!(plain_words("pressure switches"), ["pressure", "switch"]);
        assert_eq!(plain_words("bypass and bus bar"), ["bypass", "bus", "bar"]);
    }

    #[test]
    fn a_slip_is_the_same_word_and_another_part_is_not() {
        assert!(same_word("thermostat", "themostat"));
        assert!(same_word("silence", "silense"));
        assert!(!same_word("heater", "timer"));
        assert!(!same_word("high", "hugh"));
    }

    #[test]
    fn tables_are_folded_and_name_each_word_once() {
        for (word, meant) in MEANT {
            assert_eq!(fold(word), *word);
            assert!(!EMPTY.contains(word), "{word}");
            assert!(meant.split(' ').all(|m| super::meant(m) == m), "{meant}");
        }
        let mut seen: Vec<&str> = MEANT.iter().map(|row| row.0).collect();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen.len(), MEANT.len());
    }
}
