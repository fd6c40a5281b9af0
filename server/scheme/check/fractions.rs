//! Fractions of a unit, as stamped: in lowest terms, `1 1/16` above one.

use super::signs::{MOST_SIGNS, too_many};
use crate::scheme::faults::{Faults, Finding};
use crate::scheme::figure::Sign;
use crate::scheme::written;
use crate::unit::{AmountWithSpread, Scale};
use crate::yaml::Path;

/// `top` / `bottom`, the bottom above zero.
#[derive(Clone, Copy)]
struct Fraction {
    top: i64,
    bottom: i64,
}

impl Fraction {
    fn read(text: &str) -> Result<Self, Finding> {
        let wrong = || {
            Finding::new(
                "bad-number",
                sentence!("`{text}` is not a fraction as it is stamped", text),
            )
            .hint(sentence!(
                "write it like `5/8`, `1 1/16` or `1`, the lower number up to 1000"
            ))
        };
        let (whole, part) = match text.trim().split_once(' ') {
            Some((whole, part)) => (whole, part.trim()),
            None if text.contains('/') => ("0", text.trim()),
            None => (text.trim(), "0/1"),
        };
        let (top, bottom) = part.split_once('/').ok_or_else(wrong)?;
        let number = |text: &str| text.parse::<u16>().map(i64::from).map_err(|_| wrong());
        let (whole, top, bottom) = (number(whole)?, number(top)?, number(bottom)?);
        if bottom == 0 || bottom > 1000 {
            return Err(wrong());
        }
        Ok(Self {
            top: whole * bottom + top,
            bottom,
        })
    }

    /// The top over another bottom; none where it is not whole.
    fn over(self, bottom: i64) -> Option<i64> {
        let top = self.top * bottom;
        (top % self.bottom == 0).then_some(top / self.bottom)
    }
}

/// In lowest terms.
impl std::fmt::Display for Fraction {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let shared = common(self.top, self.bottom);
        let (top, bottom) = (self.top / shared, self.bottom / shared);
        match (top / bottom, top % bottom) {
            (whole, 0) => write!(out, "{whole}"),
            (0, _) => write!(out, "{top}/{bottom}"),
            (whole, rest) => write!(out, "{whole} {rest}/{bottom}"),
        }
    }
}

/// The greatest common divisor.
fn common(one: i64, other: i64) -> i64 {
    if other == 0 {
        one
    } else {
        common(other, one % other)
    }
}

/// The signs, if the steps lead from one end to the other.
pub(super) fn fractions(
    written: &written::Fractions,
    scale: &Scale,
    path: &Path,
    faults: &mut Faults<'_>,
) -> Option<Vec<Sign>> {
    let from = faults.keep(&path.key("from"), lowest(&written.from));
    let to = faults.keep(&path.key("to"), lowest(&written.to));
    let step = faults.keep(&path.key("step"), lowest(&written.step));
    let (from, to, step) = (from?, to?, step?);
    let tops = faults.keep(&path.key("to"), tops(from, to, step))?;
    if tops.1 > MOST_SIGNS as i64 {
        faults.error(path, too_many(tops.1.into()));
        return None;
    }
    let sign = |place: i64| {
        sign(
            Fraction {
                top: tops.0 + place * tops.2,
                bottom: tops.3,
            },
            step,
            scale,
        )
    };
    let signs: Result<_, _> = (0..tops.1).map(sign).collect();
    faults.keep(&path.key("step"), signs)
}

fn lowest(text: &str) -> Result<Fraction, Finding> {
    let fraction = Fraction::read(text)?;
    if fraction.to_string() == text.trim() {
        return Ok(fraction);
    }
    let message = sentence!("`{text}` is not in lowest terms", text);
    Err(Finding::new("lowest-terms", message).hint(sentence!("write `{fraction}`", fraction)))
}

/// First top, how many, the step's top, and the bottom they share.
fn tops(from: Fraction, to: Fraction, step: Fraction) -> Result<(i64, i64, i64, i64), Finding> {
    if step.top <= 0 {
        return Err(
            Finding::new("grid-step", sentence!("steps of 0 lead nowhere"))
                .hint(sentence!("write a step above zero")),
        );
    }
    let shared = from.bottom / common(from.bottom, step.bottom) * step.bottom;
    let bottom = shared / common(shared, to.bottom) * to.bottom;
    let over = |one: Fraction| one.over(bottom).unwrap_or(0);
    let (first, last, each) = (over(from), over(to), over(step));
    if first > last {
        let message = sentence!("the fractions fall from {from} to {to}", from, to);
        return Err(
            Finding::new("grid-falls", message).hint(sentence!("write the smaller one in `from`"))
        );
    }
    let reached = Fraction {
        top: last - (last - first) % each,
        bottom,
    };
    if reached.top != last {
        let message = sentence!(
            "steps of {step} from {from} never reach {to}; the last is {reached}",
            step,
            from,
            to,
            reached
        );
        return Err(
            Finding::new("grid-end", message).hint(sentence!("write `to: {reached}`", reached))
        );
    }
    Ok((first, (last - first) / each + 1, each, bottom))
}

/// All signs of the list are as fine as its step, however few digits `5/8` has.
fn sign(fraction: Fraction, step: Fraction, scale: &Scale) -> Result<Sign, Finding> {
    let text = fraction.to_string();
    let mut amount = scale
        .amount(&text)
        .map_err(|error| Finding::amount(&text, &error))?;
    amount.resolution = step.top as f64 / step.bottom as f64 * scale.factor();
    let spread = None;
    Ok(Sign::size(text, AmountWithSpread { amount, spread }))
}
