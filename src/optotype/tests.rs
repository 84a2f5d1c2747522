use std::f64::consts::PI;

use kurbo::Shape;

use super::*;

/// Cubics stray from an arc by 1e-6 strokes at the most, along circumferences of up to 25 strokes.
const AREA_TOLERANCE: f64 = 2.5e-5;

fn every_letter() -> Vec<Optotype> {
    LetterSet::ALL.into_iter().flat_map(LetterSet::members).collect()
}

/// The area of the ring's gap: ∫ (√(R² − y²) − √(r² − y²)) dy over the gap's width, by the antiderivative.
fn gap_area() -> f64 {
    let segment =
        |radius: f64, y: f64| y * (radius * radius - y * y).sqrt() + radius * radius * (y / radius).asin();
    segment(2.5, 0.5) - segment(1.5, 0.5)
}

#[test]
fn areas_are_those_of_the_closed_forms() {
    let ring = PI * (2.5 * 2.5 - 1.5 * 1.5);
    // A stroke one unit thick cut level has the area of its height times its level width.
    let diagonal_width = 5.0 - 3.0 * (15.0 - 33_f64.sqrt()) / 8.0;
    for (name, area) in [
        ("O", ring),
        ("C", ring - gap_area()),
        ("↖", ring - gap_area()),
        ("D", 5.0 + 2.0 * 1.5 + PI * 2.0),
        ("H", 5.0 + 5.0 + 3.0),
        // The stem, then arm and leg as two triangles less the notches between them.
        ("K", 5.0 + 4.0 * 5.0 - 2.0 * (3.0 * 2.25 / 2.0) - 2.0 * ((5.0 - 7.0 / 3.0) * 2.0 / 2.0)),
        ("N", 10.0 + 3.0 * diagonal_width),
        // Stem, bars, half a ring, leg less the corner that the box clips.
        ("R", 5.0 + 2.0 * 2.5 + PI + 2.0 * 1.25 - 0.25 / 3.0 / 2.0),
        ("S", 6.0 + 3.0 * PI),
        // Two arms over 3.75 rows, then the foot, a trapezium from 2 × 1 to 1.
        ("V", 2.0 * 3.75 + 1.25 * (2.0 + 1.0) / 2.0),
        ("Z", 10.0 + 3.0 * diagonal_width),
        ("T", 5.0 + 4.0),
        ("E→", 5.0 + 3.0 * 4.0),
        ("E↑", 5.0 + 3.0 * 4.0),
    ] {
        let letter = every_letter().into_iter().find(|letter| letter.name() == name).unwrap();
        let drawn = letter.outline().area();
        assert!((drawn - area).abs() < AREA_TOLERANCE, "{name} has {drawn}, not {area}");
    }
}

#[test]
fn letters_fill_their_box() {
    // A gap that opens to one side takes the ring's outermost part away: 2.5 + √(2.5² − 0.5²) = 4.949.
    let open = 2.5 + 6_f64.sqrt();
    for letter in every_letter() {
        let bounds = letter.outline().bounding_box();
        let (width, height) = match letter {
            Optotype::Capital('C') | Optotype::Ring(Compass::Right | Compass::Left) => (open, 5.0),
            Optotype::Ring(Compass::Up | Compass::Down) => (5.0, open),
            Optotype::Capital(_) | Optotype::Ring(_) | Optotype::TumblingE(_) => (5.0, 5.0),
        };
        let near = |one: f64, other: f64| (one - other).abs() < AREA_TOLERANCE;
        assert!(
            near(bounds.width(), width) && near(bounds.height(), height),
            "{} has {bounds:?}",
            letter.name()
        );
    }
}

#[test]
fn contours_are_closed_and_the_outermost_runs_clockwise() {
    for letter in every_letter() {
        let outline = letter.outline();
        let contours: Vec<kurbo::BezPath> = outline
            .elements()
            .split_inclusive(|element| matches!(element, kurbo::PathEl::ClosePath))
            .map(|part| part.iter().copied().collect())
            .collect();
        assert!(contours.iter().all(|path| path.elements().ends_with(&[kurbo::PathEl::ClosePath])));
        assert!(contours[0].area() > 0.0, "{} starts against the clock", letter.name());
        assert!(
            contours[1..].iter().all(|hole| hole.area() < 0.0),
            "{} has a hole that fills",
            letter.name()
        );
    }
}

#[test]
fn rings_and_bars_point_where_their_names_say() {
    let ink_at = |letter: Optotype, x: f64, y: f64| letter.outline().winding((x, y).into()) != 0;
    for (gap, x, y) in [
        (Compass::Right, 4.5, 2.5),
        (Compass::DownRight, 3.914, 3.914),
        (Compass::Down, 2.5, 4.5),
        (Compass::DownLeft, 1.086, 3.914),
        (Compass::Left, 0.5, 2.5),
        (Compass::UpLeft, 1.086, 1.086),
        (Compass::Up, 2.5, 0.5),
        (Compass::UpRight, 3.914, 1.086),
    ] {
        let open: Vec<Compass> =
            Compass::ALL.into_iter().filter(|other| !ink_at(Optotype::Ring(*other), x, y)).collect();
        assert_eq!(open, [gap]);
    }
    for (bars, x, y) in [
        (Compass::Right, 4.5, 1.5),
        (Compass::Down, 1.5, 4.5),
        (Compass::Left, 0.5, 1.5),
        (Compass::Up, 1.5, 0.5),
    ] {
        let open: Vec<Compass> =
            Compass::AXES.into_iter().filter(|other| !ink_at(Optotype::TumblingE(*other), x, y)).collect();
        assert_eq!(open, [bars]);
    }
}

#[test]
fn no_letter_follows_itself_and_each_round_is_the_set() {
    for set in LetterSet::ALL {
        let size = set.members().len();
        for seed in 0..200 {
            let letters: Vec<Optotype> = Draw::new(set, seed).take(4 * size).collect();
            assert!(letters.windows(2).all(|pair| pair[0] != pair[1]), "{set:?} repeats with seed {seed}");
            for round in letters.chunks(size) {
                assert!(set.members().iter().all(|letter| round.contains(letter)));
            }
        }
    }
    let first: Vec<Optotype> = Draw::new(LetterSet::Sloan, 1).take(10).collect();
    assert_ne!(first, Draw::new(LetterSet::Sloan, 2).take(10).collect::<Vec<_>>());
}
