//! Why the test works: the foci, and what reaches the retina.
//!
//! Foci are drawn to scale along the axis and not across it. Views are pictures of what reaches the retina, computed here: where a
//! caption says that red is clearer, that is the model's own answer to that picture.

use kurbo::{Affine, BezPath, Circle, Rect, Shape as _};

use super::Surface;
use super::lesson::{AGE_YEARS, APERTURE, LIT_LUX, Lesson, LessonError, SEED, STROKE_PX, Views, target};
use super::slide::{MARGIN, PX_MM, RIGHT, Slide, WIDE, run};
use crate::balance::{Answer, Clicks, words};
use crate::eye::{CLICK_D, Eye};
use crate::light::Side;
use crate::optotype::{Draw, LetterSet, STROKES_A_SIDE};
use crate::quantity::Dioptres;
use crate::report::{CLARITY, LEFT_OUT};
use crate::scene::look::Palette;
use crate::scene::{Anchor, Paint};

/// The left ends of three views beside their row's name, and a view's size.
const COLUMNS: [f64; 3] = [MARGIN + 354.0, MARGIN + 831.0, MARGIN + 1308.0];
const VIEW: [f64; 2] = [420.0, 210.0];

/// How wide a row's name may be.
const NAME: f64 = 300.0;

/// Lens errors that are shown, in clicks: plainly apart, and only just.
const CLICKS: [Clicks; 3] = [Clicks::new(-2), Clicks::NONE, Clicks::new(2)];
const FEWER_CLICKS: [Clicks; 3] = [Clicks::new(-1), Clicks::NONE, Clicks::new(1)];

/// Dashes of what is of the green field.
const DASHES: [f64; 2] = [18.0, 9.0];

pub(super) fn slides(lesson: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    // One close-up for all, so that what is shown twice is worked out and kept once.
    let eyes = [&lesson.dark, &lesson.lit, &lesson.aperture];
    let clicks = CLICKS.into_iter().chain(FEWER_CLICKS);
    let all: Vec<(&Eye, Dioptres)> =
        clicks.flat_map(|clicks| eyes.map(|eye| (eye, clicks.to_dioptres()))).collect();
    let mut views = Views::of(lesson.close_up((SEED, Side::Left, STROKE_PX), &all)?);
    Ok(vec![
        cover(lesson, surface),
        super::aims::slide(lesson, surface),
        foci(lesson, surface),
        sides(lesson, surface, &mut views),
        rooms(lesson, surface, &mut views),
        aperture(lesson, surface, &mut views),
    ])
}

/// Both fields with five letters each, as large as the slide allows.
fn cover(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let mut slide = Slide::bare(surface, "The red-green balance");
    let (top, high) = (MARGIN, 500.0);
    let middle = MARGIN + WIDE / 2.0;
    let [red, green] = lesson.paints;
    slide.tile([MARGIN, top, RIGHT, top + high]);
    slide.rect([MARGIN, top, middle, top + high], red);
    slide.rect([middle, top, RIGHT, top + high], green);
    let letter = 82.0;
    let ink = Paint { codes: [0; 3] };
    for left in [MARGIN, middle] {
        for (place, shape) in (0_u8..).zip(Draw::new(LetterSet::Sloan, SEED).take(5)) {
            let x = left + (WIDE / 2.0 - 9.0 * letter) / 2.0 + 2.0 * letter * f64::from(place);
            let y = top + (high - letter) / 2.0;
            let to =
                Affine::scale(PX_MM) * Affine::translate((x, y)) * Affine::scale(letter / STROKES_A_SIDE);
            slide.canvas.path(to * shape.outline(), ink);
        }
    }
    let (heading, lead) = (slide.heading(44.0), slide.lead());
    slide.write("The red-green balance", heading, Anchor::Left, [MARGIN, top + high + 110.0]);
    let words = format!(
        "On which side are the edges of the letters crisper? Red calls for minus, green for plus, in clicks of {CLICK_D} D, if the room, the chart and the question are right."
    );
    let bottom = slide.paragraph(&words, lead, [MARGIN, top + high + 140.0], 1600.0);
    let body = slide.body();
    slide.paragraph(words::SEIZURES, body, [MARGIN, bottom + 16.0], WIDE);
    slide.resting_on(format!("{}, {}", lesson.name, lesson.room.viewing.distance)).saying([
        "Before anything red is shown, ask the class who has ever had a seizure, a migraine from screens or a discomfort from flicker, and let them look away.".to_owned(),
        words::SEIZURES.to_owned(),
    ])
}

/// How far pencils of light reach to either side of the retina, in pixels.
const REACH: f64 = 800.0;

/// How steep both pencils are: neither is higher than 260 pixels to either side, wherever it focuses.
fn slope([green, red]: [f64; 2]) -> f64 {
    260.0 / (REACH + green.abs().max(red.abs()))
}

/// Pencils of green and of red light that cross at their foci, so far from the retina at [x, y].
fn pencils(slide: &mut Slide, [green, red]: [f64; 2], [x, y]: [f64; 2]) {
    let slope = slope([green, red]);
    for (focus, paint, dashes) in
        [(green, slide.palette.middle, &DASHES[..]), (red, slide.palette.long, &[][..])]
    {
        for up in [-1.0, 1.0] {
            let rise = |from: f64| y + up * slope * (from - (x + focus));
            let ends = [x - REACH, x + REACH];
            slide.dashed([ends[0], rise(ends[0])], [ends[1], rise(ends[1])], 4.0, dashes, paint);
        }
    }
}

/// The marks of both foci, and their names: under the other pencil where that passes high enough, else over it.
fn name_foci(slide: &mut Slide, foci: [f64; 2], dioptre: f64, [x, y]: [f64; 2]) {
    /// How far a name stands over the axis, how high it reaches, and from the retina.
    const OVER: f64 = 70.0;
    const HIGH: f64 = 25.0;
    const BESIDE: f64 = 24.0;
    let (body, palette) = (slide.body(), slide.palette);
    let slope = slope(foci.map(|focus| focus * dioptre));
    let sides = [("green", palette.middle), ("red", palette.long)];
    for ((focus, other), (word, paint)) in foci.into_iter().zip([foci[1], foci[0]]).zip(sides) {
        let at = x + focus * dioptre;
        mark(slide, word == "green", [at, y], 12.0, paint);
        let where_to = if focus < 0.0 { "in front" } else { "behind" };
        let words = format!("{word}: {:.2} D {where_to}", focus.abs());
        let half = run(&words, body) / 2.0;
        // How high the other pencil passes over a place.
        let passes = |place: f64| slope * (place - (x + other * dioptre)).abs();
        let inward = if focus < other { half } else { -half };
        let style = body.in_paint(paint);
        if passes(at + inward) > OVER + HIGH {
            slide.write(&words, style, Anchor::Centre, [at, y - OVER]);
        } else {
            let away = if focus < other { -half - BESIDE } else { half + BESIDE };
            let middle = if focus < other { at.min(x + away) } else { at.max(x + away) };
            let over = passes(middle - inward);
            slide.write(&words, style, Anchor::Centre, [middle, y - over - HIGH / 2.0]);
        }
    }
}

/// Two pencils of light around the retina, along the axis to scale.
fn foci(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let [green, red] = lesson.foci();
    let dioptre = dioptre(lesson, 0.0, [2000.0, 560.0]);
    let interval = lesson.interval();
    let mut slide = Slide::new(
        surface,
        format!("Green light focuses in front of red: on this screen by {interval:.2} D"),
    );
    let (x, y) = (960.0, slide.top + 270.0);
    pencils(&mut slide, [green, red].map(|focus| focus * dioptre), [x, y]);
    // The axis begins behind its word.
    slide.straight([x - REACH + 96.0, y], [x + REACH, y], 2.0, slide.palette.quiet);
    slide.straight([x, y - 240.0], [x, y + 240.0], 6.0, slide.palette.ink);
    let body = slide.body();
    slide.write("retina", body, Anchor::Left, [x + 16.0, y - 214.0]);
    name_foci(&mut slide, [green, red], dioptre, [x, y]);
    let small = slide.small();
    slide.write("light →", small, Anchor::Left, [x - REACH, y + 8.0]);
    bars(&mut slide, [x + green * dioptre, y + 290.0], [interval * dioptre, CLICK_D * dioptre]);
    slide.resting_on(format!(
        "To scale along the axis, in dioptres; {:.0} nm in focus. {}; {}.",
        lesson.dark.focus_at.to_nm(),
        lesson.dark.chromatic.name(),
        lesson.model.spectra.origin
    ))
    .saying([
        "Say: the eye bends short waves more. So with a white letter in focus green comes to its focus a little before the retina, and red a little behind it.".to_owned(),
        format!("Ask the class: what happens to both foci when {CLICK_D} D of plus goes in? Both move forward together, and red comes nearer to the retina."),
        format!("Often misunderstood: textbooks give one number for all charts. It depends on the screen: here it is {interval:.2} D, worked out from whole spectra ({}), not from the peaks of two filters.", lesson.model.spectra.origin),
    ])
}

/// Pixels a dioptre: no more than `most`, and few enough that foci which a lens moves by `moved` dioptres stay `within` this
/// distance of the retina.
fn dioptre(lesson: &Lesson<'_>, moved: f64, [most, within]: [f64; 2]) -> f64 {
    let farthest = lesson.foci().into_iter().map(f64::abs).fold(0.0, f64::max) + moved;
    (within / farthest).min(most)
}

/// The interval and a click, one under the other.
fn bars(slide: &mut Slide, [left, top]: [f64; 2], lengths: [f64; 2]) {
    let body = slide.body();
    for (row, (length, words)) in (0_u8..)
        .zip(lengths.into_iter().zip(["between green and red".to_owned(), format!("one click, {CLICK_D} D")]))
    {
        let y = top + 60.0 * f64::from(row);
        let paint = if row == 0 { slide.palette.balance } else { slide.palette.ink };
        slide.straight([left, y], [left + length, y], 6.0, paint);
        slide.write(
            &words,
            body.in_paint(paint),
            Anchor::Left,
            [left + lengths[0].max(lengths[1]) + 28.0, y + 10.0],
        );
    }
}

/// A square of green or a round of red.
pub(super) fn mark(slide: &mut Slide, is_green: bool, [x, y]: [f64; 2], half: f64, paint: Paint) {
    let path: BezPath = if is_green {
        Rect::new(x - half, y - half, x + half, y + half).to_path(1e-3)
    } else {
        Circle::new((x, y), half).to_path(1e-2)
    };
    slide.canvas.path(Affine::scale(PX_MM) * path, paint);
}

/// A view, and what stands under it.
pub(super) fn tile(
    slide: &mut Slide,
    lesson: &Lesson<'_>,
    seen: (&mut Views, &Eye, Dioptres),
    place: ([f64; 2], f64),
) {
    let [red, green] = lesson.clarity(seen.1, seen.2);
    let words = format!("clarity: red {:.2}, green {:.2}", red.value(), green.value());
    tile_saying(slide, seen, place, &words);
}

/// A view with its pupil, lens error and line, and words under them.
fn tile_saying(
    slide: &mut Slide,
    (views, eye, at): (&mut Views, &Eye, Dioptres),
    ([left, top], times): ([f64; 2], f64),
    said: &str,
) {
    let picture = views.seen(eye, at);
    slide.view(&picture, [left, top], times);
    let small = slide.small();
    let words = format!("{}, {at}, {}", Lesson::pupil(eye), target());
    let baseline = top + times * f64::from(picture.height()) + 32.0;
    slide.write(&words, small.in_paint(slide.palette.ink), Anchor::Left, [left, baseline]);
    slide.write(said, small, Anchor::Left, [left, baseline + 32.0]);
}

/// Which side is the clearer one and by how much, each against its own best.
fn compared(lesson: &Lesson<'_>, eye: &Eye, at: Dioptres) -> String {
    let ratio = 10_f64.powf(lesson.log_ratio(eye, at));
    let (side, by) = if ratio > 1.0 { ("red", ratio) } else { ("green", 1.0 / ratio) };
    match by {
        by if by < 1.005 => "both sides equally clear".into(),
        by if by < 2.0 => format!("{side} {by:.2} times as clear"),
        by => format!("{side} {by:.1} times as clear"),
    }
}

/// What stands under a slide of views.
fn under_views() -> String {
    format!("Under each view: pupil, lens error (plus: too plus), line. {LEFT_OUT}")
}

/// What tells these figures from those of slides on which each side is held to its own best.
pub(super) const NOT_ITS_BEST: &str = "Clarity as it is, not as a share of each side’s own best.";

const AS_CLEAR: &str = "As clear: each by its own best.";

/// What stands under a slide of answers with their chances.
fn under_chances() -> String {
    format!("Answers: the typical patient’s likeliest, with its chance. {AS_CLEAR} {}", under_views())
}

/// An answer as the patient gives it.
pub(super) fn spoken(answer: Answer) -> String {
    format!("“{}”", answer.said())
}

/// Too much minus, none, too much plus: the foci, and what is seen.
fn sides(lesson: &Lesson<'_>, surface: Surface, views: &mut Views) -> Slide {
    let eye = &lesson.dark;
    let errors = CLICKS.map(Clicks::to_dioptres);
    let mut slide = Slide::new(surface, "Too much plus: red is clearer. Too much minus: green is clearer.");
    let top = slide.top + 30.0;
    let (heading, body) = (slide.heading(28.0), slide.body());
    let rows = [top, top + 120.0, top + 300.0, top + 570.0];
    for (words, y) in ["Lens", "Both foci", "On the retina", "The patient says"].into_iter().zip(rows) {
        slide.write(words, body.in_paint(slide.palette.quiet), Anchor::Left, [MARGIN, y]);
    }
    for (left, at) in COLUMNS.into_iter().zip(errors) {
        let how = match at.to_d() {
            minus if minus < 0.0 => format!("{:.2} D too much minus", -minus),
            plus if plus > 0.0 => format!("{plus:.2} D too much plus"),
            _ => "balanced".to_owned(),
        };
        slide.write(&how, heading, Anchor::Left, [left, rows[0]]);
        axis(&mut slide, lesson, at, [left, rows[1] - 10.0]);
        tile(&mut slide, lesson, (views, eye, at), ([left, rows[2] - 115.0], 1.0));
        slide.write(&spoken(lesson.answer(eye, at)), heading, Anchor::Left, [left, rows[3]]);
    }
    slide.resting_on(format!("{} {CLARITY} {NOT_ITS_BEST}", under_views())).saying([
        "Say: follow one column from top to bottom. Lens, foci, picture, answer: that is the whole test.",
        "Ask the class, before you point to it: on which side are the edges of the letter crisper in the left picture?",
        "Often misunderstood: “red is clearer, so the eye needs red, so more plus”. It is the other way round: red clearer means too much plus already.",
    ])
}

/// Where both fields focus before or behind the retina, to scale.
fn axis(slide: &mut Slide, lesson: &Lesson<'_>, at: Dioptres, [left, y]: [f64; 2]) {
    let dioptre = dioptre(lesson, CLICKS[2].to_dioptres().to_d(), [250.0, 165.0]);
    let retina = left + VIEW[0] / 2.0;
    slide.straight([left, y], [left + VIEW[0], y], 2.0, slide.palette.quiet);
    // Words stand below its end.
    slide.straight([retina, y - 54.0], [retina, y + 22.0], 5.0, slide.palette.ink);
    let small = slide.small();
    if at.to_d().abs() < f64::EPSILON {
        slide.write("retina", small, Anchor::Left, [retina + 12.0, y - 36.0]);
    }
    let fields = [("green", slide.palette.middle), ("red", slide.palette.long)];
    for (focus, (word, paint)) in lesson.foci().into_iter().zip(fields) {
        // Plus draws every focus forward.
        let x = retina + (focus - at.to_d()) * dioptre;
        mark(slide, word == "green", [x, y], 12.0, paint);
        // So that the words stay apart where the foci lie close.
        let aside = if word == "green" { -10.0 } else { 10.0 };
        slide.write(word, small.in_paint(slide.palette.ink), Anchor::Centre, [x + aside, y + 46.0]);
    }
}

/// Two rows of views a click to either side of nought; if wanted, with what the model's patient most likely answers.
fn pair(
    (lesson, surface): (&Lesson<'_>, Surface),
    views: &mut Views,
    title: &str,
    (rows, with_answers): ([(&str, &Eye); 2], bool),
) -> Slide {
    let errors = FEWER_CLICKS.map(Clicks::to_dioptres);
    let mut slide = Slide::new(surface, title);
    let (heading, body, small) = (slide.heading(28.0), slide.body(), slide.small());
    let mut top = slide.top - 10.0;
    for (row, (words, eye)) in rows.into_iter().enumerate() {
        let bottom = slide.paragraph(words, heading, [MARGIN, top], NAME) + 20.0;
        if row == 0 {
            slide.paragraph(ABERRATIONS, small.in_paint(slide.palette.ink), [MARGIN, bottom], NAME);
        }
        for (left, at) in COLUMNS.into_iter().zip(errors) {
            tile_saying(&mut slide, (views, eye, at), ([left, top], 1.0), &compared(lesson, eye, at));
            if with_answers {
                let (answer, chance) = lesson.likeliest(eye, at);
                let answer = format!("{}, {:.0} %", spoken(answer), 100.0 * chance);
                slide.write(&answer, body, Anchor::Left, [left, top + VIEW[1] + 100.0]);
            }
        }
        top += VIEW[1] + 134.0;
    }
    slide
}

/// What these eyes have of the aberrations of real ones.
const ABERRATIONS: &str = "Behind 4 mm and more with an ordinary eye’s spherical aberration. Single eyes have others besides, and a click then shows less than here.";

fn rooms(lesson: &Lesson<'_>, surface: Surface, views: &mut Views) -> Slide {
    let rows = [("Dark room", &lesson.dark), ("Lit room", &lesson.lit)];
    let title = match rows.map(|(_, eye)| lesson.log_ratio_per_click(eye)) {
        [Some(dark), Some(lit)] if dark > lit => {
            "A dark room opens the pupil; in the model a click then shows more"
        }
        _ => "The pupil sets how plainly a click shows",
    };
    // A typical patient's answers would be as certain in both rows: a click is easily told before either pupil.
    let slide = pair((lesson, surface), views, title, (rows, false));
    slide.resting_on(format!(
        "Natural pupils at {AGE_YEARS:.0} years (Watson & Yellott 2012), by this screen’s fields alone and in {LIT_LUX:.0} lx. {AS_CLEAR} {}",
        under_views()
    ))
    .saying([
        "Say: it is one eye in two rooms. Only the pupil differs.",
        "Ask the class: how dark is it where you do this test? Who switches the light off?",
        "Often misunderstood: dark does not only mean black letters. A wide pupil has a short depth of focus, and that is what makes a click show.",
    ])
}

fn aperture(lesson: &Lesson<'_>, surface: Surface, views: &mut Views) -> Slide {
    let rows = [("Ordinary pupil, dark room", &lesson.dark), ("Small-aperture implant", &lesson.aperture)];
    let slide =
        pair((lesson, surface), views, "Behind a small aperture the sides look nearly alike", (rows, true));
    slide.resting_on(format!(
        "An aperture of {:.1} mm in the plane of the lens, a round example, no particular implant. {}",
        APERTURE.to_mm(),
        under_chances()
    ))
    .saying([
        "Say: this is what makes such eyes hard. The lens is as wrong as in the row above, and hardly anything shows.",
        "Ask the class: what would you change? Larger steps, more questions, and a look at how sure the answer is.",
        "Often misunderstood: an autorefractor is no way out, since it too looks through the aperture. That it is uncertain is a reason to ask well, not a reason to leave the eye alone.",
    ])
}

/// The colours that words of a side have.
pub(in crate::print) const fn ink_of(answer: Answer, palette: &Palette) -> Paint {
    match answer {
        Answer::Red => palette.long,
        Answer::Green => palette.middle,
        Answer::Same => palette.balance,
        Answer::Unsure => palette.quiet,
    }
}
