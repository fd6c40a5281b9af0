//! What a legible stamp says.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::explain::{Explained, ExplainedAnswer, Wish, explain, explain_limits};
use super::figure::{Figure, Reads};
use super::pictures::{SectionAnswer, section};
use super::unread::nothing;
use crate::language::{Sentence, number};
use crate::load::LoadedFile;
use crate::method::{Method, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::{Consistency, Known, Piece};
use crate::scheme::{Given, Made, Reason, Scheme};
use crate::snapshot::Snapshot;
use crate::stamp::{self, Reading, SegmentKind};

/// A scheme, named so that its table can be found again.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SchemeName {
    /// The name that commands and addresses use.
    pub id: String,
    /// The name that people read.
    pub title: String,
    /// Revision of its file.
    pub revision: String,
    /// SHA-256 of its file, the first twelve digits.
    pub hash: String,
    /// Where a newer file is broken and an older version is in use: which, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kept: Option<String>,
}

impl SchemeName {
    /// Of a scheme in force.
    pub fn of(snapshot: &Snapshot, scheme: &Scheme) -> Self {
        Self {
            id: scheme.id.clone(),
            title: scheme.title.clone(),
            revision: scheme.revision.clone(),
            hash: scheme.hash.chars().take(12).collect(),
            kept: snapshot.file(&scheme.id).and_then(kept),
        }
    }

    /// A sentence where an older version is in use.
    pub fn kept_sentence(&self) -> Option<String> {
        let kept = self.kept.as_ref()?;
        Some(say!(
            "Of the table {scheme} {kept}.",
            scheme = self.title,
            kept
        ))
    }
}

/// What is said of a file whose last good version is in use.
pub(super) fn kept(file: &LoadedFile) -> Option<String> {
    let since = file.kept_since?;
    Some(say!(
        "the version of {since} is kept; the newer file is broken",
        since
    ))
}

/// One segment of a stamp and what it means.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SegmentAnswer {
    /// As typed.
    pub text: String,
    /// sign, series, entry, figure, mark or separator.
    pub kind: String,
    /// In words; empty for what only separates.
    pub meaning: String,
}

impl SegmentAnswer {
    pub(super) fn of(segment: &stamp::Segment) -> Self {
        Self {
            text: segment.text.clone(),
            kind: kind_name(&segment.what).into(),
            meaning: segment.meaning.clone(),
        }
    }
}

/// What was read of one part.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PartAnswer {
    /// one-piece, top, rim, underpart or backbore.
    pub part: String,
    /// Its thread, where the scheme states one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thread: Option<String>,
    /// Segment by segment.
    pub segments: Vec<SegmentAnswer>,
}

/// A figure in the maker's own method, and why it has its value.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FigureAnswer {
    /// The scheme's name for it.
    pub name: String,
    /// The sign that gives it.
    pub sign: String,
    /// Why: the stamp, the entry, the series, or nothing marked.
    pub because: String,
    /// Whether the stamp itself says it.
    pub stamped: bool,
    /// Codes of marks that altered it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub altered_by: Vec<String>,
    /// The value by the maker's method.
    pub measured: Figure,
}

/// A quantity in the neutral frame, or why it is not known there.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NeutralAnswer {
    /// Which.
    pub quantity: String,
    /// Its value by the neutral method.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<Figure>,
    /// Why there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cannot: Option<String>,
}

/// Whether more figures than the metal needs agree with one another.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AgreementAnswer {
    /// Sum of the squared residuals, each in its standard uncertainty.
    pub chi_square: f64,
    /// How many figures there are beyond those that are needed.
    pub to_spare: usize,
    /// How often chance makes chi-square at least as large.
    pub p: f64,
    /// The same in one line.
    pub says: String,
}

impl AgreementAnswer {
    fn of(found: &Consistency) -> Self {
        let (chi_square, to_spare, p) = (found.chi_square, found.degrees_of_freedom, found.p);
        Self {
            chi_square,
            to_spare,
            p,
            says: say!(
                "its figures agree: chi-square {chi_square} with {to_spare} to spare, p = {p}",
                chi_square = number(format!("{chi_square:.1}")),
                to_spare,
                p = number(format!("{p:.2}"))
            ),
        }
    }
}

/// Something that is said besides.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Said {
    /// The sentence.
    pub says: String,
    /// What says it.
    pub because: String,
}

/// One reading of a stamp.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReadingAnswer {
    /// In which scheme.
    pub scheme: SchemeName,
    /// Instruments that the piece serves: its series', where it names any, else the scheme's.
    pub serves: Vec<String>,
    /// The canonical spelling.
    pub canonical: String,
    /// When it can have been made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<String>,
    /// Part by part.
    pub parts: Vec<PartAnswer>,
    /// Figures by the maker's methods.
    pub figures: Vec<FigureAnswer>,
    /// What is said besides.
    pub says: Vec<Said>,
    /// In the neutral frame.
    pub neutral: Vec<NeutralAnswer>,
    /// The section, where the profile is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub section: Option<SectionAnswer>,
    /// Why there is no section.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_section: Option<String>,
    /// Whether its figures agree, where there are more than are needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub agreement: Option<AgreementAnswer>,
}

impl ReadingAnswer {
    /// Whether of any of its measures only limits are known.
    pub fn has_limits(&self) -> bool {
        let own = self.figures.iter().map(|one| &one.measured);
        let neutral = (self.neutral.iter()).filter_map(|one| one.measured.as_ref());
        own.chain(neutral)
            .any(|one| matches!(one.reads, Reads::Limits(_)))
    }
}

/// All readings of a stamp.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DecodeAnswer {
    /// As typed.
    pub stamp: String,
    /// The likeliest first.
    pub readings: Vec<ReadingAnswer>,
    /// Why its measures in the neutral frame are as uncertain as they are; only where asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub explained: Vec<ExplainedAnswer>,
    /// SHA-256 of all tables together.
    pub tables: String,
}

/// Reads a legible stamp.
///
/// # Errors
/// Nothing typed, too much typed, or no scheme reads it: then the nearest that could be meant.
pub fn decode(snapshot: &Snapshot, text: &str) -> Result<DecodeAnswer, Problem> {
    decode_explained(snapshot, text, &Wish::default())
}

/// The same, with its values explained as `wish` says.
///
/// # Errors
/// As [`decode`].
pub fn decode_explained(
    snapshot: &Snapshot,
    text: &str,
    wish: &Wish,
) -> Result<DecodeAnswer, Problem> {
    let readings = readings(snapshot, text)?;
    let (answers, pieces): (Vec<ReadingAnswer>, Vec<Made>) =
        readings.iter().map(|one| reading(snapshot, one)).unzip();
    let explained = pieces.iter().zip(&answers).flat_map(|(made, answer)| {
        let of = format!("{} ({})", answer.canonical, answer.scheme.title);
        explained(snapshot, &of, made, wish)
    });
    Ok(DecodeAnswer {
        stamp: text.trim().to_owned(),
        explained: explained.collect(),
        readings: answers,
        tables: snapshot.hash.clone(),
    })
}

/// All readings, or the problem with the text.
pub(super) fn readings(snapshot: &Snapshot, text: &str) -> Result<Vec<Reading>, Problem> {
    typed(text)?;
    let readings = snapshot.decoder.decode(text).readings;
    if readings.is_empty() {
        Err(nothing(snapshot, text))
    } else {
        Ok(readings)
    }
}

/// Refuses nothing and too much.
pub(super) fn typed(text: &str) -> Result<(), Problem> {
    if text.trim().is_empty() {
        return Err(Problem::new(Kind::Empty, sentence!("nothing was typed"))
            .hint(sentence!("type what is on the metal")));
    }
    let length = text.chars().count();
    if length > stamp::LONGEST {
        let says = sentence!(
            "{length} characters were typed; a stamp has {stamp} at the most",
            length,
            stamp = stamp::LONGEST
        );
        return Err(
            Problem::new(Kind::TooLong, says).hint(sentence!("type only what is on the metal"))
        );
    }
    Ok(())
}

/// One reading as an answer, and its piece.
pub fn reading(snapshot: &Snapshot, reading: &Reading) -> (ReadingAnswer, Made) {
    let scheme = &reading.scheme;
    let bindings = reading.bindings();
    let made = scheme.make(&bindings, &reading.stamps());
    let section = section(&made.piece);
    let answer = ReadingAnswer {
        scheme: SchemeName::of(snapshot, scheme),
        serves: (scheme.instruments(&bindings).iter())
            .map(|one| one.name().into())
            .collect(),
        canonical: reading.canonical(),
        made: made.years.text(),
        parts: reading
            .parts
            .iter()
            .map(|part| part_answer(scheme, part))
            .collect(),
        figures: figures(scheme, &made),
        says: made
            .says
            .iter()
            .map(|(says, because)| Said {
                says: says.clone(),
                because: because.to_string(),
            })
            .collect(),
        neutral: neutral(snapshot, &made),
        no_section: (made.piece.unsolved())
            .filter(|_| section.is_none())
            .map(Sentence::to_string),
        section,
        agreement: made.piece.consistency().map(AgreementAnswer::of),
    };
    (answer, made)
}

/// The measures of a piece in the neutral frame, explained.
pub(super) fn explained(
    snapshot: &Snapshot,
    of: &str,
    made: &Made,
    wish: &Wish,
) -> Vec<ExplainedAnswer> {
    if !wish.is_any() {
        return Vec::new();
    }
    let methods = told(snapshot, made)
        .into_iter()
        .filter_map(|quantity| snapshot.tables.methods.neutral(quantity));
    let neutral: Vec<Method> = methods.collect();
    let routes: Vec<_> = (neutral.iter())
        .map(|method| made.piece.by_every_route(method))
        .filter(|routes| !routes.is_empty())
        .collect();
    let values: Vec<Explained<'_>> = routes
        .iter()
        .map(|routes| Explained {
            of: of.to_owned(),
            estimate: &routes[0].estimate,
            terms: vec![(1.0, &made.piece, &routes[0])],
            routes: routes.clone(),
        })
        .collect();
    let mut explained = explain(&values, wish);
    for method in neutral {
        if let Ok(Known::Limits(within)) = made.piece.known(&method) {
            explained.extend(explain_limits(of, &method, &within.interval, wish));
        }
    }
    explained
}

fn part_answer(scheme: &Scheme, part: &stamp::PartReading) -> PartAnswer {
    let thread = scheme
        .parts
        .iter()
        .find(|one| one.kind == part.part)
        .and_then(|one| one.thread.clone());
    PartAnswer {
        part: part.part.name().into(),
        thread,
        segments: part.segments.iter().map(SegmentAnswer::of).collect(),
    }
}

fn kind_name(kind: &SegmentKind) -> &'static str {
    match kind {
        SegmentKind::Literal => word!("sign"),
        SegmentKind::Series => word!("series"),
        SegmentKind::Entry => word!("entry"),
        SegmentKind::Figure(_) => word!("figure"),
        SegmentKind::Mark(_) => word!("mark"),
        SegmentKind::Separator => word!("separator"),
    }
}

pub(super) fn figures(scheme: &Arc<Scheme>, made: &Made) -> Vec<FigureAnswer> {
    made.figures
        .iter()
        .filter_map(|given| figure(scheme, made, given))
        .collect()
}

fn figure(scheme: &Scheme, made: &Made, given: &Given) -> Option<FigureAnswer> {
    let named = &scheme.figures[given.figure];
    let measured = Figure::read(&made.piece, &named.method).ok()?;
    let because = match &given.reason {
        Reason::Stamped => say!("stamped"),
        Reason::Entry(entry) => say!("by the entry {entry}", entry),
        Reason::Series(series) => say!("implied by the series {series}", series),
        Reason::Unmarked => say!("nothing else is marked"),
    };
    Some(FigureAnswer {
        name: named.name.clone(),
        sign: given.sign.text.clone(),
        because,
        stamped: given.reason == Reason::Stamped,
        altered_by: given.altered_by.clone(),
        measured,
    })
}

/// Every quantity of the neutral frame that is told of the piece.
pub(super) fn neutral(snapshot: &Snapshot, made: &Made) -> Vec<NeutralAnswer> {
    told(snapshot, made)
        .into_iter()
        .filter_map(|quantity| in_the_frame(snapshot, &made.piece, quantity))
        .collect()
}

/// What is told of a piece: that of which nothing at all is stated is left out. A disc's depth
/// states the rim, and a trace all that can be read on it.
fn told(snapshot: &Snapshot, made: &Made) -> Vec<Quantity> {
    let states = |quantity: Quantity| made.piece.quantities().any(|one| one == quantity);
    let cup = states(Quantity::CupDepth) || states(Quantity::CupVolume);
    let disc = states(Quantity::DiscDepth);
    let stated = |quantity: &Quantity| match quantity {
        Quantity::CupDepth | Quantity::CupVolume => cup,
        Quantity::RimInnerDiameter => disc || states(*quantity),
        other => states(*other),
    };
    let traced = |quantity: &Quantity| {
        let method = snapshot.tables.methods.neutral(*quantity);
        let trace = made.piece.trace().zip(method);
        trace.is_some_and(|(trace, method)| trace.read(&method).is_some())
    };
    Quantity::ALL
        .into_iter()
        .filter(|quantity| stated(quantity) || traced(quantity))
        .collect()
}

/// One quantity of a piece by its neutral method; none where the frame has no method for it.
pub(super) fn in_the_frame(
    snapshot: &Snapshot,
    piece: &Piece,
    quantity: Quantity,
) -> Option<NeutralAnswer> {
    let method = snapshot.tables.methods.neutral(quantity)?;
    let (measured, cannot) = match Figure::read(piece, &method) {
        Ok(measured) => (Some(measured), None),
        Err(why) => (None, Some(why.to_string())),
    };
    Some(NeutralAnswer {
        quantity: quantity.name().into(),
        measured,
        cannot,
    })
}
