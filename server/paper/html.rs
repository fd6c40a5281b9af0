//! The card as a page to print.
//!
//! The blocks are divided onto A6 sheets here and not by the browser: browsers differ in
//! what they do at the foot of a page. Where a reader's face is wider than that of the sheets, the foot
//! takes up a line or two; beyond that the sheet grows onto a further page, and nothing is cut off. The template escapes all it is given, but
//! for the section, which [`super::svg`] has made.

use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior, Value, context};
use rust_embed::Embed;

use super::block::Block;
use super::content;
use super::section::SvgSize;
use super::{sheet, signs, svg};
use crate::card::Card;

#[derive(Embed)]
#[folder = "server/paper/templates/"]
struct Templates;

/// Its name decides that what it is given is escaped.
const TEMPLATE: &str = "card.html";

/// The style sheet that the server serves as `/assets/card.css`.
const STYLE: &str = include_str!("../web/assets/card.css");

/// Where the page's style and script come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dress {
    /// From the server that serves the page, which allows nothing inline.
    Served,
    /// The style is in the page, and there is no script: the page is a file of its own.
    Alone,
}

/// The card as a page.
pub fn html(card: &Card, dress: Dress) -> String {
    let pages = sheet::paged(content::blocks(card, signs::all));
    let pages: Vec<Vec<Value>> = pages
        .iter()
        .map(|page| page.iter().map(block).collect())
        .collect();
    let style = match dress {
        Dress::Served => Value::from(()),
        Dress::Alone => Value::from_safe_string(STYLE.to_owned()),
    };
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    let rendered = environment.render_named_str(
        TEMPLATE,
        &template(),
        context! {
            title => super::title(card),
            style,
            pages,
        },
    );
    rendered.expect("the template is part of the program and is given all that it names")
}

/// A block for the template: its own words, or the drawing.
fn block(block: &Block) -> Value {
    match block {
        Block::Section(answer) => {
            let drawing = svg::section_svg(answer, SvgSize::CARD);
            context! { kind => "section", svg => Value::from_safe_string(drawing) }
        }
        other => Value::from(Serde(other)),
    }
}

fn template() -> String {
    let file = Templates::get(TEMPLATE).expect("the template is part of the program");
    String::from_utf8_lossy(&file.data).into_owned()
}
