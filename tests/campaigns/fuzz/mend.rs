//! Spoils good JSON: the ways in which a hand, a script or a bad disk does.

use acceptance::Chance;

/// Tokens that are put in the place of others: the edges of what a value can be.
const TOKENS: [&str; 36] = [
    "0",
    "-0.0",
    "-1",
    "1e999",
    "-1e999",
    "1e-999",
    "1e308",
    "0.1e1",
    "NaN",
    "null",
    "true",
    "[]",
    "{}",
    "\"\"",
    "\"below\"",
    "\"above\"",
    "\"\\u0000\"",
    "\"fire-lit\"",
    "\"fire-out\"",
    "999999999999",
    "2592000",
    "2592000.1",
    "40",
    "0.2",
    "\"a1\"",
    "\"own-\"",
    "\"2026-02-30\"",
    "\"\\ud800\"",
    "[[[[[[]]]]]]",
    "{\"t_s\":1}",
    "\"corrects\"",
    "\"withdrawn\"",
    "\"received_at_s\"",
    "\"level_mm\"",
    "\"pressure_bar\"",
    "\"id\"",
];

/// One spoilt copy of `text`.
pub(crate) fn spoilt(text: &str, c: &mut Chance) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..1 + index(c, 4) {
        match index(c, 16) {
            0 => change_byte(&mut bytes, c),
            1 => cut(&mut bytes, c),
            2 => double(&mut bytes, c),
            3..=5 => {
                let token = c.pick(&TOKENS);
                change_token(&mut bytes, token, c);
            }
            _ => {
                let figure = format!("{:.1}", c.between(0.0, 45.0));
                change_token(&mut bytes, &figure, c);
            }
        }
    }
    bytes
}

/// A whole number under `most`.
pub(crate) fn index(c: &mut Chance, most: usize) -> usize {
    let all: Vec<usize> = (0..most.clamp(1, 64)).collect();
    if most <= 64 {
        return c.pick(&all);
    }
    let high = index(c, most.div_ceil(64));
    (high * 64 + c.pick(&all)).min(most - 1)
}

fn change_byte(bytes: &mut [u8], c: &mut Chance) {
    if !bytes.is_empty() {
        let at = index(c, bytes.len());
        let with = index(c, 256);
        bytes[at] = u8::try_from(with).unwrap_or(b'?');
    }
}

fn cut(bytes: &mut Vec<u8>, c: &mut Chance) {
    let from = index(c, bytes.len().max(1));
    let to = (from + index(c, 40)).min(bytes.len());
    bytes.drain(from.min(to)..to);
}

fn double(bytes: &mut Vec<u8>, c: &mut Chance) {
    let from = index(c, bytes.len().max(1));
    let to = (from + index(c, 120)).min(bytes.len());
    let again: Vec<u8> = bytes.get(from..to).unwrap_or_default().to_vec();
    let at = index(c, bytes.len() + 1);
    bytes.splice(at..at, again);
}

/// Puts another token in the place of a number, a word or a whole value.
fn change_token(bytes: &mut Vec<u8>, token: &str, c: &mut Chance) {
    let starts: Vec<usize> = (1..bytes.len())
        .filter(|i| {
            matches!(bytes[*i - 1], b' ' | b':' | b'[' | b',' | b'{')
                && !b" :,[{}]".contains(&bytes[*i])
        })
        .collect();
    if starts.is_empty() {
        return;
    }
    let from = starts[index(c, starts.len())];
    let end = |i: &usize| b",:}] \n".contains(&bytes[*i]);
    let to = (from + 1..bytes.len()).find(end).unwrap_or(bytes.len());
    bytes.splice(from..to, token.bytes());
}
