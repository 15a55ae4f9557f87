//! Tilt and wrap in words: what was done, what is the fitter's to know, and what is asked of the prescriber and the supplier.

use super::caution::Caution;
use super::rounding::{self, place, size};
use crate::plan::Worn;
use crate::view::{Figure, Lens};
use bevelbook_core::prescription::Eye;

view! {
    /// What tilt and wrap do to a lens.
    pub WornView of (worn: &Worn) {
        /// The PD along the wrapped front, by which the lens is decentred.
        pd_along_front_mm: Option<Figure> = worn.pd.map(|[_, along]| size(along)),
        centre_below_pupil_mm: Option<Figure> = worn.below_pupil.map(place),
        acts_like: Option<Lens> = worn.acts_like.map(Lens::from),
    }
}

/// What a person should know of it.
pub(super) fn cautions(eye: Eye, worn: &Worn) -> impl Iterator<Item = Caution> {
    let Worn { pd, below_pupil, acts_like } = *worn;
    let along = pd.map(|[across, along]| {
        let brief = "decentred along the wrapped front";
        Caution::of(brief, format!("{brief}, where the PD of {across} mm is {:#}", size(along)))
    });
    let below = below_pupil.map(|below| {
        let below = place(below);
        Caution::of(
            format!("tilted: OC belongs {below:#} below the pupil; is the height the pupil's?"),
            format!(
                "by the rule of 1 mm for each 2° of tilt the optical centre belongs {below:#} below the pupil's centre; the \
                 ordered height is kept as it is: is it the pupil's?"
            ),
        )
    });
    let power = acts_like.map(|power| {
        let [sphere, cylinder] = [power.sphere, power.cylinder].map(rounding::power);
        let axis = Figure::from(power.axis.angle()).to(0, 0);
        let acts = format!("acts like {sphere} {cylinder} x {axis}");
        Caution::of(
            format!("as worn it {acts}: is it compensated?"),
            format!(
                "tilted and wrapped as this frame is, the lens {acts}, rounded: is it compensated? Then the supplier says what \
                 it is to read as: enter that with --lab-power-{eye}. What is prescribed is the prescriber's to change"
            ),
        )
    });
    [along, below, power].into_iter().flatten()
}
