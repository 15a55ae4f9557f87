//! Lenses: their two forms, vectors, meridians, sums, and readings.

use crate::cli::arguments::{self, Rx, Unquoted};
use crate::cli::{Failure, Report, answer};
use crate::view::{Figure, Lens};
use bevelbook_core::prescription::{PowerVector, SphereCylinder, from_lines};
use bevelbook_core::units::{Angle, Axis, OutOfRange, Power};
use clap::Args;

/// A lens as the whole answer.
pub(super) fn lens_answer(lens: SphereCylinder) -> Report {
    Report::of(&Lens::from(lens))
}

/// Write a prescription with the other cylinder sign.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc transpose \"+0.50 -2.00 x 30\"")]
pub(crate) struct Transpose {
    #[command(flatten)]
    rx: Rx,
}

pub(super) fn transpose(asked: &Transpose) -> Result<Report, Failure> {
    Ok(lens_answer(asked.rx.lens.transposed()))
}

/// Resolve a prescription into its mean sphere M and the two cross cylinders J0 and J45.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc vector \"-3.25 -1.50 x 20\"")]
pub(crate) struct Vector {
    #[command(flatten)]
    rx: Rx,
}

pub(super) fn vector(asked: &Vector) -> Result<Report, Failure> {
    let vector = PowerVector::from(asked.rx.lens);
    let parts @ [m, j0, j45] = [vector.m, vector.j0, vector.j45].map(|micro| f64::from(micro) / 1e6);
    // Four decimals for people; adding zero turns a rounded -0 into 0.
    let [sm, s0, s45] = parts.map(|part| format!("{:+.4} D", (part * 1e4).round() / 1e4 + 0.0));
    Ok(answer!("M {sm}, J0 {s0}, J45 {s45}"; m_d = m, j0_d = j0, j45_d = j45))
}

/// Give the power of a prescription in one meridian.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc meridian \"-8.00 -2.00 x 112\" --at 180")]
pub(crate) struct AlongMeridian {
    #[command(flatten)]
    rx: Rx,
    /// The meridian, 0 to 360 degrees.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle)]
    at: Angle,
}

pub(super) fn meridian(asked: &AlongMeridian) -> Result<Report, Failure> {
    let power = asked.rx.lens.meridian(asked.at);
    Ok(answer!("{power_d:#} at {}°", asked.at; power_d = Figure::from(power)))
}

/// How the cylinder of an answer is written.
#[derive(Args)]
struct Form {
    /// Answer with a plus cylinder instead of a minus one.
    #[arg(long)]
    plus: bool,
}

impl Form {
    /// Rounded once, in the form it is written in.
    fn answer(&self, vector: Result<PowerVector, OutOfRange>) -> Result<Report, Failure> {
        let form = if self.plus { PowerVector::plus_cylinder } else { PowerVector::minus_cylinder };
        let beyond = |_| {
            let limit = Power::LIMIT / 1000;
            Failure::Use(format!("the result is beyond ±{limit} D, more than any lens; check the powers"))
        };
        vector.and_then(form).map(lens_answer).map_err(beyond)
    }
}

/// Add thin lenses in contact, whatever their axes.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc combine \"+2.00 DC x 30\" \"+3.00 DC x 60\" --plus")]
pub(crate) struct Combine {
    /// Two or more prescriptions, each in quotes.
    #[arg(value_name = "RX", value_parser = arguments::lens, num_args = 2.., required = true)]
    lenses: Vec<SphereCylinder>,
    #[command(flatten)]
    form: Form,
}

pub(super) fn combine(asked: &Combine) -> Result<Report, Failure> {
    asked.form.answer(PowerVector::sum(asked.lenses.iter().copied()))
}

/// Give the lens by which a reading differs from its order.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc residual \"-1.00 -2.00 x 90\" \"-1.00 -2.00 x 95\"")]
pub(crate) struct Residual {
    /// Prescription as ordered, in quotes; .12 and the like mean eighths.
    #[arg(value_name = "ORDER", value_parser = arguments::ordered_lens)]
    order: SphereCylinder,
    /// Prescription as read, in quotes; decimals are taken as they are.
    #[arg(value_name = "READ", value_parser = arguments::lens)]
    read: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
    #[command(flatten)]
    form: Form,
}

pub(super) fn residual(asked: &Residual) -> Result<Report, Failure> {
    asked.form.answer(PowerVector::difference(asked.order, asked.read))
}

/// Turn what the focimeter shows, sphere line, cylinder line and axis, into a prescription.
///
/// The sphere line gives sphere and axis; which of the two is taken for the sphere line decides the sign of
/// the cylinder.
#[derive(Args)]
#[command(after_help = "Example: bevelbook calc reading --first -1.25 --second -2.00 --axis 15")]
pub(crate) struct FromLines {
    /// Sphere line: the power at which it is sharp, with its sign.
    #[arg(long, value_name = "D", value_parser = arguments::power)]
    first: Power,
    /// Cylinder line, 90° away: the power at which it is sharp, with its sign.
    #[arg(long, value_name = "D", value_parser = arguments::power)]
    second: Power,
    /// The axis at the sphere line, 1 to 180 degrees.
    #[arg(long, value_name = "DEG", value_parser = arguments::axis)]
    axis: Axis,
}

pub(super) fn reading(asked: &FromLines) -> Result<Report, Failure> {
    Ok(lens_answer(from_lines(asked.first, asked.second, asked.axis)))
}
