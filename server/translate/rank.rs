//! Which pieces of a target come nearest, by plain numbers.
//!
//! Measures add up one by one, so the signs on the axes are chosen once for all families that have the
//! same axes. Rows are taken outward from the piece at hand by the figure that they are sorted by, until that
//! figure alone puts them behind the nearest few: the answer is that of a look at every row.
//! Routes, doubt and words are for those few alone ([`super::search`]).

use std::cell::OnceCell;
use std::rc::Rc;

use super::feel::{Feel, FeelLimit};
use super::search::Carrier;
use super::table::Group;
use crate::scheme::Sign;
use crate::unit::Span;

/// A family with signs chosen on its axes, and how far it is.
pub(super) struct Ranked {
    /// Its place in the table of the target.
    pub family: usize,
    pub chosen: Vec<(usize, Sign)>,
    order: Order,
}

impl Ranked {
    /// How far, as it is ranked, in feel limits.
    pub fn distance(&self) -> f64 {
        self.order.0.millionths / 1e6
    }
}

/// How far, then where it stands: the place of the family, that of the choice on its axes.
type Order = (Rank, usize, usize);

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

/// A figure, all that ours may be by it, and the signs nearest to that.
pub(super) type Near = (usize, Span, Rc<[Sign]>);

/// Signs on the axes and how far they are.
type Choice = (Sum, Vec<(usize, Sign)>);

/// The nearest so far, at most `limit`.
struct Nearest {
    limit: usize,
    found: Vec<Ranked>,
}

impl Nearest {
    /// Whether nothing at least as far as `bound` can come in. One millionth more, since
    /// sums in another order may round otherwise.
    fn is_closed_to(&self, bound: Rank) -> bool {
        self.found.len() >= self.limit
            && self
                .found
                .last()
                .is_none_or(|last| bound.millionths > last.order.0.millionths + 1.0)
    }

    /// Takes a family in if it is near enough, with each of the choices (nearest first) that is.
    fn offer(&mut self, family: usize, fixed: &Sum, choices: &[Choice]) {
        for (choice, (sum, chosen)) in choices.iter().enumerate() {
            let order = (Rank::of(&fixed.with(sum)), family, choice);
            let place = self.found.partition_point(|one| one.order <= order);
            if place >= self.limit {
                return;
            }
            self.found.truncate(self.limit - 1);
            let chosen = chosen.clone();
            self.found.insert(
                place,
                Ranked {
                    family,
                    chosen,
                    order,
                },
            );
        }
    }
}

/// A group held against the piece at hand.
struct Held<'a> {
    group: &'a Group,
    /// The figures of a row that are compared: place in the row, all that ours may be, what is felt of it.
    compared: Vec<(usize, Span, FeelLimit)>,
    choices: &'a [Choice],
}

impl Held<'_> {
    fn offer(&self, row: usize, nearest: &mut Nearest) {
        let stated = self.group.row(row);
        let mut sum = Sum::default();
        for (place, ours, limit) in &self.compared {
            sum.add(stated[*place].beyond(*ours), *limit);
        }
        nearest.offer(self.group.family(row), &sum, self.choices);
    }

    /// The least that a row can have which is `away` by the figure that rows are sorted by.
    fn bound(&self, away: f64, limit: FeelLimit, best: &Sum) -> Rank {
        let mut sum = Sum::default();
        sum.add(away, limit);
        let weights = self.compared.iter().map(|(.., limit)| limit.weight).sum();
        Rank::of(&Sum { weights, ..sum }.with(best))
    }

    fn search(&self, nearest: &mut Nearest) {
        let Some((best, _)) = self.choices.first() else {
            return;
        };
        let lead = |one: &&(usize, Span, FeelLimit)| {
            Some(one.0) == self.group.lead && one.1.low == one.1.high
        };
        let Some(&(column, ours, limit)) = self.compared.iter().find(lead) else {
            (0..self.group.len()).for_each(|row| self.offer(row, nearest));
            return;
        };
        for (row, away) in outward(self.group, column, ours.low) {
            if nearest.is_closed_to(self.bound(away, limit, best)) {
                return;
            }
            self.offer(row, nearest);
        }
    }
}

/// The rows of a group that is sorted by `column`, from `ours` outward, each with how far it is away.
fn outward(group: &Group, column: usize, ours: f64) -> impl Iterator<Item = (usize, f64)> {
    let value = move |row: usize| group.row(row)[column].low;
    let (mut low, mut high) = (0, group.len());
    while low < high {
        let middle = low.midpoint(high);
        if value(middle) < ours {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    let (mut below, mut above) = (low, low);
    std::iter::from_fn(move || {
        let down = below.checked_sub(1).map(|row| (row, ours - value(row)));
        let up = (above < group.len()).then(|| (above, value(above) - ours));
        let takes_down = match (down, up) {
            (Some((_, down)), Some((_, up))) => down < up,
            (down, _) => down.is_some(),
        };
        if takes_down {
            below -= 1;
            down
        } else {
            above += 1;
            up
        }
    })
}

impl Carrier<'_> {
    /// The nearest of all families, at most `limit`; of equal ones those that stand first.
    pub fn ranked(&self, feel: &Feel, limit: usize) -> Vec<Ranked> {
        let table = self.target.table();
        let found = Vec::new();
        let mut nearest = Nearest { limit, found };
        let mut choices: Vec<Choice> = Vec::new();
        let mut chosen_for = None;
        let mut in_forms: Vec<OnceCell<Vec<Option<Span>>>> = Vec::new();
        in_forms.resize_with(table.forms.len(), OnceCell::new);
        for group in &table.groups {
            let axes = &group.whole.axes;
            let form = group.form;
            let values = in_forms[form].get_or_init(|| self.values(form));
            if chosen_for.replace((axes, form)) != Some((axes, form)) {
                choices = self.choices(axes, values, feel, limit);
            }
            let figures = group.figures.iter().enumerate();
            let compared = figures.filter_map(|(place, &figure)| {
                let limit = feel.limit(self.method(figure).quantity());
                Some((place, values[figure]?, limit))
            });
            let held = Held {
                group,
                compared: compared.collect(),
                choices: &choices,
            };
            held.search(&mut nearest);
        }
        nearest.found
    }

    fn choices(
        &self,
        axes: &[usize],
        values: &[Option<Span>],
        feel: &Feel,
        limit: usize,
    ) -> Vec<Choice> {
        let nothing = vec![(Sum::default(), Vec::new())];
        axes.iter().fold(nothing, |partial, &figure| {
            self.chosen(partial, figure, values[figure], feel, limit)
        })
    }

    /// The signs of a figure that are nearest: spelled once for all forms in which ours is the same.
    fn near(&self, figure: usize, ours: Span, limit: usize) -> Rc<[Sign]> {
        let mut asked = self.near.borrow_mut();
        let same = |one: &&Near| one.0 == figure && one.1 == ours;
        if let Some((.., near)) = asked.iter().find(same) {
            return near.clone();
        }
        let signs = &self.target.scheme.figures[figure].signs;
        let near: Rc<[Sign]> = signs.near(ours, limit).into();
        asked.push((figure, ours, near.clone()));
        near
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
        let near = self.near(figure, ours, limit);
        let felt = feel.limit(named.method.quantity());
        let mut sums: Vec<(Sum, usize, usize)> = Vec::with_capacity(partial.len() * near.len());
        for (place, (sum, _)) in partial.iter().enumerate() {
            for (sign, named) in near.iter().enumerate() {
                let mut sum = sum.clone();
                sum.add(named.span().beyond(ours), felt);
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
    pub fn add(&mut self, difference: f64, limit: FeelLimit) {
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
