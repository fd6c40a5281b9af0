//! Families that share a form.

use super::Common;
use super::backbores::{self, Backbore};
use super::forms::{Form, Holder};
use super::names::Spellings;
use super::values::Figures;
use super::years;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::meant::{Series, Years};
use crate::scheme::written;
use crate::yaml::{Ordered, Path, Text};

/// All series, by place. `under` is the scheme's own form.
pub(super) fn series(
    written: &Ordered<written::Series>,
    under: &Form<'_>,
    (figures, backbores, common): (&mut Figures, &[Backbore], &Common<'_>),
    faults: &mut Faults<'_>,
) -> Vec<Series> {
    let mut spellings = Spellings::new(common.case_matters);
    let above = Path::root().key("series");
    let mut all = Vec::with_capacity(written.len());
    for (name, one) in written.iter() {
        let path = above.key(name);
        let holder = Holder {
            series: Some(name),
            ..common.holder()
        };
        let form = one.contour.as_ref().map(|contour| {
            Form::read(
                contour,
                &holder,
                (common.tables, &path.key("contour")),
                faults,
            )
        });
        let place = form.as_ref().map(|_| path.key("contour"));
        let form = form.map_or_else(|| under.clone(), |form| form.over(under));
        all.push(Series {
            name: name.to_string(),
            words: words(one, &path, &mut spellings, faults),
            serves: super::serves::of_series(one, (&path, common.serves), faults),
            contour: form.contour(&holder, place.as_ref(), faults),
            backbore: one.backbore.as_ref().map_or_else(Vec::new, |name| {
                let found = backbores::named(backbores, name);
                faults
                    .keep(&path.key("backbore"), found)
                    .unwrap_or_default()
            }),
            implies: figures.stated(&one.implies, &path.key("implies"), faults),
            says: one.says.iter().map(Text::to_string).collect(),
            source: common.source(&one.source),
        });
    }
    all
}

fn words(
    one: &written::Series,
    path: &Path,
    spellings: &mut Spellings,
    faults: &mut Faults<'_>,
) -> Vec<(String, Years)> {
    if one.words.is_empty() {
        let finding = Finding::new("no-spelling", sentence!("a series without a word"))
            .hint(sentence!("add the word that is stamped"));
        faults.error(&path.key("words"), finding);
    }
    for (place, word) in one.words.iter().enumerate() {
        spellings.add(
            word,
            word!("series"),
            Spot::Item(path.key("words"), place),
            faults,
        );
    }
    let mut words: Vec<(String, Years)> = one
        .words
        .iter()
        .map(|word| (word.to_string(), Years::default()))
        .collect();
    let until_path = path.key("named_until");
    for (word, year) in one.named_until.iter() {
        let path = until_path.key(word);
        let until = faults.keep(&path, years::year(year));
        match words.iter_mut().find(|(one, _)| one == word.as_str()) {
            Some((_, years)) => years.until = until,
            None => {
                let all = one.words.iter().map(Text::as_str);
                let finding = Finding::unknown(
                    "unknown-series",
                    sentence!("word of this series"),
                    word,
                    all,
                );
                faults.error_on(&Spot::Key(path), finding);
            }
        }
    }
    words
}
