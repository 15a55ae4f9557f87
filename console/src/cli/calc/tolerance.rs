//! What a standard allows a lens to be off, and whether a reading is within.
//!
//! Limits and deviations are those of the minus-cylinder form, whichever form was typed. The power is that of the
//! meridian which the standard judges; where it judges both, the one that is further off.

use crate::cli::arguments::{self, Unquoted};
use crate::cli::shop::Shop;
use crate::cli::{Failure, Report, answer};
use crate::settings::StandardName;
use crate::view::Figure;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::tolerance::{
    Design, Deviation, EyeLimits, EyeReading, JudgedPower, Limit, Limits, PairOrder, Stage, Thinning, Unit,
    deviation, judge_eye,
};
use bevelbook_core::units::{Angle, Length};
use clap::Args;
use serde_json::{Value, json};

/// Give what a lens may be off by a standard, and with --read whether it is within.
#[derive(Args)]
#[command(
    after_help = "Example: bevelbook calc tolerance \"-3.00 -1.00 x 90\" --read \"-3.12 -0.95 x 92\"\n\n\
        Exit status 1 when the reading is not within. An aid at the bench, not a certificate."
)]
pub(crate) struct Tolerance {
    /// Prescription as ordered, in quotes; .12 and the like mean eighths.
    #[arg(value_name = "RX", value_parser = arguments::ordered_lens)]
    rx: SphereCylinder,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Standard, with or without its edition, or shop for the shop's own table; by default that of the settings.
    #[arg(long, value_name = "NAME", value_parser = arguments::standard)]
    standard: Option<StandardName>,
    /// Prescription as read, in quotes; decimals are taken as they are.
    #[arg(long, value_name = "RX", value_parser = arguments::lens)]
    read: Option<SphereCylinder>,
    /// By the rows for progressive lenses instead of those for single vision and multifocal.
    #[arg(long)]
    progressive: bool,
}

pub(super) fn tolerance(shop: &Shop, asked: &Tolerance) -> Result<Report, Failure> {
    let standard = shop.settings()?.0.tolerances_by(asked.standard)?;
    let table = standard.table();
    let (design, lenses) = match asked.progressive {
        true => (Design::Progressive, "progressive"),
        false => (Design::SingleVision, "single vision or multifocal"),
    };
    let order = EyeOrder::single_vision(asked.rx);
    let pd = PupillaryDistance::Binocular(Length::ZERO);
    let pair = PairOrder { eyes: [order; 2], pd, segment_heights: None, thinning: Thinning::NONE };
    let limits = Limits::of(&table, design, &pair);
    let allowed = &limits.eyes[0];
    let off = asked.read.map(|read| deviation(asked.rx, read));
    let rows = rows(allowed, off.as_ref());
    let hold = off.map(|off| allowed.hold(&off));
    let seen = asked
        .read
        .zip(off)
        .map(|(read, off)| format!(", read {}: {}", read.minus_cylinder(), verdict(allowed, &off)));
    let mut report = answer!(
        "{standard}, {lenses}: {}{}{}",
        asked.rx.minus_cylinder(), seen.unwrap_or_default(), rows.map(line).concat();
        limits = fields(rows.map(|row| row.limit.map(|limit| Figure::limit(limit, row.unit)))),
        deviation = off.map(|_| fields(rows.map(|row| row.off))),
        within = hold,
    );
    let as_ordered =
        judge_eye(&table, design, Stage::Mounted, Eye::Right, &order, &EyeReading::of_power(asked.rx));
    if as_ordered.findings().iter().any(|finding| !finding.cited.confirmed) {
        report =
            report.hint(format!("unconfirmed: a limit of {standard} used here was not seen in public text"));
    }
    report.not_within = hold == Some(false);
    let slips = asked.read.map(|read| limits.slips(Eye::Right, &pair.eyes, read));
    Ok(report.hints(slips.into_iter().flatten().map(|slip| format!("hint: {slip}"))))
}

fn fields([power_d, cylinder_d, axis_deg]: [Option<Figure>; 3]) -> Value {
    json!({ "power_d": power_d, "cylinder_d": cylinder_d, "axis_deg": axis_deg })
}

/// One quantity: its limit, what is said where it has none, and how far off it is.
#[derive(Clone, Copy)]
struct Row {
    name: &'static str,
    unit: Unit,
    limit: Option<Limit>,
    without: &'static str,
    off: Option<Figure>,
    holds: bool,
}

fn rows(limits: &EyeLimits, off: Option<&Deviation>) -> [Row; 3] {
    let power = match limits.judged {
        JudgedPower::Along => "power",
        JudgedPower::Across => "power, across the axis",
        JudgedPower::Both => "power, both meridians",
    };
    let row = |name, unit, without, limit: Option<Limit>, off: Option<i32>| {
        let holds = limit.zip(off).is_none_or(|(limit, off)| limit.holds(off));
        let off = off.map(|off| Figure::of(off.into(), unit).signed());
        Row { name, unit, limit, without, off, holds }
    };
    let judged = off.map(|off| limits.judged_power(off).milli());
    let axis = off.and_then(|off| off.axis).map(Angle::milli);
    [
        row(power, Unit::Dioptre, "not covered", limits.power, judged),
        row("cylinder", Unit::Dioptre, "not covered", limits.cylinder, off.map(|off| off.cylinder.milli())),
        row("axis", Unit::Degree, "any", limits.axis.limit(), axis),
    ]
}

fn line(Row { name, unit, limit, without, off, holds }: Row) -> String {
    let allowed = limit.map_or(without.into(), |limit| format!("±{:#}", Figure::limit(limit, unit)));
    match off {
        None => format!("\n  {name:<8}  {allowed}"),
        Some(off) if holds => format!("\n  {name:<8}  {allowed:<9}  off {off:#}"),
        Some(off) => format!("\n  {name:<8}  {allowed:<9}  off {off:#}  OUT"),
    }
}

/// The verdict in words. An axis that has a limit but was not read is not judged, and does not pass.
fn verdict(limits: &EyeLimits, off: &Deviation) -> &'static str {
    let powers_hold = limits.hold_powers(off);
    match (limits.hold(off), off.axis) {
        (true, _) => "within",
        (false, None) if powers_hold => "not judged yet, no axis was read",
        _ => "out",
    }
}
