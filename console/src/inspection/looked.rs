//! Whether somebody looked: readings that were accepted as they stood there, or faster than a reading takes.
//!
//! A keypad shows what is to be read, and a lens that reads so is accepted with a press for each figure. Pressed by a finger
//! that looks at nothing, it measures a perfect pair in seconds. Neither is judged: whoever inspects is told, and asks.

use super::eye::EyeInspection;
use super::remark::{Kind, Remark};
use crate::work::{HowEntered, LEAST_READING_MS};
use bevelbook_core::prescription::Wanted;
use bevelbook_core::tolerance::Subject;

pub(super) fn looked(eyes: &[EyeInspection; 2]) -> Vec<Remark> {
    let judged = || eyes.iter().filter(|eye| eye.ordered.wanted == Wanted::Lens);
    let accepted = |eye: &EyeInspection| eye.entered.as_ref().is_some_and(HowEntered::is_preset);
    let all = judged().next().is_some() && judged().all(accepted);
    let of_pair = all.then(|| {
        let words = "looked at? Each figure that was read in the frame was accepted as it was preset";
        Remark::of(Subject::Pair, Kind::Preset, words)
    });
    of_pair.into_iter().chain(judged().flat_map(quick)).collect()
}

/// Readings of one lens that were over sooner than a reading takes.
fn quick(eye: &EyeInspection) -> impl Iterator<Item = Remark> {
    let uncut = eye.uncut.as_ref().and_then(|uncut| uncut.entered.as_ref());
    let read = [(uncut, "uncut"), (eye.entered.as_ref(), "in the frame")];
    let quick = read.into_iter().filter(|(how, _)| how.is_some_and(HowEntered::is_quick));
    quick.map(|(_, stage)| {
        let least_s = LEAST_READING_MS / 1000;
        let words = format!(
            ": looked at? Read {stage} in less than {least_s} s, which is less than a reading takes (common practice, no \
             source)"
        );
        Remark::of_lens(eye.eye, Kind::Quick, &words)
    })
}
