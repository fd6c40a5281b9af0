//! Where things stand.

use counterbore::yaml::{Document, Limits, Path, gate};

use super::{codes, passed};

fn at(document: &Document, path: &Path) -> (usize, usize, usize) {
    let place = document.place(path);
    (place.line, place.column, place.length)
}

fn key_at(document: &Document, path: &Path) -> (usize, usize, usize) {
    let place = document.place_of_key(path);
    (place.line, place.column, place.length)
}

#[test]
fn values_and_keys() {
    let document = passed("figures:\n  rim: {unit: mm, among: [ab, \"c d\"]}\n  cup:\n  - 7\n");
    let rim = Path::root().key("figures").key("rim");
    assert_eq!(at(&document, &rim.key("unit")), (2, 15, 2));
    assert_eq!(key_at(&document, &rim.key("unit")), (2, 9, 4));
    assert_eq!(at(&document, &rim.key("among").index(1)), (2, 31, 5));
    assert_eq!(key_at(&document, &rim.key("among").index(1)), (2, 31, 5));
    assert_eq!(at(&document, &rim.key("among")), (2, 26, 11));
    assert_eq!(at(&document, &rim), (2, 8, 30));
    assert_eq!(key_at(&document, &rim), (2, 3, 3));
    let cup = Path::root().key("figures").key("cup");
    assert_eq!(at(&document, &cup.index(0)), (4, 5, 1));
}

#[test]
fn what_is_not_there_is_at_what_is_above() {
    let document = passed("a:\n  b: [x]\n");
    let b = Path::root().key("a").key("b");
    assert_eq!(at(&document, &b.index(4)), (2, 3, 1));
    assert_eq!(key_at(&document, &b.index(4).key("c")), (2, 3, 1));
    assert_eq!(at(&document, &b.key("0")), (2, 3, 1));
    assert!(document.place(&Path::root().key("z")).is_whole());
    assert!(document.place_of_key(&Path::root()).is_whole());
    assert_eq!(at(&document, &Path::root()), (1, 1, 2));
}

#[test]
fn line_ends_do_not_matter() {
    let text = "a: 1\nb:\n  c: [x, y]\n  d: |\n    z\ne: 2";
    let paths = [
        Path::root().key("a"),
        Path::root().key("b").key("c").index(1),
        Path::root().key("b").key("d"),
        Path::root().key("e"),
    ];
    let (unix, dos) = (passed(text), passed(&text.replace('\n', "\r\n")));
    for path in paths {
        assert_eq!(unix.place(&path), dos.place(&path), "{path}");
    }
    assert_eq!(at(&dos, &Path::root().key("e")), (6, 4, 1));
}

#[test]
fn columns_are_characters() {
    let document = passed("調律: \"½ é\"\nß: [\u{1f3ba}, b]\n");
    assert_eq!(at(&document, &Path::root().key("調律")), (1, 5, 5));
    assert_eq!(key_at(&document, &Path::root().key("調律")), (1, 1, 2));
    assert_eq!(at(&document, &Path::root().key("ß").index(1)), (2, 8, 1));
    assert_eq!(codes("調律: é\nb: é ~\n調律: 1\n"), ["duplicate-key@3:1"]);
    assert_eq!(codes("- é: ~\n"), ["null@1:6"]);
}

#[test]
fn a_byte_order_mark_takes_no_column() {
    let document = gate("t.yml", "\u{feff}a: b\n".as_bytes(), Limits::PLUGIN).unwrap();
    assert_eq!(at(&document, &Path::root().key("a")), (1, 4, 1));
    assert_eq!(document.text(), "a: b\n");
    assert_eq!(codes("\u{feff}\u{feff}a: b\n"), ["unseen-character@1:1"]);
}

#[test]
fn the_first_line_and_a_last_one_without_an_end() {
    assert_eq!(codes("~"), ["null@1:1"]);
    assert_eq!(codes("a: 1\nb: ~"), ["null@2:4"]);
    assert_eq!(codes("a: 1\r\nb: ~"), ["null@2:4"]);
    assert_eq!(codes("a: 1\na: 2"), ["duplicate-key@2:1"]);
    assert_eq!(codes("a: 1\nb:"), ["null@2:1"]);
}

#[test]
fn quotes_are_remembered() {
    let document = passed("a: 1.50\nb: '1.50'\nc: |\n  1.50\nd: []\n");
    let quoted = |key: &str| document.quoted(&Path::root().key(key));
    assert_eq!(quoted("a"), Some(false));
    assert_eq!(quoted("b"), Some(true));
    assert_eq!(quoted("c"), Some(true));
    assert_eq!(quoted("d"), None);
    assert_eq!(quoted("e"), None);
}

#[test]
fn paths_read_as_people_write_them() {
    let path = Path::root().key("entries").key("rows").index(3).index(1);
    assert_eq!(path.to_string(), "entries.rows[3][1]");
    assert_eq!(Path::root().to_string(), "");
    assert_eq!(path, path.clone());
    assert_ne!(path, path.index(0));
}
