//! The table of misreadings: `tables/glyphs.yml`.
//!
//! It mirrors the file, then checks it: every fault is reported with its place. A row
//! without a source has that of the file.

use std::collections::HashMap;

use serde::Deserialize;

use super::glyphs::{Glyphs, Separator};
use super::typed::folded;
use crate::diagnostic::Diagnostic;
use crate::language::Sentence;
use crate::yaml::{Document, Path, Text, decode};

impl Glyphs {
    /// Reads the table.
    ///
    /// # Errors
    /// All faults of the table: the first of its form, or all of its values.
    pub fn read(document: &Document) -> Result<Self, Vec<Diagnostic>> {
        let written: Written = decode(document).map_err(|fault| vec![fault])?;
        let mut reader = Reader {
            document,
            faults: Vec::new(),
        };
        let glyphs = reader.glyphs(&written);
        if reader.faults.is_empty() {
            Ok(glyphs)
        } else {
            Err(reader.faults)
        }
    }
}

/// The file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    source: Text,
    other: Text,
    lost: Text,
    extra: Text,
    swapped: Text,
    case: Text,
    separator: WrittenSeparator,
    missing: WrittenMissing,
    misread: Text,
    unknown: WrittenUnknown,
    #[serde(default)]
    alike: Vec<WrittenAlike>,
    #[serde(default)]
    split: Vec<WrittenSplit>,
    #[serde(default)]
    thin: Vec<WrittenThin>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenSeparator {
    lost: Text,
    extra: Text,
    changed: Text,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenMissing {
    start: Text,
    end: Text,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenUnknown {
    share: Text,
    glyphs: Text,
}

/// Glyphs that are taken for each other, every one for every other.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenAlike {
    glyphs: Text,
    cost: Text,
    #[serde(default)]
    source: Option<Text>,
}

/// One glyph that is taken for two, or for another in this direction only.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenSplit {
    meant: Text,
    seen: Text,
    cost: Text,
    #[serde(default)]
    source: Option<Text>,
}

/// Glyphs that are lost, or seen where there are none, more easily than others.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenThin {
    glyphs: Text,
    lost: Text,
    extra: Text,
}

/// With more, a long text would be less probable than a float can hold.
const MOST_GLYPHS: f64 = 200.0;

struct Reader<'a> {
    document: &'a Document,
    faults: Vec<Diagnostic>,
}

impl Reader<'_> {
    fn glyphs(&mut self, written: &Written) -> Glyphs {
        let root = Path::root();
        let (separator, missing) = (root.key("separator"), root.key("missing"));
        let unknown = root.key("unknown");
        self.source(written.source.as_str(), &root.key("source"));
        let mut glyphs = Glyphs {
            other: self.cost(&written.other, &root.key("other")),
            lost: self.cost(&written.lost, &root.key("lost")),
            extra: self.cost(&written.extra, &root.key("extra")),
            separator: Separator {
                lost: self.cost(&written.separator.lost, &separator.key("lost")),
                extra: self.cost(&written.separator.extra, &separator.key("extra")),
                changed: self.cost(&written.separator.changed, &separator.key("changed")),
            },
            pairs: HashMap::new(),
            lost_of: HashMap::new(),
            extra_of: HashMap::new(),
            splits: HashMap::new(),
            swapped: self.cost(&written.swapped, &root.key("swapped")),
            case: self.cost(&written.case, &root.key("case")),
            missing_start: self.cost(&written.missing.start, &missing.key("start")),
            missing_end: self.cost(&written.missing.end, &missing.key("end")),
            misread: self.share(&written.misread, &root.key("misread")),
            unknown_share: self.share(&written.unknown.share, &unknown.key("share")),
            unknown_glyphs: self.number(
                &written.unknown.glyphs,
                &unknown.key("glyphs"),
                2.0,
                MOST_GLYPHS,
            ),
        };
        self.alike(&written.alike, &mut glyphs);
        self.splits(&written.split, &mut glyphs);
        self.thin(&written.thin, &mut glyphs);
        glyphs
    }

    fn alike(&mut self, rows: &[WrittenAlike], glyphs: &mut Glyphs) {
        for (place, row) in rows.iter().enumerate() {
            let path = Path::root().key("alike").index(place);
            let cost = self.cost(&row.cost, &path.key("cost"));
            self.row_source(row.source.as_ref(), &path);
            let named: Vec<char> = row.glyphs.chars().map(folded).collect();
            if named.len() < 2 {
                let message = sentence!(
                    "`{glyphs}` is not two glyphs or more",
                    glyphs = row.glyphs.to_string()
                );
                self.fault(
                    &path.key("glyphs"),
                    message,
                    sentence!("write those that are taken for each other, as `0O`"),
                );
            }
            for (meant, seen) in named
                .iter()
                .flat_map(|one| named.iter().map(move |other| (*one, *other)))
            {
                if meant != seen {
                    let known = glyphs.pairs.entry((meant, seen)).or_insert(cost);
                    *known = known.min(cost);
                }
            }
        }
    }

    fn splits(&mut self, rows: &[WrittenSplit], glyphs: &mut Glyphs) {
        for (place, row) in rows.iter().enumerate() {
            let path = Path::root().key("split").index(place);
            let cost = self.cost(&row.cost, &path.key("cost"));
            self.row_source(row.source.as_ref(), &path);
            let meant: Vec<char> = row.meant.chars().map(folded).collect();
            let seen: Vec<char> = row.seen.chars().map(folded).collect();
            match (meant.as_slice(), seen.as_slice()) {
                ([meant], [one, other]) => glyphs
                    .splits
                    .entry(*meant)
                    .or_default()
                    .push(([*one, *other], cost)),
                ([meant], [seen]) => {
                    glyphs.pairs.insert((*meant, *seen), cost);
                }
                _ => {
                    let message = sentence!(
                        "`{seen}` for `{meant}` is not one glyph for one or two",
                        seen = row.seen.to_string(),
                        meant = row.meant.to_string()
                    );
                    self.fault(
                        &path,
                        message,
                        sentence!("write as `{meant: M, seen: RN, cost: 4.5}`"),
                    );
                }
            }
        }
    }

    fn thin(&mut self, rows: &[WrittenThin], glyphs: &mut Glyphs) {
        for (place, row) in rows.iter().enumerate() {
            let path = Path::root().key("thin").index(place);
            let lost = self.cost(&row.lost, &path.key("lost"));
            let extra = self.cost(&row.extra, &path.key("extra"));
            for glyph in row.glyphs.chars().map(folded) {
                glyphs.lost_of.insert(glyph, lost);
                glyphs.extra_of.insert(glyph, extra);
            }
        }
    }

    /// A cost beyond this is a probability that no float tells from nought.
    fn cost(&mut self, text: &Text, path: &Path) -> f64 {
        const HIGHEST: f64 = 700.0;
        self.number(text, path, 0.0, HIGHEST)
    }

    fn share(&mut self, text: &Text, path: &Path) -> f64 {
        const LEAST: f64 = 1e-9;
        self.number(text, path, LEAST, 1.0 - LEAST)
    }

    fn number(&mut self, text: &Text, path: &Path, least: f64, most: f64) -> f64 {
        let number = text
            .parse::<f64>()
            .ok()
            .filter(|number| (least..=most).contains(number));
        number.unwrap_or_else(|| {
            let message = sentence!(
                "`{path}`: `{text}` is not a number from {least} to {most}",
                path,
                text,
                least,
                most
            );
            self.fault(path, message, sentence!("write a plain number, as `2.5`"));
            most
        })
    }

    fn source(&mut self, source: &str, path: &Path) {
        if source.trim().is_empty() {
            self.fault(
                path,
                sentence!("an empty source"),
                sentence!("say who says so, or `judged by this project, no source`"),
            );
        }
    }

    fn row_source(&mut self, source: Option<&Text>, path: &Path) {
        if let Some(source) = source {
            self.source(source.as_str(), &path.key("source"));
        }
    }

    fn fault(&mut self, path: &Path, message: Sentence, hint: Sentence) {
        self.faults
            .push(Diagnostic::error("glyph-table", self.document.place(path), message).hint(hint));
    }
}
