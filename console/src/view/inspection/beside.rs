//! What was measured and has no limit: ordered, measured, how far off, and what is usual.
//!
//! Its figures are named after its unit: `ordered_mm`, `usual_mm`.

use super::finding::{figures, named, names};
use crate::inspection::{Kind, Remark};
use crate::view::Figure;
use bevelbook_core::tolerance::{Basis, Finding, Judgement, Subject, Thinning};
use std::collections::BTreeMap;

view! {
    /// A quantity that is told and not judged.
    pub BesideView of (found: &Finding, thinning: Option<Thinning>) with {
        let (quantity, name) = names(found.quantity);
        let figures = figures(found);
    } {
        /// `right`, `left` or `pair`.
        pub subject: String = found.subject.to_string(),
        quantity: &'static str = quantity,
        /// Whether it is off by more than is usual.
        pub unusual: bool = !found.is_within(),
        source: String = found.cited.source.to_owned(),
        #[serde(flatten)]
        named: BTreeMap<String, Figure> = named(found, &["ordered", "measured", "deviation", "usual"]),
        /// It and how far it is off: `PD 3.5 mm off`.
        #[serde(skip)]
        pub off: String = format!("{name} {:#} off", figures[2].abs()),
        /// All of it but whose it is and its source.
        #[serde(skip)]
        words: String = words(name, found, figures, thinning),
        #[serde(skip)]
        of: Subject = found.subject,
    }
}

fn words(name: &str, found: &Finding, figures: [Figure; 5], thinning: Option<Thinning>) -> String {
    let [ordered, measured, off, usual, _] = figures;
    let assumed = thinning.filter(|_| found.basis == Basis::ThinningAssumed);
    match assumed {
        Some(Thinning { prism, .. }) => format!(
            "{name}: {off:#} off with a thinning of {} down, which is assumed; ±{usual} would do. Ask what thinning was \
             ordered, or read the other lens",
            Figure::from(prism)
        ),
        None => format!("{name}: ordered {ordered}, read {measured}, {off:#} off, usual practice ±{usual}"),
    }
}

/// What of a judgement was measured without a limit: what is unusual first, and each eye before the pair.
pub(super) fn beside(judgement: &Judgement, thinning: Option<Thinning>) -> Vec<BesideView> {
    let mut beside: Vec<_> = judgement.beside().iter().map(|found| BesideView::of(found, thinning)).collect();
    beside.sort_by_key(|beside| (!beside.unusual, beside.of == Subject::Pair));
    beside
}

impl BesideView {
    /// Whose it is, and it: `left PD 3.5 mm off`.
    #[must_use]
    pub fn whose(&self) -> String {
        match self.of {
            Subject::Pair => self.off.clone(),
            Subject::Eye(eye) => format!("{eye} {}", self.off),
        }
    }

    /// It among what is not checked, with its source.
    pub(super) fn remark(&self, uncut: bool) -> Remark {
        let kind = if uncut { Kind::Uncut } else { Kind::NoLimit };
        let sourced = |words: &str| format!("{words} ({})", self.source);
        Remark { what: sourced(&self.words), ..Remark::of(self.of, kind, sourced(&self.told(uncut))) }
    }

    /// Whose it is and all of it but its source.
    #[must_use]
    pub fn told(&self, uncut: bool) -> String {
        let uncut = if uncut { "uncut, " } else { "" };
        match self.of {
            Subject::Pair => format!("{uncut}{}", self.words),
            Subject::Eye(eye) => format!("{uncut}{eye} {}", self.words),
        }
    }
}
