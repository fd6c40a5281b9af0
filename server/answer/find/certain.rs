//! Of which segments of a stamp its candidates agree.
//!
//! A segment is as probable as all candidates of its scheme that say the same together. It is
//! certain where some of it was seen, every probable one of them says so, and no probable one was
//! left out of sight: "the series is sure, the cup is not". Of what nobody saw it is certain only
//! where it is probable among all that the piece may be, things of no scheme here included; so is what a
//! line of many pieces has, since each of these weighs too little for what lies out of sight to weigh less.
//! Where they differ nothing is certain.

use std::collections::HashMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::super::decode::SegmentAnswer;
use super::Candidate;
use crate::stamp::{Segment, SegmentKind, Spot};

/// A segment of the canonical stamp, and how sure it is.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundSegment {
    /// The segment.
    #[serde(flatten)]
    pub segment: SegmentAnswer,
    /// The probability of all candidates of this scheme that say the same, 0 to 1.
    pub probability: f64,
    /// Whether some of it was seen and all probable candidates of this scheme say the same, or it is as good as
    /// sure (0.95) among all that it may be.
    pub certain: bool,
}

/// A candidate of this probability and more must agree, or nothing is certain. Judged; no source.
pub(super) const PROBABLE: f64 = 0.01;

/// So probable is what counts as certain though nobody saw it: the level of all that is said here.
const SURE: f64 = 0.95;

/// What candidates agree on.
pub(super) struct Agreed<'p> {
    /// What was typed.
    partial: &'p str,
    /// By scheme and segment: the probability, and how many probable candidates say so.
    said: HashMap<(String, String), (f64, usize)>,
    /// By scheme, how many candidates are probable.
    probable: HashMap<String, usize>,
    /// Whether there can be no further probable ones.
    whole: bool,
}

impl<'p> Agreed<'p> {
    /// Among candidates, `whole` where there can be no further probable ones.
    pub fn among(partial: &'p str, candidates: &[Candidate<'_>], whole: bool) -> Self {
        let mut agreed = Self {
            partial,
            said: HashMap::new(),
            probable: HashMap::new(),
            whole,
        };
        for one in candidates {
            let probable = usize::from(one.probability >= PROBABLE);
            *agreed.probable.entry(one.scheme.id.clone()).or_default() += probable;
            let mut keys: Vec<_> = segments(one).map(|segment| key(one, segment)).collect();
            keys.sort();
            keys.dedup();
            for key in keys {
                let said = agreed.said.entry(key).or_default();
                *said = (said.0 + one.probability, said.1 + probable);
            }
        }
        agreed
    }

    /// The segments of a candidate.
    pub fn segments(&self, candidate: &Candidate<'_>) -> Vec<FoundSegment> {
        let probable = self.probable.get(&candidate.scheme.id).copied();
        let seen = seen(self.partial, candidate);
        let was_seen = |place: usize| seen.get(place).is_some_and(|seen| seen.contains(&true));
        let found = |(place, segment): (usize, &Segment)| {
            let said = self.said.get(&key(candidate, segment));
            let (probability, agree) = said.copied().unwrap_or_default();
            let is_line = candidate.members.len() > 1;
            let agreed = self.whole && !is_line && agree > 0 && Some(agree) == probable;
            let is_open = is_line && segment.text.contains('?');
            FoundSegment {
                segment: SegmentAnswer::of(segment),
                probability: super::steady(probability.min(1.0)),
                certain: !is_open && (agreed && was_seen(place) || probability >= SURE),
            }
        };
        segments(candidate).enumerate().map(found).collect()
    }
}

/// Of each segment of a candidate, which of its signs were seen: typed, and not as `?` or `*`. What was typed is
/// held against the segments sign by sign, since a text may be spelled otherwise than the canonical stamp.
pub(super) fn seen(partial: &str, candidate: &Candidate<'_>) -> Vec<Vec<bool>> {
    let typed: Vec<char> = partial.chars().collect();
    let was_seen = |spot: Spot| match spot {
        Spot::At(place) => !matches!(typed.get(place), None | Some('?' | '*')),
        Spot::Before(_) => false,
    };
    let struck: Vec<(char, bool)> = candidate
        .struck
        .iter()
        .flat_map(|one| one.meant.chars().map(|sign| (sign, was_seen(one.spot))))
        .collect();
    let signs: Vec<char> = segments(candidate)
        .flat_map(|segment| segment.text.chars())
        .collect();
    let mut seen = in_order(&signs, &struck).into_iter();
    segments(candidate)
        .map(|segment| seen.by_ref().take(segment.text.chars().count()).collect())
        .collect()
}

/// For each sign whether it was seen, by the longest run of signs that both have in one order.
fn in_order(signs: &[char], struck: &[(char, bool)]) -> Vec<bool> {
    let same = |sign: char, other: char| sign.to_lowercase().eq(other.to_lowercase());
    let mut longest = vec![vec![0_usize; struck.len() + 1]; signs.len() + 1];
    for (row, sign) in signs.iter().enumerate().rev() {
        for (column, (other, _)) in struck.iter().enumerate().rev() {
            longest[row][column] = match same(*sign, *other) {
                true => longest[row + 1][column + 1] + 1,
                false => longest[row + 1][column].max(longest[row][column + 1]),
            };
        }
    }
    let (mut seen, mut row, mut column) = (vec![false; signs.len()], 0, 0);
    while row < signs.len() && column < struck.len() {
        if same(signs[row], struck[column].0) {
            seen[row] = struck[column].1;
            (row, column) = (row + 1, column + 1);
        } else if longest[row + 1][column] >= longest[row][column + 1] {
            row += 1;
        } else {
            column += 1;
        }
    }
    seen
}

/// Those that say something.
pub(super) fn segments<'a>(candidate: &'a Candidate<'_>) -> impl Iterator<Item = &'a Segment> {
    let parts = candidate.readings.iter().flat_map(|reading| &reading.parts);
    let segments = parts.flat_map(|part| &part.segments);
    segments.filter(|one| one.what != SegmentKind::Separator)
}

fn key(candidate: &Candidate<'_>, segment: &Segment) -> (String, String) {
    let said = format!("{:?} {} {}", segment.what, segment.text, segment.meaning);
    (candidate.scheme.id.clone(), said)
}
