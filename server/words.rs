//! Free words: series, titles, notes, older names, found by some of their letters.
//!
//! A query's letters must occur in their order. Both sides are brought to one form first:
//! compatibility forms, case and diacritics are folded. This is no typo tolerance, and
//! figures are not words: `7` occurs in `17` and `27`, which are other sizes, so whatever holds a
//! digit is dropped from a query before it is looked for. Stamps are [`crate::stamp`]'s.

use std::cmp::Reverse;

use fuzzy_matcher::FuzzyMatcher;
use fuzzy_matcher::skim::SkimMatcherV2;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Characters of a query that are looked at; the work grows with query times text.
const LONGEST_QUERY: usize = 64;

/// Characters of a text that are looked at.
const LONGEST_TEXT: usize = 256;

/// Texts that can be found, each with what it stands for.
pub struct Words<T> {
    matcher: SkimMatcherV2,
    items: Vec<Item<T>>,
}

struct Item<T> {
    text: String,
    folded: String,
    value: T,
}

/// A text that was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hit<'a, T> {
    /// 1 for the best.
    pub rank: usize,
    /// What the text stands for.
    pub value: &'a T,
    /// The text, as it was given.
    pub text: &'a str,
}

/// How a query meets a text, the best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Meeting {
    Exact,
    WholeWords,
    Beginning,
    Letters,
}

impl<T> Words<T> {
    /// Makes texts ready to be found.
    ///
    /// ```
    /// use counterbore::words::Words;
    ///
    /// let words = Words::new([("Ärger".to_owned(), 1), ("Lyra".to_owned(), 2)].into_iter());
    /// assert_eq!(words.find("lya")[0].value, &2);
    /// assert_eq!(words.find("arger")[0].text, "Ärger");
    /// assert!(words.find("62").is_empty());
    /// ```
    pub fn new(items: impl Iterator<Item = (String, T)>) -> Self {
        let items = items.map(|(text, value)| Item {
            folded: cut(&folded(&text), LONGEST_TEXT),
            text,
            value,
        });
        Self {
            matcher: SkimMatcherV2::default().ignore_case(),
            items: items.collect(),
        }
    }

    /// What `query` finds: exact first, then whole words, then beginnings, then the rest;
    /// among these the closest, the shorter, the earlier.
    pub fn find(&self, query: &str) -> Vec<Hit<'_, T>> {
        let query = query_words(query);
        if query.is_empty() {
            return Vec::new();
        }
        let mut found: Vec<_> = self
            .items
            .iter()
            .filter_map(|item| Some((self.meet(&query, item)?, item)))
            .collect();
        found.sort_by_key(|((meeting, score), item)| {
            (*meeting, Reverse(*score), item.folded.chars().count())
        });
        let hits = found.into_iter().zip(1..);
        hits.map(|((_, item), rank)| Hit {
            rank,
            value: &item.value,
            text: &item.text,
        })
        .collect()
    }

    /// Every word of the query must be met.
    fn meet(&self, query: &[String], item: &Item<T>) -> Option<(Meeting, i64)> {
        let scores = query
            .iter()
            .map(|word| self.matcher.fuzzy_match(&item.folded, word));
        let score = scores.sum::<Option<i64>>()?;
        Some((meeting(query, &item.folded), score))
    }
}

fn meeting(query: &[String], text: &str) -> Meeting {
    let words: Vec<&str> = text.split(|one: char| !one.is_alphanumeric()).collect();
    if query.join(" ") == text {
        Meeting::Exact
    } else if query.iter().all(|word| words.contains(&word.as_str())) {
        Meeting::WholeWords
    } else if text.starts_with(&query[0]) {
        Meeting::Beginning
    } else {
        Meeting::Letters
    }
}

/// The words of a query that hold no digit.
fn query_words(query: &str) -> Vec<String> {
    let query = folded(&cut(query, LONGEST_QUERY));
    let words = cut(&query, LONGEST_QUERY);
    words
        .split(' ')
        .filter(|word| !word.is_empty() && !word.contains(char::is_numeric))
        .map(str::to_owned)
        .collect()
}

fn cut(text: &str, longest: usize) -> String {
    text.chars().take(longest).collect()
}

/// One form for both sides.
fn folded(text: &str) -> String {
    let plain: String = text
        .nfkd()
        .filter(|one| !is_combining_mark(*one))
        .map(plain)
        .collect();
    let lower = plain.to_lowercase().replace('ß', "ss");
    lower.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn plain(character: char) -> char {
    match character {
        '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
        '\u{2044}' => '/',
        other => other,
    }
}
