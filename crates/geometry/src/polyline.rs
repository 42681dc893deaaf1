//! A line of straight pieces that can be walked by its length.

use kurbo::Point;

/// The distance between two points, from operations that every platform rounds alike.
pub fn distance(a: Point, b: Point) -> f64 {
    let (dx, dy) = (a.x - b.x, a.y - b.y);
    (dx * dx + dy * dy).sqrt()
}

/// A polyline and the length from its start to each of its points.
///
/// ```
/// use geometry::{Point, Polyline};
/// let line = Polyline::new(&[Point::new(0.0, 0.0), Point::new(3.0, 4.0), Point::new(3.0, 10.0)]);
/// assert_eq!(line.length(), 11.0);
/// assert_eq!(line.at(8.0), Point::new(3.0, 7.0));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Polyline {
    points: Vec<Point>,
    upto: Vec<f64>,
}

impl Polyline {
    /// Takes the points; those equal to the one before them, or not finite, are left out.
    pub fn new(points: &[Point]) -> Self {
        let mut kept: Vec<Point> = Vec::with_capacity(points.len());
        let mut upto = Vec::with_capacity(points.len());
        let mut length = 0.0;
        for &point in points.iter().filter(|point| point.is_finite()) {
            let step = kept.last().map(|&last| distance(last, point));
            if step == Some(0.0) {
                continue;
            }
            length += step.unwrap_or(0.0);
            kept.push(point);
            upto.push(length);
        }
        Self { points: kept, upto }
    }

    /// Its length.
    pub fn length(&self) -> f64 {
        self.upto.last().copied().unwrap_or(0.0)
    }

    /// Its points.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The length from the start to each of its points.
    pub fn upto(&self) -> &[f64] {
        &self.upto
    }

    /// Whether it ends exactly where it starts.
    pub fn is_closed(&self) -> bool {
        self.points.len() > 2 && self.points.first() == self.points.last()
    }

    /// The point at a length from the start. Beyond the ends: a closed line goes round, an open one stops.
    pub fn at(&self, length: f64) -> Point {
        let total = self.length();
        let length = if self.is_closed() && !(0.0..=total).contains(&length) {
            let turns = (length / total).floor();
            length - turns * total
        } else {
            length.clamp(0.0, total)
        };
        let next = self.upto.partition_point(|&upto| upto <= length);
        match (next.checked_sub(1), self.points.get(next)) {
            (Some(before), Some(&end)) => {
                let start = self.points[before];
                let share = (length - self.upto[before]) / (self.upto[next] - self.upto[before]);
                start.lerp(end, share)
            }
            _ => self.points.last().copied().unwrap_or_default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_closed_line_goes_round_and_an_open_one_stops() {
        let square =
            [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.0)].map(|(x, y)| Point::new(x, y));
        let closed = Polyline::new(&square);
        assert!(closed.is_closed());
        assert_eq!(closed.at(4.5), Point::new(0.5, 0.0));
        assert_eq!(closed.at(-0.5), Point::new(0.0, 0.5));
        let open = Polyline::new(&square[..4]);
        assert_eq!(open.at(9.0), Point::new(0.0, 1.0));
        assert_eq!(open.at(-9.0), Point::new(0.0, 0.0));
        assert_eq!(Polyline::new(&[]).at(1.0), Point::ZERO);
    }
}
