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
use crate::beside;
use crate::eye::{CLICK_D, Eye, Pupil};
use crate::print::balance_page::ladder::Ladder;
use crate::quantity::{Dioptres, Length};
use crate::scene::{Anchor, Axis, Curve as Line, Plot, Series, Ticks, Word};
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
        ways(surface),
        ends(lesson, surface)?,
        worked_run(lesson, surface),
        super::sure::slide(lesson, surface),
        super::midpoint::slide(lesson, surface)?,
        near_and_far(lesson, surface),
        super::near::slide(lesson, surface),
    ])
}

/// The ways of asking, each with what it does and the eyes that it is proposed for.
fn ways(surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "Four ways to ask about red and green: the eye decides which");
    let mut top = slide.top;
    for (index, procedure) in ABOUT_COLOURS.into_iter().enumerate() {
        if index > 0 {
            slide.rule([MARGIN, RIGHT], top);
            top += 16.0;
        }
        let (heading, body) = (slide.heading(35.0), slide.body());
        let Said { name, how } = procedure.said();
        slide.write(&capital(name), heading, Anchor::Left, [MARGIN, top + 35.0]);
        let accent = body.in_paint(slide.palette.balance);
        slide.write(&proposed(procedure), accent, Anchor::Left, [MARGIN + 300.0, top + 35.0]);
        top = slide.paragraph(
            &format!("{}.", capital(how)),
            body,
            [MARGIN + 300.0, top + 50.0],
            RIGHT - MARGIN - 300.0,
        ) + 20.0;
    }
    slide
        .resting_on("Proposed: what the program asks by unless another way is chosen. By hand: on a chart that does not follow.")
        .saying(said_of_ways())
}

/// Where lenses end by each way of asking, in two eyes.
fn ends(lesson: &Lesson<'_>, surface: Surface) -> Result<Slide, LessonError> {
    let tried = |index: &usize| tried_on(lesson, &Scenario::ALL[*index], &ABOUT_COLOURS);
    let statistics: Vec<_> = beside::each(&TRIED, tried).into_iter().collect::<Result<_, _>>()?;
    let mut slide = Slide::new(surface, ends_title(&statistics));
    let lefts = [RIGHT - 2.0 * COLUMN - 70.0, RIGHT - COLUMN];
    let mut top = slide.top;
    for (left, scenario) in lefts.into_iter().zip(TRIED.map(|index| Scenario::ALL[index])) {
        heads(&mut slide, &scenario, [left, top]);
    }
    top += 96.0;
    for (row, procedure) in ABOUT_COLOURS.into_iter().enumerate() {
        slide.rule([MARGIN, RIGHT], top);
        let heading = slide.heading(35.0);
        slide.write(&capital(procedure.said().name), heading, Anchor::Left, [MARGIN, top + 78.0]);
        for (left, column) in lefts.into_iter().zip(&statistics) {
            if let Some(one) = &column[row] {
                shares(&mut slide, one.balance, [left, top + 34.0]);
            }
        }
        top += 134.0;
    }
    let slide = slide.resting_on(format!(
        "{PATIENTS} simulated patients each, who differ as is assumed, manifests {MANIFEST_SD_D} D (SD) off white’s best: how many end within a click of {CLICK_D} D of balance; the manifest where nothing is decided. The adaptive way reckons with these very patients, so it does better here than with others. No real patients. Not modelled: astigmatism, scatter, adaptation, the practitioner’s judgement."
    ));
    Ok(slide.saying(said_of_ends()))
}

/// Which way ends within a click most often, if one does so in both eyes.
fn ends_title(statistics: &[Vec<Option<Statistics>>]) -> String {
    let within = |one: &Statistics| one.balance.count - one.balance.too_minus - one.balance.too_plus;
    let best = |column: &Vec<Option<Statistics>>| {
        let all = ABOUT_COLOURS.into_iter().zip(column);
        let known = all.filter_map(|(procedure, one)| Some((within(one.as_ref()?), procedure)));
        known.max_by_key(|(within, _)| *within).map(|(_, procedure)| procedure)
    };
    match statistics.iter().map(best).collect::<Option<Vec<_>>>().as_deref() {
        Some([one, other]) if one == other => {
            format!("Asked the {} way, more simulated eyes end within a click", one.said().name)
        }
        _ => "No one way of asking ends nearest to balance in every simulated eye".into(),
    }
}

/// How long a bar is, how wide the numbers beside it, and how wide both are.
const BAR: f64 = 460.0;
const BESIDE: f64 = 104.0;
const COLUMN: f64 = BAR + 2.0 * BESIDE;

/// An eye, and the words over its bars.
fn heads(slide: &mut Slide, scenario: &Scenario, [left, top]: [f64; 2]) {
    let (heading, body) = (slide.heading(28.0), slide.body());
    let middle = left + COLUMN / 2.0;
    let words = capital(&format!("{}, {}", eye_of(scenario.kind), scenario.pupil));
    slide.write(&words, heading, Anchor::Centre, [middle, top + 24.0]);
    let within = body.in_paint(slide.palette.balance);
    slide.write("too minus", body, Anchor::Left, [left, top + 74.0]);
    slide.write("within a click", within, Anchor::Centre, [middle, top + 74.0]);
    slide.write("too plus", body, Anchor::Right, [left + COLUMN, top + 74.0]);
}

/// How many end how far from balance, as the parts of a bar with their numbers.
fn shares(slide: &mut Slide, ended: Moments, [left, top]: [f64; 2]) {
    /// Between parts.
    const APART: f64 = 4.0;
    /// How thick the edge of a hollow part is.
    const EDGE: f64 = 3.0;
    let (body, palette) = (slide.heading(28.0), slide.palette);
    let Moments { count, too_minus, too_plus, .. } = ended;
    let within = count - too_minus - too_plus;
    let [minus, within, plus] =
        [too_minus, within, too_plus].map(|of| f64::from(of) / f64::from(count.max(1)));
    let bar = left + BESIDE;
    let [first, second] = [bar + minus * BAR, bar + (minus + within) * BAR];
    // Hollow ends: in grey, filled ones look like the middle.
    for [from, to] in [[bar, first - APART / 2.0], [second + APART / 2.0, bar + BAR]] {
        slide.rect([from, top, to, top + 66.0], palette.quiet);
        if to - from > 2.0 * EDGE {
            slide.rect([from + EDGE, top + EDGE, to - EDGE, top + 66.0 - EDGE], palette.ground);
        }
    }
    slide.rect([first + APART / 2.0, top, second - APART / 2.0, top + 66.0], palette.balance);
    let words = |share: f64| format!("{:.0} %", 100.0 * share);
    let baseline = top + 43.0;
    slide.write(&words(minus), body, Anchor::Right, [bar - 14.0, baseline]);
    let middle = f64::midpoint(first, second);
    slide.write(&words(within), body.in_paint(palette.ground), Anchor::Centre, [middle, baseline]);
    slide.write(&words(plus), body, Anchor::Left, [bar + BAR + 14.0, baseline]);
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

fn run_title(course: &Course) -> String {
    let found = course.left_in().map_or_else(|| "decide nothing".into(), |lens| format!("end at {lens}"));
    format!("Coming down from plus, {} questions {found}", course.asked.len())
}

fn worked_run(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let course = run(lesson);
    let mut slide = Slide::new(surface, run_title(&course));
    let width = 1060.0;
    let within = Rect::new(MARGIN, slide.top, MARGIN + width, BOTTOM - 60.0);
    let sides = [within.x0, within.y0, within.x1, within.y1].map(|side| side * PX_MM);
    let [x0, y0, x1, y1] = sides;
    Ladder { course: &course, palette: slide.palette, within: Rect::new(x0, y0, x1, y1), shared: None }
        .draw(&mut slide.canvas);
    came_to(&mut slide, &course, MARGIN + width + 60.0);
    slide.resting_on(format!(
        "Answers of the model: a natural pupil at {AGE_YEARS:.0} years in the dark room, whose manifest is {TOO_PLUS_D:.2} D too plus."
    ))
    .saying(said_of_run(&course))
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
        "Manifest {} for {}, {} on white. Procedure: {}. End point: {}.",
        course.start.manifest,
        course.start.distance(),
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
    let width = 1230.0;
    let place = [MARGIN, slide.top, MARGIN + width, BOTTOM - 60.0].map(|side| side * PX_MM);
    let within = Rect::new(place[0], place[1], place[2], place[3]);
    vergences(distance).draw_on(slide.palette, &mut slide.canvas, within);
    let left = MARGIN + width + 60.0;
    let bottom = distances(&mut slide, distance, left);
    slide.paragraph(TOO_PLUS, slide.body(), [left, bottom + 40.0], beside(left));
    slide.saying(said_of_vergence(lesson))
}

/// What is done with a lens that was balanced near by.
const TOO_PLUS: &str = "Too plus by 1/d, with d in metres. For far, take that much plus away; for work at that distance, leave it in. The record gives both.";

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

/// Distances of charts, at least, in metres.
const NEAREST_M: f64 = 1.0;
const FARTHEST_M: f64 = 7.0;

/// Vergence against distance, with the room's own.
fn vergences(distance: Length) -> Plot {
    let (from, to) = ((0.8 * distance.to_m()).min(NEAREST_M), (distance.to_m() * 1.1).max(FARTHEST_M));
    let points: Vec<[f64; 2]> = (0..=120_u8)
        .map(|step| from + (to - from) * f64::from(step) / 120.0)
        .map(|metres| [metres, Dioptres::at(Length::m(metres)).to_d()])
        .collect();
    let here = [distance.to_m(), Dioptres::at(distance).to_d()];
    let most = Dioptres::at(Length::m(from)).to_d();
    let axis = |title: &str, from, to, ticks| Axis { title: title.into(), from, to, signed: false, ticks };
    Plot {
        title: "The nearer the chart, the more a step of it counts".into(),
        axes: [
            axis("distance in m", from, to, Ticks::Decimal),
            axis("vergence in D", 0.0, 1.1 * most, Ticks::Dioptres),
        ],
        curves: vec![
            Line {
                series: Series::Beside,
                points,
                marks: Vec::new(),
                word: Word { text: "1/d".into(), at: [1.3 * from, 0.8 * most], anchor: Anchor::Left },
            },
            Line {
                series: Series::Balance,
                points: vec![[here[0], 0.0], here],
                marks: vec![here],
                word: Word {
                    text: format!("this room, {distance}"),
                    at: [here[0], here[1] + 0.06 * most],
                    anchor: Anchor::Left,
                },
            },
        ],
        source: String::new(),
    }
}

fn said_of_ways() -> [String; 3] {
    let usual = |kind: EyeKind| format!("{}: {}", kind.words(), kind.usual_procedure().said().name);
    let all = EyeKind::ALL.map(usual).join("; ");
    [
        format!("Say: the kind of eye decides the way. {}.", capital(&all)),
        "Ask the class: which of these do you do today, without having had a name for it? Often it is the first.".into(),
        "Often misunderstood: a way of asking and an end point are two choices. The way says which lens is asked next; the end point says which one stays.".into(),
    ]
}

fn said_of_ends() -> [String; 3] {
    [
        "Say: read a row from the middle. The wide part ended well, the left part too minus, the right part too plus.".into(),
        "Ask the class: compare both columns. Behind a small aperture a click changes so little that chance decides more often; by how much does each way give in?".into(),
        "Often misunderstood: these are simulated patients, whose numbers are assumed in part. The order of the ways is worth more than any single number.".into(),
    ]
}

fn said_of_run(course: &Course) -> Vec<String> {
    let first = course.asked.iter().map(|(question, answer)| {
        format!("{}: {} The patient: “{}”", question.sphere, question.because(), answer.said())
    });
    let mut notes = vec![
        "Say: go through it from the left, lens by lens, and let the class say the next one.".to_owned(),
    ];
    notes.extend(first);
    notes.push(format!("How it ended: {} {}.", course.ended().unwrap_or_default(), course.choice_in_words()));
    notes.push("Often misunderstood: the lens that was left in is for the chart’s distance. What is prescribed is chosen after it, by the examiner.".into());
    notes
}

fn said_of_vergence(lesson: &Lesson<'_>) -> Vec<String> {
    let (distance, vergence) = (lesson.room.viewing.distance, lesson.vergence().to_d());
    vec![
        format!("Say: this room’s chart is {distance} away, so every lens that balances here has {vergence:.2} D that far away does not need."),
        "Ask the class: how far is the chart in your own room, through the mirror if there is one? Let them work out its vergence.".into(),
        "Often misunderstood: six metres are not infinity either. What is left there is less than a click, and is there all the same.".into(),
    ]
}
