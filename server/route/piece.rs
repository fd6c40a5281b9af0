//! What is known of one piece of metal.

use std::sync::{Arc, OnceLock};

use super::solve::{Pinned, pin};
use crate::method::{Method, Quantity};
use crate::profile::{Contour, Impossible, Profile};
use crate::uncertainty::Estimate;

/// A figure as a maker states it or a gauge showed it.
#[derive(Clone, Debug)]
pub struct Stated {
    /// By which method.
    pub method: Method,
    /// Value and doubt, mm or mm³.
    pub estimate: Estimate,
    /// As it was given, unit and digits kept.
    pub given: String,
    /// Who says so.
    pub source: String,
}

/// An offset between two methods that somebody states: what `to` reads is what `from` reads
/// plus the offset, within a range.
#[derive(Clone, Debug)]
pub struct Declared {
    /// The method of the value at hand.
    pub from: Method,
    /// The method it is carried to.
    pub to: Method,
    /// To be added, mm or mm³.
    pub offset: Estimate,
    /// Values by `from` for which it holds, mm or mm³.
    pub range: (f64, f64),
    /// Who says so.
    pub source: String,
}

impl Declared {
    /// The stated figure carried along this offset, in either direction; none where it does
    /// not start here or the value is outside the range.
    fn carry(&self, stated: &Stated) -> Option<Stated> {
        let (to, sign) = if stated.method == self.from {
            (&self.to, 1.0)
        } else if stated.method == self.to {
            (&self.from, -1.0)
        } else {
            return None;
        };
        let value = stated.estimate.value() + sign * self.offset.value();
        let by_from = if sign > 0.0 {
            stated.estimate.value()
        } else {
            value
        };
        let (low, high) = self.range;
        (low <= by_from && by_from <= high).then(|| Stated {
            method: to.clone(),
            estimate: Estimate::linear(value, &[(1.0, &stated.estimate), (sign, &self.offset)]),
            given: stated.given.clone(),
            source: self.source.clone(),
        })
    }
}

/// A figure that can pin a profile: as stated, or carried there by a declared offset.
#[derive(Clone, Debug)]
pub(super) struct Anchor {
    pub stated: Stated,
    pub declared: Option<Arc<Declared>>,
}

/// A profile and the anchors that pinned it.
#[derive(Clone, Debug)]
pub(super) struct Solution {
    pub profile: Profile,
    pub rim: Anchor,
    pub cup: Option<Anchor>,
}

/// One piece of metal: stated figures, form, declared offsets, and what follows.
#[derive(Clone, Debug)]
pub struct Piece {
    pub(super) anchors: Vec<Anchor>,
    stated: Vec<Stated>,
    contour: Option<Contour>,
    solved: OnceLock<Solved>,
}

#[derive(Clone, Debug)]
struct Solved {
    solutions: Vec<Solution>,
    unsolved: Option<String>,
}

impl Piece {
    /// A piece of which this is known. Its profile is solved when it is first asked for:
    /// most pieces of a catalogue never are. Without a contour, or without a rim
    /// figure, only the stated figures and declared offsets are left. The first cup
    /// figure pins the cup; a second one stays a figure of its own.
    pub fn new(stated: Vec<Stated>, contour: Option<Contour>, declared: &[Arc<Declared>]) -> Self {
        let anchors = anchors(&stated, declared);
        Self {
            anchors,
            stated,
            contour,
            solved: OnceLock::new(),
        }
    }

    fn solved(&self) -> &Solved {
        self.solved.get_or_init(|| match &self.contour {
            Some(contour) => solutions(&self.anchors, &self.stated, contour),
            None => Solved {
                solutions: Vec::new(),
                unsolved: Some("its contour is not known".to_owned()),
            },
        })
    }

    pub(super) fn solutions(&self) -> &[Solution] {
        &self.solved().solutions
    }

    /// The figures as stated.
    pub fn stated(&self) -> &[Stated] {
        &self.stated
    }

    /// Its form, where that is known.
    pub fn contour(&self) -> Option<&Contour> {
        self.contour.as_ref()
    }

    /// The solved profile, where there is one: pinned by the figures as stated.
    pub fn profile(&self) -> Option<&Profile> {
        self.solutions().first().map(|solution| &solution.profile)
    }

    /// Why there is no profile.
    pub fn unsolved(&self) -> Option<&str> {
        self.solved().unsolved.as_deref()
    }

    /// Metal that cannot be: the stated figures clash with the contour or one another.
    pub fn impossible(stated: &[Stated], contour: &Contour) -> Option<Impossible> {
        let anchors = anchors(stated, &[]);
        let rim = anchors.iter().find(|anchor| is_rim(anchor))?;
        solution(
            rim,
            anchors.iter().find(|anchor| is_cup(anchor)),
            stated,
            contour,
        )
        .err()
    }
}

fn anchors(stated: &[Stated], declared: &[Arc<Declared>]) -> Vec<Anchor> {
    let own = stated.iter().map(|stated| Anchor {
        stated: stated.clone(),
        declared: None,
    });
    let carried = stated.iter().flat_map(|stated| {
        declared.iter().filter_map(|offset| {
            Some(Anchor {
                stated: offset.carry(stated)?,
                declared: Some(offset.clone()),
            })
        })
    });
    own.chain(carried).collect()
}

fn is_rim(anchor: &Anchor) -> bool {
    anchor.stated.method.quantity() == Quantity::RimInnerDiameter
}

fn is_cup(anchor: &Anchor) -> bool {
    matches!(
        anchor.stated.method.quantity(),
        Quantity::CupDepth | Quantity::CupVolume
    )
}

/// One solution for each way to anchor the rim and the cup, the stated ones first.
fn solutions(anchors: &[Anchor], stated: &[Stated], contour: &Contour) -> Solved {
    let rims: Vec<&Anchor> = one_figure(anchors, is_rim);
    let mut cups: Vec<Option<&Anchor>> =
        one_figure(anchors, is_cup).into_iter().map(Some).collect();
    if cups.is_empty() {
        cups.push(None);
    }
    let mut unsolved = rims
        .is_empty()
        .then(|| "it states no rim inner diameter".to_owned());
    let mut solved = Vec::new();
    for rim in &rims {
        for &cup in &cups {
            match solution(rim, cup, stated, contour) {
                Ok(solution) => solved.push(solution),
                Err(fault) => unsolved = Some(fault.to_string()),
            }
        }
    }
    let unsolved = unsolved.filter(|_| solved.is_empty());
    Solved {
        solutions: solved,
        unsolved,
    }
}

/// The first stated figure that `wanted` names, and what declared offsets make of it.
fn one_figure(anchors: &[Anchor], wanted: fn(&Anchor) -> bool) -> Vec<&Anchor> {
    let Some(first) = anchors.iter().find(|anchor| wanted(anchor)) else {
        return Vec::new();
    };
    let carried = anchors.iter().filter(|anchor| {
        wanted(anchor)
            && anchor.declared.as_ref().is_some_and(|offset| {
                offset.from == first.stated.method || offset.to == first.stated.method
            })
    });
    std::iter::once(first).chain(carried).collect()
}

fn solution(
    rim: &Anchor,
    cup: Option<&Anchor>,
    stated: &[Stated],
    contour: &Contour,
) -> Result<Solution, Impossible> {
    let throat = stated
        .iter()
        .find(|one| one.method.quantity() == Quantity::ThroatDiameter);
    let pinned = Pinned {
        rim: (&rim.stated.method, &rim.stated.estimate),
        cup: cup.map(|cup| (&cup.stated.method, &cup.stated.estimate)),
        throat: throat.map(|throat| &throat.estimate),
    };
    let profile = pin(&pinned, contour)?;
    Ok(Solution {
        profile,
        rim: rim.clone(),
        cup: cup.cloned(),
    })
}
