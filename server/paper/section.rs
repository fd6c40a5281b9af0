//! The section of a piece, drawn to scale.
//!
//! Both halves about the axis, z down. The inner surface is what is known, so it is the only firm line; the
//! metal beside it is hatched and fades, since nobody measured the outside. Rim and cup are
//! hatched in opposite directions, as adjacent parts are (ISO 128-3). Every measuring point has a
//! dimension line exactly where the gauge goes and a number that leads to its value.
//!
//! The scale is the largest of ISO 5455 that leaves room for the words.

use super::drawing::{Anchored, Drawing, Ink, Mark, Place, Stroke};
use super::legend::{self, LEGEND_MM, PLANES_MM};
use super::metrics::Face;
use crate::answer::{MeasuringPoint, Point, SectionAnswer};

/// Room for a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SvgSize {
    /// Width, mm.
    pub width_mm: f64,
    /// Height that the metal may take, mm; a long legend can need more.
    pub height_mm: f64,
}

impl SvgSize {
    /// On an A6 card.
    pub const CARD: Self = Self {
        width_mm: 95.0,
        height_mm: 42.0,
    };
    /// On a screen.
    pub const SCREEN: Self = Self {
        width_mm: 150.0,
        height_mm: 90.0,
    };
}

/// A drawing scale: paper over metal, its name, and the length of metal that its bar shows, mm.
struct Scale {
    ratio: f64,
    name: &'static str,
    bar_mm: f64,
}

/// ISO 5455, from the largest that a mouthpiece can want; the last is taken whatever the room.
const SCALES: [Scale; 6] = [
    Scale {
        ratio: 10.0,
        name: "10 : 1",
        bar_mm: 2.0,
    },
    Scale {
        ratio: 5.0,
        name: "5 : 1",
        bar_mm: 5.0,
    },
    Scale {
        ratio: 2.0,
        name: "2 : 1",
        bar_mm: 10.0,
    },
    Scale {
        ratio: 1.0,
        name: "1 : 1",
        bar_mm: 10.0,
    },
    Scale {
        ratio: 0.5,
        name: "1 : 2",
        bar_mm: 20.0,
    },
    Scale {
        ratio: 0.2,
        name: "1 : 5",
        bar_mm: 50.0,
    },
];

/// Length of the hatching on paper, mm: the firm part, and the part that fades.
const HATCH_MM: (f64, f64) = (1.1, 1.0);

/// Direction of the rim's hatching, and by how much the cup's leans from the normal, radians.
const RIM_HATCH: Place = (
    std::f64::consts::FRAC_1_SQRT_2,
    std::f64::consts::FRAC_1_SQRT_2,
);
const CUP_LEAN: f64 = -0.6;

/// Between hatches along the surface, mm on paper.
const HATCH_STEP_MM: f64 = 0.85;

/// What the axis stands out above the crest and below the throat, mm on paper.
const AXIS_MM: f64 = 2.2;

/// Height of the line with the scale, mm.
const FOOT_MM: f64 = 5.0;

/// Length and half width of an arrowhead, mm.
const ARROW_MM: (f64, f64) = (1.3, 0.28);

/// The drawing of a section.
pub fn draw(section: &SectionAnswer, size: SvgSize) -> Drawing {
    let frame = Frame::of(section, size);
    let mut marks = Vec::new();
    marks.extend(frame.hatching());
    marks.extend(frame.planes());
    marks.extend(frame.surface());
    let anchors = frame.dimensions(&mut marks);
    let low = frame.bottom_mm();
    let legend_end = legend::values(&anchors, frame.right_mm(), size.width_mm, low, &mut marks);
    legend::planes(&frame.plane_names(), frame.left_mm(), low, &mut marks);
    let height = low.max(legend_end) + FOOT_MM;
    marks.extend(frame.scale_bar(height));
    Drawing {
        width_mm: size.width_mm,
        height_mm: height,
        title: say!("Section to scale with the measuring points"),
        description: described(section, &anchors, frame.scale),
        marks,
    }
}

fn described(section: &SectionAnswer, anchors: &[Anchored<'_>], scale: &Scale) -> String {
    let points = anchors.iter().enumerate();
    let points =
        points.map(|(place, point)| format!(" {}: {}, {}.", place + 1, point.text, point.value));
    let drawn = match section.has_cup {
        true => say!(
            "Rim and cup cut along the axis, drawn {scale}.",
            scale = scale.name
        ),
        false => say!(
            "Only the rim is known; it is cut along the axis, drawn {scale}.",
            scale = scale.name
        ),
    };
    let within = section.within_limits.iter().map(|one| format!(" {one}."));
    format!(
        "{drawn}{}{}",
        points.collect::<String>(),
        within.collect::<String>()
    )
}

/// The metal on paper.
struct Frame<'a> {
    section: &'a SectionAnswer,
    scale: &'static Scale,
    axis_mm: f64,
    top_mm: f64,
}

impl<'a> Frame<'a> {
    fn of(section: &'a SectionAnswer, size: SvgSize) -> Self {
        let (wide, deep) = extent(section);
        let beside = PLANES_MM + LEGEND_MM + 2.0 * (HATCH_MM.0 + HATCH_MM.1);
        let fits = |scale: &&Scale| {
            2.0 * wide * scale.ratio + beside <= size.width_mm
                && deep * scale.ratio + 2.0 * AXIS_MM + FOOT_MM <= size.height_mm
        };
        let scale = SCALES
            .iter()
            .find(fits)
            .unwrap_or(&SCALES[SCALES.len() - 1]);
        let axis_mm = PLANES_MM + HATCH_MM.0 + HATCH_MM.1 + wide * scale.ratio;
        Self {
            section,
            scale,
            axis_mm,
            top_mm: AXIS_MM + 0.3,
        }
    }

    fn at(&self, point: Point) -> Place {
        (
            self.axis_mm + point.r_mm * self.scale.ratio,
            self.top_mm + point.z_mm * self.scale.ratio,
        )
    }

    fn mirrored(&self, (x, y): Place) -> Place {
        (2.0 * self.axis_mm - x, y)
    }

    fn half_width_mm(&self) -> f64 {
        extent(self.section).0 * self.scale.ratio + HATCH_MM.0 + HATCH_MM.1
    }

    fn left_mm(&self) -> f64 {
        self.axis_mm - self.half_width_mm()
    }

    fn right_mm(&self) -> f64 {
        self.axis_mm + self.half_width_mm()
    }

    fn bottom_mm(&self) -> f64 {
        self.top_mm + extent(self.section).1 * self.scale.ratio + AXIS_MM
    }

    fn outline(&self) -> Vec<Place> {
        self.section
            .outline
            .iter()
            .map(|&point| self.at(point))
            .collect()
    }

    fn both(&self, stroke: Stroke, points: Vec<Place>) -> [Mark; 2] {
        let other = points.iter().map(|&point| self.mirrored(point)).collect();
        [Mark::Line(stroke, points), Mark::Line(stroke, other)]
    }

    /// The inner surface, and the bore that goes on below it.
    fn surface(&self) -> Vec<Mark> {
        let outline = self.outline();
        let end = outline
            .last()
            .copied()
            .unwrap_or((self.axis_mm, self.top_mm));
        let beyond = vec![end, (end.0, end.1 + AXIS_MM)];
        let mut marks = self.both(Stroke::Outline, outline).to_vec();
        if self.section.has_cup {
            marks.extend(self.both(Stroke::Beyond, beyond));
        }
        let axis = vec![
            (self.axis_mm, self.top_mm - AXIS_MM),
            (self.axis_mm, self.bottom_mm() + 0.6),
        ];
        marks.push(Mark::Line(Stroke::Axis, axis));
        marks
    }

    fn planes(&self) -> Vec<Mark> {
        let plane = |(z_mm, _): (f64, &str)| {
            let (_, y) = self.at(Point { z_mm, r_mm: 0.0 });
            Mark::Line(
                Stroke::Plane,
                vec![(self.left_mm(), y), (self.right_mm(), y)],
            )
        };
        self.named_planes().into_iter().map(plane).collect()
    }

    fn named_planes(&self) -> Vec<(f64, &'static str)> {
        let mut planes = vec![(0.0, word!("crest")), (self.section.seam_mm, word!("seam"))];
        if let Some(end) = self.section.outline.last().filter(|_| self.section.has_cup) {
            planes.push((end.z_mm, word!("throat")));
        }
        planes
    }

    fn plane_names(&self) -> Vec<(f64, &'static str)> {
        let planes = self.named_planes().into_iter();
        planes
            .map(|(z_mm, name)| (self.at(Point { z_mm, r_mm: 0.0 }).1, name))
            .collect()
    }

    /// Strokes that leave the surface into the metal and end at the seam: those of the rim
    /// parallel, since they would meet inside its bulge, those of the cup leaning the other way.
    fn hatching(&self) -> Vec<Mark> {
        let seam_y = self
            .at(Point {
                z_mm: self.section.seam_mm,
                r_mm: 0.0,
            })
            .1;
        let strokes =
            along(&self.outline(), HATCH_STEP_MM)
                .into_iter()
                .flat_map(|(foot, normal)| {
                    let rim = foot.1 < seam_y;
                    let (x, y) = if rim {
                        RIM_HATCH
                    } else {
                        turned(normal, CUP_LEAN)
                    };
                    let room = if y == 0.0 {
                        f64::INFINITY
                    } else {
                        (seam_y - foot.1) / y
                    };
                    let reach = |length: f64| if room > 0.0 { length.min(room) } else { length };
                    let point =
                        |length: f64| (foot.0 + x * reach(length), foot.1 + y * reach(length));
                    let (near, far) = (point(HATCH_MM.0), point(HATCH_MM.0 + HATCH_MM.1));
                    [
                        (Stroke::Hatch, vec![foot, near]),
                        (Stroke::Fade, vec![near, far]),
                    ]
                });
        strokes
            .flat_map(|(stroke, points)| self.both(stroke, points))
            .collect()
    }

    /// Dimension lines; gives where each leads to its value from, the highest first.
    fn dimensions(&self, marks: &mut Vec<Mark>) -> Vec<Anchored<'a>> {
        let mut depths = 0.0;
        let points = self.section.points.iter();
        let mut anchors: Vec<Anchored<'a>> = points
            .map(|point| {
                let (mut from, mut to) = (self.at(point.from), self.at(point.to));
                let upright = (from.0 - to.0).abs() < (from.1 - to.1).abs();
                if upright {
                    // Depths lie on the axis; a second one beside the first, or neither could be read.
                    from.0 -= depths * DEPTH_STEP_MM;
                    to.0 -= depths * DEPTH_STEP_MM;
                    depths += 1.0;
                }
                marks.push(Mark::Line(Stroke::Dimension, vec![from, to]));
                marks.extend(arrows(from, to));
                let leads = if upright {
                    (from.0, 0.5 * (from.1 + to.1))
                } else if from.0 > to.0 {
                    from
                } else {
                    to
                };
                anchored(point, leads)
            })
            .collect();
        anchors.sort_by(|a, b| a.from.1.total_cmp(&b.from.1));
        anchors
    }

    fn scale_bar(&self, height: f64) -> Vec<Mark> {
        let length = self.scale.bar_mm * self.scale.ratio;
        let (left, y) = (PLANES_MM, height - 1.6);
        let tick = |x: f64| Mark::Line(Stroke::Dimension, vec![(x, y - 0.8), (x, y + 0.8)]);
        let bar = Mark::Line(Stroke::Dimension, vec![(left, y), (left + length, y)]);
        let words = say!(
            "{length} mm on the metal; drawn {scale}",
            length = self.scale.bar_mm,
            scale = self.scale.name
        );
        let only = match self.section.has_cup {
            true => String::new(),
            false => say!("; only the rim is known"),
        };
        let text = legend::words(
            format!("{words}{only}"),
            (left + length + 1.6, y + 0.75),
            Face::Words,
            Ink::Soft,
        );
        vec![bar, tick(left), tick(left + length), Mark::Words(text)]
    }
}

/// Between depths drawn side by side, mm on paper.
const DEPTH_STEP_MM: f64 = 1.8;

fn anchored(point: &MeasuringPoint, from: Place) -> Anchored<'_> {
    Anchored {
        from,
        text: &point.text,
        value: &point.value,
    }
}

/// The greatest radius and depth, mm; never nothing, so that a scale exists.
fn extent(section: &SectionAnswer) -> (f64, f64) {
    let ends = section
        .points
        .iter()
        .flat_map(|point| [point.from, point.to]);
    let all = section.outline.iter().copied().chain(ends);
    all.fold((1.0, 1.0), |(wide, deep), point| {
        (point.r_mm.abs().max(wide), point.z_mm.max(deep))
    })
}

/// Points along a line at even steps, each with the normal that points into the metal.
fn along(line: &[Place], step: f64) -> Vec<(Place, Place)> {
    let mut feet = Vec::new();
    let mut wait = 0.5 * step;
    for pair in line.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let (x, y) = (to.0 - from.0, to.1 - from.1);
        let length = x.hypot(y);
        if length <= 0.0 {
            continue;
        }
        while wait <= length {
            let share = wait / length;
            feet.push((
                (from.0 + x * share, from.1 + y * share),
                (y / length, -x / length),
            ));
            wait += step;
        }
        wait -= length;
    }
    feet
}

fn turned((x, y): Place, angle: f64) -> Place {
    let (sine, cosine) = angle.sin_cos();
    (x * cosine - y * sine, x * sine + y * cosine)
}

fn arrows(from: Place, to: Place) -> Vec<Mark> {
    let (x, y) = (to.0 - from.0, to.1 - from.1);
    let length = x.hypot(y);
    if length < 2.0 * ARROW_MM.0 {
        return Vec::new();
    }
    let along = (x / length, y / length);
    vec![arrow(from, along), arrow(to, (-along.0, -along.1))]
}

fn arrow(tip: Place, (x, y): Place) -> Mark {
    let (long, half) = ARROW_MM;
    let base = (tip.0 + x * long, tip.1 + y * long);
    Mark::Area(
        Ink::Accent,
        vec![
            tip,
            (base.0 - y * half, base.1 + x * half),
            (base.0 + y * half, base.1 - x * half),
        ],
    )
}
