//! One measure of two pieces, side by side.

use std::sync::{Arc, OnceLock};

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::figure::{Amount, Figure, factor, with_unit};
use super::limits::Limits;
use super::measures::Measures;
use crate::language::{is_english, word};
use crate::method::Quantity;
use crate::route::Known;
use crate::translate::{Compared, Difference, LimitedDifference, Named, Verdict};
use crate::uncertainty::Side;

/// One measure of both pieces.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DifferenceAnswer {
    /// What is compared.
    pub quantity: String,
    /// By which method, on both pieces.
    pub method: String,
    /// The match. The piece at hand stands among the figures of `ours`, under the same quantity and
    /// method.
    #[serde(serialize_with = "shared")]
    #[schemars(with = "Figure")]
    pub theirs: Arc<Figure>,
    /// Theirs less ours: a value, or `limits` with `low` and `high`.
    #[serde(flatten)]
    pub difference: Change,
    /// The difference, rounded, with its sign.
    pub text: String,
    /// |difference| over its expanded uncertainty (ISO 13528); none where there is no doubt at all, and none
    /// where only limits are known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub e_n: Option<f64>,
    /// same, more, less, at the limit (it may or may not be felt) or too uncertain; cannot tell
    /// where limits leave it open.
    pub verdict: String,
    /// The verdict in words.
    pub words: String,
    /// The same without the size of the difference, for where that stands beside it.
    #[serde(skip)]
    pub judged: String,
}

impl DifferenceAnswer {
    /// "+0.05 ± 0.07 mm", for where room is short and k stands in its own place.
    pub fn brief(&self) -> String {
        match &self.difference {
            Change::Value(amount) => {
                let (value, expanded) = amount.shown();
                let (value, unit) = (signed(amount, value), amount.unit());
                format!("{value} ± {expanded} {unit}")
            }
            Change::Limits(limits) => limits.signed_plain(),
        }
    }

    /// The same in inches, for lengths.
    pub fn brief_inch(&self) -> Option<String> {
        match &self.difference {
            Change::Value(amount) => {
                let (value, expanded) = amount.shown_inch()?;
                Some(format!("{} ± {expanded} in", signed(amount, value)))
            }
            Change::Limits(limits) => limits.signed_inch(),
        }
    }

    /// "k 1.96"; of limits those of their ends, and nothing where the ends are exact.
    pub fn factors(&self) -> String {
        match &self.difference {
            Change::Value(amount) => format!("k {}", factor(amount.k())),
            Change::Limits(limits) => limits.factors(),
        }
    }

    /// The verdict without the size of the difference, for where that stands beside it.
    pub fn says(&self) -> String {
        let direction = || {
            let (more, less) =
                Quantity::named(&self.quantity).map_or(("", ""), Quantity::directions);
            word(if self.is_more() { more } else { less })
        };
        match self.verdict.as_str() {
            "same" => say!("the same"),
            "more" | "less" => direction(),
            "cannot tell" => say!("cannot tell"),
            AT_THE_LIMIT => self.judged.clone(),
            _ if self.e_n.is_some_and(|e_n| e_n > 1.0) => {
                say!(
                    "too uncertain to say, but {direction}",
                    direction = direction()
                )
            }
            _ => say!("too uncertain to say"),
        }
    }

    /// Whether theirs is more than ours, as far as there is a direction.
    fn is_more(&self) -> bool {
        match &self.difference {
            Change::Value(amount) => amount.parts().0 > 0.0,
            Change::Limits(_) => self.verdict == "more",
        }
    }
}

/// The value of a difference with a plus, unless it is nought as it is shown.
fn signed(amount: &Amount, value: String) -> String {
    let digit = |sign: char| ('1'..='9').contains(&sign);
    match amount.parts().0 > 0.0 && value.contains(digit) {
        true => format!("+{value}"),
        false => value,
    }
}

/// A difference: a value, or limits where of either piece only those are known.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Change {
    /// A value.
    Value(Amount),
    /// Limits.
    Limits(Box<Limits>),
}

fn shared<S: Serializer>(one: &Arc<Figure>, serializer: S) -> Result<S::Ok, S::Error> {
    one.as_ref().serialize(serializer)
}

/// The code of a verdict that the feel limit lies within the uncertainty of a difference.
const AT_THE_LIMIT: &str = "at the limit";

/// As [`crate::uncertainty::Shown::value_for_people`] writes it.
const MINUS: &str = "\u{2212}";

/// `measures` takes up the piece at hand.
pub(super) fn difference(one: &Compared, measures: &mut Measures) -> DifferenceAnswer {
    told_with(one, measures, |theirs| Arc::new(Figure::known(theirs)))
}

/// The same of a piece that a target keeps, and its figures with it.
pub(super) fn difference_of(
    named: &Named,
    one: &Compared,
    measures: &mut Measures,
) -> DifferenceAnswer {
    told_with(one, measures, |theirs| kept(named, theirs))
}

/// A figure of a piece that a target keeps, in words. Only English ones are kept, since most questions are asked in
/// one language and a program's always in this.
fn kept(named: &Named, theirs: &Known) -> Arc<Figure> {
    let made = || Arc::new(Figure::known(theirs));
    if !is_english() {
        return made();
    }
    let unsaid = || (0..named.made.figures.len()).map(|_| OnceLock::new());
    let place = named.place(theirs);
    let figures = || named.kept(|| unsaid().collect::<Vec<OnceLock<Arc<Figure>>>>());
    let own = place.and_then(|place| figures()?.get(place));
    own.map_or_else(made, |own| own.get_or_init(made).clone())
}

fn told_with(
    one: &Compared,
    measures: &mut Measures,
    shown: impl Fn(&Known) -> Arc<Figure>,
) -> DifferenceAnswer {
    match one {
        Compared::Value(one) => {
            let theirs = shown(&Known::Value(one.theirs.clone()));
            of_values(one, theirs, measures)
        }
        Compared::Limits(one) => of_limits(one, shown(&one.theirs), measures),
    }
}

fn of_values(one: &Difference, theirs: Arc<Figure>, measures: &mut Measures) -> DifferenceAnswer {
    let ours = measures.figure(&Known::Value(one.ours.clone()));
    let amount = Amount::expanded(one.method.quantity(), one.expanded);
    let (value, expanded) = amount.shown();
    let (minus, value) = match value.strip_prefix(MINUS) {
        Some(size) => (MINUS, size),
        None => ("", value.as_str()),
    };
    let size = with_unit(value, &expanded, amount.unit(), amount.k());
    let plus = if one.difference.value() > 0.0
        && value.contains(|digit: char| ('1'..='9').contains(&digit))
    {
        "+"
    } else {
        ""
    };
    DifferenceAnswer {
        quantity: ours.quantity.clone(),
        method: ours.method.clone(),
        theirs,
        text: [plus, minus, &size].concat(),
        e_n: one.e_n.map(|e_n| (e_n * 100.0).round() / 100.0),
        verdict: match one.verdict {
            Verdict::Same => "same",
            Verdict::More => "more",
            Verdict::Less => "less",
            Verdict::AtTheLimit => AT_THE_LIMIT,
            Verdict::TooUncertain => "too uncertain",
        }
        .into(),
        words: words(one, &size),
        judged: judged(
            one.words(),
            one.verdict == Verdict::AtTheLimit && one.is_real(),
        ),
        difference: Change::Value(amount),
    }
}

fn of_limits(
    one: &LimitedDifference,
    theirs: Arc<Figure>,
    measures: &mut Measures,
) -> DifferenceAnswer {
    let ours = measures.figure(&one.ours);
    let quantity = one.method.quantity();
    let limits = match &one.difference {
        Some(difference) => Limits::of(quantity, difference),
        None => Limits::open(),
    };
    DifferenceAnswer {
        quantity: ours.quantity.clone(),
        method: ours.method.clone(),
        theirs,
        text: limits.signed(),
        e_n: None,
        verdict: match one.side {
            Side::Same => "same",
            Side::More => "more",
            Side::Less => "less",
            Side::AtTheLimit => AT_THE_LIMIT,
            Side::CannotTell => "cannot tell",
        }
        .into(),
        words: match one.side {
            Side::Same => one.words(),
            Side::More | Side::Less => by(&one.words(), &limited_size(one)),
            Side::AtTheLimit => perhaps_felt(&one.words(), &limited_size(one)),
            Side::CannotTell => format!("{}: {}", one.words(), limits.signed()),
        },
        judged: judged(one.words(), one.side == Side::AtTheLimit),
        difference: Change::Limits(Box::new(limits)),
    }
}

/// The verdict with the size of the difference, which has no sign.
fn words(one: &Difference, size: &str) -> String {
    match one.verdict {
        Verdict::More | Verdict::Less => by(&one.words(), size),
        Verdict::AtTheLimit if one.is_real() => perhaps_felt(&one.words(), size),
        _ => one.words(),
    }
}

/// "deeper by 0.4 mm ± 0.1 mm".
pub(super) fn by(direction: &str, size: &str) -> String {
    say!("{direction} by {size}", direction, size)
}

/// A verdict without its number: "deeper, which may or may not be felt".
fn judged(words: String, perhaps_felt: bool) -> String {
    match perhaps_felt {
        true => say!(
            "{direction}, which may or may not be felt",
            direction = words
        ),
        false => words,
    }
}

/// "deeper by 0.50 mm ± 0.35 mm, which may or may not be felt".
fn perhaps_felt(direction: &str, size: &str) -> String {
    say!(
        "{direction} by {size}, which may or may not be felt",
        direction,
        size
    )
}

pub(super) fn direction(one: &Compared) -> String {
    let (more, less) = one.method().quantity().directions();
    word(if one.least() > 0.0 { more } else { less })
}

/// The size of a difference without its sign, with its uncertainty.
pub(super) fn size(one: &Compared) -> String {
    match one {
        Compared::Value(one) => {
            let amount = Amount::expanded(one.method.quantity(), one.expanded);
            let (value, expanded) = amount.shown();
            let value = value.trim_start_matches(MINUS);
            with_unit(value, &expanded, amount.unit(), amount.k())
        }
        Compared::Limits(one) => limited_size(one),
    }
}

/// Limits of the size of a difference, which has no sign where all of it lies on one side.
fn limited_size(one: &LimitedDifference) -> String {
    let quantity = one.method.quantity();
    let size = one.difference.as_ref().map(|difference| {
        let turned = one.least() < 0.0;
        let size = if turned {
            difference.turned()
        } else {
            difference.clone()
        };
        Limits::of(quantity, &size).text()
    });
    size.unwrap_or_else(|| Limits::open().text())
}
