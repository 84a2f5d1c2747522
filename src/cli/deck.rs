//! `evenfield deck`
//!
//! A PDF holds all slides; PNG and SVG become one file each, numbered before the ending, all or none of them.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;

use super::arguments::RoomArgument;
use super::document::{Format, bytes, paper};
use super::{Outcome, named, print, progress};
use crate::export::pdf;
use crate::print::{Deck, Lesson, Paper, Surface, WallCard};
use crate::scene::Scene;
use crate::store::{Target, write_all};

/// Pixels of a slide as PNG, across.
const PIXELS_ACROSS: u32 = 1920;

/// Pixels an inch of a card as PNG.
const CARD_DPI: f64 = 150.0;

/// Slides that teach the balance on this room’s screen, or a card of it for the wall.
#[derive(Args)]
#[command(after_help = "Example: evenfield deck --room room.toml --card --out card.pdf")]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// A card for the wall, with a back, instead of slides
    #[arg(long)]
    card: bool,
    /// The card’s sheet of paper
    #[arg(long, default_value = "a4", requires = "card", value_parser = paper())]
    paper: Paper,
    /// The file to write. A .pdf holds all slides or both pages of a card; for a .png or .svg each has a file of its own
    /// beside it, numbered before the ending: deck.png becomes deck-01.png and on
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite files that exist
    #[arg(long)]
    force: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let ending =
        arguments.out.extension().map_or_else(String::new, |ending| ending.to_string_lossy().to_lowercase());
    let format = Format::of(&ending, &named(&arguments.out))?;
    let count = if arguments.card { WallCard::PAGES } else { Deck::SLIDES };
    let (room, name) = arguments.room.load()?;
    let targets = targets(arguments, format, count)?;
    // The demo room says that it is invented; a file's room goes by its own name.
    let own = room.name().unwrap_or("a room without a name");
    let called = if arguments.room.path().is_some() { own } else { &name };
    let lesson = Lesson::new(&room, called)?;
    let named: Vec<String> = targets.iter().map(|target| named(target.named())).collect();
    let what = if arguments.card {
        let card = WallCard::new(&lesson, arguments.paper);
        write(targets, &card.pages, format, || {})?;
        "a card for the wall, face and back".to_owned()
    } else {
        let drawn = if format == Format::Pdf { 0 } else { targets.len() };
        let bar = progress("slides", Deck::STEPS + drawn);
        let deck = Deck::new(&lesson, Surface::Projected, || bar.inc(1))?;
        write(targets, &deck.scenes(), format, || bar.inc(1))?;
        format!("{} slides", deck.slides.len())
    };
    let files = match named.as_slice() {
        [first, .., last] => format!("{first} to {last}"),
        one => one.concat(),
    };
    print(&format!("{files}: {what}\nroom: {name}"));
    Ok(Outcome::Fine)
}

/// Writes all pages into one file, or each into its own; `drawn` hears of each of these. All of them are made before the
/// first is written.
fn write(
    targets: Vec<Target>,
    pages: &[Scene],
    format: Format,
    drawn: impl Fn(),
) -> Result<(), Box<dyn Error>> {
    if let [whole] = targets.as_slice() {
        return Ok(whole.write(&pdf::encode(pages)?)?);
    }
    let mut made = Vec::new();
    for page in pages {
        made.push(bytes(page, format, dpi(page))?);
        drawn();
    }
    Ok(write_all(&targets.into_iter().zip(made).collect::<Vec<_>>())?)
}

/// The places of all pages, looked at before the work begins: one file holds all of a PDF.
fn targets(arguments: &Arguments, format: Format, count: usize) -> Result<Vec<Target>, Box<dyn Error>> {
    let (out, force) = (&arguments.out, arguments.force);
    if format == Format::Pdf {
        return Ok(vec![Target::new(out, force)?]);
    }
    let stem = out.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    let ending = out.extension().map_or_else(String::new, |ending| ending.to_string_lossy().into_owned());
    let place = |number: usize| out.with_file_name(format!("{stem}-{number:02}.{ending}"));
    (1..=count).map(|number| Ok(Target::new(&place(number), force)?)).collect()
}

/// The pixels an inch of a page as PNG: of a wide one as of a slide, of an upright one as of a card.
fn dpi(page: &Scene) -> f64 {
    let [width, height] = page.size;
    if width > height { f64::from(PIXELS_ACROSS) / width.to_inches() } else { CARD_DPI }
}
