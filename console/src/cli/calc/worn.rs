//! Lenses as they are made and worn: with a thickness, at a distance from the eye, tilted before it.

use super::lens::lens_answer;
use crate::cli::arguments::{self, Rx};
use crate::cli::{Failure, Report, answer};
use crate::view::Figure;
use bevelbook_core::prescription::{SpectacleMagnification, ThickLens, VergenceError};
use bevelbook_core::units::{Angle, Axis, Length, Power, RefractiveIndex};
use clap::Args;

/// Give the lens that has the same effect at another distance from the eye.
///
/// Each principal power F becomes F/(1 - dF), d being the distance by which it is nearer the eye; the axis stays.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc vertex \"-12.00 -1.00 x 20\" --from 12 --to 14")]
pub(crate) struct Vertex {
    #[command(flatten)]
    rx: Rx,
    /// Distance from the eye at which the prescription holds.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    from: Length,
    /// Distance from the eye at which the lens is worn; 0 is at the eye.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    to: Length,
}

pub(super) fn vertex(asked: &Vertex) -> Result<Report, Failure> {
    let moved = asked.rx.lens.moved_toward_eye(asked.from - asked.to);
    moved.map(lens_answer).map_err(|error| match error {
        // The way from the eye has a sign, which nobody typed.
        VergenceError::FocusWithin { power, distance } => {
            Failure::wrong(VergenceError::FocusWithin { power, distance: distance.abs() })
        }
        beyond => Failure::wrong(beyond),
    })
}

/// Give the power that a tilted lens has along the line of sight.
///
/// By Martin's formulas, S(1 + sin² a/2n) with a cylinder of that times tan² a; good for small tilts, and refused
/// beyond 30 degrees.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc tilt \"+15.00 DS\" --by 10 --index 1.498")]
pub(crate) struct Tilt {
    #[command(flatten)]
    rx: Rx,
    /// Angle of the tilt in degrees, to either side.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle)]
    by: Angle,
    /// Axis that the lens is tilted about: 180 for pantoscopic tilt, 90 for wrap.
    #[arg(long, value_name = "DEG", value_parser = arguments::axis, default_value = "180")]
    about: Axis,
    /// Refractive index of the lens.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
}

pub(super) fn tilt(asked: &Tilt) -> Result<Report, Failure> {
    let tilted = asked.rx.lens.tilted(asked.by, asked.about, asked.index);
    tilted.map(lens_answer).map_err(Failure::wrong)
}

/// Give how much larger the eye sees through a lens than without it: shape factor, power factor, both together.
///
/// 1 is the same size. The shape factor is 1/(1 - (t/n)F1), the power factor 1/(1 - dFv).
#[derive(Args)]
#[command(
    after_help = "Example: bevelbook calc magnify --bvp +4.00 --front +8.00 --centre 4 --index 1.498 --vertex 15"
)]
pub(crate) struct Magnify {
    /// Back vertex power, with its sign.
    #[arg(long, value_name = "D", value_parser = arguments::power)]
    bvp: Power,
    /// Power of the front surface; without a sign it is plus.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    front: Power,
    /// Centre thickness.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    centre: Length,
    /// Refractive index of the lens.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
    /// Distance from the back of the lens to the eye; more exactly, to its entrance pupil.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    vertex: Length,
}

pub(super) fn magnify(asked: &Magnify) -> Result<Report, Failure> {
    let seen = SpectacleMagnification::of(asked.bvp, asked.front, asked.centre, asked.index, asked.vertex)
        .map_err(Failure::wrong)?;
    let ratio = |micro| f64::from(micro) / 1e6;
    let percent = (ratio(seen.total_micro) - 1.0) * 100.0;
    let size = if percent < 0.0 { "smaller" } else { "larger" };
    Ok(answer!(
        "{total:.4}, {:.2} % {size}; shape {shape:.4}, power {power:.4}", percent.abs();
        shape = ratio(seen.shape_micro),
        power = ratio(seen.power_micro),
        total = ratio(seen.total_micro),
    ))
}

/// Give the vertex powers of a lens with a thickness, from its two surfaces.
///
/// The back vertex power is what the focimeter shows with the back of the lens on its stop, and what an order means.
#[derive(Args)]
#[command(
    after_help = "Example: bevelbook calc backvertex --front +3.00 --back -8.50 --centre 2.2 --index 1.498"
)]
pub(crate) struct Backvertex {
    /// Power of the front surface; without a sign it is plus.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    front: Power,
    /// Power of the back surface, with its sign.
    #[arg(long, value_name = "D", value_parser = arguments::power)]
    back: Power,
    /// Centre thickness.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    centre: Length,
    /// Refractive index of the lens.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
}

pub(super) fn backvertex(asked: &Backvertex) -> Result<Report, Failure> {
    let lens = ThickLens { front: asked.front, back: asked.back, centre: asked.centre, index: asked.index };
    Ok(answer!(
        "back vertex {back_d:#}, front vertex {front_d:#}";
        front_d = Figure::from(lens.front_vertex().map_err(Failure::wrong)?),
        back_d = Figure::from(lens.back_vertex().map_err(Failure::wrong)?),
    ))
}
