//! The same in floating point and by other libraries.
//!
//! Each peer is written with care: no division where a product does, its inputs ready in its own type. Its verdict is
//! counted twice: with one sine for both meridians of a lens, as ours has it, and with one for each. Both give answers and
//! no words; ours also with its findings, which make their words when they are shown.

use crate::Counter;
use crate::ours::{Case, POINT};

/// The calculations in one floating-point type, on the functions of one library.
macro_rules! peer {
    ($name:ident, $label:literal, $float:ident, $sin:expr, $sin_cos:expr, $sqrt:expr, $atan2:expr) => {
        mod $name {
            use super::{Case, Counter, POINT};
            use core::$float::consts::PI;

            /// Sphere, cylinder, axis in radians.
            type Lens = [$float; 3];

            const fn thousandths(milli: i32) -> $float {
                milli as $float / 1000.0
            }

            fn magnitude(value: $float) -> $float {
                if value < 0.0 { -value } else { value }
            }

            fn larger(one: $float, other: $float) -> $float {
                if one < other { other } else { one }
            }

            fn meridian([sphere, cylinder, axis]: Lens, at: $float) -> $float {
                let sin = $sin(at - axis);
                sphere + cylinder * sin * sin
            }

            /// Along and across the horizontal, each by its own sine.
            fn plainly(lens: Lens) -> [$float; 2] {
                [meridian(lens, 0.0), meridian(lens, PI / 2.0)]
            }

            /// The same by one sine, as ours does it.
            fn shortly([sphere, cylinder, axis]: Lens) -> [$float; 2] {
                let sin = $sin(axis);
                let part = cylinder * sin * sin;
                [sphere + part, sphere + cylinder - part]
            }

            /// Base in and base up of a right lens, p = -F·r.
            fn prism([sphere, cylinder, axis]: Lens, [x, y]: [$float; 2]) -> [$float; 2] {
                let (sin, cos) = $sin_cos(axis);
                let crossed = -cylinder * sin * cos;
                let (xx, yy) = (sphere + cylinder * sin * sin, sphere + cylinder * cos * cos);
                [-(xx * x + crossed * y), -(crossed * x + yy * y)]
            }

            fn combined(lenses: [Lens; 2]) -> Lens {
                let [mut m, mut j0, mut j45] = [0.0; 3];
                for [sphere, cylinder, axis] in lenses {
                    let (sin, cos) = $sin_cos(2.0 * axis);
                    let half = cylinder * 0.5;
                    m += sphere + half;
                    j0 -= half * cos;
                    j45 -= half * sin;
                }
                let crossed = $sqrt(j0 * j0 + j45 * j45);
                [m + crossed, -2.0 * crossed, $atan2(j45, j0) * 0.5]
            }

            /// Power, cylinder, axis of both eyes, vertical and horizontal of the pair, each against its limit: what a
            /// verdict of a single-vision pair comes to, without any word about it.
            fn verdict([ordered, read]: &[[Lens; 2]; 2], powers: impl Fn(Lens) -> [$float; 2]) -> [bool; 8] {
                let mut held = [false; 8];
                let [mut across, mut up]: [$float; 2] = [0.0; 2];
                for eye in 0..2 {
                    let ([sphere, cylinder, axis], read) = (ordered[eye], read[eye]);
                    let size = magnitude(sphere);
                    let limit = if size <= 6.5 { 0.13 } else { 0.02 * size };
                    held[eye] = magnitude(read[0] - sphere) <= limit;
                    let size = magnitude(cylinder);
                    let limit = if size <= 2.0 {
                        0.13
                    } else if size <= 4.5 {
                        0.15
                    } else {
                        0.04 * size
                    };
                    held[2 + eye] = magnitude(read[1] - cylinder) <= limit;
                    const DEGREE: $float = PI / 180.0;
                    let limit = match size {
                        _ if size <= 0.25 => 14.0 * DEGREE,
                        _ if size <= 0.5 => 7.0 * DEGREE,
                        _ if size <= 0.75 => 5.0 * DEGREE,
                        _ if size <= 1.5 => 3.0 * DEGREE,
                        _ => 2.0 * DEGREE,
                    };
                    let turn = magnitude(read[2] - axis);
                    held[4 + eye] = turn <= limit || PI - turn <= limit;
                    let [horizontal, vertical] = powers(ordered[eye]).map(magnitude);
                    across = larger(across, horizontal);
                    up = larger(up, vertical);
                }
                held[6] = 0.0 <= if up <= 3.375 { 0.33 } else { 0.1 * up };
                held[7] = 0.0 <= if across <= 2.75 { 0.67 } else { 2.5 };
                held
            }

            fn lens([sphere, cylinder, axis]: [i32; 3]) -> Lens {
                [thousandths(sphere), thousandths(cylinder), radians(axis)]
            }

            fn radians(milli: i32) -> $float {
                thousandths(milli) * PI / 180.0
            }

            pub fn count(counter: &mut Counter) {
                let angle = |i| radians(Case::of(i).angle);
                let first = |i| lens(Case::of(i).lenses[0]);
                let point = POINT.map(|milli| thousandths(milli) / 10.0);
                let pair = |i| [Case::of(i).lenses.map(lens), Case::of(i).readings.map(lens)];
                counter.row(concat!($label, ": sine and cosine"), angle, |at| $sin_cos(*at));
                counter.row(concat!($label, ": square root"), |i| 1.0 + angle(i), |square| $sqrt(*square));
                counter.row(
                    concat!($label, ": direction of a point"),
                    |i| angle(i) - 1.0,
                    |y| $atan2(*y, 1.5),
                );
                counter
                    .row(concat!($label, ": power in a meridian"), first, |lens| meridian(*lens, PI / 2.0));
                counter.row(concat!($label, ": prism at a point"), first, |lens| prism(*lens, point));
                counter.row(
                    concat!($label, ": two lenses combined"),
                    |i| pair(i)[0],
                    |lenses| combined(*lenses),
                );
                // The same verdicts as ours.
                counter.check($label, |i| {
                    let held = [verdict(&pair(i), shortly), verdict(&pair(i), plainly)];
                    held.iter().all(|held| Case::of(i).holds == held.iter().all(|held| *held))
                });
                counter.row(concat!($label, ": verdict of a pair"), pair, |pair| verdict(pair, shortly));
                counter.row(concat!($label, ": verdict of a pair, each meridian by itself"), pair, |pair| {
                    verdict(pair, plainly)
                });
            }
        }
    };
}

peer!(double, "libm f64", f64, libm::sin, libm::sincos, libm::sqrt, libm::atan2);
peer!(single, "libm f32", f32, libm::sinf, libm::sincosf, libm::sqrtf, libm::atan2f);
peer!(
    fast,
    "micromath",
    f32,
    micromath::F32Ext::sin,
    |angle| (micromath::F32Ext::sin(angle), micromath::F32Ext::cos(angle)),
    micromath::F32Ext::sqrt,
    micromath::F32Ext::atan2
);

pub fn count(counter: &mut Counter) {
    double::count(counter);
    single::count(counter);
    fast::count(counter);
    counter.row("idsp: sine and cosine", |i| i.wrapping_mul(71_582_789), |at| idsp::cossin(*at));
    counter.row("idsp: direction of a point", |i| i.wrapping_mul(31_582_789), |y| idsp::atan2(*y, 1 << 30));
}
