//! Stating the station's dial at the keypad: what it counts, from where, and its step.

use super::screens::{go, within};
use crate::keys::Key;
use crate::screen::{Answers, Body, Picture};
use bevelbook_core::record::Possible;
use bevelbook_core::sizing::{Basis, Counting, Dial};
use bevelbook_core::units::Length;

/// The steps that dials have, in µm.
const STEPS: [i32; 6] = [10, 20, 25, 50, 100, 250];

/// How finely the size that a first cut leaves is stated, in µm.
const FROM_STEP: i32 = 50;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Field {
    Basis,
    Counting,
    From,
    Step,
}

const FIELDS: [Field; 4] = [Field::Basis, Field::Counting, Field::From, Field::Step];

/// A dial in the making.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct StationEntry {
    field: Field,
    basis: Basis,
    take_off: bool,
    from: Length,
    step: usize,
}

impl StationEntry {
    pub(super) const ANSWERS: Answers = Answers::new("next", "previous", "", "", "set");

    /// Starts from the dial in force, if there is one.
    pub(super) fn new(dial: Option<Dial>) -> Self {
        let from = match dial.map(|dial| dial.counting) {
            Some(Counting::TakeOff { from }) => Some(from),
            _ => None,
        };
        let step = dial.and_then(|dial| STEPS.iter().position(|step| *step == dial.step.milli()));
        Self {
            field: Field::Basis,
            basis: dial.map_or(Basis::Diameter, |dial| dial.basis),
            take_off: from.is_some(),
            from: from.unwrap_or(Length::from_milli(500)),
            step: step.unwrap_or(3),
        }
    }

    /// Takes a short press; the dial when it was the last one.
    pub(super) fn press(&mut self, key: Key) -> Option<Dial> {
        let up = match key {
            Key::Up | Key::Right => true,
            Key::Down | Key::Left => false,
            Key::Centre => return self.confirm(),
        };
        match self.field {
            Field::Basis => self.basis = neighbour(self.basis, up),
            Field::Counting => self.take_off = !self.take_off,
            Field::From => {
                let step = if up { FROM_STEP } else { -FROM_STEP };
                self.from = within(self.from.milli() + step, Possible::FIRST_CUT.range, self.from);
            }
            Field::Step if up => self.step = (self.step + 1).min(STEPS.len() - 1),
            Field::Step => self.step = self.step.saturating_sub(1),
        }
        None
    }

    fn confirm(&mut self) -> Option<Dial> {
        if self.go(true) {
            return None;
        }
        let from = self.from;
        let counting = if self.take_off { Counting::TakeOff { from } } else { Counting::Absolute };
        Some(Dial { basis: self.basis, counting, step: self.step() })
    }

    /// To the next figure, or to the one before. Whether there is one.
    pub(super) fn go(&mut self, on: bool) -> bool {
        go(&mut self.field, on, &FIELDS, |field| field != Field::From || self.take_off)
    }

    fn step(&self) -> Length {
        Length::from_milli(STEPS[self.step.min(STEPS.len() - 1)])
    }

    pub(super) fn body(&self) -> Body {
        match self.field {
            Field::Basis => {
                Body::question("size reads as", self.basis, "radius diameter girth", Picture::None)
            }
            Field::Counting if self.take_off => {
                Body::question("figure is", "take off", "what a pass takes off", Picture::None)
            }
            Field::Counting => Body::question("figure is", "the size", "+ to the trace", Picture::None),
            Field::From => Body::question(
                "first cut leaves",
                format_args!("{:+}", self.from.fine()),
                "+ to the trace",
                Picture::None,
            ),
            Field::Step => Body::question("smallest step", self.step().fine(), "millimetres", Picture::None),
        }
    }
}

const fn neighbour(basis: Basis, up: bool) -> Basis {
    match (basis, up) {
        (Basis::Radius, true) | (Basis::Girth, false) => Basis::Diameter,
        (Basis::Diameter, true) | (Basis::Radius, false) => Basis::Girth,
        (Basis::Girth, true) | (Basis::Diameter, false) => Basis::Radius,
    }
}
