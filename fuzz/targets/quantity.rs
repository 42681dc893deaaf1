//! Any text as every kind of quantity: a value or a fault, and what is printed is read back.
#![no_main]

use libfuzzer_sys::fuzz_target;
use quantity::{Show, Units};

fuzz_target!(|text: &str| {
    let _ = quantity::current(text);
    let _ = quantity::potential(text);
    let _ = quantity::mass(text);
    let _ = quantity::power(text);
    let _ = quantity::ratio(text);
    let _ = quantity::resistance(text);
    let _ = quantity::time(text);
    let _ = quantity::velocity(text);
    if let Ok(length) = quantity::length(text) {
        for units in [Units::Inches, Units::Millimetres] {
            let shown = length.show(units);
            assert!(quantity::length(&shown).is_ok(), "{text:?} is shown as {shown:?}, which cannot be read");
        }
    }
});
