//! The card over HTTP: a page to print, text, a drawing, a document.

use super::api::card_of;
use super::parameters::query;
use super::question::{Answer, Media, Question};
use crate::config::Paper;
use crate::language::word;
use crate::paper::html::{Dress, Link, Served, html as page, page_style};
use crate::paper::{self, Form};
use crate::problem::{Kind, Problem};

/// Columns of the text on an 80 mm roll.
const COLUMNS: usize = 42;

/// Forms that stand alone, by path.
const FORMS: [(&str, &str); 3] = [
    ("PDF", "/card.pdf"),
    ("SVG", "/card.svg"),
    (word!("plain text"), "/card.txt"),
];

/// The longest side of a printed page, mm: no roll is longer.
const LONGEST_MM: f64 = 5000.0;

pub(super) fn html(question: &Question) -> Result<Answer, Problem> {
    let card = card_of(question)?;
    let paper = paper(question)?;
    let counter = &question.counter;
    let dress = Dress::Served(served(question, paper));
    Ok(Answer::ok(
        Media::Html,
        page(&card, paper, &counter.paper.stationery(), dress)?,
    ))
}

pub(super) fn text(question: &Question) -> Result<Answer, Problem> {
    card(question, Media::Text, Form::Text { columns: COLUMNS })
}

pub(super) fn svg(question: &Question) -> Result<Answer, Problem> {
    card(question, Media::Svg, Form::Svg)
}

pub(super) fn pdf(question: &Question) -> Result<Answer, Problem> {
    card(question, Media::Pdf, Form::Pdf)
}

/// What gives printed pages the size of a sheet: pages allow no style of their own.
pub(super) fn style(question: &Question) -> Result<Answer, Problem> {
    let side = |name: &'static str| {
        let text = question.parameters.text(name);
        let side = text.parse::<f64>().ok();
        side.filter(|side| (10.0..=LONGEST_MM).contains(side))
            .ok_or_else(|| {
                let says = sentence!(
                    "`{name}` is a length from 10 to {longest} mm",
                    name,
                    longest = LONGEST_MM
                );
                Problem::new(Kind::BadParameter, says)
            })
    };
    let size = (side("width")?, side("height")?);
    Ok(Answer::ok(Media::Css, page_style(size)))
}

fn card(question: &Question, media: Media, form: Form) -> Result<Answer, Problem> {
    let card = card_of(question)?;
    let stationery = &question.counter.paper.stationery();
    Ok(Answer::ok(
        media,
        paper::render(&card, form, paper(question)?, stationery)?,
    ))
}

/// On which paper: as asked, or as usual.
fn paper(question: &Question) -> Result<Paper, Problem> {
    let usual = question.counter.config.card_paper.value;
    if question.parameters.text("paper").is_empty() {
        return Ok(usual);
    }
    let name = question.parameters.word("paper", Paper::NAMES)?;
    Ok(Paper::named(name).unwrap_or(usual))
}

fn served(question: &Question, here: Paper) -> Served {
    let asked: Vec<(&str, &str)> = ["stamp", "into", "reading", "language"]
        .into_iter()
        .flat_map(|name| {
            let values = question.parameters.all(name);
            values.map(move |value| (name, value))
        })
        .collect();
    let address = |path: &str, paper: &str| {
        let pairs = asked.iter().copied().chain([("paper", paper)]);
        format!("{path}?{}", query(pairs))
    };
    let link = |name: &str, address: String, here: bool| Link {
        name: name.to_owned(),
        address,
        here,
    };
    Served {
        papers: Paper::NAMES
            .iter()
            .map(|name| link(name, address("/card", name), *name == here.name()))
            .collect(),
        forms: FORMS
            .iter()
            .map(|(name, path)| link(&word(name), address(path, here.name()), false))
            .collect(),
        style: "/sheet.css".into(),
    }
}
