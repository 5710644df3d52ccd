//! Whether a text says when: a day, a time of day, a return.

use super::fold;
use crate::quantity::lookup_unit;

const WHEN: &[&str] = &[
    "afternoon",
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
    // `8am`, `8 am`; `I am` is none.
    let half = words.iter().enumerate().any(|(i, word)| {
        let of_day = word.strip_suffix("am").or_else(|| word.strip_suffix("pm"));
        of_day.is_some_and(|hour| number(hour) || hour.is_empty() && i > 0 && number(words[i - 1]))
    });
    // `at eight`, `by 8`; `at 30 F` is a setting.
    let at = (1..words.len()).any(|i| {
        let setting = words
            .get(i + 1)
            .is_some_and(|unit| !lookup_unit(unit).is_empty());
        matches!(words[i - 1], "at" | "by" | "before")
            && (HOURS.contains(&words[i]) || number(words[i]) && !setting)
    });
    // `08:30`, `2026-03-16`, `3/16/2026`; `208/230` and `3/8` are sizes.
    let date = text.split_whitespace().any(|word| {
        let word = word.trim_end_matches(['.', ',', ';']);
        let of_date = |c: char| c.is_ascii_digit() || matches!(c, '-' | '/' | ':');
        let joints = |joint: &[char]| word.matches(joint).count();
        word.chars().all(of_date) && (joints(&[':']) == 1 || joints(&['-', '/']) == 2)
    });
    named || half || at || date
}

/// True for a folded word that is a number of one to twelve.
pub fn spells_number(word: &str) -> bool {
    HOURS.contains(&word)
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
            "back 8am",
            "back 8 pm",
        ] {
            assert!(says_when(text), "{text}");
        }
        for text in [
            "the alarm is silenced",
            "leave the R-448A unit alone",
            "alarm at the panel",
            "that I am leaving",
            "thermostat at 30 F",
            "tap on 208/230",
            "",
        ] {
            assert!(!says_when(text), "{text}");
        }
    }
}
