//! Typesetting: sources and fonts held in memory, one JSON view of the plan, bytes out.

use crate::BookFault;
use serde_json::Value;
use std::path::PathBuf;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_pdf::PdfOptions;

/// The fonts: one family, two weights.
const FONTS: [&[u8]; 2] = [
    include_bytes!("../../../assets/fonts/AtkinsonHyperlegibleNext_400Regular.ttf"),
    include_bytes!("../../../assets/fonts/AtkinsonHyperlegibleNext_700Bold.ttf"),
];

/// The sources, by the path under which they import each other.
const SOURCES: [(&str, &str); 15] = [
    ("style.typ", include_str!("../typst/style.typ")),
    ("plate.typ", include_str!("../typst/plate.typ")),
    ("panel.typ", include_str!("../typst/panel.typ")),
    ("hanging.typ", include_str!("../typst/hanging.typ")),
    ("digits.typ", include_str!("../typst/digits.typ")),
    ("wiring.typ", include_str!("../typst/wiring.typ")),
    ("power.typ", include_str!("../typst/power.typ")),
    ("work.typ", include_str!("../typst/work.typ")),
    ("play.typ", include_str!("../typst/play.typ")),
    ("putup.typ", include_str!("../typst/putup.typ")),
    ("cautions.typ", include_str!("../typst/cautions.typ")),
    ("results.typ", include_str!("../typst/results.typ")),
    ("book.typ", include_str!("../typst/book.typ")),
    ("sheet.typ", include_str!("../typst/sheet.typ")),
    ("tiles.typ", include_str!("../typst/tiles.typ")),
];

/// Where the sources find the view.
const VIEW: &str = "view.json";

/// What all documents share, made once.
struct Kit {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

static KIT: LazyLock<Kit> = LazyLock::new(|| {
    let fonts: Vec<Font> = FONTS.iter().flat_map(|bytes| Font::iter(Bytes::new(*bytes))).collect();
    Kit {
        library: LazyHash::new(Library::default()),
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
    }
});

/// What the typesetter may see: these sources, these fonts, this view; no disk, no clock.
struct Press {
    main: FileId,
    view: Bytes,
}

impl World for Press {
    fn library(&self) -> &LazyHash<Library> {
        &KIT.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &KIT.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let path = id.vpath().get_without_slash();
        match SOURCES.iter().find(|(name, _)| *name == path) {
            Some((_, text)) => Ok(Source::new(id, (*text).to_owned())),
            None => Err(FileError::NotFound(PathBuf::from(path))),
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        match id.vpath().get_without_slash() {
            VIEW => Ok(self.view.clone()),
            other => Err(FileError::NotFound(PathBuf::from(other))),
        }
    }

    fn font(&self, index: usize) -> Option<Font> {
        KIT.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// Sets one of the sources over a view. `ident` names the document for good, so that equal input gives equal bytes.
pub(crate) fn print(source: &str, view: &Value, ident: &str) -> Result<Vec<u8>, BookFault> {
    let path =
        VirtualPath::new(source).map_err(|fault| BookFault::Typesetting(format!("{source}: {fault:?}")))?;
    let bytes = serde_json::to_vec(view).map_err(|fault| BookFault::Typesetting(fault.to_string()))?;
    let press = Press { main: RootedPath::new(VirtualRoot::Project, path).intern(), view: Bytes::new(bytes) };
    let set = typst::compile(&press);
    if let Some(warning) = set.warnings.first() {
        return Err(BookFault::Typesetting(format!("{source}: {}", words(std::slice::from_ref(warning)))));
    }
    let document =
        set.output.map_err(|faults| BookFault::Typesetting(format!("{source}: {}", words(&faults))))?;
    let options = PdfOptions {
        ident: Smart::Custom(format!("lampwright/{ident}")),
        creator: Smart::Custom(Some("Lampwright".to_owned())),
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options)
        .map_err(|faults| BookFault::Typesetting(format!("{source}: {}", words(&faults))))
}

/// What the typesetter said, in one line.
fn words(said: &[SourceDiagnostic]) -> String {
    said.iter().map(|one| one.message.to_string()).collect::<Vec<_>>().join("; ")
}
