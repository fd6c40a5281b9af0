//! A figure of a scheme: what it states and by which signs.

use std::cmp::Ordering;

use crate::method::Method;
use crate::uncertainty::Distribution;
use crate::unit::{Amount, AmountWithSpread, Scale, Span};

/// One figure that a name can state.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its name in the file and in templates.
    pub name: String,
    /// Where the gauge goes.
    pub method: Method,
    /// By which method it is held against pieces of other forms: its own, or where that says
    /// the same of one form only the neutral one.
    pub compared_by: Method,
    /// The neutral frame's method, where that is another: it serves where the piece at hand is not known by that one.
    pub neutral: Option<Method>,
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

impl Figure {
    /// Whether a sign is a size to be made: one of the figure's own scale, exact but for the
    /// tolerance that is stated.
    pub fn is_nominal(&self, sign: &Sign) -> bool {
        self.tolerance.is_some() && self.signs.have(&sign.text)
    }

    /// Standard uncertainty of what a sign states, base unit: its spread or the digits given, and
    /// the tolerance. Of a sign that states limits it is that of each end: the tolerance alone.
    pub fn standard_uncertainty(&self, sign: &Sign) -> f64 {
        let limits = |half_width: f64| half_width / Distribution::Rectangular.divisor();
        let stated = match sign.amount.spread {
            _ if sign.limits.is_some() => 0.0,
            Some(spread) => spread.standard_uncertainty(),
            None if self.is_nominal(sign) => 0.0,
            None => limits(sign.amount.amount.resolution / 2.0),
        };
        stated.hypot(limits(self.tolerance.unwrap_or_default()))
    }
}

/// A sign and what it states.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// The canonical spelling.
    pub text: String,
    /// Value with the digits given and its spread, base units. Where the sign states limits the value is
    /// only where a search starts.
    pub amount: AmountWithSpread,
    /// The limits, where it states no size but limits.
    pub limits: Option<Span>,
}

impl Sign {
    /// A sign that states a size.
    pub fn size(text: String, amount: AmountWithSpread) -> Self {
        Self {
            text,
            amount,
            limits: None,
        }
    }

    /// All that it may be, base units.
    pub fn span(&self) -> Span {
        self.limits
            .unwrap_or_else(|| Span::at(self.amount.amount.value))
    }

    /// How far the nearest of it is from the nearest of `ours`, and then where the search for each
    /// starts.
    fn away(&self, ours: Span) -> (f64, f64) {
        let start = self.span().start() - ours.start();
        (self.span().beyond(ours).abs(), start.abs())
    }
}

fn by_value(one: &&Sign, other: &&Sign) -> Ordering {
    one.amount
        .amount
        .value
        .total_cmp(&other.amount.amount.value)
}

/// The signs of a figure.
#[derive(Clone, Debug)]
#[expect(
    clippy::large_enum_variant,
    reason = "a scheme has a handful of figures"
)]
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
        let same = |one: &str| {
            if case_matters {
                one == text
            } else {
                one.to_lowercase() == text.to_lowercase()
            }
        };
        match self {
            Self::None => None,
            Self::Listed(list) => list
                .iter()
                .find(|(sign, also)| same(&sign.text) || also.iter().any(|one| same(one)))
                .map(|(sign, _)| sign.clone()),
            Self::Grid(grid) => grid.read(text),
        }
    }

    /// Whether a canonical spelling, or one that is read for it, is among them.
    pub fn have(&self, text: &str) -> bool {
        match self {
            Self::None => false,
            Self::Listed(list) => list
                .iter()
                .any(|(sign, also)| sign.text == text || also.iter().any(|one| one == text)),
            Self::Grid(grid) => grid.on_grid(text).is_some(),
        }
    }

    /// The signs of the lowest and of the highest value.
    pub fn ends(&self) -> Option<(Sign, Sign)> {
        match self {
            Self::None => None,
            Self::Listed(list) => {
                let signs = || list.iter().map(|(sign, _)| sign);
                Some((
                    signs().min_by(by_value)?.clone(),
                    signs().max_by(by_value)?.clone(),
                ))
            }
            Self::Grid(grid) => {
                let (first, last) = grid.ends();
                Some(if by_value(&&first, &&last).is_le() {
                    (first, last)
                } else {
                    (last, first)
                })
            }
        }
    }

    /// The signs nearest to `ours` (base units), nearest first, at most `limit`. Within limits all are
    /// equally near; those about the middle then stand for the rest.
    pub fn near(&self, ours: Span, limit: usize) -> Vec<Sign> {
        let nearer = |a: &Sign, b: &Sign| {
            let (one, other) = (a.away(ours), b.away(ours));
            (one.0.total_cmp(&other.0))
                .then_with(|| one.1.total_cmp(&other.1))
                .then_with(|| a.text.cmp(&b.text))
        };
        match self {
            Self::None => Vec::new(),
            Self::Listed(list) => {
                let mut signs: Vec<&Sign> = list.iter().map(|(sign, _)| sign).collect();
                signs.sort_by(|a, b| nearer(a, b));
                signs.into_iter().take(limit).cloned().collect()
            }
            Self::Grid(grid) => {
                let mut signs = grid.about(ours.start(), limit);
                signs.sort_by(nearer);
                signs.truncate(limit);
                signs
            }
        }
    }

    /// All signs with all their spellings, in order.
    pub fn spellings(&self) -> Box<dyn Iterator<Item = (Sign, Vec<String>)> + '_> {
        match self {
            Self::None => Box::new(std::iter::empty()),
            Self::Listed(list) => Box::new(list.iter().cloned()),
            Self::Grid(grid) => {
                Box::new((0..grid.count()).map(|place| (grid.sign(place), Vec::new())))
            }
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

impl Grid {
    /// How many numbers there are.
    pub fn count(&self) -> usize {
        usize::try_from((self.to - self.from) / self.step).map_or(0, |steps| steps + 1)
    }

    /// The sign of that spelling; every digit counts.
    pub fn read(&self, text: &str) -> Option<Sign> {
        self.on_grid(text).map(|number| self.of(number))
    }

    /// The number of that spelling, in units of its last digit; every digit counts.
    pub fn on_grid(&self, text: &str) -> Option<i64> {
        let number = self.number(text)?;
        let on_grid =
            (self.from..=self.to).contains(&number) && (number - self.from) % self.step == 0;
        on_grid.then_some(number)
    }

    /// The sign at a place, counted from 0; past the end the last.
    pub fn sign(&self, place: usize) -> Sign {
        let place = place.min(self.count().saturating_sub(1));
        self.of(self.from + self.step * i64::try_from(place).unwrap_or(0))
    }

    /// The first and the last sign.
    pub fn ends(&self) -> (Sign, Sign) {
        (self.sign(0), self.sign(usize::MAX))
    }

    /// The signs with the largest value up to `value` and the smallest value from it on,
    /// `value` in base units; the same twice where it is on the grid.
    pub fn nearest(&self, value: f64) -> (Option<Sign>, Option<Sign>) {
        let first = self.sign(0).amount.amount.value;
        let each = self.each();
        let (before, after) = self.beside((value - first) / each);
        if each < 0.0 {
            (after, before)
        } else {
            (before, after)
        }
    }

    /// The `count` signs nearest to a value in base units, and one or two more.
    fn about(&self, value: f64, count: usize) -> Vec<Sign> {
        let place = (value - self.sign(0).amount.amount.value) / self.each();
        let last = self.count().saturating_sub(1);
        let middle = place.round().clamp(0.0, last as f64) as usize;
        let first = middle.saturating_sub(count / 2 + 1);
        let first = first.min((last + 1).saturating_sub(count + 2));
        let signs = first..=last.min(first + count + 1);
        signs.map(|place| self.sign(place)).collect()
    }

    /// The signs on either side of a number, as a person would type it, in the order of the
    /// numbers; none where `text` is no number.
    pub fn around(&self, text: &str) -> Option<(Option<Sign>, Option<Sign>)> {
        let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
        let (whole, decimals) = text.trim().split_once('.').unwrap_or((text.trim(), ""));
        if whole.is_empty() || !digits(whole) || !digits(decimals) {
            return None;
        }
        let number: f64 = format!("{whole}.{decimals}e{}", self.decimals)
            .parse()
            .ok()?;
        Some(self.beside((number - self.from as f64) / self.step as f64))
    }

    /// The signs before and after a place that may lie between two.
    fn beside(&self, place: f64) -> (Option<Sign>, Option<Sign>) {
        let last = self.count().saturating_sub(1) as f64;
        let near = if (place - place.round()).abs() < ON_A_PLACE {
            place.round()
        } else {
            place
        };
        let before = (near >= 0.0).then(|| self.sign(near.floor().min(last) as usize));
        let after = (near <= last).then(|| self.sign(near.ceil().max(0.0) as usize));
        (before, after)
    }

    /// What one step adds, base unit.
    fn each(&self) -> f64 {
        match &self.meaning {
            GridMeaning::Unit(scale) => {
                self.step as f64 * scale.factor() / 10_f64.powi(self.decimals as i32)
            }
            GridMeaning::Steps { each, .. } => each.value * self.step as f64,
        }
    }

    /// The sign of a number on the grid, in units of its last digit.
    pub fn of(&self, number: i64) -> Sign {
        let text = self.text(number);
        let amount = match &self.meaning {
            GridMeaning::Unit(scale) => scale
                .amount(&text)
                .expect("check lets through what the scale can read"),
            GridMeaning::Steps { first, each } => Amount {
                given: text.clone(),
                value: first.value + (number - self.from) as f64 * each.value,
                resolution: first.resolution.max(each.resolution),
                ..first.clone()
            },
        };
        let spread = None;
        Sign::size(text, AmountWithSpread { amount, spread })
    }

    /// A number as it is stamped.
    pub(super) fn text(&self, number: i64) -> String {
        let one = 10_i64.pow(self.decimals as u32);
        let (whole, part) = (number / one, number % one);
        match self.decimals {
            0 => format!("{whole:0width$}", width = self.width),
            decimals => format!("{whole:0width$}.{part:0decimals$}", width = self.width),
        }
    }

    /// The number that is stamped so, in units of the last digit.
    fn number(&self, text: &str) -> Option<i64> {
        let (whole, part) = match self.decimals {
            0 => (text, ""),
            _ => text.split_once('.')?,
        };
        let digits = || whole.bytes().chain(part.bytes());
        let needless_nought = whole.len() > self.width.max(1) && whole.starts_with('0');
        let stamped = part.len() == self.decimals
            && whole.len() >= self.width.max(1)
            && !needless_nought
            && whole.len() + part.len() <= MOST_DIGITS
            && digits().all(|digit| digit.is_ascii_digit());
        stamped.then(|| digits().fold(0, |number, digit| number * 10 + i64::from(digit - b'0')))
    }
}

/// So many digits always fit into 64 bits.
const MOST_DIGITS: usize = 18;

/// Nearer than this share of a step a value is on the grid: floats are not exact.
const ON_A_PLACE: f64 = 1e-6;
