//! The rules of displays that come with the project, whole, presses free at any tick: what is said of each tick or of the time
//! after a press holds in every play. What each claim says of the rules is read off their text beside it.
#![allow(clippy::unwrap_used, reason = "a test that cannot read its own rules must stop")]

use prove::{Answer, Engine, Limits, prove_some};
use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::Text;
use std::path::PathBuf;

fn figure(name: &str, poses: &str) -> FigureName {
    FigureName { name: name.to_owned(), poses: poses.split(' ').map(str::to_owned).collect() }
}

fn spot(name: &str, count: u32) -> SpotName {
    SpotName { name: name.to_owned(), count, dims: false }
}

fn digits(name: &str) -> DigitsName {
    DigitsName { name: name.to_owned(), count: 2 }
}

fn penalty_kick() -> Interface {
    let ball = "rest left-1 left-2 left-3 middle-1 middle-2 middle-3 right-1 right-2 right-3";
    Interface {
        figures: vec![
            figure("kicker", "waiting swinging kicked glad"),
            figure("keeper", "ready lean-left lean-right dive-left dive-right"),
            figure("ball", ball),
        ],
        buttons: vec!["west".to_owned(), "east".to_owned()],
        spots: vec![spot("west", 1), spot("east", 1)],
        digits: vec![digits("west_goals"), digits("east_goals")],
        ..Interface::default()
    }
}

fn firefly_pond() -> Interface {
    Interface {
        figures: vec![figure("frog", "sitting tongue gulp asleep")],
        buttons: vec!["tongue".to_owned()],
        spots: vec![spot("reed", 7), spot("tongue", 1)],
        digits: vec![digits("caught")],
        ..Interface::default()
    }
}

/// The rules of a display, with a line of them written in another way.
#[allow(clippy::disallowed_methods, reason = "tests read the displays' rules")]
fn form(name: &str, interface: &Interface, (from, to): (&str, &str)) -> Form {
    let path = format!("../../displays/{name}/{name}.rules");
    let text = std::fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap();
    assert!(text.contains(from), "{name}: {from}");
    let (form, faults) = rules::read(&Text::new("display.rules", text.replace(from, to)), interface);
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    form
}

/// Answers by sets alone, at the limits that nobody has to ask for.
fn by_sets(form: &Form, wanted: &dyn Fn(&str) -> bool) -> Vec<Answer> {
    let limits = Limits { situations: 0, ..Limits::default() };
    prove_some(form, &limits, Engine::Sets, wanted, &mut |_| {})
}

/// Those that the rules make of themselves, and those of single ticks and presses that nobody has to make.
fn of_ticks(name: &str) -> bool {
    !name.starts_with('.') || [".in-range", ".digits", ".answered"].contains(&name)
}

#[test]
fn what_the_displays_say_of_themselves_holds() {
    for (name, interface) in [("penalty-kick", penalty_kick()), ("firefly-pond", firefly_pond())] {
        let form = form(name, &interface, ("", ""));
        let answers = by_sets(&form, &of_ticks);
        assert_eq!(answers.len(), form.claims.len() + 3);
        for answer in answers {
            assert!(answer.proved(), "{name}: {}", answer.words);
        }
    }
}

/// A mistake in a line, worked out by hand: the claim that must fail is refuted by a play.
#[test]
fn a_mistake_on_the_pond_is_found() {
    let mistakes = [
        // There is no reed 8.
        ("if at = 7    do way = -1, at = 6,", "if at = 7    do way = -1, at = 8,", ".in-range"),
        // Nobody sees that an empty tongue was out.
        ("  state missing   shows tongue ", "  state missing   shows sitting ", ".answered"),
    ];
    for (from, to, claim) in mistakes {
        let form = form("firefly-pond", &firefly_pond(), (from, to));
        let answers = by_sets(&form, &|asked| asked == claim);
        assert!(answers[0].trace().is_some(), "{to}: {}", answers[0].words);
    }
}
