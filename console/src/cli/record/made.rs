//! `record made`: how a lens is made, where that was measured.

use super::typed::OfLens;
use super::{logged, unsigned, with_next};
use crate::cli::arguments;
use crate::cli::{Failure, Report};
use crate::view::Figure;
use crate::work::Work;
use bevelbook_core::units::{Angle, Length};
use clap::{ArgGroup, Args};

/// Log the tilt of a segment, or the centre thickness of a lens.
#[derive(Args)]
#[command(
    group(ArgGroup::new("made").required(true).multiple(true).args(["tilt", "centre"])),
    after_help = "Example: bevelbook record made 3 r --tilt 1.5 --centre 2.1"
)]
pub(crate) struct MadeArgs {
    #[command(flatten)]
    of: OfLens,
    /// Turn of the segment from the horizontal of the frame, in degrees.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle)]
    tilt: Option<Angle>,
    /// Centre thickness in millimetres, at the reference point of the front surface.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    centre: Option<Length>,
}

impl MadeArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let (job, eye) = self.of.find(work)?;
        if self.tilt.is_some_and(|tilt| tilt > Angle::from_degrees(45)) {
            return Err(Failure::Use("a tilt is 0 to 45 degrees, for example 1.5".into()));
        }
        let (id, making) = work.log_making(job.id, eye, self.tilt, self.centre)?;
        let report = logged(work, id, &job, &making.words())?
            .with("eye", eye)
            .with("lens", making.lens)
            .with("tilt_deg", making.segment_tilt.map(Figure::from))
            .with("centre_mm", making.thickness.map(Figure::from));
        Ok(unsigned(with_next(report, &job), &job))
    }
}
