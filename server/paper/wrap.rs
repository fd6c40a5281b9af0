//! Breaking text into lines.
//!
//! Breaks at spaces; inside a word only where the word alone does not fit; never at a no-break
//! space, so that a value keeps its unit. What fits is the caller's to say: columns or millimetres.

/// The space that holds.
pub const HOLD: char = '\u{a0}';

/// Lines for which `fits` holds; always at least one. A line of a single character that does
/// not fit is given nevertheless.
pub fn wrap(text: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        place(word, &mut lines, &fits);
    }
    lines
}

fn place(word: &str, lines: &mut Vec<String>, fits: &impl Fn(&str) -> bool) {
    let Some(line) = lines.last_mut() else { return };
    let joined = if line.is_empty() {
        word.to_owned()
    } else {
        format!("{line} {word}")
    };
    if fits(&joined) {
        *line = joined;
    } else if fits(word) {
        lines.push(word.to_owned());
    } else {
        pieces(word, lines, fits);
    }
}

/// A word that is longer than a line.
fn pieces(word: &str, lines: &mut Vec<String>, fits: &impl Fn(&str) -> bool) {
    if lines.last().is_some_and(|line| !line.is_empty()) {
        lines.push(String::new());
    }
    for sign in word.chars() {
        let Some(line) = lines.last_mut() else { return };
        line.push(sign);
        if !fits(line) && line.chars().count() > 1 {
            line.pop();
            lines.push(sign.into());
        }
    }
}

/// Holds values, units and uncertainties together: "16.34 mm ± 0.11 mm" is never broken.
pub fn held(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    let mut out = String::with_capacity(text.len());
    for (place, word) in words.iter().enumerate() {
        if place > 0 {
            out.push(if holds(words[place - 1], word) {
                HOLD
            } else {
                ' '
            });
        }
        out.push_str(word);
    }
    out
}

fn holds(before: &str, after: &str) -> bool {
    let unit = after.trim_end_matches(|sign: char| ".,;:)".contains(sign));
    let number = |word: &str| word.ends_with(|sign: char| sign.is_ascii_digit());
    before == "±"
        || (["k", "(k", "(E_n"].contains(&before)
            && after.starts_with(|sign: char| sign.is_ascii_digit()))
        || (after == "±" && !before.is_empty())
        || (["mm", "ml", "in"].contains(&unit) && number(before))
}
