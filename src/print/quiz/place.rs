//! Questions about the room and its screen: sizes, vergence, where red and green focus, what a pupil leaves of a click.

use super::question::{Answered, Lot, Question};
use crate::acuity::Acuity;
use crate::chart::{self, Request};
use crate::eye::{CLICK_D, Eye};
use crate::light::Side;
use crate::print::deck::Lesson;
use crate::quantity::{Dioptres, Length};
use crate::scene::{Geometry, Paint, Scene};

/// Letters of these heights are worth asking for, in millimetres.
const ASKED_MM: std::ops::Range<f64> = 1.0..100.0;

/// Distances of other rooms.
const DISTANCES_M: [f64; 6] = [2.0, 2.5, 4.0, 5.0, 5.5, 6.0];

/// A focus counts as in front of or behind the retina from here on, in dioptres.
const CLEAR_D: f64 = 0.04;

/// What a pupil leaves of a click differs from another's if it is at least so many times as much.
const CLEARLY: f64 = 1.15;

pub(super) fn height(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let (line, height) = *lot.one(&lines(lesson)?);
    let distance = lesson.room.viewing.distance;
    Some(Question {
        asks: format!(
            "How high is a letter of {line} in this room, at {distance}? Write millimetres with two decimals."
        ),
        answer: Answered::Number { value: format!("{:.2}", height.to_mm()), unit: "mm" },
        because: format!(
            "A letter is five times as high as its detail of {:.3}′, so {:.3}′ in all and 2 · {distance} · tan of half of that. Up to half a per cent off counts as right.",
            line.to_mar(),
            5.0 * line.to_mar()
        ),
        from: "the standard line’s exact size at the room file’s distance".into(),
    })
}

pub(super) fn line(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let lines = lines(lesson)?;
    let place = lot.below(lines.len());
    let (line, height) = lines[place];
    let mut near: Vec<(usize, String)> = lines
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != place)
        .map(|(other, (line, _))| (other.abs_diff(place), line.to_string()))
        .collect();
    near.sort_by_key(|(steps, _)| *steps);
    let wrong = near.into_iter().map(|(_, line)| line);
    let step = Acuity::standard(1).size_ratio_to(Acuity::standard(0));
    Some(Question {
        asks: format!("Letters on this room’s screen are {:.2} mm high. Which line is it?", height.to_mm()),
        answer: lot.choice(line.to_string(), wrong)?,
        because: format!(
            "From one standard line to the next letters are {step:.2} times as large, and {line} is the one of this height."
        ),
        from: format!("the standard lines at {}", lesson.room.viewing.distance),
    })
}

/// The lines that this screen can show, with their heights.
fn lines(lesson: &Lesson<'_>) -> Option<Vec<(Acuity, Length)>> {
    let distance = lesson.room.viewing.distance;
    let height = |line: Acuity| (line, chart::letter_height(line, distance));
    let lines: Vec<(Acuity, Length)> = Acuity::standard_lines()
        .map(height)
        .filter(|(_, height)| ASKED_MM.contains(&height.to_mm()))
        .collect();
    (!lines.is_empty()).then_some(lines)
}

pub(super) fn vergence(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let (here, distance) = (lesson.vergence().to_d(), lesson.room.viewing.distance);
    let wrong =
        [format!("{here:.2} D too minus"), "right as it is".into(), format!("{:.2} D too plus", 2.0 * here)];
    Some(Question {
        asks: format!("A lens was balanced in this room, at {distance}. What is it for far away?"),
        answer: lot.choice(format!("{here:.2} D too plus"), wrong)?,
        because: format!(
            "Light from {distance} diverges by 1/{distance}, which is {here:.2} D, and this lens makes up for that as well."
        ),
        from: "the room file’s distance".into(),
    })
}

pub(super) fn other_room(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let here = lesson.room.viewing.distance.to_string();
    let all = DISTANCES_M.map(|metres| Length::mm(metres * 1000.0));
    let others: Vec<Length> = all.into_iter().filter(|distance| distance.to_string() != here).collect();
    let distance = *lot.one(&others);
    let there = Dioptres::at(distance).to_d();
    Some(Question {
        asks: format!(
            "In another room the eye is {distance} from the screen. By how much is a lens that was balanced there off for far away? Write dioptres with two decimals, without a sign."
        ),
        answer: Answered::Number { value: format!("{there:.2}"), unit: "D" },
        because: format!("The vergence of the distance, 1/{distance}."),
        from: "the distance alone".into(),
    })
}

pub(super) fn interval(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let here = lesson.interval();
    // In clicks, so that the figure is not that of another question.
    let clicks = |times: f64| format!("{:.1} clicks", times * here / CLICK_D);
    let wrong = lot.shuffled([0.5, 1.5, 2.0, 3.0].map(clicks).into());
    Some(Question {
        asks: format!(
            "How many clicks of {CLICK_D:.2} D apart do the red and the green field of this room’s screen focus?"
        ),
        answer: lot.choice(clicks(1.0), wrong)?,
        because: format!(
            "Weighted by the light that each field sends, their foci lie {here:.2} D apart: {} of {CLICK_D:.2} D.",
            clicks(1.0)
        ),
        from: spectra(lesson),
    })
}

/// What a question about foci rests on.
fn spectra(lesson: &Lesson<'_>) -> String {
    format!("the screen’s spectra ({}) and the model of the eye", lesson.report.spectra_basis)
}

pub(super) fn foci(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let clicks: Vec<f64> = lot.shuffled([-3.0, -2.0, 0.0, 2.0, 3.0].into());
    let foci = |error: f64| lesson.foci().map(|focus| focus - error);
    let clear = |clicks: &f64| foci(clicks * CLICK_D).iter().all(|focus| focus.abs() > CLEAR_D);
    let error = clicks.into_iter().find(clear)? * CLICK_D;
    let said = |green: bool, red: bool| match (green, red) {
        (true, true) => "both behind the retina",
        (false, false) => "both in front of the retina",
        (false, true) => "green in front of the retina, red behind",
        (true, false) => "red in front of the retina, green behind",
    };
    let all = [(true, true), (false, false), (false, true), (true, false)];
    let [green, red] = foci(error).map(|focus| focus > 0.0);
    let lens = match error {
        0.0 => "With the balanced lens".into(),
        _ => format!("With {:.2} D too much {}", error.abs(), if error > 0.0 { "plus" } else { "minus" }),
    };
    let distances = foci(error).map(|focus| Dioptres::new(focus).to_d().abs());
    Some(Question {
        asks: format!("{lens} in this room: where do the fields focus?"),
        answer: lot.choice(said(green, red).into(), all.map(|(green, red)| said(green, red).to_owned()))?,
        because: format!(
            "Green lies {:.2} D {} the retina and red {:.2} D {}; plus draws both forward.",
            distances[0],
            if green { "behind" } else { "in front of" },
            distances[1],
            if red { "behind" } else { "in front of" },
        ),
        from: spectra(lesson),
    })
}

pub(super) fn aperture(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let eyes = [
        (&lesson.aperture, "a small aperture"),
        (&lesson.lit, "a natural pupil in a lit room"),
        (&lesson.dark, "a natural pupil in the dark room"),
    ];
    let named = |(eye, name): (&Eye, &str)| format!("{:.1} mm, {name}", eye.pupil.diameter().to_mm());
    let mut ratios = Vec::new();
    for (eye, name) in eyes {
        ratios.push((lesson.log_ratio_per_click(eye)?, named((eye, name))));
    }
    ratios.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    let [(least, smallest), (middle, _), (most, largest)] = ratios.as_slice() else { return None };
    if *least <= 0.0 || middle / least < CLEARLY || most / middle < CLEARLY {
        return None;
    }
    let (word, right) = *lot.one(&[("least", smallest), ("most", largest)]);
    let wrong = ratios.iter().map(|(_, name)| name.clone()).chain(["the same behind all three".to_owned()]);
    Some(Question {
        asks: format!(
            "Behind which pupil does a click of {CLICK_D:.2} D at balance change {word} between red and green here?"
        ),
        answer: lot.choice(right.clone(), wrong)?,
        because: format!(
            "A click across balance makes red over green {:.2} times as much behind {smallest}, {:.2} times behind {largest}.",
            10_f64.powf(*least),
            10_f64.powf(*most)
        ),
        from: "the model of this room, not a measurement".into(),
    })
}

pub(super) fn mirror(lesson: &Lesson<'_>, lot: &mut Lot) -> Option<Question> {
    let seen = *lot.one(&[Side::Left, Side::Right]);
    let request = Request { red: seen, ..Request::new(Acuity::standard(3)) };
    let drawn = chart::draw(&request, lesson.room).ok()?.scene;
    let in_file = if lesson.room.viewing.mirror { drawn } else { drawn.mirrored() };
    let on = side_of(&in_file, lesson.model.light.red)?;
    let said = |side: Side, letters: &str| format!("red on the {}, letters {letters}", side.name());
    let (turned, upright) = ("turned round", "as one reads them");
    let wrong = [said(on, upright), said(on.other(), turned), said(on.other(), upright)];
    Some(Question {
        asks: format!(
            "A chart is made for a room with a mirror, so that the patient sees red on the {}. How does the file itself look?",
            seen.name()
        ),
        answer: lot.choice(said(on, turned), wrong)?,
        because: "The whole picture is mirrored once, at the end, fields and letters together; the mirror turns it back.".into(),
        from: "the chart as it is drawn".into(),
    })
}

/// On which side of a chart a paint lies, looked at near its upper edge, where no letters are.
fn side_of(scene: &Scene, paint: Paint) -> Option<Side> {
    let [width, height] = scene.size.map(Length::to_mm);
    let at = |x: f64| {
        let here = |shape: &&crate::scene::Shape| match &shape.geometry {
            Geometry::Rect(rect) => rect.contains((x, height / 100.0)),
            Geometry::Path(_) | Geometry::Line(_) | Geometry::Text(_) | Geometry::Image(_) => false,
        };
        scene.shapes.iter().rev().find(here).map_or(scene.background, |shape| shape.paint)
    };
    match [at(width / 4.0) == paint, at(0.75 * width) == paint] {
        [true, false] => Some(Side::Left),
        [false, true] => Some(Side::Right),
        _ => None,
    }
}
