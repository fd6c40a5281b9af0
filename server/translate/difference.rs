//! One measure of two pieces, compared.

use std::sync::Arc;

use super::feel::Feel;
use super::limited::LimitedDifference;
use crate::language;
use crate::language::Sentence;
use crate::method::Method;
use crate::route::{Known, Measured, Piece, measure};
use crate::uncertainty::{Estimate, Expanded, agreement};

/// What the hand would say of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// No more than the feel limit, as far as can be told.
    Same,
    /// Theirs is more, beyond the feel limit.
    More,
    /// Theirs is less, beyond the feel limit.
    Less,
    /// Within the feel limit, which the uncertainty of the difference reaches beyond.
    AtTheLimit,
    /// The uncertainty of the difference exceeds the feel limit, and the difference may be less than that.
    TooUncertain,
}

impl Verdict {
    /// By the rule of [`super::RULE`]: `difference` is theirs less ours.
    pub fn of(difference: &Expanded, feel_limit: f64) -> Self {
        let (size, expanded) = (difference.value.abs(), difference.expanded);
        let felt = if difference.value > 0.0 {
            Self::More
        } else {
            Self::Less
        };
        if size - expanded > feel_limit {
            felt
        } else if expanded > feel_limit {
            Self::TooUncertain
        } else if size > feel_limit {
            felt
        } else if size + expanded > feel_limit {
            Self::AtTheLimit
        } else {
            Self::Same
        }
    }
}

/// A measure by one method on both pieces.
#[derive(Clone, Debug)]
pub struct Difference {
    /// By which method both are stated.
    pub method: Method,
    /// The piece at hand.
    pub ours: Arc<Measured>,
    /// The match.
    pub theirs: Arc<Measured>,
    /// Theirs less ours; shared sources of doubt have cancelled.
    pub difference: Estimate,
    /// The same with its expanded uncertainty.
    pub expanded: Expanded,
    /// |Δ| over its expanded uncertainty (ISO 13528); none where neither has any doubt.
    pub e_n: Option<f64>,
    /// In words.
    pub verdict: Verdict,
}

impl Difference {
    /// From both values by one method.
    pub fn between(ours: Arc<Measured>, theirs: Arc<Measured>, feel: &Feel) -> Self {
        let difference = theirs.estimate.minus(&ours.estimate);
        let limit = feel.limit(ours.method.quantity()).same;
        let expanded = Expanded::from(&difference);
        Self {
            method: theirs.method.clone(),
            e_n: agreement::of_expanded(&expanded),
            verdict: Verdict::of(&expanded, limit),
            ours,
            theirs,
            difference,
            expanded,
        }
    }

    /// Whether the pieces do differ.
    pub fn is_real(&self) -> bool {
        self.e_n.is_some_and(|e_n| e_n > 1.0)
    }

    /// The difference in words, without its number.
    pub fn words(&self) -> String {
        let (more, less) = self.method.quantity().directions();
        let direction = if self.difference.value() > 0.0 {
            more
        } else {
            less
        };
        match self.verdict {
            Verdict::Same => say!("the same as far as anyone can feel"),
            Verdict::More | Verdict::Less => language::word(direction),
            Verdict::AtTheLimit if self.is_real() => language::word(direction),
            Verdict::AtTheLimit => say!("may or may not be felt"),
            Verdict::TooUncertain if self.is_real() => {
                say!(
                    "too uncertain to say by how much one feels it, but {direction}",
                    direction = language::word(direction)
                )
            }
            Verdict::TooUncertain => say!("too uncertain to say"),
        }
    }
}

/// A measure of two pieces, compared: a value, or limits where of either only those are known.
#[derive(Clone, Debug)]
pub enum Compared {
    /// The difference is a value.
    Value(Box<Difference>),
    /// Of the difference only limits are known.
    Limits(Box<LimitedDifference>),
}

impl Compared {
    /// Of both by one method.
    pub(super) fn between(ours: &Known, theirs: &Known, feel: &Feel) -> Self {
        match (ours, theirs) {
            (Known::Value(ours), Known::Value(theirs)) => {
                let difference = Difference::between(ours.clone(), theirs.clone(), feel);
                Self::Value(Box::new(difference))
            }
            (ours, theirs) => {
                let limited = LimitedDifference::between(ours.clone(), theirs.clone(), feel);
                Self::Limits(Box::new(limited))
            }
        }
    }

    /// By which method both are stated.
    pub fn method(&self) -> &Method {
        match self {
            Self::Value(one) => &one.method,
            Self::Limits(one) => &one.method,
        }
    }

    /// Theirs less ours where it is a value.
    pub fn value(&self) -> Option<&Difference> {
        match self {
            Self::Value(one) => Some(one),
            Self::Limits(_) => None,
        }
    }

    /// Theirs less ours, mm or mm³, or the least that it can be: for ranking.
    pub fn least(&self) -> f64 {
        match self {
            Self::Value(one) => one.difference.value(),
            Self::Limits(one) => one.least(),
        }
    }
}

/// Compares one stated figure of `theirs` with `ours`: in their method, or else in another of the same measure.
///
/// # Errors
/// Why it cannot be compared.
pub fn compare(
    ours: &Piece,
    theirs: &Piece,
    method: &Method,
    feel: &Feel,
) -> Result<Compared, Sentence> {
    let known = [ours.known(method), theirs.known(method)];
    compare_known([ours, theirs], [&known[0], &known[1]], (method, None), feel)
}

/// As [`compare`], where ours and theirs by that method are known already. Where it does not serve, the first that
/// both can be carried to: the neutral frame's, what ours states, what theirs states.
pub(super) fn compare_known(
    [ours, theirs]: [&Piece; 2],
    known: [&Result<Known, Sentence>; 2],
    (method, neutral): (&Method, Option<&Method>),
    feel: &Feel,
) -> Result<Compared, Sentence> {
    let why = |why: &Sentence| why.clone();
    let here = match known {
        [Ok(ours), Ok(theirs)] => return Ok(Compared::between(ours, theirs, feel)),
        [Err(one), Err(other)] => {
            sentence!(
                "the piece at hand: {one}; this piece: {other}",
                one = why(one),
                other = why(other)
            )
        }
        [Err(one), _] => sentence!("the piece at hand: {one}", one = why(one)),
        [_, Err(other)] => sentence!("this piece: {other}", other = why(other)),
    };
    let others = stated_like(ours, method).chain(stated_like(theirs, method));
    let both = |method: &Method| Some([ours.known(method).ok()?, theirs.known(method).ok()?]);
    let compared = neutral.into_iter().chain(others).find_map(both);
    let compared = compared.map(|[ours, theirs]| Compared::between(&ours, &theirs, feel));
    compared.ok_or(here)
}

/// By which methods a piece states the measure of this one, in a way that holds for metal of any form.
pub(super) fn stated_like<'a>(
    piece: &'a Piece,
    method: &Method,
) -> impl Iterator<Item = &'a Method> {
    let quantity = measure(method.quantity());
    let stated = piece.stated().iter().map(|stated| &stated.method);
    let limited = piece.limited().iter().map(|limited| &limited.method);
    stated
        .chain(limited)
        .filter(move |one| measure(one.quantity()) == quantity && one.holds_for_any_form())
}
