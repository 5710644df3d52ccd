//! Who somebody is to the job: of the customer's people, or a colleague.

use super::{Verb, fold, verb};

/// Words for colleagues and for those whom the own house deals with.
const COLLEAGUES: &[&str] = &[
    "accounting",
    "accounts",
    "apprentice",
    "billing",
    "boss",
    "colleague",
    "colleagues",
    "coworker",
    "coworkers",
    "dispatch",
    "dispatcher",
    "dispatching",
    "distributor",
    "estimator",
    "factory",
    "foreman",
    "headquarters",
    "helper",
    "hq",
    "manufacturer",
    "office",
    "partner",
    "parts",
    "payroll",
    "sales",
    "scheduler",
    "scheduling",
    "service",
    "shop",
    "supervisor",
    "supplier",
    "supply",
    "tech",
    "technician",
    "technicians",
    "techs",
    "trainee",
    "vendor",
    "warehouse",
    "wholesaler",
];

/// Those of them that a customer has too, so that a person behind them is the customer's.
const OF_EITHER: &[&str] = &["office", "shop", "warehouse", "parts", "sales", "supply"];

/// People at the customer's, alone or behind one of those: `office manager`, `shop owner`.
const PERSONS: &[&str] = &[
    "administrator",
    "assistant",
    "chef",
    "clerk",
    "cook",
    "crew",
    "customer",
    "foreman",
    "girl",
    "guy",
    "keeper",
    "lady",
    "lead",
    "manager",
    "owner",
    "people",
    "personnel",
    "receptionist",
    "secretary",
    "staff",
    "supervisor",
    "tenant",
    "worker",
    "workers",
];

/// Words that say which of several, and nothing of whose.
const WHICH: &[&str] = &[
    "a", "an", "the", "new", "other", "head", "lead", "junior", "senior", "regional", "big",
];

/// True when what was told to somebody was told to a colleague: `Wen the owner never pays` where Wen is
/// one of `technicians`, `my manager …`, `the office …`; not `the office manager …`.
pub fn tells_a_colleague<'t>(text: &str, technicians: impl IntoIterator<Item = &'t str>) -> bool {
    let names: Vec<String> = technicians.into_iter().map(fold).collect();
    let is_named = |word: &str| {
        let mut all = names.iter().flat_map(|name| name.split(' '));
        word.len() > 1 && all.any(|name| name == word)
    };
    let words: Vec<Said> = text.split_whitespace().take(8).map(Said::of).collect();
    let word = |at: usize| words.get(at).map_or("", |said| said.word.as_str());
    let mut at = 0;
    // `had a word with …`, `explained to …`
    while matches!(word(at), "with" | "to") || WHICH.contains(&word(at)) {
        // `the lead to fix the drain`: nobody stands behind it.
        if word(at) == "lead" && !COLLEAGUES.contains(&word(at + 1)) {
            break;
        }
        at += 1;
    }
    if matches!(word(at), "my" | "our") {
        let of_customer = |word: &str| matches!(word, "customer" | "client" | "contact" | "tenant");
        return !of_customer(word(at + 1)) && !of_customer(word(at + 2));
    }
    let who = word(at);
    let next = if words.get(at).is_some_and(|said| said.pause) {
        ""
    } else {
        word(at + 1)
    };
    let is_ours = if is_named(who)
        || words
            .get(at)
            .is_some_and(|s| s.owns && COLLEAGUES.contains(&s.word.as_str()))
    {
        true
    } else if !COLLEAGUES.contains(&who) {
        false
    } else if OF_EITHER.contains(&who) {
        // A sales manager is of the own house, and so is who keeps its parts.
        let of_house = matches!((who, next), ("sales", "manager") | ("parts", "manager"));
        let is_floor = matches!(who, "shop" | "sales") && next == "floor";
        of_house || !(PERSONS.contains(&next) || is_floor)
    } else {
        // `supervisor on duty`, `the boss of the store`
        !matches!((next, word(at + 2)), ("on", "duty") | ("of", "the"))
    };
    // `Wen and the manager …`: a customer was told as well.
    let second = at + 1 + usize::from(word(at + 1) == "and");
    let second = second + usize::from(word(second) == "the");
    let both = word(at + 1) == "and" && PERSONS.contains(&word(second));
    is_ours && !both
}

/// A word of who was told.
struct Said {
    /// Folded, without the mark of possession.
    word: String,
    /// `Wen's`
    owns: bool,
    /// A comma or the like stands behind it.
    pause: bool,
}

impl Said {
    fn of(raw: &str) -> Self {
        let bare = raw.trim_end_matches([',', ':', ';', '.']);
        let plain = bare.replace('’', "'");
        let base = plain.strip_suffix("'s");
        Self {
            word: fold(&base.unwrap_or(&plain).replace('-', "")),
            owns: base.is_some(),
            pause: bare.len() < raw.len(),
        }
    }
}

/// True for what was told to the writer, behind the word of the line kind: `by manager …`, `me …`.
pub fn is_heard_from(text: &str) -> bool {
    let folded = fold(text);
    let first = folded.split(' ').next();
    matches!(first, Some("by" | "me" | "us" | "myself"))
}

/// True for a whole line that says so: `told by manager …`.
pub fn is_retold(line: &str) -> bool {
    matches!(verb(line), Some((Verb::Told, words)) if is_heard_from(&line[words.end..]))
}

#[cfg(test)]
mod tests {
    use super::{is_retold, tells_a_colleague};

    #[test]
    fn who_was_told_decides_by_the_whole_phrase() {
        let colleagues = [
            "Wen the owner never pays on time",
            "Wen",
            "wen: bring the long ladder",
            "Ines to order the part",
            "my manager the last company botched this",
            "my boss",
            "my supervisor we need a second man",
            "our office to call him back",
            "our dispatcher",
            "our service manager",
            "the shop to order a spare",
            "shop we need a crane",
            "the office",
            "office to bill two hours",
            "office about the door",
            "dispatch I am running late",
            "the dispatcher",
            "dispatcher no access",
            "boss",
            "the boss it needs two men",
            "the foreman",
            "foreman to send help",
            "helper to fetch the vacuum pump",
            "the apprentice to watch the gauge",
            "parts to order a motor",
            "the parts counter",
            "warehouse to hold one",
            "service manager it is a comeback",
            "sales to quote a new door",
            "my partner to hold the ladder",
            "the office the manager never pays",
            "the shop the owner is slow",
            "Li bring the ladder",
            "Wen's brother to come",
            "head office about the bill",
            "the lead tech",
            "the other tech",
            "tech support the board is dead",
            "the supply house",
            "wholesaler to hold one",
            "a co-worker",
            "the boss's wife",
            "with the office, bill two hours",
            "to dispatch I am late",
            "parts manager to order a motor",
            "technician Wen",
            "Wen and Ines",
        ];
        for text in colleagues {
            assert!(tells_a_colleague(text, ["Ines", "Wen Li"]), "{text}");
        }
        let customers = [
            "the office manager the hatch is open, keep people away",
            "office manager to keep the door shut",
            "the store manager",
            "store manager box will be cold by noon",
            "the kitchen manager to move the food",
            "kitchen manager Wen will be back",
            "the manager on duty",
            "manager",
            "the manager to keep the door shut until evening",
            "the owner it needs a new door",
            "owner",
            "the shop owner",
            "shop manager unit stays off",
            "the shop staff to keep out",
            "the chef the box is safe to use when cold",
            "Kim the manager heater on order",
            "customer",
            "our customer to call on Monday",
            "the tenant",
            "building engineer roof hatch open",
            "security we are on the roof",
            "maintenance lead to fix the drain",
            "front desk",
            "the cashier",
            "the parts clerk",
            "the shop assistant",
            "the shop keeper",
            "the shop floor to stay clear",
            "office personnel",
            "the office receptionist",
            "the warehouse supervisor",
            "supervisor on duty",
            "the supervisor of the store",
            "shift supervisor",
            "the kitchen foreman",
            "the boss of the store",
            "the sales staff",
            "Wen and the manager the hatch is open",
            "manager and Wen",
            "my contact Kim",
            "their boss",
            "with the store manager, the hatch is open",
            "the head chef",
            "the lead to fix the drain",
        ];
        for text in customers {
            assert!(!tells_a_colleague(text, ["Ines", "Wen Li"]), "{text}");
        }
    }

    #[test]
    fn what_the_writer_was_told_is_told_to_nobody() {
        for line in [
            "told by manager box been climbing",
            "told me it is warm",
            "told us",
            "told: by Wen",
        ] {
            assert!(is_retold(line), "{line}");
        }
        for line in [
            "told manager by phone",
            "told the owner",
            "saw by the door",
            "told Melanie",
        ] {
            assert!(!is_retold(line), "{line}");
        }
    }
}
