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
        places in proptest::collection::vec((0.0..300.0, 0.0..300.0), 2..8), copies in 1usize..5,
    ) {
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
