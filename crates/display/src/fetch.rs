//! Getting the texts of a display, and saying where it goes wrong.

use finding::{Fault, suggestion};
use source::{FileFault, Files, Place, Text};

/// The stable name of a file's fault.
fn code(fault: &FileFault) -> &'static str {
    match fault {
        FileFault::Missing => "file/missing",
        FileFault::Outside => "file/outside",
        FileFault::TooLarge(_) => "file/too-large",
        FileFault::Unreadable(_) => "file/unreadable",
    }
}

/// The text of a file. `named_at` is where the description names it; none for the description itself.
pub(crate) fn fetch(
    files: &dyn Files,
    path: &str,
    named_at: Option<&Place>,
) -> Result<Text, (Fault, FileTrouble)> {
    let bytes = files.read(path).map_err(|fault| {
        let trouble = if fault == FileFault::Missing { FileTrouble::Missing } else { FileTrouble::Other };
        (file_fault(files, path, named_at, &fault), trouble)
    })?;
    match String::from_utf8(bytes) {
        Ok(content) => Ok(Text::new(path, content)),
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let message = format!("{path} is not a text: byte {at} is not UTF-8");
            let fault = Fault::new("file/not-text", named_at.cloned(), message);
            Err((fault.hint("save it as UTF-8"), FileTrouble::Other))
        }
    }
}

/// Whether a file is only not there, which some files may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum FileTrouble {
    /// There is none.
    Missing,
    /// There is one, but it cannot be taken.
    Other,
}

/// A file that cannot be had, with the nearest name that is there.
fn file_fault(files: &dyn Files, path: &str, named_at: Option<&Place>, fault: &FileFault) -> Fault {
    let found = Fault::new(code(fault), named_at.cloned(), format!("{path}: {fault}"));
    match fault {
        FileFault::Missing => {
            let names = files.names();
            found.maybe_hint(suggestion(path, names.iter().map(String::as_str)))
        }
        FileFault::Outside => found.hint("keep every file of a display in its own folder"),
        _ => found,
    }
}
