//! What it may be, for the page.

use minijinja::{Value, context};

use super::dial::{needle, percent, ticks, words};
use super::link::Asked;
use crate::answer::{FindAnswer, FoundAnswer};
use crate::stamp::NearMiss;
use crate::web::templates::value;

/// Near misses shown; more would hide what was found.
const MISSES: usize = 3;

/// What was found, and what was nearly typed.
pub(in crate::web) fn found(found: &FindAnswer, misses: &[NearMiss], asked: &Asked) -> Value {
    let results: Vec<Value> = found.results.iter().map(|one| result(one, asked)).collect();
    context! {
        kind => "found",
        announce => announce(found),
        title => title(found),
        misses => misses.iter().take(MISSES).map(|one| miss(one, asked)).collect::<Vec<_>>(),
        results,
        dial_ticks => ticks(),
        something_else => percent(found.something_else),
        complete => found.complete,
        words => found.words.iter().map(value).collect::<Vec<_>>(),
    }
}

/// Half and more for something else means that no scheme here explains the marking.
fn title(found: &FindAnswer) -> &'static str {
    match (found.results.is_empty(), found.something_else >= 0.5) {
        (true, _) => "Nothing here comes near",
        (false, true) => "Probably none of these, but if one of them",
        (false, false) => "What it may be",
    }
}

fn result(one: &FoundAnswer, asked: &Asked) -> Value {
    context! {
        link => asked.as_stamped(&one.canonical).link(),
        chance => words(one.probability),
        percent => percent(one.probability),
        needle => needle(one.probability),
        ..value(one)
    }
}

fn miss(miss: &NearMiss, asked: &Asked) -> Value {
    let made = |stamp: &String| context! { stamp, link => asked.as_stamped(stamp).link() };
    context! {
        says => miss.message.as_str(),
        scheme => miss.scheme.title.as_str(),
        suggestions => miss.suggestions.iter().map(made).collect::<Vec<_>>(),
    }
}

fn announce(found: &FindAnswer) -> String {
    match found.results.as_slice() {
        [] => "nothing here comes near".into(),
        _ if found.something_else >= 0.5 => "probably no marking of a scheme here".into(),
        [only] => format!("perhaps {}, {}", only.canonical, percent(only.probability)),
        [first, rest @ ..] => format!(
            "{} {}, {}, and {} more",
            words(first.probability),
            first.canonical,
            percent(first.probability),
            rest.len()
        ),
    }
}
