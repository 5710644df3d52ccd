//! The head's line of a cylinder: `C-118, R-448A, water capacity 47.7 lb, tare 28.5 lb`.

use super::transfer::looks_like_designation;
use super::written::find_mass;
use super::{Cylinder, Job};
use crate::quantity::Mass;
use crate::refrigerant;
use crate::source::{Span, Spanned};
use crate::syntax::tokens;
use crate::vocabulary::fold;

/// True when two labels are one cylinder: case, blanks and strokes aside.
pub fn same_label(a: &str, b: &str) -> bool {
    let folded = |label: &str| -> String {
        label
            .chars()
            .filter(|c| c.is_alphanumeric())
            .flat_map(char::to_lowercase)
            .collect()
    };
    folded(a) == folded(b)
}

impl Job {
    /// What the head says of a cylinder.
    pub fn cylinder(&self, label: &str) -> Option<&Cylinder> {
        self.cylinders
            .iter()
            .find(|c| same_label(&c.label.node, label))
    }
}

/// Reads the value of a cylinder line; the error is the sentence that follows its key.
pub(super) fn read(value: &str, span: Span) -> Result<Cylinder, String> {
    let mut parts = value.split([',', ';', '\n']).map(str::trim);
    let label = parts.next().unwrap_or("");
    if label.is_empty() || find_mass(label, 0, &tokens(label, 0)).is_some() {
        return Err("does not start with the cylinder's label".to_owned());
    }
    let mut cylinder = Cylinder {
        label: Spanned::new(label.to_owned(), span),
        refrigerant: None,
        water_capacity: None,
        tare: None,
        holds: None,
    };
    let mut gross = None;
    for part in parts.filter(|part| !part.is_empty()) {
        let folded = fold(part);
        let mass = find_mass(part, 0, &tokens(part, 0)).map(|found| found.0);
        let first = folded.split(' ').next().unwrap_or("");
        let place = match first {
            "water" | "wc" | "w" => &mut cylinder.water_capacity,
            "tare" | "tw" | "empty" => &mut cylinder.tare,
            "holds" | "contents" | "content" | "net" => &mut cylinder.holds,
            "gross" | "weighs" => &mut gross,
            _ => {
                match (refrigerant::lookup(part), mass) {
                    (Some(found), _) => cylinder.refrigerant = Some(found),
                    (None, Some(_)) => {
                        return Err(format!("has a weight that is not named: `{part}`"));
                    }
                    (None, None) if looks_like_designation(part) => {
                        return Err(format!("names a refrigerant that is not carried: `{part}`"));
                    }
                    (None, None) => {} // `recovery cylinder`: shown as written
                }
                continue;
            }
        };
        match mass {
            Some(mass) if mass > Mass::ZERO => *place = Some(mass),
            _ => return Err(format!("has no weight in `{part}`")),
        }
    }
    if let (None, Some(gross), Some(tare)) = (cylinder.holds, gross, cylinder.tare)
        && gross >= tare
    {
        cylinder.holds = Some(gross - tare);
    }
    Ok(cylinder)
}
