//! A correction that a shop fitted to pieces it measured both ways.

use crate::method::Method;
use crate::pairs::{Along, Fit};
use crate::uncertainty::Draw;

use super::piece::Stated;

/// A fitted correction between two methods, as a person adopted it.
#[derive(Clone, Debug)]
pub struct Paired {
    /// What the pairs' first readings are by.
    pub from: Method,
    /// What their second readings are by.
    pub to: Method,
    /// The correction with its range and scatter, mm or mm³.
    pub fit: Fit,
    /// Names the fit: all that is carried by it shares its error.
    pub key: String,
    /// Whose pairs, of when.
    pub source: String,
}

impl Paired {
    /// The stated figure carried by this fit, in either direction; none where it does not start
    /// here or the value is outside the pairs' range.
    pub(super) fn carry(&self, stated: &Stated, errors: Option<&Draw>) -> Option<Stated> {
        let (to, there) = if stated.method == self.from {
            (&self.to, true)
        } else if stated.method == self.to {
            (&self.from, false)
        } else {
            return None;
        };
        // How this piece differs from the fit is its own, and its figure's sources are its name.
        let piece: Vec<&str> = (stated.estimate.parts().iter())
            .map(|part| part.source.key())
            .collect();
        let along = Along {
            there,
            key: &self.key,
            piece: &piece.join(" "),
            errors,
        };
        let carried = self.fit.carry(&stated.estimate, &along)?;
        Some(Stated {
            method: to.clone(),
            estimate: carried,
            given: stated.given.clone(),
            source: self.source.as_str().into(),
        })
    }
}
