//! Published values of the electrical trade against the registered formulas: whole tables where a source prints one. The
//! source stands beside each check.
#![allow(clippy::panic, reason = "a test may fail")]

/// One published value: what goes in, what the source prints, how far its rounding lets us be off.
type Printed<'a> = (&'a [f64], f64, f64);

/// Holds printed values against a registered formula.
fn holds(name: &str, source: &str, values: &[Printed<'_>]) {
    let formula = reckoning::formula(name).unwrap_or_else(|| panic!("no formula {name}"));
    for (given, printed, within) in values {
        let ours = (formula.work)(given);
        assert!(
            (ours - printed).abs() <= *within,
            "{name} of {given:?} is {ours}; {source} prints {printed}"
        );
    }
}

#[test]
fn wire_diameters() {
    // Printed in mils by a wire tester's maker (12 to 30 AWG), 0.001 in = 0.0254 mm.
    let mils = [
        (12.0, 80.808),
        (14.0, 64.084),
        (16.0, 50.820),
        (18.0, 40.303),
        (20.0, 31.961),
        (22.0, 25.347),
        (24.0, 20.100),
        (26.0, 15.940),
        (28.0, 12.641),
        (30.0, 10.025),
    ];
    for (gauge, mils) in mils {
        holds("wire-diameter", "a printed wire table", &[(&[gauge], mils * 0.0254, 0.0005)]);
    }
    // Wikibooks, Engineering Tables, American Wire Gauge: 10 AWG is 0.1019 in.
    holds("wire-diameter", "Wikibooks, Engineering Tables", &[(&[10.0], 0.1019 * 25.4, 0.0013)]);
}

#[test]
fn solid_wire_at_20_degrees() {
    // Ohm per 1000 ft, printed by a wire tester's maker.
    let printed = [
        (12.0, 1.588),
        (14.0, 2.525),
        (16.0, 4.016),
        (18.0, 6.385),
        (20.0, 10.15),
        (22.0, 16.14),
        (24.0, 25.67),
        (26.0, 40.81),
        (28.0, 64.90),
        (30.0, 103.2),
    ];
    for (gauge, ohms) in printed {
        holds("solid-resistance", "a printed wire table", &[(&[gauge, 1000.0, 20.0], ohms, ohms * 0.001)]);
    }
    // Wikibooks, Engineering Tables, American Wire Gauge: 10 AWG is 3.277 ohm/km.
    holds("solid-resistance", "Wikibooks", &[(&[10.0, 1000.0 / 0.3048, 20.0], 3.277, 0.003)]);
    // OpenStax, University Physics vol. 2, ch. 9: 20.0 m of 2.053 mm (12 AWG) is 0.10 ohm.
    holds("solid-resistance", "OpenStax", &[(&[12.0, 20.0 / 0.3048, 20.0], 0.10, 0.005)]);
}

#[test]
fn solid_wire_warmed_to_75_degrees() {
    // NEC chapter 9 table 8, solid, uncoated, ohm per 1000 ft at 75 C; circular mils rounded, so 0.3 %.
    for (gauge, ohms) in [(18.0, 7.77), (16.0, 4.89), (14.0, 3.07), (12.0, 1.93), (10.0, 1.21), (8.0, 0.764)]
    {
        holds("solid-resistance", "NEC chapter 9 table 8", &[(&[gauge, 1000.0, 75.0], ohms, ohms * 0.004)]);
    }
}

#[test]
fn stranded_wire() {
    // NEC chapter 9 table 8, seven strands, uncoated, as printed.
    #[allow(clippy::approx_constant, reason = "3.14 ohm is the table's value for 14 AWG")]
    let printed = [(18.0, 7.95), (16.0, 4.99), (14.0, 3.14), (12.0, 1.98), (10.0, 1.24)];
    for (gauge, ohms) in printed {
        holds("wire-resistance", "NEC chapter 9 table 8", &[(&[gauge, 1000.0], ohms, 1e-9)]);
    }
    // Thinner sizes are not in that table; strands may cost up to 3 % over the printed solid wire (table 8 shows 2 to 3 %).
    let warm = 1.0 + 0.00393 * 55.0;
    for (gauge, solid) in [(20.0, 10.15), (22.0, 16.14), (24.0, 25.67)] {
        let printed = solid * warm;
        holds(
            "wire-resistance",
            "a printed wire table",
            &[(&[gauge, 1000.0], printed * 1.02, printed * 0.01)],
        );
    }
}

#[test]
fn voltage_lost() {
    holds("pair-drop", "a voltage drop page", &[(&[12.0, 150.0, 20.0, 20.0], 11.85, 0.05)]);
    // Printed as 6.4 V and 5.3 % of 120 V.
    holds("copper-drop", "a voltage drop page", &[(&[3.31, 30.48, 20.0, 20.0], 0.053 * 120.0, 0.06)]);
    // City and Guilds 2391 lesson: 18 mV/A/m.
    holds("tabled-drop", "City and Guilds 2391", &[(&[18.0, 16.0, 18.0], 5.184, 1e-9)]);
    // BS 7671 appendix 4 table 4Ab: 6.9 V for lighting; NEC 210.19(A) note: 3 % of 120 V.
    holds("drop-limit", "BS 7671, NEC", &[(&[230.0], 6.9, 1e-9), (&[120.0], 3.6, 1e-9)]);
}

#[test]
fn cords() {
    // Battery charger instructions, the whole printed table: (current, sizes at 25, 50, 100, 150 ft).
    let rows = [
        (1.9, [18.0, 18.0, 18.0, 16.0]),
        (2.0, [18.0, 18.0, 16.0, 14.0]),
        (3.0, [18.0, 18.0, 16.0, 14.0]),
        (4.0, [18.0, 18.0, 14.0, 12.0]),
        (5.0, [18.0, 16.0, 14.0, 12.0]),
        (6.0, [18.0, 16.0, 12.0, 10.0]),
        (8.0, [18.0, 14.0, 12.0, 10.0]),
        (10.0, [16.0, 14.0, 10.0, 8.0]),
        (12.0, [16.0, 12.0, 10.0, 8.0]),
        (14.0, [16.0, 12.0, 10.0, 8.0]),
        (16.0, [14.0, 12.0, 8.0, 8.0]),
        (18.0, [14.0, 12.0, 8.0, 6.0]),
    ];
    for (amps, sizes) in rows {
        for (feet, size) in [25.0, 50.0, 100.0, 150.0].into_iter().zip(sizes) {
            holds("cord-size", "battery charger instructions", &[(&[amps, feet], size, 0.0)]);
        }
    }
    // NEC table 400.5(A)(1), column A; the 18 AWG row from memory.
    for (gauge, amps) in [(18.0, 7.0), (16.0, 10.0), (14.0, 15.0), (12.0, 20.0)] {
        holds("cord-ampacity", "NEC table 400.5(A)(1)", &[(&[gauge], amps, 0.0)]);
    }
}

#[test]
fn branches() {
    // A lighting maker's load page and a trainer's page: 15 A is 12 A and 1440 W, 20 A is 16 A and 1920 W.
    holds("continuous-limit", "load pages", &[(&[15.0], 12.0, 1e-9), (&[20.0], 16.0, 1e-9)]);
    holds("branch-power", "load pages", &[(&[12.0, 120.0], 1440.0, 1e-9), (&[16.0, 120.0], 1920.0, 1e-9)]);
    holds("least-breaker", "NEC 210.19(A)(1)", &[(&[16.0, 0.0], 20.0, 1e-9), (&[12.0, 0.0], 15.0, 1e-9)]);
    // BS 7671 531.3.2.
    holds("leakage-limit", "BS 7671 531.3.2", &[(&[30.0], 9.0, 1e-9)]);
    // String instruction sheet: 0.2 A is 24 W; 3 A fuse: 216 W. Mini lamp 2.5 V, 0.425 W.
    holds(
        "label-current",
        "a string's instruction sheet",
        &[
            (&[24.0, 120.0], 0.2, 1e-9),
            (&[216.0, 120.0], 1.8, 1e-9),
            (&[0.425, 2.5], 0.17, 1e-9),
            (&[4.8, 120.0], 0.04, 1e-9),
        ],
    );
}

#[test]
fn seasons() {
    // OpenStax, University Physics vol. 2, ch. 9: 109.5 kWh for 10.95, 21.90 kWh for 2.19.
    holds(
        "night-energy",
        "OpenStax",
        &[(&[100.0, 3.0, 365.0], 109.5, 1e-6), (&[20.0, 3.0, 365.0], 21.90, 1e-6)],
    );
    holds("energy-cost", "OpenStax", &[(&[109.5, 0.10], 10.95, 0.001), (&[21.90, 0.10], 2.19, 0.001)]);
    // Theraja, Electrical Technology vol. III, example 49.5.
    holds("night-energy", "Theraja, example 49.5", &[(&[200.0, 2500.0, 1.0], 500.0, 1e-6)]);
    holds("energy-cost", "Theraja, example 49.5", &[(&[500.0, 0.30], 150.0, 1e-6)]);
}

#[test]
fn preferred_resistors() {
    // IEC 60063, E24, as printed by two public lists: every value is its own next value.
    let printed = [
        10.0, 11.0, 12.0, 13.0, 15.0, 16.0, 18.0, 20.0, 22.0, 24.0, 27.0, 30.0, 33.0, 36.0, 39.0, 43.0, 47.0,
        51.0, 56.0, 62.0, 68.0, 75.0, 82.0, 91.0,
    ];
    for pair in printed.windows(2) {
        for decade in [1.0, 10.0, 1000.0] {
            let (value, next) = (pair[0] * decade, pair[1] * decade);
            holds("e24-up", "IEC 60063", &[(&[value], value, 1e-6), (&[value * 1.001], next, 1e-6)]);
        }
    }
    holds("e24-up", "IEC 60063", &[(&[91.5], 100.0, 1e-6)]);
}

#[test]
fn leds() {
    holds(
        "series-resistor",
        "resistor pages; Grob's example 27-9",
        &[
            (&[5.0, 1.0, 2.0, 0.0, 20.0], 150.0, 1e-6),
            (&[12.0, 1.0, 3.2, 0.0, 20.0], 440.0, 1e-6),
            (&[24.0, 1.0, 2.0, 0.0, 25.0], 880.0, 1e-6),
        ],
    );
    holds(
        "led-current",
        "Malvino and Bates, examples 5-12 and 5-13",
        &[(&[50.0, 1.0, 2.0, 0.0, 2200.0], 21.82, 0.01), (&[9.0, 1.0, 2.0, 0.0, 470.0], 14.89, 0.01)],
    );
    holds(
        "resistor-watts",
        "a resistor page",
        &[(&[20.0, 470.0], 188.0, 0.01), (&[20.0, 150.0], 60.0, 0.01)],
    );
    holds("crest-current", "Malvino and Bates, example 5-14", &[(&[20.0, 0.0, 680.0], 41.59, 0.01)]);
    holds(
        "half-wave-mean",
        "Malvino and Bates, examples 5-14 and 5-15",
        &[(&[41.59], 13.24, 0.01), (&[43.5], 13.85, 0.01)],
    );
    holds("resistor-heat", "Malvino and Bates, example 5-14", &[(&[20.0, 680.0], 0.59, 0.005)]);
    holds("reactance", "Malvino and Bates, example 5-15", &[(&[0.68, 60.0], 3.90, 0.005)]);
    holds("snubber-crest", "Malvino and Bates, example 5-15", &[(&[0.68, 120.0, 60.0], 43.5, 0.1)]);
}

#[test]
fn digits() {
    // Bell, Electronic Instrumentation and Measurements, example 5-3.
    holds(
        "segments-current",
        "Bell, example 5-3",
        &[(&[7.0, 20.0], 140.0, 1e-9), (&[2.0, 20.0], 40.0, 1e-9), (&[23.0, 20.0], 460.0, 1e-9)],
    );
    // Truth table printed by two reference pages, order a b c d e f g.
    let table = [
        "1111110", "0110000", "1101101", "1111001", "0110011", "1011011", "1011111", "1110000", "1111111",
        "1111011",
    ];
    for (digit, row) in (0u32..).zip(table) {
        let bits: Vec<f64> = row.chars().map(|c| if c == '1' { 1.0 } else { 0.0 }).collect();
        let code: f64 = bits.iter().rev().fold(0.0, |code, bit| code * 2.0 + bit);
        let digit = f64::from(digit);
        holds("segment-code", "two reference pages", &[(&[digit], code, 0.0)]);
        holds("segments-lit", "two reference pages", &[(&[digit], bits.iter().sum(), 0.0)]);
    }
    // The same table as bytes for common anodes, every bit turned, printed by an electronics page.
    let common_anode = [0xC0, 0xF9, 0xA4, 0xB0, 0x99, 0x92, 0x82, 0xF8, 0x80, 0x90];
    for (digit, byte) in (0u32..).zip(common_anode) {
        assert_eq!(!reckoning::segments::code(digit), byte, "digit {digit}");
    }
}

#[test]
fn heat() {
    holds(
        "junction",
        "Sugandhi, example 3.1; Gupta and Singhal, example 2.24",
        &[(&[50.0, 150.0, 0.02 + 0.05 + 0.08], 72.5, 1e-6), (&[93.0, 75.0, 0.627], 140.0, 0.1)],
    );
    holds("allowed-power", "Sugandhi, example 3.4", &[(&[120.0, 45.0, 0.1 + 0.08], 416.67, 0.01)]);
    holds(
        "switch-heat",
        "Gupta and Singhal, example 2.16",
        &[
            (&[0.9, 0.02, 20.0, 20.0], 26.0, 1e-6),
            (&[0.9, 0.02, 20.0, 31.416], 37.74, 0.02),
            (&[0.9, 0.02, 10.0, 14.142], 13.0, 0.01),
            (&[0.9, 0.02, 6.6667, 11.547], 8.67, 0.01),
        ],
    );
    // ULN2003/2803-class data sheet.
    holds(
        "array-saturation",
        "ULN2803-class data sheet",
        &[(&[100.0], 1.1, 1e-9), (&[200.0], 1.3, 1e-9), (&[350.0], 1.6, 1e-9)],
    );
}

#[test]
fn contacts_and_filters() {
    holds(
        "time-constant",
        "an article on RC debouncing",
        &[(&[51.0, 1.0], 51.0, 1e-9), (&[22.0, 1.0], 22.0, 1e-9)],
    );
    holds(
        "time-to-threshold",
        "textbook exercise on wiper timing",
        &[(&[8624.18, 110.0, 12.0, 10.0], 1700.0, 1.0)],
    );
    // A lamp driver application note: 10 to 12 times. A relay maker's page: ten times.
    holds("filament-inrush", "application notes", &[(&[1.0, 10.0], 10.0, 1e-9), (&[1.0, 12.0], 12.0, 1e-9)]);
    // IEEE 1789-2015 as printed by a lighting glossary; ATmega328P serial clock.
    holds("low-risk-modulation", "IEEE 1789-2015", &[(&[100.0], 8.0, 1e-9), (&[1250.0], 100.0, 1e-9)]);
    holds("frame-time", "ATmega328P data sheet", &[(&[1.0, 8000.0], 0.125, 1e-9)]);
}
