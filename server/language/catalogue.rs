//! The sentences of one language.

use std::collections::BTreeMap;

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
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Catalogue {
    /// Its tag (BCP 47), as `de`.
    pub tag: String,
    /// Its name in itself.
    pub name: String,
    /// What stands between units and tenths.
    pub decimal: char,
    /// Sentences, by the English ones.
    pub messages: BTreeMap<String, String>,
    /// Sentences about a number of things, by the English one for many; each by category.
    pub counted: BTreeMap<String, BTreeMap<String, String>>,
}

impl Catalogue {
    /// The plural categories that whole numbers have in a language; none of a tag that is none.
    pub fn categories(tag: &str) -> Option<Vec<&'static str>> {
        let rules = rules(tag)?;
        let has: Vec<PluralCategory> = rules.categories().collect();
        let in_use = CATEGORIES.iter().filter(|(_, one)| has.contains(one));
        Some(in_use.map(|(word, _)| *word).collect())
    }

    /// Takes over what another catalogue of the same language says.
    pub fn overlay(&mut self, other: Self) {
        self.name = other.name;
        self.decimal = other.decimal;
        self.messages.extend(other.messages);
        self.counted.extend(other.counted);
    }

    /// The form of a sentence for a number of things.
    pub(super) fn form(&self, pattern: &str, count: usize) -> Option<&str> {
        let forms = self.counted.get(pattern)?;
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
