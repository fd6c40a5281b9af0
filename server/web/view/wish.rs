//! The fold-out of wishes: one control a measure.

use minijinja::{Value, context};

use super::link::Asked;
use crate::answer::{ReadingAnswer, WishedAnswer};
use crate::language;
use crate::problem::Problem;
use crate::web::templates::value;

/// What may be wished of a measure, as the address says it and as people do.
const CHANGES: [(&str, &str); 4] = [
    ("", word!("as it comes")),
    ("same", word!("the same")),
    ("more", word!("more")),
    ("less", word!("less")),
];

/// A row for each measure that is known in the neutral frame, with what was wished of it; what cannot be
/// read has a row of its own, so that it is kept.
pub(in crate::web) fn wish(
    reading: &ReadingAnswer,
    understood: &[WishedAnswer],
    problem: Option<&Problem>,
    asked: &Asked,
) -> Value {
    let measures = reading
        .neutral
        .iter()
        .filter_map(|one| one.measured.as_ref());
    let mut rows: Vec<Value> = Vec::new();
    let mut left: Vec<&String> = asked.wishes.iter().collect();
    for figure in measures {
        let about = |wish: &&String| quantity(wish) == figure.quantity;
        let wished = left.iter().position(about).map(|place| left.remove(place));
        rows.push(row(
            wished.map_or(&figure.quantity, |wish| wish),
            wished.is_some(),
            Some(value(figure)),
        ));
    }
    rows.extend(left.into_iter().map(|wish| row(wish, true, None)));
    context! {
        rows,
        open => !asked.wishes.is_empty(),
        understood => understood.iter().map(value).collect::<Vec<_>>(),
        problem => problem.map(|problem| value(&problem.details())),
        asked => context! { text => asked.text.as_str(), reading => asked.reading, gauges => asked.gauges.clone(), units => asked.units },
        without => Asked { wishes: Vec::new(), ..asked.clone() }.link(),
    }
}

/// The quantity that a wish is about, as far as it can be told.
fn quantity(wish: &str) -> String {
    let about = wish.split([':', '@']).next().unwrap_or_default();
    about.trim().to_lowercase()
}

fn row(wish: &str, wished: bool, figure: Option<Value>) -> Value {
    let (about, change) = wish
        .split_once(':')
        .filter(|_| wished)
        .unwrap_or((wish, ""));
    let (word, amount) = change.trim().split_once(' ').unwrap_or((change.trim(), ""));
    let option = |(sign, says): (&str, &str)| {
        let chosen = sign == word;
        let sign = if sign.is_empty() {
            String::new()
        } else {
            format!("{about}:{sign}")
        };
        context! { sign, says => language::word(says), chosen }
    };
    let known = CHANGES.iter().any(|(sign, _)| *sign == word);
    let other = (!known)
        .then(|| context! { sign => format!("{about}:{word}"), says => word, chosen => true });
    let options = CHANGES.map(option).into_iter().chain(other);
    context! {
        about,
        amount => amount.trim().trim_start_matches("within "),
        options => options.collect::<Vec<_>>(),
        figure,
    }
}
