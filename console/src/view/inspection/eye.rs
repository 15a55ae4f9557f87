//! One lens of an inspection: what is ordered, what was read, and the verdict on it.

use super::finding::{FindingView, findings, said};
use crate::inspection::{Difference, EyeInspection, Repeated, Seen, Uncut};
use crate::view::{Figure, Lens, Prescription};
use bevelbook_core::tolerance::Verdict;
use bevelbook_core::units::Power;

view! {
    /// One lens, and what was judged of the mounted pair.
    pub EyeView of (eye: &EyeInspection, pair: &[FindingView]) {
        verdict: Verdict = eye.verdict,
        ordered: Prescription = Prescription::ordered(&eye.ordered),
        verify: Option<Lens> = eye.verify.map(Lens::from),
        read: Option<Prescription> = eye.mounted.map(seen),
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
        pub said: String = said(eye.verdict, pair, Some(eye.eye)),
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
        let read = seen(uncut.seen);
    } {
        /// What was read, and the verdict with its reasons.
        #[serde(skip)]
        pub said: String = format!("{read}: {}", said(verdict, &findings, Some(eye.eye))),
        /// Whether its findings matter: until it is mounted, and where it is out.
        #[serde(skip)]
        pub matters: bool = eye.mounted.is_none() || verdict == Verdict::Out,
        verdict: Verdict = verdict,
        read: Prescription = read,
        /// What was judged of it.
        pub findings: Vec<FindingView> = findings,
    }
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
        let read = self.read.map_or_else(|| "not read in the frame yet".into(), |read| read.to_string());
        let off = self.off_by.as_ref().filter(|off| off.blur_d.signum() > 0);
        let repeated = self.readings.as_ref().map(|Readings { mean, spread_d, count }| {
            format!("{count} in the frame, mean {mean}, spread {spread_d:#}; the latest is judged")
        });
        let facts = [
            ("ordered", Some(self.ordered.to_string())),
            (
                "verify",
                self.verify.map(|power| format!("{power}, the supplier's: readings are judged by it")),
            ),
            ("read", Some(read)),
            ("off by", off.map(|off| format!("{}, which blurs like a sphere of {:#}", off.lens, off.blur_d))),
            ("readings", repeated),
        ];
        facts.into_iter().filter_map(|(name, words)| Some((name, words?))).collect()
    }
}
