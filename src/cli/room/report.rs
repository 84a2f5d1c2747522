//! `evenfield room report`
//!
//! The same facts as a text, as JSON, or as a page: [`RoomReport`] worked them out.

use std::error::Error;

use clap::Args;

use super::super::arguments::{self, RoomArgument};
use super::super::document::{self, DocumentArgument};
use super::super::{columns, named, say};
use super::{Outcome, print};
use crate::chart::LETTERS_A_LINE;
use crate::print::{CAUTION, Paper, RoomPage};
use crate::report::{FieldsShown, LineShown, RoomReport};

/// What this room can show, and what its red-green test is worth.
#[derive(Args)]
#[command(after_help = "Example: evenfield room report --room room.toml")]
pub(super) struct Arguments {
    #[command(flatten)]
    room: RoomArgument,
    /// Print the report as JSON
    #[arg(long, conflicts_with = "out")]
    json: bool,
    #[command(flatten)]
    document: DocumentArgument,
    /// The sheet of paper
    #[arg(long, default_value = "a4", requires = "out", value_parser = document::paper())]
    paper: Paper,
    /// The day that the page names; today where it is not given
    #[arg(long, value_name = "DATE", value_parser = arguments::date, requires = "out")]
    date: Option<time::Date>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let (room, name) = arguments.room.load()?;
    let place = arguments.document.place()?;
    let spectra = room.primaries.spectra()?;
    let date = arguments.date.unwrap_or_else(arguments::today).to_string();
    let report = RoomReport::new(&room, &spectra).on(&room, &date);
    if let Some(place) = place {
        // The demo room says that it is invented; a file's room goes by its own name.
        let own = report.name.as_deref().filter(|_| arguments.room.path().is_some());
        let heading = own.unwrap_or(&name);
        let page = RoomPage::new(&room, &spectra, arguments.paper, heading, Some(&date));
        place.target.write(&place.pages(&page.scenes, "")?)?;
        say(&format!("{}: room report\nroom: {name}\n{}", named(place.target.named()), verdict(&report)));
    } else if arguments.json {
        print(&serde_json::to_string_pretty(&report)?);
    } else {
        let parts =
            [heading(&report, &name), lines(&report), light(&report), focus(&report), warned(&report)];
        say(&format!("{}\n\n{CAUTION}", parts.join("\n\n")));
    }
    Ok(Outcome::Fine)
}

/// The verdict, and below it what makes the match doubtful.
fn verdict(report: &RoomReport) -> String {
    match report.fields.as_ref().and_then(FieldsShown::match_in_doubt) {
        Some(doubt) => format!("{}\n{}", report.verdict, doubt.what),
        None => report.verdict.to_string(),
    }
}

fn heading(report: &RoomReport, name: &str) -> String {
    let ([columns, rows], [width, height]) = (report.pixels, report.size_mm);
    format!(
        "{}\n\nroom: {name}\n{:.2} m{}, {columns} × {rows} px on {width:.1} × {height:.1} mm ({}), {:.2} px to the minute of arc",
        verdict(report),
        report.distance_m,
        if report.mirror { " through a mirror" } else { "" },
        report.size_rests_on(),
        report.pixels_per_arcmin
    )
}

fn lines(report: &RoomReport) -> String {
    let row = |line: &LineShown| {
        let [height, stroke] = [line.height_mm, line.stroke_px].map(|size| format!("{size:.2}"));
        let shown = line.short_in_words().map_or_else(
            || line.shown.to_string(),
            |short| format!("{}; {short} a field, not {LETTERS_A_LINE}", line.shown),
        );
        vec![line.line.to_string(), height, stroke, shown]
    };
    columns::table(&["line", "height (mm)", "stroke (px)", "can be shown"], report.lines.iter().map(row))
}

fn light(report: &RoomReport) -> String {
    let Some(fields) = &report.fields else { return "fields: none".into() };
    let ([red, green], [one, other], [off, off_other]) =
        (fields.codes, fields.cd_m2, fields.uncertainty_cd_m2);
    let seen = if fields.match_established {
        format!("{:+.2} ± {:.1} % at the eye", fields.match_at_eye_percent, fields.match_uncertainty_percent)
    } else {
        "not established at the eye".into()
    };
    format!(
        "red    code {red:3}  {one:6.1} ± {off:.1} cd/m²\n\
         green  code {green:3}  {other:6.1} ± {off_other:.1} cd/m²\n\
         {}\n\
         red against green: {:+.2} % as coded, {seen}\n\
         letters have {:.1} % of their field’s light; black {}, room light {}\n\
         where a photometer finds them equal, an average eye of CIE 2008 sees red {:.2} times as bright as green, a protanope {:.2} times",
        fields.match_rests_on,
        fields.match_as_coded_percent,
        fields.contrast_percent,
        fields.contrast_bases[0],
        fields.contrast_bases[1],
        fields.cie_2008_red_over_green,
        fields.protanope_red_over_green
    )
    .replace(" -", " −")
}

fn focus(report: &RoomReport) -> String {
    let [red, green] = report.mean_wavelengths_nm;
    let mut said =
        vec![format!("mean wavelengths: red {red:.0} nm, green {green:.0} nm; {}", report.spectra)];
    said.extend(report.intervals.iter().map(|one| {
        format!(
            "{:.2} D between green and red, equal blur with {:.0} nm in focus, by {} (textbook filters: {:.2} D)",
            one.interval_d, one.middle_nm, one.by, one.textbook_d
        )
    }));
    said.push(format!("vergence of the distance: {:.2} D", report.vergence_d));
    said.join("\n")
}

fn warned(report: &RoomReport) -> String {
    let one = |(number, warning): (usize, &crate::report::Warning)| {
        format!("{}. {}\n   {}", number + 1, warning.what, warning.remedy)
    };
    if report.warnings.is_empty() {
        return "Nothing to mend.".into();
    }
    let all: Vec<String> = report.warnings.iter().enumerate().map(one).collect();
    format!("To mend or to keep in mind, the most important first:\n{}", all.join("\n"))
}
