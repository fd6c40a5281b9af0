//! The picture of measuring places: half a section, with a line from each place to its row.
//!
//! The axis is at the left, depth downward. Rows are as high as a thumb; those that are drawn come first, from
//! the crest down, and each line ends at the middle of its row. All lines share one frame of coordinates.

use minijinja::{Value, context};

use crate::answer::{MethodPlace, PlacesAnswer, Point};
use crate::language::word;
use crate::method;

/// Height of a row, and the width of the picture beside the rows, in CSS pixels.
const ROW: f64 = 48.0;
const WIDTH: f64 = 150.0;
/// Where the axis and the crest plane are, and how wide and deep the metal may be.
const AXIS: f64 = 8.0;
const CREST: f64 = 24.0;
const METAL: (f64, f64) = (104.0, 520.0);
/// From here lines lead to their rows.
const BEND: f64 = 120.0;
/// Between depth lines beside the axis.
const APART: f64 = 8.0;

/// Rows and picture; `chosen` is a method as gauge values name it.
pub(in crate::web) fn places(answer: &PlacesAnswer, chosen: &str) -> Value {
    let mut drawn: Vec<&MethodPlace> = Vec::new();
    let mut others: Vec<&MethodPlace> = Vec::new();
    for one in &answer.methods {
        match one.place {
            Some(_) => drawn.push(one),
            None => others.push(one),
        }
    }
    let depth = |one: &&MethodPlace| one.place.map_or(0.0, |(_, to)| to.z_mm);
    drawn.sort_by(|one, other| depth(one).total_cmp(&depth(other)));
    let height = ROW * drawn.len() as f64;
    let outline = answer
        .section
        .as_ref()
        .map(|section| section.outline.as_slice());
    let scale = Scale::of(outline.unwrap_or_default(), height);
    let mut depths = 0.0;
    let rows = drawn.iter().zip(0u8..).map(|(one, row)| {
        let line = one.place.map(|place| {
            let lies_on_axis = place.0.r_mm == place.1.r_mm;
            depths += f64::from(u8::from(lies_on_axis));
            scale.line(place, ROW * (f64::from(row) + 0.5), APART * (depths - 1.0))
        });
        context! { line, ..row_of(one, chosen) }
    });
    context! {
        rows => rows.collect::<Vec<_>>(),
        others => others.iter().map(|one| row_of(one, chosen)).collect::<Vec<_>>(),
        other_chosen => others.iter().any(|one| sign(one) == chosen),
        outline => outline.map(|outline| scale.path(outline)),
        axis => AXIS,
        width => WIDTH,
        height,
    }
}

fn sign(one: &MethodPlace) -> String {
    format!("{}@{}", one.quantity, one.method)
}

fn row_of(one: &MethodPlace, chosen: &str) -> Value {
    let sign = sign(one);
    let parameters = one
        .parameters
        .iter()
        .map(|one| format!("has-{}", one.name()));
    let drills = one.by_drills.then(|| "has-drills".to_owned());
    let kinds: Vec<String> = parameters.chain(drills).collect();
    context! {
        chosen => sign == chosen,
        sign,
        quantity => word(one.quantity),
        method => method::said(&one.method),
        says => word(&one.says),
        kinds => kinds.join(" "),
    }
}

/// Pixels in a millimetre of metal.
struct Scale {
    per_mm: f64,
}

impl Scale {
    fn of(outline: &[Point], height: f64) -> Self {
        let most = |of: fn(&Point) -> f64| outline.iter().map(of).fold(1.0, f64::max);
        let (wide, deep) = (most(|point| point.r_mm), most(|point| point.z_mm));
        let room = METAL.1.min(height - 2.0 * CREST).max(ROW);
        Self {
            per_mm: (METAL.0 / wide).min(room / deep),
        }
    }

    fn at(&self, point: Point) -> (f64, f64) {
        (
            AXIS + self.per_mm * point.r_mm,
            CREST + self.per_mm * point.z_mm,
        )
    }

    fn path(&self, outline: &[Point]) -> String {
        let points = outline.iter().map(|point| {
            let (x, y) = self.at(*point);
            format!("{x:.1} {y:.1}")
        });
        points.collect::<Vec<_>>().join(" ")
    }

    /// The dimension line and the way from its end to the middle of its row, as two paths.
    fn line(&self, (from, to): (Point, Point), row: f64, aside: f64) -> Value {
        let lies_on_axis = from.r_mm == to.r_mm;
        let aside = if lies_on_axis { aside } else { 0.0 };
        let start = Point {
            r_mm: from.r_mm.max(0.0),
            ..from
        };
        let ((x1, y1), (x2, y2)) = (self.at(start), self.at(to));
        let (x1, x2) = (x1 + aside, x2 + aside);
        context! {
            gauge => format!("M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}"),
            lead => format!("M{x2:.1} {y2:.1}L{BEND} {y2:.1}L{WIDTH} {row:.1}"),
            x => format!("{x2:.1}"),
            y => format!("{y2:.1}"),
        }
    }
}
