//! Prism: at a point of a lens, as parts and as a whole, and between the eyes.
//!
//! A point is where the eye looks through, from the optical centre: moving the lens in by some way moves the point out
//! by as much. Amounts are never negative where a base is named beside them; between the eyes they have a sign, base
//! in of both together and base up of the right eye over the left being positive.

use super::point::{PointFlags, in_words, point};
use crate::cli::arguments::{self, Unquoted};
use crate::cli::figures::{millimetres, prism_dioptres};
use crate::cli::{Failure, Report, figures};
use bevelbook_core::prescription::{
    Eye, LensPoint, ObliquePrism, PrismImbalance, SphereCylinder, prism_imbalance,
};
use bevelbook_core::units::{Angle, OutOfRange, Prism as Amount, PrismPair, Scanner, TextError};
use clap::Args;
use serde_json::{Value, json};

/// Give the prism at a point of a lens, solve the point for a prism, combine prism, or split it.
///
/// Base angles are by ISO 8429, 0 to 360 degrees: 0 is to the viewer's right, and they grow anticlockwise, the same
/// for both eyes.
#[derive(Args)]
#[command(after_help = "Examples:\n\
    \x20 bevelbook calc prism \"+6.00 -3.00 x 140\" --eye r --in 2.5 --down 11\n\
    \x20 bevelbook calc prism \"+4.00 DS\" --eye r --want \"2 out\"\n\
    \x20 bevelbook calc prism --horizontal 2in --vertical 1.5up --eye r\n\
    \x20 bevelbook calc prism --total 2.5 --base 37 --eye r")]
pub(crate) struct Prism {
    /// Prescription, in quotes.
    #[arg(value_name = "RX", value_parser = arguments::lens)]
    rx: Option<SphereCylinder>,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Which eye the lens or the prism is before: r or l.
    #[arg(long, value_name = "R|L", value_parser = arguments::eye)]
    eye: Eye,
    #[command(flatten)]
    point: PointFlags,
    /// Prism that the eye is to meet, in quotes: solve the point it must look through.
    #[arg(long, value_name = "PRISM", value_parser = arguments::prism)]
    want: Option<PrismPair>,
    /// Horizontal part, with its base, to be combined: 2in.
    #[arg(long, value_name = "PRISM", value_parser = horizontal)]
    horizontal: Option<Amount>,
    /// Vertical part, with its base, to be combined: 1.5up.
    #[arg(long, value_name = "PRISM", value_parser = vertical)]
    vertical: Option<Amount>,
    /// Whole amount, to be split; the base is that of --base.
    #[arg(long, value_name = "PD", value_parser = amount)]
    total: Option<Amount>,
    /// Base of the whole amount, 0 to 360 degrees.
    #[arg(long, value_name = "DEG", value_parser = arguments::angle)]
    base: Option<Angle>,
}

/// A horizontal part; base in is positive.
fn horizontal(text: &str) -> Result<Amount, String> {
    let pair = part(text, "a horizontal amount of prism, in or out", "2in", |pair| pair.base_up)?;
    Ok(pair.base_in)
}

/// A vertical part; base up is positive.
fn vertical(text: &str) -> Result<Amount, String> {
    let pair = part(text, "a vertical amount of prism, up or down", "1.5up", |pair| pair.base_in)?;
    Ok(pair.base_up)
}

/// A prism of which the other part is zero.
fn part(
    text: &str,
    expected: &'static str,
    example: &'static str,
    other: impl Fn(PrismPair) -> Amount,
) -> Result<PrismPair, String> {
    let wrong = TextError { start: 0, end: text.len(), expected, example };
    let pair = arguments::prism(text)?;
    if other(pair).is_zero() { Ok(pair) } else { Err(arguments::pointed(text, &wrong)) }
}

/// An amount without a base.
fn amount(text: &str) -> Result<Amount, String> {
    const EXAMPLE: &str = "2.5";
    arguments::parsed(text, |text| {
        let mut scanner = Scanner::new(text);
        let number = scanner.decimal(EXAMPLE)?.filter(|n| !n.signed && n.milli <= Amount::LIMIT);
        let wrong = || Scanner::new(text).error("an amount of prism without a sign, at most 100", EXAMPLE);
        let amount = Amount::from_milli(number.ok_or_else(wrong)?.milli);
        scanner.word(&["Δ", "pd"]);
        scanner.finish(EXAMPLE).map(|()| amount)
    })
}

/// What is to be calculated.
enum Asked {
    At(SphereCylinder, LensPoint),
    Wanted(SphereCylinder, PrismPair),
    Parts(PrismPair),
    Whole(ObliquePrism),
}

/// What would be right, whatever was wrong.
const WAYS: &str = "give one of these:\n  \
    a lens and the point looked through: \"-3.00 DS\" --in 2 --down 8\n  \
    a lens and the prism wanted: \"-3.00 DS\" --want \"1.5 up 2 in\"\n  \
    parts to be combined: --horizontal 2in --vertical 1.5up\n  \
    a whole to be split: --total 2.5 --base 37";

impl Prism {
    fn asked(&self) -> Result<Asked, Failure> {
        let point = self.point.point()?;
        let parts = (self.horizontal.is_some() || self.vertical.is_some()).then(|| PrismPair {
            base_in: self.horizontal.unwrap_or_default(),
            base_up: self.vertical.unwrap_or_default(),
        });
        let whole = self.total.is_some() || self.base.is_some();
        let wrong = match (self.rx, point, self.want, parts, whole) {
            (Some(lens), Some(point), None, None, false) => return Ok(Asked::At(lens, point)),
            (Some(lens), None, Some(wanted), None, false) => return Ok(Asked::Wanted(lens, wanted)),
            (None, None, None, Some(parts), false) => return Ok(Asked::Parts(parts)),
            (None, None, None, None, true) => match (self.total, self.base) {
                (Some(total), base @ Some(_)) => return Ok(Asked::Whole(ObliquePrism { total, base })),
                (None, _) => "--base needs the amount, --total",
                (_, None) => "--total needs the direction, --base",
            },
            (Some(_), None, None, None, false) => "the point looked through is missing, or the prism wanted",
            (Some(_), Some(_), Some(_), None, false) => {
                "--want solves the point, so none can be given beside it"
            }
            (Some(_), ..) => "--horizontal, --vertical, --total and --base go without a prescription",
            (None, None, None, None, false) => "there is nothing to calculate from",
            (None, None, None, Some(_), true) => "parts are combined and a whole is split, one at a time",
            (None, ..) => "--in, --out, --up, --down and --want go with a prescription",
        };
        Err(Failure::Use(format!("{wrong}; {WAYS}")))
    }

    pub(super) fn answer(&self) -> Result<Report, Failure> {
        self.unquoted.refuse()?;
        let combined = |pair| (pair, ObliquePrism::combine(pair, self.eye));
        match self.asked()? {
            Asked::At(lens, point) => Ok(self.report(self.met(lens, point)?)),
            Asked::Wanted(lens, wanted) => {
                let point = lens.point_for(self.eye, wanted).map_err(|error| {
                    Failure::Use(format!("{error}; it takes another lens, or prism worked into this one"))
                })?;
                let report = self.report(self.met(lens, point)?);
                Ok(with_point(report, point))
            }
            Asked::Parts(pair) => Ok(self.report(combined(pair))),
            Asked::Whole(whole) => Ok(self.report((whole.split(self.eye), once_round(whole)))),
        }
    }

    fn met(&self, lens: SphereCylinder, point: LensPoint) -> Result<(PrismPair, ObliquePrism), Failure> {
        let parts = lens.prism_at(self.eye, point).map_err(too_much)?;
        Ok((parts, lens.oblique_prism_at(self.eye, point).map_err(too_much)?))
    }

    fn report(&self, (pair, whole): (PrismPair, ObliquePrism)) -> Report {
        let text = match whole.base {
            None => "no prism".to_owned(),
            Some(base) => format!("{pair}; as one {} Δ, base {base:.1}°", whole.total),
        };
        let json = json!({
            "horizontal_pd": prism_dioptres(pair.base_in.abs()),
            "horizontal_base": base_word(pair.base_in, "in", "out"),
            "vertical_pd": prism_dioptres(pair.base_up.abs()),
            "vertical_base": base_word(pair.base_up, "up", "down"),
            "total_pd": prism_dioptres(whole.total),
            "base_deg": whole.base.map(|base| figures::milli(base.milli())),
        });
        Report::new(text, json)
    }
}

/// The word for the base of a part, or null where there is none.
fn base_word(part: Amount, positive: &str, negative: &str) -> Value {
    match part.milli() {
        0 => Value::Null,
        1.. => json!(positive),
        _ => json!(negative),
    }
}

/// A whole as it is answered: the base below 360°, and none without prism.
fn once_round(whole: ObliquePrism) -> ObliquePrism {
    let base = whole.base.filter(|_| !whole.total.is_zero());
    ObliquePrism { base: base.map(|base| Angle::from_milli(base.milli().rem_euclid(360_000))), ..whole }
}

/// The prism met at the solved point, and the point before it.
fn with_point(mut report: Report, point: LensPoint) -> Report {
    let place = in_words(point);
    let moved = if point == LensPoint::OPTICAL_CENTRE {
        String::new()
    } else {
        let back = LensPoint { inward: -point.inward, up: -point.up };
        format!(" of the optical centre (decentre the lens {})", in_words(back))
    };
    report.text = format!("look through {place}{moved}: {}", report.text);
    report.json["in_mm"] = json!(millimetres(point.inward));
    report.json["up_mm"] = json!(millimetres(point.up));
    report
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
#[command(after_help = "Examples:\n\
    \x20 bevelbook calc imbalance \"-1.00 DS\" \"-3.00 DS\" --down 8\n\
    \x20 bevelbook calc imbalance \"-1.00 DS\" \"-3.00 DS\" --right \"2 in 8 down\" --left \"1.5 in 8 down\"")]
pub(crate) struct Imbalance {
    /// Prescription of the right eye, in quotes.
    #[arg(value_name = "RX_R", value_parser = arguments::lens)]
    right_rx: SphereCylinder,
    /// Prescription of the left eye, in quotes.
    #[arg(value_name = "RX_L", value_parser = arguments::lens)]
    left_rx: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
    #[command(flatten)]
    both: PointFlags,
    /// Point that the right eye looks through, in quotes; 0 is the optical centre.
    #[arg(long, value_name = "POINT", value_parser = point)]
    right: Option<LensPoint>,
    /// Point that the left eye looks through, in quotes; 0 is the optical centre.
    #[arg(long, value_name = "POINT", value_parser = point)]
    left: Option<LensPoint>,
}

impl Imbalance {
    fn points(&self) -> Result<[LensPoint; 2], Failure> {
        let wrong = match (self.both.point()?, self.right, self.left) {
            (Some(both), None, None) => return Ok([both; 2]),
            (None, Some(right), Some(left)) => return Ok([right, left]),
            (None, None, None) => "the points looked through are missing",
            (None, ..) => "--right and --left go together",
            (Some(_), ..) => {
                "--in, --out, --up and --down are for both eyes, --right and --left for one each"
            }
        };
        Err(Failure::Use(format!(
            "{wrong}; give --down 8 for both eyes, or --right \"2 in 8 down\" --left \"0\", 0 being the optical \
             centre"
        )))
    }

    pub(super) fn answer(&self) -> Result<Report, Failure> {
        self.unquoted.refuse()?;
        let points = self.points()?;
        let found = prism_imbalance([self.right_rx, self.left_rx], points).map_err(too_much)?;
        let json = json!({
            "horizontal_pd": prism_dioptres(found.base_in.abs()),
            "horizontal_base": base_word(found.base_in, "in", "out"),
            "vertical_pd": prism_dioptres(found.right_up.abs()),
            "base_up_eye": base_word(found.right_up, "right", "left"),
        });
        Ok(Report::new(difference_in_words(found), json))
    }
}

fn difference_in_words(found: PrismImbalance) -> String {
    let part = |part: Amount, positive: &str, negative: &str| match part.milli() {
        0 => "none".to_owned(),
        1.. => format!("{part} {positive}"),
        _ => format!("{} {negative}", part.abs()),
    };
    let across = part(found.base_in, "in, both eyes together", "out, both eyes together");
    let upright = part(found.right_up, "up before the right eye", "up before the left eye");
    format!("horizontal {across}; vertical {upright}")
}
