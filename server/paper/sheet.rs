//! A6 sheets.
//!
//! Blocks are set one under another on as many sheets as they need. A block stays whole where a
//! sheet can hold it; one that no sheet holds is divided between its rows. Each sheet has its
//! own margins and, where there are several, its number.

use super::block::Block;
use super::content::{self, Spelling};
use super::drawing::{Drawing, Ink, Mark, Run};
use super::layout::{self, Laid};
use super::metrics::{self, Face, POINT_MM};
use crate::card::Card;

/// Width of A6, mm (ISO 216).
pub const WIDTH_MM: f64 = 105.0;

/// Height of A6, mm (ISO 216).
pub const HEIGHT_MM: f64 = 148.0;

/// Margins at the sides and above, mm: more than the 4 to 5 mm that office printers cannot reach
/// (common practice, no source).
const MARGIN_MM: f64 = 6.0;

/// Below the blocks, mm: the line with the sheet's number stands there.
const FOOT_MM: f64 = 7.5;

/// Below a block, mm.
fn gap_mm(block: &Block) -> f64 {
    if matches!(block, Block::Notes(_)) {
        1.2
    } else {
        2.2
    }
}

/// Size of the sheet's number, mm.
const NUMBER_MM: f64 = 6.2 * POINT_MM;

/// Width of the blocks, mm.
const ROOM_WIDTH_MM: f64 = WIDTH_MM - 2.0 * MARGIN_MM;

/// Height that the blocks of a sheet may fill, mm.
const ROOM_HEIGHT_MM: f64 = HEIGHT_MM - MARGIN_MM - FOOT_MM;

/// The blocks of each sheet.
pub fn paged(blocks: Vec<Block>) -> Vec<Vec<Block>> {
    let mut pages = Pages {
        pages: vec![Vec::new()],
        used_mm: 0.0,
    };
    for block in blocks {
        pages.add(block);
    }
    pages.pages
}

struct Pages {
    pages: Vec<Vec<Block>>,
    used_mm: f64,
}

impl Pages {
    fn add(&mut self, block: Block) {
        let height = layout::block(&block, ROOM_WIDTH_MM).height_mm;
        if self.used_mm + height > ROOM_HEIGHT_MM && self.used_mm > 0.0 {
            self.pages.push(Vec::new());
            self.used_mm = 0.0;
        }
        match divided(&block, height) {
            Some((head, tail)) => {
                self.place(head, ROOM_HEIGHT_MM);
                self.add(tail);
            }
            None => self.place(block, height),
        }
    }

    fn place(&mut self, block: Block, height: f64) {
        self.used_mm += height + gap_mm(&block);
        if let Some(page) = self.pages.last_mut() {
            page.push(block);
        }
    }
}

/// The most rows that a sheet holds, and the others.
fn divided(block: &Block, height: f64) -> Option<(Block, Block)> {
    if height <= ROOM_HEIGHT_MM {
        return None;
    }
    let parts = (1..block.rows())
        .rev()
        .filter_map(|count| block.split(count));
    let fits =
        |(head, _): &(Block, Block)| layout::block(head, ROOM_WIDTH_MM).height_mm <= ROOM_HEIGHT_MM;
    parts.into_iter().find(fits).or_else(|| block.split(1))
}

/// The sheets of a card, drawn.
pub fn sheets(card: &Card, spelling: Spelling) -> Vec<Drawing> {
    let pages = paged(content::blocks(card, spelling));
    let count = pages.len();
    let title = spelling(&super::title(card));
    pages
        .iter()
        .enumerate()
        .map(|(place, page)| sheet(page, &title, (place + 1, count)))
        .collect()
}

fn sheet(page: &[Block], title: &str, (number, count): (usize, usize)) -> Drawing {
    let mut marks = Vec::new();
    let mut y = MARGIN_MM;
    for block in page {
        let Laid {
            marks: inner,
            height_mm,
        } = layout::block(block, ROOM_WIDTH_MM);
        marks.extend(inner.into_iter().map(|mark| mark.moved((MARGIN_MM, y))));
        y += height_mm + gap_mm(block);
    }
    if count > 1 {
        marks.push(page_number(&format!("page {number}/{count}")));
    }
    Drawing {
        width_mm: WIDTH_MM,
        height_mm: HEIGHT_MM,
        title: title.to_owned(),
        description: format!("Page {number} of {count}"),
        marks,
    }
}

fn page_number(text: &str) -> Mark {
    let width = metrics::width_mm(text, Face::Words, NUMBER_MM);
    Mark::Words(Run {
        at: (WIDTH_MM - MARGIN_MM - width, HEIGHT_MM - 4.2),
        text: text.to_owned(),
        face: Face::Words,
        size_mm: NUMBER_MM,
        ink: Ink::Soft,
    })
}
