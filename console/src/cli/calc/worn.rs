//! Lenses as they are made and worn: with a thickness, at a distance from the eye, tilted before it.

use super::lens::lens_report;
use crate::cli::arguments::{self, Unquoted};
use crate::cli::figures::dioptres;
use crate::cli::{Failure, Report};
use bevelbook_core::prescription::{SpectacleMagnification, SphereCylinder, ThickLens, VergenceError};
use bevelbook_core::units::{Angle, Axis, Length, Power, RefractiveIndex};
use clap::Args;
use serde_json::json;

/// Give the lens that has the same effect at another distance from the eye.
///
/// Each principal power F becomes F/(1 - dF), d being the way toward the eye; the axis stays.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc vertex \"-12.00 -1.00 x 20\" --from 12 --to 14")]
pub(crate) struct Vertex {
    /// Prescription, in quotes.
    #[arg(value_name = "RX", value_parser = arguments::lens)]
    rx: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Distance from the eye at which the prescription holds.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    from: Length,
    /// Distance from the eye at which the lens is worn; 0 is at the eye.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    to: Length,
}

impl Vertex {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        self.unquoted.refuse()?;
        let moved = self.rx.moved_toward_eye(self.from - self.to).map_err(|error| match error {
            VergenceError::FocusWithin { power, distance } => Failure::Use(format!(
                "the focus of {power} D lies within the {} mm from --from to --to, where no lens has the same \
                 effect; check the distances, for example --from 12 --to 14",
                distance.abs()
            )),
            beyond => impossible(beyond),
        })?;
        Ok(lens_report(moved))
    }
}

fn impossible(error: VergenceError) -> Failure {
    Failure::Use(error.to_string())
}

/// Give the power that a tilted lens has along the line of sight.
///
/// By Martin's formulas, S(1 + sin² a/2n) with a cylinder of that times tan² a; good for small tilts, and refused
/// beyond 30 degrees.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc tilt \"+15.00 DS\" --by 10 --index 1.498")]
pub(crate) struct Tilt {
    /// Prescription, in quotes.
    #[arg(value_name = "RX", value_parser = arguments::lens)]
    rx: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Angle of the tilt in degrees, to either side.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle)]
    by: Angle,
    /// Axis that the lens is tilted about: 180 for pantoscopic tilt, 90 for face form.
    #[arg(long, value_name = "DEG", value_parser = arguments::axis, default_value = "180")]
    about: Axis,
    /// Refractive index of the lens.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
}

impl Tilt {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        self.unquoted.refuse()?;
        let tilted = self.rx.tilted(self.by, self.about, self.index);
        tilted.map(lens_report).map_err(|error| Failure::Use(error.to_string()))
    }
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

impl Magnify {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        let seen = SpectacleMagnification::of(self.bvp, self.front, self.centre, self.index, self.vertex)
            .map_err(impossible)?;
        let [shape, power, total] =
            [seen.shape_micro, seen.power_micro, seen.total_micro].map(|micro| f64::from(micro) / 1e6);
        let percent = (total - 1.0) * 100.0;
        let size = if percent < 0.0 { "smaller" } else { "larger" };
        let text = format!("{total:.4}, {:.2} % {size}; shape {shape:.4}, power {power:.4}", percent.abs());
        Ok(Report::new(text, json!({ "shape": shape, "power": power, "total": total })))
    }
}

/// Give the vertex powers of a lens with a thickness, from its two surfaces.
///
/// The back vertex power is what the focimeter shows with the back of the lens on its stop, and what an order means.
#[derive(Args)]
#[command(
    after_help = "Example: bevelbook calc backvertex --front +3.00 --back -8.50 --centre 2.2 --index 1.498"
)]
pub(crate) struct BackVertex {
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

impl BackVertex {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        let lens = ThickLens { front: self.front, back: self.back, centre: self.centre, index: self.index };
        let front = lens.front_vertex().map_err(impossible)?;
        let back = lens.back_vertex().map_err(impossible)?;
        let json = json!({ "front_d": dioptres(front), "back_d": dioptres(back) });
        Ok(Report::new(format!("back vertex {back} D, front vertex {front} D"), json))
    }
}
