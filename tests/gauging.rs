//! Gauge values entered by picture, settings to look at, and what keeps what was entered.
//!
//! 1. Every method of the tables can be chosen, with its parameters, readings, limits and drills; the form leads to an
//!    address with one `gauge` more, which finds.
//! 2. What cannot be read is said in the form and all of it is kept; a broken gauge of the address in its row.
//! 3. Settings say where they come from, what they change and how.
//! 4. What cannot be a stamp, and a card of a piece that is not there, keep what was entered.

use reqwest::header::LOCATION;

use crate::web::Server;

/// The value of the one gauge that the form leads to.
fn taken(server: &Server, form: &str) -> String {
    let reply = server.get(&format!("/gauge?add=yes&{form}"));
    assert_eq!(reply.status, 303, "{form}: {}", reply.text());
    let led = format!("http://localhost{}", reply.header(LOCATION));
    let address = reqwest::Url::parse(&led).unwrap();
    let gauges = address.query_pairs().filter(|(name, _)| name == "gauge");
    gauges.last().unwrap().1.into_owned()
}

#[test]
fn the_form_leads_to_the_gauge_that_it_states() {
    let server = Server::start();
    for (form, gauge) in [
        (
            "by=rim+inner+diameter%40depth&at=1.0&shows=16.2&unit=mm&within=0.1",
            "rim inner diameter@depth at 1.0 mm=16.2 mm ± 0.1 mm",
        ),
        (
            "by=rim+inner+diameter%40inner+edge&angle=50&at=2&shows=16%2C20&shows=16%2C24&shows=&unit=mm",
            "rim inner diameter@inner edge angle 50 deg=16,20 mm; 16,24 mm",
        ),
        (
            "by=throat+diameter%40go+and+no-go&passes=27&stops=26&unit=mm",
            "throat diameter@go and no-go=passes drill 27, not drill 26",
        ),
        (
            "by=rim+inner+diameter%40seam&shows=0.64+in&unit=mm",
            "rim inner diameter@seam=0.64 in",
        ),
    ] {
        assert_eq!(taken(&server, form), gauge);
    }
    let gauges = "/gauge?gauge=rim+inner+diameter%40inner+edge%3D16.6%C2%B10.05mm&gauge=throat+diameter%3D3.73mm";
    let page = server.get(gauges).text();
    assert!(page.contains("osmark lark"), "{page}");
    assert_eq!(page.matches(">Remove</a>").count(), 2);
}

#[test]
fn every_method_can_be_chosen_in_the_picture() {
    let server = Server::start();
    let page = server.get("/gauge").text();
    for method in [
        "rim inner diameter@crest",
        "rim inner diameter@depth",
        "cup depth@area mean",
        "cup volume@water",
        "throat diameter@go and no-go",
        "insertion depth@receiver",
    ] {
        assert!(page.contains(&format!("value=\"{method}\"")), "{method}");
    }
    assert!(page.matches("class=\"lead\"").count() >= 8, "{page}");
    assert!(page.contains("class=\"has-at\"") && page.contains("class=\"has-drills\""));
}

#[test]
fn what_cannot_be_read_is_said_in_the_form_and_kept() {
    let server = Server::start();
    for (form, says, kept) in [
        ("shows=16.2&unit=mm", "not said where", "value=\"16.2\""),
        (
            "by=cup+depth%40centre",
            "not said what",
            "value=\"cup depth@centre\" class=\"has-from\" checked",
        ),
        (
            "by=rim+inner+diameter%40depth&shows=16.2&unit=mm",
            "needs `at`",
            "value=\"16.2\"",
        ),
        (
            "by=rim+inner+diameter%40seam&shows=16+ml",
            "is a volume",
            "value=\"16 ml\"",
        ),
        (
            "by=cup+depth%40centre&shows=%F0%9F%8E%BA&within=0.1",
            "gauge `",
            "value=\"0.1\"",
        ),
        (
            "by=throat+diameter%40gauge&shows=3.7&unit=mm&passes=27",
            "two gauges",
            "<option value=\"27\" selected>",
        ),
    ] {
        let held = "gauge=throat+diameter%3D3.73mm";
        let reply = server.get(&format!("/gauge?add=yes&{held}&{form}"));
        assert_eq!(reply.status, 400, "{form}");
        let page = reply.text();
        assert!(
            page.contains("role=\"alert\"") && page.contains(says),
            "{form}: {page}"
        );
        assert!(page.contains(kept), "{form} keeps {kept}: {page}");
        assert!(page.contains("value=\"throat diameter=3.73mm\""), "{form}");
    }
    let broken = server.get("/gauge?gauge=cup+depth%3Dhuge");
    assert_eq!(broken.status, 400);
    let page = broken.text();
    assert!(
        page.contains("cup depth=huge") && page.contains(">Remove</a>"),
        "{page}"
    );
}

#[test]
fn settings_say_where_they_come_from() {
    let server = Server::configured(
        "public_address: https://counter.example\nfeel:\n  source: our own thumbs\n  cup depth: {same: 0.3 mm, near: 1 mm, weight: 1}\n",
    );
    let answer = server.get("/api/v1/settings").json();
    let settings = answer["settings"].as_array().unwrap();
    let of = |key: &str| settings.iter().find(|one| one["key"] == key).unwrap();
    for one in settings {
        for field in ["key", "value", "changes", "origin", "mend"] {
            assert!(
                one[field].as_str().is_some_and(|text| !text.is_empty()),
                "{field} of {one}"
            );
        }
    }
    assert_eq!(of("feel")["origin"], "file");
    assert!(
        of("feel")["place"]
            .as_str()
            .unwrap()
            .contains("config.yml:")
    );
    assert_eq!(
        of("feel.cup depth")["value"],
        "the same up to 0.3 mm, near up to 1 mm, weight 1"
    );
    assert_eq!(of("log.format")["origin"], "default");
    assert_eq!(of("neutral.cup depth")["origin"], "tables");
    assert_eq!(of("public_address")["value"], "https://counter.example");
    let page = server.get("/settings").text();
    assert!(page.contains("our own thumbs") && page.contains("log.format"));
}

#[test]
fn what_is_no_stamp_keeps_what_was_entered() {
    let server = Server::start();
    let paragraph = "Dear+shop%2C+please+find+enclosed+".repeat(20);
    for text in ["%F0%9F%8E%BA%F0%9F%8E%B7", paragraph.as_str()] {
        let reply = server.get(&format!("/?q={text}"));
        assert!(
            [200, 400].contains(&reply.status.as_u16()),
            "{}",
            reply.status
        );
        let page = reply.text();
        assert!(page.contains("<h1>"), "{page}");
        assert!(
            !page.contains("name=\"q\" type=\"text\" value=\"\""),
            "{text} is kept"
        );
    }
    let card = server.get("/card?stamp=BR+9999-999");
    assert_eq!(card.status, 404);
    assert!(
        card.text()
            .contains("name=\"q\" type=\"text\" value=\"BR 9999-999\""),
        "{}",
        card.text()
    );
}
