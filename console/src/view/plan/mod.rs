//! What is to be done at the bench for a job: the lens and its place of each eye, and what is common to the pair.
//!
//! - `wanted`: what is made for the right and the left eye: `lens`, `balance` or `none`.
//! - `right`, `left`: figures of one lens, and the lines that a focimeter shows of it; null where none is made.
//! - `grip`: how the clamp is set, `light` or `normal`; `pad`: `anti-slip` or `normal`; either is `unknown` where it hangs on
//!   a coat of which nothing is known.
//! - `arrived`: whether it was noted that the right and the left lens came in; null where none is made.
//! - `rows`: both eyes in words, side by side; `account`: what has no two sides; both in the order of work.
//! - `cautions`: what a person should know of this job; `hints`: what of the answer is the shop's to change.
//! - [`BenchCard`]: of all that what the hand goes by, on one screen.

mod advice;
mod card;
mod caution;
mod eye;
mod first_size;
mod handling;
mod head;
mod notes;
mod off_centre;
mod rounding;
mod rows;
mod seat;
mod segment;
mod sizes;
mod worn;

pub(crate) use advice::why;
pub use advice::{AdviceView, RungView};
pub(super) use advice::{COARSE, chance, expect};
pub use card::BenchCard;
pub use eye::{BlankView, BodyView, EyeView, LayoutView, ShapeView};
pub use rows::{Row, Sheet};
pub use sizes::SizeView;
pub(crate) use sizes::{dial_for_rim, over_rim_words, to_dial, to_leave};
pub use worn::WornView;

use super::{Figure, ordered_words, wanted_key, what_is_made};
use crate::advice::{At, Earlier};
use crate::desk::{Order, Viewing};
use crate::plan::{EyePlan, Plan};
use crate::settings::{Roughing, Safety};
use crate::work::Job;
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::sizing::{Basis, Size};
use caution::Caution;
use first_size::FirstSizeView;
use handling::Chosen;
use off_centre::OffCentreView;

view! {
    /// A plan as it is shown, with what the jobs before tell of such a frame.
    pub PlanView of (job: &Job, plan: Plan, earlier: &Earlier) with {
        let order = &job.order;
        let blank = |eye: Eye| job.arrived[eye.index()].as_ref().and_then(|arrival| arrival.blank);
        let eye = |eye: &EyePlan| EyeView::of(order.lens.design, eye, &plan.off_centre, blank(eye.eye));
        let [right, left] = plan.eyes.each_ref().map(|plan| plan.as_ref().map(eye));
        let wanted = Eye::BOTH.map(|eye| order.eye(eye).wanted);
        let weight = plan.milligrams().map(Figure::grams);
        let sizes = Eye::BOTH.map(|eye| {
            let dial = plan.dial.filter(|_| order.eye(eye).wanted.is_made())?;
            Some(SizeView::of(job, eye, &plan.habit, &dial, earlier.told.as_ref().map(|told| &told.advice)))
        });
        let pair = plan.made().count() == 2;
        let advice = earlier.told.as_ref().zip(plan.dial).map(|(told, dial)| AdviceView::of(told, &dial, pair));
        let hold = handling::clamp_and_pad(&plan.handling);
    } {
        job: u32 = order.number,
        /// Of several stations the one for which sizes are told.
        #[serde(skip_serializing_if = "Option::is_none")]
        station: Option<String> = match &earlier.at {
            At::Named(station) => Some(station.clone()),
            At::Only | At::Unsaid(_) => None,
        },
        /// What is said of each eye.
        #[serde(skip)]
        pub rows: Vec<Row> = rows::rows(
            Eye::BOTH.map(|eye| state(job, eye)), [right.as_ref(), left.as_ref()], sizes.each_ref().map(Option::as_ref),
        ),
        /// What is said of the job, each under its name.
        #[serde(skip)]
        pub account: Vec<(&'static str, String)> = account(
            job, &plan, [right.as_ref(), left.as_ref()], weight, earlier, &hold,
        ).into_iter().chain(advice.iter().flat_map(|advice| advice.detail.clone())).collect(),
        /// What the book tells of the frame; none where no lens would follow it, or it tells nothing.
        pub advice: Option<AdviceView> = advice,
        wanted: [&'static str; 2] = wanted.map(wanted_key),
        arrived: [Option<bool>; 2] = Eye::BOTH.map(|eye| job.made(eye).ok().map(|_| job.arrived[eye.index()].is_some())),
        right: Option<EyeView> = right,
        left: Option<EyeView> = left,
        /// For what distance the pair is made.
        viewing: Viewing = order.lens.viewing,
        material: String = plan.material.name.clone(),
        roughing: Roughing = plan.material.roughing,
        grip: &'static str = hold[0].key,
        pad: &'static str = hold[1].key,
        pair_weight_g: Option<Figure> = weight,
        bevel_place: String = plan.bevel.clone(),
        trace_notes: Vec<Caution> = plan.trace_notes.iter().map(notes::of_trace).collect(),
        first_size: FirstSizeView = FirstSizeView::of(&plan.first_size, first_size::advised(&plan, earlier)),
        /// How far each lens is sized, right and left; none while the station has not stated its dial.
        sizes: [Option<SizeView>; 2] = sizes,
        fitted_before_on_diameter_mm: Vec<Figure> = fitted_on_diameter(&earlier.fits),
        /// The prism of the pair beside its optical centres.
        off_centre: OffCentreView = OffCentreView::of(&plan.off_centre),
        cautions: Vec<Caution> = notes::of_order(order, &plan),
        /// What was done by figures that the order does not say any more.
        overtaken: Vec<Caution> = job.overtaken().iter().map(Caution::short).collect(),
        /// What is to be asked, of whoever prescribed the pair or supplies it.
        questions: Vec<Caution> = off_centre::questions(order, &plan.off_centre),
        /// What is ordered, each thing under its name; the first is the job's number.
        #[serde(skip)]
        head: Vec<(&'static str, String)> = head::head(order, &plan.material.name),
        /// What a person may want to change.
        #[serde(skip)]
        pub hints: Vec<&'static str> = notes::of_shop(&plan),
        /// What all this was made from, for drawing.
        #[serde(skip)]
        pub plan: Plan = plan,
    }
}

impl PlanView {
    /// What a person should know of this job, each in a sentence without its end.
    pub fn cautions(&self) -> impl Iterator<Item = String> {
        self.told(|caution| Some(&caution.whole)).into_iter().map(|(whose, words)| match whose {
            "" => words.to_owned(),
            whose => format!("{whose}: {words}"),
        })
    }

    /// Every caution that has these words, behind whose it is.
    fn told(&self, words: fn(&Caution) -> Option<&String>) -> Vec<(&'static str, &str)> {
        let [right, left] = [&self.right, &self.left]
            .map(|eye| eye.as_ref().map_or_else(<&[Caution]>::default, |eye| eye.cautions.as_slice()));
        let parts: [(_, &[Caution]); 6] = [
            ("", &self.overtaken),
            ("trace", &self.trace_notes),
            ("right", right),
            ("left", left),
            ("", &self.cautions),
            ("", &self.questions),
        ];
        let told =
            parts.into_iter().flat_map(|(whose, cautions)| cautions.iter().map(move |one| (whose, one)));
        told.filter_map(|(whose, caution)| Some((whose, words(caution)?.as_str()))).collect()
    }
}

/// What is made for an eye, and whether its lens is there.
fn state(job: &Job, eye: Eye) -> String {
    let wanted = job.order.eye(eye).wanted;
    let there = match &job.arrived[eye.index()] {
        Some(_) => "arrived",
        None if job.waits_for(eye) => "not arrived yet",
        None => "in work",
    };
    match wanted {
        Wanted::Lens => there.to_owned(),
        Wanted::Balance { .. } => format!("balance lens, {there}"),
        Wanted::Nothing { .. } => what_is_made(wanted).to_owned(),
    }
}

fn fitted_on_diameter(fitted: &[Size]) -> Vec<Figure> {
    let mut sizes: Vec<_> = fitted.iter().map(|size| size.on(Basis::Diameter)).collect();
    sizes.sort_unstable();
    sizes.into_iter().map(|size| Figure::from(size).to(2, 3).signed()).collect()
}

fn account(
    job: &Job,
    plan: &Plan,
    eyes: [Option<&EyeView>; 2],
    weight: Option<Figure>,
    earlier: &Earlier,
    [clamp, pad]: &[Chosen; 2],
) -> Vec<(&'static str, String)> {
    let order = &job.order;
    let coolant = match plan.material.roughing {
        Roughing::Wet => "wet throughout",
        Roughing::Dry => "rough dry, water only at the finish",
    };
    let not_made = |eye| plan.eyes[Eye::index(eye)].is_none().then(|| ordered_words(order.eye(eye)));
    let near = (order.lens.viewing == Viewing::Near).then(|| match order.near_pd {
        Some(near) => format!("centred at the near PD {near}"),
        None => format!("NEAR PD NOT GIVEN, centred at the distance PD {}", order.far_pd),
    });
    let [at_pd, reading] = off_centre::account(order, &plan.off_centre);
    let bevels = if order.frame.rim.closes_round_lens() { ", before bevelling" } else { "" };
    let account = [
        ("near pair", near),
        ("right eye", not_made(Eye::Right)),
        ("left eye", not_made(Eye::Left)),
        at_pd,
        reading,
        ("order, right", eyes[0].map(|right| lens_to_order(order, plan, right))),
        ("order, left", eyes[1].map(|left| lens_to_order(order, plan, left))),
        ("safety rule", plan.safety.as_ref().map(safety_words)),
        ("weight of pair", weight.map(|weight| format!("{weight:#}{bevels}"))),
        ("wheel", Some(format!("{coolant}; clamp {}; pad {}", clamp.words, pad.words))),
        seat::edge(order.frame.rim, plan),
        ("first size", first_size::words(job, plan, earlier)),
        ("second eye", first_size::of_second_eye(job, plan, earlier)),
        ("this frame", Some(first_size::of_this_frame(job, plan, earlier))),
    ];
    account.into_iter().filter_map(|(name, words)| Some((name, words?))).collect()
}

/// What the rule asks for, and where it is from.
fn safety_words((name, rule): &(String, Safety)) -> String {
    let least = |length| format!("at least {:#}", Figure::from(length).to(1, 3));
    let edge = rule.least_edge.map_or_else(String::new, |edge| format!(", edge {}", least(edge)));
    format!("{name}: centre {}{edge} ({})", least(rule.least_centre), rule.source)
}

fn lens_to_order(order: &Order, plan: &Plan, eye: &EyeView) -> String {
    let diameter = match eye.stocked_blank_mm {
        Some(diameter) => format!("{diameter:#} blank"),
        None => format!("blank of at least {:#}", eye.least_blank_mm),
    };
    let treatments: String = order.lens.treatments.iter().map(|treatment| format!(", {treatment}")).collect();
    let segment = order.lens.segment.map_or_else(String::new, |segment| format!(" {segment}"));
    let design = order.lens.design;
    format!("{} {design}{segment}, {}, {diameter}{treatments}", plan.material.name, eye.ordered)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::Settings;
    use crate::work::Work;
    use bevelbook_core::tolerance::Design;
    use bevelbook_core::units::{Length, Power};

    fn view(change: impl FnOnce(&mut Order)) -> PlanView {
        let folder = tempfile::tempdir().unwrap();
        let settings = Settings::defaults().unwrap();
        let mut work = Work::open(folder.path().join("book.db"), settings.clone()).unwrap();
        let mut order = crate::desk::sample();
        change(&mut order);
        let (job, _) = work.open_job(order, None).unwrap();
        let plan = Plan::of(&job.order, &settings, None, [None; 2]).unwrap();
        PlanView::of(&job, plan, &Earlier::default())
    }

    fn right<'v>(view: &'v PlanView, name: &str) -> &'v str {
        &view.rows.iter().find(|row| row.name == name).unwrap().eyes[0]
    }

    #[test]
    fn a_blank_that_is_not_stocked_is_said_in_row_and_order() {
        let view = view(|order| {
            order.frame.size.a = Length::from_milli(70_000);
            order.frame.size.ed = Some(Length::from_milli(75_001));
        });
        // (70 + 18)/2 − 31.5 are 12.5 mm in: 75.001 + 2 · 12.5 + 2 of allowance, and never understated.
        assert_eq!(right(&view, "minimum blank"), "102.1 mm; NO STOCKED BLANK");
        assert_eq!(right(&view, "worked out from"), "ED 75.1");
        assert!(view.account[0].1.contains("blank of at least 102.1 mm"), "{:?}", view.account);
    }

    #[test]
    fn a_segment_lacks_no_word_when_the_order_lacks_its_height() {
        let view = view(|order| {
            order.lens.design = Design::Multifocal;
            [order.right.add, order.left.add] = [Some(Power::from_milli(2000)); 2];
        });
        assert_eq!(right(&view, "segment top"), "height not given, 4.5 in");
        assert!(view.cautions().any(|caution| caution.contains("no heights were ordered")));
    }
}
