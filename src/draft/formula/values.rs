//! Values by name, as formulas look them up.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::value::Value;

/// Things by a name of the style's text, which is borrowed and never copied.
pub(crate) type ByName<'s, T> = HashMap<&'s str, T, BuildHasherDefault<NameHasher>>;

/// Measures, choices, dimensions and points by name.
pub(crate) type Values<'s> = ByName<'s, Value<'s>>;

/// A quick hash for short names: eight letters at a time, turned and multiplied. A draft
/// looks up some thousand names; that nobody can make two names fall together on purpose,
/// for which the usual hash pays, is of no use here: the names are those of one text.
#[derive(Clone, Copy, Default)]
pub(crate) struct NameHasher(u64);

impl NameHasher {
    /// An odd number without pattern: the golden ratio's digits as 64 bits (Knuth, The Art of
    /// Computer Programming 3, 6.4).
    const TIMES: u64 = 0x9E37_79B9_7F4A_7C15;

    fn add(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(5) ^ word).wrapping_mul(NameHasher::TIMES);
    }
}

impl Hasher for NameHasher {
    fn write(&mut self, mut letters: &[u8]) {
        while let Some((eight, rest)) = letters.split_first_chunk() {
            self.add(u64::from_le_bytes(*eight));
            letters = rest;
        }
        if !letters.is_empty() {
            self.add(letters.iter().fold(0, |word, letter| (word << 8) | u64::from(*letter)));
        }
    }

    fn write_u8(&mut self, end: u8) {
        self.add(u64::from(end));
    }

    fn finish(&self) -> u64 {
        // The upper bits are mixed best; the map takes the lower ones.
        self.0.rotate_left(32)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::hash::{BuildHasher, BuildHasherDefault};

    use super::NameHasher;

    #[test]
    fn names_that_look_alike_do_not_fall_together() {
        let hash = |name: &str| BuildHasherDefault::<NameHasher>::default().hash_one(name);
        let names: Vec<String> =
            (0..2000).map(|i| format!("{}_{}", ["waist", "waist_line", "side_of_back"][i % 3], i / 3)).collect();
        let whole: BTreeSet<u64> = names.iter().map(|name| hash(name)).collect();
        assert_eq!(whole.len(), names.len());
        // 2,000 names thrown evenly into 4,096 places leave 2,517 empty on the mean.
        let places: BTreeSet<u64> = names.iter().map(|name| hash(name) % 4096).collect();
        assert!(places.len() > 1450, "{}", places.len());
    }
}
