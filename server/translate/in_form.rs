//! The piece at hand in the forms of a target.
//!
//! In a form it measures what ours does, by its gauges where nothing else is known of it, else by the methods
//! of comparison, and takes the rest from the form. Ranking asks for plain numbers only, and there are
//! many forms: doubt and routes are made for the one of which something is shown.

use std::cell::OnceCell;

use super::search::{Carrier, span};
use crate::method::Method;
use crate::profile::Shape;
use crate::route::{Piece, Reading, size};
use crate::unit::Span;

/// The piece at hand in one form.
#[derive(Default)]
pub(super) struct Form {
    /// As plain numbers; none where they take doubt into account, or make no metal.
    size: OnceCell<Option<Shape>>,
    piece: OnceCell<Option<Piece>>,
}

impl Carrier<'_> {
    /// The piece in a form of the target. None where that form is not known.
    pub fn in_form(&self, form: usize) -> Option<&Piece> {
        let made = || {
            let contour = self.target.table().forms[form].clone()?;
            let piece = Piece::new(self.stated.clone(), Some(contour), &[]);
            Some(piece.with_limits(self.limited.clone()))
        };
        self.forms[form].piece.get_or_init(made).as_ref()
    }

    /// All that `method` may read on [`Carrier::in_form`], as plain numbers.
    pub fn span_in(&self, form: usize, method: &Method) -> Option<Span> {
        if let Some(stated) = self.stated.iter().find(|one| one.method == *method) {
            return Some(Span::at(stated.estimate.value()));
        }
        match self.size_in(form) {
            Some(size) if self.limited.is_empty() => size.read(method).map(Span::at),
            size => match size.and_then(|size| size.read(method)) {
                Some(number) => Some(Span::at(number)),
                None => span(&self.in_form(form)?.known(method)),
            },
        }
    }

    fn size_in(&self, form: usize) -> Option<&Shape> {
        let solved = || {
            let contour = self.target.table().forms[form].as_ref()?;
            let stated = self.stated.iter();
            let readings: Vec<Reading<'_>> =
                stated.map(|one| (&one.method, &one.estimate)).collect();
            size(&readings, contour)
        };
        self.forms[form].size.get_or_init(solved).as_ref()
    }
}
