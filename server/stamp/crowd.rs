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
    /// With the two before.
    threes: Vec<u16>,
}

/// For each group of a block, whether it holds the glyph of a place, a look-alike, both of two
/// neighbours, and all three.
#[derive(Clone, Copy, Debug)]
struct Held {
    plain: Lane,
    alike: Lane,
    pair: Lane,
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

    /// The bound of a group.
    pub fn of(&mut self, closer: &Closer, lexicon: &Lexicon, group: usize) -> Thousandths {
        self.turn_to(lexicon, group / GROUPS);
        let names = group * GROUP..(group * GROUP + GROUP).min(lexicon.count());
        let (Some((first, others)), true) = (
            self.held.split_first(),
            names
                .clone()
                .all(|name| lexicon.outermost(name)[0] != NO_CODE),
        ) else {
            return closer.base;
        };
        let at = group % GROUPS;
        let has = |lane: &Lane| lane[at / 64] >> (at % 64) & 1 == 1;
        let mut row = Row::first(
            closer,
            lexicon,
            names.clone(),
            [has(&first.plain), has(&first.alike)],
        );
        let Some((last, inner)) = others.split_last() else {
            return closer.base + row.least();
        };
        let mut place = 1;
        for held in inner {
            row = row.next(
                closer,
                place,
                [&held.plain, &held.alike, &held.pair, &held.three].map(has),
            );
            place += 1;
        }
        let kept = row.kept(
            closer,
            place,
            [&last.plain, &last.pair, &last.three].map(has),
        );
        let (kept, least) = (kept[0].min(kept[1]), row.least());
        let alike = usize::from(has(&last.alike));
        let costs = names.map(|name| {
            let exit = &closer.exit[usize::from(lexicon.outermost(name)[1])];
            let changed = (least + exit.changed[alike]).min(row.swapped + exit.swapped);
            changed.min(kept + exit.kept)
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
        let pairs = before.iter().flat_map(|before| together(before, here));
        let threes = two.iter().flat_map(|(first, before)| {
            let pairs = together(before, here);
            pairs.flat_map(|[one, next]| first.plain.iter().map(move |&first| [first, one, next]))
        });
        Self {
            plain: signs(&here.plain),
            alike: signs(&here.alike),
            pairs: pairs.map(|[one, next]| lexicon.pair(one, next)).collect(),
            threes: threes.map(|codes| lexicon.three(codes)).collect(),
        }
    }
}

fn together<'a>(one: &'a Solid, next: &'a Solid) -> impl Iterator<Item = [usize; 2]> + 'a {
    let firsts = one.plain.iter();
    firsts.flat_map(|&first| next.plain.iter().map(move |&second| [first, second]))
}

/// What it costs up to a place.
struct Row {
    /// It was kept, and nothing is said of its neighbour.
    fresh: Thousandths,
    /// It was kept, as the neighbour of the place before.
    in_a_row: Thousandths,
    changed: Thousandths,
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
            changed: NEVER,
            swapped: NEVER,
        };
        for name in names {
            let entry = &closer.entry[usize::from(lexicon.outermost(name)[0])];
            if plain {
                row.fresh = row.fresh.min(entry.kept);
            }
            row.changed = row.changed.min(entry.changed[usize::from(alike)]);
            row.swapped = row.swapped.min(closer.swapped + entry.swapped);
        }
        row
    }

    fn least(&self) -> Thousandths {
        self.fresh.min(self.in_a_row).min(self.changed)
    }

    /// At the next place, where it is kept: fresh, and in a row.
    #[inline]
    fn kept(
        &self,
        closer: &Closer,
        place: usize,
        [plain, pair, three]: [bool; 3],
    ) -> [Thousandths; 2] {
        let only = |there: bool, cost: Thousandths| if there { cost } else { NEVER };
        let parted = self.fresh.min(self.in_a_row) + closer.places[place].gap[0];
        let follows = self.fresh.min(only(three, self.in_a_row));
        [
            only(plain, parted.min(self.changed)),
            only(plain && pair, follows),
        ]
    }

    #[inline]
    fn next(&self, closer: &Closer, place: usize, [plain, alike, pair, three]: [bool; 4]) -> Self {
        let [fresh, in_a_row] = self.kept(closer, place, [plain, pair, three]);
        let least = self.least();
        let changed = least + closer.places[place].change[usize::from(alike)];
        Self {
            fresh,
            in_a_row,
            changed: changed.min(self.swapped),
            swapped: least + closer.swapped,
        }
    }
}

const _: () = assert!(LANES * 64 == GROUPS);
