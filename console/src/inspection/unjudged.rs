//! What no verdict is given on.

use super::eye::EyeInspection;
use super::remark::{Kind, Remark};
use bevelbook_core::tolerance::Judgement;

/// Of the uncut lenses that are judged, and of the pair.
pub(super) fn unjudged(eyes: &[EyeInspection; 2], pair: &Judgement) -> Vec<Remark> {
    let uncut = eyes.iter().filter_map(|eye| Some((&eye.uncut.as_ref()?.judgement, Kind::Uncut, "uncut, ")));
    let left = uncut.chain([(pair, Kind::Mounted, "")]).flat_map(|(judgement, kind, stage)| {
        judgement.not_covered().iter().map(move |left| {
            let remark = Remark::of(left.subject, kind, format!("{stage}{left}"));
            Remark { what: left.what.to_string(), ..remark }
        })
    });
    left.collect()
}
