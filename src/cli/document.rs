//! Pages for people, by the ending of `--out`: PDF to print, SVG and PNG for slides and screens.
//!
//! One place knows endings and resolutions. A format that has no pixels refuses `--dpi`, and a page that was not asked for refuses
//! `--force`, so that no flag is ignored in silence.

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

/// What pages become, by the ending of their file.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Pdf,
    Svg,
    Png,
}

impl Format {
    /// By the ending of a file that is named so.
    pub(super) fn of(ending: &str, named: &str) -> Result<Self, String> {
        Self::known(ending).ok_or_else(|| format!("{named}: name a file that ends in .png, .svg or .pdf"))
    }

    fn known(ending: &str) -> Option<Self> {
        match ending {
            "pdf" => Some(Self::Pdf),
            "svg" => Some(Self::Svg),
            "png" => Some(Self::Png),
            _ => None,
        }
    }
}

/// Where pages go, and what they become.
pub(super) struct Place {
    pub(super) target: Target,
    pub(super) format: Format,
    dpi: u16,
}

impl Place {
    /// The place of a target, at this resolution in pixels an inch, or at the usual one.
    fn of(target: Target, dpi: Option<u16>, usual: u16) -> Result<Self, String> {
        let format = Format::of(&target.ending(), target.named())?;
        if dpi.is_some() && format != Format::Png {
            return Err(no_pixels(&target));
        }
        Ok(Self { target, format, dpi: dpi.unwrap_or(usual) })
    }

    /// The bytes of a page.
    pub(super) fn bytes(&self, page: &Scene) -> Result<Vec<u8>, Box<dyn Error>> {
        bytes(page, self.format, f64::from(self.dpi))
    }

    /// The bytes of pages, which only a PDF holds more than one of; `or` says what else could be done about that.
    pub(super) fn pages(&self, pages: &[Scene], or: &str) -> Result<Vec<u8>, Box<dyn Error>> {
        match pages {
            pages if self.format == Format::Pdf => Ok(pdf::encode(pages)?),
            [page] => self.bytes(page),
            pages => {
                let (named, count) = (self.target.named(), pages.len());
                Err(format!("{named}: holds one page, and {count} are needed: {or}name a .pdf").into())
            }
        }
    }
}

/// Where a command’s results go: pages, or a table of their numbers.
pub(super) enum Output {
    Pages(Place),
    Table(Target),
}

impl Output {
    pub(super) const fn target(&self) -> &Target {
        match self {
            Self::Pages(place) => &place.target,
            Self::Table(target) => target,
        }
    }
}

fn no_pixels(target: &Target) -> String {
    format!("{}: --dpi is for a .png, and this has no pixels: leave it out", target.named())
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
    /// Where the pages go, looked at before the work begins.
    pub(super) fn place(&self) -> Result<Place, Box<dyn Error>> {
        Ok(Place::of(Target::new(&self.out, self.force)?, self.dpi, 600)?)
    }
}

impl DocumentArgument {
    /// Where pages go, looked at before the work begins; none where no file is asked for.
    pub(super) fn place(&self) -> Result<Option<Place>, Box<dyn Error>> {
        let Some(out) = &self.out else { return Ok(None) };
        Ok(Some(Place::of(Target::new(out, self.force)?, self.dpi, 150)?))
    }

    /// A file of an ending that only one command writes, whole with its point; none where another or none is asked for.
    pub(super) fn ending_in(&self, ending: &str) -> Result<Option<Target>, Box<dyn Error>> {
        let Some(out) = &self.out else { return Ok(None) };
        if !out.to_string_lossy().to_lowercase().ends_with(ending) {
            return Ok(None);
        }
        let target = Target::new(out, self.force)?;
        if self.dpi.is_some() { Err(no_pixels(&target).into()) } else { Ok(Some(target)) }
    }

    /// The same for a command that has numbers, which a .csv holds.
    pub(super) fn output(&self) -> Result<Option<Output>, Box<dyn Error>> {
        let Some(out) = &self.out else { return Ok(None) };
        let target = Target::new(out, self.force)?;
        let is_table = target.ending() == "csv";
        if is_table && self.dpi.is_some() {
            return Err(no_pixels(&target).into());
        }
        if !is_table && Format::known(&target.ending()).is_none() {
            let named = target.named();
            return Err(format!("{named}: name a file that ends in .csv, .png, .svg or .pdf").into());
        }
        Ok(Some(if is_table {
            Output::Table(target)
        } else {
            Output::Pages(Place::of(target, self.dpi, 150)?)
        }))
    }
}

/// The bytes of a page, a PNG at this resolution in pixels an inch.
pub(super) fn bytes(page: &Scene, format: Format, dpi: f64) -> Result<Vec<u8>, Box<dyn Error>> {
    Ok(match format {
        Format::Pdf => pdf::encode(std::slice::from_ref(page))?,
        Format::Svg => svg::encode(page).into_bytes(),
        Format::Png => {
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
