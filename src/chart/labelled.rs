//! The names of lines on a chart that is laid out.

use kurbo::BezPath;

use super::FieldColours;
use super::label::Labels;
use super::layout::{Layout, Row};
use crate::acuity::Notation;
use crate::light::Channel;
use crate::quantity::Length;
use crate::room::{Display, Room};
use crate::scene::{Geometry, Paint, Shape};

/// The light of a label above black, as a share of its field's: hardly over the half at which it would be taken for a letter, so
/// that its field is at least 1.8 times as bright wherever letters have up to 7 % of its light.
const LIGHT: f64 = 0.52;

/// The rows' names at the outer edge of each field, to be read on the screen itself, so never mirrored.
pub(super) fn shapes(notation: Notation, layout: &Layout, colours: &FieldColours, room: &Room) -> Vec<Shape> {
    let middles: Vec<f64> = layout.rows.iter().map(|row| row.middle().to_mm()).collect();
    let spacing = middles.windows(2).map(|pair| pair[1] - pair[0]).reduce(f64::min);
    let labels = Labels::new(notation, layout.size[1], spacing.map(Length::mm));
    let ends = match colours.right {
        None => vec![(false, colours.left)],
        Some(right) if room.viewing.mirror => vec![(false, right), (true, colours.left)],
        Some(right) => vec![(false, colours.left), (true, right)],
    };
    let at = |row: &Row, middle: f64, (at_right, field): (bool, Paint)| {
        shape(labels.outline(row.acuity, layout.size[0], at_right, middle), field, &room.display)
    };
    let rows = layout.rows.iter().zip(middles);
    rows.flat_map(|(row, middle)| ends.iter().map(move |end| at(row, middle, *end))).collect()
}

/// A label on a field.
fn shape(outline: BezPath, field: Paint, display: &Display) -> Shape {
    let codes = Channel::ALL.map(|channel| {
        let tone = display.tone(channel);
        let light = tone.light(field.codes[channel.index()]);
        let nearest = tone.nearest_code(light * LIGHT);
        // On a dark field one code is more than what lies between this and a letter.
        if tone.light(nearest) >= light / 2.0 { nearest } else { nearest.saturating_add(1) }
    });
    Shape { geometry: Geometry::Path(outline), paint: Paint { codes } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acuity::Acuity;
    use crate::chart::{Request, draw};

    /// By how much a label is told from its field, and how far it stays from a letter: as shares of the field's light.
    const LEAST_CONTRAST: f64 = 1.8;
    const LETTER: f64 = 0.5;

    /// A bright room and one whose fields are a tenth as bright, with the light that falls on the screen.
    #[test]
    fn labels_are_told_from_their_field_and_from_letters() {
        let dark = "[viewing]\ndistance_mm = 3000\n[screen]\npixels = [1280, 800]\npitch_mm = 0.2746\n\
                    [luminance]\nred = 5\ngreen = 17\nblue = 1.8\nblack = 0.02\n\
                    [ambient]\nilluminance_lux = 0.5\nscreen_reflectance = 0.02\n";
        for room in [Room::demo(), Room::from_toml(dark, "dark.toml").unwrap()] {
            let request = Request { labels: Some(Notation::Feet), ..Request::new(Acuity::standard(3)) };
            let chart = draw(&request, &room).unwrap();
            let colours = chart.colours;
            let seen = |paint: Paint| room.display.luminance_in_room(paint.codes).to_cd_m2();
            let black = seen(Paint { codes: [0; 3] });
            let fields = [Some(colours.left), colours.right].into_iter().flatten();
            for field in fields {
                let label = shape(BezPath::new(), field, &room.display).paint;
                assert!(
                    chart.scene.shapes.iter().any(|shape| shape.paint == label),
                    "{label:?} is not drawn"
                );
                let contrast = seen(field) / seen(label);
                assert!(contrast >= LEAST_CONTRAST, "{contrast}");
                let share = (seen(label) - black) / (seen(field) - black);
                assert!(share > LETTER, "{share}");
            }
        }
    }

    /// Green of code 25, where the nearest code to a label's light is under half of the field's.
    #[test]
    fn labels_on_a_very_dark_field_are_no_letters() {
        let text = "[viewing]\ndistance_mm = 300\n[screen]\npixels = [722, 240]\nsize_mm = [172.646354, 57.38937]\n\
                    [luminance]\nred = 20\ngreen = 376.6\nblack = 0.8\n[tone]\ngamma = 1.8\n";
        let room = Room::from_toml(text, "dim.toml").unwrap();
        let light = |code: u8| room.display.tone(Channel::Green).light(code);
        // Under 4 no code lies between a field and half its light.
        for code in 4..=255 {
            let [red, label, blue] =
                shape(BezPath::new(), Paint { codes: [0, code, 0] }, &room.display).paint.codes;
            assert_eq!([red, blue], [0; 2], "a shade of green");
            assert!(light(label) > LETTER * light(code) && label < code, "{label} on {code}");
        }
    }
}
