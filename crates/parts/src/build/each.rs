//! The parts whose fields are their keys: a table of fields for each, and what must agree among them.

use super::{Held, Part, Written, choice};
use crate::{
    CableKind, Controller, Cord, Cover, DriverBoard, Hardware, Led, PushButton, RegisterBoard, Resistor,
    Rope, SheetGood, Supply, SwitchBox, Switching, Transistor,
};
use finding::Fault;
use quantity::{ElectricCurrent, Length};

choice!(Switching, "relay" => Switching::Relay, "triac" => Switching::Triac);
choice!(Transistor, "mosfet" => Transistor::Mosfet, "darlington" => Transistor::Darlington);

/// A part by its fields. `field = "key"` must be written or known; `field = "key" or value` may be left out. The keys in
/// front of `;` are ratings, those after it are not.
macro_rules! part {
    ($kind:ident { $($field:ident = $key:literal $(or $default:expr)?),+ ; $($own:ident = $value:expr),* $(,)? }
     $written:ident, $base:ident, $faults:ident $(, $check:expr)?) => {
        impl Part for $kind {
            fn build($written: &Written<'_>, $base: Option<&Self>, $faults: &mut Vec<Fault>) -> Option<Self> {
                let built = Self {
                    name: $written.name.to_owned(),
                    source: $written.source($base.map(|base| base.source.as_str()), &[$($key),+]),
                    $($field: part!(@field $written, $base, $field, $key $(, $default)?),)+
                    $($own: $value,)*
                };
                let agree: &[fn(&Self, &Written<'_>, &mut Vec<Fault>)] = &[$($check)?];
                for check in agree {
                    check(&built, $written, $faults);
                }
                Some(built)
            }
        }
    };
    (@field $written:ident, $base:ident, $field:ident, $key:literal) => {
        Held::held($written.values, $key).or_else(|| $base.map(|base| base.$field.clone()))?
    };
    (@field $written:ident, $base:ident, $field:ident, $key:literal, $default:expr) => {
        Held::held($written.values, $key).or_else(|| $base.map(|base| base.$field.clone())).unwrap_or($default)
    };
}

/// How many are on the shelf.
fn have(written: &Written<'_>, base: Option<u32>) -> u32 {
    Held::held(written.values, "have").or(base).unwrap_or(0)
}

fn no_current() -> ElectricCurrent {
    ElectricCurrent::new::<quantity::unit::ampere>(0.0)
}

part!(SheetGood {
    width = "width", height = "height", thickness = "thickness", mass = "mass" or None, wood_based = "wood-based";
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

part!(Supply {
    voltage = "voltage", current = "current", listed = "listed" or None,
    leakage = "leakage" or ElectricCurrent::new::<quantity::unit::milliampere>(0.25);
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

part!(DriverBoard {
    labels = "outputs", output_current = "output-current", total_current = "total-current", voltage = "voltage",
    switch = "switch" or Transistor::Mosfet;
    have = have(written, base.map(|base| base.have)),
} written, base, faults, |board, written, faults| {
    let twice = board.labels.iter().enumerate().find(|(index, label)| board.labels[..*index].contains(label));
    if let Some((_, label)) = twice {
        let message = format!("`{}` stands beside two outputs", label.escape_debug());
        written.note("outputs", "part/label-twice", &message, "every output has a label of its own", faults);
    }
    one_and_all(board.output_current, board.total_current, "output-current", "board", written, faults);
});

part!(RegisterBoard {
    outputs = "outputs", output_current = "output-current", total_current = "total-current", voltage = "voltage";
    have = have(written, base.map(|base| base.have)),
} written, base, faults, |board, written, faults| {
    one_and_all(board.output_current, board.total_current, "output-current", "board", written, faults);
});

part!(SwitchBox {
    outlets = "outlets", voltage = "voltage", outlet_current = "outlet-current", total_current = "total-current",
    switching = "switching", least_current = "least-current" or no_current(),
    off_leakage = "off-leakage" or no_current(), control_voltage = "control-voltage",
    control_current = "control-current", isolated = "isolated",
    leakage = "leakage" or ElectricCurrent::new::<quantity::unit::milliampere>(0.25), listed = "listed" or None;
    have = have(written, base.map(|base| base.have)),
} written, base, faults, |part, written, faults| {
    one_and_all(part.outlet_current, part.total_current, "outlet-current", "box", written, faults);
    let unsaid = part.least_current.value <= 0.0 || part.off_leakage.value <= 0.0;
    if part.switching == Switching::Triac && unsaid {
        written.note(
            "switching",
            "part/triac-unsaid",
            "a box with triacs has a `least-current` that keeps it on and an `off-leakage`",
            "read both off its sheet; where it does not say, take 50 mA and 5 mA",
            faults,
        );
    }
});

part!(Led {
    voltage = "voltage", current = "current", hole = "hole" or Length::new::<quantity::unit::millimeter>(5.0);
    colour = written.colour(base.map(|base| base.colour.as_str()), faults),
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

part!(Resistor { power = "power"; have = have(written, base.map(|base| base.have)) } written, base, faults);

part!(Cord {
    size = "size", length = "length", current = "current", voltage = "voltage", listed = "listed" or None;
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

part!(PushButton {
    lamp_voltage = "lamp-voltage" or None, lamp_current = "lamp-current" or no_current(), hole = "hole";
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

part!(CableKind {
    conductors = "conductors", size = "size", outdoor = "outdoor";
    have = Held::held(written.values, "have").or(base.map(|base| base.have)).unwrap_or_default(),
} written, base, faults);

part!(Rope {
    diameter = "diameter", breaking = "breaking", mass_per_metre = "mass-per-metre", stretch = "stretch";
    have = Held::held(written.values, "have").or(base.map(|base| base.have)).unwrap_or_default(),
} written, base, faults);

part!(Cover {
    width = "width", height = "height", depth = "depth", drilled = "drilled";
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

part!(Hardware {
    what = "what", pack = "pack" or 1;
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

part!(Controller {
    chip = "chip", clock_hz = "clock-hz", current = "current";
    button_pins = match written.values.entry("button-pins") {
        Some(_) => {
            let pins = written.values.list("button-pins").iter();
            pins.filter_map(|entry| pin(entry, faults)).collect()
        }
        None => base?.button_pins.clone(),
    },
    have = have(written, base.map(|base| base.have)),
} written, base, faults);

/// One output or outlet never carries more than the whole.
fn one_and_all(
    one: ElectricCurrent,
    all: ElectricCurrent,
    key: &str,
    what: &str,
    written: &Written<'_>,
    faults: &mut Vec<Fault>,
) {
    if one > all {
        let message = format!("one output cannot carry more than the whole {what}");
        written.note(key, "part/board-current", &message, "", faults);
    }
}

/// One pin: label on the board, then port and bit.
fn pin(entry: &crate::reader::Entry, faults: &mut Vec<Fault>) -> Option<(String, String)> {
    let words: Vec<&str> = entry.words()?.split_whitespace().collect();
    if let [label, port] = words[..] {
        let bits = port.as_bytes();
        if matches!(bits, [b'P', b'A'..=b'L', b'0'..=b'7']) {
            return Some((label.to_owned(), port.to_owned()));
        }
    }
    let message = "a pin is its label on the board, then its port and bit";
    faults.push(Fault::new("part/pin", Some(entry.place.clone()), message).hint("write it as `D2 PD2`"));
    None
}
