//! Collecting what is wrong with a file.
//!
//! A check says what is wrong as a [`Finding`], without knowing where it stands; who
//! called it knows the path and hands both to [`Faults`], which asks the document for the
//! place.

use crate::diagnostic::{Diagnostic, Place, Severity, nearest};
use crate::language::Sentence;
use crate::unit::{AmountError, Unit};
use crate::yaml::{Document, Path};

/// Nobody mends more at a time, and a place deep in a long list is dear.
const MOST_FAULTS: usize = 200;

/// Every kind of fault that schemes and tables are checked for. One that was released keeps its
/// name.
pub const CODES: [&str; 70] = [
    "also-spelled",
    "bad-amount",
    "bad-case",
    "bad-gauge",
    "bad-name",
    "bad-neutral",
    "bad-number",
    "bad-parameter",
    "bad-separator",
    "bad-trace",
    "bad-weight",
    "bad-year",
    "contour-incomplete",
    "field-twice",
    "grid-digits",
    "grid-end",
    "grid-falls",
    "grid-step",
    "impossible-metal",
    "impossible-offset",
    "lowest-terms",
    "missing-parameter",
    "more-faults",
    "name-taken",
    "never-unmarked",
    "no-example",
    "no-limits",
    "no-name-column",
    "no-signs",
    "no-source",
    "no-spelling",
    "no-table",
    "no-unit",
    "not-a-sign",
    "not-plausible",
    "offset-against-contour",
    "offsets-contradict",
    "points-contradict",
    "row-length",
    "same-column",
    "same-method",
    "same-name",
    "same-spelling",
    "template",
    "too-many-entries",
    "too-many-signs",
    "trace-contradicts",
    "two-kinds-of-signs",
    "two-neutral",
    "unknown-backbore",
    "unknown-class",
    "unknown-code",
    "unknown-column",
    "unknown-entry",
    "unknown-field",
    "unknown-figure",
    "unknown-functional",
    "unknown-gauge",
    "unknown-instrument",
    "unknown-method",
    "unknown-parameter",
    "unknown-part",
    "unknown-quantity",
    "unknown-series",
    "unknown-sign",
    "unknown-table",
    "unused",
    "unused-trace",
    "wrong-dimension",
    "wrong-functional",
];

/// What is wrong, and what would be right; where is said by others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Finding {
    /// The kind of fault.
    pub code: &'static str,
    /// Stands alone; lower case, no full stop.
    pub message: Sentence,
    /// Something to do.
    pub hint: Option<Sentence>,
}

impl Finding {
    pub fn new(code: &'static str, message: impl Into<Sentence>) -> Self {
        debug_assert!(
            CODES.contains(&code),
            "`{code}` is not in the list of faults"
        );
        Self {
            code,
            message: message.into(),
            hint: None,
        }
    }

    pub fn hint(self, hint: impl Into<Sentence>) -> Self {
        Self {
            hint: Some(hint.into()),
            ..self
        }
    }

    /// A name that nothing has: what it should have named, and all that there is.
    pub fn unknown<'a>(
        code: &'static str,
        what: impl Into<Sentence>,
        word: &str,
        choices: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let choices: Vec<&str> = choices.into_iter().collect();
        let finding = Self::new(
            code,
            sentence!("no {what} is called `{word}`", what = what.into(), word),
        );
        if choices.is_empty() {
            return finding;
        }
        let all = sentence!(
            "there are {all}",
            all = format!("`{}`", choices.join("`, `"))
        );
        finding.hint(match nearest(word, choices.iter().copied()) {
            Some(near) => sentence!("did you mean `{near}`? {all}", near, all = all),
            None => all,
        })
    }

    /// An amount that cannot be read.
    pub fn amount(text: &str, error: &AmountError) -> Self {
        let code = match error {
            AmountError::OtherDimension { .. } => "wrong-dimension",
            _ => "bad-amount",
        };
        let finding = Self::new(
            code,
            sentence!(
                "`{text}` cannot be read: {error}",
                text,
                error = error.clone()
            ),
        );
        let AmountError::UnknownUnit { found } = error else {
            return finding;
        };
        match nearest(found, Unit::spellings()) {
            Some(unit) => finding.hint(sentence!("did you mean `{meant}`?", meant = unit)),
            None => finding,
        }
    }
}

/// A value or the key of one; its place is asked for only when it is needed.
#[derive(Debug, Clone)]
pub(super) enum Spot {
    /// Where a value stands.
    Value(Path),
    /// Where its key stands.
    Key(Path),
    /// An item of a list, or the one value that stands in place of a list.
    Item(Path, usize),
}

impl Spot {
    fn place(&self, document: &Document) -> Place {
        match self {
            Self::Value(path) => document.place(path),
            Self::Key(path) => document.place_of_key(path),
            Self::Item(list, place) => document.place(&item(document, list, *place)),
        }
    }
}

/// The path of an item of a list, or of the one value that stands in place of a list.
pub(super) fn item(document: &Document, list: &Path, place: usize) -> Path {
    match document.quoted(list) {
        Some(_) => list.clone(),
        None => list.index(place),
    }
}

/// The faults of one file, as they are found.
pub(super) struct Faults<'a> {
    document: &'a Document,
    found: Vec<Diagnostic>,
    errors: usize,
    left_out: usize,
}

impl<'a> Faults<'a> {
    pub fn new(document: &'a Document) -> Self {
        Self {
            document,
            found: Vec::new(),
            errors: 0,
            left_out: 0,
        }
    }

    /// The file that is looked at.
    pub fn document(&self) -> &'a Document {
        self.document
    }

    /// How many errors were found, to see whether there were new ones.
    pub fn errors(&self) -> usize {
        self.errors
    }

    /// Notes an error at a value.
    pub fn error(&mut self, path: &Path, finding: Finding) {
        self.put(Severity::Error, finding, |document| document.place(path));
    }

    /// Notes an error at a value or a key.
    pub fn error_on(&mut self, spot: &Spot, finding: Finding) {
        self.put(Severity::Error, finding, |document| spot.place(document));
    }

    /// Notes an error at a place that is already known.
    pub fn error_at(&mut self, place: Place, finding: Finding) {
        self.put(Severity::Error, finding, |_| place);
    }

    /// Notes a warning at a key.
    pub fn warning(&mut self, path: &Path, finding: Finding) {
        self.put(Severity::Warning, finding, |document| {
            document.place_of_key(path)
        });
    }

    /// Notes that the same stands at two places.
    pub fn twice(&mut self, again: &Spot, first: &Spot, finding: Finding) {
        let before = self.found.len();
        self.put(Severity::Error, finding, |document| again.place(document));
        if let Some(noted) = self.found.get_mut(before) {
            noted.also = Some((first.place(self.document), sentence!("first here")));
        }
    }

    /// The value, or none and a note of what is wrong with it.
    pub fn keep<T>(&mut self, path: &Path, result: Result<T, Finding>) -> Option<T> {
        result.map_err(|finding| self.error(path, finding)).ok()
    }

    fn put(
        &mut self,
        severity: Severity,
        finding: Finding,
        place: impl FnOnce(&Document) -> Place,
    ) {
        self.errors += usize::from(severity == Severity::Error);
        if self.found.len() >= MOST_FAULTS {
            self.left_out += 1;
            return;
        }
        let Finding {
            code,
            message,
            hint,
        } = finding;
        let place = place(self.document);
        self.found.push(Diagnostic {
            code,
            severity,
            message,
            place,
            also: None,
            hint,
        });
    }

    /// All that was found, in the order of the file.
    pub fn into_found(self) -> Vec<Diagnostic> {
        let mut found = self.found;
        found.sort_by_key(|one| (one.place.line, one.place.column));
        if self.left_out > 0 {
            let message = sentence!(
                "{left_out} more faults are not shown",
                left_out = self.left_out.to_string()
            );
            let whole = Place::whole(self.document.file());
            found.push(match self.errors {
                0 => Diagnostic::warning("more-faults", whole, message),
                _ => Diagnostic::error("more-faults", whole, message),
            });
        }
        found
    }
}
