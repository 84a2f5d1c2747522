//! What has to be known before an eye is asked: from flags, and what they leave out from the keyboard.

use std::error::Error;
use std::io::{BufRead, Write};

use clap::Args;

use super::super::arguments::{one_of, side};
use crate::acuity::Score;
use crate::balance::{
    Caution, ColourVision, EndPoint, Kind, Laterality, Manifest, Place, Procedure, RefinedFor, Start,
};
use crate::bibliography::DESIGN;
use crate::chart::{FieldColours, Request};
use crate::light::{Fields, Side};
use crate::print::{RoomReport, Shown};
use crate::quantity::Dioptres;
use crate::room::Room;

/// The eye, its refraction and how it is asked.
#[derive(Args, Clone)]
#[command(next_help_heading = "The eye and how it is asked")]
pub(super) struct StartArgument {
    /// The eye that looks; the other is occluded
    #[arg(long, value_parser = laterality())]
    eye: Option<Laterality>,
    /// Its refraction, refined first, such as -1.25 or -1.25/-0.50x90
    #[arg(long, value_name = "REFRACTION", value_parser = manifest, allow_hyphen_values = true)]
    manifest: Option<Manifest>,
    /// What that refraction is for: the distance of this room's chart, or far away
    #[arg(long = "for", value_parser = refined_for())]
    refined_for: Option<RefinedFor>,
    /// The best acuity through it on the white field, as bright as the coloured ones, such as 20/20 or 20/25-2
    #[arg(long, value_name = "ACUITY", value_parser = score, allow_hyphen_values = true)]
    acuity: Option<Score>,
    /// What kind of eye it is
    #[arg(long, value_parser = kind())]
    kind: Option<Kind>,
    /// The way of asking; bracket behind a small aperture, from-plus otherwise
    #[arg(long, value_parser = procedure())]
    procedure: Option<Procedure>,
    /// The lens that stays in; equal-else-last-red where it is not given
    #[arg(long, value_parser = end_point())]
    end_point: Option<EndPoint>,
    /// From the lens to the eye, such as 12mm; needed from 4 D on
    #[arg(long, value_name = "LENGTH", value_parser = vertex, allow_hyphen_values = true)]
    vertex: Option<f64>,
    /// How it sees colours; with a defect, sides are called left and right
    #[arg(long, value_parser = colour_vision())]
    colour_vision: Option<ColourVision>,
    /// It has a brown cataract
    #[arg(long)]
    brunescent: bool,
    /// Where red lies at first, as the patient sees it
    #[arg(long, default_value = "left", value_parser = side())]
    red: Side,
    /// How many lines above the acuity the target stands
    #[arg(long, value_name = "N", default_value_t = 2)]
    lines_above: u8,
    /// A free label, such as a drawer's number; no name is asked for
    #[arg(long, value_name = "TEXT", value_parser = label)]
    label: Option<String>,
}

fn laterality() -> impl clap::builder::TypedValueParser<Value = Laterality> {
    one_of(Laterality::ALL.map(|one| (one.name(), one)).to_vec())
}

fn refined_for() -> impl clap::builder::TypedValueParser<Value = RefinedFor> {
    one_of([RefinedFor::Room, RefinedFor::FarAway].map(|one| (one.name(), one)).to_vec())
}

fn kind() -> impl clap::builder::TypedValueParser<Value = Kind> {
    one_of(Kind::ALL.map(|one| (one.name(), one)).to_vec())
}

fn procedure() -> impl clap::builder::TypedValueParser<Value = Procedure> {
    one_of(Procedure::ALL.map(|one| (one.name(), one)).to_vec())
}

fn end_point() -> impl clap::builder::TypedValueParser<Value = EndPoint> {
    one_of(EndPoint::ALL.map(|one| (one.key(), one)).to_vec())
}

fn colour_vision() -> impl clap::builder::TypedValueParser<Value = ColourVision> {
    one_of(ColourVision::ALL.map(|one| (one.name(), one)).to_vec())
}

fn manifest(text: &str) -> Result<Manifest, crate::balance::ManifestError> {
    text.parse()
}

/// An acuity with letters.
pub(super) fn score(text: &str) -> Result<Score, crate::acuity::AcuityError> {
    text.parse()
}

fn vertex(text: &str) -> Result<f64, String> {
    let length = text.parse::<crate::quantity::Length>().map_err(|error| error.to_string())?;
    Ok(length.to_mm())
}

/// A label of one line that fits a page.
fn label(text: &str) -> Result<String, String> {
    const MOST: usize = 80;
    let fits = text.chars().count() <= MOST && !text.chars().any(char::is_control);
    if fits {
        Ok(text.trim().into())
    } else {
        Err(format!("the label {text:?} is not one line of up to {MOST} letters: shorten it"))
    }
}

/// The room, as far as a record needs it.
pub(super) fn place(room: &Room) -> Result<Place, Box<dyn Error>> {
    let spectra = room.primaries.spectra()?;
    let report = RoomReport::new(room, &spectra);
    let white = Request { fields: Fields::White, ..Request::new(Vec::new()) };
    let white = FieldColours::choose(&white, &room.display)?.left.codes;
    let place = report.place(room.display.luminance_in_room(white));
    Ok(place.ok_or_else(|| format!("{}: run `evenfield room report` on this room", report.verdict))?)
}

/// The caution of a target line that this screen cannot draw well.
fn coarse(start: &Start, room: &Room) -> Result<Option<Caution>, Box<dyn Error>> {
    let report = RoomReport::new(room, &room.primaries.spectra()?);
    let target = start.target(0).to_string();
    let shown = report.lines.iter().find(|line| line.line == target);
    Ok(shown.filter(|line| line.shown != Shown::Plainly).map(|line| Caution {
        what: format!(
            "The target line {target} has strokes of {:.1} px on this screen: show a larger one.",
            line.stroke_px
        ),
        basis: DESIGN.into(),
    }))
}

impl StartArgument {
    /// The first value that is missing, as the flag that gives it.
    pub(super) fn missing(&self) -> Option<&'static str> {
        [
            (self.eye.is_none(), "--eye right"),
            (self.manifest.is_none(), "--manifest -1.25"),
            (self.refined_for.is_none(), "--for room"),
            (self.acuity.is_none(), "--acuity 20/20"),
            (self.kind.is_none(), "--kind presbyopic"),
        ]
        .into_iter()
        .find_map(|(missing, flag)| missing.then_some(flag))
    }

    /// Whether a flag describes an eye.
    pub(super) const fn describes_an_eye(&self) -> bool {
        self.manifest.is_some() || self.acuity.is_some() || self.kind.is_some()
    }

    /// The start, where nothing is missing.
    pub(super) fn start(&self, room: &Room) -> Result<Start, Box<dyn Error>> {
        let missing = || {
            let flag = self.missing().unwrap_or("--eye right");
            format!("the eye is not fully described: add {flag}, or leave out --answers to be asked")
        };
        let kind = self.kind.ok_or_else(missing)?;
        let start = Start {
            eye: self.eye.ok_or_else(missing)?,
            manifest: self.manifest.ok_or_else(missing)?,
            refined_for: self.refined_for.ok_or_else(missing)?,
            acuity: self.acuity.ok_or_else(missing)?,
            kind,
            procedure: self.procedure.unwrap_or_else(|| kind.usual_procedure()),
            end_point: self.end_point.unwrap_or_else(|| kind.usual_end_point()),
            vertex_mm: self.vertex,
            colour_vision: self.colour_vision.unwrap_or(ColourVision::Usual),
            brunescent: self.brunescent,
            red: self.red,
            lines_above: self.lines_above,
            label: self.label.clone().filter(|label| !label.is_empty()),
            place: place(room)?,
        };
        let mut start = start.checked()?;
        let coarse = coarse(&start, room)?;
        start.place.cautions.extend(coarse);
        Ok(start)
    }

    /// The same for the other eye: what belongs to one eye is forgotten.
    pub(super) fn for_other(&self, before: &Start) -> Self {
        Self {
            eye: Some(before.eye.other()),
            manifest: None,
            acuity: None,
            vertex: None,
            kind: None,
            procedure: None,
            end_point: None,
            refined_for: None,
            colour_vision: Some(before.colour_vision),
            brunescent: false,
            red: before.red,
            lines_above: before.lines_above,
            label: before.label.clone(),
        }
    }

    /// Asks for what the flags leave out, line by line, until each answer is one.
    pub(super) fn asked(mut self) -> Result<Self, Box<dyn Error>> {
        let eye = "Eye that looks (right, left): ";
        fill(&mut self.eye, eye, None, |text| named(text, &Laterality::ALL, Laterality::name))?;
        let manifest_words = "Manifest refraction, such as -1.25 or -1.25/-0.50x90: ";
        fill(&mut self.manifest, manifest_words, None, |text| {
            manifest(text).map_err(|error| error.to_string())
        })?;
        if self.manifest.is_some_and(|manifest| manifest.strongest() >= Dioptres::new(4.0)) {
            fill(&mut self.vertex, "Vertex distance, from lens to eye, such as 12mm: ", None, vertex)?;
        }
        let both = [RefinedFor::Room, RefinedFor::FarAway];
        fill(&mut self.refined_for, "That refraction is for (room, far): ", None, |text| {
            named(text, &both, RefinedFor::name)
        })?;
        let acuity = "Best acuity through it on white, as bright as the fields, such as 20/20 or 20/25-2: ";
        fill(&mut self.acuity, acuity, None, |text| score(text).map_err(|error| error.to_string()))?;
        let kinds = "Kind of eye (small-aperture, pseudophakic, presbyopic, accommodating): ";
        fill(&mut self.kind, kinds, None, |text| named(text, &Kind::ALL, Kind::name))?;
        let Some(kind) = self.kind else { return Ok(self) };
        say(&format!("\n  {}", Procedure::ALL.map(Procedure::words).join("\n  ")));
        let usual = kind.usual_procedure();
        let words = format!("Procedure [{}]: ", usual.name());
        fill(&mut self.procedure, &words, Some(usual), |text| named(text, &Procedure::ALL, Procedure::name))?;
        say(&format!("\n  {}\n  Teachers differ.", EndPoint::ALL.map(EndPoint::words).join("\n  ")));
        let usual = kind.usual_end_point();
        let words = format!("End point [{}]: ", usual.key());
        fill(&mut self.end_point, &words, Some(usual), |text| named(text, &EndPoint::ALL, EndPoint::key))?;
        let words = "Colour vision (usual, protan, other-defect) [usual]: ";
        let usual = Some(ColourVision::Usual);
        fill(&mut self.colour_vision, words, usual, |text| {
            named(text, &ColourVision::ALL, ColourVision::name)
        })?;
        Ok(self)
    }
}

/// One of these by its name or by as much of its beginning as no other has.
fn named<T: Copy>(text: &str, all: &[T], name: impl Fn(T) -> &'static str) -> Result<T, String> {
    let text = text.trim().to_lowercase();
    let fitting: Vec<T> =
        all.iter().copied().filter(|one| !text.is_empty() && name(*one).starts_with(&text)).collect();
    let exact = all.iter().copied().find(|one| name(*one) == text);
    let only = if let [one] = fitting.as_slice() { Some(*one) } else { None };
    exact.or(only).ok_or_else(|| {
        let names: Vec<&str> = all.iter().map(|one| name(*one)).collect();
        format!("{text:?} is none of these: write {}", names.join(", "))
    })
}

#[allow(clippy::print_stdout, reason = "the command line speaks here")]
fn say(words: &str) {
    println!("{words}");
}

/// Asks for a value that is missing; an empty line takes the usual one.
#[allow(clippy::print_stdout, reason = "the command line asks here")]
fn fill<T>(
    value: &mut Option<T>,
    words: &str,
    usual: Option<T>,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<(), Box<dyn Error>> {
    if value.is_some() {
        return Ok(());
    }
    loop {
        print!("{words}");
        std::io::stdout().flush()?;
        let mut line = String::new();
        if std::io::stdin().lock().read_line(&mut line)? == 0 {
            return Err("the input ended before the eye was described: nothing was kept".into());
        }
        if line.trim().is_empty() && usual.is_some() {
            *value = usual;
            return Ok(());
        }
        match read(line.trim()) {
            Ok(given) => {
                *value = Some(given);
                return Ok(());
            }
            Err(sentence) => println!("  {sentence}"),
        }
    }
}
