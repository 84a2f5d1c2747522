//! The page of one examination: laid out from events, measured, and read back by poppler.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod common;

use common::{Desk, asked};
use evenfield::balance::record::Kept;
use evenfield::balance::{
    AfterMinus, Answer, BinocularStep, Caution, Choice, ColourVision, EndPoint, Event, Kind, Laterality,
    Place, Procedure, RefinedFor, Stage, Start,
};
use evenfield::export::{pdf, png};
use evenfield::light::Side;
use evenfield::print::{BalancePage, Paper};
use evenfield::quantity::Length;
use evenfield::room::Display;
use evenfield::scene::Geometry;
use kurbo::{Rect, Shape as _};

fn start(eye: Laterality, kind: Kind, manifest: &str) -> Start {
    Start {
        eye,
        manifest: manifest.parse().unwrap(),
        refined_for: RefinedFor::Room,
        acuity: "20/20".parse().unwrap(),
        kind,
        procedure: kind.usual_procedure(),
        end_point: kind.usual_end_point(),
        vertex_mm: None,
        colour_vision: ColourVision::Usual,
        brunescent: false,
        red: Side::Left,
        lines_above: 2,
        label: Some("folder 207".into()),
        place: Place {
            name: "Quillhaven practice, room 3".into(),
            distance_mm: 3200.0,
            luminance_cd_m2: 50.0,
            interval_d: 0.31,
            protanope_red_over_green: 0.34,
            cautions: Vec::new(),
        },
    }
}

fn take(kept: &mut Kept, events: impl IntoIterator<Item = Event>) {
    for event in events {
        kept.take(event, "2026-11-25T10:00:00Z").unwrap();
    }
}

fn begun(start: Start) -> Kept {
    let mut kept = Kept::new("2026-11-25-1".into());
    take(&mut kept, [Event::Started(Box::new(start))]);
    kept
}

fn answers(kept: &mut Kept, answers: &[Answer]) {
    take(kept, answers.iter().copied().map(Event::Answered));
}

/// Answers by a lens: green under the lower, red over the upper, the same between them.
fn seen(kept: &mut Kept, [lower, upper]: [f64; 2]) {
    while let Stage::Ask(question) = kept.examination.stage() {
        let sphere = question.sphere.to_d();
        let answer = if sphere < lower {
            Answer::Green
        } else if sphere > upper {
            Answer::Red
        } else {
            Answer::Same
        };
        answers(kept, &[answer]);
    }
}

fn white(score: &str) -> Event {
    Event::White(score.parse().unwrap())
}

/// −1.25 D is the same with the sides swapped: worked by hand in the comments of the tests.
fn customary() -> Kept {
    let one = start(Laterality::Right, Kind::Pseudophakic, "-1.00");
    let mut kept = begun(Start { procedure: Procedure::Customary, ..one });
    answers(&mut kept, &[Answer::Red, Answer::Same, Answer::Same]);
    take(&mut kept, [white("20/20+2"), Event::Chosen(Choice::FarQuarter), Event::OneEyeOnly]);
    kept
}

fn small_aperture() -> Kept {
    let mut kept = begun(start(Laterality::Right, Kind::SmallAperture, "-1.00/-0.50x90"));
    seen(&mut kept, [-1.9, -0.8]);
    take(&mut kept, [white("20/20"), Event::Chosen(Choice::FarQuarter), Event::OneEyeOnly]);
    kept
}

fn young() -> Kept {
    let mut kept = begun(start(Laterality::Left, Kind::Young, "+0.62"));
    answers(&mut kept, &[Answer::Same, Answer::Red, Answer::Unsure, Answer::Red, Answer::Red]);
    seen(&mut kept, [0.3, 0.4]);
    take(&mut kept, [white("20/20+3"), Event::Chosen(Choice::HereExact), Event::OneEyeOnly]);
    kept
}

fn two_eyes() -> Kept {
    let left = start(Laterality::Left, Kind::Presbyopic, "-4.25/-0.75x175");
    let left = Start { vertex_mm: Some(12.0), colour_vision: ColourVision::Protan, ..left };
    let mut kept = begun(Start { acuity: "20/40".parse().unwrap(), ..left });
    seen(&mut kept, [-4.6, -4.3]);
    take(&mut kept, [white("20/32"), Event::Chosen(Choice::FarQuarter)]);
    let right = start(Laterality::Right, Kind::Presbyopic, "-2.50");
    let right = Start { colour_vision: ColourVision::Protan, refined_for: RefinedFor::FarAway, ..right };
    take(&mut kept, [Event::Started(Box::new(right))]);
    seen(&mut kept, [-2.1, -2.1]);
    take(&mut kept, [white("20/20-1"), Event::Chosen(Choice::Manifest)]);
    take(&mut kept, BinocularStep::ALL.map(|step| Event::Binocular(step, step != BinocularStep::TrialFrame)));
    kept
}

fn not_decided() -> Kept {
    let mut kept = begun(start(Laterality::Right, Kind::Presbyopic, "-1.00"));
    answers(&mut kept, &[Answer::Red, Answer::Unsure, Answer::Unsure, Answer::Unsure]);
    take(&mut kept, [Event::Chosen(Choice::Nothing), Event::OneEyeOnly]);
    kept
}

fn open() -> Kept {
    let mut kept = begun(start(Laterality::Right, Kind::Presbyopic, "-1.00"));
    answers(&mut kept, &[Answer::Red, Answer::Red]);
    kept
}

/// What a room may say at once.
fn room_cautions() -> Vec<Caution> {
    [
        "The customary 20/40 line cannot be shown plainly here: use a screen with finer pixels, or stand farther away.",
        "Red and green are not known to be equally bright: meter both fields before the next examination.",
        "Glare adds light to the letters, which lie at 22 % of the field's light: darken the room.",
        "The balance holds for 3.20 m, which is 0.31 D from far away: prescribe by the far result.",
    ]
    .map(|what| Caution { what: what.into(), basis: "ISO 10938:2016, 4.1.3 (borrowed; excerpt)".into() })
    .to_vec()
}

/// Two eyes in which everything goes wrong that may go wrong at once.
fn worst() -> Kept {
    let bad = |start: Start| Start {
        vertex_mm: Some(12.5),
        colour_vision: ColourVision::Protan,
        brunescent: true,
        acuity: "20/50".parse().unwrap(),
        refined_for: RefinedFor::FarAway,
        label: Some(
            "a label that somebody wrote without any thought of the room that it takes on a sheet of paper"
                .into(),
        ),
        place: Place {
            cautions: room_cautions(),
            name: "Quillhaven practice, the third of the rooms on the second floor of the annex".into(),
            ..start.place.clone()
        },
        ..start
    };
    let young = bad(start(Laterality::Left, Kind::Young, "-12.25/-1.75x175"));
    let mut kept = Kept::new("2026-11-25T10-00-00Z-a-name-of-a-record-that-is-long-as-well".into());
    take(&mut kept, [Event::Started(Box::new(young))]);
    for _ in 0..4 {
        answers(&mut kept, &[Answer::Same, Answer::Red, Answer::Unsure]);
        answers(&mut kept, &[Answer::Red; 5]);
        take(&mut kept, [Event::AfterMinus(AfterMinus::FogAgain)]);
    }
    answers(&mut kept, &[Answer::Red; 5]);
    take(&mut kept, [Event::AfterMinus(AfterMinus::Relax), Event::Chosen(Choice::FarExact)]);
    let aperture = bad(start(Laterality::Right, Kind::SmallAperture, "-11.50/-2.25x165"));
    let aperture = Start { procedure: Procedure::Customary, end_point: EndPoint::LastRed, ..aperture };
    take(&mut kept, [Event::Started(Box::new(aperture))]);
    answers(&mut kept, &[Answer::Red, Answer::Unsure, Answer::Same]);
    seen(&mut kept, [-13.1, -12.6]);
    take(&mut kept, [white("20/50-1"), Event::Chosen(Choice::HereQuarter)]);
    take(&mut kept, [Event::Binocular(BinocularStep::BalanceBetweenEyes, false)]);
    kept
}

fn all() -> [(&'static str, Kept); 7] {
    [
        ("customary", customary()),
        ("aperture", small_aperture()),
        ("young", young()),
        ("two", two_eyes()),
        ("undecided", not_decided()),
        ("open", open()),
        ("worst", worst()),
    ]
}

#[test]
fn pages_can_be_looked_at() {
    let Ok(folder) = std::env::var("EVENFIELD_SHOTS") else { return };
    for ((name, kept), paper) in all().iter().flat_map(|case| Paper::ALL.map(|paper| (case, paper))) {
        let page = BalancePage::new(kept, paper).scene;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "about a thousand pixels")]
        let pixels = page.size.map(|side| (side.to_inches() * 100.0).round() as u32);
        let image = evenfield::raster::draw(&page, pixels, &Display::assumed());
        let pitch = [Length::inches(0.01); 2];
        let bytes = png::encode(&image, pitch, &png::ColourChunk::Srgb, &page.metadata).unwrap();
        std::fs::write(format!("{folder}/page-{name}-{}.png", paper.name()), bytes).unwrap();
    }
}
