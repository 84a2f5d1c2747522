//! Names beside what they name: each where it touches no line, no mark and no other name.
//!
//! Whoever draws says where a name would stand best. Where that is taken it moves as little as it must, in steps to all sides; where
//! nothing near is free it stays, since a name far away names something else.

use kurbo::{Line, Point, Rect, Vec2};

/// From one ring of places to the next, and how many rings are tried, in heights of a letter.
const RING: f64 = 0.4;
const RINGS: u8 = 12;

/// Air on both sides of a name, in heights of a letter.
const AIR: f64 = 0.25;

/// Places on a ring, an even share of the circle each.
const DIRECTIONS: u8 = 16;

/// What is taken, and where names may stand.
#[derive(Debug, Default)]
pub(super) struct Placing {
    lines: Vec<Line>,
    taken: Vec<Rect>,
    within: Rect,
}

impl Placing {
    /// Nothing is taken yet; names stay within a rectangle.
    pub(super) fn within(within: Rect) -> Self {
        Self { within, ..Self::default() }
    }

    /// A line that no name may cross.
    pub(super) fn avoid_line(&mut self, from: Point, to: Point) {
        self.lines.push(Line::new(from, to));
    }

    /// A place that no name may cover.
    pub(super) fn avoid(&mut self, taken: Rect) {
        self.taken.push(taken);
    }

    /// By how much a name that would stand in `wished` is moved, and takes that place; `em` is the height of its letters.
    pub(super) fn settle(&mut self, wished: Rect, em: f64) -> Vec2 {
        let moves = std::iter::once(Vec2::ZERO)
            .chain((1..=RINGS).flat_map(|ring| around(f64::from(ring) * RING * em)));
        // A little air to both sides.
        let wished = wished.inflate(AIR * em, 0.0);
        let is_free = |by: &Vec2| self.within.contains_rect(wished + *by) && self.is_free(wished + *by);
        let by = moves.into_iter().find(is_free).unwrap_or(Vec2::ZERO);
        self.taken.push(wished + by);
        by
    }

    fn is_free(&self, place: Rect) -> bool {
        !self.taken.iter().any(|taken| taken.intersect(place).area() > 0.0)
            && !self.lines.iter().any(|line| crosses(*line, place))
    }
}

/// Moves of one length to all sides, the first to the right.
fn around(far: f64) -> impl Iterator<Item = Vec2> {
    (0..DIRECTIONS).map(move |place| {
        let turn = f64::from(place) / f64::from(DIRECTIONS) * std::f64::consts::TAU;
        Vec2::from_angle(turn) * far
    })
}

/// Whether a line passes through a rectangle.
pub(super) fn crosses(line: Line, place: Rect) -> bool {
    let corners = [
        Point::new(place.x0, place.y0),
        Point::new(place.x1, place.y0),
        Point::new(place.x1, place.y1),
        Point::new(place.x0, place.y1),
    ];
    let sides =
        (0..corners.len()).map(|corner| Line::new(corners[corner], corners[(corner + 1) % corners.len()]));
    place.contains(line.p0) || place.contains(line.p1) || sides.into_iter().any(|side| meet(line, side))
}

/// Whether two lines meet between their ends.
fn meet(one: Line, other: Line) -> bool {
    let side = |line: Line, point: Point| (line.p1 - line.p0).cross(point - line.p0);
    side(one, other.p0) * side(one, other.p1) < 0.0 && side(other, one.p0) * side(other, one.p1) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: Rect = Rect::new(0.0, 0.0, 100.0, 100.0);
    const NAME: Rect = Rect::new(40.0, 48.0, 60.0, 52.0);

    #[test]
    fn a_name_that_is_in_nobodys_way_stays() {
        let mut placing = Placing::within(SHEET);
        placing.avoid_line(Point::new(0.0, 60.0), Point::new(100.0, 60.0));
        placing.avoid(Rect::new(61.0, 48.0, 70.0, 52.0));
        assert_eq!(placing.settle(NAME, 4.0), Vec2::ZERO);
    }

    /// By hand: the name is 4 high and a line runs through its middle, so it moves by a little more than 2, and the next one of
    /// the same place moves the other way or beyond.
    #[test]
    fn names_leave_a_line_and_each_other_free_and_move_little() {
        let mut placing = Placing::within(SHEET);
        placing.avoid_line(Point::new(0.0, 50.0), Point::new(100.0, 50.0));
        let moved: Vec<Vec2> = (0..4).map(|_| placing.settle(NAME, 4.0)).collect();
        for (place, by) in moved.iter().enumerate() {
            let own = NAME + *by;
            assert!(!crosses(Line::new((0.0, 50.0), (100.0, 50.0)), own), "{by:?}");
            assert!(
                moved[..place].iter().all(|other| (NAME + *other).intersect(own).area() <= 0.0),
                "{by:?}"
            );
        }
        assert!((2.0..4.0).contains(&moved[0].hypot()), "{:?}", moved[0]);
    }

    #[test]
    fn a_name_keeps_to_its_sheet_and_stays_where_nothing_is_free() {
        let mut placing = Placing::within(Rect::new(38.0, 46.0, 62.0, 54.0));
        placing.avoid_line(Point::new(0.0, 50.0), Point::new(100.0, 50.0));
        assert_eq!(placing.settle(NAME, 4.0), Vec2::ZERO, "no room to either side of the line");
    }

    #[test]
    fn lines_are_seen_that_pass_end_or_lie_within() {
        for (from, to, through) in [
            ((0.0, 0.0), (100.0, 100.0), true),
            ((50.0, 50.0), (50.0, 90.0), true),
            ((45.0, 50.0), (55.0, 50.0), true),
            ((0.0, 40.0), (100.0, 40.0), false),
            ((70.0, 0.0), (70.0, 100.0), false),
        ] {
            assert_eq!(crosses(Line::new(from, to), NAME), through, "{from:?} {to:?}");
        }
    }
}
