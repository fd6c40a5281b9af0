//! What was probably meant where a stamp names a figure that does not exist.
//!
//! A stamp that no template reads may be one sign off: a number between two points of a grid
//! or beyond its ends, a drill that the maker does not use, a misspelled word. Each such
//! sign is named with what is made beside it. Two wrong signs at once are not looked for.

use std::collections::HashSet;
use std::sync::Arc;

use super::decode::{Decoder, bindings, possible, years};
use super::encode::encode;
use super::grammar::{Grammar, Program};
use super::typed::{LONGEST, Typed};
use super::walk::{Walk, Way, What};
use crate::diagnostic::nearest;
use crate::scheme::{Binding, Figure, Grid, Scheme, Sign, Signs};
use crate::unit::{Amount, Unit};

/// A figure that does not exist, in a stamp that is right otherwise.
#[derive(Clone, Debug)]
pub struct NearMiss {
    /// The scheme that nearly reads the stamp.
    pub scheme: Arc<Scheme>,
    /// Place of the figure.
    pub figure: usize,
    /// The sign found.
    pub found: String,
    /// The next smaller sign that is made.
    pub below: Option<String>,
    /// The next larger one.
    pub above: Option<String>,
    /// Stands alone: "1641 is not made; the nearest are 1636 and 1648".
    pub message: String,
    /// The canonical stamps with what is made in its place.
    pub suggestions: Vec<String>,
}

/// Two fractions of a unit that differ by less are one: only their floats differ.
const SAME: f64 = 1e-9;

/// More than these help nobody.
const MOST_MISSES: usize = 20;

/// What `text` may have meant, for when it does not decode; schemes in order, those first
/// that leave the fewest glyphs unexplained. For more than one text, make a [`Decoder`] once.
pub fn near_miss(schemes: &[Arc<Scheme>], text: &str) -> Vec<NearMiss> {
    Decoder::new(schemes).near_miss(text)
}

impl Decoder {
    /// As [`near_miss`].
    pub fn near_miss(&self, text: &str) -> Vec<NearMiss> {
        if text.chars().count() > LONGEST {
            return Vec::new();
        }
        let typed = Typed::of(text);
        let mut misses = Vec::new();
        for grammar in self.grammars() {
            for program in &grammar.programs {
                let (ways, _) = Walk::all(grammar, program, &typed, true);
                misses.extend(
                    ways.iter()
                        .filter_map(|way| miss(grammar, program, &typed, way)),
                );
            }
        }
        misses.sort_by_key(|miss| miss.found.chars().count());
        let mut known = HashSet::new();
        misses.retain(|miss| {
            known.insert((Arc::as_ptr(&miss.scheme), miss.figure, miss.found.clone()))
        });
        misses.truncate(MOST_MISSES);
        misses
    }
}

fn miss(grammar: &Grammar, program: &Program, typed: &Typed, way: &Way<'_>) -> Option<NearMiss> {
    let (figure, found) = way.reads.iter().find_map(|read| match read.what {
        What::Unknown(figure) => Some((figure, typed.part(read.start, read.end).text())),
        _ => None,
    })?;
    let scheme = &grammar.scheme;
    let bindings = bindings(way);
    if !possible(years(scheme, program.stamp, &bindings)) {
        return None;
    }
    let beside = Beside::of(&scheme.figures[figure], &found, !bindings.is_empty())?;
    let suggestions = beside.signs.iter().filter_map(|sign| {
        let with = [
            bindings.as_slice(),
            &[Binding::Figure(figure, sign.clone())],
        ]
        .concat();
        encode(scheme, program.stamp, &with)
    });
    let suggestions = suggestions.collect();
    let Beside {
        below,
        above,
        message,
        ..
    } = beside;
    Some(NearMiss {
        scheme: scheme.clone(),
        figure,
        found,
        below,
        above,
        message,
        suggestions,
    })
}

/// What is made beside a sign that is not.
struct Beside {
    below: Option<String>,
    above: Option<String>,
    signs: Vec<Sign>,
    message: String,
}

impl Beside {
    /// None where the sign exists, or where nothing tells that it is a sign of this figure at all.
    fn of(figure: &Figure, found: &str, rest_is_read: bool) -> Option<Self> {
        match &figure.signs {
            Signs::None => None,
            Signs::Grid(grid) => Self::on_grid(grid, found),
            Signs::Listed(list) => {
                if figure.signs.read(found, false).is_some() {
                    return None;
                }
                Self::by_value(list, found)
                    .or_else(|| Self::by_number(figure, list, found))
                    .or_else(|| Self::by_word(figure, list, found, rest_is_read))
            }
        }
    }

    fn on_grid(grid: &Grid, found: &str) -> Option<Self> {
        if decimals(found) != grid.decimals || grid.read(found).is_some() {
            return None;
        }
        let (below, above) = grid.around(found)?;
        let message = match (&below, &above) {
            (Some(below), Some(above)) if below == above => {
                say!("{found} is stamped {sign}", found, sign = below.text)
            }
            (Some(below), Some(above)) => {
                say!(
                    "{found} is not made; the nearest are {below} and {above}",
                    found,
                    below = below.text,
                    above = above.text
                )
            }
            (Some(end), None) => say!(
                "{found} is beyond the scale, which ends at {end}",
                found,
                end = end.text
            ),
            (None, Some(start)) => say!(
                "{found} is beyond the scale, which begins at {start}",
                found,
                start = start.text
            ),
            (None, None) => return None,
        };
        Some(Self::new(below, above, message))
    }

    /// The same fraction, written otherwise.
    fn by_value(list: &[(Sign, Vec<String>)], found: &str) -> Option<Self> {
        let value = |text: &str| {
            let amount = Amount::parse_in(text, Unit::ONE);
            amount.ok().map(|amount| amount.value)
        };
        let wanted = value(found).filter(|_| found.contains('/'))?;
        let same = |sign: &&Sign| value(&sign.text).is_some_and(|one| (one - wanted).abs() < SAME);
        let sign = list.iter().map(|(sign, _)| sign).find(same)?.clone();
        let message = say!("{found} is stamped {sign}", found, sign = sign.text);
        Some(Self::new(Some(sign.clone()), Some(sign), message))
    }

    fn by_number(figure: &Figure, list: &[(Sign, Vec<String>)], found: &str) -> Option<Self> {
        let number: u32 = found.parse().ok()?;
        let numbered = |sign: &Sign| sign.text.parse::<u32>().ok();
        let of = |wanted: &dyn Fn(u32) -> bool| {
            let fitting = list
                .iter()
                .filter_map(|(sign, _)| Some((numbered(sign).filter(|&one| wanted(one))?, sign)));
            fitting
                .min_by_key(|(one, _)| one.abs_diff(number))
                .map(|(_, sign)| sign.clone())
        };
        let (below, above) = (of(&|one| one < number), of(&|one| one > number));
        if below.is_none() && above.is_none() {
            return None;
        }
        Some(Self::new(below, above, not_among(figure, list, found)))
    }

    fn by_word(
        figure: &Figure,
        list: &[(Sign, Vec<String>)],
        found: &str,
        rest_is_read: bool,
    ) -> Option<Self> {
        let near = nearest(found, list.iter().map(|(sign, _)| sign.text.as_str()));
        if near.is_none() && !rest_is_read {
            return None;
        }
        let sign = list
            .iter()
            .map(|(sign, _)| sign)
            .find(|sign| Some(sign.text.as_str()) == near);
        let message = not_among(figure, list, found);
        Some(Self {
            below: None,
            above: None,
            signs: sign.cloned().into_iter().collect(),
            message,
        })
    }

    fn new(below: Option<Sign>, above: Option<Sign>, message: String) -> Self {
        let text = |sign: &Option<Sign>| sign.as_ref().map(|sign| sign.text.clone());
        let (below_text, above_text) = (text(&below), text(&above));
        let mut signs: Vec<Sign> = below.into_iter().chain(above).collect();
        signs.dedup();
        Self {
            below: below_text,
            above: above_text,
            signs,
            message,
        }
    }
}

fn decimals(number: &str) -> usize {
    number
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len())
}

/// "no throat 31 among 22 to 30"; words are listed where they are few.
fn not_among(figure: &Figure, list: &[(Sign, Vec<String>)], found: &str) -> String {
    const FEW: usize = 6;
    let texts: Vec<&str> = list.iter().map(|(sign, _)| sign.text.as_str()).collect();
    let among = match texts.as_slice() {
        [from, .., until] if texts.len() > FEW => say!("{from} to {until}", from, until),
        few => few.join(", "),
    };
    say!(
        "no {figure} {found} among {among}",
        figure = figure.name,
        found,
        among
    )
}
