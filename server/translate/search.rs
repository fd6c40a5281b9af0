//! The nearest that a scheme can name.

use std::borrow::Cow;
use std::sync::Arc;

use super::candidates::{Family, Target};
use super::difference::{Difference, compare, compare_carried, measure};
use super::feel::Feel;
use crate::method::{Method, Quantity};
use crate::route::{Carried, Measured, Piece};
use crate::scheme::{Binding, Made, Scheme, Sign};

/// A piece that a target scheme can name, compared.
#[derive(Debug)]
pub struct Match {
    /// Places of the stamps, one a part.
    pub stamps: Arc<Vec<usize>>,
    /// What they say.
    pub bindings: Vec<Binding>,
    /// The metal.
    pub made: Made,
    /// Each measure compared, in the scheme's order.
    pub differences: Vec<Difference>,
    /// Measures that could not be compared.
    pub not_compared: Vec<NotCompared>,
    /// Root of the weighted mean square of the differences, in feel limits.
    pub distance: f64,
    /// Whether every difference is near by the shop's limits.
    pub near: bool,
}

/// A measure that could not be compared, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotCompared {
    /// Which.
    pub quantity: Quantity,
    /// What is missing.
    pub why: String,
}

/// A size beyond what the scheme can name.
#[derive(Clone, Debug)]
pub struct Outside {
    /// Place of the figure in the target.
    pub figure: usize,
    /// The piece at hand by that figure's method.
    pub ours: Measured,
    /// The ends of the scheme's scale, base units.
    pub ends: (f64, f64),
}

/// A piece translated into one scheme.
#[derive(Debug)]
pub struct Translation {
    /// Into which.
    pub scheme: Arc<Scheme>,
    /// Nearest first.
    pub matches: Vec<Match>,
    /// Sizes that its scale does not reach.
    pub outside: Vec<Outside>,
    /// Why nothing at all could be compared, if so.
    pub not_compared: Vec<NotCompared>,
}

impl Translation {
    /// Whether the best match is near.
    pub fn near(&self) -> bool {
        self.matches.first().is_some_and(|best| best.near)
    }
}

/// The nearest pieces of `target` to `piece`, at most `limit`.
pub fn translate(piece: &Piece, target: &Target, feel: &Feel, limit: usize) -> Translation {
    search(&Carrier::new(piece, target, false), feel, limit)
}

/// The pieces of `target` that `piece`, of which only gauge values are known, could be. It
/// is held against each family as if it had that family's form.
pub fn identify(piece: &Piece, target: &Target, feel: &Feel, limit: usize) -> Translation {
    search(&Carrier::new(piece, target, true), feel, limit)
}

fn search(carrier: &Carrier<'_>, feel: &Feel, limit: usize) -> Translation {
    let target = carrier.target;
    let mut ranked: Vec<Ranked<'_>> = target
        .families
        .iter()
        .flat_map(|family| carrier.ranked(family, feel, limit))
        .collect();
    ranked.sort_by(|a, b| a.order(b));
    ranked.truncate(limit);
    let mut matches: Vec<Match> = ranked
        .iter()
        .map(|one| carrier.matched(one, feel))
        .collect();
    let compared = matches.iter().any(|one| !one.differences.is_empty());
    let not_compared = if compared {
        Vec::new()
    } else {
        carrier.missing()
    };
    matches.retain(|one| !one.differences.is_empty());
    Translation {
        scheme: target.scheme.clone(),
        matches,
        outside: carrier.outside(feel),
        not_compared,
    }
}

/// The piece at hand by the methods of the target's figures.
struct Carrier<'a> {
    piece: &'a Piece,
    target: &'a Target,
    carried: Vec<Carried>,
    values: Vec<Option<f64>>,
    /// Whether the piece takes the form of the family it is held against.
    borrows: bool,
}

fn value(carried: &Carried) -> Option<f64> {
    carried.best().map(|measured| measured.estimate.value())
}

/// A family with signs chosen on its axes, and how far it is.
struct Ranked<'a> {
    family: &'a Family,
    chosen: Vec<(usize, Sign)>,
    distance: f64,
    compared: usize,
}

impl Ranked<'_> {
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        let nanos = |distance: f64| {
            if distance.is_finite() {
                (distance * 1e6).round()
            } else {
                f64::INFINITY
            }
        };
        nanos(self.distance)
            .total_cmp(&nanos(other.distance))
            .then(other.compared.cmp(&self.compared))
    }
}

impl<'a> Carrier<'a> {
    fn new(piece: &'a Piece, target: &'a Target, borrows: bool) -> Self {
        let figures = &target.scheme.figures;
        let carried: Vec<Carried> = figures
            .iter()
            .map(|figure| piece.carry(&figure.method))
            .collect();
        let values = carried.iter().map(value).collect();
        Self {
            piece,
            target,
            carried,
            values,
            borrows,
        }
    }

    /// The piece as it would be with the family's form.
    fn borrowed(&self, family: &Family) -> Option<Piece> {
        let contour = family
            .made(&self.target.scheme)
            .piece
            .contour()
            .filter(|_| self.borrows)?;
        Some(Piece::new(
            self.piece.stated().to_vec(),
            Some(contour.clone()),
            &[],
        ))
    }

    /// Our value by each of the target's figures, for ranking.
    fn values(&self, family: &Family) -> Cow<'_, [Option<f64>]> {
        match self.borrowed(family) {
            None => Cow::Borrowed(&self.values),
            Some(piece) => {
                let figures = &self.target.scheme.figures;
                figures
                    .iter()
                    .map(|figure| value(&piece.carry(&figure.method)))
                    .collect()
            }
        }
    }

    fn ranked<'f>(&self, family: &'f Family, feel: &Feel, limit: usize) -> Vec<Ranked<'f>> {
        let values = self.values(family);
        let mut sum = Sum::default();
        for (figure, theirs) in &family.fixed {
            if let Some(ours) = values[*figure] {
                sum.add(self.method(*figure).quantity(), theirs - ours, feel);
            }
        }
        let mut partial = vec![(sum, Vec::new())];
        for &figure in family.axes.iter() {
            partial = self.chosen(partial, figure, values[figure], feel, limit);
        }
        partial
            .into_iter()
            .map(|(sum, chosen)| Ranked {
                family,
                chosen,
                distance: sum.distance(),
                compared: sum.compared,
            })
            .collect()
    }

    /// Extends each choice by the nearest signs of one more figure. A figure of which we know
    /// nothing stays open: none is made up. The measures add up one by one, so the best `limit`
    /// of all are among the best `limit` on each axis.
    fn chosen(
        &self,
        partial: Vec<Choice>,
        figure: usize,
        ours: Option<f64>,
        feel: &Feel,
        limit: usize,
    ) -> Vec<Choice> {
        let named = &self.target.scheme.figures[figure];
        let Some(ours) = ours else { return partial };
        let near = named.signs.near(ours, limit);
        let mut extended: Vec<Choice> = partial
            .iter()
            .flat_map(|(sum, chosen)| {
                near.iter().map(|sign| {
                    let mut sum = sum.clone();
                    sum.add(
                        named.method.quantity(),
                        sign.amount.amount.value - ours,
                        feel,
                    );
                    let mut chosen = chosen.clone();
                    chosen.push((figure, sign.clone()));
                    (sum, chosen)
                })
            })
            .collect();
        extended.sort_by(|(a, _), (b, _)| a.distance().total_cmp(&b.distance()));
        extended.truncate(limit);
        extended
    }

    fn method(&self, figure: usize) -> &Method {
        &self.target.scheme.figures[figure].method
    }

    fn matched(&self, ranked: &Ranked<'_>, feel: &Feel) -> Match {
        let scheme = &self.target.scheme;
        let (bindings, made) = ranked.family.piece(scheme, &ranked.chosen);
        let borrowed = self.borrowed(ranked.family);
        let ours = borrowed.as_ref().unwrap_or(self.piece);
        let mut differences: Vec<Difference> = Vec::new();
        let mut not_compared = Vec::new();
        for given in &made.figures {
            let method = self.method(given.figure);
            let compared = match &borrowed {
                Some(ours) => compare(ours, &made.piece, method, feel),
                None => {
                    let carried = &self.carried[given.figure];
                    compare_carried(carried, ours, &made.piece, method, feel)
                }
            };
            match compared {
                Ok(difference) => differences.push(difference),
                Err(why) => not_compared.push(NotCompared {
                    quantity: method.quantity(),
                    why,
                }),
            }
        }
        not_compared.extend(unasked(ours, &made));
        let mut sum = Sum::default();
        for one in &differences {
            sum.add(one.method.quantity(), one.difference.value(), feel);
        }
        let near = !differences.is_empty() && differences.iter().all(|one| is_near(one, feel));
        let (stamps, distance) = (ranked.family.stamps.clone(), sum.distance());
        Match {
            stamps,
            bindings,
            made,
            differences,
            not_compared,
            distance,
            near,
        }
    }

    fn missing(&self) -> Vec<NotCompared> {
        let mut missing = Vec::new();
        for (figure, carried) in self.target.scheme.figures.iter().zip(&self.carried) {
            if let Carried::CannotBeCompared(why) = carried {
                missing.push(NotCompared {
                    quantity: figure.method.quantity(),
                    why: why.clone(),
                });
            }
        }
        missing
    }

    fn outside(&self, feel: &Feel) -> Vec<Outside> {
        let beyond = |(figure, carried): (usize, &Carried)| {
            let (low, high) = self.target.ends[figure]?;
            let ours = carried.best()?.clone();
            let margin = feel.limit(ours.method.quantity()).same;
            let value = ours.estimate.value();
            (value < low - margin || value > high + margin).then_some(Outside {
                figure,
                ours,
                ends: (low, high),
            })
        };
        self.carried.iter().enumerate().filter_map(beyond).collect()
    }
}

type Choice = (Sum, Vec<(usize, Sign)>);

/// Measures that we state and the match does not.
fn unasked(ours: &Piece, made: &Made) -> Vec<NotCompared> {
    let states = |quantity: Quantity| {
        made.piece
            .stated()
            .iter()
            .any(|stated| measure(stated.method.quantity()) == measure(quantity))
    };
    ours.stated()
        .iter()
        .map(|stated| stated.method.quantity())
        .filter(|&quantity| !states(quantity))
        .map(|quantity| NotCompared {
            quantity,
            why: format!("the scheme states no {quantity}"),
        })
        .collect()
}

fn is_near(one: &Difference, feel: &Feel) -> bool {
    one.difference.value().abs() <= feel.limit(one.method.quantity()).near
}

/// Weighted squares of differences in feel limits.
#[derive(Clone, Default)]
struct Sum {
    squares: f64,
    weights: f64,
    compared: usize,
}

impl Sum {
    fn add(&mut self, quantity: Quantity, difference: f64, feel: &Feel) {
        let limit = feel.limit(quantity);
        self.squares += limit.weight * (difference / limit.same).powi(2);
        self.weights += limit.weight;
        self.compared += 1;
    }

    /// Infinite where nothing was compared.
    fn distance(&self) -> f64 {
        if self.weights > 0.0 {
            (self.squares / self.weights).sqrt()
        } else {
            f64::INFINITY
        }
    }
}
