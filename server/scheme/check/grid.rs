//! Numbers on a grid, and running numbers.

use super::signs::{MOST_SIGNS, too_many};
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding};
use crate::scheme::figure::{Grid, GridMeaning};
use crate::scheme::written;
use crate::unit::{Dimension, Scale};
use crate::yaml::{Path, Text};

/// More digits than this no number has that is stamped.
const MOST_DIGITS: usize = 9;

/// A number as it is stamped.
struct Digits {
    /// In units of the last digit.
    number: i64,
    /// After the point.
    decimals: usize,
    /// Before it, where it begins with a nought that says nothing; 1 otherwise.
    width: usize,
}

fn digits(text: &str) -> Result<Digits, Finding> {
    let wrong = || {
        Finding::new(
            "bad-number",
            sentence!("`{text}` is not a number as it is stamped", text),
        )
        .hint(sentence!(
            "write up to {most_digits} digits and at most one point, as `1540` or `15.50`",
            most_digits = MOST_DIGITS
        ))
    };
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let count = whole.len() + part.len();
    let all_digits = text
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'.');
    let complete = !whole.is_empty() && (part.is_empty() != text.contains('.'));
    if !all_digits || !complete || count > MOST_DIGITS {
        return Err(wrong());
    }
    let number = format!("{whole}{part}").parse().map_err(|_| wrong())?;
    let width = if whole.starts_with('0') {
        whole.len()
    } else {
        1
    };
    Ok(Digits {
        number,
        decimals: part.len(),
        width,
    })
}

/// The grid, if its steps lead from one end to the other.
pub(super) fn grid(
    written: &written::Grid,
    scale: &Scale,
    path: &Path,
    faults: &mut Faults<'_>,
) -> Option<Grid> {
    let mut read = |key: &str, text: &Text| faults.keep(&path.key(key), digits(text));
    let from = read("from", &written.from);
    let (to, step) = (read("to", &written.to), read("step", &written.step));
    let (from, to, step) = (from?, to?, step?);
    same_digits(
        (&from, &written.from),
        [("to", &to, &written.to), ("step", &step, &written.step)],
        path,
        faults,
    )?;
    let grid = Grid {
        from: from.number,
        to: to.number,
        step: step.number,
        decimals: from.decimals,
        width: from.width,
        meaning: GridMeaning::Unit(*scale),
    };
    let readable = scale
        .amount(&written.from)
        .and_then(|_| scale.amount(&written.to));
    let readable = readable.map_err(|error| Finding::amount(&written.from, &error));
    faults.keep(&path.key("from"), readable)?;
    reaches(grid, path, faults)
}

fn same_digits(
    (from, from_text): (&Digits, &Text),
    others: [(&str, &Digits, &Text); 2],
    path: &Path,
    faults: &mut Faults<'_>,
) -> Option<()> {
    let wrong = others
        .into_iter()
        .find(|(_, other, _)| other.decimals != from.decimals);
    let Some((key, _, text)) = wrong else {
        return Some(());
    };
    let message = sentence!(
        "`{text}` has not as many digits after the point as `{from_text}`",
        text,
        from_text
    );
    let finding = Finding::new("grid-digits", message).hint(sentence!(
        "write all three with the digits that are stamped"
    ));
    faults.error(&path.key(key), finding);
    None
}

/// Steps above zero that lead from `from` exactly to `to`, and not too many.
fn reaches(grid: Grid, path: &Path, faults: &mut Faults<'_>) -> Option<Grid> {
    let Grid { from, to, step, .. } = grid;
    let text = |number: i64| grid.text(number);
    if step <= 0 {
        let message = sentence!(
            "steps of {step} lead nowhere",
            step = text(step).to_string()
        );
        faults.error(
            &path.key("step"),
            Finding::new("grid-step", message).hint(sentence!("write a step above zero")),
        );
        return None;
    }
    if from > to {
        let message = sentence!(
            "the grid falls from {from} to {to}",
            from = text(from).to_string(),
            to = text(to).to_string()
        );
        let finding = Finding::new("grid-falls", message)
            .hint(sentence!("write the smaller number in `from`"));
        faults.error(&path.key("to"), finding);
        return None;
    }
    let last = to - (to - from) % step;
    if last != to {
        let message = sentence!(
            "steps of {step} from {from} never reach {to}; the last is {last}",
            step = text(step).to_string(),
            from = text(from).to_string(),
            to = text(to).to_string(),
            last = text(last).to_string()
        );
        let finding = Finding::new("grid-end", message).hint(sentence!(
            "write `to: {last}`",
            last = text(last).to_string()
        ));
        faults.error(&path.key("to"), finding);
        return None;
    }
    let count = (to - from) / step + 1;
    if count > MOST_SIGNS as i64 {
        faults.error(path, too_many(count.into()));
        return None;
    }
    Some(grid)
}

/// Running numbers, whole ones, each worth the same more than the one before.
pub(super) fn steps(
    written: &written::Steps,
    dimension: Dimension,
    path: &Path,
    faults: &mut Faults<'_>,
) -> Option<Grid> {
    let from = faults.keep(&path.key("from"), whole(&written.from));
    let to = faults.keep(&path.key("to"), whole(&written.to));
    let first = faults.keep(
        &path.key("first"),
        amounts::plain(&written.first, dimension),
    );
    let each = faults.keep(&path.key("each"), amounts::plain(&written.each, dimension));
    let (from, to, first, each) = (from?, to?, first?, each?);
    if each.value == 0.0 {
        let finding = Finding::new(
            "grid-step",
            sentence!("each step adds nothing, so all numbers mean the same"),
        );
        faults.error(&path.key("each"), finding);
        return None;
    }
    let meaning = GridMeaning::Steps { first, each };
    let (decimals, width) = (0, from.width);
    reaches(
        Grid {
            from: from.number,
            to: to.number,
            step: 1,
            decimals,
            width,
            meaning,
        },
        path,
        faults,
    )
}

fn whole(text: &str) -> Result<Digits, Finding> {
    let digits = digits(text)?;
    match digits.decimals {
        0 => Ok(digits),
        _ => Err(Finding::new(
            "bad-number",
            sentence!("`{text}` is not a whole number", text),
        )),
    }
}
