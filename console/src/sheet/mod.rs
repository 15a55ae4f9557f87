//! A job as one printable page, two when its work was long; a card of it for the tray; a page of plain words for the wearer.
//!
//! [`render`] is a pure function from a job, its plan and its inspection to one self-contained HTML file for A4
//! or Letter upright: no script, nothing fetched, no font of its own. All text is escaped. The page is also
//! well-formed XML, which is how its tests read it.
//!
//! The right eye is on the left throughout, as one faces the wearer, and the drawings are to scale, one to one.
//! The customer's name is printed only when it is given to [`render`].

mod bar;
mod bar_code;
mod card;
mod document;
mod drawing;
mod edge;
mod gauge;
mod log;
mod page;
mod pen;
mod plan_table;
#[cfg(test)]
mod tests;
mod verdict;
mod wearer;
mod words;

use crate::view::inspection::InspectionView;
use crate::view::plan::PlanView;
use crate::work::Job;
use jiff::ZonedDateTime;

/// How far into a file [`is_sheet`] looks for its mark.
pub const MARK_WITHIN: usize = 512;

/// For whom a sheet is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Reader {
    /// Who works on the pair and judges it
    #[default]
    Bench,
    /// The tray: what the hand goes by, as on the one screen of `plan`
    #[value(skip)]
    Tray,
    /// Who wears it: what was made and how it was checked in plain words, care, cautions
    Wearer,
}

/// Writes the sheet for a reader. Times are shown in the time zone of `now`.
#[must_use]
pub fn render(
    reader: Reader,
    job: &Job,
    plan: &PlanView,
    inspection: &InspectionView,
    name: Option<&str>,
    now: &ZonedDateTime,
) -> String {
    let content = document::Content { job, plan, inspection, name, now };
    let page = match reader {
        Reader::Bench => page::page(&content),
        Reader::Tray => card::page(&content),
        Reader::Wearer => wearer::page(&content),
    };
    page.into_string()
}

/// Whether a file that begins with `bytes` is a sheet.
#[must_use]
pub fn is_sheet(bytes: &[u8]) -> bool {
    let looked_at = &bytes[..bytes.len().min(MARK_WITHIN)];
    looked_at.windows(document::MARKER.len()).any(|window| window == document::MARKER.as_bytes())
}
