//! How usual series, entries and figures are: weights above nought, of names that there are.

use std::collections::HashMap;

use super::Common;
use super::values::Figures;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::meant::{Entry, Series};
use crate::scheme::usual::Given;
use crate::scheme::written;
use crate::yaml::{Ordered, Path, Text};

/// A weight beyond these says nothing that a person counted.
const LEAST: f64 = 1e-6;
const MOST: f64 = 1e6;

/// The weights of a scheme, those with faults left out.
pub(super) fn usual(
    written: Option<&written::Common>,
    (figures, series, entries): (&mut Figures, &[Series], &[Entry]),
    common: &Common<'_>,
    faults: &mut Faults<'_>,
) -> Given {
    let Some(written) = written else {
        return Given::default();
    };
    let path = Path::root().key("common");
    let names = series.iter().map(|one| one.name.as_str());
    let places: HashMap<&str, usize> = names.clone().zip(0..).collect();
    let of_series = weights(&written.series, &path.key("series"), faults, |name| {
        let unknown =
            || Finding::unknown("unknown-series", sentence!("series"), name, names.clone());
        places
            .get(name)
            .map(|place| vec![*place])
            .ok_or_else(unknown)
    });
    let mut by_name: HashMap<&str, Vec<usize>> = HashMap::new();
    for (place, entry) in entries.iter().enumerate() {
        by_name.entry(&entry.name).or_default().push(place);
    }
    let of_entries = weights(&written.entries, &path.key("entries"), faults, |name| {
        let all = entries.iter().map(|entry| entry.name.as_str());
        let unknown = || Finding::unknown("unknown-entry", sentence!("entry"), name, all);
        by_name.get(name).cloned().ok_or_else(unknown)
    });
    Given {
        source: source(written, common, &path, faults),
        series: of_series,
        entries: of_entries,
        figures: of_figures(&written.figures, &path.key("figures"), figures, faults),
    }
}

/// Counts are somebody's: they do not come from where the scheme does.
fn source(
    written: &written::Common,
    common: &Common<'_>,
    path: &Path,
    faults: &mut Faults<'_>,
) -> String {
    if written
        .source
        .as_ref()
        .is_none_or(|text| text.trim().is_empty())
    {
        let finding = Finding::new(
            "no-source",
            sentence!("nothing says who counted how usual these are"),
        )
        .hint(sentence!("add `source: ...` to `common`"));
        faults.error_on(&Spot::Key(path.clone()), finding);
    }
    common.source(&written.source)
}

/// By place, the weights of what `places` makes of names.
fn weights(
    written: &Ordered<Text>,
    path: &Path,
    faults: &mut Faults<'_>,
    places: impl Fn(&str) -> Result<Vec<usize>, Finding>,
) -> HashMap<usize, f64> {
    let mut weights = HashMap::new();
    for (name, text) in written.iter() {
        let path = path.key(name);
        let weight = faults.keep(&path, weight(text));
        match (places(name), weight) {
            (Ok(places), Some(weight)) => {
                weights.extend(places.into_iter().map(|place| (place, weight)))
            }
            (Ok(_), None) => {}
            (Err(finding), _) => faults.error_on(&Spot::Key(path), finding),
        }
    }
    weights
}

/// By place of the figure and sign.
fn of_figures(
    written: &Ordered<Ordered<Text>>,
    path: &Path,
    figures: &mut Figures,
    faults: &mut Faults<'_>,
) -> HashMap<usize, HashMap<String, f64>> {
    let mut all = HashMap::new();
    for (name, signs) in written.iter() {
        let path = path.key(name);
        let place = match figures.named(name) {
            Ok(place) => place,
            Err(finding) => {
                faults.error_on(&Spot::Key(path), finding);
                continue;
            }
        };
        let mut weights = HashMap::new();
        for (text, written) in signs.iter() {
            let path = path.key(text);
            let weight = faults.keep(&path, weight(written));
            let sign = match figures.sign(place, text) {
                Some(Err(finding)) => {
                    faults.error_on(&Spot::Key(path), finding);
                    continue;
                }
                sign => sign.and_then(Result::ok),
            };
            weights.extend(sign.zip(weight));
        }
        all.insert(place, weights);
    }
    all
}

fn weight(text: &Text) -> Result<f64, Finding> {
    let weight = text
        .parse::<f64>()
        .ok()
        .filter(|weight| (LEAST..=MOST).contains(weight));
    weight.ok_or_else(|| {
        let message = sentence!(
            "`{text}` is no weight: a number from {least} to {most}",
            text,
            least = LEAST,
            most = MOST
        );
        Finding::new("bad-weight", message).hint(sentence!(
            "write how many times as usual it is as one that is not named, as `3`"
        ))
    })
}
