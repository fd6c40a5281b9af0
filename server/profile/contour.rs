//! The form of a rim and cup, without its size.
//!
//! Six figures, each an estimate in mm, in radians, or between 0 and 1 for the
//! cup's form. A maker's series gives them, or a generic class with wide limits
//! does; which of the two stays known in the source of each figure, so that a
//! result can say whether it leans on a generic class.

use std::sync::Arc;

use crate::language::Word;
use crate::uncertainty::{Distribution, Estimate, Source};

/// One of the six figures of form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ContourFigure {
    /// Radius of the rounding from the crest inward, mm.
    Crest,
    /// Radius of the inner edge, mm.
    Edge,
    /// Tangent angle with the axis where the two roundings meet.
    Join,
    /// Angle of the wall below the edge with the axis.
    Wall,
    /// Depth of the seam below the crest, mm.
    Seam,
    /// Form of the cup: 1 a bowl, 0 a cone.
    Form,
}

impl ContourFigure {
    /// All six, in the order of a contour.
    pub const ALL: [Self; 6] = [
        Self::Crest,
        Self::Edge,
        Self::Join,
        Self::Wall,
        Self::Seam,
        Self::Form,
    ];

    /// What each of them has, in their order; none where one has nothing.
    pub fn of_each<T>([crest, edge, join, wall, seam, form]: [Option<T>; 6]) -> Option<[T; 6]> {
        Some([crest?, edge?, join?, wall?, seam?, form?])
    }

    /// The word for it in plug-ins and tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Crest => "crest",
            Self::Edge => "edge",
            Self::Join => "join",
            Self::Wall => "wall",
            Self::Seam => "seam",
            Self::Form => "form",
        }
    }

    /// The symbol of its unit; the form has none.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Join | Self::Wall => "rad",
            Self::Form => "",
            _ => "mm",
        }
    }

    /// The figure of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|figure| figure.name() == name)
    }
}

/// A generic class of contours: how mouthpieces of a kind are commonly made.
#[derive(Clone, Debug)]
pub struct Class {
    /// Its name in `tables/contours.yml`.
    pub name: String,
    /// Where its figures come from.
    pub source: String,
    /// A sentence for a person.
    pub says: String,
    /// The six figures, each a value and the half-width of its limits, in the order of
    /// [`ContourFigure::ALL`].
    pub figures: [(f64, f64); 6],
    /// Throat diameter and half-width, mm, where a piece does not state its own.
    pub throat: (f64, f64),
}

/// Begins the keys of all sources that come from a generic class.
const GENERIC: &str = "generic/";

/// Whether a source of doubt comes from a generic class.
pub fn is_generic(source: &Source) -> bool {
    source.key().starts_with(GENERIC)
}

impl Class {
    /// One figure of the class as it stands for one series: makers differ within a class,
    /// so its doubt is shared within the series `holder` and with nobody else.
    pub fn figure(&self, which: ContourFigure, holder: &str) -> Estimate {
        self.estimate(
            self.figures[which as usize],
            (which.name(), which.unit()),
            holder,
        )
    }

    /// The class's throat diameter, mm.
    pub fn throat(&self, holder: &str) -> Estimate {
        self.estimate(self.throat, ("throat", "mm"), holder)
    }

    fn estimate(
        &self,
        (value, half_width): (f64, f64),
        (what, unit): (&str, &'static str),
        holder: &str,
    ) -> Estimate {
        let key = format!("{GENERIC}{holder}/{what}");
        let label = sentence!(
            "{what} by the generic class {class}",
            what = Word(what.to_owned()),
            class = self.name.clone()
        );
        Estimate::rectangular(
            value,
            half_width,
            Arc::new(Source::new(key, label, Distribution::Rectangular).in_unit(unit)),
        )
    }
}

/// The six figures of form as estimates, and a throat to stand in where none is stated.
#[derive(Clone, Debug)]
pub struct Contour {
    figures: [Estimate; 6],
    /// Throat diameter that stands in where a piece states none, mm.
    pub throat: Option<Estimate>,
}

impl Contour {
    /// From the six figures in the order of [`ContourFigure::ALL`].
    pub fn new(figures: [Estimate; 6], throat: Option<Estimate>) -> Self {
        Self { figures, throat }
    }

    /// One figure.
    pub fn figure(&self, which: ContourFigure) -> &Estimate {
        &self.figures[which as usize]
    }

    /// Whether every figure and its doubt are the same numbers.
    pub fn is_same(&self, other: &Self) -> bool {
        let numbers = |one: &Estimate| (one.value(), one.u());
        let throats = [self, other].map(|one| one.throat.as_ref().map(numbers));
        let figures = self.figures.iter().map(numbers);
        throats[0] == throats[1] && figures.eq(other.figures.iter().map(numbers))
    }

    /// The same contour with one figure replaced.
    pub fn with(mut self, which: ContourFigure, value: Estimate) -> Self {
        self.figures[which as usize] = value;
        self
    }
}
