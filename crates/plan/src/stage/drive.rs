//! Switch: which board switches what, with a verdict for every channel.

use crate::note::{Also, amperes, finding, rating, used, value, worked, working};
use crate::{Board, Channel, LitBy};
use finding::{Finding, Severity, Sheet};
use serde::Serialize;
use uom::si::electric_current::ampere;
use uom::si::f64::ElectricCurrent;

/// A load that wants a channel.
#[derive(Clone, Serialize)]
pub(crate) struct Load {
    pub(crate) name: String,
    pub(crate) lit_by: LitBy,
    /// The strand or lamp, how many, the current of one, its voltage.
    pub(crate) part: String,
    pub(crate) copies: u32,
    pub(crate) each_a: f64,
    pub(crate) voltage_v: f64,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) loads: &'a [Load],
    pub(crate) board: &'a str,
    pub(crate) outputs: u32,
    pub(crate) output_a: f64,
    pub(crate) total_a: f64,
    pub(crate) board_v: f64,
    pub(crate) board_source: &'a str,
    pub(crate) supply: &'a str,
    pub(crate) supply_v: f64,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Drive {
    pub(crate) channels: Vec<Channel>,
    pub(crate) boards: Vec<Board>,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Drive {
    let mut drive = Drive::default();
    let outputs = input.outputs.max(1);
    for (index, load) in (0u32..).zip(input.loads) {
        let (board, output) = (index / outputs, index % outputs);
        if output == 0 {
            drive.boards.push(Board {
                label: letter(board),
                part: input.board.to_owned(),
                outputs: input.outputs,
                current_a: 0.0,
            });
        }
        let current =
            reckoning::load::channel_current(load.copies, ElectricCurrent::new::<ampere>(load.each_a))
                .get::<ampere>();
        if let Some(board) = drive.boards.last_mut() {
            board.current_a += current;
        }
        let label = format!("{}{}", letter(board), output + 1);
        let verdict = judge(input, load, &label, current, &mut drive.findings);
        drive.channels.push(Channel {
            label,
            name: load.name.clone(),
            lit_by: load.lit_by.clone(),
            board: usize::try_from(board).unwrap_or(0),
            output,
            outlet: None,
            voltage_v: load.voltage_v,
            current_a: current,
            verdict,
        });
    }
    for board in &drive.boards {
        judge_board(input, board, &mut drive.findings);
    }
    judge_voltage(input, &mut drive.findings);
    drive
}

fn letter(board: u32) -> String {
    char::from_u32(u32::from('A') + board % 26).map(String::from).unwrap_or_default()
}

fn judge(input: &Input<'_>, load: &Load, label: &str, current: f64, findings: &mut Vec<Finding>) -> String {
    let limit = input.output_a;
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
                input.board,
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
            Some((amperes(limit), input.board_source.to_owned())),
            Some(used(current, limit)),
        ))
        .cure("Use a driver board whose outputs carry the current", None)
        .cure("Use fewer or smaller strands for this bunch", None)
        .withholds(&[Sheet::Wiring, Sheet::Firmware]),
    );
    format!("Too much for one output: {}.", used(current, limit))
}

fn judge_board(input: &Input<'_>, board: &Board, findings: &mut Vec<Finding>) {
    if board.current_a <= input.total_a {
        return;
    }
    findings.push(
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
            Some((amperes(input.total_a), input.board_source.to_owned())),
            Some(used(board.current_a, input.total_a)),
        ))
        .cure("Spread the channels over two boards, or use a board rated for the sum", None)
        .withholds(&[Sheet::Wiring, Sheet::Firmware]),
    );
}

/// Strands, supply and board must agree on the voltage.
fn judge_voltage(input: &Input<'_>, findings: &mut Vec<Finding>) {
    for load in input.loads.iter().filter(|load| (load.voltage_v - input.supply_v).abs() > 0.01) {
        findings.push(
            finding(
                "drive/wrong-voltage",
                Severity::Danger,
                "switch",
                &[&load.name],
                format!(
                    "{} is made for {} V; the supply gives {} V",
                    load.part, load.voltage_v, input.supply_v
                ),
            )
            .cure("Use strands and lamps made for the supply's voltage", None)
            .withholds(&[Sheet::Wiring, Sheet::Firmware]),
        );
    }
    if input.supply_v > input.board_v {
        findings.push(
            finding(
                "drive/board-voltage",
                Severity::Danger,
                "switch",
                &[input.board],
                format!(
                    "{} bears {} V at most; {} gives {} V",
                    input.board, input.board_v, input.supply, input.supply_v
                ),
            )
            .cure("Use a board rated for the supply's voltage", None)
            .withholds(&[Sheet::Wiring, Sheet::Firmware]),
        );
    }
}
