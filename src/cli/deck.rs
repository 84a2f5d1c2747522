//! `evenfield deck`

use std::error::Error;
use std::path::{Path, PathBuf};

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};

use super::arguments::RoomArgument;
use super::document::paper;
use super::{Outcome, print};
use crate::export::png::{self, ColourChunk};
use crate::export::{pdf, svg};
use crate::print::{Deck, Lesson, Paper, WallCard};
use crate::quantity::Length;
use crate::raster;
use crate::room::Display;
use crate::scene::Scene;
use crate::store::Target;

/// Pixels of a slide as PNG.
const PIXELS: [u32; 2] = [1920, 1080];

/// Pixels an inch of a card as PNG.
const CARD_DPI: f64 = 150.0;

/// Slides that teach the balance on this room's screen, or one page of it for the wall.
#[derive(Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// One page for the wall instead of slides
    #[arg(long)]
    card: bool,
    /// The card's sheet of paper
    #[arg(long, default_value = "a4", requires = "card", value_parser = paper())]
    paper: Paper,
    /// The file to write. A .pdf holds all slides; for a .png or .svg each slide has a file of its own beside it, numbered
    /// before the ending: deck.png becomes deck-01.png and on
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite files that exist
    #[arg(long)]
    force: bool,
}

/// What slides become.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Format {
    Pdf,
    Png,
    Svg,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let format = format(&arguments.out)?;
    // One file holds all of a PDF, and a card is one page.
    let whole = (format == Format::Pdf || arguments.card)
        .then(|| Target::new(&arguments.out, arguments.force))
        .transpose()?;
    let each = match &whole {
        Some(_) => Vec::new(),
        None => targets(&arguments.out, arguments.force)?,
    };
    let (room, name) = arguments.room.load()?;
    let spectra = room.primaries.spectra()?;
    // The demo room says that it is invented; a file's room goes by its own name.
    let own = room.name().unwrap_or("a room without a name");
    let called = if arguments.room.path().is_some() { own } else { &name };
    let lesson = Lesson::new(&room, &spectra, called)?;
    if let (true, Some(target)) = (arguments.card, &whole) {
        let card = WallCard::new(&lesson, arguments.paper).scene;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a sheet has some thousand pixels"
        )]
        let pixels = card.size.map(|side| (side.to_inches() * CARD_DPI).round() as u32);
        target.write(&bytes(std::slice::from_ref(&card), format, pixels)?)?;
        print(&format!("{}: a card for the wall\nroom: {name}", target.named()));
        return Ok(Outcome::Fine);
    }
    let steps = Deck::STEPS + each.len();
    let style = ProgressStyle::with_template("{bar:40} {percent} % of the slides, {eta} to go")?;
    let bar = ProgressBar::new(u64::try_from(steps).unwrap_or(u64::MAX)).with_style(style);
    let deck = Deck::new(&lesson, || bar.inc(1))?;
    if let Some(target) = &whole {
        target.write(&bytes(&deck.slides, format, PIXELS)?)?;
    } else {
        // All of it is made before the first file is written.
        let mut made = Vec::new();
        for slide in &deck.slides {
            made.push(bytes(std::slice::from_ref(slide), format, PIXELS)?);
            bar.inc(1);
        }
        for (target, bytes) in each.iter().zip(made) {
            target.write(&bytes)?;
        }
    }
    bar.finish_and_clear();
    let first = whole.as_ref().or(each.first()).map_or("", |target| target.named());
    let more = each.last().map_or_else(String::new, |last| format!(" to {}", last.named()));
    print(&format!("{first}{more}: {} slides\nroom: {name}", deck.slides.len()));
    Ok(Outcome::Fine)
}

fn format(out: &Path) -> Result<Format, String> {
    let ending = out.extension().map_or_else(String::new, |ending| ending.to_string_lossy().to_lowercase());
    match ending.as_str() {
        "pdf" => Ok(Format::Pdf),
        "png" => Ok(Format::Png),
        "svg" => Ok(Format::Svg),
        _ => Err(format!("{}: name a file that ends in .pdf, .svg or .png", out.display())),
    }
}

/// The places of all slides, looked at before the work begins.
fn targets(out: &Path, force: bool) -> Result<Vec<Target>, Box<dyn Error>> {
    let stem = out.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    let ending = out.extension().map_or_else(String::new, |ending| ending.to_string_lossy().into_owned());
    let place = |number: usize| out.with_file_name(format!("{stem}-{number:02}.{ending}"));
    (1..=Deck::SLIDES).map(|number| Ok(Target::new(&place(number), force)?)).collect()
}

fn bytes(pages: &[Scene], format: Format, pixels: [u32; 2]) -> Result<Vec<u8>, Box<dyn Error>> {
    Ok(match (format, pages) {
        (Format::Svg, [page]) => svg::encode(page).into_bytes(),
        (Format::Png, [page]) => {
            // Whoever looks at it has a screen of which nothing is known: sRGB.
            let image = raster::draw(page, pixels, &Display::assumed());
            let pitch = Length::mm(page.size[0].to_mm() / f64::from(pixels[0]));
            png::encode(&image, [pitch; 2], &ColourChunk::Srgb, &page.metadata)?
        }
        (Format::Pdf | Format::Svg | Format::Png, pages) => pdf::encode(pages)?,
    })
}
