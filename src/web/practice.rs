//! The page on which a learner practises: a simulated patient, and the rule that the run is held against.
//!
//! Five levels, from a patient whose answers are always certain to a room that nobody checked. Each level has a class of patients
//! by a seed, so that everybody in a course meets the same ones; a patient is a row of whole numbers, by which the script and
//! Rust come to the same answers. The learner's run is held against that of the usual rule with the same patient.
//!
//! What a learner practises here is the procedure. Whether they would have asked well, or seen a patient tire, it cannot tell.

mod error;
mod level;
mod patient;
mod rule;
mod sight;

pub use error::PracticeError;
pub use level::Level;
pub use patient::ClassPatient;
pub use sight::Sight;

use serde::Serialize;

use self::patient::{CLICK_MD, thousandths};
use self::rule::{LENS_PLACE, Rule, reason};
use self::sight::{LARGER, TARGET, picture};
use super::Frame;
use super::page::{Page, calm_and_closed};
use crate::acuity::Acuity;
use crate::balance::keys::Desk;
use crate::balance::{Answer, Clicks, EyeKind, Ran, Rules, Run, Why, words};
use crate::chart::{FieldLight, Request};
use crate::eye::Sides;
use crate::light::{Channel, Fields};
use crate::quantity::{Angle, Dioptres, Length};
use crate::room::Room;
use crate::view::{CloseUp, Subject};

/// How many clicks a lens may go to either side of the manifest; the rules stay well within. This project's own decision.
const MOST_CLICKS: i32 = 12;

/// Maximum number of clicks of a change for which reasons are written: from one end to the other.
const MOST_MOVED: i32 = 2 * MOST_CLICKS;

/// The plus that blurs an eye before a lens that it must meet coming down from plus, as
/// [`Start::blur`](crate::balance::Start::blur) has it for an eye that reads 20/20.
const BLUR: Dioptres = Dioptres::new(0.5);

/// The light of a field that is dimmer than it should be, as a share of what it should be. Assumed.
const DIM: f64 = 0.6;

/// Letters and pixels a stroke of the target line and of the larger one, which is twice as large.
const CHARTS: [(i8, usize, u16); 2] = [(TARGET, 5, 8), (LARGER, 3, 16)];

/// Other letters for swapped sides.
const SEEDS: [u64; 2] = [1, 2];

/// The modules of its script, each after those that it imports from.
const MODULES: [&str; 11] = [
    include_str!("calm.js"),
    include_str!("page.js"),
    include_str!("practice/table.js"),
    include_str!("practice/model.js"),
    include_str!("practice/verdict.js"),
    include_str!("practice/curve.js"),
    include_str!("practice/state.js"),
    include_str!("practice/pictures.js"),
    include_str!("practice/result.js"),
    include_str!("practice/show.js"),
    include_str!("practice.js"),
];

/// All that the page's script interprets.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Practice {
    page: Page,
    room: String,
    seed: u64,
    line: [String; 2],
    through_plus: String,
    /// Answers as a patient says them, and in a word.
    answers: [&'static str; 4],
    short: [String; 4],
    judged: Judged,
    /// For each reason its words at each change of lens from minus to plus, or one sentence for all.
    because: Vec<Vec<String>>,
    /// The places of two reasons in that, on which the script acts.
    could_not_tell: i32,
    sides_swapped: i32,
    most_clicks: i32,
    click: i32,
    lens_place: &'static str,
    calm_and_closed: String,
    rules: Vec<Rule>,
    sights: Vec<Sight>,
    levels: Vec<Played>,
    paints: [[u8; 3]; 2],
    /// The code of a dimmer field for each code of the field as it should be.
    dim: [Vec<u8>; 2],
    charts: Vec<Charted>,
}

/// The places of answers among all.
#[derive(Debug, Clone, Copy, Serialize)]
struct Judged {
    red: usize,
    green: usize,
    same: usize,
    unsure: usize,
}

/// A level with its patients.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
struct Played {
    name: &'static str,
    title: &'static str,
    words: &'static str,
    kind: &'static str,
    rule: usize,
    sight: usize,
    same_within: i32,
    /// Which share of the minus the eye accommodates for, in thousandths, and its maximum, in thousandths of a dioptre.
    takes_up: Option<[i32; 2]>,
    patients: Vec<ClassPatient>,
}

/// Letters on each field, as PNG in base 64: the target line's, then the larger one's, with two draws each.
#[derive(Debug, Clone, Serialize)]
struct Charted {
    red: [String; 2],
    green: [String; 2],
}

/// One self-contained file to practise on. The same room and seed give the same text.
///
/// # Errors
/// A room whose fields cannot be equal, or whose sides never balance.
pub fn practice_page(room: &Room, seed: u64) -> Result<String, PracticeError> {
    Ok(Practice::new(room, seed)?.page())
}

impl Practice {
    /// All levels in a room, with the patients of a class.
    ///
    /// # Errors
    /// As [`practice_page`].
    pub fn new(room: &Room, seed: u64) -> Result<Self, PracticeError> {
        let light = FieldLight::new(&room.display, None)?;
        let mut rules: Vec<Rules> = Vec::new();
        let mut eyes = Vec::new();
        let levels = Level::ALL.map(|level| Played::new(level, seed, &mut rules, &mut eyes));
        Ok(Self {
            page: Page::new(Desk::Practice),
            room: room.name().unwrap_or("a room without a name").into(),
            seed,
            line: [TARGET, LARGER].map(|tenths| Acuity::standard(tenths).to_string()),
            through_plus: words::through_plus(BLUR),
            answers: Answer::ALL.map(Answer::said),
            short: Answer::ALL.map(|answer| answer.to_string()),
            judged: Judged::new(),
            because: because(),
            could_not_tell: reason(Why::CouldNotTell),
            sides_swapped: reason(Why::SidesSwapped),
            most_clicks: MOST_CLICKS,
            click: CLICK_MD,
            lens_place: LENS_PLACE,
            calm_and_closed: calm_and_closed("Sides and pictures"),
            rules: rules.into_iter().map(Rule::new).collect(),
            sights: sights(&eyes, room)?,
            levels: levels.into(),
            paints: [light.red, light.green].map(|paint| paint.codes),
            dim: [Channel::Red, Channel::Green].map(|channel| dim(room, channel)),
            charts: CHARTS.into_iter().map(|chart| Charted::new(room, chart)).collect::<Result<_, _>>()?,
        })
    }

    /// The page.
    #[must_use]
    pub fn page(&self) -> String {
        let frame = Frame {
            title: "Practise the red-green balance",
            allows: "img-src data:; ",
            body: include_str!("practice.html"),
            places: &[],
            style: include_str!("practice.css"),
            modules: &MODULES,
        };
        frame.html(self)
    }

    /// The run of the rule with a patient, from the manifest on: what the script must come to as well.
    #[must_use]
    pub fn run(&self, level: Level, patient: &ClassPatient) -> Ran {
        let place = Level::ALL.iter().position(|one| *one == level).unwrap_or(0);
        let sight = &self.sights[self.levels[place].sight];
        let mut drawn = patient.drawn();
        Run::new(level.rules()).with(|put| drawn.answer(sight, put))
    }
}

impl Judged {
    fn new() -> Self {
        let place = |answer: Answer| Answer::ALL.iter().position(|one| *one == answer).unwrap_or(0);
        Self {
            red: place(Answer::Red),
            green: place(Answer::Green),
            same: place(Answer::Same),
            unsure: place(Answer::Unsure),
        }
    }
}

impl Played {
    fn new(level: Level, seed: u64, rules: &mut Vec<Rules>, eyes: &mut Vec<(EyeKind, Length)>) -> Self {
        let patient = level.patient();
        Self {
            name: level.name(),
            title: level.title(),
            words: level.words(),
            kind: level.kind().words(),
            rule: shared(rules, level.rules()),
            sight: shared(eyes, (level.kind(), level.pupil())),
            same_within: thousandths(patient.same_within),
            takes_up: patient.accommodation.map(|eye| [eye.slope, eye.amplitude.to_d()].map(thousandths)),
            patients: level.patients(seed),
        }
    }
}

/// What these eyes see, each worked out beside the others.
fn sights(eyes: &[(EyeKind, Length)], room: &Room) -> Result<Vec<Sight>, PracticeError> {
    std::thread::scope(|scope| {
        let begun: Vec<_> =
            eyes.iter().map(|(kind, pupil)| scope.spawn(|| Sight::new(*kind, *pupil, room))).collect();
        begun
            .into_iter()
            .map(|sight| sight.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    })
}

/// The place of an item among those that levels share.
fn shared<T: PartialEq>(items: &mut Vec<T>, item: T) -> usize {
    items.iter().position(|one| *one == item).unwrap_or_else(|| {
        items.push(item);
        items.len() - 1
    })
}

fn because() -> Vec<Vec<String>> {
    let all = |why: &Why| {
        (-MOST_MOVED..=MOST_MOVED).map(|clicks| why.words(Clicks::new(clicks))).collect::<Vec<_>>()
    };
    let mut because = Why::ALL.iter().map(all).collect::<Vec<_>>();
    for words in &mut because {
        if words.iter().all(|one| *one == words[0]) {
            words.truncate(1);
        }
    }
    because
}

/// For each code of a channel the one that gives [`DIM`] of its light.
fn dim(room: &Room, channel: Channel) -> Vec<u8> {
    let tone = room.display.tone(channel);
    (0..=u8::MAX).map(|code| tone.nearest_code(tone.light(code) * DIM)).collect()
}

impl Charted {
    fn new(room: &Room, (tenths, letters, stroke_px): (i8, usize, u16)) -> Result<Self, PracticeError> {
        let sides = Sides::of(&room.primaries.spectra()?, &room.display, [u8::MAX; 3]);
        let drawn = |fields: Fields, seed: u64| {
            let request = Request { fields, seed, ..Request::new(Acuity::standard(tenths)) };
            let subject = Subject { request: &request, letters, stroke_px };
            let close_up = CloseUp::new(&subject, room, &sides, Angle::arcmin(0.0))?;
            picture(&close_up.sharp().to_codes(&room.display), room)
        };
        let [one, other] = SEEDS;
        Ok(Self {
            red: [drawn(Fields::Red, one)?, drawn(Fields::Red, other)?],
            green: [drawn(Fields::Green, one)?, drawn(Fields::Green, other)?],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::MODULES;
    use crate::web::script::tests::can_be_joined;

    #[test]
    fn its_modules_can_be_joined() {
        can_be_joined(&MODULES);
    }
}
