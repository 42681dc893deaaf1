//! A plan built by hand: two mirrored jugglers, a span with seven hung clubs, two digits, two buttons, mains through
//! switch boxes, everything else on 12 V. The numbers are plausible, no more.

use super::{along, strung_over};
use finding::{Finding, Origin, Severity, Value, Working};
use plan::{
    Board, Button, Cable, Channel, Chip, ChipPin, CircuitUse, Conductor, ControllerUse, CordUse, DigitsUse,
    Enclosure, Guy, Hanger, Hold, Hole, Hung, LitBy, Night, Origins, Outlet, Panel, PartLine, Piece, PinUse,
    Place, Plan, Pose, Post, RigLine, Season, SignalPath, SmallPart, Span, StageState, Stand, Step, Stop,
    StrandRun, SupplyUse, SwitchBoxUse, Trial, Watch,
};
use quantity::Units;
use rules::form::{Digits, Figure, Form};

const WIDTH_MM: f64 = 1219.2;
const HEIGHT_MM: f64 = 1981.2;
const APART_MM: f64 = 10_363.2;
const POSES: [&str; 4] = ["ready", "reaching", "throwing", "dropped"];

/// The juggler's lines: body, and the arm of each pose.
fn lines() -> [Vec<Vec<[f64; 2]>>; 4] {
    let body = vec![
        vec![
            [520.0, 1240.0],
            [430.0, 1130.0],
            [450.0, 900.0],
            [470.0, 760.0],
            [420.0, 480.0],
            [330.0, 120.0],
            [450.0, 100.0],
            [560.0, 460.0],
            [610.0, 700.0],
            [660.0, 460.0],
            [760.0, 100.0],
            [880.0, 120.0],
            [790.0, 480.0],
            [750.0, 760.0],
            [770.0, 900.0],
            [790.0, 1130.0],
            [700.0, 1240.0],
        ],
        vec![
            [560.0, 1260.0],
            [520.0, 1330.0],
            [505.0, 1430.0],
            [540.0, 1530.0],
            [610.0, 1570.0],
            [680.0, 1530.0],
            [715.0, 1430.0],
            [700.0, 1330.0],
            [660.0, 1260.0],
        ],
        vec![[500.0, 1540.0], [520.0, 1640.0], [700.0, 1640.0], [720.0, 1540.0]],
    ];
    let ready = vec![vec![
        [800.0, 1100.0],
        [900.0, 960.0],
        [1010.0, 1010.0],
        [1060.0, 1080.0],
        [1000.0, 930.0],
        [890.0, 880.0],
    ]];
    let reaching = vec![vec![
        [800.0, 1160.0],
        [930.0, 1330.0],
        [1020.0, 1520.0],
        [1090.0, 1740.0],
        [1130.0, 1600.0],
        [980.0, 1290.0],
    ]];
    let throwing = vec![vec![
        [830.0, 1130.0],
        [1000.0, 1230.0],
        [1150.0, 1400.0],
        [1170.0, 1290.0],
        [1030.0, 1130.0],
        [860.0, 1050.0],
    ]];
    [body, ready, reaching, throwing]
}

fn panel(name: &str, mirrored: bool, x_mm: f64, first_channel: usize) -> Panel {
    let turn = |point: [f64; 2]| if mirrored { [WIDTH_MM - point[0], point[1]] } else { point };
    let lines = lines().map(|lines| {
        lines.into_iter().map(|line| line.into_iter().map(turn).collect::<Vec<_>>()).collect::<Vec<_>>()
    });
    let names: Vec<(&str, Vec<usize>)> =
        vec![("always", vec![0, 1, 2, 3]), ("ready", vec![0]), ("reaching", vec![1]), ("throwing", vec![2])];
    let (holes, mut strands, mut bunches): (Vec<Hole>, Vec<StrandRun>, _) =
        strung_over(&lines, &names, 50, &name[..1].to_uppercase());
    for bunch in &mut bunches {
        bunch.channel += first_channel;
    }
    for run in &mut strands {
        run.colour = "#ffe2a8".into();
        run.part = "led-50-4in-fullwave".into();
    }
    Panel {
        name: name.into(),
        figure: "juggler".into(),
        mirrored,
        twin_of: mirrored.then(|| "west".into()),
        place: Place { x_mm, y_mm: 200.0, depth_mm: 0.0 },
        pieces: vec![Piece { x_mm: 0.0, y_mm: 0.0, width_mm: WIDTH_MM, height_mm: HEIGHT_MM }],
        width_mm: WIDTH_MM,
        height_mm: HEIGHT_MM,
        thickness_mm: 6.35,
        sheet: "plywood-1-4-4x8".into(),
        hole_mm: 7.9,
        poses: POSES
            .iter()
            .enumerate()
            .map(|(k, pose)| Pose {
                name: (*pose).into(),
                bunches: if k < 3 { vec![0, k + 1] } else { vec![0] },
            })
            .collect(),
        bunches,
        holes,
        strands,
    }
}

/// A club about its middle: handle down, turned by an angle.
fn club(tilt_deg: f64) -> (Vec<Vec<[f64; 2]>>, Vec<[f64; 2]>) {
    let (sin, cos) = libm::sincos(tilt_deg.to_radians());
    let outline = [
        [-20.0, -178.0],
        [-15.0, -40.0],
        [-60.0, 60.0],
        [-55.0, 130.0],
        [0.0, 178.0],
        [55.0, 130.0],
        [60.0, 60.0],
        [15.0, -40.0],
        [20.0, -178.0],
        [-20.0, -178.0],
    ];
    let turned: Vec<[f64; 2]> = outline.iter().map(|[x, y]| [x * cos - y * sin, x * sin + y * cos]).collect();
    let lamps = along(&turned, 50.0);
    (vec![turned], lamps)
}

fn span() -> Span {
    let (left, right, tie, sag) = (1_500.0, 1_500.0 + APART_MM, 4_267.2, 518.0);
    let rope = |x: f64| {
        let part = (x - left) / (right - left);
        tie - 4.0 * sag * part * (1.0 - part)
    };
    let hung = (0..7)
        .map(|k| {
            let part = (f64::from(k) + 1.0) / 8.0;
            let x = left + part * (right - left);
            let y = 2_700.0 + 4.0 * 500.0 * part * (1.0 - part);
            let tilt = -60.0 + 20.0 * f64::from(k);
            let (lines_mm, lamps_mm) = club(tilt);
            let hanger = |side: &str, off: f64| {
                let top = [x + off, rope(x + off)];
                let bottom = [x + 0.6 * off, y + 60.0];
                let length = libm::hypot(top[0] - bottom[0], top[1] - bottom[1]);
                Hanger {
                    label: format!("club.{} {side}", k + 1),
                    along_mm: (x + off - left) * 1.006,
                    top_mm: top,
                    bottom_mm: bottom,
                    length_mm: length,
                    cut_mm: length + 300.0,
                }
            };
            Hung {
                name: format!("club.{}", k + 1),
                object: "club".into(),
                spot: usize::try_from(k).unwrap(),
                at_mm: [x, y],
                tilt_deg: tilt,
                mass_kg: 0.42,
                lines_mm,
                lamps_mm,
                strand: "led-20-4in-12v".into(),
                colour: "#ff8f6b".into(),
                channel: 8 + usize::try_from(k).unwrap(),
                hangers: vec![hanger("left", -120.0), hanger("right", 120.0)],
            }
        })
        .collect();
    Span {
        name: "clubs".into(),
        from: "west".into(),
        to: "east".into(),
        rope: "polyester-6mm".into(),
        rope_mm: 10_425.0,
        cut_mm: 12_000.0,
        sag_mm: sag,
        shape_mm: (0..=40)
            .map(|k| {
                let x = left + (right - left) * f64::from(k) / 40.0;
                [x, rope(x)]
            })
            .collect(),
        tension_n: [98.0, 98.0],
        working_load_n: 380.0,
        headroom_mm: 2_540.0,
        hung,
    }
}

fn digits() -> DigitsUse {
    let (w, h) = (130.0, 228.6);
    DigitsUse {
        name: "rally".into(),
        digits: 0,
        count: 2,
        height_mm: h,
        width_mm: w,
        pitch_mm: 180.0,
        place: Place { x_mm: 6_500.0, y_mm: 1_100.0, depth_mm: 0.0 },
        letters: "abcdefg".into(),
        numerals: [0x3F, 0x06, 0x5B, 0x4F, 0x66, 0x6D, 0x7D, 0x07, 0x7F, 0x6F],
        segments_mm: vec![
            [12.0, h, w - 12.0, h],
            [w, h - 12.0, w, h / 2.0 + 12.0],
            [w, h / 2.0 - 12.0, w, 12.0],
            [12.0, 0.0, w - 12.0, 0.0],
            [0.0, h / 2.0 - 12.0, 0.0, 12.0],
            [0.0, h - 12.0, 0.0, h / 2.0 + 12.0],
            [12.0, h / 2.0, w - 12.0, h / 2.0],
        ],
        led: "led-5mm-amber".into(),
        colour: "#ffb347".into(),
        leds_in_series: 4,
        rows: 2,
        resistor_ohm: 180.0,
        resistor_w: 0.071,
        segment_a: 0.04,
        channels: vec![(15..22).collect(), (22..29).collect()],
    }
}

/// Name, what lights it, outlet, volts, amperes of every channel.
fn channels() -> Vec<Channel> {
    let mut all: Vec<(String, LitBy, Option<Outlet>, f64, f64)> = Vec::new();
    for (figure, side) in ["west", "east"].iter().enumerate() {
        for (k, bunch) in ["always", "ready", "reaching", "throwing"].iter().enumerate() {
            let poses = if k == 0 { vec![0, 1, 2, 3] } else { vec![k - 1] };
            let outlet = Outlet { switch_box: figure, outlet: u32::try_from(k).unwrap() + 1 };
            let amperes = if k == 0 { 0.12 } else { 0.04 };
            all.push((
                format!("{side} {bunch}"),
                LitBy::Poses { figure, poses },
                Some(outlet),
                120.0,
                amperes,
            ));
        }
    }
    for spot in 0..7 {
        all.push((format!("club.{}", spot + 1), LitBy::Spot { spot }, None, 12.0, 0.1));
    }
    for place in [1, 0] {
        for segment in 0..7 {
            let letter = ["a", "b", "c", "d", "e", "f", "g"][segment as usize];
            all.push((
                format!("rally digit {} {letter}", 2 - place),
                LitBy::Segment { digits: 0, place, segment },
                None,
                12.0,
                0.04,
            ));
        }
    }
    for (k, side) in ["west", "east"].iter().enumerate() {
        all.push((format!("button {side} lamp"), LitBy::Spot { spot: 7 + k }, None, 12.0, 0.02));
    }
    all.into_iter()
        .enumerate()
        .map(|(k, (name, lit_by, outlet, voltage_v, current_a))| Channel {
            label: format!("{}{}", ["A", "B", "C", "D"][k / 8], k % 8 + 1),
            name,
            lit_by,
            board: k / 8,
            output: u32::try_from(k % 8).unwrap(),
            verdict: match &outlet {
                Some(_) => {
                    "This check found nothing: the box is a relay, which holds any load and leaks none."
                        .into()
                }
                None => format!("This check found nothing: {:.0} mA of 500 mA.", current_a * 1000.0),
            },
            outlet,
            voltage_v,
            current_a,
        })
        .collect()
}

fn steps() -> Vec<Step> {
    let step = |up: &str, down: &str, people, needs: &[&str], caution: &str| Step {
        up: up.into(),
        down: down.into(),
        people,
        needs: needs.iter().map(|need| (*need).into()).collect(),
        caution: caution.into(),
    };
    vec![
        step(
            "Walk the ground, mark posts, panels and stakes from the plan from above.",
            "Walk the ground for pegs and ties left behind.",
            1,
            &["tape", "pegs", "this card"],
            "Stakes only where services are marked.",
        ),
        step(
            "Set both posts, plumb, and test each with the pull of the span's sheet.",
            "Take the posts out.",
            2,
            &["posts", "level", "luggage scale"],
            "",
        ),
        step(
            "Stand the west panel's base, ballast it, raise the panel, guy it.",
            "Loosen the west guys, lower the panel, face up, on its base.",
            2,
            &["box 1: west", "ballast", "mallet"],
            "Not in more than 20 mph of wind.",
        ),
        step(
            "Stand the east panel's base, ballast it, raise the panel, guy it.",
            "Loosen the east guys, lower the panel.",
            2,
            &["box 2: east", "ballast", "mallet"],
            "Not in more than 20 mph of wind.",
        ),
        step(
            "Lay the rope on the ground, hang all seven clubs by their numbers, check each knot.",
            "Take the clubs off by their numbers, coil the rope.",
            1,
            &["box 3: clubs", "cut list"],
            "",
        ),
        step(
            "Raise the rope, both ends at once, and tie off.",
            "Lower the rope, both ends at once.",
            2,
            &["two ladders"],
            "Ladders footed. Nobody under it.",
        ),
        step(
            "Set digits and buttons, join their cables by the cards.",
            "Unjoin and coil the cables of digits and buttons.",
            1,
            &["box 4: buttons and digits", "cable cards"],
            "",
        ),
        step(
            "Hang the controller box and the switch boxes off the ground, drip loops below.",
            "Take the boxes down, dry them open.",
            1,
            &["box 5: control"],
            "",
        ),
        step(
            "Plug the cord in, press the ground-fault test button, then do the test sheet.",
            "Unplug at the house outlet, coil the cord, keep the plug in hand.",
            1,
            &["cord", "plug-in tester"],
            "Dry hands, dry plugs.",
        ),
    ]
}

fn cable(label: &str, to: &str, carries: &[String]) -> Cable {
    let mut conductors = vec![Conductor {
        number: 1,
        carries: "+12 V".into(),
        from: "+12 V".into(),
        to: format!("{to} 1"),
        current_a: 0.7,
        returns_on: 2,
        drop_v: 0.21,
    }];
    conductors.extend(carries.iter().enumerate().map(|(k, carries)| Conductor {
        number: u32::try_from(k).unwrap() + 2,
        carries: carries.clone(),
        from: carries.split(' ').next().unwrap().into(),
        to: format!("{to} {}", k + 2),
        current_a: 0.1,
        returns_on: 1,
        drop_v: 0.06,
    }));
    Cable {
        label: label.into(),
        from: "board".into(),
        to: to.into(),
        length_mm: 7_620.0,
        size: "18 AWG".into(),
        conductors,
    }
}

fn circuit() -> CircuitUse {
    CircuitUse {
        name: "porch".into(),
        voltage_v: 120.0,
        breaker_a: 15.0,
        allowed_a: 12.0,
        all_lit_a: 1.02,
        worst_pose_a: 0.86,
        ground_fault: "class A".into(),
        leakage_a: 0.0012,
        leakage_limit_a: 0.0015,
        cord: CordUse { size: "16 AWG".into(), length_mm: 22_860.0, rated_a: 10.0, drop_v: 0.62 },
        feeds: vec!["box P".into(), "box Q".into(), "12 V supply".into()],
    }
}

fn note() -> Finding {
    Finding {
        code: "hang/anchor",
        severity: Severity::Note,
        stage: "hang",
        concerns: vec!["clubs".into()],
        discriminator: None,
        verdict: "This check found nothing: the rope pulls 98 N where 380 N may be asked of it.".into(),
        working: Some(Working {
            formula: "parabola-tension",
            written: "H = w L^2 / (8 s)".into(),
            values: vec![Value {
                name: "sag".into(),
                shown: "20 3/8 in".into(),
                origin: Origin::Worked { formula: "channel-current", inputs: vec![] },
            }],
            result: "98 N".into(),
            limit: Some("380 N".into()),
            margin: Some("26 % of the limit used".into()),
            source: "any statics text: the parabola under an even load".into(),
        }),
        cures: vec![],
        withholds: vec![],
    }
}

fn trials() -> Vec<Trial> {
    let trial = |act: &str, at: &str, expected: &str, otherwise: &str| Trial {
        act: act.into(),
        at: at.into(),
        expected: expected.into(),
        otherwise: otherwise.into(),
    };
    vec![
        trial(
            "Measure between +12 V and ground, nothing plugged in",
            "terminals of the supply",
            "11.8 to 12.6 V",
            "supply not plugged in, or its fuse",
        ),
        trial(
            "Roll call: press west until A1 shows",
            "digits show 1",
            "west always lit, nothing else",
            "cable C1, conductor 2",
        ),
        trial(
            "Press west",
            "pin D2 to ground",
            "0 V while held, 5 V else",
            "button wire broken, or to the wrong pin",
        ),
        trial(
            "All lit for a minute",
            "plug-in meter at the porch outlet",
            "118 to 126 W",
            "a strand dark: roll call",
        ),
        trial(
            "Press the ground-fault test button",
            "porch outlet",
            "all dark at once",
            "do not run it: electrician",
        ),
    ]
}

/// The plan of the two jugglers.
pub(crate) fn plan(units: Units) -> Plan {
    let channels = channels();
    let paths = channels
        .iter()
        .enumerate()
        .map(|(k, channel)| SignalPath {
            light: channel.name.clone(),
            channel: k,
            by: vec![
                format!("cable C{}", k / 8 + 1),
                format!("board {}", channel.label),
                "ribbon R1".into(),
                "D11".into(),
            ],
        })
        .collect();
    let rig = channels
        .iter()
        .map(|channel| RigLine {
            output: channel.label.clone(),
            stands_for: channel.name.clone(),
            resistor_ohm: 1000.0,
        })
        .collect();
    let labels = |range: std::ops::Range<usize>| -> Vec<String> {
        channels[range].iter().map(|c| format!("{} {}", c.label, c.name)).collect()
    };
    let post = |name: &str, x_mm| Post {
        name: name.into(),
        place: Place { x_mm, y_mm: 0.0, depth_mm: 600.0 },
        tie_mm: 4_267.2,
        pull_n: 98.0,
        pull_deg: -11.0,
        moment_nm: 410.0,
    };
    let button = |name: &str, pin: &str, port: &str, x_mm, lamp| Button {
        name: name.into(),
        pin: pin.into(),
        port: port.into(),
        lamp: Some(lamp),
        place: Place { x_mm, y_mm: 914.4, depth_mm: -1_500.0 },
    };
    let stand = |panel: &str| Stand {
        panel: panel.into(),
        base_mm: 1_219.2,
        mass_kg: 18.0,
        gust_m_s: 20.0,
        force_n: 1_060.0,
        guys: [1, 2]
            .map(|k| Guy {
                label: format!("{panel} G{k}"),
                tie_mm: 1_600.0,
                stake_mm: 1_600.0,
                cut_mm: 2_700.0,
                tension_n: 640.0,
                pull_test_n: 960.0,
            })
            .into(),
        ballast_kg: 40.0,
        lay_flat_m_s: 17.9,
    };
    let switch_box = |label: &str| SwitchBoxUse {
        label: label.into(),
        part: "switch-box-4".into(),
        outlets: 4,
        circuit: "porch".into(),
        listed: Some("UL 508".into()),
        current_a: 0.24,
        shortest_ms: 30,
    };
    Plan {
        title: "Club passing".into(),
        nearest_mm: 3_657.6,
        farthest_mm: 18_288.0,
        panels: vec![panel("west", false, 0.0, 0), panel("east", true, 12_144.0, 4)],
        stands: vec![stand("west"), stand("east")],
        posts: vec![post("west", 1_500.0), post("east", 1_500.0 + APART_MM)],
        spans: vec![span()],
        digits: vec![digits()],
        buttons: vec![button("west", "D2", "PD2", 3_600.0, 29), button("east", "D3", "PD3", 9_700.0, 30)],
        boards: ["A", "B", "C", "D"]
            .map(|label| Board {
                label: label.into(),
                part: "driver-board-8".into(),
                outputs: 8,
                labels: Vec::new(),
                current_a: 0.6,
            })
            .into(),
        switch_boxes: vec![switch_box("box P"), switch_box("box Q")],
        circuits: vec![circuit()],
        controller: ControllerUse {
            part: "controller-328".into(),
            chip: "ATmega328P".into(),
            clock_hz: 16_000_000,
            pins: [
                ("D2", "PD2", "button west"),
                ("D3", "PD3", "button east"),
                ("D10", "PB2", "register latch"),
                ("D11", "PB3", "register data"),
                ("D13", "PB5", "register clock"),
            ]
            .map(|(pin, port, does)| PinUse { pin: pin.into(), port: port.into(), does: does.into() })
            .into(),
        },
        watch: Some(watch()),
        supply: SupplyUse {
            part: "class2-12v-5a".into(),
            voltage_v: 12.0,
            rated_a: 5.0,
            needed_a: 1.36,
            listed: Some("UL 1310 Class 2".into()),
        },
        cables: vec![cable("C1", "span", &labels(8..15)), cable("C2", "digits", &labels(15..29))],
        enclosures: vec![Enclosure {
            label: "controller box".into(),
            part: "box-ip65-200x150".into(),
            holds: vec!["controller".into(), "boards A to D".into()],
            notes: vec![
                "Cords leave through the floor of the box, each with a drip loop below it.".into(),
                "Two drains of 5 mm in the floor, covered with mesh.".into(),
            ],
        }],
        season: Some(Season {
            nights: (0..6)
                .map(|k| Night {
                    date: format!("2027-12-{:02}", 1 + 6 * k),
                    sunset: "17:09".into(),
                    on: "17:24".into(),
                    off: "21:30".into(),
                })
                .collect(),
            count: 38,
            hours: 158.0,
            energy_kwh: 19.4,
        }),
        flashing: vec![],
        put_up: steps(),
        trials: trials(),
        signal_paths: paths,
        rig,
        parts: vec![PartLine {
            part: "led-50-4in-fullwave".into(),
            what: "strand of 50 LED lamps, 4 in apart, 120 V".into(),
            needed: 12,
            spare: 1,
            have: 6,
            buy: 7,
            unit: "strand".into(),
        }],
        stops: [
            "idea",
            "draw",
            "drill",
            "string",
            "hang",
            "digits",
            "switch",
            "wire",
            "power",
            "shelter",
            "buy",
            "program",
            "try",
            "put up",
            "run",
            "take down",
        ]
        .map(|name| Stop {
            name,
            news: "nothing to mend".into(),
            sentence: "All is worked out.".into(),
            state: StageState::Ready,
        })
        .into(),
        findings: vec![note()],
        withheld: vec![],
        origins: Origins::default(),
        channels,
        ..super::plan(units)
    }
}

/// As much of the rules as the book reads.
pub(crate) fn form() -> Form {
    let figure = |name: &str| Figure { name: name.into(), poses: POSES.map(Into::into).into() };
    let mut spots: Vec<String> = (1..=7).map(|k| format!("club.{k}")).collect();
    spots.extend(["west.button".to_owned(), "east.button".to_owned()]);
    Form {
        buttons: vec!["west".into(), "east".into()],
        figures: vec![figure("west"), figure("east")],
        spots,
        digits: vec![Digits { name: "rally".into(), count: 2 }],
        ..super::form()
    }
}

/// A watch with as many pins as the real ones, and words as long.
fn watch() -> Watch {
    let chip = |label: &str, part: &str, pins: u32| Chip {
        label: label.into(),
        part: part.into(),
        pins: (1..=pins)
            .map(|pin| ChipPin {
                pin,
                name: format!("RX{pin}/CX{pin}"),
                to: "digits enable in, and R4".into(),
            })
            .collect(),
    };
    let small = |label: &str| SmallPart {
        label: label.into(),
        what: "quarter-watt 150000 ohm".into(),
        from: "digits enable in".into(),
        to: "U1 pin 16".into(),
        does: "sets the pulse, with RT: film, no ceramic".into(),
    };
    Watch {
        label: "W".into(),
        resistor_ohm: 150_000.0,
        capacitor_uf: 1.0,
        beat_ms: 20.0,
        shortest_ms: 76.0,
        longest_ms: 139.0,
        chips: vec![chip("U1", "monostable-74hc4538", 16), chip("U2", "or-gate-74hc32", 14)],
        small: ["RT", "CT", "R1", "R2", "R3", "R4", "CA", "CB"].map(small).into(),
        holds: vec![Hold {
            boards: vec!["A".into(), "B".into()],
            by: vec![
                "board A enable".into(),
                "W enable out: U2 pin 3, low is on".into(),
                "W beat: pin D8".into(),
            ],
        }],
    }
}
