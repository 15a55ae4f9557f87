//! What a plan says of a segment.

use super::rounding::{place, place_words};
use crate::desk::SegmentShape;
use crate::plan::{EyePlan, Given, OffCentre, SegmentPlan, segment_jump};
use crate::view::{Figure, PrismView};
use bevelbook_core::frame::Decentration;

view! {
    /// A segment. Places are seen from the boxed centre; prism is what comes beside that which is ordered.
    pub(super) SegmentView of (plan: &EyePlan, segment: &SegmentPlan, off: Option<OffCentre>) with {
        let placed = segment.placed.as_ref();
        let falls = |of: fn(Decentration) -> Figure| placed.map(|placed| of(placed.distance_centre));
        let middle = |of: fn(Decentration) -> Figure| placed.map(|placed| of(placed.middle));
        let jump = placed.zip(plan.ordered.add).and_then(|(placed, add)| segment_jump(placed, add));
    } {
        shape: Option<SegmentShape> = segment.ordered.map(|segment| segment.shape),
        width_mm: Option<Figure> = segment.ordered.and_then(|segment| segment.width).map(Figure::from),
        drop_mm: Option<Figure> = segment.drop.map(place),
        inset_from_box_mm: Figure = place(segment.from_box),
        inset_mm: Figure = place(segment.inset.0),
        inset_from: Given = segment.inset.1,
        blank_middle_in_mm: Option<Figure> = middle(|middle| place(middle.inward)),
        blank_middle_up_mm: Option<Figure> = middle(|middle| place(middle.up)),
        optical_centre_in_mm: Option<Figure> = falls(|centre| place(centre.inward)),
        optical_centre_up_mm: Option<Figure> = falls(|centre| place(centre.up)),
        prism_at_pd: Option<PrismView> = off.and_then(|off| off.at_pd).map(PrismView::of),
        jump_pd: Option<Figure> = jump.map(|jump| Figure::from(jump).to(2, 2)),
        #[serde(skip)]
        name: Option<String> = segment.ordered.map(|segment| segment.to_string()),
    }
}

impl SegmentView {
    /// Whether it is known where the optical centre falls.
    pub(super) const fn is_placed(&self) -> bool {
        self.optical_centre_in_mm.is_some()
    }

    pub(super) fn shape(&self) -> String {
        self.name.clone().unwrap_or_else(|| "shape not given".into())
    }

    /// Where its top goes.
    pub(super) fn top(&self) -> String {
        let inset = self.inset_from_box_mm.inward();
        match self.drop_mm {
            Some(drop) => format!("{}, {inset}", drop.way("above", "below")),
            None => format!("height not given, {inset}"),
        }
    }

    pub(super) fn near_inset(&self) -> String {
        match (self.shape, self.inset_from) {
            (Some(SegmentShape::FullWidth), _) => "across the lens".into(),
            (_, Given::Ordered | Given::Measured) => self.inset_mm.to_string(),
            (_, Given::Taken) => format!("{} assumed", self.inset_mm),
        }
    }

    /// Where the optical centre falls.
    pub(super) fn falls(&self) -> String {
        let centre = self.optical_centre_in_mm.zip(self.optical_centre_up_mm);
        centre.map_or_else(|| "not known".into(), |(inward, up)| place_words(inward, up))
    }

    pub(super) fn prism_at_pd(&self) -> String {
        self.prism_at_pd.as_ref().map_or_else(String::new, PrismView::rounded)
    }

    pub(super) fn jump(&self) -> String {
        self.jump_pd.map_or_else(String::new, |jump| format!("{jump:#}"))
    }
}
