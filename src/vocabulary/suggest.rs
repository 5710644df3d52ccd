//! Nearest-word suggestion and small helpers for sentences.

/// The known word nearest to `word`, if near enough to be a slip of the thumb.
///
/// Near enough: one edit for up to four letters, two for up to seven, three beyond; a swap of two
/// neighbouring letters is one edit. Ties go to a word with the same first letter, then to the one listed first.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = word.chars().count();
    let reach = match length {
        0..=2 => return None,
        3..=4 => 1,
        5..=7 => 2,
        _ => 3,
    };
    let letters = letters_of(word);
    known
        .into_iter()
        .filter(|candidate| candidate.chars().count().abs_diff(length) <= reach)
        // One edit changes at most two letters of the set: most words are out without measuring.
        .filter(|candidate| (letters_of(candidate) ^ letters).count_ones() as usize <= 2 * reach)
        .map(|candidate| (strsim::osa_distance(word, candidate), candidate))
        .filter(|&(distance, _)| distance <= reach)
        .min_by_key(|&(distance, candidate)| {
            // A thumb seldom misses the first letter.
            (distance, candidate.chars().next() != word.chars().next())
        })
        .map(|(_, candidate)| candidate)
}

/// Which letters a word has, a bit each.
fn letters_of(word: &str) -> u32 {
    word.bytes()
        .fold(0, |set, byte| set | 1u32.wrapping_shl(u32::from(byte)))
}

/// `1 reading`, `2 readings`.
pub fn plural(count: usize, one: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {one}s")
    }
}

/// `a`, `a or b`, `a, b or c`.
pub fn list(items: &[&str], last: &str) -> String {
    match items {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [head @ .., tail] => format!("{} {last} {tail}", head.join(", ")),
    }
}
