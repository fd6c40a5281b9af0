//! States and the branches between them, ends first.
//!
//! What is laid once, for all searches, is at the bottom; names laid for one search stand
//! above it and lead down into it.

/// One glyph further, or all of a lexicon.
#[derive(Clone, Copy, Debug)]
pub(super) struct Branch {
    /// Place of the symbol; from [`FIRST_LEXICON`] on, a lexicon.
    pub symbol: u32,
    /// The state it leads to.
    pub target: u32,
    /// Place of what is said once this glyph is struck, or [`NOTHING`].
    pub says: u32,
    /// Negative logarithm of the prior.
    pub prior: f64,
}

/// A branch that says nothing yet; a state without a rest.
pub(super) const NOTHING: u32 = u32::MAX;

/// Branches by symbols from here on go by a name of a lexicon.
const FIRST_LEXICON: u32 = 1 << 31;

impl Branch {
    /// A branch by a glyph.
    pub fn new(symbol: u32, target: u32, says: u32, prior: f64) -> Self {
        Self {
            symbol,
            target,
            says,
            prior,
        }
    }

    /// A branch by any name of a lexicon.
    pub fn by_lexicon(lexicon: u32, target: u32) -> Self {
        Self::new(FIRST_LEXICON + lexicon, target, NOTHING, 0.0)
    }

    /// The lexicon by which it goes, if it does.
    pub fn lexicon(&self) -> Option<usize> {
        self.symbol
            .checked_sub(FIRST_LEXICON)
            .map(|lexicon| lexicon as usize)
    }
}

/// Some states.
#[derive(Debug)]
pub(super) struct States {
    /// For each state, where its branches begin; one more at the end.
    first_branch: Vec<u32>,
    branches: Vec<Branch>,
    /// For each state, the cost of a stamp that ends there; infinite where none does.
    accept: Vec<f64>,
    /// For each state, the place of what follows it, or [`NOTHING`] before a lexicon.
    rest: Vec<u32>,
}

impl Default for States {
    fn default() -> Self {
        Self {
            first_branch: vec![0],
            branches: Vec::new(),
            accept: Vec::new(),
            rest: Vec::new(),
        }
    }
}

impl States {
    /// How many there are.
    pub fn count(&self) -> usize {
        self.accept.len()
    }

    /// The branches of a state.
    pub fn branches(&self, state: u32) -> &[Branch] {
        let state = state as usize;
        &self.branches[self.first_branch[state] as usize..self.first_branch[state + 1] as usize]
    }

    /// The cost of a stamp that ends at a state.
    pub fn accept(&self, state: u32) -> f64 {
        self.accept[state as usize]
    }

    /// What follows a state.
    pub fn rest(&self, state: u32) -> u32 {
        self.rest[state as usize]
    }

    /// Adds a state; answers its place.
    pub fn add(
        &mut self,
        branches: impl IntoIterator<Item = Branch>,
        accept: f64,
        rest: u32,
    ) -> u32 {
        self.branches.extend(branches);
        self.first_branch.push(as_place(self.branches.len()));
        self.accept.push(accept);
        self.rest.push(rest);
        as_place(self.accept.len() - 1)
    }
}

/// A place in one of the lists.
pub(super) fn as_place(place: usize) -> u32 {
    u32::try_from(place)
        .expect("schemes of a megabyte each do not reach four thousand million branches")
}
