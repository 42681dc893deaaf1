//! A display's folder on disk, which no path can leave.
//!
//! The folder is opened once and every path is resolved below it, so that neither `..` nor an absolute path nor a link
//! leads out. Only regular files are read: a pipe or a device could block or never end.

use cap_std::ambient_authority;
use cap_std::fs::{Dir, OpenOptions, OpenOptionsExt, ReadDir};
use rustix::fs::OFlags;
use source::{FileFault, Files, MAX_FILE_BYTES};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::{self, ErrorKind, Read};
use std::path::Path;

/// What one reading of a folder saw: every file asked for, with its content or why it could not be had.
pub(crate) type Seen = BTreeMap<String, Result<Vec<u8>, FileFault>>;

/// The files of one folder.
pub(crate) struct FolderFiles {
    folder: Dir,
    seen: RefCell<Seen>,
}

impl FolderFiles {
    /// Opens the folder.
    pub(crate) fn open(folder: &Path) -> io::Result<Self> {
        Ok(Self { folder: Dir::open_ambient_dir(folder, ambient_authority())?, seen: RefCell::default() })
    }

    /// What was read up to now; two readings that saw the same give the same display.
    pub(crate) fn into_seen(self) -> Seen {
        self.seen.into_inner()
    }

    fn read_inside(&self, path: &str) -> Result<Vec<u8>, FileFault> {
        if !stays_inside(path) {
            return Err(FileFault::Outside);
        }
        // Looked at before it is opened, since opening a device may already do something.
        if !self.folder.metadata(path).map_err(|why| fault(&why))?.is_file() {
            return Err(FileFault::Unreadable("it is not a regular file".into()));
        }
        let flags = (OFlags::NONBLOCK | OFlags::NOCTTY).bits().cast_signed();
        let file = self
            .folder
            .open_with(path, OpenOptions::new().read(true).custom_flags(flags))
            .map_err(|why| fault(&why))?;
        // Looked at again: it may have been replaced between the two.
        let about = file.metadata().map_err(|why| fault(&why))?;
        if !about.is_file() {
            return Err(FileFault::Unreadable("it is not a regular file".into()));
        }
        let limit = MAX_FILE_BYTES as u64;
        if about.len() > limit {
            return Err(FileFault::TooLarge(Some(about.len())));
        }
        let mut bytes = Vec::new();
        file.take(limit + 1).read_to_end(&mut bytes).map_err(|why| fault(&why))?;
        if bytes.len() > MAX_FILE_BYTES { Err(FileFault::TooLarge(None)) } else { Ok(bytes) }
    }
}

impl FolderFiles {
    /// The paths of the files in a folder inside, in order; none when it is not there.
    pub(crate) fn within(&self, folder: &str) -> Vec<String> {
        let names =
            if stays_inside(folder) { self.folder.read_dir(folder).map(file_names) } else { Ok(Vec::new()) };
        let paths: Vec<String> =
            names.unwrap_or_default().iter().map(|name| format!("{folder}/{name}")).collect();
        self.seen.borrow_mut().insert(format!("{folder}\n"), Ok(paths.join("\n").into_bytes()));
        paths
    }
}

/// The names of the files among these entries, in order.
fn file_names(entries: ReadDir) -> Vec<String> {
    let mut names: Vec<String> = entries
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file() || kind.is_symlink()))
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    names.sort();
    names
}

impl Files for FolderFiles {
    fn read(&self, path: &str) -> Result<Vec<u8>, FileFault> {
        let read = self.read_inside(path);
        self.seen.borrow_mut().insert(path.to_owned(), read.clone());
        read
    }

    fn names(&self) -> Vec<String> {
        let Ok(entries) = self.folder.entries() else { return Vec::new() };
        let names = file_names(entries);
        // What is there decides what is read, so it belongs to what was seen. No path begins with a line end.
        self.seen.borrow_mut().insert("\n".into(), Ok(names.join("\n").into_bytes()));
        names
    }
}

/// Whether a path is written so that it stays inside the folder it is relative to.
fn stays_inside(path: &str) -> bool {
    !path.is_empty()
        && !path.contains(['\\', ':', '\0'])
        && path.split('/').all(|part| !part.is_empty() && part != "..")
}

/// A failure of the system as the readers know it.
fn fault(why: &io::Error) -> FileFault {
    match why.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => FileFault::Missing,
        // The library refuses a way out with an error of its own, which carries no number of the system.
        ErrorKind::PermissionDenied if why.raw_os_error().is_none() => FileFault::Outside,
        _ => FileFault::Unreadable(why.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::os::unix::fs::symlink;

    fn folder() -> (tempfile::TempDir, FolderFiles) {
        let outer = tempfile::tempdir().unwrap();
        fs::write(outer.path().join("secret"), "outside").unwrap();
        let inner = outer.path().join("display");
        fs::create_dir_all(inner.join("art")).unwrap();
        fs::write(inner.join("art/fox.svg"), "inside").unwrap();
        let files = FolderFiles::open(&inner).unwrap();
        (outer, files)
    }

    #[test]
    fn what_is_inside_is_read_also_through_a_link_that_stays() {
        let (outer, files) = folder();
        symlink("art/fox.svg", outer.path().join("display/fox.svg")).unwrap();
        assert_eq!(files.read("art/fox.svg"), Ok(b"inside".to_vec()));
        assert_eq!(files.read("fox.svg"), Ok(b"inside".to_vec()));
        assert_eq!(files.read("cat.svg"), Err(FileFault::Missing));
        assert_eq!(files.names(), ["fox.svg"]);
    }

    #[test]
    fn no_path_and_no_link_leads_out() {
        let (outer, files) = folder();
        let inner = outer.path().join("display");
        symlink("../secret", inner.join("near")).unwrap();
        symlink(outer.path().join("secret"), inner.join("far")).unwrap();
        symlink("..", inner.join("up")).unwrap();
        let absolute = outer.path().join("secret");
        for path in
            ["../secret", "art/../../secret", absolute.to_str().unwrap(), "near", "far", "up/secret", ""]
        {
            assert_eq!(files.read(path), Err(FileFault::Outside), "{path}");
        }
    }

    #[test]
    fn only_regular_files_below_the_limit_are_read() {
        let (outer, files) = folder();
        let inner = outer.path().join("display");
        let (mode, kind) = (rustix::fs::Mode::RUSR, rustix::fs::FileType::Fifo);
        rustix::fs::mknodat(rustix::fs::CWD, inner.join("pipe"), kind, mode, 0).unwrap();
        assert!(matches!(files.read("pipe"), Err(FileFault::Unreadable(_))));
        assert!(matches!(files.read("art"), Err(FileFault::Unreadable(_))));
        let big = fs::File::create(inner.join("big")).unwrap();
        big.set_len(MAX_FILE_BYTES as u64 + 1).unwrap();
        assert_eq!(files.read("big"), Err(FileFault::TooLarge(Some(MAX_FILE_BYTES as u64 + 1))));
        big.set_len(MAX_FILE_BYTES as u64).unwrap();
        assert_eq!(files.read("big").map(|bytes| bytes.len()), Ok(MAX_FILE_BYTES));
    }
}
