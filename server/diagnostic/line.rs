//! A problem as one line, which editors and terminals can jump to.
//!
//! ```text
//! plugins/tarnbeck.yml:14:17: steps of 12 from 1540 never reach 1715 [grid-end]
//!   mend: write `to: 1708`
//! ```
//!
//! A second place and a hint follow, indented, one line each.

use std::fmt;

use super::{Diagnostic, Severity};

impl fmt::Display for Diagnostic {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let severity = match self.severity {
            Severity::Error => String::new(),
            Severity::Warning => say!("warning: "),
        };
        write!(
            out,
            "{}: {severity}{} [{}]",
            self.place, self.message, self.code
        )?;
        if let Some((place, what)) = &self.also {
            write!(out, "\n  {place}: {what}")?;
        }
        if let Some(hint) = &self.hint {
            write!(out, "\n  {}", say!("mend: {hint}", hint))?;
        }
        Ok(())
    }
}
