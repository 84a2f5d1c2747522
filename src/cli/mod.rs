//! The command line: one file a command. Everything that is printed is printed from here.
//!
//! A command is a thin one: it turns words into values of the library, calls it, and turns what comes back into sentences. The doc
//! comments of argument types are what `--help` prints, so they speak to whoever types the command; what is for readers of the
//! code stands in the pages of the modules.
//!
//! Common to all: what a command will write is looked at before it works ([`Target`](crate::store::Target)), a file is told of when it is there, and
//! whatever goes wrong becomes one sentence with the value, the place and the way out.

mod arguments;
mod balance;
mod chart;
mod check;
mod clock;
mod columns;
mod curve;
mod deck;
mod document;
mod exam;
mod eye;
mod font;
mod help;
mod manual;
mod near;
mod page;
mod practice;
mod report;
mod room;
mod schema;
mod view;

use std::error::Error;
use std::ffi::OsString;
use std::path::Path;
use std::process::ExitCode;
use std::time::Duration;

use clap::error::ErrorKind;
use clap::{Parser, Subcommand};
use image::RgbImage;
use indicatif::{ProgressBar, ProgressFinish, ProgressStyle};

use crate::balance::words;
use crate::export::png::{self, ColourChunk};
use crate::raster;
use crate::room::{Profile, Room};
use crate::scene::{Metadata, Scene};
use crate::store::{plain, written};
use crate::text;

/// Red-green (duochrome) charts of exactly the right size for your own screen, proved from the finished file.
///
/// It measures files and models; it does not diagnose.
#[derive(Parser)]
#[command(
    name = "evenfield",
    version,
    max_term_width = 100,
    after_help = format!(
        "{} {}\n\nExample: evenfield room new --pixels 1920x1080 --width 527mm --distance 3.2m --out room.toml",
        words::SUPERVISION,
        words::NOT_APPROVED
    )
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Walks through the red-green balance, one eye and then the other, and keeps its record
    Balance(Box<balance::Arguments>),
    /// Makes a chart as PNG, SVG or PDF, checks what it wrote, and prints the findings
    Chart(chart::Arguments),
    /// Measures a chart that is already there, and prints the findings
    Check(check::Arguments),
    /// Says how clear each side is against lens error, where they balance, and what a click is worth
    Curve(curve::Arguments),
    /// Writes slides that teach the balance on this room’s screen, or a card for the wall
    Deck(deck::Arguments),
    /// Holds examinations in two browser windows: the chart follows the procedure
    Exam(exam::Arguments),
    /// Writes the letters as a font, for slides and handouts
    Font(font::Arguments),
    /// Writes a near chart of true size to print, with a sheet to match its inks
    Near(near::Arguments),
    /// Writes one HTML file that shows the room’s charts full screen, from the keyboard
    Page(page::Arguments),
    /// Writes one HTML file with simulated patients, on whom a learner practises the balance
    Practice(practice::Arguments),
    /// Draws what reaches the retina: a close-up of the chart through a pupil and a lens error
    View(view::Arguments),
    /// Writes and explains room files
    Room(room::Arguments),
    /// Prints the form of a file or of an output as a JSON Schema, for programs
    Schema(schema::Arguments),
    /// Writes man pages and completions
    #[command(hide = true)]
    Manual(manual::Arguments),
}

/// What is said to whoever names the program alone.
const COMES_FIRST: &str = "\
evenfield makes and proves red-green charts for your own screen.
Three things come first:

  describe the room:    evenfield room new --help
  make its chart:       evenfield chart --room room.toml --out chart.png
  hold an examination:  evenfield exam --room room.toml

All commands: evenfield --help";

/// How a command ended that did its work.
enum Outcome {
    /// Nothing failed.
    Fine,
    /// A finding fails.
    Failed,
}

/// Runs a command; 0: done, nothing failed; 1: done, a finding fails; 2: not done, with one sentence on why.
#[must_use]
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    clock::remember_offset();
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    match Cli::try_parse_from(&arguments) {
        Ok(cli) => finish(cli.command.run()),
        Err(error) if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) => {
            print(&error.to_string());
            ExitCode::SUCCESS
        }
        // Whoever names the program alone, or a group of commands, is told what there is.
        Err(error) if error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            complain_lines(&if arguments.len() < 2 { COMES_FIRST.into() } else { error.to_string() });
            ExitCode::from(2)
        }
        Err(error) => refuse(&sentence(&error)),
    }
}

impl Command {
    fn run(self) -> Result<Outcome, Box<dyn Error>> {
        match self {
            Self::Balance(arguments) => balance::run(&arguments),
            Self::Chart(arguments) => chart::run(&arguments),
            Self::Check(arguments) => check::run(&arguments),
            Self::Curve(arguments) => curve::run(&arguments),
            Self::Deck(arguments) => deck::run(&arguments),
            Self::Exam(arguments) => exam::run(&arguments),
            Self::Font(arguments) => font::run(&arguments),
            Self::Manual(arguments) => manual::run(&arguments),
            Self::Near(arguments) => near::run(&arguments),
            Self::Page(arguments) => page::run(&arguments),
            Self::Practice(arguments) => practice::run(&arguments),
            Self::Room(arguments) => room::run(&arguments),
            Self::Schema(arguments) => schema::run(&arguments),
            Self::View(arguments) => view::run(&arguments),
        }
    }
}

fn finish(outcome: Result<Outcome, Box<dyn Error>>) -> ExitCode {
    match outcome {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::Failed) => ExitCode::from(1),
        Err(error) => refuse(&error.to_string()),
    }
}

fn refuse(sentence: &str) -> ExitCode {
    complain(&format!("evenfield: {sentence}"));
    ExitCode::from(2)
}

/// Says what is wrong and goes on. Where nobody can be told, the exit code still tells.
fn complain(sentence: &str) {
    use std::io::Write;
    drop(writeln!(std::io::stderr(), "{}", text::shown(sentence.trim_end())));
}

/// What is said of a command that is not whole, on several lines.
fn complain_lines(help: &str) {
    use std::io::Write;
    drop(writeln!(std::io::stderr(), "{}", help.trim_end()));
}

/// The parser’s message as one sentence: what is wrong and the hint, without the usage.
fn sentence(error: &clap::Error) -> String {
    let text = error.to_string();
    let parts = text.split("\n\n").map(|part| part.split_whitespace().collect::<Vec<_>>().join(" "));
    let said = parts.filter(|part| !part.starts_with("Usage:") && !part.starts_with("For more information"));
    let sentence = said.collect::<Vec<_>>().join("; ");
    let sentence = sentence.trim_start_matches("error: ").trim_end_matches("; ");
    let remedied = sentence.contains("tip: ") || sentence.matches(": ").count() > 1;
    match named_command(&text).filter(|_| !remedied) {
        Some(command) => format!("{sentence}: see `{command} --help`"),
        None => sentence.into(),
    }
}

/// The command that the parser’s usage line names, such as `evenfield room new`.
fn named_command(text: &str) -> Option<String> {
    let usage = text.split("Usage: ").nth(1)?;
    let plain = |word: &&str| word.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-');
    let words = usage.split_whitespace().take_while(plain).filter(|word| !word.starts_with('-'));
    Some(words.collect::<Vec<_>>().join(" "))
}

/// A picture of the whole screen as PNG, tagged as the room’s screen is. Charts and patches go this one way.
fn png_bytes(scene: &Scene, room: &Room) -> Result<Vec<u8>, Box<dyn Error>> {
    let image = raster::draw(scene, room.screen.pixels, &room.display);
    tagged_png(&[&image], 0, room, &scene.metadata)
}

/// Pictures in device codes of the room’s screen as PNG, tagged as that screen is; more than one play once.
fn tagged_png(
    images: &[&RgbImage],
    milliseconds: u16,
    room: &Room,
    metadata: &Metadata,
) -> Result<Vec<u8>, Box<dyn Error>> {
    let profile = room.screen.profile.as_deref().map(Profile::read).transpose()?;
    let colour = match &profile {
        Some(profile) => ColourChunk::Profile(profile.bytes()),
        None if room.display.follows_srgb() => ColourChunk::Srgb,
        None => ColourChunk::Device,
    };
    Ok(png::encode_played(images, milliseconds, room.screen.pitch, &colour, metadata)?)
}

/// A bar for work of a known number of parts, such as slides; it is gone when the work ends, however it ends.
fn progress(parts: &str, count: usize) -> ProgressBar {
    let template = format!("{{bar:40}} {{percent}} % of the {parts}, {{eta}} to go");
    let style = ProgressStyle::with_template(&template).unwrap_or_else(|_| ProgressStyle::default_bar());
    let count = u64::try_from(count).unwrap_or(u64::MAX);
    ProgressBar::new(count).with_style(style).with_finish(ProgressFinish::AndClear)
}

/// A sign that work of unknown length goes on; it is gone when the work ends, however it ends.
fn working(on: &'static str) -> ProgressBar {
    let bar = ProgressBar::new_spinner().with_message(on).with_finish(ProgressFinish::AndClear);
    bar.enable_steady_tick(Duration::from_millis(100));
    bar
}

/// A path as one line names it.
fn named(path: impl AsRef<Path>) -> String {
    text::shown(&path.as_ref().display().to_string())
}

/// Prints sentences and tables for people, in lines that a terminal of 80 columns breaks nowhere.
fn say(words: &str) {
    print(&columns::folded(words));
}

/// Prints to standard output. A closed pipe is the reader’s own wish; what else keeps the words from where they were
/// sent must not look like success; the files that are there by then are named. What steers a terminal is shown as a sign,
/// never sent.
fn print(words: &str) {
    use std::io::{ErrorKind, Write};
    let mut out = std::io::stdout().lock();
    match writeln!(out, "{}", text::shown_lines(words).trim_end()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            let files = match written().as_slice() {
                [] => String::new(),
                files => format!("; written all the same: {}", files.join(", ")),
            };
            refuse(&format!("the output cannot be written ({}): send it elsewhere{files}", plain(&error)));
            std::process::exit(2);
        }
        Ok(()) | Err(_) => {}
    }
}
