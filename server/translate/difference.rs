//! One measure of two pieces, compared.

use std::sync::Arc;

use super::feel::Feel;
use crate::method::{Method, Quantity};
use crate::route::{Carried, Measured, Piece};
use crate::uncertainty::{Estimate, Expanded, agreement};

/// What the hand would say of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Within the feel limit.
    Same,
    /// Theirs is more, beyond the feel limit.
    More,
    /// Theirs is less, beyond the feel limit.
    Less,
    /// The uncertainty of the difference exceeds the feel limit.
    TooUncertain,
}

impl Verdict {
    /// By the rule of [`super::RULE`]: `difference` is theirs less ours.
    pub fn of(difference: &Expanded, feel_limit: f64) -> Self {
        if difference.expanded > feel_limit {
            Self::TooUncertain
        } else if difference.value.abs() <= feel_limit {
            Self::Same
        } else if difference.value > 0.0 {
            Self::More
        } else {
            Self::Less
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
        let stated = Expanded::from(&difference);
        Self {
            method: theirs.method.clone(),
            e_n: agreement::of_expanded(&stated),
            verdict: Verdict::of(&stated, limit),
            ours,
            theirs,
            difference,
        }
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
            Verdict::Same => "the same as far as anyone can feel".into(),
            Verdict::More | Verdict::Less => direction.into(),
            Verdict::TooUncertain if self.e_n.is_some_and(|e_n| e_n > 1.0) => {
                format!("too uncertain to say by how much one feels it, but {direction}")
            }
            Verdict::TooUncertain => "too uncertain to say".into(),
        }
    }
}

/// What a method reads on a piece by the surest route, or why it cannot.
pub(super) type Known = Result<Arc<Measured>, String>;

/// What `method` reads on `piece`.
pub(super) fn known(piece: &Piece, method: &Method) -> Known {
    match piece.carry(method) {
        Carried::By(best, _) => Ok(Arc::new(best)),
        Carried::CannotBeCompared(why) => Err(why),
    }
}

/// Compares one stated figure of `theirs` with `ours`: in their method, or else in ours.
///
/// # Errors
/// Why it cannot be compared.
pub fn compare(
    ours: &Piece,
    theirs: &Piece,
    method: &Method,
    feel: &Feel,
) -> Result<Difference, String> {
    let known = [known(ours, method), known(theirs, method)];
    compare_known([ours, theirs], [&known[0], &known[1]], method, feel)
}

/// As [`compare`], where ours and theirs by that method are known already.
pub(super) fn compare_known(
    [ours, theirs]: [&Piece; 2],
    known: [&Known; 2],
    method: &Method,
    feel: &Feel,
) -> Result<Difference, String> {
    let here = match known {
        [Ok(ours), Ok(theirs)] => {
            return Ok(Difference::between(ours.clone(), theirs.clone(), feel));
        }
        [Err(why), _] | [_, Err(why)] => why,
    };
    let same_measure = |other: Quantity| measure(other) == measure(method.quantity());
    let back = ours
        .stated()
        .iter()
        .filter(|stated| same_measure(stated.method.quantity()))
        .filter(|stated| stated.method.holds_for_any_form())
        .find_map(|stated| {
            let theirs = self::known(theirs, &stated.method).ok()?;
            let ours = self::known(ours, &stated.method).ok()?;
            Some(Difference::between(ours, theirs, feel))
        });
    back.ok_or_else(|| here.clone())
}

/// Depth and volume both say how much cup there is: one measure, counted once.
pub(super) fn measure(quantity: Quantity) -> Quantity {
    match quantity {
        Quantity::CupVolume => Quantity::CupDepth,
        other => other,
    }
}
