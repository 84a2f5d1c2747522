//! Whether an area covers each place once.
//!
//! What is sampled is the sum of an area's turns about each place, which is what it covers only where that is nought or one
//! everywhere, and of one sign: hair-fine strips that run against each other would cancel out and be seen by nobody but the
//! patient, and strips laid twice would look solid. Contours that neither touch nor cross, nested so that each turns back what
//! holds it, cover each place once; by both rules of filling then.

use kurbo::{Point, Rect};

/// Maximum number of comparisons between lines; an honest near chart takes some ten thousand.
const MOST_WORK: usize = 5_000_000;

/// What may still be compared in a drawing.
pub(super) struct Patience(usize);

impl Patience {
    pub(super) const fn new() -> Self {
        Self(MOST_WORK)
    }

    fn take(&mut self, comparisons: usize) -> Result<(), String> {
        self.0 = self
            .0
            .checked_sub(comparisons)
            .ok_or("it has shapes more intricate than letters, such as words drawn as outlines")?;
        Ok(())
    }
}

/// A line of a contour.
#[derive(Clone, Copy)]
struct Side {
    contour: usize,
    /// Its place in the contour, and how many sides that has.
    place: [usize; 2],
    from: Point,
    to: Point,
}

/// Looks at an area's contours, each of which runs from its last point back to its first one.
///
/// # Errors
/// Contours that touch or cross, or cover a place twice.
pub(super) fn covers_once(contours: &[Vec<Point>], patience: &mut Patience) -> Result<(), String> {
    const TWICE: &str = "it has a shape that runs over itself, which is drawn otherwise than it is measured";
    let all = contours.iter().map(|points| distinct(points));
    // A line to and fro encloses nothing.
    let contours: Vec<Vec<Point>> = all.filter(|points| points.len() > 2).collect();
    let crossing = crosses(sides(&contours), patience)?;
    if crossing || !nested(&contours, patience)? {
        return Err(TWICE.into());
    }
    Ok(())
}

/// How far apart points of a contour are at least, in samples: where curves join, flattening leaves shorter lines.
const APART: f64 = 1e-6;

/// The points without those that repeat the one before.
fn distinct(points: &[Point]) -> Vec<Point> {
    let same = |one: Point, other: Point| one.distance(other) < APART;
    let mut kept = points.to_vec();
    kept.dedup_by(|one, before| same(*one, *before));
    while kept.len() > 1 && same(kept[0], kept[kept.len() - 1]) {
        kept.pop();
    }
    kept
}

/// All sides by their upper ends.
fn sides(contours: &[Vec<Point>]) -> Vec<Side> {
    let of = |(contour, points): (usize, &Vec<Point>)| {
        let count = points.len();
        let side =
            |at: usize| Side { contour, place: [at, count], from: points[at], to: points[(at + 1) % count] };
        (0..count).map(side).collect::<Vec<_>>()
    };
    let mut all: Vec<Side> = contours.iter().enumerate().flat_map(of).collect();
    all.sort_by(|one, other| one.top().total_cmp(&other.top()));
    all
}

/// Whether any two sides meet that do not follow each other.
fn crosses(sides: Vec<Side>, patience: &mut Patience) -> Result<bool, String> {
    let mut open: Vec<Side> = Vec::new();
    for side in sides {
        patience.take(open.len() + 1)?;
        open.retain(|other| other.from.y.max(other.to.y) >= side.top());
        if open.iter().any(|other| !side.follows(other) && side.meets(other)) {
            return Ok(true);
        }
        open.push(side);
    }
    Ok(false)
}

impl Side {
    const fn top(&self) -> f64 {
        self.from.y.min(self.to.y)
    }

    const fn follows(&self, other: &Self) -> bool {
        let ([one, count], [two, _]) = (self.place, other.place);
        self.contour == other.contour && ((one + 1) % count == two || (two + 1) % count == one)
    }

    fn meets(&self, other: &Self) -> bool {
        let apart = |one: [f64; 2], two: [f64; 2]| {
            one[0].max(one[1]) < two[0].min(two[1]) || two[0].max(two[1]) < one[0].min(one[1])
        };
        if apart([self.from.x, self.to.x], [other.from.x, other.to.x])
            || apart([self.from.y, self.to.y], [other.from.y, other.to.y])
        {
            return false;
        }
        let beside = |side: &Self, one: Point, two: Point| {
            let [one, two] = [one, two].map(|point| (side.to - side.from).cross(point - side.from));
            (one > 0.0 && two > 0.0) || (one < 0.0 && two < 0.0)
        };
        !beside(self, other.from, other.to) && !beside(other, self.from, self.to)
    }
}

/// Whether contours that do not meet cover nothing twice, and turn one way round where they cover.
fn nested(contours: &[Vec<Point>], patience: &mut Patience) -> Result<bool, String> {
    let boxes: Vec<Rect> = contours.iter().map(|points| bounds(points)).collect();
    let mut way = 0;
    for (own, points) in contours.iter().enumerate() {
        let Some(first) = points.first() else { continue };
        let around = |(other, _): &(usize, &Vec<Point>)| *other != own && boxes[*other].contains(*first);
        let others: Vec<&Vec<Point>> =
            contours.iter().enumerate().filter(around).map(|(_, points)| points).collect();
        patience.take(contours.len() + others.iter().map(|points| points.len()).sum::<usize>())?;
        let outside: i64 = others.iter().map(|points| turns(points, *first)).sum();
        let inside = outside + turn(points);
        for covered in [outside, inside] {
            if way == 0 {
                way = covered;
            }
            if covered.abs() > 1 || (covered != 0 && covered != way) {
                return Ok(false);
            }
        }
    }
    Ok(true)
}

fn bounds(points: &[Point]) -> Rect {
    let of = points.iter().map(|point| Rect::from_points(*point, *point));
    of.reduce(|all, one| all.union(one)).unwrap_or_default()
}

/// How often a contour turns about a point that is not on it.
fn turns(points: &[Point], about: Point) -> i64 {
    let pairs = points.iter().zip(points.iter().cycle().skip(1));
    pairs
        .map(|(from, to)| {
            let side = (*to - *from).cross(about - *from);
            match (from.y <= about.y, to.y <= about.y) {
                (true, false) if side > 0.0 => 1,
                (false, true) if side < 0.0 => -1,
                _ => 0,
            }
        })
        .sum()
}

/// Which way round a contour turns: 1, -1, or nought where it encloses nothing.
fn turn(points: &[Point]) -> i64 {
    let Some(first) = points.first() else { return 0 };
    let pairs = points.iter().zip(points.iter().skip(1));
    let twice: f64 = pairs.map(|(from, to)| (*from - *first).cross(*to - *first)).sum();
    if twice > 0.0 {
        1
    } else if twice < 0.0 {
        -1
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn contour(points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|[x, y]| Point::new(*x, *y)).collect()
    }

    fn square(from: f64, to: f64) -> Vec<Point> {
        contour(&[[from, from], [to, from], [to, to], [from, to]])
    }

    fn back(mut points: Vec<Point>) -> Vec<Point> {
        points.reverse();
        points
    }

    fn is_plain(contours: &[Vec<Point>]) -> bool {
        covers_once(contours, &mut Patience::new()).is_ok()
    }

    #[test]
    fn rings_and_islands_cover_once() {
        assert!(is_plain(&[]));
        assert!(is_plain(&[square(0.0, 9.0)]));
        assert!(is_plain(&[back(square(0.0, 9.0)), square(1.0, 8.0)]));
        assert!(is_plain(&[square(1.0, 8.0), back(square(2.0, 7.0)), square(3.0, 6.0), square(10.0, 12.0)]));
        // Closed twice, and a lone point on its corner, as programs leave one.
        let closed = contour(&[[0.0, 0.0], [4.0, 0.0], [4.0, 0.0], [0.0, 4.0], [0.0, 0.0]]);
        assert!(is_plain(&[closed, contour(&[[0.0, 0.0]])]));
    }

    #[test]
    fn what_covers_twice_or_cancels_is_refused() {
        for contours in [
            // Twice the same, one within the other, two that cross or touch, side by side against each other.
            vec![square(0.0, 9.0), square(0.0, 9.0)],
            vec![square(0.0, 9.0), square(1.0, 8.0)],
            vec![square(0.0, 9.0), square(5.0, 12.0)],
            vec![square(0.0, 9.0), back(square(9.0, 12.0))],
            vec![square(0.0, 2.0), back(square(3.0, 5.0))],
            // A bow, and one that runs round twice.
            vec![contour(&[[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 4.0]])],
            vec![[square(0.0, 9.0), square(1.0, 8.0)].concat()],
        ] {
            assert!(!is_plain(&contours), "{contours:?}");
        }
    }

    #[test]
    fn what_is_too_intricate_is_refused_before_it_takes_long() {
        let comb =
            |at: i32| contour(&[[f64::from(at), 0.0], [f64::from(at) + 0.5, 0.0], [f64::from(at), 9.0]]);
        let combs: Vec<Vec<Point>> = (0..30_000).map(comb).collect();
        assert!(!is_plain(&combs));
    }

    fn boxed([left, top]: [f64; 2], [right, bottom]: [f64; 2]) -> Vec<Point> {
        contour(&[[left, top], [right, top], [right, bottom], [left, bottom]])
    }

    #[test]
    fn shapes_of_one_row_or_column_are_plain_until_they_touch() {
        let own = || boxed([0.0, 0.0], [2.0, 2.0]);
        for (from, to, plain) in [
            ([3.0, 0.0], [5.0, 2.0], true),
            ([0.0, 3.0], [2.0, 5.0], true),
            // By a side, by a part of one, by a corner.
            ([2.0, 0.0], [5.0, 2.0], false),
            ([0.0, 2.0], [2.0, 5.0], false),
            ([2.0, 0.5], [5.0, 1.5], false),
            ([2.0, 2.0], [5.0, 5.0], false),
        ] {
            for turned in [false, true] {
                let both = [own(), boxed(from, to)].map(|points| if turned { back(points) } else { points });
                let [one, other] = both.clone();
                assert_eq!((is_plain(&both), is_plain(&[other, one])), (plain, plain), "{from:?} {turned}");
            }
        }
    }

    #[test]
    fn a_tip_on_a_side_touches_it() {
        // Towards each side of a square from without; a hair's breadth away it does not.
        for (tip, foot) in [
            ([9.0, 4.0], [[12.0, 3.0], [12.0, 5.0]]),
            ([0.0, 4.0], [[-3.0, 5.0], [-3.0, 3.0]]),
            ([4.0, 9.0], [[5.0, 12.0], [3.0, 12.0]]),
            ([4.0, 0.0], [[3.0, -3.0], [5.0, -3.0]]),
        ] {
            let triangle = |share: f64| {
                let away = [0, 1]
                    .map(|axis: usize| tip[axis] + share * (foot[0][axis] + foot[1][axis] - 2.0 * tip[axis]));
                contour(&[away, foot[0], foot[1]])
            };
            for turned in [false, true] {
                let with = |share: f64| {
                    let both = [square(0.0, 9.0), triangle(share)];
                    is_plain(&both.map(|points| if turned { back(points) } else { points }))
                };
                assert_eq!((with(0.0), with(0.01)), (false, true), "{tip:?} {turned}");
            }
        }
    }

    #[test]
    fn what_crosses_is_found_wherever_it_lies() {
        for by in [-40.0, -20.0, 0.0, 20.0] {
            let crossing = [square(by, by + 9.0), square(by + 5.0, by + 12.0)];
            let apart = [square(by, by + 4.0), square(by + 5.0, by + 12.0)];
            assert_eq!((is_plain(&crossing), is_plain(&apart)), (false, true), "{by}");
        }
    }

    #[test]
    fn a_line_to_and_fro_turns_neither_way() {
        let flat = || contour(&[[0.0, 0.0], [4.0, 0.0], [2.0, 0.0]]);
        for other in [square(10.0, 12.0), back(square(10.0, 12.0))] {
            assert!(is_plain(&[flat(), other.clone()]) && is_plain(&[other, flat()]));
        }
    }
}
