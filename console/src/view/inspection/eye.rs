//! One lens of an inspection: what is ordered, what was read, and the verdict on it.

use super::beside::{BesideView, beside};
use super::finding::{FindingView, findings};
use super::thinning::ThinningView;
use super::verdict::said;
use crate::inspection::{Difference, EyeInspection, Repeated, Seen, Uncut};
use crate::view::{EnteredView, Figure, Lens, Prescription, ordered_words, wanted_key};
use bevelbook_core::prescription::Wanted;
use bevelbook_core::tolerance::Verdict;
use bevelbook_core::units::Power;

view! {
    /// One lens, and what was judged of the mounted pair.
    pub EyeView of (eye: &EyeInspection, pair: &[FindingView], unjudged: &[BesideView]) {
        verdict: Verdict = eye.verdict,
        ordered: Prescription = Prescription::ordered(&eye.ordered),
        /// `lens`, `balance` or `none`.
        wanted: &'static str = wanted_key(eye.ordered.wanted),
        verify: Option<Prescription> = eye.verify.as_ref().map(Prescription::ordered),
        read: Option<Prescription> = eye.mounted.map(seen),
        /// How the reading in the frame was entered.
        pub entered: Option<EnteredView> = eye.entered.as_ref().map(EnteredView::of),
        off_by: Option<OffBy> = eye.difference.map(OffBy::of),
        readings: Option<Readings> = eye.repeated.map(Readings::of),
        /// The lens before it was blocked.
        pub uncut: Option<UncutView> =
            eye.uncut.as_ref().map(|uncut| UncutView::of(eye, uncut)),
        /// `right` or `left`.
        #[serde(skip)]
        pub name: String = eye.eye.to_string(),
        /// The verdict with its reasons.
        #[serde(skip)]
        pub said: String = said_of(eye, pair, unjudged),
        /// What is ordered, in words.
        #[serde(skip)]
        asked: String = ordered_words(&eye.ordered),
    }
}

view! {
    /// By what lens a reading is off, and how that blurs.
    OffBy of (off: Difference) {
        #[serde(flatten)]
        lens: Lens = off.lens.into(),
        blur_d: Figure = strength(off.blur),
    }
}

view! {
    /// What more than one reading comes to.
    Readings of (repeated: Repeated) {
        #[serde(flatten)]
        mean: Lens = repeated.mean.into(),
        spread_d: Figure = strength(repeated.spread),
        count: usize = repeated.count,
    }
}

view! {
    /// A lens read before it was blocked.
    pub UncutView of (eye: &EyeInspection, uncut: &Uncut) with {
        let verdict = uncut.judgement.verdict();
        let findings = findings(&uncut.judgement);
        let unjudged = beside(&uncut.judgement, Some(uncut.thinning));
        let thinning = ThinningView::told(uncut.thinning).filter(|_| uncut.seen.prism.is_some());
        let read = seen(uncut.seen);
    } {
        /// How it was entered.
        pub entered: Option<EnteredView> = uncut.entered.as_ref().map(EnteredView::of),
        /// What was read, and the verdict with its reasons.
        #[serde(skip)]
        pub said: String = uncut_said(eye, read, said(verdict, &findings, &unjudged, Ok(eye.eye)), thinning.as_ref()),
        /// Whether its findings matter: until it is mounted, and where it is out.
        #[serde(skip)]
        pub matters: bool = eye.mounted.is_none() || verdict == Verdict::Out,
        verdict: Verdict = verdict,
        read: Prescription = read,
        /// What was judged of it.
        pub findings: Vec<FindingView> = findings,
        /// What was read of it and is not judged.
        pub unjudged: Vec<BesideView> = unjudged,
        thinning: Option<ThinningView> = thinning,
    }
}

/// The verdict with its reasons, or that there is none to give.
fn said_of(eye: &EyeInspection, pair: &[FindingView], unjudged: &[BesideView]) -> String {
    let said = || said(eye.verdict, pair, unjudged, Ok(eye.eye));
    match (eye.ordered.wanted, eye.verdict) {
        (Wanted::Lens, _) => said(),
        (Wanted::Nothing { .. }, _) => "no lens is made for this eye".to_owned(),
        (Wanted::Balance { .. }, Verdict::NotJudged) => NOT_FOR_POWER.to_owned(),
        (Wanted::Balance { .. }, _) => format!("{NOT_FOR_POWER}; its height: {}", said()),
    }
}

const NOT_FOR_POWER: &str = "balance lens: power not judged";

fn uncut_said(
    eye: &EyeInspection,
    read: Prescription,
    said: String,
    thinning: Option<&ThinningView>,
) -> String {
    let said = if eye.ordered.wanted.is_judged() { said } else { NOT_FOR_POWER.to_owned() };
    let thinning = thinning.map_or_else(String::new, |thinning| format!("; {}", thinning.words));
    format!("{read}: {said}{thinning}")
}

fn seen(seen: Seen) -> Prescription {
    Prescription::read(seen.power, seen.prism, seen.add)
}

/// A power that only tells how strong: without a sign.
fn strength(power: Power) -> Figure {
    Figure::from(power).to(2, 2).abs()
}

impl EyeView {
    /// What is ordered and what was read in the frame, each under its name.
    #[must_use]
    pub fn facts(&self) -> Vec<(&'static str, String)> {
        let entered = self.entered.as_ref().and_then(EnteredView::words);
        let entered = entered.map_or_else(String::new, |words| format!(" ({words})"));
        let read = self.read.map(|read| format!("{read}{entered}"));
        let unread = (self.wanted != "none").then(|| "not read yet in the frame".to_owned());
        let facts = [
            ("ordered", Some(self.asked.clone())),
            (
                "to read as",
                self.verify.map(|power| format!("{power}, the supplier's: readings are judged by it")),
            ),
            ("read", read.or(unread)),
        ];
        facts.into_iter().filter_map(|(name, words)| Some((name, words?))).collect()
    }

    /// By what lens the reading is off, and what several readings come to, each under its name.
    #[must_use]
    pub fn detail(&self) -> Vec<(&'static str, String)> {
        let off = self.off_by.as_ref().filter(|off| off.blur_d.signum() > 0);
        let repeated = self.readings.as_ref().map(|Readings { mean, spread_d, count }| {
            format!("{count} in the frame, mean {mean}, spread {spread_d:#}; the latest is judged")
        });
        let detail = [
            ("error", off.map(|off| format!("{}, mean blur {:#}", off.lens, off.blur_d))),
            ("readings", repeated),
        ];
        detail.into_iter().filter_map(|(name, words)| Some((name, words?))).collect()
    }
}
