//! An examination in hand, with what stands on the wall and who commands: wishes in, states out.

mod bookmark;
mod estimate;
mod picture;
mod wall;
mod white;

use std::path::{Path, PathBuf};

use super::bookmark::{Bookmark, Page};
use super::picture::{Drawing, Picture};
use super::reading::Reading;
use super::recorder::{Recorder, read_record};
use super::refused::Refused;
use super::said::Said;
use super::wish::{AsideForm, WallSaid, Wanted, What, Wish, notation};
use crate::acuity::{Acuity, Notation, Score};
use crate::balance::record::Kept;
use crate::balance::words::EstimateSaid;
use crate::balance::{
    BinocularStep, Course, Event, Examination, Place, PractisedEye, Question, Stage, StandIn, Start,
    StartError, cylinder_of,
};
use crate::chart::{ColourError, FieldLight};
use crate::light::{Fields, Side};
use crate::optotype::LetterSet;
use crate::quantity::Dioptres;
use crate::report::{PlaceError, metered, place, start_in};
use crate::room::Room;
use crate::store;

/// Why no examination can be held in a room.
#[derive(Debug, thiserror::Error)]
pub enum SessionError {
    /// Its screen shows no two equal fields, or a spectrum of it cannot be read.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// The fields cannot have their light.
    #[error(transparent)]
    Colour(#[from] ColourError),
    /// The record cannot be one.
    #[error("{0}")]
    Record(String),
}

/// One examination after the other in one room.
#[derive(Debug, Clone)]
pub struct Session {
    pub(super) room: Room,
    pub(super) place: Place,
    pub(super) light: FieldLight,
    letters: LetterSet,
    record: Option<PathBuf>,
    pub(super) recorder: Option<Recorder>,
    /// Open examinations of the record, by name and in words, while none is in hand.
    pub(super) open: Vec<(String, String)>,
    /// How many bytes the record had when they were looked for.
    looked_at: u64,
    /// One that ended just now, likewise.
    pub(super) ended: Option<(String, String)>,
    /// What was written last beside the record.
    bookmark: Option<Bookmark>,
    /// Where the examination stood that was in hand when the program before this one ended, until another is in hand.
    page_before: Option<Page>,
    /// Why it was not read, and why it was not written, where that is so.
    pub(super) not_read: Option<String>,
    pub(super) not_written: Option<String>,
    /// The number of the step, which every wish must carry.
    step: u64,
    pub(super) dark_between: bool,
    /// The number of the question whose lens is in place, as far as that was said.
    lens_in_for: Option<usize>,
    /// The lens that was in place at the step before, for the same eye.
    pub(super) before: Option<Dioptres>,
    pub(super) picture: Picture,
    /// What the letters that stand on the wall were drawn for; others are drawn when it changes.
    drawn_for: Option<Asked>,
    /// How often other letters were asked for.
    anew: u64,
    seed: u64,
    /// What is read on white, and [what tells it](Examination::reading) from other readings.
    reading: Option<([usize; 3], Reading)>,
    pub(super) notation: Notation,
    /// Where balance lies in an eye by its answers, as it was worked out last.
    estimate: Option<(Course, EstimateSaid)>,
    /// What a terminal wants on the wall, while no examination is in hand here.
    guest: Option<(Acuity, Fields, Side)>,
    wall: Option<(u64, Option<WallSaid>)>,
    commander: Option<String>,
    pub(super) patient_buttons: bool,
    pub(super) pressed: Option<Said>,
    /// A form that was opened beside what comes next, until that comes.
    pub(super) aside: Option<AsideForm>,
    /// Who answers where an examination is practised.
    pub(super) stand_in: Option<StandIn>,
    /// What the eyes of those before came to.
    pub(super) practised: Vec<PractisedEye>,
}

/// How an examination is read from a record, by its name.
type Read = fn(&Path, Option<&str>) -> Result<Recorder, Box<dyn std::error::Error>>;

/// What letters are drawn for: they change whenever this does.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Asked {
    line: Acuity,
    fields: Fields,
    red: Side,
    /// The place of the question, and its lens; none on white.
    question: Option<(usize, Dioptres)>,
    anew: u64,
}

impl Session {
    /// A session in a room whose examinations are kept in a record, if one is named. `first` begins the numbers of steps:
    /// where it grows from one run of the program to the next, no message of an earlier run is taken for one of this.
    ///
    /// # Errors
    /// Where the room has no two equal fields, and where the record is something else.
    pub fn new(
        room: Room,
        letters: LetterSet,
        record: Option<&Path>,
        first: u64,
    ) -> Result<Self, SessionError> {
        let (place, light) = (place(&room)?, FieldLight::new(&room.display, None)?);
        let mut session = Self {
            room,
            place,
            light,
            letters,
            record: record.map(Into::into),
            recorder: None,
            open: Vec::new(),
            looked_at: 0,
            ended: None,
            bookmark: None,
            page_before: None,
            not_read: None,
            not_written: None,
            step: first,
            dark_between: false,
            lens_in_for: None,
            before: None,
            picture: Picture { number: first, chart: None },
            drawn_for: None,
            anew: 0,
            seed: first,
            reading: None,
            notation: Notation::Feet,
            estimate: None,
            guest: None,
            wall: None,
            commander: None,
            patient_buttons: false,
            pressed: None,
            aside: None,
            stand_in: None,
            practised: Vec::new(),
        };
        session.look_for_open().map_err(|error| SessionError::Record(error.to_string()))?;
        session.look_for_bookmark();
        Ok(session)
    }

    /// With simulated patients, the first of whom comes next.
    #[must_use]
    pub fn practised_with(self, first: StandIn) -> Self {
        Self { stand_in: Some(first), ..self }
    }

    /* What it is */

    /// The number of the step.
    #[must_use]
    pub const fn step(&self) -> u64 {
        self.step
    }

    /// What the wall is to show.
    #[must_use]
    pub const fn picture(&self) -> &Picture {
        &self.picture
    }

    /// The room.
    #[must_use]
    pub const fn room(&self) -> &Room {
        &self.room
    }

    /// The letters that it shows.
    #[must_use]
    pub const fn letters(&self) -> LetterSet {
        self.letters
    }

    /// How acuities are written.
    #[must_use]
    pub const fn notation(&self) -> Notation {
        self.notation
    }

    /// Where examinations are kept, if they are.
    #[must_use]
    pub fn record(&self) -> Option<&Path> {
        self.record.as_deref()
    }

    /// What has happened, if an eye began.
    #[must_use]
    pub fn examination(&self) -> Option<&Examination> {
        self.recorder.as_ref().map(|recorder| &recorder.kept.examination)
    }

    /// What comes next.
    #[must_use]
    pub fn stage(&self) -> Stage {
        self.examination().map_or(Stage::Start, Examination::stage)
    }

    pub(super) fn question(&self) -> Option<Question> {
        self.stage().question()
    }

    /// The number of the question of either kind that is asked now.
    fn number_asked(&self) -> Option<usize> {
        self.stage().number()
    }

    pub(super) fn start(&self) -> Option<&Start> {
        self.examination().and_then(|examination| examination.courses.last()).map(|course| &course.start)
    }

    /* Who commands */

    /// A panel opened; the first one commands.
    pub fn panel_came(&mut self, panel: &str) {
        self.commander.get_or_insert_with(|| panel.to_owned());
    }

    /// The panel that commands, if one came.
    #[must_use]
    pub fn commander(&self) -> Option<&str> {
        self.commander.as_deref()
    }

    /// Whether a panel commands.
    #[must_use]
    pub fn commands(&self, panel: &str) -> bool {
        self.commander.as_deref() == Some(panel)
    }

    /* Wishes */

    /// Takes a wish of a panel at a moment, such as `2026-03-31T09:30:00Z`; `new_id` names an examination that begins.
    ///
    /// # Errors
    /// Says why nothing was changed.
    pub fn take(&mut self, panel: &str, wish: &Wish, at: &str, new_id: &str) -> Result<(), Refused> {
        if wish.what == What::TakeOver {
            self.commander = Some(panel.to_owned());
            return Ok(());
        }
        if !self.commands(panel) {
            return Err(Refused::new("This panel watches only: take over first."));
        }
        if wish.of != self.step {
            return Err(Refused::new("That touch was for an earlier step, so it did not count."));
        }
        if self.set(&wish.what)? {
            self.keep_bookmark();
            return Ok(());
        }
        if let What::Resume { id } = &wish.what {
            return self.go_on(id);
        }
        let stood = self.lens_in_place();
        self.go(&wish.what, at, new_id)?;
        self.arrive(stood);
        Ok(())
    }

    /// What may be set at any step and can be set twice without harm; whether it was such a thing.
    fn set(&mut self, what: &What) -> Result<bool, Refused> {
        match what {
            What::Missed { letter, missed } => {
                let marked = self.reading.as_mut().is_some_and(|(_, reading)| reading.mark(*letter, *missed));
                if !marked {
                    return Err(Refused::new("No such letter stands on the wall."));
                }
            }
            What::DarkBetween { on } => {
                // What is asked just now stays on the wall; what waits for its lens in the dark goes on waiting, until it
                // need not wait any more.
                if !self.is_covered() {
                    self.lens_in_for = self.number_asked();
                }
                self.dark_between = *on;
                self.show();
            }
            What::Write { notation: name } => self.notation = notation(name)?,
            What::PatientButtons { on } => (self.patient_buttons, self.pressed) = (*on, None),
            What::Aside { form } => self.aside = *form,
            What::Start(_)
            | What::Resume { .. }
            | What::LensIn
            | What::Answer { .. }
            | What::Legible { .. }
            | What::AlsoMidpoint
            | What::Undo
            | What::AfterMinus { .. }
            | What::Larger
            | What::Smaller
            | What::NewLetters
            | What::TakeWhite
            | What::White { .. }
            | What::Choose { .. }
            | What::OneEye
            | What::Cylinder { .. }
            | What::Near(_)
            | What::Apart { .. }
            | What::Compared { .. }
            | What::Leads { .. }
            | What::Framed { .. }
            | What::Binocular { .. }
            | What::Another
            | What::AnotherRoom
            | What::Confirm
            | What::Show { .. }
            | What::TakeOver => return Ok(false),
        }
        Ok(true)
    }

    /// What makes another step.
    fn go(&mut self, what: &What, at: &str, new_id: &str) -> Result<(), Refused> {
        let event = match what {
            What::Start(form) => {
                let place = Place { metered: metered(&self.room, at), ..self.place.clone() };
                let start = form.start(place)?;
                let start = start_in(&self.room, start);
                let start =
                    start.map_err(|error| Refused { what: error.to_string(), field: field_of(&error) })?;
                self.notation = form.notation();
                return self.begin(start, at, new_id);
            }
            What::Cylinder { cylinder } => Event::Again(Box::new(self.rechecked(cylinder)?)),
            What::Near(form) => Event::Near(Box::new(form.near()?)),
            What::Apart { apart } => Event::Apart(*apart),
            What::Leads { eye } => Event::Leads(*eye),
            What::Framed { sphere } => Event::Framed(super::form::framed(sphere)?),
            What::Compared { clearer } => {
                self.wall_ready()?;
                Event::Compared(*clearer)
            }
            What::Another => return self.another(),
            What::LensIn => return self.uncover(),
            What::Larger => return self.other_line(true),
            What::Smaller => return self.other_line(false),
            What::NewLetters => return self.new_letters(),
            What::Show { chart } => return self.show_for_guest(chart.as_ref()),
            What::Answer { answer } => return self.answered(*answer, at),
            What::Legible { answer } => {
                self.looked_at()?;
                Event::Limit(*answer)
            }
            What::AlsoMidpoint => Event::AlsoMidpoint,
            What::Confirm => {
                let pressed = self.pressed;
                return self
                    .answered(pressed.ok_or_else(|| Refused::new("The patient has pressed nothing."))?, at);
            }
            What::TakeWhite => self.read_as(self.score()?)?,
            What::White { score } => self.read_as(typed(score)?)?,
            What::Undo => Event::Undone,
            What::AfterMinus { choice } => Event::AfterMinus(*choice),
            What::Choose { choice } => Event::Chosen(*choice),
            What::OneEye => Event::OneEyeOnly,
            What::Binocular { done } => {
                let Stage::Binocular(step) = self.stage() else { return Err(out_of_turn()) };
                Event::Binocular(step, *done)
            }
            What::Missed { .. }
            | What::DarkBetween { .. }
            | What::Write { .. }
            | What::PatientButtons { .. }
            | What::Aside { .. }
            | What::Resume { .. }
            | What::AnotherRoom
            | What::TakeOver => return Err(out_of_turn()),
        };
        self.happen(event, at)
    }

    /// Goes on with an event, with what the wall showed where the patient looked at it.
    fn happen(&mut self, event: Event, at: &str) -> Result<(), Refused> {
        let shown = self.wall_shows().ok().and_then(|said| said.shown.clone());
        let seen = event.is_seen();
        let recorder = self.recorder.as_mut().ok_or_else(out_of_turn)?;
        recorder
            .happen_before(event, at, shown.filter(|_| seen))
            .map_err(|error| Refused::new(crate::text::shown(&error.to_string())))?;
        self.lens_in_for = None;
        Ok(())
    }

    /// Begins an eye: the first makes a new examination in the record.
    fn begin(&mut self, start: Start, at: &str, new_id: &str) -> Result<(), Refused> {
        if let Some(examination) = self.examination() {
            let asked = !examination.runs_of(start.eye).is_empty();
            let event = if asked { Event::Again } else { Event::Started };
            return self.happen(event(Box::new(start)), at);
        }
        let recorder = Recorder::new(self.record.as_deref(), new_id.to_owned());
        let mut recorder = recorder.map_err(|error| Refused::new(error.to_string()))?;
        recorder
            .happen(Event::Started(Box::new(start)), at)
            .map_err(|error| Refused::new(error.to_string()))?;
        self.recorder = Some(recorder);
        self.guest = None;
        Ok(())
    }

    /// How the eye in hand is asked again with a cylinder that was typed.
    fn rechecked(&self, cylinder: &str) -> Result<Start, Refused> {
        let refused = |what: String| Refused { what: crate::text::shown(&what), field: Some("cylinder") };
        let course = self.course().ok_or_else(out_of_turn)?;
        let cylinder = cylinder_of(cylinder).map_err(|error| refused(error.to_string()))?;
        course.rechecked(cylinder).map_err(|error| refused(error.to_string()))
    }

    /// What was read, as the event of the step at which it is read.
    fn read_as(&self, score: Score) -> Result<Event, Refused> {
        match self.stage() {
            Stage::White => Ok(Event::White(score)),
            Stage::Binocular(BinocularStep::SphereWithBoth | BinocularStep::AcuityWithBoth) => {
                Ok(Event::BothRead(score))
            }
            Stage::Start
            | Stage::Ask(_)
            | Stage::Limit(_)
            | Stage::TooMuchMinus
            | Stage::Choose
            | Stage::OtherEye(_)
            | Stage::Binocular(_)
            | Stage::Closed => Err(out_of_turn()),
        }
    }

    /// Goes on with an examination of the record that was offered, where it stood.
    fn go_on(&mut self, id: &str) -> Result<(), Refused> {
        let has_ended = self.ended.as_ref().is_some_and(|(ended, _)| ended == id);
        self.take_up(if has_ended { Recorder::again } else { Recorder::resume }, id)
    }

    /// Takes up an examination of the record in the way in which it is read.
    fn take_up(&mut self, read: Read, id: &str) -> Result<(), Refused> {
        let record = self.record.as_deref().filter(|_| self.recorder.is_none()).ok_or_else(out_of_turn)?;
        let recorder = read(record, Some(id)).map_err(|error| Refused::new(error.to_string()))?;
        let begun = recorder.kept.examination.courses.first().map(|course| &course.start.place);
        if begun.is_some_and(|begun| !begun.is_the_room_of(&self.place)) {
            return Err(Refused::new("That examination began in another room: go on there."));
        }
        self.recorder = Some(recorder);
        self.guest = None;
        let before = self.open_bookmark();
        self.arrive(before);
        Ok(())
    }

    fn another(&mut self) -> Result<(), Refused> {
        if self.stage() != Stage::Closed {
            return Err(Refused::new("This examination is not at its end."));
        }
        if let (Some(patient), Some(examination)) = (self.stand_in, self.examination()) {
            let eyes: Vec<_> = examination.courses.iter().filter_map(|eye| patient.result(eye)).collect();
            self.practised.extend(eyes);
            self.stand_in = Some(patient.next());
        }
        self.leave();
        Ok(())
    }

    /// Shows what a terminal wants that walks through an examination of its own.
    fn show_for_guest(&mut self, wanted: Option<&Wanted>) -> Result<(), Refused> {
        if self.recorder.is_some() {
            return Err(Refused::new("An examination is in hand here: finish it first."));
        }
        self.guest = match wanted {
            None => None,
            Some(Wanted { line, white, red }) => {
                let line: Acuity = line
                    .parse()
                    .map_err(|error: crate::acuity::AcuityError| Refused::new(error.to_string()))?;
                let fields = if *white { Fields::White } else { Fields::RedGreen };
                let request = (line, fields, *red, self.seed);
                Drawing::new(&self.room, &self.light, self.letters, request)
                    .map_err(|error| Refused::new(error.to_string()))?;
                Some((line, fields, *red))
            }
        };
        self.anew += 1;
        Ok(())
    }

    /// Puts an examination that is at its end out of hand; in the record it stays as it is.
    fn leave(&mut self) {
        let left = self.recorder.take();
        (self.ended, self.page_before) = (None, None);
        // Going through a record takes longer the longer it is, and is not needed where nobody else wrote.
        if !left.is_some_and(|left| self.is_all_that_was_added(&left)) {
            // A record that cannot be read any more says so when the next examination begins.
            drop(self.look_for_open());
        }
    }

    /// Whether nothing else has come into the record since open examinations were looked for; then it is none of them any more.
    fn is_all_that_was_added(&mut self, left: &Recorder) -> bool {
        let length = self.record.as_deref().map_or(0, store::length);
        let is_all = length == self.looked_at + left.added;
        if is_all {
            self.looked_at = length;
            self.open.retain(|(id, _)| *id != left.kept.id);
        }
        is_all
    }

    /// Looks which examinations of the record are open in this room, the newest first.
    fn look_for_open(&mut self) -> Result<(), Box<dyn std::error::Error>> {
        self.open.clear();
        let Some(record) = &self.record else { return Ok(()) };
        // Before it is read: what comes meanwhile is looked for again.
        self.looked_at = store::length(record);
        let records = read_record(record)?;
        let open = records.kept.iter().rev().filter(|kept| kept.is_open() && kept.is_of_today());
        self.open = open.filter_map(|kept| self.offered(kept)).collect();
        Ok(())
    }

    /// An examination by name and in words, where it began in this room.
    fn offered(&self, kept: &Kept) -> Option<(String, String)> {
        let start = &kept.examination.courses.last()?.start;
        let (begun, eye) = (kept.begun(), start.eye.eye());
        let words = format!("{begun}, {eye}, {}", kept.examination.next_in_words());
        start.place.is_the_room_of(&self.place).then(|| (kept.id.clone(), words))
    }

    /// The lens is in: the wall may show the question.
    fn uncover(&mut self) -> Result<(), Refused> {
        let number = self.number_asked().filter(|_| self.is_covered()).ok_or_else(out_of_turn)?;
        self.lens_in_for = Some(number);
        Ok(())
    }

    /// Whether the wall is dark until the lens is in.
    pub(super) fn is_covered(&self) -> bool {
        let number = self.number_asked();
        self.dark_between && number.is_some() && self.lens_in_for != number
    }

    /// Refuses an answer while the wall does not show what was asked.
    fn looked_at(&self) -> Result<(), Refused> {
        self.number_asked().ok_or_else(out_of_turn)?;
        self.wall_ready()
    }

    /// Refuses what was seen while the wall does not show what it should.
    fn wall_ready(&self) -> Result<(), Refused> {
        if self.picture.chart.is_none() {
            return Err(Refused::new("The wall is dark: put the lens in first, and say so."));
        }
        self.wall_shows().map(drop).map_err(|why| Refused::new(format!("Not counted. {why}")))
    }

    /// Notes an answer, where the wall shows what was asked.
    fn answered(&mut self, said: Said, at: &str) -> Result<(), Refused> {
        let question = self.question().ok_or_else(out_of_turn)?;
        self.looked_at()?;
        self.happen(Event::Answered(said.answer(question.red)), at)
    }
}

/// The field of the form that an eye cannot be asked for, where one is to blame.
const fn field_of(error: &StartError) -> Option<&'static str> {
    match error {
        StartError::NoVertex(_) | StartError::Vertex(_) | StartError::GlassesAlone => Some("vertex"),
        StartError::Intended(_) => Some("intended"),
        StartError::Target(..) => Some("lines-above"),
        StartError::Rules(_) | StartError::Words(..) | StartError::Distance(_) => None,
    }
}

fn typed(score: &str) -> Result<Score, Refused> {
    score.parse().map_err(|error: crate::acuity::AcuityError| Refused {
        what: crate::text::shown(&error.to_string()),
        field: Some("acuity"),
    })
}

fn out_of_turn() -> Refused {
    Refused::new("Something else comes next here.")
}

#[cfg(test)]
mod tests;
