//! An inspection for programs.
//!
//! The names of judged values end in the unit of their quantity: `_d`, `_deg`, `_pd`, `_mm`. Limits and margins are
//! exact to 1/100 of a thousandth.

use crate::cli::figures;
use crate::inspection::{Gap, Inspection, Open, OpenItem, Seen, Signed, Uncut, Unjudged, Warning};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::{Basis, Finding, Holding, Judgement, Limit, Quantity, Unit};
use bevelbook_core::units::Power;
use serde_json::{Value, json};

pub(super) fn json(inspection: &Inspection) -> Value {
    let listed = |values: Vec<Value>| Value::Array(values);
    json!({
        "job": inspection.number,
        "standard": inspection.standard.to_string(),
        "table_version": inspection.standard.table_version(),
        "design": inspection.design,
        "verdict": inspection.verdict(),
        "right": eye(inspection, Eye::Right),
        "left": eye(inspection, Eye::Left),
        "findings": findings(&inspection.pair),
        "missing": listed(inspection.missing.iter().map(gap).collect()),
        "not_covered": listed(inspection.not_covered.iter().map(unjudged).collect()),
        "warnings": listed(inspection.warnings.iter().map(warning).collect()),
        "open": listed(inspection.open.iter().map(open).collect()),
        "signed": inspection.signed.as_ref().map(signed),
    })
}

fn eye(inspection: &Inspection, eye: Eye) -> Value {
    let eye = inspection.eye(eye);
    json!({
        "verdict": eye.verdict,
        "ordered": figures::eye_order(&eye.ordered),
        "verify": eye.verify.map(figures::lens),
        "read": eye.mounted.map(seen),
        "off_by": eye.difference.map(|off| with(figures::lens(off.lens), "blur_d", off.blur)),
        "readings": eye.repeated.map(|repeated| {
            let mut value = with(figures::lens(repeated.mean), "spread_d", repeated.spread);
            value["count"] = json!(repeated.count);
            value
        }),
        "uncut": eye.uncut.as_ref().map(uncut),
    })
}

fn with(mut value: Value, name: &str, power: Power) -> Value {
    value[name] = json!(figures::dioptres(power));
    value
}

fn findings(judgement: &Judgement) -> Value {
    judgement.findings().iter().map(finding).collect()
}

fn uncut(uncut: &Uncut) -> Value {
    json!({
        "verdict": uncut.judgement.verdict(),
        "read": seen(uncut.seen),
        "findings": findings(&uncut.judgement),
    })
}

fn seen(seen: Seen) -> Value {
    let mut value = figures::lens(seen.power);
    value["base_in_pd"] = json!(seen.prism.map(|prism| figures::prism_dioptres(prism.base_in)));
    value["base_up_pd"] = json!(seen.prism.map(|prism| figures::prism_dioptres(prism.base_up)));
    value["add_d"] = json!(seen.add.map(figures::dioptres));
    value
}

fn unjudged(unjudged: &Unjudged) -> Value {
    json!({
        "subject": unjudged.left.subject.to_string(),
        "what": unjudged.left.what.to_string(),
        "uncut": unjudged.uncut,
        "text": unjudged.to_string(),
    })
}

fn finding(finding: &Finding) -> Value {
    let unit = match finding.unit() {
        Unit::Dioptre => "d",
        Unit::PrismDioptre => "pd",
        Unit::Degree => "deg",
        Unit::Millimetre => "mm",
    };
    let mut value = json!({
        "subject": finding.subject.to_string(),
        "quantity": quantity(finding.quantity),
        "within": finding.is_within(),
        "basis": basis(finding.basis),
        "at_limit": finding.holding() == Holding::AtLimit,
        "rule": finding.cited.rule.to_string(),
        "source": finding.cited.source,
        "confirmed": finding.cited.confirmed,
    });
    for (name, number) in [
        ("ordered", figures::milli(finding.ordered)),
        ("measured", figures::milli(finding.measured)),
        ("deviation", figures::milli(finding.deviation)),
        ("limit", exact(finding.limit)),
        ("margin", exact(finding.margin())),
    ] {
        value[format!("{name}_{unit}")] = json!(number);
    }
    value
}

/// Whole hundredths of a thousandth, far below 2^53.
fn exact(limit: Limit) -> f64 {
    f64::from(limit.hundredths_of_milli()) / 1e5
}

fn quantity(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Power => "power",
        Quantity::PowerAcross => "power-across",
        Quantity::Cylinder => "cylinder",
        Quantity::Axis => "axis",
        Quantity::Add => "add",
        Quantity::PrismAtReference => "reference-prism",
        Quantity::ReferencePlace => "reference-place",
        Quantity::Vertical => "vertical",
        Quantity::Horizontal => "horizontal",
        Quantity::VerticalOfEye => "vertical-of-eye",
        Quantity::HorizontalOfEye => "horizontal-of-eye",
        Quantity::Pd => "pd",
        Quantity::SegmentHeight => "height",
        Quantity::SegmentPlace => "segment-place",
        Quantity::SegmentTilt => "segment-tilt",
        Quantity::Thickness => "thickness",
    }
}

fn basis(basis: Basis) -> &'static str {
    match basis {
        Basis::AsRead => "as-read",
        Basis::PrismFromPd => "prism-from-pd",
        Basis::ShiftAsPrism => "shift-as-prism",
    }
}

/// `right`, `left`, or `pair` for what belongs to neither alone.
fn subject(eye: Option<Eye>) -> String {
    eye.map_or_else(|| "pair".to_owned(), |eye| eye.to_string())
}

fn gap(gap: &Gap) -> Value {
    json!({
        "subject": subject(gap.eye()),
        "what": gap.lack.to_string(),
        "holds_up_verdict": gap.holds_up_the_verdict(),
        "command": gap.command,
    })
}

fn warning(warning: &Warning) -> Value {
    let kind = match warning {
        Warning::Slip { .. } => "slip",
        Warning::Swapped => "swapped",
        Warning::Turned { .. } => "turned",
        Warning::Differ { .. } => "differ",
        Warning::NotFitted { .. } => "not-fitted",
    };
    json!({ "subject": subject(warning.eye()), "kind": kind, "text": warning.to_string() })
}

fn open(open: &Open) -> Value {
    let bad = matches!(open.item, OpenItem::Bad(_));
    json!({
        "subject": open.subject.to_string(),
        "what": open.item.to_string(),
        "bad": bad,
        "command": open.command,
    })
}

fn signed(signed: &Signed) -> Value {
    let sign_off = &signed.sign_off;
    json!({
        "by": sign_off.by,
        "at": signed.at.map(|at| at.to_string()),
        "standard": sign_off.standard.to_string(),
        "table_version": sign_off.table_version,
        "verdict": sign_off.verdict,
        "despite": sign_off.despite,
    })
}
