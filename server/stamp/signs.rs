//! What the names of a group hold, one bit a group and sign.
//!
//! A sign is a glyph, a first or a last glyph, or a pair of neighbours. The bits of
//! [`GROUPS`] groups stand together for each sign, and the signs of one block of groups one
//! after another, so that a bound for all groups of a block reads few cache lines.

/// Words of a line: one cache line, and as many as a processor takes at once.
pub(super) const LANES: usize = 8;

/// Groups of a block.
pub(super) const GROUPS: usize = 64 * LANES;

/// One bit for each group of a block.
pub(super) type Lane = [u64; LANES];

#[repr(align(64))]
#[derive(Clone, Copy, Debug)]
struct Line(Lane);

/// The bits of all groups.
#[derive(Debug)]
pub(super) struct Signs {
    signs: usize,
    lines: Vec<Line>,
}

impl Signs {
    /// For so many groups and signs, all clear.
    pub fn new(groups: usize, signs: usize) -> Self {
        Self {
            signs,
            lines: vec![Line([0; LANES]); groups.div_ceil(GROUPS) * signs],
        }
    }

    /// How many blocks there are.
    pub fn blocks(&self) -> usize {
        self.lines.len() / self.signs
    }

    /// Bytes that it takes.
    pub fn bytes(&self) -> usize {
        size_of_val(self.lines.as_slice())
    }

    /// Says that a group has a sign.
    pub fn set(&mut self, group: usize, sign: usize) {
        let line = group / GROUPS * self.signs + sign;
        self.lines[line].0[group / 64 % LANES] |= 1 << (group % 64);
    }

    /// The groups of a block that have any of some signs.
    #[inline]
    pub fn any(&self, block: usize, signs: &[u16]) -> Lane {
        let block = &self.lines[block * self.signs..][..self.signs];
        let mut found = [0; LANES];
        for &sign in signs {
            let line = &block[sign as usize].0;
            for lane in 0..LANES {
                found[lane] |= line[lane];
            }
        }
        found
    }
}

/// Those that are not among these.
#[inline]
pub(super) fn not(lane: Lane) -> Lane {
    lane.map(|word| !word)
}

/// Those that are among both.
#[inline]
pub(super) fn both(mut one: Lane, other: &Lane) -> Lane {
    for lane in 0..LANES {
        one[lane] &= other[lane];
    }
    one
}

/// The places of those that are set, in order.
pub(super) fn each(lane: &Lane, mut found: impl FnMut(usize)) {
    for (word, bits) in lane.iter().enumerate() {
        let mut bits = *bits;
        while bits != 0 {
            found(word * 64 + bits.trailing_zeros() as usize);
            bits &= bits - 1;
        }
    }
}
