//! Signs that alter a piece or say what it is made of.

use super::Common;
use super::names::Spellings;
use super::values::Figures;
use crate::profile::ContourFigure;
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::figure::Sign;
use crate::scheme::meant::{Code, Effect, Mark, Target};
use crate::scheme::written;
use crate::unit::{AmountWithSpread, Dimension};
use crate::yaml::{Ordered, Path, Text};

/// All marks, by place.
pub(super) fn marks(
    written: &Ordered<written::Mark>,
    figures: &mut Figures,
    common: &Common<'_>,
    faults: &mut Faults<'_>,
) -> Vec<Mark> {
    let above = Path::root().key("marks");
    let mut all = Vec::with_capacity(written.len());
    for (name, mark) in written.iter() {
        let path = above.key(name).key("codes");
        let mut spellings = Spellings::new(common.case_matters);
        let mut codes = Vec::with_capacity(mark.codes.len());
        for (sign, code) in mark.codes.iter() {
            let path = path.key(sign);
            spelled(sign, code, &path, &mut spellings, faults);
            codes.push(Code {
                code: sign.to_string(),
                also: code.also_spelled.iter().map(Text::to_string).collect(),
                means: code.means.to_string(),
                effects: effects(code, &path, figures, faults),
                source: common.source(&code.source),
            });
        }
        all.push(Mark {
            name: name.to_string(),
            title: mark.title.as_ref().unwrap_or(name).to_string(),
            unmarked: mark.unmarked.as_ref().map(Text::to_string),
            codes,
        });
    }
    all
}

fn spelled(
    sign: &str,
    code: &written::Code,
    path: &Path,
    spellings: &mut Spellings,
    faults: &mut Faults<'_>,
) {
    spellings.add(sign, CODE, Spot::Key(path.clone()), faults);
    let path = path.key("also_spelled");
    for (place, other) in code.also_spelled.iter().enumerate() {
        spellings.add(other, CODE, Spot::Item(path.clone(), place), faults);
    }
}

const CODE: &str = word!("code of this mark");

fn effects(
    code: &written::Code,
    path: &Path,
    figures: &mut Figures,
    faults: &mut Faults<'_>,
) -> Vec<(Target, Effect)> {
    let kinds: [(&str, &Ordered<Text>, Reading); 3] = [
        ("set", &code.set, set),
        ("add", &code.add, add),
        ("multiply", &code.multiply, multiply),
    ];
    let mut effects = Vec::new();
    for (key, written, reading) in kinds {
        let path = path.key(key);
        for (name, text) in written.iter() {
            let path = path.key(name);
            match target(name, figures) {
                Err(finding) => faults.error_on(&Spot::Key(path), finding),
                Ok(target) => {
                    let effect = reading(target, text, figures);
                    let effect = effect.and_then(|effect| faults.keep(&path, effect));
                    effects.extend(effect.map(|effect| (target, effect)));
                }
            }
        }
    }
    effects
}

/// Reads an effect; none where the figure it acts on has faults of its own.
type Reading = fn(Target, &str, &mut Figures) -> Option<Result<Effect, Finding>>;

fn target(name: &str, figures: &Figures) -> Result<Target, Finding> {
    let contour = ContourFigure::named(name).map(Target::Contour);
    contour
        .or_else(|| figures.place(name).map(Target::Figure))
        .ok_or_else(|| {
            let all = figures
                .names()
                .chain(ContourFigure::ALL.map(ContourFigure::name));
            Finding::unknown(
                "unknown-figure",
                sentence!("figure or contour figure"),
                name,
                all,
            )
        })
}

fn set(target: Target, text: &str, figures: &mut Figures) -> Option<Result<Effect, Finding>> {
    match target {
        Target::Figure(place) => Some(figures.read(place, text)?.map(Effect::Set)),
        Target::Contour(which) => Some(form(which, text).and_then(|amount| {
            amounts::plausible_form(which, amount.amount.value)?;
            let amount = in_base_units(which, amount);
            Ok(Effect::Set(Sign::size(text.to_owned(), amount)))
        })),
    }
}

fn add(target: Target, text: &str, figures: &mut Figures) -> Option<Result<Effect, Finding>> {
    let amount = match target {
        Target::Figure(place) => amounts::amount(
            text,
            figures.get(place)?.figure.method.quantity().dimension(),
        ),
        Target::Contour(which) => form(which, text).map(|amount| in_base_units(which, amount)),
    };
    Some(amount.map(Effect::Add))
}

fn multiply(_: Target, text: &str, _: &mut Figures) -> Option<Result<Effect, Finding>> {
    let factor = amounts::amount(text, Dimension::Ratio).and_then(|factor| {
        let message = || {
            sentence!(
                "a factor of `{text}`; expected more than 0 and at most {largest_factor}",
                text,
                largest_factor = LARGEST_FACTOR
            )
        };
        let wrong = || Finding::new("not-plausible", message());
        let good = 0.0 < factor.amount.value && factor.amount.value <= LARGEST_FACTOR;
        good.then_some(factor).ok_or_else(wrong)
    });
    Some(factor.map(Effect::Multiply))
}

/// No variant of a piece has a figure more times the usual one: common practice, no source.
const LARGEST_FACTOR: f64 = 10.0;

fn form(which: ContourFigure, text: &str) -> Result<AmountWithSpread, Finding> {
    amounts::amount(text, amounts::dimension_of(which))
}

fn in_base_units(which: ContourFigure, amount: AmountWithSpread) -> AmountWithSpread {
    match amounts::dimension_of(which) {
        Dimension::Angle => amounts::in_radians(amount),
        _ => amount,
    }
}
