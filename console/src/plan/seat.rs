//! How a lens sits in its frame: a bevel and the curve that it runs on in a rim, a groove for a cord, or neither.

use super::bevel_curve::{BevelCurve, NoBevelCurve, RimCurve};
use crate::settings::Settings;
use bevelbook_core::lens::{
    BaseCurve, BevelError, BevelFit, BevelWarning, EdgePoint, GrooveLimits, GrooveWarning,
};
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::{Length, RefractiveIndex};

/// What the edge of a lens is given for its frame.
#[derive(Clone, Debug, Default)]
pub struct Seat {
    /// The bevel at the thickest place: what of the edge lies before and behind it; none where there is no bevel.
    pub bevel: Option<Result<BevelFit, BevelError>>,
    /// What is odd about it.
    pub warning: Option<BevelWarning>,
    /// The curve that it runs on.
    pub curve: Option<Result<BevelCurve, NoBevelCurve>>,
    /// What is wrong with a groove at the thinnest place; empty where there is none.
    pub groove: Vec<GrooveWarning>,
}

impl Seat {
    /// On these edges of a lens with such a front, the thickest and the thinnest of them being so thick.
    pub(super) fn of(
        (rim, curve): (Rim, &RimCurve),
        settings: &Settings,
        front: (&BaseCurve, RefractiveIndex),
        edges: &[EdgePoint],
        [thickest, thinnest]: [Length; 2],
    ) -> Self {
        match rim {
            Rim::Metal | Rim::Plastic => {
                let shop = &settings.bevel;
                let bevel = BevelFit::of(thickest, shop.placement());
                let warning = bevel.ok().and_then(|fit| fit.warning(&shop.limits()));
                let curve = BevelCurve::of(edges, front, shop, curve);
                Self { bevel: Some(bevel), warning, curve: Some(curve), groove: Vec::new() }
            }
            Rim::Grooved => {
                let warnings = settings.groove.in_edge(thinnest).warnings(thinnest, &GrooveLimits::default());
                Self { groove: warnings.into_iter().collect(), ..Self::default() }
            }
            Rim::Rimless => Self::default(),
        }
    }
}
