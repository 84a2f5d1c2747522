//! How the balance is asked: the target, the question, the decision at each answer, the end points.
//!
//! What each answer leads to is taken from a run that is asked, and which lens an end point leaves from a whole one: a slide
//! cannot teach another rule than the program follows.

use kurbo::Affine;

use super::Surface;
use super::lesson::{LINES_ABOVE, Lesson, LessonError, target, threshold};
use super::light::{ink_of, mark};
use super::slide::{MARGIN, PX_MM, RIGHT, Slide, WIDE};
use crate::acuity::Acuity;
use crate::balance::words::Said;
use crate::balance::{
    Answer, Clicks, ColourVision, EndPoint, EyeKind, Lead, Procedure, Rules, Run, Step, Why, steps_hold_for,
    words,
};
use crate::chart::letter_height;
use crate::optotype::{Draw, LetterSet, STROKES_A_SIDE};
use crate::quantity::Dioptres;
use crate::scene::Anchor;
use crate::scene::look::Style;
use crate::text::capital;

pub(super) fn slides(lesson: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    Ok(vec![
        target_line(lesson, surface),
        question(surface),
        decision(surface),
        end_points(surface),
        super::fog::slide(lesson, surface)?,
    ])
}

/// The lines from the threshold up to the target, to one scale.
fn target_line(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    /// The threshold's letters in pixels.
    const SMALLEST: f64 = 70.0;
    let threshold = threshold();
    let mut slide = Slide::new(
        surface,
        format!("Show letters {} lines larger than the smallest line read", lines_above()),
    );
    let mut top = slide.top + 30.0;
    for above in (0..=LINES_ABOVE).rev() {
        let Ok(line) = threshold.lines_above(above) else { continue };
        let high = SMALLEST * line.size_ratio_to(threshold);
        letters(&mut slide, line, [MARGIN + 560.0, top], high);
        let baseline = top + high / 2.0 + 12.0;
        named(&mut slide, lesson, (above, line), baseline);
        top += high + 70.0;
    }
    why_this_target(&mut slide, top + 20.0);
    slide.resting_on(
        "A line is 0.1 logMAR. Letters are drawn to one scale; heights are those on this room’s screen.",
    )
    .saying([
        format!("Say: {}", target_in_words()),
        "Ask the class: why not the smallest line? Because there any blur on either side makes letters unreadable, and the patient guesses.".into(),
        "Often misunderstood: larger is not safer. Very large letters stay clear on both sides, and the answer is “no difference” in lens after lens.".into(),
    ])
}

fn why_this_target(slide: &mut Slide, top: f64) {
    let (threshold, target, body) = (threshold(), target(), slide.body());
    let words = format!(
        "Any blur spoils letters at threshold, on both sides; much larger letters stay clear on both. First refine sphere and cylinder and read acuity on white. An eye that reads {threshold} is asked with {target}."
    );
    slide.paragraph(&words, body, [MARGIN, top], 1640.0);
}

/// A line's name, what it is here, and how high its letters are in this room.
fn named(slide: &mut Slide, lesson: &Lesson<'_>, (above, line): (u8, Acuity), baseline: f64) {
    let is_target = line == target();
    let (heading, body, small) = (slide.heading(35.0), slide.body(), slide.small());
    let style = if is_target { heading.in_paint(slide.palette.balance) } else { heading };
    slide.write(&line.to_string(), style, Anchor::Left, [MARGIN, baseline]);
    let name = match (above, is_target) {
        (0, _) => "threshold on white",
        (_, true) => "target",
        _ => "",
    };
    slide.write(name, body, Anchor::Left, [MARGIN + 190.0, baseline]);
    let millimetres = letter_height(line, lesson.room.viewing.distance).to_mm();
    let words = format!("{millimetres:.2} mm high at {}", lesson.room.viewing.distance);
    slide.write(&words, small, Anchor::Right, [RIGHT, baseline]);
}

fn letters(slide: &mut Slide, line: Acuity, [left, top]: [f64; 2], high: f64) {
    let seed = u64::from(line.standard_line().map_or(0, |line| line.tenths.unsigned_abs())) + 1;
    for (place, letter) in (0_u8..).zip(Draw::new(LetterSet::Sloan, seed).take(5)) {
        let x = left + 1.6 * high * f64::from(place);
        let to = Affine::scale(PX_MM) * Affine::translate((x, top)) * Affine::scale(high / STROKES_A_SIDE);
        slide.canvas.path(to * letter.outline(), slide.palette.ink);
    }
}

fn question(surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "Ask about crisp edges, never about brightness");
    let large = Style { em: slide.heading(44.0).em, ..slide.body() };
    let words = format!("“{}”", words::question(ColourVision::Usual));
    let top = slide.top + 60.0;
    let bottom = slide.paragraph(&words, large, [MARGIN, top], 1560.0) + 70.0;
    slide.rule([MARGIN, RIGHT], bottom);
    let terms = [
        ("First say".to_owned(), format!("“{}”", words::NO_DIFFERENCE)),
        ("Before".to_owned(), words::BEFORE_ASKING.to_owned()),
        ("Colour defect".to_owned(), format!("“{}”", words::question(ColourVision::Protan))),
    ];
    slide.terms(&terms, bottom + 40.0, 320.0, 48.0);
    slide.saying([
        format!("Say it aloud, slowly, as it stands: “{}”", words::question(ColourVision::Usual)),
        format!("Let pairs practise it on each other. First: “{}” {}", words::NO_DIFFERENCE, words::BEFORE_ASKING),
        "Often misunderstood: “Which side is better?” invites an answer about colour, and “which is blacker?” one about brightness. Neither is about focus.".into(),
    ])
}

/// Kinds of eye that are asked by the same rules, and what each first answer leads to in a run of them.
pub(in crate::print) struct FirstSteps {
    /// Which eyes.
    pub eyes: String,
    /// The way in which they are asked by hand.
    pub way: &'static str,
    /// The answers, in the order of [`Answer::ALL`].
    pub leads: Vec<Lead>,
}

impl FirstSteps {
    /// The eyes and how they are asked, within a sentence.
    pub(in crate::print) fn asked(&self) -> String {
        format!("{}, asked by hand, {}", self.eyes, self.way)
    }
}

/// What each first answer leads to by the rules proposed for each kind of eye.
pub(in crate::print) fn first_steps() -> Vec<FirstSteps> {
    let steps = |(rules, kinds): (Rules, Vec<EyeKind>)| {
        let names: Vec<&str> = kinds.into_iter().map(EyeKind::words).collect();
        let fog = match Run::new(rules).step() {
            Step::Ask { clicks, why: Why::Fog, .. } => {
                format!(", fogged by {}", clicks.to_dioptres())
            }
            Step::Ask { .. } | Step::End(_) => String::new(),
        };
        FirstSteps {
            eyes: capital(&format!("{}{fog}", names.join(" or "))),
            way: Procedure::from(rules.stepping()).said().name,
            leads: rules.leads(),
        }
    };
    EyeKind::asked_alike().into_iter().map(steps).collect()
}

/// By how much the lens changes.
pub(in crate::print) fn change(lead: &Lead) -> Dioptres {
    lead.moved.to_dioptres()
}

/// How wide the answers are, beside the columns of the kinds of eye, and the air between columns.
const ANSWERS: f64 = 310.0;
const AIR: f64 = 44.0;

/// What each first answer means, and what it leads to in each kind of eye.
fn decision(surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "The first answer: red calls for minus, green for plus");
    let groups = first_steps();
    let wide = (WIDE - ANSWERS) / f64::from(u8::try_from(groups.len()).unwrap_or(u8::MAX));
    let lefts: Vec<f64> =
        (0_u8..).take(groups.len()).map(|column| MARGIN + ANSWERS + wide * f64::from(column)).collect();
    let (heading, small) = (slide.heading(28.0), slide.small());
    let mut top = slide.top;
    for (group, left) in groups.iter().zip(&lefts) {
        let bottom = slide.paragraph(&group.eyes, heading, [*left, slide.top - 16.0], wide - AIR);
        let bottom = slide.paragraph(&format!("way: {}", group.way), small, [*left, bottom], wide - AIR);
        top = top.max(bottom + 12.0);
    }
    slide.write("crisper", small, Anchor::Left, [MARGIN + 52.0, slide.top + 12.0]);
    for (row, answer) in Answer::ALL.into_iter().enumerate() {
        slide.rule([MARGIN, RIGHT], top);
        let mut bottom = answered(&mut slide, answer, top);
        for (group, left) in groups.iter().zip(&lefts) {
            if let Some(lead) = group.leads.get(row) {
                bottom = bottom.max(next_step(&mut slide, lead, [*left, top], wide - AIR));
            }
        }
        top = bottom + 4.0;
    }
    slide.resting_on(format!(
        "Only the first answer, asked by hand: later the way of asking decides. {}",
        steps_hold_for()
    ))
    .saying([
        "Say: read a row. The answer is the same for all, what follows is not: it depends on the eye.".to_owned(),
        "Ask the class: cover the columns. Red in an eye with a lens implant: which lens? Green in fog: which lens, and why plus?".to_owned(),
        format!("Often misunderstood: “unsure” is not “the same”. {}", steps_hold_for()),
    ])
}

/// An answer with its mark and what it means; says where it ends below.
fn answered(slide: &mut Slide, answer: Answer, top: f64) -> f64 {
    let (heading, small) = (slide.heading(35.0), slide.small());
    let baseline = top + 42.0;
    answer_mark(slide, answer, [MARGIN + 14.0, baseline - 12.0]);
    let style = heading.in_paint(ink_of(answer, slide.palette));
    slide.write(&answer.to_string(), style, Anchor::Left, [MARGIN + 52.0, baseline]);
    slide.paragraph(meaning(answer), small, [MARGIN, baseline + 8.0], ANSWERS - AIR)
}

/// A change of lens, and why where the row's own answer does not say it; says where it ends below.
fn next_step(slide: &mut Slide, lead: &Lead, [left, top]: [f64; 2], wide: f64) -> f64 {
    let (large, small) = (slide.lead(), slide.small().in_paint(slide.palette.ink));
    let baseline = top + 42.0;
    slide.write(&change(lead).to_string(), large, Anchor::Left, [left, baseline]);
    match lead.step {
        Step::Ask { why: Why::RedWasClearer | Why::GreenWasClearer, .. } => baseline,
        Step::Ask { .. } | Step::End(_) => {
            slide.paragraph(&lead.words(), small, [left, baseline + 8.0], wide)
        }
    }
}

/// How many lines larger, in words.
const fn lines_above() -> &'static str {
    match LINES_ABOVE {
        1 => "one",
        2 => "two",
        3 => "three",
        4 => "four",
        _ => "several",
    }
}

/// What is done before, and which line is shown.
pub(in crate::print) fn target_in_words() -> String {
    let (threshold, target) = (threshold(), target());
    format!(
        "First refine sphere and cylinder and read acuity on white. Show letters {} lines larger than the smallest line read: with {threshold} that is {target}.",
        lines_above()
    )
}

/// Where the focus is when an answer is given.
const fn meaning(answer: Answer) -> &'static str {
    match answer {
        Answer::Red => "Too much plus: foci too far forward.",
        Answer::Green => "Too much minus: foci too far back.",
        Answer::Same => "Both are equally near, or both equally blurred.",
        Answer::Unsure => "No answer, never taken for the same.",
    }
}

/// The mark of an answer, told apart by form.
pub(super) fn answer_mark(slide: &mut Slide, answer: Answer, at: [f64; 2]) {
    match answer {
        Answer::Red | Answer::Green => {
            mark(slide, answer == Answer::Green, at, 13.0, ink_of(answer, slide.palette));
        }
        Answer::Same => {
            let mut path = kurbo::BezPath::new();
            path.move_to((at[0], at[1] - 16.0));
            for corner in [[16.0, 0.0], [0.0, 16.0], [-16.0, 0.0]] {
                path.line_to((at[0] + corner[0], at[1] + corner[1]));
            }
            path.close_path();
            slide.canvas.path(Affine::scale(PX_MM) * path, slide.palette.balance);
        }
        Answer::Unsure => {
            let style = slide.heading(35.0).in_paint(slide.palette.quiet);
            slide.write("?", style, Anchor::Centre, [at[0], at[1] + 12.0]);
        }
    }
}

/// The lens that an end point leaves in an eye that answers by its lens, swapped sides included.
fn left_in(end_point: EndPoint, way: fn(Clicks) -> Answer) -> Dioptres {
    let run = Run::new(Rules::customary(end_point, false));
    run.with(|put| way(put.clicks)).left_in().to_dioptres()
}

/// Red down to the first lens, then the same, then green.
fn with_same(lens: Clicks) -> Answer {
    match lens.count() {
        0.. => Answer::Red,
        -1 => Answer::Same,
        _ => Answer::Green,
    }
}

/// Red down to a click of minus, then green at once.
fn with_flip(lens: Clicks) -> Answer {
    if lens >= Clicks::new(-1) { Answer::Red } else { Answer::Green }
}

/// Two ways in which answers can go.
const WAYS: [fn(Clicks) -> Answer; 2] = [with_same, with_flip];

/// What a patient answers from the first lens down.
fn answers(slide: &mut Slide, way: fn(Clicks) -> Answer, [right, top]: [f64; 2]) {
    let (body, small) = (slide.body(), slide.small());
    for row in 0..3_u8 {
        let clicks = -Clicks::new(row.into());
        let lens = clicks.to_dioptres().to_string();
        let baseline = top + 50.0 * f64::from(row);
        let answer = way(clicks);
        slide.write(&lens, small, Anchor::Right, [right - 120.0, baseline]);
        slide.write(
            &answer.to_string(),
            body.in_paint(ink_of(answer, slide.palette)),
            Anchor::Right,
            [right, baseline],
        );
    }
}

/// An end point, and the lens that it leaves in each patient's eye.
fn one_end_point(slide: &mut Slide, end_point: EndPoint, columns: [f64; 2], top: f64) {
    let (heading, body, lead) = (slide.heading(28.0), slide.body(), slide.lead());
    let Said { name, how } = end_point.said();
    slide.write(&capital(name), heading, Anchor::Left, [MARGIN, top + 58.0]);
    slide.paragraph(&format!("{}.", capital(how)), body, [MARGIN, top + 76.0], 1080.0);
    for (right, way) in columns.into_iter().zip(WAYS) {
        let lens = left_in(end_point, way).to_string();
        slide.write(&lens, lead.in_paint(slide.palette.balance), Anchor::Right, [right, top + 104.0]);
    }
}

/// Which end point is proposed for which kinds of eye.
fn proposed() -> String {
    let of = |end_point: EndPoint| {
        let kinds: Vec<&str> = EyeKind::ALL
            .into_iter()
            .filter(|kind| kind.usual_end_point() == end_point)
            .map(EyeKind::words)
            .collect();
        (!kinds.is_empty()).then(|| format!("{} ({})", end_point.name(), kinds.join(", ")))
    };
    EndPoint::ALL.into_iter().filter_map(of).collect::<Vec<_>>().join("; ")
}

fn end_points(surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "Teachers differ on the last lens: choose the end point by name");
    let body = slide.body();
    let columns = [MARGIN + 1270.0, RIGHT];
    let mut top = slide.top + 20.0;
    slide.write("Two patients answer, from the first lens down …", body, Anchor::Left, [MARGIN, top]);
    slide.write("… and this lens is left in.", body, Anchor::Left, [MARGIN, top + 100.0]);
    for (right, way) in columns.into_iter().zip(WAYS) {
        answers(&mut slide, way, [right, top]);
    }
    top += 134.0;
    for end_point in EndPoint::ALL {
        slide.rule([MARGIN, RIGHT], top);
        one_end_point(&mut slide, end_point, columns, top);
        top += 188.0;
    }
    slide.resting_on(format!("Proposed: {}. Lenses count from the first one.", proposed())).saying([
        "Say: none of these is right by itself. What matters is that it is chosen before, and that it stands on the record.",
        "Ask the class: which one were you taught? Let hands go up for each, and write the numbers on the board.",
        "Often misunderstood: “leave the patient in the red” means the answer with the lens that stays in, not the direction of the last click.",
    ])
}

/// How wide a paragraph from this left end may be.
pub(super) const fn beside(left: f64) -> f64 {
    MARGIN + WIDE - left
}
