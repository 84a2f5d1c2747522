//! Examinations as files: a page each to print, or a table of all.

use std::error::Error;

use clap::Args;

use super::super::document::{DocumentArgument, Format, Output, Place, paper};
use super::super::{named, print, progress};
use crate::balance::record::{Kept, Records};
use crate::export::pdf;
use crate::print::{BalancePage, Paper};
use crate::scene::Scene;

/// `--out`, `--paper` and what belongs to them.
#[derive(Args)]
#[command(next_help_heading = "Pages and tables")]
pub(super) struct KeptArgument {
    #[command(flatten)]
    document: DocumentArgument,
    /// The sheet of paper
    #[arg(long, default_value = "a4", value_parser = paper())]
    paper: Paper,
}

impl KeptArgument {
    /// The place and what goes there, looked at before the work begins.
    pub(super) fn target(&self) -> Result<Option<Output>, Box<dyn Error>> {
        self.document.output()
    }

    /// Writes examinations there.
    pub(super) fn write(&self, output: &Output, kept: &[&Kept]) -> Result<(), Box<dyn Error>> {
        let target = output.target();
        target.write(&self.bytes(output, kept)?)?;
        print(&format!(
            "{}: {}",
            named(target.named()),
            if kept.len() == 1 { "one examination".into() } else { format!("{} examinations", kept.len()) }
        ));
        Ok(())
    }

    fn bytes(&self, output: &Output, kept: &[&Kept]) -> Result<Vec<u8>, Box<dyn Error>> {
        match output {
            Output::Table(_) => {
                let kept = kept.iter().map(|kept| (*kept).clone()).collect();
                Ok(Records { kept, problems: Vec::new() }.csv().into_bytes())
            }
            Output::Pages(place) => self.pages(place, kept),
        }
    }

    fn pages(&self, place: &Place, kept: &[&Kept]) -> Result<Vec<u8>, Box<dyn Error>> {
        let laid_out = progress("examinations", kept.len()).wrap_iter(kept.iter());
        let pages: Vec<Scene> = laid_out.flat_map(|kept| BalancePage::new(kept, self.paper).scenes).collect();
        match pages.as_slice() {
            [] => Err("no examination is there to make a page of: keep one first".into()),
            pages if place.format == Format::Pdf => Ok(pdf::encode(pages)?),
            [page] => place.bytes(page),
            pages => {
                let (named, count) = (place.target.named(), pages.len());
                let only = if kept.len() > 1 { "add --only ID, or " } else { "" };
                Err(format!("{named}: holds one page, and {count} are needed: {only}name a .pdf").into())
            }
        }
    }
}
