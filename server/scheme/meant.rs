//! A scheme as the program trusts it.

use std::sync::Arc;

use super::figure::{Figure, Sign};
use super::template::Template;
use super::usual::Usual;
use crate::method::Quantity;
use crate::profile::{Contour, ContourFigure, Trace};
use crate::route::{Declared, Stated};
use crate::unit::AmountWithSpread;

/// What a mouthpiece is played on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Instrument {
    Trumpet,
    Cornet,
    Flugelhorn,
    Horn,
    Trombone,
    Euphonium,
    Tuba,
}

impl Instrument {
    /// All, high to low.
    pub const ALL: [Self; 7] = [
        Self::Trumpet,
        Self::Cornet,
        Self::Flugelhorn,
        Self::Horn,
        Self::Trombone,
        Self::Euphonium,
        Self::Tuba,
    ];

    /// The word for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Trumpet => word!("trumpet"),
            Self::Cornet => word!("cornet"),
            Self::Flugelhorn => word!("flugelhorn"),
            Self::Horn => word!("horn"),
            Self::Trombone => word!("trombone"),
            Self::Euphonium => word!("euphonium"),
            Self::Tuba => word!("tuba"),
        }
    }
}

/// The part of a piece that bears a stamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartKind {
    /// The whole mouthpiece.
    OnePiece,
    /// Rim and cup of a piece whose backbore is apart.
    Top,
    /// The backbore with its shank.
    Backbore,
    /// A screw rim.
    Rim,
    /// What a screw rim goes on.
    Underpart,
}

impl PartKind {
    /// All, from the whole to the parts.
    pub const ALL: [Self; 5] = [
        Self::OnePiece,
        Self::Top,
        Self::Rim,
        Self::Underpart,
        Self::Backbore,
    ];

    /// The word for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::OnePiece => word!("one-piece"),
            Self::Top => word!("top"),
            Self::Backbore => word!("backbore"),
            Self::Rim => word!("rim"),
            Self::Underpart => word!("underpart"),
        }
    }

    /// Whether both are of the same metal, in whole or in part.
    pub fn is_of(self, other: Self) -> bool {
        let above = |one: Self| matches!(one, Self::Top | Self::Rim | Self::Underpart);
        let whole = self == Self::OnePiece || other == Self::OnePiece;
        let top = self == Self::Top && above(other) || other == Self::Top && above(self);
        self == other || whole || top
    }
}

/// Years in which something was made or named so; open where none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Years {
    /// First year.
    pub from: Option<i32>,
    /// Last year.
    pub until: Option<i32>,
}

impl Years {
    /// Whether any year belongs to both.
    pub fn overlap(self, other: Self) -> bool {
        let before = |a: Option<i32>, b: Option<i32>| matches!((a, b), (Some(until), Some(from)) if until < from);
        !before(self.until, other.from) && !before(other.until, self.from)
    }

    /// The years that belong to both.
    pub fn both(self, other: Self) -> Self {
        Self {
            from: self.from.max(other.from),
            until: [self.until, other.until].into_iter().flatten().min(),
        }
    }

    /// "1975 to 1988", "from 1975", "until 1988"; none where both ends are open.
    pub fn text(self) -> Option<String> {
        match (self.from, self.until) {
            (Some(from), Some(until)) => Some(say!("{from} to {until}", from, until)),
            (Some(from), None) => Some(say!("from {from}", from)),
            (None, Some(until)) => Some(say!("until {until}", until)),
            (None, None) => None,
        }
    }
}

/// One naming scheme, checked.
#[derive(Debug)]
pub struct Scheme {
    /// The name that commands and addresses use.
    pub id: String,
    /// The name that people read.
    pub title: String,
    /// Instruments, in the order given.
    pub serves: Vec<Instrument>,
    /// Revision of the file.
    pub revision: String,
    /// Where its statements come from, unless one says otherwise.
    pub source: String,
    /// Sentences for its page.
    pub notes: Vec<String>,
    /// Whether upper and lower case are different marks.
    pub case_matters: bool,
    /// What stands for a sign of a template on real metal, beside the sign itself.
    pub separators: Vec<(char, Vec<String>)>,
    /// What is said of its parts.
    pub parts: Vec<Part>,
    /// The figures that a name can state.
    pub figures: Vec<Figure>,
    /// Families that share a form.
    pub series: Vec<Series>,
    /// The form of a piece without a series.
    pub contour: Option<Contour>,
    /// Signs that alter a piece or say what it is made of.
    pub marks: Vec<Mark>,
    /// The catalogue.
    pub entries: Vec<Entry>,
    /// How usual its values are, where somebody says.
    pub usual: Usual,
    /// Offsets between methods.
    pub declared: Vec<Declaration>,
    /// Measured points of specimens.
    pub traces: Vec<Traced>,
    /// What is stamped on which part.
    pub stamps: Vec<Stamp>,
    /// Stamps and what each must decode to.
    pub examples: Vec<Example>,
    /// SHA-256 of the file, hexadecimal.
    pub hash: String,
    /// The file it came from, as shown to people.
    pub file: String,
}

impl Scheme {
    /// Place of the figure of that name.
    pub fn figure(&self, name: &str) -> Option<usize> {
        self.figures.iter().position(|figure| figure.name == name)
    }

    /// Whether any of its pieces states such a quantity: by a figure, or by the form of a backbore.
    pub fn can_state(&self, such: impl Fn(Quantity) -> bool) -> bool {
        let forms = self.series.iter().flat_map(|one| &one.backbore);
        let figures = self.figures.iter().map(|figure| &figure.method);
        let mut methods = figures.chain(forms.map(|one| &one.method));
        methods.any(|method| such(method.quantity()))
    }
}

/// What is said of one part.
#[derive(Clone, Debug)]
pub struct Part {
    /// Which.
    pub kind: PartKind,
    /// Its thread, as the maker states it.
    pub thread: Option<String>,
    /// A sentence.
    pub says: Option<String>,
}

/// A family of pieces.
#[derive(Clone, Debug)]
pub struct Series {
    /// Its name in the file.
    pub name: String,
    /// Words as stamped, the canonical one first, each with the years in which it was used.
    pub words: Vec<(String, Years)>,
    /// Instruments, where not all of the scheme's; empty otherwise.
    pub serves: Vec<Instrument>,
    /// Its form, the scheme's where it says nothing of its own.
    pub contour: Option<Contour>,
    /// What the named form of its backbore states.
    pub backbore: Vec<Stated>,
    /// Figures that the series has unsaid: (figure, sign).
    pub implies: Vec<(usize, Sign)>,
    /// Sentences: what the name implies besides.
    pub says: Vec<String>,
    /// Where its statements come from.
    pub source: String,
}

/// A kind of mark, with its codes.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Its name in the file and in templates.
    pub name: String,
    /// For people.
    pub title: String,
    /// What holds where there is none.
    pub unmarked: Option<String>,
    /// Its codes.
    pub codes: Vec<Code>,
}

/// One code of a mark.
#[derive(Clone, Debug)]
pub struct Code {
    /// As written on the metal.
    pub code: String,
    /// Other spellings that are read.
    pub also: Vec<String>,
    /// What it means, in words.
    pub means: String,
    /// What it does to the metal.
    pub effects: Vec<(Target, Effect)>,
    /// Where that comes from.
    pub source: String,
}

/// What a mark acts on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// A figure of form.
    Contour(ContourFigure),
    /// A figure of the scheme, by place.
    Figure(usize),
}

/// What a mark does. Amounts are in base units: mm, radians, mm³.
#[derive(Clone, Debug)]
pub enum Effect {
    /// Takes the place of what was there. Angles in radians.
    Set(Sign),
    /// Is added.
    Add(AmountWithSpread),
    /// Multiplies.
    Multiply(AmountWithSpread),
}

/// One line of a catalogue.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The canonical name, as stamped.
    pub name: String,
    /// Other spellings that are read.
    pub also: Vec<String>,
    /// Its series.
    pub series: Option<usize>,
    /// When the name meant this metal.
    pub years: Years,
    /// A remark.
    pub note: Option<String>,
    /// What it states: (figure, sign).
    pub states: Vec<(usize, Sign)>,
    /// Line in the file, from 1.
    pub line: usize,
}

/// An offset between methods and the series it holds for (none named: all).
#[derive(Clone, Debug)]
pub struct Declaration {
    /// The offset.
    pub offset: Arc<Declared>,
    /// Series by place; empty means all.
    pub series: Vec<usize>,
}

/// What a trace is of, by place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TraceOf {
    /// An entry of the catalogue.
    Entry(usize),
    /// A series.
    Series(usize),
}

/// Measured points of one specimen.
#[derive(Clone, Debug)]
pub struct Traced {
    /// Of what.
    pub of: TraceOf,
    /// The metal that they make.
    pub trace: Arc<Trace>,
}

/// What is stamped on a part.
#[derive(Clone, Debug)]
pub struct Stamp {
    /// Which part.
    pub part: PartKind,
    /// The spelling that is written.
    pub template: Template,
    /// Spellings that are read as well.
    pub also: Vec<Template>,
    /// When it was stamped so.
    pub years: Years,
}

/// A stamp and what it must decode to.
#[derive(Clone, Debug)]
pub struct Example {
    /// As stamped.
    pub stamp: String,
    /// Field and value: a series or entry by name, a figure by its sign, a mark by its code.
    pub says: Vec<(String, String)>,
    /// The canonical spelling, where it differs.
    pub spelled: Option<String>,
    /// How many other readings there are.
    pub rivals: Option<usize>,
}
