//! `record mark`, `record pd` and `record girth`.

use super::answer;
use super::reading::found;
use super::typed::{OfJob, OfLens};
use crate::cli::arguments::{self, Sides, prism};
use crate::cli::{Failure, Report};
use crate::settings::Tolerances;
use crate::view::inspection::FindingView;
use crate::view::plan::{dial_for_rim, over_rim_words};
use crate::view::{Figure, PrismView};
use crate::work::{Job, Work};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, CentreDistance, Entered, Girth, GirthOf, Mark, Possible};
use bevelbook_core::sizing::Rim;
use bevelbook_core::tolerance::{Basis, Finding, Quantity, Subject, Verdict, judge_pair};
use bevelbook_core::units::{Axis, Length, PrismPair};
use clap::Args;

/// Log that a lens was lined up and its dots spotted.
#[derive(Args)]
#[command(after_help = "Example: bevelbook record mark 3 r --prism \"2 in\"")]
pub(crate) struct MarkArgs {
    #[command(flatten)]
    of: OfLens,
    /// Axis along which it was lined up; the one that is to show when left out.
    #[arg(long, value_name = "DEG", value_parser = arguments::axis)]
    axis: Option<Axis>,
    /// Prism at the centre dot, of a progressive at its reference point; 0 when the dot is on the optical centre. The prism
    /// that is to show when left out.
    #[arg(long, value_name = "PRISM", value_parser = prism)]
    prism: Option<PrismPair>,
}

impl MarkArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let (job, eye) = self.of.find(work)?;
        let power = job.order.expected(eye).power;
        let to_show = job.order.prism_to_show(eye, &work.settings().progressive);
        let axis = self.axis.unwrap_or(power.axis);
        let prism = self.prism.unwrap_or(to_show);
        let logging = work
            .log_lens(job.id, eye, |lens| Bench::Mark(Mark { entered: Entered::READ, lens, axis, prism }))?;
        let turned = !power.cylinder.is_zero() && axis != power.axis;
        let wanted = match to_show {
            none if none.is_none() => "no prism is ordered: the dot belongs on the optical centre".into(),
            prism => format!("the focimeter is to show {prism}"),
        };
        Ok(answer(work, &logging, &[])?
            .with("kind", "mark")
            .with("axis_deg", Figure::from(axis.angle()))
            .with_all(PrismView::of(prism))
            .hints(turned.then(|| format!("hint: the focimeter is to show axis {}", power.axis)))
            .hints((prism != to_show).then(|| format!("hint: {wanted}"))))
    }
}

/// Log the measured PD of the pair, and its heights.
#[derive(Args)]
#[command(
    after_help = "Examples: bevelbook record pd 3 31.5/30 --heights 18/18.5\n          bevelbook record pd 3 31.5/- --heights \
        18/-\n\n\
        Of a job for one lens its eye alone will do; a dash stands for the other one. A lens that stays in the frame is \
        measured with it where its power is known."
)]
pub(crate) struct PdArgs {
    #[command(flatten)]
    of: OfJob,
    /// Distance between the centres in millimetres: right/left, one figure across, or 31.5/- of one eye alone.
    #[arg(value_name = "PD", value_parser = pd)]
    pd: PupillaryDistance,
    /// Segment or fitting heights above the bottom of the box: 18/18.5, 18 for both, or 18/- of one eye alone.
    #[arg(long, value_name = "MM", value_parser = heights)]
    heights: Option<Heights>,
}

fn pd(text: &str) -> Result<PupillaryDistance, String> {
    arguments::parsed(text, PupillaryDistance::parse_measured)
}

/// Heights as they were measured: of one eye alone, where that is said.
#[derive(Clone, Copy, Debug)]
struct Heights {
    both: [Length; 2],
    of: Option<Eye>,
}

fn heights(text: &str) -> Result<Heights, String> {
    let none = |side: &str| ["-", "\u{2212}"].contains(&side.trim());
    let one = |eye, side| Ok(Heights { both: [arguments::size(side)?; 2], of: Some(eye) });
    match text.split_once('/') {
        Some((right, left)) if none(left) => one(Eye::Right, right),
        Some((right, left)) if none(right) => one(Eye::Left, left),
        _ => arguments::heights(text).map(|Sides(both)| Heights { both, of: None }),
    }
}

/// The heights of the eyes that a PD is of.
fn beside(pd: PupillaryDistance, heights: Heights) -> Result<[Length; 2], Failure> {
    let Heights { both: [right, left], of } = heights;
    let same = match (pd, of) {
        (PupillaryDistance::OneEye { .. }, None) => right == left,
        (PupillaryDistance::OneEye { eye, .. }, Some(of)) => of == eye,
        (_, of) => of.is_none(),
    };
    let wrong =
        "give the heights of the same eyes as the PD: 31.5/31 --heights 18/18.5, or 31.5/- --heights 18/-";
    if same { Ok([right, left]) } else { Err(Failure::Use(wrong.into())) }
}

impl PdArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let job = self.of.find(work)?;
        let heights = self.heights.map(|heights| beside(self.pd, heights)).transpose()?;
        let centres = self.pd;
        let fact =
            |pair| Bench::CentreDistance(CentreDistance { entered: Entered::READ, pair, centres, heights });
        let logging = work.log_pair(job.id, fact)?;
        let mut ordered = format!("ordered {} mm", job.order.pd());
        if let Some([right, left]) = job.order.heights {
            ordered.push_str(&format!(", heights {right}/{left} mm"));
        }
        let Bench::CentreDistance(measured) = logging.fact else {
            return Err(Failure::Fault("a PD was logged as another kind".into()));
        };
        let standard = work.settings().tolerances()?;
        let (verdict, judged) = off(&logging.after, &standard);
        let of_eye = |eye| centres.half(eye).map(Figure::from);
        let height = |eye| measured.height(eye).map(Figure::from);
        Ok(answer(work, &logging, &[vec![ordered], judged].concat())?
            .with("kind", "pd")
            .with("verdict", verdict)
            .with("pd_mm", centres.whole().map(Figure::from))
            .with("right_pd_mm", of_eye(Eye::Right))
            .with("left_pd_mm", of_eye(Eye::Left))
            .with("right_height_mm", height(Eye::Right))
            .with("left_height_mm", height(Eye::Left)))
    }
}

/// How far the centres and the heights are off, a line for those with a limit and one for those that have none.
fn off(job: &Job, standard: &Tolerances) -> (Verdict, Vec<String>) {
    let order = job.order.pair(standard);
    let judgement = judge_pair(&standard.table(), job.order.lens.design, &order, &job.state.measured());
    let is_place = |found: &&Finding| {
        matches!(found.quantity, Quantity::Pd | Quantity::SegmentHeight) || found.basis == Basis::PrismFromPd
    };
    let whose = |found: &Finding, said: String| match found.subject {
        Subject::Eye(eye) => format!("{eye} {said}"),
        Subject::Pair => said,
    };
    let usual = |finding| {
        let [_, _, off, limit, _] = FindingView::of(finding).figures;
        whose(finding, format!("{} {off:#} off (usual ±{limit})", finding.quantity))
    };
    let judged: Vec<&Finding> = judgement.findings().iter().filter(is_place).collect();
    let verdict = match judged.iter().all(|found| found.is_within()) {
        false => Verdict::Out,
        true if judged.is_empty() => Verdict::NotJudged,
        true => Verdict::Within,
    };
    // Behind "out" stands what is off alone.
    let told = |found: &&Finding| verdict != Verdict::Out || !found.is_within();
    let limited: Vec<String> =
        judged.into_iter().filter(told).map(|finding| whose(finding, found(finding))).collect();
    let beside: Vec<String> = judgement.beside().iter().filter(is_place).filter(told).map(usual).collect();
    let said = [(format!("by {standard}: {verdict}"), limited), ("no limit".to_owned(), beside)];
    let said = said.into_iter().filter(|(_, figures)| !figures.is_empty());
    (verdict, said.map(|(by, figures)| format!("{by}: {}", figures.join(", "))).collect())
}

/// Log the girth of a lens, or of its rim.
#[derive(Args)]
#[command(after_help = "Example: bevelbook record girth 3 r 141.2 --rim\n\n\
        Common practice, no source: a finished lens is as long round as the inside of its rim, not shorter.")]
pub(crate) struct GirthArgs {
    #[command(flatten)]
    of: OfLens,
    /// Length round it, in millimetres.
    #[arg(value_name = "MM", value_parser = girth)]
    girth: Length,
    /// The rim was measured, along its inside, not the lens.
    #[arg(long)]
    rim: bool,
}

fn girth(text: &str) -> Result<Length, String> {
    arguments::bounded(text, Possible::GIRTH, "141.2")
}

impl GirthArgs {
    pub(super) fn record(&self, work: &mut Work) -> Result<Report, Failure> {
        let (job, eye) = self.of.find(work)?;
        if self.rim && job.order.frame.rim == Rim::Rimless {
            return Err(Failure::Use(format!(
                "the frame of job {} is rimless: there is no rim to measure; leave out --rim for the lens",
                job.order.number
            )));
        }
        let of = if self.rim { GirthOf::Rim } else { GirthOf::Lens };
        let girth = self.girth;
        let logging = work.log_lens(job.id, eye, |lens| Bench::Girth(Girth { lens, of, girth }))?;
        let lens = logging.after.state.lens(eye);
        let (over, station) = (lens.over_rim(), work.station()?);
        let mut more: Vec<String> = over.into_iter().map(over_words).collect();
        let on_dial = over.zip(station);
        more.extend(on_dial.map(|(over, dial)| over_rim_words(over, &dial)));
        let dialled =
            on_dial.and_then(|(over, dial)| dial_for_rim(lens.sizing.at_most(dial.basis), over, &dial));
        more.extend(dialled.map(|dialled| format!("dial {dialled} here")));
        let hint = "hint: the lens is shorter round than its rim; common practice, no source, is equal and not below";
        Ok(answer(work, &logging, &more)?
            .with("kind", "girth")
            .with("of", of)
            .with("girth_mm", Figure::from(girth))
            .with("over_rim_mm", over.map(Figure::from))
            .with("dial_mm", dialled.map(|dialled| Figure::from(dialled.amount)))
            .hints(over.filter(|over| *over < Length::ZERO).map(|_| hint.into())))
    }
}

fn over_words(over: Length) -> String {
    let (by, than) = (over.abs(), "round than its rim");
    match over.milli().signum() {
        1 => format!("the lens is {by} mm longer {than}"),
        -1 => format!("the lens is {by} mm shorter {than}"),
        _ => "the lens is as long round as its rim".to_owned(),
    }
}
