//! What each mark makes of the metal.
//!
//! A code is put, alone, to the ends of what the scheme states: of a grid the corners, of a catalogue
//! the entries of each series with the smallest and the largest value of each figure. What comes of
//! it must be of a size that a mouthpiece can have, and metal that can be.

use std::borrow::Cow;
use std::cell::LazyCell;
use std::collections::BTreeSet;

use super::forms;
use super::metal::{corners, impossible_values, is_pinned};
use super::values::Figures;
use crate::language::{Row, Sentence};
use crate::profile::{Contour, ContourFigure};
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::figure::Sign;
use crate::scheme::meant::{Code, Effect, Entry, Mark, Series, Stamp, Target};
use crate::scheme::template::Field;
use crate::uncertainty::Estimate;
use crate::yaml::Path;

/// All that a code is put to.
pub(super) struct Stated<'a> {
    pub figures: &'a Figures,
    pub series: &'a [Series],
    pub entries: &'a [Entry],
    /// The scheme's own contour.
    pub contour: Option<&'a Contour>,
}

/// A piece before a mark: its series and what is stated of it.
struct Unmarked<'a> {
    /// Where it is of a catalogue.
    entry: Option<&'a Entry>,
    series: Option<&'a Series>,
    states: Cow<'a, [(usize, Sign)]>,
}

/// Every code of every mark that a stamp can show, where all is well without marks.
pub(super) fn marks_can_be(
    marks: &[Mark],
    stamps: &[Stamp],
    stated: &Stated<'_>,
    faults: &mut Faults<'_>,
) {
    if faults.errors() > 0 {
        return;
    }
    let fields: Vec<Vec<Field>> = stamps.iter().map(|one| one.template.fields()).collect();
    let pieces: Vec<_> = fields
        .iter()
        .map(|fields| LazyCell::new(|| stated.ends(fields)))
        .collect();
    for (place, mark) in marks.iter().enumerate() {
        for code in mark.codes.iter().filter(|code| !code.effects.is_empty()) {
            let shows = |(fields, _): &(&Vec<Field>, _)| fields.contains(&Field::Mark(place));
            let shown = fields.iter().zip(&pieces).filter(shows);
            let wrong = shown
                .flat_map(|(_, pieces)| pieces.iter())
                .find_map(|piece| stated.wrong(code, piece));
            if let Some(finding) = wrong {
                let path = Path::root().key("marks").key(&mark.name).key("codes");
                let what = sentence!(
                    "mark {title}, code {code}",
                    title = mark.title.to_string(),
                    code = code.code.to_string()
                );
                let message =
                    sentence!("{what}: {why}", what = what, why = finding.message.clone());
                let finding = Finding::new(finding.code, message).hint(sentence!(
                    "mend what it does, or the range of what it acts on"
                ));
                faults.error_on(&Spot::Key(path.key(&code.code)), finding);
            }
        }
    }
}

impl<'a> Stated<'a> {
    /// The ends of what a stamp of these fields can say.
    fn ends(&self, fields: &[Field]) -> Vec<Unmarked<'a>> {
        if fields.contains(&Field::Entry) {
            return self.entries_at_the_ends();
        }
        let figure = |field: &Field| match field {
            Field::Figure(place) => Some(*place),
            _ => None,
        };
        let stamped: Vec<usize> = fields.iter().filter_map(figure).collect();
        let families: Vec<Option<&Series>> = match fields.contains(&Field::Series) {
            true => self.series.iter().map(Some).collect(),
            false => vec![None],
        };
        let corner = |series: Option<&'a Series>| {
            let states = ends(&stamped, self.figures);
            states.into_iter().map(move |states| (series, states))
        };
        let corners = families.into_iter().flat_map(corner);
        corners
            .map(|(series, states)| Unmarked {
                entry: None,
                series,
                states: Cow::Owned(states),
            })
            .collect()
    }

    /// The piece in words; none where it states nothing.
    fn said(&self, piece: &Unmarked<'_>) -> Option<Sentence> {
        if let Some(entry) = piece.entry {
            return Some(sentence!("entry {entry}", entry = entry.name.to_string()));
        }
        let names: Vec<&str> = self.figures.names().collect();
        let series = piece
            .series
            .map(|one| sentence!("series {series}", series = one.name.to_string()));
        let signs = piece.states.iter();
        let signs =
            signs.map(|(figure, sign)| Sentence::from(format!("{} {}", names[*figure], sign.text)));
        let all: Vec<Sentence> = series.into_iter().chain(signs).collect();
        (!all.is_empty()).then(|| Sentence::showing(Row(all, ", ")))
    }

    /// Of each series the entries with the smallest and the largest value of each figure.
    fn entries_at_the_ends(&self) -> Vec<Unmarked<'a>> {
        let mut chosen = BTreeSet::new();
        let families: BTreeSet<Option<usize>> = self.entries.iter().map(|one| one.series).collect();
        for family in families {
            let of_family = || {
                let entries = self.entries.iter().enumerate();
                entries.filter(move |(_, entry)| entry.series == family)
            };
            chosen.extend(of_family().next().map(|(place, _)| place));
            for figure in 0..self.figures.names().count() {
                let valued =
                    || of_family().filter_map(|(place, one)| Some((value(one, figure)?, place)));
                let by_value = |one: &(f64, usize), other: &(f64, usize)| one.0.total_cmp(&other.0);
                chosen.extend(valued().min_by(by_value).map(|(_, place)| place));
                chosen.extend(valued().max_by(by_value).map(|(_, place)| place));
            }
        }
        let unmarked = |place: usize| {
            let entry = &self.entries[place];
            Unmarked {
                entry: Some(entry),
                series: entry.series.map(|place| &self.series[place]),
                states: Cow::Borrowed(&entry.states),
            }
        };
        chosen.into_iter().map(unmarked).collect()
    }

    /// What is wrong with a piece that bears a code.
    fn wrong(&self, code: &Code, piece: &Unmarked<'_>) -> Option<Finding> {
        let mut values = self.values(piece);
        let contour = piece
            .series
            .map_or(self.contour, |one| one.contour.as_ref());
        let mut contour = contour.cloned();
        let mut alter = || -> Result<(), Finding> {
            for (target, effect) in &code.effects {
                match *target {
                    Target::Figure(place) => self.alter(place, effect, &mut values)?,
                    Target::Contour(which) => {
                        contour = contour
                            .take()
                            .map(|old| reshaped(old, which, effect))
                            .transpose()?;
                    }
                }
            }
            Ok(())
        };
        let on = |mut finding: Finding| {
            if let Some(says) = self.said(piece) {
                finding.message = sentence!(
                    "on {says}: {message}",
                    says = says,
                    message = finding.message.clone()
                );
            }
            finding
        };
        if let Err(finding) = alter() {
            return Some(on(finding));
        }
        let pinned = |(target, _): &(Target, Effect)| match *target {
            Target::Figure(place) => is_pinned(place, self.figures),
            Target::Contour(_) => true,
        };
        // What it is without the mark was checked before.
        if !code.effects.iter().any(pinned) {
            return None;
        }
        let contour = contour.as_ref()?;
        let clash = forms::possible(contour).err();
        let clash = clash.or_else(|| {
            let fault = impossible_values(&values, contour, self.figures)?;
            Some(fault.0)
        });
        clash.map(|fault| on(Finding::new("impossible-metal", fault)))
    }

    /// What is known of each figure, base units: what holds unmarked, under what the series implies,
    /// under what the piece states.
    fn values(&self, piece: &Unmarked<'_>) -> Vec<Option<f64>> {
        let unmarked = self.figures.all().map(|checked| {
            let sign = checked?.figure.unmarked.as_ref()?;
            Some(sign.amount.amount.value)
        });
        let mut values: Vec<Option<f64>> = unmarked.collect();
        let implied = piece.series.map_or(&[][..], |series| &series.implies);
        for (place, sign) in implied.iter().chain(&*piece.states) {
            values[*place] = Some(sign.amount.amount.value);
        }
        values
    }

    fn alter(
        &self,
        place: usize,
        effect: &Effect,
        values: &mut [Option<f64>],
    ) -> Result<(), Finding> {
        let Some(checked) = self.figures.get(place) else {
            return Ok(());
        };
        values[place] = altered(values[place], effect);
        match values[place] {
            Some(value) => amounts::plausible(checked.figure.method.quantity(), value),
            None => Ok(()),
        }
    }
}

/// As [`corners`], with the ends of every other figure too: a mark may act on those.
fn ends(stamped: &[usize], figures: &Figures) -> Vec<Vec<(usize, Sign)>> {
    let mut all = corners(stamped, figures);
    let lowest = |place: &usize| Some((*place, figures.get(*place)?.ends()?.0));
    let highest = |place: &usize| Some((*place, figures.get(*place)?.ends()?.1));
    let mut others = vec![
        stamped.iter().filter_map(lowest).collect(),
        stamped.iter().filter_map(highest).collect(),
    ];
    all.append(&mut others);
    all
}

fn value(entry: &Entry, figure: usize) -> Option<f64> {
    let mut states = entry.states.iter();
    let (_, sign) = states.find(|(place, _)| *place == figure)?;
    Some(sign.amount.amount.value)
}

/// As a piece is altered: only what is set needs nothing to have been there.
fn altered(old: Option<f64>, effect: &Effect) -> Option<f64> {
    match effect {
        Effect::Set(sign) => Some(sign.amount.amount.value),
        Effect::Add(amount) => Some(old? + amount.amount.value),
        Effect::Multiply(factor) => Some(old? * factor.amount.value),
    }
}

/// The contour with one figure altered. The form of a cup stays between cone and bowl by itself.
fn reshaped(old: Contour, which: ContourFigure, effect: &Effect) -> Result<Contour, Finding> {
    let was = old.figure(which).value();
    let value = altered(Some(was), effect).unwrap_or(was);
    let value = match which {
        ContourFigure::Form => value.clamp(0.0, 1.0),
        _ => value,
    };
    let shown = match which {
        ContourFigure::Join | ContourFigure::Wall => value.to_degrees(),
        _ => value,
    };
    amounts::plausible_form(which, shown)?;
    Ok(old.with(which, Estimate::exact(value)))
}
