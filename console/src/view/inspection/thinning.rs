//! What is taken off a prism that thins both lenses.

use crate::view::Figure;
use bevelbook_core::tolerance::{Thinning, ThinningKnown};

view! {
    /// A thinning, and from where it is known: `ordered`, `assumed` or `seen`.
    pub ThinningView of (thinning: Thinning) {
        base_down_pd: Figure = thinning.prism.into(),
        known: &'static str = match thinning.known {
            ThinningKnown::Ordered => "ordered",
            ThinningKnown::Assumed => "assumed",
            ThinningKnown::Seen => "seen",
        },
        /// What was taken off, and why.
        #[serde(skip)]
        pub words: String = words(thinning),
    }
}

impl ThinningView {
    /// None where there is no thinning.
    pub(super) fn told(thinning: Thinning) -> Option<Self> {
        (thinning != Thinning::NONE).then(|| Self::of(thinning))
    }
}

fn words(Thinning { prism, known }: Thinning) -> String {
    let why = match known {
        ThinningKnown::Ordered => "as ordered",
        ThinningKnown::Assumed => "assumed, the order does not say it",
        ThinningKnown::Seen => "as seen in both lenses, the order does not say it",
    };
    format!("thinning {} down taken off, {why}", Figure::from(prism))
}
