//! JSON opened one level at a time, so that duplicate keys and the digits of numbers are kept.

use serde::de::{Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;
use std::fmt;

/// One level of a JSON text.
pub(crate) enum Json<'a> {
    Object(Vec<(String, &'a RawValue)>),
    List(Vec<&'a RawValue>),
    Text(String),
    Number(&'a str),
    Bool(bool),
    Null,
}

impl Json<'_> {
    /// What it is, for a fault.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Self::Object(_) => "an object",
            Self::List(_) => "a list",
            Self::Text(_) => "text",
            Self::Number(_) => "a number",
            Self::Bool(_) => "true or false",
            Self::Null => "null",
        }
    }
}

/// The whole text as one raw value; fails where it is not JSON, naming line and column.
pub(crate) fn whole(text: &str) -> Result<&RawValue, String> {
    serde_json::from_str(text).map_err(|e| format!("this is not JSON: {e}"))
}

/// Opens one level.
pub(crate) fn open(raw: &RawValue) -> Result<Json<'_>, String> {
    let text = raw.get();
    let plain = |e: serde_json::Error| e.to_string();
    Ok(match text.as_bytes().first() {
        Some(b'{') => {
            let mut opened = serde_json::Deserializer::from_str(text);
            Json::Object(opened.deserialize_map(Pairs).map_err(plain)?)
        }
        Some(b'[') => Json::List(serde_json::from_str(text).map_err(plain)?),
        Some(b'"') => Json::Text(serde_json::from_str(text).map_err(plain)?),
        Some(b't') => Json::Bool(true),
        Some(b'f') => Json::Bool(false),
        Some(b'n') => Json::Null,
        _ => Json::Number(text),
    })
}

struct Pairs;

impl<'de> Visitor<'de> for Pairs {
    type Value = Vec<(String, &'de RawValue)>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = map.next_entry()? {
            pairs.push(pair);
        }
        Ok(pairs)
    }
}
