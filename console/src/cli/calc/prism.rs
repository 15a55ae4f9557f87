//! Prism: at a point of a lens, as parts and as a whole, and between the eyes.
//!
//! A point is where the eye looks through, from the optical centre: moving the lens in by some way moves the point out
//! by as much. Amounts are never negative where a base is named beside them; between the eyes they have a sign, base
//! in of both together and base up of the right eye over the left being positive.

use super::way::{WayFlags, in_words, point};
use crate::cli::arguments::{self, Unquoted};
use crate::cli::{Failure, Report, answer};
use crate::view::Figure;
use bevelbook_core::prescription::{Eye, LensPoint, ObliquePrism, SphereCylinder, prism_imbalance};
use bevelbook_core::units::{Angle, OutOfRange, Prism as Amount, PrismPair};
use clap::{ArgGroup, Args};

/// Give the prism at a point of a lens, solve the point for a prism, combine prism, or split it.
///
/// Base angles are by ISO 8429, 0 to 360 degrees: 0 is to the viewer's right, and they grow anticlockwise, the same
/// for both eyes.
#[derive(Args)]
#[command(
    override_usage = "bevelbook calc prism RX --eye R|L [--in MM|--out MM] [--up MM|--down MM]\n       \
        bevelbook calc prism RX --eye R|L --want PRISM\n       \
        bevelbook calc prism --eye R|L [--horizontal PRISM] [--vertical PRISM]\n       \
        bevelbook calc prism --eye R|L --total PD --base DEG",
    after_help = "Examples:\n\
        \x20 bevelbook calc prism \"+6.00 -3.00 x 140\" --eye r --in 2.5 --down 11\n\
        \x20 bevelbook calc prism \"+4.00 DS\" --eye r --want \"2 out\"\n\
        \x20 bevelbook calc prism --horizontal 2in --vertical 1.5up --eye r\n\
        \x20 bevelbook calc prism --total 2.5 --base 37 --eye r",
    group(ArgGroup::new("point").multiple(true).args(["inward", "outward", "up", "down"])
        .requires("rx").conflicts_with_all(["want", "parts", "whole"])),
    group(ArgGroup::new("parts").multiple(true).args(["horizontal", "vertical"]).conflicts_with("whole")),
    group(ArgGroup::new("whole").multiple(true).args(["total", "base"])),
    group(ArgGroup::new("asked").required(true).multiple(true)
        .args(["inward", "outward", "up", "down", "want", "horizontal", "vertical", "total"]))
)]
pub(crate) struct Prism {
    /// Prescription, in quotes.
    #[arg(value_name = "RX", value_parser = arguments::lens, conflicts_with_all = ["parts", "whole"])]
    rx: Option<SphereCylinder>,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Which eye the lens or the prism is before: r or l.
    #[arg(long, value_name = "R|L", value_parser = arguments::eye)]
    eye: Eye,
    /// Prism that the eye is to meet, in quotes: solve the point it must look through.
    #[arg(long, value_name = "PRISM", value_parser = arguments::prism, requires = "rx", conflicts_with_all = ["parts", "whole"])]
    want: Option<PrismPair>,
    /// Horizontal part, with its base, to be combined: 2in.
    #[arg(long, value_name = "PRISM", value_parser = horizontal)]
    horizontal: Option<Amount>,
    /// Vertical part, with its base, to be combined: 1.5up.
    #[arg(long, value_name = "PRISM", value_parser = vertical)]
    vertical: Option<Amount>,
    /// Whole amount, to be split; the base is that of --base.
    #[arg(long, value_name = "PD", value_parser = amount, requires = "base")]
    total: Option<Amount>,
    /// Base of the whole amount, 0 to 360 degrees.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle, requires = "total")]
    base: Option<Angle>,
    #[command(flatten, next_help_heading = "Point looked through, from the optical centre")]
    point: WayFlags,
}

/// A horizontal part; base in is positive.
fn horizontal(text: &str) -> Result<Amount, String> {
    match arguments::prism(text)? {
        PrismPair { base_in, base_up: Amount::ZERO } => Ok(base_in),
        _ => Err(arguments::wrong(text, "a horizontal amount of prism, in or out", "2in")),
    }
}

/// A vertical part; base up is positive.
fn vertical(text: &str) -> Result<Amount, String> {
    match arguments::prism(text)? {
        PrismPair { base_in: Amount::ZERO, base_up } => Ok(base_up),
        _ => Err(arguments::wrong(text, "a vertical amount of prism, up or down", "1.5up")),
    }
}

/// An amount without a base.
fn amount(text: &str) -> Result<Amount, String> {
    const EXPECTED: &str = "an amount of prism without a sign, at most 100";
    arguments::thousandths(text, Amount::LIMIT, &["Δ", "pd"], EXPECTED, "2.5").map(Amount::from_milli)
}

pub(super) fn prism(asked: &Prism) -> Result<Report, Failure> {
    let Some(lens) = asked.rx else {
        let base_in = asked.horizontal.unwrap_or_default();
        let parts = PrismPair { base_in, base_up: asked.vertical.unwrap_or_default() };
        return Ok(match asked.total {
            None => prism_answer("", parts, ObliquePrism::combine(parts, asked.eye)),
            Some(total) => {
                let whole = ObliquePrism { total, base: asked.base };
                prism_answer("", whole.split(asked.eye), whole)
            }
        });
    };
    let solved = asked.want.map(|wanted| lens.point_for(asked.eye, wanted)).transpose();
    let solved = solved.map_err(|error| {
        Failure::Use(format!("{error}; it takes another lens, or prism worked into this one"))
    })?;
    let point = solved.unwrap_or_else(|| asked.point.point());
    let parts = lens.prism_at(asked.eye, point).map_err(too_much)?;
    let whole = lens.oblique_prism_at(asked.eye, point).map_err(too_much)?;
    let Some(LensPoint { inward, up }) = solved else { return Ok(prism_answer("", parts, whole)) };
    let moved = match point == LensPoint::OPTICAL_CENTRE {
        true => String::new(),
        false => {
            let back = in_words(LensPoint { inward: -inward, up: -up });
            format!(" of the optical centre (decentre the lens {back})")
        }
    };
    let report = prism_answer(&format!("look through {}{moved}: ", in_words(point)), parts, whole);
    Ok(report.with("in_mm", Figure::from(inward)).with("up_mm", Figure::from(up)))
}

/// A prism as parts and as a whole, whose base is told below 360°; none has no base.
fn prism_answer(before: &str, parts: PrismPair, whole: ObliquePrism) -> Report {
    let once_round = |base: Angle| Figure::from(Angle::from_milli(base.milli().rem_euclid(360_000)));
    let base = whole.base.filter(|_| !whole.total.is_zero()).map(once_round);
    let told = match base {
        None => "no prism".to_owned(),
        Some(base) => format!("{parts}; as one {} Δ, base {:#}", whole.total, base.to(1, 1)),
    };
    answer!(
        "{before}{told}";
        horizontal_pd = Figure::from(parts.base_in.abs()),
        horizontal_base = by_sign(parts.base_in, "in", "out"),
        vertical_pd = Figure::from(parts.base_up.abs()),
        vertical_base = by_sign(parts.base_up, "up", "down"),
        total_pd = Figure::from(whole.total),
        base_deg = base,
    )
}

/// The word for the base of a part; there is none without prism.
fn by_sign(part: Amount, positive: &'static str, negative: &'static str) -> Option<&'static str> {
    (!part.is_zero()).then_some(if part.milli() > 0 { positive } else { negative })
}

fn too_much(_: OutOfRange) -> Failure {
    Failure::Use(format!(
        "the prism there is beyond ±{} Δ; check the power and the distances, for example --in 2 --down 8",
        Amount::LIMIT / 1000
    ))
}

/// Give how differently the two lenses of a pair turn the light, each at its own point or both at the same.
///
/// Horizontally, the bases of both eyes together, in or out; vertically, how much more the base is up before one eye.
#[derive(Args)]
#[command(
    override_usage = "bevelbook calc imbalance RX_R RX_L [--in MM|--out MM] [--up MM|--down MM]\n       \
        bevelbook calc imbalance RX_R RX_L --right POINT --left POINT",
    after_help = "Examples:\n\
        \x20 bevelbook calc imbalance \"-1.00 DS\" \"-3.00 DS\" --down 8\n\
        \x20 bevelbook calc imbalance \"-1.00 DS\" \"-3.00 DS\" --right \"2 in 8 down\" --left \"1.5 in 8 down\"",
    group(ArgGroup::new("points").required(true).multiple(true)
        .args(["inward", "outward", "up", "down", "right", "left"]))
)]
pub(crate) struct Imbalance {
    /// Prescription of the right eye, in quotes.
    #[arg(value_name = "RX_R", value_parser = arguments::lens)]
    right_rx: SphereCylinder,
    /// Prescription of the left eye, in quotes.
    #[arg(value_name = "RX_L", value_parser = arguments::lens)]
    left_rx: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Point that the right eye looks through, in quotes; 0 is the optical centre.
    #[arg(long, value_name = "POINT", value_parser = point, requires = "left", conflicts_with = "way")]
    right: Option<LensPoint>,
    /// Point that the left eye looks through, in quotes; 0 is the optical centre.
    #[arg(long, value_name = "POINT", value_parser = point, requires = "right", conflicts_with = "way")]
    left: Option<LensPoint>,
    #[command(flatten, next_help_heading = "Point that both eyes look through, from the optical centre")]
    both: WayFlags,
}

pub(super) fn imbalance(asked: &Imbalance) -> Result<Report, Failure> {
    let points = [asked.right, asked.left].map(|own| own.unwrap_or_else(|| asked.both.point()));
    let found = prism_imbalance([asked.right_rx, asked.left_rx], points).map_err(too_much)?;
    let (across, upright) = (found.base_in.abs(), found.right_up.abs());
    Ok(answer!(
        "horizontal {}; vertical {}",
        horizontal_base.map_or("none".into(), |base| format!("{across} {base}, both eyes together")),
        base_up_eye.map_or("none".into(), |eye| format!("{upright} up before the {eye} eye"));
        horizontal_pd = Figure::from(across),
        horizontal_base = by_sign(found.base_in, "in", "out"),
        vertical_pd = Figure::from(upright),
        base_up_eye = by_sign(found.right_up, "right", "left"),
    ))
}
