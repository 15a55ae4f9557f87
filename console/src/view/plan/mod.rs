//! What is to be done at the bench for a job: the lens and its place of each eye, and what is common to the pair.
//!
//! - `wanted`: what is made for the right and the left eye: `lens`, `balance` or `none`.
//! - `right`, `left`: figures of one lens, and the lines that a focimeter shows of it; null where none is made.
//! - `grip`: how the clamp is set, `light` or `normal`; `pad`: `anti-slip` or `normal`; either is `unknown` where it hangs on
//!   a coat of which nothing is known.
//! - `rows`: both eyes in words, side by side; `account`: what has no two sides; both in the order of work.
//! - `cautions`: what a person should know of this job; `hints`: what of the answer is the shop's to change.

mod eye;
mod handling;
mod notes;
mod off_centre;
mod rounding;
mod rows;
mod seat;
mod segment;
mod sizes;
mod worn;

pub use eye::{BlankView, BodyView, EyeView, LayoutView, ShapeView};
pub use rows::{Row, Sheet};
pub use sizes::SizeView;
pub(crate) use sizes::{dial_for_rim, over_rim_words};
pub use worn::WornView;

use super::{Figure, ordered_words, wanted_key};
use crate::desk::{Order, Viewing};
use crate::plan::{EyePlan, FirstSize, Plan};
use crate::settings::{Roughing, Safety};
use crate::work::Job;
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::{Basis, Size};
use off_centre::OffCentreView;

view! {
    /// A plan as it is shown, with the sizes at which earlier lenses fitted such a frame.
    pub PlanView of (job: &Job, plan: Plan, fitted: &[Size]) with {
        let order = &job.order;
        let eye = |eye: &EyePlan| EyeView::of(order.lens.design, eye, &plan.off_centre);
        let [right, left] = plan.eyes.each_ref().map(|plan| plan.as_ref().map(eye));
        let wanted = Eye::BOTH.map(|eye| order.eye(eye).wanted);
        let weight = plan.milligrams().map(Figure::grams);
        let fitted = fitted_on_diameter(fitted);
        let sizes = Eye::BOTH.map(|eye| {
            let dial = plan.dial.filter(|_| order.eye(eye).wanted.is_made())?;
            Some(SizeView::of(job, eye, &plan.habit, &dial))
        });
        let [clamp, pad] = handling::clamp_and_pad(&plan.handling);
    } {
        job: u32 = order.number,
        /// What is said of each eye.
        #[serde(skip)]
        pub rows: Vec<Row> = rows::rows(wanted, [right.as_ref(), left.as_ref()]),
        /// What is said of the job, each under its name.
        #[serde(skip)]
        pub account: Vec<(&'static str, String)> = account(order, &plan, [right.as_ref(), left.as_ref()], weight, &fitted, &sizes),
        wanted: [&'static str; 2] = wanted.map(wanted_key),
        right: Option<EyeView> = right,
        left: Option<EyeView> = left,
        /// For what distance the pair is made.
        viewing: Viewing = order.lens.viewing,
        material: String = plan.material.name.clone(),
        roughing: Roughing = plan.material.roughing,
        grip: &'static str = clamp.key,
        pad: &'static str = pad.key,
        pair_weight_g: Option<Figure> = weight,
        bevel_place: String = plan.bevel.clone(),
        trace_notes: Vec<String> = plan.trace_notes.iter().map(ToString::to_string).collect(),
        first_size: FirstSizeView = FirstSizeView::of(&plan.first_size),
        /// How far each lens is sized, right and left; none while the station has not stated its dial.
        sizes: [Option<SizeView>; 2] = sizes,
        fitted_before_on_diameter_mm: Vec<Figure> = fitted,
        /// The prism of the pair beside its optical centres.
        off_centre: OffCentreView = OffCentreView::of(&plan.off_centre),
        cautions: Vec<&'static str> = notes::of_order(order, &plan),
        /// What is to be asked, of whoever prescribed the pair or supplies it.
        questions: Vec<String> = off_centre::questions(order, &plan.off_centre),
        /// The job in a line.
        #[serde(skip)]
        pub heading: String = heading(order),
        /// What a person may want to change.
        #[serde(skip)]
        pub hints: Vec<&'static str> = notes::of_shop(&plan),
        /// What all this was made from, for drawing.
        #[serde(skip)]
        pub plan: Plan = plan,
    }
}

view! {
    /// The first size to dial.
    pub FirstSizeView of (first: &FirstSize) {
        habit_mm: Figure = first.habit.offset.into(),
        habit_basis: Basis = first.habit.basis,
        dialled_mm: Option<Figure> = first.dialled.map(|dialled| dialled.amount.into()),
        dialled_basis: Option<Basis> = first.dialled.map(|dialled| dialled.basis),
    }
}

impl PlanView {
    /// What a person should know of this job, each in a sentence without its end.
    pub fn cautions(&self) -> impl Iterator<Item = String> {
        let said = |whose: &'static str, cautions: &[String]| {
            cautions.iter().map(|caution| format!("{whose}: {caution}")).collect::<Vec<_>>()
        };
        let of_parts = [
            said("trace", &self.trace_notes),
            self.right.as_ref().map_or_else(Vec::new, |right| said("right", &right.cautions)),
            self.left.as_ref().map_or_else(Vec::new, |left| said("left", &left.cautions)),
        ];
        let of_pair = self.cautions.iter().map(ToString::to_string).chain(self.questions.iter().cloned());
        of_parts.into_iter().flatten().chain(of_pair)
    }
}

fn heading(order: &Order) -> String {
    let tray = order.tray.as_ref().map_or_else(String::new, |tray| format!(", tray {tray}"));
    let frame = &order.frame;
    format!("job {}{tray}: {} {}, {}", order.number, frame.model, frame.label(), frame.rim.named())
}

fn fitted_on_diameter(fitted: &[Size]) -> Vec<Figure> {
    let mut sizes: Vec<_> = fitted.iter().map(|size| size.on(Basis::Diameter)).collect();
    sizes.sort_unstable();
    sizes.into_iter().map(|size| Figure::from(size).to(2, 3).signed()).collect()
}

fn account(
    order: &Order,
    plan: &Plan,
    eyes: [Option<&EyeView>; 2],
    weight: Option<Figure>,
    fitted: &[Figure],
    sizes: &[Option<SizeView>; 2],
) -> Vec<(&'static str, String)> {
    let roughing = match plan.material.roughing {
        Roughing::Wet => "wet throughout",
        Roughing::Dry => "dry, water only at the finish",
    };
    let [clamp, pad] = handling::clamp_and_pad(&plan.handling).map(|chosen| chosen.words);
    let habit = format!("{} by the shop's habit", plan.first_size.habit);
    let dialled = plan.first_size.dialled;
    let dial = dialled.map(|dialled| format!("dial {dialled} on {} ({habit})", dialled.basis));
    let not_made = |eye| plan.eyes[Eye::index(eye)].is_none().then(|| ordered_words(order.eye(eye)));
    let size_words = |eye: Eye| sizes[eye.index()].as_ref()?.said.clone();
    let near = (order.lens.viewing == Viewing::Near).then(|| match order.near_pd {
        Some(near) => format!("centred at the near PD {near}"),
        None => format!("NEAR PD NOT GIVEN, centred at the distance PD {}", order.far_pd),
    });
    let [at_pd, reading] = off_centre::account(order, &plan.off_centre);
    let bevels = if order.frame.rim.closes_round_lens() { ", bevels not taken off" } else { "" };
    let account = [
        at_pd,
        reading,
        ("near pair", near),
        ("order, right", eyes[0].map(|right| lens_to_order(order, plan, right))),
        ("order, left", eyes[1].map(|left| lens_to_order(order, plan, left))),
        ("right eye", not_made(Eye::Right)),
        ("left eye", not_made(Eye::Left)),
        ("pair weighs", weight.map(|weight| format!("{weight:#} cut{bevels}"))),
        seat::edge(order.frame.rim, plan),
        ("safety rule", plan.safety.as_ref().map(safety_words)),
        ("roughing", Some(roughing.into())),
        ("clamp", Some(clamp)),
        ("pad", Some(pad)),
        ("first size", Some(dial.unwrap_or(habit))),
        ("size, right", size_words(Eye::Right)),
        ("size, left", size_words(Eye::Left)),
        ("this frame", Some(fitted_words(fitted))),
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
        Some(diameter) => format!("⌀ {diameter:#}"),
        None => format!("at least ⌀ {:#}", eye.least_blank_mm),
    };
    let treatments: String = order.lens.treatments.iter().map(|treatment| format!(", {treatment}")).collect();
    let segment = order.lens.segment.map_or_else(String::new, |segment| format!(" {segment}"));
    let design = order.lens.design;
    format!("{} {design}{segment}, {}, {diameter}{treatments}", plan.material.name, eye.ordered)
}

/// What earlier lenses in this model and size have shown; no statistics.
fn fitted_words(fitted: &[Figure]) -> String {
    let lenses = match fitted.len() {
        0 => return "nothing known yet of this model and size".into(),
        1 => "1 lens".into(),
        many => format!("{many} lenses"),
    };
    let sizes: Vec<String> = fitted.iter().map(ToString::to_string).collect();
    format!("{lenses} of this model and size fitted at {} mm on diameter", sizes.join(", "))
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
        let mut work = Work::open(&folder.path().join("book.db"), settings.clone()).unwrap();
        let mut order = crate::desk::sample();
        change(&mut order);
        let (job, _) = work.open_job(order, None).unwrap();
        let plan = Plan::of(&job.order, &settings, None).unwrap();
        PlanView::of(&job, plan, &[])
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
        assert_eq!(right(&view, "least blank"), "102.1 mm (ED 75.1)");
        assert_eq!(right(&view, "stocked blank"), "none is large enough");
        assert!(view.account[0].1.contains("at least ⌀ 102.1 mm"), "{:?}", view.account);
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
