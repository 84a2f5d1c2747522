//! The report of a room as a page.
//!
//! Three zones, read from above: the verdict in a sentence, for who decides; the figures with two plots, for who wants to know
//! why; and how sure they are, with what to mend. The last zone stands at the foot of the sheet and the plots take what is left,
//! so that the same page serves both papers and every length of a room's name.

use kurbo::Rect;

use super::{CAUTION, Paper};
use crate::light::{Basis, Channel, LETTER_LIGHT_PERCENT, MATCH_PERCENT, Observer, Spectrum};
use crate::quantity::{Length, Wavelength};
use crate::report::Warning;
use crate::report::{FieldsShown, Ground, LineShown, RoomReport, Verdict};
use crate::room::{Room, Spectra};
use crate::scene::look::{self, BODY, FIGURE, GRID_MM, HEADING, LEAD, SMALL, TITLE};
use crate::scene::{Anchor, Axis, Canvas, Curve, Metadata, Plot, Scene, Series, Word, fitted};
use crate::text::capital;

/// Air at the sheet's sides, and between its columns.
const MARGIN_MM: f64 = 7.0 * GRID_MM;
const GUTTER_MM: f64 = 5.0 * GRID_MM;

/// The share of the sheet's width that the narrow column of the figures, and the wide one of the warnings, takes.
const LINES_SHARE: f64 = 0.42;
const WARNINGS_SHARE: f64 = 0.74;

/// Between which heights a plot can be read and fits.
const PLOT_MM: std::ops::RangeInclusive<f64> = 40.0..=62.0;

/// The wavelengths that the plot of spectra spans.
const PLOTTED_NM: [f64; 2] = [400.0, 720.0];

/// A room's report as one page in three zones: the verdict, the figures, how sure they are.
#[derive(Debug, Clone)]
pub struct RoomPage {
    /// The page.
    pub scene: Scene,
}

impl RoomPage {
    /// Lays the page out. `heading` names the room, `date` stands at the upper right where it is given.
    ///
    /// ```
    /// # use evenfield::{print::{Paper, RoomPage}, room::Room};
    /// let room = Room::demo();
    /// let page = RoomPage::new(&room, &room.primaries.spectra()?, Paper::A4, "room 2", None);
    /// assert_eq!(page.scene.size, Paper::A4.size());
    /// # Ok::<(), evenfield::room::SpectraError>(())
    /// ```
    #[must_use]
    pub fn new(room: &Room, spectra: &Spectra, paper: Paper, heading: &str, date: Option<&str>) -> Self {
        let report = RoomReport::new(room, spectra);
        let [width, height] = paper.size().map(Length::to_mm);
        let mut page = Page { canvas: Canvas::default(), report, left: MARGIN_MM, right: width - MARGIN_MM };
        let top = page.verdict(heading, date);
        let figures_bottom = page.figures(top + 2.0 * GRID_MM);
        // The last zone stands at the foot; the plots take what is left between.
        let foot = height - MARGIN_MM;
        let sure_high = page.clone().sure(0.0);
        let plots_high =
            (foot - sure_high - 3.0 * GRID_MM - figures_bottom).clamp(*PLOT_MM.start(), *PLOT_MM.end());
        let plots_bottom = page.plots(room, spectra, figures_bottom, plots_high);
        page.sure(plots_bottom + 3.0 * GRID_MM);
        Self {
            scene: Scene {
                size: paper.size(),
                background: look::BARE,
                shapes: page.canvas.shapes,
                metadata: Metadata {
                    title: format!("Room report: {heading}"),
                    description: page.report.verdict.to_string(),
                    json: String::new(),
                },
            },
        }
    }
}

/// The page as it grows, from the top: lengths in millimetres.
#[derive(Clone)]
struct Page {
    canvas: Canvas,
    report: RoomReport,
    left: f64,
    right: f64,
}

impl Page {
    const fn width(&self) -> f64 {
        self.right - self.left
    }

    /// The heading, what can be shown here, and what the test is worth; each part says where it ends below.
    fn verdict(&mut self, heading: &str, date: Option<&str>) -> f64 {
        let (left, right, width) = (self.left, self.right, self.width());
        let baseline = MARGIN_MM + SMALL.em.to_mm();
        // The date has a sixth of the line.
        let heading = fitted(&format!("Room report: {heading}"), SMALL, width * 5.0 / 6.0);
        self.canvas.write(&heading, SMALL, Anchor::Left, [left, baseline]);
        self.canvas.write(date.unwrap_or_default(), SMALL, Anchor::Right, [right, baseline]);
        // A reason, where there is one, follows in smaller type.
        let Verdict { said, reason } = self.report.verdict.clone();
        let reason = reason.map_or_else(String::new, |reason| format!("{reason}."));
        let mut bottom = self.canvas.paragraph(&said, TITLE, [left, baseline + 2.0 * GRID_MM], width);
        for sentence in [&capital(&reason), &worth(&self.report)] {
            if !sentence.is_empty() {
                bottom = self.canvas.paragraph(sentence, LEAD, [left, bottom + GRID_MM / 2.0], width);
            }
        }
        bottom += GRID_MM;
        self.canvas.rule(left, right, bottom);
        bottom
    }

    /// Lines at the left, facts at the right.
    fn figures(&mut self, top: f64) -> f64 {
        let narrow = LINES_SHARE * self.width() - GUTTER_MM / 2.0;
        let lines = self.lines([self.left, top], narrow);
        let facts = self.facts([self.left + narrow + GUTTER_MM, top]);
        lines.max(facts) + 2.0 * GRID_MM
    }

    /// Each standard line with its letters' height, its stroke, and whether it can be shown.
    fn lines(&mut self, [left, top]: [f64; 2], width: f64) -> f64 {
        let columns = [left, left + 0.36 * width, left + 0.62 * width, left + width];
        let mut baseline = top + HEADING.em.to_mm();
        self.canvas.write("Lines", HEADING, Anchor::Left, [left, baseline]);
        baseline += BODY.leading();
        for (words, anchor, x) in [
            ("letter", Anchor::Centre, columns[1]),
            ("stroke", Anchor::Centre, columns[2]),
            ("can be shown", Anchor::Right, columns[3]),
        ] {
            self.canvas.write(words, SMALL, anchor, [x, baseline]);
        }
        for line in self.report.lines.clone() {
            baseline += SMALL.leading();
            self.line(&line, columns, baseline);
        }
        baseline
    }

    fn line(&mut self, line: &LineShown, columns: [f64; 4], baseline: f64) {
        use crate::report::Shown;
        let (style, shown) = match line.shown {
            Shown::Plainly => (FIGURE, "yes"),
            Shown::Coarsely => (FIGURE, "coarsely"),
            Shown::TooFine => (SMALL, "too fine"),
            Shown::TooLarge => (SMALL, "too large"),
            Shown::NoFields => (SMALL, "no fields"),
        };
        self.canvas.write(&line.line.to_string(), style, Anchor::Left, [columns[0], baseline]);
        let height = format!("{:.2} mm", line.height_mm);
        self.canvas.write(&height, style, Anchor::Point, [columns[1], baseline]);
        self.canvas.write(&format!("{:.2} px", line.stroke_px), style, Anchor::Point, [columns[2], baseline]);
        self.canvas.write(shown, style, Anchor::Right, [columns[3], baseline]);
    }

    /// What is known of the room, its fields and their foci, in groups.
    fn facts(&mut self, [left, top]: [f64; 2]) -> f64 {
        let mut bottom = top;
        for (heading, facts) in [
            ("The room", room_facts(&self.report)),
            ("The two fields", self.report.fields.as_ref().map(field_facts).unwrap_or_default()),
            ("Focus", focus_facts(&self.report)),
        ] {
            if !facts.is_empty() {
                bottom = self.canvas.paragraph(heading, HEADING, [left, bottom], self.right - left)
                    + GRID_MM / 4.0;
                bottom = self.pairs(&facts, [left, bottom], 17.0 * GRID_MM) + 1.5 * GRID_MM;
            }
        }
        bottom
    }

    /// A quiet label and its figure a line, as far as the right margin.
    fn pairs(&mut self, facts: &[(&str, String)], [left, top]: [f64; 2], indent: f64) -> f64 {
        let mut bottom = top;
        for (label, figure) in facts {
            self.canvas.paragraph(label, SMALL, [left, bottom], indent);
            let room = self.right - left - indent;
            bottom = self.canvas.paragraph(figure, FIGURE, [left + indent, bottom], room);
        }
        bottom
    }

    /// The tone curves with the two codes at the left, the spectra with the foci at the right.
    fn plots(&mut self, room: &Room, spectra: &Spectra, top: f64, height: f64) -> f64 {
        let width = (self.width() - GUTTER_MM) / 2.0;
        let place = |left: f64| Rect::new(left, top, left + width, top + height);
        tone_plot(room, &self.report).draw(&mut self.canvas, place(self.left));
        spectra_plot(spectra, &self.report).draw(&mut self.canvas, place(self.right - width));
        top + height
    }

    /// What the numbers rest on, and beside it what to mend or keep in mind.
    fn sure(&mut self, top: f64) -> f64 {
        self.canvas.rule(self.left, self.right, top);
        let top = top + 2.0 * GRID_MM;
        let wide = WARNINGS_SHARE * self.width() - GUTTER_MM / 2.0;
        let warned = self.warnings([self.left, top], wide);
        let left = self.left + wide + GUTTER_MM;
        let room = self.right - left;
        let mut bottom =
            self.canvas.paragraph("What it rests on", HEADING, [left, top], room) + GRID_MM / 4.0;
        for (basis, what) in by_basis(&self.report.grounds) {
            bottom = self.canvas.paragraph(&basis, FIGURE, [left, bottom], room);
            bottom = self.canvas.paragraph(&what, SMALL, [left, bottom], room) + GRID_MM / 2.0;
        }
        let bottom = self.canvas.paragraph(CAUTION, SMALL, [left, bottom + GRID_MM], room);
        warned.max(bottom)
    }

    fn warnings(&mut self, [left, top]: [f64; 2], width: f64) -> f64 {
        let heading = if self.report.warnings.is_empty() {
            "Nothing to mend"
        } else {
            "To mend or to keep in mind, the most important first"
        };
        let mut bottom = self.canvas.paragraph(heading, HEADING, [left, top], width) + GRID_MM / 4.0;
        let indent = 2.0 * GRID_MM;
        for (number, Warning { what, remedy }) in (1..).zip(self.report.warnings.clone()) {
            let number: u8 = number;
            self.canvas.paragraph(&number.to_string(), SMALL, [left, bottom], indent);
            bottom = self.canvas.paragraph(&what, FIGURE, [left + indent, bottom], width - indent);
            bottom = self.canvas.paragraph(&remedy, SMALL, [left + indent, bottom], width - indent)
                + GRID_MM / 2.0;
        }
        bottom
    }
}

/// What rests on each ground, the firmest first.
fn by_basis(grounds: &[Ground]) -> Vec<(String, String)> {
    let mut bases: Vec<Basis> = grounds.iter().map(|ground| ground.basis).collect();
    bases.sort_unstable();
    bases.dedup();
    let of =
        |basis: Basis| grounds.iter().filter(move |ground| ground.basis == basis).map(|ground| ground.what);
    bases
        .into_iter()
        .map(|basis| (capital(&basis.to_string()), of(basis).collect::<Vec<_>>().join(", ")))
        .collect()
}

/// What the test is worth here, in a sentence; figures stay with their units.
fn worth(report: &RoomReport) -> String {
    let by: Vec<f64> = report.intervals.iter().map(|one| one.interval_d).collect();
    let [least, most] =
        [f64::min, f64::max].map(|which| by.iter().copied().reduce(which).unwrap_or_default());
    format!("Red and green lie {least:.2} to {most:.2}\u{a0}D apart for the eye; one click is 0.25\u{a0}D.")
}

/// Distance, size and pixels, each with its unit and, where it is not measured, its ground.
fn room_facts(report: &RoomReport) -> Vec<(&'static str, String)> {
    let ([columns, rows], [width, height]) = (report.pixels, report.size_mm);
    let mirror = if report.mirror { ", through a mirror" } else { "" };
    vec![
        ("distance", format!("{:.2} m{mirror}: vergence {:.2} D", report.distance_m, report.vergence_d)),
        ("screen", format!("{columns} × {rows} px on {width:.1} × {height:.1} mm")),
        ("scale", format!("{:.2} px to the minute of arc", report.pixels_per_arcmin)),
    ]
}

/// Codes and light of both fields, their match and how well it is known, and contrast.
fn field_facts(fields: &FieldsShown) -> Vec<(&'static str, String)> {
    let field = |index: usize| {
        let [code, light, off] =
            [f64::from(fields.codes[index]), fields.cd_m2[index], fields.uncertainty_cd_m2[index]];
        format!("code {code}, {light:.1} ± {off:.1} cd/m²")
    };
    let seen = if fields.match_established {
        format!("{:+.1} ± {:.1} %", fields.match_at_eye_percent, fields.match_uncertainty_percent)
            .replace('-', "−")
    } else {
        "not established".into()
    };
    let coded = format!("{:+.2} % as coded", fields.match_as_coded_percent).replace('-', "−");
    vec![
        ("red", field(0)),
        ("green", field(1)),
        ("red over green", format!("{coded} (custom: at most {MATCH_PERCENT:.0}\u{a0}%)")),
        ("at the eye", seen),
        (
            "letters over field",
            format!(
                "{:.1} % (ISO 10938, borrowed: at most {LETTER_LIGHT_PERCENT:.0}\u{a0}%)",
                fields.contrast_percent
            ),
        ),
        (
            "red for other eyes",
            format!(
                "{:.2} times (CIE 2008), {:.2} times (protanope)",
                fields.cie_2008_red_over_green, fields.protanope_red_over_green
            ),
        ),
    ]
}

/// The interval by both formulas, beside that of the textbook's filters, which no screen reaches.
fn focus_facts(report: &RoomReport) -> Vec<(&'static str, String)> {
    let [red, green] = report.mean_wavelengths_nm;
    let mut facts = vec![("mean light", format!("red {red:.0} nm, green {green:.0} nm"))];
    facts.extend(
        report
            .intervals
            .iter()
            .map(|one| (one.by, format!("{:.2} D, middle {:.0} nm", one.interval_d, one.middle_nm))),
    );
    let textbook: Vec<String> = report.intervals.iter().map(|one| format!("{:.2}", one.textbook_d)).collect();
    facts.push(("535 and 620 nm", format!("{} D", textbook.join(" or "))));
    facts
}

/// Both channels' light against the code, and where they are equal.
fn tone_plot(room: &Room, report: &RoomReport) -> Plot {
    let light = |channel: Channel, code: u8| {
        let mut codes = [0; 3];
        codes[channel.index()] = code;
        room.display.luminance(codes).to_cd_m2()
    };
    let most = light(Channel::Red, 255).max(light(Channel::Green, 255));
    let up = Axis { title: "cd/m²".into(), from: 0.0, to: most, signed: false }.up_to_a_tick();
    let aside = 0.04 * up.to;
    let codes = report.fields.as_ref().map(|fields| fields.codes);
    let curve = |series: Series, channel: Channel, at: [f64; 2], anchor: Anchor| Curve {
        series,
        points: (0..=255).map(|code| [f64::from(code), light(channel, code)]).collect(),
        marks: codes
            .iter()
            .map(|codes| codes[channel.index()])
            .map(|code| [f64::from(code), light(channel, code)])
            .collect(),
        word: Word { text: channel.name().into(), at, anchor },
    };
    let mut curves = vec![
        curve(Series::Long, Channel::Red, [208.0, light(Channel::Red, 200) - 2.5 * aside], Anchor::Left),
        curve(Series::Middle, Channel::Green, [196.0, light(Channel::Green, 200) + aside], Anchor::Right),
    ];
    let title = codes.map_or_else(
        || "No two fields can be shown here".into(),
        |[red, green]| format!("Green has red’s light at code {green} (red: {red})"),
    );
    curves.extend(report.fields.as_ref().map(|fields| equal_line(fields.cd_m2[0], aside)));
    Plot {
        title,
        axes: [Axis { title: "code".into(), from: 0.0, to: 255.0, signed: false }, up],
        curves,
        source: format!("Tone curve {}.", room.display.tone_basis()),
    }
}

/// A level line at a luminance in cd/m² that both fields have, its word over it.
fn equal_line(cd_m2: f64, aside: f64) -> Curve {
    let text = format!("equal: {cd_m2:.0} cd/m²");
    Curve {
        series: Series::Balance,
        points: vec![[0.0, cd_m2], [255.0, cd_m2]],
        marks: Vec::new(),
        word: Word { text, at: [4.0, cd_m2 + aside], anchor: Anchor::Left },
    }
}

/// The spectra of both fields beside V(λ), and the wavelength in focus where both are equally blurred.
fn spectra_plot(spectra: &Spectra, report: &RoomReport) -> Plot {
    let [first, last] = PLOTTED_NM;
    let middle = report.intervals[0].middle_nm;
    Plot {
        title: format!("In focus between them: {middle:.0} nm"),
        axes: [
            Axis { title: "wavelength in nm".into(), from: first, to: last, signed: false },
            Axis { title: "relative power".into(), from: 0.0, to: 1.2, signed: false },
        ],
        curves: vec![
            efficiency(&spectra.red),
            middle_line(middle),
            spectrum(Series::Long, &spectra.red, "red", Anchor::Left),
            spectrum(Series::Middle, &spectra.green, "green", Anchor::Right),
        ],
        source: format!("Each to its own peak; {}. V(λ): CIE 1924.", report.spectra),
    }
}

/// A field's light to its own peak, where its word stands.
fn spectrum(series: Series, light: &Spectrum, text: &str, anchor: Anchor) -> Curve {
    let higher = |most: (f64, f64), (nm, power): (Wavelength, f64)| {
        if power > most.1 { (nm.to_nm(), power) } else { most }
    };
    let (nm, most) = light.powers().fold((0.0, 0.0), higher);
    Curve {
        series,
        points: light.powers().map(|(nm, power)| [nm.to_nm(), power / most]).filter(plotted).collect(),
        marks: vec![[nm, 1.0]],
        word: Word { text: text.into(), at: [nm, 1.07], anchor },
    }
}

/// V(λ) at the wavelengths of a light.
fn efficiency(light: &Spectrum) -> Curve {
    let at = |nm: Wavelength| [nm.to_nm(), Observer::Standard.efficiency(nm)];
    Curve {
        series: Series::Beside,
        points: light.powers().map(|(nm, _)| at(nm)).filter(plotted).collect(),
        marks: Vec::new(),
        word: Word { text: "V(λ)".into(), at: [462.0, 0.12], anchor: Anchor::Right },
    }
}

/// An upright line at the wavelength, in nanometres, in focus where both fields are equally blurred.
fn middle_line(nm: f64) -> Curve {
    Curve {
        series: Series::Balance,
        points: vec![[nm, 0.0], [nm, 1.12]],
        marks: vec![[nm, 0.0]],
        word: Word { text: format!("{nm:.0} nm"), at: [nm, 1.15], anchor: Anchor::Centre },
    }
}

fn plotted(point: &[f64; 2]) -> bool {
    (PLOTTED_NM[0]..=PLOTTED_NM[1]).contains(&point[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Geometry;

    /// Everything that can be wrong with a room at once: a coarse, dim, glaring, mirrored screen of no known light.
    const WORST: &str = "name = \"Annex\"\n[viewing]\ndistance_mm = 700\nmirror = true\n[screen]\n\
                         pixels = [1024, 768]\nsize_mm = [320.0, 240.0]\nsize_claimed = true\n[luminance]\nwhite = 40\n\
                         black = 0.8\n[ambient]\nilluminance_lux = 20\nscreen_reflectance = 0.05\n";

    /// A screen whose fields cannot be made equal.
    const NONE: &str = "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n\
                        [luminance]\nred = 20\ngreen = 60\nblack = 8\n";

    fn page(text: &str, paper: Paper) -> RoomPage {
        let room = Room::from_toml(text, "room").unwrap();
        RoomPage::new(&room, &room.primaries.spectra().unwrap(), paper, "Annex", Some("2026-11-25"))
    }

    fn words(page: &RoomPage) -> Vec<(String, Rect)> {
        use kurbo::Shape as _;
        let text = |shape: &crate::scene::Shape| match &shape.geometry {
            Geometry::Text(text) => Some((text.words().to_owned(), text.outline().bounding_box())),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
        };
        page.scene.shapes.iter().filter_map(text).filter(|(words, _)| !words.is_empty()).collect()
    }

    #[test]
    fn the_worst_room_fits_both_papers_and_no_words_collide() {
        for (text, paper) in [WORST, NONE].into_iter().flat_map(|text| Paper::ALL.map(|paper| (text, paper)))
        {
            let page = page(text, paper);
            let [width, height] = paper.size().map(Length::to_mm);
            let all = words(&page);
            for (index, (said, place)) in all.iter().enumerate() {
                let inside = place.x0 > MARGIN_MM - 0.5
                    && place.x1 < width - MARGIN_MM + 0.5
                    && place.y0 > MARGIN_MM - 0.5
                    && place.y1 < height - MARGIN_MM + 0.5;
                assert!(inside, "{paper:?}: {said:?} at {place:?}");
                for (other, beside) in &all[..index] {
                    assert!(place.intersect(*beside).area() <= 0.0, "{paper:?}: {said:?} over {other:?}");
                }
            }
        }
    }

    #[test]
    fn the_page_says_what_the_report_says() {
        let said: Vec<String> = words(&page(WORST, Paper::A4)).into_iter().map(|(words, _)| words).collect();
        let said = said.join(" ");
        let report = page(WORST, Paper::A4);
        assert!(said.contains(&report.scene.metadata.description.trim_end_matches('.').to_owned()), "{said}");
        for needed in
            ["2026-11-25", "vergence 1.43 D", "Claimed by the screen", "not a measurement", "ISO 10938"]
        {
            assert!(said.contains(needed), "{needed}: {said}");
        }
    }
}
