//! The balance at work: the procedures, a run with its record, near against far.
//!
//! How the ways of asking compare is counted anew for every deck, with simulated patients before this screen; the slide says how
//! many, and that they are no evidence about real ones.

use kurbo::Rect;

use super::Surface;
use super::asking::beside;
use super::lesson::{AGE_YEARS, Lesson, LessonError, last};
use super::slide::{BOTTOM, MARGIN, PX_MM, RIGHT, Slide};
use crate::balance::estimate::{Likelihood, Prior};
use crate::balance::words::Said;
use crate::balance::{
    Asking, ByEstimate, Choice, ClarityTable, Course, Event, EyeKind, MANIFEST_SDS_D, Moments, Patient,
    Procedure, Pupils, Scenario, Statistics, Trial, Way,
};
use crate::eye::{CLICK_D, Eye, Pupil};
use crate::print::balance_page::ladder::Ladder;
use crate::quantity::{Dioptres, Length};
use crate::scene::look::Palette;
use crate::scene::{Anchor, Axis, Curve as Line, Paint, Plot, Series, Word};
use crate::text::capital;

/// The ways of asking about red and green; the midpoint has a slide of its own.
const ABOUT_COLOURS: [Procedure; 4] =
    [Procedure::Customary, Procedure::FromPlus, Procedure::Bracket, Procedure::Adaptive];

/// Simulated patients a procedure, and where their chance comes from: enough for whole per cents to hold within two.
const PATIENTS: u32 = 2000;
const PATIENTS_SEED: u64 = 1;

/// By how much manifests are off white's best, as an SD in dioptres.
const MANIFEST_SD_D: f64 = MANIFEST_SDS_D[1];

/// The eyes that the procedures are tried on: a small aperture, and an ordinary pupil that does not accommodate.
const TRIED: [usize; 2] = [0, 2];

/// By how much the worked run's manifest is too plus: more than a click.
const TOO_PLUS_D: f64 = 0.3;

pub(super) fn slides(lesson: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    Ok(vec![
        procedures(lesson, surface)?,
        worked_run(lesson, surface),
        super::sure::slide(lesson, surface),
        super::midpoint::slide(lesson, surface)?,
        near_and_far(lesson, surface),
    ])
}

fn procedures(lesson: &Lesson<'_>, surface: Surface) -> Result<Slide, LessonError> {
    let mut slide = Slide::new(surface, "Four ways to ask about red and green: where the lens ends");
    let small = slide.small();
    let columns = [RIGHT - 2.0 * BAR - 48.0, RIGHT - BAR];
    let mut top = slide.top;
    for (left, scenario) in columns.into_iter().zip(TRIED.map(|index| Scenario::ALL[index])) {
        let words = format!("{}, {}", eye_of(scenario.kind), scenario.pupil);
        slide.write(&words, slide.heading(28.0), Anchor::Left, [left, top]);
        for Ended { words, anchor, along, .. } in ENDED {
            slide.write(words, small, anchor, [left + along * BAR, top + 36.0]);
        }
    }
    top += 56.0;
    let statistics = TRIED.map(|index| tried_on(lesson, &Scenario::ALL[index], &ABOUT_COLOURS));
    let statistics: Vec<_> = statistics.into_iter().collect::<Result<_, _>>()?;
    for (row, procedure) in ABOUT_COLOURS.into_iter().enumerate() {
        slide.rule([MARGIN, RIGHT], top);
        way(&mut slide, procedure, columns[0] - MARGIN - 40.0, top);
        for (left, column) in columns.into_iter().zip(&statistics) {
            if let Some(one) = &column[row] {
                shares(&mut slide, one.balance, [left, top]);
            }
        }
        top += 158.0;
    }
    Ok(slide.resting_on(format!(
        "{PATIENTS} simulated patients each, who differ as is assumed, manifests {MANIFEST_SD_D} D (SD) off white’s best: how many end within a click of {CLICK_D} D of balance; the manifest where nothing is decided. No real patients. Not modelled: astigmatism, scatter, adaptation, the practitioner’s judgement."
    )))
}

/// How long a bar is.
const BAR: f64 = 380.0;

/// How an eye may end: the colour of its share, and where along a bar its words stand.
struct Ended {
    words: &'static str,
    paint: fn(&Palette) -> Paint,
    anchor: Anchor,
    along: f64,
}

const ENDED: [Ended; 3] = [
    Ended { words: "minus", paint: |palette| palette.quiet, anchor: Anchor::Left, along: 0.0 },
    Ended { words: "within a click", paint: |palette| palette.balance, anchor: Anchor::Centre, along: 0.5 },
    Ended { words: "plus", paint: |palette| palette.quiet, anchor: Anchor::Right, along: 1.0 },
];

/// A way of asking, and the eyes that it is proposed for.
fn way(slide: &mut Slide, procedure: Procedure, width: f64, top: f64) {
    let (heading, small) = (slide.heading(28.0), slide.small());
    let Said { name, how } = procedure.said();
    slide.write(&capital(name), heading, Anchor::Left, [MARGIN, top + 42.0]);
    let aside = MARGIN + super::slide::run(&capital(name), heading) + 28.0;
    slide.write(
        &proposed(procedure),
        small.in_paint(slide.palette.balance),
        Anchor::Left,
        [aside, top + 42.0],
    );
    slide.paragraph(
        &format!("{}.", capital(how)),
        small.in_paint(slide.palette.ink),
        [MARGIN, top + 58.0],
        width,
    );
}

/// The eyes that it is proposed for, and those for whom who asks by hand.
fn proposed(procedure: Procedure) -> String {
    let kinds = |of: &dyn Fn(EyeKind) -> bool| -> String {
        EyeKind::ALL.into_iter().filter(|kind| of(*kind)).map(EyeKind::words).collect::<Vec<_>>().join("; ")
    };
    let usual = kinds(&|kind| kind.usual_procedure() == procedure);
    let by_hand = kinds(&|kind| {
        kind.usual_procedure() != procedure && Procedure::from(kind.by_hand().stepping()) == procedure
    });
    let named = |words: &str, kinds: String| (!kinds.is_empty()).then(|| format!("{words}: {kinds}"));
    let both = [named("proposed", usual), named("by hand", by_hand)];
    let both: Vec<String> = both.into_iter().flatten().collect();
    if both.is_empty() { "proposed for no kind of eye".into() } else { both.join(" · ") }
}

/// How many end how far from balance, as a bar of shares.
fn shares(slide: &mut Slide, ended: Moments, [left, top]: [f64; 2]) {
    let body = slide.body();
    let Moments { count, too_minus, too_plus, .. } = ended;
    let within = count - too_minus - too_plus;
    let mut from = left;
    for (Ended { paint, anchor, along, .. }, of) in ENDED.into_iter().zip([too_minus, within, too_plus]) {
        let share = f64::from(of) / f64::from(count.max(1));
        slide.rect([from, top + 66.0, from + share * BAR, top + 100.0], paint(slide.palette));
        from += share * BAR;
        slide.write(&format!("{:.0} %", 100.0 * share), body, anchor, [left + along * BAR, top + 48.0]);
    }
}

/// An eye of a scenario in a few words.
const fn eye_of(kind: EyeKind) -> &'static str {
    match kind {
        EyeKind::SmallAperture => "small aperture",
        EyeKind::Pseudophakic | EyeKind::Presbyopic => "ordinary pupil",
        EyeKind::Accommodating => "accommodating",
    }
}

/// What a scenario's eye sees; nothing where it has no balance on this screen.
fn seen(lesson: &Lesson<'_>, scenario: &Scenario) -> Result<Vec<Pupils>, LessonError> {
    let eye = Eye::with_pupil(Pupil::new(scenario.pupil)?);
    let line = ClarityTable::in_steps(&lesson.curve(&eye), Dioptres::new(0.05));
    Ok(line.map(|line| Pupils { line, larger: None }).into_iter().collect())
}

/// What comes of the midpoint behind a small aperture; none where there is no balance.
pub(super) fn midpoint_of(lesson: &Lesson<'_>) -> Result<Option<Statistics>, LessonError> {
    Ok(tried_on(lesson, &Scenario::ALL[TRIED[0]], &[Procedure::Midpoint])?.pop().flatten())
}

/// What comes of procedures, in their order; nothing where one is refused, or where there is no balance.
fn tried_on(
    lesson: &Lesson<'_>,
    scenario: &Scenario,
    procedures: &[Procedure],
) -> Result<Vec<Option<Statistics>>, LessonError> {
    let pupils = seen(lesson, scenario)?;
    let Some(known) = pupils.first() else { return Ok(vec![None; procedures.len()]) };
    let [balance, white] = [known.line.balance(), known.line.white()];
    let likelihood = Likelihood::new(known, balance, &Patient::typical());
    let prior = Prior::about(balance - white);
    let by_estimate = ByEstimate::new(&likelihood, prior, scenario.kind.usual_end_point());
    let mut by_estimate = Some(by_estimate);
    let mut one = |procedure: Procedure| {
        let asking = match scenario.way(procedure)? {
            Way::Rules(rules) => Asking::Rules(rules),
            Way::Adaptive(_) => Asking::Adaptive(by_estimate.take()?),
            Way::Midpoint => Asking::Midpoint(None),
        };
        Some(tried(&asking, &pupils))
    };
    Ok(procedures.iter().copied().map(&mut one).collect())
}

fn tried(asking: &Asking<'_>, pupils: &[Pupils]) -> Statistics {
    let trial = Trial {
        asking,
        patient: Patient::typical(),
        pupils,
        manifest_sd: Dioptres::new(MANIFEST_SD_D),
        some_far_off: false,
        lean: 0.0,
        seed: PATIENTS_SEED,
    };
    trial.statistics(PATIENTS, |_| {})
}

/// A run of the model's own answers behind the dark room's pupil, down to what is chosen.
fn run(lesson: &Lesson<'_>) -> Course {
    let kind = EyeKind::Pseudophakic;
    let start = lesson.start(kind, kind.by_hand().stepping().into(), kind.usual_end_point());
    let white = Event::White(start.acuity);
    let ran = lesson.run(&lesson.dark, kind.by_hand(), Dioptres::new(TOO_PLUS_D));
    let answers = ran.asked.into_iter().map(|(_, answer)| Event::Answered(answer));
    let events = std::iter::once(Event::Started(Box::new(start))).chain(answers);
    // White is read only where a lens was left in.
    last(events.chain([white, Event::Chosen(Choice::FarQuarter)]))
}

fn worked_run(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let course = run(lesson);
    let mut slide = Slide::new(surface, "A run, as its record keeps it");
    let width = 1060.0;
    let within = Rect::new(MARGIN, slide.top, MARGIN + width, BOTTOM - 60.0);
    let sides = [within.x0, within.y0, within.x1, within.y1].map(|side| side * PX_MM);
    let [x0, y0, x1, y1] = sides;
    Ladder { course: &course, palette: slide.palette, within: Rect::new(x0, y0, x1, y1) }
        .draw(&mut slide.canvas);
    came_to(&mut slide, &course, MARGIN + width + 60.0);
    slide.resting_on(format!(
        "Answers of the model: a natural pupil at {AGE_YEARS:.0} years in the dark room, whose manifest is {TOO_PLUS_D:.2} D too plus."
    ))
}

/// How a run ended, what stands and what was chosen.
fn came_to(slide: &mut Slide, course: &Course, left: f64) {
    let (body, lead) = (slide.body(), slide.lead());
    let mut top = slide.top;
    if let Some(ended) = course.ended() {
        top = slide.paragraph(&ended, lead, [left, top], beside(left)) + 36.0;
    }
    let distance = course.start.distance();
    if let Some(standing) = course.standing() {
        for (label, value) in
            [(format!("at {distance}"), standing.here), ("far away".to_owned(), standing.far)]
        {
            top += 44.0;
            slide.write(&label, body, Anchor::Left, [left, top]);
            slide.write(&value.to_string(), body, Anchor::Right, [RIGHT, top]);
        }
    }
    chosen(slide, course, [left, top]);
}

/// What was chosen, and how the eye was asked.
fn chosen(slide: &mut Slide, course: &Course, [left, mut top]: [f64; 2]) {
    let (heading, small) = (slide.heading(28.0), slide.small());
    if let (Some(choice), Some(sphere)) = (course.chosen, course.chosen_sphere()) {
        top += 56.0;
        slide.write("chosen", heading, Anchor::Left, [left, top]);
        slide.write(&sphere.to_string(), heading, Anchor::Right, [RIGHT, top]);
        slide.write(choice.words(), small, Anchor::Left, [left, top + 36.0]);
        top += 36.0;
    }
    let words = format!(
        "Manifest {}, {} on white. Procedure: {}. End point: {}.",
        course.start.manifest,
        course.start.acuity,
        course.start.procedure.name(),
        course.start.end_point.name()
    );
    slide.paragraph(&words, small, [left, top + 40.0], beside(left));
}

/// Distances whose vergence everyone should know, in metres.
const KNOWN_M: [f64; 4] = [0.4, 1.0, 4.0, 6.0];

fn near_and_far(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let distance = lesson.room.viewing.distance;
    let mut slide = Slide::new(
        surface,
        format!("A lens balanced at {distance} is {:.2} D too plus for far away", lesson.vergence().to_d()),
    );
    let width = 1060.0;
    let place = [MARGIN, slide.top, MARGIN + width, BOTTOM - 60.0].map(|side| side * PX_MM);
    vergences(distance).draw_on(
        slide.palette,
        &mut slide.canvas,
        Rect::new(place[0], place[1], place[2], place[3]),
    );
    let left = MARGIN + width + 60.0;
    let bottom = distances(&mut slide, distance, left);
    let words = "Too plus by 1/d, with d in metres. For far, take that much plus away; for work at that distance, leave it in. The record gives both.";
    slide.paragraph(words, slide.body(), [left, bottom + 50.0], beside(left));
    slide
}

/// Known distances and the room's own, with what each is too plus for far; says where the last stands.
fn distances(slide: &mut Slide, distance: Length, left: f64) -> f64 {
    let (heading, body, small) = (slide.heading(28.0), slide.body(), slide.small());
    let mut top = slide.top + 30.0;
    slide.write("distance", small, Anchor::Left, [left, top]);
    slide.write("too plus for far", small, Anchor::Right, [RIGHT, top]);
    let mut all: Vec<Length> = KNOWN_M.map(Length::m).to_vec();
    all.push(distance);
    all.sort_by(|one, other| one.to_mm().total_cmp(&other.to_mm()));
    all.dedup();
    for one in all {
        top += 52.0;
        let style = if one == distance { heading.in_paint(slide.palette.balance) } else { body };
        slide.write(&format!("{} m", one.to_m()), style, Anchor::Left, [left, top]);
        slide.write(&Dioptres::at(one).to_string(), style, Anchor::Right, [RIGHT, top]);
    }
    top
}

/// Vergence against distance, with the room's own.
fn vergences(distance: Length) -> Plot {
    let to = (distance.to_m() * 1.25).max(6.5);
    let points: Vec<[f64; 2]> = (0..=120_u8)
        .map(|step| 0.33 + (to - 0.33) * f64::from(step) / 120.0)
        .map(|metres| [metres, Dioptres::at(Length::m(metres)).to_d()])
        .collect();
    let here = [distance.to_m(), Dioptres::at(distance).to_d()];
    let axis = |title: &str, to| Axis { title: title.into(), from: 0.0, to, signed: false };
    Plot {
        title: "Near by, a little distance is many dioptres".into(),
        axes: [axis("distance in m", to), axis("vergence in D", 3.1)],
        curves: vec![
            Line {
                series: Series::Beside,
                points,
                marks: Vec::new(),
                word: Word { text: "1/d".into(), at: [0.5, 2.2], anchor: Anchor::Left },
            },
            Line {
                series: Series::Balance,
                points: vec![[here[0], 0.0], here],
                marks: vec![here],
                word: Word {
                    text: format!("this room, {distance}"),
                    at: [here[0], here[1] + 0.16],
                    anchor: Anchor::Left,
                },
            },
        ],
        source: String::new(),
    }
}
