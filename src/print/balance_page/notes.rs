//! What stands under the ladders.
//!
//! They flow through two columns of nearly one height. What holds of both eyes is told once; a heading never stands last in a
//! column.

use super::closeness::Closeness;
use super::said::place_of;
use crate::balance::record::Kept;
use crate::balance::{BinocularStep, Caution, Course, Laterality, Procedure, Start, words};
use crate::print::type_area::TypeArea;
use crate::scene::look::{GRID_MM, HEADING, INK, SMALL};
use crate::scene::{Canvas, TextBlock};
use crate::text::{capital, whole_lenses};

/// What is said where nothing is to be kept in mind.
const NOTHING: &str = "None follows from what was entered and answered.";

/// What is shaded among the answers.
const SHADED: &str = "where balance lies by these answers, with a wedge at its mean.";

/// What stands under the ladders: what to keep in mind, what was done with both eyes, how it was asked.
pub(super) struct Notes {
    blocks: Vec<Block>,
}

/// Words that stay together.
enum Block {
    /// What heads a group.
    Heading(&'static str),
    /// A note, and more quietly what belongs to it.
    Note(String, String),
}

impl Notes {
    pub(super) fn of(kept: &Kept, courses: &[&Course], are_last: bool) -> Self {
        let mut blocks = Vec::new();
        let cautions = merged(courses, |course| course.cautions());
        if cautions.is_empty() {
            blocks.push(Block::Heading("No cautions"));
            blocks.push(Block::Note(NOTHING.into(), String::new()));
        } else {
            blocks.push(Block::Heading("To keep in mind"));
        }
        blocks.extend(cautions.into_iter().map(|(eyes, Caution { what, basis })| {
            let whose = whose(&eyes, courses.len()).map(|eye| format!("{eye}: ")).unwrap_or_default();
            Block::Note(format!("{whose}{what}"), format!("Basis: {basis}."))
        }));
        if are_last && courses.len() == Laterality::ALL.len() {
            blocks.push(Block::Heading("With both eyes"));
            blocks.extend(with_both(kept));
        }
        if are_last {
            blocks.extend(at_near(kept));
        }
        blocks.push(Block::Heading("How it was asked"));
        blocks.extend(how_asked(courses));
        Self { blocks }
    }

    fn heads(&self, place: usize) -> bool {
        matches!(self.blocks.get(place), Some(Block::Heading(_)))
    }

    /// Flows them through two columns of nearly one height; says where the longer ends.
    pub(super) fn draw(
        &self,
        canvas: &mut Canvas,
        columns: [TypeArea; 2],
        top: f64,
        closeness: Closeness,
    ) -> f64 {
        let (first, second) = self.blocks.split_at(self.split(columns[0].width(), closeness));
        [first, second].into_iter().zip(columns).fold(top, |lowest, (blocks, area)| {
            let bottom = blocks.iter().enumerate().fold(top, |bottom, (place, block)| {
                let air = if place == 0 { 0.0 } else { block.air(closeness) };
                block.draw(canvas, [area.left, bottom + air], area.width(), closeness)
            });
            lowest.max(bottom)
        })
    }

    /// How many blocks stand in the first column: no heading stands last, and a group is broken only where that saves
    /// height.
    fn split(&self, width: f64, closeness: Closeness) -> usize {
        let one = |block: &Block| block.draw(&mut Canvas::default(), [0.0, 0.0], width, closeness);
        let heights: Vec<f64> = self.blocks.iter().map(one).collect();
        let high = |from: usize, to: usize| {
            let air: f64 = self.blocks[from..to].iter().skip(1).map(|block| block.air(closeness)).sum();
            heights[from..to].iter().sum::<f64>() + air
        };
        let last = self.blocks.len();
        let cost = |split: usize| {
            let broken = if self.heads(split) { 0.0 } else { closeness.broken() };
            high(0, split).max(high(split, last)) + broken
        };
        (1..last)
            .filter(|split| !self.heads(split - 1))
            .min_by(|one, other| cost(*one).total_cmp(&cost(*other)))
            .unwrap_or(last)
    }
}

/// Each step with both eyes, and whether it was done.
fn with_both(kept: &Kept) -> impl Iterator<Item = Block> {
    BinocularStep::ALL
        .into_iter()
        .enumerate()
        .map(|(place, step)| {
            let found = match kept.examination.binocular.get(place) {
                Some((_, done)) => {
                    let figures = kept.examination.both.in_words(step).filter(|_| *done);
                    figures.unwrap_or_else(|| words::done(*done).into())
                }
                None => "not reached".into(),
            };
            Block::Note(format!("{}:", capital(step.words())), found)
        })
        .chain(
            kept.examination.ends_with_in_words().map(|ends| Block::Note(whole_lenses(&ends), String::new())),
        )
}

/// The near adds that were tried, the last one with what it says.
fn at_near(kept: &Kept) -> Vec<Block> {
    let examination = &kept.examination;
    let Some((last, before)) = examination.near.split_last() else { return Vec::new() };
    let before = before.iter().map(|near| Block::Note("Tried before:".into(), near.words()));
    let advice = examination.near_advice(last).join(" ");
    let last = Block::Note(format!("Near add {}.", last.words()), advice);
    // Of both eyes nothing need be said; of one, which.
    let heading = match examination.eyes()[..] {
        [one] if one.start.eye == Laterality::Right => "Near, right eye",
        [_] => "Near, left eye",
        _ => "Near",
    };
    [Block::Heading(heading)].into_iter().chain(before).chain([last]).collect()
}

/// The fields, the procedures and the end points.
fn how_asked(courses: &[&Course]) -> Vec<Block> {
    let mut blocks = Vec::new();
    if let Some(Course { start: Start { place, .. }, .. }) = courses.first() {
        let metered = place.metered.as_ref();
        let metered = metered.map(|one| format!(" Fields metered on {}, {}.", one.on, one.ago()));
        blocks.push(Block::Note(
            format!(
                "Fields of about {:.0} cd/m², {}; red and green {:.2} D apart.{}",
                place.luminance.to_cd_m2(),
                place.luminance_basis,
                place.interval.to_d(),
                metered.unwrap_or_default()
            ),
            format!("Basis of the dioptres: {}.", place.interval_basis),
        ));
    }
    let procedures = merged(courses, |course| {
        let also = (!course.limits.is_empty()).then_some(Procedure::Midpoint);
        let mut all = vec![course.start.procedure];
        all.extend(also.filter(|also| !all.contains(also)));
        all.into_iter().map(Procedure::said).collect()
    });
    let end_points = merged(courses, |course| {
        let ends = course.start.procedure.ends_by_end_point();
        ends.then(|| course.start.end_point.said()).into_iter().collect()
    });
    blocks.extend(procedures.into_iter().chain(end_points).map(|(eyes, said)| {
        let whose = whose(&eyes, courses.len());
        let words = whose.map_or_else(|| said.to_string(), |eye| format!("{eye}, {said}"));
        Block::Note(format!("{}.", capital(&words)), String::new())
    }));
    let estimates = merged(courses, |course| {
        let said = course.whereabouts().and_then(|_| course.estimate_in_words());
        said.map(|said| said.basis).into_iter().collect()
    });
    blocks.extend(estimates.into_iter().map(|(eyes, basis)| {
        let whose = whose(&eyes, courses.len()).map(|eye| format!("{eye}, shaded"));
        Block::Note(format!("{}: {SHADED}", whose.unwrap_or_else(|| "Shaded".into())), basis)
    }));
    blocks
}

impl Block {
    /// What separates it from a block above.
    const fn air(&self, closeness: Closeness) -> f64 {
        match self {
            Self::Heading(_) => closeness.within() + GRID_MM,
            Self::Note(..) => 0.0,
        }
    }

    /// Draws it from a left end and a top; says where it ends below.
    fn draw(&self, canvas: &mut Canvas, place: [f64; 2], width: f64, closeness: Closeness) -> f64 {
        match self {
            Self::Heading(words) => canvas.paragraph(words, HEADING, place, width) + GRID_MM / 4.0,
            Self::Note(loud, quiet) => {
                let parts = [(loud.as_str(), SMALL.in_paint(INK)), (quiet.as_str(), SMALL)];
                TextBlock::run_in(parts, width).draw(canvas, place) + closeness.within()
            }
        }
    }
}

/// What holds of each eye, told once where it holds of both; first what was told first.
fn merged<T: PartialEq>(courses: &[&Course], of: impl Fn(&Course) -> Vec<T>) -> Vec<(Vec<Laterality>, T)> {
    let mut all: Vec<(Vec<Laterality>, T)> = Vec::new();
    for course in courses {
        for one in of(course) {
            match all.iter_mut().find(|(_, known)| *known == one) {
                Some((eyes, _)) => eyes.push(course.start.eye),
                None => all.push((vec![course.start.eye], one)),
            }
        }
    }
    all.iter_mut().for_each(|(eyes, _)| eyes.dedup());
    all.sort_by_key(|(eyes, _)| (eyes.len() == 1, eyes.first().copied().map(place_of)));
    all
}

/// Whose it is, where there are two; nothing to say where there is one.
fn whose(eyes: &[Laterality], asked: usize) -> Option<&'static str> {
    match (eyes, asked) {
        (_, 0 | 1) => None,
        ([eye], _) => Some(eye.eye()),
        _ => Some("Both eyes"),
    }
}
