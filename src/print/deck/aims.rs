//! What a class can do afterwards, so that it can be asked whether it can.

use super::lesson::{Lesson, target, threshold};
use super::slide::{MARGIN, RIGHT, Slide};
use super::{PRACTICE, Surface};
use crate::eye::CLICK_D;

pub(super) fn slide(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "After this lesson you can balance an eye and say how sure you are");
    let (number, lead, small) = (slide.heading(35.0), slide.lead(), slide.small());
    let mut top = slide.top + 10.0;
    for (index, [aim, checked]) in (1_u8..).zip(aims(lesson)) {
        if index > 1 {
            slide.rule([MARGIN, RIGHT], top);
        }
        let number = (index.to_string(), number.in_paint(slide.palette.balance));
        let bottom = slide.hanging((&number.0, number.1), 80.0, (&aim, lead), ([MARGIN, top + 18.0], 1200.0));
        let beside = slide.paragraph(&checked, small, [MARGIN + 1270.0, top + 24.0], RIGHT - MARGIN - 1270.0);
        top = bottom.max(beside) + 18.0;
    }
    let words = format!("Each aim has its check beside it. {PRACTICE}");
    slide.resting_on(words).saying([
        format!("The line of the second aim: an eye that reads {} is shown {}.", threshold(), target()),
        "Say: these five are checked at the end. Nobody needs to know optics beforehand; whoever can refract can follow.".to_owned(),
        "Ask the class: which of these could you do today, and in which eye did red and green last mislead you?".to_owned(),
        "Often misunderstood: the red-green balance is no refraction. It refines the sphere after sphere and cylinder were found, and it does nothing for the cylinder.".to_owned(),
    ])
}

/// What can be done afterwards, and how it is checked.
fn aims(lesson: &Lesson<'_>) -> [[String; 2]; 5] {
    let distance = lesson.room.viewing.distance;
    [
        [
            format!(
                "… tell from an answer whether the lens is too plus or too minus, and change it by {CLICK_D} D the right way."
            ),
            "Questions 1 to 3".into(),
        ],
        [
            "… choose letters, way of asking and end point for the eye before you, each by its name.".into(),
            format!("An eye reads {}: which line is shown?", threshold()),
        ],
        [
            "… fog an eye that accommodates, and say which of its answers count.".into(),
            "The table of fog, covered, its answers told beforehand".into(),
        ],
        [
            "… notice when answers follow a side, a brighter field or the room’s light, and find the cause."
                .into(),
            "The failure: stop at its first slide, and ask what to do".into(),
        ],
        [
            format!("… turn a lens balanced at {distance} into one for far away, and say how sure it is."),
            "Vergence of your own room, in your head".into(),
        ],
    ]
}
