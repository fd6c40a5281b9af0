//! What others say of a figure: a cell of the catalogue, `implies`, `unmarked`, `set`.

use std::collections::HashMap;

use super::names::folded;
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::figure::{Figure, Grid, Sign, Signs};
use crate::unit::{AmountWithSpread, Scale};
use crate::yaml::{Ordered, Path, Text};

/// A checked figure, with what is needed to read what others say of it.
pub(super) struct Checked {
    pub figure: Figure,
    scale: Option<Scale>,
    /// Places of listed signs by their spellings.
    places: HashMap<String, usize>,
    /// What was read before: a catalogue says the same over and over.
    read: HashMap<String, Sign>,
    case_matters: bool,
}

/// All figures by place, those with faults as none.
pub(super) struct Figures {
    names: Vec<String>,
    checked: Vec<Option<Checked>>,
}

impl Figures {
    /// Of these names, each checked or none where it has faults.
    pub fn new(names: Vec<String>, checked: Vec<Option<Checked>>) -> Self {
        Self { names, checked }
    }

    /// Place of the figure of that name.
    pub fn place(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|one| one == name)
    }

    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.names.iter().map(String::as_str)
    }

    /// Place of the figure of that name, or what is wrong with the name.
    pub fn named(&self, name: &str) -> Result<usize, Finding> {
        self.place(name).ok_or_else(|| {
            Finding::unknown("unknown-figure", sentence!("figure"), name, self.names())
        })
    }

    /// The figure at a place; none where it has faults.
    pub fn get(&self, place: usize) -> Option<&Checked> {
        self.checked.get(place)?.as_ref()
    }

    /// Whether nothing can be stamped for the figure at a place.
    pub fn without_signs(&self, place: usize) -> bool {
        self.get(place)
            .is_some_and(|checked| matches!(checked.figure.signs, Signs::None))
    }

    /// All figures by place.
    pub fn all(&self) -> impl Iterator<Item = Option<&Checked>> {
        self.checked.iter().map(Option::as_ref)
    }

    /// What a text says of the figure at a place; nothing where the figure has faults.
    pub fn read(&mut self, place: usize, text: &str) -> Option<Result<Sign, Finding>> {
        Some(self.checked.get_mut(place)?.as_mut()?.read(text))
    }

    /// The canonical text of a sign that is stamped for the figure at a place; none where the figure has faults.
    pub fn sign(&self, place: usize, text: &str) -> Option<Result<String, Finding>> {
        let checked = self.get(place)?;
        let sign = checked.sign(text.trim()).map(|sign| sign.text);
        Some(sign.ok_or_else(|| match &checked.figure.signs {
            Signs::None => {
                Finding::new("no-signs", sentence!("nothing is stamped for this figure"))
            }
            signs => not_a_sign(signs, text),
        }))
    }

    /// Figures and what is said of each: `{throat: "27"}`.
    pub fn stated(
        &mut self,
        written: &Ordered<Text>,
        path: &Path,
        faults: &mut Faults<'_>,
    ) -> Vec<(usize, Sign)> {
        let mut stated = Vec::new();
        for (name, text) in written.iter() {
            let path = path.key(name);
            let place = self
                .named(name)
                .map_err(|finding| faults.error_on(&Spot::Key(path.clone()), finding));
            let sign = place
                .ok()
                .and_then(|place| Some((place, self.read(place, text)?)));
            stated.extend(sign.and_then(|(place, sign)| Some((place, faults.keep(&path, sign)?))));
        }
        stated
    }

    /// The figures that the program trusts, if none had a fault.
    pub fn into_trusted(self) -> Vec<Figure> {
        self.checked
            .into_iter()
            .flatten()
            .map(|checked| checked.figure)
            .collect()
    }
}

impl Checked {
    /// A figure whose numbers without unit are in `scale`.
    pub fn new(figure: Figure, scale: Option<Scale>, case_matters: bool) -> Self {
        let places = places(&figure.signs, case_matters);
        Self {
            figure,
            scale,
            places,
            read: HashMap::new(),
            case_matters,
        }
    }

    /// A sign of the figure, or an amount: with its unit, or (where there are no signs) in
    /// the figure's.
    pub fn read(&mut self, text: &str) -> Result<Sign, Finding> {
        let text = text.trim();
        if let Some(known) = self.read.get(text) {
            return Ok(known.clone());
        }
        let sign = self.sign(text).map_or_else(|| self.amount(text), Ok)?;
        self.read.insert(text.to_owned(), sign.clone());
        Ok(sign)
    }

    fn sign(&self, text: &str) -> Option<Sign> {
        match &self.figure.signs {
            Signs::None => None,
            Signs::Grid(grid) => grid.read(text),
            Signs::Listed(list) => {
                let place = self.places.get(&folded(text, self.case_matters))?;
                list.get(*place).map(|(sign, _)| sign.clone())
            }
        }
    }

    fn amount(&self, text: &str) -> Result<Sign, Finding> {
        let quantity = self.figure.method.quantity();
        let scale = self
            .scale
            .as_ref()
            .filter(|_| matches!(self.figure.signs, Signs::None));
        let signs = &self.figure.signs;
        let readable = || AmountWithSpread::parse(text).is_ok() || amounts::is_one_sided(text);
        if !matches!(signs, Signs::None) && !readable() {
            return Err(not_a_sign(signs, text));
        }
        let sign = amounts::sign(text, text, scale, quantity.dimension())?;
        amounts::plausible_sign(quantity, &sign)?;
        Ok(sign)
    }

    /// The signs with the smallest and the largest value; none where there are no signs.
    pub fn ends(&self) -> Option<(Sign, Sign)> {
        let value = |sign: &Sign| sign.amount.amount.value;
        match &self.figure.signs {
            Signs::None => None,
            Signs::Grid(grid) => Some(grid.ends()),
            Signs::Listed(list) => {
                let by_value = |one: &&Sign, other: &&Sign| value(one).total_cmp(&value(other));
                let signs = || list.iter().map(|(sign, _)| sign);
                Some((
                    signs().min_by(by_value)?.clone(),
                    signs().max_by(by_value)?.clone(),
                ))
            }
        }
    }
}

fn not_a_sign(signs: &Signs, text: &str) -> Finding {
    match signs {
        Signs::Grid(grid) => not_on_grid(grid, text),
        Signs::Listed(list) => {
            let all: Vec<&str> = list.iter().map(|(sign, _)| sign.text.as_str()).collect();
            let finding = Finding::unknown(
                "not-a-sign",
                sentence!("sign of this figure"),
                text,
                all.iter().copied(),
            );
            match all.len() > MOST_NAMED {
                true => finding.hint(sentence!(
                    "they run from `{all}` to `{other_all}`",
                    all = all[0].to_string(),
                    other_all = all[all.len() - 1].to_string()
                )),
                false => finding,
            }
        }
        Signs::None => Finding::new("not-a-sign", sentence!("`{text}` cannot be read", text)),
    }
}

/// More signs than this are not told one by one.
const MOST_NAMED: usize = 30;

fn not_on_grid(grid: &Grid, text: &str) -> Finding {
    let (first, last) = grid.ends();
    let range = || {
        sentence!(
            "they run from {first} to {last}",
            first = first.text.to_string(),
            last = last.text.to_string()
        )
    };
    let message = match grid.around(text) {
        Some((Some(below), Some(above))) if below == above => {
            return Finding::new(
                "not-a-sign",
                sentence!("{text} is not how it is stamped", text),
            )
            .hint(sentence!("write `{below}`", below = below.text.to_string()));
        }
        Some((Some(below), Some(above))) => {
            sentence!(
                "{text} is not made; the nearest are {below} and {above}",
                text,
                below = below.text.to_string(),
                above = above.text.to_string()
            )
        }
        Some((Some(one), None) | (None, Some(one))) => {
            sentence!(
                "{text} is not made; the nearest is {one}",
                text,
                one = one.text.to_string()
            )
        }
        _ => sentence!(
            "`{text}` is no sign of this figure; {range}",
            text,
            range = range().to_string()
        ),
    };
    Finding::new("not-a-sign", message).hint(sentence!(
        "write one that is made, or an amount with its unit"
    ))
}

fn places(signs: &Signs, case_matters: bool) -> HashMap<String, usize> {
    let Signs::Listed(list) = signs else {
        return HashMap::new();
    };
    let spelled = list.iter().enumerate().flat_map(|(place, (sign, also))| {
        std::iter::once(&sign.text)
            .chain(also)
            .map(move |text| (text, place))
    });
    spelled
        .map(|(text, place)| (folded(text, case_matters), place))
        .collect()
}
