//! The examiner's panel: what stands on its controls. All else that it shows comes as a
//! [`PanelView`](crate::exam::PanelView).

use std::collections::BTreeMap;

use serde::Serialize;

use super::Frame;
use super::page::Page;
use crate::acuity::{Acuity, Notation};
use crate::balance::keys::Desk;

/// The modules of its script, each after those that it imports from.
const MODULES: [&str; 11] = [
    include_str!("calm.js"),
    include_str!("page.js"),
    include_str!("socket.js"),
    include_str!("panel/table.js"),
    include_str!("panel/wishes.js"),
    include_str!("panel/touch.js"),
    include_str!("panel/form.js"),
    include_str!("panel/light.js"),
    include_str!("panel/windows.js"),
    include_str!("panel/show.js"),
    include_str!("panel.js"),
];

/// How bright the panel can be, in per cent of its colours; each step is a fifth less light to the eye. This project's own
/// decision.
const LIGHTS: [u8; 7] = [100, 80, 64, 51, 41, 33, 26];

/// For how long a wish may go without an answer before another may be sent. This project's own decision: on one machine or
/// in one house an answer takes some hundredths of a second.
const WAIT_MS: u16 = 3000;

/// What stands on controls and over lists, by the names that template and script know it by.
const WORDS: [(&str, &str); 41] = [
    ("lens", "The lens to set"),
    ("answers", "What the patient says"),
    ("choose", "What to choose"),
    ("lensIn", "The lens is in"),
    ("confirm", "Count it"),
    ("missed", "Touch each letter that was missed"),
    ("larger", "Larger letters"),
    ("smaller", "Smaller letters"),
    ("newLetters", "New letters"),
    ("lineOnWall", "On the wall"),
    ("readSoFar", "As marked"),
    ("readBefore", "Before"),
    ("takeScore", "Take this score"),
    ("typeInstead", "Type it instead"),
    ("typedAcuity", "Acuity on white, such as 20/25-2"),
    ("takeTyped", "Take what is typed"),
    ("more", "More, which most eyes do without"),
    ("suchAs", "such as"),
    ("record", "The record of this examination"),
    ("watches", "This panel watches."),
    ("takeOver", "Take over"),
    ("dimmer", "Dimmer"),
    ("brighter", "Brighter"),
    ("options", "Options"),
    ("keys", "Keys"),
    ("home", "Home"),
    ("close", "Close"),
    ("darkBetween", "The wall is dark between questions"),
    ("patientButtons", "The patient has buttons too"),
    ("notation", "Acuities are written like"),
    ("letIn", "Let another window in"),
    ("addressThere", "Open this address there:"),
    ("codeThere", "Then type this code, which serves once:"),
    ("openWall", "Open the wall in another window"),
    ("openSecond", "Open the wall on the other screen"),
    ("atHand", "What to touch next"),
    ("keepInMind", "Keep in mind"),
    ("answersSoFar", "Answers so far"),
    ("about", "This examination"),
    ("sleepy", "Its screen may fall asleep: switch its screen saver off."),
    ("onItsWay", "Not counted: the touch before is still on its way."),
];

/// What is said while there is no line to the program.
const LOST: (&str, &str) =
    ("lost", "No line to the program: it is opened again by itself, and no touch counts until then.");

/// What the script is handed.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Panel {
    page: Page,
    words: BTreeMap<&'static str, &'static str>,
    notations: Vec<(&'static str, String)>,
    lights: [u8; 7],
    wait_ms: u16,
}

/// The panel as one self-contained page, which asks its own server for everything that changes.
#[must_use]
pub fn panel_page() -> String {
    let example = |notation: Notation| (notation.name(), Acuity::standard(1).in_notation(notation));
    let table = Panel {
        page: Page::new(Desk::Panel),
        words: WORDS.into_iter().chain([LOST]).collect(),
        notations: Notation::ALL.map(example).into(),
        lights: LIGHTS,
        wait_ms: WAIT_MS,
    };
    let frame = Frame {
        title: "Panel",
        allows: "connect-src 'self'; img-src data:; ",
        body: include_str!("panel.html"),
        places: &[],
        style: include_str!("panel.css"),
        modules: &MODULES,
    };
    frame.html(&table)
}

#[cfg(test)]
mod tests {
    use super::{LOST, MODULES, WORDS};
    use crate::web::script::tests::can_be_joined;

    #[test]
    fn its_modules_can_be_joined() {
        can_be_joined(&MODULES);
    }

    /// The names that follow a text wherever it stands in another.
    fn named<'a>(text: &'a str, before: &'a str) -> impl Iterator<Item = &'a str> {
        let name = |rest: &'a str| rest.split(|letter: char| !letter.is_alphanumeric()).next().unwrap();
        text.split(before).skip(1).map(name)
    }

    #[test]
    fn what_the_template_wants_to_say_has_words_and_all_words_are_said() {
        let (template, script) = (include_str!("panel.html"), MODULES.concat());
        let all = || WORDS.into_iter().chain([LOST]).map(|(name, _)| name);
        for name in named(template, "data-words=\"").chain(named(&script, "panel.words.")) {
            assert!(all().any(|one| one == name), "{name} has no words");
        }
        for name in all() {
            let is_said = [template, &script].iter().any(|text| {
                named(text, "data-words=\"").any(|one| one == name)
                    || text.split(|letter: char| !letter.is_alphanumeric()).any(|word| word == name)
            });
            assert!(is_said, "{name} is never said");
        }
    }
}
