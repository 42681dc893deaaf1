//! Gathers the project's own displays, so that `new` carries them inside the program.
#![allow(clippy::disallowed_methods, reason = "a build script reads the project's own files")]

use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

fn main() -> Result<(), Box<dyn Error>> {
    // Cargo runs this in the package's own folder, and takes paths as seen from there: nothing of where the project lies goes
    // into what is made, so that two copies of it may share what is compiled.
    let displays = Path::new("../../displays");
    println!("cargo::rerun-if-changed=build.rs");
    let mut source = String::from("&[\n");
    for folder in entries(displays)? {
        let Ok(description) = fs::read_to_string(folder.join("display.toml")) else { continue };
        let name = folder.file_name().and_then(|name| name.to_str()).ok_or("a folder without a name")?;
        let about = description.lines().next().and_then(|line| line.strip_prefix("# "));
        let about = about.ok_or_else(|| format!("{name}/display.toml does not begin with a comment"))?;
        writeln!(source, "Game {{ name: {name:?}, about: {about:?}, files: &[")?;
        for file in files(&folder)? {
            // Files, never their folders: a recipe built into a display's folder must not make the program be built again.
            // A display that is new shows after a change to any of these files.
            println!("cargo::rerun-if-changed={}", file.display());
            let inside = file.strip_prefix(&folder)?;
            // The bytes themselves: a path would be one of this copy alone.
            writeln!(source, "({inside:?}, &{:?}),", fs::read(&file)?)?;
        }
        source.push_str("] },\n");
    }
    source.push(']');
    let out = std::env::var_os("OUT_DIR").ok_or("no OUT_DIR")?;
    fs::write(Path::new(&out).join("games.rs"), source)?;
    Ok(())
}

/// What is directly in a folder, sorted, without what tools leave there.
fn entries(folder: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let mut found: Vec<PathBuf> =
        fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    found.retain(|path| {
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or(".");
        name != "recipe" && !name.starts_with('.') && !name.ends_with('~')
    });
    found.sort();
    Ok(found)
}

/// Every file below a folder.
fn files(folder: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let mut found = Vec::new();
    for path in entries(folder)? {
        if path.is_dir() { found.extend(files(&path)?) } else { found.push(path) }
    }
    Ok(found)
}
