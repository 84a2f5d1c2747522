//! A room set up from the panel, without an instrument: a bank card held to the wall, a tape, and the eye.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use super::form::typed;
use super::refused::Refused;
use super::view::{ChoiceView, FieldChoice, FieldView, Look, PanelView, WallStatus};
use crate::balance::Place;
use crate::chart::{FieldLight, LAST_STEP, MIDDLE_STEP, matched_by_eye};
use crate::light::Basis;
use crate::quantity::Length;
use crate::report::{RoomReport, place};
use crate::room::{Room, RoomFile, ScreenTable, ViewingTable};
use crate::scene::CARD_MM;
use crate::store::Target;
use crate::text::{self, MOST_OF_A_NAME};

/// How well a card can be held to an outline, as a standard uncertainty in millimetres: an outline is a pixel wide, and the
/// standard lets a card differ by 0.13 mm. This project's own decision.
const CARD_WITHIN_MM: f64 = 0.25;

/// The outline that a card is first held to, in device pixels: a card on a screen of 96 pixels an inch.
const FIRST_CARD_PX: u32 = 324;

/// How narrow and how wide an outline may become, in device pixels.
const CARD_PX: std::ops::RangeInclusive<u32> = 100..=4000;

/// By how many device pixels an outline is widened or narrowed at a touch.
const CARD_STEPS_PX: [i64; 3] = [1, 10, 50];

/// What the wall shows while a room is set up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Gauge {
    /// Its number; larger ones come later.
    pub number: u64,
    /// The outline of a bank card, its width and height and the radius of its corners in device pixels.
    pub card: Option<[u32; 3]>,
    /// The match strip: the codes of its red, and the green codes from step 1.
    pub strip: Option<(u8, Vec<u8>)>,
    /// Whether the strip is looked at in a mirror, which turns it round.
    pub mirror: bool,
    /// One line for who stands before the wall.
    pub words: &'static str,
}

/// What the wall says of its screen while a room is set up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GaugeSaid {
    /// The number of what it shows.
    pub number: u64,
    /// Its device pixels, across and down.
    pub pixels: [u32; 2],
    /// Whether it fills the screen.
    pub whole: bool,
}

/// What a panel wishes for while a room is set up.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum SetupWish {
    /// A room whose file is there, or the built-in demo room.
    Use {
        /// The file's name; empty for the demo room.
        file: String,
    },
    /// A new room.
    NewRoom,
    /// The outline has this width.
    Card {
        /// In device pixels.
        px: u32,
    },
    /// The card fits.
    CardFits,
    /// How far the eye is, and whether the light goes over a mirror.
    Distance {
        /// Such as 3.2m.
        distance: String,
        /// `yes` or `no`.
        mirror: String,
    },
    /// The step of the strip with the faintest border.
    Match {
        /// From 1.
        step: u8,
    },
    /// The match is taken as it is.
    MatchDone,
    /// The room is kept.
    Keep {
        /// What the practice calls it.
        name: String,
        /// The file's name.
        file: String,
    },
    /// One part back.
    #[serde(rename = "undo")]
    Back,
}

/// What came of a wish.
#[derive(Debug)]
pub enum SetUp {
    /// The set-up goes on.
    GoesOn,
    /// A room was chosen, or made.
    Room(Box<Room>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Choose,
    Card,
    Distance,
    Match,
    Keep,
}

/// A room that is being set up, in a folder of room files.
#[derive(Debug, Clone)]
pub struct Setup {
    folder: PathBuf,
    part: Part,
    step: u64,
    gauge: u64,
    card_px: u32,
    screen: Option<GaugeSaid>,
    file: Option<RoomFile>,
    /// The step of the strip that was taken last, whose place a new strip has.
    taken: Option<u8>,
}

impl Setup {
    /// Begins in a folder, with the number of the first step.
    #[must_use]
    pub fn new(folder: PathBuf, first: u64) -> Self {
        Self {
            folder,
            part: Part::Choose,
            step: first,
            gauge: first,
            card_px: FIRST_CARD_PX,
            screen: None,
            file: None,
            taken: None,
        }
    }

    /// The number of the step.
    #[must_use]
    pub const fn step(&self) -> u64 {
        self.step
    }

    /// What the wall is to show.
    #[must_use]
    pub fn gauge(&self) -> Gauge {
        let card = (self.part == Part::Card).then(|| {
            let tall = |mm: f64| -> u32 {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most 4000")]
                let px = (f64::from(self.card_px) * mm / CARD_MM[0]).round() as u32;
                px
            };
            [self.card_px, tall(CARD_MM[1]), tall(CARD_CORNER_MM)]
        });
        let strip = (self.part == Part::Match).then(|| self.strip()).flatten();
        let words = match self.part {
            Part::Card => "Hold a bank card here. The panel makes the outline as wide as the card.",
            Part::Match => {
                "Sit where the patient sits. On which step is the border of red and green hardest to see?"
            }
            Part::Choose | Part::Distance | Part::Keep => "",
        };
        let mirror = self.file.as_ref().is_some_and(|file| file.viewing.mirror);
        Gauge { number: self.gauge, card, strip, mirror, words }
    }

    /// The strip of the room as far as it is known: nine greens around the one that is taken for equal now.
    fn strip(&self) -> Option<(u8, Vec<u8>)> {
        let room = self.room().ok()?;
        let light = FieldLight::new(&room.display, None).ok()?;
        Some((light.red.codes[0], light.match_steps()))
    }

    /// The wall says what screen it stands on; whether that was news.
    pub fn wall_said(&mut self, said: GaugeSaid) -> bool {
        let before = self.screen.replace(said);
        before != self.screen
    }

    /// The wall is gone.
    pub const fn wall_left(&mut self) {
        self.screen = None;
    }

    /// Takes a wish that answers a step.
    ///
    /// # Errors
    /// Says why nothing was changed.
    pub fn take(&mut self, of: u64, wish: &SetupWish) -> Result<SetUp, Refused> {
        if let SetupWish::Card { px } = wish {
            return self.widen(*px);
        }
        if of != self.step {
            return Err(Refused::new("That touch was for an earlier step, so it did not count."));
        }
        let set = self.go(wish)?;
        self.step += 1;
        self.gauge += 1;
        Ok(set)
    }

    /// The same outline twice is one outline, so it needs no step of its own.
    fn widen(&mut self, px: u32) -> Result<SetUp, Refused> {
        if self.part != Part::Card || !CARD_PX.contains(&px) {
            return Err(Refused::new("The outline can be no narrower and no wider."));
        }
        self.card_px = px;
        self.gauge += 1;
        Ok(SetUp::GoesOn)
    }

    fn go(&mut self, wish: &SetupWish) -> Result<SetUp, Refused> {
        match (self.part, wish) {
            (Part::Choose, SetupWish::Use { file }) => return self.chosen(file),
            (Part::Choose, SetupWish::NewRoom) => self.part = Part::Card,
            (Part::Card, SetupWish::CardFits) => self.card_fits()?,
            (Part::Distance, SetupWish::Distance { distance, mirror }) => self.distance(distance, mirror)?,
            (Part::Match, SetupWish::Match { step }) => self.matched(*step)?,
            (Part::Match, SetupWish::MatchDone) => self.part = Part::Keep,
            (Part::Keep, SetupWish::Keep { name, file }) => return self.keep(name, file),
            (part, SetupWish::Back) => {
                self.part = match part {
                    Part::Choose | Part::Card => Part::Choose,
                    Part::Distance => Part::Card,
                    Part::Match => Part::Distance,
                    Part::Keep => Part::Match,
                }
            }
            _ => return Err(Refused::new("Something else comes next here.")),
        }
        Ok(SetUp::GoesOn)
    }

    /* A room that is there */

    /// The room files of the folder, by name.
    #[must_use]
    pub fn rooms(&self) -> Vec<(String, Room)> {
        let entries = std::fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
        let mut names: Vec<String> = names.filter(|name| name.ends_with(".toml")).take(MOST_FILES).collect();
        names.sort();
        let room = |name: String| Room::read(&self.folder.join(&name)).ok().map(|room| (name, room));
        names.into_iter().filter_map(room).collect()
    }

    /// The room of a place, as far as the folder or the demo has it.
    #[must_use]
    pub fn room_of(&self, wanted: &Place) -> Option<Room> {
        let mut rooms = self.rooms().into_iter().map(|(_, room)| room).chain([Room::demo()]);
        rooms.find(|room| place(room).is_ok_and(|place| place.is_the_room_of(wanted)))
    }

    fn chosen(&self, file: &str) -> Result<SetUp, Refused> {
        if file.is_empty() {
            return Ok(SetUp::Room(Box::new(Room::demo())));
        }
        // Only what was offered can be chosen, so a name leads nowhere else.
        let found = self.rooms().into_iter().find(|(name, _)| name == file);
        let (_, room) = found.ok_or_else(|| Refused::new("That room file is not here any more."))?;
        Ok(SetUp::Room(Box::new(room)))
    }

    /* A new room */

    /// Takes the outline for the card: its width in pixels gives the size of one, its height is not used, since pixels are
    /// square within 1 %.
    fn card_fits(&mut self) -> Result<(), Refused> {
        let screen = self.screen.ok_or_else(|| Refused::new(NO_WALL))?;
        if !screen.whole {
            return Err(Refused::new("The wall is not full screen: click on it once."));
        }
        let pitch = CARD_MM[0] / f64::from(self.card_px);
        let percent = 100.0 * CARD_WITHIN_MM / CARD_MM[0];
        let screen = ScreenTable {
            pixels: screen.pixels,
            size_mm: None,
            diagonal_in: None,
            pitch_mm: Some(rounded(pitch, 1e5)),
            size_percent: Some(rounded(percent, 10.0)),
            size_claimed: false,
            profile: None,
        };
        let viewing = self
            .file
            .take()
            .map_or(ViewingTable { distance_mm: USUAL_MM, mirror: false }, |file| file.viewing);
        let file = RoomFile {
            name: None,
            viewing,
            screen,
            luminance: None,
            tone: None,
            primaries: None,
            ambient: None,
            field_match: None,
        };
        checked(&file)?;
        self.file = Some(file);
        self.part = Part::Distance;
        Ok(())
    }

    /// Takes the way of the light; both ways of a mirrored room are one length.
    fn distance(&mut self, distance: &str, mirror: &str) -> Result<(), Refused> {
        let wrong = |what: String| Refused { what, field: Some("distance") };
        let length: Length =
            distance.parse().map_err(|error: crate::quantity::LengthError| wrong(error.to_string()))?;
        let mirror = match mirror {
            "yes" => true,
            "no" => false,
            _ => {
                let what = "this is still open: choose whether the patient looks into a mirror".into();
                return Err(Refused { what, field: Some("mirror") });
            }
        };
        let mut file = self.file.clone().ok_or_else(|| Refused::new("The card comes first."))?;
        file.viewing = ViewingTable { distance_mm: rounded(length.to_mm(), 1e3), mirror };
        checked(&file).map_err(|refused| wrong(refused.what))?;
        self.file = Some(file);
        self.taken = None;
        self.part = Part::Match;
        Ok(())
    }

    /// Takes the step with the faintest border. Any but the middle one makes another strip around it, as `room set` does.
    fn matched(&mut self, step: u8) -> Result<(), Refused> {
        let file = self.file.clone().filter(|_| (1..=LAST_STEP).contains(&step));
        let file = file.ok_or_else(|| Refused::new("No such step stands on the wall."))?;
        if step == MIDDLE_STEP && file.luminance.is_some() {
            self.part = Part::Keep;
            return Ok(());
        }
        let file = matched_by_eye(file, None, Some(step)).map_err(|error| Refused::new(error.to_string()))?;
        checked(&file)?;
        self.file = Some(file);
        self.taken = Some(step);
        if step == MIDDLE_STEP {
            self.part = Part::Keep;
        }
        Ok(())
    }

    /// How a match is found, and that a step was taken, since the steps of the next strip look much like those before.
    fn match_said(&self) -> Vec<String> {
        let taken = self.taken.map(|step| {
            format!("Step {step} was taken, and the steps on the wall are new: the middle one is yours. Choose again.")
        });
        taken.into_iter().chain(MATCH.map(Into::into)).collect()
    }

    /// Writes the file, once and never over another, beside the other rooms.
    fn keep(&mut self, name: &str, file: &str) -> Result<SetUp, Refused> {
        let [name, file] = [name, file].map(str::trim);
        text::line(name, MOST_OF_A_NAME)
            .map_err(|error| Refused { what: format!("the name {error}"), field: Some("name") })?;
        let wrong = |what: String| Refused { what, field: Some("file") };
        let is_plain = |sign: char| sign.is_alphanumeric() || " -_.".contains(sign);
        if !file.ends_with(".toml") || file.starts_with('.') || !file.chars().all(is_plain) {
            return Err(wrong(
                "write a name of letters and digits that ends in .toml, such as room-1.toml".into(),
            ));
        }
        let table = self.file.clone().ok_or_else(|| Refused::new("The card comes first."))?;
        let table = RoomFile { name: Some(name.into()), ..table };
        let room = checked(&table)?;
        let text = table.to_new_text().map_err(|error| Refused::new(error.to_string()))?;
        let path = self.folder.join(file);
        let target = Target::new(&path, false);
        let written = target.and_then(|target| target.write(text.as_bytes()));
        written.map_err(|error| wrong(text::shown(&error.to_string())))?;
        Ok(SetUp::Room(Box::new(room)))
    }

    fn room(&self) -> Result<Room, Refused> {
        self.file.as_ref().ok_or_else(|| Refused::new("The card comes first.")).and_then(checked)
    }

    /* What the panel shows */

    /// What a panel shows now; `commands` says whether it is the one that is obeyed.
    #[must_use]
    pub fn for_panel(&self, commands: bool) -> PanelView {
        let base = PanelView {
            step: self.step,
            commands,
            wall: self.wall(),
            choices: self.choices(),
            form: self.form(),
            undo: (self.part != Part::Choose).then(|| "Back".into()),
            ..PanelView::default()
        };
        let with = |stage, head: &str, said: Vec<String>| PanelView {
            stage,
            head: head.into(),
            said,
            ..base.clone()
        };
        match self.part {
            Part::Choose => with("choose-room", "Which room?", vec![CHOOSE.into()]),
            Part::Card => with("card", "A bank card, held to the wall", self.card_said()),
            Part::Distance => PanelView {
                form_wish: ("distance", "Go on"),
                picture: Some(HOW_TO_MEASURE.into()),
                ..with("distance", "From the eye to the screen", DISTANCE.map(Into::into).into())
            },
            Part::Match => with("match", "Where is the border faintest?", self.match_said()),
            Part::Keep => PanelView {
                form_wish: ("keep", "Keep this room"),
                ..with("keep-room", "What this room can show", self.report())
            },
        }
    }

    fn wall(&self) -> WallStatus {
        let needed = matches!(self.part, Part::Card | Part::Match);
        let words = match self.screen {
            None => NO_WALL.into(),
            Some(screen) if !screen.whole => "The wall is not full screen: click on it once.".into(),
            Some(GaugeSaid { pixels: [columns, rows], .. }) => {
                format!("The wall has {columns} × {rows} pixels.")
            }
        };
        let ready = !needed || self.screen.is_some_and(|screen| screen.whole);
        WallStatus { ready, words, ..WallStatus::default() }
    }

    fn card_said(&self) -> Vec<String> {
        let pitch = CARD_MM[0] / f64::from(self.card_px);
        vec![
            "Make the outline on the wall as wide as the card, edge to edge.".into(),
            format!(
                "It has {} pixels now, so a pixel is {pitch:.4} mm, to {:.1} %.",
                self.card_px,
                100.0 * CARD_WITHIN_MM / CARD_MM[0]
            ),
        ]
    }

    /// What the room can show, in the words of `room report`, with what to mend.
    fn report(&self) -> Vec<String> {
        let Ok(room) = self.room() else { return Vec::new() };
        let Ok(spectra) = room.primaries.spectra() else { return Vec::new() };
        let report = RoomReport::new(&room, &spectra);
        let warnings = report.warnings.iter().map(|warning| format!("{} {}", warning.what, warning.remedy));
        std::iter::once(report.verdict.to_string()).chain(warnings).collect()
    }

    fn choices(&self) -> Vec<ChoiceView> {
        match self.part {
            Part::Choose => self.offered(),
            Part::Card => self.outlines(),
            Part::Distance | Part::Keep => Vec::new(),
            Part::Match => {
                let step = |step: u8| {
                    let step = ChoiceView::new("match", Some(("step", step.into())), &step.to_string(), "");
                    step.looks(Look::Small)
                };
                let done =
                    ChoiceView::new("match-done", None, "leave the match as it is", "it is then assumed");
                (1..=LAST_STEP).map(step).chain([done]).collect()
            }
        }
    }

    /// The rooms whose files lie in the folder, then how to make one, then the demo room.
    fn offered(&self) -> Vec<ChoiceView> {
        let room = |(file, room): (String, Room)| {
            let distance = room.viewing.distance;
            let name = room.name().unwrap_or("a room without a name").to_owned();
            ChoiceView::new(
                "use",
                Some(("file", file.as_str().into())),
                &name,
                &format!("{file}, {distance}"),
            )
        };
        let new = ChoiceView::new("new-room", None, "set up another room", "with a bank card and a tape")
            .looks(Look::Next);
        let demo =
            ChoiceView::new("use", Some(("file", "".into())), "the demo room", "whose numbers are invented");
        self.rooms().into_iter().map(room).chain([new, demo]).collect()
    }

    /// The widths that one touch leads to. Each carries the width itself, so that a touch that comes twice widens once.
    fn outlines(&self) -> Vec<ChoiceView> {
        let px = |by: i64| {
            let px = i64::from(self.card_px) + by;
            u32::try_from(px).unwrap_or(0).clamp(*CARD_PX.start(), *CARD_PX.end())
        };
        let outline = |by: i64| {
            let word = if by > 0 { "wider" } else { "narrower" };
            ChoiceView::new("card", Some(("px", px(by).into())), &format!("{word} by\u{a0}{}", by.abs()), "")
                .looks(Look::Small)
        };
        let steps = CARD_STEPS_PX.iter().flat_map(|step| [outline(-step), outline(*step)]);
        steps.chain([ChoiceView::new("card-fits", None, "the card fits", "").looks(Look::Next)]).collect()
    }

    fn form(&self) -> Vec<FieldView> {
        let file = self.file.as_ref();
        match self.part {
            Part::Distance => {
                let yes_or_no = ["no", "yes"].map(|value| FieldChoice { value, words: value, how: "" });
                vec![
                    typed("distance", "From the eye to the screen", "3.2m or 10ft", String::new()),
                    FieldView {
                        choices: yes_or_no.into(),
                        ..typed(
                            "mirror",
                            "Does the patient look into a mirror?",
                            "",
                            file.map_or("", |file| if file.viewing.mirror { "yes" } else { "no" }).into(),
                        )
                    },
                ]
            }
            Part::Keep => vec![
                typed("name", "What you call the room", "room 1", String::new()),
                typed("file", "The file that keeps it", "room-1.toml", "room.toml".into()),
            ],
            Part::Choose | Part::Card | Part::Match => Vec::new(),
        }
    }
}

/// Maximum number of files of a folder that are looked at.
const MOST_FILES: usize = 100;

/// The radius of a bank card's corners in millimetres, which may be 2.88 to 3.48: ISO/IEC 7810, ID-1.
const CARD_CORNER_MM: f64 = 3.18;

/// Stands in until a distance is given.
const USUAL_MM: f64 = 3000.0;

const NO_WALL: &str = "No wall is open: open it on the patient’s screen.";

const CHOOSE: &str = "A room is one screen at one distance. Everything that is shown is made for it.";

const DISTANCE: [&str; 2] = [
    "Measure with a tape from the patient’s eye to the screen, along the light.",
    "With a mirror: from the eye to the mirror, then from the mirror to the screen, and add both.",
];

const MATCH: [&str; 3] = [
    "Look at the steps on the wall from the patient’s chair, in the dark, with an eye of ordinary colour vision.",
    "On the best step red and green are equally bright, and the border between them is hardest to see.",
    "When step 5 is the faintest, the match is found.",
];

/// How a distance is measured, straight and through a mirror.
const HOW_TO_MEASURE: &str = include_str!("distance.svg");

fn checked(file: &RoomFile) -> Result<Room, Refused> {
    Room::from_file(file.clone(), Basis::Measured).map_err(|error| Refused::new(error.to_string()))
}

/// To a whole part of a unit.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

#[cfg(test)]
mod tests;
