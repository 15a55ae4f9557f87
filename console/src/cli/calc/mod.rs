//! `calc`: the core's calculations, one command each.
//!
//! A calculation is its arguments and a function to its answer, which says itself to people and to programs. What goes
//! with what is declared with the arguments. A prescription is one quoted argument. JSON numbers are not rounded to a
//! display step; every field name ends in its unit, and what does not exist (the axis of a sphere) is `null`.

mod blank;
mod curve;
mod frame;
mod girth;
mod lens;
mod prism;
mod shape;
mod thickness;
mod tolerance;
mod way;
mod worn;

use super::shop::Shop;
use super::{Failure, Report};
use clap::Subcommand;

#[derive(Subcommand)]
pub(crate) enum CalcCommand {
    Transpose(lens::Transpose),
    Vector(lens::Vector),
    Meridian(lens::AlongMeridian),
    Combine(lens::Combine),
    Residual(lens::Residual),
    Reading(lens::FromLines),
    Prism(prism::Prism),
    Imbalance(prism::Imbalance),
    Vertex(worn::Vertex),
    Tilt(worn::Tilt),
    Magnify(worn::Magnify),
    Backvertex(worn::Backvertex),
    Decentre(frame::Decentre),
    Blank(blank::Blank),
    Segment(frame::PlaceSegment),
    Girth(girth::MeasureGirth),
    Thickness(thickness::SolveThickness),
    Sag(curve::Sag),
    Curve(curve::Curve),
    Tolerance(tolerance::Tolerance),
}

pub(crate) fn run(shop: &Shop, command: &CalcCommand) -> Result<Report, Failure> {
    match command {
        CalcCommand::Transpose(asked) => lens::transpose(asked),
        CalcCommand::Vector(asked) => lens::vector(asked),
        CalcCommand::Meridian(asked) => lens::meridian(asked),
        CalcCommand::Combine(asked) => lens::combine(asked),
        CalcCommand::Residual(asked) => lens::residual(asked),
        CalcCommand::Reading(asked) => lens::reading(asked),
        CalcCommand::Prism(asked) => prism::prism(asked),
        CalcCommand::Imbalance(asked) => prism::imbalance(asked),
        CalcCommand::Vertex(asked) => worn::vertex(asked),
        CalcCommand::Tilt(asked) => worn::tilt(asked),
        CalcCommand::Magnify(asked) => worn::magnify(asked),
        CalcCommand::Backvertex(asked) => worn::backvertex(asked),
        CalcCommand::Decentre(asked) => frame::decentre(asked),
        CalcCommand::Blank(asked) => blank::blank(asked),
        CalcCommand::Segment(asked) => frame::segment(asked),
        CalcCommand::Girth(asked) => girth::girth(asked),
        CalcCommand::Thickness(asked) => thickness::thickness(asked),
        CalcCommand::Sag(asked) => curve::sag(asked),
        CalcCommand::Curve(asked) => curve::curve(asked),
        CalcCommand::Tolerance(asked) => tolerance::tolerance(shop, asked),
    }
}
