//! What a practice has to know: what spoils the test, its own room, the cautions.

use super::Surface;
use super::lesson::{Lesson, LessonError, asked};
use super::slide::Slide;
use crate::acuity::Acuity;
use crate::balance::{Caution, ColourVision, EndPoint, EyeKind, Procedure, Start, words};
use crate::light::{LETTER_LIGHT_PERCENT, MATCH_PERCENT, PHOTOPIC};
use crate::report::{LineShown, Shown};

/// An acuity with which the lens changes by more than a click, in tenths of logMAR: 20/80.
const POOR: i8 = 6;

pub(super) fn slides(lesson: &Lesson<'_>, surface: Surface) -> Result<Vec<Slide>, LessonError> {
    let failure = super::failure::slides(lesson, surface);
    let mut slides = vec![spoilers(lesson, surface)];
    slides.extend(failure);
    slides.extend([room(lesson, surface), cautions(lesson, surface)]);
    Ok(slides)
}

fn terms(all: &[(&str, String)]) -> Vec<(String, String)> {
    all.iter().map(|(term, words)| ((*term).to_owned(), words.clone())).collect()
}

fn spoilers(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "Light, size and accommodation spoil the answer");
    let all = terms(&[
        (
            "A brighter side",
            format!("It can look clearer at the same focus. Fields within {MATCH_PERCENT:.0} % of each other; night colour and dynamic contrast off."),
        ),
        (
            "Room light",
            format!("It greys the letters, which may have {LETTER_LIGHT_PERCENT:.0} % of their field’s light at most, and narrows the pupil."),
        ),
        ("Wrong size", "Letters far above the threshold stay clear on both sides: native resolution, no scaling, the distance as measured.".into()),
        (
            "Accommodation",
            super::fog::why(),
        ),
        ("The setting", words::BEFORE_ASKING.to_owned()),
    ]);
    let (top, gap) = (slide.top + 10.0, 44.0);
    let bottom = slide.terms(&all, top, 340.0, gap) + gap;
    let mut own: Vec<String> =
        lesson.report.spoiling_answers().iter().map(|warning| warning.what.clone()).collect();
    if own.is_empty() {
        own.extend(lesson.report.how_matched());
        own.extend(lesson.report.seen_in_a_mirror().map(|warning| warning.what));
        if own.is_empty() {
            own.push("Nothing known of this room spoils it.".into());
        }
    }
    slide.rule([super::slide::MARGIN, super::slide::RIGHT], bottom - gap / 2.0);
    slide.terms(&[("In this room".to_owned(), own.join(" "))], bottom, 340.0, gap);
    slide.saying([
        "Say: each of these gives an answer that sounds as sure as a true one.",
        "Ask the class: stand up and look at the screen from the patient’s chair. What do you see on it that is not the chart?",
        "Often misunderstood: “a screen that was matched once stays matched.” It drifts, or somebody changes a setting.",
    ])
}

fn room(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let report = &lesson.report;
    let mut slide = Slide::new(surface, "A small room is set up with a rule, a meter and an hour");
    let [columns, rows] = report.pixels;
    let [width, height] = report.size_mm;
    let mirror = if report.mirror { ", through the mirror" } else { "" };
    let distance = lesson.room.viewing.distance;
    let smallest = |shown: Shown| report.lines.iter().rev().find(|line| line.shown == shown);
    let line = smallest(Shown::Plainly).map_or_else(
        || "no line plainly".to_owned(),
        |LineShown { line, height_mm, stroke_px, .. }| {
            format!("down to {line}: {height_mm:.2} mm high, strokes of {stroke_px:.1} px")
        },
    );
    let fields = report.fields.as_ref().map_or_else(
        || report.verdict.to_string(),
        |fields| {
            let [red, green] = fields.cd_m2;
            let [red_aside, green_aside] = fields.uncertainty_cd_m2;
            let enough = PHOTOPIC.to_cd_m2();
            let how = if red.min(green) < enough { "below" } else { "above" };
            let assumed = if fields.match_established { "" } else { " as assumed" };
            format!(
                "red {red:.1} ±{red_aside:.1} and green {green:.1} ±{green_aside:.1} cd/m²{assumed}, {how} the {enough:.0} cd/m² under which a photometer no longer measures what eyes see"
            )
        },
    );
    let all = terms(&[
        ("1  Quiet", "Native resolution. Auto-brightness, night colour, HDR, dynamic contrast and power dimming off. Warm up for half an hour.".into()),
        ("2  Measure", format!("The lit picture: {width:.0} × {height:.0} mm for {columns} × {rows} px. Light path: {distance}{mirror}.")),
        ("3  Light", format!("Meter full red, green, white and black in the dark room. The fields made of that: {fields}.")),
        ("4  Lines", format!("Shown plainly {line}.")),
        ("5  Focus", format!("Red and green lie {:.2} D apart on this screen (spectra {}); the room is {:.2} D from far away.", lesson.interval(), report.spectra_basis, lesson.vergence().to_d())),
        ("6  Prove", "Make the chart, let evenfield check measure the finished file, and meter it on the screen.".into()),
    ]);
    let top = slide.top + 10.0;
    slide.terms(&all, top, 300.0, 46.0);
    slide.resting_on(format!("This room: {}.", lesson.name)).saying([
        "Say: the rule is needed once, the meter again every few months; the last step is done again whenever anything at the screen was changed.",
        "Ask the class: who has a rule at the practice that measures a lit picture to the millimetre? That is all that step two needs.",
        "Often misunderstood: a finished file that passes the check is not yet a proven screen. The meter has the last word.",
    ])
}

/// What an eye that accommodates is called there.
pub(in crate::print) const ACCOMMODATING: &str = "Accommodating eye";

/// What holds for eyes of some kind from the start, as the balance itself says it, with the kind's name. What the trial finds
/// behind a small aperture stands with its numbers, beside the ways of asking.
pub(in crate::print) fn of_eyes(lesson: &Lesson<'_>) -> Vec<(&'static str, Caution)> {
    let usual = lesson.start(EyeKind::Pseudophakic, Procedure::FromPlus, EndPoint::EqualElseLastRed);
    let poor = Start { acuity: Acuity::standard(POOR).into(), ..usual.clone() };
    let first_green =
        Start { kind: EyeKind::Accommodating, end_point: EndPoint::EqualElseFirstGreen, ..usual.clone() };
    let eyes = [
        ("Poor acuity", poor),
        ("Red-blind eye", Start { colour_vision: ColourVision::Protan, ..usual.clone() }),
        ("Brown cataract", Start { brunescent: true, ..usual }),
        (ACCOMMODATING, first_green),
    ];
    let cautions = |(name, start): (&'static str, Start)| {
        asked(start, &[]).cautions().into_iter().map(move |caution| (name, caution))
    };
    eyes.into_iter().flat_map(cautions).collect()
}

/// What cautions rest on, each once.
fn bases<'a>(cautions: &'a [(&str, Caution)]) -> Vec<&'a str> {
    let mut once: Vec<&str> = Vec::new();
    for (_, caution) in cautions {
        if !once.contains(&caution.basis.as_str()) {
            once.push(&caution.basis);
        }
    }
    once
}

fn cautions(lesson: &Lesson<'_>, surface: Surface) -> Slide {
    let mut slide = Slide::new(surface, "A balance is one step of a refraction");
    let of_eyes = of_eyes(lesson);
    let always = [
        ("Seizures", words::SEIZURES.to_owned()),
        ("Always", format!("{} {}", words::CAUTION, words::NOT_APPROVED)),
    ];
    let all: Vec<(String, String)> = of_eyes
        .iter()
        .map(|(name, caution)| (*name, caution.what.clone()))
        .chain(always)
        .map(|(name, words)| (name.to_owned(), words))
        .collect();
    let top = slide.top;
    slide.terms(&all, top, 370.0, 34.0);
    slide.resting_on(format!("Basis: {}.", bases(&of_eyes).join("; "))).saying([
        format!("Say at the end, as it stands: {} {}", words::CAUTION, words::NOT_APPROVED),
        "Ask the class: go back to the five aims. Which of them can you do now?".to_owned(),
        "Often misunderstood: a caution does not forbid the test. It says how much weight its result has."
            .to_owned(),
    ])
}
