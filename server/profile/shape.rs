//! The figures that fix a piece, as numbers.
//!
//! Nine figures make rim and cup: three of size (crest radius, cup depth, throat radius)
//! and six of form (see [`ContourFigure`]). Ten more stand beyond them, each known or not.
//! Size is solved from what a maker states ([`crate::route`]); form comes from a series or
//! a generic class.

use crate::language::{Digits, Sentence, Word};
use std::fmt;

use num_dual::Dual64;

use super::contour::ContourFigure;
use super::curve::{Curve, Number};
use super::section::{Beyond, Section, Shank};

/// How many figures a [`Shape`] has.
pub const FIGURES: usize = 19;

/// A gauge put to metal: what it reads on a section, in mm or mm³.
pub trait Gauge {
    /// The reading; none where it needs metal that the section does not have.
    fn read<D: Number>(&self, section: &Section<D>) -> Option<D>;

    /// The tangent of the rim at which it reads; none where it goes by no tangent.
    fn tangent(&self) -> Option<Tangent> {
        None
    }

    /// The least and the most that it reads of any metal whose bore is nowhere narrower than `narrow` and nowhere
    /// wider than `wide`; none where those two do not tell.
    fn bounds(&self, _narrow: &Section<f64>, _wide: &Section<f64>) -> Option<(f64, f64)> {
        None
    }
}

/// A tangent of the rim.
#[derive(Clone, Copy, Debug)]
pub struct Tangent {
    /// With the axis, radians.
    pub angle: f64,
    /// Whether the reading is the diameter there; else it only takes part in the reading.
    pub is_read: bool,
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
    /// The first of those that are known or not.
    pub const BEYOND: usize = 9;
    /// How far the cup's mouth stands outside the rim's end at the seam, mm; below 0 the cup's
    /// mouth is a ledge. Where it is not known the two meet.
    pub const STEP: usize = 9;
    /// Length of the throat's cylinder, mm.
    pub const THROAT_LENGTH: usize = 10;
    /// Radius of the exit, mm.
    pub const EXIT_RADIUS: usize = 11;
    /// Length of the backbore, mm.
    pub const BACKBORE_LENGTH: usize = 12;
    /// The power with which the backbore opens.
    pub const BACKBORE_POWER: usize = 13;
    /// Radius of the outside of the rim, mm.
    pub const RIM_OUTER: usize = 14;
    /// Width of the cushion's flat, mm.
    pub const FLAT: usize = 15;
    /// Radius of the shank's end, mm.
    pub const SHANK_END: usize = 16;
    /// Growth of the shank's diameter on a millimetre.
    pub const SHANK_GROWTH: usize = 17;
    /// Length of the shank, mm.
    pub const SHANK_LENGTH: usize = 18;
}

/// Which of the figures beyond rim and cup are known, and whether the throat is the piece's
/// own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Known(u32);

impl Known {
    /// The same with the figure at a place known.
    #[must_use]
    pub fn with(self, place: usize) -> Self {
        Self(self.0 | 1 << place)
    }

    /// Whether the figure at a place is known.
    pub fn has(self, place: usize) -> bool {
        self.0 & 1 << place != 0
    }
}

/// The figures as plain numbers: mm, radians, and the form from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// In the order of [`figure`].
    pub figures: [f64; FIGURES],
    /// Whether depth and throat are known; otherwise only the rim is.
    pub has_cup: bool,
    /// What is known besides. The throat stands there where the piece itself says it, and
    /// not where a class lends it one.
    pub known: Known,
}

/// Metal that cannot be: what is wrong, with the figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Impossible(pub Sentence);

impl fmt::Display for Impossible {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl std::error::Error for Impossible {}

/// To two digits.
fn hundredths(mm: f64) -> Digits {
    Digits(format!("{mm:.2}"))
}

impl Shape {
    /// A rim and cup of which nothing else is known, by its first nine figures.
    pub fn rim_and_cup(nine: [f64; figure::BEYOND]) -> Self {
        let mut figures = [0.0; FIGURES];
        figures[..figure::BEYOND].copy_from_slice(&nine);
        Self {
            figures,
            has_cup: true,
            known: Known::default(),
        }
    }

    /// The section as numbers.
    pub fn section(&self) -> Section<f64> {
        self.of(self.figures)
    }

    /// What a gauge reads. None where it needs metal that is not known.
    pub fn read(&self, gauge: &impl Gauge) -> Option<f64> {
        gauge.read(&self.section())
    }

    /// Whether the figure at a place makes a difference to any section.
    fn is_used(&self, place: usize) -> bool {
        place < figure::BEYOND || self.known.has(place)
    }

    /// What a gauge reads, and how much that changes with each figure. None where the
    /// gauge needs metal that is not known.
    pub fn gradient(&self, gauge: &impl Gauge) -> Option<(f64, [f64; FIGURES])> {
        self.gradients(&[gauge])?.pop()
    }

    /// The same of several gauges, all put to one section a figure.
    pub fn gradients<G: Gauge>(&self, gauges: &[&G]) -> Option<Vec<(f64, [f64; FIGURES])>> {
        let section = self.section();
        let read = |gauge: &&G| Some((gauge.read(&section)?, [0.0; FIGURES]));
        let mut all: Vec<_> = gauges.iter().map(read).collect::<Option<_>>()?;
        for place in (0..FIGURES).filter(|&place| self.is_used(place)) {
            let changing = self.changing(place);
            for ((_, slopes), gauge) in all.iter_mut().zip(gauges) {
                slopes[place] = gauge.read(&changing)?.eps;
            }
        }
        Some(all)
    }

    /// The section with what the figure at a place changes in it.
    pub fn changing(&self, place: usize) -> Section<Dual64> {
        let mut figures = self.figures.map(Dual64::from_re);
        figures[place] = figures[place].derivative();
        self.of(figures)
    }

    /// Refuses metal that cannot be, naming the figures that clash.
    pub fn possible(&self) -> Result<(), Impossible> {
        self.possible_inside()?;
        self.possible_beyond()
    }

    /// The same of rim and cup alone.
    pub fn possible_inside(&self) -> Result<(), Impossible> {
        if let Some(bad) = self.figures.iter().find(|value| !value.is_finite()) {
            return Err(Impossible(sentence!(
                "a figure of the profile is {bad}",
                bad
            )));
        }
        let section = self.section();
        let seam_depth = self.figures[figure::CONTOUR + ContourFigure::Seam as usize];
        let edge_end = section.curves()[1].bottom();
        let seam_radius = section.seam_radius();
        if seam_depth < edge_end {
            return Err(Impossible(sentence!(
                "the seam at {seam} mm lies above the end of the inner edge at {edge} mm",
                seam = hundredths(seam_depth),
                edge = hundredths(edge_end)
            )));
        }
        if seam_radius <= 0.0 {
            return Err(Impossible(sentence!(
                "the rim closes: its radius at the seam is {radius} mm",
                radius = hundredths(seam_radius)
            )));
        }
        if self.has_cup {
            self.possible_cup(seam_depth, seam_radius + self.step())?;
        }
        Ok(())
    }

    fn step(&self) -> f64 {
        match self.known.has(figure::STEP) {
            true => self.figures[figure::STEP],
            false => 0.0,
        }
    }

    fn possible_cup(&self, seam_depth: f64, mouth: f64) -> Result<(), Impossible> {
        let depth = self.figures[figure::DEPTH];
        let throat = self.figures[figure::THROAT_RADIUS];
        if depth <= seam_depth {
            return Err(Impossible(sentence!(
                "the throat at {throat} mm lies above the seam at {seam} mm",
                throat = hundredths(depth),
                seam = hundredths(seam_depth)
            )));
        }
        if throat <= 0.0 || throat >= mouth {
            return Err(Impossible(sentence!(
                "a throat of {throat} mm in a cup of {cup} mm at the seam",
                throat = hundredths(2.0 * throat),
                cup = hundredths(2.0 * mouth)
            )));
        }
        Ok(())
    }

    /// The figures beyond rim and cup, each against what it cannot pass.
    fn possible_beyond(&self) -> Result<(), Impossible> {
        use figure::*;
        let known = |place: usize| self.known.has(place).then(|| self.figures[place]);
        for (place, what) in [
            (THROAT_RADIUS, word!("a throat radius")),
            (THROAT_LENGTH, word!("a throat length")),
            (EXIT_RADIUS, word!("an exit radius")),
            (BACKBORE_LENGTH, word!("a backbore length")),
            (BACKBORE_POWER, word!("a backbore power")),
            (FLAT, word!("a flat")),
            (SHANK_END, word!("a radius of the shank's end")),
            (SHANK_GROWTH, word!("a shank taper")),
            (SHANK_LENGTH, word!("a shank length")),
        ] {
            if let Some(value) = known(place).filter(|value| *value < 0.0) {
                return Err(Impossible(sentence!(
                    "{what} of {value}, below zero",
                    what = Word(what),
                    value = Digits(format!("{value:.3}"))
                )));
            }
        }
        let crest = self.figures[CREST_RADIUS];
        let inside = crest + known(FLAT).unwrap_or(0.0);
        if let Some(outer) = known(RIM_OUTER).filter(|outer| *outer <= inside) {
            return Err(Impossible(sentence!(
                "a rim outer diameter of {outer} mm outside a cushion that reaches {cushion} mm",
                outer = hundredths(2.0 * outer),
                cushion = hundredths(2.0 * inside)
            )));
        }
        self.possible_exit(known(EXIT_RADIUS), known(SHANK_END))
    }

    fn possible_exit(&self, exit: Option<f64>, shank: Option<f64>) -> Result<(), Impossible> {
        let throat = self.figures[figure::THROAT_RADIUS];
        let states_throat = self.known.has(figure::THROAT_RADIUS);
        match (exit, shank) {
            (Some(exit), _) if states_throat && exit < throat => Err(Impossible(sentence!(
                "an exit of {exit} mm behind a throat of {throat} mm",
                exit = hundredths(2.0 * exit),
                throat = hundredths(2.0 * throat)
            ))),
            (Some(exit), Some(shank)) if exit >= shank => Err(Impossible(sentence!(
                "an exit of {exit} mm in a shank of {shank} mm at its end",
                exit = hundredths(2.0 * exit),
                shank = hundredths(2.0 * shank)
            ))),
            _ => Ok(()),
        }
    }

    /// Two rounding arcs, a wall to the seam, the cup below it, and what is known beyond.
    fn of<D: Number>(&self, figures: [D; FIGURES]) -> Section<D> {
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
            step,
            ..,
        ] = figures;
        let rounding = Curve::Arc {
            centre: crest_radius,
            rho: crest,
            from: D::from(std::f64::consts::FRAC_PI_2),
            to: join,
            z: D::zero(),
        };
        let bite = Curve::Arc {
            centre: rounding.bottom_radius() + edge * join.cos(),
            rho: edge,
            from: join,
            to: wall,
            z: rounding.bottom(),
        };
        let start = (bite.bottom_radius(), bite.bottom());
        let mouth = (start.0 - (seam - start.1) * wall.tan(), seam);
        let wall = Curve::Line {
            from: start,
            to: mouth,
        };
        let mut curves = Vec::with_capacity(4);
        curves.extend([rounding, bite, wall]);
        if self.has_cup {
            let stepped = self.known.has(figure::STEP);
            let from = (if stepped { mouth.0 + step } else { mouth.0 }, seam);
            curves.push(Curve::Cup {
                from,
                to: (throat, depth),
                form,
            });
        }
        Section::new(crest_radius, curves, 3).with(self.beyond(&figures))
    }

    fn beyond<D: Number>(&self, figures: &[D; FIGURES]) -> Beyond<D> {
        use figure::*;
        if self.known == Known::default() {
            return Beyond::default();
        }
        let known = |place: usize| self.known.has(place).then(|| figures[place]);
        let shank = known(SHANK_END).zip(known(SHANK_GROWTH));
        Beyond {
            throat_radius: known(THROAT_RADIUS),
            throat_length: known(THROAT_LENGTH),
            backbore: backbore(&known).into_iter().collect(),
            exit_radius: known(EXIT_RADIUS),
            rim_outer: known(RIM_OUTER),
            flat: known(FLAT),
            shank: shank.map(|(end_radius, growth)| Shank {
                end_radius,
                growth,
                length: known(SHANK_LENGTH),
            }),
        }
    }
}

/// The backbore where all its figures are known; depths count from its own upper end.
fn backbore<D: Number>(known: &impl Fn(usize) -> Option<D>) -> Option<Curve<D>> {
    Some(Curve::Power {
        from: (known(figure::THROAT_RADIUS)?, D::zero()),
        to: (known(figure::EXIT_RADIUS)?, known(figure::BACKBORE_LENGTH)?),
        power: known(figure::BACKBORE_POWER)?,
    })
}
