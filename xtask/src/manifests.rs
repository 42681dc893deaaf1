//! Reads the manifests: which crate depends on which.

use crate::levels;
use std::fs;
use std::path::Path;
use toml::Table;

/// Everything wrong with the edges between the crates.
pub(crate) fn complaints(root: &Path) -> Vec<String> {
    let mut complaints = Vec::new();
    let mut names = vec!["xtask".to_owned()];
    for entry in fs::read_dir(root.join("crates")).into_iter().flatten().filter_map(Result::ok) {
        match entry.file_name().into_string() {
            Ok(name) => names.push(name),
            Err(name) => complaints.push(format!("crates/{}: not a name", name.display())),
        }
    }
    names.sort();
    for name in &names {
        let folder = if name == "xtask" { root.join(name) } else { root.join("crates").join(name) };
        match fs::read_to_string(folder.join("Cargo.toml")) {
            Ok(manifest) => complaints.extend(of_manifest(name, &manifest)),
            Err(why) => complaints.push(format!("{name}/Cargo.toml: {why}")),
        }
    }
    for (known, _) in levels::LEVELS {
        if !names.iter().any(|name| name == known) {
            complaints.push(format!("xtask/src/levels.rs: there is no crate {known}"));
        }
    }
    complaints
}

/// Everything wrong with one manifest.
fn of_manifest(folder: &str, manifest: &str) -> Vec<String> {
    let manifest: Table = match manifest.parse() {
        Ok(manifest) => manifest,
        Err(why) => return vec![format!("{folder}/Cargo.toml: {why}")],
    };
    let mut complaints = Vec::new();
    let name = manifest.get("package").and_then(|package| package.get("name")).and_then(|name| name.as_str());
    if name != Some(folder) {
        complaints.push(format!("{folder}/Cargo.toml: the package is not named {folder}"));
    }
    if !levels::knows(folder) {
        complaints.push(format!("{folder}: has no level in xtask/src/levels.rs"));
    }
    // The emulator's library is C, so its crate alone may hold `unsafe` and carries a table of its own.
    if folder != "emulated"
        && manifest.get("lints").and_then(|lints| lints.get("workspace")).and_then(toml::Value::as_bool)
            != Some(true)
    {
        complaints.push(format!("{folder}/Cargo.toml: does not take the workspace's lints"));
    }
    let edges = dependencies(&manifest).into_iter().filter(|to| levels::knows(to) && to != folder);
    complaints.extend(edges.filter_map(|to| levels::objection(folder, &to)));
    complaints
}

/// The names of everything a manifest depends on: to run, to build, to test, and for single targets.
fn dependencies(manifest: &Table) -> Vec<String> {
    let mut names = Vec::new();
    for section in ["dependencies", "build-dependencies", "dev-dependencies"] {
        let mut tables = vec![manifest.get(section)];
        let targets = manifest.get("target").and_then(toml::Value::as_table).into_iter().flatten();
        tables.extend(targets.map(|(_, target)| target.get(section)));
        for (key, value) in tables.into_iter().flatten().filter_map(toml::Value::as_table).flatten() {
            let renamed = value.get("package").and_then(toml::Value::as_str);
            names.push(renamed.unwrap_or(key).to_owned());
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(name: &str, dependencies: &str) -> Vec<String> {
        of_manifest(name, &format!("[package]\nname = '{name}'\n[lints]\nworkspace = true\n{dependencies}"))
    }

    #[test]
    fn edges_up_are_found_wherever_they_hide() {
        assert_eq!(
            with("plan", "[dependencies]\ndisplay.workspace = true\nserde = '1'\n"),
            Vec::<String>::new()
        );
        for hidden in [
            "[dependencies]\nplan = { path = '../plan' }\n",
            "[dev-dependencies]\nplan.workspace = true\n",
            "[build-dependencies]\nplan.workspace = true\n",
            "[target.'cfg(unix)'.dependencies]\nplan.workspace = true\n",
            "[dependencies]\nother = { package = 'plan', path = '../plan' }\n",
        ] {
            assert_eq!(with("display", hidden), ["display (level 3) depends on plan (level 4)"], "{hidden}");
        }
    }

    #[test]
    fn strangers_and_missing_lints_are_found() {
        assert_eq!(with("weather", "").len(), 1);
        assert_eq!(of_manifest("plan", "[package]\nname = 'plan'\n").len(), 1);
        assert_eq!(of_manifest("plan", "[package]\nname = 'other'\n[lints]\nworkspace = true\n").len(), 1);
        assert_eq!(of_manifest("plan", "[package").len(), 1);
    }
}
