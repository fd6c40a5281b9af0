//! Files made to take time or memory. Each is refused under a watchdog; the
//! figures of what they cost without the gate are measurements of serde_yaml
//! 0.9.34.

use counterbore::yaml::{Limits, OneOrMany, Ordered, Text, decode, gate};
use serde::Deserialize;
use serde::de::IgnoredAny;

use super::{codes, faults, in_time};

const MEGABYTE: usize = 1024 * 1024;

fn to_the_brim(part: &str) -> String {
    part.repeat(MEGABYTE / part.len())
}

/// 156 seconds of one core at this length.
#[test]
fn mappings_in_each_other_without_end() {
    assert_eq!(faults(to_the_brim("{a: "))[0].code, "too-deep");
}

#[test]
fn lists_in_each_other_without_end() {
    assert_eq!(faults(to_the_brim("["))[0].code, "too-deep");
    assert_eq!(codes("- ".repeat(50_000)), ["too-deep@1:65"]);
    assert_eq!(codes(to_the_brim("- ")), ["too-deep@1:65"]);
}

#[test]
fn keys_in_keys_without_end() {
    assert_eq!(codes(to_the_brim("? ")), ["key@1:3"]);
    assert_eq!(faults(to_the_brim("{? "))[0].code, "too-deep");
}

#[test]
fn a_stair_of_indented_keys() {
    let stair: String = (0..1000).map(|step| " ".repeat(step) + "a:\n").collect();
    assert_eq!(codes(stair), ["too-deep@33:33"]);
}

#[test]
fn depth_up_to_the_limit_is_let_in() {
    let nested = |depth: usize| "[".repeat(depth) + &"]".repeat(depth);
    assert!(gate("t.yml", nested(32).as_bytes(), Limits::PLUGIN).is_ok());
    assert_eq!(faults(nested(33))[0].code, "too-deep");
}

/// 212 KB that become 786 MB.
#[test]
fn one_large_anchor_used_often() {
    let mut file = format!("a: &a {}\nb:\n", "x".repeat(200_000));
    file += &"- *a\n".repeat(4000);
    let found = codes(file);
    assert_eq!(found, ["anchor@1:4", "alias@3:3"]);
}

#[test]
fn anchors_that_double_each_other() {
    let mut file = "a0: &a0 x\n".to_owned();
    for level in 1..30 {
        let before = level - 1;
        file += &format!("a{level}: &a{level} [*a{before}, *a{before}]\n");
    }
    assert_eq!(faults(file)[0].code, "anchor");
}

#[test]
fn too_many_nodes() {
    let row = "- [1, 2, 3]\n";
    assert_eq!(faults(row.repeat(60_000))[0].code, "too-many");
    assert_eq!(faults("- x\n".repeat(200_000))[0].code, "too-many");
    // Measured points are counted as they come, in a plug-in of any size; other lists are not.
    let points = |key: &str| format!("traces:\n  - {key}: [{}]\n", "[0,1],".repeat(20_001));
    let found = faults(points("points"));
    assert_eq!(
        found[0].to_string().lines().next(),
        Some("t.yml:2:120014: more than 20000 points [too-many]")
    );
    assert!(gate("t.yml", points("rows").as_bytes(), Limits::CATALOGUE).is_ok());
}

#[test]
fn fifty_megabytes_are_refused_unread() {
    let found = faults(vec![b'{'; 50 * MEGABYTE]);
    assert_eq!(
        found[0].to_string(),
        "t.yml: the file has 52428800 bytes, more than the 1048576 it may have [too-large]\n  \
         mend: split it into several files"
    );
}

/// Shapes that are slow in one parser or another, all of them a full megabyte.
#[test]
fn long_monotonous_files_end() {
    let parts = [
        "a",
        "a ",
        "a:",
        "a: ",
        "'",
        "\"",
        "\\",
        "#",
        "# ",
        "\n",
        "\r\n",
        " ",
        "-",
        "-\n",
        "- -",
        "[]",
        "[],",
        "{}",
        "{},",
        "}",
        "]",
        ",",
        ":",
        ": ",
        "? ",
        "!",
        "! ",
        "!a ",
        "&a ",
        "*a ",
        "&",
        "*",
        "|\n",
        ">\n",
        "|",
        "%",
        "%a\n",
        "@",
        "`",
        "---\n",
        "...\n",
        "~",
        "~\n",
        "é",
        "é: ",
        "é\n",
        "\"\\n\"",
        "'a' ",
        "a\n\n",
        "[a, ",
        "{a: b, ",
        "[[",
        "[{",
        "a: [\n",
        "- [\n",
        "a: b\n",
        "a: |\n  b\n",
        "\"a\n",
        "[a: b,",
        "é[",
        "[é,",
        "<<: a\n",
    ];
    for part in parts {
        in_time(move || {
            read_both_ways(&to_the_brim(part));
            read_both_ways(&format!("[{}", part.repeat((MEGABYTE - 1) / part.len())));
        });
    }
}

/// With the gate, and with serde_yaml if the gate lets it.
fn read_both_ways(file: &str) -> bool {
    match gate("t.yml", file.as_bytes(), Limits::PLUGIN) {
        Ok(document) => decode::<IgnoredAny>(&document).is_ok(),
        Err(_) => false,
    }
}

#[test]
fn large_files_that_pass_are_decoded_in_time() {
    let deep = |inner: &str| "[".repeat(31) + inner + &"]".repeat(31);
    let keys: String = (0..60_000)
        .map(|number| format!("k{number}: x\n"))
        .collect();
    let files = [
        deep(&"a, ".repeat(150_000)),
        deep(&"[], ".repeat(150_000)),
        keys,
        format!("a: {}\n", "x".repeat(1_000_000)),
        format!("a: {}\n", "x ".repeat(500_000)),
        format!("a: x\n{}", "  x\n".repeat(250_000)),
        format!("a: \"{}\"\n", "\\u00e9".repeat(170_000)),
        format!("a: '{}'\n", "''".repeat(500_000)),
        format!("a: |\n{}", "  x\n".repeat(250_000)),
        format!("a: >\n{}", "  x\n\n".repeat(200_000)),
        format!("a: |+\n  x\n{}", "\n".repeat(1_000_000)),
        format!("a: x\n{}", "# y\n".repeat(250_000)),
        format!("a: x {}\n", "#".repeat(1_000_000)),
        "- 調\n".repeat(150_000),
        "- - - a\n".repeat(40_000),
    ];
    for file in files {
        let start: String = file.chars().take(40).collect();
        assert!(in_time(move || read_both_ways(&file)), "{start:?}");
    }
}

#[test]
fn fifty_faults_are_enough() {
    assert_eq!(faults("- ~\n".repeat(1000)).len(), 50);
    assert_eq!(faults("a: 1\n".repeat(1000)).len(), 50);
    assert_eq!(faults("\t\n".repeat(1000)).len(), 50);
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    rows: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    stamp: Text,
    rim: Text,
    words: OneOrMany<Text>,
    marks: Ordered<Text>,
}

fn table(rows: usize) -> String {
    let row = |number: usize| {
        format!("- {{stamp: T{number}, rim: 16.{number:04}, words: [a, b], marks: {{x: 1E2}}}}\n")
    };
    "rows:\n".to_owned() + &(0..rows).map(row).collect::<String>()
}

#[test]
fn a_large_honest_table_is_let_in() {
    let file = table(50_000);
    assert!(file.len() > 3_000_000);
    let rows = in_time(move || {
        let document = gate("t.yml", file.as_bytes(), Limits::TABLE).unwrap();
        decode::<Table>(&document).unwrap().rows
    });
    let last = rows.last().unwrap();
    assert_eq!(rows.len(), 50_000);
    assert_eq!(last.stamp.as_str(), "T49999");
    assert_eq!(last.rim.as_str(), "16.49999");
    assert_eq!(last.words.len(), 2);
    assert_eq!(last.marks[0].1.as_str(), "1E2");
}
