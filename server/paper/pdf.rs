//! Sheets as PDF.
//!
//! Three of the fourteen faces that every reader has, in WinAnsi; text can be selected and
//! searched. Nothing in the file depends on the clock or on chance: the same card gives the same
//! bytes.

use pdf_writer::types::LineCapStyle;
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::drawing::{Drawing, Ink, Mark, Place, Run, Stroke};
use super::metrics::{Face, POINT_MM};
use super::{sheet, signs};
use crate::card::Card;

/// A circle of four Bézier curves: the length of a handle over the radius.
const HANDLE: f64 = 0.552_284_75;

/// Width of the ring around a number, mm.
const RING_PEN_MM: f64 = 0.18;

/// The faces, their names in a page's resources, and in PDF.
const FACES: [(Face, &[u8], &[u8]); 3] = [
    (Face::Words, b"W", b"Helvetica"),
    (Face::Strong, b"S", b"Helvetica-Bold"),
    (Face::Struck, b"M", b"Courier-Bold"),
];

/// The card as PDF.
pub fn pdf(card: &Card) -> Vec<u8> {
    let sheets = sheet::sheets(card, signs::western);
    let mut pdf = Pdf::new();
    let ids = Ids {
        sheets: i32::try_from(sheets.len()).unwrap_or(i32::MAX),
    };
    pdf.catalog(ids.catalog())
        .pages(ids.tree())
        .lang(TextStr("en"));
    pdf.pages(ids.tree())
        .kids((0..ids.sheets).map(|place| ids.page(place)))
        .count(ids.sheets);
    for (place, (_, _, base)) in (0..).zip(FACES) {
        pdf.type1_font(ids.face(place))
            .base_font(Name(base))
            .encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    for (place, sheet) in (0..).zip(&sheets) {
        page(&mut pdf, &ids, place, sheet);
    }
    if let Some(first) = sheets.first() {
        pdf.document_info(ids.info())
            .title(TextStr(&first.title))
            .creator(TextStr("counterbore"));
    }
    pdf.finish()
}

/// Numbers of the objects in the file.
struct Ids {
    sheets: i32,
}

impl Ids {
    fn catalog(&self) -> Ref {
        Ref::new(1)
    }

    fn tree(&self) -> Ref {
        Ref::new(2)
    }

    fn info(&self) -> Ref {
        Ref::new(3)
    }

    fn face(&self, place: i32) -> Ref {
        Ref::new(4 + place)
    }

    fn page(&self, place: i32) -> Ref {
        Ref::new(7 + 2 * place)
    }

    fn content(&self, place: i32) -> Ref {
        Ref::new(8 + 2 * place)
    }
}

fn page(pdf: &mut Pdf, ids: &Ids, place: i32, sheet: &Drawing) {
    let mut page = pdf.page(ids.page(place));
    page.parent(ids.tree()).contents(ids.content(place));
    page.media_box(Rect::new(
        0.0,
        0.0,
        points(sheet.width_mm),
        points(sheet.height_mm),
    ));
    let mut resources = page.resources();
    let mut fonts = resources.fonts();
    for (place, (_, name, _)) in (0..).zip(FACES) {
        fonts.pair(Name(name), ids.face(place));
    }
    fonts.finish();
    resources.finish();
    page.finish();
    pdf.stream(
        ids.content(place),
        &Painter::new(sheet.height_mm).painted(sheet),
    );
}

/// Millimetres in points.
fn points(length_mm: f64) -> f32 {
    ((length_mm / POINT_MM * 1000.0).round() / 1000.0) as f32
}

/// Paints marks, y upwards as PDF has it.
struct Painter {
    height_mm: f64,
    content: Content,
}

impl Painter {
    fn new(height_mm: f64) -> Self {
        Self {
            height_mm,
            content: Content::new(),
        }
    }

    fn painted(mut self, sheet: &Drawing) -> Vec<u8> {
        for mark in &sheet.marks {
            match mark {
                Mark::Line(stroke, line) => self.line(*stroke, line),
                Mark::Area(ink, outline) => self.area(*ink, outline),
                Mark::Ring(centre, radius) => self.ring(*centre, *radius),
                Mark::Words(run) => self.words(run),
            }
        }
        self.content.finish().into_vec()
    }

    fn at(&self, (x, y): Place) -> (f32, f32) {
        (points(x), points(self.height_mm - y))
    }

    fn path(&mut self, line: &[Place]) {
        for (place, &point) in line.iter().enumerate() {
            let (x, y) = self.at(point);
            if place == 0 {
                self.content.move_to(x, y)
            } else {
                self.content.line_to(x, y)
            };
        }
    }

    fn line(&mut self, stroke: Stroke, line: &[Place]) {
        let pen = stroke.pen();
        let [red, green, blue] = colour(pen.ink);
        self.content
            .set_stroke_rgb(red, green, blue)
            .set_line_width(points(pen.width_mm));
        self.content.set_line_cap(LineCapStyle::RoundCap);
        self.content
            .set_dash_pattern(pen.dash_mm.iter().map(|&length| points(length)), 0.0);
        self.path(line);
        self.content.stroke();
    }

    fn area(&mut self, ink: Ink, outline: &[Place]) {
        let [red, green, blue] = colour(ink);
        self.content.set_fill_rgb(red, green, blue);
        self.path(outline);
        self.content.close_path().fill_nonzero();
    }

    fn ring(&mut self, (x, y): Place, radius: f64) {
        let [red, green, blue] = colour(Ink::Accent);
        self.content
            .set_stroke_rgb(red, green, blue)
            .set_line_width(points(RING_PEN_MM));
        self.content.set_dash_pattern([], 0.0);
        let on = |right: f64, down: f64| self.at((x + right * radius, y + down * radius));
        let quarter = |(a, b): (f64, f64), (c, d): (f64, f64)| {
            [
                on(a + HANDLE * c, b + HANDLE * d),
                on(c + HANDLE * a, d + HANDLE * b),
                on(c, d),
            ]
        };
        let corners = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)];
        let start = on(1.0, 0.0);
        let curves: Vec<[(f32, f32); 3]> = corners
            .windows(2)
            .map(|pair| quarter(pair[0], pair[1]))
            .collect();
        self.content.move_to(start.0, start.1);
        for [(x1, y1), (x2, y2), (x3, y3)] in curves {
            self.content.cubic_to(x1, y1, x2, y2, x3, y3);
        }
        self.content.close_path().stroke();
    }

    fn words(&mut self, run: &Run) {
        let [red, green, blue] = colour(run.ink);
        let (x, y) = self.at(run.at);
        let name = FACES
            .iter()
            .find(|(face, _, _)| *face == run.face)
            .map_or(FACES[0].1, |(_, name, _)| *name);
        let codes: Vec<u8> = run.text.chars().filter_map(signs::winansi_code).collect();
        self.content
            .begin_text()
            .set_fill_rgb(red, green, blue)
            .set_font(Name(name), points(run.size_mm));
        self.content.next_line(x, y).show(Str(&codes)).end_text();
    }
}

/// The colours of `card.css` for paper.
fn colour(ink: Ink) -> [f32; 3] {
    let [red, green, blue] = match ink {
        Ink::Full => [0x21, 0x1d, 0x18],
        Ink::Soft => [0x5f, 0x58, 0x4d],
        Ink::Faint => [0xcf, 0xc7, 0xb8],
        Ink::Accent => [0x75, 0x54, 0x0c],
    };
    [red, green, blue].map(|part: u8| f32::from(part) / 255.0)
}
