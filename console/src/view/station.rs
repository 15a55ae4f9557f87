//! What the station's dial counts.

use super::Figure;
use crate::work::dial_words;
use bevelbook_core::sizing::{Basis, Counting, Dial, Size};
use std::fmt;

view! {
    /// What a figure of a dial counts.
    pub(crate) CountingView of (stated: Counting) with {
        let (name, from) = match stated {
            Counting::Absolute => ("absolute", None),
            Counting::TakeOff { from } => ("take-off", Some(from.into())),
        };
    } {
        counting: &'static str = name,
        take_off_from_mm: Option<Figure> = from,
    }
}

view! {
    /// A dial.
    pub(crate) DialView of (stated: Dial) {
        basis: Basis = stated.basis,
        #[serde(flatten)]
        counting: CountingView = CountingView::of(stated.counting),
        step_mm: Figure = stated.step.into(),
        #[serde(skip)]
        dial: Dial = stated,
    }
}

impl fmt::Display for DialView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let step = Size { basis: self.basis, offset: self.dial.step };
        let [radius, diameter, girth] = Basis::ALL.map(|basis| step.on(basis));
        let words = dial_words(&self.dial);
        write!(
            f,
            "{words}\n  one step is {radius} mm of radius, {diameter} mm of diameter, {girth} mm of girth"
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::units::Length;

    #[test]
    fn one_step_is_shown_on_every_basis() {
        let dial =
            Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(100) };
        let text = DialView::of(dial).to_string();
        assert!(text.ends_with("0.05 mm of radius, 0.1 mm of diameter, 0.314 mm of girth"), "{text}");
    }
}
