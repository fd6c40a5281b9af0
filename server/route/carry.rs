//! Choosing a route.

use std::cmp::Ordering;
use std::fmt;

use super::piece::{Anchor, Correction, Piece, Solution};
use crate::language::{Language, Sentence, within};
use crate::method::InWords;
use crate::method::{Method, Quantity};
use crate::profile::{Trace, is_generic};
use crate::uncertainty::Estimate;

/// What a route leans on, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RouteKind {
    /// The piece's own trace.
    Traced,
    /// No correction: stated by this very method.
    Stated,
    /// A correction fitted to pieces that were measured both ways.
    Paired,
    /// An offset that somebody states.
    Declared,
    /// The contour figures of the series.
    Contour,
    /// A generic contour class.
    Generic,
}

impl RouteKind {
    /// The word for it, everywhere.
    pub fn name(self) -> &'static str {
        match self {
            Self::Traced => word!("traced"),
            Self::Stated => word!("stated"),
            Self::Paired => word!("paired"),
            Self::Declared => word!("declared"),
            Self::Contour => word!("contour"),
            Self::Generic => word!("generic"),
        }
    }
}

/// One link of a route, in words, and who says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What is done.
    pub says: Sentence,
    /// Where that comes from.
    pub source: Sentence,
}

/// The chain by which a value reached a method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Route {
    /// The weakest link.
    pub kind: RouteKind,
    /// The links, first to last.
    pub steps: Vec<Step>,
}

/// The links in one line.
impl fmt::Display for Route {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, step) in self.steps.iter().enumerate() {
            if place > 0 {
                f.write_str(&say!(", then "))?;
            }
            step.says.fmt(f)?;
        }
        Ok(())
    }
}

/// A value by a method, with its doubt and its route: the only kind of value that leaves
/// the program.
#[derive(Clone, Debug)]
pub struct Measured {
    /// By which method.
    pub method: Method,
    /// Value and doubt, mm or mm³.
    pub estimate: Estimate,
    /// How it got there.
    pub route: Route,
}

/// Whether a quantity could be carried to a method.
#[derive(Clone, Debug)]
pub enum Carried {
    /// By the surest route; the others in order.
    By(Measured, Vec<Measured>),
    /// There is no route, and this is what is missing.
    CannotBeCompared(Sentence),
}

impl Carried {
    /// The value by the surest route.
    pub fn best(&self) -> Option<&Measured> {
        match self {
            Self::By(best, _) => Some(best),
            Self::CannotBeCompared(_) => None,
        }
    }
}

impl Piece {
    /// What `method` would read on this piece. A figure stated by this very method needs no
    /// correction, and nothing surer can be had but from the piece's own trace.
    pub fn carry(&self, method: &Method) -> Carried {
        let stated = |anchor: &&Anchor| anchor.by.is_none() && anchor.stated.method == *method;
        let traced = self.trace().and_then(|trace| by_trace(trace, method));
        if let Some(anchor) = self
            .anchors
            .iter()
            .find(stated)
            .filter(|_| traced.is_none())
        {
            return Carried::By(direct(anchor, method), Vec::new());
        }
        let mut found: Vec<Measured> = self
            .anchors
            .iter()
            .filter(|anchor| anchor.stated.method == *method)
            .map(|anchor| direct(anchor, method))
            .collect();
        found.extend(traced);
        found.extend(
            self.solutions()
                .iter()
                .filter_map(|solution| by_profile(solution, method)),
        );
        found.sort_by(order);
        found.dedup_by(|one, other| one.route == other.route);
        let mut found = found.into_iter();
        match found.next() {
            Some(best) => Carried::By(best, found.collect()),
            None => Carried::CannotBeCompared(self.why_not(method)),
        }
    }

    fn why_not(&self, method: &Method) -> Sentence {
        let quantity = method.quantity();
        let states = |wanted: &[Quantity]| {
            self.stated()
                .iter()
                .any(|stated| wanted.contains(&stated.method.quantity()))
        };
        let known = match quantity {
            Quantity::CupDepth | Quantity::CupVolume => {
                states(&[Quantity::CupDepth, Quantity::CupVolume])
            }
            other => states(&[other]),
        };
        if let Some(trace) = self.trace().filter(|_| !known) {
            if trace.of_a_specimen {
                return sentence!(
                    "it states no {quantity}, and the trace of another piece of its name does not tell it: it has no points there, or no mark of seam, throat or exit",
                    quantity = quantity.in_words()
                );
            }
            return sentence!(
                "its trace does not tell {quantity}: it has no points there, or no mark of seam, throat or exit",
                quantity = quantity.in_words()
            );
        }
        if !known {
            return sentence!("it states no {quantity}", quantity = quantity.in_words());
        }
        match self.unsolved() {
            Some(why) => sentence!(
                "{quantity} by {method}: {offset}, and {why}",
                quantity = quantity.in_words(),
                method = InWords(method.clone()),
                offset = self.no_offset(method),
                why = why.clone()
            ),
            None => sentence!(
                "{quantity} by {method}: nothing that is known of its form reaches there",
                quantity = quantity.in_words(),
                method = InWords(method.clone())
            ),
        }
    }

    /// Why no declared offset leads to a method, none of which does.
    fn no_offset(&self, method: &Method) -> Sentence {
        let out_of_reach = |correction: &Correction| match correction {
            Correction::Declared(offset) => {
                let mut stated = self.stated().iter();
                stated.find_map(|one| offset.out_of_reach(one, method))
            }
            Correction::Paired { .. } => None,
        };
        match self.corrections().iter().find_map(out_of_reach) {
            Some(range) => sentence!("the declared offset holds only {range}", range = range),
            None => sentence!("no offset is declared"),
        }
    }
}

/// The surest first; whole nanometres (or 0.001 mm³) make equal mean equal, then the
/// better kind, then the fewer links, then the English words make ties certain.
fn order(one: &Measured, other: &Measured) -> Ordering {
    let rank = |measured: &Measured| {
        let thousandths = (measured.estimate.u() * 1e6).round() as u64;
        (thousandths, measured.route.kind, measured.route.steps.len())
    };
    rank(one).cmp(&rank(other)).then_with(|| {
        let words = || one.route.to_string().cmp(&other.route.to_string());
        within(&Language::ENGLISH, words)
    })
}

fn direct(anchor: &Anchor, method: &Method) -> Measured {
    let kind = match &anchor.by {
        None => RouteKind::Stated,
        Some(Correction::Declared(_)) => RouteKind::Declared,
        Some(Correction::Paired { .. }) => RouteKind::Paired,
    };
    Measured {
        method: method.clone(),
        estimate: anchor.stated.estimate.clone(),
        route: Route {
            kind,
            steps: steps(anchor),
        },
    }
}

fn by_trace(trace: &Trace, method: &Method) -> Option<Measured> {
    Some(Measured {
        method: method.clone(),
        estimate: trace.read(method)?,
        route: trace_route(trace, method),
    })
}

fn trace_route(trace: &Trace, method: &Method) -> Route {
    let (quantity, method) = (method.quantity().in_words(), InWords(method.clone()));
    let says = match trace.of_a_specimen {
        true => sentence!(
            "{quantity} by {method} on the trace of a specimen",
            quantity = quantity,
            method = method
        ),
        false => sentence!(
            "{quantity} by {method} on its own trace",
            quantity = quantity,
            method = method
        ),
    };
    let step = Step {
        says,
        source: trace.source.as_str().into(),
    };
    Route {
        kind: RouteKind::Traced,
        steps: vec![step],
    }
}

/// A contribution that only rounding of the arithmetic makes, mm or mm³.
const NEGLIGIBLE: f64 = 1e-9;

/// None where the profile was solved for what another route brought to this very method: that route has said it.
fn by_profile(solution: &Solution, method: &Method) -> Option<Measured> {
    let brought = |anchor: &Anchor| anchor.by.is_some() && anchor.stated.method == *method;
    if solution.leans_on(method.quantity()).any(brought) {
        return None;
    }
    let estimate = solution.profile.read(method)?;
    Some(Measured {
        method: method.clone(),
        route: profile_route(solution, method, &estimate),
        estimate,
    })
}

/// How a reading of a solved profile got there.
fn profile_route(solution: &Solution, method: &Method, estimate: &Estimate) -> Route {
    let generic = estimate
        .parts()
        .iter()
        .any(|part| part.contribution.abs() > NEGLIGIBLE && is_generic(&part.source));
    let kind = if generic {
        RouteKind::Generic
    } else {
        RouteKind::Contour
    };
    let anchors = solution.leans_on(method.quantity());
    let mut links: Vec<Step> = anchors.flat_map(steps).collect();
    let to = InWords(method.clone());
    links.push(match generic {
        true => Step {
            says: sentence!("to {method} by a generic contour class", method = to),
            source: "tables/contours.yml".into(),
        },
        false => Step {
            says: sentence!("to {method} by the contour of the series", method = to),
            source: sentence!("the scheme"),
        },
    });
    Route { kind, steps: links }
}

fn steps(anchor: &Anchor) -> Vec<Step> {
    let stated = |method: &Method, source: &Sentence| Step {
        says: sentence!(
            "{quantity} by {method}, {given}",
            quantity = method.quantity().in_words(),
            method = InWords(method.clone()),
            given = anchor.stated.given.clone()
        ),
        source: source.clone(),
    };
    let Some(correction) = &anchor.by else {
        return vec![stated(&anchor.stated.method, &anchor.stated.source)];
    };
    let to = &anchor.stated.method;
    let from = match correction.ends() {
        (from, end) if to == end => from,
        (_, end) => end,
    };
    let method = InWords(to.clone());
    let corrected = match correction {
        Correction::Declared(offset) => Step {
            says: sentence!("to {method} by a declared offset", method = method),
            source: offset.source.as_str().into(),
        },
        Correction::Paired { fit, .. } => Step {
            says: sentence!("to {method} by pieces measured both ways", method = method),
            source: fit.source.as_str().into(),
        },
    };
    vec![stated(from, &anchor.stated.source), corrected]
}
