use super::Paper;
use super::balance_page::together;
use super::deck::{Lesson, capital, decisions, ink_of, of_eyes, target, target_in_words};
use crate::balance::{ColourVision, EndPoint, Kind, Procedure, words};
use crate::quantity::Length;
use crate::scene::look::{self, BODY, GRID_MM, HEADING, LEAD, SMALL, Style, TITLE};
use crate::scene::{Anchor, Canvas, Metadata, Scene};

/// Air at the sheet's sides.
const MARGIN_MM: f64 = 8.0 * GRID_MM;

/// Between groups, and within them.
const GAP_MM: f64 = 3.5 * GRID_MM;

/// How far words stand from the left end of their headings.
const INDENT_MM: f64 = 18.0 * GRID_MM;

/// One page for the wall: target, question, rule, end points, cautions, and the room's figures.
#[derive(Debug, Clone)]
pub struct WallCard {
    /// The page.
    pub scene: Scene,
}

impl WallCard {
    /// Lays the page out on a sheet of paper.
    #[must_use]
    pub fn new(lesson: &Lesson<'_>, paper: Paper) -> Self {
        let [width, height] = paper.size().map(Length::to_mm);
        let mut page = Page { canvas: Canvas::default(), left: MARGIN_MM, right: width - MARGIN_MM };
        let mut bottom = page.head(lesson);
        for group in [Page::asking, Page::rule, Page::eyes, Page::cautions, Page::room] {
            page.canvas.rule(page.left, page.right, bottom + GAP_MM / 2.0);
            bottom = group(&mut page, lesson, bottom + GAP_MM);
        }
        let foot = page.clone().canvas.paragraph(words::CAUTION, SMALL, [0.0, 0.0], page.width());
        page.canvas.paragraph(words::CAUTION, SMALL, [page.left, height - MARGIN_MM - foot], page.width());
        Self {
            scene: Scene {
                size: paper.size(),
                background: look::BARE,
                shapes: page.canvas.shapes,
                metadata: Metadata {
                    title: "Red-green balance: a card for the wall".into(),
                    description: format!("Target, question, rule and end points for {}.", lesson.name),
                    json: String::new(),
                },
            },
        }
    }
}

/// The page as it grows, from the top: lengths in millimetres.
#[derive(Clone)]
struct Page {
    canvas: Canvas,
    left: f64,
    right: f64,
}

impl Page {
    const fn width(&self) -> f64 {
        self.right - self.left
    }

    fn head(&mut self, lesson: &Lesson<'_>) -> f64 {
        let baseline = MARGIN_MM + TITLE.em.to_mm();
        self.canvas.write("Red-green balance", TITLE, Anchor::Left, [self.left, baseline]);
        let below = baseline + BODY.leading();
        self.canvas.write(lesson.name, SMALL, Anchor::Left, [self.left, below]);
        below + GRID_MM / 2.0
    }

    /// A heading at the left, words beside it; says where they end below.
    fn group(&mut self, heading: &str, words: &str, style: Style, top: f64) -> f64 {
        let beside = [self.left + INDENT_MM, top];
        // A larger style's first baseline is the heading's too.
        let down = style.em.to_mm() - HEADING.em.to_mm();
        let first = self.canvas.paragraph(heading, HEADING, [self.left, top + down], INDENT_MM - GRID_MM);
        let second = self.canvas.paragraph(&together(words), style, beside, self.width() - INDENT_MM);
        first.max(second)
    }

    fn asking(&mut self, _: &Lesson<'_>, top: f64) -> f64 {
        let bottom = self.group("Target", &target_in_words(), BODY, top) + GRID_MM;
        let bottom = self.group("Before", words::BEFORE_ASKING, BODY, bottom) + GRID_MM;
        let question = format!("“{}”", words::question(ColourVision::Usual));
        let large = Style { em: Length::mm(LEAD.em.to_mm() * 1.25), ..LEAD };
        self.group("Question", &question, large, bottom)
    }

    fn rule(&mut self, lesson: &Lesson<'_>, top: f64) -> f64 {
        let mut bottom = top;
        for (answer, because, change) in decisions(lesson) {
            let baseline = bottom + LEAD.em.to_mm();
            let style = HEADING.in_paint(ink_of(answer));
            self.canvas.write(&answer.to_string(), style, Anchor::Left, [self.left, baseline]);
            self.canvas.write(&because, BODY, Anchor::Left, [self.left + INDENT_MM, baseline]);
            self.canvas.write(&change, HEADING, Anchor::Right, [self.right, baseline]);
            bottom += 1.4 * LEAD.leading();
        }
        bottom - 0.4 * LEAD.leading()
    }

    /// How each kind of eye is asked, and which lens stays in.
    fn eyes(&mut self, _: &Lesson<'_>, top: f64) -> f64 {
        let mut bottom = top;
        for kind in Kind::ALL {
            let words = format!("{}; {}", kind.usual_procedure().name(), kind.usual_end_point().name());
            bottom = self.group(&capital(kind.words()), &words, BODY, bottom);
        }
        bottom += GRID_MM;
        let used = |one: &Procedure| Kind::ALL.iter().any(|kind| kind.usual_procedure() == *one);
        for procedure in Procedure::ALL.into_iter().filter(used) {
            bottom = self.said(procedure.words(), bottom);
        }
        let used = |one: &EndPoint| Kind::ALL.iter().any(|kind| kind.usual_end_point() == *one);
        for end_point in EndPoint::ALL.into_iter().filter(used) {
            bottom = self.said(end_point.words(), bottom);
        }
        bottom
    }

    /// A sentence of small type across the page.
    fn said(&mut self, words: &str, top: f64) -> f64 {
        let style = SMALL.in_paint(look::INK);
        let words = together(&format!("{}.", capital(words)));
        self.canvas.paragraph(&words, style, [self.left, top], self.width()) + GRID_MM / 2.0
    }

    fn cautions(&mut self, lesson: &Lesson<'_>, top: f64) -> f64 {
        let mut bottom = top;
        for caution in of_eyes(lesson) {
            bottom = self.said(caution.what.trim_end_matches('.'), bottom);
        }
        bottom
    }

    fn room(&mut self, lesson: &Lesson<'_>, top: f64) -> f64 {
        let distance = lesson.room.viewing.distance;
        let report = &lesson.report;
        let [height, name] = report
            .lines
            .iter()
            .find(|line| line.line == target().to_string())
            .map_or_else(Default::default, |line| [format!("{:.2} mm", line.height_mm), line.line.clone()]);
        let figures = [
            format!(
                "{distance}: a lens balanced here is {:.2} D too plus for far away.",
                lesson.vergence().to_d()
            ),
            format!("Red and green lie {:.2} D apart on this screen.", lesson.interval()),
            format!("{name} letters are {height} high here."),
        ];
        let bottom = self.group("This room", &figures.join(" "), BODY, top);
        report.spoiling_answers().iter().fold(bottom, |bottom, warning| {
            self.group("", &format!("{} {}", warning.what, warning.remedy), SMALL, bottom + GRID_MM / 2.0)
        })
    }
}
