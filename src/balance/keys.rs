//! Every key of the terminal, of the room's page, of the page to practise on and of the panel, in one table: a key means the
//! same wherever it means anything, and no key with which a patient's answer is noted changes a chart elsewhere. Only the
//! buttons of a presenter's remote do, which has no others: on the panel they note, on the room's page they turn lines.

use serde::Serialize;

/// Fields, sides, pictures and the dark change at most once in this time, and an answer counts only when it has passed since
/// the one before. This project's own decision: WCAG 2.3.1 allows three flashes in a second and asks for far less of
/// saturated red; a held key repeats faster, and nobody answers as fast.
pub const CALM_MS: u16 = 700;

/// Where keys are pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Desk {
    /// The balance in a terminal.
    Balance,
    /// The room's page, which shows the chart.
    Page,
    /// The page to practise on.
    Practice,
    /// The examiner's panel of an examination.
    Panel,
}

/// What a key does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Act {
    /// The patient points to the left side.
    PointsLeft,
    /// The patient points to the right side.
    PointsRight,
    /// The patient sees no difference.
    Same,
    /// The patient cannot tell.
    CannotTell,
    /// The button between the two of a presenter's remote: the patient sees no difference.
    RemoteMiddle,
    /// The patient names red.
    NamesRed,
    /// The patient names green.
    NamesGreen,
    /// The last entry is taken back.
    TakeBack,
    /// Red and green change sides.
    SwapSides,
    /// Other letters of the same size.
    NewLetters,
    /// Larger letters.
    Larger,
    /// Smaller letters.
    Smaller,
    /// A remote's step back: a larger line, the patient before, the left side.
    Before,
    /// A remote's step on: a smaller line, the next patient, the right side.
    Next,
    /// What has this number on the screen.
    Numbered,
    /// What is offered, or what was typed, is taken.
    Take,
    /// One step more: plus, a wider outline, a brighter panel.
    More,
    /// One step less: minus, a narrower outline, a dimmer panel.
    Less,
    /// The target line.
    Target,
    /// The smallest line read, a line smaller.
    ThresholdSmaller,
    /// The smallest line read, a line larger.
    ThresholdLarger,
    /// One letter alone, then the next one.
    OneLetter,
    /// The whole line again.
    WholeLine,
    /// Dark, and back.
    Dark,
    /// The examiner's strip.
    Strip,
    /// The strip as it is read in a mirror.
    TurnStrip,
    /// Full screen.
    FullScreen,
    /// Plain pictures to hold a meter to.
    Patches,
    /// The screen is measured with a bank card.
    Card,
    /// Plus blurs the eye before the next question.
    Fog,
    /// What the patient sees.
    View,
    /// What the procedure would do.
    Hint,
    /// This lens stays in.
    Done,
    /// Nothing was decided.
    Undecided,
    /// The fields are unequal.
    Unequal,
    /// The same patient again.
    Again,
    /// The list of keys.
    Help,
    /// Leave, or stop.
    Leave,
}

/// One or more keys with one meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key {
    /// What the keys do.
    pub act: Act,
    /// How they are written on a screen.
    pub shown: &'static str,
    /// Their names by W3C's recommendation UI Events, key values; letters count in either case.
    pub names: &'static [&'static str],
    /// Where they mean anything, and what is said of them there.
    pub at: &'static [(Desk, &'static str)],
}

use Desk::{Balance, Page, Panel, Practice};

/// All of them, in the order in which lists show them.
pub const KEYS: &[Key] = &[
    key(
        Act::PointsLeft,
        "←",
        &["ArrowLeft"],
        &[(Balance, "the patient points left"), (Panel, "the patient points left")],
    ),
    key(
        Act::PointsRight,
        "→",
        &["ArrowRight"],
        &[(Balance, "the patient points right"), (Panel, "the patient points right")],
    ),
    key(Act::Same, "↓", &["ArrowDown"], &[(Balance, "no difference"), (Panel, "no difference")]),
    key(Act::CannotTell, "↑", &["ArrowUp"], &[(Balance, "cannot compare"), (Panel, "cannot compare")]),
    key(Act::NamesRed, "r", &["r"], &[(Balance, "the patient says red"), (Panel, "the patient says red")]),
    key(
        Act::NamesGreen,
        "g",
        &["g"],
        &[(Balance, "the patient says green"), (Panel, "the patient says green")],
    ),
    key(
        Act::TakeBack,
        "backspace",
        &["Backspace"],
        &[(Balance, "take back the last entry"), (Panel, "take back the last entry")],
    ),
    key(
        Act::Next,
        "PageDown",
        &["PageDown"],
        &[
            (Page, "smaller line (a presenter’s remote)"),
            (Practice, "next patient"),
            (Panel, "the patient points right (a presenter’s remote)"),
        ],
    ),
    key(
        Act::Before,
        "PageUp",
        &["PageUp"],
        &[
            (Page, "larger line (a presenter’s remote)"),
            (Practice, "patient before"),
            (Panel, "the patient points left (a presenter’s remote)"),
        ],
    ),
    key(Act::RemoteMiddle, ".", &["."], &[(Panel, "no difference (a presenter’s remote)")]),
    key(Act::Smaller, "s", &["s"], &[(Page, "smaller line"), (Panel, "smaller letters on white")]),
    key(
        Act::Larger,
        "l",
        &["l"],
        &[
            (Page, "larger line"),
            (Practice, "larger letters for the next question"),
            (Panel, "larger letters on white"),
        ],
    ),
    key(Act::Target, "t", &["t"], &[(Page, "target line")]),
    key(Act::ThresholdSmaller, "]", &["]"], &[(Page, "threshold, a line smaller")]),
    key(Act::ThresholdLarger, "[", &["["], &[(Page, "threshold, a line larger")]),
    key(
        Act::Numbered,
        "1, 2, …",
        &["1", "2", "3", "4", "5", "6", "7", "8", "9"],
        &[
            (Balance, "what has this number"),
            (Page, "1 red and green, 2 white, 3 red, 4 green"),
            (Practice, "the level of this number"),
            (Panel, "the choice of this number"),
        ],
    ),
    key(Act::SwapSides, "x", &["x"], &[(Page, "swap sides"), (Practice, "swap sides, new letters")]),
    key(Act::NewLetters, "n", &["n"], &[(Page, "new letters"), (Panel, "new letters")]),
    key(Act::OneLetter, "o", &["o"], &[(Page, "one letter alone, then the next")]),
    key(Act::WholeLine, "w", &["w"], &[(Page, "the whole line again")]),
    key(Act::Dark, "b", &["b"], &[(Page, "dark, and back")]),
    key(Act::Strip, "i", &["i"], &[(Page, "examiner’s strip")]),
    key(Act::TurnStrip, "m", &["m"], &[(Page, "turn the strip for a mirror")]),
    key(Act::FullScreen, "f", &["f"], &[(Page, "full screen")]),
    key(Act::Patches, "p", &["p"], &[(Page, "patches to meter, one by one")]),
    key(Act::Card, "k", &["k"], &[(Page, "measure the screen with a card")]),
    key(
        Act::More,
        "+",
        &["+", "="],
        &[(Page, "widen the card’s outline"), (Practice, "one click plus"), (Panel, "this panel brighter")],
    ),
    key(
        Act::Less,
        "−",
        &["-", "_"],
        &[(Page, "narrow the card’s outline"), (Practice, "one click minus"), (Panel, "this panel dimmer")],
    ),
    key(
        Act::Take,
        "Enter",
        &["Enter"],
        &[
            (Balance, "take what was typed"),
            (Page, "keep the card’s size"),
            (Practice, "ask; after the run, the next patient"),
            (Panel, "the lens is in; take the score; count what the patient pressed"),
        ],
    ),
    key(Act::Fog, "c", &["c"], &[(Practice, "cloud (fog) the eye with plus before asking")]),
    key(Act::View, "v", &["v"], &[(Practice, "show or hide the patient’s view")]),
    key(Act::Hint, "h", &["h"], &[(Practice, "what the rule would do")]),
    key(Act::Done, "d", &["d"], &[(Practice, "finish: leave this lens in")]),
    key(Act::Undecided, "u", &["u"], &[(Practice, "finish: nothing decided, the manifest stands")]),
    key(Act::Unequal, "e", &["e"], &[(Practice, "finish: the fields are unequal")]),
    key(Act::Again, "a", &["a"], &[(Practice, "the same patient again")]),
    key(Act::Help, "?", &["?"], &[(Page, "this help"), (Practice, "this help"), (Panel, "these keys")]),
    key(
        Act::Leave,
        "esc",
        &["Escape"],
        &[
            (Balance, "stop here"),
            (Page, "close this help, the card, a patch"),
            (Practice, "close this help"),
            (Panel, "close what lies over the panel"),
        ],
    ),
];

const fn key(
    act: Act,
    shown: &'static str,
    names: &'static [&'static str],
    at: &'static [(Desk, &'static str)],
) -> Key {
    Key { act, shown, names, at }
}

impl Act {
    /// Whether it notes what a patient answered.
    #[must_use]
    pub const fn is_answer(self) -> bool {
        matches!(
            self,
            Self::PointsLeft
                | Self::PointsRight
                | Self::Same
                | Self::CannotTell
                | Self::RemoteMiddle
                | Self::NamesRed
                | Self::NamesGreen
        )
    }

    /// How its key is written on a screen.
    #[must_use]
    pub fn shown(self) -> &'static str {
        KEYS.iter().find(|key| key.act == self).map_or("", |key| key.shown)
    }
}

impl Key {
    /// What is said of it at a desk; none where it means nothing there.
    #[must_use]
    pub fn words(&self, desk: Desk) -> Option<&'static str> {
        self.at.iter().find(|(one, _)| *one == desk).map(|(_, words)| *words)
    }

    /// The key of a name at a desk.
    #[must_use]
    pub fn named(name: &str, desk: Desk) -> Option<&'static Self> {
        let is_it = |key: &&Self| key.names.iter().any(|one| one.eq_ignore_ascii_case(name));
        KEYS.iter().find(is_it).filter(|key| key.words(desk).is_some())
    }
}

/// A key as a page's script is handed it.
#[derive(Debug, Clone, Serialize)]
pub struct PageKey {
    /// What it does.
    pub act: Act,
    /// How it is written on a screen.
    pub shown: &'static str,
    /// The names of its keys.
    pub names: &'static [&'static str],
    /// What is said of it there.
    pub words: &'static str,
}

/// The keys of a page, in the order of the table.
#[must_use]
pub fn keys_at(desk: Desk) -> Vec<PageKey> {
    let of = |key: &Key| {
        let words = key.words(desk)?;
        Some(PageKey { act: key.act, shown: key.shown, names: key.names, words })
    };
    KEYS.iter().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    #[test]
    fn a_key_has_one_meaning_wherever_it_has_any() {
        let mut meanings: HashMap<String, Act> = HashMap::new();
        for key in KEYS {
            for name in key.names {
                let before = meanings.insert(name.to_lowercase(), key.act);
                assert_eq!(before, None, "{name} also means {:?}", key.act);
            }
        }
    }

    #[test]
    fn an_act_has_one_row_and_every_row_a_desk() {
        for (place, key) in KEYS.iter().enumerate() {
            assert!(!key.at.is_empty(), "{key:?}");
            assert!(KEYS[..place].iter().all(|before| before.act != key.act), "{:?} twice", key.act);
        }
    }

    #[test]
    fn what_notes_an_answer_changes_no_chart() {
        for key in KEYS.iter().filter(|key| key.act.is_answer()) {
            assert!(key.at.iter().all(|(desk, _)| [Balance, Panel].contains(desk)), "{key:?}");
        }
        // The panel's other keys that say what a patient answered are those of a remote.
        let notes = |key: &&Key| key.words(Panel).is_some_and(|words| words.contains("the patient points"));
        let others: Vec<Act> =
            KEYS.iter().filter(|key| !key.act.is_answer()).filter(notes).map(|key| key.act).collect();
        assert_eq!(others, [Act::Next, Act::Before]);
    }

    #[test]
    fn letters_count_in_either_case_and_only_where_they_mean_something() {
        assert_eq!(Key::named("X", Page).map(|key| key.act), Some(Act::SwapSides));
        assert_eq!(Key::named("x", Balance), None);
        assert_eq!(Key::named("ArrowDown", Balance).map(|key| key.act), Some(Act::Same));
        assert_eq!(Key::named("ArrowDown", Page), None);
    }

    #[test]
    fn a_desk_has_each_key_that_means_something_there() {
        for desk in [Desk::Balance, Desk::Page, Desk::Practice, Desk::Panel] {
            let there = keys_at(desk);
            let counted = KEYS.iter().filter(|key| key.at.iter().any(|(one, _)| *one == desk)).count();
            assert!(!there.is_empty() && there.len() == counted, "{desk:?}");
        }
        let swaps = keys_at(Desk::Page).into_iter().find(|key| key.act == Act::SwapSides).unwrap();
        assert_eq!((swaps.shown, swaps.names.contains(&"x")), ("x", true));
    }
}
