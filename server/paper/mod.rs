//! How a card and a wall chart look on paper.
//!
//! One content and one layout: [`content`] finds the words, [`given`] hands them to a template, the
//! [`press`] sets it, as a document, as drawings, and as the pictures of [`html`]'s page. What a
//! shop can replace is its [`stationery`], read anew when it changes ([`fresh`]). Plain text has no layout: [`text`] counts columns.
//! [`section`] draws a piece to scale with its measuring points.
//!
//! What the card says is [`crate::card`]. Nothing here rounds, converts or reads a clock.

pub mod block;
mod brought;
pub mod chart;
pub mod code;
pub mod content;
pub mod drawing;
pub mod fonts;
pub mod fresh;
pub mod given;
pub mod html;
pub mod legend;
pub mod metrics;
mod painted;
pub mod press;
pub mod section;
pub mod signs;
pub mod stationery;
pub mod svg;
pub mod text;
pub mod wrap;

pub use fresh::InForce;
pub use section::SvgSize;
pub use stationery::{Printed, Stationery, Want, Work};
pub use svg::section_svg;

use crate::card::Card;
use crate::config::Paper;
use crate::problem::Problem;

/// In which form a card is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A page that stands alone.
    Html,
    /// Plain text.
    Text {
        /// Characters in a line, 32 to 80.
        columns: usize,
    },
    /// The sheets, one under another.
    Svg,
    /// A document.
    Pdf,
}

impl Form {
    /// By the end of a file's name, whatever its case; none where that says nothing.
    ///
    /// ```
    /// use counterbore::paper::Form;
    /// assert_eq!(Form::of_file_name("card.PDF"), Some(Form::Pdf));
    /// assert_eq!(Form::of_file_name("card"), None);
    /// ```
    pub fn of_file_name(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "html" | "htm" => Some(Self::Html),
            "txt" => Some(Self::Text {
                columns: text::COLUMNS,
            }),
            "svg" => Some(Self::Svg),
            "pdf" => Some(Self::Pdf),
            _ => None,
        }
    }

    /// Its media type.
    pub fn content_type(self) -> &'static str {
        match self {
            Self::Html => "text/html; charset=utf-8",
            Self::Text { .. } => "text/plain; charset=utf-8",
            Self::Svg => "image/svg+xml",
            Self::Pdf => "application/pdf",
        }
    }
}

/// A card in a form, standing alone.
///
/// # Errors
/// The press failed; the log says how.
pub fn render(
    card: &Card,
    form: Form,
    paper: Paper,
    stationery: &Stationery,
) -> Result<Vec<u8>, Problem> {
    match form {
        Form::Html => {
            html::html(card, paper, stationery, html::Dress::Alone).map(String::into_bytes)
        }
        Form::Text { columns } => Ok(text::text(card, columns).into_bytes()),
        Form::Svg => svg(card, paper, stationery),
        Form::Pdf => {
            let printed = printed(card, paper, stationery, Want::Pdf(card.date))?;
            Ok(printed.content.concat())
        }
    }
}

/// A card through the press.
fn printed(
    card: &Card,
    paper: Paper,
    stationery: &Stationery,
    want: Want,
) -> Result<Printed, Problem> {
    let given = given::card(card, paper, stationery.logo());
    stationery.print(Work::Card, &given, want)
}

/// Letters are outlines in it, so that it has the card's words beside them.
fn svg(card: &Card, paper: Paper, stationery: &Stationery) -> Result<Vec<u8>, Problem> {
    let printed = printed(card, paper, stationery, Want::Drawing)?;
    let drawing = String::from_utf8_lossy(&printed.content.concat()).into_owned();
    let words = text::text(card, text::LIMITS.1);
    Ok(svg::named_sheet(&drawing, &title(card), &words).into_bytes())
}

/// What a card is called.
fn title(card: &Card) -> String {
    let title = format!("{}, {}", card.reading.canonical, card.reading.scheme.title);
    signs::shortened(&signs::visible(&title), signs::LONGEST_NAME)
}
