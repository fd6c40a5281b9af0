//! What a handler is asked and what it gives.

use std::sync::Arc;

use serde::Serialize;

use super::parameters::Parameters;
use super::templates::Templates;
use crate::answer::Left;
use crate::config::Config;
use crate::paper::InForce;
use crate::problem::{Kind, Problem};
use crate::reload::Current;
use crate::snapshot::Snapshot;

/// What all requests share.
#[derive(Debug)]
pub struct Counter {
    /// How the counter is set up.
    pub config: Config,
    /// The tables in force.
    pub current: Current,
    /// The pages.
    pub templates: Templates,
    /// Templates and the shop's sign.
    pub paper: InForce,
    /// Where customers reach it, for cards.
    pub address: String,
}

/// One request, without HTTP.
#[derive(Debug)]
pub struct Question {
    /// What all requests share.
    pub counter: Arc<Counter>,
    /// The tables that this question is answered from.
    pub snapshot: Arc<Snapshot>,
    /// What stands behind the `?`.
    pub parameters: Parameters,
    /// What stands in the path for its `{name}`; empty where it has none.
    pub named: String,
    /// Whether the client has left.
    pub left: Left,
}

/// Media types that leave the server.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Media {
    /// Data.
    Json,
    /// Problem details (RFC 9457).
    Problem,
    /// A page or a part of one.
    Html,
    /// Text.
    Text,
    /// A drawing.
    Svg,
    /// A document.
    Pdf,
    /// A style sheet.
    Css,
}

impl Media {
    /// As the header says it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Json => "application/json",
            Self::Problem => "application/problem+json",
            Self::Html => "text/html; charset=utf-8",
            Self::Text => "text/plain; charset=utf-8",
            Self::Svg => "image/svg+xml",
            Self::Pdf => "application/pdf",
            Self::Css => "text/css; charset=utf-8",
        }
    }
}

/// Room for a usual answer in JSON, so that it is not moved as it grows, bytes.
const USUAL_BODY: usize = 64 * 1024;

/// What a handler gives.
#[derive(Debug)]
pub enum Answer {
    /// Bytes of a media type, with an HTTP status.
    Whole(u16, Media, Vec<u8>),
    /// Another address of this server.
    SeeOther(String),
}

impl Answer {
    /// Bytes, and all is well.
    pub fn ok(media: Media, body: impl Into<Vec<u8>>) -> Self {
        Self::Whole(200, media, body.into())
    }

    /// Data, and all is well.
    ///
    /// # Errors
    /// It cannot be written as JSON.
    pub fn json(answer: &impl Serialize) -> Result<Self, Problem> {
        let mut body = Vec::with_capacity(USUAL_BODY);
        serde_json::to_writer(&mut body, answer).map_err(|cause| {
            tracing::error!(%cause, "an answer could not be written");
            Problem::new(Kind::CouldNot, sentence!("the answer could not be written"))
        })?;
        body.shrink_to_fit();
        Ok(Self::ok(Media::Json, body))
    }
}
