//! What is stamped on which part.

use super::metal::{Metal, corners};
use super::values::Figures;
use super::{Parts, years};
use crate::diagnostic::{Place, nearest};
use crate::language::{Row, Sentence};
use crate::scheme::faults::{Faults, Finding, item};
use crate::scheme::meant::{Entry, PartKind, Series, Stamp};
use crate::scheme::template::{Field, Template, TemplateFault, Token};
use crate::scheme::written;
use crate::yaml::{Path, Text};

/// All stamps.
pub(super) fn stamps(
    written: &[written::Stamp],
    (parts, entries): (&Parts<'_>, &[Entry]),
    faults: &mut Faults<'_>,
) -> Vec<Stamp> {
    let above = Path::root().key("stamps");
    let mut stamps = Vec::with_capacity(written.len());
    for (place, one) in written.iter().enumerate() {
        let path = above.index(place);
        let part = faults.keep(&path.key("part"), part_kind(&one.part));
        let years = years::written((&one.from, &one.until), &path, faults);
        let written = template(&one.template, &path.key("template"), parts, faults);
        let also_path = path.key("also");
        let mut also = Vec::with_capacity(one.also.len());
        for (place, text) in one.also.iter().enumerate() {
            let path = item(faults.document(), &also_path, place);
            also.extend(template(text, &path, parts, faults));
        }
        if let (Some(part), Some(template)) = (part, written) {
            stamps.push(Stamp {
                part,
                template,
                also,
                years,
            });
        }
    }
    spelled(&stamps, (parts, entries), &above, faults);
    stamps
}

/// Templates of one scheme, other spellings counted in: each is read through for every question.
const MOST_TEMPLATES: usize = 200;

/// Signs that all templates together may spell, each time that a field stands in one.
const MOST_SPELLED: usize = 500_000;

/// Catalogues of more names are laid once for all templates, nearly always: they count for less.
const LARGE: usize = 2000;
const LESS: usize = 5;

/// Every template is laid with all signs of its fields: what a file can spell has an end.
fn spelled(
    stamps: &[Stamp],
    (parts, entries): (&Parts<'_>, &[Entry]),
    path: &Path,
    faults: &mut Faults<'_>,
) {
    let names: usize = entries.iter().map(|entry| 1 + entry.also.len()).sum();
    let templates = stamps
        .iter()
        .flat_map(|stamp| std::iter::once(&stamp.template).chain(&stamp.also));
    let signs = |field: Field| match field {
        Field::Entry if names > LARGE => names / LESS,
        Field::Entry => names,
        Field::Series => parts.series.iter().map(|one| one.words.len()).sum(),
        Field::Figure(place) => parts
            .figures
            .get(place)
            .map_or(0, |one| one.figure.signs.count()),
        Field::Mark(place) => parts.marks.get(place).map_or(0, |mark| {
            mark.codes.iter().map(|code| 1 + code.also.len()).sum()
        }),
    };
    let count = templates.clone().count();
    if count > MOST_TEMPLATES {
        let message = sentence!(
            "{count} templates; there may be {most_templates}",
            count,
            most_templates = MOST_TEMPLATES
        );
        let finding = Finding::new("too-many-signs", message)
            .hint(sentence!("join them with optional groups `[...]`"));
        return faults.error(path, finding);
    }
    let count: usize = templates
        .flat_map(|template| template.fields())
        .map(signs)
        .sum();
    if count > MOST_SPELLED {
        let message = sentence!(
            "{count} signs in all templates together; there may be {most_spelled}",
            count,
            most_spelled = MOST_SPELLED
        );
        let finding = Finding::new("too-many-signs", message)
            .hint(sentence!("use fewer templates, or figures of fewer signs"));
        faults.error(path, finding);
    }
}

/// The part of that name.
pub(super) fn part_kind(text: &str) -> Result<PartKind, Finding> {
    let all = PartKind::ALL;
    all.into_iter()
        .find(|kind| kind.name() == text)
        .ok_or_else(|| {
            Finding::unknown(
                "unknown-part",
                sentence!("part"),
                text,
                all.map(PartKind::name),
            )
        })
}

fn template(
    text: &Text,
    path: &Path,
    parts: &Parts<'_>,
    faults: &mut Faults<'_>,
) -> Option<Template> {
    match Template::parse(text, |name| parts.field(name)) {
        Err(fault) => {
            let place = within(text, &fault, path, faults);
            faults.error_at(place, unread(fault, parts));
            None
        }
        Ok(template) => {
            for (name, at, finding) in misplaced(&template, parts) {
                let fault = TemplateFault {
                    at,
                    message: "".into(),
                    unknown: Some(name),
                };
                let place = within(text, &fault, path, faults);
                faults.error_at(place, finding);
            }
            Some(template)
        }
    }
}

/// Fields that stand twice or for which there is nothing, each with its place in the text.
fn misplaced(template: &Template, parts: &Parts<'_>) -> Vec<(String, usize, Finding)> {
    let fields = template.fields();
    let mut found = Vec::new();
    for (place, field) in fields.iter().enumerate() {
        let name = parts.name(*field);
        let earlier = fields[..place].iter().filter(|one| *one == field).count();
        let finding = match earlier {
            0 => can_be_stamped(*field, parts).err(),
            _ => {
                let message = sentence!("`{{{name}}}` stands twice in the template", name);
                Some(Finding::new("field-twice", message).hint(sentence!("keep one of them")))
            }
        };
        let at = template
            .text
            .match_indices(&format!("{{{name}}}"))
            .nth(earlier);
        let at = at.map_or(0, |(bytes, _)| template.text[..bytes].chars().count() + 1);
        found.extend(finding.map(|finding| (name.to_owned(), at, finding)));
    }
    found
}

fn unread(fault: TemplateFault, parts: &Parts<'_>) -> Finding {
    let finding = Finding::new("template", fault.message);
    let Some(unknown) = fault.unknown else {
        return finding;
    };
    let names = parts.field_names();
    let all = sentence!("there are `{names}`", names = names.join("`, `"));
    finding.hint(match nearest(&unknown, names.iter().copied()) {
        Some(near) => sentence!("did you mean `{near}`? {all}", near, all),
        None => all,
    })
}

/// The place of a fault in the text, where the text stands on one line as it is meant.
fn within(text: &str, fault: &TemplateFault, path: &Path, faults: &Faults<'_>) -> Place {
    let document = faults.document();
    let place = document.place(path);
    let quotes = usize::from(document.quoted(path) == Some(true));
    if place.length != text.chars().count() + 2 * quotes {
        return place;
    }
    let length = fault
        .unknown
        .as_ref()
        .map_or(1, |name| name.chars().count().max(1));
    Place {
        column: place.column + quotes + fault.at,
        length,
        ..place
    }
}

fn can_be_stamped(field: Field, parts: &Parts<'_>) -> Result<(), Finding> {
    let empty = match field {
        Field::Series => parts.series.is_empty(),
        Field::Entry => !parts.entries,
        Field::Mark(mark) => parts.marks[mark].codes.is_empty(),
        Field::Figure(figure) => parts.figures.without_signs(figure),
    };
    if !empty {
        return Ok(());
    }
    let name = parts.name(field);
    let hint = match field {
        Field::Series => "write the `series`, or take the field out",
        Field::Entry => "write the `entries`, or take the field out",
        Field::Mark(_) => "write its `codes`, or take the field out",
        Field::Figure(_) => "give it `grid`, `fractions`, `gauge`, `steps` or `values`",
    };
    Err(Finding::new(
        "no-signs",
        sentence!(
            "`{{{name}}}` in a template, and there are no signs for it",
            name
        ),
    )
    .hint(hint))
}

/// The corners of what each template can say, put to each contour that it can name.
pub(super) fn corners_can_be(
    stamps: &[Stamp],
    (figures, series): (&Figures, &[Series]),
    metal: &mut Metal<'_>,
    faults: &mut Faults<'_>,
) {
    for (place, stamp) in stamps.iter().enumerate() {
        let fields = stamp.template.fields();
        if fields.contains(&Field::Entry) {
            continue;
        }
        let figure = |field: &Field| match field {
            Field::Figure(place) => Some(*place),
            _ => None,
        };
        let stamped: Vec<usize> = fields.iter().filter_map(figure).collect();
        let families: Vec<Option<&Series>> = match fields.contains(&Field::Series) {
            true => series.iter().map(Some).collect(),
            false => vec![None],
        };
        for family in families {
            let impossible = corners(&stamped, figures).into_iter().find_map(|corner| {
                let fault = metal.impossible(family, &corner, figures)?;
                Some((corner, fault))
            });
            let Some((corner, fault)) = impossible else {
                continue;
            };
            let mut what: Vec<Sentence> = family
                .iter()
                .map(|one| sentence!("series {one}", one = one.name.to_string()))
                .collect();
            let names: Vec<&str> = figures.names().collect();
            what.extend(
                corner
                    .iter()
                    .map(|(figure, sign)| format!("{} {}", names[*figure], sign.text).into()),
            );
            let finding = Finding::new(
                "impossible-metal",
                sentence!("{what}: {why}", what = Row(what, ", "), why = fault),
            )
            .hint(sentence!(
                "make the range of a figure smaller, or mend the contour"
            ));
            faults.error(
                &Path::root().key("stamps").index(place).key("template"),
                finding,
            );
        }
    }
}

/// The fields that a template cannot do without.
pub(super) fn required(template: &Template) -> Vec<Field> {
    let field = |token: &Token| match token {
        Token::Field(field) => Some(*field),
        _ => None,
    };
    template.tokens.iter().filter_map(field).collect()
}
