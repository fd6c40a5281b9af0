//! One measure of two pieces, side by side.

use schemars::JsonSchema;
use serde::Serialize;

use super::figure::{Amount, Figure, with_unit};
use super::measures::Measures;
use crate::translate::{Difference, Verdict};

/// One measure of both pieces.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DifferenceAnswer {
    /// What is compared.
    pub quantity: String,
    /// By which method, on both pieces.
    pub method: String,
    /// The match. The piece at hand stands among the figures of `ours`, under the same quantity and
    /// method.
    pub theirs: Figure,
    /// Theirs less ours.
    #[serde(flatten)]
    pub difference: Amount,
    /// The difference, rounded, with its sign.
    pub text: String,
    /// |difference| over its expanded uncertainty (ISO 13528); none where there is no doubt at all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub e_n: Option<f64>,
    /// same, more, less or too uncertain.
    pub verdict: String,
    /// The verdict in words.
    pub words: String,
}

/// `measures` takes up the piece at hand.
pub(super) fn difference(one: &Difference, measures: &mut Measures) -> DifferenceAnswer {
    let ours = measures.figure(&one.ours);
    let amount = Amount::of(one.method.quantity(), &one.difference);
    let (value, expanded) = amount.shown();
    let unit = amount.unit();
    let plus = if one.difference.value() > 0.0
        && value.contains(|digit: char| ('1'..='9').contains(&digit))
    {
        "+"
    } else {
        ""
    };
    DifferenceAnswer {
        quantity: ours.quantity.clone(),
        method: ours.method.clone(),
        theirs: Figure::named(ours.method.clone(), &one.theirs, &[]),
        text: [plus, &with_unit(&value, &expanded, unit)].concat(),
        difference: amount,
        e_n: one.e_n.map(|e_n| (e_n * 100.0).round() / 100.0),
        verdict: match one.verdict {
            Verdict::Same => "same",
            Verdict::More => "more",
            Verdict::Less => "less",
            Verdict::TooUncertain => "too uncertain",
        }
        .into(),
        words: words(
            one,
            with_unit(value.trim_start_matches('\u{2212}'), &expanded, unit),
        ),
    }
}

/// The verdict with the size of the difference, which has no sign.
fn words(one: &Difference, size: String) -> String {
    match one.verdict {
        Verdict::More | Verdict::Less => [&one.words(), " by ", &size].concat(),
        _ => one.words(),
    }
}

pub(super) fn direction(one: &Difference) -> &'static str {
    let (more, less) = one.method.quantity().directions();
    if one.difference.value() > 0.0 {
        more
    } else {
        less
    }
}

/// The size of a difference without its sign, with its uncertainty.
pub(super) fn size(one: &Difference) -> String {
    let amount = Amount::of(one.method.quantity(), &one.difference);
    let (value, expanded) = amount.shown();
    let unit = amount.unit();
    with_unit(value.trim_start_matches('\u{2212}'), &expanded, unit)
}
