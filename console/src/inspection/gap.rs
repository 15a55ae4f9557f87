//! What a verdict waits for, and the command that supplies it.
//!
//! A command repeats what is known and leaves `…` where a person has to read, measure or ask: a later reading
//! stands in for the whole of an earlier one.

use super::{EyeInspection, Seen};
use crate::work::Job;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::Stage;
use bevelbook_core::tolerance::{Design, Judgement, Missing};
use std::fmt;

/// What is lacking.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// The standard asks for it on the mounted pair.
    Mounted(Missing),
    /// The standard asks for it on the uncut lens.
    Uncut(Missing),
    /// The order gives no heights to compare with.
    OrderedHeights,
}

impl fmt::Display for Lack {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mounted(missing @ (Missing::Power(_) | Missing::Add(_) | Missing::Axis(_))) => {
                write!(f, "{missing}, in the frame")
            }
            Self::Uncut(missing @ (Missing::Power(_) | Missing::Add(_) | Missing::Axis(_))) => {
                write!(f, "{missing}, uncut")
            }
            Self::Mounted(missing) | Self::Uncut(missing) => missing.fmt(f),
            Self::OrderedHeights => f.write_str("heights of the segments or fitting crosses in the order"),
        }
    }
}

/// One thing that is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// What.
    pub lack: Lack,
    /// What a person would type to supply it; `None` when no record can.
    pub command: Option<String>,
}

impl Gap {
    /// The eye it belongs to; `None` for the pair.
    #[must_use]
    pub const fn eye(&self) -> Option<Eye> {
        match self.lack {
            Lack::Mounted(missing) | Lack::Uncut(missing) => missing.eye(),
            Lack::OrderedHeights => None,
        }
    }

    /// Whether the pair's verdict waits for it.
    #[must_use]
    pub const fn holds_up_the_verdict(&self) -> bool {
        !matches!(self.lack, Lack::Uncut(_))
    }
}

pub(super) fn gaps(job: &Job, eyes: &[EyeInspection; 2], pair: &Judgement) -> Vec<Gap> {
    let mut gaps = Vec::new();
    for inspected in eyes {
        // An edged lens cannot be read uncut any more.
        if let (Some(uncut), None) = (&inspected.uncut, &inspected.mounted) {
            for missing in uncut.judgement.missing() {
                let command = match missing {
                    Missing::ReferencePlace(_) => None,
                    _ => Some(reading(job, inspected, Stage::Uncut, Some(uncut.seen))),
                };
                gaps.push(Gap { lack: Lack::Uncut(*missing), command });
            }
        }
        for missing in pair.missing().iter().filter(|missing| missing.eye() == Some(inspected.eye)) {
            let command = match missing {
                Missing::SegmentHeight(_) => centres(job),
                _ => reading(job, inspected, Stage::Mounted, inspected.mounted),
            };
            gaps.push(Gap { lack: Lack::Mounted(*missing), command: Some(command) });
        }
    }
    for missing in pair.missing().iter().filter(|missing| missing.eye().is_none()) {
        let binocular = matches!(job.order.far_pd, PupillaryDistance::Binocular(_));
        let command = match missing {
            Missing::MonocularPd if binocular => {
                format!("bevelbook job amend {} --pd …/… --why …", job.order.number)
            }
            _ => centres(job),
        };
        gaps.push(Gap { lack: Lack::Mounted(*missing), command: Some(command) });
    }
    if lacks_ordered_height(job) {
        let command = format!("bevelbook job amend {} --heights …/… --why …", job.order.number);
        gaps.push(Gap { lack: Lack::OrderedHeights, command: Some(command) });
    }
    gaps
}

/// Whether the lenses have heights and the order does not say them.
pub(super) fn lacks_ordered_height(job: &Job) -> bool {
    job.order.lens.design != Design::SingleVision && job.order.heights.is_none()
}

fn reading(job: &Job, inspected: &EyeInspection, stage: Stage, known: Option<Seen>) -> String {
    let stage = match stage {
        Stage::Uncut => "uncut",
        Stage::Mounted => "mounted",
    };
    let cylinder = !inspected.ordered.power.cylinder.is_zero();
    let power = match known {
        Some(seen) if !(cylinder && seen.power.cylinder.is_zero()) => format!("--direct \"{}\"", seen.power),
        _ if cylinder => "--first … --second … --axis …".to_owned(),
        _ => "--direct …".to_owned(),
    };
    let prism = match known.and_then(|seen| seen.prism) {
        Some(prism) if prism.is_none() => " --prism 0".to_owned(),
        Some(prism) => format!(" --prism \"{prism}\""),
        None => " --prism …".to_owned(),
    };
    let add = match (known.and_then(|seen| seen.add), inspected.ordered.add) {
        (Some(add), _) => format!(" --add {add}"),
        (None, Some(_)) => " --add …".to_owned(),
        (None, None) => String::new(),
    };
    let (number, eye) = (job.order.number, inspected.eye);
    format!("bevelbook record reading {number} {eye} --stage {stage} {power}{prism}{add}")
}

/// The PD of the pair with the heights it needs.
pub(super) fn centres(job: &Job) -> String {
    let heights = job.order.lens.design != Design::SingleVision;
    let measured = job.state.centres;
    let pd = match measured.map(|measured| measured.centres) {
        Some(pd @ PupillaryDistance::Monocular { .. }) => pd.to_string(),
        _ => "…/…".to_owned(),
    };
    let heights = match measured.and_then(|measured| measured.heights) {
        Some([right, left]) => format!(" --heights {right}/{left}"),
        None if heights => " --heights …/…".to_owned(),
        None => String::new(),
    };
    format!("bevelbook record pd {} {pd}{heights}", job.order.number)
}
