//! One eye's answers, lens by lens, as a plot.
//!
//! Time runs to the right and plus upward, so that the course of a run is seen at a glance: a staircase that closes in on one
//! lens, or one that wanders. An answer is told by the form of its mark and by a word under the axis, where no line runs through
//! it, never by its colour alone.

use kurbo::{BezPath, Point, Rect};

use super::mark::{Reply, mark};
use crate::balance::{Clicks, Course, Question, Standing, Stands, Whereabouts, Why};
use crate::quantity::Dioptres;
use crate::scene::look::{HAIRLINE_MM, HEADING, Palette, SMALL, Style};
use crate::scene::{Anchor, Canvas, Line, TextBlock, run};

/// One click, from gridline to gridline.
const CLICK_D: f64 = crate::eye::CLICK_D;

/// Half the width of a mark, in millimetres, and the most of the way to the next one that it takes.
const MARK_MM: f64 = 0.9;
const MARK_SHARE: f64 = 0.36;

/// Room that a whole word takes, the longest being "unsure", and a letter, the widest being G.
const WORD_MM: f64 = 12.0;
const LETTER_MM: f64 = 2.8;

/// Letters that stand closer go down by turns to so many rows at the most.
const MOST_ROWS: u8 = 4;

/// Above the uppermost gridline stands the axis's title, below the lowest the numbers, in ems of small type; then the answers,
/// a row each.
const HEAD_EMS: f64 = 2.2;
const FOOT_EMS: f64 = 2.3;
const ROW_EMS: f64 = 1.3;

/// The most clicks that two eyes share an axis over; eyes farther apart share only the size of a click.
const MOST_SHARED: u16 = 12;

/// Lenses farther apart than this are no easier told apart.
const CLICK_MM: f64 = 14.0;

/// What binary leaves of a click.
const DUST: f64 = 1e-3;

/// The least from baseline to baseline of labels on the axis, in their em.
const LABEL_APART: f64 = 1.3;

/// What stands beside the manifest where it is kept.
const MANIFEST: &str = "manifest";

/// The wedge at the axis where balance lies, in millimetres.
const WEDGE_MM: f64 = 1.3;

/// One eye's questions from left to right, and the sphere in place at each.
pub(in crate::print) struct Ladder<'a> {
    pub(in crate::print) course: &'a Course,
    /// The colours of the page that it stands on.
    pub(in crate::print) palette: &'static Palette,
    /// Where it stands, in millimetres.
    pub(in crate::print) within: Rect,
    /// What it has in common with one beside it.
    pub(in crate::print) shared: Option<Shared>,
}

/// What two ladders beside each other have in common, so that a click is as high on both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::print) struct Shared {
    span: Span,
    /// What is kept free under the axis, in millimetres.
    under: f64,
}

/// Lenses on a click's grid that an axis spans.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::print) struct Span {
    highest: Dioptres,
    clicks: u16,
}

impl Span {
    fn lowest(self) -> Dioptres {
        self.highest - Clicks::new(self.clicks.into()).to_dioptres()
    }

    /// The same grid as far as another's ends.
    fn over(self, other: Self) -> Self {
        let up = clicks_up(other.highest - self.highest);
        let down = clicks_up(self.lowest() - other.lowest());
        Self { highest: self.highest + Clicks::new(up.into()).to_dioptres(), clicks: self.clicks + up + down }
    }

    /// What two eyes' axes span: the same lenses where they lie near each other, else as many.
    fn shared(pair: [Self; 2]) -> [Self; 2] {
        let [one, other] = pair;
        let both = [one.over(other), other.over(one)];
        let chosen = if both.iter().all(|span| span.clicks <= MOST_SHARED) { both } else { pair };
        let clicks = chosen[0].clicks.max(chosen[1].clicks);
        chosen.map(|span| Self { clicks, ..span })
    }
}

/// How many whole clicks cover a distance; none where it is none or runs the other way.
fn clicks_up(by: Dioptres) -> u16 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "lenses lie some dozen clicks apart"
    )]
    let clicks = (by.to_d() / CLICK_D - DUST).ceil().max(0.0) as u16;
    clicks
}

/// A question of either kind: its number, the sphere in place, and what was said.
#[derive(Debug, Clone, Copy)]
struct Rung {
    number: usize,
    sphere: Dioptres,
    reply: Reply,
}

/// Where questions and lenses lie.
struct Field {
    area: Rect,
    /// From question to question.
    apart: f64,
    /// The highest gridline, and from gridline to gridline.
    highest: Dioptres,
    click: f64,
    /// How many clicks the gridlines span.
    clicks: u16,
    /// Where balance lies, if that is shown.
    found: Option<Whereabouts>,
}

impl Field {
    fn x(&self, number: usize) -> f64 {
        self.apart.mul_add(count(number) - 0.5, self.area.x0)
    }

    fn y(&self, sphere: Dioptres) -> f64 {
        let below = (self.highest - sphere).to_d() / CLICK_D;
        self.click.mul_add(below, self.area.y0)
    }

    fn place(&self, rung: &Rung) -> Point {
        Point::new(self.x(rung.number), self.y(rung.sphere))
    }

    /// The area in which balance lies.
    fn band(&self) -> Option<Rect> {
        let Whereabouts { low, high, .. } = self.found?;
        Some(Rect::new(self.area.x0, self.y(high), self.area.x1, self.y(low)))
    }

    /// Half the width of a mark.
    fn mark(&self) -> f64 {
        MARK_MM.min(MARK_SHARE * self.apart)
    }
}

impl Ladder<'_> {
    /// All questions, those about red and green first.
    fn rungs(&self) -> Vec<Rung> {
        let colours = self.course.asked.iter().map(|(question, answer)| Rung {
            number: question.number,
            sphere: question.sphere,
            reply: Reply::Colours(*answer),
        });
        let white = self.course.limits.iter().map(|(question, answer)| Rung {
            number: question.number,
            sphere: question.sphere,
            reply: Reply::White(*answer),
        });
        colours.chain(white).collect()
    }

    fn questions(&self) -> usize {
        self.course.asked.len() + self.course.limits.len()
    }

    /// How high it is where neighbouring lenses lie `click` apart, in millimetres.
    pub(super) fn high(&self, click: f64, found: Option<Whereabouts>) -> f64 {
        if self.questions() == 0 {
            return HEADING.leading();
        }
        let around = HEAD_EMS.mul_add(SMALL.em.to_mm(), self.under());
        f64::from(self.span(found).clicks).mul_add(click, HEADING.leading() + around)
    }

    /// How high it may be before more height is of no use, in millimetres.
    pub(super) fn most_high(&self, found: Option<Whereabouts>) -> f64 {
        self.high(CLICK_MM, found)
    }

    pub(in crate::print) fn draw(&self, canvas: &mut Canvas) {
        self.draw_with(canvas, None);
    }

    /// The same, with where balance lies.
    pub(super) fn draw_with(&self, canvas: &mut Canvas, found: Option<Whereabouts>) {
        let Rect { x0, y0, x1, .. } = self.within;
        let (heading, label) = (HEADING.in_paint(self.palette.ink), self.label());
        if self.questions() == 0 {
            canvas.paragraph("No question was answered yet", heading, [x0, y0], x1 - x0);
            return;
        }
        let top = canvas.paragraph(&self.title(), heading, [x0, y0], x1 - x0);
        let field = self.field(top, found);
        let below = self.foot_ems().mul_add(SMALL.em.to_mm(), field.area.y1);
        canvas.paragraph(&self.aside(), label, [x0, below], x1 - x0);
        self.balance(canvas, &field);
        self.grid(canvas, &field);
        self.numbers(canvas, &field);
        self.standing(canvas, &field);
        self.answers(canvas, &field);
    }

    /// How axes and whatever stands aside are lettered.
    const fn label(&self) -> Style {
        SMALL.in_paint(self.palette.quiet)
    }

    /// How the questions went, in words.
    fn title(&self) -> String {
        let count = self.questions();
        let questions = if count == 1 { "One question".into() } else { format!("{count} questions") };
        match self.course.left_in() {
            _ if !self.course.is_asked() => format!("{questions} so far"),
            Some(lens) => format!("{questions}; lens left in: {lens}"),
            None => format!("{questions}; not decided"),
        }
    }

    /// What the marks alone do not say.
    fn aside(&self) -> String {
        let which = |holds: &dyn Fn(&Question) -> bool| {
            let asked = self.course.asked.iter().map(|(question, _)| question);
            ranges(
                &asked.filter(|question| holds(question)).map(|question| question.number).collect::<Vec<_>>(),
            )
        };
        let swapped = which(&|question| question.red != self.course.start.red);
        let blurred = which(&|question| question.blur_first.is_some());
        let again = which(&|question| question.why == Why::Fog && question.number > 1);
        let second = which(&|question| question.series == 2);
        let on_white: Vec<usize> = self.course.limits.iter().map(|(question, _)| question.number).collect();
        let on_white = ranges(&on_white);
        let mut all = Vec::new();
        if !self.words_fit() {
            if !self.course.asked.is_empty() {
                all.push("R: red clearer, G: green clearer, S: the same, ?: could not tell.".to_owned());
            }
            if !self.course.limits.is_empty() {
                all.push("On white, w: read, x: lost.".to_owned());
            }
        }
        for (words, questions) in [
            (&*format!("Red was to lie on the {} at", self.course.start.red.other().name()), swapped),
            ("Blurred with plus before", blurred),
            ("Fog begun again at", again),
            ("Asked a second time at", second),
            ("On white at", if self.course.asked.is_empty() { String::new() } else { on_white }),
        ] {
            if !questions.is_empty() {
                let one = questions.chars().all(|letter| letter.is_ascii_digit());
                all.push(format!("{words} question{} {questions}.", if one { "" } else { "s" }));
            }
        }
        all.join(" ")
    }

    /// Right of the questions the lens that stands is named.
    fn name_wide(&self) -> f64 {
        run("−00.00 D", SMALL) + 1.0
    }

    fn apart(&self) -> f64 {
        let wide = self.within.width() - self.labels_wide() - self.name_wide();
        wide / count(self.questions())
    }

    fn words_fit(&self) -> bool {
        self.apart() >= WORD_MM
    }

    /// In how many rows the answers stand.
    fn rows(&self) -> u8 {
        let rows = 1..MOST_ROWS;
        let fits = |rows: &u8| f64::from(*rows) * self.apart() >= LETTER_MM;
        if self.words_fit() { 1 } else { rows.into_iter().find(fits).unwrap_or(MOST_ROWS) }
    }

    /// What stands under the axis, in millimetres: numbers, answers, and what the marks alone do not say.
    fn under(&self) -> f64 {
        if let Some(Shared { under, .. }) = self.shared {
            return under;
        }
        let aside = TextBlock::new(&self.aside(), SMALL, self.within.width());
        self.foot_ems().mul_add(SMALL.em.to_mm(), aside.height())
    }

    /// Gives two ladders beside each other what they have in common.
    pub(super) fn share(pair: [(&mut Self, Option<Whereabouts>); 2]) {
        let [(one, at), (other, other_at)] = pair;
        let spans = Span::shared([one.span(at), other.span(other_at)]);
        let under = one.under().max(other.under());
        for (ladder, span) in [one, other].into_iter().zip(spans) {
            ladder.shared = Some(Shared { span, under });
        }
    }

    fn foot_ems(&self) -> f64 {
        f64::from(self.rows()).mul_add(ROW_EMS, FOOT_EMS)
    }

    fn labels_wide(&self) -> f64 {
        run("−00.00", SMALL) + 1.5
    }

    /// The lens that was left in, or the manifest where that is kept.
    fn lens(&self) -> Option<(Dioptres, &'static str)> {
        match self.course.standing() {
            Some(Standing {
                here,
                why: Stands::Balanced | Stands::Midpoint | Stands::ManifestWorse(_),
                ..
            }) => Some((here, "left in")),
            Some(Standing { here, .. }) => Some((here, MANIFEST)),
            None => self.course.left_in().map(|lens| (lens, "left in")),
        }
    }

    /// The highest gridline, and how many clicks lie under it. Gridlines lie on the lenses that can be in place, a click
    /// of air above and below.
    fn span(&self, found: Option<Whereabouts>) -> Span {
        if let Some(Shared { span, .. }) = self.shared {
            return span;
        }
        let asked = self.rungs().into_iter().map(|rung| rung.sphere);
        let grid = self.course.start.first_lens();
        let all = asked.chain(self.lens().map(|(lens, _)| lens)).map(|lens| (lens - grid).to_d() / CLICK_D);
        let (lowest, highest) =
            all.fold((0.0_f64, 0.0_f64), |(least, most), clicks| (least.min(clicks), most.max(clicks)));
        let (highest, lowest) = ((highest - DUST).ceil() + 1.0, (lowest + DUST).floor() - 1.0);
        let [low, high] = found.map_or([lowest, highest], |found| {
            [found.low, found.high].map(|end| (end - grid).to_d() / CLICK_D)
        });
        let (highest, lowest) = (highest.max(high.ceil()), lowest.min(low.floor()));
        let clicks = clicks_up(Dioptres::new((highest - lowest) * CLICK_D)).max(1);
        Span { highest: grid + Dioptres::new(highest * CLICK_D), clicks }
    }

    fn field(&self, top: f64, found: Option<Whereabouts>) -> Field {
        let small = SMALL.em.to_mm();
        let (across, apart) = (self.labels_wide(), self.apart());
        let left = self.within.x0 + across;
        let right = apart.mul_add(count(self.questions()), left);
        let area = Rect::new(left, top + HEAD_EMS * small, right, self.within.y1 - self.under());
        let Span { highest, clicks } = self.span(found);
        Field { area, apart, highest, click: area.height() / f64::from(clicks), clicks, found }
    }

    /// Where balance lies: a pale band under all else, and a mark on the axis at its mean.
    fn balance(&self, canvas: &mut Canvas, field: &Field) {
        if let (Some(found), Some(Rect { x0, y0, x1, y1 })) = (field.found, field.band()) {
            canvas.rect([x0, y0, x1, y1], self.palette.within);
            let mean = field.y(found.balance);
            let mut wedge = BezPath::new();
            wedge.move_to((x0, mean));
            wedge.line_to((x0 - WEDGE_MM, mean - WEDGE_MM / 2.0));
            wedge.line_to((x0 - WEDGE_MM, mean + WEDGE_MM / 2.0));
            wedge.close_path();
            canvas.path(wedge, self.palette.balance);
        }
    }

    /// Quiet gridlines, every one that has room with its lens.
    fn grid(&self, canvas: &mut Canvas, field: &Field) {
        let small = SMALL.em.to_mm();
        let every = [1_i32, 2, 4, 8]
            .into_iter()
            .find(|every| f64::from(*every) * field.click >= LABEL_APART * small)
            .unwrap_or(8);
        canvas.write(
            "sphere in D",
            self.label(),
            Anchor::Left,
            [self.within.x0, field.area.y0 - 1.2 * small],
        );
        for below in 0..=field.clicks {
            let sphere = field.highest - Clicks::new(below.into()).to_dioptres();
            let y = field.y(sphere);
            canvas.straight((field.area.x0, y), (field.area.x1, y), HAIRLINE_MM, self.palette.hairline);
            // Round lenses are named first, whatever the axis begins with.
            if Clicks::nearest(sphere).count().rem_euclid(every) == 0 {
                let x = field.area.x0 - 1.5;
                let baseline = y + 0.36 * small;
                canvas.write(&sphere.number(), self.label(), Anchor::Right, [x, baseline]);
            }
        }
    }

    fn numbers(&self, canvas: &mut Canvas, field: &Field) {
        let small = SMALL.em.to_mm();
        let baseline = field.area.y1 + 1.4 * small;
        let last = self.questions();
        // A number and a digit's air beside it.
        let wide = run(&format!("0{last}"), SMALL);
        let every = [1, 2, 5, 10].into_iter().find(|every| count(*every) * field.apart >= wide).unwrap_or(20);
        for number in (1..=last).filter(|number| number % every == 0 || *number == 1) {
            canvas.write(&number.to_string(), self.label(), Anchor::Centre, [field.x(number), baseline]);
        }
        let word = field.area.x1 + 1.0;
        canvas.write("question", self.label(), Anchor::Left, [word, baseline]);
    }

    /// A dotted line with its name at its end.
    fn standing(&self, canvas: &mut Canvas, field: &Field) {
        let Some((lens, word)) = self.lens() else { return };
        let small = SMALL.em.to_mm();
        let y = field.y(lens);
        let mut path = BezPath::new();
        path.move_to((field.area.x0, y));
        path.line_to((field.area.x1, y));
        // Only what was found has the colour of what is equal.
        let (paint, width) =
            if word == MANIFEST { (self.palette.quiet, 0.25) } else { (self.palette.balance, 0.5) };
        canvas.line(Line { path, width, dashes: vec![0.5, 0.8] }, paint);
        let style = SMALL.in_paint(paint);
        let x = field.area.x1 + 1.0;
        canvas.write(&lens.to_string(), style, Anchor::Left, [x, y - 0.1 * small]);
        canvas.write(word, style, Anchor::Left, [x, y + 0.9 * small]);
    }

    fn answers(&self, canvas: &mut Canvas, field: &Field) {
        let rungs = self.rungs();
        let mut path = BezPath::new();
        for (index, rung) in rungs.iter().enumerate() {
            let place = field.place(rung);
            // Red and green and then white are two courses.
            let begins = index == 0 || index == self.course.asked.len();
            if begins { path.move_to(place) } else { path.line_to(place) }
        }
        canvas.line(Line { path, width: HAIRLINE_MM, dashes: Vec::new() }, self.palette.quiet);
        for rung in &rungs {
            mark(self.palette, canvas, rung.reply, field.place(rung), field.mark());
        }
        self.words(canvas, field, &rungs);
    }

    /// What was answered, under the number of its question; letters that stand close go down by turns.
    fn words(&self, canvas: &mut Canvas, field: &Field, rungs: &[Rung]) {
        let small = SMALL.em.to_mm();
        let baseline = |row: usize| ROW_EMS.mul_add(count(row), 1.4 + ROW_EMS).mul_add(small, field.area.y1);
        for rung in rungs {
            let row = (rung.number - 1) % usize::from(self.rows());
            let style = SMALL.in_paint(rung.reply.paint(self.palette));
            let words = if self.words_fit() { rung.reply.word() } else { rung.reply.letter().into() };
            canvas.write(&words, style, Anchor::Centre, [field.x(rung.number), baseline(row)]);
        }
        canvas.write("answer", self.label(), Anchor::Left, [field.area.x1 + 1.0, baseline(0)]);
    }
}

fn count(many: usize) -> f64 {
    u32::try_from(many).map_or(f64::MAX, f64::from)
}

/// Numbers as `3`, `3, 5`, `3 to 5`.
fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<[usize; 2]> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some([_, last]) if *last + 1 == *number => *last = *number,
            _ => runs.push([*number; 2]),
        }
    }
    let words = runs.into_iter().map(|[first, last]| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} to {last}"),
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: +0.50 to −0.50 beside 0.00 to −1.00 is +0.50 to −1.00 for both; −6.00 to −7.00 is too far away, so each keeps its
    /// own end and both have as many clicks as the longer one.
    #[test]
    fn two_eyes_share_lenses_where_they_are_near_and_else_the_size_of_a_click() {
        let span = |highest: f64, clicks| Span { highest: Dioptres::new(highest), clicks };
        assert_eq!(Span::shared([span(0.5, 4), span(0.0, 4)]), [span(0.5, 6); 2]);
        assert_eq!(Span::shared([span(0.5, 4), span(-6.0, 7)]), [span(0.5, 7), span(-6.0, 7)]);
        // A lens of an eighth keeps its own grid, and reaches as far.
        assert_eq!(Span::shared([span(0.5, 4), span(0.375, 4)]), [span(0.5, 5), span(0.625, 5)]);
    }

    #[test]
    fn neighbouring_numbers_are_one_range() {
        assert_eq!(ranges(&[]), "");
        assert_eq!(ranges(&[3, 5]), "3, 5");
        assert_eq!(ranges(&[1, 2, 4, 5, 6]), "1, 2, 4 to 6");
    }
}
