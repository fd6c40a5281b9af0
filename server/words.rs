//! Free words: series, titles, notes, older names, found by some of their letters.
//!
//! Both sides are brought to one form first: compatibility forms, case and diacritics are folded. A
//! query's letters must occur in their order. This is no typo tolerance, and figures are not words:
//! `7` occurs in `17` and `27`, which are other sizes, so whatever holds a digit never reaches the
//! matcher. Stamps are [`crate::stamp`]'s.
//!
//! The matcher's scores are only good to order what it finds. What goes into one list with stamps is
//! how likely somebody who means a text types the query, by a model of four manners: all of the
//! text; some of its words in their order, any number and choice of them as likely; a beginning, of any length as
//! likely; some of its letters, which the matcher places: how many of them is as likely, each
//! further run of neighbours half as likely as one fewer, any place of so many runs as likely. What
//! is typed beside words is as unlikely as glyphs that are anything at all. How often each manner is
//! used ([`Manners`]) is judged, no source; `tests/words.rs` draws queries in other manners, from a
//! seed, and holds that what is stated to be so probable is so.

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
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit<'a, T> {
    /// 1 for the best.
    pub rank: usize,
    /// How probable it is that somebody types words, means this text, and types this query.
    pub likelihood: f64,
    /// What the text stands for.
    pub value: &'a T,
    /// The text, as it was given.
    pub text: &'a str,
}

/// How often each manner of typing a text is used; together 1.
struct Manners {
    all: f64,
    words: f64,
    beginning: f64,
    letters: f64,
}

const MANNERS: Manners = Manners {
    all: 0.40,
    words: 0.25,
    beginning: 0.25,
    letters: 0.10,
};

/// The share of texts typed that are words and not what is struck.
const SHARE: f64 = 0.05;

/// A glyph that is typed beside words is one of so many.
const GLYPHS: f64 = 40.0;

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

    /// What `query` finds, the likeliest first, then the shortest, then the earliest.
    pub fn find(&self, query: &str) -> Vec<Hit<'_, T>> {
        let (words, beside) = query_words(query);
        if words.is_empty() {
            return Vec::new();
        }
        let each = SHARE * GLYPHS.powi(-(beside as i32)) / self.items.len() as f64;
        let met = |item| Some((each * self.likelihood(&words, item)?, item));
        let mut found: Vec<(f64, &Item<T>)> = self.items.iter().filter_map(met).collect();
        let length = |item: &Item<T>| item.folded.chars().count();
        found.sort_by(|(one, item), (two, other)| {
            two.total_cmp(one)
                .then_with(|| length(item).cmp(&length(other)))
        });
        let hits = found.into_iter().zip(1..);
        hits.map(|((likelihood, item), rank)| Hit {
            rank,
            likelihood,
            value: &item.value,
            text: &item.text,
        })
        .collect()
    }

    /// How likely somebody who means a text types these words; none where a word is not met.
    fn likelihood(&self, query: &[String], item: &Item<T>) -> Option<f64> {
        let met = query
            .iter()
            .map(|word| self.matcher.fuzzy_indices(&item.folded, word));
        let placed: Vec<Vec<usize>> = met
            .map(|met| met.map(|(_, places)| places))
            .collect::<Option<_>>()?;
        let joined = query.join(" ");
        let text = &item.folded;
        let words: Vec<&str> = text
            .split(|one: char| !one.is_alphanumeric())
            .filter(|one| !one.is_empty())
            .collect();
        let length = text.chars().count() as f64;
        let all = if joined == *text { MANNERS.all } else { 0.0 };
        let some = match in_order(query, &words) {
            true => MANNERS.words / words.len() as f64 / choices(words.len(), query.len()),
            false => 0.0,
        };
        let beginning = if text.starts_with(&joined) {
            MANNERS.beginning / length
        } else {
            0.0
        };
        let letters: f64 = placed
            .iter()
            .map(|places| scattered(places, length as usize))
            .product();
        // One word as often as all further numbers of words together, and so on.
        let letters = MANNERS.letters * 0.5_f64.powi(query.len() as i32) * letters;
        Some(all + some + beginning + letters)
    }
}

/// Whether these are words of a text, as they follow each other there.
fn in_order(query: &[String], words: &[&str]) -> bool {
    let mut rest = words.iter();
    query.iter().all(|one| rest.any(|word| word == one))
}

/// How likely just these of so many letters are left: any number of them as likely, each further
/// run of neighbours half as likely, any place of the runs as likely.
fn scattered(places: &[usize], length: usize) -> f64 {
    let taken = places.len();
    let runs = 1 + places.windows(2).filter(|two| two[1] != two[0] + 1).count();
    let ways =
        choices(taken.saturating_sub(1), runs - 1) * choices(length + 1 - taken.min(length), runs);
    0.5_f64.powi(runs as i32) / length as f64 / ways.max(1.0)
}

/// In how many ways so many can be chosen.
fn choices(of: usize, chosen: usize) -> f64 {
    let chosen = chosen.min(of);
    (0..chosen)
        .map(|one| (of - one) as f64 / (one + 1) as f64)
        .product()
}

/// The words of a query that hold no digit, and how many characters the others have.
fn query_words(query: &str) -> (Vec<String>, usize) {
    let beyond = query.chars().count().saturating_sub(LONGEST_QUERY);
    let query = cut(&folded(&cut(query, LONGEST_QUERY)), LONGEST_QUERY);
    let words = query.split(' ').filter(|word| !word.is_empty());
    let (others, words): (Vec<&str>, Vec<&str>) =
        words.partition(|word| word.contains(char::is_numeric));
    let beside = others
        .iter()
        .map(|word| word.chars().count())
        .sum::<usize>();
    (
        words.into_iter().map(str::to_owned).collect(),
        beside + beyond,
    )
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
