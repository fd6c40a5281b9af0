//! What serde's sentences say.
//!
//! serde words its faults in a fixed way: "unknown field `stpe`, expected one
//! of `from`, `to`", "invalid type: string \"abc\", expected u32". Here their
//! parts are taken out, and its names for types put into plain words.

/// The sentence without the path and the position that serde_yaml puts around
/// those of its own faults.
pub(super) fn without_position(message: &str) -> &str {
    let openings = [
        "unknown field `",
        "unknown variant `",
        "missing field `",
        "invalid type: ",
        "invalid value: ",
        "invalid length ",
    ];
    let start = openings
        .into_iter()
        .filter_map(|opening| message.find(opening))
        .min();
    match start {
        Some(start) => message[start..]
            .rsplit_once(" at line ")
            .filter(|(_, position)| is_position(position))
            .map_or(&message[start..], |(sentence, _)| sentence),
        None => message,
    }
}

fn is_position(text: &str) -> bool {
    let number = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    text.split_once(" column ")
        .is_some_and(|(line, column)| number(line) && number(column))
}

/// The words that would have been right.
pub(super) fn choices(sentence: &str) -> Vec<&str> {
    match sentence.rsplit_once(", expected ") {
        Some((_, list)) => list.split('`').skip(1).step_by(2).collect(),
        None => Vec::new(),
    }
}

/// How many values there were, if that is what is wrong.
pub(super) fn length(sentence: &str) -> Option<usize> {
    let rest = sentence.strip_prefix("invalid length ")?;
    rest.split(',').next()?.parse().ok()
}

/// What was expected, for somebody who does not program.
pub(super) fn in_plain_words(sentence: &str) -> String {
    let expected = match sentence.rsplit_once(", expected ") {
        Some((_, expected)) => expected,
        None => sentence,
    };
    match expected {
        "u8" | "u16" | "u32" | "u64" | "u128" | "usize" => WHOLE_FROM_ZERO.into(),
        "i8" | "i16" | "i32" | "i64" | "i128" | "isize" => WHOLE.into(),
        "f32" | "f64" => NUMBER.into(),
        "a boolean" => YES_OR_NO.into(),
        "a string" | "string" => word!("text").into(),
        "a sequence" => word!("a list").into(),
        "a map" => word!("a mapping").into(),
        "map containing 1 entry" => word!("one key").into(),
        other => composite(other),
    }
}

const WHOLE_FROM_ZERO: &str = word!("a whole number from 0 up");
const WHOLE: &str = word!("a whole number");
const NUMBER: &str = word!("a number");
const YES_OR_NO: &str = word!("`true` or `false`");

/// Whether quotes alone can be what is wrong.
pub(super) fn is_without_quotes(plain: &str) -> bool {
    [WHOLE_FROM_ZERO, WHOLE, NUMBER, YES_OR_NO].contains(&plain)
}

fn composite(expected: &str) -> String {
    let (first, rest) = expected.split_once(' ').unwrap_or((expected, ""));
    match first {
        "struct" => word!("a mapping").into(),
        "enum" | "variant" => word!("one of its words").into(),
        "tuple" | "sequence" => match rest.rsplit_once(' ') {
            Some((before, "element" | "elements")) => {
                let count = before.rsplit(' ').next().unwrap_or_default();
                format!("a list of {count}")
            }
            _ => word!("a list").into(),
        },
        _ if expected.starts_with("an array of length ") => {
            expected.replace("an array of length", "a list of")
        }
        "a" if rest.starts_with("tuple of size ") => rest.replace("tuple of size", "a list of"),
        _ => expected.to_owned(),
    }
}
