//! What a name costs at least, by its own neighbours.
//!
//! A closer bound than that of its group, and still without aligning it: which solid places
//! of the text stand beside each other in the name too, and which look-alikes it holds, is
//! looked up glyph by glyph; then one pass over the places takes the least edits that
//! explain what is absent. A place is kept (then it needs its neighbour), changed (then those
//! on both sides of it need each other at that distance), or the first of two that were
//! swapped. Names that begin alike are looked at once up to where they part.

use super::lexicon::{Lexicon, NO_CODE, Outermost};
use super::outline::{Edge, Outline, Solid};
use super::query::Query;
use super::typed::LONGEST;

/// Thousandths of a nat.
pub(super) type Thousandths = i32;

/// So dear that it is never afforded, and still can be added up.
pub(super) const NEVER: Thousandths = 1 << 24;

/// A cost in thousandths of a nat.
pub(super) fn thousandths(cost: f64) -> Thousandths {
    ((cost * 1000.0).round() as Thousandths).min(NEVER)
}

/// The solid places that a mask has room for; those beyond are not looked at.
const MOST_SOLIDS: usize = 64;

/// The bound of one text.
#[derive(Debug)]
pub(super) struct Closer {
    codes: usize,
    /// For two codes, the places at which the second stands behind the first, and those at
    /// which it stands before it, so that the two may have been swapped.
    links: Vec<[u64; 2]>,
    /// For two codes, the places at which the second stands behind the first and one more.
    skips: Vec<u64>,
    /// For each code, the places at which it stands as it was meant, and those that it looks
    /// like.
    holds: Vec<[u64; 2]>,
    /// The first solid place of the text that is looked at.
    pub from: usize,
    /// What the solid places cost.
    pub places: Vec<Place>,
    /// What the first costs.
    pub entry: Ends,
    /// What the last costs.
    pub exit: Ends,
    /// Two the wrong way round.
    pub swapped: Thousandths,
    /// The least cost of what surrounds the name.
    pub base: Thousandths,
    /// What is known after each glyph of the name that was last looked at.
    known: Vec<Seen>,
}

/// What a solid place costs; the second of two where what it asks for is there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    /// Not to have its neighbour.
    pub gap: [Thousandths; 2],
    /// Not to have the one before its neighbour at that distance, where that one was changed.
    pub skip: [Thousandths; 2],
    /// Not to be kept; the second where there is a look-alike.
    pub change: [Thousandths; 2],
    /// Not to be kept, with nothing of the name in its place.
    pub without: Thousandths,
}

/// The first or the last place with the outermost codes of a name.
#[derive(Debug)]
pub(super) struct Ends {
    /// By the outermost code.
    pub codes: Vec<End>,
    /// By code, what it costs beyond the place that the next one inward is this, where the place
    /// was taken for the outermost and the one inward is kept.
    joined: Vec<Thousandths>,
}

/// The first or the last place with a first or last code.
#[derive(Clone, Copy, Debug)]
pub(super) struct End {
    /// Where the place is kept.
    pub kept: Thousandths,
    /// Where it is not; the second where there is a look-alike.
    pub changed: [Thousandths; 2],
    /// Where it was swapped with the next one inward.
    pub swapped: Thousandths,
    /// Where it was taken for this code.
    taken: Thousandths,
    /// Where it is not kept, the next one inward is, and it was not taken for this code.
    beside: [Thousandths; 2],
}

impl Ends {
    /// The end of a text with the place next to it inward.
    fn new(
        codes: usize,
        edge: Option<&Edge>,
        place: Option<&Place>,
        inner: Option<&Solid>,
        gap: Thousandths,
    ) -> Self {
        let change = place.map_or([0; 2], |place| place.change);
        let parted = |code: usize| match inner.is_some_and(|inner| inner.plain.contains(&code)) {
            true => 0,
            false => gap,
        };
        let costs = |code: usize| edge.and_then(|edge| edge.costs[code]);
        let end = |code: usize| {
            let Some(cost) = costs(code) else {
                return End {
                    kept: 0,
                    changed: change,
                    swapped: 0,
                    taken: NEVER,
                    beside: change,
                };
            };
            let outside = thousandths(cost.outside);
            let late = thousandths(cost.without) + parted(code).min(outside);
            End {
                kept: thousandths(cost.kept),
                changed: change.map(|other| thousandths(cost.changed()).min(outside + other)),
                swapped: thousandths(cost.swapped),
                taken: thousandths(cost.taken),
                beside: change.map(|other| late.min(outside + other)),
            }
        };
        Self {
            codes: (0..codes).map(end).collect(),
            joined: (0..codes).map(parted).collect(),
        }
    }

    /// The place with the outermost code.
    #[inline]
    pub fn of(&self, codes: [u8; 2]) -> &End {
        &self.codes[usize::from(codes[0])]
    }

    /// Where the place is not kept, but the next one inward is.
    #[inline]
    pub fn beside_kept(&self, codes: [u8; 2], alike: usize) -> Thousandths {
        let end = self.of(codes);
        let joined = match codes[1] {
            NO_CODE => NEVER,
            next => self.joined[usize::from(next)],
        };
        (end.taken + joined).min(end.beside[alike])
    }
}

/// What the beginning of a name holds.
#[derive(Clone, Copy, Debug)]
struct Seen {
    plain: u64,
    alike: u64,
    links: u64,
    swaps: u64,
    skips: u64,
    outermost: Outermost,
}

impl Seen {
    const NOTHING: Self = Self {
        plain: 0,
        alike: 0,
        links: 0,
        swaps: 0,
        skips: 0,
        outermost: Outermost::NONE,
    };
}

impl Closer {
    /// The bound for a text.
    pub fn new(lexicon: &Lexicon, query: &Query, outline: &Outline) -> Self {
        let codes = lexicon.glyphs();
        let from = outline.entry.as_ref().map_or(0, |edge| edge.solid);
        let until = outline
            .exit
            .as_ref()
            .map_or(outline.solids.len(), |edge| edge.solid + 1);
        let whole = until <= from + MOST_SOLIDS;
        let solids = &outline.solids[from..until.min(from + MOST_SOLIDS)];
        let mut links = vec![[0; 2]; codes * codes];
        let mut skips = vec![0; codes * codes];
        let mut holds = vec![[0; 2]; codes];
        for (place, solid) in solids.iter().enumerate() {
            for &code in &solid.plain {
                holds[code][0] |= 1 << place;
            }
            for &code in &solid.alike {
                holds[code][1] |= 1 << place;
            }
            let Some(before) = place.checked_sub(1).map(|before| &solids[before]) else {
                continue;
            };
            for (one, next) in before.with(solid) {
                if solid.gap.is_some() {
                    links[one * codes + next][0] |= 1 << place;
                }
                if solid.touches(before) {
                    links[next * codes + one][1] |= 1 << place;
                }
            }
            if let Some(two) = place.checked_sub(2) {
                for (one, next) in solids[two].with(solid) {
                    skips[one * codes + next] |= 1 << place;
                }
            }
        }
        let places: Vec<Place> = (0..solids.len())
            .map(|place| Place::new(solids, place))
            .collect();
        let gap = |place: usize| places.get(place).map_or(0, |place| place.gap[0]);
        let beside_last = solids.len().checked_sub(2).map(|place| &solids[place]);
        let exit = outline.exit.as_ref().filter(|_| whole);
        Self {
            codes,
            entry: Ends::new(
                codes,
                outline.entry.as_ref(),
                places.first(),
                solids.get(1),
                gap(1),
            ),
            exit: Ends::new(
                codes,
                exit,
                places.last(),
                beside_last,
                gap(solids.len().saturating_sub(1)),
            ),
            links,
            skips,
            holds,
            places,
            from,
            swapped: thousandths(query.swapped),
            base: thousandths(outline.base),
            known: vec![Seen::NOTHING; LONGEST + 1],
        }
    }

    /// The bound of a name that has `shared` codes in common with the last one asked for.
    #[inline]
    pub fn of(&mut self, lexicon: &Lexicon, name: &[u8], shared: usize) -> Thousandths {
        let mut seen = self.known[shared];
        for (place, &code) in name.iter().enumerate().skip(shared) {
            let [plain, alike] = self.holds[usize::from(code)];
            seen.plain |= plain;
            seen.alike |= alike;
            if !lexicon.separator[usize::from(code)] {
                let pair = |before: u8| usize::from(before) * self.codes + usize::from(code);
                let [last, before] = seen.outermost.last;
                if last != NO_CODE {
                    let [links, swaps] = self.links[pair(last)];
                    seen.links |= links;
                    seen.swaps |= swaps;
                }
                if before != NO_CODE {
                    seen.skips |= self.skips[pair(before)];
                }
                seen.outermost = seen.outermost.and(code);
            }
            self.known[place + 1] = seen;
        }
        self.least(seen)
    }

    fn least(&self, seen: Seen) -> Thousandths {
        let Outermost { first, last: end } = seen.outermost;
        let (Some((_, inner)), true) = (self.places.split_first(), first[0] != NO_CODE) else {
            return self.base;
        };
        let has = |mask: u64, place: usize| (mask >> place & 1) as usize;
        let held = |place: usize| [NEVER, 0][has(seen.plain, place)];
        let second = |place: usize| [NEVER, 0][has(seen.swaps, place)];
        let entry = self.entry.of(first);
        let alike = has(seen.alike, 0);
        let mut kept = entry.kept + held(0);
        // changed beside one that was kept, and otherwise
        let mut beside = entry.changed[alike];
        let mut free = self.entry.beside_kept(first, alike);
        let mut swapped = self.swapped + entry.swapped;
        let Some((last, inner)) = inner.split_last() else {
            return self.base + kept.min(beside);
        };
        let mut place = 1;
        for at in inner {
            let changed = beside.min(free);
            let change = at.change[has(seen.alike, place)];
            let here = (kept + at.gap[has(seen.links, place)])
                .min(beside + at.skip[has(seen.skips, place)])
                .min(free)
                + held(place);
            free = (changed + change)
                .min(kept + at.without)
                .min(swapped + second(place));
            swapped = kept.min(changed) + self.swapped;
            beside = kept + change;
            kept = here;
            place += 1;
        }
        let exit = self.exit.of(end);
        let here = (kept + last.gap[has(seen.links, place)])
            .min(beside + last.skip[has(seen.skips, place)])
            .min(free)
            + held(place);
        let alike = has(seen.alike, place);
        let changed =
            (beside.min(free) + exit.changed[alike]).min(kept + self.exit.beside_kept(end, alike));
        self.base
            + changed
                .min(here + exit.kept)
                .min(swapped + second(place) + exit.swapped)
    }
}

impl Place {
    fn new(solids: &[Solid], place: usize) -> Self {
        let solid = &solids[place];
        let gap = solid.gap.map_or(0, thousandths);
        // of the first, the ends say what it costs that it was changed
        let skip = match place {
            0 | 1 => NEVER,
            _ => gap.min(solids[place - 1].gap.map_or(0, thousandths)),
        };
        Self {
            gap: [gap, 0],
            skip: [skip, 0],
            change: [solid.rest, solid.cheapest].map(thousandths),
            without: thousandths(solid.without),
        }
    }
}
