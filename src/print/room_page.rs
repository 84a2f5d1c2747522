//! The report of a room as a page.
//!
//! Three zones, read from above: the verdict in a sentence, for who decides; the figures with two plots, for who wants to know
//! why; and how sure they are, with what to mend. The plots take what height is left; where they would be too flat to read, the
//! figures go on to a second sheet, since what is to be mended comes first.

use kurbo::Rect;

use super::type_area::TypeArea;
use super::{CAUTION, Paper};
use crate::eye::CLICK_D;
use crate::light::{Basis, Channel, LETTER_LIGHT_PERCENT, MATCH_PERCENT, Observer, Spectrum};
use crate::quantity::Wavelength;
use crate::report::{FieldsShown, Ground, LineShown, RoomReport, Shown, Verdict, Warning};
use crate::room::{Room, Spectra};
use crate::scene::look::{self, BALANCE, BODY, GRID_MM, HEADING, LEAD, QUIET, SMALL, Style, TITLE};
use crate::scene::{Anchor, Axis, Canvas, Curve, Metadata, Plot, Scene, Series, Ticks, Word, fitted};
use crate::text::capital;

/// The columns of lines: letters' height and their stroke by their decimal points, as shares of the width.
const LETTER_SHARE: f64 = 0.34;
const STROKE_SHARE: f64 = 0.62;

/// Labels of figures take so much of their column, in millimetres.
const LABEL_MM: f64 = 18.5 * GRID_MM;

/// Of the width, what is to be mended has so much, since that is most of what is said.
const MENDED_SHARE: f64 = 0.6;

/// Between which heights a plot with its title and its words can be read and is of use.
const PLOT_MM: std::ops::RangeInclusive<f64> = 46.0..=66.0;

/// The wavelengths that the plot of spectra spans.
const PLOTTED_NM: [f64; 2] = [400.0, 720.0];

/// Round codes of eight bits.
const CODES: [f64; 5] = [0.0, 64.0, 128.0, 192.0, 255.0];

/// From row to row of figures, in ems: closer than sentences, since the eye goes across.
const ROW_EMS: f64 = 1.25;

/// Between zones, in millimetres.
const APART_MM: f64 = 3.0 * GRID_MM;

/// What heads the lines of a room that has no two fields.
const NO_LINES: &str = "Lines, none of which can be shown";

/// What stands on the first of two sheets.
const ON_THE_NEXT_PAGE: &str = "The figures stand on the next page.";

/// A room's report in three zones: the verdict, the figures, how sure they are.
#[derive(Debug, Clone)]
pub struct RoomPage {
    /// The page; a second one with the figures where not all fits.
    pub scenes: Vec<Scene>,
}

impl RoomPage {
    /// Lays the page out. `heading` names the room, `date` stands at the upper right where it is given.
    ///
    /// ```
    /// # use evenfield::{print::{Paper, RoomPage}, room::Room};
    /// let room = Room::demo();
    /// let page = RoomPage::new(&room, &room.primaries.spectra()?, Paper::A4, "room 2", None);
    /// assert_eq!(page.scenes[0].size, Paper::A4.size());
    /// # Ok::<(), evenfield::room::SpectraError>(())
    /// ```
    #[must_use]
    pub fn new(room: &Room, spectra: &Spectra, paper: Paper, heading: &str, date: Option<&str>) -> Self {
        let report = RoomReport::new(room, spectra);
        let report = if let Some(day) = date { report.on(room, day) } else { report };
        let (title, description) = (format!("Room report: {heading}"), report.verdict.to_string());
        let mut page = Page { canvas: Canvas::default(), report, area: TypeArea::of(paper) };
        let mut next = page.clone();
        let top = page.verdict(&title, date.unwrap_or_default());
        let sure_high = page.clone().sure(0.0);
        let figures_bottom = page.clone().figures(top) + APART_MM;
        let left_over = page.area.bottom - APART_MM - sure_high - figures_bottom;
        let second = if left_over >= *PLOT_MM.start() {
            let plots_top = page.figures(top) + APART_MM;
            let bottom = page.plots(room, spectra, plots_top, left_over.min(*PLOT_MM.end()));
            page.ruled(bottom + APART_MM);
            page.sure(bottom + APART_MM);
            None
        } else if left_over >= 0.0 && is_only_assumed(&page.report) {
            // Plots of what nobody measured are of less use than one sheet.
            let bottom = page.figures(top) + APART_MM;
            page.ruled(bottom);
            page.sure(bottom);
            None
        } else {
            // What is to be done comes first.
            let bottom = page.sure(top) + APART_MM;
            page.canvas.paragraph(ON_THE_NEXT_PAGE, SMALL, [page.area.left, bottom], page.area.width());
            let top = next.head(&title, date.unwrap_or_default()) + GRID_MM;
            next.ruled(top);
            let plots_top = next.figures(top) + APART_MM;
            next.plots(room, spectra, plots_top, *PLOT_MM.end());
            Some(next)
        };
        let scene = |page: Page| Scene {
            size: paper.size(),
            background: look::BARE,
            shapes: page.canvas.shapes,
            metadata: Metadata {
                title: title.clone(),
                description: description.clone(),
                json: String::new(),
            },
        };
        Self { scenes: [page].into_iter().chain(second).map(scene).collect() }
    }
}

/// A page as it grows, from the top: lengths in millimetres.
#[derive(Clone)]
struct Page {
    canvas: Canvas,
    report: RoomReport,
    area: TypeArea,
}

impl Page {
    /// The room's name and the date; says where they end below.
    fn head(&mut self, title: &str, date: &str) -> f64 {
        let TypeArea { left, right, top, .. } = self.area;
        let baseline = top + SMALL.em.to_mm();
        // The date has a sixth of the line.
        let title = fitted(title, SMALL, self.area.width() * 5.0 / 6.0);
        self.canvas.write(&title, SMALL, Anchor::Left, [left, baseline]);
        self.canvas.write(date, SMALL, Anchor::Right, [right, baseline]);
        baseline
    }

    /// The heading, what can be shown here, and what the test is worth; each part says where it ends below.
    fn verdict(&mut self, title: &str, date: &str) -> f64 {
        let (left, width) = (self.area.left, self.area.width());
        let top = self.head(title, date) + 2.0 * GRID_MM;
        // A reason, where there is one, follows in smaller type.
        let Verdict { said, reason } = self.report.verdict.clone();
        let reason = reason.map_or_else(String::new, |reason| format!("{reason}."));
        let mut bottom = self.canvas.paragraph(&said, TITLE, [left, top], width);
        for sentence in [&capital(&reason), &worth(&self.report)] {
            if !sentence.is_empty() {
                bottom = self.canvas.paragraph(sentence, LEAD, [left, bottom + GRID_MM / 2.0], width);
            }
        }
        let doubt = self.report.fields.as_ref().and_then(FieldsShown::match_in_doubt);
        for doubt in [doubt, self.report.due()].into_iter().flatten() {
            let place = [left, bottom + GRID_MM / 2.0];
            bottom = self.canvas.paragraph(&doubt.what, LEAD.in_paint(BALANCE), place, width);
        }
        bottom += GRID_MM;
        self.ruled(bottom);
        bottom
    }

    /// A rule across the sheet.
    fn ruled(&mut self, y: f64) {
        self.canvas.rule(self.area.left, self.area.right, y);
    }

    /// Lines at the left, facts at the right.
    fn figures(&mut self, top: f64) -> f64 {
        let [first, second] = self.area.columns();
        let top = top + 2.0 * GRID_MM;
        let lines = self.lines(first, top);
        let facts = self.facts(second, top);
        lines.max(facts)
    }

    /// Each standard line with its letters' height and its stroke, quiet where it cannot be shown.
    fn lines(&mut self, column: TypeArea, top: f64) -> f64 {
        let heading = if self.report.fields.is_some() {
            format!("Lines, {:.2} px to the minute of arc", self.report.pixels_per_arcmin)
        } else {
            NO_LINES.into()
        };
        let width = column.width();
        let columns = [
            column.left,
            column.left + LETTER_SHARE * width,
            column.left + STROKE_SHARE * width,
            column.right,
        ];
        let mut bottom = self.canvas.paragraph(&heading, HEADING, [column.left, top], width);
        for (words, x) in [("letter", columns[1]), ("stroke", columns[2])] {
            self.canvas.write(words, SMALL, Anchor::Centre, [x, bottom + SMALL.em.to_mm()]);
        }
        bottom += SMALL.leading();
        for line in self.report.lines.clone() {
            self.line(&line, columns, bottom + BODY.em.to_mm());
            bottom += ROW_EMS * BODY.em.to_mm();
        }
        bottom
    }

    /// A line of letters; what is plainly shown needs no word.
    fn line(&mut self, line: &LineShown, columns: [f64; 4], baseline: f64) {
        let (style, shown) = match line.shown {
            Shown::Plainly => (BODY, ""),
            Shown::Coarsely => (BODY, "coarse"),
            Shown::TooFine => (LABEL, "too fine"),
            Shown::TooLarge => (LABEL, "too large"),
            Shown::NoFields => (LABEL, ""),
        };
        self.canvas.write(&line.line.to_string(), style, Anchor::Left, [columns[0], baseline]);
        let height = format!("{:.2} mm", line.height_mm);
        self.canvas.write(&height, style, Anchor::Point, [columns[1], baseline]);
        self.canvas.write(&format!("{:.2} px", line.stroke_px), style, Anchor::Point, [columns[2], baseline]);
        let short = line.short_in_words();
        let words: Vec<&str> =
            [shown].into_iter().chain(short.as_deref()).filter(|word| !word.is_empty()).collect();
        self.canvas.write(&words.join(", "), style, Anchor::Right, [columns[3], baseline]);
    }

    /// What is known of the room, its fields and their foci, in groups.
    fn facts(&mut self, column: TypeArea, top: f64) -> f64 {
        let groups = [
            ("The room", room_facts(&self.report)),
            ("The two fields", self.report.fields.as_ref().map(field_facts).unwrap_or_default()),
            ("Focus", focus_facts(&self.report)),
        ];
        let mut bottom = top - 2.0 * GRID_MM;
        for (heading, facts) in groups.into_iter().filter(|(_, facts)| !facts.is_empty()) {
            let place = [column.left, bottom + 2.0 * GRID_MM];
            bottom = self.canvas.paragraph(heading, HEADING, place, column.width()) + GRID_MM / 4.0;
            bottom = self.pairs(&facts, column, bottom);
        }
        bottom
    }

    /// A quiet label and its figure a line.
    fn pairs(&mut self, facts: &[(&str, String)], column: TypeArea, top: f64) -> f64 {
        facts.iter().fold(top, |bottom, (label, figure)| {
            let place = ([column.left, bottom], column.width());
            let bottom = self.canvas.hanging((label, SMALL), LABEL_MM, (figure, BODY), place);
            bottom - BODY.leading() + ROW_EMS * BODY.em.to_mm()
        })
    }

    /// The tone curves with the two codes at the left, the spectra with the foci at the right.
    fn plots(&mut self, room: &Room, spectra: &Spectra, top: f64, height: f64) -> f64 {
        let places =
            self.area.columns().map(|column| Rect::new(column.left, top, column.right, top + height));
        let pair = [&tone_plot(room, &self.report), &spectra_plot(spectra, &self.report)];
        Plot::draw_pair(pair, &mut self.canvas, places);
        top + height
    }

    /// What to mend or keep in mind, and beside it what the numbers rest on.
    fn sure(&mut self, top: f64) -> f64 {
        let top = top + 2.0 * GRID_MM;
        let [first, second] = self.area.columns_parted(MENDED_SHARE);
        let (warned, rests) = (self.warnings(first, top), self.rests_on(second, top));
        warned.max(rests)
    }

    fn rests_on(&mut self, column: TypeArea, top: f64) -> f64 {
        let (left, width) = (column.left, column.width());
        let mut bottom =
            self.canvas.paragraph("What it rests on", HEADING, [left, top], width) + GRID_MM / 4.0;
        for (basis, what) in by_basis(&self.report.grounds) {
            bottom = self.canvas.paragraph(&basis, BODY, [left, bottom], width);
            bottom = self.canvas.paragraph(&what, LABEL, [left, bottom], width) + GRID_MM / 2.0;
        }
        self.canvas.paragraph(CAUTION, SMALL, [left, bottom + GRID_MM / 2.0], width)
    }

    fn warnings(&mut self, column: TypeArea, top: f64) -> f64 {
        let (left, width) = (column.left, column.width());
        let heading = if self.report.warnings.is_empty() {
            "Nothing to mend"
        } else {
            "To mend or to keep in mind, by weight"
        };
        let mut bottom = self.canvas.paragraph(heading, HEADING, [left, top], width) + GRID_MM / 4.0;
        let indent = 2.5 * GRID_MM;
        for (number, Warning { what, remedy }) in (1_u8..).zip(self.report.warnings.clone()) {
            let head = number.to_string();
            for (head, words, style) in [(head.as_str(), &what, BODY), ("", &remedy, LABEL)] {
                bottom = self.canvas.hanging((head, LABEL), indent, (words, style), ([left, bottom], width));
            }
            bottom += GRID_MM / 2.0;
        }
        bottom
    }
}

/// Labels in the size of what they stand beside.
const LABEL: Style = BODY.in_paint(QUIET);

/// Whether nothing is known against the match of the fields, if there are two.
fn is_matched(report: &RoomReport) -> bool {
    report.fields.as_ref().is_none_or(|fields| fields.match_established)
}

/// Whether neither the tone curve nor the spectra are those of this screen.
fn is_only_assumed(report: &RoomReport) -> bool {
    let tone = report.fields.as_ref().map(|fields| fields.tone_basis);
    [tone.unwrap_or(Basis::Assumed), report.spectra_basis].iter().all(|basis| *basis == Basis::Assumed)
}

/// What rests on each ground, the firmest first.
fn by_basis(grounds: &[Ground]) -> Vec<(String, String)> {
    let mut bases: Vec<Basis> = grounds.iter().map(|ground| ground.basis).collect();
    bases.sort_unstable();
    bases.dedup();
    let of = |basis: Basis| grounds.iter().filter(move |ground| ground.basis == basis).map(Ground::to_string);
    bases
        .into_iter()
        .map(|basis| (capital(&basis.to_string()), of(basis).collect::<Vec<_>>().join(", ")))
        .collect()
}

/// What the test is worth here, in a sentence: how far the fields lie apart in focus, and how equal they are as far as that is
/// known. Figures stay with their units.
fn worth(report: &RoomReport) -> String {
    let by: Vec<f64> = report.intervals.iter().map(|one| one.interval_d).collect();
    let [least, most] =
        [f64::min, f64::max].map(|which| by.iter().copied().reduce(which).unwrap_or_default());
    let apart =
        format!("Red and green lie {least:.2} to {most:.2}\u{a0}D apart (a click is {CLICK_D}\u{a0}D)");
    let counts = report.fields.as_ref().is_some_and(|fields| fields.match_in_doubt().is_none());
    let finds = if report.metered.is_some() && counts { "found" } else { "would find" };
    match report.fields.as_ref().and_then(FieldsShown::equal_within_percent) {
        Some(percent) => format!(
            "{apart}. A photometer {finds} them equal to within {:.0}\u{a0}%, as far as is known.",
            percent.ceil()
        ),
        None => format!("{apart}."),
    }
}

/// Distance, size and pixels, each with its unit and, where it is not measured, its ground.
fn room_facts(report: &RoomReport) -> Vec<(&'static str, String)> {
    let ([columns, rows], [width, height]) = (report.pixels, report.size_mm);
    let distance = if report.mirror { "distance by mirror" } else { "distance" };
    vec![
        (distance, format!("{:.2} m: vergence {:.2} D", report.distance_m, report.vergence_d)),
        ("picture", format!("{width:.1} × {height:.1} mm")),
        ("pixels", format!("{columns} × {rows}")),
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
    let coded = format!("{:+.2} %", fields.match_as_coded_percent).replace('-', "−");
    vec![
        ("red", field(0)),
        ("green", field(1)),
        ("match as coded", format!("{coded} (custom: {MATCH_PERCENT:.0} %)")),
        ("match at the eye", seen),
        (
            "light of letters",
            format!(
                "{:.1} %; ISO 10938, borrowed: at most {LETTER_LIGHT_PERCENT:.0} %",
                fields.contrast_percent
            ),
        ),
        ("red, average eye", format!("{:.2} of green (CIE 2008)", fields.cie_2008_red_over_green)),
        ("red, protanope", format!("{:.2} of green", fields.protanope_red_over_green)),
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
    facts.push(("textbook filters", format!("{} D", textbook.join(" or "))));
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
    let up = Axis { title: "cd/m²".into(), from: 0.0, to: most, signed: false, ticks: Ticks::Decimal }
        .up_to_a_tick();
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
        |[red, green]| {
            let assumed = if is_matched(report) { "" } else { ", if as assumed" };
            format!("Green has red’s light at code {green} (red: {red}){assumed}")
        },
    );
    curves.extend(
        report.fields.as_ref().map(|fields| equal_line((fields.cd_m2[0], is_matched(report)), aside)),
    );
    Plot {
        title,
        axes: [
            Axis { title: "code".into(), from: 0.0, to: 255.0, signed: false, ticks: Ticks::At(&CODES) },
            up,
        ],
        curves,
        source: format!("Tone curve {}.", room.display.tone_basis()),
    }
}

/// A level line at a luminance in cd/m² that both fields have, its word over it.
fn equal_line((cd_m2, is_matched): (f64, bool), aside: f64) -> Curve {
    let how = if is_matched { "equal" } else { "equal, if as assumed" };
    let text = format!("{how}: {cd_m2:.0} cd/m²");
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
            Axis {
                title: "wavelength in nm".into(),
                from: first,
                to: last,
                signed: false,
                ticks: Ticks::Decimal,
            },
            Axis { title: "relative power".into(), from: 0.0, to: 1.2, signed: false, ticks: Ticks::Decimal },
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

    /// What a page says, and what a reader would stumble over.
    fn said(page: &RoomPage) -> String {
        let text = |shape: &crate::scene::Shape| match &shape.geometry {
            Geometry::Text(text) => Some(text.words().to_owned()),
            Geometry::Rect(_) | Geometry::Path(_) | Geometry::Line(_) | Geometry::Image(_) => None,
        };
        let shapes = page.scenes.iter().flat_map(|scene| &scene.shapes);
        shapes.filter_map(text).collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
    }

    #[test]
    fn the_worst_room_goes_on_to_a_second_sheet_and_loses_nothing() {
        for paper in Paper::ALL {
            let page = page(WORST, paper);
            assert_eq!(page.scenes.len(), 2);
            let said = said(&page);
            for needed in [ON_THE_NEXT_PAGE, "protanope", "Meter through the mirror", "not a measurement"] {
                assert!(said.contains(needed), "{needed}: {said}");
            }
        }
    }

    #[test]
    fn a_room_without_fields_says_of_no_line_that_it_can_be_shown() {
        let said = said(&page(NONE, Paper::A4));
        assert!(said.contains(NO_LINES) && !said.contains("coarse"), "{said}");
    }

    #[test]
    fn the_page_says_what_the_report_says() {
        let page = page(WORST, Paper::A4);
        let said = said(&page);
        let verdict = page.scenes[0].metadata.description.trim_end_matches('.').to_owned();
        for needed in [
            &verdict,
            "2026-11-25",
            "vergence 1.43 D",
            "Claimed by the screen",
            "not a measurement",
            "ISO 10938",
        ] {
            assert!(said.contains(needed), "{needed}: {said}");
        }
    }
}
