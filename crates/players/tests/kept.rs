//! What the generated C gives out to be stored, against the referee: kept values after some ticks, and tick 0 from them again.

use players::host::folder;
use players::tools::{command, run, write};
use rules::interface::Interface;
use rules::step::{Input, Start, begin_from, kept, step};
use source::Text;

const RULES: &str = "machine one\n  number best 0..300 = 7 kept\n  number low -9..9 kept\n  number loose 0..9\n  \
                     state only\n  only on press wave do best = best + 5, low = low - 2, loose = 3 stay\n";

/// Plays three ticks with one press, prints what is kept, and does it all again from that.
const MAIN: &str = r#"
#include "rules.h"
#include <stdio.h>
int main(void)
{
    struct rules_start start;
    rules_usual(&start);
    start.kept[KEPT_ONE_BEST] = 290;
    for (int round = 0; round < 3; round++) {
        rules_begin_from(&start);
        rules_step(0, 0);
        rules_step(BUTTON_WAVE, 0);
        rules_step(0, 0);
        rules_kept(start.kept);
        printf("%ld %ld\n", (long)start.kept[KEPT_ONE_BEST], (long)start.kept[KEPT_ONE_LOW]);
    }
    return 0;
}
"#;

#[test]
fn what_the_controller_keeps_is_what_the_referee_keeps() {
    let text = Text::new("kept.rules", RULES);
    let interface = Interface { buttons: vec!["wave".into()], ..Interface::default() };
    let (form, faults) = rules::read(&text, &interface);
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    let mut wanted = String::new();
    let mut start = Start { kept: vec![Some(290)], ..Start::default() };
    for _ in 0..3 {
        let mut now = begin_from(&form, &start, &[]).situation;
        for pressed in [false, true, false] {
            now = step(&form, &now, &Input { pressed: vec![pressed], ..Input::default() }).situation;
        }
        let values = kept(&form, &now);
        wanted.push_str(&format!("{} {}\n", values[0], values[1]));
        start.kept = values.into_iter().map(Some).collect();
    }
    assert_eq!(
        wanted, "295 -9\n300 -9\n300 -9\n",
        "290 and 5 each time, to 300; -9 from the start and held there"
    );
    let folder = folder();
    let (header, source) = firmware::rules_c(&form).unwrap();
    for (name, text) in [("rules.h", header.as_str()), ("rules.c", &source), ("main.c", MAIN)] {
        write(&folder.path().join(name), text);
    }
    run(command("gcc")
        .current_dir(folder.path())
        .args(players::host::STRICT)
        .args(["-o", "keep", "rules.c", "main.c"]));
    let program = folder.path().join("keep");
    assert_eq!(run(&mut command(&program.to_string_lossy())), wanted);
}
