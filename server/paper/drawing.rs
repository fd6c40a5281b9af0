//! Lines and words on paper, before anybody paints them.
//!
//! A [`Drawing`] is a list of [`Mark`]s in millimetres, x to the right and y down from the upper
//! left corner. Sections are made of them; [`super::svg`] paints them on screens, the templates on
//! paper. Nothing here knows what a mark means.

use super::metrics::{self, Face};

/// What a mark is drawn in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Words and outlines.
    Full,
    /// What stands behind: notes, planes.
    Soft,
    /// What is struck into the metal or measured on it.
    Accent,
}

/// Kinds of line, as technical drawing tells them apart (ISO 128: wide and narrow continuous,
/// dashed, long-dashed dotted).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stroke {
    /// The inner surface of the metal.
    Outline,
    /// The inner surface where it is only known to go on.
    Beyond,
    /// Metal beside the surface.
    Hatch,
    /// Metal farther out, which nobody measured.
    Fade,
    /// The axis.
    Axis,
    /// The plane of the crest or the seam.
    Plane,
    /// Where a gauge goes.
    Dimension,
    /// From a place to its label.
    Leader,
}

/// How a stroke is painted.
#[derive(Clone, Copy, Debug)]
pub struct Pen {
    /// Name, for style sheets.
    pub class: &'static str,
    /// Width, mm.
    pub width_mm: f64,
    /// Lengths of dashes and gaps, mm; none: continuous.
    pub dash_mm: &'static [f64],
    /// What in.
    pub ink: Ink,
}

impl Stroke {
    /// How it is painted.
    pub fn pen(self) -> Pen {
        let pen = |class, width_mm, dash_mm, ink| Pen {
            class,
            width_mm,
            dash_mm,
            ink,
        };
        match self {
            Self::Outline => pen("outline", 0.42, &[], Ink::Full),
            Self::Beyond => pen("beyond", 0.25, &[0.8, 0.6], Ink::Full),
            Self::Hatch => pen("hatch", 0.14, &[], Ink::Full),
            Self::Fade => pen("fade", 0.08, &[], Ink::Soft),
            Self::Axis => pen("axis", 0.13, &[3.0, 0.7, 0.3, 0.7], Ink::Soft),
            Self::Plane => pen("plane", 0.13, &[1.2, 0.8], Ink::Soft),
            Self::Dimension => pen("dimension", 0.22, &[], Ink::Accent),
            Self::Leader => pen("leader", 0.1, &[], Ink::Accent),
        }
    }
}

/// A place on the drawing, mm.
pub type Place = (f64, f64);

/// Words on one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Left end of the baseline.
    pub at: Place,
    /// The words.
    pub text: String,
    /// In which face.
    pub face: Face,
    /// Size of the type, mm.
    pub size_mm: f64,
    /// What in.
    pub ink: Ink,
}

impl Run {
    /// Its width, mm.
    pub fn width_mm(&self) -> f64 {
        metrics::width_mm(&self.text, self.face, self.size_mm)
    }

    /// The rectangle that the letters take.
    pub fn bounds(&self) -> Bounds {
        let (x, y) = self.at;
        Bounds {
            left: x,
            right: x + self.width_mm(),
            top: y - metrics::ASCENT * self.size_mm,
            bottom: y + metrics::DESCENT * self.size_mm,
        }
    }
}

/// A rectangle, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Least x.
    pub left: f64,
    /// Greatest x.
    pub right: f64,
    /// Least y.
    pub top: f64,
    /// Greatest y.
    pub bottom: f64,
}

impl Bounds {
    /// Whether two rectangles share more than an edge.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether the point lies within.
    pub fn holds(&self, (x, y): Place) -> bool {
        self.left < x && x < self.right && self.top < y && y < self.bottom
    }
}

/// One thing on paper.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line through points.
    Line(Stroke, Vec<Place>),
    /// A filled shape.
    Area(Ink, Vec<Place>),
    /// A circle around a label's number: centre and radius.
    Ring(Place, f64),
    /// Words.
    Words(Run),
}

/// A value and the place on the drawing that it belongs to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchored<'a> {
    /// The place.
    pub from: Place,
    /// What is measured there.
    pub text: &'a str,
    /// What it measures.
    pub value: &'a str,
}

/// Marks on a piece of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// What it shows, for those who cannot see it.
    pub title: String,
    /// The same in a few sentences.
    pub description: String,
    /// The marks; later ones lie above.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// All words with their places.
    pub fn runs(&self) -> impl Iterator<Item = &Run> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Words(run) => Some(run),
            _ => None,
        })
    }
}

/// Places labels in a column: each as near to where it is wanted as the others let it, none over
/// another, in the order given. Gives their upper edges; they start no higher than `from` and end
/// no lower than `to` unless they need more room than that.
pub fn stack(wanted: &[(f64, f64)], gap: f64, from: f64, to: f64) -> Vec<f64> {
    let mut tops = Vec::with_capacity(wanted.len());
    let mut free = from;
    for &(top, height) in wanted {
        tops.push(top.max(free));
        free = top.max(free) + height + gap;
    }
    let mut floor = to;
    for (top, &(_, height)) in tops.iter_mut().zip(wanted).rev() {
        *top = top.min(floor - height);
        floor = *top - gap;
    }
    let above = tops.first().map_or(0.0, |first| (from - first).max(0.0));
    tops.iter().map(|top| top + above).collect()
}
