//! The card for the wall: the room, the question, and what to do with each answer.
//!
//! The face is what a person looks up while a patient waits; the back is what one reads once. Every rule on it is taken from
//! [`balance`](crate::balance), so that a card which was printed again after a change of the procedure says the new one.

use super::Paper;
use super::balance_page::mark::{Reply, mark};
use super::deck::{
    ACCOMMODATING, FirstSteps, Lesson, change, first_steps, ink_of, of_eyes, target, target_in_words,
};
use crate::balance::words::Said;
use crate::balance::{
    Answer, Clicks, ColourVision, End, EndPoint, EyeKind, Procedure, Stepping, Why, steps_hold_for, words,
};
use crate::quantity::Length;
use crate::scene::look::{self, BALANCE, GRID_MM, INK, QUIET, Style, TITLE};
use crate::scene::{Anchor, Canvas, Face, Metadata, Scene, TextBlock};
use crate::text::capital;
use kurbo::Point;

/// Air at the sheet's sides.
const MARGIN_MM: f64 = 6.0 * GRID_MM;

/// Between groups.
const GAP_MM: f64 = 3.0 * GRID_MM;

/// How far words stand from the left end of their headings, and the air between columns.
const INDENT_MM: f64 = 21.0 * GRID_MM;
const AIR_MM: f64 = 2.0 * GRID_MM;

/// A card hangs on a wall: nothing on it is smaller than this.
const SAID: Style = Style { face: Face::Regular, em: Length::points(12.0), paint: INK };
const NAMED: Style = Style { face: Face::Bold, ..SAID };

/// What is looked for while a patient waits: the question, and the answers.
const ASKED: Style = Style { em: Length::points(18.0), ..SAID };
const ANSWERED: Style = Style { face: Face::Bold, ..ASKED };

/// Stands beside the title where the match of this room is in doubt, which its back explains.
const IN_DOUBT: &str = "Red and green may differ here: see the back.";

/// Where kinds of eye, procedures and end points stand, as shares of the width.
const EYES: [f64; 3] = [0.0, 0.46, 0.66];

/// A card for the wall. Its face: the room, the kind of eye, the question, what each answer asks for next. Its back: how the
/// ways of asking go on, what holds for some eyes, what spoils this room.
#[derive(Debug, Clone)]
pub struct WallCard {
    /// The face and the back.
    pub pages: [Scene; Self::PAGES],
}

impl WallCard {
    /// How many pages a card has.
    pub const PAGES: usize = 2;

    /// Lays the card out on sheets of paper.
    #[must_use]
    pub fn new(lesson: &Lesson<'_>, paper: Paper) -> Self {
        let sides: [(&[Group], &[&str], &str); Self::PAGES] = [
            (&FACE, &[words::CAUTION, words::NOT_APPROVED], "a card for the wall"),
            (&BACK, &[words::SEIZURES], "the back of the card"),
        ];
        let pages = sides.map(|(groups, foot, which)| Scene {
            size: paper.size(),
            background: look::BARE,
            shapes: Page::laid(lesson, paper, (groups, foot)).shapes,
            metadata: Metadata {
                title: format!("Red-green balance: {which}"),
                description: format!("Question, answers and cautions for {}.", lesson.name),
                json: String::new(),
            },
        });
        Self { pages }
    }
}

/// Half the width of an answer's mark, in millimetres: that of a small letter beside it.
const MARK_MM: f64 = 1.75;

/// Lays a group of words out from a top; says where it ends below.
type Group = fn(&mut Page, &Lesson<'_>, f64) -> f64;

const FACE: [Group; 4] = [Page::head, Page::eyes, Page::asking, Page::answers];
const BACK: [Group; 4] = [Page::ways, Page::defect, Page::cautions, Page::spoilers];

/// The page as it grows, from the top: lengths in millimetres.
struct Page {
    canvas: Canvas,
    left: f64,
    right: f64,
}

impl Page {
    /// Groups from the top, ruled apart, and sentences at the foot.
    fn laid(lesson: &Lesson<'_>, paper: Paper, (groups, foot): (&[Group], &[&str])) -> Canvas {
        let [width, height] = paper.size().map(Length::to_mm);
        let mut page = Self { canvas: Canvas::default(), left: MARGIN_MM, right: width - MARGIN_MM };
        let mut bottom = MARGIN_MM;
        for (index, group) in groups.iter().enumerate() {
            if index > 0 {
                page.canvas.rule(page.left, page.right, bottom + GAP_MM / 2.0);
                bottom += GAP_MM;
            }
            bottom = group(&mut page, lesson, bottom);
        }
        let foot = TextBlock::new(&foot.join(" "), SAID.in_paint(QUIET), page.width());
        foot.draw(&mut page.canvas, [page.left, height - MARGIN_MM - foot.height()]);
        page.canvas
    }

    const fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Words across the page; says where they end below.
    fn said(&mut self, words: &str, style: Style, top: f64) -> f64 {
        self.canvas.paragraph(words, style, [self.left, top], self.width())
    }

    /// A heading at the left, words beside it; says where they end below.
    fn term(&mut self, heading: &str, words: &str, top: f64) -> f64 {
        let place = ([self.left, top], self.width());
        self.canvas.hanging((heading, NAMED), INDENT_MM, (words, SAID), place)
    }

    fn head(&mut self, lesson: &Lesson<'_>, top: f64) -> f64 {
        let bottom = self.said("Red-green balance", TITLE, top);
        if lesson.report.fields.as_ref().is_some_and(|fields| fields.match_in_doubt().is_some()) {
            let place = [self.right, top + TITLE.em.to_mm()];
            self.canvas.write(IN_DOUBT, SAID.in_paint(BALANCE), Anchor::Right, place);
        }
        let bottom = self.said(lesson.name, SAID.in_paint(QUIET), bottom);
        let distance = lesson.room.viewing.distance;
        let target = target();
        let height = lesson.report.lines.iter().find(|line| line.line == target).map(|line| line.height_mm);
        let letters =
            height.map_or_else(String::new, |mm| format!(" Letters of {target} are {mm:.2} mm high."));
        let vergence = lesson.vergence().to_d();
        let words =
            format!("{distance}: a lens balanced here is {vergence:.2} D too plus for far away.{letters}");
        self.said(&words, SAID, bottom)
    }

    /// How each kind of eye is asked, and which lens stays in.
    fn eyes(&mut self, _: &Lesson<'_>, top: f64) -> f64 {
        let columns = EYES.map(|share| self.left + share * self.width());
        let mut baseline = top + SAID.em.to_mm();
        for (words, left) in ["kind of eye", "asked by hand", "end point"].into_iter().zip(columns) {
            self.canvas.write(words, SAID.in_paint(QUIET), Anchor::Left, [left, baseline]);
        }
        for kind in EyeKind::ALL {
            baseline += SAID.leading();
            let by_hand = Procedure::from(kind.by_hand().stepping());
            let cells = [kind.words(), by_hand.said().name, kind.usual_end_point().name()];
            for ((words, left), style) in cells.into_iter().zip(columns).zip([NAMED, SAID, SAID]) {
                self.canvas.write(&capital(words), style, Anchor::Left, [left, baseline]);
            }
        }
        baseline + SAID.leading() - SAID.em.to_mm()
    }

    fn asking(&mut self, _: &Lesson<'_>, top: f64) -> f64 {
        let bottom = self.term("Before", words::BEFORE_ASKING, top) + GRID_MM / 2.0;
        let bottom = self.term("Letters", &target_in_words(), bottom) + GRID_MM;
        let question = format!("“{}”", words::question(ColourVision::Usual));
        let bottom = self.said(&question, ASKED, bottom);
        self.said(&format!("“{}”", words::NO_DIFFERENCE), SAID, bottom)
    }

    /// What each answer to the first question asks for next, in a column for the eyes that are asked alike.
    fn answers(&mut self, _: &Lesson<'_>, top: f64) -> f64 {
        let groups = first_steps();
        let wide = (self.width() - INDENT_MM) / f64::from(u8::try_from(groups.len()).unwrap_or(u8::MAX));
        let columns: Vec<(f64, &FirstSteps)> = (0_u8..)
            .zip(&groups)
            .map(|(column, group)| (self.left + INDENT_MM + wide * f64::from(column), group))
            .collect();
        let words = wide - AIR_MM;
        let mut bottom =
            self.canvas.paragraph("First answer: sphere by", NAMED, [self.left, top], INDENT_MM - GRID_MM);
        for (left, group) in &columns {
            bottom = bottom.max(self.canvas.paragraph(&group.eyes, NAMED, [*left, top], words));
        }
        for (row, answer) in Answer::ALL.into_iter().enumerate() {
            let top = bottom + 2.0 * GRID_MM;
            self.canvas.rule(self.left, self.right, top - GRID_MM / 2.0);
            let baseline = top + ANSWERED.em.to_mm();
            let style = ANSWERED.in_paint(ink_of(answer, &look::ON_PAPER));
            let place = Point::new(self.left + MARK_MM, baseline - 0.36 * ANSWERED.em.to_mm());
            mark(&look::ON_BARE, &mut self.canvas, Reply::Colours(answer), place, MARK_MM);
            let beside = [self.left + 4.0 * MARK_MM, baseline];
            self.canvas.write(&answer.to_string(), style, Anchor::Left, beside);
            bottom = baseline;
            for (left, group) in &columns {
                let Some(lead) = group.leads.get(row) else { continue };
                self.canvas.write(&change(lead).to_string(), ANSWERED, Anchor::Left, [*left, baseline]);
                // The change is all that such an answer asks for; who cannot tell is shown other letters too.
                if let Some(to_do) = lead.to_do() {
                    let below = [*left, baseline + GRID_MM];
                    bottom = bottom.max(self.canvas.paragraph(&to_do, SAID, below, words));
                }
            }
        }
        self.said(
            &format!(
                "From the second answer on go by the back: the same answer can then ask for another lens. {}",
                steps_hold_for()
            ),
            SAID,
            bottom + GRID_MM,
        )
    }

    /// How the ways of asking go on, and the end points, as far as one is proposed for some eye.
    fn ways(&mut self, _: &Lesson<'_>, top: f64) -> f64 {
        let mut bottom = self.said("How it goes on", TITLE, top) + GRID_MM / 2.0;
        let used = |one: &Stepping| EyeKind::ALL.iter().any(|kind| kind.by_hand().stepping() == *one);
        let ways = Stepping::ALL.into_iter().filter(used).map(|one| Procedure::from(one).said());
        let used = |one: &EndPoint| EyeKind::ALL.iter().any(|kind| kind.usual_end_point() == *one);
        for Said { name, how } in ways.chain(EndPoint::ALL.into_iter().filter(used).map(EndPoint::said)) {
            bottom = self.term(&capital(name), &format!("{}.", capital(how)), bottom) + GRID_MM;
        }
        // A bracket has both its ends asked again instead.
        let twice = format!(
            "{}: {}",
            capital(Procedure::FromPlus.said().name),
            Why::SidesSwapped.words(Clicks::NONE)
        );
        self.term("At the end", &twice, bottom)
    }

    /// The question to a patient who does not tell the colours apart.
    fn defect(&mut self, _: &Lesson<'_>, top: f64) -> f64 {
        let question = format!("“{}”", words::question(ColourVision::Protan));
        self.term("Colour defect", &question, top)
    }

    /// What holds for some eyes. On which lens an accommodating one ends the face has; where its run stops stands here.
    fn cautions(&mut self, lesson: &Lesson<'_>, top: f64) -> f64 {
        let stops = End::TooMuchMinus.words("", EyeKind::Accommodating.usual_end_point());
        let stops = ("Too much minus".to_owned(), stops);
        of_eyes(lesson)
            .into_iter()
            .filter(|(name, _)| *name != ACCOMMODATING)
            .map(|(name, caution)| (name.to_owned(), caution.what))
            .chain([stops])
            .fold(top, |top, (name, what)| self.term(&name, &what, top) + GRID_MM)
    }

    fn spoilers(&mut self, lesson: &Lesson<'_>, top: f64) -> f64 {
        let mut all: Vec<String> = lesson
            .report
            .spoiling_answers()
            .into_iter()
            .map(|warning| format!("{} {}", warning.what, warning.remedy))
            .collect();
        if all.is_empty() {
            all.extend(lesson.report.how_matched());
            all.extend(lesson.report.seen_in_a_mirror().map(|warning| warning.what));
        }
        self.term("This room", &all.join(" "), top)
    }
}
