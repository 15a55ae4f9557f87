//! One surface: its power and radius, by a lens clock too, and its sagitta. Surfaces stand in air.

use crate::cli::figures::{dioptres, millimetres};
use crate::cli::{Failure, Report, arguments};
use bevelbook_core::lens::{
    CLOCK_INDEX_1_530, CurveError, power_from_clock, radius, sagitta_of, surface_power,
};
use bevelbook_core::units::{Length, Power, RefractiveIndex};
use clap::Args;
use serde_json::json;

fn wrong(error: CurveError) -> Failure {
    Failure::Use(error.to_string())
}

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

impl Sag {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        let sag = sagitta_of(self.power, self.index, self.at).map_err(|error| match error {
            CurveError::Beyond { radius, .. } => Failure::Use(format!(
                "--at {} lies beyond the surface, whose radius is {} mm; give at most that, as half of a diameter",
                self.at,
                radius.abs()
            )),
            error => wrong(error),
        })?;
        Ok(Report::new(format!("{sag} mm"), json!({ "sag_mm": millimetres(sag) })))
    }
}

/// Give the power and the radius of a surface, from either of them or from a lens clock.
#[derive(Args)]
#[command(
    override_usage = "bevelbook calc curve --radius MM --index N\n       \
        bevelbook calc curve --power D --index N\n       \
        bevelbook calc curve --clock D [--clock-index N] --index N",
    after_help = "Example: bevelbook calc curve --radius 84 --index 1.530\n\
        Example: bevelbook calc curve --power +5.00 --index 1.530\n\
        Example: bevelbook calc curve --clock +6.00 --clock-index 1.523 --index 1.498"
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
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    clock_index: Option<RefractiveIndex>,
    /// Refractive index of the material.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
}

impl Curve {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        const WAYS: &str = "give one of --radius 84, --power +5.00 and --clock +6.00";
        if self.clock_index.is_some() && self.clock.is_none() {
            return Err(Failure::Use(
                "--clock-index belongs to --clock, for example --clock +6.00 --clock-index 1.523".to_owned(),
            ));
        }
        let found = |power, index| match radius(power, index) {
            Err(CurveError::Flat) => Ok(None),
            found => found.map(Some),
        };
        // A clock feels the radius, whatever the lens is made of.
        let felt = self.clock_index.unwrap_or(CLOCK_INDEX_1_530);
        let (power, radius) = match (self.radius, self.power, self.clock) {
            (Some(radius), None, None) => (surface_power(radius, self.index), Ok(Some(radius))),
            (None, Some(power), None) => (Ok(power), found(power, self.index)),
            (None, None, Some(shown)) => (power_from_clock(shown, felt, self.index), found(shown, felt)),
            (None, None, None) => return Err(Failure::Use(format!("no surface: {WAYS}"))),
            _ => return Err(Failure::Use(format!("one surface is given more than once: {WAYS}"))),
        };
        let (power, radius) = (power.map_err(wrong)?, radius.map_err(wrong)?);
        let said = radius.map_or("flat".to_owned(), |radius| format!("radius {radius} mm"));
        let json = json!({ "power_d": dioptres(power), "radius_mm": radius.map(millimetres) });
        Ok(Report::new(format!("{power} D, {said}"), json))
    }
}
