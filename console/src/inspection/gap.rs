//! What a verdict waits for, and the command that supplies it.
//!
//! A command repeats what is known and leaves `…` where a person has to read, measure or ask: a later reading
//! stands in for the whole of an earlier one.

use super::eye::{EyeInspection, Seen};
use super::remark::{Kind, Remark};
use crate::work::{Job, heights_words};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::record::Stage;
use bevelbook_core::tolerance::{Design, Judgement, Missing, Subject};

pub(super) fn gaps(job: &Job, eyes: &[EyeInspection; 2], pair: &Judgement) -> Vec<Remark> {
    let mut gaps = Vec::new();
    for inspected in eyes {
        // An edged lens cannot be read uncut any more.
        if let (Some(uncut), None) = (&inspected.uncut, &inspected.mounted) {
            gaps.extend(uncut.judgement.missing().iter().map(|missing| {
                let read = reading(job, inspected, Stage::Uncut, Some(uncut.seen));
                gap(*missing, Kind::Uncut, (!matches!(missing, Missing::ReferencePlace(_))).then_some(read))
            }));
        }
        for missing in pair.missing().iter().filter(|missing| missing.eye() == Some(inspected.eye)) {
            let command = match missing {
                Missing::SegmentHeight(_) => centres(job),
                _ => reading(job, inspected, Stage::Mounted, inspected.mounted),
            };
            gaps.push(gap(*missing, Kind::Mounted, Some(command)));
        }
        gaps.extend(open_size(job, inspected.eye));
    }
    let number = job.order.number;
    let binocular = matches!(job.order.far_pd, PupillaryDistance::Binocular(_));
    for missing in pair.missing().iter().filter(|missing| missing.eye().is_none()) {
        let command = match missing {
            Missing::MonocularPd if binocular => format!("bevelbook job amend {number} --pd …/… --why …"),
            _ => centres(job),
        };
        gaps.push(gap(*missing, Kind::Mounted, Some(command)));
    }
    if job.order.lacks_heights() {
        let words = "heights of the segments or fitting crosses in the order";
        let command = Some(format!("bevelbook job amend {number} --heights …/… --why …"));
        gaps.push(Remark { command, ..Remark::of(Subject::Pair, Kind::Order, words) });
    }
    gaps
}

fn open_size(job: &Job, eye: Eye) -> Option<Remark> {
    let last = job.state.lens(eye).sizing.last.filter(|_| job.is_open_again(eye))?;
    let words = format!(": read in the frame, but its last pass says {last}, not fits");
    let command = Some(format!("bevelbook record pass {} {eye} … fits", job.order.number));
    Some(Remark { command, ..Remark::of_lens(eye, Kind::NotFitted, &words) })
}

fn gap(missing: Missing, kind: Kind, command: Option<String>) -> Remark {
    let stage = match (missing, kind) {
        (Missing::Power(_) | Missing::Add(_) | Missing::Axis(_), Kind::Uncut) => ", uncut",
        (Missing::Power(_) | Missing::Add(_) | Missing::Axis(_), _) => ", in the frame",
        _ => "",
    };
    let subject = missing.eye().map_or(Subject::Pair, Subject::Eye);
    Remark { command, ..Remark::of(subject, kind, format!("{missing}{stage}")) }
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

/// The PD of the pair with the heights it needs; of one eye alone where nothing is known of a lens in the other.
pub(super) fn centres(job: &Job) -> String {
    let heights = job.order.lens.design != Design::SingleVision;
    let nobody_knows = |eye: &Eye| job.order.eye(*eye).wanted == Wanted::Nothing { known: false };
    let asked = match Eye::BOTH.iter().find(|eye| nobody_knows(eye)) {
        Some(Eye::Left) => "…/-",
        Some(Eye::Right) => "-/…",
        None => "…/…",
    };
    let measured = job.state.centres;
    let told =
        |pd: &PupillaryDistance| Eye::BOTH.iter().all(|eye| nobody_knows(eye) || pd.half(*eye).is_some());
    let pd = measured.map(|measured| measured.centres).filter(told);
    let pd = pd.map_or_else(|| asked.to_owned(), |pd| pd.to_string());
    let heights = match measured.as_ref().and_then(heights_words) {
        Some(known) => format!(" --heights {known}"),
        None if heights => format!(" --heights {asked}"),
        None => String::new(),
    };
    format!("bevelbook record pd {} {pd}{heights}", job.order.number)
}
