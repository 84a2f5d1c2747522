//! `evenfield room new`

use std::error::Error;
use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};

use super::super::arguments::{self, OutputArgument};
use super::{Outcome, print};
use crate::chart::{FieldColours, Request, match_steps, smallest_line};
use crate::light::{Basis, Channel};
use crate::print::bar_px;
use crate::quantity::Length;
use crate::room::{
    Edid, EdidError, LEAST_STROKE_PX, LuminanceTable, PLAIN_STROKE_PX, Profile, Room, RoomFile,
    RoomFileError, ScreenTable, ToneTable, ViewingTable, plain,
};

/// The size by one of --width, --diagonal and --pitch, or by what the screen says of itself (--edid).
#[derive(Args)]
#[command(group = ArgGroup::new("size").args(["width", "measured_bar", "diagonal", "pitch"]))]
#[command(group = ArgGroup::new("any size").args(["edid", "width", "measured_bar", "diagonal", "pitch"]).required(true).multiple(true))]
pub(super) struct Arguments {
    /// What the screen says of itself: a file with its EDID block; `room screens` lists those attached
    #[arg(long, value_name = "FILE")]
    edid: Option<PathBuf>,
    /// The screen's native resolution, such as 1920x1080; with --edid, instead of what it says
    #[arg(long, value_name = "COLUMNSxROWS", value_parser = arguments::pixels, required_unless_present = "edid")]
    pixels: Option<[u32; 2]>,
    /// Width of the lit picture, such as 527mm: the best of the three, measure it with a steel rule
    #[arg(long, value_name = "LENGTH", visible_alias = "measured-width", allow_hyphen_values = true)]
    width: Option<Length>,
    /// Length of the bar on the setup sheet (`room sheet`), such as 201.5mm
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    measured_bar: Option<Length>,
    /// Diagonal of the lit picture, such as 23.8in
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    diagonal: Option<Length>,
    /// One pixel, such as 0.2745mm
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pitch: Option<Length>,
    /// The screen's ICC display profile: its primaries, tone curve and light are taken as claimed, and charts embed it
    #[arg(long, value_name = "FILE")]
    icc: Option<PathBuf>,
    /// From the eye to the screen along the light, through the mirror if there is one, such as 3m or 10ft
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    distance: Length,
    /// The number below the grey of the setup sheet that melts into its stripes, such as 2.2
    #[arg(long, value_name = "GAMMA", value_parser = arguments::gamma, conflicts_with = "icc", allow_hyphen_values = true)]
    matched_gamma: Option<f64>,
    /// The step of the setup sheet's match strip with the faintest border, 1 to 9; the sheet must be that of a room
    /// made with the same flags, but for --matched-gamma
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=9))]
    matched_step: Option<u8>,
    /// The patient sees the screen in a mirror
    #[arg(long)]
    mirror: bool,
    /// What you call the room
    #[arg(long)]
    name: Option<String>,
    #[command(flatten)]
    output: OutputArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let target = arguments.output.target()?;
    let file = arguments.matched(arguments.file()?)?;
    let text = format!("{}{}", file.to_toml()?, still_to_measure(&file));
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
            None => self.screen(self.pixels.unwrap_or_default()),
        };
        let says = self.icc.as_deref().map(|path| Profile::read(path)?.says()).transpose()?;
        let (luminance, tone, primaries) =
            says.map_or((None, None, None), |says| (says.luminance, Some(says.tone), Some(says.primaries)));
        let profile = self.icc.as_deref().map(|path| self.beside_the_file(path)).transpose()?;
        let screen = ScreenTable { profile, ..screen };
        Ok(RoomFile {
            name: self.name.clone(),
            viewing: ViewingTable { distance_mm: rounded(self.distance.to_mm(), 1e6), mirror: self.mirror },
            screen,
            luminance,
            tone,
            primaries,
            ambient: None,
        })
    }

    /// The file with the gamma and the match that an eye found on the setup sheet of a room made with the other flags:
    /// red as it was, and green at full drive so bright that the step's code equals it.
    fn matched(&self, mut file: RoomFile) -> Result<RoomFile, Box<dyn Error>> {
        let display =
            |file: &RoomFile| Room::from_file(file.clone(), Basis::Measured).map(|room| room.display);
        // The sheet's codes are those of the curve that it was drawn with; their light follows the curve found on it.
        let sheet = display(&file)?;
        if let Some(gamma) = self.matched_gamma {
            file.tone = Some(ToneTable { gamma: Some(gamma), matched_by_eye: true, ..ToneTable::default() });
        }
        let Some(step) = self.matched_step else { return Ok(file) };
        let display = display(&file)?;
        let colours = FieldColours::choose(&Request::new(Vec::new()), &sheet)?;
        let code = match_steps(&colours)[usize::from(step) - 1];
        let black = display.black();
        let equal = display.luminance(colours.left.codes) - black;
        let green = equal * (1.0 / display.tone(Channel::Green).light(code)) + black;
        let readings = file.luminance.take().unwrap_or_default();
        file.luminance = Some(LuminanceTable {
            red: Some(rounded(display.luminance([255, 0, 0]).to_cd_m2(), 100.0)),
            green: Some(rounded(green.to_cd_m2(), 100.0)),
            white: None,
            matched_by_eye: true,
            ..readings
        });
        Ok(file)
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

    /// A screen with what was measured of it.
    fn screen(&self, pixels: [u32; 2]) -> ScreenTable {
        let [columns, rows] = pixels.map(f64::from);
        let by_bar = |bar: Length| bar * (columns / f64::from(bar_px(pixels[0])));
        let width = self.width.or(self.measured_bar.map(by_bar));
        let height = |width: Length| rounded((width * (rows / columns)).to_mm(), 100.0);
        ScreenTable {
            pixels,
            size_mm: width.map(|width| [rounded(width.to_mm(), 1e6), height(width)]),
            diagonal_in: self.diagonal.map(|diagonal| rounded(diagonal.to_inches(), 1e6)),
            pitch_mm: self.pitch.map(|pitch| rounded(pitch.to_mm(), 1e6)),
            size_claimed: false,
            profile: None,
        }
    }

    /// A screen with what it says of itself; whatever was measured settles it.
    fn screen_by_edid(&self, path: &Path) -> Result<ScreenTable, Box<dyn Error>> {
        let says = |error: EdidError| {
            let way_out = if error.leaves_pixels() {
                "measure the width of the lit picture and add --measured-width, such as --measured-width 527mm"
            } else {
                "measure the width of the lit picture and give --pixels and --measured-width instead"
            };
            format!("{}: the screen's EDID {error}: {way_out}", path.display())
        };
        let edid = Edid::parse(&edid_bytes(path)?).map_err(says)?;
        let pixels = self.pixels.map_or_else(|| edid.screen_pixels(), Ok).map_err(says)?;
        if self.width.or(self.measured_bar).or(self.diagonal).or(self.pitch).is_some() {
            return Ok(self.screen(pixels));
        }
        let size = edid.claimed_size().map_err(says)?;
        Ok(ScreenTable { size_mm: Some(size.map(Length::to_mm)), size_claimed: true, ..self.screen(pixels) })
    }

    /// What light and tone curve rest on, which flags alone decide here.
    fn light(&self) -> String {
        let (light, tone) =
            match (self.icc.is_some(), self.matched_step.is_some(), self.matched_gamma.is_some()) {
                (true, true, _) => ("matched by eye", "as the profile claims"),
                (true, false, _) => ("as the profile claims", "as the profile claims"),
                (false, step, gamma) => {
                    let basis = |by_eye: bool| if by_eye { "matched by eye" } else { "assumed" };
                    (basis(step), basis(gamma))
                }
            };
        let until = "until they are measured and written into the file";
        if light == tone {
            format!("Light and tone curve are {light} {until}.")
        } else {
            format!("Light is {light} and the tone curve {tone} {until}.")
        }
    }

    fn summary(&self, room: &Room) -> String {
        let [width, height] = room.screen.size();
        format!(
            "{}: picture {:.1} × {:.1} mm, pixel {:.4} mm, {} m{}\n\
             {}{}\n\
             {}\n\
             Next: evenfield chart --room {} --out chart.png",
            self.output.out.display(),
            width.to_mm(),
            height.to_mm(),
            room.screen.pitch[0].to_mm(),
            room.viewing.distance.to_m(),
            if room.viewing.mirror { " through a mirror" } else { "" },
            drawable(room),
            if room.screen.size_basis == Basis::Claimed { CLAIMED } else { "" },
            self.light(),
            quoted(&self.output.out),
        )
    }
}

const CLAIMED: &str = "\nThe size is claimed by the screen: hold a rule to the picture. Of 400 screens\u{2019} claims one in seven contradicts itself.";

/// A path as a shell takes it.
fn quoted(path: &Path) -> String {
    let path = path.display().to_string();
    if path.contains(char::is_whitespace) { format!("\"{path}\"") } else { path }
}

fn edid_bytes(path: &Path) -> Result<Vec<u8>, String> {
    let refused =
        |problem: String| format!("{}: {problem}: give a file with the screen's EDID block", path.display());
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

/// To so many parts of one, which only strips binary dust.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

/// What a photometer could still tell, ready to be filled in, of the tables that are not there yet.
fn still_to_measure(file: &RoomFile) -> String {
    let mut text = String::from(
        "\n# Fill in what a photometer reads and take the # away; what is left out is assumed, and every number says so.\n",
    );
    if let Some(luminance) = &file.luminance {
        let mark = if luminance.matched_by_eye { "matched_by_eye" } else { "claimed" };
        text +=
            &format!("# What is above becomes measured when you put readings there and take `{mark}` out.\n");
    }
    let missing = [
        (file.luminance.is_none(), LUMINANCE),
        (file.tone.is_none(), TONE),
        (file.primaries.is_none(), PRIMARIES),
        (true, AMBIENT),
    ];
    text += &missing.into_iter().filter(|(missing, _)| *missing).map(|(_, table)| table).collect::<String>();
    text
}

const LUMINANCE: &str = "#
# [luminance]                # cd/m2 at full drive, each alone, black included
# red = 52.0
# green = 178.0
# blue = 19.0
# white = 250.0
# black = 0.25
";

const TONE: &str = "#
# [tone]                     # without it the sRGB curve
# gamma = 2.2                # or steps = [[0, 0.25], [128, 54.0], [255, 250.0]] of white, or of each primary
";

const PRIMARIES: &str = "#
# [primaries]                # without it a broad LCD; for the dioptres between the fields
# kind = \"broad-lcd\"         # or narrow-lcd, oled; or red = { spectrum = \"red.csv\" }, { peak_nm = 615.0, fwhm_nm = 45.0 }
";

const AMBIENT: &str = "#
# [ambient]
# illuminance_lux = 4.0      # on the screen, facing the patient
# screen_reflectance = 0.02
";
