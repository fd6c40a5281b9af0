//! Examples: whether they name what there is, and whether there is one for everything.
//!
//! What they decode to is seen by [`crate::stamp`], which runs them.

use super::Parts;
use super::names::folded;
use super::stamps::required;
use crate::language::Sentence;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::meant::{Entry, Example, Stamp};
use crate::scheme::template::Field;
use crate::scheme::written;
use crate::yaml::{Path, Text};

/// All examples.
pub(super) fn examples(
    written: &[written::Example],
    parts: &mut Parts<'_>,
    entries: &[Entry],
    faults: &mut Faults<'_>,
) -> Vec<Example> {
    let above = Path::root().key("examples");
    let mut examples = Vec::with_capacity(written.len());
    for (place, one) in written.iter().enumerate() {
        let path = above.index(place);
        for (field, value) in one.says.iter() {
            let path = path.key("says").key(field);
            match parts.field(field) {
                Some(known) => {
                    let value = parts.has(known, value, entries);
                    faults.keep(&path, value);
                }
                None => {
                    let finding = Finding::unknown(
                        "unknown-field",
                        sentence!("field"),
                        field,
                        parts.field_names(),
                    );
                    faults.error_on(&Spot::Key(path), finding);
                }
            }
        }
        let rivals = one.rivals.as_ref().map(|text| count(text));
        examples.push(Example {
            stamp: one.stamp.to_string(),
            says: one
                .says
                .iter()
                .map(|(field, value)| (field.to_string(), value.to_string()))
                .collect(),
            spelled: one.spelled.as_ref().map(Text::to_string),
            rivals: rivals.and_then(|rivals| faults.keep(&path.key("rivals"), rivals)),
        });
    }
    examples
}

fn count(text: &str) -> Result<usize, Finding> {
    let wrong = || {
        Finding::new(
            "bad-number",
            sentence!("`{text}` is not a number of readings", text),
        )
    };
    text.trim().parse().map_err(|_| wrong())
}

impl Parts<'_> {
    /// Whether a field can have that value.
    fn has(&mut self, field: Field, value: &str, entries: &[Entry]) -> Result<(), Finding> {
        let wanted = folded(value, self.case_matters);
        let same = |one: &str| one == value || folded(one, self.case_matters) == wanted;
        let known =
            |code, what: Sentence, names: Vec<&str>| match names.iter().any(|name| same(name)) {
                true => Ok(()),
                false => Err(Finding::unknown(code, what, value, names)),
            };
        match field {
            Field::Series => known(
                "unknown-series",
                sentence!("series"),
                self.series.iter().map(|one| one.name.as_str()).collect(),
            ),
            // Catalogues are long, and nearly all examples spell a name as it stands there.
            Field::Entry if entries.iter().any(|entry| entry.name == value) => Ok(()),
            Field::Entry if entries.iter().any(|entry| same(&entry.name)) => Ok(()),
            Field::Entry => Err(Finding::new(
                "unknown-entry",
                sentence!("no entry is called `{value}`", value),
            )),
            Field::Mark(mark) => {
                let codes = self.marks[mark].codes.iter();
                known(
                    "unknown-code",
                    sentence!("code of this mark"),
                    codes.map(|one| one.code.as_str()).collect(),
                )
            }
            Field::Figure(figure) if self.figures.without_signs(figure) => Ok(()),
            Field::Figure(figure) => self.figures.read(figure, value).transpose().map(|_| ()),
        }
    }
}

/// Warns of templates and codes that no example shows.
pub(super) fn all_shown(
    stamps: &[Stamp],
    (examples, parts): (&[Example], &Parts<'_>),
    faults: &mut Faults<'_>,
) {
    let above = Path::root().key("stamps");
    for (place, stamp) in stamps.iter().enumerate() {
        if !examples.iter().any(|example| shows(example, stamp, parts)) {
            let finding = Finding::new("no-example", sentence!("no example shows this template"))
                .hint(sentence!("add one to `examples`: a stamp and what it says"));
            faults.warning(&above.index(place).key("template"), finding);
        }
    }
    let above = Path::root().key("marks");
    for mark in parts.marks {
        for code in &mark.codes {
            let shown = |example: &Example| {
                let said = |(field, value): &(String, String)| {
                    *field == mark.name
                        && folded(value, parts.case_matters)
                            == folded(&code.code, parts.case_matters)
                };
                example.says.iter().any(said)
            };
            if !examples.iter().any(shown) {
                let message = sentence!(
                    "no example shows the {mark} `{code}`",
                    mark = mark.name.to_string(),
                    code = code.code.to_string()
                );
                let finding = Finding::new("no-example", message)
                    .hint(sentence!("add one to `examples`: a stamp and what it says"));
                faults.warning(&above.key(&mark.name).key("codes").key(&code.code), finding);
            }
        }
    }
}

/// Whether an example says all that the template cannot do without, and (unless it is of
/// several parts) nothing that the template cannot say.
fn shows(example: &Example, stamp: &Stamp, parts: &Parts<'_>) -> bool {
    let says: Vec<Field> = example
        .says
        .iter()
        .filter_map(|(name, _)| parts.field(name))
        .collect();
    let can_say = stamp.template.fields();
    let several = example.stamp.contains(" + ");
    required(&stamp.template)
        .iter()
        .all(|field| says.contains(field))
        && (several || says.iter().all(|field| can_say.contains(field)))
}
