//! General peers of the stamp reader: what each makes of a text that is typed as it is seen.
//!
//! A peer gets the text without `?` and `*` where it would take them for themselves. Each gives
//! its ten best by its own order.

use fst::automaton::Levenshtein;
use fst::{IntoStreamer, Map, MapBuilder, Streamer};
use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32String};
use rapidfuzz::distance::osa;
use rusqlite::Connection;

use crate::best;

/// Edits that the automaton allows; with more it is larger than it may be.
const EDITS: u32 = 2;

type Ask<'a> = &'a dyn Fn(&str) -> Vec<usize>;

/// Runs all.
pub fn all(names: &[String], peer: &impl Fn(&str, Ask)) {
    nucleo(names, peer);
    trigrams(names, peer);
    scan(names, peer);
    levenshtein(names, peer);
}

fn without_wildcards(text: &str) -> String {
    text.replace(['?', '*'], "")
}

fn nucleo(names: &[String], peer: &impl Fn(&str, Ask)) {
    let texts: Vec<Utf32String> = names.iter().map(|name| name.as_str().into()).collect();
    peer("nucleo-matcher scan", &|text| {
        let mut matcher = Matcher::new(Config::DEFAULT);
        let pattern = Pattern::parse(
            &without_wildcards(text),
            CaseMatching::Ignore,
            Normalization::Smart,
        );
        let scored = texts.iter().enumerate().filter_map(|(place, name)| {
            let score = pattern.score(name.slice(..), &mut matcher)?;
            Some((-i64::from(score), place))
        });
        best(scored)
    });
}

fn trigrams(names: &[String], peer: &impl Fn(&str, Ask)) {
    let mut data = Connection::open_in_memory().expect("memory");
    data.execute_batch("create virtual table names using fts5(name, tokenize='trigram')")
        .expect("FTS5 is bundled");
    let rows = data.transaction().expect("nobody else is there");
    for name in names {
        rows.execute("insert into names(name) values (?1)", [name])
            .expect("a row");
    }
    rows.commit().expect("nobody else is there");
    peer("SQLite FTS5, trigrams", &|text| {
        let glyphs: Vec<char> = without_wildcards(text).chars().collect();
        let quoted = |three: &[char]| {
            let three: String = three.iter().collect();
            format!("\"{}\"", three.replace('"', "\"\""))
        };
        let any: Vec<String> = glyphs.windows(3).map(quoted).collect();
        if any.is_empty() {
            return Vec::new();
        }
        let mut found = data
            .prepare_cached("select rowid from names where names match ?1 order by rank limit 10")
            .expect("good SQL");
        let rows = found
            .query_map([any.join(" OR ")], |row| row.get::<_, i64>(0))
            .expect("good SQL");
        rows.filter_map(|row| Some(row.ok()? as usize - 1))
            .collect()
    });
}

fn scan(names: &[String], peer: &impl Fn(&str, Ask)) {
    peer("rapidfuzz scan (OSA)", &|text| {
        let comparator = osa::BatchComparator::new(text.chars());
        let all = names.iter().enumerate();
        best(all.map(|(place, name)| (comparator.distance(name.chars()), place)))
    });
}

fn levenshtein(names: &[String], peer: &impl Fn(&str, Ask)) {
    let mut sorted: Vec<(&str, u64)> = names.iter().map(String::as_str).zip(0..).collect();
    sorted.sort_unstable();
    let mut builder = MapBuilder::memory();
    for (name, place) in sorted {
        builder.insert(name, place).expect("in order");
    }
    let map: Map<Vec<u8>> = builder.into_map();
    peer("fst Levenshtein, 2 edits", &|text| {
        let Ok(near) = Levenshtein::new(text, EDITS) else {
            return Vec::new();
        };
        let mut stream = map.search(near).into_stream();
        let mut found = Vec::new();
        while let Some((name, place)) = stream.next() {
            let name = String::from_utf8_lossy(name);
            let edits = osa::distance(text.chars(), name.chars());
            found.push((edits, place as usize));
        }
        best(found.into_iter())
    });
}
