//! An address as a square that a telephone reads.
//!
//! QR code (ISO/IEC 18004) at level M, which reads on with 15 % of it gone, and its quiet zone of four
//! modules. Where the address is so long that the square would fill the card there is none.

use fast_qr::{ECL, Module, QRBuilder};
use serde::Serialize;

/// The quiet zone, modules (ISO/IEC 18004, 5.3.8).
const QUIET: usize = 4;

/// The largest square, modules without its quiet zone: version 13, 35 mm on paper.
const LARGEST: usize = 69;

/// A square of modules.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Code {
    /// Modules of a side, the quiet zone counted.
    pub modules: usize,
    /// Row, column and length of each run of dark modules.
    pub runs: Vec<(usize, usize, usize)>,
}

/// The square of a text; none where it would be too large.
pub fn code(text: &str) -> Option<Code> {
    let code = QRBuilder::new(text).ecl(ECL::M).build().ok()?;
    if code.size > LARGEST {
        return None;
    }
    let rows = (0..code.size).flat_map(|row| runs(&code[row], row));
    Some(Code {
        modules: code.size + 2 * QUIET,
        runs: rows.collect(),
    })
}

fn runs(modules: &[Module], row: usize) -> Vec<(usize, usize, usize)> {
    let mut runs: Vec<(usize, usize, usize)> = Vec::new();
    for (column, _) in modules.iter().enumerate().filter(|(_, one)| one.value()) {
        match runs.last_mut() {
            Some((_, from, long)) if *from + *long == column + QUIET => *long += 1,
            _ => runs.push((row + QUIET, column + QUIET, 1)),
        }
    }
    runs
}
