//! Getting the texts of a display, and saying where it goes wrong.

use finding::{Fault, suggestion};
use source::{FileFault, Files, Place, Text};

/// The stable name of a file that is not there, which some files may be.
pub(crate) const MISSING: &str = "file/missing";

/// The stable name of a file's fault.
fn code(fault: &FileFault) -> &'static str {
    match fault {
        FileFault::Missing => MISSING,
        FileFault::Outside => "file/outside",
        FileFault::TooLarge(_) => "file/too-large",
        FileFault::Unreadable(_) => "file/unreadable",
    }
}

/// The text of a file. `named_at` is where the description names it; none for the description itself.
pub(crate) fn fetch(files: &dyn Files, path: &str, named_at: Option<&Place>) -> Result<Text, Box<Fault>> {
    let bytes = files.read(path).map_err(|fault| Box::new(file_fault(files, path, named_at, &fault)))?;
    String::from_utf8(bytes).map(|content| Text::new(path, content)).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let message = format!("{path} is not a text: byte {at} is not UTF-8");
        Box::new(Fault::new("file/not-text", named_at.cloned(), message).hint("save it as UTF-8"))
    })
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
