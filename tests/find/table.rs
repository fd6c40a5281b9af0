//! The table of misreadings.

use counterbore::stamp::Glyphs;
use counterbore::yaml::{Limits, gate};

use crate::schemes;

/// Everything that is said of a table.
fn faults(text: &str) -> Vec<String> {
    let document = gate("glyphs.yml", text.as_bytes(), Limits::PLUGIN).unwrap();
    Glyphs::read(&document).map_or_else(
        |faults| faults.iter().map(ToString::to_string).collect(),
        |_| Vec::new(),
    )
}

fn ours() -> String {
    include_str!("../../tables/glyphs.yml").to_owned()
}

// source: decoding of Python package base32-crockford 0.3.0; confusables of Unicode UTS 39 as in Python package
// confusable_homoglyphs 3.3.1, ASCII only
#[test]
fn published_look_alikes_are_cheaper_than_others() {
    let glyphs = schemes::our_glyphs();
    let other = glyphs.substitution('A', 'X');
    let published = [
        ('0', 'O'),
        ('1', 'I'),
        ('1', 'L'),
        ('I', 'L'),
        ('|', 'L'),
        ('0', 'o'),
        ('1', 'l'),
    ];
    for (one, two) in published {
        assert!(glyphs.substitution(one, two) < other / 2.0, "{one} {two}");
        assert_eq!(glyphs.substitution(one, two), glyphs.substitution(two, one));
    }
    assert!(
        glyphs
            .split('m', ['r', 'n'])
            .is_some_and(|cost| cost < other)
    );
}

// source: character list of Python package nlpaug 1.1.11 (MIT)
#[test]
fn look_alikes_of_print_are_cheaper_than_others() {
    let glyphs = schemes::our_glyphs();
    let other = glyphs.substitution('A', 'X');
    let listed = [
        ('0', "89OD"),
        ('1', "47LI"),
        ('2', "Z"),
        ('5', "8"),
        ('6', "B"),
        ('8', "S&"),
        ('9', "GQ"),
        ('O', "U"),
        ('R', "K"),
        ('C', "G"),
        ('O', "D"),
        ('E', "B"),
    ];
    for (meant, seen) in listed
        .iter()
        .flat_map(|(meant, all)| all.chars().map(move |seen| (*meant, seen)))
    {
        assert!(glyphs.substitution(meant, seen) < other, "{meant} {seen}");
    }
}

#[test]
fn case_and_blanks_are_free() {
    let glyphs = schemes::our_glyphs();
    assert_eq!(glyphs.substitution('k', 'K'), 0.0);
    assert!(
        glyphs.lost(' ') < 1.0 && glyphs.lost('-') < 1.0 && glyphs.substitution('/', '-') < 1.0
    );
    assert!(glyphs.lost('W') > 3.0 && glyphs.extra('W') > 3.0);
}

#[test]
fn the_table_says_that_it_is_judged() {
    assert!(ours().contains("not calibrated"));
}

#[test]
fn faults_are_all_told_with_their_places() {
    let text = "source: invented\nother: heavy\nlost: 1\nextra: 1\nswapped: 1\ncase: 1\n\
        separator: {lost: 1, extra: 1, changed: 1}\nmissing: {start: 3, end: 3}\nmisread: 1.5\n\
        unknown: {share: 0.05, glyphs: 40}\n";
    assert_eq!(
        faults(text),
        [
            "glyphs.yml:2:8: `other`: `heavy` is not a number from 0 to 700 [glyph-table]\n  mend: write a plain number, as `2.5`",
            "glyphs.yml:9:10: `misread`: `1.5` is not a number from 0.000000001 to 0.999999999 [glyph-table]\n  mend: write a plain number, as `2.5`",
        ]
    );
}

#[test]
fn odd_rows_are_refused() {
    let one = faults(&format!(
        "{}  - {{glyphs: \"X\", lost: 1, extra: 1}}\n",
        ours().replace("glyphs: \"0Q\"", "glyphs: \"Q\"")
    ));
    assert_eq!(one.len(), 1);
    assert!(
        one[0].contains("`Q` is not two glyphs or more"),
        "{}",
        one[0]
    );
    let split = faults(&ours().replace("seen: VV", "seen: VVV"));
    assert!(
        split[0].contains("`VVV` for `W` is not one glyph for one or two"),
        "{}",
        split[0]
    );
    let source =
        faults(&ours().replace("source: judged by this project, no source", "source: \" \""));
    assert!(source[0].contains("an empty source"), "{}", source[0]);
    let key = faults(&ours().replace("swapped:", "swaped:"));
    assert!(
        key[0].contains("`swaped` is not a key of this file"),
        "{}",
        key[0]
    );
}
