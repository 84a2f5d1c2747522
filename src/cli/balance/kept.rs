//! Examinations as files: a page each to print, a table of all, FHIR for another program.

use std::error::Error;

use clap::Args;

use super::super::arguments::{notation, one_of};
use super::super::document::{DocumentArgument, Format, Output, Place, paper};
use super::super::{named, print, progress};
use crate::acuity::Notation;
use crate::balance::CylinderForm;
use crate::balance::record::{Kept, Records};
use crate::export::pdf;
use crate::hand_over::{self, Writing, fhir, record_of};
use crate::print::{BalancePage, Paper};
use crate::scene::Scene;
use crate::store::Target;

/// How a file of FHIR ends.
const FHIR: &str = ".fhir.json";

/// What a row of a table is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum RowOf {
    /// Everything that happened.
    Events,
    /// An eye, with what it came to.
    Eyes,
}

/// `--out`, `--paper` and what belongs to them.
#[derive(Args)]
#[command(next_help_heading = "Pages, tables and what is handed over")]
pub(super) struct KeptArgument {
    #[command(flatten)]
    document: DocumentArgument,
    /// The sheet of paper
    #[arg(long, default_value = "a4", value_parser = paper())]
    paper: Paper,
    /// What a row of a .csv is: an event, or an eye with all that it came to
    #[arg(long, default_value = "events", requires = "out", value_parser = one_of(vec![("events", RowOf::Events), ("eyes", RowOf::Eyes)]))]
    rows: RowOf,
    /// With which sign cylinders are written in the line to paste and in a .fhir.json
    #[arg(long, default_value = "as-typed", value_parser = one_of(CylinderForm::ALL.map(|one| (one.name(), one)).to_vec()))]
    cylinders: CylinderForm,
    /// How acuities are written there and in rows of eyes: 20, 6, 4, decimal, logmar or mar; as they were typed where it is not given
    #[arg(long, value_parser = notation())]
    notation: Option<Notation>,
    /// Whom a .fhir.json is of, such as Patient/example-1; the practice fills it in where it is not given
    #[arg(long, value_name = "REFERENCE", requires = "out")]
    patient: Option<String>,
}

/// Where examinations go, and as what.
pub(super) enum KeptOutput {
    /// Pages, or a table.
    Document(Output),
    /// FHIR.
    Fhir(Target),
}

impl KeptOutput {
    pub(super) const fn target(&self) -> &Target {
        match self {
            Self::Document(output) => output.target(),
            Self::Fhir(target) => target,
        }
    }
}

impl KeptArgument {
    /// How what is handed over is written.
    pub(super) const fn writing(&self) -> Writing {
        Writing { notation: self.notation, cylinders: self.cylinders }
    }

    /// The place and what goes there, looked at before the work begins.
    pub(super) fn target(&self) -> Result<Option<KeptOutput>, Box<dyn Error>> {
        if let Some(target) = self.document.ending_in(FHIR)? {
            return Ok(Some(KeptOutput::Fhir(target)));
        }
        if let Some(target) = self.document.ending_in(".json")? {
            return Err(format!("{}: name it with the ending {FHIR}", target.named()).into());
        }
        if let Some(patient) = &self.patient {
            return Err(
                format!("--patient {patient:?} is for a file that ends in {FHIR}: leave it out").into()
            );
        }
        Ok(self.document.output()?.map(KeptOutput::Document))
    }

    /// Writes examinations there.
    pub(super) fn write(&self, output: &KeptOutput, kept: &[&Kept]) -> Result<(), Box<dyn Error>> {
        let target = output.target();
        target.write(&self.bytes(output, kept)?)?;
        print(&format!(
            "{}: {}",
            named(target.named()),
            if kept.len() == 1 { "one examination".into() } else { format!("{} examinations", kept.len()) }
        ));
        Ok(())
    }

    fn bytes(&self, output: &KeptOutput, kept: &[&Kept]) -> Result<Vec<u8>, Box<dyn Error>> {
        match output {
            KeptOutput::Document(Output::Table(_)) if self.rows == RowOf::Eyes => {
                Ok(hand_over::rows(kept, self.notation).into_bytes())
            }
            KeptOutput::Document(Output::Table(_)) => {
                let kept = kept.iter().map(|kept| (*kept).clone()).collect();
                Ok(Records { kept, problems: Vec::new() }.csv().into_bytes())
            }
            KeptOutput::Document(Output::Pages(place)) => self.pages(place, kept),
            KeptOutput::Fhir(target) => self.fhir(target, kept),
        }
    }

    fn fhir(&self, target: &Target, kept: &[&Kept]) -> Result<Vec<u8>, Box<dyn Error>> {
        let [kept] = kept else {
            let (named, count) = (target.named(), kept.len());
            return Err(format!(
                "{named}: holds one examination, and here are {count}: name one with --only ID"
            )
            .into());
        };
        let whose = fhir::Whose { patient: self.patient.clone(), writing: self.writing() };
        Ok(fhir::bundle(kept, &whose)?.into_bytes())
    }

    fn pages(&self, place: &Place, kept: &[&Kept]) -> Result<Vec<u8>, Box<dyn Error>> {
        let laid_out = progress("examinations", kept.len()).wrap_iter(kept.iter());
        let pages: Vec<Scene> = laid_out.flat_map(|kept| BalancePage::new(kept, self.paper).scenes).collect();
        match pages.as_slice() {
            [] => Err("no examination is there to make a page of: keep one first".into()),
            pages if place.format == Format::Pdf => Ok(pdf::encode_with(pages, &[record_of(kept)])?),
            pages => place.pages(pages, if kept.len() > 1 { "add --only ID, or " } else { "" }),
        }
    }
}
