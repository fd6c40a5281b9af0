//! What the templates are given.
//!
//! Data and nothing else: words in their language, the blocks of a card in reading order, drawings as
//! marks in millimetres, and the paper. A template decides where it stands and changes no word of it.
//! `card-sample.json` and `chart-sample.json` beside the templates show all of it.

use serde_json::{Value, json};

use super::block::Block;
use super::content::{self, words};
use super::painted::painted;
use super::section::{self, SvgSize};
use super::signs;
use crate::card::Card;
use crate::config::Paper;
use crate::language::current;

/// How a paper is filled.
struct Setting {
    /// White edge, mm: office printers do not reach the last 4 to 5 mm (common practice, no source);
    /// printers of 80 mm rolls print 72 mm (576 dots of 203 to the inch).
    margin_mm: f64,
    /// Type, points: as large as lets the card stand on one page, between these.
    largest_pt: f64,
    smallest_pt: f64,
    /// Height that the metal of the section may take, mm.
    section_mm: f64,
}

fn setting(paper: Paper) -> Setting {
    let (margin_mm, largest_pt, smallest_pt, section_mm) = match paper {
        Paper::A6 => (5.0, 8.0, 7.5, 42.0),
        Paper::A5 => (8.0, 9.5, 7.5, 60.0),
        Paper::HalfLetter => (8.0, 9.0, 7.5, 58.0),
        Paper::Roll80 => (4.0, 7.5, 7.5, 42.0),
    };
    Setting {
        margin_mm,
        largest_pt,
        smallest_pt,
        section_mm,
    }
}

/// A card for its template; `logo` is the name of the file with the shop's sign.
pub fn card(card: &Card, paper: Paper, logo: Option<&str>) -> Value {
    let setting = setting(paper);
    let (width_mm, height_mm) = paper.size_mm();
    let room = SvgSize {
        width_mm: width_mm - 2.0 * setting.margin_mm,
        height_mm: setting.section_mm,
    };
    let blocks = content::blocks(card, signs::printed);
    let blocks: Vec<Value> = blocks.iter().map(|one| block(one, room)).collect();
    json!({
        "language": current().tag(),
        "title": signs::printed(&super::title(card)),
        "date": card.date,
        "logo": logo,
        "words": words(),
        "paper": {
            "name": paper.name(),
            "width_mm": width_mm,
            "height_mm": height_mm,
            "margin_mm": setting.margin_mm,
            "largest_pt": setting.largest_pt,
            "smallest_pt": setting.smallest_pt,
        },
        "blocks": blocks,
    })
}

fn block(block: &Block, room: SvgSize) -> Value {
    match block {
        Block::Section(answer) => {
            let mut drawn = painted(&section::draw(answer, room));
            drawn["kind"] = "section".into();
            drawn
        }
        other => serde_json::to_value(other).expect("blocks are words and lists of words"),
    }
}
