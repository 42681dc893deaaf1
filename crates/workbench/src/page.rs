//! The files of the page, compiled in.

/// One file of the page.
#[derive(Debug)]
pub(crate) struct PageFile {
    /// The path it is served under.
    pub(crate) path: &'static str,
    /// Its media type.
    pub(crate) kind: &'static str,
    /// Its bytes.
    pub(crate) bytes: &'static [u8],
}

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const JS: &str = "text/javascript; charset=utf-8";
const TTF: &str = "font/ttf";

/// A file of the page's folder under its own name.
macro_rules! page {
    ($name:literal, $kind:expr) => {
        PageFile {
            path: concat!("/", $name),
            kind: $kind,
            bytes: include_bytes!(concat!("../../../page/", $name)),
        }
    };
}

/// A font under `/fonts`.
macro_rules! font {
    ($name:literal) => {
        PageFile {
            path: concat!("/fonts/", $name),
            kind: TTF,
            bytes: include_bytes!(concat!("../../../assets/fonts/", $name)),
        }
    };
}

/// Every file of the page; `/` is `index.html`.
pub(crate) const FILES: &[PageFile] = &[
    PageFile { path: "/", kind: HTML, bytes: include_bytes!("../../../page/index.html") },
    page!("style.css", CSS),
    page!("stop.css", CSS),
    page!("rules.css", CSS),
    page!("main.js", JS),
    page!("player.js", JS),
    page!("conditioner.js", JS),
    page!("game.js", JS),
    page!("rules.js", JS),
    page!("rehearsal.js", JS),
    page!("rehearsal-chart.js", JS),
    page!("words.js", JS),
    page!("chart.js", JS),
    page!("pace.js", JS),
    page!("tune.js", JS),
    page!("keep.js", JS),
    page!("replay.js", JS),
    page!("sounds.js", JS),
    page!("controls.js", JS),
    page!("sight.js", JS),
    page!("view.js", JS),
    page!("layout.js", JS),
    page!("lit.js", JS),
    page!("lamp.js", JS),
    page!("still.js", JS),
    page!("yard.js", JS),
    page!("path.js", JS),
    page!("stop.js", JS),
    page!("finding.js", JS),
    page!("edit.js", JS),
    page!("faults.js", JS),
    page!("origin.js", JS),
    page!("signal.js", JS),
    page!("table.js", JS),
    page!("tables.js", JS),
    page!("tables-current.js", JS),
    page!("tables-work.js", JS),
    page!("threading.js", JS),
    page!("drawings.js", JS),
    page!("units.js", JS),
    page!("vendor/lit-html.js", JS),
    page!("vendor/dagre.js", JS),
    font!("AtkinsonHyperlegibleNext_400Regular.ttf"),
    font!("AtkinsonHyperlegibleNext_700Bold.ttf"),
];
