//! The half-section of a rim and cup as a chain of curves.
//!
//! Each curve has closed forms, so that areas and volumes are exact to the last
//! digits and derivatives pass through (`D` is a number or a dual number). The
//! curves run from the crest inward and down; their ends meet.

use num_dual::{DualNum, DualStruct};

/// A number or a dual number: what a section can be made of.
pub trait Number: DualNum<Primitive = f64> + DualStruct<Real = f64> + Copy {}

impl<D: DualNum<Primitive = f64> + DualStruct<Real = f64> + Copy> Number for D {}

/// One piece of the half-section.
#[derive(Clone, Copy, Debug)]
pub enum Curve<D> {
    /// A circular arc given by the angle between its tangent and the axis:
    /// r = centre − ρ cos φ, z = z₀ + ρ (sin φ₀ − sin φ). Positive ρ is metal that
    /// bulges into the bore (a rim), negative ρ is hollow (a bowl).
    Arc {
        /// Radius at which the centre of the arc stands.
        centre: D,
        /// Radius of the arc, signed.
        rho: D,
        /// Tangent angle at the upper end, radians.
        from: D,
        /// Tangent angle at the lower end, radians.
        to: D,
        /// Depth of the upper end.
        z: D,
    },
    /// A straight wall between two points (r, z).
    Line {
        /// Upper end.
        from: (D, D),
        /// Lower end.
        to: (D, D),
    },
    /// A cup between two points (r, z): `form` 1 is a quarter ellipse, 0 a cone,
    /// between them their weighted mean.
    Cup {
        /// Upper end, at the mouth of the cup.
        from: (D, D),
        /// Lower end, at the throat.
        to: (D, D),
        /// Bowl-to-cone weight, 0 to 1.
        form: D,
    },
}

/// ∫ q dt, ∫ q² dt and ∫ (1−t) q dt of the quarter circle q = √(1−t²) over 0..1.
const BOWL_MEAN: f64 = std::f64::consts::FRAC_PI_4;
const BOWL_SQUARE: f64 = 2.0 / 3.0;
const BOWL_BY_CONE: f64 = std::f64::consts::FRAC_PI_4 - 1.0 / 3.0;

impl<D: Number> Curve<D> {
    /// Depth of the lower end.
    pub fn bottom(&self) -> D {
        match *self {
            Self::Arc {
                rho, from, to, z, ..
            } => z + rho * (from.sin() - to.sin()),
            Self::Line { to, .. } | Self::Cup { to, .. } => to.1,
        }
    }

    /// Radius at the lower end.
    pub fn bottom_radius(&self) -> D {
        match *self {
            Self::Arc {
                centre, rho, to, ..
            } => centre - rho * to.cos(),
            Self::Line { to, .. } | Self::Cup { to, .. } => to.0,
        }
    }

    /// Radius at depth `z`, which must lie on this curve.
    pub fn radius(&self, z: f64) -> D {
        match *self {
            Self::Arc {
                centre,
                rho,
                from,
                z: top,
                ..
            } => {
                let sine = from.sin() - (top * -1.0 + z) / rho;
                centre - rho * (sine * sine * -1.0 + 1.0).sqrt()
            }
            Self::Line { from, to } => {
                let along = (from.1 * -1.0 + z) / (to.1 - from.1);
                from.0 + (to.0 - from.0) * along
            }
            Self::Cup { from, to, form } => {
                let along = (from.1 * -1.0 + z) / (to.1 - from.1);
                let cone = along * -1.0 + 1.0;
                let bowl = (along * along * -1.0 + 1.0).sqrt();
                to.0 + (from.0 - to.0) * (cone + form * (bowl - cone))
            }
        }
    }

    /// ∫ r dz over the curve, mm².
    fn area(&self) -> D {
        match *self {
            Self::Arc {
                centre,
                rho,
                from,
                to,
                ..
            } => {
                let (s1, s2, _) = cosine_powers(from, to);
                rho * (centre * s1 - rho * s2)
            }
            Self::Line { from, to } => (from.0 + to.0) * (to.1 - from.1) * 0.5,
            Self::Cup { from, to, form } => {
                let (mean, _) = cup_moments(form);
                (to.1 - from.1) * (to.0 + (from.0 - to.0) * mean)
            }
        }
    }

    /// ∫ r² dz over the curve, mm³ (the volume is π times this).
    fn square(&self) -> D {
        match *self {
            Self::Arc {
                centre,
                rho,
                from,
                to,
                ..
            } => {
                let (s1, s2, s3) = cosine_powers(from, to);
                rho * (centre * centre * s1 - centre * rho * s2 * 2.0 + rho * rho * s3)
            }
            Self::Line {
                from: (r0, z0),
                to: (r1, z1),
            } => (r0 * r0 + r0 * r1 + r1 * r1) * (z1 - z0) / 3.0,
            Self::Cup { from, to, form } => {
                let (mean, square) = cup_moments(form);
                let drop = from.0 - to.0;
                (to.1 - from.1) * (to.0 * to.0 + to.0 * drop * mean * 2.0 + drop * drop * square)
            }
        }
    }
}

/// ∫ cos, ∫ cos², ∫ cos³ from `to` up to `from`.
fn cosine_powers<D: Number>(from: D, to: D) -> (D, D, D) {
    let (a, b) = (from.sin(), to.sin());
    let first = a - b;
    let second = (from - to) * 0.5 + (a * from.cos() - b * to.cos()) * 0.5;
    let third = first - (a * a * a - b * b * b) / 3.0;
    (first, second, third)
}

/// Means of g and g² over the depth, g being the cup's form function.
fn cup_moments<D: Number>(form: D) -> (D, D) {
    let cone = form * -1.0 + 1.0;
    let mean = cone * 0.5 + form * BOWL_MEAN;
    let square = cone * cone / 3.0 + cone * form * (2.0 * BOWL_BY_CONE) + form * form * BOWL_SQUARE;
    (mean, square)
}

/// A chain of curves from the crest down, with the place of the seam in it.
#[derive(Clone, Debug)]
pub struct Section<D> {
    curves: Vec<Curve<D>>,
    crest_radius: D,
    seam: usize,
    to_throat: bool,
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
        }
    }

    /// The curves, from the crest down.
    pub fn curves(&self) -> &[Curve<D>] {
        &self.curves
    }

    /// Radius of the crest circle.
    pub fn crest_radius(&self) -> D {
        self.crest_radius
    }

    /// Radius at the seam.
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

    /// Radius where the rim's tangent makes `angle` (radians) with the axis; none where
    /// no rounding of the rim passes through that angle.
    pub fn radius_at_tangent(&self, angle: f64) -> Option<D> {
        self.curves[..self.seam]
            .iter()
            .find_map(|curve| match *curve {
                Curve::Arc {
                    centre,
                    rho,
                    from,
                    to,
                    ..
                } => {
                    let within = to.re() <= angle && angle <= from.re();
                    within.then(|| centre - rho * angle.cos())
                }
                _ => None,
            })
    }

    /// Radius at depth `z` below the crest; none above it or below what is known.
    pub fn radius_at(&self, z: f64) -> Option<D> {
        if z < 0.0 {
            return None;
        }
        self.curves
            .iter()
            .find(|curve| z <= curve.bottom().re())
            .map(|curve| curve.radius(z))
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
        let first = if from_seam { self.seam } else { 0 };
        self.to_throat.then(|| {
            self.curves[first..]
                .iter()
                .map(part)
                .fold(D::zero(), |sum, term| sum + term)
        })
    }
}
