//! From a file to a type. The types and figures are invented.

use counterbore::yaml::{OneOrMany, Ordered, Text, decode};
use schemars::{JsonSchema, schema_for};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::json;

use super::passed;

/// How figures and labels are stamped, each of which YAML would change.
const STAMPED: [&str; 14] = [
    "1.50",
    "007",
    "1E2",
    "0x1F",
    "0o17",
    "+5",
    "true",
    "no",
    "-0",
    ".5",
    "1_000",
    "12e03",
    ".nan",
    "2001-01-01",
];

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "only whether it can be read is tested")]
struct Scheme {
    title: Text,
    #[serde(default)]
    serves: OneOrMany<Text>,
    #[serde(default)]
    figures: Ordered<Figure>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "only whether it can be read is tested")]
struct Figure {
    unit: Text,
    step: Option<u32>,
    factor: Option<f64>,
    exact: Option<bool>,
    form: Option<Form>,
    pair: Option<(Text, Text)>,
}

#[derive(Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Form {
    Straight,
    Bowl,
    Mixed(OneOrMany<Text>),
    Traced { from: Text },
}

fn said<T: DeserializeOwned + std::fmt::Debug>(text: &str) -> String {
    decode::<T>(&passed(text))
        .expect_err("a file that does not fit")
        .to_string()
}

fn figure(line: &str) -> String {
    format!("title: x\nfigures:\n  rim:\n    unit: mm\n    {line}\n")
}

#[test]
fn what_is_stamped_stays() {
    for stamp in STAMPED {
        let text: Text = decode(&passed(stamp)).unwrap();
        assert_eq!(text.as_str(), stamp);
        let one: OneOrMany<Text> = decode(&passed(stamp)).unwrap();
        assert_eq!(one[0].as_str(), stamp);
        let many: OneOrMany<Text> = decode(&passed(&format!("[a, {stamp}]"))).unwrap();
        assert_eq!(many[1].as_str(), stamp);
        let keys: Ordered<Text> = decode(&passed(&format!("{stamp}: {stamp}\n"))).unwrap();
        assert_eq!(keys[0], (Text::from(stamp), Text::from(stamp)));
        let form: Form = decode(&passed(&format!("mixed: {stamp}\n"))).unwrap();
        let Form::Mixed(words) = form else {
            panic!("{form:?}")
        };
        assert_eq!(words[0].as_str(), stamp);
    }
}

#[test]
fn mappings_keep_their_order() {
    let ordered: Ordered<Text> = decode(&passed("z: 1\na: 2\nm: 3\n")).unwrap();
    let keys: Vec<_> = ordered.iter().map(|(key, _)| key.as_str()).collect();
    assert_eq!(keys, ["z", "a", "m"]);
}

#[test]
fn one_or_many_takes_mappings_too() {
    let one: OneOrMany<Ordered<Text>> = decode(&passed("a: 1\n")).unwrap();
    let many: OneOrMany<Ordered<Text>> = decode(&passed("- a: 1\n- b: 2\n")).unwrap();
    assert_eq!((one.len(), many.len()), (1, 2));
}

#[test]
fn enums_are_a_word_or_a_mapping_of_one_key() {
    let form = |text: &str| decode::<Form>(&passed(text)).unwrap();
    assert_eq!(form("bowl"), Form::Bowl);
    let from = Text::from("1.50");
    assert_eq!(form("traced: {from: 1.50}\n"), Form::Traced { from });
}

#[test]
fn an_unknown_key_is_answered_with_the_known_ones() {
    assert_eq!(
        said::<Scheme>(&figure("stpe: 12")),
        "t.yml:5:5: `stpe` is not a key of `figures.rim` [unknown-key]\n  \
         mend: did you mean `step`? the keys here are `unit`, `step`, `factor`, `exact`, `form`, `pair`"
    );
    assert_eq!(
        said::<Scheme>("title: x\nzone: 1\n"),
        "t.yml:2:1: `zone` is not a key of this file [unknown-key]\n  \
         mend: the keys here are `title`, `serves`, `figures`"
    );
}

#[test]
fn an_unknown_key_may_be_anything() {
    let odd = "\"a`, expected `b\": 1\n";
    assert!(said::<Scheme>(odd).contains("the keys here are `title`, `serves`, `figures`"));
}

#[test]
fn a_missing_key_is_named_where_it_is_missing() {
    assert_eq!(
        said::<Scheme>("title: x\nfigures:\n  rim:\n    step: 1\n"),
        "t.yml:3:3: the key `unit` is missing in `figures.rim` [missing-key]\n  \
         mend: add `unit: ...`"
    );
    assert_eq!(
        said::<Scheme>("serves: x\n"),
        "t.yml: the key `title` is missing [missing-key]\n  mend: add `title: ...`"
    );
}

#[test]
fn a_wrong_type_says_what_was_found_and_what_is_expected() {
    let cases = [
        (
            "step: many",
            "`figures.rim.step`: expected a whole number from 0 up, found `many`",
        ),
        (
            "step: -1",
            "`figures.rim.step`: expected a whole number from 0 up, found `-1`",
        ),
        (
            "step: [1]",
            "`figures.rim.step`: expected a whole number from 0 up, found a list",
        ),
        (
            "factor: {a: 1}",
            "`figures.rim.factor`: expected a number, found a mapping",
        ),
        (
            "exact: no",
            "`figures.rim.exact`: expected `true` or `false`, found `no`",
        ),
        (
            "pair: ab",
            "`figures.rim.pair`: expected a list of 2, found `ab`",
        ),
        (
            "pair: [a]",
            "`figures.rim.pair`: expected a list of 2, found 1 value",
        ),
        (
            "pair: [a, b, c]",
            "`figures.rim.pair`: expected a list of 2, found 3 values",
        ),
        (
            "pair: [a, [b]]",
            "`figures.rim.pair[1]`: expected text, found a list",
        ),
        (
            "form: {mixed: {a: [x]}}",
            "`figures.rim.form.mixed`: expected text, found a mapping",
        ),
    ];
    for (line, message) in cases {
        let found = said::<Scheme>(&figure(line));
        assert!(found.contains(message), "{line}: {found}");
        let column = found.split(':').nth(2).unwrap();
        assert_ne!(column, "5", "the value is meant, not its key: {found}");
    }
    assert_eq!(
        said::<Scheme>(&figure("step: \"12\"")),
        "t.yml:5:11: `figures.rim.step`: expected a whole number from 0 up, found `\"12\"` \
         [wrong-type]\n  mend: take the quotes away"
    );
    assert_eq!(
        said::<Scheme>("- a\n"),
        "t.yml:1:1: expected a mapping, found a list [wrong-type]"
    );
}

#[test]
fn what_is_no_number_is_no_measure() {
    for word in [".nan", ".inf", "-.inf", "1e999", "nan", "inf"] {
        let found = said::<Scheme>(&figure(&format!("factor: {word}")));
        let expected = format!("expected a number, found `{word}` [wrong-type]");
        assert!(
            found.starts_with("t.yml:5:13: ") && found.contains(&expected),
            "{found}"
        );
    }
}

#[test]
fn a_fault_inside_an_enum_is_where_it_is() {
    assert_eq!(
        said::<Scheme>(&figure("form: bowel")),
        "t.yml:5:11: `figures.rim.form`: `bowel` is not one of the words for this [unknown-word]\n  \
         mend: did you mean `bowl`? the words are `straight`, `bowl`, `mixed`, `traced`"
    );
    let inside = said::<Scheme>(&figure("form: {traced: {from: [1]}}"));
    assert!(inside.starts_with("t.yml:5:27: `figures.rim.form.traced.from`: expected text"));
    let variant = said::<Scheme>(&figure("form: {tracked: {from: 1}}"));
    assert!(variant.contains("did you mean `traced`?"), "{variant}");
    let two = said::<Scheme>(&figure("form: {traced: {from: 1}, mixed: a}"));
    assert!(two.contains("expected one key, found 2 values"), "{two}");
}

#[test]
fn deep_in_a_list_the_place_is_exact() {
    let mut rows: String = (0..100).map(|row| format!("- [a{row}, b]\n")).collect();
    rows += "- [a, [b]]\n";
    assert_eq!(
        said::<Vec<(Text, Text)>>(&rows),
        "t.yml:101:7: `[100][1]`: expected text, found a list [wrong-type]"
    );
}

#[test]
fn long_values_are_not_repeated_whole() {
    let found = said::<Scheme>(&figure(&format!("step: {}", "x".repeat(1000))));
    assert!(found.len() < 200, "{found}");
}

#[test]
fn the_schema_takes_what_the_decode_takes() {
    let schema = serde_json::to_value(schema_for!(Scheme)).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    let good = [
        json!({"title": "x"}),
        json!({"title": 7, "serves": 1.5}),
        json!({"title": false, "serves": ["a", 2, true]}),
        json!({"title": "x", "figures": {"a": {"unit": "mm"}, "b": {"unit": 1, "step": 3}}}),
    ];
    for value in good {
        assert!(schema.is_valid(&value), "{value}");
        decode::<Scheme>(&passed(&value.to_string())).unwrap();
    }
    let bad = [
        json!({}),
        json!({"title": ["x"]}),
        json!({"title": "x", "serves": [["a"]]}),
        json!({"title": "x", "figures": {"a": "mm"}}),
        json!({"title": "x", "figures": [1]}),
    ];
    for value in bad {
        assert!(!schema.is_valid(&value), "{value}");
        decode::<Scheme>(&passed(&value.to_string())).unwrap_err();
    }
}

#[test]
fn text_goes_out_as_it_came_in() {
    let text: Text = decode(&passed("007")).unwrap();
    assert_eq!(serde_json::to_value(&text).unwrap(), json!("007"));
}
