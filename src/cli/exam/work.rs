//! What is done in the hall: a room is set up, or patients are examined in one.

use std::error::Error;
use std::path::PathBuf;

use serde::Deserialize;
use serde_json::{Value, json};
use time::OffsetDateTime;

use super::super::clock;
use super::message::ToPanel;
use crate::acuity::Notation;
use crate::balance::words::EstimateSaid;
use crate::balance::{Course, Stage, StandIn};
use crate::exam::{
    GaugeSaid, Numbered, Refused, Said, Session, SetUp, Setup, SetupWish, WallSaid, What, Wish, read_record,
};
use crate::optotype::LetterSet;
use crate::room::Room;
use crate::store::plain;
use crate::web::{gauge_page, wall_page};

/// What is done, in one place at a time.
enum Doing {
    SettingUp(Box<Setup>),
    Examining(Box<Session>),
}

/// What is done, who is the wall, and who commands.
pub(super) struct Work {
    doing: Doing,
    letters: LetterSet,
    record: Option<PathBuf>,
    /// Since when an examination goes on in the first room.
    since: Option<String>,
    /// The first simulated patient, where examinations are practised.
    practised: Option<StandIn>,
    wall: Option<u64>,
    commander: Option<String>,
    /// The page that the wall is given.
    wall_page: String,
}

/// What a wall says.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum WallMessage {
    Said(WallSaid),
    Pressed { picture: u64, answer: Said },
}

/// What a wall says while a room is set up.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum GaugeMessage {
    Said(GaugeSaid),
}

/// That a message is none, so that its window is not to be listened to.
pub(super) struct Meaningless;

impl Work {
    /// In a room, or in none yet. What was in hand since a moment goes on, in its own room where none is named.
    pub(super) fn new(
        room: Option<Room>,
        letters: LetterSet,
        record: Option<PathBuf>,
        since: String,
        practised: Option<StandIn>,
    ) -> Result<Self, Box<dyn Error>> {
        if let Some(record) = &record {
            read_record(record)?;
        }
        let setup = set_up_here()?;
        let before = record.as_deref().filter(|_| room.is_none());
        let before = before.and_then(|record| Session::place_before(record, &since));
        let room = room.or_else(|| before.and_then(|before| setup.room_of(&before)));
        let (doing, since) = (Doing::SettingUp(Box::new(setup)), Some(since));
        let mut work = Self {
            doing,
            letters,
            record,
            since,
            practised,
            wall: None,
            commander: None,
            wall_page: gauge_page(),
        };
        if let Some(room) = room {
            work.examine_in(room)?;
        }
        Ok(work)
    }

    /// Why nothing was taken from what lies beside the record, if so.
    pub(super) fn not_read(&self) -> Option<&str> {
        match &self.doing {
            Doing::SettingUp(_) => None,
            Doing::Examining(session) => session.not_read(),
        }
    }

    /// Begins to examine in a room; windows that are open stay, and the wall loads that room's page.
    fn examine_in(&mut self, room: Room) -> Result<(), Box<dyn Error>> {
        let page = wall_page(&room, self.letters)?;
        let mut session = Session::new(room, self.letters, self.record.as_deref(), first_step())?;
        if let Some(first) = self.practised {
            session = session.practised_with(first);
        }
        self.wall.into_iter().for_each(|wall| session.wall_came(wall));
        self.commander.iter().for_each(|panel| session.panel_came(panel));
        if let Some(since) = self.since.take() {
            session.come_back(&since);
        }
        self.wall_page = page;
        self.doing = Doing::Examining(Box::new(session));
        Ok(())
    }

    /// Leaves the room; whoever commanded there goes on commanding.
    fn set_up(&mut self) -> Result<(), Box<dyn Error>> {
        if let Doing::Examining(session) = &self.doing {
            self.commander = session.commander().map(ToOwned::to_owned);
        }
        self.doing = Doing::SettingUp(Box::new(set_up_here()?));
        self.wall_page = gauge_page();
        Ok(())
    }

    /* Windows */

    /// The room, if one was chosen.
    pub(super) fn room(&self) -> Option<&Room> {
        match &self.doing {
            Doing::SettingUp(_) => None,
            Doing::Examining(session) => Some(session.room()),
        }
    }

    /// How acuities are written: as in the examination in hand, else as usual.
    pub(super) fn notation(&self) -> Notation {
        match &self.doing {
            Doing::SettingUp(_) => Notation::Feet,
            Doing::Examining(session) => session.notation(),
        }
    }

    /// The page that the wall is given.
    pub(super) fn wall_page(&self) -> &str {
        &self.wall_page
    }

    /// A window asks to be the wall: the newest is, so that one that hangs can be replaced.
    pub(super) fn wall_came(&mut self, wall: u64) {
        self.wall = Some(wall);
        match &mut self.doing {
            Doing::SettingUp(setup) => setup.wall_left(),
            Doing::Examining(session) => session.wall_came(wall),
        }
    }

    /// A window is gone; whether it was the wall.
    pub(super) fn wall_left(&mut self, wall: u64) -> bool {
        let was = self.wall == Some(wall);
        if was {
            self.wall = None;
            match &mut self.doing {
                Doing::SettingUp(setup) => setup.wall_left(),
                Doing::Examining(session) => drop(session.wall_left(wall)),
            }
        }
        was
    }

    /// A panel opened; the first one commands.
    pub(super) fn panel_came(&mut self, panel: &str) {
        self.commander.get_or_insert_with(|| panel.to_owned());
        if let Doing::Examining(session) = &mut self.doing {
            session.panel_came(panel);
        }
    }

    /// What a wall shows now, whose page has this name.
    pub(super) fn for_wall(&self, wall: u64, page: &str) -> Value {
        if self.wall != Some(wall) {
            return json!({ "replaced": true });
        }
        // A page names itself by what its content policy knows its script by.
        let is_name = page.len() == 8 && page.bytes().all(|byte| byte.is_ascii_hexdigit());
        if !is_name || !self.wall_page.contains(&format!("'nonce-{page}'")) {
            return json!({ "reload": true });
        }
        match &self.doing {
            Doing::SettingUp(setup) => json!({ "gauge": setup.gauge() }),
            Doing::Examining(session) => json!({ "picture": session.picture() }),
        }
    }

    /// The eye of which it is to be worked out where balance lies.
    pub(super) fn to_estimate(&self) -> Option<Course> {
        match &self.doing {
            Doing::SettingUp(_) => None,
            Doing::Examining(session) => session.to_estimate(),
        }
    }

    /// Takes what was worked out.
    pub(super) fn estimated(&mut self, course: Course, said: EstimateSaid) {
        if let Doing::Examining(session) = &mut self.doing {
            session.estimated(course, said);
        }
    }

    /// What a panel shows now.
    pub(super) fn for_panel(&self, panel: &str) -> Value {
        let view = match &self.doing {
            Doing::SettingUp(setup) => setup.for_panel(self.commander.as_deref() == Some(panel)),
            Doing::Examining(session) => session.for_panel(panel),
        };
        ToPanel::Shows { state: Box::new(view) }.message()
    }

    /* Messages */

    /// A window that may be the wall says something; whether that is news.
    pub(super) fn wall_says(&mut self, wall: u64, text: &str) -> Result<bool, Meaningless> {
        match &mut self.doing {
            Doing::SettingUp(setup) => match serde_json::from_str(text) {
                Ok(GaugeMessage::Said(said)) => Ok(self.wall == Some(wall) && setup.wall_said(said)),
                // It may still be the page of an examination.
                Err(_) => serde_json::from_str::<WallMessage>(text).map(|_| false).map_err(|_| Meaningless),
            },
            Doing::Examining(session) => match serde_json::from_str(text) {
                Ok(WallMessage::Said(said)) => Ok(session.wall_said(wall, said)),
                Ok(WallMessage::Pressed { picture, answer }) => {
                    Ok(session.patient_pressed(wall, picture, answer))
                }
                Err(_) => serde_json::from_str::<GaugeMessage>(text).map(|_| false).map_err(|_| Meaningless),
            },
        }
    }

    /// Takes a panel's wish.
    pub(super) fn wish(&mut self, panel: &str, message: &Value) -> Result<(), Refused> {
        let meaningless = |_| Refused { what: "That message means nothing here.".into(), field: None };
        let wish = Wish::deserialize(message);
        match &mut self.doing {
            Doing::SettingUp(_) if wish.is_ok_and(|wish| wish.what == What::TakeOver) => {
                self.commander = Some(panel.to_owned());
                Ok(())
            }
            Doing::SettingUp(_) => {
                let Numbered { of, what } = Numbered::deserialize(message).map_err(meaningless)?;
                self.setup_wish(panel, of, &what)
            }
            Doing::Examining(session) => {
                let wish = Wish::deserialize(message).map_err(meaningless)?;
                if wish.what == What::AnotherRoom {
                    return self.another_room(panel, wish.of);
                }
                let moment = clock::now().and_then(|at| Ok((at, clock::new_id()?)));
                let (at, id) = moment.map_err(|_| refused("This machine’s clock cannot be read."))?;
                session.take(panel, &wish, &at, &id)
            }
        }
    }

    fn setup_wish(&mut self, panel: &str, of: u64, wish: &SetupWish) -> Result<(), Refused> {
        let Doing::SettingUp(setup) = &mut self.doing else { return Ok(()) };
        if self.commander.as_deref() != Some(panel) {
            return Err(refused("This panel watches only: take over first."));
        }
        if let SetUp::Room(room) = setup.take(of, wish)? {
            self.examine_in(*room).map_err(|error| Refused { what: error.to_string(), field: None })?;
        }
        Ok(())
    }

    /// Leaves a room in which no examination is in hand.
    fn another_room(&mut self, panel: &str, of: u64) -> Result<(), Refused> {
        let Doing::Examining(session) = &self.doing else { return Ok(()) };
        if !session.commands(panel) || session.step() != of {
            return Err(refused("That touch was for an earlier step, or this panel only watches."));
        }
        if !matches!(session.stage(), Stage::Start | Stage::Closed) {
            return Err(refused("Finish this examination first."));
        }
        self.set_up().map_err(|error| Refused { what: error.to_string(), field: None })
    }
}

/// A room is set up in the folder that the program was begun in.
fn set_up_here() -> Result<Setup, String> {
    let here = std::env::current_dir().map_err(|error| {
        format!("this folder cannot be used ({}): go to one that is there and begin again", plain(&error))
    })?;
    Ok(Setup::new(here, first_step()))
}

pub(super) fn refused(what: &str) -> Refused {
    Refused { what: what.into(), field: None }
}

/// The number of the first step: it goes on growing from one run to the next, by this machine's clock.
fn first_step() -> u64 {
    u64::try_from(OffsetDateTime::now_utc().unix_timestamp_nanos() / 1_000_000).unwrap_or(0)
}
