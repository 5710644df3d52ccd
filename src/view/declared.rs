//! Words that stand in English beside what they name, and that a message file translates.

use super::customer::TOLD_TO_CUSTOMERS;
use super::history::LABELS;
use super::plain::message_name;
use crate::findings::registry;
use crate::vocabulary::POINTS;

/// Name of the message and the English words of each: what measuring points are called, what a rule tells
/// customers, and the tables of a unit's history.
pub fn declared() -> Vec<(String, &'static str)> {
    let points = POINTS
        .iter()
        .map(|info| (message_name(info.point), info.plain));
    let told = registry().filter(|rule| TOLD_TO_CUSTOMERS.contains(&rule.code.id));
    let rules = told.flat_map(|rule| {
        let id = rule.code.id;
        let plain = (format!("plain-{id}"), rule.plain);
        let caution = rule.caution.map(|text| (format!("caution-{id}"), text));
        [Some(plain), caution]
    });
    let history = LABELS.iter().map(|(id, words)| ((*id).to_owned(), *words));
    points.chain(rules.flatten()).chain(history).collect()
}
