//! What is to be done at the bench for a job: the lens and its place of each eye, and what is common to the pair.
//!
//! - `right`, `left`: figures of one lens, and the lines that a focimeter shows of it.
//! - `rows`: both eyes in words, side by side; `account`: what has no two sides; both in the order of work.
//! - `cautions`: what a person should know of this job; `hints`: what of the answer is the shop's to change.

mod eye;
mod notes;
mod rows;

pub use eye::{BlankView, BodyView, EyeView, ShapeView};
pub use rows::{Row, Sheet};

use super::Figure;
use crate::desk::Order;
use crate::plan::Plan;
use crate::settings::Roughing;
use crate::work::Job;
use bevelbook_core::sizing::{Basis, Size};
use serde::Serialize;

/// A plan as it is shown.
#[derive(Debug, Serialize)]
pub struct PlanView {
    job: u32,
    right: EyeView,
    left: EyeView,
    material: String,
    roughing: Roughing,
    grip: &'static str,
    pair_weight_g: Option<Figure>,
    bevel_place: String,
    trace_notes: Vec<String>,
    first_size: FirstSizeView,
    fitted_before_on_diameter_mm: Vec<Figure>,
    cautions: Vec<&'static str>,
    /// The job in a line.
    #[serde(skip)]
    pub heading: String,
    /// What is said of each eye.
    #[serde(skip)]
    pub rows: Vec<Row>,
    /// What is said of the job, each under its name.
    #[serde(skip)]
    pub account: Vec<(&'static str, String)>,
    /// What a person may want to change.
    #[serde(skip)]
    pub hints: Vec<&'static str>,
    /// What all this was made from, for drawing.
    #[serde(skip)]
    pub plan: Plan,
}

/// The first size to dial.
#[derive(Debug, Serialize)]
struct FirstSizeView {
    habit_mm: Figure,
    habit_basis: Basis,
    dialled_mm: Option<Figure>,
    dialled_basis: Option<Basis>,
}

impl PlanView {
    /// Of the plan of a job, and the sizes at which earlier lenses fitted such a frame.
    #[must_use]
    pub fn of(job: &Job, plan: Plan, fitted: &[Size]) -> Self {
        let (order, first) = (&job.order, plan.first_size);
        let [right, left] = plan.eyes.each_ref().map(|eye| EyeView::of(order.lens.design, eye));
        let mut fitted: Vec<_> = fitted.iter().map(|size| size.on(Basis::Diameter)).collect();
        fitted.sort_unstable();
        let fitted = fitted.into_iter().map(|size| Figure::from(size).to(2, 3).signed());
        let tray = order.tray.as_ref().map_or_else(String::new, |tray| format!(", tray {tray}"));
        let (frame, number) = (&order.frame, order.number);
        let mut view = Self {
            job: number,
            rows: rows::rows([&right, &left]),
            right,
            left,
            material: plan.material.name.clone(),
            roughing: plan.material.roughing,
            grip: if plan.light_because.is_some() { "light" } else { "full" },
            pair_weight_g: plan.milligrams().map(Figure::grams),
            bevel_place: plan.bevel.clone(),
            trace_notes: plan.trace_notes.iter().map(ToString::to_string).collect(),
            first_size: FirstSizeView {
                habit_mm: first.habit.offset.into(),
                habit_basis: first.habit.basis,
                dialled_mm: first.dialled.map(|dialled| dialled.amount.into()),
                dialled_basis: first.dialled.map(|dialled| dialled.basis),
            },
            fitted_before_on_diameter_mm: fitted.collect(),
            cautions: notes::of_order(order, &plan),
            heading: format!("job {number}{tray}: {} {}, {} rim", frame.model, frame.label(), frame.rim),
            account: Vec::new(),
            hints: notes::of_shop(&plan),
            plan,
        };
        view.account = view.account_of(order);
        view
    }

    /// What a person should know of this job, each in a sentence without its end.
    pub fn cautions(&self) -> impl Iterator<Item = String> {
        let trace = self.trace_notes.iter().map(|note| format!("trace: {note}"));
        let eyes = [("right", &self.right), ("left", &self.left)];
        let of_eye = |(name, eye): (_, &EyeView)| {
            eye.cautions.iter().map(move |said| format!("{name}: {said}")).collect::<Vec<_>>()
        };
        trace.chain(eyes.into_iter().flat_map(of_eye)).chain(self.cautions.iter().map(ToString::to_string))
    }

    fn account_of(&self, order: &Order) -> Vec<(&'static str, String)> {
        let plan = &self.plan;
        let weight = self.pair_weight_g.map(|weight| format!("{weight:#} cut, bevels not taken off"));
        let bevel = format!("{}, by the shop's habit", self.bevel_place);
        let roughing = match self.roughing {
            Roughing::Wet => "wet throughout",
            Roughing::Dry => "dry, water only at the finish",
        };
        let grip = plan.light_because.as_ref().map_or_else(
            || "full".into(),
            |treatment| format!("light, the {treatment} treatment slips; check the axis after roughing"),
        );
        let habit = format!("{} by the shop's habit", plan.first_size.habit);
        let dialled = plan.first_size.dialled;
        let dial = dialled.map(|dialled| format!("dial {dialled} on {} ({habit})", dialled.basis));
        let account = [
            ("order, right", Some(self.lens_to_order(order, &self.right))),
            ("order, left", Some(self.lens_to_order(order, &self.left))),
            ("pair weighs", weight),
            ("bevel", order.frame.rim.closes_round_lens().then_some(bevel)),
            ("roughing", Some(roughing.into())),
            ("grip", Some(grip)),
            ("first size", Some(dial.unwrap_or(habit))),
            ("this frame", Some(self.fitted_words())),
        ];
        account.into_iter().filter_map(|(name, words)| Some((name, words?))).collect()
    }

    fn lens_to_order(&self, order: &Order, eye: &EyeView) -> String {
        let diameter = match eye.stocked_blank_mm {
            Some(diameter) => format!("⌀ {diameter:#}"),
            None => format!("at least ⌀ {:#}", eye.least_blank_mm),
        };
        let treatments: String =
            order.lens.treatments.iter().map(|treatment| format!(", {treatment}")).collect();
        format!("{} {}, {}, {diameter}{treatments}", self.material, order.lens.design, eye.ordered)
    }

    /// What earlier lenses in this model and size have shown; no statistics.
    fn fitted_words(&self) -> String {
        let sizes: Vec<String> = self.fitted_before_on_diameter_mm.iter().map(ToString::to_string).collect();
        let lenses = match sizes.len() {
            0 => return "nothing known yet of this model and size".into(),
            1 => "1 lens".into(),
            many => format!("{many} lenses"),
        };
        format!("{lenses} of this model and size fitted at {} mm on diameter", sizes.join(", "))
    }
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
        assert_eq!(right(&view, "segment top"), "height not given");
        assert!(view.cautions().any(|caution| caution.contains("no heights were ordered")));
    }
}
