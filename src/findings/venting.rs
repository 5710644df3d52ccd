//! RB560: words that say refrigerant was let out on purpose.

use super::{Finding, Rule, Verdict, entry_input};
use crate::diagnostic::{Code, Severity};
use crate::model::{EntryKind, Job};
use crate::quantity::lookup_unit;
use crate::refrigerant;
use crate::vocabulary::fold;

pub(super) static RULES: &[&Rule] = &[&VENTED];

static VENTED: Rule = Rule {
    code: Code {
        id: "RB560",
        name: "refrigerant-vented",
        severity: Severity::Warning,
        explanation: "The words of a line say that refrigerant was let out on purpose: vented, blown off, let go, purged. The law of many places forbids that. Nitrogen, air and what is left in hoses are not meant. If it was recovered, write `recovered`, the amount and the cylinder; if it escaped by itself, write `saw` and how.",
    },
    needs: "a line of work (`did`, `opened`, `purged`, `vented` …)",
    plain: "The record says that refrigerant was released on purpose.",
    caution: Some(
        "40 CFR 82.154 prohibits the knowing release of refrigerant in service work, and Regulation (EU) 2024/573 Art. 4 likewise (both from memory; some substances are exempt): check the current text and your local authority.",
    ),
    source: "40 CFR 82.154; Regulation (EU) 2024/573 Art. 4; both from memory",
    check: |case| {
        let mut judged = false;
        let mut found: Vec<Finding> = Vec::new();
        for (_, entry) in case.job.entries() {
            let (EntryKind::Did(text) | EntryKind::Handled { text, .. } | EntryKind::Private(text)) =
                &entry.kind
            else {
                continue;
            };
            judged = true;
            if is_released(text) && !exempt(case.job) {
                found.push(VENTED.finding(
                    "this line says that refrigerant was let out on purpose".to_owned(),
                    vec![entry_input("work", "", entry)],
                ));
            }
        }
        Verdict::of(judged, found)
    },
};

/// Carbon dioxide, ammonia and water may be let out, as far as the law on refrigerants goes (from
/// memory); where that is dangerous is another matter.
fn exempt(job: &Job) -> bool {
    job.unit
        .refrigerant
        .is_some_and(|own| matches!(own.name, "R-744" | "R-717" | "R-718"))
}

/// True when a text says that refrigerant was let out, and does not deny it.
fn is_released(text: &str) -> bool {
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').collect();
    // Nearly every line ends here.
    const RELEASES: &[&str] = &[
        "ven", "blow", "blew", "bled", "dump", "releas", "let", "purg",
    ];
    if !words
        .iter()
        .any(|word| RELEASES.iter().any(|r| word.starts_with(r)))
    {
        return false;
    }
    let any = |of: &[&str]| words.iter().any(|w| of.contains(w));
    let near = |first: &[&str], then: &[&str], reach: usize| {
        words.iter().enumerate().any(|(i, word)| {
            first.contains(word) && words[i + 1..].iter().take(reach).any(|w| then.contains(w))
        })
    };
    if any(&["not", "never", "nothing", "no", "without"])
        || any(&["hose", "hoses", "gauge", "gauges", "manifold"])
    {
        return false;
    }
    let amount = words.windows(2).any(|pair| {
        let mass = |unit: &str| {
            lookup_unit(unit)
                .iter()
                .any(|u| u.dimension() == crate::quantity::Dimension::Mass)
        };
        pair[0].bytes().all(|b| b.is_ascii_digit()) && mass(pair[1])
    });
    // `the nitrogen charge` is no refrigerant.
    let inert = any(&["nitrogen", "n2", "air", "argon"]);
    let named = (!inert && (amount || any(&["charge"])))
        || any(&["refrigerant", "gas"])
        || text
            .split([' ', ',', ';'])
            .any(|w| w.len() > 2 && refrigerant::lookup(w).is_some());
    let meant = named || any(&["it", "rest", "remainder", "remaining"]);
    // Other gases, and rooms that were aired.
    let other = any(&[
        "nitrogen",
        "n2",
        "air",
        "argon",
        "steam",
        "water",
        "room",
        "cabinet",
        "space",
        "noncondensables",
        "condensables",
        "drain",
        "oil",
        "dust",
        "coil",
        "condenser",
        "pressure",
    ]);
    let vented = any(&["vented", "venting", "vent"])
        && (named || !other)
        && !near(&["the", "a", "to"], &["vent"], 1);
    let blown = near(
        &["blew", "blow", "blown", "bled", "dumped", "released"],
        &["off", "out", "charge", "refrigerant", "gas", "rest"],
        4,
    ) && meant
        && (named || !other);
    let let_go = near(&["let"], &["go", "out", "escape"], 6) && meant && (named || !other);
    let purged = any(&["purged", "purge"]) && named && !other;
    vented || blown || let_go || purged
}

#[cfg(test)]
mod tests {
    use super::is_released;

    #[test]
    fn words_of_a_release() {
        for text in [
            "vented the charge",
            "vented it on the roof",
            "vented 2 lb outside",
            "blew off the charge",
            "blew it off outside",
            "blew off 3 lb",
            "let it go",
            "let the rest of the gas go",
            "purged the charge",
            "purged the R-448A out of the liquid line",
            "dumped the charge",
            "recovered half, then vented the rest",
        ] {
            assert!(is_released(text), "{text}");
        }
        for text in [
            "purged with nitrogen",
            "purged the lines with nitrogen, charge recovered before",
            "purged hoses",
            "vented the hoses",
            "vented nitrogen after the hold",
            "vented the nitrogen holding charge",
            "vented the machine room for an hour",
            "nothing vented, all recovered",
            "recovered without venting",
            "blew off the coil with nitrogen",
            "blew out the drain",
            "cleaned the vent",
            "let the box come down",
            "released the fan belt",
            "checked the charge",
            "bled the air out",
        ] {
            assert!(!is_released(text), "{text}");
        }
    }
}
