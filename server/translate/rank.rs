//! Which pieces of a target come nearest, by plain numbers.
//!
//! Measures add up one by one, so the signs on the axes are chosen once for all families that have the
//! same axes. Rows are taken outward from the piece at hand by the figure that they are sorted by, until that
//! figure alone puts them behind the nearest few: the answer is that of a look at every row.
//! Routes, doubt and words are for those few alone ([`super::search`]).

use std::cell::OnceCell;
use std::rc::Rc;

use super::feel::{Feel, FeelLimit};
use super::rim::{RIM_AND_CUP, RimAndCup, Wanted};
use super::search::Carrier;
use super::table::Group;
use crate::scheme::{Sign, Signs};
use crate::unit::Span;

/// A family with signs chosen on its axes, and how far it is.
pub(super) struct Struck {
    /// Its place in the table of the target.
    pub family: usize,
    chosen: [Chosen; 2],
    order: Order,
}

impl Struck {
    /// The signs on its axes, by figure.
    pub fn chosen(&self) -> impl Iterator<Item = (usize, &Sign)> + Clone {
        let all = self.chosen.iter().flat_map(|signs| signs.iter());
        all.map(|(figure, sign)| (*figure, &**sign))
    }
}

/// The nearest of one rim and cup, or any piece where pieces are wanted.
pub(super) struct Ranked {
    pub nearest: Struck,
    /// The next of the same rim and cup.
    pub further: Vec<Struck>,
    rim: Option<RimAndCup>,
}

impl Ranked {
    /// How far the nearest is, as it is ranked, in feel limits.
    pub fn distance(&self) -> f64 {
        self.nearest.order.0.millionths / 1e6
    }

    /// Takes one more of the same rim and cup, of which no more than so many are kept.
    fn join(&mut self, mut struck: Struck, most: usize) {
        if struck.order < self.nearest.order {
            std::mem::swap(&mut self.nearest, &mut struck);
        }
        let last = self.further.last().filter(|_| self.further.len() >= most);
        if most == 0 || last.is_some_and(|last| last.order <= struck.order) {
            return;
        }
        let place = self.further.partition_point(|one| one.order < struck.order);
        self.further.insert(place, struck);
        self.further.truncate(most);
    }
}

/// How far, then how akin ([`Carrier::kin`]), then where it stands: the place of the family, those of the choices on its axes.
type Order = (Rank, u8, usize, [usize; 2]);

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

impl Rank {
    /// The piece itself comes before equally near ones that are compared on more.
    fn of_kin(self, kin: u8) -> Self {
        match kin {
            0 => Self {
                not_compared: i64::MIN,
                ..self
            },
            _ => self,
        }
    }
}

/// A figure, all that ours may be by it, and the signs nearest to that.
pub(super) type Near = (usize, Span, Rc<[Rc<Sign>]>);

/// Signs by figure. Most of what is ranked falls out again: it shares them.
type Chosen = Rc<[(usize, Rc<Sign>)]>;

/// Signs on the axes and how far they are.
type Choice = (Sum, Chosen);

/// The nearest choices on some axes of a family, kept while ours is the same on them.
#[derive(Default)]
struct Choices {
    of: Option<Vec<(usize, Option<Span>)>>,
    nearest: Vec<Choice>,
}

/// The nearest so far, at most `limit`.
struct Nearest {
    wanted: Wanted,
    limit: usize,
    found: Vec<Ranked>,
}

impl Nearest {
    fn last(&self) -> Option<&Ranked> {
        self.found.last().filter(|_| self.found.len() >= self.limit)
    }

    /// Whether nothing at least as far as `bound` can come in. One millionth more, since
    /// sums in another order may round otherwise.
    fn is_closed_to(&self, bound: Rank) -> bool {
        let is_behind = |last: &Ranked| bound.millionths > last.nearest.order.0.millionths + 1.0;
        self.limit == 0 || self.last().is_some_and(is_behind)
    }

    /// Whether what stands there comes after the last.
    fn is_behind(&self, order: Order) -> bool {
        self.limit == 0 || self.last().is_some_and(|last| last.nearest.order <= order)
    }

    fn take(&mut self, struck: Struck, rim: Option<&RimAndCup>) {
        let same = |one: &Ranked| rim.is_some() && one.rim.as_ref() == rim;
        let ranked = match self.found.iter().position(same) {
            Some(place) if struck.order >= self.found[place].nearest.order => {
                return self.found[place].join(struck, self.wanted.further());
            }
            Some(place) => {
                let mut ranked = self.found.remove(place);
                ranked.join(struck, self.wanted.further());
                ranked
            }
            None => Ranked {
                nearest: struck,
                further: Vec::new(),
                rim: rim.cloned(),
            },
        };
        let order = ranked.nearest.order;
        let before = |one: &Ranked| one.nearest.order <= order;
        let place = self.found.partition_point(before);
        self.found.insert(place, ranked);
        self.found.truncate(self.limit);
    }
}

/// A group held against the piece at hand.
struct Held<'a> {
    carrier: &'a Carrier<'a>,
    group: &'a Group,
    /// The figures of a row that are compared: place in the row, all that ours may be, what is felt of it.
    compared: Vec<(usize, Span, FeelLimit)>,
    /// Places in the row of rim and cup, and the form.
    rim: (Vec<usize>, usize),
    /// By rim and cup (by all axes where pieces are wanted) and by all others: measures add up, so each of one goes with each
    /// of the other.
    choices: [&'a [Choice]; 2],
}

impl Held<'_> {
    /// Offers a row with each of the choices (nearest first) that is near enough.
    fn offer(&self, row: usize, nearest: &mut Nearest) {
        let stated = self.group.row(row);
        let family = self.group.family(row);
        let mut fixed = Sum::default();
        for (place, ours, limit) in &self.compared {
            fixed.add(stated[*place].beyond(*ours), *limit);
        }
        let mut kin = None;
        let [of_rims, of_others] = self.choices;
        for (first, (sum, chosen)) in of_rims.iter().enumerate() {
            let sum = fixed.with(sum);
            let mut rim = None;
            for (rest, (further, open)) in of_others.iter().enumerate() {
                let rank = Rank::of(&sum.with(further));
                let order = |kin| (rank.of_kin(kin), kin, family, [first, rest]);
                // What is behind as the piece itself is behind as anything: most families are asked no more.
                let mut of_kin = || *kin.get_or_insert_with(|| self.carrier.kin(family));
                let order = match nearest.is_behind(order(0)) {
                    true => order(0),
                    false => order(of_kin()),
                };
                if nearest.is_behind(order) {
                    if rest == 0 {
                        return;
                    }
                    break;
                }
                let struck = Struck {
                    family,
                    chosen: [chosen.clone(), open.clone()],
                    order,
                };
                let rim = rim.get_or_insert_with(|| match nearest.wanted {
                    Wanted::Pieces => None,
                    Wanted::Rims => self.rim(stated, chosen),
                });
                nearest.take(struck, rim.as_ref());
            }
        }
    }

    fn rim(&self, row: &[Span], chosen: &Chosen) -> Option<RimAndCup> {
        let (places, form) = &self.rim;
        let fixed = places
            .iter()
            .map(|&place| (self.group.figures[place], row[place]));
        let chosen = chosen.iter().map(|(figure, sign)| (*figure, sign.span()));
        RimAndCup::new(*form, fixed.chain(chosen))
    }

    /// The least that a row can have which is `away` by the figure that rows are sorted by.
    fn bound(&self, away: f64, limit: FeelLimit, best: &Sum) -> Rank {
        let mut sum = Sum::default();
        sum.add(away, limit);
        let weights = self.compared.iter().map(|(.., limit)| limit.weight).sum();
        Rank::of(&Sum { weights, ..sum }.with(best))
    }

    fn search(&self, nearest: &mut Nearest) {
        let [Some((first, _)), Some((rest, _))] = self.choices.map(<[Choice]>::first) else {
            return;
        };
        let best = first.with(rest);
        let lead = |one: &&(usize, Span, FeelLimit)| {
            Some(one.0) == self.group.lead && one.1.low == one.1.high
        };
        let Some(&(column, ours, limit)) = self.compared.iter().find(lead) else {
            (0..self.group.len()).for_each(|row| self.offer(row, nearest));
            return;
        };
        for (row, away) in outward(self.group, column, ours.low) {
            if nearest.is_closed_to(self.bound(away, limit, &best)) {
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
        let mut nearest = Nearest {
            wanted: self.wanted,
            limit,
            found: Vec::new(),
        };
        let mut choices = [Choices::default(), Choices::default()];
        let mut in_forms: Vec<OnceCell<Vec<Option<Span>>>> = Vec::new();
        in_forms.resize_with(table.forms.len(), OnceCell::new);
        for group in &table.groups {
            let axes = &group.whole.axes;
            let form = table.same[group.form];
            let values = in_forms[form].get_or_init(|| self.values(form));
            for (of_others, choices) in choices.iter_mut().enumerate() {
                let axes = axes
                    .iter()
                    .filter(|figure| self.is_first(**figure) == (of_others == 0));
                let axes: Vec<_> = axes.map(|&figure| (figure, values[figure])).collect();
                let most = if of_others == 0 {
                    limit
                } else {
                    1 + self.wanted.further()
                };
                self.renew(choices, axes, feel, most);
            }
            let figures = group.figures.iter().enumerate();
            let compared = figures.clone().filter_map(|(place, &figure)| {
                let limit = feel.limit(self.method(figure).quantity());
                Some((place, values[figure]?, limit))
            });
            let of_rim = figures.filter(|(_, figure)| self.is_of_rim_or_cup(**figure));
            let held = Held {
                carrier: self,
                group,
                compared: compared.collect(),
                rim: (of_rim.map(|(place, _)| place).collect(), form),
                choices: choices.each_ref().map(|one| &one.nearest[..]),
            };
            held.search(&mut nearest);
        }
        nearest.found
    }

    /// Of equally near ones the nearer kin first: the piece itself, what serves its instruments, all else.
    fn kin(&self, family: usize) -> u8 {
        let Some(origin) = self.origin else { return 1 };
        let (scheme, family) = (&self.target.scheme, &self.target.table().families[family]);
        let is_own = scheme.id == origin.scheme
            && *family.whole.stamps == origin.stamps
            && (family.bindings.iter()).all(|one| origin.bindings.contains(one));
        let serves = scheme.instruments(&family.bindings);
        match is_own {
            true => 0,
            false if serves.iter().any(|one| origin.serves.contains(one)) => 1,
            false => 2,
        }
    }

    pub fn is_of_rim_or_cup(&self, figure: usize) -> bool {
        RIM_AND_CUP.contains(&self.method(figure).quantity())
    }

    /// Whether a figure makes another piece of what is wanted.
    fn is_first(&self, figure: usize) -> bool {
        match self.wanted {
            Wanted::Pieces => true,
            Wanted::Rims => self.is_of_rim_or_cup(figure),
        }
    }

    /// Makes the nearest choices on axes, unless they are those that are there.
    fn renew(
        &self,
        choices: &mut Choices,
        axes: Vec<(usize, Option<Span>)>,
        feel: &Feel,
        limit: usize,
    ) {
        if choices.of.as_ref() == Some(&axes) {
            return;
        }
        // Signs of a table may be of one size, and so of one rim and cup.
        let is_listed = |(figure, _): &(usize, Option<Span>)| {
            let signs = &self.target.scheme.figures[*figure].signs;
            self.is_of_rim_or_cup(*figure) && matches!(signs, Signs::Listed(_))
        };
        let is_wide = self.wanted == Wanted::Rims && axes.iter().any(is_listed);
        let limit = if is_wide { 2 * limit } else { limit };
        let nothing = vec![(Sum::default(), Chosen::default())];
        choices.nearest = axes.iter().fold(nothing, |partial, &(figure, ours)| {
            self.chosen(partial, figure, ours, feel, limit)
        });
        choices.of = Some(axes);
    }

    /// The signs of a figure that are nearest: spelled once for all forms in which ours is the same.
    fn near(&self, figure: usize, ours: Span, limit: usize) -> Rc<[Rc<Sign>]> {
        let mut asked = self.near.borrow_mut();
        let same = |one: &&Near| one.0 == figure && one.1 == ours;
        if let Some((.., near)) = asked.iter().find(same) {
            return near.clone();
        }
        let signs = &self.target.scheme.figures[figure].signs;
        let near = signs.near(ours, limit).into_iter().map(Rc::new);
        let near: Rc<[Rc<Sign>]> = near.collect();
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
            // Both are sorted: before each pair stand all those of smaller places.
            for (sign, named) in near.iter().enumerate().take(limit / (place + 1)) {
                let mut sum = sum.clone();
                sum.add(named.span().beyond(ours), felt);
                sums.push((sum, place, sign));
            }
        }
        sums.sort_by(|(a, ..), (b, ..)| a.squares.total_cmp(&b.squares));
        sums.truncate(limit);
        let extended = |(sum, place, sign): (Sum, usize, usize)| {
            let before = partial[place].1.iter().cloned();
            (sum, before.chain([(figure, near[sign].clone())]).collect())
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
