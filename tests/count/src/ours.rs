//! The core's own calculations, and the cases that every peer is run over.

use crate::Counter;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::maths::{atan2, sin_cos, sqrt_nearest};
use bevelbook_core::prescription::{Eye, EyeOrder, LensPoint, SphereCylinder, combine};
use bevelbook_core::tolerance::{
    Design, EyeReading, Limits, Look, PairMeasured, PairOrder, Standard, Thinning, judge_pair,
};
use bevelbook_core::units::{Angle, Axis, Length, Power, PrismPair};
use core::hint::black_box;

/// The point of a lens at which prism is taken: in and up, µm.
pub const POINT: [i32; 2] = [-2500, 8000];

/// One input, in thousandths of the units.
#[derive(Clone, Copy)]
pub struct Case {
    /// Never a whole degree.
    pub angle: i32,
    /// Sphere, cylinder and axis of two lenses.
    pub lenses: [[i32; 3]; 2],
    /// What is read of them.
    pub readings: [[i32; 3]; 2],
    /// Whether the pair is within; all are but every fifteenth.
    pub holds: bool,
}

impl Case {
    pub const fn of(input: i32) -> Self {
        let lenses = [Self::lens(input), Self::lens(59 - input)];
        let holds = input % 15 != 14;
        let off = if holds { 50 } else { 140 };
        let [[s1, c1, a1], [s2, c2, a2]] = lenses;
        let readings = [[s1 + off, c1, a1], [s2 + off, c2, a2]];
        Self { angle: input * 5977 + 123, lenses, readings, holds }
    }

    const fn lens(input: i32) -> [i32; 3] {
        [-4000 + input * 125, -250 - input * 25, 1000 + input * 3000]
    }

    fn pair(&self) -> (PairOrder, PairMeasured) {
        let millimetres = Length::from_milli;
        let pd = PupillaryDistance::Monocular { right: millimetres(31_500), left: millimetres(31_000) };
        let read =
            |at: [i32; 3]| EyeReading { prism: Some(PrismPair::NONE), ..EyeReading::of_power(lens(at)) };
        let eyes = self.lenses.map(|at| EyeOrder::single_vision(lens(at)));
        let order = PairOrder { eyes, pd, segment_heights: None, thinning: Thinning::NONE };
        let measured =
            PairMeasured { eyes: self.readings.map(read), pd: Some(pd), segment_heights: [None; 2] };
        (order, measured)
    }
}

fn lens([sphere, cylinder, axis]: [i32; 3]) -> SphereCylinder {
    SphereCylinder::new(Power::from_milli(sphere), Power::from_milli(cylinder), Axis::from_milli(axis))
}

pub fn count(counter: &mut Counter) {
    let first = |i| lens(Case::of(i).lenses[0]);
    counter.row("ours: sine and cosine, whole degree", |i| i * 6000, |at| sin_cos(Angle::from_milli(*at)));
    counter.row(
        "ours: sine and cosine, any angle",
        |i| Case::of(i).angle,
        |at| sin_cos(Angle::from_milli(*at)),
    );
    counter.row("ours: square root of 64 bits", |i| 1 + i as u64 * 77_777_777_777, |at| sqrt_nearest(*at));
    counter.row("ours: direction of a point", |i| i64::from(i * 30_011 - 700_001), |y| atan2(*y, 1_000_003));
    counter.row("ours: power in a meridian", first, |lens| lens.meridian(Angle::from_degrees(90)));
    let point = LensPoint { inward: Length::from_milli(POINT[0]), up: Length::from_milli(POINT[1]) };
    counter.row("ours: prism at a point", first, |lens| lens.prism_at(Eye::Right, point));
    counter.row("ours: two lenses combined", |i| Case::of(i).lenses.map(lens), |lenses| combine(*lenses));
    let pair = |i| Case::of(i).pair();
    for standard in [Standard::AnsiZ801_2015, Standard::Iso21987_2017] {
        let limits = |order: &PairOrder| Limits::of(standard, Design::SingleVision, order);
        let with_limits = |i| {
            let (order, measured) = pair(i);
            (limits(&order), order, measured)
        };
        let within = |(order, measured): &(PairOrder, PairMeasured)| {
            limits(order).pair(order, measured) == Look::Within
        };
        if standard == Standard::AnsiZ801_2015 {
            counter.check("ours", |i| within(&pair(i)) == Case::of(i).holds);
        }
        counter.row(format_args!("ours: verdict of a pair, {standard}"), pair, within);
        counter.row("... by limits that are at hand", with_limits, |(limits, order, measured)| {
            limits.pair(order, measured)
        });
        counter.row("... with its findings", pair, |(order, measured)| {
            black_box(&judge_pair(standard, Design::SingleVision, order, measured)).verdict()
        });
    }
}
