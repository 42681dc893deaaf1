//! What is looked at before the text is handed to the XML reader.

use source::Text;

/// Elements may be nested this deep.
pub(crate) const DEEPEST: usize = 64;

/// The byte of the first element nested deeper than [`DEEPEST`]. Only counts tags; what is not XML is found later.
pub(crate) fn too_deep(content: &str) -> Option<usize> {
    let mut depth: usize = 0;
    let mut at = 0;
    while let Some(open) = content.get(at..).and_then(|rest| rest.find('<')).map(|found| at + found) {
        let rest = &content[open..];
        let skip = |end: &str| rest.find(end).map_or(rest.len(), |found| found + end.len());
        let length = if rest.starts_with("<!--") {
            skip("-->")
        } else if rest.starts_with("<![CDATA[") {
            skip("]]>")
        } else if rest.starts_with("<?") {
            skip("?>")
        } else if rest.starts_with("<!") {
            skip(">")
        } else if rest.starts_with("</") {
            depth = depth.saturating_sub(1);
            skip(">")
        } else {
            let length = tag_length(rest);
            if !rest[..length].ends_with("/>") {
                depth += 1;
                if depth > DEEPEST {
                    return Some(open);
                }
            }
            length
        };
        at = open + length;
    }
    None
}

/// The length of a tag; `>` inside quotes does not end it.
fn tag_length(rest: &str) -> usize {
    let mut quote = None;
    for (at, byte) in rest.bytes().enumerate() {
        match (quote, byte) {
            (None, b'>') => return at + 1,
            (None, b'"' | b'\'') => quote = Some(byte),
            (Some(open), _) if open == byte => quote = None,
            _ => {}
        }
    }
    rest.len()
}

/// The byte at a row and column, both from 1, columns in characters.
pub(crate) fn byte_at(text: &Text, row: u32, column: u32) -> usize {
    let content = text.content();
    let row = usize::try_from(row).unwrap_or(usize::MAX).saturating_sub(1);
    let column = usize::try_from(column).unwrap_or(usize::MAX).saturating_sub(1);
    let start = match row {
        0 => 0,
        _ => content.match_indices('\n').nth(row - 1).map_or(content.len(), |(at, _)| at + 1),
    };
    let line = &content[start..];
    start + line.char_indices().nth(column).map_or(line.len(), |(at, _)| at)
}
