//! What a plan says of the prism beside the optical centres, and what of it is to be asked. Nothing is chosen here: a
//! prescription is the prescriber's, and so is what is done about an imbalance.

use super::rounding::place;
use crate::desk::Order;
use crate::plan::{OffCentre, PairOffCentre, ReadingPrism};
use crate::view::{Figure, PrismView};
use bevelbook_core::prescription::PrismImbalance;
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Prism, PrismPair};

view! {
    /// The prism where the wearer reads, beside that which is ordered.
    pub(super) ReadingView of (reading: ReadingPrism) with {
        let total = reading.total();
    } {
        /// Where that is, from the optical centre for distance.
        below_mm: Figure = place(-reading.at.up),
        in_mm: Figure = place(reading.at.inward),
        base_in_pd: Figure = total.base_in.into(),
        base_up_pd: Figure = total.base_up.into(),
        of_distance: PrismView = PrismView::of(reading.of_distance),
        of_segment: Option<PrismView> = reading.of_segment.map(PrismView::of),
        #[serde(skip)]
        total: PrismPair = total,
        #[serde(skip)]
        own: Option<PrismPair> = reading.of_segment,
    }
}

impl ReadingView {
    pub(super) fn of_eye(off: Option<OffCentre>) -> Option<Self> {
        off.and_then(|off| off.reading).map(Self::of)
    }

    pub(super) fn total(&self) -> String {
        prism_words(self.total)
    }

    pub(super) fn of_segment(&self) -> String {
        self.own.map_or_else(|| "not looked through".into(), prism_words)
    }
}

view! {
    /// What the two lenses of a pair do to each other.
    pub(super) ImbalanceView of (imbalance: PrismImbalance) {
        base_in_pd: Figure = imbalance.base_in.into(),
        /// Base up before the right eye over that before the left.
        right_up_pd: Figure = imbalance.right_up.into(),
        #[serde(skip)]
        pub(super) imbalance: PrismImbalance = imbalance,
    }
}

view! {
    /// The prism of a pair beside its optical centres.
    pub(super) OffCentreView of (pair: &PairOffCentre) {
        pub(super) at_pd: Option<ImbalanceView> = pair.at_pd.map(ImbalanceView::of),
        pub(super) reading: Option<ImbalanceView> = pair.reading.map(ImbalanceView::of),
    }
}

impl ImbalanceView {
    /// Both parts.
    pub(super) fn words(&self) -> String {
        format!("{} together, {}", base_in(self.imbalance.base_in), self.vertical())
    }

    /// The part between up and down.
    pub(super) fn vertical(&self) -> String {
        let figure = format!("{:#}", short(self.imbalance.right_up).abs());
        match self.imbalance.right_up.milli() {
            0 => "no vertical difference".into(),
            milli => format!("{figure} base up {}", if milli > 0 { "right" } else { "left" }),
        }
    }
}

/// A prism that was worked out, to the hundredth.
pub(super) fn short(prism: Prism) -> Figure {
    Figure::from(prism).to(2, 2)
}

fn base_in(prism: Prism) -> String {
    match prism.milli() {
        0 => "nothing in or out".into(),
        milli => format!("{:#} base {}", short(prism).abs(), if milli > 0 { "in" } else { "out" }),
    }
}

pub(super) fn prism_words(prism: PrismPair) -> String {
    let parts = [(prism.base_up, "up", "down"), (prism.base_in, "in", "out")];
    let parts = parts.into_iter().filter(|part| !part.0.is_zero());
    let parts: Vec<String> = parts.map(|(part, plus, minus)| short(part).way(plus, minus)).collect();
    if parts.is_empty() { "none".into() } else { parts.join(" ") }
}

/// What is to be asked about a pair, of whoever prescribed it or supplies it.
pub(super) fn questions(order: &Order, pair: &PairOffCentre) -> Vec<String> {
    let asked =
        |asks: bool, imbalance: Option<PrismImbalance>| imbalance.filter(|_| asks).map(ImbalanceView::of);
    let centres = asked(pair.asks_at_pd, pair.at_pd).map(|found| {
        let words = found.words();
        format!(
            "the optical centres fall beside the distance PD and give {words}: can the uncuts be had decentred, or with \
             another inset?"
        )
    });
    let segments = match order.lens.design {
        Design::Multifocal => "dissimilar segments, ",
        _ => "",
    };
    let reading = asked(pair.asks_reading, pair.reading).map(|found| {
        format!(
            "the lenses differ at the reading level by {}: ask the prescriber whether anything is wanted for it, as slab-off \
             (bicentric grinding), {segments}a separate pair for reading, or contact lenses",
            found.vertical()
        )
    });
    [centres, reading].into_iter().flatten().collect()
}

/// The prism of a pair in words, each under its name.
pub(super) fn account(order: &Order, pair: &PairOffCentre) -> [(&'static str, Option<String>); 2] {
    let below = pair.eyes.iter().find_map(|off| Some(off.as_ref()?.reading?.at.up));
    let reading = pair.reading.filter(|_| pair.tells_reading).zip(below);
    let centres = match order.lens.design {
        Design::Progressive => "reference points",
        Design::SingleVision | Design::Multifocal => "optical centres",
    };
    [
        ("pair at the PD", pair.at_pd.map(|found| ImbalanceView::of(found).words())),
        (
            "pair, reading",
            reading.map(|(found, up)| {
                format!("{}, {:#} below the {centres}", ImbalanceView::of(found).vertical(), place(-up))
            }),
        ),
    ]
}
