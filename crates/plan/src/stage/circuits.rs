//! Power from the house: what each circuit, cord and ground-fault device bears, with everything lit and in the worst pose.
//!
//! Nothing here is built or opened: cords are bought whole, devices are there or are plugged in.

use crate::note::{Also, amperes, finding, rating, used, value, worked, working, works_out};
use crate::stage::lit;
use crate::{Channel, CircuitUse, CordUse, Origins, SupplyUse, SwitchBoxUse};
use finding::{Finding, Origin, Severity, Sheet};
use quantity::{Show as _, Units};
use reckoning::of::{amperes as amps, metres, volts};
use reckoning::{cord, mains, wire};
use serde::Serialize;
use source::KeyPath;
use uom::si::area::square_millimeter;
use uom::si::f64::Area;

/// What a danger of the mains side withholds: whatever would be plugged in by it.
const PLUGGED: [Sheet; 3] = [Sheet::Wiring, Sheet::Firmware, Sheet::PutUp];

/// Trip current of a class A device that the leakage is held against: the middle of its 4 to 6 mA (UL 943).
const CLASS_A_A: f64 = 0.005;
/// The same of a residual-current device of 30 mA.
const RCD_A: f64 = 0.030;

/// What of the mains power a supply takes comes out of it. From memory: 80 % and more for small listed adapters.
const SUPPLY_EFFICIENCY: f64 = 0.8;

/// The greatest breaker that cords of 16 AWG and more count as protected by, though they are rated for less.
const GREATEST_BREAKER_A: f64 = 20.0;
/// Where that stands.
const CORD_SETS: &str = "NEC 240.5(B)(3): listed cord sets within their listing; (4): cords made of listed parts, 16 AWG and larger on 20 A; both as quoted in a code column of a trade magazine, 2008";
/// Thinnest cord for a circuit of 15 A or 20 A that is made of parts, mm2: 16 AWG, NEC 240.5(B)(4).
const THINNEST_MM2: f64 = 1.3;

/// The ground-fault device of a circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(crate) enum Device {
    /// Class A, 4 to 6 mA.
    ClassA,
    /// A residual-current device of 30 mA, type A.
    Rcd30,
    /// None.
    Missing,
}

/// A circuit as asked for.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct House {
    pub(crate) name: String,
    pub(crate) breaker_a: f64,
    pub(crate) device: Device,
    pub(crate) device_words: String,
    /// Size of the cord as written, its section, what it carries by its label (or the table), its length.
    pub(crate) cord: String,
    pub(crate) cord_mm2: f64,
    pub(crate) cord_mm: f64,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) mains_v: f64,
    pub(crate) houses: Vec<House>,
    pub(crate) channels: &'a [Channel],
    pub(crate) boxes: &'a [SwitchBoxUse],
    pub(crate) box_leakage_a: f64,
    pub(crate) supply: &'a SupplyUse,
    pub(crate) supply_leakage_a: f64,
    pub(crate) units: Units,
    /// The circuit that feeds the supply; none where none is named.
    pub(crate) supply_circuit: Option<String>,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Circuits {
    pub(crate) circuits: Vec<CircuitUse>,
    /// Where it came from, by place in the plan.
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Circuits {
    let mut done = Circuits::default();
    for house in &input.houses {
        let circuit = circuit(input, house);
        overload(input, &circuit, &mut done.findings);
        ground_fault(house, &circuit, &mut done.findings);
        leakage(input, house, &circuit, &mut done.findings);
        cord_checks(input, house, &circuit, &mut done.findings);
        origins(done.circuits.len(), &house.name, &mut done.origins);
        done.circuits.push(circuit);
    }
    for part in input.boxes {
        if !input.houses.iter().any(|house| house.name == part.circuit) {
            done.findings.push(unfed(part));
        }
    }
    done
}

fn origins(index: usize, name: &str, origins: &mut Origins) {
    let at = |key: &str| format!("/circuits/{index}/{key}");
    for (key, formula, inputs) in [
        ("allowed_a", "continuous-limit", "breaker"),
        ("all_lit_a", "total-current", "channels and supply"),
        ("worst_pose_a", "total-current", "channels of the poses that draw most, and supply"),
        ("leakage_a", "standing-leakage", "boxes and supplies"),
        ("leakage_limit_a", "leakage-limit", "trip current"),
        ("cord/rated_a", "cord-ampacity", "size"),
        ("cord/drop_v", "copper-drop", "size, length, everything lit"),
    ] {
        works_out(origins, &[&at(key)], formula, &[inputs]);
    }
    for (key, from) in [
        ("breaker_a", "breaker"),
        ("ground_fault", "ground-fault"),
        ("cord/size", "cord.size"),
        ("cord/length_mm", "cord.length"),
    ] {
        origins.note(at(key), written(name, from));
    }
}

/// The channels whose outlets hang on a circuit.
fn channels<'a>(input: &'a Input<'_>, name: &'a str) -> impl Iterator<Item = &'a Channel> {
    input.channels.iter().filter(move |channel| {
        let part = channel.outlet.as_ref().and_then(|outlet| input.boxes.get(outlet.switch_box));
        part.is_some_and(|part| part.circuit == name)
    })
}

/// Current that the supply takes from the mains.
fn supply_a(input: &Input<'_>, name: &str) -> f64 {
    if input.supply_circuit.as_deref() != Some(name) || input.mains_v <= 0.0 {
        return 0.0;
    }
    let power = amps(input.supply.needed_a) * volts(input.supply.voltage_v) / SUPPLY_EFFICIENCY;
    reckoning::load::label_current(power, volts(input.mains_v)).value
}

fn circuit(input: &Input<'_>, house: &House) -> CircuitUse {
    let own = |channel: &Channel| channel.current_a;
    let supply = supply_a(input, &house.name);
    let all_lit = lit::all(channels(input, &house.name), own) + supply;
    let mut feeds: Vec<String> =
        input.boxes.iter().filter(|part| part.circuit == house.name).map(|part| part.label.clone()).collect();
    let mut leakage = mains::standing_leakage(count(feeds.len()), amps(input.box_leakage_a)).value;
    if input.supply_circuit.as_deref() == Some(house.name.as_str()) {
        feeds.push(format!("supply {}", input.supply.part));
        leakage += input.supply_leakage_a;
    }
    let trip = if house.device == Device::Rcd30 { RCD_A } else { CLASS_A_A };
    CircuitUse {
        name: house.name.clone(),
        voltage_v: input.mains_v,
        breaker_a: house.breaker_a,
        allowed_a: mains::continuous_limit(amps(house.breaker_a)).value,
        all_lit_a: all_lit,
        worst_pose_a: lit::worst(channels(input, &house.name), own) + supply,
        ground_fault: house.device_words.clone(),
        leakage_a: leakage,
        leakage_limit_a: mains::leakage_limit(amps(trip)).value,
        cord: CordUse {
            size: house.cord.clone(),
            length_mm: house.cord_mm,
            rated_a: carried(house.cord_mm2),
            drop_v: lost(house, all_lit),
        },
        feeds,
    }
}

fn count(things: usize) -> u32 {
    u32::try_from(things).unwrap_or(u32::MAX)
}

/// What a cord of a section carries: the gauge at or below it in NEC table 400.5(A)(1), which is the lower of the two
/// schemes.
fn carried(section_mm2: f64) -> f64 {
    let thinner = cord::SIZES_AWG
        .into_iter()
        .rev()
        .filter(|&gauge| wire::section(gauge).get::<square_millimeter>() <= section_mm2 * 1.02);
    let rated = thinner.filter_map(|gauge| cord::ampacity(gauge).map(|carried| carried.value));
    rated.fold(0.0, f64::max)
}

/// Voltage lost in the cord, out and back, warm (75 C).
fn lost(house: &House, current: f64) -> f64 {
    let one =
        wire::copper(Area::new::<square_millimeter>(house.cord_mm2), metres(house.cord_mm / 1000.0), 75.0);
    (one * amps(2.0 * current)).value
}

fn overload(input: &Input<'_>, circuit: &CircuitUse, findings: &mut Vec<Finding>) {
    if circuit.all_lit_a <= circuit.allowed_a {
        return;
    }
    findings.push(
        finding(
            "power/circuit-overloaded",
            Severity::Danger,
            "power",
            &[&circuit.name],
            format!(
                "With everything lit circuit {} carries {}; for hours it may carry {}",
                circuit.name,
                amperes(circuit.all_lit_a),
                amperes(circuit.allowed_a)
            ),
        )
        .working(working(
            "continuous-limit",
            vec![
                value("breaker", amperes(circuit.breaker_a), written(&circuit.name, "breaker")),
                value(
                    "everything lit",
                    amperes(circuit.all_lit_a),
                    worked("total-current", &["channels", "supply"]),
                ),
            ],
            amperes(circuit.allowed_a),
            Some((amperes(circuit.allowed_a), format!("80 % of the breaker at {} V", input.mains_v))),
            Some(used(circuit.all_lit_a, circuit.allowed_a)),
        ))
        .cure(
            "Feed a panel from another circuit of the house, or light it with fewer or smaller strands",
            None,
        )
        .withholds(&PLUGGED),
    );
}

fn written(circuit: &str, key: &str) -> Origin {
    Origin::Written {
        file: "display.toml".into(),
        path: KeyPath::dotted(&format!("circuit.{circuit}.{key}")),
    }
}

fn ground_fault(house: &House, circuit: &CircuitUse, findings: &mut Vec<Finding>) {
    if house.device != Device::Missing || circuit.feeds.is_empty() {
        return;
    }
    let class = if circuit.voltage_v > 180.0 { "RCD 30 mA type A" } else { "class A" };
    findings.push(
        finding(
            "power/no-ground-fault",
            Severity::Danger,
            "power",
            &[&house.name],
            format!("Circuit {} has no ground-fault device, and it feeds a display outdoors", house.name),
        )
        .cure(
            &format!(
                "Plug a listed portable ground-fault device ({class}) in ahead of everything, or use an outlet that has one; press its test button, then write it down"
            ),
            None,
        )
        .withholds(&PLUGGED),
    );
}

fn leakage(input: &Input<'_>, house: &House, circuit: &CircuitUse, findings: &mut Vec<Finding>) {
    if house.device == Device::Missing || circuit.leakage_a <= circuit.leakage_limit_a {
        return;
    }
    let milli = |value: f64| format!("{:.2} mA", value * 1000.0);
    findings.push(
        finding(
            "power/leakage",
            Severity::Danger,
            "power",
            &[&house.name],
            format!(
                "{} leak all the time on circuit {}; {} may, or the device may open on a wet night though nothing is broken",
                milli(circuit.leakage_a),
                house.name,
                milli(circuit.leakage_limit_a)
            ),
        )
        .working(working(
            "standing-leakage",
            vec![
                value(
                    "things",
                    circuit.feeds.len().to_string(),
                    worked("standing-leakage", &["boxes", "supplies"]),
                ),
                value("leakage of one", milli(input.box_leakage_a), rating("switch box", "leakage")),
                value(
                    "leakage of the supply",
                    milli(input.supply_leakage_a),
                    rating(&input.supply.part, "leakage"),
                ),
            ],
            milli(circuit.leakage_a),
            Some((
                milli(circuit.leakage_limit_a),
                "BS 7671 531.3.2, taken over for class A (common practice)".into(),
            )),
            Some(used(circuit.leakage_a, circuit.leakage_limit_a)),
        ))
        .cure("Share the boxes out over two circuits, each with its own device", None)
        .withholds(&PLUGGED),
    );
}

fn cord_checks(input: &Input<'_>, house: &House, circuit: &CircuitUse, findings: &mut Vec<Finding>) {
    let (cord, all) = (&circuit.cord, circuit.all_lit_a);
    if all > cord.rated_a {
        findings.push(
            finding(
                "power/cord-overloaded",
                Severity::Danger,
                "power",
                &[&house.name],
                format!(
                    "The cord of circuit {} ({}) would carry {}; it may carry {}",
                    house.name,
                    cord.size,
                    amperes(all),
                    amperes(cord.rated_a)
                ),
            )
            .working(working(
                "cord-ampacity",
                vec![value("size", cord.size.clone(), written(&house.name, "cord.size"))],
                amperes(cord.rated_a),
                Some((
                    amperes(cord.rated_a),
                    "NEC table 400.5(A)(1); the cord's own label may say less".into(),
                )),
                Some(used(all, cord.rated_a.max(0.001))),
            ))
            .cure(&format!("{}, or a second one from another circuit", thicker(input, house, all)), None)
            .withholds(&PLUGGED),
        );
    } else if house.breaker_a > GREATEST_BREAKER_A && cord.rated_a < house.breaker_a {
        findings.push(unprotected(input, house, circuit));
    } else if house.cord_mm2 < THINNEST_MM2 && !circuit.feeds.is_empty() {
        let verdict = format!(
            "The cord of circuit {} ({}) is thinner than 16 AWG: a breaker of {} protects it only as a listed cord set, within what its own label says ({CORD_SETS})",
            house.name,
            cord.size,
            amperes(house.breaker_a)
        );
        findings.push(
            finding("power/cord-thin", Severity::Caution, "power", &[&house.name], verdict)
                .cure(&thicker(input, house, all), None),
        );
    }
    drop_check(input, house, circuit, findings);
}

/// A breaker that lets more through than the cord bears. In the scheme of 230 V a fuse may stand in the plug, which is not
/// written anywhere: that is said, not refused.
fn unprotected(input: &Input<'_>, house: &House, circuit: &CircuitUse) -> Finding {
    let (cord, breaker) = (&circuit.cord, amperes(house.breaker_a));
    let rated = amperes(cord.rated_a);
    if input.mains_v > 180.0 {
        let verdict = format!(
            "A breaker of {breaker} does not protect the cord of circuit {} ({}, {rated}): only a fuse in its plug does, of {rated} at most",
            house.name, cord.size
        );
        return finding("power/cord-unprotected", Severity::Caution, "power", &[&house.name], verdict)
            .cure("Look at the fuse in the plug, or use an outlet of a circuit of 16 A", None);
    }
    finding(
        "power/cord-unprotected",
        Severity::Danger,
        "power",
        &[&house.name],
        format!(
            "A breaker of {breaker} does not protect the cord of circuit {} ({}, {rated}): a fault would heat it and the breaker would stay closed",
            house.name, cord.size
        ),
    )
    .working(working(
        "cord-ampacity",
        vec![
            value("size", cord.size.clone(), written(&house.name, "cord.size")),
            value("breaker", breaker, written(&house.name, "breaker")),
        ],
        rated,
        Some((amperes(GREATEST_BREAKER_A), CORD_SETS.into())),
        None,
    ))
    .cure("Use an outlet of a circuit of 15 A or 20 A", None)
    .withholds(&PLUGGED)
}

fn drop_check(input: &Input<'_>, house: &House, circuit: &CircuitUse, findings: &mut Vec<Finding>) {
    let limit = cord::drop_limit(volts(circuit.voltage_v)).value;
    let lost = circuit.cord.drop_v;
    if lost <= limit || circuit.voltage_v <= 0.0 {
        return;
    }
    findings.push(
        finding(
            "power/cord-drop",
            Severity::Caution,
            "power",
            &[&house.name],
            format!("The cord of circuit {} loses {lost:.1} V of {} V", house.name, circuit.voltage_v),
        )
        .working(working(
            "copper-drop",
            vec![
                value(
                    "cross-section",
                    format!("{:.2} mm2", house.cord_mm2),
                    written(&house.name, "cord.size"),
                ),
                value(
                    "length one way",
                    metres(house.cord_mm / 1000.0).show(input.units),
                    written(&house.name, "cord.length"),
                ),
                value(
                    "current",
                    amperes(circuit.all_lit_a),
                    worked("total-current", &["channels", "supply"]),
                ),
                value("temperature", "75 C".into(), worked("copper-drop", &["a warm conductor"])),
            ],
            format!("{lost:.2} V"),
            Some((
                format!("{limit:.1} V, 3 %"),
                "NEC 210.19(A), informational note; BS 7671 table 4Ab".into(),
            )),
            Some(used(lost, limit)),
        ))
        .cure(&format!("{}, or a shorter one", thicker(input, house, circuit.all_lit_a)), None),
    );
}

/// Words that name the thinnest cord that carries the load and loses no more than it may; the thickest sold where none does.
fn thicker(input: &Input<'_>, house: &House, current: f64) -> String {
    let limit = cord::drop_limit(volts(input.mains_v)).value;
    let sizes: &[(f64, &str)] = if input.mains_v > 180.0 {
        &[(1.5, "1.5 mm2"), (2.5, "2.5 mm2")]
    } else {
        &[(1.309, "16 AWG"), (2.081, "14 AWG"), (3.309, "12 AWG")]
    };
    let fits = |(section, _): &&(f64, &str)| {
        let thick = House { cord_mm2: *section, ..house.clone() };
        carried(*section) >= current && lost(&thick, current) <= limit
    };
    let size = sizes.iter().find(fits).or(sizes.last()).map_or("", |(_, size)| size);
    format!("Use a cord of {size} or thicker")
}

fn unfed(part: &SwitchBoxUse) -> Finding {
    finding(
        "power/no-circuit",
        Severity::Danger,
        "power",
        &[&part.label],
        format!(
            "No circuit is written for {}: its breaker, cord and ground-fault device cannot be looked at",
            part.label
        ),
    )
    .cure("Write down the circuit that feeds it: breaker, ground-fault device, cord", None)
    .withholds(&PLUGGED)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NEC table 400.5(A)(1), column A: 10, 15, 20 A for 16, 14, 12 AWG; 1.5 mm2 lies between 16 and 14 AWG.
    #[test]
    fn a_cord_carries_what_its_gauge_does() {
        for (section, amps) in
            [(1.309, 10.0), (2.081, 15.0), (3.309, 20.0), (1.5, 10.0), (2.5, 15.0), (0.5, 0.0)]
        {
            assert!((carried(section) - amps).abs() < 1e-9, "{section} mm2: {}", carried(section));
        }
    }
}
