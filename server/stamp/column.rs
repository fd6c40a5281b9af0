//! The costs of a beginning: a chain of glyphs that may have been meant, against a text.
//!
//! A column holds, for each number of places gone by, the least cost at which the glyphs so
//! far were meant. The next column follows from this one and, for swaps, the one before.
//! A chain of columns traced back says which places were taken for which glyphs.

use super::query::Query;

/// The least cost of the glyphs so far, by places gone by.
#[derive(Clone, Debug)]
pub(super) struct Column(pub Vec<f64>);

/// A column on a chain: the symbol that led to it, and the column before.
pub(super) struct Before<'a> {
    /// The column two glyphs back.
    pub column: &'a Column,
    /// The symbol one glyph back.
    pub symbol: u32,
}

/// How one step of an alignment was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Move {
    /// A place was taken for the glyph.
    Taken,
    /// The glyph was lost.
    Lost,
    /// A place was passed by.
    Passed,
    /// Two places were taken for the glyph.
    Split,
    /// Two places were taken for this glyph and the one before, the wrong way round.
    Swapped,
}

/// Float noise between two ways of adding up the same costs.
const NOISE: f64 = 1e-9;

impl Column {
    /// Before any glyph.
    pub fn first(query: &Query) -> Self {
        let mut costs = vec![f64::INFINITY; query.width()];
        costs[0] = query.missing_start;
        costs[1] = 0.0;
        Self(costs).passed(query)
    }

    /// After one glyph more. `before` is what led here, where there is any.
    pub fn next(&self, query: &Query, symbol: u32, before: Option<&Before>) -> Self {
        let mut next = vec![f64::INFINITY; self.0.len()];
        let mut reach = |place: usize, cost: f64| next[place] = next[place].min(cost);
        let (substitution, lost) = (query.substitution(symbol), query.lost(symbol));
        for (place, cost) in self.0.iter().enumerate() {
            reach(place, cost + lost[place]);
            if place + 1 < self.0.len() {
                reach(place + 1, cost + substitution[place]);
            }
        }
        for (place, split) in query.splits(symbol) {
            reach(place + 2, self.0[*place] + split);
        }
        for (place, cost) in before
            .into_iter()
            .flat_map(|before| swaps(query, symbol, before))
        {
            reach(place + 2, cost);
        }
        Self(next).passed(query)
    }

    /// With another way to have so many places gone by.
    pub fn reached(mut self, query: &Query, place: usize, cost: f64) -> Self {
        self.0[place] = self.0[place].min(cost);
        self.passed(query)
    }

    /// The least cost at which all of the text has gone by.
    pub fn whole(&self, query: &Query) -> f64 {
        query
            .ends()
            .into_iter()
            .map(|end| self.0[end])
            .fold(f64::INFINITY, f64::min)
    }

    fn passed(mut self, query: &Query) -> Self {
        for (place, passed) in query.passed.iter().enumerate() {
            self.0[place + 1] = self.0[place + 1].min(self.0[place] + passed);
        }
        self
    }
}

/// Where this symbol and the one before stand the wrong way round, and what that costs.
fn swaps<'a>(
    query: &'a Query,
    symbol: u32,
    before: &'a Before,
) -> impl Iterator<Item = (usize, f64)> + 'a {
    let places = query.plain(symbol).iter().copied();
    let swapped = places.filter(|place| query.plain(before.symbol).contains(&(place + 1)));
    swapped.map(|place| (place, before.column.0[place] + query.swapped))
}

/// The moves that lead through `columns` by `symbols` at the least cost, the first first;
/// each with the number of glyphs and of places gone by before it.
pub(super) fn trace(
    query: &Query,
    symbols: &[u32],
    columns: &[&Column],
) -> Vec<(Move, usize, usize)> {
    let last = &columns[symbols.len()];
    let whole = last.whole(query);
    let mut place = query
        .ends()
        .into_iter()
        .find(|&end| same(last.0[end], whole))
        .unwrap_or(query.ends()[0]);
    let mut glyph = symbols.len();
    let mut moves = Vec::new();
    while let Some((step, glyphs, places)) = back(query, symbols, columns, (glyph, place)) {
        glyph -= glyphs;
        place -= places;
        moves.push((step, glyph, place));
    }
    moves.reverse();
    moves
}

fn same(one: f64, other: f64) -> bool {
    (one - other).abs() <= NOISE
}

/// The last move before here, with how many glyphs and places it takes.
fn back(
    query: &Query,
    symbols: &[u32],
    columns: &[&Column],
    (glyph, place): (usize, usize),
) -> Option<(Move, usize, usize)> {
    let here = columns[glyph].0[place];
    let from = |glyphs: usize, places: usize, cost: f64| {
        let there = columns
            .get(glyph.checked_sub(glyphs)?)?
            .0
            .get(place.checked_sub(places)?)?;
        (there.is_finite() && same(there + cost, here)).then_some((glyphs, places))
    };
    let found = |step: Move, taken: Option<(usize, usize)>| {
        taken.map(|(glyphs, places)| (step, glyphs, places))
    };
    let by_place = place.checked_sub(1);
    if let Some(symbol) = glyph.checked_sub(1).map(|last| symbols[last]) {
        let taken = by_place.and_then(|place| from(1, 1, query.substitution(symbol)[place]));
        let split = query
            .splits(symbol)
            .iter()
            .find(|(start, _)| start + 2 == place);
        let swap = glyph >= 2 && place >= 2 && {
            let (first, second) = (place - 2, place - 1);
            query.plain(symbol).contains(&first)
                && query.plain(symbols[glyph - 2]).contains(&second)
        };
        let step = found(Move::Taken, taken)
            .or_else(|| found(Move::Lost, from(1, 0, query.lost(symbol)[place])))
            .or_else(|| found(Move::Split, split.and_then(|(_, cost)| from(1, 2, *cost))))
            .or_else(|| {
                found(
                    Move::Swapped,
                    swap.then(|| from(2, 2, query.swapped)).flatten(),
                )
            });
        if step.is_some() {
            return step;
        }
    }
    found(
        Move::Passed,
        by_place.and_then(|place| from(0, 1, query.passed[place])),
    )
}
