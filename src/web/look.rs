//! The colours of the pages, from the look of all that is made.

use crate::scene::{Paint, look};

/// The colours of both pages in the dark room, by the names that style sheets and scripts know them by.
pub(super) const COLOURS: [(&str, Paint); 14] = [
    ("night", look::NIGHT),
    ("glow", look::GLOW),
    ("accent", Paint { codes: [0xC9, 0x8A, 0x1B] }),
    // On the patient's screen: words, and what leads among them, no brighter.
    ("dim", look::DIM),
    ("accent-dim", Paint { codes: [0xAE, 0x76, 0x18] }),
    // Labels: brighter than on pictures, since they stand in small type on controls as well.
    ("label", Paint { codes: [0x8F, 0x97, 0x9F] }),
    ("frame", look::QUIET),
    ("hairline", Paint { codes: [0x24, 0x29, 0x2E] }),
    ("covered", Paint { codes: [0x0A, 0x0C, 0x0E] }),
    ("control", Paint { codes: [0x10, 0x14, 0x18] }),
    ("control-edge", Paint { codes: [0x3A, 0x41, 0x48] }),
    ("control-held", Paint { codes: [0x1A, 0x20, 0x26] }),
    // What belongs to the red and to the green field, light enough for lines and words on night.
    ("long", Paint { codes: [0xD8, 0x57, 0x4A] }),
    ("middle", Paint { codes: [0x3F, 0x9C, 0x63] }),
];

/// A colour as browsers write it.
pub(super) fn hex(paint: Paint) -> String {
    let [red, green, blue] = paint.codes;
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// All of them for a style sheet, each as a property of its name.
pub(super) fn properties() -> String {
    let property = |(name, paint): (&str, Paint)| format!("--{name}: {};", hex(paint));
    format!(":root {{ {} }}", COLOURS.map(property).join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::{Channel, ToneCurve, srgb_weight};

    /// The colours that a text names, each with its luminance as a share of white's.
    fn named(text: &str, before: &str) -> Vec<(&'static str, f64)> {
        let tone = ToneCurve::srgb();
        let light = |paint: Paint| {
            let share = |channel: Channel| srgb_weight(channel) * tone.light(paint.codes[channel.index()]);
            Channel::ALL.into_iter().map(share).sum()
        };
        let is_named = |name: &str| text.contains(&format!("{before}{name})"));
        let named = COLOURS.into_iter().filter(|(name, _)| is_named(name));
        named.map(|(name, paint)| (name, light(paint))).collect()
    }

    #[test]
    fn nothing_on_the_patients_screen_is_brighter_than_dim() {
        let [(_, dim)] = named("var(--dim)", "var(--")[..] else { panic!("dim is no colour") };
        for sheet in [include_str!("exam.css"), include_str!("wall.css")] {
            let painted = named(sheet, "var(--");
            assert!(painted.len() > 1, "{painted:?}");
            for (name, light) in painted {
                assert!(light <= dim, "{name}: {light} of white, and dim has {dim}");
            }
        }
    }

    /// The panel is another screen, in the examiner's hand: it says how far to dim that one, by its brightest colour.
    #[test]
    fn nothing_on_the_panel_is_brighter_than_what_it_says_of_itself() {
        let [(_, glow)] = named("var(--glow)", "var(--")[..] else { panic!("glow is no colour") };
        for (name, light) in named(include_str!("panel.css"), "var(--") {
            assert!(light <= glow, "{name}: {light} of white, and glow has {glow}");
        }
    }

    #[test]
    fn style_sheets_name_these_colours_and_no_others() {
        let sheets = [
            include_str!("exam.css"),
            include_str!("practice.css"),
            include_str!("panel.css"),
            include_str!("home.css"),
            include_str!("wall.css"),
            include_str!("slides.css"),
        ]
        .concat();
        for (name, _) in COLOURS {
            assert!(sheets.contains(&format!("var(--{name})")), "{name} paints nothing");
        }
        for used in sheets.split("var(--").skip(1) {
            let name = used.split(')').next().unwrap();
            assert!(COLOURS.iter().any(|(one, _)| *one == name), "{name} is no colour");
        }
        let codes = sheets.split('#').skip(1).filter(|rest| {
            let codes = rest.chars().take_while(char::is_ascii_hexdigit).count();
            codes >= 3 && rest[codes..].starts_with([';', ' '])
        });
        assert_eq!(codes.count(), 0, "a colour stands in a style sheet");
    }
}
