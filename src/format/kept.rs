//! Words that are read as a line kind or a point and say more than its name, or less: they stay as
//! written. `before drier` is the liquid line at one place; `fan` is taken for the evaporator's, and
//! writing that out would make a certainty of it.

use crate::vocabulary::{fold, is_numbered};

/// Spellings of line kinds; `looked`, `explained` and their like would not read on into their text.
const LINE_KINDS: &[&str] = &[
    "agreed",
    "changed",
    "consumables",
    "evacuated",
    "explained",
    "instruments",
    "locked and tagged",
    "looked",
    "materials",
    "nitrogen hold",
    "nitrogen test",
    "photos",
    "replaced",
    "return visit",
    "second visit",
    "tagged out",
    "undid",
    "undone",
];

/// Names of points, without which one and which leg.
const POINTS: &[&str] = &[
    "amps",
    "before drier",
    "blower",
    "blower amps",
    "box display",
    "box door",
    "bulb",
    "cabinet",
    "cap",
    "capacitor",
    "case",
    "case display",
    "case temp",
    "coil",
    "coil ohms",
    "coil resistance",
    "coil voltage",
    "coil volts",
    "compressor capacitor",
    "compressor dome",
    "compressor insulation",
    "cond air in",
    "condenser air in",
    "contact",
    "contacts",
    "control",
    "controller display",
    "controller temp",
    "controller temperature",
    "cooler",
    "cooling call",
    "core",
    "current",
    "disconnect",
    "dome",
    "drain line",
    "drain pan",
    "drier in",
    "drier inlet",
    "drop leg",
    "evap",
    "evap coil",
    "evaporator",
    "evaporator coil",
    "fan",
    "fan capacitor",
    "fans",
    "food",
    "food temp",
    "freezer",
    "gas cooler fan",
    "gas cooler fans",
    "gas cooler out",
    "gas cooler outlet",
    "heater element",
    "high temp alarm",
    "high temperature alarm",
    "humidity",
    "incoming",
    "inside",
    "insulation to ground",
    "internal overload",
    "leg amps",
    "legs",
    "line",
    "mains",
    "motor overload",
    "oil pump pressure",
    "pulp",
    "receiver pressure",
    "refrigeration",
    "relative humidity",
    "return airflow",
    "return gas",
    "rh",
    "room display",
    "running amps",
    "shell",
    "stat",
    "supply airflow",
    "thermal overload",
    "thermostat",
    "thermostat call",
    "thermostat display",
    "to ground",
    "total",
    "transformer",
    "transformer secondary",
    "voltage",
    "volts",
    "walk in",
    "walkin",
    "wb",
    "wet bulb",
    "winding to ground",
];

/// True for the words of a line kind that stay.
pub(super) fn line_kind(words: &str) -> bool {
    LINE_KINDS.binary_search(&fold(words).as_str()).is_ok()
}

/// A point's name without which one and which leg, folded; `None` for a name that is to stay: one of
/// the table, one with a word that says when (`box still 44 F`), or what a value was taken across.
pub(super) fn bare_name(name: &str) -> Option<String> {
    let folded = fold(name);
    let mut bare = String::with_capacity(folded.len());
    let mut before = "";
    for word in folded.split(' ') {
        if matches!(word, "across" | "now" | "still") {
            return None;
        }
        let group = matches!(
            word,
            "circuit" | "ckt" | "system" | "stage" | "leg" | "phase"
        );
        let label = is_numbered(before) && word.len() <= 2;
        before = word;
        if group || label {
            continue;
        }
        if !bare.is_empty() {
            bare.push(' ');
        }
        bare.push_str(word);
    }
    POINTS
        .binary_search(&bare.as_str())
        .is_err()
        .then_some(bare)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::{resolve, verb};

    #[test]
    fn the_tables_are_sorted_and_name_what_is_understood() {
        assert!(LINE_KINDS.is_sorted() && POINTS.is_sorted());
        for words in LINE_KINDS {
            assert!(verb(words).is_some_and(|(_, range)| range.end == words.len()));
        }
        for name in POINTS {
            assert!(resolve(name).is_some(), "{name}");
        }
    }

    #[test]
    fn which_one_and_which_leg_are_no_part_of_the_name() {
        for name in [
            "fan 2",
            "Fan #2",
            "circuit B coil",
            "case 4",
            "across thermostat",
        ] {
            assert_eq!(bare_name(name), None, "{name}");
        }
        for (name, bare) in [
            ("evap fan 2", "evap fan"),
            ("Comp 1", "comp"),
            ("circuit A suction temp", "suction temp"),
            ("leg 1", ""),
        ] {
            assert_eq!(bare_name(name).as_deref(), Some(bare), "{name}");
        }
    }
}
