//! Pieces that differ only in figures of which nothing tells, as one line with open fields.
//!
//! `Lyra 6*` fits every cup that begins with 6 with every rim of the grid, and each as well as the next:
//! a hundred equal lines would hide all else. They are one candidate, as probable as those of them that
//! were seen together, whose name has `?` where they differ: one for each sign that they do not share, or
//! for a field of which nothing was seen. Fewer than [`MANY`] stay apart, since one may yet be picked by eye.

use std::collections::HashMap;

use super::Candidate;
use super::certain::{seen, segments};
use crate::scheme::Binding;
use crate::stamp::{Segment, SegmentKind};

/// So many equal pieces are one line. Judged; no source.
const MANY: usize = 12;

/// Whether the last candidate is one of several that are alike, so that more of them may be out of sight.
pub(super) fn spills(candidates: &[Candidate<'_>]) -> bool {
    let mut struck = candidates.iter().rev().filter(|one| !one.struck.is_empty());
    let last = struck.next().and_then(key);
    last.is_some() && struck.any(|one| key(one) == last)
}

/// The candidates by lines, the most probable first. Where not `all` are there, more may be as probable as
/// the last: how many pieces that line stands for is not told.
pub(super) fn gathered<'a>(
    partial: &str,
    candidates: Vec<Candidate<'a>>,
    all: bool,
) -> Vec<Candidate<'a>> {
    let keys: Vec<Option<Key>> = candidates.iter().map(key).collect();
    let mut struck = candidates.iter().rev().filter(|one| !one.struck.is_empty());
    let last = struck.next().map(likelihood).filter(|_| !all);
    let mut count: HashMap<Key, usize> = HashMap::new();
    for key in keys.iter().flatten() {
        *count.entry(key.clone()).or_default() += 1;
    }
    let mut groups: HashMap<Key, usize> = HashMap::new();
    let mut lines: Vec<Vec<Candidate<'a>>> = Vec::new();
    for (one, key) in candidates.into_iter().zip(keys) {
        let many = key.filter(|key| count[key] >= MANY);
        match many.as_ref().and_then(|key| groups.get(key)) {
            Some(&line) => lines[line].push(one),
            None => {
                many.map(|key| groups.insert(key, lines.len()));
                lines.push(vec![one]);
            }
        }
    }
    let is_whole = |line: &Vec<Candidate<'a>>| line.first().map(likelihood) != last;
    let lines = lines.into_iter().filter_map(|line| {
        let whole = is_whole(&line);
        one_line(partial, line, whole)
    });
    let mut lines: Vec<Candidate<'a>> = lines.collect();
    lines.sort_by(|one, other| other.probability.total_cmp(&one.probability));
    lines
}

/// What pieces of one line have in common: the scheme, the stamps, all but the figures, the probability
/// and how usual they are.
type Key = (String, Vec<usize>, String, i64, i64);

/// None where it has no figure that may be open, or more is known of it than its stamp.
fn key(one: &Candidate<'_>) -> Option<Key> {
    let is_open = |binding: &&Binding| matches!(binding, Binding::Figure(..));
    let stamped = !one.struck.is_empty() && one.gauges.is_empty() && one.limits.is_empty();
    let open = stamped && one.words.is_none() && one.bindings.iter().any(|one| is_open(&one));
    open.then(|| {
        let fixed: Vec<String> = one
            .bindings
            .iter()
            .map(|binding| match binding {
                Binding::Figure(figure, _) => format!("figure {figure}"),
                other => format!("{other:?}"),
            })
            .collect();
        let probability = likelihood(one);
        (
            one.scheme.id.clone(),
            one.stamps.clone(),
            fixed.join(", "),
            probability,
            millionths(one.usual),
        )
    })
}

/// By which equal probabilities are equal.
fn likelihood(one: &Candidate<'_>) -> i64 {
    millionths(one.probability.ln())
}

fn millionths(logarithm: f64) -> i64 {
    (logarithm * 1e6).round() as i64
}

fn one_line<'a>(
    partial: &str,
    mut members: Vec<Candidate<'a>>,
    whole: bool,
) -> Option<Candidate<'a>> {
    if members.len() < 2 {
        return members.pop();
    }
    let head = members.first()?;
    let fields: Vec<String> = (0..segments(head).count())
        .map(|place| field(partial, &members, place))
        .collect();
    let shared = |taken: &&super::TakenAnswer| members.iter().all(|one| one.taken.contains(taken));
    let mut readings = head.readings.clone();
    let all = readings.iter_mut().flat_map(|reading| &mut reading.parts);
    let all = all.flat_map(|part| &mut part.segments);
    let mut texts = fields.iter();
    for segment in all.filter(|one| one.what != SegmentKind::Separator) {
        if let Some(text) = texts.next().filter(|text| **text != segment.text) {
            segment.meaning = say!("not told");
            segment.text.clone_from(text);
        }
    }
    Some(Candidate {
        scheme: head.scheme,
        stamps: head.stamps.clone(),
        bindings: head.bindings.clone(),
        canonical: named(head, &fields),
        probability: members.iter().map(|one| one.probability).sum(),
        usual: head.usual,
        taken: head.taken.iter().filter(shared).cloned().collect(),
        struck: head.struck.clone(),
        readings,
        words: None,
        gauges: Vec::new(),
        limits: Vec::new(),
        pieces: whole.then_some(members.len()),
        members,
    })
}

/// A segment as all members have it: what was seen of it and is the same in all, else `?`.
fn field(partial: &str, members: &[Candidate<'_>], place: usize) -> String {
    let texts: Vec<Vec<char>> = members
        .iter()
        .filter_map(|one| Some(segments(one).nth(place)?.text.chars().collect()))
        .collect();
    let Some(first) = texts.first() else {
        return String::new();
    };
    if texts.iter().all(|text| text == first) {
        return first.iter().collect();
    }
    let seen = seen(partial, &members[0]);
    let seen = seen.get(place).map_or(&[][..], Vec::as_slice);
    let same = |at: usize| texts.iter().all(|text| text.get(at) == first.get(at));
    let told = |at: usize| same(at) && seen.get(at) == Some(&true);
    let alike = texts.iter().all(|text| text.len() == first.len());
    match (0..first.len()).any(told) && alike {
        true => (0..first.len())
            .map(|at| if told(at) { first[at] } else { '?' })
            .collect(),
        false => "?".into(),
    }
}

/// The canonical stamp with these texts for its segments.
fn named(head: &Candidate<'_>, fields: &[String]) -> String {
    let (mut written, mut rest) = (String::new(), head.canonical.as_str());
    for (Segment { text, .. }, field) in segments(head).zip(fields) {
        if let Some((before, after)) = rest.split_once(text.as_str()) {
            written.push_str(before);
            written.push_str(field);
            rest = after;
        }
    }
    written + rest
}
