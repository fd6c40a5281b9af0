//! What is fetched from elsewhere.

use std::fmt;

use reqwest::Url;

use super::meaning::{Wrong, web_address, within};
use super::plugin_limits::MOST_BYTES;
use super::written::{ShelfLimits as WrittenLimits, Shelved as WrittenShelved};
use crate::diagnostic::Diagnostic;
use crate::yaml::{Document, Limits, Path};

/// Longest name of a file; what every file system keeps, with room for a temporary ending.
const LONGEST_NAME: usize = 100;

/// Nobody waits longer at a counter.
const MOST_SECONDS: u64 = 600;

/// A plug-in that lies elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shelved {
    /// http or https.
    pub url: Url,
    /// What its content must be.
    pub sha256: Sha256Sum,
    /// Its name here.
    pub file: PluginName,
}

/// How much and how long a fetch may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShelfLimits {
    /// Longest file.
    pub bytes: u64,
    /// Longest wait for one file.
    pub seconds: u64,
}

impl Default for ShelfLimits {
    fn default() -> Self {
        Self {
            bytes: Limits::PLUGIN.bytes as u64,
            seconds: 10,
        }
    }
}

/// A SHA-256 sum (FIPS 180-4), shown as 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Sha256Sum(pub [u8; 32]);

impl Sha256Sum {
    fn parse(text: &str) -> Option<Self> {
        // Signs are refused first: a number may have one, a sum may not.
        if !text.bytes().all(|digit| digit.is_ascii_hexdigit()) {
            return None;
        }
        let byte = |place| u8::from_str_radix(text.get(place..place + 2)?, 16).ok();
        let bytes: Option<Vec<u8>> = (0..text.len()).step_by(2).map(byte).collect();
        bytes?.try_into().ok().map(Self)
    }
}

impl fmt::Display for Sha256Sum {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(out, "{byte:02x}"))
    }
}

impl fmt::Debug for Sha256Sum {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, out)
    }
}

/// The name of a plug-in file and nothing else: no folder, not hidden, `.yml`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PluginName(String);

impl PluginName {
    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Small and capital letters, digits, `-`, `_` and dots within: a name that means the same
    /// on every file system.
    fn parse(text: &str) -> Option<Self> {
        let sign = |sign: char| sign.is_ascii_alphanumeric() || matches!(sign, '-' | '_' | '.');
        let stem = text.strip_suffix(".yml")?;
        let good = text.len() <= LONGEST_NAME
            && text.chars().all(sign)
            && stem.starts_with(|first: char| first.is_ascii_alphanumeric())
            && !stem.contains("..");
        good.then(|| Self(text.to_owned()))
    }
}

impl fmt::Display for PluginName {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

/// The whole shelf. Two entries for one file are a fault of the second.
pub(super) fn shelf(
    written: &[WrittenShelved],
    document: &Document,
    faults: &mut Vec<Diagnostic>,
) -> Vec<Shelved> {
    let path = Path::root().key("shelf");
    let mut shelf: Vec<(Shelved, Path)> = Vec::new();
    for (index, written) in written.iter().enumerate() {
        let path = path.index(index);
        let Some(shelved) = shelved(written, document, &path, faults) else {
            continue;
        };
        match shelf
            .iter()
            .find(|(other, _)| same_file(&other.file, &shelved.file))
        {
            None => shelf.push((shelved, path)),
            Some((_, first)) => {
                let message =
                    sentence!("`{file}` is fetched twice", file = shelved.file.to_string());
                let fault = Wrong::new("file-twice", message).at(document.place(&path.key("file")));
                faults.push(fault.also(document.place(&first.key("file")), "first here"));
            }
        }
    }
    shelf.into_iter().map(|(shelved, _)| shelved).collect()
}

/// Some file systems take small and capital letters for the same.
fn same_file(one: &PluginName, other: &PluginName) -> bool {
    one.0.eq_ignore_ascii_case(&other.0)
}

fn shelved(
    written: &WrittenShelved,
    document: &Document,
    path: &Path,
    faults: &mut Vec<Diagnostic>,
) -> Option<Shelved> {
    let url = web_address(&written.url);
    let sum = Sha256Sum::parse(&written.sha256).ok_or_else(|| not_a_sum(&written.sha256));
    let file = PluginName::parse(&written.file).ok_or_else(|| not_a_name(&written.file));
    let url = kept(url, "url", document, path, faults);
    let sha256 = kept(sum, "sha256", document, path, faults);
    let file = kept(file, "file", document, path, faults);
    Some(Shelved {
        url: url?,
        sha256: sha256?,
        file: file?,
    })
}

pub(super) fn kept<T>(
    read: Result<T, Wrong>,
    key: &str,
    document: &Document,
    path: &Path,
    faults: &mut Vec<Diagnostic>,
) -> Option<T> {
    read.map_err(|wrong| faults.push(wrong.at(document.place(&path.key(key)))))
        .ok()
}

fn not_a_sum(found: &str) -> Wrong {
    Wrong::new(
        "not-a-sum",
        sentence!("expected 64 hexadecimal digits, found `{found}`", found),
    )
    .hint(sentence!("`sha256sum FILE` prints them"))
}

fn not_a_name(found: &str) -> Wrong {
    Wrong::new(
        "not-a-file-name",
        sentence!("`{found}` is not the bare name of a plug-in file", found),
    )
    .hint(sentence!(
        "write letters, digits, `-` and `_`, without a folder, and `.yml` at the end"
    ))
}

/// The limits, those left out as usual.
pub(super) fn limits(
    written: &WrittenLimits,
    document: &Document,
    faults: &mut Vec<Diagnostic>,
) -> ShelfLimits {
    let path = Path::root().key("shelf_limits");
    let usual = ShelfLimits::default();
    let bytes = within(written.bytes.unwrap_or(usual.bytes), MOST_BYTES);
    let seconds = within(written.seconds.unwrap_or(usual.seconds), MOST_SECONDS);
    ShelfLimits {
        bytes: kept(bytes, "bytes", document, &path, faults).unwrap_or(usual.bytes),
        seconds: kept(seconds, "seconds", document, &path, faults).unwrap_or(usual.seconds),
    }
}
