//! What a name can state.

use std::collections::HashMap;

use super::Common;
use super::names::folded;
use super::signs::{self, signs};
use crate::method::{Method, Methods, Parameter, Quantity};
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::figure::{Figure, Grid, Sign, Signs};
use crate::scheme::written;
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
    /// Place of the figure of that name.
    pub fn place(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|one| one == name)
    }

    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.names.iter().map(String::as_str)
    }

    /// Place of the figure of that name, or what is wrong with the name.
    pub fn named(&self, name: &str) -> Result<usize, Finding> {
        self.place(name)
            .ok_or_else(|| Finding::unknown("unknown-figure", "figure", name, self.names()))
    }

    /// The figure at a place; none where it has faults.
    pub fn get(&self, place: usize) -> Option<&Checked> {
        self.checked.get(place)?.as_ref()
    }

    /// All figures by place.
    pub fn all(&self) -> impl Iterator<Item = Option<&Checked>> {
        self.checked.iter().map(Option::as_ref)
    }

    /// What a text says of the figure at a place; nothing where the figure has faults.
    pub fn read(&mut self, place: usize, text: &str) -> Option<Result<Sign, Finding>> {
        Some(self.checked.get_mut(place)?.as_mut()?.read(text))
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
        let amount = match (&self.figure.signs, AmountWithSpread::parse(text)) {
            (Signs::None, _) | (_, Ok(_)) => amounts::in_scale(text, scale, quantity.dimension())?,
            (signs, Err(_)) => return Err(not_a_sign(signs, text)),
        };
        amounts::plausible(quantity, amount.amount.value)?;
        Ok(Sign {
            text: text.to_owned(),
            amount,
        })
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
                "sign of this figure",
                text,
                all.iter().copied(),
            );
            match all.len() > MOST_NAMED {
                true => finding.hint(format!(
                    "they run from `{}` to `{}`",
                    all[0],
                    all[all.len() - 1]
                )),
                false => finding,
            }
        }
        Signs::None => Finding::new("not-a-sign", format!("`{text}` cannot be read")),
    }
}

/// More signs than this are not told one by one.
const MOST_NAMED: usize = 30;

fn not_on_grid(grid: &Grid, text: &str) -> Finding {
    let (first, last) = grid.ends();
    let range = || format!("they run from {} to {}", first.text, last.text);
    let message = match grid.around(text) {
        Some((Some(below), Some(above))) if below == above => {
            return Finding::new("not-a-sign", format!("{text} is not how it is stamped"))
                .hint(format!("write `{}`", below.text));
        }
        Some((Some(below), Some(above))) => {
            format!(
                "{text} is not made; the nearest are {} and {}",
                below.text, above.text
            )
        }
        Some((Some(one), None) | (None, Some(one))) => {
            format!("{text} is not made; the nearest is {}", one.text)
        }
        _ => format!("`{text}` is no sign of this figure; {}", range()),
    };
    Finding::new("not-a-sign", message).hint("write one that is made, or an amount with its unit")
}

/// All figures.
pub(super) fn figures(
    written: &Ordered<written::Figure>,
    common: &Common<'_>,
    faults: &mut Faults<'_>,
) -> Figures {
    let above = Path::root().key("figures");
    let checked = written.iter().map(|(name, figure)| {
        let path = above.key(name);
        let looking = Looking {
            name,
            figure,
            path: &path,
            common,
        };
        looking.checked(faults)
    });
    let checked = checked.collect();
    Figures {
        names: written.iter().map(|(name, _)| name.to_string()).collect(),
        checked,
    }
}

/// One figure that is looked at.
struct Looking<'a> {
    name: &'a str,
    figure: &'a written::Figure,
    path: &'a Path,
    common: &'a Common<'a>,
}

impl Looking<'_> {
    fn checked(&self, faults: &mut Faults<'_>) -> Option<Checked> {
        let written = self.figure;
        let quantity = quantity(&written.quantity);
        let quantity = faults.keep(&self.path.key("quantity"), quantity)?;
        let method = self.method(quantity, faults);
        let scale = written.unit.as_ref().map(|text| scale(text, quantity));
        let scale = scale.and_then(|scale| faults.keep(&self.path.key("unit"), scale));
        let context = signs::Context {
            path: self.path,
            quantity,
            scale: scale.as_ref(),
            unit_given: written.unit.is_some(),
            case_matters: self.common.case_matters,
            tables: self.common.tables,
        };
        let signs = signs(written, &context, faults);
        let tolerance = self.tolerance(quantity, faults);
        let figure = Figure {
            name: self.name.to_owned(),
            method: method?,
            signs: signs?,
            tolerance,
            unmarked: None,
            means: written.means.as_ref().map(Text::to_string),
            source: self.common.source(&written.source),
        };
        let mut checked = Checked {
            places: places(&figure.signs, self.common.case_matters),
            figure,
            scale,
            read: HashMap::new(),
            case_matters: self.common.case_matters,
        };
        self.plausible(&checked, faults);
        self.unmarked(&mut checked, faults);
        Some(checked)
    }

    fn method(&self, quantity: Quantity, faults: &mut Faults<'_>) -> Option<Method> {
        let written = self.figure;
        let method = named_method(&self.common.tables.methods, quantity, &written.method);
        let mut method = faults.keep(&self.path.key("method"), method)?;
        let parameters = [
            (Parameter::Angle, &written.angle),
            (Parameter::At, &written.at),
            (Parameter::From, &written.from),
            (Parameter::Across, &written.across),
        ];
        let mut good = true;
        for (parameter, text) in parameters {
            let Some(text) = text else { continue };
            let path = self.path.key(parameter.name());
            if method.row.functional.parameters().contains(&parameter) {
                let set = method.parameters.set(parameter, text);
                good &= faults
                    .keep(
                        &path,
                        set.map_err(|fault| Finding::new("bad-parameter", fault)),
                    )
                    .is_some();
            } else {
                good = false;
                faults.error_on(&Spot::Key(path), no_parameter(&method, parameter));
            }
        }
        match method.missing().filter(|_| good) {
            Some(parameter) => {
                faults.error_on(
                    &Spot::Value(self.path.key("method")),
                    missing_parameter(&method, parameter),
                );
                None
            }
            None => good.then_some(method),
        }
    }

    fn tolerance(&self, quantity: Quantity, faults: &mut Faults<'_>) -> Option<f64> {
        let text = self
            .figure
            .tolerance
            .as_ref()?
            .trim()
            .trim_start_matches('±');
        let amount = amounts::plain(text, quantity.dimension()).and_then(|amount| {
            let below = || {
                Finding::new(
                    "bad-amount",
                    format!("a tolerance of `{text}`; expected more than zero"),
                )
            };
            (amount.value > 0.0)
                .then_some(amount.value)
                .ok_or_else(below)
        });
        faults.keep(&self.path.key("tolerance"), amount)
    }

    /// The signs with the smallest and the largest value stand for all between.
    fn plausible(&self, checked: &Checked, faults: &mut Faults<'_>) {
        let written = self.figure;
        let kinds = [
            ("grid", written.grid.is_some()),
            ("fractions", written.fractions.is_some()),
            ("gauge", written.gauge.is_some()),
            ("steps", written.steps.is_some()),
            ("values", written.values.is_some()),
        ];
        let key = kinds
            .into_iter()
            .find(|(_, given)| *given)
            .map_or("unit", |(key, _)| key);
        let Some((low, high)) = checked.ends() else {
            return;
        };
        let ends = if low == high {
            vec![low]
        } else {
            vec![low, high]
        };
        for end in ends {
            let plausible =
                amounts::plausible(checked.figure.method.quantity(), end.amount.amount.value);
            let plausible = plausible.map_err(|mut finding| {
                finding.message = format!("`{}` states {}", end.text, finding.message);
                finding
            });
            let path = match key {
                "values" => self.path.key(key).key(&end.text),
                _ => self.path.key(key),
            };
            faults.keep(&path, plausible);
        }
    }

    fn unmarked(&self, checked: &mut Checked, faults: &mut Faults<'_>) {
        if let Some(text) = &self.figure.unmarked {
            let sign = checked.read(text);
            checked.figure.unmarked = faults.keep(&self.path.key("unmarked"), sign);
        }
    }
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

/// The quantity of that name.
pub(super) fn quantity(text: &str) -> Result<Quantity, Finding> {
    let names = Quantity::ALL.map(Quantity::name);
    Quantity::named(text)
        .ok_or_else(|| Finding::unknown("unknown-quantity", "quantity", text, names))
}

fn scale(text: &str, quantity: Quantity) -> Result<Scale, Finding> {
    let scale = Scale::parse(text).map_err(|error| Finding::amount(text, &error))?;
    let (found, wanted) = (scale.unit().dimension, quantity.dimension());
    if found == wanted {
        return Ok(scale);
    }
    let message = format!(
        "`{text}` is a unit of {}; a {quantity} is a {}",
        found.name(),
        wanted.name()
    );
    let units = match wanted {
        crate::unit::Dimension::Volume => "`ml` or `0.1 ml`",
        _ => "`mm`, `0.1 mm`, `0.01 mm`, `inch` or `thou`",
    };
    Err(Finding::new("wrong-dimension", message).hint(format!("write {units}")))
}

fn named_method(methods: &Methods, quantity: Quantity, name: &str) -> Result<Method, Finding> {
    let what = format!("method of {quantity}");
    methods
        .named(quantity, name)
        .ok_or_else(|| Finding::unknown("unknown-method", &what, name, methods.names(quantity)))
}

fn no_parameter(method: &Method, parameter: Parameter) -> Finding {
    let own: Vec<&str> = method
        .row
        .functional
        .parameters()
        .iter()
        .map(|one| one.name())
        .collect();
    let message = format!(
        "the method `{}` has no `{}`",
        method.row.name,
        parameter.name()
    );
    Finding::new("unknown-parameter", message).hint(match own.as_slice() {
        [] => "delete it".to_owned(),
        own => format!("it has `{}`", own.join("`, `")),
    })
}

fn missing_parameter(method: &Method, parameter: Parameter) -> Finding {
    let name = parameter.name();
    let message = format!(
        "{} by `{}` needs `{name}`",
        method.quantity(),
        method.row.name
    );
    let like = match parameter {
        Parameter::Angle => "`angle: 45 deg`",
        Parameter::At => "`at: 1.0 mm`",
        Parameter::From => "`from: crest` or `from: seam`",
        Parameter::Across => "`across: crest`, `across: inner edge` or `across: seam`",
    };
    Finding::new("missing-parameter", message).hint(format!("add {like}"))
}
