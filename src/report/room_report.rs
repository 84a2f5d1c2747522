//! What a room can show and what its red-green test is worth.
//!
//! The report is made of what other modules give (lines from the layout, fields from the display, intervals from the eye) and
//! adds judgement in two forms: a [`Verdict`] in one sentence, and [`Warning`]s by weight. As JSON it is what
//! `evenfield room report --json` prints; every number has its unit at the end of its key.

use std::fmt;

use serde::{Serialize, Serializer};

use super::fields::FieldsShown;
use super::interval::Interval;
use super::lines::{LineShown, Shown};
use super::place::metered;
use super::warning::{self, Warning, warnings};
use crate::acuity::Acuity;
use crate::balance::Metered;
use crate::chart::{ColourError, FieldLight};
use crate::eye::ChromaticEye;
use crate::light::{Basis, Channel, MATCH_PERCENT};
use crate::quantity::{Angle, Dioptres, Length};
use crate::room::{Room, Spectra};
use crate::text::Refusal;

/// What a room can show and what its red-green test is worth: every number with its unit in its name.
#[derive(Debug, Clone, Serialize)]
pub struct RoomReport {
    /// What the practice calls the room.
    pub name: Option<String>,
    /// Whether a red-green chart can be shown, and down to which line.
    pub verdict: Verdict,
    /// Eye to screen along the light.
    pub distance_m: f64,
    /// Its reciprocal: by so much a lens balanced in this room is too plus for far away.
    pub vergence_d: f64,
    /// Whether the patient sees the screen in a mirror.
    pub mirror: bool,
    /// Columns and rows.
    pub pixels: [u32; 2],
    /// Width and height of the lit picture.
    pub size_mm: [f64; 2],
    /// What that size rests on.
    pub size_basis: Basis,
    /// Its standard uncertainty in per cent, where that is known.
    pub size_percent: Option<f64>,
    /// Pixels in a minute of arc, down the picture: the stroke of a 20/20 letter in pixels.
    pub pixels_per_arcmin: f64,
    /// Each standard line, the largest first.
    pub lines: Vec<LineShown>,
    /// The two fields; none where the screen cannot make them equal.
    pub fields: Option<FieldsShown>,
    /// Dioptres between the fields, by each formula.
    pub intervals: Vec<Interval>,
    /// The luminance-weighted mean wavelengths of red and green, in nanometres.
    pub mean_wavelengths_nm: [f64; 2],
    /// What these and the intervals rest on; assumed where only the kind of screen is known, and then both formulas are
    /// off by as much as the kind is.
    pub spectra_basis: Basis,
    /// The same in words.
    pub spectra: String,
    /// What the numbers rest on.
    pub grounds: Vec<Ground>,
    /// What to mend, the most important first.
    pub warnings: Vec<Warning>,
    /// When the fields were last metered, seen from the day of the report; none where that day is not known.
    pub metered: Option<Metered>,
}

/// What one of the room's numbers rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ground {
    /// What it is of.
    pub what: &'static str,
    /// What it rests on.
    pub basis: Basis,
    /// To how many per cent that is known, twice its standard uncertainty, where a reader must have it beside the ground: of a
    /// match that was read with a coarse meter, “measured” alone says too much.
    pub percent: Option<f64>,
    /// The day on which it was read, where the room's file has it.
    pub read_on: Option<String>,
}

impl fmt::Display for Ground {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = self.percent.map(|percent| format!("±\u{a0}{percent:.1}\u{a0}%"));
        let day = self.read_on.as_ref().map(|day| format!("read on {day}"));
        let known: Vec<String> = percent.into_iter().chain(day).collect();
        if known.is_empty() {
            return f.write_str(self.what);
        }
        write!(f, "{} ({})", self.what, known.join(", "))
    }
}

impl RoomReport {
    /// Works everything out for a room with the spectra of its primaries.
    ///
    /// ```
    /// # use evenfield::{report::RoomReport, room::Room};
    /// // The demo room, worked by hand: 1/3.2 m = 0.3125 D; a pixel of 0.274537 mm at 3.2 m is 0.294934′, of which 3.3906
    /// // make a minute.
    /// const HALF_A_DIGIT: f64 = 5e-5;
    /// let room = Room::demo();
    /// let report = RoomReport::new(&room, &room.primaries.spectra()?);
    /// assert!((report.vergence_d - 0.3125).abs() < HALF_A_DIGIT);
    /// assert!((report.pixels_per_arcmin - 3.3906).abs() < HALF_A_DIGIT);
    /// # Ok::<(), evenfield::room::SpectraError>(())
    /// ```
    #[must_use]
    pub fn new(room: &Room, spectra: &Spectra) -> Self {
        let light = FieldLight::new(&room.display, None);
        let line = |line| LineShown::new(room, line, light.is_ok());
        let lines: Vec<LineShown> = Acuity::standard_lines().map(line).collect();
        let fields = light.as_ref().ok().map(|light| FieldsShown::new(room, light, spectra));
        let intervals: Vec<Interval> =
            ChromaticEye::ALL.map(|eye| Interval::new(eye.foci(&spectra.red, &spectra.green))).to_vec();
        let pixel = Angle::subtended(room.screen.pitch[1], room.viewing.distance);
        Self {
            name: room.name().map(ToOwned::to_owned),
            verdict: verdict(&lines, light.as_ref().err()),
            distance_m: room.viewing.distance.to_m(),
            vergence_d: Dioptres::at(room.viewing.distance).to_d(),
            mirror: room.viewing.mirror,
            pixels: room.screen.pixels,
            size_mm: room.screen.size().map(Length::to_mm),
            size_basis: room.screen.size_basis,
            size_percent: room.screen.size_percent,
            pixels_per_arcmin: 1.0 / pixel.to_arcmin(),
            grounds: grounds(room, spectra, fields.as_ref()),
            warnings: warnings(room, &lines, light.as_ref().err(), fields.as_ref(), &intervals, spectra),
            lines,
            fields,
            intervals,
            mean_wavelengths_nm: [&spectra.red, &spectra.green].map(|light| light.mean_wavelength().to_nm()),
            spectra_basis: spectra.basis,
            spectra: spectra.origin.clone(),
            metered: None,
        }
    }

    /// The same on a day such as `2026-03-31`: how long ago the fields were metered is known then, and whether that is too long.
    #[must_use]
    pub fn on(self, room: &Room, day: &str) -> Self {
        let dated = Self { metered: metered(room, day), ..self };
        let light = dated.fields.as_ref().map(FieldsShown::warnings).unwrap_or_default();
        let at =
            dated.warnings.iter().rposition(|warning| light.contains(warning)).map_or(0, |last| last + 1);
        let mut warnings = dated.warnings.clone();
        warnings.splice(at..at, dated.due());
        Self { warnings, ..dated }
    }

    /// What the mirror does to the chart; none where there is none.
    #[must_use]
    pub fn seen_in_a_mirror(&self) -> Option<Warning> {
        warning::in_a_mirror(self.mirror)
    }

    /// That it is time to meter the fields again.
    #[must_use]
    pub fn due(&self) -> Option<Warning> {
        let [what, remedy] = self.metered.as_ref()?.due()?;
        Some(Warning { what, remedy })
    }

    /// How well the match of red and green is known, and since when, in a sentence; none where nobody matched them.
    #[must_use]
    pub fn how_matched(&self) -> Option<String> {
        let percent = self.fields.as_ref()?.equal_within_percent()?;
        let since = self.metered.as_ref().map(|metered| format!(" Metered on {}.", metered.on));
        Some(format!(
            "Red and green are equal to within {:.0}\u{a0}%, as far as is known; custom asks for {MATCH_PERCENT:.0}\u{a0}%.{}",
            percent.ceil(),
            since.unwrap_or_default()
        ))
    }

    /// What the size of the picture rests on, with its uncertainty where that is known.
    #[must_use]
    pub fn size_rests_on(&self) -> String {
        match self.size_percent {
            Some(percent) => format!("{}, ±{percent} %", self.size_basis),
            None => self.size_basis.to_string(),
        }
    }

    /// What of the room spoils the answers of a balance: its light and its match. That another screen would part red and
    /// green more is advice on setting a room up, and stands in its report.
    #[must_use]
    pub fn spoiling_answers(&self) -> Vec<Warning> {
        self.fields
            .as_ref()
            .map(FieldsShown::warnings)
            .unwrap_or_default()
            .into_iter()
            .chain(self.due())
            .collect()
    }
}

/// What a match is called among the grounds.
const MATCH: &str = "red against green";

fn grounds(room: &Room, spectra: &Spectra, fields: Option<&FieldsShown>) -> Vec<Ground> {
    let display = &room.display;
    let ratio = display.ratio_basis(Channel::Red).with(display.ratio_basis(Channel::Green));
    let matched = fields.filter(|fields| fields.match_established);
    let readings =
        room.file().field_match.as_ref().filter(|_| matched.is_some_and(|fields| fields.match_read));
    let read_on = readings.map(|readings| readings.date.clone());
    [
        ("size of the screen", room.screen.size_basis, room.screen.size_percent),
        ("red at full drive", display.full_basis(Channel::Red), None),
        ("green at full drive", display.full_basis(Channel::Green), None),
        (
            MATCH,
            fields.map_or(ratio, |fields| fields.match_basis),
            matched.map(|fields| fields.match_uncertainty_percent),
        ),
        ("tone curve", display.tone_basis(), None),
        ("black", display.black_basis(), None),
        ("room light on the screen", display.reflected_basis(), None),
        ("spectra", spectra.basis, None),
    ]
    .map(|(what, basis, percent)| Ground {
        read_on: read_on.clone().filter(|_| what == MATCH),
        what,
        basis,
        percent,
    })
    .to_vec()
}

/// Whether a red-green chart can be shown, and down to which line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// The verdict in one sentence, without its point where a reason follows.
    pub said: String,
    /// Why no chart can be shown.
    pub reason: Option<Refusal>,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.reason {
            Some(reason) => write!(f, "{}: {reason}.", self.said),
            None => f.write_str(&self.said),
        }
    }
}

impl Serialize for Verdict {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

fn verdict(lines: &[LineShown], refused: Option<&ColourError>) -> Verdict {
    Verdict {
        said: if refused.is_some() { "No red-green chart can be shown".into() } else { reach(lines) },
        reason: refused.map(ColourError::refusal),
    }
}

/// Down to which line charts can be shown.
fn reach(lines: &[LineShown]) -> String {
    let smallest = |shown: Shown| lines.iter().rev().find(|line| line.shown == shown);
    match (smallest(Shown::Plainly), smallest(Shown::Coarsely)) {
        (Some(plain), None) => format!("Red-green charts can be shown down to {}.", plain.line),
        (Some(plain), Some(coarse)) => {
            format!("Red-green charts can be shown down to {}, coarsely down to {}.", plain.line, coarse.line)
        }
        (None, Some(coarse)) => {
            format!("Red-green charts can only be shown coarsely, down to {}.", coarse.line)
        }
        (None, None) => {
            "No standard line can be shown: the pixels are too coarse, or the screen is too small, for this distance."
                .into()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two sums over the same nanometres, V(λ) read off another table.
    const SAME_SUM: f64 = 2e-4;

    fn report(room: &Room) -> RoomReport {
        RoomReport::new(room, &room.primaries.spectra().unwrap())
    }

    fn room(more: &str) -> Room {
        let text = "[viewing]\ndistance_mm = 3200\n[screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n";
        Room::from_toml(&format!("{text}{more}"), "room").unwrap()
    }

    #[test]
    fn the_demo_rooms_dioptres_are_those_of_an_independent_sum() {
        // numpy with the V(λ) of colour-science 0.4.7 on bands 615/45 and 538/60: 0.0660 + 0.2463 and 0.0781 + 0.2512 D.
        let report = report(&Room::demo());
        let [thibos, atchison] = [&report.intervals[0], &report.intervals[1]];
        assert!(
            (thibos.interval_d - 0.3123).abs() < SAME_SUM && (atchison.interval_d - 0.3293).abs() < SAME_SUM
        );
        assert!((report.mean_wavelengths_nm[0] - 606.09).abs() < 0.01);
        assert!((thibos.textbook_d - 0.413).abs() < 5.1e-4 && (atchison.textbook_d - 0.437).abs() < 5.1e-4);
        // Own arithmetic elsewhere: 1/3.2 m; 1′ at 3.2 m is 0.9308 mm, or 3.39 px of 0.27454 mm.
        assert!((report.vergence_d - 0.3125).abs() < 1e-12);
        assert!((report.pixels_per_arcmin - 3.39).abs() < 0.005);
    }

    #[test]
    fn lines_are_shown_as_charts_draw_them() {
        let report = report(&Room::demo());
        let line = |name: &str| report.lines.iter().find(|line| line.line.to_string() == name).unwrap();
        let shown = |name: &str| line(name).shown;
        assert_eq!(shown("20/400"), Shown::TooLarge);
        assert_eq!(shown("20/40"), Shown::Plainly);
        // 20/16 at 3.2 m has strokes of 0.794 · 3.39 = 2.69 px, 20/10 of 1.70 px.
        assert_eq!(shown("20/16"), Shown::Coarsely);
        assert_eq!(shown("20/10"), Shown::TooFine);
        // By hand, of fields 263.6 mm wide and letters 93.1 mm high at 20/400, 0.794 of that a line smaller: n letters with their
        // gaps and a letter's width at both sides take 2n + 1 widths: 3 · 73.8 mm (5 · 73.8 is too much), 5 · 46.5, 7 · 37.0,
        // 7 · 29.4 (9 are 264.3 mm) and 11 · 23.3.
        let letters = ["20/400", "20/320", "20/200", "20/160", "20/125", "20/100", "20/10"];
        assert_eq!(letters.map(|name| line(name).letters), [0, 1, 2, 3, 3, 5, 0]);
        assert_eq!(line("20/320").short_in_words().as_deref(), Some("1 letter"));
        assert_eq!(line("20/125").short_in_words().as_deref(), Some("3 letters"));
        assert_eq!((line("20/40").short_in_words(), line("20/10").short_in_words()), (None, None));
        assert!(
            report.verdict.said.contains("down to 20/20, coarsely down to 20/12.5"),
            "{}",
            report.verdict
        );
    }

    #[test]
    fn warnings_come_by_weight_and_only_where_they_hold() {
        let said = |room: &Room| -> Vec<String> {
            report(room).warnings.into_iter().map(|warning| warning.what).collect()
        };
        let assumed = said(&room(""));
        assert!(assumed[0].contains("equally bright"), "{assumed:?}");
        assert!(assumed.iter().any(|what| what.contains("a usual screen of its kind")));
        assert!(assumed.last().unwrap().contains("0.31 D too plus"));
        let known = "[luminance]\nred = 52\ngreen = 178\nwhite = 250\nblack = 0.25\n[tone]\ngamma = 2.2\n\
                     [primaries]\nred = { peak_nm = 630, fwhm_nm = 25 }\ngreen = { peak_nm = 530, fwhm_nm = 30 }\n";
        assert_eq!(said(&room(known)).len(), 1, "{:?}", said(&room(known)));
        // Letters keep 4 of just under 52 cd/m²: a little over 7.7 %.
        let grey = "[luminance]\nred = 52\ngreen = 178\nblack = 4\n";
        assert!(said(&room(grey))[0].starts_with("Letters have 7."), "{:?}", said(&room(grey)));
        let washed = report(&room("[luminance]\nred = 20\ngreen = 60\nblack = 8\n"));
        assert!(washed.verdict.said.starts_with("No red-green chart"), "{}", washed.verdict);
        // What no chart can show is not said to be shown, line by line.
        assert!(washed.lines.iter().all(|line| line.shown.to_string().starts_with("no: ")), "{washed:?}");
        assert!(!washed.warnings[1].what.contains("20/40"), "one reason is enough: {:?}", washed.warnings);
    }

    #[test]
    fn readings_of_both_fields_count_for_the_codes_that_were_read_and_no_others() {
        let light = "[luminance]\nred = 52\ngreen = 178\nblack = 0.25\n";
        let by_meter = report(&room(light)).fields.unwrap();
        let [red, green] = by_meter.codes;
        let read = |red: u8, meter: f64| {
            let read = format!("{light}[match]\ncodes = [{red}, {green}]\nred = 50.0\ngreen = 49.0\n");
            let date = format!("meter_percent = {meter}\ndate = \"2026-03-31\"\n");
            report(&room(&(read + &date))).fields.unwrap()
        };
        // Two readings, each to 3 %: 2 · √2 · 3 = 8.5 %; full drive and an assumed curve left more.
        let counted = read(red, 3.0);
        assert!((counted.match_uncertainty_percent - 8.485).abs() < 1e-3, "{counted:?}");
        assert!(by_meter.match_uncertainty_percent > 12.0, "{by_meter:?}");
        // (50 − 49) / 49.5 = 2.02 %.
        assert!((counted.match_at_eye_percent - 2.0202).abs() < 1e-3, "{counted:?}");
        assert!(counted.match_rests_on.contains("read in both fields on 2026-03-31"), "{counted:?}");
        assert_eq!(counted.readings_left_out, None);
        // Other codes: stale, and it says so.
        let stale = read(red - 1, 3.0);
        assert!((stale.match_uncertainty_percent - by_meter.match_uncertainty_percent).abs() < 1e-9);
        assert!(stale.readings_left_out.unwrap().contains("these fields have other codes"));
        // A meter so coarse that the rest of the file is surer makes nothing worse.
        let coarse = read(red, 11.0);
        assert!((coarse.match_uncertainty_percent - by_meter.match_uncertainty_percent).abs() < 1e-9);
        assert!(coarse.readings_left_out.unwrap().contains("less sure"));
    }

    #[test]
    fn a_day_tells_how_old_the_readings_are_and_whether_they_are_too_old() {
        let light = "[luminance]\nred = 52\ngreen = 178\nblack = 0.25\n";
        let [red, green] = report(&room(light)).fields.unwrap().codes;
        let read =
            format!("[match]\ncodes = [{red}, {green}]\nred = 50.0\ngreen = 49.8\nmeter_percent = 1.0\n");
        let room = room(&format!("{light}{read}date = \"2026-03-31\"\nagain_after_days = 90\n"));
        let on = |day: &str| report(&room).on(&room, day);
        // By hand: 90 days after 31 March is 29 June.
        let [early, late] = ["2026-06-29", "2026-06-30"].map(on);
        assert_eq!(early.spoiling_answers(), []);
        let due = late.spoiling_answers();
        assert_eq!(due.len(), 1, "{due:?}");
        assert!(due[0].what.contains("last metered 3 months ago, on 2026-03-31"), "{due:?}");
        assert!(late.warnings.contains(&due[0]) && late.warnings.len() == early.warnings.len() + 1);
        // (50 − 49.8) / 49.9 = 0.40 %, and twice √2 · 1 % is 2.83 %: 3.2 %, so 4 % at the most.
        let matched = early.how_matched().unwrap();
        assert!(
            matched.contains("within 4\u{a0}%") && matched.contains("Metered on 2026-03-31"),
            "{matched}"
        );
        let ground = early.grounds.iter().find(|ground| ground.what == MATCH).unwrap().to_string();
        assert_eq!(ground, "red against green (±\u{a0}2.8\u{a0}%, read on 2026-03-31)");
        // Without a day nothing is said of it.
        assert_eq!((report(&room).metered, report(&room).spoiling_answers()), (None, vec![]));
    }

    #[test]
    fn a_doubtful_match_is_told_beside_the_verdict_and_how_well_it_is_known_beside_its_ground() {
        let light = "[luminance]\nred = 52\ngreen = 178\nblack = 0.25\n";
        let with = |readings: &str| {
            let found = report(&room(&format!(
                "{light}[match]\n{readings}meter_percent = 3.0\ndate = \"2026-03-31\"\n"
            )));
            let ground =
                found.grounds.iter().find(|ground| ground.what == "red against green").unwrap().clone();
            (found.fields.unwrap(), ground)
        };
        let [red, green] = report(&room(light)).fields.unwrap().codes;
        let codes = format!("codes = [{red}, {green}]\n");
        // 50 to 49: (50 − 49)/49.5 = 2.02 %, each read to 3 %, so 2 · √2 · 3 = 8.49 % of doubt and 10.5 % in all.
        let (sure, ground) = with(&format!("{codes}red = 50.0\ngreen = 49.0\n"));
        assert_eq!(sure.match_in_doubt(), None);
        assert!((sure.equal_within_percent().unwrap() - 10.505).abs() < 1e-3, "{sure:?}");
        assert_eq!(ground.to_string(), "red against green (±\u{a0}8.5\u{a0}%, read on 2026-03-31)");
        let doubt = |fields: FieldsShown| fields.match_in_doubt().unwrap().what;
        let stale = with("codes = [200, 120]\nred = 50.0\ngreen = 49.0\n").0;
        assert!(doubt(stale).contains("no longer count"));
        // 48 to 52: 4/50 = 8.0 %, and 8.49 % of doubt: it may be within 2 %, and may be 16.5 % off.
        let read = with(&format!("{codes}red = 48.0\ngreen = 52.0\n")).0.warnings();
        assert!(
            read.iter().any(|one| one
                .what
                .starts_with("Green is 8.0 ± 8.5 % brighter at the eye, where at most 2 % is allowed: ")),
            "{read:?}"
        );
        let near = with(&format!("{codes}red = 50.0\ngreen = 49.9\n")).0.warnings();
        assert!(
            !near.iter().any(|one| one.what.contains("brighter") || one.what.contains("The match")),
            "{near:?}"
        );
        let unequal = with(&format!("{codes}red = 60.0\ngreen = 40.0\n")).0;
        assert_eq!(unequal.equal_within_percent(), None);
        assert!(doubt(unequal).contains("brighter at the eye"));
        let assumed = report(&room("")).fields.unwrap();
        assert_eq!(assumed.equal_within_percent(), None);
        assert!(doubt(assumed).contains("not known"));
    }

    #[test]
    fn advice_on_setting_up_is_no_caution_of_an_examination() {
        // The demo's red and green lie 0.31 D apart, which narrow primaries would better.
        let report = report(&Room::demo());
        assert!(report.warnings.iter().any(|warning| warning.what.contains("0.31 D apart")));
        assert!(report.spoiling_answers().iter().all(|one| !format!("{one:?}").contains("apart")));
    }
}
