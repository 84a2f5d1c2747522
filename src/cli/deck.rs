//! `evenfield deck`
//!
//! A PDF holds all pages and an HTML file all slides; PNG and SVG become one file each, numbered before the ending, all or none
//! of them. What is to be printed and written on is a PDF and nothing else.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;

use super::arguments::{self, RoomArgument};
use super::document::{Format, bytes, paper};
use super::{Outcome, help, named, progress, say};
use crate::export::{pdf, svg};
use crate::print::{Deck, Handout, Lesson, Paper, Quiz, Shown, SpeakerNotes, Surface, WallCard};
use crate::scene::Scene;
use crate::store::{Target, write_all};
use crate::web::{Slide, slides_page};

/// Pixels of a slide as PNG, across.
const PIXELS_ACROSS: u32 = 1920;

/// Pixels an inch of a card as PNG.
const CARD_DPI: f64 = 150.0;

/// The sheet of questions where no seed is given.
const SEED: u64 = 1;

/// Slides that teach the balance on this room’s screen, or what goes with them: a handout, notes, questions, a card for the wall.
#[derive(Args)]
#[command(after_help = help::after(help::DECK, "deck --room room.toml --card --out card.pdf"))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// A handout to print instead of slides: two a page, with lines to write on
    #[arg(long)]
    handout: bool,
    /// The speaker’s notes to print instead of slides: a page for each slide
    #[arg(long)]
    notes: bool,
    /// A sheet of questions to print instead of slides, with its key on a second page
    #[arg(long)]
    quiz: bool,
    /// Other questions, numbers and choices; the same number gives a class the same sheet; 1 where it is not given
    #[arg(long, value_name = "N")]
    seed: Option<u64>,
    /// A card for the wall, with a back, instead of slides
    #[arg(long)]
    card: bool,
    /// The sheet of paper of all but slides; a4 where it is not given
    #[arg(long, value_parser = paper())]
    paper: Option<Paper>,
    /// The file to write. A .pdf holds all pages, an .html all slides to present from a browser, with N for the speaker’s
    /// window. For a .png or .svg, to go on with in another program, each slide has a file of its own, numbered before the
    /// ending: deck.png becomes deck-01.png and on
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite files that exist
    #[arg(long)]
    force: bool,
}

/// What is made.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Slides,
    Handout,
    Notes,
    Quiz,
    Card,
}

impl Form {
    /// What it is called in a sentence, and the files that it can become.
    const fn said(self) -> (&'static str, &'static str) {
        match self {
            Self::Slides => ("slides are", ".html, .png, .svg or .pdf"),
            Self::Handout => ("a handout is", ".pdf"),
            Self::Notes => ("speaker’s notes are", ".pdf"),
            Self::Quiz => ("a sheet of questions is", ".pdf"),
            Self::Card => ("a card is", ".png, .svg or .pdf"),
        }
    }

    const fn flag(self) -> &'static str {
        match self {
            Self::Slides => "no flag",
            Self::Handout => "--handout",
            Self::Notes => "--notes",
            Self::Quiz => "--quiz",
            Self::Card => "--card",
        }
    }
}

/// What the pages become.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Become {
    Presented,
    Pages(Format),
}

impl Arguments {
    /// What is asked for: one thing a file.
    fn form(&self) -> Result<Form, String> {
        let all = [
            (self.handout, Form::Handout),
            (self.notes, Form::Notes),
            (self.quiz, Form::Quiz),
            (self.card, Form::Card),
        ];
        let asked: Vec<Form> =
            all.into_iter().filter_map(|(is_asked, form)| is_asked.then_some(form)).collect();
        if let [first, second, ..] = asked.as_slice() {
            let (first, second) = (first.flag(), second.flag());
            return Err(format!(
                "{first} and {second} are two files: give one of them here, and the other in a second command"
            ));
        }
        let form = asked.first().copied().unwrap_or(Form::Slides);
        if form == Form::Slides && self.paper.is_some() {
            return Err("--paper is for --handout, --notes, --quiz and --card: slides have no sheet of paper, so leave it out".into());
        }
        if let (true, Some(seed)) = (form != Form::Quiz, self.seed) {
            return Err(format!(
                "--seed {seed} draws the questions of --quiz: add --quiz, or leave --seed out"
            ));
        }
        Ok(form)
    }

    /// What the file's ending asks for, where this form can be such.
    fn becomes(&self, form: Form) -> Result<Become, String> {
        let ending =
            self.out.extension().map_or_else(String::new, |ending| ending.to_string_lossy().to_lowercase());
        let (what, endings) = form.said();
        let is_known = endings.split([' ', ',']).any(|known| known.strip_prefix('.') == Some(&ending));
        if !is_known {
            return Err(format!("{}: {what} written as {endings}: name such a file", named(&self.out)));
        }
        if ending == "html" {
            return Ok(Become::Presented);
        }
        Format::of(&ending, &named(&self.out)).map(Become::Pages)
    }

    fn paper(&self) -> Paper {
        self.paper.unwrap_or(Paper::A4)
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let form = arguments.form()?;
    let becomes = arguments.becomes(form)?;
    let (room, name) = arguments.room.load()?;
    let targets = targets(arguments, form, becomes)?;
    // The demo room says that it is invented; a file's room goes by its own name.
    let own = room.name().unwrap_or("a room without a name");
    let called = if arguments.room.path().is_some() { own } else { &name };
    let lesson = Lesson::new(&room, called)?.on(&arguments::today().to_string());
    let named: Vec<String> = targets.iter().map(|target| named(target.named())).collect();
    let what = make(arguments, &lesson, (form, becomes), targets)?;
    let files = match named.as_slice() {
        [first, .., last] => format!("{first} to {last}"),
        one => one.concat(),
    };
    say(&format!("{files}: {what}\nroom: {name}"));
    Ok(Outcome::Fine)
}

/// Makes it, writes it, and says what it is.
fn make(
    arguments: &Arguments,
    lesson: &Lesson<'_>,
    (form, becomes): (Form, Become),
    targets: Vec<Target>,
) -> Result<String, Box<dyn Error>> {
    let drawn = if targets.len() == 1 { 0 } else { targets.len() };
    let bar = progress("slides", Deck::STEPS + drawn);
    let deck = |surface: Surface| Deck::new(lesson, surface, || bar.inc(1));
    let paper = arguments.paper();
    let (pages, what) = match form {
        Form::Slides => {
            let deck = deck(Surface::Projected)?;
            if becomes == Become::Presented {
                return present(&deck, lesson.name, &targets);
            }
            let what = format!("{} slides", deck.slides.len());
            (deck.scenes(), what)
        }
        Form::Handout => {
            let pages = Handout::new(&deck(Surface::Printed)?, lesson.name, paper).pages;
            let what = format!("a handout of {} pages", pages.len());
            (pages, what)
        }
        Form::Notes => {
            let pages = SpeakerNotes::new(&deck(Surface::Printed)?, lesson.name, paper).pages;
            let what = format!("the speaker’s notes on {} pages", pages.len());
            (pages, what)
        }
        Form::Quiz => {
            let seed = arguments.seed.unwrap_or(SEED);
            let quiz = Quiz::new(lesson, seed);
            let what = format!("{} questions by seed {seed}, and their key", quiz.questions.len());
            (quiz.pages(lesson.name, paper), what)
        }
        Form::Card => {
            let pages = WallCard::new(lesson, paper).pages.to_vec();
            (pages, "a card for the wall, face and back".into())
        }
    };
    write(targets, &pages, becomes, || bar.inc(1))?;
    Ok(what)
}

/// Writes slides as one page of a browser, and says how it is used.
fn present(deck: &Deck, name: &str, targets: &[Target]) -> Result<String, Box<dyn Error>> {
    let slides = deck.slides.iter().map(|Shown { scene, notes, .. }| Slide { scene, notes });
    let slides: Vec<Slide<'_>> = slides.collect();
    let page = slides_page(name, &slides);
    for target in targets {
        target.write(page.as_bytes())?;
    }
    Ok(format!(
        "{} slides to present\nOpen it in a browser: F for full screen, N for the speaker’s window.",
        slides.len()
    ))
}

/// Writes all pages into one file, or each into its own; `drawn` hears of each of these. All of them are made before the
/// first is written.
fn write(
    targets: Vec<Target>,
    pages: &[Scene],
    becomes: Become,
    drawn: impl Fn(),
) -> Result<(), Box<dyn Error>> {
    let format = match (becomes, targets.as_slice()) {
        (Become::Pages(Format::Pdf), [whole]) => return Ok(whole.write(&pdf::encode(pages)?)?),
        (Become::Pages(format), _) => format,
        (Become::Presented, _) => return Ok(()),
    };
    let mut made = Vec::new();
    for page in pages {
        made.push(match format {
            // Nobody measures a slide, and a teacher changes its words.
            Format::Svg => svg::editable(page).into_bytes(),
            Format::Pdf | Format::Png => bytes(page, format, dpi(page))?,
        });
        drawn();
    }
    Ok(write_all(&targets.into_iter().zip(made).collect::<Vec<_>>())?)
}

/// The places of all pages, looked at before the work begins: one file holds all of a PDF.
fn targets(arguments: &Arguments, form: Form, becomes: Become) -> Result<Vec<Target>, Box<dyn Error>> {
    let (out, force) = (&arguments.out, arguments.force);
    if matches!(becomes, Become::Presented | Become::Pages(Format::Pdf)) {
        return Ok(vec![Target::new(out, force)?]);
    }
    let count = if form == Form::Card { WallCard::PAGES } else { Deck::SLIDES };
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
