//! The rules of the United States as rows: 40 CFR 82 subpart F and 40 CFR 84 subpart C.

use crate::duties::{Appliance, Known, RuleText};
use jiff::civil::{Date, date};

/// One of the two sets of leak rules, which differ in scope and dates more than in what they ask.
pub(super) struct Part {
    /// Smallest full charge, in pounds.
    pub(super) pounds: i64,
    /// First day of the text tabled here; additions before it are not judged.
    pub(super) from: Date,
    pub(super) scope: &'static RuleText,
    pub(super) threshold: &'static RuleText,
    pub(super) repair: &'static RuleText,
    pub(super) verification: &'static RuleText,
    pub(super) plan: &'static RuleText,
    pub(super) inspection: &'static RuleText,
    pub(super) chronic: &'static RuleText,
    pub(super) records: &'static RuleText,
}

/// Ozone-depleting refrigerants.
pub(super) static PART_82: Part = Part {
    pounds: 50,
    from: date(2020, 4, 10),
    scope: &RuleText::new(
        "40 CFR 82.157(a)",
        Known::Read,
        "Leak rules for appliances with a full charge of 50 lb or more of a class I or class II refrigerant, or of a blend that contains one; in this form since 2020-04-10.",
    ),
    threshold: &RuleText::new(
        "40 CFR 82.157(c)(2)",
        Known::Read,
        "Leak rate above which leaks must be repaired: 20 % for commercial refrigeration, 30 % for industrial process refrigeration, 10 % for comfort cooling and other appliances.",
    ),
    repair: &RuleText::new(
        "40 CFR 82.157(d)",
        Known::ParagraphFromMemory,
        "Repair within 30 days of the addition that showed the exceedance; within 120 days if an industrial process must be shut down for it.",
    ),
    verification: &RuleText::new(
        "40 CFR 82.157(e)",
        Known::FromMemory,
        "Initial verification test after the repair and before refrigerant is put back, within the same 30 (or 120) days. Follow-up test within 10 days of a passed initial test or, if the unit was opened, of its return to normal operation.",
    ),
    plan: &RuleText::new(
        "40 CFR 82.157(h)",
        Known::FromMemory,
        "If the leaks are not repaired in time: a plan to retrofit or retire the appliance within 30 days of that limit, carried out within 1 year.",
    ),
    inspection: &RuleText::new(
        "40 CFR 82.157(g)",
        Known::FromMemory,
        "After an exceedance, leak inspections: commercial and industrial process refrigeration of 500 lb or more every 3 months until 4 quarters in a row are not above the threshold; smaller ones, comfort cooling and others every year. Not where automatic leak detection covers the unit.",
    ),
    chronic: &RuleText::new(
        "40 CFR 82.157(j)",
        Known::ParagraphFromMemory,
        "An appliance that loses 125 % of its full charge or more in a calendar year: report to EPA by 1 March of the next.",
    ),
    records: &RuleText::new(
        "40 CFR 82.157(l)",
        Known::ParagraphFromMemory,
        "Keep the records for 3 years.",
    ),
};

/// Hydrofluorocarbons and their substitutes.
pub(super) static PART_84: Part = Part {
    pounds: 15,
    from: date(2026, 1, 1),
    scope: &RuleText::new(
        "40 CFR 84 subpart C",
        Known::Read,
        "Leak rules from 2026-01-01 for appliances with a full charge of 15 lb or more of a refrigerant that contains a regulated hydrofluorocarbon or a substitute with a GWP above 53; not for residential and light commercial air conditioning and heat pumps.",
    ),
    threshold: &RuleText::new(
        "40 CFR 84.106(c)",
        Known::ParagraphFromMemory,
        "Leak rate above which leaks must be repaired: 20 % for commercial refrigeration, 30 % for industrial process refrigeration, 10 % for comfort cooling, refrigerated transport and other appliances.",
    ),
    repair: &RuleText::new(
        "40 CFR 84.106(d)",
        Known::ParagraphFromMemory,
        "Repair within 30 days of the addition that showed the exceedance; within 120 days if an industrial process must be shut down for it. Extensions: 84.106(f) and (i).",
    ),
    verification: &RuleText::new(
        "40 CFR 84.106(e)",
        Known::ParagraphFromMemory,
        "Initial verification test within the same 30 (or 120) days; follow-up test within 10 days of it or, from memory, of the return to normal operation if the unit was opened.",
    ),
    plan: &RuleText::new(
        "40 CFR 84.106(h)",
        Known::ParagraphFromMemory,
        "If the leaks are not repaired in time: a plan to retrofit or retire the appliance within 30 days; carried out, from memory, within 1 year.",
    ),
    inspection: &RuleText::new(
        "40 CFR 84.106(g)",
        Known::FromMemory,
        "After an exceedance, leak inspections, with the intervals as 40 CFR 82.157(g) has them: commercial and industrial process refrigeration of 500 lb or more every 3 months until 4 quarters in a row are not above the threshold; smaller ones, comfort cooling and others every year. Not where automatic leak detection covers the unit.",
    ),
    chronic: &RuleText::new(
        "40 CFR 84.106(j)",
        Known::FromMemory,
        "An appliance that loses 125 % of its full charge or more in a calendar year: report to EPA by 1 March of the next, electronically (84.106(m)).",
    ),
    records: &RuleText::new(
        "40 CFR 84.106(l)",
        Known::ParagraphFromMemory,
        "Keep the records for at least 3 years.",
    ),
};

pub(super) static LEAK_RATE: RuleText = RuleText::new(
    "40 CFR 82.152, leak rate",
    Known::Read,
    "The share of the full charge that would be lost in 12 months, worked out whenever refrigerant is added except right after a retrofit, a new installation or an addition for the season; by one of two methods, the same for all appliances of a facility. 40 CFR 84.102 has it too, from memory.",
);

pub(super) static LEAK_DETECTION: RuleText = RuleText::new(
    "40 CFR 84.108",
    Known::FromMemory,
    "Automatic leak detection on commercial and industrial process refrigeration of 1500 lb or more: within 30 days of installation if installed from 2026-01-01 on, by 2027-01-01 if installed from 2017-01-01 on. Alarm at 100 ppm or, where it watches the charge, at a loss of 50 lb or 10 % of the charge, whichever is less.",
);

/// Leak rate not to be exceeded, in percent: the same in [`PART_82`] and [`PART_84`].
pub(super) fn threshold(appliance: Appliance) -> i128 {
    match appliance {
        Appliance::IndustrialProcess => 30,
        Appliance::CommercialRefrigeration => 20,
        Appliance::ComfortCooling
        | Appliance::LightCommercialComfort
        | Appliance::RefrigeratedTransport
        | Appliance::Other => 10,
    }
}

/// Days from the addition that showed the exceedance to the end of the repair.
pub(super) const REPAIR_DAYS: i32 = 30;
/// Days from the initial to the follow-up verification test.
pub(super) const FOLLOW_UP_DAYS: i32 = 10;
/// Days from the end of the time for repair to the plan.
pub(super) const PLAN_DAYS: i32 = 30;
/// Percent of the full charge lost in a calendar year that must be reported.
pub(super) const CHRONIC_PERCENT: i128 = 125;

/// Months between leak inspections.
pub(super) fn inspection_months(appliance: Appliance, is_500_pounds: bool) -> i32 {
    match appliance {
        Appliance::CommercialRefrigeration | Appliance::IndustrialProcess if is_500_pounds => 3,
        _ => 12,
    }
}

/// Smallest charge with automatic leak detection, in pounds.
pub(super) const DETECTION_POUNDS: i64 = 1500;
/// Units installed before this day need no automatic leak detection.
pub(super) const DETECTION_OLDEST: Date = date(2017, 1, 1);
/// Units installed from this day on need it within [`DETECTION_DAYS`] of installation.
pub(super) const DETECTION_NEW: Date = date(2026, 1, 1);
/// Days from installation.
pub(super) const DETECTION_DAYS: i32 = 30;
/// Last day for the units between.
pub(super) const DETECTION_DUE: Date = date(2027, 1, 1);
