//! The watch: a monostable that every beat of D8 starts anew, and a gate for each enable line. Without a beat, without the
//! controller or without its cable nothing is lit.
//!
//! Every line to the boards passes it, 5 V too: a cable pulled on either side leaves the boards without their supply.

mod solder;

use super::Input;
use crate::note::{Also, finding, used, value, working, works_out};
use crate::{Origins, Watch};
use finding::{Finding, Origin, Severity, Sheet};
use reckoning::beat::{
    AIM_MS, BEATS, CAPACITOR_F, CAPACITOR_OFF, DARK_MS, GATE_A, PULL_OHM, PULSE_K, PULSE_OFF, RESISTOR_OFF,
    lines_current, pulse_off,
};
use reckoning::of::{farads, ohms, seconds, volts};
use uom::si::electric_current::milliampere;
use uom::si::time::millisecond;

/// Its label.
pub(super) const LABEL: &str = "W";

/// Ticks from one rising edge of D8 to the next: the pin changes once in every tick.
const TICKS_A_BEAT: f64 = 2.0;

/// The logic's supply.
const LOGIC_V: f64 = 5.0;

/// The watch over these boards; `digits` says which of them hold segments.
pub(super) fn work(input: &Input<'_>, digits: &[bool]) -> Option<Watch> {
    if input.boards.is_empty() {
        return None;
    }
    let beat_ms = TICKS_A_BEAT * f64::from(input.tick_ms);
    let resistor_ohm = resistor(beat_ms);
    let any_digits = digits.contains(&true);
    Some(Watch {
        label: LABEL.into(),
        resistor_ohm,
        capacitor_uf: CAPACITOR_F * 1e6,
        beat_ms,
        shortest_ms: limit_ms(resistor_ohm, -1.0),
        longest_ms: limit_ms(resistor_ohm, 1.0),
        chips: solder::chips(any_digits),
        small: solder::small(resistor_ohm, any_digits),
        holds: solder::holds(input.boards, digits),
    })
}

/// The pulse with every part off as far as it may be, the shortest (-1) or the longest (1).
fn limit_ms(resistor_ohm: f64, sign: f64) -> f64 {
    let capacitor = (farads(CAPACITOR_F), sign * CAPACITOR_OFF);
    pulse_off((PULSE_K, sign * PULSE_OFF), (ohms(resistor_ohm), sign * RESISTOR_OFF), capacitor)
        .get::<millisecond>()
}

/// The E24 value from which the pulse comes out at what is aimed at or a little longer; for a slow beat at what that asks
/// for, where this still ends in time.
fn resistor(beat_ms: f64) -> f64 {
    let of = |pulse_ms: f64| {
        let exact = seconds(pulse_ms / 1000.0) / (PULSE_K * farads(CAPACITOR_F));
        reckoning::led::e24_up(exact).value
    };
    let usual = of(AIM_MS);
    if limit_ms(usual, -1.0) >= BEATS * beat_ms {
        return usual;
    }
    let slow = of(BEATS * beat_ms / ((1.0 - PULSE_OFF) * (1.0 - RESISTOR_OFF) * (1.0 - CAPACITOR_OFF)));
    if limit_ms(slow, 1.0) <= DARK_MS { slow } else { usual }
}

/// Where its values come from, by place in the plan.
pub(super) fn origins(origins: &mut Origins) {
    works_out(origins, &["/watch/resistor_ohm"], "e24-up", &["exact resistance"]);
    let parts = ["k", "resistance", "capacitance", "how far each may be off"];
    works_out(origins, &["/watch/shortest_ms", "/watch/longest_ms"], "monostable-limit", &parts);
    origins.note("/watch/capacitor_uf", Origin::Default("the most that the chip bears when power goes"));
    origins.note("/watch/beat_ms", Origin::Default("two ticks of the rules: D8 changes once in each"));
    origins.note("/watch/chips", Origin::Default("types that any maker sells; pins from their data sheets"));
}

/// What is found of it: whether the beat keeps it up, whether it lets go in time, what its gates hold.
pub(super) fn judge(input: &Input<'_>, watch: &Watch) -> Vec<Finding> {
    let mut findings = vec![if watch.beat_ms * BEATS > watch.shortest_ms {
        too_slow(watch)
    } else if watch.longest_ms > DARK_MS {
        too_long(watch)
    } else {
        in_time(input, watch)
    }];
    findings.extend(watch.holds.iter().filter_map(|hold| too_many(&hold.boards)));
    findings
}

fn in_time(input: &Input<'_>, watch: &Watch) -> Finding {
    let boards: Vec<&str> = input.boards.iter().map(|board| board.label.as_str()).collect();
    finding(
        "wire/heartbeat",
        Severity::Note,
        "wire",
        &boards,
        format!(
            "Watch {} holds every output on for {:.0} to {:.0} ms after a beat of D8; beats come every {} ms, and without one everything is dark within {DARK_MS} ms",
            watch.label, watch.shortest_ms, watch.longest_ms, watch.beat_ms
        ),
    )
    .working(limit_working(watch, 1.0))
}

/// Beats so far apart that lights go dark between them: that is flashing.
fn too_slow(watch: &Watch) -> Finding {
    finding(
        "wire/beat-too-slow",
        Severity::Danger,
        "wire",
        &[&watch.label],
        format!(
            "The program beats every {} ms, and the watch may let go after {:.0} ms: a beat that comes late makes everything flash",
            watch.beat_ms, watch.shortest_ms
        ),
    )
    .working(limit_working(watch, -1.0))
    .cure("Write shorter ticks into the rules: 10 ms is the usual length", None)
    .withholds(&[Sheet::Wiring, Sheet::Firmware])
}

fn too_long(watch: &Watch) -> Finding {
    finding(
        "wire/watch-too-long",
        Severity::Danger,
        "wire",
        &[&watch.label],
        format!("After the last beat the watch may hold everything on for {:.0} ms", watch.longest_ms),
    )
    .working(limit_working(watch, 1.0))
    .cure("Use a smaller resistor or capacitor", None)
    .withholds(&[Sheet::Wiring, Sheet::Firmware])
}

/// The working of the shortest (-1) or the longest (1) pulse, held against its limit.
fn limit_working(watch: &Watch, sign: f64) -> finding::Working {
    let off = |share: f64| format!("{:+.0} %", sign * share * 100.0);
    let of_part = Origin::Default("the parts list");
    let printed = Origin::Default("the part's data sheet");
    let values = vec![
        value("k", PULSE_K.to_string(), printed.clone()),
        value("k off by", off(PULSE_OFF), printed.clone()),
        value("resistance", format!("{:.0} kohm", watch.resistor_ohm / 1000.0), of_part.clone()),
        value("resistance off by", off(RESISTOR_OFF), Origin::Default("the E24 series (IEC 60063)")),
        value("capacitance", format!("{} uF", watch.capacitor_uf), of_part),
        value("capacitance off by", off(CAPACITOR_OFF), printed),
    ];
    if sign > 0.0 {
        let limit = (format!("{DARK_MS} ms"), "our threshold".into());
        let margin = used(watch.longest_ms, DARK_MS);
        return working(
            "monostable-limit",
            values,
            format!("{:.0} ms", watch.longest_ms),
            Some(limit),
            Some(margin),
        );
    }
    let needed = BEATS * watch.beat_ms;
    let limit = (format!("{needed} ms or more, {BEATS} beats"), "our threshold".into());
    working("monostable-limit", values, format!("{:.0} ms", watch.shortest_ms), Some(limit), None)
}

/// Each board pulls its enable line up; one gate pulls all of them down.
fn too_many(boards: &[String]) -> Option<Finding> {
    let lines = u32::try_from(boards.len()).unwrap_or(u32::MAX);
    let taken = lines_current(lines, volts(LOGIC_V), ohms(PULL_OHM)).get::<milliampere>();
    if taken <= GATE_A * 1000.0 {
        return None;
    }
    let names: Vec<&str> = boards.iter().map(String::as_str).collect();
    Some(
        finding(
            "wire/enable-load",
            Severity::Caution,
            "wire",
            &names,
            format!("One gate of the watch would hold the enable lines of {lines} boards down: the last ones may stay dark"),
        )
        .working(working(
            "lines-current",
            vec![
                value("lines", lines.to_string(), Origin::Default("the boards on one enable line")),
                value("supply", format!("{LOGIC_V} V"), Origin::Default("the controller's")),
                value("pull-up", format!("{PULL_OHM} ohm"), Origin::Default("common practice: read your board")),
            ],
            format!("{taken:.1} mA"),
            Some((format!("{} mA", GATE_A * 1000.0), "74HC32 data sheets, low level guaranteed".into())),
            Some(used(taken, GATE_A * 1000.0)),
        ))
        .cure("Use boards of more outputs, or boards whose pull-ups are weaker", None),
    )
}
