//! The page on which a learner practises: a simulated patient, and the rule that the run is held against.
//!
//! Levels from sure answers to a room that nobody checked, each passed by a stated rule. Each has a class of patients
//! by a seed, so that everybody in a course meets the same ones; a patient is a row of whole numbers, by which the script and
//! Rust come to the same answers. The learner's run is held against that of the usual rule with the same patient. The score of
//! all runs makes a short code that the teacher's copy of the page reads.
//!
//! What a learner practises here is the procedure. Whether they would have asked well, or seen a patient tire, it cannot tell.

mod class;
mod code;
mod error;
mod level;
mod patient;
mod rule;
mod sight;

pub use class::Class;
pub use error::PracticeError;
pub use level::{Guide, Level};
pub use patient::ClassPatient;
pub use rule::Walked;
pub use sight::Sight;

use serde::Serialize;

use self::code::Code;
use self::patient::{CLICK_MD, thousandths};
use self::rule::{LENS_PLACE, MARKS, Marks, Rule, reasons};
use self::sight::{BESIDE, LARGER, Looked, TARGET, picture};
use super::Frame;
use super::page::{Page, calm_and_closed};
use crate::acuity::Acuity;
use crate::balance::keys::Desk;
use crate::balance::{Answer, Clicks, Legible, READ_SD_LOG10, Way, words};
use crate::beside;
use crate::chart::{FieldLight, Request};
use crate::eye::Sides;
use crate::light::{Channel, Fields, Side};
use crate::quantity::{Angle, Dioptres};
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
const MODULES: [&str; 14] = [
    include_str!("calm.js"),
    include_str!("page.js"),
    include_str!("practice/table.js"),
    include_str!("practice/model.js"),
    include_str!("practice/verdict.js"),
    include_str!("practice/code.js"),
    include_str!("practice/progress.js"),
    include_str!("practice/curve.js"),
    include_str!("practice/state.js"),
    include_str!("practice/pictures.js"),
    include_str!("practice/result.js"),
    include_str!("practice/show.js"),
    include_str!("practice/course.js"),
    include_str!("practice.js"),
];

/// All that the page's script interprets.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Practice {
    page: Page,
    room: String,
    class: String,
    line: [String; 2],
    through_plus: String,
    /// Answers as a patient says them, and in a word: those about both sides, then those about letters on white.
    answers: Vec<&'static str>,
    short: Vec<String>,
    /// What is said by a patient who names sides: left, then right.
    by_side: [&'static str; 2],
    judged: Judged,
    marks: Marks,
    /// For each reason its words at each change of lens from minus to plus, or one sentence for all.
    because: Vec<Vec<String>>,
    most_clicks: i32,
    click: i32,
    /// By how much reading wavers with the noise of an answer, in thousandths, and what is added before it is judged.
    read_sd: i32,
    beside: f64,
    lens_place: &'static str,
    calm_and_closed: String,
    in_a_row: u8,
    most_hints: u8,
    code: Code,
    rules: Vec<Rule>,
    sights: Vec<Sight>,
    levels: Vec<Played>,
    /// Of red, green and white.
    paints: [[u8; 3]; 3],
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
    read: usize,
    lost: usize,
}

/// A level with its patients.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
struct Played {
    name: &'static str,
    title: &'static str,
    teaches: &'static str,
    passed_when: String,
    guide: Guide,
    guide_words: &'static str,
    kind: &'static str,
    /// The question, and what stands before it.
    question: String,
    before_asking: &'static str,
    /// Whether the patient names sides and no colours.
    by_side: bool,
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
    white: [String; 2],
}

/// One self-contained file to practise on. The same room and class give the same text.
///
/// # Errors
/// A room whose fields cannot be equal, or whose sides never balance.
pub fn practice_page(room: &Room, class: &Class) -> Result<String, PracticeError> {
    Ok(Practice::new(room, class)?.page())
}

impl Practice {
    /// All levels in a room, with the patients of a class.
    ///
    /// # Errors
    /// As [`practice_page`].
    pub fn new(room: &Room, class: &Class) -> Result<Self, PracticeError> {
        let light = FieldLight::new(&room.display, None)?;
        let name = room.name().unwrap_or("a room without a name");
        let looked = Looked::by_all();
        let sights = sights(&looked, room)?;
        let (rules, levels) = played(class.seed, &looked, &sights, room)?;
        Ok(Self {
            page: Page::new(Desk::Practice),
            room: name.into(),
            class: class.name(),
            line: [TARGET, LARGER].map(|tenths| Acuity::standard(tenths).to_string()),
            through_plus: words::through_plus(BLUR),
            answers: Answer::ALL
                .map(Answer::said)
                .into_iter()
                .chain(Legible::ALL.map(Legible::said))
                .collect(),
            short: short(),
            by_side: [Side::Left, Side::Right].map(words::on_side),
            judged: Judged::new(),
            marks: MARKS,
            because: because(),
            most_clicks: MOST_CLICKS,
            click: CLICK_MD,
            read_sd: thousandths(READ_SD_LOG10),
            beside: BESIDE,
            lens_place: LENS_PLACE,
            calm_and_closed: calm_and_closed(
                "Sides and pictures",
                "Your progress is kept in this browser and nowhere else; the page",
            ),
            in_a_row: Level::IN_A_ROW,
            most_hints: Level::MOST_HINTS,
            code: Code::new(class, name),
            rules,
            sights,
            levels,
            paints: [light.red, light.green, light.white].map(|paint| paint.codes),
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

    /// The run of the table with a patient, from the manifest on: what the script must come to as well.
    #[must_use]
    pub fn run(&self, level: Level, patient: &ClassPatient) -> Walked {
        let played = &self.levels[level.place()];
        self.rules[played.rule].walk(patient, &self.sights[played.sight])
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
            read: Answer::ALL.len() + Legible::Read as usize,
            lost: Answer::ALL.len() + Legible::Lost as usize,
        }
    }
}

/// Answers in a word.
fn short() -> Vec<String> {
    let on_white = Legible::ALL.map(|answer| answer.explained().name.to_owned());
    Answer::ALL.iter().map(ToString::to_string).chain(on_white).collect()
}

/// All levels, with the tables of their ways of asking; levels that are asked alike share one.
fn played(
    seed: u64,
    looked: &[Looked],
    sights: &[Sight],
    room: &Room,
) -> Result<(Vec<Rule>, Vec<Played>), PracticeError> {
    let (mut ways, mut rules, mut levels) = (Vec::new(), Vec::new(), Vec::new());
    for level in Level::ALL {
        let sight = looked.iter().position(|one| one.pupil == level.pupil()).unwrap_or(0);
        let patients = level.patients(seed);
        let rule = match ways.iter().position(|way| *way == level.way()) {
            Some(place) => place,
            None => {
                rules.push(Rule::new(level, &patients, &sights[sight], room)?);
                ways.push(level.way());
                ways.len() - 1
            }
        };
        levels.push(Played::new(level, patients, (rule, sight)));
    }
    Ok((rules, levels))
}

impl Played {
    fn new(level: Level, patients: Vec<ClassPatient>, (rule, sight): (usize, usize)) -> Self {
        let patient = level.patient();
        let on_white = level.way() == Way::Midpoint;
        Self {
            name: level.name(),
            title: level.title(),
            teaches: level.teaches(),
            passed_when: level.passed_when(),
            guide: level.guide(),
            guide_words: level.guide().words(),
            kind: level.kind().words(),
            question: if on_white {
                words::READ_QUESTION.into()
            } else {
                format!("{} {}", words::question(level.colour_vision()), words::NO_DIFFERENCE)
            },
            before_asking: if on_white { words::BEFORE_READING } else { words::BEFORE_ASKING },
            by_side: level.colour_vision().is_defect(),
            rule,
            sight,
            same_within: thousandths(patient.same_within),
            takes_up: patient.accommodation.map(|eye| [eye.slope, eye.amplitude.to_d()].map(thousandths)),
            patients,
        }
    }
}

/// What is seen behind these pupils, each worked out beside the others.
fn sights(looked: &[Looked], room: &Room) -> Result<Vec<Sight>, PracticeError> {
    beside::each(looked, |looked| Sight::new(looked, room)).into_iter().collect()
}

fn because() -> Vec<Vec<String>> {
    let moves: Vec<Vec<String>> =
        (-MOST_MOVED..=MOST_MOVED).map(|clicks| reasons(Clicks::new(clicks))).collect();
    let of = |reason: usize| moves.iter().map(|reasons| reasons[reason].clone()).collect::<Vec<_>>();
    let mut because: Vec<Vec<String>> = (0..moves[0].len()).map(of).collect();
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
            white: [drawn(Fields::White, one)?, drawn(Fields::White, other)?],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{LENS_PLACE, Level, MODULES, reasons};
    use crate::balance::{Answer, Clicks, ColourVision, Legible, Procedure, words};
    use crate::web::script::tests::can_be_joined;

    #[test]
    fn its_modules_can_be_joined() {
        can_be_joined(&MODULES);
    }

    /// What the balance says of itself comes in the table, from where the panel has it too: neither script nor template has it.
    #[test]
    fn no_sentence_of_the_procedure_is_typed_again() {
        let page = [&MODULES[..], &[include_str!("practice.html")]].concat().concat();
        let mut sentences = reasons(Clicks::NONE);
        sentences.extend(reasons(Clicks::new(-1)));
        sentences.extend(Procedure::ALL.iter().map(|procedure| procedure.said().how.to_owned()));
        sentences.extend(Level::ALL.iter().map(|level| level.end_point().said().how.to_owned()));
        sentences.extend(Answer::ALL.map(Answer::said).map(ToOwned::to_owned));
        sentences.extend(Legible::ALL.map(Legible::said).map(ToOwned::to_owned));
        sentences.extend(ColourVision::ALL.map(words::question).map(ToOwned::to_owned));
        let others = [
            words::NO_DIFFERENCE,
            words::BEFORE_ASKING,
            words::BEFORE_READING,
            words::READ_QUESTION,
            words::SEIZURES,
            words::SUPERVISION,
            words::NOT_APPROVED,
        ];
        sentences.extend(others.map(ToOwned::to_owned));
        sentences.push(words::through_plus(super::BLUR));
        sentences
            .extend(Level::ALL.iter().flat_map(|level| [level.teaches().to_owned(), level.passed_when()]));
        assert!(
            sentences.len() > 50 && !page.is_empty() && page.contains("lensPlace") && !LENS_PLACE.is_empty()
        );
        for sentence in sentences {
            assert!(!page.contains(&sentence), "{sentence}");
            // Nor its beginning, in which no figure stands.
            let beginning: String = sentence.chars().take(24).collect();
            assert!(beginning.chars().count() < 24 || !page.contains(&beginning), "{beginning}");
        }
    }
}
