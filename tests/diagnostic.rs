//! How a problem in a file is shown.
//!
//! 1. As a line: place, words, code; then the second place and what to do.
//! 2. As a snippet: the caret is under the right characters, wide ones too,
//!    in files with CR LF and in a last line without an end;
//!    control characters of the file are shown and not sent.
//! 3. As JSON: every key is there, and the end column is past the last character.
//! 4. "Did you mean" stays within two edits and leaves short words alone.

use counterbore::diagnostic::snippet::Style;
use counterbore::diagnostic::{Diagnostic, Place, nearest};
use serde_json::json;

fn place(line: usize, column: usize, length: usize) -> Place {
    Place {
        file: "plugins/tarnbeck.yml".into(),
        line,
        column,
        length,
    }
}

fn grid_end() -> Diagnostic {
    Diagnostic::error(
        "grid-end",
        place(2, 7, 4),
        "steps of 12 from 1540 never reach 1715; the last is 1708",
    )
    .hint("write `to: 1708`")
}

const SOURCE: &str = "grid:\n  to: 1715\n";

#[test]
fn a_line_gives_place_words_and_code() {
    let expected = "plugins/tarnbeck.yml:2:7: steps of 12 from 1540 never reach 1715; \
                    the last is 1708 [grid-end]\n  mend: write `to: 1708`";
    assert_eq!(grid_end().to_string(), expected);
}

#[test]
fn a_line_says_when_it_is_only_a_warning() {
    let warning = Diagnostic::warning("old", Place::whole("a.yml"), "not revised for ten years");
    assert_eq!(
        warning.to_string(),
        "a.yml: warning: not revised for ten years [old]"
    );
}

#[test]
fn a_line_names_the_second_place() {
    let twice = Diagnostic::error("twice", place(9, 1, 3), "`rim` twice")
        .also(place(4, 1, 3), "first here");
    let expected = "plugins/tarnbeck.yml:9:1: `rim` twice [twice]\n  \
                    plugins/tarnbeck.yml:4:1: first here";
    assert_eq!(twice.to_string(), expected);
}

#[test]
fn a_snippet_points_with_a_caret() {
    let expected = "\
error[grid-end]: steps of 12 from 1540 never reach 1715; the last is 1708
 --> plugins/tarnbeck.yml:2:7
  |
2 |   to: 1715
  |       ^^^^
  |
  = mend: write `to: 1708`";
    assert_eq!(grid_end().snippet(SOURCE, Style::Plain), expected);
    assert_eq!(
        grid_end().snippet(&SOURCE.replace('\n', "\r\n"), Style::Plain),
        expected
    );
    assert_eq!(
        grid_end().snippet(SOURCE.trim_end(), Style::Plain),
        expected
    );
}

#[test]
fn a_snippet_counts_wide_characters() {
    let wide = Diagnostic::error("word", place(1, 4, 2), "what is this");
    let shown = wide.snippet("調律 ab", Style::Plain);
    let carets = shown.lines().find(|line| line.contains('^')).unwrap();
    assert_eq!(
        carets, "  |      ^^",
        "two wide characters take four columns"
    );
}

#[test]
fn a_snippet_shows_both_places() {
    let twice = Diagnostic::error("twice", place(2, 1, 3), "`rim` twice")
        .also(place(1, 1, 3), "first here");
    let shown = twice.snippet("rim: 1\nrim: 2\n", Style::Plain);
    assert!(shown.contains("1 | rim: 1\n  | --- first here"), "{shown}");
    assert!(shown.contains("2 | rim: 2\n  | ^^^"), "{shown}");
}

#[test]
fn a_snippet_of_the_whole_file_has_no_picture() {
    let empty = Diagnostic::error("empty", Place::whole("a.yml"), "nothing in the file");
    assert_eq!(
        empty.snippet("", Style::Plain),
        "error[empty]: nothing in the file\n--> a.yml"
    );
}

#[test]
fn a_snippet_obeys_no_control_characters() {
    let unseen = Diagnostic::error("unseen", place(1, 4, 1), "U+001B");
    let shown = unseen.snippet("a: \u{1b}[2J\u{202e}b", Style::Plain);
    assert!(!shown.contains(['\u{1b}', '\u{202e}']), "{shown:?}");
}

#[test]
fn json_has_every_key() {
    let expected = json!({
        "file": "plugins/tarnbeck.yml", "line": 2, "column": 7, "end_column": 11,
        "severity": "error", "code": "grid-end",
        "message": "steps of 12 from 1540 never reach 1715; the last is 1708",
        "hint": "write `to: 1708`", "also": null,
    });
    assert_eq!(serde_json::to_value(grid_end()).unwrap(), expected);
}

#[test]
fn json_has_the_second_place() {
    let twice = Diagnostic::error("twice", place(2, 1, 3), "x").also(place(1, 1, 3), "first here");
    let also = &serde_json::to_value(twice).unwrap()["also"];
    assert_eq!(
        *also,
        json!({"file": "plugins/tarnbeck.yml", "line": 1, "column": 1, "end_column": 4,
               "message": "first here"})
    );
}

#[test]
fn nearest_stays_within_two_edits() {
    let keys = ["quantity", "method", "unit"];
    assert_eq!(nearest("quantaty", keys), Some("quantity"));
    assert_eq!(nearest("quantitytt", keys), Some("quantity"));
    assert_eq!(nearest("quantityttt", keys), None);
    assert_eq!(nearest("untii", keys), Some("unit"));
    assert_eq!(nearest("un", keys), None, "two letters are near everything");
    assert_eq!(nearest("unit", ["unity", "units"]), Some("unity"));
}
