//! What people read, in their language.
//!
//! 1. Every sentence of the sources and pages is in every catalogue in the program, with the same
//!    names in braces, and no catalogue has one that nothing says.
//! 2. Number, plural form and language in force are right, and end where the work ends.
//! 3. A further language is one file; a shop's file stands over the one in the program, and one that is
//!    broken changes nothing and says where.
//! 4. Address, configuration, browser, English: in this order, and the address keeps it.
//! 5. Programs are answered in English with a point, whatever a browser would ask for.
//! 6. No page in German has an English sentence left but those of plug-ins; faults that were found in
//!    English are read in German; the card fits rolls of 32, 42 and 48 columns, commas aligned.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use counterbore::answer::{self, Ask};
use counterbore::card::{Card, Shop as CardShop};
use counterbore::config::Flags;
use counterbore::language::{
    Catalogue, Language, Languages, Sentences, breakable, filled, names, number, within, word,
};
use counterbore::paper;
use counterbore::yaml::Limits;
use counterbore::{load, say, say_count};
use reqwest::header::{CONTENT_LANGUAGE, ETAG, LOCATION, VARY};

use crate::card::DAY;
use crate::shop::Shop;
use crate::web::Server;

/// What is said somewhere: sentences, and sentences about a number of things.
#[derive(Default)]
struct Said {
    messages: BTreeSet<String>,
    counted: BTreeSet<String>,
}

fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|one| one == ending) {
                found.push(path);
            }
        }
    }
    found
}

/// The literal that begins here, and what follows it.
fn literal(text: &str) -> Option<(String, &str)> {
    let mut rest = text.trim_start().strip_prefix('"')?;
    let mut read = String::new();
    loop {
        let sign = rest.chars().next()?;
        rest = &rest[sign.len_utf8()..];
        match sign {
            '"' => return Some((read, rest)),
            '\\' if rest.starts_with('\n') => rest = rest.trim_start(),
            '\\' => {
                let escaped = rest.chars().next()?;
                assert!(matches!(escaped, '"' | '\\'), "write it out: {text:.60}");
                read.push(escaped);
                rest = &rest[1..];
            }
            other => read.push(other),
        }
    }
}

fn harvest() -> Said {
    let mut said = Said::default();
    for path in files("server", "rs") {
        let text = fs::read_to_string(path).unwrap();
        let code: Vec<&str> = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
            .collect();
        let code = code.join("\n");
        for mark in ["say!(", "sentence!(", "word!("] {
            for (at, _) in code.match_indices(mark) {
                said.messages
                    .extend(literal(&code[at + mark.len()..]).map(|(key, _)| key));
            }
        }
        for (at, mark) in code.match_indices("say_count!(") {
            let Some((_, after)) = code[at + mark.len()..].split_once(',') else {
                continue;
            };
            let second = literal(after).and_then(|(_, rest)| literal(rest.strip_prefix(',')?));
            said.counted.extend(second.map(|(key, _)| key));
        }
    }
    for path in files("server/web/pages", "html") {
        let text = fs::read_to_string(path).unwrap();
        for (at, mark) in text.match_indices("say(") {
            let (key, rest) = literal(&text[at + mark.len()..]).unwrap();
            let counted = rest.trim_start_matches([',', ' ']).starts_with("one=");
            if counted {
                said.counted.insert(key);
            } else {
                said.messages.insert(key);
            }
        }
    }
    said.messages.extend(method_names());
    said
}

/// Words and sentences of the built-in table of methods.
fn method_names() -> Vec<String> {
    let tables = load::tables(&load::Folder::BuiltIn).unwrap();
    let rows = tables.tables.methods.rows().to_vec();
    let names = rows.iter().map(|row| row.name.clone());
    names
        .chain(rows.iter().map(|row| row.says.clone()))
        .collect()
}

fn built_in() -> Languages {
    let loaded = load::languages(&load::Folder::BuiltIn);
    assert_eq!(loaded.faults, []);
    loaded.languages
}

/// Those in the program are read late, so that nobody would be told of their faults.
#[test]
fn catalogues_in_the_program_are_good() {
    let tables = load::tables(&load::Folder::BuiltIn).unwrap();
    for path in files("tables/language", "yml") {
        let text = fs::read(&path).unwrap();
        let name = path.strip_prefix(env!("CARGO_MANIFEST_DIR")).unwrap();
        let faults = load::faults(name.to_str().unwrap(), &text, &tables.tables, Limits::TABLE);
        assert_eq!(faults, []);
    }
}

fn german() -> Language {
    built_in().meant("de").unwrap()
}

#[test]
fn catalogues_have_what_is_said_and_nothing_else() {
    let said = harvest();
    assert!(said.messages.len() > 150, "{}", said.messages.len());
    for language in built_in().all().filter(|one| one.tag() != "en") {
        for (said, has) in [&said.messages, &said.counted]
            .into_iter()
            .zip(language.keys())
        {
            let has: BTreeSet<&str> = has.into_iter().collect();
            let said: BTreeSet<&str> = said.iter().map(String::as_str).collect();
            let (tag, lacks, unsaid) = (language.tag(), &said - &has, &has - &said);
            assert!(lacks.is_empty(), "{tag} lacks {lacks:#?}");
            assert!(
                unsaid.is_empty(),
                "{tag} has what nothing says: {unsaid:#?}"
            );
        }
    }
}

#[test]
fn a_sentence_is_said_in_the_language_in_force_and_no_longer() {
    let size = "0.4 mm";
    let said = || {
        say!(
            "{direction} by {size}",
            direction = word("deeper"),
            size = number(size)
        )
    };
    assert_eq!(said(), "deeper by 0.4 mm");
    assert_eq!(within(&german(), said), "um 0,4 mm tiefer");
    let broken = std::panic::catch_unwind(|| within(&german(), || panic!("on purpose")));
    assert!(broken.is_err());
    assert_eq!(said(), "deeper by 0.4 mm");
    within(&german(), || {
        assert_eq!(within(&Language::ENGLISH, said), "deeper by 0.4 mm");
        assert_eq!(
            say!("said by no catalogue, {size}", size),
            "said by no catalogue, 0.4 mm"
        );
    });
}

/// Polish has four categories for whole numbers in CLDR: one, few, many and other, which only fractions take.
#[test]
fn a_number_of_things_takes_the_form_of_its_language() {
    let rows = |count: usize| say_count!(count, "one row", "{count} rows");
    assert_eq!([0, 1, 2].map(rows), ["0 rows", "one row", "2 rows"]);
    assert_eq!(Catalogue::categories("de").unwrap(), ["one", "other"]);
    assert_eq!(
        Catalogue::categories("pl").unwrap(),
        ["one", "few", "many", "other"]
    );
    let forms = [
        "one wiersz",
        "few {count} wiersze",
        "many {count} wierszy",
        "other {count} wiersza",
    ];
    let forms = forms.map(|form| form.split_once(' ').unwrap());
    let forms: BTreeMap<String, String> = forms.map(|(a, b)| (a.into(), b.into())).into();
    let sentences = Sentences {
        counted: BTreeMap::from([("{count} rows".to_owned(), forms)]),
        ..Sentences::default()
    };
    let polish = Catalogue::new("pl".into(), "polski".into(), ',', || sentences);
    let polish = Languages::new([polish]);
    let polish = polish.meant("pl-PL").unwrap();
    let said = within(&polish, || [1, 3, 5, 22, 112].map(rows));
    assert_eq!(
        said,
        [
            "wiersz",
            "3 wiersze",
            "5 wierszy",
            "22 wiersze",
            "112 wierszy"
        ]
    );
}

#[test]
fn long_words_are_broken_where_the_catalogue_says_and_nowhere_in_plain_text() {
    let [said, narrow] = within(&german(), || {
        let said = word("throat diameter");
        [said.clone(), breakable(&said)]
    });
    assert_eq!(said, "Bohrungsdurchmesser");
    assert_eq!(narrow, "Bohrungs\u{ad}durch\u{ad}messer");
    assert_eq!(breakable(&said), said, "English breaks nothing");
}

#[test]
fn names_in_braces_are_told_from_braces() {
    assert_eq!(names("{b} of {a}, {b}"), ["a", "b"]);
    assert_eq!(names("{{a}} {} {A} {1} {a"), [""; 0]);
    let said = within(&german(), || say!("{{ü}} {name} }} {{", name = "ö"));
    assert_eq!(said, "{ü} ö } {");
    assert_eq!(filled("{{ü}} {} {a {ü", &[]), "{ü} {} {a {ü");
}

/// RFC 4647, section 3.4, has the example of a range that is cut off from its end.
#[test]
fn a_tag_means_the_nearest_language_that_there_is() {
    let languages = built_in();
    let meant = |tag: &str| languages.meant(tag).map(|one| one.tag().to_owned());
    for (tag, expected) in [
        ("de", Some("de")),
        ("DE-at-1996", Some("de")),
        ("de_CH", Some("de")),
        ("en-GB", Some("en")),
        ("zh-Hant-CN", None),
        ("d", None),
        ("deutsch", None),
        ("", None),
    ] {
        assert_eq!(meant(tag).as_deref(), expected, "{tag}");
    }
    let locale = |text: &str| languages.of_locale(text).map(|one| one.tag().to_owned());
    assert_eq!(locale("de_AT.UTF-8@euro").as_deref(), Some("de"));
    assert_eq!(locale("C.UTF-8"), None);
}

/// A catalogue beside a shop's own tables.
fn shop_with(file: &str, text: &str) -> Shop {
    let shop = Shop::new();
    for table in files("tables", "yml") {
        let here = table
            .parent()
            .is_some_and(|folder| folder.ends_with("tables"));
        if here {
            fs::create_dir_all(shop.path("tables")).unwrap();
            let name = table.file_name().unwrap().to_str().unwrap();
            shop.write(
                &format!("tables/{name}"),
                &fs::read_to_string(&table).unwrap(),
            );
        }
    }
    fs::create_dir(shop.path("tables/language")).unwrap();
    shop.write(&format!("tables/language/{file}"), text);
    shop.write("config.yml", "plugins: [plugins]\ntables: tables\n");
    shop
}

#[test]
fn a_further_language_is_one_file_and_a_shop_has_the_last_word() {
    let french = "language: français\ndecimal: \",\"\nmessages:\n  \"deeper\": plus profond\n";
    let snapshot = shop_with("fr.yml", french).snapshot();
    let tags: Vec<String> = snapshot
        .languages
        .all()
        .map(|one| one.tag().to_owned())
        .collect();
    assert_eq!(tags, ["en", "de", "fr"]);
    let french = snapshot.languages.meant("fr").unwrap();
    assert_eq!(
        within(&french, || [word("deeper"), word("tighter")]),
        ["plus profond", "tighter"]
    );
    let ours = "language: Deutsch\ndecimal: \",\"\nmessages:\n  \"deeper\": tiafa\n";
    let snapshot = shop_with("de.yml", ours).snapshot();
    let german = snapshot.languages.meant("de").unwrap();
    assert_eq!(
        within(&german, || [word("deeper"), word("tighter")]),
        ["tiafa", "enger"]
    );
}

#[test]
fn a_broken_catalogue_is_left_out_and_says_where() {
    let text = "language: Deutsch\ndecimal: comma\nmessages:\n  \"{direction} by {size}\": um {sice} {direction}\n\
                counted:\n  \"{count} rows\": {one: eine Zeile, few: x}\n";
    let shop = shop_with("de.yml", text);
    let snapshot = shop.snapshot();
    let faults: Vec<String> = snapshot
        .faults
        .iter()
        .map(|fault| format!("{}:{} {}", fault.place.line, fault.place.column, fault.code))
        .collect();
    assert_eq!(
        faults,
        [
            "2:10 not-a-decimal-sign",
            "4:28 names-differ",
            "6:3 plural-forms"
        ]
    );
    let german = snapshot.languages.meant("de").unwrap();
    assert_eq!(within(&german, || word("deeper")), "tiefer");
    let before = snapshot.state();
    shop.write(
        "tables/language/de.yml",
        "language: Deutsch\ndecimal: \",\"\nmessages: {}\n",
    );
    let renewed = snapshot.renewed(&shop.config());
    assert!(
        renewed.faults.is_empty() && renewed.state() != before && renewed.hash == snapshot.hash
    );
}

#[test]
fn a_language_without_a_catalogue_is_a_fault_of_the_configuration() {
    let shop = Shop::new();
    shop.write("config.yml", "language: tlh\n");
    let faults = counterbore::snapshot::Snapshot::load(&shop.config()).unwrap_err();
    assert_eq!(faults[0].code, "no-language");
    shop.write("config.yml", "language: de/at\n");
    assert_eq!(
        shop.try_config(&Flags::default()).unwrap_err()[0].code,
        "not-a-language"
    );
}

/// Pages as a person may find them, with all that they can say.
const PAGES: [&str; 15] = [
    "/",
    "/?q=BR+1576-110&gauge=rim+inner+diameter%40seam%3D16%2C1+mm",
    "/?q=BR+1576-110&wish=cup+depth:less+0.8+mm&wish=rim+inner+diameter:more",
    "/?q=BR+1576-110&wish=cup+depth:huge",
    "/?q=BR+15%3F6*",
    "/?q=BR+1577-110",
    "/?q=zzz",
    "/compare?piece=BR+1576-110&piece=osmark+lark&piece=zzz",
    "/chart?scheme=brindlow&scheme=osmark",
    "/chart?measure=cup+depth",
    "/schemes",
    "/schemes/brindlow?q=BR+1576-110",
    "/schemes/osmark",
    "/help",
    "/nothing-there",
];

/// What a person sees or hears of a page: its text but for code and keys, and what stands in for pictures.
fn read_out(page: &str) -> String {
    let body = page.split_once("<body>").map_or(page, |(_, body)| body);
    let mut text = String::new();
    let mut rest = body;
    while let Some((before, after)) = rest.split_once('<') {
        text += before;
        let (tag, after) = after.split_once('>').unwrap_or((after, ""));
        for said in ["aria-label=\"", "placeholder=\"", "data-says=\""] {
            let value = tag
                .split_once(said)
                .and_then(|(_, value)| value.split('"').next());
            text += &format!(" | {}", value.unwrap_or_default());
        }
        text += " ";
        let skipped = ["code", "kbd"].into_iter().find(|name| {
            tag.strip_prefix(name)
                .is_some_and(|more| more.is_empty() || more.starts_with(' '))
        });
        rest = match skipped {
            Some(name) => after
                .split_once(&format!("</{name}>"))
                .map_or("", |(_, after)| after),
            None => after,
        };
    }
    let plain = [
        ("&#x27;", "'"),
        ("&#39;", "'"),
        ("&quot;", "\""),
        ("&#x2f;", "/"),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&amp;", "&"),
    ];
    plain
        .iter()
        .fold(text + rest, |text, (code, sign)| text.replace(code, sign))
}

/// Stretches of three words or more of an English sentence, and whole ones of two, that its German does not have.
fn traits(key: &str, german: &Language) -> Vec<String> {
    let translated = within(german, || counterbore::language::sentence(key));
    let mut parts = Vec::new();
    let mut rest = key;
    loop {
        let (part, after) = rest.split_once('{').unwrap_or((rest, ""));
        let words = part.split_whitespace().count();
        if words > 2 || (words == 2 && part == key) {
            parts.push(part.trim().to_owned());
        }
        match after.split_once('}') {
            Some((_, after)) => rest = after,
            None => break,
        }
    }
    parts.retain(|part| !translated.contains(part.as_str()));
    parts
}

#[test]
fn no_english_sentence_is_left_on_a_page_in_german() {
    let server = Server::start();
    let (said, german) = (harvest(), german());
    let traits: Vec<String> = said
        .messages
        .iter()
        .flat_map(|key| traits(key, &german))
        .collect();
    assert!(traits.len() > 600, "{}", traits.len());
    for page in PAGES {
        let joint = if page.contains('?') { '&' } else { '?' };
        let reply = server.get(&format!("{page}{joint}language=de"));
        let text = read_out(&reply.text());
        // What is to be typed stands between backticks.
        let text: String = text.split('`').step_by(2).collect::<Vec<_>>().join(" ");
        // What plug-ins say is in their makers' words.
        let left: Vec<&String> = traits
            .iter()
            .filter(|one| text.contains(one.as_str()) && one.as_str() != "the edge of the series")
            .collect();
        assert!(left.is_empty(), "{page}: {left:?}");
    }
}

#[test]
fn the_card_in_german_fits_narrow_rolls_and_aligns_on_the_comma() {
    let shop = Shop::new();
    shop.write("config.yml", "plugins: [built in]\n");
    let snapshot = shop.snapshot();
    let ask = Ask {
        stamp: &first_stamp(&snapshot),
        into: vec!["all"],
        reading: 1,
        limit: 1,
    };
    for columns in [32, 42, 48] {
        let text = within(&german(), || {
            let answer = answer::translate(&snapshot, &ask).unwrap();
            let card = Card::new(
                CardShop::default(),
                answer,
                "http://counter.local/card".into(),
                DAY,
            );
            paper::text::text(&card, columns)
        });
        let wide: Vec<&str> = text
            .lines()
            .filter(|line| line.chars().count() > columns)
            .collect();
        assert!(wide.is_empty(), "{columns}: {wide:#?}");
        assert!(
            text.contains("URTEILE") && text.contains("VORSICHT"),
            "{text}"
        );
        let amount = |line: &&str| {
            line.ends_with(" mm") && line.contains(" \u{b1} ") && line.starts_with("   ")
        };
        let measures = text.split("MASSE").nth(1).unwrap();
        let measures = measures.split("SCHNITT").next().unwrap();
        let commas: BTreeSet<Option<usize>> = measures
            .lines()
            .filter(amount)
            .filter_map(|line| line.split_once(" \u{b1} "))
            .map(|(value, _)| value.chars().collect::<Vec<_>>())
            .map(|value| value.iter().rposition(|sign| *sign == ','))
            .collect();
        assert!(
            commas.len() <= 1 && !commas.contains(&None),
            "{columns}: {commas:?}\n{text}"
        );
    }
}

/// An example of the first scheme.
fn first_stamp(snapshot: &counterbore::snapshot::Snapshot) -> String {
    snapshot.schemes[0].examples[0].stamp.clone()
}

#[test]
fn faults_and_problems_are_said_when_they_are_read() {
    let text = b"scheme: a\ntitle: A\nserves: [kazoo]\n";
    let tables = load::tables(&load::Folder::BuiltIn).unwrap();
    let faults = load::faults("a.yml", text, &tables.tables, Limits::PLUGIN);
    let said = || {
        faults
            .iter()
            .map(|one| one.message.to_string())
            .collect::<Vec<_>>()
    };
    let (english, german) = (said(), within(&german(), said));
    assert!(
        english
            .iter()
            .any(|one| one.contains("the key `revision` is missing")),
        "{english:?}"
    );
    assert!(
        german
            .iter()
            .any(|one| one.contains("der Schl\u{fc}ssel `revision` fehlt")),
        "{german:?}"
    );
    let server = Server::configured("language: de\n");
    let wrong = server.get("/api/v1/decode?stamp=zzz").json();
    assert!(
        wrong["detail"]
            .as_str()
            .unwrap()
            .contains("no scheme here reads"),
        "{wrong}"
    );
    let wrong = server.get("/compare?piece=zzz&piece=yyy").text();
    assert!(wrong.contains("kein System hier liest"), "{wrong}");
}

const STAMP: &str = "/?q=BR+1576-110";

#[test]
fn address_configuration_browser_english_in_this_order() {
    let server = Server::configured("language: auto\n");
    let tag = |path: &str, accepts: &str| {
        let reply = server.get_in(accepts, path);
        assert_eq!(reply.header(VARY), "Accept-Language");
        let tag = reply.header(CONTENT_LANGUAGE).to_owned();
        assert!(
            reply.text().contains(&format!("<html lang=\"{tag}\">")),
            "{path} {accepts}"
        );
        tag
    };
    for (accepts, expected) in [
        ("de", "de"),
        ("de-AT, en;q=0.5", "de"),
        ("fr, en;q=0.3, de;q=0.8", "de"),
        ("de;q=0, en", "en"),
        ("fr", "en"),
        ("*", "en"),
        ("en, de", "en"),
        (";;q=x", "en"),
        ("", "en"),
    ] {
        assert_eq!(tag(STAMP, accepts), expected, "{accepts}");
    }
    assert_eq!(tag("/?q=BR+1576-110&language=en", "de"), "en");
    assert_eq!(tag("/nothing-there?language=de", "en"), "de");
    let set = Server::configured("language: de\n");
    let reply = set.get_in("en", STAMP);
    assert_eq!(reply.header(CONTENT_LANGUAGE), "de");
    let unknown = server.get("/?language=tlh");
    assert_eq!(unknown.status, 400);
    assert!(unknown.text().contains("there are: en, de"));
}

#[test]
fn the_address_keeps_the_language_wherever_it_leads() {
    let server = Server::configured("");
    let page = server.get("/?q=BR+1576-110&language=de").text();
    let addresses: Vec<&str> = page
        .split(" href=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect();
    let ours = addresses
        .iter()
        .filter(|one| one.starts_with('/') && !one.starts_with("/assets/"));
    let ours: Vec<&&str> = ours.collect();
    assert!(ours.len() > 20, "{ours:?}");
    let english = "/?q=BR+1576-110&amp;language=en";
    assert!(page.contains(english), "{ours:?}");
    for address in ours.into_iter().filter(|one| **one != english) {
        assert!(address.contains("language=de"), "{address}");
    }
    assert!(page.contains("href=\"/gauge?q=BR+1576-110&amp;language=de\""));
    let forms = page.matches("<form ").count();
    let fields = page
        .matches("<input type=\"hidden\" name=\"language\" value=\"de\">")
        .count();
    assert_eq!((forms, fields), (2, 2));
    let led = server.get("/gauge?add=yes&by=rim+inner+diameter%40seam&shows=16%2C1+mm&language=de");
    assert!(led.header(LOCATION).ends_with("&language=de"));
    let plain = server.get(STAMP).text();
    assert_eq!(plain.matches("language=").count(), 1);
}

#[test]
fn the_counter_speaks_german_with_a_decimal_comma() {
    let server = Server::configured("");
    let german = server.get("/?q=BR+1576-110&language=de");
    let english = server.get(STAMP);
    assert_ne!(german.header(ETAG), english.header(ETAG));
    let (german, english) = (german.text(), english.text());
    assert!(english.contains("<span class=\"part\">.") && english.contains("k 1."));
    for said in [
        "Rand-Innendurchmesser",
        "Kesseltiefe",
        "<span class=\"part\">,",
        "k 1,",
        "im System",
        "erweiterte Messunsicherheit",
    ] {
        assert!(german.contains(said), "{said}");
    }
    for unsaid in [
        "<span class=\"part\">.",
        "k 1.",
        "rim inner diameter</",
        "cup depth <",
        ">theirs<",
        "nearest is",
    ] {
        assert!(!german.contains(unsaid), "{unsaid}");
    }
}

#[test]
fn programs_are_answered_in_english_with_a_point() {
    let server = Server::configured("language: de\n");
    let reply = server.get_in("de", "/api/v1/translate?stamp=BR+1576-110");
    assert!(reply.header(VARY).is_empty());
    let other = Server::configured("")
        .get("/api/v1/translate?stamp=BR+1576-110")
        .json();
    assert_eq!(reply.json(), other);
}

/// Values and their routes are kept from question to question; sentences must not be.
#[test]
fn who_asks_first_sets_no_language_for_the_others() {
    let config = "public_address: http://counter.local\n";
    let (german_first, english_first) = (Server::configured(config), Server::configured(config));
    let paths = [
        "/?q=BR+1576-110&gauge=rim+inner+diameter%40seam%3D16%2C1%C2%B10%2C1+mm",
        "/?q=BR+1577-110",
        "/?q=osmark+l%3Frk",
        "/compare?piece=BR+1576-110&piece=osmark+lark",
        "/card.txt?stamp=BR+1576-110",
    ];
    for path in paths {
        german_first.get_in("de", path);
        let english = english_first.get(path).text();
        english_first.get_in("de", path);
        assert_eq!(german_first.get(path).text(), english, "{path}");
    }
    for path in paths {
        let german = german_first.get_in("de", path).text();
        assert_eq!(german, english_first.get_in("de", path).text(), "{path}");
        assert_ne!(german, german_first.get(path).text(), "{path}");
    }
}
