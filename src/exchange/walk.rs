//! A walk over a JSON text that keeps places: typed getters that note every mistake and go on, and unknown keys with the nearest known one.
//!
//! A place is written as in a JSON pointer (RFC 6901): `/steps/3/duration`. Getters give `None` for a wrong value; the mistake is in the
//! [`Slips`] then. [`Object::finish`] reports each key that nobody asked for.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

/// How near a key must be to be offered: 1 is equal, 0 has nothing in common.
const NEAR: f64 = 0.6;

/// Mistakes so far, each with its place.
#[derive(Debug, Default)]
pub struct Slips(pub Vec<String>);

impl Slips {
    /// Notes a mistake at a place.
    pub fn note(&mut self, at: &str, what: impl fmt::Display) {
        let at = if at.is_empty() { "the whole file" } else { at };
        self.0.push(format!("{at}: {what}"));
    }
}

/// Parses a text. A key that stands twice in one object is a mistake: one of the two would be passed over.
///
/// # Errors
/// The first place where it is no JSON, with line and column.
pub fn parse(text: &str) -> Result<Value, String> {
    serde_json::from_str::<Strict>(text)
        .map(|strict| strict.0)
        .map_err(|e| e.to_string())
}

/// A value in which no key stands twice.
struct Strict(Value);

impl<'de> Deserialize<'de> for Strict {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(StrictVisitor).map(Self)
    }
}

struct StrictVisitor;

impl<'de> Visitor<'de> for StrictVisitor {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_bool<E>(self, v: bool) -> Result<Value, E> {
        Ok(Value::Bool(v))
    }

    fn visit_i64<E>(self, v: i64) -> Result<Value, E> {
        Ok(Value::Number(v.into()))
    }

    fn visit_u64<E>(self, v: u64) -> Result<Value, E> {
        Ok(Value::Number(v.into()))
    }

    fn visit_f64<E: Error>(self, v: f64) -> Result<Value, E> {
        let number = Number::from_f64(v).ok_or_else(|| E::custom("a number is not finite"))?;
        Ok(Value::Number(number))
    }

    fn visit_str<E>(self, v: &str) -> Result<Value, E> {
        Ok(Value::String(v.to_owned()))
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut values = Vec::new();
        while let Some(Strict(value)) = seq.next_element()? {
            values.push(value);
        }
        Ok(Value::Array(values))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let mut map = Map::new();
        while let Some(key) = entries.next_key::<String>()? {
            if map.contains_key(&key) {
                return Err(A::Error::custom(format!("the key `{key}` appears twice")));
            }
            let Strict(value) = entries.next_value()?;
            map.insert(key, value);
        }
        Ok(Value::Object(map))
    }
}

/// A value with its place.
#[derive(Debug, Clone)]
pub struct Node<'v> {
    value: &'v Value,
    at: String,
}

impl<'v> Node<'v> {
    /// The outermost value.
    pub fn root(value: &'v Value) -> Self {
        Self {
            value,
            at: String::new(),
        }
    }

    /// Its place.
    pub fn at(&self) -> &str {
        &self.at
    }

    fn wrong(&self, expected: &str, slips: &mut Slips) {
        let found = match self.value {
            Value::Null => "null".to_owned(),
            Value::Bool(truth) => truth.to_string(),
            Value::Number(number) => number.to_string(),
            Value::String(text) => format!("the text {text:?}"),
            Value::Array(_) => "a list".to_owned(),
            Value::Object(_) => "an object".to_owned(),
        };
        slips.note(&self.at, format!("{expected} belongs here, not {found}"));
    }

    /// The same, `None` for null.
    pub fn or_null(self) -> Option<Self> {
        (!self.value.is_null()).then_some(self)
    }

    /// A whole number of 64 bits.
    pub fn whole(&self, slips: &mut Slips) -> Option<i64> {
        let found = self.value.as_i64();
        if found.is_none() {
            self.wrong("a whole number", slips);
        }
        found
    }

    /// A number from 0 that counts or names something.
    pub fn index(&self, slips: &mut Slips) -> Option<usize> {
        let found = self.value.as_u64().and_then(|n| usize::try_from(n).ok());
        if found.is_none() {
            self.wrong("a whole number from 0", slips);
        }
        found
    }

    /// A number, whole or not.
    pub fn number(&self, slips: &mut Slips) -> Option<f64> {
        let found = self.value.as_f64();
        if found.is_none() {
            self.wrong("a number", slips);
        }
        found
    }

    /// A text.
    pub fn text(&self, slips: &mut Slips) -> Option<&'v str> {
        let found = self.value.as_str();
        if found.is_none() {
            self.wrong("a text", slips);
        }
        found
    }

    /// True or false.
    pub fn truth(&self, slips: &mut Slips) -> Option<bool> {
        let found = self.value.as_bool();
        if found.is_none() {
            self.wrong("true or false", slips);
        }
        found
    }

    /// The values of a list.
    pub fn list(&self, slips: &mut Slips) -> Option<Vec<Node<'v>>> {
        let Value::Array(values) = self.value else {
            self.wrong("a list", slips);
            return None;
        };
        let at = |(k, value)| Node {
            value,
            at: format!("{}/{k}", self.at),
        };
        Some(values.iter().enumerate().map(at).collect())
    }

    /// The values of a list, each taken by `each`; `None` if one of them is wrong (all are looked at).
    pub fn list_of<T>(
        &self,
        slips: &mut Slips,
        mut each: impl FnMut(&Node<'v>, &mut Slips) -> Option<T>,
    ) -> Option<Vec<T>> {
        let taken: Vec<Option<T>> = self
            .list(slips)?
            .iter()
            .map(|node| each(node, slips))
            .collect();
        taken.into_iter().collect()
    }

    /// A list of two.
    pub fn pair(&self, what: &str, slips: &mut Slips) -> Option<[Node<'v>; 2]> {
        let found = self.list(slips).map(<[Node<'v>; 2]>::try_from);
        match found {
            Some(Ok(two)) => Some(two),
            Some(Err(other)) => {
                let many = other.len();
                slips.note(
                    &self.at,
                    format!("{what} belongs here, a list of 2, not of {many}"),
                );
                None
            }
            None => None,
        }
    }

    /// An object.
    pub fn object(&self, slips: &mut Slips) -> Option<Object<'v>> {
        let Value::Object(map) = self.value else {
            self.wrong("an object", slips);
            return None;
        };
        Some(Object {
            map,
            at: self.at.clone(),
            asked: Vec::new(),
        })
    }
}

/// An object, with the keys that were asked for so far.
#[derive(Debug)]
pub struct Object<'v> {
    map: &'v Map<String, Value>,
    at: String,
    asked: Vec<&'static str>,
}

impl<'v> Object<'v> {
    /// Its place.
    pub fn at(&self) -> &str {
        &self.at
    }

    /// The value under a key that may be absent.
    pub fn get(&mut self, key: &'static str) -> Option<Node<'v>> {
        if !self.asked.contains(&key) {
            self.asked.push(key);
        }
        self.map.get(key).map(|value| Node {
            value,
            at: format!("{}/{key}", self.at),
        })
    }

    /// The value under a key that must be there, though it may be null.
    pub fn require(&mut self, key: &'static str, slips: &mut Slips) -> Option<Node<'v>> {
        let found = self.get(key);
        if found.is_none() {
            slips.note(&self.at, format!("the key `{key}` is missing"));
        }
        found
    }

    /// A whole number of 64 bits that must be there.
    pub fn whole(&mut self, key: &'static str, slips: &mut Slips) -> Option<i64> {
        self.require(key, slips)?.whole(slips)
    }

    /// The same, or null.
    pub fn whole_or_null(&mut self, key: &'static str, slips: &mut Slips) -> Option<Option<i64>> {
        match self.require(key, slips)?.or_null() {
            Some(node) => node.whole(slips).map(Some),
            None => Some(None),
        }
    }

    /// A number from 0 that counts or names something and must be there.
    pub fn index(&mut self, key: &'static str, slips: &mut Slips) -> Option<usize> {
        self.require(key, slips)?.index(slips)
    }

    /// A list of such numbers that must be there.
    pub fn indices(&mut self, key: &'static str, slips: &mut Slips) -> Option<Vec<usize>> {
        self.require(key, slips)?.list_of(slips, Node::index)
    }

    /// A number that must be there.
    pub fn number(&mut self, key: &'static str, slips: &mut Slips) -> Option<f64> {
        self.require(key, slips)?.number(slips)
    }

    /// A text that must be there.
    pub fn text(&mut self, key: &'static str, slips: &mut Slips) -> Option<&'v str> {
        self.require(key, slips)?.text(slips)
    }

    /// True or false that must be there.
    pub fn truth(&mut self, key: &'static str, slips: &mut Slips) -> Option<bool> {
        self.require(key, slips)?.truth(slips)
    }

    /// What may be absent or null: `Some(None)` then.
    pub fn optional<T>(
        &mut self,
        key: &'static str,
        slips: &mut Slips,
        take: impl FnOnce(&Node<'v>, &mut Slips) -> Option<T>,
    ) -> Option<Option<T>> {
        match self.get(key).and_then(Node::or_null) {
            Some(node) => take(&node, slips).map(Some),
            None => Some(None),
        }
    }

    /// Reports every key that nobody asked for, with the nearest that is known here.
    pub fn finish(self, slips: &mut Slips) {
        for key in self
            .map
            .keys()
            .filter(|k| !self.asked.contains(&k.as_str()))
        {
            let mend = meant(key, &self.asked);
            slips.note(
                &self.at,
                format!("the key `{key}` means nothing here; {mend}"),
            );
        }
    }
}

/// The nearest of the words that are known, or all of them.
pub fn meant(word: &str, known: &[&str]) -> String {
    let near = known
        .iter()
        .map(|k| (strsim::normalized_damerau_levenshtein(word, k), k))
        .filter(|(likeness, _)| *likeness > NEAR)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    match near {
        Some((_, known)) => format!("did you mean `{known}`?"),
        None => format!("known here: {}", known.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn every_slip_is_noted_with_its_place_and_the_walk_goes_on() {
        let value = json!({ "a": [1, "two", 3.5], "b": { "lenght": 1, "zzz": 2 }, "c": [1] });
        let mut slips = Slips::default();
        let mut root = Node::root(&value).object(&mut slips).expect("an object");
        let a = root.require("a", &mut slips).expect("it is there");
        assert_eq!(a.list_of(&mut slips, Node::whole), None);
        let mut b = root
            .require("b", &mut slips)
            .and_then(|b| b.object(&mut slips))
            .expect("an object");
        assert!(b.require("length", &mut slips).is_none());
        b.finish(&mut slips);
        let c = root.require("c", &mut slips).expect("it is there");
        assert!(c.pair("[step, load]", &mut slips).is_none());
        root.finish(&mut slips);
        assert_eq!(
            slips.0,
            [
                "/a/1: a whole number belongs here, not the text \"two\"",
                "/a/2: a whole number belongs here, not 3.5",
                "/b: the key `length` is missing",
                "/b: the key `lenght` means nothing here; did you mean `length`?",
                "/b: the key `zzz` means nothing here; known here: length",
                "/c: [step, load] belongs here, a list of 2, not of 1",
            ]
        );
    }

    #[test]
    fn a_key_that_stands_twice_is_refused_with_its_line() {
        let told = parse("{\n \"a\": 1,\n \"a\": 2\n}").expect_err("twice");
        assert!(
            told.contains("`a` appears twice") && told.contains("line 3"),
            "{told}"
        );
        let deep = json!({ "a": [1, -2, 0.1, u64::MAX, "x", null, true, { "b": [] }] });
        assert_eq!(parse(&deep.to_string()), Ok(deep));
    }
}
