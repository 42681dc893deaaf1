//! The displays' own rules, rehearsed.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

mod common;

use rehearse::rehearsal::Rehearsal;
use rehearse::{Cast, Order, Ready, Variant, rehearse};
use rules::form::Form;

fn run(form: &Form, variants: &[Variant], games: u64) -> Rehearsal {
    let casts = Cast::usual(Ready::new(form).unwrap().places());
    rehearse(&Order { form, variants, casts: &casts, games, seed: 1 }, &|_, _| ()).unwrap()
}

#[test]
fn tryout() {
    let text = common::text("club-passing");
    let form = common::club();
    let mut variants = Vec::new();
    for slider in &form.sliders {
        for part in 0..=4 {
            let value = (slider.min + (slider.max - slider.min) * part / 4) / 10 * 10;
            let written = source::Text::new("a", text.clone());
            let place = rules::constant_place(&written, &slider.name).unwrap();
            let changed = format!("{}{value} ms{}", &text[..place.start], &text[place.end..]);
            let (form, faults) = rules::read(&source::Text::new("a", changed), &common::club_interface());
            if !faults.iter().any(finding::Fault::stops) {
                variants.push(Variant { name: slider.name.clone(), value, form });
            }
        }
    }
    let begun = std::time::Instant::now();
    let done = run(&form, &variants, 200);
    println!("{:?}", begun.elapsed());
    for sentence in &done.verdict {
        println!("{} {}", if sentence.wants_change { "!" } else { " " }, sentence.words);
    }
    for c in &done.constants {
        println!("{} {}", c.name, c.value);
        for p in &c.points {
            println!(
                "   {} {}",
                p.value,
                p.parties
                    .iter()
                    .map(|t| format!(
                        "{}: score {} hit {:.2} empty {:.2} {:.0}/h first {:.1}",
                        t.key, t.score, t.hit, t.empty, t.games_an_hour, t.first_success_s
                    ))
                    .collect::<Vec<_>>()
                    .join(" | ")
            );
        }
    }
    let fox = run(&common::fox(), &[], 200);
    for sentence in &fox.verdict {
        println!("{} {}", if sentence.wants_change { "!" } else { " " }, sentence.words);
    }
}
