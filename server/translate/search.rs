//! The nearest that a scheme can name.

use std::borrow::Cow;
use std::cell::RefCell;
use std::sync::Arc;

use super::at_hand::{AtHand, Origin};
use super::candidates::Target;
use super::difference::{Compared, compare_known, stated_like};
use super::feel::Feel;
use super::in_form::Form;
use super::named::{Named, Struck};
use super::rank::{Near, Ranked, Sum};
use super::rim::{RimAndCup, Wanted};
use crate::language::Sentence;
use crate::method::{Method, Quantity};
use crate::route::{Known, Limited, Piece, Stated, measure};
use crate::scheme::{Figure, Made, Scheme, Signs};
use crate::uncertainty::{Estimate, Expanded};
use crate::unit::Span;

/// A piece that a target scheme can name, compared.
#[derive(Debug)]
pub struct Match {
    /// The piece.
    pub named: Arc<Named>,
    /// Each measure compared, in the scheme's order.
    pub differences: Vec<Compared>,
    /// Measures that could not be compared.
    pub not_compared: Vec<NotCompared>,
    /// Root of the weighted mean square of the differences, in feel limits; limits count by the least
    /// that they can differ.
    pub distance: f64,
    /// Whether every difference is near by the shop's limits, or may be where only limits are known.
    pub near: bool,
    /// Its rim and cup; none where neither is stated.
    pub rim: Option<RimAndCup>,
    /// The next that share them, where rims were looked for.
    pub further: Vec<Struck>,
}

/// A measure that could not be compared, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotCompared {
    /// Which.
    pub quantity: Quantity,
    /// What is missing.
    pub why: Sentence,
}

/// A size beyond what the scheme can name.
#[derive(Clone, Debug)]
pub struct Outside {
    /// Place of the figure in the target.
    pub figure: usize,
    /// The piece at hand by that figure's method.
    pub ours: Known,
    /// The ends of the scheme's scale, base units; infinite where it is open.
    pub ends: (f64, f64),
}

impl Outside {
    /// Whether the uncertainty of ours reaches into the scale: then it may be within it.
    pub fn may_be_within(&self) -> bool {
        let (low, high) = self.ends;
        let reaches = |end: &Estimate| {
            let end = Expanded::from(end);
            end.value - end.expanded <= high && end.value + end.expanded >= low
        };
        match &self.ours {
            Known::Value(measured) => reaches(&measured.estimate),
            Known::Limits(within) => {
                let (from, to) = (within.interval.low(), within.interval.high());
                from.into_iter().chain(to).any(reaches)
            }
        }
    }
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
    AtHand::new(piece).translate(target, feel, limit)
}

/// The pieces of `target` that `piece`, of which only gauge values are known, could be. It
/// is held against each family as if it had that family's form.
pub fn identify(piece: &Piece, target: &Target, feel: &Feel, limit: usize) -> Translation {
    let at_hand = AtHand::new(piece);
    search(&Carrier::borrowing(&at_hand, target), feel, limit)
}

/// Ranking goes by the target's own methods in each form, the distance by the methods of comparison: so many more
/// are held ready at first, in case a close call ends the other way.
const CLOSE_CALLS: usize = 2;

/// No more than so many are looked at for a close call.
const MOST_LOOKED_AT: usize = 64;

/// Of what is farther, feel limits, nothing is near and the order is of no use: no close call is followed up.
const FAR: f64 = 10.0;

/// A call is close where ranking puts a piece behind the last that is told by no more than this share of its
/// distance and so many feel limits.
const CLOSE: (f64, f64) = (0.01, 0.02);

/// The share where a measure is compared by another than the target's, a volume for a depth, or where limits are
/// compared: ranking is loose then.
const CLOSE_LOOSELY: f64 = 0.5;

pub(super) fn search(carrier: &Carrier<'_>, feel: &Feel, limit: usize) -> Translation {
    let (nearest, all) = carrier.nearest(feel, limit);
    let matches = all.iter().map(|one| carrier.matched(one, feel));
    let mut matches: Vec<Match> = matches.collect();
    let compared = matches.iter().any(|one| !one.differences.is_empty());
    let not_compared = if compared {
        Vec::new()
    } else {
        carrier.missing()
    };
    matches.retain(|one| !one.differences.is_empty());
    Translation {
        scheme: carrier.target.scheme.clone(),
        matches,
        outside: carrier.outside(nearest, feel),
        not_compared,
    }
}

/// A piece that is ranked, and how far it is by what is compared, in feel limits.
struct Weighed {
    ranked: Ranked,
    named: Arc<Named>,
    distance: f64,
}

/// A figure of the target on both pieces.
struct Pair<'a> {
    figure: &'a Figure,
    ours: Cow<'a, Result<Known, Sentence>>,
    theirs: &'a Result<Known, Sentence>,
    /// Whether ours has taken the form of theirs.
    is_of_one_form: bool,
}

impl Pair<'_> {
    fn compared(&self, pieces: [&Piece; 2], feel: &Feel) -> Result<Compared, Sentence> {
        let methods = (&self.figure.compared_by, self.figure.neutral.as_ref());
        let compared = compare_known(pieces, [&self.ours, self.theirs], methods, feel);
        compared.or_else(|why| self.by_its_own(pieces, feel).ok_or(why))
    }

    /// By the maker's own method, which says the same of two pieces of one form.
    fn by_its_own(&self, [ours, theirs]: [&Piece; 2], feel: &Feel) -> Option<Compared> {
        let method = &self.figure.method;
        if !self.is_of_one_form {
            return None;
        }
        let known = [ours.known(method).ok()?, theirs.known(method).ok()?];
        Some(Compared::between(&known[0], &known[1], feel))
    }

    /// The least that they differ, as [`Compared::least`] has it, its doubt left aside.
    fn least(&self, pieces: [&Piece; 2], feel: &Feel) -> Option<(Quantity, f64)> {
        if let (Ok(ours), Ok(theirs)) = (&*self.ours, self.theirs) {
            let quantity = self.figure.compared_by.quantity();
            return Some((quantity, theirs.span().beyond(ours.span())));
        }
        let compared = self.compared(pieces, feel).ok()?;
        Some((compared.method().quantity(), compared.least()))
    }
}

/// The piece at hand, held against the target's figures.
pub(super) struct Carrier<'a> {
    pub piece: &'a Piece,
    pub origin: Option<&'a Origin>,
    pub target: &'a Target,
    /// By the methods that the target's figures are compared by.
    known: Vec<Result<Known, Sentence>>,
    /// Whether ranking is loose: ours is compared by other methods than the target's, or limits are.
    is_loose: bool,
    pub wanted: Wanted,
    /// Whether the piece takes the form of the family it is held against.
    pub borrows: bool,
    /// What it measures in a form of the target.
    pub stated: Vec<Stated>,
    /// The same where only limits are known.
    pub limited: Vec<Limited>,
    /// The piece in the forms of the target.
    pub forms: Vec<Form>,
    /// Signs that were asked for.
    pub near: RefCell<Vec<Near>>,
}

pub(super) fn span(known: &Result<Known, Sentence>) -> Option<Span> {
    Some(known.as_ref().ok()?.span())
}

impl<'a> Carrier<'a> {
    pub fn new(at_hand: &'a AtHand<'a>, target: &'a Target, wanted: Wanted) -> Self {
        Self::holding(at_hand, target, wanted, false)
    }

    /// Of a piece of which only gauge values are known.
    pub fn borrowing(at_hand: &'a AtHand<'a>, target: &'a Target) -> Self {
        Self::holding(at_hand, target, Wanted::Pieces, true)
    }

    fn holding(at_hand: &'a AtHand<'a>, target: &'a Target, wanted: Wanted, borrows: bool) -> Self {
        let piece = at_hand.piece;
        let known: Vec<_> = figures_of(target)
            .map(|figure| at_hand.known(&figure.compared_by))
            .collect();
        let unknown = figures_of(target).zip(&known);
        let unknown = unknown.filter(|(_, known)| !borrows && known.is_err());
        let others: Vec<Known> = unknown
            .filter_map(|(figure, _)| instead(at_hand, figure, target))
            .collect();
        let has_limits = |figure: &Figure| match &figure.signs {
            Signs::Listed(list) => list.iter().any(|(sign, _)| sign.limits.is_some()),
            Signs::None | Signs::Grid(_) => false,
        };
        let is_loose =
            !others.is_empty() || !piece.limited().is_empty() || figures_of(target).any(has_limits);
        let (stated, limited) = if borrows {
            (piece.stated().to_vec(), piece.limited().to_vec())
        } else {
            compared(known.iter().flatten().cloned().chain(others))
        };
        let forms = target.table().forms.iter().map(|_| Form::default());
        Self {
            piece,
            origin: at_hand.origin.as_ref(),
            target,
            is_loose,
            known,
            wanted,
            borrows,
            stated,
            limited,
            forms: forms.collect(),
            near: RefCell::default(),
        }
    }

    /// All that ours may be by each of the target's figures, in a form of the target.
    pub fn values(&self, form: usize) -> Vec<Option<Span>> {
        let is_known = self.target.table().forms[form].is_some();
        let figures = self.target.scheme.figures.iter().zip(&self.known);
        let value_of = |(figure, compared): (&Figure, &Result<Known, Sentence>)| {
            if !self.borrows && figure.method == figure.compared_by && compared.is_ok() {
                return span(compared);
            }
            match is_known {
                true => self.span_in(form, &figure.method),
                false if self.borrows => span(&self.piece.known(&figure.method)),
                false => None,
            }
        };
        figures.map(value_of).collect()
    }

    pub fn method(&self, figure: usize) -> &Method {
        &self.target.scheme.figures[figure].compared_by
    }

    /// Whether what is ranked there cannot be among the nearest, of which so many are wanted.
    fn is_far(&self, ranked: &Ranked, nearest: &[Weighed], wanted: usize) -> bool {
        let Some(last) = wanted.checked_sub(1).and_then(|last| nearest.get(last)) else {
            return wanted == 0;
        };
        if last.distance > FAR {
            return true;
        }
        let share = if self.is_loose {
            CLOSE_LOOSELY
        } else {
            CLOSE.0
        };
        ranked.distance() > last.distance * (1.0 + share) + CLOSE.1
    }

    /// The form of the nearest by ranking, and the nearest by what is compared.
    fn nearest(&self, feel: &Feel, limit: usize) -> (Option<usize>, Vec<Weighed>) {
        let mut nearest: Vec<Weighed> = Vec::with_capacity(limit);
        let (mut looked_at, mut form) = (0, None);
        let mut ready = limit + CLOSE_CALLS;
        loop {
            let ranked = self.ranked(feel, ready);
            let count = ranked.len();
            form = form.or(ranked.first().map(|one| self.form(one)));
            for one in ranked.into_iter().skip(looked_at) {
                if self.is_far(&one, &nearest, limit) {
                    break;
                }
                let weighed = self.weighed(one, feel);
                let place = nearest.partition_point(|before| before.distance <= weighed.distance);
                nearest.insert(place, weighed);
                looked_at += 1;
            }
            if looked_at < count || count < ready || ready >= MOST_LOOKED_AT {
                break;
            }
            ready = (ready * 4).min(MOST_LOOKED_AT);
        }
        nearest.truncate(limit);
        (form, nearest)
    }

    fn form(&self, ranked: &Ranked) -> usize {
        self.target.table().form(ranked.nearest.family)
    }

    fn weighed(&self, ranked: Ranked, feel: &Feel) -> Weighed {
        let nearest = &ranked.nearest;
        let named = self.target.piece(nearest.family, nearest.chosen());
        let ours = self.ours(self.form(&ranked));
        let pieces = [ours, &named.made.piece];
        let mut sum = Sum::default();
        for pair in self.pairs(ours, &named) {
            if let Some((quantity, least)) = pair.least(pieces, feel) {
                sum.add(least, feel.limit(quantity));
            }
        }
        Weighed {
            distance: sum.distance(),
            named,
            ranked,
        }
    }

    /// The piece at hand as it is held against pieces of a form.
    fn ours(&self, form: usize) -> &Piece {
        let borrowed = self.borrows.then(|| self.in_form(form)).flatten();
        borrowed.unwrap_or(self.piece)
    }

    /// What of both is compared, each method once.
    fn pairs<'b>(&'b self, ours: &Piece, named: &'b Named) -> Vec<Pair<'b>> {
        let scheme = &self.target.scheme;
        let is_own = std::ptr::eq(ours, self.piece);
        let mut pairs: Vec<Pair<'b>> = Vec::new();
        for (given, theirs) in named.made.figures.iter().zip(named.own(scheme)) {
            let figure = &scheme.figures[given.figure];
            let method = &figure.compared_by;
            let mut before = pairs.iter();
            if before.any(|one| one.figure.compared_by == *method && one.theirs.is_ok()) {
                continue;
            }
            let ours = match is_own {
                true => Cow::Borrowed(&self.known[given.figure]),
                false => Cow::Owned(ours.known(method)),
            };
            pairs.push(Pair {
                figure,
                ours,
                theirs,
                is_of_one_form: self.borrows,
            });
        }
        pairs
    }

    fn matched(&self, weighed: &Weighed, feel: &Feel) -> Match {
        let Weighed { ranked, named, .. } = weighed;
        let form = self.form(ranked);
        let ours = self.ours(form);
        let pieces = [ours, &named.made.piece];
        let mut differences: Vec<Compared> = Vec::new();
        let mut not_compared = Vec::new();
        for pair in self.pairs(ours, named) {
            match pair.compared(pieces, feel) {
                Ok(difference) => differences.push(difference),
                Err(why) => not_compared.push(NotCompared {
                    quantity: pair.figure.compared_by.quantity(),
                    why,
                }),
            }
        }
        not_compared.extend(unasked(ours, &self.target.scheme, &named.made));
        let near = !differences.is_empty() && differences.iter().all(|one| is_near(one, feel));
        let further = ranked.further.iter();
        Match {
            rim: self.rim_and_cup(form, &named.made),
            further: further
                .map(|one| self.target.struck(one.family, one.chosen()))
                .collect(),
            named: named.clone(),
            differences,
            not_compared,
            distance: weighed.distance,
            near,
        }
    }

    fn rim_and_cup(&self, form: usize, made: &Made) -> Option<RimAndCup> {
        let stated = made.figures.iter();
        let stated = stated.filter(|given| self.is_of_rim_or_cup(given.figure));
        let stated = stated.map(|given| (given.figure, given.states.span()));
        RimAndCup::new(self.target.table().same[form], stated)
    }

    fn missing(&self) -> Vec<NotCompared> {
        let mut missing = Vec::new();
        for (figure, known) in self.target.scheme.figures.iter().zip(&self.known) {
            if let Err(why) = known {
                missing.push(NotCompared {
                    quantity: figure.method.quantity(),
                    why: why.clone(),
                });
            }
        }
        missing
    }

    /// Sizes that the scale does not reach, in the form that comes nearest.
    fn outside(&self, form: Option<usize>, feel: &Feel) -> Vec<Outside> {
        let table = self.target.table();
        let beyond = |(figure, compared): (usize, &Result<Known, Sentence>)| {
            let (low, high) = table.ends[figure]?;
            let method = &self.target.scheme.figures[figure].method;
            let own = compared.as_ref().ok().filter(|one| one.method() == method);
            let ours = match own {
                Some(own) => own.span(),
                None => self.span_in(form?, method)?,
            };
            let margin = feel.limit(method.quantity()).same;
            if ours.beyond(Span { low, high }).abs() <= margin {
                return None;
            }
            let ours = match own {
                Some(own) => own.clone(),
                None => self.in_form(form?)?.known(method).ok()?,
            };
            Some(Outside {
                figure,
                ours,
                ends: (low, high),
            })
        };
        self.known.iter().enumerate().filter_map(beyond).collect()
    }
}

fn figures_of(target: &Target) -> impl Iterator<Item = &Figure> {
    target.scheme.figures.iter()
}

/// The measure of a figure as ours is known by another method, where it is not by that of comparison: as
/// [`compare_known`] falls back.
fn instead(at_hand: &AtHand<'_>, figure: &Figure, target: &Target) -> Option<Known> {
    let stated = stated_like(at_hand.piece, &figure.compared_by);
    let quantity = measure(figure.compared_by.quantity());
    let theirs = figures_of(target).map(|one| &one.method);
    let theirs = theirs.filter(|one| measure(one.quantity()) == quantity);
    let theirs = theirs.filter(|one| one.holds_for_any_form());
    let mut methods = figure.neutral.iter().chain(stated).chain(theirs);
    methods.find_map(|method| at_hand.known(method).ok())
}

/// What ours is compared by, one figure a measure: a form of the target's may not have both its
/// depth and its volume.
fn compared(known: impl Iterator<Item = Known>) -> (Vec<Stated>, Vec<Limited>) {
    let (mut stated, mut limited) = (Vec::new(), Vec::new());
    let mut seen: Vec<Quantity> = Vec::new();
    for one in known {
        let quantity = measure(one.method().quantity());
        if seen.contains(&quantity) {
            continue;
        }
        seen.push(quantity);
        let source = sentence!("a form of the target");
        match one {
            Known::Value(value) => stated.push(Stated {
                method: value.method.clone(),
                estimate: value.estimate.clone(),
                given: sentence!("as the piece at hand"),
                source,
            }),
            Known::Limits(within) => limited.push(Limited {
                method: within.method.clone(),
                interval: within.interval.clone(),
                given: sentence!("within the limits of the piece at hand"),
                source,
            }),
        }
    }
    (stated, limited)
}

/// Measures that we state and the match does not.
fn unasked(ours: &Piece, scheme: &Scheme, made: &Made) -> Vec<NotCompared> {
    let states = |quantity: Quantity| {
        let mut all = made.piece.quantities();
        all.any(|one| measure(one) == measure(quantity))
    };
    let why = |quantity: Quantity| {
        let in_words = quantity.in_words();
        match scheme.can_state(|one| measure(one) == measure(quantity)) {
            true => sentence!(
                "this piece states no {quantity}, though others of the scheme do",
                quantity = in_words
            ),
            false => sentence!("the scheme states no {quantity}", quantity = in_words),
        }
    };
    ours.quantities()
        .filter(|&quantity| !states(quantity))
        .map(|quantity| NotCompared {
            quantity,
            why: why(quantity),
        })
        .collect()
}

fn is_near(one: &Compared, feel: &Feel) -> bool {
    one.least().abs() <= feel.limit(one.method().quantity()).near
}
