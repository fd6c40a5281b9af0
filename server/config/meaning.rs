//! From the text of a setting to its meaning.

use std::net::{Ipv4Addr, SocketAddr};

use reqwest::Url;
use tracing::Level;

use super::paper::Paper;
use crate::diagnostic::{Diagnostic, Place, nearest};
use crate::language::Sentence;
use crate::load::Folder;

/// Why a text is no value of its setting.
#[derive(Debug)]
pub(super) struct Wrong {
    code: &'static str,
    message: Sentence,
    hint: Option<Sentence>,
}

impl Wrong {
    pub fn new(code: &'static str, message: impl Into<Sentence>) -> Self {
        Self {
            code,
            message: message.into(),
            hint: None,
        }
    }

    pub fn hint(mut self, hint: impl Into<Sentence>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    pub fn at(self, place: Place) -> Diagnostic {
        let fault = Diagnostic::error(self.code, place, self.message);
        match self.hint {
            Some(hint) => fault.hint(hint),
            None => fault,
        }
    }
}

/// `127.0.0.1:8017`, `[::1]:8017`, `localhost:8017`. Names of other machines are
/// not looked up.
pub(super) fn socket(text: &str) -> Result<SocketAddr, Wrong> {
    let local = || {
        let port = text.strip_prefix("localhost:")?.parse().ok()?;
        Some(SocketAddr::from((Ipv4Addr::LOCALHOST, port)))
    };
    text.parse().ok().or_else(local).ok_or_else(|| {
        Wrong::new(
            "not-an-address",
            sentence!("expected an address with a port, found `{text}`", text),
        )
        .hint(sentence!(
            "write `127.0.0.1:8017` for this machine, `0.0.0.0:8017` for the network"
        ))
    })
}

/// An address of the web without anything that a path cannot be put after.
/// Gives it without a slash at its end.
pub(super) fn public_address(text: &str) -> Result<String, Wrong> {
    let url = web_address(text)?;
    if url.query().is_some() || url.fragment().is_some() {
        let message = sentence!("the address `{text}` goes on after its path", text);
        return Err(
            Wrong::new("address-with-query", message).hint(sentence!("leave out `?` and `#`"))
        );
    }
    Ok(url.as_str().trim_end_matches('/').to_owned())
}

/// An http or https address without a password in it.
pub(super) fn web_address(text: &str) -> Result<Url, Wrong> {
    let not_one = || {
        Wrong::new(
            "not-a-web-address",
            sentence!("expected a web address, found `{text}`", text),
        )
        .hint(sentence!(
            "write `https://` or `http://`, a host, and a path"
        ))
    };
    let url = Url::parse(text).map_err(|_| not_one())?;
    if !matches!(url.scheme(), "http" | "https") || !url.has_host() {
        return Err(not_one());
    }
    if !url.username().is_empty() || url.password().is_some() {
        let message = sentence!("a web address with a name or password in it");
        return Err(Wrong::new("address-with-password", message).hint(sentence!(
            "put the file where everybody may read it; its content is checked"
        )));
    }
    Ok(url)
}

/// The name of a host, in small letters.
pub(super) fn host(text: &str) -> Result<String, Wrong> {
    let sign = |sign: char| sign.is_ascii_alphanumeric() || matches!(sign, '-' | '.');
    if !text.is_empty() && text.chars().all(sign) {
        return Ok(text.to_ascii_lowercase());
    }
    let message = sentence!("expected the name of a host, found `{text}`", text);
    Err(Wrong::new("not-a-host", message).hint(sentence!("without `http://`, port and path")))
}

/// The tag of a language (BCP 47) as it is looked up; none for `auto`.
pub(super) fn language(text: &str) -> Result<Option<String>, Wrong> {
    if text.eq_ignore_ascii_case("auto") {
        return Ok(None);
    }
    let subtag =
        |part: &str| !part.is_empty() && part.chars().all(|sign| sign.is_ascii_alphanumeric());
    if text.split(['-', '_']).all(subtag) {
        return Ok(Some(text.to_owned()));
    }
    let message = sentence!("expected the tag of a language, found `{text}`", text);
    Err(Wrong::new("not-a-language", message).hint(sentence!("write `de`, `en` or `auto`")))
}

/// One folder at least: a counter without plug-ins would answer "nothing matches" to all.
pub(super) fn some_folders(folders: Vec<Folder>) -> Result<Vec<Folder>, Wrong> {
    if folders.is_empty() {
        let wrong = Wrong::new("no-plugins", sentence!("no folder of plug-ins is named"));
        return Err(wrong.hint(sentence!("write `[built in]`, or leave the key out")));
    }
    Ok(folders)
}

/// Schemes by id; none stands for all.
pub(super) fn schemes(ids: Vec<String>) -> Vec<String> {
    if ids.iter().any(|id| id == "all") {
        return Vec::new();
    }
    ids
}

pub(super) fn paper(text: &str) -> Result<Paper, Wrong> {
    let papers: Vec<(&str, Paper)> = Paper::NAMES
        .iter()
        .filter_map(|name| Some((*name, Paper::named(name)?)))
        .collect();
    word(text, &papers)
}

/// How the log looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LogFormat {
    /// A line for people.
    Human,
    /// A JSON object a line.
    Json,
}

impl LogFormat {
    /// The word for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Human => "human",
            Self::Json => "json",
        }
    }
}

pub(super) fn log_format(text: &str) -> Result<LogFormat, Wrong> {
    word(
        text,
        &[("human", LogFormat::Human), ("json", LogFormat::Json)],
    )
}

pub(super) fn log_level(text: &str) -> Result<Level, Wrong> {
    let levels = [
        ("error", Level::ERROR),
        ("warn", Level::WARN),
        ("info", Level::INFO),
        ("debug", Level::DEBUG),
        ("trace", Level::TRACE),
    ];
    word(text, &levels)
}

/// The value of one of some words.
fn word<T: Copy>(text: &str, words: &[(&str, T)]) -> Result<T, Wrong> {
    let found = words
        .iter()
        .find(|(word, _)| word.eq_ignore_ascii_case(text));
    found.map(|(_, value)| *value).ok_or_else(|| {
        let names: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        let all = sentence!("the words are `{names}`", names = names.join("`, `"));
        let hint = match nearest(text, names) {
            Some(near) => sentence!("did you mean `{near}`? {all}", near, all),
            None => all,
        };
        let message = sentence!("`{text}` is not one of the words for this", text);
        Wrong::new("unknown-word", message).hint(hint)
    })
}

/// A whole number from 1 to `most`.
pub(super) fn within(number: u64, most: u64) -> Result<u64, Wrong> {
    if (1..=most).contains(&number) {
        return Ok(number);
    }
    Err(Wrong::new(
        "out-of-range",
        sentence!("expected 1 to {most}, found {number}", most, number),
    ))
}
