//! Teaching slides for a room: what the patient sees, how the balance is asked, what spoils it. Every number comes from
//! the model of this room or from the constants of the library.
//!
//! The slides are drawn for one room, with its distance, its screen's spectra and its interval, since a class that sees the
//! effect of *this* screen can check it on the wall. [`Lesson`] works out all that they say; six groups lay it out: why the
//! test works, how it is asked, the balance at work, riddles, how far the model may be
//! trusted, and what a practice has to mind, with an examination that goes wrong.
//!
//! Each slide carries what is said beside it: what to say, what to ask the class, what is often misunderstood. Projected, all of
//! them stand on night, since a class sees the effect in a dark room; printed, on paper, with black under what a patient sees.
//!
//! A view on a slide was computed for one pupil at one distance. Projected, it shows what is lost, not how large it looks.

mod aims;
mod asking;
mod evidence;
mod failure;
mod fog;
mod lesson;
mod light;
mod midpoint;
mod near;
mod practice;
mod riddle;
mod slide;
mod sure;
mod working;

pub use lesson::{AGE_YEARS, APERTURE, LIT_LUX, Lesson, LessonError};

pub(super) use asking::{FirstSteps, change, first_steps, target_in_words};
pub(super) use lesson::target;
pub(super) use light::ink_of;
pub(super) use practice::{ACCOMMODATING, of_eyes};
pub(super) use slide::AIR_MM;

use slide::Slide;

use crate::beside;
use crate::scene::Scene;

/// What slides are made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// A projector or a screen, in a dark room.
    Projected,
    /// Paper.
    Printed,
}

/// A slide, and what is said beside it.
#[derive(Debug, Clone)]
pub struct Shown {
    /// What is shown.
    pub scene: Scene,
    /// The speaker's notes, a sentence or a few each: what to say, what to ask the class, what is likely to be misunderstood.
    pub notes: Vec<String>,
    /// Whether it gives the answer to the slide before, which a handout keeps for its end.
    pub answers: bool,
}

/// Slides of 16:9, first to last; a pixel of a 1080-line screen is 9.5/28 points.
#[derive(Debug, Clone)]
pub struct Deck {
    /// The slides.
    pub slides: Vec<Shown>,
}

/// That numbers and pictures are the model's, where a class could take them for eyes.
const PRACTICE: &str =
    "Patients, eyes and answers on these slides are the model’s; no real patient is shown.";

/// One group of slides.
type Group = fn(&Lesson<'_>, Surface) -> Result<Vec<Slide>, LessonError>;

/// The groups in the order in which they are shown.
const GROUPS: [Group; 6] =
    [light::slides, asking::slides, working::slides, riddle::slides, evidence::slides, practice::slides];

impl Deck {
    /// How many slides it has, for every room.
    pub const SLIDES: usize = 32;

    /// How many steps its making has.
    pub const STEPS: usize = GROUPS.len();

    /// Draws the slides for a projector or for paper; `step` hears of each of [`STEPS`](Self::STEPS).
    ///
    /// # Errors
    /// Where a view cannot be made.
    pub fn new(lesson: &Lesson<'_>, surface: Surface, step: impl Fn() + Sync) -> Result<Self, LessonError> {
        let all = beside::gathered(&GROUPS, |group| {
            let slides = group(lesson, surface);
            step();
            slides
        })?;
        let of = all.len();
        let slides = (1..).zip(all).map(|(number, slide)| slide.done(number, of)).collect();
        Ok(Self { slides })
    }

    /// The slides without what is said beside them.
    #[must_use]
    pub fn scenes(&self) -> Vec<Scene> {
        self.slides.iter().map(|slide| slide.scene.clone()).collect()
    }
}
