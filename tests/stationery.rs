//! The shop's own templates and sign.
//!
//! 1. A template of the shop is used in place of the one inside the program.
//! 2. One that fails is said with file, line and column, and the one inside the program is used.
//! 3. A template reads nothing but its own folder: no package, no file elsewhere, no clock.
//! 4. One that goes on for ever is refused, and holds up nothing for long; one that changes is read anew.
//! 5. A sign that is missing, too large or no picture is said and left out.
//! 6. Cards are stated in the schemes and on the paper that the configuration says.

use std::fs;
use std::process::Command;

use counterbore::answer::Ask;
use counterbore::card::Card;
use counterbore::config::Paper;
use counterbore::paper::{Form, InForce, Stationery, Want, Work, given, render};
use serde_json::json;

use super::card::{DAY, card};
use super::shop::{Shop, scheme};

/// A shop with that file as its template for cards.
fn templates(card_typ: &str) -> Shop {
    let shop = Shop::new();
    shop.write("config.yml", "plugins: [plugins]\ntemplates: paper\n");
    fs::create_dir(shop.path("paper")).unwrap();
    shop.write("paper/card.typ", card_typ);
    shop
}

/// What is said of a template that is not used.
fn said(card_typ: &str) -> String {
    let shop = templates(card_typ);
    let stationery = Stationery::of(&shop.config());
    let all: Vec<String> = stationery.faults.iter().map(ToString::to_string).collect();
    let sizes = sizes(&stationery);
    assert_eq!(sizes, (105.0, 148.0), "the one inside the program is used");
    let folder = shop.path("paper").display().to_string();
    all.join("\n").replace(&folder, "paper")
}

/// The size of the first sheet of an A6 card, mm.
fn sizes(stationery: &Stationery) -> (f64, f64) {
    let given = given::card(&card(), Paper::A6, stationery.logo());
    let printed = stationery
        .print(Work::Card, &given, Want::Drawings)
        .unwrap();
    let (width, height) = printed.sizes_mm[0];
    (width.round(), height.round())
}

/// A small card of one line, invented.
const OWN: &str = r#"#let card = json("given.json")
#set document(title: card.title)
#set page(width: 60mm, height: 40mm)
#set text(lang: card.language)
#card.title
"#;

#[test]
fn a_template_of_the_shop_is_used() {
    let shop = templates(OWN);
    let stationery = Stationery::of(&shop.config());
    assert_eq!(stationery.faults, []);
    assert_eq!(sizes(&stationery), (60.0, 40.0));
    let pdf = render(&card(), Form::Pdf, Paper::A6, &stationery).unwrap();
    assert!(pdf.starts_with(b"%PDF-1.7"));
}

#[test]
fn a_template_may_use_what_the_program_has_beside_its_own() {
    let shop = templates(&format!(
        "#import \"common.typ\": inks\n{OWN}#text(fill: inks.accent, card.date)\n"
    ));
    assert_eq!(Stationery::of(&shop.config()).faults, []);
}

#[test]
fn a_template_that_fails_is_said_at_its_place() {
    let told = said("#let card = json(\"given.json\")\n\n#card.no-such-thing\n");
    assert!(told.starts_with("paper/card.typ:3:"), "{told}");
    assert!(told.contains("no-such-thing"), "{told}");
    assert!(
        told.contains("the template inside the program is used"),
        "{told}"
    );
    let told = said("#let x = (\n");
    assert!(told.starts_with("paper/card.typ:1:"), "{told}");
    let told = said("#set page(width: 60mm, height: 40mm)\nno title\n");
    assert!(told.contains("title"), "it could not be read aloud: {told}");
}

#[test]
fn a_template_reads_nothing_but_its_folder() {
    for (reads, says) in [
        (
            "#import \"@preview/other:0.1.0\": *",
            "packages are not fetched",
        ),
        ("#read(\"/etc/passwd\")", "file not found"),
        ("#read(\"../config.yml\")", ""),
        ("#datetime.today().display()", "date"),
    ] {
        let told = said(&format!("{reads}\n{OWN}"));
        assert!(told.starts_with("paper/card.typ:1:"), "{reads}: {told}");
        assert!(told.contains(says), "{reads}: {told}");
    }
}

#[test]
fn a_template_without_end_is_refused() {
    for endless in ["#while true {}", "#let f(n) = f(n + 1)\n#f(0)"] {
        let told = said(&format!("{endless}\n{OWN}"));
        assert!(told.contains("paper/card.typ:"), "{endless}: {told}");
    }
}

/// As a process of its own: its end ends the template's thread, too.
#[test]
fn a_template_that_takes_too_long_is_given_up() {
    let slow = "#for a in range(9999) { for b in range(9999) { for c in range(9999) { let d = a + b + c } } }";
    let shop = templates(&format!("{slow}\n{OWN}"));
    shop.write("plugins/one.yml", &scheme("one", "1"));
    let out = shop.path("card.pdf");
    let output = Command::new(env!("CARGO_BIN_EXE_counterbore"))
        .args(["card", "ON 160", "--out"])
        .arg(&out)
        .current_dir(shop.folder())
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("took longer than"), "{told}");
    assert!(output.status.success(), "{told}");
    assert!(fs::read(out).unwrap().starts_with(b"%PDF"));
}

/// A file that is changed is read at the second look that sees it alike.
#[test]
fn a_template_that_changes_is_read_anew() {
    let shop = templates("#let x = (\n");
    let config = shop.config();
    let paper = InForce::of(&config);
    assert_eq!(sizes(&paper.stationery()), (105.0, 148.0));
    assert!(!paper.stationery().faults.is_empty());
    let before = paper.digest();
    shop.write("paper/card.typ", OWN);
    paper.look(&config);
    assert_eq!(sizes(&paper.stationery()), (105.0, 148.0), "not at rest");
    paper.look(&config);
    assert_eq!(sizes(&paper.stationery()), (60.0, 40.0));
    assert_eq!(paper.stationery().faults, []);
    assert!(paper.digest() != before);
    let held = paper.stationery();
    paper.look(&config);
    assert!(
        std::sync::Arc::ptr_eq(&held, &paper.stationery()),
        "what has not changed is not read again"
    );
}

#[test]
fn a_folder_that_is_not_there_or_empty_is_said() {
    let shop = Shop::new();
    shop.write("config.yml", "templates: paper\n");
    assert_eq!(
        Stationery::of(&shop.config()).faults[0].code,
        "no-templates"
    );
    fs::create_dir(shop.path("paper")).unwrap();
    assert_eq!(Stationery::of(&shop.config()).faults[0].code, "no-template");
}

/// A square, invented.
const SIGN: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 8"><path d="M0 0h8v8z" fill="#75540c"/></svg>"##;

fn signed(name: &str, content: &[u8]) -> Stationery {
    let shop = Shop::new();
    shop.write(
        "config.yml",
        &format!("shop: {{name: Invented, logo: {name}}}\n"),
    );
    if !content.is_empty() {
        fs::write(shop.path(name), content).unwrap();
    }
    Stationery::of(&shop.config())
}

#[test]
fn the_sign_stands_on_the_card() {
    let stationery = signed("sign.SVG", SIGN.as_bytes());
    assert_eq!(stationery.faults, []);
    assert_eq!(stationery.logo(), Some("logo.svg"));
    let with = render(&card(), Form::Pdf, Paper::A6, &stationery).unwrap();
    let without = render(&card(), Form::Pdf, Paper::A6, &Stationery::built_in()).unwrap();
    assert!(with != without);
}

#[test]
fn a_sign_that_cannot_be_drawn_is_said_and_left_out() {
    let large = vec![b' '; 513 * 1024];
    let cases: [(&str, &[u8]); 5] = [
        ("sign.svg", b""),
        ("sign.svg", b"<svg"),
        ("sign.png", SIGN.as_bytes()),
        ("sign.gif", SIGN.as_bytes()),
        ("sign.svg", &large),
    ];
    for (name, content) in cases {
        let stationery = signed(name, content);
        assert_eq!(stationery.faults[0].code, "no-logo", "{name}");
        assert_eq!(stationery.logo(), None);
        assert!(render(&card(), Form::Pdf, Paper::A6, &stationery).is_ok());
    }
}

#[test]
fn the_configuration_says_schemes_and_paper() {
    let shop = Shop::new();
    for id in ["one", "two", "three"] {
        shop.write(&format!("plugins/{id}.yml"), &scheme(id, "1"));
    }
    shop.write(
        "config.yml",
        "plugins: [plugins]\ncard: {into: [two, gone], paper: half-letter}\n",
    );
    let (config, snapshot) = (shop.config(), shop.snapshot());
    assert_eq!(config.card_paper.value, Paper::HalfLetter);
    let of = |into: Vec<&str>| {
        let ask = Ask {
            stamp: "ON 160",
            into,
            reading: 1,
            limit: 1,
        };
        Card::of(&snapshot, &config, &ask, "http://192.0.2.7:8017", DAY).unwrap()
    };
    let usual = of(Vec::new());
    let ids = |card: &Card| -> Vec<String> {
        card.into.iter().map(|one| one.scheme.id.clone()).collect()
    };
    assert_eq!(ids(&usual), ["two"]);
    assert_eq!(usual.not_loaded, ["gone"]);
    assert!(usual.address.ends_with("&into=two"), "{}", usual.address);
    assert!(usual.scannable);
    assert!(ids(&of(vec!["all"])).len() > 1);
    assert!(json!(usual)["date"] == "2031-04-05");
}

#[test]
fn an_address_that_leads_nowhere_else_is_not_for_telephones() {
    let shop = Shop::new();
    shop.write("plugins/one.yml", &scheme("one", "1"));
    let snapshot = shop.snapshot();
    let of = |base: &str| {
        let ask = Ask {
            stamp: "ON 160",
            into: Vec::new(),
            reading: 1,
            limit: 1,
        };
        Card::of(&snapshot, &shop.config(), &ask, base, DAY)
            .unwrap()
            .scannable
    };
    for base in [
        "http://127.0.0.1:8017",
        "http://[::1]:8017",
        "http://localhost:8017",
        "http://0.0.0.0:8017",
    ] {
        assert!(!of(base), "{base}");
    }
    for base in [
        "http://counter.local:8017",
        "http://[2001:db8::7]:80",
        "https://192.0.2.7/shop",
    ] {
        assert!(of(base), "{base}");
    }
}
