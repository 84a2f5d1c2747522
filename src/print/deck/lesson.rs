//! All that slides and card say about one room, worked out once.
//!
//! The patients of a lesson never err, so that the slides are the same for every class.

use std::sync::Arc;

use image::RgbImage;

use crate::acuity::Acuity;
use crate::balance::{
    Answer, Clicks, ColourVision, Course, Drawn, EndPoint, Event, Examination, EyeKind, Laterality, Lens,
    Manifest, Patient, Place, Procedure, Put, Ran, RefinedFor, Rules, Run, Sight, Start,
};
use crate::beside;
use crate::chart::Request;
use crate::eye::{Adaptation, Clarity, Curve, Eye, Pupil, PupilError, Seen};
use crate::light::{Channel, Side};
use crate::quantity::{Angle, Dioptres, Length, Luminance};
use crate::report::{PlaceError, RoomReport, place};
use crate::room::{Display, Room};
use crate::scene::Paint;
use crate::view::{CloseUp, CloseUpError, Model, ModelError, Subject};

/// The threshold that the lesson's patient reads on white, in tenths of logMAR: 20/20.
const THRESHOLD: i8 = 0;

/// The age of the lesson's natural pupil. Assumed.
pub const AGE_YEARS: f64 = 65.0;

/// A lit consulting room: 500 lx on surroundings that give back half of it, seen over 60 degrees. Common practice, no
/// source.
pub const LIT_LUX: f64 = 500.0;
const LIT_REFLECTANCE: f64 = 0.5;
const LIT_FIELD_DEGREES: f64 = 60.0;

/// A small aperture in the plane of the lens: a round example, no particular implant.
pub const APERTURE: Length = Length::mm(1.4);

/// Pixels a stroke of a view on a 1080-line slide, and letters to each side: three views stand beside their row's name.
pub(super) const STROKE_PX: u16 = 14;
const LETTERS: usize = 1;

/// Which letters views show; the riddles show others.
pub(super) const SEED: u64 = 1;

/// Everything that the slides say about one room, worked out once.
pub struct Lesson<'a> {
    /// The room.
    pub room: &'a Room,
    /// What it is called, as the output says it.
    pub name: &'a str,
    /// Its fields and their spectra.
    pub model: Model,
    /// What it can show.
    pub report: RoomReport,
    /// The room as a record has it, without its cautions, which have a slide of their own.
    place: Place,
    /// The paints of red and green on a screen of which nothing is known.
    pub paints: [Paint; 2],
    /// A natural pupil before the fields in the dark room.
    pub dark: Eye,
    /// The same in a lit room.
    pub lit: Eye,
    /// A small-aperture implant.
    pub aperture: Eye,
    /// What a click adds to each of these eyes' log10(red/green) at balance; none without a balance.
    clicks: Vec<(Eye, Option<f64>)>,
}

/// Why there are no slides for a room.
#[derive(Debug, thiserror::Error)]
pub enum LessonError {
    /// It cannot be modelled.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// No view could be made.
    #[error(transparent)]
    View(#[from] CloseUpError),
    /// No such pupil.
    #[error(transparent)]
    Pupil(#[from] PupilError),
    /// No eye can be asked there.
    #[error(transparent)]
    Place(#[from] PlaceError),
}

impl<'a> Lesson<'a> {
    /// Works a room out; `name` is what the slides call it.
    ///
    /// # Errors
    /// Where its screen cannot show a red and a green field of one luminance, or its spectra cannot be read.
    pub fn new(room: &'a Room, name: &'a str) -> Result<Self, LessonError> {
        let model = Model::new(room)?;
        let before_screen = model.adaptation(AGE_YEARS);
        let around = Adaptation {
            luminance: Luminance::cd_m2(LIT_LUX * LIT_REFLECTANCE / std::f64::consts::PI),
            square_degrees: std::f64::consts::PI * (LIT_FIELD_DEGREES / 2.0).powi(2),
            ..before_screen
        };
        let [dark, lit] = [before_screen, around].map(|seen| Eye::with_pupil(Pupil::natural(seen)));
        let aperture = Eye::with_pupil(Pupil::through_cornea(APERTURE)?);
        let click = |eye: &Eye| (*eye, model.curve(eye, target()).prediction().log_ratio_per_click);
        Ok(Self {
            clicks: beside::each(&[dark, lit, aperture], click),
            room,
            name,
            report: RoomReport::new(room, &model.spectra),
            place: Place { name: room.name().unwrap_or(name).into(), cautions: Vec::new(), ..place(room)? },
            paints: [model.light.red, model.light.green].map(|paint| elsewhere(paint, &room.display)),
            model,
            dark,
            lit,
            aperture,
        })
    }

    /// The same on a day such as `2026-03-31`, seen from which the room's readings may be old.
    #[must_use]
    pub fn on(self, day: &str) -> Self {
        Self { report: self.report.on(self.room, day), ..self }
    }

    /// The vergence of the room's distance.
    #[must_use]
    pub fn vergence(&self) -> Dioptres {
        Dioptres::at(self.room.viewing.distance)
    }

    /// Dioptres between the fields.
    #[must_use]
    pub fn interval(&self) -> f64 {
        self.dark.chromatic.foci(&self.model.spectra.red, &self.model.spectra.green).interval.to_d()
    }

    /// By how much the focus of green, then that of red, lies behind the retina with no lens error; in front is minus.
    #[must_use]
    pub fn foci(&self) -> [f64; 2] {
        let eye = &self.dark;
        let retina = eye.chromatic.refraction(eye.focus_at);
        [&self.model.spectra.green, &self.model.spectra.red]
            .map(|light| (eye.chromatic.mean_refraction(light) - retina).to_d())
    }

    pub(super) fn curve(&self, eye: &Eye) -> Curve<'_> {
        self.model.curve(eye, target())
    }

    /// What a click adds to log10(red/green) behind a pupil at balance; none where there is no balance.
    #[must_use]
    pub fn log_ratio_per_click(&self, eye: &Eye) -> Option<f64> {
        let known = self.clicks.iter().find(|(one, _)| one == eye);
        known.map_or_else(|| self.curve(eye).prediction().log_ratio_per_click, |(_, ratio)| *ratio)
    }

    /// The decimal logarithm of red's clarity over green's, each by its own best.
    pub(super) fn log_ratio(&self, eye: &Eye, lens_error: Dioptres) -> f64 {
        let curve = self.curve(eye);
        curve.comparison().log_ratio(curve.clarity(lens_error))
    }

    /// The clarity of red and of green.
    #[must_use]
    pub fn clarity(&self, eye: &Eye, lens_error: Dioptres) -> [Clarity; 2] {
        let [red, green, _] = self.curve(eye).clarity(lens_error);
        [red, green]
    }

    /// What a patient of the model answers who never errs: a side that is clearer by a step that can just be noticed.
    #[must_use]
    pub fn answer(&self, eye: &Eye, lens_error: Dioptres) -> Answer {
        let put = Put { clicks: Clicks::NONE, from_plus: false, larger: false, red: None };
        Drawn::still(lens_error).answer(&Target(self.curve(eye)), put)
    }

    /// The likeliest answer of a patient of the model who judges as the typical one, chance and all, and how likely it is.
    pub(super) fn likeliest(&self, eye: &Eye, lens_error: Dioptres) -> (Answer, f64) {
        let all = self.chances(eye, lens_error);
        all.max_by(|(_, one), (_, other)| one.total_cmp(other)).expect("there are four answers")
    }

    /// How likely such a patient gives each answer.
    pub(super) fn chances(&self, eye: &Eye, lens_error: Dioptres) -> impl Iterator<Item = (Answer, f64)> {
        let seen = self.curve(eye).seen(lens_error);
        Answer::ALL.into_iter().zip(Patient::typical().judgement(None).chances(seen))
    }

    /// A run with a patient of the model who never errs.
    pub(super) fn run(&self, eye: &Eye, rules: Rules, start: Dioptres) -> Ran {
        let (mut patient, sight) = (Drawn::still(start), Target(self.curve(eye)));
        Run::new(rules).with(|put| patient.answer(&sight, put))
    }

    /// Prepares close-ups of the target line for these eyes and lens errors.
    pub(super) fn close_up(
        &self,
        (seed, red, stroke_px): (u64, Side, u16),
        seen: &[(&Eye, Dioptres)],
    ) -> Result<CloseUp, LessonError> {
        let request = Request { seed, red, ..Request::new(target()) };
        let lights = [&self.model.sides.red, &self.model.sides.green];
        let blur = seen
            .iter()
            .flat_map(|(eye, at)| lights.map(|light| eye.blur(*at, light).to_arcmin()))
            .fold(0.0, f64::max);
        let subject = Subject { request: &request, letters: LETTERS, stroke_px };
        Ok(CloseUp::new(&subject, self.room, &self.model.sides, Angle::arcmin(blur))?)
    }

    /// A pupil in words.
    pub(super) fn pupil(eye: &Eye) -> String {
        format!("pupil {:.1} mm", eye.pupil.diameter().to_mm())
    }

    /// An eye that was refined in this room and reads its threshold.
    pub(super) fn start(&self, kind: EyeKind, procedure: Procedure, end_point: EndPoint) -> Start {
        let lens = Lens { sphere: Dioptres::new(-1.0), cylinder: None };
        Start {
            eye: Laterality::Right,
            manifest: Manifest::try_from(lens).expect("eyes are refracted to a dioptre of minus"),
            refined_for: RefinedFor::Room,
            acuity: threshold().into(),
            kind,
            procedure,
            end_point,
            vertex: None,
            glasses_vertex: None,
            intended: None,
            colour_vision: ColourVision::Usual,
            brunescent: false,
            red: Side::Left,
            lines_above: LINES_ABOVE,
            label: None,
            examiner: None,
            instrument: None,
            place: self.place.clone(),
        }
    }
}

/// How many lines larger than the smallest line read the target is. Common practice, no source.
pub(super) const LINES_ABOVE: u8 = 2;

/// The threshold and the target.
pub(super) fn threshold() -> Acuity {
    Acuity::standard(THRESHOLD)
}

pub(in crate::print) fn target() -> Acuity {
    threshold().lines_above(LINES_ABOVE).unwrap_or(threshold())
}

/// An eye after these answers; what does not fit is left out.
pub(super) fn asked(start: Start, answers: &[Answer]) -> Course {
    let started = Event::Started(Box::new(start));
    let answered = answers.iter().map(|answer| Event::Answered(*answer));
    last(std::iter::once(started).chain(answered))
}

/// The eye that these events end with.
pub(super) fn last(events: impl Iterator<Item = Event>) -> Course {
    let after =
        |examination: Examination, event: Event| examination.clone().after(&event).unwrap_or(examination);
    let examination = events.fold(Examination::default(), after);
    examination.courses.into_iter().next_back().expect("an examination begins with a start")
}

/// The same light, as shares of full drive, on a screen of which nothing is known.
fn elsewhere(paint: Paint, display: &Display) -> Paint {
    let other = Display::assumed();
    Paint {
        codes: Channel::ALL.map(|channel| {
            let light = display.tone(channel).light(paint.codes[channel.index()]);
            other.tone(channel).nearest_code(light)
        }),
    }
}

/// What is seen of the target, which is also what stands for a larger line.
pub(super) struct Target<'a>(pub(super) Curve<'a>);

impl Sight for Target<'_> {
    fn seen(&self, lens_error: Dioptres, _: bool) -> Seen {
        self.0.seen(lens_error)
    }

    fn white(&self, lens_error: Dioptres, _: bool) -> f64 {
        let [_, _, white] = self.0.clarity(lens_error);
        white.legibility()
    }
}

/// A close-up and the views of it that were worked out.
pub(super) struct Views {
    close_up: CloseUp,
    made: Vec<(Eye, Dioptres, Arc<RgbImage>)>,
}

impl Views {
    pub(super) const fn of(close_up: CloseUp) -> Self {
        Self { close_up, made: Vec::new() }
    }

    /// What reaches the retina, as sRGB; the same asked twice is the same picture.
    pub(super) fn seen(&mut self, eye: &Eye, lens_error: Dioptres) -> Arc<RgbImage> {
        let known = self.made.iter().find(|(one, at, _)| one == eye && *at == lens_error);
        if let Some((_, _, picture)) = known {
            return Arc::clone(picture);
        }
        let picture = Arc::new(self.close_up.seen(eye, lens_error).to_codes(&Display::assumed()));
        self.made.push((*eye, lens_error, Arc::clone(&picture)));
        picture
    }
}
