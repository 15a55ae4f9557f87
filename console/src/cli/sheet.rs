//! `bevelbook sheet`: a job as one printable page.
//!
//! A sheet is whole or not there, and its owner's only. A file that is not an earlier sheet is not overwritten without
//! `--force`.

use super::{Failure, Report, answer, shop::Shop};
use crate::file;
use crate::inspection::Inspection;
use crate::sheet::{MARK_WITHIN, Reader, is_sheet, render};
use crate::view::inspection::InspectionView;
use crate::work::{Job, Work};
use bevelbook_core::link::plain;
use clap::Args;
use std::io::{ErrorKind, Read};
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

    /// What the hand goes by alone, as on the one screen of `plan`: a card for the tray.
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
    let job = work.find(&args.job)?;
    let name = if args.with_name { work.customer_name(&job.order.customer)? } else { None };
    let reader = if args.card { Reader::Tray } else { args.reader };
    let html = rendered(reader, &work, &job, name.as_deref())?;
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
    Ok(report.hints(nameless.then(|| {
        format!("the book has no name for {}; the sheet shows the reference alone", job.order.customer)
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
    if path.is_dir() {
        return Err(Failure::Use(format!("{} is a folder; name a file in it", path.display())));
    }
    if !force && !may_be_overwritten(path).map_err(|error| fault(path, "be read", &error))? {
        return Err(Failure::Use(format!(
            "{} is there and is not an earlier sheet; nothing was written (choose another --out, or --force)",
            path.display()
        )));
    }
    file::replace(path, format!("{html}\n").as_bytes()).map_err(|error| fault(path, "be written", &error))
}

fn fault(path: &Path, what: &str, error: &std::io::Error) -> Failure {
    Failure::Fault(format!("{} cannot {what}: {error}", path.display()))
}

/// Whether nothing is lost: no file is there, or an earlier sheet.
fn may_be_overwritten(path: &Path) -> std::io::Result<bool> {
    let file = match file::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(true),
        Err(error) => return Err(error),
    };
    let mut beginning = Vec::with_capacity(MARK_WITHIN);
    file.take(MARK_WITHIN as u64).read_to_end(&mut beginning)?;
    Ok(is_sheet(&beginning))
}
