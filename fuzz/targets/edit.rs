//! Any change to any text: refused, or exactly the bytes at the place change and the way back gives the text again.
//! The input is three lines (path, expected, new) and then the text.
#![no_main]

use display::{Edit, apply, place_of};
use libfuzzer_sys::fuzz_target;
use source::{KeyPath, Text};

fuzz_target!(|input: &str| {
    let mut parts = input.splitn(4, '\n');
    let (Some(path), Some(expected), Some(new), Some(content)) =
        (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return;
    };
    let text = Text::new("display.toml", content);
    let path = KeyPath::dotted(path);
    // What stands there already makes most changes acceptable; now and then the input's own word is tried.
    let standing = place_of(&text, &path).map(|place| text.at(&place).to_owned());
    let expected = if expected.is_empty() { standing.unwrap_or_default() } else { expected.to_owned() };
    let edit = Edit { path: path.clone(), expected: expected.clone(), new: new.to_owned() };
    let Ok(changed) = apply(&text, &edit) else { return };
    let place = place_of(&text, &path).expect("an accepted change has a place");
    assert!(changed.starts_with(&content[..place.start]) && changed.ends_with(&content[place.end..]));
    let back = Edit { path, expected: new.to_owned(), new: expected };
    assert_eq!(apply(&Text::new("display.toml", changed), &back).as_deref(), Ok(content));
});
