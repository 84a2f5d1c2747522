//! A class: those who meet the same patients and whose codes the teacher's copy reads.

use super::level::Level;

/// Whoever has a page with the same seed meets the same patients; with the same word as well they are one class.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Class {
    /// Which patients.
    pub seed: u64,
    /// What the class is called, if anything.
    pub word: Option<String>,
}

impl Class {
    /// A class without a word.
    #[must_use]
    pub const fn of(seed: u64) -> Self {
        Self { seed, word: None }
    }

    /// What it is called on pages and sheets, behind the word "class".
    ///
    /// ```
    /// # use evenfield::web::practice::Class;
    /// assert_eq!(Class::of(4).name(), "4");
    /// assert_eq!(Class { seed: 4, word: Some("autumn".into()) }.name(), "autumn (4)");
    /// ```
    #[must_use]
    pub fn name(&self) -> String {
        match &self.word {
            None => self.seed.to_string(),
            Some(word) => format!("{word} ({})", self.seed),
        }
    }

    /// What binds codes to it: other for another seed, word, room or list of levels.
    pub(super) fn key(&self, room: &str) -> u32 {
        let levels = Level::ALL.map(Level::name).join(" ");
        let word = self.word.as_deref().unwrap_or_default();
        crc32fast::hash(format!("{}\n{word}\n{room}\n{levels}", self.seed).as_bytes())
    }
}

#[cfg(test)]
mod tests {
    use super::Class;

    #[test]
    fn seed_word_and_room_each_make_another_class() {
        let autumn = Class { seed: 4, word: Some("autumn".into()) };
        let keys = [
            autumn.key("room 1"),
            autumn.key("room 2"),
            Class { seed: 5, ..autumn.clone() }.key("room 1"),
            Class::of(4).key("room 1"),
        ];
        for (place, key) in keys.iter().enumerate() {
            assert!(!keys[..place].contains(key), "{keys:?}");
        }
        assert_eq!(autumn.key("room 1"), autumn.clone().key("room 1"));
    }
}
