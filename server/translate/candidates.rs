//! What a target scheme can name, arranged for searching.
//!
//! A *family* fixes all that is not a number on a scale: the stamps of the parts that make a
//! whole piece, the series, the entry, the marks that must be there. What is left are
//! *axes*: figures of which any sign can be struck. No grid point is listed.
//!
//! What the families state is put into a [`Table`] when the first question comes, once for a scheme;
//! a scheme that is loaded again unchanged keeps its target, and so its table.

use std::sync::{Arc, OnceLock};

use quick_cache::sync::Cache;

use super::named::{Named, Struck};
use super::table::{Many, Table};
use crate::scheme::{Binding, Field, PartKind, Scheme, Sign, Stamp, Template, Token};

/// A scheme, arranged as a target.
#[derive(Debug)]
pub struct Target {
    /// The scheme.
    pub scheme: Arc<Scheme>,
    many: Many,
    table: OnceLock<Table>,
    /// Pieces that were asked for last.
    kept: Cache<Chosen, Arc<Named>>,
}

/// The place of a family and its signs by figure.
type Chosen = (usize, Vec<(usize, String)>);

/// Pieces that a target keeps. One is a few kilobytes.
const KEPT: usize = 512;

/// All that is fixed, and the axes that are left.
#[derive(Debug)]
pub(super) struct Family {
    pub whole: Arc<Whole>,
    pub bindings: Vec<Binding>,
}

/// A way in which parts make a whole piece.
#[derive(Debug)]
pub(super) struct Whole {
    /// Places of the stamps, one a part.
    pub stamps: Arc<Vec<usize>>,
    /// Figures that can be chosen.
    pub axes: Vec<usize>,
}

impl Target {
    /// A scheme as a target; what it can name is put together when it is first asked for.
    pub fn new(scheme: Arc<Scheme>) -> Self {
        Self::shared_out(scheme, |shares, work| shares.iter().map(work).collect())
    }

    /// The same, its work done by `many`: over the cores there are, say.
    pub fn shared_out(scheme: Arc<Scheme>, many: Many) -> Self {
        Self {
            scheme,
            many,
            table: OnceLock::new(),
            kept: Cache::new(KEPT),
        }
    }

    /// Puts together what it can name, so that no question waits for it.
    pub fn prepare(&self) {
        self.table();
    }

    pub(super) fn table(&self) -> &Table {
        self.table
            .get_or_init(|| Table::new(&self.scheme, self.many))
    }

    /// The piece of a family with `chosen` signs.
    pub(super) fn piece<'a>(
        &self,
        family: usize,
        chosen: impl Iterator<Item = (usize, &'a Sign)> + Clone,
    ) -> Arc<Named> {
        let signs = chosen
            .clone()
            .map(|(figure, sign)| (figure, sign.text.clone()));
        let key = (family, signs.collect());
        if let Some(kept) = self.kept.get(&key) {
            return kept;
        }
        let Struck { stamps, bindings } = self.struck(family, chosen);
        let named = Arc::new(Named::new(&self.scheme, bindings, &stamps));
        self.kept.insert(key, named.clone());
        named
    }

    /// What is struck on a piece of a family with `chosen` signs.
    pub(super) fn struck<'a>(
        &self,
        family: usize,
        chosen: impl Iterator<Item = (usize, &'a Sign)>,
    ) -> Struck {
        let family = &self.table().families[family];
        let chosen = chosen.map(|(figure, sign)| Binding::Figure(figure, sign.clone()));
        Struck {
            stamps: family.whole.stamps.clone(),
            bindings: family.bindings.iter().cloned().chain(chosen).collect(),
        }
    }
}

/// All families of a scheme: those of one whole stand together.
pub(super) fn families(scheme: &Scheme) -> Vec<Family> {
    wholes(scheme)
        .into_iter()
        .flat_map(|stamps| families_of(scheme, stamps))
        .collect()
}

/// The ways in which parts make a whole piece, each as places of current stamps.
fn wholes(scheme: &Scheme) -> Vec<Vec<usize>> {
    let current = |part: PartKind| {
        let newest =
            |(_, stamp): &(usize, &Stamp)| (stamp.years.until.is_none(), stamp.years.until);
        let of_part = scheme
            .stamps
            .iter()
            .enumerate()
            .filter(|(_, stamp)| stamp.part == part);
        of_part.rev().max_by_key(newest).map(|(place, _)| place)
    };
    let [one, top, rim, under, back] = [
        PartKind::OnePiece,
        PartKind::Top,
        PartKind::Rim,
        PartKind::Underpart,
        PartKind::Backbore,
    ]
    .map(current);
    let mut wholes: Vec<Vec<usize>> = one.map(|one| vec![one]).into_iter().collect();
    if let Some(top) = top {
        wholes.push([Some(top), back].into_iter().flatten().collect());
    }
    if let Some(rim) = rim {
        wholes.push([Some(rim), under, back].into_iter().flatten().collect());
    }
    wholes
}

/// Whether a field must be there, or only may.
fn fields(template: &Template) -> Vec<(Field, bool)> {
    fn walk(tokens: &[Token], must: bool, found: &mut Vec<(Field, bool)>) {
        for token in tokens {
            match token {
                Token::Field(field) => found.push((*field, must)),
                Token::Group(inner) => walk(inner, false, found),
                Token::Literal(_) => {}
            }
        }
    }
    let mut found = Vec::new();
    walk(&template.tokens, true, &mut found);
    found
}

fn families_of(scheme: &Scheme, stamps: Vec<usize>) -> Vec<Family> {
    let fields: Vec<(Field, bool)> = stamps
        .iter()
        .flat_map(|&place| fields(&scheme.stamps[place].template))
        .collect();
    let mut combinations: Vec<Vec<Binding>> = vec![Vec::new()];
    let mut axes = Vec::new();
    for (field, must) in &fields {
        match field {
            Field::Series => {
                let words = |series| Binding::Series { series, word: 0 };
                combinations = crossed(&combinations, (0..scheme.series.len()).map(words));
            }
            Field::Entry => {
                combinations = crossed(&combinations, (0..scheme.entries.len()).map(Binding::Entry))
            }
            Field::Mark(mark) if *must => {
                let code = |code| Binding::Mark { mark: *mark, code };
                combinations = crossed(
                    &combinations,
                    (0..scheme.marks[*mark].codes.len()).map(code),
                );
            }
            Field::Mark(_) => {}
            Field::Figure(figure) => axes.push(*figure),
        }
    }
    let stamps = Arc::new(stamps);
    let whole = Arc::new(Whole { stamps, axes });
    let family = |bindings| Family {
        whole: whole.clone(),
        bindings,
    };
    combinations.into_iter().map(family).collect()
}

fn crossed(
    combinations: &[Vec<Binding>],
    choices: impl Iterator<Item = Binding> + Clone,
) -> Vec<Vec<Binding>> {
    let with = |head: &Vec<Binding>, choice| head.iter().cloned().chain([choice]).collect();
    combinations
        .iter()
        .flat_map(|head| choices.clone().map(move |choice| with(head, choice)))
        .collect()
}
