//! A form written by hand, at edges that ordinary rules seldom reach, through all four players.

use players::recording::first_difference;
use players::{chip, host, page};
use rules::form::Form;
use rules::step::Start;
use rules::vectors::{TickIn, record};

const FORM: &str = include_str!("written/edges.json");

#[test]
fn a_form_at_its_edges_is_the_same_for_all_players() {
    let form: Form = serde_json::from_str(FORM).unwrap();
    let tick = |n: usize| TickIn {
        pressed: if n % 17 == 5 { vec![0] } else { vec![] },
        held: if n % 23 > 15 { vec![0, 1] } else { vec![] },
        picks: if n.is_multiple_of(3) {
            vec![(0, 9 - i32::try_from(n).unwrap()), (1, 60_000)]
        } else {
            vec![]
        },
    };
    let recording = record("written", &form, &Start::default(), &(0..400).map(tick).collect::<Vec<_>>());
    let picked = recording.expect.iter().filter(|out| !out.picked.is_empty()).count();
    assert!(picked > 10, "only {picked} ticks picked anything");
    let (header, source) = firmware::rules_c(&form).unwrap();
    assert_eq!(
        first_difference(
            &recording,
            &host::play(&header, &source, &recording, host::Watch::Everything).unwrap()
        ),
        None
    );
    assert_eq!(
        first_difference(
            &recording,
            &chip::play(&header, &source, &recording, host::Watch::Everything).unwrap()
        ),
        None
    );
    assert_eq!(page::differences(&[recording]), Vec::<String>::new());
}
