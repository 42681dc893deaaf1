//! Changing one value of a description and nothing else.

use parts::reader::{leaves, place_of};
use source::{KeyPath, PatchFault, Place, Text, replace_exactly};
use std::fmt;

/// One change: what stands at a path now, and what is to stand there. Both are spelled as in the file, quotes included.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// The value to change.
    pub path: KeyPath,
    /// What stands there now.
    pub expected: String,
    /// What is to stand there.
    pub new: String,
}

/// Why a change was not made. The text is untouched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditFault {
    /// Nothing stands at that path.
    NoSuchPath,
    /// The text as it stands cannot be read.
    Broken,
    /// Something else stands there by now.
    Patch(PatchFault),
    /// What is to be written cannot be read.
    Unreadable,
    /// More than the value meant would change.
    ChangesMore(KeyPath),
}

impl fmt::Display for EditFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchPath => write!(out, "nothing stands there in the text"),
            Self::Broken => write!(out, "the text cannot be read as it stands; put its faults right first"),
            Self::Patch(fault) => write!(out, "{fault}"),
            Self::Unreadable => write!(out, "the new value cannot be read"),
            Self::ChangesMore(path) => write!(out, "it would change more than that: {path}"),
        }
    }
}

impl std::error::Error for EditFault {}

/// The text with one value changed, if exactly that value changes.
///
/// # Errors
/// When nothing or something else stands at the path, or the change would touch anything else.
pub fn apply(text: &Text, edit: &Edit) -> Result<String, EditFault> {
    let before = leaves(text.content()).ok_or(EditFault::Broken)?;
    let place = place_of(text, &edit.path).ok_or(EditFault::NoSuchPath)?;
    let patched = replace_exactly(text, &place, &edit.expected, &edit.new).map_err(EditFault::Patch)?;
    let after = leaves(&patched).ok_or(EditFault::Unreadable)?;
    let changed = before.iter().filter(|(path, value)| after.get(*path) != Some(*value));
    let added = after.iter().filter(|(path, _)| !before.contains_key(*path));
    if let Some((path, _)) = changed.chain(added).find(|(path, _)| !path.0.starts_with(&edit.path.0)) {
        return Err(EditFault::ChangesMore(path.clone()));
    }
    // A comment or blank smuggled in changes no value, but it is no part of the value either.
    let meant = Place::new(text.name(), place.start, place.start + edit.new.len());
    if place_of(&Text::new(text.name(), patched.clone()), &edit.path) != Some(meant) {
        return Err(EditFault::ChangesMore(edit.path.clone()));
    }
    Ok(patched)
}
