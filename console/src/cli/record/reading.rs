//! `record reading`: what the focimeter showed of a lens.
//!
//! Decimals are kept as the instrument shows them: `.12` is 0.12 D here, not an eighth. The power is judged at once
//! against this eye's order, so that a slip is caught while the lens is still on the instrument; the prism of a
//! mounted lens belongs to the pair and is left to `inspect`.

use super::answer;
use super::typed::OfLens;
use crate::cli::arguments::{self, Unquoted, one_of, prism};
use crate::cli::{Failure, Report};
use crate::settings::Tolerances;
use crate::view::inspection::FindingView;
use crate::view::{Figure, Lens, Prescription, PrismView};
use crate::work::{Job, Work};
use bevelbook_core::prescription::{Eye, SphereCylinder};
use bevelbook_core::record::{Bench, Entered, Possible, Read, Reading, Stage};
use bevelbook_core::tolerance::{Finding, Holding, Limits, Verdict, judge_eye};
use bevelbook_core::units::{Axis, Power, PrismPair};
use clap::{ArgGroup, Args};
use serde_json::{Value, json};

/// Log what the focimeter showed of a lens.
#[derive(Args)]
#[command(
    group(ArgGroup::new("read").required(true).args(["direct", "first"])),
    after_help = "Examples: bevelbook record reading 3 r --direct \"-1.25 -0.75 x 15\" --centred\n          \
        bevelbook record reading 3 l --first -1.50 --second -2.00 --axis 170 --prism \"0.25 up\"\n\n\
        --first is the sphere line, --second the cylinder line: sphere = first, cylinder = second less first.\n\
        The point that counts is the centre dot of an uncut lens, and the ordered PD mark of a mounted one."
)]
pub(crate) struct ReadingArgs {
    #[command(flatten)]
    of: OfLens,
    #[command(flatten)]
    unquoted: Unquoted,
    /// Sphere, cylinder and axis as shown, in quotes; decimals are taken as they are.
    #[arg(
        long,
        value_name = "RX",
        value_parser = arguments::lens,
        conflicts_with_all = ["second", "axis"]
    )]
    direct: Option<SphereCylinder>,
    /// Sphere line: the power at which it is sharp.
    #[arg(long, value_name = "D", value_parser = arguments::power, requires = "second")]
    first: Option<Power>,
    /// Cylinder line, 90° away: the power at which it is sharp.
    #[arg(long, value_name = "D", value_parser = arguments::power, requires = "first")]
    second: Option<Power>,
    /// Axis at the sphere line; a sphere, whose lines are sharp together, has none.
    #[arg(long, value_name = "DEG", value_parser = arguments::axis, requires = "first")]
    axis: Option<Axis>,
    /// Uncut, before it was blocked, or mounted, in the frame; when left out, mounted once the lens fits and uncut before.
    #[arg(long, ignore_case = true, value_parser = one_of([("uncut", Stage::Uncut), ("mounted", Stage::Mounted)]))]
    stage: Option<Stage>,
    /// Prism at the point that counts, such as "0.25 up 1 in"; 0 for none.
    #[arg(long, value_name = "PRISM", value_parser = prism, conflicts_with = "centred")]
    prism: Option<PrismPair>,
    /// The prism at the point that counts is as it is to be: none when none is ordered, with a progressive's thinning in it.
    #[arg(long)]
    centred: bool,
    /// Addition as read.
    #[arg(long, value_name = "D", value_parser = addition)]
    add: Option<Power>,
}

/// An addition is written with or without its plus, and is above zero.
fn addition(text: &str) -> Result<Power, String> {
    let wrong = || arguments::wrong(text, Possible::ADDITION.expected, "+2.00");
    arguments::surface(text).ok().filter(|power| Possible::ADDITION.holds(power.milli())).ok_or_else(wrong)
}

impl ReadingArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let (job, eye) = self.of.find(work)?;
        let read = self.read()?;
        let (stage, taken) = match self.stage {
            Some(stage) => (stage, None),
            None => taken_as(&job, eye),
        };
        let standard = work.settings().tolerances()?;
        let centred = self.centred.then(|| job.order.prism_to_show(eye, standard.progressive()));
        let prism = centred.or(self.prism);
        let reading =
            Reading { entered: Entered::READ, lens: job.pair().lens(eye), stage, read, prism, add: self.add };
        let logging = work.log_lens(job.id, eye, |lens| Bench::Reading(Reading { lens, ..reading }))?;

        let (verdict, words) = judged(&logging.after, &standard, &reading);
        let mut more = Vec::new();
        more.extend(taken.map(str::to_owned));
        more.push(format!("ordered {}", job.order.eye(eye)));
        if let Some(lab) = job.order.verify(eye) {
            let lab = Prescription::to_verify(lab);
            more.push(format!("judged against the supplier's power to verify, {lab}"));
        }
        more.push(format!("by {standard}: {verdict}: {words}"));
        let order = &logging.after.order;
        let pair = order.pair(&standard);
        let limits = Limits::of(&standard.table(), order.lens.design, &pair);
        let slips = limits.slips(eye, &pair.eyes, read.power());
        let slips: Vec<String> = slips.iter().map(ToString::to_string).collect();
        let hints: Vec<String> = slips.iter().map(|slip| format!("hint: {slip}")).collect();
        Ok(answer(work, &logging, &more)?
            .with("kind", "reading")
            .with_all(Lens::from(read.power()))
            .with("stage", stage)
            .with("lines", lines(read))
            .with("prism", prism.map(PrismView::of))
            .with("add_d", self.add.map(Figure::from))
            .with("verdict", verdict)
            .with("slips", slips)
            .hints(hints))
    }

    fn read(&self) -> Result<Read, Failure> {
        match (self.direct, self.first, self.second, self.axis) {
            (Some(power), ..) => Ok(Read::Direct(power)),
            (None, Some(first), Some(second), Some(wheel)) => Ok(Read::Lines { first, second, wheel }),
            (None, Some(first), Some(second), None) if first == second => {
                Ok(Read::Lines { first, second, wheel: Axis::HORIZONTAL })
            }
            _ => Err(Failure::Use("give --direct RX, or --first, --second and --axis together".into())),
        }
    }
}

/// The two lines that a power was read from.
fn lines(read: Read) -> Value {
    match read {
        Read::Direct(_) => Value::Null,
        Read::Lines { first, second, wheel } => json!({
            "first_d": Figure::from(first),
            "second_d": Figure::from(second),
            "wheel_deg": Figure::from(wheel.angle()),
        }),
    }
}

/// What a reading is of when nobody says it, and why.
fn taken_as(job: &Job, eye: Eye) -> (Stage, Option<&'static str>) {
    let (stage, why) = match (job.made(eye), job.state.lens(eye).sizing.is_done()) {
        (Err(_), _) => (Stage::Mounted, "taken as mounted, since the lens stays in its frame"),
        (Ok(_), true) => (Stage::Mounted, "taken as mounted, since the lens fits; --stage says otherwise"),
        (Ok(_), false) => {
            (Stage::Uncut, "taken as uncut, since the lens does not fit yet; --stage says otherwise")
        }
    };
    (stage, Some(why))
}

/// Judges what was read of this lens alone: the verdict, and why.
fn judged(job: &Job, standard: &Tolerances, reading: &Reading) -> (Verdict, String) {
    let eye = reading.lens.eye;
    let (design, expected) = (job.order.lens.design, job.order.expected(eye));
    let read = match reading.stage {
        Stage::Uncut => job.order.pair(standard).thinned(job.state.uncut())[eye.index()],
        Stage::Mounted => reading.read(),
    };
    let judgement = judge_eye(&standard.table(), design, reading.stage, eye, &expected, &read);
    let missing: Vec<String> = judgement.missing().iter().map(ToString::to_string).collect();
    let (out, within): (Vec<&Finding>, Vec<&Finding>) =
        judgement.findings().iter().partition(|finding| !finding.is_within());
    let list = |findings: &[&Finding]| findings.iter().map(|f| found(f)).collect::<Vec<_>>().join(", ");
    let beside =
        judgement.beside().iter().map(|beside| format!("{}, by a thinning that is assumed", found(beside)));
    let left = judgement.not_covered().iter().map(ToString::to_string);
    let not_covered: String = beside.chain(left).map(|left| format!("; not checked: {left}")).collect();
    let (verdict, words) = match (out.is_empty(), missing.is_empty() && !within.is_empty()) {
        (false, _) => (Verdict::Out, list(&out)),
        (true, false) if missing.is_empty() => (Verdict::NotJudged, "nothing to judge".to_owned()),
        (true, false) => {
            (Verdict::NotJudged, format!("not read: {}; read: {}", missing.join(", "), list(&within)))
        }
        (true, true) => (Verdict::Within, list(&within)),
    };
    (verdict, words + &not_covered)
}

/// A finding in a few words: `power +0.05 D off, ±0.13 allowed`.
pub(super) fn found(finding: &Finding) -> String {
    let quantity = finding.quantity;
    let [_, _, off, limit, _] = FindingView::of(finding).figures;
    let at_limit = if finding.holding() == Holding::AtLimit { " (at the limit)" } else { "" };
    let memory = if finding.cited.confirmed { "" } else { " (unconfirmed)" };
    format!("{quantity} {off:#} off, ±{limit} allowed{at_limit}{memory}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_addition_needs_no_plus_and_is_never_negative() {
        assert_eq!(addition("2.00").map(Power::milli), Ok(2000));
        assert_eq!(addition("+1.12").map(Power::milli), Ok(1120));
        for wrong in ["-2.00", "0", "10.25", "much", "2 2"] {
            assert!(addition(wrong).is_err(), "{wrong}");
        }
    }
}
