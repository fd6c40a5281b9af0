//! The schemes' own pages.
//!
//! 1. Worked examples name every segment, as the plug-in's own examples have it; methods are drawn.
//! 2. The catalogue stands there with its lines; a search keeps the rows in which the text stands, and says what it is as a stamp.
//! 3. Words of a plug-in stay text, and so does what is searched.

use crate::web::Server;

#[test]
fn examples_are_worked_and_methods_drawn() {
    let server = Server::start();
    let guide = server.get("/api/v1/schemes/brindlow/guide").json();
    let first = &guide["worked"][0];
    assert_eq!(first["stamp"], "BR 1576-110 T25", "the one that shows most");
    let segments = first["parts"][0]["segments"].as_array().unwrap();
    let texts: Vec<&str> = segments
        .iter()
        .map(|one| one["text"].as_str().unwrap())
        .collect();
    assert_eq!(texts.concat().replace(' ', ""), "BR1576-110T25");
    let figures = segments
        .iter()
        .filter(|one| one["kind"] == "figure")
        .count();
    assert_eq!(figures, 3);
    assert_eq!(
        guide["drawn"]["section"]["points"]
            .as_array()
            .unwrap()
            .len(),
        3
    );
    let page = server.get("/schemes/brindlow").text();
    assert!(page.contains("How to read its stamps") && page.contains("Where the gauge goes"));
    assert!(page.contains("class=\"section\""), "the drawing");
}

#[test]
fn a_search_keeps_the_rows_in_which_it_stands() {
    let server = Server::start();
    let all = server.get("/api/v1/schemes/osmark/guide").json();
    assert_eq!(all["rows"].as_array().unwrap().len(), 5);
    let some = server.get("/api/v1/schemes/osmark/guide?q=H").json();
    let names: Vec<&str> = some["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["name"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["finch", "thrush", "heron"]);
    assert_eq!(some["of_rows"], 5);
    assert_eq!(some["rows"][2]["states"][2], "", "heron states no throat");
    let lines: Vec<u64> = all["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["line"].as_u64().unwrap())
        .collect();
    assert!(lines.is_sorted() && lines[0] > 0);
    let page = server
        .get("/schemes/osmark?q=osmark+lark")
        .text()
        .replace("&#x2f;", "/");
    assert!(page.contains("/?q=osmark+lark"), "{page}");
    assert!(
        server
            .get("/schemes/osmark?q=zzzzz")
            .text()
            .contains("It stands in 0 of 5 rows")
    );
}

#[test]
fn what_is_searched_and_what_a_plug_in_says_stays_text() {
    let server = Server::start();
    let page = server
        .get("/schemes/hostile?q=%3Cscript%3Ealert(9)%3C/script%3E")
        .text();
    assert!(
        !page.contains("<script>alert") && !page.contains("<img src=x"),
        "{page}"
    );
    let long = "x".repeat(5000);
    assert_eq!(server.get(&format!("/schemes/osmark?q={long}")).status, 200);
}
