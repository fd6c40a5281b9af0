//! What a target scheme can name, arranged for searching.
//!
//! A *family* fixes all that is not a number on a scale: the stamps of the parts that make a
//! whole piece, the series, the entry, the marks that must be there. What is left are
//! *axes*: figures of which any sign can be struck. Built once for a scheme; no grid
//! point is listed.

use std::sync::{Arc, OnceLock};

use quick_cache::sync::Cache;

use super::named::Named;
use crate::scheme::{Binding, Field, PartKind, Scheme, Sign, Stamp, Template, Token};
use crate::unit::Span;

/// A scheme, arranged as a target.
#[derive(Debug)]
pub struct Target {
    /// The scheme.
    pub scheme: Arc<Scheme>,
    pub(super) families: Vec<Family>,
    /// Lowest and highest value that any family can state, by figure; base units.
    pub(super) ends: Vec<Option<(f64, f64)>>,
    /// Pieces with signs chosen: those asked for last.
    kept: Cache<Chosen, Arc<Named>>,
}

/// The place of a family and its signs by figure.
type Chosen = (usize, Vec<(usize, String)>);

/// Pieces that a target keeps. One is a few kilobytes.
const KEPT: usize = 512;

/// All that is fixed, and the axes that are left.
#[derive(Debug)]
pub(super) struct Family {
    /// Its place among the families of its target.
    place: usize,
    /// Places of the stamps, one a part.
    pub stamps: Arc<Vec<usize>>,
    pub bindings: Vec<Binding>,
    /// What the fixed part states: (figure, all that it may be in base units).
    pub fixed: Vec<(usize, Span)>,
    /// Figures that can be chosen.
    pub axes: Arc<Vec<usize>>,
    plain: OnceLock<Arc<Named>>,
}

impl Family {
    /// The piece of this family with nothing chosen on the axes.
    pub fn plain(&self, scheme: &Scheme) -> &Arc<Named> {
        let named = || Named::new(scheme, self.bindings.clone(), &self.stamps);
        self.plain.get_or_init(|| Arc::new(named()))
    }

    fn with(&self, scheme: &Scheme, chosen: &[(usize, Sign)]) -> Named {
        let chosen = chosen
            .iter()
            .map(|(figure, sign)| Binding::Figure(*figure, sign.clone()));
        let bindings = self.bindings.iter().cloned().chain(chosen).collect();
        Named::new(scheme, bindings, &self.stamps)
    }
}

impl Target {
    /// Arranges a scheme.
    pub fn new(scheme: Arc<Scheme>) -> Self {
        let families: Vec<Family> = wholes(&scheme)
            .iter()
            .flat_map(|stamps| families(&scheme, stamps))
            .enumerate()
            .map(|(place, family)| Family { place, ..family })
            .collect();
        let ends = (0..scheme.figures.len())
            .map(|figure| ends(&scheme, &families, figure))
            .collect();
        Self {
            scheme,
            families,
            ends,
            kept: Cache::new(KEPT),
        }
    }

    /// The piece of a family with `chosen` signs.
    pub(super) fn piece(&self, family: &Family, chosen: &[(usize, Sign)]) -> Arc<Named> {
        if chosen.is_empty() {
            return family.plain(&self.scheme).clone();
        }
        let signs = chosen
            .iter()
            .map(|(figure, sign)| (*figure, sign.text.clone()));
        let key = (family.place, signs.collect());
        if let Some(kept) = self.kept.get(&key) {
            return kept;
        }
        let named = Arc::new(family.with(&self.scheme, chosen));
        self.kept.insert(key, named.clone());
        named
    }
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

fn families(scheme: &Arc<Scheme>, stamps: &[usize]) -> Vec<Family> {
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
    let (stamps, axes) = (Arc::new(stamps.to_vec()), Arc::new(axes));
    combinations
        .into_iter()
        .map(|bindings| family(scheme, bindings, &stamps, &axes))
        .collect()
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

fn family(
    scheme: &Scheme,
    bindings: Vec<Binding>,
    stamps: &Arc<Vec<usize>>,
    axes: &Arc<Vec<usize>>,
) -> Family {
    let fixed = scheme.make(&bindings, stamps);
    let fixed = fixed
        .figures
        .iter()
        .filter(|given| !axes.contains(&given.figure))
        .map(|given| (given.figure, given.states.span()))
        .collect();
    Family {
        place: 0,
        stamps: stamps.clone(),
        bindings,
        fixed,
        axes: axes.clone(),
        plain: OnceLock::new(),
    }
}

fn ends(scheme: &Scheme, families: &[Family], figure: usize) -> Option<(f64, f64)> {
    let on_axes = families.iter().any(|family| family.axes.contains(&figure));
    let signs = &scheme.figures[figure].signs;
    let listed: Vec<Span> = if on_axes {
        signs
            .ends()
            .into_iter()
            .flat_map(|(first, last)| [first.span(), last.span()])
            .collect()
    } else {
        let of_families = families.iter().flat_map(|family| &family.fixed);
        of_families
            .filter(|(place, _)| *place == figure)
            .map(|(_, span)| *span)
            .collect()
    };
    let low = listed.iter().map(|span| span.low).min_by(f64::total_cmp)?;
    let high = listed.iter().map(|span| span.high).max_by(f64::total_cmp)?;
    Some((low, high))
}
