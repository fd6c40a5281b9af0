//! How the counter is set up, for people: each setting with what it changes and who set it.
//!
//! Nothing can be set here. What stands before an `@` in an address may be a secret and never leaves.

use schemars::JsonSchema;
use serde::Serialize;

use super::figure::method_text;
use crate::config::{Config, Effective, Origin};
use crate::language::{number, word};
use crate::method::Quantity;
use crate::snapshot::Snapshot;
use crate::unit::Dimension;

/// All settings.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SettingsAnswer {
    /// The configuration file; none where none was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Setting by setting.
    pub settings: Vec<SettingAnswer>,
}

/// One setting.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SettingAnswer {
    /// Its key in `config.yml`, or what it is called where it has none.
    pub key: String,
    /// Its value, without credentials.
    pub value: String,
    /// What it changes.
    pub changes: String,
    /// Who set it: default, file, environment, flag, tables or page.
    pub origin: String,
    /// Where: file and line, variable or option; none for a default.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// How it is changed.
    pub mend: String,
}

/// What is said of a key: what it changes, and the variable and the option that say it too.
struct Known {
    key: &'static str,
    changes: &'static str,
    variable: &'static str,
    option: &'static str,
}

const fn known(
    key: &'static str,
    changes: &'static str,
    variable: &'static str,
    option: &'static str,
) -> Known {
    Known {
        key,
        changes,
        variable,
        option,
    }
}

const KNOWN: &[Known] = &[
    known(
        "config",
        word!("which file the settings are read from"),
        "COUNTERBORE_CONFIG",
        "--config",
    ),
    known(
        "bind",
        word!("at which address and port the counter listens, and so who can reach it"),
        "COUNTERBORE_BIND",
        "--bind",
    ),
    known(
        "plugins",
        word!("from which folders the schemes come"),
        "COUNTERBORE_PLUGINS",
        "--plugins",
    ),
    known(
        "tables",
        word!("from which folder methods, contours, drills and languages come"),
        "COUNTERBORE_TABLES",
        "--tables",
    ),
    known(
        "language",
        word!("in which language people are spoken to; auto lets each browser choose"),
        "COUNTERBORE_LANGUAGE",
        "--language",
    ),
    known("shop", word!("whose name stands on cards"), "", ""),
    known(
        "shop.address",
        word!("the address of the shop on cards"),
        "",
        "",
    ),
    known("shop.lines", word!("lines at the foot of cards"), "", ""),
    known("shop.logo", word!("the shop's sign on cards"), "", ""),
    known(
        "card.into",
        word!("in which schemes cards state a piece where nobody says"),
        "",
        "",
    ),
    known(
        "card.paper",
        word!("on which paper cards are printed where nobody says"),
        "",
        "",
    ),
    known(
        "templates",
        word!("from which folder the layouts of cards and wall charts come"),
        "COUNTERBORE_TEMPLATES",
        "",
    ),
    known(
        "feel",
        word!("up to which difference pieces count as the same and as near, and so all verdicts"),
        "",
        "",
    ),
    known(
        "shelf",
        word!("which plug-ins `counterbore pull` brings from elsewhere"),
        "",
        "",
    ),
    known(
        "shelf_limits",
        word!("how large a plug-in that is brought may be, and how long it may take"),
        "",
        "",
    ),
    known(
        "plugin_limits",
        word!("how large a plug-in file may be"),
        "",
        "",
    ),
    known(
        "allowed_hosts",
        word!("by which further names browsers may call this server"),
        "COUNTERBORE_ALLOWED_HOSTS",
        "",
    ),
    known(
        "log.level",
        word!("how much is written to the log"),
        "COUNTERBORE_LOG_LEVEL",
        "--log-level",
    ),
    known(
        "log.format",
        word!("whether people or programs read the log"),
        "COUNTERBORE_LOG_FORMAT",
        "--log-format",
    ),
    known(
        "public_address",
        word!("what cards and their codes lead to"),
        "COUNTERBORE_PUBLIC_ADDRESS",
        "--public-address",
    ),
];

/// All settings in force.
pub fn settings(config: &Config, snapshot: &Snapshot) -> SettingsAnswer {
    let mut settings: Vec<SettingAnswer> = Vec::new();
    for one in config.effective() {
        settings.push(setting(&one));
        match one.key {
            "shop" => settings.extend(of_shop(config)),
            "feel" => settings.extend(limits(snapshot, &one.origin)),
            _ => {}
        }
    }
    settings.push(units());
    settings.extend(reference_methods(snapshot));
    let file = config.file.value.as_ref();
    SettingsAnswer {
        file: file.map(|file| file.display().to_string()),
        settings,
    }
}

fn setting(one: &Effective) -> SettingAnswer {
    let known = KNOWN.iter().find(|known| known.key == one.key);
    let (origin, place) = origin(&one.origin);
    SettingAnswer {
        key: one.key.to_owned(),
        value: without_credentials(&one.value),
        changes: known.map_or_else(String::new, |known| word(known.changes)),
        origin: origin.to_owned(),
        place,
        mend: known.map_or_else(String::new, mend),
    }
}

fn origin(origin: &Origin) -> (&'static str, Option<String>) {
    match origin {
        Origin::Flag(name) => (word!("flag"), Some((*name).to_owned())),
        Origin::Environment(name) => (word!("environment"), Some((*name).to_owned())),
        Origin::File(place) => (word!("file"), Some(place.to_string())),
        Origin::Default => (word!("default"), None),
    }
}

fn mend(known: &Known) -> String {
    let key = known.key;
    match (known.variable, known.option) {
        ("", _) => say!("write `{key}` in config.yml", key),
        (variable, "") => say!(
            "write `{key}` in config.yml, or set {variable}",
            key,
            variable
        ),
        (variable, option) if key == "config" => {
            say!("set {variable} or {option}", variable, option)
        }
        (variable, option) => say!(
            "write `{key}` in config.yml, or set {variable} or {option}",
            key,
            variable,
            option
        ),
    }
}

fn of_shop(config: &Config) -> Vec<SettingAnswer> {
    let Some(shop) = &config.shop.value else {
        return Vec::new();
    };
    let row = |key, value| {
        setting(&Effective {
            key,
            value,
            origin: config.shop.origin.clone(),
        })
    };
    let address = shop
        .address
        .clone()
        .map(|address| row("shop.address", address));
    let lines = (!shop.lines.is_empty()).then(|| row("shop.lines", shop.lines.join("; ")));
    let logo = shop.logo.as_ref();
    let logo = logo.map(|file| row("shop.logo", file.display().to_string()));
    address.into_iter().chain(lines).chain(logo).collect()
}

/// The feel limits of what any scheme here names.
fn limits(snapshot: &Snapshot, from: &Origin) -> Vec<SettingAnswer> {
    let figures = snapshot.schemes.iter().flat_map(|one| &one.figures);
    let named: Vec<Quantity> = figures.map(|one| one.method.quantity()).collect();
    let named = Quantity::ALL.into_iter().filter(|one| named.contains(one));
    named
        .map(|quantity| limit(snapshot, quantity, from))
        .collect()
}

fn limit(snapshot: &Snapshot, quantity: Quantity, from: &Origin) -> SettingAnswer {
    let limit = snapshot.feel.limit(quantity);
    let scale = match quantity.dimension() {
        Dimension::Volume => 1000.0,
        _ => 1.0,
    };
    let unit = quantity.dimension().shown_unit().symbol;
    let amount = |value: f64| format!("{} {unit}", number((value / scale).to_string()));
    let (origin, place) = origin(from);
    SettingAnswer {
        key: format!("feel.{quantity}"),
        value: say!(
            "the same up to {same}, near up to {near}, weight {weight}",
            same = amount(limit.same),
            near = amount(limit.near),
            weight = number(limit.weight.to_string())
        ),
        changes: say!(
            "what of {quantity} cannot be felt, and how much it counts",
            quantity = word(quantity.name())
        ),
        origin: origin.to_owned(),
        place,
        mend: say!("write `{key}` in config.yml", key = "feel"),
    }
}

fn units() -> SettingAnswer {
    SettingAnswer {
        key: "units".into(),
        value: word("both"),
        changes: say!("whether lengths stand in millimetres, inches or both"),
        origin: word!("page").to_owned(),
        place: None,
        mend: say!("by the switch on each page; the address keeps it, as `units=mm`"),
    }
}

/// By which method each quantity stands in the neutral frame.
fn reference_methods(snapshot: &Snapshot) -> Vec<SettingAnswer> {
    let methods = &snapshot.tables.methods;
    let neutral = |quantity: Quantity| {
        let method = methods.neutral(quantity)?;
        Some(SettingAnswer {
            key: format!("neutral.{quantity}"),
            value: method_text(&method),
            changes: say!(
                "by which method {quantity} stands in the neutral frame",
                quantity = word(quantity.name())
            ),
            origin: word!("tables").to_owned(),
            place: Some("methods.yml".to_owned()),
            mend: say!(
                "write `neutral: true` at another row of methods.yml in the folder of `tables`"
            ),
        })
    };
    Quantity::ALL.into_iter().filter_map(neutral).collect()
}

/// Addresses without what stands before their `@`.
fn without_credentials(text: &str) -> String {
    let mut kept = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("://") {
        kept.push_str(before);
        kept.push_str("://");
        let end = after
            .find(|sign: char| matches!(sign, '/' | '?' | '#' | ',' | ']') || sign.is_whitespace())
            .unwrap_or(after.len());
        rest = match after[..end].rfind('@') {
            Some(at) => &after[at + 1..],
            None => after,
        };
    }
    kept + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn credentials_never_leave() {
        for (text, expected) in [
            ("postgres://anna:s3:cret@host/db", "postgres://host/db"),
            ("[https://a:b@x/y, http://c@d]", "[https://x/y, http://d]"),
            ("https://x/y@z", "https://x/y@z"),
            ("127.0.0.1:8017", "127.0.0.1:8017"),
        ] {
            assert_eq!(without_credentials(text), expected);
        }
    }
}
