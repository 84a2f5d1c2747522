use super::Paper;
use super::balance_page::together;
use super::deck::{Lesson, decisions, ink_of, of_eyes, target, target_in_words};
use crate::balance::{ColourVision, EndPoint, Kind, Procedure, words};
use crate::quantity::Length;
use crate::scene::look::{self, BODY, GRID_MM, HEADING, LEAD, SMALL, Style, TITLE};
use crate::scene::{Anchor, Canvas, Metadata, Scene, capital};

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
        let area = [MARGIN_MM, width - MARGIN_MM, height - MARGIN_MM];
        // Closer where it does not fit otherwise.
        let page = SMALLER
            .into_iter()
            .map(|said| Page::laid(lesson, area, said))
            .find(|(_, over)| *over <= 0.0)
            .unwrap_or_else(|| Page::laid(lesson, area, SMALL))
            .0;
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

/// Where kinds of eye, procedures and end points stand, as shares of the width.
const EYES: [f64; 3] = [0.0, 0.45, 0.68];

/// How explanations are set: as large as fits.
const SMALLER: [Style; 2] = [BODY, SMALL.in_paint(look::INK)];

/// The page as it grows, from the top: lengths in millimetres.
struct Page {
    canvas: Canvas,
    left: f64,
    right: f64,
    /// How explanations are set.
    said: Style,
}

impl Page {
    /// All of it, and how far it runs into the foot.
    fn laid(lesson: &Lesson<'_>, [left, right, foot]: [f64; 3], said: Style) -> (Self, f64) {
        let mut page = Self { canvas: Canvas::default(), left, right, said };
        let mut bottom = page.head(lesson);
        for group in [Self::asking, Self::rule, Self::eyes, Self::cautions, Self::room] {
            page.canvas.rule(left, right, bottom + GAP_MM / 2.0);
            bottom = group(&mut page, lesson, bottom + GAP_MM);
        }
        let high = Canvas::default().paragraph(words::CAUTION, SMALL, [0.0, 0.0], page.width());
        page.canvas.paragraph(words::CAUTION, SMALL, [left, foot - high], page.width());
        (page, bottom + GAP_MM - (foot - high))
    }

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
        let columns = EYES.map(|share| self.left + share * self.width());
        let mut baseline = top + SMALL.em.to_mm();
        for (words, left) in ["kind of eye", "way of asking", "end point"].into_iter().zip(columns) {
            self.canvas.write(words, SMALL, Anchor::Left, [left, baseline]);
        }
        for kind in Kind::ALL {
            baseline += 1.1 * BODY.leading();
            let procedure = kind.usual_procedure().words();
            let named = procedure.split(':').next().unwrap_or(procedure);
            let cells = [kind.words(), named, kind.usual_end_point().name()];
            for ((words, left), style) in cells.into_iter().zip(columns).zip([HEADING, BODY, BODY]) {
                self.canvas.write(&capital(words), style, Anchor::Left, [left, baseline]);
            }
        }
        let mut bottom = baseline + 2.0 * GRID_MM;
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
        let words = together(&format!("{}.", capital(words)));
        self.canvas.paragraph(&words, self.said, [self.left, top], self.width()) + GRID_MM / 2.0
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
