//! Any text as rules: faults, or a form that the referee can play without overflow.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use rules::step::{Input, begin, step};
use source::Text;

fuzz_target!(|content: &str| {
    let text = Text::new("fuzz.rules", content);
    let (form, faults) = rules::read(&text, &interface());
    for fault in &faults {
        finding::render(fault, std::slice::from_ref(&text), finding::Style::Plain);
    }
    let tidied = rules::tidy::tidied(&text).content;
    let signs = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
    assert_eq!(signs(content), signs(&tidied));
    let again = Text::new("fuzz.rules", tidied);
    assert_eq!(rules::tidy::tidied(&again).content, again.content());
    assert_eq!(rules::read(&again, &interface()).0, form);
    if faults.iter().any(finding::Fault::stops) {
        return;
    }
    let mut situation = begin(&form, &[]).situation;
    for tick in 0..200_u32 {
        let pattern = tick.wrapping_mul(0x9E37_79B9) >> 30;
        let held = vec![pattern & 1 != 0, pattern & 2 != 0];
        let input = Input { pressed: held.clone(), held, picks: Vec::new() };
        situation = step(&form, &situation, &input).situation;
    }
});

fn interface() -> Interface {
    let poses = ["resting", "waving"].map(str::to_owned).to_vec();
    Interface {
        figures: vec![FigureName { name: "fox".into(), poses }],
        buttons: vec!["paw".into(), "west".into()],
        spots: vec![
            SpotName { name: "paw".into(), count: 1, dims: false },
            SpotName { name: "club".into(), count: 7, dims: true },
        ],
        digits: vec![DigitsName { name: "rally".into(), count: 2 }],
        sounds: vec!["splash".into()],
    }
}
