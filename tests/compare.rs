//! Pieces side by side, over HTTP.
//!
//! 1. A difference is the other less the pinned one, by the method in which it is surest; pins turn its sign.
//! 2. What cannot be compared says which piece lacks what.
//! 3. Of one scheme, what both share cancels.
//! 4. Two pieces of one name are two specimens.
//! 5. Two pieces of which only limits are known are compared by them: nothing that either states is passed over.
//! 6. A fifth piece, an unread one, and one alone are answered in place, with all that was entered.
//! 7. Two eras of one name stand under headings that tell them apart.

use counterbore::answer::compare;
use serde_json::Value;

use crate::chart::demo;
use crate::shop::Shop;
use crate::web::Server;

fn differences(answer: &Value) -> &Vec<Value> {
    answer["against"][0]["differences"].as_array().unwrap()
}

fn of<'a>(answer: &'a Value, quantity: &str) -> &'a Value {
    let mut all = differences(answer).iter();
    all.find(|one| one["quantity"] == quantity).unwrap()
}

#[test]
fn the_pin_turns_the_sign_and_nothing_else() {
    let server = Server::start();
    let asked = "/api/v1/compare?piece=BR+1576-110&piece=osmark+lark";
    let one = server.get(asked).json();
    let other = server.get(&format!("{asked}&pinned=2")).json();
    assert_eq!(one["against"][0]["piece"], 2);
    assert_eq!(other["against"][0]["piece"], 1);
    assert_eq!(differences(&one).len(), differences(&other).len());
    for difference in differences(&one) {
        let back = of(&other, difference["quantity"].as_str().unwrap());
        let value = |one: &Value| {
            let field = ["value_mm", "value_ml"]
                .into_iter()
                .find_map(|name| one[name].as_f64());
            field.unwrap()
        };
        let tolerance = 2e-6;
        assert!(
            (value(difference) + value(back)).abs() < tolerance,
            "{difference} {back}"
        );
        assert_eq!(difference["e_n"], back["e_n"]);
    }
}

#[test]
fn of_one_scheme_the_form_cancels() {
    let server = Server::start();
    let answer = server
        .get("/api/v1/compare?piece=BR+1576-110&piece=BR+1588-110")
        .json();
    let rim = of(&answer, "rim inner diameter");
    assert_eq!(
        rim["method"], "inner edge, angle 45 deg",
        "a seam is not the same place of any metal"
    );
    // 0.12 mm apart, each turned within 0.02 mm: u = 0.02 * sqrt(2/3), and nothing of the contour.
    assert!((rim["value_mm"].as_f64().unwrap() - 0.12).abs() < 1e-3);
    assert!((rim["u_mm"].as_f64().unwrap() - 0.02 * (2.0_f64 / 3.0).sqrt()).abs() < 1e-3);
    // They do differ, and the feel limit of 0.15 mm is within U of it.
    assert_eq!(rim["verdict"], "at the limit");
    let words = rim["words"].as_str().unwrap();
    assert!(
        words.starts_with("larger by 0.12") && words.ends_with(", which may or may not be felt"),
        "{words}"
    );
}

#[test]
fn two_of_one_name_are_two_specimens() {
    let server = Server::start();
    let answer = server
        .get("/api/v1/compare?piece=BR+1576-110&piece=BR+1576-110")
        .json();
    let rim = of(&answer, "rim inner diameter");
    assert!(rim["value_mm"].as_f64().unwrap().abs() < 1e-9);
    // Each turned within 0.02 mm.
    assert!((rim["u_mm"].as_f64().unwrap() - 0.02 * (2.0_f64 / 3.0).sqrt()).abs() < 1e-3);
    assert_eq!(rim["e_n"], 0.0);
}

/// Skarrow tells depths by words: full 11.2..12.2 mm, shallow 9.5..10.3 mm.
#[test]
fn limits_on_both_sides_are_compared() {
    let pieces = ["644 full 3.65", "644 shallow 3.65"];
    let answer = compare(&demo(), &pieces, 1).unwrap();
    let answer = serde_json::to_value(&answer).unwrap();
    let depth = of(&answer, "cup depth");
    assert_eq!(depth["verdict"], "less", "{depth}");
    assert!(of(&answer, "cup volume")["verdict"].is_string());
}

/// One name, made otherwise from some year on. Invented.
const ERAS: &str = r#"scheme: vellmar
title: Vellmar (invented)
serves: [trumpet]
revision: "1"
source: invented
contour: {class: trumpet bowl}
figures:
  rim: {quantity: rim inner diameter, method: inner edge, unit: mm, tolerance: 0.03 mm}
entries:
  columns: [name, rim, from, until]
  rows:
    - [VEL 31, "16.80", "-", "1981"]
    - [VEL 31, "16.70", "1982", "-"]
    - [VEL 37, "16.40", "-", "-"]
stamps:
  - {part: one-piece, template: "{entry}"}
examples:
  - {stamp: VEL 37, says: {entry: VEL 37}}
"#;

#[test]
fn headings_tell_eras_of_one_name_apart() {
    let shop = Shop::new();
    shop.write("plugins/vellmar.yml", ERAS);
    let snapshot = shop.snapshot();
    let pieces = ["VEL 31 (1)", "VEL 31 (2)", "VEL 37"];
    let answer = compare(&snapshot, &pieces, 1).unwrap();
    let headings = [1, 2, 3].map(|piece| answer.heading(piece));
    let told = ["VEL 31 (until 1981)", "VEL 31 (from 1982)", "VEL 37"];
    assert_eq!(headings, told);
    let alone = compare(&snapshot, &["VEL 31 (1)", "VEL 37"], 1).unwrap();
    assert_eq!(alone.heading(1), "VEL 31");
}

#[test]
fn what_one_of_them_lacks_is_said() {
    let server = Server::start();
    let answer = server
        .get("/api/v1/compare?piece=BR+1576-110&piece=osmark+heron")
        .json();
    let missing = answer["against"][0]["not_compared"].as_array().unwrap();
    let throat = missing
        .iter()
        .find(|one| one["quantity"] == "throat diameter")
        .unwrap();
    assert!(
        throat["why"]
            .as_str()
            .unwrap()
            .contains("osmark heron: it states no throat diameter")
    );
}

#[test]
fn a_fifth_piece_is_refused_in_place_and_kept() {
    let server = Server::start();
    let five: Vec<String> = (0..5)
        .map(|step| format!("piece=BR+{}-110", 1576 + 12 * step))
        .collect();
    let page = server.get(&format!("/compare?{}", five.join("&")));
    assert_eq!(page.status, 400);
    let text = page.text();
    assert!(
        text.contains("5 pieces are named, and 4 are compared at the most"),
        "{text}"
    );
    for step in 0..5 {
        assert!(
            text.contains(&format!("value=\"BR {}-110\"", 1576 + 12 * step)),
            "{step} is lost"
        );
    }
    assert!(
        text.contains("Against BR 1576-110"),
        "the first four are compared"
    );
    let refused = server.get(&format!("/api/v1/compare?{}", five.join("&")));
    assert_eq!(refused.status, 400);
    assert_eq!(refused.json()["hint"], "leave out `BR 1624-110`");
}

#[test]
fn a_piece_that_is_not_read_says_so_beneath_its_field() {
    let server = Server::start();
    let page = server.get("/compare?piece=BR+1576-110&piece=%3Cscript%3E&piece=osmark+lark");
    assert_eq!(page.status, 404);
    let text = page.text();
    assert!(
        text.contains("id=\"wrong2\"") && text.contains("value=\"&lt;script&gt;\""),
        "{text}"
    );
    assert!(!text.contains("<script>"));
    assert!(
        text.contains("Against BR 1576-110"),
        "the two that are read are compared"
    );
    let alone = server.get("/compare?piece=BR+1576-110");
    assert_eq!(alone.status, 200);
    assert!(!alone.text().contains("Against"));
    let refused = server
        .get("/api/v1/compare?piece=BR+1576-110&piece=zzz")
        .json();
    assert!(refused["detail"].as_str().unwrap().starts_with("piece 2: "));
    let unpinned = server.get("/api/v1/compare?piece=BR+1576-110&piece=osmark+lark&pinned=3");
    assert_eq!(unpinned.status, 400);
}

#[test]
fn links_swap_pin_and_remove() {
    let server = Server::start();
    let page = server
        .get("/compare?piece=BR+1576-110&piece=osmark+lark&pinned=2")
        .text();
    let page = page.replace("&#x2f;", "/").replace("&amp;", "&");
    for link in [
        "/compare?piece=BR+1576-110&piece=osmark+lark\"",
        "/compare?piece=osmark+lark&piece=BR+1576-110\"",
        "/compare?piece=BR+1576-110\"",
        "/compare?piece=osmark+lark\"",
    ] {
        assert!(page.contains(link), "{link} in {page}");
    }
}
