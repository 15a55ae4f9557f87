//! One quantity against its limit.
//!
//! Its five figures are named after its unit: `ordered_d`, `limit_mm`. Limits and margins are exact to 1/100 of a
//! thousandth.

use crate::view::Figure;
use bevelbook_core::tolerance::{Basis, Finding, Holding, Judgement, Quantity, Unit};
use std::collections::BTreeMap;

/// What was judged, each eye before the pair.
pub(super) fn findings(judgement: &Judgement) -> Vec<FindingView> {
    let found = judgement.findings().iter().map(FindingView::of);
    let mut found: Vec<_> = found.collect();
    found.sort_by_key(|finding| (finding.subject == "pair", finding.subject == "left"));
    found
}

view! {
    /// A judged quantity.
    pub FindingView of (finding: &Finding) with {
        let (quantity, name) = names(finding.quantity);
    } {
        /// `right`, `left` or `pair`.
        pub subject: String = finding.subject.to_string(),
        quantity: &'static str = quantity,
        /// Whether it is within its limit.
        pub within: bool = finding.is_within(),
        /// Whether it lies between two readings of its rule.
        pub at_limit: bool = finding.holding() == Holding::AtLimit,
        basis: &'static str = match finding.basis {
            Basis::AsRead => "as-read",
            Basis::PrismFromPd => "prism-from-pd",
            Basis::ShiftAsPrism => "shift-as-prism",
            Basis::ThinningAssumed => "thinning-assumed",
        },
        rule: String = finding.cited.rule.to_string(),
        source: String = finding.cited.source.to_owned(),
        /// Whether its limit was seen in public text.
        pub confirmed: bool = finding.cited.confirmed,
        #[serde(flatten)]
        named: BTreeMap<String, Figure> =
            named(finding, &["ordered", "measured", "deviation", "limit", "margin"]),
        /// What is ordered, read, the error, its limit, and what is left of that.
        #[serde(skip)]
        pub figures: [Figure; 5] = figures(finding),
        /// The quantity in a word or two.
        #[serde(skip)]
        pub name: &'static str = name,
        /// The same with its unit.
        #[serde(skip)]
        pub label: String = format!("{name}, {}", finding.unit().symbol()),
        /// The number of its rule among those that are shown, from 1.
        #[serde(skip)]
        pub number: usize = 0,
        /// What qualifies it.
        #[serde(skip)]
        pub notes: Vec<String> = notes(finding),
    }
}

/// What is ordered, read, the error, its limit, and what is left of that.
pub(super) fn figures(finding: &Finding) -> [Figure; 5] {
    let unit = finding.unit();
    let plain = |milli: i32| Figure::of(milli.into(), unit);
    // A prism in a direction has a sign, the size of one has none.
    let value = |milli| match (unit, finding.quantity) {
        (_, Quantity::PrismAtReference) => plain(milli),
        (Unit::PrismDioptre, _) => plain(milli).signed(),
        _ => plain(milli),
    };
    let (error, limit) = (plain(finding.deviation).signed(), Figure::limit(finding.limit, unit));
    let margin = Figure::limit(finding.margin(), unit).signed();
    [value(finding.ordered), value(finding.measured), error, limit, margin]
}

/// The same by their names for programs.
pub(super) fn named(finding: &Finding, names: &[&str]) -> BTreeMap<String, Figure> {
    let unit = match finding.unit() {
        Unit::Dioptre => "d",
        Unit::PrismDioptre => "pd",
        Unit::Degree => "deg",
        Unit::Millimetre => "mm",
    };
    names.iter().map(|name| format!("{name}_{unit}")).zip(figures(finding)).collect()
}

fn notes(finding: &Finding) -> Vec<String> {
    let basis = (finding.basis != Basis::AsRead).then(|| finding.basis.to_string());
    let stricter = finding.stricter.filter(|_| finding.holding() == Holding::AtLimit).map(|stricter| {
        let stricter = Figure::limit(stricter, finding.unit());
        format!("another reading of the rule allows {stricter}: the verdict does not turn on it")
    });
    let memory = (!finding.cited.confirmed).then(|| "unconfirmed: not seen in public text".to_owned());
    [basis, stricter, memory].into_iter().flatten().collect()
}

impl FindingView {
    /// Takes the number of its rule among those that are shown, or adds it to them.
    pub(super) fn cite(&mut self, rules: &mut Vec<(String, String)>) {
        let rule = (self.rule.clone(), self.source.clone());
        let known = rules.iter().position(|known| *known == rule);
        self.number = 1 + known.unwrap_or_else(|| {
            rules.push(rule);
            rules.len() - 1
        });
    }

    /// Whose it is and what: `right axis`, of the pair `PD`.
    #[must_use]
    pub fn whose(&self) -> String {
        if self.subject == "pair" { self.name.to_owned() } else { format!("{} {}", self.subject, self.name) }
    }

    /// How far it is off and how far it may be: `3 mm off, limit 2.5`.
    #[must_use]
    pub fn off(&self) -> String {
        let [_, _, off, limit, _] = self.figures;
        format!("{:#} off, limit {limit}{}", off.abs(), self.doubt())
    }

    /// The same in the fewest words: `axis 3 of 5°`.
    #[must_use]
    pub fn brief(&self) -> String {
        let [_, _, off, limit, _] = self.figures;
        format!("{} {} of {limit:#}{}", self.name, off.abs(), self.doubt())
    }

    /// What marks a limit that was not seen in public text.
    #[must_use]
    pub const fn doubt(&self) -> &'static str {
        if self.confirmed { "" } else { "*" }
    }

    /// `within`, `at the limit` or `OUT`.
    #[must_use]
    pub const fn held(&self) -> &'static str {
        match (self.within, self.at_limit) {
            (false, _) => "OUT",
            (true, true) => "at the limit",
            (true, false) => "within",
        }
    }
}

/// A quantity for programs, and in a word or two.
pub(super) const fn names(quantity: Quantity) -> (&'static str, &'static str) {
    match quantity {
        Quantity::Power => ("power", "power"),
        Quantity::PowerAcross => ("power-across", "power across"),
        Quantity::Cylinder => ("cylinder", "cylinder"),
        Quantity::Axis => ("axis", "axis"),
        Quantity::Add => ("add", "addition"),
        Quantity::PrismAtReference => ("reference-prism", "reference prism"),
        Quantity::ReferencePlace => ("reference-place", "reference place"),
        Quantity::Vertical => ("vertical", "vertical prism"),
        Quantity::Horizontal => ("horizontal", "horizontal prism"),
        Quantity::VerticalOfEye => ("vertical-of-eye", "vertical prism"),
        Quantity::HorizontalOfEye => ("horizontal-of-eye", "horizontal prism"),
        Quantity::Pd => ("pd", "PD"),
        Quantity::SegmentHeight => ("height", "height"),
        Quantity::SegmentPlace => ("segment-place", "segments apart"),
        Quantity::SegmentTilt => ("segment-tilt", "tilt"),
        Quantity::Thickness => ("thickness", "thickness"),
    }
}
