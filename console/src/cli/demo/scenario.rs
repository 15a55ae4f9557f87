//! An invented shop: its station, two orders, and what happens at its bench.

use super::bench::Event::{self, Centres, LensGood, Mark, PairGood, Pass, Reach, Read};
use crate::desk::{Condition, Frame, LensChoice, Order};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::Eye::{Left, Right};
use bevelbook_core::prescription::{EyeOrder, SphereCylinder};
use bevelbook_core::record::CheckItem::{self, Alignment, Bevel, Firm, ImpactSample, Slip, Strain, Surfaces};
use bevelbook_core::record::Stage::{Mounted, Uncut};
use bevelbook_core::sizing::Outcome::{FarTooBig, Fits, JustTooBig};
use bevelbook_core::sizing::{Basis, Counting, Dial, Rim};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Axis, Length, Power};

pub(super) const FIRST_CUSTOMER: &str = "Tove Marrable";
pub(super) const SECOND_CUSTOMER: &str = "Oskar Quillfeather";
pub(super) const INITIALS: &str = "NB";

/// What each finished lens is looked over for here.
const FINISHED: &[CheckItem] = &[Bevel, Firm, Strain, Surfaces, ImpactSample];

pub(super) fn dial() -> Dial {
    Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: mm(50) }
}

fn mm(milli: i32) -> Length {
    Length::from_milli(milli)
}

fn eye(sphere: i32, cylinder: i32, axis: i16) -> EyeOrder {
    let power = |milli| Power::from_milli(milli);
    EyeOrder::single_vision(SphereCylinder::new(power(sphere), power(cylinder), Axis::from_degrees(axis)))
}

/// A metal frame and two lenses of moderate power.
pub(super) fn first_order() -> Order {
    let today = jiff::ZonedDateTime::now().date();
    Order {
        number: 0,
        customer: "TM-041".into(),
        tray: Some("2".into()),
        due: Some(today.saturating_add(jiff::Span::new().days(3))),
        prescribed: Some(today.saturating_sub(jiff::Span::new().days(20))),
        right: eye(-2250, -500, 175),
        left: eye(-2000, -750, 10),
        far_pd: PupillaryDistance::Monocular { right: mm(32_000), left: mm(31_500) },
        near_pd: None,
        heights: Some([mm(20_000), mm(20_000)]),
        frame: Frame {
            model: "Skerry 3".into(),
            size: FrameSize { a: mm(52_000), b: mm(36_000), dbl: mm(17_000), ed: Some(mm(54_000)) },
            rim: Rim::Metal,
            material: "steel".into(),
            condition: Condition::New,
        },
        lens: LensChoice {
            material: "cr39".into(),
            design: Design::SingleVision,
            treatments: vec!["hard coat".into()],
        },
    }
}

/// A plastic frame, coated polycarbonate, crossed axes.
pub(super) fn second_order() -> Order {
    let today = jiff::ZonedDateTime::now().date();
    Order {
        customer: "OQ-042".into(),
        tray: Some("5".into()),
        due: Some(today.saturating_add(jiff::Span::new().days(2))),
        right: eye(1750, -1250, 85),
        left: eye(2250, -1500, 95),
        far_pd: PupillaryDistance::Monocular { right: mm(30_500), left: mm(31_000) },
        heights: None,
        frame: Frame {
            model: "Brockle 18".into(),
            size: FrameSize { a: mm(49_000), b: mm(40_000), dbl: mm(20_000), ed: Some(mm(52_000)) },
            rim: Rim::Plastic,
            material: "acetate".into(),
            condition: Condition::Own,
        },
        lens: LensChoice {
            material: "polycarbonate".into(),
            design: Design::SingleVision,
            treatments: vec!["anti-reflective".into(), "hydrophobic".into()],
        },
        ..first_order()
    }
}

/// A pair that goes well.
pub(super) const FIRST_PAIR: &[Event] = &[
    Read(Right, Uncut, [-2250, -2750], 175, [0, 0]),
    Mark(Right, 175),
    Read(Left, Uncut, [-2000, -2750], 10, [0, 0]),
    Mark(Left, 10),
    Pass(Right, 400, FarTooBig),
    Pass(Right, 200, JustTooBig),
    Pass(Right, 100, Fits),
    Pass(Left, 200, JustTooBig),
    Pass(Left, 150, Fits),
    Read(Right, Mounted, [-2250, -2800], 177, [100, 0]),
    Read(Left, Mounted, [-1950, -2700], 9, [-50, 100]),
    Centres([32_000, 31_000]),
    LensGood(Right, FINISHED),
    LensGood(Left, FINISHED),
    PairGood(Alignment),
];

/// A pair whose left lens turned on its pad.
pub(super) const SECOND_PAIR: &[Event] = &[
    Read(Right, Uncut, [1750, 500], 85, [0, 0]),
    Mark(Right, 85),
    Read(Left, Uncut, [2250, 750], 95, [0, 0]),
    Mark(Left, 95),
    Pass(Right, 500, FarTooBig),
    Pass(Right, 300, FarTooBig),
    Pass(Right, 150, Fits),
    Pass(Left, 300, JustTooBig),
    Pass(Left, 200, Fits),
    Read(Right, Mounted, [1750, 500], 86, [0, 0]),
    Read(Left, Mounted, [2250, 750], 101, [0, 0]),
    Centres([30_500, 31_500]),
];

/// Its left lens, made again: this time the axis is looked at after roughing.
pub(super) const REMADE_LEFT: &[Event] = &[
    Read(Left, Uncut, [2250, 800], 95, [0, 0]),
    Mark(Left, 95),
    LensGood(Left, &[Slip]),
    Pass(Left, 300, JustTooBig),
    Pass(Left, 200, Fits),
    Reach(Left, 100),
    Read(Left, Mounted, [2250, 750], 96, [50, 0]),
    Centres([30_500, 31_000]),
    LensGood(Right, FINISHED),
    LensGood(Left, FINISHED),
    PairGood(Alignment),
];
