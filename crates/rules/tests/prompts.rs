//! Prompts as they come into the form, and the slips in them, each met where it stands.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use finding::{Fault, one_line};
use rules::form::{Form, Node};
use rules::interface::Interface;
use source::{LineColumn, Text};

/// Nothing is wrong in these; what is added begins on line 6.
const SOUND: &str =
    "sides west, east\nmachine hand per side\nstate down\nstate up\nup, down on press button go up\n";

fn read(text: &str) -> (Form, Vec<Fault>, Text) {
    let text = Text::new("a.rules", text);
    let buttons = ["west", "east", "bell"].map(Into::into).into();
    let (form, faults) = rules::read(&text, &Interface { buttons, ..Interface::default() });
    (form, faults, text)
}

#[test]
fn a_prompt_stands_in_the_form_once_for_each_side() {
    let added = "prompt raise per side press button when hand.side is down seen coming while hand.other is up\n\
                 prompt one press west when hand.east is up\n";
    let (form, faults, _) = read(&format!("{SOUND}{added}"));
    assert!(!faults.iter().any(Fault::stops), "{faults:#?}");
    let shown: Vec<_> =
        form.prompts.iter().map(|prompt| (prompt.name.as_str(), prompt.side, prompt.button)).collect();
    assert_eq!(shown, [("raise.west", Some(0), 0), ("raise.east", Some(1), 1), ("one", Some(0), 0)]);
    assert_eq!(form.prompts[1].when.node, Node::In { m: 1, s: 0 });
    assert_eq!(form.prompts[1].coming.as_ref().unwrap().node, Node::In { m: 0, s: 1 });
    assert_eq!(form.prompts[2].coming, None);
    assert_eq!(form.bout, None);
}

#[test]
fn a_form_without_prompts_says_nothing_of_them_and_an_old_one_is_still_read() {
    let (form, _, _) = read(SOUND);
    let json = serde_json::to_string(&form).unwrap();
    assert!(!json.contains("prompt") && !json.contains("bout"), "{json}");
    assert_eq!(serde_json::from_str::<Form>(&json).unwrap(), form);
    let (form, _, _) =
        read(&format!("{SOUND}prompt p press bell when hand.west is up\nbout while hand.west is up\n"));
    let json = serde_json::to_string(&form).unwrap();
    assert!(json.contains("prompts") && json.contains("bout"), "{json}");
    assert_eq!(serde_json::from_str::<Form>(&json).unwrap(), form);
}

/// Code, what is written from line 6 on, line, column, and the words underlined.
const SLIPS: [(&str, &str, usize, usize, &str); 17] = [
    ("rules/syntax", "prompt p", 6, 9, ""),
    ("rules/syntax", "prompt p per hand press west when hand.west is up", 6, 14, "hand"),
    ("rules/syntax", "prompt p per side when hand.west is up", 6, 19, "when"),
    ("rules/syntax", "prompt p press west if hand.west is up", 6, 21, "if"),
    ("rules/syntax", "prompt p press west when hand.west is up soon", 6, 42, "soon"),
    ("rules/syntax", "prompt p press west when hand.west is up seen while hand.east is up", 6, 47, "while"),
    ("rules/syntax", "bout when hand.west is up", 6, 6, "when"),
    ("rules/reserved", "prompt is press west when hand.west is up", 6, 8, "is"),
    ("rules/kind", "prompt p press west when 1 + 2", 6, 26, "1 + 2"),
    ("rules/kind", "bout while 3", 6, 12, "3"),
    ("rules/unknown-button", "prompt p press wst when hand.west is up", 6, 16, "wst"),
    ("rules/which-button", "prompt p press button when hand.west is up", 6, 16, "button"),
    ("rules/side-outside", "prompt p press west when hand.side is up", 6, 31, "side"),
    ("rules/unknown-state", "prompt p per side press button when hand.side is upp", 6, 50, "upp"),
    ("rules/button-in-prompt", "prompt p press west when held west", 6, 26, "held west"),
    ("rules/button-in-prompt", "bout while pressed west", 6, 12, "pressed west"),
    (
        "rules/duplicate",
        "prompt p press west when hand.west is up\nprompt p press east when hand.east is up",
        7,
        8,
        "p",
    ),
];

#[test]
fn every_slip_is_met_where_it_stands() {
    let twice = ("rules/duplicate", "bout while hand.west is up\nbout while hand.east is up", 7, 1, "bout");
    for (code, slip, line, column, underlined) in SLIPS.into_iter().chain([twice]) {
        let (_, faults, text) = read(&format!("{SOUND}{slip}\n"));
        let told: Vec<String> =
            faults.iter().map(|fault| one_line(fault, std::slice::from_ref(&text))).collect();
        let stops: Vec<&Fault> = faults.iter().filter(|fault| fault.stops()).collect();
        assert_eq!(stops.iter().map(|fault| fault.code).collect::<Vec<_>>(), [code], "{slip}: {told:#?}");
        let place = stops[0].place.as_ref().unwrap();
        assert_eq!(text.line_column(place.start), LineColumn { line, column }, "{told:#?}");
        assert_eq!(text.at(place), underlined, "{told:#?}");
        assert!(stops[0].expected.is_some(), "{told:#?}");
    }
}

#[test]
fn sides_must_be_named_before_a_prompt_can_have_them() {
    let (form, faults, text) =
        read("machine m\nstate s\ns on press bell stay\nprompt p per side press bell when m is s\n");
    let stops: Vec<&Fault> = faults.iter().filter(|fault| fault.stops()).collect();
    assert_eq!(stops.iter().map(|fault| fault.code).collect::<Vec<_>>(), ["rules/no-sides"]);
    assert_eq!(text.at(stops[0].place.as_ref().unwrap()), "per side");
    assert_eq!(form.prompts, []);
}

#[test]
fn a_prompt_for_a_button_that_nobody_hears_is_a_caution() {
    let heard = |more: &str| {
        let (_, faults, text) = read(&format!("{SOUND}prompt ring press bell when hand.west is up\n{more}"));
        let mut cautions = faults.iter().filter(|fault| fault.code == "rules/prompt-unheard");
        cautions.next().map(|fault| {
            assert!(!fault.stops());
            text.at(fault.place.as_ref().unwrap()).to_owned()
        })
    };
    assert_eq!(heard("").as_deref(), Some("bell"));
    assert_eq!(heard("machine m\nstate s\ns on press bell stay\n"), None);
    assert_eq!(heard("machine m\nstate s\ns when not (1 = 1 and held bell) stay\n"), None);
    assert_eq!(heard("machine m\nstate s\ns when pressed bell stay\n"), None);
}
