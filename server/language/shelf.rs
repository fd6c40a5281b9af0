//! The languages that there are, and which of them is meant.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Catalogue, Language};

/// English and all catalogues.
#[derive(Clone, Debug, Default)]
pub struct Languages(BTreeMap<String, Arc<Catalogue>>);

impl Languages {
    /// English and these.
    pub fn new(catalogues: impl IntoIterator<Item = Catalogue>) -> Self {
        let by_tag = |catalogue: Catalogue| (catalogue.tag.to_lowercase(), Arc::new(catalogue));
        Self(catalogues.into_iter().map(by_tag).collect())
    }

    /// All of them, English first.
    pub fn all(&self) -> impl Iterator<Item = Language> {
        let catalogues = self.0.values().cloned().map(Language::of);
        std::iter::once(Language::ENGLISH).chain(catalogues)
    }

    /// Reads the sentences of all, so that no question has to wait for it.
    pub fn prepare(&self) {
        self.0.values().for_each(|catalogue| catalogue.prepare());
    }

    /// The one that a tag means: itself, or what is left of it as its end is cut off subtag
    /// by subtag (RFC 4647, section 3.4). `_` counts as `-`, as in the names of locales.
    pub fn meant(&self, tag: &str) -> Option<Language> {
        let tag = tag.trim().replace('_', "-").to_lowercase();
        let mut rest = tag.as_str();
        loop {
            if rest == "en" {
                return Some(Language::ENGLISH);
            }
            if let Some(catalogue) = self.0.get(rest) {
                return Some(Language::of(catalogue.clone()));
            }
            rest = rest.rsplit_once('-')?.0;
        }
    }

    /// The one that the locale of an environment means, as `de_AT.UTF-8@euro`.
    pub fn of_locale(&self, locale: &str) -> Option<Language> {
        self.meant(locale.split(['.', '@']).next().unwrap_or_default())
    }
}
