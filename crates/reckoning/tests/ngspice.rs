//! Currents of strings, segments and networks against a circuit simulator (ngspice), which knows nothing of our sharp
//! threshold: its diodes have an exponential law and a series resistance.
//!
//! Tolerances: we take a lamp's forward voltage at its rated current; away from it the diode's own slope makes the
//! simulator differ by a few in a hundred, stated beside each case.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]
#![allow(clippy::disallowed_methods, reason = "the reference is a program of its own")]

use reckoning::formula;
use std::io::Write;
use std::process::{Command, Stdio};

/// A white or blue LED: 3.2 V at 20 mA; a red one: 2.0 V at 20 mA. Ideality and resistance of the usual size, from memory.
const MODELS: &str = "\
.model white D(is=1.0e-22 n=2.6 rs=2.0)
.model red D(is=4.5e-20 n=1.9 rs=2.0)
.model ideal D(is=1e-9 n=0.2 rs=0.01)
.options reltol=1e-4 abstol=1e-9 vntol=1e-5 gmin=1e-10 method=gear cshunt=1e-13
";

/// Runs a circuit and gives the measured values by their names.
fn simulate(circuit: &str) -> std::collections::BTreeMap<String, f64> {
    let mut child = Command::new("ngspice")
        .arg("-b")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("ngspice is installed by the checks");
    child
        .stdin
        .take()
        .unwrap()
        .write_all(format!("a circuit\n{MODELS}{circuit}\n.end\n").as_bytes())
        .unwrap();
    let ran = child.wait_with_output().unwrap();
    let text = String::from_utf8_lossy(&ran.stdout);
    let measured: std::collections::BTreeMap<String, f64> = text
        .lines()
        .filter_map(|line| {
            let (name, rest) = line.split_once('=')?;
            let value = rest.split_whitespace().next()?.parse().ok()?;
            Some((name.trim().to_owned(), value))
        })
        .collect();
    assert!(!measured.is_empty(), "{text}{}", String::from_utf8_lossy(&ran.stderr));
    measured
}

fn ours(name: &str, given: &[f64]) -> f64 {
    (formula(name).unwrap_or_else(|| panic!("no formula {name}")).work)(given)
}

/// `within` is a share of the simulator's value.
fn agree(what: &str, ours: f64, simulated: f64, within: f64) {
    let off = (ours - simulated).abs() / simulated.abs();
    assert!(off <= within, "{what}: we say {ours}, the simulator {simulated}, {:.1} % off", off * 100.0);
}

/// `count` diodes of a model in series from one node to another.
fn lamps(model: &str, count: usize, from: &str, to: &str) -> String {
    let node = |k: usize| match k {
        0 => from.to_owned(),
        k if k == count => to.to_owned(),
        k => format!("l{from}{k}"),
    };
    (0..count).map(|k| format!("D{from}{k} {} {} {model}\n", node(k), node(k + 1))).collect()
}

/// Forward voltage of a model at a current, by the simulator: what a maker would print.
fn forward(model: &str, amps: f64) -> f64 {
    simulate(&format!("I1 0 a dc {amps}\nD1 a 0 {model}\n.op\n.control\nop\nprint v(a)\n.endc"))["v(a)"]
}

/// Crest and effective current of a string on the mains: (measured crest, measured effective), in amperes.
fn mains_string(volts: f64, hertz: f64, model: &str, count: usize, resistor: f64, full: bool) -> (f64, f64) {
    let crest = volts * 2f64.sqrt();
    let feed = if full {
        // A bridge of near-ideal diodes.
        "Db1 m p ideal\nDb2 0 p ideal\nDb3 n m ideal\nDb4 n 0 ideal\n"
    } else {
        "Db1 m p ideal\nVn n 0 0\n"
    };
    let circuit = format!(
        "V1 m 0 sin(0 {crest} {hertz})\n{feed}R1 p s {resistor}\n{}Vs t n 0\n\
         .tran 20u {} {} 20u\n.meas tran top max i(Vs)\n.meas tran eff rms i(Vs) from={} to={}",
        lamps(model, count, "s", "t"),
        4.0 / hertz,
        2.0 / hertz,
        2.0 / hertz,
        4.0 / hertz,
    );
    let measured = simulate(&circuit);
    (measured["top"], measured["eff"])
}

/// Strings as sold, 20 to 22 mA at the crest: 120 V full and half wave, 230 V full wave, a short one. Within 5 %.
#[test]
fn crest_current_of_mains_strings() {
    for (what, volts, hertz, model, count, resistor, full) in [
        ("35 white, full wave, 120 V", 120.0, 60.0, "white", 35, 2700.0, true),
        ("35 white, half wave, 120 V", 120.0, 60.0, "white", 35, 2700.0, false),
        ("50 red, full wave, 120 V", 120.0, 60.0, "red", 50, 3300.0, true),
        ("60 white, full wave, 230 V", 230.0, 50.0, "white", 60, 6200.0, true),
        ("25 white, full wave, 120 V", 120.0, 60.0, "white", 25, 4700.0, true),
    ] {
        let (crest, effective) = mains_string(volts, hertz, model, count, resistor, full);
        let threshold = count as f64 * forward(model, 0.02);
        agree(what, ours("crest-current", &[volts, threshold, resistor]), crest * 1000.0, 0.05);
        // From the label's effective current alone, as the plan has it: within 6 %.
        let factor = if full { "crest-factor" } else { "crest-factor-half-wave" };
        agree(what, ours(factor, &[volts, threshold]) * effective, crest, 0.06);
    }
}

/// Strings of a 12 V strand and segments of digits behind a switch that keeps some voltage. Within 3 %.
#[test]
fn current_of_low_voltage_strings() {
    for (what, supply, model, count, switch, resistor) in [
        ("three red of a 12 V strand", 12.0, "red", 3, 0.1, 300.0),
        ("two white of a segment, sink array", 12.0, "white", 2, 1.1, 240.0),
        ("three red of a segment, sink array", 12.0, "red", 3, 1.1, 240.0),
        ("three red, supply 5 % high", 12.6, "red", 3, 1.1, 240.0),
        ("three red, supply 5 % low", 11.4, "red", 3, 1.1, 240.0),
        ("one red on 5 V", 5.0, "red", 1, 0.0, 150.0),
    ] {
        let circuit = format!(
            "V1 p 0 dc {supply}\nR1 p s {resistor}\n{}Vq q 0 dc {switch}\n.op\n.control\nop\nprint i(Vq)\n.endc",
            lamps(model, count, "s", "q")
        );
        let simulated = simulate(&circuit)["i(vq)"];
        let forward = forward(model, 0.02);
        let given = [supply, count as f64, forward, switch, resistor];
        agree(what, ours("led-current", &given), simulated.abs() * 1000.0, 0.03);
    }
}

/// A capacitor across an open switch, a resistor as load: crest within 1 %.
#[test]
fn leakage_through_a_snubber() {
    for (farads, volts, hertz) in [(10e-9, 120.0, 60.0), (100e-9, 120.0, 60.0), (47e-9, 230.0, 50.0)] {
        let crest = volts * 2f64.sqrt();
        let circuit = format!(
            "V1 m 0 sin(0 {crest} {hertz})\nC1 m a {farads}\nR1 a 0 100\n\
             .tran 20u {} {} 20u\n.meas tran top max i(V1)",
            8.0 / hertz,
            6.0 / hertz
        );
        let top = simulate(&circuit)["top"];
        agree("snubber", ours("snubber-crest", &[farads * 1e6, volts, hertz]), top * 1000.0, 0.01);
    }
}

/// Across a string that would glow from a 100 nF snubber: the bleeder we work out keeps its lamps under 0.1 mA, three
/// times as much resistance does not.
#[test]
fn a_bleeder_of_the_right_size_keeps_a_string_dark() {
    let glow = |bleeder: f64| {
        let circuit = format!(
            "V1 m 0 sin(0 169.7 60)\nC1 m a 100n\nRb a 0 {bleeder}\n\
             Db1 a p ideal\nDb2 0 p ideal\nDb3 n a ideal\nDb4 n 0 ideal\nR1 p s 1500\n{}Vs t n 0\n\
             .tran 20u 0.2 0.15 20u\n.meas tran top max i(Vs)",
            lamps("white", 35, "s", "t")
        );
        simulate(&circuit)["top"]
    };
    let threshold = 35.0 * forward("white", 0.0001);
    let leakage_ma = ours("snubber-crest", &[0.1, 120.0, 60.0]) / 2f64.sqrt();
    let bleeder = ours("bleeder", &[threshold, leakage_ma]);
    assert!(glow(bleeder) < reckoning::switching::GLOW_A, "{} A through {bleeder} ohm", glow(bleeder));
    assert!(glow(3.0 * bleeder) > reckoning::switching::GLOW_A, "the check can fail");
}

/// A button's line: time until the pin reads high after release, within 1 %.
#[test]
fn a_filter_of_a_button() {
    let circuit = "V1 p 0 dc 5\nR1 p a 1430\nC1 a 0 1u ic=0\n.tran 1u 10m 0 1u uic\n\
                   .meas tran t when v(a)=3 rise=1";
    let simulated = simulate(circuit)["t"];
    agree("filter", ours("time-to-threshold", &[1430.0, 1.0, 5.0, 3.0]), simulated * 1000.0, 0.01);
}

/// The monostable behind the heartbeat: its capacitor goes from a third to two thirds of the supply through its resistor
/// (74HC4538 data sheet of another maker, circuit operation). With every part off the same way the simulator stays within
/// 1.5 % of the printed k of 0.7, on any supply.
#[test]
fn a_pulse_of_the_monostable() {
    for (supply, kohm, off) in [(5.0, 150.0, 0.0), (5.0, 150.0, -0.2), (5.0, 150.0, 0.2), (4.5, 100.0, 0.2)] {
        let resistor = kohm * 1e3 * (1.0 + off);
        let farads = 1e-6 * (1.0 + off);
        let circuit = format!(
            "V1 p 0 dc {supply}\nR1 p a {resistor}\nC1 a 0 {farads} ic={low}\n.tran 50u 0.5 0 50u uic\n\
             .meas tran t when v(a)={high} rise=1",
            low = supply / 3.0,
            high = supply * 2.0 / 3.0
        );
        let simulated = simulate(&circuit)["t"] * 1000.0;
        let given = [0.7, 0.0, kohm, off * 100.0, 1.0, off * 100.0];
        agree("pulse", ours("monostable-limit", &given), simulated, 0.015);
    }
}
