//! `lampwright tidy` on files: what it writes, what it only says, and what it leaves alone.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use serde_json::json as value;
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use support::{Fox, code, json, names, program, said};

const RULES: &str = "waving-fox.rules";

#[test]
fn rules_are_laid_out_in_place_and_a_second_time_nothing_changes() {
    let fox = Fox::new();
    let path = fox.folder().join(RULES);
    let tidy = fs::read_to_string(&path).unwrap();
    let untidy = tidy.replace("  ", " ").replace("\nmachine", "\n\n\n machine");
    fs::write(&path, &untidy).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    let before = names(&fox.folder());
    let check = fox.run("tidy", &["--check"]);
    assert_eq!(code(&check), 2);
    assert!(said(&check).contains("line 3 is the first that would change"), "{}", said(&check));
    assert_eq!(fs::read_to_string(&path).unwrap(), untidy, "--check writes nothing");
    assert_eq!(code(&fox.run("tidy", &[])), 0);
    // The only difference left is the blank line that the untidy text had in front of its machine.
    assert_eq!(fs::read_to_string(&path).unwrap(), tidy.replace("\nmachine", "\n\nmachine"));
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    assert_eq!(names(&fox.folder()), before, "nothing is left beside");
    for more in [&[][..], &["--check"]] {
        let again = fox.run("tidy", more);
        assert_eq!((code(&again), said(&again).contains("tidy.")), (0, true));
    }
}

#[test]
fn a_line_that_cannot_be_read_is_named_and_left() {
    let fox = Fox::new();
    let path = fox.folder().join(RULES);
    fs::write(&path, "machine fox\nstate a  shows left\n a on   knock go a\n").unwrap();
    let output = program().arg("tidy").arg(&path).arg("--json").output().unwrap();
    assert_eq!(code(&output), 2);
    let report = json(&output);
    assert_eq!((&report["ending"], &report["written"]), (&value!("faults"), &value!(true)));
    let files = value!([{ "file": path.to_str(), "first_changed_line": 2, "lines_left": [3] }]);
    assert_eq!(report["files"], files);
    let after = fs::read_to_string(&path).unwrap();
    assert_eq!(after, "machine fox\n  state a  shows left\n a on   knock go a\n");
}

#[test]
fn what_is_none_of_its_business_is_left_alone() {
    let fox = Fox::new();
    let tidy = |path: &std::path::Path| program().arg("tidy").arg(path).output().unwrap();
    for (name, ending) in [("display.toml", 1), ("none.rules", 1)] {
        assert_eq!(code(&tidy(&fox.folder().join(name))), ending, "{name}");
    }
    let path = fox.folder().join(RULES);
    let latin = b"machine fox # f\xfcr\n";
    fs::write(&path, latin).unwrap();
    assert_eq!(code(&tidy(&path)), 2);
    assert_eq!(fs::read(&path).unwrap(), latin);
    let elsewhere = fox.outer.path().join("elsewhere.rules");
    fs::rename(&path, &elsewhere).unwrap();
    fs::write(&elsewhere, "machine   fox\n").unwrap();
    symlink(&elsewhere, &path).unwrap();
    assert_eq!(code(&tidy(&path)), 1);
    assert_eq!(fs::read_to_string(&elsewhere).unwrap(), "machine   fox\n");
    let empty = fox.outer.path().join("empty");
    fs::create_dir_all(&empty).unwrap();
    assert_eq!(code(&tidy(&empty)), 1);
    let lonely = fox.outer.path().join("lonely.rules");
    fs::write(&lonely, "machine   fox").unwrap();
    let alone = program().arg("tidy").arg("lonely.rules").current_dir(fox.outer.path()).output().unwrap();
    assert_eq!(code(&alone), 0, "{}", said(&alone));
    assert_eq!(fs::read_to_string(&lonely).unwrap(), "machine fox\n");
}
