//! The values of a tolerance file, each refused where it stands when it cannot be right.

use bevelbook_core::tolerance::{Bound, Design, PdRule, Rule, ShopSteps, ShopTable};
use serde::de::{Error, Unexpected, Visitor};
use serde::{Deserialize, Deserializer};
use std::fmt;

/// A figure above zero and up to 100, in thousandths.
#[derive(Clone, Copy, Debug)]
pub(super) struct Figure(pub(super) i32);

impl Figure {
    fn exact<E: Error>(number: f64) -> Result<Self, E> {
        let milli = (number * 1000.0).round();
        if !(number > 0.0 && number <= 100.0) {
            return Err(E::custom(format!("{number} is not above 0 and up to 100")));
        }
        if (number * 1000.0 - milli).abs() > 1e-6 {
            return Err(E::custom(format!("{number} is finer than 0.001")));
        }
        Ok(Self(milli as i32))
    }

    pub(super) const fn rule(&self, confirmed: bool) -> Rule {
        ShopTable::rule(Bound::milli(self.0), confirmed)
    }
}

impl<'de> Deserialize<'de> for Figure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match BoundText::deserialize(deserializer)? {
            BoundText::Figure(figure) => Ok(figure),
            BoundText::Percent(_) => {
                Err(D::Error::custom("a percentage has no meaning here; write a figure, for example 0.5"))
            }
        }
    }
}

/// A figure, or a percentage of the ordered value: `0.12`, `"2 %"`.
#[derive(Clone, Copy, Debug)]
pub(super) enum BoundText {
    Figure(Figure),
    Percent(u8),
}

impl<'de> Deserialize<'de> for BoundText {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Text;
        impl Visitor<'_> for Text {
            type Value = BoundText;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a figure such as 0.12, or a whole percentage such as \"2 %\"")
            }

            fn visit_f64<E: Error>(self, number: f64) -> Result<BoundText, E> {
                Figure::exact(number).map(BoundText::Figure)
            }

            fn visit_i64<E: Error>(self, number: i64) -> Result<BoundText, E> {
                self.visit_f64(number as f64)
            }

            fn visit_str<E: Error>(self, text: &str) -> Result<BoundText, E> {
                let percent = text.strip_suffix('%').and_then(|number| number.trim().parse::<u8>().ok());
                match percent.filter(|percent| (1..=50).contains(percent)) {
                    Some(percent) => Ok(BoundText::Percent(percent)),
                    None => Err(E::invalid_value(Unexpected::Str(text), &self)),
                }
            }
        }
        deserializer.deserialize_any(Text)
    }
}

/// What a step allows.
pub(super) trait Allowed: Copy {
    fn bound(self) -> Bound;
}

impl Allowed for BoundText {
    fn bound(self) -> Bound {
        match self {
            Self::Figure(figure) => figure.bound(),
            Self::Percent(percent) => Bound::Percent(percent),
        }
    }
}

impl Allowed for Figure {
    fn bound(self) -> Bound {
        Bound::milli(self.0)
    }
}

/// Steps `[up to, allowed]`, rising.
#[derive(Clone, Debug)]
pub(super) struct Rising<B>(Vec<(Figure, B)>);

impl<B> Default for Rising<B> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<B: Allowed> Rising<B> {
    fn steps(&self, above: Option<B>, confirmed: bool) -> ShopSteps {
        let mut steps = ShopSteps::default();
        for (end, allowed) in &self.0 {
            // They were tried while they were read.
            let _ = steps.push(end.0, ShopTable::rule(allowed.bound(), confirmed));
        }
        if let Some(above) = above {
            steps.set_above(ShopTable::rule(above.bound(), confirmed));
        }
        steps
    }
}

impl<'de, B: Deserialize<'de> + Allowed> Deserialize<'de> for Rising<B> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let steps = Vec::<(Figure, B)>::deserialize(deserializer)?;
        let mut tried = ShopSteps::default();
        for (end, allowed) in &steps {
            tried.push(end.0, ShopTable::rule(allowed.bound(), true)).map_err(D::Error::custom)?;
        }
        Ok(Self(steps))
    }
}

/// Rules by magnitude.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "B: Deserialize<'de> + Allowed"))]
pub(super) struct StepsText<B> {
    #[serde(default)]
    up_to: Rising<B>,
    above: Option<B>,
}

impl<B: Allowed> StepsText<B> {
    pub(super) fn steps(&self, confirmed: bool) -> ShopSteps {
        self.up_to.steps(self.above, confirmed)
    }
}

/// Rules of the axis by cylinder.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AxisText {
    pub(super) from: Option<Figure>,
    #[serde(default)]
    up_to: Rising<Figure>,
    above: Option<Figure>,
}

impl AxisText {
    pub(super) fn steps(&self, confirmed: bool) -> ShopSteps {
        self.up_to.steps(self.above, confirmed)
    }
}

/// The reference point of an uncut lens.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReferenceText {
    pub(super) prism: Figure,
    pub(super) place: Option<Figure>,
    #[serde(default)]
    pub(super) both: bool,
}

/// The PD, whatever the power.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum PdText {
    Total(Figure),
    Each(Figure),
}

impl PdText {
    pub(super) const fn rule(&self, confirmed: bool) -> PdRule {
        match self {
            Self::Total(figure) => PdRule { rule: figure.rule(confirmed), each_eye: false },
            Self::Each(figure) => PdRule { rule: figure.rule(confirmed), each_eye: true },
        }
    }
}

/// Heights of segments and fitting crosses.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Heights {
    pub(super) each: Figure,
    pub(super) pair: Option<Figure>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Segment {
    pub(super) place: Option<Figure>,
    pub(super) tilt: Option<Figure>,
    pub(super) size: Option<Figure>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Lens {
    pub(super) base_curve: Option<Figure>,
    pub(super) warpage: Option<Figure>,
    pub(super) thickness: Option<Figure>,
}

/// A name that fits beside a verdict.
pub(super) fn name<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let text = filled(deserializer)?;
    if text.len() > ShopTable::NAME {
        return Err(D::Error::custom(format!("{text:?} is longer than {} bytes", ShopTable::NAME)));
    }
    Ok(text)
}

/// Text that says something.
pub(super) fn filled<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let text = String::deserialize(deserializer)?.trim().to_owned();
    if text.is_empty() { Err(D::Error::custom("must not be empty")) } else { Ok(text) }
}

/// From 1 up.
pub(super) fn version<'de, D: Deserializer<'de>>(deserializer: D) -> Result<u16, D::Error> {
    let version = u16::deserialize(deserializer)?;
    if version == 0 { Err(D::Error::custom("0: versions count from 1")) } else { Ok(version) }
}

/// At least one.
pub(super) fn designs<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Design>, D::Error> {
    let designs = Vec::<Design>::deserialize(deserializer)?;
    let wrong = "name at least one of single-vision, multifocal and progressive";
    if designs.is_empty() { Err(D::Error::custom(wrong)) } else { Ok(designs) }
}
