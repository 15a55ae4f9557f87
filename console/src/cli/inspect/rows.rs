//! Findings as rows of a table, with the rules they cite numbered below it.

use bevelbook_core::tolerance::{Basis, Finding, Holding, Limit, Quantity, Unit};
use bevelbook_core::units::{Angle, Axis, Length, Power, Prism};

/// Numbers each rule at its first row.
#[derive(Default)]
pub(super) struct Rows {
    /// Rule and source.
    cited: Vec<(String, String)>,
}

impl Rows {
    /// The heading over the columns.
    pub(super) fn head() -> String {
        columns("", ["ordered", "read", "off", "limit", "margin"].map(str::to_owned), "", "")
            .trim_end()
            .to_owned()
    }

    /// A finding; what qualifies it stands below, indented.
    pub(super) fn row(&mut self, finding: &Finding) -> Vec<String> {
        let number = self.number(finding);
        let values = [
            value(finding.quantity, finding.ordered),
            value(finding.quantity, finding.measured),
            off(finding),
            shown(finding.unit(), finding.limit),
            margin(finding),
        ];
        let label = format!("{}, {}", label(finding.quantity), finding.unit().symbol());
        let verdict = verdict(finding);
        let mut lines = vec![columns(&label, values, &format!("[{number}]"), &verdict)];
        if finding.basis != Basis::AsRead {
            lines.push(format!("    {}", finding.basis));
        }
        if let Some(stricter) = finding.stricter.filter(|_| finding.holding() == Holding::AtLimit) {
            let stricter = shown(finding.unit(), stricter);
            lines.push(format!(
                "    another reading of the rule allows {stricter}: the verdict does not turn on it"
            ));
        }
        if !finding.cited.confirmed {
            lines.push("    unconfirmed: this limit is from memory".to_owned());
        }
        lines
    }

    /// Each rule with its source, numbered from 1.
    pub(super) fn rules(&self) -> impl Iterator<Item = (usize, String)> {
        (1..).zip(self.cited.iter().map(|(rule, source)| format!("{rule} ({source})")))
    }

    fn number(&mut self, finding: &Finding) -> usize {
        let rule = (finding.cited.rule.to_string(), finding.cited.source.to_owned());
        let known = self.cited.iter().position(|known| *known == rule);
        known.unwrap_or_else(|| {
            self.cited.push(rule);
            self.cited.len() - 1
        }) + 1
    }
}

/// `OUT by 0.12 D`, `at the limit`, or `within`.
pub(super) fn verdict(finding: &Finding) -> String {
    match finding.holding() {
        Holding::Within => "within".to_owned(),
        Holding::AtLimit => "at the limit".to_owned(),
        Holding::Out => format!("OUT by {}", excess(finding)),
    }
}

/// By how much a finding breaks its limit, with its unit.
pub(super) fn excess(finding: &Finding) -> String {
    let number = shown(finding.unit(), finding.margin());
    let space = if finding.unit() == Unit::Degree { "" } else { " " };
    format!("{}{space}{}", number.trim_start_matches('-'), finding.unit().symbol())
}

/// A quantity in a word or two.
pub(super) fn label(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Power => "power",
        Quantity::PowerAcross => "power across",
        Quantity::Cylinder => "cylinder",
        Quantity::Axis => "axis",
        Quantity::Add => "addition",
        Quantity::PrismAtReference => "reference prism",
        Quantity::ReferencePlace => "reference place",
        Quantity::Vertical | Quantity::VerticalOfEye => "vertical prism",
        Quantity::Horizontal | Quantity::HorizontalOfEye => "horizontal prism",
        Quantity::Pd => "PD",
        Quantity::SegmentHeight => "height",
        Quantity::SegmentPlace => "segments apart",
        Quantity::SegmentTilt => "tilt",
        Quantity::Thickness => "thickness",
    }
}

fn columns(
    label: &str,
    [ordered, read, off, limit, margin]: [String; 5],
    rule: &str,
    verdict: &str,
) -> String {
    format!("  {label:<19}{ordered:>8}{read:>8}{off:>8}{limit:>8}{margin:>8}{rule:>5} {verdict}")
}

fn value(quantity: Quantity, milli: i32) -> String {
    match quantity {
        Quantity::Axis => Axis::from_milli(milli).to_string(),
        Quantity::PrismAtReference => Prism::from_milli(milli).to_string(),
        _ => signed(quantity.unit(), milli, false),
    }
}

fn off(finding: &Finding) -> String {
    signed(finding.unit(), finding.deviation, true)
}

/// Powers and prisms carry their sign; angles and lengths do where `plus` asks for it.
fn signed(unit: Unit, milli: i32, plus: bool) -> String {
    match unit {
        Unit::Dioptre => Power::from_milli(milli).to_string(),
        Unit::PrismDioptre => format!("{:+}", Prism::from_milli(milli)),
        Unit::Millimetre if plus => format!("{:+}", Length::from_milli(milli)),
        Unit::Millimetre => Length::from_milli(milli).to_string(),
        Unit::Degree if plus && milli > 0 => format!("+{}", Angle::from_milli(milli)),
        Unit::Degree => Angle::from_milli(milli).to_string(),
    }
}

fn margin(finding: &Finding) -> String {
    let plus = if finding.margin() > Limit::from_milli(0) { "+" } else { "" };
    format!("{plus}{}", shown(finding.unit(), finding.margin()))
}

fn shown(unit: Unit, limit: Limit) -> String {
    match unit {
        Unit::Dioptre | Unit::PrismDioptre => format!("{limit:.2}"),
        Unit::Degree | Unit::Millimetre => limit.to_string(),
    }
}
