//! Shelter: what goes into which box, how cords and cables leave it, what stays off the ground.
//!
//! Mains and low voltage never share a box. A listed box is never drilled: it stands whole under a roof of its own.

use crate::note::{Also, finding};
use crate::{Board, Button, CircuitUse, Enclosure, SwitchBoxUse};
use finding::{Finding, Severity, Sheet};
use quantity::Units;
use serde::Serialize;

/// How far plugs and boxes stay above the ground. Common practice: 6 to 12 in above snow and splash.
fn above_ground(units: Units) -> &'static str {
    match units {
        Units::Inches => "12 in",
        Units::Millimetres => "300 mm",
    }
}

/// The open drain of a box. Common practice: 3 to 6 mm.
fn drain(units: Units) -> &'static str {
    match units {
        Units::Inches => "1/8 to 1/4 in",
        Units::Millimetres => "3 to 6 mm",
    }
}

/// A cover as it can be had.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct CoverKind {
    pub(crate) part: String,
    /// Whether it may be drilled.
    pub(crate) drilled: bool,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) controller: &'a str,
    pub(crate) supply: &'a str,
    /// The circuit that feeds the supply, if it is named.
    pub(crate) supply_circuit: Option<String>,
    pub(crate) units: Units,
    pub(crate) boards: &'a [Board],
    pub(crate) boxes: &'a [SwitchBoxUse],
    pub(crate) circuits: &'a [CircuitUse],
    pub(crate) buttons: &'a [Button],
    /// For controller and boards; for a button; for listed boxes and adapters; for a plug joint.
    pub(crate) controller_box: CoverKind,
    pub(crate) button_box: CoverKind,
    pub(crate) roof: CoverKind,
    pub(crate) joint: CoverKind,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Shelter {
    pub(crate) enclosures: Vec<Enclosure>,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Shelter {
    let mut shelter = Shelter::default();
    shelter.enclosures.push(controller_box(input));
    for button in input.buttons {
        shelter.enclosures.push(button_box(input, button));
    }
    shelter.enclosures.extend(roofs(input));
    for circuit in input.circuits {
        shelter.enclosures.push(joint(input, circuit));
    }
    for (kind, what) in [(&input.controller_box, "the controller"), (&input.button_box, "a button")] {
        if !kind.drilled {
            shelter.findings.push(not_to_be_drilled(kind, what));
        }
    }
    shelter
}

fn enclosure(label: String, kind: &CoverKind, holds: Vec<String>, notes: &[String]) -> Enclosure {
    Enclosure { label, part: kind.part.clone(), holds, notes: notes.to_vec() }
}

/// Low voltage only: this one may be drilled.
fn controller_box(input: &Input<'_>) -> Enclosure {
    let mut holds = vec![format!("controller {}", input.controller)];
    holds.extend(input.boards.iter().map(|board| format!("board {} ({})", board.label, board.part)));
    enclosure(
        "controller box".into(),
        &input.controller_box,
        holds,
        &[
            "Low voltage only: no mains conductor enters this box, and the supply stays outside it.".into(),
            "Cables enter from below through glands; each hangs in a loop lower than its gland, so that water drips off.".into(),
            format!("A drain of {} stands open at the lowest corner: a sealed box fills with condensation.", drain(input.units)),
            format!("Its bottom is {} or more above the ground, and above the snow line.", above_ground(input.units)),
        ],
    )
}

fn button_box(input: &Input<'_>, button: &Button) -> Enclosure {
    enclosure(
        format!("button box {}", button.name),
        &input.button_box,
        vec![format!("button {}", button.name)],
        &[
            format!(
                "The cable enters from below through a gland, with a drip loop; a drain of {} at the lowest corner.",
                drain(input.units)
            ),
            "No edge and no gap takes a finger; if the box is cracked or wet inside, unplug everything."
                .into(),
        ],
    )
}

/// Under each roof what hangs on one circuit: boxes and supply, whole.
fn roofs(input: &Input<'_>) -> Vec<Enclosure> {
    let mut circuits: Vec<&str> = input.circuits.iter().map(|circuit| circuit.name.as_str()).collect();
    if circuits.is_empty() || input.supply_circuit.is_none() {
        circuits.insert(0, "");
    }
    let mut roofs = Vec::new();
    for name in circuits {
        let own = input.boxes.iter().filter(|part| part.circuit == name);
        let mut holds: Vec<String> = own.map(|part| format!("{} ({})", part.label, part.part)).collect();
        if input.supply_circuit.as_deref().unwrap_or("") == name {
            holds.push(format!("supply {}", input.supply));
        }
        if holds.is_empty() {
            continue;
        }
        let label =
            if name.is_empty() { "roof of the supply".to_owned() } else { format!("roof of circuit {name}") };
        roofs.push(enclosure(label, &input.roof, holds, &roof_notes(input.units)));
    }
    roofs
}

fn roof_notes(units: Units) -> Vec<String> {
    vec![
        "Listed boxes and adapters stand in it whole: never opened, drilled or altered.".into(),
        "Open below and at the back: air goes through, rain does not. Nothing is wrapped in plastic.".into(),
        format!(
            "Outlets and plugs are {} or more above the ground, female ends facing down or capped.",
            above_ground(units)
        ),
        "Every cord hangs in a loop lower than its plug before it enters; nothing is strained.".into(),
        "Unused outlets are capped. An output that is off can still kill: unplug before a lamp is changed, and put in only what the strand's tag names."
            .into(),
    ]
}

fn joint(input: &Input<'_>, circuit: &CircuitUse) -> Enclosure {
    enclosure(
        format!("joint of circuit {}", circuit.name),
        &input.joint,
        vec![format!("plug of the {} cord", circuit.cord.size)],
        &[
            "The joint lies off the ground in its cover, loops on both sides; a cord never passes a door or window.".into(),
            "The live end is always the female one. The cord crosses no path; the ground-fault device is tested before each opening.".into(),
        ],
    )
}

fn not_to_be_drilled(kind: &CoverKind, what: &str) -> Finding {
    finding(
        "shelter/never-drilled",
        Severity::Danger,
        "shelter",
        &[&kind.part],
        format!("{} is never drilled, and {what} needs cables through its wall", kind.part),
    )
    .cure("Use a box made for low voltage that may be drilled", None)
    .withholds(&[Sheet::Wiring, Sheet::PutUp])
}
