//! Ordered against read: what was read of each lens, every judged quantity, and the verdict with its reasons.
//!
//! - `right`, `left`: one lens; its `facts` are what is ordered and read in words, `said` its verdict with the reasons.
//! - `findings`: what was judged of the mounted pair, each eye before the pair; `rules`: the limits that are shown, by
//!   their numbers.
//! - `missing`, `not_covered`, `warnings`, `open`: what stands beside it, as in [`crate::inspection`].

mod beside;
mod eye;
mod finding;
mod lists;
mod thinning;
mod verdict;

pub use beside::BesideView;
pub use eye::{EyeView, UncutView};
pub use finding::FindingView;
pub use thinning::ThinningView;

use crate::desk::SignOff;
use crate::inspection::{Inspection, Remark, Signed};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::{Design, Verdict};
use jiff::Timestamp;

view! {
    /// An inspection as it is shown.
    pub InspectionView of (found: &Inspection) with {
        let standard = &found.standard;
        let made = Eye::BOTH.map(|eye| (eye, found.eye(eye).ordered.wanted.is_made()));
        let mut findings = finding::findings(&found.pair);
        let unjudged = beside::beside(&found.pair, found.thinning);
        let [mut right, mut left] =
            found.eyes.each_ref().map(|eye| EyeView::of(eye, &findings, &unjudged));
        let not_covered = not_covered(found, &unjudged, [&right, &left]);
    } {
        job: u32 = found.number,
        /// What the job waits for, or how it ended, in words.
        pub status: String = found.status.to_string(),
        /// By which standard.
        pub standard: String = standard.to_string(),
        table_version: u16 = standard.table().version,
        design: Design = found.design,
        /// On the pair.
        pub verdict: Verdict = found.verdict(),
        /// Job, lenses, standard.
        #[serde(skip)]
        pub heading: String = format!(
            "Job {}: {}, {}, by {standard}", found.number, found.design, lenses(found.lenses, made)
        ),
        /// The verdict with its reasons.
        #[serde(skip)]
        pub said: String = match (found.verdict(), found.missing.is_empty()) {
            (Verdict::NotJudged, true) => "nothing to judge: no lens is made to a power".into(),
            (verdict, _) => verdict::said(verdict, &findings, &unjudged, Err(&standard.to_string())),
        },
        /// Rules and sources by their numbers, from 1.
        #[serde(skip)]
        pub rules: Vec<(String, String)> = rules(&mut findings, [&mut right, &mut left]),
        /// What the figures rest on.
        #[serde(skip)]
        pub foundation: String = standard.foundation(),
        right: EyeView = right,
        left: EyeView = left,
        /// Of the mounted pair.
        pub findings: Vec<FindingView> = findings,
        /// What the verdict waits for.
        pub missing: Vec<Remark> = found.missing.clone(),
        /// What no verdict is given on.
        pub not_covered: Vec<Remark> = not_covered,
        /// What of that was not measured, or has no limit at all.
        #[serde(skip)]
        pub unlimited: Vec<Remark> = found.not_covered.clone(),
        /// What was measured and has no limit; it stands in words under what no verdict is given on.
        pub unjudged: Vec<BesideView> = unjudged,
        /// What was taken off the prism of both lenses in the frame.
        pub thinning: Option<ThinningView> = found.thinning.and_then(ThinningView::told),
        /// Likely mistakes.
        pub warnings: Vec<Remark> = found.warnings.clone(),
        /// Readings that somebody may not have looked at.
        pub looked_at: Vec<Remark> = found.looked_at.clone(),
        /// What is open beside the optics.
        pub open: Vec<Remark> = found.open.clone(),
        /// The sign-off that stands.
        pub signed: Option<SignedView> = found.signed.as_ref().map(|signed| SignedView::of(signed, made)),
    }
}

view! {
    /// A sign-off.
    pub SignedView of (signed: &Signed, made: [(Eye, bool); 2]) with {
        let sign_off = signed.sign_off.clone();
    } {
        /// What was signed.
        #[serde(skip)]
        pub said: String = signed_words(&sign_off, made),
        /// Initials.
        pub by: String = sign_off.by,
        /// When it was written, where that is known.
        pub at: Option<Timestamp> = signed.at,
        standard: String = sign_off.standard.to_string(),
        table_version: u16 = sign_off.table_version,
        verdict: Verdict = sign_off.verdict,
        /// Why it was signed as it is.
        pub despite: Option<String> = sign_off.despite,
    }
}

impl InspectionView {
    /// Right and left.
    #[must_use]
    pub const fn eyes(&self) -> [&EyeView; 2] {
        [&self.right, &self.left]
    }
}

/// What no verdict is given on: first what was measured.
fn not_covered(found: &Inspection, beside: &[BesideView], eyes: [&EyeView; 2]) -> Vec<Remark> {
    let mounted = beside.iter().map(|beside| beside.remark(false));
    let uncut = eyes.into_iter().filter_map(|eye| eye.uncut.as_ref()).flat_map(|uncut| &uncut.unjudged);
    let measured = mounted.chain(uncut.map(|beside| beside.remark(true)));
    measured.chain(found.not_covered.iter().cloned()).collect()
}

/// Numbers the rules of what is shown.
fn rules(findings: &mut [FindingView], eyes: [&mut EyeView; 2]) -> Vec<(String, String)> {
    let mut rules = Vec::new();
    let uncut = eyes.into_iter().filter_map(|eye| eye.uncut.as_mut()).filter(|uncut| uncut.matters);
    let shown = findings.iter_mut().chain(uncut.flat_map(|uncut| &mut uncut.findings));
    shown.for_each(|finding| finding.cite(&mut rules));
    rules
}

/// The lenses that are made, by their numbers.
fn lenses(numbers: [u8; 2], made: [(Eye, bool); 2]) -> String {
    let made = made.into_iter().filter(|(_, made)| *made).map(|(eye, _)| eye);
    let named: Vec<String> = made.map(|eye| format!("{eye} lens {}", numbers[eye.index()])).collect();
    if named.is_empty() { "no lens".into() } else { named.join(" and ") }
}

fn signed_words(sign_off: &SignOff, made: [(Eye, bool); 2]) -> String {
    let SignOff { standard, table_version, verdict, despite, .. } = sign_off;
    let lenses = lenses(sign_off.lenses, made);
    let despite = despite.as_ref().map_or_else(String::new, |why| format!(", released although: {why}"));
    let verdict = verdict::loud(*verdict);
    format!("{verdict} by {standard}, table version {table_version}, {lenses}{despite}")
}
