//! The nearest pieces of one scheme.

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::SchemeName;
use super::difference::{DifferenceAnswer, by, difference_of, direction, size};
use super::measures::Measures;
use super::wished::{MetAnswer, Wished, met};
use crate::language::{number, word};
use crate::route::Piece;
use crate::scheme::{Binding, Instrument, Scheme, Token};
use crate::snapshot::Snapshot;
use crate::stamp;
use crate::translate::{
    Compared, MOST_SHOWN, Match, NotCompared, Outside, RIM_AND_CUP, RimAndCup, Translation,
};

/// A measure that was not compared.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NotComparedAnswer {
    /// Which.
    pub quantity: String,
    /// Why not.
    pub why: String,
}

/// A piece that the scheme can name.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MatchAnswer {
    /// Its canonical stamp; those of several parts joined by ` + `.
    pub canonical: String,
    /// When it was made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<String>,
    /// Where it serves none of the instruments of the piece at hand: a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub other_instrument: Option<String>,
    /// Whether every difference is near by the shop's limits.
    pub near: bool,
    /// "compared on 3 of 5".
    pub compared: String,
    /// The next pieces of this rim and cup: other throats, backbores, blanks and parts.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub same_rim_and_cup: Vec<String>,
    /// Whether there are others of this rim and cup than those.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub others_of_same_rim_and_cup: bool,
    /// Measure by measure.
    pub differences: Vec<DifferenceAnswer>,
    /// What was not compared, and why.
    pub not_compared: Vec<NotComparedAnswer>,
    /// What was wished for, held against it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wishes: Vec<MetAnswer>,
}

impl MatchAnswer {
    /// "same rim and cup: …".
    pub fn same_rim_and_cup_sentence(&self) -> String {
        let names = self.same_rim_and_cup.join(", ");
        match self.others_of_same_rim_and_cup {
            false => say!("same rim and cup: {names}", names),
            true => say!("same rim and cup: {names} and others", names),
        }
    }
}

/// A size that the scheme's scale does not reach.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OutsideAnswer {
    /// What is outside.
    pub quantity: String,
    /// By the scheme's method; the piece at hand stands among the figures of `ours`, under the same two.
    pub method: String,
    /// One sentence.
    pub says: String,
}

/// A piece in one scheme.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TranslationAnswer {
    /// Which.
    pub scheme: SchemeName,
    /// Whether the best match is near.
    pub near: bool,
    /// One sentence.
    pub says: String,
    /// Nearest first.
    pub matches: Vec<MatchAnswer>,
    /// Sizes outside its scale.
    pub outside: Vec<OutsideAnswer>,
    /// Why nothing could be compared, if so.
    pub not_compared: Vec<NotComparedAnswer>,
}

/// The nearest `limit` that can be named, of which `search` finds as many as it is told to: one of each rim and cup. It is told
/// more only where some have no name.
pub(super) fn nearest(limit: usize, search: impl Fn(usize) -> Translation) -> Nameable {
    let most = limit.max(MOST_LOOKED_AT);
    let mut asked = limit;
    loop {
        let found = search(asked);
        let all = found.matches.len() < asked || asked == most;
        let nameable = nameable(found, limit);
        if all || nameable.translation.matches.len() == limit {
            return nameable;
        }
        asked = most.min(asked * ASKED_AGAIN);
    }
}

/// No more pieces are looked at, where fewer are wanted.
pub(super) const MOST_LOOKED_AT: usize = 100;
/// So many times as many are asked for where too few have a name.
const ASKED_AGAIN: usize = 3;

/// A translation without the matches that nothing known can name, and with one of each rim and cup, the first.
pub(super) fn nameable(mut translation: Translation, limit: usize) -> Nameable {
    let found = !translation.matches.is_empty();
    let scheme = translation.scheme.clone();
    let mut rims: Vec<Option<RimAndCup>> = Vec::new();
    let mut names: Vec<Names> = Vec::new();
    translation.matches.retain(|one| {
        let name = canonical(&scheme, &one.named.stamps, &one.named.bindings);
        if name.is_empty() {
            return false;
        }
        let further = one.further.iter();
        let further = further.map(|one| canonical(&scheme, &one.stamps, &one.bindings));
        let same = |other: &Option<RimAndCup>| one.rim.is_some() && *other == one.rim;
        if let Some(place) = rims.iter().position(same) {
            names[place].join([name].into_iter().chain(further));
            return false;
        }
        rims.push(one.rim.clone());
        let mut all = Names {
            canonical: name,
            further: Vec::new(),
        };
        all.join(further);
        names.push(all);
        true
    });
    translation.matches.truncate(limit);
    names.truncate(limit);
    Nameable {
        cannot_be_named: found && translation.matches.is_empty(),
        names,
        translation,
    }
}

/// What [`nameable`] leaves.
pub(super) struct Nameable {
    /// With matches that have a name.
    pub translation: Translation,
    /// By match.
    names: Vec<Names>,
    /// Whether there were matches, and none has a name.
    cannot_be_named: bool,
}

/// The name of a match, and the names of others of its rim and cup, each once.
struct Names {
    canonical: String,
    further: Vec<String>,
}

impl Names {
    fn join(&mut self, further: impl Iterator<Item = String>) {
        for name in further {
            if !name.is_empty() && name != self.canonical && !self.further.contains(&name) {
                self.further.push(name);
            }
        }
    }
}

pub(super) fn translation_answer(
    snapshot: &Snapshot,
    nameable: &Nameable,
    measures: &mut Measures,
) -> TranslationAnswer {
    let translation = &nameable.translation;
    let matches: Vec<MatchAnswer> = translation
        .matches
        .iter()
        .zip(&nameable.names)
        .map(|(one, names)| match_answer(one, names, measures))
        .collect();
    let outside: Vec<OutsideAnswer> = translation
        .outside
        .iter()
        .map(|one| outside_answer(&translation.scheme, one, measures))
        .collect();
    TranslationAnswer {
        scheme: SchemeName::of(snapshot, &translation.scheme),
        near: translation.near(),
        says: says(snapshot, nameable, &matches, &outside),
        matches,
        outside,
        not_compared: translation.not_compared.iter().map(not_compared).collect(),
    }
}

/// The same where wishes were made: the matches tell their differences from `ours`, and what of the wishes they meet.
pub(super) fn wished_answer(
    snapshot: &Snapshot,
    ours: &Piece,
    nameable: &Nameable,
    wishes: &[Wished],
    measures: &mut Measures,
) -> TranslationAnswer {
    let translation = &nameable.translation;
    // Sizes outside a scale are those of the piece that is looked for, which is not ours.
    let outside = translation.outside.iter();
    let mut of_the_wanted = Measures::default();
    let outside = outside
        .map(|one| outside_answer(&translation.scheme, one, &mut of_the_wanted))
        .collect();
    let answered = |(one, names): (&Match, &Names)| {
        let wishes = met(ours, one, wishes, &snapshot.feel, measures);
        let meets = by_best_estimate(&wishes);
        let answer = match_answer(one, names, measures);
        MatchAnswer {
            near: answer.near && meets,
            wishes,
            ..answer
        }
    };
    let found = translation.matches.iter().zip(&nameable.names);
    let matches: Vec<MatchAnswer> = found.map(answered).collect();
    let title = &translation.scheme.title;
    let says = match matches.first() {
        None => say!("{title}: cannot be compared", title),
        Some(best) if best.wishes.iter().all(|one| one.met == Some(true)) => {
            say!(
                "{title}: {stamp} is what was wished",
                title,
                stamp = best.canonical
            )
        }
        Some(best) if by_best_estimate(&best.wishes) => {
            say!(
                "{title}: {stamp} is what was wished by the best estimate; too uncertain to be sure",
                title,
                stamp = best.canonical
            )
        }
        Some(best) => say!(
            "{title}: nothing found is what was wished; {stamp} comes nearest",
            title,
            stamp = best.canonical
        ),
    };
    TranslationAnswer {
        scheme: SchemeName::of(snapshot, &translation.scheme),
        near: matches.first().is_some_and(|best| best.near),
        says,
        matches,
        outside,
        not_compared: translation.not_compared.iter().map(not_compared).collect(),
    }
}

/// Whether the best estimate meets all that was wished.
fn by_best_estimate(wishes: &[MetAnswer]) -> bool {
    wishes
        .iter()
        .all(|one| one.met_by_best_estimate == Some(true))
}

fn says(
    snapshot: &Snapshot,
    nameable: &Nameable,
    matches: &[MatchAnswer],
    outside: &[OutsideAnswer],
) -> String {
    let translation = &nameable.translation;
    let title = &translation.scheme.title;
    let Some(best) = matches.first() else {
        return match nameable.cannot_be_named {
            true => say!(
                "{title}: cannot be named in this scheme from what is known",
                title
            ),
            false => say!("{title}: cannot be compared", title),
        };
    };
    if let Some(measures) = neither_rim_nor_cup(best) {
        return say!(
            "{title}: neither rim nor cup can be compared; nearest by {measures} alone is {stamp}",
            title,
            measures,
            stamp = best.canonical
        );
    }
    if translation.near() {
        return say!("{title}: nearest is {stamp}", title, stamp = best.canonical);
    }
    if let Some(beyond) = outside.first() {
        return say!("{title}: nothing near; {why}", title, why = beyond.says);
    }
    let farthest = translation.matches.first().and_then(|best| {
        let limits =
            |one: &&Compared| one.least().abs() / snapshot.feel.limit(one.method().quantity()).near;
        best.differences
            .iter()
            .max_by(|a, b| limits(a).total_cmp(&limits(b)))
    });
    let stamp = &best.canonical;
    match farthest {
        Some(one) => say!(
            "{title}: nothing near; the nearest, {stamp}, is {difference}",
            title,
            stamp,
            difference = by(&direction(one), &size(one))
        ),
        None => say!(
            "{title}: nothing near; the nearest is {stamp}",
            title,
            stamp
        ),
    }
}

/// The measures by which it is compared, where rim and cup are not among them.
fn neither_rim_nor_cup(best: &MatchAnswer) -> Option<String> {
    let core = |one: &DifferenceAnswer| RIM_AND_CUP.iter().any(|core| core.name() == one.quantity);
    let none = !best.differences.iter().any(core);
    let measures: Vec<String> = best
        .differences
        .iter()
        .map(|one| word(&one.quantity))
        .collect();
    none.then(|| measures.join(", "))
}

/// The canonical stamp of a piece, as far as it can be told.
fn canonical(scheme: &Scheme, stamps: &[usize], bindings: &[Binding]) -> String {
    let stamps = stamps.iter();
    let told = stamps.filter_map(|&stamp| spelled(scheme, stamp, bindings));
    told.collect::<Vec<_>>().join(" + ")
}

impl TranslationAnswer {
    /// With a word on each match that serves none of these instruments, those of the piece at hand.
    pub(super) fn for_instruments(
        mut self,
        translation: &Translation,
        ours: &[Instrument],
    ) -> Self {
        let names = |all: &[Instrument]| {
            let names: Vec<String> = all.iter().map(|one| word(one.name())).collect();
            names.join(", ")
        };
        for (answer, one) in self.matches.iter_mut().zip(&translation.matches) {
            let theirs = translation.scheme.instruments(&one.named.bindings);
            if !ours.iter().any(|one| theirs.contains(one)) {
                let says = say!(
                    "for {theirs}; the piece at hand is for {ours}",
                    theirs = names(theirs),
                    ours = names(ours)
                );
                answer.other_instrument = Some(says);
            }
        }
        self
    }
}

fn match_answer(one: &Match, names: &Names, measures: &mut Measures) -> MatchAnswer {
    let differences: Vec<DifferenceAnswer> = one
        .differences
        .iter()
        .map(|difference| difference_of(&one.named, difference, measures))
        .collect();
    let all = differences.len() + one.not_compared.len();
    let shown = names.further.len().min(MOST_SHOWN);
    MatchAnswer {
        canonical: names.canonical.clone(),
        made: one.named.made.years.text(),
        other_instrument: None,
        near: one.near,
        compared: say!("compared on {some} of {all}", some = differences.len(), all),
        same_rim_and_cup: names.further[..shown].to_vec(),
        others_of_same_rim_and_cup: names.further.len() > shown,
        differences,
        not_compared: one.not_compared.iter().map(not_compared).collect(),
        wishes: Vec::new(),
    }
}

/// The canonical spelling of one part. What the piece at hand does not tell is written `?`; a
/// part of which nothing is told is left out.
pub(super) fn spelled(scheme: &Scheme, stamp: usize, bindings: &[Binding]) -> Option<String> {
    if let Some(whole) = stamp::encode(scheme, stamp, bindings) {
        return Some(whole);
    }
    let (written, told) = told(scheme, &scheme.stamps[stamp].template.tokens, bindings);
    told.then_some(written)
}

/// What is told of these tokens, and whether anything is. A group of which nothing is told is left out.
fn told(scheme: &Scheme, tokens: &[Token], bindings: &[Binding]) -> (String, bool) {
    let (mut written, mut any) = (String::new(), false);
    for token in tokens {
        match token {
            Token::Literal(sign) => written.push(*sign),
            Token::Group(inner) => {
                let (inner, told) = told(scheme, inner, bindings);
                if told {
                    written.push_str(&inner);
                    any = true;
                }
            }
            Token::Field(field) => {
                let sign = (bindings.iter()).find_map(|binding| binding.sign(scheme, *field));
                any |= sign.is_some();
                written.push_str(sign.as_deref().unwrap_or("?"));
            }
        }
    }
    (written, any)
}

fn not_compared(one: &NotCompared) -> NotComparedAnswer {
    NotComparedAnswer {
        quantity: one.quantity.name().into(),
        why: one.why.to_string(),
    }
}

fn outside_answer(scheme: &Scheme, one: &Outside, measures: &mut Measures) -> OutsideAnswer {
    let ours = measures.figure(&one.ours);
    let (low, high) = one.ends;
    let beyond = if one.ours.span().high < low {
        low
    } else {
        high
    };
    let figure = &scheme.figures[one.figure].name;
    let end = end_text(one, beyond);
    let (quantity, value) = (word(&ours.quantity), ours.text());
    let says = match beyond == low {
        _ if one.may_be_within() => say!(
            "{quantity} {value} may be outside its scale of {figure}, from {low} to {high}",
            quantity,
            value,
            figure,
            low = end_text(one, low),
            high = end_text(one, high)
        ),
        true => say!(
            "{quantity} {value} is outside its scale of {figure}, which starts at {end}",
            quantity,
            value,
            figure,
            end
        ),
        false => say!(
            "{quantity} {value} is outside its scale of {figure}, which ends at {end}",
            quantity,
            value,
            figure,
            end
        ),
    };
    OutsideAnswer {
        quantity: ours.quantity.clone(),
        method: ours.method.clone(),
        says,
    }
}

fn end_text(one: &Outside, end: f64) -> String {
    match one.ours.method().quantity().dimension() {
        crate::unit::Dimension::Volume => number(format!("{:.2} ml", end / 1000.0)),
        _ => number(format!("{end:.2} mm")),
    }
}
