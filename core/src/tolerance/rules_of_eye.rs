//! From a table, a design and an order to the limits of one lens, and to what they cite.

use super::rule::Chosen;
use super::{
    Allowed, Citation, Design, EyeLimits, JudgedPower, Meridian, Quantity, Reference, ReferenceLimits, Rows,
    Rule, Table,
};
use crate::prescription::{EyeOrder, SphereCylinder};
use crate::units::Power;

/// The rules for one ordered lens.
pub(super) struct EyeRules<'t> {
    table: &'t Table,
    rows: &'t Rows,
    /// In minus-cylinder form.
    power: SphereCylinder,
    add: Option<Power>,
    judged: JudgedPower,
    /// The power that chooses the row, and that a percentage is of.
    deciding: Power,
    /// Whether the choice of meridian, where public text leaves it open, changes the limit.
    hangs_on_meridian: bool,
}

impl<'t> EyeRules<'t> {
    pub(super) fn of(table: &'t Table, design: Design, ordered: &EyeOrder) -> Self {
        let (rows, power) = (table.rows(design), ordered.power.minus_cylinder());
        let (sphere, strongest) = (power.sphere, power.strongest());
        let (judged, deciding) = match table.meridian {
            Meridian::Sphere => (JudgedPower::Along, sphere),
            Meridian::Each => (JudgedPower::Both, strongest),
            Meridian::Strongest if strongest.abs() > sphere.abs() => (JudgedPower::Across, strongest),
            Meridian::Strongest => (JudgedPower::Along, sphere),
        };
        let limit = |power: Power| rows.power.rule(power.milli()).map(|chosen| chosen.limit(power.milli()));
        let hangs_on_meridian = table.meridian_is_open && limit(sphere) != limit(strongest);
        Self { table, rows, power, add: ordered.add, judged, deciding, hangs_on_meridian }
    }

    fn power(&self) -> Option<Chosen> {
        self.rows.power.rule(self.deciding.milli())
    }

    fn cylinder(&self) -> Option<Chosen> {
        self.rows.cylinder(self.deciding.milli(), self.power.cylinder.milli())
    }

    fn axis(&self) -> Option<Chosen> {
        self.table.axis.rule(self.power.cylinder.milli())
    }

    fn add(&self) -> Option<Chosen> {
        self.table.add.rule(self.add?.milli())
    }

    pub(super) fn limits(&self) -> EyeLimits {
        let of = |chosen: Option<Chosen>, ordered: Power| Some(chosen?.limit(ordered.milli()));
        let any_axis = self.power.cylinder.is_zero() || self.table.any_axis(self.power.cylinder.milli());
        let axis = of(self.axis(), self.power.cylinder).map_or(Allowed::NotCovered, Allowed::To);
        EyeLimits {
            judged: self.judged,
            power: of(self.power(), self.deciding),
            cylinder: of(self.cylinder(), self.power.cylinder),
            axis: if any_axis { Allowed::Any } else { axis },
            axis_uncut: self.table.axis_uncut,
            add: of(self.add(), self.add.unwrap_or_default()),
        }
    }

    pub(super) fn reference(&self) -> Option<ReferenceLimits> {
        let Reference { prism, place, both } = self.table.reference?;
        Some(ReferenceLimits { prism: prism.figure(), place: place.map(Rule::figure), both })
    }

    pub(super) fn cite(&self, quantity: Quantity) -> Option<Citation> {
        let chosen = match quantity {
            Quantity::Power | Quantity::PowerAcross => self.power(),
            Quantity::Cylinder => self.cylinder(),
            Quantity::Axis => self.axis(),
            Quantity::Add => self.add(),
            Quantity::PrismAtReference => Some(self.table.reference?.prism.into()),
            Quantity::ReferencePlace => self.table.reference?.place.map(Chosen::from),
            _ => None,
        };
        let cited = self.table.vouch(chosen?.cite(quantity));
        let power = matches!(quantity, Quantity::Power | Quantity::PowerAcross);
        Some(Citation { confirmed: cited.confirmed && !(power && self.hangs_on_meridian), ..cited })
    }
}

impl EyeLimits {
    /// What one lens may be off that is ordered like this.
    pub fn of<'t>(by: impl Into<&'t Table>, design: Design, ordered: &EyeOrder) -> Self {
        EyeRules::of(by.into(), design, ordered).limits()
    }
}
