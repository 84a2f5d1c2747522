//! What each pupil sees, as tables and pictures.
//!
//! Clarities stand in tables by lens error, in whole thousandths; what is seen is a picture for each click. Both are computed here
//! once, since a browser has no optics.

use base64::prelude::{BASE64_STANDARD, Engine};
use image::RgbImage;
use serde::Serialize;

use super::error::PracticeError;
use super::level::Level;
use super::patient::whole;
use crate::acuity::Acuity;
use crate::balance::{self, ClarityTable, TARGET_AND_LARGER, Way};
use crate::chart::Request;
use crate::export::png::{self, ColourChunk};
use crate::eye::{Eye, Pupil, Seen, Sides};
use crate::light::Fields;
use crate::quantity::{Angle, Dioptres, Length};
use crate::room::Room;
use crate::scene::Metadata;
use crate::view::{CloseUp, Model, Subject};

/// The target and the larger line, in tenths of logMAR.
pub(super) const TARGET: i8 = TARGET_AND_LARGER[0];
pub(super) const LARGER: i8 = TARGET_AND_LARGER[1];

/// The table of answers: its first lens error, its step, both in thousandths of a dioptre, and how many steps it has.
const FROM_MD: i32 = -3500;
const STEP_MD: i32 = 10;
const STEPS: i32 = 700;

/// How far the curve in the result goes to either side, and its steps, in thousandths of a dioptre.
const CURVE_TO_MD: i32 = 1500;
const CURVE_STEP_MD: i32 = 50;

/// Behind a pupil smaller than this, pictures in steps of a quarter of a dioptre are near enough and must reach farther;
/// behind others the steps are an eighth. How far they reach and their steps, in thousandths of a dioptre.
const SMALL_MM: f64 = 2.0;
const SMALL_VIEWS: (i32, i32) = (2500, 250);
const VIEWS: (i32, i32) = (1500, 125);

/// Where an eye accommodates for minus, the lens error that is left over is small: pictures for it reach down to this
/// lens error, in these steps, in thousandths of a dioptre.
const LEFT_MD: i32 = -300;
const LEFT_STEP_MD: i32 = 50;

/// Letters of a view, and its pixels a stroke; on white, which is one field, as many as on both others.
const VIEW: (usize, u16) = (2, 6);
const WHITE_VIEW: (usize, u16) = (4, 6);

/// Letters that are as legible as this on white are as good as none, in thousandths of the decimal logarithm.
const NOT_LEGIBLE: i32 = -9999;

/// What is added to these thousandths before they are judged, so that no sum of whole thousandths is exactly nought.
pub(super) const BESIDE: f64 = 0.25;

/// A pupil behind which levels look, and what they need of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Looked {
    pub(super) pupil: Length,
    /// Whether an eye behind it accommodates.
    pub(super) accommodates: bool,
    /// Whether letters on white are looked at.
    pub(super) on_white: bool,
}

impl Looked {
    /// What one level needs.
    pub(super) fn by(level: Level) -> Self {
        Self {
            pupil: level.pupil(),
            accommodates: level.kind().accommodates(),
            on_white: level.way() == Way::Midpoint,
        }
    }

    /// What all levels need, a pupil each once.
    pub(super) fn by_all() -> Vec<Self> {
        let mut all: Vec<Self> = Vec::new();
        for one in Level::ALL.map(Self::by) {
            match all.iter_mut().find(|other| other.pupil == one.pupil) {
                Some(other) => {
                    other.accommodates |= one.accommodates;
                    other.on_white |= one.on_white;
                }
                None => all.push(one),
            }
        }
        all
    }
}

/// What one eye sees in one room, in tables: lens errors in thousandths of a dioptre, by how much red is clearer in
/// thousandths of a noticeable step, clarities in thousandths.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Sight {
    /// The lens error at which the model has both sides equally clear.
    pub balance: i32,
    /// The pupil, in words.
    pupil: String,
    from: i32,
    step: i32,
    /// Ratios in the target line, then in the larger one; none where neither side can be read.
    clearer: [Vec<Option<i32>>; 2],
    /// How legible letters on white are, as thousandths of the decimal logarithm of what a typical patient needs; for lines as above.
    white: [Vec<i32>; 2],
    curve: Plotted,
    views: Vec<View>,
}

/// Clarities of red, green and white.
#[derive(Debug, Clone, Serialize)]
struct Plotted {
    from: i32,
    step: i32,
    clarity: [Vec<i32>; 3],
}

/// What reaches the retina of each field, as PNG in base 64.
#[derive(Debug, Clone, Serialize)]
struct View {
    at: i32,
    red: String,
    green: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    white: Option<String>,
}

impl Sight {
    pub(super) fn new(looked: &Looked, room: &Room) -> Result<Self, PracticeError> {
        Self::with_views(&lens_errors(looked), looked, room)
    }

    /// With pictures at these lens errors.
    pub(super) fn with_views(at: &[i32], looked: &Looked, room: &Room) -> Result<Self, PracticeError> {
        let (model, pupil) = (Model::new(room)?, looked.pupil);
        let eye = Eye::with_pupil(Pupil::new(pupil)?);
        let tables = ClarityTable::both(&model.sides, model.light.luminance, pupil)?;
        Ok(Self {
            balance: whole(tables[0].balance().to_d() * 1e3),
            pupil: format!("{:.1}\u{202f}mm", pupil.to_mm()),
            from: FROM_MD,
            step: STEP_MD,
            clearer: [clearer(&tables[0]), clearer(&tables[1])],
            white: [white(&tables[0]), white(&tables[1])],
            curve: Plotted::new(&tables[0]),
            views: views(&eye, (&model.sides, looked.on_white), room, at)?,
        })
    }
}

impl balance::Sight for Sight {
    /// What is seen at the nearest lens error of the table, which knows of legibility only whether there is enough.
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen {
        match self.clearer[usize::from(larger)].get(place(lens_error)).copied().flatten() {
            Some(thousandths) => Seen { evidence: f64::from(thousandths) / 1e3, legibility: 1.0 },
            None => Seen { evidence: 0.0, legibility: 0.0 },
        }
    }

    fn white(&self, lens_error: Dioptres, larger: bool) -> f64 {
        let thousandths = self.white[usize::from(larger)].get(place(lens_error)).copied();
        10_f64.powf((f64::from(thousandths.unwrap_or(NOT_LEGIBLE)) + BESIDE) / 1e3)
    }
}

/// The place of the nearest lens error in the table.
fn place(lens_error: Dioptres) -> usize {
    let place = (whole_md(lens_error) - FROM_MD + STEP_MD / 2).div_euclid(STEP_MD).clamp(0, STEPS);
    usize::try_from(place).unwrap_or(0)
}

/// Whole thousandths of a dioptre, towards minus, as the script has them.
fn whole_md(lens_error: Dioptres) -> i32 {
    // What thousandths leave in binary must not decide.
    const DUST: f64 = 1e-6;
    whole((lens_error.to_d() * 1e3 + DUST).floor())
}

fn clearer(table: &ClarityTable) -> Vec<Option<i32>> {
    let thousandths = |steps: f64| whole(steps * 1e3);
    (0..=STEPS)
        .map(|place| table.seen(dioptres(FROM_MD + place * STEP_MD)).legible().map(thousandths))
        .collect()
}

fn white(table: &ClarityTable) -> Vec<i32> {
    let thousandths = |legibility: f64| whole(legibility.log10() * 1e3).max(NOT_LEGIBLE);
    (0..=STEPS)
        .map(|place| thousandths(table.white_legibility(dioptres(FROM_MD + place * STEP_MD))))
        .collect()
}

impl Plotted {
    fn new(table: &ClarityTable) -> Self {
        let points =
            || (0..=2 * CURVE_TO_MD / CURVE_STEP_MD).map(|place| place * CURVE_STEP_MD - CURVE_TO_MD);
        let clarity =
            |field: usize| points().map(|at| whole(table.at(dioptres(at))[field].value() * 1e3)).collect();
        Self { from: -CURVE_TO_MD, step: CURVE_STEP_MD, clarity: [clarity(0), clarity(1), clarity(2)] }
    }
}

fn dioptres(thousandths: i32) -> Dioptres {
    Dioptres::new(f64::from(thousandths) / 1e3)
}

/// At which lens errors there are pictures, from minus to plus.
fn lens_errors(looked: &Looked) -> Vec<i32> {
    let (to, step) = if looked.pupil.to_mm() < SMALL_MM { SMALL_VIEWS } else { VIEWS };
    let mut at: Vec<i32> = (-to / step..=to / step).map(|place| place * step).collect();
    if looked.accommodates {
        at.extend((LEFT_MD / LEFT_STEP_MD..0).map(|place| place * LEFT_STEP_MD));
    }
    at.sort_unstable();
    at.dedup();
    at
}

fn views(
    eye: &Eye,
    (sides, on_white): (&Sides, bool),
    room: &Room,
    at: &[i32],
) -> Result<Vec<View>, PracticeError> {
    let lights = [Some(&sides.red), Some(&sides.green), on_white.then_some(&sides.blue)];
    let widest =
        at.iter().flat_map(|at| lights.into_iter().flatten().map(|light| eye.blur(dioptres(*at), light)));
    let widest = Angle::arcmin(widest.map(Angle::to_arcmin).fold(0.0, f64::max));
    let close_up = |fields: Fields, (letters, stroke_px): (usize, u16)| {
        let request = Request { fields, ..Request::new(Acuity::standard(TARGET)) };
        CloseUp::new(&Subject { request: &request, letters, stroke_px }, room, sides, widest)
    };
    let (red, green) = (close_up(Fields::Red, VIEW)?, close_up(Fields::Green, VIEW)?);
    let white = on_white.then(|| close_up(Fields::White, WHITE_VIEW)).transpose()?;
    let seen = |close_up: &CloseUp, at: i32| {
        picture(&close_up.seen(eye, dioptres(at)).to_codes(&room.display), room)
    };
    at.iter()
        .map(|at| {
            let white = white.as_ref().map(|white| seen(white, *at)).transpose()?;
            Ok(View { at: *at, red: seen(&red, *at)?, green: seen(&green, *at)?, white })
        })
        .collect()
}

/// A picture in device codes as PNG in base 64. It says nothing of its colours: they are the device's own.
pub(super) fn picture(image: &RgbImage, room: &Room) -> Result<String, PracticeError> {
    let bytes = png::encode(image, room.screen.pitch, &ColourChunk::Device, &Metadata::default())?;
    Ok(BASE64_STANDARD.encode(&bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: what an eye leaves of 0.999 D when it takes up four fifths is 0.1998 D, of which whole thousandths count.
    #[test]
    fn thousandths_are_cut_towards_minus_and_binary_does_not_decide() {
        for (dioptres, thousandths) in
            [(-0.1998, -200), (-0.2, -200), (-0.195, -195), (0.1 + 0.2, 300), (0.0, 0)]
        {
            assert_eq!(whole_md(Dioptres::new(dioptres)), thousandths, "{dioptres}");
        }
    }
}
