//! Any bytes as `display.toml` beside the fox's other files: faults with places inside the texts, or a plan.
#![no_main]

use libfuzzer_sys::fuzz_target;
use source::MemoryFiles;

fuzz_target!(|bytes: &[u8]| {
    let files = MemoryFiles::default()
        .with("display.toml", bytes)
        .with("parts.toml", include_bytes!("../../displays/waving-fox/parts.toml").as_slice())
        .with("waving-fox.rules", include_bytes!("../../displays/waving-fox/waving-fox.rules").as_slice())
        .with("art/fox.svg", include_bytes!("../../displays/waving-fox/art/fox.svg").as_slice());
    let (display, faults, texts) = display::read(&files);
    for fault in &faults {
        finding::render(fault, &texts, finding::Style::Plain);
        finding::one_line(fault, &texts);
    }
    if let Some(display) = display.filter(|_| !faults.iter().any(finding::Fault::stops)) {
        plan::plan(&display);
    }
});
