//! Prism between the eyes in a tolerance file: a limit, and where it changes with the power.

use super::parts::Figure;
use bevelbook_core::tolerance::{Above, Bound, Limit, ShopCentring, ShopTable};
use bevelbook_core::units::Power;
use serde::Deserialize;

/// Vertical prism of the pair.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct VerticalText {
    prism: Figure,
    each: Option<Figure>,
    up_to: Option<Figure>,
    above_effect: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(try_from = "VerticalText")]
pub(super) struct Vertical {
    text: VerticalText,
}

impl TryFrom<VerticalText> for Vertical {
    type Error = &'static str;

    fn try_from(text: VerticalText) -> Result<Self, Self::Error> {
        if text.up_to.is_some() == text.above_effect.is_some() {
            Ok(Self { text })
        } else {
            Err("`up_to` and `above_effect` belong together: what holds up to a power, and what above it")
        }
    }
}

impl Vertical {
    pub(super) fn centring(&self, confirmed: bool) -> ShopCentring {
        let text = &self.text;
        let switch =
            text.up_to.zip(text.above_effect).map(|(power, shift)| (power, effect(shift, confirmed)));
        centring(text.prism, text.each, switch, confirmed)
    }
}

/// Horizontal prism of the pair.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HorizontalText {
    prism: Figure,
    each: Option<Figure>,
    up_to: Option<Figure>,
    above_effect: Option<Figure>,
    above_pd: Option<Figure>,
    above_pd_each: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(try_from = "HorizontalText")]
pub(super) struct Horizontal {
    text: HorizontalText,
}

impl TryFrom<HorizontalText> for Horizontal {
    type Error = &'static str;

    fn try_from(text: HorizontalText) -> Result<Self, Self::Error> {
        let above = [text.above_effect, text.above_pd, text.above_pd_each].iter().flatten().count();
        if above == usize::from(text.up_to.is_some()) {
            Ok(Self { text })
        } else {
            Err(
                "`up_to` and one of `above_effect`, `above_pd` and `above_pd_each` belong together: what holds \
                 up to a power, and what above it",
            )
        }
    }
}

impl Horizontal {
    pub(super) fn centring(&self, confirmed: bool) -> ShopCentring {
        let text = &self.text;
        let pd = |figure: Figure, each_eye| Above::Pd { rule: figure.rule(confirmed), each_eye };
        let above = (text.above_effect.map(|shift| effect(shift, confirmed)))
            .or(text.above_pd.map(|figure| pd(figure, false)))
            .or(text.above_pd_each.map(|figure| pd(figure, true)));
        centring(text.prism, text.each, text.up_to.zip(above), confirmed)
    }
}

fn effect(shift: Figure, confirmed: bool) -> Above {
    Above::Effect(ShopTable::rule(Bound::Effect { prism: Limit::from_milli(0), shift: shift.0 }, confirmed))
}

fn centring(
    prism: Figure,
    each: Option<Figure>,
    switch: Option<(Figure, Above)>,
    confirmed: bool,
) -> ShopCentring {
    let each = each.map(|figure| figure.rule(confirmed));
    let switch = switch.map(|(power, above)| (Power::from_milli(power.0), above));
    ShopCentring::new(prism.rule(confirmed), each, switch)
}
