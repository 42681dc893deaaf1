//! The test sheet: what is done, where to look, what is expected, and what it usually is when it is not.

use crate::note::amperes;
use crate::{LitBy, Plan, TERMINALS, Trial};

/// A meter and a small supply may read this far off. Common practice: 5 %.
const READING_SHARE: f64 = 0.05;

/// The sheet, from the supply outwards; the roll call last. `settings` stand before the roll call behind the same jumper.
pub(crate) fn work(plan: &Plan, settings: usize) -> Vec<Trial> {
    if plan.channels.is_empty() {
        return Vec::new();
    }
    // The roll call takes a button that somebody holds.
    let called = !plan.buttons.is_empty();
    let mut trials = vec![supply(plan)];
    trials.extend(grounds(plan));
    trials.push(dark());
    if called {
        trials.extend([arm(settings > 0), all_lit(plan)]);
    }
    trials.extend(plan.watch.iter().flat_map(|one| watch(one, called)));
    trials.extend(plan.buttons.iter().map(button));
    trials.extend(plan.circuits.iter().map(circuit));
    if called {
        trials.extend(plan.channels.iter().map(|channel| roll_call(plan, channel)));
        trials.push(leave());
    }
    trials
}

fn trial(act: &str, at: &str, expected: &str, otherwise: &str) -> Trial {
    Trial { act: act.into(), at: at.into(), expected: expected.into(), otherwise: otherwise.into() }
}

fn supply(plan: &Plan) -> Trial {
    let volts = plan.supply.voltage_v;
    trial(
        "Plug the supply in with nothing joined to it",
        "meter on its two low-voltage leads",
        &format!("{:.1} to {:.1} V", volts * (1.0 - READING_SHARE), volts * (1.0 + READING_SHARE)),
        "the wrong supply, or its plug is not home",
    )
}

/// Every ground of the card inside the box, before there is current on it.
fn grounds(plan: &Plan) -> Option<Trial> {
    let inside = plan.cables.iter().find(|cable| cable.from == TERMINALS)?;
    let grounds = inside.conductors.iter().filter(|conductor| conductor.from == "terminal -");
    let grounds: Vec<&str> = grounds.map(|conductor| conductor.to.as_str()).collect();
    Some(trial(
        &format!("With the supply unplugged, measure ohms from terminal - to {}", grounds.join(", ")),
        "meter on ohms, one after the other",
        "less than 1 ohm each",
        &format!("a wire of {} that is missing, or loose in its terminal", inside.label),
    ))
}

fn dark() -> Trial {
    trial(
        "Join controller and boards, then switch on",
        "every lamp",
        "dark until the game begins",
        "the watch's R1 and R3, then the enable line of the first board and its pull-up",
    )
}

/// What calls the roll: the service jumper's pin, and the buttons.
fn arm(settings: bool) -> Trial {
    let first = if settings { ", then go on past the last setting" } else { "" };
    trial(
        &format!(
            "The roll call: while it plays, join the service jumper (A0 to ground) inside the lid and wait two seconds{first}"
        ),
        "every lamp",
        "dark, and nothing is lit while nobody holds a button",
        "the jumper was in when the power came up: take it out for two seconds, then join it again",
    )
}

fn leave() -> Trial {
    trial(
        "Take the service jumper out",
        "every lamp",
        "dark, then the game from its beginning",
        "the jumper's pin (A0) has a short to ground",
    )
}

/// How everything is lit: with a second button it is one step back from the beginning.
fn all_lit(plan: &Plan) -> Trial {
    let needed = plan.supply.needed_a;
    let how = match plan.buttons.as_slice() {
        [first] => format!("press {} once for each output and once more", first.name),
        [_, other, ..] => format!("press {} once", other.name),
        [] => String::new(),
    };
    trial(
        &format!("Light everything from the roll call: {how}, and keep it held"),
        "meter in the supply's lead",
        &format!("{} or less", amperes(needed * (1.0 + READING_SHARE))),
        "a strand that is not the one planned, or a short",
    )
}

/// The watch lets go whatever is pulled; each is joined again before the next.
fn watch(watch: &crate::Watch, called: bool) -> Vec<Trial> {
    let lit = if called { "With all lit from the roll call" } else { "While it plays" };
    let dark = format!("every lamp dark within {:.1} s", reckoning::beat::DARK_MS / 1000.0);
    let label = &watch.label;
    let mut trials = vec![
        trial(
            "While it plays, measure the watch",
            &format!("{label}, U1 pin 6, then U2 pin 3"),
            "4 V or more, then less than 0.5 V",
            "the heartbeat (D8), RT and CT, the chips' supply",
        ),
        trial(
            &format!("{lit}, pull the heartbeat's wire"),
            &format!("pin D8, or cable C1 at {label} beat"),
            &dark,
            "CT of another value or a short at RT; an enable line that does not come from the watch",
        ),
        trial(
            &format!("{lit}, hold the controller's reset button down"),
            "every lamp",
            &dark,
            "R3, the watch's own pull-up, or D9 joined to the boards instead of the watch",
        ),
    ];
    // A cable as a whole: without its supply a register shows nothing.
    trials.push(trial(
        &format!("{lit}, pull cable C1, join it again, then pull C2"),
        "every lamp",
        &dark,
        "5 V that reaches a board by another way, or a board without pull-ups and pull-downs of its own",
    ));
    trials
}

fn button(button: &crate::Button) -> Trial {
    trial(
        &format!("Press button {}", button.name),
        &format!("pin {} of the controller", button.pin),
        "5 V let go, less than 0.5 V pressed",
        "the cable of the button, then its contact",
    )
}

fn circuit(circuit: &crate::CircuitUse) -> Trial {
    trial(
        &format!(
            "Plug the cord of circuit {} into a listed plug-in meter, the meter into the outlet, and light everything",
            circuit.name
        ),
        "the plug-in meter",
        &format!("{} or less", amperes(circuit.all_lit_a * (1.0 + READING_SHARE))),
        "a strand that is not the one planned; unplug before you look",
    )
}

fn roll_call(plan: &Plan, channel: &crate::Channel) -> Trial {
    let at = plan.boards.get(channel.board).map_or(String::new(), |board| {
        format!(
            "output {} of board {}, then its cable by the signal path",
            board.beside(channel.output),
            board.label
        )
    });
    let what = match &channel.lit_by {
        LitBy::Poses { .. } => "the bunch",
        LitBy::Spot { .. } => "the light",
        LitBy::Segment { .. } => "the segment",
    };
    let first = plan.buttons.first().map_or("a button", |button| button.name.as_str());
    trial(
        &format!("Roll call {}: press {first}, hold it", channel.label),
        &format!("{what} {}", channel.name),
        &format!("it alone is lit, {}", amperes(channel.current_a)),
        &at,
    )
}
