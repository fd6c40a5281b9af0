//! What stands behind the `?` of an address, read against what a route knows.
//!
//! Values are trimmed, empty ones say nothing unless a list is meant, and an unknown name is refused: a
//! misspelled wish that is passed over would be answered wrongly. Written back in the order of
//! the route's table, two ways of asking the same are one key in the cache.

use actix_web::web::Query;
use reqwest::Url;

use crate::diagnostic::nearest;
use crate::load::Day;
use crate::problem::{Kind, Problem};

/// A parameter that a route knows.
#[derive(Clone, Copy, Debug)]
pub struct Parameter {
    /// Its name.
    pub name: &'static str,
    /// What it says.
    pub says: &'static str,
    /// Whether it may stand more than once.
    pub repeats: bool,
    /// Whether an empty value is handed on, to be refused; it says nothing otherwise.
    pub empty_counts: bool,
    /// Whether the route needs it.
    pub required: bool,
}

/// The day that a sheet bears. Where none is given, the server gives that of the question: an answer
/// that is kept is then kept for that day.
pub const DATE: Parameter = Parameter {
    name: "date",
    says: "the day that stands on it, as 2031-04-05; today in UTC if not given",
    repeats: false,
    empty_counts: false,
    required: false,
};

/// Parameters of one request.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parameters {
    pairs: Vec<(String, String)>,
}

impl Parameters {
    /// Reads a query.
    ///
    /// # Errors
    /// An unknown name, or one that stands too often.
    pub fn read(query: &str, known: &[Parameter]) -> Result<Self, Problem> {
        let written = Query::<Vec<(String, String)>>::from_query(query).map_err(|_| {
            Problem::new(
                Kind::BadParameter,
                sentence!("what follows the `?` cannot be read"),
            )
        })?;
        let pairs = written.into_inner();
        if let Some((name, _)) = pairs
            .iter()
            .find(|(name, _)| known.iter().all(|one| one.name != name))
        {
            return Err(unknown(name, known));
        }
        let mut ordered = Vec::with_capacity(pairs.len());
        for parameter in known {
            let of_it = pairs.iter().filter(|(name, _)| name == parameter.name);
            let said: Vec<&str> = of_it
                .map(|(_, value)| value.trim())
                .filter(|value| parameter.empty_counts || !value.is_empty())
                .collect();
            if said.len() > 1 && !parameter.repeats {
                let says = sentence!(
                    "`{parameter}` may stand only once",
                    parameter = parameter.name.to_string()
                );
                return Err(Problem::new(Kind::BadParameter, says));
            }
            ordered.extend(
                said.into_iter()
                    .map(|value| (parameter.name.to_owned(), value.to_owned())),
            );
        }
        Ok(Self { pairs: ordered })
    }

    /// Whatever a query says, in its own order; nothing where it cannot be read.
    pub fn any(query: &str) -> Self {
        let written = Query::<Vec<(String, String)>>::from_query(query);
        Self {
            pairs: written.map(Query::into_inner).unwrap_or_default(),
        }
    }

    /// Names and values.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        let pairs = self.pairs.iter();
        pairs.map(|(name, value)| (name.as_str(), value.as_str()))
    }

    /// The value of a parameter; empty where it is not given.
    pub fn text(&self, name: &'static str) -> &str {
        self.all(name).next().unwrap_or_default()
    }

    /// All values of a parameter.
    pub fn all(&self, name: &'static str) -> impl Iterator<Item = &str> {
        self.pairs
            .iter()
            .filter(move |(known, _)| known == name)
            .map(|(_, value)| value.as_str())
    }

    /// A whole number from 1 to `most`; `default` where it is not given.
    ///
    /// # Errors
    /// It is no such number.
    pub fn count(&self, name: &'static str, default: usize, most: usize) -> Result<usize, Problem> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(default);
        }
        let found = text.parse().ok().filter(|count| (1..=most).contains(count));
        found.ok_or_else(|| {
            let says = sentence!(
                "`{name}` is a whole number from 1 to {most}, and `{short}` is not",
                name,
                most,
                short = short(text).to_string()
            );
            Problem::new(Kind::BadParameter, says)
        })
    }

    /// One of a few words; the first where it is not given.
    ///
    /// # Errors
    /// It is none of them.
    pub fn word(
        &self,
        name: &'static str,
        words: &'static [&'static str],
    ) -> Result<&'static str, Problem> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(words.first().copied().unwrap_or_default());
        }
        words
            .iter()
            .copied()
            .find(|word| *word == text)
            .ok_or_else(|| {
                let says = sentence!(
                    "`{name}` is one of {words}, and `{short}` is not",
                    name,
                    words = words.join(", "),
                    short = short(text).to_string()
                );
                Problem::new(Kind::BadParameter, says)
            })
    }

    /// The same with a value where none is given.
    pub fn or(mut self, name: &str, value: &str) -> Self {
        if self.pairs.iter().all(|(known, _)| known != name) {
            self.pairs.push((name.to_owned(), value.to_owned()));
        }
        self
    }

    /// The day that a sheet bears.
    ///
    /// # Errors
    /// It is no day.
    pub fn day(&self) -> Result<Day, Problem> {
        let text = self.text(DATE.name);
        Day::read(text).ok_or_else(|| {
            let says = sentence!(
                "`{name}` is a day as 2031-04-05, and `{text}` is not",
                name = DATE.name,
                text = short(text)
            );
            Problem::new(Kind::BadParameter, says)
        })
    }

    /// Written as one query, in the route's order.
    pub fn canonical(&self) -> String {
        query(self.pairs())
    }
}

/// A query of names and values, percent-encoded, without the `?`.
pub fn query<'a>(pairs: impl IntoIterator<Item = (&'a str, &'a str)>) -> String {
    let mut url = Url::parse("http://localhost/").expect("a constant address can be read");
    url.query_pairs_mut().extend_pairs(pairs);
    url.query().unwrap_or_default().to_owned()
}

fn unknown(name: &str, known: &[Parameter]) -> Problem {
    let names: Vec<&str> = known.iter().map(|one| one.name).collect();
    let problem = Problem::new(
        Kind::BadParameter,
        sentence!(
            "there is no parameter `{short}` here",
            short = short(name).to_string()
        ),
    );
    match (nearest(name, names.iter().copied()), names.is_empty()) {
        (Some(meant), _) => problem.hint(sentence!("did you mean `{meant}`?", meant)),
        (None, true) => problem.hint(sentence!("this page takes none")),
        (None, false) => problem.hint(sentence!("there are: {names}", names = names.join(", "))),
    }
}

/// Enough of a text to recognise it in a message.
pub(super) fn short(text: &str) -> String {
    let mut short: String = text.chars().take(40).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}
