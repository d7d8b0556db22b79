//! Fewer points for the same line.

use super::sheet::Point;

/// Which points of a line must stay so that none left out lies farther than `tolerance`
/// from the line drawn (Douglas and Peucker 1973). Ends always stay.
pub(super) fn needed(points: &[Point], tolerance: f64) -> Vec<bool> {
    let mut keep = vec![points.len() <= 2; points.len()];
    if points.len() <= 2 {
        return keep;
    }
    let last = points.len() - 1;
    keep[0] = true;
    keep[last] = true;
    let mut open = vec![(0, last)];
    while let Some((from, to)) = open.pop() {
        let (mut worst, mut at) = (tolerance * tolerance, None);
        for i in from + 1..to {
            let off = squared_distance(points[i], points[from], points[to]);
            if off > worst {
                (worst, at) = (off, Some(i));
            }
        }
        if let Some(i) = at {
            keep[i] = true;
            open.extend([(from, i), (i, to)]);
        }
    }
    keep
}

/// The square of the distance of a point from a stretch of line.
fn squared_distance(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = dx * dx + dy * dy;
    let share = if long > 0.0 {
        (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / long).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (across, down) = (p.0 - a.0 - share * dx, p.1 - a.1 - share * dy);
    across * across + down * down
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_needs_its_ends_and_a_corner_stays() {
        let line: Vec<Point> = (0..9).map(|i| (f64::from(i), 2.0 * f64::from(i))).collect();
        assert_eq!(needed(&line, 0.01).iter().filter(|k| **k).count(), 2);
        let corner = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 1.0), (2.0, 2.0)];
        assert_eq!(needed(&corner, 0.01), [true, false, true, false, true]);
        assert!(needed(&[], 1.0).is_empty());
        assert_eq!(needed(&[(1.0, 1.0)], 1.0), [true]);
    }
}
