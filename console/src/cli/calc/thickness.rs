//! Thickness of a lens with a spherical front and the back surface that its back vertex power asks for.

use crate::cli::arguments::{self, Unquoted};
use crate::cli::figures::millimetres;
use crate::cli::{Failure, Report};
use bevelbook_core::lens::{LensError, LensForm, Place, ToricForm};
use bevelbook_core::prescription::SphereCylinder;
use bevelbook_core::units::{Angle, Axis, Length, Power, RefractiveIndex};
use clap::Args;
use serde_json::json;

/// Give the thickness of a lens in its optical centre and at a distance from it, from one of the two.
///
/// The back surface is worked out exactly from the back vertex power, the front curve and the centre thickness; between
/// the principal meridians it is taken as a tyre. Surfaces are spherical or toric: an aspheric lens is flatter.
#[derive(Args)]
#[command(after_help = "Examples:\n\
        \x20 bevelbook calc thickness \"-4.00 DS\" --front +4.00 --index 1.498 --centre 2 --at 25\n\
        \x20 bevelbook calc thickness \"+2.00 -1.50 x 30\" --front 6 --index 1.6 --edge 1 --at 28 --meridian 120")]
pub(crate) struct Thickness {
    /// Prescription, in quotes: the back vertex power.
    #[arg(value_name = "RX", value_parser = arguments::lens)]
    rx: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Power of the spherical front surface in this material.
    #[arg(long, value_name = "D", value_parser = arguments::surface)]
    front: Power,
    /// Refractive index of the material.
    #[arg(long, value_name = "N", value_parser = arguments::index)]
    index: RefractiveIndex,
    /// Thickness in the optical centre; the edge is answered.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    centre: Option<Length>,
    /// Thickness at the edge; the centre is answered.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    edge: Option<Length>,
    /// Distance of the edge from the optical centre.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    at: Length,
    /// Meridian along which the edge lies, 0 to 360 degrees; a lens with a cylinder needs it.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle)]
    meridian: Option<Angle>,
}

impl Thickness {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        self.unquoted.refuse()?;
        let wrong = |text: &str| Err(Failure::Use(text.to_owned()));
        if self.meridian.is_none() && !self.rx.cylinder.is_zero() {
            return wrong(
                "a lens with a cylinder is not as thick in each meridian; say which one, for example --meridian 180",
            );
        }
        let meridian = self.meridian.unwrap_or(Angle::ZERO);
        let (form, place) = self.turned(meridian);
        let (centre, edge) = match (self.centre, self.edge) {
            (Some(centre), None) => {
                let lens = form.lens(centre).map_err(|error| self.failure(error))?;
                let edge = lens.thickness(place).map_err(|error| self.failure(error))?;
                if edge <= Length::ZERO {
                    return Err(Failure::Use(format!(
                        "the surfaces meet before {} mm: {edge} mm are left there; give a thicker --centre, or --edge 1 to \
                         learn which one",
                        self.at
                    )));
                }
                (centre, edge)
            }
            (None, Some(edge)) => {
                (form.centre_for_edge(edge, place).map_err(|error| self.failure(error))?, edge)
            }
            (Some(_), Some(_)) => {
                return wrong(
                    "--centre and --edge decide each other; give one: --centre 2 for the edge, or --edge 1 for the centre",
                );
            }
            (None, None) => {
                return wrong("no thickness: give --centre 2 for the edge, or --edge 1 for the centre");
            }
        };
        let along = self.meridian.map_or(String::new(), |meridian| format!(" along {meridian}°"));
        let text = format!("centre {centre} mm, edge {edge} mm at {} mm{along}", self.at);
        Ok(Report::new(text, json!({ "centre_mm": millimetres(centre), "edge_mm": millimetres(edge) })))
    }

    /// The lens turned until the meridian lies level, and the edge there: no coordinate is rounded.
    fn turned(&self, meridian: Angle) -> (LensForm, Place) {
        let axis = Axis::from_milli(self.rx.axis.milli() - meridian.milli());
        let power = SphereCylinder { axis, ..self.rx };
        let form = LensForm { power, front: self.front, index: self.index, toric: ToricForm::Tyre };
        (form, Place::new(self.at, Length::ZERO))
    }

    /// As the lens was asked for, not as it was turned.
    fn failure(&self, error: LensError) -> Failure {
        Failure::Use(match error {
            LensError::Beyond { side, .. } => {
                format!(
                    "the {side} surface ends before --at {} mm: it is too steep; give a shorter distance or another --front",
                    self.at
                )
            }
            LensError::Far(_) => {
                format!("--at {} mm lies outside any lens; give at most {} mm", self.at, Place::FARTHEST)
            }
            error => error.to_string(),
        })
    }
}
