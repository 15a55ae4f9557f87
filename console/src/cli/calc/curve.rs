//! One surface: its power and radius, by a lens clock too, and its sagitta. Surfaces stand in air.

use crate::cli::{Failure, Report, answer, arguments};
use crate::view::Figure;
use bevelbook_core::lens::{
    CLOCK_INDEX_1_530, CurveError, power_from_clock, radius, sagitta_of, surface_power,
};
use bevelbook_core::units::{Length, Power, RefractiveIndex};
use clap::{ArgGroup, Args};

/// Give the sagitta, the depth of a spherical surface at a distance from its axis: r - √(r² - y²), exact.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc sag --power +8.00 --index 1.530 --at 35")]
pub(crate) struct Sag {
    /// Power of the surface; the sagitta has its sign.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    power: Power,
    /// Refractive index of the material.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
    /// Distance from the axis of the surface: half of a diameter.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    at: Length,
}

pub(super) fn sag(asked: &Sag) -> Result<Report, Failure> {
    let sag = sagitta_of(asked.power, asked.index, asked.at).map_err(Failure::wrong)?;
    Ok(answer!("{sag_mm:#}"; sag_mm = Figure::from(sag)))
}

/// Give the power and the radius of a surface, from either of them or from a lens clock.
#[derive(Args)]
#[command(
    override_usage = "bevelbook calc curve --radius MM --index N\n       \
        bevelbook calc curve --power D --index N\n       \
        bevelbook calc curve --clock D [--clock-index N] --index N",
    after_help = "Example: bevelbook calc curve --radius 84 --index 1.530\n\
        Example: bevelbook calc curve --power +5.00 --index 1.530\n\
        Example: bevelbook calc curve --clock +6.00 --clock-index 1.523 --index 1.498",
    group(ArgGroup::new("surface").required(true).args(["radius", "power", "clock"]))
)]
pub(crate) struct Curve {
    /// Radius of the surface; negative for a hollow one.
    #[arg(long, value_name = "MM", value_parser = arguments::length)]
    radius: Option<Length>,
    /// Power of the surface in its material.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    power: Option<Power>,
    /// What a lens clock shows on the surface.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    clock: Option<Power>,
    /// Index that the clock is made for: 1.530 unless said; others are made for 1.523.
    #[arg(long, value_name = "N", value_parser = arguments::index, requires = "clock", conflicts_with_all = ["radius", "power"])]
    clock_index: Option<RefractiveIndex>,
    /// Refractive index of the material.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
}

pub(super) fn curve(asked: &Curve) -> Result<Report, Failure> {
    // A clock feels the radius, whatever the lens is made of.
    let felt = asked.clock_index.unwrap_or(CLOCK_INDEX_1_530);
    let (power, radius) = match (asked.radius, asked.clock) {
        (Some(radius), _) => (surface_power(radius, asked.index), Ok(radius)),
        (None, Some(shown)) => (power_from_clock(shown, felt, asked.index), radius(shown, felt)),
        (None, None) => {
            let power = asked.power.unwrap_or_default();
            (Ok(power), radius(power, asked.index))
        }
    };
    let power = power.map_err(Failure::wrong)?;
    let (radius, said) = match radius {
        Err(CurveError::Flat) => (None, "flat".to_owned()),
        found => {
            let radius = Figure::from(found.map_err(Failure::wrong)?);
            (Some(radius), format!("radius {radius:#}"))
        }
    };
    Ok(answer!("{power_d:#}, {said}"; power_d = Figure::from(power), radius_mm = radius))
}
