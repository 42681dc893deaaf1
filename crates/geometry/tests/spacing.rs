//! Points along lines: on the lines, as many as asked, none too close, ends and corners kept.

use geometry::{Keep, Point, Polyline, distance, place_points};
use proptest::prelude::*;

fn line(places: &[(f64, f64)]) -> Vec<Point> {
    places.iter().copied().map(Point::from).collect()
}

fn circle(centre: Point, radius: f64) -> Vec<Point> {
    let mut points: Vec<Point> = (0..400)
        .map(|at| {
            let angle = f64::from(at) / 400.0 * std::f64::consts::TAU;
            centre + radius * geometry::Vec2::new(libm::cos(angle), libm::sin(angle))
        })
        .collect();
    points.push(points[0]);
    points
}

fn off_lines(point: Point, lines: &[Vec<Point>]) -> f64 {
    let steps = lines.iter().flat_map(|line| line.windows(2));
    let from = |a: Point, b: Point| {
        let way = b - a;
        let share = ((point - a).dot(way) / way.dot(way).max(1e-300)).clamp(0.0, 1.0);
        distance(point, a + way * share)
    };
    steps.map(|step| from(step[0], step[1])).fold(f64::INFINITY, f64::min)
}

#[test]
fn a_square_keeps_its_corners() {
    let square = line(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0), (0.0, 0.0)]);
    let placed = place_points(std::slice::from_ref(&square), 8, 0.7, 5.0, &Keep::default()).unwrap();
    for corner in &square {
        assert!(placed.points.contains(corner), "{corner}");
    }
    assert_eq!(placed.widest, 50.0);
    assert_eq!(place_points(&[square], 3, 0.7, 5.0, &Keep::default()), None);
}

#[test]
fn a_circle_has_no_corner_and_even_chords() {
    let placed =
        place_points(&[circle(Point::new(10.0, 20.0), 100.0)], 12, 0.7, 10.0, &Keep::default()).unwrap();
    // A regular dodecagon in a circle of radius 100 has sides of 200 sin 15 degrees.
    for at in 0..12 {
        let chord = distance(placed.points[at], placed.points[(at + 1) % 12]);
        assert!((chord - 200.0 * libm::sin(std::f64::consts::PI / 12.0)).abs() < 0.05, "{chord}");
    }
}

#[test]
fn ends_that_meet_share_a_point() {
    let lines = [
        line(&[(0.0, 0.0), (50.0, 0.0)]),
        line(&[(51.0, 1.0), (51.0, 40.0)]),
        line(&[(50.0, -1.0), (90.0, -20.0)]),
    ];
    let placed = place_points(&lines, 4, 0.7, 5.0, &Keep::default()).unwrap();
    assert_eq!(placed.points.len(), 4);
    assert_eq!(place_points(&lines, 3, 0.7, 5.0, &Keep::default()), None);
}

#[test]
fn an_end_slides_inward_by_what_is_missing() {
    let placed = place_points(
        &[line(&[(0.0, 0.0), (100.0, 0.0)])],
        2,
        0.7,
        10.0,
        &Keep { points: &[Point::new(-4.0, 0.0)], bands: &[] },
    )
    .unwrap();
    assert!(
        placed.points.iter().any(|point| distance(*point, Point::new(6.0, 0.0)) < 0.02),
        "{:?}",
        placed.points
    );
}

#[test]
fn more_points_than_there_is_room_for_are_refused() {
    let lines = [line(&[(0.0, 0.0), (100.0, 0.0)])];
    assert!(place_points(&lines, 11, 0.7, 10.0, &Keep::default()).is_some());
    assert_eq!(place_points(&lines, 12, 0.7, 10.0, &Keep::default()), None);
    assert_eq!(place_points(&[], 1, 0.7, 10.0, &Keep::default()), None);
}

/// The least widest spacing by trying every way to share the points out.
fn best_share(lengths: &[f64], extra: usize) -> f64 {
    match lengths {
        [] => {
            if extra == 0 {
                0.0
            } else {
                f64::INFINITY
            }
        }
        [first, rest @ ..] => (0..=extra)
            .map(|here| (first / (here as f64 + 1.0)).max(best_share(rest, extra - here)))
            .fold(f64::INFINITY, f64::min),
    }
}

proptest! {
    #[test]
    fn the_widest_spacing_is_least(lengths in proptest::collection::vec(20.0..300.0, 1..5), extra in 0usize..9) {
        let lines: Vec<_> = lengths.iter().enumerate()
            .map(|(at, &length)| line(&[(0.0, at as f64 * 50.0), (length, at as f64 * 50.0)])).collect();
        let placed = place_points(&lines, lengths.len() * 2 + extra, 0.7, 0.5, &Keep::default()).unwrap();
        prop_assert!((placed.widest - best_share(&lengths, extra)).abs() < 1e-6);
    }

    #[test]
    fn what_is_placed_keeps_every_promise(
        lines in proptest::collection::vec(proptest::collection::vec((0.0..500.0, 0.0..500.0), 2..7), 1..4),
        avoid in proptest::collection::vec((0.0..500.0, 0.0..500.0), 0..8),
        n in 1usize..60,
        ring in any::<bool>(),
    ) {
        let mut lines: Vec<_> = lines.iter().map(|places| line(places)).collect();
        if ring {
            lines.push(circle(Point::new(250.0, 250.0), 120.0));
        }
        let avoid = line(&avoid);
        if let Some(placed) = place_points(&lines, n, 0.7, 12.0, &Keep { points: &avoid, bands: &[] }) {
            prop_assert_eq!(placed.points.len(), n);
            for (at, &point) in placed.points.iter().enumerate() {
                prop_assert!(off_lines(point, &lines) < 1e-6);
                for &other in placed.points[..at].iter().chain(&avoid) {
                    prop_assert!(distance(point, other) >= 12.0 * 0.999);
                }
            }
            let longest = lines.iter().map(|line| Polyline::new(line).length()).fold(0.0, f64::max);
            prop_assert!(placed.widest <= longest + 1e-6);
        }
    }

    #[test]
    fn room_enough_is_always_used(n in 6usize..40, x in 0.0..400.0) {
        let lines = [line(&[(0.0, 0.0), (400.0, 0.0)]), circle(Point::new(200.0, 300.0), 120.0)];
        let placed = place_points(&lines, n, 0.7, 12.0, &Keep { points: &[Point::new(x, 3.0)], bands: &[] });
        prop_assert!(placed.is_some());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_point_lies_in_a_band(at in 40.0..460.0, half in 5.0..20.0, upright in any::<bool>(), n in 2usize..40) {
        let lines = [line(&[(0.0, 0.0), (500.0, 500.0)]), line(&[(0.0, 480.0), (470.0, 10.0)])];
        let bands = [geometry::Band { upright, at, half }];
        let placed = place_points(&lines, n, 0.7, 12.0, &Keep { points: &[], bands: &bands });
        if n >= 4 {
            prop_assert!(placed.is_some());
        }
        for point in placed.iter().flat_map(|placed| &placed.points) {
            let side = if upright { point.x } else { point.y };
            prop_assert!((side - at).abs() >= half * (1.0 - 1e-6), "{point:?}");
        }
    }
}
