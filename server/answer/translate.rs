//! A piece in other makers' schemes.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::{ReadingAnswer, explained, reading, readings};
use super::explain::{Explained, ExplainedAnswer, Wish, explain, explain_limits};
use super::figure::Figure;
use super::measures::Measures;
use super::nearest::{TranslationAnswer, nameable, nearest, translation_answer, wished_answer};
use super::wished::{self, Wished, WishedAnswer};
use crate::language::{number, word};
use crate::method::Quantity;
use crate::problem::{Kind, Problem};
use crate::route::Piece;
use crate::scheme::{Instrument, Scheme};
use crate::snapshot::Snapshot;
use crate::stamp::Reading;
use crate::translate::{AtHand, Compared, Origin, RULE, Target, Translation};
use crate::unit::Dimension;

/// A piece in other schemes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TranslateAnswer {
    /// As typed.
    pub stamp: String,
    /// The reading that was translated.
    pub reading: ReadingAnswer,
    /// Its place among the readings, from 1.
    pub reading_number: usize,
    /// The other readings: canonical spelling, era where one is known, and maker.
    pub rivals: Vec<String>,
    /// The piece at hand by every method in which it is compared below, each once: a difference and a
    /// size outside a scale name theirs by quantity and method.
    pub ours: Vec<Figure>,
    /// What was wished of other pieces, as it was understood.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wished: Vec<WishedAnswer>,
    /// Scheme by scheme.
    pub into: Vec<TranslationAnswer>,
    /// Why the measures of the piece, and its differences from the best match of each scheme, are as uncertain as
    /// they are; only where asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub explained: Vec<ExplainedAnswer>,
    /// Schemes that were not asked, since they serve other instruments.
    pub left_out: Vec<String>,
    /// The rule behind the verdicts.
    pub rule: String,
    /// The feel limits and where they come from.
    pub feel_source: String,
    /// SHA-256 of all tables together.
    pub tables: String,
}

impl TranslateAnswer {
    /// The piece at hand by a quantity and method of [`TranslateAnswer::ours`].
    pub fn ours(&self, quantity: &str, method: &str) -> Option<&Figure> {
        let same = |one: &&Figure| one.quantity == quantity && one.method == method;
        self.ours.iter().find(same)
    }
}

/// Which question.
#[derive(Clone, Debug)]
pub struct Ask<'a> {
    /// The stamp.
    pub stamp: &'a str,
    /// Schemes by id, or `all`; none means all.
    pub into: Vec<&'a str>,
    /// Which reading, from 1.
    pub reading: usize,
    /// Matches a scheme.
    pub limit: usize,
}

/// Translates a legible stamp.
///
/// # Errors
/// As for decoding; a scheme that is not there; a reading that is not there.
pub fn translate(snapshot: &Snapshot, ask: &Ask<'_>) -> Result<TranslateAnswer, Problem> {
    translate_explained(snapshot, ask, &Wish::default())
}

/// The same, with its values explained as `wish` says.
///
/// # Errors
/// As [`translate`].
pub fn translate_explained(
    snapshot: &Snapshot,
    ask: &Ask<'_>,
    wish: &Wish,
) -> Result<TranslateAnswer, Problem> {
    translate_wished(snapshot, ask, wish, &[])
}

/// The same for pieces that differ from this one as `wishes` say. Of all schemes, this one's own is asked too.
///
/// # Errors
/// As [`translate`]; a wish about a measure that the piece does not state.
pub fn translate_wished(
    snapshot: &Snapshot,
    ask: &Ask<'_>,
    wish: &Wish,
    wishes: &[Wished],
) -> Result<TranslateAnswer, Problem> {
    let targets = targets(snapshot, &ask.into)?;
    let all = readings(snapshot, ask.stamp)?;
    let chosen = ask
        .reading
        .checked_sub(1)
        .and_then(|place| all.get(place))
        .ok_or_else(|| {
            let says = sentence!(
                "there is no reading {reading}; the stamp has {all}",
                reading = ask.reading.to_string(),
                all = all.len()
            );
            Problem::new(Kind::BadParameter, says).hint(sentence!("count readings from 1"))
        })?;
    let (reading, made) = reading(snapshot, chosen);
    let bindings = chosen.bindings();
    let serves = chosen.scheme.instruments(&bindings);
    let mut measures = Measures::default();
    let of = format!("{} ({})", reading.canonical, reading.scheme.title);
    let mut reasons = explained(snapshot, &of, &made, wish);
    let wanted = wished::wanted(&made.piece, wishes, &snapshot.feel)?;
    let at_hand = AtHand::new(&made.piece).called(Origin {
        scheme: chosen.scheme.id.clone(),
        stamps: chosen.stamps(),
        bindings: bindings.clone(),
        serves: serves.to_vec(),
    });
    let translated = |target: &&Target| {
        if !wishes.is_empty() {
            let pieces = [&made.piece, &wanted];
            let translation = wished::translated(pieces, target, wishes, &snapshot.feel, ask.limit);
            let found = nameable(translation, ask.limit);
            let answer = wished_answer(snapshot, &made.piece, &found, wishes, &mut measures);
            return answer.for_instruments(&found.translation, serves);
        }
        let translation = nearest(ask.limit, |limit| {
            at_hand.rims(target, &snapshot.feel, limit)
        });
        reasons.extend(differences(&made.piece, &translation.translation, wish));
        let answer = translation_answer(snapshot, &translation, &mut measures);
        answer.for_instruments(&translation.translation, serves)
    };
    let into = targets
        .iter()
        .filter(|target| {
            let own =
                !wishes.is_empty() && wants_all(&ask.into) && target.scheme.id == chosen.scheme.id;
            own || meant(&ask.into, target, (&chosen.scheme, serves))
        })
        .map(translated)
        .collect();
    let rivals = all
        .iter()
        .enumerate()
        .filter(|(place, _)| place + 1 != ask.reading);
    Ok(TranslateAnswer {
        stamp: ask.stamp.trim().to_owned(),
        reading,
        reading_number: ask.reading,
        rivals: rivals.map(|(_, one)| named(one)).collect(),
        ours: measures.into_figures(),
        wished: wishes
            .iter()
            .map(|one| WishedAnswer::of(one, &snapshot.feel))
            .collect(),
        into,
        explained: reasons,
        left_out: left_out(snapshot, &ask.into, (&chosen.scheme, serves)),
        rule: crate::language::word(RULE),
        feel_source: limits(snapshot),
        tables: snapshot.hash.clone(),
    })
}

/// The differences of the best match from the piece at hand, explained.
fn differences(ours: &Piece, translation: &Translation, wish: &Wish) -> Vec<ExplainedAnswer> {
    let Some(best) = translation
        .matches
        .first()
        .filter(|_| wish.is_any() && !wish.piece_only)
    else {
        return Vec::new();
    };
    let theirs = &best.named.made.piece;
    let of = say!(
        "{title}, theirs less ours",
        title = translation.scheme.title.to_string()
    );
    let values = best.differences.iter().filter_map(|one| {
        let one = one.value()?;
        Some(Explained {
            of: of.clone(),
            estimate: &one.difference,
            terms: vec![(1.0, theirs, &*one.theirs), (-1.0, ours, &*one.ours)],
            routes: Vec::new(),
        })
    });
    let mut explained = explain(&values.collect::<Vec<_>>(), wish);
    for one in &best.differences {
        if let Compared::Limits(one) = one
            && let Some(difference) = &one.difference
        {
            explained.extend(explain_limits(&of, &one.method, difference, wish));
        }
    }
    explained
}

/// A reading by its canonical spelling, its era where one is known, and its maker.
pub(super) fn named(reading: &Reading) -> String {
    let made = reading.scheme.make(&reading.bindings(), &reading.stamps());
    let era = made.years.text();
    let words = [
        Some(reading.canonical()),
        era,
        Some(reading.scheme.title.clone()),
    ];
    words.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The shop's feel limits for what any scheme names, and where they come from.
pub(super) fn limits(snapshot: &Snapshot) -> String {
    let limit = |quantity: Quantity| {
        let same = snapshot.feel.limit(quantity).same;
        match quantity.dimension() {
            Dimension::Volume => format!(
                "{} {} ml",
                word(quantity.name()),
                number((same / 1000.0).to_string())
            ),
            _ => format!("{} {} mm", word(quantity.name()), number(same.to_string())),
        }
    };
    let figures = snapshot.schemes.iter().flat_map(|one| &one.figures);
    let named: Vec<Quantity> = figures.map(|one| one.method.quantity()).collect();
    let named = Quantity::ALL.into_iter().filter(|one| named.contains(one));
    let limits: Vec<String> = named.map(limit).collect();
    format!("{} ({})", limits.join(", "), word(&snapshot.feel.source))
}

pub(super) fn wants_all(into: &[&str]) -> bool {
    into.is_empty() || into.contains(&"all")
}

/// The targets asked for.
pub(super) fn targets<'a>(
    snapshot: &'a Snapshot,
    into: &[&str],
) -> Result<Vec<&'a Target>, Problem> {
    if into.contains(&"") {
        let problem = Problem::new(Kind::BadParameter, sentence!("`into` names no scheme"));
        return Err(problem.hint(sentence!("leave it out or write `all` for every scheme")));
    }
    if wants_all(into) {
        return Ok(snapshot.targets.iter().map(Arc::as_ref).collect());
    }
    once_each(into)
        .map(|id| snapshot.target(id).ok_or_else(|| unknown(snapshot, id)))
        .collect()
}

/// Each once, where it stands first: an answer has no scheme twice, however often it is asked for.
pub(super) fn once_each<'a>(ids: &'a [&'a str]) -> impl Iterator<Item = &'a str> {
    let first = |(place, id): &(usize, &&str)| !ids[..*place].contains(id);
    ids.iter().enumerate().filter(first).map(|(_, id)| *id)
}

/// The problem of a scheme that is not there.
pub(super) fn unknown(snapshot: &Snapshot, id: &str) -> Problem {
    let known: Vec<&str> = snapshot
        .schemes
        .iter()
        .map(|scheme| scheme.id.as_str())
        .collect();
    let problem = Problem::new(
        Kind::UnknownScheme,
        sentence!("there is no scheme `{id}`", id),
    );
    match crate::diagnostic::nearest(id, known.iter().copied()) {
        Some(meant) => problem.hint(sentence!(
            "did you mean `{meant}`? There are: {known}",
            meant,
            known = known.join(", ")
        )),
        None => problem.hint(sentence!("there are: {known}", known = known.join(", "))),
    }
}

/// Titles of the other schemes that [`meant`] leaves out.
fn left_out(
    snapshot: &Snapshot,
    into: &[&str],
    (scheme, serves): (&Scheme, &[Instrument]),
) -> Vec<String> {
    let out =
        |target: &&Target| target.scheme.id != scheme.id && !meant(into, target, (scheme, serves));
    if !wants_all(into) {
        return Vec::new();
    }
    snapshot
        .targets
        .iter()
        .map(Arc::as_ref)
        .filter(out)
        .map(|target| target.scheme.title.clone())
        .collect()
}

/// Of all schemes: the others that serve an instrument of the piece. A scheme that is named is
/// always meant.
fn meant(into: &[&str], target: &Target, (scheme, serves): (&Scheme, &[Instrument])) -> bool {
    let shares = || target.scheme.serves.iter().any(|one| serves.contains(one));
    !wants_all(into) || (target.scheme.id != scheme.id && shares())
}
