//! "Like this, but …".
//!
//! 1. A wish moves what is looked for, and what is found meets it; differences are from the piece at hand.
//! 2. The piece's own scheme is asked too; what meets more wishes comes first.
//! 3. A wish is met only where all of the uncertainty meets it, and an amount never by no change at all.
//! 4. A wish that says nothing, contradicts another or cannot be read is answered in place, and all of it is kept.

use counterbore::answer::{self, Ask, DifferenceAnswer};
use serde_json::Value;

use crate::web::Server;

fn value_mm(one: &Value) -> f64 {
    one["value_mm"].as_f64().unwrap()
}

#[test]
fn what_is_wished_is_found_in_the_pieces_own_scheme() {
    let server = Server::start();
    let answer = server
        .get("/api/v1/translate?stamp=BR+1576-110&wish=cup+depth:less+0.8+mm&wish=rim+inner+diameter:more+0.12+mm")
        .json();
    let schemes = answer["into"].as_array().unwrap();
    let own = schemes
        .iter()
        .find(|one| one["scheme"]["id"] == "brindlow")
        .unwrap();
    let best = &own["matches"][0];
    // Rims stand 0.12 mm apart and depths 0.2 mm: both wishes lie on the grid.
    assert_eq!(best["canonical"], "BR 1588-102");
    assert_eq!(best["near"], true);
    for (place, wished) in [(0, -0.8), (1, 0.12)] {
        let wish = &best["wishes"][place];
        assert_eq!(wish["met_by_best_estimate"], true, "{wish}");
        let tolerance = 0.01;
        assert!(
            (value_mm(&wish["difference"]) - wished).abs() < tolerance,
            "{wish}"
        );
    }
    let ours = answer["ours"].as_array().unwrap();
    let depth = ours
        .iter()
        .find(|one| one["quantity"] == "cup depth")
        .unwrap();
    assert_eq!(depth["value"], "11.000", "ours stays what it is: {depth}");
    assert_eq!(answer["wished"].as_array().unwrap().len(), 2);
}

#[test]
fn a_direction_alone_is_met_beyond_what_can_be_felt() {
    let server = Server::start();
    let answer = server
        .get("/api/v1/translate?stamp=BR+1576-110&into=osmark&wish=rim+inner+diameter:more")
        .json();
    let best = &answer["into"][0]["matches"][0];
    assert_eq!(best["wishes"][0]["met_by_best_estimate"], true, "{best}");
    assert!(value_mm(&best["wishes"][0]["difference"]) > 0.15);
    let all = answer["into"][0]["matches"].as_array().unwrap();
    let met: Vec<bool> = all
        .iter()
        .map(|one| one["wishes"][0]["met_by_best_estimate"] == true)
        .collect();
    assert!(met.is_sorted_by(|one, next| one >= next), "{met:?}");
}

/// What is said of the first wish, by what is known of it.
fn says(wish: &Value) -> &str {
    match (
        wish["met"].as_bool(),
        wish["met_by_best_estimate"].as_bool(),
    ) {
        (Some(true), Some(true)) => "met",
        (None, Some(true)) => "met by the best estimate; too uncertain to be sure",
        (None, Some(false)) => "not met by the best estimate, but it may be",
        (Some(false), Some(false)) => "not met",
        other => panic!("{other:?} of {wish}"),
    }
}

#[test]
fn what_is_surely_met_comes_before_what_may_be() {
    let server = Server::start();
    for wished in [
        "rim+inner+diameter:more",
        "cup+depth:less+0.8+mm",
        "rim+inner+diameter:more+0.5+mm",
    ] {
        let answer = server
            .get(&format!(
                "/api/v1/translate?stamp=BR+1576-110&wish={wished}&limit=20"
            ))
            .json();
        for into in answer["into"].as_array().unwrap() {
            let matches = into["matches"].as_array().unwrap();
            let wish = |one: &Value| one["wishes"][0].clone();
            let order: Vec<usize> = matches
                .iter()
                .map(|one| {
                    match (
                        wish(one)["met"] == true,
                        wish(one)["met_by_best_estimate"] == true,
                    ) {
                        (true, _) => 0,
                        (false, true) => 1,
                        (false, false) => 2,
                    }
                })
                .collect();
            assert!(order.is_sorted(), "{order:?}");
            for one in matches
                .iter()
                .filter(|one| wish(one)["met_by_best_estimate"].is_boolean())
            {
                assert_eq!(wish(one)["says"], says(&wish(one)));
            }
            let Some(first) = order.first() else { continue };
            let heading = into["says"].as_str().unwrap();
            let expected = [
                " is what was wished",
                "by the best estimate; too uncertain",
                "nothing found is what",
            ];
            assert!(heading.contains(expected[*first]), "{heading}");
            assert_eq!(
                heading.ends_with(" is what was wished"),
                *first == 0,
                "{heading}"
            );
        }
    }
}

#[test]
fn no_change_never_meets_an_amount() {
    let server = Server::start();
    let answer = server
        .get("/api/v1/translate?stamp=BR+1576-110&into=brindlow,osmark&wish=cup+depth:less+0.4+mm&limit=50")
        .json();
    assert_eq!(
        answer["wished"][0]["says"],
        "cup depth shallower by 0.4 mm, give or take 0.1 mm"
    );
    let all = answer["into"].as_array().unwrap().iter();
    let mut held = 0;
    for one in all.flat_map(|into| into["matches"].as_array().unwrap()) {
        let wish = &one["wishes"][0];
        // Of some only limits are known.
        let Some(change) = wish["difference"]["value_mm"].as_f64() else {
            continue;
        };
        held += 1;
        assert_eq!(
            wish["met_by_best_estimate"] == true,
            (-0.5..=-0.3).contains(&change),
            "{wish}"
        );
    }
    assert!(held > 3, "{held}");
}

#[test]
fn wishes_that_cannot_be_are_said_in_place_and_kept() {
    let server = Server::start();
    for (wishes, says) in [
        (
            "wish=cup+depth:less&wish=cup+depth:more",
            "cup depth is wished for twice",
        ),
        (
            "wish=cup+depth:less&wish=cup+volume:more",
            "both say how much cup there is",
        ),
        ("wish=cup+depth:", "does not say whether same, more or less"),
        ("wish=cup+depth:more+0.3+ml", "is a length"),
        ("wish=cup+depth:more+0+mm", "0 mm"),
        (
            "wish=cup+depth:huge",
            "`huge` is none of same, more and less",
        ),
        ("wish=%F0%9F%8E%BA", "there is no `:`"),
        ("wish=bell:more", "is no quantity"),
        (
            "wish=backbore+bore:more",
            "the piece states no backbore bore",
        ),
    ] {
        let refused = server.get(&format!("/api/v1/translate?stamp=BR+1576-110&{wishes}"));
        assert_eq!(refused.status, 400, "{wishes}");
        let problem = refused.json();
        assert_eq!(problem["code"], "bad-wish");
        assert!(
            problem["detail"].as_str().unwrap().contains(says),
            "{wishes}: {problem}"
        );
        let page = server.get(&format!("/?q=BR+1576-110&{wishes}"));
        assert_eq!(page.status, 400, "{wishes}");
        let text = page.text();
        assert!(
            text.contains("role=\"alert\"") && text.contains("Nearest in other schemes"),
            "{wishes}"
        );
        assert!(text.contains("details class=\"wishes\" id=\"wish\" open"));
    }
    assert_eq!(
        server
            .get("/api/v1/translate?stamp=BR+1576-110&wish=")
            .json()["code"],
        "bad-wish"
    );
}

#[test]
fn the_form_leads_to_the_address_that_says_it() {
    let server = Server::start();
    let sent = server.get("/?q=BR+1576-110&want=&amount=&want=cup+depth%3Aless&amount=0.8+mm&want=throat+diameter%3Amore&amount=");
    assert_eq!(sent.status, 303);
    assert_eq!(
        sent.headers["location"],
        "/?q=BR+1576-110&wish=cup+depth%3Aless+0.8+mm&wish=throat+diameter%3Amore"
    );
}

/// A wish by the neutral method, pieces compared by another: the difference that is shown is the one that is judged.
#[test]
fn what_is_shown_of_a_wish_is_what_it_is_judged_by() {
    let snapshot = crate::chart::demo();
    let ask = Ask {
        stamp: "Lyra 68/1612",
        into: vec!["vossaby"],
        reading: 1,
        limit: 6,
    };
    let wishes = answer::wishes(&snapshot, &["rim inner diameter:less 0.2 mm"]).unwrap();
    let answer = answer::translate_wished(&snapshot, &ask, &answer::Wish::default(), &wishes);
    let matches = answer.unwrap().into.remove(0).matches;
    assert!(!matches.is_empty());
    for one in matches {
        let judged = one.wishes[0].difference.clone().unwrap();
        let rim = |shown: &&DifferenceAnswer| shown.quantity == "rim inner diameter";
        let shown = one.differences.iter().find(rim).unwrap();
        assert_eq!((&shown.text, &shown.method), (&judged.text, &judged.method));
    }
}
