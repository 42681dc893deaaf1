//! A yard with everything in it: twins drilled face to face, sheets with joints, channels in order, work on paper.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::{YARD, flagship, yard};
use plan::{LitBy, Panel, Plan, Planner, StageState, plan};
use std::collections::BTreeSet;

fn planned() -> Plan {
    plan(&flagship().0)
}

fn twins(plan: &Plan) -> (&Panel, &Panel) {
    let [west, east] = &plan.panels[..] else { panic!("two panels") };
    (west, east)
}

#[test]
fn twins_are_drilled_face_to_face() {
    let plan = planned();
    let (west, east) = twins(&plan);
    assert_eq!((west.twin_of.as_deref(), east.twin_of.as_deref()), (None, Some("west")));
    assert!(east.mirrored && !west.mirrored);
    assert_eq!(west.holes.len(), east.holes.len());
    for (one, other) in west.holes.iter().zip(&east.holes) {
        // Sheets face to face, lower edges together: across is told from the other side.
        assert!((one.x_mm - (east.width_mm - other.x_mm)).abs() < 1e-9, "hole {}", one.number);
        assert!((one.y_mm - other.y_mm).abs() < 1e-9);
        assert_eq!((one.number, one.bunch), (other.number, other.bunch));
    }
    for (one, other) in west.strands.iter().zip(&east.strands) {
        assert_eq!(one.hops, other.hops);
        assert_ne!(one.label, other.label, "labels tell the panels apart");
    }
    for (one, other) in west.bunches.iter().zip(&east.bunches) {
        assert_ne!(one.channel, other.channel);
        let (first, turned) = (one.lines_mm[0][0], other.lines_mm[0][0]);
        assert!((first[0] - (east.width_mm - turned[0])).abs() < 0.02 && (first[1] - turned[1]).abs() < 1e-9);
    }
}

#[test]
fn sheets_fit_and_no_hole_is_near_a_joint_an_edge_or_another_hole() {
    let plan = planned();
    let sheet = [1219.2, 2438.4];
    for panel in &plan.panels {
        let area: f64 = panel.pieces.iter().map(|piece| piece.width_mm * piece.height_mm).sum();
        assert!((area - panel.width_mm * panel.height_mm).abs() < 1.0, "the pieces cover the panel");
        for piece in &panel.pieces {
            let sides = [piece.width_mm.min(piece.height_mm), piece.width_mm.max(piece.height_mm)];
            assert!(sides[0] <= sheet[0] + 0.5 && sides[1] <= sheet[1] + 0.5, "4 x 8 ft: {piece:?}");
        }
        // Two diameters from every edge, joints too; one diameter of land between holes. Common practice.
        let keep = 2.0 * panel.hole_mm - 1e-6;
        for hole in &panel.holes {
            let inside = |piece: &&plan::Piece| {
                hole.x_mm >= piece.x_mm + keep
                    && hole.x_mm <= piece.x_mm + piece.width_mm - keep
                    && hole.y_mm >= piece.y_mm + keep
                    && hole.y_mm <= piece.y_mm + piece.height_mm - keep
            };
            assert_eq!(
                panel.pieces.iter().filter(inside).count(),
                1,
                "hole {} of {}",
                hole.number,
                panel.name
            );
        }
        for (index, one) in panel.holes.iter().enumerate() {
            for other in &panel.holes[..index] {
                let apart = libm::hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm);
                assert!(apart - panel.hole_mm >= panel.hole_mm - 0.05, "{} and {}", one.number, other.number);
            }
        }
    }
    // Taller than its sheet is long: a panel of 9 ft is made of pieces.
    let tall = YARD.replace("height = \"6 ft\"", "height = \"9 ft\"");
    let (display, faults, _) = display::read(&yard(&tall));
    assert!(faults.iter().all(|fault| !fault.stops()), "{faults:?}");
    let tall = plan::plan(&display.unwrap());
    assert!(tall.panels[0].pieces.len() > 1);
    assert!(tall.findings.iter().any(|finding| finding.code == "drill/joint"));
    for panel in &tall.panels {
        let keep = 2.0 * panel.hole_mm - 1e-6;
        for piece in &panel.pieces {
            for edge in [piece.y_mm, piece.y_mm + piece.height_mm] {
                assert!(panel.holes.iter().all(|hole| (hole.y_mm - edge).abs() >= keep), "{}", panel.name);
            }
        }
    }
}

#[test]
fn every_light_has_one_channel_and_every_channel_lights_something() {
    let plan = planned();
    let mut used: Vec<usize> =
        plan.panels.iter().flat_map(|panel| &panel.bunches).map(|bunch| bunch.channel).collect();
    used.extend(plan.spans.iter().flat_map(|span| &span.hung).map(|hung| hung.channel));
    used.extend(plan.buttons.iter().filter_map(|button| button.lamp));
    used.extend(plan.digits.iter().flat_map(|digits| &digits.channels).flatten());
    assert_eq!(used, (0..plan.channels.len()).collect::<Vec<_>>(), "in the order of the description");
    let places: BTreeSet<(usize, u32)> =
        plan.channels.iter().map(|channel| (channel.board, channel.output)).collect();
    assert_eq!(places.len(), plan.channels.len(), "no output is used twice");
    // The rightmost digit has place 0, and digits are told from the left.
    let last = plan.digits[0].channels.last().unwrap()[0];
    assert!(matches!(plan.channels[last].lit_by, LitBy::Segment { place: 0, segment: 0, .. }));
    // Panels are on mains through outlets; what hangs or is touched is not.
    for channel in &plan.channels {
        let figure = matches!(channel.lit_by, LitBy::Poses { .. });
        assert_eq!(channel.outlet.is_some(), figure, "{}", channel.name);
        assert!(figure || channel.voltage_v < 50.0);
    }
    let paths: BTreeSet<usize> = plan.signal_paths.iter().map(|path| path.channel).collect();
    assert_eq!(paths.len(), plan.channels.len(), "every channel can be followed to its pin");
    assert_eq!(plan.rig.len(), plan.channels.len());
}

#[test]
fn the_flagship_can_be_built_as_it_stands() {
    let plan = planned();
    assert!(
        plan.withheld.is_empty(),
        "{:?}",
        plan.findings.iter().filter(|f| !f.withholds.is_empty()).collect::<Vec<_>>()
    );
    assert_eq!(plan.unbuildable().count(), 0, "{:?}", plan.unbuildable().collect::<Vec<_>>());
    for stop in &plan.stops {
        assert_eq!(stop.state, StageState::Ready, "{}", stop.name);
        assert!(stop.news.split_whitespace().count() <= 6, "{}: {}", stop.name, stop.news);
    }
    let season = plan.season.as_ref().unwrap();
    // 26 November to 2 January is 38 nights.
    assert_eq!(season.count, 38);
    assert!(plan.put_up.first().unwrap().caution.contains("Look up before you lift"));
    assert!(
        plan.put_up
            .iter()
            .any(|step| step.caution.contains("Nobody stands, climbs or pulls under this rope"))
    );
    assert!(plan.trials.iter().any(|trial| trial.act.starts_with("Roll call")));
}

#[test]
fn an_edit_in_the_yard_redoes_what_it_touches() {
    let read = |text: &str| display::read(&yard(text)).0.unwrap();
    let mut planner = Planner::new();
    planner.plan(&read(YARD));
    planner.take_runs();
    planner.plan(&read(&YARD.replace("sag = \"5 %\"", "sag = \"6 %\"")));
    let worked: Vec<&str> =
        planner.take_runs().iter().filter(|run| run.worked).map(|run| run.stage).collect();
    assert_eq!(worked, ["span"], "a deeper rope touches the span alone");
    planner.plan(&read(&YARD.replace("breaker = \"15 A\"", "breaker = \"20 A\"")));
    let worked: Vec<&str> =
        planner.take_runs().iter().filter(|run| run.worked).map(|run| run.stage).collect();
    assert!(!worked.contains(&"strands") && !worked.contains(&"wiring"), "{worked:?}");
}
