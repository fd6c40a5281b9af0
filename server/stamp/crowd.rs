//! What the names of a group cost at least, by neighbours and by three in a row.
//!
//! Between the bound of all groups ([`super::bound`]), which counts only pairs that overlap
//! nowhere, and that of each name ([`super::closer`]): one pass over the solid places of the
//! text takes the least edits that explain what none of the names of a group has. A place is
//! kept or not as there; what is kept is *fresh* after an edit or *in a row* with the place
//! before, which the group must hold as neighbours, and with two before as three in a row.
//!
//! The signs of a block are brought together once for all groups of it that come one after
//! another.

use super::closer::{Closer, NEVER, Thousandths};
use super::lexicon::{GROUP, Lexicon, NO_CODE};
use super::outline::{Outline, Solid};
use super::signs::{GROUPS, LANES, Lane};

/// The bound of one text.
#[derive(Debug)]
pub(super) struct Crowd {
    places: Vec<Place>,
    /// What the groups of a block hold of each place.
    held: Vec<Held>,
    block: Option<usize>,
}

/// The signs of a solid place.
#[derive(Debug)]
struct Place {
    plain: Vec<u16>,
    alike: Vec<u16>,
    /// With the place before; none where they are no neighbours.
    pairs: Vec<u16>,
    /// With the place before, the wrong way round.
    swaps: Vec<u16>,
    /// With the one before the place before.
    skips: Vec<u16>,
    /// With the two before.
    threes: Vec<u16>,
}

/// For each group of a block, whether it holds the glyph of a place, a look-alike, both of two
/// neighbours, the two the wrong way round, two with one between, and all three.
#[derive(Clone, Copy, Debug)]
struct Held {
    plain: Lane,
    alike: Lane,
    pair: Lane,
    swap: Lane,
    skip: Lane,
    three: Lane,
}

impl Crowd {
    /// The bound for a text.
    pub fn new(lexicon: &Lexicon, outline: &Outline, closer: &Closer) -> Self {
        let solids = &outline.solids[closer.from..][..closer.places.len()];
        let places = (0..solids.len()).map(|place| Place::new(lexicon, solids, place));
        Self {
            places: places.collect(),
            held: Vec::with_capacity(solids.len()),
            block: None,
        }
    }

    /// The bound of a group; where it is `limit` or more, any that is.
    pub fn of(
        &mut self,
        closer: &Closer,
        lexicon: &Lexicon,
        (group, limit): (usize, Thousandths),
    ) -> Thousandths {
        self.turn_to(lexicon, group / GROUPS);
        let names = group * GROUP..(group * GROUP + GROUP).min(lexicon.count());
        let (Some((first, others)), true) = (
            self.held.split_first(),
            names
                .clone()
                .all(|name| lexicon.outermost(name).first[0] != NO_CODE),
        ) else {
            return closer.base;
        };
        let at = group % GROUPS;
        let mut row = Row::first(
            closer,
            lexicon,
            names.clone(),
            [first.at(at).plain, first.at(at).alike],
        );
        let Some((last, inner)) = others.split_last() else {
            return closer.base + row.least();
        };
        let mut place = 1;
        for held in inner {
            row = row.next(closer, place, held.at(at));
            if row.at_least() + closer.base >= limit {
                return limit;
            }
            place += 1;
        }
        let last = last.at(at);
        let kept = row.kept(closer, place, last);
        let (kept, changed) = (kept[0].min(kept[1]), row.beside.min(row.free));
        let (before, alike) = (row.fresh.min(row.in_a_row), usize::from(last.alike));
        let swapped = only(last.swap, row.swapped);
        let costs = names.map(|name| {
            let end = lexicon.outermost(name).last;
            let exit = closer.exit.of(end);
            (changed + exit.changed[alike])
                .min(before + closer.exit.beside_kept(end, alike))
                .min(swapped + exit.swapped)
                .min(kept + exit.kept)
        });
        closer.base + costs.min().unwrap_or(NEVER)
    }

    fn turn_to(&mut self, lexicon: &Lexicon, block: usize) {
        if self.block.replace(block) == Some(block) {
            return;
        }
        self.held.clear();
        for place in &self.places {
            self.held.push(Held {
                plain: lexicon.signs.any(block, &place.plain),
                alike: lexicon.signs.any(block, &place.alike),
                pair: lexicon.signs.any(block, &place.pairs),
                swap: lexicon.signs.any(block, &place.swaps),
                skip: lexicon.threes.any(block, &place.skips),
                three: lexicon.threes.any(block, &place.threes),
            });
        }
    }
}

impl Place {
    fn new(lexicon: &Lexicon, solids: &[Solid], place: usize) -> Self {
        let here = &solids[place];
        let signs = |codes: &[usize]| codes.iter().map(|&code| lexicon.holds(code)).collect();
        let before = place.checked_sub(1).map(|before| &solids[before]);
        let before = before.filter(|_| here.gap.is_some());
        let two = before.and_then(|before| {
            let first = &solids[place.checked_sub(2)?];
            before.gap.map(|_| (first, before))
        });
        let pairs = before.iter().flat_map(|before| before.with(here));
        let beside = place.checked_sub(1).map(|before| &solids[before]);
        let beside = beside.filter(|before| here.touches(before));
        let swaps = beside.iter().flat_map(|before| here.with(before));
        let skipped = place.checked_sub(2).map(|two| &solids[two]);
        let skips = skipped.iter().flat_map(|two| two.with(here));
        let threes = two.iter().flat_map(|(first, before)| {
            let pairs = before.with(here);
            pairs.flat_map(|(one, next)| first.plain.iter().map(move |&first| [first, one, next]))
        });
        Self {
            plain: signs(&here.plain),
            alike: signs(&here.alike),
            pairs: pairs.map(|(one, next)| lexicon.pair(one, next)).collect(),
            swaps: swaps.map(|(one, next)| lexicon.pair(one, next)).collect(),
            skips: skips.map(|(one, next)| lexicon.skip([one, next])).collect(),
            threes: threes.map(|codes| lexicon.three(codes)).collect(),
        }
    }
}

/// A cost where there is a way.
fn only(there: bool, cost: Thousandths) -> Thousandths {
    if there { cost } else { NEVER }
}

/// What one group holds of a place, as [`Held`].
#[derive(Clone, Copy)]
struct Here {
    plain: bool,
    alike: bool,
    pair: bool,
    swap: bool,
    skip: bool,
    three: bool,
}

impl Held {
    #[inline]
    fn at(&self, group: usize) -> Here {
        let has = |lane: &Lane| lane[group / 64] >> (group % 64) & 1 == 1;
        Here {
            plain: has(&self.plain),
            alike: has(&self.alike),
            pair: has(&self.pair),
            swap: has(&self.swap),
            skip: has(&self.skip),
            three: has(&self.three),
        }
    }
}

/// What it costs up to a place.
struct Row {
    /// It was kept, and nothing is said of its neighbour.
    fresh: Thousandths,
    /// It was kept, as the neighbour of the place before.
    in_a_row: Thousandths,
    /// It was changed, and the one before it was kept: the next has to stand behind that one.
    beside: Thousandths,
    /// It was changed, and nothing is said of the next.
    free: Thousandths,
    /// It is the first of two that were swapped.
    swapped: Thousandths,
}

impl Row {
    /// At the first place, by the cheapest of the first codes.
    fn first(
        closer: &Closer,
        lexicon: &Lexicon,
        names: std::ops::Range<usize>,
        [plain, alike]: [bool; 2],
    ) -> Self {
        let mut row = Self {
            fresh: NEVER,
            in_a_row: NEVER,
            beside: NEVER,
            free: NEVER,
            swapped: NEVER,
        };
        let alike = usize::from(alike);
        let mut known = None;
        for name in names {
            let first = lexicon.outermost(name).first;
            if known.replace(first) == Some(first) {
                continue;
            }
            let entry = closer.entry.of(first);
            row.fresh = row.fresh.min(only(plain, entry.kept));
            row.beside = row.beside.min(entry.changed[alike]);
            row.free = row.free.min(closer.entry.beside_kept(first, alike));
            row.swapped = row.swapped.min(closer.swapped + entry.swapped);
        }
        row
    }

    fn least(&self) -> Thousandths {
        let kept = self.fresh.min(self.in_a_row);
        kept.min(self.beside).min(self.free)
    }

    /// The least cost of anything that comes after.
    fn at_least(&self) -> Thousandths {
        self.least().min(self.swapped)
    }

    /// At the next place, where it is kept: fresh, and in a row.
    #[inline]
    fn kept(&self, closer: &Closer, place: usize, here: Here) -> [Thousandths; 2] {
        let at = &closer.places[place];
        let parted = self.fresh.min(self.in_a_row) + at.gap[0];
        let skipped = self.beside + at.skip[usize::from(here.skip)];
        let follows = self.fresh.min(only(here.three, self.in_a_row));
        [
            only(here.plain, parted.min(skipped).min(self.free)),
            only(here.plain && here.pair, follows),
        ]
    }

    #[inline]
    fn next(&self, closer: &Closer, place: usize, here: Here) -> Self {
        let [fresh, in_a_row] = self.kept(closer, place, here);
        let at = &closer.places[place];
        let change = at.change[usize::from(here.alike)];
        let kept = self.fresh.min(self.in_a_row);
        let changed = self.beside.min(self.free);
        Self {
            fresh,
            in_a_row,
            beside: kept + change,
            free: (changed + change)
                .min(kept + at.without)
                .min(only(here.swap, self.swapped)),
            swapped: kept.min(changed) + closer.swapped,
        }
    }
}

const _: () = assert!(LANES * 64 == GROUPS);
