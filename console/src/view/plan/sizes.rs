//! How far a lens is sized, what its rim has shown, and what to dial next.

use crate::view::Figure;
use crate::work::Job;
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::{
    Advice, Basis, Counting, Dial, Dialled, Evidence, Habit, Size, dialled_for_rim,
};
use bevelbook_core::units::Length;

view! {
    /// The size of one lens, on the basis of the station's dial; what the book tells of its frame says what to dial next.
    pub SizeView of (job: &Job, eye: Eye, habit: &Habit, dial: &Dial, advice: Option<&Advice>) with {
        let known = job.state.known(eye).by_book(advice);
        let Evidence { sizing, shown, over_rim, .. } = known;
        let on = |size: Option<Size>| size.map(|size| Figure::from(size.on(dial.basis)).signed());
        let now = sizing.at_most(dial.basis);
        let next = habit.next_dialled(job.order.frame.rim, dial, &known);
    } {
        basis: Basis = dial.basis,
        passes: u16 = sizing.passes,
        now_mm: Option<Figure> = now.map(|now| Figure::from(now).signed()),
        too_big_mm: Option<Figure> = on(sizing.too_big),
        fits_mm: Option<Figure> = on(sizing.fits),
        before_too_big_mm: Option<Figure> = on(shown.too_big),
        before_fits_mm: Option<Figure> = on(shown.fits),
        before_loose_mm: Option<Figure> = on(shown.loose),
        over_rim_mm: Option<Figure> = over_rim.map(|over| across(over, dial).signed()),
        next_dialled_mm: Option<Figure> = next.map(|next| next.amount.into()),
        /// What to dial next.
        #[serde(skip)]
        pub next: Option<Dialled> = next,
        /// How far it has come and what to dial next, on the dial's basis; in at most 30 columns.
        #[serde(skip)]
        pub(super) state: String = state(&known, next, dial),
        /// What measured girths say of it, on the same basis; empty where none were, and of a lens that is done.
        #[serde(skip)]
        pub(super) girth: String =
            over_rim.filter(|_| !sizing.is_done()).map_or_else(String::new, |over| too_long(over, dial, "")),
    }
}

/// What to dial, in words.
pub(crate) fn to_dial(next: Dialled) -> String {
    format!("dial {next} on {}", next.basis)
}

/// A girth that is too long, as it counts on the dial.
fn across(over: Length, dial: &Dial) -> Figure {
    Figure::from(Size { basis: Basis::Girth, offset: over }.on(dial.basis)).to(2, 2)
}

fn state(known: &Evidence<'_>, next: Option<Dialled>, dial: &Dial) -> String {
    let Evidence { sizing, shown, .. } = *known;
    let at = |size: Size| Figure::from(size.on(dial.basis)).to(2, 3).signed();
    let state = match (sizing.passes, sizing.fits, sizing.too_big) {
        _ if sizing.is_scrap() => "loose: scrap".to_owned(),
        (0, ..) => match (shown.fits, shown.too_big, shown.loose) {
            (Some(fits), ..) => format!("last fitted {}", at(fits)),
            (None, Some(big), _) => format!("last too big {}", at(big)),
            (None, None, Some(loose)) => format!("last loose {}", at(loose)),
            _ => "not cut yet".to_owned(),
        },
        (_, Some(fits), _) => format!("fits at {}", at(fits)),
        (_, None, Some(big)) => format!("too big {}", at(big)),
        _ => "stopped early".to_owned(),
    };
    state + &next.map_or_else(String::new, |next| format!("; {}", to_leave(next)))
}

/// What to dial in short, without its basis: `dial +0.40`, `take off 0.20`.
pub(crate) fn to_leave(next: Dialled) -> String {
    let act = match next.counting {
        Counting::Absolute => "dial",
        Counting::TakeOff { .. } => "take off",
    };
    format!("{act} {}", amount(next))
}

/// The figure alone.
pub(super) fn amount(Dialled { amount, counting, .. }: Dialled) -> Figure {
    let amount = Figure::from(amount).to(2, 3);
    if counting == Counting::Absolute { amount.signed() } else { amount }
}

/// By how much measured girths say that a lens is too big or too small for its rim, as it counts on the dial.
pub(crate) fn over_rim_words(over: Length, dial: &Dial) -> String {
    let words = too_long(over, dial, &format!(" on {}", dial.basis));
    if over == Length::ZERO { words } else { words + " for its rim by girth" }
}

fn too_long(over: Length, dial: &Dial, on: &str) -> String {
    let by = across(over, dial).abs();
    match over.milli().signum() {
        1 => format!("{by:#}{on} too big"),
        -1 => format!("{by:#}{on} too small"),
        _ => "as long round as its rim".to_owned(),
    }
}

/// What to dial for that, where it can be said.
pub(crate) fn dial_for_rim(now: Option<Length>, over: Length, dial: &Dial) -> Option<Dialled> {
    dialled_for_rim(now, over, dial).filter(|_| over > Length::ZERO)
}
