//! The demo room's slides, made once for all tests.

use std::sync::OnceLock;

use evenfield::print::{Deck, Lesson, Surface};
use evenfield::room::Room;

/// What the demo room is called on its slides.
pub(crate) const NAME: &str = "Quillhaven practice, room 2 (made up)";

/// The slides for a surface.
pub(crate) fn deck(surface: Surface) -> &'static Deck {
    static DECKS: [OnceLock<Deck>; 2] = [OnceLock::new(), OnceLock::new()];
    let place = usize::from(surface == Surface::Printed);
    DECKS[place].get_or_init(|| {
        let room = Room::demo();
        Deck::new(&Lesson::new(&room, NAME).unwrap(), surface, || {}).unwrap()
    })
}
