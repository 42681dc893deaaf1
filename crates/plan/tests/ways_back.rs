//! The low-voltage side walked conductor by conductor, over all displays: whatever goes out of the supply has a way back to it,
//! of enough gauge, and every board and the controller is fed.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a test may fail")]
#![allow(clippy::approx_constant, reason = "3.14 ohm is the value of the table for 14 AWG")]

mod common;

use common::{flagship, fox};
use display::Display;
use plan::{Cable, Conductor, Plan, plan};
use source::MemoryFiles;

/// What a wire carries: for 18 AWG and thicker NEC table 402.5, for thinner ones 500 circular mils for each ampere, a rule of
/// handbooks for bundled wires (both from memory).
const CARRIES: [(&str, f64); 6] =
    [("24 AWG", 0.8), ("22 AWG", 1.28), ("20 AWG", 2.04), ("18 AWG", 6.0), ("16 AWG", 8.0), ("14 AWG", 17.0)];

/// Ohms of 1000 ft: NEC chapter 9 table 8, stranded; 24 to 20 AWG twice as thin for each three sizes (ASTM B258, from memory).
const OHMS: [(&str, f64); 6] = [
    ("24 AWG", 32.0),
    ("22 AWG", 20.1),
    ("20 AWG", 12.65),
    ("18 AWG", 7.95),
    ("16 AWG", 4.99),
    ("14 AWG", 3.14),
];

fn of(table: &[(&str, f64)], size: &str) -> f64 {
    table.iter().find(|(name, _)| *name == size).unwrap_or_else(|| panic!("{size}")).1
}

fn read(files: &MemoryFiles) -> Display {
    let (display, faults, _) = display::read(files);
    assert!(faults.iter().all(|fault| !fault.stops()), "{faults:?}");
    display.unwrap()
}

/// Every display that comes with the program.
fn displays() -> Vec<(&'static str, Plan)> {
    macro_rules! own {
        ($name:literal, $($art:literal),+) => {
            read(
                &MemoryFiles::default()
                    .with("parts.toml", include_str!(concat!("../../../displays/", $name, "/parts.toml")))
                    .with("display.toml", include_str!(concat!("../../../displays/", $name, "/display.toml")))
                    .with(
                        concat!($name, ".rules"),
                        include_str!(concat!("../../../displays/", $name, "/", $name, ".rules")),
                    )
                    $(.with($art, include_str!(concat!("../../../displays/", $name, "/", $art))))+,
            )
        };
    }
    vec![
        ("waving-fox", plan(&fox().0)),
        ("club-passing", plan(&flagship().0)),
        ("firefly-pond", plan(&own!("firefly-pond", "art/firefly.svg", "art/frog.svg"))),
        ("penalty-kick", plan(&own!("penalty-kick", "art/ball.svg", "art/keeper.svg", "art/kicker.svg"))),
    ]
}

fn all(plan: &Plan) -> impl Iterator<Item = (&Cable, &Conductor)> {
    plan.cables.iter().flat_map(|cable| cable.conductors.iter().map(move |conductor| (cable, conductor)))
}

/// Whether current goes from the cable's start to its end.
fn goes_out(conductor: &Conductor) -> bool {
    !conductor.carries.starts_with("ground") && !conductor.carries.contains("switched return")
}

/// Current of the conductors that leave a terminal, in one direction or the other.
fn leaving(plan: &Plan, terminal: &str) -> f64 {
    all(plan).filter(|(_, one)| one.from == terminal).map(|(_, one)| one.current_a).sum()
}

#[track_caller]
fn same(what: &str, one: f64, other: f64) {
    assert!((one - other).abs() < 1e-9, "{what}: {one} A and {other} A");
}

/// Kirchhoff's current law on each cable: what goes out in it comes back in it.
#[test]
fn what_goes_out_in_a_cable_comes_back_in_it() {
    for (name, plan) in displays() {
        for cable in &plan.cables {
            let sum = |out: bool| -> f64 {
                let own = cable.conductors.iter().filter(|one| goes_out(one) == out);
                own.map(|one| one.current_a).sum()
            };
            same(&format!("{name}, {}", cable.label), sum(true), sum(false));
        }
    }
}

/// The terminal of the same thing that a conductor's current came in by (or goes back by), towards the supply.
fn passed(plan: &Plan, one: &Conductor, out: bool) -> String {
    let terminal = one.from.as_str();
    if terminal.starts_with("terminal") || terminal.ends_with(" +") || terminal.starts_with("supply") {
        return terminal.to_owned();
    }
    if let Some(passed) = ["5V", "GND"].iter().find(|supply| terminal == format!("W {supply} out")) {
        return format!("W {passed}");
    }
    // An output, not a pin of the controller with the same letter and number.
    let label = format!("{terminal} ");
    let output = |channel: &&plan::Channel| channel.label == terminal && one.carries.starts_with(&label);
    if let Some(channel) = plan.channels.iter().find(output) {
        let board = &plan.boards[channel.board].label;
        return if out { format!("{board} 5V") } else { format!("{board} lights GND") };
    }
    if let Some((board, _)) = terminal.split_once(' ').filter(|(word, _)| *word != "W") {
        return if out { format!("{board} 5V") } else { format!("{board} GND") };
    }
    // A pin of the controller.
    if out { "VIN".to_owned() } else { "GND".to_owned() }
}

/// From a conductor to the supply, conductor by conductor; every one of them carries at least its current.
#[track_caller]
fn walk(name: &str, plan: &Plan, start: &Conductor, out: bool) {
    let (mut at, own_a) = (start, start.current_a);
    let end = if out { "supply +" } else { "supply -" };
    for _ in 0..=plan.cables.len() {
        if at.from == end {
            return;
        }
        let terminal = passed(plan, at, out);
        let (_, next) = all(plan).find(|(_, one)| one.to == terminal).unwrap_or_else(|| {
            panic!("{name}: {} ends at {}, nothing reaches {terminal}", at.carries, at.from)
        });
        // What the controller makes 5 V of is a current of its own.
        assert!(
            next.current_a + 1e-9 >= own_a,
            "{name}: {} carries less than {}",
            next.carries,
            start.carries
        );
        at = next;
    }
    panic!("{name}: {} goes round and round", start.carries);
}

#[test]
fn every_current_goes_out_from_the_supply_and_comes_back_to_it() {
    for (name, plan) in displays() {
        for (_, one) in all(&plan).filter(|(_, one)| !one.carries.contains("enable") && one.from != "A0") {
            walk(name, &plan, one, goes_out(one));
        }
        same(&format!("{name}: terminal +"), leaving(&plan, "terminal +"), leaving(&plan, "supply +"));
        same(&format!("{name}: terminal -"), leaving(&plan, "terminal -"), leaving(&plan, "supply -"));
    }
}

#[test]
fn the_controller_and_every_board_are_fed() {
    for (name, plan) in displays() {
        let into = |terminal: &str| {
            let found = all(&plan).find(|(_, one)| one.to == terminal);
            found.unwrap_or_else(|| panic!("{name}: nothing reaches {terminal}")).1.current_a
        };
        for (index, board) in plan.boards.iter().enumerate() {
            let low = plan.channels.iter().any(|one| one.board == index && one.outlet.is_none());
            let label = &board.label;
            if low {
                // The lights' own current leaves a low-side board at its ground.
                same(&format!("{name}, {label}"), into(&format!("{label} lights GND")), board.current_a);
            }
            // What the outputs of this register board and of those behind it give to switch boxes comes in at 5 V.
            let behind = plan.channels.iter().filter(|one| one.board >= index && one.outlet.is_some());
            let inputs = 0.005 * f64::from(u32::try_from(behind.count()).unwrap());
            assert!(into(&format!("{label} 5V")) >= inputs, "{name}, {label}");
            assert!(into(&format!("{label} GND")) >= inputs, "{name}, {label}");
        }
        // Not less than the supply is reckoned for. Beyond that at most: 1.35 mA of a driver's input (ULN2803-class data sheets)
        // and 0.5 mA of its pull-down for each output, 11.6 mA of a held button, a milliampere for each line and board.
        let count = |things: usize| f64::from(u32::try_from(things).unwrap());
        let most_a = 0.001_85 * count(plan.channels.len())
            + 0.0117 * count(plan.buttons.len())
            + 0.001 * count(plan.boards.len() + 8);
        let (all_a, known_a) = (into("terminal +"), plan.supply.needed_a - 1e-9);
        assert!(all_a >= known_a && all_a <= known_a + most_a, "{name}: {all_a} A, {known_a} A known");
        assert!(into("VIN") >= leaving(&plan, "5V"), "{name}");
        same(&format!("{name}: controller"), into("VIN"), into("GND"));
    }
}

#[test]
fn every_conductor_is_thick_enough() {
    for (name, plan) in displays() {
        for (cable, one) in all(&plan) {
            let at = format!("{name}, {} {}", cable.label, one.number);
            assert!(one.current_a <= of(&CARRIES, &cable.size), "{at}: {} in {}", one.current_a, cable.size);
            // 3 % of the supply (NEC 210.19(A), informational note), out and back; of 5 V for what is fed at 5 V.
            let volts = if cable.size == "24 AWG" { 5.0 } else { plan.supply.voltage_v };
            let back = cable.conductors.iter().find(|back| back.number == one.returns_on).unwrap();
            let feet = cable.length_mm / 304.8;
            let lost = of(&OHMS, &cable.size) / 1000.0 * feet * (one.current_a + back.current_a);
            assert!(lost <= 0.03 * volts, "{at}: {lost} V");
        }
        // Behind the fuse of 5 A: 18 AWG or thicker. Common practice.
        for cable in
            plan.cables.iter().filter(|one| one.from == plan::TERMINALS || one.from.starts_with("supply"))
        {
            assert!(of(&CARRIES, &cable.size) >= 5.0, "{name}: {}", cable.size);
            assert!(leaving(&plan, "supply +") <= 5.0, "{name}");
        }
    }
}
