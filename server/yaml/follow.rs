//! Serde's walk through a file, followed on the gate's index.
//!
//! A [`Follow`] wraps whatever serde hands down (deserializers, visitors,
//! seeds, accesses) and knows which node it stands on. That gives three things
//! which serde_yaml alone does not:
//!
//! * the first fault is noted with its node and in its own words, before
//!   anybody adds a position to them;
//! * who asks for "anything" gets scalars as text, so `1.50` and `0x1F` keep
//!   their characters;
//! * a mapping of one key can be an enum with a value; serde_yaml wants a tag.
//!
//! The walk is also where two parsers meet. A text, a key or a number of items
//! that is not what the gate saw ends it: such a file can be read in two ways.
//! What the type does not ask for is not compared.

use std::cell::RefCell;
use std::fmt::Display;

use serde::de::value::MapAccessDeserializer;
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, Unexpected, Visitor,
};

use super::document::{Document, Kind, ROOT, fingerprint};

/// The message of a [`Fault`] where the two parsers part.
pub(super) const TWO_WAYS: &str = "this can be read in two ways";

/// The document, and the first fault on the way.
pub(super) struct Trail<'a> {
    document: &'a Document,
    fault: RefCell<Option<Fault>>,
}

/// What went wrong, in serde's words.
#[derive(Debug)]
pub(super) struct Fault {
    pub node: usize,
    /// Whether the node's key is meant and not its value.
    pub on_key: bool,
    pub message: String,
}

impl<'a> Trail<'a> {
    pub fn new(document: &'a Document) -> Self {
        Self {
            document,
            fault: RefCell::new(None),
        }
    }

    /// Follows a seed from the root.
    pub fn follow<S>(&'a self, seed: S) -> Follow<'a, S> {
        let root = Spot {
            trail: self,
            node: ROOT,
            on_key: false,
        };
        root.with(seed)
    }

    pub fn into_fault(self) -> Option<Fault> {
        self.fault.into_inner()
    }
}

/// Where serde is.
#[derive(Clone, Copy)]
struct Spot<'a> {
    trail: &'a Trail<'a>,
    node: usize,
    on_key: bool,
}

impl<'a> Spot<'a> {
    fn with<X>(self, inner: X) -> Follow<'a, X> {
        Follow { inner, spot: self }
    }

    /// For `map_err`: notes an error unless it only passes through.
    fn note<E: Display>(self) -> impl FnOnce(E) -> E {
        move |error| {
            self.trail.fault.borrow_mut().get_or_insert_with(|| Fault {
                node: self.node,
                on_key: self.on_key,
                message: error.to_string(),
            });
            error
        }
    }

    /// The access to what is under this spot.
    fn inside<A>(self, access: A) -> Inside<'a, A> {
        Inside {
            access,
            above: self,
            next: self.trail.document.first_child(self.node),
        }
    }

    fn checked<E: Error>(self, text: &str) -> Result<(), E> {
        let document = self.trail.document;
        let same = match self.on_key {
            true => document.name(self.node) == Some(text),
            false => document.nodes[self.node].fingerprint == fingerprint(text),
        };
        self.agreed(same)
    }

    fn agreed<E: Error>(self, same: bool) -> Result<(), E> {
        match same {
            true => Ok(()),
            false => Err(self.note()(E::custom(TWO_WAYS))),
        }
    }

    fn kind(self) -> Kind {
        match self.on_key {
            true => Kind::Quoted,
            false => self.trail.document.nodes[self.node].kind,
        }
    }
}

/// Something of serde's with the spot it is at.
pub(super) struct Follow<'a, X> {
    inner: X,
    spot: Spot<'a>,
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Follow<'_, S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<S::Value, D::Error> {
        let deserializer = self.spot.with(deserializer);
        self.inner
            .deserialize(deserializer)
            .map_err(self.spot.note())
    }
}

macro_rules! pass_on {
    ($($method:ident($($name:ident: $type:ty),*);)*) => {$(
        fn $method<V: Visitor<'de>>(self, $($name: $type,)* visitor: V) -> Result<V::Value, D::Error> {
            self.inner
                .$method($($name,)* self.spot.with(visitor))
                .map_err(self.spot.note())
        }
    )*};
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Follow<'_, D> {
    type Error = D::Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        let visitor = self.spot.with(visitor);
        let given = match self.spot.kind() {
            Kind::Plain | Kind::Quoted => self.inner.deserialize_str(visitor),
            Kind::List => self.inner.deserialize_seq(visitor),
            Kind::Mapping => self.inner.deserialize_map(visitor),
        };
        given.map_err(self.spot.note())
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        let visitor = self.spot.with(visitor);
        let given = match self.spot.kind() {
            Kind::Mapping => self.inner.deserialize_map(OneKey(visitor)),
            _ => self.inner.deserialize_enum(name, variants, visitor),
        };
        given.map_err(self.spot.note())
    }

    pass_on! {
        deserialize_bool();
        deserialize_i8();
        deserialize_i16();
        deserialize_i32();
        deserialize_i64();
        deserialize_i128();
        deserialize_u8();
        deserialize_u16();
        deserialize_u32();
        deserialize_u64();
        deserialize_u128();
        deserialize_f32();
        deserialize_f64();
        deserialize_char();
        deserialize_str();
        deserialize_string();
        deserialize_bytes();
        deserialize_byte_buf();
        deserialize_option();
        deserialize_unit();
        deserialize_unit_struct(name: &'static str);
        deserialize_newtype_struct(name: &'static str);
        deserialize_seq();
        deserialize_tuple(length: usize);
        deserialize_tuple_struct(name: &'static str, length: usize);
        deserialize_map();
        deserialize_struct(name: &'static str, fields: &'static [&'static str]);
        deserialize_identifier();
        deserialize_ignored_any();
    }
}

macro_rules! visit {
    ($($method:ident($type:ty);)*) => {$(
        fn $method<E: Error>(self, value: $type) -> Result<V::Value, E> {
            self.inner.$method(value).map_err(self.spot.note())
        }
    )*};
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Follow<'_, V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.inner.expecting(out)
    }

    visit! {
        visit_bool(bool);
        visit_i64(i64);
        visit_i128(i128);
        visit_u64(u64);
        visit_u128(u128);
        visit_char(char);
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<V::Value, E> {
        self.spot.checked(text)?;
        self.inner.visit_str(text).map_err(self.spot.note())
    }

    fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<V::Value, E> {
        self.spot.checked(text)?;
        self.inner
            .visit_borrowed_str(text)
            .map_err(self.spot.note())
    }

    /// YAML has words for what is no number; no measure is one of them.
    fn visit_f64<E: Error>(self, value: f64) -> Result<V::Value, E> {
        let given = if value.is_finite() {
            self.inner.visit_f64(value)
        } else {
            Err(E::invalid_value(Unexpected::Float(value), &"f64"))
        };
        given.map_err(self.spot.note())
    }

    fn visit_unit<E: Error>(self) -> Result<V::Value, E> {
        self.inner.visit_unit().map_err(self.spot.note())
    }

    fn visit_none<E: Error>(self) -> Result<V::Value, E> {
        self.inner.visit_none().map_err(self.spot.note())
    }

    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<V::Value, D::Error> {
        self.inner
            .visit_some(self.spot.with(deserializer))
            .map_err(self.spot.note())
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(
        self,
        deserializer: D,
    ) -> Result<V::Value, D::Error> {
        self.inner
            .visit_newtype_struct(self.spot.with(deserializer))
            .map_err(self.spot.note())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<V::Value, A::Error> {
        self.inner
            .visit_seq(self.spot.inside(list))
            .map_err(self.spot.note())
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<V::Value, A::Error> {
        self.inner
            .visit_map(self.spot.inside(map))
            .map_err(self.spot.note())
    }

    fn visit_enum<A: EnumAccess<'de>>(self, variant: A) -> Result<V::Value, A::Error> {
        self.inner.visit_enum(variant).map_err(self.spot.note())
    }
}

/// Takes a mapping for an enum: the key is the variant.
struct OneKey<'a, V>(Follow<'a, V>);

impl<'de, V: Visitor<'de>> Visitor<'de> for OneKey<'_, V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.expecting(out)
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<V::Value, A::Error> {
        let inside = self.0.spot.inside(map);
        self.0.visit_enum(MapAccessDeserializer::new(inside))
    }
}

/// The items of a list or mapping, one node after the other.
struct Inside<'a, A> {
    access: A,
    above: Spot<'a>,
    next: Option<usize>,
}

impl<'a, A> Inside<'a, A> {
    fn spot(&self, on_key: bool) -> Spot<'a> {
        Spot {
            node: self.next.unwrap_or(self.above.node),
            on_key,
            ..self.above
        }
    }

    fn step(&mut self) {
        let document = self.above.trail.document;
        self.next = self.next.and_then(|node| document.next_sibling(node));
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for Inside<'_, A> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, A::Error> {
        let seed = self.spot(false).with(seed);
        let element = self.access.next_element_seed(seed)?;
        self.above
            .agreed(element.is_some() == self.next.is_some())?;
        self.step();
        Ok(element)
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for Inside<'_, A> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, A::Error> {
        let seed = self.spot(true).with(seed);
        let key = self.access.next_key_seed(seed)?;
        self.above.agreed(key.is_some() == self.next.is_some())?;
        Ok(key)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        let seed = self.spot(false).with(seed);
        let value = self.access.next_value_seed(seed)?;
        self.step();
        Ok(value)
    }
}
