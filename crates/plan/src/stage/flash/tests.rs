//! Counts and fields of view against what can be said by hand.

use super::changes_in_a_second;
use super::counts::Counter;
use super::field::{Field, Lamps, Light, changes_together, fields};
use super::together::{self, Lit, Sight, Together};
use crate::Flashes;
use finding::{Finding, Severity};
use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};

fn form(rules: &str) -> Form {
    let poses = vec!["up".to_owned(), "down".to_owned()];
    let names = Interface {
        figures: ["a", "b"].map(|name| FigureName { name: name.into(), poses: poses.clone() }).into(),
        buttons: vec!["button".into(), "second".into()],
        spots: vec![SpotName { name: "glow".into(), count: 1, dims: true }],
        digits: vec![DigitsName { name: "rally".into(), count: 2 }],
        ..Interface::default()
    };
    let (form, faults) = rules::read(&source::Text::new("a.rules", rules), &names);
    assert_eq!(faults.iter().filter(|fault| fault.stops()).count(), 0, "{faults:?}");
    form
}

fn blinks(figure: &str, ms: u32) -> String {
    format!(
        "machine {figure}\n  state up shows {figure} up\n  state down shows {figure} down\n  up after {ms} ms go down\n  down after {ms} ms go up\n\n"
    )
}

/// One lamp of so much light at a place.
fn light(at_mm: f64, mm2: f64) -> Light {
    Light {
        lamps: vec![Lamps { at_mm: vec![[at_mm, 0.0]], each_mm2: mm2 }],
        changes: vec![[vec![0], Vec::new()]],
        nearer_mm: 0.0,
        least_mm: 0.0,
    }
}

fn figure(name: &str, figure: usize, at_mm: f64) -> Lit {
    Lit { name: name.into(), of: Flashes::Figure { figure }, light: light(at_mm, 1e6) }
}

fn seen(form: &Form, lit: Vec<Lit>) -> Together {
    let sight = Sight { lit, nearest_mm: 3000.0, farthest_mm: 10_000.0 };
    let mut counter = Counter::new(form);
    together::together(&sight.lit, &together::fields(&sight), form.tick_ms, &mut |lit, effort| {
        counter.most(lit.of.into(), effort)
    })
}

#[track_caller]
fn found(rules: &str, apart_mm: f64) -> Finding {
    let form = form(rules);
    seen(&form, vec![figure("a", 0, 0.0), figure("b", 1, apart_mm)]).finding.unwrap()
}

#[track_caller]
fn changes(rules: &str, of: Flashes) -> Option<u32> {
    changes_in_a_second(&form(rules), &[of])[0]
}

const A: Flashes = Flashes::Figure { figure: 0 };

/// A change every 250 ms is a 2 Hz square wave: two flashes in any second. Two such figures beside each other make four,
/// more than the three of WCAG 2.3.1.
#[test]
fn two_slow_figures_in_one_field_are_counted_together_and_far_apart_alone() {
    let rules = format!("{}{}", blinks("a", 250), blinks("b", 250));
    let beside = found(&rules, 100.0);
    assert_eq!(beside.severity, Severity::Caution);
    assert!(beside.verdict.contains("up to 4 were"), "{}", beside.verdict);
    assert_eq!(beside.concerns, ["a", "b"]);
    // Ten degrees at 10 m are 1.75 m: 20 m apart nobody has both in one field.
    let apart = found(&rules, 20_000.0);
    assert_eq!(apart.severity, Severity::Note);
    assert!(apart.verdict.contains("at most 2 flashes"), "{}", apart.verdict);
}

#[test]
fn presses_count_as_if_they_came_at_once_and_a_pause_cures() {
    let free = "machine a\n  state up shows a up\n  state down shows a down\n  up on press button go down\n  down on press button go up\n";
    assert_eq!(found(free, 20_000.0).severity, Severity::Caution);
    let paused = "machine a\n  state up shows a up\n  state down shows a down\n  up on press button go down\n  down after 400 ms go up\n";
    assert_eq!(found(paused, 20_000.0).severity, Severity::Note);
    // Up at 0, down at 10, up at 410, down at 420, up at 820, down at 830 ms.
    assert_eq!(changes(paused, A), Some(6));
}

/// What is said of steps that are too fast in these rules.
fn steps(rules: &str) -> Vec<String> {
    super::work(&form(rules)).into_iter().map(|finding| finding.verdict).collect()
}

#[test]
fn a_timer_is_as_long_as_the_shortest_start_that_it_can_be_due_from() {
    let timed = |start: &str, more: &str| {
        format!(
            "setting speed 1..3 = 1\n\nmachine a\n  number late 1..4 = 1\n  timer nap\n  state up shows a up\n  state down shows a down\n  up on press button do start nap for {start} go down\n  down on timer nap go up\n{more}"
        )
    };
    assert!(steps(&timed("1500 ms", "")).is_empty());
    // Settings and numbers may be anywhere in their ranges.
    assert!(steps(&timed("200 ms * speed", "")).is_empty());
    assert!(steps(&timed("100 ms * (late + 1)", "")).is_empty());
    assert_eq!(steps(&timed("100 ms * speed", "")).len(), 1);
    assert!(steps(&timed("190 ms", ""))[0].contains("after 190 ms"));
    // Entered another way without a start, or started anew for less.
    assert_eq!(steps(&timed("1500 ms", "  up on press second go down\n")).len(), 1);
    let anew = "  down on press second do start nap for 50 ms stay\n";
    assert!(steps(&timed("1500 ms", anew))[0].contains("after 50 ms"));
    // What entering starts comes after what the way does.
    let entering = "  enter down do start nap for 300 ms\n";
    assert!(steps(&timed("20 ms", entering)).is_empty());
}

/// A press that counts only while a gate is open, which it is for two seconds in four: down once, and up when it shuts.
#[test]
fn what_can_never_be_together_is_not_counted_together() {
    let gate =
        "machine gate\n  state open\n  state shut\n  open after 2 s go shut\n  shut after 2 s go open\n\n";
    let guarded = "machine a\n  state up shows a up\n  state down shows a down\n  up on press button if gate is open go down\n  down when gate is shut go up\n";
    assert_eq!(changes(&format!("{gate}{guarded}"), A), Some(2));
    let unguarded = guarded.replace(" if gate is open", "").replace("when gate is shut", "on press second");
    assert_eq!(changes(&format!("{gate}{unguarded}"), A), None);
}

/// A number steps at every tick of its timer; the way on stands for the last step alone, so that six steps of 200 ms lie
/// between two pictures: at most one picture ends and one begins in a second.
#[test]
fn steps_are_counted_where_a_number_counts_them() {
    let rules = "machine a\n  number at 1..6 = 1\n  timer step\n  state up shows a up\n  state down shows a down\n  enter up do at = 1, start step for 200 ms\n  enter down do at = 1, start step for 200 ms\n  up on timer step if at < 6 do at = at + 1, start step for 200 ms stay\n  up on timer step go down\n  down on timer step if at < 6 do at = at + 1, start step for 200 ms stay\n  down on timer step go up\n";
    assert_eq!(changes(rules, A), Some(1));
}

/// Shown for half a second and dark for half a second: a pair of changes in any second, one flash.
#[test]
fn flashing_digits_flash_once_a_second() {
    let rules = "machine score\n  state over writes 5 on rally flashing\n";
    assert_eq!(changes(rules, Flashes::Digits { digits: 0 }), Some(2));
    // A number that a message changes cannot change oftener than the message comes.
    let told = "machine teller\n  state quiet\n  state said\n  quiet on press button do send more go said\n  said after 400 ms go quiet\n\nmachine score\n  number n 0..99 = 0 shown on rally\n  state on\n  on on message more do n = n + 1 stay\n";
    assert_eq!(changes(told, Flashes::Digits { digits: 0 }), Some(3));
}

/// A fade passes the middle once; beginning anew it may jump back.
#[test]
fn a_fade_goes_on_once() {
    let rules = "machine a\n  state dark\n  state bright lights glow fading 0 to 255 over 300 ms\n  dark after 500 ms go bright\n  bright after 500 ms go dark\n";
    let most = changes(rules, Flashes::Spot { spot: 0 }).unwrap();
    assert!((2..=4).contains(&most), "{most}");
}

/// WCAG 2.x: under 0.006 sr it does not count, however fast; 0.006 sr at 3 m is 0.054 m2.
#[test]
fn what_is_small_does_not_count() {
    let form = form(&blinks("a", 20));
    let lit = |mm2: f64| vec![Lit { name: "a".into(), of: A, light: light(0.0, mm2) }];
    assert!(seen(&form, lit(0.053e6)).finding.is_none());
    assert!(seen(&form, lit(0.055e6)).finding.is_some_and(|found| found.severity == Severity::Caution));
}

/// Seven changes that fill the field by themselves stay seven beside a little lamp; two halves that change eight times fill
/// it eight times; what never fills it never counts.
#[test]
fn changes_add_up_by_the_light_they_carry() {
    assert_eq!(changes_together(&[7, 8], &[1.0, 0.05]), 7);
    assert_eq!(changes_together(&[8, 8], &[0.5, 0.5]), 8);
    assert_eq!(changes_together(&[50], &[0.83]), 0);
    assert_eq!(changes_together(&[6, 6], &[1.0, 1.0]), 12);
    assert_eq!(changes_together(&[], &[]), 0);
}

#[test]
fn a_field_holds_what_is_within_ten_degrees() {
    // 400 mm apart: in one field from 3 m (524 mm wide), as from everywhere beyond.
    let both = |field: &Field| field.shares.iter().all(|share| *share > 0.0);
    assert!(fields(&[light(0.0, 1e4), light(400.0, 1e4)], 3000.0, 6000.0).iter().any(both));
    // 2 m apart: 10 degrees are 2 m from 11.4 m on.
    let far = |most: f64| fields(&[light(0.0, 1e4), light(2000.0, 1e4)], 3000.0, most);
    assert!(!far(6000.0).iter().any(both) && far(14_000.0).iter().any(both));
}

/// Two whole figures in one field could make twelve changes though each keeps to six: the program has to watch them.
#[test]
fn the_program_watches_what_could_be_too_much_together() {
    let form = form(&format!("{}{}", blinks("a", 250), blinks("b", 250)));
    let beside = seen(&form, vec![figure("a", 0, 0.0), figure("b", 1, 100.0)]);
    assert_eq!(beside.fields.len(), 1);
    let shares: Vec<f64> = beside.fields[0].shares.iter().map(|share| share.share).collect();
    assert_eq!(shares, [1.0, 1.0]);
    assert!(seen(&form, vec![figure("a", 0, 0.0), figure("b", 1, 20_000.0)]).fields.is_empty());
}
