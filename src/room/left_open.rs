//! What a new room file leaves open: tables to be filled in by whoever has an instrument.

use super::RoomFile;

impl RoomFile {
    /// The text of a file that is new: its tables, and those that are not there yet as comments to fill in.
    ///
    /// # Errors
    /// Never for a legal room: each of its values has a notation.
    pub fn to_new_text(&self) -> Result<String, toml::ser::Error> {
        Ok(self.to_toml()? + &still_to_measure(self))
    }
}

/// What a photometer could still tell, ready to be filled in, of the tables that are not there yet.
fn still_to_measure(file: &RoomFile) -> String {
    let mut text = String::from(
        "\n# Fill in what a photometer reads and take the # away; what is left out is assumed, and every number says so.\n",
    );
    if file.luminance.is_some() {
        text += "# [luminance] becomes measured when you put readings there and take `claimed` out.\n";
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
