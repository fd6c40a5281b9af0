//! What a name can state.

use super::Common;
use super::signs::{self, signs};
use super::values::{Checked, Figures};
use crate::method::{Method, Methods, Parameter, Quantity};
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::figure::Figure;
use crate::scheme::written;
use crate::unit::{Dimension, Scale};
use crate::yaml::{Ordered, Path, Text};

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
    Figures::new(
        written.iter().map(|(name, _)| name.to_string()).collect(),
        checked,
    )
}

/// One figure that is looked at.
struct Looking<'a> {
    name: &'a str,
    figure: &'a written::Figure,
    path: &'a Path,
    common: &'a Common<'a>,
}

/// Wider than any turner works, mm and mm³: common practice, no source.
const LOOSEST_LENGTH: f64 = 1.0;
const LOOSEST_VOLUME: f64 = 1000.0;

fn loose(text: &str, most: &str) -> Finding {
    let message = sentence!("a tolerance of {text}; expected at most {most}", text, most);
    Finding::new("not-plausible", message)
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
        let method = method?;
        let neutral = self.common.tables.methods.neutral(quantity);
        let compared_by = match &neutral {
            Some(neutral) if !method.holds_for_any_form() => neutral.clone(),
            _ => method.clone(),
        };
        let figure = Figure {
            name: self.name.to_owned(),
            method,
            neutral: neutral.filter(|one| *one != compared_by),
            compared_by,
            signs: signs?,
            tolerance,
            unmarked: None,
            means: written.means.as_ref().map(Text::to_string),
            source: self.common.source(&written.source),
        };
        let mut checked = Checked::new(figure, scale, self.common.case_matters);
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
            (Parameter::Diameter, &written.diameter),
            (Parameter::Distance, &written.distance),
            (Parameter::Over, &written.over),
            (Parameter::Receiver, &written.receiver),
            (Parameter::Narrows, &written.narrows),
            (Parameter::Sides, &written.sides),
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
                    sentence!("a tolerance of `{text}`; expected more than zero", text),
                )
            };
            (amount.value > 0.0)
                .then_some(amount.value)
                .ok_or_else(below)
        });
        let amount = amount.and_then(|value| match quantity.dimension() {
            Dimension::Volume if value > LOOSEST_VOLUME => Err(loose(text, "1 ml")),
            Dimension::Length if value > LOOSEST_LENGTH => Err(loose(text, "1 mm")),
            _ => Ok(value),
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
            let plausible = amounts::plausible_sign(checked.figure.method.quantity(), &end);
            let plausible = plausible.map_err(|mut finding| {
                finding.message = sentence!(
                    "`{end}` states {message}",
                    end = end.text.to_string(),
                    message = finding.message.clone()
                );
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

/// The quantity of that name.
pub(super) fn quantity(text: &str) -> Result<Quantity, Finding> {
    let names = Quantity::ALL.map(Quantity::name);
    Quantity::named(text)
        .ok_or_else(|| Finding::unknown("unknown-quantity", sentence!("quantity"), text, names))
}

fn scale(text: &str, quantity: Quantity) -> Result<Scale, Finding> {
    let scale = Scale::parse(text).map_err(|error| Finding::amount(text, &error))?;
    let (found, wanted) = (scale.unit().dimension, quantity.dimension());
    if found == wanted {
        return Ok(scale);
    }
    let message = sentence!(
        "`{text}` is a unit of {found}; a {quantity} is a {wanted}",
        text,
        found = found.name().to_string(),
        quantity = quantity.in_words(),
        wanted = wanted.name().to_string()
    );
    let units = match wanted {
        crate::unit::Dimension::Volume => "`ml` or `0.1 ml`",
        _ => "`mm`, `0.1 mm`, `0.01 mm`, `inch` or `thou`",
    };
    Err(Finding::new("wrong-dimension", message).hint(sentence!("write {units}", units)))
}

fn named_method(methods: &Methods, quantity: Quantity, name: &str) -> Result<Method, Finding> {
    let what = sentence!("method of {quantity}", quantity = quantity.in_words());
    methods
        .named(quantity, name)
        .ok_or_else(|| Finding::unknown("unknown-method", what, name, methods.names(quantity)))
}

fn no_parameter(method: &Method, parameter: Parameter) -> Finding {
    let own: Vec<&str> = method
        .row
        .functional
        .parameters()
        .iter()
        .map(|one| one.name())
        .collect();
    let message = sentence!(
        "the method `{row}` has no `{parameter}`",
        row = method.row.name.to_string(),
        parameter = parameter.name().to_string()
    );
    Finding::new("unknown-parameter", message).hint(match own.as_slice() {
        [] => sentence!("delete it"),
        own => sentence!("it has `{own}`", own = own.join("`, `")),
    })
}

fn missing_parameter(method: &Method, parameter: Parameter) -> Finding {
    let name = parameter.name();
    let message = sentence!(
        "{quantity} by `{row}` needs `{name}`",
        quantity = method.quantity().in_words(),
        row = method.row.name.to_string(),
        name
    );
    let texts = parameter.like().iter();
    let like: Vec<String> = texts.map(|text| format!("`{name}: {text}`")).collect();
    let like = match like.as_slice() {
        [others @ .., last] if !others.is_empty() => {
            sentence!("{others} or {last}", others = others.join(", "), last)
        }
        all => all.join(", ").into(),
    };
    Finding::new("missing-parameter", message).hint(sentence!("add {like}", like = like))
}
