//! One examination while it happens: what the patient's screen, the wall, shows at each step, what the examiner's panel
//! shows, and what follows from a wish of the panel or a word of the wall.
//!
//! A [`Session`] decides everything and knows no socket, no clock and no chance: moments, names and seeds are handed to it.
//! It writes through a [`Recorder`], so that an event is on disk before it counts. Every [`Wish`] carries the number of
//! the step that it answers, and one that answers another step changes nothing. An answer counts only while the wall says
//! that it shows what the step asks for. A [`Door`] says which windows may come in.
//!
//! # The life of a step
//!
//! 1. [`Session::take`] takes a wish that carries the number of the step, writes its event, and counts the step on.
//! 2. What the new step asks for becomes a [`Picture`] with a number of its own: a line, its letters, the fields' places and
//!    codes, worked out here to the pixel.
//! 3. The wall draws it at its calm pace, reads its own pixels back, and says so ([`WallSaid`]).
//! 4. Only while that is the picture of the step, whole and on the room's own screen, does an answer count; the record's
//!    line keeps what the wall said.
//!
//! What stands between two events, such as the options and letters that were marked, is kept in a bookmark beside the record,
//! so that a program that is killed at any moment begins again where it stood.
//!
//! A room is set up by the same two windows ([`Setup`]), from a card, a tape and the eye.
//!
//! It will not choose a lens, and it stores no identity.

mod bookmark;
mod door;
mod form;
mod panel;
mod picture;
mod reading;
mod recorder;
mod refused;
mod said;
mod session;
mod setup;
mod view;
mod wish;

pub use door::{Door, DoorError, Pass, Role, in_groups};
pub use form::{NearForm, StartForm};
pub use picture::{Drawing, FieldPlace, LetterPlace, Picture};
pub use reading::Reading;
pub use recorder::{Recorder, read_record};
pub use refused::Refused;
pub use said::Said;
pub use session::{Session, SessionError};
pub use setup::{Gauge, GaugeSaid, SetUp, Setup, SetupWish};
pub use view::{
    AnswerButton, AskView, ChoiceView, EarlierView, FieldChoice, FieldView, LensView, Look, PanelView,
    ReadLetter, WallStatus, WhiteView,
};
pub use wish::{AsideForm, Numbered, WallSaid, Wanted, What, Wish};
