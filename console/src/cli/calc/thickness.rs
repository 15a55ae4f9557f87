//! Thickness of a lens with a spherical front and the back surface that its back vertex power asks for.

use crate::cli::arguments::{self, Rx};
use crate::cli::{Failure, Report, answer};
use crate::view::Figure;
use bevelbook_core::lens::{LensError, LensForm, Place, ToricForm, Wedge};
use bevelbook_core::prescription::SphereCylinder;
use bevelbook_core::units::{Angle, Axis, Length, Power, Prism, RefractiveIndex};
use clap::{ArgGroup, Args};

/// Give the thickness of a lens at its centre dot and at a distance from it, from one of the two.
///
/// The prescription is the back vertex power; the back surface is worked out exactly from it, the front curve and the
/// centre thickness. Between the principal meridians it is taken as a tyre. Surfaces are spherical or toric: an aspheric
/// lens is flatter. A lens with prism is as it is ground: centred on the dot, its back surface tilted.
#[derive(Args)]
#[command(
    after_help = "Examples:\n\
        \x20 bevelbook calc thickness \"-4.00 DS\" --front +4.00 --index 1.498 --centre 2 --at 25\n\
        \x20 bevelbook calc thickness \"+2.00 -1.50 x 30\" --front 6 --index 1.6 --edge 1 --at 28 --meridian 120\n\
        \x20 bevelbook calc thickness pl --prism 3 --front 6 --index 1.498 --centre 3 --at 25",
    group(ArgGroup::new("known").required(true).args(["centre", "edge"]))
)]
pub(crate) struct SolveThickness {
    #[command(flatten)]
    rx: Rx,
    /// Power of the spherical front surface in this material.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    front: Power,
    /// Refractive index of the material.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
    /// Prism at the dot with its base toward the edge; with a minus, away from it.
    #[arg(long, value_name = "PD", value_parser = toward_edge, default_value = "0", hide_default_value = true)]
    prism: Prism,
    /// Thickness at the centre dot, without prism the optical centre; gives the edge.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    centre: Option<Length>,
    /// Thickness at the edge; gives the centre.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    edge: Option<Length>,
    /// Distance of the edge from the dot.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    at: Length,
    /// Meridian along which the edge lies, 0 to 360 degrees; a lens with a cylinder needs it.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle)]
    meridian: Option<Angle>,
}

/// An amount of prism, with a minus away from the edge.
fn toward_edge(text: &str) -> Result<Prism, String> {
    let (minus, amount) = text.strip_prefix(['-', '−']).map_or((1, text), |amount| (-1, amount));
    const EXPECTED: &str = "an amount of prism, at most 100";
    let milli = arguments::thousandths(amount, Prism::LIMIT, &["Δ", "pd"], EXPECTED, "2.5")?;
    Ok(Prism::from_milli(minus * milli))
}

pub(super) fn thickness(asked: &SolveThickness) -> Result<Report, Failure> {
    if asked.meridian.is_none() && !asked.rx.lens.cylinder.is_zero() {
        return Err(Failure::wrong(
            "a lens with a cylinder is not as thick in each meridian; say which one, for example --meridian 180",
        ));
    }
    let [centre, edge] = asked.solved()?;
    let along = asked.meridian.map_or(String::new(), |meridian| format!(" along {meridian}°"));
    Ok(answer!(
        "centre {centre_mm:#}, edge {edge_mm:#} at {} mm{along}", asked.at;
        centre_mm = Figure::from(centre),
        edge_mm = Figure::from(edge),
    ))
}

impl SolveThickness {
    /// Centre and edge, one of them as given.
    fn solved(&self) -> Result<[Length; 2], Failure> {
        let (form, place) = self.turned();
        let failed = |error| self.failure(error);
        let Some(centre) = self.centre else {
            let edge = self.edge.unwrap_or_default();
            return Ok([form.centre_for_edge(edge, place).map_err(failed)?, edge]);
        };
        let edge = form.lens(centre).and_then(|lens| lens.thickness(place)).map_err(failed)?;
        if edge > Length::ZERO {
            return Ok([centre, edge]);
        }
        let at = self.at;
        Err(Failure::Use(format!(
            "the surfaces meet before {at} mm: {edge} mm are left there; give a thicker --centre, or --edge 1 to learn \
             which one"
        )))
    }

    /// The lens turned until the meridian lies level, and the edge there: no coordinate is rounded.
    fn turned(&self) -> (LensForm, Place) {
        let meridian = self.meridian.unwrap_or_default();
        let axis = Axis::from_milli(self.rx.lens.axis.milli() - meridian.milli());
        let power = SphereCylinder { axis, ..self.rx.lens };
        let prism = Wedge { right: self.prism, up: Prism::ZERO };
        let form = LensForm { power, prism, front: self.front, index: self.index, toric: ToricForm::Tyre };
        (form, Place::new(self.at, Length::ZERO))
    }

    /// As the lens was asked for, not as it was turned.
    fn failure(&self, error: LensError) -> Failure {
        let at = self.at;
        Failure::Use(match error {
            LensError::Beyond { side, .. } => {
                format!(
                    "the {side} surface ends before --at {at} mm: give a shorter distance or another --front"
                )
            }
            LensError::Far(_) => {
                format!("--at {at} mm lies outside any lens; give at most {} mm", Place::FARTHEST)
            }
            error => error.to_string(),
        })
    }
}
