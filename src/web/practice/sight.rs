//! What each pupil sees, as tables and pictures.
//!
//! Clarities stand in tables by lens error, in whole thousandths; what is seen is a picture for each click. Both are computed here
//! once, since a browser has no optics.

use base64::prelude::{BASE64_STANDARD, Engine};
use image::RgbImage;
use serde::Serialize;

use super::error::PracticeError;
use super::patient::whole;
use crate::acuity::Acuity;
use crate::balance::{self, ClarityTable, EyeKind, TARGET_AND_LARGER};
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

/// Letters of a view, and its pixels a stroke.
const VIEW: (usize, u16) = (2, 6);

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
}

impl Sight {
    pub(super) fn new(kind: EyeKind, pupil: Length, room: &Room) -> Result<Self, PracticeError> {
        Self::with_views(&lens_errors(kind, pupil), pupil, room)
    }

    /// With pictures at these lens errors.
    pub(super) fn with_views(at: &[i32], pupil: Length, room: &Room) -> Result<Self, PracticeError> {
        let model = Model::new(room)?;
        let eye = Eye::with_pupil(Pupil::new(pupil)?);
        let tables = ClarityTable::both(&model.sides, model.light.luminance, pupil)?;
        Ok(Self {
            balance: whole(tables[0].balance().to_d() * 1e3),
            pupil: format!("{:.1}\u{202f}mm", pupil.to_mm()),
            from: FROM_MD,
            step: STEP_MD,
            clearer: [clearer(&tables[0]), clearer(&tables[1])],
            curve: Plotted::new(&tables[0]),
            views: views(&eye, &model.sides, room, at)?,
        })
    }
}

impl balance::Sight for Sight {
    /// What is seen at the nearest lens error of the table, which knows of legibility only whether there is enough.
    fn seen(&self, lens_error: Dioptres, larger: bool) -> Seen {
        let place = (whole_md(lens_error) - FROM_MD + STEP_MD / 2).div_euclid(STEP_MD).clamp(0, STEPS);
        let place = usize::try_from(place).unwrap_or(0);
        match self.clearer[usize::from(larger)].get(place).copied().flatten() {
            Some(thousandths) => Seen { evidence: f64::from(thousandths) / 1e3, legibility: 1.0 },
            None => Seen { evidence: 0.0, legibility: 0.0 },
        }
    }

    /// The page knows of white only that what can be read on either field can be read on it.
    fn white(&self, lens_error: Dioptres, larger: bool) -> f64 {
        self.seen(lens_error, larger).legibility
    }
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
fn lens_errors(kind: EyeKind, pupil: Length) -> Vec<i32> {
    let (to, step) = if pupil.to_mm() < SMALL_MM { SMALL_VIEWS } else { VIEWS };
    let mut at: Vec<i32> = (-to / step..=to / step).map(|place| place * step).collect();
    if kind.accommodates() {
        at.extend((LEFT_MD / LEFT_STEP_MD..0).map(|place| place * LEFT_STEP_MD));
    }
    at.sort_unstable();
    at.dedup();
    at
}

fn views(eye: &Eye, sides: &Sides, room: &Room, at: &[i32]) -> Result<Vec<View>, PracticeError> {
    let widest =
        at.iter().flat_map(|at| [&sides.red, &sides.green].map(|light| eye.blur(dioptres(*at), light)));
    let widest = Angle::arcmin(widest.map(Angle::to_arcmin).fold(0.0, f64::max));
    let close_up = |fields: Fields| {
        let request = Request { fields, ..Request::new(Acuity::standard(TARGET)) };
        CloseUp::new(&Subject { request: &request, letters: VIEW.0, stroke_px: VIEW.1 }, room, sides, widest)
    };
    let (red, green) = (close_up(Fields::Red)?, close_up(Fields::Green)?);
    let seen = |close_up: &CloseUp, at: i32| {
        picture(&close_up.seen(eye, dioptres(at)).to_codes(&room.display), room)
    };
    at.iter().map(|at| Ok(View { at: *at, red: seen(&red, *at)?, green: seen(&green, *at)? })).collect()
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
