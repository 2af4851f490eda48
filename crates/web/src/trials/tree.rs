//! JSON text taken apart and put together again with every number as it was typed.

use std::collections::BTreeMap;

use serde_json::value::RawValue;

/// A JSON value: objects are taken apart, everything else stays text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Tree {
    Object(BTreeMap<String, Tree>),
    Text(String),
}

impl Tree {
    /// An object with nothing in it.
    pub(crate) fn empty() -> Self {
        Self::Object(BTreeMap::new())
    }

    /// Takes JSON text apart.
    pub(crate) fn read(text: &str) -> Result<Self, serde_json::Error> {
        if !text.trim_start().starts_with('{') {
            let raw: Box<RawValue> = serde_json::from_str(text)?;
            return Ok(Self::Text(raw.get().to_owned()));
        }
        let own: BTreeMap<String, Box<RawValue>> = serde_json::from_str(text)?;
        let mut map = BTreeMap::new();
        for (key, raw) in own {
            map.insert(key, Self::read(raw.get())?);
        }
        Ok(Self::Object(map))
    }

    /// Puts JSON text at a dotted path, making the objects on the way.
    pub(crate) fn put(&mut self, path: &str, json: String) {
        let (first, rest) = path
            .split_once('.')
            .map_or((path, None), |(a, b)| (a, Some(b)));
        if let Self::Text(_) = self {
            *self = Self::empty();
        }
        if let Self::Object(map) = self {
            match rest {
                Some(rest) => map
                    .entry(first.to_owned())
                    .or_insert_with(Self::empty)
                    .put(rest, json),
                None => {
                    map.insert(first.to_owned(), Self::Text(json));
                }
            }
        }
    }

    /// Takes away what is at a dotted path.
    pub(crate) fn take(&mut self, path: &str) {
        if let Self::Object(map) = self {
            match path.split_once('.') {
                Some((first, rest)) => {
                    if let Some(inner) = map.get_mut(first) {
                        inner.take(rest);
                    }
                }
                None => {
                    map.remove(path);
                }
            }
        }
    }

    /// The JSON text at a dotted path, if it is no object.
    pub(crate) fn at(&self, path: &str) -> Option<&str> {
        match self {
            Self::Text(text) => path.is_empty().then_some(text.as_str()),
            Self::Object(map) => {
                let (first, rest) = path.split_once('.').unwrap_or((path, ""));
                map.get(first)?.at(rest)
            }
        }
    }

    /// Puts a whole tree under a key.
    pub(crate) fn set(&mut self, key: &str, tree: Self) {
        if let Self::Object(map) = self {
            map.insert(key.to_owned(), tree);
        }
    }

    /// Takes the object under a key out.
    pub(crate) fn remove(&mut self, key: &str) -> Option<Self> {
        match self {
            Self::Object(map) => map.remove(key),
            Self::Text(_) => None,
        }
    }

    /// What is at a dotted path as a person would type it: a text without its quotes, a number as it is.
    pub(crate) fn typed_at(&self, path: &str) -> String {
        let Some(json) = self.at(path) else {
            return String::new();
        };
        serde_json::from_str::<String>(json).unwrap_or_else(|_| json.to_owned())
    }

    /// Everything that is no object, each with its dotted path below `under`.
    pub(super) fn leaves(&self, under: &str) -> Vec<(String, String)> {
        let Self::Object(map) = self else {
            return Vec::new();
        };
        let mut all = Vec::new();
        for (key, tree) in map {
            let path = if under.is_empty() {
                key.clone()
            } else {
                format!("{under}.{key}")
            };
            match tree {
                Self::Text(_) => all.push((path, tree.typed_at(""))),
                Self::Object(_) => all.extend(tree.leaves(&path)),
            }
        }
        all
    }

    /// Everything together as JSON text; objects with nothing in them are left out.
    pub(crate) fn text(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Object(map) => {
                let fields: Vec<String> = map
                    .iter()
                    .filter(|(_, tree)| !tree.is_empty())
                    .map(|(key, tree)| format!("{}:{}", quoted(key), tree.text()))
                    .collect();
                format!("{{{}}}", fields.join(","))
            }
        }
    }

    fn is_empty(&self) -> bool {
        match self {
            Self::Text(_) => false,
            Self::Object(map) => map.values().all(Self::is_empty),
        }
    }
}

/// A text as JSON.
pub(crate) fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stay_as_they_were_typed() {
        let mut tree =
            Tree::read(r#"{"glass":{"low_mark_mm":12.50},"name":"Wag \"tail\""}"#).unwrap();
        tree.put("glass.visible_mm", "60.0".into());
        tree.put("burner.fuel", quoted("butane"));
        tree.put("limits.x", "1".into());
        tree.take("limits.x");
        assert_eq!(
            tree.text(),
            r#"{"burner":{"fuel":"butane"},"glass":{"low_mark_mm":12.50,"visible_mm":60.0},"name":"Wag \"tail\""}"#
        );
        assert_eq!(tree.typed_at("glass.low_mark_mm"), "12.50");
        assert_eq!(tree.typed_at("name"), "Wag \"tail\"");
        assert_eq!(tree.typed_at("glass.nothing"), "");
    }
}
