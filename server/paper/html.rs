//! The card as a page: a picture of each sheet to print, and the same in words for those who do not see it.
//!
//! The pictures are those of the press, so that what is seen is what is printed, whatever the browser does
//! with type. The template escapes all it is given, but for the pictures.

use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior, Value, context};
use rust_embed::Embed;
use serde::Serialize;

use super::block::Block;
use super::content::{self, words};
use super::stationery::{Stationery, Want};
use super::{printed, signs, svg};
use crate::card::Card;
use crate::config::Paper;
use crate::language::current;
use crate::problem::Problem;

#[derive(Embed)]
#[folder = "server/paper/templates/"]
struct Templates;

/// Its name decides that what it is given is escaped.
const TEMPLATE: &str = "card.html";

/// The style sheet that the server serves as `/assets/card.css`.
const STYLE: &str = include_str!("../web/assets/card.css");

/// Where the page's style and script come from, and what else can be had.
#[derive(Clone, Debug)]
pub enum Dress {
    /// From the server that serves the page, which allows nothing inline.
    Served(Served),
    /// The style is in the page, and there is no script: the page is a file of its own.
    Alone,
}

/// What a served page leads to.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Served {
    /// The same on each paper.
    pub papers: Vec<Link>,
    /// Other forms.
    pub forms: Vec<Link>,
    /// The address of [`page_style`] for a width and a height, but for these.
    pub style: String,
}

/// The words around the sheets.
#[derive(Clone, Debug, Serialize)]
struct Page {
    print: String,
    papers: String,
    forms: String,
    count: String,
}

impl Page {
    /// Of so many sheets, in the language in force.
    fn of(count: usize) -> Self {
        Self {
            print: say!("Print"),
            papers: say!("Paper"),
            forms: say!("Other forms"),
            count: say_count!(count, "one page", "{count} pages"),
        }
    }
}

/// Somewhere to go.
#[derive(Clone, Debug, Serialize)]
pub struct Link {
    /// Its name.
    pub name: String,
    /// Its address.
    pub address: String,
    /// Whether it leads here.
    pub here: bool,
}

/// The style that gives printed pages a size, mm.
pub fn page_style((width, height): (f64, f64)) -> String {
    format!("@page {{ size: {width:.2}mm {height:.2}mm; margin: 0; }}\n")
}

/// The card as a page.
///
/// # Errors
/// The press failed; the log says how.
pub fn html(
    card: &Card,
    paper: Paper,
    stationery: &Stationery,
    dress: Dress,
) -> Result<String, Problem> {
    let printed = printed(card, paper, stationery, Want::Drawings)?;
    let count = printed.content.len();
    let sheet = |(place, drawing): (usize, &Vec<u8>)| {
        let title = format!("{}, {}/{count}", super::title(card), place + 1);
        let drawing = String::from_utf8_lossy(drawing);
        Value::from_safe_string(svg::named_sheet(
            &drawing,
            &title,
            &say!("The same in words is below."),
        ))
    };
    let sheets: Vec<Value> = printed.content.iter().enumerate().map(sheet).collect();
    let size = printed.sizes_mm.first().copied().unwrap_or_default();
    let (style, served) = match dress {
        Dress::Served(served) => (Value::from(()), Value::from(Serde(served))),
        Dress::Alone => (
            Value::from_safe_string(page_style(size) + STYLE),
            Value::from(()),
        ),
    };
    let faults: Vec<String> = stationery
        .faults
        .iter()
        .map(|fault| signs::visible(&fault.to_string()))
        .collect();
    let page = context! {
        title => super::title(card),
        style,
        served,
        faults,
        sheets,
        paper => paper.name(),
        width => format!("{:.2}", size.0),
        height => format!("{:.2}", size.1),
        words => Value::from(Serde(words())),
        page => Value::from(Serde(Page::of(count))),
        language => current().tag(),
        blocks => blocks(card),
    };
    Ok(filled(page))
}

/// The words; pictures are above.
fn blocks(card: &Card) -> Vec<Value> {
    let blocks = content::blocks(card, str::to_owned);
    let words = blocks
        .into_iter()
        .filter(|block| !matches!(block, Block::Section(_)));
    words.map(|block| Value::from(Serde(block))).collect()
}

fn filled(page: Value) -> String {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    let rendered = environment.render_named_str(TEMPLATE, &template(), page);
    rendered.expect("the template is part of the program and is given all that it names")
}

fn template() -> String {
    let file = Templates::get(TEMPLATE).expect("the template is part of the program");
    String::from_utf8_lossy(&file.data).into_owned()
}
