//! The shop's feel limits.

use super::meaning::Wrong;
use super::written::{Feel as Written, Limit};
use crate::diagnostic::Diagnostic;
use crate::language::{Sentence, Word};
use crate::method::Quantity;
use crate::translate::{Feel, FeelLimit};
use crate::unit::{Amount, Dimension, Unit};
use crate::yaml::{Document, Path};

/// The built-in limits with those of the file over them.
pub(super) fn feel(written: &Written, document: &Document, faults: &mut Vec<Diagnostic>) -> Feel {
    let path = Path::root().key("feel");
    let mut feel = Feel::default();
    feel.source = written.source.to_string();
    for quantity in Quantity::ALL {
        let Some(limit) = written.limit(quantity) else {
            continue;
        };
        let reader = Reader {
            quantity,
            document,
            path: path.key(quantity.name()),
        };
        if let Some(limit) = reader.limit(limit, feel.limit(quantity).weight, faults) {
            feel = feel.with(quantity, limit);
        }
    }
    if Quantity::ALL
        .into_iter()
        .all(|quantity| feel.limit(quantity).weight == 0.0)
    {
        let hint = sentence!("give one quantity a weight above 0, or leave `weight` out");
        let wrong = Wrong::new(
            "bad-weight",
            sentence!("all weights are 0, so that nothing is near"),
        );
        faults.push(wrong.hint(hint).at(document.place(&path)));
    }
    feel
}

/// Nobody feels less than a difference so large, mm and mm³: common practice, no source.
const COARSEST_MM: f64 = 5.0;
const COARSEST_MM3: f64 = 5000.0;

struct Reader<'a> {
    quantity: Quantity,
    document: &'a Document,
    path: Path,
}

impl Reader<'_> {
    fn limit(
        &self,
        written: &Limit,
        usual_weight: f64,
        faults: &mut Vec<Diagnostic>,
    ) -> Option<FeelLimit> {
        let same = amount(&written.same, self.quantity.dimension())
            .and_then(|same| felt(same, &written.same, self.quantity.dimension()));
        let same = self.part("same", same, faults);
        let near = self.part(
            "near",
            amount(&written.near, self.quantity.dimension()),
            faults,
        );
        let weight = match &written.weight {
            Some(text) => self.part("weight", weight(text), faults),
            None => Some(usual_weight),
        };
        let (same, near) = (same?, near?);
        let wide_enough = if near < same {
            Err(narrow(written))
        } else {
            Ok(near)
        };
        let near = self.part("near", wide_enough, faults)?;
        Some(FeelLimit {
            same,
            near,
            weight: weight?,
        })
    }

    fn part<T>(
        &self,
        key: &str,
        read: Result<T, Wrong>,
        faults: &mut Vec<Diagnostic>,
    ) -> Option<T> {
        let place = || self.document.place(&self.path.key(key));
        read.map_err(|wrong| faults.push(wrong.at(place()))).ok()
    }
}

fn narrow(written: &Limit) -> Wrong {
    let message = sentence!(
        "near, {near}, is less than the same, {same}",
        near = written.near.to_string(),
        same = written.same.to_string()
    );
    Wrong::new("near-below-same", message)
}

/// An amount above zero, in base units.
fn amount(text: &str, dimension: Dimension) -> Result<f64, Wrong> {
    let amount =
        Amount::parse(text).map_err(|error| Wrong::new("bad-amount", Sentence::showing(error)))?;
    if amount.dimension != dimension {
        let (found, expected) = (Word(amount.dimension.name()), Word(dimension.name()));
        return Err(Wrong::new(
            "bad-amount",
            sentence!(
                "expected a {expected}, found a {found}",
                expected = expected,
                found = found
            ),
        ));
    }
    if amount.value <= 0.0 {
        return Err(Wrong::new(
            "bad-amount",
            sentence!("expected more than zero, found `{text}`", text),
        ));
    }
    Ok(amount.value)
}

fn felt(same: f64, text: &str, dimension: Dimension) -> Result<f64, Wrong> {
    let (most, shown) = match dimension {
        Dimension::Volume => (COARSEST_MM3, "5 ml"),
        _ => (COARSEST_MM, "5 mm"),
    };
    if same <= most {
        return Ok(same);
    }
    let message = sentence!("expected {shown} at most, found `{text}`", shown, text);
    Err(Wrong::new("out-of-range", message).hint(sentence!(
        "`same` is the largest difference that nobody feels"
    )))
}

fn weight(text: &str) -> Result<f64, Wrong> {
    let amount = Amount::parse_in(text, Unit::ONE)
        .map_err(|error| Wrong::new("bad-weight", Sentence::showing(error)))?;
    if amount.value < 0.0 {
        return Err(Wrong::new(
            "bad-weight",
            sentence!("expected 0 or more, found `{text}`", text),
        ));
    }
    Ok(amount.value)
}
