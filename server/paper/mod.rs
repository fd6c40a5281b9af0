//! How a card looks on paper.
//!
//! One content, four forms: a page to print, plain text for receipt printers, SVG and PDF. The
//! blocks of [`content`] hold the words; [`layout`] sets them, [`sheet`] divides them onto A6,
//! [`svg`] and [`pdf`] paint the marks of [`drawing`]; [`html`] fills the template; [`text`]
//! counts columns. [`section`] draws a piece to scale with its measuring points.
//!
//! What the card says is [`crate::card`]. Nothing here rounds, converts or reads a clock.

pub mod block;
pub mod chart;
pub mod content;
pub mod drawing;
pub mod html;
mod lanes;
pub mod layout;
pub mod legend;
pub mod metrics;
pub mod pdf;
pub mod section;
pub mod sheet;
pub mod signs;
pub mod svg;
pub mod text;
pub mod wrap;

pub use html::Dress;
pub use section::SvgSize;
pub use svg::section_svg;

use crate::card::Card;

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
    /// A6 sheets, one under another.
    Svg,
    /// A6 sheets.
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
pub fn render(card: &Card, form: Form) -> Vec<u8> {
    match form {
        Form::Html => html::html(card, Dress::Alone).into_bytes(),
        Form::Text { columns } => text::text(card, columns).into_bytes(),
        Form::Svg => svg::svg(card).into_bytes(),
        Form::Pdf => pdf::pdf(card),
    }
}

/// What a card is called.
fn title(card: &Card) -> String {
    let title = format!("{}, {}", card.reading.canonical, card.reading.scheme.title);
    signs::shortened(&signs::visible(&title), signs::LONGEST_NAME)
}
