//! The same display gives the same bytes, every time and from every folder.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use support::{Fox, code, contents, json, program, said};

#[test]
fn twice_and_from_another_folder_gives_the_same_bytes() {
    let (here, there) = (Fox::new(), Fox::new());
    let first = here.run("build", &[]);
    assert_eq!(code(&first), 0, "{}", said(&first));
    let once = contents(&here.recipe());
    for file in ["book.pdf", "plan.json", "form.json", "made-by-lampwright.txt"] {
        assert!(once.contains_key(std::path::Path::new(file)), "{file} in {:?}", once.keys());
    }
    assert!(once.keys().any(|path| path.starts_with("firmware")), "{:?}", once.keys());
    assert_eq!(code(&here.run("build", &[])), 0);
    assert!(contents(&here.recipe()) == once, "a second build differs");
    // Another folder, another working directory, a relative path, another place for the recipe, another time zone.
    let mut elsewhere = program();
    elsewhere
        .current_dir(there.outer.path())
        .args(["build", "fox", "--out", "deep/er/recipe"])
        .env("TZ", "Asia/Tokyo");
    assert_eq!(code(&elsewhere.output().unwrap()), 0);
    assert!(contents(&there.outer.path().join("deep/er/recipe")) == once, "a build elsewhere differs");
}

#[test]
fn the_summary_names_exactly_what_was_written() {
    let fox = Fox::new();
    let summary = json(&fox.run("build", &["--json"]));
    let mut named: Vec<_> =
        summary["files"].as_array().unwrap().iter().map(|it| it.as_str().unwrap().into()).collect();
    named.push(std::path::PathBuf::from("made-by-lampwright.txt"));
    named.sort();
    assert_eq!(named, contents(&fox.recipe()).into_keys().collect::<Vec<_>>());
    for file in ["plan.json", "form.json"] {
        let bytes = std::fs::read(fox.recipe().join(file)).unwrap();
        assert!(serde_json::from_slice::<serde_json::Value>(&bytes).unwrap().is_object(), "{file}");
    }
}
