//! A plan built by hand: a waving fox on one panel, two poses, three strands.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    clippy::unwrap_used,
    reason = "small counts of a plan made by hand"
)]

pub(crate) mod club;

use finding::{Cure, Finding, Origin, Severity, Sheet, Value, Working};
use plan::{
    Board, Bunch, Button, Cable, Channel, Conductor, ControllerUse, Hole, Hop, LitBy, Origins, Panel,
    PartLine, Piece, PinUse, Place, Plan, Pose, StageState, Stop, StrandRun, SupplyUse,
};
use quantity::Units;
use rules::form::{Figure, Form};
use source::KeyPath;

/// Greatest hop of the strand: nine tenths of 100 mm.
const REACH_MM: f64 = 90.0;

/// Points along a line of straight stretches, about `spacing` apart.
fn along(line: &[[f64; 2]], spacing: f64) -> Vec<[f64; 2]> {
    let mut points = vec![line[0]];
    for pair in line.windows(2) {
        let (dx, dy) = (pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]);
        let steps = (libm::hypot(dx, dy) / spacing).ceil().max(1.0) as u32;
        points.extend((1..=steps).map(|k| {
            let part = f64::from(k) / f64::from(steps);
            [pair[0][0] + dx * part, pair[0][1] + dy * part]
        }));
    }
    points.dedup();
    points
}

/// The fox's lines: what always shines, and the arm of each pose.
fn lines() -> [Vec<Vec<[f64; 2]>>; 3] {
    let body = vec![
        vec![
            [300.0, 70.0],
            [310.0, 330.0],
            [280.0, 480.0],
            [330.0, 640.0],
            [250.0, 760.0],
            [262.0, 900.0],
            [280.0, 1080.0],
            [345.0, 960.0],
            [450.0, 960.0],
            [515.0, 1080.0],
            [535.0, 900.0],
            [545.0, 760.0],
            [398.0, 640.0],
        ],
        vec![[465.0, 640.0], [520.0, 480.0], [490.0, 330.0], [500.0, 70.0], [400.0, 70.0], [400.0, 250.0]],
        vec![
            [250.0, 300.0],
            [160.0, 200.0],
            [85.0, 260.0],
            [70.0, 420.0],
            [120.0, 520.0],
            [150.0, 400.0],
            [230.0, 370.0],
        ],
    ];
    let low = vec![vec![
        [560.0, 560.0],
        [650.0, 470.0],
        [700.0, 340.0],
        [745.0, 360.0],
        [700.0, 500.0],
        [590.0, 620.0],
    ]];
    let high = vec![vec![
        [600.0, 680.0],
        [700.0, 760.0],
        [740.0, 900.0],
        [790.0, 890.0],
        [765.0, 730.0],
        [625.0, 610.0],
    ]];
    [body, low, high]
}

/// Holes, strands and bunches of the fox.
fn strung() -> (Vec<Hole>, Vec<StrandRun>, Vec<Bunch>) {
    let names = [("always", vec![0, 1]), ("resting", vec![0]), ("waving", vec![1])];
    strung_over(&lines(), &names, 25, "F")
}

/// Lines of each bunch strung one after the other, with strands whose lamps come in multiples of `box_of`.
fn strung_over(
    lines: &[Vec<Vec<[f64; 2]>>],
    names: &[(&str, Vec<usize>)],
    box_of: u32,
    letter: &str,
) -> (Vec<Hole>, Vec<StrandRun>, Vec<Bunch>) {
    let (mut holes, mut strands, mut bunches) = (Vec::new(), Vec::new(), Vec::new());
    for (bunch, (lines, (name, poses))) in lines.iter().zip(names).enumerate() {
        let first_hole = holes.len() + 1;
        for line in lines {
            for [x_mm, y_mm] in along(line, 58.0) {
                holes.push(Hole { number: holes.len() + 1, x_mm, y_mm, bunch });
            }
        }
        let last_hole = holes.len();
        strands.push(run(&holes, bunch, first_hole, box_of, letter));
        bunches.push(Bunch {
            name: (*name).into(),
            poses: poses.clone(),
            length_mm: 58.0 * (last_hole + 1 - first_hole) as f64,
            spacing_mm: 58.0,
            lines_mm: lines.clone(),
            channel: bunch,
        });
    }
    (holes, strands, bunches)
}

/// One strand over all holes from `first_hole` on.
fn run(holes: &[Hole], bunch: usize, first_hole: usize, box_of: u32, letter: &str) -> StrandRun {
    let last_hole = holes.len();
    let hops: Vec<Hop> = holes[first_hole - 1..]
        .windows(2)
        .map(|pair| {
            let length_mm = libm::hypot(pair[1].x_mm - pair[0].x_mm, pair[1].y_mm - pair[0].y_mm);
            let parked = (length_mm / REACH_MM).ceil() as u32 - 1;
            Hop { from: pair[0].number, to: pair[1].number, length_mm, parked }
        })
        .collect();
    let used = (last_hole + 1 - first_hole) as u32 + hops.iter().map(|hop| hop.parked).sum::<u32>();
    let lamps = used.next_multiple_of(box_of);
    StrandRun {
        label: format!("{letter}{}", bunch + 1),
        part: format!("led-{lamps}-4in-12v"),
        colour: "#ff8f6b".into(),
        bunch,
        lamps,
        first_hole,
        last_hole,
        longest_hop_mm: hops.iter().map(|hop| hop.length_mm / f64::from(hop.parked + 1)).fold(0.0, f64::max),
        hops,
        spare: lamps - used,
        reach_mm: REACH_MM,
    }
}

/// The fox's panel.
pub(crate) fn panel() -> Panel {
    let (holes, strands, bunches) = strung();
    Panel {
        name: "fox".into(),
        figure: "fox".into(),
        mirrored: false,
        twin_of: None,
        place: Place::default(),
        pieces: vec![Piece { x_mm: 0.0, y_mm: 0.0, width_mm: 860.0, height_mm: 1150.0 }],
        width_mm: 860.0,
        height_mm: 1150.0,
        thickness_mm: 6.35,
        sheet: "plywood-quarter-4x8".into(),
        hole_mm: 8.0,
        poses: vec![
            Pose { name: "resting".into(), bunches: vec![0, 1] },
            Pose { name: "waving".into(), bunches: vec![0, 2] },
        ],
        bunches,
        holes,
        strands,
    }
}

/// A check that has little left, with its working.
fn caution() -> Finding {
    Finding {
        code: "power/little-left",
        severity: Severity::Caution,
        stage: "power",
        concerns: vec!["bench-5a".into()],
        discriminator: None,
        verdict: "The supply has less than a tenth left when everything is lit at once.".into(),
        working: Some(Working {
            formula: "supply-load",
            written: "load = sum of channel currents + controller current".into(),
            values: vec![
                Value {
                    name: "channels".into(),
                    shown: "1.50 A".into(),
                    origin: Origin::Worked {
                        formula: "channel-current",
                        inputs: vec!["strand current".into()],
                    },
                },
                Value {
                    name: "controller".into(),
                    shown: "50 mA".into(),
                    origin: Origin::Catalogue { part: "nano-5v".into(), field: "current" },
                },
            ],
            result: "1.55 A".into(),
            limit: Some("1.67 A".into()),
            margin: Some("93 % of the limit used".into()),
            source: "supply's label; common practice leaves a fifth".into(),
        }),
        cures: vec![Cure {
            words: "Take the 5 A supply.".into(),
            edit: Some((KeyPath::dotted("supply"), "\"bench-5a\"".into())),
        }],
        withholds: vec![],
    }
}

/// A danger that withholds some sheets.
pub(crate) fn danger(withholds: Vec<Sheet>) -> Finding {
    Finding {
        code: "drive/unlisted-supply",
        severity: Severity::Danger,
        stage: "power",
        concerns: vec!["attic-brick".into()],
        discriminator: None,
        verdict: "Nothing says that this supply limits its current or keeps the mains away from the lamps."
            .into(),
        cures: vec![Cure { words: "Take a supply listed as Class 2 or SELV.".into(), edit: None }],
        withholds,
        ..caution()
    }
}

/// The plan of the fox.
pub(crate) fn plan(units: Units) -> Plan {
    let panel = panel();
    let channels = ["fox always", "fox resting", "fox waving", "wave lamp"];
    Plan {
        format: "lampwright-plan",
        version: 1,
        title: "Waving fox".into(),
        units,
        nearest_mm: 2438.4,
        farthest_mm: 12192.0,
        stands: vec![],
        posts: vec![],
        spans: vec![],
        digits: vec![],
        watch: None,
        buttons: vec![Button {
            name: "wave".into(),
            pin: "D2".into(),
            port: "PD2".into(),
            lamp: Some(3),
            place: Place::default(),
        }],
        channels: channels
            .iter()
            .zip(0_u32..)
            .map(|(name, output)| Channel {
                label: format!("A{}", output + 1),
                name: (*name).into(),
                lit_by: match output {
                    0 => LitBy::Poses { figure: 0, poses: vec![0, 1] },
                    1 => LitBy::Poses { figure: 0, poses: vec![0] },
                    2 => LitBy::Poses { figure: 0, poses: vec![1] },
                    _ => LitBy::Spot { spot: 0 },
                },
                board: 0,
                output,
                outlet: None,
                voltage_v: 12.0,
                current_a: 0.3,
                verdict: "This check found nothing: 300 mA of 500 mA.".into(),
            })
            .collect(),
        boards: vec![Board {
            label: "A".into(),
            part: "eight-low-side".into(),
            outputs: 8,
            labels: Vec::new(),
            current_a: 1.2,
        }],
        switch_boxes: vec![],
        circuits: vec![],
        controller: ControllerUse {
            part: "nano-5v".into(),
            chip: "ATmega328P".into(),
            clock_hz: 16_000_000,
            pins: [
                ("D2", "PD2", "button wave"),
                ("D10", "PB2", "register latch"),
                ("D11", "PB3", "register data"),
            ]
            .map(|(pin, port, does)| PinUse { pin: pin.into(), port: port.into(), does: does.into() })
            .into(),
        },
        supply: SupplyUse {
            part: "brick-12v-20w".into(),
            voltage_v: 12.0,
            rated_a: 1.67,
            needed_a: 1.55,
            listed: Some("UL 1310 Class 2".into()),
        },
        cables: vec![cable()],
        enclosures: vec![],
        season: None,
        flashing: vec![],
        put_up: vec![],
        trials: vec![],
        signal_paths: vec![],
        rig: vec![],
        parts: parts(),
        stops: ["idea", "draw", "drill", "string", "switch", "wire", "power", "buy", "program"]
            .map(|name| Stop {
                name,
                news: if name == "power" { "little left".into() } else { "nothing to mend".into() },
                sentence: "All is worked out.".into(),
                state: if name == "program" { StageState::Pending } else { StageState::Ready },
            })
            .into(),
        panels: vec![panel],
        findings: vec![caution()],
        withheld: vec![],
        origins: Origins::default(),
    }
}

/// The cable from board to fox.
fn cable() -> Cable {
    let conductor = |number, carries: &str, from: &str, returns_on| Conductor {
        number,
        carries: carries.into(),
        from: from.into(),
        to: format!("fox {number}"),
        current_a: if number == 1 { 0.9 } else { 0.3 },
        returns_on,
        drop_v: 0.04,
    };
    Cable {
        label: "C1".into(),
        from: "board A".into(),
        to: "fox".into(),
        length_mm: 4572.0,
        size: "18 AWG".into(),
        conductors: vec![
            conductor(1, "+12 V", "+12 V", 2),
            conductor(2, "A1 fox always", "A1", 1),
            conductor(3, "A2 fox resting", "A2", 1),
            conductor(4, "A3 fox waving", "A3", 1),
        ],
    }
}

/// What to buy.
fn parts() -> Vec<PartLine> {
    let line = |part: &str, what: &str, needed, have: u32, unit: &str| PartLine {
        part: part.into(),
        what: what.into(),
        needed,
        spare: 1,
        have,
        buy: (needed + 1_u32).saturating_sub(have),
        unit: unit.into(),
    };
    vec![
        line("led-100-4in-12v", "strand of 100 LED lamps, 4 in apart, 12 V", 1, 3, "strand"),
        line("led-25-4in-12v", "strand of 25 LED lamps, 4 in apart, 12 V", 2, 0, "strand"),
        line("plywood-quarter-4x8", "plywood, 1/4 in, 4 x 8 ft", 1, 0, "sheet"),
    ]
}

/// As much of the rules as the book reads.
pub(crate) fn form() -> Form {
    Form {
        format: "lampwright-form".into(),
        version: 2,
        tick_ms: 10,
        seed: 1,
        buttons: vec!["wave".into()],
        figures: vec![Figure { name: "fox".into(), poses: vec!["resting".into(), "waving".into()] }],
        spots: vec!["wave".into()],
        ..Form::default()
    }
}
