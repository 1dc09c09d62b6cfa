//! Files of JSON changed inside: values replaced, left out, doubled and swapped.

use rand::RngExt;
use rand::rngs::StdRng;
use serde_json::{Value, json};

/// What a hostile file may hold, for [`crate::mutate::mutate`].
pub const BITS: &[&str] = &[
    "null",
    "true",
    "[]",
    "{}",
    "\"\"",
    "-1",
    "0",
    "1e308",
    "1e-308",
    "-0.0",
    "1e999",
    "NaN",
    ",",
    ":",
    "{",
    "}",
    "[",
    "]",
    "\"",
    "\\u0000",
    "\\ud800",
    "9007199254740993",
    "4294967296",
    "\"<img src=x onerror=alert(1)>\"",
    "\u{202e}",
    "[[[[[[[[",
    "\"version\": 2",
];

fn value(random: &mut StdRng, old: &Value) -> Value {
    let number = old.as_f64().unwrap_or(1.0);
    match random.random_range(0..10) {
        0 => json!(number * 10_f64.powi(random.random_range(-3..4))),
        1 => json!(number * random.random_range(0.2..3.0)),
        2 => json!(-number),
        3 => json!(0),
        4 => json!([1e-9, 1e9, 1e300, 0.5, 1.0, 100.0][random.random_range(0..6)]),
        5 => json!(number.round() + f64::from(random.random_range(-2..3))),
        6 => Value::Null,
        7 => json!("\u{202e}<b>\u{0}"),
        8 => json!([old]),
        _ => json!({ "kind": old }),
    }
}

/// Goes down to some value of the tree and changes it there.
pub fn change(random: &mut StdRng, tree: &mut Value) {
    let stop = random.random_bool(0.12);
    match tree {
        Value::Array(list) if !list.is_empty() && !stop => {
            let at = random.random_range(0..list.len());
            match random.random_range(0..12) {
                0 => drop(list.remove(at)),
                1 => list.insert(at, list[at].clone()),
                2 => list.reverse(),
                3 if list.len() < 9 => {
                    let more = vec![list[at].clone(); random.random_range(1..80)];
                    list.extend(more);
                }
                _ => change(random, &mut list[at]),
            }
        }
        Value::Object(map) if !map.is_empty() && !stop => {
            let keys: Vec<String> = map.keys().cloned().collect();
            let key = &keys[random.random_range(0..keys.len())];
            let other = &keys[random.random_range(0..keys.len())];
            match random.random_range(0..12) {
                0 => drop(map.remove(key)),
                1 => {
                    let value = map[other].clone();
                    map.insert(key.clone(), value);
                }
                _ => {
                    if let Some(inside) = map.get_mut(key) {
                        change(random, inside);
                    }
                }
            }
        }
        _ => *tree = value(random, tree),
    }
}
