use kurbo::{Rect, Shape as _};

use super::*;
use crate::acuity::{Acuity, Notation};
use crate::light::{Channel, Fields, Side};
use crate::optotype::LetterSet;
use crate::quantity::{Length, Luminance};
use crate::room::Display;
use crate::scene::{Geometry, Scene};

/// Tables print two decimals of a millimetre, so half of the last is lost; some round their constants besides.
const TABLE_TOLERANCE: f64 = 1e-3;

/// Millimetres survive the way to pixels and back to far better than this.
const EXACT_MM: f64 = 1e-9;

fn height_mm(acuity: &str, metres: f64) -> f64 {
    letter_height(acuity.parse().unwrap(), Length::m(metres)).to_mm()
}

#[test]
fn heights_are_those_of_worked_examples() {
    // 8.73 mm: a worked example in a practitioners' forum. 8.87 mm: two study pages for opticians (0.89 cm; 0.0089 m). Both
    // are rounded, so the digits below are those of h = 2·d·tan(2.5′ · MAR), own arithmetic.
    assert!((height_mm("6/6", 6.0) - 8.7266).abs() < 5e-5);
    assert!((height_mm("20/20", 6.096) - 8.8663).abs() < 5e-5);
    // A caption in the image library of the American Academy of Ophthalmology: 20/60 at 20 ft is 26 mm, five minutes at
    // 60 ft. It is rounded; the digits are own arithmetic.
    assert!((height_mm("20/60", 6.096) - 26.60).abs() < 5e-3);
    // A clinical hand-out of near equivalents (author not recorded): 20/20 at 40 cm is 0.58 mm.
    assert!((height_mm("20/20", 0.4) - 0.58).abs() < 5e-3);
}

#[test]
fn heights_are_those_of_the_four_metre_table() {
    // The visual-acuity table for 4 m of the University of Rome II: Sloan letters in 0.1 log steps (excerpt).
    let table = [58.20, 46.23, 36.72, 29.17, 23.17, 18.40, 14.62, 11.61, 9.22, 7.33, 5.82, 4.62];
    for (tenths, printed) in (-1..=10_i8).rev().zip(table) {
        let height = letter_height(Acuity::standard(tenths), Length::m(4.0)).to_mm();
        assert!(
            (height / printed - 1.0).abs() < TABLE_TOLERANCE,
            "{tenths} tenths: {height} mm, printed {printed}"
        );
    }
}

#[test]
fn heights_follow_the_r10_series_at_six_and_five_metres() {
    // Own arithmetic: outer diameters from the ratio 10^0.1 of ISO 3 R10, which ISO 8596 refers to (excerpt; its
    // printed table was not seen), rounded to 0.01 mm. 7.27 mm for 1.0 at 5 m stands in two encyclopedias as well.
    for (tenths, at_six, at_five) in [
        (13, 174.13, 145.11),
        (10, 87.27, 72.72),
        (5, 27.60, 23.00),
        (3, 17.41, 14.51),
        (0, 8.73, 7.27),
        (-3, 4.37, 3.65),
    ] {
        for (metres, rounded) in [(6.0, at_six), (5.0, at_five)] {
            let height = letter_height(Acuity::standard(tenths), Length::m(metres)).to_mm();
            assert!(
                (height - rounded).abs() < 0.006,
                "{tenths} tenths at {metres} m: {height} mm, not {rounded}"
            );
        }
    }
}

fn demo(request: &Request) -> Chart {
    draw(request, &Room::demo()).unwrap()
}

/// The boxes of the letters of a scene, in millimetres, in the order of drawing.
fn letters(scene: &Scene) -> Vec<Rect> {
    let path = |shape: &crate::scene::Shape| match &shape.geometry {
        Geometry::Path(path) if shape.paint == super::colours::INK => Some(path.bounding_box()),
        Geometry::Path(_)
        | Geometry::Rect(_)
        | Geometry::Line(_)
        | Geometry::Text(_)
        | Geometry::Image(_) => None,
    };
    scene.shapes.iter().filter_map(path).collect()
}

fn squares(lines: &[i8]) -> Request {
    let lines = lines.iter().map(|tenths| Acuity::standard(*tenths)).collect();
    let lines = Lines::new(lines).unwrap();
    // The E fills its box whichever way it points.
    Request { letters: LetterSet::TumblingE, ..Request::new(lines) }
}

#[test]
fn letters_stand_one_width_apart_and_rows_the_height_of_the_lower_one() {
    let boxes = letters(&demo(&squares(&[3, 5])).scene);
    let (upper, lower) = (&boxes[..5], &boxes[10..15]);
    for row in [upper, lower] {
        for pair in row.windows(2) {
            assert!((pair[1].x0 - pair[0].x1 - pair[0].width()).abs() < EXACT_MM);
        }
    }
    assert!(upper[0].height() > lower[0].height(), "the largest letters stand on top");
    assert!((lower[0].y0 - upper[0].y1 - lower[0].height()).abs() < EXACT_MM);
}

#[test]
fn both_fields_show_the_same_a_whole_number_of_pixels_apart() {
    let boxes = letters(&demo(&squares(&[3])).scene);
    let pitch = Room::demo().screen.pitch[0].to_mm();
    for (red, green) in boxes[..5].iter().zip(&boxes[5..]) {
        assert!((green.x0 - red.x0 - 960.0 * pitch).abs() < EXACT_MM);
        assert!((green.y0 - red.y0).abs() < EXACT_MM);
    }
}

#[test]
fn fields_fill_the_picture_and_meet_at_the_middle_column() {
    let chart = demo(&squares(&[3]));
    let Geometry::Rect(right) = &chart.scene.shapes[0].geometry else {
        panic!("the right field comes first")
    };
    let [width, height] = chart.scene.size.map(Length::to_mm);
    let expected = Rect::new(width / 2.0, 0.0, width, height);
    assert!((right.x0 - expected.x0).abs() < EXACT_MM && right.x1 >= width && right.y1 >= height);
}

/// The demo room with a mirror, which its file says too.
fn mirrored_demo() -> Room {
    let mut file = Room::demo().file().clone();
    file.viewing.mirror = true;
    Room::from_file(file, crate::light::Basis::Invented).unwrap()
}

#[test]
fn a_mirrored_room_gets_the_whole_picture_mirrored_once() {
    let mirrored = mirrored_demo();
    let width = Room::demo().screen.size()[0].to_mm();
    let (plain, turned) = (demo(&squares(&[3])), draw(&squares(&[3]), &mirrored).unwrap());
    assert_eq!(plain.colours, turned.colours, "as the patient sees them the fields are the same");
    for (one, other) in letters(&plain.scene).iter().zip(letters(&turned.scene)) {
        assert!((one.x0 - (width - other.x1)).abs() < EXACT_MM);
    }
    let Geometry::Rect(field) = &turned.scene.shapes[0].geometry else {
        panic!("the second field comes first")
    };
    assert!(field.x0.abs() < EXACT_MM, "the second field now lies on the left of the screen");
}

#[test]
fn labels_are_read_on_the_screen_so_they_are_not_mirrored() {
    let labelled = Request { labels: Some(Notation::Feet), ..squares(&[3]) };
    let mirrored = mirrored_demo();
    let label = |room: &Room| {
        let scene = draw(&labelled, room).unwrap().scene;
        let Geometry::Path(path) = &scene.shapes[scene.shapes.len() - 2].geometry else { panic!("a label") };
        path.to_svg()
    };
    assert_eq!(label(&Room::demo()), label(&mirrored));
}

#[test]
fn a_large_line_has_as_many_letters_as_fit() {
    // At 3.2 m the 20/200 line is 46.5 mm high; three letters and their gaps take 326 mm with air, a field has 263.
    let count = |tenths: i8| demo(&squares(&[tenths])).layout.rows[0].letters.len();
    assert_eq!(count(3), 5);
    assert_eq!(count(10), 2);
}

#[test]
fn lines_that_do_not_suit_the_screen_are_refused_with_the_next_that_does() {
    let refused = |lines: &[i8]| draw(&squares(lines), &Room::demo()).unwrap_err().to_string();
    // 1′ at 3.2 m is 0.931 mm or 3.39 px; 20/10 has half of it.
    assert_eq!(
        refused(&[-3]),
        "line 20/10 has strokes of 1.70 px on this screen at this distance, under 2 px: \
         the smallest line that can be drawn here is 20/12.5"
    );
    assert!(refused(&[13]).contains("the largest line that fits is 20/320"), "{}", refused(&[13]));
    let four = refused(&[10, 9, 8, 7]);
    assert!(four.contains("4 lines from 20/200 down, with gaps") && four.contains("296.5 mm high"), "{four}");
}

#[test]
fn lines_are_some_each_once_and_the_largest_letters_first() {
    let lines = |tenths: &[i8]| Lines::new(tenths.iter().map(|tenths| Acuity::standard(*tenths)).collect());
    assert_eq!(lines(&[1, 3, 2]), lines(&[3, 2, 1]));
    assert_eq!(lines(&[1, 3]).unwrap().first(), Acuity::standard(3));
    assert!(lines(&[3, 1, 3]).unwrap_err().to_string().contains("line 20/40 is named twice"));
    assert!(lines(&[]).unwrap_err().to_string().contains("a chart of no lines"));
}

/// Every pair of codes, one by one: a second way to the best match.
fn best_pair(display: &Display, target: f64) -> (u8, u8) {
    let light = |codes: [u8; 3]| display.luminance(codes).to_cd_m2();
    let near = |light: f64| (light / target - 1.0).abs() <= 0.03;
    let mut best = (f64::INFINITY, 0.0, 0, 0);
    for red in 0..=255 {
        for green in 0..=255 {
            let (one, other) = (light([red, 0, 0]), light([0, green, 0]));
            let (off, mean) = ((one - other).abs() / ((one + other) / 2.0), (one + other) / 2.0);
            if near(one)
                && near(other)
                && (off < best.0 || ((off - best.0).abs() < f64::EPSILON && mean > best.1))
            {
                best = (off, mean, red, green);
            }
        }
    }
    (best.2, best.3)
}

#[test]
fn the_fields_are_the_best_match_near_the_brightest() {
    let demo_room = Room::demo();
    for wanted in [None, Some(30.0), Some(12.5)] {
        let request = Request { luminance: wanted.map(Luminance::cd_m2), ..squares(&[3]) };
        let colours = FieldColours::of(&request, &demo_room.display).unwrap();
        let (red, green) = best_pair(&demo_room.display, wanted.unwrap_or(52.0));
        assert_eq!(colours.left.codes, [red, 0, 0]);
        assert_eq!(colours.right.unwrap().codes, [0, green, 0]);
    }
}

#[test]
fn green_that_equals_full_red_on_an_srgb_screen_is_code_148() {
    // IEC 61966-2-1 by colour-science 0.4.7: 0.2126 / 0.7152 = 0.297 of green's light is code 148.3.
    let display = Display::assumed();
    let light = display.luminance([255, 0, 0]) - display.black();
    let green = display.luminance([0, 255, 0]) - display.black();
    assert_eq!(display.tone(Channel::Green).nearest_code(light / green), 148);
}

#[test]
fn one_field_charts_have_the_light_of_the_coloured_ones_unless_told_otherwise() {
    let display = Room::demo().display.clone();
    let one = |fields, white| {
        let colours = FieldColours::of(&Request { fields, white, ..squares(&[3]) }, &display).unwrap();
        assert!(colours.right.is_none());
        colours.left.codes
    };
    let pair = FieldColours::of(&squares(&[3]), &display).unwrap();
    assert_eq!(one(Fields::Red, White::Matched), pair.left.codes);
    assert_eq!(one(Fields::Green, White::Matched), pair.right.unwrap().codes);
    assert_eq!(one(Fields::White, White::Full), [255; 3]);
    let (grey, red) =
        (display.luminance(one(Fields::White, White::Matched)), display.luminance(pair.left.codes));
    // Half a code of grey there is 0.9 % of its light.
    assert!((grey / red - 1.0).abs() < 0.01);
}

#[test]
fn red_stands_on_the_side_asked_for() {
    let right =
        FieldColours::of(&Request { red: Side::Right, ..squares(&[3]) }, &Room::demo().display).unwrap();
    assert_eq!(right.left.codes[0], 0);
    assert_eq!(right.right.unwrap().codes[1], 0);
}

/// The refusal of a luminance on the demo room's screen without its black and ambient light, or nothing.
fn refused_or_drawn(cd_m2: f64) -> String {
    let request = Request { luminance: Some(Luminance::cd_m2(cd_m2)), ..squares(&[3]) };
    let room = "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n\
                [luminance]\nred = 130\ngreen = 700\nblack = 0.0\n[tone]\ngamma = 1.8\n";
    let room = Room::from_toml(room, "room").unwrap();
    draw(&request, &room).map_or_else(|error| error.to_string(), |_| String::new())
}

#[test]
fn light_that_the_screen_does_not_have_is_refused() {
    let refused = |cd_m2: f64| {
        let request = Request { luminance: Some(Luminance::cd_m2(cd_m2)), ..squares(&[3]) };
        draw(&request, &Room::demo()).unwrap_err().to_string()
    };
    assert_eq!(
        refused(60.0),
        "luminance 60.0 cd/m² is more than red and green both reach on this screen, 52.0 cd/m², where red is the dimmer: \
         ask for 52.0 cd/m² or less"
    );
    assert!(refused(0.01).contains("no codes of red and green come within 3 %"));
    // Own reasoning, no outside source: near black the codes of a screen lie too far apart to meet within 2 %. (The room is
    // that of a fault found in this project.)
    let dim = (20..80).map(|tenths| f64::from(tenths) / 10.0).map(refused_or_drawn);
    assert!(dim.filter(|said| said.contains("over 2 %")).count() > 0);
    // Black 0.25 and room light 0.025 of 1.5 and 0.025 cd/m²: 18 %.
    assert!(refused(1.5).contains("leaves letters 18.1 % of its light"), "{}", refused(1.5));
}

#[test]
fn a_chart_says_in_words_what_it_is_and_for_what_screen() {
    let metadata = |fields, red| demo(&Request { fields, red, ..squares(&[3]) }).scene.metadata;
    let room = Room::demo();
    let distance = room.viewing.distance.to_string();
    for (fields, words) in [
        (Fields::RedGreen, "Red-green chart"),
        (Fields::White, "White chart"),
        (Fields::Red, "Red chart"),
        (Fields::Green, "Green chart"),
    ] {
        let title = metadata(fields, Side::Left).title;
        assert!(title.starts_with(words) && title.contains("20/40") && title.ends_with(&distance), "{title}");
    }
    let [columns, rows] = room.screen.pixels;
    let pixels = format!("{columns} × {rows} pixels");
    for (red, words) in
        [(Side::Left, "Red on the patient’s left."), (Side::Right, "Red on the patient’s right.")]
    {
        let said = metadata(Fields::RedGreen, red).description;
        assert!(said.contains(words) && said.contains(&pixels) && !said.contains("mirror"), "{said}");
    }
    let white = metadata(Fields::White, Side::Left).description;
    assert!(!white.contains("Red on"), "{white}");
    assert!(demo(&squares(&[3])).claim.demo_room, "the demo room was invented");
    assert_eq!([White::Matched, White::Full].map(White::name), ["matched", "full"]);
}
