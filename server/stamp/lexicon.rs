//! The names of a large catalogue, for reading worn stamps.
//!
//! Names stand one after another in the order of their glyphs, each glyph a small number of
//! the lexicon's own, in groups of [`GROUP`] neighbours. For each group a few bits say what
//! its names hold ([`super::signs`]): by them nearly all groups are passed over unread. A
//! name keeps the place of its entry; what it says is made from that when it is found.
//!
//! Separators (blanks and signs that only part others) are struck and left out so freely that
//! they are no signs, and glyphs between which only separators stand are neighbours.
//!
//! Not every catalogue can stand here: one with more than [`MOST_GLYPHS`] different glyphs,
//! or with a separator for which several glyphs may stand, is laid name by name instead.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

use super::automaton::{Weight, logarithms, weight_of};
use super::glyphs::is_separator;
use super::signs::Signs;
use super::spellings::hardened;
use super::states::as_place;
use super::typed::{HARD_BLANK, LONGEST, folded};
use crate::scheme::{Binding, Scheme};

/// A catalogue of more entries is a lexicon: with fewer, sweeping all is as quick.
pub(super) const LARGE: usize = 2000;

/// Names of a group: few, so that what one of them holds is rarely held by another only.
pub(super) const GROUP: usize = 8;

/// Glyphs that a lexicon can tell apart.
const MOST_GLYPHS: usize = 128;

/// Signs for pairs of neighbours. There are more pairs than this; those that are common have
/// a sign each, the others share.
const PAIRS: usize = 320;

/// Signs for three in a row, as a power of two: those that fall on one sign share it.
const THREES: u32 = 11;

/// Signs for the first and the last of three in a row, as a power of two.
const SKIPS: u32 = 9;

/// Instead of an outermost code, where a name has no such.
pub(super) const NO_CODE: u8 = u8::MAX;

/// Names with their signs.
#[derive(Debug)]
pub(super) struct Lexicon {
    /// The symbol of each code.
    pub symbols: Vec<u32>,
    /// Whether a code is a separator.
    pub separator: Vec<bool>,
    /// What the groups hold.
    pub signs: Signs,
    /// Which three codes stand in a row in their names, separators aside, and which two with one
    /// between: read rarely, so they stand by themselves.
    pub threes: Signs,
    /// Negative logarithm of the prior of the most usual name that is the only spelling of its entry.
    pub prior: f64,
    /// By place of the entry, how usual it is: the logarithm of its weight over the mean; empty
    /// where all are equal.
    usual: Vec<f64>,
    /// The highest of them.
    most_usual: f64,
    codes: Vec<u8>,
    /// For each name, where its codes end.
    ends: Vec<u32>,
    /// For each name, how many codes it has in common with the one before.
    shared: Vec<u8>,
    /// For each name, the place of its entry.
    entries: Vec<u32>,
    /// For each name, its outermost codes that are no separators.
    outermost: Vec<Outermost>,
    /// For each two codes, the sign of the pair.
    pairs: Vec<u16>,
    /// For each pair sign, the share of names that have it.
    shares: Vec<f32>,
}

/// The codes at the ends of a name that are no separators; [`NO_CODE`] where there are too few.
#[derive(Clone, Copy, Debug)]
pub(super) struct Outermost {
    /// The first, and the one after it.
    pub first: [u8; 2],
    /// The last, and the one before it.
    pub last: [u8; 2],
}

impl Outermost {
    /// Of nothing yet.
    pub const NONE: Self = Self {
        first: [NO_CODE; 2],
        last: [NO_CODE; 2],
    };

    /// With one more code at the end.
    #[inline]
    pub fn and(mut self, code: u8) -> Self {
        if self.first[0] == NO_CODE {
            self.first[0] = code;
        } else if self.first[1] == NO_CODE {
            self.first[1] = code;
        }
        self.last = [code, self.last[0]];
        self
    }
}

impl Lexicon {
    /// The lexicon of the entries of a scheme; `symbol` places a glyph among the symbols, and
    /// says whether it may vanish. None where they cannot stand in one.
    pub fn build(
        (scheme, weight): (&Scheme, Weight<'_>),
        symbol: impl FnMut(char) -> Option<(u32, bool)>,
    ) -> Option<Self> {
        let mut codes = Codes::new(scheme.case_matters, symbol);
        let written = Written::of(scheme, &mut codes)?;
        let entries = 0..scheme.entries.len();
        let weights = entries.map(|entry| weight_of(weight, scheme, &Binding::Entry(entry)));
        let mut usual = logarithms(weights.collect());
        if usual.iter().all(|usual| *usual == 0.0) {
            usual = Vec::new();
        }
        let most_usual = usual.iter().copied().fold(0.0, f64::max);
        let mut lexicon = Self {
            separator: codes.separator,
            symbols: codes.symbols,
            signs: Signs::new(0, 1),
            threes: Signs::new(0, 1),
            outermost: Vec::with_capacity(written.ends.len()),
            prior: (scheme.entries.len() as f64).ln() - most_usual,
            usual,
            most_usual,
            codes: Vec::with_capacity(written.codes.len()),
            ends: Vec::with_capacity(written.ends.len()),
            shared: Vec::with_capacity(written.ends.len()),
            entries: Vec::with_capacity(written.ends.len()),
            pairs: Vec::new(),
            shares: Vec::new(),
        };
        lexicon.take(&written);
        lexicon.assign_pairs();
        lexicon.sign();
        Some(lexicon)
    }

    /// How many names there are.
    pub fn count(&self) -> usize {
        self.ends.len()
    }

    /// The codes of a name.
    pub fn name(&self, name: usize) -> &[u8] {
        let start = name.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.codes[start as usize..self.ends[name] as usize]
    }

    /// How many codes a name has in common with the one before.
    pub fn shared(&self, name: usize) -> usize {
        usize::from(self.shared[name])
    }

    /// The place of the entry that a name stands for.
    pub fn entry(&self, name: usize) -> usize {
        self.entries[name] as usize
    }

    /// How usual the entry at a place is: the logarithm of its share over that of the mean entry.
    pub fn usual(&self, entry: usize) -> f64 {
        self.usual.get(entry).copied().unwrap_or(0.0)
    }

    /// How probable a mean name is against the most usual one.
    pub fn mean_share(&self) -> f64 {
        (-self.most_usual).exp()
    }

    /// What a name costs because its entry is less usual than the most usual one.
    pub fn rarity(&self, name: usize) -> f64 {
        self.most_usual - self.usual(self.entry(name))
    }

    /// Bytes beyond the glyphs of the names.
    pub fn bytes(&self) -> usize {
        let (names, pairs) = (self.count(), self.pairs.len());
        let usual = self.usual.len() * size_of::<f64>();
        let signs = self.signs.bytes() + self.threes.bytes();
        names * (2 * size_of::<u32>() + 1 + size_of::<Outermost>())
            + pairs * size_of::<u16>()
            + usual
            + signs
    }

    /// How many codes there are.
    pub fn glyphs(&self) -> usize {
        self.symbols.len()
    }

    /// The sign of names that hold a code.
    pub fn holds(&self, code: usize) -> u16 {
        code as u16
    }

    /// The sign of names whose first code that is no separator is this.
    pub fn first(&self, code: usize) -> u16 {
        (self.glyphs() + code) as u16
    }

    /// The sign of names whose last code that is no separator is this.
    pub fn last(&self, code: usize) -> u16 {
        (2 * self.glyphs() + code) as u16
    }

    /// The sign of names in which one code follows another.
    pub fn pair(&self, one: usize, next: usize) -> u16 {
        self.pairs[one * self.glyphs() + next]
    }

    /// The outermost codes of a name.
    pub fn outermost(&self, name: usize) -> Outermost {
        self.outermost[name]
    }

    /// The sign of names in which three codes stand in a row.
    pub fn three(&self, codes: [usize; 3]) -> u16 {
        mixed(&codes, THREES)
    }

    /// The sign of names in which two codes stand with one between them.
    pub fn skip(&self, codes: [usize; 2]) -> u16 {
        (1 << THREES) + mixed(&codes, SKIPS)
    }

    /// The share of names that have the sign of a pair.
    pub fn share(&self, pair: u16) -> f64 {
        f64::from(self.shares[pair as usize - 3 * self.glyphs()])
    }

    /// Takes what was written in the order of its codes.
    fn take(&mut self, written: &Written) {
        for place in written.order() {
            let (start, name) = (self.codes.len(), written.name(place as usize));
            let before = self
                .count()
                .checked_sub(1)
                .map_or(&[][..], |last| self.name(last));
            let shared = before
                .iter()
                .zip(name)
                .take_while(|(one, other)| one == other);
            self.shared.push(shared.count() as u8);
            self.codes.extend_from_slice(name);
            self.ends.push(as_place(start + name.len()));
            self.entries.push(written.entries[place as usize]);
        }
    }

    /// Gives every pair a sign so that all signs are about equally rare.
    fn assign_pairs(&mut self) {
        let glyphs = self.glyphs();
        let mut count = vec![0_u32; glyphs * glyphs];
        for name in 0..self.count() {
            let solid = self.name(name).iter().map(|&code| code as usize);
            let mut before = None;
            for code in solid.filter(|&code| !self.separator[code]) {
                if let Some(before) = before.replace(code) {
                    count[before * glyphs + code] += 1;
                }
            }
        }
        let mut common: Vec<usize> = (0..count.len()).collect();
        common.sort_by_key(|&pair| Reverse(count[pair]));
        let mut load: BinaryHeap<_> = (0..PAIRS).map(|sign| Reverse((0_u32, sign))).collect();
        self.pairs = vec![0; count.len()];
        for pair in common {
            if let Some(Reverse((names, sign))) = load.pop() {
                self.pairs[pair] = (3 * glyphs + sign) as u16;
                load.push(Reverse((names + count[pair], sign)));
            }
        }
        self.shares = vec![0.0; PAIRS];
        for Reverse((names, sign)) in load {
            self.shares[sign] = names as f32 / self.count().max(1) as f32;
        }
    }

    fn sign(&mut self) {
        let groups = self.count().div_ceil(GROUP);
        let mut signs = Signs::new(groups, 3 * self.glyphs() + PAIRS);
        let mut threes = Signs::new(groups, (1 << THREES) + (1 << SKIPS));
        for name in 0..self.count() {
            let group = name / GROUP;
            let mut outermost = Outermost::NONE;
            let (mut before, mut last) = (None, None);
            for &code in self.name(name) {
                if !self.separator[usize::from(code)] {
                    outermost = outermost.and(code);
                }
                let code = usize::from(code);
                signs.set(group, usize::from(self.holds(code)));
                if !self.separator[code] {
                    let sign = last.map_or_else(|| self.first(code), |one| self.pair(one, code));
                    signs.set(group, usize::from(sign));
                    if let (Some(before), Some(last)) = (before, last) {
                        threes.set(group, usize::from(self.three([before, last, code])));
                        threes.set(group, usize::from(self.skip([before, code])));
                    }
                    (before, last) = (last, Some(code));
                }
            }
            match last {
                Some(last) => signs.set(group, usize::from(self.last(last))),
                None => (self.glyphs()..3 * self.glyphs()).for_each(|sign| signs.set(group, sign)),
            }
            self.outermost.push(outermost);
        }
        (self.signs, self.threes) = (signs, threes);
    }
}

/// A sign for some codes, among so many, given as a power of two.
fn mixed(codes: &[usize], power: u32) -> u16 {
    let key = codes
        .iter()
        .fold(0, |key, &code| key * MOST_GLYPHS as u32 + code as u32);
    // by the golden ratio, which parts neighbours
    (key.wrapping_mul(0x9E37_79B1) >> (u32::BITS - power)) as u16
}

/// The small numbers of glyphs, as they come up.
struct Codes<F> {
    symbol: F,
    case_matters: bool,
    symbols: Vec<u32>,
    separator: Vec<bool>,
    known: HashMap<char, u8>,
    ascii: [Option<u8>; 128],
}

impl<F: FnMut(char) -> Option<(u32, bool)>> Codes<F> {
    fn new(case_matters: bool, symbol: F) -> Self {
        Self {
            symbol,
            case_matters,
            symbols: Vec::new(),
            separator: Vec::new(),
            known: HashMap::new(),
            ascii: [None; 128],
        }
    }

    fn of(&mut self, glyph: char) -> Option<u8> {
        let known = self.ascii.get(glyph as usize).copied().flatten();
        if known.is_some() {
            return known;
        }
        let cased = if self.case_matters {
            glyph
        } else {
            folded(glyph)
        };
        let code = match self.known.get(&cased) {
            Some(&code) => code,
            None => self.new_code(cased)?,
        };
        if let Some(known) = self.ascii.get_mut(glyph as usize) {
            *known = Some(code);
        }
        Some(code)
    }

    fn new_code(&mut self, glyph: char) -> Option<u8> {
        if self.symbols.len() == MOST_GLYPHS {
            return None;
        }
        let code = self.symbols.len() as u8;
        let (symbol, may_vanish) = (self.symbol)(glyph)?;
        self.symbols.push(symbol);
        self.separator.push(may_vanish || is_separator(glyph));
        self.known.insert(glyph, code);
        Some(code)
    }
}

/// Names as they are written in a scheme.
#[derive(Default)]
struct Written {
    codes: Vec<u8>,
    ends: Vec<u32>,
    entries: Vec<u32>,
}

impl Written {
    fn of<F: FnMut(char) -> Option<(u32, bool)>>(
        scheme: &Scheme,
        codes: &mut Codes<F>,
    ) -> Option<Self> {
        let mut written = Self::default();
        for (place, entry) in scheme.entries.iter().enumerate() {
            for name in std::iter::once(&entry.name).chain(&entry.also) {
                let start = written.codes.len();
                written.spell(name, codes)?;
                if (1..=LONGEST).contains(&(written.codes.len() - start)) {
                    written.ends.push(as_place(written.codes.len()));
                    written.entries.push(as_place(place));
                } else {
                    written.codes.truncate(start);
                }
            }
        }
        Some(written)
    }

    fn spell<F: FnMut(char) -> Option<(u32, bool)>>(
        &mut self,
        name: &str,
        codes: &mut Codes<F>,
    ) -> Option<()> {
        if !is_one_form(name) {
            for glyph in hardened(name) {
                self.codes.push(codes.of(glyph)?);
            }
            return Some(());
        }
        let bytes = name.as_bytes();
        for (place, &byte) in bytes.iter().enumerate() {
            let inside = byte == b' ' && place > 0 && place + 1 < bytes.len();
            let hard =
                inside && bytes[place - 1].is_ascii_digit() && bytes[place + 1].is_ascii_digit();
            self.codes
                .push(codes.of(if hard { HARD_BLANK } else { byte as char })?);
        }
        Some(())
    }

    fn name(&self, place: usize) -> &[u8] {
        let start = place.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.codes[start as usize..self.ends[place] as usize]
    }

    /// The places of the names in the order of their codes, by their beginnings first.
    fn order(&self) -> impl Iterator<Item = u32> {
        let mut order: Vec<(u128, u32)> = (0..self.ends.len())
            .map(|place| (beginning(self.name(place)), place as u32))
            .collect();
        order.sort_unstable_by(|one, other| {
            let text = |place: u32| self.name(place as usize);
            one.0
                .cmp(&other.0)
                .then_with(|| text(one.1).cmp(text(other.1)))
                .then(one.1.cmp(&other.1))
        });
        order.into_iter().map(|(_, place)| place)
    }
}

/// Whether a text is plain ASCII with single blanks inside only: nothing in it changes when it
/// is brought to one form, which takes far longer than to see this.
fn is_one_form(text: &str) -> bool {
    let bytes = text.as_bytes();
    let plain = |byte: &u8| byte.is_ascii_graphic() || *byte == b' ';
    bytes.iter().all(plain)
        && !bytes.windows(2).any(|two| two == b"  ")
        && bytes.first() != Some(&b' ')
        && bytes.last() != Some(&b' ')
}

/// The first codes as one number that orders as they do, nothing being before all codes.
fn beginning(name: &[u8]) -> u128 {
    let mut bytes = [0; 16];
    for (byte, code) in bytes.iter_mut().zip(name) {
        *byte = code + 1;
    }
    u128::from_be_bytes(bytes)
}
