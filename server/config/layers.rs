//! What is said of a setting in several places.
//!
//! An option of the command stands over the environment, that over the file,
//! that over the default. What is overridden is read all the same, so that a
//! mistake in the file does not wait for the day on which it counts.

use crate::diagnostic::Diagnostic;

use super::meaning::Wrong;
use super::setting::{Origin, Setting};

/// What is said of one setting, the weakest first.
pub(super) struct Layers<V>(Vec<(V, Origin)>);

impl<V> Layers<V> {
    pub fn new(file: Option<(V, Origin)>) -> Self {
        Self(file.into_iter().collect())
    }

    pub fn environment(self, name: &'static str, value: Option<V>) -> Self {
        self.then(value, Origin::Environment(name))
    }

    pub fn flag(self, name: &'static str, value: Option<V>) -> Self {
        self.then(value, Origin::Flag(name))
    }

    fn then(mut self, value: Option<V>, origin: Origin) -> Self {
        self.0.extend(value.map(|value| (value, origin)));
        self
    }

    /// The strongest that can be read; `faults` gets all that cannot.
    pub fn read<T>(
        self,
        default: T,
        read: impl Fn(V) -> Result<T, Wrong>,
        faults: &mut Vec<Diagnostic>,
    ) -> Setting<T> {
        let mut setting = Setting::default(default);
        for (written, origin) in self.0 {
            match read(written) {
                Ok(value) => setting = Setting { value, origin },
                Err(wrong) => faults.push(wrong.at(origin.place())),
            }
        }
        setting
    }
}
