//! Shapes and path data against the examples of the SVG specification (paths and expected points quoted from memory).

use drawing::{PoseDrawing, read_svg};
use geometry::{Point, Shape};
use kurbo::{ParamCurve, ParamCurveNearest};
use source::Text;

fn pose(lines: &str) -> PoseDrawing {
    let content = format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><g id=\"only\">{lines}</g></svg>");
    let (mut drawing, faults) = read_svg(&Text::new("x.svg", content));
    assert_eq!(faults, []);
    drawing.poses.remove(0)
}

fn end(line: &geometry::BezPath) -> Point {
    line.segments().last().expect("a line").end()
}

fn near(a: Point, x: f64, y: f64) -> bool {
    geometry::distance(a, Point::new(x, y)) < 1e-6
}

/// How far a point is from a line.
fn off(line: &geometry::BezPath, x: f64, y: f64) -> f64 {
    let nearest = line.segments().map(|piece| piece.nearest(Point::new(x, y), 1e-9).distance_sq);
    nearest.fold(f64::INFINITY, f64::min).sqrt()
}

/// SVG 1.1 (second edition), 8.3.8, example arcs01: the pie slice, the other slice, and the arcs of the second path, whose
/// end points follow from the relative arcs (25,-25 after a line of 50,-25), four times each, from 600,350.
#[test]
fn arcs_end_where_the_specification_says() {
    let slice = pose("<path d=\"M300,200 h-150 a150,150 0 1,0 150,-150 z\"/>");
    assert!(off(&slice.lines[0], 300.0, 50.0) < 1e-6);
    // Three quarters of a circle of radius 150 about 300,200: its lowest and rightmost points are on it.
    assert!(off(&slice.lines[0], 300.0, 350.0) < 0.1 && off(&slice.lines[0], 450.0, 200.0) < 0.1);
    assert!(near(end(&slice.lines[0]), 300.0, 200.0));
    let wiggle = pose(
        "<path d=\"M600,350 l 50,-25 a25,25 -30 0,1 50,-25 l 50,-25 a25,50 -30 0,1 50,-25 \
         l 50,-25 a25,75 -30 0,1 50,-25 l 50,-25 a25,100 -30 0,1 50,-25 l 50,-25\"/>",
    );
    assert!(near(end(&wiggle.lines[0]), 1050.0, 125.0), "{:?}", end(&wiggle.lines[0]));
}

/// SVG 1.1, 8.3.6, example cubic01: `S` takes the mirrored control point, so the curve ends at 400,200 going up.
#[test]
fn smooth_cubics_follow_the_specification() {
    let line = &pose("<path d=\"M100,200 C100,100 250,100 250,200 S400,300 400,200\"/>").lines[0];
    let kurbo::PathSeg::Cubic(second) = line.segments().nth(1).unwrap() else { panic!("a cubic") };
    assert!(near(second.p1, 250.0, 300.0) && near(second.p2, 400.0, 300.0) && near(second.p3, 400.0, 200.0));
}

/// SVG 1.1, 8.3.7, example quad01: `M200,300 Q400,50 600,300 T1000,300`; the curve tops at 400,175 and bottoms at 800,425.
#[test]
fn smooth_quadratics_follow_the_specification() {
    let line = &pose("<path d=\"M200,300 Q400,50 600,300 T1000,300\"/>").lines[0];
    assert!(off(line, 400.0, 175.0) < 1e-6 && off(line, 800.0, 425.0) < 1e-6);
    assert!(near(end(line), 1000.0, 300.0));
}

#[test]
fn every_shape_has_its_box() {
    for (shape, expected) in [
        ("<line x1=\"1\" y1=\"2\" x2=\"3\" y2=\"5\"/>", [1.0, 2.0, 3.0, 5.0]),
        ("<polyline points=\"0,0 4,1 2,-3\"/>", [0.0, -3.0, 4.0, 1.0]),
        ("<polygon points=\"0-1 4-2 2-3\"/>", [0.0, -3.0, 4.0, -1.0]),
        ("<circle cx=\"10\" cy=\"20\" r=\"5\"/>", [5.0, 15.0, 15.0, 25.0]),
        ("<ellipse cx=\"10\" cy=\"20\" rx=\"5\" ry=\"2\"/>", [5.0, 18.0, 15.0, 22.0]),
        ("<rect x=\"1\" y=\"1\" width=\"10\" height=\"4\" rx=\"1\"/>", [1.0, 1.0, 11.0, 5.0]),
        ("<rect x=\"1in\" width=\"10mm\" height=\"2.54cm\"/>", [96.0, 0.0, 96.0 + 960.0 / 25.4, 96.0]),
    ] {
        let found = pose(shape).lines[0].bounding_box();
        for (value, wanted) in [found.x0, found.y0, found.x1, found.y1].into_iter().zip(expected) {
            assert!((value - wanted).abs() < 1e-3, "{shape}: {found:?}");
        }
    }
}

#[test]
fn transforms_apply_outermost_first_and_uses_move() {
    let shape = "<g transform=\"translate(100 0) scale(2)\"><g transform=\"rotate(90)\"><path d=\"M0 0L10 0\"/></g></g>";
    assert!(near(end(&pose(shape).lines[0]), 100.0, 20.0));
    let used = "<defs><path id=\"p\" d=\"M0 0H1\"/></defs><use href=\"#p\" x=\"5\" y=\"7\" transform=\"scale(10)\"/>";
    let used = pose(used);
    assert_eq!(used.lines.len(), 1);
    assert!(near(end(&used.lines[0]), 60.0, 70.0));
}

#[test]
fn what_is_hidden_is_not_drawn() {
    let some = "<path d=\"M0 0H1\"/><path display=\"none\" d=\"M0 0H2\"/><g style=\"fill:red; display: none\"><text/></g>";
    assert_eq!(pose(some).lines.len(), 1);
}

#[test]
fn the_waving_fox_has_two_poses_with_one_body() {
    let text = Text::new("fox.svg", include_str!("../../../displays/waving-fox/art/fox.svg"));
    let (drawing, faults) = read_svg(&text);
    assert_eq!(faults, []);
    let names: Vec<&str> = drawing.poses.iter().map(|pose| &pose.name[..]).collect();
    assert_eq!(names, ["left", "right"]);
    let layers: Vec<_> = drawing.poses.iter().map(|pose| pose.lines.clone()).collect();
    let groups = geometry::shared_lines(&layers, 6.0, 40.0);
    let sets: Vec<&[usize]> = groups.iter().map(|group| &group.layers[..]).collect();
    assert_eq!(sets, [&[0, 1][..], &[0], &[1]]);
    // Fifty lamps on the body and twenty on a tail: few hops of more than 90 units, none over two.
    let mut others: Vec<Point> = Vec::new();
    for (group, lamps, most_stops) in [(&groups[0], 50, 6), (&groups[1], 20, 1), (&groups[2], 20, 1)] {
        let keep = geometry::Keep { points: &others, bands: &[] };
        let placed = geometry::place_points(&group.lines, lamps, 0.6, 25.0, &keep).expect("there is room");
        let way = geometry::thread(&placed.points, Point::new(0.0, 1210.0), 90.0, 20);
        let hops = way
            .order
            .windows(2)
            .map(|pair| geometry::distance(placed.points[pair[0]], placed.points[pair[1]]));
        let stops: u32 = hops.map(|hop| geometry::extra_stops(hop, 90.0)).sum();
        assert!(stops <= most_stops && placed.widest < 95.0, "{stops} stops, widest {}", placed.widest);
        others.extend(placed.points);
    }
}
