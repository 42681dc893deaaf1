//! Lines that run together in several layers: told once, in the right set, with nothing lost.

use geometry::{BezPath, Group, Point, Polyline, shared_lines};
use proptest::prelude::*;

fn layer(paths: &[&str]) -> Vec<BezPath> {
    paths.iter().map(|path| BezPath::from_svg(path).expect("a path")).collect()
}

fn length(group: &Group) -> f64 {
    group.lines.iter().map(|line| Polyline::new(line).length()).sum()
}

fn sets(groups: &[Group]) -> Vec<Vec<usize>> {
    groups.iter().map(|group| group.layers.clone()).collect()
}

#[test]
fn a_common_body_and_two_arms() {
    let body = "M0 0C0 200 100 200 100 0";
    let groups =
        shared_lines(&[layer(&[body, "M100 0L200 50"]), layer(&["M100 0L200 -50", body])], 2.0, 10.0);
    assert_eq!(sets(&groups), [vec![0, 1], vec![0], vec![1]]);
    let whole: f64 =
        layer(&[body])[0].segments().map(|piece| kurbo::ParamCurveArclen::arclen(&piece, 1e-6)).sum();
    assert!((length(&groups[0]) - whole).abs() < 0.1, "{} against {whole}", length(&groups[0]));
    for arm in &groups[1..] {
        assert!((length(arm) - 12500.0_f64.sqrt()).abs() < 0.01);
        assert!(arm.lines[0].contains(&Point::new(100.0, 0.0)));
    }
}

#[test]
fn a_line_between_two_does_not_chain_them() {
    // 1 is near 0 and near 2, but 0 and 2 are too far apart.
    let groups =
        shared_lines(&[layer(&["M0 0H100"]), layer(&["M0 1.5H100"]), layer(&["M0 3H100"])], 2.0, 10.0);
    assert_eq!(sets(&groups), [vec![0, 1], vec![2]]);
}

#[test]
fn lines_that_cross_are_not_shared() {
    let groups = shared_lines(&[layer(&["M0 0H100"]), layer(&["M50 -50V50"])], 4.0, 10.0);
    assert_eq!(sets(&groups), [vec![0], vec![1]]);
    assert_eq!((length(&groups[0]), length(&groups[1])), (100.0, 100.0));
}

#[test]
fn a_line_drawn_backwards_is_the_same_line() {
    let groups = shared_lines(&[layer(&["M0 0L60 80"]), layer(&["M60 80L0 0"])], 1.0, 10.0);
    assert_eq!(sets(&groups), [vec![0, 1]]);
}

#[test]
fn a_short_run_goes_with_its_neighbour_but_a_short_line_stays() {
    let bumped = "M0 0H48L50 5L52 0H100";
    let groups = shared_lines(&[layer(&["M0 0H100", "M0 50H4"]), layer(&[bumped])], 2.0, 12.0);
    assert_eq!(sets(&groups), [vec![0, 1], vec![0]]);
    assert_eq!(length(&groups[1]), 4.0);
}

#[test]
fn closed_lines_stay_closed_and_pieces_are_joined() {
    let groups = shared_lines(&[layer(&["M0 0H50V50H0Z"]), layer(&["M0 0H50V50H0Z"])], 1.0, 10.0);
    assert_eq!(groups.len(), 1);
    assert_eq!(groups[0].lines[0].first(), groups[0].lines[0].last());
    let joined = shared_lines(&[layer(&["M0 0H50", "M50 50V0"])], 1.0, 10.0);
    assert_eq!(joined[0].lines.len(), 1);
    let forked = shared_lines(&[layer(&["M0 0H50", "M50 50V0", "M50 0L90 -40"])], 1.0, 10.0);
    assert_eq!(forked[0].lines.len(), 3);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn equal_layers_are_one_group_of_the_whole_length(
        heights in proptest::collection::vec(0.0..120.0, 2..8), copies in 1usize..5,
    ) {
        // No turn is so sharp that a line runs along itself: that stretch would be told once.
        let places: Vec<(f64, f64)> = (0u32..).zip(&heights).map(|(at, &y)| (f64::from(at) * 60.0, y)).collect();
        let mut path = BezPath::new();
        path.move_to(places[0]);
        places[1..].iter().for_each(|&place| path.line_to(place));
        let whole: f64 = Polyline::new(&places.iter().copied().map(Point::from).collect::<Vec<_>>()).length();
        let groups = shared_lines(&vec![vec![path]; copies], 2.0, 5.0);
        prop_assert_eq!(sets(&groups), [(0..copies).collect::<Vec<_>>()]);
        prop_assert!((length(&groups[0]) - whole).abs() < 1e-6 * whole);
    }

    #[test]
    fn nothing_is_lost(
        layers in proptest::collection::vec(proptest::collection::vec((0.0..200.0, 0.0..200.0), 2..6), 1..4),
    ) {
        let paths: Vec<Vec<BezPath>> = layers.iter().map(|places| {
            let mut path = BezPath::new();
            path.move_to(places[0]);
            places[1..].iter().for_each(|&place| path.line_to(place));
            vec![path]
        }).collect();
        let (tolerance, shortest) = (3.0, 8.0);
        let groups = shared_lines(&paths, tolerance, shortest);
        for (layer, places) in layers.iter().enumerate() {
            let line = Polyline::new(&places.iter().copied().map(Point::from).collect::<Vec<_>>());
            let told: Vec<Point> = groups.iter().filter(|group| group.layers.contains(&layer))
                .flat_map(|group| group.lines.iter().flatten().copied()).collect();
            for step in 0..50 {
                let point = line.at(line.length() * f64::from(step) / 49.0);
                let near = told.iter().map(|&other| geometry::distance(point, other)).fold(f64::INFINITY, f64::min);
                prop_assert!(near <= tolerance * 2.0 + shortest, "{point} of layer {layer} is {near} away");
            }
        }
    }
}

/// The whole length that is told for each set of layers.
fn lengths(groups: &[Group]) -> Vec<(Vec<usize>, f64)> {
    groups.iter().map(|group| (group.layers.clone(), length(group))).collect()
}

#[test]
fn a_fan_of_lines_is_shared_only_where_its_lines_are_near() {
    // Three lines from one point, each turned by 2 degrees (0.0349 rad) from the one before: within 2 of the lowest up to
    // 57 for its neighbour (2 / sin 2 deg = 57.3) and up to 28.7 for the third.
    let groups = shared_lines(
        &[layer(&["M0 0H300"]), layer(&["M0 0L299.82 10.47"]), layer(&["M0 0L299.27 20.93"])],
        2.0,
        10.0,
    );
    let told = lengths(&groups);
    let of = |set: &[usize]| {
        told.iter().filter(|(layers, _)| layers == set).map(|(_, length)| length).sum::<f64>()
    };
    assert!((of(&[0, 1, 2]) - 28.7).abs() < 3.0, "{told:?}");
    assert!((of(&[0, 1]) - 28.6).abs() < 3.0, "{told:?}");
    assert!((of(&[0]) - 242.7).abs() < 3.0, "{told:?}");
    // Nothing of line 0 runs with line 2 alone, and no chain joins 1 and 2 far out, where they are 5 apart.
    assert!(of(&[1]) > 200.0 && of(&[2]) > 200.0, "{told:?}");
}

#[test]
fn a_line_drawn_twice_in_one_pose_is_one_line() {
    let once = shared_lines(&[layer(&["M0 0H100"])], 2.0, 10.0);
    for twice in [
        &["M0 0H100", "M0 0H100"][..],
        &["M0 0H100", "M100 0.5H0"],
        &["M0 0H100H0"],
        &["M0 0H60", "M40 0H100"],
    ] {
        let groups = shared_lines(&[layer(twice)], 2.0, 10.0);
        assert_eq!(sets(&groups), sets(&once));
        assert!((length(&groups[0]) - 100.0).abs() <= 14.0, "{twice:?}: {}", length(&groups[0]));
    }
}

#[test]
fn a_tangent_is_shared_only_where_it_touches_and_a_short_touch_is_not_told() {
    // A circle of radius 100 is within 2 of its tangent for sqrt(2 x 100 x 2) = 20 to each side.
    let circle = "M0 0A100 100 0 1 1 0 200A100 100 0 1 1 0 0Z";
    let line = "M-150 0H150";
    let long = shared_lines(&[layer(&[line]), layer(&[circle])], 2.0, 20.0);
    assert_eq!(sets(&long), [vec![0, 1], vec![0], vec![1]]);
    assert!((length(&long[0]) - 40.0).abs() < 4.0, "{}", length(&long[0]));
    let short = shared_lines(&[layer(&[line]), layer(&[circle])], 2.0, 60.0);
    assert_eq!(sets(&short), [vec![0], vec![1]]);
}

#[test]
fn a_loop_crosses_itself_and_stays_whole() {
    let loop_path = "M0 0C150 0 150 100 75 100C0 100 0 0 150 0";
    let whole: f64 =
        layer(&[loop_path])[0].segments().map(|piece| kurbo::ParamCurveArclen::arclen(&piece, 1e-6)).sum();
    let groups = shared_lines(&[layer(&[loop_path]), layer(&[loop_path])], 2.0, 15.0);
    assert_eq!(sets(&groups), [vec![0, 1]]);
    // Where the ends run together along the bottom they are one line; nothing else is lost.
    assert!(
        length(&groups[0]) <= whole + 0.1 && length(&groups[0]) > whole - 160.0,
        "{} of {whole}",
        length(&groups[0])
    );
}

#[test]
fn a_tiny_gap_makes_no_bunch_of_its_own() {
    let gap = shared_lines(&[layer(&["M0 0H49.5", "M50.5 0H100"]), layer(&["M0 0H100"])], 2.0, 10.0);
    assert_eq!(sets(&gap), [vec![0, 1]], "{:?}", lengths(&gap));
}

/// A smooth path through these places, as one curve for each pair.
fn smooth(places: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(places[0]);
    for pair in places.windows(2) {
        let bend = (pair[1].0 - pair[0].0) / 3.0;
        path.curve_to((pair[0].0 + bend, pair[0].1), (pair[1].0 - bend, pair[1].1), pair[1]);
    }
    path
}

/// The same curve in twice as many pieces.
fn subdivided(path: &BezPath) -> BezPath {
    let mut pieces = BezPath::new();
    for (index, piece) in path.segments().enumerate() {
        if index == 0 {
            pieces.move_to(kurbo::ParamCurve::start(&piece));
        }
        for half in [
            kurbo::ParamCurve::subsegment(&piece, 0.0..0.37),
            kurbo::ParamCurve::subsegment(&piece, 0.37..1.0),
        ] {
            pieces.push(half.as_path_el());
        }
    }
    pieces
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn direction_and_subdivision_do_not_change_the_bunches(
        heights in proptest::collection::vec(0.0..80.0, 4..7), arm in 100.0..200.0, far in 20.0..60.0,
    ) {
        let places: Vec<(f64, f64)> = (0u32..).zip(&heights).map(|(at, &y)| (f64::from(at) * 90.0, y)).collect();
        let body = smooth(&places);
        let end = *places.last().unwrap();
        let arm_at = |rise: f64| {
            let mut path = BezPath::new();
            path.move_to(end);
            path.line_to((end.0 + arm, end.1 + rise));
            path
        };
        let plain = vec![vec![body.clone(), arm_at(far)], vec![body.clone(), arm_at(-far)]];
        let wanted = lengths(&shared_lines(&plain, 2.0, 15.0));
        prop_assert_eq!(wanted.iter().map(|(set, _)| set.clone()).collect::<Vec<_>>(), [vec![0, 1], vec![0], vec![1]]);
        let hostile = [
            vec![plain[0].clone(), vec![body.reverse_subpaths(), arm_at(-far)]],
            vec![plain[0].clone(), vec![subdivided(&body), arm_at(-far)]],
            vec![vec![subdivided(&body.reverse_subpaths()), arm_at(far)], plain[1].clone()],
            vec![plain[0].clone(), vec![kurbo::Affine::translate((0.3, -0.4)) * body.clone(), arm_at(-far)]],
            vec![vec![arm_at(far), body.clone()], vec![arm_at(-far), body.clone(), body.clone()]],
        ];
        for layers in hostile {
            let found = lengths(&shared_lines(&layers, 2.0, 15.0));
            prop_assert_eq!(found.len(), wanted.len(), "{:?} {:?}", found, wanted);
            for ((set, length), (other, wanted)) in found.iter().zip(&wanted) {
                prop_assert_eq!(set, other);
                prop_assert!((length - wanted).abs() < 12.0, "{} against {}", length, wanted);
            }
        }
    }
}
