//! An invented shop: its station, two orders, and the keys that are pressed at its bench.

use crate::cli::Failure;
use crate::cli::traced::Traced;
use crate::desk::{Condition, Frame, LensChoice, Order};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{EyeOrder, SphereCylinder};
use bevelbook_core::sizing::{Basis, Counting, Dial, Rim};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::{Axis, Length, Power};
use std::path::Path;

pub(super) const FIRST_CUSTOMER: &str = "Tove Marrable";
pub(super) const SECOND_CUSTOMER: &str = "Oskar Quillfeather";
pub(super) const INITIALS: &str = "NB";

/// One thing done at the bench: what it is, and the keys for it (`u d l r c`, in capitals when held).
pub(super) struct Act(pub(super) &'static str, pub(super) &'static str);

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

/// The trace of the first frame, its right eye made up and its left eye the mirror. The person's name in it must not
/// reach the book.
const FIRST_TRACE: &str = include_str!("skerry.txt");

/// The first order's trace.
pub(super) fn first_trace() -> Result<Traced, Failure> {
    Traced::parse(FIRST_TRACE, Path::new("the demo's frame record"))
}

/// A metal frame, still to be laid under its trace, and two lenses of moderate power.
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
        right_verify: None,
        left_verify: None,
        far_pd: PupillaryDistance::Monocular { right: mm(32_000), left: mm(31_500) },
        near_pd: None,
        heights: Some([mm(20_000), mm(20_000)]),
        centre_thickness: None,
        front_curve: None,
        frame: Frame {
            model: "Skerry 3".into(),
            size: FrameSize { a: mm(52_000), b: mm(36_000), dbl: mm(17_000), ed: Some(mm(54_000)) },
            rim: Rim::Metal,
            material: "steel".into(),
            condition: Condition::New,
        },
        trace: None,
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
        right_verify: None,
        left_verify: None,
        far_pd: PupillaryDistance::Monocular { right: mm(30_500), left: mm(31_000) },
        heights: None,
        centre_thickness: None,
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
pub(super) const FIRST_PAIR: &[Act] = &[
    Act("read the right lens, mark it", "cccc c"),
    Act("read the left lens, mark it", "cccc c"),
    Act("size the right lens: far, just, fits", "u r d"),
    Act("size the left lens: just, fits", "r d"),
    Act("read the right lens in the frame", "c dc uuc c"),
    Act("read the left lens in the frame, a little off centre", "uc c dc r dc c"),
    Act("measure the PD", "dc"),
    Act("look both lenses and the frame over", "cccc cccc c"),
];

/// A pair whose left lens turned on its pad.
pub(super) const SECOND_PAIR: &[Act] = &[
    Act("read the right lens, mark it", "cccc c"),
    Act("read the left lens, mark it", "cccc c"),
    Act("size the right lens: far, far, fits", "u u d"),
    Act("size the left lens: just, fits", "r d"),
    Act("read the right lens in the frame", "c c uc c"),
    Act("read the left lens in the frame: the axis is off", "c c uuuuuuc c"),
    Act("go on past the warning, measure the PD", "c uc"),
];

/// Its left lens, made again.
pub(super) const REMADE_LEFT: &[Act] =
    &[Act("read the new left lens, mark it", "cccc c"), Act("size it: just, fits", "r d")];

/// The hand reaches for a size past the fit: choose to grind the left lens again, lower the size, take it.
pub(super) const REACH: Act = Act("reach for a smaller size all the same", "C ddddd c c d c");

/// Back from the guard, past the grinding, and on along the line.
pub(super) const AFTER_REACH: &[Act] = &[
    Act("think better of it", "c u c L"),
    Act("read the left lens in the frame", "c c uc c"),
    Act("measure the PD", "c"),
    Act("look both lenses and the frame over", "cccc cccc c"),
];
