//! The sentences of one language.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::LazyLock;

use icu_locale_core::Locale;
use icu_plurals::{PluralCategory, PluralRules};

/// The plural categories of the CLDR, by the words that a catalogue has for them.
const CATEGORIES: [(&str, PluralCategory); 6] = [
    ("zero", PluralCategory::Zero),
    ("one", PluralCategory::One),
    ("two", PluralCategory::Two),
    ("few", PluralCategory::Few),
    ("many", PluralCategory::Many),
    ("other", PluralCategory::Other),
];

/// One language beside English.
pub struct Catalogue {
    /// Its tag (BCP 47), as `de`.
    pub tag: String,
    /// Its name in itself.
    pub name: String,
    /// What stands between units and tenths.
    pub decimal: char,
    /// What it says: read when the first person is spoken to in it, or by [`Catalogue::prepare`].
    sentences: LazyLock<Sentences, Reading>,
}

type Reading = Box<dyn FnOnce() -> Sentences + Send + Sync>;

/// The sentences of a language.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sentences {
    /// By the English ones.
    pub messages: BTreeMap<String, String>,
    /// Those about a number of things, by the English one for many; each by category.
    pub counted: BTreeMap<String, BTreeMap<String, String>>,
    /// Long words, each with itself as it may be broken, soft hyphens (U+00AD) within.
    pub breaks: BTreeMap<String, String>,
}

impl Sentences {
    /// Takes over what others of the same language say.
    pub fn overlay(&mut self, other: Self) {
        self.messages.extend(other.messages);
        self.counted.extend(other.counted);
        self.breaks.extend(other.breaks);
    }
}

impl fmt::Debug for Catalogue {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.tag)
    }
}

impl Catalogue {
    /// The plural categories that whole numbers have in a language; none of a tag that is none.
    pub fn categories(tag: &str) -> Option<Vec<&'static str>> {
        let rules = rules(tag)?;
        let has: Vec<PluralCategory> = rules.categories().collect();
        let in_use = CATEGORIES.iter().filter(|(_, one)| has.contains(one));
        Some(in_use.map(|(word, _)| *word).collect())
    }

    /// A language whose sentences are read later.
    pub fn new(
        tag: String,
        name: String,
        decimal: char,
        read: impl FnOnce() -> Sentences + Send + Sync + 'static,
    ) -> Self {
        Self {
            tag,
            name,
            decimal,
            sentences: LazyLock::new(Box::new(read)),
        }
    }

    /// Reads the sentences, so that no question has to wait for it.
    pub fn prepare(&self) {
        LazyLock::force(&self.sentences);
    }

    /// What it says.
    pub(super) fn sentences(&self) -> &Sentences {
        &self.sentences
    }

    /// The form of a sentence for a number of things.
    pub(super) fn form(&self, pattern: &str, count: usize) -> Option<&str> {
        let forms = self.sentences.counted.get(pattern)?;
        let category = rules(&self.tag)?.category_for(count);
        let (word, _) = CATEGORIES.iter().find(|(_, one)| *one == category)?;
        let form = forms.get(*word).or_else(|| forms.get("other"));
        form.map(String::as_str)
    }
}

/// Read from the tables in the program each time: they are not made for several threads, and
/// finding the rules of a language costs less than the sentence.
fn rules(tag: &str) -> Option<PluralRules> {
    let locale: Locale = tag.parse().ok()?;
    PluralRules::try_new_cardinal((&locale).into()).ok()
}
