//! "Did you mean".
//!
//! Short words are all near each other, so they get no suggestion.

/// Fewest letters of a word for which a suggestion is more than noise.
const FEWEST_LETTERS: usize = 3;

/// Most edits between what was written and what may have been meant.
const MOST_EDITS: usize = 2;

/// The candidate that `word` was most likely meant to be, if any is within two
/// edits; a swap of neighbours is one edit. The first of equals wins.
///
/// ```
/// use counterbore::diagnostic::nearest;
///
/// assert_eq!(nearest("stpe", ["from", "to", "step"]), Some("step"));
/// assert_eq!(nearest("ot", ["from", "to", "step"]), None);
/// ```
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.chars().count() < FEWEST_LETTERS {
        return None;
    }
    candidates
        .into_iter()
        .map(|candidate| (strsim::damerau_levenshtein(word, candidate), candidate))
        .filter(|(edits, _)| *edits <= MOST_EDITS)
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, candidate)| candidate)
}
