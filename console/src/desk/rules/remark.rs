//! What is said of an order.

use std::fmt;

/// Whether a remark stops an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// It cannot be right.
    Refused,
    /// It can be right, and seldom is.
    Unusual,
}

/// One thing that is wrong or unusual in an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// Whether it stops the order.
    pub severity: Severity,
    /// Where: the field, in words.
    pub place: String,
    /// What, and what would be right.
    pub text: String,
}

impl Remark {
    /// The fields that it is about, as they are called where an order is entered; first the one to change.
    pub fn fields(&self) -> Vec<&str> {
        let fields: &[&str] = match self.place.as_str() {
            "both eyes" | "add" | "prism" => &["right", "left"],
            "design" => &["design", "right", "left"],
            "heights" => &["heights", "design"],
            "PD" => &["pd"],
            "near PD" => &["near-pd", "pd"],
            "decentration" => &["pd", "a", "dbl"],
            "A" => &["a"],
            "B" => &["b", "a"],
            "DBL" => &["dbl"],
            "ED" | "no ED" => &["ed", "a", "b"],
            "rim material" => &["rim-material"],
            "frame curve" => &["frame-curve"],
            "treatments" => &["treatment"],
            "reference point" => &["reference-below", "design"],
            "base curve" | "right base curve" | "left base curve" => &["base-curve"],
            "right height" | "left height" => &["heights", "b"],
            "right lab power" => &["lab-power-right", "right"],
            "left lab power" => &["lab-power-left", "left"],
            "due date" => &["due"],
            "prescription date" => &["prescribed"],
            eye if eye.starts_with("right ") => &["right"],
            eye if eye.starts_with("left ") => &["left"],
            called_alike => &[called_alike],
        };
        fields.to_vec()
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place, self.text)
    }
}

/// Collects remarks.
#[derive(Default)]
pub(super) struct Remarks(pub(super) Vec<Remark>);

impl Remarks {
    pub(super) fn refuse_if(&mut self, wrong: bool, place: impl Into<String>, text: impl Into<String>) {
        let remark = Remark { severity: Severity::Refused, place: place.into(), text: text.into() };
        self.0.extend(wrong.then_some(remark));
    }

    pub(super) fn warn_if(&mut self, unusual: bool, place: impl Into<String>, text: impl Into<String>) {
        let remark = Remark { severity: Severity::Unusual, place: place.into(), text: text.into() };
        self.0.extend(unusual.then_some(remark));
    }
}
