//! The section of a piece and the places where gauges go, as points to draw.
//!
//! Only the inside is drawn: it is what is known. Millimetres; z down the bore from the crest
//! plane, r from the axis.

use schemars::JsonSchema;
use serde::Serialize;

use super::figure::Figure;
use crate::language::word;
use crate::method::{From, Functional, Method};
use crate::profile::{Curve, Profile, Section, figure};
use crate::route::{Limited, Piece};

/// A point of the half-section.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Point {
    /// Depth below the crest plane, mm.
    pub z_mm: f64,
    /// Distance from the axis, mm.
    pub r_mm: f64,
}

/// Where a gauge goes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MeasuringPoint {
    /// What it reads and by which method.
    pub text: String,
    /// The value with its uncertainty.
    pub value: String,
    /// One end of the dimension line.
    pub from: Point,
    /// The other end.
    pub to: Point,
}

/// The half-section of a piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SectionAnswer {
    /// The inner outline from the crest to the throat.
    pub outline: Vec<Point>,
    /// Depth of the seam, mm.
    pub seam_mm: f64,
    /// Where the gauges of the maker's figures go.
    pub points: Vec<MeasuringPoint>,
    /// Whether the cup below the seam is known.
    pub has_cup: bool,
    /// Of which quantities only limits are known, and where between them the section is drawn.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub within_limits: Vec<String>,
}

/// Points on each curve: enough for a printed line without corners.
const STEPS: usize = 16;

/// The section of a piece, where its profile is known.
pub fn section(piece: &Piece) -> Option<SectionAnswer> {
    let pictured = piece.pictured();
    let drawn = pictured.as_ref().unwrap_or(piece);
    let profile = drawn.profile()?;
    let section = profile.shape().section();
    let mut points: Vec<MeasuringPoint> = (drawn.stated().iter())
        .filter_map(|stated| measuring_point(piece, profile, &section, &stated.method))
        .collect();
    points.sort_by(|a, b| a.from.z_mm.total_cmp(&b.from.z_mm));
    Some(SectionAnswer {
        outline: outline(&section),
        seam_mm: section.seam_depth(),
        points,
        has_cup: profile.shape().has_cup,
        within_limits: piece.limited().iter().map(drawn_within).collect(),
    })
}

/// "cup depth is drawn in the middle of its limits".
fn drawn_within(limited: &Limited) -> String {
    let quantity = word(limited.method.quantity().name());
    match (limited.interval.low(), limited.interval.high()) {
        (Some(_), Some(_)) => say!("{quantity} is drawn in the middle of its limits", quantity),
        (Some(_), None) => say!("{quantity} is drawn at its lower end", quantity),
        _ => say!("{quantity} is drawn at its upper end", quantity),
    }
}

fn outline(section: &Section<f64>) -> Vec<Point> {
    let mut points = vec![Point {
        z_mm: 0.0,
        r_mm: section.crest_radius(),
    }];
    let mut top = 0.0;
    for curve in section.curves() {
        let bottom = curve.bottom();
        points.extend((1..STEPS).map(|step| along(curve, top, bottom, step as f64 / STEPS as f64)));
        points.push(Point {
            z_mm: bottom,
            r_mm: curve.bottom_radius(),
        });
        top = bottom;
    }
    points
}

/// Steps grow small towards the ends, where arcs and bowls turn fastest.
fn along(curve: &Curve<f64>, top: f64, bottom: f64, share: f64) -> Point {
    let eased = 0.5 - 0.5 * (std::f64::consts::PI * share).cos();
    let z_mm = top + (bottom - top) * eased;
    Point {
        z_mm,
        r_mm: curve.radius(z_mm),
    }
}

fn measuring_point(
    piece: &Piece,
    profile: &Profile,
    section: &Section<f64>,
    method: &Method,
) -> Option<MeasuringPoint> {
    let measured = Figure::read(piece, method).ok()?;
    let (from, to) = place(profile, section, method)?;
    let text = format!("{}, {}", word(method.quantity().name()), method.said());
    Some(MeasuringPoint {
        text,
        value: measured.plain(),
        from,
        to,
    })
}

/// The ends of a dimension line.
pub type Place = (Point, Point);

/// Where the gauge of a method goes; none where it has no line.
pub(super) fn place(profile: &Profile, section: &Section<f64>, method: &Method) -> Option<Place> {
    let plane = if method.parameters.from == From::Seam {
        section.seam_depth()
    } else {
        0.0
    };
    let across = |z_mm: f64, r_mm: f64| (Point { z_mm, r_mm: -r_mm }, Point { z_mm, r_mm });
    let down = |depth: f64| {
        (
            Point {
                z_mm: plane,
                r_mm: 0.0,
            },
            Point {
                z_mm: plane + depth,
                r_mm: 0.0,
            },
        )
    };
    match method.row.functional {
        Functional::RimAtCrest => Some(across(0.0, section.crest_radius())),
        Functional::RimAtTangent => {
            let radius = section.radius_at_tangent(method.parameters.angle_rad())?;
            Some(across(section.depth_at_radius(radius)?, radius))
        }
        Functional::RimAtSeam => Some(across(section.seam_depth(), section.seam_radius())),
        Functional::RimAtDepth => {
            let depth = method.parameters.at_mm?;
            Some(across(depth, section.radius_at(depth)?))
        }
        Functional::DepthAtCentre | Functional::DepthBySection | Functional::DepthByArea => {
            Some(down(profile.shape().read(method)?))
        }
        Functional::DepthAtDiameter => {
            let radius = method.parameters.diameter_mm? / 2.0;
            Some(across(section.depth_at_radius(radius)?, radius))
        }
        Functional::Throat => {
            let throat = profile.shape().figures[figure::THROAT_RADIUS];
            Some(across(section.throat_depth()?, throat))
        }
        // A volume has no line, and what lies beyond rim and cup is not drawn.
        _ => None,
    }
}
