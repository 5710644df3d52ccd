//! Known signs: what an experienced eye, ear or nose picks out of an observation.

use super::phrases::Phrases;
use serde::Serialize;
use std::sync::LazyLock;

/// A sign recognised in free text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "each variant is documented by its row's name")]
pub enum Sign {
    PartialFrost,
    HeavyIce,
    FrostToCompressor,
    OilTrace,
    BurntContact,
    BurntWire,
    DirtyCondenser,
    DirtyEvaporator,
    Bubbles,
    Hissing,
    Noise,
    LiquidSound,
    DoorSeal,
    Water,
    FanStopped,
    LooseTerminal,
    Leak,
    NotStarting,
    ShortCycling,
    RunsNormally,
    BreakerTrips,
}

/// One row: sign, its name, phrases all of whose words must be present, negations handled.
pub static SIGNS: &[(Sign, &str, &[&[&str]])] = &[
    (
        Sign::PartialFrost,
        "coil frosted in part only",
        &[
            &["frost", "only"],
            &["frost", "first"],
            &["rest", "bare"],
            &["partial", "frost"],
            &["half", "frosted"],
            &["frosted", "only"],
        ],
    ),
    (
        Sign::HeavyIce,
        "heavy ice",
        &[
            &["ice", "solid"],
            &["heavy", "ice"],
            &["iced", "up"],
            &["iced", "over"],
            &["block", "ice"],
            &["ice", "fan"],
            &["solid", "ice"],
            &["ice", "coil"],
            &["iced", "solid"],
        ],
    ),
    (
        Sign::FrostToCompressor,
        "frost back to the compressor",
        &[
            &["frost", "compressor"],
            &["frosted", "compressor"],
            &["sweating", "compressor"],
        ],
    ),
    (
        Sign::OilTrace,
        "oil trace",
        &[
            &["oil", "stain"],
            &["oil", "trace"],
            &["oily"],
            &["oil", "flare"],
            &["oil", "joint"],
            &["oil", "spot"],
            &["oil", "under"],
        ],
    ),
    (
        Sign::BurntContact,
        "burnt contact",
        &[
            &["burnt", "contact"],
            &["burned", "contact"],
            &["pitted"],
            &["contacts", "burnt"],
            &["contacts", "welded"],
            &["welded", "contact"],
        ],
    ),
    (
        Sign::BurntWire,
        "burnt wire or terminal",
        &[
            &["burnt", "wire"],
            &["burned", "wire"],
            &["melted"],
            &["burnt", "terminal"],
            &["discoloured", "terminal"],
            &["scorched"],
            &["burnt", "smell"],
        ],
    ),
    (
        Sign::DirtyCondenser,
        "dirty condenser",
        &[
            &["condenser", "dirty"],
            &["dirty", "condenser"],
            &["condenser", "plugged"],
            &["condenser", "blocked"],
            &["condenser", "lint"],
            &["condenser", "grease"],
            &["condenser", "dust"],
            &["condenser", "cottonwood"],
        ],
    ),
    (
        Sign::DirtyEvaporator,
        "dirty evaporator or filter",
        &[
            &["filter", "dirty"],
            &["dirty", "filter"],
            &["filters", "plugged"],
            &["evaporator", "dirty"],
            &["coil", "dirty"],
            &["filter", "plugged"],
        ],
    ),
    (
        Sign::Bubbles,
        "bubbles in the sight glass",
        &[
            &["bubbles"],
            &["sight", "glass", "flashing"],
            &["sight", "glass", "foaming"],
        ],
    ),
    (Sign::Hissing, "hissing", &[&["hissing"], &["hiss"]]),
    (
        Sign::LiquidSound,
        "liquid heard at the compressor",
        &[
            &["gurgling"],
            &["gurgle"],
            &["dripping", "compressor"],
            &["slugging"],
        ],
    ),
    (
        Sign::Noise,
        "mechanical noise",
        &[
            &["rattle"],
            &["rattling"],
            &["grinding"],
            &["squeal"],
            &["squealing"],
            &["knocking"],
            &["humming"],
            &["chattering"],
            &["hums"],
        ],
    ),
    (
        Sign::DoorSeal,
        "door not sealing",
        &[
            &["gasket"],
            &["door", "ajar"],
            &["door", "open"],
            &["door", "seal"],
        ],
    ),
    (
        Sign::Water,
        "water where it should not be",
        &[
            &["water", "floor"],
            &["drain", "blocked"],
            &["drain", "frozen"],
            &["drain", "plugged"],
            &["pan", "overflow"],
        ],
    ),
    (
        Sign::FanStopped,
        "fan not turning",
        &[
            &["fan", "stopped"],
            &["fan", "not", "turning"],
            &["fan", "seized"],
            &["fan", "stalled"],
            &["fan", "blade", "broken"],
        ],
    ),
    (
        Sign::LooseTerminal,
        "loose terminal",
        &[
            &["loose", "terminal"],
            &["loose", "wire"],
            &["loose", "screw"],
            &["loose", "connection"],
        ],
    ),
    (
        Sign::Leak,
        "refrigerant leak found",
        &[
            &["leak", "found"],
            &["leaking"],
            &["leak", "at"],
            &["detector", "alarm"],
            &["soap", "bubbles"],
        ],
    ),
    (
        Sign::NotStarting,
        "compressor not starting",
        &[
            &["compressor", "humming"],
            &["compressor", "hums"],
            &["compressor", "not", "start"],
            &["compressor", "not", "starting"],
            &["compressor", "stalled"],
            &["locked", "rotor"],
        ],
    ),
    (
        Sign::ShortCycling,
        "starting and stopping often",
        &[
            &["short", "cycling"],
            &["short", "cycles"],
            &["short", "cycled"],
        ],
    ),
    (
        Sign::BreakerTrips,
        "breaker or fuse that does not hold",
        &[
            &["breaker", "trips", "once"],
            &["breaker", "tripped", "once"],
            &["breaker", "trips", "instantly"],
            &["breaker", "trips", "immediately"],
            &["breaker", "trips", "reset"],
            &["breaker", "not", "hold"],
            &["breaker", "not", "reset"],
            &["fuse", "blows", "once"],
            &["fuse", "blew", "again"],
        ],
    ),
    (
        Sign::RunsNormally,
        "running as it should",
        &[
            &["runs", "normally"],
            &["running", "normally"],
            &["running", "normal"],
            &["all", "normal"],
            &["operating", "normally"],
            &["as", "it", "should"],
            &["healthy"],
        ],
    ),
];

impl Sign {
    /// What it is called.
    pub fn name(self) -> &'static str {
        SIGNS
            .iter()
            .find(|row| row.0 == self)
            .map_or("", |row| row.1)
    }
}

/// The signs recognised in an observation, in table order.
///
/// A clause that starts with a negation (`no oil at the flare`, `fan not noisy`) yields nothing:
/// an absent sign is not a sign.
pub fn recognise(text: &str) -> Vec<Sign> {
    let mut found = Vec::new();
    for clause in text
        .split([',', ';', '.'])
        .flat_map(|c| c.split(" but "))
        .filter(|c| !is_negated(c))
    {
        found.extend(PHRASES.found_in(clause));
    }
    found.sort();
    found.dedup();
    found
}

static PHRASES: LazyLock<Phrases<Sign>> =
    LazyLock::new(|| Phrases::new(SIGNS.iter().map(|row| (row.0, row.2))));

fn is_negated(clause: &str) -> bool {
    let first = clause.split_whitespace().next().unwrap_or("");
    ["no", "not", "without", "never"]
        .iter()
        .any(|word| first.eq_ignore_ascii_case(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_compressor_that_hums_is_told_from_a_contactor_that_does() {
        let hums = recognise("compressor hums and trips, fan turning");
        assert!(hums.contains(&Sign::NotStarting) && hums.contains(&Sign::Noise));
        assert_eq!(
            recognise("contactor humming, compressor off"),
            [Sign::Noise]
        );
        assert_eq!(
            recognise("unit short cycling on the low side"),
            [Sign::ShortCycling]
        );
        assert_eq!(recognise("not short cycling"), []);
    }
}
