//! `evenfield chart`
//!
//! Request, room, layout, picture, file, and then the file is read back from the disk and measured: the findings printed are those
//! of the finished file. A finding that fails ends the command with 1, and the file stays, since it is what is to be looked at.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::arguments::{self, RoomArgument};
use super::document::Format;
use super::report::{outcome, print_report};
use super::{Outcome, help, named, png_bytes, print, say};
use crate::acuity::{Acuity, Notation};
use crate::chart::{self, Chart, Lines, Request, Row, White};
use crate::check::{self, Expected, Report};
use crate::claim::ChartClaim;
use crate::export::{pdf, svg};
use crate::light::{Fields, Side};
use crate::optotype::LetterSet;
use crate::quantity::Luminance;
use crate::room::Room;
use crate::scene::Paint;
use crate::store::Target;

/// The customary target line of the red-green test. Common practice, no source.
const CUSTOMARY_LINE: i8 = 3;

/// The chart is drawn for one room and holds only there.
#[derive(Args)]
#[command(after_help = help::after(help::CHART, "chart --room room.toml --threshold 20/20 --out chart.png"))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// A line to show, such as 20/40, 6/12, 0.5dec or 0.3logmar; repeat for more; 20/40 where none is named
    #[arg(long, value_name = "A", value_parser = arguments::acuity, allow_hyphen_values = true)]
    line: Vec<Acuity>,
    /// The patient’s acuity; the chart shows the line two above it
    #[arg(long, value_name = "A", value_parser = arguments::acuity, allow_hyphen_values = true, conflicts_with = "line")]
    threshold: Option<Acuity>,
    /// How many 0.1 logMAR lines above the threshold, 0 to 10
    #[arg(long, value_name = "N", default_value_t = 2, requires = "threshold", value_parser = clap::value_parser!(u8).range(0..=10))]
    lines_above: u8,
    /// The letters
    #[arg(long, default_value = "sloan", value_parser = arguments::letter_set())]
    letters: LetterSet,
    /// The fields
    #[arg(long, default_value = "red-green", value_parser = arguments::fields())]
    fields: Fields,
    /// Where red lies, as the patient sees it; left where it is not given
    #[arg(long, value_name = "SIDE", value_parser = arguments::side())]
    red: Option<Side>,
    /// A white field’s light: that of the coloured fields, which is usual, or all that the screen has
    #[arg(long, value_name = "LIGHT", value_parser = arguments::white())]
    white: Option<White>,
    /// The fields’ luminance in cd/m²; the most that red and green both reach where it is not given, one field alone
    /// included, so that all charts of a room are alike
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    luminance: Option<Luminance>,
    /// Name each line faintly at the edge, for the examiner, as 20/x or in the notation named
    #[arg(long, value_name = "NOTATION", num_args = 0..=1, default_missing_value = "20", value_parser = arguments::notation())]
    labels: Option<Notation>,
    /// Which letters: another number, other letters
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The file to write; its ending, .png, .svg or .pdf, says what it becomes
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite the file if it exists
    #[arg(long)]
    force: bool,
    /// Print the findings as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, room_name) = arguments.room.load()?;
    let target = Target::new(&arguments.out, arguments.force)?;
    let format = Format::of(&target.ending(), target.named())?;
    let request = arguments.request()?;
    let chart = chart::draw(&request, &room)?;
    match format {
        Format::Png => {
            target.write(&png_bytes(&chart.scene, &room)?)?;
        }
        Format::Svg => {
            target.write(svg::encode(&chart.scene).as_bytes())?;
        }
        Format::Pdf => {
            target.write(&pdf::encode(std::slice::from_ref(&chart.scene))?)?;
        }
    }
    let report = check::file(target.path(), &Expected { room: Some(room.clone()), ..Expected::default() })?;
    if arguments.json {
        print(&json(&target, &chart, &report)?);
    } else {
        say(&arguments.summary(&target, &room, &room_name, &chart));
        print_report(&report);
    }
    Ok(outcome(&report))
}

/// The fields with their codes, as the patient sees them.
fn fields_summary(chart: &Chart) -> String {
    let coded = |paint: Paint| match paint.codes {
        [red, 0, 0] => format!("red with code {red}"),
        [0, green, 0] => format!("green with code {green}"),
        [white, ..] => format!("white with code {white}"),
    };
    let left = coded(chart.colours.left);
    match chart.colours.right {
        None => format!("field: {left}"),
        Some(right) => format!("fields: {left} on the patient’s left, {} on the right", coded(right)),
    }
}

/// What was drawn and how it was judged, for programs.
fn json(target: &Target, chart: &Chart, report: &Report) -> Result<String, Box<dyn Error>> {
    #[derive(Serialize)]
    struct Made<'a> {
        file: &'a str,
        made: &'a ChartClaim,
        check: &'a Report,
    }
    let made = Made { file: target.named(), made: &chart.claim, check: report };
    Ok(serde_json::to_string_pretty(&made)?)
}

impl Arguments {
    fn request(&self) -> Result<Request, Box<dyn Error>> {
        let lines = match self.threshold {
            Some(threshold) => threshold.lines_above(self.lines_above)?.into(),
            None if self.line.is_empty() => Acuity::standard(CUSTOMARY_LINE).into(),
            None => Lines::new(self.line.clone())?,
        };
        self.refuse_what_would_be_ignored()?;
        Ok(Request {
            lines,
            letters: self.letters,
            seed: self.seed,
            fields: self.fields,
            red: self.red.unwrap_or(Side::Left),
            white: self.white.unwrap_or(White::Matched),
            luminance: self.luminance,
            labels: self.labels,
        })
    }

    /// A flag that has no bearing on these fields was meant for others.
    fn refuse_what_would_be_ignored(&self) -> Result<(), String> {
        let fields = self.fields.name();
        if self.red.is_some() && self.fields != Fields::RedGreen {
            return Err(format!(
                "--red says where red lies of two fields, but --fields is {fields}: leave one out"
            ));
        }
        if self.white.is_some() && self.fields != Fields::White {
            return Err(format!(
                "--white is about a white field, but --fields is {fields}: add --fields white"
            ));
        }
        if self.white == Some(White::Full) && self.luminance.is_some() {
            return Err(
                "--white full is all that the screen has, so --luminance cannot be met: leave one out".into(),
            );
        }
        Ok(())
    }

    fn summary(&self, target: &Target, room: &Room, room_name: &str, chart: &Chart) -> String {
        let [columns, rows] = room.screen.pixels;
        let mut said = vec![
            format!("{}: {}", named(target.named()), chart.scene.metadata.title),
            format!(
                "room: {room_name}; {columns} × {rows} px, {}",
                if room.viewing.mirror { "mirrored" } else { "no mirror" }
            ),
        ];
        said.push(fields_summary(chart));
        said.extend(chart.layout.rows.iter().map(|line| self.line_summary(line)));
        said.push(String::new());
        said.join("\n")
    }

    fn line_summary(&self, line: &Row) -> String {
        let names = [Notation::SixMetres, Notation::Decimal, Notation::LogMar]
            .map(|notation| line.acuity.in_notation(notation));
        let why = match self.threshold {
            Some(threshold) => format!(
                "; {} lines above {threshold}, {:.3} times as large",
                self.lines_above,
                line.acuity.size_ratio_to(threshold)
            ),
            None if self.line.is_empty() => "; the customary line, since none was named".into(),
            None => String::new(),
        };
        let letters: Vec<String> = line.letters.iter().map(|letter| letter.name()).collect();
        format!("line {} ({}){why}: {}", line.acuity, names.join(", "), letters.join(" "))
    }
}
