//! A drawing as the templates take it: data, with lines of one stroke gathered.

use serde_json::{Value, json};

use super::drawing::{Drawing, Ink, Mark, Place, Run, Stroke};
use super::metrics::Face;

/// A drawing with its marks, for `drawing` in `common.typ`.
pub fn painted(drawing: &Drawing) -> Value {
    json!({
        "width_mm": drawing.width_mm,
        "height_mm": drawing.height_mm,
        "description": format!("{}. {}", drawing.title, drawing.description),
        "marks": marks(&drawing.marks),
    })
}

/// Marks in their order, but lines of one stroke that follow one another as one.
fn marks(marks: &[Mark]) -> Vec<Value> {
    let mut gathered: Vec<Value> = Vec::new();
    let mut open: Option<(Stroke, Vec<&Vec<Place>>)> = None;
    for mark in marks {
        match (mark, &mut open) {
            (Mark::Line(stroke, line), Some((same, runs))) if same == stroke => runs.push(line),
            (Mark::Line(stroke, line), _) => {
                gathered.extend(open.replace((*stroke, vec![line])).map(path));
            }
            (other, _) => {
                gathered.extend(open.take().map(path));
                gathered.push(single(other));
            }
        }
    }
    gathered.extend(open.map(path));
    gathered
}

fn path((stroke, runs): (Stroke, Vec<&Vec<Place>>)) -> Value {
    let pen = stroke.pen();
    json!({
        "mark": "path",
        "ink": ink(pen.ink),
        "width_mm": pen.width_mm,
        "dash_mm": pen.dash_mm,
        "runs": runs,
    })
}

fn single(mark: &Mark) -> Value {
    match mark {
        Mark::Line(stroke, line) => path((*stroke, vec![line])),
        Mark::Area(of, points) => json!({"mark": "area", "ink": ink(*of), "points": points}),
        Mark::Ring(at, radius_mm) => json!({"mark": "ring", "at": at, "radius_mm": radius_mm}),
        Mark::Words(run) => words(run),
    }
}

fn words(run: &Run) -> Value {
    let face = match run.face {
        Face::Words => "words",
        Face::Strong => "strong",
        Face::Struck => "struck",
    };
    json!({
        "mark": "words",
        "at": run.at,
        "text": run.text,
        "face": face,
        "size_mm": run.size_mm,
        "ink": ink(run.ink),
    })
}

fn ink(ink: Ink) -> &'static str {
    match ink {
        Ink::Full => "full",
        Ink::Soft => "soft",
        Ink::Accent => "accent",
    }
}
