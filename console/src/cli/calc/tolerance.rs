//! What a standard allows a lens to be off, and whether a reading is within.
//!
//! Limits and deviations are those of the minus-cylinder form, whichever form was typed. The power is that of the
//! meridian which the standard judges; where it judges both, the one that is further off.

use crate::cli::arguments::{self, Unquoted};
use crate::cli::shop::Shop;
use crate::cli::{Failure, Report, Status, figures};
use crate::settings::{StandardName, Tolerances};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::tolerance::{
    Design, Deviation, EyeLimits, EyeReading, JudgedPower, Limit, Limits, PairOrder, deviation,
    judge_mounted_eye,
};
use bevelbook_core::units::{Angle, Length, Power};
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

impl Tolerance {
    pub(super) fn answer(&self, shop: &Shop) -> Result<Report, Failure> {
        self.unquoted.refuse()?;
        let standard = shop.settings()?.0.tolerances_by(self.standard)?;
        let table = standard.table();
        let design = if self.progressive { Design::Progressive } else { Design::SingleVision };
        let order = EyeOrder::single_vision(self.rx);
        let pair = PairOrder {
            eyes: [order; 2],
            pd: PupillaryDistance::Binocular(Length::ZERO),
            segment_heights: None,
        };
        let pair_limits = Limits::of(&table, design, &pair);
        let limits = pair_limits.eyes[0];
        let read = self.read.map(|read| (read, deviation(self.rx, read)));
        let within = read.map(|(_, off)| limits.hold(&off));
        let json = json!({
            "limits": limits_fields(&limits),
            "deviation": read.map(|(_, off)| deviation_fields(&limits, &off)),
            "within": within,
        });
        let mut report = Report::new(self.text(&standard, &limits, read), json);
        let as_ordered =
            judge_mounted_eye(&table, design, Eye::Right, &order, &EyeReading::of_power(self.rx));
        if as_ordered.findings().iter().any(|finding| !finding.cited.confirmed) {
            report = report.hint(format!("unconfirmed: a limit of {standard} used here is from memory"));
        }
        if within == Some(false) {
            report.status = Status::NotWithin;
        }
        if let Some((read, _)) = read {
            for slip in pair_limits.slips(Eye::Right, &pair.eyes, read) {
                report = report.hint(format!("hint: {slip}"));
            }
        }
        Ok(report)
    }

    fn text(
        &self,
        standard: &Tolerances,
        limits: &EyeLimits,
        read: Option<(SphereCylinder, Deviation)>,
    ) -> String {
        let rows = if self.progressive { "progressive" } else { "single vision or multifocal" };
        let mut text = format!("{standard}, {rows}: {}", self.rx.minus_cylinder());
        if let Some((read, off)) = read {
            text = format!("{text}, read {}: {}", read.minus_cylinder(), verdict(limits, &off));
        }
        let off = read.map(|(_, off)| off);
        let lines = [
            power_line(power_name(limits), limits.power, off.map(|off| limits.judged_power(&off))),
            power_line("cylinder", limits.cylinder, off.map(|off| off.cylinder)),
            axis_line(limits.axis.limit(), off.and_then(|off| off.axis)),
        ];
        format!("{text}\n{}", lines.join("\n"))
    }
}

/// Which principal power is judged.
const fn power_name(limits: &EyeLimits) -> &'static str {
    match limits.judged {
        JudgedPower::Along => "power",
        JudgedPower::Across => "power, across the axis",
        JudgedPower::Both => "power, both meridians",
    }
}

fn power_line(name: &str, limit: Option<Limit>, off: Option<Power>) -> String {
    let holds = limit.zip(off).is_none_or(|(limit, off)| limit.holds(off.milli()));
    let allowed = limit.map_or("not covered".to_owned(), |limit| format!("±{limit:.2} D"));
    line(name, &allowed, off.map(|off| format!("{off} D")), holds)
}

fn axis_line(limit: Option<Limit>, off: Option<Angle>) -> String {
    let holds = limit.zip(off).is_none_or(|(limit, off)| limit.holds(off.milli()));
    let allowed = limit.map_or("any".to_owned(), |limit| format!("±{limit}°"));
    let sign = |off: Angle| if off.milli() > 0 { "+" } else { "" };
    line("axis", &allowed, off.map(|off| format!("{}{off}°", sign(off))), holds)
}

fn line(name: &str, allowed: &str, off: Option<String>, holds: bool) -> String {
    match off {
        None => format!("  {name:<8}  {allowed}"),
        Some(off) if holds => format!("  {name:<8}  {allowed:<9}  off {off}"),
        Some(off) => format!("  {name:<8}  {allowed:<9}  off {off}  OUT"),
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

fn limits_fields(limits: &EyeLimits) -> Value {
    // Limits are whole hundredths of a thousandth, far below 2^53.
    let number = |limit: Limit| f64::from(limit.hundredths_of_milli()) / 1e5;
    json!({
        "power_d": limits.power.map(number),
        "cylinder_d": limits.cylinder.map(number),
        "axis_deg": limits.axis.limit().map(number),
    })
}

fn deviation_fields(limits: &EyeLimits, off: &Deviation) -> Value {
    json!({
        "power_d": figures::dioptres(limits.judged_power(off)),
        "cylinder_d": figures::dioptres(off.cylinder),
        "axis_deg": off.axis.map(|turn| figures::milli(turn.milli())),
    })
}
