//! Any text as an SVG drawing: poses or faults with places inside the text.
#![no_main]

use libfuzzer_sys::fuzz_target;
use source::Text;

fuzz_target!(|content: &str| {
    let text = Text::new("fuzz.svg", content);
    let (_, faults) = drawing::read_svg(&text);
    for fault in &faults {
        finding::render(fault, std::slice::from_ref(&text), finding::Style::Plain);
    }
});
