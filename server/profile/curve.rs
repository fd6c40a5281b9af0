//! One piece of the half-section, with closed forms.
//!
//! Each curve runs down the bore and knows its radius, area, volume and the depth at
//! which it has a radius, exact to the last digits; derivatives pass through (`D` is a
//! number or a dual number). A cubic is solved for its depth by halving, and one
//! step of Newton's method on dual numbers then carries the derivative exactly.

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
    /// A backbore between two points (r, z): the radius grows with the `power` of the
    /// share of the length; 1 is a cone, below 1 it opens at once, above 1 late.
    Power {
        /// Upper end, at the throat.
        from: (D, D),
        /// Lower end, at the exit.
        to: (D, D),
        /// The power, above 0.
        power: D,
    },
    /// A cubic between two points (r, z) with dr/dz given at both.
    Cubic {
        /// Upper end.
        from: (D, D),
        /// Lower end.
        to: (D, D),
        /// dr/dz at the upper and the lower end.
        slopes: (D, D),
    },
}

/// ∫ q dt, ∫ q² dt and ∫ (1−t) q dt of the quarter circle q = √(1−t²) over 0..1.
const BOWL_MEAN: f64 = std::f64::consts::FRAC_PI_4;
const BOWL_SQUARE: f64 = 2.0 / 3.0;
const BOWL_BY_CONE: f64 = std::f64::consts::FRAC_PI_4 - 1.0 / 3.0;

impl<D: Number> Curve<D> {
    /// The upper end as (r, z).
    pub fn upper(&self) -> (D, D) {
        match *self {
            Self::Arc {
                centre,
                rho,
                from,
                z,
                ..
            } => (centre - rho * from.cos(), z),
            Self::Line { from, .. }
            | Self::Cup { from, .. }
            | Self::Power { from, .. }
            | Self::Cubic { from, .. } => from,
        }
    }

    /// Depth of the lower end.
    pub fn bottom(&self) -> D {
        match *self {
            Self::Arc {
                rho, from, to, z, ..
            } => z + rho * (from.sin() - to.sin()),
            Self::Line { to, .. }
            | Self::Cup { to, .. }
            | Self::Power { to, .. }
            | Self::Cubic { to, .. } => to.1,
        }
    }

    /// Radius at the lower end.
    pub fn bottom_radius(&self) -> D {
        match *self {
            Self::Arc {
                centre, rho, to, ..
            } => centre - rho * to.cos(),
            Self::Line { to, .. }
            | Self::Cup { to, .. }
            | Self::Power { to, .. }
            | Self::Cubic { to, .. } => to.0,
        }
    }

    /// The share of its length at depth `z`, for all but arcs.
    fn share(&self, z: f64) -> D {
        let (top, bottom) = (self.upper().1, self.bottom());
        (top * -1.0 + z) / (bottom - top)
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
            Self::Line { from, to } => from.0 + (to.0 - from.0) * self.share(z),
            Self::Cup { from, to, form } => {
                let along = self.share(z);
                let cone = along * -1.0 + 1.0;
                let bowl = (along * along * -1.0 + 1.0).sqrt();
                to.0 + (from.0 - to.0) * (cone + form * (bowl - cone))
            }
            Self::Power { from, to, power } => {
                let along = self.share(z);
                if along.re() <= 0.0 {
                    return from.0;
                }
                from.0 + (to.0 - from.0) * along.powd(power)
            }
            Self::Cubic { from, to, slopes } => {
                let [c0, c1, c2, c3] = coefficients(from, to, slopes);
                let along = self.share(z);
                c0 + along * (c1 + along * (c2 + along * c3))
            }
        }
    }

    /// Depth at which the curve has this radius, which must lie between those of its ends;
    /// none where the curve is a cylinder there and so has no one such depth.
    pub fn depth(&self, radius: f64) -> Option<D> {
        match *self {
            Self::Arc {
                centre,
                rho,
                from,
                z,
                ..
            } => {
                let cosine = (centre - radius) / rho;
                let sine = (cosine * cosine * -1.0 + 1.0).sqrt();
                Some(z + rho * (from.sin() - sine))
            }
            Self::Line { from, to } => {
                let drop = to.0 - from.0;
                steep(drop).then(|| from.1 + (to.1 - from.1) * (from.0 * -1.0 + radius) / drop)
            }
            Self::Cup { from, to, form } => {
                let drop = from.0 - to.0;
                let part = |drop: D| (to.0 * -1.0 + radius) / drop;
                steep(drop).then(|| to.1 - (to.1 - from.1) * cup_share(part(drop), form))
            }
            Self::Power { from, to, power } => {
                let rise = to.0 - from.0;
                let part = (from.0 * -1.0 + radius) / rise;
                let usable = steep(rise) && part.re() > 0.0;
                usable.then(|| from.1 + (to.1 - from.1) * part.powd(power.recip()))
            }
            Self::Cubic { from, to, slopes } => {
                let curve = coefficients(from, to, slopes);
                let along = cubic_share(curve.map(|one| one.re()), radius);
                let along = implicit(curve, along, D::from(radius))?;
                Some(from.1 + (to.1 - from.1) * along)
            }
        }
    }

    /// Radius where the tangent makes `angle` (radians) with the axis, on arcs and cubics
    /// that pass through that angle from the steeper to the shallower.
    pub fn radius_at_tangent(&self, angle: f64) -> Option<D> {
        match *self {
            Self::Arc {
                centre,
                rho,
                from,
                to,
                ..
            } => {
                let within = to.re() <= angle && angle <= from.re();
                within.then(|| centre - rho * angle.cos())
            }
            Self::Cubic { from, to, slopes } => {
                let [c0, c1, c2, c3] = coefficients(from, to, slopes);
                let wanted = (to.1 - from.1) * -angle.tan();
                let slope = [c1, c2 * 2.0, c3 * 3.0, D::zero()];
                let along = slope_share(slope.map(|one| one.re()), wanted.re())?;
                let along = implicit(slope, along, wanted)?;
                Some(c0 + along * (c1 + along * (c2 + along * c3)))
            }
            _ => None,
        }
    }

    /// ∫ r dz over the curve, mm².
    pub fn area(&self) -> D {
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
            Self::Power { from, to, power } => {
                (to.1 - from.1) * (from.0 + (to.0 - from.0) / (power + 1.0))
            }
            Self::Cubic { from, to, slopes } => {
                let [c0, c1, c2, c3] = coefficients(from, to, slopes);
                (to.1 - from.1) * (c0 + c1 / 2.0 + c2 / 3.0 + c3 / 4.0)
            }
        }
    }

    /// ∫ r² dz over the curve, mm³ (the volume is π times this).
    pub fn square(&self) -> D {
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
            Self::Power { from, to, power } => {
                let rise = to.0 - from.0;
                let (mean, square) = ((power + 1.0).recip(), (power * 2.0 + 1.0).recip());
                (to.1 - from.1)
                    * (from.0 * from.0 + from.0 * rise * mean * 2.0 + rise * rise * square)
            }
            Self::Cubic { from, to, slopes } => {
                let curve = coefficients(from, to, slopes);
                let mut sum = D::zero();
                for (i, &one) in curve.iter().enumerate() {
                    for (j, &other) in curve.iter().enumerate() {
                        sum += one * other / (i + j + 1) as f64;
                    }
                }
                (to.1 - from.1) * sum
            }
        }
    }

    /// The part of a cubic between two depths, which must lie on it; other curves are kept
    /// whole.
    pub(super) fn between(self, top: D, bottom: D) -> Self {
        let Self::Cubic { from, to, slopes } = self else {
            return self;
        };
        let [c0, c1, c2, c3] = coefficients(from, to, slopes);
        let length = to.1 - from.1;
        let end = |z: D| {
            let along = (z - from.1) / length;
            let radius = c0 + along * (c1 + along * (c2 + along * c3));
            let slope = (c1 + along * (c2 * 2.0 + along * c3 * 3.0)) / length;
            ((radius, z), slope)
        };
        let ((from, first), (to, last)) = (end(top), end(bottom));
        Self::Cubic {
            from,
            to,
            slopes: (first, last),
        }
    }
}

/// Radii that differ by less than this make a cylinder, mm.
const CYLINDER_MM: f64 = 1e-12;

fn steep<D: Number>(drop: D) -> bool {
    drop.re().abs() > CYLINDER_MM
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

/// The share of its depth, from the throat up, at which a cup's form function is `g`:
/// (1−f) s + f √(s (2−s)) = g is quadratic in s.
fn cup_share<D: Number>(g: D, form: D) -> D {
    let cone = form * -1.0 + 1.0;
    let root = form * (g * cone * 2.0 + form * form - g * g).sqrt();
    g * g / (g * cone + form * form + root)
}

/// A cubic over the share of its length, 0..1, in rising powers.
fn coefficients<D: Number>(from: (D, D), to: (D, D), slopes: (D, D)) -> [D; 4] {
    let (length, rise) = (to.1 - from.1, to.0 - from.0);
    let (first, last) = (slopes.0 * length, slopes.1 * length);
    [
        from.0,
        first,
        rise * 3.0 - first * 2.0 - last,
        first + last - rise * 2.0,
    ]
}

fn value([c0, c1, c2, c3]: [f64; 4], along: f64) -> f64 {
    c0 + along * (c1 + along * (c2 + along * c3))
}

/// Halvings that exhaust the digits of a share.
const HALVINGS: usize = 60;

/// Where a cubic that only rises or only falls has a value.
fn cubic_share(curve: [f64; 4], wanted: f64) -> f64 {
    let falls = value(curve, 1.0) < value(curve, 0.0);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if (value(curve, middle) > wanted) == falls {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Where a falling quadratic slope first rises through `wanted`.
fn slope_share([c0, c1, c2, _]: [f64; 4], wanted: f64) -> Option<f64> {
    let (constant, half) = (c0 - wanted, 0.5 * c1);
    let root = (half * half - c2 * constant).sqrt();
    // The root at which the slope rises; written so that nothing cancels.
    let along = if half > 0.0 {
        -constant / (half + root)
    } else if c2 == 0.0 {
        return None;
    } else {
        (root - half) / c2
    };
    (0.0..=1.0).contains(&along).then_some(along)
}

/// The solution of curve(share) = wanted near `along`, with its derivatives: one step of
/// Newton's method, whose slope is exact at a solution.
fn implicit<D: Number>([c0, c1, c2, c3]: [D; 4], along: f64, wanted: D) -> Option<D> {
    let slope = c1 + (c2 * 2.0 + c3 * 3.0 * along) * along;
    let value = c0 + (c1 + (c2 + c3 * along) * along) * along;
    steep(slope).then(|| (value - wanted) / slope * -1.0 + along)
}
