//! `evenfield view`
//!
//! One view, many beside each other where a pupil or a lens error is repeated, or a sweep as an animated PNG. What would take too
//! much memory is refused before the first transform.

use std::error::Error;

use clap::Args;
use image::RgbImage;

use super::arguments::{self, OutputArgument, RoomArgument};
use super::eye::{EyeArgument, PupilWish, dioptres, pupil};
use super::{Outcome, help, named, progress, say, tagged_png, working};
use crate::balance::words;
use crate::chart::Request;
use crate::eye::Eye;
use crate::light::{Bands, Fields, Side};
use crate::optotype::LetterSet;
use crate::quantity::{Angle, Dioptres, Length};
use crate::report::LEFT_OUT;
use crate::room::Room;
use crate::scene::Metadata;
use crate::view::{
    CloseUp, LEAST_WIDTH_PX, Model, Progress, Subject, Sweep, TileRow, TileSheet, out_and_back,
};

/// Letters to a side, for one view and for many beside each other or after each other.
const ONE: usize = 5;
const MANY: usize = 2;

/// Pixels a stroke at the most, and of many views at the least, where they are not given.
const MOST_STROKE_PX: u16 = 16;
const LEAST_STROKE_PX: u16 = 6;

/// How wide a letter with its space is, and what a field has beside its letters, in strokes.
const LETTER_STROKES: usize = 10;
const ASIDE_STROKES: usize = 5;

/// How long each picture of a sweep stands, in milliseconds.
const SWEEP_MS: u16 = 120;

/// Where a reader’s eye is from a screen: arm’s length.
const READING: Length = Length::mm(600.0);

/// What reaches the retina when the eye looks at a line of the room’s chart.
#[derive(Args)]
#[command(
    after_help = help::after(help::VIEW, "view --room room.toml --pupil 3mm --lens-error +0.25 --out view.png")
)]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// The entrance pupil, such as 3mm, or the natural pupil before the room’s fields; repeat for more rows
    #[arg(long, value_name = "LENGTH", default_value = "natural", value_parser = pupil, allow_hyphen_values = true)]
    pupil: Vec<PupilWish>,
    /// Power in place minus the power that focuses for the test distance, such as +0.25: plus is too much plus; repeat for
    /// more columns
    #[arg(long, value_name = "D", default_value = "0", value_parser = dioptres, allow_hyphen_values = true)]
    lens_error: Vec<Dioptres>,
    #[arg(long, help = format!(
        "Go from the first lens error to the last and back, as an animated PNG that plays once. {}",
        words::SEIZURES
    ))]
    sweep: bool,
    #[command(flatten)]
    eye: EyeArgument,
    /// The fields
    #[arg(long, default_value = "red-green", value_parser = arguments::fields())]
    fields: Fields,
    /// Where red lies, as the patient sees it; left where it is not given
    #[arg(long, value_name = "SIDE", value_parser = arguments::side())]
    red: Option<Side>,
    /// The letters
    #[arg(long, default_value = "sloan", value_parser = arguments::letter_set())]
    letters: LetterSet,
    /// Which letters: another number, other letters
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Letters to each side, 1 to 5; 5 for one view, 2 for more
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=5))]
    letters_a_side: Option<u8>,
    /// Pixels a stroke, 2 to 64; 16 for one view or a sweep, fewer for many
    #[arg(long, value_name = "PX", value_parser = clap::value_parser!(u16).range(2..=64))]
    scale: Option<u16>,
    #[command(flatten)]
    output: OutputArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let target = arguments.output.target()?;
    if target.ending() != "png" {
        return Err(format!("{}: a view is a PNG: name a file that ends in .png", target.named()).into());
    }
    arguments.eye.age_counts(&arguments.pupil)?;
    if arguments.red.is_some() && arguments.fields != Fields::RedGreen {
        return Err("--red is for two fields, and --fields asks for one: leave one of them out".into());
    }
    let model = Model::new(&room)?;
    let eyes = arguments
        .pupil
        .iter()
        .map(|pupil| arguments.eye.eye(*pupil, &model))
        .collect::<Result<Vec<(Eye, String)>, _>>()?;
    let close_up = arguments.close_up(&room, &model, &eyes)?;
    let pictures = if arguments.sweep {
        arguments.sweep(&close_up, &eyes, &room, &model)?
    } else {
        vec![arguments.sheet(&close_up, &eyes, &room, &model)?]
    };
    let images: Vec<&RgbImage> = out_and_back(&pictures).collect();
    let what = arguments.what(&eyes);
    let mut said = format!("{LEFT_OUT}\n{}", words::SUPERVISION);
    if arguments.sweep {
        said += &format!("\n{}", words::SEIZURES);
    }
    let metadata = Metadata {
        title: format!("View of {}", close_up.line),
        description: format!("{what} {}", said.replace('\n', " ")),
        json: String::new(),
    };
    target.write(&tagged_png(&images, SWEEP_MS, &room, &metadata)?)?;
    let frames = if images.len() > 1 { format!(" {} pictures.", images.len()) } else { String::new() };
    say(&format!("{}: {what}{frames}\nroom: {name}\n{said}", named(target.named())));
    Ok(Outcome::Fine)
}

impl Arguments {
    const fn is_one(&self) -> bool {
        self.pupil.len() * self.lens_error.len() == 1
    }

    /// Letters to a side.
    fn letters(&self) -> usize {
        self.letters_a_side.map_or(if self.is_one() { ONE } else { MANY }, usize::from)
    }

    fn stroke_px(&self) -> u16 {
        let sides = if self.fields == Fields::RedGreen { 2 } else { 1 };
        let columns = if self.sweep { 1 } else { self.lens_error.len() };
        let strokes = columns * sides * (LETTER_STROKES * self.letters() + ASIDE_STROKES);
        let wide_enough = (LEAST_WIDTH_PX as usize).div_ceil(strokes);
        let least = if self.is_one() { MOST_STROKE_PX } else { LEAST_STROKE_PX };
        let usual = u16::try_from(wide_enough).unwrap_or(u16::MAX).clamp(least, MOST_STROKE_PX);
        self.scale.unwrap_or(usual)
    }

    fn close_up(
        &self,
        room: &Room,
        model: &Model,
        eyes: &[(Eye, String)],
    ) -> Result<CloseUp, Box<dyn Error>> {
        let request = Request {
            fields: self.fields,
            red: self.red.unwrap_or(Side::Left),
            letters: self.letters,
            seed: self.seed,
            ..Request::new(self.eye.line)
        };
        let subject = Subject { request: &request, letters: self.letters(), stroke_px: self.stroke_px() };
        let seen: Vec<&Bands> = match self.fields {
            Fields::White => vec![&model.sides.red, &model.sides.green, &model.sides.blue],
            Fields::RedGreen | Fields::Red | Fields::Green => vec![&model.sides.red, &model.sides.green],
        };
        let blur = eyes
            .iter()
            .flat_map(|(eye, _)| self.lens_error.iter().map(move |at| (eye, *at)))
            .flat_map(|(eye, at)| seen.iter().map(move |light| eye.blur(at, light).to_arcmin()))
            .fold(0.0, f64::max);
        Ok(CloseUp::new(&subject, room, &model.sides, Angle::arcmin(blur))?)
    }

    /// All views beside each other; each is told of.
    fn sheet(
        &self,
        close_up: &CloseUp,
        eyes: &[(Eye, String)],
        room: &Room,
        model: &Model,
    ) -> Result<RgbImage, Box<dyn Error>> {
        let count = eyes.len() * self.lens_error.len();
        close_up.bounded(count)?;
        let bar = progress("pictures", count);
        let row = |(eye, pupil): &(Eye, String)| {
            let seen = |at: &Dioptres| {
                bar.inc(1);
                close_up.seen(eye, *at).to_codes(&room.display)
            };
            TileRow { head: format!("pupil {pupil}"), pictures: self.lens_error.iter().map(seen).collect() }
        };
        let sheet = TileSheet {
            columns: self.lens_error.iter().enumerate().map(column_head).collect(),
            rows: eyes.iter().map(row).collect(),
            ..self.blank(close_up, room, model)
        };
        Ok(sheet.draw(room))
    }

    /// Which field lies where, as the patient sees it: in grey nothing else tells.
    fn fields_in_words(&self) -> &'static str {
        match (self.fields, self.red.unwrap_or(Side::Left)) {
            (Fields::RedGreen, Side::Left) => "red left, green right",
            (Fields::RedGreen, Side::Right) => "green left, red right",
            (Fields::White, _) => "on white",
            (Fields::Red, _) => "on red",
            (Fields::Green, _) => "on green",
        }
    }

    /// A sheet with what is said of all its pictures.
    fn blank(&self, close_up: &CloseUp, room: &Room, model: &Model) -> TileSheet {
        TileSheet {
            title: format!("Line {}, {}", close_up.line, self.fields_in_words()),
            columns: Vec::new(),
            rows: Vec::new(),
            progress: None,
            sentences: vec![
                self.scale_in_words(close_up, room),
                self.basis(model),
                format!("{LEFT_OUT} {}", words::SUPERVISION),
            ],
        }
    }

    /// The pictures from one lens error to the other.
    fn sweep(
        &self,
        close_up: &CloseUp,
        eyes: &[(Eye, String)],
        room: &Room,
        model: &Model,
    ) -> Result<Vec<RgbImage>, Box<dyn Error>> {
        let ([(eye, pupil)], [from, to]) = (eyes, self.lens_error.as_slice()) else {
            return Err("--sweep goes between two lens errors behind one pupil: give --pupil once, --lens-error twice".into());
        };
        let _bar = working("working out the pictures of the sweep");
        let ends = [*from, *to];
        let swept = Sweep::new(close_up, eye, ends, |_, light| light.to_codes(&room.display))?;
        let picture = |(at, picture): (Dioptres, RgbImage)| {
            let sheet = TileSheet {
                columns: vec![column_head((0, &at))],
                rows: vec![TileRow { head: format!("pupil {pupil}"), pictures: vec![picture] }],
                progress: Some(Progress { ends, at }),
                ..self.blank(close_up, room, model)
            };
            sheet.draw(room)
        };
        Ok(swept.lens_errors.into_iter().zip(swept.pictures).map(picture).collect())
    }

    fn scale_in_words(&self, close_up: &CloseUp, room: &Room) -> String {
        let stroke = room.screen.pitch[0] * f64::from(self.stroke_px());
        let times = Angle::subtended(stroke, READING).to_arcmin() / close_up.line.to_mar();
        let light = if self.pupil.len() > 1 {
            " All are shown with one mean luminance; behind half the pupil the eye has a quarter of the light."
        } else {
            ""
        };
        format!(
            "{} pixels a stroke: {times:.0} times as large as the patient sees it, for a reader 60 cm from this room’s screen.{light}",
            self.stroke_px()
        )
    }

    fn basis(&self, model: &Model) -> String {
        format!(
            "Lens error: plus is too much plus. Computed by {} with {}; nothing here was measured on an eye.",
            self.eye.chromatic.name(),
            model.spectra.origin
        )
    }

    fn what(&self, eyes: &[(Eye, String)]) -> String {
        let pupils: Vec<&str> = eyes.iter().map(|(_, words)| words.as_str()).collect();
        let errors: Vec<String> = self.lens_error.iter().map(ToString::to_string).collect();
        format!("Line {}, pupil {}, lens error {}.", self.eye.line, pupils.join("; "), errors.join(", "))
    }
}

/// What stands over a column; the first says what it is.
fn column_head((place, lens_error): (usize, &Dioptres)) -> String {
    if place == 0 { format!("lens error {lens_error}") } else { lens_error.to_string() }
}
