//! Where one more look at a stamp tells its readings apart.
//!
//! Readings of one text may differ at a place of it ([`Struck`]). Whoever looks there again sees
//! one of the glyphs in question: the one that is there, or another of them by what
//! `tables/glyphs.yml` says of mistaking one for the other, so that a look-alike pair tells less
//! than a clear one. A glyph that could not be read the first time is read on a second look with
//! the chance [`READ`]; where it is not, nothing is learnt. All of this is judged, no source.
//!
//! Which look is worth the while beside a gauge is not decided here.

use std::collections::{BTreeMap, BTreeSet};

use super::glyphs::Glyphs;
use super::struck::{Spot, Struck};
use super::typed::folded;
use crate::uncertainty::information::of_outcomes;

/// The chance to read a glyph that was typed as unreadable, or left out at an end. Judged; no source.
pub const READ: f64 = 0.5;

/// A stretch of more glyphs is no single look.
const LONGEST: usize = 12;

/// A reading to be told from others.
#[derive(Clone, Copy, Debug)]
pub struct Suspect<'a> {
    /// How probable it is; all together need not be one.
    pub weight: f64,
    /// What it takes each place for.
    pub struck: &'a [Struck],
}

/// A look at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Where.
    pub spot: Spot,
    /// What may be seen, the likeliest first.
    pub answers: Vec<LookAnswer>,
    /// What it tells of which reading is right, in bits.
    pub bits: f64,
}

/// One thing that may be seen.
#[derive(Clone, Debug, PartialEq)]
pub struct LookAnswer {
    /// The glyphs; empty where there are none.
    pub seen: String,
    /// How probable it is that it is seen, if anything can be read there.
    pub chance: f64,
    /// The readings, by place, of which it is.
    pub of: Vec<usize>,
}

impl Glyphs {
    /// All looks at a text that tell anything of its readings, those that tell most first.
    pub fn looks(&self, text: &str, suspects: &[Suspect<'_>]) -> Vec<Look> {
        let characters: Vec<char> = text.chars().collect();
        let spots: BTreeSet<Spot> = suspects
            .iter()
            .flat_map(|one| one.struck.iter().map(|struck| struck.spot))
            .collect();
        let looks = spots
            .into_iter()
            .filter_map(|spot| self.look(&characters, spot, suspects));
        let mut looks: Vec<Look> = looks.collect();
        looks.sort_by(|one, other| other.bits.total_cmp(&one.bits));
        looks
    }

    /// A look at one place; none where all readings have the same there.
    fn look(&self, text: &[char], spot: Spot, suspects: &[Suspect<'_>]) -> Option<Look> {
        let mut of: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (place, one) in suspects.iter().enumerate() {
            of.entry(meant_at(one.struck, spot))
                .or_default()
                .push(place);
        }
        let longest = of.keys().map(|one| one.chars().count()).max()?;
        if of.len() < 2 || longest > LONGEST {
            return None;
        }
        let meanings: Vec<&String> = of.keys().collect();
        let rows: Vec<Vec<f64>> = meanings
            .iter()
            .map(|one| self.seen_as(one, &meanings))
            .collect();
        let weight = |of: &Vec<usize>| of.iter().map(|&one| suspects[one].weight).sum();
        let weights: Vec<f64> = of.values().map(weight).collect();
        let total: f64 = weights.iter().sum();
        let bits = of_outcomes(&weights, &rows) * chance_to_read(text, spot, &meanings);
        let chance = |outcome: usize| {
            let joint = weights
                .iter()
                .zip(&rows)
                .map(|(weight, row)| weight * row[outcome]);
            joint.sum::<f64>() / total
        };
        let mut answers: Vec<LookAnswer> = (meanings.iter().zip(of.values()).enumerate())
            .map(|(outcome, (seen, of))| LookAnswer {
                seen: (*seen).clone(),
                chance: chance(outcome),
                of: of.clone(),
            })
            .collect();
        answers.sort_by(|one, other| other.chance.total_cmp(&one.chance));
        Some(Look {
            spot,
            answers,
            bits,
        })
    }

    /// The probabilities that what is meant is seen as each of these.
    fn seen_as(&self, meant: &str, seen: &[&String]) -> Vec<f64> {
        let costs = seen.iter().map(|seen| self.mistaken(meant, seen));
        let weights: Vec<f64> = costs.map(|cost| (-cost).exp()).collect();
        let total: f64 = weights.iter().sum();
        weights.iter().map(|weight| weight / total).collect()
    }

    /// The least cost of taking some glyphs for others: mistaken, lost, or never struck.
    fn mistaken(&self, meant: &str, seen: &str) -> f64 {
        let seen: Vec<char> = seen.chars().collect();
        let mut row: Vec<f64> = Vec::with_capacity(seen.len() + 1);
        row.push(0.0);
        for &one in &seen {
            row.push(row[row.len() - 1] + self.extra(one));
        }
        for meant in meant.chars() {
            let before = std::mem::take(&mut row);
            row.push(before[0] + self.lost(meant));
            for (place, &one) in seen.iter().enumerate() {
                let taken = before[place] + self.taken(meant, one);
                let lost = before[place + 1] + self.lost(meant);
                row.push(taken.min(lost).min(row[place] + self.extra(one)));
            }
        }
        row[seen.len()]
    }

    fn taken(&self, meant: char, seen: char) -> f64 {
        match meant == seen {
            true => 0.0,
            false if folded(meant) == folded(seen) => self.case,
            false => self.substitution(meant, seen),
        }
    }
}

fn meant_at(struck: &[Struck], spot: Spot) -> String {
    let all = struck.iter().filter(|one| one.spot == spot);
    all.map(|one| one.meant.as_str()).collect()
}

/// Each glyph by which the longest of the meanings may differ must be read, where none could be.
fn chance_to_read(text: &[char], spot: Spot, meanings: &[&String]) -> f64 {
    let unread = match spot {
        Spot::At(place) => matches!(text.get(place), Some('?' | '*')),
        Spot::Before(place) => place == 0 || place >= text.len(),
    };
    match unread {
        true => READ.powi(differing(meanings) as i32),
        false => 1.0,
    }
}

/// How many glyphs the longest has beside those with which all begin, and all end.
fn differing(meanings: &[&String]) -> usize {
    let all: Vec<Vec<char>> = meanings.iter().map(|one| one.chars().collect()).collect();
    let shortest = all.iter().map(Vec::len).min().unwrap_or(0);
    let longest = all.iter().map(Vec::len).max().unwrap_or(0);
    let same = |at: &dyn Fn(&Vec<char>) -> char| all.iter().all(|one| at(one) == at(&all[0]));
    let begin = (0..shortest)
        .take_while(|&place| same(&|one| one[place]))
        .count();
    let end = (1..=shortest - begin)
        .take_while(|&back| same(&|one| one[one.len() - back]))
        .count();
    longest - begin - end
}
