//! What is written in a file, as it is written.
//!
//! YAML would read `1.50` as a half more than one and lose the nought, `0x1F`
//! as thirty-one, `no` as a refusal. A stamp is none of these: every figure
//! and label is decoded as [`Text`] and turned into a number by whoever knows
//! what it means.

use std::borrow::{Borrow, Cow};
use std::fmt;
use std::ops::Deref;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use serde::{Serialize, Serializer};

/// The characters of a scalar, without its quotes.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Text(String);

impl Text {
    /// The characters.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Text {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl From<&str> for Text {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}

impl From<Text> for String {
    fn from(text: Text) -> Self {
        text.0
    }
}

impl fmt::Display for Text {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(out)
    }
}

impl Serialize for Text {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_string(TextVisitor)
    }
}

struct TextVisitor;

impl Visitor<'_> for TextVisitor {
    type Value = Text;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("text")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Text, E> {
        Ok(Text(text.to_owned()))
    }

    fn visit_string<E: Error>(self, text: String) -> Result<Text, E> {
        Ok(Text(text))
    }
}

impl JsonSchema for Text {
    fn schema_name() -> Cow<'static, str> {
        "Text".into()
    }

    fn inline_schema() -> bool {
        true
    }

    /// An editor sees `1.50` without quotes as a number, and `no` as a boolean.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["string", "number", "boolean"] })
    }
}
