use kurbo::Shape;

use super::*;

/// Cubics stray from an arc by 1e-6 strokes at the most, along circumferences of up to 25 strokes.
const AREA_TOLERANCE: f64 = 2.5e-5;

#[test]
fn letters_fill_their_box() {
    // A gap that opens to one side takes the ring's outermost part away: 2.5 + √(2.5² − 0.5²) = 4.949.
    let open = 2.5 + 6_f64.sqrt();
    for letter in LetterSet::letters() {
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
    for letter in LetterSet::letters() {
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
    for &set in LetterSet::ALL {
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
