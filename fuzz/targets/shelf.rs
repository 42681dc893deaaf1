//! Any text as `parts.toml`: parts or faults with places inside the text.
#![no_main]

use libfuzzer_sys::fuzz_target;
use source::Text;

fuzz_target!(|content: &str| {
    let text = Text::new("parts.toml", content);
    let (_, faults) = parts::shelf(Some(&text));
    for fault in &faults {
        finding::render(fault, std::slice::from_ref(&text), finding::Style::Plain);
    }
});
