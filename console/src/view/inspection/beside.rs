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
        /// It and how far it is off.
        #[serde(skip)]
        pub off: String = format!("{name} {:#} off", figures[2]),
        /// All of it, whose it is apart.
        #[serde(skip)]
        words: String = words(name, found, figures, thinning),
        #[serde(skip)]
        of: Subject = found.subject,
    }
}

fn words(name: &str, found: &Finding, figures: [Figure; 5], thinning: Option<Thinning>) -> String {
    let [ordered, measured, off, usual, _] = figures;
    let look = if found.is_within() { "" } else { ": look" };
    let assumed = thinning.filter(|_| found.basis == Basis::ThinningAssumed);
    if let Some(Thinning { prism, .. }) = assumed {
        let taken = Figure::from(prism);
        return format!(
            "{name}: {off:#} off with a thinning of {taken} down, which is assumed; ±{usual} would do. Ask what thinning \
             was ordered, or read the other lens"
        );
    }
    let source = found.cited.source;
    format!(
        "{name}: ordered {ordered}, measured {measured}, {off:#} off, usual practice ±{usual}{look} ({source})"
    )
}

/// What of a judgement was measured without a limit: what is unusual first, and each eye before the pair.
pub(super) fn beside(judgement: &Judgement, thinning: Option<Thinning>) -> Vec<BesideView> {
    let mut beside: Vec<_> = judgement.beside().iter().map(|found| BesideView::of(found, thinning)).collect();
    beside.sort_by_key(|beside| (!beside.unusual, beside.of == Subject::Pair));
    beside
}

impl BesideView {
    /// It among what is not checked.
    pub(super) fn remark(&self, uncut: bool) -> Remark {
        let whose = match (self.of, uncut) {
            (Subject::Pair, _) => String::new(),
            (Subject::Eye(eye), false) => format!("{eye} "),
            (Subject::Eye(eye), true) => format!("uncut, {eye} "),
        };
        let kind = if uncut { Kind::Uncut } else { Kind::NoLimit };
        Remark { what: self.words.clone(), ..Remark::of(self.of, kind, format!("{whose}{}", self.words)) }
    }
}
