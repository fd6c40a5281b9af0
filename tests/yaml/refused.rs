//! What can be read in two ways.

use super::{codes, faults, passed};

fn only(text: &str) -> String {
    let found = faults(text);
    assert_eq!(found.len(), 1, "{found:?}");
    found[0].to_string()
}

#[test]
fn equal_keys_are_shown_at_both_places() {
    let expected = "t.yml:3:1: the key `rim` stands here twice [duplicate-key]\n  \
                    t.yml:1:1: first here\n  mend: keep one of the two";
    assert_eq!(only("rim: 1\ncup: 2\nrim: 3\n"), expected);
}

#[test]
fn equal_keys_are_found_however_they_are_written() {
    assert_eq!(codes("a: 1\n\"a\": 2\n"), ["duplicate-key@2:1"]);
    assert_eq!(codes("{a: 1, 'a': 2}"), ["duplicate-key@1:8"]);
    assert_eq!(codes("é: 1\n\"\\u00e9\": 2\n"), ["duplicate-key@2:1"]);
    assert_eq!(codes("a: {b: 1, c: {b: 1}, b: 2}"), ["duplicate-key@1:22"]);
    assert_eq!(
        codes("a: 1\na: 2\na: 3\n"),
        ["duplicate-key@2:1", "duplicate-key@3:1"]
    );
    let same_in_different_mappings = "- {a: 1}\n- {a: {a: 2}}\n";
    passed(same_in_different_mappings);
}

#[test]
fn nulls_are_refused_with_what_to_do() {
    assert_eq!(
        only("scheme: ~\n"),
        "t.yml:1:9: `~` means \"nothing\" in YAML [null]\n  \
         mend: leave the key out; if the word is meant, quote it: \"~\""
    );
    assert_eq!(
        only("a: 1\nscheme:\n"),
        "t.yml:2:1: a value is missing [null]\n  \
         mend: write a value, or leave the key out; an empty text is \"\""
    );
    for word in ["null", "Null", "NULL"] {
        assert_eq!(codes(format!("- {word}\n")), ["null@1:3"]);
    }
    assert_eq!(codes("{a, b: 1}"), ["null@1:2"]);
    assert_eq!(codes("[a: ]"), ["null@1:2"]);
    assert_eq!(codes(": 1\n"), ["null@1:1"]);
    assert_eq!(codes("~: 1\n"), ["null@1:1"]);
    assert_eq!(codes("-\n- a\n"), ["null@1:2"]);
    passed("a: \"\"\nb: '~'\nc: \"null\"\nd: nULL\ne: nil\n");
}

#[test]
fn nothing_is_not_a_file() {
    for nothing in [
        "",
        "\n",
        "# only a remark\n",
        "---\n",
        "---\n...\n",
        "\u{feff}",
    ] {
        assert_eq!(codes(nothing), ["empty@0:0"], "{nothing:?}");
    }
}

#[test]
fn second_documents_are_refused() {
    assert_eq!(codes("a: 1\n---\nb: 2\n"), ["documents@2:1"]);
    assert_eq!(codes("a: 1\n...\n---\nb: 2\n"), ["documents@3:1"]);
    passed("---\na: 1\n...\n");
}

#[test]
fn references_are_refused() {
    assert_eq!(codes("a: &x 1\n"), ["anchor@1:4"]);
    assert_eq!(codes("a: &x [1]\n"), ["anchor@1:4"]);
    assert_eq!(codes("&x a: 1\n"), ["anchor@1:1"]);
    assert_eq!(codes("a: &x 1\nb: *x\n"), ["anchor@1:4", "alias@2:4"]);
    assert_eq!(codes("a: *finish\n"), ["alias@1:4"]);
    assert_eq!(codes("<<: {a: 1}\n"), ["merge@1:1"]);
    assert_eq!(
        codes("a: &x {b: 1}\nc:\n  <<: 1\n"),
        ["anchor@1:4", "merge@3:3"]
    );
}

#[test]
fn tags_and_directives_are_refused() {
    for tagged in [
        "a: !!str 1\n",
        "a: !x 1\n",
        "a: ! 1\n",
        "a: !<x> [1]\n",
        "a: !!map {}\n",
    ] {
        assert_eq!(codes(tagged), ["tag@1:4"], "{tagged}");
    }
    assert_eq!(codes("!!str a: 1\n"), ["tag@1:1"]);
    assert_eq!(codes("%YAML 1.1\n---\na: 1\n"), ["directive@1:1"]);
    assert_eq!(
        codes("# x\n%TAG ! tag:x,1:\n---\na: 1\n"),
        ["directive@2:1"]
    );
}

#[test]
fn keys_are_scalars() {
    assert_eq!(codes("[a]: 1\n"), ["key@1:1"]);
    assert_eq!(codes("{{a: 1}: 2}\n"), ["key@1:2"]);
    assert_eq!(codes("? - a\n: 1\n"), ["key@1:3"]);
}

#[test]
fn unseen_characters_are_named_and_not_shown() {
    let right_to_left = only("a: x\u{202e}y\n");
    assert_eq!(
        right_to_left,
        "t.yml:1:5: a character that cannot be seen, U+202E [unseen-character]\n  mend: delete it"
    );
    let unseen = [
        '\0',
        '\u{1}',
        '\u{7}',
        '\u{b}',
        '\u{1b}',
        '\u{7f}',
        '\u{85}',
        '\u{9b}',
        '\u{ad}',
        '\u{200b}',
        '\u{200e}',
        '\u{2028}',
        '\u{2029}',
        '\u{202a}',
        '\u{2060}',
        '\u{2066}',
        '\u{2069}',
        '\u{feff}',
        '\u{fffe}',
        '\u{e0041}',
    ];
    for character in unseen {
        let raw = format!("a: x{character}\n");
        assert_eq!(codes(raw), ["unseen-character@1:5"], "{character:?}");
        let escaped = format!("a: \"x\\U{:08x}\"\n", u32::from(character));
        assert_eq!(codes(escaped), ["unseen-character@1:4"], "{character:?}");
    }
    passed("a: é ½ 調 \u{1f3ba} ß\nb: \"x\\ty\\n\"\n");
}

#[test]
fn carriage_returns_belong_to_line_ends() {
    passed("a: 1\r\nb: 2\r\n");
    assert_eq!(codes("a: 1\rb: 2\n"), ["unseen-character@1:5"]);
    passed("a: 1\r");
}

#[test]
fn tabs_are_refused_with_a_hint() {
    assert_eq!(
        only("a:\n\tb: 1\n"),
        "t.yml:2:1: a tab where only spaces may be [tab]\n  \
         mend: use spaces; within text write \"\\t\""
    );
    assert_eq!(codes("a: 1\t# x\n\t\tb: 1\n"), ["tab@1:5", "tab@2:1"]);
}

#[test]
fn only_utf8_is_text() {
    assert_eq!(
        faults(b"a: 1\nb: caf\xe9\n".to_vec())[0].to_string(),
        "t.yml:2:7: byte 0xE9 is not UTF-8 text [not-utf8]\n  \
         mend: save the file with the encoding UTF-8"
    );
    assert_eq!(faults(b"\xff\xfea\0:\0".to_vec())[0].code, "not-utf8");
}

#[test]
fn broken_yaml_has_a_place() {
    let broken = [
        ("a: b: c\n", "yaml-syntax@1:5"),
        ("a: 'b\n", "yaml-syntax@1:4"),
        ("a: [1, 2\nb: 3\n", "yaml-syntax@2:2"),
        ("a: 1\n b: 2\n", "yaml-syntax@2:3"),
        ("a: 1\nb\n", "yaml-syntax@3:1"),
        ("a: @x\n", "yaml-syntax@1:4"),
    ];
    for (text, code) in broken {
        assert_eq!(codes(text), [code], "{text}");
    }
}

#[test]
fn all_faults_are_reported() {
    let found = codes("a: ~\nb: !x 1\nc: 1\nc: 2\n");
    assert_eq!(found, ["null@1:4", "tag@2:4", "duplicate-key@4:1"]);
}
