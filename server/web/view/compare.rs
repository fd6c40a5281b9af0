//! Pieces side by side, for the page.

use minijinja::{Value, context};

use super::link::stamp_link;
use super::overlay::{Extent, overlay};
use crate::answer::{AgainstAnswer, CompareAnswer, ComparedPiece, ReadPiece};
use crate::problem::Problem;
use crate::web::parameters::query;
use crate::web::templates::value;

/// What was asked of the page.
#[derive(Clone, Debug)]
pub(in crate::web) struct SideBySide {
    /// Pieces as entered.
    pub pieces: Vec<String>,
    /// Which is pinned, from 1.
    pub pinned: usize,
    /// `both`, `mm` or `inch`.
    pub units: &'static str,
}

impl SideBySide {
    /// The address that asks this.
    pub fn link(&self) -> String {
        let pinned = self.pinned.to_string();
        let mut pairs: Vec<(&str, &str)> = self
            .pieces
            .iter()
            .map(|one| ("piece", one.as_str()))
            .collect();
        if self.pinned > 1 {
            pairs.push(("pinned", &pinned));
        }
        if self.units != "both" {
            pairs.push(("units", self.units));
        }
        format!("/compare?{}", query(pairs))
    }

    fn pinning(&self, pinned: usize) -> Self {
        Self {
            pinned,
            ..self.clone()
        }
    }

    /// Without one of them; the pin goes to the first where it was there.
    fn without(&self, number: usize) -> Self {
        let mut less = self.clone();
        less.pieces.remove(number - 1);
        less.pinned = match self.pinned {
            pinned if pinned == number => 1,
            pinned if pinned > number => pinned - 1,
            pinned => pinned,
        };
        less
    }

    /// One of them before its neighbour; the pin goes with its piece.
    fn earlier(&self, number: usize) -> Self {
        let mut swapped = self.clone();
        swapped.pieces.swap(number - 2, number - 1);
        swapped.pinned = match self.pinned {
            pinned if pinned == number => number - 1,
            pinned if pinned == number - 1 => number,
            pinned => pinned,
        };
        swapped
    }
}

/// The address at which two pieces stand side by side.
pub(in crate::web) fn beside(pieces: &[&str], units: &'static str) -> String {
    let pieces = pieces.iter().map(|&one| one.to_owned()).collect();
    SideBySide {
        pieces,
        pinned: 1,
        units,
    }
    .link()
}

/// One row of the form a piece, and an empty one while there is room.
pub(in crate::web) fn piece_rows(
    asked: &SideBySide,
    read: &[Result<ReadPiece, Problem>],
    most: usize,
) -> Vec<Value> {
    let row = |((text, read), number): ((&String, &Result<ReadPiece, Problem>), usize)| {
        context! {
            number,
            text,
            pinned => number == asked.pinned,
            pin => asked.pinning(number).link(),
            remove => asked.without(number).link(),
            earlier => (number > 1).then(|| asked.earlier(number).link()),
            rivals => read.as_ref().map(|one| rivals(asked, one, number)).unwrap_or_default(),
            problem => read.as_ref().err().map(|problem| value(&problem.details())),
        }
    };
    let rows = asked.pieces.iter().zip(read).zip(1..).map(row);
    let wanted = if asked.pieces.is_empty() { 2 } else { 1 };
    let empty = (asked.pieces.len() + 1..=most).take(wanted);
    let empty = empty
        .map(|number| context! { number, text => "", focus => number == asked.pieces.len() + 1 });
    rows.chain(empty).collect()
}

/// The other readings of a piece, each as a link that takes it instead.
fn rivals(asked: &SideBySide, one: &ReadPiece, number: usize) -> Vec<Value> {
    let answer = &one.answer;
    let stamp = match answer.reading_number {
        1 => answer.piece.as_str(),
        _ => answer
            .piece
            .rsplit_once('(')
            .map_or("", |(stamp, _)| stamp.trim_end()),
    };
    let numbers = (1..=answer.rivals.len() + 1).filter(|place| *place != answer.reading_number);
    let rival = |(text, place): (&String, usize)| {
        let mut other = asked.clone();
        other.pieces[number - 1] = format!("{stamp} ({place})");
        context! { text, link => other.link() }
    };
    answer.rivals.iter().zip(numbers).map(rival).collect()
}

/// The comparison: heads, drawings and a table with one row a measure.
pub(in crate::web) fn side_by_side(answer: &CompareAnswer, asked: &SideBySide) -> Value {
    let pinned = &answer.pieces[answer.pinned - 1];
    let others: Vec<Value> = answer
        .against
        .iter()
        .map(|one| other(answer, one))
        .collect();
    context! {
        pinned => context! { heading => answer.heading(answer.pinned), ..head(pinned) },
        others,
        rows => quantities(answer).iter().map(|quantity| row(answer, quantity)).collect::<Vec<_>>(),
        units => ["both", "mm", "inch"].map(|units| {
            let link = SideBySide { units, ..asked.clone() }.link();
            context! { name => units, link, chosen => units == asked.units }
        }),
        rule => answer.rule.as_str(),
        feel_source => answer.feel_source.as_str(),
    }
}

fn head(piece: &ComparedPiece) -> Value {
    let reading = &piece.reading;
    context! {
        canonical => reading.canonical.as_str(),
        link => stamp_link(&reading.canonical),
        scheme => value(&reading.scheme),
        made => reading.made.clone(),
        no_section => reading.no_section.clone(),
    }
}

fn other(answer: &CompareAnswer, against: &AgainstAnswer) -> Value {
    let pinned = &answer.pieces[answer.pinned - 1].reading;
    let piece = &answer.pieces[against.piece - 1];
    let sections = answer
        .pieces
        .iter()
        .filter_map(|one| one.reading.section.as_ref());
    let extent = Extent::of(sections);
    let both = pinned.section.as_ref().zip(piece.reading.section.as_ref());
    context! {
        drawing => both.map(|(pinned, other)| overlay(pinned, other, extent)),
        number => against.piece,
        heading => answer.heading(against.piece),
        ..head(piece)
    }
}

/// Each measure once, in the order in which people read them.
fn quantities(answer: &CompareAnswer) -> Vec<String> {
    let named = |one: &AgainstAnswer| {
        let compared = one.differences.iter().map(|one| &one.quantity);
        compared
            .chain(one.not_compared.iter().map(|one| &one.quantity))
            .cloned()
            .collect::<Vec<_>>()
    };
    let all: Vec<String> = answer.against.iter().flat_map(named).collect();
    let known = crate::method::Quantity::ALL
        .into_iter()
        .map(|one| one.name().to_owned());
    known.filter(|one| all.contains(one)).collect()
}

fn row(answer: &CompareAnswer, quantity: &str) -> Value {
    let cells = answer.against.iter().map(|one| cell(answer, one, quantity));
    context! { quantity, cells => cells.collect::<Vec<_>>() }
}

fn cell(answer: &CompareAnswer, against: &AgainstAnswer, quantity: &str) -> Value {
    let label = answer.heading(against.piece);
    let compared = against
        .differences
        .iter()
        .find(|one| one.quantity == quantity);
    let missing = against
        .not_compared
        .iter()
        .find(|one| one.quantity == quantity);
    match compared {
        Some(one) => context! {
            label,
            ours => answer.ours(quantity, &one.method).map(value),
            e_n => one.e_n.map(|e_n| format!("{e_n:.2}")),
            difference => value(one),
            says => one.says(),
            mm => one.brief(),
            inch => one.brief_inch(),
            factors => one.factors(),
        },
        None => context! { label, why => missing.map(|one| one.why.as_str()) },
    }
}
