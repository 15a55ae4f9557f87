//! What is said of an order.

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
