//! A danger withholds what it touches, and lets go of it when it is cured.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use std::path::Path;
use std::process::Command;
use support::{Fox, code, contents, json, said};

/// Builds, checks the exit code, and gives what is withheld.
fn withheld(fox: &Fox, expected: i32) -> Vec<String> {
    let checked = fox.run("check", &[]);
    assert_eq!(code(&checked), expected, "{}", said(&checked));
    let built = fox.run("build", &["--json"]);
    assert_eq!(code(&built), expected, "{}", said(&built));
    json(&built)["withheld"]
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| sheet.as_str().unwrap().to_owned())
        .collect()
}

fn has_firmware(fox: &Fox) -> bool {
    contents(&fox.recipe()).keys().any(|path| path.starts_with("firmware") || path == Path::new("form.json"))
}

fn plan(fox: &Fox) -> serde_json::Value {
    serde_json::from_slice(&std::fs::read(fox.recipe().join("plan.json")).unwrap()).unwrap()
}

/// The words of the book, as `pdftotext` of Poppler reads them.
fn book(fox: &Fox) -> String {
    let pdf = fox.recipe().join("book.pdf");
    let read = Command::new("pdftotext").arg("-layout").arg(pdf).arg("-").output().unwrap();
    assert!(read.status.success(), "{read:?}");
    let words = String::from_utf8(read.stdout).unwrap().to_lowercase();
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_supply_without_a_listing_withholds_wiring_and_firmware_until_it_is_changed_back() {
    let fox = Fox::new();
    assert_eq!(withheld(&fox, 0), Vec::<String>::new());
    let good = contents(&fox.recipe());
    assert!(has_firmware(&fox));
    assert!(
        !book(&fox).contains("this page says why"),
        "the book of a display without danger speaks of withholding"
    );
    let listed = plan(&fox)["supply"]["part"].as_str().unwrap().to_owned();
    fox.change("display.toml", &format!("\"{listed}\""), "\"open-frame-12v-8a\"");
    let sheets = withheld(&fox, 3);
    assert!(sheets.contains(&"wiring".into()) && sheets.contains(&"firmware".into()), "{sheets:?}");
    assert!(!has_firmware(&fox));
    assert!(book(&fox).contains("this page says why"), "no page says why");
    assert_eq!(plan(&fox)["cables"], serde_json::json!([]), "withheld on paper, but not in plan.json");
    fox.change("display.toml", "open-frame-12v-8a", &listed);
    assert_eq!(withheld(&fox, 0), Vec::<String>::new());
    assert!(contents(&fox.recipe()) == good, "the cured recipe differs from the one before");
}

#[test]
fn poses_that_change_too_fast_withhold_the_firmware_until_they_slow_down() {
    let fox = Fox::new();
    assert_eq!(withheld(&fox, 0), Vec::<String>::new());
    let slow = std::fs::read_to_string(fox.folder().join("waving-fox.rules")).unwrap();
    assert!(slow.contains("300 ms"));
    std::fs::write(fox.folder().join("waving-fox.rules"), slow.replace("300 ms", "150 ms")).unwrap();
    let sheets = withheld(&fox, 3);
    assert!(sheets.contains(&"firmware".into()), "{sheets:?}");
    assert!(!has_firmware(&fox));
    assert!(book(&fox).contains("flash"), "no page says why");
    std::fs::write(fox.folder().join("waving-fox.rules"), slow).unwrap();
    assert_eq!(withheld(&fox, 0), Vec::<String>::new());
    assert!(has_firmware(&fox));
}
