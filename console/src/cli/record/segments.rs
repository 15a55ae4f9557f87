//! `record segments`: how far apart the segments of a pair are.

use super::typed::OfJob;
use super::{identity, short, unsigned};
use crate::cli::arguments;
use crate::cli::{Failure, Report};
use crate::view::Figure;
use crate::work::Work;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::units::Length;
use clap::Args;
use serde_json::json;

/// Log the distance between the middles of the segments, measured in the frame.
#[derive(Args)]
#[command(after_help = "Example: bevelbook record segments 3 59.5")]
pub(crate) struct SegmentsArgs {
    #[command(flatten)]
    of: OfJob,
    /// The distance in millimetres, of both eyes together.
    #[arg(value_name = "MM", value_parser = arguments::size)]
    distance: Length,
}

impl SegmentsArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let job = self.of.find(work)?;
        let (id, segments) = work.log_segments(job.id, self.distance)?;
        let number = job.order.number;
        let text = format!("{} job {number}: pair: {}", short(work, id)?, segments.words());
        let near = job.order.near_pd.map(PupillaryDistance::total);
        let report = Report::new(
            text,
            json!({
                "record": identity(id),
                "job": number,
                "segments_mm": Figure::from(segments.distance),
                "ordered_mm": near.map(Figure::from),
            }),
        );
        let report = unsigned(report, &job);
        Ok(match near {
            Some(near) => report.hint(format!("ordered {near} mm, as far as the near PD")),
            None => report.hint("no near PD is ordered: there is nothing to judge it by"),
        })
    }
}
