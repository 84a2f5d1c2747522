//! An examination that goes wrong, from start to finish: a habit of one side, and sides that were not swapped.
//!
//! The patient is the model's, with a leaning of its own; each record is one that the balance itself keeps of such answers. What
//! each slide says follows from its record, so that it holds in every room.

use kurbo::Rect;

use super::Surface;
use super::asking::beside;
use super::lesson::{Lesson, Target, asked, target};
use super::slide::{BOTTOM, MARGIN, PX_MM, RIGHT, Slide};
use crate::balance::{
    Answer, Clicks, ColourVision, Course, Drawn, End, EyeKind, Patient, Procedure, Put, Question,
    SAME_WITHIN, words,
};
use crate::eye::CLICK_D;
use crate::light::Side;
use crate::print::balance_page::ladder::Ladder;
use crate::quantity::Dioptres;
use crate::scene::Anchor;

/// How far the patient leans to the left, as a multiple of what is just noticed. Assumed.
const LEANS: f64 = 3.0;

/// More questions than any run has.
const ENDLESS: usize = 60;

/// How wide the record is drawn.
const RECORD: f64 = 1100.0;

/// Where the columns of the comparison stand: what was done, the lens, how far it is off, which side was pointed to.
const COLUMNS: [f64; 4] = [MARGIN, MARGIN + 560.0, MARGIN + 760.0, MARGIN + 1080.0];

/// One eye, examined four times.
struct Failure<'a> {
    lesson: &'a Lesson<'a>,
    /// The chart stayed as it was.
    unswapped: Course,
    /// It was swapped where the record asks for it.
    at_the_end: Course,
    /// Another way of asking, which swaps it again and again; by the same rules where the model knows no balance.
    always: Course,
    /// And there is no leaning left.
    mended: Course,
    /// The lens with which both sides are equally clear; none where the model knows none.
    balance: Option<Dioptres>,
}

pub(super) fn slides(lesson: &Lesson<'_>, surface: Surface) -> Vec<Slide> {
    let failure = Failure::of(lesson);
    vec![failure.happens(surface), failure.shows(surface), failure.ends(surface)]
}

impl<'a> Failure<'a> {
    fn of(lesson: &'a Lesson<'a>) -> Self {
        let leans = LEANS * SAME_WITHIN;
        let taught = Procedure::Customary;
        let unswapped = examined(lesson, taught, leans, false);
        let error = lesson.curve(&lesson.aperture).prediction().balance_d;
        let always = if unswapped.whereabouts().is_some() { Procedure::Adaptive } else { taught };
        Self {
            lesson,
            at_the_end: examined(lesson, taught, leans, true),
            always: examined(lesson, always, leans, true),
            mended: examined(lesson, always, 0.0, true),
            balance: error.map(|error| unswapped.start.manifest_here() + Dioptres::new(error)),
            unswapped,
        }
    }

    /// How far a lens that an examination left in lies from balance, plus upward.
    fn off(&self, course: &Course) -> Option<Dioptres> {
        Some(course.left_in()? - self.balance?)
    }

    /// What comes of a lens in place, in a title.
    fn is_far_off(&self, course: &Course) -> Option<Dioptres> {
        self.off(course).filter(|off| off.to_d().abs() > CLICK_D / 2.0)
    }

    fn happens(&self, surface: Surface) -> Slide {
        let course = &self.unswapped;
        let cautions: Vec<String> = course.cautions_now().into_iter().map(|caution| caution.what).collect();
        let looks = if cautions.is_empty() { "the record looks sound, its lens" } else { "the lens left in" };
        let title = self.is_far_off(course).map_or_else(
            || "A failure, 1 of 3: the sides stay as they are, whatever is asked for".to_owned(),
            |off| format!("A failure, 1 of 3: {looks} is {}", side_of(off)),
        );
        let mut slide = Slide::new(surface, title);
        record(&mut slide, course);
        let cautions =
            if cautions.is_empty() { "The record has no caution.".to_owned() } else { cautions.join(" ") };
        let paragraphs = [
            "This patient favours the left side, whatever lies there. Red lay there at every question: the record has what it asked for, and where that was red on the right, nobody swapped.".to_owned(),
            course.ended().unwrap_or_default(),
            cautions,
            self.white().unwrap_or_default(),
        ];
        paragraphs_beside(&mut slide, &paragraphs);
        slide.resting_on(self.basis()).saying([
            "Say: here is the whole record, as it would lie in the folder. Give the class a minute to read it.".to_owned(),
            "Ask the class: would you prescribe this? What in this record could have warned you?".to_owned(),
            format!(
                "Often misunderstood: answers that agree with each other are not therefore right. Whoever always says “left” agrees with himself too. What should be asked: “{}”",
                words::question(ColourVision::Usual)
            ),
        ])
    }

    /// That acuity on white does not warn either, by the model.
    fn white(&self) -> Option<String> {
        let curve = self.lesson.curve(&self.lesson.aperture);
        let start = &self.unswapped.start;
        let legible = |lens: Dioptres| {
            let [_, _, white] = curve.clarity(lens - start.manifest_here());
            white.legibility()
        };
        let (here, best) = (legible(self.unswapped.left_in()?), legible(self.balance?));
        (here >= 1.0).then(|| {
            format!(
                "White does not warn either: by the model the target line is {here:.1} times as clear as it has to be, and at balance {best:.1} times."
            )
        })
    }

    fn shows(&self, surface: Surface) -> Slide {
        let course = &self.at_the_end;
        let title = self.is_far_off(course).map_or_else(
            || "A failure, 2 of 3: with sides swapped where it is asked for, the habit shows".to_owned(),
            |off| format!("A failure, 2 of 3: swapped only at the end, still {}", side_of(off)),
        );
        let mut slide = Slide::new(surface, title);
        record(&mut slide, course);
        let paragraphs = [
            "The same eye, the same habit, the same way of asking. This time red and green change places where the record asks for it.".to_owned(),
            turned(course).unwrap_or_default(),
            course.ended().unwrap_or_default(),
            format!("Of the clear answers {} pointed to the left side.", left_of_all(course)),
        ];
        paragraphs_beside(&mut slide, &paragraphs);
        slide.resting_on(self.basis()).saying([
            "Say: the deciding lens is asked twice, once with red on either side. An answer that changes its colour with the side decides nothing, and the run goes on.",
            "Ask the class: at which question is the habit noticed? Where the sides changed and the side that was pointed to did not.",
            "Often misunderstood: swapping does not take the habit away. It makes it visible, and the oftener it is done the less gets past it.",
        ])
    }

    fn ends(&self, surface: Surface) -> Slide {
        let mut slide =
            Slide::new(surface, "A failure, 3 of 3: swap at every question, and look for the cause");
        let bottom = self.compared(&mut slide) + 58.0;
        slide.rule([MARGIN, RIGHT], bottom - 24.0);
        let unequal = self.lesson.report.spoiling_answers().into_iter().next();
        let room = unequal.map_or_else(
            || "Cover each half in turn: is one side lighter, from a lamp, a window, the mirror? Meter red and green on both halves.".to_owned(),
            |warning| format!("{} {}", warning.what, warning.remedy),
        );
        let patient = format!(
            "Explain the question once more: who tells the colours apart answers with a colour, not with a side. “{}”",
            words::NO_DIFFERENCE
        );
        let all = [
            (
                "Chart",
                "Let it follow the panel: asked the adaptive way it swaps red and green by itself."
                    .to_owned(),
            ),
            ("Room", room),
            ("Patient", patient),
            (
                "Record",
                "Leave the first run in it, and ask the eye again: both are kept, and compared.".to_owned(),
            ),
        ];
        let all: Vec<(String, String)> =
            all.into_iter().map(|(term, words)| (term.to_owned(), words)).collect();
        slide.terms(&all, bottom, 330.0, 28.0);
        slide.resting_on(self.basis()).saying([
            format!(
                "Say what the record writes where it is caught outright: “{}”",
                End::FollowedTheSide.words("", self.unswapped.start.end_point)
            ),
            "Ask the class: which of the four would you do first, and what does it cost? A look at the room costs ten seconds.".to_owned(),
            "Often misunderstood: a second run with the same cause gives the same wrong lens again. Repeating helps against chance only, never against a habit or a lamp.".to_owned(),
        ])
    }

    /// Where each examination ended, against balance; says where that ends below.
    fn compared(&self, slide: &mut Slide) -> f64 {
        let (body, heading, small) = (slide.body(), slide.heading(28.0), slide.small());
        let mut rows = vec![("Sides not swapped", &self.unswapped), ("Swapped at the end", &self.at_the_end)];
        if self.always.start.procedure == Procedure::Adaptive {
            rows.push(("Adaptive: swapped each time", &self.always));
        }
        rows.push(("The same, the habit gone", &self.mended));
        let mut baseline = slide.top + 14.0;
        for (words, left) in ["", "left in", "against balance", "clear answers"].into_iter().zip(COLUMNS) {
            slide.write(words, small, Anchor::Left, [left, baseline]);
        }
        for (words, course) in rows {
            baseline += 46.0;
            let lens = course.left_in().map_or_else(|| "nothing".to_owned(), |lens| lens.to_string());
            let off = self.off(course).map(side_of).unwrap_or_default();
            let cells = [(words.to_owned(), body), (lens, heading), (off, body), (pointed_to(course), body)];
            for ((words, style), left) in cells.into_iter().zip(COLUMNS) {
                slide.write(&words, style, Anchor::Left, [left, baseline]);
            }
        }
        baseline
    }

    fn basis(&self) -> String {
        let start = &self.unswapped.start;
        let rules = start.procedure.name();
        let asked = match self.always.start.procedure {
            same if same == start.procedure => format!("asked the {rules} way"),
            other => format!("asked the {rules} way, and at last the {} way", other.name()),
        };
        let at = self
            .balance
            .map_or_else(|| " and right".to_owned(), |lens| format!(" and whose balance lies at {lens}"));
        format!(
            "A simulated eye behind a small aperture, whose manifest is {}{at}, {asked}. It leans to the left by {LEANS:.0} times what is just noticed (assumed) and errs in nothing else.",
            start.manifest
        )
    }
}

/// How far a lens is off, and to which side.
fn side_of(off: Dioptres) -> String {
    match off.to_d() {
        minus if minus <= -0.05 => format!("{:.2} D too minus", -minus),
        plus if plus >= 0.05 => format!("{plus:.2} D too plus"),
        _ => "at balance".into(),
    }
}

/// An eye whose patient leans to the left by so many steps, on a chart that swaps its sides or does not.
fn examined(lesson: &Lesson<'_>, procedure: Procedure, leans_left: f64, swaps: bool) -> Course {
    let kind = EyeKind::SmallAperture;
    let start = lesson.start(kind, procedure, kind.usual_end_point());
    let mut patient =
        Drawn { patient: Patient { leans_left, ..Patient::noiseless() }, ..Drawn::still(Dioptres::new(0.0)) };
    let sight = Target(lesson.curve(&lesson.aperture));
    let mut answers: Vec<Answer> = Vec::new();
    let mut course = asked(start.clone(), &answers);
    while let Some(question) = course.asks().filter(|_| answers.len() < ENDLESS) {
        let put = Put {
            clicks: Clicks::nearest(question.change),
            from_plus: false,
            larger: question.line != target(),
            red: Some(if swaps { question.red } else { start.red }),
        };
        answers.push(patient.answer(&sight, put));
        course = asked(start.clone(), &answers);
    }
    course
}

/// The side to which an answer pointed; none where it pointed to neither.
fn side(question: &Question, answer: Answer) -> Option<Side> {
    [Side::Left, Side::Right]
        .into_iter()
        .find(|side| [Answer::Red, Answer::Green].contains(&answer) && question.answer_of(*side) == answer)
}

/// How many of the clear answers pointed to the left, as the record has its sides.
fn left_of_all(course: &Course) -> String {
    let clear: Vec<Side> =
        course.asked.iter().filter_map(|(question, answer)| side(question, *answer)).collect();
    let left = clear.iter().filter(|side| **side == Side::Left).count();
    format!("{left} of {}", clear.len())
}

/// The same for a table, and that such answers are not to be relied on where they are all to one side.
fn pointed_to(course: &Course) -> String {
    let doubted = course.follows_a_side().map_or("", |_| ": doubtful, ask again");
    format!("{} to the left{doubted}", left_of_all(course))
}

/// The first lens that was asked with both sides and got another colour from the same side.
fn turned(course: &Course) -> Option<String> {
    course.asked.iter().zip(course.asked.iter().skip(1)).find_map(|((before, one), (after, other))| {
        let same_lens = before.sphere == after.sphere && before.red != after.red;
        let stayed = side(before, *one).filter(|first| side(after, *other) == Some(*first));
        let stayed = stayed.map_or("", |_| ", which is the same side");
        (same_lens && one != other).then(|| {
            format!(
                "Questions {} and {} are the same lens with the sides swapped: first {one}, then {other}{stayed}.",
                before.number, after.number
            )
        })
    })
}

/// The examination as its record keeps it.
fn record(slide: &mut Slide, course: &Course) {
    let [x0, y0, x1, y1] = [MARGIN, slide.top, MARGIN + RECORD, BOTTOM - 90.0].map(|side| side * PX_MM);
    let within = Rect::new(x0, y0, x1, y1);
    Ladder { course, palette: slide.palette, within, shared: None }.draw(&mut slide.canvas);
}

/// Paragraphs right of a record.
fn paragraphs_beside(slide: &mut Slide, all: &[String]) {
    let left = MARGIN + RECORD + 60.0;
    let body = slide.body();
    let mut top = slide.top - 6.0;
    for words in all.iter().filter(|words| !words.is_empty()) {
        top = slide.paragraph(words, body, [left, top], beside(left)) + 26.0;
    }
}
