//! What editors are told.

use std::collections::BTreeSet;
use std::fs;

use counterbore::scheme::schema;
use serde_json::Value;

use super::{root, same_as_file};

#[test]
fn the_committed_schema_is_the_one_that_the_types_make() {
    let text = serde_json::to_string_pretty(&schema()).unwrap() + "\n";
    same_as_file(&root().join("tables/scheme.schema.json"), &text);
}

/// Every object of a schema that lists its keys.
fn objects<'a>(schema: &'a Value, found: &mut Vec<&'a serde_json::Map<String, Value>>) {
    match schema {
        Value::Object(map) => {
            found.extend(map.get("properties").and_then(Value::as_object));
            map.values().for_each(|value| objects(value, found));
        }
        Value::Array(list) => list.iter().for_each(|value| objects(value, found)),
        _ => {}
    }
}

#[test]
fn the_manual_has_every_key() {
    let manual = fs::read_to_string(root().join("plugins/README.md")).unwrap();
    let whole_words: BTreeSet<&str> = manual
        .split(|one: char| !one.is_alphanumeric() && one != '_')
        .collect();
    let schema = schema();
    let mut found = Vec::new();
    objects(&schema, &mut found);
    let keys: BTreeSet<&str> = found
        .iter()
        .flat_map(|map| map.keys())
        .map(String::as_str)
        .collect();
    assert!(keys.len() > 40, "{keys:?}");
    let lacking: Vec<&&str> = keys
        .iter()
        .filter(|key| !whole_words.contains(**key))
        .collect();
    assert!(lacking.is_empty(), "not in plugins/README.md: {lacking:?}");
}

#[test]
fn every_key_says_what_it_is() {
    let schema = schema();
    let mut found = Vec::new();
    objects(&schema, &mut found);
    for (key, value) in found.into_iter().flatten() {
        let description = value.get("description").and_then(Value::as_str);
        assert!(
            description.is_some_and(|text| text.len() > 8),
            "{key}: {value}"
        );
    }
}

#[test]
fn an_editor_accepts_what_the_program_accepts_and_refuses_a_wrong_key() {
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    let manual = fs::read_to_string(root().join("plugins/README.md")).unwrap();
    let text = manual
        .split("```yaml\n")
        .nth(1)
        .unwrap()
        .split("```")
        .next()
        .unwrap();
    let mut scheme: Value = serde_yaml_value(text);
    if let Err(error) = validator.validate(&scheme) {
        panic!("{error}");
    }
    scheme["figures"]["rim"]["gird"] = Value::from(1);
    assert!(!validator.is_valid(&scheme));
}

/// As an editor reads it: with YAML's own types.
fn serde_yaml_value(text: &str) -> Value {
    serde_yaml::from_str(text).unwrap()
}
