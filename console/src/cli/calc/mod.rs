//! `calc`: the core's calculations, one command each.
//!
//! A prescription is one quoted argument. JSON numbers are not rounded to a display step; every field name ends
//! in its unit, and what does not exist (the axis of a sphere) is `null`.

mod blank;
mod curve;
mod frame;
mod girth;
mod lens;
mod point;
mod prism;
mod shape;
mod thickness;
mod tolerance;
mod worn;

use super::shop::Shop;
use super::{Failure, Report};
use clap::Subcommand;

#[derive(Subcommand)]
pub(crate) enum CalcCommand {
    Transpose(lens::Transpose),
    Vector(lens::Vector),
    Meridian(lens::Meridian),
    Combine(lens::Combine),
    Residual(lens::Residual),
    Reading(lens::Reading),
    Prism(prism::Prism),
    Imbalance(prism::Imbalance),
    Vertex(worn::Vertex),
    Tilt(worn::Tilt),
    Magnify(worn::Magnify),
    Backvertex(worn::BackVertex),
    Decentre(frame::Decentre),
    Blank(blank::Blank),
    Segment(frame::Segment),
    Girth(girth::Girth),
    Thickness(thickness::Thickness),
    Sag(curve::Sag),
    Curve(curve::Curve),
    Tolerance(tolerance::Tolerance),
}

pub(crate) fn run(shop: &Shop, command: CalcCommand) -> Result<Report, Failure> {
    match command {
        CalcCommand::Transpose(asked) => asked.answer(),
        CalcCommand::Vector(asked) => asked.answer(),
        CalcCommand::Meridian(asked) => asked.answer(),
        CalcCommand::Combine(asked) => asked.answer(),
        CalcCommand::Residual(asked) => asked.answer(),
        CalcCommand::Reading(asked) => Ok(asked.answer()),
        CalcCommand::Prism(asked) => asked.answer(),
        CalcCommand::Imbalance(asked) => asked.answer(),
        CalcCommand::Vertex(asked) => asked.answer(),
        CalcCommand::Tilt(asked) => asked.answer(),
        CalcCommand::Magnify(asked) => asked.answer(),
        CalcCommand::Backvertex(asked) => asked.answer(),
        CalcCommand::Decentre(asked) => Ok(asked.answer()),
        CalcCommand::Blank(asked) => asked.answer(),
        CalcCommand::Segment(asked) => asked.answer(),
        CalcCommand::Girth(asked) => asked.answer(),
        CalcCommand::Thickness(asked) => asked.answer(),
        CalcCommand::Sag(asked) => asked.answer(),
        CalcCommand::Curve(asked) => asked.answer(),
        CalcCommand::Tolerance(asked) => asked.answer(shop),
    }
}
