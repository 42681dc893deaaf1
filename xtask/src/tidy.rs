//! `cargo xtask tidy`: reads the whole project once and says everything that breaks its own rules.

use crate::{manifests, texts};
use std::fs;
use std::path::{Path, PathBuf};

/// Folders that are not ours to keep tidy: made by tools, or taken over as they are.
const SKIPPED: &[&str] =
    &["target", "fonts", "node_modules", "vendor", "corpus", "artifacts", "recipe", ".git", "seeds"];
/// The kinds of file that are read as text.
const TEXTS: &[&str] = &[
    "rs", "toml", "md", "js", "mjs", "cjs", "css", "html", "py", "typ", "c", "h", "json", "rules", "svg",
    "txt",
];

/// Everything wrong, one line each.
pub(crate) fn complaints(root: &Path) -> Vec<String> {
    let mut complaints = manifests::complaints(root);
    let mut files = Vec::new();
    gather(root, &mut files);
    files.sort();
    if files.is_empty() {
        complaints.push("there is nothing to read".into());
    }
    for file in files {
        let shown = file.strip_prefix(root).unwrap_or(&file).display().to_string();
        match fs::read_to_string(&file) {
            Ok(content) => complaints.extend(texts::complaints(&shown, &content)),
            Err(why) => complaints.push(format!("{shown}: {why}")),
        }
    }
    complaints
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok) {
        let (path, name) = (entry.path(), entry.file_name());
        let name = name.to_string_lossy();
        let Ok(kind) = entry.file_type() else { continue };
        if kind.is_dir() {
            let hidden = name.starts_with('.') && name != ".ci" && name != ".cargo";
            if !hidden && !SKIPPED.contains(&name.as_ref()) {
                gather(&path, files);
            }
        } else if kind.is_file() && path.extension().is_some_and(|it| TEXTS.iter().any(|text| it == *text)) {
            files.push(path);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_project_is_read_and_others_files_are_not() {
        let mut files = Vec::new();
        gather(&crate::root(), &mut files);
        assert!(files.iter().any(|file| file.ends_with("xtask/src/tidy.rs")));
        assert!(files.iter().any(|file| file.ends_with("crates/source/src/lib.rs")));
        assert!(!files.iter().any(|file| file.components().any(|part| part.as_os_str() == "target")));
    }
}
