//! Who somebody is to the job: of the customer's people, or a colleague.

use super::fold;

/// Words for colleagues, where nothing behind them makes somebody else of them.
const COLLEAGUES: &[&str] = &[
    "office",
    "shop",
    "dispatch",
    "dispatcher",
    "boss",
    "foreman",
    "supervisor",
    "helper",
    "apprentice",
    "partner",
    "coworker",
    "colleague",
    "warehouse",
    "parts",
    "service",
    "sales",
    "payroll",
    "accounting",
];

/// Words that make a person at the customer's of the word before: `office manager`, `shop owner`.
const PERSONS: &[&str] = &[
    "manager",
    "owner",
    "lead",
    "staff",
    "tenant",
    "worker",
    "workers",
    "lady",
    "guy",
    "people",
    "administrator",
    "secretary",
    "clerk",
    "girl",
    "crew",
];

/// True when what was told to somebody was told to a colleague: `Wen the owner never pays` where Wen is
/// one of `technicians`, `my manager …`, `the office …`; not `the office manager …`.
pub fn tells_a_colleague<'t>(text: &str, technicians: impl IntoIterator<Item = &'t str>) -> bool {
    let folded = fold(text);
    let mut words = folded.split(' ').filter(|word| *word != "the").peekable();
    let is_ours = words
        .next_if(|word| matches!(*word, "my" | "our"))
        .is_some();
    let (Some(who), next) = (words.next(), words.next()) else {
        return false;
    };
    if is_ours {
        return !matches!(who, "customer" | "client" | "contact");
    }
    let is_named = |name: &str| {
        let name = fold(name);
        name.split(' ').next().is_some_and(|first| first == who)
    };
    if technicians.into_iter().any(is_named) {
        return true;
    }
    // `service manager`, `sales manager`: of the own house.
    let of_house = matches!(who, "service" | "sales");
    COLLEAGUES.contains(&who) && (of_house || !next.is_some_and(|word| PERSONS.contains(&word)))
}

#[cfg(test)]
mod tests {
    use super::tells_a_colleague;

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
        ];
        for text in customers {
            assert!(!tells_a_colleague(text, ["Ines", "Wen Li"]), "{text}");
        }
    }
}
