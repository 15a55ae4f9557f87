//! A job judged by a standard as far as it was read: one account for the inspection, for its sign-off and for its status.

use super::Job;
use crate::settings::Tolerances;
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::{
    Fitting, Judgement, Stage, Thinning, Verdict, judge_eye, judge_fitting, judge_pair,
};

impl Job {
    /// The judgement of the pair in its frame, both eyes and what is made beside the optics included.
    #[must_use]
    pub fn judged(&self, by: &Tolerances) -> Judgement {
        let (table, design) = (&by.table(), self.order.lens.design);
        let pair = judge_pair(table, design, &self.order.pair(by), &self.state.measured());
        pair.and(judge_fitting(table, design, &self.fitting()))
    }

    /// The judgement of the lens of one eye before it was blocked, if it was read then, and what was taken off its prism.
    #[must_use]
    pub fn judged_uncut(&self, eye: Eye, by: &Tolerances) -> Option<(Judgement, Thinning)> {
        self.state.lens(eye).uncut?;
        let read = self.order.pair(by).thinned(self.state.uncut())[eye.index()];
        let (design, expected) = (self.order.lens.design, self.order.expected(eye));
        Some((judge_eye(&by.table(), design, Stage::Uncut, eye, &expected, &read), read.thinning))
    }

    /// The verdict that follows: an order that lacks its heights is not within, since the standard compares with the order,
    /// nor is a pair of which a lens is to be ground on.
    #[must_use]
    pub fn verdict(&self, pair: &Judgement) -> Verdict {
        match pair.verdict() {
            Verdict::Within if self.order.lacks_heights() => Verdict::NotJudged,
            Verdict::Within if Eye::BOTH.into_iter().any(|eye| self.is_open_again(eye)) => Verdict::NotJudged,
            verdict => verdict,
        }
    }

    /// Whether the lens of `eye` was read in its frame and does not fit it any more: it was ground again, or is strained. What
    /// was read then says nothing of the lens that will fit.
    #[must_use]
    pub fn is_open_again(&self, eye: Eye) -> bool {
        let lens = self.state.lens(eye);
        let open = lens.sizing.passes > 0 && !lens.sizing.is_done();
        open && lens.mounted.is_some() && self.made(eye).is_ok()
    }

    /// Whether anything that was read of the present lenses is out: of a lens that is in its frame what it shows there, of
    /// another one what it showed before. Nothing is worked out where nothing was read.
    pub(super) fn is_out(&self, by: &Tolerances) -> bool {
        let is_out = |judgement: &Judgement| judgement.verdict() == Verdict::Out;
        let uncut = |eye: &Eye| self.state.lens(*eye).mounted.is_none();
        let measured = Eye::BOTH.iter().any(|eye| !uncut(eye) || self.made[eye.index()].is_some());
        let measured = measured || self.state.centres.is_some() || self.segments.is_some();
        let before = |eye| self.judged_uncut(eye, by).is_some_and(|(judgement, _)| is_out(&judgement));
        measured && is_out(&self.judged(by)) || Eye::BOTH.into_iter().filter(uncut).any(before)
    }

    fn fitting(&self) -> Fitting {
        let specified = self.order.centre_thickness;
        let thickness = |eye: Eye| Some([specified?[eye.index()], self.made[eye.index()]?.thickness?]);
        Fitting {
            // The segments are ordered to stand as far apart as the near centres.
            segment_distance: self
                .order
                .near_pd
                .zip(self.segments)
                .map(|(near, made)| [near.total(), made.distance]),
            segment_tilt: self.made.map(|making| making?.segment_tilt),
            absent: Eye::BOTH.map(|eye| !self.order.eye(eye).wanted.is_made()),
            thickness: Eye::BOTH.map(thickness),
        }
    }
}
