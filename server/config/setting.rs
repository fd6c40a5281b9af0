//! A setting, and who set it.

use std::fmt;

use crate::diagnostic::Place;

/// A value that is in force, and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting<T> {
    /// The value.
    pub value: T,
    /// Who set it.
    pub origin: Origin,
}

impl<T> Setting<T> {
    /// What holds where nobody says anything.
    pub(super) fn default(value: T) -> Self {
        Self {
            value,
            origin: Origin::Default,
        }
    }
}

/// Who set a value. Each stands over those after it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// An option of the command, as `--bind`.
    Flag(&'static str),
    /// A variable of the environment, as `COUNTERBORE_BIND`.
    Environment(&'static str),
    /// A place in the configuration file.
    File(Place),
    /// Nobody.
    Default,
}

impl fmt::Display for Origin {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flag(name) | Self::Environment(name) => out.write_str(name),
            Self::File(place) => place.fmt(out),
            Self::Default => out.write_str("default"),
        }
    }
}

impl Origin {
    /// Where a fault of the value is.
    pub(super) fn place(&self) -> Place {
        match self {
            Self::File(place) => place.clone(),
            other => Place::whole(other.to_string()),
        }
    }
}

/// One line of the list of settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Effective {
    /// The key, as in `config.yml`.
    pub key: &'static str,
    /// The value, as a person would write it.
    pub value: String,
    /// Who set it.
    pub origin: Origin,
}
