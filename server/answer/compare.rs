//! Two to four pieces side by side, the others against the one that is pinned.
//!
//! Of each measure that any of them states there is a difference or the reason why there is none. It is taken by
//! the method by which it is surest: theirs or the pinned piece's own, where that says the same of any metal,
//! or that of the neutral frame.
//! What is common to both (a series' contour) cancels in it.
//!
//! What a difference is, is [`crate::translate`]'s. Nothing is ranked here.

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::{ReadingAnswer, reading, readings};
use super::difference::{DifferenceAnswer, difference};
use super::figure::Figure;
use super::measures::Measures;
use super::nearest::NotComparedAnswer;
use super::translate::{limits, named};
use crate::language::{Row, Sentence};
use crate::method::{Method, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::Piece;
use crate::snapshot::Snapshot;
use crate::translate::{self as search, Compared, RULE};
use crate::uncertainty::Expanded;

/// Pieces that are compared at once; more are read by nobody.
pub const MOST_PIECES: usize = 4;

/// One of the pieces.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ComparedPiece {
    /// As asked for.
    pub piece: String,
    /// Its reading.
    pub reading: ReadingAnswer,
    /// Its place among the readings of its stamp, from 1.
    pub reading_number: usize,
    /// The other readings, in words.
    pub rivals: Vec<String>,
}

/// One piece against the pinned one.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AgainstAnswer {
    /// Which, from 1.
    pub piece: usize,
    /// Measure by measure: this piece less the pinned one.
    pub differences: Vec<DifferenceAnswer>,
    /// What cannot be compared, and why.
    pub not_compared: Vec<NotComparedAnswer>,
}

/// Pieces side by side.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CompareAnswer {
    /// In the order asked.
    pub pieces: Vec<ComparedPiece>,
    /// Against which the others are held, from 1.
    pub pinned: usize,
    /// The pinned piece by every method in which it is compared, each once.
    pub ours: Vec<Figure>,
    /// The others, in the order asked.
    pub against: Vec<AgainstAnswer>,
    /// The rule behind the verdicts.
    pub rule: String,
    /// The feel limits and where they come from.
    pub feel_source: String,
    /// SHA-256 of all tables together.
    pub tables: String,
}

impl CompareAnswer {
    /// The pinned piece by a quantity and method of [`CompareAnswer::ours`].
    pub fn ours(&self, quantity: &str, method: &str) -> Option<&Figure> {
        let same = |one: &&Figure| one.quantity == quantity && one.method == method;
        self.ours.iter().find(same)
    }

    /// What tells a piece, by its place from 1, from others here that bear the same: its maker where it is
    /// another's too, "until 1988" where it is another of its maker's.
    pub fn told_apart(&self, piece: usize) -> Vec<String> {
        let Some(one) = self.pieces.get(piece.wrapping_sub(1)) else {
            return Vec::new();
        };
        let one = &one.reading;
        let others = self.pieces.iter().map(|other| &other.reading);
        let (own, foreign): (Vec<_>, Vec<_>) = others
            .filter(|other| other.canonical == one.canonical)
            .partition(|other| other.scheme.id == one.scheme.id);
        let maker = (!foreign.is_empty()).then(|| one.scheme.title.clone());
        let again = own.iter().any(|other| other.made != one.made);
        let made = one.made.clone().filter(|_| again);
        maker.into_iter().chain(made).collect()
    }

    /// A piece as a heading names it, with what tells it from the others.
    pub fn heading(&self, piece: usize) -> String {
        let name = self.pieces.get(piece.wrapping_sub(1));
        let name = name.map_or("", |one| one.reading.canonical.as_str());
        match self.told_apart(piece).join(", ") {
            none if none.is_empty() => name.to_owned(),
            some => format!("{name} ({some})"),
        }
    }
}

/// A piece that was read, with its metal.
#[derive(Clone, Debug)]
pub struct ReadPiece {
    /// As an answer.
    pub answer: ComparedPiece,
    metal: Piece,
    /// Another specimen of its name, which is what a piece is beside the pinned one: two pieces were turned
    /// one by one, whatever they are called.
    another: Piece,
}

/// Reads one piece: a stamp, or a stamp and the number of its reading, as `136 (2)`.
///
/// # Errors
/// As for decoding; a reading that is not there.
pub fn read_piece(snapshot: &Snapshot, piece: &str) -> Result<ReadPiece, Problem> {
    let (all, number) = match (readings(snapshot, piece), numbered(piece)) {
        (Err(_), Some((stamp, number))) => (readings(snapshot, stamp)?, number),
        (read, _) => (read?, 1),
    };
    let chosen = number
        .checked_sub(1)
        .and_then(|place| all.get(place))
        .ok_or_else(|| {
            let says = sentence!(
                "`{text}` has {all} readings",
                text = piece.trim().to_string(),
                all = all.len()
            );
            Problem::new(Kind::BadParameter, says).hint(sentence!("count readings from 1"))
        })?;
    let (answer, made) = reading(snapshot, chosen);
    let another = (chosen.scheme).make_another(&chosen.bindings(), &chosen.stamps());
    let others = all.iter().zip(1..).filter(|(_, place)| *place != number);
    Ok(ReadPiece {
        answer: ComparedPiece {
            piece: piece.trim().to_owned(),
            reading: answer,
            reading_number: number,
            rivals: others.map(|(one, _)| named(one)).collect(),
        },
        metal: made.piece,
        another: another.piece,
    })
}

/// `136 (2)` is the second reading of `136`.
fn numbered(piece: &str) -> Option<(&str, usize)> {
    let (stamp, number) = piece.trim().strip_suffix(')')?.rsplit_once('(')?;
    Some((stamp.trim_end(), number.trim().parse().ok()?))
}

/// Compares pieces by their stamps; `pinned` counts from 1.
///
/// # Errors
/// Fewer than two or more than [`MOST_PIECES`]; a piece that cannot be read, with its number; a pinned
/// piece that is not there.
pub fn compare(
    snapshot: &Snapshot,
    pieces: &[&str],
    pinned: usize,
) -> Result<CompareAnswer, Problem> {
    enough(pieces)?;
    let read = |(piece, number): (&&str, usize)| {
        read_piece(snapshot, piece).map_err(|problem| Problem {
            message: sentence!(
                "piece {number}: {message}",
                number,
                message = problem.message.clone()
            ),
            ..problem
        })
    };
    let read: Result<Vec<ReadPiece>, Problem> = pieces.iter().zip(1..).map(read).collect();
    compare_read(snapshot, &read?, pinned)
}

/// Refuses too few and too many.
///
/// # Errors
/// Which it is.
pub fn enough(pieces: &[&str]) -> Result<(), Problem> {
    match pieces.len() {
        0 | 1 => Err(Problem::new(
            Kind::BadParameter,
            match pieces.len() {
                0 => sentence!("no piece is named, and two are needed to compare"),
                _ => sentence!("one piece is named, and two are needed to compare"),
            },
        )
        .hint(sentence!("name at least two: the stamp of each"))),
        count if count > MOST_PIECES => Err(Problem::new(
            Kind::BadParameter,
            sentence!(
                "{count} pieces are named, and {most_pieces} are compared at the most",
                count,
                most_pieces = MOST_PIECES
            ),
        )
        .hint(sentence!(
            "leave out `{pieces}`",
            pieces = pieces[MOST_PIECES].to_string()
        ))),
        _ => Ok(()),
    }
}

/// Compares pieces that were read.
///
/// # Errors
/// A pinned piece that is not there.
pub fn compare_read(
    snapshot: &Snapshot,
    pieces: &[ReadPiece],
    pinned: usize,
) -> Result<CompareAnswer, Problem> {
    let ours = pinned
        .checked_sub(1)
        .and_then(|place| pieces.get(place))
        .ok_or_else(|| {
            let says = sentence!(
                "piece {pinned} cannot be pinned; there are {pieces}",
                pinned,
                pieces = pieces.len()
            );
            Problem::new(Kind::BadParameter, says).hint(sentence!("count pieces from 1"))
        })?;
    let quantities = quantities(pieces);
    let mut measures = Measures::default();
    let others = pieces
        .iter()
        .zip(1..)
        .filter(|(_, number)| *number != pinned);
    let against = others.map(|(theirs, number)| {
        let mut answer = AgainstAnswer {
            piece: number,
            differences: Vec::new(),
            not_compared: Vec::new(),
        };
        for &quantity in &quantities {
            match surest(snapshot, ours, theirs, quantity) {
                Ok(one) => answer.differences.push(difference(&one, &mut measures)),
                Err(why) => answer.not_compared.push(NotComparedAnswer {
                    quantity: quantity.name().into(),
                    why: why.to_string(),
                }),
            }
        }
        answer
    });
    let against = against.collect();
    Ok(CompareAnswer {
        pieces: pieces.iter().map(|one| one.answer.clone()).collect(),
        pinned,
        ours: measures.into_figures(),
        against,
        rule: crate::language::word(RULE),
        feel_source: limits(snapshot),
        tables: snapshot.hash.clone(),
    })
}

/// What any of the pieces states, by its value or its limits. A depth tells of a volume and the other way round.
fn quantities(pieces: &[ReadPiece]) -> Vec<Quantity> {
    let states = |quantity: Quantity| {
        let mut stated = pieces.iter().flat_map(|one| one.metal.quantities());
        stated.any(|one| one == quantity)
    };
    let cup = states(Quantity::CupDepth) || states(Quantity::CupVolume);
    let asked = |quantity: &Quantity| match quantity {
        Quantity::CupDepth | Quantity::CupVolume => cup,
        other => states(*other),
    };
    Quantity::ALL.into_iter().filter(asked).collect()
}

/// The difference with the least uncertainty of those by methods that say the same of any metal.
fn surest(
    snapshot: &Snapshot,
    ours: &ReadPiece,
    theirs: &ReadPiece,
    quantity: Quantity,
) -> Result<Compared, Sentence> {
    let pieces = [&theirs.another, &ours.metal];
    let stated = pieces.iter().flat_map(|one| one.stated());
    let limited = pieces.iter().flat_map(|one| one.limited());
    let mut methods: Vec<Method> = stated
        .map(|one| one.method.clone())
        .chain(limited.map(|one| one.method.clone()))
        .chain(snapshot.tables.methods.neutral(quantity))
        .filter(|method| method.quantity() == quantity && method.holds_for_any_form())
        .collect();
    methods.dedup();
    let differences = methods.iter().filter_map(|method| {
        let one = search::compare(&ours.metal, &theirs.another, method, &snapshot.feel).ok()?;
        (one.method().quantity() == quantity).then_some(one)
    });
    differences
        .min_by(|one, other| expanded(one).total_cmp(&expanded(other)))
        .ok_or_else(|| why_not(ours, theirs, methods.last()))
}

/// A value comes before limits.
fn expanded(one: &Compared) -> f64 {
    one.value().map_or(f64::INFINITY, |one| {
        Expanded::from(&one.difference).expanded
    })
}

/// Which of the two lacks what, by the last method that was tried.
fn why_not(ours: &ReadPiece, theirs: &ReadPiece, method: Option<&Method>) -> Sentence {
    let lacks = |one: &ReadPiece| {
        let why = Figure::read(&one.metal, method?).err()?;
        let piece = one.answer.reading.canonical.clone();
        Some(sentence!("{piece}: {why}", piece = piece, why = why))
    };
    let lacking: Vec<Sentence> = [ours, theirs].into_iter().filter_map(lacks).collect();
    if lacking.is_empty() {
        sentence!("no method reads it on both")
    } else {
        sentence!("{all}", all = Row(lacking, "; "))
    }
}
