//! A power, and a whole eye of an order or of a reading; as text in trade notation.

use super::Figure;
use crate::desk::LabPower;
use bevelbook_core::prescription::{EyeOrder, SphereCylinder, Wanted};
use bevelbook_core::units::{Power, PrismPair};
use serde::Serialize;
use std::fmt;

/// A power.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Lens {
    sphere_d: Figure,
    cylinder_d: Figure,
    /// None where there is no cylinder to have an axis.
    axis_deg: Option<Figure>,
    #[serde(skip)]
    power: SphereCylinder,
}

impl From<SphereCylinder> for Lens {
    fn from(power: SphereCylinder) -> Self {
        let SphereCylinder { sphere, cylinder, axis } = power;
        let axis_deg = (!cylinder.is_zero()).then(|| axis.angle().into());
        Self { sphere_d: sphere.into(), cylinder_d: cylinder.into(), axis_deg, power }
    }
}

impl fmt::Display for Lens {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.power.fmt(f)
    }
}

view! {
    /// A prism.
    pub(crate) PrismView of (prism: PrismPair) {
        base_in_pd: Figure = prism.base_in.into(),
        base_up_pd: Figure = prism.base_up.into(),
    }
}

impl PrismView {
    /// A prism that was worked out, to the hundredth.
    pub(crate) fn rounded(&self) -> String {
        let [up, inward] = [self.base_up_pd, self.base_in_pd].map(|part| part.to(2, 2));
        match (up.signum(), inward.signum()) {
            (0, 0) => "none".into(),
            (_, 0) => up.upward(),
            (0, _) => inward.inward(),
            _ => format!("{} {}", up.upward(), inward.inward()),
        }
    }
}

/// A power with its prism and its addition; what nobody looked at is none.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Prescription {
    /// What is made by it, where it is ordered.
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted: Option<&'static str>,
    /// None where the power is not told.
    #[serde(flatten)]
    pub(super) lens: Option<Lens>,
    base_in_pd: Option<Figure>,
    base_up_pd: Option<Figure>,
    pub(super) add_d: Option<Figure>,
    /// The prism that is told: an order tells none that it does not ask for.
    #[serde(skip)]
    pub(super) prism: Option<PrismPair>,
    #[serde(skip)]
    before: &'static str,
}

/// What is made for an eye, in at most 30 columns.
pub(crate) const fn what_is_made(wanted: Wanted) -> &'static str {
    match wanted {
        Wanted::Lens => "as ordered",
        Wanted::Balance { known: true } => "balance lens",
        Wanted::Balance { known: false } => "balance lens, power not told",
        Wanted::Nothing { known: true } => "no lens: the old one stays",
        Wanted::Nothing { known: false } => "no lens",
    }
}

/// What is ordered of an eye, in words.
pub(crate) fn ordered_words(order: &EyeOrder) -> String {
    let power = Prescription::ordered(&EyeOrder { wanted: Wanted::Lens, ..*order });
    match order.wanted {
        Wanted::Lens => power.to_string(),
        Wanted::Balance { known: true } => format!("balance lens, {power}"),
        Wanted::Nothing { known: true } => format!("no lens: the frame keeps its old one ({power})"),
        told => what_is_made(told).to_owned(),
    }
}

/// What is made for an eye, as JSON has it.
pub(crate) const fn wanted_key(wanted: Wanted) -> &'static str {
    match wanted {
        Wanted::Lens => "lens",
        Wanted::Balance { .. } => "balance",
        Wanted::Nothing { .. } => "none",
    }
}

impl Prescription {
    /// What was read of a lens.
    #[must_use]
    pub fn read(power: SphereCylinder, prism: Option<PrismPair>, add: Option<Power>) -> Self {
        let [base_in_pd, base_up_pd] =
            [prism.map(|prism| prism.base_in.into()), prism.map(|prism| prism.base_up.into())];
        let add_d = add.map(Figure::from);
        Self { wanted: None, lens: Some(power.into()), base_in_pd, base_up_pd, add_d, prism, before: "" }
    }

    /// What a supplier says, as it was written: of what he does not say, nothing.
    #[must_use]
    pub fn to_verify(lab: LabPower) -> Self {
        Self::read(lab.power, lab.prism, lab.add)
    }

    /// What is ordered.
    #[must_use]
    pub fn ordered(order: &EyeOrder) -> Self {
        let read = Self::read(order.power, Some(order.prism), order.add);
        let read = if order.wanted.power_is_known() {
            read
        } else {
            Self { lens: None, base_in_pd: None, base_up_pd: None, ..read }
        };
        let prism = Some(order.prism).filter(|prism| !prism.is_none());
        Self { prism, wanted: Some(wanted_key(order.wanted)), before: order.wanted.words(), ..read }
    }
}

impl fmt::Display for Prescription {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.before)?;
        let Some(lens) = self.lens else { return Ok(()) };
        write!(f, "{}{lens}", if self.before.is_empty() { "" } else { " " })?;
        self.prism.map_or(Ok(()), |prism| write!(f, ", prism {prism}"))?;
        self.add_d.map_or(Ok(()), |add| write!(f, ", add {add}"))
    }
}
