//! Two parsers, one tree.
//!
//! The gate reads with one parser and the decode with another. For every file
//! that passes, whatever was thrown together, the tree built from the events
//! of the first is compared with what the second gives: as decoded here, text
//! by text, and as serde_yaml's own `Value`, where numbers and booleans are
//! compared as what their text means. There are files in which the parsers part;
//! the decode must refuse them.

use std::fmt;

use counterbore::yaml::{Document, Limits, Path, decode, gate};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngSeed, TestRunner};
use saphyr_parser::{Event, Parser, ScalarStyle};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_yaml::Value;

use super::{in_time, passed};

#[derive(Debug, Clone, PartialEq)]
enum Tree {
    Text(String, ScalarStyle),
    List(Vec<Tree>),
    Mapping(Vec<(String, Tree)>),
}

/// A scalar of the decode; there its style is not known.
fn text(text: &str) -> Tree {
    Tree::Text(text.to_owned(), ScalarStyle::Plain)
}

impl Tree {
    fn without_style(&self) -> Self {
        match self {
            Self::Text(characters, _) => text(characters),
            Self::List(items) => Self::List(items.iter().map(Self::without_style).collect()),
            Self::Mapping(entries) => Self::Mapping(
                entries
                    .iter()
                    .map(|(key, value)| (key.clone(), value.without_style()))
                    .collect(),
            ),
        }
    }

    /// Whether serde_yaml's tree is this one.
    fn is(&self, value: &Value) -> bool {
        match (self, value) {
            (Self::Text(text, _), Value::String(string)) => text == string,
            (Self::Text(text, ScalarStyle::Plain), Value::Number(_) | Value::Bool(_)) => {
                serde_yaml::from_str::<Value>(text).unwrap() == *value
            }
            (Self::List(items), Value::Sequence(values)) => {
                items.len() == values.len()
                    && items.iter().zip(values).all(|(item, value)| item.is(value))
            }
            (Self::Mapping(entries), Value::Mapping(values)) => {
                entries.len() == values.len()
                    && entries
                        .iter()
                        .zip(values)
                        .all(|((key, item), (name, value))| {
                            Self::Text(key.clone(), ScalarStyle::Plain).is(name) && item.is(value)
                        })
            }
            _ => false,
        }
    }
}

/// The tree of the gate's parser.
fn from_events(source: &str) -> Tree {
    let mut events = Parser::new_from_str(source)
        .map(|event| event.unwrap().0)
        .skip_while(|event| matches!(event, Event::StreamStart | Event::DocumentStart(_)));
    node(&mut events).unwrap()
}

/// One node, or `None` at the end of the list or mapping.
fn node<'a>(events: &mut impl Iterator<Item = Event<'a>>) -> Option<Tree> {
    match events.next().unwrap() {
        Event::Scalar(text, style, ..) => Some(Tree::Text(text.into_owned(), style)),
        Event::SequenceStart(..) => Some(Tree::List(std::iter::from_fn(|| node(events)).collect())),
        Event::MappingStart(..) => {
            let mut entries = Vec::new();
            while let Some(Tree::Text(key, _)) = node(events) {
                entries.push((key, node(events).unwrap()));
            }
            Some(Tree::Mapping(entries))
        }
        _ => None,
    }
}

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(TreeVisitor)
    }
}

struct TreeVisitor;

impl<'de> Visitor<'de> for TreeVisitor {
    type Value = Tree;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("anything")
    }

    fn visit_str<E: Error>(self, characters: &str) -> Result<Tree, E> {
        Ok(text(characters))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Tree, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element()? {
            items.push(item);
        }
        Ok(Tree::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Tree, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Tree::Mapping(entries))
    }
}

/// What the index says of every node must be what the tree says.
fn indexed(document: &Document, path: &Path, tree: &Tree) {
    match tree {
        Tree::Text(text, style) => {
            assert_eq!(document.quoted(path), Some(*style != ScalarStyle::Plain));
            if *style == ScalarStyle::Plain && !text.contains(['\n', ' ']) {
                assert_eq!(at(document, path), *text, "{path}");
            }
        }
        Tree::List(items) => {
            for (index, item) in items.iter().enumerate() {
                indexed(document, &path.index(index), item);
            }
        }
        Tree::Mapping(entries) => {
            for (key, value) in entries {
                indexed(document, &path.key(key), value);
            }
        }
    }
}

/// The characters at a place.
fn at(document: &Document, path: &Path) -> String {
    let place = document.place(path);
    let line = document.text().lines().nth(place.line - 1).unwrap();
    line.chars()
        .skip(place.column - 1)
        .take(place.length)
        .collect()
}

/// `None` if the file is refused, by whomever.
fn agree(source: &str) -> Option<Tree> {
    let document = gate("t.yml", source.as_bytes(), Limits::PLUGIN).ok()?;
    let events = from_events(document.text());
    indexed(&document, &Path::root(), &events);
    let decoded: Tree = decode(&document).ok()?;
    assert_eq!(decoded, events.without_style(), "{source:?}");
    match serde_yaml::from_str::<Value>(document.text()) {
        Ok(value) => assert!(events.is(&value), "{source:?}: {events:?} is not {value:?}"),
        // `0o1` and `0x1` are two texts and one number.
        Err(error) => assert!(error.to_string().contains("duplicate entry"), "{error}"),
    }
    Some(events)
}

fn word() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-zé調½][a-z0-9 _.é-]{0,6}[a-z0-9]",
        "[+-]?[0-9]{1,4}(\\.[0-9]{0,3})?([eE][+-]?[0-9]{1,2})?",
        "0[xob][0-9a-f]{1,3}",
        "(true|false|yes|no|on|off|y|n|True|\\.nan|\\.inf|-\\.inf|=|nul)",
        "\\PC{0,8}",
    ]
}

/// A tree without style, to be written out.
fn tree() -> impl Strategy<Value = Tree> {
    let leaf = word().prop_map(|word| text(&word));
    leaf.prop_recursive(4, 24, 5, |inner| {
        let entry = (word(), inner.clone());
        prop_oneof![
            prop::collection::vec(inner, 0..5).prop_map(Tree::List),
            prop::collection::vec(entry, 0..5).prop_map(Tree::Mapping),
        ]
    })
}

/// Writes a tree; `taste` picks the style of each node.
fn written(tree: &Tree, indent: usize, flow: bool, taste: &mut impl Iterator<Item = u8>) -> String {
    let margin = " ".repeat(indent);
    let choice = taste.next().unwrap_or_default();
    let flow = flow || choice.is_multiple_of(3);
    let mut under = |item: &Tree| written(item, indent + 2, flow, taste);
    match tree {
        Tree::Text(word, _) => scalar(word, choice, flow, indent),
        Tree::List(items) if flow || items.is_empty() => {
            format!(
                "[{}]",
                items.iter().map(under).collect::<Vec<_>>().join(", ")
            )
        }
        Tree::List(items) => items
            .iter()
            .map(|item| format!("\n{margin}- {}", under(item)))
            .collect(),
        Tree::Mapping(entries) if flow || entries.is_empty() => {
            let entries = entries
                .iter()
                .map(|(key, item)| format!("{}: {}", scalar(key, choice, true, 0), under(item)));
            format!("{{{}}}", entries.collect::<Vec<_>>().join(", "))
        }
        Tree::Mapping(entries) => entries
            .iter()
            .map(|(key, item)| {
                format!(
                    "\n{margin}{}: {}",
                    scalar(key, choice, true, 0),
                    under(item)
                )
            })
            .collect(),
    }
}

fn scalar(word: &str, choice: u8, flow: bool, indent: usize) -> String {
    match choice % 7 {
        0 => format!("'{}'", word.replace('\'', "''")),
        1 => format!("{word:?}"),
        2 if !flow => format!("|\n{}{word}", " ".repeat(indent)),
        3 if !flow => format!(">-\n{0}{word}\n\n{0}{word}", " ".repeat(indent)),
        _ => word.to_owned(),
    }
}

fn people() -> impl Strategy<Value = String> {
    (tree(), prop::collection::vec(any::<u8>(), 40))
        .prop_map(|(tree, taste)| written(&tree, 0, false, &mut taste.into_iter()))
}

/// Pieces that mean something in YAML, and a few that do not.
fn soup() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "a", "b", "c", "7", "1.50", "é", "調", ":", ": ", "- ", "-", "? ", ", ", ",", "[", "]",
        "{", "}", "'", "\"", "\\", "\\n", "\\x41", "|", ">", "|-", ">+", "#", " #", "\n", "\n",
        "\n", "\n  ", "\n    ", "\r\n", " ", "  ", "~", "null", "true", "''", "'a'", "\"b\"", "<<",
        "---", "...", "%", "@", "`", "=", "a: ", "b: ", "\na: ", "\nb: ", "\n- ", "\n  c: ",
        "\n  - ", "\n ",
    ]);
    prop::collection::vec(piece, 1..24).prop_map(|pieces| pieces.concat())
}

/// The same files on every run.
fn settings() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(8017),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(settings())]

    #[test]
    fn on_files_as_people_write_them(source in people()) {
        agree(&source);
    }

    #[test]
    fn on_whatever_is_thrown_together(source in soup()) {
        agree(&source);
    }

    #[test]
    fn random_bytes_bring_nobody_down(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = gate("t.yml", &bytes, Limits::PLUGIN);
    }

    #[test]
    fn random_text_brings_nobody_down(source in "\\PC{0,60}|[\\PC\n]{0,60}") {
        agree(&source);
    }
}

#[test]
fn on_forms_that_parsers_are_known_to_differ_in() {
    let sources = [
        "a: b\n  c\n",
        "a: b\n\n  c\n",
        "a: 'b\n\n  c'\n",
        "a: \"b \\\n  c\"\n",
        "a: |\n  b\n\n c: d\n",
        "a: |2\n   b\n",
        "a: >\n  b\n   c\n  d\n",
        "a: >\n\n  b\n\n\n  c\n\n",
        "a: |+\n  b\n\n",
        "a: |-\n  b",
        "a: |\n  b",
        "a: >\n  b",
        "[a, b: c]",
        "{a: b,}",
        "{\"a\":b}",
        "{\"a\": b}",
        "[a:b]",
        "{a:b: c}",
        "a:b: c\n",
        "a: b:c\n",
        "a: b#c\n",
        "a: b #c\n",
        "- - a\n  - b\n",
        "- a: b\n  c: d\n",
        "a:\n- b\n- c\nd: e\n",
        "? a\n: b\n",
        "a: -\n",
        "a: - b\n",
        "a: ?b\n",
        "a: -b\n",
        "[-b, ?c, :d]",
        "'a''b': c\n",
        "a: \"\\x41\\u00e9\\U0001f3ba\"\n",
        "a: \"b\\/c\"\n",
        "a: \"\\e\"\n",
        "a: \"x\ny\"\n",
        "http://x/y: z\n",
        "a: http://x/y\n",
        "{a: http://x/y}",
        "{a: 'b', 'c': d}",
        "{a: \"b\"c}",
        "--- a\n",
        "---\n- a\n",
        "--- |\n  a\n",
        "a: b\n...\n",
        "---a: b\n",
        "a: 'b'\n...\n# x\n",
        "a: [b,\nc]\n",
        "a: [\n  b\n  ]\n",
        "a: {\n  b: c\n  }\n",
        "a: |\n    b\n   c\n",
        "a: \"b\n\n\n  c\"\n",
        "a: 'b \n c'\n",
        "a: b # c\n  # d\ne: f\n",
        "a:\n  # b\n  c: d\n",
        "#a\n\n#b\na: b\n",
        "a: |  # x\n  b\n",
    ];
    let read = sources
        .into_iter()
        .filter(|source| agree(source).is_some())
        .count();
    assert!(read > sources.len() / 2, "only {read} were read at all");
}

#[test]
fn files_that_parsers_read_differently_are_refused() {
    for source in ["{?: a}", "|\n#", "[{?: 'b'}]"] {
        let document = passed(source);
        let fault = decode::<Tree>(&document).unwrap_err();
        assert_eq!(fault.code, "two-ways", "{source:?}: {fault}");
    }
}

/// How many of 500 random files pass the gate and decode.
fn read(files: &impl Strategy<Value = String>) -> usize {
    let mut runner = TestRunner::new(settings());
    let mut file = || files.new_tree(&mut runner).unwrap().current();
    (0..500).filter(|_| agree(&file()).is_some()).count()
}

/// Otherwise the properties above would compare nothing.
#[test]
fn many_of_the_random_files_are_read() {
    let (people, thrown) = (read(&people()), read(&soup()));
    assert!(people > 150, "{people} of 500 as people write them");
    assert!(thrown > 50, "{thrown} of 500 thrown together");
}

/// The index costs no more than walking the file: a long line of wide
/// characters is not counted from its start for every word in it.
#[test]
fn a_long_wide_line_is_indexed_in_time() {
    let line = format!("[{}]", "é, ".repeat(190_000));
    in_time(move || passed(&line));
}
