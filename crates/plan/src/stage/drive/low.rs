//! Low voltage: what one output carries, what the whole board and its packages bear.

use super::{BoardKind, Drive, Input, Load, SWITCHED, current, is_mains};
use crate::note::{Also, amperes, finding, rating, used, value, worked, working};
use finding::{Finding, Severity};
use reckoning::heat;
use reckoning::of::amperes as amps;
use std::collections::BTreeMap;

/// Outputs of one package of a sink array.
const PACKAGE: u32 = 8;

/// The verdict on one output.
pub(super) fn verdict(
    input: &Input<'_>,
    load: &Load,
    label: &str,
    kind: &BoardKind,
    findings: &mut Vec<Finding>,
) -> String {
    voltage(input, load, findings);
    let (current, limit) = (current(load), kind.output_a);
    if current <= limit {
        return format!("Switched by one output: {}.", used(current, limit));
    }
    findings.push(
        finding(
            "drive/over-current",
            Severity::Danger,
            "switch",
            &[&load.name],
            format!(
                "Channel {label} would draw {}; one output of {} carries {}",
                amperes(current),
                kind.part,
                amperes(limit)
            ),
        )
        .working(working(
            "channel-current",
            vec![
                value("strands", load.copies.to_string(), worked("parked-lamps", &["holes", "lamps"])),
                value("strand current", amperes(load.each_a), rating(&load.part, "current")),
            ],
            amperes(current),
            Some((amperes(limit), kind.source.clone())),
            Some(used(current, limit)),
        ))
        .cure("Use a driver board whose outputs carry the current", None)
        .cure("Use fewer or smaller strands for this bunch", None)
        .withholds(&SWITCHED),
    );
    format!("Too much for one output: {}.", used(current, limit))
}

/// Load and supply must agree on the voltage.
fn voltage(input: &Input<'_>, load: &Load, findings: &mut Vec<Finding>) {
    if (load.voltage_v - input.supply_v).abs() <= 0.01 {
        return;
    }
    let verdict =
        format!("{} is made for {} V; the supply gives {} V", load.part, load.voltage_v, input.supply_v);
    findings.push(
        finding("drive/wrong-voltage", Severity::Danger, "switch", &[&load.name], verdict)
            .cure("Use strands and lamps made for the supply's voltage", None)
            .withholds(&SWITCHED),
    );
}

/// The verdicts on whole boards; `kinds` says what each is.
pub(super) fn boards(input: &Input<'_>, kinds: &[&BoardKind], drive: &mut Drive) {
    for (index, kind) in kinds.iter().enumerate() {
        whole_board(kind, index, drive);
        if kind.darlington {
            for (number, package) in packages(index, drive) {
                package_heat(&drive.boards[index].label, number + 1, &package, &mut drive.findings);
            }
        }
        let low = drive
            .channels
            .iter()
            .zip(input.loads)
            .any(|(channel, load)| channel.board == index && !is_mains(load));
        if low && input.supply_v > kind.voltage_v {
            drive.findings.push(board_voltage(input, kind));
        }
    }
}

/// The currents of each package of a board: eight bits of its registers share one.
fn packages(board: usize, drive: &Drive) -> BTreeMap<u32, Vec<f64>> {
    let mut packages: BTreeMap<u32, Vec<f64>> = BTreeMap::new();
    for (channel, taken) in
        drive.channels.iter().zip(&drive.board_a).filter(|(channel, _)| channel.board == board)
    {
        packages.entry(channel.output / PACKAGE).or_default().push(*taken);
    }
    packages
}

fn board_voltage(input: &Input<'_>, board: &BoardKind) -> Finding {
    let verdict = format!(
        "{} bears {} V at most; {} gives {} V",
        board.part, board.voltage_v, input.supply, input.supply_v
    );
    finding("drive/board-voltage", Severity::Danger, "switch", &[&board.part], verdict)
        .cure("Use a board rated for the supply's voltage", None)
        .withholds(&SWITCHED)
}

fn whole_board(kind: &BoardKind, index: usize, drive: &mut Drive) {
    let board = &drive.boards[index];
    if board.current_a <= kind.total_a {
        return;
    }
    drive.findings.push(
        finding(
            "drive/board-over-current",
            Severity::Danger,
            "switch",
            &[&board.label],
            format!(
                "Board {} would carry {} with all its channels lit",
                board.label,
                amperes(board.current_a)
            ),
        )
        .working(working(
            "total-current",
            vec![value(
                "channels",
                amperes(board.current_a),
                worked("channel-current", &["strands", "strand current"]),
            )],
            amperes(board.current_a),
            Some((amperes(kind.total_a), kind.source.clone())),
            Some(used(board.current_a, kind.total_a)),
        ))
        .cure("Spread the channels over two boards, or use a board rated for the sum", None)
        .withholds(&SWITCHED),
    );
}

/// A package warms with all its outputs together, though each is within its own rating.
fn package_heat(board: &str, number: u32, currents: &[f64], findings: &mut Vec<Finding>) {
    let power: f64 = currents
        .iter()
        .map(|current| heat::package(1, amps(*current), heat::array_saturation(amps(*current)), 1.0).value)
        .sum();
    let junction = heat::junction_c(heat::BOX_C, reckoning::of::watts(power), heat::ARRAY_K_PER_W);
    if junction <= heat::ARRAY_MOST_C {
        return;
    }
    findings.push(
        finding(
            "drive/package-heat",
            Severity::Danger,
            "switch",
            &[board],
            format!("Array {number} of board {board} would reach {junction:.0} C with all its outputs on"),
        )
        .about(&number.to_string())
        .working(working(
            "junction",
            vec![
                value("surroundings", format!("{} C", heat::BOX_C), worked("junction", &["a closed box"])),
                value(
                    "power",
                    format!("{power:.2} W"),
                    worked("package-heat", &["currents", "voltage left"]),
                ),
                value(
                    "thermal resistance",
                    format!("{} K/W", heat::ARRAY_K_PER_W),
                    rating("sink array", "thermal resistance"),
                ),
            ],
            format!("{junction:.0} C"),
            Some((format!("{} C", heat::ARRAY_MOST_C), "ULN2803 data sheet".into())),
            Some(used(junction - heat::BOX_C, heat::ARRAY_MOST_C - heat::BOX_C)),
        ))
        .cure("Use a board with MOSFETs, or half as many lamps on each output", None)
        .withholds(&SWITCHED),
    );
}
