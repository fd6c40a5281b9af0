//! What was meant if words were typed, and not what is struck.
//!
//! A text is typed to say what is struck, or in words. The evidence of the one and the
//! likelihoods of the other ([`crate::words`]) are probabilities of the same text, so that both
//! stand in one list by the same measure. An entry that is found both ways has both shares.

use schemars::JsonSchema;
use serde::Serialize;

use super::Candidate;
use crate::scheme::{Binding, Scheme};
use crate::snapshot::{Remembered, Snapshot};
use crate::stamp;
use crate::words::Hit;

/// Words by which something was found.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WordAnswer {
    /// The words.
    pub text: String,
    /// What they stand for: scheme, series or entry.
    pub of: String,
}

impl WordAnswer {
    /// "by words, the series: Lyra".
    pub fn says(&self) -> String {
        let text = &self.text;
        match self.of.as_str() {
            "scheme" => say!("by words, the maker: {text}", text),
            "series" => say!("by words, the series: {text}", text),
            _ => say!("by words, what is noted of it: {text}", text),
        }
    }
}

/// What is found by words and is listed; more is among "something else".
const LISTED: usize = 12;

/// Candidates by what is struck with those by words. The likeliest of either come first.
pub(super) fn with_words<'a>(
    snapshot: &'a Snapshot,
    partial: &str,
    mut candidates: Vec<Candidate<'a>>,
    evidence: f64,
) -> Vec<Candidate<'a>> {
    let hits = snapshot.words.find(partial);
    let in_words: f64 = hits.iter().map(|hit| hit.likelihood).sum();
    let total = evidence + in_words;
    if !(in_words > 0.0 && total > 0.0) {
        return candidates;
    }
    for one in &mut candidates {
        one.probability *= evidence / total;
    }
    for hit in hits.iter().take(LISTED) {
        let found = worded(snapshot, hit, hit.likelihood / total);
        let same = |one: &&mut Candidate<'_>| {
            one.scheme.id == found.scheme.id
                && one.canonical == found.canonical
                && of(hit) == "entry"
        };
        match candidates.iter_mut().find(same) {
            Some(one) => {
                one.probability += found.probability;
                one.words = found.words;
            }
            None => candidates.push(found),
        }
    }
    candidates.sort_by(|one, other| other.probability.total_cmp(&one.probability));
    candidates
}

fn of(hit: &Hit<'_, Remembered>) -> &'static str {
    match hit.value {
        Remembered::Scheme(_) => "scheme",
        Remembered::Series(..) => "series",
        Remembered::Entry(..) => "entry",
    }
}

fn worded<'a>(
    snapshot: &'a Snapshot,
    hit: &Hit<'_, Remembered>,
    probability: f64,
) -> Candidate<'a> {
    let scheme: &'a Scheme = &snapshot.schemes[hit.value.scheme()];
    let (canonical, stamps, bindings) = match *hit.value {
        Remembered::Scheme(_) => (scheme.title.clone(), Vec::new(), Vec::new()),
        Remembered::Series(_, series) => {
            let word = scheme.series[series]
                .words
                .iter()
                .position(|(word, _)| word == hit.text);
            let binding = Binding::Series {
                series,
                word: word.unwrap_or(0),
            };
            (hit.text.to_owned(), Vec::new(), vec![binding])
        }
        Remembered::Entry(_, entry) => {
            let bindings = vec![Binding::Entry(entry)];
            let (canonical, stamps) = stamped(scheme, entry, &bindings);
            (canonical, stamps, bindings)
        }
    };
    Candidate {
        scheme,
        stamps,
        bindings,
        canonical,
        probability,
        usual: 0.0,
        taken: Vec::new(),
        struck: Vec::new(),
        readings: Vec::new(),
        words: Some(WordAnswer {
            text: hit.text.to_owned(),
            of: of(hit).into(),
        }),
        gauges: Vec::new(),
        limits: Vec::new(),
        pieces: None,
        members: Vec::new(),
    }
}

/// How an entry is stamped by the first template that has a place for it; else its name.
fn stamped(scheme: &Scheme, entry: usize, bindings: &[Binding]) -> (String, Vec<usize>) {
    let stamps = 0..scheme.stamps.len();
    let mut written =
        stamps.filter_map(|stamp| Some((stamp::encode(scheme, stamp, bindings)?, vec![stamp])));
    let name = &scheme.entries[entry].name;
    let first = written.find(|(text, _)| text.contains(name.as_str()));
    first.unwrap_or_else(|| (name.clone(), Vec::new()))
}
