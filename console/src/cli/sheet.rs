//! `bevelbook sheet`: a job as one printable page.
//!
//! A file that is not an earlier sheet is not overwritten without `--force`.

use super::{Failure, Report, answer, own_file, shop::Shop};
use crate::inspection::Inspection;
use crate::sheet::{Reader, is_sheet, render};
use crate::view::inspection::InspectionView;
use crate::work::{Job, Work};
use bevelbook_core::link::plain;
use clap::Args;
use std::path::{Path, PathBuf};

/// A job as one printable page.
#[derive(Args)]
pub(crate) struct SheetArgs {
    /// The job: its number, its tray or the customer's reference.
    #[arg(value_name = "JOB")]
    job: String,

    /// For whom it is.
    #[arg(long = "for", value_name = "READER", default_value = "bench")]
    reader: Reader,

    /// A card for the tray: what `plan` shows on its one screen.
    #[arg(long, conflicts_with = "reader")]
    card: bool,

    /// Where to write it, `-` for the standard output; by default job-NUMBER.html in this folder, job-NUMBER-card.html or
    /// job-NUMBER-wearer.html.
    #[arg(long, value_name = "PATH")]
    out: Option<PathBuf>,

    /// Print the customer's name beside the reference.
    #[arg(long)]
    with_name: bool,

    /// Overwrite a file that is not an earlier sheet.
    #[arg(long)]
    force: bool,
}

pub(crate) fn run(shop: &Shop, args: &SheetArgs) -> Result<Report, Failure> {
    let work = shop.look()?;
    let reader = if args.card { Reader::Tray } else { args.reader };
    let (job, name, html) = work.at_one_moment(|| {
        let job = super::plan::job(&work, &args.job)?;
        let name = if args.with_name { work.customer_name(&job.order.customer)? } else { None };
        let html = rendered(reader, &work, &job, name.as_deref())?;
        Ok::<_, Failure>((job, name, html))
    })?;
    let number = job.order.number;
    let kind = match reader {
        Reader::Bench => "",
        Reader::Tray => "-card",
        Reader::Wearer => "-wearer",
    };
    let path = args.out.clone().unwrap_or_else(|| PathBuf::from(format!("job-{number}{kind}.html")));
    let report = if path.as_os_str() == "-" {
        answer!("{html}"; path = (), job = number, html = html)
    } else {
        write_sheet(&path, &html, args.force)?;
        let written = path.display().to_string();
        let shown: String = plain(&written).collect();
        answer!("{shown}"; path = written, job = number)
    };
    let nameless = args.with_name && name.is_none();
    Ok(report.hints(nameless.then(|| match work.nameless() {
        Some(role) => {
            format!("role {role} may not read names of people; the sheet shows the reference alone")
        }
        None => {
            format!("the book has no name for {}; the sheet shows the reference alone", job.order.customer)
        }
    })))
}

/// Writes the sheet of `job` to `path`, with the customer's reference alone. An earlier sheet is replaced.
pub(crate) fn write(work: &Work, job: &Job, path: &Path) -> Result<(), Failure> {
    write_sheet(path, &rendered(Reader::Bench, work, job, None)?, false)
}

fn rendered(reader: Reader, work: &Work, job: &Job, name: Option<&str>) -> Result<String, Failure> {
    let plan = super::plan::view(work, job)?;
    let inspection = InspectionView::of(&Inspection::of(job, &work.settings().tolerances()?));
    Ok(render(reader, job, &plan, &inspection, name, &jiff::ZonedDateTime::now()))
}

fn write_sheet(path: &Path, html: &str, force: bool) -> Result<(), Failure> {
    own_file::write(path, format!("{html}\n").as_bytes(), "sheet", is_sheet, force)
}
