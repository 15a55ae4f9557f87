//! An invented shop: its station, two orders, and the keys that are pressed at its bench.

use crate::cli::Failure;
use crate::cli::trace_file::TraceFile;
use crate::desk::{Condition, Frame, LensChoice, Order};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{EyeOrder, SphereCylinder};
use bevelbook_core::sizing::{Basis, Counting, Dial, Rim};
use bevelbook_core::units::{Axis, Length, Power};
use jiff::civil::Date;
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
pub(super) fn first_trace() -> Result<TraceFile, Failure> {
    TraceFile::parse(FIRST_TRACE, Path::new("the demo's frame record"))
}

/// A metal frame, still to be laid under its trace, and two lenses of moderate power.
pub(super) fn first_order() -> Order {
    let frame = Frame {
        material: "steel".into(),
        ..Frame::new(
            "Skerry 3",
            FrameSize { a: mm(52_000), b: mm(36_000), dbl: mm(17_000), ed: Some(mm(54_000)) },
            Rim::Metal,
        )
    };
    let eyes = [eye(-2250, -500, 175), eye(-2000, -750, 10)];
    let order = ordered("TM-041", eyes, [32_000, 31_500], frame, "cr39", &["hard coat"]);
    Order { tray: Some("2".into()), due: in_days(3), heights: Some([mm(20_000), mm(20_000)]), ..order }
}

/// A plastic frame, coated polycarbonate, crossed axes.
pub(super) fn second_order() -> Order {
    let frame = Frame {
        material: "acetate".into(),
        condition: Condition::Own,
        ..Frame::new(
            "Brockle 18",
            FrameSize { a: mm(49_000), b: mm(40_000), dbl: mm(20_000), ed: Some(mm(52_000)) },
            Rim::Plastic,
        )
    };
    let eyes = [eye(1750, -1250, 85), eye(2250, -1500, 95)];
    let coats = ["anti-reflective", "hydrophobic"];
    let order = ordered("OQ-042", eyes, [30_500, 31_000], frame, "polycarbonate", &coats);
    Order { tray: Some("5".into()), due: in_days(2), ..order }
}

fn ordered(
    customer: &str,
    eyes: [EyeOrder; 2],
    [right, left]: [i32; 2],
    frame: Frame,
    material: &str,
    treatments: &[&str],
) -> Order {
    let pd = PupillaryDistance::Monocular { right: mm(right), left: mm(left) };
    let treatments = treatments.iter().map(|name| (*name).to_owned()).collect();
    let lens = LensChoice { material: material.into(), treatments, ..LensChoice::default() };
    Order { prescribed: in_days(-20), ..Order::new(customer.into(), eyes, pd, frame, lens) }
}

/// So many days from today.
fn in_days(days: i64) -> Option<Date> {
    Some(jiff::ZonedDateTime::now().date().saturating_add(jiff::Span::new().days(days)))
}

/// A pair that goes well.
pub(super) const FIRST_PAIR: &[Act] = &[
    Act("read the right lens, mark it", "cccc c"),
    Act("read the left lens, mark it", "cccc c"),
    Act("size the right lens: much, touch, fits; bevel its edges", "u r d c"),
    Act("size the left lens: touch, fits; bevel its edges", "r d c"),
    Act("read the right lens in the frame", "c dc uuc c"),
    Act("read the left lens in the frame, a little off centre", "uc c dc r dc c"),
    Act("measure the PD and the heights", "dc c c"),
    Act("look both lenses and the frame over", "ccc ccc c"),
];

/// A pair whose left lens turned on its pad.
pub(super) const SECOND_PAIR: &[Act] = &[
    Act("read the right lens, mark it", "cccc c"),
    Act("read the left lens, mark it", "cccc c"),
    Act("size the right lens: much, much, fits; bevel its edges", "u u d c"),
    Act("size the left lens: touch, fits; bevel its edges", "r d c"),
    Act("read the right lens in the frame", "c c uc c"),
    Act("read the left lens in the frame: the axis is off", "c c uuuuuuc c"),
    Act("go on past the warning, measure the PD", "c uc"),
];

/// Its left lens, made again.
pub(super) const REMADE_LEFT: &[Act] = &[
    Act("read the new left lens, mark it", "cccc c"),
    Act("size it: touch, fits; bevel its edges", "r d c"),
];

/// The hand reaches for a size past the fit: choose to grind the left lens again, lower the size, take it.
pub(super) const REACH: Act = Act("reach for a smaller size all the same", "C ddddd c c d c");

/// Back from the guard, past the grinding, and on along the line.
pub(super) const AFTER_REACH: &[Act] = &[
    Act("think better of it", "c u c L"),
    Act("read the left lens in the frame", "c c uc c"),
    Act("measure the PD", "c"),
    Act("look both lenses and the frame over: all good", "r"),
];
