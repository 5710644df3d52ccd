//! Which components of a refrigerant the rules name, by designation. From memory.

use crate::refrigerant::Refrigerant;

/// Hydrofluorocarbons: the regulated substances of 40 CFR 84, appendix A, and, with R-161, Annex I
/// section 1 of Regulation (EU) 2024/573.
pub(super) static HFCS: &[&str] = &[
    "R-23",
    "R-32",
    "R-41",
    "R-43-10mee",
    "R-125",
    "R-134",
    "R-134a",
    "R-143",
    "R-143a",
    "R-152",
    "R-152a",
    "R-227ea",
    "R-236cb",
    "R-236ea",
    "R-236fa",
    "R-245ca",
    "R-245fa",
    "R-365mfc",
];

/// What Annex I of Regulation (EU) 2024/573 names beyond [`HFCS`]: R-161, and the perfluorocarbons
/// of its section 2.
static OTHERS_OF_ANNEX_I: &[&str] = &["R-14", "R-116", "R-161", "R-218", "R-C318"];

/// Unsaturated fluorocarbons: Annex II section 1 of Regulation (EU) 2024/573.
static ANNEX_II: &[&str] = &[
    "R-1123",
    "R-1132(E)",
    "R-1132a",
    "R-1224yd(Z)",
    "R-1233zd(E)",
    "R-1234yf",
    "R-1234ze(E)",
    "R-1234ze(Z)",
    "R-1243zf",
    "R-1336mzz(E)",
    "R-1336mzz(Z)",
];

/// The first regulated hydrofluorocarbon in it.
pub(super) fn regulated_hfc(refrigerant: &Refrigerant) -> Option<&'static str> {
    let mut components = refrigerant.composition.iter().map(|&(name, _)| name);
    components.find(|name| HFCS.contains(name))
}

/// True when it is or contains a gas of Annex I.
pub(super) fn is_of_annex_i(refrigerant: &Refrigerant) -> bool {
    let mut components = refrigerant.composition.iter().map(|&(name, _)| name);
    components.any(|name| HFCS.contains(&name) || OTHERS_OF_ANNEX_I.contains(&name))
}

/// Share of the gases of Annex II section 1 in it, in thousandths of a percent, exact.
pub(super) fn of_annex_ii(refrigerant: &Refrigerant) -> i128 {
    let components = refrigerant.composition.iter();
    components
        .filter(|(name, _)| ANNEX_II.contains(name))
        .map(|&(_, percent)| (percent * 1000.0).round() as i128)
        .sum()
}

/// The verb between a refrigerant and a substance of it.
pub(super) fn is_or_contains(refrigerant: &Refrigerant) -> &'static str {
    if refrigerant.is_blend() {
        "contains"
    } else {
        "is"
    }
}
