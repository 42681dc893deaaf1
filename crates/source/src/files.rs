//! How the core gets at a display's files without touching a disk.

use std::collections::BTreeMap;
use std::fmt;

/// No file of a description may be larger than this; drawings and rules a person makes stay far below it.
pub const MAX_FILE_BYTES: usize = 8 * 1024 * 1024;

/// Why a file could not be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileFault {
    /// There is none of that name.
    Missing,
    /// The path leads out of the display's folder (absolute, `..`, or through a link).
    Outside,
    /// Larger than [`MAX_FILE_BYTES`]; carries the size when it is known.
    TooLarge(Option<u64>),
    /// Anything else, in the words of the system.
    Unreadable(String),
}

impl fmt::Display for FileFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing => write!(out, "there is no such file"),
            Self::Outside => write!(out, "this path leads out of the display's folder"),
            Self::TooLarge(Some(bytes)) => {
                write!(out, "the file has {bytes} bytes; the limit is {MAX_FILE_BYTES}")
            }
            Self::TooLarge(None) => {
                write!(out, "the file is larger than the limit of {MAX_FILE_BYTES} bytes")
            }
            Self::Unreadable(why) => write!(out, "it cannot be read: {why}"),
        }
    }
}

/// The files of one display's folder, by their path inside it (`/` between folders).
pub trait Files {
    /// The bytes of a file.
    ///
    /// # Errors
    /// When the file is missing, outside the folder, too large or unreadable.
    fn read(&self, path: &str) -> Result<Vec<u8>, FileFault>;

    /// The names of the files directly in the folder, sorted.
    fn names(&self) -> Vec<String>;
}

/// Files held in memory: for tests, and for what a page has not saved yet.
#[derive(Clone, Debug, Default)]
pub struct MemoryFiles(pub BTreeMap<String, Vec<u8>>);

impl MemoryFiles {
    /// These files and one more.
    #[must_use]
    pub fn with(mut self, path: impl Into<String>, content: impl Into<Vec<u8>>) -> Self {
        self.0.insert(path.into(), content.into());
        self
    }
}

/// Whether a path stays inside the folder it is relative to.
fn stays_inside(path: &str) -> bool {
    !path.is_empty()
        && !path.contains(['\\', ':', '\0'])
        && path.split('/').all(|part| !part.is_empty() && part != "..")
}

impl Files for MemoryFiles {
    fn read(&self, path: &str) -> Result<Vec<u8>, FileFault> {
        if !stays_inside(path) {
            return Err(FileFault::Outside);
        }
        let bytes = self.0.get(path).ok_or(FileFault::Missing)?;
        if bytes.len() > MAX_FILE_BYTES {
            return Err(FileFault::TooLarge(Some(bytes.len() as u64)));
        }
        Ok(bytes.clone())
    }

    fn names(&self) -> Vec<String> {
        self.0.keys().filter(|path| !path.contains('/')).cloned().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_that_leave_the_folder_are_refused() {
        let files = MemoryFiles::default().with("art/fox.svg", "x");
        assert_eq!(files.read("art/fox.svg"), Ok(b"x".to_vec()));
        for path in ["../fox.svg", "/etc/hostname", "art/../../x", "", "art//fox.svg", "c:fox", "a\\b"] {
            assert_eq!(files.read(path), Err(FileFault::Outside), "{path}");
        }
    }
}
