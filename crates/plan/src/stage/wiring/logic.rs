//! The logic side: the chain of registers, the controls of switch boxes, the button's network.

use super::watch::LABEL as W;
use super::{ButtonCable, Input, Wiring, drop, next_label};
use crate::note::{Also, amperes, finding, value, worked, working};
use crate::{Cable, Channel, Conductor, LitBy, PinUse};
use finding::{Finding, Severity};
use quantity::Show as _;
use reckoning::of::{amperes as amps, farads, metres, ohms, volts};
use reckoning::{button, chain};

/// Current of a pressed button through its pull-up: 5 V in 430 ohm.
pub(super) const BUTTON_A: f64 = 5.0 / button::PULL_UP_OHM;

/// Length of the ribbon between controller and first board, in the same box.
pub(super) const RIBBON_MM: f64 = 300.0;

/// Size of the ribbon's conductors.
const RIBBON_AWG: u32 = 24;

/// Size of control conductors: thin, but strong enough outdoors. Common practice.
const CONTROL_AWG: u32 = 22;

/// Three pins shift and latch; the fourth keeps everything dark until the first whole frame, the fifth beats as long as
/// the program runs, the sixth is for whoever opens the lid. Common practice; the ports are those of the chip's own serial
/// port. Where there are digits, a pin of a timer dims them.
pub(super) fn own_pins(input: &Input<'_>) -> Vec<PinUse> {
    let mut pins = vec![
        ("D11", "PB3", "register data"),
        ("D13", "PB5", "register clock"),
        ("D10", "PB2", "register latch"),
        ("D9", "PB1", "output enable (low is on)"),
        ("D8", "PB0", "heartbeat (a change every tick)"),
        ("A0", "PC0", "service jumper (closed to ground)"),
    ];
    if input.boards.iter().enumerate().any(|(index, _)| is_digits(input, index)) {
        pins.push(("D6", "PD6", "digits enable (low is on, dims)"));
    }
    pins.into_iter()
        .map(|(pin, port, does)| PinUse { pin: pin.into(), port: port.into(), does: does.into() })
        .collect()
}

/// Which boards hold segments of digits.
pub(super) fn digits(input: &Input<'_>) -> Vec<bool> {
    (0..input.boards.len()).map(|board| is_digits(input, board)).collect()
}

/// Whether a board holds segments of digits.
fn is_digits(input: &Input<'_>, board: usize) -> bool {
    let segment = |channel: &Channel| matches!(channel.lit_by, LitBy::Segment { .. });
    input.channels.iter().any(|channel| channel.board == board && segment(channel))
}

/// A conductor inside the box: what it carries, from where, to where, and its current.
type Line = (String, String, String, f64);

/// Current of a logic line, and of the watch's chips and pull-ups together: a chip of the 74HC class takes less than 0.2 mA.
const SIGNAL_A: f64 = 0.001;

/// What a driver's input takes at most: 1.35 mA of a Darlington (ULN2803-class data sheets, 3.85 V); a MOSFET takes next to
/// nothing.
const DRIVER_INPUT_A: f64 = 0.001_35;

/// Current of one pull-up or pull-down on a board.
const PULL_A: f64 = 5.0 / reckoning::beat::PULL_OHM;

/// What a board takes at 5 V with every output on: its enable line's pull-up, and for each output in use its pull-down and
/// the input behind it, of a driver or of a switch box.
fn board_a(input: &Input<'_>, board: usize) -> f64 {
    let own = input.channels.iter().filter(|channel| channel.board == board);
    let behind = |channel: &Channel| {
        if channel.outlet.is_some() { input.control_a } else { DRIVER_INPUT_A }
    };
    PULL_A + own.map(|channel| PULL_A + behind(channel)).sum::<f64>()
}

/// What a board takes at 5 V and all that stand behind it in the chain.
fn from_board_a(input: &Input<'_>, board: usize) -> f64 {
    (board..input.boards.len()).map(|board| board_a(input, board)).sum()
}

/// Through the watch to the first board, and from every board to the next; all in one box.
pub(super) fn chain(input: &Input<'_>, wiring: &mut Wiring) {
    if input.boards.is_empty() {
        return;
    }
    let dims = wiring.pins.iter().any(|pin| pin.does.starts_with("digits enable"));
    let lines = to_watch(dims, SIGNAL_A + from_board_a(input, 0));
    let cable = ribbon(("controller".into(), format!("watch {W}")), lines, next_label(wiring));
    wiring.cables.push(cable);
    for (index, board) in input.boards.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|before| input.boards.get(before));
        let from = before.map_or_else(|| format!("watch {W}"), |before| format!("board {}", before.label));
        let before = before.map_or(W, |before| before.label.as_str());
        let lines = to_board(input, index, before, &board.label);
        let cable = ribbon((from, format!("board {}", board.label)), lines, next_label(wiring));
        wiring.cables.push(cable);
    }
}

/// From the controller's pins to the watch. Data, clock, latch and the supply pass it as they are.
fn to_watch(dims: bool, all_a: f64) -> Vec<Line> {
    let line = |carries: &str, pin: &str, terminal: &str, current: f64| {
        (carries.to_owned(), pin.to_owned(), format!("{W} {terminal}"), current)
    };
    let mut lines = vec![
        line("register data", "D11", "data", SIGNAL_A),
        line("register clock", "D13", "clock", SIGNAL_A),
        line("register latch", "D10", "latch", SIGNAL_A),
        line("output enable, low is on", "D9", "enable in", SIGNAL_A),
        line("heartbeat", "D8", "beat", SIGNAL_A),
    ];
    if dims {
        lines.push(line("digits enable, low is on", "D6", "digits enable in", SIGNAL_A));
    }
    lines.push(line("5 V for watch and boards", "5V", "5V", all_a));
    lines
}

/// To a board from what stands before it. Data goes through the boards; the other lines reach all of them alike. The first
/// board of digits takes its enable line from a gate of its own; the next ones hand it on.
fn to_board(input: &Input<'_>, index: usize, before: &str, board: &str) -> Vec<Line> {
    let out = |terminal: &str| {
        let passed = if before == W || terminal == "data" { " out" } else { "" };
        format!("{before} {terminal}{passed}")
    };
    let line = |carries: &str, from: String, terminal: &str, current: f64| {
        (carries.to_owned(), from, format!("{board} {terminal}"), current)
    };
    let first =
        is_digits(input, index) && !index.checked_sub(1).is_some_and(|before| is_digits(input, before));
    let enable = if first {
        line("digits enable, pulled up on the board", format!("{W} digits enable out"), "enable", SIGNAL_A)
    } else {
        line("output enable, pulled up on the board", out("enable"), "enable", SIGNAL_A)
    };
    vec![
        line("register data", out("data"), "data", SIGNAL_A),
        line("register clock", out("clock"), "clock", SIGNAL_A),
        line("register latch", out("latch"), "latch", SIGNAL_A),
        enable,
        line("5 V for this board and those behind it", out("5V"), "5V", from_board_a(input, index)),
    ]
}

/// These lines and the ground that all of them come back on.
fn ribbon((from, to): (String, String), lines: Vec<Line>, label: String) -> Cable {
    let ground = u32::try_from(lines.len() + 1).unwrap_or(u32::MAX);
    let word = |place: &str| place.split_once(' ').map_or("", |(_, name)| name).to_owned();
    let (from_word, to_word) = (word(&from), word(&to));
    let from_ground = match from_word.as_str() {
        "" => "GND".to_owned(),
        W => format!("{W} GND out"),
        board => format!("{board} GND"),
    };
    let supply = ground - 1;
    let all: f64 = lines.iter().map(|line| line.3).sum();
    let grounded = (format!("ground, return of 1 to {supply}"), from_ground, format!("{to_word} GND"), all);
    let conductors = (1..).zip(lines.into_iter().chain([grounded]));
    Cable {
        label,
        from,
        to,
        length_mm: RIBBON_MM,
        size: format!("{RIBBON_AWG} AWG"),
        conductors: conductors
            .map(|(number, (carries, from, to, current_a))| Conductor {
                number,
                carries,
                from,
                to,
                current_a,
                returns_on: if number == ground { supply } else { ground },
                drop_v: drop::lost(RIBBON_AWG, RIBBON_MM, current_a, all),
            })
            .collect(),
    }
}

/// From the register boards to the inputs of every box: one line for each outlet in use, one return for them all. Low
/// voltage only; the box itself is never opened.
pub(super) fn control(input: &Input<'_>, wiring: &mut Wiring) {
    for (index, part) in input.boxes.iter().enumerate() {
        let fed =
            |channel: &&Channel| channel.outlet.as_ref().is_some_and(|outlet| outlet.switch_box == index);
        let channels: Vec<&Channel> = input.channels.iter().filter(fed).collect();
        if channels.is_empty() {
            continue;
        }
        // What comes out of a register goes back to its ground.
        let first = channels.first().and_then(|channel| input.boards.get(channel.board));
        let board = first.map_or("", |board| board.label.as_str());
        let lines = u32::try_from(channels.len()).unwrap_or(u32::MAX);
        let all = input.control_a * f64::from(lines);
        let lost = |back| drop::lost(CONTROL_AWG, input.control_mm, input.control_a, back);
        let mut conductors: Vec<Conductor> = (1..)
            .zip(&channels)
            .map(|(number, channel)| {
                let outlet = channel.outlet.as_ref().map_or(0, |outlet| outlet.outlet);
                Conductor {
                    number,
                    carries: format!("{} turns on outlet {outlet}: {}", channel.label, channel.name),
                    from: channel.label.clone(),
                    to: format!("{} input {outlet}", part.label),
                    current_a: input.control_a,
                    returns_on: lines + 1,
                    drop_v: lost(all),
                }
            })
            .collect();
        conductors.push(Conductor {
            number: lines + 1,
            carries: format!("ground, return of 1 to {lines}"),
            from: format!("{board} GND"),
            to: format!("{} input ground", part.label),
            current_a: all,
            returns_on: 1,
            drop_v: lost(all),
        });
        let label = next_label(wiring);
        ground_shift(input, &label, all, &mut wiring.findings);
        wiring.cables.push(Cable {
            label,
            from: "register board".into(),
            to: format!("inputs of {}", part.label),
            length_mm: input.control_mm,
            size: format!("{CONTROL_AWG} AWG"),
            conductors,
        });
    }
}

/// The return of all inputs lifts the box's ground against the register's.
fn ground_shift(input: &Input<'_>, cable: &str, all: f64, findings: &mut Vec<Finding>) {
    let one = reckoning::wire::resistance(CONTROL_AWG, metres(input.control_mm / 1000.0));
    let shift = chain::ground_shift(amps(all), one, 1).value;
    let far = input.control_mm > chain::SINGLE_ENDED_M * 1000.0;
    if shift <= chain::SHIFT_V && !far {
        return;
    }
    let verdict = if far {
        format!(
            "Control cable {cable} is {}; plain 5 V lines are planned up to {}",
            metres(input.control_mm / 1000.0).show(input.units),
            metres(chain::SINGLE_ENDED_M).show(input.units)
        )
    } else {
        format!("The return of {cable} lifts the box's ground by {shift:.2} V")
    };
    findings.push(
        finding("wire/ground-shift", Severity::Caution, "wire", &[cable], verdict)
            .working(working(
                "ground-shift",
                vec![
                    value("return current", amperes(all), worked("total-current", &["inputs"])),
                    value(
                        "resistance of one conductor",
                        format!("{:.2} ohm", one.value),
                        worked("wire-resistance", &["gauge", "length"]),
                    ),
                    value("conductors", "1".into(), worked("ground-shift", &["cable"])),
                ],
                format!("{shift:.2} V"),
                Some((format!("{} V", chain::SHIFT_V), "common practice".into())),
                None,
            ))
            .cure("Put the box nearer to the controller, or give it more returns", None),
    );
}

/// What every button's line is built of: one sentence with its working, the same for all of them.
pub(super) fn button_network(buttons: &[ButtonCable]) -> Finding {
    let wet = button::wetting(volts(5.0), ohms(button::PULL_UP_OHM)).value;
    let filter = ohms(button::PULL_UP_OHM + button::SERIES_OHM);
    let time = button::time_constant(filter, farads(button::FILTER_F)).value * 1000.0;
    let names: Vec<&str> = buttons.iter().map(|button| button.button.as_str()).collect();
    let (least, most) = button::WETTING_A;
    finding(
        "wire/button-network",
        Severity::Note,
        "wire",
        &names,
        format!(
            "Each button: {} ohm to 5 V ({} through the contact), {} ohm and 1 uF at the pin ({time:.1} ms), {} ms unheard after an edge",
            button::PULL_UP_OHM,
            amperes(wet),
            button::SERIES_OHM,
            button::LOCKOUT_MS
        ),
    )
    .working(working(
        "wetting-current",
        vec![
            value("supply", "5 V".into(), worked("wetting-current", &["controller"])),
            value("pull-up", format!("{} ohm", button::PULL_UP_OHM), worked("e24-up", &["exact resistance"])),
        ],
        amperes(wet),
        Some((format!("{} to {}", amperes(least), amperes(most)), "common practice".into())),
        None,
    ))
}
