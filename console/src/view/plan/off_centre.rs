//! What a plan says of the prism beside the optical centres, and what of it is to be asked. Nothing is chosen here: a
//! prescription is the prescriber's, and so is what is done about an imbalance.

use super::caution::Caution;
use super::rounding::place;
use crate::desk::Order;
use crate::plan::{OffCentre, PairOffCentre, ReadingPrism};
use crate::view::{Figure, PrismView};
use bevelbook_core::prescription::PrismImbalance;
use bevelbook_core::tolerance::Design;

view! {
    /// The prism where the wearer reads, beside that which is ordered.
    pub(super) ReadingView of (reading: ReadingPrism) {
        /// Where that is, from the optical centre for distance.
        below_mm: Figure = place(-reading.at.up),
        in_mm: Figure = place(reading.at.inward),
        #[serde(flatten)]
        total: PrismView = PrismView::of(reading.total()),
        of_distance: PrismView = PrismView::of(reading.of_distance),
        of_segment: Option<PrismView> = reading.of_segment.map(PrismView::of),
    }
}

impl ReadingView {
    pub(super) fn of_eye(off: Option<OffCentre>) -> Option<Self> {
        off.and_then(|off| off.reading).map(Self::of)
    }

    pub(super) fn total(&self) -> String {
        self.total.rounded()
    }

    pub(super) fn of_segment(&self) -> String {
        self.of_segment.as_ref().map_or_else(|| "not looked through".into(), PrismView::rounded)
    }
}

view! {
    /// What the two lenses of a pair do to each other.
    pub(super) ImbalanceView of (imbalance: PrismImbalance) {
        base_in_pd: Figure = imbalance.base_in.into(),
        /// Base up before the right eye over that before the left.
        right_up_pd: Figure = imbalance.right_up.into(),
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
        let horizontal = match self.base_in_pd.signum() {
            0 => "nothing in or out".into(),
            sign => format!("{} base {}", short(self.base_in_pd), if sign > 0 { "in" } else { "out" }),
        };
        format!("{horizontal} together, {}", self.vertical())
    }

    /// The part between up and down.
    pub(super) fn vertical(&self) -> String {
        match self.right_up_pd.signum() {
            0 => "no vertical difference".into(),
            sign => {
                format!("{} base up {}", short(self.right_up_pd), if sign > 0 { "right" } else { "left" })
            }
        }
    }
}

/// How much prism was worked out, to the hundredth.
fn short(prism: Figure) -> String {
    format!("{:#}", prism.to(2, 2).abs())
}

/// What is to be asked about a pair, of whoever prescribed it or supplies it.
pub(super) fn questions(order: &Order, pair: &PairOffCentre) -> Vec<Caution> {
    let asked =
        |asks: bool, imbalance: Option<PrismImbalance>| imbalance.filter(|_| asks).map(ImbalanceView::of);
    let centres = asked(pair.asks_at_pd, pair.at_pd).map(|found| {
        let words = found.words();
        Caution::of(
            format!("OCs beside the PD: {words}: other uncuts?"),
            format!(
                "the optical centres fall beside the distance PD and give {words}: can the uncuts be had decentred, or with \
                 another inset?"
            ),
        )
    });
    let segments = match order.lens.design {
        Design::Multifocal => "dissimilar segments, ",
        _ => "",
    };
    let reading = asked(pair.asks_reading, pair.reading).map(|found| {
        let words = found.vertical();
        Caution::of(
            format!("at the reading level the lenses differ by {words}: ask the prescriber"),
            format!(
                "the lenses differ at the reading level by {words}: ask the prescriber whether anything is wanted for it, as \
                 slab-off (bicentric grinding), {segments}a separate pair for reading, or contact lenses"
            ),
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
