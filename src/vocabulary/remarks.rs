//! Words that follow a value as a remark, so that none of them is taken for an unknown unit.

const REMARKS: &[&str] = &[
    "a", "about", "across", "after", "again", "all", "and", "approx", "at", "back", "before",
    "between", "both", "bottom", "but", "by", "climbing", "cold", "down", "dropping", "each",
    "falling", "for", "from", "front", "good", "high", "in", "inside", "is", "it", "left", "low",
    "middle", "near", "normal", "now", "off", "ok", "on", "only", "over", "right", "rising",
    "roughly", "running", "stable", "steady", "still", "the", "then", "to", "too", "top", "under",
    "up", "very", "warm", "was", "when", "while", "with",
];

/// Words that soften a value: it was not read off an instrument.
pub const ABOUT: &[&str] = &[
    "about",
    "around",
    "roughly",
    "approximately",
    "approx",
    "maybe",
    "nearly",
    "almost",
];

/// True when a folded word starts a remark on the value before it.
pub fn starts_remark(word: &str) -> bool {
    REMARKS.binary_search(&word).is_ok()
}

#[cfg(test)]
mod tests {
    #[test]
    fn words_are_sorted_for_the_search() {
        assert!(super::REMARKS.is_sorted());
    }
}
