//! `evenfield room`

use std::error::Error;
use std::path::PathBuf;

use clap::{ArgGroup, Args, Subcommand};

use super::arguments;
use super::{Outcome, print};
use crate::chart::smallest_line;
use crate::quantity::Length;
use crate::room::{Room, RoomFile, ScreenTable, ViewingTable};
use crate::store::Target;

#[derive(Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Writes a room file from what was measured
    New(New),
}

#[derive(Args)]
#[command(group = ArgGroup::new("size").required(true).args(["width", "diagonal", "pitch"]))]
struct New {
    /// The screen's native resolution, such as 1920x1080
    #[arg(long, value_name = "COLUMNSxROWS", value_parser = arguments::pixels)]
    pixels: [u32; 2],
    /// Width of the lit picture, such as 527mm: the best of the three, measure it with a steel rule
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    width: Option<Length>,
    /// Diagonal of the lit picture, such as 23.8in
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    diagonal: Option<Length>,
    /// One pixel, such as 0.2745mm
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pitch: Option<Length>,
    /// From the eye to the screen along the light, through the mirror if there is one, such as 3m or 10ft
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    distance: Length,
    /// The patient sees the screen in a mirror
    #[arg(long)]
    mirror: bool,
    /// What you call the room
    #[arg(long)]
    name: Option<String>,
    /// The file to write
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite the file if it exists
    #[arg(long)]
    force: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    match &arguments.command {
        Command::New(new) => new.run(),
    }
}

impl New {
    fn run(&self) -> Result<Outcome, Box<dyn Error>> {
        let target = Target::new(&self.out, self.force)?;
        let text = self.text()?;
        let room = Room::from_toml(&text, "these flags")?;
        target.write(text.as_bytes())?;
        print(&self.summary(&room));
        Ok(Outcome::Fine)
    }

    fn file(&self) -> RoomFile {
        let [columns, rows] = self.pixels.map(f64::from);
        let size_mm =
            self.width.map(|width| [width.to_mm(), rounded((width * (rows / columns)).to_mm(), 100.0)]);
        RoomFile {
            name: self.name.clone(),
            viewing: ViewingTable { distance_mm: rounded(self.distance.to_mm(), 1e6), mirror: self.mirror },
            screen: ScreenTable {
                pixels: self.pixels,
                size_mm,
                diagonal_in: self.diagonal.map(|diagonal| rounded(diagonal.to_inches(), 1e6)),
                pitch_mm: self.pitch.map(|pitch| rounded(pitch.to_mm(), 1e6)),
                profile: None,
            },
            luminance: None,
            tone: None,
            primaries: None,
            ambient: None,
        }
    }

    /// The file with the tables that a photometer fills, ready to be uncommented.
    fn text(&self) -> Result<String, Box<dyn Error>> {
        Ok(format!("{}{STILL_TO_MEASURE}", self.file().to_toml()?))
    }

    fn summary(&self, room: &Room) -> String {
        let [width, height] = room.screen.size();
        format!(
            "{}: picture {:.1} × {:.1} mm, pixel {:.4} mm, {} m{}\n\
             {}\n\
             Light and tone curve are assumed until they are measured and written into the file.\n\
             Next: evenfield chart --room {} --out chart.png",
            self.out.display(),
            width.to_mm(),
            height.to_mm(),
            room.screen.pitch[0].to_mm(),
            room.viewing.distance.to_m(),
            if room.viewing.mirror { " over a mirror" } else { "" },
            drawable(room),
            self.out.display(),
        )
    }
}

/// Which standard lines this screen can draw at this distance.
fn drawable(room: &Room) -> String {
    match (smallest_line(room, 3.0), smallest_line(room, 2.0)) {
        (Some(plain), Some(least)) if plain == least => {
            format!("Every standard line down to {plain} has strokes of 3 px or more here.")
        }
        (Some(plain), Some(least)) => {
            format!(
                "Standard lines down to {plain} have strokes of 3 px or more here; down to {least} they have 2 px or more."
            )
        }
        (None, Some(least)) => {
            format!("Standard lines down to {least} can be drawn, but none with strokes of 3 px.")
        }
        (_, None) => {
            "No standard line can be drawn here: the pixels are too coarse for this distance.".into()
        }
    }
}

/// To so many parts of one, which only strips binary dust.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

const STILL_TO_MEASURE: &str = "
# Fill in what a photometer reads and take the # away; what is left out is assumed, and every number says so.
#
# [luminance]                # cd/m2 at full drive, each alone, black included
# red = 52.0
# green = 178.0
# blue = 19.0
# white = 250.0
# black = 0.25
#
# [tone]                     # without it the sRGB curve
# gamma = 2.2                # or steps = [[0, 0.25], [128, 54.0], [255, 250.0]] of white, or of each primary
#
# [ambient]
# illuminance_lux = 4.0      # on the screen, facing the patient
# screen_reflectance = 0.02
";
