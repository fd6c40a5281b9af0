//! What a name costs at least, by its own neighbours.
//!
//! A closer bound than that of its group, and still without aligning it: which solid places
//! of the text stand beside each other in the name too, and which look-alikes it holds, is
//! looked up glyph by glyph; then one pass over the places takes the least edits that
//! explain what is absent. A place is kept (then it needs its neighbour), changed, or the first
//! of two that were swapped. Names that begin alike are looked at once up to where they part.

use super::lexicon::Lexicon;
use super::outline::{EdgeCost, Outline};
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
    /// For two codes, the places at which the second stands behind the first.
    links: Vec<u64>,
    /// For each code, the places that it looks like.
    alike: Vec<u64>,
    /// The first solid place of the text that is looked at.
    pub from: usize,
    /// What the solid places cost.
    pub places: Vec<Place>,
    /// By code, what the first costs as the first of a name.
    pub entry: Vec<End>,
    /// By code, what the last costs as the last.
    pub exit: Vec<End>,
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
    /// Not to be kept; the second where there is a look-alike.
    pub change: [Thousandths; 2],
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
}

/// What the beginning of a name holds.
#[derive(Clone, Copy, Debug, Default)]
struct Seen {
    links: u64,
    alike: u64,
    first: Option<u8>,
    last: u8,
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
        let mut links = vec![0; codes * codes];
        let mut alike = vec![0; codes];
        for (place, solid) in solids.iter().enumerate() {
            for &code in &solid.alike {
                alike[code] |= 1 << place;
            }
            if place > 0 && solid.gap.is_some() {
                for (&one, &next) in solids[place - 1]
                    .plain
                    .iter()
                    .flat_map(|one| solid.plain.iter().map(move |next| (one, next)))
                {
                    links[one * codes + next] |= 1 << place;
                }
            }
        }
        let places: Vec<Place> = solids
            .iter()
            .map(|solid| Place {
                gap: [solid.gap.map_or(0, thousandths), 0],
                change: [solid.rest, solid.cheapest].map(thousandths),
            })
            .collect();
        let ends = |edge: Option<&Vec<Option<EdgeCost>>>, place: Option<&Place>| {
            let change = place.map_or([0; 2], |place| place.change);
            (0..codes)
                .map(|code| End::new(edge.and_then(|costs| costs[code]), change))
                .collect()
        };
        Self {
            codes,
            links,
            alike,
            entry: ends(
                outline.entry.as_ref().map(|edge| &edge.costs),
                places.first(),
            ),
            exit: ends(
                outline
                    .exit
                    .as_ref()
                    .filter(|_| whole)
                    .map(|edge| &edge.costs),
                places.last(),
            ),
            places,
            from,
            swapped: thousandths(query.swapped),
            base: thousandths(outline.base),
            known: vec![Seen::default(); LONGEST + 1],
        }
    }

    /// The bound of a name that has `shared` codes in common with the last one asked for.
    #[inline]
    pub fn of(&mut self, lexicon: &Lexicon, name: &[u8], shared: usize) -> Thousandths {
        let mut seen = self.known[shared];
        for (place, &code) in name.iter().enumerate().skip(shared) {
            seen.alike |= self.alike[usize::from(code)];
            if !lexicon.separator[usize::from(code)] {
                match seen.first {
                    None => seen.first = Some(code),
                    Some(_) => {
                        seen.links |=
                            self.links[usize::from(seen.last) * self.codes + usize::from(code)];
                    }
                }
                seen.last = code;
            }
            self.known[place + 1] = seen;
        }
        self.least(seen)
    }

    fn least(&self, seen: Seen) -> Thousandths {
        let (Some(first), Some((_, inner))) = (seen.first, self.places.split_first()) else {
            return self.base;
        };
        let has = |mask: u64, place: usize| (mask >> place & 1) as usize;
        let entry = &self.entry[usize::from(first)];
        let exit = &self.exit[usize::from(seen.last)];
        let mut kept = entry.kept;
        let mut changed = entry.changed[has(seen.alike, 0)];
        let mut swapped = self.swapped + entry.swapped;
        let Some((last, inner)) = inner.split_last() else {
            return self.base + kept.min(changed);
        };
        let mut place = 1;
        for at in inner {
            let least = kept.min(changed);
            kept = (kept + at.gap[has(seen.links, place)]).min(changed);
            changed = (least + at.change[has(seen.alike, place)]).min(swapped);
            swapped = least + self.swapped;
            place += 1;
        }
        let least = kept.min(changed);
        kept = (kept + last.gap[has(seen.links, place)]).min(changed) + exit.kept;
        changed = least + exit.changed[has(seen.alike, place)];
        self.base + kept.min(changed).min(swapped + exit.swapped)
    }
}

impl End {
    fn new(cost: Option<EdgeCost>, change: [Thousandths; 2]) -> Self {
        cost.map_or(
            Self {
                kept: 0,
                changed: change,
                swapped: 0,
            },
            |cost| Self {
                kept: thousandths(cost.kept),
                changed: change
                    .map(|other| thousandths(cost.changed).min(thousandths(cost.outside) + other)),
                swapped: thousandths(cost.swapped),
            },
        )
    }
}
