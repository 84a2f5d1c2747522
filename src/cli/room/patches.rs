//! `evenfield room patches`
//!
//! The pictures go to the screen by the same way as charts: same pixels, same colour tag. Each is told with the light that the
//! room file predicts for it, so that a wrong cable or a night mode shows at the first reading.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;

use super::super::arguments::RoomArgument;
use super::super::{help, named, png_bytes};
use super::{Outcome, print};
use crate::chart::FieldLight;
use crate::room::Room;
use crate::scene::{Metadata, Paint, Scene};
use crate::store::{Target, write_all};

/// Plain full-screen pictures to hold a meter to. Show them with the viewer that shows the charts, so that their codes
/// reach the screen in the same way.
#[derive(Args)]
#[command(after_help = help::after(help::ROOM_PATCHES, "room patches --room room.toml --out ."))]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// An existing folder to write them into
    #[arg(long, value_name = "FOLDER")]
    out: PathBuf,
    /// Overwrite those that exist
    #[arg(long)]
    force: bool,
}

/// Codes of the tone steps: seventeen, as many as a curve needs.
const STEPS: usize = 15;

/// What to switch off before anything is metered.
const BEFORE: &str = "\
Before you meter, let the screen warm up for 30 minutes, at its native resolution, without scaling or overscan. Switch
off auto-brightness, night colour, HDR, dynamic contrast and power dimming, and darken the room. Meter at the patient’s
eye, through the mirror if there is one.
Readings of full red, green, blue, white and black: evenfield room set --red … --green … --blue … --white … --black …
Readings of the two fields: evenfield room verify --red … --green … --black … --keep";

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let patches = patches(&room)?;
    if !arguments.out.is_dir() {
        return Err(format!(
            "{}: is not an existing folder: make it first, or name another",
            arguments.out.display()
        )
        .into());
    }
    let targets = patches
        .iter()
        .map(|patch| Target::new(&arguments.out.join(format!("{}.png", patch.name)), arguments.force))
        .collect::<Result<Vec<_>, _>>()?;
    let drawn = patches.iter().map(|patch| png_bytes(&scene(&room, patch), &room));
    let set = targets.into_iter().zip(drawn.collect::<Result<Vec<_>, _>>()?).collect::<Vec<_>>();
    write_all(&set)?;
    let mut said = vec![format!("room: {name}")];
    for (patch, (target, _)) in patches.iter().zip(&set) {
        let light = room.display.luminance_in_room(patch.codes);
        let [red, green, blue] = patch.codes;
        said.push(format!("{}: codes {red}, {green}, {blue}; {light} expected", named(target.named())));
    }
    // The first two are the fields.
    said.push(format!("expected from: {}", room.display.worked_out_from(patches[0].codes, patches[1].codes)));
    print(&format!("{}\n\n{BEFORE}", said.join("\n")));
    Ok(Outcome::Fine)
}

/// A picture of one colour.
struct Patch {
    name: String,
    what: &'static str,
    codes: [u8; 3],
}

/// The fields of this room’s charts, each primary at full drive, black, and steps of white.
fn patches(room: &Room) -> Result<Vec<Patch>, Box<dyn Error>> {
    let light = FieldLight::new(&room.display, None)?;
    let patch = |name: &str, what, codes| Patch { name: name.into(), what, codes };
    let mut patches = vec![
        patch("field-red", "the red field of this room’s charts", light.red.codes),
        patch("field-green", "the green field of this room’s charts", light.green.codes),
        patch("full-red", "red at full drive", [255, 0, 0]),
        patch("full-green", "green at full drive", [0, 255, 0]),
        patch("full-blue", "blue at full drive", [0, 0, 255]),
    ];
    patches.extend((0..=255_u8).step_by(STEPS).map(|code| Patch {
        name: format!("white-{code:03}"),
        what: "a step of white",
        codes: [code; 3],
    }));
    Ok(patches)
}

fn scene(room: &Room, patch: &Patch) -> Scene {
    let [red, green, blue] = patch.codes;
    Scene {
        size: room.screen.size(),
        background: Paint { codes: patch.codes },
        shapes: Vec::new(),
        metadata: Metadata {
            title: format!("Patch to meter: {}", patch.what),
            description: format!("Device codes {red}, {green}, {blue} all over the screen."),
            json: String::new(),
        },
    }
}
