//! From checked values to parts; a part that is known already is corrected by what is written.

use crate::keys::{COLOUR, HOLE};
use crate::reader::{Entry, Values};
use crate::{Controller, DriverBoard, SheetGood, Strand, Supply};
use finding::Fault;
use quantity::{ElectricCurrent, ElectricPotential, Length};

/// The keys of a strand that are ratings; whoever writes one is the source.
const STRAND_RATINGS: [&str; 7] = ["lamps", "pitch", "lead", "hole", "voltage", "current", "power"];

/// A kind of part that can be read.
pub(crate) trait Part: Sized + Clone {
    /// The part, or nothing when a needed value could not be read.
    fn build(
        name: &str,
        entry: &Entry,
        values: &Values,
        base: Option<&Self>,
        faults: &mut Vec<Fault>,
    ) -> Option<Self>;
}

/// Where the ratings of a part were read.
fn source(entry: &Entry, values: &Values, base: Option<&str>, ratings: &[&str]) -> String {
    if let Some(written) = values.words("source") {
        return written.value;
    }
    match base {
        Some(base) if !ratings.iter().any(|key| values.entry(key).is_some()) => base.to_owned(),
        Some(base) => format!("{}, {}; the rest: {base}", entry.place.file, entry.path),
        None => format!("{}, {}", entry.place.file, entry.path),
    }
}

/// A length as written or as known.
fn length(values: &Values, key: &str, base: Option<Length>) -> Option<Length> {
    values.length(key).map(|known| known.value).or(base)
}

/// A current as written or as known.
fn current(values: &Values, key: &str, base: Option<ElectricCurrent>) -> Option<ElectricCurrent> {
    values.current(key).map(|known| known.value).or(base)
}

/// A voltage as written or as known.
fn voltage(values: &Values, base: Option<ElectricPotential>) -> Option<ElectricPotential> {
    values.voltage("voltage").map(|known| known.value).or(base)
}

/// A whole number as written or as known.
fn whole(values: &Values, key: &str, base: Option<u32>) -> Option<u32> {
    values.whole(key).map(|known| known.value).or(base)
}

/// The current of a strand: from its label, or from power and voltage on it.
fn strand_current(
    entry: &Entry,
    values: &Values,
    voltage: Option<ElectricPotential>,
    base: Option<&Strand>,
    faults: &mut Vec<Fault>,
) -> Option<ElectricCurrent> {
    match (values.entry("current"), values.entry("power")) {
        (Some(_), Some(power)) => {
            let message = "a strand has `current` or `power`, not both, so that they cannot disagree";
            faults.push(Fault::new("part/both-ratings", Some(power.key.clone()), message));
            None
        }
        (None, Some(_)) => Some(values.power("power")?.value / voltage?),
        (Some(_), None) => current(values, "current", None),
        (None, None) => {
            if base.is_none() {
                let message = "`current` is missing: a strand needs the current or the power on its label";
                let fault = Fault::new("key/missing", Some(entry.key.clone()), message);
                faults
                    .push(fault.hint("add `current = \"0.34 A\"` or `power = \"4.8 W\"`, as its label says"));
            }
            base.map(|base| base.current)
        }
    }
}

/// A colour as `#rrggbb`.
fn colour(values: &Values, base: Option<&str>, faults: &mut Vec<Fault>) -> String {
    let known = base.unwrap_or(COLOUR).to_owned();
    let Some(entry) = values.entry("colour") else { return known };
    let written = entry.words().unwrap_or_default();
    let digits = written.strip_prefix('#').unwrap_or_default();
    if digits.len() == 6 && digits.chars().all(|c| c.is_ascii_hexdigit()) {
        return written.to_lowercase();
    }
    let message = format!("`{written}` is not a colour that can be drawn");
    faults.push(Fault::new("part/colour", Some(entry.place.clone()), message).hint("write it as `#ffd9a0`"));
    known
}

impl Part for Strand {
    fn build(
        name: &str,
        entry: &Entry,
        values: &Values,
        base: Option<&Self>,
        faults: &mut Vec<Fault>,
    ) -> Option<Self> {
        let voltage = voltage(values, base.map(|base| base.voltage));
        let current = strand_current(entry, values, voltage, base, faults);
        let colour = colour(values, base.map(|base| base.colour.as_str()), faults);
        let hole = length(values, "hole", base.map(|base| base.hole));
        let mut source = source(entry, values, base.map(|base| base.source.as_str()), &STRAND_RATINGS);
        if values.entry("hole").is_none() && base.is_none() {
            source.push_str("; hole not measured: 5/16 in by default");
        }
        Some(Self {
            name: name.to_owned(),
            lamps: whole(values, "lamps", base.map(|base| base.lamps))?,
            pitch: length(values, "pitch", base.map(|base| base.pitch))?,
            lead: length(values, "lead", base.map(|base| base.lead))?,
            hole: hole.or_else(|| quantity::length(HOLE).ok())?,
            voltage: voltage?,
            current: current?,
            colour,
            have: whole(values, "have", base.map(|base| base.have)).unwrap_or(0),
            source,
        })
    }
}

impl Part for SheetGood {
    fn build(
        name: &str,
        entry: &Entry,
        values: &Values,
        base: Option<&Self>,
        _: &mut Vec<Fault>,
    ) -> Option<Self> {
        let ratings = ["width", "height", "thickness", "wood-based"];
        Some(Self {
            name: name.to_owned(),
            width: length(values, "width", base.map(|base| base.width))?,
            height: length(values, "height", base.map(|base| base.height))?,
            thickness: length(values, "thickness", base.map(|base| base.thickness))?,
            wood_based: values
                .flag("wood-based")
                .map(|known| known.value)
                .or(base.map(|base| base.wood_based))?,
            source: source(entry, values, base.map(|base| base.source.as_str()), &ratings),
        })
    }
}

impl Part for Supply {
    fn build(
        name: &str,
        entry: &Entry,
        values: &Values,
        base: Option<&Self>,
        _: &mut Vec<Fault>,
    ) -> Option<Self> {
        let ratings = ["voltage", "current", "listed"];
        Some(Self {
            name: name.to_owned(),
            voltage: voltage(values, base.map(|base| base.voltage))?,
            current: current(values, "current", base.map(|base| base.current))?,
            listed: values
                .words("listed")
                .map(|known| known.value)
                .or(base.and_then(|base| base.listed.clone())),
            source: source(entry, values, base.map(|base| base.source.as_str()), &ratings),
        })
    }
}

impl Part for DriverBoard {
    fn build(
        name: &str,
        entry: &Entry,
        values: &Values,
        base: Option<&Self>,
        faults: &mut Vec<Fault>,
    ) -> Option<Self> {
        let ratings = ["outputs", "output-current", "total-current", "voltage"];
        let board = Self {
            name: name.to_owned(),
            outputs: whole(values, "outputs", base.map(|base| base.outputs))?,
            output_current: current(values, "output-current", base.map(|base| base.output_current))?,
            total_current: current(values, "total-current", base.map(|base| base.total_current))?,
            voltage: voltage(values, base.map(|base| base.voltage))?,
            source: source(entry, values, base.map(|base| base.source.as_str()), &ratings),
        };
        if board.output_current > board.total_current {
            let place = values.entry("output-current").map_or(&entry.key, |entry| &entry.place).clone();
            let message = "one output cannot carry more than the whole board";
            faults.push(Fault::new("part/board-current", Some(place), message));
        }
        Some(board)
    }
}

impl Part for Controller {
    fn build(
        name: &str,
        entry: &Entry,
        values: &Values,
        base: Option<&Self>,
        faults: &mut Vec<Fault>,
    ) -> Option<Self> {
        let ratings = ["chip", "clock-hz", "current", "button-pins"];
        let pins = match values.entry("button-pins") {
            Some(_) => values.list("button-pins").iter().filter_map(|entry| pin(entry, faults)).collect(),
            None => base?.button_pins.clone(),
        };
        Some(Self {
            name: name.to_owned(),
            chip: values.words("chip").map(|known| known.value).or(base.map(|base| base.chip.clone()))?,
            clock_hz: whole(values, "clock-hz", base.map(|base| base.clock_hz))?,
            current: current(values, "current", base.map(|base| base.current))?,
            button_pins: pins,
            source: source(entry, values, base.map(|base| base.source.as_str()), &ratings),
        })
    }
}

/// One pin: label on the board, then port and bit.
fn pin(entry: &Entry, faults: &mut Vec<Fault>) -> Option<(String, String)> {
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
