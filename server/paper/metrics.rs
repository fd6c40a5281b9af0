//! How wide words are.
//!
//! Three of the faces that every reader of PDF has: Helvetica, Helvetica Bold and Courier Bold,
//! by their advance widths in thousandths of the type size (Adobe Core 14 font metrics), one for
//! each character of WinAnsi from 32 on. What WinAnsi lacks counts as a full square.

use super::signs;

/// A face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Words and figures: Helvetica, whose figures are all of one width.
    Words,
    /// Headings: Helvetica Bold.
    Strong,
    /// What is struck into metal: Courier Bold.
    Struck,
}

/// From the baseline to the top of the letters, as a share of the size.
pub const ASCENT: f64 = 0.74;

/// From the baseline to the foot of the letters, as a share of the size.
pub const DESCENT: f64 = 0.22;

/// Millimetres in a typographic point (1/72 inch).
pub const POINT_MM: f64 = 25.4 / 72.0;

/// Width of every Courier character.
const COURIER: u16 = 600;

/// Width of a character that WinAnsi lacks.
const SQUARE: u16 = 1000;

/// The width of a text, mm.
pub fn width_mm(text: &str, face: Face, size_mm: f64) -> f64 {
    let thousandths: u32 = text
        .chars()
        .map(|sign| u32::from(advance(sign, face)))
        .sum();
    f64::from(thousandths) * size_mm / 1000.0
}

fn advance(sign: char, face: Face) -> u16 {
    let Some(code) = signs::winansi_code(sign) else {
        return SQUARE;
    };
    let place = usize::from(code).saturating_sub(32);
    match face {
        Face::Words => HELVETICA[place],
        Face::Strong => HELVETICA_BOLD[place],
        Face::Struck => COURIER,
    }
}

/// Lines no wider than `room_mm`: broken at spaces, and inside a word only where the word alone
/// is wider than the room. No-break spaces hold.
pub fn wrap(text: &str, face: Face, size_mm: f64, room_mm: f64) -> Vec<String> {
    super::wrap::wrap(text, |part| width_mm(part, face, size_mm) <= room_mm)
}

#[rustfmt::skip]
const HELVETICA: [u16; 224] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, 0,
    556, 0, 222, 556, 333, 1000, 556, 556, 333, 1000, 667, 333, 1000, 0, 611, 0,
    0, 222, 222, 333, 333, 350, 556, 1000, 333, 1000, 500, 333, 944, 0, 500, 667,
    278, 333, 556, 556, 556, 556, 260, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 556, 537, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 500, 556, 556, 556, 556, 278, 278, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 584, 611, 556, 556, 556, 556, 500, 556, 500,
];

#[rustfmt::skip]
const HELVETICA_BOLD: [u16; 224] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
    975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
    333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
    611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584, 0,
    556, 0, 278, 556, 500, 1000, 556, 556, 333, 1000, 667, 333, 1000, 0, 611, 0,
    0, 278, 278, 500, 500, 350, 556, 1000, 333, 1000, 556, 333, 944, 0, 500, 667,
    278, 333, 556, 556, 556, 556, 280, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 611, 556, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    722, 722, 722, 722, 722, 722, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 556, 556, 556, 556, 556, 278, 278, 278, 278,
    611, 611, 611, 611, 611, 611, 611, 584, 611, 611, 611, 611, 611, 556, 611, 556,
];
