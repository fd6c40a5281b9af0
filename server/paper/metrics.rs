//! How wide words are.
//!
//! By the advance widths of the faces that are printed with. A letter that a face lacks counts as
//! a full square.

use super::fonts;

/// A face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Words and figures.
    Words,
    /// Headings.
    Strong,
    /// What is struck into metal.
    Struck,
}

/// From the baseline to the top of the letters, as a share of the size.
pub const ASCENT: f64 = 0.74;

/// From the baseline to the foot of the letters, as a share of the size.
pub const DESCENT: f64 = 0.22;

/// Millimetres in a typographic point (1/72 inch).
pub const POINT_MM: f64 = 25.4 / 72.0;

/// The width of a text, mm.
pub fn width_mm(text: &str, face: Face, size_mm: f64) -> f64 {
    let advance = |sign| fonts::advance(sign, face).unwrap_or(1.0);
    text.chars().map(advance).sum::<f64>() * size_mm
}

/// Lines no wider than `room_mm`: broken at spaces, and inside a word only where the word alone
/// is wider than the room. No-break spaces hold.
pub fn wrap(text: &str, face: Face, size_mm: f64, room_mm: f64) -> Vec<String> {
    super::wrap::wrap(text, |part| width_mm(part, face, size_mm) <= room_mm)
}
