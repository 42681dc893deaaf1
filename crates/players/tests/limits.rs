//! The limits beneath the rules: the generated C against a slow one that keeps the whole past, and against what the limits
//! say in words, over random pictures.

#![allow(clippy::print_stdout, reason = "the table of mistakes is read when one of them is not found")]
#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use plan::{FieldShare, FlashField, Flashes, Plan};
use players::limits::{MOST_CHANGES, Reference, TOGETHER};
use players::script::{Chance, bytes, club};
use players::{in_two, parts};
use rules::form::Form;
use std::collections::BTreeMap;

const TICKS: usize = 6000;
/// Eight seconds instead of a night, as ticks.
const LONGEST: usize = 800;

/// The flagship's plan; with less from the supply and the circuit than all its lights would take.
fn short_of_current() -> (Plan, Form) {
    let (mut plan, form) = club();
    let all: f64 = plan.channels.iter().filter(|channel| channel.outlet.is_none()).map(|c| c.current_a).sum();
    plan.supply.rated_a -= plan.supply.rated_a - plan.supply.needed_a + all * 0.45;
    let mains: f64 =
        plan.channels.iter().filter(|channel| channel.outlet.is_some()).map(|c| c.current_a).sum();
    plan.circuits[0].allowed_a = mains * 0.5;
    (plan, form)
}

/// The flagship's plan as if its lights were seen close together: everything in one field of view, the figures large; and in
/// another one the east alone, with half of what counts.
fn close_together() -> (Plan, Form) {
    let (mut plan, form) = short_of_current();
    let figure = |figure, share| FieldShare { of: Flashes::Figure { figure }, share };
    let spot = |spot, share| FieldShare { of: Flashes::Spot { spot }, share };
    let spots = |share| (0..form.spots.len()).map(move |k| spot(k, share));
    let digits = FieldShare { of: Flashes::Digits { digits: 0 }, share: 20.0 / 64.0 };
    let all = [figure(0, 1.0), figure(1, 45.0 / 64.0), digits].into_iter().chain(spots(9.0 / 64.0));
    let east = [figure(1, 0.5)].into_iter().chain(spots(0.5));
    for shares in [all.collect(), east.collect()] {
        plan.flashing.push(FlashField { distance_mm: 3000.0, shares });
    }
    (plan, form)
}

/// The project with a night short enough to end within the trial.
fn project(plan: &Plan, form: &Form) -> BTreeMap<String, String> {
    let mut project = firmware::project(plan, form).unwrap();
    let text = project.get_mut("limits.c").unwrap();
    let line = text.lines().find(|line| line.starts_with("#define LONGEST")).unwrap().to_owned();
    *text = text.replace(&line, &format!("#define LONGEST {LONGEST}UL"));
    project
}

/// Pictures that change fast, slowly, and not at all, by turns.
fn pictures(limits: &Reference, channels: usize, seed: u32) -> Vec<Vec<bool>> {
    let mut chance = Chance::new(seed);
    let mut now = vec![false; channels];
    (0..TICKS)
        .map(|n| {
            let pace = [4, 15, 40, 400, 2000][n / 300 % 5];
            for group in &limits.groups {
                if chance.below(pace) == 0 {
                    let share = [0, 1, 2, 4][chance.below(4) as usize];
                    for &k in &group.channels {
                        now[k] = chance.below(4) < share;
                    }
                }
            }
            now.clone()
        })
        .collect()
}

fn hex(plan: &Plan, lit: &[bool]) -> String {
    // As the boards stand: `bytes` gives the order in which they go out.
    bytes(plan, lit).iter().rev().map(|byte| format!("{byte:02x}")).collect()
}

/// Plays pictures through the C and looks for anything that is not as the limits say.
fn checked(project: &BTreeMap<String, String>, plan: &Plan, form: &Form, seed: u32) -> Result<usize, String> {
    let mut slow = Reference::new(plan, form);
    slow.longest = LONGEST;
    let wanted = pictures(&slow, plan.channels.len(), seed);
    let lines: Vec<String> = wanted.iter().map(|lit| hex(plan, lit)).collect();
    let got = parts::play(project, parts::LIMITS, lines.join("\n"));
    let got: Vec<&str> = got.lines().collect();
    let mut held = 0;
    let mut shown = Vec::new();
    for (n, lit) in wanted.iter().enumerate() {
        let allowed = slow.tick(lit);
        let expected = hex(plan, &allowed);
        if got.get(n) != Some(&expected.as_str()) {
            return Err(format!("tick {n}: {:?} instead of {expected}", got.get(n)));
        }
        held += usize::from(&allowed != lit);
        shown.push(allowed);
    }
    in_words(&slow, &shown)?;
    Ok(held)
}

/// What the limits say, looked for in what is shown; nothing of how it is reached.
fn in_words(limits: &Reference, shown: &[Vec<bool>]) -> Result<(), String> {
    for group in &limits.groups {
        let changes: Vec<usize> = (1..shown.len())
            .filter(|&n| group.channels.iter().any(|&k| shown[n][k] != shown[n - 1][k]))
            .collect();
        for from in 0..shown.len() {
            let in_a_second = changes.iter().filter(|&&n| (from..from + limits.second).contains(&n)).count();
            if in_a_second > MOST_CHANGES {
                return Err(format!("{in_a_second} changes in the second from tick {from}"));
            }
        }
        if changes.windows(2).any(|pair| pair[1] - pair[0] < group.rest) {
            return Err("a contact did not rest".to_owned());
        }
        let mut lit = 0;
        for picture in shown {
            lit = if group.channels.iter().any(|&k| picture[k]) { lit + 1 } else { 0 };
            if lit > limits.longest + limits.second {
                return Err(format!("lit for {lit} ticks"));
            }
        }
    }
    for field in &limits.fields {
        let weighed: Vec<f64> = (1..shown.len())
            .map(|n| {
                let changed = |group: &&players::limits::Group| {
                    group.channels.iter().any(|&k| shown[n][k] != shown[n - 1][k])
                };
                let groups = limits.groups.iter().zip(field);
                groups.filter(|(group, _)| changed(group)).map(|(_, share)| share).sum()
            })
            .collect();
        if weighed.windows(limits.second).any(|second| second.iter().sum::<f64>() > TOGETHER - 1e-6) {
            return Err("a seventh change in one field of view".to_owned());
        }
    }
    for fed in &limits.fed {
        if shown.iter().any(|picture| limits.taken(fed, picture) > fed.most_a + 1e-3) {
            return Err(format!("more than {} A", fed.most_a));
        }
    }
    Ok(())
}

#[test]
fn random_pictures_are_held_within_the_limits() {
    for (plan, form) in [club(), short_of_current(), close_together()] {
        let project = project(&plan, &form);
        for seed in 1..=8 {
            let held = checked(&project, &plan, &form, seed).unwrap();
            assert!(held > 100, "only {held} pictures are held back: the limits are hardly tried");
        }
    }
}

/// The limit of all together is reached, and holds back pictures that the others let through.
#[test]
fn what_each_may_do_alone_is_too_much_together() {
    let (close, form) = close_together();
    let apart = Plan { flashing: Vec::new(), ..close.clone() };
    let held = |plan: &Plan| {
        let mut limits = Reference::new(plan, &form);
        let wanted = pictures(&limits, plan.channels.len(), 3);
        wanted.iter().filter(|lit| limits.tick(lit) != **lit).count()
    };
    let (together, alone) = (held(&close), held(&apart));
    assert!(together > alone + 100, "{together} pictures held back together, {alone} alone");
}

/// Whatever is within the limits comes out as it went in, in the same tick.
#[test]
fn pictures_within_the_limits_are_not_touched() {
    let (mut plan, form) = club();
    // Everything in one field of view, six changes a second of each: small enough to be within.
    let figures = (0..form.figures.len()).map(|figure| Flashes::Figure { figure });
    let spots = (0..form.spots.len()).map(|spot| Flashes::Spot { spot });
    let of = figures.chain(spots).chain([Flashes::Digits { digits: 0 }]);
    let shares: Vec<FieldShare> = of.map(|of| FieldShare { of, share: 6.0 / 64.0 }).collect();
    assert!(shares.len() * 6 * 6 < 7 * 64);
    plan.flashing.push(FlashField { distance_mm: 3000.0, shares });
    let project = firmware::project(&plan, &form).unwrap();
    let slow = Reference::new(&plan, &form);
    let mut chance = Chance::new(5);
    let mut now = vec![false; plan.channels.len()];
    let mut wanted = Vec::new();
    for n in 0..TICKS {
        for (g, group) in slow.groups.iter().enumerate() {
            // Six changes in exactly a second, then one every 17 ticks, each group at its own time.
            if (n + 3 * g) % 17 == 0 && (n + 3 * g) / 17 % 7 != 6 {
                for &k in &group.channels {
                    now[k] = chance.below(2) == 0;
                }
            }
        }
        wanted.push(hex(&plan, &now));
    }
    let got = parts::play(&project, parts::LIMITS, wanted.join("\n"));
    assert!(wanted.windows(2).filter(|pair| pair[0] != pair[1]).count() > TICKS / 4);
    for (n, (got, wanted)) in got.lines().zip(&wanted).enumerate() {
        assert_eq!(got, wanted, "tick {n}");
    }
    assert_eq!(got.lines().count(), wanted.len());
}

const MISTAKES: [(&str, &str, &str); 14] = [
    ("a change too many in a second", "#define CHANGES 6U", "#define CHANGES 7U"),
    ("a change too few in a second", "#define CHANGES 6U", "#define CHANGES 5U"),
    ("a second one tick short", ">= SECOND &&", "+ 1U >= SECOND &&"),
    ("contacts do not rest", " && ages[g][0] >= BYTE(rests[g])", ""),
    ("nothing is counted together", " && has_room(g);", ";"),
    ("a change too many together", "#define FULL 448U", "#define FULL 512U"),
    ("a change too few together", "sum >= FULL", "sum + 64U >= FULL"),
    ("only the first field of view", "f < FIELDS; f++", "f < 1U; f++"),
    ("changes of the same tick are not counted", "                recent[g]++;\n", ""),
    ("contacts rest a tick short", "ages[g][0] >= BYTE", "ages[g][0] + 1U >= BYTE"),
    ("lit for as long as one likes", "lit[g] >= LONGEST", "false"),
    ("lit again at once after too long", "(spent[g] || lit[g] >= LONGEST)", "(lit[g] >= LONGEST)"),
    ("more than the source gives", "if (!is_within(sums)) {", "if (false) {"),
    (
        "only the supply is looked at",
        "for (uint8_t s = 0; s < SOURCES; s++) {\n        if (sums[s] > WORD",
        "for (uint8_t s = 0; s < 1; s++) {\n        if (sums[s] > WORD",
    ),
];

#[test]
fn every_deliberate_mistake_in_the_limits_shows() {
    let (plan, form) = close_together();
    let right = project(&plan, &form);
    let outcomes = in_two(&MISTAKES, |(name, from, to)| {
        let mut wrong = right.clone();
        let text = wrong.get_mut("limits.c").unwrap();
        if !text.contains(from) {
            return (*name, Err("stands nowhere in the C".to_owned()));
        }
        *text = text.replacen(from, to, 1);
        (*name, Ok((1..=4).find_map(|seed| checked(&wrong, &plan, &form, seed).err())))
    });
    let missed: Vec<_> = outcomes.iter().filter(|(_, outcome)| !matches!(outcome, Ok(Some(_)))).collect();
    println!("{outcomes:#?}");
    assert!(missed.is_empty(), "not shown: {missed:?}");
}
