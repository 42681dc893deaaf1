//! Mains strands on outlets of listed boxes: which outlet, will it stay on, will it glow, may it be there at all.

use super::{BoxKind, Drive, Input, Load, MainsLoad, SWITCHED, current, is_mains};
use crate::note::{Also, amperes, finding, rating, used, value, worked, working};
use crate::{Outlet, SwitchBoxUse};
use finding::{Cure, Finding, Severity, Sheet};
use reckoning::of::{amperes as amps, volts};
use reckoning::switching::{self, GLOW_A, HOLD_MARGIN, Wave};
use source::KeyPath;

/// Shares out the outlets: a box is fed by one circuit, and a further box is taken when the outlets or the box's current
/// are used up.
pub(super) fn outlets(input: &Input<'_>, drive: &mut Drive) -> Vec<Option<Outlet>> {
    let mut outlets = vec![None; input.loads.len()];
    let Some(kind) = input.switch_box else { return outlets };
    let mut circuits: Vec<&Option<String>> = Vec::new();
    for load in input.loads.iter().filter(|load| is_mains(load)) {
        if let Some(mains) = &load.mains
            && !circuits.contains(&&mains.circuit)
        {
            circuits.push(&mains.circuit);
        }
    }
    for circuit in circuits {
        let mut used = kind.outlets;
        for (index, load) in input.loads.iter().enumerate() {
            if !is_mains(load) || load.mains.as_ref().is_none_or(|mains| mains.circuit != *circuit) {
                continue;
            }
            let full =
                drive.switch_boxes.last().is_some_and(|part| part.current_a + current(load) > kind.total_a);
            if used >= kind.outlets || full {
                drive.switch_boxes.push(new_box(kind, circuit, drive.switch_boxes.len()));
                used = 0;
            }
            used += 1;
            if let Some(last) = drive.switch_boxes.last_mut() {
                last.current_a += current(load);
            }
            outlets[index] = Some(Outlet { switch_box: drive.switch_boxes.len() - 1, outlet: used });
        }
    }
    outlets
}

/// Shortest time between two switchings of a contact: our threshold, twice the 15 ms that small relays take at most to
/// operate or to release (common practice; the sheet of the box decides).
const CONTACT_MS: u32 = 30;

fn new_box(kind: &BoxKind, circuit: &Option<String>, index: usize) -> SwitchBoxUse {
    let letter = char::from(b'P' + u8::try_from(index % 11).unwrap_or(0));
    let round = if index < 11 { String::new() } else { (index / 11 + 1).to_string() };
    SwitchBoxUse {
        label: format!("box {letter}{round}"),
        part: kind.part.clone(),
        outlets: kind.outlets,
        circuit: circuit.clone().unwrap_or_default(),
        listed: kind.listed.clone(),
        current_a: 0.0,
        shortest_ms: if kind.triac { 0 } else { CONTACT_MS },
    }
}

/// The verdict on one outlet.
pub(super) fn verdict(input: &Input<'_>, load: &Load, outlet: Option<&Outlet>, drive: &mut Drive) -> String {
    let Some(mains) = &load.mains else { return String::new() };
    let findings = &mut drive.findings;
    if load.copies == 0 {
        return "No strand on it yet.".into();
    }
    may_be_there(input, load, mains, findings);
    half_wave(load, mains, findings);
    let (Some(kind), Some(outlet)) = (input.switch_box, outlet) else {
        return "Not switched: no listed switch box is named.".into();
    };
    let place = drive.switch_boxes.get(outlet.switch_box).map_or("", |part| part.label.as_str());
    let mut said = vec![format!("{place}, outlet {}", outlet.outlet)];
    said.push(carries(kind, load, mains, findings));
    said.extend(stays_on(input, kind, load, mains, findings));
    said.extend(glows(kind, load, mains, findings));
    format!("{}.", said.join("; "))
}

/// What must never be: a strand on another voltage, or without a listing. That none hangs over people, the span looks at.
fn may_be_there(input: &Input<'_>, load: &Load, mains: &MainsLoad, findings: &mut Vec<Finding>) {
    let house = input.mains_v.unwrap_or(0.0);
    if (house - load.voltage_v).abs() > 0.1 * load.voltage_v {
        let has = if house > 0.0 { format!("{house} V") } else { "no mains written".into() };
        let verdict = format!("{} is made for {} V; the house has {has}", load.part, load.voltage_v);
        findings.push(
            finding("drive/wrong-mains", Severity::Danger, "switch", &[&load.name], verdict)
                .cure("Use strands made for the mains of the house, or 12 V strands", None)
                .withholds(&SWITCHED),
        );
    }
    if mains.listed.is_none() {
        let verdict = format!("{} bears no listing, and it carries {} V", load.part, load.voltage_v);
        findings.push(
            finding("drive/strand-not-listed", Severity::Danger, "switch", &[&load.name], verdict)
                .cure("Use a listed strand, whole and unaltered, and write its listing down", None)
                .withholds(&SWITCHED),
        );
    }
}

/// Half-wave strands blink at the mains frequency, which moving figures make visible.
fn half_wave(load: &Load, mains: &MainsLoad, findings: &mut Vec<Finding>) {
    if !mains.moves || mains.filament {
        return;
    }
    match mains.half_wave {
        Some(false) => {}
        Some(true) => findings.push(
            finding(
                "drive/half-wave",
                Severity::Danger,
                "switch",
                &[&load.name],
                format!("{} uses one half wave: where lights move, it is seen to flash", load.part),
            )
            .cure("Use full-wave strands in figures that move", None)
            .withholds(&[Sheet::Firmware]),
        ),
        None => findings.push(
            finding(
                "drive/wave-unknown",
                Severity::Caution,
                "switch",
                &[&load.name],
                format!(
                    "Whether {} uses both half waves is not known; sweep your eyes past it in the dark: half waves break into dots",
                    load.part
                ),
            )
            .cure("Write `wave` down for this strand", None),
        ),
    }
}

/// What one outlet carries, and what cold filaments ask of its contact.
fn carries(kind: &BoxKind, load: &Load, mains: &MainsLoad, findings: &mut Vec<Finding>) -> String {
    let drawn = current(load);
    let over = drawn > kind.outlet_a;
    if over {
        findings.push(
            finding(
                "drive/outlet-over-current",
                Severity::Danger,
                "switch",
                &[&load.name],
                format!(
                    "{} would draw {}; one outlet carries {}",
                    load.name,
                    amperes(drawn),
                    amperes(kind.outlet_a)
                ),
            )
            .working(strands_working(load, drawn, Some((amperes(kind.outlet_a), kind.source.clone()))))
            .cure("Use fewer strands on this outlet", None)
            .withholds(&SWITCHED),
        );
    }
    if mains.filament {
        inrush(kind, load, drawn, findings);
    }
    let carried = used(drawn, kind.outlet_a);
    if over {
        format!("too much for it: {carried}")
    } else {
        format!("carries {}, {carried}", amperes(drawn))
    }
}

fn strands_working(load: &Load, drawn: f64, limit: Option<(String, String)>) -> finding::Working {
    working(
        "channel-current",
        vec![
            value("strands", load.copies.to_string(), worked("parked-lamps", &["holes", "lamps"])),
            value("strand current", amperes(load.each_a), rating(&load.part, "current")),
        ],
        amperes(drawn),
        limit,
        None,
    )
}

fn inrush(kind: &BoxKind, load: &Load, drawn: f64, findings: &mut Vec<Finding>) {
    let multiple = reckoning::mains::COLD_FILAMENT;
    let first = reckoning::mains::filament_inrush(amps(drawn), multiple).value;
    if first <= kind.outlet_a {
        return;
    }
    findings.push(
        finding(
            "drive/inrush",
            Severity::Caution,
            "switch",
            &[&load.name],
            format!(
                "Cold filaments of {} draw {} at first; the outlet is rated {}",
                load.name,
                amperes(first),
                amperes(kind.outlet_a)
            ),
        )
        .working(working(
            "filament-inrush",
            vec![
                value(
                    "steady current",
                    amperes(drawn),
                    worked("channel-current", &["strands", "strand current"]),
                ),
                value("multiple", format!("{multiple}"), worked("filament-inrush", &["cold resistance"])),
            ],
            amperes(first),
            Some((
                amperes(kind.outlet_a),
                "a relay maker's page on load types: ten times the steady current within the rating".into(),
            )),
            Some(used(first, kind.outlet_a)),
        ))
        .cure("Spread the strands over two outlets, or use LED strands", None),
    );
}

/// Crest of a load's current and how it was worked out.
fn crest(load: &Load, mains: &MainsLoad) -> (f64, &'static str, f64) {
    let threshold = if mains.filament { Some(0.0) } else { mains.threshold_v };
    let wave = if mains.half_wave == Some(true) { Wave::Half } else { Wave::Full };
    let formula = if wave == Wave::Half { "crest-factor-half-wave" } else { "crest-factor" };
    // Where the row is not known, a plain resistor has the lowest crest of all.
    let factor = switching::crest_factor(volts(load.voltage_v), volts(threshold.unwrap_or(0.0)), wave);
    (current(load) * factor, formula, factor)
}

/// A triac turns off under its least current: the crest must be well above that of a plain load of this current.
fn stays_on(
    input: &Input<'_>,
    kind: &BoxKind,
    load: &Load,
    mains: &MainsLoad,
    findings: &mut Vec<Finding>,
) -> Option<String> {
    if !kind.triac {
        return Some("a contact needs no least load to stay on".into());
    }
    let (crest, formula, factor) = crest(load, mains);
    let least = kind.least_a * core::f64::consts::SQRT_2;
    let ratio = switching::hold_ratio(amps(crest), amps(least));
    if ratio >= HOLD_MARGIN {
        return Some(format!("stays on: {ratio:.1} times the least current"));
    }
    let how = if ratio < 1.0 { "will not stay on" } else { "may flicker in the cold" };
    let strands = needed_strands(load, ratio);
    findings.push(
        finding(
            "drive/drops-out",
            Severity::Caution,
            "switch",
            &[&load.name],
            format!(
                "{} {how}: {} at the crest, and {} needs {} to hold with margin",
                load.name,
                amperes(crest),
                kind.part,
                amperes(HOLD_MARGIN * least)
            ),
        )
        .working(working(
            "hold-ratio",
            vec![
                value("crest current", amperes(crest), worked(formula, &["mains voltage", "threshold"])),
                value(
                    "crest factor",
                    format!("{factor:.2}"),
                    worked(formula, &["mains voltage", "threshold"]),
                ),
                value("least current", amperes(least), rating(&kind.part, "least-current")),
            ],
            format!("{ratio:.2}"),
            Some((format!("{HOLD_MARGIN}"), format!("common practice; least current: {}", kind.source))),
            None,
        ))
        .with_cure(contacts(input))
        .cure(&format!("Or light this bunch with {strands} strands on the one outlet"), None),
    );
    Some(format!("{how}: {ratio:.1} times the least current, {HOLD_MARGIN} wanted"))
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a small count first")]
fn needed_strands(load: &Load, ratio: f64) -> u32 {
    libm::ceil((f64::from(load.copies) * HOLD_MARGIN / ratio.max(0.01)).clamp(1.0, 1000.0)) as u32
}

/// The cure that needs no other strands: a box with contacts.
fn contacts(input: &Input<'_>) -> Cure {
    let part = if input.mains_v.unwrap_or(120.0) > 180.0 { "relay-box-8-230v" } else { "relay-box-8-120v" };
    Cure {
        words: format!("Use a listed box with contacts, e.g. {part}, and write down the one that is there"),
        edit: None,
    }
}

/// What an off triac lets through is enough for LEDs to glow.
fn glows(kind: &BoxKind, load: &Load, mains: &MainsLoad, findings: &mut Vec<Finding>) -> Option<String> {
    if !kind.triac || mains.filament {
        return Some("dark when off".into());
    }
    let each = kind.off_leakage_a / f64::from(load.copies.max(1));
    if each <= GLOW_A {
        return Some("dark when off".into());
    }
    let mut noted = finding(
        "drive/glows",
        Severity::Caution,
        "switch",
        &[&load.name],
        format!(
            "{} glows when off: {} leak through {}, and LEDs are seen from {:.1} mA",
            load.name,
            amperes(kind.off_leakage_a),
            kind.part,
            GLOW_A * 1000.0
        ),
    );
    if let Some(threshold) = mains.threshold_v {
        let bleeder = switching::bleeder(volts(threshold), amps(kind.off_leakage_a));
        let heat = switching::resistor_heat(volts(load.voltage_v), bleeder).value;
        noted = noted.working(working(
            "bleeder",
            vec![
                value("threshold", format!("{threshold:.0} V"), rating(&load.part, "lamp-voltage")),
                value("leakage", amperes(kind.off_leakage_a), rating(&kind.part, "off-leakage")),
            ],
            format!(
                "{:.1} kohm, {heat:.1} W while lit: an explanation, nothing to build",
                bleeder.value / 1000.0
            ),
            None,
            None,
        ));
    }
    findings.push(noted.cure("Use a listed box with contacts", None).cure(
        "Or plug one whole listed filament strand into the same outlet; nothing is built or opened",
        None,
    ));
    Some("glows when off; nothing is added on the mains side".into())
}

/// The verdicts on the boxes themselves and on their low-voltage inputs.
pub(super) fn boxes(input: &Input<'_>, drive: &mut Drive) {
    let findings = &mut drive.findings;
    let Some(kind) = input.switch_box else {
        let names: Vec<&str> =
            input.loads.iter().filter(|load| is_mains(load)).map(|load| load.name.as_str()).take(8).collect();
        let verdict =
            "Mains strands are switched by a complete, listed box only, and none is named".to_owned();
        let mut noted = finding("drive/no-switch-box", Severity::Danger, "switch", &names, verdict);
        noted.cures.push(contacts(input));
        findings.push(noted.cure("Or use 12 V strands", None).withholds(&SWITCHED));
        return;
    };
    let mut danger = |code, verdict: String, cure: &str| {
        findings.push(
            finding(code, Severity::Danger, "switch", &[&kind.part], verdict)
                .with_cure(contacts(input))
                .cure(cure, None)
                .withholds(&SWITCHED),
        );
    };
    if kind.listed.is_none() {
        danger(
            "drive/box-not-listed",
            format!("{} bears no listing as a complete, enclosed device, and it switches mains", kind.part),
            "Use a box that is bought whole, closed, with its listing printed on it; no part of its mains side is ever built or opened",
        );
    }
    if !kind.isolated {
        danger(
            "drive/box-not-isolated",
            format!(
                "Nothing says that the inputs of {} are isolated from the mains, and people touch buttons",
                kind.part
            ),
            "Use a box whose sheet states reinforced or double insulation of its inputs",
        );
    }
    if input.mains_v.is_some_and(|house| (house - kind.voltage_v).abs() > 0.1 * kind.voltage_v) {
        danger(
            "drive/box-wrong-mains",
            format!(
                "{} is made for {} V; the house has {} V",
                kind.part,
                kind.voltage_v,
                input.mains_v.unwrap_or(0.0)
            ),
            "Use a box made for the mains of the house",
        );
    }
    control(input, kind, findings);
}

/// The register's outputs against the box's inputs.
fn control(input: &Input<'_>, kind: &BoxKind, findings: &mut Vec<Finding>) {
    let board = input.register;
    if kind.control_a > board.output_a {
        findings.push(
            finding(
                "drive/control-over-current",
                Severity::Danger,
                "switch",
                &[&kind.part, &board.part],
                format!(
                    "An input of {} takes {}; an output of {} gives {}",
                    kind.part,
                    amperes(kind.control_a),
                    board.part,
                    amperes(board.output_a)
                ),
            )
            .cure(
                "Use a register board with buffered outputs",
                Some((KeyPath::dotted("register-board.part"), "\"register-board-8-buffered\"".into())),
            )
            .withholds(&SWITCHED),
        );
    }
    if (kind.control_v - board.voltage_v).abs() > 0.1 * kind.control_v {
        let verdict = format!(
            "The inputs of {} want {} V; {} gives {} V",
            kind.part, kind.control_v, board.part, board.voltage_v
        );
        findings.push(
            finding("drive/control-voltage", Severity::Danger, "switch", &[&kind.part, &board.part], verdict)
                .cure("Use a box and a register board of the same control voltage", None)
                .withholds(&SWITCHED),
        );
    }
}

/// Adds a cure that is made already.
trait WithCure {
    fn with_cure(self, cure: Cure) -> Self;
}

impl WithCure for Finding {
    fn with_cure(mut self, cure: Cure) -> Self {
        self.cures.push(cure);
        self
    }
}
