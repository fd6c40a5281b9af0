//! The schemes that are loaded, and those that are broken.

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::{SchemeName, kept};
use super::figure::method_text;
use super::translate::unknown;
use crate::diagnostic::Diagnostic;
use crate::language::Sentence;
use crate::problem::Problem;
use crate::scheme::Scheme;
use crate::snapshot::Snapshot;

/// One figure of a scheme.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SchemeFigure {
    /// Its name in templates.
    pub name: String,
    /// What it measures.
    pub quantity: String,
    /// Where and how the gauge goes.
    pub method: String,
    /// The method in a sentence.
    pub says: String,
    /// How many signs it has.
    pub signs: usize,
    /// First and last sign, where there are any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<(String, String)>,
    /// Who says so.
    pub source: String,
}

/// One template of a scheme.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SchemeStamp {
    /// The part that bears it.
    pub part: String,
    /// The template.
    pub template: String,
    /// When it was stamped so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub years: Option<String>,
}

/// One problem in a file.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FaultAnswer {
    /// The file.
    pub file: String,
    /// Line, from 1; 0 for the whole file.
    pub line: usize,
    /// Column, from 1, in characters.
    pub column: usize,
    /// First column behind it.
    pub end_column: usize,
    /// error or warning.
    pub severity: String,
    /// Names the kind of problem.
    pub code: String,
    /// One sentence.
    pub message: String,
    /// What to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hint: Option<String>,
}

impl FaultAnswer {
    /// Of a diagnostic.
    pub fn of(fault: &Diagnostic) -> Self {
        Self {
            file: fault.place.file.to_string(),
            line: fault.place.line,
            column: fault.place.column,
            end_column: fault.place.end_column(),
            severity: fault.severity.word().into(),
            code: fault.code.into(),
            message: fault.message.to_string(),
            hint: fault.hint.as_ref().map(Sentence::to_string),
        }
    }
}

/// One scheme and its state.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SchemeAnswer {
    /// Its name and revision; none where the file is broken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scheme: Option<SchemeName>,
    /// The file.
    pub file: String,
    /// loaded, broken, or an older version kept.
    pub state: String,
    /// Instruments.
    pub serves: Vec<String>,
    /// Sentences.
    pub notes: Vec<String>,
    /// Where its statements come from.
    pub source: String,
    /// Figures.
    pub figures: Vec<SchemeFigure>,
    /// Templates.
    pub stamps: Vec<SchemeStamp>,
    /// Catalogue entries.
    pub entries: usize,
    /// Stamps to try.
    pub examples: Vec<String>,
    /// Faults and warnings.
    pub faults: Vec<FaultAnswer>,
}

/// All schemes.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SchemesAnswer {
    /// In file order, broken ones too.
    pub schemes: Vec<SchemeAnswer>,
    /// SHA-256 of all tables together.
    pub tables: String,
}

/// All schemes, broken ones with their faults.
pub fn schemes(snapshot: &Snapshot) -> SchemesAnswer {
    let each = |file: &crate::load::LoadedFile| {
        let faults: Vec<FaultAnswer> = file.diagnostics.iter().map(FaultAnswer::of).collect();
        match &file.scheme {
            Some(scheme) => SchemeAnswer {
                faults,
                state: state(file),
                ..loaded(snapshot, scheme)
            },
            None => broken(&file.name, faults),
        }
    };
    SchemesAnswer {
        schemes: snapshot.files.iter().map(each).collect(),
        tables: snapshot.hash.clone(),
    }
}

fn state(file: &crate::load::LoadedFile) -> String {
    kept(file).unwrap_or_else(|| word!("loaded").into())
}

/// One scheme by its id.
///
/// # Errors
/// It is not there.
pub fn scheme(snapshot: &Snapshot, id: &str) -> Result<SchemeAnswer, Problem> {
    schemes(snapshot)
        .schemes
        .into_iter()
        .find(|one| one.scheme.as_ref().is_some_and(|scheme| scheme.id == id))
        .ok_or_else(|| unknown(snapshot, id))
}

fn broken(file: &str, faults: Vec<FaultAnswer>) -> SchemeAnswer {
    SchemeAnswer {
        scheme: None,
        file: file.to_owned(),
        state: word!("broken").into(),
        serves: Vec::new(),
        notes: Vec::new(),
        source: String::new(),
        figures: Vec::new(),
        stamps: Vec::new(),
        entries: 0,
        examples: Vec::new(),
        faults,
    }
}

fn loaded(snapshot: &Snapshot, scheme: &Scheme) -> SchemeAnswer {
    SchemeAnswer {
        scheme: Some(SchemeName::of(snapshot, scheme)),
        file: scheme.file.clone(),
        state: word!("loaded").into(),
        serves: scheme.serves.iter().map(|one| one.name().into()).collect(),
        notes: scheme.notes.clone(),
        source: scheme.source.clone(),
        figures: scheme.figures.iter().map(figure).collect(),
        stamps: scheme.stamps.iter().map(stamp).collect(),
        entries: scheme.entries.len(),
        examples: scheme
            .examples
            .iter()
            .map(|example| example.stamp.clone())
            .collect(),
        faults: Vec::new(),
    }
}

fn figure(figure: &crate::scheme::Figure) -> SchemeFigure {
    SchemeFigure {
        name: figure.name.clone(),
        quantity: figure.method.quantity().name().into(),
        method: method_text(&figure.method),
        says: figure.method.row.says.clone(),
        signs: figure.signs.count(),
        range: figure
            .signs
            .ends()
            .map(|(first, last)| (first.text, last.text)),
        source: figure.source.clone(),
    }
}

fn stamp(stamp: &crate::scheme::Stamp) -> SchemeStamp {
    SchemeStamp {
        part: stamp.part.name().into(),
        template: stamp.template.text.clone(),
        years: stamp.years.text(),
    }
}

/// One file that was checked.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CheckedFile {
    /// Its name.
    pub file: String,
    /// Faults and warnings.
    pub faults: Vec<FaultAnswer>,
}

impl CheckedFile {
    /// A file and what was found in it.
    pub fn of(file: &str, faults: &[Diagnostic]) -> Self {
        Self {
            file: file.to_owned(),
            faults: faults.iter().map(FaultAnswer::of).collect(),
        }
    }
}

/// What a check found.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CheckAnswer {
    /// File by file.
    pub files: Vec<CheckedFile>,
    /// How many faults make a file unusable.
    pub errors: usize,
    /// How many are worth a look.
    pub warnings: usize,
}

impl CheckAnswer {
    /// Counts what was found.
    pub fn of(files: Vec<CheckedFile>) -> Self {
        let count = |severity: &str| {
            files
                .iter()
                .flat_map(|file| &file.faults)
                .filter(|fault| fault.severity == severity)
                .count()
        };
        Self {
            errors: count("error"),
            warnings: count("warning"),
            files,
        }
    }
}

/// What is wrong with what is loaded.
pub fn check(snapshot: &Snapshot) -> CheckAnswer {
    let files = snapshot
        .files
        .iter()
        .map(|file| CheckedFile::of(&file.name, &file.diagnostics));
    let tables = CheckedFile::of("tables", &snapshot.faults);
    CheckAnswer::of(std::iter::once(tables).chain(files).collect())
}
