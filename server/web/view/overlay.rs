//! Two sections over each other at the crest plane, with what differs shaded.
//!
//! Half-sections, the axis at the left, depth downward, in tenths of a millimetre of metal; all
//! drawings of one page share their scale. Below the shallower throat its bore goes on as a cylinder.
//! Where no cup is known, nothing is drawn or shaded below the seam.

use minijinja::{Value, context};

use crate::answer::{Point, SectionAnswer};

/// Drawing units in a millimetre.
const PER_MM: f64 = 10.0;
/// Room around the metal, drawing units.
const MARGIN: f64 = 12.0;
/// Height of the foot with the scale bar.
const FOOT: f64 = 26.0;
/// Depths at which the radii are compared: finer than a printed line.
const SLICES: usize = 240;
/// Radii nearer than this are not told apart, mm.
const SAME_MM: f64 = 0.001;

/// The metal that a page's drawings have room for, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Extent {
    wide: f64,
    deep: f64,
}

impl Extent {
    /// Enough for all of them.
    pub fn of<'a>(sections: impl Iterator<Item = &'a SectionAnswer>) -> Self {
        let points = sections.flat_map(|one| &one.outline);
        let none = Self {
            wide: 1.0,
            deep: 1.0,
        };
        points.fold(none, |extent, point| Self {
            wide: extent.wide.max(point.r_mm),
            deep: extent.deep.max(point.z_mm),
        })
    }
}

/// The pinned section and another.
pub(super) fn overlay(pinned: &SectionAnswer, other: &SectionAnswer, extent: Extent) -> Value {
    let (wider, tighter) = shaded(pinned, other);
    let end = [pinned, other].map(deepest).into_iter().fold(0.0, f64::max);
    context! {
        width => units(extent.wide * PER_MM + 2.0 * MARGIN),
        height => units(extent.deep * PER_MM + 2.0 * MARGIN + FOOT),
        axis => units(MARGIN),
        right => units(extent.wide * PER_MM + 2.0 * MARGIN),
        crest => units(MARGIN),
        bottom => units(extent.deep * PER_MM + 2.0 * MARGIN),
        bar => context! {
            y => units(extent.deep * PER_MM + 2.0 * MARGIN + 9.0),
            from => units(MARGIN),
            to => units(MARGIN + 5.0 * PER_MM),
        },
        pinned => line(&pinned.outline),
        other => line(&other.outline),
        beyond => [pinned, other].iter().filter_map(|one| beyond(one, end)).collect::<Vec<_>>(),
        seams => [seam(pinned), seam(other)],
        wider,
        tighter,
    }
}

fn units(value: f64) -> String {
    format!("{value:.1}")
}

fn place(point: Point) -> String {
    let (x, y) = (MARGIN + point.r_mm * PER_MM, MARGIN + point.z_mm * PER_MM);
    format!("{x:.2},{y:.2}")
}

fn line(points: &[Point]) -> String {
    points
        .iter()
        .map(|&point| place(point))
        .collect::<Vec<_>>()
        .join(" ")
}

fn deepest(section: &SectionAnswer) -> f64 {
    section.outline.last().map_or(0.0, |point| point.z_mm)
}

/// The bore below a throat that is not the deepest.
fn beyond(section: &SectionAnswer, end: f64) -> Option<String> {
    let last = *section.outline.last()?;
    let lower = Point { z_mm: end, ..last };
    (section.has_cup && last.z_mm < end - SAME_MM).then(|| line(&[last, lower]))
}

/// Where rim and cup part.
fn seam(section: &SectionAnswer) -> [String; 2] {
    let r_mm = radius(section, section.seam_mm).unwrap_or_default();
    [
        units(MARGIN + r_mm * PER_MM),
        units(MARGIN + section.seam_mm * PER_MM),
    ]
}

/// The radius at a depth; below the throat it is the throat's, below a rim without a cup it is not known.
fn radius(section: &SectionAnswer, z_mm: f64) -> Option<f64> {
    let outline = &section.outline;
    let after = outline.partition_point(|point| point.z_mm < z_mm);
    let (Some(low), Some(high)) = (outline.get(after.saturating_sub(1)), outline.get(after)) else {
        return outline
            .last()
            .filter(|_| section.has_cup)
            .map(|last| last.r_mm);
    };
    let span = high.z_mm - low.z_mm;
    let share = if span > 0.0 {
        (z_mm - low.z_mm) / span
    } else {
        0.0
    };
    Some(low.r_mm + share * (high.r_mm - low.r_mm))
}

/// Where the other is wider than the pinned one, and where it is tighter, as closed outlines.
fn shaded(pinned: &SectionAnswer, other: &SectionAnswer) -> (Vec<String>, Vec<String>) {
    let deep = deepest(pinned).max(deepest(other));
    let slices = (0..=SLICES).map(|slice| {
        let z_mm = deep * slice as f64 / SLICES as f64;
        let radii = radius(pinned, z_mm).zip(radius(other, z_mm));
        (z_mm, radii)
    });
    let (mut wider, mut tighter) = (Vec::new(), Vec::new());
    let mut run: Vec<(f64, f64, f64)> = Vec::new();
    for (z_mm, radii) in slices {
        let next = radii.map(|(pinned, other)| (z_mm, pinned, other));
        let goes_on = next
            .zip(run.last().copied())
            .is_some_and(|(next, last)| side(next) == side(last));
        if !goes_on {
            close(&mut run, &mut wider, &mut tighter);
        }
        run.extend(next);
    }
    close(&mut run, &mut wider, &mut tighter);
    (wider, tighter)
}

/// 1 wider, −1 tighter, 0 the same.
fn side((_, pinned, other): (f64, f64, f64)) -> i8 {
    match other - pinned {
        more if more > SAME_MM => 1,
        less if less < -SAME_MM => -1,
        _ => 0,
    }
}

/// Takes up a run of slices on one side.
fn close(run: &mut Vec<(f64, f64, f64)>, wider: &mut Vec<String>, tighter: &mut Vec<String>) {
    let slices = std::mem::take(run);
    let Some(&first) = slices.first() else { return };
    let down = slices.iter().map(|&(z_mm, r_mm, _)| Point { z_mm, r_mm });
    let up = slices
        .iter()
        .rev()
        .map(|&(z_mm, _, r_mm)| Point { z_mm, r_mm });
    let around: Vec<Point> = down.chain(up).collect();
    match side(first) {
        1 => wider.push(line(&around)),
        -1 => tighter.push(line(&around)),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cone(mouth: f64, throat: f64, depth: f64) -> SectionAnswer {
        SectionAnswer {
            outline: vec![
                Point {
                    z_mm: 0.0,
                    r_mm: mouth,
                },
                Point {
                    z_mm: depth,
                    r_mm: throat,
                },
            ],
            seam_mm: 1.0,
            points: Vec::new(),
            has_cup: true,
            within_limits: Vec::new(),
        }
    }

    #[test]
    fn what_is_the_same_is_not_shaded() {
        let one = cone(8.0, 2.0, 12.0);
        assert_eq!(shaded(&one, &one.clone()), (Vec::new(), Vec::new()));
    }

    #[test]
    fn cones_that_cross_are_shaded_on_both_sides() {
        let (wider, tighter) = shaded(&cone(8.0, 2.0, 12.0), &cone(7.0, 3.0, 12.0));
        assert_eq!((wider.len(), tighter.len()), (1, 1));
    }

    #[test]
    fn a_deeper_cup_is_wider_down_to_its_throat() {
        let (wider, tighter) = shaded(&cone(8.0, 2.0, 12.0), &cone(8.0, 2.0, 13.0));
        assert_eq!((wider.len(), tighter.len()), (1, 0));
        assert!(wider[0].contains(",141."), "{}", wider[0]);
    }
}
