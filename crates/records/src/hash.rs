//! SHA-256, written as 64 small hexadecimal digits.

use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// SHA-256 of some bytes.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// The next link of a chain: SHA-256 of the previous link's digits and then the bytes.
pub(crate) fn link(previous: &str, bytes: &[u8]) -> String {
    let mut hasher = Sha256::new();
    hasher.update(previous.as_bytes());
    hasher.update(bytes);
    hex(&hasher.finalize())
}

/// A fresh key nobody can guess, 32 hexadecimal digits.
#[must_use]
pub fn fresh_key() -> String {
    let bytes: [u8; 16] = rand::random();
    hex(&bytes)
}

fn hex(bytes: &[u8]) -> String {
    bytes
        .iter()
        .fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digits_are_those_of_the_standard() {
        assert_eq!(
            sha256(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert_eq!(link("a", b"bc"), sha256(b"abc"));
        assert_ne!(fresh_key(), fresh_key());
    }
}
