//! The same in floating point and by other libraries.

use crate::ours::lens;
use crate::{Counter, odd_angle};
use core::f64::consts::PI;

/// A lens in double precision: sphere, cylinder, axis in radians.
fn double(input: i32) -> [f64; 3] {
    let lens = lens(input);
    let milli = |value: i32| f64::from(value) / 1000.0;
    [milli(lens.sphere.milli()), milli(lens.cylinder.milli()), milli(lens.axis.milli()) * PI / 180.0]
}

fn meridian([sphere, cylinder, axis]: [f64; 3], at: f64) -> f64 {
    let sine = libm::sin(at - axis);
    sphere + cylinder * sine * sine
}

fn combined(lenses: [[f64; 3]; 2]) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for [sphere, cylinder, axis] in lenses {
        let (sin, cos) = libm::sincos(2.0 * axis);
        sum[0] += sphere + cylinder / 2.0;
        sum[1] -= cylinder / 2.0 * cos;
        sum[2] -= cylinder / 2.0 * sin;
    }
    let half = libm::sqrt(sum[1] * sum[1] + sum[2] * sum[2]);
    [sum[0] + half, -2.0 * half, libm::atan2(sum[2], sum[1]) / 2.0]
}

/// Power, cylinder, axis of both eyes, vertical and horizontal of the pair, each against its limit: what a verdict of
/// a single-vision pair comes to, without any word about it.
fn verdict(pair: [[f64; 3]; 2]) -> [bool; 8] {
    let read = pair.map(|[sphere, cylinder, axis]| [sphere + 0.05, cylinder, axis]);
    let mut held = [false; 8];
    let mut strong = [0.0_f64; 2];
    for (eye, (ordered, read)) in pair.into_iter().zip(read).enumerate() {
        let limit = if libm::fabs(ordered[0]) <= 6.5 { 0.13 } else { 0.02 * libm::fabs(ordered[0]) };
        held[eye] = libm::fabs(read[0] - ordered[0]) <= limit;
        let size = libm::fabs(ordered[1]);
        let limit = if size <= 2.0 { 0.13 } else if size <= 4.5 { 0.15 } else { 0.04 * size };
        held[2 + eye] = libm::fabs(read[1] - ordered[1]) <= limit;
        let degrees = if size <= 0.25 { 14.0 } else if size <= 0.5 { 7.0 } else if size <= 0.75 { 5.0 } else { 3.0 };
        let turn = libm::fabs(libm::remainder(read[2] - ordered[2], PI));
        held[4 + eye] = turn <= degrees * PI / 180.0;
        strong[0] = libm::fmax(strong[0], libm::fabs(meridian(ordered, PI / 2.0)));
        strong[1] = libm::fmax(strong[1], libm::fabs(meridian(ordered, 0.0)));
    }
    held[6] = 0.0 <= if strong[0] <= 3.375 { 0.33 } else { 0.1 * strong[0] };
    held[7] = 0.0 <= if strong[1] <= 2.75 { 0.67 } else { 2.5 };
    held
}

pub fn count(counter: &mut Counter) {
    let radians = |i: i32| f64::from(odd_angle(i)) * PI / 180_000.0;
    let inputs: [f64; 60] = core::array::from_fn(|i| radians(i as i32));
    let singles = inputs.map(|angle| angle as f32);
    let place = |i: i32| (i as usize).min(59);
    counter.row("libm f64: sine and cosine", |i| libm::sincos(inputs[place(i)]));
    counter.row("libm f32: sine and cosine", |i| libm::sincosf(singles[place(i)]));
    counter.row("micromath: sine and cosine", |i| {
        let angle = singles[place(i)];
        (micromath::F32Ext::sin(angle), micromath::F32Ext::cos(angle))
    });
    counter.row("idsp: sine and cosine", |i| idsp::cossin(i.wrapping_mul(71_582_789)));
    counter.row("libm f64: square root", |i| libm::sqrt(1.0 + inputs[place(i)]));
    counter.row("libm f32: square root", |i| libm::sqrtf(1.0 + singles[place(i)]));
    counter.row("micromath: square root", |i| micromath::F32Ext::sqrt(1.0 + singles[place(i)]));
    counter.row("libm f64: direction of a point", |i| libm::atan2(inputs[place(i)] - 1.0, 1.5));
    counter.row("libm f32: direction of a point", |i| libm::atan2f(singles[place(i)] - 1.0, 1.5));
    counter.row("micromath: direction of a point", |i| micromath::F32Ext::atan2(singles[place(i)] - 1.0, 1.5));
    counter.row("idsp: direction of a point", |i| idsp::atan2(i.wrapping_mul(31_582_789), 1 << 30));
    let lenses: [[f64; 3]; 60] = core::array::from_fn(|i| double(i as i32));
    counter.row("libm f64: power in a meridian", |i| meridian(lenses[place(i)], PI / 2.0));
    counter.row("libm f64: two lenses combined", |i| combined([lenses[place(i)], lenses[place(59 - i)]]));
    counter.row("libm f64: verdict of a pair", |i| verdict([lenses[place(i)], lenses[place(59 - i)]]));
}
