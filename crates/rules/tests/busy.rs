//! Presses that are lost while a machine is busy: said where the display invites them, and nowhere else.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use rules::interface::{FigureName, Interface, SpotName};
use source::Text;

/// A fox with two poses and the button `wave`, which has a lamp or none; `bell` is another button.
fn display(lamp: bool) -> Interface {
    let spot = |name: &str| SpotName { name: name.into(), count: 1, dims: true };
    let spots = if lamp { vec![spot("wave"), spot("tree")] } else { vec![spot("tree")] };
    Interface {
        figures: vec![FigureName { name: "fox".into(), poses: vec!["up".into(), "down".into()] }],
        buttons: vec!["wave".into(), "bell".into()],
        spots,
        ..Interface::default()
    }
}

/// The states that a caution names, in the words of its message; none where there is no caution.
fn lost(rules: &str, lamp: bool) -> Vec<String> {
    let (_, faults) = rules::read(&Text::new("a.rules", rules), &display(lamp));
    assert!(!faults.iter().any(finding::Fault::stops), "{rules}: {faults:#?}");
    let cautions = faults.into_iter().filter(|fault| fault.code == "rules/press-lost");
    cautions.map(|fault| fault.message).collect()
}

fn silent(rules: &str) {
    assert_eq!(lost(rules, true), Vec::<String>::new(), "{rules}");
}

fn said(rules: &str, states: &str) {
    let lost = lost(rules, true);
    assert_eq!(lost.len(), 1, "{rules}: {lost:#?}");
    assert!(lost[0].contains(&format!("is {states}, where the button is lit")), "{}", lost[0]);
}

/// A fox that answers while it sits, and then waves; the clauses of the two states are filled in.
fn fox(sitting: &str, waving: &str) -> String {
    format!(
        "machine fox\nstate sitting {sitting}\nstate waving {waving}\n\
         sitting on press wave go waving\nwaving after 500 ms go sitting\n"
    )
}

#[test]
fn a_lit_lamp_invites_a_press_that_nothing_answers() {
    said(&fox("lights wave", "lights wave"), "`waving`");
    said(&fox("", "lights wave at 100"), "`waving`");
    said(&fox("", "lights wave when fox is waving"), "`waving`");
    silent(&fox("lights wave", ""));
    silent(&fox("lights wave", "lights wave at 0"));
    silent(&fox("lights wave", "lights wave when fox is sitting"));
    silent(&fox("lights wave", "lights tree"));
}

#[test]
fn a_press_that_is_answered_or_remembered_is_not_lost() {
    let lit = fox("lights wave", "lights wave");
    silent(&format!("{lit}waving on press wave stay\n"));
    silent(&format!("{lit}any on press wave stay\n"));
    silent(&format!("{lit}remember wave for 500 ms\n"));
    said(&format!("{lit}remember bell for 500 ms\nsitting on press bell stay\n"), "`waving`");
    // What asks for the button at the end of a state has heard it, in its way.
    silent(&lit.replace("waving after 500 ms go", "waving after 500 ms if not held wave go"));
    said(&lit.replace("waving after 500 ms go", "waving after 500 ms if not held bell go"), "`waving`");
}

#[test]
fn a_state_that_is_over_before_a_contact_is_heard_again_loses_nothing() {
    let lit = fox("lights wave", "lights wave");
    silent(&lit.replace("500 ms", "30 ms"));
    said(&lit.replace("500 ms", "40 ms"), "`waving`");
}

#[test]
fn only_what_comes_back_by_itself_is_busy() {
    let end =
        "machine fox\nstate sitting lights wave\nstate done lights wave\nsitting on press wave go done\n";
    silent(&format!("{end}done on press bell go sitting\n"));
    said(&format!("{end}done when bell-rings go sitting\ncondition bell-rings = held bell\n"), "`done`");
}

#[test]
fn a_lamp_that_another_machine_lights_counts_while_nothing_keeps_it_dark() {
    let with = |lamp: &str| format!("{}machine lamp\n{lamp}", fox("shows up", "shows down"));
    said(&with("state lit lights wave\n"), "`waving`");
    said(
        &with("state lit lights wave\nstate dark\nlit after 1 s go dark\ndark after 1 s go lit\n"),
        "`waving`",
    );
    silent(&with("state lit lights wave when fox is sitting\n"));
    silent(&with(
        "state lit lights wave\nstate dark\nlit when fox is waving go dark\ndark when fox is sitting go lit\n",
    ));
    silent(&with("state lit lights wave\nstate dark\nlit on press wave go dark\ndark after 1 s go lit\n"));
}

#[test]
fn what_another_visible_machine_answers_is_not_lost() {
    let with = |other: &str| format!("{}machine neighbour\n{other}", fox("lights wave", "lights wave"));
    silent(&with("state a lights tree\na on press wave stay\n"));
    said(&with("state a\na on press wave stay\n"), "`waving`");
    said(&with("state a lights tree\na on press wave if fox is sitting stay\n"), "`waving`");
    silent(&with(
        "number n 0..9\nstate a\na on press wave do n = pick 0..9 stay\nmachine shown\nstate b lights tree when neighbour.n > 3\n",
    ));
}

#[test]
fn without_a_lamp_the_picture_invites() {
    let after = |pose: &str| {
        format!(
            "machine fox\nstate sitting shows up\nstate waving shows down\nstate resting shows {pose}\n\
             sitting on press wave go waving\nwaving after 500 ms go resting\nresting after 2 s go sitting\n"
        )
    };
    let found = lost(&after("up"), false);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].contains("is `resting`, which looks like `sitting`, where it counts"), "{}", found[0]);
    assert_eq!(lost(&after("down"), false), Vec::<String>::new());
    // Where it counts only under a condition, the builder has thought of it.
    let sometimes = after("up").replace("on press wave go", "on press wave if held bell go");
    assert_eq!(lost(&sometimes, false), Vec::<String>::new());
    // A lamp that is dark there says enough; one that the rules never light says nothing.
    assert_eq!(
        lost(&after("up").replace("sitting shows up", "sitting shows up lights wave"), true),
        Vec::<String>::new()
    );
    assert_eq!(lost(&after("up"), true).len(), 1);
}

#[test]
fn the_cure_that_is_offered_cures() {
    let rules = fox("lights wave", "lights wave");
    let (_, faults) = rules::read(&Text::new("a.rules", rules.clone()), &display(true));
    let caution = faults.iter().find(|fault| fault.code == "rules/press-lost").unwrap();
    // The dark lamp comes first: it harms no game.
    assert!(caution.hints[0].contains("the lamp of `wave` is dark"), "{:?}", caution.hints);
    silent(&rules.replace("waving lights wave", "waving"));
    let line = caution.hints[1].split('`').nth(1).unwrap();
    assert_eq!(line, "remember wave for 300 ms");
    silent(&format!("{rules}{line}\n"));
}

#[test]
fn what_is_offered_is_whole_ticks_and_never_long() {
    let offered = |tick: &str, wait: &str| {
        let rules = format!("tick {tick}\n{}", fox("lights wave", "lights wave").replace("500 ms", wait));
        let (_, faults) = rules::read(&Text::new("a.rules", rules), &display(true));
        let caution = faults.iter().find(|fault| fault.code == "rules/press-lost").unwrap();
        caution.hints[1].split('`').nth(1).unwrap().to_owned()
    };
    assert_eq!(offered("70 ms", "7 s"), "remember wave for 280 ms");
    assert_eq!(offered("100 ms", "100 ms"), "remember wave for 100 ms");
    assert_eq!(offered("1 ms", "1 min"), "remember wave for 300 ms");
}

/// On a side, the button is called as the machine itself would call it.
#[test]
fn a_machine_of_each_side_is_told_of_once_and_in_its_own_words() {
    let rules = "sides west, east\nmachine paw per side\nstate down lights button\nstate up lights button\n\
                 down on press button go up\nup after 200 ms go down\n";
    let names = ["west", "east"].map(str::to_owned).to_vec();
    let spots = ["west", "east"].map(|name| SpotName { name: name.into(), count: 1, dims: false }).to_vec();
    let display = Interface { buttons: names, spots, ..Interface::default() };
    let (_, faults) = rules::read(&Text::new("a.rules", rules), &display);
    let cautions: Vec<_> = faults.iter().filter(|fault| fault.code == "rules/press-lost").collect();
    assert_eq!(cautions.len(), 1, "{faults:#?}");
    assert!(cautions[0].hints[1].contains("`remember button for 200 ms`"), "{:?}", cautions[0].hints);
    let cured = format!("{rules}remember button for 200 ms\n");
    let (_, faults) = rules::read(&Text::new("a.rules", cured), &display);
    assert!(faults.is_empty(), "{faults:#?}");
}
