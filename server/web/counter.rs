//! The counter: what is typed, read if it can be and looked for if not.
//!
//! The page and its fragment differ in their frame only. With a stamp that decodes, gauges are held
//! against it; without, they help to find. Rows of wishes become `wish`
//! parameters, so that an address says everything and says it in one way.

use minijinja::{Value, context};

use super::parameters::{Parameters, query};
use super::question::{Answer, Media, Question};
use super::routes::Route;
use super::templates::value;
use super::view::{self, Asked, Held};
use crate::answer::{
    self, Ask, FindAnswer, FindAsk, FoundAnswer, ReadingAnswer, TranslateAnswer, Wish,
};
use crate::problem::{Kind, Problem};
use crate::snapshot::Snapshot;
use crate::stamp;

/// Pieces shown of each scheme: the nearest and the next ones.
const NEAREST: usize = 3;
/// Pieces shown of what it may be.
pub(super) const PERHAPS: usize = 8;
/// Pieces among which the one that was read is looked for: a gauge that contradicts it puts it far down.
const WEIGHED: usize = 100;
/// Stamps to try on the empty page.
const EXAMPLES: usize = 6;

/// The whole page; asked with rows of wishes, the address that says the same.
pub(super) fn page(question: &Question) -> Result<Answer, Problem> {
    if question.parameters.all("want").next().is_some() {
        return Ok(Answer::SeeOther(address(&question.parameters)));
    }
    let asked = asked(&question.parameters)?;
    let (status, answer) = answer_or_problem(question, &asked);
    let page = context! {
        q => asked.text.as_str(),
        units => asked.units,
        gauges => asked.gauges.clone(),
        gauge_link => asked.gauges_link(),
        examples => examples(&question.snapshot),
        answer,
    };
    let html = question
        .counter
        .templates
        .page("counter.html", "/", &question.snapshot, page)?;
    Ok(Answer::Whole(status, Media::Html, html.into_bytes()))
}

/// The answer alone.
pub(super) fn fragment(question: &Question) -> Result<Answer, Problem> {
    let asked = asked(&question.parameters)?;
    let (status, answer) = answer_or_problem(question, &asked);
    let page = context! { units => asked.units, examples => examples(&question.snapshot), answer };
    let html = question
        .counter
        .templates
        .page("answer.html", "/", &question.snapshot, page)?;
    Ok(Answer::Whole(status, Media::Html, html.into_bytes()))
}

/// The address that says what a posted form says.
///
/// # Errors
/// The form has fields that the counter does not know.
pub(super) fn form_address(form: &str) -> Result<String, Problem> {
    let route = super::routes::ROUTES.iter().find(|route| route.path == "/");
    let known = route.map(Route::known).unwrap_or_default();
    Ok(address(&Parameters::read(form, &known)?))
}

/// The counter's address with rows of wishes joined into `wish` parameters.
fn address(parameters: &Parameters) -> String {
    let wishes = wish_rows(parameters);
    let mut pairs: Vec<(&str, &str)> = Vec::new();
    for name in ["q", "reading", "gauge", "wish", "units", "language"] {
        pairs.extend(parameters.all(name).map(|value| (name, value)));
        if name == "wish" {
            pairs.extend(wishes.iter().map(|wish| ("wish", wish.as_str())));
        }
    }
    if pairs.is_empty() {
        "/".into()
    } else {
        format!("/?{}", query(pairs))
    }
}

/// Rows in which something is wished; an amount without a direction is kept, so that it can be said what is missing.
fn wish_rows(parameters: &Parameters) -> Vec<String> {
    let amounts = parameters.all("amount").chain(std::iter::repeat(""));
    let rows = parameters.all("want").zip(amounts);
    let wished = rows.filter(|(want, amount)| !want.is_empty() || !amount.is_empty());
    wished
        .map(|(want, amount)| format!("{want} {amount}").trim().to_owned())
        .collect()
}

fn asked(parameters: &Parameters) -> Result<Asked, Problem> {
    Ok(Asked {
        text: parameters.text("q").to_owned(),
        reading: parameters.count("reading", 1, usize::MAX)?,
        gauges: parameters.all("gauge").map(str::to_owned).collect(),
        wishes: parameters.all("wish").map(str::to_owned).collect(),
        units: parameters.word("units", &["both", "mm", "inch"])?,
    })
}

fn answer_or_problem(question: &Question, asked: &Asked) -> (u16, Value) {
    match answered(&question.snapshot, asked) {
        Ok(answer) => answer,
        Err(problem) => {
            let details = problem.details();
            (
                problem.status(),
                context! { kind => "problem", announce => details.detail.as_str(), problem => value(&details) },
            )
        }
    }
}

/// The answer and its status: a piece is read although what is wished of others cannot be.
fn answered(snapshot: &Snapshot, asked: &Asked) -> Result<(u16, Value), Problem> {
    if asked.text.is_empty() {
        let nothing = context! { kind => "empty", announce => "" };
        return if asked.gauges.is_empty() {
            Ok((200, nothing))
        } else {
            let found = found(snapshot, asked, PERHAPS)?;
            Ok((200, view::found(&found, &[], asked)))
        };
    }
    let ask = Ask {
        stamp: &asked.text,
        into: Vec::new(),
        reading: asked.reading,
        limit: NEAREST,
    };
    let wish = Wish {
        budget: true,
        run: None,
        piece_only: true,
    };
    let texts: Vec<&str> = asked.wishes.iter().map(String::as_str).collect();
    let wished = answer::wishes(snapshot, &texts)
        .and_then(|wishes| answer::translate_wished(snapshot, &ask, &wish, &wishes));
    let (read, trouble) = match wished {
        Err(problem) if problem.kind == Kind::BadWish => {
            let plain = answer::translate_explained(snapshot, &ask, &wish);
            (plain, Some(problem))
        }
        other => (other, None),
    };
    match read {
        Ok(read) => {
            let (held, readings) = (held(snapshot, asked, &read)?, readings(snapshot, &read)?);
            let status = trouble.as_ref().map_or(200, Problem::status);
            let wish = view::wish(&read.reading, &read.wished, trouble.as_ref(), asked);
            let page = view::read(&read, &held, &readings, asked);
            Ok((status, context! { wish, ..page }))
        }
        Err(problem) if problem.kind == Kind::NothingMatches => {
            let misses = stamp::near_miss(&snapshot.schemes, &asked.text);
            let found = found(snapshot, asked, PERHAPS)?;
            Ok((200, view::found(&found, &misses, asked)))
        }
        Err(problem) => Err(problem),
    }
}

pub(super) fn found(
    snapshot: &Snapshot,
    asked: &Asked,
    limit: usize,
) -> Result<FindAnswer, Problem> {
    answer::find(
        snapshot,
        &FindAsk {
            partial: &asked.text,
            gauges: &asked.gauges,
            limit,
        },
    )
}

/// The gauges held against the piece that was read. Pieces of two eras may bear one marking: which
/// of them a result means is not said, and the figure of the other would be wrong.
fn held(snapshot: &Snapshot, asked: &Asked, read: &TranslateAnswer) -> Result<Held, Problem> {
    if asked.gauges.is_empty() {
        return Ok(Held::Against(Vec::new(), Vec::new()));
    }
    let same = |one: &FoundAnswer| {
        one.canonical == read.reading.canonical && one.scheme.id == read.reading.scheme.id
    };
    let mut found = found(snapshot, asked, WEIGHED)?
        .results
        .into_iter()
        .filter(same);
    Ok(match (found.next(), found.next()) {
        (Some(only), None) => Held::Against(only.gauges, only.limits),
        _ => Held::Unclear,
    })
}

/// All readings of a stamp that has more than one.
fn readings(snapshot: &Snapshot, read: &TranslateAnswer) -> Result<Vec<ReadingAnswer>, Problem> {
    if read.rivals.is_empty() {
        return Ok(Vec::new());
    }
    Ok(answer::decode(snapshot, &read.stamp)?.readings)
}

/// The first example of each scheme.
fn examples(snapshot: &Snapshot) -> Vec<Value> {
    let first = |scheme: &std::sync::Arc<crate::scheme::Scheme>| {
        let stamp = &scheme.examples.first()?.stamp;
        Some(context! { stamp, scheme => scheme.title.as_str(), link => view::stamp_link(stamp) })
    };
    snapshot
        .schemes
        .iter()
        .filter_map(first)
        .take(EXAMPLES)
        .collect()
}
