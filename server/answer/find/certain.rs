//! Of which segments of a stamp its candidates agree.
//!
//! A segment is as probable as all candidates of its scheme that say the same together. It is
//! certain where every probable one of them says so, and no probable one was left out of sight:
//! "the series is sure, the cup is not".

use std::collections::HashMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::super::decode::SegmentAnswer;
use super::Candidate;
use crate::stamp::{Segment, SegmentKind};

/// A segment of the canonical stamp, and how sure it is.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundSegment {
    /// The segment.
    #[serde(flatten)]
    pub segment: SegmentAnswer,
    /// The probability of all candidates of this scheme that say the same, 0 to 1.
    pub probability: f64,
    /// Whether all probable candidates of this scheme say the same.
    pub certain: bool,
}

/// A candidate of this probability and more must agree, or nothing is certain. Judged; no source.
pub(super) const PROBABLE: f64 = 0.01;

/// What candidates agree on.
pub(super) struct Agreed {
    /// By scheme and segment: the probability, and how many probable candidates say so.
    said: HashMap<(String, String), (f64, usize)>,
    /// By scheme, how many candidates are probable.
    probable: HashMap<String, usize>,
    /// Whether there can be no further probable ones.
    whole: bool,
}

impl Agreed {
    /// Among candidates in order; `all` where there are no others.
    pub fn among(candidates: &[Candidate<'_>], all: bool) -> Self {
        let last = candidates.last().map_or(0.0, |last| last.probability);
        let mut agreed = Self {
            said: HashMap::new(),
            probable: HashMap::new(),
            whole: all || last < PROBABLE,
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
        let found = |segment: &Segment| {
            let said = self.said.get(&key(candidate, segment));
            let (probability, agree) = said.copied().unwrap_or_default();
            FoundSegment {
                segment: SegmentAnswer::of(segment),
                probability: super::steady(probability.min(1.0)),
                certain: self.whole && agree > 0 && Some(agree) == probable,
            }
        };
        segments(candidate).map(found).collect()
    }
}

/// Those that say something.
fn segments<'a>(candidate: &'a Candidate<'_>) -> impl Iterator<Item = &'a Segment> {
    let parts = candidate.readings.iter().flat_map(|reading| &reading.parts);
    let segments = parts.flat_map(|part| &part.segments);
    segments.filter(|one| one.what != SegmentKind::Separator)
}

fn key(candidate: &Candidate<'_>, segment: &Segment) -> (String, String) {
    let said = format!("{:?} {} {}", segment.what, segment.text, segment.meaning);
    (candidate.scheme.id.clone(), said)
}
