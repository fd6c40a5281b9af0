//! What the names of a group cost at least, for many groups at once.
//!
//! A bound is a sum of terms: a weight for every group that lacks the signs of a term. The
//! sums of all groups of a block grow side by side, bit by bit ([`Sums`]), in units of
//! [`UNIT`] nats rounded down. Terms are:
//!
//! * a solid place of the text whose glyph the group does not hold, the more where it holds no
//!   look-alike either;
//! * two neighbours that the group holds, but never as neighbours; of these as many as
//!   overlap nowhere, since one edit can part two pairs;
//! * the ends, where no name of the group begins or ends as the text does.

use std::ops::Range;

use super::lexicon::Lexicon;
use super::outline::{Edge, Outline, Solid};
use super::query::Query;
use super::signs::{LANES, Lane, Signs, both, not};

/// The unit of a bound, in nats.
pub(super) const UNIT: f64 = 0.5;

/// Bounds of so many units or more are not told apart.
pub(super) const MOST_UNITS: usize = 1 << PLANES;

const PLANES: usize = 6;

/// The terms of one text.
#[derive(Debug)]
pub(super) struct Bound {
    places: Vec<Place>,
    pairs: Vec<Pair>,
    edges: Vec<EdgeTerm>,
}

/// A solid place.
#[derive(Debug)]
struct Place {
    plain: Vec<u16>,
    alike: Vec<u16>,
    /// Units where the glyph is not held; zero where an edge counts it.
    absent: u8,
    /// Units more where no look-alike is held.
    no_alike: u8,
}

/// Neighbouring solid places, the second after the first.
#[derive(Debug)]
struct Pair {
    second: usize,
    signs: Vec<u16>,
    /// Units where they are held, but not as neighbours.
    parted: u8,
    /// Pairs that are there where a glyph of these was swapped with one beside them.
    swapped: Vec<u16>,
    /// Units more where there are none of those, and no look-alikes.
    no_excuse: u8,
}

/// A first or last code.
#[derive(Debug)]
struct EdgeTerm {
    solid: usize,
    /// Sets of signs, each holding the one before, and the units for having none of them.
    levels: Vec<(Vec<u16>, u8)>,
    /// Units more where no sign is there and the glyph is not held at all.
    absent: u8,
}

fn units(cost: f64) -> u8 {
    /// A cost of exactly so many units may come out of a sum as a little less.
    const NOISE: f64 = 1e-9;
    ((cost + NOISE) / UNIT).min((MOST_UNITS - 1) as f64) as u8
}

impl Bound {
    /// The terms of a text.
    pub fn new(lexicon: &Lexicon, query: &Query, outline: &Outline) -> Self {
        let entry = outline.entry.as_ref().map(|edge| (edge, true));
        let exit = outline.exit.as_ref().map(|edge| (edge, false));
        let edges = entry.into_iter().chain(exit);
        let edges: Vec<EdgeTerm> = edges
            .map(|(edge, first)| edge_term(lexicon, query, outline, edge, first))
            .collect();
        let mut places: Vec<Place> = outline
            .solids
            .iter()
            .map(|solid| place(lexicon, solid))
            .collect();
        for edge in &edges {
            places[edge.solid].absent = 0;
            places[edge.solid].no_alike = 0;
        }
        Self {
            places,
            pairs: pairs(lexicon, query, outline),
            edges,
        }
    }

    /// The bounds of a block.
    pub fn of(&self, signs: &Signs, block: usize, held: &mut Vec<[Lane; 2]>) -> Sums {
        let mut sums = Sums::default();
        held.clear();
        for place in &self.places {
            let plain = signs.any(block, &place.plain);
            let alike = signs.any(block, &place.alike);
            sums.add(&not(plain), place.absent);
            sums.add(&both(not(plain), &not(alike)), place.no_alike);
            held.push([plain, alike]);
            if sums.over == [u64::MAX; LANES] {
                return sums;
            }
        }
        for edge in &self.edges {
            let mut right = None;
            let mut wrong = [0; LANES];
            for (level, units) in &edge.levels {
                let there = signs.any(block, level);
                right.get_or_insert(there);
                wrong = not(there);
                sums.add(&wrong, *units);
            }
            let held = &mut held[edge.solid][0];
            sums.add(&both(wrong, &not(*held)), edge.absent);
            *held = both(*held, &right.unwrap_or([u64::MAX; LANES]));
        }
        for pair in &self.pairs {
            let ([one, look_one], [next, look_next]) = (held[pair.second - 1], held[pair.second]);
            let parted = both(both(one, &next), &not(signs.any(block, &pair.signs)));
            sums.add(&parted, pair.parted);
            if pair.no_excuse > 0 {
                let sure = both(not(look_one), &not(look_next));
                let sure = both(sure, &not(signs.any(block, &pair.swapped)));
                sums.add(&both(parted, &sure), pair.no_excuse);
            }
        }
        sums
    }
}

fn place(lexicon: &Lexicon, solid: &Solid) -> Place {
    let held = |codes: &[usize]| codes.iter().map(|&code| lexicon.holds(code)).collect();
    let cheapest = units(solid.cheapest.min(solid.rest));
    Place {
        plain: held(&solid.plain),
        alike: held(&solid.alike),
        absent: cheapest,
        no_alike: units(solid.rest) - cheapest,
    }
}

fn edge_term(
    lexicon: &Lexicon,
    query: &Query,
    outline: &Outline,
    edge: &Edge,
    first: bool,
) -> EdgeTerm {
    let solid = &outline.solids[edge.solid];
    let half_swap = query.swapped / 2.0;
    let costs: Vec<(u8, usize, f64)> = edge
        .costs
        .iter()
        .enumerate()
        .filter_map(|(code, cost)| {
            let cost = (*cost)?;
            let swapped = if cost.swapped == 0.0 {
                half_swap
            } else {
                f64::INFINITY
            };
            let least = cost.kept.min(cost.changed()).min(swapped);
            let absent = cost
                .changed()
                .min(cost.outside + solid.cheapest)
                .min(swapped);
            Some((units(least), code, (absent - least).max(0.0)))
        })
        .collect();
    let mut steps: Vec<u8> = costs.iter().map(|cost| cost.0).chain([0]).collect();
    steps.sort_unstable();
    steps.dedup();
    let sign = |code: usize| {
        if first {
            lexicon.first(code)
        } else {
            lexicon.last(code)
        }
    };
    let level = |step: &[u8]| {
        let within = costs.iter().filter(|cost| cost.0 <= step[0]);
        (within.map(|cost| sign(cost.1)).collect(), step[1] - step[0])
    };
    let dearest = costs.iter().filter(|cost| Some(&cost.0) == steps.last());
    let absent = dearest.map(|cost| cost.2).fold(f64::INFINITY, f64::min);
    let levels: Vec<(Vec<u16>, u8)> = steps.windows(2).map(level).collect();
    EdgeTerm {
        solid: edge.solid,
        absent: if levels.is_empty() || absent.is_nan() {
            0
        } else {
            units(absent)
        },
        levels,
    }
}

/// Pairs that overlap nowhere, such that they part the most names.
fn pairs(lexicon: &Lexicon, query: &Query, outline: &Outline) -> Vec<Pair> {
    let seconds = 1..outline.solids.len();
    let all: Vec<Option<(Pair, f64)>> = seconds
        .map(|second| pair(lexicon, query, &outline.solids, second))
        .collect();
    let gain = |place: usize| all[place].as_ref().map_or(0.0, |pair| pair.1);
    let mut best = vec![0.0; all.len() + 2];
    for place in (0..all.len()).rev() {
        best[place] = f64::max(best[place + 1], gain(place) + best[place + 2]);
    }
    let mut free = 0;
    let mut chosen = Vec::new();
    for (place, pair) in all.into_iter().enumerate() {
        if let Some((pair, gain)) = pair
            && place >= free
            && gain + best[place + 2] >= best[place + 1]
        {
            chosen.push(pair);
            free = place + 2;
        }
    }
    chosen
}

/// A pair, and about how much it adds to the bound of any name.
fn pair(lexicon: &Lexicon, query: &Query, solids: &[Solid], second: usize) -> Option<(Pair, f64)> {
    let (one, next) = (&solids[second - 1], &solids[second]);
    let gap = next.gap?.min(one.half).min(next.half);
    let parted = units(
        gap.min(query.swapped / 2.0)
            .min(one.cheapest)
            .min(next.cheapest),
    );
    let sure = units(gap.min(query.swapped).min(one.rest).min(next.rest));
    let signs = together(lexicon, one, next);
    let mut swapped = Vec::new();
    if query.swapped.is_finite() {
        let before = second.checked_sub(2).map(|before| &solids[before]);
        swapped.extend(
            before
                .iter()
                .flat_map(|before| together(lexicon, one, before)),
        );
        let after = solids.get(second + 1);
        swapped.extend(
            after
                .iter()
                .flat_map(|after| together(lexicon, after, next)),
        );
    }
    let share: f64 = signs.iter().map(|&sign| lexicon.share(sign)).sum();
    let gain = (f64::from(parted) + f64::from(sure)) / 2.0 * (1.0 - share.min(1.0));
    let pair = Pair {
        second,
        signs,
        parted,
        swapped,
        no_excuse: sure.saturating_sub(parted),
    };
    (parted > 0).then_some((pair, gain))
}

/// The signs of a glyph of one place before a glyph of another.
fn together(lexicon: &Lexicon, one: &Solid, next: &Solid) -> Vec<u16> {
    let firsts = one.plain.iter();
    firsts
        .flat_map(|&first| next.plain.iter().map(move |&second| (first, second)))
        .map(|(first, second)| lexicon.pair(first, second))
        .collect()
}

/// Sums of a block in units, a plane for each bit.
#[derive(Debug, Default)]
pub(super) struct Sums {
    planes: [Lane; PLANES],
    /// Sums of [`MOST_UNITS`] or more.
    over: Lane,
}

impl Sums {
    /// Adds units to the sums of some groups.
    #[inline]
    fn add(&mut self, groups: &Lane, units: u8) {
        if units == 0 {
            return;
        }
        let mut carry = [0; LANES];
        for (bit, plane) in self.planes.iter_mut().enumerate() {
            if units >> bit & 1 == 1 {
                for lane in 0..LANES {
                    let half = plane[lane] ^ groups[lane];
                    let next = (plane[lane] & groups[lane]) | (carry[lane] & half);
                    plane[lane] = half ^ carry[lane];
                    carry[lane] = next;
                }
            } else {
                for (sum, carry) in plane.iter_mut().zip(&mut carry) {
                    let next = *sum & *carry;
                    *sum ^= *carry;
                    *carry = next;
                }
            }
        }
        for (over, carry) in self.over.iter_mut().zip(carry) {
            *over |= carry;
        }
    }

    /// The groups whose sum is in a range; the end may be [`MOST_UNITS`].
    pub fn within(&self, range: &Range<usize>) -> Lane {
        both(self.below(range.end), &not(self.below(range.start)))
    }

    fn below(&self, units: usize) -> Lane {
        let (mut less, mut same) = ([0; LANES], [u64::MAX; LANES]);
        for (bit, plane) in self.planes.iter().enumerate().rev() {
            for lane in 0..LANES {
                if units >> bit & 1 == 1 {
                    less[lane] |= same[lane] & !plane[lane];
                    same[lane] &= plane[lane];
                } else {
                    same[lane] &= !plane[lane];
                }
            }
        }
        let told_apart = not(self.over);
        if units >= MOST_UNITS {
            told_apart
        } else {
            both(less, &told_apart)
        }
    }

    /// The sum of a group that is told apart.
    pub fn of(&self, group: usize) -> usize {
        let (word, bit) = (group / 64, group % 64);
        let planes = self.planes.iter().enumerate();
        planes
            .map(|(place, plane)| ((plane[word] >> bit & 1) as usize) << place)
            .sum()
    }
}
