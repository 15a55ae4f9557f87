//! The values of a tolerance file, each refused where it stands when it cannot be right.

use bevelbook_core::tolerance::{Bound, Design, Limit};
use serde::de::{Error, Unexpected, Visitor};
use serde::{Deserialize, Deserializer};
use std::fmt;

/// Most bytes of a name: it stands beside a verdict.
const NAME: usize = 64;

/// A figure above zero and up to 100, in thousandths.
#[derive(Clone, Copy)]
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
}

impl From<Figure> for Bound {
    fn from(Figure(milli): Figure) -> Self {
        Self::milli(milli)
    }
}

impl<'de> Deserialize<'de> for Figure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match FigureOrPercent::deserialize(deserializer)? {
            FigureOrPercent::Figure(figure) => Ok(figure),
            FigureOrPercent::Percent(_) => {
                Err(D::Error::custom("a percentage has no meaning here; write a figure, for example 0.5"))
            }
        }
    }
}

/// A figure, or a percentage of the ordered value: `0.12`, `"2 %"`.
#[derive(Clone, Copy)]
pub(super) enum FigureOrPercent {
    Figure(Figure),
    Percent(u8),
}

impl From<FigureOrPercent> for Bound {
    fn from(text: FigureOrPercent) -> Self {
        match text {
            FigureOrPercent::Figure(figure) => figure.into(),
            FigureOrPercent::Percent(percent) => Self::Percent(percent),
        }
    }
}

impl<'de> Deserialize<'de> for FigureOrPercent {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Text;
        impl Visitor<'_> for Text {
            type Value = FigureOrPercent;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a figure such as 0.12, or a whole percentage such as \"2 %\"")
            }

            fn visit_f64<E: Error>(self, number: f64) -> Result<FigureOrPercent, E> {
                Figure::exact(number).map(FigureOrPercent::Figure)
            }

            fn visit_i64<E: Error>(self, number: i64) -> Result<FigureOrPercent, E> {
                self.visit_f64(number as f64)
            }

            fn visit_str<E: Error>(self, text: &str) -> Result<FigureOrPercent, E> {
                let percent = text.strip_suffix('%').and_then(|number| number.trim().parse::<u8>().ok());
                match percent.filter(|percent| (1..=50).contains(percent)) {
                    Some(percent) => Ok(FigureOrPercent::Percent(percent)),
                    None => Err(E::invalid_value(Unexpected::Str(text), &self)),
                }
            }
        }
        deserializer.deserialize_any(Text)
    }
}

/// Rules by magnitude: `[up to, allowed]`, rising, and what holds above.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Rising {
    #[serde(default, deserialize_with = "rising")]
    pub(super) up_to: Vec<(Figure, FigureOrPercent)>,
    pub(super) above: Option<FigureOrPercent>,
}

/// The same for the axis.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Axis {
    pub(super) from: Option<Figure>,
    #[serde(default, deserialize_with = "rising")]
    pub(super) up_to: Vec<(Figure, Figure)>,
    pub(super) above: Option<Figure>,
}

fn rising<'de, D: Deserializer<'de>, B: Deserialize<'de>>(from: D) -> Result<Vec<(Figure, B)>, D::Error> {
    let steps = Vec::<(Figure, B)>::deserialize(from)?;
    let mut before = 0;
    for (Figure(end), _) in &steps {
        if *end <= before {
            let [end, before] = [*end, before].map(Limit::from_milli);
            return Err(D::Error::custom(format!("the step to {end} must end above {before}")));
        }
        before = *end;
    }
    Ok(steps)
}

/// The reference point of an uncut lens.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReferencePoint {
    pub(super) prism: Figure,
    pub(super) place: Option<Figure>,
    #[serde(default)]
    pub(super) both: bool,
}

/// Prism between the eyes, and where it changes with the power.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Prism {
    pub(super) prism: Figure,
    pub(super) each: Option<Figure>,
    pub(super) up_to: Option<Figure>,
    pub(super) above_effect: Option<Figure>,
    pub(super) above_pd: Option<Figure>,
    pub(super) above_pd_each: Option<Figure>,
}

/// Vertical prism: there is no PD to hold it to.
pub(super) fn vertical<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Prism>, D::Error> {
    let prism = Prism::deserialize(from)?;
    let pd = prism.above_pd.or(prism.above_pd_each).is_some();
    if pd || prism.up_to.is_some() != prism.above_effect.is_some() {
        let why = "`up_to` and `above_effect` belong together: what holds up to a power, and what above it";
        return Err(D::Error::custom(why));
    }
    Ok(Some(prism))
}

/// Horizontal prism.
pub(super) fn horizontal<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Prism>, D::Error> {
    let prism = Prism::deserialize(from)?;
    let above = [prism.above_effect, prism.above_pd, prism.above_pd_each].iter().flatten().count();
    if above != usize::from(prism.up_to.is_some()) {
        return Err(D::Error::custom(
            "`up_to` and one of `above_effect`, `above_pd` and `above_pd_each` belong together: what holds up to a \
             power, and what above it",
        ));
    }
    Ok(Some(prism))
}

/// The PD, whatever the power.
#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Pd {
    Total(Figure),
    Each(Figure),
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
pub(super) struct SegmentTable {
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
    if text.len() > NAME {
        return Err(D::Error::custom(format!("{text:?} is longer than {NAME} bytes")));
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
