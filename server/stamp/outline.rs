//! A text as a lexicon sees it: what each of its glyphs costs where a name does not hold it.
//!
//! Only *solid* places count: glyphs that are no separators. For each it is known which codes
//! stand there as they were meant, which look like it, and the least that any other
//! explanation costs. What stands around the name in its template explains places too; the
//! cost of that caps all others. From this [`super::bound`] and [`super::closer`] add up
//! costs that no alignment of a name can go below. Every edit is counted at one place only,
//! or in halves at two.

use super::glyphs::is_separator;
use super::lexicon::Lexicon;
use super::query::{Query, Seen};

/// What surrounds the name in its template.
#[derive(Debug)]
pub(super) struct Around {
    /// The least cost at which so many places have gone by before the name.
    pub start: Vec<f64>,
    /// The least cost from so many places on after it.
    pub end: Vec<f64>,
    /// By place: the least cost of what is before, where its last glyph stands one place on
    /// and the first of the name stands here, the wrong way round.
    pub swap_in: Vec<f64>,
    /// By place: the least cost of what is after, where its first glyph stands here and the
    /// last of the name one place on.
    pub swap_out: Vec<f64>,
}

/// A text against the codes of a lexicon.
#[derive(Debug)]
pub(super) struct Outline {
    /// The solid places in order.
    pub solids: Vec<Solid>,
    /// The least cost of what surrounds the name.
    pub base: f64,
    /// What the first solid code of a name costs at the first solid place of the text.
    pub entry: Option<Edge>,
    /// What the last costs at the last.
    pub exit: Option<Edge>,
}

/// A solid place.
#[derive(Debug)]
pub(super) struct Solid {
    /// The place.
    pub place: usize,
    /// Codes that stand here as they were meant.
    pub plain: Vec<usize>,
    /// Codes that look like what stands here.
    pub alike: Vec<usize>,
    /// The least cost of any look-alike.
    pub cheapest: f64,
    /// The least cost of anything that needs no look-alike.
    pub rest: f64,
    /// The least cost of explaining it by nothing of the name but separators, or by one that fell
    /// apart.
    pub without: f64,
    /// The cost of parting this glyph from the one before; none where nothing says that they
    /// are neighbours.
    pub gap: Option<f64>,
    /// What the surroundings ask for explaining this place.
    pub cap: f64,
    /// Half the cost of two glyphs here being one that fell apart.
    pub half: f64,
}

impl Solid {
    /// Each code that stands here as it was meant, with each of another place.
    pub fn with<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = (usize, usize)> + 'a {
        let ones = self.plain.iter();
        ones.flat_map(|&one| other.plain.iter().map(move |&next| (one, next)))
    }

    /// Whether nothing stands between this place and the one before: only such are swapped.
    pub fn touches(&self, before: &Self) -> bool {
        before.place + 1 == self.place
    }
}

/// The end of a name at the end of a text.
#[derive(Debug)]
pub(super) struct Edge {
    /// Which solid place.
    pub solid: usize,
    /// By code; none for separators.
    pub costs: Vec<Option<EdgeCost>>,
}

/// What a first or last code costs.
#[derive(Clone, Copy, Debug)]
pub(super) struct EdgeCost {
    /// Where the place stands as it was meant.
    pub kept: f64,
    /// Where the place was taken for this code.
    pub taken: f64,
    /// Where the place is explained by nothing of the name.
    pub without: f64,
    /// Where the place and the next one inward are the wrong way round, beyond the swap.
    pub swapped: f64,
    /// Where this code stands outside the text.
    pub outside: f64,
}

impl EdgeCost {
    /// Where the place was taken for this code, or explained without it.
    pub fn changed(&self) -> f64 {
        self.taken.min(self.without)
    }
}

impl Outline {
    /// The outline of a text for the names between `around`.
    pub fn new(lexicon: &Lexicon, query: &Query, around: &Around) -> Self {
        let sketch = Sketch::new(lexicon, query, around);
        let solids = sketch.solids();
        let (mut entry, mut exit) = (sketch.edge(&solids, true), sketch.edge(&solids, false));
        let place = |edge: &Option<Edge>| edge.as_ref().map(|edge| edge.solid);
        if let (Some(first), Some(last)) = (place(&entry), place(&exit)) {
            // one glyph cannot cost twice
            entry = entry.filter(|_| first <= last);
            exit = exit.filter(|_| first < last);
        }
        Self {
            base: least(&sketch.start) + least(&sketch.end),
            solids,
            entry,
            exit,
        }
    }
}

fn least(costs: &[f64]) -> f64 {
    costs.iter().copied().fold(f64::INFINITY, f64::min)
}

/// What an outline is drawn from.
struct Sketch<'a> {
    lexicon: &'a Lexicon,
    query: &'a Query,
    around: &'a Around,
    /// Costs by places gone by, swaps with the surroundings included.
    start: Vec<f64>,
    end: Vec<f64>,
    /// What what is before, and after, asks for explaining each place.
    caps: [Vec<f64>; 2],
    /// By place, half of the least cost of one glyph fallen apart over it.
    half: Vec<f64>,
}

impl<'a> Sketch<'a> {
    fn new(lexicon: &'a Lexicon, query: &'a Query, around: &'a Around) -> Self {
        let (mut start, mut end) = (around.start.clone(), around.end.clone());
        for place in 0..query.width() {
            if let Some(from) = place.checked_sub(2) {
                start[place] = start[place].min(around.swap_in[from]);
            }
            end[place] = end[place].min(around.swap_out[place]);
        }
        let mut half = vec![f64::INFINITY; query.width()];
        let splits = lexicon.symbols.iter().flat_map(|&one| query.splits(one));
        for &(place, cost) in splits {
            half[place] = half[place].min(cost / 2.0);
            half[place + 1] = half[place + 1].min(cost / 2.0);
        }
        Self {
            caps: caps(&start, &end),
            lexicon,
            query,
            around,
            start,
            end,
            half,
        }
    }

    fn cap(&self, place: usize) -> f64 {
        self.caps[0][place].min(self.caps[1][place])
    }

    fn substitution(&self, code: usize, place: usize) -> f64 {
        self.query.substitution(self.lexicon.symbols[code])[place]
    }

    fn codes(&self, separators: bool) -> impl Iterator<Item = usize> {
        let kinds = self.lexicon.separator.iter().enumerate();
        kinds
            .filter(move |(_, separator)| **separator == separators)
            .map(|(code, _)| code)
    }

    /// Whether a place only parts others, or may be left out as if it did.
    fn is_blank(&self, place: usize) -> bool {
        matches!(self.query.seen[place], Seen::Glyph(seen)
            if is_separator(seen) || self.codes(true).any(|code| self.substitution(code, place) == 0.0))
    }

    fn is_solid(&self, place: usize) -> bool {
        matches!(self.query.seen[place], Seen::Glyph(_)) && !self.is_blank(place)
    }

    fn solids(&self) -> Vec<Solid> {
        let mut solids: Vec<Solid> = Vec::new();
        for place in (0..self.query.seen.len()).filter(|&place| self.is_solid(place)) {
            let mut solid = self.solid(place);
            solid.gap = solids.last().and_then(|before| self.gap(before, &solid));
            solids.push(solid);
        }
        solids
    }

    fn solid(&self, place: usize) -> Solid {
        let all = || 0..self.lexicon.glyphs();
        let finite = all()
            .map(|code| self.substitution(code, place))
            .filter(|cost| cost.is_finite() && *cost > 0.0);
        let dearest = finite.fold(0.0, f64::max);
        let dearest = if dearest > 0.0 {
            dearest
        } else {
            f64::INFINITY
        };
        let cap = self.cap(place);
        let rest = dearest
            .min(self.query.passed[place])
            .min(self.half[place])
            .min(cap);
        let plain = all().filter(|&code| self.substitution(code, place) == 0.0);
        let alike = all().filter(|&code| {
            let cost = self.substitution(code, place);
            cost > 0.0 && cost < rest
        });
        let (plain, alike): (Vec<usize>, Vec<usize>) = (plain.collect(), alike.collect());
        let costs = alike.iter().map(|&code| self.substitution(code, place));
        let separators = self
            .codes(true)
            .map(|code| self.substitution(code, place))
            .filter(|cost| *cost > 0.0);
        let without = self.query.passed[place].min(self.half[place]).min(cap);
        Solid {
            cheapest: costs.fold(rest, f64::min),
            without: separators.fold(without, f64::min),
            place,
            plain,
            alike,
            rest,
            gap: None,
            cap,
            half: self.half[place],
        }
    }

    /// What it costs at least that two solid places are not neighbours in the name.
    fn gap(&self, before: &Solid, solid: &Solid) -> Option<f64> {
        let between = before.place + 1..solid.place;
        if !between.clone().all(|place| self.is_blank(place)) {
            return None;
        }
        let lost = self
            .codes(false)
            .map(|code| self.query.lost(self.lexicon.symbols[code])[solid.place]);
        let hidden = between.flat_map(|place| {
            let taken = self
                .codes(false)
                .map(move |code| self.substitution(code, place));
            taken.chain([self.half[place]])
        });
        let gap = lost.chain(hidden).fold(f64::INFINITY, f64::min);
        Some(gap.min(before.cap).min(solid.cap))
    }

    /// The first or the last solid place, if nothing unreadable stands outside it.
    fn edge(&self, solids: &[Solid], start: bool) -> Option<Edge> {
        let (anchor, outer) = self.anchor(start);
        let solid = if start {
            solids.iter().position(|solid| solid.place >= anchor)?
        } else {
            solids.iter().rposition(|solid| solid.place < anchor)?
        };
        let place = solids[solid].place;
        let passed = if start {
            anchor..place
        } else {
            place + 1..anchor
        };
        if !passed.clone().all(|place| self.is_blank(place)) {
            return None;
        }
        let next = if start {
            solids.get(solid + 1)
        } else {
            solid.checked_sub(1).map(|before| &solids[before])
        };
        let costs = (0..self.lexicon.glyphs()).map(|code| {
            (!self.lexicon.separator[code]).then(|| {
                let hidden = passed.clone().map(|place| self.substitution(code, place));
                // between the place and a stretch that was typed beyond blanks
                let gone_by = passed.start..=passed.end;
                let lost = self.query.lost(self.lexicon.symbols[code]);
                let outside = hidden.chain(gone_by.map(|place| lost[place]));
                let outside = outside.fold(outer, f64::min);
                self.edge_cost(&solids[solid], next, code, outside, start)
            })
        });
        Some(Edge {
            solid,
            costs: costs.collect(),
        })
    }

    /// Where the name most probably begins or ends in the text, and what it costs beyond
    /// that at least to have it begin further out.
    fn anchor(&self, start: bool) -> (usize, f64) {
        let last = self.query.width() - 1;
        let inside = 1..last;
        let (own, with_swaps) = if start {
            (&self.around.start, &self.start)
        } else {
            (&self.around.end, &self.end)
        };
        let least = |one: &usize, other: &usize| own[*one].total_cmp(&own[*other]);
        let anchor = if start {
            inside.min_by(least)
        } else {
            inside.rev().min_by(least)
        };
        let anchor = anchor.unwrap_or(1);
        let outer = if start { 0..anchor } else { anchor + 1..last };
        let swapped = if start {
            anchor
                .checked_sub(2)
                .map_or(f64::INFINITY, |from| self.around.swap_in[from])
        } else {
            self.around.swap_out[anchor]
        };
        let open = if start {
            f64::INFINITY
        } else {
            self.query.passed[last - 1] + own[last]
        };
        let beyond = outer
            .map(|place| with_swaps[place])
            .fold(open.min(swapped), f64::min);
        (anchor, (beyond - own[anchor]).max(0.0))
    }

    fn edge_cost(
        &self,
        solid: &Solid,
        next: Option<&Solid>,
        code: usize,
        outside: f64,
        start: bool,
    ) -> EdgeCost {
        let place = solid.place;
        let taken = self.substitution(code, place);
        let separators = self
            .codes(true)
            .map(|code| self.substitution(code, place))
            .filter(|cost| *cost > 0.0);
        let without = separators
            .fold(self.query.passed[place], f64::min)
            .min(self.caps[usize::from(!start)][place])
            .min(solid.half);
        let is_next = next.is_some_and(|next| next.plain.contains(&code));
        EdgeCost {
            kept: if taken == 0.0 { 0.0 } else { outside },
            taken: if taken > 0.0 { taken } else { f64::INFINITY },
            without,
            swapped: if is_next { 0.0 } else { outside },
            outside,
        }
    }
}

/// What explaining each place by the surroundings adds to their cost, so that the sums of all
/// places before (or after) any are never more than it costs to have them gone by.
fn caps(start: &[f64], end: &[f64]) -> [Vec<f64>; 2] {
    let width = start.len();
    let mut caps = [vec![f64::INFINITY; width], vec![f64::INFINITY; width]];
    let rising = |cap: &mut f64, cost: f64, sum: &mut f64| {
        if sum.is_finite() {
            *cap = (cost - *sum).max(0.0);
            *sum += *cap;
        }
    };
    let mut sum = least(start);
    for place in 0..width - 1 {
        rising(&mut caps[0][place], least(&start[place + 1..]), &mut sum);
    }
    let mut sum = least(end);
    for place in (0..width - 1).rev() {
        rising(&mut caps[1][place], least(&end[..=place]), &mut sum);
    }
    caps
}
