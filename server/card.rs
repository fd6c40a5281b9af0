//! What the card says, as data.
//!
//! The card is what a customer takes away: the shop, the stamp as read, what each segment means,
//! the measures, the nearest pieces asked for, the section, routes and revisions, cautions,
//! and the address that reopens it. Made of answers, so that no figure on paper differs
//! from the JSON. How it looks is [`crate::paper`].

use std::net::IpAddr;

use schemars::JsonSchema;
use serde::Serialize;

use crate::answer::{
    self, Ask, Figure, ReadingAnswer, SchemeName, TranslateAnswer, TranslationAnswer,
};
use crate::config::Config;
use crate::language;
use crate::load::Day;
use crate::problem::Problem;
use crate::snapshot::Snapshot;

/// The shop that hands out the card.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Shop {
    /// Its name.
    pub name: String,
    /// Its address, line by line.
    pub lines: Vec<String>,
}

impl Shop {
    /// The shop of a configuration; none is named where it names none.
    pub fn of(config: &Config) -> Self {
        let Some(shop) = &config.shop.value else {
            return Self::default();
        };
        Self {
            name: shop.name.clone(),
            lines: shop.address.iter().chain(&shop.lines).cloned().collect(),
        }
    }
}

/// A card.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Card {
    /// Who hands it out.
    pub shop: Shop,
    /// The stamp as typed.
    pub stamp: String,
    /// As read.
    pub reading: ReadingAnswer,
    /// Other readings that the stamp has.
    pub rivals: Vec<String>,
    /// The piece at hand by every method in which it is compared, each once.
    pub ours: Vec<Figure>,
    /// The nearest pieces.
    pub into: Vec<TranslationAnswer>,
    /// The rule behind the verdicts, once.
    pub rule: String,
    /// Where the feel limits come from.
    pub feel_source: String,
    /// How uncertainty is stated, once.
    pub uncertainty: String,
    /// The tables that were used, each with its revision.
    pub tables_used: Vec<SchemeName>,
    /// Schemes that the card was to state the piece in and that are not loaded.
    pub not_loaded: Vec<String>,
    /// SHA-256 of all tables together.
    pub tables: String,
    /// Cautions.
    pub cautions: Vec<String>,
    /// The address that reopens the card.
    pub address: String,
    /// Whether others than this machine reach the address; without that no code for a telephone is printed.
    pub scannable: bool,
    /// The day that the card bears.
    pub date: Day,
}

/// Whether an address leads to this machine wherever it is read, or to none.
fn leads_nowhere(address: &str) -> bool {
    let rest = address.split_once("://").map_or(address, |(_, rest)| rest);
    let host = rest.split(['/', '?']).next().unwrap_or_default();
    let name = match host.strip_prefix('[') {
        Some(inside) => inside.split(']').next().unwrap_or_default(),
        None => host.split(':').next().unwrap_or_default(),
    };
    let of_number = |ip: IpAddr| ip.is_loopback() || ip.is_unspecified();
    name.is_empty() || name.eq_ignore_ascii_case("localhost") || name.parse().is_ok_and(of_number)
}

/// What limits are, where any are shown.
pub const LIMITS: &str = word!(
    "Between, at least, at most: only limits are known, and nothing of where within them it lies. \
Limits have no distribution; the ± of an end is that end's own."
);

/// How uncertainty is stated on every card.
pub const UNCERTAINTY: &str = word!(
    "± is the expanded uncertainty: the true figure is within it with about 95 %. It is the \
standard uncertainty times k. Where k is below 1.85, limits dominate; above 2.08, readings are few."
);

/// The cautions of the trade. Common practice; local rules come first.
pub const CAUTIONS: [&str; 4] = [
    word!("Figures are guidance, not a promise of fit or feel: try before you buy or cut."),
    word!(
        "Turning, drilling and buffing make brass dust and chips that can hold lead: extraction, eye protection, no food near, wash hands."
    ),
    word!("Worn plating or bare nickel can irritate lips and skin. Plating is licensed work."),
    word!(
        "Clean and disinfect before it touches the lips. Local rules and licensed practice come first."
    ),
];

impl Card {
    /// The card of a piece, with what the configuration says where the question does not; reopened under `base`.
    ///
    /// # Errors
    /// As for translating.
    pub fn of(
        snapshot: &Snapshot,
        config: &Config,
        ask: &Ask<'_>,
        base: &str,
        date: Day,
    ) -> Result<Self, Problem> {
        let usual = config.card_into.value.iter().map(String::as_str);
        let (loaded, missing): (Vec<&str>, Vec<&str>) = if ask.into.is_empty() {
            usual.partition(|id| snapshot.target(id).is_some())
        } else {
            (ask.into.clone(), Vec::new())
        };
        let ask = Ask {
            into: loaded,
            ..ask.clone()
        };
        let answer = answer::translate(snapshot, &ask)?;
        let address = answer::card_address(base, &ask);
        let mut card = Self::new(Shop::of(config), answer, address, date);
        card.not_loaded = missing.into_iter().map(str::to_owned).collect();
        Ok(card)
    }

    /// From a translation, for a shop, reopened at `address`, of that day.
    pub fn new(shop: Shop, answer: TranslateAnswer, address: String, date: Day) -> Self {
        let mut tables_used = vec![answer.reading.scheme.clone()];
        tables_used.extend(answer.into.iter().map(|one| one.scheme.clone()));
        Self {
            shop,
            stamp: answer.stamp,
            reading: answer.reading,
            rivals: answer.rivals,
            ours: answer.ours,
            into: answer.into,
            rule: answer.rule,
            feel_source: answer.feel_source,
            uncertainty: language::word(UNCERTAINTY),
            tables_used,
            not_loaded: Vec::new(),
            tables: answer.tables,
            cautions: CAUTIONS.map(language::word).to_vec(),
            scannable: !leads_nowhere(&address),
            address,
            date,
        }
    }
}
