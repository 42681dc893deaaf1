//! The table of bombs: what is laid where, and the fault that must come of it.

/// What takes a file's place.
pub(crate) enum What {
    /// These bytes.
    Bytes(fn() -> Vec<u8>),
    /// The file as it is, with words replaced.
    Change(&'static str, &'static str),
    /// A file of this length that holds nothing but zeros.
    Sparse(u64),
    /// A link.
    Link(&'static str),
    /// A folder.
    Folder,
    /// A pipe that nobody writes to.
    Pipe,
}

use What::{Bytes, Change, Folder, Link, Pipe, Sparse};

/// Name, file, what takes its place, the code of a fault that must be among those found.
pub(crate) type Bomb = (&'static str, &'static str, What, &'static str);

const DISPLAY: &str = "display.toml";
const DRAWING: &str = "art/fox.svg";
const RULES: &str = "waving-fox.rules";
const SHELF: &str = "parts.toml";
const HUNDRED_MB: u64 = 100 * 1024 * 1024;
const HEAD: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 100\">";

/// A drawing with these elements in its two poses.
fn svg(inside: &str) -> Vec<u8> {
    format!("{HEAD}<g id=\"left\">{inside}</g><g id=\"right\"><path d=\"M0 0H9\"/></g></svg>").into_bytes()
}

/// A text as UTF-16, least byte first, with its mark.
fn utf16(text: &str) -> Vec<u8> {
    [0xFEFF].into_iter().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect()
}

/// Groups of ten uses of the group before, eight times over.
fn use_bomb() -> Vec<u8> {
    let mut defs = String::from("<defs><g id=\"a0\"><path d=\"M0 0H9\"/></g>");
    for level in 1..=8 {
        let uses = format!("<use href=\"#a{}\"/>", level - 1).repeat(10);
        defs.push_str(&format!("<g id=\"a{level}\">{uses}</g>"));
    }
    format!("{HEAD}{defs}</defs><g id=\"left\"><use href=\"#a8\"/></g><g id=\"right\"><path d=\"M0 0H9\"/></g></svg>")
        .into_bytes()
}

/// The fox's rules with words put before their end.
fn rules(more: &str) -> Vec<u8> {
    format!("machine fox\n  number n 0..9 = 0\n  state one shows left lights wave\n{more}\n").into_bytes()
}

pub(crate) const BOMBS: &[Bomb] = &[
    // Drawings.
    ("uses of uses", DRAWING, Bytes(use_bomb), "drawing/too-many-elements"),
    (
        "entities of entities",
        DRAWING,
        Bytes(|| {
            b"<!DOCTYPE s [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]><svg>&b;</svg>".to_vec()
        }),
        "drawing/doctype",
    ),
    (
        "an entity of another file",
        DRAWING,
        Bytes(|| b"<!DOCTYPE s [<!ENTITY a SYSTEM \"file:///etc/passwd\">]><svg>&a;</svg>".to_vec()),
        "drawing/doctype",
    ),
    (
        "a million points",
        DRAWING,
        Bytes(|| svg(&format!("<polyline points=\"{}\"/>", "1 2 3 4 ".repeat(500_000)))),
        "drawing/too-many-points",
    ),
    (
        "a path of a million lines",
        DRAWING,
        Bytes(|| svg(&format!("<path d=\"M0 0{}\"/>", "L1 2L3 4".repeat(500_000)))),
        "drawing/too-many-points",
    ),
    (
        "half a million arcs",
        DRAWING,
        Bytes(|| svg(&format!("<path d=\"M0 0{}\"/>", "a1 1 0 1 1 2 2".repeat(300_000)))),
        "drawing/too-many-points",
    ),
    (
        "a hundred thousand elements",
        DRAWING,
        Bytes(|| svg(&"<path d=\"M0 0H9\"/>".repeat(100_000))),
        "drawing/too-many-elements",
    ),
    (
        "a hundred thousand groups in each other",
        DRAWING,
        Bytes(|| svg(&format!("{}{}", "<g>".repeat(100_000), "</g>".repeat(100_000)))),
        "drawing/too-deep",
    ),
    ("a use of itself", DRAWING, Bytes(|| svg("<use href=\"#left\"/>")), "drawing/use-cycle"),
    (
        "two uses of each other",
        DRAWING,
        Bytes(|| svg("<g id=\"a\"><use href=\"#b\"/></g><g id=\"b\"><use href=\"#a\"/></g>")),
        "drawing/use-cycle",
    ),
    (
        "a transform that is no number",
        DRAWING,
        Bytes(|| svg("<g transform=\"matrix(NaN 0 0 1 0 0)\"><path d=\"M0 0H9\"/></g>")),
        "drawing/bad-transform",
    ),
    (
        "a transform into the distance",
        DRAWING,
        Bytes(|| svg("<g transform=\"scale(1e300)\"><path d=\"M0 0H9\"/></g>")),
        "drawing/too-far",
    ),
    (
        "transforms that multiply into the distance",
        DRAWING,
        Bytes(|| {
            svg(&format!(
                "{}<path d=\"M1 1H9\"/>{}",
                "<g transform=\"scale(1e9)\">".repeat(40),
                "</g>".repeat(40)
            ))
        }),
        "drawing/too-far",
    ),
    (
        "a transform that flattens",
        DRAWING,
        Bytes(|| svg("<g transform=\"scale(0)\"><path d=\"M0 0H9\"/></g>")),
        "drawing/no-size",
    ),
    ("a place without end", DRAWING, Bytes(|| svg("<path d=\"M0 0H1e999\"/>")), "drawing/bad-path"),
    (
        "a number of a million digits",
        DRAWING,
        Bytes(|| svg(&format!("<path d=\"M0 0H{}\"/>", "9".repeat(1_000_000)))),
        "drawing/bad-path",
    ),
    ("a radius without end", DRAWING, Bytes(|| svg("<circle r=\"1e308\"/>")), "drawing/too-far"),
    ("a radius below zero", DRAWING, Bytes(|| svg("<circle r=\"-4\"/>")), "drawing/no-size"),
    (
        "a width that is no number",
        DRAWING,
        Bytes(|| svg("<rect width=\"nan\" height=\"4\"/>")),
        "drawing/bad-number",
    ),
    (
        "five million letters for a path",
        DRAWING,
        Bytes(|| svg(&format!("<path d=\"{}\"/>", "z".repeat(5_000_000)))),
        "drawing/bad-path",
    ),
    (
        "a name of a million letters",
        DRAWING,
        Bytes(|| svg(&format!("<use href=\"#{}\"/>", "n".repeat(1_000_000)))),
        "drawing/unknown-id",
    ),
    ("an empty drawing", DRAWING, Bytes(Vec::new), "drawing/not-xml"),
    (
        "a drawing in UTF-16",
        DRAWING,
        Bytes(|| utf16("<svg xmlns=\"http://www.w3.org/2000/svg\"/>")),
        "file/not-text",
    ),
    ("a drawing that is not text", DRAWING, Bytes(|| vec![0xFF; 1000]), "file/not-text"),
    (
        "a compressed drawing",
        DRAWING,
        Bytes(|| b"\x1F\x8B\x08\x00\x00\x00\x00\x00\x00\x03".to_vec()),
        "file/not-text",
    ),
    ("zeros in a drawing", DRAWING, Bytes(|| svg("\0")), "drawing/not-xml"),
    (
        "another vocabulary",
        DRAWING,
        Bytes(|| b"<svg xmlns=\"http://example.org/\"><g id=\"left\"/></svg>".to_vec()),
        "drawing/not-svg",
    ),
    ("a drawing of 100 MB", DRAWING, Sparse(HUNDRED_MB), "file/too-large"),
    ("a device for a drawing", DRAWING, Link("/dev/zero"), "file/outside"),
    ("a pipe for a drawing", DRAWING, Pipe, "file/unreadable"),
    ("a folder for a drawing", DRAWING, Folder, "file/unreadable"),
    ("a link to itself", DRAWING, Link("fox.svg"), "file/unreadable"),
    ("a link to nothing", DRAWING, Link("nothing.svg"), "file/missing"),
    // The description.
    ("an empty description", DISPLAY, Bytes(Vec::new), "key/missing"),
    ("a description of 100 MB", DISPLAY, Sparse(HUNDRED_MB), "file/too-large"),
    ("a description that is a device", DISPLAY, Link("/dev/zero"), "file/outside"),
    ("a description that is a folder", DISPLAY, Folder, "file/unreadable"),
    ("a description that is a pipe", DISPLAY, Pipe, "file/unreadable"),
    ("a description in UTF-16", DISPLAY, Bytes(|| utf16("title = \"x\"\n")), "file/not-text"),
    (
        "a description that is not text",
        DISPLAY,
        Bytes(|| b"title = \"\xC3\x28\"\n".to_vec()),
        "file/not-text",
    ),
    ("half a surrogate pair", DISPLAY, Change("\"Waving fox\"", "\"Waving \\ud800 fox\""), "toml/syntax"),
    ("a control character", DISPLAY, Change("\"Waving fox\"", "\"Waving \u{7} fox\""), "toml/syntax"),
    (
        "arrays in arrays",
        DISPLAY,
        Bytes(|| format!("title = {}{}", "[".repeat(100_000), "]".repeat(100_000)).into_bytes()),
        "toml/syntax",
    ),
    (
        "tables in tables",
        DISPLAY,
        Bytes(|| format!("title = {}1{}", "{a=".repeat(100_000), "}".repeat(100_000)).into_bytes()),
        "toml/syntax",
    ),
    (
        "a key of a hundred thousand parts",
        DISPLAY,
        Bytes(|| format!("a{} = 1", ".a".repeat(100_000)).into_bytes()),
        "toml/syntax",
    ),
    (
        "two titles",
        DISPLAY,
        Change("title = \"Waving fox\"", "title = \"Waving fox\"\ntitle = \"Other\""),
        "toml/syntax",
    ),
    ("two supplies", DISPLAY, Change("[supply]", "[supply]\n[supply]"), "toml/syntax"),
    (
        "four thousand figures",
        DISPLAY,
        Bytes(|| (0..4_000).map(|n| format!("[figure.f{n}]\nx = 1\n")).collect::<String>().into_bytes()),
        "key/unknown",
    ),
    (
        "a height that is no number",
        DISPLAY,
        Change("height  = \"4 ft\"", "height  = nan"),
        "quantity/not-a-number",
    ),
    ("a height without end", DISPLAY, Change("height  = \"4 ft\"", "height  = inf"), "quantity/not-a-number"),
    ("a height of 1e999", DISPLAY, Change("\"4 ft\"", "\"1e999 ft\""), "quantity/unknown-unit"),
    (
        "a height of sixty nines",
        DISPLAY,
        Change("\"4 ft\"", "\"999999999999999999999999999999999999999999999999999999999999\""),
        "quantity/bare-number",
    ),
    ("a height over nothing", DISPLAY, Change("\"4 ft\"", "\"1/0 ft\""), "quantity/not-a-number"),
    ("no height at all", DISPLAY, Change("\"4 ft\"", "\"0 ft\""), "quantity/zero"),
    (
        "a title of a number beyond 64 bits",
        DISPLAY,
        Change("\"Waving fox\"", "99999999999999999999999999"),
        "value/wrong-kind",
    ),
    (
        "a name with a control character",
        DISPLAY,
        Change("[figure.fox]", "[figure.\"fo\\u0007x\"]"),
        "name/not-allowed",
    ),
    (
        "a name of ten thousand letters",
        DISPLAY,
        Bytes(|| format!("[figure.{}]\n", "f".repeat(10_000)).into_bytes()),
        "name/not-allowed",
    ),
    (
        "a drawing above the folder",
        DISPLAY,
        Change("\"art/fox.svg\"", "\"../fox/art/fox.svg\""),
        "file/outside",
    ),
    ("a drawing by an absolute path", DISPLAY, Change("\"art/fox.svg\"", "\"/etc/passwd\""), "file/outside"),
    (
        "a drawing with a zero in its path",
        DISPLAY,
        Change("\"art/fox.svg\"", "\"art\\u0000fox.svg\""),
        "value/words",
    ),
    ("a drawing without a path", DISPLAY, Change("\"art/fox.svg\"", "\"\""), "value/empty"),
    (
        "rules above the folder",
        DISPLAY,
        Change("\"waving-fox.rules\"", "\"../fox/waving-fox.rules\""),
        "file/outside",
    ),
    ("rules by an absolute path", DISPLAY, Change("\"waving-fox.rules\"", "\"/dev/zero\""), "file/outside"),
    (
        "rules with a backslash",
        DISPLAY,
        Change("\"waving-fox.rules\"", "\"..\\\\fox.rules\""),
        "file/outside",
    ),
    // Rules.
    (
        "a megabyte of rules that are none",
        RULES,
        Bytes(|| "word ".repeat(200_000).into_bytes()),
        "rules/outside-machine",
    ),
    (
        "a megabyte of machines",
        RULES,
        Bytes(|| (0..60_000).map(|n| format!("machine m{n}\n")).collect::<String>().into_bytes()),
        "rules/no-state",
    ),
    (
        "a hundred thousand brackets",
        RULES,
        Bytes(|| rules(&format!("  one when {}n > 1 stay", "(".repeat(100_000)))),
        "rules/too-deep",
    ),
    (
        "a hundred thousand nots",
        RULES,
        Bytes(|| rules(&format!("  one when {}n > 1 stay", "not ".repeat(100_000)))),
        "rules/too-deep",
    ),
    (
        "a number of a hundred thousand digits",
        RULES,
        Bytes(|| rules(&format!("  one when n > {} stay", "9".repeat(100_000)))),
        "rules/overflow",
    ),
    ("rules in UTF-16", RULES, Bytes(|| utf16("machine fox\n")), "file/not-text"),
    ("rules that are not text", RULES, Bytes(|| vec![0xFE; 4000]), "file/not-text"),
    ("rules of zeros", RULES, Bytes(|| vec![0; 4000]), "rules/character"),
    ("rules of 100 MB", RULES, Sparse(HUNDRED_MB), "file/too-large"),
    ("rules from a device", RULES, Link("/dev/urandom"), "file/outside"),
    ("rules that are a folder", RULES, Folder, "file/unreadable"),
    // The shelf.
    ("a shelf of 100 MB", SHELF, Sparse(HUNDRED_MB), "file/too-large"),
    ("a shelf in UTF-16", SHELF, Bytes(|| utf16("[strand.x]\n")), "file/not-text"),
    ("a shelf from a device", SHELF, Link("/dev/zero"), "file/outside"),
    (
        "a shelf of arrays in arrays",
        SHELF,
        Bytes(|| format!("a = {}", "[".repeat(100_000)).into_bytes()),
        "toml/syntax",
    ),
    (
        "twenty thousand parts",
        SHELF,
        Bytes(|| (0..20_000).map(|n| format!("[strand.s{n}]\nx = 1\n")).collect::<String>().into_bytes()),
        "key/unknown",
    ),
];
