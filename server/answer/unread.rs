//! Why a text is no stamp of any scheme here, and what may have been meant.

use std::sync::Arc;

use crate::language::{Row, Sentence, Word};
use crate::problem::{Kind, Problem};
use crate::scheme::{PartKind, Scheme};
use crate::snapshot::Snapshot;
use crate::stamp::{NearMiss, Reading};

/// The problem of a text that nothing reads. Of several parts, the one that is not read alone is
/// named; where each is, what keeps them apart.
pub(super) fn nothing(snapshot: &Snapshot, text: &str) -> Problem {
    let parts: Vec<&str> = text.split('+').map(str::trim).collect();
    if parts.len() < 2 || parts.iter().any(|part| part.is_empty()) {
        return nothing_whole(snapshot, text);
    }
    let mut read = Vec::with_capacity(parts.len());
    for part in parts {
        let readings = snapshot.decoder.decode(part).readings;
        if readings.is_empty() {
            let problem = nothing_whole(snapshot, part);
            let message = sentence!(
                "in the part `{part}`: {message}",
                part,
                message = problem.message.clone()
            );
            return Problem { message, ..problem };
        }
        read.push((part, readings));
    }
    apart(&read).unwrap_or_else(|| nothing_whole(snapshot, text))
}

/// The text of a part and all its readings.
type Part<'a> = (&'a str, Vec<Reading>);

/// Why parts that are read one by one are not of one piece.
fn apart(parts: &[Part<'_>]) -> Option<Problem> {
    let pairs = parts.iter().enumerate();
    let mut pairs =
        pairs.flat_map(|(place, one)| parts[..place].iter().map(move |other| (other, one)));
    let says = pairs.find_map(|(one, other)| clash(one, other))?;
    let hint = sentence!(
        "what is joined by ` + ` is of one piece of one maker, and each part stands once"
    );
    Some(Problem::new(Kind::NothingMatches, says).hint(hint))
}

/// Why two parts cannot belong to one piece, if so.
fn clash((one, ones): &Part<'_>, (other, others): &Part<'_>) -> Option<Sentence> {
    let of = |readings: &[Reading], scheme: &Arc<Scheme>| -> Vec<PartKind> {
        let same = readings
            .iter()
            .filter(|one| Arc::ptr_eq(&one.scheme, scheme));
        same.flat_map(|one| &one.parts)
            .map(|one| one.part)
            .collect()
    };
    let shared = ones
        .iter()
        .map(|one| &one.scheme)
        .find(|scheme| !of(others, scheme).is_empty());
    let Some(scheme) = shared else {
        let (title, another) = (&ones[0].scheme.title, &others[0].scheme.title);
        return Some(sentence!(
            "`{one}` is read by {title} and `{other}` by {another}: parts of two schemes are not one piece",
            one = (*one).to_owned(),
            title,
            other = (*other).to_owned(),
            another
        ));
    };
    let (mine, theirs) = (of(ones, scheme), of(others, scheme));
    let title = &scheme.title;
    let whole = |parts: &[PartKind]| parts.iter().all(|part| *part == PartKind::OnePiece);
    if whole(&mine) || whole(&theirs) {
        let (text, rest) = if whole(&mine) {
            (one, other)
        } else {
            (other, one)
        };
        return Some(sentence!(
            "`{text}` is a whole piece of {title}, to which no part `{rest}` is joined",
            text = (*text).to_owned(),
            title,
            rest = (*rest).to_owned()
        ));
    }
    let kind = mine[0];
    let same = mine.iter().chain(&theirs).all(|part| *part == kind);
    same.then(|| {
        sentence!(
            "`{one}` and `{other}` are both a {kind} of {title}: one piece has one",
            one = (*one).to_owned(),
            other = (*other).to_owned(),
            kind = Word(kind.name()),
            title
        )
    })
}

fn nothing_whole(snapshot: &Snapshot, text: &str) -> Problem {
    match snapshot.decoder.near_miss(text).first() {
        Some(miss) => nearly(miss),
        None => unlike(snapshot, text),
    }
}

/// The text is one sign off.
fn nearly(miss: &NearMiss) -> Problem {
    let says = sentence!(
        "{scheme}: {why}",
        scheme = miss.scheme.title.clone(),
        why = miss.message.clone()
    );
    let problem = Problem::new(Kind::NothingMatches, says);
    match quoted(&miss.suggestions).as_slice() {
        [] => problem.hint(try_find()),
        made => problem.hint(sentence!(
            "made is {made}",
            made = Row(made.iter().map(|one| one.as_str().into()).collect(), " or ")
        )),
    }
}

/// What is less likely than this is no help to somebody who mistyped.
const LIKELY: f64 = 0.01;

/// The text is none of what the schemes know, by more than one sign.
fn unlike(snapshot: &Snapshot, text: &str) -> Problem {
    let says = sentence!(
        "no scheme here reads `{text}`",
        text = text.trim().to_string()
    );
    let problem = Problem::new(Kind::NothingMatches, says);
    let nearest = snapshot.automaton.find(text, 3);
    let readings = nearest.map(|found| found.readings).unwrap_or_default();
    let likely = readings.into_iter().filter(|one| one.probability >= LIKELY);
    let texts: Vec<String> = likely.map(|one| one.text).collect();
    match quoted(&texts).as_slice() {
        [] => problem.hint(try_find()),
        names => problem.hint(sentence!(
            "perhaps {names}; `find` shows how likely",
            names = names.join(", ")
        )),
    }
}

fn try_find() -> Sentence {
    sentence!("`?` stands for one sign that cannot be read, `*` for a stretch: try `find`")
}

fn quoted(stamps: &[String]) -> Vec<String> {
    let told = stamps.iter().filter(|stamp| !stamp.is_empty());
    told.map(|stamp| format!("`{stamp}`")).collect()
}
