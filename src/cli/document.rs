//! Pages for people, by the ending of `--out`: PDF to print, SVG and PNG for slides and screens.

use std::error::Error;
use std::path::PathBuf;

use clap::Args;
use clap::builder::TypedValueParser;

use super::arguments::one_of;
use crate::export::png::{self, ColourChunk};
use crate::export::{pdf, svg};
use crate::print::Paper;
use crate::quantity::Length;
use crate::raster;
use crate::room::Display;
use crate::scene::Scene;
use crate::store::Target;

/// `--out`, `--force` and `--dpi` of a page that need not be asked for.
#[derive(Args)]
pub(super) struct DocumentArgument {
    /// Write it to a file, whose ending says what it becomes: .pdf, .svg, .png, and for curves .csv
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Overwrite the file if it exists
    #[arg(long, requires = "out")]
    force: bool,
    /// Pixels an inch of a PNG, 50 to 1200; 150 where it is not given
    #[arg(long, requires = "out", value_parser = clap::value_parser!(u16).range(50..=1200))]
    dpi: Option<u16>,
}

/// A sheet of paper by its name.
pub(super) fn paper() -> impl TypedValueParser<Value = Paper> {
    one_of(Paper::ALL.map(|one| (one.name(), one)).to_vec())
}

/// What becomes of a file with this ending, at so many pixels an inch, or as many as usual.
fn format(target: &Target, dpi: Option<u16>, usual: u16, has_numbers: bool) -> Result<Format, String> {
    if dpi.is_some() && target.ending() != "png" {
        return Err(format!("{}: --dpi is for a .png, and this has no pixels: leave it out", target.named()));
    }
    match target.ending().as_str() {
        "pdf" => Ok(Format::Pdf),
        "svg" => Ok(Format::Svg),
        "png" => Ok(Format::Png { dpi: dpi.unwrap_or(usual) }),
        "csv" if has_numbers => Ok(Format::Csv),
        _ => {
            let (named, csv) = (target.named(), if has_numbers { ".csv, " } else { "" });
            Err(format!("{named}: name a file that ends in {csv}.pdf, .svg or .png"))
        }
    }
}

/// What a page becomes.
#[derive(Clone, Copy)]
pub(super) enum Format {
    Pdf,
    Svg,
    Png { dpi: u16 },
    Csv,
}

/// `--out`, `--force`, `--paper` and `--dpi` of what is made to be printed.
#[derive(Args)]
pub(super) struct PrintArgument {
    /// The file to write; its ending, .pdf, .svg or .png, says what it becomes
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite the file if it exists
    #[arg(long)]
    force: bool,
    /// The sheet of paper
    #[arg(long, default_value = "a4", value_parser = paper())]
    pub(super) paper: Paper,
    /// Pixels an inch of a PNG, 300 to 1200; 600 where it is not given
    #[arg(long, value_parser = clap::value_parser!(u16).range(300..=1200))]
    dpi: Option<u16>,
}

impl PrintArgument {
    /// The place and what goes there, looked at before the work begins.
    pub(super) fn target(&self) -> Result<(Target, Format), Box<dyn Error>> {
        let target = Target::new(&self.out, self.force)?;
        let format = format(&target, self.dpi, 600, false)?;
        Ok((target, format))
    }
}

impl DocumentArgument {
    /// The place and what goes there, looked at before the work begins; none where no file is asked for. A table of
    /// numbers is only what some commands have.
    pub(super) fn target(&self, has_numbers: bool) -> Result<Option<(Target, Format)>, Box<dyn Error>> {
        let Some(out) = &self.out else { return Ok(None) };
        let target = Target::new(out, self.force)?;
        let format = format(&target, self.dpi, 150, has_numbers)?;
        Ok(Some((target, format)))
    }
}

/// The bytes of a page.
pub(super) fn bytes(page: &Scene, format: Format) -> Result<Vec<u8>, Box<dyn Error>> {
    Ok(match format {
        Format::Pdf => pdf::encode(std::slice::from_ref(page))?,
        // A page itself has no numbers; commands that have some write them themselves.
        Format::Svg | Format::Csv => svg::encode(page).into_bytes(),
        Format::Png { dpi } => {
            let dpi = f64::from(dpi);
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a sheet has some thousand pixels"
            )]
            let pixels = page.size.map(|side| (side.to_inches() * dpi).round() as u32);
            // Whoever looks at the page has a screen of which nothing is known: sRGB.
            let image = raster::draw(page, pixels, &Display::assumed());
            png::encode(&image, [Length::inches(1.0 / dpi); 2], &ColourChunk::Srgb, &page.metadata)?
        }
    })
}
