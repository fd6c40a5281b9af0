//! How probable the names are that a hunt did not look at.
//!
//! An estimate, not a bound: a bound on a million names that are each next to impossible would
//! leave nothing to the few that are likely. What was looked at tells how far costs lie above
//! bounds, and how much there is in a group; the rest is taken to be like it.

use super::bound::UNIT;
use super::closer::{NEVER, Thousandths};
use super::hunt::BUCKETS;

/// How many names and groups there were, and how probable, by bucket.
pub(super) struct Tally {
    /// Groups that waited.
    pub groups: Vec<u32>,
    /// Groups that were looked at.
    pub looked: Vec<u32>,
    /// By the bucket of their group, the chances of names by their bounds.
    seen: Vec<f64>,
    /// Of those aligned, by their bounds and by their costs.
    bounds: f64,
    costs: f64,
}

impl Tally {
    /// Of nothing yet.
    pub fn new() -> Self {
        Self {
            groups: vec![0; BUCKETS],
            looked: vec![0; BUCKETS],
            seen: vec![0.0; BUCKETS],
            bounds: 0.0,
            costs: 0.0,
        }
    }

    /// Lets a group wait in a later bucket.
    pub fn put_off(&mut self, bucket: usize, later: usize) {
        self.groups[bucket] -= 1;
        self.groups[later] += 1;
    }

    /// Takes a name of a group of this bucket by its bound.
    pub fn saw(&mut self, bucket: usize, bound: Thousandths) {
        self.seen[bucket] += chance(bound);
    }

    /// Takes a name by what it costs.
    pub fn aligned(&mut self, bound: Thousandths, cost: Thousandths) {
        self.bounds += chance(bound);
        self.costs += chance(cost);
    }

    /// The probability of all names: of those aligned by their costs; of the others by their
    /// bounds, as much less as it was for those aligned; and of groups that were not looked at
    /// as in the last bucket of which any were.
    pub fn others(&self) -> f64 {
        let share = if self.bounds > 0.0 {
            self.costs / self.bounds
        } else {
            1.0
        };
        let seen: f64 = self.seen.iter().sum();
        let waiting = (seen - self.bounds).max(0.0) * share;
        let last = self.looked.iter().rposition(|&looked| looked > 0);
        let unseen = last.map_or(0.0, |last| {
            let of_group = self.seen[last] / f64::from(self.looked[last]) * share;
            let left = (last..BUCKETS).map(|bucket| {
                let groups = self.groups[bucket] - self.looked[bucket];
                let further = (last as f64 - bucket as f64) * UNIT;
                f64::from(groups) * further.exp()
            });
            of_group * left.sum::<f64>()
        });
        self.costs + waiting + unseen
    }
}

fn chance(cost: Thousandths) -> f64 {
    if cost >= NEVER {
        0.0
    } else {
        (f64::from(-cost) / 1000.0).exp()
    }
}
