//! Replacing exactly the bytes that were meant, or nothing.

use crate::{Place, Text};
use std::fmt;

/// Why a patch was not applied. The text is untouched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PatchFault {
    /// What stands at the place is not what the patch expected; carries what stands there.
    Changed(String),
    /// The place is not inside the text, or cuts a character in two.
    NoSuchPlace,
}

impl fmt::Display for PatchFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Changed(found) => write!(out, "the text has changed meanwhile: it now says {found:?}"),
            Self::NoSuchPlace => write!(out, "there is no such place in the text"),
        }
    }
}

impl std::error::Error for PatchFault {}

/// The text with the bytes at `place` replaced, if they still read `expected`. All other bytes stay.
///
/// # Errors
/// When the place is not in the text, or something else stands there.
pub fn replace_exactly(text: &Text, place: &Place, expected: &str, new: &str) -> Result<String, PatchFault> {
    let content = text.content();
    let found = content.get(place.start..place.end).ok_or(PatchFault::NoSuchPlace)?;
    if found != expected {
        return Err(PatchFault::Changed(found.to_owned()));
    }
    Ok([&content[..place.start], new, &content[place.end..]].concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_named_bytes_change() {
        let text = Text::new("display.toml", "a = 1 # keep\nb = 2\n");
        let place = Place::new("display.toml", 4, 5);
        assert_eq!(replace_exactly(&text, &place, "1", "12").unwrap(), "a = 12 # keep\nb = 2\n");
        assert_eq!(replace_exactly(&text, &place, "3", "12"), Err(PatchFault::Changed("1".into())));
        assert_eq!(
            replace_exactly(&text, &Place::new("display.toml", 4, 99), "1", "12"),
            Err(PatchFault::NoSuchPlace)
        );
    }

    proptest::proptest! {
        #[test]
        fn a_patch_and_its_inverse_give_the_text_back(content in ".{0,60}", new in ".{0,10}", from in 0usize..60, len in 0usize..10) {
            let text = Text::new("t", content.clone());
            let place = Place::new("t", from, from + len);
            let old = text.at(&place).to_owned();
            if let Ok(patched) = replace_exactly(&text, &place, &old, &new) {
                let back = replace_exactly(&Text::new("t", patched), &Place::new("t", from, from + new.len()), &new, &old);
                proptest::prop_assert_eq!(back.unwrap(), content);
            }
        }
    }
}
