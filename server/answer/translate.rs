//! A piece in other makers' schemes.

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::{ReadingAnswer, SchemeName, reading, readings};
use super::figure::{Amount, Figure, method_text};
use crate::method::Quantity;
use crate::problem::{Kind, Problem};
use crate::scheme::{Binding, Scheme, Token};
use crate::snapshot::Snapshot;
use crate::stamp;
use crate::translate::{
    self as search, Difference, Match, NotCompared, Outside, RULE, Target, Translation, Verdict,
};
use crate::unit::Dimension;

/// One measure of both pieces.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DifferenceAnswer {
    /// What is compared.
    pub quantity: String,
    /// By which method, on both pieces.
    pub method: String,
    /// The piece at hand.
    pub ours: Figure,
    /// The match.
    pub theirs: Figure,
    /// Theirs less ours.
    #[serde(flatten)]
    pub difference: Amount,
    /// The difference, rounded, with its sign.
    pub text: String,
    /// |difference| over its expanded uncertainty (ISO 13528); none where there is no doubt at all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub e_n: Option<f64>,
    /// same, more, less or too uncertain.
    pub verdict: String,
    /// The verdict in words.
    pub words: String,
}

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
    /// Whether every difference is near by the shop's limits.
    pub near: bool,
    /// "compared on 3 of 5".
    pub compared: String,
    /// Measure by measure.
    pub differences: Vec<DifferenceAnswer>,
    /// What was not compared, and why.
    pub not_compared: Vec<NotComparedAnswer>,
}

/// A size that the scheme's scale does not reach.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OutsideAnswer {
    /// The piece at hand by the scheme's method.
    pub ours: Figure,
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

/// A piece in other schemes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TranslateAnswer {
    /// As typed.
    pub stamp: String,
    /// The reading that was translated.
    pub reading: ReadingAnswer,
    /// Its place among the readings, from 1.
    pub reading_number: usize,
    /// The other readings: canonical spelling and maker.
    pub rivals: Vec<String>,
    /// Scheme by scheme.
    pub into: Vec<TranslationAnswer>,
    /// Schemes that were not asked, since they serve other instruments.
    pub left_out: Vec<String>,
    /// The rule behind the verdicts.
    pub rule: String,
    /// The feel limits and where they come from.
    pub feel_source: String,
    /// SHA-256 of all tables together.
    pub tables: String,
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
    let targets = targets(snapshot, &ask.into)?;
    let all = readings(snapshot, ask.stamp)?;
    let chosen = ask
        .reading
        .checked_sub(1)
        .and_then(|place| all.get(place))
        .ok_or_else(|| {
            let says = format!(
                "there is no reading {}; the stamp has {}",
                ask.reading,
                all.len()
            );
            Problem::new(Kind::BadParameter, says).hint("count readings from 1")
        })?;
    let (reading, made) = reading(snapshot, chosen);
    let translated = |target: &&Target| {
        let translation = search::translate(&made.piece, target, &snapshot.feel, ask.limit);
        translation_answer(snapshot, &translation)
    };
    let into = targets
        .iter()
        .filter(|target| meant(&ask.into, target, &chosen.scheme))
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
        rivals: rivals
            .map(|(_, one)| format!("{}, {}", one.canonical(), one.scheme.title))
            .collect(),
        into,
        left_out: left_out(snapshot, &ask.into, &chosen.scheme),
        rule: RULE.into(),
        feel_source: limits(snapshot),
        tables: snapshot.hash.clone(),
    })
}

/// The address that reopens the card of a question, below `base`.
pub fn card_address(base: &str, ask: &Ask<'_>) -> String {
    let mut address = format!("{base}/card?stamp={}", encoded(ask.stamp.trim()));
    if !wants_all(&ask.into) {
        address += &format!("&into={}", encoded(&ask.into.join(",")));
    }
    if ask.reading != 1 {
        address += &format!("&reading={}", ask.reading);
    }
    address
}

/// Percent-encoding of a query value (RFC 3986, section 2.3: unreserved characters stay).
fn encoded(text: &str) -> String {
    let kept = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~".contains(&byte);
    text.bytes()
        .map(|byte| {
            if kept(byte) {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}

/// The shop's feel limits for what any scheme names, and where they come from.
fn limits(snapshot: &Snapshot) -> String {
    let limit = |quantity: Quantity| {
        let same = snapshot.feel.limit(quantity).same;
        match quantity.dimension() {
            Dimension::Volume => format!("{quantity} {} ml", same / 1000.0),
            _ => format!("{quantity} {same} mm"),
        }
    };
    let figures = snapshot.schemes.iter().flat_map(|one| &one.figures);
    let named: Vec<Quantity> = figures.map(|one| one.method.quantity()).collect();
    let named = Quantity::ALL.into_iter().filter(|one| named.contains(one));
    let limits: Vec<String> = named.map(limit).collect();
    format!("{} ({})", limits.join(", "), snapshot.feel.source)
}

fn wants_all(into: &[&str]) -> bool {
    into.is_empty() || into.contains(&"all")
}

/// The targets asked for.
fn targets<'a>(snapshot: &'a Snapshot, into: &[&str]) -> Result<Vec<&'a Target>, Problem> {
    if wants_all(into) {
        return Ok(snapshot.targets.iter().collect());
    }
    into.iter()
        .map(|id| snapshot.target(id).ok_or_else(|| unknown(snapshot, id)))
        .collect()
}

/// The problem of a scheme that is not there.
pub(super) fn unknown(snapshot: &Snapshot, id: &str) -> Problem {
    let known: Vec<&str> = snapshot
        .schemes
        .iter()
        .map(|scheme| scheme.id.as_str())
        .collect();
    let problem = Problem::new(Kind::UnknownScheme, format!("there is no scheme `{id}`"));
    match crate::diagnostic::nearest(id, known.iter().copied()) {
        Some(meant) => problem.hint(format!(
            "did you mean `{meant}`? There are: {}",
            known.join(", ")
        )),
        None => problem.hint(format!("there are: {}", known.join(", "))),
    }
}

/// Titles of the other schemes that [`meant`] leaves out.
fn left_out(snapshot: &Snapshot, into: &[&str], scheme: &Scheme) -> Vec<String> {
    let out = |target: &&Target| target.scheme.id != scheme.id && !meant(into, target, scheme);
    if !wants_all(into) {
        return Vec::new();
    }
    snapshot
        .targets
        .iter()
        .filter(out)
        .map(|target| target.scheme.title.clone())
        .collect()
}

/// Of all schemes: the others that serve an instrument of this one. A scheme that is named is
/// always meant.
fn meant(into: &[&str], target: &Target, scheme: &Scheme) -> bool {
    let shares = || {
        target
            .scheme
            .serves
            .iter()
            .any(|one| scheme.serves.contains(one))
    };
    !wants_all(into) || (target.scheme.id != scheme.id && shares())
}

pub(super) fn translation_answer(
    snapshot: &Snapshot,
    translation: &Translation,
) -> TranslationAnswer {
    let matches: Vec<MatchAnswer> = translation
        .matches
        .iter()
        .map(|one| match_answer(&translation.scheme, one))
        .collect();
    let outside: Vec<OutsideAnswer> = translation
        .outside
        .iter()
        .map(|one| outside_answer(&translation.scheme, one))
        .collect();
    TranslationAnswer {
        scheme: SchemeName::of(&translation.scheme),
        near: translation.near(),
        says: says(snapshot, translation, &matches, &outside),
        matches,
        outside,
        not_compared: translation.not_compared.iter().map(not_compared).collect(),
    }
}

fn says(
    snapshot: &Snapshot,
    translation: &Translation,
    matches: &[MatchAnswer],
    outside: &[OutsideAnswer],
) -> String {
    let title = &translation.scheme.title;
    let Some(best) = matches.first() else {
        return format!("{title}: cannot be compared");
    };
    if translation.near() {
        return format!("{title}: nearest is {}", best.canonical);
    }
    if let Some(beyond) = outside.first() {
        return format!("{title}: nothing near; {}", beyond.says);
    }
    let farthest = translation.matches.first().and_then(|best| {
        let limits = |one: &&Difference| {
            one.difference.value().abs() / snapshot.feel.limit(one.method.quantity()).near
        };
        best.differences
            .iter()
            .max_by(|a, b| limits(a).total_cmp(&limits(b)))
    });
    let by = farthest.map_or(String::new(), |one| {
        format!(" is {} by {}", direction(one), size(one))
    });
    format!(
        "{title}: nothing near; the nearest, {},{by}",
        best.canonical
    )
}

fn match_answer(scheme: &Scheme, one: &Match) -> MatchAnswer {
    let stamps: Vec<String> = one
        .stamps
        .iter()
        .filter_map(|&stamp| spelled(scheme, stamp, &one.bindings))
        .collect();
    let differences: Vec<DifferenceAnswer> = one.differences.iter().map(difference).collect();
    let of = differences.len() + one.not_compared.len();
    MatchAnswer {
        canonical: stamps.join(" + "),
        made: one.made.years.text(),
        near: one.near,
        compared: format!("compared on {} of {of}", differences.len()),
        differences,
        not_compared: one.not_compared.iter().map(not_compared).collect(),
    }
}

/// The canonical spelling of one part. What the piece at hand does not tell is written `?`; a
/// part of which nothing is told is left out.
pub(super) fn spelled(scheme: &Scheme, stamp: usize, bindings: &[Binding]) -> Option<String> {
    if let Some(whole) = stamp::encode(scheme, stamp, bindings) {
        return Some(whole);
    }
    let mut told = false;
    let tokens = &scheme.stamps[stamp].template.tokens;
    let written = tokens.iter().map(|token| match token {
        Token::Literal(sign) => sign.to_string(),
        Token::Group(_) => String::new(),
        Token::Field(field) => match bindings
            .iter()
            .find_map(|binding| binding.sign(scheme, *field))
        {
            Some(sign) => {
                told = true;
                sign
            }
            None => "?".into(),
        },
    });
    let written: String = written.collect();
    told.then_some(written)
}

fn not_compared(one: &NotCompared) -> NotComparedAnswer {
    NotComparedAnswer {
        quantity: one.quantity.name().into(),
        why: one.why.clone(),
    }
}

fn outside_answer(scheme: &Scheme, one: &Outside) -> OutsideAnswer {
    let ours = Figure::of(&one.ours, &[]);
    let (low, high) = one.ends;
    let beyond = if one.ours.estimate.value() < low {
        low
    } else {
        high
    };
    let name = &scheme.figures[one.figure].name;
    let end = end_text(one, beyond);
    let says = format!(
        "{} {} is outside its scale of {name}, which ends at {end}",
        ours.quantity,
        ours.text()
    );
    OutsideAnswer { ours, says }
}

fn end_text(one: &Outside, end: f64) -> String {
    match one.ours.method.quantity().dimension() {
        crate::unit::Dimension::Volume => format!("{:.2} ml", end / 1000.0),
        _ => format!("{end:.2} mm"),
    }
}

pub(super) fn difference(one: &Difference) -> DifferenceAnswer {
    let quantity = one.method.quantity();
    let amount = Amount::of(quantity, &one.difference);
    let (value, expanded) = amount.shown();
    let unit = amount.unit();
    let plus = if one.difference.value() > 0.0
        && value.contains(|digit: char| ('1'..='9').contains(&digit))
    {
        "+"
    } else {
        ""
    };
    DifferenceAnswer {
        quantity: quantity.name().into(),
        method: method_text(&one.method),
        ours: Figure::of(&one.ours, &[]),
        theirs: Figure::of(&one.theirs, &[]),
        text: format!("{plus}{value} {unit} ± {expanded} {unit}"),
        difference: amount,
        e_n: one.e_n.map(|e_n| (e_n * 100.0).round() / 100.0),
        verdict: match one.verdict {
            Verdict::Same => "same",
            Verdict::More => "more",
            Verdict::Less => "less",
            Verdict::TooUncertain => "too uncertain",
        }
        .into(),
        words: words(one),
    }
}

fn words(one: &Difference) -> String {
    match one.verdict {
        Verdict::More | Verdict::Less => format!("{} by {}", one.words(), size(one)),
        _ => one.words(),
    }
}

fn direction(one: &Difference) -> &'static str {
    let (more, less) = one.method.quantity().directions();
    if one.difference.value() > 0.0 {
        more
    } else {
        less
    }
}

/// The size of a difference without its sign, with its uncertainty.
fn size(one: &Difference) -> String {
    let amount = Amount::of(one.method.quantity(), &one.difference);
    let (value, expanded) = amount.shown();
    let unit = amount.unit();
    format!(
        "{} {unit} ± {expanded} {unit}",
        value.trim_start_matches('\u{2212}')
    )
}
