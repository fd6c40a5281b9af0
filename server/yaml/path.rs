//! The way from the top of a file to one value.
//!
//! A path is a chain that shares its beginning with the path it grew from, so
//! growing or cloning one costs the same however deep it is.

use std::fmt;
use std::sync::Arc;

/// `figures.rim.grid.to`, `entries.rows[3][1]`; the empty path is the whole.
///
/// ```
/// use counterbore::yaml::Path;
///
/// let grid = Path::root().key("figures").key("rim").key("grid");
/// assert_eq!(grid.key("among").index(3).to_string(), "figures.rim.grid.among[3]");
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Path(Option<Arc<Link>>);

#[derive(Debug, PartialEq, Eq)]
struct Link {
    before: Path,
    step: Step,
}

/// One step down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Step {
    Key(Box<str>),
    Index(usize),
}

impl Path {
    /// The whole of a file.
    pub fn root() -> Self {
        Self::default()
    }

    /// The value of `key` in the mapping that stands here.
    pub fn key(&self, key: &str) -> Self {
        self.then(Step::Key(key.into()))
    }

    /// The item at `index`, from zero, of the list that stands here.
    pub fn index(&self, index: usize) -> Self {
        self.then(Step::Index(index))
    }

    /// Whether this is the whole of a file.
    pub fn is_root(&self) -> bool {
        self.0.is_none()
    }

    pub(super) fn then(&self, step: Step) -> Self {
        Self(Some(Arc::new(Link {
            before: self.clone(),
            step,
        })))
    }

    /// From the top down.
    pub(super) fn steps(&self) -> Vec<&Step> {
        let mut steps = Vec::new();
        let mut path = self;
        while let Some(link) = &path.0 {
            steps.push(&link.step);
            path = &link.before;
        }
        steps.reverse();
        steps
    }
}

impl fmt::Display for Path {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (depth, step) in self.steps().into_iter().enumerate() {
            match step {
                Step::Index(index) => write!(out, "[{index}]")?,
                Step::Key(key) if depth == 0 => out.write_str(key)?,
                Step::Key(key) => write!(out, ".{key}")?,
            }
        }
        Ok(())
    }
}
