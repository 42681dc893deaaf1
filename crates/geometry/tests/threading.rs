//! Threading against an exact method on few points, and against the lengths that LKH 3.0.8 found on many.

use geometry::{Point, distance, extra_stops, thread};
use proptest::prelude::*;

/// Fewest extra stops, then least length, over all open paths: dynamic programming over subsets (Held and Karp 1962).
fn exact(points: &[Point], reach: f64) -> (u32, f64) {
    let count = points.len();
    let better = |a: (u32, f64), b: (u32, f64)| if a.0 < b.0 || (a.0 == b.0 && a.1 <= b.1) { a } else { b };
    let none = (u32::MAX, f64::INFINITY);
    let mut best = vec![vec![none; count]; 1 << count];
    for start in 0..count {
        best[1 << start][start] = (0, 0.0);
    }
    for set in 1..1usize << count {
        for last in 0..count {
            let (stops, length) = best[set][last];
            if stops == u32::MAX {
                continue;
            }
            for next in (0..count).filter(|next| set >> next & 1 == 0) {
                let hop = distance(points[last], points[next]);
                let reached = &mut best[set | 1 << next][next];
                *reached = better(*reached, (stops + extra_stops(hop, reach), length + hop));
            }
        }
    }
    best[(1 << count) - 1].iter().copied().fold(none, better)
}

fn stops(points: &[Point], order: &[usize], reach: f64) -> u32 {
    order.windows(2).map(|pair| extra_stops(distance(points[pair[0]], points[pair[1]]), reach)).sum()
}

fn points_of(places: Vec<(f64, f64)>) -> Vec<Point> {
    places.into_iter().map(Point::from).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn few_points_are_threaded_as_well_as_possible(
        places in proptest::collection::vec((0.0..400.0, 0.0..400.0), 3..11),
        reach in 60.0..200.0,
    ) {
        let points = points_of(places);
        let way = thread(&points, Point::ZERO, reach, 30);
        let (least_stops, least_length) = exact(&points, reach);
        prop_assert_eq!(stops(&points, &way.order, reach), least_stops);
        // The wish for a near start may cost a thousandth of the distance it saves.
        prop_assert!(way.length <= least_length + 0.6, "{} against {}", way.length, least_length);
    }

    #[test]
    fn every_point_is_threaded_once(
        places in proptest::collection::vec((-50.0..50.0, -50.0..50.0), 0..60),
        reach in 0.0..40.0,
    ) {
        let points = points_of(places);
        let way = thread(&points, Point::ZERO, reach, 3);
        let mut seen = way.order.clone();
        seen.sort_unstable();
        prop_assert_eq!(seen, (0..points.len()).collect::<Vec<_>>());
        let length: f64 = way.order.windows(2).map(|pair| distance(points[pair[0]], points[pair[1]])).sum();
        prop_assert!((length - way.length).abs() < 1e-6);
        prop_assert_eq!(&thread(&points, Point::ZERO, reach, 3), &way);
    }
}

#[derive(serde::Deserialize)]
struct Published {
    best: f64,
    points: Vec<(f64, f64)>,
}

fn within_share(data: &str, share: f64) {
    let published: Published = serde_json::from_str(data).expect("the test data can be read");
    let points = points_of(published.points);
    let way = thread(&points, points[0], f64::INFINITY, 20);
    assert!(way.length <= published.best * (1.0 + share), "{} against {}", way.length, published.best);
    // Nothing is shorter than the best known by more than its rounding: that would mean a wrong length.
    assert!(way.length >= published.best * 0.999, "{} against {}", way.length, published.best);
}

#[test]
fn a_hundred_random_points_come_within_one_per_cent_of_lkh() {
    within_share(include_str!("data/u100.json"), 0.01);
}

#[test]
fn two_hundred_random_points_come_within_three_per_cent_of_lkh() {
    within_share(include_str!("data/u200.json"), 0.03);
}

#[test]
fn two_hundred_points_on_outlines_come_within_three_per_cent_of_lkh() {
    within_share(include_str!("data/o200.json"), 0.03);
}

#[test]
fn a_row_with_one_wide_gap_needs_its_stops_and_no_more() {
    let points: Vec<Point> = (0..40)
        .map(|at| Point::new(f64::from(at) * 80.0 + if at >= 20 { 200.0 } else { 0.0 }, 0.0))
        .collect();
    let way = thread(&points, Point::new(0.0, 0.0), 90.0, 20);
    assert_eq!(stops(&points, &way.order, 90.0), 3);
    assert_eq!(way.order, (0..40).collect::<Vec<_>>());
}

#[test]
fn equal_points_and_single_points_are_no_trouble() {
    assert_eq!(thread(&[], Point::ZERO, 1.0, 1).order, Vec::<usize>::new());
    assert_eq!(thread(&[Point::ZERO], Point::ZERO, 1.0, 1).order, [0]);
    let same = vec![Point::new(3.0, 3.0); 12];
    let way = thread(&same, Point::ZERO, 1.0, 5);
    assert_eq!((way.order.len(), way.length), (12, 0.0));
}
