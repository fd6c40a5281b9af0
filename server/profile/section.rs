//! The half-section of a piece: rim, cup, and what is known beyond them.
//!
//! Rim and cup are one chain of curves from the crest inward and down; their ends meet
//! except at the seam, where parts that come from different makers can make a step.
//! Beyond them stand the throat, the backbore and the outside, each only as far as it
//! is known. `D` is a number or a dual number.

use super::curve::{Curve, Number};

/// The shank: a cone whose thin end is the end of the piece.
#[derive(Clone, Copy, Debug)]
pub struct Shank<D> {
    /// Radius at the end, mm.
    pub end_radius: D,
    /// How much the diameter grows on a millimetre, away from the end; above 0.
    pub growth: D,
    /// Length of the cone, mm; none where it is not known.
    pub length: Option<D>,
}

/// What is known of a piece beside rim and cup. Lengths in mm.
#[derive(Clone, Debug)]
pub struct Beyond<D> {
    /// Radius of the throat, where the piece itself says it.
    pub throat_radius: Option<D>,
    /// Length of the throat's cylinder.
    pub throat_length: Option<D>,
    /// From the throat's lower end to the exit.
    pub backbore: Vec<Curve<D>>,
    /// Radius of the exit, where nothing else is known of the backbore.
    pub exit_radius: Option<D>,
    /// Radius of the outside of the rim.
    pub rim_outer: Option<D>,
    /// Width of the flat of the cushion, outward from the crest circle.
    pub flat: Option<D>,
    /// The shank.
    pub shank: Option<Shank<D>>,
}

impl<D> Default for Beyond<D> {
    fn default() -> Self {
        Self {
            throat_radius: None,
            throat_length: None,
            backbore: Vec::new(),
            exit_radius: None,
            rim_outer: None,
            flat: None,
            shank: None,
        }
    }
}

/// A chain of curves from the crest down, with the place of the seam in it.
#[derive(Clone, Debug)]
pub struct Section<D> {
    curves: Vec<Curve<D>>,
    crest_radius: D,
    seam: usize,
    to_throat: bool,
    from_crest: bool,
    has_seam: bool,
    beyond: Beyond<D>,
}

impl<D: Number> Section<D> {
    /// A section whose first `seam` curves belong to the rim and whose others make the
    /// cup down to the throat (none: only the rim is known).
    pub fn new(crest_radius: D, curves: Vec<Curve<D>>, seam: usize) -> Self {
        let to_throat = curves.len() > seam;
        Self {
            curves,
            crest_radius,
            seam,
            to_throat,
            from_crest: true,
            has_seam: true,
            beyond: Beyond::default(),
        }
    }

    /// A section of which only some is known: it may begin below the crest plane, have no
    /// seam that anyone knows (`seam` none), and end above the throat.
    pub(super) fn partial(
        curves: Vec<Curve<D>>,
        from_crest: bool,
        seam: Option<usize>,
        to_throat: bool,
    ) -> Self {
        let crest_radius = curves.first().map_or(D::zero(), |curve| curve.upper().0);
        Self {
            seam: seam.unwrap_or(curves.len()),
            crest_radius,
            curves,
            to_throat,
            from_crest,
            has_seam: seam.is_some(),
            beyond: Beyond::default(),
        }
    }

    /// The same with what is known beyond rim and cup.
    #[must_use]
    pub fn with(self, beyond: Beyond<D>) -> Self {
        Self { beyond, ..self }
    }

    /// What is known beyond rim and cup.
    pub fn beyond(&self) -> &Beyond<D> {
        &self.beyond
    }

    /// The curves, from the crest down.
    pub fn curves(&self) -> &[Curve<D>] {
        &self.curves
    }

    /// Radius of the crest circle; of the upper end where the crest is not known.
    pub fn crest_radius(&self) -> D {
        self.crest_radius
    }

    /// Radius of the crest circle, where that is known.
    pub fn crest(&self) -> Option<D> {
        self.from_crest.then_some(self.crest_radius)
    }

    /// The seam as (r, z), where that is known; r is the rim's.
    pub fn seam(&self) -> Option<(D, D)> {
        self.has_seam
            .then(|| (self.seam_radius(), self.seam_depth()))
    }

    /// Radius of the rim at the seam; at the end of the rim where no seam is known.
    pub fn seam_radius(&self) -> D {
        self.last_of_rim()
            .map_or(self.crest_radius, |curve| curve.bottom_radius())
    }

    /// Depth of the seam below the crest.
    pub fn seam_depth(&self) -> D {
        self.last_of_rim().map_or(D::zero(), |curve| curve.bottom())
    }

    fn last_of_rim(&self) -> Option<&Curve<D>> {
        self.seam
            .checked_sub(1)
            .and_then(|last| self.curves.get(last))
    }

    /// Depth of the upper end of the throat; none where only the rim is known.
    pub fn throat_depth(&self) -> Option<D> {
        self.curves
            .last()
            .filter(|_| self.to_throat)
            .map(|curve| curve.bottom())
    }

    /// Radius of the inner edge's rounding; none where the rim is no chain of arcs.
    pub fn edge_radius(&self) -> Option<D> {
        self.curves[..self.seam]
            .iter()
            .rev()
            .find_map(|curve| match curve {
                Curve::Arc { rho, .. } => Some(*rho),
                _ => None,
            })
    }

    /// Radius where the rim's tangent makes `angle` (radians) with the axis; none where
    /// no rounding of the rim passes through that angle.
    pub fn radius_at_tangent(&self, angle: f64) -> Option<D> {
        self.curves[..self.seam]
            .iter()
            .find_map(|curve| curve.radius_at_tangent(angle))
    }

    /// Radius at depth `z` below the crest; none above it or below what is known.
    pub fn radius_at(&self, z: f64) -> Option<D> {
        let top = self.curves.first()?.upper().1.re();
        if z < top {
            return None;
        }
        self.curves
            .iter()
            .find(|curve| z <= curve.bottom().re())
            .map(|curve| curve.radius(z))
    }

    /// How deep a disc of this radius sinks below the crest plane: to where the bore is as
    /// narrow, or onto a step. None where it does not enter, or falls through all that is
    /// known.
    pub fn depth_at_radius(&self, radius: f64) -> Option<D> {
        let enters = |curve: &Curve<D>| radius <= curve.upper().0.re();
        self.curves.first().filter(|curve| enters(curve))?;
        let stops = self
            .curves
            .iter()
            .find(|curve| radius >= curve.bottom_radius().re() || !enters(curve))?;
        if !enters(stops) {
            return Some(stops.upper().1);
        }
        stops.depth(radius)
    }

    /// ∫ r dz to the throat, from the crest plane or from the seam.
    pub fn area(&self, from_seam: bool) -> Option<D> {
        self.summed(from_seam, Curve::area)
    }

    /// Volume to the throat, mm³, from the crest plane or from the seam.
    pub fn volume(&self, from_seam: bool) -> Option<D> {
        self.summed(from_seam, Curve::square)
            .map(|square| square * std::f64::consts::PI)
    }

    fn summed(&self, from_seam: bool, part: impl Fn(&Curve<D>) -> D) -> Option<D> {
        let (first, known) = match from_seam {
            true => (self.seam, self.has_seam),
            false => (0, self.from_crest),
        };
        (self.to_throat && known).then(|| total(&self.curves[first..], part))
    }
}

impl<D: Number> Beyond<D> {
    /// Length of the backbore.
    pub fn backbore_length(&self) -> Option<D> {
        let (first, last) = (self.backbore.first()?, self.backbore.last()?);
        Some(last.bottom() - first.upper().1)
    }

    /// Mean of the diameters along the backbore: ∫ d dz ÷ L.
    pub fn mean_bore(&self) -> Option<D> {
        let length = self.backbore_length()?;
        Some(total(&self.backbore, Curve::area) / length * 2.0)
    }

    /// Diameter of the cylinder that holds as much as the backbore and is as long.
    pub fn equivalent_bore(&self) -> Option<D> {
        let length = self.backbore_length()?;
        Some((total(&self.backbore, Curve::square) / length).sqrt() * 2.0)
    }

    /// Radius of the exit.
    pub fn exit(&self) -> Option<D> {
        let last = self.backbore.last().map(|curve| curve.bottom_radius());
        last.or(self.exit_radius)
    }

    /// How deep a plug of this radius enters from the exit; none where it does not enter,
    /// or goes through to the throat.
    pub fn plug_depth(&self, radius: f64) -> Option<D> {
        let end = self.backbore.last()?.bottom();
        let enters = |curve: &&Curve<D>| radius <= curve.bottom_radius().re();
        self.backbore.last().filter(enters)?;
        let stops = self
            .backbore
            .iter()
            .rev()
            .find(|curve| radius >= curve.upper().0.re())?;
        Some(end - stops.depth(radius)?)
    }
}

impl<D: Number> Shank<D> {
    /// Diameter at a distance from the end; none past the shank, where its length is known.
    pub fn diameter_at(&self, distance: f64) -> Option<D> {
        let past = self.length.is_some_and(|length| distance > length.re());
        (!past && distance >= 0.0).then(|| self.end_radius * 2.0 + self.growth * distance)
    }

    /// How far the shank goes into a receiver of this mouth diameter that narrows by
    /// `growth` on a millimetre. The steeper of the two cones touches at the receiver's mouth,
    /// the flatter at the shank's end. None where it does not enter, or enters to its
    /// whole length and so does not hold.
    pub fn insertion(&self, mouth: f64, growth: f64) -> Option<D> {
        let steeper = match self.growth.re() > growth {
            true => self.growth,
            false => D::from(growth),
        };
        let depth = (self.end_radius * -2.0 + mouth) / steeper;
        let length = self.length?.re();
        (0.0 < depth.re() && depth.re() < length).then_some(depth)
    }
}

fn total<D: Number>(curves: &[Curve<D>], part: impl Fn(&Curve<D>) -> D) -> D {
    curves
        .iter()
        .map(part)
        .fold(D::zero(), |sum, term| sum + term)
}
