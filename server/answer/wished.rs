//! "Like this, but …": wishes about measures, read and held against what is found.
//!
//! A wish names a measure and what may become of it: `cup depth@centre:less 0.5 mm`. The piece that is looked for is the piece at
//! hand with that figure moved: by what is wished, or, where only a direction is, by twice what can be
//! felt. Pieces are ranked by their distance from it; of those found, the ones that meet more wishes come first, and of these the ones
//! that surely do: a wish is met where all of the uncertainty of the difference meets it, and met by the best estimate where only
//! that does. Differences are always from the piece at hand.
//!
//! One wish a measure: two that contradict each other are refused, and so is one that says nothing.

use std::cmp::Reverse;

use schemars::JsonSchema;
use serde::Serialize;

use super::difference::{DifferenceAnswer, difference};
use super::figure::{Amount, method_text};
use super::measure_name::measure;
use super::measures::Measures;
use super::nearest::MOST_LOOKED_AT;
use crate::language::{Sentence, Word, word};
use crate::method::InWords;
use crate::method::{Method, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::{Carried, Piece, Stated};
use crate::snapshot::Snapshot;
use crate::translate::{self as search, Compared, Feel, Match, Target, Translation};
use crate::uncertainty::{Expanded, Interval};
use crate::unit;

/// How far a piece is moved where only a direction is wished, in feel limits: past the limit itself.
const A_LITTLE: f64 = 2.0;

/// Pieces looked at for each that is wanted, so that one that meets the wishes is not lost behind nearer ones.
const LOOKED_AT: usize = 8;

/// The share of a wished amount by which it may be missed (judged by this project, no source).
const GIVE_SHARE: f64 = 0.25;

/// What may become of a measure, base unit.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Change {
    /// It stays, within a half-width.
    Same(f64),
    /// More, by about so much if that is said.
    More(Option<f64>),
    /// Less, by about so much if that is said.
    Less(Option<f64>),
}

impl Change {
    /// By how much the piece that is looked for differs.
    fn step(self, felt: f64) -> f64 {
        match self {
            Self::Same(_) => 0.0,
            Self::More(by) => by.unwrap_or(A_LITTLE * felt),
            Self::Less(by) => -by.unwrap_or(A_LITTLE * felt),
        }
    }

    /// The differences that meet it.
    fn limits(self, felt: f64) -> (f64, f64) {
        let give = self.give(felt);
        match self {
            Self::Same(within) => (-within, within),
            Self::More(None) => (felt, f64::INFINITY),
            Self::Less(None) => (f64::NEG_INFINITY, -felt),
            Self::More(Some(by)) => (by - give, by + give),
            Self::Less(Some(by)) => (-by - give, give - by),
        }
    }

    /// How far a difference may be from a wished amount and still meet it: a share of the amount, so that no change at
    /// all never does, and no more than can be felt.
    fn give(self, felt: f64) -> f64 {
        match self {
            Self::More(Some(by)) | Self::Less(Some(by)) => felt.min(GIVE_SHARE * by),
            Self::Same(_) | Self::More(None) | Self::Less(None) => felt,
        }
    }
}

/// A wish that was read.
#[derive(Clone, Debug)]
pub struct Wished {
    text: String,
    method: Method,
    change: Change,
}

/// A wish as it was understood.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WishedAnswer {
    /// As written.
    pub wish: String,
    /// About what.
    pub quantity: String,
    /// By which method.
    pub method: String,
    /// In words.
    pub says: String,
}

/// A wish held against a piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MetAnswer {
    /// Which, as written.
    pub wish: String,
    /// Whether it is met, for all of the uncertainty; none where that cannot be told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub met: Option<bool>,
    /// Whether the best estimate meets it; none where it cannot be compared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub met_by_best_estimate: Option<bool>,
    /// In words.
    pub says: String,
    /// By how much the piece differs from the one at hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub difference: Option<DifferenceAnswer>,
}

/// Reads wishes.
///
/// # Errors
/// One that cannot be read or says nothing; two about one measure.
pub fn wishes(snapshot: &Snapshot, texts: &[&str]) -> Result<Vec<Wished>, Problem> {
    let read: Result<Vec<Wished>, Problem> =
        texts.iter().map(|text| wish(snapshot, text)).collect();
    let read = read?;
    for (place, one) in read.iter().enumerate() {
        let about = |other: &&Wished| same_measure(other.method.quantity(), one.method.quantity());
        if let Some(other) = read[..place].iter().find(about) {
            return Err(contradiction(other, one));
        }
    }
    Ok(read)
}

fn bad(text: &str, why: Sentence) -> Problem {
    Problem::new(Kind::BadWish, sentence!("wish `{text}`: {why}", text, why = why))
        .hint(sentence!("write it like `cup depth@centre:less 0.5 mm`, `throat diameter:more` or `rim inner diameter:same within 0.1 mm`"))
}

fn contradiction(one: &Wished, other: &Wished) -> Problem {
    let (first, second) = (one.method.quantity(), other.method.quantity());
    let says = if first == second {
        sentence!(
            "{first} is wished for twice, `{one}` and `{other}`",
            first = first.in_words(),
            one = one.text.to_string(),
            other = other.text.to_string()
        )
    } else {
        sentence!(
            "{first} and {second} both say how much cup there is, and both are wished for",
            first = first.in_words(),
            second = second.in_words()
        )
    };
    Problem::new(Kind::BadWish, says).hint(sentence!("keep one of the two"))
}

/// Depth and volume both say how much cup there is.
fn same_measure(one: Quantity, other: Quantity) -> bool {
    let cup = [Quantity::CupDepth, Quantity::CupVolume];
    one == other || (cup.contains(&one) && cup.contains(&other))
}

fn wish(snapshot: &Snapshot, text: &str) -> Result<Wished, Problem> {
    let text = text.trim();
    if text.is_empty() {
        return Err(
            Problem::new(Kind::BadWish, sentence!("an empty wish says nothing"))
                .hint(sentence!("leave it out, or write `cup depth:less`")),
        );
    }
    let (what, change) = text
        .split_once(':')
        .ok_or_else(|| bad(text, sentence!("there is no `:` before what is wished")))?;
    let method = measure(what, &snapshot.tables).map_err(|why| bad(text, why))?;
    let felt = snapshot.feel.limit(method.quantity()).same;
    let change = change_of(change.trim(), method.quantity(), felt).map_err(|why| bad(text, why))?;
    Ok(Wished {
        text: text.to_owned(),
        method,
        change,
    })
}

fn change_of(text: &str, quantity: Quantity, felt: f64) -> Result<Change, Sentence> {
    let (word, by) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    if !word.is_empty() && !["same", "more", "less"].contains(&word) {
        return Err(sentence!("`{word}` is none of same, more and less", word));
    }
    let by = by.trim();
    let by = by
        .strip_prefix("within ")
        .filter(|_| word == "same")
        .unwrap_or(by)
        .trim();
    let by = (!by.is_empty()).then(|| amount(by, quantity)).transpose()?;
    match word {
        "same" => Ok(Change::Same(by.unwrap_or(felt))),
        "more" => Ok(Change::More(by)),
        "less" => Ok(Change::Less(by)),
        _ => Err(sentence!("it does not say whether same, more or less")),
    }
}

fn amount(text: &str, quantity: Quantity) -> Result<f64, Sentence> {
    let read = unit::Amount::parse(text).map_err(|fault| fault.to_string())?;
    if read.dimension != quantity.dimension() {
        return Err(sentence!(
            "{quantity} is a {dimension}, and `{text}` is a {other_dimension}",
            quantity = quantity.in_words(),
            dimension = Word(quantity.dimension().name()),
            text,
            other_dimension = Word(read.dimension.name())
        ));
    }
    if read.value <= 0.0 {
        return Err(sentence!(
            "`{text}` is not more than nothing; write `same` where nothing is to change",
            text
        ));
    }
    Ok(read.value)
}

/// The piece that is looked for.
///
/// # Errors
/// The piece at hand states nothing of a measure that is wished about, or cannot be carried to its method.
pub(super) fn wanted(ours: &Piece, wishes: &[Wished], feel: &Feel) -> Result<Piece, Problem> {
    let mut stated: Vec<Stated> = ours.stated().to_vec();
    for one in wishes {
        let quantity = one.method.quantity();
        let about = |stated: &Stated| same_measure(stated.method.quantity(), quantity);
        let Some(place) = stated.iter().position(about) else {
            let limits = ours.limited().iter();
            if limits
                .into_iter()
                .any(|one| same_measure(one.method.quantity(), quantity))
            {
                return Err(bad(
                    &one.text,
                    sentence!(
                        "of the {quantity} of the piece only limits are known, which cannot be moved by an amount",
                        quantity = quantity.in_words()
                    ),
                ));
            }
            return Err(bad(
                &one.text,
                sentence!(
                    "the piece states no {quantity}",
                    quantity = quantity.in_words()
                ),
            ));
        };
        let Carried::By(best, _) = ours.carry(&one.method) else {
            return Err(bad(
                &one.text,
                sentence!(
                    "{quantity} of the piece is not known by {method}",
                    quantity = quantity.in_words(),
                    method = InWords(one.method.clone())
                ),
            ));
        };
        stated.retain(|one| !about(one));
        let moved = Stated {
            method: one.method.clone(),
            estimate: best
                .estimate
                .offset(one.change.step(feel.limit(quantity).same)),
            given: one.text.as_str().into(),
            source: sentence!("the wish"),
        };
        stated.insert(place.min(stated.len()), moved);
    }
    Ok(Piece::corrected(
        stated,
        ours.contour().cloned(),
        ours.corrections().to_vec(),
    ))
}

/// What comes nearest to the wanted piece, each told by its differences from ours; those that meet more wishes first, then those
/// that turn fewer into their opposite. More than
/// `limit`, since some may be one rim and cup.
pub(super) fn translated(
    [ours, wanted]: [&Piece; 2],
    target: &Target,
    wishes: &[Wished],
    feel: &Feel,
    limit: usize,
) -> Translation {
    let looked_at = limit.max(MOST_LOOKED_AT.min(limit * LOOKED_AT));
    let found = search::translate(wanted, target, feel, looked_at);
    let mut matches: Vec<Match> = found
        .matches
        .into_iter()
        .map(|one| from_ours(ours, one, (target, wishes), feel))
        .collect();
    matches.sort_by_cached_key(|one| {
        let met = Reverse(count_met(ours, one, wishes, feel));
        (met, count_opposite(ours, one, wishes, feel))
    });
    Translation { matches, ..found }
}

/// How many wishes get the opposite by the best estimate: deeper, where less deep was wished.
fn count_opposite(ours: &Piece, one: &Match, wishes: &[Wished], feel: &Feel) -> usize {
    let theirs = &one.named.made.piece;
    let is_opposite = |wish: &&Wished| {
        let least = held(ours, theirs, wish, feel).map(|held| held.difference.least());
        match wish.change {
            Change::Same(_) => false,
            Change::More(_) => least.is_ok_and(|least| least < 0.0),
            Change::Less(_) => least.is_ok_and(|least| least > 0.0),
        }
    };
    wishes.iter().filter(is_opposite).count()
}

/// How many wishes the best estimate meets, and how many surely are.
fn count_met(ours: &Piece, one: &Match, wishes: &[Wished], feel: &Feel) -> (usize, usize) {
    let theirs = &one.named.made.piece;
    let held = wishes
        .iter()
        .filter_map(|wish| held(ours, theirs, wish, feel).ok());
    let met: Vec<bool> = held.filter(|one| one.met).map(|one| one.sure).collect();
    (met.len(), met.iter().filter(|sure| **sure).count())
}

/// The same match, its differences taken from the piece at hand: of what is wished by the method of the wish, by which it is
/// judged.
fn from_ours(
    ours: &Piece,
    one: Match,
    (target, wishes): (&Target, &[Wished]),
    feel: &Feel,
) -> Match {
    let theirs = &one.named.made.piece;
    let compared = |method: &Method| search::compare(ours, theirs, method, feel).ok();
    let mut differences: Vec<Compared> = Vec::new();
    for given in &one.named.made.figures {
        let method = &target.scheme.figures[given.figure].compared_by;
        let of_wish = wishes.iter().map(|wish| &wish.method);
        let mut of_wish = of_wish.filter(|wished| wished.quantity() == method.quantity());
        let compared = of_wish.find_map(compared).or_else(|| compared(method));
        differences.extend(compared.filter(|one| {
            let before = |other: &Compared| other.method() == one.method();
            !differences.iter().any(before)
        }));
    }
    Match { differences, ..one }
}

/// A wish held against a piece, as numbers.
struct HeldWish {
    difference: Compared,
    met: bool,
    sure: bool,
}

fn held(ours: &Piece, theirs: &Piece, wish: &Wished, feel: &Feel) -> Result<HeldWish, Sentence> {
    let difference = search::compare(ours, theirs, &wish.method, feel)?;
    if difference.method().quantity() != wish.method.quantity() {
        let quantity = wish.method.quantity().in_words();
        return Err(sentence!(
            "{quantity} is not known on both",
            quantity = quantity
        ));
    }
    let (low, high) = wish.change.limits(feel.limit(wish.method.quantity()).same);
    let (least, most, met) = match &difference {
        Compared::Value(one) => {
            let Expanded {
                value, expanded, ..
            } = Expanded::from(&one.difference);
            let met = low <= value && value <= high;
            (value - expanded, value + expanded, met)
        }
        Compared::Limits(one) => {
            let all = (f64::NEG_INFINITY, f64::INFINITY);
            let outermost = |difference: &Interval| difference.outermost();
            let (least, most) = one.difference.as_ref().map_or(all, outermost);
            (least, most, low <= least && most <= high)
        }
    };
    let sure = if met {
        low <= least && most <= high
    } else {
        most < low || least > high
    };
    Ok(HeldWish {
        difference,
        met,
        sure,
    })
}

/// Each wish held against a match.
pub(super) fn met(
    ours: &Piece,
    one: &Match,
    wishes: &[Wished],
    feel: &Feel,
    measures: &mut Measures,
) -> Vec<MetAnswer> {
    let theirs = &one.named.made.piece;
    let answer = |wish: &Wished| match held(ours, theirs, wish, feel) {
        Ok(held) => {
            let says = match (held.met, held.sure) {
                (true, true) => say!("met"),
                (true, false) => say!("met by the best estimate; too uncertain to be sure"),
                (false, false) => say!("not met by the best estimate, but it may be"),
                (false, true) => say!("not met"),
            };
            let met = held.sure.then_some(held.met);
            let difference = Some(difference(&held.difference, measures));
            MetAnswer {
                wish: wish.text.clone(),
                met,
                met_by_best_estimate: Some(held.met),
                says,
                difference,
            }
        }
        Err(why) => MetAnswer {
            wish: wish.text.clone(),
            met: None,
            met_by_best_estimate: None,
            says: say!("cannot be compared: {why}", why),
            difference: None,
        },
    };
    wishes.iter().map(answer).collect()
}

impl WishedAnswer {
    /// A wish as it was understood.
    pub(super) fn of(wish: &Wished, feel: &Feel) -> Self {
        let quantity = wish.method.quantity();
        let felt = feel.limit(quantity).same;
        let give = wish.change.give(felt);
        let (more, less) = quantity.directions();
        let direction = if matches!(wish.change, Change::Less(_)) {
            less
        } else {
            more
        };
        let size = |value: f64| {
            // 0.01 mm, 0.001 ml: an amount that was typed in inches has no end of digits.
            let steps = match quantity.dimension() {
                unit::Dimension::Volume => 1.0,
                _ => 100.0,
            };
            let value = (value * steps).round() / steps;
            let amount = Amount::of(quantity, &crate::uncertainty::Estimate::exact(value));
            format!("{} {}", amount.shown().0, amount.unit())
        };
        let says = match wish.change {
            Change::Same(within) => say!(
                "{quantity} the same within {size}",
                quantity = word(quantity.name()),
                size = size(within)
            ),
            Change::More(None) | Change::Less(None) => say!(
                "{quantity} {direction}, by more than {size}, which can be felt",
                quantity = word(quantity.name()),
                direction = word(direction),
                size = size(felt)
            ),
            Change::More(Some(by)) | Change::Less(Some(by)) => say!(
                "{quantity} {direction} by {size}, give or take {limit}",
                quantity = word(quantity.name()),
                direction = word(direction),
                size = size(by),
                limit = size(give)
            ),
        };
        Self {
            wish: wish.text.clone(),
            quantity: quantity.name().into(),
            method: method_text(&wish.method),
            says,
        }
    }
}
