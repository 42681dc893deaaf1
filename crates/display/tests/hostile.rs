//! Whatever stands in the files, reading ends with faults in the texts and never with a panic.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::{DESCRIPTION, fox};
use proptest::prelude::*;
use source::{Files, MemoryFiles};

/// Reads, and checks that every fault lies in a text that was read.
fn reads(files: &dyn Files) {
    let (display, faults, texts) = display::read(files);
    assert!(display.is_some() || faults.iter().any(finding::Fault::stops), "neither a display nor a fault");
    for place in faults.iter().filter_map(|fault| fault.place.as_ref()) {
        let text = texts.iter().find(|text| text.name() == place.file).unwrap();
        assert!(text.content().get(place.start..place.end).is_some(), "{place:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_text(content in "(.|\n){0,200}") {
        reads(&fox(&content));
    }

    #[test]
    fn any_bytes(content in proptest::collection::vec(any::<u8>(), 0..200)) {
        reads(&MemoryFiles::default().with("display.toml", content));
    }

    #[test]
    fn a_mangled_fox(cuts in proptest::collection::vec((0usize..900, 0usize..30, "[\\[\\]{}\"'=.,#0-9a-z \n-]{0,6}"), 1..5)) {
        let mut content = DESCRIPTION.to_owned();
        for (at, length, put) in cuts {
            let at = at.min(content.len());
            let end = (at + length).min(content.len());
            if content.is_char_boundary(at) && content.is_char_boundary(end) {
                content.replace_range(at..end, &put);
            }
        }
        reads(&fox(&content));
    }
}

#[test]
fn deep_nesting_ends_with_a_fault() {
    reads(&fox(&format!("title = {}", "[".repeat(100_000))));
    reads(&fox(&format!("title{} = 1", ".a".repeat(100_000))));
    reads(&fox(&format!("title = {}", "{a=".repeat(100_000))));
}
