//! Ordered against read: what was read of each lens, every judged quantity, and the verdict with its reasons.
//!
//! - `right`, `left`: one lens; its `facts` are what is ordered and read in words, `said` its verdict with the reasons.
//! - `findings`: what was judged of the mounted pair, each eye before the pair; `rules`: the limits that are shown, by
//!   their numbers.
//! - `missing`, `not_covered`, `warnings`, `open`: as in [`crate::inspection`]. `kind` says what of a kind: a gap or what
//!   is not covered is of the `uncut` lens, `mounted`, or of the `order`; a warning and what is open have theirs.

mod eye;
mod finding;

pub use eye::{EyeView, UncutView};
pub use finding::FindingView;

use crate::desk::SignOff;
use crate::inspection::{Gap, Inspection, Lack, Open, OpenItem, Signed, Unjudged, Warning};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::{Design, Subject, Verdict};
use jiff::Timestamp;
use serde::Serialize;
use std::fmt::Display;

view! {
    /// An inspection as it is shown.
    pub InspectionView of (found: &Inspection) with {
        let (standard, [one, other]) = (&found.standard, found.lenses);
        let mut findings = finding::findings(&found.pair);
        let [mut right, mut left] = found.eyes.each_ref().map(|eye| EyeView::of(eye, &findings));
    } {
        job: u32 = found.number,
        standard: String = standard.to_string(),
        table_version: u16 = standard.table_version(),
        design: Design = found.design,
        /// On the pair.
        pub verdict: Verdict = found.verdict(),
        /// Job, lenses, standard.
        #[serde(skip)]
        pub heading: String = format!(
            "Job {}: {}, lens {one} right and {other} left, by {standard}", found.number, found.design
        ),
        /// The verdict with its reasons.
        #[serde(skip)]
        pub said: String = finding::said(found.verdict(), &findings, None),
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
        pub missing: Vec<Item> = found.missing.iter().map(missing).collect(),
        /// What no verdict is given on.
        pub not_covered: Vec<Item> = found.not_covered.iter().map(not_covered).collect(),
        /// Likely mistakes.
        pub warnings: Vec<Item> = found.warnings.iter().map(warning).collect(),
        /// What is open beside the optics.
        pub open: Vec<Item> = found.open.iter().map(open).collect(),
        /// The sign-off that stands.
        pub signed: Option<SignedView> = found.signed.as_ref().map(SignedView::of),
    }
}

/// One thing on a list beside the verdict.
#[derive(Debug, Serialize)]
pub struct Item {
    /// `right`, `left` or `pair`.
    pub subject: String,
    /// Of what kind it is.
    pub kind: &'static str,
    uncut: bool,
    /// It, in words.
    pub what: String,
    /// It with whose it is, in words.
    pub text: String,
    /// What would be typed to supply it, or when it has been seen to.
    pub command: Option<String>,
}

view! {
    /// A sign-off.
    pub SignedView of (signed: &Signed) with {
        let sign_off = signed.sign_off.clone();
    } {
        /// What was signed.
        #[serde(skip)]
        pub said: String = signed_words(&sign_off),
        /// Initials.
        pub by: String = sign_off.by,
        /// When it was written, where that is known.
        pub at: Option<Timestamp> = signed.at,
        standard: String = sign_off.standard.to_string(),
        table_version: u16 = sign_off.table_version,
        verdict: Verdict = sign_off.verdict,
        despite: Option<String> = sign_off.despite,
    }
}

impl InspectionView {
    /// Right and left.
    #[must_use]
    pub const fn eyes(&self) -> [&EyeView; 2] {
        [&self.right, &self.left]
    }
}

/// Numbers the rules of what is shown.
fn rules(findings: &mut [FindingView], eyes: [&mut EyeView; 2]) -> Vec<(String, String)> {
    let mut rules = Vec::new();
    let uncut = eyes.into_iter().filter_map(|eye| eye.uncut.as_mut()).filter(|uncut| uncut.matters);
    let shown = findings.iter_mut().chain(uncut.flat_map(|uncut| &mut uncut.findings));
    shown.for_each(|finding| finding.cite(&mut rules));
    rules
}

fn signed_words(
    SignOff { standard, table_version, verdict, lenses: [right, left], despite, .. }: &SignOff,
) -> String {
    let despite = despite.as_ref().map_or_else(String::new, |why| format!(", despite that: {why}"));
    let verdict = finding::loud(*verdict);
    format!("{verdict} by {standard}, table version {table_version}, lenses R {right} and L {left}{despite}")
}

/// Whose a thing is: an eye's or the pair's.
fn whose(eye: Option<Eye>) -> Subject {
    eye.map_or(Subject::Pair, Subject::Eye)
}

fn item(subject: Subject, kind: &'static str, what: impl Display, text: impl Display) -> Item {
    let [what, text] = [what.to_string(), text.to_string()];
    Item { subject: subject.to_string(), kind, uncut: kind == "uncut", what, text, command: None }
}

fn missing(gap: &Gap) -> Item {
    let kind = match gap.lack {
        Lack::Mounted(_) => "mounted",
        Lack::Uncut(_) => "uncut",
        Lack::OrderedHeights => "order",
    };
    Item { command: gap.command.clone(), ..item(whose(gap.eye()), kind, gap.lack, gap.lack) }
}

fn not_covered(unjudged: &Unjudged) -> Item {
    let kind = if unjudged.uncut { "uncut" } else { "mounted" };
    item(unjudged.left.subject, kind, unjudged.left.what, unjudged)
}

fn warning(warning: &Warning) -> Item {
    let kind = match warning {
        Warning::Slip { .. } => "slip",
        Warning::Swapped => "swapped",
        Warning::Turned { .. } => "turned",
        Warning::Differ { .. } => "differ",
        Warning::NotFitted { .. } => "not-fitted",
    };
    item(whose(warning.eye()), kind, warning, warning)
}

fn open(open: &Open) -> Item {
    let kind = match open.item {
        OpenItem::NotMade(_) => "not-made",
        OpenItem::Bad(_) => "bad",
        OpenItem::Impact => "impact",
        OpenItem::Centres => "centres",
    };
    Item { command: Some(open.command.clone()), ..item(open.subject, kind, open.item, open) }
}
