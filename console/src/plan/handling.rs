//! How the lenses are held: pad and clamp.
//!
//! A slippery coat wants an anti-slip pad, and its axis is checked after roughing; a light clamp is for coats that craze and
//! for thin lenses (common practice, no source). What a treatment does stands in the shop's settings; of one that does not
//! stand there nothing is known.

use super::body::Body;
use crate::desk::Order;
use crate::settings::{Settings, Treatment};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;

/// What decides on pad and clamp.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Handling {
    /// Ordered treatments that let a lens slip on its pad.
    pub slippery: Vec<String>,
    /// Ordered treatments that craze.
    pub crazing: Vec<String>,
    /// Ordered treatments of which nothing is known.
    pub unknown: Vec<String>,
    /// Lenses that are thinner somewhere than what is clamped as usual.
    pub thin: Vec<Eye>,
    /// What that is.
    pub light_below: Length,
}

impl Handling {
    /// Of an order whose lenses `made` could be worked out as bodies.
    pub(super) fn of<'p>(
        order: &Order,
        settings: &Settings,
        made: impl Iterator<Item = (Eye, &'p Body)>,
    ) -> Self {
        let those = |asked: fn(Option<&Treatment>) -> bool| {
            let treatments = order.lens.treatments.iter();
            treatments.filter(|written| asked(settings.treatment(written))).cloned().collect()
        };
        let light_below = settings.clamp.light_below;
        let thin = |(eye, body): (Eye, &Body)| {
            (body.centre.min(body.thinnest.thickness) < light_below).then_some(eye)
        };
        Self {
            slippery: those(|known| known.is_some_and(|does| does.slippery)),
            crazing: those(|known| known.is_some_and(|does| does.crazes)),
            unknown: those(|known| known.is_none()),
            thin: made.filter_map(thin).collect(),
            light_below,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Plan;
    use super::*;
    use crate::desk::sample;
    use bevelbook_core::prescription::EyeOrder;

    #[test]
    fn a_slippery_coat_a_crazing_one_a_thin_lens_and_an_unknown_coat_are_told_apart() {
        let mut order = sample();
        order.lens.treatments = ["hard coat", "Hydrophobic", "AR", "gold leaf"].map(str::to_owned).to_vec();
        order.right = EyeOrder::parse("-2.00 DS").unwrap();
        order.centre_thickness = Some([900, 2000].map(Length::from_milli));
        let plan = Plan::of(&order, &Settings::defaults().unwrap(), None, [None; 2]).unwrap();
        let Handling { slippery, crazing, unknown, thin, .. } = plan.handling;
        assert_eq!(slippery, ["Hydrophobic", "AR"]);
        assert_eq!((crazing, unknown), (vec!["AR".to_owned()], vec!["gold leaf".to_owned()]));
        assert_eq!(thin, [Eye::Right]);
    }
}
