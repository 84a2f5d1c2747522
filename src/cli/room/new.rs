//! `evenfield room new`
//!
//! Only what was measured or is claimed goes into the file; the rest is there as comments to fill in. A file that holds
//! measurements is not overwritten by `--force` alone.

use std::error::Error;
use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};

use super::super::arguments::{self, OutputArgument};
use super::super::{help, named};
use super::size::{SizeArgument, millionths};
use super::{Outcome, print, quoted};
use crate::chart::smallest_line;
use crate::light::Basis;
use crate::quantity::Length;
use crate::room::{
    Edid, EdidError, LEAST_STROKE_PX, MAX_FILE_BYTES, PLAIN_STROKE_PX, Profile, Room, RoomFile,
    RoomFileError, ScreenTable, ViewingTable,
};
use crate::store::{Target, plain};

/// The size by one of --width, --diagonal and --pitch, or by what the screen says of itself (--edid).
#[derive(Args)]
#[command(group = ArgGroup::new("any size").args(["edid", "width", "measured_bar", "diagonal", "pitch"]).required(true).multiple(true))]
#[command(
    after_help = help::after(help::ROOM_NEW, "room new --pixels 1920x1080 --width 527mm --distance 3.2m --out room.toml")
)]
pub(super) struct Arguments {
    /// What the screen says of itself: a file with its EDID block; `room screens` lists those attached
    #[arg(long, value_name = "FILE")]
    edid: Option<PathBuf>,
    /// The screen’s native resolution, such as 1920x1080; with --edid, instead of what it says
    #[arg(long, value_name = "COLUMNSxROWS", value_parser = arguments::pixels, required_unless_present = "edid")]
    pixels: Option<[u32; 2]>,
    #[command(flatten)]
    size: SizeArgument,
    /// The screen’s ICC display profile: its primaries, tone curve and light are taken as claimed, and charts embed it
    #[arg(long, value_name = "FILE")]
    icc: Option<PathBuf>,
    /// From the eye to the screen along the light, through the mirror if there is one, such as 3m or 10ft
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    distance: Length,
    /// The patient sees the screen in a mirror
    #[arg(long)]
    mirror: bool,
    /// What you call the room
    #[arg(long, value_parser = arguments::words)]
    name: Option<String>,
    #[command(flatten)]
    output: OutputArgument,
    /// With --force: overwrite a room file although it holds measurements, which are lost
    #[arg(long, requires = "force")]
    discard_measurements: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let target = arguments.output.target()?;
    arguments.keep_measurements(&target)?;
    let file = arguments.file()?;
    let text = file.to_new_text()?;
    let room = Room::from_toml(&text, "").map_err(|error| match error {
        // The flags have no lines.
        RoomFileError::Refused { problem, .. } => problem,
        RoomFileError::Unreadable { .. } => error.to_string(),
    })?;
    target.write(text.as_bytes())?;
    print(&arguments.summary(&room));
    Ok(Outcome::Fine)
}

impl Arguments {
    fn file(&self) -> Result<RoomFile, Box<dyn Error>> {
        let screen = match &self.edid {
            Some(file) => self.screen_by_edid(file)?,
            None => self.size.of_screen(self.pixels.unwrap_or_default()),
        };
        let says = self.icc.as_deref().map(|path| Profile::read(path)?.says()).transpose()?;
        let (luminance, tone, primaries) =
            says.map_or((None, None, None), |says| (says.luminance, Some(says.tone), Some(says.primaries)));
        let profile = self.icc.as_deref().map(|path| self.beside_the_file(path)).transpose()?;
        let screen = ScreenTable { profile, ..screen };
        Ok(RoomFile {
            name: self.name.clone(),
            viewing: ViewingTable { distance_mm: millionths(self.distance.to_mm()), mirror: self.mirror },
            screen,
            luminance,
            tone,
            primaries,
            ambient: None,
            field_match: None,
        })
    }

    /// Refuses to overwrite what somebody measured, unless that is asked for.
    fn keep_measurements(&self, target: &Target) -> Result<(), String> {
        if self.discard_measurements || !target.path().exists() {
            return Ok(());
        }
        let named = self.output.out.display();
        let text = target.present(MAX_FILE_BYTES).ok().and_then(|bytes| String::from_utf8(bytes).ok());
        let Some(room) = text.and_then(|text| Room::from_toml(&text, "").ok()) else {
            return Err(format!(
                "{named}: is there and cannot be read as a room file, so what it holds is not known: name another file, or add --discard-measurements to overwrite it"
            ));
        };
        let held = room.file().measurements();
        if held.is_empty() {
            return Ok(());
        }
        Err(format!(
            "{named}: holds measurements that would be lost ({}): change single values with `evenfield room set --room {}`, or add --discard-measurements",
            held.join(", "),
            quoted(&self.output.out)
        ))
    }

    /// The way to a file from the folder of the room file: its name alone where it lies there, else from the root.
    fn beside_the_file(&self, path: &Path) -> Result<String, String> {
        let whole = |path: &Path| {
            std::path::absolute(path)
                .map_err(|error| format!("{}: {}: name it otherwise", path.display(), plain(&error)))
        };
        let (profile, file) = (whole(path)?, whole(&self.output.out)?);
        let name = profile.file_name().filter(|_| profile.parent() == file.parent());
        Ok(name.map_or_else(|| profile.display().to_string(), |name| name.to_string_lossy().into_owned()))
    }

    /// A screen with what it says of itself; whatever was measured settles it.
    fn screen_by_edid(&self, path: &Path) -> Result<ScreenTable, Box<dyn Error>> {
        let says = |error: EdidError| {
            let way_out = if error.leaves_pixels() {
                "measure the width of the lit picture and add --measured-width, such as --measured-width 527mm"
            } else {
                "measure the width of the lit picture and give --pixels and --measured-width instead"
            };
            format!("{}: the screen’s EDID {error}: {way_out}", path.display())
        };
        let edid = Edid::parse(&edid_bytes(path)?).map_err(says)?;
        let pixels = self.pixels.map_or_else(|| edid.screen_pixels(), Ok).map_err(says)?;
        if self.size.is_given() {
            return Ok(self.size.of_screen(pixels));
        }
        let size = edid.claimed_size().map_err(says)?;
        Ok(ScreenTable {
            size_mm: Some(size.map(Length::to_mm)),
            size_claimed: true,
            ..self.size.of_screen(pixels)
        })
    }

    fn summary(&self, room: &Room) -> String {
        let [width, height] = room.screen.size();
        format!(
            "{}: picture {:.1} × {:.1} mm, pixel {:.4} mm, {} m{}\n\
             {}{}\n\
             {}\n\
             Next: evenfield chart --room {} --out chart.png",
            named(&self.output.out),
            width.to_mm(),
            height.to_mm(),
            room.screen.pitch[0].to_mm(),
            room.viewing.distance.to_m(),
            if room.viewing.mirror { " through a mirror" } else { "" },
            drawable(room),
            if room.screen.size_basis == Basis::Claimed { CLAIMED } else { "" },
            light(room),
            quoted(&self.output.out),
        )
    }
}

/// What the light of a room rests on that was never measured, and what to do about it.
fn light(room: &Room) -> String {
    format!(
        "Its light rests on: {}. Measure it, or match it by eye with `evenfield room sheet`.",
        room.display.worked_out_from([255, 0, 0], [0, 255, 0])
    )
}

const CLAIMED: &str = "\nThe size is claimed by the screen: hold a rule to the picture. Of 400 screens\u{2019} claims one in seven contradicts itself.";

fn edid_bytes(path: &Path) -> Result<Vec<u8>, String> {
    let refused =
        |problem: String| format!("{}: {problem}: give a file with the screen’s EDID block", path.display());
    Edid::bytes(path).map_err(refused)
}

/// Which standard lines this screen can draw at this distance.
fn drawable(room: &Room) -> String {
    match (smallest_line(room, PLAIN_STROKE_PX), smallest_line(room, LEAST_STROKE_PX)) {
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
