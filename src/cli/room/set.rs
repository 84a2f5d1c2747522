//! `evenfield room set`
//!
//! The file's comments and order stay. What an eye found does not take the place of what a meter read, unless that is asked for,
//! and each value that changed is told with what it was.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;

use super::super::arguments::{self, one_of};
use super::super::named;
use super::size::{SizeArgument, millionths};
use super::{Outcome, print, quoted, rewrite};
use crate::chart::{FieldLight, LAST_STEP, MIDDLE_STEP, matched_by_eye};
use crate::light::Basis;
use crate::quantity::{Length, Luminance};
use crate::room::{LuminanceTable, Room, RoomFile, ScreenTable};

/// Changes single values; everything else in the file stays as it is, comments too.
#[derive(Args)]
#[command(
    after_help = "Example: evenfield room set --room room.toml --red 52 --green 178 --white 250 --black 0.25"
)]
pub(super) struct Arguments {
    /// The room file to change
    #[arg(long, value_name = "FILE")]
    room: PathBuf,
    /// What you call the room
    #[arg(long, value_parser = arguments::words)]
    name: Option<String>,
    /// From the eye to the screen along the light, through the mirror if there is one, such as 3m or 10ft
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    distance: Option<Length>,
    /// Whether the patient sees the screen in a mirror
    #[arg(long, value_name = "YES_OR_NO", num_args = 0..=1, default_missing_value = "yes", value_parser = yes_or_no())]
    mirror: Option<bool>,
    /// The screen’s native resolution, such as 1920x1080
    #[arg(long, value_name = "COLUMNSxROWS", value_parser = arguments::pixels)]
    pixels: Option<[u32; 2]>,
    #[command(flatten)]
    size: SizeArgument,
    #[command(flatten)]
    readings: Readings,
    #[command(flatten)]
    by_eye: ByEye,
    /// Let what an eye found take the place of what a meter read
    #[arg(long)]
    discard_measurements: bool,
}

/// What a photometer reads at full drive, each colour alone, black included.
#[derive(Args)]
struct Readings {
    /// Full red as a photometer reads it, in cd/m²
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    red: Option<Luminance>,
    /// Full green as read
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    green: Option<Luminance>,
    /// Full blue as read
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    blue: Option<Luminance>,
    /// Full white as read
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    white: Option<Luminance>,
    /// Black as read in the dark room
    #[arg(long, value_name = "CD_M2", value_parser = arguments::luminance, allow_hyphen_values = true)]
    black: Option<Luminance>,
    /// The standard uncertainty of one reading of a coloured field, in per cent
    #[arg(long, value_name = "PERCENT", value_parser = arguments::meter_percent, allow_hyphen_values = true)]
    meter: Option<f64>,
}

/// What an eye found on the setup sheet of this room as its file is now.
#[derive(Args)]
struct ByEye {
    /// The number below the grey of the setup sheet that melts into its stripes, such as 2.2
    #[arg(long, value_name = "GAMMA", value_parser = arguments::gamma, allow_hyphen_values = true)]
    matched_gamma: Option<f64>,
    /// The step of the setup sheet’s match strip with the faintest border, 1 to 9
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=i64::from(LAST_STEP)), conflicts_with_all = ["red", "green", "blue", "white"])]
    matched_step: Option<u8>,
}

fn yes_or_no() -> impl clap::builder::TypedValueParser<Value = bool> {
    one_of(vec![("yes", true), ("no", false)])
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let edit = rewrite(&arguments.room, |before| arguments.wanted(before))?;
    let named = named(&arguments.room);
    let mut said = vec![if edit.changes.is_empty() {
        format!("{named}: has these values already; nothing was changed.")
    } else {
        format!("{named}: changed")
    }];
    said.extend(edit.changes.iter().map(|change| format!("  {change}")));
    said.extend(arguments.by_eye.matched_step.map(|step| arguments.after_step(step)));
    if !edit.changes.is_empty() {
        said.extend(left_out(&Room::from_file(edit.file, Basis::Measured)?));
        said.push(
            "What was made for the room before no longer fits it: make its charts and pages again.".into(),
        );
    }
    print(&said.join("\n"));
    Ok(Outcome::Fine)
}

/// Why readings of the fields do not count for the room as it is now.
fn left_out(room: &Room) -> Option<String> {
    let light = FieldLight::new(&room.display, None).ok()?;
    room.display.readings_left_out(light.red.codes, light.green.codes)
}

impl Arguments {
    /// The file with the values that were given.
    fn wanted(&self, before: &RoomFile) -> Result<RoomFile, Box<dyn Error>> {
        let ByEye { matched_gamma, matched_step } = self.by_eye;
        let by_eye = matched_gamma.is_some() || matched_step.is_some();
        let given = self.name.is_some()
            || self.distance.is_some()
            || self.mirror.is_some()
            || self.pixels.is_some()
            || self.size.is_given()
            || self.readings.is_given()
            || by_eye;
        if !given {
            return Err("no value is given: add what to change, such as --width 532mm".into());
        }
        if !self.discard_measurements {
            self.by_eye.refuse_to_replace_readings(before)?;
        }
        let mut file = if by_eye {
            matched_by_eye(before.clone(), matched_gamma, matched_step)?
        } else {
            before.clone()
        };
        file.name = self.name.clone().or(file.name);
        file.viewing.mirror = self.mirror.unwrap_or(file.viewing.mirror);
        if let Some(distance) = self.distance {
            file.viewing.distance_mm = millionths(distance.to_mm());
        }
        file.screen = self.screen(file.screen);
        file.luminance = self.readings.put(file.luminance)?;
        Ok(file)
    }

    /// A size that is measured takes the place of every other statement of it.
    fn screen(&self, before: ScreenTable) -> ScreenTable {
        let pixels = self.pixels.unwrap_or(before.pixels);
        if self.size.is_given() {
            ScreenTable { profile: before.profile, ..self.size.of_screen(pixels) }
        } else {
            ScreenTable { pixels, ..before }
        }
    }

    /// What to do after a step was taken from a sheet.
    fn after_step(&self, step: u8) -> String {
        let sheet = format!("evenfield room sheet --room {} --out sheet.png --force", quoted(&self.room));
        match step {
            1 | LAST_STEP => format!(
                "Step {step} is the last one on its side, so the match may lie beyond it. The next sheet is centred there: make it and choose again, {sheet}"
            ),
            MIDDLE_STEP => "Step 5 is the match that the sheet was made with, so the match is found.".into(),
            _ => format!(
                "The next sheet has this match as its step 5. Make it and choose again until step 5 is the faintest: {sheet}"
            ),
        }
    }
}

impl ByEye {
    /// An eye tells less than a meter.
    fn refuse_to_replace_readings(&self, before: &RoomFile) -> Result<(), String> {
        let metered = before.luminance.as_ref().filter(|table| !table.claimed && !table.matched_by_eye);
        let light = metered.filter(|table| table.red.is_some() || table.green.is_some());
        let steps = before.tone.as_ref().filter(|tone| tone.steps.is_some() && !tone.claimed);
        if let (Some(_), Some(profile)) = (self.matched_gamma, &before.screen.profile) {
            return Err(format!(
                "charts of this room embed the profile {profile:?}, whose tone curve counts: take `profile` out of [screen] before you match a gamma by eye"
            ));
        }
        let lost = match (self.matched_step.and(light), self.matched_gamma.and(steps)) {
            (Some(_), _) => "the metered luminances of red and green",
            (None, Some(_)) => "the metered steps of the tone curve",
            (None, None) => return Ok(()),
        };
        Err(format!(
            "what an eye finds would take the place of {lost}, which are surer: keep them, or add --discard-measurements"
        ))
    }
}

impl Readings {
    const fn is_given(&self) -> bool {
        self.is_of_light() || self.black.is_some() || self.meter.is_some()
    }

    const fn is_of_light(&self) -> bool {
        self.red.is_some() || self.green.is_some() || self.blue.is_some() || self.white.is_some()
    }

    /// The luminances with these readings in them. One table cannot be metered in part: what was only claimed, or only
    /// matched by an eye, goes when readings come.
    fn put(&self, before: Option<LuminanceTable>) -> Result<Option<LuminanceTable>, String> {
        if !self.is_given() {
            return Ok(before);
        }
        let before = before.unwrap_or_default();
        if before.matched_by_eye && self.is_of_light() && (self.red.is_none() || self.green.is_none()) {
            return Err("red and green of this room are matched by eye, so they have no cd/m² that goes with a reading: read full red and full green too, and give --red and --green".into());
        }
        let reads = self.is_of_light() || self.black.is_some();
        let kept = if before.claimed && reads {
            LuminanceTable { meter_percent: before.meter_percent, ..LuminanceTable::default() }
        } else if before.matched_by_eye && self.is_of_light() {
            LuminanceTable {
                red: None,
                green: None,
                white: None,
                matched_by_eye: false,
                match_open: false,
                ..before
            }
        } else {
            before
        };
        let read = |given: Option<Luminance>, kept: Option<f64>| given.map(Luminance::to_cd_m2).or(kept);
        Ok(Some(LuminanceTable {
            red: read(self.red, kept.red),
            green: read(self.green, kept.green),
            blue: read(self.blue, kept.blue),
            white: read(self.white, kept.white),
            black: read(self.black, kept.black),
            meter_percent: self.meter.or(kept.meter_percent),
            ..kept
        }))
    }
}
