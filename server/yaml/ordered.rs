//! A mapping that keeps the order of the file.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;
use std::ops::Deref;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};

use super::Text;

/// Keys with their values, as they follow each other. The gate has seen to it
/// that no key comes twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ordered<V>(Vec<(Text, V)>);

impl<V> Default for Ordered<V> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<V> Deref for Ordered<V> {
    type Target = [(Text, V)];

    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl<V> IntoIterator for Ordered<V> {
    type Item = (Text, V);
    type IntoIter = std::vec::IntoIter<(Text, V)>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'de, V: Deserialize<'de>> Deserialize<'de> for Ordered<V> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(OrderedVisitor(PhantomData))
    }
}

struct OrderedVisitor<V>(PhantomData<V>);

impl<'de, V: Deserialize<'de>> Visitor<'de> for OrderedVisitor<V> {
    type Value = Ordered<V>;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("a mapping")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Ordered(entries))
    }
}

impl<V: JsonSchema> JsonSchema for Ordered<V> {
    fn schema_name() -> Cow<'static, str> {
        format!("Ordered_{}", V::schema_name()).into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = generator.subschema_for::<V>();
        json_schema!({ "type": "object", "additionalProperties": value })
    }
}
