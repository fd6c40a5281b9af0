//! The figures that fix a rim and cup, as numbers and as estimates.
//!
//! Nine figures: three of size (crest radius, cup depth, throat radius) and six
//! of form (see [`ContourFigure`]). Size is solved from what a maker states
//! ([`crate::route`]); form comes from a series or a generic class.

use std::fmt;

use num_dual::Dual64;

use super::contour::{Contour, ContourFigure};
use super::section::{Curve, Number, Section};
use crate::uncertainty::Estimate;

/// How many figures a [`Shape`] has.
pub const FIGURES: usize = 9;

/// A gauge put to metal: what it reads on a section, in mm or mm³.
pub trait Gauge {
    /// The reading; none where it needs metal that the section does not have.
    fn read<D: Number>(&self, section: &Section<D>) -> Option<D>;
}

/// Places of the figures in a [`Shape`].
pub mod figure {
    /// Radius of the crest circle, mm.
    pub const CREST_RADIUS: usize = 0;
    /// Depth of the throat's upper end below the crest plane, mm.
    pub const DEPTH: usize = 1;
    /// Radius of the throat, mm.
    pub const THROAT_RADIUS: usize = 2;
    /// The first of the six contour figures.
    pub const CONTOUR: usize = 3;
}

/// The nine figures as plain numbers: mm, radians, and the form from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// In the order of [`figure`].
    pub figures: [f64; FIGURES],
    /// Whether depth and throat are known; otherwise only the rim is.
    pub has_cup: bool,
}

/// Metal that cannot be: what is wrong, with the figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Impossible(pub String);

impl fmt::Display for Impossible {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Impossible {}

impl Shape {
    /// The section as numbers.
    pub fn section(&self) -> Section<f64> {
        section(self.figures, self.has_cup)
    }

    /// What a gauge reads, and how much that changes with each figure. None where the
    /// gauge needs metal that is not known.
    pub fn gradient(&self, gauge: &impl Gauge) -> Option<(f64, [f64; FIGURES])> {
        let reading = gauge.read(&self.section())?;
        let mut slopes = [0.0; FIGURES];
        for (place, slope) in slopes.iter_mut().enumerate() {
            let mut figures = self.figures.map(Dual64::from_re);
            figures[place] = figures[place].derivative();
            *slope = gauge.read(&section(figures, self.has_cup))?.eps;
        }
        Some((reading, slopes))
    }

    /// Refuses metal that cannot be, naming the figures that clash.
    pub fn possible(&self) -> Result<(), Impossible> {
        if let Some(bad) = self.figures.iter().find(|value| !value.is_finite()) {
            return Err(Impossible(format!("a figure of the profile is {bad}")));
        }
        let section = self.section();
        let seam_depth = self.figures[figure::CONTOUR + ContourFigure::Seam as usize];
        let edge_end = section.curves()[1].bottom();
        let seam_radius = section.seam_radius();
        if seam_depth < edge_end {
            return Err(Impossible(format!(
                "the seam at {seam_depth:.2} mm lies above the end of the inner edge at {edge_end:.2} mm"
            )));
        }
        if seam_radius <= 0.0 {
            return Err(Impossible(format!(
                "the rim closes: its radius at the seam is {seam_radius:.2} mm"
            )));
        }
        if self.has_cup {
            self.possible_cup(seam_depth, seam_radius)?;
        }
        Ok(())
    }

    fn possible_cup(&self, seam_depth: f64, seam_radius: f64) -> Result<(), Impossible> {
        let depth = self.figures[figure::DEPTH];
        let throat = self.figures[figure::THROAT_RADIUS];
        if depth <= seam_depth {
            return Err(Impossible(format!(
                "the throat at {depth:.2} mm lies above the seam at {seam_depth:.2} mm"
            )));
        }
        if throat <= 0.0 || throat >= seam_radius {
            return Err(Impossible(format!(
                "a throat of {:.2} mm in a cup of {:.2} mm at the seam",
                2.0 * throat,
                2.0 * seam_radius
            )));
        }
        Ok(())
    }
}

/// Two rounding arcs, a wall to the seam, and the cup below it.
fn section<D: Number>(figures: [D; FIGURES], has_cup: bool) -> Section<D> {
    let [
        crest_radius,
        depth,
        throat,
        crest,
        edge,
        join,
        wall,
        seam,
        form,
    ] = figures;
    let top = D::from(std::f64::consts::FRAC_PI_2);
    let rounding = Curve::Arc {
        centre: crest_radius,
        rho: crest,
        from: top,
        to: join,
        z: D::zero(),
    };
    let centre = rounding.bottom_radius() + edge * join.cos();
    let bite = Curve::Arc {
        centre,
        rho: edge,
        from: join,
        to: wall,
        z: rounding.bottom(),
    };
    let start = (bite.bottom_radius(), bite.bottom());
    let mouth = (start.0 - (seam - start.1) * wall.tan(), seam);
    let mut curves = vec![
        rounding,
        bite,
        Curve::Line {
            from: start,
            to: mouth,
        },
    ];
    if has_cup {
        curves.push(Curve::Cup {
            from: mouth,
            to: (throat, depth),
            form,
        });
    }
    Section::new(crest_radius, curves, 3)
}

/// A shape whose figures are estimates: what is known of one piece of metal.
#[derive(Clone, Debug)]
pub struct Profile {
    figures: [Estimate; FIGURES],
    shape: Shape,
}

impl Profile {
    /// From solved size figures and a contour. Without depth and throat only the rim is
    /// known.
    pub fn new(
        crest_radius: Estimate,
        cup: Option<(Estimate, Estimate)>,
        contour: &Contour,
    ) -> Result<Self, Impossible> {
        let has_cup = cup.is_some();
        let (depth, throat) = cup.unwrap_or((Estimate::exact(0.0), Estimate::exact(0.0)));
        let form = |which: ContourFigure| contour.figure(which).clone();
        let figures = [
            crest_radius,
            depth,
            throat,
            form(ContourFigure::Crest),
            form(ContourFigure::Edge),
            form(ContourFigure::Join),
            form(ContourFigure::Wall),
            form(ContourFigure::Seam),
            form(ContourFigure::Form),
        ];
        let shape = Shape {
            figures: figures.each_ref().map(|figure| figure.value()),
            has_cup,
        };
        shape.possible()?;
        Ok(Self { figures, shape })
    }

    /// The best estimates, as plain numbers.
    pub fn shape(&self) -> &Shape {
        &self.shape
    }

    /// One figure with its sources.
    pub fn figure(&self, place: usize) -> &Estimate {
        &self.figures[place]
    }

    /// What a gauge reads on this metal, with every source of doubt: first-order
    /// propagation, JCGM 100 clause 5. None where it needs metal that is not known.
    pub fn read(&self, gauge: &impl Gauge) -> Option<Estimate> {
        let (reading, slopes) = self.shape.gradient(gauge)?;
        let terms: Vec<(f64, &Estimate)> = slopes.into_iter().zip(&self.figures).collect();
        Some(Estimate::linear(reading, &terms))
    }
}
