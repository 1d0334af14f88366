//! The letters of the document: which there are and how wide they come out (Noto Sans, embedded; its licence stands beside it).

use std::collections::HashMap;

use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider as _};
use unicode_normalization::UnicodeNormalization as _;

/// What is drawn for a letter that the face does not have; what is copied out of the document is the letter all the same.
const REPLACEMENT: char = '\u{fffd}';

/// Light or heavy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Weight {
    /// For reading.
    Regular,
    /// For finding.
    Bold,
}

impl Weight {
    /// The file of the face.
    pub fn file(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../faces/NotoSans-Regular.ttf"),
            Self::Bold => include_bytes!("../faces/NotoSans-Bold.ttf"),
        }
    }
}

/// A letter as it is drawn: the number of its shape, and how far it takes the pen in parts of the size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Letter {
    /// Number of the shape in the face.
    pub shape: u32,
    /// How far it takes the pen.
    pub advance: f64,
}

/// One weight with its letters.
pub struct Face {
    letters: HashMap<char, Letter>,
    replacement: Letter,
}

/// Both weights.
pub struct Faces {
    regular: Face,
    bold: Face,
}

impl Faces {
    /// Reads the embedded faces.
    ///
    /// # Errors
    /// If a face cannot be read, which a test rules out.
    pub fn new() -> Result<Self, String> {
        Ok(Self {
            regular: Face::new(Weight::Regular)?,
            bold: Face::new(Weight::Bold)?,
        })
    }

    /// One of them.
    pub fn of(&self, weight: Weight) -> &Face {
        match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        }
    }

    /// Whether there is a shape for a letter.
    pub fn draws(&self, c: char) -> bool {
        self.regular.letters.contains_key(&c)
    }
}

impl Face {
    fn new(weight: Weight) -> Result<Self, String> {
        let font = FontRef::new(weight.file()).map_err(|e| e.to_string())?;
        let upright = LocationRef::default();
        let parts = f64::from(font.metrics(Size::unscaled(), upright).units_per_em);
        let widths = font.glyph_metrics(Size::unscaled(), upright);
        let letters: HashMap<char, Letter> = (font.charmap().mappings())
            .filter_map(|(code, shape)| {
                let advance = f64::from(widths.advance_width(shape)?) / parts;
                let shape = shape.to_u32();
                Some((char::from_u32(code)?, Letter { shape, advance }))
            })
            .collect();
        let replacement = *letters
            .get(&REPLACEMENT)
            .ok_or("the face has no sign for a letter that it lacks")?;
        Ok(Self {
            letters,
            replacement,
        })
    }

    /// A letter, or the sign that stands for one that the face lacks.
    pub fn letter(&self, c: char) -> Letter {
        *self.letters.get(&c).unwrap_or(&self.replacement)
    }

    /// How wide a text comes out.
    pub fn width(&self, text: &str, size: f64) -> f64 {
        text.chars().map(|c| self.letter(c).advance).sum::<f64>() * size
    }
}

/// A text as it is set: letters with their accents in one.
pub fn settable(text: &str) -> String {
    text.nfc().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn accents_are_set_and_what_is_lacking_has_a_sign() {
        let faces = Faces::new().expect("the faces are read");
        for c in "AZazé\u{17e}\u{df}ω\u{434}0129·–×".chars() {
            assert!(faces.draws(c), "{c}");
        }
        assert!(!faces.draws('\u{4e00}'));
        let (light, heavy) = (faces.of(Weight::Regular), faces.of(Weight::Bold));
        assert_eq!(light.letter('\u{4e00}'), light.letter(REPLACEMENT));
        assert!(heavy.width("Footwork", 10.0) > light.width("Footwork", 10.0));
        assert_eq!(settable("e\u{301}."), "\u{e9}.");
    }
}
