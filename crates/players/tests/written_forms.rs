//! A form written by hand, at edges that ordinary rules seldom reach, through all four players.

use players::recording::first_difference;
use players::{chip, host, page};
use rules::form::Form;
use rules::vectors::{TickIn, record};

const FORM: &str = r#"{
 "format":"lampwright-form","version":1,"tick_ms":10,"seed":7,
 "buttons":["west","east"],
 "figures":[{"name":"fox","poses":["low","high"]}],
 "spots":["club.1","club.2","club.3","lamp"],
 "digits":[{"name":"rally","count":2}],
 "messages":[{"name":"hello","sender":0},{"name":"hello","sender":1}],
 "pick_sites":2,
 "machines":[
  {"name":"fox","numbers":[{"name":"far","min":-200000,"max":200000,"start":-5,"shown_on":0},{"name":"near","min":0,"max":200,"start":3,"shown_on":null},{"name":"half","min":0,"max":60000,"start":50000,"shown_on":null}],
   "timers":[{"name":"nap","dwell":false,"max":300},{"name":"low+3","dwell":true,"max":3}],
   "states":[
    {"name":"low","dwells":[{"timer":1,"ticks":3}],"entry":[{"do":"send","message":0}],"exit":[{"do":"set","number":1,"to":{"w":16,"op":"two","f":"add","a":{"w":16,"op":"number","m":0,"i":1},"b":{"w":8,"op":"const","v":100}}}],
     "pose":{"figure":0,"pose":0},
     "lights":[{"first":0,"count":3,"index":{"w":16,"op":"number","m":0,"i":1},"level":{"w":16,"op":"const","v":300},"when":null},
               {"first":0,"count":3,"index":{"w":8,"op":"const","v":9},"level":{"w":8,"op":"const","v":7},"when":{"w":8,"op":"running","m":0,"i":0}}],
     "transitions":[
      {"priority":0,"trigger":{"on":"timer","timer":1},"condition":null,"actions":[{"do":"start","timer":0,"ticks":{"w":16,"op":"pick","site":0,"lo":-5,"hi":400}}],"go":1},
      {"priority":1,"trigger":{"on":"message","any":[0,1]},"condition":{"w":8,"op":"not","a":{"w":8,"op":"held","b":0}},"actions":[{"do":"set","number":0,"to":{"w":32,"op":"two","f":"mul","a":{"w":32,"op":"number","m":0,"i":2},"b":{"w":8,"op":"const","v":-3}}}],"go":null}]},
    {"name":"high","dwells":[],"entry":[],"exit":[],"pose":{"figure":0,"pose":1},"lights":[],
     "transitions":[
      {"priority":0,"trigger":{"on":"press","button":0},"condition":{"w":8,"op":"two","f":"lt","a":{"w":8,"op":"neg","a":{"w":16,"op":"number","m":0,"i":1}},"b":{"w":32,"op":"number","m":0,"i":2}},"actions":[{"do":"set","number":1,"to":{"w":16,"op":"two","f":"rem","a":{"w":32,"op":"number","m":0,"i":2},"b":{"w":8,"op":"const","v":7}}}],"go":0},
      {"priority":1,"trigger":{"on":"timer","timer":0},"condition":null,"actions":[{"do":"press","button":0},{"do":"set","number":2,"to":{"w":32,"op":"pick","site":1,"lo":-10,"hi":65500}}],"go":null}]}]},
  {"name":"bird.west","numbers":[{"name":"seen","min":-128,"max":127,"start":0,"shown_on":null}],"timers":[],
   "states":[{"name":"sits","dwells":[],"entry":[{"do":"send","message":1}],"exit":[],"pose":null,"lights":[{"first":3,"count":1,"index":null,"level":{"w":16,"op":"two","f":"mul","a":{"w":8,"op":"number","m":1,"i":0},"b":{"w":8,"op":"const","v":30}},"when":null}],
    "transitions":[{"priority":0,"trigger":{"on":"always"},"condition":{"w":8,"op":"two","f":"and","a":{"w":8,"op":"in","m":0,"s":1},"b":{"w":8,"op":"pressed","b":0}},"actions":[{"do":"set","number":0,"to":{"w":32,"op":"two","f":"div","a":{"w":32,"op":"number","m":0,"i":0},"b":{"w":16,"op":"const","v":-999}}}],"go":0}]}]}]}"#;

#[test]
fn a_form_at_its_edges_is_the_same_for_all_players() {
    let form: Form = serde_json::from_str(FORM).unwrap();
    let tick = |n: usize| TickIn {
        pressed: if n % 17 == 5 { vec![0] } else { vec![] },
        held: if n % 23 > 15 { vec![0, 1] } else { vec![] },
        picks: if n % 3 == 0 { vec![(0, 9 - i32::try_from(n).unwrap()), (1, 60_000)] } else { vec![] },
    };
    let recording = record("written", &form, &(0..400).map(tick).collect::<Vec<_>>());
    let picked = recording.expect.iter().filter(|out| !out.picked.is_empty()).count();
    assert!(picked > 10, "only {picked} ticks picked anything");
    let (header, source) = firmware::rules_c(&form).unwrap();
    assert_eq!(first_difference(&recording, &host::play(&header, &source, &recording, host::Watch::Everything).unwrap()), None);
    assert_eq!(first_difference(&recording, &chip::play(&header, &source, &recording, host::Watch::Everything).unwrap()), None);
    assert_eq!(page::differences(&[recording]), Vec::<String>::new());
}
