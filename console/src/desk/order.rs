//! What a customer ordered.

use super::{Frame, FrameTrace, LabPower, LensChoice, Viewing};
use crate::settings::{Progressive, Tolerances};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::lens::{BaseCurve, CurveError};
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::tolerance::{Design, PairOrder, Thinning, ThinningKnown};
use bevelbook_core::units::{Length, Power, PrismPair, RefractiveIndex};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// An order: everything the job starts from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Order {
    /// The job's number for people, given by the book.
    pub number: u32,
    /// The customer, by reference.
    pub customer: String,
    /// The tray that the job lies in.
    #[serde(default)]
    pub tray: Option<String>,
    /// When it is promised.
    #[serde(default)]
    pub due: Option<Date>,
    /// When the prescription was written.
    #[serde(default)]
    pub prescribed: Option<Date>,
    /// The prescription of the right eye.
    pub right: EyeOrder,
    /// The prescription of the left eye.
    pub left: EyeOrder,
    /// What the supplier says the right lens is to read as, where that differs from the ordered power: a lens made for the
    /// position of wear.
    #[serde(default)]
    pub right_verify: Option<LabPower>,
    /// The same for the left lens.
    #[serde(default)]
    pub left_verify: Option<LabPower>,
    /// Distance PD.
    pub far_pd: PupillaryDistance,
    /// Near PD.
    #[serde(default)]
    pub near_pd: Option<PupillaryDistance>,
    /// Fitting or segment heights above the lower side of the box, right and left.
    #[serde(default)]
    pub heights: Option<[Length; 2]>,
    /// Centre thickness, where it is specified, right and left.
    #[serde(default)]
    pub centre_thickness: Option<[Length; 2]>,
    /// Power of the front surface, where it is specified, right and left.
    #[serde(default)]
    pub front_curve: Option<[Power; 2]>,
    /// The frame.
    pub frame: Frame,
    /// The frame's trace, where it was traced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trace: Option<FrameTrace>,
    /// The lenses.
    pub lens: LensChoice,
}

impl Order {
    /// An order with what every order needs, and nothing else; its number is given when it is opened.
    pub fn new(
        customer: String,
        [right, left]: [EyeOrder; 2],
        far_pd: PupillaryDistance,
        frame: Frame,
        lens: LensChoice,
    ) -> Self {
        Self {
            number: 0,
            customer,
            tray: None,
            due: None,
            prescribed: None,
            right,
            left,
            right_verify: None,
            left_verify: None,
            far_pd,
            near_pd: None,
            heights: None,
            centre_thickness: None,
            front_curve: None,
            frame,
            trace: None,
            lens,
        }
    }

    /// The prescription of one eye.
    pub fn eye(&self, eye: Eye) -> &EyeOrder {
        [&self.right, &self.left][eye.index()]
    }

    /// The supplier's power to verify of one eye.
    pub fn verify(&self, eye: Eye) -> Option<LabPower> {
        [self.right_verify, self.left_verify][eye.index()]
    }

    /// What a focimeter is to show of one eye: the prescription, or the supplier's power to verify in its place. Whatever is
    /// marked, read or judged on a focimeter goes by this, and by nothing else. Thinning comes on top of its prism.
    pub fn expected(&self, eye: Eye) -> EyeOrder {
        let ordered = *self.eye(eye);
        self.verify(eye).map_or(ordered, |lab| lab.of(ordered))
    }

    /// The PD that the lenses are centred for: near for a near pair whose near PD is given, else for distance.
    pub fn pd(&self) -> PupillaryDistance {
        match (self.lens.viewing, self.near_pd) {
            (Viewing::Near, Some(near)) => near,
            _ => self.far_pd,
        }
    }

    /// Whether a supplier says what prism is to show, thinning included.
    pub fn is_prism_told(&self) -> bool {
        [self.right_verify, self.left_verify].into_iter().flatten().any(|lab| lab.prism.is_some())
    }

    /// Base down in both lenses to thin a progressive: as ordered, else the shop's share of the addition, and which of the
    /// two.
    pub fn made_thinner_by(&self, shop: &Progressive) -> Thinning {
        let assumed = || shop.thinning_for(self.right.add.max(self.left.add));
        match (self.lens.design, self.lens.thinning) {
            (Design::Progressive, Some(prism)) => Thinning { prism, known: ThinningKnown::Ordered },
            (Design::Progressive, None) => Thinning { prism: assumed(), known: ThinningKnown::Assumed },
            _ => Thinning::NONE,
        }
    }

    /// What of that comes beside what [`Order::expected`] says: none beside a supplier's prism to verify, which has it in it.
    pub fn thinning(&self, shop: &Progressive) -> Thinning {
        if self.is_prism_told() { Thinning::NONE } else { self.made_thinner_by(shop) }
    }

    /// What thins the lens of one eye. Of a balance lens, or one that stays, nobody says that it is thinned.
    pub fn thinning_of(&self, eye: Eye, shop: &Progressive) -> Thinning {
        if self.eye(eye).wanted.is_judged() { self.thinning(shop) } else { Thinning::NONE }
    }

    /// The prism that a focimeter is to show where the prism of one eye is read: that which is expected, and that which thins
    /// a progressive.
    pub fn prism_to_show(&self, eye: Eye, shop: &Progressive) -> PrismPair {
        self.thinning_of(eye, shop).added_to(self.expected(eye).prism)
    }

    /// The power and the prism that one eye's surfaces are worked out from: those that a focimeter is to show. The prism
    /// that thins a progressive is left out with the addition whose thickness it takes away.
    pub fn ground(&self, eye: Eye) -> EyeOrder {
        let expected = self.expected(eye);
        match self.lens.design {
            Design::Progressive => EyeOrder { prism: self.eye(eye).prism, ..expected },
            _ => expected,
        }
    }

    /// The fitting or segment height of one eye.
    pub fn height(&self, eye: Eye) -> Option<Length> {
        self.heights.map(|heights| heights[eye.index()])
    }

    /// The ordered front curve of one eye's lens of such an index; an error where it makes no surface.
    pub fn base_curve(&self, eye: Eye, index: RefractiveIndex) -> Option<Result<BaseCurve, CurveError>> {
        self.front_curve.map(|curves| BaseCurve::of(curves[eye.index()], self.lens.curve_basis, index))
    }

    /// Whether the lenses have heights and nobody says them.
    pub fn lacks_heights(&self) -> bool {
        self.lens.design != Design::SingleVision && self.heights.is_none()
    }

    /// What the standard compares with.
    pub fn pair(&self, by: &Tolerances) -> PairOrder {
        let eyes = Eye::BOTH.map(|eye| self.expected(eye));
        let thinning = self.thinning(by.progressive());
        PairOrder { eyes, pd: self.pd(), segment_heights: self.heights, thinning }
    }
}

/// An order for the tests of this crate: an invented customer and frame.
#[cfg(test)]
pub(crate) fn sample() -> Order {
    use bevelbook_core::frame::FrameSize;
    use bevelbook_core::sizing::Rim;
    let mm = |milli| Length::from_milli(milli);
    let eye = |text| EyeOrder::parse(text).unwrap();
    let frame = Frame {
        material: "steel".into(),
        ..Frame::new(
            "Lindgren 7",
            FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: Some(mm(53_000)) },
            Rim::Metal,
        )
    };
    let treatments = vec!["hard coat".into()];
    let lens = LensChoice { material: "cr39".into(), treatments, ..LensChoice::default() };
    let eyes = ["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"].map(eye);
    let pd = PupillaryDistance::parse("31.5/31").unwrap();
    Order { number: 1, tray: Some("4".into()), ..Order::new("K-17".into(), eyes, pd, frame, lens) }
}
