//! The press: from a template and what it is given to sheets.
//!
//! A template is a file of the Typst language, what it is given is data: a text in it is never
//! read as a template. The press reads nothing but the files that it is handed, no face but
//! those of [`super::fonts`], no clock and no network, so that the same card is the same bytes.
//!
//! The language's library and the faces are made ready when the first sheet is set.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use typst::diag::{FileError, FileResult, PackageError, Severity, SourceDiagnostic};
use typst::ecow::EcoVec;
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World, WorldExt};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use super::fonts;
use crate::diagnostic::{Diagnostic, Place};
use crate::load::Day;

/// Under which name a template finds what it is given.
pub const GIVEN: &str = "given.json";

static LIBRARY: LazyLock<LazyHash<Library>> =
    LazyLock::new(|| LazyHash::new(Library::builder().build()));

static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(fonts::all())));

/// Files that a template may read, by their names within its folder.
pub type Files = BTreeMap<String, Arc<[u8]>>;

/// A template: the file to begin with and those that it may read.
#[derive(Clone, Debug)]
pub struct Template {
    /// The name of the file to begin with.
    pub main: &'static str,
    /// Where its files are, for messages.
    pub folder: String,
    /// All of them.
    pub files: Files,
}

/// Sheets, set and not yet printed.
pub struct Sheets {
    document: PagedDocument,
    ident: String,
    /// What is doubtful about the template.
    pub warnings: Vec<Diagnostic>,
}

impl Template {
    /// Sets what is given; `more` are files that come with it.
    ///
    /// # Errors
    /// What is wrong with the template.
    pub fn set(&self, given: &str, more: &Files) -> Result<Sheets, Vec<Diagnostic>> {
        let desk = Desk::new(self, given, more);
        let set = typst::compile::<PagedDocument>(&desk);
        // What one card leaves behind for the next is kept for a few cards only.
        typst::comemo::evict(4);
        match set.output {
            Ok(document) if document.pages().is_empty() => Err(vec![Diagnostic::error(
                "empty-template",
                self.place(),
                "the template gives no page",
            )]),
            Ok(document) => Ok(Sheets {
                document,
                ident: given.to_owned(),
                warnings: desk.told(set.warnings),
            }),
            Err(faults) => Err(desk.told(faults)),
        }
    }

    /// A document that archives keep and that is read aloud: PDF/A-2a and PDF/UA-1.
    ///
    /// # Errors
    /// What the sheets lack for that.
    pub fn pdf(&self, sheets: &Sheets, day: Day) -> Result<Vec<u8>, Vec<Diagnostic>> {
        let date = Datetime::from_ymd_hms(day.year.into(), day.month, day.day, 0, 0, 0);
        let options = PdfOptions {
            ident: Smart::Custom(sheets.ident.clone()),
            creator: Smart::Custom(Some(
                concat!("counterbore ", env!("CARGO_PKG_VERSION")).into(),
            )),
            timestamp: date.map(Timestamp::new_utc),
            standards: standards(),
            ..PdfOptions::default()
        };
        let printed = typst_pdf::pdf(&sheets.document, &options);
        printed.map_err(|faults| Desk::new(self, "", &Files::new()).told(faults))
    }

    /// Its first file as a whole.
    pub fn place(&self) -> Place {
        Place::whole(self.shown(self.main))
    }

    fn shown(&self, name: &str) -> String {
        format!("{}/{name}", self.folder)
    }
}

fn standards() -> PdfStandards {
    PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1])
        .expect("both standards are of PDF 1.7")
}

impl Sheets {
    /// How many there are; at least one.
    pub fn count(&self) -> usize {
        self.document.pages().len()
    }

    /// Width and height of each, mm.
    pub fn sizes_mm(&self) -> Vec<(f64, f64)> {
        let size =
            |page: &typst_layout::Page| (page.frame.width().to_mm(), page.frame.height().to_mm());
        self.document.pages().iter().map(size).collect()
    }

    /// Each as a drawing without words: letters are outlines there.
    pub fn drawings(&self) -> Vec<String> {
        let options = typst_svg::SvgOptions::default();
        let pages = self.document.pages().iter();
        pages.map(|page| typst_svg::svg(page, &options)).collect()
    }

    /// All in one drawing, one under another.
    pub fn drawing(&self) -> String {
        let gap = typst::layout::Abs::mm(6.0);
        typst_svg::svg_merged(&self.document, &typst_svg::SvgOptions::default(), gap)
    }
}

/// What lies on the desk while one card is set.
struct Desk<'a> {
    template: &'a Template,
    main: FileId,
    files: BTreeMap<String, Bytes>,
}

impl<'a> Desk<'a> {
    fn new(template: &'a Template, given: &str, more: &Files) -> Self {
        let bytes = |(name, file): (&String, &Arc<[u8]>)| (name.clone(), Bytes::new(file.clone()));
        let mut files: BTreeMap<String, Bytes> =
            template.files.iter().chain(more).map(bytes).collect();
        files.insert(GIVEN.into(), Bytes::from_string(given.to_owned()));
        Self {
            template,
            main: id(template.main),
            files,
        }
    }

    /// Faults of the template at their places.
    fn told(&self, faults: EcoVec<SourceDiagnostic>) -> Vec<Diagnostic> {
        faults.iter().map(|fault| self.fault(fault)).collect()
    }

    fn fault(&self, fault: &SourceDiagnostic) -> Diagnostic {
        let place = self.place(fault.span);
        let traced = fault.trace.iter().map(|point| point.span.into());
        let place = place.or_else(|| traced.into_iter().find_map(|span| self.place(span)));
        let place = place.unwrap_or_else(|| self.template.place());
        let told = match fault.severity {
            Severity::Error => Diagnostic::error("template", place, fault.message.as_str()),
            Severity::Warning => Diagnostic::warning("template", place, fault.message.as_str()),
        };
        match fault.hints.first() {
            Some(hint) => told.hint(hint.v.as_str()),
            None => told,
        }
    }

    fn place(&self, span: typst::syntax::DiagSpan) -> Option<Place> {
        let file = span.id()?;
        let range = self.range(span)?;
        let source = self.source(file).ok()?;
        let (line, column) = source.lines().byte_to_line_column(range.start)?;
        let text = source.text().get(range)?;
        Some(Place {
            file: self.template.shown(file.vpath().get_without_slash()).into(),
            line: line + 1,
            column: column + 1,
            length: text.lines().next().map_or(0, |first| first.chars().count()),
        })
    }
}

/// The name of a file of the folder, to the press.
fn id(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("names of files of a folder do not leave it");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

impl World for Desk<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let bytes = self.file(id)?;
        let text = std::str::from_utf8(&bytes).map_err(|_| FileError::InvalidUtf8)?;
        Ok(Source::new(id, text.to_owned()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if let VirtualRoot::Package(_) = id.root() {
            let why = "packages are not fetched; put the file into the folder of the template";
            return Err(FileError::Package(PackageError::Other(Some(why.into()))));
        }
        let name = id.vpath().get_without_slash();
        let file = self.files.get(name).cloned();
        file.ok_or_else(|| FileError::NotFound(name.into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        fonts::all().get(index).cloned()
    }

    /// There is no clock here: a card bears the day that it is given.
    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
