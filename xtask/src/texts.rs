//! What every file of the project keeps to: a header, a length, clean line ends, no words that do not belong.

/// No file may be longer than this.
const LONGEST: usize = 800;

/// Everything wrong with one file, by its path in the project.
pub(crate) fn complaints(path: &str, content: &str) -> Vec<String> {
    let mut complaints = Vec::new();
    let extension = path.rsplit_once('.').map_or("", |(_, extension)| extension);
    // Nobody edits a lock file or a schema: both are written by a program.
    let lock =
        path.ends_with(".lock") || path.ends_with("package-lock.json") || path.ends_with(".schema.json");
    let lines = content.lines().count();
    if lines > LONGEST && !lock {
        complaints.push(format!("{path}: {lines} lines; the limit is {LONGEST}"));
    }
    if !has_header(extension, path, content) {
        complaints.push(format!("{path}: does not begin with a header that says what it is for"));
    }
    if !content.is_empty() && !content.ends_with('\n') && extension != "json" {
        complaints.push(format!("{path}: the last line has no end"));
    }
    for (number, line) in content.lines().enumerate() {
        let at = number + 1;
        // Two spaces at the end of a line mean something in Markdown only.
        if line.ends_with([' ', '\t', '\r']) && extension != "md" {
            complaints.push(format!("{path}:{at}: space at the end of the line"));
        }
        for word in forbidden() {
            if line.contains(&word) {
                complaints.push(format!("{path}:{at}: {word} does not belong in the project"));
            }
        }
    }
    complaints
}

/// Whether a file of a kind that carries a header begins with one.
fn has_header(extension: &str, path: &str, content: &str) -> bool {
    let first = content.lines().find(|line| !line.starts_with("#!")).unwrap_or_default();
    let begins = |marks: &[&str]| marks.iter().any(|mark| first.starts_with(mark));
    match extension {
        "rs" => begins(&["//!"]),
        "js" | "mjs" | "cjs" => begins(&["//", "/*"]),
        "css" => begins(&["/*"]),
        "py" => begins(&["#", "\"\"\""]),
        "typ" => begins(&["//", "/*"]),
        "c" | "h" => begins(&["//", "/*"]),
        // A manifest begins with its package's description instead.
        "toml" => begins(&["#"]) || path.ends_with("Cargo.toml") || content.is_empty(),
        _ => true,
    }
}

/// Words that show something unfinished or something of one machine. Put together here, so that this file may hold them.
fn forbidden() -> [String; 6] {
    let word = |parts: [&str; 2]| parts.concat();
    [
        word(["TO", "DO"]),
        word(["FIX", "ME"]),
        word(["XX", "X:"]),
        word(["/home", "/"]),
        word(["/root", "/"]),
        word(["/work", "/main"]),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rule_finds_its_breach() {
        let clean = "//! What it is for.\n\nfn main() {}\n";
        assert_eq!(complaints("a.rs", clean), Vec::<String>::new());
        let long = format!("{clean}{}", "// x\n".repeat(LONGEST));
        let unfinished = format!("{clean}// {}: later\n", ["TO", "DO"].concat());
        let machine = format!("{clean}// {}me/a\n", ["/home", "/"].concat());
        for (path, content) in [
            ("a.rs", "fn main() {}\n"),
            ("a.mjs", "import x;\n"),
            ("a.css", "body {}\n"),
            ("a.py", "import x\n"),
            ("a.typ", "#let x = 1\n"),
            ("a.toml", "[a]\n"),
            ("a.rs", &long),
            ("a.rs", "//! Header. \n"),
            ("a.rs", "//! Header."),
            ("a.rs", &unfinished),
            ("a.rs", &machine),
        ] {
            assert_eq!(complaints(path, content).len(), 1, "{path}: {}", &content[..content.len().min(40)]);
        }
    }
}
