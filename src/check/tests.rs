//! The measurement against letters drawn at known places and sizes, and findings on small spoilt pictures.

use image::{Rgb, RgbImage};
use kurbo::Affine;

use super::alphabet::{ALPHABETS, Detail, Edge};
use super::glyph::Glyph;
use super::locate::{Fields, Ink};
use super::measure::{self, Extent};
use super::*;
use crate::chart::{self, Request};
use crate::export::{self, png::ColourChunk};
use crate::optotype::{LetterSet, Optotype, STROKES_A_SIDE};
use crate::quantity::Length;
use crate::raster;
use crate::room::Display;
use crate::scene::{Geometry, Metadata, Paint, Scene, Shape};

/// A green field with one letter. Its box begins at a place in pixels, and a stroke has a number of pixels.
fn letter_on_green(letter: Optotype, stroke_px: f64, left: f64, top: f64) -> Glyph {
    let display = Display::assumed();
    let side = (STROKES_A_SIDE * stroke_px).ceil() + 24.0;
    let place = Affine::translate((left, top)) * Affine::scale(stroke_px);
    let shape = Shape { geometry: Geometry::Path(place * letter.outline()), paint: Paint { codes: [0; 3] } };
    let scene = Scene {
        size: [Length::mm(side); 2],
        background: Paint { codes: [0, 147, 0] },
        shapes: vec![shape],
        metadata: Metadata::default(),
    };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred pixels")]
    let image = raster::draw(&scene, [side as u32; 2], &display);
    let fields = Fields::find(&image);
    let ink = Ink::find(&image, &fields, &display);
    assert_eq!((ink.rows.len(), ink.marks.len(), ink.tinted), (1, 0, 0), "{}", letter.name());
    let place = ink.rows[0].letters[0][0];
    Glyph::cut(&image, place, fields.codes[0], &display)
}

/// Strokes and places that meet the pixel grid in many ways.
fn placements() -> impl Iterator<Item = (f64, f64, f64)> {
    let strokes = [2.0, 2.17, 2.5, 2.93, 3.6, 4.41, 6.75, 9.2, 17.3];
    let phases = [(12.0, 12.0), (12.13, 12.91), (12.5, 12.5), (12.37, 12.71), (12.83, 12.22)];
    strokes.into_iter().flat_map(move |stroke| phases.map(|(left, top)| (stroke, left, top)))
}

/// Edges: eight bits of green leave 0.0075 px each, an arc over a pixel a little more.
const EDGE_TOLERANCE_PX: f64 = 0.03;

/// Gaps: two areas of some 20 px² each, rounded to eight bits along their edges, and the thickness of the ring.
const GAP_TOLERANCE_PX: f64 = 0.04;

/// Shapes: a slanted edge is a ramp one pixel wide, which in a square stroke of 2 × 2 px leaves a tenth; pixels that are
/// not square, and codes that are coarse, may add half of that.
const SHAPE_TOLERANCE: f64 = 0.12;

#[test]
fn every_letter_is_read_and_measured_wherever_it_falls_on_the_grid() {
    for (set, letter) in
        LetterSet::ALL.iter().flat_map(|&set| set.members().into_iter().map(move |one| (set, one)))
    {
        let alphabet = ALPHABETS.iter().find(|alphabet| alphabet.name == set.name()).unwrap();
        for (stroke, left, top) in placements() {
            let what = format!("{} with strokes of {stroke} px at {left}, {top}", letter.name());
            let glyph = letter_on_green(letter, stroke, left, top);
            let edges = measure::FirstEdges::find(&glyph);
            let read = identify::Look::at(&glyph, &edges)
                .and_then(|look| look.read(alphabet))
                .unwrap_or_else(|| panic!("{what} is not read"));
            assert_eq!(read.name, letter.name(), "{what}");
            let extent = Extent::measure(&glyph, &edges, read.sides);
            let open = |border: usize| read.sides[border] == Edge::Open;
            for (measured, open) in [(extent.height, open(0) || open(2)), (extent.width, open(1) || open(3))]
            {
                let off = measured - STROKES_A_SIDE * stroke;
                assert!(open || off.abs() < EDGE_TOLERANCE_PX, "{what} is {off:+.3} px too large");
            }
            let (detail, _) = measure::detail(&glyph, &extent, read).unwrap();
            let tolerance =
                if matches!(read.detail, Detail::Gap { .. }) { GAP_TOLERANCE_PX } else { EDGE_TOLERANCE_PX };
            assert!((detail - stroke).abs() < tolerance, "{what} has a detail of {detail:.3} px");
            let departure = shape::departure(&glyph, &extent.squared(&glyph, read.sides, 1.0), read);
            assert!(departure.abs() < SHAPE_TOLERANCE, "{what} has {departure:+.3} of a stroke out of place");
        }
    }
}

#[test]
fn no_two_letters_of_an_alphabet_look_alike() {
    let differ = |one: &alphabet::Letter, other: &alphabet::Letter| {
        identify::cells(one)
            .zip(identify::cells(other))
            .any(|pair| matches!(pair, (Some(one), Some(other)) if one != other))
    };
    for alphabet in &ALPHABETS {
        for (index, one) in alphabet.letters.iter().enumerate() {
            for other in &alphabet.letters[index + 1..] {
                assert!(differ(one, other), "{} and {} look alike", one.name, other.name);
            }
        }
    }
}

#[test]
fn each_alphabet_has_the_letters_that_charts_draw() {
    for &set in LetterSet::ALL {
        let alphabet = ALPHABETS.iter().find(|alphabet| alphabet.name == set.name()).unwrap();
        let names: Vec<&str> = alphabet.letters.iter().map(|letter| letter.name).collect();
        assert_eq!(set.members().iter().map(|letter| letter.name()).collect::<Vec<_>>(), names);
    }
}

/// The report on a chart for a room, after a change to its pixels.
fn report(room: &Room, request: &Request, spoil: impl FnOnce(&mut RgbImage)) -> Report {
    report_in(room, room, request, spoil)
}

/// The report on a chart that was drawn for one room and is shown in another.
fn report_in(
    drawn_for: &Room,
    shown_in: &Room,
    request: &Request,
    spoil: impl FnOnce(&mut RgbImage),
) -> Report {
    let room = drawn_for;
    let chart = chart::draw(request, room).unwrap();
    let mut image = raster::draw(&chart.scene, room.screen.pixels, &room.display);
    spoil(&mut image);
    let bytes =
        export::png::encode(&image, room.screen.pitch, &ColourChunk::Device, &chart.scene.metadata).unwrap();
    png_bytes(&bytes, "chart.png", &Expected { room: Some(shown_in.clone()), ..Expected::default() }).unwrap()
}

fn customary() -> Request {
    Request::new(Acuity::standard(3))
}

fn room(tables: &str) -> Room {
    let text = "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1280, 720]\npitch_mm = 0.25\n";
    Room::from_toml(&format!("{text}{tables}"), "room").unwrap()
}

fn of<'a>(report: &'a Report, clause: &Clause) -> &'a Finding {
    report.findings.iter().find(|finding| finding.clause.id == clause.id).unwrap()
}

#[test]
fn a_bright_black_and_a_lit_room_warn_or_fail_on_contrast() {
    let verdict = |tables: &str| {
        of(&report_in(&room(""), &room(tables), &customary(), |_| {}), &clause::CONTRAST).verdict
    };
    let light = "[luminance]\nred = 50\ngreen = 170\nblack = ";
    assert_eq!(verdict(&format!("{light}0.2")), Verdict::Pass);
    // 5 of 50 cd/m² is 10 %, 10 of 50 is 20 %.
    assert_eq!(verdict(&format!("{light}5")), Verdict::Warn);
    assert_eq!(verdict(&format!("{light}10")), Verdict::Fail);
    // 700 lx × 0.05 / π = 11.1 cd/m² on 50 and on 0.2: 18 %.
    let lit = "\n[ambient]\nilluminance_lux = 700\nscreen_reflectance = 0.05";
    assert_eq!(verdict(&format!("{light}0.2{lit}")), Verdict::Fail);
}

#[test]
fn grey_letters_fail_on_contrast() {
    let lift = |image: &mut RgbImage| {
        for pixel in image.pixels_mut() {
            pixel.0[0] = pixel.0[0].max(120);
        }
    };
    // By IEC 61966-2-1 code 120 has 19 % of full light.
    let red = Request { fields: crate::light::Fields::Red, ..customary() };
    assert_eq!(of(&report(&room(""), &red, lift), &clause::CONTRAST).verdict, Verdict::Fail);
}

#[test]
fn the_match_as_seen_is_not_established_until_the_fields_are_metered() {
    let seen =
        |tables: &str| of(&report(&room(tables), &customary(), |_| {}), &clause::MATCH_AS_SEEN).clone();
    assert_eq!(seen("").measured, Value::Words("not established".into()));
    let metered = seen("[luminance]\nred = 50\ngreen = 170\nblack = 0.2");
    let Value::Uncertain { uncertainty, .. } = metered.measured else { panic!("{metered:?}") };
    // Two readings of 3 %, and 0.1 · ln(147/255) = 5.5 % for the assumed curve of green: twice √(3² + 3² + 5.5²) = 13.9 %.
    assert!((uncertainty - 13.9).abs() < 0.3, "{uncertainty}");
    // A good meter and a measured curve: twice √(0.5² + 0.5² + 0.43² of green's code + 0.25² of red's) = 1.7 %.
    let known =
        seen("[luminance]\nred = 50\ngreen = 170\nblack = 0.2\nmeter_percent = 0.5\n[tone]\ngamma = 2.2");
    let Value::Uncertain { uncertainty, .. } = known.measured else { panic!("{known:?}") };
    assert!((uncertainty - 1.7).abs() < 0.1, "{uncertainty}");
    assert_eq!(known.verdict, Verdict::Pass, "{known:?}");
}

#[test]
fn dim_fields_warn() {
    let request = Request { luminance: Some(crate::quantity::Luminance::cd_m2(6.0)), ..customary() };
    assert_eq!(of(&report(&room(""), &request, |_| {}), &clause::FIELD_LUMINANCE).verdict, Verdict::Warn);
}

#[test]
fn a_speck_a_line_at_the_seam_and_unasked_labels_are_found() {
    let evenness = |request: &Request, spoil: fn(&mut RgbImage)| {
        of(&report(&room(""), request, spoil), &clause::EVENNESS).verdict
    };
    assert_eq!(evenness(&customary(), |_| {}), Verdict::Pass);
    assert_eq!(evenness(&customary(), |image| image.put_pixel(9, 9, Rgb([0; 3]))), Verdict::Fail);
    let seam = |image: &mut RgbImage| (0..720).for_each(|y| image.put_pixel(640, y, Rgb([0; 3])));
    assert_eq!(evenness(&customary(), seam), Verdict::Fail);
    assert_eq!(of(&report(&room(""), &customary(), seam), &clause::FIELDS).verdict, Verdict::Fail);
    let labelled = Request { labels: Some(crate::acuity::Notation::Feet), ..customary() };
    assert_eq!(evenness(&labelled, |_| {}), Verdict::Pass);
    let smudge = |image: &mut RgbImage| {
        for (x, y) in (100..400).flat_map(|x| (100..300).map(move |y| (x, y))) {
            image.put_pixel(x, y, Rgb([250, 0, 0]));
        }
    };
    assert_eq!(evenness(&labelled, smudge), Verdict::Fail);
}

#[test]
fn a_chart_that_is_mirrored_once_too_often_is_found() {
    let turned = report(&room(""), &customary(), image::imageops::flip_horizontal_in_place);
    assert_eq!(of(&turned, &clause::MIRRORING).verdict, Verdict::Fail);
    assert_eq!(of(&turned, &clause::FIELDS).verdict, Verdict::Fail);
    let mut file = room("").file().clone();
    file.viewing.mirror = true;
    let mirrored = Room::from_file(file, crate::light::Basis::Measured).unwrap();
    let right = report(&mirrored, &customary(), |_| {});
    assert_eq!(of(&right, &clause::MIRRORING).verdict, Verdict::Pass);
    assert_eq!((right.count(Verdict::Fail), right.count(Verdict::Warn)), (0, 0), "{right:#?}");
}

#[test]
fn letters_far_beside_the_eye_warn() {
    // Five letters a field at 40 cm: the outermost stands 76 mm beside the middle, and 1 − 1/(1 + 0.19²) = 3.5 %.
    let near = |distance: &str| {
        let text =
            format!("[viewing]\ndistance_mm = {distance}\n[screen]\npixels = [1280, 720]\npitch_mm = 0.25\n");
        let room = Room::from_toml(&text, "room").unwrap();
        let line = Request::new(Acuity::standard(10));
        of(&report(&room, &line, |_| {}), &clause::OBLIQUITY).clone()
    };
    let (at_arms_length, close) = (near("600"), near("250"));
    assert_eq!(at_arms_length.verdict, Verdict::Pass, "{at_arms_length:?}");
    assert_eq!(close.verdict, Verdict::Warn, "{close:?}");
}

#[test]
fn crowded_letters_warn() {
    let crowd = |image: &mut RgbImage| {
        // Moves all that stands right of the middle of the red field's line 20 px to the left.
        for y in 0..720 {
            for x in 335..560 {
                let from = *image.get_pixel(x + 20, y);
                image.put_pixel(x, y, from);
            }
        }
    };
    let spacing = of(&report(&room(""), &customary(), crowd), &clause::SPACING).clone();
    assert_eq!(spacing.verdict, Verdict::Warn, "{spacing:?}");
}

/// The corner of a square of so many pixels a side in the first letter on red: the first place where this holds of each of its
/// pixels and of those of the column before it, by whether they are ink.
fn square(side: u32, image: &RgbImage, holds: impl Fn(bool, bool) -> bool) -> [u32; 2] {
    let ink = |x: u32, y: u32| image.get_pixel(x, y).0[0] < 60;
    let inked = |x: &u32| (300..420).any(|y| ink(*x, y));
    let left = (0..640).find(inked).unwrap();
    let right = (left..640).find(|x| !inked(x)).unwrap();
    let top = (300..420).find(|y| (left..right).any(|x| ink(x, *y))).unwrap();
    let bottom = (top..420).find(|y| !(left..right).any(|x| ink(x, *y))).unwrap();
    let places = |[x, y]: [u32; 2]| (0..side * side).map(move |at| [x + at % side, y + at / side]);
    let fits = |corner: &[u32; 2]| places(*corner).all(|[x, y]| holds(ink(x, y), ink(corner[0] - 1, y)));
    let corners = (top..bottom - side).flat_map(|y| (left + 1..right - side).map(move |x| [x, y]));
    corners.into_iter().find(fits).unwrap()
}

#[test]
fn a_letter_that_lacks_ink_or_has_too_much_is_called_so() {
    // Strokes are 7.4 pixels wide: 9 pixels are 16 % of the area of one, and 16 are 29 %.
    for (filled, side, what) in
        [(false, 3, "the letter lacks ink"), (true, 4, "the letter has ink beside its strokes")]
    {
        // At the edge of a stroke, within it or beside it.
        let spoil = |image: &mut RgbImage| {
            let field = *image.get_pixel(0, 0);
            let [left, top] = square(side, image, |ink, before| ink != filled && before == filled);
            let codes = if filled { image::Rgb([0; 3]) } else { field };
            (0..side * side).for_each(|at| image.put_pixel(left + at % side, top + at / side, codes));
        };
        let finding = of(&report(&room(""), &customary(), spoil), &clause::SHAPE).clone();
        assert_eq!(finding.verdict, Verdict::Fail, "{finding:?}");
        assert!(finding.note.starts_with(what), "{finding:?}");
    }
}

#[test]
fn text_that_is_not_understood_is_said_and_not_believed() {
    let room = room("");
    let chart = chart::draw(&customary(), &room).unwrap();
    let image = raster::draw(&chart.scene, room.screen.pixels, &room.display);
    let metadata = Metadata { json: "{\"chart\": 3}".into(), ..Metadata::default() };
    let bytes = export::png::encode(&image, room.screen.pitch, &ColourChunk::Device, &metadata).unwrap();
    let report = png_bytes(&bytes, "chart.png", &Expected::default()).unwrap();
    assert_eq!(of(&report, &clause::METADATA).verdict, Verdict::Warn);
    assert_eq!(of(&report, &clause::LETTER_SIZE).verdict, Verdict::NotJudged);
}

#[test]
fn the_ledger_names_each_clause_once_and_tests_that_exist() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    for (index, clause) in clause::LEDGER.iter().enumerate() {
        assert!(
            clause::LEDGER[..index].iter().all(|other| other.id != clause.id),
            "{} stands twice",
            clause.id
        );
        assert!(
            clause.test.is_empty() || root.join(clause.test).is_file(),
            "{} has no {}",
            clause.id,
            clause.test
        );
        assert_eq!(
            clause.test.is_empty(),
            !matches!(clause.how, clause::How::Checked | clause::How::ByConstruction)
        );
    }
}

#[test]
fn light_that_may_lie_on_either_side_of_the_limit_is_not_judged() {
    // Of light that is only assumed, 60 % may be missing or too much: 12 ± 7 cd/m² where 10 are asked, but not 50 ± 30.
    let dim = |cd_m2: f64| {
        let request = Request { luminance: Some(crate::quantity::Luminance::cd_m2(cd_m2)), ..customary() };
        of(&report(&room(""), &request, |_| {}), &clause::FIELD_LUMINANCE).verdict
    };
    assert_eq!(dim(12.0), Verdict::NotJudged);
    assert_eq!(dim(50.0), Verdict::Pass);
}
