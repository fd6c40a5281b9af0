//! Which pieces of a target come nearest, by plain numbers.
//!
//! Measures add up one by one, so the signs on the axes are chosen once for all families that have the
//! same axes, and of the families only the nearest few are kept. Routes, doubt and
//! words are for those few alone ([`super::search`]).

use std::borrow::Cow;
use std::sync::Arc;

use super::candidates::Family;
use super::feel::Feel;
use super::search::{Carrier, span};
use crate::method::Quantity;
use crate::scheme::Sign;
use crate::unit::Span;

/// A family with signs chosen on its axes, and how far it is.
pub(super) struct Ranked<'a> {
    pub family: &'a Family,
    pub chosen: Vec<(usize, Sign)>,
    rank: Rank,
}

/// The nearer first; of equally near ones the one compared on more. Millionths of a feel limit make equal
/// mean equal.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
struct Rank {
    millionths: f64,
    not_compared: i64,
}

impl Rank {
    fn of(sum: &Sum) -> Self {
        let distance = sum.distance();
        Self {
            millionths: if distance.is_finite() {
                (distance * 1e6).round()
            } else {
                f64::INFINITY
            },
            not_compared: -(sum.compared as i64),
        }
    }
}

/// Signs on the axes and how far they are.
type Choice = (Sum, Vec<(usize, Sign)>);

impl<'a> Carrier<'a> {
    /// The nearest of all families, at most `limit`; of equal ones those that stand first.
    pub fn ranked(&self, feel: &Feel, limit: usize) -> Vec<Ranked<'a>> {
        let mut nearest: Vec<Ranked<'a>> = Vec::new();
        let mut choices: Vec<Choice> = Vec::new();
        let mut axes = None;
        for family in &self.target.families {
            let values = self.values(family);
            let chosen_for = axes.replace(&family.axes);
            if self.borrows || chosen_for.is_none_or(|axes| !Arc::ptr_eq(axes, &family.axes)) {
                choices = self.choices(family, &values, feel, limit);
            }
            let fixed = self.fixed(family, &values, feel);
            for (sum, chosen) in &choices {
                let rank = Rank::of(&fixed.with(sum));
                let place = nearest.partition_point(|one| one.rank <= rank);
                if place < limit {
                    nearest.truncate(limit - 1);
                    let chosen = chosen.clone();
                    nearest.insert(
                        place,
                        Ranked {
                            family,
                            chosen,
                            rank,
                        },
                    );
                }
            }
        }
        nearest
    }

    /// Our value by each of the target's figures.
    fn values(&self, family: &Family) -> Cow<'_, [Option<Span>]> {
        match self.borrowed(family) {
            None => Cow::Borrowed(&self.values),
            Some(piece) => {
                let figures = &self.target.scheme.figures;
                figures
                    .iter()
                    .map(|figure| span(&piece.known(&figure.method)))
                    .collect()
            }
        }
    }

    /// What the family fixes, held against ours.
    fn fixed(&self, family: &Family, values: &[Option<Span>], feel: &Feel) -> Sum {
        let mut sum = Sum::default();
        for (figure, theirs) in &family.fixed {
            if let Some(ours) = values[*figure] {
                sum.add(self.method(*figure).quantity(), theirs.beyond(ours), feel);
            }
        }
        sum
    }

    fn choices(
        &self,
        family: &Family,
        values: &[Option<Span>],
        feel: &Feel,
        limit: usize,
    ) -> Vec<Choice> {
        let nothing = vec![(Sum::default(), Vec::new())];
        family.axes.iter().fold(nothing, |partial, &figure| {
            self.chosen(partial, figure, values[figure], feel, limit)
        })
    }

    /// Extends each choice by the nearest signs of one more figure. A figure of which we know
    /// nothing stays open: none is made up. The best `limit` of all are among the best `limit` on
    /// each axis.
    fn chosen(
        &self,
        partial: Vec<Choice>,
        figure: usize,
        ours: Option<Span>,
        feel: &Feel,
        limit: usize,
    ) -> Vec<Choice> {
        let named = &self.target.scheme.figures[figure];
        let Some(ours) = ours else { return partial };
        let near = named.signs.near(ours, limit);
        let quantity = named.method.quantity();
        let mut sums: Vec<(Sum, usize, usize)> = Vec::with_capacity(partial.len() * near.len());
        for (place, (sum, _)) in partial.iter().enumerate() {
            for (sign, named) in near.iter().enumerate() {
                let mut sum = sum.clone();
                sum.add(quantity, named.span().beyond(ours), feel);
                sums.push((sum, place, sign));
            }
        }
        sums.sort_by(|(a, ..), (b, ..)| a.squares.total_cmp(&b.squares));
        sums.truncate(limit);
        let extended = |(sum, place, sign): (Sum, usize, usize)| {
            let mut chosen = partial[place].1.clone();
            chosen.push((figure, near[sign].clone()));
            (sum, chosen)
        };
        sums.into_iter().map(extended).collect()
    }
}

/// Weighted squares of differences in feel limits.
#[derive(Clone, Default)]
pub(super) struct Sum {
    squares: f64,
    weights: f64,
    compared: usize,
}

impl Sum {
    pub fn add(&mut self, quantity: Quantity, difference: f64, feel: &Feel) {
        let limit = feel.limit(quantity);
        self.squares += limit.weight * (difference / limit.same).powi(2);
        self.weights += limit.weight;
        self.compared += 1;
    }

    /// Both together.
    fn with(&self, other: &Self) -> Self {
        Self {
            squares: self.squares + other.squares,
            weights: self.weights + other.weights,
            compared: self.compared + other.compared,
        }
    }

    /// Infinite where nothing was compared.
    pub fn distance(&self) -> f64 {
        if self.weights > 0.0 {
            (self.squares / self.weights).sqrt()
        } else {
            f64::INFINITY
        }
    }
}
