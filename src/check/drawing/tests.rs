use super::*;

const DUST_MM: f64 = 1e-9;
const RED: [u8; 3] = [255, 0, 0];
const GREEN: [u8; 3] = [0, 147, 0];
const BLACK: [u8; 3] = [0; 3];

fn rect(x0: f64, y0: f64, x1: f64, y1: f64, codes: [u8; 3]) -> (BezPath, [u8; 3]) {
    (Rect::new(x0, y0, x1, y1).to_path(0.1), codes)
}

fn drawing(width: f64, height: f64, areas: Vec<(BezPath, [u8; 3])>) -> Drawing {
    Drawing { size: [width, height].map(Length::mm), areas, words: Vec::new(), claim: None }
}

fn near(ours: Rect, by_hand: [f64; 4]) {
    let ours = [ours.x0, ours.y0, ours.x1, ours.y1];
    assert!(
        ours.iter().zip(by_hand).all(|(one, other)| (one - other).abs() < DUST_MM),
        "{ours:?} {by_hand:?}"
    );
}

#[test]
fn a_grid_keeps_the_proportions_and_holds_at_most_a_pictures_pixels() {
    let grid = |width, height, wanted| drawing(width, height, Vec::new()).grid(wanted);
    assert_eq!(grid(200.0, 100.0, 400), Some([400, 200]));
    assert_eq!(grid(30.0, 100.0, 9), Some([9, 30]));
    assert_eq!(grid(1000.0, 1.0, 300), Some([300, 1]));
    // 2²⁶ pixels are 8192 × 8192; one column more is halved, and rounded down.
    assert_eq!(grid(10.0, 10.0, 8192), Some([8192, 8192]));
    assert_eq!(grid(10.0, 10.0, 8193), Some([4096, 4096]));
    assert_eq!(grid(1.0, 1e5, 8192), None);
}

#[test]
fn what_is_far_outside_endless_or_laid_too_often_is_no_charts() {
    let refused = |width: f64, height: f64, areas| drawing(width, height, areas).bounded().unwrap_err();
    let taken = |areas| drawing(100.0, 50.0, areas).bounded().is_ok();
    for (width, height) in [(0.99, 50.0), (100_001.0, 50.0), (100.0, 0.99), (100.0, 100_001.0)] {
        assert!(refused(width, height, Vec::new()).contains("no chart’s"), "{width} {height}");
    }
    // Four of its longer sides to every side.
    let (far, high) = (4.0 * 100.0, 4.0 * 100.0);
    assert!(taken(vec![rect(-far, -high, 100.0 + far, 50.0 + high, RED)]));
    for (x0, y0, x1, y1) in
        [(-401.0, 0.0, 1.0, 1.0), (0.0, -401.0, 1.0, 1.0), (0.0, 0.0, 501.0, 1.0), (0.0, 0.0, 1.0, 451.0)]
    {
        assert!(
            refused(100.0, 50.0, vec![rect(x0, y0, x1, y1, RED)]).contains("far outside"),
            "{x0} {y0} {x1} {y1}"
        );
    }
    assert!(refused(100.0, 50.0, vec![rect(0.0, 0.0, f64::NAN, 1.0, RED)]).contains("without end"));
    // Sixteen coats, counted on the sheet alone.
    let coats = |count: usize| vec![rect(0.0, 0.0, 200.0, 100.0, RED); count];
    assert!(taken(coats(16)));
    let half = rect(0.0, 0.0, 50.0, 50.0, RED);
    assert!(refused(100.0, 50.0, [coats(16), vec![half]].concat()).contains("more than 16 times"));
    let specks = |count: usize| vec![rect(0.0, 0.0, 0.1, 0.1, RED); count];
    assert!(taken(specks(5_000)));
    assert!(refused(100.0, 50.0, specks(5_001)).contains("5001 areas"));
    // All of a measured drawing is held to it, and has no words.
    assert!(drawing(100.0, 50.0, specks(5_001)).whole().is_err());
    let words = vec![Rect::new(1.0, 1.0, 2.0, 2.0)];
    assert!(
        Drawing { words, ..drawing(100.0, 50.0, Vec::new()) }.whole().err().unwrap().contains("has words")
    );
}

#[test]
fn the_box_of_a_paths_points_holds_those_beside_its_curves() {
    let mut path = BezPath::new();
    path.move_to((1.0, 2.0));
    path.quad_to((9.0, -4.0), (2.0, 2.0));
    path.curve_to((3.0, 20.0), (-7.0, 3.0), (4.0, 4.0));
    path.line_to((5.0, 5.0));
    path.close_path();
    near(points(&path).unwrap(), [-7.0, -4.0, 9.0, 20.0]);
    path.line_to((f64::INFINITY, 0.0));
    assert_eq!(points(&path), None);
    near(points(&BezPath::new()).unwrap(), [0.0; 4]);
}

#[test]
fn the_fields_are_a_red_and_a_green_one_side_by_side() {
    let red = || rect(10.0, 20.0, 50.0, 60.0, RED);
    let found = |green: (BezPath, [u8; 3])| {
        // What is black, white, or of two colours is no field.
        let others = [BLACK, [255; 3], [255, 9, 0], [9, 147, 0]].map(|codes| rect(0.0, 0.0, 1.0, 1.0, codes));
        drawing(200.0, 100.0, others.into_iter().chain([red(), green]).collect()).fields()
    };
    near(found(rect(50.0, 20.0, 90.0, 60.0, GREEN)).unwrap(), [10.0, 20.0, 90.0, 60.0]);
    // A micrometre is level, two are not; on the left, above or below is not beside.
    assert!(found(rect(50.0, 20.0005, 90.0, 59.9995, GREEN)).is_some());
    for (x0, y0, x1, y1) in [
        (50.0, 20.002, 90.0, 60.0),
        (50.0, 19.998, 90.0, 60.0),
        (50.0, 20.0, 90.0, 60.002),
        (50.0, 20.0, 90.0, 59.998),
        (5.0, 20.0, 49.99, 60.0),
        (10.0, 60.0, 50.0, 100.0),
    ] {
        assert_eq!(found(rect(x0, y0, x1, y1, GREEN)), None, "{x0} {y0} {x1} {y1}");
    }
    assert!(found(rect(12.0, 20.0, 49.9995, 60.0, GREEN)).is_some());
    assert_eq!(drawing(200.0, 100.0, vec![red()]).fields(), None);
}

#[test]
fn a_part_has_what_lies_over_it_moved_to_its_corner() {
    let place = Rect::new(10.0, 20.0, 50.0, 60.0);
    let inside = rect(12.0, 25.0, 14.0, 27.0, BLACK);
    let across = rect(5.0, 15.0, 11.0, 21.0, GREEN);
    // Those that only touch it are no part of it.
    let touching = [
        (0.0, 20.0, 10.0, 60.0),
        (50.0, 20.0, 60.0, 60.0),
        (10.0, 0.0, 50.0, 20.0),
        (10.0, 60.0, 50.0, 70.0),
    ]
    .map(|(x0, y0, x1, y1)| rect(x0, y0, x1, y1, RED));
    let areas = [vec![inside, across], touching.to_vec()].concat();
    let whole = drawing(200.0, 100.0, areas);
    let part = whole.part(place).unwrap();
    near(Rect::new(0.0, 0.0, part.size[0].to_mm(), part.size[1].to_mm()), [0.0, 0.0, 40.0, 40.0]);
    assert_eq!(part.areas.iter().map(|(_, codes)| *codes).collect::<Vec<_>>(), [BLACK, GREEN]);
    near(part.areas[0].0.bounding_box(), [2.0, 5.0, 4.0, 7.0]);
    near(part.areas[1].0.bounding_box(), [-5.0, -5.0, 1.0, 1.0]);
    let with_word =
        |word: Rect| Drawing { words: vec![word], ..drawing(200.0, 100.0, Vec::new()) }.part(place);
    assert!(with_word(Rect::new(45.0, 55.0, 70.0, 80.0)).is_err());
    assert!(with_word(Rect::new(51.0, 61.0, 70.0, 80.0)).is_ok());
}

#[test]
fn a_near_page_has_fields_white_letters_below_and_proof_of_its_size() {
    let page = |more: Vec<(BezPath, [u8; 3])>| {
        let fields = [rect(20.0, 30.0, 100.0, 80.0, RED), rect(100.0, 30.0, 180.0, 80.0, GREEN)];
        // A letter on the red field, which is none of those below.
        let letter = rect(40.0, 50.0, 45.0, 55.0, BLACK);
        drawing(210.0, 297.0, fields.into_iter().chain([letter]).chain(more).collect()).near_page().unwrap()
    };
    let bare = page(Vec::new());
    assert!(bare.white.is_none() && bare.proof.bar.is_none() && bare.proof.card.is_none());
    near(bare.fields.areas[0].0.bounding_box(), [0.0, 0.0, 80.0, 50.0]);
    assert_eq!(bare.fields.areas.len(), 3);
    // A bar of 100 × 4 mm is more than twenty times as long as high, one of 80 is not; dark is under 64.
    let grey = [63; 3];
    let long = |length: f64, codes| page(vec![rect(20.0, 200.0, 20.0 + length, 204.0, codes)]).proof.bar;
    assert!((long(100.0, grey).unwrap() - 100.0).abs() < DUST_MM);
    assert_eq!((long(80.0, grey), long(100.0, [64, 0, 0])), (None, None));
    // The card is the highest; white is what is black below the fields, with as much air as its largest letter is high.
    let card = || rect(20.0, 220.0, 105.6, 273.98, grey);
    let two = page(vec![rect(20.0, 200.0, 120.0, 204.0, grey), card()]);
    let [wide, high] = two.proof.card.unwrap();
    assert!((wide - 85.6).abs() < DUST_MM && (high - 53.98).abs() < DUST_MM && two.white.is_none());
    let letters = vec![rect(60.0, 100.0, 64.0, 104.0, BLACK), rect(80.0, 110.0, 82.0, 112.0, BLACK), card()];
    let white = page(letters).white.unwrap();
    // From 56 to 86 mm across and from 96 to 116 down.
    near(Rect::new(0.0, 0.0, white.size[0].to_mm(), white.size[1].to_mm()), [0.0, 0.0, 30.0, 20.0]);
    near(white.areas[0].0.bounding_box(), [4.0, 4.0, 8.0, 8.0]);
    assert!(drawing(210.0, 297.0, Vec::new()).near_page().err().unwrap().contains("no red and green field"));
}

#[test]
fn a_drawing_is_sampled_as_finely_as_its_screen_or_an_ordinary_one() {
    let sheet = || drawing(100.0, 50.0, vec![rect(0.0, 0.0, 50.0, 50.0, RED)]);
    let room = crate::room::Room::demo();
    for (room, columns) in [(None, 3840), (Some(&room), 2 * room.screen.pixels[0])] {
        let picture = sheet().sampled(room).unwrap();
        assert_eq!(picture.image.dimensions(), (columns, columns / 2));
        let [across, down] = picture.sampled.unwrap().map(Length::to_mm);
        let pitch = 100.0 / f64::from(columns);
        assert!((across - pitch).abs() < DUST_MM && (down - pitch).abs() < DUST_MM);
        // Red to the middle and white beyond it.
        let at = |x: u32| picture.image.get_pixel(x, columns / 4).0;
        assert_eq!(
            [at(0), at(columns / 2 - 1), at(columns / 2), at(columns - 1)],
            [RED, RED, [255; 3], [255; 3]]
        );
    }
    assert!(drawing(1.0, 1e5, Vec::new()).sampled(None).is_err());
}

fn box_of(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Point> {
    vec![Point::new(x0, y0), Point::new(x1, y0), Point::new(x1, y1), Point::new(x0, y1)]
}

#[test]
fn the_edges_of_large_upright_boxes_settle_on_those_of_samples() {
    let settled = |points: Vec<Point>| {
        let mut contours = [points];
        settle(&mut contours, [100.0, 50.0]);
        let [points] = contours;
        points
    };
    let stays = |points: Vec<Point>| assert_eq!(settled(points.clone()), points);
    assert_eq!(settled(box_of(0.019, -0.019, 80.981, 45.01)), box_of(0.0, 0.0, 81.0, 45.0));
    // Each side by itself: one of these is farther off.
    assert_eq!(settled(box_of(0.021, 0.01, 80.979, 45.01)), box_of(0.021, 0.0, 80.979, 45.0));
    // No larger than four tenths across or down, though more the other way; slanted; a corner within; several parts.
    stays(box_of(0.01, 0.01, 40.01, 45.01));
    stays(box_of(0.01, 0.01, 80.01, 20.01));
    stays(vec![Point::new(0.01, 0.01), Point::new(80.01, 1.01), Point::new(80.01, 45.01)]);
    stays([box_of(0.01, 0.01, 80.01, 45.01), vec![Point::new(40.0, 20.0)]].concat());
    stays([box_of(0.01, 0.01, 80.01, 45.01), vec![Point::new(0.01, 20.0)]].concat());
    let two = [box_of(0.01, 0.01, 80.01, 45.01), box_of(0.01, 0.01, 80.01, 45.01)];
    let mut same = two.clone();
    settle(&mut same, [100.0, 50.0]);
    assert_eq!(same, two);
}

#[test]
fn parts_that_are_not_closed_are_and_those_that_enclose_nothing_go() {
    let at = |x: f64, y: f64| Point::new(x, y);
    let found = |data: &str| contours(&BezPath::from_svg(data).unwrap());
    assert_eq!(found("M0 0L4 0L4 4"), [vec![at(0.0, 0.0), at(4.0, 0.0), at(4.0, 4.0)]]);
    assert_eq!(found("M0 0L4 0ZM9 9M1 1L2 2L1 2Z"), [vec![at(1.0, 1.0), at(2.0, 2.0), at(1.0, 2.0)]]);
    // Behind a close the pen is where the contour began.
    let again = vec![at(0.0, 0.0), at(9.0, 9.0), at(0.0, 9.0)];
    assert_eq!(found("M0 0L4 0L4 4ZL9 9L0 9"), [vec![at(0.0, 0.0), at(4.0, 0.0), at(4.0, 4.0)], again]);
}

#[test]
fn a_box_between_samples_covers_whole_ones() {
    let whole = Rect::new(0.0, 0.0, 10.0, 8.0);
    let of = |points: Vec<Point>| whole_samples(&[points], whole);
    assert_eq!(of(box_of(2.0, 3.0, 5.0, 7.0)), Some([2, 3, 5, 7]));
    // Either way round, and cut at the picture's edge.
    assert_eq!(of(box_of(2.0, 7.0, 5.0, 3.0)), Some([2, 3, 5, 7]));
    assert_eq!(of(box_of(-3.5, 3.0, 5.0, 99.5)), Some([0, 3, 5, 8]));
    for (x0, y0, x1, y1) in
        [(2.01, 3.0, 5.0, 7.0), (2.0, 2.99, 5.0, 7.0), (2.0, 3.0, 5.5, 7.0), (2.0, 3.0, 5.0, 7.01)]
    {
        assert_eq!(of(box_of(x0, y0, x1, y1)), None, "{x0} {y0} {x1} {y1}");
    }
    // A corner short of a box by half a sample, and two of them.
    let point = |x, y| Point::new(x, y);
    assert_eq!(
        of(vec![point(2.0, 3.0), point(5.0, 3.0), point(5.0, 6.0), point(4.0, 7.0), point(2.0, 7.0)]),
        None
    );
    assert_eq!(whole_samples(&[box_of(0.0, 0.0, 1.0, 1.0), box_of(2.0, 2.0, 3.0, 3.0)], whole), None);
}

#[test]
fn what_is_laid_over_a_sample_in_part_adds_its_part_of_the_light() {
    let display = Display::assumed();
    let laid = |under: [u8; 3], codes: [u8; 3], place: Rect| {
        let mut image = RgbImage::from_pixel(10, 8, Rgb(under));
        let area = place.to_path(0.1);
        lay(&mut image, &area, &contours(&area), codes, &display);
        image
    };
    // Light adds up: of this much of the new codes and the rest of the old.
    let mixed = |under: [u8; 3], codes: [u8; 3], share: f64| {
        Channel::ALL.map(|channel| {
            let tone = display.tone(channel);
            let [under, over] = [under, codes].map(|codes| tone.light(codes[channel.index()]));
            tone.nearest_code(under + (over - under) * share)
        })
    };
    // From 2.25 to 5.5 across and from 3 to 6.75 down; then over the upper left corner, and over the lower right one.
    let part =
        |from: f64, to: f64, at: u32| (to.min(f64::from(at) + 1.0) - from.max(f64::from(at))).clamp(0.0, 1.0);
    for (under, codes) in [([255; 3], BLACK), ([200, 100, 50], [50, 60, 220])] {
        for place in [
            Rect::new(2.25, 3.0, 5.5, 6.75),
            Rect::new(-3.5, -2.0, 1.5, 2.25),
            Rect::new(7.75, 5.5, 14.0, 12.0),
            Rect::new(1.0, 2.0, 4.0, 5.0),
            Rect::new(20.0, 2.0, 24.0, 5.0),
        ] {
            let image = laid(under, codes, place);
            for (x, y, pixel) in image.enumerate_pixels() {
                let share = part(place.x0, place.x1, x) * part(place.y0, place.y1, y);
                let wanted = mixed(under, codes, share);
                // The rasteriser holds single precision, which is worth a code at the most.
                let off = pixel.0.iter().zip(wanted).map(|(one, other)| one.abs_diff(other)).max();
                assert!(off <= Some(1), "{place:?} {x} {y}: {:?} {wanted:?}", pixel.0);
            }
        }
    }
    let mut pixel = Rgb([200, 100, 50]);
    blend(&mut pixel, [10, 20, 30], 1.0, &display);
    assert_eq!(pixel.0, [10, 20, 30]);
}
