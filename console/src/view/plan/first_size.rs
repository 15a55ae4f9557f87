//! The first sizes of a pair: by the book, else the shop's default, and what lenses took in such a frame before.

use super::advice;
use super::sizes::to_dial;
use crate::advice::{At, Earlier};
use crate::plan::{EyePlan, FirstSize, Plan};
use crate::shell::word;
use crate::view::Figure;
use crate::work::Job;
use bevelbook_core::sizing::{Basis, Dialled, Size};

view! {
    /// The first size to dial: what the book advises, else the shop's default.
    pub(super) FirstSizeView of (first: &FirstSize, advised: Option<Dialled>) with {
        let dialled = advised.or(first.dialled);
    } {
        habit_mm: Figure = first.habit.offset.into(),
        habit_basis: Basis = first.habit.basis,
        dialled_mm: Option<Figure> = dialled.map(|dialled| dialled.amount.into()),
        dialled_basis: Option<Basis> = dialled.map(|dialled| dialled.basis),
    }
}

/// What to dial first by the book.
pub(super) fn advised(plan: &Plan, earlier: &Earlier) -> Option<Dialled> {
    advice::first_dialled(earlier.told.as_ref(), &plan.dial?)
}

/// What to dial first, and for what, until a lens was cut.
pub(super) fn words(job: &Job, plan: &Plan, earlier: &Earlier) -> Option<String> {
    let is_cut = |eye: &EyePlan| job.state.lens(eye.eye).sizing.passes > 0;
    let FirstSize { habit, dialled } = &plan.first_size;
    let advised = earlier.told.as_ref().zip(advised(plan, earlier));
    let words = match (advised, dialled) {
        (Some((told, advised)), _) => advice::first_words(told, advised, &plan.first_size),
        (None, None) => match &earlier.at {
            At::Unsaid(one) => format!("{habit} (shop default); at which station? --station {}", word(one)),
            At::Only | At::Named(_) => not_stated(job, habit),
        },
        (None, Some(dialled)) => {
            let dial = to_dial(*dialled);
            let same = dial == format!("dial {habit}");
            let dial = if same {
                format!("{dial} (shop default)")
            } else {
                format!("{dial} (shop default {habit})")
            };
            match earlier.is_coarse && earlier.knows() {
                true => format!("{dial}; no advice by the book: {}", advice::COARSE),
                false => dial,
            }
        }
    };
    let words = match &earlier.at {
        At::Named(station) => format!("at {station}: {words}"),
        At::Only | At::Unsaid(_) => words,
    };
    (!plan.made().any(is_cut)).then_some(words)
}

/// What is cut first while the dial is not stated.
fn not_stated(job: &Job, habit: &Size) -> String {
    let set = "the station: bevelbook station dial --help";
    match job.order.frame.rim.closes_round_lens() {
        true => format!("{habit} (shop default); no advice by the book before you set {set}"),
        false => format!("{habit} (shop default); set {set}"),
    }
}

/// What to dial first for the other eye, until that was cut.
pub(super) fn of_second_eye(job: &Job, plan: &Plan, earlier: &Earlier) -> Option<String> {
    let untouched = |eye: &EyePlan| job.state.lens(eye.eye).sizing.passes == 0;
    let fits = |eye: &EyePlan| job.state.lens(eye.eye).sizing.is_done();
    let pair = plan.made().count() == 2
        && (plan.made().all(untouched) || plan.made().any(fits) && plan.made().any(untouched));
    earlier.told.as_ref().filter(|_| pair).and_then(|told| advice::second_words(told, &plan.dial?))
}

/// What lenses before took in this model and size, or whose lenses stand in their place.
pub(super) fn of_this_frame(job: &Job, plan: &Plan, earlier: &Earlier) -> String {
    if !job.order.frame.rim.closes_round_lens() {
        return "cut to its shape; the book advises no size".into();
    }
    let Earlier { fits, elsewhere, told, at, .. } = earlier;
    let basis = plan.dial.map_or(Basis::Diameter, |dial| dial.basis);
    let others = format!("{elsewhere} at other stations");
    match (fits.is_empty(), told, at) {
        (true, ..) if *elsewhere > 0 => format!("none fitted here; {others}"),
        (true, Some(told), _) => advice::of_others(told),
        _ if *elsewhere > 0 => format!("{}; {others}", fitted_words(fits, basis)),
        (false, _, At::Unsaid(_)) => format!("{}, at all stations", fitted_words(fits, basis)),
        _ => fitted_words(fits, basis),
    }
}

/// What lenses before took in this model and size, as the dial counts; no statistics.
fn fitted_words(fitted: &[Size], basis: Basis) -> String {
    let on = |size: &Size| Figure::from(size.on(basis)).to(2, 3).signed();
    let range =
        fitted.iter().min_by_key(|size| size.on(basis)).zip(fitted.iter().max_by_key(|size| size.on(basis)));
    match (fitted, range) {
        (_, Some((least, most))) if fitted.len() > 1 && least.on(basis) == most.on(basis) => {
            format!("{} lenses fitted {} mm on {basis}", fitted.len(), on(least))
        }
        ([.., last], Some((least, most))) if fitted.len() > 1 => format!(
            "{} lenses fitted {} to {} mm on {basis}, last {}",
            fitted.len(),
            on(least),
            on(most),
            on(last)
        ),
        ([one], _) => format!("1 lens fitted {} mm on {basis}", on(one)),
        _ => "nothing known yet of this model and size".into(),
    }
}
