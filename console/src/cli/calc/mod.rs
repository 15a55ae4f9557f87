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

commands! {
    pub(crate) enum CalcCommand, run(shop: &Shop) {
        Transpose(asked: lens::Transpose) => lens::transpose(&asked),
        Vector(asked: lens::Vector) => lens::vector(&asked),
        Meridian(asked: lens::AlongMeridian) => lens::meridian(&asked),
        Combine(asked: lens::Combine) => lens::combine(&asked),
        Residual(asked: lens::Residual) => lens::residual(&asked),
        Reading(asked: lens::FromLines) => lens::reading(&asked),
        Prism(asked: prism::Prism) => prism::prism(&asked),
        Imbalance(asked: prism::Imbalance) => prism::imbalance(&asked),
        Vertex(asked: worn::Vertex) => worn::vertex(&asked),
        Tilt(asked: worn::Tilt) => worn::tilt(&asked),
        Magnify(asked: worn::Magnify) => worn::magnify(&asked),
        Backvertex(asked: worn::Backvertex) => worn::backvertex(&asked),
        Decentre(asked: frame::Decentre) => frame::decentre(&asked),
        Blank(asked: blank::Blank) => blank::blank(&asked),
        Segment(asked: frame::PlaceSegment) => frame::segment(&asked),
        Girth(asked: girth::MeasureGirth) => girth::girth(&asked),
        Thickness(asked: thickness::SolveThickness) => thickness::thickness(&asked),
        Sag(asked: curve::Sag) => curve::sag(&asked),
        Curve(asked: curve::Curve) => curve::curve(&asked),
        Tolerance(asked: tolerance::Tolerance) => tolerance::tolerance(shop, &asked),
    }
}
