//! What it may be, for the page.

use minijinja::{Value, context};

use super::dial::{needle, percent, ticks, words};
use super::link::Asked;
use crate::answer::{
    ContradictingGauge, ContradictionAnswer, FindAnswer, FoundAnswer, NextAnswer, WordAnswer,
};
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
        contradiction => found.contradiction.as_ref().map(contradiction),
        gauges_contradict => found.gauges_contradict.as_deref(),
        gauges_untold => found.gauges_untold.as_deref(),
        next => found.next.as_ref().map(|next| next_look(next, asked)),
        alike => found.alike.as_deref(),
    }
}

fn contradiction(found: &ContradictionAnswer) -> Value {
    let gauge = |one: &ContradictingGauge| context! { text => one.text(), ..value(one) };
    context! { gauges => found.gauges.iter().map(gauge).collect::<Vec<_>>(), ..value(found) }
}

/// Half and more for something else means that no scheme here explains the marking.
fn title(found: &FindAnswer) -> String {
    match (found.results.is_empty(), found.something_else >= 0.5) {
        (true, _) => say!("Nothing here comes near"),
        (false, true) => say!("Probably none of these, but if one of them"),
        (false, false) => say!("What it may be"),
    }
}

fn result(one: &FoundAnswer, asked: &Asked) -> Value {
    context! {
        link => link(one, asked),
        chance => words(one.probability),
        percent => percent(one.probability),
        needle => needle(one.probability),
        certain => one.certain_in_part().join(", "),
        remarks => one.remarks(),
        words_say => one.words.as_ref().map(WordAnswer::says),
        ..value(one)
    }
}

/// A scheme found by its name has a page; a piece and a series are asked about.
fn link(one: &FoundAnswer, asked: &Asked) -> String {
    match one.words.as_ref().filter(|words| words.of == "scheme") {
        Some(_) => format!("/schemes/{}", one.scheme.id),
        None => asked.as_stamped(&one.canonical).link(),
    }
}

/// What to do next; each thing that may be seen leads to the question that is asked then.
fn next_look(next: &NextAnswer, asked: &Asked) -> Value {
    let answers = next.look.iter().flat_map(|look| &look.answers);
    let links = answers.map(|one| {
        let link = asked.as_stamped(&one.then).link();
        context! { seen => one.seen.as_str(), link }
    });
    context! { says => next.says.as_str(), answers => links.collect::<Vec<_>>() }
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
        [] => say!("nothing here comes near"),
        _ if found.something_else >= 0.5 => say!("probably no marking of a scheme here"),
        [only] => say!(
            "perhaps {stamp}, {percent}",
            stamp = only.canonical,
            percent = percent(only.probability)
        ),
        [first, rest @ ..] => say!(
            "{chance} {stamp}, {percent}, and {others} more",
            chance = words(first.probability),
            stamp = first.canonical,
            percent = percent(first.probability),
            others = rest.len()
        ),
    }
}
