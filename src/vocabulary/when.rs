//! Whether a text says when: a day, a time of day, a return.

use super::fold;

const WHEN: &[&str] = &[
    "afternoon",
    "am",
    "evening",
    "friday",
    "hour",
    "hours",
    "midday",
    "midnight",
    "monday",
    "month",
    "morning",
    "night",
    "noon",
    "once",
    "overnight",
    "pm",
    "return",
    "returning",
    "returns",
    "saturday",
    "sunday",
    "thursday",
    "till",
    "today",
    "tomorrow",
    "tonight",
    "tuesday",
    "until",
    "wednesday",
    "week",
    "weekend",
    "weeks",
    "when",
];

/// True when a text names a day, a time of day, a clock time, a date or a return: `until tomorrow`,
/// `when the part arrives`, `back at 0800`, `by 2026-03-16`.
pub fn says_when(text: &str) -> bool {
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').collect();
    let named = words.iter().any(|w| WHEN.binary_search(w).is_ok());
    let number = |word: &str| word.bytes().next().is_some_and(|b| b.is_ascii_digit());
    // `at eight` and `at 8` are times; `by Friday` is named above, `by 8` is a time too.
    let at = words.windows(2).any(|pair| {
        matches!(pair[0], "at" | "by" | "before") && (number(pair[1]) || HOURS.contains(&pair[1]))
    });
    let date = text.split_whitespace().any(|word| {
        let word = word.trim_end_matches(['.', ',', ';']);
        let of_date = |c: char| c.is_ascii_digit() || matches!(c, '-' | '/' | ':');
        word.chars().all(of_date)
            && word.contains(['-', '/', ':'])
            && word.bytes().filter(u8::is_ascii_digit).count() >= 3
    });
    named || at || date
}

const HOURS: &[&str] = &[
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_sorted_for_the_search() {
        assert!(WHEN.is_sorted());
    }

    #[test]
    fn days_and_times_say_when() {
        for text in [
            "this holds overnight only",
            "until tomorrow",
            "return at eight",
            "when the part arrives",
            "back at 0800",
            "put back by 2026-03-16",
            "on Friday",
            "back 8:30",
        ] {
            assert!(says_when(text), "{text}");
        }
        for text in [
            "the alarm is silenced",
            "leave the R-448A unit alone",
            "alarm at the panel",
            "",
        ] {
            assert!(!says_when(text), "{text}");
        }
    }
}
