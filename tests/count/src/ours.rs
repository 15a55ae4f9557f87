//! The core's own calculations.

use crate::{Counter, odd_angle};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::maths::{atan2, sin_cos, sqrt_nearest};
use bevelbook_core::prescription::{EyeOrder, SphereCylinder, combine};
use bevelbook_core::tolerance::{Design, EyeReading, PairMeasured, PairOrder, Standard, judge_pair};
use bevelbook_core::units::{Angle, Axis, Length, Power, PrismPair};

/// A lens for each input.
pub fn lens(input: i32) -> SphereCylinder {
    SphereCylinder::new(
        Power::from_milli(-4000 + input * 125),
        Power::from_milli(-250 - input * 25),
        Axis::from_degrees((1 + input * 3) as i16),
    )
}

pub fn pair(input: i32) -> (PairOrder, PairMeasured) {
    let millimetres = Length::from_milli;
    let pd = PupillaryDistance::Monocular { right: millimetres(31_500), left: millimetres(31_000) };
    let eyes = [lens(input), lens(59 - input)];
    let read = |lens: SphereCylinder| EyeReading {
        prism: Some(PrismPair::NONE),
        ..EyeReading::of_power(SphereCylinder::new(lens.sphere + Power::from_milli(50), lens.cylinder, lens.axis))
    };
    let order = PairOrder { eyes: eyes.map(EyeOrder::single_vision), pd, segment_heights: None };
    let measured = PairMeasured { eyes: eyes.map(read), pd: Some(pd), segment_heights: [None; 2] };
    (order, measured)
}

pub fn count(counter: &mut Counter) {
    counter.row("ours: sine and cosine, whole degree", |i| sin_cos(Angle::from_milli(i * 6000)));
    counter.row("ours: sine and cosine, any angle", |i| sin_cos(Angle::from_milli(odd_angle(i))));
    counter.row("ours: square root of 64 bits", |i| sqrt_nearest(1 + i as u64 * 77_777_777_777));
    counter.row("ours: direction of a point", |i| atan2(i64::from(i * 30_011 - 700_001), 1_000_003));
    counter.row("ours: power in a meridian", |i| lens(i).meridian(Angle::from_degrees(90)));
    counter.row("ours: two lenses combined", |i| combine([lens(i), lens(59 - i)]));
    counter.row("ours: verdict of a pair", |i| {
        let (order, measured) = pair(i);
        judge_pair(Standard::AnsiZ801_2015, Design::SingleVision, &order, &measured)
    });
    counter.row("ours: (a pair made up, without its verdict)", pair);
}
