//! `record segments`: how far apart the segments of a pair are.

use super::typed::OfJob;
use super::{logged, unsigned, with_next};
use crate::cli::arguments;
use crate::cli::{Failure, Report};
use crate::view::Figure;
use crate::work::Work;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::units::Length;
use clap::Args;

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
        let near = job.order.near_pd.map(PupillaryDistance::total);
        let report = logged(work, id, &job, &format!("pair: {}", segments.words()))?
            .with("segments_mm", Figure::from(segments.distance))
            .with("ordered_mm", near.map(Figure::from));
        Ok(unsigned(with_next(report, &job), &job).hint(match near {
            Some(near) => format!("ordered {near} mm, as far as the near PD"),
            None => "no near PD is ordered: there is nothing to judge it by".into(),
        }))
    }
}
