//! What is known of one piece of metal.

use std::sync::{Arc, OnceLock};

use super::declared::Declared;
use super::equations::{CUP, RIM, Reading};
use super::limits::{Ends, Limited};
use super::paired::Paired;
use super::solve::{Consistency, Solved as Pinned, pin};
use crate::language::{Digits, Row, Sentence};
use crate::method::InWords;
use crate::method::{Method, Quantity};
use crate::profile::{Contour, Impossible, Profile, Trace};
use crate::uncertainty::{Draw, Estimate};

/// A figure as a maker states it or a gauge showed it.
#[derive(Clone, Debug)]
pub struct Stated {
    /// By which method.
    pub method: Method,
    /// Value and doubt, mm or mm³.
    pub estimate: Estimate,
    /// As it was given, unit and digits kept.
    pub given: Sentence,
    /// Who says so.
    pub source: Sentence,
}

/// A correction between two methods that does not lean on a contour.
#[derive(Clone, Debug)]
pub enum Correction {
    /// Somebody states it.
    Declared(Arc<Declared>),
    /// A shop fitted it to its pairs.
    Paired {
        /// The fit.
        fit: Arc<Paired>,
        /// The trial whose errors it is carried with; none where it is as it was fitted.
        errors: Option<Draw>,
    },
}

impl Correction {
    /// By a fit as it was fitted.
    pub fn paired(fit: Paired) -> Self {
        Self::Paired {
            fit: Arc::new(fit),
            errors: None,
        }
    }

    fn carry(&self, stated: &Stated) -> Option<Stated> {
        match self {
            Self::Declared(offset) => offset.carry(stated),
            Self::Paired { fit, errors } => fit.carry(stated, errors.as_ref()),
        }
    }

    /// The methods it joins.
    pub(super) fn ends(&self) -> (&Method, &Method) {
        match self {
            Self::Declared(offset) => (&offset.from, &offset.to),
            Self::Paired { fit, .. } => (&fit.from, &fit.to),
        }
    }
}

/// A figure that can pin a profile: as stated, or carried there by a correction.
#[derive(Clone, Debug)]
pub(super) struct Anchor {
    pub stated: Stated,
    pub by: Option<Correction>,
    /// Place of the figure among those that are stated.
    place: usize,
}

/// A profile and the anchors that pinned it.
#[derive(Clone, Debug)]
pub(super) struct Solution {
    pub profile: Profile,
    pub consistency: Option<Consistency>,
    pub anchors: Vec<Anchor>,
}

/// Parts of a piece that are pinned by figures of their own.
#[derive(Clone, Copy, PartialEq)]
enum Region {
    Rim,
    Cup,
    Outside,
    Bore,
    Shank,
}

impl Region {
    fn of(quantity: Quantity) -> Self {
        match quantity {
            Quantity::RimInnerDiameter | Quantity::DiscDepth | Quantity::EdgeRadius => Self::Rim,
            Quantity::CupDepth | Quantity::CupVolume => Self::Cup,
            Quantity::RimOuterDiameter | Quantity::RimWidth | Quantity::CushionWidth => {
                Self::Outside
            }
            Quantity::ThroatDiameter
            | Quantity::ThroatLength
            | Quantity::BackboreBore
            | Quantity::BackboreLength
            | Quantity::ExitDiameter
            | Quantity::PlugDepth => Self::Bore,
            Quantity::ShankDiameter
            | Quantity::ShankTaper
            | Quantity::ShankLength
            | Quantity::InsertionDepth => Self::Shank,
        }
    }

    /// Whether a reading of this region leans on figures of another.
    fn leans_on(self, other: Self) -> bool {
        self == other || (other == Self::Rim && matches!(self, Self::Cup | Self::Outside))
    }
}

impl Solution {
    /// The anchors on which a reading of a quantity leans, the rim's first.
    pub fn leans_on(&self, quantity: Quantity) -> impl Iterator<Item = &Anchor> {
        let region = Region::of(quantity);
        let of = move |anchor: &&Anchor| Region::of(anchor.stated.method.quantity());
        let rim = move |anchor: &&Anchor| region.leans_on(Region::Rim) && of(anchor) == Region::Rim;
        let rest = move |anchor: &&Anchor| of(anchor) == region && region != Region::Rim;
        let anchors = &self.anchors;
        anchors
            .iter()
            .filter(rim)
            .chain(anchors.iter().filter(rest))
    }
}

/// One piece of metal: stated figures, form, declared offsets, and what follows.
#[derive(Clone, Debug)]
pub struct Piece {
    pub(super) anchors: Vec<Anchor>,
    stated: Vec<Stated>,
    contour: Option<Contour>,
    corrections: Vec<Correction>,
    limited: Vec<Limited>,
    ends: OnceLock<Vec<Ends>>,
    trace: Option<Arc<Trace>>,
    /// Whether its figures err as one trial has it: then nothing contradicts, all is chance.
    in_a_trial: bool,
    solved: OnceLock<Solved>,
}

#[derive(Clone, Debug)]
struct Solved {
    solutions: Vec<Solution>,
    unsolved: Option<Sentence>,
}

impl Piece {
    /// A piece of which this is known. Its profile is solved when it is first asked for:
    /// most pieces of a catalogue never are. Without a contour, or without a rim
    /// figure, only the stated figures and declared offsets are left. More figures than are
    /// needed are weighed by their doubt; if they contradict one another there is no profile.
    pub fn new(stated: Vec<Stated>, contour: Option<Contour>, declared: &[Arc<Declared>]) -> Self {
        let declared = declared.iter().cloned().map(Correction::Declared);
        Self::corrected(stated, contour, declared.collect())
    }

    /// The same with corrections of either kind.
    pub fn corrected(
        stated: Vec<Stated>,
        contour: Option<Contour>,
        corrections: Vec<Correction>,
    ) -> Self {
        Self {
            anchors: anchors(&stated, &corrections),
            stated,
            contour,
            corrections,
            limited: Vec::new(),
            ends: OnceLock::new(),
            trace: None,
            in_a_trial: false,
            solved: OnceLock::new(),
        }
    }

    /// The corrections that it may be carried by.
    pub fn corrections(&self) -> &[Correction] {
        &self.corrections
    }

    /// The same with figures of which only limits are known. They pin nothing.
    #[must_use]
    pub fn with_limits(self, limited: Vec<Limited>) -> Self {
        Self { limited, ..self }
    }

    /// The piece at the ends of each of its limits, made when it is first asked for.
    pub(super) fn ends(&self) -> &[Ends] {
        let ends = || self.limited.iter().map(|one| self.at_ends(one)).collect();
        self.ends.get_or_init(ends)
    }

    /// Figures of which only limits are known.
    pub fn limited(&self) -> &[Limited] {
        &self.limited
    }

    /// The quantities that it states, by a value or by limits.
    pub fn quantities(&self) -> impl Iterator<Item = Quantity> {
        let stated = self.stated.iter().map(|one| one.method.quantity());
        let limited = self.limited.iter().map(|one| one.method.quantity());
        stated.chain(limited)
    }

    /// The same with a trace of its own.
    #[must_use]
    pub fn with_trace(self, trace: Arc<Trace>) -> Self {
        Self {
            trace: Some(trace),
            ..self
        }
    }

    /// The same with figures that err as one trial has it.
    pub(super) fn in_a_trial(self) -> Self {
        Self {
            in_a_trial: true,
            ..self
        }
    }

    /// Its own trace, where there is one.
    pub fn trace(&self) -> Option<&Trace> {
        self.trace.as_deref()
    }

    /// Whether its figures agree, where there are more than are needed.
    pub fn consistency(&self) -> Option<&Consistency> {
        self.solutions().first()?.consistency.as_ref()
    }

    fn solved(&self) -> &Solved {
        self.solved.get_or_init(|| match &self.contour {
            Some(contour) => solutions(self, contour),
            None => Solved {
                solutions: Vec::new(),
                unsolved: Some(sentence!("its contour is not known")),
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
    pub fn unsolved(&self) -> Option<&Sentence> {
        self.solved().unsolved.as_ref()
    }

    /// Metal that cannot be: the stated figures clash with the contour or one another.
    pub fn impossible(stated: &[Stated], contour: &Contour) -> Option<Impossible> {
        let readings: Vec<Reading<'_>> = stated.iter().map(reading).collect();
        let states_rim = stated.iter().any(|one| is(&RIM, one));
        states_rim.then(|| pin(&readings, contour).err()).flatten()
    }
}

fn anchors(stated: &[Stated], corrections: &[Correction]) -> Vec<Anchor> {
    let own = stated.iter().enumerate().map(|(place, stated)| Anchor {
        stated: stated.clone(),
        by: None,
        place,
    });
    let carried = stated.iter().enumerate().flat_map(|(place, stated)| {
        corrections.iter().filter_map(move |correction| {
            Some(Anchor {
                stated: correction.carry(stated)?,
                by: Some(correction.clone()),
                place,
            })
        })
    });
    own.chain(carried).collect()
}

fn is(wanted: &[Quantity], stated: &Stated) -> bool {
    wanted.contains(&stated.method.quantity())
}

fn reading(stated: &Stated) -> Reading<'_> {
    (&stated.method, &stated.estimate)
}

/// One solution for the figures as stated, and one for each way to put figures of rim and cup
/// in their places that declared offsets make of them.
fn solutions(piece: &Piece, contour: &Contour) -> Solved {
    let (anchors, stated) = (&piece.anchors, &piece.stated);
    let mut unsolved = (!stated.iter().any(|one| is(&RIM, one))).then(no_rim);
    let mut solved = Vec::new();
    if unsolved.is_none() {
        for rim in instead(anchors, &RIM) {
            for cup in instead(anchors, &CUP) {
                match solution(&[rim, cup], piece, contour) {
                    Ok(solution) => solved.push(solution),
                    Err(fault) => unsolved = unsolved.or(Some(fault.0)),
                }
            }
        }
    }
    let unsolved = unsolved.filter(|_| solved.is_empty());
    Solved {
        solutions: solved,
        unsolved,
    }
}

/// Nothing, then each figure of these quantities that a correction makes of a stated one.
fn instead<'a>(anchors: &'a [Anchor], wanted: &[Quantity]) -> Vec<Option<&'a Anchor>> {
    let carried = anchors
        .iter()
        .filter(|anchor| anchor.by.is_some() && is(wanted, &anchor.stated));
    std::iter::once(None).chain(carried.map(Some)).collect()
}

fn solution(
    instead: &[Option<&Anchor>],
    piece: &Piece,
    contour: &Contour,
) -> Result<Solution, Impossible> {
    let chosen = |own: &Anchor| {
        let mut others = instead.iter().flatten();
        others
            .find(|other| other.place == own.place)
            .map_or_else(|| own.clone(), |other| (*other).clone())
    };
    let own = &piece.anchors[..piece.stated.len()];
    let chosen: Vec<Anchor> = own.iter().map(chosen).collect();
    let readings: Vec<Reading<'_>> = chosen
        .iter()
        .map(|anchor| reading(&anchor.stated))
        .collect();
    let Pinned {
        profile,
        consistency,
    } = pin(&readings, contour)?;
    let clash = |found: &&Consistency| !found.agrees() && !piece.in_a_trial;
    match consistency.as_ref().filter(clash) {
        Some(found) => Err(contradiction(found, &piece.stated)),
        None => Ok(Solution {
            profile,
            consistency,
            anchors: chosen,
        }),
    }
}

/// Figures that chance does not explain, and the odd one of them.
fn contradiction(found: &Consistency, stated: &[Stated]) -> Impossible {
    let odd: Vec<Sentence> = found
        .odd
        .iter()
        .filter_map(|&place| stated.get(place))
        .map(|one| {
            sentence!(
                "{quantity} by {method}, {given}",
                quantity = one.method.quantity().in_words(),
                method = InWords(one.method.clone()),
                given = one.given.clone()
            )
        })
        .collect();
    let odd = match odd.as_slice() {
        [only] => sentence!("the odd one is {one}", one = only.clone()),
        several => sentence!(
            "one of these is wrong: {several}",
            several = Row(several.to_vec(), "; ")
        ),
    };
    Impossible(sentence!(
        "its figures contradict one another (chi-square {chi_square} with {to_spare} to spare, p = {p}): {odd}",
        chi_square = Digits(format!("{:.1}", found.chi_square)),
        to_spare = found.degrees_of_freedom,
        p = Digits(format!("{:.1e}", found.p)),
        odd = odd
    ))
}

/// Without it there is nothing to solve for.
pub(super) fn no_rim() -> Sentence {
    sentence!(
        "it states no {quantity}",
        quantity = Quantity::RimInnerDiameter.in_words()
    )
}
