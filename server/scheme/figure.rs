//! A figure of a scheme: what it states and by which signs.

use crate::method::Method;
use crate::unit::{Amount, AmountWithSpread, Scale};

/// One figure that a name can state.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its name in the file and in templates.
    pub name: String,
    /// Where the gauge goes.
    pub method: Method,
    /// The signs by which it is stamped.
    pub signs: Signs,
    /// How far the metal may be off the name, half-width, base unit; none where nothing is said.
    pub tolerance: Option<f64>,
    /// What stands where nothing is marked and no series or entry says.
    pub unmarked: Option<Sign>,
    /// A sentence.
    pub means: Option<String>,
    /// Where its statements come from.
    pub source: String,
}

/// A sign and what it states.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// The canonical spelling.
    pub text: String,
    /// Value with the digits given and its spread, base units.
    pub amount: AmountWithSpread,
}

/// The signs of a figure.
#[derive(Clone, Debug)]
pub enum Signs {
    /// Given in entries and series only; never in a template.
    None,
    /// A list: words, letters, gauges, fractions. Each with the other spellings that are read.
    Listed(Vec<(Sign, Vec<String>)>),
    /// Numbers on a grid, computed and not listed.
    Grid(Grid),
}

impl Signs {
    /// How many there are.
    pub fn count(&self) -> usize {
        match self {
            Self::None => 0,
            Self::Listed(list) => list.len(),
            Self::Grid(grid) => grid.count(),
        }
    }

    /// The sign of that spelling; case is folded unless it matters.
    pub fn read(&self, text: &str, case_matters: bool) -> Option<Sign> {
        let same = |one: &str| if case_matters { one == text } else { one.to_lowercase() == text.to_lowercase() };
        match self {
            Self::None => None,
            Self::Listed(list) => list
                .iter()
                .find(|(sign, also)| same(&sign.text) || also.iter().any(|one| same(one)))
                .map(|(sign, _)| sign.clone()),
            Self::Grid(grid) => grid.read(text),
        }
    }

    /// All signs with all their spellings, in order.
    pub fn spellings(&self) -> Box<dyn Iterator<Item = (Sign, Vec<String>)> + '_> {
        match self {
            Self::None => Box::new(std::iter::empty()),
            Self::Listed(list) => Box::new(list.iter().cloned()),
            Self::Grid(grid) => Box::new((0..grid.count()).map(|place| (grid.sign(place), Vec::new()))),
        }
    }
}

/// Numbers from `from` to `to` by `step`, as stamped; the value is `first` + (n − from) × `each`,
/// n and step counted in units of the last digit stamped.
#[derive(Clone, Debug)]
pub struct Grid {
    /// The first number, in units of its last digit.
    pub from: i64,
    /// The last.
    pub to: i64,
    /// Between two.
    pub step: i64,
    /// Digits after the decimal point, as stamped.
    pub decimals: usize,
    /// Digits before it at the least (`007`).
    pub width: usize,
    /// What the numbers are: a scaled unit, or steps of an own formula.
    pub meaning: GridMeaning,
}

/// What a grid's numbers state.
#[derive(Clone, Debug)]
pub enum GridMeaning {
    /// The number times a unit.
    Unit(Scale),
    /// A running number: the first stands for `first`, each further one adds `each` (base unit).
    Steps {
        /// What the first number stands for.
        first: Amount,
        /// What each further number adds.
        each: Amount,
    },
}
