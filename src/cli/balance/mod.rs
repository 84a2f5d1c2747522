//! `evenfield balance`

mod both;
mod form;
mod kept;
mod near;
mod raw;
mod screen;
mod script;
mod start;
mod terminal;
mod told;
mod trial;
mod wall;

use std::error::Error;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use self::kept::KeptArgument;
use self::script::{ScriptArgument, TooFew};
use self::start::StartArgument;
use self::told::told;
use self::trial::TrialArgument;
pub(super) use self::trial::TrialPrinted;
use self::wall::{Wall, WallArgument};
use super::arguments::RoomArgument;
use super::{Outcome, clock, help, named, print, progress};
use crate::balance::record::{Kept, Records};
use crate::balance::{Event, Place, Procedure, RulesError, Summary, Table, Tree};
use crate::check;
use crate::exam::{Recorder, read_record};
use crate::hand_over::{RECORD_NAME, Writing};
use crate::report::place;
use crate::store::{self, MOST_KEPT_BYTES};

/// Walks through a red-green balance, one eye and then the other, and keeps its record.
///
/// In a terminal it asks for what is missing and goes by single keys. With --answers and all start values as flags it
/// needs no terminal.
#[derive(Args)]
#[command(after_help = help::after(&help::balance(), "balance --room room.toml --record balances.jsonl"))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// Print the examination, the record or the trial as JSON
    #[arg(long, conflicts_with = "out")]
    json: bool,
    /// Print the procedures that go by rules as tables of transitions, as JSON; where flags describe an eye, all that the adaptive
    /// way may ask of it
    #[arg(long, conflicts_with_all = ["record", "show", "answers"])]
    transitions: bool,
    #[command(flatten)]
    trial: TrialArgument,
    #[command(flatten)]
    start: StartArgument,
    #[command(flatten)]
    script: ScriptArgument,
    #[command(flatten)]
    wall: WallArgument,
    #[command(flatten)]
    kept: KeptArgument,
    /// Keep the examination in this file, line by line as it happens; others in it stay
    #[arg(long, value_name = "FILE", help_heading = "Records")]
    record: Option<PathBuf>,
    /// Go on with the last open examination of the record, or with this one
    #[arg(long, value_name = "ID", num_args = 0..=1, requires = "record", help_heading = "Records")]
    resume: Option<Option<String>>,
    /// Read a record back; nothing is written to it
    #[arg(long, value_name = "FILE", conflicts_with_all = ["record", "answers"], help_heading = "Records")]
    show: Option<PathBuf>,
    /// Of the record, only this examination
    #[arg(long, value_name = "ID", requires = "show", help_heading = "Records")]
    only: Option<String>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    if arguments.transitions {
        return transitions(arguments);
    }
    if arguments.trial.is_wanted() {
        return arguments.trial.run(&arguments.room, arguments.json);
    }
    if let Some(path) = &arguments.show {
        return show(arguments, path);
    }
    walk(arguments)
}

/// Walks through an examination, from where it stands to where the examiner or the flags stop.
fn walk(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let output = arguments.kept.target()?;
    let (room, name) = arguments.room.load()?;
    let is_there = terminal::is_there();
    let scripted = arguments.script.says_something() || (arguments.json && !is_there);
    if !scripted && !is_there {
        return Err(
            "the balance needs a terminal, or --answers and the eye as flags: see `evenfield balance --help`"
                .into(),
        );
    }
    let mut recorder = recorder(arguments)?;
    output.iter().try_for_each(|output| output.target().refuse_input())?;
    if let Some(course) = recorder.kept.examination.courses.first() {
        same_room(&course.start.place, &place(&room)?)?;
    }
    let wall = arguments.wall.open()?;
    if scripted {
        let too_few = if arguments.json { TooFew::Waits } else { TooFew::Refused };
        arguments.script.walk(&mut recorder, &arguments.start, &room, wall.as_ref(), too_few)?;
    } else {
        terminal::walk(&mut recorder, &arguments.start, &room, wall.as_ref())?;
    }
    finish(arguments, &recorder, &name);
    output.iter().try_for_each(|output| arguments.kept.write(output, &[&recorder.kept]))?;
    Ok(Outcome::Fine)
}

/// Goes on with an event; with a wall that follows only while that shows what was asked, and it shows what is asked next.
fn happen(recorder: &mut Recorder, event: Event, wall: Option<&Wall>) -> Result<(), Box<dyn Error>> {
    let Some(wall) = wall else { return recorder.happen(event, &clock::now()?) };
    let looks = event.is_seen();
    let shown = if looks { Some(wall.shown()?) } else { None };
    recorder.happen_before(event, &clock::now()?, shown)?;
    wall.show(&recorder.kept.examination)
}

/// A new examination, or one that a record holds.
fn recorder(arguments: &Arguments) -> Result<Recorder, Box<dyn Error>> {
    match (&arguments.record, &arguments.resume) {
        (Some(path), Some(Some(id))) if arguments.script.is_for_a_finished_one() => {
            Recorder::again(path, Some(id))
        }
        (Some(path), Some(id)) => Recorder::resume(path, id.as_deref()),
        (path, _) => Recorder::new(path.as_deref(), clock::new_id()?),
    }
}

/// Refuses to go on in another room than the one in which an examination began.
fn same_room(begun: &Place, now: &Place) -> Result<(), String> {
    let (name, metres) = (&begun.name, begun.distance.to_m());
    if begun.is_the_room_of(now) {
        Ok(())
    } else {
        Err(format!("the examination began in {name}, {metres} m: go on there, with --room and its file"))
    }
}

/// Tells what happened, and how to go on.
fn finish(arguments: &Arguments, recorder: &Recorder, room: &str) {
    if arguments.json {
        return print(&json(&Printed::new(&recorder.kept)));
    }
    print(&format!("room: {room}\n{}", told(&recorder.kept, arguments.kept.writing())));
    let id = &recorder.kept.id;
    match recorder.path().map(named) {
        Some(path) if recorder.kept.is_open() => print(&format!(
            "\n{path}: kept as {id}; go on with evenfield balance{} --record {path} --resume {id}",
            arguments.room.path().map_or_else(String::new, |room| format!(" --room {}", named(room)))
        )),
        Some(path) => print(&format!("\n{path}: kept as {id}")),
        None => print("\nNot kept as a record: add --record FILE for that."),
    }
}

fn json(printed: &impl Serialize) -> String {
    serde_json::to_string_pretty(printed).unwrap_or_else(|error| error.to_string())
}

/// What `--json` prints of an examination.
#[derive(Serialize)]
struct Printed<'a> {
    examination: &'a str,
    begun: Option<&'a str>,
    #[serde(flatten)]
    summary: Summary<'a>,
}

impl<'a> Printed<'a> {
    fn new(kept: &'a Kept) -> Self {
        Self {
            examination: &kept.id,
            begun: kept.at.first().map(String::as_str),
            summary: Summary::new(&kept.examination),
        }
    }
}

/// `--show`
fn show(arguments: &Arguments, path: &Path) -> Result<Outcome, Box<dyn Error>> {
    let named = named(path);
    if !path.exists() {
        return Err(format!("{named}: is not there: name the file that --record wrote").into());
    }
    let output = arguments.kept.target()?;
    let records = shown(path)?;
    let kept = wanted(arguments, &records, &named)?;
    if arguments.json {
        print(&json(&kept.iter().map(|kept| Printed::new(kept)).collect::<Vec<_>>()));
    } else if let Some(output) = &output {
        arguments.kept.write(output, &kept)?;
    } else {
        tell(&kept, arguments.kept.writing());
        let count = records.kept.len();
        print(&format!("{named}: {count} examination{}", if count == 1 { "" } else { "s" }));
    }
    for problem in &records.problems {
        super::complain(&format!("{named}, line {}: {}", problem.line, problem.what));
    }
    Ok(if records.problems.is_empty() { Outcome::Fine } else { Outcome::Failed })
}

/// A record, or the one that goes with the page of an examination.
fn shown(path: &Path) -> Result<Records, Box<dyn Error>> {
    let is_pdf = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
    if !is_pdf {
        return read_record(path);
    }
    let named = named(path);
    let bytes = store::read(path, MOST_KEPT_BYTES)
        .map_err(|error| format!("{named}: cannot be read ({error}): name another file"))?;
    let record =
        check::attached(bytes, RECORD_NAME).map_err(|why| format!("{named}: {why}: name another file"))?;
    let record = record.ok_or_else(|| {
        format!("{named}: carries no record: name a page that evenfield balance or exam made")
    })?;
    Ok(Records::read(&String::from_utf8_lossy(&record)))
}

/// What of a record is shown.
fn wanted<'a>(arguments: &Arguments, records: &'a Records, named: &str) -> Result<Vec<&'a Kept>, String> {
    let Some(id) = &arguments.only else { return Ok(records.kept.iter().collect()) };
    let kept = records.named(id);
    Ok(vec![kept.ok_or_else(|| format!("{named}: has no examination {id:?}: leave out --only to see all"))?])
}

fn tell(kept: &[&Kept], writing: Writing) {
    for kept in kept {
        let begun = kept.begun();
        print(&format!("Examination {}, begun {begun}\n{}\n", kept.id, told(kept, writing)));
    }
}

/// `--transitions`: every procedure with every end point, for eyes that accommodate and for those that do not; or the tree of an
/// eye.
fn transitions(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    if !arguments.start.describes_an_eye() {
        print(&serde_json::to_string(&Table::all())?);
        return Ok(Outcome::Fine);
    }
    let (room, _) = arguments.room.load()?;
    let start = arguments.start.start(&room)?;
    if start.procedure != Procedure::Adaptive {
        return Err(format!(
            "an eye that is asked by {} has no table of its own: leave out the flags of the eye, or add --procedure adaptive",
            start.procedure.name()
        )
        .into());
    }
    let bar = progress("questions", Tree::most_states());
    let tree = Tree::of(&start, || bar.inc(1)).ok_or(RulesError::NoModel)?;
    bar.finish_and_clear();
    print(&serde_json::to_string(&tree)?);
    Ok(Outcome::Fine)
}
