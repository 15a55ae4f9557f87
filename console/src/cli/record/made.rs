//! `record made` and `record segments`: how a lens and a pair are made, where that was measured.

use super::typed::{OfJob, OfLens};
use super::{logged, unsigned, with_next};
use crate::cli::arguments;
use crate::cli::{Failure, Report};
use crate::desk::Making;
use crate::view::Figure;
use crate::work::{Job, Work};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::lens::BaseCurve;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Angle, Length, Power};
use clap::{ArgGroup, Args};

/// Log the tilt of a segment, the centre thickness or the base curve of a lens.
#[derive(Args)]
#[command(
    group(ArgGroup::new("made").required(true).multiple(true).args(["tilt", "centre", "base_curve"])),
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
    /// Base curve as a lens clock for 1.530 shows it.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    base_curve: Option<Power>,
}

impl MadeArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let (job, eye) = self.of.find(work)?;
        if self.tilt.is_some_and(|tilt| tilt > Angle::from_degrees(45)) {
            return Err(Failure::Use("a tilt is 0 to 45 degrees, for example 1.5".into()));
        }
        let Self { tilt: segment_tilt, centre: thickness, base_curve: front_curve, .. } = *self;
        let measured = |lens| Making { eye, lens, segment_tilt, thickness, front_curve };
        let (id, making) = work.log_making(job.id, eye, measured)?;
        let report = logged(work, id, &job, &making.words())?
            .with("eye", eye)
            .with("lens", making.lens)
            .with("tilt_deg", making.segment_tilt.map(Figure::from))
            .with("centre_mm", making.thickness.map(Figure::from))
            .with("base_curve_d", making.front_curve.map(Figure::from))
            .hints(front_curve.into_iter().flat_map(|curve| of_curve(work, &job, eye, curve)));
        Ok(unsigned(with_next(work, report, &job)?, &job))
    }
}

/// What a measured base curve is beside the ordered one and that of the other lens.
fn of_curve(work: &Work, job: &Job, eye: Eye, found: Power) -> Vec<String> {
    let order = &job.order;
    let index = work.settings().material(&order.lens.material).map(|material| material.index);
    let ordered = index.ok().and_then(|index| order.base_curve(eye, index)?.ok());
    let beside = ordered.map(|ordered| {
        let by = found - ordered.nominal;
        format!("ordered {} D in 1.530: {by} D from it; no verdict is given on it", ordered.nominal)
    });
    let other = job.made[eye.other().index()].and_then(|made| made.front_curve);
    let apart = other.filter(|other| (*other - found).abs() > BaseCurve::MATCHED).map(|other| {
        format!("the {} lens has {other} D: a pair is usually made on curves that match", eye.other())
    });
    beside.into_iter().chain(apart).collect()
}

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
        Ok(unsigned(with_next(work, report, &job)?, &job).hint(match near {
            Some(near) => format!("ordered {near} mm, as far as the near PD"),
            None => "no near PD is ordered: there is nothing to judge it by".into(),
        }))
    }
}
