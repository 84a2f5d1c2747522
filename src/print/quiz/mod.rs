//! A sheet of questions for a class, drawn by a seed, with its key.
//!
//! Kinds of question are drawn, then their numbers, then the order of choices. Every answer is worked out by the library for this
//! room, and every wrong choice differs from it by what is asked: another number, another lens, another side.

mod place;
mod question;
mod rule;

pub use question::{Answered, Question};

use question::{CHOICES, Lot, letter};

use super::Paper;
use super::deck::Lesson;
use super::leaf::{body, count, pages};
use crate::scene::look::{BODY, GRID_MM, HAIRLINE_MM, HEADING, INK, QUIET, Style};
use crate::scene::{Anchor, Canvas, Scene, run};

/// What one kind of question makes of a room; none where this room has no such question.
type Kind = fn(&Lesson<'_>, &mut Lot) -> Option<Question>;

/// All kinds; each is asked at most once.
const KINDS: [Kind; 15] = [
    place::height,
    place::line,
    place::vergence,
    place::other_room,
    place::interval,
    place::foci,
    place::aperture,
    place::mirror,
    rule::first_step,
    rule::cannot_tell,
    rule::next_lens,
    rule::end_point,
    rule::unequal,
    rule::prompt,
    rule::target_line,
];

/// How far a question stands from its number, and choices from their letters.
const INDENT_MM: f64 = 4.0 * GRID_MM;

/// Air between columns of choices.
const AIR_MM: f64 = 2.0 * GRID_MM;

/// Air between questions, at the least and at the most.
const LEAST_AIR_MM: f64 = 1.5 * GRID_MM;
const MOST_AIR_MM: f64 = 4.0 * GRID_MM;

/// How long a line for a number is, and how far one for a name stands from its heading.
const WRITTEN_MM: f64 = 30.0;
const NAMED_MM: f64 = 6.0 * GRID_MM;

/// What a key says after an answer.
const QUIETLY: Style = BODY.in_paint(QUIET);

/// Ten questions about a room and the balance in it, with their key.
#[derive(Debug, Clone)]
pub struct Quiz {
    /// The questions in their order.
    pub questions: Vec<Question>,
    seed: u64,
}

impl Quiz {
    /// How many questions a sheet has.
    pub const QUESTIONS: usize = 10;

    /// Draws the questions: the same room and seed give the same ones.
    #[must_use]
    pub fn new(lesson: &Lesson<'_>, seed: u64) -> Self {
        let mut lot = Lot::new(seed);
        let kinds = lot.shuffled(KINDS.to_vec());
        let drawn = kinds.into_iter().filter_map(|kind| kind(lesson, &mut lot));
        Self { questions: drawn.take(Self::QUESTIONS).collect(), seed }
    }

    /// The sheet and its key on paper; `name` is what the room is called.
    #[must_use]
    pub fn pages(&self, name: &str, paper: Paper) -> Vec<Scene> {
        let sheet = format!("Red-green balance: questions, sheet {}", self.seed);
        let key = format!("Red-green balance: key to sheet {}", self.seed);
        let asked = std::iter::once(Item::Name).chain(self.numbered(Item::Asked));
        let asked = flowing(&asked.collect::<Vec<_>>(), paper);
        let told = flowing(&self.numbered(Item::Told).collect::<Vec<_>>(), paper);
        let asked = asked.into_iter().map(|canvas| (sheet.as_str(), canvas));
        let told = told.into_iter().map(|canvas| (key.as_str(), canvas));
        pages(asked.chain(told).collect(), name, paper)
    }

    fn numbered<'a>(&'a self, item: fn(usize, &'a Question) -> Item<'a>) -> impl Iterator<Item = Item<'a>> {
        (1..).zip(&self.questions).map(move |(number, question)| item(number, question))
    }
}

/// Where something of a page is laid: its left end, its top, its right end.
type Area = [f64; 3];

/// What stands on a sheet or on its key.
enum Item<'a> {
    /// Who answers.
    Name,
    /// A question.
    Asked(usize, &'a Question),
    /// Its answer.
    Told(usize, &'a Question),
}

impl Item<'_> {
    /// Lays it out; says where it ends below.
    fn laid(&self, canvas: &mut Canvas, area: Area) -> f64 {
        match self {
            Self::Name => name_and_day(canvas, area),
            Self::Asked(number, question) => ask(canvas, (*number, question), area),
            Self::Told(number, question) => tell(canvas, (*number, question), area),
        }
    }
}

/// Items one below the other, on as many pages as they take, with as much air between them as one page has.
fn flowing(items: &[Item<'_>], paper: Paper) -> Vec<Canvas> {
    let [left, top, right, bottom] = body(paper);
    let heights: Vec<f64> =
        items.iter().map(|item| item.laid(&mut Canvas::default(), [left, 0.0, right])).collect();
    let free = bottom - top - heights.iter().sum::<f64>();
    let air = (free / count(items.len())).clamp(LEAST_AIR_MM, MOST_AIR_MM);
    let (mut canvases, mut at) = (vec![Canvas::default()], top);
    for (item, height) in items.iter().zip(heights) {
        if at + height > bottom {
            canvases.push(Canvas::default());
            at = top;
        }
        if let Some(canvas) = canvases.last_mut() {
            at = item.laid(canvas, [left, at, right]) + air;
        }
    }
    canvases
}

/// Lines to write on who answers, and when.
fn name_and_day(canvas: &mut Canvas, [left, top, right]: Area) -> f64 {
    let (baseline, middle) = (top + GRID_MM + BODY.em.to_mm(), left + 0.65 * (right - left));
    for (words, from, to) in [("Name", left, middle - AIR_MM), ("Date", middle, right)] {
        canvas.write(words, QUIETLY, Anchor::Left, [from, baseline]);
        canvas.straight((from + NAMED_MM, baseline), (to, baseline), HAIRLINE_MM, INK);
    }
    top + GRID_MM + BODY.leading()
}

/// A question with its choices or a line to write on; says where it ends below.
fn ask(canvas: &mut Canvas, (number, question): (usize, &Question), [left, top, right]: Area) -> f64 {
    let (number, place) = (number.to_string(), ([left, top], right - left));
    let below = canvas.hanging((&number, HEADING), INDENT_MM, (&question.asks, BODY), place);
    let left = left + INDENT_MM;
    match &question.answer {
        Answered::Choice { all, .. } => choices(canvas, all, [left, below, right]),
        Answered::Number { unit, .. } => {
            let baseline = below + GRID_MM + BODY.em.to_mm();
            canvas.straight((left, baseline), (left + WRITTEN_MM, baseline), HAIRLINE_MM, INK);
            canvas.write(unit, BODY, Anchor::Left, [left + WRITTEN_MM + GRID_MM, baseline]);
            below + GRID_MM + BODY.leading()
        }
    }
}

/// Choices in as many columns as they fit into on one line each, or in two.
fn choices(canvas: &mut Canvas, all: &[String; CHOICES], [left, top, right]: Area) -> f64 {
    let wide = |columns: usize| (right - left + AIR_MM) / count(columns) - AIR_MM - INDENT_MM;
    let longest = all.iter().map(|words| run(words, BODY)).fold(0.0, f64::max);
    let columns = if longest <= wide(CHOICES) { CHOICES } else { 2 };
    let width = wide(columns);
    let mut top = top + GRID_MM / 2.0;
    for (row, choices) in all.chunks(columns).enumerate() {
        let mut below = top;
        for (column, words) in choices.iter().enumerate() {
            let at = left + count(column) * (width + AIR_MM + INDENT_MM);
            let named = letter(row * columns + column).to_string();
            let place = ([at, top], INDENT_MM + width);
            below = below.max(canvas.hanging((&named, HEADING), INDENT_MM, (words, BODY), place));
        }
        top = below;
    }
    top
}

/// An answer with its reason; says where it ends below.
fn tell(canvas: &mut Canvas, (number, question): (usize, &Question), [left, top, right]: Area) -> f64 {
    let (number, place) = (number.to_string(), ([left, top], right - left));
    let below = canvas.hanging((&number, HEADING), INDENT_MM, (&question.answer.right(), HEADING), place);
    let (left, width) = (left + INDENT_MM, right - left - INDENT_MM);
    let below = canvas.paragraph(&question.because, BODY, [left, below], width);
    canvas.paragraph(&format!("From {}.", question.from), QUIETLY, [left, below], width)
}
