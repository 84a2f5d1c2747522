//! One examination while it happens: what the patient's screen, the wall, shows at each step, what the examiner's panel
//! shows, and what follows from a wish of the panel or a word of the wall.
//!
//! A [`Session`] decides everything and knows no socket, no clock and no chance: moments, names and seeds are handed to it.
//! It writes through a [`Recorder`], so that an event is on disk before it counts. Every [`Wish`] carries the number of
//! the step that it answers, and one that answers another step changes nothing. An answer counts only while the wall says
//! that it shows what the step asks for. A [`Door`] says which windows may come in.

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
pub use form::StartForm;
pub use picture::{Drawing, FieldPlace, LetterPlace, Picture};
pub use reading::Reading;
pub use recorder::{Recorder, read_record};
pub use refused::Refused;
pub use said::Said;
pub use session::{Session, SessionError};
pub use setup::{Gauge, GaugeSaid, SetUp, Setup, SetupMessage, SetupWish};
pub use view::{
    AnswerButton, AskView, ChoiceView, EarlierView, FieldChoice, FieldView, LensView, Look, PanelView,
    ReadLetter, WallStatus, WhiteView,
};
pub use wish::{WallSaid, Wanted, What, Wish};
