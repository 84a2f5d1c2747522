//! The page of an examination for the patient's folder.
//!
//! It is for a folder, so it must stand without this program: which lens was chosen and what it is for, what was answered to
//! what, what was known before, and what to keep in mind, all in words. Nothing names the patient but a label and two empty
//! lines; whoever files it writes there.

mod closeness;
mod column;
pub(super) mod ladder;
pub(super) mod mark;
mod notes;
mod said;

use kurbo::Rect;

use self::closeness::Closeness;
use self::column::{Column, Parts};
use self::ladder::Ladder;
use self::notes::Notes;
use super::Paper;
use super::type_area::{GUTTER_MM, TypeArea};
use crate::balance::record::Kept;
use crate::balance::{Course, Whereabouts, words};
use crate::scene::look::{self, BALANCE, GRID_MM, HAIRLINE_MM, HEADING, LEAD, ON_BARE, QUIET, SMALL};
use crate::scene::{Anchor, Canvas, Metadata, Scene, fitted, run};

/// How high a ladder is at the least and at the most.
const LADDER_MM: std::ops::RangeInclusive<f64> = 34.0..=92.0;

/// Air over a signature.
const SIGNING_MM: f64 = 5.0 * GRID_MM;

/// What stands on the first of two pages.
const ON_THE_NEXT_PAGE: &str = "What to keep in mind, and how it was asked, stands on the next page.";

/// The share of the sheet's width that the words at the foot take; the signature has the rest.
const FOOT_SHARE: f64 = 0.76;

/// One examination for the patient's folder: what was chosen for each eye, what the balance came to, its figures and
/// answers, how sure they are.
#[derive(Debug, Clone)]
pub struct BalancePage {
    /// The page in millimetres; a second one where all that is to be kept in mind does not fit.
    pub scenes: Vec<Scene>,
}

impl BalancePage {
    /// Lays the page out on a sheet of paper, one eye across it or two beside each other, the right one first.
    ///
    /// What does not fit with air is set closer; what does not fit so goes on to a second page, and nothing is left out. Of a record
    /// of an older procedure only what came before today's would have asked something else is shown, and the page says so.
    #[must_use]
    pub fn new(kept: &Kept, paper: Paper) -> Self {
        let area = TypeArea::of(paper);
        let agreed = kept.as_far_as_it_agrees();
        let kept = agreed.as_ref().unwrap_or(kept);
        let last = (by_eye(kept.examination.eyes()), Runs::Last);
        let earlier = by_eye(kept.examination.earlier_runs());
        let earlier = earlier.chunks(COLUMNS).map(|courses| (courses.to_vec(), Runs::Earlier));
        let sheets = [last].into_iter().chain(earlier);
        let scenes =
            sheets.flat_map(|(courses, runs)| sheets_of(kept, &courses, runs, (paper, area))).collect();
        Self { scenes }
    }
}

/// Those of the right eye first.
fn by_eye(mut courses: Vec<&Course>) -> Vec<&Course> {
    courses.sort_by_key(|course| said::place_of(course.start.eye));
    courses
}

/// So many runs stand beside each other.
const COLUMNS: usize = 2;

/// Which runs of the eyes stand on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Runs {
    /// The last run of each, which counts.
    Last,
    /// Runs that another one followed.
    Earlier,
}

/// The sheet of some runs; a second one where all that is to be kept in mind does not fit.
fn sheets_of(kept: &Kept, courses: &[&Course], runs: Runs, (paper, area): (Paper, TypeArea)) -> Vec<Scene> {
    let page = |part, closeness| Page {
        canvas: Canvas::default(),
        kept,
        courses: courses.to_vec(),
        runs,
        area,
        closeness,
        part,
    };
    let fitting = |part| Closeness::ALL.map(|closeness| page(part, closeness)).into_iter().find(Page::fits);
    let closest = |part| fitting(part).unwrap_or_else(|| page(part, Closeness::Close));
    let pages = fitting(Part::Whole)
        .map_or_else(|| vec![closest(Part::Figures), closest(Part::Notes)], |page| vec![page]);
    let scene = |page: Page<'_>| Scene {
        size: paper.size(),
        background: look::BARE,
        shapes: page.laid().shapes,
        metadata: Metadata {
            title: format!("{}, {}", said::technique(courses), said::day(kept)),
            description: said::description(kept, courses),
            json: String::new(),
        },
    };
    pages.into_iter().map(scene).collect()
}

/// What stands on a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    /// All of it.
    Whole,
    /// Of two pages the first: what was chosen, figures and answers.
    Figures,
    /// The second: what is to be kept in mind, and how it was asked.
    Notes,
}

impl Part {
    /// What heads it, after what was done.
    const fn number(self) -> &'static str {
        match self {
            Self::Whole => "",
            Self::Figures => ", page 1 of 2",
            Self::Notes => ", page 2 of 2",
        }
    }
}

/// Draws a part of an eye's column from a height on, and says where it ends below.
type Draw = fn(&Column, &mut Canvas, &Parts, f64) -> f64;

/// What stands in a column, the verdict first.
const PARTS: [Draw; 4] = [Column::verdict, Column::otherwise, Column::results, Column::facts];

/// An eye's answers, and where balance lies by them.
type Found<'a> = (Ladder<'a>, Option<Whereabouts>);

/// The page as it grows, from the top: lengths in millimetres.
#[derive(Clone)]
struct Page<'a> {
    canvas: Canvas,
    kept: &'a Kept,
    courses: Vec<&'a Course>,
    runs: Runs,
    area: TypeArea,
    closeness: Closeness,
    part: Part,
}

impl Page<'_> {
    /// What is left between what stands above and below.
    fn left_over(&self) -> f64 {
        let mut trial = self.clone();
        let above = trial.above();
        let notes = trial.notes(0.0);
        let foot = trial.foot(0.0);
        self.area.bottom - foot - self.gap() - notes - self.gap() - above
    }

    /// Whether all fits, and neighbouring lenses can be told apart on the ladders.
    fn fits(&self) -> bool {
        let least = |(ladder, found): &Found<'_>| ladder.high(self.closeness.click(), *found);
        let ladders = self.ladders(0.0, 0.0);
        let least =
            ladders.iter().map(least).reduce(f64::max).map_or(0.0, |least| least.max(*LADDER_MM.start()));
        self.left_over() >= least
    }

    fn laid(mut self) -> Canvas {
        let high = self.left_over().clamp(*LADDER_MM.start(), *LADDER_MM.end());
        let top = self.above();
        let bottom = self.climb(top, high) + self.gap();
        self.notes(bottom);
        // The foot stands at the sheet's own.
        let foot_high = self.clone().foot(0.0);
        self.foot(self.area.bottom - foot_high);
        self.canvas
    }

    /// Between groups.
    const fn gap(&self) -> f64 {
        self.closeness.gap()
    }

    /// Head and figures; where the ladders begin.
    fn above(&mut self) -> f64 {
        let top = self.head() + self.gap();
        if self.part == Part::Notes { top } else { self.figures(top) + self.gap() }
    }

    fn head(&mut self) -> f64 {
        let TypeArea { left, right, top, .. } = self.area;
        let baseline = top + HEADING.em.to_mm();
        let runs = if self.runs == Runs::Earlier { ", earlier runs" } else { "" };
        let title = format!("{}{runs}{}", said::technique(&self.courses), self.part.number());
        self.canvas.write(&title, HEADING, Anchor::Left, [left, baseline]);
        self.canvas.write(&said::day(self.kept), SMALL, Anchor::Right, [right, baseline]);
        // Label and id are free text: each has its share of a line. Where it was is never cut.
        let [label, place, id] = said::head(self.kept);
        let half = self.area.width() / 2.0 - GUTTER_MM / 2.0;
        let below = baseline + SMALL.leading();
        let placed = self.canvas.paragraph(&place, SMALL, [left, below - SMALL.em.to_mm()], half);
        self.canvas.write(&fitted(&id, SMALL, half), SMALL, Anchor::Right, [right, below]);
        let middle = left + run(&title, HEADING) + GUTTER_MM / 2.0;
        let room = right - middle - run(&said::day(self.kept), SMALL) - GUTTER_MM;
        self.canvas.write(&fitted(&label, SMALL, room), SMALL, Anchor::Left, [middle, baseline]);
        let mut bottom = self.by_hand(placed);
        self.canvas.rule(left, right, bottom);
        for notice in said::notices(self.kept) {
            let style = LEAD.in_paint(BALANCE).bold();
            bottom = self.canvas.paragraph(&notice, style, [left, bottom + GRID_MM], self.area.width());
        }
        bottom
    }

    /// Lines for name and date of birth, which no program asks for; says where they end below.
    fn by_hand(&mut self, top: f64) -> f64 {
        let baseline = top + self.closeness.by_hand();
        for (column, words) in self.columns().into_iter().zip(["Name", "Date of birth"]) {
            self.canvas.write(words, SMALL, Anchor::Left, [column.left, baseline]);
            let from = column.left + run(words, SMALL) + GRID_MM;
            self.canvas.straight((from, baseline), (column.right, baseline), HAIRLINE_MM, QUIET);
        }
        baseline + GRID_MM
    }

    /// The columns of the eyes: two for one eye as well, whose verdict and figures then stand beside each other.
    fn columns(&self) -> [TypeArea; 2] {
        self.area.columns()
    }

    fn figures(&mut self, top: f64) -> f64 {
        let (columns, half_gap) = (self.columns(), self.gap() / 2.0);
        let [first, second] = columns.map(|area| Column { area, closeness: self.closeness });
        match self.courses.clone()[..] {
            [one] => {
                let parts = Parts::of(self.kept, one);
                let verdict = first.verdict(&mut self.canvas, &parts, top);
                // Both begin on one baseline.
                let beside = top + HEADING.em.to_mm() - SMALL.em.to_mm();
                let facts = PARTS.into_iter().skip(1).fold(beside, |top, part| {
                    let bottom = part(&second, &mut self.canvas, &parts, top);
                    if bottom > top { bottom + half_gap } else { top }
                });
                verdict.max(facts - half_gap)
            }
            [one, other] => {
                let both = [(first, Parts::of(self.kept, one)), (second, Parts::of(self.kept, other))];
                PARTS.into_iter().fold(top, |top, part| {
                    let below =
                        |(column, parts): &(Column, Parts)| part(column, &mut self.canvas, parts, top);
                    let bottom = both.iter().map(below).fold(top, f64::max);
                    if bottom > top { bottom + half_gap } else { top }
                }) - half_gap
            }
            _ => top,
        }
    }

    /// The ladders with where balance lies, each in its column from a top, so high.
    fn ladders(&self, top: f64, high: f64) -> Vec<Found<'_>> {
        if self.part == Part::Notes {
            return Vec::new();
        }
        let places = if self.courses.len() == 1 { vec![self.area] } else { self.columns().to_vec() };
        let within = |place: TypeArea| Rect::new(place.left, top, place.right, top + high);
        let ladder =
            |(course, place)| Ladder { course, palette: &ON_BARE, within: within(place), shared: None };
        let ladders = self.courses.iter().copied().zip(places).map(ladder);
        let mut found: Vec<Found<'_>> = ladders
            .map(|ladder| {
                let found = ladder.course.whereabouts();
                (ladder, found)
            })
            .collect();
        if let [(one, at), (other, other_at)] = found.as_mut_slice() {
            Ladder::share([(one, *at), (other, *other_at)]);
        }
        found
    }

    /// Draws the ladders, no higher than is of use; says where they end below.
    fn climb(&mut self, top: f64, high: f64) -> f64 {
        if self.part == Part::Notes {
            return top;
        }
        let most = |(ladder, found): Found<'_>| ladder.most_high(found);
        let most = self.ladders(top, high).into_iter().map(most).fold(0.0, f64::max);
        let high = high.min(most);
        let mut canvas = std::mem::take(&mut self.canvas);
        self.ladders(top, high).iter().for_each(|(ladder, found)| ladder.draw_with(&mut canvas, *found));
        self.canvas = canvas;
        top + high
    }

    fn notes(&mut self, top: f64) -> f64 {
        if self.part == Part::Figures {
            let place = [self.area.left, top];
            return self.canvas.paragraph(ON_THE_NEXT_PAGE, SMALL, place, self.area.width());
        }
        if self.part == Part::Whole {
            self.canvas.rule(self.area.left, self.area.right, top);
        }
        let (notes, columns) = (Notes::of(self.kept, &self.courses, self.runs == Runs::Last), self.columns());
        notes.draw(&mut self.canvas, columns, top + GRID_MM, self.closeness)
    }

    /// What a balance is worth and who answers for it, beside a place to sign.
    fn foot(&mut self, top: f64) -> f64 {
        let TypeArea { left, right, .. } = self.area;
        self.canvas.rule(left, right, top);
        let wide = FOOT_SHARE * self.area.width() - GUTTER_MM / 2.0;
        let mut bottom = top + GRID_MM;
        let cautions = [words::CAUTION, words::NOT_APPROVED, words::PRIVACY].join(" ");
        for sentence in [said::worth(), cautions] {
            bottom = self.canvas.paragraph(&sentence, SMALL, [left, bottom], wide) + GRID_MM / 4.0;
        }
        let signing = left + wide + GUTTER_MM;
        let line = (top + GRID_MM + SIGNING_MM).max(bottom - SMALL.leading());
        self.canvas.straight((signing, line), (right, line), HAIRLINE_MM, QUIET);
        let signed =
            self.canvas.paragraph(&said::examiner(&self.courses), SMALL, [signing, line], right - signing);
        bottom.max(signed)
    }
}
